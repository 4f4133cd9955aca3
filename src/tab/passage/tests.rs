//! Typical bars as a student sees them, and what must hold for all of them. Every riff is invented.

use super::*;
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::tuning::Tuning;
use crate::lesson::id::PassageId;
use crate::lesson::music::{Bar, BendAmount, Event, Join, Note, Passage, Stroke, Technique, Voice};
use crate::lesson::time::{Length, Meter, NoteValue, Tempo, Tuplet};
use crate::tab::read::{ReadHints, comparable, read};
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;

pub(super) fn n(string: u8, fret: u8) -> Note {
    Note::plain(StringNumber::new(string).unwrap(), Fret::new(fret).unwrap())
}

fn len(text: &str) -> Length {
    text.parse().unwrap()
}

pub(super) fn ev(length: &str, notes: &[Note]) -> Event {
    Event::notes(len(length), notes.to_vec())
}

pub(super) fn passage(bars: Vec<Bar>) -> Passage {
    Passage::plain(PassageId(1), "riff", bars)
}

pub(super) fn bar(events: Vec<Event>) -> Bar {
    Bar { voices: vec![Voice(events)], ..Bar::default() }
}

pub(super) fn labels() -> Vec<String> {
    ["E", "A", "D", "G", "B", "e"].map(str::to_owned).to_vec()
}

pub(super) fn with(mut note: Note, techniques: &[Technique]) -> Note {
    note.techniques = techniques.to_vec();
    note
}

pub(super) fn to(mut note: Note, join: Join) -> Note {
    note.join = Some(join);
    note
}

pub(super) fn named(mut event: Event, chord: &str) -> Event {
    event.chord = Some(chord.into());
    event
}

pub(super) fn saying(mut event: Event, text: &str) -> Event {
    event.text = Some(text.into());
    event
}

fn in_three(length: &str) -> Length {
    Length::new(len(length).value(), 0, Some(Tuplet { actual: 3, normal: 2 })).unwrap()
}

pub(super) fn text(passage: &Passage, width: usize, charset: Charset) -> String {
    let text = render(passage, &labels(), &TabStyle::filled(width, charset));
    let systems: Vec<String> = text.systems.iter().map(|system| system.lines.join("\n")).collect();
    systems.join("\n\n")
}

/// Renders, reads back and compares; returns the text.
#[track_caller]
pub(super) fn there_and_back(passage: &Passage, width: usize, charset: Charset) -> String {
    let text = text(passage, width, charset);
    let found = read(&text, &ReadHints::new(passage.id, passage.title.clone())).unwrap();
    assert_eq!(found.passage, comparable(passage, charset), "{text}");
    text
}

fn funk() -> Bar {
    let stab = || vec![n(1, 7), n(2, 7), n(3, 7), n(4, 5)];
    let dead = |string| with(n(string, 7), &[Technique::Dead]);
    bar(vec![
        named(ev("1/8", &stab()), "Em9"),
        ev("1/8", &stab()),
        ev("1/8", &[dead(1), dead(2), dead(3), dead(4)]),
        ev("1/8", &stab()),
        Event::rest(len("1/4")),
        named(ev("1/8", &[to(n(5, 5), Join::HammerOn)]), "A13"),
        ev("1/8", &[n(5, 7)]),
    ])
}

fn scratching() -> Bar {
    let stroke = |place: u8| if place.is_multiple_of(2) { Stroke::Down } else { Stroke::Up };
    let techniques = |place| if place < 6 { vec![Technique::PalmMute] } else { Vec::new() };
    bar((0..16)
        .map(|place| Event { stroke: Some(stroke(place)), ..ev("1/16", &[with(n(5, 2), &techniques(place))]) })
        .collect())
}

#[test]
fn a_chord_name_of_a_mark_alone_is_printed_and_read_back() {
    let written = passage(vec![bar(vec![named(ev("1/1", &[n(2, 3)]), "\u{301}")])]);
    assert!(there_and_back(&written, 72, Charset::Utf8).contains("◌\u{301}"));
    assert!(there_and_back(&written, 72, Charset::Ascii).contains('?'));
}

#[test]
fn a_bar_of_eighths() {
    insta::assert_snapshot!(there_and_back(&passage(vec![funk(), funk()]), 72, Charset::Utf8), @r"
    4/4  q=120
       Em9                     A13        Em9                     A13
    1  e   e   e   e   rq      e   e      e   e   e   e   rq      e   e
    e│─7───7───x───7────────────────────│─7───7───x───7────────────────────│
    B│─7───7───x───7────────────────────│─7───7───x───7────────────────────│
    G│─7───7───x───7────────────────────│─7───7───x───7────────────────────│
    D│─5───5───x───5────────────────────│─5───5───x───5────────────────────│
    A│─────────────────────────5h──7────│─────────────────────────5h──7────│
    E│──────────────────────────────────│──────────────────────────────────│
       1   &   2   &   3       4   &      1   &   2   &   3       4   &
    ");
}

#[test]
fn sixteenths_with_strokes_and_palm_mute() {
    insta::assert_snapshot!(there_and_back(&passage(vec![scratching(), funk()]), 72, Charset::Ascii), @r"
    4/4  q=120
                                          Em9                    A13
       P.M.------|
       n v n v n v n v n v n v n v n v
    1  s s s s s s s s s s s s s s s s    e   e   e   e   rq     e   e
    e|----------------------------------|-7---7---x---7--------------------|
    B|----------------------------------|-7---7---x---7--------------------|
    G|----------------------------------|-7---7---x---7--------------------|
    D|----------------------------------|-5---5---x---5--------------------|
    A|-2-2-2-2-2-2-2-2-2-2-2-2-2-2-2-2--|------------------------5h--7-----|
    E|----------------------------------|----------------------------------|
       1 e & a 2 e & a 3 e & a 4 e & a    1   &   2   &   3      4   &
    ");
}

#[test]
fn two_dense_bars_stand_on_a_line_of_a4() {
    let sixteenth = |place: u8| match place % 4 {
        1 => Event::rest(len("1/16")),
        0 => ev("1/16", &[n(1, 7), n(2, 12)]),
        _ => ev("1/16", &[n(1, 7), n(3, 5)]),
    };
    let dense = passage(vec![bar((0..16).map(sixteenth).collect()); 2]);
    let text = there_and_back(&dense, 72, Charset::Ascii);
    assert!(!text.contains("\n\n"), "{text}");
}

#[test]
fn triplets_bends_and_harmonics() {
    let riff = bar(vec![
        Event::notes(in_three("1/8"), vec![to(n(3, 7), Join::Slide)]),
        Event::notes(in_three("1/8"), vec![to(n(3, 9), Join::PullOff)]),
        Event::notes(in_three("1/8"), vec![n(3, 7)]),
        ev("1/4", &[with(n(2, 10), &[Technique::Bend(BendAmount::FULL), Technique::Vibrato])]),
        ev("1/4.", &[with(n(6, 12), &[Technique::NaturalHarmonic, Technique::LetRing])]),
        ev("1/8", &[with(n(1, 12), &[Technique::SlideAwayDown])]),
    ]);
    insta::assert_snapshot!(there_and_back(&passage(vec![riff]), 60, Charset::Utf8), @r"
    4/4  q=120
                            let ring
    1  e3  e3  e3  q        q.             e
    e│─────────────────────────────────────12\\──│
    B│─────────────10bfull~──────────────────────│
    G│─7/──9p──7─────────────────────────────────│
    D│───────────────────────────────────────────│
    A│───────────────────────────────────────────│
    E│──────────────────────<12>─────────────────│
       1   la  li  2        3         4    &
    ");
}

/// A pickup, then two voices, with what belongs to bars.
fn two_voices() -> Passage {
    let mut pickup = bar(vec![ev("1/8", &[n(5, 3)]), ev("1/16", &[n(4, 0)]), ev("1/16", &[n(4, 2)])]);
    pickup.pickup = true;
    let grace = Event { grace: vec![to(n(2, 1), Join::HammerOn)], ..ev("1/8", &[n(2, 3)]) };
    let upper = vec![
        ev("1/4", &[n(1, 3)]),
        saying(grace, "the thumb leads"),
        ev("1/8", &[n(2, 0)]),
        ev("1/2", &[n(1, 0), n(2, 1)]),
    ];
    let lower = vec![ev("1/2", &[n(6, 3)]), ev("1/4", &[n(5, 3)]), ev("1/4", &[n(6, 10)])];
    let voices = vec![Voice(upper), Voice(lower)];
    let main = Bar { voices, repeat_start: true, repeat_end: Some(3), endings: vec![1, 2], ..Bar::default() };
    let slow = bar(vec![ev("1/4", &[n(4, 2)]), ev("1/8", &[n(3, 2)]), ev("1/8", &[n(2, 3)]), ev("1/4", &[n(1, 2)])]);
    let slow = Bar { meter: Meter::new(6, NoteValue::Eighth), tempo: Tempo::new(len("1/4."), 60), ..slow };
    passage(vec![pickup, main, slow])
}

#[test]
fn voices_repeats_endings_pickups_and_changes() {
    insta::assert_snapshot!(there_and_back(&two_voices(), 80, Charset::Ascii), @r#"
    4/4  q=120
      pickup                             x3   6/8 q.=60
                   1,2.-------------------|
                         "the thumb leads"
       e    s s     q    e   e   h             q       e   e   q
    e|----------||:-3------------0---------:||-----------------2-------|
    B|----------||:----1h3---0---1---------:||-------------3-----------|
    G|----------||:------------------------:||---------2---------------|
    D|------0-2-||:------------------------:||-2-----------------------|
    A|-3--------||:--------------3---------:||-------------------------|
    E|----------||:-3-----------------10---:||-------------------------|
                    h            q    q
       4 e  & a     1    2   &   3    4        1   &   a   2   &   a
    "#);
    insta::assert_snapshot!(there_and_back(&two_voices(), 80, Charset::Utf8), @r#"
    4/4  q=120
      pickup                            x3  6/8 q.=60
                  1,2.───────────────────│
                        "the thumb leads"
       e    s s    q    e   e   h            q       e   e   q
    e│──────────║:─3────────────0─────────:║─────────────────2───────│
    B│──────────║:────1h3───0───1─────────:║─────────────3───────────│
    G│──────────║:────────────────────────:║─────────2───────────────│
    D│──────0─2─║:────────────────────────:║─2───────────────────────│
    A│─3────────║:──────────────3─────────:║─────────────────────────│
    E│──────────║:─3─────────────────10───:║─────────────────────────│
                   h            q    q
       4 e  & a    1    2   &   3    4       1   &   a   2   &   a
    "#);
}

#[test]
fn a_bar_wider_than_the_page_goes_on_at_a_beat() {
    let notes = |place: u8| vec![with(n(1, 10 + place % 8), &[Technique::Vibrato]), n(4, 12)];
    let wide = bar((0..16).map(|place| ev("1/16", &notes(place))).collect());
    insta::assert_snapshot!(there_and_back(&passage(vec![wide]), 44, Charset::Ascii), @r"
    4/4  q=120
    1  s    s    s    s    s    s    s    s
    e|-10~--11~--12~--13~--14~--15~--16~--17~-->
    B|----------------------------------------->
    G|----------------------------------------->
    D|-12---12---12---12---12---12---12---12--->
    A|----------------------------------------->
    E|----------------------------------------->
       1    e    &    a    2    e    &    a

    1  s    s    s    s    s    s    s    s
    e>-10~--11~--12~--13~--14~--15~--16~--17~--|
    B>-----------------------------------------|
    G>-----------------------------------------|
    D>-12---12---12---12---12---12---12---12---|
    A>-----------------------------------------|
    E>-----------------------------------------|
       3    e    &    a    4    e    &    a
    ");
}

#[test]
fn what_is_too_long_to_stand_over_its_beat_goes_under_the_system() {
    let long = "keep the wrist loose and let the back of the pick do the work, then breathe";
    let mut riff = funk();
    riff.voices[0].0[0].text = Some(long.into());
    riff.voices[0].0[3].chord = Some("any chord you like".into());
    riff.voices[0].0[6].text = Some("a\u{1b}[31mb\tc \"d\"".into());
    insta::assert_snapshot!(there_and_back(&passage(vec![riff.clone()]), 40, Charset::Utf8), @r#"
    4/4  q=120
       *1                           *2
       Em9         *3           A13
    1  e   e   e   e   rq       e   e
    e│─7───7───x───7───────────────────────│
    B│─7───7───x───7───────────────────────│
    G│─7───7───x───7───────────────────────│
    D│─5───5───x───5───────────────────────│
    A│──────────────────────────5h──7──────│
    E│─────────────────────────────────────│
       1   &   2   &   3        4   &
    *1 "keep the wrist loose and let the
        back of the pick do the work, then
        breathe"
    *2 "a␛[31mb c "d""
    *3 chord any chord you like
    "#);
    there_and_back(&passage(vec![riff]), 60, Charset::Ascii);
}

#[test]
fn the_legend_lists_what_was_used_and_nothing_else() {
    let entries = |passage: &Passage| {
        let text = render(passage, &labels(), &TabStyle::filled(72, Charset::Ascii));
        text.legend.iter().map(|entry| format!("{}  {}\n", entry.sign, entry.meaning)).collect::<String>()
    };
    insta::assert_snapshot!(entries(&passage(vec![bar(vec![ev("1/1", &[n(6, 3)])])])), @"w  whole note");
    insta::assert_snapshot!(entries(&passage(vec![funk()])), @r"
    q  quarter note
    e  eighth note
    rq  a rest of that length
    7h9  hammer-on to the next note
    x  dead note: muted, no pitch
    ");
    let technique = |mut note: Note, technique| {
        note.techniques.push(technique);
        note
    };
    let ghost = || technique(n(6, 3), Technique::Ghost);
    insta::assert_snapshot!(entries(&passage(vec![bar(vec![ev("1/1", &[ghost()])])])), @r"
    w  whole note
    (7)  ghost note: very soft
    ");
    // Brackets mean two things here, and both are told.
    let tied = || bar(vec![ev("1/2", &[ghost()]), ev("1/2", &[to(n(6, 3), Join::Tie)])]);
    insta::assert_snapshot!(entries(&passage(vec![tied(), bar(vec![ev("1/1", &[n(6, 3)])])])), @r"
    w  whole note
    h  half note
    7=(7)  tie: hold the note, do not pick again
    =|(7)  tie over a bar line: still held, not picked again
    (7)  ghost note: very soft, where no tie = leads to it
    ");
}

#[test]
fn voices_that_cross_or_collide_stay_apart() {
    let voices =
        |upper: Vec<Event>, lower: Vec<Event>| Bar { voices: vec![Voice(upper), Voice(lower)], ..Bar::default() };
    let crossing = voices(
        vec![ev("1/2", &[n(5, 1)]), ev("1/2", &[n(1, 1), n(4, 1)])],
        vec![ev("1/2", &[n(2, 2)]), ev("1/2", &[n(3, 2), n(6, 2)])],
    );
    let colliding = voices(
        vec![ev("1/2", &[n(3, 1)]), ev("1/2", &[n(3, 12)])],
        vec![named(ev("1/2", &[n(3, 2)]), "C"), ev("1/2", &[n(3, 4)])],
    );
    let resting = voices(
        vec![Event::rest(len("1/2")), ev("1/2", &[n(1, 1)])],
        vec![ev("1/2", &[n(1, 2), n(6, 2)]), Event::rest(len("1/2"))],
    );
    let alone = voices(Vec::new(), vec![ev("1/1", &[n(2, 2)])]);
    let twice = bar(vec![ev("1/1", &[n(2, 2), to(n(2, 4), Join::Tie), n(4, 0)])]);
    let empty = Bar::default();
    for charset in [Charset::Utf8, Charset::Ascii] {
        let bars =
            vec![crossing.clone(), colliding.clone(), resting.clone(), alone.clone(), empty.clone(), twice.clone()];
        there_and_back(&passage(bars), 60, charset);
        there_and_back(&passage(vec![empty.clone()]), 60, charset);
        there_and_back(&passage(Vec::new()), 60, charset);
    }
}

#[test]
fn chord_names_that_look_like_other_marks_stay_chord_names() {
    for name in [
        "n", "P.M.", "PM", "let ring", "q", "3/4", "x2", "1.", "*1", "\"", "key:C", "e3", "chord C", "pickup", "♭♭",
        "日本",
    ] {
        let events = (0..4).map(|_| named(saying(ev("1/4", &[n(1, 1)]), name), name)).collect();
        there_and_back(&passage(vec![bar(events)]), 60, Charset::Utf8);
    }
}

#[test]
fn every_system_but_the_last_fills_the_width() {
    let riff = passage((0..13).map(|place| if place % 5 == 0 { scratching() } else { funk() }).collect());
    for width in 40..=160 {
        let laid_out = lay_out(&riff, &labels(), &TabStyle::filled(width, Charset::Ascii));
        let (last, full) = laid_out.text.systems.split_last().unwrap();
        for (system, map) in full.iter().zip(&laid_out.maps) {
            assert_eq!(system.lines[map.strings.start].len(), width);
        }
        assert!(last.lines[2].len() <= width);
    }
}

#[test]
fn the_notes_of_an_event_and_its_count_share_a_column() {
    let laid_out = lay_out(&passage(vec![scratching()]), &labels(), &TabStyle::filled(72, Charset::Ascii));
    let (system, map) = (&laid_out.text.systems[0], &laid_out.maps[0]);
    let count = system.lines.last().unwrap().as_bytes();
    for (place, word) in map.events.iter().zip(b"1e&a2e&a3e&a4e&a") {
        assert_eq!(count[place.column], *word);
        assert_eq!(system.lines[map.strings.start + 4].as_bytes()[place.column], b'2');
    }
}

#[test]
fn an_excerpt_keeps_the_numbers_and_what_holds_where_it_begins() {
    let excerpt = render_bars(&two_voices(), 2..3, &labels(), &TabStyle::filled(60, Charset::Ascii));
    assert_eq!(excerpt.systems[0].bars, 2..3);
    insta::assert_snapshot!(excerpt.systems[0].lines.join("\n"), @r"
    4/4  q=120
      6/8 q.=60
    2  q      e   e   q
    e|----------------2------|
    B|------------3----------|
    G|--------2--------------|
    D|-2---------------------|
    A|-----------------------|
    E|-----------------------|
       1  &   a   2   &  a
    ");
}

#[test]
fn labels_follow_the_tuning() {
    // Open strings: common practice, no published source.
    let labels = |notes: &[&str]| {
        string_labels(&Tuning::new(notes.iter().map(|note| note.parse().unwrap()).collect()).unwrap()).join(" ")
    };
    assert_eq!(labels(&["E2", "A2", "D3", "G3", "B3", "E4"]), "E A D G B e");
    assert_eq!(labels(&["D2", "A2", "D3", "G3", "A3", "D4"]), "D A D G A d");
    // The two that are alike need not be the highest.
    assert_eq!(labels(&["D2", "A2", "D3", "G3", "B3", "E4"]), "D A D G B e");
    assert_eq!(labels(&["B0", "E1", "A1", "D2", "G2"]), "B E A D G");
    assert_eq!(labels(&["Eb2", "Ab2", "Db3", "Gb3", "Bb3", "Eb4"]), "Eb Ab Db Gb Bb eb");
    assert_eq!(labels(&["G4", "C4", "E4", "A4"]), "G C E A");
}

#[test]
fn chord_names_and_marks_never_run_into_each_other() {
    let names = ["Am(maj7)", "C", "F#m7b5/C", "Eb7#9", "Dsus4", "G13sus4add3", "E", "Bbmaj7#11"];
    let full = bar(names.iter().map(|name| named(ev("1/8", &[n(1, 1)]), name)).collect());
    let last = bar(vec![ev("1/2.", &[n(1, 1)]), named(ev("1/4", &[n(1, 1)]), "Am(maj7)/G#")]);
    let short = |meter| Bar {
        meter: Meter::new(meter, NoteValue::Quarter),
        tempo: Tempo::new(len("1/4"), 100),
        key: "F#m".parse().ok(),
        ..Bar::default()
    };
    let bars = vec![full.clone(), last.clone(), last, full, short(3), short(2), short(7)];
    for width in 40..100 {
        there_and_back(&passage(bars.clone()), width, Charset::Ascii);
    }
}

#[test]
fn systems_without_a_blank_line_between_them_read_back() {
    let mut riff = two_voices();
    riff.bars.extend([funk(), scratching(), funk()]);
    let text = text(&riff, 48, Charset::Ascii).replace("\n\n", "\n");
    let found = read(&text, &ReadHints::new(riff.id, riff.title.clone())).unwrap();
    assert_eq!(found.passage, comparable(&riff, Charset::Ascii), "{text}");
}
