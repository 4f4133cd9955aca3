//! Passing notes and ornaments inside a shape that is picked: a note hammered on and off again, a step to the neighbour note off the beat.
//!
//! The finger that plays them leaves its place in the shape only for that moment, so the shape goes on. Which of two notes is the chord's
//! own cannot be told from the two alone (B hammered on to C may be either); so a passage is flattened in several ways, and
//! those that ask look at each of them. Common practice of the trade, no published source.

use std::collections::HashMap;

use crate::instrument::neck::Fret;
use crate::lesson::music::{Event, Join, Note, Passage, Voice};
use crate::lesson::time::{Meter, Ticks};

/// Which notes are taken for ornaments.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ornament {
    /// What is hammered on, pulled off or slid to.
    Target,
    /// What that comes from.
    Source,
    /// A single note off the beat, a step from its neighbour on the string.
    OffBeat,
}

impl Ornament {
    /// All ways to take them.
    pub const ALL: [Self; 3] = [Self::Target, Self::Source, Self::OffBeat];
}

/// How far an ornament lies from its main note at most, in frets: a step.
const STEP: u8 = 2;
/// Of how many notes one may be an ornament; where there are more of them, they are a line.
const ONE_OF: usize = 4;

/// Returns the passage with a bar's few ornaments put on the fret of their main note, so that nothing moves; `None` where there are none.
pub fn flattened(passage: &Passage, which: Ornament) -> Option<Passage> {
    let mut meter = passage.meter;
    let mut moved: Vec<(usize, usize, Moves)> = Vec::new();
    for (index, bar) in passage.bars.iter().enumerate() {
        meter = bar.meter.unwrap_or(meter);
        for (place, voice) in bar.voices.iter().enumerate() {
            let moves = ornaments(voice, meter, which);
            let events = voice.0.iter().filter(|event| !event.is_rest()).count();
            if !moves.is_empty() && moves.len() * ONE_OF <= events {
                moved.push((index, place, moves));
            }
        }
    }
    if moved.is_empty() {
        return None;
    }
    let mut flat = passage.clone();
    for (bar, voice, moves) in moved {
        let Some(voice) = flat.bars.get_mut(bar).and_then(|bar| bar.voices.get_mut(voice)) else { continue };
        for ((event, note), fret) in moves {
            if let Some(note) = voice.0.get_mut(event).and_then(|event| event.notes.get_mut(note)) {
                note.fret = fret;
            }
        }
    }
    Some(flat)
}

/// The frets to which notes go: by the index of the event and that of the note in it.
type Moves = HashMap<(usize, usize), Fret>;

/// A note with its place in a voice.
struct NoteOnString<'a> {
    event: usize,
    note: usize,
    start: Ticks,
    played: &'a Event,
    says: &'a Note,
}

fn ornaments(voice: &Voice, meter: Meter, which: Ornament) -> Moves {
    let mut strings: HashMap<_, Vec<NoteOnString<'_>>> = HashMap::new();
    for (event, (start, played)) in voice.timed().enumerate() {
        for (note, says) in played.notes.iter().enumerate() {
            strings.entry(says.string).or_default().push(NoteOnString { event, note, start, played, says });
        }
    }
    let mut moves = Moves::new();
    for pair in strings.values().flat_map(|notes| notes.windows(2)) {
        let [before, behind] = pair else { continue };
        let is_step = (1..=STEP).contains(&before.says.fret.number().abs_diff(behind.says.fret.number()));
        let is_led = matches!(before.says.join, Some(Join::HammerOn | Join::PullOff | Join::Slide));
        if !is_step {
            continue;
        }
        let (from, to) = match which {
            Ornament::Target if is_led && behind.is_short(meter) => (before, behind),
            Ornament::Source if is_led && before.is_short(meter) => (behind, before),
            // Of two off the beat the one before stays.
            Ornament::OffBeat if behind.is_off_beat(meter) && !before.is_off_beat(meter) => (before, behind),
            Ornament::OffBeat if before.is_off_beat(meter) && !behind.is_off_beat(meter) => (behind, before),
            Ornament::Target | Ornament::Source | Ornament::OffBeat => continue,
        };
        let main = moves.get(&(from.event, from.note)).copied().unwrap_or(from.says.fret);
        moves.entry((to.event, to.note)).or_insert(main);
    }
    moves
}

impl NoteOnString<'_> {
    /// Returns whether it lasts no longer than a beat.
    fn is_short(&self, meter: Meter) -> bool {
        self.played.length.ticks() <= meter.beat()
    }

    /// Returns whether it is a single note between two beats, shorter than one.
    fn is_off_beat(&self, meter: Meter) -> bool {
        let beat = meter.beat();
        self.played.notes.len() == 1 && self.played.length.ticks() < beat && !self.start.0.is_multiple_of(beat.0.max(1))
    }
}
