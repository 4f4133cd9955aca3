//! The instrument floor against published tables and the arithmetic of the neck.

use fingerpost::instrument::body::{Instrument, Millimetres};
use fingerpost::instrument::catalogue::{instrument_named, setup_from_text, tuning_from_text, tuning_named, tunings};
use fingerpost::instrument::geometry::{fret_to_bridge, nut_to_fret};
use fingerpost::instrument::harmonics::{NeckPoint, Node};
use fingerpost::instrument::neck::{Fret, Shape, StringNumber};
use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::tuning::{Capo, Tuning};
use fingerpost::theory::pitch::{Hertz, MidiNote, Pitch, equal_tempered};

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

#[test]
fn the_frets_lie_where_the_tables_say() {
    // Our own arithmetic of the definition, made by another program, and a table somebody else printed.
    const TABLE_648: &str = include_str!("../reference/fret_positions_648.tsv");
    const TABLE_635: &str = include_str!("../reference/fret_positions_635_published.tsv");
    for [number, from_nut, to_bridge] in rows(TABLE_648, ["fret", "from_nut_mm_6dp", "to_bridge_mm"]) {
        let at = fret(number.parse().unwrap());
        assert_eq!(format!("{:.6}", nut_to_fret(Millimetres(648.0), at).0), from_nut, "fret {number}");
        assert_eq!(format!("{:.2}", fret_to_bridge(Millimetres(648.0), at).0), to_bridge, "fret {number}");
    }
    for [number, to_bridge] in rows(TABLE_635, ["fret", "to_bridge_mm"]) {
        let at = fret(number.parse().unwrap());
        assert_eq!(format!("{:.3}", fret_to_bridge(Millimetres(635.0), at).0), to_bridge, "fret {number}");
    }
}

#[test]
fn harmonics_ring_where_the_table_says() {
    // String division arithmetic; sounding intervals checked against music21 10.5.1 (see the header).
    const TABLE: &str = include_str!("../reference/harmonics.tsv");
    let guitar = rig("guitar", "standard", None);
    let columns =
        ["k", "m", "sounds_partial", "own_node", "fret", "mm_from_nut_648", "k_nearest_semitone", "k_cents_from_et"];
    for [k, m, partial, own, at, mm, semitones, cents] in rows(TABLE, columns) {
        let node = Node::new(m.parse().unwrap(), k.parse().unwrap()).unwrap();
        assert_eq!(node.partial().to_string(), partial, "{m}/{k}");
        assert_eq!(format!("{:.4}", node.fret().0), at, "{m}/{k}");
        assert_eq!(format!("{:.2}", node.distance(Millimetres(648.0)).0), mm, "{m}/{k}");
        if own == "yes" {
            assert_eq!(node.semitones().to_string(), semitones, "{m}/{k}");
            assert_eq!(format!("{:+.2}", node.cents().0), cents, "{m}/{k}");
            let harmonic = guitar.natural_harmonic(string(6), node.fret()).unwrap();
            assert_eq!(harmonic.node, node);
        }
    }
    for [k, own, name] in rows(TABLE, ["k", "own_node", "nearest_name_on_E2"]) {
        for node in Node::of_partial(k.parse().unwrap()).filter(|_| own == "yes") {
            let sounding = guitar.natural_harmonic(string(6), node.fret()).unwrap().sounding;
            assert_eq!(sounding, name.parse::<Pitch>().unwrap().midi(), "partial {k}");
        }
    }
}

#[test]
fn a_touched_harmonic_starts_from_the_finger_the_capo_or_the_peg() {
    // The stopped fret is a new nut: twelve above gives the octave, seven or nineteen the twelfth,
    // five or twenty-four two octaves, about four, nine or sixteen two octaves and a third.
    let guitar = rig("guitar", "standard", None);
    let above = |distance: f64| {
        let harmonic = guitar.touched_harmonic(string(6), fret(3), NeckPoint(3.0 + distance)).unwrap();
        i32::from(harmonic.sounding.number()) - i32::from(harmonic.base.number())
    };
    assert_eq!([12.0, 7.0, 19.0, 5.0, 24.0, 4.0, 9.0, 16.0].map(above), [12, 19, 19, 24, 24, 28, 28, 28]);

    let capo = Some(Capo { fret: fret(3), strings: Vec::new() });
    let twelfth = rig("guitar", "standard", capo).natural_harmonic(string(6), NeckPoint(12.0)).unwrap();
    assert_eq!(Pitch::usual(twelfth.sounding).to_string(), "G3");

    let banjo = rig("banjo", "open g", None);
    let octave = banjo.natural_harmonic(string(5), NeckPoint(17.0)).unwrap();
    assert_eq!(Pitch::usual(octave.sounding).to_string(), "G5");
    let error = banjo.natural_harmonic(string(5), NeckPoint(4.0)).unwrap_err();
    assert_eq!(error.to_string(), "the touch at 4 must lie between the stopped fret and the bridge");
    assert!(guitar.touched_harmonic(string(6), fret(5), NeckPoint(f64::NAN)).is_err());
    // Where nothing rings the neighbours are told as frets are written, not from where the string begins.
    let error = guitar.touched_harmonic(string(6), fret(5), NeckPoint(16.0)).unwrap_err();
    assert_eq!(error.to_string(), "no harmonic rings at 16; the nearest are at 15.5 and 17");
}

#[test]
fn a_harmonic_sounds_its_partial_of_the_string() {
    // The fifth partial of A2 at 110 Hz is 550 Hz, 13.69 cents below C#5 at 554.37 Hz.
    let harmonic = rig("guitar", "standard", None).natural_harmonic(string(5), NeckPoint(4.0)).unwrap();
    assert!((harmonic.frequency(Hertz(440.0)).0 - 550.0).abs() < 1e-9);
    let tempered = equal_tempered(harmonic.sounding, Hertz(440.0)).0 * (harmonic.cents.0 / 1200.0).exp2();
    assert!((tempered - 550.0).abs() < 1e-9);
}

#[test]
fn three_and_twelve_strings_work_like_six() {
    for (notes, strings) in [("D3 A3 D4", 3), ("E3 E2 A3 A2 D4 D3 G4 G3 B3 B3 E4 E4", 12)] {
        let (instrument, tuning) = setup_from_text(None, Some(notes)).unwrap();
        assert_eq!(instrument.strings, strings);
        let rig = Rig::new(instrument, tuning, None).unwrap();
        let open: Vec<String> = rig.strings().map(|string| rig.open(string).unwrap().to_string()).collect();
        assert_eq!(open.join(" "), notes);
        let shape = vec!["2"; usize::from(strings)].join(" ");
        let raised: Vec<Option<u8>> = midi(rig.tuning()).into_iter().map(|open| Some(open + 2)).collect();
        assert_eq!(sounds(&rig, &shape), raised);
    }
}

#[test]
fn names_with_a_comma_are_told_apart_where_several_are_listed() {
    let ukulele = &instrument_named("ukulele").unwrap().instrument;
    let refused = tuning_from_text("sitar", ukulele).unwrap_err().to_string();
    assert!(refused.contains("known are: ukulele, high G; ukulele low G; "), "{refused}");
}
