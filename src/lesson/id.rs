//! Identities: what links in a lesson hold on to, never positions, so that no edit has to chase indices; and which
//! lesson a lesson is.
//!
//! Links may dangle. A lesson with a broken link opens, and `check` says where it is broken: refusing to open it
//! would lock the rest away.
//!
//! A lesson's own identity stands beside its header, not in it: an edit replaces the header whole, and no edit, and
//! no journal of an older version, may make it another lesson. It is new where a lesson is made: from nothing or
//! from a template. Whatever comes from a lesson is the same lesson, under whatever name: a file saved again, saved
//! beside another because both were changed, copied by hand, a copy of a demo. Two files that are one lesson can be told
//! apart by what is in them; two that were one lesson and are no longer could not be brought together again. Who
//! makes another lesson from a copy takes its `id` out.
//!
//! A file that states none, of format 1 or written by hand, has one that follows from its content, so that two
//! machines that open it agree. It is written with the next save.

use std::fmt;
use std::hash::Hash;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::lists::each_list;
use crate::theory::pitch::serde_as_text;

/// The identity of a lesson: 80 bits that are drawn or follow from a file's content.
///
/// Among a million lessons, two are alike with a chance of one in two million million.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LessonId([u8; LessonId::BYTES]);

/// The digits of base 32, without letters that look like one of them or like each other (i, l, o), or are not needed (u).
const DIGITS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";

impl LessonId {
    /// How many bytes it has.
    pub const BYTES: usize = 10;

    /// Returns the identity of these bytes, which should differ for every lesson.
    pub const fn new(bytes: [u8; Self::BYTES]) -> Self {
        Self(bytes)
    }
}

/// Prints four groups of four digits: `7k3m-q2xf-9dwb-r8tz`.
impl fmt::Display for LessonId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let bits = self.0.iter().fold(0u128, |bits, byte| bits << 8 | u128::from(*byte));
        for place in 0..16 {
            if place > 0 && place % 4 == 0 {
                f.write_str("-")?;
            }
            let digit = usize::try_from(bits >> (75 - 5 * place) & 31).unwrap_or_default();
            f.write_str(
                DIGITS.get(digit..=digit).and_then(|digit| std::str::from_utf8(digit).ok()).unwrap_or_default(),
            )?;
        }
        Ok(())
    }
}

/// The text is no identity of a lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("expected the identity of a lesson, four groups of letters and digits as in `7k3m-q2xf-9dwb-r8tz`")]
pub struct LessonIdError;

impl FromStr for LessonId {
    type Err = LessonIdError;

    fn from_str(text: &str) -> Result<Self, LessonIdError> {
        let mut bits = 0u128;
        for (place, sign) in text.bytes().enumerate() {
            if place % 5 == 4 {
                if sign != b'-' {
                    return Err(LessonIdError);
                }
                continue;
            }
            let digit = DIGITS.iter().position(|digit| *digit == sign).and_then(|digit| u128::try_from(digit).ok());
            bits = bits << 5 | digit.ok_or(LessonIdError)?;
        }
        // Four groups of four, with three signs between.
        if text.len() != 19 {
            return Err(LessonIdError);
        }
        let mut bytes = [0; Self::BYTES];
        for (byte, value) in bytes.iter_mut().zip(bits.to_be_bytes().into_iter().skip(6)) {
            *byte = value;
        }
        Ok(Self(bytes))
    }
}

serde_as_text!(LessonId);

/// The identity of a thing in one of the lesson's lists. It is a number in the file.
pub trait Identity: Copy + Eq + Ord + Hash + fmt::Display + From<u32> + Into<u32> + Into<ItemId> {}

/// Declares one identity type for each list, and [`ItemId`] over all of them.
macro_rules! identities {
    ($({ $field:ident $id:ident $place:ident $word:literal $($rest:tt)* })+) => {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_identity_of_a_lesson_is_written_in_base_32() {
        // RFC 4648, section 6, with other digits: eighty bits are sixteen groups of five.
        let bytes = [0x00, 0x44, 0x32, 0x14, 0xc7, 0x42, 0x54, 0xb6, 0x35, 0xcf];
        assert_eq!(LessonId::new(bytes).to_string(), "0123-4567-89ab-cdef");
        assert_eq!("0123-4567-89ab-cdef".parse(), Ok(LessonId::new(bytes)));
        assert_eq!(LessonId::new([255; 10]).to_string(), "zzzz-zzzz-zzzz-zzzz");
    }

    #[test]
    fn what_is_no_identity_of_a_lesson_is_refused() {
        for text in ["", "0123", "0123-4567-89ab", "0123-4567-89ab-cdef-0", "0123-4567-89ab-cde", "0123456789abcdef012"]
        {
            assert_eq!(text.parse::<LessonId>(), Err(LessonIdError), "{text}");
        }
        for sign in ["i", "l", "o", "u", "A", "é", "-"] {
            assert_eq!(format!("{sign}123-4567-89ab-cdef").parse::<LessonId>(), Err(LessonIdError), "{sign}");
        }
    }
}
