//! The keeper: it opens the device, makes voices for it, drops those that the device has finished with, and monitors
//! it. It has a thread of its own, on which waiting disturbs nobody. It makes no samples.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender};
use std::time::{Duration, Instant};

use super::feed::{Feed, FeedCommand, FeedControl, PlayingVoice};
use super::heard::{Audience, OrderNumber, PlayerGauge};
use super::order::{MODEST, PlayOrder};
use crate::lesson::seconds::Seconds;
use crate::sound::level::Level;
use crate::sound::output::{MakeSource, OutputDevice, OutputError, SampleSource, Stream, StreamState};
use crate::sound::rate::SampleRate;

/// The interval at which an open device is checked.
const LOOKS: Duration = Duration::from_millis(100);
/// The time for which a device stays open when nothing plays: opening it takes a moment, and keeping it open uses
/// power.
const KEPT: Duration = Duration::from_secs(5);

/// The latency and the sample rate that are assumed before the device reports its own.
const LATE: Duration = Duration::from_millis(25);
const TYPICAL_RATE: SampleRate = SampleRate::VIDEO;
/// After this time without a failure, another failure may be a passing one again.
const FORGETS: Duration = Duration::from_secs(10);

/// A request of the user.
#[derive(Debug)]
pub enum PlayerCommand {
    /// Play this order under this number.
    Play(OrderNumber, PlayOrder),
    /// Fade out what plays.
    Stop,
    /// Set the volume, 0 to 1.
    Volume(Level),
}

/// Which device is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum DeviceInUse {
    Wanted,
    Instead,
}

/// A device that is open.
#[derive(Debug)]
struct OpenDevice {
    stream: Box<dyn Stream>,
    line: FeedControl,
    which: DeviceInUse,
    /// The number of samples taken at the last check, and the moment since which it has not grown.
    taken: u64,
    since: Instant,
    /// Whether it has missed a command.
    behind: bool,
}

/// The state of the thread between the user and the device.
#[derive(Debug)]
pub struct DeviceKeeper {
    output: Box<dyn OutputDevice>,
    instead: Box<dyn OutputDevice>,
    heard: Arc<PlayerGauge>,
    commands: Receiver<PlayerCommand>,
    notices: Sender<String>,
    open: Option<OpenDevice>,
    order: Option<(OrderNumber, PlayOrder)>,
    volume: Level,
    /// The last latency of the wanted device.
    late: Duration,
    /// The trouble that was last reported to the user.
    told: Option<OutputError>,
    /// The moment when a failed device was last opened again without a notice.
    forgiven: Option<Instant>,
    /// The underruns of devices that are closed, and the moment since which nothing plays.
    underruns: u64,
    idle: Option<Instant>,
}

impl DeviceKeeper {
    /// Returns a keeper that has opened nothing yet.
    pub fn new(
        output: Box<dyn OutputDevice>,
        instead: Box<dyn OutputDevice>,
        heard: Arc<PlayerGauge>,
        commands: Receiver<PlayerCommand>,
        notices: Sender<String>,
    ) -> Self {
        Self {
            output,
            instead,
            heard,
            commands,
            notices,
            open: None,
            order: None,
            volume: MODEST,
            late: LATE,
            told: None,
            forgiven: None,
            underruns: 0,
            idle: None,
        }
    }

    /// Serves commands until the user is gone.
    pub fn run(&mut self) {
        loop {
            let command = match &self.open {
                Some(_) => self.commands.recv_timeout(LOOKS),
                None => self.commands.recv().map_err(|_| RecvTimeoutError::Disconnected),
            };
            match command {
                Ok(command) => self.obey(command),
                Err(RecvTimeoutError::Timeout) => self.look_after(),
                Err(RecvTimeoutError::Disconnected) => return,
            }
        }
    }

    fn obey(&mut self, command: PlayerCommand) {
        match command {
            PlayerCommand::Play(number, order) => self.play(number, order),
            PlayerCommand::Stop => {
                self.order = None;
                self.change(FeedCommand::Stop);
            }
            PlayerCommand::Volume(volume) => {
                self.volume = volume;
                self.change(FeedCommand::Volume(volume));
            }
        }
    }

    fn play(&mut self, number: OrderNumber, order: PlayOrder) {
        self.look_after();
        let from = order.from;
        self.order = Some((number, order));
        self.idle = None;
        // An order that would play in silence is worth another try.
        let is_open = self.open.as_ref().is_some_and(|open| open.which == DeviceInUse::Wanted);
        if !is_open && self.open_wanted(from) {
            return;
        }
        match self.open {
            Some(_) => self.start(from),
            None => self.open_instead(Some(from)),
        }
    }

    /// Sends the current order to the open device, to be played from second `from` on.
    fn start(&mut self, from: Seconds) {
        let (Some((number, order)), Some(open)) = (&self.order, &self.open) else { return };
        let playing = ready(*number, order, from, open.stream.rate());
        self.change(FeedCommand::Play(playing));
    }

    fn change(&mut self, change: FeedCommand) {
        if let Some(open) = &mut self.open {
            // A device that accepts no commands gets the present state once it does again.
            open.behind |= open.line.changes.push(change).is_err();
        }
    }

    /// Sends the present state to a device that has missed a command.
    fn catch_up(&mut self) {
        let Some(open) = &mut self.open else { return };
        if !open.behind || open.line.changes.slots() < 3 {
            return;
        }
        open.behind = false;
        self.change(FeedCommand::Volume(self.volume));
        self.change(FeedCommand::Stop);
        if let Some(from) = self.heard_last() {
            self.start(from);
        }
    }

    /// Returns the second of the current order that was last heard. An order that is over is forgotten.
    fn heard_last(&mut self) -> Option<Seconds> {
        let (number, order) = self.order.as_ref()?;
        match self.heard.position() {
            (said, None) if said == *number => {
                self.order = None;
                None
            }
            (said, Some(seconds)) if said == *number => Some(seconds),
            _ => Some(order.from),
        }
    }

    /// Opens the wanted device and plays the current order on it. Returns whether the device could be opened. The user
    /// is told what has changed.
    fn open_wanted(&mut self, from: Seconds) -> bool {
        // The last known latency holds until the device reports its own.
        self.heard.set_latency(samples(self.late, TYPICAL_RATE));
        let (source, line) = self.source(Some(from));
        match self.output.open(source) {
            Ok(stream) => {
                self.replace(stream, line, DeviceInUse::Wanted);
                if self.told.take().is_some() {
                    self.tell("the sound device is back".into());
                }
                true
            }
            Err(error) => {
                self.tell_once(error);
                false
            }
        }
    }

    /// Opens the substitute device. It plays the current order from second `from` on, if one is given.
    fn open_instead(&mut self, from: Option<Seconds>) {
        let (source, line) = self.source(from);
        match self.instead.open(source) {
            Ok(stream) => self.replace(stream, line, DeviceInUse::Instead),
            Err(error) => self.tell_once(error),
        }
    }

    fn source(&self, from: Option<Seconds>) -> (MakeSource, FeedControl) {
        let (mut feed, line) = Feed::new(self.volume, Arc::clone(&self.heard));
        let order = self.order.clone();
        let make = move |rate| -> Box<dyn SampleSource> {
            if let (Some((number, order)), Some(from)) = (order, from) {
                feed.begin_with(ready(number, &order, from, rate));
            }
            Box::new(feed)
        };
        (Box::new(make), line)
    }

    fn replace(&mut self, stream: Box<dyn Stream>, line: FeedControl, which: DeviceInUse) {
        self.close();
        self.heard.set_latency(samples(stream.latency(), stream.rate()));
        self.heard.set_audience(match which {
            DeviceInUse::Instead => Audience::Nobody,
            DeviceInUse::Wanted => Audience::Somebody,
        });
        self.open =
            Some(OpenDevice { stream, line, which, taken: self.heard.taken(), since: Instant::now(), behind: false });
    }

    fn close(&mut self) {
        if let Some(mut open) = self.open.take() {
            // A device that has stopped and wakes up later must not play on.
            let _ = open.line.changes.push(FeedCommand::Stop);
            self.underruns += open.stream.underruns();
            self.heard.set_underruns(self.underruns);
        }
    }

    /// Drops voices that the device has finished with, checks whether it still takes samples, and closes it when
    /// nothing plays.
    fn look_after(&mut self) {
        let Some(open) = &mut self.open else { return };
        while let Ok(playing) = open.line.spent.pop() {
            drop(playing);
        }
        let taken = self.heard.taken();
        if taken != open.taken {
            (open.taken, open.since) = (taken, Instant::now());
        }
        match open.stream.state(open.since.elapsed()) {
            StreamState::Works => {}
            StreamState::RunsDry | StreamState::Moved => return self.open_anew(),
            StreamState::Fails(OutputError::Other(_)) if self.forgives() => return self.open_anew(),
            StreamState::Fails(error) => return self.carry_on_without(error),
        }
        self.catch_up();
        let Some(open) = &self.open else { return };
        let latency = open.stream.latency();
        self.heard.set_latency(samples(latency, open.stream.rate()));
        if open.which == DeviceInUse::Wanted {
            self.late = latency;
        }
        self.heard.set_underruns(self.underruns + open.stream.underruns());
        let (said, seconds) = self.heard.position();
        let plays = self.order.as_ref().is_some_and(|(number, _)| said != *number || seconds.is_some());
        if plays {
            self.idle = None;
        } else if self.idle.get_or_insert_with(Instant::now).elapsed() > KEPT {
            self.close();
        }
    }

    /// Returns whether an unknown failure may be a passing one. Drivers have such failures, but not twice in a row.
    fn forgives(&mut self) -> bool {
        let forgives = self.forgiven.is_none_or(|last| last.elapsed() > FORGETS);
        if forgives {
            self.forgiven = Some(Instant::now());
        }
        forgives
    }

    /// Opens the device again and plays on from the second that was heard last.
    fn open_anew(&mut self) {
        let from = self.heard_last();
        self.close();
        // With nothing to play, the next order opens the device.
        if let Some(from) = from
            && !self.open_wanted(from)
        {
            self.open_instead(Some(from));
        }
    }

    /// Plays on in silence from where the device has stopped. With nothing to play, nothing is reported.
    fn carry_on_without(&mut self, error: OutputError) {
        let from = self.heard_last();
        self.close();
        if from.is_some() {
            self.tell_once(error);
            self.heard.set_latency(0);
            self.open_instead(from);
        }
    }

    fn tell_once(&mut self, error: OutputError) {
        if self.told.as_ref() != Some(&error) {
            self.tell(format!("{error}; silent for now; play again to retry"));
            self.told = Some(error);
        }
    }

    fn tell(&self, notice: String) {
        // The user may be gone already.
        let _ = self.notices.send(notice);
    }
}

/// Returns the voice that plays an order from its second `from` on.
fn ready(number: OrderNumber, order: &PlayOrder, from: Seconds, rate: SampleRate) -> Box<PlayingVoice> {
    Box::new(PlayingVoice::new(order.music.voice(rate, from, order.span), number, rate))
}

fn samples(time: Duration, rate: SampleRate) -> u64 {
    (time.as_secs_f64() * rate.per_second()).round() as u64
}
