//! Text tab read back into a passage.
//!
//! Start with [`read()`]. Two kinds of tab come in by the same door:
//!
//! - what [`super::passage`] writes, with a length over every note: it reads back to the same
//!   passage, but for what tab cannot carry (see [`comparable()`]);
//! - the ragged kind that people keep in old files, without rhythm: it reads in with a [`Guess`]
//!   for everything that the text does not say.
//!
//! `lines` finds the strings in the text and `rows_beside` reads what stands around them, `notes` reads the signs on a string, `exact` and `ragged`
//! build bars from them (without rhythm, a `raw_bar` first), `lengths` guesses a rhythm from spacing, `labels` a tuning from labels;
//! `partial` adds strings that are named but not drawn, `written` reads what the lines on top say, `title` the title among them, `tuning_words` what they say of the tuning, and
//! `guess_list` keeps the list of guesses short. [`own_tuning`] says to which tuning of a lesson tab
//! belongs. What reading takes and gives is in `outcome`.
//! Whatever the text holds, nothing here panics, and the time taken grows with its length only.

mod comparable;
mod exact;
mod guess_list;
mod labels;
mod lengths;
mod lines;
mod notes;
mod outcome;
pub mod own_tuning;
mod partial;
mod ragged;
mod raw_bar;
#[expect(clippy::module_inception, reason = "the function is the module's subject")]
mod read;
mod rows_beside;
mod title;
mod tuning_words;
mod written;

pub use comparable::comparable;
pub use outcome::{Guess, ReadError, ReadHints, ReadTab, TuningSource, WrittenCapo};
pub use read::read;

#[cfg(test)]
mod gap_tests;
#[cfg(test)]
mod tests;
