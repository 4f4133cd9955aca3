//! How long a name takes: one shape as a keystroke asks for it, and a whole neck of shapes.

use fingerpost::instrument::catalogue::setup_from_text;
use fingerpost::instrument::neck::{Fret, Shape};
use fingerpost::instrument::rig::Rig;
use fingerpost::theory::reading::{Context, readings_limited};

fn main() {
    divan::main();
}

fn rig() -> Rig {
    let (instrument, tuning) = setup_from_text(None, None).expect("the guitar is in the catalogue");
    Rig::new(instrument, tuning, None).expect("a guitar")
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
