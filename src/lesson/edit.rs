//! Edits: the one door through which a lesson changes. Applying an edit yields the edit that undoes it.

use serde::{Deserialize, Serialize};

use super::document::{Header, Lesson, OwnedInstrument, Piece, Segment, Setup, Voicing};
use super::id::{InstrumentId, PassageId, PieceId, SegmentId, SetupId, VoicingId};
use super::music::{Bar, Passage};

/// One reversible change to a lesson.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Edit {
    /// Replaces the header.
    Header(Header),
    /// Changes the list of instruments.
    Instruments(ListEdit<OwnedInstrument, InstrumentId>),
    /// Changes the list of setups.
    Setups(ListEdit<Setup, SetupId>),
    /// Changes the list of pieces.
    Pieces(ListEdit<Piece, PieceId>),
    /// Changes the list of passages.
    Passages(ListEdit<Passage, PassageId>),
    /// Changes the list of voicings.
    Voicings(ListEdit<Voicing, VoicingId>),
    /// Changes the list of segments.
    Segments(ListEdit<Segment, SegmentId>),
    /// Takes `remove` bars out of a passage at place `at` (counted from 0) and puts `insert` there.
    Bars {
        /// The passage.
        passage: PassageId,
        /// The place of the first bar concerned.
        at: usize,
        /// How many bars go.
        remove: usize,
        /// The bars that come.
        insert: Vec<Bar>,
    },
}

/// One reversible change to a list of things with identities. Places count from 0.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum ListEdit<T, Id> {
    /// Puts a new item at a place, at most the length of the list.
    Insert {
        /// The place.
        at: usize,
        /// The item, whose identity must be new.
        item: T,
    },
    /// Takes an item out.
    Remove(Id),
    /// Puts another version of an item in its place; the identity stays.
    Replace(T),
    /// Moves an item to the place it shall have afterwards.
    Move {
        /// The item.
        id: Id,
        /// Its place after the move.
        to: usize,
    },
}

/// A thing with an identity, kept in one of the lesson's lists.
pub trait Item {
    /// The identity's type.
    type Id: Copy + Eq + std::fmt::Display;

    /// What a player calls such a thing, for messages.
    const WORD: &'static str;

    /// Returns the identity.
    fn id(&self) -> Self::Id;
}

/// Implements [`Item`] for each kind of thing.
macro_rules! items {
    ($($type:ty => $id:ty, $word:literal);+ $(;)?) => {$(
        impl Item for $type {
            type Id = $id;
            const WORD: &'static str = $word;
            fn id(&self) -> $id {
                self.id
            }
        }
    )+};
}

items! {
    OwnedInstrument => InstrumentId, "instrument";
    Setup => SetupId, "setup";
    Piece => PieceId, "piece";
    Passage => PassageId, "passage";
    Voicing => VoicingId, "voicing";
    Segment => SegmentId, "segment";
}

/// An edit that does not fit the lesson; the lesson is unchanged.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The thing to change is not there.
    #[error("there is no {word} {id}")]
    Missing {
        /// What sort of thing.
        word: &'static str,
        /// Its identity.
        id: String,
    },
    /// The thing to add has an identity that is taken.
    #[error("there is a {word} {id} already")]
    Taken {
        /// What sort of thing.
        word: &'static str,
        /// Its identity.
        id: String,
    },
    /// The place lies past the end.
    #[error("place {at} lies past the end of {length} {word}s")]
    Place {
        /// What sort of thing.
        word: &'static str,
        /// The place asked for.
        at: usize,
        /// The length of the list.
        length: usize,
    },
}

impl Lesson {
    /// Applies `edit` and returns the edit that undoes it. On error the lesson is unchanged.
    pub fn apply(&mut self, edit: Edit) -> Result<Edit, EditError> {
        Ok(match edit {
            Edit::Header(header) => Edit::Header(std::mem::replace(&mut self.header, header)),
            Edit::Instruments(edit) => Edit::Instruments(apply_to_list(&mut self.instruments, edit)?),
            Edit::Setups(edit) => Edit::Setups(apply_to_list(&mut self.setups, edit)?),
            Edit::Pieces(edit) => Edit::Pieces(apply_to_list(&mut self.pieces, edit)?),
            Edit::Passages(edit) => Edit::Passages(apply_to_list(&mut self.passages, edit)?),
            Edit::Voicings(edit) => Edit::Voicings(apply_to_list(&mut self.voicings, edit)?),
            Edit::Segments(edit) => Edit::Segments(apply_to_list(&mut self.segments, edit)?),
            Edit::Bars { passage, at, remove, insert } => self.splice_bars(passage, at, remove, insert)?,
        })
    }

    fn splice_bars(
        &mut self,
        passage: PassageId,
        at: usize,
        remove: usize,
        insert: Vec<Bar>,
    ) -> Result<Edit, EditError> {
        let bars = &mut self
            .passages
            .iter_mut()
            .find(|known| known.id == passage)
            .ok_or_else(|| EditError::Missing { word: Passage::WORD, id: passage.to_string() })?
            .bars;
        let length = bars.len();
        let end = at.checked_add(remove).filter(|end| *end <= length).ok_or(EditError::Place {
            word: "bar",
            at: at.saturating_add(remove),
            length,
        })?;
        let inserted = insert.len();
        let removed: Vec<Bar> = bars.splice(at..end, insert).collect();
        Ok(Edit::Bars { passage, at, remove: inserted, insert: removed })
    }
}

/// Applies a list edit and returns its inverse; on error the list is unchanged.
fn apply_to_list<T: Item>(list: &mut Vec<T>, edit: ListEdit<T, T::Id>) -> Result<ListEdit<T, T::Id>, EditError> {
    let length = list.len();
    let find = |list: &[T], id: T::Id| {
        list.iter()
            .position(|item| item.id() == id)
            .ok_or_else(|| EditError::Missing { word: T::WORD, id: id.to_string() })
    };
    match edit {
        ListEdit::Insert { at, item } => {
            let id = item.id();
            if list.iter().any(|known| known.id() == id) {
                return Err(EditError::Taken { word: T::WORD, id: id.to_string() });
            }
            if at > length {
                return Err(EditError::Place { word: T::WORD, at, length });
            }
            list.insert(at, item);
            Ok(ListEdit::Remove(id))
        }
        ListEdit::Remove(id) => {
            let at = find(list, id)?;
            Ok(ListEdit::Insert { at, item: list.remove(at) })
        }
        ListEdit::Replace(item) => {
            let at = find(list, item.id())?;
            Ok(ListEdit::Replace(std::mem::replace(&mut list[at], item)))
        }
        ListEdit::Move { id, to } => {
            let from = find(list, id)?;
            if to >= length {
                return Err(EditError::Place { word: T::WORD, at: to, length });
            }
            let item = list.remove(from);
            list.insert(to, item);
            Ok(ListEdit::Move { id, to: from })
        }
    }
}
