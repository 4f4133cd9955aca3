//! Guesses a tuning from the labels of the strings.

use crate::instrument::catalogue;
use crate::instrument::tuning::Tuning;
use crate::theory::pitch::{NoteName, Pitch, PitchClass};

/// Returns a tuning for `labels` (highest string number first), and what was guessed about it.
pub(super) fn tuning(labels: &[String], known: Option<&Tuning>) -> (Option<Tuning>, Option<String>) {
    let names: Option<Vec<NoteName>> = labels.iter().map(|label| name(label)).collect();
    let Some(names) = names else {
        return match known.filter(|tuning| tuning.strings().len() == labels.len()) {
            Some(tuning) => (Some(tuning.clone()), None),
            None => unlabelled(labels.len()),
        };
    };
    let classes: Vec<PitchClass> = names.iter().map(|name| name.pitch_class()).collect();
    if let Some(tuning) = known.filter(|tuning| classes_of(tuning) == classes) {
        return (Some(tuning.clone()), None);
    }
    if let Some(found) = catalogue::tunings().iter().find(|found| classes_of(&found.notes) == classes) {
        return (Some(found.notes.clone()), None);
    }
    let Some(usual) = catalogue::tunings().iter().find(|found| found.notes.strings().len() == labels.len()) else {
        return (None, Some(format!("no usual tuning has {} strings, so the octaves are unknown", labels.len())));
    };
    let strings = names.iter().zip(usual.notes.strings()).map(|(name, usual)| nearest(*name, *usual));
    let tuning = strings.collect::<Option<Vec<Pitch>>>().and_then(Tuning::new);
    let message = "the labels name no usual tuning; each string was read in the octave nearest to the usual one";
    (tuning, Some(message.to_owned()))
}

/// Returns the usual tuning of so many strings.
fn unlabelled(strings: usize) -> (Option<Tuning>, Option<String>) {
    match catalogue::tunings().iter().find(|found| found.notes.strings().len() == strings) {
        Some(usual) => {
            let message = format!("no labels name the strings; {} was assumed", usual.notes);
            (Some(usual.notes.clone()), Some(message))
        }
        None => (None, Some(format!("no labels name the strings, and no usual tuning has {strings} of them"))),
    }
}

/// Reads a label as a note, in either case and with either kind of accidentals.
fn name(label: &str) -> Option<NoteName> {
    let plain = label.replace('♭', "b").replace('♯', "#");
    let plain = plain.trim_end_matches(|sign: char| sign.is_ascii_digit());
    let mut letters = plain.chars();
    let upper: String = letters.next()?.to_uppercase().chain(letters).collect();
    upper.parse().ok()
}

/// Returns the pitch classes of a tuning.
fn classes_of(tuning: &Tuning) -> Vec<PitchClass> {
    tuning.strings().iter().map(|pitch| pitch.pitch_class()).collect()
}

/// Returns `name` in the octave nearest to `usual`.
pub(super) fn nearest(name: NoteName, usual: Pitch) -> Option<Pitch> {
    let distance = |pitch: &Pitch| pitch.midi().number().abs_diff(usual.midi().number());
    (-1..=9).filter_map(|octave| Pitch::new(name, octave)).min_by_key(distance)
}

/// Returns the pitch class that a label names.
pub(super) fn class(label: &str) -> Option<PitchClass> {
    name(label).map(NoteName::pitch_class)
}

/// Returns whether strings with these labels, the highest string number first, can have `tuning`: labels that are no
/// notes fit any.
pub(super) fn agree(labels: &[String], tuning: &Tuning) -> bool {
    let classes = classes_of(tuning);
    let fits = |(label, own): (&String, &PitchClass)| class(label).is_none_or(|class| class == *own);
    labels.len() == classes.len() && labels.iter().zip(&classes).all(fits)
}

/// Returns the standard tuning of the instrument whose usual labels these are, or else of the first one with as many strings.
pub(super) fn usual(labels: &[String]) -> Option<Tuning> {
    let own = standard_of(labels.len()).find(|tuning| agree(labels, tuning));
    own.or_else(|| standard_of(labels.len()).next()).cloned()
}

/// Returns whether these are the labels that tab for some instrument usually has. They are printed by habit, whatever the tuning.
pub(super) fn are_usual(labels: &[String]) -> bool {
    standard_of(labels.len()).any(|tuning| agree(labels, tuning))
}

/// Returns the standard tunings of the instruments with so many strings.
fn standard_of(strings: usize) -> impl Iterator<Item = &'static Tuning> {
    let standard = catalogue::instruments().iter().filter_map(|known| catalogue::standard_tuning(&known.instrument));
    standard.map(|known| &known.notes).filter(move |tuning| tuning.strings().len() == strings)
}

/// Which string is on the top line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Order {
    /// String 1, as tab has it.
    FirstOnTop,
    /// The string with the highest number.
    LastOnTop,
    /// The labels do not tell.
    Unknown,
}

/// Returns what labels from the top line down tell by `written` or a usual tuning.
pub(super) fn order(from_the_top: &[String], written: Option<&Tuning>) -> Order {
    let Some(down) = from_the_top.iter().map(|label| class(label)).collect::<Option<Vec<PitchClass>>>() else {
        return Order::Unknown;
    };
    let up: Vec<PitchClass> = down.iter().rev().copied().collect();
    let of = |found: &[PitchClass]| match found {
        found if *found == up => Order::FirstOnTop,
        found if *found == down => Order::LastOnTop,
        _ => Order::Unknown,
    };
    if let Some(written) = written.map(|tuning| of(&classes_of(tuning))).filter(|order| *order != Order::Unknown) {
        return written;
    }
    let length = down.len();
    let alike = catalogue::tunings().iter().filter(|found| found.notes.strings().len() == length);
    let orders: Vec<Order> = alike.map(|found| of(&classes_of(&found.notes))).collect();
    let choices = [Order::FirstOnTop, Order::LastOnTop];
    choices.into_iter().find(|order| orders.contains(order)).unwrap_or(Order::Unknown)
}
