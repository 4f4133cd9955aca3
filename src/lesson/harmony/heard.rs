//! What is heard in a stretch of a passage: which chords, and for how long.
//!
//! A chord is three tones or more that sound at one time, or a shape that is picked one string after the other for a while. Single notes and
//! two notes at a time are only counted: a melody, a riff or a bass line says too little.

use super::chord_under_name::{LowestNote, PlayedHow, SoundingChord};
use super::sounding::{RingingString, SoundingMoment};
use crate::instrument::neck::{Fret, StringNumber};
use crate::lesson::time::Ticks;
use crate::theory::pitch::{MidiNote, PitchClass};
use crate::theory::pitch_set::PitchSet;

/// How long something sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Lasting {
    /// In the first bar of the stretch.
    pub first: Ticks,
    /// In all of it.
    pub all: Ticks,
}

/// A chord that is heard in a stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HeardChord {
    /// Its pitch classes.
    pub tones: PitchSet,
    /// Its lowest note.
    pub lowest: MidiNote,
    /// How many strings sound.
    pub strings: usize,
    /// How it is played.
    pub played: PlayedHow,
    /// How long it lasts.
    pub lasting: Lasting,
}

/// What is heard in a stretch.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Heard {
    chords: Vec<HeardChord>,
    /// How long anything sounds.
    pub anything: Lasting,
    /// Every note, alone or with others.
    pub notes: EveryNote,
    /// Whether there is more than can be told apart.
    too_varied: bool,
    broken: BrokenChord,
}

/// Every note that is heard in a stretch, alone or with others.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct EveryNote {
    /// How long each pitch class sounds, from C up.
    lasting: [Lasting; 12],
    /// The lowest note of the first bar.
    pub lowest: Option<MidiNote>,
    /// The fewest strings that are struck together in the first bar; 0 where nothing is.
    pub fewest_together: usize,
}

/// How many different chords of one stretch are told apart. Where one name stands over more than these, it is not their name.
const MOST_CHORDS: usize = 32;
/// How many times strings are struck at least before a shape that is picked counts as a chord: a figure that comes back, not a run.
const FEWEST_STROKES: usize = 6;
/// How many strings such a shape has at least: a lick has the notes of three strings often enough, an accompaniment has a bass as well.
const FEWEST_STRINGS: usize = 4;

/// A shape that is picked one string after the other, as far as it has been heard.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct BrokenChord {
    strings: Vec<PickedString>,
    /// How many times something was struck, and how many times it was one string alone.
    strokes: usize,
    single: usize,
    /// How many times three strings or more were struck together.
    together: usize,
    /// How many times something was struck while another string went on sounding: two voices, of which one may be a melody.
    over_another: usize,
    lasting: Lasting,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct PickedString {
    string: StringNumber,
    fret: Fret,
    pitch: MidiNote,
    strokes: usize,
}

impl HeardChord {
    /// Returns the chord as a name is held against it.
    pub fn sounding(&self, lowest: LowestNote) -> SoundingChord {
        let bass = self.lowest.pitch_class();
        SoundingChord { tones: self.tones, bass, strings: self.strings, played: self.played, lowest }
    }

    /// Returns whether it has three tones or more.
    pub fn is_full(&self) -> bool {
        self.tones.len() > 2
    }

    /// Returns its tones as notes, each once: the lowest, and the others close above it.
    pub fn notes(&self) -> Vec<Option<MidiNote>> {
        let bass = self.lowest.pitch_class();
        let above = self.tones.classes().map(|class| bass.up_to(PitchClass::of(i32::from(class))));
        let mut above: Vec<u8> = above.collect();
        above.sort_unstable();
        above.into_iter().map(|up| self.lowest.up(i32::from(up))).collect()
    }
}

impl Heard {
    /// Returns the chords, in the order in which they are first heard.
    pub fn chords(&self) -> &[HeardChord] {
        if self.too_varied { &[] } else { &self.chords }
    }

    /// Returns whether there is more than can be told apart.
    pub const fn is_too_varied(&self) -> bool {
        self.too_varied
    }

    /// Adds what sounds in a moment; `is_first` says whether it belongs to the first bar of the stretch.
    pub fn hear(&mut self, moment: &SoundingMoment<'_>, is_first: bool) {
        #[cfg(test)]
        super::steps::step();
        let Some(lowest) = moment.notes.iter().map(|note| note.pitch).min() else { return };
        let lasting = Lasting { first: if is_first { moment.length } else { Ticks::ZERO }, all: moment.length };
        self.anything.add(lasting);
        self.notes.hear(moment, lasting);
        let tones: PitchSet = moment.notes.iter().map(|note| note.pitch.pitch_class()).collect();
        if let Some(ended) = self.broken.pick(moment, lasting) {
            self.add(ended);
        }
        if tones.len() > 1 {
            self.add(HeardChord { tones, lowest, strings: moment.notes.len(), played: PlayedHow::Together, lasting });
        }
    }

    /// Ends the shape that is being picked: nothing more belongs to it.
    pub fn finish(&mut self) {
        let ended = std::mem::take(&mut self.broken).chord();
        self.add_if(ended);
    }

    fn add_if(&mut self, chord: Option<HeardChord>) {
        if let Some(chord) = chord {
            self.add(chord);
        }
    }

    fn add(&mut self, chord: HeardChord) {
        let same = |known: &&mut HeardChord| {
            known.tones == chord.tones
                && known.lowest == chord.lowest
                && known.strings == chord.strings
                && known.played == chord.played
        };
        if let Some(known) = self.chords.iter_mut().find(same) {
            known.lasting.add(chord.lasting);
        } else if self.chords.len() < MOST_CHORDS {
            self.chords.push(chord);
        } else {
            self.too_varied = true;
        }
    }
}

impl EveryNote {
    fn hear(&mut self, moment: &SoundingMoment<'_>, lasting: Lasting) {
        let tones: PitchSet = moment.notes.iter().map(|note| note.pitch.pitch_class()).collect();
        for (known, _) in self.lasting.iter_mut().zip(0..).filter(|(_, class)| tones.has(*class)) {
            known.add(lasting);
        }
        if lasting.first == Ticks::ZERO {
            return;
        }
        self.lowest = moment.notes.iter().map(|note| note.pitch).chain(self.lowest).min();
        let struck = moment.struck().count();
        if struck > 0 {
            self.fewest_together = if self.fewest_together == 0 { struck } else { self.fewest_together.min(struck) };
        }
    }

    /// Returns the pitch classes of the first bar.
    pub fn tones(&self) -> PitchSet {
        let sounding = self.lasting.iter().zip(0..).filter(|(lasting, _)| lasting.first != Ticks::ZERO);
        sounding.fold(PitchSet::EMPTY, |tones, (_, class)| tones.with_class(class))
    }

    /// Returns how long notes of `tones` sound, summed over them.
    pub fn lasting_of(&self, tones: PitchSet) -> Lasting {
        let mut sum = Lasting::default();
        self.lasting.iter().zip(0..).filter(|(_, class)| tones.has(*class)).for_each(|(lasting, _)| sum.add(*lasting));
        sum
    }
}

impl Lasting {
    /// Adds another length of time.
    pub fn add(&mut self, other: Self) {
        self.first += other.first;
        self.all += other.all;
    }
}

impl BrokenChord {
    /// Adds a moment in which one string or two are picked; returns the chord that ends with it, because a finger has moved.
    fn pick(&mut self, moment: &SoundingMoment<'_>, lasting: Lasting) -> Option<HeardChord> {
        let moves = |note: &RingingString| {
            self.strings.iter().any(|known| known.string == note.string && known.fret != note.fret)
        };
        let ended = if moment.struck().any(moves) { std::mem::take(self).chord() } else { None };
        let mut struck = 0;
        for note in moment.struck() {
            struck += 1;
            match self.strings.iter_mut().find(|known| known.string == note.string) {
                Some(known) => known.strokes += 1,
                None => self.strings.push(PickedString {
                    string: note.string,
                    fret: note.fret,
                    pitch: note.pitch,
                    strokes: 1,
                }),
            }
        }
        self.strokes += usize::from(struck > 0);
        self.single += usize::from(struck == 1);
        self.together += usize::from(struck > 2);
        self.over_another += usize::from(struck > 0 && moment.held_on().count() > 0);
        self.lasting.add(lasting);
        ended
    }

    /// Returns the chord that was picked; `None` where it was a run, two notes in turn, or too short to tell.
    fn chord(self) -> Option<HeardChord> {
        let tones: PitchSet = self.strings.iter().map(|picked| picked.pitch.pitch_class()).collect();
        let lowest = self.strings.iter().map(|picked| picked.pitch).min()?;
        let is_full = tones.len() > 2 && self.strings.len() >= FEWEST_STRINGS;
        let comes_back = self.strings.iter().filter(|picked| picked.strokes > 1).count() > 1;
        let is_picked =
            self.strokes >= FEWEST_STROKES && self.single * 2 >= self.strokes && comes_back && self.over_another == 0;
        let is_bass_and_chord = self.together > 0 && self.single > 0;
        let played = if is_bass_and_chord { PlayedHow::Together } else { PlayedHow::Broken };
        (is_full && (is_picked || is_bass_and_chord)).then_some(HeardChord {
            tones,
            lowest,
            strings: self.strings.len(),
            played,
            lasting: self.lasting,
        })
    }
}
