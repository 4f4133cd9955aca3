//! The workbench: a lesson on the screen, changed by keys.
//!
//! Start with [`messages`] (what can happen, and what can be wanted), [`state`] and [`update`], the
//! only writer of state. [`keys`] lists what can be asked for and holds the one table of keys; each of [`panes`] has its
//! state, its actions and its drawing; [`desk`] keeps them together around the open lesson ([`editing`]); [`boxes`] lie
//! over them; [`screen`] draws the whole with [`drawing`]. [`runtime`] is the only impure part: it reads events, performs
//! effects and reports back.
//!
//! Invariants: `update` never touches the terminal, a file or a clock; drawing changes nothing, and
//! the same state gives the same cells; nothing from a lesson reaches the terminal uncleaned; no
//! redraw without a message.

pub mod boxes;
pub mod desk;
pub mod drawing;
pub mod editing;
pub mod jobs;
pub mod keys;
pub mod library;
pub mod messages;
pub mod panes;
pub mod playback;
pub mod questions;
pub mod runtime;
pub mod screen;
pub mod state;
pub mod typing;
pub mod update;

pub use runtime::{Ended, OpenFirst, RunOptions, run};
