//! What is told of a passage that is placed anew.

use crate::lesson::place::Spot;

/// Something that could not be kept, and what was done instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// Where, in the passage as it was.
    pub spot: Spot,
    /// What, in words.
    pub text: String,
}
