//! Mending what `check` finds, where that leaves nothing to decide: one transaction, undone like any other.

use std::collections::{BTreeMap, HashMap};

use crate::lesson::check::{Finding, Severity, mended_by};
use crate::lesson::document::Lesson;
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PassageId, SegmentId};
use crate::lesson::place::LessonPlace;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::timeline::pane::TimelinePane;

impl TimelinePane {
    /// Mends the gravest thing that is wrong with the selected segment.
    pub(super) fn mend_selected(&self, open: &mut EditedLesson) -> Reply {
        let flaw = self.selected().and_then(|id| self.flaw(id));
        match flaw {
            None => Reply::say(Notice::note("nothing wrong was found with this segment")),
            Some(flaw) if mended_by(open.lesson(), flaw).is_some() => mend(open, flaw).unwrap_or_else(Reply::say),
            Some(Finding { reason, .. }) => {
                Reply::say(Notice::note(format!("{reason}: this is yours to decide; w lists the remedies")))
            }
        }
    }

    /// Looks whether what is wrong with the selected segment can be mended without asking, once in each revision of the
    /// lesson.
    pub fn look_for_remedy(&mut self, open: &EditedLesson) {
        let looked = Some((open.revision(), self.selected()));
        if self.remedy.looked != looked {
            let flaw = self
                .selected()
                .filter(|id| self.flaw(*id).is_some_and(|flaw| mended_by(open.lesson(), flaw).is_some()));
            self.remedy = MendableFlaw { looked, mendable: flaw };
        }
    }
}

/// Whether what is wrong with the selected segment can be mended without asking.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct MendableFlaw {
    /// The revision and the segment that were looked at.
    looked: Option<(u64, Option<SegmentId>)>,
    /// The segment, where its flaw can be mended.
    pub(super) mendable: Option<SegmentId>,
}

/// Mends what was found, in one transaction, and says what was done. Errors: why nothing was mended.
pub fn mend(open: &mut EditedLesson, finding: &Finding) -> Result<Reply, Notice> {
    let Some(remedy) = open.remedy(finding) else {
        return Err(Notice::note("there is nothing to mend here any more"));
    };
    let change = Transaction::new(Reason::Remedy, remedy.edits).at(finding.place);
    open.change(change).map_err(|error| Notice::trouble(error.to_string()))?;
    Ok(Reply::say(Notice::done(format!("mended: {}", remedy.text))))
}

/// Returns the gravest thing that is wrong with each segment; what is wrong with a passage counts for
/// the first segment that plays it. Notes are no flaws.
pub fn flaws(lesson: &Lesson, findings: &[Finding]) -> BTreeMap<SegmentId, Finding> {
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
