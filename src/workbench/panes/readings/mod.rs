//! The readings pane ([`pane`]): every sensible name of what sounds, worked out in [`naming`].

pub mod naming;
pub mod pane;
