//! Progressions: the smoothest chain of voicings, and what the fingers do between them.

use std::collections::BTreeMap;

use fingerpost::instrument::catalogue::{instrument_named, setup_from_text, tuning_from_text};
use fingerpost::instrument::fingering::{Fingering, fingering};
use fingerpost::instrument::hand::{Finger, Hand};
use fingerpost::instrument::neck::{Fret, Shape, StringNumber};
use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::voicing::movement::{FingerAct, FingerPosition, HeldBy, Movement, movement};
use fingerpost::instrument::voicing::path::{PathError, after, path};
use fingerpost::instrument::voicing::request::Request;
use fingerpost::instrument::voicing::search::{FoundVoicing, voicings};
use fingerpost::theory::symbol::ChordSymbol;
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::{Index, select};

const CHORDS: [&str; 10] = ["C", "Am", "F", "G7", "Em7", "D/F#", "Bb", "Cmaj7", "Asus4", "F#m"];

/// Small necks: plain, re-entrant, with a short string, with a capo over some strings.
const NECKS: [(&str, &str, Option<&str>, u8); 4] = [
    ("ukulele", "G3 C4 E4 A4", None, 5),
    ("ukulele", "G4 C4 E4 A4", None, 5),
    ("banjo", "G4 D3 G3 B3 D4", None, 7),
    ("guitar", "standard", Some("2 on 5 4 3"), 5),
];

fn rig((instrument, tuning, capo, frets): (&str, &str, Option<&str>, u8)) -> Rig {
    let mut instrument = instrument_named(instrument).unwrap().instrument.clone();
    let tuning = tuning_from_text(tuning, &instrument).unwrap();
    instrument.frets = Fret::new(frets).unwrap();
    Rig::new(instrument, tuning, capo.map(|capo| capo.parse().unwrap())).unwrap()
}

fn guitar() -> Rig {
    let (instrument, tuning) = setup_from_text(None, None).unwrap();
    Rig::new(instrument, tuning, None).unwrap()
}

fn symbol(text: &str) -> ChordSymbol {
    text.parse().unwrap()
}

fn all(rig: &Rig, text: &str) -> Vec<FoundVoicing> {
    voicings(rig, &symbol(text), &Request::default(), usize::MAX).unwrap_or_default()
}

fn between(rig: &Rig, before: &FoundVoicing, after: &FoundVoicing) -> Movement {
    movement(rig, (&before.shape, &before.fingering), (&after.shape, &after.fingering)).unwrap()
}

/// The movement between two shapes on a guitar, each held as `fingers` says from the highest string number down.
#[track_caller]
fn held_as(before: (&str, &str), after: (&str, &str)) -> Movement {
    let rig = guitar();
    let posture = |(shape, fingers): (&str, &str)| {
        let shape: Shape = shape.parse().unwrap();
        let own = fingering(&rig, &shape, &Hand::default()).unwrap();
        (shape, Fingering { fingers: fingers.chars().map(Finger::from_char).collect(), ..own })
    };
    let ((before, from), (after, to)) = (posture(before), posture(after));
    movement(&rig, (&before, &from), (&after, &to)).unwrap()
}

/// Where each finger is: its strings from the highest number down, and the fret of the first.
fn places(voicing: &FoundVoicing) -> BTreeMap<Finger, FingerPosition> {
    let strings = voicing.shape.strings().len();
    let mut places: BTreeMap<Finger, FingerPosition> = BTreeMap::new();
    for (index, finger) in voicing.fingering.fingers.iter().enumerate() {
        let string = StringNumber::at(index, strings).unwrap();
        if let Some(finger) = finger {
            let fret = voicing.shape.on(string).unwrap();
            places.entry(*finger).or_insert(FingerPosition { fret, from: string, to: string }).to = string;
        }
    }
    places
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn the_path_is_the_best_of_all_chains(
        neck in select(&NECKS[..]),
        texts in vec(select(&CHORDS[..]), 3),
    ) {
        let rig = rig(neck);
        // The plain definition: every chain there is. A dozen voicings a chord keep that short.
        let request = Request { frets: Fret::OPEN..=Fret::new(3).unwrap(), ..Request::default() };
        let found = |text: &&str| voicings(&rig, &symbol(text), &request, usize::MAX).unwrap_or_default();
        let chords: Vec<Vec<FoundVoicing>> = texts.iter().map(found).collect();
        prop_assume!(chords.iter().all(|chord| !chord.is_empty()) && chords.iter().map(Vec::len).product::<usize>() < 40_000);
        let ways = |one: &[FoundVoicing], next: &[FoundVoicing]| -> Vec<Vec<u32>> {
            one.iter().map(|one| next.iter().map(|next| between(&rig, one, next).cost).collect()).collect()
        };
        let (first, second) = (ways(&chords[0], &chords[1]), ways(&chords[1], &chords[2]));
        let mut least = u32::MAX;
        for (a, one) in chords[0].iter().enumerate() {
            for (b, two) in chords[1].iter().enumerate() {
                for (c, three) in chords[2].iter().enumerate() {
                    least = least.min(one.cost + first[a][b] + two.cost + second[b][c] + three.cost);
                }
            }
        }
        let symbols: Vec<ChordSymbol> = texts.iter().map(|text| symbol(text)).collect();
        let path = path(&rig, None, &symbols, &request).unwrap();
        prop_assert_eq!(path.cost, least);
        let sum: u32 = path.steps.iter().map(|step| step.voicing.cost).sum();
        let ways: u32 = path.steps.iter().flat_map(|step| &step.movement).map(|movement| movement.cost).sum();
        prop_assert_eq!(path.cost, sum + ways);
    }

    #[test]
    fn a_movement_says_what_the_shapes_show(
        neck in select(&NECKS[..]),
        texts in (select(&CHORDS[..]), select(&CHORDS[..])),
        pick: (Index, Index),
    ) {
        let rig = rig(neck);
        let (before, after) = (all(&rig, texts.0), all(&rig, texts.1));
        prop_assume!(!before.is_empty() && !after.is_empty());
        let (before, after) = (pick.0.get(&before), pick.1.get(&after));
        let way = between(&rig, before, after);
        let (from, to) = (places(before), places(after));
        let mut said = from.clone();
        for step in &way.fingers {
            match step.act {
                FingerAct::Stays(place) => prop_assert_eq!(from.get(&step.finger), Some(&place)),
                FingerAct::Lifts(_) => {
                    said.remove(&step.finger);
                }
                FingerAct::Rolls(place) | FingerAct::Lands(place) => {
                    said.insert(step.finger, place);
                }
                FingerAct::Slides { to, .. } | FingerAct::Moves { to, .. } => {
                    said.insert(step.finger, to);
                }
            }
        }
        prop_assert_eq!(said, to);
        let (old, new) = (rig.notes(&before.shape).unwrap(), rig.notes(&after.shape).unwrap());
        let strings = old.len();
        for tone in &way.common {
            prop_assert_eq!(old[tone.before.index(strings).unwrap()], Some(tone.note));
            prop_assert_eq!(new[tone.after.index(strings).unwrap()], Some(tone.note));
            prop_assert!(tone.kept == HeldBy::Anew || tone.before == tone.after);
        }
        let stay = old.iter().zip(&new).filter(|(old, new)| old.is_some() && old == new).count();
        prop_assert_eq!(way.common.iter().filter(|tone| tone.before == tone.after).count(), stay);
        prop_assert_eq!(way.voices.iter().filter_map(|voice| voice.from).count(), old.iter().flatten().count());
        prop_assert_eq!(way.voices.iter().filter_map(|voice| voice.to).count(), new.iter().flatten().count());
        // There and back cost the same, and staying nothing.
        let back = between(&rig, after, before);
        prop_assert_eq!((back.cost, back.semitones(), back.hand.0), (way.cost, way.semitones(), -way.hand.0));
        let still = between(&rig, after, after);
        prop_assert_eq!((still.cost, still.semitones()), (0, 0));
        prop_assert!(still.fingers.iter().all(|step| matches!(step.act, FingerAct::Stays(_))));
    }
}

#[test]
fn fingers_that_can_stay_are_said_to_stay() {
    // Common practice, no published source: what every beginner is told about these pairs.
    let c_to_am = held_as(("x 3 2 0 1 0", "-32-1-"), ("x 0 2 2 1 0", "--231-"));
    assert_eq!(c_to_am.in_words(), "1 and 2 stay, 3 moves to string 3 fret 2");
    let names = |way: &Movement, text: &str| {
        way.common_names(&symbol(text)).iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(names(&c_to_am, "Am"), "E C");
    let g_to_em = held_as(("3 2 0 0 0 3", "21---3"), ("0 2 2 0 0 0", "-12---"));
    assert_eq!(g_to_em.in_words(), "1 stays, 2 moves to string 4 fret 2, 3 lifts");
    assert_eq!(names(&g_to_em, "Em"), "B G");
    let em_to_e = held_as(("0 2 2 0 0 0", "-23---"), ("0 2 2 1 0 0", "-231--"));
    assert_eq!(em_to_e.in_words(), "2 and 3 stay, 1 lands on string 3 fret 1");
}

#[test]
fn two_barre_chords_slide() {
    // 648 mm: the first fret lies at 36.37 mm, the third at 103.11, tests/reference/fret_positions_648.tsv.
    let slide = held_as(("1 3 3 2 1 1", "134211"), ("3 5 5 4 3 3", "134211"));
    assert_eq!(slide.in_words(), "1 slides to fret 3, 2 slides to fret 4, 3 slides to fret 5, 4 slides to fret 5");
    assert!((slide.hand.0 - (103.11 - 36.37)).abs() < 0.02, "{}", slide.hand.0);
    assert!(slide.voices.iter().all(|voice| voice.semitones() == Some(2)));
    let across = held_as(("1 3 3 2 1 1", "134211"), ("x 1 3 3 3 1", "-12341"));
    assert!(across.in_words().contains("1 stays at fret 1 and holds strings 5 to 1"), "{}", across.in_words());
    assert!(across.hand.0 == 0.0 && across.cost > 0);
}

#[test]
fn the_path_through_open_chords_keeps_fingers_down() {
    let symbols: Vec<ChordSymbol> = ["C", "Am"].map(symbol).to_vec();
    let found = path(&guitar(), None, &symbols, &Request::default()).unwrap();
    let shapes: Vec<String> = found.steps.iter().map(|step| step.voicing.shape.to_string()).collect();
    assert_eq!(shapes, ["x 3 2 0 1 0", "x 0 2 2 1 0"]);
    let words = found.steps[1].movement.as_ref().unwrap().in_words();
    assert_eq!(words, "1 and 2 stay, 3 moves to string 3 fret 2");
}

#[test]
fn a_repeated_chord_stays_where_it_is() {
    let symbols: Vec<ChordSymbol> = ["G", "G", "C", "C"].map(symbol).to_vec();
    let found = path(&guitar(), None, &symbols, &Request::default()).unwrap();
    for step in [1, 3] {
        assert_eq!(found.steps[step].voicing, found.steps[step - 1].voicing);
        assert_eq!(found.steps[step].movement.as_ref().unwrap().cost, 0);
    }
}

#[test]
fn after_a_shape_the_near_voicing_comes_first() {
    let rig = guitar();
    for (start, text) in [("x x 10 9 8 8", "F"), ("x 3 2 0 1 0", "Am"), ("5 7 7 6 5 5", "D")] {
        let start: Shape = start.parse().unwrap();
        let held = fingering(&rig, &start, &Hand::default()).unwrap();
        let found = after(&rig, (&start, &held), &symbol(text), &Request::default(), usize::MAX).unwrap();
        let together: Vec<u32> =
            found.iter().map(|step| step.voicing.cost + step.movement.as_ref().unwrap().cost).collect();
        assert!(together.is_sorted(), "{text}");
        assert_eq!(found.len(), all(&rig, text).len());
        // A path of one chord from there is the same choice.
        let path = path(&rig, Some((&start, &held)), &[symbol(text)], &Request::default()).unwrap();
        assert_eq!((path.cost, &path.steps[0].voicing.shape), (together[0], &found[0].voicing.shape));
    }
}

#[test]
fn a_chord_that_cannot_be_played_is_named_by_its_place() {
    let (instrument, tuning) = setup_from_text(None, Some("D3 A3 D4")).unwrap();
    let rig = Rig::new(instrument, tuning, None).unwrap();
    let fault = |texts: &[&str], request: &Request| {
        let symbols: Vec<ChordSymbol> = texts.iter().map(|text| symbol(text)).collect();
        path(&rig, None, &symbols, request).unwrap_err()
    };
    let crowded = fault(&["D", "G", "Cmaj7/D"], &Request::default());
    let words = crowded.to_string();
    assert!(words.starts_with("chord 3, Cmaj7/D: this chord needs at least "), "{words}");
    let high = Request { top: Some("C2".parse().unwrap()), ..Request::default() };
    assert!(matches!(fault(&["D", "G"], &high), PathError::NoVoicing { number: 1, .. }));
    assert_eq!(fault(&[], &Request::default()), PathError::Empty);
    assert!(fault(&["D", "G"], &high).to_string().starts_with("chord 1, D, has no voicing that keeps to "));
}

#[test]
fn a_finger_that_goes_to_other_strings_of_its_fret_moves_and_does_not_roll() {
    let act = |before: (&str, &str), after: (&str, &str)| held_as(before, after).fingers[0].act;
    let rolls = act(("x 3 x x x x", "-1----"), ("x 3 3 3 x x", "-111--"));
    assert!(matches!(rolls, FingerAct::Rolls(_)), "{rolls:?}");
    let moves = act(("x 3 x x x x", "-1----"), ("x x x 3 x x", "---1--"));
    let FingerAct::Moves { along, across, .. } = moves else { panic!("{moves:?}") };
    assert_eq!((along.0, across), (0.0, 2));
}

#[test]
fn power_chords_go_on_as_one_form_on_the_same_strings() {
    // Common practice, no published source.
    for (chords, expected) in [
        ("B5 D5 E5 F#5", "x244xx x577xx x799xx x-9-11-11-x-x"),
        ("E5 G5 A5 E5", "022xxx 355xxx 577xxx 022xxx"),
        ("F5 Bb5 C5", "133xxx x133xx x355xx"),
    ] {
        let symbols: Vec<ChordSymbol> = chords.split(' ').map(symbol).collect();
        let found = path(&guitar(), None, &symbols, &Request::default()).unwrap();
        let shapes: Vec<Shape> = found.steps.into_iter().map(|step| step.voicing.shape).collect();
        let expected: Vec<Shape> = expected.split(' ').map(|shape| shape.parse().unwrap()).collect();
        assert_eq!(shapes, expected, "{chords}");
    }
}
