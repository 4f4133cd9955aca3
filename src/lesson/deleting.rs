//! Deleting a thing with the links to it, and what nothing links to.

use super::document::Lesson;
use super::edit::Edit;
use super::id::ItemId;
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

/// Returns the passages that no segment plays, the pieces that nothing is about, and the tunings in which nothing is
/// played, in the order of the document.
pub fn used_nowhere(lesson: &Lesson) -> Vec<ItemId> {
    let tunings = lesson.setups.iter().map(|setup| setup.id).filter(|id| lesson.played_in(*id).is_nothing());
    let about = |id: ItemId| {
        lesson.segments.iter().any(|segment| segment.links_to(id))
            || lesson.passages.iter().any(|passage| passage.piece.is_some_and(|piece| ItemId::from(piece) == id))
    };
    let pieces = lesson.pieces.iter().map(|piece| ItemId::from(piece.id)).filter(|id| !about(*id));
    let played = |id: ItemId| lesson.segments.iter().any(|segment| segment.links_to(id));
    let passages = lesson.passages.iter().map(|passage| ItemId::from(passage.id)).filter(|id| !played(*id));
    tunings.map(ItemId::from).chain(pieces).chain(passages).collect()
}
