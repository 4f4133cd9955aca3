//! The handout: what a student prints and puts on the music stand.
//!
//! Start with [`handout`] and [`options`]. The way of a lesson to paper: `content` decides what
//! goes in and in which order, `front`, `section` and `closing` write it as blocks of lines (with
//! `setup` for the boxes that say a setup and `names` for chord names as they shall read), and
//! `pages` puts blocks on pages without splitting one that fits on a page. `page_look` draws the lines of all of them, and `write` takes the way from
//! its beginning to its end.
//!
//! What goes in: every piece that a chosen segment uses, in the order of first use, with the
//! passages and voicings used; what belongs to no piece stands under the title of the segment that
//! uses it first. Under a heading the music is grouped by the setup it is played in, and each group
//! has its box: a chord saved with a capo never stands in the box without. A passage is printed whole even where a segment plays some of its
//! bars, because students want to see what comes next. Passages and voicings that no segment uses are a
//! teacher's drafts: they follow under a heading of their own where the lesson has no segments, or where they are asked for.
//!
//! Invariants: no line is wider than the page, no page longer; every character that comes from
//! the lesson has been made safe by [`crate::text::safe`].

mod closing;
mod content;
mod front;
mod names;
pub mod options;
mod page_look;
mod pages;
mod section;
mod setup;
mod write;

pub use pages::{Handout, Page};
pub use write::{handout, handout_on_pages_of, handout_while};
