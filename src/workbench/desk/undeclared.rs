//! What is said where something was done that was declared not to be.

/// What was done although it was declared to do nothing of the kind: a fault of ours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Undeclared {
    /// The lesson was to be changed; it was not.
    Lesson,
    /// The fingers on the fretboard were changed.
    Fingers,
    /// The library was changed.
    Library,
}

impl Undeclared {
    /// Says what has happened, and that nobody is to blame who sits at the keys.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Lesson => {
                "this is a fault of the program, not yours: what you asked for is not meant to change the lesson, so the \
                 lesson is unchanged"
            }
            Self::Fingers => {
                "this is a fault of the program, not yours: what you asked for is not meant to change the fingers, so undo \
                 does not cover it"
            }
            Self::Library => {
                "this is a fault of the program, not yours: what you asked for is not meant to change the library, so undo \
                 does not cover it"
            }
        }
    }
}
