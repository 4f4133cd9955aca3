//! The chords of tab and the shapes that are shown for their names, which go to another tuning with their sound: grid and tab stay the
//! same shape, or it is said that they do not.

use std::collections::BTreeSet;
use std::path::Path;

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::lesson::document::{Lesson, Setup, Voicing};
use fingerpost::lesson::fresh::{IdSource, Seed};
use fingerpost::lesson::id::{PassageId, SetupId, VoicingId};
use fingerpost::lesson::music::{Bar, Event, Note, Technique, Voice};
use fingerpost::lesson::tunings::{FretsOrSound, Retuned, passages_to};
use fingerpost::lesson::tunings_along::SegmentsAlong;
use fingerpost::lesson::voicings_along::{VoicingsThere, take_along};
use fingerpost::store::lesson_file;
use proptest::prelude::*;

const OTHER: SetupId = SetupId(3);
const PASSAGE: PassageId = PassageId(1);

/// Shapes that every teacher shows.
const SHAPES: [(&str, &str); 16] = [
    ("C", "x32010"),
    ("G", "320003"),
    ("D", "xx0232"),
    ("A", "x02220"),
    ("E", "022100"),
    ("Am", "x02210"),
    ("Em", "022000"),
    ("Dm", "xx0231"),
    ("F", "133211"),
    ("Bm", "x24432"),
    ("Cmaj7", "x32000"),
    ("G7", "320001"),
    ("F#m7", "242222"),
    ("Dsus4", "xx0233"),
    ("Bb", "x13331"),
    ("E7#9", "x7678x"),
];

const TUNINGS: [&str; 8] = [
    "D2 A2 D3 G3 B3 E4",
    "D2 A2 D3 G3 A3 D4",
    "D2 G2 D3 G3 B3 D4",
    "D2 A2 D3 F#3 A3 D4",
    "D2 A2 D3 G3 B3 D4",
    "Eb2 Ab2 Db3 Gb3 Bb3 Eb4",
    "D2 G2 C3 F3 A3 D4",
    "E2 B2 E3 G#3 B3 E4",
];

/// How a chord is written in the tab.
#[derive(Debug, Clone, Copy)]
struct Chord {
    shape: usize,
    /// Which of its strings are struck: a bit for each.
    struck: u8,
    is_linked: bool,
}

/// The small lesson with these chords as its passage, a bar each, under their names; its second segment plays it and shows their shapes.
fn lesson(chords: &[Chord], tuning: &str) -> Lesson {
    let text = include_bytes!("../lessons/workbench.lesson.ron");
    let mut lesson = lesson_file::parse(Path::new("workbench.lesson.ron"), text).unwrap().lesson;
    let tuning = tuning.parse().unwrap();
    lesson.setups.push(Setup { id: OTHER, name: "other".into(), tuning, ..lesson.setups[0].clone() });
    let model = lesson.voicings[0].clone();
    let used: BTreeSet<usize> = chords.iter().map(|chord| chord.shape).collect();
    lesson.voicings = used.iter().map(|shape| voicing(&model, *shape)).collect();
    for segment in &mut lesson.segments {
        segment.voicings.clear();
    }
    lesson.segments[1].voicings = used.iter().map(|shape| id(*shape)).collect();
    let passage = lesson.passages.iter_mut().find(|passage| passage.id == PASSAGE).unwrap();
    passage.bars = chords.iter().map(|chord| bar(&model, *chord)).collect();
    lesson
}

fn id(shape: usize) -> VoicingId {
    VoicingId(10 + u32::try_from(shape).unwrap())
}

fn voicing(model: &Voicing, shape: usize) -> Voicing {
    let (name, frets) = SHAPES[shape];
    Voicing {
        id: id(shape),
        shape: frets.parse().unwrap(),
        readings: vec![name.into()],
        fingers: Vec::new(),
        barre: None,
        setup: Some(SetupId(1)),
        ..model.clone()
    }
}

fn bar(model: &Voicing, chord: Chord) -> Bar {
    let own = voicing(model, chord.shape);
    let strings = (1..=6).rev().filter_map(StringNumber::new).zip(own.shape.strings()).enumerate();
    let struck = strings.filter(|(place, _)| chord.struck >> place & 1 == 1);
    let notes = struck.filter_map(|(_, (string, fret))| Some(Note::plain(string, (*fret)?))).collect();
    let mut event = Event::notes("1/1".parse().unwrap(), notes);
    event.chord = Some(SHAPES[chord.shape].0.into());
    event.voicing = chord.is_linked.then(|| id(chord.shape));
    Bar { voices: vec![Voice(vec![event])], ..Bar::default() }
}

/// The lesson with its passage and all that belongs to it in the other tuning, with its sound.
fn taken(lesson: &Lesson) -> (Lesson, Retuned) {
    let to = lesson.setup(OTHER).unwrap();
    let mut retuned = passages_to(lesson, &[PASSAGE], to, FretsOrSound::Sound).unwrap();
    retuned.edits.extend(SegmentsAlong::of(lesson, &[PASSAGE], to).edits(lesson, to.id));
    let mut ids = IdSource::new(Seed(1), lesson);
    take_along(lesson, &mut retuned, VoicingsThere::Come(FretsOrSound::Sound), &mut || ids.draw(lesson));
    let mut after = lesson.clone();
    after.apply_all(retuned.edits.clone()).unwrap();
    (after, retuned)
}

fn only_event(bar: &Bar) -> &Event {
    &bar.voices[0].0[0]
}

fn places(event: &Event) -> Vec<(StringNumber, Fret)> {
    event.notes.iter().map(|note| (note.string, note.fret)).collect()
}

/// Holds grid and tab against each other, chord by chord. Returns how many are one shape and how many it is said of that they are not.
fn held_together(chords: &[Chord], tuning: &str) -> (usize, usize) {
    let lesson = lesson(chords, tuning);
    let (after, retuned) = taken(&lesson);
    let passage = after.passage(PASSAGE).unwrap();
    let rig = after.passage_rig(passage).unwrap();
    let (mut same, mut told) = (0, 0);
    for (index, (bar, chord)) in passage.bars.iter().zip(chords).enumerate() {
        let shown = after.voicing(id(chord.shape)).unwrap();
        let event = only_event(bar);
        let lies_on = places(event).iter().all(|(string, fret)| shown.shape.on(*string) == Some(*fret));
        let in_bar = |spot: fingerpost::lesson::place::Spot| spot.bar == Some(u32::try_from(index).unwrap() + 1);
        let is_told = retuned.remarks.iter().any(|remark| in_bar(remark.remark.spot));
        let before = only_event(&lesson.passage(PASSAGE).unwrap().bars[index]).notes.len();
        let all_there = event.notes.len() == before;
        if shown.setup != Some(OTHER) || before < 2 && !chord.is_linked {
            continue;
        }
        assert!(lies_on || is_told, "{tuning}: {chord:?} {:?} beside {}", places(event), shown.shape);
        assert!(all_there || is_told, "{tuning}: a note of {chord:?} is gone");
        // What the shape sounds too lies where the shape has it.
        let sounds: Vec<_> = rig.notes(&shown.shape).unwrap().into_iter().flatten().collect();
        let pitch = |(string, fret): &(StringNumber, Fret)| rig.sounding(*string, *fret).unwrap();
        let is_in_it = places(event).iter().all(|place| sounds.contains(&pitch(place)));
        assert!(lies_on || !is_in_it, "{tuning}: {chord:?} {:?} sounds as {}", places(event), shown.shape);
        if lies_on {
            same += 1;
        } else {
            told += 1;
        }
    }
    (same, told)
}

#[test]
fn a_chord_whose_pitches_its_shape_keeps_is_played_with_that_shape() {
    let (mut same, mut told) = (0, 0);
    for tuning in TUNINGS {
        for is_linked in [false, true] {
            let chords: Vec<Chord> =
                (0..SHAPES.len()).map(|shape| Chord { shape, struck: 0b11_1111, is_linked }).collect();
            let (one, other) = held_together(&chords, tuning);
            (same, told) = (same + one, told + other);
        }
    }
    println!("{same} chords are played with their shapes, {told} are not and it is said");
    assert!(same > told * 2, "{same} {told}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]
    #[test]
    fn no_chord_and_its_shape_part_without_a_word(
        chords in prop::collection::vec((0..SHAPES.len(), 1_u8..64, any::<bool>()), 1..5),
        tuning in prop::sample::select(TUNINGS.as_slice()),
    ) {
        let chords: Vec<Chord> =
            chords.into_iter().map(|(shape, struck, is_linked)| Chord { shape, struck, is_linked }).collect();
        held_together(&chords, tuning);
    }
}

/// The small lesson with these moments as its passage, eight eighth notes a bar: strings and frets, none for a rest.
fn lesson_of(moments: &[Vec<(u8, u8)>], tuning: &str) -> Lesson {
    let mut lesson = lesson(&[], tuning);
    let event = |moment: &Vec<(u8, u8)>| {
        let mut notes: Vec<Note> = Vec::new();
        for (string, fret) in moment {
            let string = StringNumber::new(*string).unwrap();
            if notes.iter().all(|note| note.string != string) {
                notes.push(Note::plain(string, Fret::new(*fret).unwrap()));
            }
        }
        Event::notes("1/8".parse().unwrap(), notes)
    };
    let bar =
        |moments: &[Vec<(u8, u8)>]| Bar { voices: vec![Voice(moments.iter().map(event).collect())], ..Bar::default() };
    let passage = lesson.passages.iter_mut().find(|passage| passage.id == PASSAGE).unwrap();
    passage.bars = moments.chunks(8).map(bar).collect();
    lesson
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]
    #[test]
    fn what_is_played_on_strings_that_sound_as_before_stays_where_it_is(
        moments in prop::collection::vec(prop::collection::vec((1_u8..=6, 0_u8..8), 1..4), 1..16),
        tuning in prop::sample::select(TUNINGS.as_slice()),
    ) {
        let lesson = lesson_of(&moments, tuning);
        let (after, _) = taken(&lesson);
        let (old, new) = (lesson.passage(PASSAGE).unwrap(), after.passage(PASSAGE).unwrap());
        let (rig, there) = (lesson.passage_rig(old).unwrap(), after.passage_rig(new).unwrap());
        let alike = |string: StringNumber| rig.sounding(string, Fret::OPEN) == there.sounding(string, Fret::OPEN);
        let events = |bars: &[Bar]| bars.iter().flat_map(|bar| bar.voices[0].0.clone()).collect::<Vec<Event>>();
        let mut stayed = 0;
        for (before, now) in events(&old.bars).iter().zip(events(&new.bars)) {
            if before.notes.iter().all(|note| alike(note.string)) {
                let mut written = places(before);
                written.sort_unstable();
                let mut found = places(&now);
                found.sort_unstable();
                prop_assert_eq!(written, found, "to {}", tuning);
                stayed += 1;
            }
        }
        let any_alike = old.bars.iter().flat_map(|bar| &bar.voices[0].0).any(|event| event.notes.iter().all(|note| alike(note.string)));
        prop_assert_eq!(stayed > 0, any_alike);
    }
}

#[test]
fn nothing_is_lost_of_a_dead_strum_under_a_chord_that_goes_along() {
    let chord = Chord { shape: 1, struck: 0b11_1111, is_linked: false };
    let mut lesson = lesson(&[chord], TUNINGS[0]);
    let passage = lesson.passages.iter_mut().find(|passage| passage.id == PASSAGE).unwrap();
    let events = &mut passage.bars[0].voices[0].0;
    events[0].length = "1/2".parse().unwrap();
    let mut strum = Event { chord: None, ..events[0].clone() };
    for note in &mut strum.notes {
        note.techniques = vec![Technique::Dead];
    }
    events.push(strum);
    let (after, retuned) = taken(&lesson);
    assert_eq!(
        places(&after.passage(PASSAGE).unwrap().bars[0].voices[0].0[0])[0].1,
        Fret::new(5).unwrap(),
        "the bass goes up"
    );
    assert!(retuned.remarks.is_empty(), "{:?}", retuned.remarks);
}
