//! Published fingerings of chords, and how their symbols are written here.
//!
//! Source: @tombatossals/chords-db 0.5.1 (MIT), tests/reference/fingerings_*.tsv. The dataset is made by hand and holds
//! slips; how many of its shapes sound something else than their symbol is counted below, per suffix.

use std::collections::{BTreeMap, BTreeSet};

use fingerpost::theory::degree::Degree;
use fingerpost::theory::pitch::PitchClass;
use fingerpost::theory::pitch_set::PitchSet;
use fingerpost::theory::symbol::ChordSymbol;

use crate::reference::rows;

/// Which of the two instruments a fingering is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Instrument {
    /// Six strings in standard tuning.
    Guitar,
    /// Four strings, re-entrant.
    Ukulele,
}

impl Instrument {
    /// The open strings as MIDI notes, highest string number first: the headers of the tables.
    pub const fn open_strings(self) -> &'static [u8] {
        match self {
            Self::Guitar => &[40, 45, 50, 55, 59, 64],
            Self::Ukulele => &[67, 60, 64, 69],
        }
    }

    const fn table(self) -> &'static str {
        match self {
            Self::Guitar => include_str!("../reference/fingerings_guitar.tsv"),
            Self::Ukulele => include_str!("../reference/fingerings_ukulele.tsv"),
        }
    }
}

/// One published fingering.
#[derive(Debug, Clone)]
pub struct Fingering {
    /// The root as the dataset writes it.
    pub key: &'static str,
    /// The dataset's word for the quality and the bass.
    pub suffix: &'static str,
    /// The symbol as it is read here.
    pub symbol: String,
    /// Frets from the nut, highest string number first; `None` is muted.
    pub frets: Vec<Option<u8>>,
    /// Fingers 1 to 4; `None` where there is none.
    pub fingers: Vec<Option<u8>>,
    /// Frets held by a barre.
    pub barres: Vec<u8>,
}

impl Fingering {
    /// The sounding pitch classes.
    pub fn sounding(&self, instrument: Instrument) -> PitchSet {
        let strings = self.frets.iter().zip(instrument.open_strings());
        strings.filter_map(|(fret, open)| Some(PitchClass::of(i32::from((*fret)? + open)))).collect()
    }

    /// Whether it sounds tones of its chord and its bass only; a few rows are slips and do not.
    pub fn is_pure(&self, instrument: Instrument) -> bool {
        self.sounding(instrument).minus(read(self).pitch_classes()).is_empty()
    }
}

/// Every published fingering of an instrument.
pub fn fingerings(instrument: Instrument) -> Vec<Fingering> {
    let numbers = |text: &str| text.split_whitespace().map(|number| number.parse().ok()).collect::<Vec<Option<u8>>>();
    rows(instrument.table(), ["key", "suffix", "frets", "fingers", "barres"])
        .into_iter()
        .map(|[key, suffix, frets, fingers, barres]| Fingering {
            key,
            suffix,
            symbol: our_symbol(key, suffix),
            frets: numbers(frets),
            fingers: numbers(fingers).into_iter().map(|finger| finger.filter(|finger| *finger > 0)).collect(),
            barres: numbers(barres).into_iter().flatten().collect(),
        })
        .collect()
}

/// The dataset's suffixes that are written otherwise here, and why. All others are written alike.
const OUR_SUFFIX: &[(&str, &str, &str)] = &[
    ("major", "", "a bare root is major"),
    ("minor", "m", "our spelling"),
    ("69", "6/9", "our spelling"),
    ("m69", "m6/9", "our spelling"),
    ("aug7", "7#5", "our spelling; its shapes sound 1 3 #5 b7"),
    ("aug9", "9#5", "our spelling; its shapes sound 1 3 #5 b7 9"),
    ("7b9#5", "7#5b9", "our spelling: degrees rise"),
    ("b13b9", "7b9b13", "its shapes sound 3 b7 b9 b13"),
    ("b13#9", "7#9b13", "its shapes sound 3 b7 #9 b13"),
    ("mmaj7", "m(maj7)", "our spelling"),
    ("mmaj7b5", "m(maj7)b5", "our reader's spelling of dim(maj7); its shapes sound 1 b3 b5 7"),
    ("mmaj9", "m(maj9)", "our spelling"),
    ("mmaj11", "m(maj11)", "our spelling"),
    ("madd9", "m(add9)", "our spelling"),
    ("alt", "(b5)", "its shapes sound 1 3 b5 and no seventh: no altered dominant"),
    ("7sg", "7/G", "given for C only; its shapes are C7 with G in the bass"),
];

/// Returns how the chord that the dataset calls `key` and `suffix` is written here.
pub fn our_symbol(key: &str, suffix: &str) -> String {
    let ours = OUR_SUFFIX.iter().find(|(theirs, ..)| *theirs == suffix).map_or(suffix, |(_, ours, _)| ours);
    format!("{key}{ours}")
}

/// What the shapes of one suffix sound, compared with the formula of its symbol.
#[derive(Debug, Default)]
struct Heard {
    rows: usize,
    /// Rows that sound tones of the chord and its bass only.
    pure: usize,
    /// How often a tone of the formula is silent in those rows.
    silent: BTreeMap<Degree, usize>,
}

fn heard(instrument: Instrument) -> BTreeMap<&'static str, Heard> {
    let mut all: BTreeMap<&'static str, Heard> = BTreeMap::new();
    for fingering in fingerings(instrument) {
        let symbol = read(&fingering);
        let heard = all.entry(fingering.suffix).or_default();
        heard.rows += 1;
        if !fingering.is_pure(instrument) {
            continue;
        }
        heard.pure += 1;
        let above_root = fingering.sounding(instrument).counted_from(symbol.root().pitch_class().number());
        for degree in symbol.formula().iter().filter(|degree| !above_root.has(degree.folded())) {
            *heard.silent.entry(*degree).or_default() += 1;
        }
    }
    all
}

fn read(fingering: &Fingering) -> ChordSymbol {
    fingering.symbol.parse().unwrap_or_else(|error| panic!("{} {}: {error}", fingering.key, fingering.suffix))
}

const BOTH: [(Instrument, usize); 2] = [(Instrument::Guitar, 2069), (Instrument::Ukulele, 2114)];

#[test]
fn every_published_symbol_is_understood() {
    let mut suffixes = BTreeSet::new();
    for (instrument, count) in BOTH {
        let all = fingerings(instrument);
        assert_eq!(all.len(), count);
        for fingering in &all {
            let symbol = read(fingering);
            assert_eq!(symbol.root().to_string(), fingering.key, "{}", fingering.suffix);
            let bass = fingering.suffix.split_once('/').map(|(_, bass)| bass);
            if bass.is_some() {
                assert_eq!(symbol.bass().map(|bass| bass.to_string()).as_deref(), bass, "{}", fingering.symbol);
            }
            suffixes.insert(fingering.suffix);
        }
    }
    assert_eq!(suffixes.len(), 69);
    for (suffix, ours, reason) in OUR_SUFFIX {
        assert!(suffixes.contains(suffix), "{suffix}, {ours} because {reason}, is in neither table");
    }
}

#[test]
fn a_written_bass_is_the_lowest_note() {
    for fingering in fingerings(Instrument::Guitar).iter().filter(|fingering| fingering.is_pure(Instrument::Guitar)) {
        if let Some(bass) = read(fingering).bass() {
            let strings = fingering.frets.iter().zip(Instrument::Guitar.open_strings());
            let lowest = strings.filter_map(|(fret, open)| Some((*fret)? + open)).min().unwrap();
            assert_eq!(PitchClass::of(i32::from(lowest)), bass.pitch_class(), "{}", fingering.symbol);
        }
    }
}

#[test]
fn published_shapes_sound_tones_of_their_chord() {
    // The rest are slips of the dataset: 29 shapes for the guitar (five of them for `11`, four for `madd9`) and four
    // for the ukulele sound a tone that no source has in that chord.
    for (instrument, pure) in [(Instrument::Guitar, 2040), (Instrument::Ukulele, 2110)] {
        let all = heard(instrument);
        assert_eq!(all.values().map(|heard| heard.pure).sum::<usize>(), pure, "{instrument:?}");
        for (suffix, heard) in all {
            // A suffix read as the wrong chord would lose nearly all its rows, not a few.
            assert!(heard.pure * 100 >= heard.rows * 83, "{suffix}: {} of {}", heard.pure, heard.rows);
        }
    }
}

/// Tones that published shapes leave out, of the rows that sound tones of their chord only. A suffix that is not listed
/// here always sounds whole. Counted from the tables, so that a change in how a symbol is read shows.
const LEFT_OUT: &[(Instrument, &str, usize, &str)] = &[
    (Instrument::Guitar, "7sus4", 48, "5:12"),
    (Instrument::Guitar, "6", 47, "5:15"),
    (Instrument::Guitar, "69", 48, "5:8"),
    (Instrument::Guitar, "7", 48, "5:6"),
    (Instrument::Guitar, "9", 49, "3:1 5:10 b7:1"),
    (Instrument::Guitar, "aug9", 48, "1:1"),
    (Instrument::Guitar, "7b9", 48, "1:2 5:19"),
    (Instrument::Guitar, "7#9", 47, "5:25"),
    (Instrument::Guitar, "11", 43, "5:14 9:30"),
    (Instrument::Guitar, "9#11", 47, "5:37 9:25"),
    (Instrument::Guitar, "13", 48, "5:30 9:32 11:27"),
    (Instrument::Guitar, "maj7", 48, "5:2"),
    (Instrument::Guitar, "maj9", 47, "1:6 5:9"),
    (Instrument::Guitar, "maj11", 48, "5:16 9:43"),
    (Instrument::Guitar, "maj13", 48, "5:34 9:32 11:29"),
    (Instrument::Guitar, "m7", 49, "5:2"),
    (Instrument::Guitar, "m9", 48, "1:3 5:2"),
    (Instrument::Guitar, "m69", 47, "5:12"),
    (Instrument::Guitar, "m11", 47, "5:32 9:13"),
    (Instrument::Guitar, "mmaj9", 48, "1:1 5:17"),
    (Instrument::Guitar, "mmaj11", 47, "5:15 9:24"),
    (Instrument::Guitar, "add9", 47, "5:3"),
    (Instrument::Guitar, "madd9", 44, "5:1"),
    (Instrument::Ukulele, "69", 48, "1:48"),
    (Instrument::Ukulele, "9", 48, "1:48"),
    (Instrument::Ukulele, "9b5", 48, "1:48"),
    (Instrument::Ukulele, "aug9", 47, "1:47"),
    (Instrument::Ukulele, "7b9", 48, "1:48"),
    (Instrument::Ukulele, "7b9#5", 48, "1:48"),
    (Instrument::Ukulele, "7#9", 48, "1:48"),
    (Instrument::Ukulele, "11", 24, "1:24 5:24"),
    (Instrument::Ukulele, "9#11", 48, "1:48 5:48"),
    (Instrument::Ukulele, "13", 48, "1:48 5:48 11:48"),
    (Instrument::Ukulele, "13b9", 48, "1:48 5:48 11:48"),
    (Instrument::Ukulele, "13b5b9", 45, "1:45 3:45 11:45"),
    (Instrument::Ukulele, "b13b9", 48, "1:48 5:48"),
    (Instrument::Ukulele, "b13#9", 48, "1:48 5:48"),
    (Instrument::Ukulele, "maj9", 48, "1:48"),
    (Instrument::Ukulele, "maj11", 26, "1:26 5:26"),
    (Instrument::Ukulele, "maj13", 48, "1:48 5:48 11:48"),
    (Instrument::Ukulele, "m9", 48, "1:48"),
    (Instrument::Ukulele, "m69", 48, "1:48"),
    (Instrument::Ukulele, "m9b5", 48, "1:48"),
    (Instrument::Ukulele, "m11", 37, "1:37 5:37"),
    (Instrument::Ukulele, "mmaj9", 48, "1:48"),
    (Instrument::Ukulele, "mmaj11", 37, "1:37 5:37"),
];

#[test]
fn published_shapes_leave_out_what_players_leave_out() {
    for (instrument, _) in BOTH {
        for (suffix, heard) in heard(instrument) {
            let silent: Vec<String> = heard.silent.iter().map(|(degree, count)| format!("{degree}:{count}")).collect();
            let listed = LEFT_OUT.iter().find(|(on, name, ..)| (*on, *name) == (instrument, suffix));
            let (pure, expected) = listed.map_or((heard.pure, ""), |(_, _, pure, expected)| (*pure, *expected));
            assert_eq!((heard.pure, silent.join(" ").as_str()), (pure, expected), "{suffix} on the {instrument:?}");
        }
    }
}

#[test]
fn a_finger_stands_where_a_string_is_stopped() {
    for (instrument, _) in BOTH {
        let all = fingerings(instrument);
        let agree = |fingering: &&Fingering| {
            let pairs = fingering.frets.iter().zip(&fingering.fingers);
            pairs.into_iter().all(|(fret, finger)| fret.is_some_and(|fret| fret > 0) == finger.is_some())
        };
        // The others are slips: a finger on a muted string, or none on a stopped one.
        assert!(all.iter().filter(agree).count() * 100 >= all.len() * 99, "{instrument:?}");
        for fingering in &all {
            assert_eq!(fingering.frets.len(), instrument.open_strings().len());
            for barre in &fingering.barres {
                let held = fingering.frets.iter().filter(|fret| **fret == Some(*barre)).count();
                assert!(held >= 2, "{} {:?}", fingering.symbol, fingering.frets);
            }
        }
    }
}
