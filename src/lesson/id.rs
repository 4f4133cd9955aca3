//! Identities: what links in a lesson hold on to. Never positions, so that no edit has to chase indices.

use std::fmt;
use std::hash::Hash;

use serde::{Deserialize, Serialize};

use super::lists::each_list;

/// The identity of a thing in one of the lesson's lists. It is a number in the file.
pub trait Identity: Copy + Eq + Ord + Hash + fmt::Display + From<u32> + Into<u32> + Into<ItemId> {}

/// Declares one identity type for each list, and [`ItemId`] over all of them.
macro_rules! identities {
    ($($field:ident {
        item: $item:ty,
        id: $id:ident,
        edit: $edit:ident,
        place: $place:ident $(($part:ident: $part_type:ty))?,
        one: $one:ident,
        word: $word:literal,
    })+) => {
        $(
            #[doc = concat!("The identity of a ", $word, ".")]
            #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
            #[serde(transparent)]
            pub struct $id(pub u32);

            impl Identity for $id {}

            impl From<u32> for $id {
                fn from(number: u32) -> Self {
                    Self(number)
                }
            }

            impl From<$id> for u32 {
                fn from(id: $id) -> Self {
                    id.0
                }
            }

            impl From<$id> for ItemId {
                fn from(id: $id) -> Self {
                    Self::$place(id)
                }
            }

            impl fmt::Display for $id {
                fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                    self.0.fmt(f)
                }
            }
        )+

        /// The identity of anything in a lesson's lists, in the order of the lists.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum ItemId {
            $(
                #[doc = concat!("A ", $word, ".")]
                $place($id),
            )+
        }

        impl ItemId {
            /// Returns its number.
            pub const fn number(self) -> u32 {
                match self {
                    $(Self::$place(id) => id.0,)+
                }
            }

            /// Returns the identity with this number in the same list.
            #[must_use]
            pub const fn with_number(self, number: u32) -> Self {
                match self {
                    $(Self::$place(_) => Self::$place($id(number)),)+
                }
            }

            /// Returns what a player calls such a thing.
            pub const fn word(self) -> &'static str {
                match self {
                    $(Self::$place(_) => $word,)+
                }
            }

            /// Returns which of the lists it is in, counted from 0.
            pub(super) const fn list(self) -> u8 {
                /// The lists, in their order.
                enum List {
                    $($place,)+
                }
                match self {
                    $(Self::$place(_) => List::$place as u8,)+
                }
            }
        }
    };
}

each_list!(identities);
