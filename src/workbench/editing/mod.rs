//! The lesson that is open ([`edited_lesson`]) and the changes to it that several places make ([`segment_changes`]).
//!
//! The only door to the document for everything above. Nothing here knows a pane, a box or the screen.

pub mod edited_lesson;
pub mod segment_changes;
