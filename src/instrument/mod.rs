//! Fretted instruments: tunings, the neck and its geometry, shapes, harmonics.
//!
//! Start with [`neck`] (string numbers, frets, shapes) and [`tuning`]; [`body`] is the instrument
//! itself. Arrays over strings always run from the highest string number down to string 1, as
//! shapes are written; nothing here assumes six strings, or that string order is pitch order.
//! Nothing here knows about lessons.

pub mod body;
pub mod neck;
pub mod tuning;
