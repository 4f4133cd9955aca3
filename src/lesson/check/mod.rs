//! Problems found in a lesson, each with its place, reason and remedy.
//!
//! Start with [`check`] (`checks`) and [`finding`]; [`kept`] looks again only at what has changed. The families:
//!
//! - identities and links: `links`;
//! - the sums of bars, tuplets and repeats: `bars`, `tuplets`, `repeats`;
//! - notes on the neck: `neck`, `strings`, by what each setup makes of its instrument (`rigs`) and where a string rings when it is touched (`nodes`);
//! - joins and techniques: `joins`, `techniques`; chords that no hand can hold: `held`; that lie elsewhere than their grid: `other_shape`;
//! - chord names, voicings and doubts: `voicings`; names that the notes contradict: `names`;
//! - segments, setups and chapters, what no segment has, what is used nowhere, in another tuning or in one that nobody stated: `segments`, `retuning`, `chapters`, `gaps`, `unused`,
//!   `elsewhere`, `shown_elsewhere`, `assumed`; titles of retunings, shapes without a name: `retuning_titles`, `unnamed`;
//! - text and numbers: `text`, `numbers`.
//!
//! `walk` goes through the notes of a passage as they are played, `words` says numbers and lists, and `remedy` mends what leaves nothing to
//! decide (`mending`: edits with their words; `one_tuning`: the ways about tunings; `name_remedies`: those about names). A finding never stops anything: a lesson full of them can be opened, shown and changed.

mod assumed;
mod bars;
mod chapters;
mod checks;
mod elsewhere;
pub mod finding;
mod gaps;
mod held;
mod joins;
pub mod kept;
mod links;
mod mending;
mod name_remedies;
mod names;
mod neck;
mod nodes;
mod numbers;
mod one_tuning;
mod other_shape;
mod remedy;
mod repeats;
mod retuning;
mod retuning_titles;
mod rigs;
mod segments;
mod shown_elsewhere;
mod strings;
mod techniques;
mod text;
mod tuplets;
mod unnamed;
mod unused;
mod voicings;
mod walk;
mod words;

#[cfg(test)]
mod tests;

pub use chapters::{ChapterFault, ToldFault, chapter_faults};
pub use checks::{check, unplayable};
pub use finding::{Finding, FindingKind, Severity};
pub use kept::Checked;
pub use mending::Remedy;
pub use names::contradicted;
pub use remedy::{choices, choices_with, is_a_choice, mended_by, remedy};
pub use retuning::{CHANGE_INSTRUMENT, MOVE_CAPO, RETUNE_STRING, retuned_strings};
