//! What stands on the screen and not in the lesson yet: handed over to be kept as it changes, and brought back at the next opening,
//! the words in their box and the cursor where it was.
//!
//! Only answering or putting away a box takes its words out of what is kept. Little is handed over at every key; what is
//! large, above all a script pasted into talking points, once the runtime says that time has gone by.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::instrument::rig::Rig;
use crate::lesson::document::Lesson;
use crate::lesson::id::SegmentId;
use crate::store::draft::{BoxDraft, Draft};
use crate::store::open_lesson::Access;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::points::PointsBox;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::desk::standpoint::{Standpoint, WayBack};
use crate::workbench::editing::rigs::describe;
use crate::workbench::messages::effect::{Effect, FileEffect};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::fretboard::fingers::GripOrigin;
use crate::workbench::panes::fretboard::grip::Grip;
use crate::workbench::panes::timeline::asking::written_in;
use crate::workbench::questions::passage::PassageQuestion;
use crate::workbench::questions::question::Question;
use crate::workbench::questions::timeline::{SegmentText, TimelineQuestion};
use crate::workbench::state::{BoxMark, DraftMark, State};
use crate::workbench::typing::lines::{TypedLine, TypedLines};

/// The most bytes of words that are handed over at every key.
const LITTLE: usize = 16_000;

/// All that a box takes to be opened again, but for its words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Form {
    /// A box for one line.
    Entry {
        /// What is asked.
        question: Question,
        /// The title of the box.
        title: String,
        /// What stands under the line.
        advice: String,
        /// The bytes before the cursor.
        cursor: usize,
        /// What the line began with.
        #[serde(default)]
        prefill: String,
    },
    /// A box for the points or the notes of a segment.
    Points {
        /// The segment.
        segment: SegmentId,
        /// What of it.
        what: SegmentText,
        /// The title of the box.
        title: String,
        /// The line with the cursor, counted from 0.
        row: usize,
        /// The bytes before the cursor in that line.
        cursor: usize,
    },
}

/// Returns the boxes in which something is written, the one on top last.
fn written(state: &State) -> impl Iterator<Item = &Overlay> {
    state.laid_aside.iter().chain(&state.overlay).filter(|overlay| match overlay {
        Overlay::Entry(entry) => !entry.line.text().is_empty(),
        Overlay::Points(points) => points.lines.size() > points.lines.lines().len(),
        Overlay::Choice(_)
        | Overlay::Marks(_)
        | Overlay::List(_)
        | Overlay::Preview(_)
        | Overlay::Search(_)
        | Overlay::Help(_) => false,
    })
}

/// Returns whether the open lesson is one beside which a draft is kept.
fn is_kept(state: &State) -> bool {
    state.desk().is_some_and(|desk| matches!(desk.lesson.access(), Access::Full))
}

/// Returns the fingers that no voicing holds.
fn fingers(state: &State) -> Option<&Grip> {
    let fretboard = &state.desk()?.fretboard;
    (fretboard.origin() == GripOrigin::Hand && !fretboard.grip().is_silent()).then(|| fretboard.grip())
}

/// Returns the draft of nothing but the fingers that no voicing holds.
pub fn of_fingers(state: &State) -> Draft {
    let Some((grip, desk)) = fingers(state).zip(state.desk()) else { return Draft::default() };
    let rig = desk.fretboard.rig();
    Draft {
        fingers: grip.shape.to_string(),
        tuning: tuning_of(rig),
        doubts: grip.doubts_to_keep(),
        readings: grip.names_on(rig).to_vec(),
        bass: grip.bass_on(rig).map(|bass| bass.to_string()).unwrap_or_default(),
        held_with: grip.fingers.clone(),
        barre: grip.barre,
        ..Draft::default()
    }
}

/// Returns the tuning, the capo and the instrument that fingers belong to, in words.
fn tuning_of(rig: &Rig) -> String {
    format!("{}, {}", describe(rig), rig.instrument().name)
}

/// Puts fingers down again that were kept. Returns whether they can be played here: they belong to the tuning and capo that
/// they were put down in.
fn put_down(state: &mut State, draft: &Draft) -> bool {
    let Some(desk) = state.desk_mut() else { return false };
    let fretboard = &mut desk.fretboard;
    let is_here = draft.tuning.is_empty() || draft.tuning == tuning_of(fretboard.rig());
    if !is_here || draft.fingers.is_empty() || fretboard.take_text(&draft.fingers).is_err() {
        return false;
    }
    let typed = fretboard.grip().clone();
    // Earlier versions wrote the doubts into the shape.
    let doubts = if draft.doubts.is_empty() { typed.doubts } else { draft.doubts.clone() };
    let grip = Grip::new(typed.shape, doubts, draft.readings.clone(), Arc::clone(fretboard.rig()));
    let grip = grip.held_with(draft.held_with.clone(), draft.barre).over(draft.bass.parse().ok());
    fretboard.put_back(grip, GripOrigin::Hand)
}

/// Returns what shows whether anything has changed.
fn mark(state: &State) -> DraftMark {
    if !is_kept(state) {
        return DraftMark::default();
    }
    let mark = |overlay: &Overlay| match overlay {
        Overlay::Entry(entry) => Some(BoxMark::Entry(entry.clone())),
        Overlay::Points(points) => Some(BoxMark::Points(points.segment, points.what, points.lines.revision())),
        Overlay::Choice(_)
        | Overlay::Marks(_)
        | Overlay::List(_)
        | Overlay::Preview(_)
        | Overlay::Search(_)
        | Overlay::Help(_) => None,
    };
    let boxes: Vec<BoxMark> = written(state).filter_map(mark).collect();
    let standpoint = state.desk().filter(|_| !boxes.is_empty()).map(Desk::standpoint);
    DraftMark { fingers: fingers(state).cloned(), boxes, standpoint }
}

/// Returns how many bytes of words there are in boxes.
fn size(state: &State) -> usize {
    let size = |overlay: &Overlay| match overlay {
        Overlay::Entry(EntryBox { question: Question::Passage(PassageQuestion::PastedTab(tab)), line, .. }) => {
            tab.len() + line.text().len()
        }
        Overlay::Entry(entry) => entry.line.text().len(),
        Overlay::Points(points) => points.lines.size(),
        Overlay::Choice(_)
        | Overlay::Marks(_)
        | Overlay::List(_)
        | Overlay::Preview(_)
        | Overlay::Search(_)
        | Overlay::Help(_) => 0,
    };
    written(state).map(size).sum()
}

/// Returns what is not in the lesson yet, whole.
fn whole(state: &State) -> Draft {
    if !is_kept(state) {
        return Draft::default();
    }
    let boxes: Vec<BoxDraft> = state.draft.homeless.iter().cloned().chain(written(state).filter_map(drafted)).collect();
    // Fingers come back where the tuning is theirs.
    let stands = !boxes.is_empty() || fingers(state).is_some();
    let standpoint = state.desk().filter(|_| stands).map(Desk::standpoint);
    let standpoint = standpoint.and_then(|standpoint| ron::to_string(&standpoint).ok()).unwrap_or_default();
    Draft { boxes, standpoint, ..of_fingers(state) }
}

/// Returns a box as it is kept; `None` where nothing is written in such a box.
fn drafted(overlay: &Overlay) -> Option<BoxDraft> {
    let (about, words, form) = match overlay {
        Overlay::Entry(entry) => {
            let EntryBox { question, title, advice, line, prefill, .. } = entry.clone();
            let cursor = line.cursor();
            let form = Form::Entry { question, title: title.clone(), advice: advice.into_owned(), cursor, prefill };
            (title, line.text().to_owned(), form)
        }
        Overlay::Points(points) => {
            let PointsBox { segment, what, title, lines, .. } = points;
            let (row, cursor, title) = (lines.row(), lines.cursor(), title.clone());
            let form = Form::Points { segment: *segment, what: *what, title: title.clone(), row, cursor };
            (title, lines.text(), form)
        }
        Overlay::Choice(_)
        | Overlay::Marks(_)
        | Overlay::List(_)
        | Overlay::Preview(_)
        | Overlay::Search(_)
        | Overlay::Help(_) => {
            return None;
        }
    };
    // Without its form a box cannot be opened again, but its words can be told.
    Some(BoxDraft { about, words, form: ron::to_string(&form).unwrap_or_default() })
}

/// Has what has changed of it kept, at once where it is little.
pub fn changed(state: &mut State) -> Option<Effect> {
    let now = mark(state);
    if state.draft.mark == now {
        return None;
    }
    state.draft.mark = now;
    state.draft.changes += 1;
    state.draft.is_late = is_kept(state) && size(state) > LITTLE;
    if state.draft.is_late {
        return None;
    }
    state.desk().map(|_| FileEffect::KeepDraft(Box::new(whole(state))).into())
}

/// Has what is not in the lesson yet kept before anything else is done, if it has changed.
pub fn hand_over(state: &mut State) {
    let now = mark(state);
    if state.desk().is_some() && (state.draft.is_late || state.draft.mark != now) {
        state.draft.mark = now;
        state.draft.is_late = false;
        state.draft.outgoing = Some(Box::new(whole(state)));
    }
}

/// Has what is not in the lesson yet kept for the next opening, because the lesson is left: whoever leaves in peace loses no
/// more than whoever is killed. Words that have been told because their box is gone are not told a second time.
pub fn leave_behind(state: &mut State) {
    state.draft.is_late |= !state.draft.homeless.is_empty();
    state.draft.homeless.clear();
    hand_over(state);
}

/// Takes note that what is not in the lesson could not be kept.
pub fn failed(state: &mut State, why: String) -> PaneReply {
    state.draft.is_refused = true;
    PaneReply::say(Notice::trouble(why))
}

/// Takes note that what is not in the lesson is kept again.
pub fn mended(state: &mut State) -> PaneReply {
    state.draft.is_refused = false;
    PaneReply::say(Notice::done("fingers and words in an open box are safe from a crash again"))
}

/// Returns whether there are words or fingers that could not be kept: whoever leaves now loses them.
pub fn is_at_risk(state: &State) -> bool {
    state.draft.is_refused && (fingers(state).is_some() || written(state).next().is_some())
}

/// Puts the fingers of the time before back on the fretboard and opens the boxes again in which something was being written. What has
/// no box any more is told.
pub fn bring_back(state: &mut State, draft: &Draft) {
    let Some(desk) = state.desk_mut() else { return };
    let standpoint: Option<Standpoint> = ron::from_str(&draft.standpoint).ok();
    let way = standpoint.map_or(WayBack::Gone, |standpoint| desk.stand_at(&standpoint));
    let fingers = put_down(state, draft);
    let Some(desk) = state.desk() else { return };
    let lesson = desk.lesson.lesson();
    let (mut open, mut homeless) = (Vec::new(), Vec::new());
    let earlier = BoxDraft { about: draft.about.clone(), words: draft.words.clone(), form: String::new() };
    for kept in std::iter::once(&earlier).filter(|earlier| !earlier.words.is_empty()).chain(&draft.boxes) {
        match opened(lesson, kept, way) {
            Some(overlay) => open.push(overlay),
            None => homeless.push(kept.clone()),
        }
    }
    if fingers {
        state.said.say_also(Notice::note(format!("the fingers {} are back on the fretboard", draft.fingers)));
    } else if !draft.fingers.is_empty() {
        let about = if draft.tuning.is_empty() {
            "fingers on the fretboard".to_owned()
        } else {
            format!("fingers on the fretboard, in {}", draft.tuning)
        };
        homeless.push(BoxDraft { about, words: draft.fingers.clone(), form: String::new() });
    }
    if !open.is_empty() {
        state.said.say_also(Notice::note("what you were writing is back in its box"));
    }
    for BoxDraft { about, words, .. } in &homeless {
        state.said.say_also(Notice::note(format!("what was being written ({about}): {words}")));
    }
    state.draft.homeless = homeless;
    // Under a box that has to be answered first they wait.
    state.laid_aside.extend(open);
    if state.overlay.is_none() {
        state.overlay = state.laid_aside.pop();
    }
}

/// Returns a box with its words and its cursor; `None` where it cannot be opened, or what it asks about is gone.
fn opened(lesson: &Lesson, kept: &BoxDraft, way: WayBack) -> Option<Overlay> {
    let words = kept.words.clone();
    match ron::from_str(&kept.form).ok()? {
        Form::Entry { question, title, advice, cursor, prefill } => {
            if !is_about_something(lesson, &question, way) {
                return None;
            }
            // What nobody has touched yet is selected again.
            let untouched = words == prefill && cursor == words.len();
            let line = if untouched { TypedLine::prefilled(words) } else { TypedLine::with_cursor(words, cursor) };
            Some(Overlay::Entry(EntryBox {
                question,
                title,
                advice: advice.into(),
                line,
                prefill,
                error: None,
                offers: Vec::new(),
            }))
        }
        Form::Points { segment, what, title, row, cursor } => {
            let before = written_in(lesson.segment(segment)?, what);
            let lines = TypedLines::with_cursor(&words, row, cursor);
            Some(Overlay::Points(PointsBox { segment, what, title, lines, before }))
        }
    }
}

/// Returns whether what a question asks about is there.
fn is_about_something(lesson: &Lesson, question: &Question, way: WayBack) -> bool {
    use PassageQuestion as P;
    use TimelineQuestion as T;
    match question {
        Question::Timeline(T::NewSegment(_) | T::Target) => true,
        Question::Timeline(
            T::Title(id)
            | T::Length(id)
            | T::Recorded(id)
            | T::SplitAt(id)
            | T::Cuts(id)
            | T::Place(id)
            | T::PieceTitle(id)
            | T::PieceKey { segment: id, .. }
            | T::NewSetup(id),
        ) => lesson.segment(*id).is_some(),
        Question::Timeline(T::PieceName(id) | T::PieceCredit(id, _)) => lesson.piece(*id).is_some(),
        Question::Timeline(T::TuningName(id) | T::TuningNotes(id)) => lesson.setup(*id).is_some(),
        Question::Passage(P::NewTitle | P::NewMeter { .. } | P::NewTempo { .. } | P::TabFile | P::PastedTab(_)) => true,
        Question::Passage(
            P::Title
            | P::Length
            | P::Bend
            | P::Trill
            | P::TouchedHarmonic
            | P::TappedHarmonic
            | P::Dip
            | P::Dive
            | P::Grace
            | P::Finger
            | P::Chord
            | P::Words
            | P::Meter
            | P::Tempo
            | P::Key
            | P::Times
            | P::Endings
            | P::Semitones
            | P::Tuning,
        ) => way == WayBack::Found,
        Question::Desk(_)
        | Question::Fretboard(_)
        | Question::Readings(_)
        | Question::Library(_)
        | Question::Recording(_)
        | Question::Start(_)
        | Question::Program(_)
        | Question::Sound(_) => true,
    }
}
