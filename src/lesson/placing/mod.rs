//! From notes in musical time to a passage on the neck, and from one tuning to another.
//!
//! Start with [`timed`]: a line of pitches in time becomes a passage ([`timed::TimedLine::placed`]). [`typed`] reads a
//! line as a player types it, [`bars`] writes what was placed into bars and [`lengths`] are how notes are long in type, [`mod@moved`] puts a passage that is
//! there already onto another rig with the pitches it has. Where on the neck it lies is decided by
//! [`crate::instrument::placement`].

pub mod bars;
pub mod lengths;
pub mod moved;
pub mod timed;
pub mod typed;
