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
