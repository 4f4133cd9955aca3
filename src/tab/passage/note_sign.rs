//! How a note is written with all its signs.
//!
//! A note is written in this order: how it is approached, the fret (or `x`), how it is played, how it leads on.
//!
//! ```text
//! //7   \\7   t7   h7         slides in from below, from above; tapped; fretting-hand tap
//! 7   x   (7)   <12>          plain, dead, ghost, natural harmonic
//! 5[17]  5(17)  5tr7          touched and tapped harmonic over 17, trill with 7
//! 7b9  7b9r7  7pb9  7pb9r7    bends, named by the pitch they reach; + is a quarter tone more
//! 7~  7!  7v2  7d4  7:  7_  7.   vibrato, pinch, bar dip and dive in half steps, tremolo, ring, mute
//! 7\\  7//                    slides out
//! 7=  7h  7p  7/  7\  7S      tie, hammer-on, pull-off, legato slide, shift slide, to the next note
//! ```

use std::collections::BTreeSet;

use crate::instrument::neck::Fret;
use crate::lesson::music::{BendAmount, Note};
use crate::lesson::technique::{AfterSign, TabSign, TechniqueValue};
use crate::tab::signs::StretchSign;

use super::legend::Used;

/// A note as written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct NoteSign {
    /// The characters, all of them one column wide.
    pub(super) text: String,
    /// Whether it ends in a sign that leads to the next note.
    pub(super) leads: bool,
}

/// Writes `note`; `next` is the fret of the next note on the string, `over` what a line above
/// already says.
pub(super) fn note_sign(note: &Note, next: Option<Fret>, over: &[StretchSign], used: &mut BTreeSet<Used>) -> NoteSign {
    let mut techniques = note.techniques.clone();
    techniques.sort_unstable();
    techniques.dedup();
    techniques.retain(|technique| !over.iter().any(|stretch| stretch.technique() == *technique));
    let dead = techniques.iter().any(|technique| matches!(technique.row().sign, TabSign::Instead(_)));
    let base = if dead { Fret::OPEN } else { note.fret };

    let mut core = note.fret.to_string();
    let mut before = String::new();
    let mut around = Vec::new();
    let mut after: Vec<(u8, String)> = Vec::new();
    for technique in techniques {
        let row = technique.row();
        used.insert(Used::Technique(row.sample()));
        match row.sign {
            TabSign::Before(sign) => before.push_str(sign),
            TabSign::Instead(sign) => sign.clone_into(&mut core),
            TabSign::Around(open, close) => around.push((open, close)),
            TabSign::Behind { rank, sign, then } => after.push((rank, behind(sign, then, technique.given(), base))),
        }
        if let TechniqueValue::Amount(amount) = technique.given()
            && amount.count() % 2 == 1
        {
            used.insert(Used::QuarterTone);
        }
    }
    // A ghost note comes first among the techniques, and its brackets last: a soft harmonic is `(<12>)`.
    for (open, close) in around.into_iter().rev() {
        core = format!("{open}{core}{close}");
    }
    after.sort_by_key(|(rank, _)| *rank);
    let mut text = before + &core;
    text.extend(after.into_iter().map(|(_, sign)| sign));
    if let Some(join) = note.join {
        let sign = join.sign(base, next).sign;
        used.insert(Used::Join(join, sign));
        text.push(sign);
    }
    NoteSign { text, leads: note.join.is_some() }
}

/// Returns what stands behind a note at fret `base` for a technique with what it was given.
fn behind(sign: &str, then: AfterSign, given: TechniqueValue, base: Fret) -> String {
    match given {
        TechniqueValue::Nothing => sign.to_owned(),
        TechniqueValue::Fret(fret) => {
            let close = if let AfterSign::Fret(close) = then { close } else { "" };
            format!("{sign}{fret}{close}")
        }
        TechniqueValue::Amount(amount) => {
            let half_steps = u16::from(amount.count() / 2);
            let reach = u16::from(base.number()) + half_steps;
            let quarter = quarter(amount);
            match then {
                AfterSign::HalfSteps => format!("{sign}{half_steps}{quarter}"),
                AfterSign::ReachAndBack => format!("{sign}{reach}{quarter}r{base}"),
                AfterSign::Reach | AfterSign::Nothing | AfterSign::Fret(_) => format!("{sign}{reach}{quarter}"),
            }
        }
    }
}

/// Returns the sign of the odd quarter tone.
fn quarter(amount: BendAmount) -> &'static str {
    if amount.count() % 2 == 1 { "+" } else { "" }
}
