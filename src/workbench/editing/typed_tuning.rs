//! A tuning and capo as it is typed: `drop D, capo 3`.

use crate::instrument::body::Instrument;
use crate::instrument::catalogue::{self, CatalogueError};
use crate::instrument::rig::Rig;
use crate::instrument::tuning::{Capo, Tuning};
use crate::lesson::document::{Lesson, Setup};
use crate::lesson::edit::Edit;
use crate::lesson::tunings::brought_in;
use crate::workbench::editing::edited_lesson::EditedLesson;

/// A tuning and capo of the lesson, or one that the edits bring in.
#[derive(Debug, Clone, PartialEq)]
pub struct TypedTuning {
    /// The tuning and capo.
    pub setup: Setup,
    /// What brings it into the lesson; nothing where the lesson has it.
    pub edits: Vec<Edit>,
}

/// Reads a tuning and capo for an instrument. One that the lesson has is taken from there.
///
/// Errors: in words, what could not be read, or does not fit the instrument.
pub fn tuning_as_typed(open: &mut EditedLesson, body: &Instrument, text: &str) -> Result<TypedTuning, String> {
    let rig = read_tuning(body, text)?;
    Ok(tuning_of(open, &rig))
}

/// Returns the lesson's tuning and capo for a rig, or a new one.
pub fn tuning_of(open: &mut EditedLesson, rig: &Rig) -> TypedTuning {
    let lesson = open.lesson();
    if let Some(setup) = alike(lesson, rig) {
        return TypedTuning { setup: setup.clone(), edits: Vec::new() };
    }
    let (id, new_instrument) = (open.new_id(), open.new_id());
    let (setup, edits) = brought_in(open.lesson(), rig, id, new_instrument);
    TypedTuning { setup, edits }
}

/// Reads a tuning and capo that somebody was asked for.
///
/// Errors: in words, that nothing was typed, what could not be read, or what does not fit the instrument.
pub fn read_typed_tuning(body: &Instrument, text: &str) -> Result<Rig, String> {
    if text.trim().is_empty() {
        return Err("type a tuning, as in drop D or standard, a capo, as in capo 3, or both".to_owned());
    }
    read_tuning(body, text)
}

/// Reads a tuning and capo for an instrument; without a tuning it is the usual one.
///
/// Errors: in words, what could not be read, or does not fit the instrument.
pub fn read_tuning(body: &Instrument, text: &str) -> Result<Rig, String> {
    let (tuning, capo) = split_capo(text);
    let none = |capo: &&str| !matches!(*capo, "0" | "off" | "none");
    let capo: Option<Capo> =
        capo.filter(none).map(|capo| capo.parse().map_err(|error| format!("{error}"))).transpose()?;
    let tuning_text = if tuning.is_empty() { "standard" } else { tuning };
    let tuning: Tuning = catalogue::tuning_from_text(tuning_text, body).map_err(in_this_lesson)?;
    Rig::new(body.clone(), tuning, capo).map_err(|error| error.to_string())
}

/// Says what is wrong with a tuning; of one for another instrument also how there can be a lesson for that.
fn in_this_lesson(error: CatalogueError) -> String {
    match error {
        CatalogueError::Elsewhere { owner, .. } => format!(
            "{error}; that needs a lesson for the other instrument: `fingerpost new my-lesson --instrument \"{owner}\"`, or a new lesson from the start screen"
        ),
        CatalogueError::Instrument { .. } | CatalogueError::Tuning { .. } | CatalogueError::Notes(_) => {
            error.to_string()
        }
    }
}

/// Returns the tuning and capo of the lesson in which the same frets on the same instrument sound the same notes.
fn alike<'a>(lesson: &'a Lesson, rig: &Rig) -> Option<&'a Setup> {
    lesson.setups.iter().find(|setup| lesson.rig(setup).is_ok_and(|known| known == *rig))
}

/// Splits `drop D, capo 3` into the tuning and the capo.
fn split_capo(text: &str) -> (&str, Option<&str>) {
    let word = "capo";
    match text.to_ascii_lowercase().find(word) {
        Some(at) => {
            let (tuning, rest) = text.split_at_checked(at).unwrap_or((text, ""));
            let tuning = tuning.trim().trim_end_matches(',').trim();
            let rest = rest.get(word.len()..).unwrap_or("");
            let no = "no";
            match tuning.to_ascii_lowercase().strip_suffix(no) {
                // `no capo`, and not a name that ends so.
                Some(before) if before.is_empty() || before.ends_with([' ', ',']) => {
                    let kept = tuning.get(..tuning.len() - no.len()).unwrap_or("");
                    (kept.trim().trim_end_matches(',').trim(), None)
                }
                _ => (tuning, Some(rest.trim())),
            }
        }
        None => (text.trim(), None),
    }
}

#[cfg(test)]
mod tests {
    use super::{read_tuning, split_capo};
    use crate::instrument::catalogue;
    use crate::workbench::editing::rigs::describe;

    #[test]
    fn tuning_and_capo_are_told_apart() {
        for (text, parts) in [
            ("drop D, capo 3", ("drop D", Some("3"))),
            ("Capo 2", ("", Some("2"))),
            ("DADGAD", ("DADGAD", None)),
            ("drop D, no capo", ("drop D", None)),
            ("no capo", ("", None)),
            ("capo", ("", Some(""))),
        ] {
            assert_eq!(split_capo(text), parts, "{text}");
        }
    }

    #[test]
    fn what_is_typed_is_read() {
        let guitar = &catalogue::guitar().instrument;
        for (text, read) in [
            ("drop D, capo 3", "drop D, capo 3"),
            ("", "standard"),
            ("capo 2", "standard, capo 2"),
            ("standard, capo 0", "standard"),
            ("D2 A2 D3 G3 A3 D4, no capo", "DADGAD"),
        ] {
            assert_eq!(describe(&read_tuning(guitar, text).unwrap()), read, "{text}");
        }
        for text in ["drop H", "capo", "capo x", "standard, capo 40"] {
            assert!(read_tuning(guitar, text).is_err(), "{text}");
        }
    }
}
