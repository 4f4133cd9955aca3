//! Mending what `check` finds, where that leaves nothing to decide: one transaction, undone like any other.

use crate::lesson::check::{Finding, mended_by};
use crate::lesson::history::{Reason, Transaction};
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;

/// Mends the gravest thing that is wrong with a segment; `None` says that nothing is.
pub(super) fn mend_gravest(open: &mut EditedLesson, flaw: Option<&Finding>) -> PaneReply {
    match flaw {
        None => PaneReply::say(Notice::note("nothing wrong was found with this segment")),
        Some(flaw) if mended_by(open.lesson(), flaw).is_some() => mend(open, flaw).unwrap_or_else(PaneReply::say),
        Some(Finding { reason, .. }) => {
            PaneReply::say(Notice::note(format!("{reason}: this is yours to decide; w lists the remedies")))
        }
    }
}

/// Mends what was found, in one transaction, and says what was done. Errors: why nothing was mended.
pub fn mend(open: &mut EditedLesson, finding: &Finding) -> Result<PaneReply, Notice> {
    let Some(remedy) = open.remedy(finding) else {
        return Err(Notice::note("there is nothing to mend here any more"));
    };
    let change = Transaction::new(Reason::Remedy, remedy.edits).at(finding.place);
    open.change(change).map_err(|error| Notice::trouble(error.to_string()))?;
    Ok(PaneReply::say(Notice::done(format!("mended: {}", remedy.text))))
}
