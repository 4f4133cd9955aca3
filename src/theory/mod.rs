//! Music theory: pitch, spelling, degree, key, chord formula, chord symbols, readings.
//!
//! Start with [`pitch`], then [`degree`], [`interval`] and [`key`]. [`quality`] is the table of chord
//! kinds (`assets/qualities.ron`), [`formula`] and [`pitch_set`] the sets it is compared by;
//! [`symbol`] reads and prints chord symbols (`symbol_words` are what they are made of, `symbol_suffix` makes formulas of those). [`reading`] names
//! what sounds, by what else is known (`context`; `around` says what that does to a name): `ranking` says which names there are and what each costs, `reading_kind` of which sort,
//! `spelling` how roots are written, and `reason` why. Nothing here knows
//! about strings, files or terminals; a reading is made from pitches alone.

mod around;
mod context;
pub mod degree;
pub mod formula;
pub mod interval;
pub mod key;
pub mod pitch;
pub mod pitch_set;
pub mod quality;
mod ranking;
pub mod reading;
mod reading_kind;
mod reason;
mod spelling;
pub mod symbol;
mod symbol_suffix;
mod symbol_words;

pub(crate) use reason::{count, degree_name};
