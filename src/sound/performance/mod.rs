//! Performance: shapes and passages become scores.
//!
//! [`passage`] plays what is written, in time; [`shape`] plays what the fingers hold, for the ear. `manners` has the
//! numbers that notation leaves open (`assets/playing.ron`), `sketch` is a note while it is being made, and `technique`
//! is the effect of each way of playing on it. Everything is pure: no clock, no device and no samples.

mod manners;
pub mod passage;
pub mod shape;
mod sketch;
mod technique;
