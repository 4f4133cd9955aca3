//! Voicings: every way to play a chord on an instrument, best first.
//!
//! Start with [`search`]: [`search::voicings`] finds every shape that sounds a chord ([`tones`]), keeps to what is
//! asked ([`request`]), to a level of playing ([`level`]) and to what hands can do at all ([`limits`]) and can be held by the hand, and sorts them (`ranking`, `taught`). A
//! voicing that was found (`found_voicing`) has much to be said of it ([`voicing_words`]). [`board`] is a rig measured
//! once for many searches. [`path`] joins the voicings of a row of chords, of which `sieve` leaves most out beforehand; [`movement`] says how the hand
//! gets from one to the next, each a `stance`. [`elsewhere`] and [`shifting`] take one shape to other places; [`kept`] says what changes thereby.
//! [`open_shapes`] names the open shape that a shape comes from.

pub mod board;
pub mod elsewhere;
mod found_voicing;
pub mod kept;
pub mod level;
pub mod limits;
pub mod movement;
pub mod open_shapes;
pub mod path;
mod ranking;
pub mod request;
pub mod search;
pub mod shifting;
mod sieve;
mod stance;
mod taught;
pub mod tones;
pub mod voicing_words;
