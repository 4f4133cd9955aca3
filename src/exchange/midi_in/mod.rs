//! A Standard MIDI File (RP-001) becomes a line of notes on an exact musical grid.
//!
//! Start with [`read`]. `midly` takes the bytes apart; here the notes of one track are put together
//! (`parts`), tempo and meter are read, and everything is moved to the nearest place that can be written
//! (`grid`). What was moved is told.

mod grid;
mod parts;
#[cfg(test)]
mod tests;

use std::fmt;

use midly::{Format, Smf, Timing};

use crate::lesson::placing::timed::TimedLine;
use crate::text::quote::quoted;

/// Which notes of the file are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct TrackChoice {
    /// The track, counted from 1; without it, the only one that has notes.
    pub track: Option<usize>,
    /// The channel, 1 to 16; without it, all but the drums' (10).
    pub channel: Option<u8>,
}

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

/// A file from which no line can be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MidiError {
    /// It does not begin as such files do.
    #[error("this is no Standard MIDI File: it does not begin with `MThd`")]
    NotMidi,
    /// It ends too early.
    #[error("the file is cut off: {missing}; get it anew from where it came")]
    CutOff {
        /// What is missing.
        missing: String,
    },
    /// Something in it cannot be understood.
    #[error("the file is damaged: {reason}")]
    Damaged {
        /// What midly says of it.
        reason: String,
    },
    /// It counts time in frames.
    #[error(
        "the file counts time in film frames (SMPTE), which says nothing of beats and bars: save it with ticks per quarter note"
    )]
    Frames,
    /// There are no notes in it.
    #[error("there are no notes in the file{}", if *.drums { ", only drums on channel 10; choose them with `--channel 10` if they are meant" } else { "" })]
    NoNotes {
        /// Whether there are notes on the drums' channel.
        drums: bool,
    },
    /// Several tracks have notes, and none was chosen.
    #[error("several tracks have notes, choose one with `--track`: {}", listed(.tracks))]
    Several {
        /// The tracks with notes.
        tracks: Vec<TrackSummary>,
    },
    /// The chosen track or channel has no notes.
    #[error("{asked} has no notes; there are notes in {}", listed(.tracks))]
    NotThere {
        /// What was chosen: `track 3`, `channel 2`.
        asked: String,
        /// The tracks with notes.
        tracks: Vec<TrackSummary>,
    },
    /// It goes on for too long.
    #[error("the line is longer than {} bars", TimedLine::MOST_BARS)]
    TooLong,
}

/// A track with notes, for a message.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TrackSummary {
    /// Its number, counted from 1.
    pub number: usize,
    /// Its name, if it has one.
    pub name: Option<String>,
    /// How many notes it has.
    pub notes: usize,
    /// Their channels, counted from 1.
    pub channels: Vec<u8>,
}

impl fmt::Display for TrackSummary {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "track {}", self.number)?;
        if let Some(name) = &self.name {
            write!(f, " \"{}\"", quoted(name))?;
        }
        let channels: Vec<String> = self.channels.iter().map(u8::to_string).collect();
        let word = if channels.len() == 1 { "channel" } else { "channels" };
        let notes = if self.notes == 1 { "note" } else { "notes" };
        write!(f, " ({} {notes}, {word} {})", self.notes, channels.join(" "))
    }
}

/// How many tracks a message lists.
const MOST_LISTED: usize = 8;

fn listed(tracks: &[TrackSummary]) -> String {
    let mut text = tracks.iter().take(MOST_LISTED).map(TrackSummary::to_string).collect::<Vec<_>>().join("; ");
    if tracks.len() > MOST_LISTED {
        text.push_str(&format!("; and {} more", tracks.len() - MOST_LISTED));
    }
    text
}

/// Returns whether `bytes` begin as a Standard MIDI File does.
pub fn looks_like_midi(bytes: &[u8]) -> bool {
    bytes.starts_with(b"MThd")
}

/// Reads the chosen notes of a file.
///
/// - Input: the whole file, of format 0, 1 or 2; tracks of format 2 have each a time of their own.
/// - Errors: no such file, cut off or damaged, time in frames, no notes, a choice that has to be made.
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

/// Checks that every chunk is there in full: midly reads on where one is not.
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
