//! Advancing the state by one message. Nothing here touches a terminal, a file or a sound device.

use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::desk::undeclared::Undeclared;
use crate::workbench::editing::undecided::Undecided;
use crate::workbench::jobs::running::Report;
use crate::workbench::keys::action::{Action, DeskAction, Focus, StartAction};
use crate::workbench::keys::keystroke::{Cap, Keystroke};
use crate::workbench::messages::effect::{Effect, FileEffect, SoundEffect};
use crate::workbench::messages::message::{Message, Mouse, OpenedLesson};
use crate::workbench::messages::notice::{Notice, Weight};
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::messages::said::UnderBox;
use crate::workbench::panes::library::pane::SearchTyping;
use crate::workbench::panes::passage::take_pasted_tab;
use crate::workbench::panes::start::library_list::library_list;
use crate::workbench::state::{HandedOver, State, View};
use crate::workbench::typing::lines::NoRoom;
use crate::workbench::typing::pasted::PastedText;
use crate::workbench::update::acting::act;
use crate::workbench::update::draft;
use crate::workbench::update::file_names;
use crate::workbench::update::handout;
use crate::workbench::update::leaving;
use crate::workbench::update::mouse;
use crate::workbench::update::sound_keys;
use crate::workbench::update::taking_over::{self, Whereabouts};
use crate::workbench::update::versions;

/// Advances the state by one message and returns what is to be done, in order.
pub fn update(state: &mut State, message: Message) -> Vec<Effect> {
    let mut effects = Vec::new();
    let opens = matches!(message, Message::Opened(Ok(_)));
    let at_desk = state.desk().is_some();
    let screen = state.appearance.charset;
    let handout_choice = state.chosen.handout_choice(screen);
    let by_hand = matches!(message, Message::Key(_) | Message::Pasted(_) | Message::Mouse(_));
    if matches!(message, Message::Pasted(_) | Message::Mouse(Mouse::Click(_))) {
        state.said.just_now = false;
        state.said.drop_refusal();
    }
    if let Some(desk) = state.desk_mut() {
        desk.expect(message.changes());
    }
    let reply = take_in(state, message);
    let (reply, undeclared) = tell_undeclared(state, reply);
    debug_assert!(undeclared.is_none(), "{undeclared:?} was changed by what is declared not to");
    // What was changed goes to the journal before anything else is done with it.
    if let Some(desk) = state.desk_mut().filter(|desk| desk.may_have_changed()) {
        let changes = desk.lesson.take_journal();
        if !changes.is_empty() {
            effects.push(Effect::journal(changes));
        }
    }
    if let Some(notice) = reply.notice {
        state.said.say_with_keys(notice, &state.keys);
        state.said.is_refusal = by_hand && undeclared.is_none();
        // Whoever has just opened a lesson looks for the hints first.
        state.said.just_now &= !opens;
    }
    if let Some(overlay) = reply.overlay {
        state.lay_over(overlay);
    }
    // A box that another one had come over is there again.
    if state.overlay.is_none() {
        state.overlay = state.laid_aside.pop();
    }
    if let Some(overlay) = &mut state.overlay {
        overlay.name_keys(&state.keys);
    }
    if state.chosen.handout_choice(screen) != handout_choice {
        effects.push(FileEffect::KeepHandoutChoice(state.chosen.handout_choice(screen)).into());
    }
    // What plays belongs to the lesson that is left.
    if at_desk && state.desk().is_none() {
        effects.push(SoundEffect::Stop.into());
    }
    let under_box = if state.overlay.is_some() { UnderBox::Yes } else { UnderBox::No };
    let here = state.pane();
    state.said.name_keys_at(here, under_box, &state.keys);
    // Whoever leaves does nothing more afterwards, so what is left behind is kept first.
    effects.extend(state.draft.take_handed_over());
    effects.extend(reply.effect);
    state.settle();
    effects.extend(draft::changed(state));
    effects
}

/// Takes in what has happened. Returns what it comes to.
fn take_in(state: &mut State, message: Message) -> PaneReply {
    match message {
        Message::Key(key) => strike(state, key),
        Message::Pasted(text) => paste(state, &text),
        Message::Mouse(mouse) => mouse::point(state, mouse),
        Message::Resized(size) => {
            state.size = size;
            PaneReply::nothing()
        }
        Message::Clock(now) => {
            if let Some(desk) = state.desk_mut() {
                desk.recording.tell(now);
            }
            PaneReply::nothing()
        }
        Message::DevicesFound(found) => sound_keys::offer_devices(state, found),
        Message::Drafted(draft) => {
            draft::bring_back(state, &draft);
            PaneReply::nothing()
        }
        Message::DraftFailed(error) => draft::failed(state, error),
        Message::DraftMended => draft::mended(state),
        Message::DraftDue => {
            draft::hand_over(state);
            PaneReply::nothing()
        }
        Message::Heard(second) => {
            state.playback.hear(second);
            PaneReply::nothing()
        }
        Message::Silent(silent) => {
            state.playback.silent = silent;
            PaneReply::nothing()
        }
        Message::Act(action) => act(state, action, None),
        Message::Opened(Ok(opened)) => open(state, *opened),
        Message::Opened(Err(error)) => PaneReply::say(Notice::trouble(error)),
        Message::Saved(outcome) => leaving::saved(state, outcome),
        Message::SaveConflict(what) => leaving::conflict(state, what),
        Message::LockFree => taking_over::offer(state),
        Message::JournalFailed(error) => leaving::unprotected(state, error),
        Message::JournalMended => leaving::protected(state),
        Message::HandoutWritten(Ok(path)) => {
            PaneReply::say(Notice::done(format!("the handout is in {}, beside the lesson", file_names::name_of(&path))))
        }
        Message::HandoutReplaced(path) => PaneReply::say(Notice::done(format!(
            "the handout is in {}, beside the lesson, in place of what was there",
            file_names::name_of(&path)
        ))),
        Message::HandoutWritten(Err(error)) => PaneReply::say(Notice::trouble(error)),
        Message::HandoutExists(path) => handout::ask_about(state, &path),
        Message::LaidOut(options, pages) => {
            for overlay in state.overlay.iter_mut().chain(&mut state.laid_aside) {
                if let Overlay::Preview(preview) = overlay {
                    preview.take(&options, pages.clone());
                }
            }
            PaneReply::nothing()
        }
        Message::TabRead(path, text) => state
            .desk_mut()
            .map_or_else(PaneReply::nothing, |desk| desk.passage.take_tab_file(&mut desk.lesson, &path, text)),
        Message::PathCompleted { typed, completed, names } => {
            file_names::take_completed(state, &typed, completed, &names)
        }
        Message::LibraryRead(Ok(items)) => PaneReply::ask(Overlay::List(library_list(&items))),
        Message::LibraryRead(Err(error)) => PaneReply::say(Notice::trouble(error)),
        Message::Discarded(outcome) => leaving::discarded(state, outcome),
        Message::Ending => {
            let reply = leaving::keep_what_is_written(state);
            draft::hand_over(state);
            reply
        }
        Message::LibraryChanged(Ok(shelf)) => {
            if let Some(desk) = state.desk_mut() {
                desk.library.fill(shelf);
            }
            PaneReply::nothing()
        }
        Message::LibraryKept(shelf, said) => {
            if let Some(desk) = state.desk_mut() {
                desk.library.fill(shelf);
            }
            PaneReply::say(said)
        }
        Message::LibraryChanged(Err(error)) => PaneReply::say(Notice::trouble(error)),
        Message::Job(report) => hear_of_job(state, report),
        Message::Told(notice) => PaneReply::say(notice),
    }
}

/// Says in place of `reply` that something was done which was declared not to be: a fault of ours, which is returned too.
fn tell_undeclared(state: &mut State, reply: PaneReply) -> (PaneReply, Option<Undeclared>) {
    let undeclared = state.desk_mut().and_then(Desk::take_undeclared);
    let notice = undeclared.map(|undeclared| Notice::trouble(undeclared.words()));
    (PaneReply { notice: notice.or(reply.notice), ..reply }, undeclared)
}

/// Tells of work behind the keys. How far it is is too slight to be kept among the messages, and covers no trouble.
fn hear_of_job(state: &mut State, report: Report) -> PaneReply {
    match report {
        Report::Fault(..) => return PaneReply::say(Notice::trouble(report.words())),
        Report::Progress(..) => {
            if state.said.notice.as_ref().is_none_or(|notice| notice.weight != Weight::Trouble) {
                state.said.notice = Some(Notice::note(report.words()));
            }
        }
    }
    PaneReply::nothing()
}

/// Does what a key asks for: an action, or a character where characters are typed.
fn strike(state: &mut State, key: Keystroke) -> PaneReply {
    state.said.read();
    let (count, action) = (state.count.take(), state.action_for(key));
    // A digit that asks for nothing here is part of a count, but for one in the words that lead to a line.
    if action.is_none()
        && !state.pane().types()
        && !state.is_searching()
        && let Some(count) = key.digit().and_then(|digit| counted(count, digit))
    {
        state.count = Some(count);
        return PaneReply::nothing();
    }
    // Giving up a count is all that this key does then.
    if count.is_some() && key == Keystroke::plain(Cap::Esc) {
        return PaneReply::nothing();
    }
    if let Some(action) = action {
        state.said.drop_refusal();
        let times = count.filter(|_| action.repeats()).unwrap_or(1);
        // A movement answers nothing that the next would not answer too.
        return (0..times).fold(PaneReply::nothing(), |_, _| act(state, action, Some(key)));
    }
    match key.typed().map_or(Ok(false), |letter| type_letter(state, letter)) {
        Ok(true) => state.said.drop_refusal(),
        Ok(false) => without_meaning(state, key),
        Err(no_room) => return PaneReply::say(Notice::trouble(no_room.to_string())),
    }
    PaneReply::nothing()
}

/// The largest count; what moves so far has arrived.
const MOST_TIMES: u16 = 999;

/// Returns a count with one more digit typed; `None` for a nought that begins one.
fn counted(count: Option<u16>, digit: u8) -> Option<u16> {
    let count = count.unwrap_or(0).saturating_mul(10).saturating_add(u16::from(digit)).min(MOST_TIMES);
    (count > 0).then_some(count)
}

/// Says that a key means nothing here, and where the keys are told. That is too slight to be kept
/// among the messages.
fn without_meaning(state: &mut State, key: Keystroke) {
    // Trouble is not to be covered by a slip of the finger.
    if state.said.notice.is_some() {
        return;
    }
    if let Some(letter) = key.typed().filter(|_| state.is_searching()) {
        state.said.notice = Some(Notice::note(format!("`{letter}`: no line here begins with that")));
        return;
    }
    let pane = state.pane();
    let help = [Action::Desk(DeskAction::ShowHelp), Action::Start(StartAction::ShowHelp)];
    let help = help.into_iter().find_map(|action| state.keys.key_for(pane, action));
    let rest = help.map_or_else(|| "; see the keys above".to_owned(), |key| format!("; {key} shows every key"));
    state.said.notice = Some(Notice::note(format!("{key}: no action here{rest}")));
}

/// Types a letter where letters are typed; returns whether they are. Errors: there is no more room.
fn type_letter(state: &mut State, letter: char) -> Result<bool, NoRoom> {
    if let Some(overlay) = &mut state.overlay {
        return overlay.type_letter(letter);
    }
    match state.desk_mut() {
        Some(desk) if desk.library.finding() == SearchTyping::Yes => {
            desk.library.type_all(letter.encode_utf8(&mut [0; 4])).map(|()| true)
        }
        Some(_) => Ok(false),
        None => Ok(state.start.type_letter(letter)),
    }
}

/// Takes a pasted text where text is typed, all of it or nothing, and says what was not taken.
fn paste(state: &mut State, text: &str) -> PaneReply {
    let pasted = PastedText::new(text);
    let taken = if let Some(overlay) = &mut state.overlay {
        overlay.paste(&pasted)
    } else if let Some(desk) = state.desk_mut()
        && desk.library.finding() == SearchTyping::Yes
    {
        desk.library.type_all(&pasted.in_one_line()).map(|()| true)
    } else if let Some(desk) = state.desk_mut()
        && desk.focus == Focus::Passage
        && !desk.is_covered()
    {
        return take_pasted_tab(&desk.passage, &mut desk.lesson, text);
    } else {
        return PaneReply::say(Notice::note("nothing can be pasted here; text tab can be pasted in the passage"));
    };
    match (taken, pasted.left_out) {
        (Ok(true), 0) => PaneReply::nothing(),
        (Ok(true), 1) => PaneReply::say(Notice::note("pasted without a control character, which would not show")),
        (Ok(true), several) => {
            PaneReply::say(Notice::note(format!("pasted without {several} control characters, which would not show")))
        }
        (Ok(false), _) => PaneReply::say(Notice::note("nothing can be pasted into this box")),
        (Err(no_room), _) => PaneReply::say(Notice::trouble(no_room.to_string())),
    }
}

fn open(state: &mut State, opened: OpenedLesson) -> PaneReply {
    let whereabouts = Whereabouts::at(state, &opened.path);
    let notice = opened.notice.clone();
    let apart = opened.apart.clone();
    let left_at = opened.left_at;
    let mut desk = Desk::new(opened);
    *desk.lesson.undecided_mut() = Undecided::new(apart);
    desk.fretboard.show_neck(state.chosen.neck);
    let whereabouts = whereabouts.or_else(|| Whereabouts::left_before(&desk, left_at));
    whereabouts.iter().for_each(|whereabouts| whereabouts.go_on(&mut desk));
    state.view = View::Desk(std::boxed::Box::new(desk));
    state.overlay = None;
    state.laid_aside.clear();
    state.draft = HandedOver::default();
    state.said.notice = None;
    let waits = state.desk().is_some_and(|desk| !desk.lesson.undecided().waiting().is_empty());
    let overlay = if waits { versions::ask(state).overlay } else { None };
    PaneReply { notice, overlay, ..PaneReply::nothing() }
}

#[cfg(test)]
mod tests {
    use std::path::{Path, PathBuf};

    use ratatui::layout::Size;

    use super::*;
    use crate::lesson::document::{Lesson, Voicing};
    use crate::lesson::fresh::Seed;
    use crate::lesson::id::VoicingId;
    use crate::store::library::LibraryVoicing;
    use crate::store::open_lesson::{Access, SavedState};
    use crate::workbench::drawing::appearance::Appearance;
    use crate::workbench::editing::header_changes::retitle_lesson;
    use crate::workbench::editing::rigs::standard_guitar;
    use crate::workbench::keys::action::changes::Changes;
    use crate::workbench::keys::action::{FretboardAction, TimelineAction};
    use crate::workbench::keys::table::KeyTable;
    use crate::workbench::library::shelf::Shelf;
    use crate::workbench::library::shelved::Shelved;
    use crate::workbench::panes::start::pane::StartPane;

    /// The workbench with an open lesson.
    fn at_desk() -> State {
        let start = StartPane::new(Vec::new(), Vec::new());
        let size = Size { width: 100, height: 30 };
        let mut state = State::new(size, Appearance::default(), KeyTable::built_in(), start);
        let opened = OpenedLesson {
            lesson: Lesson::blank("7k3m-q2xf-9dwb-r8tz".parse().unwrap(), "Own", &standard_guitar()),
            path: PathBuf::from("/lessons/own.lesson.ron"),
            access: Access::Full,
            state: SavedState::Saved,
            seed: Seed(1),
            library: Shelf::default(),
            apart: Vec::new(),
            undoable_behind: Vec::new(),
            undoable: Vec::new(),
            left_at: None,
            notice: None,
        };
        assert_eq!(update(&mut state, Message::Opened(Ok(Box::new(opened)))), []);
        state
    }

    /// Does something on the desk that is declared to do no more than `declared`. Returns what was told as a fault, and how
    /// many changes the journal gets and undo can take back.
    fn done(declared: Changes, does: impl FnOnce(&mut Desk)) -> (Option<Undeclared>, usize, usize) {
        let mut state = at_desk();
        let desk = state.desk_mut().unwrap();
        desk.expect(declared);
        does(desk);
        let (reply, undeclared) = tell_undeclared(&mut state, PaneReply::nothing());
        assert_eq!(reply.notice, undeclared.map(|undeclared| Notice::trouble(undeclared.words())));
        state.settle();
        let desk = state.desk_mut().unwrap();
        (undeclared, desk.lesson.take_journal().len(), desk.undoable())
    }

    #[test]
    fn what_is_declared_to_leave_the_lesson_alone_finds_it_closed_and_is_told_as_a_fault() {
        for declared in [Changes::Never, Changes::FingersOrLibrary, Changes::Asks] {
            let retitled = |desk: &mut Desk| {
                assert!(retitle_lesson(&mut desk.lesson, "Another").is_err(), "{declared:?}");
                assert_eq!(desk.lesson.lesson().header.title, "Own");
            };
            assert_eq!(done(declared, retitled), (Some(Undeclared::Lesson), 0, 0), "{declared:?}");
        }
        for declared in [Changes::Makes, Changes::Depends] {
            let retitled = |desk: &mut Desk| retitle_lesson(&mut desk.lesson, "Another").unwrap();
            assert_eq!(done(declared, retitled), (None, 1, 1), "{declared:?}");
        }
    }

    #[test]
    fn fingers_are_undone_where_that_is_declared_and_else_told_as_a_fault() {
        let put_down = |desk: &mut Desk| _ = desk.fretboard.act(FretboardAction::Open);
        assert_eq!(done(Changes::FingersOrLibrary, put_down), (None, 0, 1));
        for declared in [Changes::Never, Changes::Asks] {
            assert_eq!(done(declared, put_down), (Some(Undeclared::Fingers), 0, 0), "{declared:?}");
        }
    }

    #[test]
    fn the_library_is_undone_where_that_is_declared_and_else_told_as_a_fault() {
        let lesson = Lesson::blank("7k3m-q2xf-9dwb-r8tz".parse().unwrap(), "Own", &standard_guitar());
        let voicing = new_voicing_of("x 3 2 0 1 0");
        let kept = LibraryVoicing::of_lesson(&lesson, &voicing, Path::new("/lessons/own.lesson.ron")).unwrap();
        let put_in = |desk: &mut Desk| desk.library.shelve(Shelved::PutIn(kept.clone()));
        assert_eq!(done(Changes::FingersOrLibrary, put_in), (None, 0, 1));
        for declared in [Changes::Never, Changes::Asks] {
            assert_eq!(done(declared, put_in), (Some(Undeclared::Library), 0, 0), "{declared:?}");
        }
    }

    /// A voicing of this shape that says nothing else.
    fn new_voicing_of(shape: &str) -> Voicing {
        Voicing {
            id: VoicingId(1),
            shape: shape.parse().unwrap(),
            doubts: Vec::new(),
            setup: None,
            readings: Vec::new(),
            fingers: Vec::new(),
            barre: None,
            tags: Vec::new(),
            notes: String::new(),
        }
    }

    #[test]
    fn between_two_messages_the_lesson_is_closed() {
        let mut state = at_desk();
        update(&mut state, Message::Act(Action::Timeline(TimelineAction::Delete)));
        let desk = state.desk_mut().unwrap();
        assert!(retitle_lesson(&mut desk.lesson, "Another").is_err());
        assert!(!desk.may_have_changed());
    }
}
