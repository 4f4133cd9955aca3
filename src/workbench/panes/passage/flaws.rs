//! What is wrong with the passage that is shown: each place with its mark, its words, and whether a key fixes it.
//!
//! Everything here was found by the check of the whole lesson, which is done once after each change; drawing looks nothing up.

use crate::lesson::bar_numbers::BarName;
use crate::lesson::check::{Finding, FindingKind, Severity, is_a_choice, mended_by};
use crate::lesson::document::Lesson;
use crate::lesson::id::PassageId;
use crate::lesson::phrase::Slot;
use crate::lesson::place::{LessonPlace, Spot};
use crate::text::fit::fit_with;
use crate::text::width::width;
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::unseen::{Amount, Counted};
use crate::workbench::keys::action::Pane;
use crate::workbench::keys::named::StandingSentence;
use crate::workbench::keys::table::KeyTable;
use crate::workbench::panes::passage::cursor::Cursor;

/// What is wrong in one place of a passage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Flaw {
    /// The bar, counted from 0.
    pub(super) bar: usize,
    pub(super) spot: Spot,
    pub(super) finding: Finding,
}

/// The place of a number in what is said of other things that are wrong.
const COUNT: &str = "#";

/// What is wrong with the passage that is shown.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PassageFlaws {
    /// The passage and the revision of the lesson that were looked at.
    looked: Option<(PassageId, u64)>,
    /// In the order of the bars.
    flaws: Vec<Flaw>,
    /// The revision and the cursor for which it was looked whether something can be fixed, and whether it can.
    fix: Option<((u64, Cursor), bool)>,
    /// What is said behind what a key fixes, and behind what only the list of problems leads to.
    fixes: StandingSentence,
    listed: StandingSentence,
    /// What is said where other things are wrong in the same place; how many stands for [`COUNT`].
    more: StandingSentence,
}

impl Flaw {
    /// Returns the sign that marks it.
    pub(super) const fn sign(&self) -> &'static str {
        match self.finding.severity {
            Severity::Problem => "!",
            Severity::Warning | Severity::Note => "?",
        }
    }

    /// Returns how the sign is drawn.
    pub(super) const fn role(&self) -> Role {
        match self.finding.severity {
            Severity::Problem => Role::Bad,
            Severity::Warning | Severity::Note => Role::Caution,
        }
    }

    /// Returns whether it is about the chord name over a note.
    pub(super) const fn is_of_name(&self) -> bool {
        matches!(
            self.finding.kind,
            FindingKind::ChordName
                | FindingKind::ContradictedName
                | FindingKind::MissingName
                | FindingKind::UnheardBass
                | FindingKind::NamesDiffer
                | FindingKind::VoicingName
        )
    }

    /// Returns whether it is about a slot, or a string there.
    pub(super) fn is_at(&self, slot: Slot) -> bool {
        let from_one = |index: usize| u32::try_from(index).ok().and_then(|index| index.checked_add(1));
        self.bar == slot.bar && self.spot.voice == from_one(slot.voice) && self.spot.event == from_one(slot.event)
    }

    /// Returns what sorts the flaws of the cursor's bar: those of its string, of its note, of its bar; `None` for those elsewhere.
    fn distance(&self, cursor: &Cursor) -> Option<u8> {
        if self.bar != cursor.slot.bar {
            return None;
        }
        match (self.spot.event, self.spot.string) {
            (None, _) => Some(3),
            (Some(_), _) if !self.is_at(cursor.slot) => None,
            (Some(_), Some(string)) => Some(if string == cursor.string { 0 } else { 2 }),
            (Some(_), None) => Some(1),
        }
    }
}

impl PassageFlaws {
    /// Takes on what was found in a passage, unless that was done in this revision of the lesson.
    pub(super) fn follow(&mut self, passage: PassageId, revision: u64, found: &[Finding]) {
        let looked = Some((passage, revision));
        if self.looked == looked {
            return;
        }
        let flaw = |finding: &Finding| match finding.place {
            LessonPlace::Passage(id, spot) if id == passage => {
                Some(Flaw { bar: spot.bar_index()?, spot, finding: finding.clone() })
            }
            _ => None,
        };
        self.flaws = found.iter().filter_map(flaw).collect();
        self.flaws.sort_by_key(|flaw| flaw.bar);
        (self.looked, self.fix) = (looked, None);
    }

    /// Takes on the keys of the person that fix what is wrong, and that list it, as they are struck at `here`.
    pub fn name_keys(&mut self, keys: &KeyTable, here: Pane) {
        self.fixes.name_keys(" ({Passage(Mend)} fixes it)", keys, here);
        self.listed.name_keys(" ({Desk(ShowProblems)} lists problems)", keys, here);
        self.more.name_keys(&format!(", {COUNT} ({{Desk(ShowProblems)}})"), keys, here);
    }

    /// Returns everything that is wrong in a bar, counted from 0.
    pub(super) fn in_bar(&self, bar: usize) -> &[Flaw] {
        let first = self.flaws.partition_point(|flaw| flaw.bar < bar);
        let end = self.flaws.partition_point(|flaw| flaw.bar <= bar);
        self.flaws.get(first..end).unwrap_or_default()
    }

    /// Returns the gravest thing that is wrong in a bar.
    pub(super) fn gravest(&self, bar: usize) -> Option<&Flaw> {
        self.in_bar(bar).iter().min_by_key(|flaw| flaw.finding.severity)
    }

    /// Returns what is wrong where the cursor stands: what lies nearest, then what is gravest.
    pub(super) fn at_cursor(&self, cursor: &Cursor) -> Option<&Flaw> {
        let flaws = self.in_bar(cursor.slot.bar).iter();
        let near = flaws.filter_map(|flaw| Some((flaw.distance(cursor)?, flaw)));
        near.min_by_key(|(distance, flaw)| (*distance, flaw.finding.severity)).map(|(_, flaw)| flaw)
    }

    /// Looks whether what is wrong under the cursor can be fixed, once in each revision of the lesson for each place.
    pub(super) fn look_for_fix(&mut self, lesson: &Lesson, revision: u64, cursor: Cursor) {
        let looked = (revision, cursor);
        if self.fix.is_none_or(|(known, _)| known != looked) {
            let fixed = self.at_cursor(&cursor).is_some_and(|flaw| can_be_fixed(lesson, &flaw.finding));
            self.fix = Some((looked, fixed));
        }
    }

    /// Returns what is wrong where the cursor stood when it was looked last.
    pub fn under_cursor(&self) -> Option<&Finding> {
        let ((_, cursor), _) = self.fix?;
        self.at_cursor(&cursor).map(|flaw| &flaw.finding)
    }

    /// Says in one line of `room` columns what is wrong where the cursor stands, in the bar that is called so, and which key does something about it.
    pub(super) fn words(&self, cursor: &Cursor, bar: BarName, room: usize) -> Option<String> {
        let flaw = self.at_cursor(cursor)?;
        let place = match (flaw.spot.event, flaw.spot.string) {
            (None, _) => format!("{bar}: "),
            (Some(_), Some(string)) if string != cursor.string => format!("string {string}: "),
            (Some(_), _) => String::new(),
        };
        let near = self.in_bar(cursor.slot.bar).iter().filter(|flaw| flaw.distance(cursor).is_some());
        let others = near.count().saturating_sub(1);
        let more = if others > 0 {
            self.more.text().replace(COUNT, &Amount::of(others, Counted::Problems).more())
        } else {
            String::new()
        };
        let key = match self.fix.is_some_and(|(_, fixed)| fixed) {
            true => format!("{}{more}", self.fixes.text()),
            // The key that lists the others lists this one too.
            false if others > 0 => more,
            false => self.listed.text().to_owned(),
        };
        let wrong = format!("{} {place}{}", flaw.sign(), flaw.finding.reason);
        // In ASCII the sign of more takes three columns.
        let room = room.saturating_sub(width(&key) + 2);
        Some(format!("{}{key}", fit_with(&wrong, room, "…")))
    }
}

fn can_be_fixed(lesson: &Lesson, finding: &Finding) -> bool {
    is_a_choice(finding) || mended_by(lesson, finding).is_some()
}
