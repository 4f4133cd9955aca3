//! Chord names against the notes under them. What fits is common practice of the trade; no published source.

use super::sound::{note, passage, shape, sound, with};
use crate::instrument::neck::StringNumber;
use crate::lesson::check::{Finding, FindingKind, Severity, check, choices, is_a_choice};
use crate::lesson::document::{ChordNames, Lesson};
use crate::lesson::harmony::steps::steps_of;
use crate::lesson::id::{SetupId, VoicingId};
use crate::lesson::music::{Bar, Event, Note, Technique, Voice};

/// Returns the notes of a shape on six strings.
pub(super) fn strum(text: &str) -> Vec<Note> {
    let shape = shape(text);
    let strings = shape.strings().iter().enumerate();
    strings.filter_map(|(index, fret)| Some(Note::plain(StringNumber::at(index, 6)?, (*fret)?))).collect()
}

/// Returns an event: a length, the notes, and a name over it where it is not empty.
pub(super) fn over(length: &str, notes: Vec<Note>, name: &str) -> Event {
    let chord = (!name.is_empty()).then(|| name.to_owned());
    Event { chord, ..Event::notes(length.parse().unwrap(), notes) }
}

pub(super) fn bar(events: Vec<Event>) -> Bar {
    Bar { voices: vec![Voice(events)], ..Bar::default() }
}

pub(super) fn lesson_of(bars: Vec<Bar>) -> Lesson {
    Lesson { passages: vec![passage(bars)], ..sound() }
}

pub(super) fn contradicted(lesson: &Lesson) -> Vec<Finding> {
    check(lesson).into_iter().filter(|finding| finding.kind == FindingKind::ContradictedName).collect()
}

pub(super) fn missing(lesson: &Lesson) -> Vec<String> {
    let found = check(lesson).into_iter().filter(|finding| finding.kind == FindingKind::MissingName);
    found.map(|finding| finding.text(lesson)).collect()
}

/// Returns a line of eighths on the first string.
fn melody(frets: &[u8]) -> Vec<Event> {
    frets.iter().map(|fret| over("1/8", vec![note(1, *fret)], "")).collect()
}

/// Checks one bar of strums of a shape under a name.
#[track_caller]
fn strummed(name: &str, frets: &str, found: bool) {
    let events = (0..4).map(|place| over("1/4", strum(frets), if place == 0 { name } else { "" })).collect();
    let all = contradicted(&lesson_of(vec![bar(events)]));
    assert_eq!(!all.is_empty(), found, "{name} over {frets}: {all:?}");
}

#[test]
fn a_g_chord_that_is_called_a_is_found_with_its_better_name() {
    let lesson = lesson_of(vec![bar(vec![over("1/1", strum("320003"), "A")])]);
    let found = contradicted(&lesson);
    let texts: Vec<String> = found.iter().map(|finding| finding.text(&lesson)).collect();
    assert_eq!(
        texts,
        [
            "warning: passage \"verse\", bar 1, beat 1: the name A stands here, but G, B and D sound under it (call it G, or correct the notes)"
        ]
    );
}

#[test]
fn a_better_name_that_is_chosen_is_written_and_nothing_is_found_any_more() {
    let mut lesson = lesson_of(vec![bar(vec![over("1/2", strum("320003"), "A"), over("1/2", strum("x32010"), "C")])]);
    let finding = contradicted(&lesson).remove(0);
    assert!(is_a_choice(&finding));
    let first = choices(&lesson, &finding).remove(0);
    assert_eq!(first.text, "call it G");
    for edit in first.edits {
        lesson.apply(edit).unwrap();
    }
    let names: Vec<_> = lesson.passages[0].bars[0].voices[0].0.iter().map(|event| event.chord.as_deref()).collect();
    assert_eq!((names, contradicted(&lesson)), (vec![Some("G"), Some("C")], Vec::new()));
}

/// Returns the names that are offered for one strum under a name.
#[track_caller]
fn offered(name: &str, frets: &str) -> Vec<String> {
    let lesson = lesson_of(vec![bar(vec![over("1/1", strum(frets), name)])]);
    let Some(finding) = contradicted(&lesson).into_iter().next() else { return Vec::new() };
    choices(&lesson, &finding)
        .into_iter()
        .filter_map(|choice| choice.text.strip_prefix("call it ").map(str::to_owned))
        .collect()
}

#[test]
fn a_chord_over_a_bass_that_is_not_its_own_is_offered_where_naming_puts_it() {
    use crate::theory::reading::{Context, readings};

    for (name, frets, first) in [
        ("A", "x00003", "G/A"),
        ("F#", "x3x232", "D/C"),
        ("F#m", "xx0010", "C/D"),
        ("Em", "0x0232", "D/E"),
        ("A", "3x3211", "F/G"),
        ("Em", "x00232", "D/A"),
        ("Am", "133211", "F"),
        // Over its own name with the wrong third.
        ("Fm", "003211", "F/E"),
    ] {
        let offered = offered(name, frets);
        let lesson = sound();
        let notes = lesson.passage_rig(&lesson.passages[0]).unwrap().heard(&shape(frets));
        let named = readings(&notes, &Context::default());
        assert_eq!(offered.first().map(String::as_str), Some(first), "{name} over {frets}: {offered:?}");
        assert_eq!(offered.first(), named.first().map(|reading| &reading.symbol), "{name} over {frets}");
    }
}

#[test]
fn full_chords_under_another_name_are_found() {
    for (name, frets) in [
        ("Am", "x02220"),
        ("A", "x02210"),
        ("D", "x32010"),
        ("F#m", "320003"),
        ("Bb", "022100"),
        // The relative chord on its own root, on most of the strings.
        ("Em", "320003"),
        ("C", "x02210"),
        // The other seventh.
        ("Cmaj7", "x32310"),
        ("E7", "022000"),
        // A third under a name that has none.
        ("A5", "x02220"),
        ("Gsus4", "320003"),
        ("Asus2", "x02210"),
        ("E7sus4", "020100"),
    ] {
        strummed(name, frets, true);
    }
}

/// Returns what is found in a bar of single notes and double stops, given as string and fret, under a name.
fn line_under(name: &str, length: &str, notes: &[&[(u8, u8)]]) -> Vec<String> {
    let events = notes.iter().enumerate().map(|(place, struck)| {
        let struck = struck.iter().map(|(string, fret)| note(*string, *fret)).collect();
        over(length, struck, if place == 0 { name } else { "" })
    });
    let lesson = lesson_of(vec![bar(events.collect())]);
    contradicted(&lesson).iter().map(|finding| finding.text(&lesson)).collect()
}

#[test]
fn a_plain_fifth_contradicts_an_altered_one() {
    for (name, frets, found) in [
        ("Adim", "x02210", true),
        ("Aaug", "x02220", true),
        ("Am7b5", "x02010", true),
        ("Aaug", "x03221", false),
        ("Am7b5", "x0101x", false),
        ("A", "x02220", false),
    ] {
        strummed(name, frets, found);
    }
}

#[test]
fn power_chords_and_octaves_without_a_note_of_the_name_are_found() {
    for (name, frets, found) in [
        ("A", "355xxx", true),
        ("A5", "355xxx", true),
        ("F#m", "355xxx", true),
        // G is the seventh of A7, D the fourth of Asus4, G the root of Gmaj7.
        ("A7", "355xxx", false),
        ("Asus4", "355xxx", false),
        ("Gmaj7", "355xxx", false),
        ("G", "355xxx", false),
        ("A5", "3xx0xx", true),
        ("G5", "3xx0xx", false),
        // A melody in octaves.
        ("A", "3xx0xx", false),
    ] {
        strummed(name, frets, found);
    }
    let texts = line_under("A", "1/1", &[&[(6, 3), (5, 5), (4, 5)]]);
    assert!(texts[0].contains("G and D sound under it (call it G5"), "{texts:?}");
}

#[test]
fn lines_and_riffs_are_not_found() {
    let sixths: [&[(u8, u8)]; 4] = [&[(4, 2), (2, 1)], &[(4, 3), (2, 3)], &[(4, 5), (2, 5)], &[(4, 2), (2, 1)]];
    assert!(line_under("C", "1/4", &sixths).is_empty());
    assert!(line_under("Am", "1/4", &sixths).is_empty());
    let picked: [&[(u8, u8)]; 4] = [&[(6, 3)], &[(4, 0)], &[(3, 0)], &[(2, 0)]];
    for name in ["G", "Em", "C", "D7", "Gm", "Am7"] {
        assert!(line_under(name, "1/4", &picked).is_empty(), "{name}");
    }
    // One note of the named chord, a held note, or the colours of a larger chord: nobody is accused.
    let passing: [&[(u8, u8)]; 4] = [&[(6, 3)], &[(4, 0)], &[(3, 2)], &[(2, 0)]];
    assert!(line_under("A", "1/4", &passing).is_empty());
    assert!(line_under("A", "1/1", &picked[..1]).is_empty());
    let riff: [&[(u8, u8)]; 4] =
        [&[(6, 5), (5, 7), (4, 7)], &[(6, 3), (5, 5), (4, 5)], &[(6, 5), (5, 7), (4, 7)], &[(6, 3), (5, 5), (4, 5)]];
    assert!(line_under("A", "1/4", &riff).is_empty());
}

#[test]
fn chords_that_charts_write_more_simply_are_not_found() {
    for (name, frets) in [
        ("G", "320003"),
        ("C", "x32033"),
        ("A", "x02020"),
        ("A", "x02200"),
        ("D", "xx0233"),
        ("Em", "022030"),
        ("G", "355433"),
        ("D/F#", "200232"),
        ("E7#9", "x7678x"),
        // What is suspended sounds, or the third sounds on a few strings only, as a resolution may.
        ("Asus4", "x02230"),
        ("Asus2", "x02200"),
        ("A7sus4", "x02233"),
        ("A5", "x0225x"),
        ("Gsus4", "xxx003"),
        // Part of the chord; and its upper part, where the bass plays the root.
        ("Em7", "xxx003"),
        ("Cmaj7", "xx2000"),
        ("C", "xxx000"),
        ("G7", "xx3231"),
        // Fourths, and a diminished seventh chord.
        ("C", "xx2233"),
        ("G7", "xx1212"),
        // As text, and where no chord is played.
        ("N.C.", "320003"),
        ("like the verse", "320003"),
    ] {
        strummed(name, frets, false);
    }
}

#[test]
fn a_name_by_the_sound_is_noted_where_names_are_those_of_the_shapes() {
    // With a capo at fret 3 the shape of G sounds Bb.
    for (name, found) in [("G", None), ("Bb", Some(Severity::Note)), ("A", Some(Severity::Warning))] {
        let mut lesson = lesson_of(vec![bar(vec![over("1/1", strum("320003"), name)])]);
        lesson.passages[0].setup = Some(SetupId(2));
        let all = contradicted(&lesson);
        assert_eq!(all.first().map(|finding| finding.severity), found, "{name}");
        for finding in &all {
            let ways = choices(&lesson, finding);
            assert_eq!(ways[0].text, "call it G", "{name}");
        }
        // A lesson that goes by the sound notes the names of the shapes.
        lesson.header.chord_names = ChordNames::SoundsAs;
        let found = if name == "Bb" { None } else { found.or(Some(Severity::Note)) };
        let all = contradicted(&lesson);
        assert_eq!(all.first().map(|finding| finding.severity), found, "{name}");
        for finding in &all {
            assert_eq!(choices(&lesson, finding)[0].text, "call it Bb", "{name}");
        }
    }
}

#[test]
fn a_voicing_agrees_with_the_name_that_it_has_by_the_sound() {
    // With a capo at fret 3 the shape of G sounds Bb.
    let differ = |names, over_tab: &str| {
        let mut event = over("1/1", strum("320003"), over_tab);
        event.voicing = Some(VoicingId(1));
        let mut lesson = lesson_of(vec![bar(vec![event])]);
        lesson.passages[0].setup = Some(SetupId(2));
        lesson.header.chord_names = names;
        (lesson.voicings[0].setup, lesson.voicings[0].readings) = (Some(SetupId(2)), vec!["G".to_owned()]);
        check(&lesson).into_iter().find(|one| one.kind == FindingKind::NamesDiffer).map(|one| one.text(&lesson))
    };
    assert_eq!(differ(ChordNames::PlayedAs, "G"), None);
    assert_eq!(differ(ChordNames::SoundsAs, "Bb"), None);
    assert_eq!(differ(ChordNames::SoundsAs, "A#"), None, "how it is spelled is no matter");
    let text = differ(ChordNames::SoundsAs, "G").unwrap();
    assert!(text.contains("G is written here, and its voicing has the name"), "{text}");
    assert!(differ(ChordNames::PlayedAs, "Bb").is_some());
}

#[test]
fn lines_riffs_and_power_chords_under_a_name_are_not_found() {
    let line = |frets: &[(u8, u8)]| {
        let events = frets.iter().enumerate();
        let name = |place| if place == 0 { "D" } else { "" };
        bar(events.map(|(place, (string, fret))| over("1/8", vec![note(*string, *fret)], name(place))).collect())
    };
    // A line in A minor pentatonic, a riff on the sixth string, a figure on three strings that comes back.
    let box_five = [(1, 5), (2, 5), (3, 5), (4, 5), (1, 8), (2, 8), (3, 7), (4, 7)];
    let riff = [(6, 0), (6, 3), (6, 5), (6, 0), (6, 3), (6, 6), (6, 5), (6, 3)];
    let figure = [(3, 5), (2, 5), (1, 5), (3, 5), (2, 5), (1, 5), (3, 5), (2, 5)];
    for frets in [box_five, riff, figure] {
        assert_eq!(contradicted(&lesson_of(vec![line(&frets)])), [], "{frets:?}");
    }
    let power = |fret: u8, name| over("1/4", vec![note(6, fret), note(5, fret + 2)], name);
    let bars = vec![bar(vec![power(5, "A"), power(8, ""), power(10, ""), power(3, "")])];
    assert_eq!(contradicted(&lesson_of(bars)), []);
}

#[test]
fn a_suspension_that_resolves_and_a_chord_in_passing_are_not_found() {
    let bars = |half: &str, rest: &str| {
        vec![
            bar(vec![over("1/2", strum(half), "C"), over("1/2", strum(rest), "")]),
            bar(vec![over("1/1", strum("x32010"), "C")]),
        ]
    };
    // F over C leads back to C; a push into the next bar; a bar that goes on without a name.
    for (half, rest) in [("x33211", "x32010"), ("x32010", "320003"), ("x32010", "133211")] {
        assert_eq!(contradicted(&lesson_of(bars(half, rest))), [], "{half} {rest}");
    }
    // What is suspended comes to rest on the third.
    for (suspended, name) in [("x33011", "Csus4"), ("x30033", "Csus2")] {
        let resolved = vec![bar(vec![over("1/2", strum(suspended), name), over("1/2", strum("x32010"), "")])];
        assert_eq!(contradicted(&lesson_of(resolved)), [], "{name}");
    }
    // Without the way home it is another chord.
    assert_eq!(contradicted(&lesson_of(bars("133211", "133211"))).len(), 1);
}

#[test]
fn a_melody_or_a_fill_behind_a_strum_does_not_hide_its_wrong_name() {
    let first = |name: &str, frets: &str| {
        let strum = over("1/8", strum(frets), name);
        bar(std::iter::once(strum).chain(melody(&[5, 7, 8, 7, 5, 3, 5])).collect())
    };
    let rest = || bar(melody(&[8, 7, 5, 7, 8, 10, 8, 7]));
    for (name, frets, found) in [
        ("A", "320003", 1),
        ("G", "320003", 0),
        ("D", "xx2010", 1),
        ("G7", "320003", 0),
        ("Am", "x02210", 0),
        // Two strings and a power chord say too little; a triad on three may be the upper part of a larger chord.
        ("A", "32xxxx", 0),
        ("A5", "577xxx", 0),
        ("C", "xxx000", 0),
    ] {
        let lesson = lesson_of(vec![first(name, frets), rest(), rest(), rest()]);
        assert_eq!(contradicted(&lesson).len(), found, "{name} over {frets}");
        assert_eq!(missing(&lesson), Vec::<String>::new(), "{name} over {frets}");
    }
    // A fill of other chords is harmony that nobody has named; the strum at the name is still another chord.
    let fill = ["xx0232", "x02210", "xx0232"].map(|frets| over("1/4", strum(frets), ""));
    let with_fill = |name: &str| bar(std::iter::once(over("1/4", strum("133211"), name)).chain(fill.clone()).collect());
    assert_eq!(contradicted(&lesson_of(vec![with_fill("E")])).len(), 1);
    assert_eq!(contradicted(&lesson_of(vec![with_fill("F")])), []);
}

#[test]
fn strings_that_ring_into_a_chord_and_a_bass_with_its_strum_count_as_much() {
    let ringing = |string, fret, name: &str| over("1/8", vec![with(string, fret, &[Technique::LetRing])], name);
    let picked = |name: &str| {
        let chord = [(6, 3, name), (4, 0, ""), (3, 0, ""), (2, 0, "")].map(|(s, f, name)| ringing(s, f, name));
        lesson_of(vec![
            bar(chord.into_iter().chain(melody(&[5, 7, 8, 7])).collect()),
            bar(melody(&[8, 7, 5, 3, 5, 7, 8, 7])),
        ])
    };
    let bass = |name: &str| {
        let chord = [over("1/8", vec![note(6, 3)], name), over("1/8", strum("xx0003"), "")];
        lesson_of(vec![bar(chord.into_iter().chain(melody(&[5, 7, 8, 7, 5, 3])).collect())])
    };
    for (name, found) in [("A", 1), ("G", 0), ("F", 1)] {
        assert_eq!(contradicted(&picked(name)).len(), found, "picked: {name}");
        assert_eq!(contradicted(&bass(name)).len(), found, "bass and strum: {name}");
    }
}

#[test]
fn more_chords_than_can_be_told_apart_do_not_hide_a_wrong_name() {
    // Under one name, strums that ring on under a line of ever other notes.
    let bars = (0..40_u8).map(|place| {
        let mut chord = strum("320003");
        chord.push(note(1, place % 20));
        chord.retain(|note| note.string.number() > 1 || note.fret.number() == place % 20);
        bar(vec![over("1/2", strum("3200xx"), if place == 0 { "A" } else { "" }), over("1/2", chord, "")])
    });
    assert_eq!(contradicted(&lesson_of(bars.collect())).len(), 1);
}

#[test]
fn a_shape_that_is_picked_is_heard_as_a_chord() {
    let picked = |name: &str| {
        let order = [(5, 3), (4, 2), (3, 0), (2, 1), (3, 0), (4, 2), (3, 0), (2, 1)];
        let events = order.iter().enumerate();
        bar(events.map(|(place, (s, f))| over("1/8", vec![note(*s, *f)], if place == 0 { name } else { "" })).collect())
    };
    for (name, found) in [("C", 0), ("Am", 0), ("Fmaj7", 0), ("D", 1), ("E", 1)] {
        assert_eq!(contradicted(&lesson_of(vec![picked(name)])).len(), found, "{name}");
    }
}

#[test]
fn strings_that_ring_on_make_a_chord_until_the_next_name() {
    let ringing = |string, fret| vec![with(string, fret, &[Technique::LetRing])];
    let bars = |second: &str| {
        vec![bar(vec![
            over("1/8", ringing(5, 3), "C"),
            over("1/8", ringing(4, 2), ""),
            over("1/4", ringing(3, 0), ""),
            over("1/8", ringing(6, 3), second),
            over("1/8", ringing(4, 0), ""),
            over("1/4", ringing(2, 0), ""),
        ])]
    };
    assert_eq!(contradicted(&lesson_of(bars("G"))), []);
    assert_eq!(contradicted(&lesson_of(bars("A"))).len(), 1);
}

#[test]
fn a_pedal_under_changing_chords_belongs_to_none_of_them() {
    let over_e = |upper: [(u8, u8); 3], name: &str| {
        let notes = upper.iter().map(|(string, fret)| note(*string, *fret)).chain([note(6, 0)]).collect();
        bar(vec![over("1/1", notes, name)])
    };
    // G without its fifth over the low E would be Em, if the E did not lie under A and F as well.
    let bars = vec![
        over_e([(4, 7), (3, 6), (2, 5)], "A"),
        over_e([(4, 5), (3, 4), (2, 8)], "G"),
        over_e([(4, 3), (3, 2), (2, 1)], "F"),
    ];
    assert_eq!(contradicted(&lesson_of(bars)), []);
}

#[test]
fn the_same_chord_later_under_the_next_name_makes_no_pedal() {
    let bars = vec![
        bar(std::iter::once(over("1/4", strum("320003"), "A")).chain(melody(&[5, 7, 8, 7, 5, 3])).collect()),
        bar(vec![over("1/1", strum("x32010"), "C")]),
        bar(vec![over("1/1", strum("320003"), "")]),
    ];
    let lesson = lesson_of(bars);
    assert_eq!((contradicted(&lesson).len(), missing(&lesson).len()), (1, 1));
}

#[test]
fn a_name_does_not_go_on_into_another_ending() {
    let ending = |number: u8, frets: &str, name: &str| Bar {
        endings: vec![number],
        ..bar(vec![over("1/1", strum(frets), name)])
    };
    let mut first = ending(1, "x32010", "C");
    first.repeat_end = Some(2);
    let bars = vec![bar(vec![over("1/1", strum("320003"), "G")]), first, ending(2, "xx0232", "")];
    assert_eq!(contradicted(&lesson_of(bars)), []);
}

#[test]
fn a_name_kept_with_its_voicing_is_found_once() {
    let mut lesson = lesson_of(vec![bar(vec![over("1/1", strum("320003"), "A")])]);
    lesson.voicings = vec![super::sound::voicing(7, "A", "320003")];
    lesson.passages[0].bars[0].voices[0].0[0].voicing = Some(lesson.voicings[0].id);
    let found: Vec<FindingKind> = check(&lesson).into_iter().map(|finding| finding.kind).collect();
    assert!(found.contains(&FindingKind::VoicingName) && !found.contains(&FindingKind::ContradictedName), "{found:?}");
}

#[test]
fn the_work_grows_with_the_music_alone() {
    let right: &[(&str, &str)] = &[("x32010", "C"), ("320003", "G")];
    let wrong: &[(&str, &str)] = &[("x32010", "D"), ("320003", "F#m"), ("x02220", "C")];
    // One name over all of it, under which every chord is told apart.
    let unnamed: &[(&str, &str)] = &[("x32010", ""), ("320003", ""), ("133211", ""), ("xx0232", "")];
    for music in [right, wrong, unnamed] {
        let steps = |bars: usize| {
            let ringing = |frets: &str| {
                strum(frets).into_iter().map(|mut note| {
                    note.techniques.push(Technique::LetRing);
                    note
                })
            };
            let chords = music.iter().cycle().take(bars);
            let bars = chords.map(|(frets, name)| bar(vec![over("1/1", ringing(frets).collect(), name)]));
            let mut lesson = lesson_of(bars.collect());
            lesson.passages[0].bars[0].voices[0].0[0].chord = Some("C".to_owned());
            steps_of(|| drop(check(&lesson)))
        };
        let (once, twice) = (steps(60), steps(120));
        assert!(once >= 60, "{once} steps: every bar is heard");
        assert!(twice <= 2 * once + 60, "{once} steps for 60 bars, {twice} for 120");
    }
}
