//! Edits: the one door through which a lesson changes. Applying an edit yields the edit that undoes it.

use serde::{Deserialize, Serialize};

use super::document::{Header, Lesson};
use super::id::{Identity, ItemId, PassageId};
use super::links::{Fate, Linked};
use super::lists::each_list;
use super::music::{Bar, Passage};
use super::named::Named;
use super::place::Spot;
use crate::text::quote::quoted;

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
    /// Gives the item at a place another identity: how two items that share one (which only a file
    /// edited by hand can hold) are told apart again. Links are left alone; they hold on to the first.
    Renumber {
        /// The place.
        at: usize,
        /// The identity it gets, which is not checked, so that this edit too can be undone.
        id: Id,
    },
}

/// A thing with an identity, kept in one of the lesson's lists.
pub trait Item: Linked + Named + Sized {
    /// The identity's type.
    type Id: Identity;

    /// What a player calls such a thing, for messages.
    const WORD: &'static str;

    /// Returns the identity.
    fn id(&self) -> Self::Id;

    /// Gives it another identity and returns the one it had.
    fn renumber(&mut self, id: Self::Id) -> Self::Id;

    /// Returns the list of `lesson` that holds such things.
    fn list(lesson: &Lesson) -> &[Self];

    /// Returns `edit` as an edit of the lesson.
    fn edit(edit: ListEdit<Self, Self::Id>) -> Edit;
}

/// Declares an edit for each list, and what its items have in common.
macro_rules! edits {
    ($({ $field:ident $id:ident $place:ident $word:literal $edit:ident $item:ty, $($rest:tt)* })+) => {
        /// One reversible change to a lesson. Its words are those of the journal.
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
        pub enum Edit {
            /// Replaces the header.
            Header(Header),
            $(
                #[doc = concat!("Changes the list of ", $word, "s.")]
                $edit(ListEdit<$item, super::id::$id>),
            )+
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

        $(
            impl Item for $item {
                type Id = super::id::$id;
                const WORD: &'static str = $word;

                fn id(&self) -> super::id::$id {
                    self.id
                }

                fn renumber(&mut self, id: super::id::$id) -> super::id::$id {
                    std::mem::replace(&mut self.id, id)
                }

                fn list(lesson: &Lesson) -> &[Self] {
                    &lesson.$field
                }

                fn edit(edit: ListEdit<Self, super::id::$id>) -> Edit {
                    Edit::$edit(edit)
                }
            }
        )+

        impl Edit {
            /// Returns the edit that gives the thing at place `at` of the list of `id` that identity.
            pub const fn renumber(at: usize, id: ItemId) -> Self {
                match id {
                    $(ItemId::$place(id) => Self::$edit(ListEdit::Renumber { at, id }),)+
                }
            }

            /// Returns the edit that takes a thing out of its list.
            pub const fn remove(id: ItemId) -> Self {
                match id {
                    $(ItemId::$place(id) => Self::$edit(ListEdit::Remove(id)),)+
                }
            }

            /// Returns the identity that the edit brings into the lesson, if it brings any.
            pub fn brings(&self) -> Option<ItemId> {
                match self {
                    Self::Header(_) | Self::Bars { .. } => None,
                    $(Self::$edit(edit) => edit.brings().map(ItemId::from),)+
                }
            }
        }

        impl Lesson {
            /// Applies `edit` and returns the edit that undoes it. On error the lesson is unchanged.
            pub fn apply(&mut self, edit: Edit) -> Result<Edit, EditError> {
                Ok(match edit {
                    Edit::Header(header) => Edit::Header(std::mem::replace(&mut self.header, header)),
                    $(Edit::$edit(edit) => Edit::$edit(apply_to_list(&mut self.$field, edit)?),)+
                    Edit::Bars { passage, at, remove, insert } => self.splice_bars(passage, at, remove, insert)?,
                })
            }

            /// Returns the edit by which the links of `item` become what `decide` says, as [`Linked::relink`] asks it.
            /// `None` where nothing would change, or where the identity does not say which thing is meant.
            pub fn relinked(&self, item: ItemId, decide: &mut impl FnMut(Spot, ItemId) -> Fate) -> Option<Edit> {
                match item {
                    $(ItemId::$place(id) => relinked(&self.$field, id, decide),)+
                }
            }
        }
    };
}

each_list!(edits);

impl<T: Item> ListEdit<T, T::Id> {
    /// Returns the identity that the edit brings into the list, if it brings any.
    fn brings(&self) -> Option<T::Id> {
        match self {
            Self::Insert { item, .. } => Some(item.id()),
            Self::Renumber { id, .. } => Some(*id),
            Self::Remove(_) | Self::Replace(_) | Self::Move { .. } => None,
        }
    }
}

/// An edit that does not fit the lesson; the lesson is unchanged.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The thing to change is not there.
    #[error("the {word} is not in the lesson any more")]
    Missing {
        /// What sort of thing.
        word: &'static str,
    },
    /// The thing to add is there already.
    #[error("{said} is in the lesson already")]
    Taken {
        /// What is there, as the teacher knows it.
        said: String,
    },
    /// Several things share the identity, so that it does not say which is meant.
    #[error("{said} cannot be told apart: fix that first, in the list of problems")]
    Ambiguous {
        /// What shares it, as the teacher knows it.
        said: String,
    },
    /// The place lies past the end. Counted from 0 here, from 1 in the message.
    #[error("place {} is past the end: there {}", .at.saturating_add(1), count(*.length, .word))]
    Place {
        /// What sort of thing.
        word: &'static str,
        /// The place asked for.
        at: usize,
        /// The length of the list.
        length: usize,
    },
    /// The bar lies past the end of its passage. Counted from 0 here, from 1 in the message.
    #[error("{passage} has no bar {}: there {}", .at.saturating_add(1), count(*.length, "bar"))]
    NoSuchBar {
        /// The passage, as the teacher knows it.
        passage: String,
        /// The bar asked for.
        at: usize,
        /// How many bars it has.
        length: usize,
    },
}

/// Says which thing of a list it is, by its title, else by its place in the list: `segment "Intro"`, `segment 3`.
fn said<T: Item>(list: &[T], at: usize) -> String {
    match list.get(at).and_then(Named::title).filter(|title| !title.trim().is_empty()) {
        Some(title) => format!("{} \"{}\"", T::WORD, quoted(title)),
        None => format!("{} {}", T::WORD, at.saturating_add(1)),
    }
}

/// Says how many there are: `are no bars`, `is 1 bar`, `are 3 bars`.
fn count(length: usize, word: &str) -> String {
    match length {
        0 => format!("are no {word}s"),
        1 => format!("is 1 {word}"),
        more => format!("are {more} {word}s"),
    }
}

impl Lesson {
    fn splice_bars(
        &mut self,
        passage: PassageId,
        at: usize,
        remove: usize,
        insert: Vec<Bar>,
    ) -> Result<Edit, EditError> {
        let place = only_place(&self.passages, passage)?;
        let missing = || EditError::Missing { word: Passage::WORD };
        let title = said(&self.passages, place);
        let bars = &mut self.passages.get_mut(place).ok_or_else(missing)?.bars;
        let length = bars.len();
        // The last bar to go, or the place to insert at, is what may lie too far.
        let reach = at.max(at.saturating_add(remove).saturating_sub(1));
        let end = at.checked_add(remove).filter(|end| *end <= length).ok_or(EditError::NoSuchBar {
            passage: title,
            at: reach,
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
    match edit {
        ListEdit::Insert { at, item } => {
            let id = item.id();
            if let Some(known) = list.iter().position(|known| known.id() == id) {
                return Err(EditError::Taken { said: said(list, known) });
            }
            if at > length {
                return Err(EditError::Place { word: T::WORD, at, length });
            }
            list.insert(at, item);
            Ok(ListEdit::Remove(id))
        }
        ListEdit::Remove(id) => {
            let at = only_place(list, id)?;
            Ok(ListEdit::Insert { at, item: list.remove(at) })
        }
        ListEdit::Replace(item) => {
            let at = only_place(list, item.id())?;
            match list.get_mut(at) {
                Some(known) => Ok(ListEdit::Replace(std::mem::replace(known, item))),
                None => Err(EditError::Place { word: T::WORD, at, length }),
            }
        }
        ListEdit::Move { id, to } => {
            let from = only_place(list, id)?;
            if to >= length {
                return Err(EditError::Place { word: T::WORD, at: to, length });
            }
            let item = list.remove(from);
            list.insert(to, item);
            Ok(ListEdit::Move { id, to: from })
        }
        ListEdit::Renumber { at, id } => match list.get_mut(at) {
            Some(item) => Ok(ListEdit::Renumber { at, id: item.renumber(id) }),
            None => Err(EditError::Place { word: T::WORD, at, length }),
        },
    }
}

/// Returns the edit that replaces an item of the list by one whose links are as `decide` says, if that is another one.
fn relinked<T: Item + Clone + PartialEq>(
    list: &[T],
    id: T::Id,
    decide: &mut impl FnMut(Spot, ItemId) -> Fate,
) -> Option<Edit> {
    let known = list.get(only_place(list, id).ok()?)?;
    let mut item = known.clone();
    item.relink(decide);
    (item != *known).then(|| T::edit(ListEdit::Replace(item)))
}

/// Returns where the one item with this identity stands.
fn only_place<T: Item>(list: &[T], id: T::Id) -> Result<usize, EditError> {
    let places: Vec<usize> =
        list.iter().enumerate().filter(|(_, item)| item.id() == id).map(|(place, _)| place).collect();
    match places.as_slice() {
        [place] => Ok(*place),
        [] => Err(EditError::Missing { word: T::WORD }),
        // An edit of the first of two could not be undone: its inverse would find the other one.
        [others @ .., last] => {
            let others: Vec<String> = others.iter().map(|place| said(list, *place)).collect();
            Err(EditError::Ambiguous { said: format!("{} and {}", others.join(", "), said(list, *last)) })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::document::{Segment, SegmentKind};
    use crate::lesson::id::SegmentId;
    use crate::lesson::time::VideoLength;

    fn segment(id: u32, title: &str) -> Segment {
        Segment::new(SegmentId(id), SegmentKind::Talk, title, VideoLength::ZERO)
    }

    fn lesson(ids: &[u32]) -> Lesson {
        let segments = ids.iter().enumerate().map(|(place, id)| segment(*id, &place.to_string())).collect();
        Lesson { segments, ..Lesson::default() }
    }

    #[track_caller]
    fn refuses(ids: &[u32], edit: ListEdit<Segment, SegmentId>, message: &str) {
        let mut changed = lesson(ids);
        assert_eq!(changed.apply(Edit::Segments(edit)).unwrap_err().to_string(), message);
        assert_eq!(changed, lesson(ids));
    }

    #[test]
    fn an_edit_that_does_not_fit_says_why() {
        let id = SegmentId(9);
        refuses(&[1], ListEdit::Remove(id), "the segment is not in the lesson any more");
        refuses(&[1], ListEdit::Insert { at: 0, item: segment(1, "") }, "segment \"0\" is in the lesson already");
        refuses(
            &[],
            ListEdit::Insert { at: 1, item: segment(1, "") },
            "place 2 is past the end: there are no segments",
        );
        refuses(&[1], ListEdit::Move { id: SegmentId(1), to: 1 }, "place 2 is past the end: there is 1 segment");
        refuses(&[1, 2, 3], ListEdit::Renumber { at: 7, id }, "place 8 is past the end: there are 3 segments");
        let at = usize::MAX;
        refuses(&[1, 2], ListEdit::Renumber { at, id }, &format!("place {at} is past the end: there are 2 segments"));
    }

    #[test]
    fn bars_past_the_end_are_refused() {
        let mut lesson = Lesson::default();
        let bars = |at, remove| Edit::Bars { passage: PassageId(1), at, remove, insert: Vec::new() };
        assert_eq!(lesson.apply(bars(0, 0)).unwrap_err().to_string(), "the passage is not in the lesson any more");
        lesson.passages.push(Passage::plain(PassageId(1), "", vec![Bar::default(); 3]));
        assert_eq!(lesson.apply(bars(4, 0)).unwrap_err().to_string(), "passage 1 has no bar 5: there are 3 bars");
        assert_eq!(lesson.apply(bars(1, 3)).unwrap_err().to_string(), "passage 1 has no bar 4: there are 3 bars");
        assert!(lesson.apply(bars(1, usize::MAX)).is_err());
        assert!(lesson.apply(bars(3, 0)).is_ok());
    }

    /// A file edited by hand may hold two things of one number. An edit by that number could not be
    /// undone, because its inverse might find the other one.
    #[test]
    fn twins_are_told_apart_before_they_are_edited() {
        let message = "segment \"0\" and segment \"2\" cannot be told apart: fix that first, in the list of problems";
        refuses(&[1, 2, 1], ListEdit::Remove(SegmentId(1)), message);
        refuses(&[1, 2, 1], ListEdit::Replace(segment(1, "")), message);
        refuses(&[1, 2, 1], ListEdit::Move { id: SegmentId(1), to: 2 }, message);
        let mut changed = lesson(&[1, 2, 1]);
        let undo = changed.apply(Edit::Segments(ListEdit::Renumber { at: 2, id: SegmentId(3) })).unwrap();
        assert_eq!(changed.segments.iter().map(|segment| segment.id.0).collect::<Vec<_>>(), [1, 2, 3]);
        changed.apply(undo).unwrap();
        assert_eq!(changed, lesson(&[1, 2, 1]));
    }
}
