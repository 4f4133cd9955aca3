//! The player: it plays anything audible on a sound device while its user goes on with something else.
//!
//! A [`Player`] is the user's end. None of its calls waits for a device, and none fails. Where there is no device, or
//! the device disappears, the player plays on in silence, in time, and reports it once ([`Player::take_notice`]). The
//! next [`Player::play`] tries again. Three threads are involved: the user's; the keeper's (`keeper`), which opens
//! devices, makes voices and drops them; and the device's callback (`feed`), which only makes samples. What the samples
//! are made from is not decided here; see [`super::voice`].

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
use crate::sound::level::Level;

/// Plays one thing at a time.
pub struct Player {
    commands: Sender<PlayerCommand>,
    notices: Receiver<String>,
    heard: Arc<PlayerGauge>,
    /// The order that plays as far as is known here, and the second at which it began.
    current: Option<(OrderNumber, Seconds)>,
    last: OrderNumber,
}

impl Player {
    /// Returns a player for a device. The device is not touched before there is something to play.
    pub fn new(choice: DeviceChoice) -> Self {
        Self::on(output_of(choice), Box::new(Silent))
    }

    /// Returns a player for `output`. While that device cannot be used, samples go to `instead`.
    pub fn on(output: Box<dyn OutputDevice>, instead: Box<dyn OutputDevice>) -> Self {
        let (commands, from_user) = mpsc::channel();
        let (to_user, notices) = mpsc::channel();
        let heard = Arc::new(PlayerGauge::new());
        let (said, to_keeper) = (Arc::clone(&heard), to_user.clone());
        // Some devices have to stay on the thread that opened them, so the keeper is made on that thread.
        let keep = move || DeviceKeeper::new(output, instead, said, from_user, to_keeper).run();
        let thread = thread::Builder::new().name("sound".into()).spawn(keep);
        if let Err(error) = thread {
            // The player itself holds the receiver, so sending cannot fail.
            let _ = to_user.send(format!("no sound is possible: {error}"));
        }
        Self { commands, notices, heard, current: None, last: 0 }
    }

    /// Plays `order`. What plays already fades out.
    pub fn play(&mut self, order: PlayOrder) {
        self.last = self.last.wrapping_add(1);
        self.current = Some((self.last, order.from));
        self.tell(PlayerCommand::Play(self.last, order));
    }

    /// Fades out what plays, within a few hundredths of a second.
    pub fn stop(&mut self) {
        self.current = None;
        self.tell(PlayerCommand::Stop);
    }

    /// Sets the volume from now on, at most the level of a file, which is as it was made. It is [`MODEST`] until this is called.
    pub fn set_volume(&mut self, volume: Level) {
        self.tell(PlayerCommand::Volume(volume.at_most(Level::AS_MADE)));
    }

    /// Returns the second of the music that is heard at this moment, taking the device's latency into account.
    ///
    /// It is the first second of the order until the first sample is heard. It goes on past the end of the music while
    /// strings ring, and is `None` when nothing plays any more.
    pub fn heard(&self) -> Option<Seconds> {
        let (number, from) = self.current?;
        match self.heard.position() {
            (said, seconds) if said == number => seconds,
            _ => Some(from),
        }
    }

    /// Returns one line about the device where something has changed: the device cannot be used, disappeared, or is
    /// back.
    pub fn take_notice(&mut self) -> Option<String> {
        self.notices.try_recv().ok()
    }

    /// Returns whether the last order plays, or played, unheard because the device cannot be used.
    pub fn is_silent(&self) -> bool {
        self.heard.is_silent()
    }

    /// Returns how many times samples have come too late.
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
