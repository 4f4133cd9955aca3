//! fingerpost: a lesson-prep workbench for people who teach fretted instruments on video.
//!
//! The folders are floors, and a floor imports only from those below it: `text`, then `theory`, then `instrument`, then `lesson` (the
//! document), then `tab`, `plan`, `sound`, `exchange` and `store`, then `workbench` and `cli`. DEVELOPERS.md has the map.

pub mod cli;
pub mod exchange;
pub mod instrument;
pub mod lesson;
pub mod plan;
pub mod sound;
pub mod store;
pub mod tab;
pub mod text;
pub mod theory;
pub mod workbench;
