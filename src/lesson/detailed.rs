//! What a thing of a lesson holds, detail by detail, in the words that a teacher finds on the screen, and the texts in it that
//! somebody has typed. Each thing says both where it is declared.

use std::borrow::Cow;

use super::id::ItemId;

/// One detail about a thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Detail {
    /// What it is about: `title`; of several in order, one of them: `talking point`.
    pub about: &'static str,
    /// What is so.
    pub value: DetailValue,
}

/// What is so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DetailValue {
    /// These words; none where nothing is said.
    Words(String),
    /// These in their order, each with words of its own.
    Several(Vec<String>),
}

/// A text that somebody has typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypedText<'a> {
    /// What it is: `the tone note`.
    pub what: Cow<'static, str>,
    /// The text.
    pub text: &'a str,
    /// What is asked of it.
    pub kind: TextKind,
}

/// What is asked of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TextKind {
    /// It names the thing: it is one line, and had better not be missing.
    Title,
    /// It is one line.
    Line,
    /// It may run over several lines.
    Lines,
}

/// A thing that can be told detail by detail.
pub trait Detailed {
    /// Returns its details, always the same ones in the same order; `called` says what the teacher calls a thing that it links
    /// to.
    fn details(&self, called: &dyn Fn(ItemId) -> String) -> Vec<Detail>;

    /// Returns the texts in it, in the order of the file; of the music of a passage, none.
    fn texts(&self) -> Vec<TypedText<'_>>;
}

/// Returns a detail that is said in words.
pub(super) fn words(about: &'static str, text: impl Into<String>) -> Detail {
    Detail { about, value: DetailValue::Words(text.into()) }
}

/// Returns a detail that may not be said.
pub(super) fn maybe(about: &'static str, value: Option<impl ToString>) -> Detail {
    words(about, value.map(|value| value.to_string()).unwrap_or_default())
}

/// Returns a detail of several words in order.
pub(super) fn several(about: &'static str, values: impl IntoIterator<Item = String>) -> Detail {
    Detail { about, value: DetailValue::Several(values.into_iter().collect()) }
}

/// Returns the text that names a thing.
pub(super) fn title<'a>(what: &'static str, text: &'a str) -> TypedText<'a> {
    TypedText { what: what.into(), text, kind: TextKind::Title }
}

/// Returns a text of one line.
pub(super) fn line<'a>(what: &'static str, text: &'a str) -> TypedText<'a> {
    TypedText { what: what.into(), text, kind: TextKind::Line }
}

/// Returns a text that may run over several lines.
pub(super) fn lines(what: impl Into<Cow<'static, str>>, text: &str) -> TypedText<'_> {
    TypedText { what: what.into(), text, kind: TextKind::Lines }
}
