//! Bars that do not add up, looked for once in each revision of the lesson.

use crate::lesson::check::bar_lengths;
use crate::lesson::id::PassageId;
use crate::lesson::music::Passage;
use crate::lesson::place::LessonPlace;

/// A bar that does not add up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Uneven {
    bar: usize,
    pub(super) reason: String,
}

/// The bars of a passage that do not add up.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct UnevenBars {
    /// The passage and the revision of the lesson that were looked at.
    looked: Option<(PassageId, u64)>,
    bars: Vec<Uneven>,
}

impl UnevenBars {
    /// Looks at a passage, unless that was done in this revision of the lesson.
    pub(super) fn follow(&mut self, passage: &Passage, revision: u64) {
        let looked = Some((passage.id, revision));
        if self.looked != looked {
            *self = Self { looked, bars: uneven(passage) };
        }
    }

    /// Returns what is wrong with a bar, counted from 0.
    pub(super) fn at(&self, bar: usize) -> Option<&Uneven> {
        self.bars.iter().find(|uneven| uneven.bar == bar)
    }
}

fn uneven(passage: &Passage) -> Vec<Uneven> {
    let findings = bar_lengths(passage).into_iter();
    let uneven = findings.filter_map(|finding| {
        let LessonPlace::Passage(_, spot) = finding.place else { return None };
        Some(Uneven { bar: spot.bar_index()?, reason: finding.reason })
    });
    uneven.collect()
}
