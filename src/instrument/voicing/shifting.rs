//! Shifting: a shape as it is, further along the neck, over to the next strings, or into its next inversion.

use super::elsewhere::{ElsewhereError, hold};
use super::request::Request;
use crate::instrument::fingering::{Fingering, FingeringError};
use crate::instrument::hand::Hand;
use crate::instrument::neck::Shape;
use crate::instrument::rig::{NoteError, Rig};
use crate::theory::pitch::MidiNote;
use crate::theory::pitch_set::PitchSet;

/// A shape that was moved.
#[derive(Debug, Clone, PartialEq)]
pub struct ShiftedShape {
    /// Where it is now.
    pub shape: Shape,
    /// How it is held there, or why the hand cannot.
    pub fingering: Result<Fingering, FingeringError>,
}

/// Returns `shape` moved along the neck by `semitones`, toward the bridge if positive. Every string that sounds moves
/// by the same amount: an open string is stopped, and one that comes down to its beginning rings open. The name follows
/// with [`ChordSymbol::moved`](crate::theory::symbol::ChordSymbol::moved).
///
/// Errors: a shape that the rig cannot play; a string that has no such fret (past the end, before its beginning, or
/// behind the capo).
pub fn along(rig: &Rig, shape: &Shape, semitones: i32, hand: &Hand) -> Result<ShiftedShape, ElsewhereError> {
    let notes = rig.notes(shape)?.into_iter().map(|note| match note {
        None => Ok(None),
        Some(note) => note.up(semitones).map(Some).ok_or(ElsewhereError::Range),
    });
    let notes: Vec<Option<MidiNote>> = notes.collect::<Result<_, _>>()?;
    moved(rig, &notes, hand)
}

/// The way that a shape goes across the strings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StringWay {
    /// Toward string 1.
    TowardFirst,
    /// Away from string 1.
    AwayFromFirst,
}

/// Returns the shape that sounds the same pitches, each on the next string.
///
/// Errors: a shape that the rig cannot play; a string that does not have the note; no string beyond the last one
/// that sounds.
pub fn across(rig: &Rig, shape: &Shape, way: StringWay, hand: &Hand) -> Result<ShiftedShape, ElsewhereError> {
    let mut notes = rig.notes(shape)?;
    let pushed_off = match way {
        StringWay::TowardFirst => {
            notes.rotate_right(1);
            notes.first_mut()
        }
        StringWay::AwayFromFirst => {
            notes.rotate_left(1);
            notes.last_mut()
        }
    };
    if pushed_off.is_some_and(|note| note.is_some()) {
        return Err(ElsewhereError::NoString);
    }
    moved(rig, &notes, hand)
}

/// Returns the shape that sounds `notes`, a note for each string, and how `hand` holds it.
///
/// Errors: a string that does not have its note.
fn moved(rig: &Rig, notes: &[Option<MidiNote>], hand: &Hand) -> Result<ShiftedShape, ElsewhereError> {
    let shape = rig.shape_of(notes)?;
    let request = Request { hand: hand.clone(), ..Request::default() };
    let fingering = hold(rig, &shape, &request);
    Ok(ShiftedShape { shape, fingering })
}

/// The way that the voices go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VoiceDirection {
    /// Each to the next higher tone of the chord.
    Up,
    /// Each to the next lower tone of the chord.
    Down,
}

/// An inversion on the same strings.
#[derive(Debug, Clone, PartialEq)]
pub struct Inversion {
    /// Where the fingers are.
    pub shape: Shape,
    /// Which fingers they are.
    pub fingering: Fingering,
    /// Which inversion it is, counted from the shape on; above 1 where the nearer ones cannot be held.
    pub steps: u32,
}

/// Returns the next inversion on the same strings that the hand can hold: each voice goes to the next tone that
/// sounds in the chord, so that the same strings sound the same tones. (Common practice with close and drop
/// voicings, no published source.) After as many steps as there are tones the chord is an octave away.
///
/// Errors: a shape that the rig cannot play or that is silent; a string that does not have its next tone; no
/// inversion up to the octave that can be held within `request`, with the reason of the nearest.
pub fn next_inversion(
    rig: &Rig,
    shape: &Shape,
    way: VoiceDirection,
    request: &Request,
) -> Result<Inversion, ElsewhereError> {
    let mut notes = rig.notes(shape)?;
    let tones: PitchSet = notes.iter().flatten().map(|note| note.pitch_class()).collect();
    if tones.is_empty() {
        return Err(ElsewhereError::Silent);
    }
    let mut first_fault = None;
    for steps in 1..=tones.len() {
        for note in notes.iter_mut().flatten() {
            *note = next_tone(*note, tones, way).ok_or(ElsewhereError::Range)?;
        }
        let fault = match inverted(rig, &notes, request) {
            Ok((shape, fingering)) => return Ok(Inversion { shape, fingering, steps }),
            Err(fault) => fault,
        };
        let end = matches!(fault, ElsewhereError::Note(NoteError::NotThere { .. }));
        let fault = first_fault.get_or_insert(fault);
        if end {
            // Further on it only gets worse.
            return Err(fault.clone());
        }
    }
    Err(first_fault.unwrap_or(ElsewhereError::Nothing))
}

/// Returns the shape that sounds `notes`, a note for each string, and how it is held.
///
/// Errors: a string that does not have its note; a shape beyond what `request` allows.
fn inverted(rig: &Rig, notes: &[Option<MidiNote>], request: &Request) -> Result<(Shape, Fingering), ElsewhereError> {
    let shape = rig.shape_of(notes)?;
    if !shape.strings().iter().flatten().all(|fret| request.frets.contains(fret)) {
        return Err(ElsewhereError::Nothing);
    }
    let fingering = hold(rig, &shape, request)?;
    Ok((shape, fingering))
}

/// Returns the nearest note above or below `note` that is one of `tones`; `None` beyond what MIDI can write.
fn next_tone(note: MidiNote, tones: PitchSet, way: VoiceDirection) -> Option<MidiNote> {
    let step = match way {
        VoiceDirection::Up => 1,
        VoiceDirection::Down => -1,
    };
    (1..=12).filter_map(|semitones| note.up(step * semitones)).find(|next| tones.has(next.pitch_class().number()))
}
