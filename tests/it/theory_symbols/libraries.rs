//! Every symbol of the tables of two libraries, tone by tone; where they differ, why.

use std::collections::BTreeMap;

use fingerpost::theory::pitch::NoteName;
use fingerpost::theory::symbol::ChordSymbol;

use super::read;
use crate::reference::rows;

/// A suffix that a library understands otherwise than this project, on every root.
struct Difference {
    suffix: &'static str,
    /// Semitones above the root, folded into the octave.
    theirs: &'static str,
    ours: &'static str,
    reason: &'static str,
}

/// music21 10.5.1. tests/reference/chord_suffixes.tsv holds the comparison with the other sources.
const MUSIC21: &[Difference] = &[
    Difference {
        suffix: "13#11",
        theirs: "0 2 4 5 7 9 10",
        ours: "0 2 4 6 7 9 10",
        reason: "the library does not apply #11 to a thirteenth; the schema and mir_eval do",
    },
    Difference {
        suffix: "13b9",
        theirs: "0 2 4 5 7 9 10",
        ours: "0 1 4 5 7 9 10",
        reason: "the library does not apply b9 to a thirteenth; the schema and mir_eval do",
    },
];

/// tonal 6.4.0.
const TONAL: &[Difference] = &[
    Difference {
        suffix: "11",
        theirs: "0 2 5 7 10",
        ours: "0 2 4 5 7 10",
        reason: "the library leaves the third out; the schema, music21 and mir_eval keep it",
    },
    Difference {
        suffix: "13",
        theirs: "0 2 4 7 9 10",
        ours: "0 2 4 5 7 9 10",
        reason: "the library leaves the eleventh out; the schema, music21 and mir_eval keep it",
    },
    Difference {
        suffix: "maj13",
        theirs: "0 2 4 7 9 11",
        ours: "0 2 4 5 7 9 11",
        reason: "the library leaves the eleventh out; the schema, music21 and mir_eval keep it",
    },
    Difference {
        suffix: "m13",
        theirs: "0 2 3 7 9 10",
        ours: "0 2 3 5 7 9 10",
        reason: "the library leaves the eleventh out; the schema, music21 and mir_eval keep it",
    },
    Difference {
        suffix: "13b9",
        theirs: "0 1 4 7 9 10",
        ours: "0 1 4 5 7 9 10",
        reason: "the library leaves the eleventh out; the schema and mir_eval keep it",
    },
    Difference {
        suffix: "7b13",
        theirs: "0 4 8 10",
        ours: "0 4 7 8 10",
        reason: "the library leaves the fifth out; the schema, music21 and mir_eval keep it",
    },
    Difference {
        suffix: "7b5b9",
        theirs: "0 1 4 6 7 10",
        ours: "0 1 4 6 10",
        reason: "the library reads b5 as #11; the schema, music21 and mir_eval alter the fifth",
    },
    Difference {
        suffix: "7b5#9",
        theirs: "0 3 4 6 7 10",
        ours: "0 3 4 6 10",
        reason: "the library reads b5 as #11; the schema, music21 and mir_eval alter the fifth",
    },
];

/// Suffixes that a library has no way to say: their rows hold no notes.
const TONAL_CANNOT_SAY: &[&str] = &["add11", "maj11"];

/// The roots of the tables.
const ROOTS: usize = 17;
/// Their rows: 57 suffixes on every root, and 77 slash chords.
const ROWS: usize = 57 * ROOTS + 77;

fn names(text: &str) -> Vec<NoteName> {
    sorted(text.split_whitespace().map(|name| name.parse().unwrap()).collect())
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

fn listed<T: ToString>(numbers: impl Iterator<Item = T>) -> String {
    numbers.map(|number| number.to_string()).collect::<Vec<_>>().join(" ")
}

fn above_root(symbol: &ChordSymbol) -> String {
    listed(symbol.pitch_classes().counted_from(symbol.root().pitch_class().number()).classes())
}

#[track_caller]
fn check_table(table: &'static str, differences: &[Difference], cannot_say: &[&str]) {
    let columns = ["symbol", "root", "bass", "notes", "pitch_classes", "relative", "status"];
    let mut differing: BTreeMap<&str, usize> = BTreeMap::new();
    let (mut same, mut unsaid) = (0, 0);
    for [text, root, bass, notes, classes, relative, status] in rows(table, columns) {
        let symbol = read(text);
        if status != "ok" {
            assert!(cannot_say.contains(&symbol.suffix()), "{text}: {status}");
            unsaid += 1;
            continue;
        }
        assert_eq!(symbol.root().to_string(), root, "{text}");
        assert_eq!(symbol.bass().unwrap_or(symbol.root()).to_string(), bass, "{text}");
        let suffix = text.strip_prefix(root).unwrap();
        if let Some(difference) = differences.iter().find(|difference| difference.suffix == suffix) {
            assert_eq!(relative, difference.theirs, "{text}: {}", difference.reason);
            assert_eq!(above_root(&symbol), difference.ours, "{text}: {}", difference.reason);
            *differing.entry(suffix).or_default() += 1;
            continue;
        }
        assert_eq!(sounding(&symbol), names(&format!("{notes} {bass}")), "{text}");
        assert_eq!(listed(symbol.pitch_classes().classes()), classes, "{text}");
        same += 1;
    }
    assert_eq!(unsaid, cannot_say.len() * ROOTS);
    assert_eq!(differing.len(), differences.len(), "a listed difference does not occur");
    assert!(differing.values().all(|roots| *roots == ROOTS), "{differing:?}");
    assert_eq!(same, ROWS - (differences.len() + cannot_say.len()) * ROOTS);
}

#[test]
fn symbols_hold_the_notes_that_music21_spells() {
    // Source: music21 10.5.1, tests/reference/chord_symbols_music21.tsv.
    check_table(include_str!("../../reference/chord_symbols_music21.tsv"), MUSIC21, &[]);
}

#[test]
fn symbols_hold_the_notes_that_tonal_spells() {
    // Source: tonal 6.4.0, tests/reference/chord_symbols_tonal.tsv.
    check_table(include_str!("../../reference/chord_symbols_tonal.tsv"), TONAL, TONAL_CANNOT_SAY);
}
