//! Batches: one answer for each line, whatever the line holds. What an answer says is up to the command.
//!
//! A line ends with LF or CR LF and is echoed without its end: the CR of a file made on Windows is not part of a shape.
//! A line that is too long for a shape gets its error like any other, up to 16 MB; a longer line stops the run.

use std::fs::File;
use std::io::{self, BufRead, BufReader, Read, Write};
use std::path::Path;

use anyhow::{Context as _, Result, bail};
use serde::Serialize;

use super::lesson_file::shown;
use super::outcome::Outcome;
use crate::text::safe::shows_as_itself;

/// The longest line, in bytes. Without a limit, a device that never ends a line would fill the memory.
const LONGEST_LINE: u64 = 16_000_000;

/// Whether a line could be answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answered {
    /// It was answered with what was asked for.
    Yes,
    /// It was answered with an error.
    No,
}

/// Answers each line of the file at `path`, or of `input` where that is `-`. `answer` receives the line without its end
/// and writes to the given output.
///
/// `thing` names the content of a line in messages. The outcome is [`Outcome::ProblemsFound`] when a line could not be
/// answered.
///
/// Errors: a file that cannot be read to its end, a line that is far too long, or output that cannot be written.
pub fn each_line(
    path: &Path,
    input: &mut dyn BufRead,
    out: &mut dyn Write,
    thing: &str,
    answer: &mut dyn FnMut(&str, &mut dyn Write) -> Result<Answered>,
) -> Result<Outcome> {
    if path == Path::new("-") {
        return lines(
            &mut BufReader::new(input),
            "cannot read standard input",
            (out, Flushing::WhereNoLineWaits),
            thing,
            answer,
        );
    }
    let cannot = format!("cannot read {}", shown(path));
    let file = File::open(path).with_context(|| cannot.clone())?;
    lines(&mut BufReader::new(file), &cannot, (out, Flushing::AtTheEnd), thing, answer)
}

/// When answers are handed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Flushing {
    /// Whoever writes into a pipe that stays open waits for each answer; only where the next line is there already nobody does.
    WhereNoLineWaits,
    /// Nobody waits.
    AtTheEnd,
}

fn lines(
    input: &mut BufReader<impl Read>,
    cannot: &str,
    (out, flushing): (&mut dyn Write, Flushing),
    thing: &str,
    answer: &mut dyn FnMut(&str, &mut dyn Write) -> Result<Answered>,
) -> Result<Outcome> {
    let mut outcome = Outcome::Fine;
    let mut line = Vec::new();
    loop {
        line.clear();
        let mut limited = Read::take(&mut *input, LONGEST_LINE + 1);
        let length = limited.read_until(b'\n', &mut line).with_context(|| cannot.to_owned())?;
        if length == 0 {
            return Ok(outcome);
        }
        if u64::try_from(length).is_ok_and(|length| length > LONGEST_LINE) {
            bail!("a line of the batch has more than {LONGEST_LINE} bytes: expected one {thing} a line");
        }
        let text = String::from_utf8_lossy(&line);
        let text = text.strip_suffix('\n').unwrap_or(&text);
        let text = text.strip_suffix('\r').unwrap_or(text);
        if answer(text, out)? == Answered::No {
            outcome = Outcome::ProblemsFound;
        }
        if flushing == Flushing::WhereNoLineWaits && !input.buffer().contains(&b'\n') {
            out.flush()?;
        }
    }
}

/// Writes lines of JSON, each in one call: writing the many small parts of a line one by one costs more than finding
/// the answer.
#[derive(Debug, Default)]
pub struct JsonLines {
    /// The line being written. It is kept so that a batch does not allocate one for each answer.
    line: Vec<u8>,
}

impl JsonLines {
    /// Writes `answer` as one line. `echo` is the part of the input that the answer repeats: only there can characters
    /// occur that a terminal would act on.
    ///
    /// Errors: output that cannot be written.
    pub fn write(&mut self, answer: &impl Serialize, echo: &str, out: &mut dyn Write) -> io::Result<()> {
        self.write_with(echo, out, |line| Ok(serde_json::to_writer(line, answer)?))
    }

    /// Writes what `answer` adds as one line; see [`JsonLines::write`].
    ///
    /// Errors: those of `answer`, and output that cannot be written.
    pub fn write_with(
        &mut self,
        echo: &str,
        out: &mut dyn Write,
        answer: impl FnOnce(&mut Vec<u8>) -> io::Result<()>,
    ) -> io::Result<()> {
        self.line.clear();
        answer(&mut self.line)?;
        let harmless = echo.bytes().all(|byte| matches!(byte, b' '..=b'~')) || echo.chars().all(shows_as_itself);
        if !harmless {
            self.line = escaped(&String::from_utf8_lossy(&self.line)).into_bytes();
        }
        self.line.push(b'\n');
        out.write_all(&self.line)
    }
}

/// Returns JSON in which characters that a terminal might act on are written as `\uXXXX`. A reader of JSON gets the
/// same text.
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
