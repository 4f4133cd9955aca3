//! Identities given twice, and links to things that are gone.

use std::collections::HashSet;

use super::finding::{Finding, FindingKind};
use crate::lesson::document::Lesson;
use crate::lesson::id::ItemId;
use crate::lesson::links::{Link, Linked};
use crate::lesson::place::LessonPlace;

/// Checks the links of everything but passages and voicings, which are checked one by one.
pub(super) fn check(lesson: &Lesson, known: &KnownLinks, findings: &mut Vec<Finding>) {
    let wanted = |item| !matches!(item, ItemId::Passage(_) | ItemId::Voicing(_));
    lesson.each_link(wanted, |link| findings.extend(known.gone(link)));
}

/// The identities that links may hold on to.
pub(super) struct KnownLinks(HashSet<ItemId>);

impl KnownLinks {
    /// Returns the identities in a lesson, and finds those that come twice.
    pub(super) fn of(lesson: &Lesson, findings: &mut Vec<Finding>) -> Self {
        let mut known = HashSet::with_capacity(lesson.identities().count());
        let mut twice = HashSet::new();
        for item in lesson.identities() {
            if !known.insert(item) && twice.insert(item) {
                let count = lesson.identities().filter(|other| *other == item).count();
                let word = item.word();
                findings.push(Finding::problem(
                    FindingKind::DuplicateId,
                    LessonPlace::of(item),
                    format!("{count} {word}s share one number in the file; links reach only the first"),
                    "give the others numbers of their own",
                ));
            }
        }
        Self(known)
    }

    /// Checks the links of one thing.
    pub(super) fn check_one(&self, whole: LessonPlace, item: &impl Linked, findings: &mut Vec<Finding>) {
        item.links(&mut |spot, to| findings.extend(self.gone(Link { from: whole.at(spot), to })));
    }

    fn gone(&self, link: Link) -> Option<Finding> {
        if self.0.contains(&link.to) {
            return None;
        }
        let word = link.to.word();
        Some(Finding::problem(
            FindingKind::DanglingLink,
            link.from,
            format!("the {word} that this links to is gone"),
            format!("choose another {word}, or delete the link"),
        ))
    }
}
