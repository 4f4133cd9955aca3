//! The desk: an open lesson with its five panes; what is done in one of them shows in the others.
//!
//! Start with [`open_desk`]: what the desk holds, and how each pane follows the others; [`layout`] says where each
//! stands on the screen, by what [`room`] says that there is to show (`line_shares` shares the lines out), [`standpoint`] where the person stands who is asked something. What is done is held against what was declared of it there, too; `undeclared` tells what was not. Of
//! what the desk holds, `steps` is what was done, `own_voicings` the voicings of the lesson as
//! the library shows them, `problems` what is wrong with the lesson in words. Over it, `acting` does what is asked of
//! the desk and of several panes at once, `voicings` carries voicings between panes and lesson, `there_and_back` chords of the tab to the fretboard (`from_tab`) and their names back, `undo` takes back what
//! was done last, whatever its sort, and says so in `undone_words`, `places` goes to what was found, `mending` mends it, and `scores` are what can be
//! heard. Boxes, keys and the screen are not here.

mod acting;
mod from_tab;
pub mod layout;
mod line_shares;
mod mending;
pub mod open_desk;
mod own_voicings;
mod places;
mod problems;
pub mod room;
pub(in crate::workbench) mod scores;
pub mod standpoint;
mod steps;
mod there_and_back;
pub(in crate::workbench) mod undeclared;
mod undo;
mod undone_words;
mod voicings;
