//! The passage: the segment's music as tab, with a cursor to write it.
//!
//! Start with [`pane`] (what the pane knows and how it follows the lesson). `cursor` moves and
//! selects; `writing` turns keys into edits, whose music is [`crate::lesson::phrase`]; `playing` puts
//! techniques on notes; `heard` is for the ear; `reasons` says why a key changes the music; `asking` holds what is typed or chosen in boxes; `sheet` keeps the tab that is
//! in view and where each event stands in it; `view` draws.
//!
//! Invariants: after `follow` the cursor lies in the bars that are shown and on a string of the
//! instrument; only the tab in view is made, and made again only where its bars have changed.

mod asking;
mod cursor;
mod heard;
pub mod pane;
mod playing;
mod reasons;
mod sheet;
mod view;
mod writing;

pub use asking::{PassagePick, Question};
pub use pane::{PassagePane, Strike, ask_file};
pub use view::{draw, draw_line};
pub use writing::Chord;
