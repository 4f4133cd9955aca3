//! Deleting a thing with the links to it, and what nothing links to.

use std::collections::HashSet;

use super::document::Lesson;
use super::edit::Edit;
use super::id::{ItemId, VoicingId};
use super::links::{Fate, Linked as _};

/// Returns the edits that delete a thing, after those that take out every link to it. A tuning goes by
/// [`tuning_deleted`](super::tunings::tuning_deleted), since what is played in it needs another.
pub fn deleted(lesson: &Lesson, item: ItemId) -> Vec<Edit> {
    let mut linking: Vec<ItemId> = lesson.who_links_to(item).into_iter().filter_map(|place| place.item()).collect();
    linking.dedup();
    let cut = |from: &ItemId| lesson.relinked(*from, &mut |_, to| if to == item { Fate::Cut } else { Fate::Stays });
    let mut edits: Vec<Edit> = linking.iter().filter_map(cut).collect();
    edits.push(Edit::remove(item));
    edits
}

/// Returns the instruments that no tuning is of, the tunings in which nothing is played, the pieces that nothing is about, the
/// passages that no segment plays, and the voicings that neither a segment nor a passage shows, in the order of the document.
pub fn used_nowhere(lesson: &Lesson) -> Vec<ItemId> {
    let strung = |id: ItemId| lesson.setups.iter().any(|setup| setup.links_to(id));
    let instruments = lesson.instruments.iter().map(|one| ItemId::from(one.id)).filter(|id| !strung(*id));
    let tunings = lesson.setups.iter().map(|setup| setup.id).filter(|id| lesson.played_in(*id).is_nothing());
    let about = |id: ItemId| {
        lesson.segments.iter().any(|segment| segment.links_to(id))
            || lesson.passages.iter().any(|passage| passage.piece.is_some_and(|piece| ItemId::from(piece) == id))
    };
    let pieces = lesson.pieces.iter().map(|piece| ItemId::from(piece.id)).filter(|id| !about(*id));
    let played = |id: ItemId| lesson.segments.iter().any(|segment| segment.links_to(id));
    let passages = lesson.passages.iter().map(|passage| ItemId::from(passage.id)).filter(|id| !played(*id));
    let voicings = voicings_used_nowhere(lesson).into_iter().map(ItemId::from);
    instruments.chain(tunings.map(ItemId::from)).chain(pieces).chain(passages).chain(voicings).collect()
}

/// Returns the voicings that neither a segment nor a passage shows, in the order of the document.
pub fn voicings_used_nowhere(lesson: &Lesson) -> Vec<VoicingId> {
    let by_segments: HashSet<VoicingId> =
        lesson.segments.iter().flat_map(|segment| &segment.voicings).copied().collect();
    let mut left: Vec<VoicingId> =
        lesson.voicings.iter().map(|voicing| voicing.id).filter(|id| !by_segments.contains(id)).collect();
    if !left.is_empty() {
        // Few are left as a rule, and the music is long.
        let bars = lesson.passages.iter().flat_map(|passage| &passage.bars);
        let events = bars.flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0);
        let by_passages: HashSet<VoicingId> = events.filter_map(|event| event.voicing).collect();
        left.retain(|id| !by_passages.contains(id));
    }
    left
}
