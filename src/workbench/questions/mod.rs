//! What a box is about and what can be picked in one: plain data, one file for each asker.
//!
//! A box carries a [`question::Question`], or lines that each carry a [`pick::Pick`], and knows nothing more about
//! them. `update` hands what was typed or picked back to the asker, whose folder decides what it does. Start with
//! [`question`].
//!
//! A question is kept beside the lesson while it is being answered, so that a crash leaves it open: it reads and writes itself.
//!
//! Nothing here acts, and nothing here knows a pane, a box or the screen.

pub mod desk;
pub mod fretboard;
pub mod library;
pub mod passage;
pub mod pick;
pub mod program;
pub mod question;
pub mod readings;
pub mod recording;
pub mod sound;
pub mod start;
pub mod timeline;
