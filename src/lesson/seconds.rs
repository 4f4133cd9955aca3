//! Time as sound needs it: seconds with a fraction, a third kind beside musical time and video time.

use std::ops::{Add, AddAssign, Div, Mul, Sub, SubAssign};

use serde::Deserialize;

/// A time in seconds: an instant since the start of what is heard, or a length between two of them.
///
/// Infinity stands for a note that rings out. Musical time becomes seconds in `plan::length` only.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Deserialize)]
#[serde(transparent)]
pub struct Seconds(pub f64);

impl Seconds {
    /// The start, or no time at all.
    pub const ZERO: Self = Self(0.0);
    /// Later than anything.
    pub const NEVER: Self = Self(f64::INFINITY);

    /// Returns the earlier or shorter of both; a time that is no number counts as absent.
    pub const fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }

    /// Returns the later or longer of both; a time that is no number counts as absent.
    pub const fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }

    /// Orders two times, those that are no number after all others.
    pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }

    /// Returns whether it is a number and not infinite.
    pub const fn is_finite(self) -> bool {
        self.0.is_finite()
    }
}

impl Add for Seconds {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Seconds {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Seconds {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl SubAssign for Seconds {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}

impl Mul<f64> for Seconds {
    type Output = Self;

    fn mul(self, times: f64) -> Self {
        Self(self.0 * times)
    }
}

impl Div<f64> for Seconds {
    type Output = Self;

    fn div(self, parts: f64) -> Self {
        Self(self.0 / parts)
    }
}

impl Div for Seconds {
    type Output = f64;

    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}
