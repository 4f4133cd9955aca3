//! Fixed input for the benchmarks: large lessons made by rule, the same every time.

use fingerpost::instrument::catalogue::setup_from_text;
use fingerpost::instrument::neck::{Fret, Shape, StringNumber};
use fingerpost::lesson::document::{
    Header, Lesson, OwnedInstrument, PassageUse, Piece, Segment, SegmentKind, Setup, Voicing,
};
use fingerpost::lesson::id::{InstrumentId, LessonId, PassageId, PieceId, SegmentId, SetupId, VoicingId};
use fingerpost::lesson::music::{Bar, Event, Join, Note, Passage, Technique, Voice};
use fingerpost::lesson::time::{Length, Meter, NoteValue, Tempo, VideoLength};

/// Returns a lesson of `passages` passages of `bars` bars each, one segment and one voicing a passage.
pub fn large_lesson(passages: u32, bars: u32) -> Lesson {
    let (instrument, tuning) = setup_from_text(None, None).expect("the guitar is in the catalogue");
    let setup = Setup {
        id: SetupId(1),
        name: "standard".to_owned(),
        instrument: InstrumentId(1),
        tuning,
        capo: None,
        reference: None,
        tone: String::new(),
    };
    let piece = Piece { setup: Some(SetupId(1)), ..Piece::new(PieceId(1), "Study without end") };
    let shape: Shape = "x 3 2 0 1 0".parse().expect("a shape");
    Lesson {
        id: Some(LessonId::new([1; LessonId::BYTES])),
        header: Header { title: "A very long lesson".to_owned(), ..Header::default() },
        instruments: vec![OwnedInstrument { id: InstrumentId(1), body: instrument }],
        setups: vec![setup],
        pieces: vec![piece],
        passages: (1..=passages).map(|number| passage(number, bars)).collect(),
        voicings: (1..=passages).map(|number| voicing(number, shape.clone())).collect(),
        segments: (1..=passages).map(segment).collect(),
    }
}

fn passage(number: u32, bars: u32) -> Passage {
    Passage {
        id: PassageId(number),
        title: format!("Passage {number}"),
        piece: Some(PieceId(1)),
        setup: None,
        key: None,
        meter: Meter::COMMON,
        tempo: Tempo::USUAL,
        feel: Default::default(),
        bars: (0..bars)
            .map(|bar| Bar { voices: vec![voice(number.wrapping_mul(31).wrapping_add(bar))], ..Bar::default() })
            .collect(),
    }
}

/// Eight eighths: single notes with a hammer-on, a muted stroke and a full chord.
fn voice(seed: u32) -> Voice {
    let eighth = Length::plain(NoteValue::Eighth);
    let events = (0..8u32).map(|place| {
        let pick = seed.wrapping_mul(2_654_435_761).wrapping_add(place.wrapping_mul(40_503)) >> 8;
        let fret = u8::try_from(pick % 9).unwrap_or(0) + 2;
        let string = u8::try_from(pick / 16 % 5).unwrap_or(0) + 1;
        match place {
            0 => Event { chord: Some("Em9".to_owned()), ..Event::notes(eighth, (1..=4).map(|s| note(s, 7)).collect()) },
            2 => Event::notes(eighth, vec![Note { join: Some(Join::HammerOn), ..note(3, fret) }]),
            3 => Event::notes(eighth, vec![note(3, fret + 2)]),
            5 => Event::notes(eighth, vec![Note { techniques: vec![Technique::Dead], ..note(string, fret) }]),
            _ => Event::notes(eighth, vec![note(string, fret)]),
        }
    });
    Voice(events.collect())
}

fn note(string: u8, fret: u8) -> Note {
    Note::plain(StringNumber::new(string).expect("a string"), Fret::new(fret).expect("a fret"))
}

fn voicing(number: u32, shape: Shape) -> Voicing {
    Voicing {
        id: VoicingId(number),
        shape,
        doubts: Vec::new(),
        setup: Some(SetupId(1)),
        readings: vec!["C".to_owned()],
        fingers: Vec::new(),
        barre: None,
        tags: Vec::new(),
        notes: String::new(),
    }
}

fn segment(number: u32) -> Segment {
    Segment {
        passages: vec![PassageUse::whole(PassageId(number))],
        pieces: vec![PieceId(1)],
        voicings: vec![VoicingId(number)],
        talking_points: vec!["Count aloud before the first note.".to_owned()],
        ..Segment::new(
            SegmentId(number),
            SegmentKind::Walkthrough,
            format!("Segment {number}"),
            VideoLength::from_seconds(60),
        )
    }
}
