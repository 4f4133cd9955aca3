//! What happens when the content of a box is taken.

use crate::lesson::time::VideoLength;
use crate::workbench::boxes::overlay::{ChoiceBox, EntryBox, Marked, MarksBox, Overlay, Pick, PointsBox, Subject};
use crate::workbench::boxes::search::{SearchBox, Way};
use crate::workbench::drawing::appearance::Colours;
use crate::workbench::editing::edited_lesson::ChangeError;
use crate::workbench::editing::segment_changes as segments;
use crate::workbench::messages::effect::{Existing, FileEffect, SaveAs, TerminalEffect};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::timeline::pane as timeline;
use crate::workbench::state::{AfterSave, State};
use crate::workbench::typing::time::{read_cut, read_instant, read_length, read_recorded, write_recorded};
use crate::workbench::update::new_lesson;
use crate::workbench::update::routing::{act, leave_now};
use crate::workbench::update::sound_keys;

/// Said where a box was taken as it stood.
const AS_IT_WAS: &str = "as it was";

/// Takes what is in the box on top and puts the box away, unless there is something wrong with it.
pub fn accept(state: &mut State) -> Reply {
    match state.overlay.take() {
        Some(Overlay::Entry(entry)) => accept_entry(state, entry),
        Some(Overlay::Points(points)) => accept_points(state, &points),
        Some(Overlay::Marks(marks)) => accept_marks(state, &marks),
        Some(Overlay::Choice(choice)) => accept_choice(state, &choice),
        Some(Overlay::List(list)) => {
            let place = list.lines.get(list.selected).and_then(|line| line.place);
            match (place, state.desk_mut()) {
                (Some(place), Some(desk)) => desk.go_to(place),
                (None, _) | (_, None) => {
                    state.overlay = Some(Overlay::List(list));
                    Reply::say(Notice::note("this line leads nowhere"))
                }
            }
        }
        Some(Overlay::Preview(preview)) => {
            state.overlay = Some(Overlay::Preview(preview));
            write_handout(state, Existing::Ask)
        }
        Some(Overlay::Search(search)) => accept_offer(state, search),
        None => Reply::nothing(),
    }
}

/// Does what the selected line of the search offers, in the pane it belongs to.
fn accept_offer(state: &mut State, search: SearchBox) -> Reply {
    let Some(offer) = search.offer().cloned() else {
        state.overlay = Some(Overlay::Search(search));
        return Reply::say(Notice::note("no action answers to that; erase some of it"));
    };
    match offer.way {
        Way::Here => {}
        Way::By(focus) => {
            if let Some(desk) = state.desk_mut() {
                desk.focus = focus;
            }
        }
        Way::NotNow => {
            state.overlay = Some(Overlay::Search(search));
            return Reply::say(Notice::note(format!("not from here: {}: {}", offer.place, offer.help)));
        }
    }
    act(state, offer.action, None)
}

/// Takes what is written into the lesson; where nothing was changed there is nothing to say.
fn accept_points(state: &mut State, points: &PointsBox) -> Reply {
    let Some(desk) = state.desk_mut() else { return Reply::nothing() };
    let before = desk.lesson.revision();
    let changed = segments::set_written(&mut desk.lesson, points.segment, points.what, points.lines.written());
    if changed.is_ok() && desk.lesson.revision() == before {
        return Reply::nothing();
    }
    Reply::to_change(changed, format!("{} changed; u takes it back", points.what.word()))
}

fn accept_marks(state: &mut State, marks: &MarksBox) -> Reply {
    let Some(desk) = state.desk_mut() else { return Reply::nothing() };
    let before = desk.lesson.revision();
    let changed = segments::set_marked(&mut desk.lesson, marks.segment, &marks.offered(), &marks.marked());
    if changed.is_ok() && desk.lesson.revision() == before {
        return Reply::nothing();
    }
    let shapes = marks.lines.iter().any(|line| matches!(line.thing, Marked::Voicing(_)));
    Reply::to_change(changed, if shapes { "voicings chosen" } else { "music changed" })
}

/// Makes a change and says how it went; what is as it was before is no change.
fn change(
    state: &mut State,
    done: &str,
    make: impl FnOnce(&mut crate::workbench::desk::open_desk::Desk) -> Result<(), ChangeError>,
) -> Reply {
    let Some(desk) = state.desk_mut() else { return Reply::nothing() };
    let before = desk.lesson.revision();
    let made = make(desk);
    if made.is_ok() && desk.lesson.revision() == before {
        return Reply::say(Notice::note(AS_IT_WAS));
    }
    Reply::to_change(made, done)
}

fn accept_entry(state: &mut State, entry: EntryBox) -> Reply {
    let text = entry.line.text().to_owned();
    match entry.subject {
        Subject::NewSegment(place) => {
            change(state, "added; l changes its length, k its kind", |desk| desk.add_segment(place, &text))
        }
        Subject::SegmentTitle(id) => {
            change(state, "title changed", |desk| segments::retitle(&mut desk.lesson, id, &text))
        }
        Subject::LessonTitle => change(state, "title of the lesson changed", |desk| desk.retitle(&text)),
        Subject::SegmentLength(id) => {
            let now = state.desk().and_then(|desk| desk.lesson.segment(id)).map(|segment| segment.planned);
            match now.map(|now| read_length(&text, now)) {
                Some(Ok(length)) => change(state, &format!("planned length is {length} now"), |desk| {
                    segments::retime(&mut desk.lesson, id, length, desk.timeline.ripple())
                }),
                Some(Err(error)) => ask_again(entry, error),
                None => Reply::nothing(),
            }
        }
        Subject::Recorded(id) => {
            let now = state.desk().and_then(|desk| desk.lesson.segment(id)).map(|segment| segment.recorded);
            match now.map(|now| read_recorded(&text, now)) {
                Some(Ok(recorded)) => {
                    let done = match recorded {
                        Some(recorded) => format!("it is at {} in the video", write_recorded(recorded)),
                        None => "it is not recorded yet".to_owned(),
                    };
                    change(state, &done, |desk| segments::stamp(&mut desk.lesson, id, recorded, desk.timeline.ripple()))
                }
                Some(Err(error)) => ask_again(entry, error),
                None => Reply::nothing(),
            }
        }
        Subject::SplitAt(id) => {
            let planned = state.desk().and_then(|desk| desk.lesson.segment(id)).map(|segment| segment.planned);
            let at = planned.map(|planned| read_cut(&text, planned));
            match at.map(|at| at.and_then(|at| state.desk_mut().map(|desk| desk.split_segment(id, at)).transpose())) {
                Some(Ok(_)) => Reply::say(Notice::done("split in two; t gives the second part a title of its own")),
                Some(Err(error)) => ask_again(entry, error),
                None => Reply::nothing(),
            }
        }
        Subject::Target => {
            let target =
                if text.trim().is_empty() { Ok(None) } else { read_length(&text, now_target(state)).map(Some) };
            match target {
                Ok(target) => {
                    let done =
                        target.map_or("no goal".to_owned(), |target| format!("the video should be {target} long"));
                    change(state, &done, |desk| segments::set_target(&mut desk.lesson, target))
                }
                Err(error) => ask_again(entry, error),
            }
        }
        Subject::VideoClock => {
            let now = state.desk().map(|desk| desk.recording.clock().time());
            match now.map(|now| read_instant(&text, now)) {
                Some(Ok(time)) => {
                    if let Some(desk) = state.desk_mut() {
                        desk.set_video_clock(time);
                    }
                    Reply::say(Notice::done(format!("the clock is set to {time}")))
                }
                Some(Err(error)) => ask_again(entry, error),
                None => Reply::nothing(),
            }
        }
        Subject::PieceTitle(id) => {
            state.desk_mut().map_or_else(Reply::nothing, |desk| desk.take_piece_title(id, &text))
        }
        Subject::PieceKey { segment, ref title } => {
            let before = state.desk().map(|desk| desk.lesson.revision());
            match state.desk_mut().map(|desk| desk.name_piece(segment, title, &text)) {
                Some(Err(error)) => ask_again(entry, error),
                Some(Ok(_)) if state.desk().map(|desk| desk.lesson.revision()) == before => {
                    Reply::say(Notice::note(AS_IT_WAS))
                }
                Some(Ok(done)) => Reply::say(Notice::done(done)),
                None => Reply::nothing(),
            }
        }
        Subject::TabFile if text.trim().is_empty() => ask_again(entry, "type the path of a file".into()),
        Subject::TabFile => Reply::want(FileEffect::ReadTab(text.trim().into())),
        Subject::PastedTab(ref tab) => match state.desk_mut().map(|desk| desk.add_tab(tab, &text)) {
            Some(Err(error)) => ask_again(entry, error),
            Some(Ok(reply)) => reply,
            None => Reply::nothing(),
        },
        Subject::NewSetup(id) => match state.desk_mut().map(|desk| desk.add_setup(id, &text)) {
            Some(Err(error)) => ask_again(entry, error),
            Some(Ok(())) => Reply::say(Notice::done("new setup; this segment is played in it")),
            None => Reply::nothing(),
        },
        Subject::Shape => match state.desk_mut().map(|desk| desk.take_shape(&text)) {
            Some(Err(error)) => ask_again(entry, error),
            Some(Ok(())) | None => Reply::nothing(),
        },
        Subject::Passage(ref question) => {
            match state.desk_mut().map(|desk| desk.answer_passage(question.clone(), &text)) {
                Some(Err(error)) => ask_again(entry, error),
                Some(Ok(reply)) => reply,
                None => Reply::nothing(),
            }
        }
        Subject::ChordName => match state.desk_mut().map(|desk| desk.fretboard.seek_chord(&text)) {
            Some(Err(error)) => ask_again(entry, error),
            Some(Ok(reply)) => reply,
            None => Reply::nothing(),
        },
        Subject::StatedBass => match state.desk_mut().map(|desk| desk.readings.state_bass(&text)) {
            Some(Err(error)) => ask_again(entry, error),
            Some(Ok(done)) => Reply::say(Notice::done(done)),
            None => Reply::nothing(),
        },
        Subject::ListeningTempo => match state.listening.take_tempo(&text) {
            Ok(()) => sound_keys::change_tempo(state),
            Err(error) => ask_again(entry, error),
        },
        Subject::Tags => state.desk_mut().map_or_else(Reply::nothing, |desk| desk.set_tags(&text)),
        Subject::OpenPath if text.trim().is_empty() => ask_again(entry, "type the path of a lesson".into()),
        Subject::OpenPath => Reply::want(FileEffect::Open(text.trim().into())),
        Subject::NewLesson if text.trim().is_empty() => ask_again(entry, "a lesson needs a title".into()),
        Subject::NewLesson => Reply::ask(Overlay::Choice(new_lesson::template_choice(text.trim()))),
    }
}

/// Returns the length that the video should have now.
fn now_target(state: &State) -> VideoLength {
    state.desk().and_then(|desk| desk.lesson.lesson().header.target).unwrap_or_default()
}

fn ask_again(entry: EntryBox, error: String) -> Reply {
    Reply::ask(Overlay::Entry(EntryBox { error: Some(error), ..entry }))
}

fn accept_choice(state: &mut State, choice: &ChoiceBox) -> Reply {
    match choice.pick() {
        Pick::Kind(id, kind) => change(state, &format!("this segment is: {}", kind.word()), |desk| {
            segments::set_kind(&mut desk.lesson, id, kind)
        }),
        Pick::Progress(id, progress) => change(state, &format!("how far it is: {}", progress.word()), |desk| {
            segments::set_progress(&mut desk.lesson, id, progress)
        }),
        Pick::Setup(id, setup) => {
            change(state, "setup chosen", |desk| segments::set_setup(&mut desk.lesson, id, setup))
        }
        Pick::AddSetup(id) => timeline::ask_new_setup(id),
        Pick::Handout(existing) => {
            state.overlay = state.laid_aside.take();
            write_handout(state, existing)
        }
        Pick::Template(wanted) => Reply::ask(Overlay::Choice(new_lesson::instrument_choice(&wanted))),
        Pick::Instrument(wanted) => Reply::ask(Overlay::Choice(new_lesson::tuning_choice(&wanted))),
        Pick::NewLesson(wanted) => Reply::want(FileEffect::New(wanted)),
        Pick::SaveAnd(then) => {
            state.after_save = then;
            match state.desk_mut() {
                Some(desk) => desk.save(SaveAs::Itself),
                None => Reply::nothing(),
            }
        }
        Pick::Save(to) => state.desk_mut().map_or_else(Reply::nothing, |desk| desk.save(to)),
        Pick::QuitUnsaved => Reply::want(TerminalEffect::Quit),
        Pick::CloseUnsaved => leave_now(state, AfterSave::Close),
        Pick::AskToDiscard(then) => Reply::ask(Overlay::Choice(ChoiceBox {
            title: "Throw the changes away?".into(),
            advice: "All that was changed since the lesson was saved last is lost for good.".into(),
            lines: vec![
                ("no, stay here".into(), Pick::Nothing),
                ("yes, throw the changes away".into(), Pick::Discard(then)),
            ],
            selected: 0,
        })),
        Pick::Discard(then) => {
            state.after_save = then;
            Reply::want(FileEffect::Discard)
        }
        Pick::Passage(pick) => match state.desk_mut() {
            Some(desk) => desk.take_for_passage(pick),
            None => Reply::nothing(),
        },
        Pick::Colours(place) => {
            let theme = place.and_then(|place| state.themes.get(place));
            state.look.colours = theme.map_or(Colours::Sixteen, |theme| Colours::Theme(theme.palette()));
            let name = theme.map(|theme| theme.name.clone()).unwrap_or_default();
            let said =
                if name.is_empty() { "the colours of the terminal".to_owned() } else { format!("the colours {name}") };
            Reply { notice: Some(Notice::done(said)), ..Reply::want(FileEffect::KeepTheme(name)) }
        }
        Pick::Device(name) => sound_keys::choose_device(state, name),
        Pick::Listening(choice) => sound_keys::choose(state, choice),
        Pick::Nothing => {
            state.overlay = state.laid_aside.take();
            Reply::nothing()
        }
    }
}

/// Has the handout written as it was laid out last.
pub(in crate::workbench) fn write_handout(state: &State, existing: Existing) -> Reply {
    match state.desk() {
        Some(desk) => {
            let lesson = Box::new(desk.lesson.lesson().clone());
            Reply::want(FileEffect::WriteHandout(lesson, state.handout.clone(), existing))
        }
        None => Reply::nothing(),
    }
}
