//! Sound: what stands in a lesson, made audible.
//!
//! [`score`] is the language between two halves. One half turns shapes and passages into a [`score::Score`]: which
//! string is set going when, at which pitch, and how. The other half makes samples of it, and sends them to a file or a
//! device. A score knows no lesson, and what plays it knows no music.

pub mod score;
