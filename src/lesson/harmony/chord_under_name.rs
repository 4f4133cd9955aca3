//! One chord held against one name: it bears the name out, contradicts it, or says nothing.
//!
//! The rules are common practice without a published source. They ask what a player who reads the name over the tab would play, and
//! what a band would hear:
//!
//! - Charts leave out colours: a chord that holds root, third and fifth of the name bears it out whatever else sounds, and so do
//!   third and seventh together, which is how seventh chords are voiced without their root. Any part of the named chord is a partial chord.
//! - The wrong third over the root contradicts, and so do the other seventh and, with the third, a perfect fifth where an altered one is named. A whole triad contradicts a name that has no
//!   third (sus4, sus2, 5) where it is strummed on four strings and nothing is suspended; on fewer it may be the resolution.
//! - Where the root is missing, a triad may be the upper part of a larger chord whose root the bass plays: the triad on the third
//!   of the name (Em over C is Cmaj7) or on its fifth (G over C is Cmaj9). That holds as long as every foreign note is a seventh, ninth,
//!   thirteenth or, over a major third, sharp eleventh of the name. It does not hold for a chord that stands on its own feet: four strings with their own root
//!   lowest, five strings, or a triad on four where no string is the bass.
//! - Only a chord that has a name of its own, with a third and a fifth and in everyday use, can contradict. Clusters, fourths,
//!   augmented chords and diminished sevenths are parts of too many others.

use crate::theory::degree::Degree;
use crate::theory::pitch::{NoteName, PitchClass};
use crate::theory::pitch_set::PitchSet;
use crate::theory::quality::Quality;
use crate::theory::reading::{BareName, ReadingKind, bare_names};
use crate::theory::symbol::ChordSymbol;

/// What a chord says of a name over it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NameVerdict {
    /// The chord is the one that is named, or part of it.
    BearsOut,
    /// The chord is another one.
    Contradicts,
    /// It could be either.
    SaysNothing,
}

/// A chord that sounds, as far as a name depends on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SoundingChord {
    /// Its pitch classes.
    pub tones: PitchSet,
    /// Its lowest pitch class.
    pub bass: PitchClass,
    /// How many strings sound.
    pub strings: usize,
    /// How it is played.
    pub played: PlayedHow,
    /// What its lowest note is to the ear.
    pub lowest: LowestNote,
}

/// How the tones of a chord are played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlayedHow {
    /// They sound at one time.
    Together,
    /// One string after the other, while the hand holds its shape.
    Broken,
}

/// What the lowest note of a chord is to the ear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LowestNote {
    /// Its bass.
    Bass,
    /// A pedal: it stays while the chords over it change, and need not belong to them.
    Pedal,
    /// Just another note, as on re-entrant instruments.
    AnyNote,
}

/// A chord name, ready to be held against what sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NamedChord {
    root: PitchClass,
    /// All its tones, a written bass among them.
    tones: PitchSet,
    /// Semitones above the root.
    third: Option<u8>,
    fifth: Option<u8>,
    seventh: Option<u8>,
    /// The note that stands in the place of the third, where the name has one.
    suspended: Option<u8>,
    /// The tones that a larger chord of the same name can have beside its own, counted from the root.
    colours: PitchSet,
}

/// The colours of a chord with a major third, semitones above the root: ninth, sharp eleventh, thirteenth; the sevenths are added.
const OVER_MAJOR: PitchSet = PitchSet::EMPTY.with_class(2).with_class(6).with_class(9);
/// The colours of a chord with a minor third or none: ninth, eleventh, thirteenth; the sevenths are added.
const OVER_MINOR: PitchSet = PitchSet::EMPTY.with_class(2).with_class(5).with_class(9);
/// The rarest quality that counts as being in everyday use, by the prices of `assets/qualities.ron`: the ninth chords are, altered
/// ones are not.
const EVERYDAY: u16 = 16;

/// On how many strings a third under a name without one has to sound before it is a strum of another chord.
const FEWEST_STRUMMED: usize = 4;

impl NamedChord {
    /// Returns the chord that `symbol` names, `semitones` higher.
    pub fn new(symbol: &ChordSymbol, semitones: i32) -> Self {
        let up = |name: NoteName| PitchClass::of(i32::from(name.pitch_class().number()) + semitones);
        let numbered = |number: u8| symbol.formula().iter().find(|degree| degree.number() == number).copied();
        let folded = |number: u8| numbered(number).map(Degree::folded);
        let tones = symbol.tones().into_iter().chain(symbol.bass()).map(up).collect();
        let third = folded(3);
        let seventh = folded(7);
        let colours = if third == Some(4) { OVER_MAJOR } else { OVER_MINOR };
        // A seventh that is written excludes the other one.
        let colours = match seventh {
            Some(seventh) => colours.with_class(seventh),
            None => colours.with_class(10).with_class(11),
        };
        let suspended = if third.is_none() { folded(4).or_else(|| folded(2)) } else { None };
        Self { root: up(symbol.root()), tones, third, fifth: folded(5), seventh, suspended, colours }
    }

    /// Returns what `chord` says of this name.
    pub fn held_against(&self, mut chord: SoundingChord) -> NameVerdict {
        #[cfg(test)]
        super::steps::step();
        if chord.lowest == LowestNote::Pedal && !self.tones.has(chord.bass.number()) {
            chord.tones = chord.tones.minus(PitchSet::EMPTY.with(chord.bass));
        }
        let from_root = chord.tones.counted_from(self.root.number());
        let has = |degree: Option<u8>| degree.is_some_and(|degree| from_root.has(degree));
        let whole_triad = from_root.has(0) && self.third.is_none_or(|third| from_root.has(third)) && has(self.fifth);
        let guide_tones = has(self.third) && has(self.seventh);
        if chord.tones.minus(self.tones).is_empty() {
            return if chord.tones.len() > 1 { NameVerdict::BearsOut } else { NameVerdict::SaysNothing };
        }
        if self.is_filled_by_third(from_root) {
            let strummed = chord.strings >= FEWEST_STRUMMED && chord.played == PlayedHow::Together;
            let contradicts = strummed && chord.lowest != LowestNote::Pedal;
            return if contradicts { NameVerdict::Contradicts } else { NameVerdict::SaysNothing };
        }
        if self.has_plain_fifth(from_root) {
            return NameVerdict::Contradicts;
        }
        if self.has_other_seventh(from_root) {
            return contradicts_as_another(self, chord);
        }
        let foreign = chord.tones.minus(self.tones).counted_from(self.root.number());
        let only_colours = foreign.minus(self.colours).is_empty();
        let all_but_root = guide_tones && has(self.fifth);
        if whole_triad || all_but_root || guide_tones && (only_colours || self.is_dominant()) {
            return NameVerdict::BearsOut;
        }
        if chord.tones.len() < 3 {
            return NameVerdict::SaysNothing;
        }
        if from_root.has(0) {
            return self.over_its_root(chord, from_root);
        }
        let shares = has(self.third) || has(self.fifth);
        let could_be_upper_part = shares && only_colours;
        if could_be_upper_part && !stands_alone(chord) {
            return NameVerdict::SaysNothing;
        }
        // A diminished chord is the upper part of a dominant with a flat ninth, or leads to what is named.
        let diminished = || identities(chord).all(|name| !has_perfect_fifth(name.quality));
        if shares && foreign.minus(self.colours).len() < 2 && diminished() {
            return NameVerdict::SaysNothing;
        }
        contradicts_as_another(self, chord)
    }

    /// Judges a chord that holds the root of the name, and not its whole triad.
    fn over_its_root(&self, chord: SoundingChord, from_root: PitchSet) -> NameVerdict {
        if self.has_wrong_third(from_root) {
            let fifth_or_seventh = [6, 7, 10, 11].into_iter().any(|up| from_root.has(up));
            return if fifth_or_seventh { NameVerdict::Contradicts } else { contradicts_as_another(self, chord) };
        }
        if self.third.is_some_and(|third| from_root.has(third)) {
            // Root and third without the fifth: A, C and E under C are C6, unless they are Am.
            let own_root = identities(chord).any(|name| name.root == chord.bass && name.root != self.root);
            let is_another = own_root && chord.strings >= 4 && chord.lowest == LowestNote::Bass;
            return if is_another { NameVerdict::Contradicts } else { NameVerdict::BearsOut };
        }
        if self.fifth.is_some_and(|fifth| from_root.has(fifth)) {
            return NameVerdict::SaysNothing;
        }
        contradicts_as_another(self, chord)
    }

    /// Returns whether a pitch class is its root.
    pub fn has_root(&self, tone: PitchClass) -> bool {
        self.root == tone
    }

    /// Returns its tones, a written bass among them.
    pub const fn tones(&self) -> PitchSet {
        self.tones
    }

    /// Returns whether it has a root and a fifth, and no other note.
    pub fn is_power(&self) -> bool {
        self.third.is_none() && self.suspended.is_none() && self.fifth == Some(7) && self.seventh.is_none()
    }

    fn is_dominant(&self) -> bool {
        (self.third, self.seventh) == (Some(4), Some(10))
    }

    fn has_wrong_third(&self, from_root: PitchSet) -> bool {
        match self.third {
            Some(third @ (3 | 4)) => !from_root.has(third) && from_root.has(7 - third),
            Some(_) | None => false,
        }
    }

    /// Returns whether a whole triad sounds over the root of a name without a third, and nothing that is suspended.
    fn is_filled_by_third(&self, from_root: PitchSet) -> bool {
        let is_triad = from_root.has(0) && from_root.has(7) && (from_root.has(3) || from_root.has(4));
        let is_bare = self.third.is_none() && self.fifth == Some(7);
        is_bare && is_triad && !self.suspended.is_some_and(|note| from_root.has(note))
    }

    /// Returns whether the chord is the same with a perfect fifth in the place of the altered one: Am under Adim, A under Aaug.
    fn has_plain_fifth(&self, from_root: PitchSet) -> bool {
        let is_altered = self.fifth.is_some_and(|fifth| fifth != 7 && !from_root.has(fifth));
        let has_third = self.third.is_some_and(|third| from_root.has(third));
        is_altered && has_third && from_root.has(0) && from_root.has(7)
    }

    /// Returns whether the chord is the same with the other of the two sevenths.
    fn has_other_seventh(&self, from_root: PitchSet) -> bool {
        match self.seventh {
            Some(seventh @ (10 | 11)) => {
                let third = self.third.is_some_and(|third| from_root.has(third));
                third && from_root.has(0) && !from_root.has(seventh) && from_root.has(21 - seventh)
            }
            Some(_) | None => false,
        }
    }
}

/// Returns whether a chord needs nobody else's bass: it stands on its own root, or takes most of the strings.
pub(super) fn stands_alone(chord: SoundingChord) -> bool {
    let on_its_root = || identities(chord).any(|name| name.root == chord.bass);
    match (chord.played, chord.lowest) {
        (PlayedHow::Broken, _) | (_, LowestNote::Pedal) => false,
        // Where no string is the bass, a triad on four strings, which may be all there are, is not part of a larger chord.
        (PlayedHow::Together, LowestNote::AnyNote) => chord.strings >= 4 && chord.tones.len() == 3,
        (PlayedHow::Together, LowestNote::Bass) => chord.strings >= 5 || chord.strings >= 4 && on_its_root(),
    }
}

fn contradicts_as_another(named: &NamedChord, chord: SoundingChord) -> NameVerdict {
    let another = |name: BareName| name.root != named.root || folded_third(name.quality) != named.third;
    let other_seventh = named.has_other_seventh(chord.tones.counted_from(named.root.number()));
    let contradicts = identities(chord).any(|name| other_seventh || another(name));
    if contradicts { NameVerdict::Contradicts } else { NameVerdict::SaysNothing }
}

fn folded_third(quality: &Quality) -> Option<u8> {
    quality.formula.degrees().find(|degree| degree.number() == 3).map(Degree::folded)
}

/// Returns the names that a chord has for itself: in everyday use, with a third and a perfect or flat fifth. All of it sounds, but perhaps for the
/// fifth of a chord with a seventh: in a chord of four tones, or in a full strum over its root (C, E and Bb alone).
pub(super) fn identities(chord: SoundingChord) -> impl Iterator<Item = BareName> {
    bare_names(chord.tones, chord.bass).filter(move |name| {
        let own = matches!(name.kind, ReadingKind::Chord | ReadingKind::Inversion);
        let formula = name.quality.formula;
        let no_fifth = name.missing.has_number(5) && name.missing.len() == 1 && formula.has_number(7);
        let full_strum = chord.strings >= 4 && chord.lowest == LowestNote::Bass && chord.bass == name.root;
        let complete = name.missing.is_empty() || no_fifth && (chord.tones.len() > 3 || full_strum);
        let everyday = name.quality.rarity <= EVERYDAY;
        own && complete
            && everyday
            && formula.has_number(3)
            && (has_perfect_fifth(name.quality) || has_flat_fifth(name.quality))
    })
}

/// Returns whether a chord is a diminished triad, or one with a minor seventh; the diminished seventh chord has no root of its own.
fn has_flat_fifth(quality: &Quality) -> bool {
    let minor_third = folded_third(quality) == Some(3);
    minor_third && quality.folded.has(6) && !quality.folded.has(9)
}

fn has_perfect_fifth(quality: &Quality) -> bool {
    quality.formula.degrees().any(|degree| (degree.number(), degree.alteration()) == (5, 0))
}
