//! Lengths, suggestions, starts and chapter lists, against sums worked by hand.

use fingerpost::instrument::body::{Instrument, Millimetres};
use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::instrument::tuning::{Capo, Tuning};
use fingerpost::lesson::check::{FindingKind, check};
use fingerpost::lesson::cut_video::VideoVersion;
use fingerpost::lesson::document::{
    BarRange, Lesson, OwnedInstrument, PassageUse, Recorded, Segment, SegmentKind, Setup,
};
use fingerpost::lesson::id::{InstrumentId, PassageId, SegmentId, SetupId};
use fingerpost::lesson::music::{Bar, Passage};
use fingerpost::lesson::time::{Tempo, VideoLength, VideoTime};
use fingerpost::plan::chapters::{Basis, ChapterError, chapter_text, chapters};
use fingerpost::plan::length::{LengthError, passage_length};
use fingerpost::plan::order::{played_bars, played_range};
use fingerpost::plan::schedule::{Balance, Totals, recorded_lengths};
use fingerpost::plan::suggest::{LeftOut, Pace, Part, Spent, suggest};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;

use crate::arbitrary::{Music, any_lesson, any_passage};

fn setup(id: u32, tuning: &str, capo: Option<u8>) -> Setup {
    let strings = tuning.split_whitespace().map(|pitch| pitch.parse().unwrap()).collect();
    Setup {
        id: SetupId(id),
        name: String::new(),
        instrument: InstrumentId(1),
        tuning: Tuning::new(strings).unwrap(),
        capo: capo.map(|fret| Capo { fret: Fret::new(fret).unwrap(), strings: vec![] }),
        reference: None,
        tone: String::new(),
    }
}

fn segment(id: u32, title: &str, planned: u32) -> Segment {
    Segment::new(SegmentId(id), SegmentKind::Walkthrough, title, VideoLength::from_seconds(planned))
}

fn recorded(start: u32, end: Option<u32>) -> Option<Recorded> {
    Some(Recorded { start: VideoTime(start), end: end.map(VideoTime) })
}

/// Three segments; the last plays four bars of 4/4 at 60 a minute and needs two strings and the capo changed.
fn lesson() -> Lesson {
    let tempo = "1/4=60".parse::<Tempo>().unwrap();
    let passage = Passage { tempo, ..Passage::plain(PassageId(1), "verse", vec![Bar::default(); 4]) };
    let mut last = segment(3, "slowly", 95);
    last.setup = Some(SetupId(2));
    last.talking_points =
        vec!["one two three four five six".into(), " seven  eight nine ten\neleven twelve thirteen".into()];
    last.passages = vec![PassageUse { times: 2, slow_times: 1, ..PassageUse::whole(PassageId(1)) }];
    let mut first = segment(1, "hello", 45);
    first.setup = Some(SetupId(1));
    Lesson {
        instruments: vec![OwnedInstrument {
            id: InstrumentId(1),
            body: Instrument {
                name: "guitar".into(),
                strings: 6,
                frets: Fret::new(22).unwrap(),
                scale: Millimetres(648.0),
                short: None,
            },
        }],
        setups: vec![setup(1, "E2 A2 D3 G3 B3 E4", None), setup(2, "D2 A2 D3 G3 B3 D4", Some(3))],
        passages: vec![passage],
        segments: vec![first, segment(2, "talk", 3600), last],
        ..Lesson::default()
    }
}

#[test]
fn a_suggestion_is_the_sum_of_its_parts() {
    let lesson = lesson();
    let suggestion = suggest(&lesson, SegmentId(3), &Pace::USUAL).unwrap();
    let string = |number| StringNumber::new(number).unwrap();
    let part = |on, milliseconds| Part { on, length: VideoLength(milliseconds) };
    let passage = PassageId(1);
    // 4 bars of 4 s: 16 s a time, 32 s at half the tempo. 13 words at 130 a minute: 6 s.
    let expected = [
        part(Spent::Retuning(vec![string(6), string(1)]), 20_000),
        part(Spent::MovingCapo, 8_000),
        part(Spent::Talking { words: 13 }, 6_000),
        part(Spent::CountingIn { passage, percent: 100 }, 4_000),
        part(Spent::Playing { passage, times: 2, percent: 100 }, 32_000),
        part(Spent::CountingIn { passage, percent: 50 }, 8_000),
        part(Spent::Playing { passage, times: 1, percent: 50 }, 32_000),
    ];
    assert_eq!(suggestion.parts, expected);
    assert_eq!(suggestion.total(), VideoLength(110_000));
    assert!(suggestion.left_out.is_empty());
}

#[test]
fn a_suggestion_says_what_it_leaves_out() {
    let mut lesson = lesson();
    let beyond = PassageUse { bars: Some(BarRange { first: 4, last: 5 }), ..PassageUse::whole(PassageId(1)) };
    lesson.segments[2].passages = vec![PassageUse::whole(PassageId(9)), beyond];
    let suggestion = suggest(&lesson, SegmentId(3), &Pace::USUAL).unwrap();
    let reason = LengthError::NoSuchBars { asked: "bars 4 to 5".into(), has: "4 bars".into(), last: 4 };
    let expected = [LeftOut::NoSuchPassage(PassageId(9)), LeftOut::Length { passage: PassageId(1), reason }];
    assert_eq!(suggestion.left_out, expected);
    assert_eq!(suggestion.total(), VideoLength(34_000), "the retuning, the capo and the words stay");
    assert_eq!(suggest(&lesson, SegmentId(7), &Pace::USUAL), None);
}

#[test]
fn starts_and_totals_add_up() {
    let mut lesson = lesson();
    let starts: Vec<String> = lesson.planned_starts().map(|start| start.to_string()).collect();
    assert_eq!(starts, ["0:00", "0:45", "1:00:45"]);
    lesson.segments[0].recorded = recorded(0, None);
    lesson.segments[1].recorded = recorded(50_000, Some(70_000));
    let lengths = [Some(VideoLength(50_000)), Some(VideoLength(20_000)), None];
    assert_eq!(recorded_lengths(&lesson.segments), lengths);
    lesson.header.target = Some(VideoLength::from_seconds(3800));
    let totals = Totals::of(&lesson);
    assert_eq!((totals.planned, totals.recorded), (VideoLength(3_740_000), VideoLength(70_000)));
    assert_eq!(totals.recorded_segments, 2);
    assert_eq!(totals.balance(), Some(Balance::Under(VideoLength(60_000))));
}

#[test]
fn chapters_are_lines_of_time_and_title() {
    let mut lesson = lesson();
    lesson.segments[1].title = " talk\n\u{1b}[2J of  it ".into();
    lesson.segments[2].title = "\t".into();
    let planned = chapters(&lesson, Basis::Planned).unwrap();
    assert_eq!(chapter_text(&planned), "0:00 hello\n0:45 talk ␛[2J of it\n1:00:45 Walkthrough\n");
    for (segment, start) in lesson.segments.iter_mut().zip([0, 59_999, 3_600_000]) {
        segment.recorded = recorded(start, None);
    }
    let recorded = chapters(&lesson, Basis::Recorded(VideoVersion::Cut)).unwrap();
    assert_eq!(chapter_text(&recorded), "0:00 hello\n0:59 talk ␛[2J of it\n1:00:00 Walkthrough\n");
}

#[test]
fn a_list_that_cannot_be_made_says_which_segments_stand_in_the_way() {
    assert_eq!(chapters(&Lesson::default(), Basis::Planned), Err(ChapterError::NoSegments));
    let mut lesson = lesson();
    lesson.segments[0].recorded = recorded(5_000, None);
    lesson.segments[2].recorded = recorded(2_000, None);
    let missing = chapters(&lesson, Basis::Recorded(VideoVersion::Cut)).unwrap_err();
    assert_eq!(missing.to_string(), "segment 2 (\"talk\") has no start time");
    let missing = |count: usize| {
        let segments = (1..=count).map(|number| format!("segment {number}")).collect();
        ChapterError::NotRecorded { segments }.to_string()
    };
    assert_eq!(missing(3), "segment 1, segment 2 and segment 3 have no start time");
    assert_eq!(missing(6), "segment 1, segment 2, segment 3, segment 4 and 2 more segments have no start time");
}

#[test]
fn chapters_follow_the_video_whatever_order_the_list_has() {
    let mut lesson = lesson();
    for (segment, start) in lesson.segments.iter_mut().zip([0, 50_000, 20_000]) {
        segment.recorded = recorded(start, None);
    }
    let list = |lesson: &Lesson| chapter_text(&chapters(lesson, Basis::Recorded(VideoVersion::Cut)).unwrap());
    assert_eq!(list(&lesson), "0:00 hello\n0:20 slowly\n0:50 talk\n");
    lesson.segments.reverse();
    assert_eq!(list(&lesson), "0:00 hello\n0:20 slowly\n0:50 talk\n");
}

proptest! {
    #[test]
    fn moving_a_segment_changes_nothing_of_what_is_recorded(
        mut before in any_lesson(),
        times in vec((0u32..50, option::of(1u32..20)), 9),
        moves in vec((0usize..9, 0usize..9), 1..4),
    ) {
        for (segment, (start, length)) in before.segments.iter_mut().zip(times) {
            segment.recorded = recorded(start * 1000, length.map(|length| (start + length) * 1000));
        }
        let of = |lesson: &Lesson| {
            let lengths = lesson.segments.iter().map(|segment| segment.id).zip(recorded_lengths(&lesson.segments));
            (Totals::of(lesson), lengths.collect::<std::collections::BTreeMap<_, _>>())
        };
        let mut after = before.clone();
        for (from, to) in moves {
            let count = after.segments.len();
            if from < count {
                let moved = after.segments.remove(from);
                after.segments.insert(to.min(count - 1), moved);
            }
        }
        prop_assert_eq!(of(&before), of(&after));
        // The order of the list is one finding, and what is said of the recorded times is the same.
        let found = |lesson: &Lesson| {
            let kinds = [FindingKind::Overlap, FindingKind::RunsBackwards];
            check(lesson).into_iter().filter(|finding| kinds.contains(&finding.kind)).count()
        };
        prop_assert_eq!(found(&before), found(&after));
        let orders = check(&after).into_iter().filter(|finding| finding.kind == FindingKind::RecordedOrder);
        prop_assert!(orders.count() <= 1);
    }
}

/// Bars with any signs of repetition, sensible or not.
fn any_bars() -> impl Strategy<Value = Vec<Bar>> {
    let sign = (any::<bool>(), option::of(0u8..5), vec(1u8..5, 0..3));
    let bar = sign.prop_map(|(repeat_start, repeat_end, endings)| Bar {
        repeat_start: repeat_start && endings.is_empty(),
        repeat_end,
        endings,
        ..Bar::default()
    });
    vec(prop_oneof![3 => Just(Bar::default()), 2 => bar], 0..20)
}

proptest! {
    #[test]
    fn any_signs_of_repetition_come_to_an_end(bars in any_bars(), first in 0u32..25, last in 0u32..25) {
        // Four is the highest number in `any_bars`, so no bar can be played more often.
        let mut times = vec![0; bars.len()];
        for place in played_bars(&bars) {
            times[place] += 1;
            prop_assert!(times[place] <= 4);
        }
        for (bar, times) in bars.iter().zip(&times) {
            prop_assert!(*times >= 1 || !bar.endings.is_empty());
        }
        for place in played_range(&bars, Some(BarRange { first, last })) {
            prop_assert!((first as usize..=last as usize).contains(&(place + 1)));
        }
    }

    #[test]
    fn a_passage_lasts_as_long_as_the_bars_that_are_played(
        passage in any_passage(Music { bars: 1..=6, ..Music::everything() }),
    ) {
        // The slow, obvious definition: each bar played by itself, and what they come to.
        let mut plain = passage.clone();
        for bar in &mut plain.bars {
            (bar.repeat_start, bar.repeat_end) = (false, None);
        }
        let alone = |place: usize| {
            let number = u32::try_from(place + 1).unwrap();
            passage_length(&plain, Some(BarRange { first: number, last: number }), 100).unwrap().0
        };
        let played: Vec<usize> = played_bars(&passage.bars).collect();
        let sum: u32 = played.iter().map(|place| alone(*place)).sum();
        let whole = passage_length(&passage, None, 100).unwrap().0;
        // Each bar by itself is rounded to a millisecond, so half of one may be off for each.
        prop_assert!(u64::from(whole.abs_diff(sum)) * 2 <= played.len() as u64 + 1, "{whole} and {sum}");
        let slowly = passage_length(&passage, None, 50).unwrap().0;
        prop_assert!(slowly.abs_diff(2 * whole) <= 1, "{slowly} and {whole}");
    }
}
