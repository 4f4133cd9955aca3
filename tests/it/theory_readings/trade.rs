//! Shapes of the trade on many instruments, and the readings players know them by. Common practice, no
//! published source, where nothing else is said.

use super::*;
use fingerpost::instrument::catalogue::setup_from_text;
use fingerpost::instrument::neck::Shape;
use fingerpost::instrument::rig::Rig;
use fingerpost::theory::reading::Lowest;

fn rig(tuning: &str) -> Rig {
    let (instrument, notes) = setup_from_text(None, Some(tuning)).unwrap();
    Rig::new(instrument, notes, None).unwrap()
}

fn names(rig: &Rig, frets: &str) -> Vec<Reading> {
    let lowest = rig.lowest_is();
    let sounding = rig.notes(&frets.parse::<Shape>().unwrap()).unwrap();
    readings(&sounding, &Context { lowest, ..Context::default() })
}

/// Tuning, frets from the highest string number down, name as it sounds.
const SHAPES: &[(&str, &[(&str, &str)])] = &[
    (
        "drop D",
        &[
            ("0 0 0 2 3 2", "D"),
            ("0 0 0 x x x", "D5"),
            ("5 5 5 x x x", "G5"),
            ("7 7 7 x x x", "A5"),
            ("0 0 0 2 3 1", "Dm"),
            ("5 5 5 4 x x", "G"),
            ("0 x 0 2 2 2", "Dmaj7"),
            ("0 x 0 2 1 2", "D7"),
            ("2 2 2 0 3 0", "Em7"),
            ("5 2 0 0 0 3", "G"),
            ("0 0 0 2 3 0", "Dsus2"),
        ],
    ),
    (
        "DADGAD",
        &[
            ("0 0 0 0 0 0", "Dsus4"),
            ("0 0 0 2 0 0", "D5"),
            ("0 0 4 2 0 0", "D"),
            ("0 0 3 2 0 0", "Dm"),
            ("5 x 0 0 0 5", "Gsus2"),
            ("5 5 5 4 5 5", "G"),
            ("x 2 0 0 2 0", "G/B"),
            ("x 0 2 2 0 0", "Asus4"),
        ],
    ),
    (
        "open G",
        &[
            ("x 0 0 0 0 0", "G"),
            ("0 0 0 0 0 0", "G/D"),
            ("x 5 5 5 5 5", "C"),
            ("x 7 7 7 7 7", "D"),
            ("x 0 0 0 1 0", "Gsus4"),
            ("x 0 2 0 1 0", "Cadd9/G"),
            ("x 0 0 0 0 3", "G7"),
            ("x 3 3 3 3 3", "Bb"),
        ],
    ),
    ("open D", &[("0 0 0 0 0 0", "D"), ("0 0 0 1 0 0", "Dsus4"), ("5 5 5 5 5 5", "G"), ("7 7 7 7 7 7", "A")]),
    (
        "half step down",
        &[
            ("x 3 2 0 1 0", "B"),
            ("0 2 2 1 0 0", "Eb"),
            ("x 0 2 2 1 0", "G#m"),
            ("3 2 0 0 0 3", "F#"),
            ("0 2 2 0 0 0", "Ebm"),
            ("0 7 6 7 8 x", "Eb7#9"),
        ],
    ),
    ("drop C", &[("0 0 0 x x x", "C5"), ("0 0 0 2 3 2", "C"), ("3 3 3 x x x", "Eb5")]),
    (
        "7-string standard",
        &[
            ("0 2 2 x x x x", "B5"),
            ("3 5 5 x x x x", "D5"),
            ("x 0 2 2 1 0 0", "E"),
            ("x x 3 2 0 1 0", "C"),
            ("0 x x 4 4 3 2", "Bm"),
            ("0 2 4 4 x x x", "Bsus2"),
        ],
    ),
    ("baritone B", &[("0 2 2 1 0 0", "B"), ("x 0 2 2 2 0", "E"), ("x 3 2 0 1 0", "G"), ("0 2 2 0 0 0", "Bm")]),
    (
        "ukulele",
        &[
            ("0 0 0 3", "C"),
            ("2 0 1 0", "F"),
            ("0 2 3 2", "G"),
            ("0 2 1 2", "G7"),
            ("2 0 0 0", "Am"),
            ("2 2 1 0", "Dm"),
            ("0 4 3 2", "Em"),
            ("2 1 0 0", "A"),
            ("2 2 2 0", "D"),
            ("4 4 4 2", "E"),
            ("3 2 1 1", "Bb"),
            ("4 3 2 2", "B"),
            ("0 3 3 3", "Cm"),
            ("1 0 1 3", "Fm"),
            ("0 2 3 1", "Gm"),
            ("4 2 2 2", "Bm"),
            ("0 0 0 1", "C7"),
            ("2 2 2 3", "D7"),
            ("1 2 0 2", "E7"),
            ("0 1 0 0", "A7"),
            ("2 3 1 3", "F7"),
            ("0 0 0 2", "Cmaj7"),
            ("2 4 1 3", "Fmaj7"),
            ("0 2 0 2", "Em7"),
            ("0 0 1 0", "Fadd9"),
            ("0 0 0 0", "C6"),
            ("0 0 1 3", "Csus4"),
            ("0 2 3 0", "Dsus4"),
        ],
    ),
    ("ukulele low G", &[("0 2 3 2", "G"), ("2 0 0 0", "Am"), ("0 0 0 3", "C"), ("2 0 1 0", "F")]),
    ("baritone ukulele", &[("0 2 3 2", "D"), ("2 0 0 0", "Em"), ("0 2 3 1", "Dm"), ("0 0 0 3", "G")]),
    (
        "bass",
        &[
            ("0 2 2 x", "E5"),
            ("x 3 2 0", "C"),
            ("x 3 5 5", "C5"),
            ("3 5 x 4", "G"),
            ("3 x 3 4", "G7"),
            ("x x 2 4", "E5"),
        ],
    ),
    ("mandolin", &[("0 0 2 3", "G"), ("0 2 3 0", "C"), ("2 0 0 2", "D"), ("2 2 4 5", "A"), ("0 2 2 3", "Em")]),
    ("banjo", &[("0 0 0 0 0", "G"), ("0 2 0 1 2", "C"), ("x 0 2 1 4", "D7"), ("0 4 0 0 4", "Gmaj7")]),
];

#[test]
fn shapes_of_many_tunings_have_the_name_the_trade_gives_them() {
    let mut count = 0;
    for (tuning, shapes) in SHAPES {
        let rig = rig(tuning);
        for (frets, symbol) in *shapes {
            assert_eq!(names(&rig, frets)[0].symbol, *symbol, "{tuning}: {frets}");
            count += 1;
        }
    }
    assert!(count > 90, "{count} shapes");
}

/// Standard tuning: shapes without their root, and the chord players mean by them.
const ROOTLESS: &[(&str, &[&str])] = &[
    // A minor seventh flat five is a ninth chord, a minor sixth the same.
    ("x x 6 7 7 7", &["E9"]),
    ("x x 2 3 3 3", &["C9"]),
    ("x x 5 6 6 6", &["Eb9"]),
    // A major seventh is a minor ninth, a minor seventh a major ninth, a minor sixth a minor 6/9 no more.
    ("x x 5 7 7 7", &["Em9"]),
    ("x x 2 4 3 3", &["Cmaj9"]),
    ("x x 5 5 5 5", &["Fmaj9"]),
    // Third, seventh, ninth and thirteenth: the left hand of a thirteenth chord.
    ("x x 8 9 10 10", &["C13"]),
    ("x x 5 6 7 7", &["A13"]),
    // Four roots for one diminished seventh.
    ("x x 6 7 6 7", &["E7b9", "G7b9", "A#7b9", "C#7b9"]),
    ("x x 3 4 3 4", &["G7b9", "C#7b9"]),
    // Sharp ninth and altered fifth.
    ("x x 6 7 8 x", &["E7#9"]),
    ("x x 2 3 4 3", &["C7#9"]),
    ("x x 2 3 2 4", &["C7b9b13"]),
    // Third and seventh alone.
    ("x x 3 4 x x", &["G7", "C#7"]),
    ("x x 2 3 x x", &["C7", "F#7"]),
    ("x x 2 4 x x", &["Cmaj7"]),
    // Minor eleventh, 6/9 and minor with a major seventh.
    ("x x 5 5 3 3", &["Am11"]),
    ("x x 2 2 3 3", &["C6/9"]),
    ("x x 3 2 2 1", &["Dm(maj7)"]),
    ("x x 5 4 4 3", &["Em(maj7)"]),
];

#[test]
fn rootless_readings_of_players_stand_within_the_first_ten() {
    let class = |text: &str| text.parse::<ChordSymbol>().unwrap();
    for (frets, symbols) in ROOTLESS {
        let all = readings_limited(&shape(frets), &Context::default(), 10);
        for wanted in symbols.iter().map(|symbol| class(symbol)) {
            let found = all.iter().find(|reading| {
                reading.root.map(NoteName::pitch_class) == Some(wanted.root().pitch_class())
                    && reading.formula == wanted.formula()
            });
            let listed: Vec<&str> = all.iter().map(|reading| reading.symbol.as_str()).collect();
            let found = found.unwrap_or_else(|| panic!("{frets}: no {wanted} in {listed:?}"));
            assert_eq!(found.missing.first(), Some(&Degree::ROOT), "{frets}: {wanted}");
            assert_eq!(found.kind, ReadingKind::Rootless);
        }
    }
}

/// Standard tuning: what stands together in the first few, whatever its order.
const TOGETHER: &[(&str, usize, &[&str])] = &[
    ("x x 0 0 1 0", 3, &["C/D", "D9sus4", "D11"]),
    ("3 x 3 2 1 1", 3, &["F/G", "G9sus4", "G11"]),
    ("5 x 5 4 3 3", 3, &["G/A", "A9sus4", "A11"]),
    ("8 x 8 7 6 6", 3, &["Bb/C", "C9sus4", "C11"]),
    ("x x 0 1 0 0", 2, &["E/D", "E7/D"]),
    ("3 x 2 2 2 x", 4, &["A/G", "A7/G"]),
    ("x 5 5 5 5 5", 3, &["D9sus4", "D11", "Am7/D"]),
    ("3 x 3 5 3 5", 4, &["G9sus4", "Dm7/G"]),
    ("x 3 x 4 4 2", 3, &["B/C", "Cdim(maj7)"]),
    ("x 3 2 2 1 0", 2, &["Am/C", "C6"]),
    ("x 3 4 2 4 x", 8, &["Cdim7", "B7b9", "D7b9", "F7b9", "G#7b9"]),
];

#[test]
fn a_triad_over_another_bass_stands_beside_its_names_in_one() {
    for (frets, within, wanted) in TOGETHER {
        let all = symbols(&shape(frets), &Context::default());
        for name in *wanted {
            let place = all.iter().position(|symbol| symbol == name);
            assert!(place.is_some_and(|place| place < *within), "{frets}: {name} in {all:?}");
        }
    }
}

#[test]
fn two_notes_are_an_interval_and_then_what_they_imply() {
    let read = |low: u8, high: u8| {
        readings(&notes([low, high]), &Context::default())
            .into_iter()
            .map(|reading| (reading.kind, reading.symbol, reading.reason))
            .collect::<Vec<_>>()
    };
    let third = read(40, 44);
    assert_eq!((third[0].0, third[0].1.as_str()), (ReadingKind::Interval, "E-G#"));
    assert_eq!(third[1].1, "E");
    assert_eq!(third[1].2, "root and third alone imply it; no fifth, which the ear hardly misses; root in the bass");
    let sixth = read(44, 52);
    assert_eq!((sixth[0].2.as_str(), sixth[1].1.as_str()), ("two notes, a minor sixth", "E/G#"));
    assert_eq!(read(40, 47)[0].1, "E5");
    assert_eq!(read(40, 45)[0].1, "A5/E");
    assert_eq!(read(40, 43)[1].1, "Em");
    assert_eq!(read(48, 58)[1].1, "C7no3");
    for (low, high, symbol) in
        [(40, 46, "E-Bb"), (48, 54, "C-F#"), (42, 48, "F#-C"), (45, 51, "A-Eb"), (46, 52, "Bb-E")]
    {
        assert_eq!(read(low, high)[0].1, symbol);
    }
    // The tritone is the third and the seventh of two dominants.
    let tritone = read(47, 53);
    assert_eq!(tritone[0].0, ReadingKind::Interval);
    let implied: Vec<(ReadingKind, &str)> = tritone[1..3].iter().map(|one| (one.0, one.1.as_str())).collect();
    assert_eq!(implied, [(ReadingKind::Rootless, "C#7"), (ReadingKind::Rootless, "G7")]);
}

#[test]
fn names_without_third_or_fifth_say_so() {
    let one = |frets: &str| readings_limited(&shape(frets), &Context::default(), 1).pop().unwrap();
    assert_eq!(one("x 3 5 3 x 3").symbol, "C7no3");
    assert_eq!(one("x 3 5 4 x 3").symbol, "Cmaj7no3");
    for (frets, symbol) in
        [("x 3 2 3 x x", "C7"), ("x 3 2 4 x x", "Cmaj7"), ("x 3 1 3 x x", "Cm7"), ("8 x 8 9 x x", "C7")]
    {
        let reading = one(frets);
        assert_eq!((reading.symbol.as_str(), degrees(&reading.missing).as_str()), (symbol, "5"), "{frets}");
    }
}

#[test]
fn altered_dominants_are_named_by_what_they_alter() {
    for (above, symbol) in [
        (&[4, 8, 10, 13][..], "C7#5b9"),
        (&[4, 8, 10, 15], "C7#5#9"),
        (&[4, 6, 10, 13], "C7b5b9"),
        (&[4, 6, 10, 15], "C7b5#9"),
        (&[4, 7, 10, 13, 15], "C7b9#9"),
        (&[4, 7, 10, 13, 20], "C7b9b13"),
        (&[4, 7, 10, 15, 20], "C7#9b13"),
        (&[4, 10, 13, 15, 20], "C7alt"),
        (&[4, 6, 10, 13, 20], "C7alt"),
    ] {
        let all = symbols(&notes([48].into_iter().chain(above.iter().map(|up| 48 + up))), &Context::default());
        assert_eq!(all[0], symbol, "{above:?}: {all:?}");
    }
}

#[test]
fn signs_are_written_where_theory_asks_for_them() {
    let spelled = |sounding: &[Option<MidiNote>], key: &str, symbol: &str| {
        let all = readings(sounding, &in_key(key));
        let reading = all.into_iter().find(|reading| reading.symbol == symbol).unwrap_or_else(|| panic!("no {symbol}"));
        reading.notes.iter().flatten().map(|tone| tone.name.to_string()).collect::<Vec<_>>().join(" ")
    };
    // From the theory of the diatonic keys; the degrees follow the letters.
    assert_eq!(spelled(&shape("x 6 8 8 7 6"), "F#", "D#m"), "D# A# D# F# A#");
    assert_eq!(spelled(&shape("x 6 8 8 7 6"), "Gb", "Ebm"), "Eb Bb Eb Gb Bb");
    assert_eq!(spelled(&shape("x 6 5 6 4 x"), "C#", "D#7"), "D# F## C# D#");
    assert_eq!(spelled(&shape("0 1 2 0 3 x"), "D", "Em7b5"), "E Bb E G D");
    assert_eq!(spelled(&notes([51, 54, 57, 60]), "Db", "Ebdim7"), "Eb Gb Bbb Dbb");
    assert_eq!(spelled(&notes([56, 60, 64]), "A", "G#aug"), "G# B# D##");
}

#[test]
fn a_key_supplies_a_root_and_knows_its_leading_tone() {
    // B and F are G7 in C, and C#7 in F#.
    let tritone = shape("x x 3 4 x x");
    assert_eq!(symbols(&tritone, &in_key("C"))[1], "G7");
    assert_eq!(symbols(&tritone, &in_key("F#"))[1], "C#7");
    // The dominant of a minor key has its raised seventh and is at home there.
    let dominant = best(&shape("0 2 0 1 0 0"), &in_key("Am"));
    assert_eq!((dominant.symbol.as_str(), dominant.reason.ends_with("in the key of Am")), ("E7", true));
    assert!(!best(&shape("0 2 0 1 0 0"), &in_key("C")).reason.contains("at home"));
}

#[test]
fn the_chord_before_keeps_its_root_where_two_are_as_good() {
    let after = |chord: &str| Context { previous: Some(chord.parse().unwrap()), ..Context::default() };
    // C E G A over E belongs to C as much as to Am.
    let both = shape("0 3 2 2 1 3");
    let first = |context: &Context| best(&both, context);
    assert_eq!(first(&after("Am")).symbol, "Am7/E");
    assert_eq!(first(&after("C")).symbol, "C6/E");
    assert!(first(&after("C")).reason.ends_with("; the root stays from C"), "{}", first(&after("C")).reason);
    // It does not carry a name that nobody would give: Em stays Em after C.
    assert_eq!(best(&shape("0 2 2 0 0 0"), &after("C")).symbol, "Em");
}

#[test]
fn a_stated_bass_gives_a_rootless_shape_its_root() {
    let over = |bass: &str| Context { stated_bass: Some(bass.parse().unwrap()), ..Context::default() };
    for (frets, bass, symbol) in [
        ("x x 6 7 7 7", "E", "E9"),
        ("x x 5 6 7 7", "A", "A13"),
        ("x x 6 7 6 7", "E", "E7b9"),
        ("x x 5 5 5 5", "F", "Fmaj9"),
    ] {
        let reading = best(&shape(frets), &over(bass));
        assert_eq!((reading.symbol.as_str(), reading.bass.to_string().as_str()), (symbol, bass));
        assert!(!reading.missing.contains(&Degree::ROOT), "{symbol}");
    }
    // On a re-entrant instrument a bass that somebody states is one all the same.
    let context = Context { lowest: Lowest::AnyTone, ..over("A") };
    assert_eq!(best(&notes([67, 60, 64, 72]), &context).symbol, "Am7");
    assert_eq!(best(&notes([67, 60, 64, 72]), &over("E")).symbol, "C/E");
}

#[test]
fn a_muted_string_is_information_and_a_doubtful_one_decides() {
    assert_eq!(best(&shape("0 2 2 x 0 0"), &Context::default()).symbol, "E5");
    let strings: Vec<_> = shape("0 2 2 0 0 0")
        .into_iter()
        .enumerate()
        .map(|(place, note)| note.map(|note| (note, if place == 3 { Doubt::Unsure } else { Doubt::Sure })))
        .collect();
    let answer = readings_with_doubts(&strings, &Context::default());
    assert_eq!(answer.decisions.len(), 1);
    let decision = &answer.decisions[0];
    assert_eq!((decision.with[0].symbol.as_str(), decision.without[0].symbol.as_str()), ("Em", "E5"));
    assert_eq!(decision.sentence, "Em if it sounds, E5 if it does not");
    assert_eq!(answer.sure_alone, decision.without);
}

#[test]
fn bare_names_are_those_of_the_readings() {
    use fingerpost::theory::pitch_set::PitchSet;
    use fingerpost::theory::reading::bare_names;
    for frets in ["x 3 2 0 1 0", "x x 6 7 7 7", "x x 0 0 1 0", "x 3 2 2 3 3"] {
        let sounding = shape(frets);
        let set: PitchSet = sounding.iter().flatten().map(|note| note.pitch_class()).collect();
        let bass = sounding.iter().flatten().min().unwrap().pitch_class();
        let bare: Vec<_> =
            bare_names(set, bass).map(|name| (name.kind, name.root, name.quality.formula.to_vec())).collect();
        let read: Vec<_> = readings(&sounding, &Context::default())
            .into_iter()
            .map(|reading| (reading.kind, reading.root.unwrap().pitch_class(), reading.formula))
            .collect();
        assert_eq!(bare, read, "{frets}");
    }
}
