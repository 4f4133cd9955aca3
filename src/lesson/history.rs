//! What a user does to a lesson, as values that can be taken back: a transaction, and the change it became.
//!
//! Which changes were made, in which order, and what else a key did beside them is kept by whoever edits the lesson.

use serde::{Deserialize, Serialize};

use super::document::Lesson;
use super::edit::{Edit, EditError};
use super::place::LessonPlace;

pub use super::reason::Reason;

/// One user action: its edits stand or fall together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Transaction {
    /// What it does.
    pub reason: Reason,
    /// Where it does it, for the cursor to return to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<LessonPlace>,
    /// Its edits, in order.
    pub edits: Vec<Edit>,
}

impl Transaction {
    /// Returns a transaction of one edit.
    pub fn one(reason: Reason, edit: Edit) -> Self {
        Self::new(reason, vec![edit])
    }

    /// Returns a transaction of several edits.
    pub const fn new(reason: Reason, edits: Vec<Edit>) -> Self {
        Self { reason, place: None, edits }
    }

    /// Returns the transaction with a place for the cursor to return to.
    pub fn at(self, place: LessonPlace) -> Self {
        Self { place: Some(place), ..self }
    }
}

/// A transaction that does not fit the lesson; the lesson is unchanged.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the change does not fit the lesson")]
pub struct TransactionError {
    /// Which edit failed, counted from 1.
    pub edit: usize,
    /// How many there are.
    pub edits: usize,
    /// The reason for it.
    pub source: EditError,
}

impl Lesson {
    /// Applies `edits` in order and returns the edits that undo them, in the order in which they
    /// are to be applied. If one fails, those before it are undone and the lesson is unchanged.
    ///
    /// Errors: the first edit that does not fit.
    pub fn apply_all(&mut self, edits: Vec<Edit>) -> Result<Vec<Edit>, TransactionError> {
        let count = edits.len();
        let mut undo = Vec::with_capacity(count);
        for (place, edit) in edits.into_iter().enumerate() {
            match self.apply(edit) {
                Ok(inverse) => undo.push(inverse),
                Err(source) => {
                    for inverse in undo.into_iter().rev() {
                        let undone = self.apply(inverse);
                        debug_assert!(undone.is_ok(), "an inverse fits the lesson its edit left behind");
                    }
                    return Err(TransactionError { edit: place + 1, edits: count, source });
                }
            }
        }
        undo.reverse();
        Ok(undo)
    }

    /// Returns how many of `changes`, counted from the last, led to the lesson as it stands: taking them back and making them again
    /// leaves every step between as it was. It stops at the first that something else has come after.
    pub fn reached_by(&self, changes: &[Change]) -> usize {
        if changes.is_empty() {
            return 0;
        }
        let mut before = self.clone();
        changes.iter().rev().take_while(|change| before.goes_back(change)).count()
    }

    /// Takes `change` back. Returns whether making it again would lead to the very lesson that stood before.
    fn goes_back(&mut self, change: &Change) -> bool {
        let Ok(again) = self.apply_all(change.backward.clone()) else { return false };
        if again == change.forward {
            return true;
        }
        // Other edits may lead to the same lesson, for instance where one is made and replaced at once.
        let made = |edits: &[Edit]| {
            let mut lesson = self.clone();
            lesson.apply_all(edits.to_vec()).is_ok().then_some(lesson)
        };
        made(&change.forward).is_some_and(|made_again| made(&again) == Some(made_again))
    }
}

/// A change that was made to a lesson, with what takes it back.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Change {
    reason: Reason,
    place: Option<LessonPlace>,
    forward: Vec<Edit>,
    backward: Vec<Edit>,
}

impl Change {
    /// Makes `transaction` a change of `lesson`. On error the lesson is unchanged.
    pub fn make(lesson: &mut Lesson, transaction: Transaction) -> Result<Self, TransactionError> {
        let Transaction { reason, place, edits } = transaction;
        let backward = lesson.apply_all(edits.clone())?;
        Ok(Self { reason, place, forward: edits, backward })
    }

    /// Returns why it was made.
    pub const fn reason(&self) -> Reason {
        self.reason
    }

    /// Returns where it was made, for the cursor to return to.
    pub const fn place(&self) -> Option<LessonPlace> {
        self.place
    }

    /// Returns whether it changed nothing.
    pub const fn is_empty(&self) -> bool {
        self.forward.is_empty()
    }

    /// Returns what takes it back, from the lesson that it left behind.
    pub fn taking_back(&self) -> Transaction {
        Transaction { reason: self.reason, place: self.place, edits: self.backward.clone() }
    }

    /// Returns what makes it again, on the lesson that it was made on.
    pub fn making_again(&self) -> Transaction {
        Transaction { reason: self.reason, place: self.place, edits: self.forward.clone() }
    }

    /// Takes in a change that was made right after this one, so that both are taken back together. What is said of
    /// them is what is said of the later one.
    pub fn join(&mut self, later: Self) {
        (self.reason, self.place) = (later.reason, later.place);
        self.forward.extend(later.forward);
        self.backward.splice(0..0, later.backward);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::document::{Segment, SegmentKind};
    use crate::lesson::edit::ListEdit;
    use crate::lesson::id::SegmentId;
    use crate::lesson::time::VideoLength;

    fn segment(id: u32, title: &str) -> Segment {
        Segment::new(SegmentId(id), SegmentKind::Talk, title, VideoLength::from_seconds(60))
    }

    fn lesson_with_one_segment() -> Lesson {
        Lesson { segments: vec![segment(1, "")], ..Lesson::default() }
    }

    fn retitle(title: &str) -> Transaction {
        Transaction::one(Reason::RetitleSegment, Edit::Segments(ListEdit::Replace(segment(1, title))))
    }

    #[test]
    fn a_failed_edit_undoes_those_before_it() {
        let mut lesson = lesson_with_one_segment();
        let before = lesson.clone();
        let mut edits = retitle("new").edits;
        edits.push(Edit::Segments(ListEdit::Remove(SegmentId(9))));
        let error = lesson.apply_all(edits).unwrap_err();
        assert_eq!(error.to_string(), "the change does not fit the lesson");
        assert_eq!(error.source.to_string(), "the segment is not in the lesson any more");
        assert_eq!(lesson, before);
    }

    #[test]
    fn joined_changes_are_taken_back_and_made_again_as_one() {
        let mut lesson = lesson_with_one_segment();
        let before = lesson.clone();
        let mut change = Change::make(&mut lesson, retitle("a")).unwrap();
        let add = Edit::Segments(ListEdit::Insert { at: 1, item: segment(2, "b") });
        change.join(Change::make(&mut lesson, Transaction::one(Reason::AddSegment, add)).unwrap());
        let after = lesson.clone();
        lesson.apply_all(change.taking_back().edits).unwrap();
        assert_eq!(lesson, before);
        lesson.apply_all(change.making_again().edits).unwrap();
        assert_eq!((lesson, change.reason()), (after, Reason::AddSegment));
    }

    #[test]
    fn only_the_last_changes_that_nothing_came_after_lead_to_the_lesson() {
        let mut lesson = Lesson { segments: vec![segment(1, ""), segment(2, "")], ..Lesson::default() };
        let retitled = |lesson: &mut Lesson, id: u32, title: &str| {
            let edit = Edit::Segments(ListEdit::Replace(segment(id, title)));
            Change::make(lesson, Transaction::one(Reason::RetitleSegment, edit)).unwrap()
        };
        let mut changes = vec![retitled(&mut lesson, 1, "a"), retitled(&mut lesson, 2, "b")];
        let mut joined = retitled(&mut lesson, 2, "c");
        joined.join(retitled(&mut lesson, 2, "d"));
        changes.push(joined);
        assert_eq!(lesson.reached_by(&changes), 3);
        // A change that is not among them, of what the first has changed.
        let mut other = lesson.clone();
        let longer = Segment { planned: VideoLength::from_seconds(450), ..segment(1, "a") };
        other.apply(Edit::Segments(ListEdit::Replace(longer))).unwrap();
        assert_eq!(other.reached_by(&changes), 2);
        lesson.segments.pop();
        assert_eq!(lesson.reached_by(&changes), 0);
    }
}
