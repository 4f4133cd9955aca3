//! Chord symbols against tables from outside, and the spellings people write.

use fingerpost::theory::degree::Degree;
use fingerpost::theory::pitch::NoteName;
use fingerpost::theory::symbol::ChordSymbol;
use proptest::prelude::*;

use crate::reference::rows;

fn read(text: &str) -> ChordSymbol {
    text.parse().unwrap_or_else(|error| panic!("{error}"))
}

fn names(text: &str) -> Vec<NoteName> {
    text.split_whitespace().map(|name| name.parse().unwrap()).collect()
}

fn sorted(mut names: Vec<NoteName>) -> Vec<NoteName> {
    names.sort();
    names.dedup();
    names
}

/// The tones of a symbol with its bass, as the tables list them.
fn sounding(symbol: &ChordSymbol) -> Vec<NoteName> {
    sorted(symbol.tones().into_iter().chain(symbol.bass()).collect())
}

/// Suffixes of which the table's own source says something else than we do, and why.
/// tests/reference/chord_suffixes.tsv holds the comparison and its verdicts.
const MUSIC21_DIFFERS: &[(&str, &str)] = &[
    ("13#11", "the library does not apply #11 to a thirteenth; the schema and mir_eval do"),
    ("13b9", "the library does not apply b9 to a thirteenth; the schema and mir_eval do"),
];
const TONAL_DIFFERS: &[(&str, &str)] = &[
    ("11", "the library leaves the third out; the schema, music21 and mir_eval keep it"),
    ("13", "the library leaves the eleventh out; the schema, music21 and mir_eval keep it"),
    ("maj13", "the library leaves the eleventh out; the schema, music21 and mir_eval keep it"),
    ("m13", "the library leaves the eleventh out; the schema, music21 and mir_eval keep it"),
    ("13b9", "the library leaves the eleventh out; the schema and mir_eval keep it"),
    ("7b13", "the library leaves the fifth out; the schema, music21 and mir_eval keep it"),
    ("7b5b9", "the library reads b5 as #11; the schema, music21 and mir_eval alter the fifth"),
    ("7b5#9", "the library reads b5 as #11; the schema, music21 and mir_eval alter the fifth"),
];

#[track_caller]
fn check_table(table: &'static str, differs: &[(&str, &str)]) {
    let mut used = std::collections::BTreeSet::new();
    let mut checked = 0;
    for [text, bass, notes, status] in rows(table, ["symbol", "bass", "notes", "status"]) {
        if status != "ok" {
            continue;
        }
        let symbol = read(text);
        let suffix = text.strip_prefix(&symbol.root().to_string()).unwrap();
        let ours = sounding(&symbol);
        let theirs = sorted(names(notes).into_iter().chain(names(bass)).collect());
        if let Some((suffix, _)) = differs.iter().find(|(differing, _)| *differing == suffix) {
            assert_ne!(ours, theirs, "{text} is listed as a difference and is none");
            used.insert(*suffix);
            continue;
        }
        assert_eq!(ours, theirs, "{text}");
        checked += 1;
    }
    assert!(checked > 800, "only {checked} rows were compared");
    assert_eq!(used.len(), differs.len(), "a listed difference does not occur");
}

#[test]
fn symbols_hold_the_notes_that_music21_spells() {
    // Source: music21 10.5.1, tests/reference/chord_symbols_music21.tsv.
    check_table(include_str!("../reference/chord_symbols_music21.tsv"), MUSIC21_DIFFERS);
}

#[test]
fn symbols_hold_the_notes_that_tonal_spells() {
    // Source: tonal 6.4.0, tests/reference/chord_symbols_tonal.tsv.
    check_table(include_str!("../reference/chord_symbols_tonal.tsv"), TONAL_DIFFERS);
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
    ("C", "C CM Cmaj CMaj Cma C^ Cmajor"),
    ("Cm", "Cm Cmin C- Cmi CMIN Cminor"),
    ("Cdim", "Cdim C° Co Cm(b5)"),
    ("Caug", "Caug C+ C+5 C(#5) C(+5)"),
    ("C5", "C5 Cno3 C(no3) Comit3 C(omit3) Cno3rd Cm(no3)"),
    ("Csus4", "Csus Csus4 C(sus4) Cmsus4"),
    ("Csus2", "Csus2 C(sus2)"),
    ("Csus2sus4", "Csus2sus4 Csus24 Csus2/4 Csus4add9"),
    ("C7", "C7 Cdom7 Cdom C 7"),
    ("Cmaj7", "Cmaj7 CM7 CMaj7 Cma7 CΔ CΔ7 C^7 C△ C△7 CMA7 C maj7 C(maj7) Cmajor7 Cmaj 7"),
    ("Cm7", "Cm7 Cmin7 Cmi7 C-7 Cminor7"),
    ("Cm(maj7)", "Cm(maj7) CmM7 CmMaj7 Cm/maj7 C-Δ7 C-Δ Cm(M7) Cminmaj7 Cmin/maj7 Cm#7"),
    ("Cm7b5", "Cm7b5 Cø Cø7 C-7b5 Ch7 Cm7(b5) Cm7-5 Cm7♭5 Cmin7b5 CØ7"),
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

#[test]
fn what_was_understood_and_what_was_not_is_said() {
    for (text, message) in [
        ("Cmaj7xyz", "`Cmaj7xyz`: read Cmaj7, then `xyz` is no part of a chord symbol"),
        ("Cm7(b9,quux)", "`Cm7(b9,quux)`: read Cm7(b9, then `quux)` is no part of a chord symbol"),
        ("am7", "`am7` is not a chord symbol: it should start with its root, a capital A to G, as in `Bb7`"),
        ("H7", "`H7` is not a chord symbol: it should start with its root, a capital A to G, as in `Bb7`"),
        ("", "nothing is written where a chord symbol was expected, as in `Am7` or `D/F#`"),
        ("C/H", "`C/H`: read C, then `H` after the slash is no bass note: expected a capital A to G"),
        ("C/", "`C/`: expected a bass note after the slash, a capital A to G"),
        ("C7(b9", "`C7(b9`: a bracket is opened or closed without its partner"),
        ("C7b9)", "`C7b9)`: a bracket is opened or closed without its partner"),
        ("C7no9", "`C7no9`: read C7, which has no 9 to leave out"),
        ("C###", "`C###` is not a chord symbol: a root has at most two sharps or flats"),
        ("C77", "`C77`: read C7, then `7` is no part of a chord symbol"),
        ("C#b#b#b#b#########", "`C#b#b#b#b#########` is not a chord symbol: a root has at most two sharps or flats"),
    ] {
        let error = text.parse::<ChordSymbol>().unwrap_err();
        assert_eq!(error.to_string(), message);
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

    #[test]
    fn no_text_makes_the_reader_panic(text in "[A-G][-A-Za-z0-9#♭Δø°+/(),. ]{0,12}") {
        let _ = text.parse::<ChordSymbol>();
    }

    #[test]
    fn neither_does_any_text_at_all(text in ".{0,12}") {
        let _ = text.parse::<ChordSymbol>();
    }
}
