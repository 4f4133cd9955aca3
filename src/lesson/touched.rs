//! What edits have touched, for whoever keeps something that follows from a lesson and does not want to
//! work all of it out anew after every change.

use std::collections::hash_map::Entry;
use std::collections::{BTreeSet, HashMap};
use std::hash::Hash;

use super::edit::{Edit, Item, ListEdit};
use super::lists::each_list;

/// Items of one list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Items<Id> {
    /// These, which may be new, changed, moved or gone.
    Only(BTreeSet<Id>),
    /// Any of them.
    All,
}

impl<Id> Default for Items<Id> {
    fn default() -> Self {
        Self::Only(BTreeSet::new())
    }
}

impl<Id: Ord> Items<Id> {
    /// Returns whether the item may have been touched.
    pub fn has(&self, id: &Id) -> bool {
        match self {
            Self::Only(ids) => ids.contains(id),
            Self::All => true,
        }
    }

    /// Returns whether there are none.
    pub fn is_empty(&self) -> bool {
        match self {
            Self::Only(ids) => ids.is_empty(),
            Self::All => false,
        }
    }

    fn add(&mut self, id: Id) {
        if let Self::Only(ids) = self {
            ids.insert(id);
        }
    }

    fn note<T: Item<Id = Id>>(&mut self, edit: &ListEdit<T, Id>)
    where
        Id: Copy,
    {
        match edit {
            ListEdit::Insert { item, .. } | ListEdit::Replace(item) => self.add(item.id()),
            ListEdit::Remove(id) | ListEdit::Move { id, .. } => self.add(*id),
            // It does not say which identity the item had.
            ListEdit::Renumber { .. } => *self = Self::All,
        }
    }
}

/// Declares what may be touched of each list.
macro_rules! touched {
    ($({ $field:ident $id:ident $place:ident $word:literal $edit:ident $($rest:tt)* })+) => {
        /// The parts of a lesson that edits have touched. What is not named here is as it was.
        #[derive(Debug, Clone, PartialEq, Eq, Default)]
        pub struct Touched {
            /// The header.
            pub header: bool,
            $(
                #[doc = concat!("The ", $word, "s.")]
                pub $field: Items<super::id::$id>,
            )+
        }

        impl Touched {
            /// Returns that everything may have been touched: nothing is known of the lesson before.
            pub const fn everything() -> Self {
                Self { header: true, $($field: Items::All,)+ }
            }

            /// Notes what `edits` touch when they are applied.
            pub fn note(&mut self, edits: &[Edit]) {
                for edit in edits {
                    match edit {
                        Edit::Header(_) => self.header = true,
                        $(Edit::$edit(edit) => self.$field.note(edit),)+
                        Edit::Bars { passage, .. } => self.passages.add(*passage),
                    }
                }
            }
        }
    };
}

each_list!(touched);

/// Returns the items of `kept` that still stand, by their identity; what shares one with another is left out, since
/// nobody can say which is which.
pub(crate) fn still_standing<T, Id: Eq + Hash>(
    kept: Vec<T>,
    id: fn(&T) -> Id,
    stands: impl Fn(&T) -> bool,
) -> HashMap<Id, T> {
    let mut known: HashMap<Id, Option<T>> = HashMap::with_capacity(kept.len());
    for item in kept {
        match known.entry(id(&item)) {
            Entry::Vacant(free) => _ = free.insert(stands(&item).then_some(item)),
            Entry::Occupied(mut taken) => _ = taken.insert(None),
        }
    }
    known.into_iter().filter_map(|(id, item)| Some((id, item?))).collect()
}
