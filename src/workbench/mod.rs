//! The workbench: a lesson on the screen, changed by keys.
//!
//! Start with [`message`] (what can happen, and what can be wanted), [`state`] and [`update`], the
//! only writer of state. [`action`] lists what can be asked for and [`keys`] is the one table of
//! keys; each of [`panes`] has its state, its actions and its drawing; [`screen`] draws the whole.
//! [`runtime`] is the only impure part: it reads events, performs effects and reports back.
//!
//! Invariants: `update` never touches the terminal, a file or a clock; drawing changes nothing, and
//! the same state gives the same cells; nothing from a lesson reaches the terminal uncleaned; no
//! redraw without a message.

pub mod action;
mod answer;
mod appearance;
pub mod boxes;
mod boxes_view;
mod clipboard;
pub mod desk;
mod draft;
mod ears;
pub mod edited_lesson;
pub mod hearing;
mod help;
pub mod key;
pub mod keys;
pub mod layout;
mod library_facts;
pub mod library_item;
pub mod listening;
pub mod look;
mod mending;
pub mod message;
mod music;
mod new_lesson;
pub mod panes;
mod path_names;
pub mod pen;
mod pointing;
pub mod preview;
mod preview_view;
pub mod reply;
pub mod runtime;
pub mod screen;
pub mod search;
mod search_view;
pub mod session;
pub mod shelf;
pub mod short_time;
pub mod state;
mod steps;
mod targets;
mod terminal;
pub mod theme;
mod typed_time;
pub mod typing;
pub mod update;
pub mod video_clock;
mod voicings;

pub use runtime::{Ended, OpenFirst, RunOptions, run};
