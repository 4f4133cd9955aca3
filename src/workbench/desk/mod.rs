//! The desk: an open lesson with its five panes; what is done in one of them shows in the others.
//!
//! Start with [`open_desk`]; [`layout`] says where each pane stands on the screen. `voicings` carries things between panes and lesson, `undo` takes back what was done last,
//! whatever its sort, `scores` are what can be heard, `mending` mends from the list of what is wrong, `library_facts`
//! changes what the library knows. Boxes, keys and the screen are not here.

pub mod layout;
mod library_facts;
mod mending;
pub mod open_desk;
pub(in crate::workbench) mod scores;
pub(in crate::workbench) mod undo;
pub(in crate::workbench) mod voicings;
