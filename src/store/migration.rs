//! Reading files of older formats.
//!
//! What each format changed:
//!
//! - **2** gave the lesson an identity of its own, `id` beside the header, and everything new a number drawn at
//!   random. It has every word of format 1, so files of format 1 are read as today's are; what they lack is the
//!   identity, which [`identity_of`] makes from their content.
//!
//! - **3** has the words of the screen and of the trade: `tunings` for `setups`, `tuning` for `setup` where something is
//!   played in one and `strings` in the tuning itself, `goal` for `target`, and other names for slides, harmonics, the
//!   tremolo bar, a kind of segment and two states of the work on one. Nothing means anything else, so today's types read
//!   the older words as well, each as the alias of the one that is written, in lessons, journals and drafts alike.
//!
//! - **4** has three more of them: `time_signature` for `meter`, `heard` for `doubts`, and `HammerOnFromNowhere`. They are read as in 3.
//!   Format 2 of the voicing library has `heard` as well.
//!
//! When a word gets another meaning, [`SAME_WORDS`] becomes the format that renamed it, and what the older ones need is frozen
//! in a file of its own here: their types as they were, a step that reads them, and the same for the lines of their
//! journals. A step leads to the next format only, and the steps are chained.

use std::borrow::Cow;

use super::fault::Fault;
use super::fingerprint::Fingerprint;
use crate::lesson::id::LessonId;

/// The oldest format whose words are read by today's types. Files of older ones go through the steps first.
pub const SAME_WORDS: u32 = 1;

/// Returns the identity of a lesson whose file states none: the first bytes of the fingerprint of its text.
///
/// Whoever opens the same text gets the same: a byte order mark, and line ends as another system writes them, make no
/// difference. `text` is what `bytes` hold, and `fingerprint` is theirs.
pub fn identity_of(text: &str, bytes: &[u8], fingerprint: &Fingerprint) -> LessonId {
    let plain = if text.contains("\r\n") { Cow::Owned(text.replace("\r\n", "\n")) } else { Cow::Borrowed(text) };
    // Nearly always the text is all there is, and is not gone through again.
    let fingerprint = if plain.len() == bytes.len() { *fingerprint } else { Fingerprint::of(plain.as_bytes()) };
    let mut first = [0; LessonId::BYTES];
    for (byte, from) in first.iter_mut().zip(fingerprint.bytes()) {
        *byte = *from;
    }
    LessonId::new(first)
}

/// One step: the text of a file of format `from` becomes the text of one of format `from + 1`.
///
/// It works on text, through whatever types the old format had, because a generic RON value does
/// not remember the names of enum variants.
#[derive(Debug, Clone, Copy)]
pub struct Migration {
    /// The format that is read.
    pub from: u32,
    /// Rewrites the text of a lesson file; the fault's place is in the text that was given.
    pub upgrade: fn(&str) -> Result<String, Fault>,
    /// Rewrites the text of one change in a journal ([`super::journal`]), which is written in the format of the lesson;
    /// `None` where it does not understand it.
    pub change: fn(&str) -> Option<String>,
}

/// The steps up to [`SAME_WORDS`], which is the first format: there are none yet.
pub const MIGRATIONS: &[Migration] = &[];

/// Brings `text` from format `from` to format `to`.
///
/// Errors: a step that does not understand its input, or a format that has no step.
pub fn upgrade(text: &str, from: u32, to: u32, steps: &[Migration]) -> Result<String, Fault> {
    let mut text = text.to_owned();
    for format in from..to {
        let step = steps.iter().find(|step| step.from == format).ok_or_else(|| {
            let problem = format!("there is no file version {format}: expected `format: {to}`");
            let (line, column) = place_of_format(&text);
            Fault::at(&text, line, column, problem, "correct the number if it was changed by hand")
        })?;
        text = (step.upgrade)(&text)?;
    }
    Ok(text)
}

/// Brings the text of one change in a journal from format `from` to the words of format `to`; `None` where a step does not
/// understand it or there is none.
pub fn upgrade_change(text: &str, from: u32, to: u32, steps: &[Migration]) -> Option<String> {
    let step =
        |text: String, format| steps.iter().find(|step| step.from == format).and_then(|step| (step.change)(&text));
    (from..to).try_fold(text.to_owned(), step)
}

/// Returns the line and column of the word `format`.
fn place_of_format(text: &str) -> (usize, usize) {
    for (index, line) in text.lines().enumerate() {
        if let Some(at) = line.find("format:").filter(|_| !line.trim_start().starts_with("//")) {
            let column = line.get(..at).map_or(0, |before| before.chars().count()) + 1;
            return (index + 1, column);
        }
    }
    (1, 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    const STEPS: &[Migration] = &[
        Migration {
            from: 1,
            upgrade: |text| Ok(text.replace("name:", "title:").replace("format: 1", "format: 2")),
            change: |text| Some(text.replace("name:", "title:")),
        },
        Migration {
            from: 2,
            upgrade: |text| Ok(text.replace("Speak", "Talk").replace("format: 2", "format: 3")),
            change: |text| text.contains("Speak").then(|| text.replace("Speak", "Talk")),
        },
    ];

    #[test]
    fn an_identity_follows_from_the_text_alone() {
        let of = |bytes: &[u8], text: &str| identity_of(text, bytes, &Fingerprint::of(bytes)).to_string();
        let plain = of(b"(\n  a\n)\n", "(\n  a\n)\n");
        // The first ten bytes of the SHA-256 of these characters, as `sha256sum` prints it.
        assert_eq!(plain, "7ev5-rna3-n2gw-z6jb");
        assert_eq!(of(b"\xef\xbb\xbf(\r\n  a\r\n)\r\n", "(\r\n  a\r\n)\r\n"), plain);
        assert_ne!(of(b"(\n  b\n)\n", "(\n  b\n)\n"), plain);
    }

    #[test]
    fn steps_are_chained_from_the_file_s_format_on() {
        let oldest = "(format: 1, name: \"a\", kind: Speak)";
        let middle = "(format: 2, title: \"a\", kind: Speak)";
        let newest = "(format: 3, title: \"a\", kind: Talk)";
        for text in [oldest, middle, newest] {
            let format = text.chars().find_map(|sign| sign.to_digit(10)).unwrap();
            assert_eq!(upgrade(text, format, 3, STEPS).unwrap(), newest);
        }
    }

    #[test]
    fn a_change_takes_the_same_steps_or_is_not_understood() {
        assert_eq!(upgrade_change("(name: 1, kind: Speak)", 1, 3, STEPS).as_deref(), Some("(title: 1, kind: Talk)"));
        assert_eq!(upgrade_change("(title: 1, kind: Speak)", 2, 3, STEPS).as_deref(), Some("(title: 1, kind: Talk)"));
        assert_eq!(upgrade_change("as it is", 3, 3, STEPS).as_deref(), Some("as it is"));
        assert_eq!(upgrade_change("(kind: Shout)", 2, 3, STEPS), None);
        assert_eq!(upgrade_change("(kind: Speak)", 0, 3, STEPS), None);
    }

    #[test]
    fn a_format_that_never_was_is_refused_with_its_place() {
        let fault = upgrade("// format: 9\n(\n  format: 0,\n)", 0, 3, STEPS).unwrap_err();
        assert_eq!(fault.to_string(), "3:3: there is no file version 0: expected `format: 3`");
    }
}
