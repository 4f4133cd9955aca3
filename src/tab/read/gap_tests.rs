//! What old files leave out or say in words. Every riff is invented.

use std::cell::Cell;

use proptest::prelude::*;

use super::tests::told;
use super::*;
use crate::lesson::check::{Severity, check};
use crate::lesson::document::Lesson;
use crate::lesson::id::PassageId;

fn tab(text: &str) -> ReadTab {
    read(text, &ReadHints::new(PassageId(1), "riff")).unwrap()
}

/// Returns whether a guess on `line` holds `words`.
fn says(tab: &ReadTab, line: usize, words: &str) -> bool {
    tab.notes.iter().any(|guess| guess.line == line && guess.message.contains(words))
}

/// Returns every note as string and fret, bar by bar.
fn frets(tab: &ReadTab) -> Vec<String> {
    let bar = |bar: &crate::lesson::music::Bar| {
        let notes = bar.voices.iter().flat_map(|voice| &voice.0).flat_map(|event| &event.notes);
        notes.map(|note| format!("{}/{}", note.string, note.fret)).collect::<Vec<_>>().join(" ")
    };
    tab.passage.bars.iter().map(bar).collect()
}

#[test]
fn a_label_alone_is_an_empty_string() {
    let drawn = tab("e|---------|\nB|---------|\nG|-7-------|\nD|---------|\nA|-----5---|\nE|---------|\n");
    for text in [
        "e|---------|\nB|---------|\nG|-7-------|\nD\nA|-----5---|\nE|---------|\n",
        "e|---------|\nB|---------|\nG|-7-------|\nD|\nA|-----5---|\nE|---------|\n",
        "e|---------|\nB|---------|\nG|-7-------|\nD        \nA|-----5---|\nE|---------|\n",
        "e\nB\nG|-7-------|\nD|---------|\nA|-----5---|\nE\n",
    ] {
        let found = tab(text);
        assert_eq!(found.passage, drawn.passage, "{text}");
        assert_eq!(found.labels, drawn.labels, "{text}");
        assert!(!found.notes.iter().any(|guess| guess.message.contains("remark")), "{:?}", found.notes);
    }
    let bars = tab("Em | G\ne|-3---|-3---|\nB|-----|-----|\nG|-----|-----|\nD|-----|-----|\n");
    assert_eq!(bars.labels.len(), 4);
    assert_eq!(bars.passage.bars[1].voices[0].0[0].chord.as_deref(), Some("G"));
    // A chord name over the strings stays one.
    let chord = tab("   G\ne|-3---|\nB|-----|\nG|-----|\nD|-----|\nA|-----|\nE|-3---|\n");
    assert_eq!(chord.labels.len(), 6);
    assert_eq!(chord.passage.bars[0].voices[0].0[0].chord.as_deref(), Some("G"));
}

#[test]
fn a_chord_name_goes_to_the_note_nearest_under_its_beginning() {
    let named = |over: &str, notes: &str| {
        let found = tab(&format!("{over}\ne|{notes}|\nB|{0}|\nG|{0}|\nD|{0}|\n", "-".repeat(notes.len())));
        let events = found.passage.bars[0].voices[0].0.clone();
        let named: Vec<usize> = (0..events.len()).filter(|at| events[*at].chord.is_some()).collect();
        named
    };
    for apart in 2..6 {
        for place in 0..4 {
            let notes = format!("-{}", format!("3{}", "-".repeat(apart - 1)).repeat(4));
            let over = format!("{}D", " ".repeat(3 + place * apart));
            assert_eq!(named(&over, &notes), [place], "{over}\ne|{notes}|");
        }
    }
    assert_eq!(named("      D", "-3-3----3---"), [1], "one column to the right");
    assert_eq!(named("        D", "-3---3------3---"), [1], "none is nearer");
    assert_eq!(named("   C D G", "-3-3-3-3-"), [0, 1, 2]);
}

#[test]
fn the_lowest_string_on_top_is_turned_over() {
    let upright = tab("e|---------|\nB|---------|\nG|---------|\nD|---------|\nA|-----2---|\nE|-0-------|\n");
    let turned = tab("E|-0-------|\nA|-----2---|\nD|---------|\nG|---------|\nB|---------|\ne|---------|\n");
    assert_eq!(turned.passage, upright.passage);
    assert_eq!(turned.labels, ["E", "A", "D", "G", "B", "e"]);
    assert!(says(&turned, 1, "turned over"));
    assert!(!says(&upright, 1, "turned over"));
    let bass = tab("Tuning: E A D G\n\nE|-0-------|\nA|-----2---|\nD|---------|\nG|---------|\n");
    assert_eq!(frets(&bass), ["4/0 3/2"]);
    // Four strings of fifths are upright as they stand.
    let fifths = tab("E|-0-------|\nA|-----2---|\nD|---------|\nG|---------|\n");
    assert_eq!(frets(&fifths), ["1/0 2/2"]);
    assert!(says(&fifths, 1, "Tuning: E A D G"));
}

#[test]
fn what_is_written_above_is_used() {
    insta::assert_snapshot!(told("
Tuning: D A D G A D
Capo 2
q=92
3/4

D|-0-----------|
A|-----0-------|
G|---------0---|
D|-------------|
A|-------------|
D|-0-----------|
"), @r"
    D2 A2 D3 G3 A3 D4
    1/4 1/0 6/0  1/4 2/0  1/4 3/0
    2: the tuning `D A D G A D` was read as D2 A2 D3 G3 A3 D4
    4: `q=92` was read as the tempo, 1/4=92
    5: `3/4` was read as the time signature, 3/4
    7: no lengths are written; they were guessed from the spacing
    ");
    let system =
        "\n|-0-----------|\n|-------------|\n|-------------|\n|-------------|\n|-------------|\n|-------------|\n";
    for (line, tuning, meter, tempo) in [
        ("tuning: drop D", "D2 A2 D3 G3 B3 E4", "4/4", "1/4=120"),
        ("Open G tuning, 6/8", "D2 G2 D3 G3 B3 D4", "6/8", "1/4=120"),
        ("tempo 92   Time: 3/4", "E2 A2 D3 G3 B3 E4", "3/4", "1/4=92"),
        ("Tempo: 101 bpm", "E2 A2 D3 G3 B3 E4", "4/4", "1/4=101"),
        ("3/4 time, around 90 bpm", "E2 A2 D3 G3 B3 E4", "3/4", "1/4=90"),
        ("♩ = 77", "E2 A2 D3 G3 B3 E4", "4/4", "1/4=77"),
        ("played in 1999, 2/3 of it", "E2 A2 D3 G3 B3 E4", "4/4", "1/4=120"),
        ("tempo 9", "E2 A2 D3 G3 B3 E4", "4/4", "1/4=120"),
    ] {
        let found = tab(&format!("{line}\n{system}"));
        assert_eq!(found.tuning.unwrap().to_string(), tuning, "{line}");
        assert_eq!(found.passage.meter.to_string(), meter, "{line}");
        assert_eq!(found.passage.tempo.to_string(), tempo, "{line}");
    }
}

#[test]
fn strings_that_are_not_written_are_silent() {
    let text = "
G|---------|
D|---------|
A|-5---7---|
E|---------|

D|-7-------|
A|-----7---|

E|-3-------|
";
    let found = tab(text);
    assert_eq!(frets(&found), ["3/5 3/7", "2/7 3/7", "4/3"]);
    assert!(says(&found, 7, "only the strings D A of G D A E"));
    // Which of the two E strings is meant cannot be known.
    let twice = tab("E|-0-|\nB|---|\nG|---|\nD|---|\nA|---|\nE|---|\n\nE|-3-|\n");
    assert_eq!(frets(&twice), ["1/0"]);
    assert!(says(&twice, 8, "left out"));
    // Without labels nothing tells.
    let bare = tab("|-0-|\n|---|\n|---|\n|---|\n\n|-3-|\n|---|\n|---|\n");
    assert_eq!(frets(&bare), ["1/0"]);
    assert!(says(&bare, 6, "a system of 3 strings among systems of 4 was left out"));
}

#[test]
fn words_about_repeats_become_signs_where_bar_lines_allow() {
    let bar = "e|-0---3---|\nB|---------|\nG|---------|\nD|---------|";
    for (text, times) in [
        (format!("{bar}  x2\n"), Some(2)),
        (format!("{bar}\n(x4)\n"), Some(4)),
        (format!("{bar}\n\nplay 3 times\n"), Some(3)),
        (format!("{bar} repeat twice\n"), Some(2)),
        (format!("{bar} x1\n"), None),
        (format!("{}\nx3\n", bar.replace("-|", "--")), None),
    ] {
        let found = tab(&text);
        let bars = &found.passage.bars;
        assert_eq!(bars.last().unwrap().repeat_end, times, "{text}");
        assert_eq!(bars[0].repeat_start, times.is_some(), "{text}");
        assert_eq!(
            found.notes.iter().filter(|guess| guess.message.contains("was read as a repeat of")).count(),
            times.iter().count(),
            "{:?}",
            found.notes
        );
        assert!(
            times.is_some() || found.notes.iter().any(|guess| guess.message.contains("was left out: ")),
            "{:?}",
            found.notes
        );
    }
    // What stands on the next system is about that one.
    let two = tab(&format!("{bar}\n\nplay 3 times\n{bar}\n"));
    assert_eq!(two.passage.bars[0].repeat_end, None);
    assert_eq!(two.passage.bars[1].repeat_end, Some(3));
}

#[test]
fn chord_lines_and_headings_are_kept() {
    insta::assert_snapshot!(told("
[Intro]
| Dm | F  G |
e|-----------------|-----------------|
B|-----------------|-----------------|
G|-----------------|-----------------|
D|-0---0---3---0---|-3---3---5---5---|

Chorus 2
 N.C.
e|-----------------|
B|-----------------|
G|-----------------|
D|-0-------5-------|
"), @r#"
    D3 G3 B3 E4
    1/4 Dm Intro 4/0  1/4 4/0  1/4 4/3  1/4 4/0
    1/4 F 4/3  1/4 4/3  1/4 G 4/5  1/4 4/5
    1/2 N.C. Chorus 2 4/0  1/2 4/5
    2: the heading "Intro" was put over the first note under it
    3: the chord names were put into the bars under them
    4: lines 4, 11: no lengths are written; they were guessed from the spacing
    4: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    9: the heading "Chorus 2" was put over the first note under it
    "#);
}

#[test]
fn a_grid_that_divides_the_bar_evenly_is_used_exactly() {
    let lengths = |row: &str| {
        let blank = row.replace(|sign: char| sign.is_ascii_digit(), "-");
        let found = tab(&format!("e|{row}|\nB|{blank}|\nG|{blank}|\nD|{blank}|\n"));
        let events = found.passage.bars[0].voices[0].0.iter();
        events.map(|event| event.length.to_string()).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(lengths("-0-1-2-3-0-1-2-3-"), "1/8 1/8 1/8 1/8 1/8 1/8 1/8 1/8");
    assert_eq!(lengths("-0--2-3-0---2-3-3"), "1/8. 1/8 1/8 1/4 1/8 1/8 1/16");
    assert_eq!(lengths("-012345678901"), "1/8 3:2 ".repeat(12).trim_end());
    assert_eq!(lengths("0-1-2-3-"), "1/4 1/4 1/4 1/4");
    assert_eq!(lengths("-0--1--2--3--0--1--2--3--"), "1/8 1/8 1/8 1/8 1/8 1/8 1/8 1/8");
}

#[test]
fn the_list_of_guesses_stays_short() {
    let system = "e|-0-1-|\nB|-----|\nG|-----|\nD|-----|\n\n la la\n lo\n li\n le\n\n";
    let found = tab(&system.repeat(30));
    assert!(found.notes.len() <= 61, "{}", found.notes.len());
    assert!(says(&found, 1, "lines 1 to 291, 30 times: no lengths are written"), "{:?}", found.notes);
    assert!(says(&found, 6, "4 lines up to line 9 were read as remarks"), "{:?}", found.notes);
}

/// A system of four strings with bars of any width, notes anywhere, and words around it.
fn old_system() -> impl Strategy<Value = String> {
    let bar = (4usize..34).prop_flat_map(|width| {
        let cell = prop_oneof![5 => Just('-'), 1 => proptest::char::range('0', '9')];
        proptest::collection::vec(proptest::collection::vec(cell, width), 4)
    });
    let end = prop_oneof![Just("|"), Just("||"), Just(""), Just(":|")];
    let words = prop_oneof![Just(""), Just(" x2"), Just("\nplay 3 times"), Just("\n(x4)")];
    let start = prop_oneof![Just("|"), Just("||:")];
    (start, proptest::collection::vec(bar, 1..4), end, words).prop_map(|(start, bars, end, words)| {
        let row = |string: usize| {
            let bars: Vec<String> = bars.iter().map(|bar| bar[string].iter().collect()).collect();
            format!("{}{start}{}{end}", ["e", "B", "G", "D"][string], bars.join("|"))
        };
        format!("{}{words}\n\n", [0, 1, 2, 3].map(row).join("\n"))
    })
}

#[test]
fn what_is_guessed_checks_without_a_problem_or_says_so() {
    let head = prop_oneof![Just(""), Just("3/4\n"), Just("6/8\n"), Just("2/2, tempo 80\n"), Just("5/4\n")];
    let reached = Cell::new(0);
    let config = ProptestConfig::with_cases(128);
    proptest!(config, |(head in head, systems in proptest::collection::vec(old_system(), 1..4))| {
        let text = format!("{head}\n{}", systems.concat());
        let Ok(found) = read(&text, &ReadHints::new(PassageId(1), "riff")) else { return Ok(()) };
        reached.set(reached.get() + 1);
        let lesson = Lesson { passages: vec![found.passage], ..Lesson::default() };
        let findings = check(&lesson);
        let problems: Vec<String> = findings
            .iter()
            .filter(|finding| finding.severity == Severity::Problem)
            .map(|finding| finding.text(&lesson))
            .collect();
        let said = found.notes.iter().any(|guess| guess.message.contains("too long"));
        prop_assert!(problems.is_empty() || said, "{text}\n{problems:#?}\n{:#?}", found.notes);
    });
    assert!(reached.get() > 0, "none of the systems could be read");
}
