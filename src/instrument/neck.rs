//! Places on the neck: string numbers, frets, and shapes made of them.

use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A string as tab counts it: 1 is the top line, whatever it sounds. Invariant: `1..=12`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StringNumber(u8);

impl StringNumber {
    /// The most strings an instrument here can have.
    pub const LAST: u8 = 12;

    /// Returns `None` outside 1 to 12.
    pub const fn new(number: u8) -> Option<Self> {
        if number >= 1 && number <= Self::LAST { Some(Self(number)) } else { None }
    }

    /// Returns the number, `1..=12`.
    pub const fn number(self) -> u8 {
        self.0
    }

    /// Returns the place in an array that runs from the highest string number to string 1 (as
    /// shapes and tunings are written), for an instrument of `strings` strings; `None` if it has
    /// no such string.
    pub const fn index(self, strings: usize) -> Option<usize> {
        strings.checked_sub(self.0 as usize)
    }

    /// Returns the string at place `index` of an array written from the highest string number
    /// down; the inverse of [`StringNumber::index`].
    pub fn at(index: usize, strings: usize) -> Option<Self> {
        u8::try_from(strings.checked_sub(index)?).ok().and_then(Self::new)
    }
}

/// A fret number, counted from the capo where one lies on the string; 0 is the open string.
/// Invariant: at most [`Fret::LAST`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Fret(u8);

impl Fret {
    /// No neck has more frets.
    pub const LAST: u8 = 36;
    /// The open string.
    pub const OPEN: Self = Self(0);
    /// The highest fret of any neck.
    pub const END: Self = Self(Self::LAST);

    /// Returns `None` when `number` lies past the end of any neck.
    pub const fn new(number: u8) -> Option<Self> {
        if number <= Self::LAST { Some(Self(number)) } else { None }
    }

    /// Returns the number, `0..=36`.
    pub const fn number(self) -> u8 {
        self.0
    }
}

impl fmt::Display for StringNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl fmt::Display for Fret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Reads and writes a checked number as a plain number.
macro_rules! serde_as_number {
    ($type:ty, $expected:literal) => {
        impl Serialize for $type {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_u8(self.0)
            }
        }
        impl<'de> Deserialize<'de> for $type {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                // Read wide, so that a number out of range is named together with the range.
                let number = i64::deserialize(deserializer)?;
                u8::try_from(number)
                    .ok()
                    .and_then(Self::new)
                    .ok_or_else(|| serde::de::Error::custom(format!(concat!($expected, ", got {}"), number)))
            }
        }
    };
}

serde_as_number!(StringNumber, "expected a string number from 1 to 12");
serde_as_number!(Fret, "expected a fret from 0 to 36");

/// One string at one fret, counted as [`Fret`] says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// The string.
    pub string: StringNumber,
    /// The fret on it.
    pub fret: Fret,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "string {}, fret {}", self.string, self.fret)
    }
}

/// What the fretting hand does on each string, highest string number first (for standard tuning:
/// low to high): `None` is muted, fret 0 open.
///
/// Invariant: at most 12 strings.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Shape(Vec<Option<Fret>>);

impl Shape {
    /// Returns `None` for more than 12 strings.
    pub fn new(strings: Vec<Option<Fret>>) -> Option<Self> {
        (strings.len() <= usize::from(StringNumber::LAST)).then_some(Self(strings))
    }

    /// Returns a shape with every one of `strings` strings muted (at most 12).
    pub fn muted(strings: usize) -> Self {
        Self(vec![None; strings.min(usize::from(StringNumber::LAST))])
    }

    /// Returns the strings, highest number first.
    pub fn strings(&self) -> &[Option<Fret>] {
        &self.0
    }

    /// Returns what is done on `string`; `None` when it is muted or not there.
    pub fn on(&self, string: StringNumber) -> Option<Fret> {
        self.0.get(string.index(self.0.len())?).copied().flatten()
    }

    /// Puts `fret` on `string` (`None` mutes it); a string that is not there is left alone.
    pub fn set(&mut self, string: StringNumber, fret: Option<Fret>) {
        if let Some(place) = string.index(self.0.len()).and_then(|index| self.0.get_mut(index)) {
            *place = fret;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn string_numbers_count_down_along_an_array() {
        for strings in 0..=StringNumber::LAST {
            for number in 1..=StringNumber::LAST {
                let string = StringNumber::new(number).unwrap();
                let index = string.index(usize::from(strings));
                assert_eq!(index.is_some(), number <= strings, "string {number} of {strings}");
                if let Some(index) = index {
                    assert_eq!(StringNumber::at(index, usize::from(strings)), Some(string));
                    assert!(index < usize::from(strings));
                }
            }
            assert_eq!(StringNumber::at(usize::from(strings), usize::from(strings)), None);
        }
        assert_eq!(StringNumber::at(0, usize::MAX), None);
    }

    #[test]
    fn only_a_string_that_is_there_can_be_fretted() {
        let third = Fret::new(3);
        let mut shape = Shape::muted(6);
        shape.set(StringNumber::new(5).unwrap(), third);
        shape.set(StringNumber::new(7).unwrap(), third);
        assert_eq!(shape.to_string(), "x 3 x x x x");
        assert_eq!(shape.on(StringNumber::new(5).unwrap()), third);
        assert_eq!(shape.on(StringNumber::new(7).unwrap()), None);
        assert_eq!(Shape::muted(40).strings().len(), 12);
        assert_eq!(Shape::new(vec![None; 13]), None);
    }

    #[test]
    fn numbers_out_of_range_are_refused_when_read() {
        let refused = |error: ron::error::SpannedError| error.code.to_string();
        assert_eq!(refused(ron::from_str::<Fret>("99").unwrap_err()), "expected a fret from 0 to 36, got 99");
        let expected = "expected a string number from 1 to 12, got 0";
        assert_eq!(refused(ron::from_str::<StringNumber>("0").unwrap_err()), expected);
    }
}
