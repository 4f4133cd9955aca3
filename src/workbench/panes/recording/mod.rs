//! The recording view: the clock of the video, and starts stamped while the camera runs.
//!
//! Start with [`pane`]; [`clock`] is the clock itself, [`words`] what is said of missing and replaced times, [`view`] draws,
//! with digits from [`clock_face`].

pub mod clock;
pub mod clock_face;
pub mod pane;
pub mod view;
pub mod words;
