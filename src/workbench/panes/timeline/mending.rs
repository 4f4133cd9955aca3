//! Mending what `check` finds, where that leaves nothing to decide: one transaction, undone like any other.

use crate::lesson::check::{Finding, Remedy, choices, is_a_choice, mended_by};
use crate::lesson::document::Lesson;
use crate::lesson::history::{Reason, Transaction};
use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::timeline::TimelinePick;

/// Mends the gravest thing that is wrong with a segment; `None` says that nothing is.
pub(super) fn mend_gravest(open: &mut EditedLesson, flaw: Option<&Finding>) -> PaneReply {
    match flaw {
        None => PaneReply::say(Notice::note("no problems in this segment")),
        Some(flaw) if must_ask(open.lesson(), flaw) => ask_how(open, flaw),
        Some(flaw) if can_be_mended(open.lesson(), flaw) => mend(open, flaw).unwrap_or_else(PaneReply::say),
        Some(Finding { reason, remedy, .. }) => PaneReply::say(Notice::note(format!(
            "{reason}: {remedy}; {{Desk(ShowProblems)}}, then {{List(GoThere)}} goes there"
        ))),
    }
}

/// Returns whether there are several ways to mend a finding, so that a person must choose.
pub fn must_ask(lesson: &Lesson, finding: &Finding) -> bool {
    is_a_choice(finding) && choices(lesson, finding).len() > 1
}

/// Returns whether there is any way to mend a finding.
pub fn can_be_mended(lesson: &Lesson, finding: &Finding) -> bool {
    mended_by(lesson, finding).is_some() || is_a_choice(finding) && !choices(lesson, finding).is_empty()
}

/// Asks which of the ways to mend something is taken.
pub fn ask_how(open: &EditedLesson, finding: &Finding) -> PaneReply {
    let line =
        |(at, way): (usize, Remedy)| (way.text, Pick::Timeline(TimelinePick::Mend(Box::new(finding.clone()), at)));
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(
        "Which fix?",
        format!("{}: {}.", finding.place.text(open.lesson()), finding.reason),
        choices(open.lesson(), finding).into_iter().enumerate().map(line).collect(),
    )))
}

/// Mends what was found in one of the ways that were offered.
pub(super) fn mend_by(open: &mut EditedLesson, finding: &Finding, way: usize) -> PaneReply {
    match open.choices(finding).into_iter().nth(way) {
        Some(remedy) => apply(open, finding, remedy).unwrap_or_else(PaneReply::say),
        None => PaneReply::say(Notice::note("nothing to fix here any more")),
    }
}

/// Mends what was found, the first way where there are several, in one transaction, and says what was done. Errors: why nothing was mended.
pub fn mend(open: &mut EditedLesson, finding: &Finding) -> Result<PaneReply, Notice> {
    let only = if is_a_choice(finding) { open.choices(finding).into_iter().next() } else { None };
    let Some(remedy) = only.or_else(|| open.remedy(finding)) else {
        return Err(Notice::note("nothing to fix here any more"));
    };
    apply(open, finding, remedy)
}

fn apply(open: &mut EditedLesson, finding: &Finding, remedy: Remedy) -> Result<PaneReply, Notice> {
    let change = Transaction::new(Reason::Remedy, remedy.edits).at(finding.place);
    open.change(change).map_err(|error| Notice::trouble(error.to_string()))?;
    Ok(PaneReply::say(Notice::done(format!("{}; {{Desk(Undo)}} undoes", remedy.done))))
}
