//! Room on the screen: what a list does not show it says, and lines go to the panes that have something to show.

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::lesson::document::{Lesson, Segment, SegmentKind, Voicing};
use fingerpost::lesson::id::{SegmentId, VoicingId};
use fingerpost::lesson::music::{Bar, Event, Note, Voice};
use fingerpost::lesson::time::{Length, VideoLength};
use fingerpost::workbench::boxes::choice::ChoiceBox;
use fingerpost::workbench::boxes::jump::Jump;
use fingerpost::workbench::boxes::list::{ListBox, ListLine};
use fingerpost::workbench::boxes::marks::{MarkLine, MarksBox};
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::boxes::points::PointsBox;
use fingerpost::workbench::boxes::side_by_side::{SideBySide, VersionCell, VersionRow};
use fingerpost::workbench::boxes::typed_line::EntryBox;
use fingerpost::workbench::desk::layout::Layout;
use fingerpost::workbench::drawing::unseen::Counted;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::panes::start::pane::StartPane;
use fingerpost::workbench::questions::pick::Pick;
use fingerpost::workbench::questions::program::{AfterSave, ProgramQuestion};
use fingerpost::workbench::questions::timeline::{Marked, SegmentText};
use fingerpost::workbench::typing::lines::TypedLines;
use proptest::prelude::*;

use super::bench::{Bench, small_lesson};
use super::spare_lines::fault;
use crate::arbitrary::{lesson_from, numbered};

const SIZES: [(u16, u16); 3] = [(80, 24), (120, 36), (200, 50)];

/// How many lines each list of the tests has.
const MANY: usize = 60;

/// Lines that can be told apart on the screen: `row-01`, `row-02` and so on.
fn rows() -> Vec<String> {
    (1..=MANY).map(|number| format!("row-{number:02}")).collect()
}

/// A lesson with many segments and voicings and much music.
fn crowded_lesson() -> Lesson {
    let mut lesson = small_lesson();
    let mut voicing = lesson.voicings[0].clone();
    lesson.voicings = rows()
        .into_iter()
        .zip(1..)
        .map(|(name, number)| {
            voicing.shape = format!("x 3 {} {} x x", number % 8, number / 8).parse().unwrap();
            Voicing { id: VoicingId(number), readings: vec![name], tags: Vec::new(), ..voicing.clone() }
        })
        .collect();
    let bar = lesson.passages[0].bars[0].clone();
    lesson.passages[0].bars = vec![bar; 200];
    let segment = Segment { talking_points: Vec::new(), voicings: Vec::new(), ..lesson.segments[1].clone() };
    lesson.segments = (1..=60)
        .map(|number| Segment { id: SegmentId(number), title: format!("row-{number:02}"), ..segment.clone() })
        .collect();
    lesson
}

/// The numbers of the rows in view, in order.
fn seen(text: &str) -> Vec<usize> {
    let found = text.split("row-").skip(1).filter_map(|rest| rest.get(..2)?.parse().ok());
    let mut numbers: Vec<usize> = found.collect();
    numbers.dedup();
    numbers
}

/// What signs count, one of it and more.
const COUNTED: [&str; 15] = [
    "line", "bar", "sign", "segment", "voicing", "reading", "string", "action", "choice", "answer", "problem",
    "message", "guesse", "guess", "detail",
];

/// The number behind an arrow, and whether the sign says of what; 0 where there is none.
#[track_caller]
fn sign(text: &str, arrow: &str) -> usize {
    let signs: Vec<&str> = text.split(arrow).skip(1).collect();
    assert!(signs.len() < 2, "more than one {arrow}\n{text}");
    let Some(rest) = signs.first() else { return 0 };
    let words: Vec<&str> = rest.split_whitespace().take(3).collect();
    let of_what = words.get(2).map(|word| word.trim_end_matches(','));
    let line = text.lines().find(|line| line.contains(arrow)).unwrap();
    let is_said = of_what.is_some_and(|word| COUNTED.contains(&word.strip_suffix('s').unwrap_or(word)))
        || ["Voicings ", "Readings "].iter().any(|title| line.trim_start_matches(['▸', ' ']).starts_with(title));
    // Where both signs stand side by side, the second one says it for both.
    assert!(words[1] == "↓" || words[1] == "more" && is_said, "{arrow}{rest}: of what?\n{text}");
    words[0].parse().unwrap()
}

/// What is in view and what the signs say make the whole list.
#[track_caller]
fn is_complete(text: &str) {
    let seen = seen(text);
    let (above, below) = (sign(text, "↑ "), sign(text, "↓ "));
    assert!(!seen.is_empty() && seen.len() < MANY, "{text}");
    assert_eq!(above + seen.len() + below, MANY, "{text}");
    assert_eq!(seen.first(), Some(&(above + 1)), "{text}");
}

/// The lines of the screen from the upper to the lower edge of the box on it.
pub fn box_of(bench: &Bench) -> String {
    let screen = bench.screen();
    let lines: Vec<&str> = screen.lines().collect();
    let top = lines.iter().position(|line| line.contains('┌')).expect(&screen);
    let bottom = lines.iter().rposition(|line| line.contains('└')).expect(&screen);
    let column = |line: &str, corner: char| line.chars().position(|sign| sign == corner).expect(&screen);
    let (left, right) = (column(lines[top], '┌'), column(lines[top], '┐'));
    let cropped = lines[top..=bottom].iter().map(|line| line.chars().take(right + 1).skip(left).collect::<String>());
    cropped.collect::<Vec<String>>().join("\n")
}

/// The lines of a list alone: the lanes of the timeline hold titles too.
fn list_of(pane: &str) -> String {
    let lines = pane.lines().enumerate();
    lines.filter(|(line, _)| *line != 1).map(|(_, text)| text).collect::<Vec<&str>>().join("\n")
}

#[test]
fn panes_say_how_many_rows_are_not_in_view() {
    for size in SIZES {
        for (focus, script) in
            [(Focus::Timeline, "T"), (Focus::Timeline, "T z"), (Focus::Library, "L"), (Focus::Library, "L z")]
        {
            let mut bench = Bench::on(crowded_lesson(), size);
            bench.strike(script);
            for key in ["", "End", "Up Up Up", "PageUp", "PageUp", "Home"] {
                bench.strike(key);
                let pane = bench.pane(focus);
                match (focus, script) {
                    (Focus::Timeline, _) => is_complete(&list_of(&pane)),
                    // Grids of which only the upper part is in view count as not seen.
                    (_, "L z") => {
                        let (above, below) = (sign(&pane, "↑ "), sign(&pane, "↓ "));
                        assert!(above + below < MANY && above + seen(&pane).len() + below >= MANY, "{pane}");
                        assert_eq!(seen(&pane).first(), Some(&(above + 1)), "{pane}");
                    }
                    _ => is_complete(&pane),
                }
            }
        }
    }
}

#[test]
fn the_last_voicing_in_view_shows_its_shape() {
    for size in [(100, 30), (120, 36), (200, 50)] {
        let mut bench = Bench::on(crowded_lesson(), size);
        bench.strike(&format!("L {}", "Down ".repeat(30)));
        let pane = bench.pane(Focus::Library);
        let selected = pane.lines().skip(1).find(|line| line.starts_with('▸')).unwrap();
        assert!(selected.contains("row-") && selected.contains("x 3 "), "{pane}");
        assert_eq!(pane.lines().next_back(), Some(selected), "{pane}");
    }
}

#[test]
fn the_goal_stays_over_a_timeline_that_goes_on_above() {
    for size in SIZES {
        let mut bench = Bench::on(crowded_lesson(), size);
        bench.strike("T G \"70:00\" Enter End");
        let pane = bench.pane(Focus::Timeline);
        let heading = pane.lines().next().unwrap();
        assert!(heading.contains("goal 1:10:00") && !heading.contains('…'), "{heading}");
        assert!(sign(heading, "↑ ") > 0, "{heading}");
    }
}

#[test]
fn the_start_screen_says_how_many_lessons_are_not_in_view() {
    for size in SIZES {
        let mut bench = Bench::start_screen(size);
        let recent = rows().into_iter().map(|row| (row.clone(), format!("/{row}.lesson.ron").into())).collect();
        bench.state.start = StartPane::new(recent, Vec::new());
        bench.resize(size.0, size.1);
        let screen = bench.screen();
        let first: Vec<usize> = seen(&screen);
        // Three lines that are no lessons stand behind them.
        assert_eq!(first.len() + sign(&screen, "↓ "), MANY + 3, "{screen}");
        bench.strike(&"Down ".repeat(MANY + 3));
        let screen = bench.screen();
        assert_eq!((seen(&screen).len() + sign(&screen, "↑ "), sign(&screen, "↓ ")), (MANY, 0), "{screen}");
    }
}

/// Boxes of every kind with many lines, each with the keys that go through it.
fn crowded_boxes() -> Vec<(Overlay, &'static str, &'static str)> {
    let segment = small_lesson().segments[0].id;
    let picks = || rows().into_iter().map(|row| (row, Pick::Nothing)).collect::<Vec<_>>();
    let list_lines =
        rows().into_iter().map(|text| ListLine { head: "key".into(), text, ..ListLine::default() }).collect();
    let voicing = Marked::Voicing(VoicingId(1));
    let marks = rows().into_iter().map(|text| MarkLine { text, thing: voicing, marked: false }).collect();
    let version = |row: String| VersionRow { about: row, in_file: VersionCell::Nothing, yours: VersionCell::Nothing };
    let entry = EntryBox::new(ProgramQuestion::SaveWhere(AfterSave::Stay), "Question", "Advice", "").offering(rows());
    vec![
        (Overlay::Choice(ChoiceBox::new("Title", "", picks())), "PageDown", "End"),
        (Overlay::Choice(ChoiceBox::new("Title", "advice ".repeat(400), picks())), "PageDown", "End"),
        (
            Overlay::Marks(MarksBox {
                segment,
                title: "Title".into(),
                lines: marks,
                selected: 0,
                jump: Jump::default(),
            }),
            "PageDown",
            "End",
        ),
        (
            Overlay::List(ListBox::new("Title", Counted::Lines, list_lines)),
            "PageDown",
            "PageDown PageDown PageDown PageDown PageDown",
        ),
        (Overlay::Entry(entry), "Down Down Down", "Up Up Up Up Up Up Up Up"),
        (
            Overlay::Points(PointsBox {
                segment,
                what: SegmentText::Points,
                title: "Title".into(),
                lines: TypedLines::new(&rows()),
                before: rows(),
            }),
            "Up Up Up Up Up Up Up Up Up Up Up Up Up Up Up Up Up Up Up Up Up Up Up",
            "",
        ),
        (
            Overlay::Choice(ChoiceBox::new(
                "Title",
                fingerpost::workbench::boxes::choice::Advice::SideBySide(Box::new(SideBySide::new(
                    rows().into_iter().map(version).collect(),
                    "keys",
                ))),
                vec![("choose".into(), Pick::Nothing)],
            )),
            "PageDown",
            "PageDown PageDown",
        ),
    ]
}

#[test]
fn boxes_say_how_many_lines_are_not_in_view() {
    for size in SIZES {
        for (place, (overlay, on, to_end)) in crowded_boxes().into_iter().enumerate() {
            let mut bench = Bench::small(size);
            bench.state.lay_over(overlay);
            bench.resize(size.0, size.1);
            for keys in ["", on, to_end] {
                bench.strike(keys);
                let text = box_of(&bench);
                if place == crowded_boxes().len() - 1 {
                    // Each row takes two lines, which are counted.
                    assert!(sign(&text, "↑ ") + sign(&text, "↓ ") + 2 * seen(&text).len() + 1 >= 2 * MANY, "{text}");
                } else {
                    // The offers of a line to type stand under it, one of them in it.
                    let is_entry = matches!(bench.state.overlay, Some(Overlay::Entry(_)));
                    is_complete(&if is_entry { list_of(&text) } else { text });
                }
            }
        }
    }
}

#[test]
fn search_help_and_preview_say_that_they_go_on() {
    for size in SIZES {
        for script in ["Ctrl+F", "? \"e\""] {
            let mut bench = Bench::on(crowded_lesson(), size);
            bench.strike(script);
            // The list of keys begins at what answers best.
            let (above, below) = (sign(&box_of(&bench), "↑ "), sign(&box_of(&bench), "↓ "));
            assert!(below > 0 && (above == 0 || script.starts_with('?')), "{}", bench.screen());
            bench.strike(&"PageDown ".repeat(60));
            assert!(sign(&box_of(&bench), "↓ ") == 0 && sign(&box_of(&bench), "↑ ") > 0, "{}", bench.screen());
        }
        let mut bench = Bench::on(crowded_lesson(), size);
        bench.strike("H");
        let whole = |screen: &str| sign(screen, "↑ ") + sign(screen, "↓ ") + usize::from(size.1) - 3;
        assert!(sign(&bench.screen(), "↓ ") > 0, "{}", bench.screen());
        let lines = whole(&bench.screen());
        bench.strike("Down Down");
        assert_eq!((whole(&bench.screen()), sign(&bench.screen(), "↑ ")), (lines, 2), "{}", bench.screen());
    }
}

#[test]
fn the_tab_says_how_many_bars_are_not_in_view() {
    for size in SIZES {
        let mut bench = Bench::on(crowded_lesson(), size);
        bench.strike("P");
        for keys in ["", "Down", "PageDown", "PageDown PageDown", "Ctrl+End", "PageUp"] {
            bench.strike(keys);
            let pane = bench.pane(Focus::Passage);
            // Whole bars in view end in a bar line of the highest string.
            let (mut bars, mut begun) = (0, None);
            for line in pane.lines().map(|line| line.trim_start_matches(['▸', ' '])) {
                if line.starts_with("e │") {
                    begun = Some(line.matches('│').count() - 1);
                } else if line.starts_with("E │") {
                    bars += begun.take().unwrap_or(0);
                }
            }
            assert_eq!(sign(&pane, "↑ ") + bars + sign(&pane, "↓ "), 200, "{keys}\n{pane}");
        }
    }
}

/// How many strings each line of tab in view has.
fn strings_in_view(pane: &str) -> Vec<usize> {
    let mut groups = vec![0];
    for line in pane.lines().skip(1) {
        let is_string = line.contains(['│', '║']);
        match groups.last_mut() {
            Some(last) if is_string => *last += 1,
            Some(0) | None => {}
            Some(_) => groups.push(0),
        }
    }
    groups.retain(|strings| *strings > 0);
    groups
}

fn lesson_for_strings(tuning: &str, bars: Vec<Bar>) -> Lesson {
    let mut lesson = small_lesson();
    lesson.setups.truncate(1);
    lesson.setups[0].tuning = tuning.parse().unwrap();
    lesson.setups[0].capo = None;
    lesson.instruments[0].body.strings = u8::try_from(tuning.split(' ').count()).unwrap();
    let passage = &mut lesson.passages[0];
    (passage.setup, passage.bars) = (None, bars);
    lesson.pieces.iter_mut().for_each(|piece| piece.setup = None);
    lesson.segments.iter_mut().for_each(|segment| segment.setup = None);
    lesson
}

fn plain_bar() -> Bar {
    let note = Note::plain(StringNumber::new(1).unwrap(), Fret::new(5).unwrap());
    let event = Event { notes: vec![note], ..Event::rest(Length::QUARTER) };
    Bar { voices: vec![Voice(vec![event; 4])], ..Bar::default() }
}

#[test]
fn a_line_of_tab_that_lacks_strings_says_so() {
    let tunings = ["E1 A1 D2 G2", "E2 A2 D3 G3 B3 E4", "B1 E2 A2 D3 G3 B3 E4", "E2 E3 A2 A3 D3 D4 G3 G4 B3 B3 E4 E4"];
    for (size, tuning) in SIZES.into_iter().flat_map(|size| tunings.map(|tuning| (size, tuning))) {
        for names in [0, 1, 2] {
            let mut bar = plain_bar();
            let event = &mut bar.voices[0].0[0];
            (event.chord, event.text) =
                ((names > 0).then(|| "Am".to_owned()), (names > 1).then(|| "let it breathe".to_owned()));
            let strings = tuning.split(' ').count();
            let mut bench = Bench::on(lesson_for_strings(tuning, vec![bar; 40]), size);
            bench.strike("Down P");
            for key in ["", "PageDown", "Ctrl+Down", "Ctrl+Down", "Ctrl+Down", "PageDown", "Ctrl+Up", "End", "PageUp"] {
                bench.strike(key);
                let pane = bench.pane(Focus::Passage);
                let is_cut = strings_in_view(&pane).iter().any(|seen| *seen != strings);
                assert_eq!(pane.contains(" and strings"), is_cut, "{size:?} {tuning} after {key}\n{pane}");
            }
        }
    }
}

#[test]
fn a_line_of_tab_that_lacks_one_string_takes_the_empty_line_over_it() {
    let mut bench = Bench::on(lesson_for_strings("E2 A2 D3 G3 B3 E4", vec![plain_bar(); 40]), (80, 24));
    bench.strike("Down P");
    let pane = bench.pane(Focus::Passage);
    assert_eq!(strings_in_view(&pane), [6, 6], "{pane}");
}

#[test]
fn a_system_that_has_no_room_is_seen_by_its_strings() {
    let mut bench = Bench::on(crowded_lesson(), (120, 36));
    let pane = bench.pane(Focus::Passage);
    for string in ["e │", "B │", "G │", "D │", "A │", "E │"] {
        assert!(pane.contains(string), "{pane}");
    }
    bench.strike("P");
    assert!(bench.pane(Focus::Passage).contains("C   "), "all of it as soon as keys go there\n{}", bench.screen());
}

#[test]
fn strings_and_frets_beyond_the_edge_are_told_of() {
    let mut lesson = crowded_lesson();
    lesson.instruments[0].body.strings = 12;
    lesson.setups.truncate(1);
    lesson.setups[0].tuning = "E2 E3 A2 A3 D3 D4 G3 G4 B3 B3 E4 E4".parse().unwrap();
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("F Home");
    let pane = bench.pane(Focus::Fretboard);
    let strings = pane.lines().filter(|line| line.contains('┼')).count();
    assert_eq!(sign(&pane, "↑ ") + strings + sign(&pane, "↓ "), 12, "{pane}");
    assert!(strings < 12 && pane.contains("  …"), "the neck goes on\n{pane}");
    bench.strike("End");
    assert!(!bench.pane(Focus::Fretboard).contains("22  …"), "{}", bench.screen());
}

/// A lesson of any kind with so many segments, each playing one of its passages or none.
fn lesson_of(numbers: &[Vec<u16>], segments: usize, voicings: u8) -> Lesson {
    let mut lesson = lesson_from(numbers);
    let own = lesson.segments.clone();
    let new = |place: usize| {
        let id = numbered(100 + place);
        match own.get(place % own.len().max(1)) {
            Some(segment) => Segment { id, ..segment.clone() },
            None => Segment::new(id, SegmentKind::Talk, "talk", VideoLength::from_seconds(30)),
        }
    };
    lesson.segments = (0..segments).map(new).collect();
    let small = small_lesson().voicings[0].clone();
    for number in 0..voicings {
        let mut shape = small.shape.clone();
        shape.set(fingerpost::instrument::neck::StringNumber::new(1).unwrap(), Fret::new(number % 20));
        shape.set(fingerpost::instrument::neck::StringNumber::new(2).unwrap(), Fret::new(number / 20));
        lesson.voicings.push(Voicing { id: numbered(200 + usize::from(number)), shape, setup: None, ..small.clone() });
    }
    lesson
}

#[test]
fn going_through_segments_moves_no_pane_where_nobody_needs_the_lines() {
    let mut lesson = small_lesson();
    let bar = lesson.passages[0].bars[0].clone();
    lesson.passages[0].bars = vec![bar; 4];
    let mut bench = Bench::on(lesson, (200, 50));
    let before = bench.state.layout();
    for _ in 0..3 {
        bench.strike("Down");
        assert_eq!(bench.state.layout(), before, "{}", bench.screen());
    }
}

#[test]
fn a_pane_that_has_little_to_show_leaves_the_lines_to_others() {
    // Many segments, of which the first plays no passage, and many voicings.
    let mut bench = Bench::on(crowded_lesson(), (80, 24));
    bench.strike("T Home");
    let mut lesson = bench.lesson().clone();
    lesson.segments[0].passages.clear();
    let mut bench = Bench::on(lesson, (80, 24));
    bench.strike("P");
    assert_eq!(fault(&bench), None);
    assert!(seen(&list_of(&bench.pane(Focus::Timeline))).len() > 8, "{}", bench.screen());
    assert!(bench.pane(Focus::Passage).contains("chooses an"), "{}", bench.screen());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, max_shrink_iters: 40, ..ProptestConfig::default() })]

    #[test]
    fn no_pane_keeps_empty_lines_while_another_is_cut_and_none_moves_with_the_cursor_inside_a_segment(
        numbers in proptest::collection::vec(proptest::collection::vec(any::<u16>(), 0..120), 1..12),
        segments in 0usize..40,
        voicings in 0u8..40,
        size in proptest::sample::select(vec![
            (80u16, 24u16), (80, 24), (80, 40), (80, 60), (100, 30), (120, 24), (120, 36), (200, 50), (200, 60),
        ]),
    ) {
        let mut bench = Bench::on(lesson_of(&numbers, segments, voicings), size);
        let stays = |bench: &Bench, before: &Layout| bench.state.layout().as_ref() == Some(before);
        for (focus, script, moves) in [
            (Focus::Timeline, "T", "Down Down Down PageDown Up End Home Down"),
            (Focus::Passage, "P", "Right Right Down Right End PageDown Up"),
            (Focus::Fretboard, "F", "Right Right Down Home Up End"),
            (Focus::Readings, "R", "Down Down Up"),
            (Focus::Library, "L", "Down PageDown End Up Home"),
        ] {
            bench.strike(script);
            let before = bench.state.layout().unwrap();
            for key in moves.split(' ') {
                bench.strike(key);
                // In the timeline each key leads to another segment, which has other things to show.
                let goes_on = focus == Focus::Timeline || stays(&bench, &before);
                prop_assert!(goes_on, "{focus:?} {key}\n{}", bench.screen());
                let fault = fault(&bench);
                prop_assert!(fault.is_none(), "{focus:?} {key}: {}", fault.unwrap_or_default());
            }
        }
    }
}

#[test]
fn the_recording_view_cuts_nothing_of_the_tuning_while_it_has_empty_lines() {
    for size in [(80, 24), (100, 30), (120, 36), (200, 50)] {
        for name in ["standard", "standard tuning a half step down, for the low voice", &"deep and slack ".repeat(8)] {
            let mut lesson = small_lesson();
            lesson.setups[0].name = name.trim().to_owned();
            lesson.segments[0].talking_points = vec!["hello".to_owned()];
            let mut bench = Bench::on(lesson, size);
            bench.strike("Home V");
            let screen = bench.screen();
            let joined: String = screen.split_whitespace().collect::<Vec<&str>>().join(" ");
            assert!(joined.contains("records it again from there"), "{screen}");
            assert!(joined.contains(name.trim()) && joined.contains("hello"), "{size:?} {name}\n{screen}");
        }
    }
}

#[test]
fn the_recording_view_cuts_no_title_while_it_has_empty_lines() {
    for size in [(80, 24), (100, 30), (120, 36), (200, 50)] {
        for words in [4, 12, 30] {
            let mut lesson = small_lesson();
            lesson.segments[0].title = (1..=words).map(|word| format!("word{word}")).collect::<Vec<String>>().join(" ");
            lesson.segments[0].talking_points = vec!["hello".to_owned()];
            let mut bench = Bench::on(lesson, size);
            for key in ["Home V", "Space"] {
                bench.strike(key);
                let screen = bench.screen();
                let joined: String = screen.split_whitespace().collect::<Vec<&str>>().join(" ");
                assert!(
                    joined.contains(&bench.lesson().segments[0].title) && joined.contains("hello"),
                    "{size:?}\n{screen}"
                );
            }
        }
    }
}

#[test]
fn the_recording_view_says_all_of_what_comes_next_while_it_has_empty_lines() {
    for size in [(80, 24), (100, 30), (120, 36), (200, 50)] {
        for long in [4, 12, 30, 60] {
            let mut lesson = small_lesson();
            let title = "t".repeat(long);
            lesson.segments[1].title.clone_from(&title);
            lesson.segments[0].talking_points = vec!["hello".to_owned()];
            let mut bench = Bench::on(lesson, size);
            bench.strike("Home V");
            let screen = bench.screen();
            assert!(screen.contains(&format!("NEXT  2  {title}")), "{size:?}\n{screen}");
            assert!(screen.contains("walkthrough   2:00"), "{size:?}\n{screen}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_shrink_iters: 40, ..ProptestConfig::default() })]

    #[test]
    fn the_recording_view_keeps_no_empty_lines_while_its_cues_are_cut(
        numbers in proptest::collection::vec(proptest::collection::vec(any::<u16>(), 0..120), 1..12),
        segments in 1usize..12,
        points in 0usize..40,
        size in proptest::sample::select(vec![(80u16, 24u16), (80, 40), (100, 30), (120, 36), (200, 50), (200, 60)]),
    ) {
        let mut lesson = lesson_of(&numbers, segments, 0);
        lesson.segments[0].talking_points = (0..points).map(|number| format!("row-{number:02}")).collect();
        let mut bench = Bench::on(lesson, size);
        bench.strike("Home V");
        let screen = bench.screen();
        let lines: Vec<&str> = screen.lines().map(str::trim).collect();
        let next = lines.iter().rposition(|line| line.starts_with("NEXT")).expect("it says what comes next");
        let empty = lines[..next].iter().rev().take_while(|line| line.is_empty()).count();
        let is_cut = lines[..next].iter().any(|line| line.starts_with("↓ ") || line.contains("  ↓ "));
        prop_assert!(!is_cut || empty == 0, "{empty} empty lines\n{screen}");
        prop_assert!(is_cut || points == 0 || screen.contains(&format!("row-{:02}", points - 1)), "{screen}");
    }
}
