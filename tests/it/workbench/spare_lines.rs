//! No pane keeps blank lines at its foot while another pane is cut that those lines would serve.

use std::collections::BTreeMap;
use std::path::Path;

use fingerpost::lesson::document::{Lesson, PassageUse, Segment, Voicing};
use fingerpost::lesson::id::PassageId;
use fingerpost::lesson::music::Passage;
use fingerpost::store::demos::DEMOS;
use fingerpost::store::lesson_file::parse;
use fingerpost::workbench::desk::layout::Extent;
use fingerpost::workbench::keys::action::Focus;
use proptest::prelude::*;

use super::bench::{Bench, small_lesson, text_of};
use crate::arbitrary::numbered;

/// The sizes that every lesson here is looked at in.
const SIZES: [(u16, u16); 4] = [(80, 24), (100, 30), (120, 36), (200, 50)];

/// The blank lines that a pane may keep: one, or two under the strings and the names, whose frames are fixed.
const fn allowed(focus: Focus) -> usize {
    match focus {
        Focus::Timeline | Focus::Passage | Focus::Library => 1,
        Focus::Fretboard | Focus::Readings => 2,
    }
}

/// What the segments play.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Played {
    Nothing,
    OneSystem,
    ManySystems,
    /// The first nothing, the next one system, the one after it many, and so on.
    InTurn,
}

const PLAYED: [Played; 4] = [Played::Nothing, Played::OneSystem, Played::ManySystems, Played::InTurn];

/// A lesson of so many segments that play this, and so many voicings.
fn lesson_of(segments: usize, played: Played, voicings: u8) -> Lesson {
    let mut lesson = small_lesson();
    let (bar, own) = (lesson.passages[0].bars[0].clone(), lesson.passages[0].clone());
    let passage = |number: usize, bars: usize| Passage {
        id: numbered::<PassageId>(number),
        title: format!("{bars} bars"),
        bars: vec![bar.clone(); bars],
        ..own.clone()
    };
    let (short, long) = (passage(91, 1), passage(92, 200));
    let segment = lesson.segments[1].clone();
    lesson.segments = (0..segments)
        .map(|place| {
            let play = match (played, place % 3) {
                (Played::Nothing, _) | (Played::InTurn, 0) => None,
                (Played::OneSystem, _) | (Played::InTurn, 1) => Some(&short),
                (Played::ManySystems, _) | (Played::InTurn, _) => Some(&long),
            };
            let passages = play.map(|passage| PassageUse::whole(passage.id)).into_iter().collect();
            let points = if place % 2 == 0 { vec!["slowly, and count aloud ".repeat(6)] } else { Vec::new() };
            let (id, title) = (numbered(100 + place), format!("part {place}"));
            Segment { id, title, passages, voicings: Vec::new(), talking_points: points, ..segment.clone() }
        })
        .collect();
    lesson.passages = if played == Played::Nothing { Vec::new() } else { vec![short, long] };
    let small = lesson.voicings[0].clone();
    let voicing = |number: u8| Voicing {
        id: numbered(200 + usize::from(number)),
        shape: format!("x 3 {} {} x x", number % 8, number / 8).parse().unwrap(),
        ..small.clone()
    };
    lesson.voicings = (0..voicings).map(voicing).collect();
    lesson
}

/// A pane on the screen: how much of it, how many blank lines it keeps, and whether it says that it goes on.
struct Looked {
    focus: Focus,
    extent: Extent,
    blank: usize,
    is_cut: bool,
}

/// Looks at every pane, by the line of the screen that it begins in.
fn look(bench: &Bench) -> BTreeMap<u16, Vec<Looked>> {
    let (buffer, layout) = (bench.buffer(), bench.state.layout().unwrap());
    let mut rows: BTreeMap<u16, Vec<Looked>> = BTreeMap::new();
    for placed in layout.panes {
        let text = text_of(&buffer, placed.area);
        let mut lines: Vec<&str> = text.lines().collect();
        lines.resize(usize::from(placed.area.height), "");
        // The last line of the passage that is written in is for what is under the cursor.
        if placed.focus == Focus::Passage && bench.desk().focus == placed.focus {
            lines.pop();
        }
        let blanks: Vec<usize> = lines.split(|line| !line.trim().is_empty()).map(<[&str]>::len).collect();
        let blank = match placed.focus {
            // The reason of a name stands at the foot, under the blank lines.
            Focus::Readings => blanks.into_iter().max().unwrap_or(0),
            Focus::Timeline | Focus::Passage | Focus::Fretboard | Focus::Library => blanks.last().copied().unwrap_or(0),
        };
        let blank = if placed.extent == Extent::Line { 0 } else { blank };
        let is_cut = text.contains("↑ ") || text.contains("↓ ");
        rows.entry(placed.area.y).or_default().push(Looked {
            focus: placed.focus,
            extent: placed.extent,
            blank,
            is_cut,
        });
    }
    rows
}

/// What is wrong with the room on the screen: blank lines that another pane needs.
pub fn fault(bench: &Bench) -> Option<String> {
    let rows = look(bench);
    let (desk, lesson) = (bench.desk(), bench.lesson());
    let strings = desk.fretboard.strings();
    // In fewer lines a pane is of no use: three segments under the lanes, the strings, the whole neck, two voicings.
    let least = |focus| match focus {
        Focus::Timeline => desk.timeline.show().list_top(lesson) + lesson.segments.len().clamp(2, 3),
        Focus::Passage => strings + 1,
        Focus::Fretboard | Focus::Readings => strings + 4,
        Focus::Library => 3,
    };
    for (place, row) in &rows {
        // Panes that stand side by side can only give up what all of them leave blank.
        let blank = row.iter().map(|pane| pane.blank).min().unwrap_or(0);
        let kept = row.iter().map(|pane| allowed(pane.focus)).max().unwrap_or(0);
        let others = rows.iter().filter(|(other, _)| *other != place).flat_map(|(_, others)| others);
        let lacking = |pane: &&Looked| match pane.extent {
            Extent::Whole => pane.is_cut,
            // It is not owed the lines that a pane may keep.
            Extent::Line => blank.saturating_sub(kept) + 1 >= least(pane.focus),
        };
        let lacking = others.filter(lacking).map(|pane| pane.focus).collect::<Vec<Focus>>();
        if blank > kept && !lacking.is_empty() {
            let row = row.iter().map(|pane| pane.focus).collect::<Vec<Focus>>();
            return Some(format!("{row:?} leave {blank} lines blank that {lacking:?} need\n{}", bench.screen()));
        }
    }
    None
}

/// Looks at a lesson with the keys in every pane, at some of its segments.
#[track_caller]
fn looks_well(bench: &mut Bench, about: &str) {
    for to_segment in ["Home", "Down", "End"] {
        bench.strike(&format!("T {to_segment}"));
        for focus in ["T", "P", "F", "R", "L"] {
            bench.strike(focus);
            let fault = fault(bench);
            assert!(fault.is_none(), "{about}, {to_segment} {focus}: {}", fault.unwrap_or_default());
        }
    }
}

#[test]
fn no_pane_keeps_blank_lines_that_another_needs() {
    for segments in [0, 1, 2, 3, 6, 13, 60] {
        for played in PLAYED {
            for voicings in [0, 3, 40] {
                let mut bench = Bench::on(lesson_of(segments, played, voicings), SIZES[0]);
                for (width, height) in SIZES {
                    bench.resize(width, height);
                    let about = format!("{segments} segments, {played:?}, {voicings} voicings, {width}x{height}");
                    looks_well(&mut bench, &about);
                }
            }
        }
    }
}

#[test]
fn no_pane_keeps_blank_lines_in_the_demos() {
    for demo in DEMOS {
        let lesson = parse(Path::new("demo.lesson.ron"), demo.text.as_bytes()).unwrap().lesson;
        let mut bench = Bench::on(lesson, SIZES[0]);
        for (width, height) in SIZES {
            bench.resize(width, height);
            looks_well(&mut bench, &format!("{} {width}x{height}", demo.name));
            bench.strike("T z");
            looks_well(&mut bench, &format!("{} as a table, {width}x{height}", demo.name));
            bench.strike("T z");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_shrink_iters: 40, ..ProptestConfig::default() })]

    #[test]
    fn no_pane_keeps_blank_lines_at_any_size(
        segments in 0usize..20,
        played in proptest::sample::select(PLAYED.to_vec()),
        voicings in 0u8..24,
        (width, height) in (80u16..220, 24u16..70),
    ) {
        let mut bench = Bench::on(lesson_of(segments, played, voicings), (width, height));
        for script in ["T Home", "P", "F", "R", "L", "T Down", "P", "L"] {
            bench.strike(script);
            let fault = fault(&bench);
            prop_assert!(fault.is_none(), "{script}: {}", fault.unwrap_or_default());
        }
    }
}
