//! Handouts of whole lessons: what holds for every page, and what a student must find on it.

use std::path::Path;

use fingerpost::instrument::body::{Instrument, Millimetres};
use fingerpost::instrument::neck::{Fret, Shape};
use fingerpost::instrument::tuning::{Capo, Tuning};
use fingerpost::lesson::document::{
    ChordNames, Header, Lesson, OwnedInstrument, PassageUse, Piece, Segment, SegmentKind, Setup, Voicing,
};
use fingerpost::lesson::id::{InstrumentId, PassageId, PieceId, SegmentId, SetupId, VoicingId};
use fingerpost::lesson::music::{Bar, Event, Join, Note, Passage, Technique, Voice};
use fingerpost::lesson::time::{Length, VideoLength};
use fingerpost::store::lesson_file;
use fingerpost::tab::handout::options::{Columns, HandoutOptions, Paper, SegmentPick, TalkingPoints};
use fingerpost::tab::handout::{Handout, handout};
use fingerpost::tab::style::Charset;
use fingerpost::theory::pitch::Hertz;
use fingerpost::theory::reading::Doubt;
use proptest::prelude::*;
use unicode_width::UnicodeWidthStr;

use crate::arbitrary::any_lesson;

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
    Piece {
        id: PieceId(id),
        title: title.into(),
        credit: String::new(),
        setup: Some(SetupId(setup)),
        key: key.parse().ok(),
        tempo: None,
        notes: String::new(),
    }
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
    let mut slow = Segment::new(SegmentId(3), SegmentKind::Slowly, "The other one", VideoLength::from_seconds(60));
    slow.pieces = vec![PieceId(1)];
    slow.passages = vec![PassageUse::whole(PassageId(1))];
    Lesson {
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
    let text = text(&lesson(), &HandoutOptions::default());
    check_order(
        &text,
        &[
            "Evenings, lesson 3",
            "page 1 of",
            "Two small pieces",
            "A. Teacher",
            "0:30  performance  All of it",
            "1:30  slowly       The other one",
            "══ Lamp Oil ══",
            "Setup: capo 3, guitar",
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
fn the_setup_box_says_what_to_turn() {
    let text = text(&lesson(), &HandoutOptions::default());
    check_order(
        &text,
        &["double drop D:  6 D  5 A  4 D  3 G  2 B  1 d", "strings 6 and 1 down a whole step (from standard)"],
    );
    let mut lesson = lesson();
    lesson.setups[1] = setup(2, "", "Eb2 Ab2 Db3 Gb3 Bb3 Eb4", None);
    lesson.setups[0].capo = Some(Capo { fret: Fret::new(2).unwrap(), strings: [3, 4, 5].map(number_of).to_vec() });
    let text = self::text(&lesson, &HandoutOptions::default());
    check_order(&text, &["6 E♭", "every string down a half step", "fret 2 on strings 5, 4 and 3 only"]);
}

fn number_of(string: u8) -> fingerpost::instrument::neck::StringNumber {
    fingerpost::instrument::neck::StringNumber::new(string).unwrap()
}

#[test]
fn chords_are_called_by_the_shape_or_by_the_sound() {
    // Shapes of G with the capo at fret 3 sound in B flat: common practice, no published source.
    let mut lesson = lesson();
    let played = text(&lesson, &HandoutOptions::default());
    check_order(&played, &["sounds in B♭ major, played as G major", "named by shape: G sounds as B♭"]);
    assert!(played.contains("D/F♯") && !played.contains("E♭"), "{played}");
    lesson.header.chord_names = ChordNames::SoundsAs;
    let sounding = text(&lesson, &HandoutOptions::default());
    check_order(
        &sounding,
        &["named by sound: B♭ is played as G", "── Chords ──", "B♭\n", "── lamp riff ──", "B♭", "E♭", "F/A", "slap"],
    );
    // The piece without a capo keeps its names.
    check_order(&sounding, &["── wash riff ──", "D5", "G"]);
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
fn escapes_from_a_lesson_never_reach_the_paper() {
    let mut lesson = lesson();
    let trap = "a\u{1b}]0;x\u{7}\u{9b}2J\u{c}\u{202e}b\nc".to_owned();
    lesson.header.title = trap.clone();
    lesson.header.credit = trap.clone();
    lesson.pieces[0].notes = trap.clone();
    lesson.setups[0].name = trap.clone();
    lesson.passages[0].title = trap.clone();
    lesson.voicings[0].readings = vec![trap.clone()];
    lesson.segments[1].talking_points = vec![trap.clone()];
    lesson.voicings[0].notes = trap.clone();
    lesson.voicings[0].readings.push(trap.clone());
    lesson.header.author = trap.clone();
    lesson.header.series = trap.clone();
    lesson.pieces[0].title = trap.clone();
    lesson.pieces[0].credit = trap.clone();
    lesson.instruments[0].body.name = trap.clone();
    lesson.passages[0].bars[0].voices[0].0[0].chord = Some(trap.clone());
    lesson.passages[0].bars[0].voices[0].0[0].text = Some(trap);
    for charset in [Charset::Utf8, Charset::Ascii] {
        let options = HandoutOptions { charset, talking_points: TalkingPoints::Print, ..HandoutOptions::default() };
        check_pages(&handout(&lesson, &options), &options).unwrap();
    }
}

#[test]
fn wide_and_endless_text_keeps_to_the_page() {
    let mut lesson = lesson();
    let words = "路地裏の 🎸👩\u{200d}🎤 e\u{301}tude ﷽ Ünïcödé ".repeat(120);
    lesson.header.title = words.clone();
    lesson.header.author = words.replace(' ', "");
    lesson.header.rights = words.clone();
    lesson.pieces[0].title = words.clone();
    lesson.pieces[0].notes = words.repeat(3);
    lesson.setups[0].tone = words.clone();
    lesson.segments[1].title = words.clone();
    lesson.passages[0].title = words.clone();
    lesson.voicings[0].notes = words.clone();
    lesson.voicings[0].readings = vec![words.clone(), words];
    lesson.setups[0].capo =
        Some(Capo { fret: Fret::new(36).unwrap(), strings: (1..=12).rev().step_by(2).map(number_of).collect() });
    for (columns, charset) in [(40, Charset::Utf8), (40, Charset::Ascii), (41, Charset::Utf8), (200, Charset::Utf8)] {
        let options = HandoutOptions { columns: Columns::new(columns), charset, ..HandoutOptions::default() };
        check_pages(&handout(&lesson, &options), &options).unwrap();
    }
}

#[test]
fn the_setup_box_is_one_whole() {
    insta::assert_snapshot!(setup_box_of(&lesson(), "capo 3"), @r"
    ┌─ Setup: capo 3, guitar ──────────────────────────────────┐
    │ Tuning   standard:  6 E  5 A  4 D  3 G  2 B  1 e         │
    │ Capo     fret 3; frets are counted from it               │
    │ Key      sounds in B♭ major, played as G major           │
    │ Names    chords are named by shape: G sounds as B♭       │
    └──────────────────────────────────────────────────────────┘
    ");
    let mut lesson = lesson();
    lesson.header.chord_names = ChordNames::SoundsAs;
    lesson.setups[1].reference = Some(Hertz(432.0));
    lesson.setups[1].tone = "Neck pickup".into();
    lesson.pieces[1].tempo = "1/4.=60".parse().ok();
    insta::assert_snapshot!(setup_box_of(&lesson, "capo 3"), @r"
    ┌─ Setup: capo 3, guitar ──────────────────────────────────┐
    │ Tuning   standard:  6 E  5 A  4 D  3 G  2 B  1 e         │
    │ Capo     fret 3; frets are counted from it               │
    │ Pitch    tune to A4 = 432 Hz                             │
    │ Key      sounds in B♭ major, played as G major           │
    │ Names    chords are named by sound: B♭ is played as G    │
    │ Tempo    dotted quarter = 60                             │
    │ Sound    Neck pickup                                     │
    └──────────────────────────────────────────────────────────┘
    ");
}

/// Returns the setup box whose title says `name`.
fn setup_box_of(lesson: &Lesson, name: &str) -> String {
    let text = text(lesson, &HandoutOptions { columns: Columns::new(60), ..HandoutOptions::default() });
    let lines = text.lines().skip_while(|line| !line.starts_with('┌') || !line.contains(name));
    let mut ended = false;
    let lines = lines.take_while(|line| !std::mem::replace(&mut ended, line.starts_with('└')));
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn what_is_not_written_yet_is_said() {
    let mut lesson = lesson();
    lesson.passages[0].bars.clear();
    lesson.passages[0].title.clear();
    lesson.pieces[0].title.clear();
    lesson.pieces[1].setup = Some(SetupId(99));
    lesson.segments[2].passages.push(PassageUse::whole(PassageId(99)));
    check_order(
        &text(&lesson, &HandoutOptions::default()),
        // The setup that is gone has no tuning to show, so the strings have their numbers.
        &[
            "══ Lamp Oil ══",
            "4 bars",
            "\n1│",
            "\n6│",
            "══ Untitled piece ══",
            "── Passage ──",
            "0 bars ──",
            "(no bars yet)",
        ],
    );
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

#[test]
fn unusual_instruments_and_lengths_keep_to_the_page() {
    let tunings = ["E3 E2 A3 A2 D4 D3 G4 G3 B3 B3 E4 E4", "G2 D3 B3", "G4 D3 G3 B3 D4"];
    for tuning in tunings {
        let mut lesson = lesson();
        let strings = tuning.split_whitespace().count();
        lesson.instruments[0].body.strings = strings as u8;
        lesson.setups[1] = setup(2, "odd", tuning, Some(2));
        lesson.voicings[0] = voicing(1, &"Cmaj13#11/".repeat(6), &"12 ".repeat(strings));
        lesson.voicings[1].readings = vec![];
        lesson.passages[1].bars = vec![lesson.passages[1].bars[0].clone(); 300];
        lesson.passages[1].bars[7] = Bar::default();
        lesson.passages[1].bars[8].voices[0].0[0].chord = Some("any name that is sixty characters long ".repeat(2));
        for (columns, charset) in [(40, Charset::Utf8), (50, Charset::Ascii), (120, Charset::Utf8)] {
            let options = HandoutOptions { columns: Columns::new(columns), charset, ..HandoutOptions::default() };
            let handout = handout(&lesson, &options);
            check_pages(&handout, &options).unwrap();
            for line in handout.pages.iter().filter_map(|page| page.lines.last()) {
                assert!(!line.starts_with(['═', '=']), "a heading alone at the foot: {line}");
            }
        }
        lesson.segments.clear();
        check_order(
            &text(&lesson, &HandoutOptions::default()),
            &["══ Wash Day ══", "══ Also in this", "check the law"],
        );
        lesson.pieces.clear();
        check_order(&text(&lesson, &HandoutOptions::default()), &["══ Two small pieces ══", "check the law"]);
    }
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
        ..Segment::new(SegmentId(id), SegmentKind::Slowly, title, VideoLength::from_seconds(60))
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
fn music_of_no_piece_stands_under_its_segment_and_its_setup() {
    check_order(
        &text(&capo_lesson(), &HandoutOptions::default()),
        &[
            "══ Two ways to C ══",
            "┌─ Setup: standard, guitar ─",
            "        C\n",
            // The setup stays, so the heading says it.
            "══ Rolling ══",
            "═ Setup: standard, guitar ══\n\n── pattern ──",
            "══ Capo on ══",
            "┌─ Setup: standard, capo 2, guitar ─",
            "Capo     fret 2",
            "Cadd9             Am\n",
            "══ Rolling again ══",
            "═ Setup: standard, capo 2, guitar ══",
            "── pattern, higher ──",
            "Signs in the tab",
        ],
    );
}

#[test]
fn chords_saved_for_another_setup_have_a_box_of_their_own() {
    // The voicing says the capo, the segment does not.
    let mut lesson = capo_lesson();
    lesson.segments.truncate(1);
    lesson.segments[0].voicings = vec![VoicingId(1), VoicingId(2)];
    lesson.passages.clear();
    lesson.voicings.truncate(2);
    let parts = ["Setup: standard, guitar", "        C\n", "Setup: standard, capo 2", "Cadd9\n", "Signs in the chord"];
    check_order(&text(&lesson, &HandoutOptions::default()), &[&["══ Two ways to C ══"][..], &parts].concat());
    // The same under the heading of a piece, which is told once.
    lesson.pieces = vec![Piece { notes: "slowly".into(), ..piece(1, "Wash Day", 1, "C") }];
    lesson.segments[0].pieces = vec![PieceId(1)];
    let text = text(&lesson, &HandoutOptions::default());
    check_order(&text, &[&["══ Wash Day ══"][..], &parts].concat());
    check_order(&text, &["Key      C major", "Key      sounds in C major, played as B♭ major"]);
    assert_eq!(text.matches("Notes    slowly").count(), 1, "{text}");
    // In no segment at all.
    lesson.segments.clear();
    check_order(&self::text(&lesson, &HandoutOptions::default()), &[&["══ Two small pieces ══"][..], &parts].concat());
}

#[test]
fn a_passage_in_another_setup_than_its_piece_stands_in_a_box_of_its_own() {
    let mut lesson = lesson();
    lesson.passages[0].setup = Some(SetupId(2));
    lesson.passages.push(passage(4, "wash end", Some(1), &["D5"]));
    lesson.segments[2].passages.extend([PassageUse::whole(PassageId(4)), PassageUse::whole(PassageId(3))]);
    let text = text(&lesson, &HandoutOptions::default());
    check_order(
        &text,
        &[
            "══ Wash Day ══",
            "Setup: capo 3",
            "── wash riff ──",
            "Setup: double drop D",
            "── wash end ──",
            "── left over ──",
        ],
    );
    let used = text.split("Also in this lesson").next().unwrap();
    assert_eq!(used.matches("Setup: double drop D").count(), 1, "{text}");
}

#[test]
fn a_chord_without_a_setup_is_played_in_that_of_its_segment() {
    let mut lesson = capo_lesson();
    lesson.pieces = vec![piece(1, "Wash Day", 1, "C")];
    lesson.segments[2].pieces = vec![PieceId(1)];
    lesson.segments[2].voicings = vec![VoicingId(3)];
    let only = HandoutOptions { segments: "3".parse().unwrap(), ..HandoutOptions::default() };
    check_order(&text(&lesson, &only), &["══ Wash Day ══", "Setup: standard, capo 2", " Am\n"]);
    assert!(!text(&lesson, &only).contains("Setup: standard, guitar"));
    // Where no segment says one, in that of the piece.
    lesson.pieces[0].setup = Some(SetupId(2));
    lesson.segments.iter_mut().for_each(|segment| segment.setup = None);
    check_order(&text(&lesson, &only), &["══ Wash Day ══", "Setup: standard, capo 2", " Am\n"]);
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
        first.notes[0].join = Some(Join::LegatoSlide);
        second.notes[0].techniques.push(Technique::Vibrato);
        Bar { voices: vec![Voice(vec![first, second])], ..Bar::default() }
    };
    lesson.passages[1].bars = vec![slide(5, 7)];
    lesson.passages[0].bars = vec![slide(7, 5)];
    let text = text(&lesson, &HandoutOptions { columns: Columns::new(50), ..HandoutOptions::default() });
    check_order(&text, &["On the strings", "7/9  slide to the next note\n7\\5  slide down", "7~"]);
}

#[test]
fn no_sheet_of_a_demo_is_wasted_and_no_setup_parted_from_its_chords() {
    for name in ["funk-rhythm", "dadgad-fingerstyle", "ukulele-strum"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-lessons").join(format!("{name}.lesson.ron"));
        let lesson = lesson_file::load(&path).unwrap_or_else(|error| panic!("{}", error.report())).lesson;
        for paper in [Paper::A4, Paper::Letter] {
            let pages = handout(&lesson, &HandoutOptions { paper, ..HandoutOptions::default() }).pages;
            assert!(!pages.last().unwrap().lines[3].contains("Take care"), "{name}, {paper:?}: the cautions are alone");
            for page in pages {
                let last = page.lines.last().unwrap();
                assert!(!last.starts_with('└'), "{name}, {paper:?}: {}", page.lines[0]);
            }
        }
    }
}

#[test]
fn a_tall_box_begins_under_its_heading() {
    let mut lesson = lesson();
    lesson.pieces[1].notes = "slow and steady ".repeat(400);
    let pages = handout(&lesson, &HandoutOptions::default()).pages;
    let page = pages.iter().find(|page| page.lines.iter().any(|line| line.contains("══ Lamp Oil ══"))).unwrap();
    assert!(page.lines.last().unwrap().contains("slow and steady"), "{:?}", page.lines);
}

#[test]
fn an_empty_lesson_has_a_page() {
    let handout = handout(&Lesson::default(), &HandoutOptions::default());
    assert_eq!(handout.pages.len(), 1);
    check_order(&handout.to_text(), &["page 1 of 1", "Untitled lesson", "stop when something hurts"]);
}

/// Checks what holds for every page: its size, its number, nothing that acts, nothing at line ends.
fn check_pages(handout: &Handout, options: &HandoutOptions) -> Result<(), TestCaseError> {
    let count = handout.pages.len();
    prop_assert!(count > 0);
    for (place, page) in handout.pages.iter().enumerate() {
        prop_assert!(page.lines.len() <= options.paper.lines(), "page {} has {} lines", place + 1, page.lines.len());
        let number = format!("page {} of {count}", place + 1);
        prop_assert!(page.lines.first().is_some_and(|line| line.ends_with(&number)), "{:?}", page.lines.first());
        prop_assert!(page.lines.get(3).is_none_or(|line| !line.is_empty()), "page {} begins with a gap", place + 1);
        for line in &page.lines {
            prop_assert!(line.width() <= options.width(), "{} columns: {line:?}", line.width());
            prop_assert!(!line.ends_with(char::is_whitespace), "{line:?}");
            prop_assert!(!line.chars().any(char::is_control), "{line:?}");
            prop_assert!(options.charset == Charset::Utf8 || line.is_ascii(), "{line:?}");
        }
    }
    prop_assert_eq!(handout.to_text().matches('\u{c}').count(), count - 1);
    Ok(())
}

fn any_options() -> impl Strategy<Value = HandoutOptions> {
    let columns = proptest::option::of(Columns::RANGE);
    (columns, any::<bool>(), any::<bool>(), any::<bool>()).prop_map(|(columns, letter, ascii, points)| HandoutOptions {
        paper: if letter { Paper::Letter } else { Paper::A4 },
        columns: columns.and_then(Columns::new),
        charset: if ascii { Charset::Ascii } else { Charset::Utf8 },
        segments: SegmentPick::All,
        talking_points: if points { TalkingPoints::Print } else { TalkingPoints::LeaveOut },
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn every_page_keeps_to_its_size_and_charset(lesson in any_lesson(), options in any_options()) {
        check_pages(&handout(&lesson, &options), &options)?;
    }
}
