//! What becomes of what was typed, picked, written or marked in a box of the timeline.

use crate::lesson::document::Recorded;
use crate::lesson::id::SegmentId;
use crate::lesson::recording::stretches;
use crate::workbench::boxes::marks::MarksBox;
use crate::workbench::boxes::points::PointsBox;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::header_changes::set_target;
use crate::workbench::editing::segment_changes::{
    CutTimes, retime, retitle, set_cuts, set_kind, set_marked, set_progress, set_written, stamp,
};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::timeline::asking::ask_new_setup;
use crate::workbench::panes::timeline::chapter_list;
use crate::workbench::panes::timeline::deleting::left_over;
use crate::workbench::panes::timeline::mending::mend_by;
use crate::workbench::panes::timeline::moving::move_to_number;
use crate::workbench::panes::timeline::pane::{NEW_LENGTH, TimelinePane};
use crate::workbench::panes::timeline::piece::{self, name_piece, take_piece_title};
use crate::workbench::panes::timeline::piece_list::PieceLine;
use crate::workbench::panes::timeline::tunings::{self, add_setup};
use crate::workbench::questions::timeline::{Marked, SegmentTuning, TimelinePick, TimelineQuestion};
use crate::workbench::typing::time::{
    is_shift, read_cut, read_cuts, read_length, read_recorded, write_cuts, write_recorded,
};

impl TimelinePane {
    /// Takes what was typed as the answer to a question. What is asked about a segment that is gone comes to nothing.
    ///
    /// Errors: in words, what is wrong with it.
    pub fn answer(
        &mut self,
        open: &mut EditedLesson,
        question: &TimelineQuestion,
        text: &str,
    ) -> Result<PaneReply, String> {
        use TimelineQuestion as Q;
        Ok(match *question {
            Q::NewSegment(place) => self.take_new_segment(open, place, text)?,
            Q::Title(id) => PaneReply::of_change(open, "title changed", |open| retitle(open, id, text)),
            Q::Length(id) => self.plan(open, id, text)?,
            Q::Recorded(id) => self.record(open, id, text)?,
            Q::SplitAt(id) => {
                let Some(segment) = open.segment(id) else { return Ok(PaneReply::nothing()) };
                let at = read_cut(text, segment.planned)?;
                self.split(open, id, at)?;
                PaneReply::say(Notice::done("split in two; {Timeline(Retitle)} changes the title of the second part"))
            }
            Q::Cuts(id) => cut(open, id, text)?,
            Q::Place(id) => move_to_number(open, id, text)?,
            Q::Target => aim_for(open, text)?,
            Q::PieceTitle(id) => take_piece_title(open, id, text),
            Q::PieceKey { segment, ref title } => {
                let before = open.revision();
                let done = name_piece(open, segment, title, text)?;
                PaneReply::say(if open.revision() == before { Notice::note("no change") } else { Notice::done(done) })
            }
            Q::NewSetup(id) => add_setup(open, id, text)?,
            Q::PieceName(id) => piece::rename(open, id, text)?,
            Q::PieceCredit(id, which) => piece::take_credit(open, id, which, text),
            Q::TuningName(id) => tunings::rename(open, id, text)?,
            Q::TuningNotes(id) => tunings::take_notes(open, id, text)?,
        })
    }

    /// Adds a segment of this title, or a piece with several where the line says so.
    fn take_new_segment(&mut self, open: &mut EditedLesson, place: usize, text: &str) -> Result<PaneReply, String> {
        let Some(line) = PieceLine::read(text)? else {
            let done = "added; {Timeline(Retime)} changes its length, {Timeline(ChooseKind)} its kind";
            return Ok(PaneReply::of_change(open, done, |open| self.add(open, place, text)));
        };
        self.select(line.add(open, place, NEW_LENGTH)?);
        Ok(PaneReply::say(Notice::done(line.words())))
    }

    fn plan(&self, open: &mut EditedLesson, id: SegmentId, text: &str) -> Result<PaneReply, String> {
        let Some(segment) = open.segment(id) else { return Ok(PaneReply::nothing()) };
        let length = read_length(text, segment.planned)?;
        let done = format!("planned length is {length} now");
        Ok(PaneReply::of_change(open, done, |open| retime(open, id, length, self.ripple())))
    }

    fn record(&self, open: &mut EditedLesson, id: SegmentId, text: &str) -> Result<PaneReply, String> {
        let Some(segment) = open.segment(id) else { return Ok(PaneReply::nothing()) };
        let recorded: Option<Recorded> = read_recorded(text, segment.recorded)?;
        let cuts = if is_shift(text) { CutTimes::MoveAlong } else { CutTimes::Stay };
        let done = match recorded {
            Some(recorded) => format!("recorded {}", write_recorded(recorded)),
            None => format!("it is not recorded yet{}", left_over(open.lesson(), id)),
        };
        Ok(PaneReply::of_change(open, done, |open| stamp(open, id, recorded, cuts, self.ripple())))
    }
}

/// Takes what is cut out of a segment. Errors: in words, that it is no such time, or does not lie within the recording.
fn cut(open: &mut EditedLesson, id: SegmentId, text: &str) -> Result<PaneReply, String> {
    let segments = &open.lesson().segments;
    let place = open.lesson().segment_index(id);
    let Some(stretch) = place.and_then(|place| stretches(segments).get(place).copied().flatten()) else {
        return Ok(PaneReply::nothing());
    };
    let known = open.segment(id).into_iter().flat_map(|segment| &segment.cuts);
    let known = known.map(|cut| Recorded { start: cut.from, end: Some(cut.to) });
    let shown: Vec<Recorded> = known.chain([Recorded { start: stretch.from, end: stretch.to }]).collect();
    let cuts = read_cuts(text, &shown)?;
    for cut in &cuts {
        if cut.from < stretch.from {
            return Err(format!("the segment is recorded from {} on: {cut} begins before that", stretch.from));
        }
        if let Some(end) = stretch.to.filter(|end| cut.to > *end) {
            return Err(format!("the segment is recorded until {end}: {cut} ends after that"));
        }
    }
    let done =
        if cuts.is_empty() { "nothing is cut out".to_owned() } else { format!("cut out: {}", write_cuts(&cuts)) };
    Ok(PaneReply::of_change(open, done, |open| set_cuts(open, id, cuts)))
}

/// Takes the length that the whole video should have; nothing typed is no goal.
fn aim_for(open: &mut EditedLesson, text: &str) -> Result<PaneReply, String> {
    let now = open.lesson().header.target.unwrap_or_default();
    let target = if text.trim().is_empty() { None } else { Some(read_length(text, now)?) };
    let done = target.map_or("no goal".to_owned(), |target| format!("the goal is {target}"));
    Ok(PaneReply::of_change(open, done, |open| set_target(open, target)))
}

/// Does what was picked from a list about a segment.
pub fn take(open: &mut EditedLesson, pick: TimelinePick) -> PaneReply {
    match pick {
        TimelinePick::Kind(id, kind) => {
            PaneReply::of_change(open, format!("kind: {}", kind.word()), |open| set_kind(open, id, kind))
        }
        TimelinePick::Progress(id, progress) => {
            let done = format!("progress: {}", progress.word());
            PaneReply::of_change(open, done, |open| set_progress(open, id, progress))
        }
        TimelinePick::Setup(id, setup) => {
            tunings::choose(open, id, &setup.map_or(SegmentTuning::AsBefore, SegmentTuning::Known))
        }
        TimelinePick::PlayIn(id, wanted, there) => tunings::play_in(open, id, &wanted, Some(there)),
        TimelinePick::CopyPlannedChapters => chapter_list::copy_planned(open.lesson()),
        TimelinePick::AddSetup(id) => ask_new_setup(id),
        TimelinePick::Mend(finding, way) => mend_by(open, &finding, way),
        TimelinePick::Piece(id) => piece::choose_change(open.lesson(), id),
        TimelinePick::RenamePiece(id) => piece::ask_title(open.lesson(), id),
        TimelinePick::AskCredit(id, which) => piece::ask_credit(open.lesson(), id, which),
        TimelinePick::DeletePiece(id) => piece::delete(open, id),
        TimelinePick::ListTunings => tunings::list(open.lesson()),
        TimelinePick::Tuning(id) => tunings::choose_change(open.lesson(), id),
        TimelinePick::AskTuning(id, what) => tunings::ask(open.lesson(), id, what),
        TimelinePick::ChangeTuning(id, text, keeping) => tunings::change(open, id, &text, keeping),
        TimelinePick::DeleteTuning(id) => tunings::delete(open, id),
        TimelinePick::DeleteTuningFor(id, instead, keeping) => tunings::delete_for(open, id, Some(instead), keeping),
    }
}

/// Takes points or notes that were written into the lesson.
pub fn take_written(open: &mut EditedLesson, points: &PointsBox) -> PaneReply {
    let done = format!("{} changed; {{Desk(Undo)}} undoes", points.what.word());
    PaneReply::of_change_if_any(open, done, |open| {
        set_written(open, points.segment, points.what, points.lines.written())
    })
    .unwrap_or_default()
}

/// Has a segment play or show what was marked.
pub fn take_marked(open: &mut EditedLesson, marks: &MarksBox) -> PaneReply {
    let shapes = marks.lines.iter().any(|line| matches!(line.thing, Marked::Voicing(_)));
    let done = if shapes { "chord shapes chosen" } else { "tab chosen" };
    PaneReply::of_change_if_any(open, done, |open| set_marked(open, marks.segment, &marks.offered(), &marks.marked()))
        .unwrap_or_default()
}
