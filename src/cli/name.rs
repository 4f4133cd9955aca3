//! `fingerpost name`: every sensible reading of a shape, best first.

use std::fs::File;
use std::io::{self, BufRead, BufReader, Write};
use std::path::Path;

use anyhow::{Context as _, Result, bail};
use serde::Serialize;

use super::args::NameArgs;
use super::complaint::told;
use super::lesson_file::shown;
use super::outcome::{Outcome, Streams};
use crate::instrument::catalogue::setup_from_text;
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::rig::Rig;
use crate::instrument::shape_text::WrittenShape;
use crate::instrument::tuning::Capo;
use crate::tab::clean::{printable, shows_as_itself};
use crate::theory::degree::Degree;
use crate::theory::pitch::{MidiNote, NoteName, Pitch};
use crate::theory::quote::quoted;
use crate::theory::reading::{Context, Doubt, Lowest, Reading, readings_limited, readings_with_doubts};

/// One line of JSON: a shape with its readings, or why there are none.
#[derive(Debug, Serialize)]
#[serde(untagged)]
enum Answer<'a> {
    Named { shape: &'a str, notes: Vec<Option<Pitch>>, candidates: Vec<Candidate<'a>> },
    Refused { shape: &'a str, error: String },
}

/// One reading, as JSON shows it.
#[derive(Debug, Serialize)]
struct Candidate<'a> {
    symbol: &'a str,
    root: Option<NoteName>,
    bass: NoteName,
    formula: &'a [Degree],
    missing: &'a [Degree],
    notes: Vec<Option<NoteName>>,
    reason: &'a str,
    /// The name by the shape, where a capo or a lowered tuning parts it from the sound.
    #[serde(skip_serializing_if = "Option::is_none")]
    played_as: Option<String>,
}

/// Names the shapes asked for, one after the other.
///
/// Exit status 1 when a batch holds lines that are no shape; a shape on the command line that
/// cannot be read is bad use.
///
/// Errors: a tuning, instrument, capo or key that is none, a shape that cannot be read, a batch that
/// cannot be read to its end, or output that cannot be written.
pub fn run(args: &NameArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let namer = Namer::new(args)?;
    match &args.batch {
        Some(path) if path == Path::new("-") => namer.batch(streams.input, "cannot read standard input", streams.out),
        Some(path) => {
            let cannot = || format!("cannot read {}", shown(path));
            let file = File::open(path).with_context(cannot)?;
            namer.batch(&mut BufReader::new(file), &cannot(), streams.out)
        }
        None => namer.shapes(&joined_frets(&args.shapes, namer.rig.tuning().strings().len()), streams.out),
    }
}

/// The longest line of a batch, in bytes. Without an end, a device would fill the memory.
const LONGEST_LINE: u64 = 16_000_000;

/// The longest text that is read as a shape, in bytes. A shape takes some thirty.
const LONGEST_SHAPE: usize = 10_000;

/// Joins `x 3 2 0 1 0` typed without quotes into one shape; other arguments stay as they are.
fn joined_frets(arguments: &[String], strings: usize) -> Vec<String> {
    let lone = |text: &String| text.eq_ignore_ascii_case("x") || (text.len() <= 2 && text.parse::<u8>().is_ok());
    if arguments.len() == strings && arguments.iter().all(lone) {
        vec![arguments.join(" ")]
    } else {
        arguments.to_vec()
    }
}

/// What every shape of one call has in common.
struct Namer {
    rig: Rig,
    context: Context,
    limit: usize,
    format: Format,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Format {
    Json,
    Table,
}

impl Namer {
    fn new(args: &NameArgs) -> Result<Self> {
        let (instrument, tuning) = setup_from_text(args.instrument.as_deref(), args.tuning.as_deref())?;
        let capo = (args.capo != Fret::OPEN).then(|| Capo { fret: args.capo, strings: Vec::new() });
        let rig = Rig::new(instrument, tuning, capo)?;
        let key = args.key.as_deref().map(str::parse).transpose()?;
        let format = if args.json { Format::Json } else { Format::Table };
        let lowest = if rig.is_reentrant() { Lowest::AnyTone } else { Lowest::Bass };
        Ok(Self { rig, context: Context { key, lowest, ..Context::default() }, limit: args.limit, format })
    }

    fn shapes(&self, shapes: &[String], out: &mut dyn Write) -> Result<Outcome> {
        for (place, text) in shapes.iter().enumerate() {
            if place > 0 && self.format == Format::Table {
                writeln!(out)?;
            }
            match self.format {
                Format::Json => self.write_json(text, out)?,
                Format::Table => self.write_table(text, out)?,
            };
        }
        // Output stays, whatever was wrong with one of the shapes; the first fault is the exit.
        for text in shapes {
            self.sounding(text).with_context(|| format!("`{}`", quoted(text)))?;
        }
        Ok(Outcome::Fine)
    }

    /// Answers each line of `input` with exactly one line (JSON) or one table; `cannot` opens the
    /// message where it cannot be read.
    fn batch(&self, input: &mut dyn BufRead, cannot: &str, out: &mut dyn Write) -> Result<Outcome> {
        let mut outcome = Outcome::Fine;
        let mut line = Vec::new();
        loop {
            line.clear();
            let mut limited = io::Read::take(&mut *input, LONGEST_LINE + 1);
            let length = limited.read_until(b'\n', &mut line).with_context(|| cannot.to_owned())?;
            if length == 0 {
                return Ok(outcome);
            }
            if u64::try_from(length).is_ok_and(|length| length > LONGEST_LINE) {
                bail!("a line of the batch has more than {LONGEST_LINE} bytes: expected one shape a line");
            }
            let text = String::from_utf8_lossy(&line);
            let text = text.strip_suffix('\n').unwrap_or(&text);
            let text = text.strip_suffix('\r').unwrap_or(text);
            let named = match self.format {
                Format::Json => self.write_json(text, out)?,
                Format::Table => self.write_table(text, out)?,
            };
            if named == Named::No {
                outcome = Outcome::ProblemsFound;
            }
        }
    }

    fn sounding(&self, text: &str) -> Result<Vec<Option<MidiNote>>> {
        let (shape, _) = written(text)?.into_parts();
        Ok(self.rig.notes(&shape)?)
    }

    fn write_json(&self, text: &str, out: &mut dyn Write) -> io::Result<Named> {
        let sounding = self.sounding(text);
        let readings = match &sounding {
            Ok(notes) => readings_limited(notes, &self.context, self.limit),
            Err(_) => Vec::new(),
        };
        let (answer, named) = match sounding {
            Ok(notes) => {
                let candidates = readings.iter().map(|reading| self.candidate(reading)).collect();
                (Answer::Named { shape: text, notes: spelled(&notes, readings.first()), candidates }, Named::Yes)
            }
            Err(error) => (Answer::Refused { shape: text, error: told(&error) }, Named::No),
        };
        // Written in one piece: the many small ones of a line cost more than naming it.
        let mut line = serde_json::to_string(&answer)?;
        // Only the echo can hold what a terminal would act on.
        if !text.chars().all(shows_as_itself) {
            line = escaped(&line);
        }
        line.push('\n');
        out.write_all(line.as_bytes())?;
        Ok(named)
    }

    fn candidate<'a>(&self, reading: &'a Reading) -> Candidate<'a> {
        Candidate {
            symbol: &reading.symbol,
            root: reading.root,
            bass: reading.bass,
            formula: &reading.formula,
            missing: &reading.missing,
            notes: reading.notes.iter().map(|tone| tone.map(|tone| tone.name)).collect(),
            reason: &reading.reason,
            played_as: self.played_as(reading),
        }
    }

    /// Returns the name by the shape, where it is another than the name by the sound.
    fn played_as(&self, reading: &Reading) -> Option<String> {
        let down = -self.rig.played_as().semitones();
        if down == 0 {
            return None;
        }
        let symbol: crate::theory::symbol::ChordSymbol = reading.symbol.parse().ok()?;
        Some(symbol.moved(down, None).to_string())
    }

    fn write_table(&self, text: &str, out: &mut dyn Write) -> Result<Named> {
        let notes = match self.sounding(text) {
            Ok(notes) => notes,
            Err(error) => {
                writeln!(out, "{}\n  {}", quoted(text.trim()), printable(&told(&error)))?;
                return Ok(Named::No);
            }
        };
        let written = written(text)?;
        let readings = readings_limited(&notes, &self.context, self.limit);
        let sounding: Vec<String> = spelled(&notes, readings.first())
            .into_iter()
            .map(|note| note.map_or_else(|| "x".to_owned(), |pitch| pitch.to_string()))
            .collect();
        writeln!(out, "{written}   {}", sounding.join(" "))?;
        if notes.iter().all(Option::is_none) {
            writeln!(out, "  nothing sounds")?;
        }
        let symbols: Vec<String> = readings.iter().map(|reading| self.symbol_shown(reading)).collect();
        let tones: Vec<String> = readings.iter().map(tones_shown).collect();
        let symbol_width = widest(&symbols);
        let tones_width = widest(&tones);
        for ((reading, symbol), tones) in readings.iter().zip(&symbols).zip(&tones) {
            writeln!(out, "  {symbol:symbol_width$}  {tones:tones_width$}  {}", reading.reason)?;
        }
        self.write_decisions(&notes, written.doubts(), out)?;
        Ok(Named::Yes)
    }

    /// Says what each string marked `?` decides.
    fn write_decisions(&self, notes: &[Option<MidiNote>], doubts: &[Doubt], out: &mut dyn Write) -> io::Result<()> {
        if !doubts.contains(&Doubt::Unsure) {
            return Ok(());
        }
        let strings: Vec<_> = notes.iter().zip(doubts).map(|(note, doubt)| note.map(|note| (note, *doubt))).collect();
        for decision in readings_with_doubts(&strings, &self.context).decisions {
            if let Some(string) = StringNumber::at(decision.string, strings.len()) {
                writeln!(out, "  string {string} decides: {}", decision.sentence)?;
            }
        }
        Ok(())
    }

    fn symbol_shown(&self, reading: &Reading) -> String {
        match self.played_as(reading) {
            Some(played) => format!("{} (played as {played})", reading.symbol),
            None => reading.symbol.clone(),
        }
    }
}

/// Reads a shape. A file made on Windows may open with a byte order mark, which is no part of it.
fn written(text: &str) -> Result<WrittenShape> {
    if text.len() > LONGEST_SHAPE {
        bail!("this is too long for a shape: expected a fret number or `x` for each string, some thirty characters");
    }
    Ok(text.trim_start_matches('\u{feff}').parse()?)
}

/// Writes as `\uXXXX` what JSON allows raw and a terminal might act on; a reader of JSON gets it unchanged.
fn escaped(json: &str) -> String {
    let mut safe = String::with_capacity(json.len());
    for sign in json.chars() {
        if shows_as_itself(sign) {
            safe.push(sign);
        } else {
            let mut units = [0; 2];
            safe.extend(sign.encode_utf16(&mut units).iter().map(|unit| format!("\\u{unit:04x}")));
        }
    }
    safe
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Named {
    Yes,
    No,
}

fn widest(texts: &[String]) -> usize {
    texts.iter().map(|text| text.chars().count()).max().unwrap_or(0)
}

/// Shows each tone once with its degree, lowest degree first: `1 C  3 E  5 G`.
fn tones_shown(reading: &Reading) -> String {
    let mut tones: Vec<_> = reading.notes.iter().flatten().copied().collect();
    tones.sort_by_key(|tone| tone.degree.map_or((u8::MAX, 0), |degree| (degree.number(), degree.alteration())));
    tones.dedup();
    let mut seen = Vec::new();
    for tone in tones {
        let text = match tone.degree {
            Some(degree) => format!("{degree} {}", tone.name),
            None => tone.name.to_string(),
        };
        if !seen.contains(&text) {
            seen.push(text);
        }
    }
    seen.join("  ")
}

/// Spells what sounds as the best reading spells it, with octaves.
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
