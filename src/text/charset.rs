//! Which characters text may be written with.

/// The characters that may be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Charset {
    /// Box drawing, ♭ ♯ and other signs.
    #[default]
    Utf8,
    /// Only printable ASCII.
    Ascii,
}

impl Charset {
    /// Returns the other one.
    pub const fn other(self) -> Self {
        match self {
            Self::Utf8 => Self::Ascii,
            Self::Ascii => Self::Utf8,
        }
    }
}
