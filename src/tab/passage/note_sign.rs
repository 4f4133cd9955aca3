//! How a note is written with all its signs.
//!
//! A note is written in this order: how it is approached, the fret (or `x`), how it is played, how it leads on.
//!
//! ```text
//! //7   \\7   t7   h7         slides in from below, from above; tapped; fretting-hand tap
//! 7   x   (7)   <12>          plain, dead, ghost, natural harmonic
//! 5[17]  5(17)  5tr7          touched and tapped harmonic over 17, trill with 7
//! 7b1/2  7bfull  7b1+1/2      bends in whole steps; 7bfullr7 is let down again, 7pbfull bent first
//! 7b9  7b9r7  7pb9  7pb9r7    the same in a bar that has no room, named by the pitch they reach; + is a quarter tone more
//! 7~  7!  7v(1)  7d(2)  7:  7_  7m   vibrato, pinch, bar dip and dive in whole steps, tremolo, ring, mute
//! 7\\  7//                    slides out
//! 7=  7h  7p  7/  7\  7S      tie (to a number in brackets), hammer-on, pull-off, legato slide, shift slide, to the next note
//! ```

use std::collections::BTreeSet;

use crate::instrument::neck::Fret;
use crate::lesson::music::{BendAmount, Note, Technique};
use crate::lesson::technique::{AfterSign, TabSign, TechniqueValue};
use crate::tab::signs::{FULL_BEND, StretchSign};

use super::legend::Used;

/// A note as written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct NoteSign {
    /// The characters, all of them one column wide.
    pub(super) text: String,
    /// The same with each bend named by the pitch it reaches, where that is another text.
    pub(super) by_pitch: Option<String>,
    /// Whether it ends in a sign that leads to the next note.
    pub(super) leads: bool,
}

/// How a note begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NoteOnset {
    /// It is played.
    Anew,
    /// It is held on from the note tied to it.
    Tied,
}

/// Writes `note`; `next` is the fret of the next note on the string, `over` what a line above
/// already says.
pub(super) fn note_sign(
    note: &Note,
    begins: NoteOnset,
    next: Option<Fret>,
    over: &[StretchSign],
    used: &mut BTreeSet<Used>,
) -> NoteSign {
    let mut techniques = note.techniques.clone();
    techniques.sort_unstable();
    techniques.dedup();
    techniques.retain(|technique| !over.iter().any(|stretch| stretch.technique() == *technique));
    let tied = begins == NoteOnset::Tied;
    // Brackets say it once: what is not played is neither loud nor soft.
    techniques.retain(|technique| !(tied && *technique == Technique::Ghost));
    let dead = techniques.iter().any(|technique| matches!(technique.row().sign, TabSign::Instead(_)));
    let base = if dead { Fret::OPEN } else { note.fret };

    let mut core = note.fret.to_string();
    let mut before = String::new();
    let mut around: Vec<(&str, &str)> = tied.then_some(("(", ")")).into_iter().collect();
    let mut after: Vec<(u8, [String; 2])> = Vec::new();
    for technique in techniques {
        let row = technique.row();
        used.insert(Used::Technique(row.sample()));
        match row.sign {
            TabSign::Before(sign) => before.push_str(sign),
            TabSign::Instead(sign) => sign.clone_into(&mut core),
            TabSign::Around(open, close) => around.push((open, close)),
            TabSign::Behind { rank, sign, then } => {
                after.push((rank, BENDS.map(|bends| behind(sign, then, technique.given(), base, bends))))
            }
        }
    }
    // A ghost note comes first among the techniques, and its brackets last: a soft harmonic is `(<12>)`.
    for (open, close) in around.into_iter().rev() {
        core = format!("{open}{core}{close}");
    }
    after.sort_by_key(|(rank, _)| *rank);
    let join = note.join.map(|join| (join, join.sign(base, next).sign));
    used.extend(join.map(|(join, sign)| Used::Join(join, sign)));
    let [mut text, mut by_pitch] = [before.clone() + &core, before + &core];
    for (_, [in_steps, reaching]) in after {
        text.push_str(&in_steps);
        by_pitch.push_str(&reaching);
    }
    for text in [&mut text, &mut by_pitch] {
        text.extend(join.map(|(_, sign)| sign));
    }
    if shows_quarter(&text) && text == by_pitch {
        used.insert(Used::QuarterTone);
    }
    let by_pitch = (by_pitch != text).then_some(by_pitch);
    NoteSign { text, by_pitch, leads: note.join.is_some() }
}

/// How the amount of a bend is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum BendWords {
    /// In whole steps, as players say it.
    Steps,
    /// By the fret whose pitch it reaches.
    Pitch,
}

/// Both ways, the one that is written where there is room for it first.
const BENDS: [BendWords; 2] = [BendWords::Steps, BendWords::Pitch];

/// The sign of the odd quarter tone.
const QUARTER: char = '+';

/// Returns whether a note is written with the sign of the odd quarter tone. Before a digit the same sign adds a part of a step.
pub(super) fn shows_quarter(sign: &str) -> bool {
    let mut behind = sign.match_indices(QUARTER).filter_map(|(at, plus)| sign.get(at + plus.len()..));
    behind.any(|rest| !rest.starts_with(|first: char| first.is_ascii_digit()))
}

/// Returns whether a note is written with a bend by a part of a whole step: `7b1/2`, `7pb1+1/4`.
pub(super) fn shows_part_of_step(sign: &str) -> bool {
    let amounts = sign.match_indices('b').filter_map(|(at, bend)| sign.get(at + bend.len()..));
    let amount = |rest: &str| -> usize {
        rest.chars()
            .take_while(|sign| sign.is_ascii_digit() || "+/".contains(*sign))
            .map(|sign| usize::from(sign == '/'))
            .sum()
    };
    amounts.map(amount).sum::<usize>() > 0
}

/// Returns what stands behind a note at fret `base` for a technique with what it was given.
fn behind(sign: &str, then: AfterSign, given: TechniqueValue, base: Fret, bends: BendWords) -> String {
    match given {
        TechniqueValue::Nothing => sign.to_owned(),
        TechniqueValue::Fret(fret) => {
            let close = if let AfterSign::Fret(close) = then { close } else { "" };
            format!("{sign}{fret}{close}")
        }
        TechniqueValue::Amount(amount) => {
            let half_steps = u16::from(amount.count() / 2);
            let quarter = quarter(amount);
            let reach = match bends {
                BendWords::Steps => in_steps(amount, base),
                BendWords::Pitch => None,
            };
            let reach = reach.unwrap_or_else(|| format!("{}{quarter}", u16::from(base.number()) + half_steps));
            match then {
                AfterSign::Steps => format!("{sign}({})", amount.to_string().replace(' ', "+")),
                AfterSign::ReachAndBack => format!("{sign}{reach}r{base}"),
                AfterSign::Reach | AfterSign::Nothing | AfterSign::Fret(_) => format!("{sign}{reach}"),
            }
        }
    }
}

/// Returns `amount` in whole steps: `1/4`, `full`, `1+1/2`, `2`. `None` where whole steps would be taken for a fret
/// that a bend from `base` can reach.
fn in_steps(amount: BendAmount, base: Fret) -> Option<String> {
    let steps = amount.count() / 4;
    let fraction = match amount.count() % 4 {
        1 => "1/4",
        2 => "1/2",
        3 => "3/4",
        _ => "",
    };
    match (steps, fraction) {
        (1, "") => Some(FULL_BEND.to_owned()),
        (_, "") => (steps < base.number()).then(|| steps.to_string()),
        (0, _) => Some(fraction.to_owned()),
        (_, _) => Some(format!("{steps}+{fraction}")),
    }
}

/// Returns the sign of the odd quarter tone.
fn quarter(amount: BendAmount) -> &'static str {
    if amount.count() % 2 == 1 { "+" } else { "" }
}
