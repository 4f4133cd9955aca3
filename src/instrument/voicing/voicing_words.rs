//! What there is to say about a voicing, in a player's words.

use std::fmt::Write;

use super::found_voicing::FoundVoicing;
use super::open_shapes::OpenShapes;
use crate::instrument::hand::Finger;
use crate::instrument::neck::{Fret, Shape};
use crate::instrument::rig::Rig;
use crate::theory::degree::Degree;
use crate::theory::pitch::{MidiNote, NoteName, PitchClass};
use crate::theory::pitch_set::PitchSet;
use crate::theory::reading::Lowest;
use crate::theory::symbol::ChordSymbol;
use crate::theory::{count, degree_name};

/// Returns in words where `voicing` of `symbol` lies, which of the `open` shapes it comes from, how it is held, what it sounds
/// and what it leaves out, in that order.
pub fn why(rig: &Rig, symbol: &ChordSymbol, voicing: &FoundVoicing, open: &OpenShapes) -> String {
    let heard = rig.heard(&voicing.shape);
    let mut text = String::with_capacity(96);
    text.push_str(&position(voicing));
    if let Some(open) = open.of(&voicing.shape).and_then(|open| open.where_it_helps()) {
        let _ = write!(text, "; {open}");
    }
    if let Some(kind) = spacing(&heard, symbol) {
        let _ = write!(text, "; {kind}");
    }
    let _ = write!(text, "; {}", tones(&heard, symbol));
    if let Some(bass) = bass(rig, &heard, symbol) {
        let _ = write!(text, "; {bass}");
    }
    for note in hands(voicing) {
        let _ = write!(text, "; {note}");
    }
    text
}

/// Returns in words where the hand is, and where a finger lies over several strings.
fn position(voicing: &FoundVoicing) -> String {
    let stopped = || voicing.shape.strings().iter().flatten().filter(|fret| **fret != Fret::OPEN);
    let (Some(lowest), Some(highest)) = (stopped().min(), stopped().max()) else {
        return "open strings alone".to_owned();
    };
    let opens = voicing.shape.strings().contains(&Some(Fret::OPEN));
    match voicing.fingering.barre {
        Some(barre) if barre.fret == *lowest => format!("barre at fret {lowest}"),
        _ if opens && highest.number() <= 4 => "open position".to_owned(),
        _ if opens => format!("fret {lowest}, with open strings"),
        Some(barre) => format!("fret {lowest}, barre at fret {}", barre.fret),
        None => format!("fret {lowest}, no barre"),
    }
}

/// Returns what the trade calls the spacing of four voices, or of three that carry a seventh chord. The names are those
/// of arranging books: a drop 2 has the second voice from the top of a close chord an octave lower, a drop 3 the third.
fn spacing(heard: &[Option<MidiNote>], symbol: &ChordSymbol) -> Option<&'static str> {
    let mut notes: Vec<u8> = heard.iter().flatten().map(|note| note.number()).collect();
    notes.sort_unstable();
    let classes: PitchSet = heard.iter().flatten().map(|note| note.pitch_class()).collect();
    if symbol.bass().is_some() || classes.len() as usize != notes.len() {
        return None;
    }
    let has = |number: u8| symbol.formula().iter().find(|degree| degree.number() == number);
    if let ([_, _, _], Some(third), Some(seventh)) = (notes.as_slice(), has(3), has(7)) {
        let shell: PitchSet = [Degree::ROOT, *third, *seventh].into_iter().map(|degree| at(symbol, degree)).collect();
        return (classes == shell).then_some("shell: root, third and seventh");
    }
    let [a, b, c, d] = *notes.as_slice() else { return None };
    if d - a < 12 {
        return Some("close position");
    }
    let close = |mut voices: [u8; 4]| {
        voices.sort_unstable();
        voices[3] - voices[0] < 12
    };
    if close([a + 12, b, c, d]) {
        // Raised by an octave, the lowest voice comes to lie second or third from the top.
        return match [b, c, d].iter().filter(|voice| **voice > a + 12).count() {
            1 => Some("drop 2"),
            2 => Some("drop 3"),
            _ => None,
        };
    }
    None
}

/// Returns the pitch class of a degree over the root of `symbol`.
fn at(symbol: &ChordSymbol, degree: Degree) -> PitchClass {
    PitchClass::of(i32::from(symbol.root().pitch_class().number()) + i32::from(degree.semitones()))
}

/// Returns in words which tones of the chord sound.
fn tones(heard: &[Option<MidiNote>], symbol: &ChordSymbol) -> String {
    let sounding: PitchSet = heard.iter().flatten().map(|note| note.pitch_class()).collect();
    let silent: Vec<&str> = symbol
        .formula()
        .iter()
        .filter(|degree| !sounding.has(at(symbol, **degree).number()))
        .map(|degree| degree_name(*degree))
        .collect();
    match silent.as_slice() {
        [] if symbol.formula().len() == 2 => "both notes".to_owned(),
        [] => format!("all {} notes", count(symbol.formula().len())),
        [rest @ .., last] if !rest.is_empty() => format!("no {} or {last}", rest.join(", ")),
        [only] => format!("no {only}"),
        [..] => String::new(),
    }
}

/// Returns in words what lies lowest; `None` where nobody hears it as a bass.
fn bass(rig: &Rig, heard: &[Option<MidiNote>], symbol: &ChordSymbol) -> Option<String> {
    if rig.lowest_is() == Lowest::AnyTone {
        return None;
    }
    let lowest = heard.iter().flatten().min()?.pitch_class();
    if let Some(bass) = symbol.bass().filter(|bass| bass.pitch_class() == lowest) {
        return Some(format!("{bass} in the bass"));
    }
    let degree = symbol.formula().iter().find(|degree| at(symbol, **degree) == lowest)?;
    let rooted = heard.iter().flatten().any(|note| note.pitch_class() == symbol.root().pitch_class());
    let missing = if rooted { String::new() } else { format!("; leave {} to the bass player", symbol.root()) };
    Some(format!("{} in the bass{missing}", degree_name(*degree)))
}

/// Returns in words what the hands must take care of.
fn hands(voicing: &FoundVoicing) -> Vec<String> {
    let mut notes = Vec::new();
    match damped(&voicing.shape) {
        0 => {}
        1 => notes.push("one string muted between".to_owned()),
        several => notes.push(format!("{several} strings muted between")),
    }
    if voicing.fingering.fingers.contains(&Some(Finger::Thumb)) {
        notes.push("thumb over the neck".to_owned());
    }
    notes
}

/// Returns how many strings are muted between sounding ones.
fn damped(shape: &Shape) -> usize {
    let strings = shape.strings();
    let first = strings.iter().position(Option::is_some).unwrap_or(0);
    let last = strings.iter().rposition(Option::is_some).map_or(0, |last| last + 1);
    strings.get(first..last).unwrap_or_default().iter().filter(|fret| fret.is_none()).count()
}

/// Returns `symbol` over `bass`, or without a bass where that is its root; `None` where no symbol says that.
pub fn over(symbol: &ChordSymbol, bass: NoteName) -> Option<ChordSymbol> {
    let text = format!("{}{}", symbol.root(), symbol.suffix());
    if bass.pitch_class() == symbol.root().pitch_class() {
        return text.parse().ok();
    }
    format!("{text}/{bass}").parse().ok()
}
