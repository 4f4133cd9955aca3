//! Bringing changes that were made on one state of a lesson onto another state of it.
//!
//! The changes are made once more on the lesson they were made on, and one after the other carried over to the other
//! one wherever what they change is as it was when they were made. What is not stays as it is there, and is handed
//! back as the version that the changes would have made of it, thing by thing.

use std::collections::BTreeSet;

use super::document::Lesson;
use super::edit::{Edit, Item, ListEdit};
use super::history::Transaction;
use super::id::ItemId;
use super::lists::each_list;
use super::place::LessonPlace;

/// What became of the changes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Merged {
    /// Those that were carried over, as they were made here, in order.
    pub carried: Vec<Transaction>,
    /// The things that both sides have changed, as the changes would have made them.
    pub apart: Vec<Edit>,
    /// Which change could not even be made on the lesson it was made on, counted from 0: the rest is not known.
    pub stuck: Option<usize>,
}

/// How what an edit changes stands in the other lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Standing {
    /// It is as the edit would make it.
    Already,
    /// It is as it was before the edit.
    Fits,
    /// It is neither as it was before the edit nor as the edit would make it.
    Differs,
}

impl Lesson {
    /// Carries `changes`, which were made on `base`, over to this lesson. What both have changed differently stays here as
    /// it is and is handed back.
    pub fn merge(&mut self, base: Self, changes: impl IntoIterator<Item = Transaction>) -> Merged {
        let mut mine = base;
        let mut merged = Merged::default();
        let mut apart = BTreeSet::new();
        for (number, change) in changes.into_iter().enumerate() {
            let Transaction { reason, place, edits } = change;
            let places: Vec<Option<ItemId>> = edits.iter().map(Edit::touches).collect();
            let Some(steps) = mine.steps(self, edits) else {
                merged.stuck = Some(number);
                break;
            };
            let differs = steps.iter().any(|(standing, _)| *standing == Standing::Differs)
                || places.iter().any(|place| apart.contains(place));
            let fitting: Vec<Edit> =
                steps.into_iter().filter(|(standing, _)| *standing == Standing::Fits).map(|(_, edit)| edit).collect();
            if differs || (!fitting.is_empty() && self.apply_all(fitting.clone()).is_err()) {
                // It stands or falls as a whole.
                apart.extend(places);
            } else if !fitting.is_empty() {
                merged.carried.push(Transaction { reason, place, edits: fitting });
            }
        }
        merged.apart = self.differences(&mine, apart);
        merged
    }

    /// Makes `changes` on a copy of this lesson, and hands back what it has become wherever that differs: for changes of which
    /// nobody knows on what they were made.
    pub fn merge_nothing(&self, changes: impl IntoIterator<Item = Transaction>) -> Merged {
        let mut mine = self.clone();
        let mut merged = Merged::default();
        let mut apart = BTreeSet::new();
        for (number, change) in changes.into_iter().enumerate() {
            apart.extend(change.edits.iter().map(Edit::touches));
            if mine.apply_all(change.edits).is_err() {
                merged.stuck.get_or_insert(number);
            }
        }
        merged.apart = self.differences(&mine, apart);
        merged
    }

    /// Returns the things at `places` as `other` has them, where that is not as they are here.
    fn differences(&self, other: &Self, places: BTreeSet<Option<ItemId>>) -> Vec<Edit> {
        let versions = places.into_iter().filter_map(|place| other.version_of(place));
        versions.filter(|version| !self.has_taken_over(version)).collect()
    }

    /// Makes `edits` here, and says of each how it stands in `theirs` and what it would be there; `None` where one does not fit
    /// here.
    fn steps(&mut self, theirs: &Self, edits: Vec<Edit>) -> Option<Vec<(Standing, Edit)>> {
        edits
            .into_iter()
            .map(|edit| {
                let inverse = self.apply(edit.clone()).ok()?;
                Some((standing(&edit, &inverse, self, theirs), fitted(edit, self, theirs)))
            })
            .collect()
    }

    /// Returns the edit of this lesson that takes a version over that was handed back; `None` where there is nothing to take
    /// out any more.
    pub fn taking_over(&self, version: &Edit) -> Option<Edit> {
        version.as_version(self)
    }

    /// Returns the thing that a version is about as it is here, as the edit that makes it so.
    pub fn own_version(&self, version: &Edit) -> Option<Edit> {
        self.version_of(version.touches())
    }

    /// Returns whether the thing is as the version has it.
    pub fn has_taken_over(&self, version: &Edit) -> bool {
        version.is_version_of(self)
    }
}

/// Declares what versions of a thing of each list are.
macro_rules! versions {
    ($({ $field:ident $id:ident $place:ident $word:literal $edit:ident $item:ty, $one:ident $($rest:tt)* })+) => {
        impl Edit {
            /// Returns what it changes; `None` for the header.
            fn touches(&self) -> Option<ItemId> {
                match self {
                    Self::Header(_) => None,
                    $(Self::$edit(edit) => Some(edit.touches().into()),)+
                    Self::Bars { passage, .. } => Some((*passage).into()),
                }
            }

            /// Returns what a version that was handed back is about.
            pub fn place(&self) -> LessonPlace {
                self.touches().map_or(LessonPlace::Header, LessonPlace::of)
            }

            /// Returns whether it takes a thing out.
            pub const fn takes_out(&self) -> bool {
                match self {
                    $(Self::$edit(edit) => matches!(edit, ListEdit::Remove(_)),)+
                    Self::Header(_) | Self::Bars { .. } => false,
                }
            }

            fn as_version(&self, lesson: &Lesson) -> Option<Self> {
                match self {
                    $(Self::$edit(edit) => version(edit, &lesson.$field).map(Self::$edit),)+
                    Self::Header(_) | Self::Bars { .. } => Some(self.clone()),
                }
            }

            fn is_version_of(&self, lesson: &Lesson) -> bool {
                match self {
                    Self::Header(header) => *header == lesson.header,
                    $(Self::$edit(edit) => is_version(edit, &lesson.$field),)+
                    Self::Bars { .. } => false,
                }
            }
        }

        impl Lesson {
            /// Returns a thing as it is here, as the edit that makes it so.
            fn version_of(&self, place: Option<ItemId>) -> Option<Edit> {
                Some(match place {
                    None => Edit::Header(self.header.clone()),
                    $(Some(ItemId::$place(id)) => Edit::$edit(
                        self.$one(id).map_or(ListEdit::Remove(id), |item| ListEdit::Replace(item.clone())),
                    ),)+
                })
            }
        }

        /// Compares what an edit changes with what it is in the other lesson. `inverse` takes the edit back from `mine`.
        fn standing(edit: &Edit, inverse: &Edit, mine: &Lesson, theirs: &Lesson) -> Standing {
            match (edit, inverse) {
                (Edit::Header(after), Edit::Header(before)) => compare(&theirs.header, before, after),
                $((Edit::$edit(edit), Edit::$edit(inverse)) => standing_in(edit, inverse, &mine.$field, &theirs.$field),)+
                (Edit::Bars { .. }, Edit::Bars { .. }) => standing_of_bars(edit, inverse, mine, theirs),
                _ => Standing::Differs,
            }
        }

        /// Returns the edit as it is to be made in the other lesson, whose lists may be longer or shorter.
        fn fitted(edit: Edit, mine: &Lesson, theirs: &Lesson) -> Edit {
            match edit {
                $(Edit::$edit(edit) => Edit::$edit(fitted_in(edit, &mine.$field, &theirs.$field)),)+
                Edit::Header(_) | Edit::Bars { .. } => edit,
            }
        }
    };
}

each_list!(versions);

fn compare<T: PartialEq>(theirs: &T, before: &T, after: &T) -> Standing {
    match theirs {
        theirs if theirs == after => Standing::Already,
        theirs if theirs == before => Standing::Fits,
        _ => Standing::Differs,
    }
}

fn one_of<T: Item>(list: &[T], id: T::Id) -> Option<&T> {
    list.iter().find(|item| item.id() == id)
}

fn standing_in<T: Item + PartialEq>(
    edit: &ListEdit<T, T::Id>,
    inverse: &ListEdit<T, T::Id>,
    mine: &[T],
    theirs: &[T],
) -> Standing {
    let before = match inverse {
        ListEdit::Insert { item, .. } | ListEdit::Replace(item) => Some(item),
        ListEdit::Remove(_) | ListEdit::Move { .. } | ListEdit::Renumber { .. } => None,
    };
    match edit {
        ListEdit::Insert { item, .. } | ListEdit::Replace(item) => {
            compare(&one_of(theirs, item.id()), &before, &Some(item))
        }
        ListEdit::Remove(id) => compare(&one_of(theirs, *id), &before, &None),
        // Whoever took it out has nothing to move.
        ListEdit::Move { id, .. } if one_of(theirs, *id).is_none() => Standing::Already,
        ListEdit::Move { .. } => Standing::Fits,
        // Only a list that is as it is here has the same twins at the same places.
        ListEdit::Renumber { at, .. } => {
            let others = |list: &[T]| -> Vec<T::Id> {
                list.iter().enumerate().filter(|(place, _)| place != at).map(|(_, item)| item.id()).collect()
            };
            if others(mine) == others(theirs) { Standing::Fits } else { Standing::Differs }
        }
    }
}

fn standing_of_bars(edit: &Edit, inverse: &Edit, mine: &Lesson, theirs: &Lesson) -> Standing {
    let (Edit::Bars { passage, at, remove, insert }, Edit::Bars { insert: removed, .. }) = (edit, inverse) else {
        return Standing::Differs;
    };
    let (Some(mine), Some(theirs)) = (mine.passage(*passage), theirs.passage(*passage)) else {
        return Standing::Differs;
    };
    let window = |count: usize| theirs.bars.get(*at..at.saturating_add(count));
    let length_before = mine.bars.len() + remove - insert.len().min(mine.bars.len() + remove);
    if theirs.bars == mine.bars {
        Standing::Already
    } else if theirs.bars.len() == length_before && window(*remove) == Some(&removed[..]) {
        Standing::Fits
    } else {
        Standing::Differs
    }
}

fn fitted_in<T: Item>(edit: ListEdit<T, T::Id>, mine: &[T], theirs: &[T]) -> ListEdit<T, T::Id> {
    match edit {
        ListEdit::Insert { at, item } => {
            // After the one it stands after here, as far as that one is there.
            let before = at.checked_sub(1).and_then(|place| mine.get(place)).map(Item::id);
            let is_there = |place: &usize| theirs.get(*place).map(Item::id) == before;
            // Nearly always it stands where it stands here; of twins, that one is meant.
            let there = at.checked_sub(1).filter(is_there);
            let found = there.or_else(|| before.and_then(|before| theirs.iter().position(|item| item.id() == before)));
            ListEdit::Insert { at: found.map_or(at, |place| place + 1).min(theirs.len()), item }
        }
        ListEdit::Move { id, to } => ListEdit::Move { id, to: to.min(theirs.len().saturating_sub(1)) },
        other @ (ListEdit::Remove(_) | ListEdit::Replace(_) | ListEdit::Renumber { .. }) => other,
    }
}

impl<T: Item> ListEdit<T, T::Id> {
    fn touches(&self) -> T::Id {
        match self {
            Self::Insert { item, .. } | Self::Replace(item) => item.id(),
            Self::Remove(id) | Self::Move { id, .. } | Self::Renumber { id, .. } => *id,
        }
    }
}

fn version<T: Item + Clone>(edit: &ListEdit<T, T::Id>, list: &[T]) -> Option<ListEdit<T, T::Id>> {
    let there = one_of(list, edit.touches()).is_some();
    match edit {
        ListEdit::Insert { item, .. } | ListEdit::Replace(item) if there => Some(ListEdit::Replace(item.clone())),
        ListEdit::Insert { item, .. } | ListEdit::Replace(item) => {
            Some(ListEdit::Insert { at: list.len(), item: item.clone() })
        }
        ListEdit::Remove(id) => there.then_some(ListEdit::Remove(*id)),
        ListEdit::Move { .. } | ListEdit::Renumber { .. } => None,
    }
}

fn is_version<T: Item + PartialEq>(edit: &ListEdit<T, T::Id>, list: &[T]) -> bool {
    let there = one_of(list, edit.touches());
    match edit {
        ListEdit::Insert { item, .. } | ListEdit::Replace(item) => there == Some(item),
        ListEdit::Remove(_) => there.is_none(),
        ListEdit::Move { .. } | ListEdit::Renumber { .. } => true,
    }
}
