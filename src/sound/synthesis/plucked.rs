//! One string of the instrument, as a player controls it: struck, bent, damped. The vibration itself is not here; see
//! [`ring`](super::ring).
//!
//! A moving pitch needs a correction of half a period: the wave that passes now began its round a period ago, so the
//! length of the string is set for the moment half-way.

use super::excitation::{Excitation, PickingHand, StrokeTouch};
use super::ring::{Loss, Ring};
use crate::lesson::seconds::Seconds;
use crate::sound::rate::SampleRate;
use crate::sound::score::{Attack, Muting, SoundedNote};
use crate::sound::sounds::{Palm, Sound};
use crate::theory::pitch::Hertz;

/// The lowest frequency of a string, however far its pitch is lowered.
const LOWEST: Hertz = Hertz(12.0);
/// The highest frequency as a share of the sample rate; a harmonic above it is not sounded.
const HIGHEST: f64 = 1.0 / 6.0;
/// A moving pitch is updated every time this many samples of the score have passed, wherever blocks happen to end.
pub const GRID: i64 = 32;
/// The time in which the level of a string falls to 1/e: under a finger that damps it, and under a pick that touches it
/// before a new stroke.
const DAMPED: Seconds = Seconds(0.018);
const TOUCHED: Seconds = Seconds(0.0012);
/// The share of its level that a damped string must still have for a finger to take it over.
const TAKEN_OVER: f32 = 0.7;
/// The time in which a string changes from one length to another when a finger comes down or leaves.
const PASSING: Seconds = Seconds(0.004);
/// The time in which a string under resting fingers falls by 60 dB, whatever its pitch.
const DEAD: Seconds = Seconds(0.05);
/// A damped string below this level (-120 dB) is silenced.
const GONE: f32 = 1e-6;

/// The decay of the strings of a sound.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Decay {
    ring: Seconds,
    falls: f64,
    dull: Seconds,
    palm: Palm,
}

impl Decay {
    fn loss(&self, hertz: Hertz, muting: Muting) -> Loss {
        // The ringing time of a string is given at 110 Hz.
        let rings = |at_110: Seconds| at_110 * (110.0 / hertz.0).powf(self.falls);
        match muting {
            Muting::None => Loss::new(rings(self.ring), self.dull),
            Muting::Palm => Loss::new(rings(self.palm.ring), self.palm.dull),
            Muting::Dead => Loss::new(DEAD, self.palm.dull * 2.0),
        }
    }
}

/// A wave on the string, the stroke that feeds it, and its damping.
#[derive(Debug, Clone)]
struct Wave {
    ring: Ring,
    stroke: Excitation,
    fade: f32,
    fade_by: f32,
}

impl Wave {
    fn fade_out(&mut self, within: Seconds, rate: SampleRate) {
        self.fade_by = self.fade_by.min((-1.0 / (within.0 * rate.per_second())).exp() as f32);
    }

    fn add_to(&mut self, bus: &mut [f32]) {
        if self.ring.is_still() {
            return;
        }
        self.ring.watch(bus.len());
        for sample in bus {
            let (into, beside) = self.stroke.advance();
            *sample += self.fade * (self.ring.next(into) + beside);
            self.fade *= self.fade_by;
        }
        if self.fade < GONE {
            self.ring.silence();
        }
    }
}

/// The note that a string plays.
#[derive(Debug, Clone, Copy)]
struct StringNote {
    note: usize,
    start: i64,
    end: i64,
    partial: u8,
    muting: Muting,
    moves: bool,
    damped: bool,
}

/// A string and the note that it plays.
#[derive(Debug, Clone)]
pub struct Plucked {
    rate: SampleRate,
    reference: Hertz,
    hand: PickingHand,
    decay: Decay,
    /// The wave that sounds, and the wave before it, which the new stroke has stopped.
    waves: [Wave; 2],
    current: usize,
    held: Option<StringNote>,
}

impl Plucked {
    /// Returns a string at rest.
    pub fn new(sound: &Sound, rate: SampleRate, reference: Hertz) -> Self {
        let wave = Wave { ring: Ring::new(rate, LOWEST), stroke: Excitation::none(), fade: 1.0, fade_by: 1.0 };
        Self {
            rate,
            reference,
            hand: PickingHand::of(sound),
            decay: Decay { ring: sound.ring, falls: sound.ring_falls, dull: sound.dull, palm: sound.palm },
            waves: [wave.clone(), wave],
            current: 0,
            held: None,
        }
    }

    /// Returns whether the string is at rest.
    pub fn is_still(&self) -> bool {
        self.waves.iter().all(|wave| wave.ring.is_still())
    }

    /// Returns the sample at which the current note is to be damped.
    pub fn next_end(&self) -> Option<i64> {
        self.held.filter(|held| !held.damped).map(|held| held.end)
    }

    /// Starts a note, number `number` of the score, at sample `now`.
    pub fn start(&mut self, note: &SoundedNote, number: usize, now: i64) {
        let moves = !note.vibratos.is_empty() || !note.path.is_empty();
        let Seconds(end) = note.end;
        let end = if end.is_nan() { now } else { (end * self.rate.per_second()).round() as i64 };
        let held = StringNote {
            note: number,
            start: now,
            end,
            partial: note.partial.max(1),
            muting: note.muting,
            moves,
            damped: false,
        };
        let Some(hertz) = self.hertz(note, held.partial, Seconds::ZERO) else {
            self.damp(TOUCHED);
            self.held = None;
            return;
        };
        let goes_on = matches!(note.attack, Attack::Hammer | Attack::Pull) && self.rings();
        let touch = StrokeTouch {
            attack: note.attack,
            muting: note.muting,
            strength: note.strength,
            partial: held.partial,
            at_rest: !goes_on,
        };
        let loss = self.decay.loss(hertz, note.muting);
        if goes_on {
            let wave = &mut self.waves[self.current];
            wave.ring.pass_to(hertz, loss, (PASSING.0 * self.rate.per_second()) as u32);
            wave.fade_by = 1.0;
        } else {
            self.waves[self.current].fade_out(TOUCHED, self.rate);
            self.current = 1 - self.current;
            let wave = &mut self.waves[self.current];
            wave.ring.silence();
            wave.stroke = Excitation::none();
            (wave.fade, wave.fade_by) = (1.0, 1.0);
            wave.ring.tune(hertz, loss);
        }
        let wave = &mut self.waves[self.current];
        wave.stroke.start(&self.hand, touch, self.rate.per_second() / hertz.0, self.rate, number as u32);
        // The string moves from now on.
        wave.ring.watch(0);
        self.held = Some(held);
    }

    /// Damps the string as a finger laid on it does.
    pub fn damp_now(&mut self) {
        self.damp(DAMPED);
        if let Some(held) = &mut self.held {
            held.damped = true;
        }
    }

    /// Damps the string and forgets its note.
    pub fn let_go(&mut self) {
        self.damp_now();
        self.held = None;
    }

    /// Stops the string at once.
    pub fn silence(&mut self) {
        self.held = None;
        for wave in &mut self.waves {
            wave.ring.silence();
            wave.stroke = Excitation::none();
        }
    }

    /// Adds the sound of the string to `bus`, whose first sample is number `now`.
    pub fn add_to(&mut self, bus: &mut [f32], notes: &[SoundedNote], now: i64) {
        if let Some(held) = self.held.filter(|held| held.moves && (now % GRID == 0 || now == held.start))
            && let Some(note) = notes.get(held.note)
        {
            self.follow(&held, note, now);
        }
        for wave in &mut self.waves {
            wave.add_to(bus);
        }
    }

    /// Makes the string follow the path of its note until the next point of the grid.
    fn follow(&mut self, held: &StringNote, note: &SoundedNote, now: i64) {
        let samples = GRID - now % GRID;
        let seconds = Seconds((now - held.start + samples) as f64 / self.rate.per_second());
        let Some(straight) = self.hertz(note, held.partial, seconds) else { return };
        // A round that ends now began a period ago, so it takes as long as the pitch half-way asks for.
        let midway = seconds - Seconds(0.5 / straight.0);
        let Some(hertz) = self.hertz(note, held.partial, midway.max(Seconds::ZERO)) else { return };
        let ring = &mut self.waves[self.current].ring;
        let arrived = note.is_steady_after(midway - Seconds(0.01));
        if arrived {
            ring.hold();
        } else {
            ring.glide(hertz, self.decay.loss(hertz, held.muting), samples as usize);
        }
        if let Some(held) = &mut self.held {
            held.moves = !arrived;
        }
    }

    fn rings(&self) -> bool {
        let wave = &self.waves[self.current];
        // A string that has been damped only for a moment can still be taken over by a finger.
        !wave.ring.is_still() && wave.fade > TAKEN_OVER
    }

    fn damp(&mut self, within: Seconds) {
        for wave in &mut self.waves {
            wave.fade_out(within, self.rate);
        }
    }

    /// Returns the frequency that sounds `seconds` after the start; `None` where the string cannot sound it.
    fn hertz(&self, note: &SoundedNote, partial: u8, seconds: Seconds) -> Option<Hertz> {
        let hertz = note.pitch_after(seconds).frequency(self.reference).0 * f64::from(partial);
        let sounded = hertz.is_finite() && hertz <= self.rate.per_second() * HIGHEST;
        sounded.then(|| Hertz(hertz.max(LOWEST.0)))
    }
}
