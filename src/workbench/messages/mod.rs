//! What happens to the workbench and what it wants done: closed lists of plain data.
//!
//! Start with [`message`] (what happens) and [`effect`] (what is wanted, in three families). A [`notice`] is one line
//! for the person, [`said`] keeps the lines that were shown, and a [`pane_reply`] is what a pane returns after an
//! action; [`missing_starts`] names segments without a start time, [`retuning`] makes that of a change of tuning, [`beyond_neck`] says that a string has no such fret, and `clipboard` wraps up text for the terminal to keep. Nothing here performs an effect or draws.

pub mod beyond_neck;
pub(in crate::workbench) mod clipboard;
pub mod effect;
pub mod message;
pub mod missing_starts;
pub mod notice;
pub mod pane_reply;
pub mod retuning;
pub mod said;
