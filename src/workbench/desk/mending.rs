//! Mending from the list of what is wrong, which is shown again as it is then, and at the cursor of the passage.

use crate::lesson::check::Finding;
use crate::workbench::boxes::list::ListBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::timeline::mending::{ask_how, can_be_mended, mend, must_ask};

impl Desk {
    /// Mends what the selected line of a list is about, and shows the list as it is then; after the last one there is none.
    pub(in crate::workbench) fn mend_in(&mut self, list: ListBox) -> PaneReply {
        let finding = list.lines.get(list.selected).and_then(|line| line.mendable.clone());
        let Some(finding) = finding else {
            return PaneReply::say(Notice::note("no automatic fix; {List(GoThere)} goes there"));
        };
        if must_ask(self.lesson.lesson(), &finding) {
            return ask_how(&self.lesson, &finding);
        }
        let reply = match mend(&mut self.lesson, &finding) {
            Ok(reply) => reply,
            Err(refused) => return PaneReply::say(refused),
        };
        self.recheck();
        let lines = self.problems();
        if lines.is_empty() {
            let fixed = reply.notice.as_ref().map_or("", |notice| notice.text.as_str());
            return PaneReply::say(Notice::done(format!("{fixed}; no problems left")));
        }
        let selected = list.selected.min(lines.len().saturating_sub(1));
        PaneReply { overlay: Some(Overlay::List(ListBox { lines, selected, measured: None, ..list })), ..reply }
    }
}

/// Mends what is wrong where the cursor of the passage stands, or asks how.
pub(super) fn mend_under_cursor(open: &mut EditedLesson, finding: Option<Finding>) -> PaneReply {
    match finding {
        None => {
            PaneReply::say(Notice::note("no problem under the cursor; {Desk(ShowProblems)} lists those of the lesson"))
        }
        Some(finding) if must_ask(open.lesson(), &finding) => ask_how(open, &finding),
        Some(finding) if can_be_mended(open.lesson(), &finding) => mend(open, &finding).unwrap_or_else(PaneReply::say),
        Some(Finding { reason, remedy, .. }) => PaneReply::say(Notice::note(format!("{reason}: {remedy}"))),
    }
}
