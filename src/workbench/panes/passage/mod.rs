//! The passage: the segment's music as tab, with a cursor to write it.
//!
//! Start with [`pane`] (what the pane knows and how it follows the lesson). Its parts: `cursor` moves and selects;
//! `written_next` is what the next key writes; `page` is the tab on the screen, which `sheet` keeps as far as it is in view;
//! `uneven` says which bars do not add up. `writing` turns keys into edits, whose music is [`crate::lesson::phrase`];
//! `playing` puts techniques on notes; `reasons` says why a key changes the music; `asking`
//! holds what is typed or chosen in boxes; `heard` is for the ear; `view` draws.
//!
//! Invariants: after `follow` the cursor lies in the bars that are shown and on a string of the
//! instrument; only the tab in view is made, and made again only where its bars have changed.

mod asking;
mod cursor;
mod heard;
mod page;
pub mod pane;
mod playing;
mod reasons;
mod sheet;
mod uneven;
mod view;
mod writing;
mod written_next;

pub use asking::{PassagePick, Question};
pub use pane::{PassagePane, Strike, ask_file};
pub use view::{draw, draw_line};
pub use writing::Chord;
