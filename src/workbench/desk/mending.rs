//! Mending from the list of what is wrong, which is shown again as it is then.

use crate::lesson::check::is_a_choice;
use crate::workbench::boxes::list::ListBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::timeline::mending::{ask_how, mend};

impl Desk {
    /// Mends what the selected line of a list is about, and shows the list as it is then; after the last one there is none.
    pub(in crate::workbench) fn mend_in(&mut self, list: ListBox) -> PaneReply {
        let finding = list.lines.get(list.selected).and_then(|line| line.mendable.clone());
        let Some(finding) = finding else {
            return PaneReply::say(Notice::note("no automatic fix; {List(GoThere)} goes there"));
        };
        if is_a_choice(&finding) {
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
