//! How notes, lengths and strokes are written.
//!
//! Signs nearly everywhere alike: `h p b r / \ x`; the others vary from author to author, so a
//! legend goes with every passage (H. Wright, "The Guide to TAB Notation", 1995).
//!
//! A note is written: how it is approached, the fret (or `x`), how it is played, how it leads on.
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
use crate::lesson::music::{BendAmount, Join, Note, Stroke, Technique};
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
    let has = |technique| techniques.contains(&technique);
    let base = if has(Technique::Dead) { Fret::OPEN } else { note.fret };

    let mut core = if has(Technique::Dead) { "x".to_owned() } else { note.fret.to_string() };
    if has(Technique::NaturalHarmonic) {
        core = format!("<{core}>");
    }
    if has(Technique::Ghost) {
        core = format!("({core})");
    }
    let mut before = String::new();
    let mut after: Vec<(u8, String)> = Vec::new();
    for technique in techniques {
        used.insert(Used::Technique(technique_kind(technique)));
        match place(technique, base) {
            Place::Before(sign) => before.push_str(sign),
            Place::Core => {}
            Place::After(order, sign) => after.push((order, sign)),
        }
        if let Technique::Bend(amount)
        | Technique::BendRelease(amount)
        | Technique::PreBend(amount)
        | Technique::PreBendRelease(amount)
        | Technique::WhammyDip(amount)
        | Technique::WhammyDive(amount) = technique
            && amount.count() % 2 == 1
        {
            used.insert(Used::QuarterTone);
        }
    }
    after.sort_by_key(|(order, _)| *order);
    let mut text = before + &core;
    text.extend(after.into_iter().map(|(_, sign)| sign));
    if let Some(join) = note.join {
        let sign = join_sign(join, base, next);
        used.insert(Used::Join(join, sign));
        text.push(sign);
    }
    NoteSign { text, leads: note.join.is_some() }
}

/// Returns the technique with its amount set to a fixed one, for the legend.
fn technique_kind(technique: Technique) -> Technique {
    let amount = BendAmount::FULL;
    match technique {
        Technique::Bend(_) => Technique::Bend(amount),
        Technique::BendRelease(_) => Technique::BendRelease(amount),
        Technique::PreBend(_) => Technique::PreBend(amount),
        Technique::PreBendRelease(_) => Technique::PreBendRelease(amount),
        Technique::WhammyDip(_) => Technique::WhammyDip(amount),
        Technique::WhammyDive(_) => Technique::WhammyDive(amount),
        Technique::Trill(_) => Technique::Trill(Fret::OPEN),
        Technique::TouchedHarmonic(_) => Technique::TouchedHarmonic(Fret::OPEN),
        Technique::TappedHarmonic(_) => Technique::TappedHarmonic(Fret::OPEN),
        other => other,
    }
}

/// Where the sign of a technique stands.
enum Place {
    Before(&'static str),
    Core,
    After(u8, String),
}

/// Returns the sign of `technique` on a note at fret `base`.
fn place(technique: Technique, base: Fret) -> Place {
    let plain = |order, sign: &str| Place::After(order, sign.to_owned());
    let reach = |amount: BendAmount| {
        let target = u16::from(base.number()) + u16::from(amount.count() / 2);
        format!("{target}{}", quarter(amount))
    };
    let half_steps = |amount: BendAmount| format!("{}{}", amount.count() / 2, quarter(amount));
    match technique {
        Technique::SlideInFromBelow => Place::Before("//"),
        Technique::SlideInFromAbove => Place::Before("\\\\"),
        Technique::Tap => Place::Before("t"),
        Technique::FrettingHandTap => Place::Before("h"),
        Technique::Dead | Technique::Ghost | Technique::NaturalHarmonic => Place::Core,
        Technique::TouchedHarmonic(fret) => Place::After(0, format!("[{fret}]")),
        Technique::TappedHarmonic(fret) => Place::After(1, format!("({fret})")),
        Technique::Trill(fret) => Place::After(2, format!("tr{fret}")),
        Technique::Bend(amount) => Place::After(3, format!("b{}", reach(amount))),
        Technique::BendRelease(amount) => Place::After(4, format!("b{}r{base}", reach(amount))),
        Technique::PreBend(amount) => Place::After(5, format!("pb{}", reach(amount))),
        Technique::PreBendRelease(amount) => Place::After(6, format!("pb{}r{base}", reach(amount))),
        Technique::Vibrato => plain(7, "~"),
        Technique::PinchHarmonic => plain(8, "!"),
        Technique::WhammyDip(amount) => Place::After(9, format!("v{}", half_steps(amount))),
        Technique::WhammyDive(amount) => Place::After(10, format!("d{}", half_steps(amount))),
        Technique::TremoloPicking => plain(11, ":"),
        Technique::LetRing => plain(12, "_"),
        Technique::PalmMute => plain(13, "."),
        Technique::SlideOutDown => plain(14, "\\\\"),
        Technique::SlideOutUp => plain(15, "//"),
    }
}

/// Returns the sign of the odd quarter tone.
fn quarter(amount: BendAmount) -> &'static str {
    if amount.count() % 2 == 1 { "+" } else { "" }
}

/// Returns the sign that leads from `fret` to the next note.
fn join_sign(join: Join, fret: Fret, next: Option<Fret>) -> char {
    match join {
        Join::Tie => '=',
        Join::HammerOn => 'h',
        Join::PullOff => 'p',
        Join::LegatoSlide if next.is_some_and(|next| next < fret) => '\\',
        Join::LegatoSlide => '/',
        // Small, it would look like the length of a sixteenth.
        Join::ShiftSlide => 'S',
    }
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

/// Returns in the time of how many a group of `actual` is usually played.
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
