//! What happens when the content of a box is taken.

use super::boxes::{ChoiceBox, EntryBox, Overlay, Pick, Subject};
use super::edited_lesson::ChangeError;
use super::message::{Effect, Existing, Notice, SaveAs};
use super::panes::timeline;
use super::reply::Reply;
use super::state::{AfterSave, State};
use super::update::leave_now;
use crate::instrument::catalogue;

/// Takes what is in the box on top and puts the box away, unless there is something wrong with it.
pub fn accept(state: &mut State) -> Reply {
    match state.overlay.take() {
        Some(Overlay::Entry(entry)) => accept_entry(state, entry),
        Some(Overlay::Points(points)) => change(state, "talking points changed", |desk| {
            timeline::set_points(&mut desk.lesson, points.segment, points.lines.written())
        }),
        Some(Overlay::Choice(choice)) => accept_choice(state, &choice),
        Some(Overlay::List(list)) => {
            let segment = list.lines.get(list.selected).and_then(|line| line.segment);
            match (segment, state.desk_mut()) {
                (Some(segment), Some(desk)) => desk.go_to_segment(segment),
                (None, _) | (_, None) => state.overlay = Some(Overlay::List(list)),
            }
            Reply::nothing()
        }
        None => Reply::nothing(),
    }
}

/// Makes a change and says how it went.
fn change(
    state: &mut State,
    done: &str,
    make: impl FnOnce(&mut super::desk::Desk) -> Result<(), ChangeError>,
) -> Reply {
    match state.desk_mut() {
        Some(desk) => Reply::to_change(make(desk), done),
        None => Reply::nothing(),
    }
}

fn accept_entry(state: &mut State, entry: EntryBox) -> Reply {
    let text = entry.line.text().to_owned();
    match entry.subject {
        Subject::NewSegment(place) => {
            change(state, "added; l changes its length, k its kind", |desk| desk.add_segment(place, &text))
        }
        Subject::SegmentTitle(id) => {
            change(state, "title changed", |desk| timeline::retitle(&mut desk.lesson, id, &text))
        }
        Subject::LessonTitle => change(state, "title of the lesson changed", |desk| desk.retitle(&text)),
        Subject::SegmentLength(id) => {
            let now = state.desk().and_then(|desk| desk.lesson.segment(id)).map(|segment| segment.planned);
            match now.map(|now| timeline::read_length(&text, now)) {
                Some(Ok(length)) => change(state, &format!("planned length is {length} now"), |desk| {
                    timeline::retime(&mut desk.lesson, id, length)
                }),
                Some(Err(error)) => ask_again(entry, error),
                None => Reply::nothing(),
            }
        }
        Subject::NewSetup(id) => match state.desk_mut().map(|desk| desk.add_setup(id, &text)) {
            Some(Err(error)) => ask_again(entry, error),
            Some(Ok(())) => Reply::say(Notice::done("new setup; this segment is played in it")),
            None => Reply::nothing(),
        },
        Subject::Shape => match state.desk_mut().map(|desk| desk.take_shape(&text)) {
            Some(Err(error)) => ask_again(entry, error),
            Some(Ok(())) | None => Reply::nothing(),
        },
        Subject::OpenPath if text.trim().is_empty() => ask_again(entry, "type the path of a lesson".into()),
        Subject::OpenPath => Reply::want(Effect::Open(text.trim().into())),
        Subject::NewLesson if text.trim().is_empty() => ask_again(entry, "a lesson needs a title".into()),
        Subject::NewLesson => Reply::ask(Overlay::Choice(instrument_choice(text.trim()))),
    }
}

fn ask_again(entry: EntryBox, error: String) -> Reply {
    Reply::ask(Overlay::Entry(EntryBox { error: Some(error), ..entry }))
}

fn instrument_choice(title: &str) -> ChoiceBox {
    let line = |known: &catalogue::KnownInstrument| {
        let instrument = known.instrument.name.clone();
        (instrument.clone(), Pick::NewLesson { title: title.to_owned(), instrument })
    };
    ChoiceBox {
        title: "The instrument it is played on".into(),
        advice: "In its usual tuning; setups for other tunings and capos can be added.".into(),
        lines: catalogue::instruments().iter().map(line).collect(),
        selected: 0,
    }
}

fn accept_choice(state: &mut State, choice: &ChoiceBox) -> Reply {
    match choice.pick() {
        Pick::Kind(id, kind) => change(state, &format!("this segment is: {}", kind.word()), |desk| {
            timeline::set_kind(&mut desk.lesson, id, kind)
        }),
        Pick::Setup(id, setup) => {
            change(state, "setup chosen", |desk| timeline::set_setup(&mut desk.lesson, id, setup))
        }
        Pick::AddSetup(id) => timeline::ask_new_setup(id),
        Pick::Passage(id, passage) => {
            let reply = change(state, "music changed", |desk| timeline::toggle_passage(&mut desk.lesson, id, passage));
            // The list stays for the next line, with its marks as they are now.
            let overlay = state.desk().and_then(|desk| desk.passage_choice(id, choice.selected));
            Reply { overlay, ..reply }
        }
        Pick::Handout(existing) => write_handout(state, existing),
        Pick::NewLesson { title, instrument } => Reply::want(Effect::New { title, instrument }),
        Pick::SaveAnd(then) => {
            state.after_save = then;
            match state.desk_mut() {
                Some(desk) => desk.save(SaveAs::Itself),
                None => Reply::nothing(),
            }
        }
        Pick::Save(to) => state.desk_mut().map_or_else(Reply::nothing, |desk| desk.save(to)),
        Pick::QuitUnsaved => Reply::want(Effect::Quit),
        Pick::CloseUnsaved => leave_now(state, AfterSave::Close),
        Pick::Nothing => Reply::nothing(),
    }
}

fn write_handout(state: &State, existing: Existing) -> Reply {
    match state.desk() {
        Some(desk) => Reply::want(Effect::WriteHandout(Box::new(desk.lesson.lesson().clone()), existing)),
        None => Reply::nothing(),
    }
}
