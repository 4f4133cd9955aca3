//! Chords: which voicing stands first, how a row of them is played, which fingers hold a shape.

use fingerpost::instrument::fingering::fingering;
use fingerpost::instrument::hand::Hand;
use fingerpost::instrument::neck::Shape;
use fingerpost::instrument::voicing::path::path;
use fingerpost::instrument::voicing::request::Request;
use fingerpost::instrument::voicing::search::voicings;
use fingerpost::theory::symbol::ChordSymbol;

use super::{Part, Share, answers, rig, shape};
use crate::reference::rows;

/// How many chords have a taught shape in the first place, and how many shapes that belong among the first ten are there.
/// No shape that does not belong there may be.
fn first_voicings(part: Part) -> [Share; 3] {
    let table = match part {
        Part::Seen => include_str!("../../practice/voicings.tsv"),
        Part::Held => include_str!("../../practice/held/voicings.tsv"),
    };
    let [mut first, mut among, mut kept_out] = [Share::default(); 3];
    for [instrument, tuning, symbol, shapes, wanted, unwanted] in
        rows(table, ["instrument", "tuning", "symbol", "first", "wanted", "unwanted"])
    {
        let symbol: ChordSymbol = symbol.parse().unwrap();
        let found = voicings(&rig(instrument, tuning), &symbol, &Request::default(), 10).unwrap();
        let has = |wanted: &str| found.iter().any(|voicing| voicing.shape == shape(wanted));
        let is_first = |wanted: &&str| found.first().is_some_and(|voicing| voicing.shape == shape(wanted));
        first.add(usize::from(answers(shapes).iter().any(is_first)), 1);
        for wanted in answers(wanted) {
            among.add(usize::from(has(wanted)), 1);
        }
        for unwanted in answers(unwanted) {
            kept_out.add(usize::from(!has(unwanted)), 1);
        }
    }
    [first, among, kept_out]
}

#[test]
fn the_taught_voicing_stands_first() {
    for (part, least) in [(Part::Seen, [960, 965, 1000]), (Part::Held, [860, 935, 1000])] {
        let what = ["first voicings", "wanted among ten", "unwanted kept out"];
        for ((share, least), what) in first_voicings(part).into_iter().zip(least).zip(what) {
            share.at_least(least, what, part);
        }
    }
}

/// How many steps of the rows are played as taught.
fn steps(part: Part) -> Share {
    let table = match part {
        Part::Seen => include_str!("../../practice/progressions.tsv"),
        Part::Held => include_str!("../../practice/held/progressions.tsv"),
    };
    let mut steps = Share::default();
    for [instrument, tuning, chords, way] in rows(table, ["instrument", "tuning", "chords", "way"]) {
        let chords: Vec<ChordSymbol> = chords.split_whitespace().map(|chord| chord.parse().unwrap()).collect();
        let found = path(&rig(instrument, tuning), None, &chords, &Request::default()).unwrap();
        let found: Vec<&Shape> = found.steps.iter().map(|step| &step.voicing.shape).collect();
        let right =
            |way: &&str| way.split_whitespace().zip(&found).filter(|(one, other)| shape(one) == ***other).count();
        steps.add(answers(way).iter().map(right).max().unwrap(), chords.len());
    }
    steps
}

#[test]
fn a_row_of_chords_is_played_as_taught() {
    steps(Part::Seen).at_least(810, "steps", Part::Seen);
    steps(Part::Held).at_least(850, "steps", Part::Held);
}

/// How many shapes are held by taught fingers.
fn held(part: Part) -> Share {
    let table = match part {
        Part::Seen => include_str!("../../practice/fingerings.tsv"),
        Part::Held => include_str!("../../practice/held/fingerings.tsv"),
    };
    let mut share = Share::default();
    for [instrument, tuning, held, fingers] in rows(table, ["instrument", "tuning", "shape", "fingers"]) {
        let shape = shape(held);
        let found = fingering(&rig(instrument, tuning), &shape, &Hand::default()).unwrap();
        let sign = |(fret, finger): (&Option<_>, &Option<fingerpost::instrument::hand::Finger>)| match (fret, finger) {
            (None, _) => 'x',
            (Some(_), None) => '0',
            (Some(_), Some(finger)) => char::from_digit(*finger as u32, 10).unwrap(),
        };
        let found: String = shape.strings().iter().zip(&found.fingers).map(sign).collect();
        let right = answers(fingers).iter().any(|fingers| *fingers == found);
        if !right {
            println!("{instrument} {tuning} {held}: {found}, taught {fingers}");
        }
        share.add(usize::from(right), 1);
    }
    share
}

#[test]
fn shapes_are_held_by_taught_fingers() {
    held(Part::Seen).at_least(800, "fingerings", Part::Seen);
    held(Part::Held).at_least(800, "fingerings", Part::Held);
}
