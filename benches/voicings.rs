//! How long the voicings of a chord take: every one on six, eight and four strings, and the fingering of one shape.
//!
//! One sample is one symbol, the next of eighteen of all sorts, so that the median stands for a usual chord.

use std::sync::atomic::{AtomicUsize, Ordering};

use fingerpost::instrument::catalogue::setup_from_text;
use fingerpost::instrument::fingering::fingering;
use fingerpost::instrument::hand::Hand;
use fingerpost::instrument::neck::{Fret, Shape};
use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::voicing::board::ChordBoard;
use fingerpost::instrument::voicing::request::Request;
use fingerpost::theory::symbol::ChordSymbol;

const SYMBOLS: [&str; 18] = [
    "C", "Em", "Cmaj7", "G7", "Am7", "D9", "C13", "Bm7b5", "C/E", "G/A", "Asus4", "E7#9", "Fmaj13", "C6/9", "C5",
    "Dadd9", "A7alt", "Cm11",
];

fn main() {
    divan::main();
}

fn rig(name: &str, frets: u8) -> Rig {
    let (mut instrument, tuning) = setup_from_text(Some(name), None).expect("it is in the catalogue");
    instrument.frets = Fret::new(frets).expect("a neck");
    Rig::new(instrument, tuning, None).expect("a rig")
}

#[divan::bench(args = [("guitar", 24), ("8-string guitar", 24), ("ukulele", 15)], sample_size = 1, sample_count = 540)]
fn every_voicing_of_a_symbol(bencher: divan::Bencher, (name, frets): (&str, u8)) {
    let rig = rig(name, frets);
    let symbols: Vec<ChordSymbol> = SYMBOLS.iter().map(|symbol| symbol.parse().expect("a symbol")).collect();
    let request = Request::default();
    let next = AtomicUsize::new(0);
    bencher.bench(|| {
        let symbol = &symbols[next.fetch_add(1, Ordering::Relaxed) % symbols.len()];
        ChordBoard::of(&rig).search(symbol, &request).map(|search| search.found(20).len())
    });
}

#[divan::bench(args = SYMBOLS)]
fn every_voicing_on_six_strings(bencher: divan::Bencher, text: &str) {
    let board = ChordBoard::of(&rig("guitar", 24));
    let symbol: ChordSymbol = text.parse().expect("a symbol");
    let request = Request::default();
    bencher.bench(|| board.search(&symbol, &request).map(|search| search.found(20).len()));
}

#[divan::bench(args = ["1 3 3 2 1 1", "x 3 2 0 1 0", "1 0 3 2 1 3"])]
fn one_fingering(bencher: divan::Bencher, text: &str) {
    let rig = rig("guitar", 24);
    let shape: Shape = text.parse().expect("a shape");
    let hand = Hand::default();
    bencher.bench(|| fingering(&rig, divan::black_box(&shape), &hand).is_ok());
}
