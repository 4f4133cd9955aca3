//! Turns a Standard MIDI File (RP-001) into a line of notes on an exact musical grid.
//!
//! Start with [`read`]. `midly` takes the bytes apart; here the notes of one track are put together
//! (`parts`), tempo and meter are read, and everything is moved to the nearest place that can be written
//! (`grid`). The remarks tell what was moved. Which notes are wanted is a `choice`; why there are none is an `error`.

mod choice;
mod error;
mod grid;
mod parts;
#[cfg(test)]
mod tests;

pub use choice::TrackChoice;
pub use error::{MidiError, TrackSummary};

use midly::{Format, Smf, Timing};

use crate::lesson::placing::timed::TimedLine;
use crate::text::quote::quoted;

/// What a file holds of the notes that were chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MidiLine {
    /// The notes, with meters and tempos.
    pub line: TimedLine,
    /// The name of the track, if it has one.
    pub name: Option<String>,
    /// What was rounded, moved or left out, in words.
    pub remarks: Vec<String>,
}

/// Returns whether `bytes` begin as a Standard MIDI File does.
pub fn looks_like_midi(bytes: &[u8]) -> bool {
    bytes.starts_with(b"MThd")
}

/// Reads the chosen notes of a file.
///
/// - Input: the whole file, of format 0, 1 or 2. In format 2 each track has a time of its own.
/// - Errors: the bytes are no such file, are cut off or damaged, count time in frames or hold no notes, or a
///   track has to be chosen.
/// - Source: RP-001 "Standard MIDI Files 1.0", revised February 1996.
pub fn read(bytes: &[u8], choice: TrackChoice) -> Result<MidiLine, MidiError> {
    check_chunks(bytes)?;
    let damaged = |error: midly::Error| MidiError::Damaged { reason: quoted(&error.to_string()) };
    let smf = Smf::parse(bytes).map_err(damaged)?;
    let Timing::Metrical(division) = smf.header.timing else { return Err(MidiError::Frames) };
    let division = u64::from(division.as_int());
    if division == 0 {
        return Err(MidiError::Damaged { reason: "it has 0 ticks a quarter note".to_owned() });
    }
    let (track, part) = parts::chosen(&smf, choice)?;
    let timing: Vec<_> = match smf.header.format {
        Format::Sequential => smf.tracks.iter().skip(track).take(1).collect(),
        Format::SingleTrack | Format::Parallel => smf.tracks.iter().collect(),
    };
    let (line, remarks) = grid::line(&part, &timing, division)?;
    Ok(MidiLine { line, name: part.name, remarks })
}

/// Checks that every chunk is there in full and that time is not counted in frames, because midly reads on where one is not,
/// and overflows where the frames of a second are none.
fn check_chunks(bytes: &[u8]) -> Result<(), MidiError> {
    if !looks_like_midi(bytes) {
        return Err(MidiError::NotMidi);
    }
    let cut_off = |missing: String| MidiError::CutOff { missing };
    let number = |at: usize, length: usize| -> Option<usize> {
        let digits = bytes.get(at..at.checked_add(length)?)?;
        digits.iter().try_fold(0usize, |sum, byte| sum.checked_mul(256)?.checked_add(usize::from(*byte)))
    };
    let head = number(4, 4).filter(|head| *head >= 6 && bytes.len() >= head.saturating_add(8));
    let head = head.ok_or_else(|| cut_off("its head is not complete".to_owned()))?;
    // The reader works out how many frames there are without a look at whether that can be.
    if bytes.get(12).is_some_and(|division| *division >= 0x80) {
        return Err(MidiError::Frames);
    }
    let tracks = number(10, 2).unwrap_or_default();
    let mut at = head + 8;
    let mut seen = 0;
    while at < bytes.len() && seen < tracks {
        let is_track = bytes.get(at..at + 4) == Some(b"MTrk");
        let length = number(at + 4, 4).ok_or_else(|| cut_off(format!("{seen} of {tracks} tracks are complete")))?;
        at = at.saturating_add(8).saturating_add(length);
        if at > bytes.len() {
            return Err(cut_off(format!("{seen} of {tracks} tracks are complete")));
        }
        seen += usize::from(is_track);
    }
    if seen < tracks {
        return Err(cut_off(format!("{seen} of {tracks} tracks are there")));
    }
    Ok(())
}
