//! Changes to what the lesson says of itself, each one transaction.

use crate::lesson::edit::Edit;
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::time::VideoLength;
use crate::workbench::editing::edited_lesson::{ChangeError, EditedLesson};

/// Changes the title of the lesson; the title that it has already is no change.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn retitle_lesson(open: &mut EditedLesson, title: &str) -> Result<(), ChangeError> {
    let mut header = open.lesson().header.clone();
    if header.title == title.trim() {
        return Ok(());
    }
    header.title = title.trim().to_owned();
    open.change(Transaction::one(Reason::EditHeader, Edit::Header(header)))
}

/// Changes the length that the video should have.
///
/// Errors: those of [`EditedLesson::change`]; the lesson then stays as it is.
pub fn set_target(open: &mut EditedLesson, target: Option<VideoLength>) -> Result<(), ChangeError> {
    let mut header = open.lesson().header.clone();
    if header.target == target {
        return Ok(());
    }
    header.target = target;
    open.change(Transaction::one(Reason::EditHeader, Edit::Header(header)))
}
