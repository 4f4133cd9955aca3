//! How notes, lengths and strokes are written.
//!
//! The signs `h p b r / \ x` are nearly the same everywhere. The others vary from author to author, so a legend
//! goes with every passage (H. Wright, "The Guide to TAB Notation", 1995).
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
use crate::lesson::music::{BendAmount, Note, Stroke, Technique};
use crate::lesson::technique::{Given, TabSign, Then};
use crate::lesson::time::{Length, NoteValue, Tempo, Tuplet};
use crate::text::charset::Charset;
use crate::theory::key::Key;

use super::legend::Used;

/// A way of playing that is drawn as a line over a stretch of notes where all of them share it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(in crate::tab) enum Stretch {
    /// Palm mute.
    PalmMute,
    /// Let ring.
    LetRing,
    /// Tremolo picking.
    TremoloPicking,
}

impl Stretch {
    pub(in crate::tab) const ALL: [Self; 3] = [Self::PalmMute, Self::LetRing, Self::TremoloPicking];

    /// Returns the technique each note under the line has.
    pub(in crate::tab) const fn technique(self) -> Technique {
        match self {
            Self::PalmMute => Technique::PalmMute,
            Self::LetRing => Technique::LetRing,
            Self::TremoloPicking => Technique::TremoloPicking,
        }
    }

    /// Returns the words that start the line, longest first. The last fits over any two columns.
    pub(in crate::tab) const fn words(self) -> &'static [&'static str] {
        match self {
            Self::PalmMute => &["PM"],
            Self::LetRing => &["let ring", "LR"],
            Self::TremoloPicking => &["trem", "TP"],
        }
    }
}

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
pub(super) fn note(note: &Note, next: Option<Fret>, over: &[Stretch], used: &mut BTreeSet<Used>) -> NoteSign {
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
        if let Given::Amount(amount) = technique.given()
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
fn behind(sign: &str, then: Then, given: Given, base: Fret) -> String {
    match given {
        Given::Nothing => sign.to_owned(),
        Given::Fret(fret) => {
            let close = if let Then::Fret(close) = then { close } else { "" };
            format!("{sign}{fret}{close}")
        }
        Given::Amount(amount) => {
            let half_steps = u16::from(amount.count() / 2);
            let reach = u16::from(base.number()) + half_steps;
            let quarter = quarter(amount);
            match then {
                Then::HalfSteps => format!("{sign}{half_steps}{quarter}"),
                Then::ReachAndBack => format!("{sign}{reach}{quarter}r{base}"),
                Then::Reach | Then::Nothing | Then::Fret(_) => format!("{sign}{reach}{quarter}"),
            }
        }
    }
}

/// Returns the sign of the odd quarter tone.
fn quarter(amount: BendAmount) -> &'static str {
    if amount.count() % 2 == 1 { "+" } else { "" }
}

/// Returns the letter of a note value: w, h, q, e, s, t and f for the sixty-fourth.
pub(in crate::tab) const fn value_letter(value: NoteValue) -> char {
    match value {
        NoteValue::Whole => 'w',
        NoteValue::Half => 'h',
        NoteValue::Quarter => 'q',
        NoteValue::Eighth => 'e',
        NoteValue::Sixteenth => 's',
        NoteValue::ThirtySecond => 't',
        NoteValue::SixtyFourth => 'f',
    }
}

/// Returns how many notes' time a group of `actual` notes usually takes.
pub(in crate::tab) const fn usual_normal(actual: u8) -> u8 {
    match actual {
        2 => 3,
        3 => 2,
        4 => 3,
        5..=7 => 4,
        8 => 6,
        _ => 8,
    }
}

/// Writes a length: `q`, `e.`, `e3` in a triplet, `s5:6` in five in the time of six.
pub(in crate::tab) fn length(length: Length) -> String {
    let mut text = String::from(value_letter(length.value()));
    text.extend((0..length.dots()).map(|_| '.'));
    match length.tuplet() {
        Some(Tuplet { actual, normal }) if normal == usual_normal(actual) => text.push_str(&actual.to_string()),
        Some(Tuplet { actual, normal }) => text.push_str(&format!("{actual}:{normal}")),
        None => {}
    }
    text
}

/// Writes a tempo: `q=92`.
pub(in crate::tab) fn tempo(tempo: Tempo) -> String {
    format!("{}={}", length(tempo.beat()), tempo.per_minute())
}

/// Writes a key: `Em`, `B♭`.
pub(in crate::tab) fn key(key: Key, charset: Charset) -> String {
    match charset {
        Charset::Utf8 => key.to_string().replace('b', "♭").replace('#', "♯"),
        Charset::Ascii => key.to_string(),
    }
}

/// Writes a stroke. `n` and `v` stand for the signs that players know from bowing.
pub(in crate::tab) const fn stroke(stroke: Stroke, charset: Charset) -> &'static str {
    match (stroke, charset) {
        (Stroke::Down, Charset::Utf8) => "⊓",
        (Stroke::Down, Charset::Ascii) => "n",
        (Stroke::Up, Charset::Utf8) => "V",
        (Stroke::Up, Charset::Ascii) => "v",
        (Stroke::RakeDown, Charset::Utf8) => "rake⊓",
        (Stroke::RakeDown, Charset::Ascii) => "rake-n",
        (Stroke::RakeUp, Charset::Utf8) => "rakeV",
        (Stroke::RakeUp, Charset::Ascii) => "rake-v",
        (Stroke::ArpeggioDown, Charset::Utf8) => "arp⊓",
        (Stroke::ArpeggioDown, Charset::Ascii) => "arp-n",
        (Stroke::ArpeggioUp, Charset::Utf8) => "arpV",
        (Stroke::ArpeggioUp, Charset::Ascii) => "arp-v",
    }
}

/// The characters that lines are drawn with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Lines {
    /// A string.
    pub(super) string: char,
    /// A bar line.
    pub(super) bar: &'static str,
    /// The line of a repeat.
    pub(super) repeat: &'static str,
    /// Where a bar goes on in the next system.
    pub(super) goes_on: &'static str,
}

/// Returns the line characters of `charset`.
pub(super) const fn lines(charset: Charset) -> Lines {
    match charset {
        Charset::Utf8 => Lines { string: '─', bar: "│", repeat: "║", goes_on: "»" },
        Charset::Ascii => Lines { string: '-', bar: "|", repeat: "||", goes_on: ">" },
    }
}
