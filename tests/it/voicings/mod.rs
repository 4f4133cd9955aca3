//! Voicings: the search against plain enumeration, published fingerings, well-known first places, names.

mod brute;
mod clutter;
mod enumerated;
mod named;
mod places;

use fingerpost::instrument::hand::{Hand, HandSize};
use fingerpost::instrument::neck::{Fret, Shape};
use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::voicing::board::ChordBoard;
use fingerpost::instrument::voicing::request::Request;
use fingerpost::instrument::voicing::search::{FoundVoicing, voicings};
use fingerpost::theory::symbol::ChordSymbol;
use proptest::prelude::*;

use crate::fingering::{fault, rig};

pub fn symbol(text: &str) -> ChordSymbol {
    text.parse().unwrap_or_else(|error| panic!("{text}: {error}"))
}

/// Every voicing of a chord, best first.
fn all(rig: &Rig, text: &str) -> Vec<FoundVoicing> {
    voicings(rig, &symbol(text), &Request::default(), usize::MAX).unwrap()
}

/// The qualities that are looked for in these tests, as suffixes.
const QUALITIES: [&str; 65] = [
    "", "m", "dim", "aug", "5", "sus2", "sus4", "sus2sus4", "6", "m6", "6/9", "m6/9", "maj7", "7", "m7", "m(maj7)",
    "m7b5", "dim7", "7#5", "maj7#5", "7sus4", "7sus2", "9", "maj9", "m9", "m(maj9)", "9sus4", "11", "m11", "maj11",
    "13", "maj13", "m13", "13sus4", "add9", "m(add9)", "add11", "add#11", "6sus4", "7b5", "7b9", "7#9", "7#11", "7b13",
    "9b5", "9#5", "9#11", "maj7#11", "maj9#11", "maj7b5", "13b9", "13#11", "7b9b13", "7#9b13", "7alt", "7no3",
    "maj7no3", "7sus4b9", "13#9", "m7add11", "7#5#9", "7b5b9", "m9b5", "6/9#11", "(b5)",
];

/// Symbols for the properties: a root, a quality, perhaps over some bass.
pub fn any_symbol() -> impl Strategy<Value = ChordSymbol> {
    const NOTES: [&str; 12] = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];
    let bass = prop_oneof![3 => Just(None), 1 => proptest::sample::select(NOTES.as_slice()).prop_map(Some)];
    (proptest::sample::select(NOTES.as_slice()), proptest::sample::select(QUALITIES.as_slice()), bass).prop_map(
        |(root, quality, bass)| {
            symbol(&format!("{root}{quality}{}", bass.map_or(String::new(), |bass| format!("/{bass}"))))
        },
    )
}

const RIGS: [(&str, &str, Option<u8>); 8] = [
    ("guitar", "standard", None),
    ("guitar", "standard", Some(3)),
    ("guitar", "DADGAD", None),
    ("guitar", "open G", Some(2)),
    ("ukulele", "standard", None),
    ("mandolin", "standard", None),
    ("banjo", "open G", None),
    ("7-string guitar", "standard", None),
];

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn every_voicing_keeps_what_is_promised(place in 0..RIGS.len(), symbol in any_symbol(), size in 0..3usize, limit in 0..40usize) {
        let (instrument, tuning, capo) = RIGS[place];
        let rig = rig(instrument, tuning, capo);
        let request = Request { hand: Hand::new(HandSize::ALL[size]), ..Request::default() };
        let Ok(found) = voicings(&rig, &symbol, &request, usize::MAX) else { return Ok(()) };
        // Sorted, none twice, and what is asked for is the beginning of the list; the same every time.
        prop_assert!(found.is_sorted_by_key(|voicing| voicing.cost));
        let mut shapes: Vec<&Shape> = found.iter().map(|voicing| &voicing.shape).collect();
        shapes.sort();
        prop_assert!(shapes.windows(2).all(|pair| pair[0] != pair[1]));
        let first = voicings(&rig, &symbol, &request, limit).unwrap();
        prop_assert_eq!(&first[..], &found[..limit.min(found.len())]);
        for voicing in found.iter().step_by(1 + found.len() / 300) {
            let broken = fault(&rig, &voicing.shape, &voicing.fingering, &request.hand);
            prop_assert_eq!(broken, None, "{} {}", symbol, voicing.shape);
            prop_assert!(rig.reach(&voicing.shape).unwrap().0 <= request.hand.reach().0 + 0.01);
            let notes = rig.notes(&voicing.shape).unwrap();
            let only = notes.iter().flatten().all(|note| symbol.pitch_classes().has(note.number() % 12));
            prop_assert!(only, "{} {}", symbol, voicing.shape);
        }
    }
}

#[test]
fn the_tones_that_name_a_chord_sound_in_every_voicing() {
    // Common practice, no published source: no third, no major or minor; no seventh, no seventh chord.
    let guitar = rig("guitar", "standard", None);
    for (text, named_by) in [
        ("C", "1 3 5"),
        ("Dm", "1 b3 5"),
        ("Esus4", "1 4 5"),
        ("F6", "1 3 6"),
        ("G7", "1 3 b7"),
        ("Amaj7", "1 3 7"),
        ("Bm7b5", "1 b3 b5 b7"),
        ("Cdim7", "1 b3 b5 bb7"),
        ("D9", "3 b7 9"),
        ("E7#9", "3 b7 #9"),
        ("F13", "3 b7 13"),
        ("G11", "3 b7 11"),
        ("Am11", "b3 b7 11"),
        ("Badd9", "1 3 9"),
        ("C7#11", "3 b7 #11"),
        ("D5", "1 5"),
    ] {
        let root = symbol(text).root().pitch_class().number();
        let tones: Vec<fingerpost::theory::degree::Degree> =
            named_by.split(' ').map(|degree| degree.parse().unwrap()).collect();
        let found = all(&guitar, text);
        assert!(!found.is_empty(), "{text}");
        for voicing in found {
            let notes = guitar.notes(&voicing.shape).unwrap();
            let sounds =
                |semitones: u8| notes.iter().flatten().any(|note| note.number() % 12 == (root + semitones) % 12);
            assert!(tones.iter().all(|degree| sounds(degree.folded())), "{text} {}", voicing.shape);
        }
    }
}

#[test]
fn too_few_strings_are_told_with_both_numbers() {
    let (instrument, tuning) = fingerpost::instrument::catalogue::setup_from_text(None, Some("D3 A3 D4")).unwrap();
    let three = Rig::new(instrument, tuning, None).unwrap();
    let error = voicings(&three, &symbol("Cdim7"), &Request::default(), 10).unwrap_err();
    assert_eq!(error.to_string(), "this chord needs at least 4 notes, and there are 3 strings");
}

#[test]
fn what_contradicts_itself_has_no_voicing() {
    let guitar = rig("guitar", "standard", None);
    let nothing = Request { top: Some("F#".parse().unwrap()), ..Request::default() };
    assert_eq!(voicings(&guitar, &symbol("C"), &nothing, 10).unwrap(), []);
    let nothing = Request { bass: Some("E2".parse().unwrap()), ..Request::default() };
    assert_eq!(voicings(&guitar, &symbol("C/G"), &nothing, 10).unwrap(), []);
    let upside_down = Request { frets: Fret::new(7).unwrap()..=Fret::new(3).unwrap(), ..Request::default() };
    assert_eq!(ChordBoard::of(&guitar).search(&symbol("C"), &upside_down).unwrap().count(), 0);
}
