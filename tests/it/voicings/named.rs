//! Voicings named back: what the search returns for a symbol is read as that symbol again.

use std::collections::{BTreeMap, BTreeSet};

use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::voicing::board::ChordBoard;
use fingerpost::instrument::voicing::request::Request;
use fingerpost::instrument::voicing::tones::ChordTones;
use fingerpost::theory::degree::Degree;
use fingerpost::theory::formula::Formula;
use fingerpost::theory::pitch::{MidiNote, NoteName};
use fingerpost::theory::pitch_set::PitchSet;
use fingerpost::theory::reading::{Context, Lowest, readings_limited};
use fingerpost::theory::symbol::ChordSymbol;

use super::{QUALITIES, rig, symbol};
use crate::reference::rows;

/// Root and tones: what makes two names one chord, whatever the spelling and the bass.
fn chord(symbol: &ChordSymbol) -> (u8, BTreeSet<u8>) {
    let tones = symbol.formula().iter().map(|degree| degree.folded()).collect();
    (symbol.root().pitch_class().number(), tones)
}

/// What a voicing leaves out of its chord, as far as that makes the name harder to find.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    /// Every tone sounds over the root (or where nobody hears a bass).
    Whole,
    /// Every tone sounds over another one.
    Inverted,
    /// Tones are left out over the root.
    Thinned,
    /// Tones are left out over another tone.
    ThinnedInverted,
    /// The root is left out.
    Rootless,
}

/// How many voicings of each kind there are, and those not named back among the first three readings.
type Count = BTreeMap<Kind, (usize, Vec<String>)>;

/// Looks at the first voicings of `wanted`.
fn count(rig: &Rig, board: &ChordBoard, wanted: &ChordSymbol, limit: usize, counts: &mut Count) {
    let lowest = rig.lowest_is();
    let context = Context { lowest, ..Context::default() };
    let request = Request::default();
    let found = board.search(wanted, &request).map(|search| search.found(limit)).unwrap_or_default();
    for voicing in &found {
        let notes = rig.notes(&voicing.shape).unwrap();
        let readings = readings_limited(&notes, &context, 3);
        let root = wanted.root().pitch_class();
        let is_named = readings.iter().any(|reading| {
            let tones: BTreeSet<u8> = reading.formula.iter().map(|degree| degree.folded()).collect();
            (reading.root.map(NoteName::pitch_class), tones) == (Some(root), chord(wanted).1)
        });
        let sounding: PitchSet = notes.iter().flatten().map(|note| note.pitch_class()).collect();
        let bass = notes.iter().flatten().min().map(|note| note.pitch_class());
        let over_root = rig.lowest_is() == Lowest::AnyTone || bass == Some(root);
        let kind = match wanted.pitch_classes().minus(sounding).is_empty() {
            _ if !sounding.has(root.number()) => Kind::Rootless,
            true if over_root => Kind::Whole,
            true => Kind::Inverted,
            false if over_root => Kind::Thinned,
            false => Kind::ThinnedInverted,
        };
        let (all, lost) = counts.entry(kind).or_default();
        *all += 1;
        if !is_named {
            let names: Vec<&str> = readings.iter().map(|reading| reading.symbol.as_str()).collect();
            lost.push(format!("{wanted} {} is {}", voicing.shape, names.join(", ")));
        }
    }
}

/// At most this share of each kind has the chord behind the third place of its readings, in percent.
///
/// - Whole: a dim7 has four roots where nobody hears a bass; suspended and sixth chords of the same tones stand first.
/// - Inverted: the same, and over a tone on which another chord has its root (`C6sus4` over D or G).
/// - Thinned: without its ninth a 9#11 is a 7#11, without its fifth an add11 or add#11 is another chord.
/// - Rootless: what is left is a whole chord of its own, always so on four strings.
type AtMost = (&'static str, usize, &'static [&'static str], [(Kind, usize); 5]);

/// Instrument, how many voicings of each symbol, roots, and the shares. Without optimisation all twelve roots take too
/// long for a test; the others move the same shapes, but for open strings.
const AT_MOST: [AtMost; 3] = [
    (
        "guitar",
        40,
        &["C", "F#"],
        [(Kind::Whole, 0), (Kind::Inverted, 6), (Kind::Thinned, 13), (Kind::ThinnedInverted, 24), (Kind::Rootless, 45)],
    ),
    (
        "ukulele",
        30,
        &["C", "Eb"],
        [(Kind::Whole, 4), (Kind::Inverted, 0), (Kind::Thinned, 36), (Kind::ThinnedInverted, 0), (Kind::Rootless, 80)],
    ),
    (
        "7-string guitar",
        15,
        &["E"],
        [(Kind::Whole, 0), (Kind::Inverted, 5), (Kind::Thinned, 13), (Kind::ThinnedInverted, 20), (Kind::Rootless, 50)],
    ),
];

#[test]
fn voicings_are_named_back_among_the_first_three_readings() {
    for (instrument, limit, roots, at_most) in AT_MOST {
        let rig = rig(instrument, "standard", None);
        let board = ChordBoard::of(&rig);
        let mut counts = Count::new();
        for quality in QUALITIES {
            for root in roots {
                count(&rig, &board, &symbol(&format!("{root}{quality}")), limit, &mut counts);
            }
        }
        for (kind, (all, lost)) in counts {
            let percent = at_most.iter().find(|(listed, _)| *listed == kind).unwrap().1;
            assert!(lost.len() * 100 <= all * percent, "{instrument} {kind:?}: {} of {all}: {lost:#?}", lost.len());
        }
    }
}

/// The symbol with these degrees, written `degree:semitones` as in the table of kinds.
fn of_degrees(root: &str, degrees: &str) -> ChordSymbol {
    let mut formula = Formula::default();
    for degree in degrees.split(' ') {
        let (number, semitones) = degree.split_once(':').unwrap();
        let (number, semitones): (u8, i8) = (number.parse().unwrap(), semitones.parse().unwrap());
        let natural =
            i8::try_from((number - 1) / 7 * 12).unwrap() + [0, 2, 4, 5, 7, 9, 11][usize::from((number - 1) % 7)];
        formula = formula.with(Formula::of(Degree::new(number, semitones - natural).unwrap()));
    }
    ChordSymbol::new(root.parse().unwrap(), formula, None).unwrap()
}

const ROOTS: [&str; 12] = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];

/// Says under which name the best voicing of `wanted` is read, if that is another chord.
fn misnamed(rig: &Rig, board: &ChordBoard, wanted: &ChordSymbol) -> Option<String> {
    let request = Request::default();
    let best = board.search(wanted, &request).unwrap().found(1).pop().unwrap();
    let reading = readings_limited(&rig.notes(&best.shape).unwrap(), &Context::default(), 1).pop().unwrap();
    let tones: BTreeSet<u8> = reading.formula.iter().map(|degree| degree.folded()).collect();
    let (root, expected) = chord(wanted);
    // Augmented and fully diminished chords are the same from each of their tones.
    let symmetric = expected == BTreeSet::from([0, 4, 8]) || expected == BTreeSet::from([0, 3, 6, 9]);
    let same_root = reading.root.is_some_and(|name| name.pitch_class().number() == root);
    let same = tones == expected && (same_root || symmetric);
    (!same).then(|| format!("{wanted} {} {}", best.shape, reading.symbol))
}

#[test]
fn the_best_voicing_of_every_musicxml_kind_is_named_back() {
    // Source: MusicXML 4.0 simpleType kind-value, tests/reference/musicxml_kinds.tsv.
    let guitar = rig("guitar", "standard", None);
    let board = ChordBoard::of(&guitar);
    let mut wrong = Vec::new();
    for [kind, degrees] in rows(include_str!("../../reference/musicxml_kinds.tsv"), ["kind", "degrees"]) {
        for root in ROOTS.iter().filter(|_| !degrees.is_empty()) {
            wrong.extend(misnamed(&guitar, &board, &of_degrees(root, degrees)).map(|name| format!("{kind}: {name}")));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn the_best_voicing_of_every_mir_eval_quality_is_named_back() {
    // Source: mir_eval 0.8.2, tests/reference/mir_eval_qualities.tsv. Written otherwise here: these.
    const OURS: [(&str, &str); 6] =
        [("maj", ""), ("minmaj7", "m(maj7)"), ("maj6", "6"), ("min6", "m6"), ("hdim7", "m7b5"), ("min", "m")];
    let guitar = rig("guitar", "standard", None);
    let board = ChordBoard::of(&guitar);
    let mut wrong = Vec::new();
    for [quality, bits] in rows(include_str!("../../reference/mir_eval_qualities.tsv"), ["quality", "bitmap_extended"])
    {
        if quality == "1" || bits.bytes().all(|bit| bit == b'0') || quality == "(empty)" {
            continue;
        }
        let ours = OURS.iter().find(|(theirs, _)| *theirs == quality).map_or(quality, |(_, ours)| ours);
        for root in ROOTS {
            let wanted = symbol(&format!("{root}{ours}"));
            let expected: BTreeSet<u8> =
                (0..12).zip(bits.bytes()).filter(|(_, bit)| *bit == b'1').map(|(tone, _)| tone).collect();
            assert_eq!(chord(&wanted).1, expected, "{quality}");
            wrong.extend(misnamed(&guitar, &board, &wanted).map(|name| format!("{quality}: {name}")));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// What a shape is named first can be looked up: whatever tones sound over whatever bass, the voicings of their first name
/// may sound just these. That every shape of such tones which a hand can hold is then found is what `brute` shows.
#[test]
fn what_is_named_first_is_among_the_voicings_of_that_name() {
    let mut looked_up = 0;
    for strings in [4, 5, 6] {
        for tones in 0..1u16 << 11 {
            let above = (0..11).filter(|tone| tones >> tone & 1 == 1).map(|tone| 49 + tone);
            let notes: Vec<Option<MidiNote>> = [36].into_iter().chain(above).map(MidiNote::new).collect();
            // Two tones are an interval before they are a chord.
            if notes.len() < 3 || notes.len() > strings {
                continue;
            }
            let named = readings_limited(&notes, &Context::default(), 1);
            // Clusters are no chords.
            let Some(symbol) = named.first().and_then(|reading| reading.symbol.parse::<ChordSymbol>().ok()) else {
                continue;
            };
            let sounding: PitchSet = notes.iter().flatten().map(|note| note.pitch_class()).collect();
            let voiced = ChordTones::of(&symbol, strings).unwrap();
            assert!(voiced.are_voiced_by(sounding), "{symbol} on {strings} strings: {notes:?}");
            looked_up += 1;
        }
    }
    assert!(looked_up > 800, "{looked_up}");
}
