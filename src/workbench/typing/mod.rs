//! Typing: lines with a cursor ([`lines`]), and times as a teacher types them ([`time`]).
//!
//! What is typed for, and what becomes of it, is not here: see the boxes and whoever opens them.

pub mod lines;
pub mod time;
