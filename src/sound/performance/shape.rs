//! Plays a shape for the ear, or the plain tones of a chord name. Written music is not played here; see
//! [`passage`](super::passage).

use super::manners::manners;
use super::sketch::Sketch;
use crate::instrument::neck::{Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::lesson::seconds::Seconds;
use crate::lesson::time::Ticks;
use crate::sound::score::{Drone, OpenString, Score, ScoreMark};
use crate::theory::pitch::{FinePitch, MidiNote, PitchClass};
use crate::theory::symbol::ChordSymbol;

/// The ways to play a shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Manner {
    /// One stroke crosses the strings toward the floor.
    StrumDown,
    /// One stroke crosses them toward the ceiling.
    StrumUp,
    /// Each note sounds apart, the lowest first.
    Slowly,
    /// All notes sound at once.
    Together,
    /// One string sounds alone.
    String(StringNumber),
    /// The lowest note sounds alone.
    Bass,
}

/// Returns the score of `shape` played on `rig`. `is_heard` says for each index in the shape whether that string is
/// heard.
pub fn shape(rig: &Rig, shape: &Shape, is_heard: impl Fn(usize) -> bool, manner: Manner) -> Score {
    let notes = rig.heard(shape);
    let pitches = notes.iter().enumerate().map(|(index, note)| note.filter(|_| is_heard(index)));
    pitches_on_strings(rig, &pitches.collect::<Vec<Option<MidiNote>>>(), manner)
}

fn pitches_on_strings(rig: &Rig, notes: &[Option<MidiNote>], manner: Manner) -> Score {
    let open = rig.strings().map(|string| rig.open(string).map_or(FinePitch(0.0), |pitch| pitch.midi().into()));
    let strings = open.map(|pitch| OpenString { pitch }).collect();
    let sounding: Vec<(usize, FinePitch)> =
        notes.iter().enumerate().filter_map(|(index, note)| note.map(|note| (index, note.into()))).collect();
    let chosen = |string: StringNumber| string.index(notes.len());
    played(strings, sounding, manner, chosen)
}

/// Returns the score of the tones of `symbol` in close position over its root, with its bass an octave below where the
/// name gives one. It plays what the name says, without any shape, around middle C.
pub fn plain_form(symbol: &ChordSymbol, manner: Manner) -> Score {
    let mut pitches = close_position(symbol);
    pitches.sort_unstable();
    let pitches: Vec<FinePitch> = pitches.into_iter().map(|pitch| FinePitch(f64::from(pitch))).collect();
    let strings = pitches.iter().map(|pitch| OpenString { pitch: *pitch }).collect();
    played(strings, pitches.into_iter().enumerate().collect(), manner, |_| None)
}

/// Returns the MIDI numbers of the tones, with the root in the octave below middle C.
fn close_position(symbol: &ChordSymbol) -> Vec<i16> {
    let root = 48 + i16::from(symbol.root().pitch_class().number());
    let above = |interval: i8| root + i16::from(interval);
    let mut pitches: Vec<i16> = symbol.formula().iter().map(|degree| above(degree.semitones())).collect();
    if let Some(bass) = symbol.bass() {
        let below = (root - i16::from(bass.pitch_class().number())).rem_euclid(12);
        pitches.push(root - if below == 0 { 12 } else { below });
    }
    pitches
}

fn played(
    strings: Vec<OpenString>,
    mut sounding: Vec<(usize, FinePitch)>,
    manner: Manner,
    chosen: impl Fn(StringNumber) -> Option<usize>,
) -> Score {
    let manners = manners();
    let step = match manner {
        Manner::StrumDown | Manner::StrumUp => manners.strum,
        Manner::Slowly => manners.slowly,
        Manner::Together | Manner::String(_) | Manner::Bass => Seconds::ZERO,
    };
    match manner {
        Manner::StrumDown | Manner::Together => {}
        Manner::StrumUp => sounding.reverse(),
        Manner::Slowly => sounding.sort_by(|one, other| one.1.0.total_cmp(&other.1.0)),
        Manner::String(string) => {
            let chosen = chosen(string);
            sounding.retain(|(index, _)| Some(*index) == chosen);
        }
        Manner::Bass => {
            let lowest = sounding.iter().copied().min_by(|one, other| one.1.0.total_cmp(&other.1.0));
            sounding = lowest.into_iter().collect();
        }
    }
    let note = |(number, (string, pitch)): (usize, &(usize, FinePitch))| {
        Sketch::plain(*string, (step * number as f64, Seconds::NEVER), *pitch, manners.plain).note()
    };
    let mut notes: Vec<_> = sounding.iter().enumerate().map(note).collect();
    notes.sort_by(|one, other| one.start.total_cmp(&other.start).then(one.string.cmp(&other.string)));
    let last = step * sounding.len().saturating_sub(1) as f64;
    let end = if sounding.is_empty() { Seconds::ZERO } else { last + manners.ring };
    // At the end the hand damps whatever still rings.
    notes.iter_mut().for_each(|note| note.end = end);
    let marks = vec![ScoreMark { at: Seconds::ZERO, passage: None, bar: None, called: None, tick: Ticks::ZERO }];
    Score { strings, notes, marks, end, ..Score::default() }
}

/// Returns `score` over a held bass note of the class `bass`, in the octave from E1 on.
pub fn over_a_drone(score: Score, bass: PitchClass) -> Score {
    let lowest = 28;
    let pitch = lowest + (i16::from(bass.number()) - lowest).rem_euclid(12);
    Score { drone: Some(Drone { pitch: FinePitch(f64::from(pitch)), strength: manners().drone }), ..score }
}
