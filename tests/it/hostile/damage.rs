//! Damage done to valid input: bytes flipped, pieces cut, doubled and spliced, huge numbers, odd characters.

use crate::workbench::random::Dice;

/// Numbers that somebody or some program could write where a small one belongs.
const NUMBERS: [&str; 14] = [
    "0",
    "-1",
    "00",
    "255",
    "256",
    "65536",
    "4294967295",
    "4294967296",
    "18446744073709551616",
    "99999999999999999999999999999999999999",
    "1e308",
    "1e-400",
    "NaN",
    "3.5",
];

/// Pieces of text that act, turn, combine, look like others or are no text at all.
const ODD: [&[u8]; 22] = [
    b"\0",
    b"\x1b[31m",
    b"\x9b",
    b"\xff\xfe",
    b"\xed\xa0\x80",
    b"\xf0\x9f",
    "\u{202E}".as_bytes(),
    "\u{200B}".as_bytes(),
    "\u{FEFF}".as_bytes(),
    "\u{301}".as_bytes(),
    "👩\u{200D}🎤".as_bytes(),
    "٣".as_bytes(),
    "３".as_bytes(),
    "♯♭𝄫".as_bytes(),
    "日本".as_bytes(),
    "ﬁ\u{AD}".as_bytes(),
    "\u{2028}".as_bytes(),
    b"\r\n",
    b"\t",
    b"\"",
    b"\\",
    b"(((((((((((((((([[[[[[[[",
];

/// Returns one of the examples with one to four damages.
pub fn damaged(examples: &[Vec<u8>], dice: &mut Dice) -> Vec<u8> {
    let mut input = examples[dice.roll(examples.len())].clone();
    for _ in 0..=dice.roll(4) {
        damage(&mut input, examples, dice);
    }
    // What grows without end would only be slow.
    input.truncate(200_000);
    input
}

fn damage(input: &mut Vec<u8>, examples: &[Vec<u8>], dice: &mut Dice) {
    let place = dice.roll(input.len() + 1);
    match dice.roll(9) {
        0 if place < input.len() => input[place] ^= 1 << dice.roll(8),
        1 if place < input.len() => input[place] = u8::try_from(dice.roll(256)).unwrap(),
        2 => _ = input.drain(place..end(input, place, dice)),
        3 => {
            let piece = input[place..end(input, place, dice)].to_vec();
            let times = dice.pick(&[1, 1, 2, 30]);
            insert(input, place, &piece.repeat(times));
        }
        4 => {
            let other = &examples[dice.roll(examples.len())];
            let from = dice.roll(other.len() + 1);
            let piece = other[from..end(other, from, dice)].to_vec();
            insert(input, place, &piece);
        }
        5 | 6 => replace_number(input, place, dice.pick(&NUMBERS).as_bytes()),
        7 => insert(input, place, dice.pick(&ODD)),
        // All that follows is gone, as when a disk was full.
        8 if dice.roll(4) == 0 => input.truncate(place),
        _ => insert(input, place, &[u8::try_from(dice.roll(128)).unwrap()]),
    }
}

/// Returns where a piece ends that begins at `place`: usually soon.
fn end(input: &[u8], place: usize, dice: &mut Dice) -> usize {
    let longest = dice.pick(&[2, 8, 40, 400]);
    (place + 1 + dice.roll(longest)).min(input.len()).max(place)
}

fn insert(input: &mut Vec<u8>, place: usize, piece: &[u8]) {
    input.splice(place..place, piece.iter().copied());
}

/// Puts another number in the place of the first one behind `place`.
fn replace_number(input: &mut Vec<u8>, place: usize, number: &[u8]) {
    let Some(from) = input[place..].iter().position(u8::is_ascii_digit).map(|found| place + found) else {
        return insert(input, place, number);
    };
    let to = input[from..].iter().position(|byte| !byte.is_ascii_digit()).map_or(input.len(), |found| from + found);
    input.splice(from..to, number.iter().copied());
}
