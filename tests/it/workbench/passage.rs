//! The passage pane as a tab editor: what is typed, what it says, how it looks.

use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::music::{Event, Join, Passage, Stroke, Technique};
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::HandoutOptions;
use fingerpost::workbench::action::Focus;
use fingerpost::workbench::edited_lesson::{Access, Origin};
use fingerpost::workbench::message::{Effect, Message, Mouse, Opened};
use ratatui::layout::Position;
use ratatui::style::Modifier;

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
    let lines: Vec<&str> = text.lines().skip_while(|line| !line.contains("1/4=") && !line.contains("q=")).collect();
    let end = lines.iter().rposition(|line| line.contains('&')).unwrap_or(0);
    lines.get(..=end).unwrap_or_default().join("\n")
}

#[test]
fn a_riff_of_two_bars_is_typed_from_nothing_to_the_handout() {
    let mut bench = Bench::on(bare_lesson(), (100, 30));
    bench.strike("P A \"Ferry riff\" Enter Enter Ctrl+E \"1/4=96\" Enter");
    assert!(bench.notice().starts_with("\"Ferry riff\" has one empty bar"), "{}", bench.notice());
    // Eight eighths on the low strings with a hammer-on, a rest and a slide; then a bend and a half note.
    bench.strike("Down Down Down Down Down 0 Right 0 Right Up 2 Right 3 Left p Right Right Space Right");
    bench.strike("Down 3 Right 5 Left s Right Right 0");
    bench.strike("Right Up Up Up + 7 b Enter Right 5 v Right - + + 2 Up 3 n \"Em\" Enter");
    insta::assert_snapshot!(tab_in_handout(&bench), @r"
    4/4  q=96
                                                  Em
    1  e  e   e   e   re  e   e   e     q    q    h
    e│────────────────────────────────│─────────────────────│
    B│────────────────────────────────│───────────3─────────│
    G│────────────────────────────────│─7b9──5~───2─────────│
    D│────────────────────────────────│─────────────────────│
    A│────────2h──3───────────────────│─────────────────────│
    E│─0──0───────────────3/──5───0───│─────────────────────│
       1  &   2   &   3   &   4   &     1    2    3    4
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
    bench.strike("r 1 2 Right 1 Right 2");
    assert_eq!(frets(passage(&bench), 0), "1/12+5/3 1/1+4/2 1/2+3/0 3/2");
    // No third digit, no fret past the neck.
    bench.strike("Home 3 0");
    assert_eq!(frets(passage(&bench), 0), "1/0+5/3 1/1+4/2 1/2+3/0 3/2");
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
fn the_cursor_walks_over_beats_bars_and_strings() {
    let mut bench = on_passage((100, 30));
    let mut walk = |keys: &str| {
        bench.strike(keys);
        bench.desk().passage.cursor()
    };
    assert_eq!(walk("Right Right"), (1, 3, 1));
    assert_eq!(walk("Down Down Down"), (1, 3, 4));
    assert_eq!(walk("Right Right"), (2, 1, 4), "a full bar leads to the next");
    assert_eq!(walk("Left"), (1, 4, 4));
    assert_eq!(walk("["), (1, 1, 4));
    assert_eq!(walk("]"), (2, 1, 4));
    assert_eq!(walk("End"), (2, 3, 4));
    assert_eq!(walk("End Right Down Down Down Down"), (2, 3, 6), "it stays where the music and the strings end");
    assert_eq!(walk("Home Up Up Up Up Up Up"), (1, 1, 1));
}

#[test]
fn lengths_change_what_is_there_and_what_comes_next() {
    let mut bench = on_passage((100, 30));
    bench.strike("- .");
    assert_eq!(event(&bench, 0, 0).length.to_string(), "1/8.");
    bench.strike(", ,");
    assert_eq!(event(&bench, 0, 0).length.to_string(), "1/8.");
    bench.strike("l Ctrl+E \"1/16 5:4\" Enter");
    assert_eq!(event(&bench, 0, 0).length.to_string(), "1/16 5:4");
    bench.strike("End 5 Right 5");
    let lengths: Vec<String> =
        passage(&bench).bars[2].voices[0].0.iter().map(|event| event.length.to_string()).collect();
    assert_eq!(lengths, ["1/16 5:4", "1/16 5:4"]);
    bench.strike("l Ctrl+E \"1/3\" Enter");
    assert!(bench.screen().contains("`1/3` is not a length"), "{}", bench.screen());
}

#[test]
fn a_bar_that_does_not_add_up_is_marked_and_explained_at_once() {
    let mut bench = on_passage((80, 24)).plain();
    assert!(!bench.pane(Focus::Passage).contains('!'));
    bench.strike("-");
    insta::assert_snapshot!(bench.pane(Focus::Passage), @r"
    >Passage ------------------- Turnaround   bar 1 of 2   writing 1/8   sounds in C
     4/4  q=92
        C                          G
     1  e  q      q      q       ! h         rh
    >e|[-]-----------------------|---------------------|
     B|--------------------------|---------------------|
     G|-----------0h-----2-------|---------------------|
     D|----2---------------------|---------------------|
     A|-3------------------------|---------------------|
     E|--------------------------|-3-------------------|
        1  &   2  &   3  &   4     1    2    3    4

     h      half note
     q      quarter note
     e      eighth note
     rq     a rest of that length
     7h9    hammer-on to the next note
     string 1, 1/8   ! bar 1: an eighth short (7/8 of music in a 4/4 bar)
    ");
    bench.strike("z");
    assert!(!bench.pane(Focus::Passage).contains('!'));
    assert_eq!(passage(&bench).bars[0].voices[0].0.len(), 5);
}

#[test]
fn what_cannot_be_played_is_refused_with_a_reason_and_written_when_asked_again() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Right Down Down b Enter");
    assert!(
        bench.notice().starts_with("a bend on an open string: no finger is there to bend it"),
        "{}",
        bench.notice()
    );
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("b Enter");
    assert_eq!(event(&bench, 0, 2).notes[0].techniques, [Technique::Bend("1".parse().unwrap())]);
    // What is there can always be taken off.
    bench.strike("b Ctrl+E Enter");
    assert_eq!(bench.lesson().passages, small_lesson().passages);
    bench.strike("Home Down Down p");
    assert!(bench.notice().starts_with("a rest comes before the note the hammer-on leads to"), "{}", bench.notice());
}

#[test]
fn joins_follow_the_frets_and_go_when_struck_again() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Right Down Down");
    let join = |bench: &Bench| event(bench, 0, 2).notes[0].join;
    bench.strike("p");
    assert_eq!(join(&bench), None, "the hammer-on that was there");
    bench.strike("p");
    assert_eq!(join(&bench), Some(Join::HammerOn));
    bench.strike("7 p p");
    assert_eq!(join(&bench), Some(Join::PullOff), "from seven to two");
    bench.strike("s");
    assert_eq!(join(&bench), Some(Join::LegatoSlide));
    bench.strike("s");
    assert_eq!(join(&bench), Some(Join::ShiftSlide));
    bench.strike("s");
    assert_eq!(join(&bench), None);
    bench.strike("t");
    assert_eq!(bench.notice().split(':').next(), Some("a tie from fret 7 to fret 2"));
    bench.strike("2 t");
    assert_eq!(join(&bench), Some(Join::Tie));
}

#[test]
fn every_technique_is_in_the_list_and_those_that_do_not_fit_say_why() {
    let mut bench = on_passage((100, 48));
    bench.strike("Right Down Down Down Enter");
    let screen = bench.screen();
    for word in
        ["hammer-on", "pull-off", "legato slide", "vibrato", "ghost note", "trill...", "whammy dive...", "rake up"]
    {
        assert!(screen.contains(word), "{word}\n{screen}");
    }
    assert!(screen.contains("(tie: a rest comes before the note"), "{screen}");
    bench.strike("Enter");
    let on = |bench: &Bench| event(bench, 0, 1).notes[0].techniques.clone();
    assert_eq!(on(&bench), [Technique::Vibrato], "the first line that fits");
    bench.strike("v m y");
    assert_eq!(on(&bench), [Technique::PalmMute, Technique::Tap]);
    bench.strike("g");
    assert!(bench.notice().starts_with("palm mute and let ring together"), "{}", bench.notice());
    bench.strike("m y k k");
    assert_eq!((on(&bench), event(&bench, 0, 1).stroke), (Vec::new(), Some(Stroke::Up)));
}

#[test]
fn amounts_and_frets_of_techniques_are_typed() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Down Down Down");
    let on = |bench: &Bench| event(bench, 0, 1).notes[0].techniques.clone();
    let amount = |text: &str| text.parse().unwrap();
    for (typed, expected) in [
        ("1/2", Technique::Bend(amount("1/2"))),
        ("1 1/2 r", Technique::BendRelease(amount("1 1/2"))),
        ("pre 1", Technique::PreBend(amount("1"))),
        ("pre 1/4 release", Technique::PreBendRelease(amount("1/4"))),
    ] {
        bench.strike(&format!("b Ctrl+E \"{typed}\" Enter"));
        if bench.notice().contains("exclude each other") {
            bench.strike("b Ctrl+E Enter");
            bench.strike(&format!("b Ctrl+E \"{typed}\" Enter"));
        }
        assert_eq!(on(&bench), [expected], "{typed}: {}", bench.notice());
    }
    bench.strike("b Ctrl+E \"far\" Enter");
    assert!(bench.screen().contains("`far` is not a bend"));
}

#[test]
fn events_and_bars_are_copied_cut_and_pasted() {
    let mut bench = on_passage((100, 30));
    bench.strike("Shift+Right c");
    assert_eq!(bench.notice(), "copied 2 beats");
    bench.strike("End Ctrl+V");
    assert_eq!(frets(passage(&bench), 1), "6/3 r 5/3 4/2");
    bench.strike("u Home f f c Right Ctrl+V");
    assert_eq!((frets(passage(&bench), 0), passage(&bench).bars.len()), (frets(passage(&bench), 1), 3));
    bench.strike("u Home Shift+Down Ctrl+X");
    assert_eq!(bench.notice(), "cut 2 bars");
    assert_eq!(passage(&bench).bars, [fingerpost::lesson::music::Bar::default()]);
    bench.strike("Ctrl+V");
    assert_eq!(bench.lesson(), &small_lesson(), "what was cut is back");
}

#[test]
fn selected_notes_are_muted_together_and_taken_out_together() {
    let mut bench = on_passage((100, 30));
    bench.strike("Shift+Right Shift+Right m");
    let muted = |bench: &Bench| {
        passage(bench).bars[0].voices[0]
            .0
            .iter()
            .filter(|event| event.notes[0].techniques == [Technique::PalmMute])
            .count()
    };
    assert_eq!(muted(&bench), 3);
    bench.strike("m");
    assert_eq!(muted(&bench), 0);
    bench.strike("Delete");
    assert_eq!(frets(passage(&bench), 0), "3/2");
}

#[test]
fn tab_is_copied_out_as_text_that_reads_back() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Shift+Down o");
    let Some(Effect::CopyOut(text)) = bench.wanted.pop() else { panic!("nothing was copied out") };
    assert!(text.is_ascii() && text.contains("E|"), "{text}");
    let hints = fingerpost::tab::read::ReadHints::new(passage(&bench).id, "Turnaround");
    let mut back = fingerpost::tab::read::read(&text, &hints).unwrap().passage;
    back.piece = passage(&bench).piece;
    assert_eq!(&back, passage(&bench));
    assert!(bench.notice().contains("some terminals do not take it"));
}

#[test]
fn music_is_transposed_and_put_on_other_strings() {
    let mut bench = on_passage((100, 30));
    bench.strike("# \"2\" Enter");
    assert_eq!((frets(passage(&bench), 0), frets(passage(&bench), 1)), ("5/5 4/4 3/2 3/4".into(), "6/5 r".into()));
    assert_eq!(event(&bench, 0, 0).chord.as_deref(), Some("D"));
    bench.strike("u Down Down Down Down Alt+Down");
    // Common practice: C is the eighth fret of the low E string.
    assert_eq!(frets(passage(&bench), 0), "6/8 4/2 3/0 3/2");
    assert_eq!(bench.desk().passage.cursor(), (1, 1, 6), "the cursor goes along");
    bench.strike("Alt+Down");
    assert_eq!(bench.notice(), "there is no further string");
    bench.strike("u # \"far\" Enter");
    assert!(bench.screen().contains("`far` is not a number of semitones"));
}

#[test]
fn the_passage_is_placed_anew_for_another_setup() {
    let mut bench = on_passage((100, 30));
    bench.strike("S Enter");
    assert_eq!(bench.lesson().passages[0].setup, Some(bench.lesson().setups[1].id));
    // Under a capo at the second fret the same pitches lie two frets lower, where there is room.
    let first = event(&bench, 0, 0).notes[0].clone();
    assert_eq!((first.string.number(), first.fret.number()), (5, 1));
    bench.strike("Esc u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn meter_repeats_and_endings_are_chosen_for_the_bar() {
    let mut bench = on_passage((100, 30));
    bench.strike("] e Enter Ctrl+E \"3/4\" Enter");
    assert_eq!(passage(&bench).bars[1].meter.map(|meter| meter.to_string()).as_deref(), Some("3/4"));
    assert!(
        bench.pane(Focus::Passage).contains("a quarter too much (4/4 of music in a 3/4 bar)"),
        "{}",
        bench.pane(Focus::Passage)
    );
    bench.strike("u e Down Down Down Enter e Down Down Down Down Enter Enter");
    let bar = &passage(&bench).bars[1];
    assert_eq!((bar.repeat_start, bar.repeat_end), (true, Some(2)));
    bench.strike("e Down Down Down Down Down Enter \"2, 1\" Enter");
    assert_eq!(passage(&bench).bars[1].endings, [1, 2]);
    bench.strike("e Down Enter Ctrl+E \"1/4=60\" Enter e Down Down Enter \"G\" Enter");
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
    bench.strike("n Ctrl+E Enter");
    assert_eq!(event(&bench, 0, 1).chord, None);
}

#[test]
fn the_lower_voice_is_written_under_the_upper() {
    let mut bench = on_passage((100, 30));
    bench.strike("] O Down Down Down Down Down + + 3");
    let bar = &passage(&bench).bars[1];
    assert_eq!((bar.voices.len(), bar.voices[1].0[0].notes[0].string.number()), (2, 6));
    assert!(bench.pane(Focus::Passage).contains("lower voice"));
    bench.strike("Backspace");
    assert_eq!(passage(&bench).bars[1].voices.len(), 1, "an empty voice is none");
}

#[test]
fn a_click_puts_the_cursor_on_the_nearest_beat_and_the_wheel_only_scrolls() {
    let mut bench = on_passage((80, 24));
    let pane = bench.state.layout().unwrap().pane(Focus::Passage).area;
    let lines: Vec<String> = bench.pane(Focus::Passage).lines().map(str::to_owned).collect();
    let row = lines.iter().position(|line| line.starts_with(" A│")).unwrap();
    let column = lines.iter().find(|line| line.contains("rh")).unwrap().chars().take_while(|sign| *sign != 'h').count();
    let place = Position { x: pane.x + u16::try_from(column).unwrap(), y: pane.y + u16::try_from(row).unwrap() };
    bench.send(Message::Mouse(Mouse::Click(place)));
    assert_eq!(bench.desk().passage.cursor(), (2, 1, 5));
    bench.send(Message::Mouse(Mouse::WheelDown(place)));
    assert_eq!(bench.desk().passage.cursor(), (2, 1, 5));
}

#[test]
fn the_cursor_is_reversed_and_marked_by_signs_too() {
    let bench = on_passage((80, 24)).plain();
    let pane = bench.state.layout().unwrap().pane(Focus::Passage).area;
    let text = bench.pane(Focus::Passage);
    let row = text.lines().position(|line| line.starts_with('>') && line.contains('|')).unwrap();
    assert!(text.lines().nth(row).unwrap().starts_with(">e|[-]-"), "{text}");
    let cell = &bench.buffer()[(pane.x + 4, pane.y + u16::try_from(row).unwrap())];
    assert!(cell.modifier.contains(Modifier::REVERSED));
}

#[test]
fn a_lesson_open_for_reading_refuses_every_key_that_writes() {
    let mut bench = Bench::start_screen((100, 30));
    let access = Access::ReadOnly("another window has it".to_owned());
    let opened = Opened {
        lesson: small_lesson(),
        path: "/lessons/workbench.lesson.ron".into(),
        access,
        origin: Origin::File,
        library: Vec::new().into(),
        notice: None,
    };
    bench.send(Message::Opened(Ok(Box::new(opened))));
    bench.strike("Down P Right Down Down Down");
    for key in [
        "5", "Delete", "Space", "-", ".", "d", "i", "I", "D", "x", "v", "n", "e", "l", "b", "A", "a", "#", "S",
        "Ctrl+X", "Alt+Down", "Enter", "k",
    ] {
        bench.state.notice = None;
        bench.strike(key);
        assert!(bench.notice().contains("open for reading only"), "{key}: {}", bench.notice());
        assert!(bench.state.overlay.is_none(), "{key}");
    }
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("c o");
    assert!(matches!(bench.wanted.pop(), Some(Effect::CopyOut(_))), "copying is no change");
}

#[test]
fn a_passage_begun_in_an_empty_lesson_brings_its_segment() {
    let mut bench = Bench::on(Lesson::default(), (100, 30));
    bench.strike("P A Enter \"Sketch\" Enter Enter Enter 5");
    assert_eq!(bench.segments(), "> Sketch 1:00 slowly");
    assert_eq!(frets(passage(&bench), 0), "1/5");
    bench.strike("u u");
    assert_eq!(bench.lesson(), &Lesson::default());
}

#[test]
fn a_segment_that_plays_some_bars_shows_and_grows_these() {
    let mut lesson = small_lesson();
    lesson.segments[1].passages[0].bars = Some(fingerpost::lesson::document::BarRange { first: 1, last: 1 });
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("Down P End 7");
    assert_eq!(passage(&bench).bars.len(), 3);
    assert_eq!(frets(passage(&bench), 1), "1/7");
    let range = bench.lesson().segments[1].passages[0].bars.unwrap();
    assert_eq!((range.first, range.last), (1, 2));
    bench.strike("Right Right Right ]");
    assert_eq!(bench.desk().passage.cursor().0, 2, "the third bar is not this segment's");
}

#[test]
fn the_view_follows_the_cursor_through_a_long_passage() {
    let mut lesson = small_lesson();
    let bars = lesson.passages[0].bars.clone();
    lesson.passages[0].bars = bars.iter().cycle().take(200).cloned().collect();
    for size in [(80, 24), (100, 30), (60, 16), (200, 60), (40, 10)] {
        let mut bench = Bench::on(lesson.clone(), size);
        bench.strike("Down P");
        for key in [
            "End",
            "PageUp",
            "PageUp",
            "Home",
            "PageDown",
            "PageDown",
            "PageDown",
            "PageDown",
            "]",
            "[",
            "[",
            "Ctrl+Down",
            "Right",
            "End",
            "Ctrl+Up",
        ] {
            bench.strike(key);
            bench.buffer();
            if size != (40, 10) && !key.starts_with("Ctrl") {
                let pane = bench.pane(Focus::Passage);
                assert!(pane.lines().any(|line| line.starts_with('▸') && line.contains('│')), "{size:?} {key}\n{pane}");
            }
        }
    }
}

#[test]
fn the_editor_at_100_by_30() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Right Down Down");
    insta::assert_snapshot!(bench.pane(Focus::Passage), @r"
    ▸Passage ─────────────────────────────────────── Turnaround   bar 1 of 2   writing 1/8   sounds in C
     4/4  q=92
        C                 G
     1  q   q   q   q     h       rh
     e│─────────────────│──────────────────│
     B│─────────────────│──────────────────│
    ▸G│────────[0h──2───│──────────────────│
     D│─────2───────────│──────────────────│
     A│─3───────────────│──────────────────│
     E│─────────────────│─3────────────────│
     string 3, fret 0, hammer-on, 1/4
    ");
}

#[test]
fn undo_says_what_it_takes_back_and_the_cursor_goes_there() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Down Down Down 5 v Home # \"2\" Enter End");
    for expected in ["transposition", "way of playing", "fret"] {
        bench.strike("u");
        assert_eq!(bench.notice(), format!("undone: {expected}"));
    }
    assert_eq!(bench.desk().passage.cursor(), (1, 2, 4));
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn a_problem_in_the_music_leads_to_its_beat() {
    let mut bench = on_passage((100, 30));
    bench.strike("] - T w");
    let Some(fingerpost::workbench::boxes::Overlay::List(list)) = &bench.state.overlay else { panic!("no list") };
    let line = list.lines.iter().position(|line| line.text.contains("bar 2")).unwrap();
    bench.strike(&"Down ".repeat(line));
    bench.strike("Enter");
    assert_eq!((bench.desk().focus, bench.desk().passage.cursor().0), (Focus::Passage, 2));
}

#[test]
fn grace_notes_and_fingers_are_typed_for_the_note() {
    let mut bench = on_passage((100, 60));
    let choose = |bench: &mut Bench, word: &str| {
        bench.strike("Enter");
        let Some(fingerpost::workbench::boxes::Overlay::Choice(list)) = &bench.state.overlay else { panic!("no list") };
        let line = list.lines.iter().position(|(text, _)| text.starts_with(word)).unwrap();
        bench.strike(&"Down ".repeat(line));
        bench.strike("Enter");
    };
    bench.strike("Right Down Down Down");
    choose(&mut bench, "grace notes");
    bench.strike("\"0 4\" Enter");
    let grace: Vec<(u8, Option<Join>)> =
        event(&bench, 0, 1).grace.iter().map(|note| (note.fret.number(), note.join)).collect();
    assert_eq!(grace, [(0, Some(Join::HammerOn)), (4, Some(Join::PullOff))]);
    choose(&mut bench, "fretting finger");
    bench.strike("\"2\" Enter");
    assert_eq!(event(&bench, 0, 1).notes[0].finger, Some(fingerpost::instrument::hand::Finger::Middle));
}

#[test]
fn what_is_selected_is_reversed_on_every_string() {
    let mut bench = on_passage((80, 24));
    bench.strike("Shift+Right");
    assert!(bench.pane(Focus::Passage).lines().next().unwrap().contains("2 beats selected"));
    let pane = bench.state.layout().unwrap().pane(Focus::Passage).area;
    let text = bench.pane(Focus::Passage);
    let row = text.lines().position(|line| line.starts_with(" A│")).unwrap();
    let column = text.lines().nth(row).unwrap().chars().position(|sign| sign == '3').unwrap();
    let cell = &bench.buffer()[(pane.x + u16::try_from(column).unwrap(), pane.y + u16::try_from(row).unwrap())];
    assert!(cell.modifier.contains(Modifier::REVERSED));
    bench.strike("Esc Esc");
    assert_eq!(bench.notice(), "nothing is selected");
}

#[test]
fn a_slide_from_one_sheet_of_bars_to_the_next_shows_its_way() {
    let mut lesson = small_lesson();
    let mut bar = lesson.passages[0].bars[0].clone();
    for event in &mut bar.voices[0].0 {
        (event.notes[0].string, event.notes[0].join) =
            (fingerpost::instrument::neck::StringNumber::new(3).unwrap(), None);
    }
    let last = &mut bar.voices[0].0[3].notes[0];
    (last.fret, last.join) = (fingerpost::instrument::neck::Fret::new(9).unwrap(), Some(Join::LegatoSlide));
    lesson.passages[0].bars = vec![bar; 30];
    let mut bench = Bench::on(lesson, (100, 60));
    bench.strike("Down P");
    // Nine leads down to three in every bar, also over the line after bar 24.
    bench.strike(&"] ".repeat(23));
    let text = bench.desk().passage.text();
    assert!(text.contains("9\\"), "{text}");
    assert!(!text.contains("9/"), "{text}");
}

#[test]
fn a_passage_too_long_for_the_clipboard_is_copied_out_in_parts() {
    let mut lesson = small_lesson();
    let bars = lesson.passages[0].bars.clone();
    lesson.passages[0].bars = bars.iter().cycle().take(600).cloned().collect();
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("Down P o");
    assert_eq!(bench.notice(), "too long for the terminal's clipboard: select fewer bars");
    assert!(!bench.wanted.iter().any(|effect| matches!(effect, Effect::CopyOut(_))));
    bench.strike("Shift+Down Shift+Down o");
    assert!(bench.notice().starts_with("3 bars handed to the terminal's clipboard"), "{}", bench.notice());
}

#[test]
fn a_bar_is_split_at_the_cursor_and_joined_again() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Home Down P X");
    assert!(bench.notice().starts_with("a bar is split before the beat"), "{}", bench.notice());
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
