//! Choices made from numbers, and the small things chosen everywhere.

use std::ops::RangeInclusive;

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::lesson::time::Tempo;
use fingerpost::theory::key::Key;

use super::music::WORDS;

/// Numbers drawn by proptest, used up one choice at a time; after the last come zeros.
#[derive(Debug, Clone)]
pub struct Choices<'a> {
    numbers: std::slice::Iter<'a, u16>,
}

impl<'a> Choices<'a> {
    /// Takes choices from the front of `numbers`.
    pub fn new(numbers: &'a [u16]) -> Self {
        Self { numbers: numbers.iter() }
    }

    /// Returns a number below `count`, 0 where nothing is left.
    pub fn below(&mut self, count: usize) -> usize {
        usize::from(self.numbers.next().copied().unwrap_or(0)) % count.max(1)
    }

    /// Returns whether something happens that happens `times` in 16.
    pub fn happens(&mut self, times: usize) -> bool {
        self.below(16) >= 16 - times
    }

    /// Returns one of `items`; `None` when there are none.
    pub fn one_of<T: Clone>(&mut self, items: &[T]) -> Option<T> {
        items.get(self.below(items.len())).cloned()
    }

    /// Returns a number in `range`.
    pub fn number(&mut self, range: RangeInclusive<u8>) -> u8 {
        let count = usize::from(range.end().saturating_sub(*range.start())) + 1;
        range.start() + u8::try_from(self.below(count)).unwrap()
    }
}

pub(super) fn fret(number: u8) -> Fret {
    Fret::new(number).unwrap()
}

pub(super) fn string(number: u8) -> StringNumber {
    StringNumber::new(number).unwrap()
}

pub(super) fn any_key(choices: &mut Choices) -> Key {
    let keys = [
        "C",
        "Am",
        "G",
        "Em",
        "F",
        "Dm",
        "Bb",
        "F#m",
        "Ebm",
        "C#",
        "Cb",
        "E",
        "D dorian",
        "Bb mixolydian",
        "F# locrian",
    ];
    choices.one_of(&keys).unwrap().parse().unwrap()
}

pub(super) fn any_tempo(choices: &mut Choices) -> Tempo {
    let beats = ["1/4", "1/4.", "1/2", "1/8"];
    let beat = choices.one_of(&beats).unwrap().parse().unwrap();
    Tempo::new(beat, [120, 60, 92, 144, 10, 600, 76][choices.below(7)]).unwrap()
}

/// Returns one to `most` words with spaces between.
pub(super) fn words(choices: &mut Choices, from: &[&'static str], most: usize) -> String {
    let count = 1 + choices.below(most);
    let words: Vec<&str> = (0..count).filter_map(|_| choices.one_of(from)).collect();
    words.join(" ")
}

/// Returns some text, or none at all.
pub(super) fn perhaps_words(choices: &mut Choices) -> String {
    if choices.happens(6) { words(choices, &WORDS, 4) } else { String::new() }
}
