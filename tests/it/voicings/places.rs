//! Where well-known voicings stand in the list: those of an open dataset (`crate::published`), and those every
//! teacher shows (common practice, no published source).

use std::collections::BTreeMap;

use fingerpost::instrument::neck::{Fret, Shape};
use fingerpost::instrument::rig::Rig;

use fingerpost::instrument::voicing::request::Request;
use fingerpost::instrument::voicing::search::voicings;

use super::{all, rig};
use crate::published::{Fingering, Instrument, fingerings};

/// Half of the keys, as the datasets spell them: without optimisation the whole takes too long for a test.
const KEYS: [&str; 8] = ["C", "Eb", "F#", "Gb", "A", "D", "G#", "Ab"];

/// Where each sound published row of some keys stands in the list of its symbol, from 0; `None` where it is not in it.
fn places(on: Instrument, rig: &Rig) -> Vec<(Fingering, Option<usize>)> {
    let mut by_symbol: BTreeMap<String, Vec<Fingering>> = BTreeMap::new();
    for row in fingerings(on).into_iter().filter(|row| KEYS.contains(&row.key) && row.is_pure(on)) {
        by_symbol.entry(row.symbol.clone()).or_default().push(row);
    }
    let mut places = Vec::new();
    for (symbol, rows) in by_symbol {
        // A few chords have more tones that must sound than a ukulele has strings.
        let found = voicings(rig, &super::symbol(&symbol), &Request::default(), usize::MAX).unwrap_or_default();
        for row in rows {
            let shape = Shape::new(row.frets.iter().map(|fret| fret.and_then(Fret::new)).collect()).unwrap();
            let place = found.iter().position(|voicing| voicing.shape == shape);
            places.push((row, place));
        }
    }
    places
}

/// Suffixes whose published rows are left out of the count of the full list, and why.
const NOT_EXPECTED: &[(Instrument, &str, &str)] =
    &[(Instrument::Ukulele, "13b5b9", "five tones must sound on four strings; the dataset leaves out the third")];

/// Else missing, on the guitar: a C9 without its seventh, an Eb minor-major ninth without its root, and three rows whose
/// printed fingers are crossed or stand at two frets.
#[test]
fn published_voicings_stand_in_front_and_practically_all_are_found() {
    for (on, name, first) in [(Instrument::Guitar, "guitar", 0.72), (Instrument::Ukulele, "ukulele", 0.96)] {
        let mut places = places(on, &rig(name, "standard", None));
        let share = |places: &[(Fingering, Option<usize>)], limit: usize| {
            let within = places.iter().filter(|(_, place)| place.is_some_and(|place| place < limit));
            within.count() as f64 / places.len() as f64
        };
        assert!(places.len() >= 1000);
        assert!(share(&places, 20) >= first, "{name}: {:.3}", share(&places, 20));
        for (_, suffix, reason) in NOT_EXPECTED.iter().filter(|(not_on, ..)| *not_on == on) {
            let listed = places.iter().filter(|(row, _)| row.suffix == *suffix);
            assert!(
                listed.clone().count() > 0 && listed.clone().all(|(_, place)| place.is_none()),
                "{suffix}: {reason}"
            );
        }
        places
            .retain(|(row, _)| !NOT_EXPECTED.iter().any(|(not_on, suffix, _)| (*not_on, *suffix) == (on, row.suffix)));
        let missing: Vec<String> = places
            .iter()
            .filter(|(_, place)| place.is_none())
            .map(|(row, _)| format!("{} {:?}", row.symbol, row.frets))
            .collect();
        assert!(share(&places, usize::MAX) >= 0.99, "{name}: {missing:#?}");
    }
}

#[track_caller]
fn check(instrument: &str, limit: usize, rows: &[(&str, &str)]) {
    let rig = rig(instrument, "standard", None);
    let mut late = Vec::new();
    for (symbol, shape) in rows {
        let wanted: Shape = shape.parse().unwrap();
        let place = all(&rig, symbol).iter().position(|voicing| voicing.shape == wanted);
        if place.is_none_or(|place| place >= limit) {
            late.push(format!("{symbol} {shape}: {:?}", place.map(|place| place + 1)));
        }
    }
    assert!(late.is_empty(), "not among the first {limit}: {late:#?}");
}

#[test]
fn what_a_beginner_is_shown_for_a_chord_stands_first() {
    check(
        "guitar",
        1,
        &[
            ("C", "x 3 2 0 1 0"),
            ("G", "3 2 0 0 0 3"),
            ("D", "x x 0 2 3 2"),
            ("A", "x 0 2 2 2 0"),
            ("E", "0 2 2 1 0 0"),
            ("F", "1 3 3 2 1 1"),
            ("Am", "x 0 2 2 1 0"),
            ("Em", "0 2 2 0 0 0"),
            ("Dm", "x x 0 2 3 1"),
            ("Bm", "x 2 4 4 3 2"),
            ("Cm", "x 3 5 5 4 3"),
            ("F#m", "2 4 4 2 2 2"),
            ("B7", "x 2 1 2 0 2"),
            ("E7", "0 2 0 1 0 0"),
            ("A7", "x 0 2 0 2 0"),
            ("D7", "x x 0 2 1 2"),
            ("G7", "3 2 0 0 0 1"),
            ("C7", "x 3 2 3 1 0"),
            ("Cmaj7", "x 3 2 0 0 0"),
            ("Am7", "x 0 2 0 1 0"),
            ("Dm7", "x x 0 2 1 1"),
            ("Em7", "0 2 0 0 0 0"),
            ("Asus2", "x 0 2 2 0 0"),
            ("Asus4", "x 0 2 2 3 0"),
            ("Dsus4", "x x 0 2 3 3"),
            ("Esus4", "0 2 2 2 0 0"),
            ("Cadd9", "x 3 2 0 3 0"),
            ("D/F#", "2 0 0 2 3 2"),
            ("E5", "0 2 2 x x x"),
            ("A5", "x 0 2 2 x x"),
            ("G5", "3 5 5 x x x"),
        ],
    );
    check("5-string banjo", 2, &[("G", "0 0 0 0 0"), ("C", "x 2 0 1 2")]);
}

#[test]
fn the_other_shapes_that_every_teacher_shows_stand_in_front() {
    check(
        "guitar",
        3,
        &[
            ("Fmaj7", "x x 3 2 1 0"),
            ("Bb", "x 1 3 3 3 1"),
            ("Gm", "3 5 5 3 3 3"),
            ("Amaj7", "x 0 2 1 2 0"),
            ("Dmaj7", "x x 0 2 2 2"),
            ("Dsus2", "x x 0 2 3 0"),
            ("Fm", "1 3 3 1 1 1"),
            ("C#m", "x 4 6 6 5 4"),
            ("F#", "2 4 4 3 2 2"),
            ("Bbm", "x 1 3 3 2 1"),
            ("F7", "1 3 1 2 1 1"),
            ("Bb7", "x 1 3 1 3 1"),
        ],
    );
    check(
        "ukulele",
        2,
        &[
            ("C", "0 0 0 3"),
            ("F", "2 0 1 0"),
            ("Am", "2 0 0 0"),
            ("G7", "0 2 1 2"),
            ("G", "0 2 3 2"),
            ("C7", "0 0 0 1"),
            ("A", "2 1 0 0"),
            ("A7", "0 1 0 0"),
            ("Dm", "2 2 1 0"),
            ("D", "2 2 2 0"),
            ("Em", "0 4 3 2"),
            ("Bb", "3 2 1 1"),
            ("E7", "1 2 0 2"),
            ("Gm", "0 2 3 1"),
            ("Am7", "0 0 0 0"),
            ("Cmaj7", "0 0 0 2"),
            ("D7", "2 2 2 3"),
            ("Bm", "4 2 2 2"),
        ],
    );
}

#[test]
fn the_voicings_of_jazz_stand_among_the_first() {
    // Shells, drop 2 on the four inner and upper strings, drop 3 from string 6.
    check(
        "guitar",
        25,
        &[
            ("G7", "3 x 3 4 3 x"),
            ("Gmaj7", "3 x 4 4 3 x"),
            ("Gm7", "3 x 3 3 3 x"),
            ("Gm7b5", "3 x 3 3 2 x"),
            ("Gdim7", "3 x 2 3 2 x"),
            ("G6", "3 x 2 4 3 x"),
            ("Gm6", "3 x 2 3 3 x"),
            ("C7", "x 3 5 3 5 x"),
            ("Cmaj7", "x 3 5 4 5 x"),
            ("Cm7", "x 3 5 3 4 x"),
            ("Cm7b5", "x 3 4 3 4 x"),
            ("C9", "x 3 2 3 3 x"),
            ("Cmaj9", "x 3 2 4 3 x"),
            ("C7b9", "x 3 2 3 2 x"),
            ("C7#9", "x 3 2 3 4 x"),
            ("Cm9", "x 3 1 3 3 x"),
            ("Fmaj7", "x x 3 5 5 5"),
            ("F7", "x x 3 5 4 5"),
            ("Fm7", "x x 3 5 4 4"),
            ("Fm7b5", "x x 3 4 4 4"),
        ],
    );
}

#[test]
fn power_chords_start_from_their_root() {
    check(
        "guitar",
        5,
        &[
            ("E5", "0 2 2 x x x"),
            ("A5", "x 0 2 2 x x"),
            ("G5", "3 5 5 x x x"),
            ("C5", "x 3 5 5 x x"),
            ("F5", "1 3 3 x x x"),
        ],
    );
}

#[test]
fn shapes_nobody_plays_stay_behind() {
    // Common practice, no published source: nobody lays another finger across at the fret where the index finger
    // stands, to spare one open string, nor goes up the neck for a plain minor chord over an open string.
    let rig = rig("guitar", "standard", None);
    for (symbol, odd, usual) in [
        ("F", "1 0 3 2 1 1", "x 3 3 2 1 1"),
        ("F#m", "2 0 4 2 2 2", "x 4 4 2 2 2"),
        ("Bb", "x 1 0 3 3 1", "x 1 3 3 3 1"),
        ("Dm", "x x 0 10 10 10", "x 5 7 7 6 5"),
    ] {
        let found = all(&rig, symbol);
        let place = |shape: &str| found.iter().position(|voicing| voicing.shape.to_string() == shape);
        assert!(place(usual).is_some() && place(usual) < place(odd), "{symbol} {odd}: {:?}", place(odd));
    }
}

#[test]
fn the_first_chords_of_a_ukulele_stand_first() {
    // What every first lesson shows; common practice, no published source.
    let rig = rig("ukulele", "standard", None);
    for (symbol, shape) in [
        ("C", "0 0 0 3"),
        ("F", "2 0 1 0"),
        ("G", "0 2 3 2"),
        ("Am", "2 0 0 0"),
        ("Dm", "2 2 1 0"),
        ("A", "2 1 0 0"),
        ("D", "2 2 2 0"),
        ("Bb", "3 2 1 1"),
        ("E7", "1 2 0 2"),
        ("G7", "0 2 1 2"),
        ("C7", "0 0 0 1"),
    ] {
        assert_eq!(all(&rig, symbol)[0].shape.to_string(), shape, "{symbol}");
    }
}
