//! What stays while one types: panes keep their places, and no more is laid out than what a key changes.

use std::path::Path;

use fingerpost::store::demos::DEMOS;
use fingerpost::store::lesson_file::parse;
use fingerpost::tab::passage::{estimated_lines, lay_out_bars, string_labels};
use fingerpost::tab::style::TabStyle;
use fingerpost::text::charset::Charset;
use fingerpost::workbench::desk::layout::Layout;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::panes::passage::laid_out as laid_out_for;

use super::bench::{Bench, small_lesson};

/// A bench on a lesson whose passage has so many bars.
fn long_bench(bars: usize, size: (u16, u16)) -> Bench {
    let mut lesson = small_lesson();
    let bar = lesson.passages[0].bars[0].clone();
    lesson.passages[0].bars = vec![bar; bars];
    Bench::on(lesson, size)
}

fn laid_out(bench: &Bench) -> usize {
    laid_out_for(&bench.desk().passage)
}

/// Every sign that a key writes, with what the lines over and under the strings take.
const SIGNS: [&str; 8] = ["b \"1\" Enter", "u", "m", "v", "k", "' \"slowly\" Enter", "t", "n Ctrl+U \"Am7\" Enter"];

#[test]
fn writing_signs_moves_no_pane() {
    for size in [(120, 36), (200, 50)] {
        for bars in [1, 4, 9, 60] {
            let mut bench = long_bench(bars, size);
            bench.strike("Down P Up 7");
            let before: Option<Layout> = bench.state.layout();
            for keys in SIGNS {
                bench.strike(keys);
                assert!(bench.state.overlay.is_none(), "{keys}: {}", bench.screen());
                assert_eq!(bench.state.layout(), before, "{keys} in {bars} bars\n{}", bench.screen());
            }
            assert!(bench.pane(Focus::Passage).contains("slowly"), "{}", bench.screen());
        }
    }
}

#[test]
fn a_key_lays_out_no_more_than_the_bars_it_changes() {
    let mut bench = long_bench(500, (200, 60));
    assert!(laid_out(&bench) <= 2, "what the first frame shows: {}", laid_out(&bench));
    bench.strike("Down P");
    for key in ["7", "m", "Right", "5"] {
        let before = laid_out(&bench);
        bench.strike(key);
        assert!(laid_out(&bench) - before <= 1, "{key}: {} laid out", laid_out(&bench) - before);
    }
    let before = laid_out(&bench);
    bench.strike("T Enter Ctrl+U \"another title\" Enter Down Up");
    assert!(laid_out(&bench) - before <= 2, "a title changes no music: {}", laid_out(&bench) - before);
}

#[test]
fn the_first_frame_lays_out_one_passage_however_many_there_are() {
    let mut lesson = small_lesson();
    let (passage, segment) = (lesson.passages[0].clone(), lesson.segments[1].clone());
    for number in 50..90u32 {
        let id = fingerpost::lesson::id::PassageId(number);
        lesson.passages.push(fingerpost::lesson::music::Passage { id, ..passage.clone() });
        lesson.segments.push(fingerpost::lesson::document::Segment {
            id: fingerpost::lesson::id::SegmentId(number),
            passages: vec![fingerpost::lesson::document::PassageUse::whole(id)],
            ..segment.clone()
        });
    }
    let bench = Bench::on(lesson, (200, 60));
    assert!(laid_out(&bench) <= 1, "{}", laid_out(&bench));
}

#[test]
fn what_is_not_in_view_of_the_tab_says_what_it_counts() {
    for size in [(80, 24), (120, 36), (200, 50)] {
        for bars in [1, 6, 200] {
            let mut bench = long_bench(bars, size);
            bench.strike("Down P 7 m v g b \"1\" Enter k");
            for keys in ["", "Ctrl+Down", "Ctrl+Down", "End", "Home"] {
                bench.strike(keys);
                let pane = bench.pane(Focus::Passage);
                for counted in pane.split(['↑', '↓']).skip(1) {
                    let word = counted.split_whitespace().nth(2).unwrap_or("").trim_end_matches([',', 's']);
                    assert!(["bar", "line", "sign"].contains(&word), "{word}\n{pane}");
                }
            }
        }
    }
}

#[test]
fn what_is_estimated_of_the_demos_is_near_what_is_laid_out() {
    for demo in DEMOS {
        let lesson = parse(Path::new("demo.lesson.ron"), demo.text.as_bytes()).unwrap().lesson;
        for passage in &lesson.passages {
            let labels = string_labels(lesson.passage_rig(passage).unwrap().tuning());
            for width in [96, 116, 196] {
                let all = 0..passage.bars.len();
                let laid = lay_out_bars(passage, all.clone(), &labels, &TabStyle::steady(width, Charset::default()));
                let lines = laid.text.systems.iter().map(|system| system.lines.len() + 1).sum::<usize>() - 1;
                let guess = estimated_lines(passage, all, labels.len(), width, usize::MAX);
                // Two systems more or less, where bars just fit into a line, and a third of all.
                let most = 2 * (labels.len() + 4) + lines / 3;
                assert!(guess.abs_diff(lines) <= most, "{} at {width}: {guess} for {lines}", passage.title);
            }
        }
    }
}
