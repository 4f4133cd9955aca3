//! One order of undo for fingers, lesson and library.

use fingerpost::lesson::document::{Lesson, Segment};
use fingerpost::lesson::edit::{Edit, ListEdit};
use fingerpost::lesson::history::{Change, Reason, Transaction};
use fingerpost::lesson::id::SegmentId;
use fingerpost::store::open_lesson::SavedState;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::messages::effect::{Effect, FileEffect, TerminalEffect};
use fingerpost::workbench::messages::message::{Message, OpenedLesson};
use fingerpost::workbench::panes::fretboard::grip::Grip;
use fingerpost::workbench::update::routing::update;
use proptest::prelude::*;

use super::bench::{Bench, small_lesson};

/// What undo and redo bring back.
#[derive(Debug, Clone, PartialEq)]
struct Standing {
    lesson: Lesson,
    grip: Grip,
    segment: Option<SegmentId>,
}

fn standing(bench: &Bench) -> Standing {
    let desk = bench.desk();
    let (lesson, grip) = (desk.lesson.lesson().clone(), desk.fretboard.grip().clone());
    Standing { lesson, grip, segment: desk.timeline.selected() }
}

fn shape(bench: &Bench) -> String {
    bench.desk().fretboard.grip().shape.compact()
}

#[test]
fn fingers_and_saved_voicings_are_undone_in_the_order_they_were_done() {
    let mut bench = Bench::small((100, 30));
    bench.strike("F s \"x02210\" Enter v 3 v");
    assert_eq!(shape(&bench), "x32210");
    let undone: Vec<(String, String, usize)> = (0..4)
        .map(|_| {
            bench.strike("u");
            (bench.notice().to_owned(), shape(&bench), bench.lesson().voicings.len())
        })
        .collect();
    let expected = [
        ("undone: voicing saved; the library keeps its copy, Delete there deletes it", "x32210", 4),
        ("undone: fingers", "x02210", 4),
        ("undone: voicing saved; the library keeps its copy, Delete there deletes it", "x02210", 3),
        ("undone: fingers", "xxxxxx", 3),
    ];
    for (undone, (notice, shape, voicings)) in undone.iter().zip(expected) {
        assert_eq!((undone.0.as_str(), undone.1.as_str(), undone.2), (notice, shape, voicings));
    }
    bench.strike("u");
    assert_eq!(bench.notice(), "nothing to undo");
    bench.strike("U U U U");
    assert_eq!((shape(&bench).as_str(), bench.lesson().voicings.len()), ("x32210", 5));
}

#[test]
fn undone_behind_a_recovery_the_lesson_is_as_its_file_has_it() {
    let mut lesson = small_lesson();
    let retitled = |title: &str| {
        let segment = Segment { title: title.to_owned(), ..small_lesson().segments[0].clone() };
        Transaction::one(Reason::RetitleSegment, Edit::Segments(ListEdit::Replace(segment)))
    };
    let undoable = ["one", "two"].map(|title| Change::make(&mut lesson, retitled(title)).unwrap()).to_vec();
    let mut bench = Bench::start_screen((100, 30));
    let opened = OpenedLesson { lesson, state: SavedState::Unsaved, undoable, ..Bench::small((100, 30)).opened() };
    bench.send(Message::Opened(Ok(Box::new(opened))));
    assert!(!bench.desk().lesson.is_saved());
    bench.replayed = bench.lesson().clone();
    bench.strike("u");
    assert!(!bench.desk().lesson.is_saved() && bench.screen().contains("not saved yet"), "{}", bench.screen());
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
    assert!(bench.desk().lesson.is_saved() && !bench.screen().contains("not saved yet"), "{}", bench.screen());
    bench.strike("U");
    assert!(!bench.desk().lesson.is_saved());
}

#[test]
fn undo_goes_on_behind_a_save_and_behind_what_came_back_since() {
    let mut lesson = small_lesson();
    let retitled = |title: &str| {
        let segment = Segment { title: title.to_owned(), ..small_lesson().segments[0].clone() };
        Transaction::one(Reason::RetitleSegment, Edit::Segments(ListEdit::Replace(segment)))
    };
    let [one, two, three] = ["one", "two", "three"].map(|title| Change::make(&mut lesson, retitled(title)).unwrap());
    let undoable_behind = vec![one, two];
    let mut saved = lesson.clone();
    saved.apply_all(three.taking_back().edits).unwrap();
    for (lesson, state, undoable) in
        [(saved.clone(), SavedState::Saved, vec![]), (lesson, SavedState::Unsaved, vec![three])]
    {
        let since = undoable.len();
        let small = Bench::small((100, 30)).opened();
        let opened = OpenedLesson { lesson, state, undoable_behind: undoable_behind.clone(), undoable, ..small };
        let mut bench = Bench::start_screen((100, 30));
        bench.send(Message::Opened(Ok(Box::new(opened))));
        bench.replayed = bench.lesson().clone();
        (0..since).for_each(|_| _ = bench.strike("u"));
        assert_eq!((bench.lesson(), bench.desk().lesson.is_saved()), (&saved, true), "{since}");
        bench.strike("u");
        assert_eq!((bench.lesson().segments[0].title.as_str(), bench.desk().lesson.is_saved()), ("one", false));
        bench.strike("u");
        assert_eq!((bench.lesson(), bench.desk().lesson.is_saved()), (&small_lesson(), false));
        bench.strike("u U U");
        assert_eq!((bench.lesson(), bench.desk().lesson.is_saved()), (&saved, true));
    }
}

#[test]
fn a_save_hands_over_the_changes_that_led_to_it() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Enter Home \"x\" Enter F 3 T Enter Home \"y\" Enter u");
    let mut lesson = bench.lesson().clone();
    let effects = update(&mut bench.state, Message::Key("Ctrl+S".parse().unwrap()));
    let Some(Effect::Files(FileEffect::Save(work, _))) = effects.into_iter().next() else { panic!("nothing is saved") };
    assert_eq!(work.changes.len(), 1, "what was undone is none, and fingers are no change");
    lesson.apply_all(work.changes[0].taking_back().edits).unwrap();
    assert_eq!(lesson, small_lesson());
}

#[test]
fn a_voicing_taken_out_comes_back_before_the_fingers_change() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down F Ctrl+End D");
    assert_eq!(bench.lesson().segments[1].voicings.len(), 1);
    bench.strike("u");
    assert_eq!(bench.notice(), "undone: voicing deleted from the segment");
    assert_eq!(bench.lesson(), &small_lesson());
    assert_eq!(shape(&bench), "3x0003");
    bench.strike("u");
    assert_eq!(bench.notice(), "undone: voicing put on the fretboard");
    assert_eq!(shape(&bench), "x32010");
}

#[test]
fn undo_goes_to_the_segment_where_the_thing_was_done_and_says_so() {
    let mut bench = Bench::small((100, 30));
    bench.strike("F s \"x02010\" Enter v T Down Down");
    assert_eq!(shape(&bench), "x02210", "the voicing of the third segment");
    bench.strike("u");
    assert_eq!(
        bench.notice(),
        "undone: voicing saved, in segment 1 \"Hello\"; the library keeps its copy, Delete there deletes it"
    );
    assert_eq!(bench.desk().timeline.selected(), Some(bench.lesson().segments[0].id));
    assert_eq!(shape(&bench), "x02010", "the fingers as they were before the voicing was saved");
    bench.strike("End U");
    assert_eq!(bench.notice(), "redone: voicing saved, in segment 1 \"Hello\"");
    assert_eq!(bench.desk().timeline.selected(), Some(bench.lesson().segments[0].id));
}

#[test]
fn a_new_finger_ends_what_could_be_redone() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Delete u F 3 U");
    assert_eq!(bench.notice(), "nothing to redo");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn fingers_that_another_instrument_has_no_strings_for_come_back() {
    let mut lesson = small_lesson();
    let mut ukulele = lesson.instruments[0].clone();
    (ukulele.id.0, ukulele.body.name, ukulele.body.strings) = (2, "ukulele".to_owned(), 4);
    lesson.instruments.push(ukulele);
    lesson.setups[1].instrument.0 = 2;
    lesson.setups[1].tuning = "G4 C4 E4 A4".parse().unwrap();
    lesson.voicings.truncate(2);
    lesson.segments[2].voicings.clear();
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("F s \"x02010\" Enter T Down Down");
    assert_eq!(shape(&bench), "xxxx");
    bench.strike("u");
    assert_eq!(shape(&bench), "x02010");
    assert_eq!(bench.notice(), "undone: fingers, in segment 2 \"Two shapes\"");
}

#[test]
fn a_voicing_taken_out_of_the_library_is_put_back_by_undo() {
    let mut bench = Bench::small((100, 30));
    bench.strike("F s \"x02010\" Enter v L f \"x02010\" Enter Delete");
    assert_eq!(bench.notice(), "Am7 deleted from the library; this lesson still has it; u undoes");
    assert!(bench.library.voicings.is_empty());
    assert!(bench.pane(Focus::Library).contains("▸ Am7"), "{}", bench.pane(Focus::Library));
    bench.strike("u");
    assert!(bench.pane(Focus::Library).contains("▸✓Am7"), "what the library keeps is ticked");
    assert_eq!(bench.notice(), "undone: voicing deleted from the library");
    assert_eq!(bench.library.voicings.len(), 1);
    bench.strike("U");
    assert!(bench.library.voicings.is_empty());
    bench.strike("Delete");
    assert!(bench.screen().contains("Delete Am7 from this lesson?"), "{}", bench.screen());
    bench.strike("Esc");
    // Undoing and redoing the saving itself brings the library's copy as well.
    bench.strike("u U u u");
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("U");
    assert_eq!(bench.library.voicings.len(), 1);
}

/// Scripts that move fingers, and scripts that change the lesson or the library.
const SCRIPTS: [&str; 29] = [
    "F 3",
    "F Up 2",
    "F x",
    "F o",
    "F d",
    "F N",
    "F Shift+Delete",
    "F Ctrl+End",
    "F Ctrl+Home",
    "F s \"x02210\" Enter",
    "F s \"320003\" Enter",
    "F v",
    "F D",
    "R Down N",
    "L i",
    "L Enter",
    "L Delete Esc",
    "L Delete Enter Esc",
    "L Down",
    "T Down",
    "T Up",
    "T Delete",
    "T a \"new\" Enter",
    "T Enter \"!\" Enter",
    "T l \"+5\" Enter",
    "T E Down Enter Esc",
    "T Shift+Down",
    "T t Enter Esc",
    "Ctrl+S",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn undoing_everything_leads_back_to_the_first_lesson_and_the_first_fingers(
        scripts in prop::collection::vec(prop::sample::select(&SCRIPTS[..]), 0..24),
    ) {
        let mut bench = Bench::small((80, 24));
        let first = standing(&bench);
        // The first step is taken where one stands, so that undo leads back to this very place.
        bench.strike("F 5");
        let mut last = standing(&bench);
        let mut lessons = vec![first.lesson.clone()];
        for script in &scripts {
            bench.strike(script);
            let now = standing(&bench);
            let fingers = now.grip != last.grip && now.segment == last.segment;
            if fingers || now.lesson != last.lesson {
                last = now;
            }
            if lessons.last() != Some(bench.lesson()) {
                lessons.push(bench.lesson().clone());
            }
        }
        let library = bench.library.clone();
        let mut undone = 0;
        loop {
            bench.strike("T u");
            if bench.notice() == "nothing to undo" {
                break;
            }
            undone += 1;
            prop_assert!(undone <= 4 * scripts.len() + 1, "undo never ends");
            if lessons.len() > 1 && lessons.last() != Some(bench.lesson()) {
                lessons.pop();
            }
            prop_assert_eq!(lessons.last(), Some(bench.lesson()), "each version in turn");
        }
        prop_assert_eq!(standing(&bench), first);
        prop_assert_eq!(&bench.replayed, bench.lesson());
        for _ in 0..undone {
            bench.strike("U");
        }
        bench.strike("U");
        prop_assert_eq!(bench.notice(), "nothing to redo");
        prop_assert_eq!(&standing(&bench).lesson, &last.lesson);
        prop_assert_eq!(bench.library.voicings.len(), library.voicings.len());
    }
}

#[test]
fn undo_says_what_it_undoes_as_a_teacher_would() {
    for (script, said) in [
        ("t Space Enter", "passages of the segment"),
        ("v Space Enter", "chord shapes of the segment"),
        ("' \"close\" Ctrl+S", "shot notes"),
        ("; \"warm\" Ctrl+S", "tone notes"),
        ("X \"0:10\" Enter", "segment split"),
        ("j", "segments joined"),
        ("Ctrl+T \"Another\" Enter", "title of the lesson"),
        ("G \"9:00\" Enter", "goal"),
        ("Down P Down Down Down Down m", "palm mute"),
        ("Down P Down Down Down Down v", "vibrato"),
        ("Down P Down Down Down Down s s", "legato slide"),
        ("Down P # \"2\" Enter", "transposed"),
        ("N Enter Down Enter \"A. Nobody\" Enter Esc", "who wrote the piece"),
        ("N Enter Enter \"Another\" Enter", "title of the piece"),
        ("E End Enter Enter Down Enter \"My tuning\" Enter", "name of the tuning"),
    ] {
        let mut bench = Bench::small((100, 30));
        bench.strike(script);
        assert!(*bench.lesson() != small_lesson(), "{script}: {}", bench.notice());
        bench.strike("u");
        assert_eq!(bench.notice().split(", in segment").next(), Some(format!("undone: {said}").as_str()), "{script}");
        assert!(*bench.lesson() == small_lesson(), "{script}");
    }
    // A chord over several strings first.
    let mut bench = Bench::small((100, 30));
    bench.strike("Down P I Down 1 Down 2 Down 2 Down 0 ! u");
    assert!(bench.notice().starts_with("undone: dead strum"), "{}", bench.notice());
}

/// In many other programs this key undoes; here it goes to the shell, where there is one.
#[test]
fn the_key_that_goes_to_the_shell_says_so_and_which_key_undoes() {
    let mut bench = Bench::small((100, 30));
    bench.strike("l \"2:00\" Enter");
    let changed = bench.lesson().clone();
    bench.strike("Ctrl+Z");
    assert!(bench.wanted.contains(&Effect::Terminal(TerminalEffect::Suspend)), "{:?}", bench.wanted);
    assert_eq!(bench.notice(), "Ctrl+Z goes to the shell, and `fg` there comes back; u undoes");
    assert_eq!(*bench.lesson(), changed);
}
