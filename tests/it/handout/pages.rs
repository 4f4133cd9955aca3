//! What holds for every page, whatever the lesson says.

use std::path::Path;

use fingerpost::instrument::neck::Fret;
use fingerpost::instrument::tuning::Capo;
use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::id::VoicingId;
use fingerpost::lesson::music::Bar;
use fingerpost::store::lesson_file;
use fingerpost::tab::handout::options::{Columns, HandoutOptions, SegmentPick, TalkingPoints, UnusedMusic};
use fingerpost::tab::handout::{Handout, handout};
use fingerpost::text::charset::Charset;
use fingerpost::text::paper::Paper;
use proptest::prelude::*;
use unicode_width::UnicodeWidthStr;

use super::{check_order, lesson, number_of, setup, text, voicing};
use crate::arbitrary::any_lesson;

#[test]
fn escapes_from_a_lesson_never_reach_the_paper() {
    let mut lesson = lesson();
    let trap = "a\u{1b}]0;x\u{7}\u{9b}2J\u{c}\u{202e}b\nc".to_owned();
    lesson.header.title = trap.clone();
    lesson.header.credit = trap.clone();
    lesson.pieces[0].notes = trap.clone();
    lesson.setups[0].name = trap.clone();
    lesson.passages[0].title = trap.clone();
    lesson.voicings[0].readings = vec![trap.clone()];
    lesson.segments[1].talking_points = vec![trap.clone()];
    lesson.voicings[0].notes = trap.clone();
    lesson.voicings[0].readings.push(trap.clone());
    lesson.header.author = trap.clone();
    lesson.header.series = trap.clone();
    lesson.pieces[0].title = trap.clone();
    lesson.pieces[0].credit = trap.clone();
    lesson.instruments[0].body.name = trap.clone();
    lesson.passages[0].bars[0].voices[0].0[0].chord = Some(trap.clone());
    lesson.passages[0].bars[0].voices[0].0[0].text = Some(trap);
    for charset in [Charset::Utf8, Charset::Ascii] {
        let options = HandoutOptions { charset, talking_points: TalkingPoints::Print, ..HandoutOptions::default() };
        check_pages(&handout(&lesson, &options), &options).unwrap();
    }
}

#[test]
fn wide_and_endless_text_keeps_to_the_page() {
    let mut lesson = lesson();
    let words = "路地裏の 🎸👩\u{200d}🎤 e\u{301}tude ﷽ Ünïcödé ".repeat(120);
    lesson.header.title = words.clone();
    lesson.header.author = words.replace(' ', "");
    lesson.header.rights = words.clone();
    lesson.pieces[0].title = words.clone();
    lesson.pieces[0].notes = words.repeat(3);
    lesson.setups[0].tone = words.clone();
    lesson.segments[1].title = words.clone();
    lesson.passages[0].title = words.clone();
    lesson.voicings[0].notes = words.clone();
    lesson.voicings[0].readings = vec![words.clone(), words];
    lesson.setups[0].capo =
        Some(Capo { fret: Fret::new(36).unwrap(), strings: (1..=12).rev().step_by(2).map(number_of).collect() });
    for (columns, charset) in [(40, Charset::Utf8), (40, Charset::Ascii), (41, Charset::Utf8), (200, Charset::Utf8)] {
        let options = HandoutOptions { columns: Columns::new(columns), charset, ..HandoutOptions::default() };
        check_pages(&handout(&lesson, &options), &options).unwrap();
    }
}

#[test]
fn unusual_instruments_and_lengths_keep_to_the_page() {
    let tunings = ["E3 E2 A3 A2 D4 D3 G4 G3 B3 B3 E4 E4", "G2 D3 B3", "G4 D3 G3 B3 D4"];
    for tuning in tunings {
        let mut lesson = lesson();
        let strings = tuning.split_whitespace().count();
        lesson.instruments[0].body.strings = strings as u8;
        lesson.setups[1] = setup(2, "odd", tuning, Some(2));
        lesson.voicings[0] = voicing(1, &"Cmaj13#11/".repeat(6), &"12 ".repeat(strings));
        lesson.voicings[1].readings = vec![];
        lesson.passages[1].bars = vec![lesson.passages[1].bars[0].clone(); 300];
        lesson.passages[1].bars[7] = Bar::default();
        lesson.passages[1].bars[8].voices[0].0[0].chord = Some("any name that is sixty characters long ".repeat(2));
        for (columns, charset) in [(40, Charset::Utf8), (50, Charset::Ascii), (120, Charset::Utf8)] {
            let options = HandoutOptions { columns: Columns::new(columns), charset, ..HandoutOptions::default() };
            let handout = handout(&lesson, &options);
            check_pages(&handout, &options).unwrap();
            for line in handout.pages.iter().filter_map(|page| page.lines.last()) {
                assert!(!line.starts_with(['═', '=']), "a heading alone at the foot: {line}");
            }
        }
        lesson.segments.clear();
        check_order(
            &text(&lesson, &HandoutOptions::default()),
            &["══ Wash Day ══", "══ Also in this", "check the law"],
        );
        lesson.pieces.clear();
        check_order(&text(&lesson, &HandoutOptions::default()), &["══ Two small pieces ══", "check the law"]);
    }
}

#[test]
fn no_sheet_of_a_demo_is_wasted_and_no_setup_parted_from_its_chords() {
    for name in ["funk-rhythm", "dadgad-fingerstyle", "ukulele-strum"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-lessons").join(format!("{name}.lesson.ron"));
        let lesson = lesson_file::load(&path).unwrap_or_else(|error| panic!("{}", error.report())).lesson;
        for paper in [Paper::A4, Paper::Letter] {
            let pages = handout(&lesson, &HandoutOptions { paper, ..HandoutOptions::default() }).pages;
            assert!(!pages.last().unwrap().lines[3].contains("Take care"), "{name}, {paper:?}: the cautions are alone");
            for page in pages {
                let last = page.lines.last().unwrap();
                assert!(!last.starts_with('└'), "{name}, {paper:?}: {}", page.lines[0]);
            }
        }
    }
}

/// However much stands before it: the box, the chords and the first line of tab that needs them fit on one page.
#[test]
fn no_page_is_turned_between_tuning_chords_and_the_tab_that_needs_them() {
    let mut lesson = lesson();
    for number in 3..9 {
        lesson.voicings.push(voicing(number, "Am7", "x 0 2 0 1 0"));
    }
    // Two rows of chords for one piece, one for the other, and lines of tab that go on for pages.
    lesson.segments[1].voicings = (1..9).map(VoicingId).collect();
    lesson.segments[2].voicings = vec![VoicingId(1)];
    for passage in &mut lesson.passages {
        passage.bars = passage.bars.iter().cycle().take(30).cloned().collect();
    }
    let opening = lesson.segments[0].clone();
    for before in 0..64 {
        let mut lesson = lesson.clone();
        lesson.segments.splice(0..0, std::iter::repeat_n(opening.clone(), before));
        for paper in [Paper::A4, Paper::Letter] {
            let pages = handout(&lesson, &HandoutOptions { paper, ..HandoutOptions::default() }).pages;
            for (number, page) in pages.iter().enumerate() {
                let mut lines = page.lines.iter().rev();
                let heading =
                    lines.find(|line| line.starts_with("══ ") || line.starts_with("── ")).map_or("", String::as_str);
                let ends_well = !heading.starts_with("── Chords")
                    && !heading.contains(" Wash Day ")
                    && !heading.contains(" Lamp Oil ");
                assert!(ends_well, "{before} segments before, {paper:?}, page {}: {heading}", number + 1);
            }
        }
    }
}

#[test]
fn a_tall_box_begins_under_its_heading() {
    let mut lesson = lesson();
    lesson.pieces[1].notes = "slow and steady ".repeat(400);
    let pages = handout(&lesson, &HandoutOptions::default()).pages;
    let page = pages.iter().find(|page| page.lines.iter().any(|line| line.contains("══ Lamp Oil ══"))).unwrap();
    assert!(page.lines.last().unwrap().contains("slow and steady"), "{:?}", page.lines);
}

#[test]
fn an_empty_lesson_has_a_page() {
    let handout = handout(&Lesson::default(), &HandoutOptions::default());
    assert_eq!(handout.pages.len(), 1);
    check_order(&handout.to_text(), &["page 1 of 1", "Untitled lesson", "stop when something hurts"]);
}

/// Checks what holds for every page: its size, its number, nothing that acts, nothing at line ends.
fn check_pages(handout: &Handout, options: &HandoutOptions) -> Result<(), TestCaseError> {
    let count = handout.pages.len();
    prop_assert!(count > 0);
    for (place, page) in handout.pages.iter().enumerate() {
        prop_assert!(page.lines.len() <= options.paper.lines(), "page {} has {} lines", place + 1, page.lines.len());
        let number = format!("page {} of {count}", place + 1);
        prop_assert!(page.lines.first().is_some_and(|line| line.ends_with(&number)), "{:?}", page.lines.first());
        prop_assert!(page.lines.get(3).is_none_or(|line| !line.is_empty()), "page {} begins with a gap", place + 1);
        for line in &page.lines {
            prop_assert!(line.width() <= options.width(), "{} columns: {line:?}", line.width());
            prop_assert!(!line.ends_with(char::is_whitespace), "{line:?}");
            prop_assert!(!line.chars().any(char::is_control), "{line:?}");
            prop_assert!(options.charset == Charset::Utf8 || line.is_ascii(), "{line:?}");
        }
    }
    prop_assert_eq!(handout.to_text().matches('\u{c}').count(), count - 1);
    Ok(())
}

fn any_options() -> impl Strategy<Value = HandoutOptions> {
    let columns = proptest::option::of(Columns::RANGE);
    (columns, any::<bool>(), any::<bool>(), any::<bool>(), any::<bool>()).prop_map(
        |(columns, letter, ascii, points, unused)| HandoutOptions {
            paper: if letter { Paper::Letter } else { Paper::A4 },
            columns: columns.and_then(Columns::new),
            charset: if ascii { Charset::Ascii } else { Charset::Utf8 },
            segments: SegmentPick::All,
            talking_points: if points { TalkingPoints::Print } else { TalkingPoints::LeaveOut },
            unused: if unused { UnusedMusic::Print } else { UnusedMusic::LeaveOut },
            ..HandoutOptions::default()
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn every_page_keeps_to_its_size_and_charset(lesson in any_lesson(), options in any_options()) {
        check_pages(&handout(&lesson, &options), &options)?;
    }
}
