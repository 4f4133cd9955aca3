//! Every door through which text or bytes come in from outside, and what comes of valid examples that were damaged.
//!
//! [`doors`] lists them: whoever adds one adds it there. Each input is taken or refused; nothing panics, and a refusal says
//! where or what, without a character that a terminal would obey. Twenty thousand inputs over all doors; as many as
//! `FINGERPOST_HOSTILE` says, with other dice where a seed stands behind them: `1000000:7`.
//!
//! The bytes of the terminal itself come in by a door that is private; `workbench/runtime/key_bytes.rs` has its own test.

mod damage;
mod doors;

use std::panic::{AssertUnwindSafe, catch_unwind};

use super::workbench::random::Dice;
use damage::damaged;
use doors::{Door, Heard, Place, doors};

/// How many inputs there are where nothing else is asked for.
const USUAL: usize = 20_000;

/// What an input came to that is not as it should be.
fn fault(door: &Door, input: &[u8]) -> Option<String> {
    let heard = catch_unwind(AssertUnwindSafe(|| (door.feed)(input)));
    match heard {
        Ok(Heard::Taken) => None,
        Ok(Heard::Refused(words)) if !is_plain(&words) => Some(format!("obeyed by a terminal: {words:?}")),
        Ok(Heard::Refused(words)) if !says_where(&words, door.place) => Some(format!("says no place: {words}")),
        Ok(Heard::Refused(_)) => None,
        Err(_) => Some("a panic".to_owned()),
    }
}

/// Returns whether a terminal shows all of it and obeys none of it.
fn is_plain(words: &str) -> bool {
    let turns =
        |sign: char| matches!(sign, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{200B}' | '\u{FEFF}');
    words.chars().all(|sign| sign == '\n' || !sign.is_control() && !turns(sign))
}

/// Returns whether a refusal says where or what.
fn says_where(words: &str, place: Place) -> bool {
    let digit = |text: &str| text.starts_with(|sign: char| sign.is_ascii_digit());
    match place {
        // What is wrong with a file as a whole is at no line of it.
        Place::Line if ["the file is empty", "the file version is"].iter().any(|whole| words.contains(whole)) => true,
        Place::Line => words.split("line ").skip(1).any(digit) || words.split(':').skip(1).any(digit),
        Place::Quoted => words.contains(['`', '"', '\'']) || words.contains(|sign: char| sign.is_ascii_digit()),
        Place::Whole => !words.trim().is_empty(),
    }
}

/// Returns how many inputs are asked for, and the seed of the dice.
fn asked() -> (usize, u64) {
    let Ok(asked) = std::env::var("FINGERPOST_HOSTILE") else { return (USUAL, 1) };
    let (count, seed) = asked.split_once(':').unwrap_or((&asked, "1"));
    let count = count.parse().expect("FINGERPOST_HOSTILE is a number of inputs, then perhaps a colon and a seed");
    (count, seed.parse::<u64>().expect("the seed is a number").max(1))
}

#[test]
fn damaged_input_is_taken_or_refused_with_its_place_at_every_door() {
    let doors = doors();
    let (count, seed) = asked();
    let shares: usize = doors.iter().map(|door| door.share).sum();
    let mut faults = Vec::new();
    for (number, door) in doors.iter().enumerate() {
        // Each door has dice of its own, so that a new one changes nothing for the others.
        let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ (number as u64 + 1));
        let damaged = (0..(count * door.share).div_ceil(shares)).map(|_| damaged(&door.examples, &mut dice));
        let mut inputs = door.examples.iter().cloned().chain(damaged);
        // One fault of each door is enough to mend it by.
        faults.extend(inputs.find_map(|input| {
            let fault = fault(door, &input)?;
            Some(format!("{}: {fault}\nfor {:?}\n", door.name, String::from_utf8_lossy(&input)))
        }));
    }
    assert!(faults.is_empty(), "with the seed {seed}:\n{}", faults.join("\n"));
}

#[test]
fn every_door_takes_its_examples() {
    let doors = doors();
    let refused = doors.iter().flat_map(|door| {
        let heard = |example: &Vec<u8>| match (door.feed)(example) {
            Heard::Taken => None,
            Heard::Refused(words) => Some(format!("{}: {words}", door.name)),
        };
        door.examples.iter().take(door.valid).filter_map(heard)
    });
    let refused: Vec<String> = refused.collect();
    assert!(refused.is_empty(), "{}", refused.join("\n"));
}

#[test]
fn what_a_terminal_obeys_and_what_says_no_place_is_seen() {
    assert!(is_plain("line 1: two\nlines, Tür, 日本") && !is_plain("\u{1b}[31m") && !is_plain("a\u{202E}b"));
    assert!(says_where("a.ron:3:7: no", Place::Line) && says_where("line 4: no", Place::Line));
    assert!(!says_where("it is wrong: all of it", Place::Line) && !says_where("it is wrong", Place::Quoted));
    let door =
        Door { name: "a wall", share: 1, place: Place::Whole, examples: Vec::new(), valid: 0, feed: |_| panic!() };
    assert_eq!(fault(&door, b"").as_deref(), Some("a panic"));
}
