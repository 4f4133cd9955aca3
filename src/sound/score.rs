//! What is to be heard, in seconds and pitches: the language between music and samples. A score knows no lesson, and no
//! samples are made here.
//!
//! Times count from the start of the score. Pitches may lie between semitones.
//!
//! A score states where fingers lie as well as what sounds, because the two differ: a bend moves only the pitch, and a
//! harmonic sounds at another one.

use crate::instrument::neck::Fret;
use crate::lesson::bar_numbers::BarName;
use crate::lesson::id::PassageId;
use crate::lesson::seconds::Seconds;
use crate::lesson::time::Ticks;
use crate::sound::level::Strength;
use crate::theory::pitch::{Cents, FinePitch, Hertz, Semitones};

/// Everything that is to be heard, in order of time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Score {
    /// The strings, in the order in which they are written: the highest string number first.
    pub strings: Vec<OpenString>,
    /// The notes, sorted by start and then by their index in `strings`.
    pub notes: Vec<SoundedNote>,
    /// The clicks, sorted by time.
    pub clicks: Vec<Click>,
    /// A bass note held under everything, if there is one.
    pub drone: Option<Drone>,
    /// The places in the music, sorted by time, for a cursor that follows the sound.
    pub marks: Vec<ScoreMark>,
    /// The frets at which the strings are stopped or touched, sorted by time; empty where only the sound is known.
    pub fingers: Vec<ScoreFinger>,
    /// The time when the music is over. Strings may ring beyond it.
    pub end: Seconds,
}

impl Score {
    /// Returns this score followed by `other`, which begins `gap` after its end.
    pub fn then(mut self, other: &Self, gap: Seconds) -> Self {
        let by = self.end + gap;
        if other.strings.len() > self.strings.len() {
            self.strings.clone_from(&other.strings);
        }
        let later = |note: &SoundedNote| SoundedNote { start: note.start + by, end: note.end + by, ..note.clone() };
        self.notes.extend(other.notes.iter().map(later));
        self.clicks.extend(other.clicks.iter().map(|click| Click { at: click.at + by, ..*click }));
        self.marks.extend(other.marks.iter().map(|mark| ScoreMark { at: mark.at + by, ..*mark }));
        self.fingers.extend(other.fingers.iter().map(|finger| ScoreFinger { at: finger.at + by, ..*finger }));
        self.drone = self.drone.or(other.drone);
        self.end = by + other.end;
        self
    }

    /// Returns this score moved up by `semitones`.
    pub fn moved(mut self, semitones: Semitones) -> Self {
        if semitones == Semitones(0.0) {
            return self;
        }
        self.strings.iter_mut().for_each(|string| string.pitch += semitones);
        for note in &mut self.notes {
            note.pitch += semitones;
            note.path.iter_mut().for_each(|point| point.pitch += semitones);
        }
        if let Some(drone) = &mut self.drone {
            drone.pitch += semitones;
        }
        self
    }

    /// Returns the place in the music at `seconds`; `None` before the first mark.
    pub fn mark_at(&self, seconds: Seconds) -> Option<ScoreMark> {
        let next = self.marks.partition_point(|mark| mark.at <= seconds);
        next.checked_sub(1).and_then(|last| self.marks.get(last)).copied()
    }
}

impl Score {
    /// Returns the fret of the finger that makes `note` sound at `seconds`, where that is known.
    pub fn finger_of(&self, note: &SoundedNote, seconds: Seconds) -> Option<Fret> {
        let begun = self.fingers.partition_point(|finger| finger.at <= seconds);
        // A finger that came before the note belongs to another note; times may differ by rounding.
        let mut since =
            self.fingers.iter().take(begun).rev().take_while(|finger| finger.at > note.start - Seconds(1e-6));
        since.find(|finger| finger.string == note.string).map(|finger| finger.fret)
    }
}

/// The place of a finger on a string from a moment on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScoreFinger {
    /// The moment from which it holds.
    pub at: Seconds,
    /// The index of the string in [`Score::strings`].
    pub string: usize,
    /// The fret, as players count it.
    pub fret: Fret,
}

/// A string as it sounds open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenString {
    /// Its pitch.
    pub pitch: FinePitch,
}

/// One note on one string.
///
/// A string sounds one note at a time: the next note on it takes over. After [`Attack::Hammer`] and [`Attack::Pull`]
/// what rang before goes on at the new pitch; the other attacks stop it.
#[derive(Debug, Clone, PartialEq)]
pub struct SoundedNote {
    /// The index of the string in [`Score::strings`].
    pub string: usize,
    /// The time when it starts.
    pub start: Seconds,
    /// The time when it is damped if nothing else has started on its string by then; infinite where it rings until it
    /// fades.
    pub end: Seconds,
    /// The way in which the string is struck.
    pub attack: Attack,
    /// The strength of the stroke; that of a plain note is 0.6.
    pub strength: Strength,
    /// The way in which the string is damped while it sounds.
    pub muting: Muting,
    /// The pitch at the start, for the whole string as it is stopped there.
    pub pitch: FinePitch,
    /// The points that the pitch reaches later, along straight lines in pitch; the last one is held.
    pub path: Vec<PitchPoint>,
    /// The vibratos on top of the path, one after another.
    pub vibratos: Vec<Vibrato>,
    /// The lowest partial that sounds: 1 for the whole string, n for a harmonic that leaves only every nth partial
    /// because the string is touched at one of its nodes. The note sounds at n times the frequency of `pitch`.
    pub partial: u8,
}

impl SoundedNote {
    /// Returns the pitch of the whole string `seconds` after the start, along the path and with the vibrato.
    pub fn pitch_after(&self, seconds: Seconds) -> FinePitch {
        let steady = self.steady_pitch_after(seconds);
        let sounds = |vibrato: &&Vibrato| seconds > vibrato.from && seconds < vibrato.until;
        self.vibratos.iter().find(sounds).map_or(steady, |vibrato| {
            let swings = std::f64::consts::TAU * vibrato.rate.0 * (seconds - vibrato.from).0;
            steady + Semitones(vibrato.depth.0 / 100.0 * swings.sin())
        })
    }

    /// Returns whether the pitch no longer moves after `seconds`.
    pub fn is_steady_after(&self, seconds: Seconds) -> bool {
        self.path.last().is_none_or(|last| last.at < seconds)
            && self.vibratos.last().is_none_or(|last| last.until < seconds)
    }

    /// Returns the pitch of the whole string `seconds` after the start, along the path alone.
    pub fn steady_pitch_after(&self, seconds: Seconds) -> FinePitch {
        let next = self.path.partition_point(|point| point.at <= seconds);
        let before = next.checked_sub(1).and_then(|last| self.path.get(last)).copied();
        let before = before.unwrap_or(PitchPoint { at: Seconds::ZERO, pitch: self.pitch });
        match self.path.get(next) {
            Some(after) if after.at > before.at => {
                let share = ((seconds - before.at) / (after.at - before.at)).clamp(0.0, 1.0);
                before.pitch + Semitones(share * (after.pitch - before.pitch).0)
            }
            _ => before.pitch,
        }
    }
}

/// The ways to strike a string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Attack {
    /// The pick, finger or thumb with which the instrument is played.
    Pluck,
    /// The flesh of the thumb right behind the pick, which sounds sharper: a pinch harmonic.
    Pinch,
    /// A finger of the fretting hand comes down on the string.
    Hammer,
    /// A finger of the fretting hand leaves the string sideways.
    Pull,
    /// A finger of the picking hand comes down on the string.
    Tap,
}

/// The ways to damp a string while it sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Muting {
    /// Nothing damps the string.
    #[default]
    None,
    /// The heel of the picking hand lies on the string near the bridge: the sound has pitch, but is short and dark.
    Palm,
    /// Fingers lie on the string: the sound is a noise almost without pitch.
    Dead,
}

/// A point that the pitch of a note reaches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PitchPoint {
    /// The time since the start of the note.
    pub at: Seconds,
    /// The pitch there.
    pub pitch: FinePitch,
}

/// A vibrato: a sine around the pitch. Where a finger can only bend up, the path has to move the pitch up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vibrato {
    /// The time from the start of the note until the vibrato begins; negative where it continues from the stroke
    /// before.
    pub from: Seconds,
    /// The time from the start of the note until the vibrato ends; infinite where it lasts as long as the note.
    pub until: Seconds,
    /// The distance from the middle to either side.
    pub depth: Cents,
    /// The frequency of its swings.
    pub rate: Hertz,
}

impl Vibrato {
    /// Returns the same vibrato, `by` later.
    pub fn later(self, by: Seconds) -> Self {
        Self { from: self.from + by, until: self.until + by, ..self }
    }

    /// Ends the vibrato where it passes the middle, at `seconds` at the latest. At any other moment the pitch would
    /// jump.
    pub fn end_by(&mut self, seconds: Seconds) {
        let half_swings = ((self.until.min(seconds) - self.from).0 * self.rate.0 * 2.0).floor();
        self.until = self.from + Seconds(half_swings.max(0.0) / (self.rate.0 * 2.0));
    }
}

/// A click of the metronome.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Click {
    /// The time when it sounds.
    pub at: Seconds,
    /// The stress of the click.
    pub accent: Accent,
}

/// The stresses of a click.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Accent {
    /// The first beat of a bar.
    Bar,
    /// The start of a group of beats.
    Group,
    /// Any other beat.
    Beat,
}

/// A note held under everything, as a bass player would hold it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drone {
    /// Its pitch.
    pub pitch: FinePitch,
    /// The strength.
    pub strength: Strength,
}

/// The place in the music from a moment on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScoreMark {
    /// The moment from which it holds.
    pub at: Seconds,
    /// The passage; `None` where there is none, as in a chord.
    pub passage: Option<PassageId>,
    /// The index of the bar in the passage; `None` in the count-in.
    pub bar: Option<usize>,
    /// What that bar is called.
    pub called: Option<BarName>,
    /// The time since the start of the bar.
    pub tick: Ticks,
}
