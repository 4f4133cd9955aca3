//! `fingerpost sound`: what shapes sound like.

use anyhow::{Context as _, Result};

use super::held_shape::rig;
use super::outcome::{Outcome, Streams};
use super::sound_args::{SoundArgs, Struck};
use super::sound_out::Target;
use crate::instrument::neck::Shape;
use crate::instrument::rig::Rig;
use crate::sound::score::{Attack, Muting, OpenString, Score, SoundedNote};
use crate::theory::quote::quoted;

/// Seconds between neighbouring strings of a strum and of an arpeggio.
const STRUM: f64 = 0.018;
const ARPEGGIO: f64 = 0.3;
/// How hard a plain note is struck.
const PLAIN: f32 = 0.6;

/// Writes the shapes to a sound file, one after another, and says where.
///
/// Errors: a tuning, instrument or capo that is none, a shape that cannot be read or played, a sound that does not exist,
/// or a file that cannot be written.
pub fn run(args: &SoundArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let rig = rig(&args.rig)?;
    let mut shapes = Vec::new();
    for text in &args.shapes {
        let quoted = || format!("`{}`", quoted(text));
        let shape: Shape = text.parse().with_context(quoted)?;
        rig.check(&shape).with_context(quoted)?;
        shapes.push(shape);
    }
    let names: Vec<String> = shapes.iter().map(ToString::to_string).collect();
    let target = Target::new(&args.file, &names.join(" "), rig.instrument())?;
    target.write(score(&rig, &shapes, args), args.reference, streams)?;
    Ok(Outcome::Fine)
}

fn score(rig: &Rig, shapes: &[Shape], args: &SoundArgs) -> Score {
    let strings = rig.tuning().strings().iter().map(|pitch| OpenString { pitch: f64::from(pitch.midi().number()) });
    let mut score = Score { strings: strings.collect(), ..Score::default() };
    for shape in shapes {
        let sounding = rig.heard(shape).into_iter().enumerate();
        let mut notes: Vec<(usize, f64)> =
            sounding.filter_map(|(string, note)| Some((string, f64::from(note?.number())))).collect();
        let apart = match args.stroke {
            Struck::Down => STRUM,
            Struck::Up => {
                notes.reverse();
                STRUM
            }
            Struck::Arpeggio => {
                notes.sort_by(|one, other| one.1.total_cmp(&other.1));
                ARPEGGIO
            }
            Struck::Together => 0.0,
        };
        let start = score.end;
        let last = apart * notes.len().saturating_sub(1) as f64;
        score.end = start + last + args.seconds;
        for (place, (string, pitch)) in notes.into_iter().enumerate() {
            score.notes.push(SoundedNote {
                string,
                start: start + apart * place as f64,
                end: score.end,
                attack: Attack::Pluck,
                strength: PLAIN,
                muting: Muting::None,
                pitch,
                path: Vec::new(),
                vibrato: None,
                partial: 1,
            });
        }
    }
    score
}
