//! Notices: one line each, which the workbench shows the person at the foot of the screen.

/// How serious a notice is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// Something was done as asked.
    Done,
    /// The person should know something.
    Note,
    /// Something was not done, or something is wrong.
    Trouble,
}

/// One line for the status line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// How serious it is.
    pub weight: Weight,
    /// What it says.
    pub text: String,
}

impl Notice {
    /// Returns a notice that something was done.
    pub fn done(text: impl Into<String>) -> Self {
        Self { weight: Weight::Done, text: text.into() }
    }

    /// Returns a notice of something to be known.
    pub fn note(text: impl Into<String>) -> Self {
        Self { weight: Weight::Note, text: text.into() }
    }

    /// Returns a notice of trouble.
    pub fn trouble(text: impl Into<String>) -> Self {
        Self { weight: Weight::Trouble, text: text.into() }
    }
}
