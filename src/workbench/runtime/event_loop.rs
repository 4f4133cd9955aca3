//! The impure part: the terminal, its events, signals, and effects performed and reported back.

use std::collections::VecDeque;
use std::io::{self, IsTerminal, Write};
use std::path::PathBuf;
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::thread;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};
use crossterm::event::{self, Event, MouseButton, MouseEventKind};
use ratatui::layout::{Position, Size};

use crate::store::demos::DEMOS;
use crate::store::folders::Folders;
use crate::store::settings::{PaperSize, Settings};
use crate::tab::handout::options::Paper;
use crate::workbench::drawing::theme::Theme;
#[cfg(unix)]
use crate::workbench::keys::action::ProgramAction;
use crate::workbench::keys::action::{Action, DeskAction, Pane};
use crate::workbench::keys::key::Key;
use crate::workbench::keys::table::KeyTable;
use crate::workbench::messages::effect::{Effect, FileEffect, SoundEffect, TerminalEffect};
use crate::workbench::messages::message::{Message, Mouse};
use crate::workbench::messages::notice::Notice;
use crate::workbench::panes::start::pane::StartPane;
use crate::workbench::runtime::chosen_appearance::{look, themes};
use crate::workbench::runtime::player::Ears;
use crate::workbench::runtime::provoked;
use crate::workbench::runtime::quiet::Quiet;
use crate::workbench::runtime::session::Session;
use crate::workbench::runtime::terminal::Screen;
use crate::workbench::state::State;
use crate::workbench::update::routing::update;

/// What the workbench is started with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunOptions {
    /// What to open.
    pub open: OpenFirst,
    /// Where library and settings are kept; nowhere where the system knows no home folder.
    pub folders: Option<Folders>,
}

/// What to open first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OpenFirst {
    /// The start screen.
    Start,
    /// The lesson opened last, or the start screen if there is none.
    LastLesson,
    /// A lesson; not to be opened is an error.
    Lesson(PathBuf),
    /// A copy of a demo lesson.
    Demo(PathBuf),
}

/// How the workbench came to its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// Somebody quit.
    Quit,
    /// A signal of this number asked for it.
    Signal(i32),
    /// The terminal went away.
    TerminalGone,
    /// A fault of the program in the thread that reads keys; it has been told.
    Fault,
}

/// Runs the workbench until it is left.
///
/// Errors: no terminal, a lesson asked for that cannot be opened, a key file that cannot be used.
/// On return the terminal is as it was before.
pub fn run(options: RunOptions) -> Result<Ended> {
    demand_terminal()?;
    let (settings, trouble) = options.folders.as_ref().map(Settings::load).unwrap_or_default();
    let (look, faded) = look(&settings, options.folders.as_ref());
    let keys = key_table(options.folders.as_ref())?;
    let save = keys.key_for(Pane::Desk, Action::Desk(DeskAction::Save));
    let save = save.map_or_else(|| "saving".to_owned(), |key| key.to_string());
    let themed = options.folders.clone();
    let folders = options.folders.map(|folders| folders.on(provoked::disk()));
    let mut session = Session::new(folders, save);
    let mut state = State::new(Size::default(), look, keys, start_pane(&settings));
    state.chosen.sight = settings.neck;
    state.listening.settings = settings.listening.clone();
    state.chosen.themes = themes(themed.as_ref()).unwrap_or_else(|_| Theme::built_in());
    state.chosen.handout.paper = match settings.paper {
        PaperSize::A4 => Paper::A4,
        PaperSize::Letter => Paper::Letter,
    };
    let trouble = trouble.map(|error| {
        let text = format!("the settings cannot be read, so the usual ones hold: {error}; {}", error.hint());
        Notice::trouble(text)
    });
    state.said.messages.extend(trouble.clone());
    state.said.messages.extend(faded.clone());
    let trouble = trouble.or(faded);
    let (sender, events) = mpsc::channel();
    let library = sender.clone();
    // When nobody listens any more, the program is about to end.
    session.work_behind(move |message| _ = library.send(Incoming::Message(message)));
    open_first(&mut state, &mut session, &options.open, &settings)?;
    // Only changes that came back are more pressing; the key for messages shows both.
    if state.desk().is_none_or(|desk| desk.lesson.is_saved()) {
        state.said.notice = trouble.or_else(|| state.said.notice.take());
    }

    let mut screen = Screen::enter()?;
    // Looking once makes the terminal's events, above all changes of size, come to us from here on;
    // asked for later, a change between the first frame and the first look would be missed.
    event::poll(Duration::ZERO).context("cannot read from the terminal")?;
    state.size = screen.size()?;
    state.settle();
    listen(&sender);
    let told = sender.clone();
    // When nobody listens any more, the program is about to end.
    let mut ears = Ears::new(move |message| _ = told.send(Incoming::Message(message)));
    let ended = serve(&mut state, &mut session, &mut ears, &mut screen, &events);
    let unconfirmed = session.sync();
    if matches!(ended, Ok(Ended::Quit)) {
        session.leave();
    }
    drop(screen);
    session.finish();
    let mut troubles: Vec<String> = unconfirmed.into_iter().collect();
    for incoming in events.try_iter() {
        if let Incoming::Message(Message::LibraryChanged(Err(error))) = incoming {
            troubles.push(error);
        }
    }
    for trouble in troubles {
        let _ = writeln!(io::stderr(), "fingerpost: {trouble}");
    }
    if let Ok(Ended::Signal(number)) = ended {
        // A terminal that is gone hears nothing of it, which is nothing to complain about.
        let _ = writeln!(
            io::stderr(),
            "fingerpost: ended by signal {number}; what was not saved is in the journal and comes back with the lesson"
        );
    }
    ended
}

/// What the outside sends.
enum Incoming {
    Message(Message),
    /// The process should stop for a while.
    #[cfg(unix)]
    Suspend,
    /// A signal of this number says to end.
    #[cfg(unix)]
    Signal(i32),
    /// No more events come.
    Gone,
    /// No more events come because of a fault of our own, which has been told.
    Fault,
}

fn serve(
    state: &mut State,
    session: &mut Session,
    ears: &mut Ears,
    screen: &mut Screen,
    events: &Receiver<Incoming>,
) -> Result<Ended> {
    let begun = Instant::now();
    screen.draw(state)?;
    session.begin();
    let mut quiet = Quiet::default();
    loop {
        let rest = quiet.rest(session.unsynced(), begun.elapsed());
        if rest.is_some_and(|rest| rest.is_zero()) {
            session.sync_behind();
            continue;
        }
        let wake = state.wake_in();
        let first = match wake.into_iter().chain(rest).min() {
            Some(soon) => events.recv_timeout(soon),
            None => events.recv().map_err(RecvTimeoutError::from),
        };
        let first = match first {
            Ok(first) => first,
            // Time passed and nothing else: the clock on the screen shows another second.
            Err(RecvTimeoutError::Timeout) if wake.is_none_or(|wake| rest.is_some_and(|rest| rest < wake)) => continue,
            Err(RecvTimeoutError::Timeout) => Incoming::Message(Message::Clock(begun.elapsed())),
            Err(RecvTimeoutError::Disconnected) => return Ok(Ended::TerminalGone),
        };
        // All that is waiting is taken in before anything is drawn, so that a storm of resizes or a
        // slow line costs one frame.
        let mut resized = false;
        for incoming in std::iter::once(first).chain(events.try_iter()) {
            let message = match incoming {
                Incoming::Message(message) => message,
                #[cfg(unix)]
                Incoming::Suspend => Message::Act(Action::Program(ProgramAction::Suspend)),
                #[cfg(unix)]
                Incoming::Signal(number) => {
                    advance(state, session, ears, screen, Message::Ending)?;
                    return Ok(Ended::Signal(number));
                }
                Incoming::Gone => {
                    advance(state, session, ears, screen, Message::Ending)?;
                    return Ok(Ended::TerminalGone);
                }
                Incoming::Fault => {
                    advance(state, session, ears, screen, Message::Ending)?;
                    return Ok(Ended::Fault);
                }
            };
            resized |= matches!(message, Message::Resized(_));
            // What a key stamps is the time at which it was struck.
            if state.wants_time() {
                advance(state, session, ears, screen, Message::Clock(begun.elapsed()))?;
            }
            if advance(state, session, ears, screen, message)? == Next::Quit {
                return Ok(Ended::Quit);
            }
        }
        if state.listening.playing.is_some() {
            for message in ears.listen() {
                advance(state, session, ears, screen, message)?;
            }
        }
        // Smaller and at once as large again, a terminal has lost what stood at its edges.
        if resized {
            screen.forget()?;
        }
        screen.draw(state)?;
    }
}

/// Whether to go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Next {
    Go,
    Quit,
}

/// Advances the state by a message and by everything that follows from it.
fn advance(
    state: &mut State,
    session: &mut Session,
    ears: &mut Ears,
    screen: &mut Screen,
    message: Message,
) -> Result<Next> {
    provoked_fault_in(&message);
    let mut waiting = VecDeque::from([message]);
    while let Some(message) = waiting.pop_front() {
        for effect in update(state, message) {
            match effect {
                Effect::Terminal(TerminalEffect::Quit) => return Ok(Next::Quit),
                Effect::Terminal(TerminalEffect::Suspend) => {
                    ears.let_go();
                    waiting.extend(session.sync().map(|trouble| Message::Told(Notice::trouble(trouble))));
                    screen.suspend()?;
                    waiting.push_back(Message::Resized(screen.size()?));
                }
                Effect::Terminal(TerminalEffect::Redraw) => screen.forget()?,
                Effect::Terminal(TerminalEffect::CopyOut(text)) => Screen::copy_out(&text)?,
                Effect::Sound(effect) => waiting.extend(perform_sound(effect, session, ears)),
                Effect::Files(effect) => {
                    if effect.waits_for_disk() {
                        screen.draw(state)?;
                    }
                    waiting.extend(session.perform(effect));
                }
            }
        }
    }
    Ok(Next::Go)
}

fn perform_sound(effect: SoundEffect, session: &mut Session, ears: &mut Ears) -> Vec<Message> {
    match effect {
        SoundEffect::Play(order, settings) => {
            ears.play(*order, &settings);
            return session.keep_listening(&settings);
        }
        SoundEffect::Stop => ears.stop(),
        SoundEffect::KeepSettings(settings) => {
            ears.set(&settings);
            return session.keep_listening(&settings);
        }
        SoundEffect::SeekDevices => ears.seek_devices(),
    }
    Vec::new()
}

fn open_first(state: &mut State, session: &mut Session, first: &OpenFirst, settings: &Settings) -> Result<()> {
    let (path, must) = match first {
        OpenFirst::Start => return Ok(()),
        OpenFirst::LastLesson => (settings.last_lesson().map(PathBuf::from), false),
        OpenFirst::Lesson(path) | OpenFirst::Demo(path) => (Some(path.clone()), true),
    };
    let Some(path) = path else { return Ok(()) };
    for message in session.perform(FileEffect::Open(path)) {
        match message {
            Message::Opened(Err(error)) if must => bail!(error),
            other => _ = update(state, other),
        }
    }
    if matches!(first, OpenFirst::Demo(_)) && state.said.notice.is_none() {
        state.said.say(Notice::done("a copy to play with freely: nothing here touches your own files"));
    }
    Ok(())
}

fn start_pane(settings: &Settings) -> StartPane {
    let title = |path: &PathBuf| path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let recent = settings.recent.iter().map(|path| (title(path), path.clone())).collect();
    let demos = DEMOS.iter().map(|demo| (demo.name.to_owned(), demo.about.to_owned())).collect();
    StartPane::new(recent, demos)
}

fn key_table(folders: Option<&Folders>) -> Result<KeyTable> {
    let table = KeyTable::built_in();
    let Some(path) = folders.map(Folders::keys) else { return Ok(table) };
    let text = match std::fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(table),
        Err(error) => return Err(error).with_context(|| format!("cannot read the key file {}", path.display())),
    };
    table.with_own(&text).with_context(|| format!("the key file {} cannot be used", path.display()))
}

fn demand_terminal() -> Result<()> {
    if !io::stdin().is_terminal() || !io::stdout().is_terminal() {
        bail!(
            "the workbench needs a terminal to draw on; without one use `fingerpost check FILE`, \
             `fingerpost handout FILE` or `fingerpost chapters FILE`"
        );
    }
    if std::env::var_os("TERM").is_some_and(|term| term == "dumb") {
        bail!(
            "this terminal (TERM=dumb) cannot place text on the screen; use `fingerpost check FILE`, \
             `fingerpost handout FILE` or `fingerpost chapters FILE`"
        );
    }
    Ok(())
}

/// Tells of a fault in the thread that reads keys: without it the workbench would wait for ever.
struct LastWord(Sender<Incoming>);

impl Drop for LastWord {
    fn drop(&mut self) {
        if thread::panicking() {
            // Nobody hears it where the workbench has ended already.
            let _ = self.0.send(Incoming::Fault);
        }
    }
}

/// Starts the threads that wait for terminal events and signals.
fn listen(sender: &Sender<Incoming>) {
    let events = sender.clone();
    thread::spawn(move || {
        let _last_word = LastWord(events.clone());
        loop {
            let incoming = match event::read() {
                Ok(event) => translate(event),
                Err(_) => Some(Incoming::Gone),
            };
            let gone = matches!(incoming, Some(Incoming::Gone));
            let unheard = incoming.is_some_and(|incoming| events.send(incoming).is_err());
            if gone || unheard {
                return;
            }
        }
    });
    #[cfg(unix)]
    listen_to_signals(sender.clone());
}

#[cfg(unix)]
fn listen_to_signals(sender: Sender<Incoming>) {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM, SIGTSTP};
    // Without signals the workbench still works; it only ends less politely.
    let Ok(mut signals) = signal_hook::iterator::Signals::new([SIGHUP, SIGINT, SIGTERM, SIGTSTP]) else { return };
    thread::spawn(move || {
        for signal in signals.forever() {
            let incoming = if signal == SIGTSTP { Incoming::Suspend } else { Incoming::Signal(signal) };
            if sender.send(incoming).is_err() {
                return;
            }
        }
    });
}

/// Fails on purpose, for the tests of what happens then; never in a release.
#[cfg(debug_assertions)]
fn provoked_fault(event: &Event) {
    let provoked = Event::Key(crossterm::event::KeyCode::F(12).into());
    if *event == provoked && std::env::var_os("FINGERPOST_FAULT").is_some_and(|place| place == "reading") {
        panic!("provoked while reading a key");
    }
}

#[cfg(not(debug_assertions))]
fn provoked_fault(_: &Event) {}

/// Fails on purpose, for the tests of what happens then; never in a release.
#[cfg(debug_assertions)]
fn provoked_fault_in(message: &Message) {
    let provoked =
        matches!(message, Message::Key(key) if *key == Key::plain(crate::workbench::keys::key::Cap::Function(12)));
    if provoked && std::env::var_os("FINGERPOST_FAULT").is_some_and(|place| place == "updating") {
        panic!("provoked while a key is answered");
    }
}

#[cfg(not(debug_assertions))]
fn provoked_fault_in(_: &Message) {}

fn translate(event: Event) -> Option<Incoming> {
    provoked_fault(&event);
    let message = match event {
        Event::Key(key) => Message::Key(Key::from_event(key)?),
        Event::Paste(text) => Message::Pasted(text),
        Event::Resize(width, height) => Message::Resized(Size { width, height }),
        // Columns and rows count from 1; a report of 0 arrives as less than nothing.
        Event::Mouse(mouse) if mouse.column == u16::MAX || mouse.row == u16::MAX => return None,
        Event::Mouse(mouse) => {
            let place = Position { x: mouse.column, y: mouse.row };
            Message::Mouse(match mouse.kind {
                MouseEventKind::Down(MouseButton::Left) => Mouse::Click(place),
                MouseEventKind::Drag(MouseButton::Left) => Mouse::Drag(place),
                MouseEventKind::Up(MouseButton::Left) => Mouse::Release(place),
                MouseEventKind::ScrollUp => Mouse::WheelUp(place),
                MouseEventKind::ScrollDown => Mouse::WheelDown(place),
                _ => return None,
            })
        }
        Event::FocusGained | Event::FocusLost => return None,
    };
    Some(Incoming::Message(message))
}
