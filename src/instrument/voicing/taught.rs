//! The shapes that every teacher shows, as the hand meets them on a board.

use std::sync::OnceLock;

use serde::{Deserialize, Deserializer};

use super::limits::WIRES;
use super::ranking::TaughtAs;
use crate::instrument::fingering::{Held, MUTED, OPEN, STRINGS};
use crate::instrument::neck::Shape;
use crate::instrument::tuning::Tuning;
use crate::theory::symbol::ChordSymbol;

/// The shapes of `assets/taught_shapes.ron` that a board can play.
///
/// Each wire has, in order, those whose lowest finger stands there; [`OPEN`] has those without a finger.
#[derive(Debug, Default)]
pub(super) struct Taught {
    wires: Vec<Vec<(Held, TaughtAs)>>,
    /// The small forms that stand in for barre chords, sorted.
    small: Vec<Held>,
}

/// The last fret that the index finger of a movable shape goes to: at fret 12 everything begins anew.
const LAST: i8 = 11;

impl Taught {
    /// Finds the shapes for strings that sound the MIDI notes `open`, each movable one with the index finger up to fret
    /// [`LAST`]. Frets count from the wire `nut`.
    pub(super) fn on(open: &[u8], nut: i8) -> Self {
        let mut taught = Self { wires: vec![Vec::new(); WIRES], small: Vec::new() };
        for family in families() {
            let places = |shape: &Shape| family.fits(shape, open).then(|| frets(shape));
            for frets in family.small.iter().filter_map(places) {
                taught.small.extend((0..LAST).map_while(|up| held(&frets, nut + up)));
            }
            for frets in family.movable.iter().filter_map(places) {
                let along = (0..LAST).map_while(|up| held(&frets, nut + up));
                along.for_each(|held| taught.add(held, TaughtAs::Movable));
            }
            for (shapes, known) in [(&family.open, TaughtAs::Open), (&family.second, TaughtAs::AlsoOpen)] {
                let open = shapes.iter().filter_map(places).filter_map(|frets| held(&frets, nut));
                open.for_each(|held| taught.add(held, known));
            }
        }
        // A shape of both kinds counts as one beside open strings, which sorts first.
        taught.small.sort_unstable();
        for shapes in &mut taught.wires {
            shapes.sort_unstable();
            shapes.dedup_by_key(|(held, _)| *held);
        }
        taught
    }

    /// Adds a shape.
    fn add(&mut self, held: Held, known: TaughtAs) {
        if let Some(shapes) = self.wires.get_mut(place(&held)) {
            shapes.push((held, known));
        }
    }

    /// Returns whether small forms are known for barre chords on these strings.
    pub(super) fn has_small(&self) -> bool {
        !self.small.is_empty()
    }

    /// Returns whether `held` is a small form that stands in for a barre chord.
    pub(super) fn is_small(&self, held: &Held) -> bool {
        self.small.binary_search(held).is_ok()
    }

    /// Returns the shapes whose lowest finger stands at `lowest`.
    pub(super) fn from(&self, lowest: i8) -> &[(Held, TaughtAs)] {
        usize::try_from(lowest).ok().and_then(|place| self.wires.get(place)).map_or(&[], Vec::as_slice)
    }

    /// Returns how `held`, whose lowest finger stands at `lowest`, is taught; `None` where it is not.
    pub(super) fn get(&self, lowest: i8, held: &Held) -> Option<TaughtAs> {
        let shapes = self.from(lowest);
        let found = shapes.binary_search_by_key(held, |(held, _)| *held).ok()?;
        shapes.get(found).map(|(_, known)| *known)
    }
}

/// Returns the wire where the lowest finger of `held` stands; 0 where there is none.
fn place(held: &Held) -> usize {
    held.iter().filter(|wire| **wire > OPEN).min().and_then(|wire| usize::try_from(*wire).ok()).unwrap_or(0)
}

/// Returns the frets of a shape, [`MUTED`] and [`OPEN`] among them.
pub(super) fn frets(shape: &Shape) -> Vec<i8> {
    let fret = |fret: &Option<_>| fret.map_or(MUTED, |fret: crate::instrument::neck::Fret| fret.number() as i8);
    shape.strings().iter().map(fret).collect()
}

/// Returns `frets` moved up by `above` wires, with open strings left open; `None` where that leads past the last wire
/// that a neck can have.
fn held(frets: &[i8], above: i8) -> Option<Held> {
    let mut held = [MUTED; STRINGS];
    for (wire, fret) in held.iter_mut().zip(frets) {
        *wire = if *fret > OPEN { fret + above } else { *fret };
    }
    held.iter().all(|wire| usize::try_from(*wire).unwrap_or(0) < WIRES).then_some(held)
}

/// The shapes of one tuning.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TaughtFamily {
    #[serde(deserialize_with = "from_text")]
    pub(super) tuning: Tuning,
    /// The open shapes by which others are explained, each with its chord.
    #[serde(default, deserialize_with = "from_pairs")]
    pub(super) named_by: Vec<(ChordSymbol, Shape)>,
    #[serde(deserialize_with = "from_texts")]
    open: Vec<Shape>,
    #[serde(default, deserialize_with = "from_texts")]
    second: Vec<Shape>,
    #[serde(deserialize_with = "from_texts")]
    movable: Vec<Shape>,
    /// Movable ones that are taught while a full barre is too hard, and stand no further in front for it.
    #[serde(default, deserialize_with = "from_texts")]
    small: Vec<Shape>,
}

impl TaughtFamily {
    /// Returns whether the strings that `shape` sounds lie as far apart in `open` as in this tuning.
    fn fits(&self, shape: &Shape, open: &[u8]) -> bool {
        let strings = self.tuning.strings();
        if strings.len() != open.len() {
            return false;
        }
        // In which octave a string is makes no difference to what the fingers do.
        let above = |index: usize| (i16::from(open[index]) - i16::from(strings[index].midi().number())).rem_euclid(12);
        let mut sounding = (0..strings.len()).filter(|index| shape.strings()[*index].is_some()).map(above);
        let first = sounding.next();
        sounding.all(|other| Some(other) == first)
    }
}

fn from_text<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Tuning, D::Error> {
    String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
}

fn from_texts<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Shape>, D::Error> {
    let texts = Vec::<String>::deserialize(deserializer)?;
    texts.iter().map(|text| text.parse().map_err(serde::de::Error::custom)).collect()
}

fn from_pairs<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<(ChordSymbol, Shape)>, D::Error> {
    let texts = Vec::<(String, String)>::deserialize(deserializer)?;
    let pair = |(chord, shape): &(String, String)| {
        let chord = chord.parse().map_err(serde::de::Error::custom)?;
        Ok((chord, shape.parse().map_err(serde::de::Error::custom)?))
    };
    texts.iter().map(pair).collect()
}

/// Returns the table that is compiled in.
pub(super) fn families() -> &'static [TaughtFamily] {
    static FAMILIES: OnceLock<Vec<TaughtFamily>> = OnceLock::new();
    FAMILIES.get_or_init(|| {
        ron::from_str(include_str!("../../../assets/taught_shapes.ron"))
            .expect("a test reads the table that is compiled in")
    })
}

#[cfg(test)]
mod tests {
    use super::super::board::ChordBoard;
    use super::*;
    use crate::instrument::catalogue::setup_from_text;
    use crate::instrument::hand::Hand;
    use crate::instrument::neck::Fret;
    use crate::instrument::rig::Rig;

    #[test]
    fn every_shape_of_the_table_has_the_strings_of_its_tuning_and_can_be_held() {
        for family in families() {
            let (instrument, tuning) = setup_from_text(None, Some(&family.tuning.to_string())).unwrap();
            let rig = Rig::new(instrument, tuning, None).unwrap();
            let named_by = family.named_by.iter().map(|(_, shape)| shape);
            for shape in family.open.iter().chain(&family.second).chain(&family.movable).chain(named_by) {
                assert_eq!(shape.strings().len(), family.tuning.strings().len(), "{shape}");
                let held = |shape: &Shape| crate::instrument::fingering::fingering(&rig, shape, &Hand::default());
                // The widest of the movable ones are for frets that lie closer than the first.
                let further_up = |fret: &Fret| Fret::new(fret.number() + 1);
                let up = shape.strings().iter().map(|fret| fret.as_ref().and_then(further_up)).collect();
                let up = Shape::new(up).filter(|_| family.movable.contains(shape));
                assert!(held(shape).is_ok() || up.is_some_and(|up| held(&up).is_ok()), "{shape}");
            }
        }
    }

    #[test]
    fn shapes_hold_wherever_their_strings_lie_alike() {
        let taught = |tuning: &str, capo: Option<&str>, shape: &str| {
            let (instrument, tuning) = setup_from_text(Some("guitar"), Some(tuning)).unwrap();
            let rig = Rig::new(instrument, tuning, capo.map(|capo| capo.parse().unwrap())).unwrap();
            let shape: Shape = shape.parse().unwrap();
            let held = crate::instrument::fingering::held(&rig, &shape).unwrap();
            ChordBoard::of(&rig).taught.get(place(&held) as i8, &held)
        };
        for (tuning, capo, shape, expected) in [
            ("standard", None, "x32010", Some(TaughtAs::Open)),
            ("standard", None, "355433", Some(TaughtAs::Movable)),
            ("standard", Some("3"), "x32010", Some(TaughtAs::Open)),
            ("standard", Some("3"), "355433", Some(TaughtAs::Movable)),
            ("half step down", None, "x32010", Some(TaughtAs::Open)),
            // String 6 is silent, so that it does not matter how far it is lowered.
            ("drop D", None, "x32010", Some(TaughtAs::Open)),
            ("drop D", None, "320003", None),
            ("DADGAD", None, "x32010", None),
            ("standard", None, "x32011", None),
        ] {
            assert_eq!(taught(tuning, capo, shape), expected, "{tuning} {capo:?} {shape}");
        }
    }
}
