//! The questions of the library.

/// A question that the library asks in a box for typing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LibraryQuestion {
    /// The tags of the selected voicing.
    Tags,
}
