//! What is not in the lesson yet: words in open boxes and fingers that no voicing holds come back as they were, and are kept until
//! their box is answered or put away.

use std::path::PathBuf;

use assert_no_alloc::{assert_no_alloc, violation_count};
use fingerpost::lesson::edit::{Edit, ListEdit};
use fingerpost::lesson::fresh::Seed;
use fingerpost::store::draft::{BoxDraft, Draft};
use fingerpost::store::open_lesson::{Access, SavedState};
use fingerpost::theory::reading::Doubt;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::library::shelf::Shelf;
use fingerpost::workbench::messages::effect::{Effect, TerminalEffect};
use fingerpost::workbench::messages::message::{Message, OpenedLesson};
use fingerpost::workbench::messages::notice::Notice;
use fingerpost::workbench::messages::said::Said;
use fingerpost::workbench::update::routing::update;

use super::bench::{Bench, small_lesson};

const SIZE: (u16, u16) = (100, 30);

/// Something written in a box, and the key that answers it.
const WRITTEN: [(&str, &str); 18] = [
    ("a \"Some\" Left Left", "Enter"),
    ("Enter Home \"x\"", "Enter"),
    ("l \"+15\"", "Enter"),
    ("p \"Half a sen\" Enter \" two \" Up Left", "Ctrl+S"),
    ("p \"one\" Enter Enter \"three\" Up", "Ctrl+S"),
    ("' \"lamp from the left\"", "Ctrl+S"),
    ("n \"Swing\" Enter \"C\"", "Enter"),
    ("P Right Right n \"G\" Left", "Enter"),
    ("P End ' \"let it\"", "Enter"),
    ("P ] Down Down Down l Home \"1/8\" Right", "Enter"),
    ("P Right S Right # Backspace \"2\"", "Enter"),
    ("P a \"New\" Enter", "Enter"),
    ("P O e Enter", "Enter"),
    ("F s \"x0221\"", "Enter"),
    ("F 5 s \"x02210\"", "Enter"),
    ("F v L Down e \", low\" Left", "Enter"),
    ("R b \"E\"", "Enter"),
    ("T Home Down Down Enter \"y\"", "Enter"),
];

/// A workbench that opens the small lesson and finds this draft.
fn opened_with(draft: &Draft, before: &Bench) -> Bench {
    let mut bench = Bench::start_screen(SIZE);
    bench.library = before.library.clone();
    bench.open(before.lesson().clone());
    bench.send(Message::Drafted(Box::new(draft.clone())));
    bench
}

/// The screen without what was said.
fn screen(bench: &Bench) -> String {
    let mut bench = bench.clone();
    bench.state.said = Said::default();
    // What was not saved before a crash is not saved after it; here the lesson is opened as if it were.
    bench.screen().replace("not saved yet", "").lines().map(str::trim_end).collect::<Vec<_>>().join("\n")
}

#[test]
fn words_come_back_in_their_box_with_the_cursor_and_are_answered_where_they_were_asked_for() {
    for (script, answer) in WRITTEN {
        let mut bench = Bench::small(SIZE);
        bench.strike("Down").strike(script);
        assert!(bench.state.overlay.is_some(), "{script}");
        let mut again = opened_with(&bench.draft, &bench);
        // Tags are for the voicing that they were asked for, whichever one the library pane shows after a start.
        let in_library = script.contains(" L ");
        assert!(in_library || screen(&again) == screen(&bench), "{script}:\n{}\n{}", screen(&again), screen(&bench));
        // Killed at once a second time.
        assert_eq!(again.draft, bench.draft, "{script}");
        let mut third = opened_with(&again.draft, &again);
        for bench in [&mut bench, &mut again, &mut third] {
            bench.strike(answer);
        }
        assert_eq!(again.lesson(), bench.lesson(), "{script}");
        assert_eq!(third.lesson(), bench.lesson(), "{script}");
        assert_eq!(third.desk().fretboard.grip(), bench.desk().fretboard.grip(), "{script}");
        assert_eq!(third.library.voicings, bench.library.voicings, "{script}");
        assert!(in_library || screen(&third) == screen(&bench), "{script}:\n{}\n{}", screen(&third), screen(&bench));
        let still = if bench.state.overlay.is_some() { 1 } else { 0 };
        assert!(bench.draft.boxes.len() <= still, "{script}: {:?}", bench.draft);
    }
}

#[test]
fn what_came_back_names_no_key_that_is_typed_into_the_box_and_the_sign_of_more_says_when_its_key_works() {
    let mut before = Bench::small((80, 24));
    before.strike("Down Enter Home \"Not so \"");
    let told = "brought back 12 unsaved changes; {Desk(Save)} saves, {Desk(Undo)} undoes them one by one";
    let recovered = |more: &str| {
        let mut bench = Bench::start_screen((80, 24));
        let notice = Some(Notice::note(format!("{told}{more}")));
        let opened = OpenedLesson { notice, ..before.opened() };
        bench.send(Message::Opened(Ok(Box::new(opened))));
        bench
    };
    let mut bench = recovered("");
    let whole = "brought back 12 unsaved changes; Ctrl+S saves, u undoes them one by one";
    assert_eq!(bench.notice(), whole, "no box is open");
    bench.send(Message::Drafted(Box::new(before.draft.clone())));
    assert!(matches!(bench.state.overlay, Some(Overlay::Entry(_))));
    assert_eq!(bench.notice(), "brought back 12 unsaved changes; what you were writing is back in its box");
    assert!(bench.screen().contains("what you were writing is back in its box"), "{}", bench.screen());
    // All of it is there to be read later.
    assert!(bench.state.said.messages.iter().any(|said| said.text.starts_with(whole)));
    let mut bench = recovered(&format!("; {}", "the file holds comments written by hand ".repeat(3)));
    bench.send(Message::Drafted(Box::new(before.draft.clone())));
    assert!(bench.screen().contains("M, once this box is closed: all of it"), "{}", bench.screen());
    bench.strike("Esc");
    assert_eq!(bench.notice(), "", "it has been read");
}

#[test]
fn only_answering_or_leaving_a_box_takes_its_words_away() {
    let mut bench = Bench::small(SIZE);
    bench.strike("Down Enter Home \"Not so \"");
    let words = bench.draft.boxes.clone();
    assert_eq!(words[0].words, "Not so Two shapes");
    // Other boxes come over it from outside, and others from them.
    bench.send(Message::SaveConflict("another program has changed it".to_owned()));
    bench.send(Message::LibraryRead(Ok(Vec::new())));
    assert!(matches!(bench.state.overlay, Some(Overlay::List(_))));
    assert_eq!(bench.draft.boxes, words);
    bench.strike("Esc");
    assert!(matches!(&bench.state.overlay, Some(Overlay::Entry(entry)) if entry.line.text() == "Not so Two shapes"));
    assert_eq!(bench.draft.boxes, words);
    bench.strike("Esc");
    assert!(bench.draft.is_empty() && bench.state.overlay.is_none(), "{:?}", bench.draft);
}

#[test]
fn words_wait_under_a_box_that_has_to_be_answered_first() {
    let mut before = Bench::small(SIZE);
    before.strike("Down p \"Half a sen\"");
    let lesson = small_lesson();
    let mut other = lesson.segments[0].clone();
    other.title = "Hello there".to_owned();
    let mut bench = Bench::start_screen(SIZE);
    bench.replayed = lesson.clone();
    bench.send(Message::Opened(Ok(Box::new(OpenedLesson {
        lesson,
        path: PathBuf::from("/lessons/workbench.lesson.ron"),
        access: Access::Full,
        state: SavedState::Saved,
        seed: Seed(1),
        library: Shelf::default(),
        apart: vec![Edit::Segments(ListEdit::Replace(other))],
        undoable_behind: Vec::new(),
        undoable: Vec::new(),
        left_at: None,
        notice: None,
    }))));
    bench.send(Message::Drafted(Box::new(before.draft.clone())));
    assert!(matches!(bench.state.overlay, Some(Overlay::Choice(_))));
    assert_eq!(bench.draft, before.draft, "a second crash takes nothing either");
    bench.strike("Down Enter");
    assert_eq!(bench.lesson().segments[0].title, "Hello there");
    let Some(Overlay::Points(points)) = &bench.state.overlay else { panic!("{:?}", bench.state.overlay) };
    assert_eq!(points.lines.written().last().map(String::as_str), Some("Leave string 6 aloneHalf a sen"));
}

#[test]
fn words_without_a_box_are_told_and_kept_until_the_lesson_is_left() {
    let earlier = Draft { about: "Talking points".into(), words: "Half a sen".into(), ..Draft::default() };
    let mut bench = opened_with(&earlier, &Bench::small(SIZE));
    assert!(bench.notice().contains("what was being written (Talking points): Half a sen"), "{}", bench.notice());
    bench.strike("a \"x\"");
    let homeless = BoxDraft { about: "Talking points".into(), words: "Half a sen".into(), form: String::new() };
    assert_eq!((bench.draft.boxes.len(), &bench.draft.boxes[0]), (2, &homeless));
    bench.strike("Esc q");
    assert!(bench.draft.is_empty(), "{:?}", bench.draft);
    // A box about a segment that is gone.
    let mut bench = Bench::small(SIZE);
    bench.strike("End Enter End \"x\"");
    let draft = bench.draft.clone();
    bench.strike("Esc Delete");
    let bench = opened_with(&draft, &bench);
    assert!(bench.notice().contains("Goodbyex"), "{}", bench.notice());
    assert!(bench.state.overlay.is_none());
}

#[test]
fn whoever_quits_loses_no_more_than_whoever_is_killed() {
    let mut bench = Bench::small(SIZE);
    bench.strike("Down F Shift+Delete s \"x02210\" Enter T Enter \"x\"");
    let killed = bench.draft.clone();
    assert_eq!((killed.fingers.as_str(), killed.boxes.len()), ("x 0 2 2 1 0", 1));
    bench.strike("Ctrl+C");
    assert_eq!(bench.draft, killed);
    assert_eq!(bench.wanted.pop(), Some(Effect::Terminal(TerminalEffect::Quit)));
    let again = opened_with(&bench.draft, &bench);
    assert!(again.notice().contains("the fingers x 0 2 2 1 0 are back"), "{}", again.notice());
    assert!(again.notice().contains("what you were writing is back in its box"), "{}", again.notice());
    assert_eq!(again.desk().fretboard.grip().shape.to_string(), "x 0 2 2 1 0");
    // A box that was put away first is gone, the fingers are not.
    let mut bench = again;
    bench.strike("Esc q");
    assert_eq!((bench.draft.fingers.as_str(), bench.draft.boxes.len()), ("x 0 2 2 1 0", 0));
    // Points go into the lesson, and are not written a second time.
    let mut bench = Bench::small(SIZE);
    bench.strike("Down p \" now\" Ctrl+C Enter");
    assert!(bench.lesson().segments[1].talking_points[1].ends_with("alone now"));
    assert!(bench.draft.is_empty(), "{:?}", bench.draft);
}

#[test]
fn fingers_come_back_with_their_doubts_their_names_and_the_fingers_that_hold_them() {
    let mut bench = Bench::small(SIZE);
    // One string in doubt, one not heard, a name kept, fingers written down, and a bass that somebody else plays.
    bench.strike("F Shift+Delete s \"x32010\" Enter d Up d d Y N R b \"E\" Enter");
    let grip = bench.desk().fretboard.grip().clone();
    assert!(grip.doubts.contains(&Doubt::Unsure) && grip.doubts.contains(&Doubt::NotHeard), "{grip:?}");
    assert!(
        !grip.names_on(bench.desk().fretboard.rig()).is_empty() && grip.fingers.iter().any(Option::is_some),
        "{grip:?}"
    );
    let again = opened_with(&bench.draft, &bench);
    assert_eq!((again.desk().fretboard.grip(), &again.draft), (&grip, &bench.draft));
    // As earlier versions wrote them.
    let earlier = Draft { fingers: "x 3 2? 0 1 0".into(), ..Draft::default() };
    let again = opened_with(&earlier, &Bench::small(SIZE));
    assert_eq!(again.desk().fretboard.grip().doubts[2], Doubt::Unsure);
}

#[test]
fn fingers_come_back_only_in_the_tuning_that_they_were_put_down_in() {
    let mut bench = Bench::small(SIZE);
    // The third segment has a tuning of its own.
    bench.strike("Down Down F Shift+Delete s \"x02213\" Enter");
    let rig = bench.desk().fretboard.rig().clone();
    assert_ne!(rig, Bench::small(SIZE).desk().fretboard.rig().clone());
    let again = opened_with(&bench.draft, &bench);
    assert_eq!(again.desk().fretboard.rig(), &rig, "where they were put down");
    assert_eq!(again.desk().fretboard.grip().shape.to_string(), "x 0 2 2 1 3");

    // The segment has gone to another tuning meanwhile.
    let mut retuned = bench.lesson().clone();
    for segment in &mut retuned.segments {
        segment.setup = None;
        segment.voicings.clear();
    }
    let mut before = bench.clone();
    before.open(retuned);
    let again = opened_with(&bench.draft, &before);
    assert!(again.desk().fretboard.grip().is_silent(), "{}", again.desk().fretboard.grip().shape);
    let said = again.screen();
    assert!(said.contains("fingers on the fretboard, in") && said.contains("x 0 2 2 1 3"), "{said}");
}

#[test]
fn whoever_leaves_words_that_could_not_be_kept_is_asked_first() {
    let quit = Some(Effect::Terminal(TerminalEffect::Quit));
    let failed = || Message::DraftFailed("what is not in the lesson yet would not survive a crash".to_owned());
    let mut bench = Bench::small(SIZE);
    bench.strike("Down a \"Some\"");
    bench.send(failed());
    bench.strike("Ctrl+C");
    assert!(
        matches!(&bench.state.overlay, Some(Overlay::Choice(choice)) if choice.title == "Not everything could be kept")
    );
    assert!(bench.wanted.is_empty(), "{:?}", bench.wanted);
    bench.strike("Esc");
    assert!(matches!(&bench.state.overlay, Some(Overlay::Entry(entry)) if entry.line.text() == "Some"));
    bench.strike("Ctrl+C Enter");
    assert_eq!(bench.wanted.pop(), quit);
    // Where something is not saved either, the question about that says it.
    let mut bench = Bench::small(SIZE);
    bench.strike("Delete a \"Some\"");
    bench.send(failed());
    bench.strike("Ctrl+C");
    assert!(bench.screen().contains("could not be kept: it is lost"), "{}", bench.screen());
    // Nobody is asked where it is kept again, or where nothing is at risk.
    for script in ["Down a \"Some\"", "Down"] {
        let mut bench = Bench::small(SIZE);
        bench.strike(script);
        bench.send(failed());
        if script != "Down" {
            bench.send(Message::DraftMended);
            assert_eq!(bench.notice(), "fingers and words in an open box are safe from a crash again");
        }
        bench.strike("Ctrl+C");
        assert_eq!(bench.wanted.pop(), quit, "{script}");
    }
}

/// A script of 100,000 words, as it is pasted.
fn script(words_in_a_line: usize) -> String {
    let words: Vec<String> = (0..100_000).map(|number| format!("word{}", number % 1000)).collect();
    words.chunks(words_in_a_line).map(|line| line.join(" ")).collect::<Vec<String>>().join("\r\n")
}

#[test]
fn a_spoken_script_is_pasted_whole_as_talking_points() {
    for words_in_a_line in [1, 12, 100_000] {
        let mut bench = Bench::small(SIZE);
        let script = script(words_in_a_line);
        bench.strike("p");
        bench.send(Message::Pasted(script.clone()));
        bench.strike("Ctrl+S");
        let points = &bench.lesson().segments[0].talking_points;
        assert!(*points == script.lines().collect::<Vec<_>>(), "{words_in_a_line} words in a line");
    }
}

/// Returns how often memory is asked for or given back while a key is answered and drawn, and what it wants done.
fn work(bench: &mut Bench, key: &str) -> (u32, Vec<Effect>) {
    let before = violation_count();
    let mut effects = Vec::new();
    assert_no_alloc(|| {
        effects = update(&mut bench.state, Message::Key(key.parse().unwrap()));
        bench.buffer();
    });
    (violation_count() - before, effects)
}

#[test]
fn a_key_in_a_script_costs_what_it_costs_in_a_few_words_and_hands_nothing_over_at_once() {
    for words_in_a_line in [1, 12, 100_000] {
        let mut small = Bench::small(SIZE);
        small.strike("p \"some words to begin with\" Enter \"and some more\"");
        let mut large = Bench::small(SIZE);
        large.strike("p");
        large.send(Message::Pasted(script(words_in_a_line)));
        assert_eq!(large.state.draft.late(), Some(large.state.draft.changes));
        for key in ["x", "Left", "y", "Backspace", "Up", "Down", "Delete"] {
            let ((much, effects), (little, _)) = (work(&mut large, key), work(&mut small, key));
            assert!(much < 2 * little + 200, "{key}: {much} in {words_in_a_line} words a line, {little} in a few");
            assert_eq!(effects, [], "{key}");
        }
        // When the keys pause, all of it is kept.
        large.send(Message::DraftDue);
        assert_eq!(large.state.draft.late(), None);
        let Some(Overlay::Points(points)) = &large.state.overlay else { panic!("no box") };
        assert!(large.draft.boxes[0].words == points.lines.text());
        let again = opened_with(&large.draft, &large);
        assert!(again.state.draft.late().is_some());
        assert_eq!(screen(&again), screen(&large));
    }
}

#[test]
fn what_waits_is_kept_before_the_program_ends_stops_or_quits() {
    let (stop, quit) = ("Ctrl+Z", "Ctrl+C");
    for leaves in ["", stop, quit] {
        let mut bench = Bench::small(SIZE);
        bench.strike("Down P");
        bench.send(Message::Pasted(format!("{}\n", "e|--3--5--|\nB|--1--1--|\nG|--0--0--|\n\n".repeat(600))));
        assert!(matches!(bench.state.overlay, Some(Overlay::Entry(_))), "{}", bench.notice());
        bench.strike("\"Long\"");
        assert!(bench.draft.is_empty() && bench.state.draft.late().is_some());
        if leaves.is_empty() {
            bench.send(Message::Ending);
        } else {
            bench.strike(leaves);
        }
        assert_eq!(bench.draft.boxes[0].words, "Long", "{leaves}");
    }
}

#[test]
fn a_paste_that_does_not_fit_is_refused_whole_and_says_so() {
    let long = "x".repeat(2_001);
    for open in ["a", "L f", "Ctrl+F"] {
        let mut bench = Bench::small(SIZE);
        bench.strike(open);
        let before = screen(&bench);
        bench.send(Message::Pasted(long.clone()));
        assert!(bench.notice().contains("up to 2,000 characters"), "{open}: {}", bench.notice());
        assert_eq!(screen(&bench), before, "{open}");
        bench.send(Message::Pasted(long[1..].to_owned()));
        assert_ne!(screen(&bench), before, "{open}");
        bench.strike("x");
        assert!(bench.notice().contains("up to 2,000 characters"), "{open}: {}", bench.notice());
    }
    let mut bench = Bench::small(SIZE);
    bench.strike("p");
    bench.send(Message::Pasted("x".repeat(4_000_000)));
    assert!(bench.notice().contains("4 million letters"), "{}", bench.notice());
    assert!(bench.draft.is_empty());
    bench.send(Message::Pasted("one\u{7}\u{7}".to_owned()));
    assert_eq!(bench.notice(), "pasted without 2 control characters, which would not show");
    bench.strike("Ctrl+S k");
    bench.send(Message::Pasted("one".to_owned()));
    assert_eq!(bench.notice(), "nothing can be pasted into this box");
}
