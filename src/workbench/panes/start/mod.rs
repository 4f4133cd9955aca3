//! The start screen: what one can do when no lesson is open ([`pane`]), what a new lesson needs ([`new_lesson`]), and the
//! library to be looked through ([`library_list`]).

pub mod library_list;
pub mod new_lesson;
pub mod pane;
