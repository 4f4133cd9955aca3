//! Music theory: pitch, spelling, degree, key, chord formula, chord symbols, readings.
//!
//! Start with [`pitch`], then [`degree`] and [`key`]; [`symbol`] reads and prints chord symbols and
//! [`reading`] names what sounds. Nothing here knows about strings, files or terminals; a reading
//! is made from pitches alone.

pub mod degree;
pub mod key;
pub mod pitch;
pub mod reading;
pub mod symbol;
