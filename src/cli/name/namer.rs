//! What all shapes of one call share: the strings, what is known beside the notes, and which strings are in doubt.

use anyhow::{Context as _, Result, bail};

use super::json::{Weighed, WrittenString};
use crate::cli::args::NameArgs;
use crate::cli::held_shape::rig;
use crate::instrument::neck::StringNumber;
use crate::instrument::rig::Rig;
use crate::instrument::shape_text::WrittenShape;
use crate::instrument::voicing::open_shapes::{OpenShape, OpenShapes};
use crate::text::quote::quoted;
use crate::theory::degree::Degree;
use crate::theory::key::Key;
use crate::theory::pitch::{MidiNote, NoteName, Pitch};
use crate::theory::reading::{Context, Doubt, Likeness, Reading, readings_with_doubts};
use crate::theory::symbol::ChordSymbol;

/// The longest text that is read as a shape, in bytes. A shape usually has about thirty.
const LONGEST_SHAPE: usize = 10_000;

/// The settings that all shapes of one call share.
pub(super) struct Namer {
    pub(super) rig: Rig,
    pub(super) context: Context,
    pub(super) open_shapes: OpenShapes,
    /// The key that decides the spelling of names as played.
    key_as_played: Option<Key>,
    /// The indices, in a shape, of the strings that are in doubt in every shape.
    unsure: Vec<usize>,
}

/// A shape as written, and the notes that sound.
pub(super) struct Sounding {
    pub(super) written: WrittenShape,
    pub(super) notes: Vec<Option<MidiNote>>,
}

impl Namer {
    /// Reads what was asked for. Errors: an invalid tuning, instrument, capo, key, bass, chord or string.
    pub(super) fn new(args: &NameArgs) -> Result<Self> {
        let rig = rig(&args.rig)?;
        let context = Context {
            key: args.key.as_deref().map(str::parse).transpose()?,
            stated_bass: args.bass.as_deref().map(bass).transpose()?,
            previous: args.previous.as_deref().map(|text| chord(text, "before")).transpose()?,
            next: args.next.as_deref().map(|text| chord(text, "after")).transpose()?,
            lowest: rig.lowest_is(),
        };
        Ok(Self {
            key_as_played: context.key.map(|key| key.moved(-rig.played_as().semitones())),
            unsure: unsure(&args.unsure, &rig)?,
            context,
            open_shapes: OpenShapes::on(&rig),
            rig,
        })
    }

    /// Returns a shape and what sounds of it. Errors: the text is not a shape, or the rig cannot play it.
    pub(super) fn sounding(&self, text: &str) -> Result<Sounding> {
        let written = written(text)?;
        let notes = self.rig.notes(written.shape())?;
        Ok(Sounding { written, notes })
    }

    /// Returns the name by the shape, where it differs from the name by the sound.
    pub(super) fn played_as(&self, reading: &Reading) -> Option<String> {
        let down = -self.rig.played_as().semitones();
        (down != 0).then(|| reading.symbol_moved(down, self.key_as_played))
    }

    /// Returns whether `reading` is the chord that a shape makes which comes from `open`.
    pub(super) fn is_made_by(&self, reading: &Reading, open: &OpenShape) -> bool {
        open.makes(reading, self.rig.played_as().semitones())
    }

    /// Returns the same of a reading that has this root and formula.
    pub(super) fn is_made_of(&self, root: Option<NoteName>, formula: &[Degree], open: &OpenShape) -> bool {
        open.makes_chord(root, formula, self.rig.played_as().semitones())
    }

    /// Returns what decides the readings of a shape; `None` where something about it is in doubt, or that is too much.
    pub(super) fn likeness(&self, sounding: &Sounding) -> Option<Likeness> {
        Likeness::of(&sounding.notes, &self.context).filter(|_| self.is_sure_of(sounding))
    }

    /// Returns whether nothing about a shape is in doubt.
    fn is_sure_of(&self, sounding: &Sounding) -> bool {
        self.unsure.is_empty() && !sounding.written.doubts().contains(&Doubt::Unsure)
    }

    /// Returns what the strings in doubt decide (those marked in the shape and those of `--unsure`) and the readings
    /// without any of them. A muted string of `--unsure` may have been ringing open.
    pub(super) fn weighed(&self, sounding: &Sounding) -> (Vec<Weighed>, Vec<Reading>) {
        let Sounding { written, notes } = sounding;
        if self.is_sure_of(sounding) {
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
            "the bass `{}` is not a note: expected a letter from A to G, sharps or flats, and no octave, as in `F#`",
            quoted(text)
        )
    })
}

/// Reads the chord that stands `where_it_is`, before or after.
fn chord(text: &str, where_it_is: &str) -> Result<ChordSymbol> {
    text.parse().with_context(|| format!("the chord {where_it_is} cannot be read"))
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
pub(super) fn spelled(notes: &[Option<MidiNote>], best: Option<&Reading>) -> Vec<Option<Pitch>> {
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
