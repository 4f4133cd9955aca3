//! What is wrong with the segments: the gravest finding of each, its mark, its words, and whether it can be mended.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use crate::lesson::check::{Finding, Severity, is_a_choice, mended_by};
use crate::lesson::document::Lesson;
use crate::lesson::id::{PassageId, SegmentId, VoicingId};
use crate::lesson::place::LessonPlace;
use crate::workbench::drawing::unseen::{Amount, Counted};
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::keys::action::Pane;
use crate::workbench::keys::named::StandingSentence;
use crate::workbench::keys::table::KeyTable;

/// The place of a number in what is said of other things that are wrong.
const COUNT: &str = "#";

/// The gravest thing that is wrong with each segment.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SegmentFlaws {
    /// The gravest thing, and how many others there are.
    gravest: BTreeMap<SegmentId, (Finding, usize)>,
    remedy: MendableFlaw,
    /// What is said behind a flaw that a key of the person mends.
    mends: StandingSentence,
    /// What is said where other things are wrong too; how many stands for [`COUNT`].
    more: StandingSentence,
}

/// Whether what is wrong with the selected segment can be mended with a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct MendableFlaw {
    /// The revision and the segment that were looked at.
    looked: Option<(u64, Option<SegmentId>)>,
    /// The segment, where its flaw can be mended.
    mendable: Option<SegmentId>,
}

impl SegmentFlaws {
    /// Takes on what was found in a lesson.
    pub fn note(&mut self, lesson: &Lesson, findings: &[Finding]) {
        self.gravest = gravest(lesson, findings);
    }

    /// Looks whether what is wrong with the selected segment can be mended with a key, once in each revision of the
    /// lesson.
    pub fn look_for_remedy(&mut self, open: &EditedLesson, selected: Option<SegmentId>) {
        let looked = Some((open.revision(), selected));
        if self.remedy.looked != looked {
            let flaw = selected.filter(|id| {
                self.of(*id).is_some_and(|flaw| is_a_choice(flaw) || mended_by(open.lesson(), flaw).is_some())
            });
            self.remedy = MendableFlaw { looked, mendable: flaw };
        }
    }

    /// Takes on the key of the person that mends what is wrong, as it is struck at `here`.
    pub fn name_keys(&mut self, keys: &KeyTable, here: Pane) {
        self.mends.name_keys(" ({Timeline(Mend)} fixes it)", keys, here);
        self.more.name_keys(&format!(", {COUNT} ({{Desk(ShowProblems)}})"), keys, here);
    }

    /// Returns the gravest thing that is wrong with a segment.
    pub fn of(&self, segment: SegmentId) -> Option<&Finding> {
        self.gravest.get(&segment).map(|(flaw, _)| flaw)
    }

    /// Says what is wrong with the selected segment, and whether it can be mended.
    pub fn words(&self, segment: SegmentId) -> Option<String> {
        let mended = if self.remedy.mendable == Some(segment) { self.mends.text() } else { "" };
        let (flaw, others) = self.gravest.get(&segment)?;
        let more = if *others > 0 {
            self.more.text().replace(COUNT, &Amount::of(*others, Counted::Problems).more())
        } else {
            String::new()
        };
        Some(format!("{}{mended}{more}", flaw.reason))
    }

    /// Returns the mark of a segment with which something is wrong, else nothing.
    pub fn mark(&self, segment: SegmentId) -> &'static str {
        match self.of(segment).map(|flaw| flaw.severity) {
            Some(Severity::Problem) => "!",
            Some(Severity::Warning | Severity::Note) => "?",
            None => "",
        }
    }
}

/// Returns the gravest thing that was found of each segment and the number of others.
fn gravest(lesson: &Lesson, findings: &[Finding]) -> BTreeMap<SegmentId, (Finding, usize)> {
    let mut flaws: BTreeMap<SegmentId, (&Finding, usize)> = BTreeMap::new();
    let concerned = Concerned::of(lesson);
    for finding in findings {
        for segment in concerned.by(finding) {
            let known = flaws.get(&segment).copied();
            let counted = known.map_or((finding, 0), |(known, others)| {
                (if rank(finding, segment) < rank(known, segment) { finding } else { known }, others + 1)
            });
            flaws.insert(segment, counted);
        }
    }
    flaws.into_iter().map(|(segment, (finding, others))| (segment, (finding.clone(), others))).collect()
}

/// The graver first; of two as grave, what is about the segment itself before what it plays or shows.
fn rank(finding: &Finding, segment: SegmentId) -> (Severity, bool) {
    (finding.severity, !finding.segments().contains(&segment))
}

/// Which segments play and show what.
struct Concerned {
    played: HashMap<PassageId, BTreeSet<SegmentId>>,
    shown: HashMap<VoicingId, BTreeSet<SegmentId>>,
}

impl Concerned {
    fn of(lesson: &Lesson) -> Self {
        let mut concerned = Self { played: HashMap::new(), shown: HashMap::new() };
        for segment in &lesson.segments {
            for used in &segment.passages {
                concerned.played.entry(used.passage).or_default().insert(segment.id);
            }
            for voicing in &segment.voicings {
                concerned.shown.entry(*voicing).or_default().insert(segment.id);
            }
        }
        concerned
    }

    /// Returns the segments that a finding is about: those that it names, that play its passage, or that show its voicing.
    fn by(&self, finding: &Finding) -> BTreeSet<SegmentId> {
        let users = match finding.place {
            LessonPlace::Passage(id, _) => self.played.get(&id),
            LessonPlace::Voicing(id, _) => self.shown.get(&id),
            LessonPlace::Lesson
            | LessonPlace::Header
            | LessonPlace::Instrument(_)
            | LessonPlace::Setup(_)
            | LessonPlace::Piece(_)
            | LessonPlace::Segment(_)
            | LessonPlace::Chapters => None,
        };
        users.into_iter().flatten().copied().chain(finding.segments()).collect()
    }
}
