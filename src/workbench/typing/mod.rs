//! Typing: lines with a cursor ([`lines`]), text that was `pasted`, and times as a teacher types them ([`time`],
//! and in words in [`time_words`]).
//!
//! The purpose of a line and what becomes of it are not here: see the boxes and the code that opens them.

pub mod lines;
pub mod pasted;
pub mod time;
pub mod time_words;
