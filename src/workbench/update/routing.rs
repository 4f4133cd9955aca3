//! Advancing the state. Nothing here touches a terminal, a file or a sound device.

use std::path::{Path, PathBuf};

use crate::workbench::boxes::help;
use crate::workbench::boxes::overlay::{ChoiceBox, Overlay, Pick, Verdict};
use crate::workbench::boxes::preview::PreviewBox;
use crate::workbench::boxes::preview_view;
use crate::workbench::boxes::search::SearchBox;
use crate::workbench::boxes::view::measure;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::drawing::appearance::Colours;
use crate::workbench::drawing::theme::Theme;
use crate::workbench::editing::edited_lesson::{Access, ChangeError};
use crate::workbench::jobs::running::Report;
use crate::workbench::keys::action::{
    Action, DeskAction, EntryAction, Focus, FretboardAction, ListAction, PassageAction, ProgramAction, StartAction,
    TimelineAction,
};
use crate::workbench::keys::key::{Cap, Key};
use crate::workbench::messages::effect::{Effect, Existing, FileEffect, SaveAs, SoundEffect, TerminalEffect};
use crate::workbench::messages::message::{Message, Mouse, Opened};
use crate::workbench::messages::notice::{Notice, Weight};
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::library::pane::Finding;
use crate::workbench::state::{AfterSave, State, View};
use crate::workbench::update::answers;
use crate::workbench::update::draft;
use crate::workbench::update::mouse;
use crate::workbench::update::new_lesson;
use crate::workbench::update::sound_keys;

/// Advances the state by one message and returns what is to be done, in order.
pub fn update(state: &mut State, message: Message) -> Vec<Effect> {
    let mut effects = Vec::new();
    let opens = matches!(message, Message::Opened(Ok(_)));
    let at_desk = state.desk().is_some();
    if matches!(message, Message::Pasted(_) | Message::Mouse(Mouse::Click(_))) {
        state.just_said = false;
    }
    let reply = match message {
        Message::Key(key) => strike(state, key),
        Message::Pasted(text) => paste(state, &text),
        Message::Mouse(mouse) => mouse::point(state, mouse),
        Message::Resized(size) => {
            state.size = size;
            Reply::nothing()
        }
        Message::Clock(now) => {
            if let Some(desk) = state.desk_mut() {
                desk.recording.tell(now);
            }
            Reply::nothing()
        }
        Message::DevicesFound(found) => sound_keys::offer_devices(state, found),
        Message::Drafted(draft) => {
            draft::bring_back(state, &draft);
            Reply::nothing()
        }
        Message::Heard(second) => {
            state.listening.hear(second);
            Reply::nothing()
        }
        Message::Silent(silent) => {
            state.listening.silent = silent;
            Reply::nothing()
        }
        Message::Act(action) => act(state, action, None),
        Message::Opened(Ok(opened)) => open(state, *opened),
        Message::Opened(Err(error)) => Reply::say(Notice::trouble(error)),
        Message::Saved(outcome) => saved(state, outcome),
        Message::SaveConflict(what) => conflict(state, what),
        Message::JournalFailed(error) => {
            Reply::say(Notice::trouble(format!("the journal cannot be written, so save often: {error}")))
        }
        Message::HandoutWritten(Ok(path)) => {
            Reply::say(Notice::done(format!("the handout is in {}, beside the lesson", name_of(&path))))
        }
        Message::HandoutWritten(Err(error)) => Reply::say(Notice::trouble(error)),
        Message::HandoutExists(path) => ask_about_handout(state, &path),
        Message::LaidOut(options, pages) => {
            for overlay in [&mut state.overlay, &mut state.laid_aside] {
                if let Some(Overlay::Preview(preview)) = overlay {
                    preview.take(&options, pages.clone());
                }
            }
            Reply::nothing()
        }
        Message::TabRead(path, text) => {
            state.desk_mut().map_or_else(Reply::nothing, |desk| desk.take_tab_file(&path, text))
        }
        Message::PathCompleted { typed, completed, names } => new_lesson::take_path(state, &typed, completed, &names),
        Message::LibraryRead(Ok(items)) => Reply::ask(Overlay::List(new_lesson::library_list(&items))),
        Message::LibraryRead(Err(error)) => Reply::say(Notice::trouble(error)),
        Message::Discarded => {
            let then = std::mem::take(&mut state.after_save);
            let reply = leave_now(state, then);
            Reply { notice: Some(Notice::done("the changes were thrown away")), ..reply }
        }
        Message::Ending => keep_what_is_written(state),
        Message::LibraryChanged(Ok(shelf)) => {
            if let Some(desk) = state.desk_mut() {
                desk.library.fill(shelf);
            }
            Reply::nothing()
        }
        Message::LibraryChanged(Err(error)) => Reply::say(Notice::trouble(error)),
        Message::Job(report) => hear_of_job(state, report),
        Message::Told(notice) => Reply::say(notice),
    };
    // What was changed goes to the journal before anything else is done with it.
    let changes = state.desk_mut().map(|desk| desk.lesson.take_journal()).unwrap_or_default();
    if !changes.is_empty() {
        effects.push(Effect::journal(changes));
    }
    if let Some(notice) = reply.notice {
        state.say(notice);
        // Whoever has just opened a lesson looks for the hints first.
        state.just_said &= !opens;
    }
    if let Some(overlay) = reply.overlay {
        state.overlay = Some(overlay);
    }
    // What plays belongs to the lesson that is left.
    if at_desk && state.desk().is_none() {
        effects.push(SoundEffect::Stop.into());
    }
    effects.extend(reply.effect);
    state.settle();
    effects.extend(draft::changed(state));
    effects
}

/// Tells of work behind the keys. How far it is is too slight to be kept among the messages, and covers no trouble.
fn hear_of_job(state: &mut State, report: Report) -> Reply {
    match report {
        Report::Fault(..) => return Reply::say(Notice::trouble(report.words())),
        Report::Progress(..) => {
            if state.notice.as_ref().is_none_or(|notice| notice.weight != Weight::Trouble) {
                state.notice = Some(Notice::note(report.words()));
            }
        }
    }
    Reply::nothing()
}

/// What striking a key comes to: an action, or a character where characters are typed.
fn strike(state: &mut State, key: Key) -> Reply {
    state.just_said = false;
    // A message has been read when the next key is struck; trouble stays until something is said.
    if state.notice.as_ref().is_some_and(|notice| notice.weight != Weight::Trouble) {
        state.notice = None;
    }
    let (count, action) = (state.count.take(), state.action_for(key));
    // A digit that asks for nothing here is part of a count.
    if action.is_none()
        && !state.pane().types()
        && let Some(count) = key.digit().and_then(|digit| counted(count, digit))
    {
        state.count = Some(count);
        return Reply::nothing();
    }
    // Giving up a count is all that this key does then.
    if count.is_some() && key == Key::plain(Cap::Esc) {
        return Reply::nothing();
    }
    if let Some(action) = action {
        let times = count.filter(|_| action.repeats()).unwrap_or(1);
        // A movement answers nothing that the next would not answer too.
        return (0..times).fold(Reply::nothing(), |_, _| act(state, action, Some(key)));
    }
    if !key.typed().is_some_and(|letter| type_letter(state, letter)) {
        without_meaning(state, key);
    }
    Reply::nothing()
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
fn without_meaning(state: &mut State, key: Key) {
    // Trouble is not to be covered by a slip of the finger.
    if state.notice.is_some() {
        return;
    }
    let pane = state.pane();
    let help = [Action::Desk(DeskAction::ShowHelp), Action::Start(StartAction::ShowHelp)];
    let help = help.into_iter().find_map(|action| state.keys.key_for(pane, action));
    let rest =
        help.map_or_else(|| ": the line above says which keys do".to_owned(), |key| format!("; {key} shows every key"));
    state.notice = Some(Notice::note(format!("{key} does nothing here{rest}")));
}

/// Types a letter where letters are typed; returns whether they are.
fn type_letter(state: &mut State, letter: char) -> bool {
    if let Some(overlay) = &mut state.overlay {
        return overlay.type_letter(letter);
    }
    match state.desk_mut() {
        Some(desk) if desk.library.finding() == Finding::Yes => {
            desk.library.type_letter(letter);
            true
        }
        Some(_) | None => false,
    }
}

fn paste(state: &mut State, text: &str) -> Reply {
    if let Some(overlay) = &mut state.overlay {
        overlay.paste(text);
    } else if let Some(desk) = state.desk_mut()
        && desk.library.finding() == Finding::Yes
    {
        text.chars().filter(|letter| !letter.is_control()).for_each(|letter| desk.library.type_letter(letter));
    } else if let Some(desk) = state.desk().filter(|desk| desk.focus == Focus::Passage && !desk.is_covered()) {
        return desk.take_pasted_tab(text);
    } else {
        return Reply::say(Notice::note("nothing here takes pasted text; the passage pane takes text tab"));
    }
    Reply::nothing()
}

/// Does what was asked; `key` is what it was asked with, for digits.
pub(in crate::workbench) fn act(state: &mut State, action: Action, key: Option<Key>) -> Reply {
    match action {
        Action::Program(action) => return act_on_program(state, action),
        Action::Start(StartAction::ShowHelp) | Action::Desk(DeskAction::ShowHelp) => {
            return Reply::ask(Overlay::List(help::help(&state.keys, state.pane())));
        }
        Action::Sound(action) => return sound_keys::act(state, action),
        Action::Desk(DeskAction::ExportHandout) => return answers::write_handout(state, Existing::Ask),
        Action::Desk(DeskAction::PreviewHandout) => return preview_handout(state),
        Action::Desk(DeskAction::GoToStart) => return leave(state, AfterSave::Close),
        Action::Start(action) => {
            return match state.view {
                View::Start => state.start.act(action),
                View::Desk(_) => Reply::nothing(),
            };
        }
        Action::Entry(_)
        | Action::Points(_)
        | Action::Choice(_)
        | Action::Marks(_)
        | Action::List(_)
        | Action::Preview(_)
        | Action::Search(_) => return act_on_box(state, action),
        Action::Desk(_)
        | Action::Timeline(_)
        | Action::Passage(_)
        | Action::Fretboard(_)
        | Action::Neck(_)
        | Action::Readings(_)
        | Action::Library(_)
        | Action::Recording(_)
        | Action::Find(_) => {}
    }
    let Some(desk) = state.desk_mut() else { return Reply::nothing() };
    if let Access::ReadOnly(why) = desk.lesson.access()
        && asks_for_a_change(action)
    {
        return Reply::say(Notice::trouble(ChangeError::ReadOnly(why.clone()).to_string()));
    }
    match action {
        Action::Desk(action) => desk.act(action),
        Action::Timeline(action) => desk.act_on_timeline(action),
        Action::Passage(action) => desk.act_on_passage(action, key.and_then(Key::digit)),
        Action::Fretboard(FretboardAction::TypeFret) => {
            if let Some(digit) = key.and_then(Key::digit) {
                return desk.fretboard.type_digit(digit);
            }
            Reply::nothing()
        }
        Action::Fretboard(action) => desk.act_on_fretboard(action),
        Action::Neck(action) => desk.act_on_neck(action),
        Action::Readings(action) => desk.act_on_readings(action),
        Action::Library(action) => desk.act_on_library(action),
        Action::Recording(action) => desk.act_on_recording(action),
        Action::Find(action) => {
            desk.library.find(action);
            Reply::nothing()
        }
        Action::Program(_)
        | Action::Sound(_)
        | Action::Start(_)
        | Action::Entry(_)
        | Action::Points(_)
        | Action::Choice(_)
        | Action::Marks(_)
        | Action::List(_)
        | Action::Preview(_)
        | Action::Search(_) => Reply::nothing(),
    }
}

/// Returns whether an action asks for a change in a box, which is refused before anything is typed
/// where nothing may be changed. Talking points can still be read.
const fn asks_for_a_change(action: Action) -> bool {
    matches!(
        action,
        Action::Desk(DeskAction::RetitleLesson)
            | Action::Passage(
                PassageAction::ReadTab
                    | PassageAction::NewPassage
                    | PassageAction::TypeLength
                    | PassageAction::Techniques
                    | PassageAction::Bend
                    | PassageAction::NameChord
                    | PassageAction::WriteWords
                    | PassageAction::ChooseBar
                    | PassageAction::Transpose
                    | PassageAction::PlaceAnew
            )
            | Action::Timeline(
                TimelineAction::AddAfter
                    | TimelineAction::AddBefore
                    | TimelineAction::Retitle
                    | TimelineAction::Retime
                    | TimelineAction::Stamp
                    | TimelineAction::NamePiece
                    | TimelineAction::ChooseKind
                    | TimelineAction::ChooseSetup
                    | TimelineAction::AddSetup
                    | TimelineAction::ChoosePassages
                    | TimelineAction::ChooseVoicings
                    | TimelineAction::Split
                    | TimelineAction::SetTarget
            )
    )
}

/// Asks what to do about a file that stands where the handout should go.
fn ask_about_handout(state: &mut State, path: &Path) -> Reply {
    if matches!(state.overlay, Some(Overlay::Preview(_))) {
        state.laid_aside = state.overlay.take();
    }
    Reply::ask(Overlay::Choice(ChoiceBox {
        title: "There is a file already".into(),
        advice: format!("{} lies beside the lesson and was not written by this session.", name_of(path)),
        lines: vec![
            ("write a new file beside it".into(), Pick::Handout(Existing::Beside)),
            ("write over it".into(), Pick::Handout(Existing::Replace)),
            ("write nothing".into(), Pick::Nothing),
        ],
        selected: 0,
    }))
}

/// Shows the handout as it will print.
fn preview_handout(state: &State) -> Reply {
    state.desk().map_or_else(Reply::nothing, |desk| {
        let mut preview = PreviewBox::new(state.handout.clone());
        let effect = preview.lay_out(desk.lesson.shared());
        Reply { effect, ..Reply::ask(Overlay::Preview(preview)) }
    })
}

fn act_on_program(state: &mut State, action: ProgramAction) -> Reply {
    match action {
        ProgramAction::Quit => leave(state, AfterSave::Quit),
        ProgramAction::Suspend => {
            // A process that stops gives its device nothing more.
            state.listening.playing = None;
            Reply::want(TerminalEffect::Suspend)
        }
        ProgramAction::Redraw => Reply::want(TerminalEffect::Redraw),
        // It is asked for where no box is; over one there is nothing to search for.
        ProgramAction::SearchActions if state.overlay.is_some() => Reply::nothing(),
        ProgramAction::SearchActions => {
            let open: &[Focus] = if state.desk().is_some() { &Focus::ALL } else { &[] };
            Reply::ask(Overlay::Search(SearchBox::new(&state.keys, state.pane(), open)))
        }
        ProgramAction::ChooseColours => choose_colours(state),
        ProgramAction::ShowMessages if state.messages.is_empty() => Reply::say(Notice::note("nothing was said yet")),
        ProgramAction::ShowMessages => {
            // Read in full, it need not stay at the foot.
            state.notice = None;
            Reply::ask(Overlay::List(help::messages(&state.messages)))
        }
    }
}

/// Offers the themes there are.
fn choose_colours(state: &State) -> Reply {
    if state.look.colours == Colours::None {
        return Reply::say(Notice::note("no colours are shown, because NO_COLOR is set"));
    }
    let own = ("the 16 colours of the terminal".to_owned(), Pick::Colours(None));
    let themes = state.themes.iter().enumerate().map(|(place, theme)| {
        let about = if theme.about.is_empty() { String::new() } else { format!(": {}", theme.about) };
        (format!("{}{about}", theme.name), Pick::Colours(Some(place)))
    });
    let lines: Vec<(String, Pick)> = std::iter::once(own).chain(themes).collect();
    let now = |theme: &Theme| state.look.colours == Colours::Theme(theme.palette());
    let selected = state.themes.iter().position(now).map_or(0, |place| place + 1);
    Reply::ask(Overlay::Choice(ChoiceBox { title: "The colours".into(), advice: String::new(), lines, selected }))
}

/// Quits or closes the lesson, after a question where something is not saved.
fn leave(state: &mut State, then: AfterSave) -> Reply {
    keep_what_is_written(state);
    if matches!(state.overlay, Some(Overlay::Entry(_) | Overlay::Marks(_) | Overlay::Preview(_))) {
        state.laid_aside = state.overlay.take();
    }
    let Some(desk) = state.desk().filter(|desk| !desk.lesson.is_saved()) else { return leave_now(state, then) };
    let (word, unsaved) = match then {
        AfterSave::Quit => ("quit", Pick::QuitUnsaved),
        AfterSave::Close | AfterSave::Stay => ("close the lesson", Pick::CloseUnsaved),
    };
    let can_save = matches!(desk.lesson.access(), Access::Free);
    let save = can_save.then(|| (format!("save, then {word}"), Pick::SaveAnd(then)));
    let leave = (format!("{word}; the changes wait in the journal and come back next time"), unsaved);
    let discard = ("throw the changes away...".to_owned(), Pick::AskToDiscard(then));
    let stay = ("stay here".to_owned(), Pick::Nothing);
    Reply::ask(Overlay::Choice(ChoiceBox {
        title: "Not everything is saved".into(),
        advice: String::new(),
        lines: save.into_iter().chain([leave, discard, stay]).collect(),
        selected: 0,
    }))
}

/// Takes talking points that are being written into the lesson.
fn keep_what_is_written(state: &mut State) -> Reply {
    if matches!(state.overlay, Some(Overlay::Points(_))) { answers::accept(state) } else { Reply::nothing() }
}

/// Quits or closes the lesson without asking.
pub fn leave_now(state: &mut State, then: AfterSave) -> Reply {
    match then {
        AfterSave::Quit => Reply::want(TerminalEffect::Quit),
        AfterSave::Close => {
            if let Some(desk) = state.desk() {
                let title = desk.lesson.lesson().header.title.clone();
                let path = desk.lesson.path().to_owned();
                state.start.remember(&title, &path);
            }
            state.view = View::Start;
            state.listening.playing = None;
            state.overlay = None;
            state.laid_aside = None;
            Reply::want(FileEffect::Close)
        }
        AfterSave::Stay => Reply::nothing(),
    }
}

fn act_on_box(state: &mut State, action: Action) -> Reply {
    if let (Some(Overlay::List(list)), Action::List(ListAction::Mend)) = (&state.overlay, action) {
        let list = list.clone();
        return state.desk_mut().map_or_else(Reply::nothing, |desk| desk.mend_in(list));
    }
    if let (Some(Overlay::Entry(entry)), Action::Entry(EntryAction::Complete)) = (&state.overlay, action) {
        return match entry.sought() {
            Some(sought) => Reply::want(FileEffect::CompletePath(entry.line.text().to_owned(), sought)),
            None => Reply::say(Notice::note("there is no name of a file here to complete")),
        };
    }
    let size = (usize::from(state.size.width), usize::from(state.size.height));
    let look = state.look;
    let verdict = match (&mut state.overlay, action) {
        (Some(Overlay::Entry(entry)), Action::Entry(action)) => entry.act(action),
        (Some(Overlay::Points(points)), Action::Points(action)) => points.act(action),
        (Some(Overlay::Choice(choice)), Action::Choice(action)) => choice.act(action),
        (Some(Overlay::Marks(marks)), Action::Marks(action)) => marks.act(action),
        (Some(Overlay::Preview(preview)), Action::Preview(action)) => {
            let verdict = preview.act(action, preview_view::room(size));
            if let View::Desk(desk) = &state.view
                && *preview.options() != state.handout
            {
                state.handout = preview.options().clone();
                return Reply { effect: preview.lay_out(desk.lesson.shared()), ..Reply::nothing() };
            }
            verdict
        }
        (Some(Overlay::Search(search)), Action::Search(action)) => search.act(action),
        (Some(Overlay::List(list)), Action::List(action)) => list.act(action, &measure(list, size, look)),
        _ => Verdict::Stay,
    };
    match verdict {
        Verdict::Stay => Reply::nothing(),
        Verdict::Cancel => {
            // A box that the question whether to leave came over is there again.
            state.overlay = match &state.overlay {
                Some(Overlay::Choice(choice)) => new_lesson::step_before(choice),
                _ => None,
            }
            .or_else(|| state.laid_aside.take());
            Reply::nothing()
        }
        Verdict::Accept => answers::accept(state),
    }
}

fn open(state: &mut State, opened: Opened) -> Reply {
    let notice = opened.notice.clone();
    let mut desk = Desk::new(opened);
    desk.fretboard.see(state.sight);
    state.view = View::Desk(std::boxed::Box::new(desk));
    state.overlay = None;
    state.laid_aside = None;
    state.notice = None;
    Reply { notice, ..Reply::nothing() }
}

/// Asks what to do when the file is no longer the one that was opened.
fn conflict(state: &mut State, what: String) -> Reply {
    if let Some(desk) = state.desk_mut() {
        desk.lesson.fail_saving();
    }
    Reply::ask(Overlay::Choice(ChoiceBox {
        title: "The file is not as it was".into(),
        advice: what,
        lines: vec![
            ("save in a new file beside it; both versions stay".into(), Pick::Save(SaveAs::Beside)),
            ("write over it".into(), Pick::Save(SaveAs::Over)),
            ("do not save now; the changes stay in the journal".into(), Pick::Nothing),
        ],
        selected: 0,
    }))
}

fn saved(state: &mut State, outcome: Result<PathBuf, String>) -> Reply {
    let then = std::mem::take(&mut state.after_save);
    let Some(desk) = state.desk_mut() else { return Reply::nothing() };
    match outcome {
        Ok(path) => {
            let text = format!("saved in {}", name_of(&path));
            desk.lesson.end_saving(path);
            let reply = leave_now(state, then);
            Reply { notice: Some(Notice::done(text)), ..reply }
        }
        Err(error) => {
            desk.lesson.fail_saving();
            state.overlay = state.laid_aside.take().or_else(|| state.overlay.take());
            Reply::say(Notice::trouble(format!("not saved: {error}; the changes are in the journal")))
        }
    }
}

/// Returns the name of a file whose folder is clear.
fn name_of(path: &Path) -> String {
    path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned()
}
