//! Advancing the state, the only writer of it. Nothing here touches a terminal, a file or a sound device.
//!
//! Start with [`routing`]; `answers` takes what was typed or chosen in a box, `mouse` what was pointed at, `sound_keys` what
//! the keys about sound ask for; `draft` keeps what is not in the lesson yet, `new_lesson` asks what a new one needs.

mod answers;
mod draft;
mod mouse;
pub(in crate::workbench) mod new_lesson;
pub mod routing;
pub(in crate::workbench) mod sound_keys;
