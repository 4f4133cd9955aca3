//! How loud a sound is made, and how hard a string is struck. Decibels are not here: they are ratios of two levels.

use serde::Deserialize;

/// A level, as a factor of the amplitude: 0 is silent, 1 leaves a sound as it was made.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Level(pub f32);

impl Level {
    /// Nothing is heard.
    pub const SILENT: Self = Self(0.0);
    /// The sound is as it was made.
    pub const AS_MADE: Self = Self(1.0);

    /// Returns the level from silence up to `most` that is nearest to this one; silence where this is no number.
    #[must_use]
    pub const fn at_most(self, most: Self) -> Self {
        if self.0.is_finite() { Self(self.0.clamp(0.0, most.0)) } else { Self::SILENT }
    }
}

/// How hard a string is struck: 0 is silent, 1 is as hard as anybody plays.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Deserialize)]
#[serde(transparent)]
pub struct Strength(pub f32);

impl Strength {
    /// As hard as anybody plays.
    pub const FULL: Self = Self(1.0);

    /// Returns the share of the full strength, 0 to 1; 0 where this is no number.
    pub const fn share(self) -> f32 {
        if self.0.is_finite() { self.0.clamp(0.0, 1.0) } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_number_is_silent_and_what_is_too_much_is_the_most() {
        for nonsense in [f32::NAN, f32::INFINITY, f32::NEG_INFINITY] {
            assert_eq!((Level(nonsense).at_most(Level(4.0)), Strength(nonsense).share()), (Level::SILENT, 0.0));
        }
        assert_eq!([-1.0, 0.5, 7.0].map(|level| Level(level).at_most(Level(4.0)).0), [0.0, 0.5, 4.0]);
        assert_eq!([-1.0, 0.5, 7.0].map(|strength| Strength(strength).share()), [0.0, 0.5, 1.0]);
    }
}
