//! Problems found in a lesson, each with its place, reason and remedy.
//!
//! Start with [`check`] and [`finding`]; [`kept`] looks again only at what has changed. One file per family: identities and links; the sums of
//! bars, tuplets and repeats; notes on the neck; joins and techniques; chord names, voicings and
//! doubts; segments, setups and chapters; text and numbers. A finding never stops anything: a
//! lesson full of them can be opened, shown and changed.

mod bars;
mod chapters;
pub mod finding;
mod joins;
pub mod kept;
mod links;
mod neck;
mod nodes;
mod numbers;
mod remedy;
mod repeats;
mod retuning;
mod rigs;
mod segments;
mod strings;
mod techniques;
mod text;
mod tuplets;
mod voicings;
mod walk;
mod whole;
mod words;

#[cfg(test)]
mod tests;

pub use finding::{Finding, FindingKind, Severity};
pub use kept::Checked;
pub use remedy::{Remedy, choices, is_a_choice, mended_by, remedy};
pub use retuning::{CHANGE_INSTRUMENT, MOVE_CAPO, RETUNE_STRING, retuned_strings};
pub use whole::{bar_lengths, check, unplayable};
