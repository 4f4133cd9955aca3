//! Voicings: every way to play a chord on an instrument, best first.
//!
//! Start with [`search`]: [`search::voicings`] finds every shape that sounds a chord ([`tones`]), keeps to what is
//! asked ([`request`]) and can be held by the hand, and sorts them (`ranking`). [`board`] is a rig measured once
//! for many searches.

pub mod board;
mod ranking;
pub mod request;
pub mod search;
pub mod tones;
pub mod why;
