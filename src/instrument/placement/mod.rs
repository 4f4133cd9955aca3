//! Placement: where on the neck a line of pitches is played, and with which fingers.
//!
//! Start with [`line`](mod@line) (what is asked) and [`place`]. A line is a sequence of slices, each with the notes
//! that start together. The cheapest chain of hand positions is found as published for guitars
//! (Sayegh, *Computer Music Journal* 13(3), 1989; Lombardo & Radicioni, "Guitar fingering for music
//! performance"): a layer for each slice, a state for each way to play it, the shortest path through.
//!
//! 1. `layers` adds to every slice what rings on from before.
//! 2. `candidates` lists the ways to play one layer: strings, a hand position, fingers (`grip`).
//! 3. `search` walks the layers, linear in their number; `moves` says what a step costs, and `bundles` tries only
//!    the pairs of states that fit together.
//!
//! Costs are whole thousandths, so that sums do not depend on their order. [`weights`] reads them from
//! `assets/placement.ron`. With a capo over all strings the neck is measured as if it were the nut, so
//! that the same shapes are chosen with and without it.

mod board;
mod bundles;
mod candidates;
mod error;
mod grip;
mod layers;
pub mod line;
mod moves;
mod search;
pub mod weights;

pub use error::PlacementError;
pub use search::{LetGo, Placed, PlacedSlice, Placement, can_be_held, place};

#[cfg(test)]
mod tests;
