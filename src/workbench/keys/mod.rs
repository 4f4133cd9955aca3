//! Keys and what they ask for: the words for keys, the closed list of actions, and the one table between them.
//!
//! Start with [`action`], then [`table`], which dispatch, hint line and help screen all read. What an action comes to is
//! not here: each pane, box and view does its own.

pub mod action;
pub mod key;
pub mod table;
