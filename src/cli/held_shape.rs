//! A shape with its fingers, as JSON and as a chord grid, for the commands `voicings` and `fingering`. No fingers are
//! searched here.

use anyhow::Result;
use serde::ser::SerializeSeq;
use serde::{Serialize, Serializer};

use super::rig_args::RigArgs;
use crate::instrument::catalogue::setup_from_text;
use crate::instrument::fingering::Fingering;
use crate::instrument::hand::{Barre, Finger};
use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::instrument::tuning::Capo;
use crate::instrument::voicing::open_shapes::OpenShape;
use crate::tab::grid::{ChordGrid, grid_rows};
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;

/// Returns the instrument that was asked for, set up.
///
/// Errors: an unknown tuning or instrument, or a capo that does not fit.
pub fn rig(args: &RigArgs) -> Result<Rig> {
    let (instrument, tuning) = setup_from_text(args.instrument.as_deref(), args.tuning.as_deref())?;
    let capo = (args.capo != Fret::OPEN).then(|| Capo { fret: args.capo, strings: Vec::new() });
    Ok(Rig::new(instrument, tuning, capo)?)
}

/// A shape and its fingering, as JSON shows them.
#[derive(Debug, Serialize)]
pub struct HeldShape {
    /// The frets, `x` muted.
    pub frets: String,
    /// The finger of each string: 1 to 4, `"T"` for the thumb, 0 for an open string, null for a muted one.
    pub fingers: HeldFingers,
    /// The barre, if one finger lies over several strings.
    pub barre: Option<Barre>,
    /// The millimetres between the outermost fingers, to a tenth.
    pub reach_mm: f64,
    /// The comfort, from 100 (nothing to hold) down to 0.
    pub comfort: u32,
}

impl HeldShape {
    /// Combines a shape with its fingering.
    pub fn new(shape: &Shape, fingering: &Fingering) -> Self {
        let open = shape.strings().iter().map(|fret| *fret == Some(Fret::OPEN));
        Self {
            frets: shape.to_string(),
            fingers: HeldFingers(fingering.fingers.iter().copied().zip(open).collect()),
            barre: fingering.barre,
            reach_mm: (fingering.reach.0 * 10.0).round() / 10.0,
            comfort: fingering.comfort(),
        }
    }
}

/// The open shape that a shape comes from, as JSON shows it.
#[derive(Debug, Serialize)]
pub struct OpenShapeAnswer {
    /// Its chord.
    name: String,
    /// How many frets the nut has moved up.
    fret: u8,
    /// The strings of it that are silent.
    silent: Vec<StringNumber>,
    words: String,
}

impl OpenShapeAnswer {
    /// Converts an open shape into the form that JSON shows.
    pub fn new(open: &OpenShape) -> Self {
        Self { name: open.chord.to_string(), fret: open.fret, silent: open.silent.clone(), words: open.in_words() }
    }
}

/// The finger of each string, and whether the string sounds open.
#[derive(Debug)]
pub struct HeldFingers(Vec<(Option<Finger>, bool)>);

impl Serialize for HeldFingers {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut list = serializer.serialize_seq(Some(self.0.len()))?;
        for (finger, open) in &self.0 {
            match finger {
                Some(Finger::Thumb) => list.serialize_element("T")?,
                Some(finger) => list.serialize_element(&(*finger as u8))?,
                None if *open => list.serialize_element(&0)?,
                None => list.serialize_element(&())?,
            }
        }
        list.end()
    }
}

/// Returns the chord grid of a shape with its fingering.
pub fn grid(name: &str, shape: &Shape, fingering: &Fingering, note: String) -> ChordGrid {
    ChordGrid {
        name: name.to_owned(),
        shape: shape.clone(),
        fingers: fingering.fingers.clone(),
        barre: fingering.barre,
        note,
        ..ChordGrid::default()
    }
}

/// The widest line of grids, in terminal columns.
const WIDTH: usize = 80;

/// Draws grids side by side, with a blank line between the rows.
pub fn drawn(grids: &[ChordGrid], charset: Charset) -> String {
    let rows = grid_rows(grids, TabStyle::filled(WIDTH, charset));
    let rows: Vec<String> = rows.into_iter().map(|lines| lines.join("\n") + "\n").collect();
    rows.join("\n")
}
