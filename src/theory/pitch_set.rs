//! Sets of pitch classes as twelve bits, the form in which chords are compared.

use super::pitch::PitchClass;

/// A set of pitch classes. Invariant: only the lowest twelve bits are used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct PitchSet(u16);

impl PitchSet {
    /// No pitch class at all.
    pub const EMPTY: Self = Self(0);

    /// Returns the set whose bit 0 is C, bit 11 B; higher bits are dropped.
    pub const fn from_bits(bits: u16) -> Self {
        Self(bits & 0xFFF)
    }

    /// Returns the twelve bits, C lowest.
    pub const fn bits(self) -> u16 {
        self.0
    }

    /// Returns the set with the class `semitones` above C (or above whatever the set counts from).
    pub const fn with_class(self, semitones: u8) -> Self {
        Self(self.0 | 1 << (semitones % 12))
    }

    /// Returns the set with `class`.
    pub const fn with(self, class: PitchClass) -> Self {
        self.with_class(class.number())
    }

    /// Returns whether the class `semitones` above the zero of the set is in it.
    pub const fn has(self, semitones: u8) -> bool {
        self.0 & (1 << (semitones % 12)) != 0
    }

    /// Returns how many classes there are.
    pub const fn len(self) -> u32 {
        self.0.count_ones()
    }

    /// Returns whether there are none.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Returns the classes that are not in `other`.
    pub const fn minus(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Returns the same set counted from the class that stood at `semitones`.
    pub const fn counted_from(self, semitones: u8) -> Self {
        let down = (semitones % 12) as u32;
        Self((self.0 >> down | self.0 << ((12 - down) % 12)) & 0xFFF)
    }

    /// Returns the classes, upward from the zero of the set.
    pub fn classes(self) -> impl Iterator<Item = u8> {
        (0..12).filter(move |semitones| self.has(*semitones))
    }
}

impl FromIterator<PitchClass> for PitchSet {
    fn from_iter<I: IntoIterator<Item = PitchClass>>(classes: I) -> Self {
        classes.into_iter().fold(Self::EMPTY, Self::with)
    }
}
