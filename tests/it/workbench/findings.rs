//! The list of what is wrong leads to the very bar, note and string, from wherever one stands; and small things in lists.

use fingerpost::instrument::neck::Fret;
use fingerpost::lesson::check::{Finding, FindingKind, Severity, check};
use fingerpost::lesson::document::{BarRange, Lesson, PassageUse, SegmentKind, Setup};
use fingerpost::lesson::id::SetupId;
use fingerpost::lesson::place::LessonPlace;
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::HandoutOptions;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Focus;

use proptest::prelude::*;

use super::bench::{Bench, small_lesson};
use crate::arbitrary::any_lesson;

/// The small lesson with a note off the neck in its second bar, which segment 4 plays as the second of two parts, and a finger off
/// the neck on string 3 of a voicing.
fn faulty() -> Lesson {
    let mut lesson = small_lesson();
    lesson.passages[0].bars[1].voices[0].0[0].notes[0].fret = Fret::new(30).unwrap();
    let part = |first, last| PassageUse { bars: Some(BarRange { first, last }), ..lesson.segments[1].passages[0] };
    let parts = [part(1, 1), part(2, 2)];
    lesson.segments[1].passages = vec![parts[0]];
    lesson.segments[3].passages = parts.to_vec();
    lesson.voicings[1].shape = "3 x 0 30 0 3".parse().unwrap();
    lesson
}

#[test]
fn a_passage_that_was_just_begun_is_no_problem_while_one_stands_in_it() {
    let mut lesson = small_lesson();
    lesson.segments[0].passages.clear();
    let mut bench = Bench::on(lesson, (100, 30));
    let before = bench.desk().findings().len();
    bench.strike("Home P a \"New\" Enter Enter Enter");
    assert_eq!(bench.lesson().passages.len(), small_lesson().passages.len() + 1, "{}", bench.screen());
    let begun = || fingerpost::lesson::check::FindingKind::NothingWritten;
    let of_begun = |bench: &Bench| bench.desk().findings().iter().any(|finding| finding.kind == begun());
    assert!(!of_begun(&bench), "{:?}", bench.desk().findings());
    assert!(bench.desk().findings().len() <= before, "{:?}", bench.desk().findings());
    assert!(check(bench.lesson()).iter().any(|finding| finding.kind == begun()), "the shell says so");
    bench.strike("F");
    assert!(of_begun(&bench), "left behind it is one");
    bench.strike("P");
    assert!(!of_begun(&bench));
    bench.strike("3");
    assert!(!check(bench.lesson()).iter().any(|finding| finding.kind == begun()));
    bench.strike("F");
    assert!(!of_begun(&bench));
}

/// Goes to the finding whose place is wanted, from the segment that is selected.
#[track_caller]
fn go_to(bench: &mut Bench, wanted: impl Fn(LessonPlace) -> bool) {
    bench.strike("w");
    let Some(Overlay::List(list)) = &bench.state.overlay else { panic!("no list") };
    let at = list.lines.iter().position(|line| line.place.is_some_and(&wanted)).expect("it is found");
    bench.strike(&"Down ".repeat(at)).strike("Enter");
}

#[test]
fn a_finding_in_a_bar_leads_to_its_note_and_string_from_every_segment_and_pane() {
    for from in ["Home", "Home Down", "Home Down Down", "End", "End P", "Home Down P End", "End P Ctrl+End End"] {
        let mut bench = Bench::on(faulty(), (100, 30));
        bench.strike(from);
        go_to(&mut bench, |place| matches!(place, LessonPlace::Passage(_, spot) if spot.string.is_some()));
        let desk = bench.desk();
        assert_eq!(desk.focus, Focus::Passage, "{from}");
        assert_eq!(desk.timeline.selected(), Some(bench.lesson().segments[3].id), "{from}: it plays that bar");
        assert_eq!(desk.passage.cursor(), (2, 1, 6), "{from}: {}", bench.notice());
        assert!(bench.pane(Focus::Passage).contains("30"), "{from}: {}", bench.pane(Focus::Passage));
    }
}

#[test]
fn a_finding_in_a_voicing_leads_to_its_string() {
    for from in ["Home", "Home Down", "Home Down Down", "End F"] {
        let mut bench = Bench::on(faulty(), (100, 30));
        bench.strike(from);
        go_to(&mut bench, |place| matches!(place, LessonPlace::Voicing(_, Some(_))));
        assert_eq!(bench.desk().focus, Focus::Fretboard, "{from}");
        assert_eq!(bench.desk().fretboard.cursor().0.number(), 3, "{from}");
    }
}

#[test]
fn a_finding_stays_in_the_segment_where_one_stands_if_that_plays_it_too() {
    let mut lesson = faulty();
    lesson.segments[2].passages = vec![lesson.segments[3].passages[1]];
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("End");
    go_to(&mut bench, |place| matches!(place, LessonPlace::Passage(_, spot) if spot.string.is_some()));
    assert_eq!(bench.desk().timeline.selected(), Some(bench.lesson().segments[3].id));
}

#[test]
fn a_piece_is_renamed_from_the_list_of_pieces() {
    let mut bench = Bench::small((100, 30));
    bench.strike("N Enter Enter \"Porch Swing\" Enter");
    assert_eq!(bench.lesson().pieces[0].title, "Porch Swing");
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("N Enter Enter Ctrl+U Enter");
    assert!(bench.screen().contains("a piece needs a title"), "{}", bench.screen());
}

#[test]
fn the_credits_of_a_piece_are_said_in_its_list_and_printed_with_it() {
    let mut bench = Bench::small((100, 30));
    // One after the other from one list, which waits on the next.
    bench.strike("N Enter Down Enter \"Ada Moss\" Enter");
    bench.strike("Enter \"a rehearsal tape\" Enter");
    bench.strike("Enter \"hers, by letter\" Enter");
    assert!(bench.screen().contains("permission: hers, by letter"), "{}", bench.screen());
    bench.strike("Esc");
    let piece = bench.lesson().pieces[0].clone();
    assert_eq!((piece.credit.as_str(), piece.recording.as_str()), ("Ada Moss", "a rehearsal tape"));
    let paper = handout(bench.lesson(), &HandoutOptions::default()).to_text();
    let heading = paper.find("══ Swing Seat").unwrap();
    let lines: Vec<&str> = paper[heading..].lines().skip(1).take(3).map(str::trim).collect();
    assert_eq!(lines, ["by Ada Moss", "Learned from a rehearsal tape", "Permission: hers, by letter"]);
    bench.strike("N Enter");
    assert!(bench.screen().contains("permission: hers, by letter"), "{}", bench.screen());
    bench.strike("Esc u u u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn a_passage_that_no_segment_plays_is_shown_as_such_where_music_is_chosen() {
    let mut bench = Bench::small((100, 30));
    bench.strike("t");
    assert!(!bench.screen().contains("played nowhere"), "{}", bench.screen());
    bench.strike("Esc Down t Space Enter t");
    assert!(bench.screen().contains("Turnaround   not played yet"), "{}", bench.screen());
}

#[test]
fn the_list_of_problems_closes_after_the_last_fix_and_says_so() {
    let mut lesson = small_lesson();
    lesson.segments[1].passages.push(PassageUse::whole(fingerpost::lesson::id::PassageId(99)));
    lesson.voicings[2].doubts.clear();
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("w");
    for left in (0..bench.desk().findings().len()).rev() {
        assert!(bench.state.overlay.is_some(), "{} left\n{}", left + 1, bench.screen());
        bench.strike("W");
        assert_eq!(bench.desk().findings().len(), left, "{}", bench.screen());
    }
    assert!(bench.state.overlay.is_none(), "{}", bench.screen());
    assert!(bench.notice().ends_with("; no problems left"), "{}", bench.notice());
}

#[test]
fn problems_stand_before_warnings_and_those_before_notes() {
    let mut lesson = faulty();
    // Nothing is played in it, which is a note, and tunings stand before passages.
    let drop_d = Setup { id: SetupId(9), name: "drop D".into(), ..lesson.setups[0].clone() };
    lesson.setups.push(drop_d);
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("w");
    let Some(Overlay::List(list)) = &bench.state.overlay else { panic!("no list") };
    let heads: Vec<&str> = list.lines.iter().map(|line| line.head.as_str()).collect();
    let rank = |head: &&str| ["problem", "warning", "note"].iter().position(|known| known == head).expect("known");
    assert!(heads.iter().map(rank).is_sorted(), "{heads:?}");
    let mut kinds = heads.clone();
    kinds.dedup();
    assert_eq!(kinds, ["problem", "warning", "note"]);
    // Within each the order is that of the lesson.
    for severity in [Severity::Problem, Severity::Warning, Severity::Note] {
        let found = check(bench.lesson()).into_iter().filter(|found| found.severity == severity);
        let places: Vec<_> = found.map(|found| Some(found.place)).collect();
        let listed = list.lines.iter().filter(|line| line.head == severity.to_string()).map(|line| line.place);
        assert_eq!(listed.collect::<Vec<_>>(), places);
    }
}

/// Where something is listed of a segment, of a passage that it plays or of a chord shape that it shows, its row has a mark, and its
/// key does not say that there is nothing.
#[track_caller]
fn every_segment_tells_of_its_findings(lesson: &Lesson) {
    for (place, segment) in lesson.segments.iter().enumerate() {
        let mut bench = Bench::on(lesson.clone(), (120, 36));
        bench.strike("T Home").strike(&"Down ".repeat(place));
        assert_eq!(bench.desk().timeline.selected(), Some(segment.id));
        let is_of_it = |finding: &&Finding| match finding.place {
            LessonPlace::Passage(id, _) => segment.passages.iter().any(|used| used.passage == id),
            LessonPlace::Voicing(id, _) => segment.voicings.contains(&id),
            _ => finding.segments().contains(&segment.id),
        };
        let listed: Vec<Finding> = bench.desk().findings().iter().filter(is_of_it).cloned().collect();
        let mark = bench.desk().timeline.flaws().mark(segment.id);
        assert_eq!(mark.is_empty(), listed.is_empty(), "{place}: {listed:?}");
        bench.strike("W");
        assert_eq!(bench.notice() == "no problems in this segment", listed.is_empty(), "{place}: {listed:?}");
    }
}

#[test]
fn what_is_only_a_note_marks_its_segment_too_and_the_key_offers_it() {
    let mut lesson = faulty();
    lesson.segments[1].kind = SegmentKind::Retuning;
    lesson.segments.iter_mut().skip(1).for_each(|segment| segment.setup = None);
    assert!(check(&lesson).iter().any(|found| found.kind == FindingKind::NothingRetuned), "{:?}", check(&lesson));
    every_segment_tells_of_its_findings(&lesson);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn what_the_list_says_of_a_segment_its_row_and_its_key_say_too(lesson in any_lesson()) {
        every_segment_tells_of_its_findings(&lesson);
    }
}
