//! What comes from outside: the events of the terminal, and signals. A thread of its own waits for each and only passes
//! on what comes; nothing is decided here.

#[cfg(unix)]
use std::io::{self, Read};
use std::sync::mpsc::Sender;
#[cfg(unix)]
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::thread;
use std::time::Duration;

use crossterm::event::{Event, MouseButton, MouseEventKind};
use ratatui::layout::{Position, Size};

use crate::workbench::keys::keystroke::Keystroke;
use crate::workbench::messages::message::{Message, Mouse};
#[cfg(unix)]
use crate::workbench::runtime::key_bytes::KeyBytes;

/// Something that comes from outside.
pub(super) enum Incoming {
    /// Something happened to the workbench.
    Message(Message),
    /// The process should stop until it is continued.
    #[cfg(unix)]
    Suspend,
    /// A signal with this number asks the program to end.
    #[cfg(unix)]
    Signal(i32),
    /// No more events come.
    Gone,
    /// No more events come because of a fault of the program, which has been reported.
    Fault,
}

/// Reports a fault in the thread that reads keys when that thread panics. Without the report the workbench would wait
/// for ever.
struct LastWord(Sender<Incoming>);

impl Drop for LastWord {
    fn drop(&mut self) {
        if thread::panicking() {
            // The receiver is gone where the workbench has already ended.
            let _ = self.0.send(Incoming::Fault);
        }
    }
}

/// Starts the thread that waits for the events of the terminal. After Esc the rest of another key is waited for as long as
/// `escape_wait` says.
pub(super) fn listen(sender: &Sender<Incoming>, escape_wait: Duration) {
    let events = sender.clone();
    thread::spawn(move || {
        let _last_word = LastWord(events.clone());
        listen_to_keys(&events, escape_wait);
    });
}

/// Passes on what the keyboard and the mouse send until the terminal is gone.
#[cfg(unix)]
fn listen_to_keys(events: &Sender<Incoming>, escape_wait: Duration) {
    let (sender, bytes) = mpsc::channel();
    thread::spawn(move || read_bytes(&sender));
    let mut keys = KeyBytes::default();
    loop {
        let came = match next_bytes(&bytes, keys.holds_esc().then_some(escape_wait)) {
            Ok(bytes) => keys.take(&bytes),
            Err(RecvTimeoutError::Timeout) => keys.nothing_followed().into_iter().collect(),
            Err(RecvTimeoutError::Disconnected) => {
                let _ = events.send(Incoming::Gone);
                return;
            }
        };
        for incoming in came.into_iter().filter_map(translate) {
            if events.send(incoming).is_err() {
                return;
            }
        }
    }
}

/// Waits for bytes, and no longer than `patience` where there is one.
#[cfg(unix)]
fn next_bytes(bytes: &Receiver<Vec<u8>>, patience: Option<Duration>) -> Result<Vec<u8>, RecvTimeoutError> {
    match patience {
        Some(patience) => bytes.recv_timeout(patience),
        None => bytes.recv().map_err(RecvTimeoutError::from),
    }
}

/// Reads the terminal until there is nothing more to read or nobody to read for.
#[cfg(unix)]
fn read_bytes(sender: &Sender<Vec<u8>>) {
    let mut terminal = io::stdin().lock();
    let mut bytes = [0; 4096];
    loop {
        match terminal.read(&mut bytes) {
            Ok(0) => return,
            Ok(count) => {
                if sender.send(bytes.iter().take(count).copied().collect()).is_err() {
                    return;
                }
            }
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(_) => return,
        }
    }
}

/// Passes on what the keyboard and the mouse send until the terminal is gone. Here the system itself puts keys together.
#[cfg(not(unix))]
fn listen_to_keys(events: &Sender<Incoming>, _escape_wait: Duration) {
    loop {
        let incoming = match crossterm::event::read() {
            Ok(event) => translate(event),
            Err(_) => Some(Incoming::Gone),
        };
        let gone = matches!(incoming, Some(Incoming::Gone));
        let unheard = incoming.is_some_and(|incoming| events.send(incoming).is_err());
        if gone || unheard {
            return;
        }
    }
}

/// Starts the thread that waits for signals, also for those that the size has changed.
#[cfg(unix)]
pub(super) fn listen_to_signals(sender: Sender<Incoming>) {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM, SIGTSTP, SIGWINCH};
    // Without signals the workbench still works, but a signal ends it without a farewell.
    let Ok(mut signals) = signal_hook::iterator::Signals::new([SIGHUP, SIGINT, SIGTERM, SIGTSTP, SIGWINCH]) else {
        return;
    };
    thread::spawn(move || {
        for signal in signals.forever() {
            let incoming = match signal {
                SIGTSTP => Incoming::Suspend,
                SIGWINCH => match crossterm::terminal::size() {
                    Ok((width, height)) => Incoming::Message(Message::Resized(Size { width, height })),
                    Err(_) => continue,
                },
                ending => Incoming::Signal(ending),
            };
            if sender.send(incoming).is_err() {
                return;
            }
        }
    });
}

/// Panics on purpose, so that tests can see what follows. Release builds leave it out.
#[cfg(debug_assertions)]
fn provoked_fault(event: &Event) {
    let provoked = Event::Key(crossterm::event::KeyCode::F(12).into());
    if *event == provoked && std::env::var_os("FINGERPOST_FAULT").is_some_and(|place| place == "reading") {
        panic!("provoked while reading a key");
    }
}

#[cfg(not(debug_assertions))]
fn provoked_fault(_: &Event) {}

fn translate(event: Event) -> Option<Incoming> {
    provoked_fault(&event);
    let message = match event {
        Event::Key(key) => Message::Key(Keystroke::from_event(key)?),
        Event::Paste(text) => Message::Pasted(text),
        Event::Resize(width, height) => Message::Resized(Size { width, height }),
        // Columns and rows count from 1; a report of 0 arrives wrapped round to the largest number.
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
