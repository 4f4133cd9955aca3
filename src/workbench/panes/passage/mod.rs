//! The passage: the segment's music as tab, with a cursor to write it.
//!
//! Start with [`pane`] (what the pane knows and how it follows the lesson). `cursor` moves and
//! selects; `writing` turns keys into edits, whose music is [`crate::lesson::phrase`]; `playing` puts
//! techniques on notes; `reasons` says why a key changes the music; `heard` is for the ear; `asking` opens boxes, in the words of `entry`, and `answer` takes
//! what was typed or picked in them; `text_tab` reads tab from files; `sheet` keeps the tab that is
//! in view and where each event stands in it; `view` draws.
//!
//! Invariants: after `follow` the cursor lies in the bars that are shown and on a string of the
//! instrument; only the tab in view is made, and made again only where its bars have changed.

mod answer;
mod asking;
mod cursor;
mod entry;
mod heard;
pub mod pane;
mod playing;
mod reasons;
mod sheet;
mod text_tab;
mod view;
mod writing;

pub use pane::{PassagePane, Strike};
pub use text_tab::take_pasted_tab;
pub use view::{draw, draw_line};
pub use writing::Chord;
