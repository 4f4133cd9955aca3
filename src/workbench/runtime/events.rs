//! What the outside sends: the events of the terminal, and signals. Each is waited for by a thread of its own, which only
//! passes on what comes.

use std::sync::mpsc::Sender;
use std::thread;

use crossterm::event::{self, Event, MouseButton, MouseEventKind};
use ratatui::layout::{Position, Size};

use crate::workbench::keys::key::Key;
use crate::workbench::messages::message::{Message, Mouse};

/// What the outside sends.
pub(super) enum Incoming {
    /// Something happened to the workbench.
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
