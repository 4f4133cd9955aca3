//! How long a name takes: one shape as a keystroke asks for it, and a whole neck of shapes.

use fingerpost::instrument::catalogue::setup_from_text;
use fingerpost::instrument::neck::{Fret, Shape};
use fingerpost::instrument::rig::Rig;
use fingerpost::theory::pitch_set::PitchSet;
use fingerpost::theory::reading::{Context, bare_names, readings_limited};

fn main() {
    divan::main();
}

fn rig() -> Rig {
    let (instrument, tuning) = setup_from_text(None, None).expect("the guitar is in the catalogue");
    Rig::new(instrument, tuning, None).expect("a guitar")
}

/// What the table is asked for a set over a bass: its names in order, none of them spelled.
#[divan::bench(args = ["x 3 2 0 1 0", "x x 0 0 1 0", "x x 6 7 7 7", "0 7 6 7 8 0"])]
fn one_ranking_from_the_table(bencher: divan::Bencher, text: &str) {
    let shape: Shape = text.parse().expect("a shape");
    let notes = rig().notes(&shape).expect("on the neck");
    let bass = notes.iter().flatten().min().expect("something sounds").pitch_class();
    let set: PitchSet = notes.iter().flatten().map(|note| note.pitch_class()).collect();
    bencher.bench(|| bare_names(divan::black_box(set), divan::black_box(bass)).map(|name| name.quality.rarity).max());
}

#[divan::bench(args = ["x 3 2 0 1 0", "x x 0 2 1 1", "3 x 0 0 0 3", "0 7 6 7 8 0"])]
fn ten_readings_of_one_shape(bencher: divan::Bencher, text: &str) {
    let rig = rig();
    let shape: Shape = text.parse().expect("a shape");
    let notes = rig.notes(&shape).expect("on the neck");
    let context = Context::default();
    bencher.bench(|| readings_limited(divan::black_box(&notes), &context, 10));
}

#[divan::bench(args = [1, 10])]
fn a_thousand_shapes(bencher: divan::Bencher, limit: usize) {
    let rig = rig();
    let shapes: Vec<_> = (0..1000u32)
        .map(|number| {
            let fret = |place: u32| Fret::new(u8::try_from(number / 5u32.pow(place) % 5).unwrap_or(0));
            Shape::new((0..6).map(fret).collect()).expect("six strings")
        })
        .map(|shape| rig.notes(&shape).expect("on the neck"))
        .collect();
    let context = Context::default();
    bencher.bench(|| shapes.iter().map(|notes| readings_limited(notes, &context, limit).len()).sum::<usize>());
}
