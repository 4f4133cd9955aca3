//! The passage pane as a tab editor: what is typed, and what it says.

mod flaws;
mod leads;
mod moving;
mod names;
mod pickups;
mod reading_tab;
mod techniques;
mod view;

use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::music::{Event, Passage, Technique};
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::HandoutOptions;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::messages::effect::{Effect, TerminalEffect};

use super::bench::{Bench, small_lesson};

/// The small lesson with its second segment's passage in focus.
fn on_passage(size: (u16, u16)) -> Bench {
    let mut bench = Bench::small(size);
    bench.strike("Down P");
    bench
}

fn passage(bench: &Bench) -> &Passage {
    &bench.lesson().passages[0]
}

fn event(bench: &Bench, bar: usize, event: usize) -> &Event {
    &passage(bench).bars[bar].voices[0].0[event]
}

/// The frets of each event of a bar, as `string/fret`.
fn frets(passage: &Passage, bar: usize) -> String {
    let event = |event: &Event| {
        let notes: Vec<String> = event.notes.iter().map(|note| format!("{}/{}", note.string, note.fret)).collect();
        if notes.is_empty() { "r".to_owned() } else { notes.join("+") }
    };
    passage.bars[bar].voices[0].0.iter().map(event).collect::<Vec<_>>().join(" ")
}

/// A lesson with a guitar and one segment, and nothing else.
fn bare_lesson() -> Lesson {
    let mut lesson = small_lesson();
    lesson.segments.truncate(1);
    (lesson.passages, lesson.voicings, lesson.pieces) = (Vec::new(), Vec::new(), Vec::new());
    lesson.setups.truncate(1);
    lesson
}

/// What the handout says about the tab, from its first line of lengths on.
fn tab_in_handout(bench: &Bench) -> String {
    let text = handout(bench.lesson(), &HandoutOptions::default()).to_text();
    let music = text.split("Key to the tab").next().unwrap_or_default();
    let lines: Vec<&str> = music.lines().skip_while(|line| !line.contains(" note = ")).collect();
    let end = lines.iter().rposition(|line| line.contains('&')).unwrap_or(0);
    lines.get(..=end).unwrap_or_default().join("\n")
}

#[test]
fn a_riff_of_two_bars_is_typed_from_nothing_to_the_handout() {
    let mut bench = Bench::on(bare_lesson(), (100, 30));
    bench.strike("P a \"Ferry riff\" Enter Enter Ctrl+U \"1/4=96\" Enter");
    assert!(bench.notice().starts_with("\"Ferry riff\" has one empty bar"), "{}", bench.notice());
    // Eight eighths on the low strings with a hammer-on, a rest and a slide; then a bend and a half note.
    bench.strike("Down Down Down Down Down 0 Right 0 Right Up 2 Right 3 Left h Right Right Space Right");
    bench.strike("Down 3 Right 5 Left s Right Right 0");
    bench.strike("Right Up Up Up * 7 b Enter Right 5 v Right / * * 2 Up 3 n \"Em\" Enter");
    insta::assert_snapshot!(tab_in_handout(&bench), @r"
    4/4  quarter note = 96
                                                  Em
    1  e  e  e  e  re e  e  e     q       q       h
    e│──────────────────────────│───────────────────────────────│
    B│──────────────────────────│─────────────────3─────────────│
    G│──────────────────────────│─7bfull──5~──────2─────────────│
    D│──────────────────────────│───────────────────────────────│
    A│───────2h─3───────────────│───────────────────────────────│
    E│─0──0───────────3/─5──0───│───────────────────────────────│
       1  &  2  &  3  &  4  &     1       2       3     4
    ");
    assert_eq!(bench.replayed, *bench.lesson(), "the journal has all of it");
    let problems: Vec<_> = bench.desk().problems().into_iter().filter(|line| line.head == "problem").collect();
    assert!(problems.is_empty(), "{problems:?}");
}

#[test]
fn a_number_of_two_digits_is_one_step_of_undo() {
    let mut bench = on_passage((100, 30));
    bench.strike("1 2");
    assert_eq!(frets(passage(&bench), 0), "1/12+5/3 4/2 3/0 3/2");
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("U 1 2 Right 1 Right 2");
    assert_eq!(frets(passage(&bench), 0), "1/12+5/3 1/1+4/2 1/2+3/0 3/2");
    // No third digit, no fret past the neck.
    bench.strike("Home 3 0");
    assert_eq!(frets(passage(&bench), 0), "1/0+5/3 1/1+4/2 1/2+3/0 3/2");
}

#[test]
fn the_second_digit_is_one_change() {
    let mut bench = on_passage((100, 30));
    bench.strike("1");
    let revision = bench.desk().lesson.revision();
    bench.strike("2");
    assert_eq!(bench.desk().lesson.revision(), revision + 1);
    assert_eq!(frets(passage(&bench), 0), "1/12+5/3 4/2 3/0 3/2");
    // The journal took it in too.
    assert_eq!(&bench.replayed, bench.lesson());
    bench.strike("u u");
    assert_eq!((bench.notice(), bench.lesson()), ("nothing to undo", &small_lesson()));
    assert!(bench.desk().lesson.is_saved());
}

#[test]
fn fingers_put_down_between_two_digits_make_two_steps_of_them() {
    let mut bench = on_passage((100, 30));
    bench.strike("1 F s \"x02210\" Enter P 2");
    assert_eq!(frets(passage(&bench), 0), "1/12+5/3 4/2 3/0 3/2");
    bench.strike("u");
    assert_eq!(frets(passage(&bench), 0), "1/1+5/3 4/2 3/0 3/2");
    bench.strike("u");
    assert_eq!(bench.notice(), "undone: fingers");
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn a_number_that_was_there_before_its_first_digit_leaves_nothing_to_undo() {
    let mut bench = on_passage((100, 30));
    bench.strike("1 2 Right Left 1 2");
    assert_eq!(frets(passage(&bench), 0), "1/12+5/3 4/2 3/0 3/2");
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn a_new_bar_begins_behind_a_full_one_and_undo_takes_it_back_with_both_digits() {
    let mut bench = on_passage((100, 30));
    bench.strike("End 1 0");
    assert_eq!(passage(&bench).bars.len(), 3);
    assert_eq!(frets(passage(&bench), 2), "1/10");
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn lengths_change_what_is_there_and_what_comes_next() {
    let mut bench = on_passage((100, 30));
    bench.strike("/ .");
    assert_eq!(event(&bench, 0, 0).length.to_string(), "1/8.");
    bench.strike(", ,");
    assert_eq!(event(&bench, 0, 0).length.to_string(), "1/8.");
    bench.strike("l Ctrl+U \"1/16 5:4\" Enter");
    assert_eq!(event(&bench, 0, 0).length.to_string(), "1/16 5:4");
    bench.strike("End 5 Right 5");
    let lengths: Vec<String> =
        passage(&bench).bars[2].voices[0].0.iter().map(|event| event.length.to_string()).collect();
    assert_eq!(lengths, ["1/16 5:4", "1/16 5:4"]);
    for (said, length) in [("dotted eighth", "1/8."), ("q.", "1/4."), ("triplet eighths", "1/8 3:2"), ("half", "1/2")] {
        bench.strike(&format!("l \"{said}\" Enter"));
        assert_eq!(passage(&bench).bars[2].voices[0].0.last().unwrap().length.to_string(), length, "{said}");
    }
    bench.strike("l Ctrl+U \"1/3\" Enter");
    assert!(bench.screen().contains("`1/3` is not a length"), "{}", bench.screen());
}

#[test]
fn a_bar_that_does_not_add_up_is_marked_and_explained_at_once() {
    let mut bench = on_passage((80, 24)).plain();
    assert!(!bench.pane(Focus::Passage).contains('!'));
    bench.strike("/");
    insta::assert_snapshot!(bench.pane(Focus::Passage), @r"
    >Passage ----------------- Turnaround   bar 1 of 2   next note 1/8   sounds in C
     4/4  q=92
         C                               G
     1   e     q       q       q       ! h               rh
    >e |[-]----------------------------|---------------------------------|
     B |-------------------------------|---------------------------------|
     G |---------------0h------2-------|---------------------------------|
     D |-------2-----------------------|---------------------------------|
     A |-3-----------------------------|---------------------------------|
     E |-------------------------------|-3-------------------------------|
         1     &   2   &   3   &   4     1       2       3       4

     h      half note
     q      quarter note
     e      eighth note
     rh     a rest of that length
     7h9    hammer-on to the next note
     ! bar 1: an eighth note short: 3 1/2 beats in a 4/4 bar (W fixes it)
    ");
    bench.strike("Y");
    assert!(!bench.pane(Focus::Passage).contains('!'));
    assert_eq!(passage(&bench).bars[0].voices[0].0.len(), 5);
}

#[test]
fn a_title_of_the_passage_taken_as_it_stands_is_no_step() {
    let mut bench = on_passage((100, 30));
    bench.strike("e");
    let titles = |bench: &Bench| match &bench.state.overlay {
        Some(Overlay::Choice(choice)) => choice.lines.iter().position(|(line, _)| line.contains("change the title")),
        _ => None,
    };
    let down = "Down ".repeat(titles(&bench).expect("a line for the title"));
    bench.strike(&format!("{down} Enter Enter"));
    assert_eq!((bench.notice(), bench.desk().lesson.revision()), ("no change", 0));
}

#[test]
fn how_far_a_bend_goes_is_said_in_words_too() {
    let mut bench = on_passage((100, 30));
    bench.strike("Down Down Down Down");
    for (said, technique) in [
        ("full", Technique::Bend("1".parse().unwrap())),
        ("half r", Technique::BendRelease("1/2".parse().unwrap())),
        ("pre quarter", Technique::PreBend("1/4".parse().unwrap())),
    ] {
        bench.strike(&format!("b Ctrl+U \"{said}\" Enter"));
        assert_eq!(event(&bench, 0, 0).notes[0].techniques, [technique], "{said}: {}", bench.notice());
        bench.strike("u");
    }
}

#[test]
fn what_cannot_be_played_is_refused_with_a_reason_and_written_when_asked_again() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Right Down Down b");
    assert!(bench.state.overlay.is_none(), "it is said before anything is asked: {}", bench.screen());
    assert!(
        bench.notice().starts_with("a bend on an open string: no finger is there to bend it; b again"),
        "{}",
        bench.notice()
    );
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("b Enter");
    assert_eq!(event(&bench, 0, 2).notes[0].techniques, [Technique::Bend("1".parse().unwrap())]);
    // What is there can always be taken off.
    bench.strike("b Ctrl+U Enter");
    assert_eq!(bench.lesson().passages, small_lesson().passages);
    bench.strike("Home Down Down h");
    assert!(bench.notice().starts_with("a rest comes before the note the hammer-on leads to"), "{}", bench.notice());
}

#[test]
fn meter_repeats_and_endings_are_chosen_for_the_bar() {
    let mut bench = on_passage((100, 30));
    bench.strike("] e Enter Ctrl+U \"3/4\" Enter");
    assert_eq!(passage(&bench).bars[1].meter.map(|meter| meter.to_string()).as_deref(), Some("3/4"));
    assert!(
        bench.pane(Focus::Passage).contains("a quarter note too long: 4 beats in a 3/4 bar"),
        "{}",
        bench.pane(Focus::Passage)
    );
    bench.strike("u e Down Down Down Enter e Down Down Down Down Enter Enter");
    let bar = &passage(&bench).bars[1];
    assert_eq!((bar.repeat_start, bar.repeat_end), (true, Some(2)));
    bench.strike("e Down Down Down Down Down Enter \"2, 1\" Enter");
    assert_eq!(passage(&bench).bars[1].endings, [1, 2]);
    bench.strike("e Down Enter Ctrl+U \"1/4=60\" Enter e Down Down Enter \"G\" Enter");
    let bar = &passage(&bench).bars[1];
    assert_eq!((bar.tempo.unwrap().to_string(), bar.key.unwrap().to_string()), ("1/4=60".into(), "G".into()));
}

#[test]
fn the_name_kept_on_the_fretboard_is_offered_over_the_beat() {
    let mut bench = on_passage((100, 30));
    bench.strike("F s \"022000\" Enter R Enter P Right n Enter");
    assert_eq!(event(&bench, 0, 1).chord.as_deref(), Some("Em"));
    bench.strike("' \"slowly\" Enter");
    assert_eq!(event(&bench, 0, 1).text.as_deref(), Some("slowly"));
    bench.strike("n Ctrl+U Enter");
    assert_eq!(event(&bench, 0, 1).chord, None);
}

#[test]
fn the_other_voice_is_at_the_same_time() {
    let mut lesson = small_lesson();
    let note = lesson.passages[0].bars[0].voices[0].0[0].clone();
    let voice = |lengths: &[&str]| {
        let event = |length: &&str| Event { length: length.parse().unwrap(), ..note.clone() };
        fingerpost::lesson::music::Voice(lengths.iter().map(event).collect())
    };
    let upper = voice(&["1/4", "1/4", "1/4", "1/4"]);
    for (lower, places) in [
        (&["1/2", "1/2"][..], [1, 1, 2, 2]),
        (&["1/1"], [1, 1, 1, 1]),
        (&["1/8", "1/8", "1/4.", "1/4."], [1, 3, 3, 4]),
        // It has ended before, and has room.
        (&["1/4", "1/4"], [1, 2, 3, 3]),
    ] {
        lesson.passages[0].bars[0].voices = vec![upper.clone(), voice(lower)];
        for (right, place) in places.into_iter().enumerate() {
            let mut bench = Bench::on(lesson.clone(), (80, 24));
            bench.strike("Down P");
            bench.strike(&"Right ".repeat(right));
            assert!(bench.pane(Focus::Passage).contains("upper voice"), "{}", bench.pane(Focus::Passage));
            bench.strike("O");
            assert_eq!(bench.desk().passage.cursor().0, 1, "in the same bar");
            assert_eq!(bench.desk().passage.cursor().1, place, "from {right} to {lower:?}");
            assert!(bench.pane(Focus::Passage).contains("lower voice"), "{}", bench.pane(Focus::Passage));
            bench.strike("O");
            assert!(bench.pane(Focus::Passage).contains("upper voice"), "{}", bench.pane(Focus::Passage));
            assert_eq!(bench.desk().passage.cursor().1, right + 1, "back from {lower:?}");
        }
    }
    let mut bench = Bench::on(lesson, (80, 24));
    bench.strike("Down P Right O O");
    assert_eq!(bench.desk().passage.cursor().1, 2, "and back again");
    // Who goes on in the other voice comes back to what sounds there.
    bench.strike("Home O Right O");
    assert_eq!(bench.desk().passage.cursor().1, 2, "{}", bench.pane(Focus::Passage));
}

/// In a passage of two voices the heading says which one is written, also in a bar that has one, whatever key comes next.
#[test]
fn the_heading_says_in_which_voice_one_writes() {
    for size in [(80, 24), (100, 30), (120, 36), (200, 50)] {
        let mut bench = on_passage(size);
        bench.strike("] O 3");
        for (key, voice) in [("Left", "lower"), ("O", "upper"), ("[", "upper"), ("O", "lower"), ("Right", "lower")] {
            bench.strike(key);
            let pane = bench.pane(Focus::Passage);
            assert!(pane.lines().next().is_some_and(|heading| heading.contains(voice)), "{size:?} {key}\n{pane}");
        }
    }
}

#[test]
fn the_lower_voice_is_written_under_the_upper() {
    let mut bench = on_passage((100, 30));
    bench.strike("] O Down Down Down Down Down * * 3");
    let bar = &passage(&bench).bars[1];
    assert_eq!((bar.voices.len(), bar.voices[1].0[0].notes[0].string.number()), (2, 6));
    assert!(bench.pane(Focus::Passage).contains("lower voice"));
    bench.strike("Shift+Delete");
    assert_eq!(passage(&bench).bars[1].voices.len(), 1, "an empty voice is none");
}

#[test]
fn a_lesson_open_for_reading_refuses_every_key_that_writes() {
    let mut bench = Bench::read_only((100, 30));
    bench.strike("Down P Right Down Down Down");
    for key in [
        "5",
        "Delete",
        "Space",
        "/",
        ".",
        "Shift+Delete",
        "i",
        "I",
        "D",
        "x",
        "v",
        "n",
        "e",
        "l",
        "b",
        "a",
        "A",
        "#",
        "E",
        "Ctrl+X",
        ")",
        "Enter",
        "k",
    ] {
        bench.state.said.notice = None;
        bench.strike(key);
        assert!(bench.notice().contains("open for reading only"), "{key}: {}", bench.notice());
        assert!(bench.state.overlay.is_none(), "{key}");
    }
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("c Ctrl+K");
    assert!(matches!(bench.wanted.pop(), Some(Effect::Terminal(TerminalEffect::CopyOut(_)))), "copying is no change");
}

#[test]
fn a_passage_begun_in_an_empty_lesson_brings_its_segment() {
    let mut bench = Bench::on(Lesson::default(), (100, 30));
    bench.strike("P a Enter \"Sketch\" Enter Enter Enter 5");
    assert_eq!(bench.segments(), "> Sketch 1:00 walkthrough");
    assert_eq!(frets(passage(&bench), 0), "1/5");
    bench.strike("u u");
    assert_eq!(bench.lesson(), &Lesson::default());
}

#[test]
fn undo_says_what_it_takes_back_and_the_cursor_goes_there() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Down Down Down 5 v Home # \"2\" Enter End");
    for expected in ["transposed", "vibrato", "fret"] {
        bench.strike("u");
        assert_eq!(bench.notice(), format!("undone: {expected}"));
    }
    assert_eq!(bench.desk().passage.cursor(), (1, 2, 4));
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn a_problem_in_the_music_leads_to_its_beat() {
    let mut bench = on_passage((100, 30));
    bench.strike("] / T w");
    let Some(Overlay::List(list)) = &bench.state.overlay else { panic!("no list") };
    let line = list.lines.iter().position(|line| line.text.contains("bar 2")).unwrap();
    bench.strike(&"Down ".repeat(line));
    bench.strike("Enter");
    assert_eq!((bench.desk().focus, bench.desk().passage.cursor().0), (Focus::Passage, 2));
}

#[test]
fn a_bar_is_split_at_the_cursor_and_joined_again() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Home Down P X");
    assert!(bench.notice().starts_with("a bar is split before the note or rest"), "{}", bench.notice());
    let before = bench.lesson().passages[0].bars.clone();
    bench.strike("Right X");
    let bars = &bench.lesson().passages[0].bars;
    assert_eq!(bars.len(), before.len() + 1);
    assert_eq!(bars[0].voices[0].0, before[0].voices[0].0[..1]);
    assert_eq!(bars[1].voices[0].0, before[0].voices[0].0[1..]);
    bench.strike("Left j");
    assert_eq!(bench.lesson().passages[0].bars, before);
    bench.strike("u u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn a_new_passage_begins_with_a_plain_eighth_whatever_was_typed_last() {
    let mut bench = on_passage((100, 30));
    bench.strike("End Right , a \"Run\" Enter Enter Enter 5");
    assert_eq!(bench.lesson().passages.last().unwrap().bars[0].voices[0].0[0].length.to_string(), "1/8");
}

#[test]
fn the_list_of_the_bar_says_how_the_passage_is_played_now() {
    let mut bench = on_passage((100, 30));
    bench.strike("e");
    assert!(bench.screen().contains("whole passage: straight (on now)"), "{}", bench.screen());
    bench.strike("s w u n g Enter e");
    assert!(bench.screen().contains("swung eighths (on now)"), "{}", bench.screen());
}
