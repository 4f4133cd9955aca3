//! `fingerpost name`: every sensible reading of a shape, best first.
//!
//! `answer` is the JSON of one shape, and `table` is the text for people. The readings themselves are found in
//! `theory`.

use std::io::{self, Write};

use anyhow::{Context as _, Result, bail};

use super::args::NameArgs;
use super::batch::{Answered, JsonLines, each_line};
use super::complaint::told;
use super::held_shape::rig;
use super::outcome::{Outcome, Streams};
use crate::instrument::neck::StringNumber;
use crate::instrument::rig::Rig;
use crate::instrument::shape_text::WrittenShape;
use crate::text::quote::quoted;
use crate::theory::key::Key;
use crate::theory::pitch::{MidiNote, NoteName, Pitch};
use crate::theory::reading::{Context, Doubt, Lowest, Reading, readings_limited, readings_with_doubts};
use crate::theory::symbol::ChordSymbol;

mod answer;
mod table;

use answer::{NameAnswer, ReadingAnswer, Weighed, WrittenString};

/// Names the given shapes one after the other.
///
/// The outcome is [`Outcome::ProblemsFound`] when a line of a batch is not a shape; a shape on the command line that
/// cannot be read is an error.
///
/// Errors: an invalid tuning, instrument, capo, key, bass, chord or string, a shape that cannot be read, a batch that
/// cannot be read to its end, or output that cannot be written.
pub fn run(args: &NameArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let mut namer = Namer::new(args)?;
    match &args.batch {
        Some(path) => each_line(path, streams.input, streams.out, "shape", &mut |text, out| namer.write(text, out)),
        None => {
            let shapes = joined_frets(&args.shapes, namer.rig.tuning().strings().len());
            namer.shapes(&shapes, streams.out)
        }
    }
}

/// The longest text that is read as a shape, in bytes. A shape usually has about thirty.
const LONGEST_SHAPE: usize = 10_000;

/// Joins `x 3 2 0 1 0`, typed without quotes, into one shape. Other arguments stay as they are.
pub(super) fn joined_frets(arguments: &[String], strings: usize) -> Vec<String> {
    let lone = |text: &String| text.eq_ignore_ascii_case("x") || (text.len() <= 2 && text.parse::<u8>().is_ok());
    if arguments.len() == strings && arguments.iter().all(lone) {
        vec![arguments.join(" ")]
    } else {
        arguments.to_vec()
    }
}

/// The settings that all shapes of one call share.
struct Namer {
    rig: Rig,
    context: Context,
    /// The key that decides the spelling of names as played.
    key_as_played: Option<Key>,
    /// The indices, in a shape, of the strings that are in doubt in every shape.
    unsure: Vec<usize>,
    limit: usize,
    format: Format,
    lines: JsonLines,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Format {
    Json,
    Table,
}

/// A shape as written, and the notes that sound.
struct Sounding {
    written: WrittenShape,
    notes: Vec<Option<MidiNote>>,
}

impl Namer {
    fn new(args: &NameArgs) -> Result<Self> {
        let rig = rig(&args.rig)?;
        let context = Context {
            key: args.key.as_deref().map(str::parse).transpose()?,
            stated_bass: args.bass.as_deref().map(bass).transpose()?,
            previous: args.previous.as_deref().map(previous).transpose()?,
            lowest: if rig.is_reentrant() { Lowest::AnyTone } else { Lowest::Bass },
        };
        Ok(Self {
            key_as_played: context.key.map(|key| key.moved(-rig.played_as().semitones())),
            unsure: unsure(&args.unsure, &rig)?,
            context,
            rig,
            limit: args.limit,
            format: if args.json { Format::Json } else { Format::Table },
            lines: JsonLines::default(),
        })
    }

    fn shapes(&mut self, shapes: &[String], out: &mut dyn Write) -> Result<Outcome> {
        for (place, text) in shapes.iter().enumerate() {
            if place > 0 && self.format == Format::Table {
                writeln!(out)?;
            }
            self.write(text, out)?;
        }
        // The answers are printed whatever was wrong with one of the shapes; the first fault then becomes the error.
        for text in shapes {
            self.sounding(text).with_context(|| format!("`{}`", quoted(text)))?;
        }
        Ok(Outcome::Fine)
    }

    fn write(&mut self, text: &str, out: &mut dyn Write) -> Result<Answered> {
        match self.format {
            Format::Json => Ok(self.write_json(text, out)?),
            Format::Table => self.write_table(text, out),
        }
    }

    fn sounding(&self, text: &str) -> Result<Sounding> {
        let written = written(text)?;
        let notes = self.rig.notes(written.shape())?;
        Ok(Sounding { written, notes })
    }

    fn write_json(&mut self, text: &str, out: &mut dyn Write) -> io::Result<Answered> {
        let mut lines = std::mem::take(&mut self.lines);
        let answered = match self.sounding(text) {
            Ok(sounding) => {
                let readings = readings_limited(&sounding.notes, &self.context, self.limit);
                let candidates = readings.iter().map(|reading| self.candidate(reading)).collect();
                let notes = spelled(&sounding.notes, readings.first());
                let (decisions, _) = self.weighed(&sounding);
                lines.write(&NameAnswer::Named { shape: text, notes, candidates, decisions }, text, out)?;
                Answered::Yes
            }
            Err(error) => {
                lines.write(&NameAnswer::Refused { shape: text, error: told(&error) }, text, out)?;
                Answered::No
            }
        };
        self.lines = lines;
        Ok(answered)
    }

    fn candidate<'a>(&self, reading: &'a Reading) -> ReadingAnswer<'a> {
        ReadingAnswer::new(reading, self.played_as(reading))
    }

    /// Returns the name by the shape, where it differs from the name by the sound.
    fn played_as(&self, reading: &Reading) -> Option<String> {
        let down = -self.rig.played_as().semitones();
        (down != 0).then(|| reading.symbol_moved(down, self.key_as_played))
    }

    /// Returns what the strings in doubt decide (those marked in the shape and those of `--unsure`) and the readings
    /// without any of them. A muted string of `--unsure` may have been ringing open.
    fn weighed(&self, sounding: &Sounding) -> (Vec<Weighed>, Vec<Reading>) {
        let Sounding { written, notes } = sounding;
        if self.unsure.is_empty() && !written.doubts().contains(&Doubt::Unsure) {
            return Default::default();
        }
        let strings: Vec<Option<(MidiNote, Doubt)>> = notes
            .iter()
            .zip(written.doubts())
            .enumerate()
            .map(|(place, (note, doubt))| match (note, self.unsure.contains(&place)) {
                (Some(note), true) => Some((*note, Doubt::Unsure)),
                (Some(note), false) => Some((*note, *doubt)),
                (None, true) => {
                    self.rig.open(StringNumber::at(place, notes.len())?).map(|open| (open.midi(), Doubt::Unsure))
                }
                (None, false) => None,
            })
            .collect();
        let doubtful = readings_with_doubts(&strings, &self.context);
        let weighed = doubtful.decisions.into_iter().filter_map(|decision| {
            let string = StringNumber::at(decision.string, strings.len())?;
            let written =
                if notes.get(decision.string)?.is_some() { WrittenString::Sounding } else { WrittenString::Muted };
            Some(Weighed { string, written, decision })
        });
        (weighed.collect(), doubtful.sure_alone)
    }
}

fn bass(text: &str) -> Result<NoteName> {
    text.trim().parse().ok().with_context(|| {
        format!(
            "the bass `{}` is no note: expected a letter from A to G, sharps or flats, and no octave, as in `F#`",
            quoted(text)
        )
    })
}

fn previous(text: &str) -> Result<ChordSymbol> {
    text.parse().context("the chord before cannot be read")
}

/// Returns the indices, in a shape, of the strings of `--unsure`. Errors: the tuning has no such string.
fn unsure(strings: &[StringNumber], rig: &Rig) -> Result<Vec<usize>> {
    let count = rig.tuning().strings().len();
    let place = |string: &StringNumber| {
        string.index(count).with_context(|| {
            format!(
                "there is no string {string} to be unsure of: the tuning has strings 1 to {count} ({})",
                rig.tuning()
            )
        })
    };
    strings.iter().map(place).collect()
}

/// Reads a shape. A file made on Windows may begin with a byte order mark, which is not part of it. Errors: the text is
/// not a shape.
fn written(text: &str) -> Result<WrittenShape> {
    if text.len() > LONGEST_SHAPE {
        bail!("this is too long for a shape: expected a fret number or `x` for each string, some thirty characters");
    }
    Ok(text.trim_start_matches('\u{feff}').parse()?)
}

/// Returns the notes that sound, spelled as in the best reading and with octaves.
fn spelled(notes: &[Option<MidiNote>], best: Option<&Reading>) -> Vec<Option<Pitch>> {
    let names = best.map(|reading| reading.notes.as_slice()).unwrap_or_default();
    notes
        .iter()
        .enumerate()
        .map(|(place, note)| {
            let note = (*note)?;
            let name = names.get(place).copied().flatten().map(|tone| tone.name);
            Some(name.and_then(|name| Pitch::spelled(note, name)).unwrap_or_else(|| Pitch::usual(note)))
        })
        .collect()
}
