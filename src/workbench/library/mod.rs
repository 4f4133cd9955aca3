//! The library as the workbench has it open: its voicings with what they are found by ([`item`]), what is kept of it on
//! the disk ([`shelf`]), and what a key did to it ([`shelved`]). The runtime reads and writes its file. The pane that
//! shows it is in `panes/library`.

pub mod item;
pub mod shelf;
pub mod shelved;
