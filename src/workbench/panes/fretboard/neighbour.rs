//! Which of the two things beside one in a row is meant.

/// One of the two things beside another in a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Neighbour {
    /// The one after it.
    Next,
    /// The one before it.
    Previous,
}

impl Neighbour {
    /// Returns the place of this neighbour of the thing at `place`, both counted from 0. After the last of `count` things
    /// comes the first.
    pub const fn place(self, place: usize, count: usize) -> usize {
        let count = if count == 0 { 1 } else { count };
        match self {
            Self::Next => (place + 1) % count,
            Self::Previous => (place + count - 1) % count,
        }
    }
}
