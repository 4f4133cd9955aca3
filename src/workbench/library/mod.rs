//! The library as the workbench has it open: its voicings with what they are found by ([`item`]), and what is kept of it
//! on the disk ([`shelf`]). The runtime reads and writes its file. The pane that shows it is in `panes/library`.

pub mod item;
pub mod shelf;
