//! Why no line can be read from a file.

use std::fmt;

use crate::lesson::placing::timed::TimedLine;
use crate::text::quote::quoted;

/// Why no line can be read from a file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MidiError {
    /// It does not begin as such files do.
    #[error("this is not a Standard MIDI File: it does not begin with `MThd`")]
    NotMidi,
    /// It ends too early.
    #[error("the file is cut off: {missing}; get a fresh copy of it")]
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
        let more = tracks.len() - MOST_LISTED;
        text.push_str(&format!("; and {more} more track{}", if more == 1 { "" } else { "s" }));
    }
    text
}
