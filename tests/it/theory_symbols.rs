//! Chord symbols against tables from outside, and the spellings people write.

use fingerpost::theory::degree::Degree;
use fingerpost::theory::symbol::ChordSymbol;
use proptest::prelude::*;

use crate::reference::rows;

mod libraries;
mod refused;

fn read(text: &str) -> ChordSymbol {
    text.parse().unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn suffixes_hold_what_the_schema_says() {
    // Source: MusicXML 4.0 kind and degree by the schema's rule, tests/reference/chord_suffixes.tsv.
    for [suffix, schema] in rows(SUFFIXES, ["suffix", "schema"]) {
        let symbol = read(&format!("C{}", plain(suffix)));
        let mut ours: Vec<u8> = symbol.formula().iter().map(|degree| degree.folded()).collect();
        ours.sort_unstable();
        let theirs: Vec<u8> = schema.split_whitespace().map(|n| n.parse().unwrap()).collect();
        assert_eq!(ours, theirs, "C{suffix}");
    }
}

#[test]
fn printed_suffixes_are_those_of_the_table() {
    for [suffix] in rows(SUFFIXES, ["suffix"]) {
        let suffix = plain(suffix);
        let printed = read(&format!("C{suffix}")).suffix().to_owned();
        // Brackets, so that it does not read as `ma` and something else.
        let expected = if suffix == "madd9" { "m(add9)" } else { suffix };
        assert_eq!(printed, expected);
    }
}

const SUFFIXES: &str = include_str!("../reference/chord_suffixes.tsv");

/// The table writes the empty suffix `(major)`.
fn plain(suffix: &str) -> &str {
    if suffix == "(major)" { "" } else { suffix }
}

/// What people write, and the one spelling it is printed with. The left-hand spellings of the rows of
/// FACTS (other libraries' alias lists and common practice) stand beside the printed one.
const SPELLINGS: &[(&str, &str)] = &[
    ("C", "C CM Cmaj CMaj Cma Cmajor"),
    ("Cm", "Cm Cmin C- Cmi CMIN Cminor"),
    ("Cdim", "Cdim C° Co Cm(b5)"),
    ("Caug", "Caug C+ C+5 C(#5) C(+5)"),
    ("C5", "C5 Cno3 C(no3) Comit3 C(omit3) Cno3rd Cm(no3)"),
    ("Csus4", "Csus Csus4 C(sus4) Cmsus4"),
    ("Csus2", "Csus2 C(sus2)"),
    ("Csus2sus4", "Csus2sus4 Csus24 Csus2/4 Csus4add9"),
    ("C7", "C7 Cdom7 Cdom C 7"),
    ("Cmaj7", "Cmaj7 CM7 CMaj7 Cma7 CΔ CΔ7 C△ C△7 CMA7 C maj7 C(maj7) Cmajor7 Cmaj 7"),
    ("Cm7", "Cm7 Cmin7 Cmi7 C-7 Cminor7"),
    ("Cm(maj7)", "Cm(maj7) CmM7 CmMaj7 Cm/maj7 C-Δ7 C-Δ Cm(M7) Cminmaj7 Cmin/maj7 Cm#7"),
    ("Cm7b5", "Cm7b5 Cø Cø7 C-7b5 Cm7(b5) Cm7-5 Cm7♭5 Cmin7b5 CØ7"),
    ("Cdim7", "Cdim7 C°7 Co7"),
    ("C7#5", "C7#5 C+7 C7+ Caug7 C7aug C7(#5) C7+5 C7♯5"),
    ("Cmaj7#5", "Cmaj7#5 Caugmaj7 C+M7 CM7#5 C+maj7 CΔ#5 Cmaj7(#5)"),
    ("C6", "C6 Cadd6 CM6 Cmaj6"),
    ("Cm6", "Cm6 C-6 Cmin6"),
    ("C6/9", "C6/9 C69 C6add9 CM69 C6(9) C6(add9) Cmaj6/9"),
    ("Cm6/9", "Cm6/9 Cm69 C-69 Cm6add9"),
    ("C7sus4", "C7sus4 C7sus Csus7 Cm7sus4 C7(sus4)"),
    ("C9sus4", "C9sus4 C9sus Csus9 C7sus4add9"),
    ("C13sus4", "C13sus4 C13sus Csus13"),
    ("C7b9sus4", "C7b9sus4 C7sus4b9 C7susb9 C7sus(b9) C7b9sus"),
    ("Cadd9", "Cadd9 Cadd2 C2 C(add9) C/9 CMadd9 Cadd9th"),
    ("Cm(add9)", "Cm(add9) Cmadd9 Cmadd2 C-add9 Cm(add2)"),
    ("Caug(add9)", "Caug(add9) Caugadd9 C+add9 C+(add9)"),
    ("Cdim(add9)", "Cdim(add9) Cdimadd9 C°add9"),
    ("Cm(addb9)", "Cm(addb9) Cmaddb9 C-addb9"),
    ("Caug(add11)", "Caug(add11) Caugadd11"),
    ("Cadd11", "Cadd11 Cadd4 C(add4) C(add11)"),
    ("C7#9", "C7#9 C7(#9) C7+9 C7♯9 C7[#9]"),
    ("C7b9", "C7b9 C7(b9) C7-9 C7♭9 C9b9"),
    ("C7b9#11", "C7b9#11 C7(b9,#11) C7(b9 #11) C7(b9)(#11) C7#11b9"),
    ("C7alt", "C7alt Calt C7(alt) CAlt"),
    ("C11", "C11"),
    ("C13", "C13"),
    ("C13#11", "C13#11 C13(#11)"),
    ("Cmaj9#11", "Cmaj9#11 CM9(#11) CΔ9#11 Cmaj9+11"),
    ("C(b5)", "C(b5) C(-5)"),
    ("Cm(maj7)b5", "Cdim(maj7) C°maj7 Cm(maj7)b5"),
    ("C7no5", "C7no5 C7(no5) C7omit5 C7 no 5"),
    ("C6/9/E", "C6/9/E C69/E"),
    ("Cm(maj7)/Eb", "CmM7/Eb Cm/maj7/E♭"),
    ("C/F#", "C/F# C/F♯ C / F#"),
    ("Bb5", "Bb5 B♭5"),
    ("C", "C/C"),
];

#[test]
fn the_spellings_people_write_are_printed_one_way() {
    let own = ["Cm(maj7)b5"];
    for (printed, written) in SPELLINGS {
        let joined: Vec<String> = spellings(written);
        for spelling in joined {
            let symbol = read(&spelling);
            if own.contains(printed) {
                assert_eq!(symbol, read(printed), "{spelling}");
            } else {
                assert_eq!(symbol.to_string(), *printed, "{spelling}");
            }
        }
    }
}

/// Splits a list at the spaces that stand before a root, so that spellings may hold spaces.
fn spellings(list: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for word in list.split(' ') {
        let starts = word.starts_with("C") || word.starts_with("B");
        match all.last_mut() {
            Some(last) if !starts => {
                last.push(' ');
                last.push_str(word);
            }
            _ => all.push(word.to_owned()),
        }
    }
    all
}

/// Symbols that must be understood whatever happens to the table of qualities, with their content: MusicXML 4.0 kind
/// and degree by the schema's rule where it has the kind; altered, `no` and add#11 chords by common practice.
const CONTENT: &[(&str, &str)] = &[
    ("C6/9", "1 3 5 6 9"),
    ("C(b5)", "1 3 b5"),
    ("Cm(maj7)b5", "1 b3 b5 7"),
    ("C7#5 C+7", "1 3 #5 b7"),
    ("C7sus2", "1 2 5 b7"),
    ("C6sus4", "1 4 5 6"),
    ("C13sus4", "1 4 5 b7 9 13"),
    ("Cm(add9)", "1 b3 5 9"),
    ("Cadd#11", "1 3 5 #11"),
    ("C9b5", "1 3 b5 b7 9"),
    ("C9#5", "1 3 #5 b7 9"),
    ("C7b9b13", "1 3 5 b7 b9 b13"),
    ("C7#9b13", "1 3 5 b7 #9 b13"),
    ("Cmaj9#11", "1 3 5 7 9 #11"),
    ("Cmaj7b5", "1 3 b5 7"),
    ("C13b9", "1 3 5 b7 b9 11 13"),
    ("C13#11", "1 3 5 b7 9 #11 13"),
    ("Cmaj13", "1 3 5 7 9 11 13"),
    ("Cm13", "1 b3 5 b7 9 11 13"),
    ("Cm(maj9)", "1 b3 5 7 9"),
    ("Cm(maj11)", "1 b3 5 7 9 11"),
    ("C7alt Calt", "1 3 b5 #5 b7 b9 #9"),
    ("Csus2sus4", "1 2 4 5"),
    ("Caugmaj7", "1 3 #5 7"),
    ("C7no3", "1 5 b7"),
    ("C7no5", "1 3 b7"),
    ("Cno3", "1 5"),
    ("Cno5", "1 3"),
    ("C°7", "1 b3 b5 bb7"),
    ("Cø7", "1 b3 b5 b7"),
    ("C△7", "1 3 5 7"),
    ("C/E C/Bb", "1 3 5"),
];

#[test]
fn every_symbol_a_teacher_may_type_has_its_content_on_every_root() {
    for (symbols, content) in CONTENT {
        for symbol in symbols.split(' ') {
            for root in ["C", "C#", "Db", "E", "F#", "Gb", "Ab", "Bb", "B"] {
                let text = symbol.replacen('C', root, 1);
                let found: Vec<String> = read(&text).formula().iter().map(Degree::to_string).collect();
                assert_eq!(found.join(" "), *content, "{text}");
            }
        }
    }
}

#[test]
fn the_accidentals_of_a_root_point_one_way() {
    // Common practice: what follows a sharp root as a flat alters a degree, and the other way about.
    for (text, printed) in [
        ("F#b5", "F#(b5)"),
        ("C#b5/G", "C#(b5)/G"),
        ("F#b9", "F#addb9"),
        ("F♯♭5", "F#(b5)"),
        ("Bb#5", "Bbaug"),
        ("Eb#11", "Ebadd#11"),
        ("Ab#9", "Abadd#9"),
        ("C♮b5", "C(b5)"),
        // Both ways are possible here, and the root comes first.
        ("C#5", "C#5"),
        ("Bbb9", "Bbb9"),
    ] {
        assert_eq!(read(text).to_string(), printed, "{text}");
    }
}

#[test]
fn formulas_are_printed_in_degrees() {
    let formula = |text: &str| read(text).formula().iter().map(Degree::to_string).collect::<Vec<_>>().join(" ");
    assert_eq!(formula("C7#9"), "1 3 5 b7 #9");
    assert_eq!(formula("Bdim7"), "1 b3 b5 bb7");
    assert_eq!(formula("G13/F"), "1 3 5 b7 9 11 13");
    assert_eq!(formula("E/D"), "1 3 5");
}

#[test]
fn transposing_keeps_the_formula_and_the_place_of_the_bass() {
    let fifth = "5".parse().map(fingerpost::theory::interval::Interval::of_degree).unwrap();
    assert_eq!(read("D/F#").transposed(fifth).unwrap().to_string(), "A/C#");
    assert_eq!(read("Bbm7b5/Fb").transposed(fifth).unwrap().to_string(), "Fm7b5/Cb");
    assert_eq!(read("C/E").moved(1, Some("Ab".parse().unwrap())).to_string(), "Db/F");
    assert_eq!(read("C/Bb").moved(-3, None).to_string(), "A/G");
}

#[test]
fn however_far_a_chord_is_moved_its_symbol_says_no_note_twice_and_reads_back_as_it_is() {
    let names: Vec<String> = "CDEFGAB"
        .chars()
        .flat_map(|letter| ["bb", "b", "", "#", "##"].map(|signs| format!("{letter}{signs}")))
        .collect();
    for (root, bass) in names.iter().flat_map(|root| names.iter().map(move |bass| (root, bass))) {
        let symbol = read(&format!("{root}/{bass}"));
        for semitones in -14..=40 {
            let moved = symbol.moved(semitones, None);
            assert!(moved.bass() != Some(moved.root()), "{symbol} {semitones:+}: {moved}");
            assert_eq!(read(&moved.to_string()), moved, "{symbol} {semitones:+}");
        }
    }
}

/// Any text made of pieces that stand in chord symbols.
fn any_symbol_text() -> impl Strategy<Value = String> {
    let root = prop::sample::select(vec!["C", "F#", "Bb", "E", "Abb", "G##", "Db"]);
    let piece = prop::sample::select(vec![
        "m", "maj7", "M", "7", "9", "11", "13", "6", "69", "6/9", "dim", "dim7", "ø", "aug", "+", "sus2", "sus4",
        "sus", "add9", "add11", "add#11", "addb9", "add13", "(b5)", "b5", "#5", "b9", "#9", "#11", "b13", "(b6)",
        "no3", "no5", "no9", "alt", "5", "(9)", "(13)", "Δ", "-", "2", "(maj7)", "/",
    ]);
    let bass = prop::sample::select(vec!["", "", "/E", "/Bb", "/F#"]);
    (root, prop::collection::vec(piece, 0..5), bass)
        .prop_map(|(root, pieces, bass)| format!("{root}{}{bass}", pieces.concat()))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2048))]

    #[test]
    fn what_is_printed_reads_back_as_the_same_symbol(text in any_symbol_text()) {
        if let Ok(symbol) = text.parse::<ChordSymbol>() {
            let printed = symbol.to_string();
            prop_assert!(printed.is_ascii());
            let again = printed.parse::<ChordSymbol>();
            prop_assert_eq!(again.as_ref(), Ok(&symbol), "{} printed as {}", text, printed);
            prop_assert_eq!(symbol.tones().len(), symbol.formula().len());
        }
    }
}

#[test]
fn chords_that_move_together_are_spelled_alike() {
    let together = |names: &str, semitones: i32, key: Option<&str>| {
        let symbols: Vec<ChordSymbol> = names.split(' ').map(read).collect();
        let moved = ChordSymbol::moved_together(&symbols, semitones, key.map(|key| key.parse().unwrap()));
        moved.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(together("E5 Asus2 B7sus4", -3, None), "C#5 F#sus2 G#7sus4");
    assert_eq!(together("E5 Asus2 B7sus4", -3, Some("Db")), "Db5 Gbsus2 Ab7sus4");
    // The flats of the one chord in Eb weigh more than the sharp of D/F#.
    assert_eq!(together("D G A/C# D/F#", 1, None), "Eb Ab Bb/D Eb/G");
}

proptest! {
    #[test]
    fn chords_that_move_together_have_sharps_or_flats(
        roots in proptest::collection::vec(0..12_i32, 1..8),
        suffixes in proptest::collection::vec(prop_oneof![Just(""), Just("m"), Just("7"), Just("m7b5"), Just("sus4")], 8),
        semitones in -11..12_i32,
    ) {
        let symbols: Vec<ChordSymbol> =
            roots.iter().zip(&suffixes).map(|(up, suffix)| read(&format!("C{suffix}")).moved(*up, None)).collect();
        let moved = ChordSymbol::moved_together(&symbols, semitones, None);
        let has = |accidental: i8| moved.iter().any(|symbol| symbol.root().accidental() == accidental);
        prop_assert!(!(has(1) && has(-1)), "{moved:?}");
        for (symbol, moved) in symbols.iter().zip(&moved) {
            prop_assert_eq!(moved.pitch_classes(), symbol.moved(semitones, None).pitch_classes());
        }
    }
}
