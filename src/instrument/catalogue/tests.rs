//! What the instruments and tunings must satisfy, and how they are looked up.

use std::collections::HashSet;

use proptest::prelude::*;

use super::*;
use crate::instrument::body::Millimetres;

fn named(name: &str) -> Instrument {
    instrument_named(name).unwrap().instrument.clone()
}

#[track_caller]
fn check_tuning(instrument: &str, typed: &str, notes: &str) {
    assert_eq!(tuning_from_text(typed, &named(instrument)).unwrap().to_string(), notes, "{instrument}: `{typed}`");
}

#[track_caller]
fn check_refuses(instrument: &str, typed: &str, message: &str) {
    let error = tuning_from_text(typed, &named(instrument)).unwrap_err();
    assert_eq!(error.to_string(), message, "{instrument}: `{typed}`");
}

#[track_caller]
fn check_setup(instrument: Option<&str>, tuning: Option<&str>, expected: &str) {
    let (instrument, tuning) = setup_from_text(instrument, tuning).unwrap();
    assert_eq!(format!("{}: {tuning}", instrument.name), expected);
}

#[test]
fn the_tables_hold_together() {
    let mut ids = HashSet::new();
    for known in tunings() {
        assert!(ids.insert(&known.id), "{} is there twice", known.id);
        let owner = instrument_named(&known.instrument).unwrap();
        assert_eq!(known.notes.strings().len(), usize::from(owner.instrument.strings), "{}", known.id);
        // Nobody else of the same kind and size answers to any of its names.
        for name in std::iter::once(&known.name).chain(&known.also) {
            assert_eq!(tuning_named(name, &owner.instrument).unwrap().id, known.id, "{name}");
        }
    }
    let mut names = HashSet::new();
    for known in instruments() {
        for name in std::iter::once(&known.instrument.name).chain(&known.also) {
            assert!(names.insert(plain(name)), "{name} is there twice");
        }
        for id in std::iter::once(&known.standard).chain(&known.shifts_from) {
            let tuning = tuning_with_id(id).unwrap_or_else(|| panic!("{id} is missing"));
            assert_eq!(tuning.notes.strings().len(), usize::from(known.instrument.strings), "{id}");
        }
        assert!(known.instrument.scale.0 > 300.0 && known.instrument.frets.number() >= 12);
    }
    assert_eq!(guitar().instrument.name, "guitar");
}

#[test]
fn typed_notes_take_the_octaves_of_the_instrument() {
    check_tuning("guitar", "D A D G A D", "D2 A2 D3 G3 A3 D4");
    check_tuning("baritone guitar", "B F# B E G# B", "B1 F#2 B2 E3 G#3 B3");
    check_tuning("bass", "D G C F", "D1 G1 C2 F2");
    check_tuning("mandolin", "gdgd", "G3 D4 G4 D5");
    check_tuning("ukulele", "F# B D# G#", "F#4 B3 D#4 G#4");
    // Four letters that are also a bass tuning's name stay in a ukulele's octave.
    check_tuning("ukulele", "EADG", "E4 A3 D4 G4");
    check_tuning("banjo", "G C G C D", "G4 C3 G3 C4 D4");
}

#[test]
fn an_instrument_of_ones_own_is_tuned_like_its_likest() {
    let like = |name: &str, strings: u8, scale: f64| {
        let own = Instrument { name: name.to_owned(), strings, scale: Millimetres(scale), ..named("guitar") };
        standard_tuning(&own).map(|known| known.id.as_str())
    };
    assert_eq!(like("parlour guitar", 6, 620.0), Some("guitar-standard"));
    assert_eq!(like("my old uke", 4, 350.0), Some("ukulele-reentrant"));
    assert_eq!(like("the loud one", 4, 850.0), Some("bass-4-standard"));
    // What it is called goes before how long it is.
    assert_eq!(like("bass", 6, 650.0), Some("bass-6-standard"));
    assert_eq!(like("strange", 9, 650.0), None);
    assert_eq!(like("strange", 6, f64::NAN), Some("guitar-standard"));
}

#[test]
fn what_is_no_tuning_is_refused_with_what_would_be() {
    check_refuses(
        "guitar",
        "dorp d",
        "no tuning is called `dorp d`; the nearest are drop D, drop C, drop B; or type the notes from the highest string \
         number down, as in `E2 A2 D3 G3 B3 E4`",
    );
    check_refuses(
        "mandolin",
        "sitar",
        "no tuning is called `sitar`; known are: mandolin; or type the notes from the highest string number down, \
         as in `G3 D4 A4 E5`",
    );
    check_refuses(
        "ukulele",
        "drop d",
        "`drop D` is a tuning for the guitar (D2 A2 D3 G3 B3 E4), not for the ukulele, which has 4 strings",
    );
    check_refuses("guitar", "E A D G", "that is 4 notes, the instrument has 6 strings (as in E2 A2 D3 G3 B3 E4)");
    check_refuses(
        "guitar",
        "E2 A2 D3 H3 B3 E4",
        "string 3: `H3` is not a note: it should start with a letter from A to G",
    );
    assert_eq!(
        instrument_named("guitr").unwrap_err().to_string(),
        "no instrument is called `guitr`; the nearest is guitar"
    );
}

#[test]
fn a_tuning_alone_brings_its_instrument() {
    check_setup(None, None, "guitar: E2 A2 D3 G3 B3 E4");
    check_setup(Some("uke"), None, "ukulele: G4 C4 E4 A4");
    check_setup(Some("baritone guitar"), Some("standard"), "baritone guitar: B1 E2 A2 D3 F#3 B3");
    check_setup(None, Some("DADGAD"), "guitar: D2 A2 D3 G3 A3 D4");
    check_setup(None, Some("banjo open G"), "banjo: G4 D3 G3 B3 D4");
    check_setup(None, Some("low G"), "ukulele: G3 C4 E4 A4");
    check_setup(None, Some("G D A E"), "mandolin: G3 D4 A4 E5");
    check_setup(None, Some("D1 A1 D2 G2"), "bass: D1 A1 D2 G2");
    check_setup(None, Some("A D G C E A"), "baritone guitar: A1 D2 G2 C3 E3 A3");
    check_setup(None, Some("D3 A3 D4"), "3-string instrument: D3 A3 D4");
    let twelve = "E3 E2 A3 A2 D4 D3 G4 G3 B3 B3 E4 E4";
    check_setup(None, Some(twelve), &format!("12-string instrument: {twelve}"));
    assert_eq!(
        setup_from_text(None, Some("D A D")).unwrap_err().to_string(),
        "string 3: `D` needs an octave, as in `E2` (middle C is C4)"
    );
}

#[test]
fn a_tuning_is_called_by_what_it_sounds() {
    let spelled_in_sharps: Tuning = "D#2 G#2 C#3 F#3 A#3 D#4".parse().unwrap();
    assert_eq!(tuning_name(&spelled_in_sharps, &named("guitar")), Some("half step down"));
    let own: Tuning = "C2 A2 D3 G3 A3 D4".parse().unwrap();
    assert_eq!(tuning_label(&own, &named("guitar")), "C2 A2 D3 G3 A3 D4");
    for known in tunings() {
        assert_eq!(tuning_name(&known.notes, &named(&known.instrument)), Some(known.name.as_str()));
    }
}

#[test]
fn a_lowered_tuning_is_played_as_the_one_it_copies() {
    for (instrument, tuning, expected) in [
        ("guitar", "standard", Some(("standard", 0))),
        ("guitar", "half step down", Some(("standard", -1))),
        ("guitar", "whole step down", Some(("standard", -2))),
        ("guitar", "drop C", Some(("drop D", -2))),
        ("guitar", "DADGAD", None),
        ("guitar", "C F Bb Eb G C", Some(("standard", -4))),
        ("ukulele", "A D F# B", Some(("ukulele, high G", 2))),
        ("bass", "D G C F", Some(("bass standard", -2))),
    ] {
        let instrument = named(instrument);
        let tuning = tuning_from_text(tuning, &instrument).unwrap();
        let found = shifted_from(&tuning, &instrument).map(|(known, semitones)| (known.name.as_str(), semitones));
        assert_eq!(found, expected, "{tuning}");
    }
}

proptest! {
    #[test]
    fn no_text_makes_it_panic_or_reaches_the_message_raw(
        text in "(drop|open|uke|[A-Ha-h][0-9#b]?| |,|\u{1b}){0,8}|(?s).{0,60}", strings in 0..=40u8,
    ) {
        let own = Instrument { name: text.clone(), strings, ..named("guitar") };
        let results = [
            tuning_from_text(&text, &own).err(),
            setup_from_text(None, Some(&text)).err(),
            setup_from_text(Some(&text), None).err(),
        ];
        for error in results.into_iter().flatten() {
            prop_assert!(!error.to_string().contains(char::is_control), "{error:?}");
        }
        if let Ok(tuning) = tuning_from_text(&text, &own) {
            prop_assert_eq!(tuning.strings().len(), usize::from(strings));
        }
    }
}
