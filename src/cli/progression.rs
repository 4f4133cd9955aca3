//! `fingerpost voicings --path`: the smoothest way through a progression. The search is not here; see
//! `instrument::voicing`.

use std::io::Write;

use anyhow::{Context as _, Result, bail};
use serde::Serialize;

use super::batch::JsonLines;
use super::held_shape::{HeldShape, OpenShapeAnswer, drawn, grid};
use super::outcome::Outcome;
use crate::instrument::rig::Rig;
use crate::instrument::voicing::movement::Movement;
use crate::instrument::voicing::open_shapes::OpenShapes;
use crate::instrument::voicing::path::{Path, PathStep, path};
use crate::instrument::voicing::request::Request;
use crate::instrument::voicing::voicing_words::why;
use crate::text::charset::Charset;
use crate::text::quote::quoted;
use crate::theory::pitch::NoteName;
use crate::theory::symbol::ChordSymbol;

/// One progression, as JSON shows it.
#[derive(Debug, Serialize)]
struct ProgressionAnswer<'a> {
    path: &'a str,
    steps: Vec<ChordStep>,
}

/// One chord of a progression, as JSON shows it.
#[derive(Debug, Serialize)]
struct ChordStep {
    symbol: String,
    #[serde(flatten)]
    held: HeldShape,
    why: String,
    /// The open shape that it comes from.
    #[serde(skip_serializing_if = "Option::is_none")]
    open_shape: Option<OpenShapeAnswer>,
    /// The movement from the chord before.
    #[serde(skip_serializing_if = "Option::is_none")]
    movement: Option<MovesAnswer>,
}

/// The movement from one voicing to the next, as JSON shows it.
#[derive(Debug, Serialize)]
pub struct MovesAnswer {
    fingers: String,
    common: Vec<NoteName>,
    /// The distance of the hand along the neck, to a tenth of a millimetre; positive toward the bridge.
    hand_mm: f64,
    /// The sum of the voices' movements, in semitones.
    semitones: u32,
}

impl MovesAnswer {
    /// Converts `movement` to `symbol` into the form that JSON shows.
    pub fn new(movement: &Movement, symbol: &ChordSymbol) -> Self {
        Self {
            fingers: movement.in_words(),
            common: movement.common_names(symbol),
            hand_mm: (movement.hand.0 * 10.0).round() / 10.0,
            semitones: movement.semitones(),
        }
    }
}

/// The form in which the answer is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AnswerForm {
    /// One JSON object.
    Json,
    /// Chord grids, followed by the movements of the fingers.
    Grids(Charset),
}

/// Shows the smoothest way through the symbols in `text`.
///
/// Errors: a symbol that cannot be read, a chord without a voicing that keeps to `request`, or output that cannot be
/// written.
pub fn run(text: &str, rig: &Rig, request: &Request, form: AnswerForm, out: &mut dyn Write) -> Result<Outcome> {
    let symbols: Vec<ChordSymbol> = symbols(text)?.iter().map(|symbol| rig.lowest_is().named(symbol)).collect();
    let Path { steps, .. } = path(rig, None, &symbols, request)?;
    match form {
        AnswerForm::Json => {
            let open_shapes = OpenShapes::on(rig);
            let steps = steps.iter().zip(&symbols).map(|(step, symbol)| ChordStep {
                symbol: symbol.to_string(),
                held: HeldShape::new(&step.voicing.shape, &step.voicing.fingering),
                why: why(rig, symbol, &step.voicing, &open_shapes),
                open_shape: open_shapes.of(&step.voicing.shape).as_ref().map(OpenShapeAnswer::new),
                movement: step.movement.as_ref().map(|movement| MovesAnswer::new(movement, symbol)),
            });
            JsonLines::default().write(&ProgressionAnswer { path: text, steps: steps.collect() }, text, out)?;
        }
        AnswerForm::Grids(charset) => {
            let grids: Vec<_> = steps
                .iter()
                .zip(&symbols)
                .map(|(PathStep { voicing, .. }, symbol)| {
                    grid(&symbol.to_string(), &voicing.shape, &voicing.fingering, String::new())
                })
                .collect();
            out.write_all(drawn(&grids, charset).as_bytes())?;
            writeln!(out)?;
            write_moves(&steps, &symbols, out)?;
        }
    }
    Ok(Outcome::Fine)
}

/// Writes for each chord which tones stay and what the fingers do. Errors: output that cannot be written.
fn write_moves(steps: &[PathStep], symbols: &[ChordSymbol], out: &mut dyn Write) -> Result<()> {
    let names: Vec<String> = symbols.iter().map(ToString::to_string).collect();
    let shapes: Vec<String> = steps.iter().map(|step| step.voicing.shape.to_string()).collect();
    let width = |texts: &[String]| texts.iter().map(|text| text.chars().count()).max().unwrap_or(0);
    let (name_width, shape_width) = (width(&names), width(&shapes));
    for (((step, symbol), name), shape) in steps.iter().zip(symbols).zip(&names).zip(&shapes) {
        let moves = step.movement.as_ref().map(|movement| told(movement, symbol));
        let line = format!("{name:name_width$}  {shape:shape_width$}  {}", moves.unwrap_or_default());
        writeln!(out, "{}", line.trim_end())?;
    }
    Ok(())
}

/// Returns what stays and what moves: `G B stay; 1 and 2 stay, 3 lifts`.
pub fn told(movement: &Movement, symbol: &ChordSymbol) -> String {
    let names: Vec<String> = movement.common_names(symbol).iter().map(ToString::to_string).collect();
    match names.as_slice() {
        [] => format!("no common tone; {}", movement.in_words()),
        [name] => format!("common tone {name}; {}", movement.in_words()),
        names => format!("common tones {}; {}", names.join(" "), movement.in_words()),
    }
}

/// Reads symbols separated by spaces, bars or commas. Errors: a symbol that cannot be read.
fn symbols(text: &str) -> Result<Vec<ChordSymbol>> {
    let words = text.split(|sign: char| sign.is_whitespace() || sign == '|').filter(|word| !word.is_empty());
    let symbols: Vec<ChordSymbol> = words
        .enumerate()
        .map(|(place, word)| {
            let trimmed = word.trim_matches(',');
            trimmed.parse().with_context(|| format!("chord {} of `{}`", place + 1, quoted(text)))
        })
        .collect::<Result<_>>()?;
    if symbols.is_empty() {
        bail!("there is no chord in `{}`: expected symbols with spaces between, as in `Em7 D Csus2 G/A`", quoted(text));
    }
    Ok(symbols)
}
