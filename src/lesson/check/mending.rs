//! What mends a finding: edits, with the words for them.

use crate::lesson::document::Lesson;
use crate::lesson::edit::{Edit, Item, ListEdit};

/// Edits that mend something found, and what they do.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// What is done, in a player's words: `end segment 2 at 1:30`.
    pub text: String,
    /// What was done, in a player's words, for when it is: `segment 2 now ends at 1:30`.
    pub done: String,
    /// The edits, at least one, which fit the lesson.
    pub edits: Vec<Edit>,
}

/// Returns the item of an identity, unless several share it: those cannot be edited.
pub(super) fn only<T: Item>(list: &[T], id: T::Id) -> Option<&T> {
    let mut all = list.iter().filter(|item| item.id() == id);
    let first = all.next()?;
    all.next().is_none().then_some(first)
}

/// Returns the remedy that puts another version in its place, if it is another one.
pub(super) fn changed<T: Item + PartialEq>(lesson: &Lesson, item: T, [text, done]: [String; 2]) -> Option<Remedy> {
    let differs = only(T::list(lesson), item.id()).is_some_and(|known| *known != item);
    differs.then(|| Remedy { text, done, edits: vec![T::edit(ListEdit::Replace(item))] })
}
