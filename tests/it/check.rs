//! The check over random music and random lessons.

use std::collections::BTreeSet;

use fingerpost::instrument::body::{Instrument, Millimetres};
use fingerpost::instrument::neck::Fret;
use fingerpost::instrument::tuning::Tuning;
use fingerpost::lesson::check::{Checked, Finding, FindingKind, check, mended_by, remedy};
use fingerpost::lesson::document::{Lesson, OwnedInstrument, Setup};
use fingerpost::lesson::fresh::{IdSource, Seed};
use fingerpost::lesson::id::{InstrumentId, SetupId};
use fingerpost::lesson::music::{Event, Note, Passage};
use fingerpost::lesson::time::Length;
use fingerpost::lesson::touched::Touched;
use fingerpost::theory::pitch::{MidiNote, Pitch};
use proptest::prelude::*;

use super::arbitrary::{Choices, any_lesson, any_lesson_and_chain, any_passage_on_any_neck, edit_from};

/// A lesson with one passage on an instrument of so many strings and frets.
fn lesson_with(passage: Passage, strings: u8, frets: u8) -> Lesson {
    let body = Instrument {
        name: "test neck".into(),
        strings,
        frets: Fret::new(frets).unwrap(),
        scale: Millimetres(648.0),
        short: None,
    };
    let open = (0..strings).map(|string| Pitch::usual(MidiNote::new(40 + string).unwrap())).collect();
    let setup = Setup {
        id: SetupId(1),
        name: "as it comes".into(),
        instrument: InstrumentId(1),
        tuning: Tuning::new(open).unwrap(),
        capo: None,
        reference: None,
        tone: String::new(),
    };
    Lesson {
        instruments: vec![OwnedInstrument { id: InstrumentId(1), body }],
        setups: vec![setup],
        passages: vec![passage],
        ..Lesson::default()
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// Ties the generator and the check together: what one makes as valid the other finds valid. Chord names stand over whatever
    /// comes, chords are put together without a thought of the hand, and a passage may be one of empty bars or of rests, which is said once.
    #[test]
    fn valid_music_has_no_findings((music, passage) in any_passage_on_any_neck()) {
        let lesson = lesson_with(passage, music.strings, music.frets);
        let (empty, others): (Vec<Finding>, Vec<Finding>) =
            check(&lesson).into_iter().partition(|finding| finding.kind == FindingKind::NothingWritten);
        let findings: Vec<String> = others
            .iter()
            .filter(|finding| !matches!(finding.kind,
                FindingKind::NoTitle
                    | FindingKind::ContradictedName
                    | FindingKind::MissingName
                    | FindingKind::NotHeld
            ))
            .map(|finding| finding.text(&lesson))
            .collect();
        prop_assert!(findings.is_empty(), "{findings:#?}");
        prop_assert_eq!(empty.len(), usize::from(lesson.passages[0].is_blank()));
    }

    #[test]
    fn music_that_was_valid_until_somebody_slipped_is_found((music, mut passage) in any_passage_on_any_neck()) {
        let struck = |event: &&mut Event| !event.is_rest();
        let events = passage.bars.iter_mut().flat_map(|bar| &mut bar.voices).flat_map(|voice| &mut voice.0);
        let Some(event) = events.into_iter().find(struck) else { return Ok(()) };
        let twin = Note::plain(event.notes[0].string, event.notes[0].fret);
        event.notes.push(twin);
        if music.frets < Fret::LAST {
            event.notes.push(Note::plain(event.notes[0].string, Fret::new(music.frets + 1).unwrap()));
        }
        let voice = passage.bars.iter_mut().flat_map(|bar| &mut bar.voices).last().unwrap();
        // More than the longest meter holds, so that no pickup makes it right.
        voice.0.extend(vec![Event::rest(Length::QUARTER); 7]);
        let found: BTreeSet<FindingKind> =
            check(&lesson_with(passage, music.strings, music.frets)).iter().map(|finding| finding.kind).collect();
        for kind in [FindingKind::StringClash, FindingKind::BarLength, FindingKind::OffTheNeck] {
            prop_assert!(found.contains(&kind), "{kind:?} is not among {found:?}");
        }
    }

    #[test]
    fn findings_stand_in_the_order_of_the_document_and_read_well(lesson in any_lesson()) {
        let findings = check(&lesson);
        prop_assert!(findings.is_sorted_by_key(|finding| finding.place.order(&lesson)));
        for finding in &findings {
            for text in [&finding.reason, &finding.remedy] {
                prop_assert!(!text.is_empty() && !text.ends_with('.') || text.ends_with("N.C."), "{text}");
                prop_assert!(!text.contains(char::is_control), "{text:?}");
            }
        }
    }

    /// What the workbench does after every key must find what `fingerpost check` finds.
    #[test]
    fn findings_kept_up_to_date_are_those_of_a_whole_check(
        (mut lesson, chain) in any_lesson_and_chain(),
        together in 1usize..4,
    ) {
        let mut checked = Checked::default();
        checked.follow(&lesson, &Touched::everything());
        for numbers in chain.chunks(together) {
            let mut touched = Touched::default();
            let mut undo = Vec::new();
            for numbers in numbers {
                let edit = edit_from(&lesson, &mut Choices::new(numbers));
                if let Ok(inverse) = lesson.apply(edit.clone()) {
                    touched.note(&[edit]);
                    undo.insert(0, inverse);
                }
            }
            checked.follow(&lesson, &touched);
            prop_assert_eq!(checked.findings(), check(&lesson));
            if undo.len() == together {
                let mut touched = Touched::default();
                touched.note(&undo);
                lesson.apply_all(undo).unwrap();
                checked.follow(&lesson, &touched);
                prop_assert_eq!(checked.findings(), check(&lesson));
            }
        }
    }

    #[test]
    fn any_document_can_be_checked((mut lesson, chain) in any_lesson_and_chain()) {
        for numbers in &chain {
            let _ = lesson.apply(edit_from(&lesson, &mut Choices::new(numbers)));
        }
        let findings = check(&lesson);
        prop_assert_eq!(findings, check(&lesson.clone()));
    }
}

/// Lessons in which more is wrong than in most: titles gone, numbers shared, times turned around.
fn any_broken_lesson() -> impl Strategy<Value = Lesson> {
    (any_lesson(), prop::collection::vec((0usize..13, 0usize..8), 0..12)).prop_map(|(mut lesson, faults)| {
        for (fault, place) in faults {
            let first = lesson.segments.first().map(|segment| segment.id);
            let Some(segment) = lesson.segments.get_mut(place) else { continue };
            match fault {
                0 => segment.title.clear(),
                1 => segment.planned.0 = 0,
                2 => segment.id = first.unwrap(),
                3 => segment.passages.iter_mut().for_each(|used| (used.times, used.slow_times) = (0, 0)),
                4 => segment.passages.iter_mut().for_each(|used| (used.slow_times, used.slow_percent) = (1, 0)),
                5 => segment.recorded.iter_mut().for_each(|known| known.end = Some(known.start)),
                6 => lesson.voicings.clear(),
                7 => lesson.pieces.iter_mut().for_each(|piece| piece.title.clear()),
                8 => lesson.setups.iter_mut().for_each(|setup| setup.name.clear()),
                9 => lesson.passages.iter_mut().for_each(|passage| passage.title.clear()),
                10 => lesson.setups.truncate(1),
                11 => segment.recorded = None,
                _ => lesson.passages.iter_mut().for_each(|passage| passage.id.0 = passage.id.0.min(4)),
            }
        }
        lesson
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn a_remedy_mends_what_was_found_and_can_be_undone(before in any_broken_lesson()) {
        for finding in check(&before) {
            let remedy = remedy(&before, &finding, &mut IdSource::new(Seed(5), &before));
            prop_assert_eq!(mended_by(&before, &finding), remedy.as_ref().map(|remedy| remedy.text.clone()));
            let Some(remedy) = remedy else { continue };
            let mut lesson = before.clone();
            let undo = lesson.apply_all(remedy.edits).unwrap();
            prop_assert!(!check(&lesson).contains(&finding), "{} does not mend {finding:?}", remedy.text);
            lesson.apply_all(undo).unwrap();
            prop_assert_eq!(&lesson, &before);
        }
    }
}

#[test]
fn what_leaves_nothing_to_decide_has_a_remedy() {
    use fingerpost::lesson::document::{Recorded, Segment, SegmentKind};
    use fingerpost::lesson::id::{PieceId, SegmentId};
    use fingerpost::lesson::time::{VideoLength, VideoTime};
    let segment = |id, title: &str, start, end| Segment {
        recorded: Some(Recorded { start: VideoTime(start), end: Some(VideoTime(end)) }),
        ..Segment::new(SegmentId(id), SegmentKind::Talk, title, VideoLength::from_seconds(60))
    };
    let mut lesson = Lesson {
        segments: vec![
            segment(1, "One", 1_000, 40_000),
            segment(2, "Two", 30_000, 60_000),
            segment(3, "", 90_000, 80_000),
            segment(4, "Four", 70_000, 75_000),
        ],
        ..Lesson::default()
    };
    lesson.segments[1].pieces.push(PieceId(9));
    let mut ids = IdSource::new(Seed(5), &lesson);
    let found = check(&lesson);
    let mended: Vec<(FindingKind, String)> =
        found.iter().filter_map(|finding| Some((finding.kind, remedy(&lesson, finding, &mut ids)?.text))).collect();
    let expected = [
        (FindingKind::DanglingLink, "delete the link"),
        (FindingKind::Overlap, "end what runs into it at 0:30"),
        (FindingKind::RunsBackwards, "delete the end"),
        (FindingKind::NoTitle, "call it \"Talk\""),
        (FindingKind::RecordedOrder, "put the segments in the order of the video"),
        (FindingKind::Chapters, "let \"One\" start at 0:00"),
    ];
    for (kind, text) in expected {
        assert!(mended.iter().any(|mended| *mended == (kind, text.to_owned())), "{kind:?}: {mended:?}");
    }
}

/// A lesson with one passage, whose own link and that of its event lead nowhere.
fn with_dead_links() -> Lesson {
    use fingerpost::lesson::id::{PassageId, PieceId, VoicingId};
    use fingerpost::lesson::music::{Bar, Event, Passage, Voice};
    use fingerpost::lesson::time::{Length, NoteValue};
    let event = Event { voicing: Some(VoicingId(9)), ..Event::rest(Length::plain(NoteValue::Whole)) };
    let bars = vec![Bar { voices: vec![Voice(vec![event])], ..Bar::default() }];
    let passage = Passage { piece: Some(PieceId(9)), ..Passage::plain(PassageId(1), "verse", bars) };
    Lesson { passages: vec![passage], ..Lesson::default() }
}

#[test]
fn a_link_that_leads_nowhere_is_found_once_and_mended_by_itself() {
    let lesson = with_dead_links();
    let mut found = check(&lesson);
    found.retain(|finding| finding.kind == FindingKind::DanglingLink);
    assert_eq!(found.len(), 2, "{found:?}");
    for finding in &found {
        let mut mended = lesson.clone();
        mended.apply_all(remedy(&lesson, finding, &mut IdSource::new(Seed(5), &lesson)).unwrap().edits).unwrap();
        let mut left = check(&mended);
        left.retain(|finding| finding.kind == FindingKind::DanglingLink);
        assert_eq!(left.len(), 1, "the other one is left alone: {left:?}");
    }
}

#[test]
fn a_setup_takes_the_only_instrument_there_is_and_does_not_choose_among_several() {
    use fingerpost::lesson::document::{OwnedInstrument, Setup};
    use fingerpost::lesson::id::{InstrumentId, SetupId};
    use fingerpost::workbench::editing::rigs::standard_guitar;
    let rig = standard_guitar();
    let owned = |id| OwnedInstrument { id: InstrumentId(id), body: rig.instrument().clone() };
    let setup = Setup {
        id: SetupId(1),
        name: "standard".into(),
        instrument: InstrumentId(9),
        tuning: rig.tuning().clone(),
        capo: None,
        reference: None,
        tone: String::new(),
    };
    let mended = |instruments: Vec<OwnedInstrument>| {
        let lesson = Lesson { instruments, setups: vec![setup.clone()], ..Lesson::default() };
        let found = check(&lesson).into_iter().find(|finding| finding.kind == FindingKind::DanglingLink).unwrap();
        remedy(&lesson, &found, &mut IdSource::new(Seed(5), &lesson)).map(|remedy| remedy.text)
    };
    assert_eq!(mended(vec![owned(4)]).as_deref(), Some("choose the guitar"));
    assert_eq!((mended(vec![owned(4), owned(5)]), mended(Vec::new())), (None, None));
}
