//! Advancing the state, the only writer of it. Nothing here touches a terminal, a file or a sound device.
//!
//! Start with [`routing`], which takes in messages; `acting` does what keys ask. `box_answers` takes what was typed or
//! picked in a box to whoever asked, `mouse` what was pointed at to the pane under it. What belongs to no pane is done here:
//! `leaving` saves and leaves, `handout` shows and writes the handout, `colours` chooses a theme, `program` takes what these
//! three offer; `sound_keys` has things heard, `help` lists messages, `draft` keeps what is not in the lesson yet,
//! `file_names` completes and tells names, `taking_over` opens what another window had, `versions` decides what was changed on both sides.

mod acting;
mod box_answers;
mod colours;
pub mod draft;
mod file_names;
mod handout;
mod help;
mod leaving;
mod mouse;
mod program;
pub mod routing;
pub(in crate::workbench) mod sound_keys;
pub mod taking_over;
mod versions;
