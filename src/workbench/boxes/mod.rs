//! Boxes that lie over the panes and take every key until they are put away.
//!
//! Start with [`overlay`]: a line to type, talking points, a list to choose from, to mark or to read; [`preview`] shows
//! the handout, [`search`] finds an action, [`help`] lists the keys. `view` draws them.

pub mod help;
pub mod overlay;
pub mod preview;
pub(in crate::workbench) mod preview_view;
pub mod search;
mod search_view;
pub(in crate::workbench) mod view;
