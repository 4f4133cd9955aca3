//! What comes from outside: the events of the terminal, and signals. A thread of its own waits for each and only passes
//! on what comes; nothing is decided here.

use std::sync::mpsc::Sender;
use std::thread;

use crossterm::event::{self, Event, MouseButton, MouseEventKind};
use ratatui::layout::{Position, Size};

use crate::workbench::keys::key::Key;
use crate::workbench::messages::message::{Message, Mouse};

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

/// Starts the thread that waits for the events of the terminal.
pub(super) fn listen(sender: &Sender<Incoming>) {
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
}

/// Starts the thread that waits for signals.
#[cfg(unix)]
pub(super) fn listen_to_signals(sender: Sender<Incoming>) {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM, SIGTSTP};
    // Without signals the workbench still works, but a signal ends it without a farewell.
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
        Event::Key(key) => Message::Key(Key::from_event(key)?),
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
