//! Chord formulas: which degrees a chord has, kept as a set so that ranking needs no text.

use std::fmt;
use std::str::FromStr;

use super::degree::{Degree, DegreeError};
use super::pitch_set::PitchSet;

/// A set of chord degrees, from the root up.
///
/// Invariant: made of the degrees in [`Formula::POSSIBLE`] only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Formula(u32);

impl Formula {
    /// Every degree a chord symbol can name, in the order formulas are written.
    pub const POSSIBLE: [Degree; 20] = [
        known(1, 0),
        known(2, 0),
        known(3, -1),
        known(3, 0),
        known(4, 0),
        known(5, -1),
        known(5, 0),
        known(5, 1),
        known(6, -1),
        known(6, 0),
        known(7, -2),
        known(7, -1),
        known(7, 0),
        known(9, -1),
        known(9, 0),
        known(9, 1),
        known(11, 0),
        known(11, 1),
        known(13, -1),
        known(13, 0),
    ];

    /// Returns the formula that holds only `degree`; empty when no chord symbol names it.
    pub fn of(degree: Degree) -> Self {
        match Self::POSSIBLE.iter().position(|possible| *possible == degree) {
            Some(place) => Self(1 << place),
            None => Self(0),
        }
    }

    /// Returns the degrees of `number`, whatever their alteration.
    pub const fn numbered(number: u8) -> Self {
        let mut set = 0;
        let mut place = 0;
        while place < Self::POSSIBLE.len() {
            if Self::POSSIBLE[place].number() == number {
                set |= 1 << place;
            }
            place += 1;
        }
        Self(set)
    }

    /// Returns whether there are no degrees.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Returns how many degrees there are.
    pub const fn len(self) -> usize {
        self.0.count_ones() as usize
    }

    /// Returns the degrees of both.
    pub const fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Returns the degrees that are not in `other`.
    pub const fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Returns the degrees that are in both.
    pub const fn common(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }

    /// Returns whether `self` and `other` share a degree.
    pub const fn touches(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }

    /// Returns whether `degree` is in the formula.
    pub fn has(self, degree: Degree) -> bool {
        self.touches(Self::of(degree))
    }

    /// Returns whether a degree of `number` is in the formula, whatever its alteration.
    pub const fn has_number(self, number: u8) -> bool {
        /// The degrees of every number, worked out when the program is compiled.
        const NUMBERED: [Formula; 14] = {
            let mut sets = [Formula(0); 14];
            let mut number = 0;
            while number < sets.len() {
                sets[number] = Formula::numbered(number as u8);
                number += 1;
            }
            sets
        };
        (number as usize) < NUMBERED.len() && self.touches(NUMBERED[number as usize])
    }

    /// Returns the degrees in the order formulas are written.
    pub fn degrees(self) -> impl Iterator<Item = Degree> {
        let mut rest = self.0;
        std::iter::from_fn(move || {
            let degree = Self::POSSIBLE.get(usize::try_from(rest.trailing_zeros()).ok()?)?;
            rest &= rest - 1;
            Some(*degree)
        })
    }

    /// Returns the degrees as a list, in the order formulas are written.
    pub fn to_vec(self) -> Vec<Degree> {
        let mut degrees = Vec::with_capacity(self.len());
        degrees.extend(self.degrees());
        degrees
    }

    /// Returns the pitch classes above the root, folded into an octave, the root as class 0.
    pub fn folded(self) -> PitchSet {
        self.degrees().fold(PitchSet::EMPTY, |set, degree| set.with_class(degree.folded()))
    }
}

/// Prints the degrees with spaces: `1 b3 5`.
impl fmt::Display for Formula {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, degree) in self.degrees().enumerate() {
            write!(f, "{}{degree}", if place == 0 { "" } else { " " })?;
        }
        Ok(())
    }
}

impl FromStr for Formula {
    type Err = DegreeError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        text.split_whitespace().try_fold(Self(0), |formula, word| {
            let one = Self::of(word.parse()?);
            if one.is_empty() { Err(DegreeError { text: word.to_owned() }) } else { Ok(formula.with(one)) }
        })
    }
}

/// Returns a degree that is known to be in range when the program is compiled.
const fn known(number: u8, alteration: i8) -> Degree {
    match Degree::new(number, alteration) {
        Some(degree) => degree,
        None => panic!("a degree in this file is out of range"),
    }
}
