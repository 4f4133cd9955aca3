//! The command line: one file for each command, its arguments in [`args`].
//!
//! Start with [`dispatch`]. A command returns what it printed and how it went; nothing here draws a
//! pane. Opening the workbench is handed back to `main`, which alone knows both.

pub mod args;
pub mod dispatch;
