//! `fingerpost tunings`: the instruments and tunings known by name. They are defined in `assets`.

use anyhow::Result;

use super::args::TuningsArgs;
use super::outcome::{Outcome, Streams};
use crate::instrument::catalogue::{instrument_named, instruments, own_tunings};
use crate::text::fit::pad;

/// Lists each instrument with the tunings of its family.
///
/// Errors: no instrument has that name, or output that cannot be written.
pub fn run(args: &TuningsArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let chosen = match &args.instrument {
        Some(name) => vec![instrument_named(name)?],
        None => instruments().iter().collect(),
    };
    for (place, known) in chosen.into_iter().enumerate() {
        if place > 0 {
            writeln!(streams.out)?;
        }
        let instrument = &known.instrument;
        writeln!(
            streams.out,
            "{}: {} strings, {} frets, {} mm scale",
            instrument.name, instrument.strings, instrument.frets, instrument.scale.0
        )?;
        for tuning in own_tunings(instrument) {
            let usual = if tuning.id == known.standard { "  (standard)" } else { "" };
            writeln!(streams.out, "  {} {}{usual}", pad(&tuning.name, 24), tuning.notes)?;
        }
    }
    Ok(Outcome::Fine)
}
