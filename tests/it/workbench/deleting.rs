//! Passages and pieces are deleted by keys, come back by undo, and what is used nowhere is shown and deleted as well.

use fingerpost::lesson::check::{FindingKind, check};
use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::id::ItemId;
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::{HandoutOptions, UnusedMusic};

use super::bench::{Bench, small_lesson};

#[track_caller]
fn check_no_link_to(lesson: &Lesson, gone: ItemId) {
    lesson.each_link(|_| true, |link| assert_ne!(link.to, gone));
}

#[test]
fn a_passage_is_deleted_from_the_segments_that_play_it_too() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down P e End Enter");
    assert!(bench.lesson().passages.is_empty());
    check_no_link_to(bench.lesson(), small_lesson().passages[0].id.into());
    assert!(bench.notice().contains("also from the segment that plays it"), "{}", bench.notice());
    assert!(bench.screen().contains("Two shapes"), "the segment stays");
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn a_passage_that_several_segments_play_is_deleted_only_after_a_question_that_names_them() {
    let mut lesson = small_lesson();
    let used = lesson.segments[1].passages.clone();
    lesson.segments[2].passages = used;
    let titles = [1, 2].map(|place| format!("{} ({})", place + 1, lesson.segments[place].title));
    let mut bench = Bench::on(lesson.clone(), (100, 30));
    bench.strike("Down P e End Enter");
    assert!(
        bench.screen().contains(&format!("Segments {} and {} play it.", titles[0], titles[1])),
        "{}",
        bench.screen()
    );
    // The choice that deletes nothing comes first.
    bench.strike("Enter");
    assert_eq!(*bench.lesson(), lesson);
    bench.strike("e End Enter Down Enter");
    assert!(bench.lesson().passages.is_empty());
    assert!(bench.notice().contains("also from the 2 segments that play it"), "{}", bench.notice());
    bench.strike("u");
    assert_eq!(*bench.lesson(), lesson);
}

#[test]
fn a_piece_is_deleted_and_what_was_about_it_stays() {
    let mut bench = Bench::small((100, 30));
    bench.strike("N");
    assert!(bench.screen().contains("Swing Seat   1 segment, 1 passage"), "{}", bench.screen());
    bench.strike("Enter Down Down Down Down Enter");
    let lesson = bench.lesson();
    assert!(lesson.pieces.is_empty());
    check_no_link_to(lesson, small_lesson().pieces[0].id.into());
    assert_eq!((lesson.passages.len(), lesson.segments.len()), (1, 4));
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn what_is_used_nowhere_is_found_kept_from_the_handout_and_deleted() {
    let mut lesson = small_lesson();
    // Nothing plays the passage, and nothing is about the piece or in the second tuning any more.
    lesson.passages[0].piece = None;
    lesson.voicings.retain(|voicing| voicing.setup != Some(lesson.setups[1].id));
    for segment in &mut lesson.segments {
        segment.passages.clear();
        segment.pieces.clear();
        segment.voicings.clear();
        segment.setup = None;
    }
    let unused =
        |lesson: &Lesson| check(lesson).iter().filter(|finding| finding.kind == FindingKind::UsedNowhere).count();
    // So is every voicing that is left.
    assert_eq!((unused(&lesson), unused(&small_lesson())), (3 + lesson.voicings.len(), 0));
    assert!(!lesson.voicings.is_empty());
    let printed =
        |lesson: &Lesson, unused| handout(lesson, &HandoutOptions { unused, ..HandoutOptions::default() }).to_text();
    assert!(!printed(&lesson, UnusedMusic::LeaveOut).contains("Turnaround"));
    assert!(printed(&lesson, UnusedMusic::Print).contains("Turnaround"));
    let drafts = Lesson { segments: Vec::new(), ..lesson.clone() };
    assert!(printed(&drafts, UnusedMusic::LeaveOut).contains("Turnaround"), "there is nothing else to print");
    assert_eq!(unused(&drafts), 0);

    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("w");
    assert!(bench.screen().contains("no segment plays it, so it is not on the handout"), "{}", bench.screen());
    // Each is mended in the list, wherever it stands among the other lines.
    for _ in 0..16 {
        bench.strike("W Down");
    }
    bench.strike("Esc");
    let lesson = bench.lesson();
    assert_eq!((lesson.passages.len(), lesson.pieces.len(), lesson.voicings.len()), (0, 0, 0));
    assert_eq!((lesson.setups.len(), unused(lesson)), (1, 0), "what is not used any more then goes as well");
}

#[test]
fn a_voicing_that_only_the_lesson_has_is_deleted_in_the_library_and_comes_back() {
    let mut bench = Bench::small((100, 30));
    bench.strike("F s \"x02010\" Enter v T Delete");
    let before = bench.lesson().clone();
    let marked = |bench: &Bench| bench.screen().contains("x02010   not shown yet");
    bench.strike("v");
    assert!(marked(&bench), "{}", bench.screen());
    bench.strike("Esc L f \"x02010\" Enter Delete");
    assert!(bench.notice().ends_with("this lesson still has it; u undoes"), "{}", bench.notice());
    bench.strike("Delete");
    assert_eq!(bench.notice(), "Am7 deleted from this lesson; u undoes");
    assert!(bench.lesson().voicings.iter().all(|voicing| voicing.shape.compact() != "x02010"));
    bench.strike("u");
    assert_eq!(bench.notice(), "undone: voicing deleted from the lesson");
    assert_eq!(bench.lesson(), &before);
}

#[test]
fn a_voicing_that_segments_show_is_deleted_only_after_a_question_that_names_them() {
    let mut bench = Bench::small((100, 30));
    bench.strike("F s \"x02010\" Enter v L f \"x02010\" Enter Delete Delete");
    assert!(bench.screen().contains("Delete Am7 from this lesson?"), "{}", bench.screen());
    assert!(bench.screen().contains("It is shown in segment 1 \"Hello\"."), "{}", bench.screen());
    let before = bench.lesson().clone();
    // The choice that deletes nothing comes first.
    bench.strike("Enter");
    assert_eq!(bench.lesson(), &before);
    bench.strike("Delete Down Enter");
    let gone = before.voicings.iter().find(|voicing| voicing.shape.compact() == "x02010").unwrap().id;
    check_no_link_to(bench.lesson(), gone.into());
    assert_eq!(bench.lesson().voicings.len(), before.voicings.len() - 1);
    bench.strike("u");
    assert_eq!(bench.lesson(), &before);
}

/// What is put on the fretboard from the library is the lesson's own voicing, where it has it.
#[test]
fn a_voicing_put_on_the_fretboard_from_the_library_is_known_there() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down");
    let shown = bench.lesson().segments[1].voicings.clone();
    let shape = bench.lesson().voicing(shown[1]).unwrap().shape.compact();
    bench.strike(&format!("L f \"{shape}\" Enter Enter D"));
    assert_eq!(bench.lesson().segments[1].voicings, shown[..1], "{}", bench.notice());
    bench.strike("L Enter D");
    assert!(
        bench.notice().starts_with("this segment does not show that voicing; Delete in the library"),
        "{}",
        bench.notice()
    );
}

#[test]
fn an_instrument_that_no_tuning_is_for_is_found_and_deleted() {
    let mut lesson = small_lesson();
    let mut ukulele = lesson.instruments[0].clone();
    (ukulele.id.0, ukulele.body.name, ukulele.body.strings) = (7, "ukulele".to_owned(), 4);
    lesson.instruments.push(ukulele);
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("w");
    assert!(bench.screen().contains("no tuning is for it"), "{}", bench.screen());
    for _ in 0..6 {
        bench.strike("W Down");
    }
    bench.strike("Esc");
    assert_eq!(bench.lesson().instruments, small_lesson().instruments);
}
