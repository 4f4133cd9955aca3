//! What happens to the workbench and what it wants done: closed lists, plain data.
//!
//! Start with [`message`]; [`pane_reply`] is what a pane answers when it has done what was asked.

pub(in crate::workbench) mod clipboard;
pub mod message;
pub mod pane_reply;
