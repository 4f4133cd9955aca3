//! The recording view: the clock of the video, and starts stamped while the camera runs.
//!
//! Start with [`pane`]; `strokes` does what its keys ask, [`clock`] is the clock itself, [`cues`] what there is to say and
//! to play, [`words`] what is said of missing and replaced times; [`view`] draws, with digits from [`clock_face`].

pub mod clock;
pub mod clock_face;
pub mod cues;
pub mod pane;
mod strokes;
pub mod view;
pub mod words;
