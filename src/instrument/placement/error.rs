//! The reasons why a line cannot be placed, in a player's words.

use std::ops::RangeInclusive;

use super::board::LineBoard;
use super::candidates::HandTrouble;
use super::layers::Layer;
use super::line::{Limits, NoteSpot, NoteTarget, Pin, Slice, Touch, Wanted};
use crate::instrument::neck::{Fret, Place};
use crate::instrument::rig::Rig;
use crate::text::quote::quoted;
use crate::theory::pitch::{MidiNote, Pitch};

/// A line that cannot be placed, and why. Notes and slices count from 1 in the messages.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PlacementError {
    /// The instrument does not have the note.
    #[error("{}, {}, is not on the {instrument}, which sounds {} to {}{}", number(*.ordinal), Pitch::usual(*.note), Pitch::usual(*.range.start()), Pitch::usual(*.range.end()), nor_others(*.others))]
    OffTheNeck {
        /// The note.
        spot: NoteSpot,
        /// Its number in the line, counted from 0.
        ordinal: usize,
        /// What it is.
        note: MidiNote,
        /// What the instrument is called.
        instrument: String,
        /// The lowest and the highest note it has.
        range: RangeInclusive<MidiNote>,
        /// How many more notes of the line it does not have.
        others: usize,
    },
    /// The note exists, but not within the frets, the pin or the touch asked for.
    #[error("{}, {}, {asked}: it lies at {}", number(*.ordinal), Pitch::usual(*.note), listed(.places))]
    NotThere {
        /// The note.
        spot: NoteSpot,
        /// Its number in the line, counted from 0.
        ordinal: usize,
        /// What it is.
        note: MidiNote,
        /// What was asked and cannot be: `cannot be played on string 2`.
        asked: String,
        /// Where it can be played.
        places: Vec<Place>,
    },
    /// A given place is not on the instrument.
    #[error("{}, at {place}, is not on the {instrument}", number(*.ordinal))]
    NoSuchPlace {
        /// The note.
        spot: NoteSpot,
        /// Its number in the line, counted from 0.
        ordinal: usize,
        /// The place.
        place: Place,
        /// What the instrument is called.
        instrument: String,
    },
    /// More notes at once than there are strings.
    #[error("{} has {got} notes at once, and there are {strings} strings", chord(*.ordinal))]
    TooMany {
        /// The slice.
        slice: usize,
        /// The number of its first note in the line, counted from 0.
        ordinal: usize,
        /// How many notes start there.
        got: usize,
        /// How many strings there are.
        strings: usize,
    },
    /// Each note can be played, but not all of them at once.
    #[error("{}, {}, cannot be played at once{}: {}", chord(*.ordinal), .notes.join("+"), within(*.limits), if *.strings_clash { "two of its notes need one string" } else { "no hand reaches all of its notes" })]
    NoHand {
        /// The slice.
        slice: usize,
        /// The number of its first note in the line, counted from 0.
        ordinal: usize,
        /// Its notes.
        notes: Vec<String>,
        /// Whether the strings do not suffice; else it is the hand.
        strings_clash: bool,
        /// The frets that were allowed.
        limits: Limits,
    },
}

impl PlacementError {
    /// Returns the slice in which the trouble lies.
    pub fn slice(&self) -> usize {
        match self {
            Self::OffTheNeck { spot, .. } | Self::NotThere { spot, .. } | Self::NoSuchPlace { spot, .. } => spot.slice,
            Self::TooMany { slice, .. } | Self::NoHand { slice, .. } => *slice,
        }
    }

    /// Refuses notes that the instrument does not have, and moments with more notes than strings.
    ///
    /// Errors: the first such note or moment.
    pub(super) fn check(board: &LineBoard<'_>, line: &[Slice]) -> Result<(), Self> {
        let strings = board.rig.tuning().strings().len();
        let mut has = vec![false; usize::from(MidiNote::LAST) + 1];
        for note in (0..=MidiNote::LAST).filter_map(MidiNote::new) {
            if let Some(entry) = has.get_mut(usize::from(note.number())) {
                *entry = !board.rig.places(note).is_empty();
            }
        }
        let missing = |wanted: &Wanted| match wanted.target {
            NoteTarget::Pitch(note) => has.get(usize::from(note.number())).is_some_and(|has| !has).then_some(note),
            NoteTarget::At(_) => None,
        };
        let mut off: Option<(NoteSpot, usize, MidiNote)> = None;
        let mut count = 0;
        let mut ordinal = 0;
        for (slice, here) in line.iter().enumerate() {
            let got = here.notes.len();
            if got > strings {
                return Err(Self::TooMany { slice, ordinal, got, strings });
            }
            for (note, wanted) in here.notes.iter().enumerate() {
                if let Some(missing) = missing(wanted) {
                    off.get_or_insert((NoteSpot { slice, note }, ordinal, missing));
                    count += 1;
                }
                ordinal += 1;
            }
        }
        let Some((spot, ordinal, note)) = off else { return Ok(()) };
        let instrument = quoted(&board.rig.instrument().name);
        Err(Self::OffTheNeck { spot, ordinal, note, instrument, range: range(board.rig), others: count - 1 })
    }

    /// Makes the error for a layer that cannot be played.
    pub(super) fn of(trouble: HandTrouble, board: &LineBoard<'_>, line: &[Slice], layer: &Layer) -> Self {
        let slice = layer.slice;
        let first: usize = line.iter().take(slice).map(|slice| slice.notes.len()).sum();
        let item = match trouble {
            HandTrouble::NoPlace(place) => layer.items.get(place),
            HandTrouble::NoHand => None,
        };
        match item.map(|item| (item.spot, item.wanted)) {
            Some((spot, wanted)) => {
                let ordinal = first + spot.note;
                match wanted.target {
                    NoteTarget::At(place) => {
                        Self::NoSuchPlace { spot, ordinal, place, instrument: quoted(&board.rig.instrument().name) }
                    }
                    NoteTarget::Pitch(note) => Self::NotThere {
                        spot,
                        ordinal,
                        note,
                        asked: asked(wanted, board.limits),
                        places: board.places(wanted.target),
                    },
                }
            }
            None => {
                let wanted: Vec<Wanted> = line.get(slice).map(|slice| slice.notes.clone()).unwrap_or_default();
                let name = |wanted: &Wanted| match wanted.target {
                    NoteTarget::Pitch(note) => Pitch::usual(note).to_string(),
                    NoteTarget::At(place) => place.to_string(),
                };
                let strings_clash = !strings_suffice(board, &wanted);
                let notes = wanted.iter().map(name).collect();
                Self::NoHand { slice, ordinal: first, notes, strings_clash, limits: board.limits }
            }
        }
    }
}

/// Returns whether every note can have a string of its own, whatever the hand can do.
fn strings_suffice(board: &LineBoard<'_>, wanted: &[Wanted]) -> bool {
    fn fits(options: &[Vec<u8>], used: u32) -> bool {
        let Some((first, rest)) = options.split_first() else { return true };
        first.iter().any(|string| used & (1 << string) == 0 && fits(rest, used | (1 << string)))
    }
    let strings = |wanted: &Wanted| {
        board.spots(wanted.target, wanted.pin, wanted.touch).into_iter().map(|spot| spot.string).collect()
    };
    fits(&wanted.iter().map(strings).collect::<Vec<_>>(), 0)
}

/// Returns the lowest and the highest note of an instrument.
pub(super) fn range(rig: &Rig) -> RangeInclusive<MidiNote> {
    let lowest = rig.strings().filter_map(|string| rig.open(string)).map(Pitch::midi).min();
    let highest = rig.strings().filter_map(|string| rig.sounding(string, rig.last_fret(string)?).ok()).max();
    lowest.unwrap_or(MidiNote::A4)..=highest.unwrap_or(MidiNote::A4)
}

/// Returns why a note cannot be played as it was asked for: the rest of a sentence that begins with the name of the note.
fn asked(wanted: Wanted, limits: Limits) -> String {
    let Pin { string, fret, .. } = wanted.pin;
    let pin = match (string, fret) {
        (Some(string), Some(fret)) => format!("cannot be played on string {string} at fret {fret}"),
        (Some(string), None) => format!("cannot be played on string {string}{}", within(limits)),
        (None, Some(fret)) => format!("cannot be played at fret {fret}"),
        (None, None) => format!("cannot be played{}", within(limits)),
    };
    if wanted.touch == Touch::Stopped { format!("{pin} with a finger on it") } else { pin }
}

/// Returns the limits as a sentence ends with them; nothing where there are none.
fn within(limits: Limits) -> String {
    if limits == Limits::NONE { String::new() } else { format!(" within frets {}-{}", limits.lowest, limits.highest) }
}

/// Returns the places as a message lists them.
fn listed(places: &[Place]) -> String {
    let open = |place: &Place| match place.fret {
        Fret::OPEN => format!("string {} open", place.string),
        _ => place.to_string(),
    };
    places.iter().map(open).collect::<Vec<_>>().join("; ")
}

/// Returns how a message calls the note that is number `ordinal`, counted from 0.
fn number(ordinal: usize) -> String {
    format!("note {}", ordinal.saturating_add(1))
}

/// Returns how a message calls the chord whose first note is number `ordinal`, counted from 0.
fn chord(ordinal: usize) -> String {
    format!("the chord at note {}", ordinal.saturating_add(1))
}

/// Returns how a message goes on where the instrument lacks `count` more notes.
fn nor_others(count: usize) -> String {
    match count {
        0 => String::new(),
        1 => "; nor is one more note of the line".to_owned(),
        more => format!("; nor are {more} more notes of the line"),
    }
}
