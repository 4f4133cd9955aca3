//! Readings as JSON, remembered: shapes of a batch whose notes are alike have the same readings, but for which string has
//! which note of them. Most of the time of a batch goes into writing readings, and most shapes of a long one are alike.

use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::io;

use super::json::ReadingAnswer;
use super::namer::{Namer, Sounding};
use crate::cli::held_shape::OpenShapeAnswer;
use crate::theory::degree::Degree;
use crate::theory::pitch::{MidiNote, NoteName, Pitch, PitchClass};
use crate::theory::reading::{Likeness, Reading, readings_limited};

/// The most shapes, none like another, whose readings are remembered. With ten readings each they take some 30 MB.
const MOST: usize = 8192;

/// The readings of the shapes that were named last.
#[derive(Debug, Default)]
pub(super) struct Remembered {
    known: HashMap<Likeness, Vec<ReadingJson>>,
}

impl Remembered {
    /// Writes the answer for a shape about which nothing is in doubt, as [`NameAnswer`](super::json::NameAnswer) is written.
    ///
    /// Errors: none that a vector makes.
    pub(super) fn write(
        &mut self,
        (namer, limit): (&Namer, usize),
        (text, sounding, likeness): (&str, &Sounding, Likeness),
        line: &mut Vec<u8>,
    ) -> io::Result<()> {
        if self.known.len() >= MOST && !self.known.contains_key(&likeness) {
            self.known.clear();
        }
        let readings = match self.known.entry(likeness) {
            Entry::Occupied(known) => known.into_mut(),
            Entry::Vacant(place) => {
                let readings = readings_limited(&sounding.notes, &namer.context, limit);
                let written: io::Result<Vec<ReadingJson>> =
                    readings.iter().map(|reading| ReadingJson::new(reading, &sounding.notes, namer)).collect();
                place.insert(written?)
            }
        };
        let open = namer.open_shapes.of(sounding.written.shape());
        // Of an open shape the reading says all.
        let open = open.filter(|open| open.is_elsewhere());
        line.extend_from_slice(b"{\"shape\":");
        serde_json::to_writer(&mut *line, text)?;
        line.extend_from_slice(b",\"notes\":");
        let names = readings.first().map(|best| &best.names);
        write_list(&sounding.notes, line, |note, line| {
            let name = names.and_then(|names| names.of(note.pitch_class()));
            let pitch = name.and_then(|name| Pitch::spelled(note, name)).unwrap_or_else(|| Pitch::usual(note));
            line.extend_from_slice(pitch.name().as_str().as_bytes());
            line.extend_from_slice(octave(pitch).as_bytes());
        });
        line.extend_from_slice(b",\"candidates\":[");
        for (place, reading) in readings.iter().enumerate() {
            if place > 0 {
                line.push(b',');
            }
            line.extend_from_slice(&reading.head);
            write_list(&sounding.notes, line, |note, line| {
                let name = reading.names.of(note.pitch_class()).map_or("", NoteName::as_str);
                line.extend_from_slice(name.as_bytes());
            });
            line.extend_from_slice(&reading.tail);
            let is_made_by = |open: &&_| namer.is_made_of(reading.root, &reading.formula, open);
            if let Some(open) = open.as_ref().filter(is_made_by) {
                line.extend_from_slice(b",\"open_shape\":");
                serde_json::to_writer(&mut *line, &OpenShapeAnswer::new(open))?;
            }
            line.push(b'}');
        }
        line.extend_from_slice(b"]}");
        Ok(())
    }
}

/// Writes a list with a text for each string that sounds, of which there are some.
fn write_list(notes: &[Option<MidiNote>], line: &mut Vec<u8>, text: impl Fn(MidiNote, &mut Vec<u8>)) {
    for (place, note) in notes.iter().enumerate() {
        line.push(if place == 0 { b'[' } else { b',' });
        match note {
            Some(note) => {
                line.push(b'"');
                text(*note, line);
                line.push(b'"');
            }
            None => line.extend_from_slice(b"null"),
        }
    }
    line.push(b']');
}

/// Returns the octave as it is written.
fn octave(pitch: Pitch) -> &'static str {
    match pitch.octave() {
        -2 => "-2",
        -1 => "-1",
        0 => "0",
        1 => "1",
        2 => "2",
        3 => "3",
        4 => "4",
        5 => "5",
        6 => "6",
        7 => "7",
        8 => "8",
        9 => "9",
        _ => "10",
    }
}

/// One reading as it is written for every shape that is alike.
#[derive(Debug)]
struct ReadingJson {
    /// What comes before the notes of the strings.
    head: Box<[u8]>,
    /// What comes behind them, without the end.
    tail: Box<[u8]>,
    names: NamesOfClasses,
    root: Option<NoteName>,
    formula: Box<[Degree]>,
}

/// What each note that sounds is called in a reading.
#[derive(Debug)]
struct NamesOfClasses([Option<NoteName>; 12]);

impl NamesOfClasses {
    fn new(reading: &Reading, notes: &[Option<MidiNote>]) -> Self {
        let mut names = [None; 12];
        for (note, tone) in notes.iter().zip(&reading.notes) {
            if let (Some(note), Some(tone)) = (note, tone)
                && let Some(name) = names.get_mut(usize::from(note.pitch_class().number()))
            {
                *name = Some(tone.name);
            }
        }
        Self(names)
    }

    fn of(&self, class: PitchClass) -> Option<NoteName> {
        self.0.get(usize::from(class.number())).copied().flatten()
    }
}

/// The field behind which the notes of the strings stand.
const NOTES: &[u8] = b"\"notes\":";

impl ReadingJson {
    fn new(reading: &Reading, notes: &[Option<MidiNote>], namer: &Namer) -> io::Result<Self> {
        let names = NamesOfClasses::new(reading, notes);
        // Without a string, so that nothing but the two sides of the list is left.
        let bare = Reading { notes: Vec::new(), ..reading.clone() };
        let whole = serde_json::to_vec(&ReadingAnswer::new(&bare, namer.played_as(reading), None))?;
        let at = whole.windows(NOTES.len()).position(|field| field == NOTES).map_or(0, |at| at + NOTES.len());
        let (head, rest) = whole.split_at(at);
        let tail = rest.strip_prefix(b"[]").unwrap_or(rest);
        let tail = tail.strip_suffix(b"}").unwrap_or(tail);
        Ok(Self {
            head: head.into(),
            tail: tail.into(),
            names,
            root: reading.root,
            formula: reading.formula.clone().into(),
        })
    }
}
