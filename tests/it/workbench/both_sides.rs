//! What was changed here and in the file as well: both versions side by side, and one of them chosen for each thing.

use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::edit::{Edit, ListEdit};
use fingerpost::lesson::id::SegmentId;
use fingerpost::workbench::messages::effect::{Effect, FileEffect};
use fingerpost::workbench::messages::message::Message;
use ratatui::style::Modifier;

use super::bench::{Bench, small_lesson};

/// The small lesson, of which `versions` wait that were changed on both sides.
fn waiting(size: (u16, u16), versions: Vec<Edit>) -> Bench {
    let mut bench = Bench::small(size);
    let mut opened = bench.opened();
    opened.apart = versions;
    bench.send(Message::Opened(Ok(Box::new(opened))));
    bench
}

/// The version of segment 2 with this title and these talking points.
fn segment(title: &str, points: &[&str]) -> Edit {
    let mut mine = small_lesson().segments[1].clone();
    mine.title = title.to_owned();
    mine.talking_points = points.iter().map(ToString::to_string).collect();
    Edit::Segments(ListEdit::Replace(mine))
}

/// A version of the header, of one thing in each list, of one that the file has no more and of one that is out here.
fn one_of_each() -> Vec<Edit> {
    let Lesson { header, instruments, setups, pieces, passages, voicings, segments, .. } = small_lesson();
    let (mut header, mut instrument, mut setup) = (header, instruments[0].clone(), setups[1].clone());
    let (mut piece, mut passage, mut voicing) = (pieces[0].clone(), passages[0].clone(), voicings[2].clone());
    header.title = "Porch chords, mine".to_owned();
    instrument.body.name = "parlour guitar".to_owned();
    setup.capo = None;
    piece.credit = "Nan Oller".to_owned();
    passage.bars.swap(0, 1);
    voicing.doubts.clear();
    let mut gone = segments[0].clone();
    gone.id = SegmentId(77);
    gone.title = "The bridge".to_owned();
    vec![
        Edit::Header(header),
        Edit::Instruments(ListEdit::Replace(instrument)),
        Edit::Setups(ListEdit::Replace(setup)),
        Edit::Pieces(ListEdit::Replace(piece)),
        Edit::Passages(ListEdit::Replace(passage)),
        Edit::Voicings(ListEdit::Replace(voicing)),
        segment("Two shapes, slowly", &["Leave string 6 alone"]),
        Edit::Segments(ListEdit::Replace(gone)),
        Edit::Segments(ListEdit::Remove(SegmentId(4))),
    ]
}

fn apart(bench: &Bench) -> &[Edit] {
    bench.desk().lesson.undecided().waiting()
}

#[track_caller]
fn line_with(bench: &Bench, words: &str) -> String {
    let screen = bench.screen();
    screen.lines().find(|line| line.contains(words)).unwrap_or_else(|| panic!("no {words:?} on\n{screen}")).to_owned()
}

#[test]
fn both_versions_stand_beside_each_other_under_what_they_are_about() {
    let points = ["The third finger stays", "Leave string 6 alone, always", "Breathe"];
    let bench = waiting((80, 24), vec![segment("Two shapes, slowly", &points)]);
    insta::assert_snapshot!(bench.screen().lines().skip(4).take(13).collect::<Vec<_>>().join("\n"), @r#"
    ┌─ Changed on both sides, 1 of 1 left ─────────────────────────────────────────┐
    │ In the file                          │ Yours                                 │
    │ segment 2 "Two shapes": title                                                │
    │ Two shapes                           │ Two shapes, slowly                    │
    │ segment 2 "Two shapes": talking point 2                                      │
    │ Leave string 6 alone                 │ Leave string 6 alone, always          │
    │ segment 2 "Two shapes": talking point 3                                      │
    │ nothing                              │ Breathe                               │
    │ ──────────────────────────────────────────────────────────────────────────── │
    │ ▸ keep what is in the file                                                   │
    │   use yours instead                                                          │
    │   decide later; both versions stay                                           │
    └──────────────────────────────────────────────────────────────────────────────┘
    "#);
}

#[test]
fn only_the_words_that_differ_are_marked() {
    let bench = waiting((80, 24), vec![segment("Two new shapes", &["The third finger stays", "Leave string 6 alone"])]);
    let (buffer, screen) = (bench.buffer(), bench.screen());
    let y = screen.lines().position(|line| line.contains("Two new shapes")).unwrap();
    let line: Vec<char> = screen.lines().nth(y).unwrap().chars().collect();
    let text: String = line.iter().collect();
    let at = |words: &str| text[..text.find(words).unwrap()].chars().count();
    let is_bold =
        |x: usize| buffer[(u16::try_from(x).unwrap(), u16::try_from(y).unwrap())].modifier.contains(Modifier::BOLD);
    let new = at("new");
    assert!(is_bold(new) && is_bold(new + 2) && !is_bold(new - 4) && !is_bold(new + 4), "{text}");
}

#[test]
fn where_two_columns_have_no_room_one_version_stands_under_the_other() {
    let bench =
        waiting((60, 24), vec![segment("Two shapes, slowly", &["The third finger stays", "Leave string 6 alone"])]);
    let screen = bench.screen();
    let lines: Vec<&str> = screen.lines().map(|line| line.trim_matches(['│', ' '])).collect();
    let first = lines.iter().position(|line| *line == "segment 2 \"Two shapes\": title").expect(&screen);
    let wanted = ["In the file", "Two shapes", "Yours", "Two shapes, slowly"];
    assert_eq!(lines[first + 1..first + 5], wanted, "{screen}");
}

#[test]
fn bars_that_differ_stand_beside_each_other_as_tab() {
    let mut passage = small_lesson().passages[0].clone();
    passage.bars[0].voices[0].0[0].notes[0].fret =
        "5".parse::<u8>().ok().and_then(fingerpost::instrument::neck::Fret::new).unwrap();
    let bench = waiting((120, 36), vec![Edit::Passages(ListEdit::Replace(passage))]);
    line_with(&bench, "passage \"Turnaround\": bar 1 ");
    let string = line_with(&bench, "A│");
    let (in_file, yours) = string.split_at(string.char_indices().nth(string.chars().count() / 2).unwrap().0);
    assert!(in_file.contains("3") && !in_file.contains("5") && yours.contains("5"), "{string}");
}

#[test]
fn what_has_no_room_is_scrolled_to_and_the_choice_stays_in_view() {
    let script: Vec<String> = (0..400).map(|number| format!("word{number}")).collect();
    let mut bench = waiting((80, 24), vec![segment("Two shapes", &[&script.join(" "), "Leave string 6 alone"])]);
    assert!(!bench.screen().contains("word399"), "{}", bench.screen());
    line_with(&bench, "PageUp and PageDown show the rest");
    for _ in 0..40 {
        line_with(&bench, "▸ keep what is in the file");
        bench.strike("PageDown");
    }
    line_with(&bench, "word399");
    bench.resize(120, 36);
    line_with(&bench, "word399");
    bench.strike("PageUp PageUp PageUp PageUp PageUp PageUp Down Enter");
    assert_eq!(bench.lesson().segments[1].talking_points[0], script.join(" "));
}

#[test]
fn each_thing_is_taken_over_by_itself_and_undo_has_it_wait_again() {
    let versions = one_of_each();
    let mut bench = waiting((100, 30), versions.clone());
    let before = bench.lesson().clone();
    for left in (1..=versions.len()).rev() {
        line_with(&bench, &format!("Changed on both sides, {left} of 9 left"));
        let version = apart(&bench)[0].clone();
        bench.strike("Down Enter");
        assert!(bench.lesson().has_taken_over(&version), "{version:?}");
        assert_eq!(bench.wanted.pop(), Some(Effect::Files(FileEffect::KeepApart(apart(&bench).to_vec()))));
    }
    assert!(apart(&bench).is_empty() && bench.state.overlay.is_none(), "{}", bench.screen());
    for left in 1..=versions.len() {
        bench.strike("u");
        assert_eq!(bench.notice(), format!("undone: your version used; changed on both sides: {left} of 9 left"));
        assert_eq!(apart(&bench), &versions[versions.len() - left..]);
        assert_eq!(bench.wanted.pop(), Some(Effect::Files(FileEffect::KeepApart(apart(&bench).to_vec()))));
    }
    assert_eq!(*bench.lesson(), before);
    bench.strike("U");
    assert_eq!(apart(&bench), &versions[1..]);
}

#[test]
fn keeping_what_is_in_the_file_can_be_undone_as_well() {
    let versions = vec![segment("mine", &[]), Edit::Segments(ListEdit::Remove(SegmentId(4)))];
    let mut bench = waiting((100, 30), versions.clone());
    let before = bench.lesson().clone();
    bench.strike("Enter");
    assert_eq!(bench.notice(), "kept as it is in the file; 1 of 2 left");
    line_with(&bench, "Changed on both sides, 1 of 2 left");
    bench.strike("Esc u");
    assert_eq!(bench.notice(), "undone: kept as it is in the file; changed on both sides: 2 of 2 left");
    assert_eq!((apart(&bench), bench.lesson()), (&versions[..], &before));
    bench.strike("U");
    assert_eq!(apart(&bench), &versions[1..]);
}

#[test]
fn what_one_side_has_taken_out_is_shown_beside_what_the_other_has() {
    let mut bench = waiting((100, 30), one_of_each().split_off(7));
    let row = line_with(&bench, "deleted");
    assert!(row.find("deleted").unwrap() < row.find("changed").unwrap(), "{row}");
    line_with(&bench, "The bridge");
    bench.strike("Enter");
    let row = line_with(&bench, "deleted");
    assert!(row.find("changed").unwrap() < row.find("deleted").unwrap(), "{row}");
    line_with(&bench, "segment 4 \"Goodbye\": title");
}

#[test]
fn a_click_takes_the_line_that_it_hits() {
    let mut bench = waiting((80, 24), vec![segment("mine", &[])]);
    let screen = bench.screen();
    let y = screen.lines().position(|line| line.contains("use yours instead")).unwrap();
    let place = ratatui::layout::Position { x: 12, y: u16::try_from(y).unwrap() };
    let click = || Message::Mouse(fingerpost::workbench::messages::message::Mouse::Click(place));
    bench.send(click());
    bench.send(click());
    assert_eq!(bench.lesson().segments[1].title, "mine");
}

#[test]
fn what_was_changed_on_both_sides_waits_where_nobody_decides() {
    let mut bench = waiting((100, 30), vec![segment("mine", &[])]);
    let before = bench.lesson().clone();
    bench.strike("Esc Shift+F9");
    line_with(&bench, "Changed on both sides, 1 of 1 left");
    bench.strike("Down Down Enter");
    assert_eq!((apart(&bench).len(), bench.lesson()), (1, &before));
    assert!(!bench.wanted.iter().any(|effect| matches!(effect, Effect::Files(FileEffect::KeepApart(_)))));
    bench.strike("Shift+F9 Enter");
    assert_eq!((apart(&bench).len(), bench.lesson()), (0, &before));
    assert_eq!(bench.wanted.pop(), Some(Effect::Files(FileEffect::KeepApart(Vec::new()))));
    bench.strike("Shift+F9");
    assert_eq!(bench.notice(), "nothing was changed on both sides");
}
