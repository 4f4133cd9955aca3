//! The chord that stands right under a chord name, whatever is played behind it.
//!
//! It is a strum of three strings or more where the name stands, the bass and the strum that follows it, or four strings or more that are
//! picked one after the other and ring together. Where a melody goes on behind it, most of the bar says nothing of
//! the harmony; what the hand plays at the name does.

use super::chord_under_name::{LowestNote, PlayedHow, identities};
use super::heard::{HeardChord, Lasting};
use super::sounding::{RingingString, SoundingMoment};
use crate::lesson::time::Ticks;
use crate::theory::pitch_set::PitchSet;

/// How many strings are struck together at least in a strum.
const FEWEST_STRUMMED: usize = 3;
/// How many strings ring together at least where they are picked one after the other: a lick has three often enough.
const FEWEST_PICKED: usize = 4;

/// The chord under a name, as far as it has been heard.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FirstChord {
    /// The strings that were struck so far, as long as they may become a chord.
    picked: Vec<RingingString>,
    state: Listening,
    /// The chord by what was struck and by all that sounds with it; one where both are the same.
    chords: Vec<HeardChord>,
}

/// How far the search for the chord is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Listening {
    /// Nothing was heard yet.
    #[default]
    ToTheFirstMoment,
    /// Strings are struck one after the other.
    ToMoreStrings,
    /// Nothing more belongs to it.
    Over,
}

impl FirstChord {
    /// Returns the chord by what was struck, and by all that sounds with it where that is more; empty where no chord stands there.
    pub fn chords(&self) -> &[HeardChord] {
        &self.chords
    }

    /// Adds what sounds in a moment of the first bar.
    pub fn hear(&mut self, moment: &SoundingMoment<'_>) {
        if self.state == Listening::Over {
            return;
        }
        let struck: Vec<RingingString> = moment.struck().copied().collect();
        let moved = |note: &RingingString| {
            self.picked.iter().any(|known| known.string == note.string && known.fret != note.fret)
        };
        let begins_late = self.state == Listening::ToTheFirstMoment && struck.is_empty();
        if begins_late || struck.iter().any(moved) {
            self.state = Listening::Over;
            return;
        }
        let is_strum = struck.len() >= FEWEST_STRUMMED;
        self.picked.retain(|known| struck.iter().all(|note| note.string != known.string));
        self.picked.extend(struck);
        self.state = Listening::ToMoreStrings;
        let rings_together = || self.picked.iter().all(|known| moment.notes.contains(known));
        if is_strum {
            let all = [&self.picked, moment.notes].map(|strings| chord_of(strings, PlayedHow::Together, moment.length));
            self.chords = all.into_iter().flatten().collect();
            self.chords.dedup();
            self.state = Listening::Over;
        } else if self.picked.len() >= FEWEST_PICKED && rings_together() {
            let plain = |chord: &HeardChord| identities(chord.sounding(LowestNote::Bass)).next().is_some();
            if let Some(chord) = chord_of(&self.picked, PlayedHow::Broken, moment.length).filter(plain) {
                self.chords.push(chord);
                self.state = Listening::Over;
            }
        }
    }
}

/// Returns the chord of some strings; `None` where they sound less than three tones.
fn chord_of(strings: &[RingingString], played: PlayedHow, length: Ticks) -> Option<HeardChord> {
    let tones: PitchSet = strings.iter().map(|note| note.pitch.pitch_class()).collect();
    let lowest = strings.iter().map(|note| note.pitch).min()?;
    let lasting = Lasting { first: length, all: length };
    (tones.len() > 2).then_some(HeardChord { tones, lowest, strings: strings.len(), played, lasting })
}
