//! What the signs mean, in a player's words.

use std::collections::BTreeSet;

use crate::lesson::music::{Join, Stroke, Technique};
use crate::lesson::time::{Length, NoteValue};
use crate::tab::marks::REST_AGAIN;
use crate::tab::style::{LegendEntry, SignPlace};
use crate::text::charset::Charset;

use super::signs::{self, Stretch};

/// A sign that was used, in the order in which the legend lists them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Used {
    Value(NoteValue),
    Dot,
    /// Any length inside this tuplet.
    Tuplet(u8, u8),
    Rest,
    RestAgain,
    LowerVoice,
    Join(Join, char),
    /// With its amount or fret set to a fixed one.
    Technique(Technique),
    QuarterTone,
    Grace,
    SameString,
    Stretch(Stretch),
    Stroke(Stroke),
    FootNote,
    Repeat,
    RepeatTimes,
    Ending,
    GoesOn,
}

impl Used {
    /// Returns where the sign stands.
    const fn place(self) -> SignPlace {
        match self {
            Self::Value(_) | Self::Dot | Self::Tuplet(..) | Self::Rest | Self::RestAgain | Self::LowerVoice => {
                SignPlace::Lengths
            }
            Self::Join(..) | Self::Technique(_) | Self::QuarterTone | Self::Grace | Self::SameString => {
                SignPlace::Strings
            }
            Self::Stretch(_)
            | Self::Stroke(_)
            | Self::FootNote
            | Self::Repeat
            | Self::RepeatTimes
            | Self::Ending
            | Self::GoesOn => SignPlace::Around,
        }
    }
}

/// Notes what writing `length` takes.
pub(super) fn mark_length(length: Length, used: &mut BTreeSet<Used>) {
    used.insert(Used::Value(length.value()));
    if length.dots() > 0 {
        used.insert(Used::Dot);
    }
    if let Some(tuplet) = length.tuplet() {
        used.insert(Used::Tuplet(tuplet.actual, tuplet.normal));
    }
}

/// The signs that were used, of one passage or of several.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct UsedSigns(BTreeSet<Used>);

impl UsedSigns {
    pub(super) const fn new(used: BTreeSet<Used>) -> Self {
        Self(used)
    }

    /// Adds those of another passage.
    pub fn add(&mut self, other: Self) {
        self.0.extend(other.0);
    }

    /// Returns the legend of all of them, each once and related ones together.
    pub fn legend(&self, charset: Charset) -> Vec<LegendEntry> {
        entries(&self.0, charset)
    }
}

/// Returns the legend for the signs that were used.
fn entries(used: &BTreeSet<Used>, charset: Charset) -> Vec<LegendEntry> {
    used.iter()
        .map(|used| {
            let (sign, meaning) = explain(*used, charset);
            LegendEntry { place: used.place(), sign, meaning }
        })
        .collect()
}

/// Returns the sign and its meaning.
fn explain(used: Used, charset: Charset) -> (String, String) {
    let lines = signs::lines(charset);
    let fixed = |sign: &str, meaning: &str| (sign.to_owned(), meaning.to_owned());
    match used {
        Used::Value(value) => fixed(&signs::value_letter(value).to_string(), value_name(value)),
        Used::Dot => fixed("q.", "dotted: half as long again"),
        Used::Tuplet(actual, normal) => {
            let sign = if normal == signs::usual_normal(actual) {
                format!("e{actual}")
            } else {
                format!("e{actual}:{normal}")
            };
            (sign, format!("{actual} in the time of {normal}"))
        }
        Used::Rest => fixed("rq", "a rest of that length"),
        Used::RestAgain => fixed(REST_AGAIN, "a rest as long as the length before it"),
        Used::Join(join, sign) => {
            let next = match (join, sign) {
                (Join::Tie, _) => 7,
                (Join::PullOff, _) | (_, '\\') => 5,
                _ => 9,
            };
            (format!("7{sign}{next}"), join_meaning(join, sign).to_owned())
        }
        Used::Technique(technique) => {
            let (sign, meaning) = technique_meaning(technique);
            fixed(sign, meaning)
        }
        Used::QuarterTone => fixed("+", "after an amount: a quarter tone more"),
        Used::Stretch(stretch) => {
            let word = stretch.words().first().copied().unwrap_or_default();
            (format!("{word}{0}{0}{1}", lines.string, lines.bar), stretch_meaning(stretch).to_owned())
        }
        Used::Stroke(stroke) => fixed(signs::stroke(stroke, charset), stroke_meaning(stroke)),
        Used::Grace => fixed("3", "with no length over it: a grace note, just before the next"),
        Used::LowerVoice => {
            fixed("below", "lengths under the strings: a second voice, with the lowest note where both start")
        }
        Used::SameString => fixed("5&7", "two notes written for one string"),
        Used::FootNote => fixed("*1", "see the line under the system"),
        Used::Repeat => (format!("{0}: :{0}", lines.repeat), "repeat what stands between".to_owned()),
        Used::RepeatTimes => fixed("x3", "over a repeat: played that often in all"),
        Used::Ending => (format!("1.{0}{0}", lines.string), "ending, the first time only".to_owned()),
        Used::GoesOn => fixed(lines.goes_on, "the bar goes on in the next line"),
    }
}

/// Returns what players call a note value.
const fn value_name(value: NoteValue) -> &'static str {
    match value {
        NoteValue::Whole => "whole note",
        NoteValue::Half => "half note",
        NoteValue::Quarter => "quarter note",
        NoteValue::Eighth => "eighth note",
        NoteValue::Sixteenth => "sixteenth note",
        NoteValue::ThirtySecond => "thirty-second note",
        NoteValue::SixtyFourth => "sixty-fourth note",
    }
}

/// Returns what a sign between two notes means.
const fn join_meaning(join: Join, sign: char) -> &'static str {
    match (join, sign) {
        (Join::Tie, _) => "tie: hold on, do not play again",
        (Join::HammerOn, _) => "hammer-on to the next note",
        (Join::PullOff, _) => "pull-off to the next note",
        (Join::LegatoSlide, '\\') => "slide down to the next note",
        (Join::LegatoSlide, _) => "slide to the next note",
        (Join::ShiftSlide, _) => "slide to the next note and pick it",
    }
}

/// Returns the sign of a technique as the legend shows it, and what it means.
const fn technique_meaning(technique: Technique) -> (&'static str, &'static str) {
    match technique {
        Technique::SlideInFromBelow => ("//7", "slide in from below"),
        Technique::SlideInFromAbove => ("\\\\7", "slide in from above"),
        Technique::SlideOutDown => ("7\\\\", "slide out, down the neck"),
        Technique::SlideOutUp => ("7//", "slide out, up the neck"),
        Technique::Bend(_) => ("7b9", "bend up to the pitch of fret 9"),
        Technique::BendRelease(_) => ("7b9r7", "bend up and let down again"),
        Technique::PreBend(_) => ("7pb9", "bend first, then pick"),
        Technique::PreBendRelease(_) => ("7pb9r7", "bend first, pick, let down"),
        Technique::Vibrato => ("7~", "vibrato"),
        Technique::PalmMute => ("7.", "palm mute, this note only"),
        Technique::Dead => ("x", "dead note: a damped stroke"),
        Technique::Ghost => ("(7)", "ghost note: barely heard"),
        Technique::LetRing => ("7_", "let ring, this note only"),
        Technique::Trill(_) => ("7tr9", "trill with fret 9"),
        Technique::TremoloPicking => ("7:", "tremolo picking, this note only"),
        Technique::Tap => ("t7", "tap with the picking hand"),
        Technique::FrettingHandTap => ("h7", "tap with the fretting hand"),
        Technique::NaturalHarmonic => ("<12>", "natural harmonic"),
        Technique::TouchedHarmonic(_) => ("5[17]", "stop 5, touch over 17: harmonic"),
        Technique::PinchHarmonic => ("7!", "pinch harmonic"),
        Technique::TappedHarmonic(_) => ("5(17)", "stop 5, tap over 17: harmonic"),
        Technique::WhammyDip(_) => ("7v2", "bar: dip 2 half steps and back"),
        Technique::WhammyDive(_) => ("7d2", "bar: dive 2 half steps"),
    }
}

/// Returns what the line over a stretch means.
const fn stretch_meaning(stretch: Stretch) -> &'static str {
    match stretch {
        Stretch::PalmMute => "palm mute, as far as the line goes",
        Stretch::LetRing => "let ring, as far as the line goes (short: LR)",
        Stretch::TremoloPicking => "tremolo picking, as far as the line goes (short: TP)",
    }
}

/// Returns what a stroke sign means.
const fn stroke_meaning(stroke: Stroke) -> &'static str {
    match stroke {
        Stroke::Down => "down-stroke",
        Stroke::Up => "up-stroke",
        Stroke::RakeDown => "rake down into the note",
        Stroke::RakeUp => "rake up into the note",
        Stroke::ArpeggioDown => "slow strum down, string by string",
        Stroke::ArpeggioUp => "slow strum up, string by string",
    }
}
