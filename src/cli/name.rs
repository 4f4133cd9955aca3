//! `fingerpost name`: every sensible reading of a shape, best first.
//!
//! `namer` is what the shapes of one call share, `answer` the JSON of one shape, and `table` the text for people. The
//! readings themselves are found in `theory`.

use std::io::{self, Write};

use anyhow::Result;

use super::args::NameArgs;
use super::batch::{Answered, JsonLines, each_line};
use super::complaint::{refused, told};
use super::held_shape::OpenShapeAnswer;
use super::outcome::{Outcome, Streams};
use crate::instrument::neck::Shape;
use crate::instrument::voicing::open_shapes::OpenShape;
use crate::text::quote::quoted;
use crate::theory::reading::{Reading, readings_limited};

mod json;
mod namer;
mod table;

use json::{NameAnswer, ReadingAnswer};
use namer::{Namer, spelled};
use table::write_table;

/// Names the given shapes one after the other.
///
/// The outcome is [`Outcome::ProblemsFound`] when a line of a batch is not a shape; a shape on the command line that
/// cannot be read is an error.
///
/// Errors: an invalid tuning, instrument, capo, key, bass, chord or string, a shape that cannot be read, a batch that
/// cannot be read to its end, or output that cannot be written.
pub fn run(args: &NameArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let mut answers = Answers::new(args)?;
    match &args.batch {
        Some(path) => each_line(path, streams.input, streams.out, "shape", &mut |text, out| answers.write(text, out)),
        None => {
            let shapes = joined_frets(&args.shapes, answers.namer.rig.tuning().strings().len());
            answers.shapes(&shapes, streams.out)
        }
    }
}

/// Joins `x 3 2 0 1 0`, typed without quotes, into one shape. Other arguments stay as they are.
pub(super) fn joined_frets(arguments: &[String], strings: usize) -> Vec<String> {
    let lone = |text: &String| text.eq_ignore_ascii_case("x") || (text.len() <= 2 && text.parse::<u8>().is_ok());
    if arguments.len() == strings && arguments.iter().all(lone) {
        vec![arguments.join(" ")]
    } else {
        arguments.to_vec()
    }
}

/// Returns the message of what is wrong with a shape, which it names.
fn of_argument(text: &str, fault: anyhow::Error) -> String {
    let message = told(&fault);
    let shape = text.parse::<Shape>().map(|shape| format!("`{shape}`"));
    let is_named =
        message.contains(&format!("`{}`", quoted(text))) || shape.is_ok_and(|shape| message.contains(&shape));
    if is_named { message } else { format!("`{}`: {message}", quoted(text)) }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Format {
    Json,
    Table,
}

/// What is asked of all shapes of one call, and how they are answered.
struct Answers {
    namer: Namer,
    limit: usize,
    format: Format,
    lines: JsonLines,
}

impl Answers {
    fn new(args: &NameArgs) -> Result<Self> {
        Ok(Self {
            namer: Namer::new(args)?,
            limit: args.limit,
            format: if args.json { Format::Json } else { Format::Table },
            lines: JsonLines::default(),
        })
    }

    fn shapes(&mut self, shapes: &[String], out: &mut dyn Write) -> Result<Outcome> {
        let mut faults = Vec::new();
        let mut is_first = true;
        for text in shapes {
            let fault = self.namer.sounding(text).err();
            // A table leaves faults to the error.
            if fault.is_none() || self.format == Format::Json {
                if !is_first && self.format == Format::Table {
                    writeln!(out)?;
                }
                is_first = false;
                self.write(text, out)?;
            }
            faults.extend(fault.map(|fault| of_argument(text, fault)));
        }
        // The answers are printed whatever was wrong with one of the shapes.
        refused(&faults)?;
        Ok(Outcome::Fine)
    }

    fn write(&mut self, text: &str, out: &mut dyn Write) -> Result<Answered> {
        match self.format {
            Format::Json => Ok(self.write_json(text, out)?),
            Format::Table => write_table(&self.namer, self.limit, text, out),
        }
    }

    fn write_json(&mut self, text: &str, out: &mut dyn Write) -> io::Result<Answered> {
        let mut lines = std::mem::take(&mut self.lines);
        let answered = match self.namer.sounding(text) {
            Ok(sounding) => {
                let readings = readings_limited(&sounding.notes, &self.namer.context, self.limit);
                let open = self.namer.open_shapes.of(sounding.written.shape());
                let candidates = readings.iter().map(|reading| self.candidate(reading, open.as_ref())).collect();
                let notes = spelled(&sounding.notes, readings.first());
                let (decisions, _) = self.namer.weighed(&sounding);
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

    fn candidate<'a>(&self, reading: &'a Reading, open: Option<&OpenShape>) -> ReadingAnswer<'a> {
        // Of an open shape the reading says all.
        let open = open.filter(|open| open.is_elsewhere() && self.namer.is_made_by(reading, open));
        ReadingAnswer::new(reading, self.namer.played_as(reading), open.map(OpenShapeAnswer::new))
    }
}
