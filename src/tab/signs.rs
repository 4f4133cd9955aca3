//! How notes, lengths and strokes are written.
//!
//! The signs `h p b r / \ x` are nearly the same everywhere. The others vary from author to author, so a legend
//! goes with every passage (H. Wright, "The Guide to TAB Notation", 1995).

use crate::lesson::music::{Stroke, Technique};
use crate::lesson::time::{Length, NoteValue, Tempo, Tuplet};
use crate::text::charset::Charset;
use crate::theory::key::Key;

/// A way of playing that is drawn as a line over a stretch of notes where all of them share it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(in crate::tab) enum StretchSign {
    /// Palm mute.
    PalmMute,
    /// Let ring.
    LetRing,
    /// Tremolo picking.
    TremoloPicking,
    /// Pinch harmonics.
    PinchHarmonic,
}

impl StretchSign {
    pub(in crate::tab) const ALL: [Self; 4] =
        [Self::PalmMute, Self::LetRing, Self::TremoloPicking, Self::PinchHarmonic];

    /// Returns the technique each note under the line has.
    pub(in crate::tab) const fn technique(self) -> Technique {
        match self {
            Self::PalmMute => Technique::PalmMute,
            Self::LetRing => Technique::LetRing,
            Self::TremoloPicking => Technique::TremoloPicking,
            Self::PinchHarmonic => Technique::PinchHarmonic,
        }
    }

    /// Returns the words that start the line, longest first. The last fits over any two columns.
    pub(in crate::tab) const fn words(self) -> &'static [&'static str] {
        match self {
            Self::PalmMute => &["P.M.", "PM"],
            Self::LetRing => &["let ring", "LR"],
            Self::TremoloPicking => &["trem", "TP"],
            Self::PinchHarmonic => &["PH"],
        }
    }
}

/// What stands for a bend of one whole step.
pub(in crate::tab) const FULL_BEND: &str = "full";

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

/// Writes a tempo as players say it: `dotted quarter note = 60`.
pub(in crate::tab) fn tempo_in_words(tempo: Tempo) -> String {
    let dots = match tempo.beat().dots() {
        0 => "",
        1 => "dotted ",
        _ => "double-dotted ",
    };
    format!("{dots}{} note = {}", tempo.beat().value().name(), tempo.per_minute())
}

/// Writes a key as a mark without spaces: `Em`, `B♭`, `D-dorian`.
pub(in crate::tab) fn key(key: Key, charset: Charset) -> String {
    let plain = key.to_string();
    let behind = plain.strip_prefix(key.tonic().as_str()).unwrap_or("");
    tonic(key, charset) + &behind.replace(' ', "-")
}

fn tonic(key: Key, charset: Charset) -> String {
    let tonic = key.tonic().to_string();
    match charset {
        Charset::Utf8 => tonic.replace('b', "♭").replace('#', "♯"),
        Charset::Ascii => tonic,
    }
}

/// Writes a key in words: `E minor`, `B♭ major`, `D dorian`.
pub(in crate::tab) fn key_in_words(key: Key, charset: Charset) -> String {
    format!("{} {}", tonic(key, charset), key.mode().name())
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
pub(in crate::tab) struct LineSigns {
    /// A string.
    pub(in crate::tab) string: char,
    /// A bar line.
    pub(in crate::tab) bar: &'static str,
    /// The line of a repeat.
    pub(in crate::tab) repeat: &'static str,
    /// Where a bar goes on in the next system.
    pub(in crate::tab) goes_on: &'static str,
}

/// Returns the line characters of `charset`.
pub(in crate::tab) const fn lines(charset: Charset) -> LineSigns {
    match charset {
        Charset::Utf8 => LineSigns { string: '─', bar: "│", repeat: "║", goes_on: "»" },
        Charset::Ascii => LineSigns { string: '-', bar: "|", repeat: "||", goes_on: ">" },
    }
}
