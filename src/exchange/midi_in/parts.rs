//! The notes of the tracks, put together from their starts and ends.

use midly::{MetaMessage, MidiMessage, Smf, TrackEvent, TrackEventKind};

use super::choice::TrackChoice;
use super::error::{MidiError, TrackSummary};
use crate::theory::pitch::MidiNote;

/// The channel of the drums, counted from 0. Common practice (General MIDI); the number is from memory.
const DRUMS: u8 = 9;

/// A note in the file's own ticks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct RawNote {
    pub(super) start: u64,
    pub(super) end: u64,
    pub(super) channel: u8,
    pub(super) pitch: MidiNote,
}

/// The notes of one track, in the order of their starts, the lowest first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct TrackPart {
    pub(super) name: Option<String>,
    pub(super) notes: Vec<RawNote>,
    /// How many notes never end in the file.
    pub(super) endless: usize,
}

/// Returns the chosen notes and the track they are from, counted from 0.
pub(super) fn chosen(smf: &Smf<'_>, choice: TrackChoice) -> Result<(usize, TrackPart), MidiError> {
    let parts: Vec<TrackPart> = smf.tracks.iter().map(|track| part(track)).collect();
    let summaries = |keep: &dyn Fn(&RawNote) -> bool| -> Vec<TrackSummary> {
        parts.iter().enumerate().filter_map(|(place, part)| summary(place, part, keep)).collect()
    };
    let channel = choice.channel.map(|channel| channel.wrapping_sub(1));
    let wanted = |note: &RawNote| channel.map_or(note.channel != DRUMS, |channel| channel == note.channel);
    let any = |_: &RawNote| true;
    let with_notes = summaries(&wanted);
    let track = match (choice.track, with_notes.as_slice()) {
        (None, [only]) => only.number,
        (None, []) if choice.channel.is_none() || summaries(&any).is_empty() => {
            return Err(MidiError::NoNotes { drums: !summaries(&any).is_empty() });
        }
        (None, []) => {
            let asked = format!("channel {}", choice.channel.unwrap_or_default());
            return Err(MidiError::NotThere { asked, tracks: summaries(&any) });
        }
        (None, _) => return Err(MidiError::Several { tracks: with_notes }),
        (Some(track), known) if known.iter().any(|known| known.number == track) => track,
        (Some(track), _) => {
            let tracks = summaries(&any);
            if tracks.is_empty() {
                return Err(MidiError::NoNotes { drums: false });
            }
            let channel = choice.channel.map_or(String::new(), |channel| format!(", channel {channel},"));
            return Err(MidiError::NotThere { asked: format!("track {track}{channel}"), tracks });
        }
    };
    let part = track.checked_sub(1).and_then(|place| parts.get(place).map(|part| (place, part)));
    let (place, part) = part.ok_or(MidiError::NoNotes { drums: false })?;
    let notes = part.notes.iter().copied().filter(wanted).collect();
    Ok((place, TrackPart { notes, ..part.clone() }))
}

fn summary(place: usize, part: &TrackPart, keep: &dyn Fn(&RawNote) -> bool) -> Option<TrackSummary> {
    let mut channels: Vec<u8> = part.notes.iter().filter(|note| keep(note)).map(|note| note.channel + 1).collect();
    let notes = channels.len();
    channels.sort_unstable();
    channels.dedup();
    (notes > 0).then(|| TrackSummary { number: place + 1, name: part.name.clone(), notes, channels })
}

/// Puts the notes of a track together.
fn part(track: &[TrackEvent<'_>]) -> TrackPart {
    let mut part = TrackPart { name: None, notes: Vec::new(), endless: 0 };
    // The place of each sounding note in the list, by channel and key; the first to sound ends first.
    let mut sounding: Vec<(u8, u8, usize)> = Vec::new();
    let mut clock = 0u64;
    for event in track {
        clock = clock.saturating_add(u64::from(event.delta.as_int()));
        match event.kind {
            TrackEventKind::Midi { channel, message } => {
                let channel = channel.as_int();
                match message {
                    MidiMessage::NoteOn { key, vel } if vel.as_int() > 0 => {
                        if let Some(pitch) = MidiNote::new(key.as_int()) {
                            sounding.push((channel, key.as_int(), part.notes.len()));
                            part.notes.push(RawNote { start: clock, end: u64::MAX, channel, pitch });
                        }
                    }
                    MidiMessage::NoteOn { key, .. } | MidiMessage::NoteOff { key, .. } => {
                        let key = key.as_int();
                        let place = sounding.iter().position(|(on, sounds, _)| (*on, *sounds) == (channel, key));
                        if let Some(note) = place.and_then(|place| part.notes.get_mut(sounding.remove(place).2)) {
                            note.end = clock;
                        }
                    }
                    MidiMessage::Aftertouch { .. }
                    | MidiMessage::Controller { .. }
                    | MidiMessage::ProgramChange { .. }
                    | MidiMessage::ChannelAftertouch { .. }
                    | MidiMessage::PitchBend { .. } => {}
                }
            }
            TrackEventKind::Meta(MetaMessage::TrackName(name)) if part.name.is_none() => {
                let name = String::from_utf8_lossy(name).trim().to_owned();
                part.name = (!name.is_empty()).then_some(name);
            }
            _ => {}
        }
    }
    part.endless = sounding.len();
    for (.., place) in sounding {
        if let Some(note) = part.notes.get_mut(place) {
            note.end = clock.max(note.start);
        }
    }
    part.notes.sort_by_key(|note| (note.start, note.pitch));
    part
}
