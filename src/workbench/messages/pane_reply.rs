//! What a pane answers when it has done what was asked.

use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::ChangeError;
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
    /// Nothing more to do.
    pub fn nothing() -> Self {
        Self::default()
    }

    /// Says something.
    pub fn say(notice: Notice) -> Self {
        Self { notice: Some(notice), ..Self::default() }
    }

    /// Opens a box.
    pub fn ask(overlay: Overlay) -> Self {
        Self { overlay: Some(overlay), ..Self::default() }
    }

    /// Has something done.
    pub fn want(effect: impl Into<Effect>) -> Self {
        Self { effect: Some(effect.into()), ..Self::default() }
    }

    /// Says that a change was made, or why it was not.
    pub fn to_change(result: Result<(), ChangeError>, done: impl Into<String>) -> Self {
        match result {
            Ok(()) => Self::say(Notice::done(done)),
            Err(error) => Self::say(Notice::trouble(error.to_string())),
        }
    }
}
