//! What the start screen asks and offers: a lesson to open, and what a new one needs.

/// What the start screen has typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StartQuestion {
    /// The path of a lesson to open.
    OpenPath,
    /// The title of a new lesson.
    LessonTitle,
}

/// What the start screen offers for a new lesson, step by step; each carries all that is known by then.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StartPick {
    /// It starts from this template.
    Template(NewLesson),
    /// It is for this instrument.
    Instrument(NewLesson),
    /// It is tuned like this, and nothing more is asked.
    Tuning(NewLesson),
}

/// What is known of a lesson to be made.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct NewLesson {
    /// The title.
    pub title: String,
    /// The name of the template it starts from.
    pub template: String,
    /// The instrument's name.
    pub instrument: String,
    /// The open strings, as notes.
    pub tuning: String,
}
