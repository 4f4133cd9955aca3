//! A passage refingered on another rig.

use fingerpost::instrument::body::{Instrument, Millimetres};
use fingerpost::instrument::harmonics::NeckPoint;
use fingerpost::instrument::neck::Fret;
use fingerpost::instrument::neck::StringNumber;
use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::tuning::Tuning;
use fingerpost::lesson::check::Severity;
use fingerpost::lesson::check::check;
use fingerpost::lesson::document::{ChordNames, Lesson, OwnedInstrument, Setup, Voicing};
use fingerpost::lesson::id::{InstrumentId, PassageId, SetupId, VoicingId};
use fingerpost::lesson::linked_shapes::delete_unfitting;
use fingerpost::lesson::music::{Bar, Event, Join, Note, Passage, Technique, Voice};
use fingerpost::lesson::placing::moved::moved;
use fingerpost::lesson::time::{Length, NoteValue};
use fingerpost::tab::read::{ReadHints, read};
use fingerpost::theory::pitch::{MidiNote, Pitch};
use proptest::prelude::*;

use super::rig;
use crate::arbitrary::any_passage_on_any_neck;

/// Reads tab on the guitar.
fn passage(tab: &str) -> Passage {
    read(tab, &ReadHints::new(PassageId(1), "Test".to_owned())).unwrap().passage
}

fn notes(passage: &Passage) -> Vec<&Note> {
    passage.bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0).flat_map(|event| &event.notes).collect()
}

fn shown(passage: &Passage) -> String {
    notes(passage).iter().map(|note| format!("{}/{}", note.string, note.fret)).collect::<Vec<_>>().join(" ")
}

/// A lesson of one passage on `rig`.
fn lesson_on(rig: &Rig, passage: Passage) -> Lesson {
    Lesson {
        instruments: vec![OwnedInstrument { id: InstrumentId(1), body: rig.instrument().clone() }],
        setups: vec![Setup {
            id: SetupId(1),
            name: "new".into(),
            instrument: InstrumentId(1),
            tuning: rig.tuning().clone(),
            capo: rig.capo().cloned(),
            reference: None,
            tone: String::new(),
        }],
        passages: vec![passage],
        ..Lesson::default()
    }
}

fn problems(lesson: &Lesson) -> Vec<String> {
    let findings = check(lesson);
    let grave = findings.iter().filter(|finding| finding.severity == Severity::Problem);
    grave.map(|finding| finding.text(lesson)).collect()
}

const RIFF: &str = "\
e|-----------------|
B|-----------------|
G|-----------------|
D|-----0-2---------|
A|-0h2-----0-------|
E|-----------3-----|
";

#[test]
fn drop_d_moves_only_what_lies_on_the_string_that_was_lowered() {
    let (old, new) = (rig("guitar", None, None), rig("guitar", Some("drop D"), None));
    let moved = moved(&Lesson::default(), &passage(RIFF), &old, &new).unwrap();
    assert_eq!(shown(&moved.passage), "5/0 5/2 4/0 4/2 5/0 6/5");
    assert_eq!(notes(&moved.passage)[0].join, Some(Join::HammerOn));
    assert_eq!(moved.remarks, []);
}

#[test]
fn a_note_below_the_instrument_goes_to_the_nearest_octave_and_is_told() {
    let (old, new) = (rig("guitar", None, None), rig("ukulele", None, None));
    let moved = moved(&Lesson::default(), &passage(RIFF), &old, &new).unwrap();
    assert_eq!(moved.remarks[0].text, "A2 is not on the instrument: it is played 2 octaves higher, A4");
    let last = moved.remarks.iter().find(|remark| remark.text.starts_with("G2")).unwrap();
    assert_eq!(last.text, "G2 is not on the instrument: it is played 2 octaves higher, G4");
    assert_eq!(notes(&moved.passage).len(), 6);
}

#[test]
fn a_note_whose_octave_is_in_its_chord_already_is_left_out_and_told() {
    let (old, new) = (rig("guitar", Some("drop D"), None), rig("guitar", None, None));
    let tab = "e|---|\nB|---|\nG|---|\nD|-0-|\nA|-0-|\nE|-0-|\n";
    let chord = moved(&Lesson::default(), &passage(tab), &old, &new).unwrap();
    assert_eq!(shown(&chord.passage), "4/0 5/0");
    let told: Vec<&str> = chord.remarks.iter().map(|remark| remark.text.as_str()).collect();
    assert_eq!(told, ["D2 is not on the instrument, and its octave D3 is in the chord already: it is left out"]);
    // By itself it is played higher.
    let tab = "e|-----|\nB|-----|\nG|-----|\nD|---0-|\nA|---0-|\nE|-0---|\n";
    let line = moved(&Lesson::default(), &passage(tab), &old, &new).unwrap();
    assert_eq!(notes(&line.passage).len(), 3);
    assert_eq!(line.remarks[0].text, "D2 is not on the instrument: it is played an octave higher, D3");
    // A unison that both strings have stays one.
    let tab = "e|-0-|\nB|-5-|\nG|---|\nD|---|\nA|---|\nE|---|\n";
    let unison = moved(&Lesson::default(), &passage(tab), &old, &new).unwrap();
    assert_eq!((shown(&unison.passage), unison.remarks), ("1/0 2/5".to_owned(), Vec::new()));
}

#[test]
fn a_hammer_on_that_no_string_holds_any_more_is_told() {
    // Three strings an octave apart with four frets: A2 and B2 lie on no string together.
    let tuning: Tuning = "G2 B2 E4".parse().unwrap();
    let frets = Fret::new(3).unwrap();
    let body = Instrument { name: "box".into(), strings: 3, frets, scale: Millimetres(600.0), short: None };
    let new = Rig::new(body, tuning, None).unwrap();
    let tab = "e|---|\nB|---|\nG|---|\nD|---|\nA|-0h2-|\nE|---|\n";
    let moved = moved(&Lesson::default(), &passage(tab), &rig("guitar", None, None), &new).unwrap();
    assert_eq!(shown(&moved.passage), "3/2 2/0");
    assert_eq!(notes(&moved.passage)[0].join, None);
    let told: Vec<&str> = moved.remarks.iter().map(|remark| remark.text.as_str()).collect();
    assert_eq!(told, ["the hammer-on has its two notes on strings 3 and 2 now: both are picked"]);
}

#[test]
fn a_harmonic_goes_where_its_pitch_rings() {
    let (old, new) = (rig("guitar", None, None), rig("guitar", Some("DADGAD"), None));
    let mut tab = passage("e|----|\nB|----|\nG|-12-|\nD|----|\nA|----|\nE|----|\n");
    for event in tab.bars.iter_mut().flat_map(|bar| &mut bar.voices).flat_map(|voice| &mut voice.0) {
        for note in &mut event.notes {
            note.techniques.push(Technique::NaturalHarmonic);
        }
    }
    let kept = moved(&Lesson::default(), &tab, &old, &new).unwrap();
    assert_eq!((shown(&kept.passage).as_str(), kept.remarks.len()), ("3/12", 0));
    // In open D none of partials 2 to 8 of any string is a G; the stopped note is there.
    let lower = moved(&Lesson::default(), &tab, &old, &rig("guitar", Some("F#2 A2 D3 F#3 A3 D4"), None)).unwrap();
    assert!(lower.remarks[0].text.starts_with("the harmonic G4 is not on any string now"), "{:?}", lower.remarks);
    assert_eq!(notes(&lower.passage)[0].techniques, []);
}

#[test]
fn chord_names_follow_the_capo() {
    let (old, new) = (rig("guitar", None, None), rig("guitar", None, Some("2")));
    let mut tab = passage("e|-2-|\nB|-3-|\nG|-2-|\nD|-0-|\nA|---|\nE|---|\n");
    let event: &mut Event = &mut tab.bars[0].voices[0].0[0];
    event.chord = Some("D".into());
    let moved = moved(&Lesson::default(), &tab, &old, &new).unwrap();
    assert_eq!(moved.passage.bars[0].voices[0].0[0].chord.as_deref(), Some("C"));
    assert_eq!(shown(&moved.passage).split(' ').count(), 4);
}

#[test]
fn chord_names_by_the_sound_stay_where_the_sound_does() {
    let (old, new) = (rig("guitar", None, None), rig("guitar", None, Some("2")));
    let mut tab = passage("e|-2-|\nB|-3-|\nG|-2-|\nD|-0-|\nA|---|\nE|---|\n");
    tab.bars[0].voices[0].0[0].chord = Some("D".into());
    let mut lesson = Lesson::default();
    lesson.header.chord_names = ChordNames::SoundsAs;
    let moved = moved(&lesson, &tab, &old, &new).unwrap();
    assert_eq!(moved.passage.bars[0].voices[0].0[0].chord.as_deref(), Some("D"));
}

/// What an event sounds on a rig, lowest first; dead notes are left out.
fn sounding(event: &Event, rig: &Rig) -> Vec<Option<MidiNote>> {
    let pitch = |note: &Note| {
        let harmonic = note.techniques.contains(&Technique::NaturalHarmonic);
        let touch = NeckPoint(f64::from(note.fret.number()));
        if harmonic && let Ok(harmonic) = rig.natural_harmonic(note.string, touch) {
            return Some(harmonic.sounding);
        }
        rig.sounding(note.string, note.fret).ok()
    };
    let alive = |note: &&Note| !note.techniques.contains(&Technique::Dead);
    let mut notes: Vec<_> = event.grace.iter().chain(&event.notes).filter(alive).map(pitch).collect();
    notes.sort();
    notes
}

#[test]
fn a_link_that_is_taken_off_is_told_by_name_and_names_are_spelled_alike() {
    let chord = |name: &str, voicing: Option<u32>| Event {
        chord: Some(name.to_owned()),
        voicing: voicing.map(VoicingId),
        ..passage(RIFF).bars[0].voices[0].0[0].clone()
    };
    let mut music = passage(RIFF);
    music.key = None;
    music.bars[0].voices[0].0 = vec![chord("E5", None), chord("Asus2", Some(8)), chord("B7sus4", Some(9))];
    let voicing = |id: u32, name: Option<&str>| Voicing {
        id: VoicingId(id),
        shape: "x 0 2 2 0 0".parse().unwrap(),
        doubts: Vec::new(),
        setup: None,
        readings: name.map(str::to_owned).into_iter().collect(),
        fingers: Vec::new(),
        barre: None,
        tags: Vec::new(),
        notes: String::new(),
    };
    let lesson = Lesson { voicings: vec![voicing(8, Some("Asus2")), voicing(9, None)], ..Lesson::default() };
    let behind = rig("guitar", None, Some("3"));
    let mut moved = moved(&lesson, &music, &rig("guitar", None, None), &behind).unwrap();
    let told = delete_unfitting(&music, &mut moved.passage, Some(&behind), (&lesson, &lesson));
    let told: Vec<&str> = told.iter().map(|remark| remark.text.as_str()).collect();
    let why = "is deleted: its shape no longer fits the tab";
    assert_eq!(
        told,
        [format!("the link to the voicing Asus2 {why}"), format!("the link to the voicing x 0 2 2 0 0 {why}")]
    );
    let names: Vec<&str> =
        moved.passage.bars[0].voices[0].0.iter().filter_map(|event| event.chord.as_deref()).collect();
    assert_eq!(names, ["C#5", "F#sus2", "G#7sus4"]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever is played, on whatever neck: each moment sounds as before or a remark says why not, and the result
    /// can be played as far as the check knows.
    #[test]
    fn nothing_goes_without_a_word((music, passage) in any_passage_on_any_neck(), which in 0..6usize) {
        let open = (0..music.strings).map(|string| Pitch::usual(MidiNote::new(64 - 5 * string.min(7)).unwrap()));
        let mut open: Vec<Pitch> = open.collect();
        open.reverse();
        let body = Instrument {
            name: "old".into(),
            strings: music.strings,
            frets: Fret::new(music.frets).unwrap(),
            scale: Millimetres(648.0),
            short: None,
        };
        let old = Rig::new(body, Tuning::new(open).unwrap(), None).unwrap();
        let new = [
            rig("guitar", None, None),
            rig("guitar", Some("DADGAD"), Some("2")),
            rig("bass", None, None),
            rig("ukulele", None, None),
            rig("banjo", None, None),
            rig("8-string guitar", None, None),
        ][which].clone();
        let moved = moved(&Lesson::default(), &passage, &old, &new).unwrap();
        prop_assert_eq!(moved.passage.bars.len(), passage.bars.len());
        let mut tied_into = [false; 2];
        for (index, (before, after)) in passage.bars.iter().zip(&moved.passage.bars).enumerate() {
            for (number, (before, after)) in before.voices.iter().zip(&after.voices).enumerate() {
                for (place, (before, after)) in before.0.iter().zip(&after.0).enumerate() {
                    let here = |remark: &fingerpost::lesson::placing::moved::Remark| {
                        remark.spot.bar_index() == Some(index)
                            && remark.spot.voice == Some(number as u32 + 1)
                            && remark.spot.event == Some(place as u32 + 1)
                    };
                    // What is tied to a note that moved or went has moved or gone with it: the remark stands where
                    // the tie begins.
                    let tied = tied_into[number];
                    let ties = |note: &Note| note.join == Some(Join::Tie);
                    tied_into[number] = before.grace.iter().chain(&before.notes).any(ties);
                    let told = moved.remarks.iter().any(here) || (tied && !moved.remarks.is_empty());
                    if !told {
                        prop_assert_eq!(sounding(before, &old), sounding(after, &new), "bar {}", index + 1);
                        let joins = |event: &Event| event.notes.iter().filter(|note| note.join.is_some()).count();
                        prop_assert_eq!(joins(before), joins(after));
                    }
                }
            }
        }
        let lesson = lesson_on(&new, moved.passage);
        let problems = problems(&lesson);
        prop_assert!(problems.is_empty(), "{:#?}", problems);
    }
}

/// The names over a passage say which shapes its broken chords are held in, whatever the capo makes of their names.
#[test]
fn broken_chords_stay_in_the_shapes_of_their_names() {
    let played = |name: &str, frets: &[(u8, u8)]| -> Vec<Event> {
        let note =
            |(string, fret): &(u8, u8)| Note::plain(StringNumber::new(*string).unwrap(), Fret::new(*fret).unwrap());
        let mut events: Vec<Event> =
            frets.iter().map(|place| Event::notes(Length::plain(NoteValue::Eighth), vec![note(place)])).collect();
        events[0].chord = Some(name.to_owned());
        events
    };
    // Bb as a barre at the sixth fret, which nobody who reads the name would choose, and with a capo at 1 as A.
    let sixth = [(6, 6), (5, 8), (4, 8), (3, 7), (4, 8), (5, 8), (6, 6), (4, 8)];
    let first = [(5, 1), (4, 3), (3, 3), (2, 3), (3, 3), (4, 3), (5, 1), (3, 3)];
    let open = [(5, 0), (4, 2), (3, 2), (2, 2), (3, 2), (4, 2), (5, 0), (3, 2)];
    let guitar = rig("guitar", None, None);
    for (new, name, expected) in [(rig("guitar", None, None), "Bb", first), (rig("guitar", None, Some("1")), "A", open)]
    {
        let bar = Bar { voices: vec![Voice(played("Bb", &sixth))], ..Bar::default() };
        let moved =
            moved(&Lesson::default(), &Passage::plain(PassageId(1), "held".to_owned(), vec![bar]), &guitar, &new);
        let events = &moved.unwrap().passage.bars[0].voices[0].0;
        let places: Vec<(u8, u8)> =
            events.iter().map(|event| (event.notes[0].string.number(), event.notes[0].fret.number())).collect();
        assert_eq!((events[0].chord.as_deref(), places.as_slice()), (Some(name), expected.as_slice()));
    }
}
