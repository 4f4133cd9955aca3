//! The library as the workbench has it open: its voicings with what they are found by ([`item`]), and how it is read and
//! written behind the keys ([`shelf`]). The pane that shows it is in `panes/library`.

pub mod item;
pub mod shelf;
