//! The passage: the segment's music as tab, with a cursor to write it.
//!
//! Start with [`pane`] (what the pane knows and how it follows the lesson). Its parts: `cursor` moves and selects;
//! `written_next` is what the next key writes; `page` is the tab on the screen, which `sheet` keeps as far as it is in view;
//! `uneven` says which bars do not add up. `writing` turns keys into edits, whose music is [`crate::lesson::phrase`];
//! `playing` puts techniques on notes; `reasons` says why a key changes the music; `asking` opens boxes, in the words of
//! `entry`, and `taking_answers` takes what was typed or picked in them; `text_tab` reads tab from files; `heard` is for
//! the ear; `view` draws.
//!
//! Invariants: after `follow` the cursor lies in the bars that are shown and on a string of the
//! instrument; only the tab in view is made, and made again only where its bars have changed.

mod asking;
mod cursor;
mod entry;
mod heard;
mod page;
pub mod pane;
mod playing;
mod reasons;
mod sheet;
mod taking_answers;
mod text_tab;
mod uneven;
mod view;
mod writing;
mod written_next;

pub use pane::{PassagePane, Strike};
pub use text_tab::take_pasted_tab;
pub use view::{draw, draw_line};
pub use writing::Chord;
