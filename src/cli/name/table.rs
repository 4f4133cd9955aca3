//! The table of one shape, for people: the answer of `fingerpost name` without `--json`. Readings are not found here.

use std::io::Write;

use anyhow::Result;

use super::json::WrittenString;
use super::namer::{Namer, spelled};
use crate::cli::batch::Answered;
use crate::cli::complaint::told;
use crate::instrument::voicing::open_shapes::OpenShape;
use crate::text::quote::quoted;
use crate::text::safe::printable;
use crate::theory::reading::{Reading, readings_limited};

/// Writes the readings of one shape, or why it cannot be read. Errors: nothing can be written.
pub(super) fn write_table(namer: &Namer, limit: usize, text: &str, out: &mut dyn Write) -> Result<Answered> {
    let sounding = match namer.sounding(text) {
        Ok(sounding) => sounding,
        Err(error) => {
            writeln!(out, "{}\n  {}", quoted(text.trim()), printable(&told(&error)))?;
            return Ok(Answered::No);
        }
    };
    let readings = readings_limited(&sounding.notes, &namer.context, limit);
    let pitches: Vec<String> = spelled(&sounding.notes, readings.first())
        .into_iter()
        .map(|note| note.map_or_else(|| "x".to_owned(), |pitch| pitch.to_string()))
        .collect();
    let bass = namer.context.stated_bass.map_or_else(String::new, |bass| format!("   over {bass}"));
    writeln!(out, "{}   {}{bass}", sounding.written, pitches.join(" "))?;
    if sounding.notes.iter().all(Option::is_none) {
        writeln!(out, "  nothing sounds")?;
    }
    let open = namer.open_shapes.of(sounding.written.shape());
    write_readings(namer, &readings, open.as_ref(), ("  ", out))?;
    let (decisions, sure_alone) = namer.weighed(&sounding);
    for weighed in &decisions {
        let decision = &weighed.decision;
        let best = |side: &[Reading]| side.first().map(|best| best.symbol.clone());
        let differs = best(&decision.with) != best(&decision.without);
        let decides = if differs { "decides" } else { "makes no difference" };
        writeln!(out, "  string {} {decides}: {}", weighed.string, decision.sentence)?;
        // The table above shows one side, and the other follows here.
        let (side, others) = match weighed.written {
            WrittenString::Sounding => ("without it", &decision.without),
            WrittenString::Muted => ("with the open string", &decision.with),
        };
        if differs {
            writeln!(out, "    {side}:")?;
            write_readings(namer, others, None, ("      ", out))?;
        }
    }
    if decisions.len() > 1 {
        let alone = sure_alone.first().map_or("silence", |best| best.symbol.as_str());
        writeln!(out, "  without all of them: {alone}")?;
    }
    Ok(Answered::Yes)
}

fn write_readings(
    namer: &Namer,
    readings: &[Reading],
    open: Option<&OpenShape>,
    (indent, out): (&str, &mut dyn Write),
) -> Result<()> {
    let symbols: Vec<String> = readings.iter().map(|reading| symbol_shown(namer, reading)).collect();
    let tones: Vec<String> = readings.iter().map(tones_shown).collect();
    let symbol_width = widest(&symbols);
    let tones_width = widest(&tones);
    for ((reading, symbol), tones) in readings.iter().zip(&symbols).zip(&tones) {
        let open = open.filter(|open| namer.is_made_by(reading, open)).and_then(OpenShape::where_it_helps);
        let open = open.map(|open| format!("; {open}")).unwrap_or_default();
        writeln!(out, "{indent}{symbol:symbol_width$}  {tones:tones_width$}  {}{open}", reading.reason)?;
    }
    Ok(())
}

fn symbol_shown(namer: &Namer, reading: &Reading) -> String {
    match namer.played_as(reading) {
        Some(played) => format!("{} (played as {played})", reading.symbol),
        None => reading.symbol.clone(),
    }
}

fn widest(texts: &[String]) -> usize {
    texts.iter().map(|text| text.chars().count()).max().unwrap_or(0)
}

/// Returns each tone once with its degree, lowest degree first: `1 C  3 E  5 G`.
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
