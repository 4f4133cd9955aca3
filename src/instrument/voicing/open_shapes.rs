//! Open shapes: the one beside the nut that a shape comes from, by which players explain it, as "the E shape at fret 1".
//!
//! Those by which others are named stand in `assets/taught_shapes.ron`. A shape comes from one of them where every string
//! that sounds stands so many frets above it, as if the nut had moved up. Some of the outer strings may be silent, as long
//! as every tone of the open shape still sounds: what lacks one is another chord.

use std::borrow::Cow;
use std::cmp::Reverse;

use super::taught::{families, frets};
use crate::instrument::fingering::{MUTED, STRINGS};
use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::text::quote::quoted;
use crate::theory::count;
use crate::theory::degree::Degree;
use crate::theory::pitch::{NoteName, PitchClass};
use crate::theory::pitch_set::PitchSet;
use crate::theory::reading::{Lowest, Reading};
use crate::theory::symbol::ChordSymbol;

/// The fewest strings that make a shape anybody would explain so.
const FEWEST: usize = 3;

/// The open shapes of a rig by which others are named.
#[derive(Debug)]
pub struct OpenShapes {
    list: Vec<PlacedShape>,
    /// Their chords as they are played, each once, in the order in which they are taught.
    chords: Vec<Cow<'static, ChordSymbol>>,
    strings: usize,
    /// Semitones from what is played to what sounds.
    raised: i32,
    lowest: Lowest,
}

/// An open shape as it lies on the strings of a rig.
#[derive(Debug)]
struct PlacedShape {
    chord: &'static ChordSymbol,
    /// For each string its fret, [`MUTED`] where it is silent.
    frets: [i8; STRINGS],
    /// The first string that sounds, and the last.
    ends: (usize, usize),
    /// For each string how far it is tuned above the one that the shape is taught on, within an octave.
    above: [u8; STRINGS],
    /// For each string the tone that it sounds where the shape is taught.
    tones: [u8; STRINGS],
    all: PitchSet,
}

/// No open shape has that name.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{}` is not an open shape that others are named by in this tuning: expected {}", quoted(.text), one_of(.known))]
pub struct OpenShapeError {
    /// What was typed.
    pub text: String,
    /// The chords of those that there are.
    pub known: Vec<String>,
}

fn one_of(names: &[String]) -> String {
    match names {
        [] => "none, because none is taught here".to_owned(),
        [only] => only.clone(),
        [rest @ .., last] => format!("{} or {last}", rest.join(", ")),
    }
}

/// The open shape that a shape comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenShape {
    /// Its chord, as it is played.
    pub chord: Cow<'static, ChordSymbol>,
    /// How many frets the nut has moved up, usually to where the barre is; 0 for the open shape itself.
    pub fret: u8,
    /// The strings of the open shape that are silent, the highest number first.
    pub silent: Vec<StringNumber>,
    /// How many of these lie before those that sound.
    below: usize,
    lowest: Lowest,
}

impl OpenShapes {
    /// Finds those that lie on the strings of `rig` as they are taught, however high or low.
    pub fn on(rig: &Rig) -> Self {
        let sounding = |string| rig.sounding(string, Fret::OPEN).ok();
        let open: Vec<i32> = rig.strings().filter_map(sounding).map(|note| note.number().into()).collect();
        let strings = open.len().min(STRINGS);
        let taught = || families().iter().filter(|family| !family.named_by.is_empty());
        // An instrument with more strings has the shapes on some that lie side by side.
        let most = taught().map(|family| family.tuning.strings().len()).filter(|count| *count <= strings).max();
        let mut list = Vec::new();
        for family in taught().filter(|family| Some(family.tuning.strings().len()) == most) {
            let theirs: Vec<i32> = family.tuning.strings().iter().map(|open| open.midi().number().into()).collect();
            for from in 0..=strings - theirs.len() {
                let placed = |(chord, shape)| PlacedShape::new(chord, shape, &theirs, (&open, from));
                list.extend(family.named_by.iter().map(|(chord, shape)| placed((chord, shape))));
            }
        }
        let raised = rig.played_as().semitones();
        let mut shapes = Self { list, chords: Vec::new(), strings, raised, lowest: rig.lowest_is() };
        let all = shapes.list.iter().map(|placed| shapes.played(placed, placed.ends.1));
        shapes.chords = all.fold(Vec::new(), |mut chords, chord| {
            if !chords.contains(&chord) {
                chords.push(chord);
            }
            chords
        });
        shapes
    }

    /// Returns the chord whose open shape is meant by `text`. Errors: there is none of that name here.
    pub fn called(&self, text: &str) -> Result<ChordSymbol, OpenShapeError> {
        let name: Option<ChordSymbol> = text.trim().parse().ok();
        let found = name.filter(|name| self.chords.iter().any(|chord| is_called(chord, name)));
        found.ok_or_else(|| OpenShapeError {
            text: text.trim().to_owned(),
            known: self.chords.iter().map(ToString::to_string).collect(),
        })
    }

    /// Returns the place of the open shape that `shape` comes from in their order, and how far up the neck it lies; those
    /// that come from none are last.
    pub fn place(&self, shape: &Shape) -> (usize, u8) {
        let place = |open: OpenShape| {
            let place = self.chords.iter().position(|chord| *chord == open.chord)?;
            Some((place, open.fret))
        };
        self.of(shape).and_then(place).unwrap_or((usize::MAX, 0))
    }

    /// Returns the open shape that `shape` comes from: one that is whole before one of which strings are silent, and of
    /// those the one that has the fewest silent. `None` where players name none.
    pub fn of(&self, shape: &Shape) -> Option<OpenShape> {
        if shape.strings().len() != self.strings {
            return None;
        }
        let mut held = [MUTED; STRINGS];
        for (fret, written) in held.iter_mut().zip(shape.strings()) {
            *fret = written.map_or(MUTED, |written| written.number() as i8);
        }
        let first = held.iter().position(|fret| *fret != MUTED)?;
        let last = held.iter().rposition(|fret| *fret != MUTED)?;
        let sounding = held.get(first..=last)?;
        if sounding.len() < FEWEST || sounding.contains(&MUTED) {
            return None;
        }
        let sought = self.list.iter().filter_map(|placed| {
            let (missing, fret) = placed.found_in(sounding, first, last)?;
            // A triad is the plainer of two; then the one whose nut lies nearest the fingers.
            Some(((missing, placed.chord.formula().len(), Reverse(fret)), placed))
        });
        let ((_, _, Reverse(fret)), placed) = sought.min_by_key(|(price, _)| *price)?;
        let before = (placed.ends.0..first).chain(last + 1..placed.ends.1 + 1);
        Some(OpenShape {
            chord: self.played(placed, first),
            fret,
            silent: before.filter_map(|index| StringNumber::at(index, self.strings)).collect(),
            below: first - placed.ends.0,
            lowest: self.lowest,
        })
    }

    /// Returns the chord of an open shape as it is played here: on a smaller instrument the same fingers make another one.
    fn played(&self, placed: &PlacedShape, string: usize) -> Cow<'static, ChordSymbol> {
        let above = placed.above.get(string).copied().unwrap_or(0);
        match (i32::from(above) - self.raised).rem_euclid(12) {
            0 => Cow::Borrowed(placed.chord),
            up => Cow::Owned(placed.chord.moved(up, None)),
        }
    }
}

impl PlacedShape {
    /// Places a shape that is taught on the strings `theirs` on the strings `open`, of which the first `from` are silent.
    fn new(chord: &'static ChordSymbol, shape: &Shape, theirs: &[i32], (open, from): (&[i32], usize)) -> Self {
        let mut placed = Self {
            chord,
            frets: [MUTED; STRINGS],
            ends: (STRINGS, 0),
            above: [0; STRINGS],
            tones: [0; STRINGS],
            all: PitchSet::EMPTY,
        };
        let strings = frets(shape).into_iter().zip(theirs).zip(open.iter().skip(from)).zip(from..STRINGS);
        for (((fret, taught), open), index) in strings.filter(|(((fret, _), _), _)| *fret != MUTED) {
            placed.ends = (placed.ends.0.min(index), placed.ends.1.max(index));
            placed.frets[index] = fret;
            placed.above[index] = (open - taught).rem_euclid(12) as u8;
            placed.tones[index] = (taught + i32::from(fret)).rem_euclid(12) as u8;
            placed.all = placed.all.with_class(placed.tones[index]);
        }
        placed
    }

    /// Returns how many of its strings are silent in what is held on the strings from `first` to `last`, and how many frets
    /// the nut has moved up; `None` where that does not come from it.
    fn found_in(&self, sounding: &[i8], first: usize, last: usize) -> Option<(usize, u8)> {
        if first < self.ends.0 || last > self.ends.1 {
            return None;
        }
        let missing = first - self.ends.0 + self.ends.1 - last;
        // A few strings of a seventh chord are its shell, which is a form of its own.
        if missing > 0 && sounding.len() < self.chord.formula().len() {
            return None;
        }
        let own = self.frets.get(first..=last)?;
        let up = sounding.first()? - own.first()?;
        if up < 0 || sounding.iter().zip(own).any(|(fret, own)| fret - own != up) || !self.lies_alike(first, last) {
            return None;
        }
        let sounds: PitchSet =
            self.tones.get(first..=last)?.iter().map(|tone| PitchClass::of(i32::from(*tone))).collect();
        (sounds == self.all).then_some((missing, u8::try_from(up).ok()?))
    }

    /// Returns whether the strings from `first` to `last` lie apart as where the shape is taught.
    fn lies_alike(&self, first: usize, last: usize) -> bool {
        let above = self.above.get(first..=last).unwrap_or_default();
        above.iter().all(|other| Some(other) == above.first())
    }
}

impl OpenShape {
    /// Returns it in words: `E shape at fret 3 without its bottom two strings`.
    pub fn in_words(&self) -> String {
        let shape = match self.fret {
            0 => format!("open {} shape", self.chord),
            fret => format!("{} shape at fret {fret}", self.chord),
        };
        match self.silent_in_words() {
            Some(silent) => format!("{shape} without {silent}"),
            None => shape,
        }
    }

    /// Returns the same where it says more than the name of the chord does: nothing of a whole open shape.
    pub fn where_it_helps(&self) -> Option<String> {
        self.is_elsewhere().then(|| self.in_words())
    }

    /// Returns whether it lies further up the neck than the open shape, or lacks some of its strings.
    pub const fn is_elsewhere(&self) -> bool {
        self.fret > 0 || !self.silent.is_empty()
    }

    fn silent_in_words(&self) -> Option<String> {
        let (below, above) = self.silent.split_at_checked(self.below)?;
        if self.silent.is_empty() {
            return None;
        }
        // Nobody can say which string is the bottom one where the tuning is re-entrant.
        if self.lowest == Lowest::AnyTone {
            let numbers: Vec<String> = self.silent.iter().map(ToString::to_string).collect();
            return Some(match numbers.as_slice() {
                [only] => format!("string {only}"),
                several => format!("strings {}", several.join(" and ")),
            });
        }
        let told = |side: &str, strings: usize| match strings {
            1 => format!("{side} string"),
            several => format!("{side} {} strings", count(several)),
        };
        Some(match (below.len(), above.len()) {
            (1, 1) => "its bottom and top strings".to_owned(),
            (below, 0) => format!("its {}", told("bottom", below)),
            (0, above) => format!("its {}", told("top", above)),
            (below, above) => format!("its {} and its {}", told("bottom", below), told("top", above)),
        })
    }

    /// Returns whether `name` asks for it: the chord itself, or its root alone, which stands for all of that root.
    pub fn is_called(&self, name: &ChordSymbol) -> bool {
        is_called(&self.chord, name)
    }

    /// Returns whether `reading` is the chord that this shape makes. What sounds is `raised` semitones above what is played;
    /// 0 where the reading is of what is played.
    pub fn makes(&self, reading: &Reading, raised: i32) -> bool {
        self.makes_chord(reading.root, &reading.formula, raised)
    }

    /// Returns the same as [`OpenShape::makes`], of a reading that has this root and formula.
    pub fn makes_chord(&self, root: Option<NoteName>, formula: &[Degree], raised: i32) -> bool {
        let up = i32::from(self.fret) + raised + i32::from(self.chord.root().pitch_class().number());
        root.map(NoteName::pitch_class) == Some(PitchClass::of(up)) && formula == self.chord.formula()
    }
}

fn is_called(chord: &ChordSymbol, name: &ChordSymbol) -> bool {
    let bare = name.suffix().is_empty();
    let same_root = chord.root().pitch_class() == name.root().pitch_class();
    same_root && name.bass().is_none() && (bare || chord.formula() == name.formula())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::catalogue::setup_from_text;

    fn rig(instrument: Option<&str>, tuning: &str, capo: Option<&str>) -> Rig {
        let (instrument, tuning) = setup_from_text(instrument, Some(tuning)).unwrap();
        Rig::new(instrument, tuning, capo.map(|capo| capo.parse().unwrap())).unwrap()
    }

    #[track_caller]
    fn said(instrument: &str, tuning: &str, capo: Option<&str>, shape: &str) -> String {
        let found = OpenShapes::on(&rig(Some(instrument), tuning, capo)).of(&shape.parse().unwrap());
        found.map_or("none".to_owned(), |found| found.in_words())
    }

    #[test]
    fn a_shape_is_told_by_the_open_one_it_comes_from() {
        // Common practice, no published source.
        for (instrument, tuning, capo, shape, expected) in [
            ("guitar", "standard", None, "133211", "E shape at fret 1"),
            ("guitar", "standard", None, "022100", "open E shape"),
            ("guitar", "standard", None, "xx3211", "E shape at fret 1 without its bottom two strings"),
            ("guitar", "standard", None, "x7999x", "A shape at fret 7 without its top string"),
            ("guitar", "standard", None, "xx564x", "none"),
            ("guitar", "standard", None, "xxx565", "D shape at fret 3 without its bottom string"),
            ("guitar", "standard", None, "xx312x", "C shape at fret 1 without its bottom and top strings"),
            ("guitar", "drop D", None, "x43121", "C shape at fret 1"),
            ("guitar", "drop D", None, "x33211", "E shape at fret 1 without its bottom string"),
            ("guitar", "drop D", None, "333211", "E shape at fret 1"),
            ("guitar", "drop D", None, "555333", "Em shape at fret 3"),
            ("guitar", "drop D", None, "222454", "D shape at fret 2"),
            ("guitar", "drop D", None, "133211", "none"),
            ("guitar", "DADGAD", None, "x43121", "none"),
            ("guitar", "DADGAD", None, "559755", "D shape at fret 5"),
            ("guitar", "DADGAD", None, "5-5-8-7-5-5", "Dm shape at fret 5"),
            ("guitar", "DADGAD", None, "x9755x", "none"),
            ("guitar", "DADGAD", None, "xx2242", "G shape at fret 2 without its bottom two strings"),
            ("guitar", "open G", None, "x55555", "G shape at fret 5"),
            ("guitar", "open G", None, "555555", "G shape at fret 5"),
            ("guitar", "open G", None, "x24234", "C shape at fret 2"),
            ("guitar", "open G", None, "xx7557", "Em shape at fret 5"),
            ("guitar", "open A", None, "x55555", "A shape at fret 5"),
            ("guitar", "half step down", None, "133211", "E shape at fret 1"),
            ("guitar", "standard", Some("2"), "133211", "E shape at fret 1"),
            ("guitar", "standard", Some("2"), "x32010", "open C shape"),
            ("7-string guitar", "standard", None, "x133211", "E shape at fret 1"),
            ("ukulele", "standard", None, "4442", "D shape at fret 2"),
            ("ukulele", "standard", None, "x343", "F shape at fret 3 without string 4"),
            // A fourth lower than a ukulele, the same fingers make other chords.
            ("baritone ukulele", "standard", None, "2225", "G shape at fret 2"),
            ("baritone ukulele", "standard", None, "4232", "C shape at fret 2"),
            ("baritone ukulele", "standard", None, "4342", "C#m shape at fret 2"),
            ("ukulele", "standard", None, "3231", "F#m shape at fret 1"),
            ("ukulele", "standard", None, "2222", "Am7 shape at fret 2"),
            ("mandolin", "standard", None, "3442", "E shape at fret 2"),
            ("mandolin", "standard", None, "5244", "none"),
            ("banjo", "standard", None, "x5435", "F shape at fret 2"),
            ("mandolin", "standard", None, "2245", "G shape at fret 2"),
        ] {
            assert_eq!(said(instrument, tuning, capo, shape), expected, "{instrument} {tuning} {capo:?} {shape}");
        }
    }

    #[test]
    fn power_chords_shells_and_stacks_of_fourths_have_none() {
        for shape in ["355xxx", "x355xx", "3x34xx", "x535xx", "x757xx", "x3334x", "x5555x", "3x343x", "xxxx33"] {
            assert_eq!(said("guitar", "standard", None, shape), "none", "{shape}");
        }
    }

    /// The strings and the capo that the properties are tried on.
    const RIGS: [(&str, &str, Option<&str>); 12] = [
        ("guitar", "standard", None),
        ("guitar", "standard", Some("3")),
        ("guitar", "drop D", None),
        ("guitar", "DADGAD", None),
        ("guitar", "open G", None),
        ("guitar", "open E", None),
        ("7-string guitar", "standard", None),
        ("ukulele", "standard", None),
        ("baritone ukulele", "standard", None),
        ("baritone ukulele", "standard", Some("2")),
        ("mandolin", "standard", None),
        ("banjo", "standard", None),
    ];

    /// Shapes that come from an open one, shapes that nearly do, and shapes that do not.
    fn tried(strings: usize) -> Vec<Shape> {
        let mut tried: Vec<Vec<i8>> = Vec::new();
        for (_, shape) in families().iter().flat_map(|family| &family.named_by) {
            for (up, before) in (0..5).flat_map(|up| (0..2).map(move |before| (up, before))) {
                let moved = frets(shape).into_iter().map(|fret| if fret == MUTED { MUTED } else { fret + up });
                let moved: Vec<i8> = std::iter::repeat_n(MUTED, before).chain(moved).collect();
                if moved.len() != strings {
                    continue;
                }
                for index in 0..strings {
                    for other in [MUTED, moved[index] + 1, (moved[index] - 1).max(0)] {
                        let mut near = moved.clone();
                        near[index] = other;
                        tried.push(near);
                    }
                }
                tried.push(moved);
            }
        }
        let text = |frets: &Vec<i8>| {
            let fret = |fret: &i8| if *fret == MUTED { "x".to_owned() } else { fret.to_string() };
            frets.iter().map(fret).collect::<Vec<String>>().join(" ")
        };
        tried.iter().filter_map(|frets| text(frets).parse().ok()).collect()
    }

    #[test]
    fn a_shape_comes_from_an_open_one_only_where_that_moved_up_without_the_silent_strings_is_it() {
        let mut told = 0;
        for (instrument, tuning, capo) in RIGS {
            let rig = rig(Some(instrument), tuning, capo);
            let shapes = OpenShapes::on(&rig);
            let strings = rig.strings().count();
            for shape in tried(strings) {
                let Some(found) = shapes.of(&shape) else { continue };
                told += 1;
                let silent = |index| StringNumber::at(index, strings).is_some_and(|at| found.silent.contains(&at));
                let is_it = |(at, open): (usize, &Shape)| {
                    let open = frets(open);
                    let moved =
                        (0..strings).map(|index| match index.checked_sub(at).and_then(|index| open.get(index)) {
                            Some(fret) if *fret != MUTED && !silent(index) => fret + i8::try_from(found.fret).unwrap(),
                            _ => MUTED,
                        });
                    moved.eq(frets(&shape))
                };
                let open = families().iter().flat_map(|family| &family.named_by).map(|(_, open)| open);
                let mut places =
                    open.flat_map(|open| (0..=strings.saturating_sub(open.strings().len())).map(move |at| (at, open)));
                assert!(places.any(is_it), "{instrument} {tuning} {capo:?} {shape}: {}", found.in_words());
                // What sounds is that chord as many frets higher, and of what it teaches nothing but a fifth is missing.
                let up = i32::from(found.fret) + rig.played_as().semitones();
                let chord = found.chord.moved(up, None).pitch_classes();
                let sounds: PitchSet = rig.heard(&shape).iter().flatten().map(|note| note.pitch_class()).collect();
                let what = format!("{instrument} {tuning} {capo:?} {shape}: {}", found.in_words());
                assert!(sounds.minus(chord).is_empty() && chord.minus(sounds).len() <= 1, "{what}");
            }
        }
        assert!(told > 2000, "{told}");
    }

    #[test]
    fn every_open_shape_moved_up_is_told_by_it() {
        for family in families().iter().filter(|family| !family.named_by.is_empty()) {
            let tuning = family.tuning.to_string();
            let shapes = OpenShapes::on(&rig(None, &tuning, None));
            for (chord, open) in &family.named_by {
                for up in 1..=7 {
                    let moved = open
                        .strings()
                        .iter()
                        .map(|fret| fret.map_or("x".to_owned(), |fret| (fret.number() + up).to_string()));
                    let moved: Shape = moved.collect::<Vec<String>>().join(" ").parse().unwrap();
                    let found = shapes.of(&moved).unwrap_or_else(|| panic!("{tuning} {moved}"));
                    assert_eq!((found.chord.as_ref(), found.fret), (chord, up), "{tuning} {moved}");
                    assert!(found.silent.is_empty(), "{tuning} {moved}");
                }
            }
        }
    }

    #[test]
    fn no_open_shape_is_another_moved_up_and_each_sounds_its_chord() {
        for family in families() {
            let tuning = family.tuning.to_string();
            let rig = rig(None, &tuning, None);
            let shapes = OpenShapes::on(&rig);
            for (chord, shape) in &family.named_by {
                let found = shapes.of(shape).unwrap_or_else(|| panic!("{tuning}: {chord} {shape}"));
                assert_eq!((found.chord.as_ref(), found.fret), (chord, 0), "{tuning}: {shape}");
                assert!(found.silent.is_empty(), "{tuning}: {shape}");
                let sounding: PitchSet = rig.heard(shape).iter().flatten().map(|note| note.pitch_class()).collect();
                let missing = chord.pitch_classes().minus(sounding);
                assert!(sounding.minus(chord.pitch_classes()).is_empty(), "{tuning}: {shape}");
                // At most the fifth, or the fifth of a ninth, is left out.
                assert!(missing.len() <= 1, "{tuning}: {chord} {shape}");
            }
        }
    }
}
