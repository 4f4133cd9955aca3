//! The instrument floor against published tables and the arithmetic of the neck.

use fingerpost::instrument::body::Instrument;
use fingerpost::instrument::catalogue::{instrument_named, tuning_from_text, tuning_named, tunings};
use fingerpost::instrument::neck::{Fret, Shape, StringNumber};
use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::tuning::{Capo, Tuning};
use fingerpost::theory::pitch::MidiNote;

use crate::reference::rows;

/// 25 tunings: common practice of the trade; four of them also stated by music21 10.5.1, see the header.
const TUNINGS: &str = include_str!("../reference/tunings.tsv");

fn named(name: &str) -> Instrument {
    instrument_named(name).unwrap().instrument.clone()
}

fn rig(instrument: &str, tuning: &str, capo: Option<Capo>) -> Rig {
    let instrument = named(instrument);
    let tuning = tuning_from_text(tuning, &instrument).unwrap();
    Rig::new(instrument, tuning, capo).unwrap()
}

fn string(number: u8) -> StringNumber {
    StringNumber::new(number).unwrap()
}

fn fret(number: u8) -> Fret {
    Fret::new(number).unwrap()
}

fn midi(tuning: &Tuning) -> Vec<u8> {
    tuning.strings().iter().map(|pitch| pitch.midi().number()).collect()
}

fn sounds(rig: &Rig, shape: &str) -> Vec<Option<u8>> {
    let shape: Shape = shape.parse().unwrap();
    rig.notes(&shape).unwrap().into_iter().map(|note| note.map(MidiNote::number)).collect()
}

#[test]
fn every_tuning_of_the_reference_is_known_by_its_name_and_sounds_its_midi_notes() {
    for [id, name, strings, notes, numbers] in rows(TUNINGS, ["id", "name", "strings", "notes", "midi"]) {
        let expected: Vec<u8> = numbers.split(' ').map(|number| number.parse().unwrap()).collect();
        let known = tunings().iter().find(|known| known.id == id).unwrap_or_else(|| panic!("{id} is missing"));
        assert_eq!(midi(&known.notes), expected, "{id}");
        assert_eq!(known.notes.to_string(), notes, "{id}");
        let instrument = named(&known.instrument);
        assert_eq!(usize::from(instrument.strings), strings.parse::<usize>().unwrap(), "{id}");
        assert_eq!(tuning_named(name, &instrument).unwrap().id, id, "{name}");
        assert_eq!(tuning_from_text(notes, &instrument).unwrap(), known.notes, "{notes}");
    }
    assert_eq!(tunings().len(), rows(TUNINGS, ["id"]).len());
}

#[test]
fn every_string_of_the_board_spans_the_published_notes() {
    // Lombardo & Radicioni, "Guitar fingering for music performance", figure 1: MIDI numbers of frets 0 to 12.
    let rig = rig("guitar", "standard", None);
    for (number, first, last) in [(1, 64, 76), (2, 59, 71), (3, 55, 67), (4, 50, 62), (5, 45, 57), (6, 40, 52)] {
        for above in 0..=12 {
            let sounding = rig.sounding(string(number), fret(above)).unwrap().number();
            assert_eq!(sounding, first + above, "string {number}, fret {above}");
        }
        assert_eq!(first + 12, last);
    }
    // Its text: E4 lies at <1,0> <2,5> <3,9> <4,14>; on longer necks also at <5,19> and <6,24>.
    let places: Vec<_> = rig.places(MidiNote::new(64).unwrap()).iter().map(ToString::to_string).collect();
    let expected =
        ["string 5, fret 19", "string 4, fret 14", "string 3, fret 9", "string 2, fret 5", "string 1, fret 0"];
    assert_eq!(places, expected);
}

#[test]
fn names_are_found_however_they_are_typed() {
    let guitar = named("guitar");
    for (typed, id) in [
        ("drop d", "guitar-drop-d"),
        ("Drop-D", "guitar-drop-d"),
        ("DROP D tuning", "guitar-drop-d"),
        ("dadgad", "guitar-dadgad"),
        ("double drop D", "guitar-double-drop-d"),
        ("open-G", "guitar-open-g"),
        ("E♭ standard", "guitar-half-down"),
        ("standard", "guitar-standard"),
    ] {
        assert_eq!(tuning_named(typed, &guitar).unwrap().id, id, "{typed}");
    }
    assert_eq!(named("uke").name, "ukulele");
    assert_eq!(named("Tenor-Ukulele").name, "tenor ukulele");
    assert_eq!(tuning_named("open g", &named("banjo")).unwrap().id, "banjo-open-g");
    assert_eq!(tuning_named("drop d", &named("bass")).unwrap().id, "bass-drop-d");
    assert_eq!(tuning_named("standard", &named("mandolin")).unwrap().id, "mandolin");
    assert_eq!(tuning_named("standard", &named("tenor uke")).unwrap().id, "ukulele-reentrant");
    assert_eq!(tuning_named("standard", &named("bass")).unwrap().id, "bass-4-standard");
}

#[test]
fn a_banjo_counts_its_short_string_from_the_main_nut() {
    let rig = rig("banjo", "open g", None);
    assert_eq!(sounds(&rig, "00000"), [Some(67), Some(50), Some(55), Some(59), Some(62)]);
    // The first fret past the peg is a semitone above the open string (common practice).
    assert_eq!(sounds(&rig, "6 x x x x").first(), Some(&Some(68)));
    let error = rig.sounding(string(5), fret(3)).unwrap_err();
    assert_eq!(error.to_string(), "string 5 starts at fret 5: after the open string its first fret is 6");
}

#[test]
fn the_lowest_string_of_a_re_entrant_ukulele_is_not_its_lowest_note() {
    let rig = rig("ukulele", "uke", None);
    assert_eq!(sounds(&rig, "0003"), [Some(67), Some(60), Some(64), Some(72)]);
}
