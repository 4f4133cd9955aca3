//! The workplace: the state of the workbench together with what it is seen on, its files and its jobs. Effects are performed
//! here, and what only time asks for; what they are is decided in `update`.

use std::collections::VecDeque;
use std::time::Duration;

use anyhow::Result;

use crate::workbench::jobs::queue::Jobs;
use crate::workbench::messages::effect::{Effect, FileEffect, SoundEffect, TerminalEffect};
use crate::workbench::messages::message::Message;
use crate::workbench::messages::notice::Notice;
use crate::workbench::runtime::loudspeaker::seek_devices;
use crate::workbench::runtime::outside::Outside;
use crate::workbench::runtime::session::Session;
use crate::workbench::runtime::sync_times::{NextTry, QuietKeys, Tried};
use crate::workbench::state::State;
use crate::workbench::update::routing::update;
use crate::workbench::update::taking_over::Whereabouts;

/// The state of the workbench and everything outside that it works with.
pub struct Workplace<O> {
    /// The state.
    pub state: State,
    /// What it is seen on and heard from.
    pub outside: O,
    /// The files.
    pub session: Session,
    /// The background work.
    pub jobs: Jobs<Message>,
    /// What waits for its time.
    waits: TimedWork,
}

/// What waits for its time.
#[derive(Debug)]
struct TimedWork {
    /// The journal, to be synced to the disk.
    sync: QuietKeys,
    /// A large draft, to be kept.
    draft: QuietKeys,
    /// What could not be written, to be tried again.
    retry: NextTry,
    /// A lock that another window has, to be looked for.
    look: NextTry,
}

/// What the workbench does after a message.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AfterMessage {
    /// The workbench goes on.
    GoesOn,
    /// The workbench ends, because the person quit.
    Ends,
}

/// What is left when the workbench has ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ending {
    /// What was said last, which stood on the screen for no time at all.
    pub notice: Option<Notice>,
    /// The words and fingers that could not be kept, or those that come again although they were answered, if there are any.
    pub lost_draft: Option<String>,
    /// The reason why the journal may not have reached the disk itself, if there is one.
    pub unconfirmed: Option<String>,
    /// Whether there were changes that are neither in the file nor in the journal.
    pub is_lost: bool,
}

impl<O: Outside> Workplace<O> {
    /// Returns a workplace with this state and these files.
    pub const fn new(state: State, outside: O, session: Session, jobs: Jobs<Message>) -> Self {
        let waits = TimedWork {
            sync: QuietKeys::of_journal(),
            draft: QuietKeys::of_draft(),
            retry: NextTry::new(),
            look: NextTry::new(),
        };
        Self { state, outside, session, jobs, waits }
    }

    /// Advances the state by a message and by everything that follows from it. Errors: the terminal is gone.
    pub fn advance(&mut self, message: Message) -> Result<AfterMessage> {
        provoked_fault_in(&message);
        let mut waiting = VecDeque::from([message]);
        while let Some(message) = waiting.pop_front() {
            for effect in update(&mut self.state, message) {
                match effect {
                    Effect::Terminal(effect) => {
                        if self.perform_on_terminal(effect, &mut waiting)? == AfterMessage::Ends {
                            return Ok(AfterMessage::Ends);
                        }
                    }
                    Effect::Sound(effect) => waiting.extend(self.perform_on_sound(effect)),
                    Effect::Files(effect) => waiting.extend(self.perform_on_files(effect)?),
                }
            }
        }
        Ok(AfterMessage::GoesOn)
    }

    /// Does what only time asks for and returns how long until it asks again; `None` where nothing waits. `now` is any clock
    /// that only runs forward. Errors: the terminal is gone.
    pub fn mind_time(&mut self, now: Duration) -> Result<Option<Duration>> {
        let is_due = |rest: Option<Duration>| rest.is_some_and(|rest| rest.is_zero());
        if is_due(self.waits.retry.rest(Tried::in_vain_if(self.session.waits_for_retry()), now)) {
            let told = self.session.retry(&mut self.jobs);
            self.hear(told)?;
        }
        if is_due(self.waits.look.rest(Tried::in_vain_if(self.session.waits_for_lock()), now)) {
            let told = self.session.look_for_lock();
            self.hear(told)?;
        }
        if is_due(self.waits.sync.rest(self.session.unsynced(), now)) {
            let told = self.session.sync_behind(&mut self.jobs);
            self.hear(told)?;
        }
        if is_due(self.waits.draft.rest(self.state.draft.late(), now)) {
            self.hear([Message::DraftDue])?;
        }
        let rests = [
            self.waits.retry.rest(Tried::in_vain_if(self.session.waits_for_retry()), now),
            self.waits.look.rest(Tried::in_vain_if(self.session.waits_for_lock()), now),
            self.waits.sync.rest(self.session.unsynced(), now),
            self.waits.draft.rest(self.state.draft.late(), now),
        ];
        Ok(rests.into_iter().flatten().min())
    }

    /// Gives the terminal back, waits for what must reach the disk, and lets go of the files.
    pub fn close(self) -> Ending {
        let Self { state, outside, mut session, mut jobs, .. } = self;
        // What could not be written may have its place by now; what there is to tell of it was told.
        let _ = session.retry(&mut jobs);
        // A draft that was handed over last of all was told to nobody.
        let lost_draft = session.lost_draft();
        session.remember_place(state.desk().and_then(Whereabouts::left_at));
        let unconfirmed = session.sync(&mut jobs);
        drop(outside);
        jobs.finish();
        Ending { notice: state.said.notice, lost_draft, unconfirmed, is_lost: session.is_unprotected() }
    }

    /// Takes in what came of something that nobody asked for, and shows it.
    fn hear(&mut self, told: impl IntoIterator<Item = Message>) -> Result<()> {
        for message in told {
            self.advance(message)?;
            self.outside.draw(&self.state)?;
        }
        Ok(())
    }

    fn perform_on_terminal(&mut self, effect: TerminalEffect, waiting: &mut VecDeque<Message>) -> Result<AfterMessage> {
        match effect {
            TerminalEffect::Suspend => {
                let unconfirmed = self.session.sync(&mut self.jobs);
                waiting.extend(unconfirmed.map(|trouble| Message::Told(Notice::trouble(trouble))));
                waiting.push_back(Message::Resized(self.outside.suspend()?));
            }
            TerminalEffect::Redraw => self.outside.forget()?,
            TerminalEffect::CopyOut(text) => self.outside.copy_out(&text)?,
            TerminalEffect::Quit => return Ok(AfterMessage::Ends),
        }
        Ok(AfterMessage::GoesOn)
    }

    fn perform_on_sound(&mut self, effect: SoundEffect) -> Option<Message> {
        match effect {
            SoundEffect::Play(order, settings) => {
                self.outside.play(*order, &settings);
                return self.session.keep_listening(&settings, &mut self.jobs);
            }
            SoundEffect::Stop => self.outside.stop(),
            SoundEffect::KeepSettings(settings) => {
                self.outside.set(&settings);
                return self.session.keep_listening(&settings, &mut self.jobs);
            }
            SoundEffect::SeekDevices => seek_devices(&mut self.jobs),
        }
        None
    }

    fn perform_on_files(&mut self, effect: FileEffect) -> Result<Vec<Message>> {
        // The screen first shows what the key did.
        let drawn = if effect.waits_for_disk() { self.outside.draw(&self.state) } else { Ok(()) };
        // What was asked for is done also where the terminal has gone meanwhile.
        let told = self.session.perform(effect, &mut self.jobs);
        drawn.map(|()| told)
    }
}

/// Panics on purpose, so that tests can see what follows. Release builds leave it out.
#[cfg(debug_assertions)]
fn provoked_fault_in(message: &Message) {
    use crate::workbench::keys::keystroke::{Cap, Keystroke};

    let provoked = matches!(message, Message::Key(key) if *key == Keystroke::plain(Cap::Function(12)));
    if provoked && std::env::var_os("FINGERPOST_FAULT").is_some_and(|place| place == "updating") {
        panic!("provoked while a key is answered");
    }
}

#[cfg(not(debug_assertions))]
fn provoked_fault_in(_: &Message) {}
