//! What the library asks.

/// What the library has typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LibraryQuestion {
    /// The tags of the selected voicing.
    Tags,
}
