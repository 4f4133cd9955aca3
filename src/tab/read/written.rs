//! What the lines above the first system say in words: tuning, capo, tempo, meter.

use crate::instrument::catalogue;
use crate::instrument::neck::Fret;
use crate::instrument::tuning::Tuning;
use crate::lesson::time::{Length, Meter, Tempo};
use crate::tab::marks;

use super::exact::Building;
use super::guess_list::REMARK;
use super::labels;
use super::lines::{SourceLine, excerpt};
use super::outcome::WrittenCapo;

/// What was written above the first system.
#[derive(Debug, Default)]
pub(super) struct Written {
    /// The line of the tuning and its words.
    tuning: Option<(usize, String)>,
    /// The first line of a tuning that is named without a word such as `tuning`, and its name: it may be a title.
    bare_name: Option<(usize, String)>,
    pub(super) capo: Option<WrittenCapo>,
    pub(super) meter: Option<Meter>,
    pub(super) tempo: Option<Tempo>,
}

/// One thing that a line says.
enum Fact {
    Tuning(String),
    BareTuning(String),
    Capo(Option<WrittenCapo>),
    Tempo(Tempo),
    Meter(Meter),
}

impl Written {
    /// Reads `lines`, those above the first system, and notes what was used.
    pub(super) fn read(lines: &[SourceLine], building: &mut Building) -> Self {
        let mut written = Self::default();
        for line in lines.iter().filter(|line| line.string.is_none() && !line.is_blank()) {
            let parts = parts(&line.text);
            let facts: Vec<_> = parts.iter().map(|part| fact(part)).collect();
            if facts.iter().any(Option::is_some) {
                building.used.insert(line.number);
                for (part, _) in parts.iter().zip(&facts).filter(|(_, fact)| fact.is_none()) {
                    building.guess(line.number, format!("{REMARK}`{}`", excerpt(part)));
                }
            }
            for (part, fact) in parts.into_iter().zip(facts) {
                written.take(line.number, part, fact, building);
            }
        }
        written
    }

    fn take(&mut self, line: usize, words: &str, fact: Option<Fact>, building: &mut Building) {
        let words = excerpt(words);
        match fact {
            None => {}
            Some(Fact::Tuning(tuning)) => self.tuning = Some((line, tuning)),
            Some(Fact::BareTuning(name)) if self.bare_name.is_none() => self.bare_name = Some((line, name)),
            Some(Fact::BareTuning(_)) => building.guess(line, format!("{REMARK}`{words}`")),
            Some(Fact::Capo(None)) => {
                building.guess(line, format!("`{words}`: the fret of the capo cannot be read; set it in the tuning"));
            }
            Some(Fact::Capo(Some(capo))) => self.capo = Some(capo),
            Some(Fact::Tempo(tempo)) => {
                building.guess(line, format!("`{words}` was read as the tempo, {tempo}"));
                self.tempo = Some(tempo);
            }
            Some(Fact::Meter(meter)) => {
                building.guess(line, format!("`{words}` was read as the time signature, {meter}"));
                self.meter = Some(meter);
            }
        }
    }

    /// Returns the tuning, whatever the number of strings.
    pub(super) fn tuning(&self) -> Option<Tuning> {
        self.tuning.as_ref().and_then(|(_, words)| named(words))
    }

    /// Returns the tuning for strings with these labels, the highest string number first, and adds to the guesses of
    /// `building` how the words were taken.
    pub(super) fn tuning_for(&self, labels: &[String], building: &mut Building) -> Option<Tuning> {
        let strings = labels.len();
        let (line, words) = match (&self.tuning, &self.bare_name) {
            (None, Some((line, name))) => {
                let tuning = tunings_called(name).find(|tuning| labels::agree(labels, tuning));
                match &tuning {
                    Some(tuning) => {
                        building.guess(*line, format!("the tuning `{}` was read as {tuning}", excerpt(name)))
                    }
                    None => building.guess(*line, format!("{REMARK}`{}`", excerpt(name))),
                }
                return tuning;
            }
            (Some(_), Some((line, name))) => {
                building.guess(*line, format!("{REMARK}`{}`", excerpt(name)));
                self.tuning.as_ref()?
            }
            (stated, None) => stated.as_ref()?,
        };
        let fits = |tuning: &Tuning| tuning.strings().len() == strings;
        let of = |known: &catalogue::KnownInstrument| {
            let like = usize::from(known.instrument.strings) == strings;
            like.then(|| catalogue::tuning_from_text(words, &known.instrument).ok()).flatten().filter(fits)
        };
        let found = named(words).filter(fits).or_else(|| catalogue::instruments().iter().find_map(of));
        let words = excerpt(words);
        match &found {
            Some(tuning) => building.guess(*line, format!("the tuning `{words}` was read as {tuning}")),
            None => building.guess(*line, format!("the tuning `{words}` does not suit {strings} strings")),
        }
        found
    }
}

/// Returns the tuning that has this name or these notes.
fn named(words: &str) -> Option<Tuning> {
    catalogue::setup_from_text(None, Some(words)).ok().map(|(_, tuning)| tuning)
}

/// Returns the tunings that have this name, of one instrument after the other.
fn tunings_called(name: &str) -> impl Iterator<Item = Tuning> {
    let of = move |known: &catalogue::KnownInstrument| catalogue::tuning_called(name, &known.instrument);
    catalogue::instruments().iter().filter_map(of).map(|known| known.notes.clone())
}

/// Splits a line into what may be separate facts; a tuning is left whole.
fn parts(text: &str) -> Vec<&str> {
    let text = text.trim();
    if fact(text).is_some() {
        return vec![text];
    }
    let pieces = text.split([',', ';', '(', ')']).flat_map(|piece| piece.split("  "));
    pieces.map(str::trim).filter(|piece| !piece.is_empty()).collect()
}

/// Reads one fact.
fn fact(text: &str) -> Option<Fact> {
    let text = text.trim();
    if text.len() > 80 {
        return None;
    }
    let lower = text.to_ascii_lowercase();
    if speaks_of_capo(&lower) {
        return Some(Fact::Capo(capo(&lower)));
    }
    meter(&lower).map(Fact::Meter).or_else(|| tempo(&lower).map(Fact::Tempo)).or_else(|| tuning(text, &lower)).or_else(
        || {
            let is_name = tunings_called(text).next().is_some();
            is_name.then(|| Fact::BareTuning(text.to_owned()))
        },
    )
}

/// Steps over a word at the start and what stands between it and its value.
fn after<'a>(text: &'a str, words: &[&str]) -> Option<&'a str> {
    let rest = words.iter().find_map(|word| text.strip_prefix(word))?;
    let value = rest.trim_start_matches([' ', ':', '=', '-', '.']);
    (value.len() < rest.len() && !value.is_empty()).then_some(value)
}

/// Returns whether a part speaks of a capo and nothing else: `capo 2`, `capo: 3rd fret`, `no capo`.
fn speaks_of_capo(lower: &str) -> bool {
    let said = |value: &str| {
        let fret = at_fret(value);
        fret.starts_with(|sign: char| sign.is_ascii_digit())
            || ["i", "v", "none"].iter().any(|sign| fret.starts_with(sign))
    };
    lower == "no capo" || after(lower, &["capo"]).is_some_and(said)
}

/// Steps over the words between `capo` and its fret.
fn at_fret(value: &str) -> &str {
    let words = ["on ", "at ", "the ", "fret "];
    words.iter().fold(value, |value, word| value.trim_start_matches(word))
}

/// Reads the fret of a capo: `capo 2`, `capo: 3rd fret`, `capo on fret IV`; 0 and `none` are none.
fn capo(lower: &str) -> Option<WrittenCapo> {
    if lower == "no capo" {
        return Some(WrittenCapo::Off);
    }
    let value = at_fret(after(lower, &["capo"])?);
    let word = value.split([' ', '.']).next()?;
    const ROMAN: [&str; 12] = ["i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"];
    let digits = word.trim_end_matches(|sign: char| sign.is_ascii_alphabetic());
    let fret = match ROMAN.iter().position(|roman| *roman == word) {
        Some(at) => u8::try_from(at + 1).ok()?,
        None if matches!(word, "none" | "off") => 0,
        None => digits.parse().ok()?,
    };
    // A capo that covers some strings only, or sits where none does, is not read.
    let rest = value.get(word.len()..)?.trim_matches([' ', '.']);
    if !matches!(rest, "" | "fret") || fret > 12 {
        return None;
    }
    Some(if fret == 0 { WrittenCapo::Off } else { WrittenCapo::At(Fret::new(fret)?) })
}

/// Reads `3/4`, `time: 6/8`.
fn meter(lower: &str) -> Option<Meter> {
    let value = after(lower, &["time signature", "time", "meter", "metre"]).unwrap_or(lower);
    value.trim_end_matches(" time").trim().parse().ok()
}

/// Reads `q=92`, `quarter note = 92`, `tempo 92`, `92 bpm`.
fn tempo(lower: &str) -> Option<Tempo> {
    let named = after(lower, &["tempo", "bpm", "speed"]);
    let value = named.unwrap_or(lower).trim();
    let value = ["around ", "about ", "ca. "].iter().find_map(|word| value.strip_prefix(word)).unwrap_or(value);
    let compact: String = value.chars().filter(|sign| *sign != ' ').collect();
    let counted = compact.strip_suffix("bpm");
    let compact = counted.unwrap_or(&compact);
    if let Some(tempo) = marks::read_tempo(compact).or_else(|| marks::read_tempo(value)) {
        return Some(tempo);
    }
    let beats = compact.strip_prefix("♩=").or((named.is_some() || counted.is_some()).then_some(compact))?;
    Tempo::new(Length::QUARTER, beats.parse().ok()?)
}

/// Reads `Tuning: D A D G A D`, `tuned to open G`, `drop D tuning`.
fn tuning(text: &str, lower: &str) -> Option<Fact> {
    // Lower case in ASCII keeps every byte's place.
    let value = after(lower, &["tuning", "tuned to", "tune to", "tuned", "tune"])
        .and_then(|value| text.get(text.len() - value.len()..))
        .or_else(|| lower.strip_suffix(" tuning").and_then(|value| text.get(..value.len())))?;
    let value = value.trim().trim_end_matches('.');
    named(value).map(|_| Fact::Tuning(value.to_owned()))
}
