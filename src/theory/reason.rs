//! Reasons: why a reading has the name it has, in a player's words.

use super::context::Lowest;
use super::degree::Degree;
use super::formula::Formula;
use super::pitch::NoteName;
use super::quality::Quality;
use super::ranking::{Candidate, degree_at, is_power};
use super::reading_kind::ReadingKind;

/// Writes the reason for `candidate` of `quality` on `root` over `bass`; `lowest` says whether that is
/// heard as a bass.
pub(super) fn reason(
    candidate: &Candidate,
    quality: &Quality,
    root: NoteName,
    bass: NoteName,
    lowest: Lowest,
) -> String {
    let mut text = String::with_capacity(96);
    write(&mut text, candidate, quality, root, bass, lowest);
    text
}

fn write(text: &mut String, candidate: &Candidate, quality: &Quality, root: NoteName, bass: NoteName, lowest: Lowest) {
    match candidate.kind {
        ReadingKind::PowerChord if candidate.root == 0 => {
            text.push_str("root and fifth; no third, so neither major nor minor");
        }
        ReadingKind::PowerChord => {
            push(text, &["a fourth: the fifth of ", root.as_str(), " lies below its root"]);
        }
        ReadingKind::ForeignBass => {
            let is_triad =
                quality.formula.len() == 3 && quality.formula.has_number(5) && !quality.formula.has_number(7);
            let (triad, it) = if is_triad { (" triad", "it") } else { ("", "that chord") };
            let (root, bass) = (root.as_str(), bass.as_str());
            push(text, &[root, &quality.suffix, triad, " over ", bass, ": the bass is not part of ", it]);
            if !candidate.missing.is_empty() {
                text.push_str("; ");
                missing(text, candidate.missing, Silence::Plain);
            }
        }
        ReadingKind::Rootless => {
            missing(text, candidate.missing, Silence::Plain);
            let carried = quality.formula.without(candidate.missing);
            text.push_str("; ");
            carriers(text, carried);
            push(text, &[" where another instrument plays ", root.as_str()]);
        }
        ReadingKind::Note
        | ReadingKind::Interval
        | ReadingKind::Chord
        | ReadingKind::Inversion
        | ReadingKind::Cluster => {
            tones(text, candidate, quality);
            text.push_str("; ");
            let bass = degree_at(quality.formula, (12 - candidate.root) % 12).unwrap_or(Degree::ROOT);
            match (is_even(quality), candidate.root) {
                (true, 0) => text.push_str("each could be the root, so the bass decides"),
                (true, _) => {
                    push(text, &["the same chord, named from ", root.as_str(), " instead of its bass"]);
                }
                (false, _) => {
                    let place = match lowest {
                        Lowest::Bass => " in the bass",
                        Lowest::AnyTone | Lowest::HighTone => " is lowest, which makes no bass here",
                    };
                    push(text, &[degree_name(bass), place]);
                }
            }
        }
    }
}

fn push(text: &mut String, parts: &[&str]) {
    parts.iter().for_each(|part| text.push_str(part));
}

/// Returns whether all steps between the tones are alike, so that nothing but the bass tells the root.
fn is_even(quality: &Quality) -> bool {
    quality
        .folded
        .classes()
        .filter(|class| *class != 0)
        .all(|class| quality.folded.counted_from(class) == quality.folded)
        && !is_power(quality)
}

/// Says which tones sound, and what stands in for a third.
fn tones(text: &mut String, candidate: &Candidate, quality: &Quality) {
    let formula = quality.formula;
    let sounding = formula.without(candidate.missing);
    if let (2, Some(one), Some(other)) = (sounding.len(), sounding.degrees().next(), sounding.degrees().nth(1)) {
        push(text, &[degree_name(one), " and ", degree_name(other), " alone imply it; "]);
    }
    if candidate.missing.is_empty() {
        push(text, &["all ", count(formula.len()), " notes"]);
    } else {
        missing(text, candidate.missing, Silence::Explained);
    }
    text.push_str(match (formula.has_number(2), formula.has_number(4), formula.has_number(3)) {
        (true, true, _) => "; second and fourth in place of the third",
        (true, false, _) => "; the second in place of the third",
        (false, true, _) => "; the fourth in place of the third",
        (false, false, false) => "; no third, so neither major nor minor",
        (false, false, true) => "",
    });
    if !candidate.missing.is_empty() && (formula.has_number(13) || formula.has_number(11)) {
        text.push_str("; ");
        carriers(text, formula.without(candidate.missing));
    }
}

/// Whether silence is explained or only stated.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Silence {
    Explained,
    Plain,
}

fn missing(text: &mut String, missing: Formula, silence: Silence) {
    let fifth_only = missing.len() == 1 && missing.has_number(5);
    let third_too = missing.has_number(3);
    for (place, degree) in missing.degrees().enumerate() {
        let joint = match place {
            0 => "no ",
            _ if place + 1 == missing.len() => " or ",
            _ => ", ",
        };
        push(text, &[joint, degree_name(degree)]);
    }
    if silence == Silence::Explained && fifth_only {
        text.push_str(", which the ear hardly misses");
    } else if silence == Silence::Explained && third_too {
        text.push_str("; a third would rub against the eleventh");
    }
}

/// Names the tones by which the ear knows the chord.
fn carriers(text: &mut String, sounding: Formula) {
    let carry = |degree: &Degree| !matches!(degree.number(), 1 | 5) || degree.alteration() != 0;
    let count = sounding.degrees().filter(carry).count();
    for (place, degree) in sounding.degrees().filter(carry).enumerate() {
        let joint = match place {
            0 => "",
            _ if place + 1 == count => " and ",
            _ => ", ",
        };
        push(text, &[joint, degree_name(degree)]);
    }
    text.push_str(if count == 1 { " carries the name" } else { " carry the name" });
}

/// Returns what a player calls a degree of a chord; every word about one comes from here.
pub(crate) fn degree_name(degree: Degree) -> &'static str {
    match (degree.number(), degree.alteration()) {
        (1, _) => "root",
        (2, _) => "second",
        (3, _) => "third",
        (4, _) => "fourth",
        (5, -1) => "flat fifth",
        (5, 1) => "sharp fifth",
        (5, _) => "fifth",
        (6, -1) => "flat sixth",
        (6, _) => "sixth",
        (7, _) => "seventh",
        (9, -1) => "flat ninth",
        (9, 1) => "sharp ninth",
        (9, _) => "ninth",
        (11, 1) => "sharp eleventh",
        (11, _) => "eleventh",
        (13, -1) => "flat thirteenth",
        _ => "thirteenth",
    }
}

pub(crate) fn count(number: usize) -> &'static str {
    const WORDS: [&str; 13] =
        ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
    WORDS.get(number).copied().unwrap_or("many")
}
