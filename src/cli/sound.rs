//! `fingerpost sound`: shapes, as a sound file. The sound is made in `sound`.

use anyhow::{Context as _, Result, bail};

use super::held_shape::rig;
use super::name::joined_frets;
use super::outcome::{Outcome, Streams};
use super::sound_args::{SoundArgs, Struck};
use super::sound_out::SoundFile;
use crate::instrument::neck::Shape;
use crate::instrument::rig::Rig;
use crate::lesson::seconds::Seconds;
use crate::sound::performance::shape::{Manner, shape};
use crate::sound::score::Score;
use crate::text::quote::quoted;

/// Writes the shapes to a sound file, one after another, and says where.
///
/// Errors: an unknown tuning or instrument, a capo that does not fit, a shape that cannot be read or played, a sound
/// that does not exist, or a file that cannot be written.
pub fn run(args: &SoundArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let rig = rig(&args.rig)?;
    let mut shapes = Vec::new();
    for text in &joined_frets(&args.shapes, rig.tuning().strings().len()) {
        let quoted = || format!("`{}`", quoted(text));
        let shape: Shape = text.parse().with_context(quoted)?;
        rig.check(&shape).with_context(quoted)?;
        if shape.strings().iter().all(Option::is_none) {
            bail!("`{shape}`: every string is muted, so there is nothing to play");
        }
        shapes.push(shape);
    }
    let names: Vec<String> = shapes.iter().map(ToString::to_string).collect();
    let target = SoundFile::new(&args.file, &names.join(" "), rig.instrument())?;
    target.write(score(&rig, &shapes, args), args.reference, streams)?;
    Ok(Outcome::Fine)
}

fn score(rig: &Rig, shapes: &[Shape], args: &SoundArgs) -> Score {
    let manner = match args.stroke {
        Struck::Down => Manner::StrumDown,
        Struck::Up => Manner::StrumUp,
        Struck::Arpeggio => Manner::Slowly,
        Struck::Together => Manner::Together,
    };
    let mut scores = shapes.iter().map(|played| {
        let mut score = shape(rig, played, |_| true, manner);
        let last = score.notes.last().map_or(Seconds::ZERO, |note| note.start);
        score.end = last + args.seconds;
        score.notes.iter_mut().for_each(|note| note.end = last + args.seconds);
        score
    });
    let first = scores.next().unwrap_or_default();
    scores.fold(first, |before, score| before.then(&score, Seconds::ZERO))
}
