//! A pickup is no numbered bar: the first whole bar is bar 1 wherever a number is shown.

use fingerpost::lesson::check::check;
use fingerpost::lesson::document::BarRange;
use fingerpost::lesson::music::Bar;

use super::*;

/// The small lesson whose second segment's passage begins with a pickup of one quarter.
fn with_pickup() -> Lesson {
    let mut lesson = small_lesson();
    let note = lesson.passages[0].bars[0].voices[0].0[0].clone();
    let mut pickup = Bar { pickup: true, ..lesson.passages[0].bars[0].clone() };
    pickup.voices[0].0 = vec![Event { length: "1/4".parse().unwrap(), ..note }];
    pickup.voices.truncate(1);
    lesson.passages[0].bars.insert(0, pickup);
    lesson
}

fn whole_bars() -> usize {
    with_pickup().passages[0].bars.len() - 1
}

#[test]
fn the_heading_counts_whole_bars_alone() {
    let mut bench = Bench::on(with_pickup(), (120, 36));
    bench.strike("Down P Home");
    let all = whole_bars();
    assert!(bench.screen().contains(&format!("pickup to bar 1 of {all}")), "{}", bench.screen());
    bench.strike("]");
    assert!(bench.screen().contains(&format!("bar 1 of {all}")), "{}", bench.screen());
    bench.strike("T");
    assert!(bench.screen().contains("pickup and "), "{}", bench.screen());
}

#[test]
fn a_bar_before_a_pickup_goes_behind_it_and_so_do_pasted_bars() {
    let mut bench = Bench::on(with_pickup(), (120, 36));
    bench.strike("Down P Home B");
    assert!(bench.notice().starts_with("empty bar inserted as bar 1"), "{}", bench.notice());
    assert!(passage(&bench).bars[0].pickup && !passage(&bench).bars[1].pickup);
    assert_eq!(passage(&bench).bars[1], Bar::default());
    let mut bench = Bench::on(with_pickup(), (120, 36));
    bench.strike("Down P Home ] S S c Esc Home Ctrl+V");
    assert_eq!(passage(&bench).bars.len(), whole_bars() + 2, "{}", bench.notice());
    assert!(passage(&bench).bars[0].pickup && passage(&bench).bars[1] == passage(&bench).bars[2], "{}", bench.notice());
}

#[test]
fn tab_findings_ranges_and_handouts_give_the_same_number_to_a_bar() {
    let mut lesson = with_pickup();
    // The last bar lacks a note, and the segment plays from the first whole bar on.
    let last = lesson.passages[0].bars.len();
    let voice = &mut lesson.passages[0].bars[last - 1].voices[0].0;
    voice.pop();
    let id = lesson.passages[0].id;
    for segment in &mut lesson.segments {
        for used in segment.passages.iter_mut().filter(|used| used.passage == id) {
            used.bars = Some(BarRange { first: 2, last: u32::try_from(last).unwrap() });
        }
    }
    let texts: Vec<String> = check(&lesson).iter().map(|finding| finding.text(&lesson)).collect();
    assert!(texts.iter().any(|text| text.contains(&format!(", bar {}", last - 1))), "{texts:?}");
    assert!(!texts.iter().any(|text| text.contains(&format!(", bar {last}"))), "{texts:?}");
    let printed = handout(&lesson, &HandoutOptions::default()).to_text();
    assert!(printed.contains(&format!("bars 1–{}", last - 1)), "{printed}");
    assert!(printed.contains("pickup and "), "{printed}");
}
