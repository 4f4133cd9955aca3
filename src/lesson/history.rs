//! History: user actions as transactions, undone and redone without limit, and whether the lesson
//! is as it was saved.
//!
//! There is no clock here: where a run of keys should count as one action, the caller says when
//! each of them came.

use serde::{Deserialize, Serialize};

use super::document::Lesson;
use super::edit::{Edit, EditError, Item, ListEdit};
use super::place::LessonPlace;

/// What a user action did, and so what an undo takes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Reason {
    /// Changed title, author, credit, rights or target length.
    EditHeader,
    /// Added an instrument.
    AddInstrument,
    /// Changed an instrument.
    EditInstrument,
    /// Removed an instrument.
    RemoveInstrument,
    /// Added a setup.
    AddSetup,
    /// Changed a setup's tuning, capo, name or notes.
    EditSetup,
    /// Removed a setup.
    RemoveSetup,
    /// Chose the setup of a segment, passage or piece.
    ChooseSetup,
    /// Added a piece.
    AddPiece,
    /// Changed a piece.
    EditPiece,
    /// Removed a piece.
    RemovePiece,
    /// Added a passage.
    AddPassage,
    /// Changed a passage's title, meter, tempo, key or links.
    EditPassage,
    /// Removed a passage.
    RemovePassage,
    /// Moved a passage in the list.
    MovePassage,
    /// Changed bars of a passage.
    EditBars,
    /// Read text tab into a passage.
    ReadTab,
    /// Put a voicing into the lesson.
    SaveVoicing,
    /// Changed where the fingers of a voicing are.
    EditShape,
    /// Kept a reading as a voicing's name.
    KeepReading,
    /// Changed how sure the ear is of a string.
    MarkDoubt,
    /// Changed a voicing's fingering, tags or notes.
    EditVoicing,
    /// Removed a voicing.
    RemoveVoicing,
    /// Moved a voicing in the list.
    MoveVoicing,
    /// Added a segment.
    AddSegment,
    /// Changed a segment's title.
    RetitleSegment,
    /// Changed a segment's planned length.
    RetimeSegment,
    /// Changed when a segment was recorded.
    StampSegment,
    /// Changed a segment's kind.
    ChangeSegmentKind,
    /// Said how far a segment is.
    ChangeSegmentProgress,
    /// Changed what a segment says.
    EditTalkingPoints,
    /// Changed which pieces, passages or voicings a segment shows.
    LinkSegment,
    /// Changed a segment's shot or tone notes.
    EditSegmentNotes,
    /// Moved a segment.
    MoveSegment,
    /// Split a segment in two, or joined two.
    SplitOrJoinSegments,
    /// Removed a segment.
    RemoveSegment,
    /// Told apart things that shared a number.
    Renumber,
    /// Applied the remedy of a finding.
    Remedy,
}

impl Reason {
    /// Every reason.
    pub const ALL: [Self; 38] = [
        Self::EditHeader,
        Self::AddInstrument,
        Self::EditInstrument,
        Self::RemoveInstrument,
        Self::AddSetup,
        Self::EditSetup,
        Self::RemoveSetup,
        Self::ChooseSetup,
        Self::AddPiece,
        Self::EditPiece,
        Self::RemovePiece,
        Self::AddPassage,
        Self::EditPassage,
        Self::RemovePassage,
        Self::MovePassage,
        Self::EditBars,
        Self::ReadTab,
        Self::SaveVoicing,
        Self::EditShape,
        Self::KeepReading,
        Self::MarkDoubt,
        Self::EditVoicing,
        Self::RemoveVoicing,
        Self::MoveVoicing,
        Self::AddSegment,
        Self::RetitleSegment,
        Self::RetimeSegment,
        Self::StampSegment,
        Self::ChangeSegmentKind,
        Self::ChangeSegmentProgress,
        Self::EditTalkingPoints,
        Self::LinkSegment,
        Self::EditSegmentNotes,
        Self::MoveSegment,
        Self::SplitOrJoinSegments,
        Self::RemoveSegment,
        Self::Renumber,
        Self::Remedy,
    ];

    /// Returns what to say after "undo" or "redo", in lower case.
    pub const fn label(self) -> &'static str {
        match self {
            Self::EditHeader => "header",
            Self::AddInstrument => "new instrument",
            Self::EditInstrument => "change of instrument",
            Self::RemoveInstrument => "instrument removed",
            Self::AddSetup => "new setup",
            Self::EditSetup => "change of setup",
            Self::RemoveSetup => "setup removed",
            Self::ChooseSetup => "choice of setup",
            Self::AddPiece => "new piece",
            Self::EditPiece => "change of piece",
            Self::RemovePiece => "piece removed",
            Self::AddPassage => "new passage",
            Self::EditPassage => "change of passage",
            Self::RemovePassage => "passage removed",
            Self::MovePassage => "passage moved",
            Self::EditBars => "change of bars",
            Self::ReadTab => "tab read in",
            Self::SaveVoicing => "voicing saved",
            Self::EditShape => "change of shape",
            Self::KeepReading => "reading kept",
            Self::MarkDoubt => "doubt mark",
            Self::EditVoicing => "change of voicing",
            Self::RemoveVoicing => "voicing removed",
            Self::MoveVoicing => "voicing moved",
            Self::AddSegment => "new segment",
            Self::RetitleSegment => "segment title",
            Self::RetimeSegment => "planned length",
            Self::StampSegment => "recorded time",
            Self::ChangeSegmentKind => "kind of segment",
            Self::ChangeSegmentProgress => "how far a segment is",
            Self::EditTalkingPoints => "talking points",
            Self::LinkSegment => "what a segment shows",
            Self::EditSegmentNotes => "shot and tone notes",
            Self::MoveSegment => "segment moved",
            Self::SplitOrJoinSegments => "segments split or joined",
            Self::RemoveSegment => "segment removed",
            Self::Renumber => "new number",
            Self::Remedy => "remedy",
        }
    }
}

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
#[error("the change does not fit the lesson{}", if *.edits > 1 { format!(" (edit {} of {})", .edit, .edits) } else { String::new() })]
pub struct TransactionError {
    /// Which edit failed, counted from 1.
    pub edit: usize,
    /// How many there are.
    pub edits: usize,
    /// Why.
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
}

/// Whether a transaction may join the one before it in the history.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Merge {
    /// It stands for itself.
    #[default]
    Never,
    /// It is part of a run: typed text, a held key.
    Run {
        /// What is typed into or held; runs with other keys stay apart.
        key: u64,
        /// When, in milliseconds on any clock that only runs forward.
        at: u64,
    },
}

/// What has been done to a lesson, and what has been undone.
#[derive(Debug, Clone, Default)]
pub struct History {
    done: Vec<Step>,
    undone: Vec<Step>,
    saved: Saved,
}

/// A transaction with the edits that undo it.
#[derive(Debug, Clone)]
struct Step {
    reason: Reason,
    place: Option<LessonPlace>,
    forward: Vec<Edit>,
    backward: Vec<Edit>,
    merge: Merge,
}

/// Where the saved version lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Saved {
    /// After so many steps.
    After(usize),
    /// On a branch that was left for good, or nowhere yet.
    Nowhere,
}

impl Default for Saved {
    fn default() -> Self {
        Self::After(0)
    }
}

impl History {
    /// The pause that ends a run, in milliseconds. Our own setting.
    pub const RUN_PAUSE: u64 = 1000;

    /// Returns an empty history of a lesson that is as saved.
    pub fn new() -> Self {
        Self::default()
    }

    /// Returns an empty history of a lesson that has never been saved, or was changed before it
    /// came here (a journal replayed after a crash).
    pub fn unsaved() -> Self {
        Self { saved: Saved::Nowhere, ..Self::default() }
    }

    /// Applies `transaction` to `lesson` and keeps it for undo; what was undone before is forgotten.
    /// On error both lesson and history are unchanged. A transaction without edits leaves no trace.
    pub fn apply(
        &mut self,
        lesson: &mut Lesson,
        transaction: Transaction,
        merge: Merge,
    ) -> Result<(), TransactionError> {
        let Transaction { reason, place, edits } = transaction;
        if edits.is_empty() {
            return Ok(());
        }
        let backward = lesson.apply_all(edits.clone())?;
        if matches!(self.saved, Saved::After(steps) if steps > self.done.len()) {
            self.saved = Saved::Nowhere;
        }
        let redo_dropped = !self.undone.is_empty();
        self.undone.clear();
        let step = Step { reason, place, forward: edits, backward, merge };
        // A run does not reach back over an undo or a save: both end at a state worth returning to.
        let joinable = !redo_dropped && self.saved != Saved::After(self.done.len());
        match self.done.last_mut().filter(|last| joinable && last.takes(&step)) {
            Some(last) => last.join(step),
            None => self.done.push(step),
        }
        Ok(())
    }

    /// Undoes the last transaction and returns what was applied to do so; `None` when there is
    /// nothing to undo. On error (the lesson was changed by another door) nothing is changed.
    pub fn undo(&mut self, lesson: &mut Lesson) -> Result<Option<Transaction>, TransactionError> {
        let Some(step) = self.done.last() else { return Ok(None) };
        lesson.apply_all(step.backward.clone())?;
        let Some(mut step) = self.done.pop() else { return Ok(None) };
        // Neither this step nor the one below it may grow from here on.
        step.merge = Merge::Never;
        if let Some(last) = self.done.last_mut() {
            last.merge = Merge::Never;
        }
        let applied = Transaction { reason: step.reason, place: step.place, edits: step.backward.clone() };
        self.undone.push(step);
        Ok(Some(applied))
    }

    /// Redoes what was undone last and returns what was applied to do so; `None` when there is
    /// nothing to redo. On error (the lesson was changed by another door) nothing is changed.
    pub fn redo(&mut self, lesson: &mut Lesson) -> Result<Option<Transaction>, TransactionError> {
        let Some(step) = self.undone.last() else { return Ok(None) };
        lesson.apply_all(step.forward.clone())?;
        let Some(step) = self.undone.pop() else { return Ok(None) };
        let applied = Transaction { reason: step.reason, place: step.place, edits: step.forward.clone() };
        self.done.push(step);
        Ok(Some(applied))
    }

    /// Returns what an undo would take back.
    pub fn next_undo(&self) -> Option<Reason> {
        self.done.last().map(|step| step.reason)
    }

    /// Returns what a redo would do again.
    pub fn next_redo(&self) -> Option<Reason> {
        self.undone.last().map(|step| step.reason)
    }

    /// Returns how many transactions can be undone.
    pub const fn undo_count(&self) -> usize {
        self.done.len()
    }

    /// Returns how many transactions can be redone.
    pub const fn redo_count(&self) -> usize {
        self.undone.len()
    }

    /// Notes that the lesson as it stands now is what lies in the file.
    pub const fn mark_saved(&mut self) {
        self.saved = Saved::After(self.done.len());
    }

    /// Returns whether the lesson stands as it was saved.
    pub fn is_saved(&self) -> bool {
        self.saved == Saved::After(self.done.len())
    }
}

impl Step {
    /// Whether `next` continues this run.
    fn takes(&self, next: &Self) -> bool {
        match (self.merge, next.merge) {
            (Merge::Run { key, at }, Merge::Run { key: next_key, at: next_at }) => {
                self.reason == next.reason
                    && key == next_key
                    && next_at.checked_sub(at).is_some_and(|pause| pause <= History::RUN_PAUSE)
            }
            (Merge::Never, _) | (_, Merge::Never) => false,
        }
    }

    fn join(&mut self, next: Self) {
        self.merge = next.merge;
        if let ([before], [after]) = (self.forward.as_slice(), next.forward.as_slice())
            && replaces_the_same(before, after)
        {
            // A word typed into one title needs the first version and the last, none in between.
            self.forward = next.forward;
            return;
        }
        self.forward.extend(next.forward);
        self.backward.splice(0..0, next.backward);
    }
}

/// Whether both edits put another version of one and the same thing in its place.
fn replaces_the_same(before: &Edit, after: &Edit) -> bool {
    fn same<T: Item>(before: &ListEdit<T, T::Id>, after: &ListEdit<T, T::Id>) -> bool {
        matches!((before, after), (ListEdit::Replace(before), ListEdit::Replace(after)) if before.id() == after.id())
    }
    match (before, after) {
        (Edit::Header(_), Edit::Header(_)) => true,
        (Edit::Instruments(before), Edit::Instruments(after)) => same(before, after),
        (Edit::Setups(before), Edit::Setups(after)) => same(before, after),
        (Edit::Pieces(before), Edit::Pieces(after)) => same(before, after),
        (Edit::Passages(before), Edit::Passages(after)) => same(before, after),
        (Edit::Voicings(before), Edit::Voicings(after)) => same(before, after),
        (Edit::Segments(before), Edit::Segments(after)) => same(before, after),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::document::{Segment, SegmentKind};
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

    /// Types a title letter by letter, with the given pauses before each.
    fn typed(lesson: &mut Lesson, history: &mut History, steps: &[(&str, u64)]) {
        let mut at = 0;
        for (title, pause) in steps {
            at += pause;
            history.apply(lesson, retitle(title), Merge::Run { key: 1, at }).unwrap();
        }
    }

    #[test]
    fn a_failed_edit_undoes_those_before_it() {
        let mut lesson = lesson_with_one_segment();
        let before = lesson.clone();
        let mut edits = retitle("new").edits;
        edits.push(Edit::Segments(ListEdit::Remove(SegmentId(9))));
        let error = lesson.apply_all(edits).unwrap_err();
        assert_eq!(error.to_string(), "the change does not fit the lesson (edit 2 of 2)");
        assert_eq!(error.source.to_string(), "there is no segment 9");
        assert_eq!(lesson, before);
    }

    #[test]
    fn typed_text_is_undone_as_one() {
        let (mut lesson, mut history) = (lesson_with_one_segment(), History::new());
        history.apply(&mut lesson, retitle("start"), Merge::Never).unwrap();
        typed(&mut lesson, &mut history, &[("a", 0), ("ab", 200), ("abc", 1000)]);
        assert_eq!(history.undo_count(), 2);
        assert_eq!(history.done[1].forward.len(), 1, "the versions in between are dropped");
        history.undo(&mut lesson).unwrap();
        assert_eq!(lesson.segments[0].title, "start");
        history.redo(&mut lesson).unwrap();
        assert_eq!(lesson.segments[0].title, "abc");
    }

    #[test]
    fn a_pause_a_save_and_an_undo_end_a_run() {
        let (mut lesson, mut history) = (lesson_with_one_segment(), History::new());
        typed(&mut lesson, &mut history, &[("a", 0), ("ab", 1001)]);
        assert_eq!(history.undo_count(), 2, "a pause");
        history.mark_saved();
        history.apply(&mut lesson, retitle("abc"), Merge::Run { key: 1, at: 1002 }).unwrap();
        assert_eq!(history.undo_count(), 3, "a save");
        history.undo(&mut lesson).unwrap();
        history.apply(&mut lesson, retitle("abd"), Merge::Run { key: 1, at: 1003 }).unwrap();
        assert_eq!(history.undo_count(), 3, "an undo");
    }

    #[test]
    fn a_clock_that_runs_backward_or_another_key_starts_a_new_run() {
        let (mut lesson, mut history) = (lesson_with_one_segment(), History::new());
        for (key, at) in [(1, 500), (1, 400), (2, 400)] {
            history.apply(&mut lesson, retitle("a"), Merge::Run { key, at }).unwrap();
        }
        assert_eq!(history.undo_count(), 3);
    }

    #[test]
    fn the_saved_point_is_found_again_by_undo_and_redo_but_not_on_another_branch() {
        let (mut lesson, mut history) = (lesson_with_one_segment(), History::new());
        assert!(history.is_saved());
        history.apply(&mut lesson, retitle("a"), Merge::Never).unwrap();
        assert!(!history.is_saved());
        history.mark_saved();
        history.undo(&mut lesson).unwrap();
        assert!(!history.is_saved());
        history.redo(&mut lesson).unwrap();
        assert!(history.is_saved());
        history.undo(&mut lesson).unwrap();
        history.apply(&mut lesson, retitle("b"), Merge::Never).unwrap();
        assert!(!history.is_saved(), "as many steps, but other ones");
        assert!(!History::unsaved().is_saved());
    }

    #[test]
    fn every_reason_has_its_own_label() {
        let mut labels: Vec<&str> = Reason::ALL.iter().map(|reason| reason.label()).collect();
        labels.sort_unstable();
        labels.dedup();
        assert_eq!(labels.len(), Reason::ALL.len());
    }
}
