//! Figures that are one form of the hand, wherever on the neck they begin.

use fingerpost::instrument::placement::line::Limits;
use fingerpost::instrument::placement::place;
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
    // Nearer to the nut the sixth is further from the root than a hand reaches.
    for (instrument, roots) in [("guitar", 46..=54), ("baritone ukulele", 50..=56)] {
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
