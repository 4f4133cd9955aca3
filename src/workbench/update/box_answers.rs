//! Takes what is in the box on top to whoever asked for it. What it comes to is the asker's.

use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::jump::Jump;
use crate::workbench::boxes::list::ListBox;
use crate::workbench::boxes::marks::MarksBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::points::PointsBox;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::fretboard::grip::Grip;
use crate::workbench::panes::fretboard::neck_keys;
use crate::workbench::panes::library::taking_answers::delete_from_lesson;
use crate::workbench::panes::start::new_lesson;
use crate::workbench::panes::timeline::taking_answers as timeline;
use crate::workbench::questions::library::LibraryPick;
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::program::{Existing, ProgramQuestion};
use crate::workbench::questions::question::{Insistence, Question};
use crate::workbench::state::State;
use crate::workbench::update::handout;
use crate::workbench::update::leaving;
use crate::workbench::update::program;
use crate::workbench::update::sound_keys;

/// Takes what is in the box on top and puts the box away, unless there is something wrong with it. Where nothing comes of it,
/// that is said. The search for an action is not answered but acted upon: see `routing`.
pub fn accept(state: &mut State) -> PaneReply {
    let before = standing(state);
    // A list leads to a place, and nothing was to be changed there.
    let silent = match state.overlay {
        Some(Overlay::List(_)) => "you are there",
        Some(_) | None => "no change",
    };
    let reply = take_in(state);
    let is_silent = reply == PaneReply::nothing() && state.overlay.is_none() && state.laid_aside.is_empty();
    if is_silent && standing(state) == before { PaneReply::note(silent) } else { reply }
}

/// Returns how far the lesson has come, and what is on the fretboard: what an answer changes without a word.
fn standing(state: &State) -> Option<(u64, Grip)> {
    state.desk().map(|desk| (desk.lesson.revision(), desk.fretboard.grip().clone()))
}

fn take_in(state: &mut State) -> PaneReply {
    match state.overlay.take() {
        Some(Overlay::Entry(entry)) => accept_entry(state, entry),
        Some(Overlay::Points(points)) => accept_points(state, &points),
        Some(Overlay::Marks(marks)) => accept_marks(state, marks),
        Some(Overlay::Choice(choice)) => accept_choice(state, &choice),
        Some(Overlay::List(list)) => go_there(state, list),
        Some(Overlay::Preview(preview)) => {
            state.overlay = Some(Overlay::Preview(preview));
            handout::write(state, Existing::Ask)
        }
        Some(found @ (Overlay::Search(_) | Overlay::Help(_))) => {
            state.overlay = Some(found);
            PaneReply::nothing()
        }
        None => PaneReply::nothing(),
    }
}

/// Takes what is written into the lesson.
pub fn accept_points(state: &mut State, points: &PointsBox) -> PaneReply {
    state.desk_mut().map_or_else(PaneReply::nothing, |desk| timeline::take_written(&mut desk.lesson, points))
}

/// Has what is marked played or shown. Where no line has a mark, the one that is selected is meant, as in a list of choices. Whoever
/// has changed no mark and stands on a line without one, beside others with one, is told how to mark it.
fn accept_marks(state: &mut State, mut marks: MarksBox) -> PaneReply {
    let Some(desk) = state.desk_mut() else { return PaneReply::nothing() };
    let mut reply = timeline::take_marked(&mut desk.lesson, &marks);
    if reply == PaneReply::nothing() && marks.lines.iter().all(|line| !line.marked) {
        marks.lines.iter_mut().skip(marks.selected).take(1).for_each(|line| line.marked = true);
        reply = timeline::take_marked(&mut desk.lesson, &marks);
    }
    let unmarked = marks.lines.get(marks.selected).is_some_and(|line| !line.marked);
    if reply != PaneReply::nothing() || !unmarked {
        return reply;
    }
    // The key that is named marks the line only where no letters are typed.
    state.overlay = Some(Overlay::Marks(MarksBox { jump: Jump::default(), ..marks }));
    PaneReply::note(
        "no line was marked or unmarked: {Marks(Toggle)} marks this one, {Marks(Cancel)} leaves all as it is",
    )
}

/// Hands what was typed to whoever asked; what is refused is asked for again in the same box, with the reason.
fn accept_entry(state: &mut State, entry: EntryBox) -> PaneReply {
    let text = entry.line.text();
    // Whatever changes the line takes the reason of the refusal away.
    let insistence = if entry.error.is_some() { Insistence::Again } else { Insistence::First };
    let answered = match &entry.question {
        Question::Start(question) => new_lesson::answer(*question, text),
        Question::Program(ProgramQuestion::SaveWhere(then)) => leaving::save_where(state, *then, text),
        Question::Program(ProgramQuestion::HandoutSegments) => handout::take_segments(state, text),
        Question::Program(ProgramQuestion::HandoutWidth) => handout::take_width(state, text),
        Question::Sound(question) => sound_keys::answer(state, *question, text),
        Question::Desk(_)
        | Question::Timeline(_)
        | Question::Passage(_)
        | Question::Fretboard(_)
        | Question::Readings(_)
        | Question::Library(_)
        | Question::Recording(_) => answer_on_desk(state, &entry.question, text, insistence),
    };
    answered.unwrap_or_else(|error| PaneReply::ask(Overlay::Entry(EntryBox { error: Some(error), ..entry })))
}

fn answer_on_desk(
    state: &mut State,
    question: &Question,
    text: &str,
    insistence: Insistence,
) -> Result<PaneReply, String> {
    let Some(desk) = state.desk_mut() else { return Ok(PaneReply::nothing()) };
    match question {
        Question::Desk(question) => desk.answer(*question, text),
        Question::Timeline(question) => desk.timeline.answer(&mut desk.lesson, question, text),
        Question::Passage(question) => desk.passage.answer(&mut desk.lesson, question.clone(), (text, insistence)),
        Question::Fretboard(question) => neck_keys::answer(&mut desk.fretboard, *question, text),
        Question::Readings(question) => desk.answer_readings(*question, text),
        Question::Library(question) => desk.library.answer(&mut desk.lesson, question, text),
        Question::Recording(question) => desk.recording.answer(*question, text),
        Question::Start(_) | Question::Program(_) | Question::Sound(_) => Ok(PaneReply::nothing()),
    }
}

/// Hands what was picked to whoever offered it.
fn accept_choice(state: &mut State, choice: &ChoiceBox) -> PaneReply {
    let pick = choice.pick();
    match (pick, state.desk_mut()) {
        (Pick::Timeline(pick), Some(desk)) => timeline::take(&mut desk.lesson, pick),
        (Pick::Passage(pick), Some(desk)) => desk.passage.take(&mut desk.lesson, pick),
        (Pick::Library(LibraryPick::DeleteFromLesson(ids)), Some(desk)) => delete_from_lesson(&mut desk.lesson, &ids),
        (Pick::Timeline(_) | Pick::Passage(_) | Pick::Library(_), None) => PaneReply::nothing(),
        (Pick::Start(pick), _) => new_lesson::take(pick),
        (Pick::Program(pick), _) => program::take(state, pick),
        (Pick::Sound(pick), _) => sound_keys::take(state, pick),
        (Pick::TakeWritten, _) => {
            state.overlay = state.laid_aside.pop();
            take_in(state)
        }
        (Pick::GiveUpWritten, _) => {
            state.laid_aside.pop();
            PaneReply::nothing()
        }
        // What the list covered is shown again.
        (Pick::Nothing, _) => PaneReply::nothing(),
    }
}

/// Goes to the place that the selected line of a list is about.
fn go_there(state: &mut State, list: ListBox) -> PaneReply {
    let here = state.desk().and_then(|desk| desk.timeline.selected());
    let place = list.lines.get(list.selected).and_then(|line| line.leads_to(here));
    match (place, state.desk_mut()) {
        (Some(place), Some(desk)) => desk.go_to(place),
        (None, _) | (_, None) => {
            state.overlay = Some(Overlay::List(list));
            PaneReply::say(Notice::note("nothing to go to on this line"))
        }
    }
}
