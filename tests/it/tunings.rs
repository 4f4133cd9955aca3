//! Passages that go to another tuning or capo, with their frets or with their sound; tunings that are changed and
//! deleted.

use fingerpost::instrument::catalogue;
use fingerpost::instrument::neck::Fret;
use fingerpost::instrument::tuning::Capo;
use fingerpost::lesson::check::{Checked, Finding, FindingKind, check, choices, is_a_choice};
use fingerpost::lesson::document::{Lesson, OwnedInstrument, PassageUse, Piece, Segment, SegmentKind, Setup, Voicing};
use fingerpost::lesson::edit::{Edit, ListEdit};
use fingerpost::lesson::id::{InstrumentId, ItemId, PassageId, PieceId, SegmentId, SetupId, VoicingId};
use fingerpost::lesson::keys_along::KeyChange;
use fingerpost::lesson::music::Passage;
use fingerpost::lesson::place::LessonPlace;
use fingerpost::lesson::time::VideoLength;
use fingerpost::lesson::touched::Touched;
use fingerpost::lesson::tunings::{FretsOrSound, Retuned, passages_to, tuning_changed, tuning_deleted};
use fingerpost::lesson::tunings_along::SegmentsAlong;
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::HandoutOptions;
use fingerpost::tab::read::own_tuning::own_tuning;
use fingerpost::tab::read::{ReadHints, read};
use fingerpost::theory::key::Key;
use proptest::prelude::*;

const STANDARD: SetupId = SetupId(1);
const CAPO: SetupId = SetupId(2);
const DROP_D: SetupId = SetupId(3);

fn setup(id: SetupId, tuning: &str, capo: Option<&str>) -> Setup {
    let guitar = &catalogue::guitar().instrument;
    Setup {
        id,
        name: tuning.to_owned(),
        instrument: InstrumentId(1),
        tuning: catalogue::tuning_from_text(tuning, guitar).unwrap(),
        capo: capo.map(|capo| capo.parse::<Capo>().unwrap()),
        reference: None,
        tone: String::new(),
    }
}

/// Tab of six strings as a passage, in the tuning of `setup`.
fn passage(id: u32, setup: Option<SetupId>, tab: &str) -> Passage {
    let read = read(tab, &ReadHints::new(PassageId(id), format!("passage {id}"))).unwrap();
    Passage { setup, ..read.passage }
}

const RIFF: &str = "4/4  q=90\n   q  q  q  q\ne|----------2-|\nB|-------3----|\nG|----2-------|\nD|-0----------|\nA|------------|\nE|------------|\n";
const BASS: &str =
    "4/4  q=90\n   q  q  h\ne|---------|\nB|---------|\nG|---------|\nD|---------|\nA|-2--3----|\nE|-------5-|\n";

/// A piece of two passages in standard, a passage that states nothing, and a segment for each.
fn lesson() -> Lesson {
    let guitar = OwnedInstrument { id: InstrumentId(1), body: catalogue::guitar().instrument.clone() };
    let plays = |id: u32, passage: u32| Segment {
        pieces: if passage < 3 { vec![PieceId(1)] } else { Vec::new() },
        passages: vec![PassageUse::whole(PassageId(passage))],
        ..Segment::new(SegmentId(id), SegmentKind::Walkthrough, "a segment", VideoLength::from_seconds(40))
    };
    let piece = Piece { setup: Some(STANDARD), ..Piece::new(PieceId(1), "Gasworks Lantern") };
    let voicing = Voicing {
        id: VoicingId(1),
        shape: "x32010".parse().unwrap(),
        doubts: Vec::new(),
        setup: None,
        readings: vec!["C".into()],
        fingers: Vec::new(),
        barre: None,
        tags: Vec::new(),
        notes: String::new(),
    };
    Lesson {
        instruments: vec![guitar],
        setups: vec![
            setup(STANDARD, "standard", None),
            setup(CAPO, "standard", Some("2")),
            setup(DROP_D, "drop D", None),
        ],
        pieces: vec![piece],
        passages: vec![passage(1, Some(STANDARD), RIFF), passage(2, Some(STANDARD), BASS), passage(3, None, RIFF)],
        voicings: vec![voicing],
        segments: vec![plays(1, 1), plays(2, 2), plays(3, 3)],
        ..Lesson::default()
    }
}

/// What every note of a passage sounds, as numbers of MIDI keys, in order: the open string, raised by the capo (MusicXML 4.0, element
/// `capo`) and by the fret.
fn sounding(lesson: &Lesson, id: PassageId) -> Vec<u8> {
    let passage = lesson.passage(id).unwrap();
    let setup = lesson.passage_setup(passage).unwrap();
    let capo = setup.capo.as_ref().map_or(0, |capo| capo.fret.number());
    let events = passage.bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0);
    let mut all = Vec::new();
    for event in events {
        let mut chord: Vec<u8> = event
            .notes
            .iter()
            .map(|note| setup.tuning.open(note.string).unwrap().midi().number() + capo + note.fret.number())
            .collect();
        chord.sort_unstable();
        all.extend(chord);
    }
    all
}

fn frets(lesson: &Lesson, id: PassageId) -> Vec<(u8, u8)> {
    let bars = &lesson.passage(id).unwrap().bars;
    let events = bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0);
    events.flat_map(|event| &event.notes).map(|note| (note.string.number(), note.fret.number())).collect()
}

fn after(lesson: &Lesson, retuned: &Retuned) -> Lesson {
    let mut changed = lesson.clone();
    changed.apply_all(retuned.edits.clone()).unwrap();
    changed
}

#[test]
fn the_same_frets_sound_otherwise_in_another_tuning_and_the_same_sound_has_other_frets() {
    let lesson = lesson();
    let all = [PassageId(1), PassageId(2), PassageId(3)];
    for to in [&lesson.setups[1], &lesson.setups[2]] {
        let kept = after(&lesson, &passages_to(&lesson, &all, to, FretsOrSound::Frets).unwrap());
        let retuned = passages_to(&lesson, &all, to, FretsOrSound::Sound).unwrap();
        let moved = after(&lesson, &retuned);
        for id in all {
            assert_eq!(frets(&kept, id), frets(&lesson, id));
            assert_eq!(kept.passage(id).unwrap().setup, Some(to.id));
            assert_eq!(moved.passage(id).unwrap().setup, Some(to.id));
            // D3, the lowest note of the riff, is below the open fourth string behind a capo, and so is found elsewhere.
            assert_eq!(sounding(&moved, id), sounding(&lesson, id), "{id:?} in {}", to.name);
        }
        if to.capo.is_some() {
            let higher: Vec<u8> = sounding(&lesson, PassageId(1)).iter().map(|key| key + 2).collect();
            assert_eq!(sounding(&kept, PassageId(1)), higher, "a capo at fret 2 raises every string by two");
        }
    }
    // The A on string 6 is two frets higher when that string is a whole step lower.
    let dropped =
        after(&lesson, &passages_to(&lesson, &[PassageId(2)], &lesson.setups[2], FretsOrSound::Frets).unwrap());
    assert_eq!(sounding(&lesson, PassageId(2)), [47, 48, 45]);
    assert_eq!(sounding(&dropped, PassageId(2)), [47, 48, 43]);
}

#[test]
fn a_tuning_that_is_changed_takes_along_what_is_played_in_it_and_nothing_else() {
    let lesson = lesson();
    let lower = setup(STANDARD, "drop D", None);
    let kept = after(&lesson, &tuning_changed(&lesson, lower.clone(), FretsOrSound::Frets).unwrap());
    let moved = after(&lesson, &tuning_changed(&lesson, lower, FretsOrSound::Sound).unwrap());
    assert_eq!(kept.passages, lesson.passages);
    // The third passage states no tuning and is played in the first.
    for id in [PassageId(1), PassageId(2), PassageId(3)] {
        assert_eq!(sounding(&moved, id), sounding(&lesson, id));
    }
    assert_ne!(sounding(&kept, PassageId(2)), sounding(&lesson, PassageId(2)));
    assert_eq!(moved.voicings, lesson.voicings);
    let other =
        after(&lesson, &tuning_changed(&lesson, setup(CAPO, "standard", Some("5")), FretsOrSound::Sound).unwrap());
    assert_eq!((&other.passages, &other.segments), (&lesson.passages, &lesson.segments));
}

#[test]
fn what_was_played_in_a_tuning_that_is_deleted_is_played_in_the_other() {
    let lesson = lesson();
    let played = lesson.played_in(STANDARD);
    // No segment states another.
    assert_eq!((played.segments, played.pieces, played.passages.len(), played.voicings), (3, 1, 3, 1));
    assert!(lesson.played_in(CAPO).is_nothing());
    for keeping in [FretsOrSound::Frets, FretsOrSound::Sound] {
        let changed = after(&lesson, &tuning_deleted(&lesson, STANDARD, Some(CAPO), keeping).unwrap());
        changed.each_link(|_| true, |link| assert_ne!(link.to, ItemId::Setup(STANDARD), "{keeping:?}"));
        assert!(check(&changed).iter().all(|finding| finding.kind != FindingKind::PassageSetup), "{keeping:?}");
        for id in [PassageId(1), PassageId(2), PassageId(3)] {
            match keeping {
                FretsOrSound::Frets => assert_eq!(frets(&changed, id), frets(&lesson, id)),
                FretsOrSound::Sound => assert_eq!(sounding(&changed, id), sounding(&lesson, id)),
            }
        }
        assert_eq!(changed.voicing_setup(&changed.voicings[0]).unwrap().id, CAPO);
        assert_eq!(changed.segment_setup(SegmentId(1)).unwrap().id, CAPO);
    }
    let unused = tuning_deleted(&lesson, CAPO, None, FretsOrSound::Frets).unwrap();
    assert_eq!(unused.edits.len(), 1);
    assert!(tuning_deleted(&lesson, CAPO, Some(CAPO), FretsOrSound::Frets).is_err(), "it cannot go to itself");
    assert!(tuning_deleted(&lesson, SetupId(9), None, FretsOrSound::Frets).is_err());
}

#[test]
fn the_passages_of_a_piece_are_those_that_state_it_and_those_played_for_it_alone() {
    let mut lesson = lesson();
    assert_eq!(lesson.passages_of(PieceId(1)), [PassageId(1), PassageId(2)]);
    lesson.passages[2].piece = Some(PieceId(1));
    assert_eq!(lesson.passages_of(PieceId(1)), [PassageId(1), PassageId(2), PassageId(3)]);
    lesson.segments[0].pieces.push(PieceId(2));
    assert_eq!(lesson.passages_of(PieceId(1)), [PassageId(2), PassageId(3)]);
}

#[test]
fn a_passage_in_another_tuning_than_its_segment_is_found_and_either_can_follow_the_other() {
    // Stated by the segments, by the passage.
    for (state, reason) in [
        "2 passages of \"Gasworks Lantern\" are in \"standard\", and segments 1 and 2 are played in \"drop D\"",
        "passage \"passage 1\" is in \"standard\", and this segment is played in \"standard\"",
    ]
    .into_iter()
    .enumerate()
    {
        let mut lesson = lesson();
        match state {
            0 => lesson.segments[0].setup = Some(DROP_D),
            _ => lesson.passages[0].setup = Some(CAPO),
        }
        let found = of_kind(&lesson, FindingKind::PassageSetup);
        let [first] = &found[..] else { panic!("{state}: {found:?}") };
        assert_eq!(first.reason, reason);
        assert!(is_a_choice(first) && first.remedy.contains("same frets or same sound"), "{first:?}");
        let ways = choices(&lesson, first);
        assert!(ways[0].text.starts_with("play the segment"), "{}", ways[0].text);
        assert!(ways[1].text.ends_with(": same frets") && ways[2].text.ends_with("same sound, new frets"));
        for way in ways {
            let mut mended = lesson.clone();
            mended.apply_all(way.edits.clone()).unwrap();
            assert_eq!(of_kind(&mended, FindingKind::PassageSetup), [], "{state}: {}", way.text);
            // What plays something else stays in its tuning.
            let third = |lesson: &Lesson| lesson.segment_setup(SegmentId(3)).map(|setup| setup.id);
            assert_eq!(third(&mended), third(&lesson), "{state}: {}", way.text);
        }
    }
}

fn of_kind(lesson: &Lesson, kind: FindingKind) -> Vec<Finding> {
    check(lesson).into_iter().filter(|finding| finding.kind == kind).collect()
}

#[test]
fn what_states_no_tuning_is_in_that_of_the_segment_that_plays_it() {
    let mut lesson = lesson();
    let of_third = |lesson: &Lesson| lesson.passage_setup(&lesson.passages[2]).unwrap().id;
    let of_chord = |lesson: &Lesson| lesson.voicing_setup(&lesson.voicings[0]).unwrap().id;
    lesson.segments[2].setup = Some(CAPO);
    assert_eq!(of_kind(&lesson, FindingKind::PassageSetup), []);
    assert_eq!((of_third(&lesson), of_chord(&lesson)), (CAPO, STANDARD));
    // The handout prints it there too.
    let pages = handout(&lesson, &HandoutOptions::default()).pages;
    let text: String = pages.iter().flat_map(|page| &page.lines).map(|line| format!("{line}\n")).collect();
    assert!(text.contains("Capo         fret 2"), "{text}");
    // A voicing is in the tuning of the passage that holds it, and of the segment that shows it before that.
    lesson.passages[2].bars[0].voices[0].0[0].voicing = Some(VoicingId(1));
    assert_eq!(of_chord(&lesson), CAPO);
    lesson.segments[1].voicings.push(VoicingId(1));
    assert_eq!(of_chord(&lesson), STANDARD);
    assert_eq!(of_kind(&lesson, FindingKind::AssumedSetup), []);
    // Played in two tunings, it could be in either.
    lesson.segments[1].passages.push(PassageUse::whole(PassageId(3)));
    lesson.segments[2].voicings.push(VoicingId(1));
    let found = of_kind(&lesson, FindingKind::AssumedSetup);
    let reasons: Vec<&str> = found.iter().map(|finding| finding.reason.as_str()).collect();
    let names = "\"standard\" and \"standard\"";
    assert_eq!(
        reasons,
        [
            format!("it states no tuning, and is played in {names}"),
            format!("it states no tuning, and is shown in {names}"),
        ]
    );
    for finding in found {
        let ways = choices(&lesson, &finding);
        assert_eq!(ways.len(), 2, "{ways:?}");
        for (way, id) in ways.iter().zip([STANDARD, CAPO]) {
            let mut stated = lesson.clone();
            stated.apply_all(way.edits.clone()).unwrap();
            let found = of_kind(&stated, FindingKind::AssumedSetup);
            assert!(found.iter().all(|other| other.place != finding.place), "{found:?}");
            let stated = [stated.passages[2].setup, stated.voicings[0].setup];
            assert!(stated.contains(&Some(id)) && stated.contains(&None), "{stated:?}");
        }
    }
    // Played by nothing, it is taken to be in the first; where all tunings are alike, nothing is said.
    lesson.segments.iter_mut().for_each(|segment| segment.passages.retain(|used| used.passage != PassageId(3)));
    lesson.voicings.clear();
    lesson.segments.iter_mut().for_each(|segment| segment.voicings.clear());
    lesson.passages[2].bars[0].voices[0].0[0].voicing = None;
    let found = of_kind(&lesson, FindingKind::AssumedSetup);
    assert!(found.len() == 1 && found[0].reason.contains("assumed to be in \"standard\""), "{found:?}");
    assert_eq!((of_third(&lesson), choices(&lesson, &found[0]).len()), (STANDARD, 3));
    lesson.setups.truncate(1);
    lesson.segments[2].setup = None;
    assert_eq!(of_kind(&lesson, FindingKind::AssumedSetup), []);
}

/// What is kept of the findings while the lesson changes is what a whole check finds.
#[test]
fn a_change_of_a_segment_is_seen_by_what_takes_its_tuning() {
    let mut lesson = lesson();
    // Fret 20 is on the neck of a guitar without a capo and past its end with one at the second fret.
    lesson.passages[2].bars[0].voices[0].0[0].notes[0].fret = Fret::new(22).unwrap();
    let mut checked = Checked::default();
    checked.follow(&lesson, &Touched::everything());
    assert_eq!(checked.findings(), check(&lesson));
    let edits = vec![Edit::Segments(ListEdit::Replace(Segment { setup: Some(CAPO), ..lesson.segments[2].clone() }))];
    let mut touched = Touched::default();
    touched.note(&edits);
    lesson.apply_all(edits).unwrap();
    checked.follow(&lesson, &touched);
    assert_eq!(checked.findings(), check(&lesson));
    assert_eq!(of_kind(&lesson, FindingKind::OffTheNeck).len(), 1);
}

#[test]
fn keys_move_as_far_as_the_sound_of_the_frets_and_with_the_sound_they_stay() {
    let key = |text: &str| Some(text.parse::<Key>().unwrap());
    let mut lesson = lesson();
    lesson.pieces[0].key = key("G");
    lesson.passages[0].key = key("Em");
    lesson.passages[0].bars[0].key = key("D");
    let all = [PassageId(1), PassageId(2)];
    let keys = |lesson: &Lesson| {
        let [first, second, ..] = &lesson.passages[..] else { panic!() };
        [lesson.pieces[0].key, first.key, first.bars[0].key, second.key]
    };
    let to = |lesson: &Lesson, passages: &[PassageId], id, keeping| {
        let retuned = passages_to(lesson, passages, lesson.setup(id).unwrap(), keeping).unwrap();
        (keys(&after(lesson, &retuned)), retuned.keys)
    };
    let moved = |from: &str, to: &str| KeyChange::Moved { from: from.parse().unwrap(), to: to.parse().unwrap() };
    // Two frets up: a whole step.
    let (up, told) = to(&lesson, &all, CAPO, FretsOrSound::Frets);
    assert_eq!(up, [key("A"), key("F#m"), key("E"), None]);
    assert_eq!(told, [moved("Em", "F#m"), moved("D", "E"), moved("G", "A")]);
    assert_eq!(to(&lesson, &all, CAPO, FretsOrSound::Sound), (keys(&lesson), vec![]));
    // The piece stays where another of its passages does, and the one that goes states the key that it had from it.
    let (one, _) = to(&lesson, &all[1..], CAPO, FretsOrSound::Frets);
    assert_eq!(one, [key("G"), key("Em"), key("D"), None], "it does not state its piece");
    lesson.passages[1].piece = Some(PieceId(1));
    let (one, _) = to(&lesson, &all[1..], CAPO, FretsOrSound::Frets);
    assert_eq!(one, [key("G"), key("Em"), key("D"), key("A")]);
    // One string alone moves no key.
    let (low, told) = to(&lesson, &all, DROP_D, FretsOrSound::Frets);
    assert_eq!(low, keys(&lesson));
    assert!(told.contains(&KeyChange::Stays("G".parse().unwrap())), "{told:?}");
    // A tuning that is changed or deleted takes its keys along as well.
    let lower = setup(STANDARD, "half step down", None);
    let changed = tuning_changed(&lesson, lower.clone(), FretsOrSound::Frets).unwrap();
    assert_eq!(keys(&after(&lesson, &changed))[0], key("G").map(|key| key.moved(-1)));
    let deleted = tuning_deleted(&lesson, STANDARD, Some(CAPO), FretsOrSound::Frets).unwrap();
    let deleted = after(&lesson, &deleted);
    assert_eq!((keys(&deleted)[0], deleted.pieces[0].setup), (key("A"), Some(CAPO)));
}

#[test]
fn segments_that_play_a_piece_come_along_and_the_others_stay_in_their_tuning() {
    let mut lesson = lesson();
    // About the piece without music, a retuning that leads to it, and one that also plays something else.
    let more =
        |id, kind, setup| Segment { setup, ..Segment::new(SegmentId(id), kind, "", VideoLength::from_seconds(9)) };
    let talk = Segment { pieces: vec![PieceId(1)], ..more(4, SegmentKind::Talk, Some(STANDARD)) };
    let hello = more(7, SegmentKind::Welcome, Some(CAPO));
    lesson.segments.splice(0..0, [hello, more(5, SegmentKind::Retuning, Some(STANDARD)), talk]);
    let both = vec![PassageUse::whole(PassageId(1)), PassageUse::whole(PassageId(3))];
    lesson.segments.push(Segment { passages: both, ..more(6, SegmentKind::PlayAlong, None) });
    let all = [PassageId(1), PassageId(2)];
    let to = lesson.setup(DROP_D).unwrap().clone();
    let along = SegmentsAlong::of(&lesson, &all, &to);
    let ids = |numbers: &[u32]| numbers.iter().map(|number| SegmentId(*number)).collect::<Vec<_>>();
    assert_eq!((&along.playing, &along.beside, &along.torn), (&ids(&[1, 2]), &ids(&[5, 4]), &ids(&[6])));
    let before = lesson.tunings_in_force();
    let mut retuned = lesson.clone();
    retuned.apply_all(passages_to(&lesson, &all, &to, FretsOrSound::Frets).unwrap().edits).unwrap();
    retuned.apply_all(along.edits(&retuned, DROP_D)).unwrap();
    for ((id, now), (_, was)) in retuned.tunings_in_force().into_iter().zip(before) {
        let comes = along.playing.contains(&id) || along.beside.contains(&id);
        assert_eq!(now, if comes { Some(DROP_D) } else { was }, "{id:?}");
    }
    let left = of_kind(&retuned, FindingKind::PassageSetup);
    assert!(left.len() == 1 && left[0].place == LessonPlace::Segment(SegmentId(6)), "{left:?}");
    assert_eq!(of_kind(&retuned, FindingKind::LedElsewhere), []);
    // One passage of two takes no segment along that is about the piece.
    let along = SegmentsAlong::of(&lesson, &all[..1], &to);
    assert_eq!((along.playing, along.beside), (ids(&[1]), vec![]));
}

#[test]
fn a_goodbye_that_states_no_tuning_goes_on_in_that_of_the_segment_before() {
    let more = |id, kind| Segment::new(SegmentId(id), kind, "", VideoLength::from_seconds(9));
    let all = [PassageId(1), PassageId(2)];
    let retuned = |lesson: &Lesson| {
        let to = lesson.setup(DROP_D).unwrap().clone();
        let mut after = lesson.clone();
        after.apply_all(passages_to(lesson, &all, &to, FretsOrSound::Frets).unwrap().edits).unwrap();
        after.apply_all(SegmentsAlong::of(lesson, &all, &to).edits(&after, DROP_D)).unwrap();
        after
    };
    let now = |lesson: &Lesson, id| lesson.segment_setup(SegmentId(id)).map(|setup| setup.id);
    let mut short = lesson();
    short.segments.truncate(2);
    short.segments.extend([more(7, SegmentKind::Talk), more(8, SegmentKind::Goodbye)]);
    let after = retuned(&short);
    assert_eq!([now(&after, 7), now(&after, 8)], [Some(DROP_D); 2]);
    assert!(after.segments[2..].iter().all(|segment| segment.setup.is_none()), "they state none");
    assert_eq!(of_kind(&after, FindingKind::Retuning), []);
    // Behind what stays the hands are in the old tuning, and where something leans on it nothing goes on.
    let mut long = lesson();
    long.segments.insert(2, more(7, SegmentKind::Talk));
    long.segments.push(more(8, SegmentKind::Goodbye));
    let after = retuned(&long);
    assert_eq!([now(&after, 7), now(&after, 3), now(&after, 8)], [Some(STANDARD); 3]);
    // A goodbye that plays or shows something needs its tuning.
    short.segments[3].voicings = vec![VoicingId(1)];
    let after = retuned(&short);
    assert_eq!([now(&after, 7), now(&after, 8)], [Some(STANDARD); 2]);
}

/// Six lines of tab under a line of words.
fn words_over(words: &str, labels: [&str; 6]) -> String {
    let lines = labels.map(|label| format!("{label}|-0---2-|\n"));
    format!("{words}\n\n{}", lines.concat())
}

#[test]
fn tab_goes_into_the_tuning_that_its_words_or_labels_state_else_into_that_of_its_place() {
    let lesson = lesson();
    let usual = ["e", "B", "G", "D", "A", "E"];
    let none = [""; 6];
    for (words, labels, here, setup, said) in [
        ("", usual, 0, Some(STANDARD), "in standard, as its labels say"),
        ("", usual, 1, Some(CAPO), "as its labels say"),
        ("", usual, 2, Some(STANDARD), "as its labels say"),
        ("", none, 1, Some(CAPO), "since it names none"),
        ("", none, 2, Some(DROP_D), "in drop D, since it names none"),
        ("tuning: drop D", none, 0, Some(DROP_D), "in drop D, as its words say"),
        ("capo 2", usual, 0, Some(CAPO), "as its labels and words say"),
        ("no capo", usual, 1, Some(STANDARD), "as its labels and words say"),
        ("Capo: 2nd fret", usual, 0, Some(CAPO), "as its labels and words say"),
        ("capo on fret II", usual, 0, Some(CAPO), "as its labels and words say"),
        ("capo 4", usual, 0, None, "standard, capo 4"),
        ("tuning: D A D G A D", none, 0, None, "DADGAD, as its words say; that tuning is new in the lesson"),
        ("", ["d", "A", "G", "D", "A", "D"], 0, None, "DADGAD, as its labels say; that tuning is new in the lesson"),
    ] {
        let here = &lesson.setups[here];
        let hints = ReadHints { tuning: Some(here.tuning.clone()), ..ReadHints::new(PassageId(9), "read") };
        let mut tab = read(&words_over(words, labels), &hints).unwrap();
        let own = own_tuning(&lesson, Some(here), &mut tab, (SetupId(8), InstrumentId(8)));
        assert!(own.words.contains(said), "{words} {labels:?}: {}", own.words);
        assert_eq!(own.setup, Some(setup.unwrap_or(SetupId(8))), "{words} {labels:?}: {}", own.words);
        assert_eq!(own.edits.is_empty(), setup.is_some());
        assert!(own.edits.iter().all(|edit| !matches!(edit, Edit::Instruments(_))), "the guitar is there");
    }
    // Labels say strings only, so a tuning without a capo is meant wherever it stands in the list.
    let mut capo_first = lesson.clone();
    capo_first.setups.rotate_left(1);
    assert_eq!(capo_first.setups.iter().map(|setup| setup.id).collect::<Vec<_>>(), [CAPO, DROP_D, STANDARD]);
    for (here, goes_to) in [(None, STANDARD), (Some(DROP_D), STANDARD), (Some(STANDARD), STANDARD), (Some(CAPO), CAPO)]
    {
        let here = here.and_then(|here| capo_first.setup(here));
        let mut tab = read(&words_over("", usual), &ReadHints::new(PassageId(9), "read")).unwrap();
        let own = own_tuning(&capo_first, here, &mut tab, (SetupId(8), InstrumentId(8)));
        assert_eq!(own.setup, Some(goes_to), "from {here:?}: {}", own.words);
    }
    capo_first.setups.pop();
    let mut tab = read(&words_over("", usual), &ReadHints::new(PassageId(9), "read")).unwrap();
    let own = own_tuning(&capo_first, None, &mut tab, (SetupId(8), InstrumentId(8)));
    assert_eq!(own.setup, Some(CAPO), "no other has these strings");
    // A name over ukulele strings has no bass that nobody hears, and that is said.
    let text = "C/E\nA|-3-|\nE|-0-|\nC|-0-|\nG|-0-|\n";
    let mut tab = read(text, &ReadHints::new(PassageId(9), "read")).unwrap();
    assert_eq!(tab.passage.bars[0].voices[0].0[0].chord.as_deref(), Some("C/E"));
    let own = own_tuning(&lesson, lesson.setups.first(), &mut tab, (SetupId(8), InstrumentId(8)));
    assert_eq!(tab.passage.bars[0].voices[0].0[0].chord.as_deref(), Some("C"));
    assert!(own.words.contains("C/E became C"), "{}", own.words);
    // Four strings of a ukulele bring the ukulele along, and no guitar.
    let text = "A|-0-|\nE|-1-|\nC|-0-|\nG|-2-|\n";
    let mut tab = read(text, &ReadHints::new(PassageId(9), "read")).unwrap();
    let own = own_tuning(&lesson, lesson.setups.first(), &mut tab, (SetupId(8), InstrumentId(8)));
    let mut with_it = lesson.clone();
    with_it.apply_all(own.edits).unwrap();
    let rig = with_it.rig(with_it.setup(SetupId(8)).unwrap()).unwrap();
    assert!(rig.instrument().name.contains("ukulele"), "{}", rig.instrument().name);
}

proptest! {
    #[test]
    fn edits_that_take_things_to_another_tuning_can_be_undone(
        which in 0_usize..3, to in 0_usize..3, sound in any::<bool>(), what in 0_u8..3,
    ) {
        let lesson = lesson();
        let keeping = if sound { FretsOrSound::Sound } else { FretsOrSound::Frets };
        let (id, other) = (lesson.setups[which].id, &lesson.setups[to]);
        let retuned = match what {
            0 => passages_to(&lesson, &[PassageId(1), PassageId(3)], other, keeping),
            1 => tuning_changed(&lesson, Setup { id, ..other.clone() }, keeping),
            _ => tuning_deleted(&lesson, id, Some(other.id), keeping),
        };
        if let Ok(retuned) = retuned {
            let mut changed = lesson.clone();
            let back = changed.apply_all(retuned.edits).unwrap();
            changed.apply_all(back).unwrap();
            prop_assert_eq!(changed, lesson.clone());
        }
    }
}
