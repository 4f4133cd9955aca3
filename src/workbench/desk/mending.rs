//! Mending what `check` finds, where that leaves nothing to decide: one transaction, undone like any other.

use std::collections::BTreeMap;
use std::collections::HashMap;

use crate::lesson::check::{Finding, Severity, mended_by};
use crate::lesson::document::Lesson;
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PassageId, SegmentId};
use crate::lesson::place::LessonPlace;
use crate::workbench::boxes::list::ListBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;

impl Desk {
    /// Mends the gravest thing that is wrong with the selected segment.
    pub(in crate::workbench) fn mend_selected(&mut self) -> Reply {
        let flaw = self.timeline.selected().and_then(|id| self.timeline.flaw(id)).cloned();
        match flaw {
            None => Reply::say(Notice::note("nothing wrong was found with this segment")),
            Some(flaw) if mended_by(self.lesson.lesson(), &flaw).is_some() => {
                self.mend(&flaw).unwrap_or_else(Reply::say)
            }
            Some(Finding { reason, .. }) => {
                Reply::say(Notice::note(format!("{reason}: this is yours to decide; w lists the remedies")))
            }
        }
    }

    /// Looks whether what is wrong with the selected segment can be mended without asking.
    pub(in crate::workbench) fn look_for_remedy(&mut self) {
        let selected = self.timeline.selected();
        let now = Some((self.lesson.revision(), selected));
        if self.mended != now {
            self.mended = now;
            let flaw = selected.and_then(|id| self.timeline.flaw(id));
            let mendable = flaw.is_some_and(|flaw| mended_by(self.lesson.lesson(), flaw).is_some());
            self.timeline.note_mendable(selected.filter(|_| mendable));
        }
    }

    /// Mends what the selected line of a list is about, and shows the list as it is then.
    pub(in crate::workbench) fn mend_in(&mut self, list: ListBox) -> Reply {
        let finding = list.lines.get(list.selected).and_then(|line| line.mendable.clone());
        let Some(finding) = finding else {
            return Reply::say(Notice::note("this line is yours to decide; Enter goes there"));
        };
        let reply = match self.mend(&finding) {
            Ok(reply) => reply,
            Err(refused) => return Reply::say(refused),
        };
        self.recheck();
        let lines = self.problems();
        let selected = list.selected.min(lines.len().saturating_sub(1));
        Reply { overlay: Some(Overlay::List(ListBox { lines, selected, measured: None, ..list })), ..reply }
    }

    /// Errors: why nothing was mended.
    fn mend(&mut self, finding: &Finding) -> Result<Reply, Notice> {
        let Some(remedy) = self.lesson.remedy(finding) else {
            return Err(Notice::note("there is nothing to mend here any more"));
        };
        let change = Transaction::new(Reason::Remedy, remedy.edits).at(finding.place);
        self.lesson.change(change).map_err(|error| Notice::trouble(error.to_string()))?;
        Ok(Reply::say(Notice::done(format!("mended: {}", remedy.text))))
    }
}

/// Returns the gravest thing that is wrong with each segment; what is wrong with a passage counts for
/// the first segment that plays it. Notes are no flaws.
pub(in crate::workbench) fn flaws(lesson: &Lesson, findings: &[Finding]) -> BTreeMap<SegmentId, Finding> {
    let mut played: HashMap<PassageId, SegmentId> = HashMap::new();
    for segment in &lesson.segments {
        for used in &segment.passages {
            played.entry(used.passage).or_insert(segment.id);
        }
    }
    let mut flaws: BTreeMap<SegmentId, &Finding> = BTreeMap::new();
    for finding in findings.iter().filter(|finding| finding.severity != Severity::Note) {
        let segment = if let LessonPlace::Passage(id, _) = finding.place {
            played.get(&id).copied()
        } else if let LessonPlace::Segment(id) = finding.place {
            Some(id)
        } else {
            None
        };
        let graver = |id| flaws.get(&id).is_none_or(|known: &&Finding| finding.severity < known.severity);
        let Some(segment) = segment.filter(|id| graver(*id)) else { continue };
        flaws.insert(segment, finding);
    }
    flaws.into_iter().map(|(segment, finding)| (segment, finding.clone())).collect()
}
