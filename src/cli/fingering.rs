//! `fingerpost fingering`: which fingers hold a shape, and how far they reach. The search for fingers is not here; see
//! `instrument`.

use std::io::Write;

use anyhow::{Context as _, Result};
use serde::Serialize;

use super::args::FingeringArgs;
use super::batch::JsonLines;
use super::complaint::told;
use super::held_shape::{HeldShape, drawn, grid, rig};
use super::outcome::{Outcome, Streams};
use crate::instrument::fingering::{Fingering, FingeringError, fingering};
use crate::instrument::hand::{Hand, HandSize};
use crate::instrument::neck::Shape;
use crate::instrument::rig::Rig;
use crate::instrument::voicing::elsewhere::{HANDS, Keeping, SmallerShape, smaller};
use crate::text::charset::Charset;
use crate::text::quote::quoted;

/// One line of JSON: a shape with its fingers, or why no hand holds it.
#[derive(Debug, Serialize)]
#[serde(untagged)]
enum FingeringAnswer<'a> {
    Held(HeldShape),
    NotHeld {
        frets: &'a str,
        error: String,
        /// A shape that this hand can play instead.
        #[serde(skip_serializing_if = "Option::is_none")]
        instead: Option<HeldShape>,
    },
}

/// Shows the fingering of each shape. The outcome is [`Outcome::ProblemsFound`] when this hand cannot hold one of them.
///
/// Errors: an invalid tuning, instrument, capo or hand, a shape that cannot be read or played, or output that cannot be
/// written.
pub fn run(args: &FingeringArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let rig = rig(&args.rig)?;
    let size: HandSize = args.hand.parse()?;
    let hand = Hand::new(size);
    let charset = if args.ascii { Charset::Ascii } else { Charset::Utf8 };
    let mut lines = JsonLines::default();
    let mut outcome = Outcome::Fine;
    for (place, text) in args.shapes.iter().enumerate() {
        let shape: Shape = text.parse().with_context(|| format!("`{}`", quoted(text)))?;
        let found = fingering(&rig, &shape, &hand);
        if let Err(FingeringError::Shape(error)) = found {
            return Err(error).with_context(|| format!("`{}`", quoted(text)));
        }
        if found.is_err() {
            outcome = Outcome::ProblemsFound;
        }
        if args.json {
            let answer = match &found {
                Ok(held) => FingeringAnswer::Held(HeldShape::new(&shape, held)),
                Err(error) => FingeringAnswer::NotHeld {
                    frets: text,
                    error: error.to_string(),
                    instead: instead(&rig, &shape, &hand),
                },
            };
            lines.write(&answer, text, streams.out)?;
            continue;
        }
        if place > 0 {
            writeln!(streams.out)?;
        }
        match found {
            Ok(held) => write_held(&rig, &shape, &held, size, charset, streams.out)?,
            Err(error) => {
                // A shape that cannot be held may have a smaller neighbour; where it has none, the reason is shown
                // alone.
                let words = smaller(&rig, &shape, Keeping::Tones, &hand).map(|smaller| smaller.in_words());
                let words = words.unwrap_or_else(|_| format!("{}. {HANDS}", told(&error.into())));
                writeln!(streams.out, "{shape}\n  {words}")?;
            }
        }
    }
    Ok(outcome)
}

/// Returns a shape that `hand` can play instead of one that it cannot hold.
fn instead(rig: &Rig, shape: &Shape, hand: &Hand) -> Option<HeldShape> {
    match smaller(rig, shape, Keeping::Tones, hand) {
        Ok(SmallerShape::Instead { shape, .. }) => Some(HeldShape::new(&shape.shape, &shape.fingering)),
        Ok(SmallerShape::Fits(_)) | Err(_) => None,
    }
}

/// Draws the shape and says how hard it is for this hand and for the others. Errors: output that cannot be written.
fn write_held(
    rig: &Rig,
    shape: &Shape,
    held: &Fingering,
    size: HandSize,
    charset: Charset,
    out: &mut dyn Write,
) -> Result<()> {
    out.write_all(drawn(&[grid(&shape.to_string(), shape, held, String::new())], charset).as_bytes())?;
    let (reach, most) = (held.reach.0, Hand::new(size).reach().0);
    let comfort = held.comfort();
    writeln!(out, "\nreach {reach:.0} of the {most:.0} mm that a {} hand has; ease {comfort}/100", size.name())?;
    let beyond: Vec<&str> = HandSize::ALL
        .into_iter()
        .filter(|size| fingering(rig, shape, &Hand::new(*size)).is_err())
        .map(HandSize::name)
        .collect();
    if !beyond.is_empty() {
        writeln!(out, "too far for a {} hand. {HANDS}", beyond.join(" or "))?;
    }
    Ok(())
}
