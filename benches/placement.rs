//! How long it takes to place a line on the neck, and that it grows as the line does.

use fingerpost::instrument::catalogue::setup_from_text;
use fingerpost::instrument::placement::line::{Limits, Milliseconds, Slice, Wanted};
use fingerpost::instrument::placement::place;
use fingerpost::instrument::rig::Rig;
use fingerpost::theory::pitch::MidiNote;

fn main() {
    divan::main();
}

fn rig(instrument: &str) -> Rig {
    let (body, tuning) = setup_from_text(Some(instrument), None).expect("it is in the catalogue");
    Rig::new(body, tuning, None).expect("it fits")
}

/// A wandering line of eighths, always the same: `chord` notes at once, `count` notes in all.
fn line(count: usize, lowest: u8, notes: u8, chord: usize) -> Vec<Slice> {
    let mut seed = 12_345u32;
    let mut at = i32::from(notes) / 2;
    let mut slices = Vec::new();
    for start in 0..count / chord {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        at = (at + i32::try_from(seed >> 24).expect("a byte") % 9 - 4).clamp(0, i32::from(notes) - 1);
        let note = |above: usize| {
            let number = i32::from(lowest) + at + i32::try_from(above * 4).expect("a few");
            let note = MidiNote::new(u8::try_from(number).expect("on the neck")).expect("a note");
            Wanted::pitch(note, Milliseconds(250))
        };
        let start = Milliseconds(u64::try_from(start).expect("small") * 250);
        slices.push(Slice { start, notes: (0..chord).map(note).collect() });
    }
    slices
}

#[divan::bench(args = [500, 1000, 2000, 4000])]
fn single_notes_on_a_guitar(bencher: divan::Bencher, count: usize) {
    let (rig, line) = (rig("guitar"), line(count, 40, 46, 1));
    bencher.bench(|| place(&rig, divan::black_box(&line), Limits::NONE).expect("it can be played").cost);
}

/// As `line`, one note at a time, but every note rings to the end of its group of `group`.
fn ringing(count: usize, group: usize) -> Vec<Slice> {
    let mut slices = line(count, 40, 40, 1);
    for (place, slice) in slices.iter_mut().enumerate() {
        let left = u64::try_from(group - place % group).expect("small");
        slice.notes.iter_mut().for_each(|wanted| wanted.length = Milliseconds(left * 250));
    }
    slices
}

#[divan::bench(args = [1000, 2000, 4000])]
fn notes_that_ring_in_fours_on_a_guitar(bencher: divan::Bencher, count: usize) {
    let (rig, line) = (rig("guitar"), ringing(count, 4));
    bencher.bench(|| place(&rig, divan::black_box(&line), Limits::NONE).expect("it can be played").cost);
}

#[divan::bench(args = [500, 1000, 2000, 4000])]
fn chords_of_four_on_a_guitar(bencher: divan::Bencher, count: usize) {
    let (rig, line) = (rig("guitar"), line(count, 45, 20, 4));
    bencher.bench(|| place(&rig, divan::black_box(&line), Limits::NONE).expect("it can be played").cost);
}

#[divan::bench(args = [2000])]
fn single_notes_on_eight_strings(bencher: divan::Bencher, count: usize) {
    let (rig, line) = (rig("8-string guitar"), line(count, 40, 46, 1));
    bencher.bench(|| place(&rig, divan::black_box(&line), Limits::NONE).expect("it can be played").cost);
}
