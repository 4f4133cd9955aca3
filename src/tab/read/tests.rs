//! The ragged tab of old files. Every riff is invented.

use super::*;
use crate::lesson::id::PassageId;
use crate::lesson::music::{Event, Join, Technique};

/// Returns what was read in short: a line for each bar, then the guesses.
pub(super) fn told(text: &str) -> String {
    let tab = read(text, &ReadHints::new(PassageId(1), "riff")).unwrap();
    let mut told = format!("{}\n", tab.tuning.map_or_else(|| "no tuning".to_owned(), |tuning| tuning.to_string()));
    for bar in &tab.passage.bars {
        if bar.repeat_start {
            told.push_str("||: ");
        }
        let events = bar.voices.iter().flat_map(|voice| &voice.0).map(event);
        told.push_str(&events.collect::<Vec<_>>().join("  "));
        if let Some(times) = bar.repeat_end {
            told.push_str(&format!(" :|| x{times}"));
        }
        told.push('\n');
    }
    for guess in tab.notes {
        told.push_str(&format!("{}: {}\n", guess.line, guess.message));
    }
    told
}

/// Writes one event: `1/8 Em "text" 6/0h 5/2`.
fn event(event: &Event) -> String {
    let mut told = event.length.to_string();
    if event.is_rest() {
        told.push_str(" rest");
    }
    for words in [&event.chord, &event.text].into_iter().flatten() {
        told.push_str(&format!(" {words}"));
    }
    for note in &event.notes {
        told.push_str(&format!(" {}/{}", note.string, note.fret));
        for technique in &note.techniques {
            told.push_str(match technique {
                Technique::Dead => "x",
                Technique::Ghost => "()",
                Technique::NaturalHarmonic => "<>",
                Technique::PalmMute => ".",
                Technique::Vibrato => "~",
                Technique::Bend(_) => "b",
                Technique::BendRelease(_) => "br",
                Technique::Tap => "t",
                Technique::SlideUpInto => "//",
                Technique::SlideAwayDown => "\\\\",
                Technique::SlideAwayUp => "^^",
                _ => "!",
            });
        }
        told.push_str(match note.join {
            Some(Join::HammerOn) => "h",
            Some(Join::PullOff) => "p",
            Some(Join::Slide) => "/",
            Some(Join::SlideAndPick) => "s",
            Some(Join::Tie) => "=",
            None => "",
        });
    }
    told
}

#[test]
fn labels_with_and_without_bars() {
    insta::assert_snapshot!(told("e|-----------------|\nB|-----------------|\nG|-----------------|\nD|---------2---4---|\nA|-----2-----------|\nE|-0---------------|\n"), @r"
    E2 A2 D3 G3 B3 E4
    1/4 6/0  1/4 5/2  1/4 4/2  1/4 4/4
    1: no lengths are written; they were guessed from the spacing
    1: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    ");
    insta::assert_snapshot!(told("E ----------------\nB ----------------\nG ----------------\nD --------2---4---\nA ----2-----------\nE 0---------------\n"), @r"
    E2 A2 D3 G3 B3 E4
    1/4 6/0  1/4 5/2  1/4 4/2  1/4 4/4
    1: no lengths are written; they were guessed from the spacing
    1: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    ");
    insta::assert_snapshot!(told("Eb|--7-5-7-5-|\nBb|----------|\nGb|----------|\nDb|----------|\nAb|----------|\nEb|----------|\n"), @r"
    Eb2 Ab2 Db3 Gb3 Bb3 Eb4
    1/4 1/7  1/4 1/5  1/4 1/7  1/4 1/5
    1: no lengths are written; they were guessed from the spacing
    1: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    ");
    insta::assert_snapshot!(told("|---------|\r\n|-1-0-1-0-|\r\n|---------|\r\n|---------|\r\n"), @r"
    E1 A1 D2 G2
    1/4 2/1  1/4 2/0  1/4 2/1  1/4 2/0
    1: no labels name the strings; E1 A1 D2 G2 was assumed
    1: no lengths are written; they were guessed from the spacing
    1: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    ");
}

#[test]
fn chords_words_and_marks_around_the_strings() {
    insta::assert_snapshot!(told("
Kiln Street
a riff I made up

[Verse]
   Em7       A7
   PM------|
e|-------------------|--------|
B|---3---3---2---2---|--------|
G|---0---0---0---0---|--12-10-|
D|---2---2---2---2---|--12-10-|
A|-------------------|--10-10-|
E|-0-----------------|--------|  x2
   oh the kettle sings

e|--x-x-x-x-|
B|--x-x-x-x-|
G|--x-x-x-x-|
D|--x-x-x-x-|
A|--x-x-x-x-|
E|--x-x-x-x-|
"), @r#"
    E2 A2 D3 G3 B3 E4
    ||: 1/8 Em7 Verse 6/0.  1/8. 2/3. 3/0. 4/2.  1/4 2/3. 3/0. 4/2.  1/8. A7 2/2 3/0 4/2  1/4 2/2 3/0 4/2
    1/2 3/12 4/12 5/10  1/2 3/10 4/10 5/10 :|| x2
    1/4 1/0x 2/0x 3/0x 4/0x 5/0x 6/0x  1/4 1/0x 2/0x 3/0x 4/0x 5/0x 6/0x  1/4 1/0x 2/0x 3/0x 4/0x 5/0x 6/0x  1/4 1/0x 2/0x 3/0x 4/0x 5/0x 6/0x
    2: read as a remark and left out: `Kiln Street`
    3: read as a remark and left out: `a riff I made up`
    5: the heading "Verse" was put over the first note under it
    8: lines 8, 16: no lengths are written; they were guessed from the spacing
    8: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    13: `x2` was read as a repeat of the whole line
    14: read as a remark and left out: `oh the kettle sings`
    "#);
}

#[test]
fn techniques_as_people_write_them() {
    insta::assert_snapshot!(told("
e|-----------------------|-12b14r12-10-----|-T12p5h8-|
B|-5h7-7p5-5/7-7\\5-------|---------------8~-|---------|
G|------------------(5)--|-----------------|---------|
D|--------------------<7>|-5s7---7b--------|---------|
A|-----------------------|-----------/5----|---------|
E|-----------------------|---------------3\\|---------|
"), @r"
    E2 A2 D3 G3 B3 E4
    1/16 2/5h  1/8 2/7  1/16 2/7p  1/16 2/5  1/8 2/5/  1/16 2/7  1/16 2/7/  1/8. 2/5  1/16 3/5()  1/8. 4/7<>
    1/8 1/12br 4/5s  1/4 4/7  1/8 4/7b  1/8 1/10  1/8. 5/5//  1/8. 2/8~ 6/3\\
    1/2 1/12tp  1/4 1/5h  1/4 1/8
    2: no lengths are written; they were guessed from the spacing
    2: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    5: string 4: a bend without an amount was read as a whole step
    7: string 6: a slide that leads to no note was read as a slide out
    ");
}

#[test]
fn missing_bar_lines_and_odd_fillers() {
    insta::assert_snapshot!(told("
e-----------------------------------
B-----------------------------------
G-------2-------2-------2-------2---
D-----2---2---2---2---2---2---2---2-
A-0-0---0---0---0---0---0---0---0---
E-----------------------------------
"), @r"
    E2 A2 D3 G3 B3 E4
    1/8 5/0  1/8 5/0  1/8 4/2  1/8 3/2 5/0  1/8 4/2  1/8 5/0  1/8 4/2  1/8 3/2 5/0
    1/8 4/2  1/8 5/0  1/8 4/2  1/8 3/2 5/0  1/8 4/2  1/8 5/0  1/8 4/2  1/8 3/2 5/0
    1/1 4/2
    2: no bar line ends this; it was divided into bars of 4/4
    2: no lengths are written; they were guessed from the spacing
    2: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    ");
    insta::assert_snapshot!(told("
G|    5   5 |
D|  5   5   |
A|5         |
E|          |
"), @r"
    E1 A1 D2 G2
    1/4 3/5  1/8 2/5  1/4 1/5  1/8 2/5  1/4 1/5
    2: no lengths are written; they were guessed from the spacing
    2: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    ");
    insta::assert_snapshot!(told("
g|..5.7.8.7.|
D|..........|
A|..5.......|
E|..........|
"), @r"
    E1 A1 D2 G2
    1/4 1/5 3/5  1/4 1/7  1/4 1/8  1/4 1/7
    2: `.` was read as the string itself
    2: no lengths are written; they were guessed from the spacing
    2: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    ");
}

#[test]
fn uneven_strings_and_repeats() {
    insta::assert_snapshot!(told("
e||:-0-2-3-2-:|
B||:-0-------:|--
G||:---------:|
D||:---------:|-----
"), @r"
    D3 G3 B3 E4
    ||: 1/4 1/0 2/0  1/4 1/2  1/4 1/3  1/4 1/2 :|| x2
    2: no lengths are written; they were guessed from the spacing
    2: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    ");
    insta::assert_snapshot!(told("
 e|--3--|--5--|
Bb|--3--|--5--|
 G|--3--|-----|
 D|--3--|--5--|
"), @r"
    D1 G1 Bb1 E2
    1/1 1/3 2/3 3/3 4/3
    1/1 1/5 2/5 4/5
    2: no lengths are written; they were guessed from the spacing
    2: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    2: the labels name no usual tuning; each string was read in the octave nearest to the usual one
    ");
    insta::assert_snapshot!(told("
e|--3--|--5--|
B|--3-----5--|
G|--3--|--5--|
D|--3--|--5--|
"), @r"
    D3 G3 B3 E4
    1/1 1/3 2/3 3/3 4/3
    1/1 1/5 2/5 3/5 4/5
    2: no lengths are written; they were guessed from the spacing
    2: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    2: the strings disagree about the bar lines; those that most strings have were kept
    ");
}

#[test]
fn digits_that_touch() {
    insta::assert_snapshot!(told("
e|-575-787-|
B|---------|
G|---------|
"), @r"
    E2 A2 D3 G3 B3 E4
    1/8 1/5  1/8 1/7  1/4 1/5  1/8 1/7  1/8 1/8  1/4 1/7
    2: digits touch without making frets, so each digit was read as a note
    2: no lengths are written; they were guessed from the spacing
    2: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    2: only the strings e B G of e B G D A E are written; the others were read as silent
    ");
    insta::assert_snapshot!(told("
e|---8---10---12-|
B|--10---10---12-|
G|--9----9----12-|
"), @r"
    E2 A2 D3 G3 B3 E4
    1/4. 1/8 2/10 3/9  1/4. 1/10 2/10 3/9  1/4 1/12 2/12 3/12
    2: no lengths are written; they were guessed from the spacing
    2: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    2: only the strings e B G of e B G D A E are written; the others were read as silent
    ");
}

#[test]
fn more_strings_and_other_labels() {
    insta::assert_snapshot!(told("
d|--------------
A|--------------
F|--------------
C|--------------
G|--------------
D|--0-0-3-0-5-0-
A|--0-0-3-0-5-0-
"), @r"
    A1 D2 G2 C3 F3 A3 D4
    1/8 6/0 7/0  1/8 6/0 7/0  1/8 6/3 7/3  1/8 6/0 7/0  1/8 6/5 7/5  1/4. 6/0 7/0
    2: no bar line ends this; it was divided into bars of 4/4
    2: no lengths are written; they were guessed from the spacing
    2: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    2: the labels name no usual tuning; each string was read in the octave nearest to the usual one
    ");
    insta::assert_snapshot!(told("
E4|-----
B3|-----
G3|-----
D3|-----
A2|-----
E2|-----
B1|--5--
F#1|-5--
"), @r"
    F#1 B1 E2 A2 D3 G3 B3 E4
    1/1 7/5 8/5
    2: no lengths are written; they were guessed from the spacing
    2: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    ");
    insta::assert_snapshot!(told("1|---3---|\n2|-0-----|\n3|-----0-|\n4|-------|\n"), @r"
    E1 A1 D2 G2
    1/4 2/0  1/2 1/3  1/4 3/0
    1: no labels name the strings; E1 A1 D2 G2 was assumed
    1: no lengths are written; they were guessed from the spacing
    1: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    ");
}

#[test]
fn systems_on_top_of_each_other_and_strings_set_wide() {
    insta::assert_snapshot!(told("
e|-0-1-|
B|-----|
G|-----|
D|-----|
e|-3-5-|
B|-----|
G|-----|
D|-----|
"), @r"
    D3 G3 B3 E4
    1/2 1/0  1/2 1/1
    1/2 1/3  1/2 1/5
    2: lines 2, 6: no lengths are written; they were guessed from the spacing
    2: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    ");
    insta::assert_snapshot!(told("
e|-0-1-|

B|-----|

G|-----|

D|-2---|
"), @r"
    D3 G3 B3 E4
    1/2 1/0 4/2  1/2 1/1
    2: no lengths are written; they were guessed from the spacing
    2: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    ");
}

#[test]
fn tabs_and_capital_signs() {
    insta::assert_snapshot!(told("\te|-5H7-7P5-|\n\tB|---------|\n\tG|-X-------|\n\tD|-3tr-----|\n"), @r"
    D3 G3 B3 E4
    1/4 1/5h 3/0x 4/3!  1/4 1/7  1/4 1/7p  1/4 1/5
    1: no lengths are written; they were guessed from the spacing
    1: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    4: string 4: a trill without a fret was read as two frets up
    ");
}

#[test]
fn other_lines_among_the_systems() {
    insta::assert_snapshot!(told("
--------------------
My riff (capo 2)
--------------------
e|-0-1-|
B|-----|
G|-----|
  1 & 2

some words | and a bar

e|-0-|
B|-1-|
"), @r"
    E2 A2 D3 G3 B3 E4
    1/2 1/0  1/2 1/1
    1/1 1/0 2/1
    2: fewer than three string lines together were left out
    2: lines 2, 4: read as a remark and left out: `--------------------`
    3: read as a remark and left out: `My riff`
    5: lines 5, 12: no lengths are written; they were guessed from the spacing
    5: no time signature or tempo is written; 4/4 at 1/4=120 was assumed
    5: only the strings e B G of e B G D A E are written; the others were read as silent
    8: read as a remark and left out: `1 & 2`
    10: read as a remark and left out: `some words | and a bar`
    12: only the strings e B of e B G D A E are written; the others were read as silent
    ");
}

#[test]
fn a_second_passage_is_not_taken_in_silence() {
    let one = "4/4  q=120\n1 w\ne|-3-|\nB|---|\nG|---|\n";
    let tab = read(&format!("{one}\n{one}"), &ReadHints::new(PassageId(1), "riff")).unwrap();
    assert_eq!(tab.passage.bars.len(), 2);
    assert!(
        tab.notes.iter().any(|guess| guess.line == 7 && guess.message.contains("another passage")),
        "{:?}",
        tab.notes
    );
}

/// Returns the tuning of strings under `words`, what says it, and what is said of the first line.
fn under(words: &str, labels: [&str; 6]) -> (String, TuningSource, String, Option<WrittenCapo>) {
    let strings = labels.map(|label| format!("{label}|-0---2---|")).join("\n");
    let tab = read(&format!("{words}\n\n{strings}\n"), &ReadHints::new(PassageId(1), "riff")).unwrap();
    let told: Vec<String> = tab.notes.iter().filter(|note| note.line == 1).map(|note| note.message.clone()).collect();
    (tab.tuning.unwrap().to_string(), tab.tuning_source, told.join("; "), tab.capo)
}

const USUAL: [&str; 6] = ["e", "B", "G", "D", "A", "E"];
const HALF_DOWN: &str = "Eb2 Ab2 Db3 Gb3 Bb3 Eb4";
const WHOLE_DOWN: &str = "D2 G2 C3 F3 A3 D4";
const DROP_D: &str = "D2 A2 D3 G3 B3 E4";
const DADGAD: &str = "D2 A2 D3 G3 A3 D4";

#[test]
fn words_win_over_the_labels_that_are_printed_by_habit() {
    for (words, notes) in [
        ("Half step down", HALF_DOWN),
        ("Tuned down half a step", HALF_DOWN),
        ("Tune down 1/2 step", HALF_DOWN),
        ("All strings down a half step", HALF_DOWN),
        ("Eb standard", HALF_DOWN),
        ("Tuned down to Eb", HALF_DOWN),
        ("Half step down (Eb Ab Db Gb Bb Eb)", HALF_DOWN),
        ("Tuning: 1/2 step down", HALF_DOWN),
        ("Standard tuning, half step down", HALF_DOWN),
        ("Tuning: down 1 step", WHOLE_DOWN),
        ("Tuning: 1 whole step down", WHOLE_DOWN),
        ("Drop D", DROP_D),
        ("Drop D (DADGBE)", DROP_D),
        ("in drop D tuning", DROP_D),
        ("Tune low E to D", DROP_D),
        ("6th string to D", DROP_D),
        ("6=D", DROP_D),
        ("DADGAD", DADGAD),
        ("DADGAD, capo 2", DADGAD),
        ("DADGAD with capo 2", DADGAD),
        ("Capo 5, tuning DADGAD", DADGAD),
        ("open G", "D2 G2 D3 G3 B3 D4"),
        ("Drop C", "C2 G2 C3 F3 A3 D4"),
        ("Drop D, half step down", "Db2 Ab2 Db3 Gb3 Bb3 Eb4"),
        ("Tuning: drop Bb", "Bb1 F2 Bb2 Eb3 G3 C4"),
        ("6th to D, 1st string to D", "D2 A2 D3 G3 B3 D4"),
        ("Moth and Lamp, tuned to open D", "D2 A2 D3 F#3 A3 D4"),
    ] {
        for labels in [USUAL, [""; 6]] {
            let (tuning, source, told, capo) = under(words, labels);
            assert_eq!((tuning.as_str(), source), (notes, TuningSource::Words), "{words} {labels:?}: {told}");
            assert!(told.contains(&format!("was read as {notes}")), "{words}: {told}");
            assert_eq!(told.contains("the usual labels e B G D A E were ignored"), labels == USUAL, "{words}: {told}");
            assert_eq!(capo.is_some(), words.to_lowercase().contains("capo"), "{words}: {told}");
        }
    }
}

#[test]
fn words_about_a_tuning_and_labels_of_another_are_both_told() {
    let dadgad = ["d", "A", "G", "D", "A", "D"];
    let (tuning, source, told, _) = under("Tuning: open G", dadgad);
    assert_eq!((tuning.as_str(), source), ("D2 G2 D3 G3 B3 D4", TuningSource::Words));
    assert!(told.contains("the labels d A G D A D say another tuning"), "{told}");
    // Labels that are moved as the words say are not moved once more; others are what is moved.
    assert_eq!(under("Half step down", ["Eb", "Bb", "Gb", "Db", "Ab", "Eb"]).0, HALF_DOWN);
    assert_eq!(under("Half step down", ["e", "B", "G", "D", "A", "D"]).0, "Db2 Ab2 Db3 Gb3 Bb3 Eb4");
    assert_eq!(under("Low E to D", ["e", "B", "G", "D", "A", "D"]).0, DROP_D);
    let (tuning, source, told, _) = under("Tuning: open H", USUAL);
    assert_eq!((tuning.as_str(), source), ("E2 A2 D3 G3 B3 E4", TuningSource::Labels));
    assert!(told.contains("that tuning is not known"), "{told}");
}

#[test]
fn titles_chords_and_instruments_are_no_tunings() {
    for words in ["A Step Down", "Ukulele", "Guitar", "Eb", "Dsus4", "A to D", "Tune: The Open Gate", "Kiln Street"] {
        let (tuning, _, told, _) = under(words, USUAL);
        assert_eq!(tuning, "E2 A2 D3 G3 B3 E4", "{words}: {told}");
        assert!(!told.contains("not known"), "{words}: {told}");
    }
    let chord = read("Eb\ne|-0-|\nB|-0-|\nG|-0-|\nD|-0-|\n", &ReadHints::new(PassageId(1), "riff")).unwrap();
    let first = chord.passage.bars.first().and_then(|bar| bar.voices.first()?.0.first()?.chord.clone());
    assert_eq!(first.as_deref(), Some("Eb"));
}

#[test]
fn a_capo_that_is_only_partly_told_is_left_to_the_teacher() {
    for words in ["Capo 2 on strings 3 4 5", "Capo 2, strings 3 to 5 only"] {
        assert_eq!(under(words, USUAL).3, None, "{words}");
    }
    assert!(matches!(under("Capo 2 (sounds in A)", USUAL).3, Some(WrittenCapo::At(_))));
}

#[test]
fn a_tuning_that_is_named_alone_is_a_title_where_other_words_or_labels_say_another() {
    let strings = |labels: [&str; 6]| labels.map(|label| format!("{label}|-0---2---|")).join("\n");
    let notes = |first: &str, labels: [&str; 6]| {
        let tab = read(&format!("{first}\n\n{}\n", strings(labels)), &ReadHints::new(PassageId(1), "riff")).unwrap();
        let told: Vec<String> =
            tab.notes.iter().filter(|guess| guess.line == 1).map(|guess| guess.message.clone()).collect();
        (told.join("; "), tab.tuning_source)
    };
    let (drop_d, standard) = (["e", "B", "G", "D", "A", "D"], ["e", "B", "G", "D", "A", "E"]);
    let read_as = "the tuning `Drop D` was read as D2 A2 D3 G3 B3 E4";
    for first in ["Drop D, capo 3", "Drop D"] {
        assert_eq!(notes(first, drop_d), (read_as.to_owned(), TuningSource::Words), "{first}");
    }
    // The usual labels are printed by habit and say nothing against it.
    let over_usual = format!("{read_as}; the usual labels e B G D A E were ignored");
    assert_eq!(notes("Drop D", standard), (over_usual, TuningSource::Words));
    // Over strings that are labelled otherwise it is a title.
    let left_out = "read as a remark and left out: `Drop D`".to_owned();
    assert_eq!(notes("Drop D", ["d", "A", "G", "D", "A", "D"]), (left_out, TuningSource::Labels));
    let stated = notes("Drop D, tuning: standard", standard);
    assert!(stated.0.contains("left out: `Drop D`") && stated.0.contains("the tuning `standard`"), "{stated:?}");
}
