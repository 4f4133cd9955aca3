//! The lesson that is open ([`edited_lesson`]), the changes to it that several places make ([`segment_changes`],
//! [`voicing_changes`], [`header_changes`]), what its strings are played on ([`rigs`], [`typed_tuning`]), and the one order in which
//! everything that was done is taken back ([`history`]). What another program has changed as well waits in [`undecided`].
//!
//! The only door to the document for everything above. Nothing here knows a pane, a box or the screen.

pub mod edited_lesson;
pub mod header_changes;
pub mod history;
pub mod rigs;
pub mod segment_changes;
pub mod typed_tuning;
pub mod undecided;
pub mod voicing_changes;
