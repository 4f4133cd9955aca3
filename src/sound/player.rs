//! Plays whatever is audible on a sound device while its user goes on with something else.
//!
//! A [`Player`] is the end that the user holds. None of its calls waits for a device, and none fails: where there is no
//! device, or where it goes away, the player plays on in silence, in time, and says so once ([`Player::take_notice`]).
//! The next [`Player::play`] tries again. Three threads are at work: the user's; the keeper's (`keeper`), which
//! opens devices, makes voices and drops them; and the callback of the device (`feed`), which does nothing but make
//! samples.

use std::fmt;
use std::sync::Arc;
use std::sync::mpsc::{self, Receiver, Sender};
use std::thread;

mod feed;
mod heard;
mod keeper;
mod order;

use heard::{OrderNumber, PlayerGauge};
use keeper::{DeviceKeeper, PlayerCommand};
pub use order::{MODEST, PlayOrder};

use super::output::silent::Silent;
use super::output::{DeviceChoice, OutputDevice, output_of};
use crate::lesson::seconds::Seconds;

/// Plays one thing at a time.
pub struct Player {
    commands: Sender<PlayerCommand>,
    notices: Receiver<String>,
    heard: Arc<PlayerGauge>,
    /// The order that plays as far as we know, and where it began.
    current: Option<(OrderNumber, Seconds)>,
    last: OrderNumber,
}

impl Player {
    /// Makes a player for a device. The device is not touched before there is something to play.
    pub fn new(choice: DeviceChoice) -> Self {
        Self::on(output_of(choice), Box::new(Silent))
    }

    /// Makes a player for `output`; while that cannot be used, samples go to `instead`.
    pub fn on(output: Box<dyn OutputDevice>, instead: Box<dyn OutputDevice>) -> Self {
        let (commands, from_user) = mpsc::channel();
        let (to_user, notices) = mpsc::channel();
        let heard = Arc::new(PlayerGauge::new());
        let (said, to_keeper) = (Arc::clone(&heard), to_user.clone());
        // A device may have to stay on the thread that opened it, so the keeper is made there.
        let keep = move || DeviceKeeper::new(output, instead, said, from_user, to_keeper).run();
        let thread = thread::Builder::new().name("sound".into()).spawn(keep);
        if let Err(error) = thread {
            // The other end is kept by the player itself, so this cannot be lost.
            let _ = to_user.send(format!("no sound is possible: {error}"));
        }
        Self { commands, notices, heard, current: None, last: 0 }
    }

    /// Plays what `order` asks for. What plays already fades out.
    pub fn play(&mut self, order: PlayOrder) {
        self.last = self.last.wrapping_add(1);
        self.current = Some((self.last, order.from));
        self.tell(PlayerCommand::Play(self.last, order));
    }

    /// Lets what plays fade out, within a few hundredths of a second.
    pub fn stop(&mut self) {
        self.current = None;
        self.tell(PlayerCommand::Stop);
    }

    /// Sets how loud everything is from now on: 0 is silent, 1 as loud as a file. It is [`MODEST`] until this is called.
    pub fn set_volume(&mut self, volume: f32) {
        self.tell(PlayerCommand::Volume(if volume.is_finite() { volume.clamp(0.0, 1.0) } else { 0.0 }));
    }

    /// Returns which second of the music is heard at this moment: the latency of the device is accounted for.
    ///
    /// It is where the order begins until the first sample is heard, goes on past the end of the music while strings
    /// ring, and is `None` when nothing plays any more.
    pub fn heard(&self) -> Option<Seconds> {
        let (number, from) = self.current?;
        match self.heard.position() {
            (said, seconds) if said == number => seconds,
            _ => Some(from),
        }
    }

    /// Returns one line about the device where something has changed: it cannot be used, it went away, it is back.
    pub fn take_notice(&mut self) -> Option<String> {
        self.notices.try_recv().ok()
    }

    /// Returns whether what was played last goes, or went, where nobody hears it, because the device cannot be used.
    pub fn is_silent(&self) -> bool {
        self.heard.is_silent()
    }

    /// Returns how often samples came too late to be heard in time.
    pub fn underruns(&self) -> u64 {
        self.heard.underruns()
    }

    fn tell(&self, command: PlayerCommand) {
        // Where the keeper could not be started, a notice says so.
        let _ = self.commands.send(command);
    }
}

impl fmt::Debug for Player {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.debug_struct("Player").field("current", &self.current).finish_non_exhaustive()
    }
}
