//! Readings: published chord content named back, the shapes every teacher knows, and what always holds.

use std::collections::BTreeSet;

use fingerpost::theory::degree::Degree;
use fingerpost::theory::key::Key;
use fingerpost::theory::pitch::{MidiNote, NoteName, PitchClass};
use fingerpost::theory::reading::{
    Context, Decision, Doubt, Lowest, Reading, ReadingKind, readings, readings_limited, readings_with_doubts,
};
use fingerpost::theory::symbol::ChordSymbol;
use proptest::prelude::*;

use crate::reference::rows;

mod around;
mod every_key;
mod fingerings;
mod laws;
mod systematic;
mod trade;

/// Standard tuning, low to high: tests/reference/tunings.tsv.
const STANDARD: [u8; 6] = [40, 45, 50, 55, 59, 64];

/// The notes of a shape in standard tuning, frets low to high, `x` muted.
#[track_caller]
fn shape(frets: &str) -> Vec<Option<MidiNote>> {
    let frets: Vec<&str> = frets.split_whitespace().collect();
    assert_eq!(frets.len(), STANDARD.len());
    frets.iter().zip(STANDARD).map(|(fret, open)| Some(note(open + fret.parse::<u8>().ok()?))).collect()
}

fn note(number: u8) -> MidiNote {
    MidiNote::new(number).unwrap()
}

fn notes(numbers: impl IntoIterator<Item = u8>) -> Vec<Option<MidiNote>> {
    numbers.into_iter().map(|number| Some(note(number))).collect()
}

fn in_key(key: &str) -> Context {
    Context { key: Some(key.parse().unwrap()), ..Context::default() }
}

fn symbols(notes: &[Option<MidiNote>], context: &Context) -> Vec<String> {
    readings(notes, context).into_iter().map(|reading| reading.symbol).collect()
}

#[track_caller]
fn best(notes: &[Option<MidiNote>], context: &Context) -> Reading {
    readings_limited(notes, context, 1).pop().unwrap()
}

/// The pitch classes of a formula above its root.
fn folded(formula: &[Degree]) -> BTreeSet<u8> {
    formula.iter().map(|degree| degree.folded()).collect()
}

fn numbers(text: &str) -> Vec<u8> {
    text.split_whitespace().map(|number| number.parse().unwrap()).collect()
}

/// Checks that the tones `above` each of the twelve roots, in close position, are named on that root
/// with exactly those tones as formula.
#[track_caller]
fn check_named_back(what: &str, above: &[u8]) {
    for root in 48..60 {
        let sounding = notes(above.iter().map(|semitones| root + semitones));
        let reading = best(&sounding, &Context::default());
        let expected_root = PitchClass::of(i32::from(root));
        assert_eq!(reading.root.map(NoteName::pitch_class), Some(expected_root), "{what}: {}", reading.symbol);
        let expected: BTreeSet<u8> = above.iter().map(|semitones| semitones % 12).collect();
        let named: BTreeSet<u8> = folded(&reading.formula);
        assert_eq!(&named - &folded(&reading.missing), expected, "{what}: {}", reading.symbol);
        assert!(matches!(reading.kind, ReadingKind::Chord | ReadingKind::PowerChord), "{what}: {}", reading.symbol);
    }
}

#[test]
fn every_musicxml_kind_is_named_back_on_every_root() {
    // Source: MusicXML 4.0 simpleType kind-value, tests/reference/musicxml_kinds.tsv; kinds to which the schema
    // gives no content are left out.
    let mut checked = 0;
    for [kind, semitones] in rows(include_str!("../reference/musicxml_kinds.tsv"), ["kind", "semitones"]) {
        if !semitones.is_empty() {
            check_named_back(kind, &numbers(semitones));
            checked += 1;
        }
    }
    assert_eq!(checked, 25);
}

#[test]
fn every_mir_eval_quality_is_named_back_on_every_root() {
    // Source: mir_eval 0.8.2, tests/reference/mir_eval_qualities.tsv, the map with upper degrees folded in.
    let table = include_str!("../reference/mir_eval_qualities.tsv");
    for [quality, bitmap] in rows(table, ["quality", "bitmap_extended"]) {
        let above: Vec<u8> =
            (0u8..).zip(bitmap.chars()).filter(|(_, bit)| *bit == '1').map(|(place, _)| place).collect();
        match above.len() {
            0 => assert!(readings(&[], &Context::default()).is_empty()),
            1 => assert_eq!(best(&notes([48]), &Context::default()).kind, ReadingKind::Note),
            _ => check_named_back(quality, &above),
        }
    }
}

/// Suffixes whose tones have a more usual name on the same root, which is read first; common practice.
const MORE_USUAL: &[(&str, &str)] = &[("7add13", "13"), ("m7add11", "m11")];

#[test]
fn every_suffix_of_the_reference_table_is_named_back_on_every_root() {
    // Source: MusicXML 4.0 kind and degree, tests/reference/chord_suffixes.tsv, column `schema`.
    for [suffix, schema] in rows(include_str!("../reference/chord_suffixes.tsv"), ["suffix", "schema"]) {
        let above = numbers(schema);
        check_named_back(suffix, &above);
        let symbol: ChordSymbol = format!("C{}", suffix.replace("(major)", "")).parse().unwrap();
        let reading = best(&notes(above.iter().map(|semitones| 48 + semitones)), &Context::default());
        let usual = MORE_USUAL.iter().find(|(longer, _)| *longer == suffix).map(|(_, usual)| format!("C{usual}"));
        let complete = suffix != "7no5";
        if complete {
            assert_eq!(reading.symbol, usual.unwrap_or(symbol.to_string()));
        } else {
            assert_eq!(reading.symbol, "C7");
        }
    }
}

#[test]
fn diatonic_chords_are_named_back_in_their_key() {
    // Source: music21, tests/reference/diatonic_chords.tsv; 405 sevenths agree with tonal.
    let table = include_str!("../reference/diatonic_chords.tsv");
    let mut checked = 0;
    for [tonic, form, triad, triad_notes, seventh, seventh_notes] in
        rows(table, ["tonic", "form", "triad", "triad_notes", "seventh", "seventh_notes"])
    {
        let minor = if form == "major" { "" } else { "m" };
        let context = in_key(&format!("{tonic}{minor}"));
        for (symbol, spelled) in [(triad, triad_notes), (seventh, seventh_notes)] {
            let classes =
                spelled.split_whitespace().map(|name| name.parse::<NoteName>().unwrap().pitch_class().number());
            let mut last = 35;
            let close = classes.map(|class| {
                last = (last + 1..).find(|number| number % 12 == class).unwrap();
                last
            });
            let reading = best(&notes(close), &context);
            let wanted: ChordSymbol = symbol.parse().unwrap();
            assert_eq!(
                reading.root.map(NoteName::pitch_class),
                Some(wanted.root().pitch_class()),
                "{symbol} in {tonic}"
            );
            assert_eq!(reading.formula, wanted.formula(), "{symbol} in {tonic}");
            assert_eq!(reading.symbol, wanted.to_string(), "in {tonic} {form}");
            let names: Vec<String> = reading.notes.iter().flatten().map(|tone| tone.name.to_string()).collect();
            assert_eq!(names.join(" "), spelled, "{symbol}");
            checked += 1;
        }
    }
    assert!(checked > 800, "{checked} chords");
}

/// The shapes every teacher knows and what they are called: common practice, no published source.
const SHAPES: &[(&str, &str)] = &[
    // open chords
    ("x 3 2 0 1 0", "C"),
    ("x 0 2 2 2 0", "A"),
    ("3 2 0 0 0 3", "G"),
    ("3 2 0 0 3 3", "G"),
    ("3 x 0 0 0 3", "G"),
    ("0 2 2 1 0 0", "E"),
    ("x x 0 2 3 2", "D"),
    ("x 0 2 2 1 0", "Am"),
    ("0 2 2 0 0 0", "Em"),
    ("x x 0 2 3 1", "Dm"),
    ("x x 3 2 1 1", "F"),
    // barre chords
    ("1 3 3 2 1 1", "F"),
    ("1 3 3 1 1 1", "Fm"),
    ("x 2 4 4 4 2", "B"),
    ("x 2 4 4 3 2", "Bm"),
    ("x 1 3 3 3 1", "Bb"),
    ("1 3 1 2 1 1", "F7"),
    ("1 3 1 1 1 1", "Fm7"),
    ("1 3 2 2 1 1", "Fmaj7"),
    ("x 2 4 2 4 2", "B7"),
    ("x 2 4 2 3 2", "Bm7"),
    ("x 3 5 4 5 3", "Cmaj7"),
    ("4 6 6 4 4 4", "G#m"),
    // sevenths and sixths
    ("x 2 1 2 0 2", "B7"),
    ("0 2 0 1 0 0", "E7"),
    ("x 0 2 0 2 0", "A7"),
    ("x x 0 2 1 2", "D7"),
    ("3 2 0 0 0 1", "G7"),
    ("x 3 2 3 1 0", "C7"),
    ("8 x 8 9 8 x", "C7"),
    ("x 5 4 5 x x", "D7"),
    ("x 0 2 0 1 0", "Am7"),
    ("0 2 2 0 3 0", "Em7"),
    ("x x 0 2 1 1", "Dm7"),
    ("x 2 0 2 0 2", "Bm7"),
    ("x 3 2 0 0 0", "Cmaj7"),
    ("x x 3 2 1 0", "Fmaj7"),
    ("3 x 0 0 0 2", "Gmaj7"),
    ("x x 0 2 2 2", "Dmaj7"),
    ("x 0 2 1 2 0", "Amaj7"),
    ("3 2 0 0 0 0", "G6"),
    ("x 0 2 2 2 2", "A6"),
    ("x x 0 2 0 2", "D6"),
    ("x 0 2 2 1 2", "Am6"),
    ("x x 0 2 0 1", "Dm6"),
    ("x 0 2 1 1 0", "Am(maj7)"),
    ("x 5 x 5 6 4", "Dm7b5"),
    ("x 2 3 2 3 x", "Bm7b5"),
    ("x 2 3 1 3 x", "Bdim7"),
    ("x x 0 1 0 1", "Ddim7"),
    ("x x 0 3 3 2", "Daug"),
    ("3 x 3 4 4 3", "G7#5"),
    // suspended and added
    ("x 0 2 2 0 0", "Asus2"),
    ("x x 0 2 3 0", "Dsus2"),
    ("x 0 2 2 3 0", "Asus4"),
    ("x x 0 2 3 3", "Dsus4"),
    ("0 2 2 2 0 0", "Esus4"),
    ("x 5 7 7 5 5", "Dsus2"),
    ("x 0 2 0 3 0", "A7sus4"),
    ("3 3 0 0 1 1", "G7sus4"),
    ("x 3 0 0 1 0", "Cadd9"),
    ("x 3 2 0 3 3", "Cadd9"),
    ("3 2 0 2 0 3", "Gadd9"),
    ("0 2 4 0 0 0", "Em(add9)"),
    // power chords
    ("0 2 2 x x x", "E5"),
    ("0 2 2 x 0 0", "E5"),
    ("x 0 2 2 x x", "A5"),
    ("3 5 5 x x x", "G5"),
    ("x 2 2 x x x", "E5/B"),
    // ninths, thirteenths, altered
    ("x 3 2 3 3 3", "C9"),
    ("x 8 7 8 8 8", "F9"),
    ("x 3 1 3 3 3", "Cm9"),
    ("x 7 5 7 7 x", "Em9"),
    ("x 3 2 4 3 0", "Cmaj9"),
    ("1 0 2 0 1 0", "Fmaj9"),
    ("x 3 2 2 3 3", "C6/9"),
    ("x 3 2 2 3 x", "C6/9"),
    ("0 7 6 7 8 x", "E7#9"),
    ("x 3 2 3 4 x", "C7#9"),
    ("x 3 2 3 2 x", "C7b9"),
    ("x 3 3 3 3 3", "C9sus4"),
    ("0 0 0 0 0 0", "Em11"),
    ("5 x 5 6 7 x", "A13"),
    ("x 3 2 3 5 5", "C13"),
    // inversions and other basses
    ("3 3 2 0 1 0", "C/G"),
    ("0 3 2 0 1 0", "C/E"),
    ("2 0 0 2 3 2", "D/F#"),
    ("x 0 0 2 3 2", "D/A"),
    ("x 2 0 0 3 3", "G/B"),
    ("4 2 2 1 0 0", "E/G#"),
    ("x 3 3 2 1 1", "F/C"),
    ("3 0 2 2 1 0", "Am/G"),
    ("3 2 2 0 0 0", "Em/G"),
    ("x x 0 1 0 0", "E/D"),
    ("x x 0 0 1 0", "C/D"),
    ("3 x 3 2 1 1", "F/G"),
];

#[test]
fn well_known_shapes_have_their_usual_name() {
    for (frets, symbol) in SHAPES {
        assert_eq!(symbols(&shape(frets), &Context::default()).first(), Some(&(*symbol).to_owned()), "{frets}");
    }
    let different: BTreeSet<&str> = SHAPES.iter().map(|(frets, _)| *frets).collect();
    assert_eq!(different.len(), SHAPES.len(), "a shape is listed twice");
}

#[test]
fn a_triad_over_a_pedal_is_heard_without_its_fifth() {
    // Root and third of a plain triad over a bass held by the thumb: common practice, no published source.
    for (frets, symbol) in [("x 5 x 5 5 8", "C/D"), ("x 0 x 0 0 3", "G/A"), ("1 x 1 0 x x", "Eb/F")] {
        let readings = readings(&shape(frets), &Context::default());
        let found = readings.iter().find(|reading| reading.symbol == symbol);
        let found = found.unwrap_or_else(|| panic!("{frets}: {:?}", symbols(&shape(frets), &Context::default())));
        assert!(found.reason.ends_with("the bass is not part of it; no fifth"), "{}", found.reason);
    }
}

#[test]
fn a_shape_published_with_its_name_has_that_name() {
    // MusicXML 4.0 documentation, tutorial "Chord symbols": the frame x55430 is G6/D, sounding D3 G3 B3 D4 E4.
    let sounding = shape("x 5 5 4 3 0");
    let expected: Vec<u8> = ["D3", "G3", "B3", "D4", "E4"]
        .map(|name| name.parse::<fingerpost::theory::pitch::Pitch>().unwrap().midi().number())
        .to_vec();
    assert_eq!(sounding.iter().flatten().map(|note| note.number()).collect::<Vec<_>>(), expected);
    assert_eq!(best(&sounding, &Context::default()).symbol, "G6/D");
}

/// Other names that must be offered too, and among the first how many; common practice.
const ALSO: &[(&str, usize, &[&str])] = &[
    // One set of tones, three names: they stand together.
    ("x x 0 0 1 0", 3, &["C/D", "D9sus4", "D11"]),
    ("3 x 3 2 1 1", 3, &["F/G", "G9sus4", "G11"]),
    ("x 0 2 0 1 0", 3, &["Am7", "C6/A"]),
    ("x 0 2 2 1 2", 2, &["Am6", "F#m7b5/A"]),
    ("x 0 2 2 3 0", 2, &["Asus4", "Dsus2/A"]),
    ("x x 0 2 1 1", 3, &["Dm7", "F/D", "F6/D"]),
    ("x x 0 1 0 0", 2, &["E/D", "E7/D"]),
    ("x x 6 7 7 7", 4, &["G#m7b5", "E9", "Bm6/G#", "Bm/G#"]),
    ("x x 5 7 7 7", 3, &["Gmaj7", "Em9", "Bm/G"]),
    ("0 0 0 0 0 0", 2, &["Em11", "Em7add11"]),
    ("x 3 2 0 0 0", 3, &["Cmaj7", "Am9", "Em/C"]),
    ("x 2 3 1 3 x", 4, &["Bdim7", "Ddim7/Cb", "Fdim7/Cb", "G#dim7/B"]),
];

#[test]
fn equivalent_names_stand_near_the_first() {
    for (frets, within, names) in ALSO {
        let all = symbols(&shape(frets), &Context::default());
        for name in *names {
            let place = all.iter().position(|symbol| symbol == name);
            assert!(
                place.is_some_and(|place| place < *within),
                "{frets}: {name} not among the first {within} of {all:?}"
            );
        }
    }
}

#[track_caller]
fn reading_called(frets: &str, symbol: &str) -> Reading {
    let all = readings(&shape(frets), &Context::default());
    all.into_iter().find(|reading| reading.symbol == symbol).unwrap_or_else(|| panic!("{frets}: no {symbol}"))
}

fn degrees(degrees: &[Degree]) -> String {
    degrees.iter().map(Degree::to_string).collect::<Vec<_>>().join(" ")
}

#[test]
fn a_rootless_reading_lists_its_root_as_missing() {
    let reading = reading_called("x x 6 7 7 7", "E9");
    assert_eq!(reading.kind, ReadingKind::Rootless);
    assert_eq!(degrees(&reading.formula), "1 3 5 b7 9");
    assert_eq!(degrees(&reading.missing), "1");
    assert_eq!(reading.reason, "no root; third, seventh and ninth carry the name where another instrument plays E");
}

#[test]
fn a_foreign_bass_stays_out_of_the_formula() {
    let reading = reading_called("x x 0 1 0 0", "E/D");
    assert_eq!(reading.kind, ReadingKind::ForeignBass);
    assert_eq!(degrees(&reading.formula), "1 3 5");
    assert_eq!(reading.bass.to_string(), "D");
    assert_eq!(reading.notes[2].map(|tone| (tone.name.to_string(), tone.degree)), Some(("D".to_owned(), None)));
    assert_eq!(reading.reason, "E triad over D: the bass is not part of it");
}

#[test]
fn reasons_are_in_a_players_words() {
    for (frets, symbol, reason) in [
        ("x 3 2 0 0 0", "Cmaj7", "all four notes; root in the bass"),
        ("0 3 2 0 1 0", "C/E", "all three notes; third in the bass"),
        ("x 5 4 5 x x", "D7", "no fifth, which the ear hardly misses; root in the bass"),
        ("x 0 2 2 3 0", "Asus4", "all three notes; the fourth in place of the third; root in the bass"),
        (
            "x x 0 0 1 0",
            "D9sus4",
            "no fifth, which the ear hardly misses; the fourth in place of the third; root in the bass",
        ),
        ("0 2 2 x x x", "E5", "root and fifth; no third, so neither major nor minor"),
        ("x 2 2 x x x", "E5/B", "a fourth: the fifth of E lies below its root"),
        (
            "5 x 5 6 7 x",
            "A13",
            "no fifth, ninth or eleventh; third, seventh and thirteenth carry the name; root in the bass",
        ),
        ("x 2 3 1 3 x", "Bdim7", "all four notes; each could be the root, so the bass decides"),
    ] {
        assert_eq!(reading_called(frets, symbol).reason, reason, "{frets}");
    }
}

#[test]
fn the_third_is_never_left_out_in_silence() {
    // Em without its G is E5, C without its E is C5; a seventh without third says so.
    assert_eq!(symbols(&shape("0 2 2 x 0 0"), &Context::default())[0], "E5");
    assert_eq!(symbols(&shape("x 3 5 3 x 3"), &Context::default())[0], "C7no3");
    for bits in 0..2048u16 {
        let sounding = notes((0..12u8).filter(|class| (bits << 1 | 1) >> class & 1 == 1).map(|class| 40 + class));
        for reading in readings(&sounding, &Context::default()) {
            let silent_third = reading.missing.iter().any(|degree| degree.number() == 3);
            let eleventh = reading.formula.contains(&Degree::new(11, 0).unwrap());
            assert!(!silent_third || eleventh, "{}", reading.symbol);
        }
    }
}

#[test]
fn one_note_two_notes_and_clusters_have_honest_names() {
    let octaves = best(&notes([40, 52, 64]), &Context::default());
    assert_eq!((octaves.kind, octaves.symbol.as_str()), (ReadingKind::Note, "E"));
    assert_eq!(octaves.reason, "one note in three octaves");
    let third = best(&notes([48, 52]), &Context::default());
    assert_eq!((third.kind, third.symbol.as_str()), (ReadingKind::Interval, "C-E"));
    assert_eq!(third.reason, "two notes, a major third");
    let tritone = best(&notes([47, 53]), &Context::default());
    assert_eq!((tritone.symbol.as_str(), tritone.reason.as_str()), ("B-F", "two notes, a diminished fifth"));
    let cluster = best(&notes([48, 49, 50]), &Context::default());
    assert_eq!((cluster.kind, cluster.symbol.as_str()), (ReadingKind::Cluster, "C-C#-D"));
    assert_eq!(cluster.root, None);
    assert!(readings(&[None, None], &Context::default()).is_empty());
}

#[test]
fn the_lowest_pitch_is_the_bass_wherever_it_stands() {
    // A re-entrant ukulele, G4 C4 E4 A4 (tests/reference/tunings.tsv), open: C4 is the lowest.
    let reading = best(&notes([67, 60, 64, 69]), &Context::default());
    assert_eq!((reading.symbol.as_str(), reading.bass.to_string().as_str()), ("C6", "C"));
}

#[test]
fn root_and_fifth_over_a_third_are_a_triad_and_no_power_chord() {
    // Common practice: E C G is C/E, and Eb C G Cm/Eb; a power chord has no third, not even in the bass.
    for (bass, triad) in [(52, "C/E"), (51, "Cm/Eb")] {
        let symbols = symbols(&notes([bass, 60, 67]), &Context::default());
        assert_eq!(symbols.first().map(String::as_str), Some(triad));
        assert!(symbols.iter().all(|symbol| !symbol.starts_with("C5")), "{symbols:?}");
    }
}

#[test]
fn a_stated_bass_lies_below_everything() {
    let sounding = shape("x x 5 7 7 7");
    let with = |bass: &str| Context { stated_bass: Some(bass.parse().unwrap()), ..Context::default() };
    let reading = best(&sounding, &with("E"));
    assert_eq!((reading.symbol.as_str(), reading.missing.len()), ("Em9", 0));
    assert_eq!(reading.notes[2].map(|tone| tone.name.to_string()), Some("G".to_owned()));
    assert_eq!(best(&shape("x x x 0 1 0"), &with("F")).symbol, "C/F");
    assert_eq!(best(&shape("x x x 0 1 0"), &with("Bb")).symbol, "C/Bb");
}

#[test]
fn a_stated_bass_is_one_even_where_the_lowest_string_is_none() {
    // A ukulele's own lowest pitch names no inversion; a bass player beside it does.
    let open = notes([67, 60, 64]);
    let alone = Context { lowest: Lowest::AnyTone, ..Context::default() };
    let with_bass = Context { stated_bass: Some("E".parse().unwrap()), ..alone.clone() };
    assert_eq!(best(&open, &alone).symbol, "C");
    assert_eq!(best(&open, &with_bass).symbol, "C/E");
}

#[test]
fn a_key_decides_between_enharmonic_roots() {
    let barre = shape("x 4 6 6 6 4");
    assert_eq!(best(&barre, &in_key("F#")).symbol, "C#");
    assert_eq!(best(&barre, &in_key("Ab")).symbol, "Db");
    assert_eq!(best(&shape("2 4 4 3 2 2"), &in_key("Db")).symbol, "Gb");
    assert_eq!(best(&shape("2 4 4 3 2 2"), &in_key("E")).symbol, "F#");
    // A passing diminished chord rises: C# dim7 between C and Dm, not Db dim7.
    assert_eq!(best(&shape("x 4 5 3 5 x"), &in_key("C")).symbol, "C#dim7");
}

#[test]
fn a_bass_that_is_no_chord_tone_is_spelled_plainly() {
    // C below C# E G# B is written C, not B#; in a key it is the key's own note.
    let sounding = notes([48, 56, 59, 61, 64]);
    assert_eq!(best(&sounding, &Context::default()).symbol, "C#m7/C");
    assert_eq!(best(&sounding, &in_key("C#m")).symbol, "C#m7/B#");
    assert_eq!(best(&notes([46, 55, 60, 64]), &in_key("C")).symbol, "C/Bb");
}

#[test]
fn spelling_follows_the_reading() {
    // The flat fifth of E is Bb, the sharp ninth of C is D#, the flat fifth of F# is C.
    let spelled = |frets: &str, symbol: &str| {
        let names = reading_called(frets, symbol).notes;
        names.iter().flatten().map(|tone| tone.name.to_string()).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(spelled("0 1 2 0 3 x", "Em7b5"), "E Bb E G D");
    assert_eq!(spelled("x 3 2 3 4 x", "C7#9"), "C E Bb D#");
    assert_eq!(spelled("x 3 2 3 2 x", "C7b9"), "C E Bb Db");
    assert_eq!(spelled("x x 6 7 7 7", "E9"), "G# D F# B");
}

#[test]
fn a_chord_before_lends_its_root_to_a_rootless_shape() {
    let after = |chord: &str| Context { previous: Some(chord.parse().unwrap()), ..Context::default() };
    // The four diminished tones over any of four roots are a dominant with a flat ninth; the one that was
    // heard just before is meant.
    let diminished = shape("x x 6 7 6 7");
    assert_eq!(symbols(&diminished, &Context::default())[0], "G#dim7");
    let second = |chord: &str| symbols(&diminished, &after(chord))[1].clone();
    assert_eq!([second("E7"), second("G7"), second("Bb7")], ["E7b9", "G7b9", "Bb7b9"]);
    let reading = &readings(&diminished, &after("E7"))[1];
    assert!(reading.reason.ends_with("; the root carries over from E7"), "{}", reading.reason);
}

#[test]
fn an_altered_chord_needs_an_altered_fifth_or_ninth() {
    let shell = symbols(&notes([48, 52, 58]), &Context::default());
    assert_eq!(shell[0], "C7");
    assert!(!shell.contains(&"C7alt".to_owned()), "{shell:?}");
    assert!(symbols(&notes([48, 52, 58, 61, 68]), &Context::default()).contains(&"C7alt".to_owned()));
}

#[test]
fn a_far_fetched_name_stands_behind_the_notes_themselves() {
    // A power chord on F# over the flat fifth of its root: possible on paper, heard by nobody.
    let all = symbols(&notes([48, 49, 54]), &Context::default());
    assert_eq!(all[0], "C-C#-F#");
    assert!(all.len() > 1);
}

#[test]
fn doubts_say_what_each_string_decides() {
    let sure = |number: u8| Some((note(number), Doubt::Sure));
    let strings = [
        None,
        Some((note(40), Doubt::NotHeard)),
        Some((note(55), Doubt::Unsure)),
        sure(62),
        sure(66),
        Some((note(71), Doubt::Unsure)),
    ];
    let answer = readings_with_doubts(&strings, &Context::default());
    assert_eq!(answer.readings[0].symbol, "Gmaj7");
    assert_eq!(answer.readings[0].notes[1], None);
    let said: Vec<(usize, &str)> = answer.decisions.iter().map(|one| (one.string, one.sentence.as_str())).collect();
    assert_eq!(
        said,
        [(2, "Gmaj7 if it sounds, Bm/D if it does not"), (5, "Gmaj7 if it sounds, Gmaj7no3 if it does not")]
    );
    for decision in &answer.decisions {
        // Each side is a ranking of its own, cut to the first few.
        let without: Vec<Option<MidiNote>> = strings
            .iter()
            .enumerate()
            .map(|(place, entry)| entry.filter(|(_, doubt)| place != decision.string && *doubt != Doubt::NotHeard))
            .map(|entry| entry.map(|(note, _)| note))
            .collect();
        assert_eq!(decision.with[..], answer.readings[..Decision::READINGS]);
        assert_eq!(decision.without, readings_limited(&without, &Context::default(), Decision::READINGS));
    }
    assert_eq!(answer.sure_alone[0].symbol, "D-F#");
    let doubled =
        readings_with_doubts(&[sure(43), sure(47), sure(50), Some((note(55), Doubt::Unsure))], &Context::default());
    assert_eq!(doubled.decisions[0].sentence, "G either way");
    let alone = readings_with_doubts(&[Some((note(40), Doubt::Unsure))], &Context::default());
    assert_eq!(alone.decisions[0].sentence, "E if it sounds, silence if it does not");
}

#[test]
fn only_a_triad_is_called_one_over_a_foreign_bass() {
    assert_eq!(reading_called("x 5 5 5 5 x", "C/D").reason, "C triad over D: the bass is not part of it");
    let without_third = reading_called("x 3 0 0 3 2", "Gmaj7no3/C").reason;
    assert_eq!(without_third, "Gmaj7no3 over C: the bass is not part of that chord");
}
