//! The reply of a pane after an action.

use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::{ChangeError, EditedLesson};
use crate::workbench::messages::effect::{Effect, LibraryOrder};
use crate::workbench::messages::notice::Notice;

/// What should happen after an action; by default nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PaneReply {
    /// A notice for the status line.
    pub notice: Option<Notice>,
    /// A box that opens.
    pub overlay: Option<Overlay>,
    /// An effect that the runtime performs.
    pub effect: Option<Effect>,
}

impl PaneReply {
    /// Returns a reply that asks for nothing more.
    pub fn nothing() -> Self {
        Self::default()
    }

    /// Returns a reply that shows a notice.
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

    /// Returns a reply that asks for an effect.
    pub fn want(effect: impl Into<Effect>) -> Self {
        Self { effect: Some(effect.into()), ..Self::default() }
    }

    /// Returns a reply that changes the library. What it says is said once the change is on the disk.
    pub fn once_kept(order: LibraryOrder, said: Notice) -> Self {
        Self { effect: Some(Effect::change_library(order, said)), ..Self::default() }
    }

    /// Makes a change and returns a reply that says how it went. A change that leaves the lesson as it was is reported
    /// as none.
    pub fn of_change(
        open: &mut EditedLesson,
        done: impl Into<String>,
        make: impl FnOnce(&mut EditedLesson) -> Result<(), ChangeError>,
    ) -> Self {
        Self::of_change_if_any(open, done, make).unwrap_or_else(|| Self::note("no change"))
    }

    /// Makes a change and returns a reply that says how it went; `None` where the lesson stayed as it was.
    pub fn of_change_if_any(
        open: &mut EditedLesson,
        done: impl Into<String>,
        make: impl FnOnce(&mut EditedLesson) -> Result<(), ChangeError>,
    ) -> Option<Self> {
        let before = open.revision();
        let made = make(open);
        (made.is_err() || open.revision() != before).then(|| Self::to_change(made, done))
    }

    /// Returns a reply that says that a change was made, or why it was not.
    pub fn to_change(result: Result<(), ChangeError>, done: impl Into<String>) -> Self {
        match result {
            Ok(()) => Self::say(Notice::done(done)),
            Err(error) => Self::say(Notice::trouble(error.to_string())),
        }
    }
}
