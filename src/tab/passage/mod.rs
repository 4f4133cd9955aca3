//! A passage as text tab.
//!
//! Start with [`render()`]; [`lay_out`] gives the same lines with the column of every bar and event,
//! for a view that draws a cursor. The way there:
//!
//! 1. `columns` turns each bar into columns, one for each moment at which something starts.
//! 2. `fit` breaks bars into systems of `piece`s, and `spacing` gives every column its width on paper, `steady` where tab is
//!    written (with a `time_scale` for two voices), both by `spans` from moment to moment; `tight` knows the least, `closeness` what belongs to a note where tab is written.
//! 3. `draw` writes the rows: `labels` at the left end of the strings, `count` what a student says aloud.
//!
//! What the signs mean is said by `legend`. About how many lines all of it takes, `estimate` says without laying anything out.
//!
//! The row of a technique or a join in `lesson::technique` says how it is written, and `tab::signs` says so of lengths
//! and strokes; `note_sign` writes notes. What is written can be read back (see [`super::read`]), so no two
//! things share a sign in one place. Invariants:
//! no line is wider than asked, all string lines of a system are equally long, and rhythm is never
//! dropped. Nothing here knows a lesson, only a passage.
//!
//! Tab carries its rhythm: a row of length letters stands over every system, because spacing alone cannot tell a
//! quarter from an eighth and a rest. With it, what is rendered reads back as the same passage.

mod closeness;
mod columns;
mod count;
mod draw;
mod estimate;
mod fit;
mod labels;
mod legend;
mod note_sign;
mod piece;
mod render;
mod spacing;
mod spans;
mod steady;
mod tight;
mod time_scale;

pub use estimate::estimated_lines;
pub use labels::{drawn_label, string_labels};
pub use legend::UsedSigns;
pub(in crate::tab) use render::header_in_words;
pub use render::{EventPlace, LaidOut, SystemMap, lay_out, lay_out_bars, render, render_bars};

#[cfg(test)]
mod spacing_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod two_voices_tests;
#[cfg(test)]
mod written_tests;
