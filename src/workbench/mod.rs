//! The workbench: a lesson on the screen, changed by keys.
//!
//! Start with [`messages`] (what can happen, and what can be wanted), [`state`] and [`update`], the
//! only writer of state. Its rooms stand one above the other, and each imports only from rooms below it; a test holds them
//! to that:
//!
//! - 0: [`keys`] (what can be asked for, and the one table of keys), [`drawing`], [`typing`], [`jobs`] (work behind the
//!   keys), [`questions`] (what a box is about, as plain data);
//! - 1: [`playback`], [`library`], [`editing`] (the open lesson and its changes);
//! - 2: [`boxes`], which lie over the panes;
//! - 3: [`messages`];
//! - 4: [`panes`], each a room of its own with its state, its actions, its answers and its drawing;
//! - 5: [`desk`], which keeps them together around the open lesson and says where they stand on the screen;
//! - 6: [`state`]; 7: [`update`] and [`screen`], neither of which knows the other;
//! - 8: [`runtime`], the only impure part: it reads events, performs effects and reports back.
//!
//! [`questions`] stands on the ground because [`editing`], [`boxes`] and [`messages`] all carry its data and it needs
//! nothing of theirs. [`state`] stands below those that write it and draw it.
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
