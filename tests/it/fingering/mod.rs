//! Fingering: rules that every fingering keeps, the ones teachers write, and the ones an open dataset prints.

mod published;
mod taught;

use fingerpost::instrument::catalogue::{instrument_named, tuning_from_text};
use fingerpost::instrument::fingering::{Fingering, FingeringError, fingering};
use fingerpost::instrument::hand::{Finger, Hand, HandSize};
use fingerpost::instrument::neck::{Fret, Place, Shape};
use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::tuning::Capo;
use proptest::prelude::*;

pub fn rig(instrument: &str, tuning: &str, capo: Option<u8>) -> Rig {
    let instrument = instrument_named(instrument).unwrap().instrument.clone();
    let tuning = tuning_from_text(tuning, &instrument).unwrap();
    Rig::new(instrument, tuning, capo.map(|fret| Capo { fret: Fret::new(fret).unwrap(), strings: Vec::new() })).unwrap()
}

/// The fingers of a shape, `.` where there is none.
fn fingers_of(rig: &Rig, shape: &str, hand: &Hand) -> Result<String, FingeringError> {
    let fingers = fingering(rig, &shape.parse().unwrap(), hand)?.fingers;
    Ok(fingers.iter().map(|finger| finger.map_or('.', Finger::to_char).to_string()).collect::<Vec<_>>().join(" "))
}

/// Says what is wrong with a fingering; written from the rules, not from the code.
pub fn fault(rig: &Rig, shape: &Shape, found: &Fingering, hand: &Hand) -> Option<String> {
    let stopped = |fret: Option<Fret>| fret.filter(|fret| *fret != Fret::OPEN);
    let places: Vec<Option<Place>> = rig
        .strings()
        .zip(shape.strings())
        .map(|(string, fret)| stopped(*fret).map(|fret| Place { string, fret }))
        .collect();
    if found.fingers.len() != places.len() {
        return Some("not one entry for each string".to_owned());
    }
    let wire = |place: Place| rig.wire(place).unwrap();
    let mut barre_from = None;
    for (index, (place, finger)) in places.iter().zip(&found.fingers).enumerate() {
        if place.is_some() != finger.is_some() {
            return Some(format!("a finger where none is needed, or none where one is, at place {index}"));
        }
        let (Some(place), Some(finger)) = (*place, *finger) else { continue };
        if finger == Finger::Thumb && index > 0 {
            return Some("the thumb on an inner string".to_owned());
        }
        for (other_index, (other, other_finger)) in places.iter().zip(&found.fingers).enumerate().take(index) {
            let (Some(other), Some(other_finger)) = (*other, *other_finger) else { continue };
            if other_finger == finger {
                if wire(place) != wire(other) {
                    return Some(format!("one finger at two frets: {finger:?}"));
                }
                barre_from = barre_from.into_iter().chain([other_index]).min();
                let under = rig.strings().zip(shape.strings()).take(index).skip(other_index + 1);
                for (string, fret) in under {
                    let lower = |fret| fret == Fret::OPEN || wire(Place { string, fret }) < wire(place);
                    if fret.is_some_and(lower) {
                        return Some(format!("string {string} sounds open or lower under a barre"));
                    }
                }
                continue;
            }
            if other_finger != Finger::Thumb {
                let (low, high) = if other_finger < finger { (other, place) } else { (place, other) };
                if wire(low) > wire(high) || wire(low) == wire(high) && low != other {
                    return Some(format!("{finger:?} and {other_finger:?} are crossed"));
                }
            }
            let lowest = found.fingers.iter().flatten().filter(|finger| **finger != Finger::Thumb).min();
            let counts = other_finger != Finger::Thumb || lowest == Some(&finger);
            if counts && rig.distance(place, other).unwrap().0 > hand.between(finger, other_finger).0 + 0.01 {
                return Some(format!("{finger:?} and {other_finger:?} lie too far apart"));
            }
        }
    }
    (barre_from.is_some() != found.barre.is_some()).then(|| "the barre is not told".to_owned())
}

fn any_shape() -> impl Strategy<Value = (&'static str, Shape)> {
    let fret = |base: u8| prop_oneof![2 => Just(None), 2 => Just(Some(0)), 7 => (1..=5u8).prop_map(move |above| Some((above + base).min(12)))];
    let instrument =
        prop_oneof![Just(("guitar", 6)), Just(("ukulele", 4)), Just(("8-string guitar", 8)), Just(("mandolin", 4))];
    (instrument, 0..=7u8).prop_flat_map(move |((name, strings), base)| {
        let frets = proptest::collection::vec(fret(base), strings);
        let shape = |frets: Vec<Option<u8>>| {
            Shape::new(frets.into_iter().map(|fret| fret.and_then(Fret::new)).collect()).unwrap()
        };
        (Just(name), frets.prop_map(shape))
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 1500, ..ProptestConfig::default() })]

    #[test]
    fn every_fingering_keeps_the_rules((instrument, shape) in any_shape(), size in 0..3usize, capo in 0..=3u8) {
        let rig = rig(instrument, "standard", Some(capo).filter(|capo| *capo > 0));
        let hand = Hand::new(HandSize::ALL[size]);
        match fingering(&rig, &shape, &hand) {
            Ok(found) => {
                prop_assert_eq!(fault(&rig, &shape, &found, &hand), None, "{}: {:?}", shape, found);
                prop_assert!((found.reach.0 - rig.reach(&shape).unwrap().0).abs() < 0.001);
                let nothing_held = found.fingers.iter().all(Option::is_none);
                prop_assert_eq!(found.comfort() == 100, nothing_held);
            }
            Err(FingeringError::Reach { needed, reach }) => prop_assert!(needed.0 > reach.0),
            Err(FingeringError::Fingers) => {}
            Err(error) => prop_assert!(false, "{}", error),
        }
    }

    #[test]
    fn a_larger_hand_holds_what_a_smaller_one_holds((instrument, shape) in any_shape()) {
        let rig = rig(instrument, "standard", None);
        let held = HandSize::ALL.map(|size| fingering(&rig, &shape, &Hand::new(size)).is_ok());
        prop_assert!(held.is_sorted(), "{}: {:?}", shape, held);
    }
}

#[test]
fn what_no_hand_holds_is_refused_with_the_reason() {
    // Fret distances: tests/reference/fret_positions_648.tsv (frets 1 and 7: 36.37 and 215.52 mm from the nut).
    let guitar = rig("guitar", "standard", None);
    let refused = |shape| fingers_of(&guitar, shape, &Hand::default()).unwrap_err().to_string();
    assert_eq!(refused("1 x x x x 7"), "this stretches the hand over 179 mm, and 112 mm is as far as this hand goes");
    assert!(refused("0 13 14 15 16 12").starts_with("no four fingers of this hand can hold it"));
    assert!(refused("1 2 3").contains("3 strings"));
}
