//! The fretting hand: its fingers, and how far it reaches.

use serde::{Deserialize, Serialize};

use super::neck::{Fret, StringNumber};

/// A finger of the fretting hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Finger {
    /// The thumb, over the neck.
    Thumb,
    /// 1
    Index,
    /// 2
    Middle,
    /// 3
    Ring,
    /// 4
    Little,
}

impl Finger {
    /// Returns what teachers write on a chord grid: `T`, `1` to `4`.
    pub const fn to_char(self) -> char {
        match self {
            Self::Thumb => 'T',
            Self::Index => '1',
            Self::Middle => '2',
            Self::Ring => '3',
            Self::Little => '4',
        }
    }
}

/// One finger over several neighbouring strings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Barre {
    /// The fret.
    pub fret: Fret,
    /// The string with the highest number.
    pub from: StringNumber,
    /// The string with the lowest number.
    pub to: StringNumber,
}
