//! Performance: shapes and passages become scores.
//!
//! [`passage`] plays what is written, in time; [`shape`] plays what the fingers hold, for the ear. `manners` are the
//! numbers that notation leaves open (`assets/playing.ron`), `sketch` a note while it is being made, `technique` what
//! each way of playing does to it. Pure: no clock, no device.

mod manners;
pub mod passage;
pub mod shape;
mod sketch;
mod technique;
