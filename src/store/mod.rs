//! Lessons, the voicing library and the settings on disk; nothing a teacher has written is lost.
//!
//! Start with [`open_lesson`]: a lesson that is being worked on, with its lock ([`lock`]) and its
//! journal ([`journal`]). [`lesson_file`] reads and saves the file itself; [`fault`] says in a
//! teacher's words what is wrong with a file and where, [`layout`] keeps the text friendly to hand
//! edits and diffs, and [`atomic`] puts a file in place whole or not at all. Every change of
//! the disk goes through [`disk`], so that a test can have it fail. What is not in the lesson yet is a [`draft`]; what undo takes back
//! behind a save is in the [`undo_file`]. [`library`] and
//! [`settings`] lie in the user's [`folders`], with what was [`printed`] and the [`last_places`], which both remember what came `latest`, and are changed as a [`user_file`]; the [`demos`] are compiled in.
//!
//! Below these: [`formats`] says what is written today, [`migration`] reads what is older, [`ron_file`] reads all of them and `explanation` says
//! what RON found wrong; a [`fingerprint`] shows whether a file has changed. `temporary` names what is written before it takes its place, and
//! [`leftovers`] takes away what killed processes have left. [`title_of_file`] makes titles of file names; [`random`] asks the operating system for
//! what must differ on every machine.
//!
//! Invariants: a file that cannot be read is never written over; a save that fails leaves the old
//! file as it was; what is read from a file is data, and control characters in it are shown, not
//! sent.

pub mod atomic;
pub mod demos;
pub mod disk;
pub mod draft;
mod explanation;
pub mod fault;
pub mod fingerprint;
pub mod folders;
pub mod formats;
pub mod journal;
pub mod last_places;
mod latest;
pub mod layout;
pub mod leftovers;
pub mod lesson_file;
pub mod library;
pub mod lock;
pub mod migration;
pub mod open_lesson;
pub mod printed;
pub mod random;
pub mod ron_file;
pub mod settings;
mod temporary;
pub mod title_of_file;
pub mod undo_file;
pub mod user_file;
