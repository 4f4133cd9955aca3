//! What is said where two typed digits make a fret that the string has not.

use crate::instrument::neck::{Fret, StringNumber};
use crate::workbench::messages::notice::Notice;

/// Says that two digits make a fret beyond the `last` of a string, and which was `taken` in its place; `None` where the string has
/// it, or where no neck has it, so that nobody can have meant it.
pub fn beyond_neck(string: StringNumber, number: u8, (last, taken): (u8, u8)) -> Option<Notice> {
    Fret::new(number).filter(|fret| fret.number() > last)?;
    Some(Notice::note(format!("no fret {number}: string {string} ends at fret {last}; this is fret {taken} now")))
}
