//! The instrument itself: strings, frets, scale length, and a short fifth string where it has one.

use serde::de::Error;
use serde::{Deserialize, Deserializer, Serialize};

use super::neck::{Fret, StringNumber};

/// A length on the instrument, in millimetres. Any finite value is meaningful.
/// A file may only hold lengths above zero.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize)]
#[serde(transparent)]
pub struct Millimetres(pub f64);

impl<'de> Deserialize<'de> for Millimetres {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let number = f64::deserialize(deserializer)?;
        if number.is_finite() && number > 0.0 {
            Ok(Self(number))
        } else {
            Err(D::Error::custom(format!("expected a length in millimetres above 0, got {number}")))
        }
    }
}

/// A string that starts at a peg part-way along the neck, as on the five-string banjo.
///
/// Its frets are counted from the main nut, so that one fret number is one place on the neck for
/// every string; open is written 0, and the first fret that can be stopped is `starts_at + 1`. (Some
/// books count from the string's own peg instead; there is no standard.) A capo that covers it moves
/// its peg along, as it moves the nut of the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShortString {
    /// Which string.
    pub string: StringNumber,
    /// The fret beside its peg.
    pub starts_at: Fret,
}

/// A fretted instrument.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Instrument {
    /// What the player calls it: `guitar`, `tenor ukulele`.
    pub name: String,
    /// How many strings (courses count as one), 3 to 12.
    #[serde(deserialize_with = "string_count")]
    pub strings: u8,
    /// How many frets, at most [`Fret::LAST`].
    pub frets: Fret,
    /// The vibrating length of an open string.
    pub scale: Millimetres,
    /// The short string, if it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub short: Option<ShortString>,
}

/// Reads how many strings there are, 3 to 12.
fn string_count<'de, D: Deserializer<'de>>(deserializer: D) -> Result<u8, D::Error> {
    let count = i64::deserialize(deserializer)?;
    u8::try_from(count)
        .ok()
        .filter(|count| (3..=StringNumber::LAST).contains(count))
        .ok_or_else(|| D::Error::custom(format!("expected 3 to 12 strings, got {count}")))
}
