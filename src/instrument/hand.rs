//! The fretting hand: its fingers, and how far they reach.
//!
//! Five frets are a hand's span. Millimetres alone would let a hand cover seven frets high on the neck; four
//! fingers have a fret each and one reaches a fret further.

use std::str::FromStr;
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use super::body::Millimetres;
use super::neck::{Fret, StringNumber};
use crate::text::quote::quoted;

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
    /// Returns the finger that teachers number 1 to 4.
    pub const fn numbered(number: u8) -> Option<Self> {
        match number {
            1 => Some(Self::Index),
            2 => Some(Self::Middle),
            3 => Some(Self::Ring),
            4 => Some(Self::Little),
            _ => None,
        }
    }

    /// Returns the finger of such a letter or digit, as [`Finger::to_char`] gives it.
    pub const fn from_char(letter: char) -> Option<Self> {
        match letter {
            'T' => Some(Self::Thumb),
            '1'..='4' => Self::numbered(letter as u8 - b'0'),
            _ => None,
        }
    }

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

/// Whether a thumb may come over the neck where four fingers do not do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ThumbUse {
    /// Where it is needed.
    #[default]
    IfNeeded,
    /// Never.
    Never,
}

/// How large a hand is; what that means in millimetres is data (`assets/hands.ron`).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
pub enum HandSize {
    /// A small adult hand.
    Small,
    /// An average one.
    #[default]
    Medium,
    /// A large one.
    Large,
}

impl HandSize {
    /// Every size, smallest first.
    pub const ALL: [Self; 3] = [Self::Small, Self::Medium, Self::Large];

    /// Returns the word for the size, as the settings have it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Small => "small",
            Self::Medium => "medium",
            Self::Large => "large",
        }
    }
}

/// The text is no size of a hand.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{}` is not a hand size: expected small, medium or large", quoted(.text))]
pub struct HandSizeError {
    /// What was typed.
    pub text: String,
}

impl FromStr for HandSize {
    type Err = HandSizeError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wanted = text.trim();
        let found = Self::ALL.into_iter().find(|size| size.name().eq_ignore_ascii_case(wanted));
        found.ok_or_else(|| HandSizeError { text: text.to_owned() })
    }
}

/// How far the fingers of one hand lie apart at the most, along the strings.
///
/// Invariant: every distance is finite and above 0, and none is larger than that of index and little finger.
#[derive(Debug, Clone, PartialEq)]
pub struct Hand {
    /// Between finger `a` and finger `b`, index 0 to little 3; only `a < b` is used.
    pairs: [[f32; 4]; 4],
    thumb: f32,
    thumb_beside_four: bool,
    comfort: f32,
}

impl Hand {
    /// Returns the hand of `size`.
    pub fn new(size: HandSize) -> Self {
        let table = table();
        let length = table.sizes.iter().find(|row| row.size == size).map_or(187.0, |row| row.hand);
        Self::of_reach(length * table.reach)
    }

    /// Returns a hand whose index and little finger lie `reach` apart at the most; `None` where that is no
    /// length above 0.
    ///
    /// Below the reach of a large hand only the wide pairs shrink: who asks for little stretch still puts
    /// neighbouring fingers on neighbouring frets.
    pub fn reaching(self, reach: Millimetres) -> Option<Self> {
        if !(reach.0.is_finite() && reach.0 > 0.0) {
            return None;
        }
        let wanted = reach.0 as f32;
        if wanted >= self.pairs[0][3] {
            return Some(Self::of_reach(wanted));
        }
        let mut hand = self;
        for pair in hand.pairs.iter_mut().flatten() {
            *pair = pair.min(wanted);
        }
        hand.thumb = hand.thumb.min(wanted);
        Some(hand)
    }

    fn of_reach(reach: f32) -> Self {
        let HandTable { pairs, thumb, thumb_beside_four, comfort, .. } = table();
        let mut all = [[reach; 4]; 4];
        all[0][1] = reach * pairs.index_middle;
        all[0][2] = reach * pairs.index_ring;
        all[1][2] = reach * pairs.middle_ring;
        all[1][3] = reach * pairs.middle_little;
        all[2][3] = reach * pairs.ring_little;
        let thumb_beside_four = reach >= *thumb_beside_four;
        Self { pairs: all, thumb: reach * thumb, thumb_beside_four, comfort: *comfort }
    }

    /// Returns the distance of index and little finger at the most.
    pub fn reach(&self) -> Millimetres {
        Millimetres(f64::from(self.pairs[0][3]))
    }

    /// Returns the distance of two fingers at the most; the thumb is measured against the index finger.
    pub fn between(&self, one: Finger, other: Finger) -> Millimetres {
        let place = |finger: Finger| (finger as usize).checked_sub(1);
        let apart = match (place(one), place(other)) {
            (Some(a), Some(b)) if a < b => self.pair(a, b),
            (Some(a), Some(b)) if b < a => self.pair(b, a),
            (Some(_), Some(_)) => 0.0,
            _ => self.thumb,
        };
        Millimetres(f64::from(apart))
    }

    /// Returns whether the thumb holds a string while all four fingers are down: not that of a small hand.
    pub const fn has_thumb_beside_four(&self) -> bool {
        self.thumb_beside_four
    }

    /// Returns the same as [`Hand::between`], in millimetres, by places, index 0 to little 3: `low < high`, both
    /// below 4.
    pub(super) fn pair(&self, low: usize, high: usize) -> f32 {
        self.pairs[low & 3][high & 3]
    }

    pub(super) fn thumb(&self) -> f32 {
        self.thumb
    }

    /// Returns what two neighbouring fingers span without effort.
    pub(super) fn comfort(&self) -> f32 {
        self.comfort
    }
}

impl Default for Hand {
    fn default() -> Self {
        Self::new(HandSize::default())
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HandTable {
    sizes: Vec<SizeRow>,
    reach: f32,
    pairs: Pairs,
    thumb: f32,
    thumb_beside_four: f32,
    comfort: f32,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SizeRow {
    size: HandSize,
    hand: f32,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Pairs {
    index_middle: f32,
    index_ring: f32,
    middle_ring: f32,
    middle_little: f32,
    ring_little: f32,
}

fn table() -> &'static HandTable {
    static TABLE: OnceLock<HandTable> = OnceLock::new();
    TABLE.get_or_init(|| {
        ron::from_str(include_str!("../../assets/hands.ron")).expect("a test reads the table that is compiled in")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_larger_hand_reaches_further_with_every_pair() {
        // Hand lengths: ANSUR II, in assets/hands.ron; the shares are this program's own settings.
        let hands = HandSize::ALL.map(Hand::new);
        for low in 0..4 {
            for high in low + 1..4 {
                let reaches: Vec<f32> = hands.iter().map(|hand| hand.pair(low, high)).collect();
                assert!(reaches.is_sorted_by(|a, b| a < b), "{low} {high}: {reaches:?}");
                assert!(hands.iter().all(|hand| hand.pair(low, high) <= hand.pair(0, 3)));
            }
        }
    }

    #[test]
    fn an_average_hand_holds_four_frets_at_the_nut_and_a_small_one_just_does() {
        // Four frets from the first of a 648 mm scale: 97.3 mm, tests/reference/fret_positions_648.tsv.
        assert!(Hand::new(HandSize::Small).reach().0 > 97.3);
        // Five: 126.2 mm is beyond an average hand.
        assert!(Hand::new(HandSize::Medium).reach().0 < 126.2);
    }

    #[test]
    fn asking_for_less_reach_narrows_only_what_is_wider() {
        let hand = Hand::default().reaching(Millimetres(80.0)).unwrap();
        assert_eq!(hand.between(Finger::Index, Finger::Little), Millimetres(80.0));
        assert_eq!(hand.between(Finger::Index, Finger::Ring), Millimetres(80.0));
        assert_eq!(hand.between(Finger::Ring, Finger::Middle), Hand::default().between(Finger::Middle, Finger::Ring));
        // Less than two neighbours reach: then no two fingers lie further apart.
        let narrow = Hand::default().reaching(Millimetres(50.0)).unwrap();
        assert_eq!(narrow.between(Finger::Ring, Finger::Middle), Millimetres(50.0));
        // The thumb of an average hand reaches 56 mm: it comes no further than was asked for either.
        assert!(Hand::default().between(Finger::Thumb, Finger::Index).0 > 56.0);
        assert_eq!(narrow.between(Finger::Thumb, Finger::Index), Millimetres(50.0));
        assert_eq!(hand.between(Finger::Thumb, Finger::Index), Hand::default().between(Finger::Thumb, Finger::Index));
        let wide = Hand::default().reaching(Millimetres(150.0)).unwrap();
        assert_eq!(wide.reach(), Millimetres(150.0));
        assert_eq!(Hand::default().reaching(Millimetres(0.0)), None);
        assert_eq!(Hand::default().reaching(Millimetres(f64::NAN)), None);
    }
}
