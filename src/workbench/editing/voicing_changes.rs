//! Changes that put voicings into the lesson and into a segment of it.

use crate::instrument::neck::Shape;
use crate::lesson::document::Voicing;
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::id::{SegmentId, VoicingId};
use crate::lesson::place::LessonPlace;
use crate::theory::reading::Doubt;
use crate::workbench::editing::edited_lesson::EditedLesson;

/// A voicing that is in the lesson and in a segment.
pub struct LinkedVoicing {
    /// The voicing.
    pub voicing: VoicingId,
    /// The title of the segment.
    pub title: String,
    /// The names that the lesson had for it before.
    pub named_before: Vec<String>,
}

/// What links a voicing to the segment, not done yet.
pub struct VoicingLink {
    /// What is linked to what.
    pub linked: LinkedVoicing,
    /// Where in the lesson that is.
    pub at: LessonPlace,
    /// The edits that do it.
    pub edits: Vec<Edit>,
}

/// Returns a voicing that the lesson does not have yet, in the setup of a segment, with nothing noted of it.
pub fn new_voicing(
    open: &mut EditedLesson,
    segment: Option<SegmentId>,
    shape: Shape,
    doubts: Vec<Doubt>,
    readings: Vec<String>,
) -> Voicing {
    Voicing {
        id: open.new_id(),
        shape,
        doubts,
        setup: open.setup_at(segment).map(|setup| setup.id),
        readings,
        fingers: Vec::new(),
        barre: None,
        tags: Vec::new(),
        notes: String::new(),
    }
}

/// Returns what puts a voicing into the lesson, or brings the one with the same shape and setup up to date, and links it
/// to a segment; `None` where there is no segment.
pub fn linking(open: &EditedLesson, segment: Option<SegmentId>, new: Voicing) -> Option<VoicingLink> {
    let mut segment = segment.and_then(|id| open.segment(id)).cloned()?;
    let known = open.lesson().voicings.iter().find(|known| known.shape == new.shape && known.setup == new.setup);
    let mut edits = Vec::new();
    let id = match known {
        Some(known) => {
            let mut updated = Voicing { doubts: new.doubts, ..known.clone() };
            // Nobody unsays a name by leaving it out.
            if !new.readings.is_empty() {
                updated.readings = new.readings;
            }
            // Nobody unsays which fingers hold it by leaving them out.
            if new.fingers.iter().any(Option::is_some) {
                (updated.fingers, updated.barre) = (new.fingers, new.barre);
            }
            if updated != *known {
                edits.push(Edit::Voicings(ListEdit::Replace(updated)));
            }
            known.id
        }
        None => {
            let (id, at) = (new.id, open.lesson().voicings.len());
            edits.push(Edit::Voicings(ListEdit::Insert { at, item: new }));
            id
        }
    };
    let title = segment.title.clone();
    let named_before = known.map_or_else(Vec::new, |known| known.readings.clone());
    let at = LessonPlace::Segment(segment.id);
    if !segment.voicings.contains(&id) {
        segment.voicings.push(id);
        edits.push(Edit::Segments(ListEdit::Replace(segment)));
    }
    Some(VoicingLink { linked: LinkedVoicing { voicing: id, title, named_before }, at, edits })
}

/// Says which of the names `before` gave way to `now`: `; no longer kept: C6, Am7`. Nothing where no name is new, as nobody unsays a
/// name by leaving it out.
pub fn instead_of(before: &[String], now: &[String]) -> String {
    let gone: Vec<&str> = before.iter().filter(|name| !now.contains(name)).map(String::as_str).collect();
    if gone.is_empty() || now.is_empty() { String::new() } else { format!("; no longer kept: {}", gone.join(", ")) }
}
