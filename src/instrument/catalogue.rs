//! Instruments and tunings by name, from the two tables in `assets/`.
//!
//! Names are looked up without regard to case, spaces and hyphens. A tuning's name counts for
//! instruments of its own kind with as many strings: "drop D" is one thing on a guitar and another
//! on a bass.

use std::sync::OnceLock;

use serde::Deserialize;

use super::body::Instrument;

use super::tuning::{Capo, Tuning};
use super::tuning_text::{OpenNotesError, looks_like_notes, read_near};
use crate::text::quote::quoted;

/// What sort of instrument it is: tunings of one family suit each other's instruments.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
pub enum Family {
    /// Guitars of every size and number of strings.
    Guitar,
    /// Bass guitars.
    Bass,
    /// Ukuleles of every size.
    Ukulele,
    /// Mandolins.
    Mandolin,
    /// Banjos with a short fifth string.
    Banjo,
}

/// An instrument that is known by name.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KnownInstrument {
    /// The instrument.
    pub instrument: Instrument,
    /// Its family.
    pub family: Family,
    /// Other names for it.
    pub also: Vec<String>,
    /// The id of the tuning it has when nothing else is said.
    pub standard: String,
    /// The ids of the tunings that a lowered or raised tuning is played as.
    pub shifts_from: Vec<String>,
    /// Its names as they are looked up.
    #[serde(skip)]
    plain: Vec<String>,
}

/// A tuning that is known by name.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KnownTuning {
    /// A name that no other tuning has, for other tables to point at.
    pub id: String,
    /// What players call it.
    pub name: String,
    /// Other names for it.
    pub also: Vec<String>,
    /// The name of the instrument it is first of all for.
    pub instrument: String,
    /// The open strings.
    pub notes: Tuning,
    /// Its names as they are looked up.
    #[serde(skip)]
    plain: Vec<String>,
}

/// A name or a list of notes that says no tuning or instrument.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CatalogueError {
    /// No such instrument.
    #[error("no instrument is called `{text}`; {}", suggestion(.near, .known))]
    Instrument {
        /// What was typed.
        text: String,
        /// Names that look like it.
        near: Vec<&'static str>,
        /// Every name.
        known: Vec<&'static str>,
    },
    /// No such tuning for this number of strings.
    #[error("no tuning is called `{text}`; {}; or type the notes from the highest string number down, as in `{example}`", suggestion(.near, .known))]
    Tuning {
        /// What was typed.
        text: String,
        /// Names that look like it.
        near: Vec<&'static str>,
        /// Every name that would do.
        known: Vec<&'static str>,
        /// The notes of one of them.
        example: String,
    },
    /// The tuning is for another kind of instrument.
    #[error("`{name}` is a tuning for the {owner} ({notes}), not for the {instrument}, which has {wanted} strings")]
    Elsewhere {
        /// The tuning's name.
        name: &'static str,
        /// The instrument it is for.
        owner: &'static str,
        /// Its notes.
        notes: Tuning,
        /// What it was asked for.
        instrument: String,
        /// How many strings that has.
        wanted: u8,
    },
    /// The notes that were typed are no tuning.
    #[error(transparent)]
    Notes(#[from] OpenNotesError),
}

/// Returns every known instrument, guitars first.
pub fn instruments() -> &'static [KnownInstrument] {
    static TABLE: OnceLock<Vec<KnownInstrument>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let text = include_str!("../../assets/instruments.ron");
        let mut table: Vec<KnownInstrument> = ron::from_str(text).expect("a test reads the table that is compiled in");
        for known in &mut table {
            known.plain = known.also.iter().chain([&known.instrument.name]).map(|name| plain(name)).collect();
        }
        table
    })
}

/// Returns every known tuning, guitars first.
pub fn tunings() -> &'static [KnownTuning] {
    static TABLE: OnceLock<Vec<KnownTuning>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let text = include_str!("../../assets/tunings.ron");
        let mut table: Vec<KnownTuning> = ron::from_str(text).expect("a test reads the table that is compiled in");
        for known in &mut table {
            known.plain = known.also.iter().chain([&known.name, &known.id]).map(|name| plain(name)).collect();
        }
        table
    })
}

/// Returns the six-string guitar, which is meant where nothing is said.
pub fn guitar() -> &'static KnownInstrument {
    instruments().first().expect("a test finds the guitar at the head of the table")
}

/// Returns the instrument called `text`.
///
/// Errors: no known instrument is called so.
pub fn instrument_named(text: &str) -> Result<&'static KnownInstrument, CatalogueError> {
    instrument_called(text).ok_or_else(|| {
        let names = |known: &'static KnownInstrument| (known.instrument.name.as_str(), known.also.as_slice());
        CatalogueError::Instrument {
            text: quoted(text),
            near: near_names(&plain(text), instruments().iter().map(names)),
            known: instruments().iter().map(|known| known.instrument.name.as_str()).collect(),
        }
    })
}

fn instrument_called(text: &str) -> Option<&'static KnownInstrument> {
    let wanted = plain(text);
    instruments().iter().find(|known| known.plain.contains(&wanted))
}

/// Returns the known instrument most like `instrument`: of its name, or else with as many strings,
/// of the kind its name says if it says one, and of the nearest scale length; `None` when none has
/// that many strings.
pub fn kin(instrument: &Instrument) -> Option<&'static KnownInstrument> {
    let as_many = |known: &&KnownInstrument| known.instrument.strings == instrument.strings;
    let named = instrument_called(&instrument.name);
    let family = named.map(|known| known.family);
    let apart = |known: &KnownInstrument| (known.instrument.scale.0 - instrument.scale.0).abs();
    let unlike = |known: &KnownInstrument| family.is_some_and(|family| known.family != family);
    let likest = |a: &&KnownInstrument, b: &&KnownInstrument| {
        unlike(a).cmp(&unlike(b)).then_with(|| apart(a).total_cmp(&apart(b)))
    };
    named.filter(as_many).or_else(|| instruments().iter().filter(as_many).min_by(likest))
}

/// Returns the tuning `instrument` has when nothing else is said; `None` when no known instrument
/// has that many strings.
pub fn standard_tuning(instrument: &Instrument) -> Option<&'static KnownTuning> {
    kin(instrument).and_then(|known| tuning_with_id(&known.standard))
}

/// Returns the tunings that suit `instrument`: those of its family first.
pub fn tunings_for(instrument: &Instrument) -> Vec<&'static KnownTuning> {
    let family = kin(instrument).map(|known| known.family);
    let standard = kin(instrument).map(|known| known.standard.as_str());
    let mut suiting: Vec<&KnownTuning> =
        tunings().iter().filter(|known| known.notes.strings().len() == usize::from(instrument.strings)).collect();
    // The sort is stable: the table's own order decides among equals.
    suiting.sort_by_key(|known| (Some(known.id.as_str()) != standard, family_of(known) != family));
    suiting
}

/// Returns the tunings that players of `instrument` use: those of its family, its standard one first.
pub fn own_tunings(instrument: &Instrument) -> Vec<&'static KnownTuning> {
    let family = kin(instrument).map(|known| known.family);
    let mut own = tunings_for(instrument);
    own.retain(|tuning| family_of(tuning) == family);
    own
}

/// Returns the tuning called `text` for `instrument`, if there is one; `standard` is the instrument's own.
pub fn tuning_called(text: &str, instrument: &Instrument) -> Option<&'static KnownTuning> {
    let wanted = plain_tuning(text);
    // Most of what a tab is asked for is no tuning of anything.
    if wanted != "standard" && !tunings().iter().any(|known| answers_to(known, &wanted)) {
        return None;
    }
    let standard = standard_tuning(instrument).filter(|_| wanted == "standard");
    standard.or_else(|| tunings_by_name(instrument).into_iter().find(|known| answers_to(known, &wanted)))
}

/// Returns the tunings whose names count for `instrument`.
fn tunings_by_name(instrument: &Instrument) -> Vec<&'static KnownTuning> {
    let mut suiting = tunings_for(instrument);
    if let Some(known) = instrument_called(&instrument.name) {
        // A ukulele has four strings too, but nobody means the bass tuning by its "drop D".
        suiting.retain(|tuning| family_of(tuning) == Some(known.family));
    }
    suiting
}

/// Returns the tuning called `text` for `instrument`; `standard` is the instrument's own.
///
/// Errors: no known tuning is called so, or only one of another instrument.
pub fn tuning_named(text: &str, instrument: &Instrument) -> Result<&'static KnownTuning, CatalogueError> {
    if let Some(known) = tuning_called(text, instrument) {
        return Ok(known);
    }
    let wanted = plain_tuning(text);
    match tunings().iter().find(|known| answers_to(known, &wanted)) {
        Some(other) => Err(CatalogueError::Elsewhere {
            name: &other.name,
            owner: &other.instrument,
            notes: other.notes.clone(),
            instrument: quoted(&instrument.name),
            wanted: instrument.strings,
        }),
        None => Err(unknown_tuning(text, &tunings_by_name(instrument))),
    }
}

/// Says that none of `choice` is called `text`.
fn unknown_tuning(text: &str, choice: &[&'static KnownTuning]) -> CatalogueError {
    let names = |known: &&'static KnownTuning| (known.name.as_str(), known.also.as_slice());
    CatalogueError::Tuning {
        text: quoted(text),
        near: near_names(&plain_tuning(text), choice.iter().map(names)),
        known: choice.iter().map(|known| known.name.as_str()).collect(),
        example: choice.first().map_or("E2 A2 D3 G3 B3 E4".to_owned(), |known| known.notes.to_string()),
    }
}

/// Reads the tuning of `instrument`: a name, or its notes from the highest string number down.
///
/// Octaves may be left out where a known instrument has as many strings: each string then takes the
/// octave nearest to that instrument's standard tuning.
///
/// Errors: neither a known name for this instrument nor notes, one for each string.
pub fn tuning_from_text(text: &str, instrument: &Instrument) -> Result<Tuning, CatalogueError> {
    match tuning_named(text, instrument) {
        Ok(known) => Ok(known.notes.clone()),
        Err(_) if looks_like_notes(text) => read_for(text, instrument),
        Err(error) => Err(error),
    }
}

fn read_for(text: &str, instrument: &Instrument) -> Result<Tuning, CatalogueError> {
    if let Some(standard) = standard_tuning(instrument) {
        return Ok(read_near(text, &standard.notes)?);
    }
    let tuning: Tuning = text.parse().map_err(CatalogueError::Notes)?;
    let wanted = usize::from(instrument.strings);
    let got = tuning.strings().len();
    if got == wanted {
        return Ok(tuning);
    }
    Err(OpenNotesError::CountFor { got, wanted, example: None }.into())
}

/// Reads an instrument and its tuning from what was said of either.
///
/// Neither gives the guitar in standard tuning. A tuning alone brings the instrument it is for;
/// notes alone bring the known instrument whose standard tuning is nearest, or, where none has that
/// many strings, a nameless one of guitar size (the notes then need their octaves).
///
/// Errors: an instrument that is not known, or a tuning that is neither known nor notes, or does not fit it.
pub fn setup_from_text(instrument: Option<&str>, tuning: Option<&str>) -> Result<(Instrument, Tuning), CatalogueError> {
    match (instrument, tuning) {
        (None, None) => setup_of(guitar(), None),
        (Some(name), tuning) => setup_of(instrument_named(name)?, tuning),
        (None, Some(text)) => {
            let wanted = plain_tuning(text);
            match tunings().iter().find(|known| answers_to(known, &wanted)) {
                Some(known) => Ok((instrument_named(&known.instrument)?.instrument.clone(), known.notes.clone())),
                None if looks_like_notes(text) => setup_from_notes(text),
                None => Err(unknown_tuning(text, &tunings().iter().collect::<Vec<_>>())),
            }
        }
    }
}

fn setup_of(known: &KnownInstrument, tuning: Option<&str>) -> Result<(Instrument, Tuning), CatalogueError> {
    let instrument = known.instrument.clone();
    let tuning = tuning_from_text(tuning.unwrap_or(&known.standard), &instrument)?;
    Ok((instrument, tuning))
}

fn setup_from_notes(text: &str) -> Result<(Instrument, Tuning), CatalogueError> {
    let readable = instruments().iter().filter_map(|known| {
        let standard = &tuning_with_id(&known.standard)?.notes;
        let tuning = read_near(text, standard).ok()?;
        Some((distance(&tuning, standard), known, tuning))
    });
    if let Some((_, known, tuning)) = readable.min_by_key(|(distance, ..)| *distance) {
        return Ok((known.instrument.clone(), tuning));
    }
    let tuning: Tuning = text.parse().map_err(CatalogueError::Notes)?;
    let count = tuning.strings().len();
    let strings = u8::try_from(count).map_err(|_| OpenNotesError::Count { got: count })?;
    let frets = guitar().instrument.frets;
    let scale = guitar().instrument.scale;
    Ok((Instrument { name: format!("{count}-string instrument"), strings, frets, scale, short: None }, tuning))
}

/// Returns how far apart two tunings are, in semitones summed over the strings.
fn distance(one: &Tuning, other: &Tuning) -> u32 {
    let pairs = one.strings().iter().zip(other.strings());
    pairs.map(|(a, b)| u32::from(a.midi().number().abs_diff(b.midi().number()))).sum()
}

/// Returns what players call `tuning`, by what it sounds (the spelling of its notes does not
/// matter); `None` when it has no name. `instrument` decides where two kinds share a tuning.
pub fn tuning_name(tuning: &Tuning, instrument: &Instrument) -> Option<&'static str> {
    let sounds_alike = |known: &&KnownTuning| distance(&known.notes, tuning) == 0;
    let as_many = usize::from(instrument.strings) == tuning.strings().len();
    let mut suiting = tunings_for(instrument).into_iter().filter(|_| as_many);
    suiting.find(sounds_alike).map(|known| known.name.as_str())
}

/// Returns the name of `tuning`, or its notes when it has none.
pub fn tuning_label(tuning: &Tuning, instrument: &Instrument) -> String {
    tuning_name(tuning, instrument).map_or_else(|| tuning.to_string(), str::to_owned)
}

/// Returns tuning and capo in words: `drop D, capo 2`.
pub fn setup_label(tuning: &Tuning, capo: Option<&Capo>, instrument: &Instrument) -> String {
    let tuning = tuning_label(tuning, instrument);
    capo.map_or(tuning.clone(), |capo| format!("{tuning}, capo {capo}"))
}

/// Returns the tuning that `tuning` is a lowered or raised copy of, and by how many semitones it
/// lies above it (whole step down: -2); the instrument's own standard tuning gives 0. `None` when
/// the strings do not all move alike, as in DADGAD.
pub fn shifted_from(tuning: &Tuning, instrument: &Instrument) -> Option<(&'static KnownTuning, i32)> {
    let known = kin(instrument)?;
    let candidates = known.shifts_from.iter().filter_map(|id| tuning_with_id(id));
    let shifts = candidates.filter_map(|from| Some((from, uniform_shift(&from.notes, tuning)?)));
    shifts.min_by_key(|(_, semitones)| semitones.abs())
}

fn uniform_shift(from: &Tuning, to: &Tuning) -> Option<i32> {
    if from.strings().len() != to.strings().len() {
        return None;
    }
    let mut shifts = from
        .strings()
        .iter()
        .zip(to.strings())
        .map(|(from, to)| i32::from(to.midi().number()) - i32::from(from.midi().number()));
    let first = shifts.next()?;
    shifts.all(|shift| shift == first).then_some(first)
}

fn tuning_with_id(id: &str) -> Option<&'static KnownTuning> {
    tunings().iter().find(|known| known.id == id)
}

fn family_of(tuning: &KnownTuning) -> Option<Family> {
    let name = tuning.instrument.as_str();
    instruments().iter().find(|known| known.instrument.name == name).map(|known| known.family)
}

fn answers_to(known: &KnownTuning, wanted: &str) -> bool {
    known.plain.iter().any(|name| name == wanted)
}

/// Returns what of a name counts when it is looked up.
fn plain(name: &str) -> String {
    let kept = name.chars().filter_map(|character| match character {
        '♭' => Some('b'),
        '♯' | '#' => Some('#'),
        other => other.is_alphanumeric().then_some(other),
    });
    kept.flat_map(char::to_lowercase).collect()
}

/// Returns the same as [`plain`] without a closing word "tuning", which says nothing.
fn plain_tuning(name: &str) -> String {
    let plain = plain(name);
    match plain.strip_suffix("tuning") {
        Some(rest) if !rest.is_empty() => rest.to_owned(),
        _ => plain,
    }
}

/// Returns up to three names that look like `wanted`, the likest first.
fn near_names(wanted: &str, names: impl Iterator<Item = (&'static str, &'static [String])>) -> Vec<&'static str> {
    /// Below this two names have little in common; found by trying slips of the keyboard.
    const ALIKE: f64 = 0.82;
    let likeness = |name: &str| strsim::jaro_winkler(&plain(name), wanted);
    let mut near: Vec<(f64, &'static str)> = names
        .map(|(name, also)| {
            let best = also.iter().map(|name| likeness(name)).fold(likeness(name), f64::max);
            (best, name)
        })
        .filter(|(likeness, _)| *likeness >= ALIKE)
        .collect();
    near.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    near.into_iter().map(|(_, name)| name).take(3).collect()
}

fn suggestion(near: &[&str], known: &[&str]) -> String {
    // Some names have a comma.
    let joined = |names: &[&str]| names.join(if names.iter().any(|name| name.contains(',')) { "; " } else { ", " });
    match (near, known) {
        ([], []) => "none is known for that many strings".to_owned(),
        ([], known) => format!("known are: {}", joined(known)),
        ([near], _) => format!("the nearest is {near}"),
        (near, _) => format!("the nearest are {}", joined(near)),
    }
}

#[cfg(test)]
mod tests;
