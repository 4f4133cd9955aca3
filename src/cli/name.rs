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
mod remembered;
mod table;

use json::{NameAnswer, ReadingAnswer};
use namer::{Namer, Sounding, spelled};
use remembered::Remembered;
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
    remembered: Remembered,
}

impl Answers {
    fn new(args: &NameArgs) -> Result<Self> {
        Ok(Self {
            namer: Namer::new(args)?,
            limit: args.limit,
            format: if args.json { Format::Json } else { Format::Table },
            lines: JsonLines::default(),
            remembered: Remembered::default(),
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
                match self.namer.likeness(&sounding) {
                    Some(likeness) => {
                        let (asked, shape) = ((&self.namer, self.limit), (text, &sounding, likeness));
                        lines.write_with(text, out, |line| self.remembered.write(asked, shape, line))?;
                    }
                    None => {
                        let readings = readings_limited(&sounding.notes, &self.namer.context, self.limit);
                        lines.write(&self.answer(text, &sounding, &readings), text, out)?;
                    }
                }
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

    fn answer<'a>(&self, text: &'a str, sounding: &Sounding, readings: &'a [Reading]) -> NameAnswer<'a> {
        let open = self.namer.open_shapes.of(sounding.written.shape());
        let candidates = readings.iter().map(|reading| self.candidate(reading, open.as_ref())).collect();
        let notes = spelled(&sounding.notes, readings.first());
        let (decisions, _) = self.namer.weighed(sounding);
        NameAnswer::Named { shape: text, notes, candidates, decisions }
    }

    fn candidate<'a>(&self, reading: &'a Reading, open: Option<&OpenShape>) -> ReadingAnswer<'a> {
        // Of an open shape the reading says all.
        let open = open.filter(|open| open.is_elsewhere() && self.namer.is_made_by(reading, open));
        ReadingAnswer::new(reading, self.namer.played_as(reading), open.map(OpenShapeAnswer::new))
    }
}

#[cfg(test)]
mod tests {
    use clap::Parser;

    use super::*;

    #[derive(Parser)]
    struct Line {
        #[command(flatten)]
        name: NameArgs,
    }

    /// Shapes that follow one another in no order, the same ones each time.
    fn shapes(strings: usize, count: usize) -> impl Iterator<Item = String> {
        let mut state = 12_345_u64;
        let mut draw = move |sides: u64| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) % sides
        };
        let string = move || match draw(14) {
            0 | 1 => "x".to_owned(),
            fret => (fret - 2).to_string(),
        };
        let mut string = string;
        (0..count).map(move |_| (0..strings).map(|_| string()).collect::<Vec<String>>().join(" "))
    }

    #[test]
    fn what_is_remembered_is_written_as_what_is_found_anew_byte_for_byte() {
        for (options, strings) in [
            ("", 6),
            ("--limit 1", 6),
            ("--limit 100", 6),
            ("--key Db", 6),
            ("--key D-dorian --previous Am7 --next G7", 6),
            ("--next C", 6),
            ("--bass F#", 6),
            ("--bass Gb --key Eb", 6),
            ("--capo 3 --key A", 6),
            ("--tuning DADGAD", 6),
            ("--instrument ukulele", 4),
            ("--instrument bass", 4),
            ("--tuning C2-F2-Bb2-Eb3-G3-C4", 6),
        ] {
            let words = options.split(' ').filter(|word| !word.is_empty()).map(|word| word.replace('-', " "));
            let words =
                words.map(|word| word.strip_prefix("  ").map_or_else(|| word.clone(), |name| format!("--{name}")));
            let line = ["name".to_owned(), "--json".to_owned(), "x".to_owned()].into_iter().chain(words);
            let args = Line::try_parse_from(line).unwrap_or_else(|error| panic!("{options}: {error}")).name;
            let mut answers = Answers::new(&args).unwrap();
            let mut remembered = 0;
            for text in shapes(strings, 2500) {
                let sounding = answers.namer.sounding(&text).unwrap();
                remembered += usize::from(answers.namer.likeness(&sounding).is_some());
                let readings = readings_limited(&sounding.notes, &answers.namer.context, answers.limit);
                let anew = serde_json::to_string(&answers.answer(&text, &sounding, &readings)).unwrap() + "\n";
                let mut out = Vec::new();
                answers.write_json(&text, &mut out).unwrap();
                assert_eq!(String::from_utf8(out).unwrap(), anew, "{options}: {text}");
            }
            assert!(remembered > 1000, "{options}: {remembered}");
        }
    }
}
