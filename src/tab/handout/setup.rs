//! The box at the head of a piece: what to tune, where the capo goes, how names are meant.

use crate::instrument::body::Instrument;
use crate::instrument::catalogue::{standard_tuning, tuning_name};
use crate::instrument::neck::StringNumber;
use crate::instrument::retuning::{self, string_list};
use crate::instrument::tuning::{Capo, Tuning};
use crate::lesson::document::{ChordNames, Lesson, Piece, Setup};
use crate::tab::passage::string_labels;
use crate::tab::signs::{key_in_words, tempo_in_words};
use crate::theory::key::Key;
use crate::theory::pitch::Hertz;

use super::names::{moved_key, raised_by, with_signs};
use super::page_look::PageLook;

/// Columns before the text of a row.
const LABEL: usize = 13;

/// What a setup box is about.
#[derive(Debug, Clone, Copy)]
pub(super) enum BoxSubject<'a> {
    /// A setup alone.
    Setup,
    /// A piece and the setup it begins in.
    Piece(&'a Piece),
    /// A setup other than the one before, perhaps within a piece.
    Change(Option<&'a Piece>),
}

/// Returns the box for `about` in `setup`; empty when there is nothing to say. `before` is the setup
/// that the same instrument was in until here, if the handout had one.
pub(super) fn setup_box(
    lesson: &Lesson,
    setup: Option<&Setup>,
    before: Option<&Setup>,
    about: BoxSubject<'_>,
    look: PageLook,
) -> Vec<String> {
    let inside = look.inside_box();
    let mut lines = Vec::new();
    let raised = setup.map_or(0, |setup| raised_by(lesson, setup));
    let mut rows: Vec<(&str, String)> = Vec::new();
    if let Some(setup) = setup {
        let instrument = lesson.instrument(setup.instrument).map(|owned| &owned.body);
        lines.extend(tuning_row(&setup.tuning, instrument, inside));
        rows.push(("Retune", instrument.map_or_else(String::new, |instrument| turns(setup, instrument, before, look))));
        rows.push(("Capo", capo_row(setup, before, look)));
        rows.push(("Pitch", pitch_text(setup, before)));
    } else if let BoxSubject::Change(_) = about {
        // Without a word it would look as if the setup before still held.
        rows.push(("Tuning", "not known".to_owned()));
    }
    let (key, piece) = match about {
        BoxSubject::Setup => (None, None),
        BoxSubject::Piece(piece) => (piece.key, Some(piece)),
        BoxSubject::Change(piece) => (piece.and_then(|piece| piece.key), None),
    };
    rows.push(("Key", key.map_or_else(String::new, |key| key_text(key, raised, look))));
    rows.push(("Chord names", names_text(lesson.header.chord_names, key, raised, look)));
    rows.push(("Tempo", piece.and_then(|piece| piece.tempo).map_or_else(String::new, tempo_in_words)));
    rows.push(("Tone", setup.map_or_else(String::new, |setup| look.text(&setup.tone))));
    rows.push(("Notes", piece.map_or_else(String::new, |piece| look.text(&piece.notes))));
    for (label, text) in rows.into_iter().filter(|(_, text)| !text.is_empty()) {
        lines.extend(inside.hanging(&format!("{label:LABEL$}"), &text));
    }
    if lines.is_empty() {
        return lines;
    }
    look.boxed(&box_title(lesson, setup, look), &lines)
}

/// Returns the name of the setup and, where it is not part of that, the instrument.
pub(super) fn box_title(lesson: &Lesson, setup: Option<&Setup>, look: PageLook) -> String {
    let Some(setup) = setup else { return "Tuning and capo".to_owned() };
    let instrument = lesson.instrument(setup.instrument).map_or_else(String::new, |owned| look.text(&owned.body.name));
    let name = look.text(&setup.name);
    match (name.is_empty(), instrument.is_empty() || name.contains(&instrument)) {
        (true, true) => "Tuning and capo".to_owned(),
        (true, false) => format!("Tuning: {instrument}"),
        (false, true) => format!("Tuning: {name}"),
        (false, false) => format!("Tuning: {name}, {instrument}"),
    }
}

/// Returns the tuning's name and its open strings as players count them:
/// `drop D:  6 D  5 A  4 D  3 G  2 B  1 e`.
fn tuning_row(tuning: &Tuning, instrument: Option<&Instrument>, inside: PageLook) -> Vec<String> {
    let name = instrument.and_then(|instrument| tuning_name(tuning, instrument));
    let labels = string_labels(tuning);
    let count = labels.len();
    let strings = labels
        .iter()
        .enumerate()
        .map(|(place, label)| format!("{} {}", count.saturating_sub(place), with_signs(label, inside.charset)));
    let name = name.map(|name| format!("{}:", inside.text(name)));
    inside.hanging_items(&format!("{:LABEL$}", "Tuning"), name.into_iter().chain(strings))
}

/// Returns what to turn, and from which tuning: the one in hand, or else the instrument's standard
/// one. Empty where nothing is to be done.
fn turns(setup: &Setup, instrument: &Instrument, before: Option<&Setup>, look: PageLook) -> String {
    let (from, name) = match before {
        Some(before) => (&before.tuning, tuning_name(&before.tuning, instrument).unwrap_or("the previous tuning")),
        None => match standard_tuning(instrument) {
            Some(standard) => (&standard.notes, standard.name.as_str()),
            None => return String::new(),
        },
    };
    let turns = retuning::turns(from, &setup.tuning);
    turns.map_or_else(String::new, |turns| format!("{turns} (from {})", look.text(name)))
}

/// Returns where the capo goes and how frets are counted there, or that it comes off.
fn capo_row(setup: &Setup, before: Option<&Setup>, look: PageLook) -> String {
    let before = before.and_then(|setup| setup.capo.as_ref());
    let Some(capo) = &setup.capo else {
        return retuning::capo_move(before, None).unwrap_or_default();
    };
    let where_to = match before {
        Some(before) if before.fret != capo.fret => retuning::capo_move(Some(before), Some(capo)),
        Some(_) | None => None,
    };
    capo_text(capo, &where_to.unwrap_or_else(|| format!("fret {}", capo.fret)), &setup.tuning, look)
}

fn capo_text(capo: &Capo, fret: &str, tuning: &Tuning, look: PageLook) -> String {
    let count = tuning.strings().len();
    if (0..count).filter_map(|place| StringNumber::at(place, count)).all(|string| capo.covers(string)) {
        return format!("{fret}; frets are counted from it");
    }
    let mut strings: Vec<u8> = capo.strings.iter().map(|string| string.number()).collect();
    strings.sort_unstable_by(|one, other| other.cmp(one));
    strings.dedup();
    let dash = look.sign("–", "-");
    format!("{fret} on {} only {dash} there frets are counted from it, elsewhere from the nut", string_list(&strings))
}

/// Returns what to tune to; the usual pitch goes without saying, unless another was in hand.
fn pitch_text(setup: &Setup, before: Option<&Setup>) -> String {
    let stated = |setup: &Setup| setup.reference.map(|hertz| hertz.0).filter(|hertz| hertz.is_finite());
    let usual = |hertz: f64| (hertz - Hertz::STANDARD_PITCH.0).abs() < 0.05;
    let hertz = stated(setup).unwrap_or(Hertz::STANDARD_PITCH.0);
    if usual(hertz) && before.and_then(stated).is_none_or(usual) {
        return String::new();
    }
    let rounded = format!("{hertz:.1}");
    format!("tune to A4 = {} Hz", rounded.strip_suffix(".0").unwrap_or(&rounded))
}

fn key_text(sounding: Key, raised: i32, look: PageLook) -> String {
    let say = |key: Key| key_in_words(key, look.charset);
    match moved_key(sounding, -raised).filter(|_| raised % 12 != 0) {
        Some(played) => format!("sounds in {}, played as {}", say(sounding), say(played)),
        None => say(sounding),
    }
}

/// Returns which names stand over the music, where shape and sound part.
fn names_text(names: ChordNames, key: Option<Key>, raised: i32, look: PageLook) -> String {
    if raised % 12 == 0 {
        return String::new();
    }
    // The chord on the tonic is the example; where the key is not known, G.
    let shape = key.map_or_else(|| "G".parse().ok(), |sounding| moved_key(sounding, -raised));
    let sound = key.or_else(|| moved_key(shape?, raised));
    let (Some(shape), Some(sound)) = (shape, sound) else { return String::new() };
    let [shape, sound] = [shape, sound].map(|key| with_signs(&key.to_string(), look.charset));
    match names {
        ChordNames::PlayedAs => format!("by shape: {shape} sounds as {sound}"),
        ChordNames::SoundsAs => format!("by sound: {sound} is played as {shape}"),
    }
}
