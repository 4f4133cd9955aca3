//! Text made safe for terminal and paper, fitted to a width, wrapped and quoted.
//!
//! Start with [`safe`], through which everything goes that a user or a file has written; [`acting_characters`] is the
//! list of what it replaces. [`width`] is the one measure of columns, by which [`fit`] cuts and [`wrap`] breaks;
//! [`quote`] repeats inside a message what the user wrote. Which characters there are to write with is the [`charset`], and what it may
//! be printed on is [`paper`].
//! Nothing here knows what the text is about: no other part of the house is named in this folder.

pub mod acting_characters;
pub mod charset;
pub mod fit;
pub mod paper;
pub mod quote;
pub mod safe;
pub mod width;
pub mod wrap;
