//! Published fingerings: how often the name that an open dataset prints stands first, among the first
//! three and among the first ten.
//!
//! Source: tests/reference/fingerings_guitar.tsv and fingerings_ukulele.tsv, whose headers name the
//! dataset. It prints inversions without a slash, so root and formula are compared, and the bass only
//! where it prints one.

use super::*;
use fingerpost::instrument::catalogue::setup_from_text;
use fingerpost::instrument::neck::Shape;
use fingerpost::instrument::rig::Rig;

/// Names of the dataset that are written otherwise here.
const WRITTEN: &[(&str, &str)] = &[
    ("major", ""),
    ("minor", "m"),
    ("mmaj7b5", "dim(maj7)"),
    ("b13b9", "7b9b13"),
    ("b13#9", "7#9b13"),
    ("13b5b9", "13b9b5"),
];

/// Classes of the dataset that cannot be found, each with its reason.
///
/// - `alt` is printed as the bare tones 1 3 b5: no seventh and nothing altered but the fifth, which is `(b5)`.
/// - `7sg` is no chord symbol.
const NOT_A_NAME: &[&str] = &["alt", "7sg"];

/// What became of the printed names.
#[derive(Debug, Default)]
struct Tally {
    /// Misprints, where a note sounds that the printed chord does not have: on the guitar 11 and m(add9) are
    /// the worst with five and four, then aug, 7b5, maj7b5 and a dozen classes with one each; on the ukulele
    /// three of m(add9) and one of 11.
    wrong: usize,
    /// Names that need a tone that does not sound: `9#11` without its ninth is 7#11, or 7b5 without its fifth.
    other: usize,
    first: usize,
    three: usize,
    ten: usize,
    compared: usize,
}

fn tally(table: &'static str, tuning: &str) -> Tally {
    let (instrument, notes) = setup_from_text(None, Some(tuning)).unwrap();
    let rig = Rig::new(instrument, notes, None).unwrap();
    let lowest = rig.lowest_is();
    let context = Context { lowest, ..Context::default() };
    let mut tally = Tally::default();
    for [key, suffix, frets] in rows(table, ["key", "suffix", "frets"]) {
        if NOT_A_NAME.contains(&suffix) {
            continue;
        }
        let (chord, bass) = suffix.split_once('/').map_or((suffix, ""), |(chord, bass)| (chord, bass));
        let written = WRITTEN.iter().find(|(theirs, _)| *theirs == chord).map_or(chord, |(_, ours)| ours);
        let slash = if bass.is_empty() { "" } else { "/" };
        let symbol: ChordSymbol = format!("{key}{written}{slash}{bass}").parse().unwrap();
        let shape: Shape = frets.parse().unwrap();
        let sounding = rig.notes(&shape).unwrap();
        let heard = |note: &MidiNote| symbol.pitch_classes().has(note.pitch_class().number());
        if !sounding.iter().flatten().all(heard) {
            tally.wrong += 1;
            continue;
        }
        let ninth = |symbol: &ChordSymbol| symbol.tones().get(4).map(|name| name.pitch_class());
        if suffix == "9#11" && !sounding.iter().flatten().any(|note| Some(note.pitch_class()) == ninth(&symbol)) {
            tally.other += 1;
            continue;
        }
        let is_printed = |reading: &Reading| {
            reading.root.map(NoteName::pitch_class) == Some(symbol.root().pitch_class())
                && reading.formula == symbol.formula()
        };
        let place = readings_limited(&sounding, &context, 10).iter().position(is_printed);
        tally.compared += 1;
        tally.first += usize::from(place == Some(0));
        tally.three += usize::from(place.is_some_and(|place| place < 3));
        tally.ten += usize::from(place.is_some());
    }
    tally
}

#[test]
fn what_is_printed_for_a_guitar_shape_is_read_first_or_nearly_so() {
    // Where it is not first, the same tones over the same bass have a name with their bass as root, or the name of
    // the smaller chord: Csus2/G is Gsus4, C9#11 without its fifth is C9b5, Cdim(maj7) is B/C.
    let tally = tally(include_str!("../../reference/fingerings_guitar.tsv"), "guitar standard");
    assert!(tally.compared > 1900 && tally.wrong <= 35 && tally.other <= 25, "{tally:?}");
    let share = |part: usize| part as f64 / tally.compared as f64;
    assert!(share(tally.first) > 0.85, "{tally:?}");
    assert!(share(tally.three) > 0.99, "{tally:?}");
    assert!(share(tally.ten) > 0.995, "{tally:?}");
}

#[test]
fn what_is_printed_for_a_ukulele_shape_is_among_the_readings() {
    // A third of these shapes are printed as chords of five and six tones without their root, which always have a name
    // of four tones as well: that one is read first.
    let tally = tally(include_str!("../../reference/fingerings_ukulele.tsv"), "ukulele");
    assert!(tally.compared > 2000 && tally.wrong <= 4, "{tally:?}");
    let share = |part: usize| part as f64 / tally.compared as f64;
    assert!(share(tally.first) > 0.35, "{tally:?}");
    assert!(share(tally.three) > 0.7, "{tally:?}");
    assert!(share(tally.ten) > 0.97, "{tally:?}");
}
