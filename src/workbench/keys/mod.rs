//! Keys and the actions they ask for: the names of keys ([`keystroke`]), the closed list of actions, and the one table that connects
//! them. One `row` of that says which keys ask for an action; the rows of a teacher's own `key_file` are laid over it. Sentences that name
//! keys are in [`named`], the headings of the help screen in [`headings`], what is misspelt in `near`.
//!
//! Start with [`action`], then [`table`], which dispatch, hint line and help screen all read. What an action does is
//! not here: each pane, box and view performs its own.

pub mod action;
pub mod headings;
mod key_file;
pub mod keystroke;
pub mod named;
pub(in crate::workbench) mod near;
mod row;
pub mod table;
