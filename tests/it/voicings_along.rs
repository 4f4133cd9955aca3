//! Voicings that go to another tuning with the segments that show them, and what is found where they do not.

use std::path::Path;

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::lesson::check::{Finding, FindingKind, Severity, check, choices, is_a_choice, remedy};
use fingerpost::lesson::document::{Lesson, PassageUse, Recorded, Segment, SegmentKind, Setup, Voicing};
use fingerpost::lesson::fresh::{IdSource, Seed};
use fingerpost::lesson::harmony::names_after::said_of_changes;
use fingerpost::lesson::id::{PassageId, SegmentId, SetupId, VoicingId};
use fingerpost::lesson::idle_retunings::delete_idle;
use fingerpost::lesson::music::{Event, Note};
use fingerpost::lesson::place::LessonPlace;
use fingerpost::lesson::time::{VideoLength, VideoTime};
use fingerpost::lesson::tunings::{FretsOrSound, Retuned, passages_to, tuning_changed, tuning_deleted};
use fingerpost::lesson::tunings_along::SegmentsAlong;
use fingerpost::lesson::voicings_along::{VoicingsAlong, VoicingsThere, take_along};
use fingerpost::store::lesson_file;
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::HandoutOptions;
use fingerpost::theory::pitch::MidiNote;

const STANDARD: SetupId = SetupId(1);
const CAPO: SetupId = SetupId(2);
const DROP_D: SetupId = SetupId(3);

/// The small lesson, with drop D as its third tuning: its second segment plays the passage and shows C and G.
fn lesson() -> Lesson {
    let text = include_bytes!("../lessons/workbench.lesson.ron");
    let mut lesson = lesson_file::parse(Path::new("workbench.lesson.ron"), text).unwrap().lesson;
    let tuning = "D2 A2 D3 G3 B3 E4".parse().unwrap();
    lesson.setups.push(Setup { id: DROP_D, name: "drop D".into(), tuning, ..lesson.setups[0].clone() });
    lesson
}

/// Takes the passage of a lesson, the segments that play it and what they show to another tuning.
fn taken(lesson: &Lesson, to: SetupId, keeping: FretsOrSound) -> (Lesson, Retuned, VoicingsAlong) {
    let (passages, to) = ([PassageId(1)], lesson.setup(to).unwrap());
    let mut retuned = passages_to(lesson, &passages, to, keeping).unwrap();
    retuned.edits.extend(SegmentsAlong::of(lesson, &passages, to).edits(lesson, to.id));
    let along = with_voicings(lesson, &mut retuned, VoicingsThere::Come(keeping));
    (after(lesson, &retuned), retuned, along)
}

fn with_voicings(lesson: &Lesson, retuned: &mut Retuned, there: VoicingsThere) -> VoicingsAlong {
    let mut ids = IdSource::new(Seed(1), lesson);
    take_along(lesson, retuned, there, &mut || ids.draw(lesson))
}

fn after(lesson: &Lesson, retuned: &Retuned) -> Lesson {
    let mut changed = lesson.clone();
    let back = changed.apply_all(retuned.edits.clone()).unwrap();
    let mut before = changed.clone();
    before.apply_all(back).unwrap();
    assert_eq!(before, *lesson, "one step takes it back");
    changed
}

fn shown(lesson: &Lesson, place: usize) -> Vec<&Voicing> {
    lesson.segments[place].voicings.iter().map(|id| lesson.voicing(*id).unwrap()).collect()
}

fn names(voicings: &[&Voicing]) -> Vec<String> {
    voicings.iter().map(|voicing| voicing.name().unwrap_or("none").to_owned()).collect()
}

fn sounding(lesson: &Lesson, voicing: &Voicing) -> Vec<MidiNote> {
    let mut notes: Vec<MidiNote> =
        lesson.voicing_rig(voicing).unwrap().notes(&voicing.shape).unwrap().into_iter().flatten().collect();
    notes.sort_unstable();
    notes
}

fn of_kind(lesson: &Lesson, kind: FindingKind) -> Vec<Finding> {
    check(lesson).into_iter().filter(|found| found.kind == kind).collect()
}

/// The tuning boxes of the handout of one segment.
fn boxes(lesson: &Lesson, number: &str) -> usize {
    let options = HandoutOptions { segments: number.parse().unwrap(), ..HandoutOptions::default() };
    handout(lesson, &options).to_text().matches("Tuning: ").count()
}

#[test]
fn frets_come_along_with_the_segment_and_names_that_they_no_longer_have_go() {
    let lesson = lesson();
    let (capo, _, along) = taken(&lesson, CAPO, FretsOrSound::Frets);
    assert_eq!(along, VoicingsAlong { moved: 2, ..VoicingsAlong::default() });
    assert_eq!(names(&shown(&capo, 1)), ["C", "G"], "with a capo chords are called by their shape");
    assert!(shown(&capo, 1).iter().all(|voicing| voicing.setup == Some(CAPO)));
    let (dropped, retuned, along) = taken(&lesson, DROP_D, FretsOrSound::Frets);
    // The C leaves string 6 alone, the G has it.
    assert_eq!((names(&shown(&dropped, 1)), along.moved), (vec!["C".to_owned(), "none".to_owned()], 2));
    assert_eq!(retuned.unnamed, ["G"]);
    assert_eq!(dropped.voicings.len(), lesson.voicings.len());
    assert_eq!(boxes(&dropped, "2"), 1);
    // Without them there are two boxes, which is found.
    let mut alone = passages_to(&lesson, &[PassageId(1)], lesson.setup(DROP_D).unwrap(), FretsOrSound::Frets).unwrap();
    alone
        .edits
        .extend(SegmentsAlong::of(&lesson, &[PassageId(1)], lesson.setup(DROP_D).unwrap()).edits(&lesson, DROP_D));
    let alone = after(&lesson, &alone);
    assert_eq!((boxes(&alone, "2"), of_kind(&alone, FindingKind::VoicingSetup).len()), (2, 1));
    assert_eq!(of_kind(&dropped, FindingKind::VoicingSetup), []);
}

#[test]
fn sound_comes_along_with_new_frets() {
    let lesson = lesson();
    let (dropped, retuned, along) = taken(&lesson, DROP_D, FretsOrSound::Sound);
    assert_eq!((along.moved, along.staying.len()), (2, 0));
    for (before, now) in shown(&lesson, 1).into_iter().zip(shown(&dropped, 1)) {
        let told = retuned.remarks.iter().any(|remark| remark.remark.text.starts_with(before.name().unwrap()));
        assert_eq!(sounding(&lesson, before) == sounding(&dropped, now), !told, "{now:?}");
        assert_eq!(now.setup, Some(DROP_D));
        assert_eq!(now.name(), before.name());
    }
    assert_ne!(shown(&dropped, 1)[1].shape, shown(&lesson, 1)[1].shape, "string 6 is lower");
    assert_eq!(of_kind(&dropped, FindingKind::VoicingSetup), []);
}

#[test]
fn what_another_segment_needs_is_copied_and_stays() {
    let mut lesson = lesson();
    lesson.segments[0].voicings = vec![VoicingId(2)];
    for keeping in [FretsOrSound::Frets, FretsOrSound::Sound] {
        let (dropped, _, along) = taken(&lesson, DROP_D, keeping);
        assert_eq!((along.moved, along.copied), (2, 1), "{keeping:?}");
        assert_eq!(dropped.voicing(VoicingId(2)), lesson.voicing(VoicingId(2)), "{keeping:?}");
        assert_eq!(dropped.segments[0].voicings, [VoicingId(2)]);
        assert_eq!(dropped.voicings.len(), lesson.voicings.len() + 1);
        assert!(shown(&dropped, 1).iter().all(|voicing| voicing.setup == Some(DROP_D)));
        assert_eq!(of_kind(&dropped, FindingKind::VoicingSetup), []);
    }
}

#[test]
fn one_that_states_no_tuning_stays_only_where_it_says_so() {
    let mut lesson = lesson();
    for voicing in &mut lesson.voicings {
        voicing.setup = None;
    }
    let goes = Segment { setup: Some(DROP_D), ..lesson.segments[1].clone() };
    let edit = fingerpost::lesson::edit::Edit::Segments(fingerpost::lesson::edit::ListEdit::Replace(goes));
    let retuned = || Retuned { edits: vec![edit.clone()], ..Retuned::default() };
    let mut stays = retuned();
    assert_eq!(with_voicings(&lesson, &mut stays, VoicingsThere::Stay).staying, ["C", "G"]);
    let stays = after(&lesson, &stays);
    assert!(shown(&stays, 1).iter().all(|voicing| voicing.setup == Some(STANDARD)));
    let mut comes = retuned();
    assert_eq!(with_voicings(&lesson, &mut comes, VoicingsThere::Come(FretsOrSound::Frets)).moved, 2);
    let comes = after(&lesson, &comes);
    assert_eq!(names(&shown(&comes, 1)), ["C", "none"]);
    assert!(shown(&comes, 1).iter().all(|voicing| voicing.setup.is_none()));
}

#[test]
fn a_chord_shape_in_another_tuning_than_its_segment_is_found_and_each_way_out_mends_it() {
    let mut lesson = lesson();
    lesson.segments[0].setup = None;
    lesson.segments[3].setup = Some(STANDARD);
    lesson.segments[3].voicings = vec![VoicingId(3)];
    lesson.segments[0].voicings = vec![VoicingId(3), VoicingId(1)];
    let found = of_kind(&lesson, FindingKind::VoicingSetup);
    let [one] = found.as_slice() else { panic!("{found:?}") };
    assert_eq!(one.reason, "chord shape Am is in \"capo 2\", and segments 1 and 4 are played in \"standard\"");
    assert_eq!(one.segments(), [SegmentId(1), SegmentId(4)]);
    assert!(is_a_choice(one));
    let ways = choices(&lesson, one);
    let texts: Vec<&str> = ways.iter().map(|way| way.text.as_str()).collect();
    assert_eq!(
        texts,
        [
            "same frets: Am in \"standard\"",
            "same sound, new frets: Am in \"standard\"",
            "play the segments in \"capo 2\""
        ]
    );
    for (place, way) in ways.into_iter().enumerate() {
        let mut mended = lesson.clone();
        mended.apply_all(way.edits).unwrap();
        let left = of_kind(&mended, FindingKind::VoicingSetup);
        // The first segment shows a C in standard, too.
        assert!(left.iter().all(|left| left.reason.contains(" C ")) && (left.is_empty() || place == 2), "{left:?}");
        assert_eq!(mended.voicing(VoicingId(3)), lesson.voicing(VoicingId(3)), "segment 3 needs it as it is");
    }
}

#[test]
fn chord_shapes_of_a_tuning_that_is_changed_or_deleted_keep_their_sound_where_that_is_chosen() {
    let lesson = lesson();
    let dropped = Setup { id: STANDARD, ..lesson.setups[2].clone() };
    for retuned in [
        tuning_changed(&lesson, dropped, FretsOrSound::Sound).unwrap(),
        tuning_deleted(&lesson, STANDARD, Some(DROP_D), FretsOrSound::Sound).unwrap(),
    ] {
        let changed = after(&lesson, &retuned);
        for (before, now) in shown(&lesson, 1).into_iter().zip(shown(&changed, 1)) {
            let told = retuned.remarks.iter().any(|remark| remark.remark.text.starts_with(before.name().unwrap()));
            assert_eq!(sounding(&lesson, before) == sounding(&changed, now), !told, "{now:?}");
            assert_eq!(now.name(), before.name());
        }
        assert_ne!(shown(&changed, 1)[1].shape, shown(&lesson, 1)[1].shape, "string 6 is lower");
    }
}

#[test]
fn tab_that_keeps_its_frets_is_led_to_the_chord_shapes_of_its_tuning() {
    let mut lesson = lesson();
    lesson.passages[0].bars[1].voices[0].0[0].voicing = Some(VoicingId(2));
    // The segment stays, and shows the shape as well.
    let to = lesson.setup(DROP_D).unwrap().clone();
    let mut retuned = passages_to(&lesson, &[PassageId(1)], &to, FretsOrSound::Frets).unwrap();
    let along = with_voicings(&lesson, &mut retuned, VoicingsThere::Come(FretsOrSound::Frets));
    assert_eq!((along.moved, along.copied), (1, 1));
    let changed = after(&lesson, &retuned);
    let linked = changed.passages[0].bars[1].voices[0].0[0].voicing.unwrap();
    assert_eq!(changed.voicing(linked).unwrap().setup, Some(DROP_D));
    assert_eq!(changed.segments[1].voicings, lesson.segments[1].voicings);
    assert_eq!(changed.voicing(VoicingId(2)), lesson.voicing(VoicingId(2)));
    // A hand cannot hold frets that are not there.
    let mut lesson = self::lesson();
    lesson.voicings[0].shape = "x 22 21 x x x".parse().unwrap();
    let (changed, _, along) = taken(&lesson, CAPO, FretsOrSound::Frets);
    assert_eq!((along.moved, along.staying.as_slice()), (1, &["C".to_owned()][..]));
    assert_eq!(changed.voicing(VoicingId(1)).unwrap().setup, Some(STANDARD));
}

/// The small lesson with both its chords strummed in the tab, each linked to its shape.
fn strummed() -> Lesson {
    let mut lesson = lesson();
    for (bar, voicing) in lesson.voicings.iter().take(2).cloned().collect::<Vec<_>>().into_iter().enumerate() {
        let strings = voicing.shape.strings();
        let held = strings
            .iter()
            .enumerate()
            .filter_map(|(place, fret)| Some(Note::plain(StringNumber::at(place, strings.len())?, (*fret)?)));
        let strum = Event::notes("1/1".parse().unwrap(), held.collect());
        let chord = voicing.name().map(str::to_owned);
        lesson.passages[0].bars[bar].voices[0].0 = vec![Event { chord, voicing: Some(voicing.id), ..strum }];
    }
    lesson
}

/// The events of the first two bars of the passage.
fn strums(lesson: &Lesson) -> Vec<&Event> {
    lesson.passages[0].bars.iter().map(|bar| &bar.voices[0].0[0]).collect()
}

/// Whether an event has the frets and the link that it had.
fn is_as_before(event: &Event, before: &Event) -> bool {
    let frets = |event: &Event| event.notes.iter().map(|note| (note.string, note.fret)).collect::<Vec<_>>();
    event.voicing == before.voicing && frets(event) == frets(before)
}

/// Whether every note of an event lies on the shape that it links to, in the tuning of the passage.
fn is_held(lesson: &Lesson, event: &Event) -> bool {
    let voicing = lesson.voicing(event.voicing.unwrap()).unwrap();
    let same = lesson.voicing_setup(voicing).unwrap().id == lesson.passage_setup(&lesson.passages[0]).unwrap().id;
    same && event.notes.iter().all(|note| voicing.shape.on(note.string) == Some(note.fret))
}

#[test]
fn tab_that_keeps_its_sound_stays_linked_to_the_shapes_that_still_fit() {
    let lesson = strummed();
    let (dropped, retuned, _) = taken(&lesson, DROP_D, FretsOrSound::Sound);
    let told = retuned.remarks.iter().filter(|remark| remark.remark.text.contains("the link to")).count();
    let linked: Vec<&Event> = strums(&dropped).into_iter().filter(|event| event.voicing.is_some()).collect();
    assert_eq!(told + linked.len(), 2, "{:?}", retuned.remarks);
    assert!(linked.iter().all(|event| is_held(&dropped, event)), "{dropped:?}");
    // No finger of the C is on string 6.
    assert!(is_as_before(strums(&dropped)[0], strums(&lesson)[0]));
    // Where the tab is played in other frets than the shape, that is said.
    let mut elsewhere = lesson.clone();
    elsewhere.voicings[1].shape = "3 2 0 0 0 3".parse().unwrap();
    elsewhere.voicings[1].notes = "another one".into();
    let capo = taken(&elsewhere, CAPO, FretsOrSound::Sound);
    for (event, before) in strums(&capo.0).into_iter().zip(strums(&elsewhere)) {
        let told = capo.1.remarks.iter().any(|remark| remark.remark.text.contains("the link to"));
        assert!(event.voicing.map_or(told, |_| is_held(&capo.0, event)), "{before:?} {event:?}");
    }
    // The shape is shown elsewhere, so the tab has a copy of its own, or nothing is copied for it.
    let mut shown_twice = lesson.clone();
    shown_twice.segments[0].voicings = vec![VoicingId(1), VoicingId(2)];
    let (dropped, _, along) = taken(&shown_twice, DROP_D, FretsOrSound::Sound);
    assert_eq!(dropped.voicings.len(), lesson.voicings.len() + along.copied);
    assert!(strums(&dropped).into_iter().all(|event| event.voicing.is_none() || is_held(&dropped, event)));
}

#[test]
fn a_tuning_that_is_changed_with_its_sound_keeps_the_links_to_shapes_that_still_fit() {
    let lesson = strummed();
    let drop_d = Setup { id: STANDARD, ..lesson.setup(DROP_D).unwrap().clone() };
    let changed = after(&lesson, &tuning_changed(&lesson, drop_d, FretsOrSound::Sound).unwrap());
    assert!(is_as_before(strums(&changed)[0], strums(&lesson)[0]));
    let deleted = after(&lesson, &tuning_deleted(&lesson, STANDARD, Some(DROP_D), FretsOrSound::Sound).unwrap());
    assert!(is_as_before(strums(&deleted)[0], strums(&lesson)[0]));
    assert!(strums(&deleted).into_iter().all(|event| event.voicing.is_none() || is_held(&deleted, event)));
}

#[test]
fn names_over_tab_that_keeps_its_frets_are_those_that_the_notes_still_have() {
    let mut lesson = strummed();
    // A line under a name says nothing of the chord.
    let note = |string, fret| Note::plain(StringNumber::new(string).unwrap(), Fret::new(fret).unwrap());
    let line = |string| Event::notes("1/2".parse().unwrap(), vec![note(string, 3)]);
    let mut named = line(5);
    named.chord = Some("Cmaj7".into());
    let mut third = lesson.passages[0].bars[0].clone();
    third.voices[0].0 = vec![named, line(4)];
    lesson.passages[0].bars.push(third);
    let names = |lesson: &Lesson| -> Vec<String> {
        strums(lesson).into_iter().map(|event| event.chord.clone().unwrap_or_default()).collect()
    };
    let (dropped, retuned, _) = taken(&lesson, DROP_D, FretsOrSound::Frets);
    // String 6 sounds a whole step lower under the G.
    assert_eq!(names(&dropped), ["C", "G/F", "Cmaj7"], "{:?}", retuned.remarks);
    assert_eq!(said_of_changes(&retuned.renamed), "; names over the tab: G became G/F");
    // With a capo chords are called by their shape.
    let (capo, retuned, _) = taken(&lesson, CAPO, FretsOrSound::Frets);
    assert_eq!(names(&capo), names(&lesson), "{:?}", retuned.remarks);
    // The same where the tuning is changed or deleted.
    let drop_d = Setup { id: STANDARD, ..lesson.setup(DROP_D).unwrap().clone() };
    let changed = after(&lesson, &tuning_changed(&lesson, drop_d, FretsOrSound::Frets).unwrap());
    let deleted = after(&lesson, &tuning_deleted(&lesson, STANDARD, Some(DROP_D), FretsOrSound::Frets).unwrap());
    assert_eq!([names(&changed), names(&deleted)], [names(&dropped), names(&dropped)]);
}

/// Standard, a retuning to drop D, and a segment in it.
fn with_a_retuning() -> Lesson {
    let mut lesson = lesson();
    let retuning = Segment {
        setup: Some(DROP_D),
        ..Segment::new(SegmentId(9), SegmentKind::Retuning, "Retune", VideoLength::from_seconds(20))
    };
    lesson.segments.truncate(1);
    let plays = Segment {
        id: SegmentId(8),
        recorded: None,
        setup: None,
        passages: vec![PassageUse::whole(PassageId(1))],
        ..lesson.segments[0].clone()
    };
    lesson.segments.extend([retuning, plays]);
    lesson
}

#[test]
fn a_retuning_to_a_tuning_that_is_deleted_goes_with_it_unless_there_is_more_in_it() {
    let lesson = with_a_retuning();
    assert_eq!(of_kind(&lesson, FindingKind::NothingRetuned), []);
    let deleted = |lesson: &Lesson| {
        let mut retuned = tuning_deleted(lesson, DROP_D, Some(STANDARD), FretsOrSound::Frets).unwrap();
        let idle = delete_idle(lesson, &mut retuned);
        (after(lesson, &retuned), idle.deleted, idle.staying)
    };
    let (changed, gone, staying) = deleted(&lesson);
    assert_eq!((gone, staying), (1, 0));
    assert_eq!(changed.segments.iter().map(|one| one.id.0).collect::<Vec<_>>(), [1, 8]);
    assert!(changed.tunings_in_force().iter().all(|(_, now)| *now == Some(STANDARD)));
    let mut more = lesson;
    more.segments[1].voicings = vec![VoicingId(1)];
    let (changed, gone, staying) = deleted(&more);
    assert_eq!((gone, staying, changed.segments.len()), (0, 1, 3));
    assert_eq!(of_kind(&changed, FindingKind::NothingRetuned).len(), 1);
}

#[test]
fn a_retuning_that_changes_nothing_is_found_and_can_be_deleted() {
    let mut lesson = with_a_retuning();
    lesson.segments[1].setup = Some(STANDARD);
    let found = of_kind(&lesson, FindingKind::NothingRetuned);
    let way = remedy(&lesson, &found[0], &mut IdSource::new(Seed(1), &lesson)).unwrap();
    assert_eq!(way.text, "delete it");
    lesson.apply_all(way.edits).unwrap();
    assert_eq!((lesson.segments.len(), of_kind(&lesson, FindingKind::NothingRetuned)), (2, Vec::new()));
}

#[test]
fn what_is_played_in_a_tuning_counts_what_takes_it_from_the_segment_before() {
    let lesson = lesson();
    let played = lesson.played_in(CAPO);
    // The third segment states it, and the fourth takes it from there.
    assert_eq!((played.segments, played.voicings), (2, 1));
    assert_eq!(lesson.played_in(STANDARD).segments, 2);
    assert!(lesson.played_in(DROP_D).is_nothing());
}

#[test]
fn chapters_that_are_too_short_are_one_finding_for_all_their_segments() {
    let mut lesson = lesson();
    for (segment, seconds) in lesson.segments.iter_mut().zip([5, 30, 4, 3]) {
        (segment.recorded, segment.planned) = (None, VideoLength::from_seconds(seconds));
    }
    let found = of_kind(&lesson, FindingKind::Chapters);
    let [one] = found.as_slice() else { panic!("{found:?}") };
    assert_eq!(one.reason, "3 chapters are shorter than the 0:10 that video hosts usually want: segments 1 and 3-4");
    assert_eq!(one.segments(), [SegmentId(1), SegmentId(3), SegmentId(4)]);
    lesson.segments[0].planned = VideoLength::from_seconds(30);
    lesson.segments[3].planned = VideoLength::from_seconds(30);
    let found = of_kind(&lesson, FindingKind::Chapters);
    assert_eq!((found.len(), found[0].segments()), (1, vec![SegmentId(3)]), "{found:?}");
}

#[test]
fn chapters_that_start_in_one_second_are_one_finding_for_all_their_segments() {
    let mut lesson = lesson();
    for (segment, at) in lesson.segments.iter_mut().zip([0, 40, 40, 40]) {
        segment.recorded = Some(Recorded { start: VideoTime(at * 1000), end: None });
    }
    let found = of_kind(&lesson, FindingKind::Chapters);
    let [one] = found.as_slice() else { panic!("{found:?}") };
    assert_eq!(one.reason, "2 chapters start in the same second as the one after them: segments 2-3");
    assert_eq!((one.segments(), one.severity), (vec![SegmentId(2), SegmentId(3)], Severity::Problem));
}

/// Segments without tab, each in a tuning and recorded at a second, or not.
fn in_tunings(parts: &[(SegmentKind, Option<SetupId>, Option<u32>)]) -> Lesson {
    let segment = |(place, (kind, setup, at)): (usize, &(SegmentKind, Option<SetupId>, Option<u32>))| {
        let id = SegmentId(u32::try_from(place).unwrap() + 1);
        let recorded = at.map(|at| Recorded { start: VideoTime(at * 1000), end: Some(VideoTime((at + 60) * 1000)) });
        Segment { setup: *setup, recorded, ..Segment::new(id, *kind, "part", VideoLength::from_seconds(60)) }
    };
    Lesson { segments: parts.iter().enumerate().map(segment).collect(), passages: Vec::new(), ..lesson() }
}

#[test]
fn each_change_of_tuning_in_the_video_is_found_once_wherever_the_segments_stand() {
    use SegmentKind::{Retuning, Talk};
    let at = |parts: &[(SegmentKind, Option<SetupId>, Option<u32>)]| -> Vec<u32> {
        let mut found: Vec<u32> = of_kind(&in_tunings(parts), FindingKind::Retuning)
            .into_iter()
            .map(|found| if let LessonPlace::Segment(id) = found.place { id.0 } else { 0 })
            .collect();
        found.sort_unstable();
        found
    };
    let (standard, drop_d) = (Some(STANDARD), Some(DROP_D));
    // As they stand, not recorded.
    assert_eq!(at(&[(Talk, standard, None), (Talk, drop_d, None), (Talk, standard, None)]), [2, 3]);
    // The one in drop D was recorded last, or first: the video changes once.
    assert_eq!(at(&[(Talk, standard, Some(0)), (Talk, drop_d, Some(120)), (Talk, standard, Some(60))]), [2]);
    assert_eq!(at(&[(Talk, standard, Some(60)), (Talk, drop_d, Some(0)), (Talk, standard, Some(120))]), [1]);
    // In the list it stands at the end, in the video between the two.
    assert_eq!(at(&[(Talk, standard, Some(0)), (Talk, standard, Some(120)), (Talk, drop_d, Some(60))]), [2, 3]);
    // All recorded from the last to the first.
    assert_eq!(at(&[(Talk, standard, Some(120)), (Talk, drop_d, Some(60)), (Talk, standard, Some(0))]), [1, 2]);
    // A retuning counts where it was recorded.
    let retuned = [(Talk, standard, Some(0)), (Talk, drop_d, Some(120)), (Retuning, None, Some(60))];
    assert_eq!(at(&retuned), Vec::<u32>::new());
    let too_late = [(Talk, standard, Some(0)), (Retuning, None, Some(120)), (Talk, drop_d, Some(60))];
    assert_eq!(at(&too_late), [3]);
}

#[test]
fn a_shape_without_a_name_that_a_segment_shows_is_found_and_named_by_its_readings() {
    let mut lesson = lesson();
    lesson.voicings[1].readings.clear();
    let found = |lesson: &Lesson| -> Vec<Finding> {
        check(lesson).into_iter().filter(|found| found.reason.contains("without a name")).collect()
    };
    let [only] = &found(&lesson)[..] else { panic!("{:?}", check(&lesson)) };
    assert_eq!(only.place, LessonPlace::Voicing(VoicingId(2), None));
    assert!(is_a_choice(only));
    let ways = choices(&lesson, only);
    assert_eq!(ways[0].text, "name it G");
    for way in ways {
        let mut named = lesson.clone();
        named.apply_all(way.edits).unwrap();
        assert_eq!(found(&named), []);
        assert!(way.text.ends_with(named.voicings[1].name().unwrap()));
    }
    // Nobody sees one that no segment shows.
    lesson.segments[1].voicings.retain(|id| *id != VoicingId(2));
    assert_eq!(found(&lesson), []);
}

#[test]
fn a_retuning_whose_title_names_another_tuning_than_it_leads_to_is_found_and_renamed() {
    let titled = |title: &str, to: Option<SetupId>, next: SetupId| {
        let mut lesson = in_tunings(&[
            (SegmentKind::Talk, Some(STANDARD), None),
            (SegmentKind::Retuning, to, None),
            (SegmentKind::Talk, Some(next), None),
        ]);
        lesson.segments[1].title = title.to_owned();
        lesson
    };
    for (title, to, next, renamed) in [
        ("Retune to standard", Some(DROP_D), DROP_D, Some("Retune to drop D")),
        // The tuning was called so before it was changed.
        ("Retune to DADGAD, please", None, DROP_D, Some("Retune to drop D, please")),
        ("Open G", Some(DROP_D), DROP_D, Some("drop D")),
        ("Retune to Drop D", Some(DROP_D), DROP_D, None),
        ("From standard to drop D", Some(DROP_D), DROP_D, None),
        ("Out of standard", Some(DROP_D), DROP_D, None),
        ("Retuning", Some(DROP_D), DROP_D, None),
        ("Substandard strings", Some(DROP_D), DROP_D, None),
        // It says the tuning that it leaves.
        ("Retune to drop D", Some(STANDARD), DROP_D, None),
        // Behind the capo the strings are standard.
        ("Capo on, standard", Some(CAPO), CAPO, None),
    ] {
        let mut lesson = titled(title, to, next);
        let found = of_kind(&lesson, FindingKind::RetuningTitle);
        assert_eq!(found.len(), usize::from(renamed.is_some()), "{title}: {found:?}");
        let Some(found) = found.first() else { continue };
        let mending = remedy(&lesson, found, &mut IdSource::new(Seed(1), &lesson)).unwrap();
        assert!(found.remedy.starts_with(&mending.text), "{} {}", found.remedy, mending.text);
        lesson.apply_all(mending.edits).unwrap();
        assert_eq!(Some(lesson.segments[1].title.as_str()), renamed);
        assert_eq!(of_kind(&lesson, FindingKind::RetuningTitle), []);
    }
}
