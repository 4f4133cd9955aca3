//! The source from which the device takes samples. Everything here runs in the callback of a sound device, which must
//! not be kept waiting: nothing allocates, frees or locks. Voices are not made or dropped here; they come and go
//! ready-made through two rings.

use std::sync::Arc;

use rtrb::{Consumer, Producer, RingBuffer};

use super::heard::{OrderNumber, PlayerGauge};
use crate::lesson::seconds::Seconds;
use crate::sound::level::Level;
use crate::sound::output::SampleSource;
use crate::sound::rate::SampleRate;
use crate::sound::voice::SoundingVoice;

/// The most changes that may wait, the most voices that may fade out at once, and the most voices that may wait to be
/// dropped.
const CHANGES: usize = 64;
const FADING: usize = 3;
const SPENT: usize = 16;
/// The most samples that are made at a time.
const BLOCK: usize = 256;
/// The change of volume from one sample to the next: full volume is reached from silence in about 50 ms.
const VOLUME_STEP: f32 = 1.0 / 2400.0;
/// The level below which samples count as silence (-80 dB of full scale), how long silence after the end must last, and
/// how long strings may ring before they are faded out.
const QUIET: f32 = 1e-4;
const QUIET_FOR: Seconds = Seconds(0.1);
const RINGS_ON: Seconds = Seconds(6.0);

/// A command that applies from the next block on.
#[derive(Debug)]
pub enum FeedCommand {
    /// Play this voice; the voice that plays now fades out.
    Play(Box<PlayingVoice>),
    /// Fade out what plays.
    Stop,
    /// Set the volume, 0 to 1.
    Volume(Level),
}

/// A voice that plays an order, with what is known of its progress.
#[derive(Debug)]
pub struct PlayingVoice {
    voice: Box<dyn SoundingVoice>,
    number: OrderNumber,
    rate: SampleRate,
    made: u64,
    /// The number of samples made after the voice's end, and the number of quiet ones in a row among them.
    after: u64,
    quiet: u64,
    /// The number of samples that had been made when the voice was over.
    over: Option<u64>,
}

impl PlayingVoice {
    /// Returns `voice` as the player of order `number`, at the sample rate for which the voice was made.
    pub const fn new(voice: Box<dyn SoundingVoice>, number: OrderNumber, rate: SampleRate) -> Self {
        Self { voice, number, rate, made: 0, after: 0, quiet: 0, over: None }
    }

    fn add_to(&mut self, out: &mut [f32]) {
        let mut block = [0.0; BLOCK];
        let block = &mut block[..out.len().min(BLOCK)];
        self.voice.fill(block);
        for (sum, sample) in out.iter_mut().zip(block.iter()) {
            *sum += *sample;
        }
        self.made += block.len() as u64;
        self.watch_the_end(block);
    }

    fn watch_the_end(&mut self, block: &[f32]) {
        if self.over.is_some() {
            return;
        }
        if self.voice.is_past_end() {
            let length = block.len() as u64;
            self.after += length;
            self.quiet = if block.iter().all(|sample| sample.abs() < QUIET) { self.quiet + length } else { 0 };
            if self.rate.length_of(self.after) > RINGS_ON {
                self.voice.stop();
            }
        }
        if self.rate.length_of(self.quiet) >= QUIET_FOR || self.voice.is_over() {
            self.over = Some(self.made);
        }
    }

    /// Returns the second that is heard on a device that is late by `late` samples; `None` once the last sample was
    /// heard.
    fn heard(&self, late: u64) -> Option<Seconds> {
        let heard = self.made.saturating_sub(late + self.voice.latency() as u64);
        if self.over.is_some_and(|over| heard >= over) { None } else { Some(self.voice.second_of(heard)) }
    }
}

/// The other end of a [`Feed`]: commands go in, and voices that are no longer needed come back.
#[derive(Debug)]
pub struct FeedControl {
    /// Takes commands to the feed.
    pub changes: Producer<FeedCommand>,
    /// Brings back voices that are to be dropped.
    pub spent: Consumer<Box<PlayingVoice>>,
}

/// Makes the samples of the voices that play.
#[derive(Debug)]
pub struct Feed {
    changes: Consumer<FeedCommand>,
    spent: Producer<Box<PlayingVoice>>,
    heard: Arc<PlayerGauge>,
    playing: Option<Box<PlayingVoice>>,
    fading: [Option<Box<PlayingVoice>>; FADING],
    volume: f32,
    wanted: f32,
}

impl Feed {
    /// Returns a feed and its other end.
    pub fn new(volume: Level, heard: Arc<PlayerGauge>) -> (Self, FeedControl) {
        let (to_feed, changes) = RingBuffer::new(CHANGES);
        let (spent, from_feed) = RingBuffer::new(SPENT);
        let feed = Self {
            changes,
            spent,
            heard,
            playing: None,
            fading: [const { None }; FADING],
            volume: volume.0,
            wanted: volume.0,
        };
        (feed, FeedControl { changes: to_feed, spent: from_feed })
    }

    /// Plays `playing` from the first sample on.
    pub fn begin_with(&mut self, playing: Box<PlayingVoice>) {
        self.playing = Some(playing);
    }

    fn take_changes(&mut self) {
        while let Ok(change) = self.changes.peek() {
            // Where no more voices can fade out, the command waits a few hundredths of a second.
            if matches!(change, FeedCommand::Play(_)) && !self.let_fade() {
                return;
            }
            match self.changes.pop() {
                Ok(FeedCommand::Play(playing)) => self.playing = Some(playing),
                Ok(FeedCommand::Stop) => {
                    if let Some(playing) = &mut self.playing {
                        playing.voice.stop();
                    }
                }
                Ok(FeedCommand::Volume(volume)) => self.wanted = volume.0,
                Err(_) => return,
            }
        }
    }

    /// Moves the voice that plays to those that fade out. Returns whether there was room.
    fn let_fade(&mut self) -> bool {
        if self.playing.is_none() {
            return true;
        }
        let Some(place) = self.fading.iter_mut().find(|place| place.is_none()) else { return false };
        *place = self.playing.take();
        if let Some(fading) = place {
            fading.voice.stop();
        }
        true
    }

    fn make(&mut self, out: &mut [f32]) {
        out.fill(0.0);
        for playing in self.playing.iter_mut().chain(self.fading.iter_mut().flatten()) {
            playing.add_to(out);
        }
        for sample in out {
            if self.volume != self.wanted {
                self.volume += (self.wanted - self.volume).clamp(-VOLUME_STEP, VOLUME_STEP);
            }
            // Two voices that overlap may be louder than one voice may be.
            *sample = (*sample * self.volume).clamp(-1.0, 1.0);
        }
    }

    /// Sends back voices that have faded out or are over.
    fn clear(&mut self) {
        for place in &mut self.fading {
            if place.as_ref().is_some_and(|fading| fading.voice.is_over()) {
                send_away(place, &mut self.spent);
            }
        }
        let late = self.heard.latency();
        if let Some(playing) = &self.playing {
            let heard = playing.heard(late);
            self.heard.say(playing.number, heard);
            if heard.is_none() {
                send_away(&mut self.playing, &mut self.spent);
            }
        }
    }
}

impl SampleSource for Feed {
    fn fill(&mut self, out: &mut [f32]) {
        self.take_changes();
        for block in out.chunks_mut(BLOCK) {
            self.make(block);
        }
        self.heard.take(out.len() as u64);
        self.clear();
    }
}

/// Sends back the voice in `place`. If the ring is full, the voice stays there, because dropping it here would free
/// memory.
fn send_away(place: &mut Option<Box<PlayingVoice>>, spent: &mut Producer<Box<PlayingVoice>>) {
    if let Some(playing) = place.take()
        && let Err(rtrb::PushError::Full(playing)) = spent.push(playing)
    {
        *place = Some(playing);
    }
}
