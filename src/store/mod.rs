//! Lessons, the voicing library and the settings on disk; nothing a teacher has written is lost.
//!
//! Start with [`lesson_file`]: reading a lesson and saving it. [`fault`] says in a teacher's words
//! what is wrong with a file and where, [`layout`] keeps the text friendly to hand edits and diffs,
//! and [`atomic`] puts a file in place whole or not at all.
//!
//! Invariants: a file that cannot be read is never written over; a save that fails leaves the old
//! file as it was; what is read from a file is data, and control characters in it are shown, not
//! sent.

pub mod atomic;
pub mod demos;
pub mod fault;
pub mod fingerprint;
pub mod layout;
pub mod lesson_file;
pub mod migration;
