//! The same chord elsewhere, on another tuning, in a smaller hand, and shapes that are moved.

use std::cell::Cell;
use std::collections::BTreeSet;

use fingerpost::instrument::body::Millimetres;
use fingerpost::instrument::catalogue::{instrument_named, tuning_from_text};
use fingerpost::instrument::hand::{Hand, HandSize};
use fingerpost::instrument::neck::{Fret, Shape};
use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::voicing::elsewhere::{
    ElsewhereError, HANDS, Keeping, SmallerShape, StandIn, best_of_each_place, elsewhere, on_rig, same_top, smaller,
};
use fingerpost::instrument::voicing::kept::{Keeps, SoundChange};
use fingerpost::instrument::voicing::request::Request;
use fingerpost::instrument::voicing::shifting::{StringWay, VoiceDirection, across, along, next_inversion};
use fingerpost::theory::pitch::{MidiNote, PitchClass};
use fingerpost::theory::reading::Lowest;
use fingerpost::theory::symbol::ChordSymbol;
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

/// Instrument, tuning and capo: plain, re-entrant, with a short string, with a capo over some strings.
const RIGS: [(&str, &str, Option<&str>); 9] = [
    ("guitar", "standard", None),
    ("guitar", "D2 A2 D3 G3 A3 D4", None),
    ("guitar", "D2 G2 D3 G3 B3 D4", None),
    ("guitar", "standard", Some("3")),
    ("guitar", "standard", Some("2 on 5 4 3")),
    ("guitar", "C2 G2 C3 F3 A3 D4", None),
    ("ukulele", "G4 C4 E4 A4", None),
    ("ukulele", "G3 C4 E4 A4", None),
    ("banjo", "G4 D3 G3 B3 D4", None),
];

fn rig((instrument, tuning, capo): (&str, &str, Option<&str>)) -> Rig {
    let instrument = instrument_named(instrument).unwrap().instrument.clone();
    let tuning = tuning_from_text(tuning, &instrument).unwrap();
    Rig::new(instrument, tuning, capo.map(|capo| capo.parse().unwrap())).unwrap()
}

fn guitar() -> Rig {
    rig(RIGS[0])
}

fn shape(text: &str) -> Shape {
    text.parse().unwrap()
}

fn sorted(rig: &Rig, shape: &Shape) -> Vec<MidiNote> {
    let mut notes: Vec<MidiNote> = rig.notes(shape).unwrap().into_iter().flatten().collect();
    notes.sort();
    notes
}

fn classes(rig: &Rig, shape: &Shape) -> BTreeSet<PitchClass> {
    sorted(rig, shape).into_iter().map(MidiNote::pitch_class).collect()
}

/// A shape on `rig` near `base`, drawn from numbers: 0 mutes, 1 is open, the rest are up to four frets.
fn near(rig: &Rig, base: u8, numbers: &[u8]) -> Shape {
    let mut shape = Shape::muted(rig.tuning().strings().len());
    for (string, number) in rig.strings().zip(numbers) {
        let fret = match number {
            0 => None,
            1 => Some(Fret::OPEN),
            number => Fret::new(base + number - 2),
        };
        if fret.is_some_and(|fret| rig.sounding(string, fret).is_ok()) {
            shape.set(string, fret);
        }
    }
    shape
}

fn any_rig_and_shape() -> impl Strategy<Value = (Rig, Shape)> {
    (select(&RIGS[..]), 1u8..9, vec(0u8..6, 6)).prop_filter_map("silent", |(place, base, numbers)| {
        let rig = rig(place);
        let shape = near(&rig, base, &numbers);
        shape.strings().iter().any(Option::is_some).then_some((rig, shape))
    })
}

fn cases() -> ProptestConfig {
    ProptestConfig::with_cases(48)
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn elsewhere_is_the_same_chord_over_the_same_bass((rig, start) in any_rig_and_shape()) {
        let found = elsewhere(&rig, &start, Keeping::Tones, &Request::default()).unwrap();
        let mut seen = BTreeSet::from([start.clone()]);
        for place in &found {
            let there = &place.voicing.shape;
            prop_assert!(seen.insert(there.clone()), "{} comes twice", there);
            prop_assert_eq!(classes(&rig, there), classes(&rig, &start));
            if rig.lowest_is() != Lowest::AnyTone {
                let bass = |shape: &Shape| sorted(&rig, shape)[0].pitch_class();
                prop_assert_eq!(bass(there), bass(&start));
            }
        }
        prop_assert!(found.is_sorted_by_key(|place| (place.along.0.abs() * 100.0).round() as u32));
    }

    #[test]
    fn the_same_top_is_the_same_pitch((rig, start) in any_rig_and_shape()) {
        for place in same_top(&rig, &start, Keeping::Tones, &Request::default()).unwrap() {
            let there = &place.voicing.shape;
            prop_assert_eq!(sorted(&rig, there).pop(), sorted(&rig, &start).pop());
            prop_assert_eq!(classes(&rig, there), classes(&rig, &start));
        }
    }
}

#[test]
fn another_tuning_keeps_every_pitch_or_says_which_are_gone() {
    let reached = Cell::new(0);
    proptest!(cases(), |((rig_before, start) in any_rig_and_shape(), other in select(&RIGS[..]))| {
        let other = rig(other);
        let Ok(stand_in) = on_rig(&rig_before, &start, &other, Keeping::Tones, &Request::default()) else {
            return Ok(());
        };
        reached.set(reached.get() + 1);
        let StandIn { shape: there, keeps, changes, .. } = &stand_in;
        let pitches = |rig: &Rig, shape: &Shape| sorted(rig, shape).into_iter().collect::<BTreeSet<_>>();
        let (before, after) = (pitches(&rig_before, &start), pitches(&other, there));
        let gone: Vec<MidiNote> = before.difference(&after).copied().collect();
        let new: Vec<MidiNote> = after.difference(&before).copied().collect();
        let said = |which: fn(&SoundChange) -> Option<Vec<MidiNote>>| changes.iter().find_map(which);
        let said_gone = said(|change| if let SoundChange::Gone(notes) = change { Some(notes.clone()) } else { None });
        let said_new = said(|change| if let SoundChange::New(notes) = change { Some(notes.clone()) } else { None });
        prop_assert_eq!(said_gone.unwrap_or_default(), gone);
        prop_assert_eq!(said_new.unwrap_or_default(), new);
        prop_assert_eq!(*keeps <= Keeps::Pitches, before == after);
        if changes.is_empty() {
            prop_assert_eq!(rig_before.notes(&start).unwrap(), other.notes(there).unwrap());
        }
    });
    assert!(reached.get() > 0, "no shape could be looked at");
}

#[test]
fn a_smaller_hand_gets_what_it_can_hold() {
    let (fits, instead) = (Cell::new(0), Cell::new(0));
    proptest!(cases(), |((rig, start) in any_rig_and_shape(), reach in 50.0..120.0f64)| {
        let hand = Hand::default().reaching(Millimetres(reach)).unwrap();
        match smaller(&rig, &start, Keeping::Tones, &hand) {
            Ok(SmallerShape::Fits(fingering)) => {
                fits.set(fits.get() + 1);
                prop_assert!(fingering.reach.0 <= reach + 0.01);
            }
            Ok(SmallerShape::Instead { shape: other, .. }) => {
                instead.set(instead.get() + 1);
                prop_assert!(other.fingering.reach.0 <= reach + 0.01);
                prop_assert!(rig.reach(&other.shape).unwrap().0 <= reach + 0.01);
                prop_assert_eq!(classes(&rig, &other.shape), classes(&rig, &start));
            }
            Err(error) => prop_assert_eq!(error, ElsewhereError::Nothing),
        }
    });
    assert!(fits.get() > 0 && instead.get() > 0, "{fits:?} {instead:?}");
}

#[test]
fn moving_along_and_back_is_where_it_was() {
    let reached = Cell::new(0);
    proptest!(cases(), |((rig, start) in any_rig_and_shape(), frets in 1..12i32)| {
        if let Ok(there) = along(&rig, &start, frets, &Hand::default()) {
            reached.set(reached.get() + 1);
            let up = |note: Option<MidiNote>| note.map(|note| note.up(frets).unwrap());
            let expected: Vec<_> = rig.notes(&start).unwrap().into_iter().map(up).collect();
            prop_assert_eq!(rig.notes(&there.shape).unwrap(), expected);
            let back = along(&rig, &there.shape, -frets, &Hand::default()).unwrap();
            prop_assert_eq!(back.shape, start);
        }
    });
    assert!(reached.get() > 0, "no shape could be looked at");
}

#[test]
fn moving_across_keeps_every_pitch() {
    let there = |rig: &Rig, start: &Shape| across(rig, start, StringWay::TowardFirst, &Hand::default());
    // Few shapes can be moved so, and only those say anything.
    let movable = any_rig_and_shape().prop_filter("it can be moved", |(rig, start)| there(rig, start).is_ok());
    proptest!(cases(), |((rig, start) in movable)| {
        let there = there(&rig, &start).unwrap();
        prop_assert_eq!(sorted(&rig, &there.shape), sorted(&rig, &start));
        let back = across(&rig, &there.shape, StringWay::AwayFromFirst, &Hand::default()).unwrap();
        prop_assert_eq!(back.shape, start);
    });
}

#[test]
fn an_inversion_keeps_strings_and_tones() {
    let reached = Cell::new(0);
    proptest!(cases(), |((rig, start) in any_rig_and_shape(), up in any::<bool>())| {
        let way = if up { VoiceDirection::Up } else { VoiceDirection::Down };
        if let Ok(next) = next_inversion(&rig, &start, way, &Request::default()) {
            reached.set(reached.get() + 1);
            prop_assert_eq!(classes(&rig, &next.shape), classes(&rig, &start));
            for (before, after) in rig.notes(&start).unwrap().into_iter().zip(rig.notes(&next.shape).unwrap()) {
                prop_assert_eq!(before.is_some(), after.is_some());
                let in_order = if up { before <= after } else { before >= after };
                prop_assert!(in_order);
            }
        }
    });
    assert!(reached.get() > 0, "no shape could be looked at");
}

#[test]
fn four_inversions_of_a_four_note_chord_are_an_octave() {
    // Drop-two Dm7 on the four highest strings: common practice, no published source.
    let rig = guitar();
    let start = shape("x x 0 2 1 1");
    let (mut here, mut steps) = (start.clone(), 0);
    while steps < 4 {
        let next = next_inversion(&rig, &here, VoiceDirection::Up, &Request::default()).unwrap();
        (here, steps) = (next.shape, steps + next.steps);
    }
    assert_eq!((here, steps), (shape("x x 12 14 13 13"), 4));
    let first = next_inversion(&rig, &start, VoiceDirection::Up, &Request::default()).unwrap();
    // Common practice: Dm7 with F in the bass, x x 3 5 3 5.
    assert_eq!(first.shape, shape("x x 3 5 3 5"));
    let down = next_inversion(&rig, &first.shape, VoiceDirection::Down, &Request::default()).unwrap();
    assert_eq!(down.shape, start);
    let fault = next_inversion(&rig, &start, VoiceDirection::Down, &Request::default()).unwrap_err();
    assert_eq!(fault.to_string(), "string 4 has no fret for C3");
}

#[test]
fn an_open_c_is_found_as_the_barre_shapes_every_teacher_knows() {
    // Common practice, no published source: the five places of C.
    let c: ChordSymbol = "C".parse().unwrap();
    let found = elsewhere(&guitar(), &shape("x 3 2 0 1 0"), Keeping::Chord(&c), &Request::default()).unwrap();
    let place = |text: &str| found.iter().position(|place| place.voicing.shape == shape(text));
    let (low, high) = (place("x 3 5 5 5 3"), place("8 10 10 9 8 8"));
    assert!(low.is_some() && low < high, "{low:?} {high:?}");
    let best: Vec<String> = best_of_each_place(&found).iter().map(|place| place.voicing.shape.to_string()).collect();
    assert!(best.contains(&"x 3 5 5 5 3".to_owned()) && best.contains(&"8 10 10 9 8 8".to_owned()), "{best:?}");
    assert!(best.len() <= 24, "{best:?}");
}

#[test]
fn a_capo_keeps_the_sound_where_the_strings_have_it() {
    // Common practice, no published source: F#m7 with a capo at 2 is played as Em7.
    let with_capo = rig(("guitar", "standard", Some("2")));
    let moved = on_rig(&guitar(), &shape("x 4 4 2 5 2"), &with_capo, Keeping::Tones, &Request::default()).unwrap();
    assert_eq!((moved.shape, moved.keeps, moved.changes), (shape("x 2 2 0 3 0"), Keeps::Everything, vec![]));
}

#[test]
fn a_shape_beyond_the_hand_says_so_with_a_caution_and_another() {
    let small = Hand::new(HandSize::Small);
    // Six frets from the first: no hand of the table spans that, tests/reference/fret_positions_648.tsv.
    let found = smaller(&guitar(), &shape("x 1 3 5 6 x"), Keeping::Tones, &small).unwrap();
    let words = found.in_words();
    assert!(words.starts_with("this stretches the hand over "), "{words}");
    assert!(words.contains("is as far as this hand goes. Instead: ") && words.ends_with(HANDS), "{words}");
    let SmallerShape::Instead { shape: other, .. } = found else { panic!("{words}") };
    assert!(other.keeps <= Keeps::OuterNotes, "{words}");
}

#[test]
fn what_cannot_be_moved_says_why() {
    let fault = |result: Result<_, ElsewhereError>| match result {
        Err(error) => error.to_string(),
        Ok(()) => "no fault".to_owned(),
    };
    let (rig, hand, any) = (guitar(), Hand::default(), Request::default());
    let silent = elsewhere(&rig, &shape("x x x x x x"), Keeping::Tones, &any).map(|_| ());
    assert!(fault(silent).starts_with("no string sounds in this shape"));
    let off = along(&rig, &shape("0 2 2 1 0 0"), -1, &hand).map(|_| ());
    assert_eq!(fault(off), "string 6 has no fret for Eb2");
    let edge = across(&rig, &shape("x 3 2 0 1 0"), StringWay::TowardFirst, &hand).map(|_| ());
    assert_eq!(fault(edge), "there is no string beyond the last one that sounds");
    let short = elsewhere(&rig, &shape("x 3 2 0 1"), Keeping::Tones, &any).map(|_| ());
    assert!(fault(short).starts_with("`x 3 2 0 1` has 5 strings"));
}

#[test]
fn lowering_a_string_moves_its_finger_up() {
    // Common practice, no published source: with string 6 a tone lower, G is played 5 2 0 0 0 3.
    let drop_d = rig(("guitar", "D2 A2 D3 G3 B3 E4", None));
    let moved = on_rig(&guitar(), &shape("3 2 0 0 0 3"), &drop_d, Keeping::Tones, &Request::default()).unwrap();
    assert_eq!((moved.shape, moved.changes), (shape("5 2 0 0 0 3"), vec![]));
}

#[test]
fn what_a_tuning_cannot_keep_is_listed() {
    // No string of a ukulele goes down to E2 or B2.
    let ukulele = rig(("ukulele", "G4 C4 E4 A4", None));
    let moved = on_rig(&guitar(), &shape("0 2 2 1 0 0"), &ukulele, Keeping::Tones, &Request::default()).unwrap();
    assert!(moved.changes.iter().any(|change| matches!(change, SoundChange::Gone(_))), "{:?}", moved.changes);
    let words: Vec<String> = moved.changes.iter().map(ToString::to_string).collect();
    assert!(words.iter().any(|words| words.starts_with("no longer there: E2 B2 ")), "{words:?}");
    let seven = on_rig(&guitar(), &shape("x 3 2 4 3 3"), &ukulele, Keeping::Tones, &Request::default());
    assert_eq!(seven.unwrap_err().to_string(), "this chord needs at least 5 notes, and there are 4 strings");
}
