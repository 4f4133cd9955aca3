//! The workplace: the state of the workbench together with its terminal, sound, files and jobs. Effects are performed
//! here; what they are is decided in `update`.

use std::collections::VecDeque;

use anyhow::Result;

use crate::workbench::jobs::queue::Jobs;
use crate::workbench::messages::effect::{Effect, FileEffect, SoundEffect, TerminalEffect};
use crate::workbench::messages::message::Message;
use crate::workbench::messages::notice::Notice;
use crate::workbench::runtime::loudspeaker::{Loudspeaker, seek_devices};
use crate::workbench::runtime::session::Session;
use crate::workbench::runtime::terminal::Screen;
use crate::workbench::state::State;
use crate::workbench::update::routing::update;

/// The state of the workbench and everything outside that it works with.
pub(super) struct Workplace {
    /// The state.
    pub state: State,
    /// The terminal.
    pub screen: Screen,
    /// The sound.
    pub loudspeaker: Loudspeaker,
    /// The files.
    pub session: Session,
    /// The background work.
    pub jobs: Jobs<Message>,
}

/// Whether the workbench goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Next {
    /// The workbench goes on.
    Go,
    /// The workbench ends, because the person quit.
    Quit,
}

impl Workplace {
    /// Advances the state by a message and by everything that follows from it. Errors: the terminal is gone.
    pub fn advance(&mut self, message: Message) -> Result<Next> {
        provoked_fault_in(&message);
        let mut waiting = VecDeque::from([message]);
        while let Some(message) = waiting.pop_front() {
            for effect in update(&mut self.state, message) {
                match effect {
                    Effect::Terminal(effect) => {
                        if self.perform_on_terminal(effect, &mut waiting)? == Next::Quit {
                            return Ok(Next::Quit);
                        }
                    }
                    Effect::Sound(effect) => waiting.extend(self.perform_on_sound(effect)),
                    Effect::Files(effect) => waiting.extend(self.perform_on_files(effect)?),
                }
            }
        }
        Ok(Next::Go)
    }

    fn perform_on_terminal(&mut self, effect: TerminalEffect, waiting: &mut VecDeque<Message>) -> Result<Next> {
        match effect {
            TerminalEffect::Suspend => {
                // A stopped process gives its device no samples and may never be continued.
                self.loudspeaker.let_go();
                let unconfirmed = self.session.sync(&mut self.jobs);
                waiting.extend(unconfirmed.map(|trouble| Message::Told(Notice::trouble(trouble))));
                self.screen.suspend()?;
                waiting.push_back(Message::Resized(self.screen.size()?));
            }
            TerminalEffect::Redraw => self.screen.forget()?,
            TerminalEffect::CopyOut(text) => Screen::copy_out(&text)?,
            TerminalEffect::Quit => return Ok(Next::Quit),
        }
        Ok(Next::Go)
    }

    fn perform_on_sound(&mut self, effect: SoundEffect) -> Vec<Message> {
        match effect {
            SoundEffect::Play(order, settings) => {
                self.loudspeaker.play(*order, &settings);
                return self.session.keep_listening(&settings);
            }
            SoundEffect::Stop => self.loudspeaker.stop(),
            SoundEffect::KeepSettings(settings) => {
                self.loudspeaker.set(&settings);
                return self.session.keep_listening(&settings);
            }
            SoundEffect::SeekDevices => seek_devices(&mut self.jobs),
        }
        Vec::new()
    }

    fn perform_on_files(&mut self, effect: FileEffect) -> Result<Vec<Message>> {
        // The screen first shows what the key did.
        let drawn = if effect.waits_for_disk() { self.screen.draw(&self.state) } else { Ok(()) };
        // What was asked for is done also where the terminal has gone meanwhile.
        let told = self.session.perform(effect, &mut self.jobs);
        drawn.map(|()| told)
    }
}

/// Panics on purpose, so that tests can see what follows. Release builds leave it out.
#[cfg(debug_assertions)]
fn provoked_fault_in(message: &Message) {
    use crate::workbench::keys::key::{Cap, Key};

    let provoked = matches!(message, Message::Key(key) if *key == Key::plain(Cap::Function(12)));
    if provoked && std::env::var_os("FINGERPOST_FAULT").is_some_and(|place| place == "updating") {
        panic!("provoked while a key is answered");
    }
}

#[cfg(not(debug_assertions))]
fn provoked_fault_in(_: &Message) {}
