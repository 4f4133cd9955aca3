//! Boxes that lie over the panes and take every key until they are put away.
//!
//! Start with [`overlay`], any of them: a line to type ([`typed_line`]), [`points`] to write, a list to choose from
//! ([`choice`], if need be under two versions [`side_by_side`]), to mark ([`marks`]; letters [`jump`] to a line of both) or to read ([`list`]), the [`preview`] of the handout, the [`search`] for an action, the [`help`] that lists all keys, each a
//! `narrowed_list` that a `typed_query` narrows, in the `other_words` of players too; `pointers` say what to do where no key does it.
//! A [`verdict`] says whether the box is done with. `view` draws them in their `frame`, each kind with a file of its own: `typed_view`, `lines_view` (to choose from and to mark), `list_view`,
//! `side_by_side_view`, `preview_view`, `search_view`, `help_view`.
//!
//! A box knows a question or what can be picked as plain data ([`crate::workbench::questions`]). Who asks, and what
//! becomes of the answer, is not here.

pub mod choice;
mod frame;
pub mod help;
mod help_view;
pub mod jump;
mod lines_view;
pub mod list;
pub(in crate::workbench) mod list_view;
pub mod marks;
mod narrowed_list;
mod other_words;
pub mod overlay;
mod pointers;
pub mod points;
pub mod preview;
pub(in crate::workbench) mod preview_view;
pub mod search;
mod search_view;
pub mod side_by_side;
mod side_by_side_view;
pub mod typed_line;
mod typed_query;
pub(in crate::workbench) mod typed_view;
pub mod verdict;
pub(in crate::workbench) mod view;
