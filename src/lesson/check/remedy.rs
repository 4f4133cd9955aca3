//! What can be mended without asking: the remedies that leave nothing to decide.

use super::finding::{Finding, FindingKind, Severity};
use super::gaps::{WayOut, gaps};
use super::mending::{Remedy, changed, only};
use super::name_remedies::{named_rightly, other_names, slot_of, without_bass_or_as_words};
use super::one_tuning::{ways_to_lead, ways_to_one_tuning, ways_to_one_tuning_of_shapes, ways_to_state};
use super::other_shape::as_the_grid_shows;
use super::retuning::{Mending, too_soon};
use super::retuning_titles::rename;
use super::unnamed::ways_to_name;
use crate::instrument::catalogue::tuning_label;
use crate::lesson::cut_video::{CutVideo, within};
use crate::lesson::deleting::{deleted, used_nowhere};
use crate::lesson::document::{BarRange, Lesson, Piece, Recorded, Segment, SegmentKind, Setup};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::fresh::{IdSource, Seed};
use crate::lesson::id::{ItemId, PassageId, SegmentId};
use crate::lesson::idle_retunings::{deleting_it, idle_retunings};
use crate::lesson::kept_tunings::tunings_kept;
use crate::lesson::links::Fate;
use crate::lesson::music::{Bar, Passage};
use crate::lesson::phrase::Slot;
use crate::lesson::phrase::rhythm::fill;
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::recording::{TakenSegment, in_video_order, put_in_video_order, stretches};
use crate::lesson::time::{VideoLength, VideoTime};

/// The length given to a segment for which none is planned or recorded. Our own setting.
const USUAL_LENGTH: VideoLength = VideoLength::from_seconds(60);

/// The slow tempo given where the one asked for is none, in per cent. Our own setting.
const USUAL_SLOW: u8 = 50;

/// Returns what mends `finding` in `lesson`; `None` where a person must decide, or where nothing of
/// the kind is found there any more. What is new gets its identity from `ids`.
pub fn remedy(lesson: &Lesson, finding: &Finding, ids: &mut IdSource) -> Option<Remedy> {
    if finding.kind == FindingKind::DuplicateId {
        return renumber(lesson, finding.place.item()?, ids);
    }
    if finding.kind == FindingKind::DanglingLink {
        return without_dead_links(lesson, finding.place);
    }
    if finding.kind == FindingKind::UsedNowhere {
        let item = finding.place.item().filter(|item| used_nowhere(lesson).contains(item))?;
        // Of several that share an identity it is not clear which one is meant.
        if lesson.positions(item).nth(1).is_some() {
            return None;
        }
        let done = format!("deleted the {}", item.word());
        return Some(Remedy { text: "delete it".to_owned(), done, edits: deleted(lesson, item) });
    }
    // The remedies of some lists; a list that is not named here has no others than those above.
    if let LessonPlace::Passage(id, spot) = finding.place {
        // Nearly all findings are of this sort, and most have no remedy: they must cost nothing.
        return match finding.kind {
            FindingKind::NoTitle => passage_title(lesson, id),
            FindingKind::ShortBar => filled(only(&lesson.passages, id)?, spot, finding),
            FindingKind::OtherShape => as_the_grid_shows(lesson, only(&lesson.passages, id)?, slot_of(spot)?),
            _ => None,
        };
    }
    if let LessonPlace::Segment(id) = finding.place {
        return segment_remedy(lesson, only(&lesson.segments, id)?, finding, ids);
    }
    if let LessonPlace::Setup(id) = finding.place {
        return setup_remedy(lesson, only(&lesson.setups, id)?, finding.kind);
    }
    if let LessonPlace::Piece(id) = finding.place {
        return piece_remedy(lesson, only(&lesson.pieces, id)?, finding.kind);
    }
    if let (LessonPlace::Voicing(id, _), FindingKind::UnheardBass) = (finding.place, finding.kind) {
        return named_rightly(lesson, only(&lesson.voicings, id)?);
    }
    let at_zero = finding.place == LessonPlace::Chapters && finding.severity == Severity::Problem;
    if at_zero { start_at_zero(lesson) } else { None }
}

/// Returns whether there are several ways to mend `finding`, which [`choices`] gives; cheap enough to be asked for every finding
/// of a long lesson.
pub fn is_a_choice(finding: &Finding) -> bool {
    let in_passage = matches!(finding.place, LessonPlace::Passage(..));
    finding.kind == FindingKind::UnheardBass && in_passage
        || matches!(
            finding.kind,
            FindingKind::PassageSetup
                | FindingKind::VoicingSetup
                | FindingKind::AssumedSetup
                | FindingKind::LedElsewhere
                | FindingKind::ContradictedName
                | FindingKind::MissingName
                | FindingKind::NoName
                | FindingKind::NoSegment
                | FindingKind::ShortOrPickup
        )
}

/// Returns the ways to mend `finding` in `lesson` between which a person must choose, to be shown; see [`choices_with`].
pub fn choices(lesson: &Lesson, finding: &Finding) -> Vec<Remedy> {
    // Nobody makes these edits, so it does not matter what is drawn.
    choices_with(lesson, finding, &mut IdSource::new(Seed(0), lesson))
}

/// Returns the ways to mend `finding` in `lesson` between which a person must choose: none where there is one remedy, or
/// where only the place itself can be changed. What is new gets its identity from `ids`.
pub fn choices_with(lesson: &Lesson, finding: &Finding, ids: &mut IdSource) -> Vec<Remedy> {
    match (finding.kind, finding.place) {
        (FindingKind::VoicingSetup, LessonPlace::Segment(_)) => {
            ways_to_one_tuning_of_shapes(lesson, finding, ids).unwrap_or_default()
        }
        (FindingKind::PassageSetup, LessonPlace::Segment(_)) => {
            ways_to_one_tuning(lesson, finding, ids).unwrap_or_default()
        }
        (FindingKind::AssumedSetup, LessonPlace::Passage(..) | LessonPlace::Voicing(..)) => {
            ways_to_state(lesson, finding)
        }
        (FindingKind::LedElsewhere, LessonPlace::Segment(id)) => ways_to_lead(lesson, id).unwrap_or_default(),
        (FindingKind::ShortOrPickup, LessonPlace::Passage(id, spot)) => {
            only(&lesson.passages, id).map_or(Vec::new(), |passage| filled_or_pickup(passage, spot))
        }
        (FindingKind::NoName, LessonPlace::Voicing(id, _)) => {
            only(&lesson.voicings, id).map_or(Vec::new(), |voicing| ways_to_name(lesson, voicing))
        }
        (FindingKind::NoSegment, LessonPlace::Segment(id)) => ways_out(lesson, id),
        (FindingKind::ContradictedName, LessonPlace::Passage(id, spot)) => {
            only(&lesson.passages, id).map_or(Vec::new(), |passage| other_names(lesson, passage, spot, "call it"))
        }
        (FindingKind::UnheardBass, LessonPlace::Passage(id, spot)) => {
            only(&lesson.passages, id).map_or(Vec::new(), |passage| without_bass_or_as_words(lesson, passage, spot))
        }
        (FindingKind::MissingName, LessonPlace::Passage(id, spot)) => {
            only(&lesson.passages, id).map_or(Vec::new(), |passage| other_names(lesson, passage, spot, "write"))
        }
        _ => Vec::new(),
    }
}

/// Returns what can become of the stretch behind a segment that no segment has.
fn ways_out(lesson: &Lesson, segment: SegmentId) -> Vec<Remedy> {
    let gap = gaps(lesson).into_iter().find(|gap| gap.is_behind(segment));
    let way = |way| {
        let (mended, words) = gap.as_ref()?.taken(way);
        changed(lesson, mended, words)
    };
    WayOut::ALL.into_iter().filter_map(way).collect()
}

/// Says what mends `finding` in `lesson`, as [`remedy`] would; cheap enough to be asked for every
/// finding of a long lesson.
pub fn mended_by(lesson: &Lesson, finding: &Finding) -> Option<String> {
    match (finding.kind, finding.place) {
        // Many notes of one passage can link to a voicing that is gone, and each remedy holds all of it.
        (FindingKind::DanglingLink, LessonPlace::Passage(id, spot)) if spot != Spot::WHOLE => {
            only(&lesson.passages, id).map(|_| NO_VOICING_LINKS.to_owned())
        }
        // To work out the edits of each of thousands of short bars takes too long.
        (FindingKind::ShortBar, LessonPlace::Passage(id, _)) => {
            only(&lesson.passages, id).map(|_| finding.remedy.clone())
        }
        // The edits are thrown away, so it does not matter what is drawn.
        _ => remedy(lesson, finding, &mut IdSource::new(Seed(0), lesson)).map(|remedy| remedy.text),
    }
}

/// Fills a bar that is too short with rests behind its last note.
fn filled(passage: &Passage, spot: Spot, finding: &Finding) -> Option<Remedy> {
    let from_zero = |number: Option<u32>| usize::try_from(number?.checked_sub(1)?).ok();
    let slot = Slot::start_of(from_zero(spot.bar)?, from_zero(spot.voice)?);
    let done =
        finding.remedy.strip_prefix("add ").map_or("the bar is now full".to_owned(), |rests| format!("added {rests}"));
    Some(Remedy { text: finding.remedy.clone(), done, edits: vec![fill(passage, slot).ok()?] })
}

/// Returns what can become of a first bar that is too short: it is filled with rests, or is a pickup.
fn filled_or_pickup(passage: &Passage, spot: Spot) -> Vec<Remedy> {
    let from_zero = |number: Option<u32>| usize::try_from(number?.checked_sub(1)?).ok();
    let filled = || {
        let slot = Slot::start_of(from_zero(spot.bar)?, from_zero(spot.voice)?);
        let (text, done) = ("fill the bar with rests".to_owned(), "the bar is now filled with rests".to_owned());
        Some(Remedy { text, done, edits: vec![fill(passage, slot).ok()?] })
    };
    let pickup = || {
        let at = spot.bar_index()?;
        let bar = Bar { pickup: true, ..passage.bars.get(at)?.clone() };
        let edit = Edit::Bars { passage: passage.id, at, remove: 1, insert: vec![bar] };
        let (text, done) = ("mark the bar as a pickup".to_owned(), "the bar is now a pickup".to_owned());
        Some(Remedy { text, done, edits: vec![edit] })
    };
    filled().into_iter().chain(pickup()).collect()
}

/// What is done about links from notes.
const NO_VOICING_LINKS: &str = "delete the links to voicings that are gone";

/// Returns where a thing stands in its list, counted from 1.
fn counted(lesson: &Lesson, item: impl Into<ItemId>) -> usize {
    lesson.position(item.into()).unwrap_or_default().saturating_add(1)
}

/// Takes out the links that lead nowhere, from the thing itself or from its parts, whichever was found. One that
/// cannot be missing leads to the only thing that it can lead to, if there is only one.
fn without_dead_links(lesson: &Lesson, place: LessonPlace) -> Option<Remedy> {
    let item = place.item()?;
    let of_parts = place.spot() != Spot::WHOLE;
    let dead = |spot: Spot, to: ItemId| (spot != Spot::WHOLE) == of_parts && !lesson.has(to);
    let mut count = 0_usize;
    let cut = lesson.relinked(item, &mut |spot, to| {
        if !dead(spot, to) {
            return Fate::Stays;
        }
        count += 1;
        Fate::Cut
    });
    if let Some(edit) = cut {
        let text = match (of_parts, count) {
            (true, _) => NO_VOICING_LINKS,
            (false, 1) => "delete the link",
            (false, _) => "delete the links to what is gone",
        };
        let done = text.replacen("delete", "deleted", 1);
        return Some(Remedy { text: text.to_owned(), done, edits: vec![edit] });
    }
    let mut taken = None;
    let led = lesson.relinked(item, &mut |spot, to| match only_of_its_kind(lesson, to) {
        Some(only) if dead(spot, to) => {
            taken = Some(only);
            Fate::To(only.number())
        }
        _ => Fate::Stays,
    });
    let (edit, taken) = led.zip(taken)?;
    let title = lesson.title(taken).unwrap_or(taken.word());
    let (text, done) = (format!("choose the {title}"), format!("chose the {title}"));
    Some(Remedy { text, done, edits: vec![edit] })
}

/// Returns what stands in the list of `item`, if it is only one thing: then there is nothing to choose.
fn only_of_its_kind(lesson: &Lesson, item: ItemId) -> Option<ItemId> {
    let mut all = lesson.identities().filter(|other| other.list() == item.list());
    let first = all.next()?;
    all.next().is_none().then_some(first)
}

fn piece_remedy(lesson: &Lesson, piece: &Piece, kind: FindingKind) -> Option<Remedy> {
    if kind != FindingKind::NoTitle {
        return None;
    }
    let title = format!("Piece {}", counted(lesson, piece.id));
    let words = called(&title);
    changed(lesson, Piece { title, ..piece.clone() }, words)
}

fn passage_title(lesson: &Lesson, id: PassageId) -> Option<Remedy> {
    let passage = only(&lesson.passages, id)?;
    let title = format!("Passage {}", counted(lesson, passage.id));
    let words = called(&title);
    changed(lesson, Passage { title, ..passage.clone() }, words)
}

fn segment_remedy(lesson: &Lesson, segment: &Segment, finding: &Finding, ids: &mut IdSource) -> Option<Remedy> {
    let mut mended = segment.clone();
    let words = match finding.kind {
        FindingKind::NoTitle => {
            mended.title = title_for(lesson, segment);
            called(&mended.title)
        }
        FindingKind::PlannedLength => {
            let video = CutVideo::of(std::slice::from_ref(segment));
            let recorded = segment.recorded.and_then(|known| video.length(known.start, known.end?));
            let recorded = recorded.filter(|length| length.0 > 0);
            mended.planned = recorded.unwrap_or(USUAL_LENGTH);
            [format!("plan {}", mended.planned), format!("the planned length is now {}", mended.planned)]
        }
        FindingKind::RunsBackwards => {
            mended.recorded = segment.recorded.map(|known| Recorded { end: None, ..known });
            ["delete the end", "deleted the end"].map(str::to_owned)
        }
        FindingKind::BarRange => {
            mend_ranges(lesson, &mut mended);
            ["choose only bars that are there", "only bars that are there are played now"].map(str::to_owned)
        }
        FindingKind::AbsurdNumber => {
            for used in &mut mended.passages {
                if used.times == 0 && used.slow_times == 0 {
                    used.times = 1;
                }
                if used.slow_times > 0 && !(1..=100).contains(&used.slow_percent) {
                    used.slow_percent = USUAL_SLOW;
                }
            }
            let slow = format!("slow means {USUAL_SLOW} per cent");
            [format!("play it once, and {slow}"), format!("it is now played once, and {slow}")]
        }
        FindingKind::Cut => {
            let stretch = stretches(&lesson.segments).get(lesson.segment_index(segment.id)?).copied().flatten();
            mended.cuts = stretch.map(|stretch| within(&segment.cuts, stretch)).unwrap_or_default();
            ["leave out only what is recorded", "only what is recorded is left out now"].map(str::to_owned)
        }
        FindingKind::Overlap => return end_earlier(lesson, segment),
        FindingKind::RecordedOrder => return in_order(lesson),
        FindingKind::Retuning => return give_time(lesson, segment, ids),
        FindingKind::RetuningTitle => return rename(lesson, segment.id),
        FindingKind::NothingRetuned => {
            idle_retunings(lesson).into_iter().find(|(idle, _)| idle.id == segment.id)?;
            let edits = deleting_it(lesson, segment.id)?;
            return Some(Remedy { text: "delete it".to_owned(), done: "deleted the retuning".to_owned(), edits });
        }
        FindingKind::EmptyLesson
        | FindingKind::DuplicateId
        | FindingKind::DanglingLink
        | FindingKind::SetupDoesNotFit
        | FindingKind::ControlCharacter
        | FindingKind::NothingWritten
        | FindingKind::BarLength
        | FindingKind::ShortBar
        | FindingKind::ShortOrPickup
        | FindingKind::VoiceCount
        | FindingKind::Tuplet
        | FindingKind::Repeat
        | FindingKind::Ending
        | FindingKind::NoSuchString
        | FindingKind::OffTheNeck
        | FindingKind::StringClash
        | FindingKind::Join
        | FindingKind::JoinLeadsNowhere
        | FindingKind::Technique
        | FindingKind::TechniqueClash
        | FindingKind::Harmonic
        | FindingKind::NothingStruck
        | FindingKind::NotHeld
        | FindingKind::OtherShape
        | FindingKind::ChordName
        // There are several ways: see `choices`.
        | FindingKind::UnheardBass
        | FindingKind::ContradictedName
        | FindingKind::MissingName
        | FindingKind::VoicingShape
        | FindingKind::Fingering
        | FindingKind::VoicingName
        | FindingKind::NoName
        | FindingKind::NamesDiffer
        | FindingKind::OpenDoubt
        | FindingKind::UsedNowhere
        // There are several ways: see `choices`.
        | FindingKind::PassageSetup
        | FindingKind::VoicingSetup
        | FindingKind::AssumedSetup
        | FindingKind::NoSegment
        // There are two ways: see `choices`.
        | FindingKind::LedElsewhere
        | FindingKind::Chapters => return None,
    };
    changed(lesson, mended, words)
}

/// Returns the words that something without a title gets this one: what is done, and what was.
fn called(title: &str) -> [String; 2] {
    [format!("call it \"{title}\""), format!("the title is now \"{title}\"")]
}

/// Returns a title made from what the segment plays, or else from its kind.
fn title_for(lesson: &Lesson, segment: &Segment) -> String {
    let passages = segment.passages.iter().filter_map(|used| lesson.passage(used.passage));
    let titles = passages.map(|passage| passage.title.trim()).find(|title| !title.is_empty());
    let title = titles.unwrap_or(segment.kind.word());
    let mut letters = title.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn mend_ranges(lesson: &Lesson, segment: &mut Segment) {
    for used in &mut segment.passages {
        let bars = lesson.passage(used.passage).map_or(0, |passage| passage.bars.len());
        let last = u32::try_from(bars).unwrap_or(u32::MAX);
        used.bars = used.bars.filter(|_| last > 0).map(|range| {
            let (first, second) = (range.first.clamp(1, last), range.last.clamp(1, last));
            BarRange { first: first.min(second), last: first.max(second) }
        });
    }
}

/// Ends the segments before this one where it starts, those that run into it.
fn end_earlier(lesson: &Lesson, segment: &Segment) -> Option<Remedy> {
    let start = segment.recorded?.start;
    let place = lesson.segment_index(segment.id)?;
    let mut edits = Vec::new();
    let takes = in_video_order(&lesson.segments);
    for TakenSegment { segment: earlier, recorded: known, .. } in
        takes.into_iter().take_while(|take| take.place != place)
    {
        if known.end.is_none_or(|end| end <= start) {
            continue;
        }
        // One that starts no earlier would be left without any length.
        if known.start >= start {
            return None;
        }
        only(&lesson.segments, earlier.id)?;
        let recorded = Some(Recorded { end: Some(start), ..known });
        let mut ended = Segment { recorded, ..earlier.clone() };
        ended.fit_cuts();
        edits.push(Edit::Segments(ListEdit::Replace(ended)));
    }
    let text = format!("end what runs into it at {start}");
    let done = format!("what ran into it now ends at {start}");
    (!edits.is_empty()).then_some(Remedy { text, done, edits })
}

/// Brings the segments into the order of the video.
fn in_order(lesson: &Lesson) -> Option<Remedy> {
    for segment in &lesson.segments {
        only(&lesson.segments, segment.id)?;
    }
    let mut edits = put_in_video_order(&lesson.segments);
    edits.extend(tunings_kept(lesson, &edits));
    let text = "put the segments in the order of the video".to_owned();
    Some(Remedy { text, done: "the segments are now in the order of the video".to_owned(), edits })
}

/// Gives the hands time before a segment in another setup. A recorded one cannot be helped any more.
fn give_time(lesson: &Lesson, segment: &Segment, ids: &mut IdSource) -> Option<Remedy> {
    let soon = too_soon(lesson).into_iter().find(|soon| soon.segment.id == segment.id)?;
    if segment.recorded.is_some() {
        return None;
    }
    let mending = soon.mending();
    let words = [mending.text(), mending.done(&segment.title)];
    match mending {
        Mending::Lengthen(retuning, planned) => changed(lesson, Segment { planned, ..retuning.clone() }, words),
        Mending::Insert(length) => {
            let item = Segment::new(ids.draw(lesson), SegmentKind::Retuning, "Retuning", length);
            let at = lesson.segment_index(segment.id)?;
            let [text, done] = words;
            Some(Remedy { text, done, edits: vec![Edit::Segments(ListEdit::Insert { at, item })] })
        }
    }
}

fn start_at_zero(lesson: &Lesson) -> Option<Remedy> {
    let first = only(&lesson.segments, in_video_order(&lesson.segments).first()?.segment.id)?;
    let recorded = first.recorded.map(|known| Recorded { start: VideoTime::START, ..known });
    let words = [format!("let \"{}\" start at 0:00", first.title), format!("\"{}\" now starts at 0:00", first.title)];
    changed(lesson, Segment { recorded, ..first.clone() }, words)
}

fn setup_remedy(lesson: &Lesson, setup: &Setup, kind: FindingKind) -> Option<Remedy> {
    if kind != FindingKind::NoTitle {
        return None;
    }
    let name = lesson
        .instrument(setup.instrument)
        .map_or_else(|| setup.tuning.to_string(), |instrument| tuning_label(&setup.tuning, &instrument.body));
    let words = [format!("call it \"{name}\""), format!("the name is now \"{name}\"")];
    changed(lesson, Setup { name, ..setup.clone() }, words)
}

/// Gives all but the first of those that share a number new ones.
fn renumber(lesson: &Lesson, twin: ItemId, ids: &mut IdSource) -> Option<Remedy> {
    let mut another = || twin.with_number(ids.draw_number(lesson));
    let edits: Vec<Edit> = lesson.positions(twin).skip(1).map(|at| Edit::renumber(at, another())).collect();
    let text = "give the others numbers of their own; links hold on to the first".to_owned();
    let done = "the others now have numbers of their own; links hold on to the first".to_owned();
    (!edits.is_empty()).then_some(Remedy { text, done, edits })
}
