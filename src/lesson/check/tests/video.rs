use super::sound::{finds, recorded, segment, sound};
use crate::instrument::catalogue;
use crate::lesson::check::{Finding, FindingKind, check, choices, is_a_choice, mended_by};
use crate::lesson::document::{BarRange, Lesson, Segment, SegmentKind, Setup, VideoCut};
use crate::lesson::id::{SegmentId, SetupId};
use crate::lesson::time::{VideoLength, VideoTime};

#[test]
fn segments_run_forward_and_do_not_overlap() {
    let times = |times: [(u32, Option<u32>); 3]| {
        move |lesson: &mut Lesson| {
            for (segment, (start, end)) in lesson.segments.iter_mut().zip(times) {
                segment.recorded = recorded(start, end);
            }
        }
    };
    finds(times([(0, Some(60)), (60, None), (120, Some(140))]), &[]);
    finds(
        times([(0, Some(90)), (90, Some(90)), (120, None)]),
        &["problem: segment 2 \"slowly\": recorded from 1:30 to 1:30: it ends before it has begun \
           (correct one of the two times, or delete the end)"],
    );
    finds(
        times([(0, Some(130)), (60, Some(90)), (120, None)]),
        &[
            "problem: segment 2 \"slowly\": starts at 1:00, while segment 1 \"hello\" runs until 2:10 \
             (end that one earlier, or start this one later)",
            "problem: segment 3 \"bye\": starts at 2:00, while segment 1 \"hello\" runs until 2:10 \
             (end that one earlier, or start this one later)",
        ],
    );
    finds(
        times([(0, None), (120, None), (60, None)]),
        &[
            "warning: segment 3 \"bye\": the list is not in the order of the video: this is recorded at 1:00, before segment 2, \
           which starts at 2:00 (put the segments in the order of the video, or record them again; chapters follow the video)",
        ],
    );
}

#[test]
fn what_is_cut_out_lies_within_the_recording() {
    let cuts = |cuts: &[(u32, u32)], second: Option<u32>| {
        let cuts = cuts.to_vec();
        move |lesson: &mut Lesson| {
            lesson.segments[0].recorded = recorded(10, None);
            lesson.segments[1].recorded = second.and_then(|start| recorded(start, None));
            let cut = |&(from, to): &(u32, u32)| VideoCut { from: VideoTime(from * 1000), to: VideoTime(to * 1000) };
            lesson.segments[0].cuts = cuts.iter().map(cut).collect();
        }
    };
    finds(cuts(&[(10, 20), (30, 60)], Some(60)), &[]);
    finds(cuts(&[(30, 600)], None), &[]);
    for (given, second, said) in [
        ([(9, 20), (30, 40)].as_slice(), None, "0:09 to 0:20"),
        ([(10, 20), (30, 61)].as_slice(), Some(60), "0:30 to 1:01"),
        ([(20, 20)].as_slice(), None, "0:20 to 0:20"),
    ] {
        let expected = format!(
            "warning: segment 1 \"hello\": {said} is left out of the video, and that does not lie within what is recorded \
             of it (correct what is left out, or the recorded times)"
        );
        finds(cuts(given, second), &[&expected]);
    }
}

#[test]
fn a_planned_length_is_given() {
    finds(
        |lesson| lesson.segments[0].planned = VideoLength::ZERO,
        &["warning: segment 1 \"hello\": no length is planned (plan a length)"],
    );
}

#[test]
fn a_segment_plays_bars_that_are_there() {
    let bars =
        |first, last| move |lesson: &mut Lesson| lesson.segments[0].passages[0].bars = Some(BarRange { first, last });
    finds(bars(1, 1), &[]);
    for (first, last, text) in [(1, 2, "bars 1 to 2"), (0, 1, "bars 0 to 1"), (2, 2, "bar 2"), (2, 1, "bars 2 to 1")] {
        let expected = format!(
            "problem: segment 1 \"hello\": plays {text} of passage \"verse\", which has 1 bar \
             (choose bars that it has, the first one first)"
        );
        finds(bars(first, last), &[&expected]);
    }
}

#[test]
fn a_passage_is_played_and_slowed_down_by_something() {
    finds(
        |lesson| {
            lesson.segments[0].passages[0].times = 0;
            lesson.segments[1].passages[0].slow_times = 2;
            lesson.segments[1].passages[0].slow_percent = 0;
        },
        &[
            "note: segment 1 \"hello\": passage \"verse\" is linked but never played (say how many times, or delete the link)",
            "warning: segment 2 \"slowly\": passage \"verse\" is slowed down to 0 per cent \
             (expected 1 to 100 per cent of the written tempo)",
        ],
    );
}

#[test]
fn a_passage_is_played_in_the_setup_it_is_written_for() {
    finds(
        |lesson| {
            for segment in &mut lesson.segments {
                segment.setup = None;
                segment.passages.clear();
            }
            lesson.segments[0].setup = Some(SetupId(2));
            lesson.segments[1] = Segment { setup: None, ..segment(2, "slowly") };
        },
        &[
            "warning: segment 2 \"slowly\": passage \"verse\" is in \"standard\", and this segment is played in \"capo 3\" \
             (play the segment in \"standard\", or move the passage to \"capo 3\": same frets or same sound)",
        ],
    );
}

#[test]
fn a_setup_that_only_sounds_different_is_no_other_setup() {
    finds(
        |lesson| {
            lesson.setups[1].capo = None;
            lesson.setups[1].tone = "neck pickup".into();
            lesson.segments[1].setup = Some(SetupId(2));
        },
        &[],
    );
}

/// Returns the sound lesson with the last segment in the setup with the capo, down a step, and no passages.
fn retuned(lesson: &mut Lesson) {
    let guitar = &lesson.instruments[0].body;
    lesson.setups[1].tuning = catalogue::tuning_from_text("double drop D", guitar).unwrap();
    for segment in &mut lesson.segments {
        segment.passages.clear();
    }
    lesson.segments[2].setup = Some(SetupId(2));
}

#[test]
fn a_change_of_setup_needs_time() {
    finds(
        retuned,
        &[
            "warning: segment 3 \"bye\": retune to \"capo 3\" from \"standard\": strings 6 and 1 down a whole step, capo on at fret 3, \
           about 0:28, and no time is given (put a retuning segment of 0:28 before it, or stop the camera there)",
        ],
    );
}

#[test]
fn a_retuning_segment_or_a_gap_gives_that_time() {
    let with_retuning = |seconds: u32, setup: Option<SetupId>| {
        move |lesson: &mut Lesson| {
            retuned(lesson);
            let kind = SegmentKind::Retuning;
            let length = VideoLength::from_seconds(seconds);
            let between = Segment::new(SegmentId(90), kind, "retune", length);
            lesson.segments.insert(2, Segment { setup, ..between });
        }
    };
    for setup in [None, Some(SetupId(1)), Some(SetupId(2))] {
        finds(with_retuning(28, setup), &[]);
    }
    finds(
        with_retuning(20, None),
        &[
            "warning: segment 4 \"bye\": retune to \"capo 3\" from \"standard\": strings 6 and 1 down a whole step, capo on at fret 3, \
           about 0:28, and only 0:20 is given (make the retuning before it 0:28 long, or stop the camera there)",
        ],
    );
    finds(
        |lesson| {
            retuned(lesson);
            lesson.segments[0].recorded = recorded(0, Some(60));
            lesson.segments[1].recorded = recorded(60, Some(120));
            lesson.segments[2].recorded = recorded(148, None);
        },
        &[],
    );
}

/// A recorded retuning is played before what is not recorded yet, also where a take of the beginning stands at the end of the list.
#[test]
fn a_take_that_stands_at_the_end_of_the_list_brings_no_retuning_about() {
    let mut lesson = sound();
    let of = |id, title, tuning, times: Option<(u32, u32)>| Segment {
        setup: Some(SetupId(tuning)),
        recorded: times.and_then(|(start, end)| recorded(start, Some(end))),
        ..segment(id, title)
    };
    let retuning = Segment { kind: SegmentKind::Retuning, ..of(73, "retuning", 2, Some((120, 180))) };
    lesson.segments = vec![
        of(71, "hello", 1, Some((0, 60))),
        of(72, "slowly", 1, Some((60, 120))),
        Segment { planned: VideoLength::from_seconds(60), ..retuning },
        of(74, "with capo", 2, None),
        of(75, "more", 2, None),
    ];
    let retuned = |lesson: &Lesson| check(lesson).iter().filter(|found| found.kind == FindingKind::Retuning).count();
    assert_eq!(retuned(&lesson), 0);
    for place in 0..2 {
        let mut moved = lesson.clone();
        let take = moved.segments.remove(place);
        moved.segments.push(take);
        assert_eq!(retuned(&moved), 0, "{place}: {:?}", check(&moved));
    }
}

#[test]
fn time_for_a_capo_is_told_in_one_length() {
    let late = |change: fn(&mut Lesson)| {
        let mut lesson = sound();
        lesson.segments.iter_mut().for_each(|segment| segment.passages.clear());
        lesson.segments[1].setup = Some(SetupId(2));
        change(&mut lesson);
        let finding = check(&lesson).into_iter().find(|finding| finding.kind == FindingKind::Retuning).unwrap();
        (mended_by(&lesson, &finding).unwrap(), finding.remedy)
    };
    let short = |lesson: &mut Lesson| {
        let length = VideoLength::from_seconds(3);
        lesson.segments.insert(1, Segment::new(SegmentId(90), SegmentKind::Retuning, "capo", length));
        lesson.segments[0].recorded = recorded(0, Some(60));
    };
    // A capo takes 0:08, and a chapter 0:10.
    for (change, length) in [((|_| {}) as fn(&mut Lesson), "0:10"), (short, "0:08")] {
        let (mended, advice) = late(change);
        assert_eq!(advice, format!("{mended}, or stop the camera there"));
        assert!(mended.contains(length), "{mended}");
    }
}

#[test]
fn a_retuning_that_changes_nothing_is_noted() {
    let idle = "note: segment 3 \"retune\": this retuning changes neither tuning nor capo: it stays in \"standard\" \
                (choose the tuning it leads to, or another kind of segment, or delete it)";
    let between = |setup: Option<SetupId>, change: fn(&mut Lesson)| {
        move |lesson: &mut Lesson| {
            let length = VideoLength::from_seconds(30);
            let retune = Segment::new(SegmentId(90), SegmentKind::Retuning, "retune", length);
            lesson.segments.insert(2, Segment { setup, ..retune });
            change(lesson);
        }
    };
    for setup in [None, Some(SetupId(1))] {
        finds(between(setup, |_| {}), &[idle]);
        finds(between(setup, |lesson| lesson.segments.truncate(3)), &[idle]);
        // The segment after it says where it leads.
        finds(
            between(setup, |lesson| {
                lesson.segments[3].passages.clear();
                lesson.segments[3].setup = Some(SetupId(2));
            }),
            &[],
        );
    }
    let led_to = |lesson: &mut Lesson| {
        lesson.segments[3].passages.clear();
        lesson.segments[3].setup = None;
    };
    finds(between(Some(SetupId(2)), led_to), &[]);
}

/// The sound lesson with a retuning segment before its last, in a third setup, drop D; nothing plays tab.
fn led(stated: Option<u32>, next: Option<u32>) -> Lesson {
    let mut lesson = sound();
    lesson.segments.iter_mut().for_each(|segment| segment.passages.clear());
    let tuning = "D2 A2 D3 G3 B3 E4".parse().unwrap();
    lesson.setups.push(Setup { id: SetupId(3), name: "drop D".into(), tuning, ..lesson.setups[0].clone() });
    let length = VideoLength::from_seconds(60);
    let retune = Segment::new(SegmentId(90), SegmentKind::Retuning, "retune", length);
    lesson.segments.insert(2, Segment { setup: stated.map(SetupId), ..retune });
    lesson.segments[3].setup = next.map(SetupId);
    lesson
}

#[test]
fn a_retuning_that_leads_to_another_tuning_than_is_played_next_is_found_and_mended_either_way() {
    let of = |lesson: &Lesson| {
        let found = check(lesson).into_iter().filter(|finding| finding.kind == FindingKind::LedElsewhere);
        found.collect::<Vec<Finding>>()
    };
    let lesson = led(Some(3), Some(2));
    let [finding] = &of(&lesson)[..] else { panic!("{:?}", of(&lesson)) };
    assert_eq!(
        finding.text(&lesson),
        "warning: segment 3 \"retune\": retuned to \"drop D\", but played in \"capo 3\" \
         (play what follows in \"drop D\", or choose \"capo 3\" here)"
    );
    assert!(is_a_choice(finding));
    let ways = choices(&lesson, finding);
    let texts: Vec<&str> = ways.iter().map(|way| way.text.as_str()).collect();
    assert_eq!(texts, ["play what follows in \"drop D\"", "change to \"capo 3\" here"]);
    for (way, last) in ways.into_iter().zip([3, 2]) {
        let mut mended = lesson.clone();
        mended.apply_all(way.edits).unwrap();
        assert_eq!(of(&mended), []);
        assert_eq!(mended.segment_setup(mended.segments[3].id).map(|setup| setup.id), Some(SetupId(last)));
    }
    // A retuning to where the hands are already would be none.
    assert_eq!(choices(&led(Some(3), Some(1)), &of(&led(Some(3), Some(1)))[0]).len(), 1);
    // It leads where it says; says nothing; says what it leaves.
    for (stated, next) in [(Some(3), None), (Some(3), Some(3)), (None, Some(3)), (None, None), (Some(1), Some(3))] {
        assert_eq!(of(&led(stated, next)), [], "{stated:?} {next:?}");
    }
}

#[test]
fn what_a_retuning_leads_to_is_what_is_played_next_in_the_video() {
    let played_in = |lesson: &Lesson| {
        let found = check(lesson).into_iter().filter(|finding| finding.kind == FindingKind::LedElsewhere);
        found.map(|finding| finding.reason).collect::<Vec<String>>()
    };
    let times = |lesson: &mut Lesson, starts: &[u32]| {
        for (segment, start) in lesson.segments.iter_mut().zip(starts) {
            segment.recorded = recorded(*start, Some(start + 5));
        }
    };
    // The last of the list was recorded before the retuning, and the second behind it.
    let mut lesson = led(Some(3), Some(2));
    times(&mut lesson, &[0, 30, 20, 10]);
    assert_eq!(played_in(&lesson), ["retuned to \"drop D\", but played in \"standard\""]);
    let finding = check(&lesson).into_iter().find(|finding| finding.kind == FindingKind::LedElsewhere).unwrap();
    let others = lesson.segment_setup(lesson.segments[3].id).map(|setup| setup.id);
    for way in choices(&lesson, &finding) {
        let mut mended = lesson.clone();
        mended.apply_all(way.edits).unwrap();
        assert_eq!(played_in(&mended), [""; 0], "{}", way.text);
        assert_eq!(mended.segment_setup(mended.segments[3].id).map(|setup| setup.id), others, "{}", way.text);
    }
    // What comes next in the list was recorded later than what is played in the tuning that it leads to.
    let mut lesson = led(Some(3), Some(2));
    lesson.segments.push(Segment { setup: Some(SetupId(3)), ..segment(91, "behind it") });
    times(&mut lesson, &[0, 10, 20, 40, 30]);
    assert_eq!(played_in(&lesson), [""; 0]);
}

#[test]
fn a_capo_that_goes_on_is_not_called_a_retuning() {
    let mut lesson = led(None, Some(2));
    lesson.segments.remove(2);
    let reasons = |lesson: &Lesson| {
        let found = check(lesson).into_iter().filter(|finding| finding.kind == FindingKind::Retuning);
        found.map(|finding| finding.reason).collect::<Vec<String>>()
    };
    assert_eq!(
        reasons(&lesson),
        ["put the capo on fret 3, to \"capo 3\" from \"standard\", about 0:08, and no time is given"]
    );
    lesson.segments[1].setup = Some(SetupId(2));
    lesson.segments[2].setup = Some(SetupId(1));
    assert!(reasons(&lesson)[1].starts_with("take the capo off, to \"standard\""), "{:?}", reasons(&lesson));
}

#[test]
fn chapter_lists_start_at_zero_and_have_room() {
    finds(
        |lesson| {
            for (place, segment) in lesson.segments.iter_mut().enumerate() {
                segment.recorded = recorded(4 + 60 * u32::try_from(place).unwrap(), None);
            }
        },
        &[
            "problem: chapter list: the first chapter starts at 0:04; a list that does not start at 0:00 is ignored by video hosts \
           (let the first segment start at 0:00)",
        ],
    );
    finds(
        |lesson| {
            lesson.segments[0].recorded = recorded(0, None);
            lesson.segments[1].recorded = recorded(5, None);
            lesson.segments[2].recorded = recorded(5, None);
        },
        &[
            "warning: segment 1 \"hello\": a chapter of 0:05, and video hosts usually want 0:10 or more \
             (make the segment longer, or join it with a neighbour)",
            "problem: segment 2 \"slowly\": the chapter after this one starts at 0:05, in the same second \
             (correct one of the two start times, or join the segments)",
        ],
    );
    finds(
        |lesson| {
            lesson.segments.truncate(2);
            lesson.segments[0].planned = VideoLength::from_seconds(9);
        },
        &[
            "warning: segment 1 \"hello\": a chapter of 0:09, and video hosts usually want 0:10 or more \
             (make the segment longer, or join it with a neighbour)",
            "warning: chapter list: 2 chapters, and video hosts usually want 3 or more \
             (split a segment in two, or publish without chapters)",
        ],
    );
}

#[test]
fn a_chapter_of_exactly_ten_seconds_is_long_enough() {
    // That video hosts want ten seconds or more, and not more than ten, is common practice; no published source is
    // named here.
    let short = |said: &str| {
        format!(
            "warning: segment 1 \"hello\": a chapter of {said}, and video hosts usually want 0:10 or more (make the \
             segment longer, or join it with a neighbour)"
        )
    };
    for (milliseconds, said) in [(10_000, None), (9_999, Some(short("0:09")))] {
        let found: Vec<&str> = said.iter().map(String::as_str).collect();
        finds(|lesson| lesson.segments[0].planned = VideoLength(milliseconds), &found);
        let record = |lesson: &mut Lesson| {
            for (place, segment) in lesson.segments.iter_mut().enumerate() {
                segment.recorded = recorded(60 * u32::try_from(place).unwrap(), None);
            }
            lesson.segments[1].recorded.as_mut().unwrap().start = VideoTime(milliseconds);
        };
        finds(record, &found);
    }
}

#[test]
fn a_stretch_of_the_recording_that_no_segment_has_is_noted_with_ways_out() {
    let record = |lesson: &mut Lesson| {
        for (segment, (start, end)) in lesson.segments.iter_mut().zip([(0, 60), (90, 150), (150, 200)]) {
            segment.recorded = recorded(start, Some(end));
        }
    };
    let said = "note: segment 1 \"hello\": no segment has 1:00 to 1:30 of the recording, between this one and \"slowly\" \
                (let one of the two have it, or leave it out of the video)";
    finds(record, &[said]);
    let mut lesson = sound();
    record(&mut lesson);
    let found = |lesson: &Lesson| check(lesson).into_iter().find(|finding| finding.kind == FindingKind::NoSegment);
    let finding = found(&lesson).unwrap();
    assert!(is_a_choice(&finding));
    let ways = choices(&lesson, &finding);
    let texts: Vec<&str> = ways.iter().map(|way| way.text.as_str()).collect();
    let expected =
        ["let \"hello\" run on to 1:30", "let \"slowly\" start at 1:00", "leave 1:00 to 1:30 out of the video"];
    assert_eq!(texts, expected);
    for way in ways {
        let mut mended = lesson.clone();
        mended.apply_all(way.edits).unwrap();
        assert_eq!(check(&mended), check(&sound()), "{}", way.text);
    }
}

#[test]
fn recordings_without_a_stretch_of_no_segment_have_no_note_of_one() {
    // Not recorded, recorded in part, recorded with a lead-in and no end, and cut out by a retake.
    finds(|_| {}, &[]);
    finds(|lesson| lesson.segments[1].recorded = recorded(30, Some(60)), &[]);
    let three = |ends: [Option<u32>; 3]| {
        move |lesson: &mut Lesson| {
            for (segment, (start, end)) in lesson.segments.iter_mut().zip([0, 60, 120].into_iter().zip(ends)) {
                segment.recorded = recorded(start, end);
            }
        }
    };
    finds(three([None, None, None]), &[]);
    finds(three([Some(60), None, Some(300)]), &[]);
    finds(
        |lesson| {
            three([Some(60), Some(90), None])(lesson);
            lesson.segments[2].recorded = recorded(90, None);
            lesson.segments[0].recorded = recorded(0, Some(60));
            lesson.segments[0].cuts = vec![VideoCut { from: VideoTime(30_000), to: VideoTime(60_000) }];
        },
        &[],
    );
    // The time between two tunings is that of the retuning.
    finds(
        |lesson| {
            for segment in &mut lesson.segments {
                segment.passages.clear();
            }
            three([Some(60), Some(80), None])(lesson);
            lesson.segments[2].setup = Some(SetupId(2));
        },
        &[],
    );
}
