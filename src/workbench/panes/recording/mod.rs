//! The recording view: the clock of the video, and the starts of segments, stamped while the camera runs.
//!
//! Start with [`pane`]. `strokes` performs the view's actions, [`clock`] is the clock itself, [`cues`] lists what there
//! is to say and to play, and [`words`] puts missing and replaced times into words. [`view`] draws, with the digits of
//! [`clock_face`]. Nothing here records sound or pictures.

pub mod clock;
pub mod clock_face;
pub mod cues;
pub mod pane;
mod strokes;
pub mod view;
pub mod words;
