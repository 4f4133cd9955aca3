//! The questions of the start screen, and what it offers: a lesson to open, and what a new lesson needs.

use serde::{Deserialize, Serialize};

/// A question that the start screen asks in a box for typing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum StartQuestion {
    /// The path of a lesson to open.
    OpenPath,
    /// The title of a new lesson.
    LessonTitle,
}

/// A line that the start screen offers for a new lesson, step by step. Each line carries everything known so far.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StartPick {
    /// The lesson starts from this template.
    Template(NewLesson),
    /// The lesson is for this instrument.
    Instrument(NewLesson),
    /// The lesson has this tuning, and nothing more is asked.
    Tuning(NewLesson),
}

/// What is known so far about a new lesson.
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
