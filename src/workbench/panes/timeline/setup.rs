//! A new setup for a segment, as it is typed.

use crate::instrument::catalogue;
use crate::instrument::rig::Rig;
use crate::lesson::document::{OwnedInstrument, Setup};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::SegmentId;
use crate::lesson::place::LessonPlace;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::rigs::describe;

/// Adds a setup as it was typed, `drop D, capo 3`, and has the segment played in it.
/// Errors: in words, what could not be read.
pub(super) fn add_setup(open: &mut EditedLesson, segment: SegmentId, text: &str) -> Result<(), String> {
    let (tuning, capo) = split_capo(text);
    let capo = capo.map(|capo| capo.parse().map_err(|error| format!("{error}"))).transpose()?;
    let body = open.rig_at(Some(segment)).0.instrument().clone();
    let tuning_text = if tuning.is_empty() { "standard" } else { tuning };
    let tuning = catalogue::tuning_from_text(tuning_text, &body).map_err(|error| error.to_string())?;
    let rig = Rig::new(body.clone(), tuning.clone(), capo.clone()).map_err(|error| error.to_string())?;
    let mut edits = Vec::new();
    let (id, new_instrument) = (open.new_id(), open.new_id());
    let lesson = open.lesson();
    let known = lesson.instruments.iter().find(|owned| owned.body == body);
    let instrument = known.map_or(new_instrument, |owned| owned.id);
    if known.is_none() {
        let item = OwnedInstrument { id: instrument, body };
        edits.push(Edit::Instruments(ListEdit::Insert { at: lesson.instruments.len(), item }));
    }
    let item = Setup { id, name: describe(&rig), instrument, tuning, capo, reference: None, tone: String::new() };
    edits.push(Edit::Setups(ListEdit::Insert { at: lesson.setups.len(), item }));
    if let Some(mut played) = open.segment(segment).cloned() {
        played.setup = Some(id);
        edits.push(Edit::Segments(ListEdit::Replace(played)));
    }
    let change = Transaction::new(Reason::AddSetup, edits).at(LessonPlace::Segment(segment));
    open.change(change).map_err(|error| error.to_string())
}

/// Splits `drop D, capo 3` into the tuning and the capo.
fn split_capo(text: &str) -> (&str, Option<&str>) {
    let word = "capo";
    match text.to_ascii_lowercase().find(word) {
        Some(at) => {
            let (tuning, rest) = text.split_at_checked(at).unwrap_or((text, ""));
            let capo = rest.get(word.len()..).unwrap_or("");
            (tuning.trim().trim_end_matches(',').trim(), Some(capo.trim()))
        }
        None => (text.trim(), None),
    }
}
