//! What the signs mean, in a player's words.

use std::collections::BTreeSet;

use crate::lesson::music::{Join, Stroke, Technique};
use crate::lesson::time::{Length, NoteValue};
use crate::tab::marks::REST_AGAIN;
use crate::tab::style::{LegendEntry, SignPlace};
use crate::text::charset::Charset;

use crate::tab::signs::{self, StretchSign};

/// A sign that was used, in the order in which the legend lists them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Used {
    Value(NoteValue),
    /// So many dots behind a note value. Of those that differ only in their value one is explained, and so it is with tuplets and rests.
    Dots(u8, NoteValue),
    /// Any length inside this tuplet, and the value of one.
    Tuplet(u8, u8, NoteValue),
    Rest(Length),
    RestAgain,
    LowerVoice,
    BarNumber,
    Join(Join, char),
    /// A note that is tied to one before the bar line.
    TiedOver,
    /// The technique, with its amount or fret set to a fixed one.
    Technique(Technique),
    /// A bend by a part of a whole step.
    PartOfStep,
    BendToPitch,
    QuarterTone,
    Grace,
    SameString,
    Stretch(StretchSign),
    Stroke(Stroke),
    FootNote,
    Repeat,
    RepeatTimes,
    Ending,
    GoesOn,
    /// A tempo over a bar, counted in this note value with so many dots.
    Tempo(NoteValue, u8),
    NoChord,
    Count,
    CountInThrees,
}

impl Used {
    /// Returns where the sign stands.
    const fn place(self) -> SignPlace {
        match self {
            Self::Value(_)
            | Self::Dots(..)
            | Self::Tuplet(..)
            | Self::Rest(_)
            | Self::RestAgain
            | Self::LowerVoice
            | Self::BarNumber => SignPlace::Lengths,
            Self::Join(..)
            | Self::TiedOver
            | Self::Technique(_)
            | Self::PartOfStep
            | Self::BendToPitch
            | Self::QuarterTone
            | Self::Grace
            | Self::SameString => SignPlace::Strings,
            Self::Stretch(_)
            | Self::Stroke(_)
            | Self::FootNote
            | Self::Repeat
            | Self::RepeatTimes
            | Self::Ending
            | Self::GoesOn
            | Self::Tempo(..)
            | Self::NoChord
            | Self::Count
            | Self::CountInThrees => SignPlace::Around,
        }
    }

    /// Returns whether the same is explained for both: they differ in what stands for an example.
    fn is_like(self, other: Self) -> bool {
        match (self, other) {
            (Self::Dots(one, _), Self::Dots(other, _)) => one == other,
            (Self::Tuplet(actual, normal, _), Self::Tuplet(other, others, _)) => (actual, normal) == (other, others),
            (Self::Rest(_), Self::Rest(_)) => true,
            (one, other) => one == other,
        }
    }

    /// Returns how odd it is as an example of its like: whether it is in a tuplet, how many dots it has, how far it is from a quarter.
    const fn oddity(self) -> (bool, u8, u8) {
        let (tuplet, dots, value) = if let Self::Rest(length) = self {
            (length.tuplet().is_some(), length.dots(), length.value())
        } else if let Self::Dots(_, value) | Self::Tuplet(_, _, value) = self {
            (false, 0, value)
        } else {
            return (false, 0, 0);
        };
        let far = match value {
            NoteValue::Quarter => 0,
            NoteValue::Eighth => 1,
            NoteValue::Half => 2,
            NoteValue::Sixteenth => 3,
            NoteValue::Whole => 4,
            NoteValue::ThirtySecond => 5,
            NoteValue::SixtyFourth => 6,
        };
        (tuplet, dots, far)
    }
}

/// Notes what writing `length` takes.
pub(super) fn mark_length(length: Length, used: &mut BTreeSet<Used>) {
    used.insert(Used::Value(length.value()));
    if length.dots() > 0 {
        used.insert(Used::Dots(length.dots(), length.value()));
    }
    if let Some(tuplet) = length.tuplet() {
        used.insert(Used::Tuplet(tuplet.actual, tuplet.normal, length.value()));
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

    /// Returns the legend of all signs, each once and related ones together, without the bar numbers and the count,
    /// which stand in every line.
    pub fn legend(&self, charset: Charset) -> Vec<LegendEntry> {
        entries(self.0.iter().filter(|used| !matches!(used, Used::BarNumber | Used::Count)), charset)
    }

    /// Returns the legend for a sheet of paper, of which the reader may know nothing: with the bar numbers and the count.
    pub fn legend_on_paper(&self, charset: Charset) -> Vec<LegendEntry> {
        entries(self.0.iter(), charset)
    }
}

/// Returns the legend for the signs that were used.
fn entries<'a>(used: impl Iterator<Item = &'a Used>, charset: Charset) -> Vec<LegendEntry> {
    let used: Vec<&Used> = used.collect();
    let alike = used.chunk_by(|one, other| one.is_like(**other));
    let used: Vec<&Used> = alike.filter_map(|alike| alike.iter().copied().min_by_key(|used| used.oddity())).collect();
    let has_ties = used.iter().any(|used| matches!(used, Used::TiedOver | Used::Join(Join::Tie, _)));
    used.into_iter()
        .map(|used| {
            let (sign, mut meaning) = explain(*used, charset);
            // What is tied to stands in the same brackets.
            if has_ties && matches!(used, Used::Technique(Technique::Ghost)) {
                meaning.push_str(", where no tie = leads to it");
            }
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
        Used::Dots(dots, value) => {
            let sign = format!("{}{}", signs::value_letter(value), ".".repeat(dots.into()));
            let meaning =
                if dots == 1 { "dotted: half as long again" } else { "two dots: three quarters as long again" };
            (sign, meaning.to_owned())
        }
        Used::Tuplet(actual, normal, value) => {
            let letter = signs::value_letter(value);
            let sign = if normal == signs::usual_normal(actual) {
                format!("{letter}{actual}")
            } else {
                format!("{letter}{actual}:{normal}")
            };
            (sign, format!("{actual} in the time of {normal}"))
        }
        Used::Rest(length) => (format!("r{}", signs::length(length)), "a rest of that length".to_owned()),
        Used::RestAgain => fixed(REST_AGAIN, "a rest as long as the length before it"),
        Used::Join(join, sign) => {
            let row = join.row();
            let known = row.falling.filter(|falling| falling.sign == sign).unwrap_or(row.sign);
            fixed(known.example, known.meaning)
        }
        Used::TiedOver => {
            (format!("={}(7)", lines.bar), "tie over a bar line: still held, not picked again".to_owned())
        }
        Used::Technique(technique) => {
            let row = technique.row();
            fixed(row.example, row.meaning)
        }
        Used::PartOfStep => fixed("b1/2", "bend by a half step (1/4: by a quarter tone)"),
        Used::BendToPitch => fixed("7b9", "short for a bend: up to the pitch of fret 9 (7b9r7: and back)"),
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
        Used::Repeat => (format!("{0}: :{0}", lines.repeat), "repeat".to_owned()),
        Used::RepeatTimes => fixed("x3", "over a repeat: played that often in all"),
        Used::Ending => (format!("1.{0}{0}", lines.string), "ending, the first time only".to_owned()),
        Used::BarNumber => fixed("1", "at the left: the number of the first bar of the line"),
        Used::Tempo(value, dots) => {
            let letter = signs::value_letter(value);
            let dotted = if dots == 0 { "" } else { "dotted " };
            let sign = format!("{letter}{}=92", ".".repeat(dots.into()));
            (sign, format!("from here on 92 {dotted}{}s a minute", value_name(value)))
        }
        Used::NoChord => fixed("N.C.", "no chord, until the next name"),
        Used::Count => fixed("1 & 2 &", "under the tab: count this aloud"),
        Used::CountInThrees => fixed("1 la li", "the count of a triplet"),
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

/// Returns what the line over a stretch means.
const fn stretch_meaning(stretch: StretchSign) -> &'static str {
    match stretch {
        StretchSign::PalmMute => "palm mute, as far as the line goes (short: PM)",
        StretchSign::LetRing => "let ring, as far as the line goes (short: LR)",
        StretchSign::TremoloPicking => "tremolo picking, as far as the line goes (short: TP)",
        StretchSign::PinchHarmonic => "pinch harmonics, as far as the line goes",
    }
}

/// Returns what a stroke sign means.
const fn stroke_meaning(stroke: Stroke) -> &'static str {
    match stroke {
        Stroke::Down => "pick stroke down",
        Stroke::Up => "pick stroke up",
        Stroke::RakeDown => "rake down into the note",
        Stroke::RakeUp => "rake up into the note",
        Stroke::ArpeggioDown => "rolled chord (arpeggio), down",
        Stroke::ArpeggioUp => "rolled chord (arpeggio), up",
    }
}
