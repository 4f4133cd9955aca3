//! What a check finds.

use std::fmt;

use crate::lesson::document::Lesson;
use crate::lesson::id::SegmentId;
use crate::lesson::place::LessonPlace;

/// One thing found in a lesson.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// What sort of thing.
    pub kind: FindingKind,
    /// How much it matters.
    pub severity: Severity,
    /// The place in the lesson; the first where there are several.
    pub place: LessonPlace,
    /// The segments that it is about as well, in order.
    pub also: Vec<SegmentId>,
    /// What is wrong, in a player's words, lower case, without a full stop.
    pub reason: String,
    /// What to do about it, in the same form.
    pub remedy: String,
}

impl Finding {
    pub(super) fn problem(
        kind: FindingKind,
        place: LessonPlace,
        reason: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            kind,
            severity: Severity::Problem,
            place,
            also: Vec::new(),
            reason: reason.into(),
            remedy: remedy.into(),
        }
    }

    pub(super) fn warning(
        kind: FindingKind,
        place: LessonPlace,
        reason: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self { severity: Severity::Warning, ..Self::problem(kind, place, reason, remedy) }
    }

    pub(super) fn note(
        kind: FindingKind,
        place: LessonPlace,
        reason: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self { severity: Severity::Note, ..Self::problem(kind, place, reason, remedy) }
    }

    /// Returns the same finding, which is about these segments as well.
    pub(super) fn also_about(self, also: impl IntoIterator<Item = SegmentId>) -> Self {
        Self { also: also.into_iter().collect(), ..self }
    }

    /// Returns the segments that it is about, in order; none where it is about something else.
    pub fn segments(&self) -> Vec<SegmentId> {
        let first = if let LessonPlace::Segment(id) = self.place { Some(id) } else { None };
        first.into_iter().chain(self.also.iter().copied()).collect()
    }

    /// Says it in one line: `problem: passage "verse", bar 3: … (remedy)`.
    pub fn text(&self, lesson: &Lesson) -> String {
        format!("{}: {}: {} ({})", self.severity, self.place.text(lesson), self.reason, self.remedy)
    }
}

/// How much a finding matters, gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Something that cannot be played, shown or published as it is.
    Problem,
    /// Something that is probably not meant.
    Warning,
    /// Something to know.
    Note,
}

/// Prints the word in lower case.
impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Problem => "problem",
            Self::Warning => "warning",
            Self::Note => "note",
        })
    }
}

/// What sort of thing is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FindingKind {
    /// The lesson holds nothing yet.
    EmptyLesson,
    /// Two things share an identity.
    DuplicateId,
    /// A link to something that is gone.
    DanglingLink,
    /// Instrument, tuning and capo that do not fit together.
    SetupDoesNotFit,
    /// A number no instrument or lesson has.
    AbsurdNumber,
    /// Something without a title.
    NoTitle,
    /// Text with characters that act instead of showing.
    ControlCharacter,
    /// A passage without a note or rest.
    NothingWritten,
    /// A voice that overfills its bar, or does not fill it: one just begun, or with a tuplet just begun.
    BarLength,
    /// A voice of the first bar that lacks rests behind its last note, if the bar is no pickup.
    ShortOrPickup,
    /// A voice that lacks nothing but rests behind its last note.
    ShortBar,
    /// More voices than a bar has room for.
    VoiceCount,
    /// A tuplet that is not complete.
    Tuplet,
    /// A repeat that does not close, or is none.
    Repeat,
    /// Endings that do not follow each other.
    Ending,
    /// A note on a string that is not there.
    NoSuchString,
    /// A note past the end of the neck, or where a short string has no fret.
    OffTheNeck,
    /// Two notes on one string at one time.
    StringClash,
    /// A join to a note it cannot reach.
    Join,
    /// A join with no note to lead to.
    JoinLeadsNowhere,
    /// A technique that cannot be played on its note.
    Technique,
    /// Techniques that exclude each other.
    TechniqueClash,
    /// A harmonic where no string rings.
    Harmonic,
    /// Grace notes or a stroke with no note to belong to.
    NothingStruck,
    /// A chord that no hand can hold.
    NotHeld,
    /// A chord that is played otherwise than the grid of its name shows.
    OtherShape,
    /// A chord name that is no chord symbol.
    ChordName,
    /// A chord name that the notes under it contradict.
    ContradictedName,
    /// A bar without a chord name that the name before it does not fit.
    MissingName,
    /// A chord name with a bass that nobody hears on re-entrant strings.
    UnheardBass,
    /// A voicing that does not fit its setup.
    VoicingShape,
    /// Fingers or a barre that do not fit the shape.
    Fingering,
    /// A voicing whose name leaves out a note that sounds.
    VoicingName,
    /// A voicing without a name that a segment shows.
    NoName,
    /// One shape with two names.
    NamesDiffer,
    /// A doubt that is still open.
    OpenDoubt,
    /// A passage, a piece or a tuning that is used nowhere.
    UsedNowhere,
    /// Bars that the passage does not have.
    BarRange,
    /// A passage played in a setup it is not written for.
    PassageSetup,
    /// A voicing shown in a setup it is not kept for.
    VoicingSetup,
    /// A passage or a voicing that states no setup, where it is not clear which one is meant.
    AssumedSetup,
    /// A segment without a planned length.
    PlannedLength,
    /// A recorded end before its start.
    RunsBackwards,
    /// Segments recorded over each other.
    Overlap,
    /// Segments recorded in another order than they stand.
    RecordedOrder,
    /// A cut that does not lie within the recording of its segment.
    Cut,
    /// A stretch of the recording that no segment has.
    NoSegment,
    /// A change of setup without time for it.
    Retuning,
    /// A retuning segment that changes neither tuning nor capo.
    NothingRetuned,
    /// A retuning segment that leads to another setup than the one that is played next.
    LedElsewhere,
    /// A retuning segment whose title names another setup than the one it leads to.
    RetuningTitle,
    /// A chapter list that players refuse.
    Chapters,
}
