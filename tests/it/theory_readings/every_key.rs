//! What leads by its surroundings leads in every key, on the guitar with the root lowest and on small instruments wherever the notes lie.
//!
//! Common practice, no published source.

use super::*;
use fingerpost::instrument::catalogue::setup_from_text;
use fingerpost::instrument::neck::{Fret, Shape};
use fingerpost::instrument::rig::Rig;

/// The small instruments: one that is re-entrant, and those whose strings rise.
const RISING: [(&str, &str); 3] =
    [("baritone ukulele", "baritone ukulele"), ("mandolin", "mandolin"), ("ukulele", "ukulele low G")];
const REENTRANT: (&str, &str) = ("ukulele", "ukulele");

fn rig((instrument, tuning): (&str, &str)) -> Rig {
    let (body, tuning) = setup_from_text(Some(instrument), Some(tuning)).unwrap();
    Rig::new(body, tuning, None).unwrap()
}

/// Every way to hold four strings up to the sixth fret.
fn shapes(rig: &Rig) -> Vec<(String, Vec<Option<MidiNote>>)> {
    assert_eq!(rig.tuning().strings().len(), 4);
    let held = |number: u32| {
        let frets = [343, 49, 7, 1].map(|place| u8::try_from(number / place % 7).ok().and_then(Fret::new));
        let shape = Shape::new(frets.to_vec()).unwrap();
        (shape.to_string(), rig.notes(&shape).unwrap())
    };
    (0..7u32.pow(4)).map(held).collect()
}

fn classes(notes: &[Option<MidiNote>]) -> BTreeSet<u8> {
    notes.iter().flatten().map(|note| note.pitch_class().number()).collect()
}

/// A chord among others, in C.
struct Row {
    previous: &'static str,
    next: &'static str,
    key: &'static str,
    /// Semitones above C, the root first.
    sounding: &'static [u8],
    /// The name that leads, in C.
    first: &'static str,
    /// What its reason says, in every key alike.
    says: &'static str,
}

const fn row(
    (previous, next, key): (&'static str, &'static str, &'static str),
    sounding: &'static [u8],
    first: &'static str,
    says: &'static str,
) -> Row {
    Row { previous, next, key, sounding, first, says }
}

const AFTER_THE_DOMINANT: [Row; 6] = [
    row(("G7", "", "C"), &[0, 4, 7, 9], "C6", "; in the key of "),
    row(("G7", "Am7", "C"), &[0, 4, 7, 9], "C6", "; in the key of "),
    row(("G9", "", "C"), &[0, 4, 7, 11], "Cmaj7", "; in the key of "),
    row(("G7b9", "", "Cm"), &[0, 3, 7, 9], "Cm6", ""),
    row(("G7", "D7", "Cm"), &[0, 3, 7, 9], "Cm6", ""),
    row(("G7", "", "Cm"), &[0, 3, 7], "Cm", "; in the key of "),
];
const BEFORE_THE_DOMINANT: [Row; 2] = [
    row(("", "G7", "C"), &[2, 5, 9, 0], "Dm7", "; in the key of "),
    row(("", "G7", "Cm"), &[2, 5, 8, 0], "Dm7b5", "; in the key of "),
];
const THAT_RESOLVE: [Row; 6] = [
    row(("", "Cm", "Cm"), &[11, 2, 5, 8], "Bdim7", "; leads up a half step to "),
    row(("Gm", "C", "C"), &[11, 2, 5, 8], "Bdim7", "; leads up a half step to "),
    row(("Dm7", "C", "C"), &[1, 5, 8, 11], "Db7", "; the tritone substitute of "),
    row(("", "Cmaj7", "C"), &[1, 5, 8, 11], "Db7", "; the tritone substitute of "),
    row(("", "C", "C"), &[7, 11, 2, 5], "G7", "; the dominant of "),
    row(("", "C", "C"), &[7, 0, 2, 5], "G7sus4", "; the dominant of "),
];
const IN_THE_KEY: [Row; 8] = [
    row(("", "", "C"), &[5, 9, 11, 4], "Fmaj7#11", "; in the key of "),
    row(("", "", "C lydian"), &[0, 4, 6, 11], "Cmaj7#11", "; in the key of "),
    row(("", "", "C"), &[7, 11, 2, 5], "G7", "; the dominant in the key of "),
    row(("", "", "C"), &[9, 1, 4, 7], "A7", "; secondary dominant: the dominant of "),
    row(("", "", "C"), &[5, 8, 0], "Fm", "; borrowed from "),
    row(("", "", "C dorian"), &[5, 9, 0, 3], "F7", "; in the key of "),
    row(("", "", "C mixolydian"), &[0, 4, 7, 10], "C7", "; in the key of "),
    row(("", "", "C phrygian"), &[1, 5, 8], "Db", "; in the key of "),
];

/// The symbol that is `text` in C, as it is written in `key`.
fn moved(text: &str, by: u8, key: Key) -> Option<ChordSymbol> {
    (!text.is_empty()).then(|| text.parse::<ChordSymbol>().unwrap().moved(i32::from(by), Some(key)))
}

fn context(row: &Row, by: u8, lowest: Lowest) -> Context {
    let key = row.key.parse::<Key>().unwrap().moved(i32::from(by));
    Context {
        key: Some(key),
        previous: moved(row.previous, by, key),
        next: moved(row.next, by, key),
        lowest,
        ..Context::default()
    }
}

/// Sees that a reading is the chord of `row`, `by` half steps higher, without a bass.
#[track_caller]
fn check_first(row: &Row, by: u8, held: &str, notes: &[Option<MidiNote>], context: &Context) {
    let first = best(notes, context);
    let wanted: ChordSymbol = row.first.parse().unwrap();
    let up = |name: NoteName| PitchClass::of(i32::from(name.pitch_class().number()) + i32::from(by));
    let told: ChordSymbol = first.symbol.parse().unwrap();
    let alike = told.root().pitch_class() == up(wanted.root()) && told.formula() == wanted.formula();
    let here = format!("{held} in {:?}: {}, {} in C: {}", context.key, first.symbol, row.first, first.reason);
    assert!(alike && told.bass().is_none(), "{here}");
    assert!(first.reason.contains(row.says), "{here}");
}

/// Checks the rows in twelve keys on `instrument`; each must be met there often.
#[track_caller]
fn check_on(instrument: (&str, &str), rows: &[Row]) {
    let rig = rig(instrument);
    let all = shapes(&rig);
    for row in rows {
        let mut met = BTreeSet::new();
        for by in 0..12 {
            let wanted: BTreeSet<u8> = row.sounding.iter().map(|above| (above + by) % 12).collect();
            let context = context(row, by, rig.lowest_is());
            for (held, notes) in all.iter().filter(|(_, notes)| classes(notes) == wanted) {
                check_first(row, by, held, notes, &context);
                met.insert(by);
            }
        }
        assert!(met.len() >= 8, "{instrument:?}: {} in {met:?}", row.first);
    }
}

#[track_caller]
fn check_on_guitar(rows: &[Row]) {
    for row in rows {
        for by in 0..12 {
            let (root, rest) = row.sounding.split_first().unwrap();
            let root = 40 + (root + by + 8) % 12;
            let above = rest.iter().map(|tone| root + 12 + (tone + 24 - row.sounding[0]) % 12);
            let sounding = notes([root].into_iter().chain(above));
            check_first(row, by, "root lowest", &sounding, &context(row, by, Lowest::Bass));
        }
    }
}

#[track_caller]
fn check_everywhere(rows: &[Row]) {
    check_on_guitar(rows);
    check_on(REENTRANT, rows);
    RISING.iter().for_each(|instrument| check_on(*instrument, rows));
}

#[test]
fn after_the_dominant_the_tonic_leads_with_its_sixth_or_seventh_too() {
    check_everywhere(&AFTER_THE_DOMINANT);
    // With six strings the root in the bass decides: after the dominant the sixth degree may come instead.
    assert_eq!(best(&shape("x 0 2 0 1 0"), &context(&AFTER_THE_DOMINANT[0], 0, Lowest::Bass)).symbol, "Am7");
    assert_eq!(best(&shape("x 3 2 2 3 x"), &context(&AFTER_THE_DOMINANT[0], 0, Lowest::Bass)).symbol, "C6/9");
}

#[test]
fn before_the_dominant_the_second_degree_leads() {
    check_everywhere(&BEFORE_THE_DOMINANT);
}

#[test]
fn what_resolves_is_named_by_where_it_goes() {
    check_everywhere(&THAT_RESOLVE);
}

#[test]
fn a_leading_note_is_written_a_letter_below_its_goal() {
    for by in 0..12 {
        let context = context(&THAT_RESOLVE[0], by, Lowest::HighTone);
        let goal = context.next.as_ref().unwrap().root();
        let first = best(&notes([56, 62, 71, 77].map(|note| note + by)), &context);
        assert_eq!(first.root.map(NoteName::letter), Some(goal.letter().step(-1)), "{}", first.symbol);
    }
}

#[test]
fn reasons_tell_the_function_in_every_key_and_mode() {
    check_everywhere(&IN_THE_KEY);
}

#[test]
fn a_raised_fourth_in_place_of_the_third_has_a_name_in_every_key() {
    // It is a name over its root only.
    let row = row(("", "", "C"), &[0, 6, 7], "Csus#4", "");
    check_on_guitar(std::slice::from_ref(&row));
    let mut met = 0;
    for rig in [REENTRANT].into_iter().chain(RISING).map(rig) {
        for (held, notes) in shapes(&rig) {
            let lowest = notes.iter().flatten().min().unwrap().pitch_class().number();
            if classes(&notes) == BTreeSet::from([0, 6, 7].map(|above| (above + lowest) % 12)) {
                check_first(&row, lowest, &held, &notes, &context(&row, lowest, rig.lowest_is()));
                met += 1;
            }
        }
    }
    assert!(met > 40, "{met}");
}

#[test]
fn a_whole_chord_leads_before_a_bass_and_before_one_that_lacks_notes_on_few_high_strings() {
    let is_whole = |reading: &Reading| {
        reading.missing.is_empty() && reading.root.is_some() && reading.kind != ReadingKind::ForeignBass
    };
    for instrument in RISING {
        let rig = rig(instrument);
        let context = Context { lowest: rig.lowest_is(), ..Context::default() };
        let (mut over_a_bass, mut turned) = (0, 0);
        for (held, notes) in shapes(&rig) {
            let all = readings(&notes, &context);
            let told =
                |reading: &Reading| reading.symbol.parse::<ChordSymbol>().is_ok_and(|name| name.bass().is_some());
            let Some(whole) = all.iter().find(|one| is_whole(one)) else { continue };
            let first = &all[0];
            assert!(!told(first), "{instrument:?} {held}: {} before {}", first.symbol, whole.symbol);
            // What the chord holds itself is no bass; what it does not hold is told, further behind.
            assert!(all.iter().all(|one| told(one) == (one.kind == ReadingKind::ForeignBass)), "{instrument:?} {held}");
            over_a_bass += usize::from(all.iter().any(told));
            turned += usize::from(first.kind == ReadingKind::Inversion);
            // Names that lack a note lead only before the rarest of whole ones.
            assert!(first.missing.is_empty() || whole.cost >= 400, "{instrument:?} {held}: {}", first.symbol);
        }
        assert!(over_a_bass > 100 && turned > 100, "{instrument:?}: {over_a_bass} {turned}");
    }
}

#[test]
fn basses_are_told_on_few_high_strings_where_the_player_writes_them() {
    for by in 0..12 {
        let sounding = notes([52, 55, 60, 67].map(|note| note + by));
        let beside = |previous: &str| {
            let previous = moved(previous, by, "C".parse::<Key>().unwrap().moved(i32::from(by)));
            best(&sounding, &Context { previous, lowest: Lowest::HighTone, ..Context::default() })
        };
        let is_over_its_third = |reading: &Reading| {
            let symbol: ChordSymbol = reading.symbol.parse().unwrap();
            symbol.bass().map(|bass| symbol.root().pitch_class().up_to(bass.pitch_class())) == Some(4)
        };
        assert!(is_over_its_third(&beside("G/B")), "{}", beside("G/B").symbol);
        assert!(!beside("G").symbol.contains('/'), "{}", beside("G").symbol);
    }
    // What is written over a bass stays so, and a bass that is stated is one.
    let symbol: ChordSymbol = "C/E".parse().unwrap();
    assert_eq!(Lowest::HighTone.named(&symbol), symbol);
    let stated = Context { stated_bass: "E".parse().ok(), lowest: Lowest::HighTone, ..Context::default() };
    assert_eq!(best(&notes([60, 64, 67]), &stated).symbol, "C/E");
}

#[test]
fn only_few_high_strings_that_rise_leave_the_bass_to_others() {
    for (instrument, tuning, lowest) in [
        ("ukulele", "ukulele", Lowest::AnyTone),
        ("banjo", "banjo", Lowest::AnyTone),
        ("ukulele", "low G", Lowest::HighTone),
        ("baritone ukulele", "baritone ukulele", Lowest::HighTone),
        ("mandolin", "mandolin", Lowest::HighTone),
        ("bass", "bass", Lowest::Bass),
        ("guitar", "standard", Lowest::Bass),
    ] {
        assert_eq!(rig((instrument, tuning)).lowest_is(), lowest, "{tuning}");
    }
    let four = |strings: &str| strings.parse::<fingerpost::instrument::tuning::Tuning>().unwrap().lowest_is();
    assert_eq!(four("C3 G3 D4 A4"), Lowest::HighTone);
    assert_eq!(four("G2 D3 A3 E4"), Lowest::Bass);
}
