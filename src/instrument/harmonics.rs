//! Harmonics: where a string is touched and what then sounds.
//!
//! A string touched at `m/k` of its length, counted from where it begins, sounds its partial `k`
//! (with `m/k` in lowest terms): `12 * log2(k)` semitones up, at fret `-12 * log2(1 - m/k)`.
//! Source: division of the ideal string; the sounding intervals agree with music21 10.5.1,
//! `Pitch.getHarmonic`, to its rounding of one cent. A stopped string does the same from the finger on.

use std::fmt;
use std::str::FromStr;

use super::body::Millimetres;
use super::neck::{Fret, Place, StringNumber};
use super::rig::{PlaceError, Rig};
use crate::text::quote::quoted;
use crate::theory::pitch::{Cents, Hertz, MidiNote, equal_tempered};

/// A point along the neck counted in frets, not only at the wires: 3.2 lies a fifth of the way from
/// the third to the fourth. Any finite value is meaningful.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct NeckPoint(pub f64);

/// Prints as players write it: `12`, `3.2`.
impl fmt::Display for NeckPoint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tenths = format!("{:.1}", self.0);
        f.write_str(tenths.strip_suffix(".0").unwrap_or(&tenths))
    }
}

impl FromStr for NeckPoint {
    type Err = HarmonicError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let number = text.trim();
        let digits = number.chars().all(|character| character.is_ascii_digit() || character == '.');
        let point = number.parse::<f64>().ok().filter(|point| digits && point.is_finite());
        point.map(Self).ok_or_else(|| HarmonicError::Point { text: quoted(text) })
    }
}

impl From<Fret> for NeckPoint {
    fn from(fret: Fret) -> Self {
        Self(f64::from(fret.number()))
    }
}

/// A point where touching a string makes one of its partials sound.
///
/// Invariant: `0 < steps < partial <= Node::LAST_PARTIAL`, in lowest terms.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Node {
    partial: u8,
    steps: u8,
}

/// There is no such harmonic.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum HarmonicError {
    /// What was typed is no point on the neck.
    #[error("`{text}` is not a point on the neck: expected a fret such as 12 or 3.2")]
    Point {
        /// What was typed.
        text: String,
    },
    /// Nothing rings there.
    #[error("no harmonic rings at {touch}{}", nearest_words(.nearest))]
    NoNode {
        /// Where the string was to be touched.
        touch: NeckPoint,
        /// Where it could be, on each side.
        nearest: Vec<NeckPoint>,
    },
    /// The string is touched behind the finger, the capo or its peg.
    #[error("the touch at {touch} must lie between the stopped fret and the bridge")]
    Behind {
        /// Where the string was to be touched.
        touch: NeckPoint,
    },
    /// The stopped place cannot be played.
    #[error(transparent)]
    Place(#[from] PlaceError),
    /// It would sound above the highest note.
    #[error("the harmonic at {touch} sounds above the highest MIDI note")]
    TooHigh {
        /// Where the string was to be touched.
        touch: NeckPoint,
    },
}

fn nearest_words(nearest: &[NeckPoint]) -> String {
    match nearest {
        [] => String::new(),
        [only] => format!("; the nearest is at {only}"),
        [below, above, ..] => format!("; the nearest are at {below} and {above}"),
    }
}

impl Node {
    /// The highest partial looked for; beyond it nodes lie closer together than a fingertip.
    pub const LAST_PARTIAL: u8 = 12;

    /// Returns the node at `steps/of` of the string; `None` unless `0 < steps < of` and the partial
    /// is at most [`Node::LAST_PARTIAL`]. 2/4 is the node 1/2.
    pub fn new(steps: u8, of: u8) -> Option<Self> {
        if steps == 0 || steps >= of {
            return None;
        }
        let shared = greatest_common_divisor(steps, of);
        let node = Self { partial: of / shared, steps: steps / shared };
        (node.partial <= Self::LAST_PARTIAL).then_some(node)
    }

    /// Returns every node of the string, the lowest partial first.
    pub fn all() -> impl Iterator<Item = Self> {
        (2..=Self::LAST_PARTIAL).flat_map(Self::of_partial)
    }

    /// Returns the nodes of one partial that are not nodes of a lower one, from the nut on.
    pub fn of_partial(partial: u8) -> impl Iterator<Item = Self> {
        (1..partial).filter_map(move |steps| Self::new(steps, partial)).filter(move |node| node.partial == partial)
    }

    /// Returns the partial that sounds, `2..=12`; 2 is the octave.
    pub const fn partial(self) -> u8 {
        self.partial
    }

    /// Returns how many of the string's equal parts lie before the node.
    pub const fn steps(self) -> u8 {
        self.steps
    }

    /// Returns where it lies, counted in frets from where the string begins.
    pub fn fret(self) -> NeckPoint {
        NeckPoint(-12.0 * (1.0 - self.fraction()).log2())
    }

    /// Returns how far it lies from where a string of `length` begins.
    pub fn distance(self, length: Millimetres) -> Millimetres {
        Millimetres(length.0 * self.fraction())
    }

    /// Returns the equal-tempered semitones nearest to what sounds, above the whole string.
    pub fn semitones(self) -> i32 {
        // At most 43 for the twelfth partial.
        self.interval().round() as i32
    }

    /// Returns how far what sounds lies above those semitones.
    pub fn cents(self) -> Cents {
        Cents((self.interval() - f64::from(self.semitones())) * 100.0)
    }

    /// Returns the node meant by a touch at `fret`, counted in frets from where the string begins.
    ///
    /// Players round what they write: 4 stands for 3.9, 9 for 8.8, 3 for 3.2. The nearest node
    /// within 0.35 of a fret is taken. Common practice; the limit is chosen, not published.
    ///
    /// Errors: no node lies so near.
    pub fn near(fret: NeckPoint) -> Result<Self, HarmonicError> {
        const ROUNDED: f64 = 0.35;
        let off = |node: &Self| (node.fret().0 - fret.0).abs();
        // NaN compares false with everything and so finds nothing.
        let close = Self::all().filter(|node| off(node) <= ROUNDED);
        close.min_by(|a, b| off(a).total_cmp(&off(b))).ok_or_else(|| {
            let below = Self::all().map(|node| node.fret().0).filter(|at| *at < fret.0).max_by(f64::total_cmp);
            let above = Self::all().map(|node| node.fret().0).filter(|at| *at > fret.0).min_by(f64::total_cmp);
            let nearest = below.into_iter().chain(above).map(NeckPoint).collect();
            HarmonicError::NoNode { touch: fret, nearest }
        })
    }

    fn fraction(self) -> f64 {
        f64::from(self.steps) / f64::from(self.partial)
    }

    fn interval(self) -> f64 {
        12.0 * f64::from(self.partial).log2()
    }
}

fn greatest_common_divisor(one: u8, other: u8) -> u8 {
    if other == 0 { one } else { greatest_common_divisor(other, one % other) }
}

/// A harmonic on a string of a rig.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Harmonic {
    /// The string.
    pub string: StringNumber,
    /// Where the string is stopped; open for a natural harmonic.
    pub stopped: Fret,
    /// The node that is touched, counted from there.
    pub node: Node,
    /// Where it is touched, as frets are written for this string.
    pub touch: NeckPoint,
    /// What the string sounds without the touch.
    pub base: MidiNote,
    /// The equal-tempered note nearest to what sounds.
    pub sounding: MidiNote,
    /// How far what sounds lies above that note.
    pub cents: Cents,
}

impl Harmonic {
    /// Returns the frequency that sounds when A4 is at `reference`.
    pub fn frequency(&self, reference: Hertz) -> Hertz {
        Hertz(equal_tempered(self.base, reference).0 * f64::from(self.node.partial))
    }
}

impl Rig {
    /// Returns the harmonic of the open string touched at `touch`, written as frets are.
    ///
    /// Errors: no such string, no node near the touch, or a harmonic above the highest note.
    pub fn natural_harmonic(&self, string: StringNumber, touch: NeckPoint) -> Result<Harmonic, HarmonicError> {
        self.touched_harmonic(string, Fret::OPEN, touch)
    }

    /// Returns the harmonic of a string stopped at `stopped` and touched or tapped at `touch`, both
    /// written as frets are.
    ///
    /// Errors: a place that cannot be played, a touch behind it or near no node, or a harmonic above the highest
    /// note.
    pub fn touched_harmonic(
        &self,
        string: StringNumber,
        stopped: Fret,
        touch: NeckPoint,
    ) -> Result<Harmonic, HarmonicError> {
        let begins = self.begins_at(string, stopped)?;
        let along = NeckPoint(touch.0 - begins.0);
        if !along.0.is_finite() || along.0 <= 0.0 {
            return Err(HarmonicError::Behind { touch });
        }
        let node = Node::near(along).map_err(|error| match error {
            HarmonicError::NoNode { nearest, .. } => {
                let nearest = nearest.into_iter().map(|point| NeckPoint(point.0 + begins.0)).collect();
                HarmonicError::NoNode { touch, nearest }
            }
            other => other,
        })?;
        self.harmonic_at(string, stopped, node).and_then(|harmonic| harmonic.ok_or(HarmonicError::TooHigh { touch }))
    }

    /// Returns every natural harmonic of `string`, from the nut on; empty if it is not there.
    pub fn natural_harmonics(&self, string: StringNumber) -> Vec<Harmonic> {
        let on = |node| self.harmonic_at(string, Fret::OPEN, node).ok().flatten();
        let mut harmonics: Vec<Harmonic> = Node::all().filter_map(on).collect();
        harmonics.sort_by(|a, b| a.touch.0.total_cmp(&b.touch.0));
        harmonics
    }

    /// Returns every natural harmonic whose nearest note is `note`, highest string number first.
    pub fn natural_harmonics_sounding(&self, note: MidiNote) -> Vec<Harmonic> {
        self.strings()
            .flat_map(|string| self.natural_harmonics(string))
            .filter(|harmonic| harmonic.sounding == note)
            .collect()
    }

    /// Returns the harmonic at a node; `Ok(None)` when it sounds above the highest MIDI note.
    fn harmonic_at(&self, string: StringNumber, stopped: Fret, node: Node) -> Result<Option<Harmonic>, HarmonicError> {
        let base = self.sounding(string, stopped)?;
        let touch = NeckPoint(self.begins_at(string, stopped)?.0 + node.fret().0);
        let harmonic = |sounding| Harmonic { string, stopped, node, touch, base, sounding, cents: node.cents() };
        Ok(base.up(node.semitones()).map(harmonic))
    }

    /// Returns where the sounding part of the string begins, counted as its frets are written.
    fn begins_at(&self, string: StringNumber, stopped: Fret) -> Result<NeckPoint, PlaceError> {
        let wire = self.wire(Place { string, fret: stopped })?;
        Ok(NeckPoint(f64::from(wire.number()) - f64::from(self.capo_at(string).number())))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[track_caller]
    fn check_partial(written: &str, partial: u8) {
        let node = Node::near(written.parse().unwrap()).unwrap();
        assert_eq!(node.partial(), partial, "{written}");
    }

    #[test]
    fn players_round_the_frets_of_harmonics() {
        // Which partial is meant by the rounded number: common practice, no published source.
        for (written, partial) in [("12", 2), ("7", 3), ("19", 3), ("5", 4), ("24", 4), ("4", 5), ("9", 5), ("16", 5)] {
            check_partial(written, partial);
        }
        for (written, partial) in [("3.2", 6), ("3", 6), ("2.7", 7), ("5.8", 7), ("2.3", 8), ("3.9", 5), ("8.1", 8)] {
            check_partial(written, partial);
        }
    }

    #[test]
    fn where_nothing_rings_the_neighbours_are_named() {
        let error = Node::near(NeckPoint(11.0)).unwrap_err();
        assert_eq!(error.to_string(), "no harmonic rings at 11; the nearest are at 10.5 and 12");
        let error = Node::near(NeckPoint(1.0)).unwrap_err();
        assert_eq!(error.to_string(), "no harmonic rings at 1; the nearest is at 1.5");
    }

    #[test]
    fn every_node_is_found_where_it_is_written() {
        for node in Node::all() {
            let written = node.fret().to_string();
            assert_eq!(Node::near(written.parse().unwrap()).unwrap(), node, "{written}");
        }
        // Euler's totient summed over 2..=12: how many fractions in lowest terms there are.
        assert_eq!(Node::all().count(), 45);
    }

    proptest! {
        #[test]
        fn no_point_makes_it_panic(point in proptest::num::f64::ANY, text in "[0-9.eE+inaf-]{0,8}") {
            let _ = Node::near(NeckPoint(point));
            if let Ok(point) = text.parse::<NeckPoint>() {
                prop_assert!(point.0.is_finite() && point.0 >= 0.0);
            }
        }

        #[test]
        fn any_two_numbers_give_a_node_in_lowest_terms_or_none(steps: u8, of: u8) {
            if let Some(node) = Node::new(steps, of) {
                prop_assert_eq!(u16::from(node.steps()) * u16::from(of), u16::from(steps) * u16::from(node.partial()));
            }
        }
    }
}
