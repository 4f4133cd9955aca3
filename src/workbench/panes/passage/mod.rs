//! The passage: the segment's music as tab, with a cursor to write it.
//!
//! Start with [`PassagePane`] (`pane`: what the pane knows, how it follows the lesson, and how what is written reaches
//! it).
//!
//! - Its parts know nothing of it: `shown` is which passage is shown, `cursor` where the next key acts and what is
//!   selected, `written_next` what the next key writes, `page` the tab on the screen, which `sheet` keeps as far as it
//!   is in view, `heights` how many lines it needs, `flaws` what is wrong in which place, and `standpoint` a place to go back to.
//! - What a key comes to is a function of the passage and the cursor (`at_cursor`), by the music of
//!   [`crate::lesson::phrase`]: `writing` for frets, rests, lengths and bars, `playing` for techniques and joins,
//!   `copying` for what is copied, `column` for what is fretted at the cursor, `asking` for the boxes, in the words of `question_words`; `heading` says what is shown.
//! - What has to do with the whole pane stands over it: `acting` does what keys ask for, `digits` what digits do;
//!   `taking_answers` takes what was typed or picked in boxes, which `typed_answers`, `typed_name` and `typed_lengths` read, `reasons` gives a reason and
//!   `whole_passage` makes changes of; `whole_bars` says what became of whole bars; `chord_names` goes through names for bars that have none; `retuning` gives it another tuning, `text_tab` reads tab from files; `heard` is for the ear; `view` draws.
//!
//! Invariants: after `follow` the cursor lies in the bars that are shown and on a string of the instrument; only the
//! tab in view is made, and made again only where its bars have changed.

mod acting;
mod asking;
mod at_cursor;
mod chord_names;
mod column;
mod copying;
mod cursor;
mod digits;
mod flaws;
mod heading;
mod heard;
mod heights;
mod page;
mod pane;
mod playing;
pub mod question_words;
mod reasons;
mod retuning;
mod sheet;
mod shown;
pub mod standpoint;
mod taking_answers;
mod text_tab;
mod typed_answers;
mod typed_lengths;
mod typed_name;
mod view;
mod whole_bars;
mod whole_passage;
mod writing;
mod written_next;

pub use acting::Strike;
pub use column::{TakenColumn, column_at};
pub use heights::{CountedTab, TAB_EDGES, TabHeights, TabScreen};
pub use pane::PassagePane;
pub use retuning::{passage_shown, rig_shown};
pub use shown::plays_spot;
pub use text_tab::take_pasted_tab;
pub use view::{draw, draw_line, laid_out};
pub use writing::Chord;
