//! `fingerpost place`: where on the neck a line is played, and with which fingers. The search is not here; see
//! `instrument` and `lesson`.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result, anyhow, bail};
use serde::Serialize;

use super::args::PlaceArgs;
use super::lesson_file::{passage_rig, read as read_lesson, shown, title_from};
use super::outcome::{Outcome, Streams};
use super::passage_out::{WIDTH, add, new_id, open_to_change, print};
use super::taken_for::no_line_of_notes;
use super::{by_name, input};
use crate::exchange::midi_in::{self, TrackChoice, looks_like_midi};
use crate::instrument::catalogue::{setup_from_text, tuning_from_text};
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::placement::line::{Limits, Pin};
use crate::instrument::rig::Rig;
use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::document::{ChordNames, Lesson};
use crate::lesson::fresh::IdSource;
use crate::lesson::id::{PassageId, SetupId};
use crate::lesson::linked_shapes::delete_unfitting;
use crate::lesson::music::Passage;
use crate::lesson::place::SpotsOf;
use crate::lesson::placing::lengths::fraction;
use crate::lesson::placing::moved::{moved_into, summed};
use crate::lesson::placing::timed::{PlacedLine, TimedLine};
use crate::lesson::placing::typed::read as read_typed;
use crate::lesson::time::{Length, Meter, NoteValue, Tempo};
use crate::lesson::tunings::brought_in;
use crate::store::open_lesson::Opened;
use crate::store::random;
use crate::tab::passage::{render, string_labels};
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;
use crate::text::safe::printable;
use crate::theory::pitch::Pitch;
use crate::theory::symbol::ChordSymbol;

/// Places the line that was typed or that a MIDI file holds.
///
/// Errors: notes that are invalid or not on the instrument, a pin or range that contradicts them, a file that cannot be
/// read, a lesson that cannot be changed or saved, or output that cannot be written.
pub fn run(args: &PlaceArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    if let Some((path, name)) = args.lesson.as_ref().zip(args.passage.as_ref()) {
        return place_anew(args, path, name, streams);
    }
    let source = source(args, streams)?;
    let rig = rig(args)?;
    let line = pinned(source.line, &args.pins, &rig)?;
    let line = under_chords(line, &args.chords)?;
    let title = args.title.clone().unwrap_or(source.title);
    let limits = args.frets.unwrap_or(Limits::NONE);
    let place = |id: PassageId, names: ChordNames| {
        line.placed(&rig, limits, names, id, title.clone()).map_err(|error| match line.bar_of_slice(error.slice()) {
            Some(bar) if line.bars() > 1 => anyhow!("bar {bar}: {error}"),
            _ => anyhow!(error),
        })
    };
    match &args.into {
        None => {
            let placed = place(PassageId(1), ChordNames::default())?;
            tell(source.remarks.iter().chain(&placed.remarks), streams)?;
            if args.json {
                let answer = PlaceAnswer::of(&line, &placed, &rig, source.remarks);
                writeln!(streams.out, "{}", serde_json::to_string(&answer)?)?;
            } else {
                show(args, &placed.passage, &rig, streams)?;
            }
        }
        Some(path) => {
            let opened = open_to_change(path)?;
            let placed = place(new_id(&opened), opened.lesson.header.chord_names)?;
            tell(source.remarks.iter().chain(&placed.remarks), streams)?;
            add_in_setup(opened, path, placed.passage, &rig, streams)?;
        }
    }
    Ok(Outcome::Fine)
}

/// Places a passage of a lesson anew, and prints it or adds it to a lesson. The lesson it comes from is not changed.
/// Errors: as [`run`].
fn place_anew(args: &PlaceArgs, path: &Path, name: &str, streams: &mut Streams<'_>) -> Result<Outcome> {
    if args.frets.is_some() {
        bail!("--frets is for lines, not for a passage that is refingered");
    }
    let lesson = read_lesson(path, &args.unsaved, streams)?;
    let passage = by_name::passage(&lesson, name).with_context(|| shown(path))?;
    let old = passage_rig(&lesson, passage)?;
    let new = other_rig(args, &old)?;
    let into = args.into.as_deref().map(|into| open_to_change(into).map(|opened| (into, opened))).transpose()?;
    let names = into.as_ref().map_or(&lesson, |(_, opened)| &opened.lesson).header.chord_names;
    let mut anew = moved_into(&lesson, passage, (&old, &new), names)?;
    anew.remarks.extend(delete_unfitting(passage, &mut anew.passage, Some(&new), (&lesson, &lesson)));
    anew.remarks.sort_by_key(|remark| remark.spot);
    let spots = SpotsOf::new(&lesson, passage);
    for remark in summed(&anew.remarks) {
        let place = match remark.spots.as_slice() {
            [only] => spots.text(*only),
            [] | [_, _, ..] => remark.bars(BarNumbers::of(passage)),
        };
        writeln!(streams.notes, "fingerpost: {}: {}", printable(&place), printable(&remark.text))?;
    }
    if let Some(title) = &args.title {
        anew.passage.title.clone_from(title);
    }
    match into {
        None => show(args, &anew.passage, &new, streams)?,
        Some((into, opened)) => {
            anew.passage.id = new_id(&opened);
            // Pieces, setups and voicings belong to the lesson that the passage comes from.
            anew.passage.piece = anew.passage.piece.filter(|piece| opened.lesson.piece(*piece) == lesson.piece(*piece));
            let events = anew.passage.bars.iter_mut().flat_map(|bar| &mut bar.voices).flat_map(|voice| &mut voice.0);
            for event in events {
                event.voicing = event.voicing.filter(|id| opened.lesson.voicing(*id) == lesson.voicing(*id));
            }
            add_in_setup(opened, into, anew.passage, &new, streams)?;
        }
    }
    Ok(Outcome::Fine)
}

/// Returns the rig that was asked for. Whatever was not given stays as in `old`. Errors: a tuning, instrument or capo
/// that does not fit.
fn other_rig(args: &PlaceArgs, old: &Rig) -> Result<Rig> {
    if args.tuning.is_none() && args.instrument.is_none() && args.capo.is_none() {
        bail!("say what changes: --tuning, --instrument or --capo");
    }
    let (instrument, tuning) = match (&args.instrument, &args.tuning) {
        (None, None) => (old.instrument().clone(), old.tuning().clone()),
        (None, Some(text)) => (old.instrument().clone(), tuning_from_text(text, old.instrument())?),
        (Some(name), tuning) => setup_from_text(Some(name), tuning.as_deref())?,
    };
    let capo = args.capo.clone().or_else(|| old.capo().cloned()).filter(|capo| capo.fret != Fret::OPEN);
    Ok(Rig::new(instrument, tuning, capo)?)
}

fn show(args: &PlaceArgs, passage: &Passage, rig: &Rig, streams: &mut Streams<'_>) -> Result<()> {
    let charset = if args.ascii { Charset::Ascii } else { Charset::Utf8 };
    print(&render(passage, &string_labels(rig.tuning()), &TabStyle::filled(WIDTH, charset)), streams)
}

/// Adds a passage in the lesson's setup that sounds like `rig`, which comes along where the lesson has none such. Errors:
/// the lesson cannot be saved.
fn add_in_setup(
    mut opened: Opened,
    path: &Path,
    mut passage: Passage,
    rig: &Rig,
    streams: &mut Streams<'_>,
) -> Result<()> {
    passage.setup = setup_with(rig, &opened.lesson);
    if passage.setup.is_none() {
        let mut ids = IdSource::new(random::seed(), &opened.lesson);
        let (id, instrument) = (ids.draw(&opened.lesson), ids.draw(&opened.lesson));
        let (setup, edits) = brought_in(&opened.lesson, rig, id, instrument);
        opened.lesson.apply_all(edits)?;
        passage.setup = Some(setup.id);
        writeln!(streams.notes, "fingerpost: {} is new in the lesson", printable(&setup.name))?;
    }
    add(opened, path, passage, streams)
}

/// A line and its origin.
struct LineSource {
    line: TimedLine,
    title: String,
    remarks: Vec<String>,
}

/// Reads the line. Errors: a file that cannot be read, or notes or a file that are not valid.
fn source(args: &PlaceArgs, streams: &mut Streams<'_>) -> Result<LineSource> {
    if let [only] = args.notes.as_slice() {
        let path = PathBuf::from(only);
        let ending = path.extension().map(|ending| ending.to_ascii_lowercase());
        let is_midi = ending.is_some_and(|ending| ending == "mid" || ending == "midi");
        if is_midi || only == "-" {
            let bytes = input::read(&path, "a line of notes", streams)?;
            if is_midi || looks_like_midi(&bytes) {
                return from_midi(args, &bytes, &path);
            }
            return typed(args, &String::from_utf8_lossy(&bytes));
        }
    }
    typed(args, &args.notes.join(" ")).map_err(|error| no_line_of_notes(&args.notes).unwrap_or(error))
}

fn typed(args: &PlaceArgs, text: &str) -> Result<LineSource> {
    if args.track.is_some() || args.channel.is_some() {
        bail!("--track and --channel choose from a MIDI file, and notes were typed");
    }
    let usual = args.length.unwrap_or(Length::plain(NoteValue::Eighth));
    let meter = args.meter.unwrap_or(Meter::COMMON);
    let line = read_typed(text, usual, meter, args.tempo.unwrap_or(Tempo::USUAL))?;
    Ok(LineSource { line, title: "Line".to_owned(), remarks: Vec::new() })
}

fn from_midi(args: &PlaceArgs, bytes: &[u8], path: &Path) -> Result<LineSource> {
    if args.length.is_some() || args.meter.is_some() || args.tempo.is_some() {
        bail!("--length, --time-signature and --tempo are for typed notes: the MIDI file has its own");
    }
    let choice = TrackChoice { track: args.track, channel: args.channel };
    let read = midi_in::read(bytes, choice).with_context(|| shown(path))?;
    let title = read.name.unwrap_or_else(|| title_from(path, "Line"));
    Ok(LineSource { line: read.line, title, remarks: read.remarks })
}

fn rig(args: &PlaceArgs) -> Result<Rig> {
    let (instrument, tuning) = setup_from_text(args.instrument.as_deref(), args.tuning.as_deref())?;
    Ok(Rig::new(instrument, tuning, args.capo.clone().filter(|capo| capo.fret != Fret::OPEN))?)
}

/// Pins the notes for which the user gave a place. Errors: a pin that does not fit the line or the instrument.
fn pinned(mut line: TimedLine, pins: &[(usize, Pin)], rig: &Rig) -> Result<TimedLine> {
    let count = line.notes.len();
    let strings = rig.tuning().strings().len();
    for (place, (which, pin)) in pins.iter().enumerate() {
        if pins.iter().take(place).any(|(other, known)| other == which && known != pin) {
            bail!("note {which} is pinned to two places: leave out one of the two pins");
        }
        if let Some(string) = pin.string.filter(|string| usize::from(string.number()) > strings) {
            bail!("note {which} cannot be pinned to string {string}: there are {strings}");
        }
        let notes = if count == 1 { "there is 1 note".to_owned() } else { format!("there are {count} notes") };
        let note = which.checked_sub(1).and_then(|index| line.notes.get_mut(index));
        note.ok_or_else(|| anyhow!("note {which} cannot be pinned: {notes}"))?.pin = *pin;
    }
    Ok(line)
}

/// Names the chords that the user gave over the line, instead of those that a file names. Errors: a note that is not there.
fn under_chords(mut line: TimedLine, chords: &[(usize, ChordSymbol)]) -> Result<TimedLine> {
    if chords.is_empty() {
        return Ok(line);
    }
    let count = line.notes.len();
    let mut named = BTreeMap::new();
    for (which, symbol) in chords {
        let notes = if count == 1 { "there is 1 note".to_owned() } else { format!("there are {count} notes") };
        let note = which.checked_sub(1).and_then(|index| line.notes.get(index));
        let start = note.ok_or_else(|| anyhow!("no chord can begin at note {which}: {notes}"))?.start;
        if named.insert(start, symbol.clone()).is_some_and(|known| known != *symbol) {
            bail!("two chords begin at note {which}: leave out one of the two");
        }
    }
    line.chords = named.into_iter().collect();
    Ok(line)
}

fn tell<'r>(remarks: impl Iterator<Item = &'r String>, streams: &mut Streams<'_>) -> Result<()> {
    for remark in remarks {
        writeln!(streams.notes, "fingerpost: {}", printable(remark))?;
    }
    Ok(())
}

/// Returns the first setup of the lesson that sounds like the rig.
fn setup_with(rig: &Rig, lesson: &Lesson) -> Option<SetupId> {
    let sounds = |rig: &Rig| -> Vec<u8> { rig.tuning().strings().iter().map(|open| open.midi().number()).collect() };
    let alike = |other: &Rig| sounds(other) == sounds(rig) && other.capo() == rig.capo();
    lesson.setups.iter().find(|setup| lesson.rig(setup).is_ok_and(|other| alike(&other))).map(|setup| setup.id)
}

/// The line as JSON shows it.
#[derive(Debug, Serialize)]
struct PlaceAnswer {
    title: String,
    tuning: String,
    capo: Option<String>,
    meter: String,
    tempo: String,
    cost: f64,
    notes: Vec<NoteRow>,
    remarks: Vec<String>,
}

/// One note of the line, as JSON shows it.
#[derive(Debug, Serialize)]
struct NoteRow {
    note: usize,
    pitch: Pitch,
    midi: u8,
    string: StringNumber,
    fret: Fret,
    finger: Option<u8>,
    position: Option<Fret>,
    start: String,
    length: String,
}

impl PlaceAnswer {
    fn of(line: &TimedLine, placed: &PlacedLine, rig: &Rig, mut remarks: Vec<String>) -> Self {
        remarks.extend(placed.remarks.iter().cloned());
        let notes = line.notes.iter().zip(&placed.notes).zip(1..).map(|((timed, placed), note)| NoteRow {
            note,
            pitch: Pitch::usual(timed.pitch),
            midi: timed.pitch.number(),
            string: placed.placed.place.string,
            fret: placed.placed.place.fret,
            finger: placed.placed.finger,
            position: placed.position,
            start: fraction(timed.start),
            length: fraction(timed.length),
        });
        // The cost is at most some thousands of units, which a float holds exactly.
        let cost = placed.cost as f64 / 1000.0;
        Self {
            title: placed.passage.title.clone(),
            tuning: rig.tuning().to_string(),
            capo: rig.capo().map(ToString::to_string),
            meter: placed.passage.meter.to_string(),
            tempo: placed.passage.tempo.to_string(),
            cost,
            notes: notes.collect(),
            remarks,
        }
    }
}
