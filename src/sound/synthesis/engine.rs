//! The engine plays a score, block by block. It knows no music beyond the score, and no device.
//!
//! The engine has a latency, which [`Engine::latency`] returns: the limiter's look-ahead takes 1.5 ms, and oversampling
//! the amplifier takes 0.5 ms. A file has that time cut off, so that sample 0 is second 0; a device adds it to its own
//! delay.

use std::sync::Arc;

use super::amp::Amp;
use super::click::Clicks;
use super::drone::Droning;
use super::filter::OnePole;
use super::limiter::Limiter;
use super::plucked::{GRID, Plucked};
use crate::lesson::seconds::Seconds;
use crate::sound::level::Level;
use crate::sound::rate::SampleRate;
use crate::sound::score::Score;
use crate::sound::sounds::Sound;
use crate::sound::timeline::Timeline;
use crate::sound::voice::SoundingVoice;
use crate::theory::pitch::Hertz;

/// The most samples that are made at a time.
const CHUNK: usize = GRID as usize;
/// The highest level that an engine takes.
pub const LOUDEST: Level = Level(4.0);
/// The most strings that an engine has.
pub const MOST_STRINGS: usize = 32;
/// The lowest sample rate at which an engine works.
const LOWEST_RATE: SampleRate = SampleRate(8_000);
/// The duration of a change of level, and that of a stop.
const LEVEL_CHANGES: Seconds = Seconds(0.02);
const STOPS: Seconds = Seconds(0.03);
/// The corner of the filter that removes a constant level.
const STEADY: Hertz = Hertz(8.0);
/// The level of one plain stroke on one string before the limiter.
const ONE_STRING: f32 = 0.45;

/// Whether a string is heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StringSound {
    /// It is heard.
    Heard,
    /// It is played, and not heard.
    Silenced,
}

/// A value that moves to another without a jump.
#[derive(Debug, Clone, Copy)]
struct Smooth {
    value: f32,
    target: f32,
    most: f32,
}

impl Smooth {
    fn new(value: f32, takes: Seconds, rate: SampleRate) -> Self {
        Self { value, target: value, most: (1.0 / (takes.0 * rate.per_second())) as f32 }
    }

    fn next(&mut self) -> f32 {
        if self.value != self.target {
            self.value += (self.target - self.value).clamp(-self.most, self.most);
        }
        self.value
    }
}

/// A string and its level.
#[derive(Debug)]
struct Channel {
    string: Plucked,
    heard: Smooth,
}

/// An instrument that plays scores.
///
/// [`Engine::fill`] may be called from the callback of a sound device: it allocates nothing, locks nothing and does not
/// panic, whatever the score holds. The same is true of everything except [`Engine::new`]. [`Engine::play`] returns the
/// score before, so that the caller drops it elsewhere.
#[derive(Debug)]
pub struct Engine {
    rate: SampleRate,
    reference: Hertz,
    channels: Box<[Channel]>,
    clicks: Clicks,
    drone: Droning,
    amp: Amp,
    steady: OnePole,
    level: Smooth,
    click_level: Smooth,
    limiter: Limiter,
    stop: Smooth,
    score: Option<Arc<Score>>,
    course: Course,
}

/// The place that the playing of a score has reached, and where it continues.
#[derive(Debug)]
struct Course {
    /// The sample of the score that is made next, and the indices of the note and the click that are due after it.
    at: i64,
    next_note: usize,
    next_click: usize,
    /// The second at which the playing began.
    from: Seconds,
    /// The span that is repeated, in seconds and in samples.
    span: Option<(Seconds, Seconds)>,
    turns: Option<(i64, i64)>,
    /// The second to which each sample belongs, counted from the beginning of the playing.
    timeline: Timeline,
}

impl Engine {
    /// Returns an instrument with `strings` strings, at most [`MOST_STRINGS`], on which A4 sounds at `reference`.
    pub fn new(sound: &Sound, rate: SampleRate, reference: Hertz, strings: usize) -> Self {
        let rate = rate.max(LOWEST_RATE);
        let channel =
            || Channel { string: Plucked::new(sound, rate, reference), heard: Smooth::new(1.0, LEVEL_CHANGES, rate) };
        let mut stop = Smooth::new(1.0, STOPS, rate);
        stop.value = 0.0;
        stop.target = 0.0;
        Self {
            rate,
            reference,
            channels: (0..strings.clamp(1, MOST_STRINGS)).map(|_| channel()).collect(),
            clicks: Clicks::new(rate),
            drone: Droning::new(rate),
            amp: Amp::new(sound, rate),
            steady: OnePole::new(STEADY, rate),
            level: Smooth::new(1.0, LEVEL_CHANGES, rate),
            click_level: Smooth::new(1.0, LEVEL_CHANGES, rate),
            limiter: Limiter::new(rate),
            stop,
            score: None,
            course: Course {
                at: 0,
                next_note: 0,
                next_click: 0,
                from: Seconds::ZERO,
                span: None,
                turns: None,
                timeline: Timeline::new(rate, Seconds::ZERO, None),
            },
        }
    }

    /// Plays `score` from second `from` on and damps what still sounds. Returns the score that was played before.
    ///
    /// Notes that began before `from` are not sounded.
    pub fn play(&mut self, score: Arc<Score>, from: Seconds) -> Option<Arc<Score>> {
        let before = self.score.replace(score);
        self.let_go();
        self.seek(self.sample(from));
        self.course.from = from;
        self.course.timeline = Timeline::new(self.rate, from, self.course.span);
        let at_rest = self.stop.target == 0.0 && self.is_still();
        self.stop.target = 1.0;
        if at_rest {
            // Where nothing sounds, no level can jump: the first note starts at its proper level.
            let levels = [&mut self.stop, &mut self.level, &mut self.click_level];
            let heard = self.channels.iter_mut().map(|channel| &mut channel.heard);
            levels.into_iter().chain(heard).for_each(|level| level.value = level.target);
        }
        before
    }

    /// Stops within a few hundredths of a second, without a click.
    pub const fn stop(&mut self) {
        self.stop.target = 0.0;
    }

    /// Repeats the span between two seconds for as long as the score plays; `None` ends the repeat.
    ///
    /// A span shorter than a hundredth of a second is ignored.
    pub fn set_loop(&mut self, span: Option<(Seconds, Seconds)>) {
        let turns = span.map(|(from, to)| (self.sample(from), self.sample(to)));
        let shortest = self.rate.per_second() / 100.0;
        self.course.turns = turns.filter(|(from, to)| (to - from) as f64 >= shortest);
        self.course.span = span;
        self.course.timeline = Timeline::new(self.rate, self.course.from, span);
    }

    /// Sets the level of everything, [`LOUDEST`] at most.
    pub const fn set_level(&mut self, level: Level) {
        self.level.target = level.at_most(LOUDEST).0;
    }

    /// Sets the level of the clicks, [`LOUDEST`] at most.
    pub const fn set_click_level(&mut self, level: Level) {
        self.click_level.target = level.at_most(LOUDEST).0;
    }

    /// Makes a string of the score audible or silent. The string is played in either case.
    pub fn set_string(&mut self, string: usize, sound: StringSound) {
        if let Some(channel) = self.channels.get_mut(string) {
            channel.heard.target = match sound {
                StringSound::Heard => 1.0,
                StringSound::Silenced => 0.0,
            };
        }
    }

    /// Returns the number of samples between a note and its sound.
    pub fn latency(&self) -> usize {
        self.limiter.latency() + self.amp.latency()
    }

    /// Returns the second of the score that is heard next.
    pub fn position(&self) -> Seconds {
        let mut at = self.course.at - self.latency() as i64;
        if let Some((from, to)) = self.course.turns
            && self.course.at >= from
            && at < from
        {
            at += to - from;
        }
        Seconds(at.max(0) as f64 / self.rate.per_second())
    }

    /// Returns whether the score is over or stopped, and nothing sounds any more except what the limiter still holds.
    pub fn is_over(&self) -> bool {
        let stopped = self.stop.target == 0.0 && self.stop.value == 0.0;
        stopped || (self.is_past_end() && self.is_still())
    }

    /// Returns whether the end of the score is reached. A repeated score has no end.
    pub fn is_past_end(&self) -> bool {
        let past =
            |score: &Score| self.course.next_note >= score.notes.len() && self.course.at >= self.sample(score.end);
        self.course.turns.is_none() && self.score.as_ref().is_none_or(|score| past(score))
    }

    /// Returns whether every string is at rest, and click and drone are silent, to the last bit.
    pub fn is_still(&self) -> bool {
        self.channels.iter().all(|channel| channel.string.is_still()) && self.clicks.is_still() && self.drone.is_still()
    }

    /// Makes the next samples, mono, each within -1 dB of full scale.
    pub fn fill(&mut self, out: &mut [f32]) {
        let mut rest = out;
        while !rest.is_empty() {
            self.start_what_is_due();
            let length = self.until_next().min(CHUNK).min(rest.len());
            let (chunk, after) = rest.split_at_mut(length);
            self.make(chunk);
            rest = after;
        }
    }

    fn make(&mut self, chunk: &mut [f32]) {
        chunk.fill(0.0);
        let notes = self.score.as_ref().map_or(&[][..], |score| &score.notes);
        let mut one = [0.0; CHUNK];
        for channel in &mut self.channels {
            if channel.string.is_still() {
                channel.heard.value = channel.heard.target;
                continue;
            }
            let one = &mut one[..chunk.len()];
            one.fill(0.0);
            channel.string.add_to(one, notes, self.course.at);
            for (sum, sample) in chunk.iter_mut().zip(one) {
                *sum += *sample * channel.heard.next() * ONE_STRING;
            }
        }
        self.amp.process(chunk);
        let beside = &mut one[..chunk.len()];
        beside.fill(0.0);
        self.clicks.add_to(beside);
        beside.iter_mut().for_each(|sample| *sample *= self.click_level.next());
        self.drone.add_to(beside);
        for (sample, beside) in chunk.iter_mut().zip(beside) {
            let sum = self.steady.high(f64::from(*sample + *beside)) as f32;
            *sample = self.limiter.next(sum * self.level.next() * self.stop.next());
        }
        self.steady.settle();
        if self.stop.value > 0.0 || self.stop.target > 0.0 {
            self.course.at += chunk.len() as i64;
        } else {
            self.silence();
        }
    }

    /// Starts what begins at this sample, damps what ends, and goes back to the start of a span at its end.
    fn start_what_is_due(&mut self) {
        if self.stop.target == 0.0 {
            return;
        }
        if let Some((from, to)) = self.course.turns
            && self.course.at >= to
        {
            self.let_go();
            self.seek(from);
        }
        let Some(score) = self.score.clone() else { return };
        while let Some(note) =
            score.notes.get(self.course.next_note).filter(|note| self.sample(note.start) <= self.course.at)
        {
            if let Some(channel) = self.channels.get_mut(note.string) {
                channel.string.start(note, self.course.next_note, self.course.at);
            }
            self.course.next_note += 1;
        }
        // Damping comes after that: a note that begins as another ends takes its string over, and the rest of the old
        // note rings on in it.
        for channel in &mut self.channels {
            if channel.string.next_end().is_some_and(|end| end <= self.course.at) {
                channel.string.damp_now();
            }
        }
        while let Some(click) =
            score.clicks.get(self.course.next_click).filter(|click| self.sample(click.at) <= self.course.at)
        {
            self.clicks.click(click.accent);
            self.course.next_click += 1;
        }
        match score.drone {
            Some(drone) if self.course.at < self.sample(score.end) => self.drone.start(drone, self.reference),
            _ => self.drone.stop(),
        }
    }

    /// Returns the number of samples until something begins or ends: at least one.
    fn until_next(&self) -> usize {
        let Some(score) = self.score.as_ref() else { return CHUNK };
        let note = score.notes.get(self.course.next_note).map(|note| self.sample(note.start));
        let click = score.clicks.get(self.course.next_click).map(|click| self.sample(click.at));
        let ends = self.channels.iter().filter_map(|channel| channel.string.next_end());
        let turn = self.course.turns.map(|(_, to)| to);
        let grid = self.course.at + GRID - self.course.at % GRID;
        let next = ends.chain(note).chain(click).chain(turn).filter(|at| *at > self.course.at).fold(grid, i64::min);
        usize::try_from(next - self.course.at).unwrap_or(CHUNK)
    }

    fn seek(&mut self, at: i64) {
        self.course.at = at.max(0);
        let (rate, at) = (self.rate, self.course.at);
        let before = |time: Seconds| sample(time, rate) < at;
        if let Some(score) = &self.score {
            self.course.next_note = score.notes.partition_point(|note| before(note.start));
            self.course.next_click = score.clicks.partition_point(|click| before(click.at));
        }
    }

    fn let_go(&mut self) {
        for channel in &mut self.channels {
            channel.string.let_go();
        }
    }

    /// Clears everything that rings once a stop is complete.
    fn silence(&mut self) {
        if !self.is_still() {
            self.channels.iter_mut().for_each(|channel| channel.string.silence());
            self.clicks = Clicks::new(self.rate);
            self.drone = Droning::new(self.rate);
            self.amp.reset();
            self.steady.reset();
        }
    }

    fn sample(&self, time: Seconds) -> i64 {
        sample(time, self.rate)
    }
}

impl SoundingVoice for Engine {
    fn fill(&mut self, out: &mut [f32]) {
        Self::fill(self, out);
    }

    fn latency(&self) -> usize {
        Self::latency(self)
    }

    fn second_of(&self, sample: u64) -> Seconds {
        self.course.timeline.at(sample)
    }

    fn stop(&mut self) {
        Self::stop(self);
    }

    fn is_past_end(&self) -> bool {
        Self::is_past_end(self)
    }

    fn is_over(&self) -> bool {
        Self::is_over(self)
    }
}

/// Returns the sample at a time; a time that is not a number counts as the start.
fn sample(time: Seconds, rate: SampleRate) -> i64 {
    // A cast saturates, and turns NaN into 0. A quarter of the range leaves room for sums.
    ((time.0 * rate.per_second()).round() as i64).clamp(0, i64::MAX / 4)
}
