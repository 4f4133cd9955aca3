//! Placement: where on the neck a line of pitches is played, and with which fingers.
//!
//! Start with [`line`](mod@line) (what is asked) and [`place`]. A line is a sequence of slices, each with the notes
//! that start together. The cheapest chain of hand positions is found as published for guitars
//! (Sayegh, *Computer Music Journal* 13(3), 1989; Lombardo & Radicioni, "Guitar fingering for music
//! performance"): a layer for each slice, a state for each way to play it, the shortest path through.
//!
//! 1. `layers` adds to every slice what rings on from before.
//! 2. `candidates` lists the ways to play one layer: strings, a hand position, fingers (`grip`).
//! 3. `broken` finds the broken chords, which may be played from one grip of all their notes; `hints` has what the names
//!    over the line say of them. `runs` finds the fast scales that are played three notes on each string,
//!    and `shuffle` the fifths and sixths over one root.
//!    `repeats` finds the notes that come back within a phrase.
//! 4. `search` puts it all together, and `path` walks the layers, linear in their number; `moves` says what a step
//!    costs, and `bundles` tries only the pairs of states that fit together.
//!
//! All of them see the neck as `board` has it; what cannot be placed is an `error`.
//!
//! Costs are whole thousandths, so that sums do not depend on their order. [`weights`] reads them from
//! `assets/placement.ron`. With a capo over all strings the neck is measured as if it were the nut, so
//! that the same shapes are chosen with and without it.
//!
//! States are a hand position with the strings and fingers of one moment; moves along the neck and across the
//! strings cost apart, as in the published model. Its weights could not be read, so those of `assets/placement.ron`
//! are ours, chosen by lines whose place every teacher knows (tests/practice). For a single note every finger is a state, for a chord
//! only the best grip. A note that rings on is part of the later moments too. States that ring alike are weighed
//! together, which loses nothing; beyond 1,024 states of a moment, or 2,400 spreads of a chord over the strings,
//! only the most promising are tried.

mod board;
mod broken;
mod bundles;
mod candidates;
mod error;
mod grip;
mod hints;
mod layers;
pub mod line;
mod moves;
mod path;
mod repeats;
mod runs;
mod search;
mod shuffle;
pub mod weights;

pub use error::PlacementError;
pub use search::{LetGo, Placed, PlacedSlice, Placement, can_be_held, place, place_under};

#[cfg(test)]
mod tests;
