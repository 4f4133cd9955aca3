//! Handouts of whole lessons: what a student must find, and in which order.

mod breaks;
mod pages;
mod setups;
mod signs;

use fingerpost::instrument::body::{Instrument, Millimetres};
use fingerpost::instrument::neck::{Fret, Shape, StringNumber};
use fingerpost::instrument::tuning::{Capo, Tuning};
use fingerpost::lesson::document::{
    ChordNames, Header, Lesson, OwnedInstrument, PassageUse, Piece, Recorded, Segment, SegmentKind, Setup, Voicing,
};
use fingerpost::lesson::id::{InstrumentId, PassageId, PieceId, SegmentId, SetupId, VoicingId};
use fingerpost::lesson::music::{Bar, Event, Join, Note, Passage, Technique, Voice};
use fingerpost::lesson::time::{Length, VideoLength, VideoTime};
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::{Columns, HandoutOptions, SegmentPick, TalkingPoints, UnusedMusic};
use fingerpost::theory::reading::Doubt;

fn setup(id: u32, name: &str, tuning: &str, capo: Option<u8>) -> Setup {
    let strings = tuning.split_whitespace().map(|pitch| pitch.parse().unwrap()).collect();
    Setup {
        id: SetupId(id),
        name: name.into(),
        instrument: InstrumentId(1),
        tuning: Tuning::new(strings).unwrap(),
        capo: capo.map(|fret| Capo { fret: Fret::new(fret).unwrap(), strings: vec![] }),
        reference: None,
        tone: String::new(),
    }
}

fn voicing(id: u32, name: &str, frets: &str) -> Voicing {
    let frets = frets.split_whitespace().map(|fret| fret.parse().ok().and_then(Fret::new)).collect();
    Voicing {
        id: VoicingId(id),
        shape: Shape::new(frets).unwrap(),
        doubts: vec![],
        setup: None,
        readings: vec![name.into()],
        fingers: vec![],
        barre: None,
        tags: vec![],
        notes: String::new(),
    }
}

fn passage(id: u32, title: &str, piece: Option<u32>, chords: &[&str]) -> Passage {
    let bar = |chord: &&str| {
        let event = Event { chord: Some((*chord).to_owned()), ..Event::rest("1/1".parse::<Length>().unwrap()) };
        Bar { voices: vec![Voice(vec![event])], ..Bar::default() }
    };
    let bars = chords.iter().map(bar).collect();
    Passage { piece: piece.map(PieceId), ..Passage::plain(PassageId(id), title, bars) }
}

fn piece(id: u32, title: &str, setup: u32, key: &str) -> Piece {
    Piece { setup: Some(SetupId(setup)), key: key.parse().ok(), ..Piece::new(PieceId(id), title) }
}

/// Two pieces: the second is played first; one passage is in no segment.
fn lesson() -> Lesson {
    let guitar = Instrument {
        name: "guitar".into(),
        strings: 6,
        frets: Fret::new(22).unwrap(),
        scale: Millimetres(648.0),
        short: None,
    };
    let mut play = Segment::new(SegmentId(2), SegmentKind::Performance, "All of it", VideoLength::from_seconds(60));
    play.passages = vec![PassageUse::whole(PassageId(2))];
    play.voicings = vec![VoicingId(1)];
    play.talking_points = vec!["breathe out".into()];
    let mut slow = Segment::new(SegmentId(3), SegmentKind::Walkthrough, "The other one", VideoLength::from_seconds(60));
    slow.pieces = vec![PieceId(1)];
    slow.passages = vec![PassageUse::whole(PassageId(1))];
    Lesson {
        id: None,
        header: Header {
            title: "Two small pieces".into(),
            series: "Evenings".into(),
            number: Some(3),
            author: "A. Teacher".into(),
            credit: "Written by A. Teacher".into(),
            rights: "For private study".into(),
            ..Header::default()
        },
        instruments: vec![OwnedInstrument { id: InstrumentId(1), body: guitar }],
        setups: vec![
            setup(1, "double drop D", "D2 A2 D3 G3 B3 D4", None),
            setup(2, "capo 3", "E2 A2 D3 G3 B3 E4", Some(3)),
        ],
        pieces: vec![piece(1, "Wash Day", 1, "D"), piece(2, "Lamp Oil", 2, "Bb")],
        passages: vec![
            passage(1, "wash riff", Some(1), &["D5", "G"]),
            passage(2, "lamp riff", Some(2), &["G", "C", "D/F#", "slap"]),
            passage(3, "left over", Some(1), &["A7"]),
        ],
        voicings: vec![voicing(1, "G", "3 2 0 0 0 3"), voicing(2, "Em7", "0 2 0 0 0 0")],
        segments: vec![
            Segment::new(SegmentId(1), SegmentKind::Welcome, "Hello", VideoLength::from_seconds(30)),
            play,
            slow,
        ],
    }
}

fn text(lesson: &Lesson, options: &HandoutOptions) -> String {
    handout(lesson, options).to_text()
}

/// Checks that `parts` stand in `text` in this order.
#[track_caller]
fn check_order(text: &str, parts: &[&str]) {
    let mut rest = text;
    for part in parts {
        let at = rest.find(part);
        assert!(at.is_some(), "`{part}` does not follow in:\n{text}");
        rest = &rest[at.unwrap() + part.len()..];
    }
}

#[test]
fn the_parts_stand_in_the_order_of_the_video() {
    let options = HandoutOptions { unused: UnusedMusic::Print, ..HandoutOptions::default() };
    let text = text(&lesson(), &options);
    check_order(
        &text,
        &[
            "Evenings, lesson 3",
            "page 1 of",
            "Two small pieces",
            "A. Teacher",
            "0:30  performance  All of it",
            "1:30  walkthrough  The other one",
            "══ Lamp Oil ══",
            "Tuning: capo 3, guitar",
            "6 E  5 A  4 D  3 G  2 B  1 e",
            "── lamp riff ──",
            "══ Wash Day ══",
            "── wash riff ──",
            "Also in this lesson: Wash Day",
            "── left over ──",
            "══ Also in this lesson ══",
            "Em7",
            "Written by A. Teacher",
            "For private study",
            "stop when something hurts",
            "check the law",
        ],
    );
}

#[test]
fn segments_are_numbered_and_their_music_printed_in_the_order_of_the_video() {
    let mut lesson = lesson();
    // The list has been put into another order: the first one of the video stands last.
    for (segment, start) in lesson.segments.iter_mut().zip([90_000, 40_000, 0]) {
        segment.recorded = Some(Recorded { start: VideoTime(start), end: None });
    }
    let whole = text(&lesson, &HandoutOptions::default());
    check_order(
        &whole,
        &[
            "1  0:00  walkthrough  The other one",
            "2  0:40  performance  All of it",
            "3  1:30  welcome      Hello",
            "══ Wash Day ══",
            "══ Lamp Oil ══",
        ],
    );
    // A pick says the number that the segment has in the video, so that it is found there.
    let options = HandoutOptions { segments: "performance".parse().unwrap(), ..HandoutOptions::default() };
    let picked = text(&lesson, &options);
    assert!(picked.contains("\n2  0:40  performance  All of it"), "{picked}");
    // And it is picked by the number that is printed.
    for (pick, printed) in
        [("1", "\n1  0:00  walkthrough"), ("2", "\n2  0:40  performance"), ("3", "\n3  1:30  welcome")]
    {
        let options = HandoutOptions { segments: pick.parse().unwrap(), ..HandoutOptions::default() };
        let picked = text(&lesson, &options);
        let numbers = ["\n1  0:00", "\n2  0:40", "\n3  1:30"].iter().filter(|row| picked.contains(**row)).count();
        assert!(picked.contains(printed) && numbers == 1, "{picked}");
    }
    // A video that is not whole has no order yet: the plan has.
    lesson.segments[0].recorded = None;
    check_order(&text(&lesson, &HandoutOptions::default()), &["1  0:00  welcome", "══ Lamp Oil ══", "══ Wash Day ══"]);
}

fn number_of(string: u8) -> StringNumber {
    StringNumber::new(string).unwrap()
}

#[test]
fn a_pick_of_segments_leaves_the_rest_out() {
    let only =
        |pick: &str| HandoutOptions { segments: pick.parse::<SegmentPick>().unwrap(), ..HandoutOptions::default() };
    let slow = text(&lesson(), &only("slowly"));
    assert!(slow.contains("wash riff") && !slow.contains("lamp riff") && !slow.contains("left over"), "{slow}");
    let second = text(&lesson(), &only("2"));
    assert!(second.contains("lamp riff") && !second.contains("wash riff"), "{second}");
    let nothing = text(&lesson(), &only("99"));
    check_order(&nothing, &["Two small pieces", "stop when something hurts"]);
}

#[test]
fn talking_points_stay_with_the_teacher_unless_asked_for() {
    assert!(!text(&lesson(), &HandoutOptions::default()).contains("breathe out"));
    let asked = HandoutOptions { talking_points: TalkingPoints::Print, ..HandoutOptions::default() };
    check_order(&text(&lesson(), &asked), &["All of it", "lamp riff", "• breathe out"]);
}

#[test]
fn what_is_not_known_is_said() {
    let mut lesson = lesson();
    lesson.passages[0].title.clear();
    lesson.pieces[0].title.clear();
    lesson.pieces[1].setup = Some(SetupId(99));
    lesson.segments[2].passages.push(PassageUse::whole(PassageId(99)));
    check_order(
        &text(&lesson, &HandoutOptions::default()),
        // The setup that is gone has no tuning to show, so the strings have their numbers.
        &["══ Lamp Oil ══", "4 bars", "\n1│", "\n6│", "══ Untitled piece ══", "── Passage ──"],
    );
}

#[test]
fn a_passage_in_which_nothing_is_written_is_not_printed() {
    let whole = text(&lesson(), &HandoutOptions::default());
    assert_eq!(whole.matches("lamp riff").count(), 2, "in the outline and over its tab");
    let rest = || Event::rest("1/1".parse().unwrap());
    let only = |events| vec![Bar { voices: vec![Voice(events)], ..Bar::default() }];
    for bars in [Vec::new(), vec![Bar::default()], only(Vec::new()), only(vec![rest()])] {
        let mut lesson = lesson();
        let passage = lesson.passages.iter_mut().find(|passage| passage.title == "lamp riff").unwrap();
        passage.bars = bars;
        let printed = text(&lesson, &HandoutOptions::default());
        assert_eq!(printed.matches("lamp riff").count(), 0, "{printed}");
        // What the piece is played in is told all the same.
        assert!(printed.contains("══ Lamp Oil ══"), "{printed}");
    }
    // Chords to strum along with are something to read.
    let mut lesson = lesson();
    let passage = lesson.passages.iter_mut().find(|passage| passage.title == "lamp riff").unwrap();
    passage.bars = only(vec![Event { chord: Some("C".to_owned()), ..rest() }]);
    assert_eq!(text(&lesson, &HandoutOptions::default()).matches("lamp riff").count(), 2);
}

#[test]
fn a_long_title_stands_whole_under_its_rule() {
    let mut lesson = lesson();
    lesson.pieces[1].title = "The Very Long Walk Home From the Last Ferry of the Year".into();
    let narrow = HandoutOptions { columns: Columns::new(40), ..HandoutOptions::default() };
    check_order(
        &text(&lesson, &narrow),
        &[
            "════\n   The Very Long Walk Home From the Last\n   Ferry of the Year\n",
            "── lamp riff ───────────────── 4 bars ──",
        ],
    );
}

#[test]
fn the_outline_names_the_piece_of_every_passage() {
    let mut lesson = lesson();
    lesson.segments[1].title = "Lamp Oil, all of it".into();
    check_order(&text(&lesson, &HandoutOptions::default()), &["Lamp Oil, all of it\n", "Lamp Oil – lamp riff\n"]);
}

#[test]
fn a_header_half_filled_in_leaves_no_stray_signs() {
    let lines = |header: Header| -> Vec<String> {
        let lesson = Lesson { header, ..Lesson::default() };
        let text = text(&lesson, &HandoutOptions { columns: Columns::new(40), ..HandoutOptions::default() });
        let top = text.lines().take_while(|line| !line.contains("Take care"));
        top.map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('─')).map(str::to_owned).collect()
    };
    let title = || Header { title: "T".into(), ..Header::default() };
    assert_eq!(lines(title()), ["page 1 of 1", "T"]);
    assert_eq!(lines(Header { date: " May ".into(), ..title() })[1..], ["T", "May"]);
    assert_eq!(lines(Header { author: "A".into(), date: "May".into(), ..title() })[1..], ["T", "A · May"]);
    let numbered = Header { number: Some(4), ..title() };
    assert!(lines(numbered.clone())[0].starts_with("Lesson 4 "));
    assert!(lines(Header { series: " ".into(), ..numbered })[0].starts_with("Lesson 4 "));
    let long = Header { title: "a long walk home from the very last ferry".into(), ..Header::default() };
    assert_eq!(lines(long)[1..], ["a long walk home from the very last", "ferry"]);
}

#[test]
fn doubts_other_readings_and_notes_of_a_chord_reach_the_student() {
    let mut lesson = lesson();
    lesson.voicings[0].readings.push("Em7/G".into());
    lesson.voicings[0].doubts = vec![Doubt::Unsure];
    lesson.voicings[0].notes = "leave the little finger where it is".into();
    lesson.header.chord_names = ChordNames::SoundsAs;
    // Three half steps up, common practice: the other reading sounds as Gm7/B flat.
    check_order(
        &text(&lesson, &HandoutOptions::default()),
        &[
            "B♭ *1\n",
            "   ?\n",
            "also Gm7/B♭\n",
            "*1 leave the little finger",
            "over a string: perhaps",
            "see the line under",
        ],
    );
}

/// A lesson without pieces, the capo put on for the third segment.
fn capo_lesson() -> Lesson {
    let mut lesson = lesson();
    lesson.pieces.clear();
    lesson.setups = vec![
        setup(1, "standard", "E2 A2 D3 G3 B3 E4", None),
        setup(2, "standard, capo 2", "E2 A2 D3 G3 B3 E4", Some(2)),
    ];
    lesson.passages = vec![passage(1, "pattern", None, &["C"]), passage(2, "pattern, higher", None, &["C"])];
    let voicing =
        |id, name, frets, setup: Option<u32>| Voicing { setup: setup.map(SetupId), ..voicing(id, name, frets) };
    lesson.voicings = vec![
        voicing(1, "C", "x 3 2 0 1 0", Some(1)),
        voicing(2, "Cadd9", "x 3 2 0 3 0", Some(2)),
        voicing(3, "Am", "x 0 2 2 1 0", None),
    ];
    let segment = |id, title: &str, setup: Option<u32>| Segment {
        setup: setup.map(SetupId),
        ..Segment::new(SegmentId(id), SegmentKind::Walkthrough, title, VideoLength::from_seconds(60))
    };
    lesson.segments = vec![
        Segment { voicings: vec![VoicingId(1)], ..segment(1, "Two ways to C", Some(1)) },
        Segment { passages: vec![PassageUse::whole(PassageId(1))], ..segment(2, "Rolling", None) },
        Segment { voicings: vec![VoicingId(2), VoicingId(3)], ..segment(3, "Capo on", Some(2)) },
        Segment { passages: vec![PassageUse::whole(PassageId(2))], ..segment(4, "Rolling again", None) },
    ];
    lesson
}

#[test]
fn headings_fall_back_on_the_title_of_the_lesson() {
    let mut lesson = capo_lesson();
    lesson.segments[0].title.clear();
    check_order(&text(&lesson, &HandoutOptions::default()), &["══ Two small pieces ══", "══ Rolling ══"]);
    lesson.segments.clear();
    let text = text(&lesson, &HandoutOptions::default());
    check_order(&text, &["══ Two small pieces ══", "── pattern ──"]);
    for word in ["xercises", "More chords", "Also in this lesson"] {
        assert!(!text.contains(word), "{word}");
    }
}

#[test]
fn the_outline_gives_the_length_of_what_is_picked() {
    let planned = |pick: &str| {
        let options = HandoutOptions { segments: pick.parse().unwrap(), ..HandoutOptions::default() };
        let text = text(&capo_lesson(), &options);
        let heading = text.lines().find(|line| line.contains("The video")).unwrap().to_owned();
        heading.trim_matches(['═', ' ']).rsplit('═').next().unwrap().trim().to_owned()
    };
    assert_eq!(planned("all"), "planned, 4:00 in all");
    assert_eq!(planned("1-4"), "planned, 4:00 in all");
    assert_eq!(planned("2,4"), "planned, 2:00 of 4:00");
}

#[test]
fn what_is_said_about_a_chord_is_said_once() {
    let mut lesson = lesson();
    lesson.voicings[0].notes = "leave the little finger where it is".into();
    lesson.segments[2].voicings = vec![VoicingId(1), VoicingId(2)];
    let text = text(&lesson, &HandoutOptions::default());
    assert_eq!(text.matches("leave the little finger").count(), 1, "{text}");
    // The piece that has no note to show has no mark either.
    check_order(&text, &["══ Lamp Oil ══", "G *1\n", "══ Wash Day ══", "G               Em7\n"]);
}

#[test]
fn related_signs_stand_together_whatever_came_first() {
    let mut lesson = lesson();
    let half = |fret| Event {
        notes: vec![Note::plain(number_of(1), Fret::new(fret).unwrap())],
        ..Event::rest("1/2".parse::<Length>().unwrap())
    };
    let slide = |from, to| {
        let (mut first, mut second) = (half(from), half(to));
        first.notes[0].join = Some(Join::Slide);
        second.notes[0].techniques.push(Technique::Vibrato);
        Bar { voices: vec![Voice(vec![first, second])], ..Bar::default() }
    };
    lesson.passages[1].bars = vec![slide(5, 7)];
    lesson.passages[0].bars = vec![slide(7, 5)];
    let text = text(&lesson, &HandoutOptions { columns: Columns::new(50), ..HandoutOptions::default() });
    check_order(&text, &["On the strings", "7/9  legato slide: not picked\n7\\5  legato slide down", "7~"]);
}
