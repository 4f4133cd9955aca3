//! Changes of setup between neighbouring segments without time for them, and time for none.

use super::chapters::SHORTEST;
use super::finding::{Finding, FindingKind};
use super::words::counted;
use crate::instrument::neck::StringNumber;
use crate::instrument::retuning::{capo_move, turns};
use crate::lesson::document::{Lesson, Segment, SegmentKind, Setup};
use crate::lesson::idle_retunings::idle_retunings;
use crate::lesson::place::LessonPlace;
use crate::lesson::recording::in_playing_order;
use crate::lesson::time::VideoLength;
use crate::lesson::tunings::TuningStep;
use crate::lesson::tunings::plays_alike;
use crate::text::quote::quoted;

/// The time to retune one string. Common practice and our own setting; nobody has measured it.
pub const RETUNE_STRING: VideoLength = VideoLength::from_seconds(10);
/// The time to put on, take off or move a capo. Common practice, our own setting.
pub const MOVE_CAPO: VideoLength = VideoLength::from_seconds(8);
/// The time to take up another instrument. Common practice, our own setting.
pub const CHANGE_INSTRUMENT: VideoLength = VideoLength::from_seconds(20);

/// A segment that begins in another setup before there was time for it.
pub(super) struct TooSoon<'a> {
    /// The segment.
    pub(super) segment: &'a Segment,
    /// The retuning segment before it, if there is one.
    pub(super) retuning: Option<&'a Segment>,
    /// The time that hands need.
    pub(super) needed: VideoLength,
    /// The time they are given.
    pub(super) given: VideoLength,
    change: HandWork,
    old: &'a Setup,
    new: &'a Setup,
}

impl<'a> TooSoon<'a> {
    /// Returns what gives the hands their time.
    pub(super) fn mending(&self) -> Mending<'a> {
        let missing = VideoLength(self.needed.0.saturating_sub(self.given.0));
        match self.retuning {
            Some(retuning) => Mending::Lengthen(retuning, retuning.planned + missing),
            None => Mending::Insert(missing.max(SHORTEST)),
        }
    }
}

/// What gives the hands time before a segment in another setup, and the length that results.
pub(super) enum Mending<'a> {
    /// A new retuning segment; one too short to be a chapter would only be the next thing found.
    Insert(VideoLength),
    /// The retuning segment before it, made longer.
    Lengthen(&'a Segment, VideoLength),
}

impl Mending<'_> {
    /// Says what is done.
    pub(super) fn text(&self) -> String {
        match self {
            Self::Insert(length) => format!("put a retuning segment of {length} before it"),
            Self::Lengthen(_, length) => format!("make the retuning before it {length} long"),
        }
    }

    /// Says what was done before the segment of this title.
    pub(super) fn done(&self, title: &str) -> String {
        match self {
            Self::Insert(length) => format!("a retuning segment of {length} now stands before \"{title}\""),
            Self::Lengthen(_, length) => format!("the retuning before \"{title}\" is now {length} long"),
        }
    }
}

/// Returns the segments that begin too soon after a change of setup, in the order in which the video plays.
pub(super) fn too_soon(lesson: &Lesson) -> Vec<TooSoon<'_>> {
    // A retuning segment may say the setup it leaves or the one it arrives at, so the time it gives
    // is added to whatever gap there is between the two segments around it.
    let mut before: Option<(&Segment, &Setup)> = None;
    let (mut planned, mut retuning) = (VideoLength::ZERO, None);
    let in_force = lesson.tunings_in_force();
    let mut found = Vec::new();
    for place in in_playing_order(&lesson.segments) {
        let (Some(segment), Some((_, now))) = (lesson.segments.get(place), in_force.get(place)) else { continue };
        if segment.kind == SegmentKind::Retuning {
            planned = planned + segment.planned;
            retuning = Some(segment);
            continue;
        }
        let Some(new) = now.and_then(|id| lesson.setup(id)) else { continue };
        if let Some((earlier, old)) = before.filter(|(_, old)| old.id != new.id) {
            let change = HandWork::between(old, new);
            let (needed, given) = (change.length(), planned + gap(earlier, segment));
            if needed > given {
                found.push(TooSoon { segment, retuning, needed, given, change, old, new });
            }
        }
        before = Some((segment, new));
        (planned, retuning) = (VideoLength::ZERO, None);
    }
    found
}

/// A retuning segment after which another setup is played than the one that it leads to.
pub(super) struct LedElsewhere<'a> {
    /// The retuning segment.
    pub(super) retuning: &'a Segment,
    /// The setup that it leaves.
    pub(super) from: &'a Setup,
    /// The setup that it says it leads to.
    pub(super) said: &'a Setup,
    /// The segments after it in the video that are played in the other one: at least one.
    pub(super) played: Vec<&'a Segment>,
    /// The setup that they are played in.
    pub(super) played_in: &'a Setup,
}

/// Returns the retuning segments that lead to another setup than the one that is played next, in the order in which the video plays.
/// One that says no setup leads to the next one, and one that says the setup before it says what it leaves.
pub(super) fn led_elsewhere(lesson: &Lesson) -> Vec<LedElsewhere<'_>> {
    let in_force: Vec<Option<&Setup>> =
        lesson.tunings_in_force().into_iter().map(|(_, id)| id.and_then(|id| lesson.setup(id))).collect();
    // The hands meet the tunings as the video plays, wherever the segments stand in the list.
    let order = in_playing_order(&lesson.segments).into_iter();
    let played = order.filter_map(|place| Some((lesson.segments.get(place)?, in_force.get(place).copied().flatten())));
    let played: Vec<(&Segment, Option<&Setup>)> = played.collect();
    (0..played.len()).filter_map(|place| led_elsewhere_at(lesson, &played, place)).collect()
}

fn led_elsewhere_at<'a>(
    lesson: &'a Lesson,
    video: &[(&'a Segment, Option<&'a Setup>)],
    place: usize,
) -> Option<LedElsewhere<'a>> {
    let (retuning, _) = *video.get(place).filter(|(segment, _)| segment.kind == SegmentKind::Retuning)?;
    let said = lesson.setup(retuning.setup?)?;
    let from = match place.checked_sub(1).and_then(|before| video.get(before)) {
        Some((_, before)) => (*before)?,
        None => lesson.setups.first()?,
    };
    let after = video.get(place + 1..)?;
    let played_in = after.first()?.1?;
    let is_of_it = |(segment, now): &&(&Segment, Option<&Setup>)| {
        segment.kind != SegmentKind::Retuning && now.is_some_and(|setup| setup.id == played_in.id)
    };
    let played: Vec<&Segment> = after.iter().take_while(is_of_it).map(|(segment, _)| *segment).collect();
    played.first()?;
    let leads = !plays_alike(from, said) && !plays_alike(said, played_in);
    // Another instrument may be played in between.
    let same_instrument = said.instrument == played_in.instrument;
    let found = LedElsewhere { retuning, from, said, played, played_in };
    (leads && same_instrument).then_some(found)
}

pub(super) fn check(lesson: &Lesson, findings: &mut Vec<Finding>) {
    findings.extend(too_soon(lesson).iter().map(found));
    findings.extend(idle(lesson));
    findings.extend(led_elsewhere(lesson).iter().map(|led| {
        let LedElsewhere { retuning, from, said, played_in, .. } = led;
        let done = match TuningStep::between(from, said) {
            TuningStep::Retune => "retuned",
            TuningStep::Nothing | TuningStep::Capo(_) | TuningStep::Instrument => "changed",
        };
        let (said, played_in) = (quoted(&said.name), quoted(&played_in.name));
        Finding::warning(
            FindingKind::LedElsewhere,
            LessonPlace::Segment(retuning.id),
            format!("{done} to \"{said}\", but played in \"{played_in}\""),
            format!("play what follows in \"{said}\", or choose \"{played_in}\" here"),
        )
    }));
}

/// Finds the retuning segments that change neither tuning nor capo.
fn idle(lesson: &Lesson) -> Vec<Finding> {
    let found = |(segment, now): (&Segment, Option<&Setup>)| {
        let still = now.map_or_else(String::new, |now| format!(": it stays in \"{}\"", quoted(&now.name)));
        Finding::note(
            FindingKind::NothingRetuned,
            LessonPlace::Segment(segment.id),
            format!("this retuning changes neither tuning nor capo{still}"),
            "choose the tuning it leads to, or another kind of segment, or delete it",
        )
    };
    idle_retunings(lesson).into_iter().map(found).collect()
}

fn found(found: &TooSoon<'_>) -> Finding {
    let TooSoon { segment, needed, given: time, change, old, new, .. } = found;
    let time = *time;
    let between =
        if time == VideoLength::ZERO { "no time is given".to_owned() } else { format!("only {time} is given") };
    Finding::warning(
        FindingKind::Retuning,
        LessonPlace::Segment(segment.id),
        format!("{}, about {needed}, and {between}", hand_work_in_words(change, old, new)),
        format!("{}, or stop the camera there", found.mending().text()),
    )
}

/// Returns what hands have to do, and between which setups.
fn hand_work_in_words(change: &HandWork, old: &Setup, new: &Setup) -> String {
    let between = format!("to \"{}\" from \"{}\"", quoted(&new.name), quoted(&old.name));
    match TuningStep::between(old, new) {
        TuningStep::Capo(step) => format!("{}, {between}", step.order()),
        TuningStep::Instrument => format!("change {between}: {}", change.words(old, new)),
        TuningStep::Nothing | TuningStep::Retune => format!("retune {between}: {}", change.words(old, new)),
    }
}

/// Returns the time between two segments that were recorded one after the other.
fn gap(earlier: &Segment, later: &Segment) -> VideoLength {
    let end = earlier.recorded.and_then(|recorded| recorded.end);
    let start = later.recorded.map(|recorded| recorded.start);
    end.zip(start).and_then(|(end, start)| start.since(end)).unwrap_or(VideoLength::ZERO)
}

/// Returns the strings that sound different without a capo in the two setups, highest number first.
pub fn retuned_strings(before: &Setup, now: &Setup) -> Vec<StringNumber> {
    let count = before.tuning.strings().len().max(now.tuning.strings().len());
    let open = |setup: &Setup, string| setup.tuning.open(string).map(|pitch| pitch.midi());
    let strings = (0..count).filter_map(|index| StringNumber::at(index, count));
    strings.filter(|string| open(before, *string) != open(now, *string)).collect()
}

/// What hands have to do between two setups.
enum HandWork {
    Instrument,
    Strings { retuned: Vec<StringNumber>, capo: bool },
}

impl HandWork {
    fn between(old: &Setup, new: &Setup) -> Self {
        if old.instrument != new.instrument {
            return Self::Instrument;
        }
        Self::Strings { retuned: retuned_strings(old, new), capo: old.capo != new.capo }
    }

    fn length(&self) -> VideoLength {
        match self {
            Self::Instrument => CHANGE_INSTRUMENT,
            Self::Strings { retuned, capo } => {
                let strings = retuned.iter().map(|_| RETUNE_STRING);
                strings.chain(capo.then_some(MOVE_CAPO)).sum()
            }
        }
    }

    fn words(&self, old: &Setup, new: &Setup) -> String {
        let Self::Strings { retuned, .. } = self else { return "another instrument".to_owned() };
        // Tunings of different sizes are a finding of their own; nobody can turn one into the other.
        let turns = turns(&old.tuning, &new.tuning)
            .or_else(|| (!retuned.is_empty()).then(|| format!("{} to retune", counted(retuned.len(), "string"))));
        let capo = capo_move(old.capo.as_ref(), new.capo.as_ref()).map(|capo| format!("capo {capo}"));
        let parts: Vec<String> = turns.into_iter().chain(capo).collect();
        parts.join(", ")
    }
}
