//! A sound lesson, and what the tests do to it.

use crate::instrument::catalogue;
use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::tuning::Capo;
use crate::lesson::check::{FindingKind, check};
use crate::lesson::document::{
    Header, Lesson, OwnedInstrument, PassageUse, Piece, Recorded, Segment, SegmentKind, Setup, Voicing,
};
use crate::lesson::id::{InstrumentId, PassageId, PieceId, SegmentId, SetupId, VoicingId};
use crate::lesson::music::{Bar, Event, Join, Note, Passage, Technique, Voice};
use crate::lesson::time::{VideoLength, VideoTime};

/// Returns a guitar in standard tuning without and with a capo, one piece, one passage of one bar, one
/// voicing, three segments.
pub(super) fn sound() -> Lesson {
    let guitar = &catalogue::guitar().instrument;
    let tuning = catalogue::tuning_from_text("standard", guitar).unwrap();
    let setup = |id, name: &str, capo| Setup {
        id: SetupId(id),
        name: name.into(),
        instrument: InstrumentId(1),
        tuning: tuning.clone(),
        capo,
        reference: None,
        tone: String::new(),
    };
    let capo = Capo { fret: Fret::new(3).unwrap(), strings: Vec::new() };
    Lesson {
        id: None,
        header: Header { title: "Sound".into(), ..Header::default() },
        instruments: vec![OwnedInstrument { id: InstrumentId(1), body: guitar.clone() }],
        setups: vec![setup(1, "standard", None), setup(2, "capo 3", Some(capo))],
        pieces: vec![Piece { setup: Some(SetupId(1)), ..Piece::new(PieceId(1), "Kiln Street") }],
        passages: vec![passage(vec![bar("1/4 1/4 1/4 1/4")])],
        voicings: vec![voicing(1, "C", "x32010")],
        segments: vec![segment(1, "hello"), segment(2, "slowly"), segment(3, "bye")],
    }
}

pub(super) fn passage(bars: Vec<Bar>) -> Passage {
    Passage { piece: Some(PieceId(1)), ..Passage::plain(PassageId(1), "verse", bars) }
}

/// Returns a bar of one voice with these lengths, all on the open third string. Lengths are parted
/// by spaces; a tuplet is written `1/8@3:2`.
pub(super) fn bar(lengths: &str) -> Bar {
    Bar { voices: vec![voice(lengths)], ..Bar::default() }
}

pub(super) fn voice(lengths: &str) -> Voice {
    Voice(lengths.split_whitespace().map(|length| event(length, vec![note(3, 0)])).collect())
}

pub(super) fn event(length: &str, notes: Vec<Note>) -> Event {
    Event::notes(length.replace('@', " ").parse().unwrap(), notes)
}

pub(super) fn note(string: u8, fret: u8) -> Note {
    Note::plain(StringNumber::new(string).unwrap(), Fret::new(fret).unwrap())
}

pub(super) fn joined(string: u8, fret: u8, join: Join) -> Note {
    Note { join: Some(join), ..note(string, fret) }
}

pub(super) fn with(string: u8, fret: u8, techniques: &[Technique]) -> Note {
    Note { techniques: techniques.to_vec(), ..note(string, fret) }
}

pub(super) fn shape(text: &str) -> Shape {
    let place = |fret: char| fret.to_digit(10).map(|fret| Fret::new(u8::try_from(fret).unwrap()).unwrap());
    Shape::new(text.chars().map(place).collect()).unwrap()
}

pub(super) fn voicing(id: u32, name: &str, frets: &str) -> Voicing {
    Voicing {
        id: VoicingId(id),
        shape: shape(frets),
        doubts: Vec::new(),
        setup: Some(SetupId(1)),
        readings: vec![name.into()],
        fingers: Vec::new(),
        barre: None,
        tags: Vec::new(),
        notes: String::new(),
    }
}

pub(super) fn segment(id: u32, title: &str) -> Segment {
    Segment {
        setup: Some(SetupId(1)),
        passages: vec![PassageUse::whole(PassageId(1))],
        ..Segment::new(SegmentId(id), SegmentKind::Walkthrough, title, VideoLength::from_seconds(60))
    }
}

/// Returns recorded times in seconds.
pub(super) fn recorded(start: u32, end: Option<u32>) -> Option<Recorded> {
    Some(Recorded { start: VideoTime(start * 1000), end: end.map(|end| VideoTime(end * 1000)) })
}

/// Checks that the sound lesson, changed in this way, has exactly these findings.
#[track_caller]
pub(super) fn finds(change: impl FnOnce(&mut Lesson), expected: &[&str]) {
    let mut lesson = sound();
    change(&mut lesson);
    // The tuning with the capo waits for the tests that need one, and others take out what played the passage.
    let found = check(&lesson).into_iter().filter(|finding| finding.kind != FindingKind::UsedNowhere);
    let found: Vec<String> = found.map(|finding| finding.text(&lesson)).collect();
    assert_eq!(found, expected);
}

/// Checks a passage of these bars.
#[track_caller]
pub(super) fn finds_in_bars(bars: Vec<Bar>, expected: &[&str]) {
    finds(|lesson| lesson.passages = vec![passage(bars)], expected);
}

/// Checks one bar of quarters, each with these notes; a rest fills what is left of it.
#[track_caller]
pub(super) fn finds_in_notes(quarters: Vec<Vec<Note>>, expected: &[&str]) {
    let mut events: Vec<Event> = quarters.into_iter().map(|notes| event("1/4", notes)).collect();
    while events.len() < 4 {
        events.push(event("1/4", Vec::new()));
    }
    finds_in_bars(vec![Bar { voices: vec![Voice(events)], ..Bar::default() }], expected);
}

#[test]
fn a_sound_lesson_has_no_findings() {
    finds(|_| {}, &[]);
}
