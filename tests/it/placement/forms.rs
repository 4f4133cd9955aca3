//! Figures that are one form of the hand, wherever on the neck they begin.

use fingerpost::instrument::fingering::fingering;
use fingerpost::instrument::hand::{Finger, Hand};
use fingerpost::instrument::neck::{Fret, Place, Shape, StringNumber};
use fingerpost::instrument::placement::line::Limits;
use fingerpost::instrument::placement::{can_be_held, place};
use fingerpost::instrument::rig::Rig;
use fingerpost::theory::pitch::MidiNote;

use super::{Milliseconds, Slice, Wanted, rig, shown};

/// Returns a line in which each of `moments` has these notes, `ms` long.
fn line(moments: &[Vec<u8>], ms: u64) -> Vec<Slice> {
    let wanted = |note: &u8| Wanted::pitch(MidiNote::new(*note).unwrap(), Milliseconds(ms));
    let slice = |(notes, at): (&Vec<u8>, u64)| Slice {
        start: Milliseconds(at * ms),
        notes: notes.iter().map(wanted).collect(),
    };
    moments.iter().zip(0..).map(slice).collect()
}

/// Returns string and fret of every note, and the whole in words.
fn places(rig: &Rig, moments: &[Vec<u8>], ms: u64) -> (Vec<Vec<(u8, u8)>>, String) {
    let placement = place(rig, &line(moments, ms), Limits::NONE).unwrap();
    let slices = placement.slices.iter();
    let found = slices
        .map(|slice| slice.notes.iter().map(|note| (note.place.string.number(), note.place.fret.number())).collect());
    (found.collect(), shown(&placement))
}

#[test]
fn a_fifth_and_the_sixth_over_its_root_lie_on_neighbouring_strings() {
    // Nearer to the nut than the third fret of a guitar the sixth is further from the root than a hand reaches.
    for (instrument, roots) in [("guitar", 43..=54), ("baritone ukulele", 50..=56)] {
        let rig = rig(instrument, None, None);
        for root in roots {
            for (times, ms) in [(1, 400), (2, 250), (3, 150)] {
                let both = [vec![root, root + 7], vec![root, root + 9]];
                let figure: Vec<Vec<u8>> = both.iter().cycle().take(2 * times).cloned().collect();
                let (found, told) = places(&rig, &figure, ms);
                for moment in &found {
                    assert_eq!(moment[0].0, moment[1].0 + 1, "{instrument}, root {root}, {ms} ms: {told}");
                    assert_eq!(moment[0], found[0][0], "{instrument}, root {root}, {ms} ms: {told}");
                }
            }
        }
    }
}

#[test]
fn broken_octaves_are_one_form_that_moves() {
    for (instrument, roots) in [("guitar", 41..=50), ("bass", 29..=36)] {
        let rig = rig(instrument, None, None);
        for root in roots {
            for steps in [[0, 2, 4], [0, 2, 3], [4, 2, 0], [5, 3, 0]] {
                let figure: Vec<Vec<u8>> =
                    steps.iter().flat_map(|step| [vec![root + step], vec![root + step + 12]]).collect();
                let (found, told) = places(&rig, &figure, 300);
                for pair in found.chunks(2) {
                    let (low, high) = (pair[0][0], pair[1][0]);
                    assert!(high.1 > 0, "{instrument}, root {root}, {steps:?}: {told}");
                    assert_eq!(low.0 - high.0, 2, "{instrument}, root {root}, {steps:?}: {told}");
                }
            }
        }
    }
}

#[test]
fn a_broken_triad_over_its_root_lies_in_one_grip() {
    for tuning in [None, Some("D2 G2 C3 F3 A3 D4")] {
        let rig = rig("guitar", tuning, None);
        let lower = if tuning.is_some() { 2 } else { 0 };
        for root in 46 - lower..=51 - lower {
            for third in [3, 4] {
                for order in [&[0, 1, 2, 3, 4, 3][..], &[0, 1, 2, 3, 4], &[0, 1, 2, 3, 4, 3, 2, 1]] {
                    let notes = [root, root + 7, root + 12, root + 12 + third, root + 19];
                    let figure: Vec<Vec<u8>> = order.iter().map(|place| vec![notes[*place]]).collect();
                    let (found, told) = places(&rig, &figure, 300);
                    let mut strings: Vec<u8> = found.iter().take(5).map(|moment| moment[0].0).collect();
                    strings.dedup();
                    assert_eq!(strings.len(), 5, "root {root}, third {third}: {told}");
                    assert!(strings.is_sorted_by(|low, high| low > high), "root {root}, third {third}: {told}");
                }
            }
        }
    }
}

#[test]
fn what_a_shuffle_holds_can_be_held_by_itself() {
    let guitar = rig("guitar", None, None);
    let at =
        |string: u8, fret: u8| Place { string: StringNumber::new(string).unwrap(), fret: Fret::new(fret).unwrap() };
    let held = |places: [Place; 2]| {
        let notes = places.map(|place| {
            let mut wanted = Wanted::pitch(guitar.sounding(place.string, place.fret).unwrap(), Milliseconds(400));
            wanted.pin.string = Some(place.string);
            wanted.pin.fret = Some(place.fret);
            wanted
        });
        can_be_held(&guitar, &Slice { start: Milliseconds(0), notes: notes.to_vec() }, Limits::NONE).is_ok()
    };
    assert!(held([at(6, 3), at(5, 7)]) && held([at(5, 3), at(4, 7)]));
    assert!(!held([at(6, 1), at(5, 5)]), "wider than that");
    assert!(!held([at(6, 7), at(5, 3)]), "not the form");
}

#[test]
fn the_seventh_of_a_shuffle_lies_on_the_string_of_the_fifth() {
    let guitar = rig("guitar", None, None);
    for root in [40, 45, 50] {
        let figure: Vec<Vec<u8>> = [7, 9, 10, 9].iter().map(|above| vec![root, root + above]).collect();
        let (found, told) = places(&guitar, &figure, 250);
        for (moment, fret) in found.iter().zip([2, 4, 5, 4]) {
            assert_eq!((moment[0].1, moment[1].1, moment[0].0 - moment[1].0), (0, fret, 1), "root {root}: {told}");
        }
    }
}

#[test]
fn a_dropped_fifth_keeps_its_one_finger_over_a_pedal() {
    for (tuning, open, more) in [("drop D", 38, vec![7]), ("drop C", 36, vec![7, 12]), ("drop D", 38, vec![7, 12])] {
        let rig = rig("guitar", Some(tuning), None);
        for first in 1..=3 {
            // Below the root that lies on the next open string.
            for steps in [[0, 2, 3], [2, 0, 3], [3, 1, 0]] {
                for ms in [160, 250] {
                    let chord = |step: &u8| {
                        let root = open + first + step;
                        let above = more.iter().map(|above| root + above);
                        [vec![open], std::iter::once(root).chain(above).collect()]
                    };
                    let figure: Vec<Vec<u8>> = steps.iter().flat_map(chord).collect();
                    let placement = place(&rig, &line(&figure, ms), Limits::NONE).unwrap();
                    let told = shown(&placement);
                    for slice in placement.slices.iter().skip(1).step_by(2) {
                        let fret = slice.notes[0].place.fret;
                        assert!(
                            slice.notes.iter().all(|note| note.finger == Some(1) && note.place.fret == fret),
                            "{tuning}: {told}"
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn sixths_that_run_along_the_neck_stay_on_their_strings() {
    // Degrees of a major scale, in half steps, and how far the sixth lies above each.
    let scale = [(0, 9), (2, 9), (4, 8), (5, 9), (7, 9)];
    for (instrument, roots) in [("guitar", 51..=57), ("baritone ukulele", 51..=56)] {
        let rig = rig(instrument, None, None);
        for root in roots {
            let mut figure: Vec<Vec<u8>> =
                scale.iter().map(|(step, sixth)| vec![root + step, root + step + sixth]).collect();
            for _ in 0..2 {
                let (found, told) = places(&rig, &figure, 250);
                let strings = |moment: &Vec<(u8, u8)>| (moment[0].0, moment[1].0);
                assert!(found.iter().all(|moment| strings(moment) == strings(&found[0])), "{instrument}: {told}");
                figure.reverse();
            }
        }
    }
}

#[test]
fn a_chord_takes_the_fingers_of_its_shape() {
    for (instrument, lowest) in [("guitar", 40), ("ukulele", 60)] {
        let rig = rig(instrument, None, None);
        for root in lowest..lowest + 12 {
            for above in [&[0, 7, 12, 16, 19][..], &[0, 4, 7, 12], &[0, 7, 12, 15], &[0, 7, 10, 16], &[0, 7, 12]] {
                let notes: Vec<u8> = above.iter().map(|above| root + above).collect();
                // Not every one of them can be held, and some are held with the thumb.
                let Ok(placement) = place(&rig, &line(&[notes], 500), Limits::NONE) else { continue };
                let mut frets = vec![None; rig.tuning().strings().len()];
                let mut fingers = vec![None; frets.len()];
                for note in &placement.slices[0].notes {
                    let at = frets.len() - usize::from(note.place.string.number());
                    frets[at] = Some(note.place.fret);
                    fingers[at] = note.finger.and_then(Finger::numbered);
                }
                let held = fingering(&rig, &Shape::new(frets).unwrap(), &Hand::default()).unwrap();
                let has_thumb = held.fingers.contains(&Some(Finger::Thumb));
                assert!(has_thumb || held.fingers == fingers, "{instrument}, root {root}: {}", shown(&placement));
            }
        }
    }
}

#[test]
fn a_note_that_comes_back_within_a_phrase_is_open_again_or_stopped_again() {
    // The pitches of the open strings, and how a phrase goes on from one of them.
    for (instrument, open) in [("guitar", &[64, 59, 55, 50][..]), ("ukulele", &[69, 64]), ("bass", &[43, 38, 33])] {
        let rig = rig(instrument, None, None);
        for pitch in open {
            for steps in [&[0, 1, 3, 5, 0][..], &[0, 2, 3, 0, 2, 0], &[0, 2, 4, 5, 0], &[5, 0, 2, 3, 0], &[3, 0, 5, 0]]
            {
                for ms in [150, 250, 400] {
                    let figure: Vec<Vec<u8>> = steps.iter().map(|step| vec![pitch + step]).collect();
                    let (found, told) = places(&rig, &figure, ms);
                    let frets = found.iter().zip(steps).filter(|(_, step)| **step == 0).map(|(moment, _)| moment[0].1);
                    let open: Vec<bool> = frets.map(|fret| fret == 0).collect();
                    assert!(open.windows(2).all(|pair| pair[0] == pair[1]), "{instrument}, {ms} ms: {told}");
                }
            }
        }
    }
}

/// In standard tuning index and ring finger, as `fingering` has it too. Common practice.
#[test]
fn power_chords_in_a_row_keep_their_two_fingers() {
    let rig = rig("guitar", None, None);
    for root in 41..=50 {
        // The open chord before and between them leaves the fingers no reason to change.
        for row in [vec![40, root, root + 2, 40, root + 5], vec![root, root + 3, root + 5, root + 3]] {
            let figure: Vec<Vec<u8>> = row.iter().map(|root| vec![*root, *root + 7]).collect();
            let placement = place(&rig, &line(&figure, 300), Limits::NONE).unwrap();
            for slice in &placement.slices {
                let [low, high] = &slice.notes[..] else { panic!("two notes") };
                let is_form = low.place.fret > Fret::OPEN && high.place.fret.number() == low.place.fret.number() + 2;
                if is_form {
                    assert_eq!((low.finger, high.finger), (Some(1), Some(3)), "{row:?}: {}", shown(&placement));
                }
            }
        }
    }
}
