//! What happens to the workbench and what it wants done: closed lists, plain data.
//!
//! Start with [`message`] (what happens) and [`effect`] (what is wanted done, in three families); [`notice`] is a line
//! that is said, and [`said`] keeps what was; [`pane_reply`] is what a pane answers when it has done what was asked.

pub(in crate::workbench) mod clipboard;
pub mod effect;
pub mod message;
pub mod notice;
pub mod pane_reply;
pub mod said;
