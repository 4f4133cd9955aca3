//! What a pane answers when it has done what was asked.

use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::{ChangeError, EditedLesson};
use crate::workbench::messages::effect::Effect;
use crate::workbench::messages::notice::Notice;

/// What should happen next; by default nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reply {
    /// Something to say on the status line.
    pub notice: Option<Notice>,
    /// A box to open.
    pub overlay: Option<Overlay>,
    /// Something for the runtime to do.
    pub effect: Option<Effect>,
}

impl Reply {
    /// Returns a reply after which there is nothing more to do.
    pub fn nothing() -> Self {
        Self::default()
    }

    /// Returns a reply that says something.
    pub fn say(notice: Notice) -> Self {
        Self { notice: Some(notice), ..Self::default() }
    }

    /// Returns a reply that says something to be known.
    pub fn note(text: impl Into<String>) -> Self {
        Self::say(Notice::note(text))
    }

    /// Returns a reply that opens a box.
    pub fn ask(overlay: Overlay) -> Self {
        Self { overlay: Some(overlay), ..Self::default() }
    }

    /// Returns a reply that has something done.
    pub fn want(effect: impl Into<Effect>) -> Self {
        Self { effect: Some(effect.into()), ..Self::default() }
    }

    /// Makes a change and says how it went; what leaves the lesson as it was is no change.
    pub fn of_change(
        open: &mut EditedLesson,
        done: impl Into<String>,
        make: impl FnOnce(&mut EditedLesson) -> Result<(), ChangeError>,
    ) -> Self {
        let before = open.revision();
        let made = make(open);
        if made.is_ok() && open.revision() == before {
            return Self::say(Notice::note("as it was"));
        }
        Self::to_change(made, done)
    }

    /// Makes a change of what was written or marked, and says how it went; where nothing was changed there is nothing to
    /// say.
    pub fn of_change_if_any(
        open: &mut EditedLesson,
        done: impl Into<String>,
        make: impl FnOnce(&mut EditedLesson) -> Result<(), ChangeError>,
    ) -> Self {
        let before = open.revision();
        let made = make(open);
        if made.is_ok() && open.revision() == before {
            return Self::nothing();
        }
        Self::to_change(made, done)
    }

    /// Says that a change was made, or why it was not.
    pub fn to_change(result: Result<(), ChangeError>, done: impl Into<String>) -> Self {
        match result {
            Ok(()) => Self::say(Notice::done(done)),
            Err(error) => Self::say(Notice::trouble(error.to_string())),
        }
    }
}
