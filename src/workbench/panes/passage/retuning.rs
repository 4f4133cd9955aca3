//! The tuning and capo of a passage: which one it is to be, and whether frets or sound stay.

use crate::instrument::rig::Rig;
use crate::lesson::document::{Lesson, Piece};
use crate::lesson::history::Reason;
use crate::lesson::id::{PassageId, SegmentId};
use crate::lesson::music::Passage;
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::tunings::{FretsOrSound, passages_to};
use crate::lesson::tunings_along::SegmentsAlong;
use crate::lesson::voicings_along::{VoicingsThere, take_along};
use crate::text::quote::quoted;
use crate::workbench::boxes::choice::{Advice, ChoiceBox};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::rigs::describe;
use crate::workbench::editing::typed_tuning::{TypedTuning, read_tuning, read_typed_tuning, tuning_as_typed};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::messages::retuning::{done_words, make, voicing_words, words};
use crate::workbench::panes::passage::asking::entry_now;
use crate::workbench::panes::passage::at_cursor::{AtCursor, nothing_shown};
use crate::workbench::panes::passage::pane::PassagePane;
use crate::workbench::panes::passage::shown::rig_of;
use crate::workbench::questions::passage::{PassagePick, PassageQuestion, Retuning, TheirSegments, WantedTuning};
use crate::workbench::questions::pick::Pick;

/// Lists the tunings to which the passage could go.
pub(super) fn choose_tuning(here: &AtCursor<'_>) -> PaneReply {
    let lesson = here.lesson;
    let now = lesson.stated_passage_setup(here.passage);
    let others = lesson.setups.iter().filter(|setup| Some(setup.id) != now);
    let line = |name: String, pick| (name, Pick::Passage(pick));
    let mut lines: Vec<(String, Pick)> =
        others.map(|setup| line(setup.name.clone(), PassagePick::Tuning(WantedTuning::Known(setup.id)))).collect();
    lines.push(line("another tuning or capo...".to_owned(), PassagePick::Ask(PassageQuestion::Tuning)));
    let name = lesson.passage_setup(here.passage).map_or_else(|| "none".to_owned(), |setup| setup.name.clone());
    let assumed = if now.is_none() { ", which it does not state itself" } else { "" };
    let list = ChoiceBox::new(
        "Tuning and capo of the passage",
        format!("Now: {name}{assumed}. Next: keep the frets or the sound?"),
        lines,
    );
    PaneReply::ask(Overlay::Choice(list.or_typed(entry_now(here, PassageQuestion::Tuning))))
}

/// Takes a tuning that was typed for the passage, and asks what stays. Errors: in words, what cannot be read.
pub(super) fn take_typed(open: &mut EditedLesson, passage: Option<PassageId>, text: &str) -> Result<PaneReply, String> {
    let Some(passage) = passage.and_then(|id| open.lesson().passage(id)) else { return Ok(nothing_shown()) };
    let now = rig_of(open.lesson(), passage);
    let wanted = read_typed_tuning(now.instrument(), text)?;
    if wanted == now && open.lesson().stated_passage_setup(passage).is_some() {
        return Ok(PaneReply::note(format!("the passage is in {} already: no change", describe(&wanted))));
    }
    let id = passage.id;
    Ok(ask_what_stays(open, Some(id), WantedTuning::Typed(text.to_owned())))
}

/// What is wanted of a passage that goes to another tuning.
#[derive(Debug, Clone, Copy)]
pub(super) struct WantedRetuning<'a> {
    /// The tuning.
    pub(super) to: &'a WantedTuning,
    /// What stays.
    pub(super) keeping: FretsOrSound,
    /// The passages that go.
    pub(super) which: Retuning,
    /// What becomes of the segments that play them.
    pub(super) segments: TheirSegments,
}

/// Asks what stays when a passage goes to another tuning, and whether the other passages of its piece and the segments that play
/// them come along.
pub(super) fn ask_what_stays(open: &mut EditedLesson, passage: Option<PassageId>, to: WantedTuning) -> PaneReply {
    let Some(passage) = passage.and_then(|id| open.lesson().passage(id)).cloned() else { return nothing_shown() };
    let Some(name) = name_of(open.lesson(), &passage, &to) else { return gone() };
    let target = match target(open, &passage, &to) {
        Ok(target) => target.setup,
        Err(notice) => return PaneReply::say(notice),
    };
    let lesson = open.lesson();
    let piece = piece_with_others(lesson, &passage);
    let both = [FretsOrSound::Frets, FretsOrSound::Sound];
    let pick = |keeping, which, segments| Pick::Passage(PassagePick::Retune(to.clone(), keeping, which, segments));
    let mut lines: Vec<(String, Pick)> = Vec::new();
    for keeping in both {
        lines.push((words(keeping).to_owned(), pick(keeping, Retuning::This, TheirSegments::Stay)));
    }
    let all_of = |piece: &Piece, count| {
        let all = if count == 2 { "both".to_owned() } else { format!("all {count}") };
        format!("{all} passages of \"{}\"", piece.title)
    };
    if let Some((piece, count)) = piece {
        for keeping in both {
            let which = Retuning::Piece(piece.id);
            lines.push((
                format!("{}: {}", done_words(keeping), all_of(piece, count)),
                pick(keeping, which, TheirSegments::Stay),
            ));
        }
    }
    let (mut advice, mut stay) = (Advice::NONE, String::new());
    for which in std::iter::once(Retuning::This).chain(piece.map(|(piece, _)| Retuning::Piece(piece.id))) {
        let along = SegmentsAlong::of(lesson, &passages_meant(lesson, &passage, which), &target);
        let (coming, staying) = (along.playing.len(), along.torn.len());
        let playing = match (coming, staying) {
            (0, _) => continue,
            (1, 0) => "the segment that plays".to_owned(),
            (_, 0) => "the segments that play".to_owned(),
            (_, _) => format!("{coming} of the {} segments that play", coming + staying),
        };
        stay = match along.torn.as_slice() {
            [] => stay,
            [only] => format!("; {} stays: it plays something else as well", titles_of(lesson, &[*only])),
            several => format!("; {} stay: they play something else as well", titles_of(lesson, several)),
        };
        advice = format!("Segments that go along change to {name} too{stay}.").into();
        let count = if coming > 1 && staying == 0 { format!(" ({coming})") } else { String::new() };
        for keeping in both {
            let line = match piece.filter(|_| which != Retuning::This) {
                None => format!("{}, and {playing} it{count}", done_words(keeping)),
                // What differs stands first: the title may be cut off.
                Some((piece, passages)) => {
                    format!("{}, and {playing} them{count}: {}", done_words(keeping), all_of(piece, passages))
                }
            };
            lines.push((line, pick(keeping, which, TheirSegments::ComeAlong)));
        }
    }
    let title = format!("\"{}\" in {name}: what stays?", passage.title);
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(title, advice, lines)))
}

/// Takes the passage, or all of its piece, to another tuning, and lists what could not be kept.
pub(super) fn retune(
    open: &mut EditedLesson,
    passage: Option<PassageId>,
    wanted: WantedRetuning<'_>,
    reason: Reason,
) -> PaneReply {
    let Some(passage) = passage.and_then(|id| open.lesson().passage(id)).cloned() else { return nothing_shown() };
    let target = match target(open, &passage, wanted.to) {
        Ok(target) => target,
        Err(notice) => return PaneReply::say(notice),
    };
    // What is placed needs a lesson that has the tuning's instrument.
    let mut with_it = open.lesson().clone();
    if let Err(error) = with_it.apply_all(target.edits.clone()) {
        return PaneReply::say(Notice::trouble(error.to_string()));
    }
    let (passages, mut first) = (passages_meant(&with_it, &passage, wanted.which), target.edits);
    let along = SegmentsAlong::of(&with_it, &passages, &target.setup);
    let mut retuned = match passages_to(&with_it, &passages, &target.setup, wanted.keeping) {
        Ok(retuned) => retuned,
        Err(error) => return PaneReply::say(Notice::trouble(error.to_string())),
    };
    let mut segments = String::new();
    if wanted.segments == TheirSegments::ComeAlong {
        retuned.edits.extend(along.edits(&with_it, target.setup.id));
        segments = segment_words(&with_it, &along);
    }
    let there = VoicingsThere::Come(wanted.keeping);
    let voicings = take_along(&with_it, &mut retuned, there, &mut || open.new_id());
    if retuned.edits.is_empty() {
        first.clear();
    }
    let what = match wanted.which {
        Retuning::This => format!("\"{}\" is in {}", passage.title, target.setup.name),
        Retuning::Piece(_) => format!("{} passages are in {}", passages.len(), target.setup.name),
    };
    let place = LessonPlace::Passage(passage.id, Spot::WHOLE);
    let done = format!("{what}: {}{segments}{}", done_words(wanted.keeping), voicing_words(&voicings));
    make(open, reason, Some(place), first, retuned, done)
}

/// Returns the tuning that is wanted, with the edits that bring it into the lesson. Errors: why there is none.
fn target(open: &mut EditedLesson, passage: &Passage, to: &WantedTuning) -> Result<TypedTuning, Notice> {
    match to {
        WantedTuning::Known(id) => match open.lesson().setup(*id) {
            Some(setup) => Ok(TypedTuning { setup: setup.clone(), edits: Vec::new() }),
            None => Err(gone_notice()),
        },
        WantedTuning::Typed(text) => {
            let body = rig_of(open.lesson(), passage).instrument().clone();
            tuning_as_typed(open, &body, text).map_err(Notice::trouble)
        }
    }
}

/// Says which segments came along, after what was done, and which could not.
fn segment_words(lesson: &Lesson, along: &SegmentsAlong) -> String {
    let playing = match along.playing.len() {
        0 => String::new(),
        1 => "; its segment is played in it too".to_owned(),
        count => format!("; {count} segments are played in it too"),
    };
    let torn = match along.torn.as_slice() {
        [] => String::new(),
        [only] => format!("; {} stays, because it plays something else as well", titles_of(lesson, &[*only])),
        several => {
            format!("; {} stay, because they play something else as well", titles_of(lesson, several))
        }
    };
    format!("{playing}{torn}")
}

/// Returns the titles of segments, for the middle of a sentence.
fn titles_of(lesson: &Lesson, segments: &[SegmentId]) -> String {
    let titles = segments.iter().filter_map(|id| lesson.segment(*id)).map(|segment| {
        let title = segment.title.trim();
        if title.is_empty() { "a segment without a title".to_owned() } else { format!("\"{}\"", quoted(title)) }
    });
    titles.collect::<Vec<_>>().join(", ")
}

fn passages_meant(lesson: &Lesson, passage: &Passage, which: Retuning) -> Vec<PassageId> {
    match which {
        Retuning::This => vec![passage.id],
        Retuning::Piece(piece) => lesson.passages_of(piece),
    }
}

/// Returns the piece that a passage belongs to and how many passages it has, if it has others.
fn piece_with_others<'a>(lesson: &'a Lesson, passage: &Passage) -> Option<(&'a Piece, usize)> {
    let piece = lesson.piece(*lesson.pieces_of_passages().get(&passage.id)?)?;
    let count = lesson.passages_of(piece.id).len();
    (count > 1).then_some((piece, count))
}

fn name_of(lesson: &Lesson, passage: &Passage, to: &WantedTuning) -> Option<String> {
    match to {
        WantedTuning::Known(id) => Some(lesson.setup(*id)?.name.clone()),
        WantedTuning::Typed(text) => {
            read_tuning(rig_of(lesson, passage).instrument(), text).ok().map(|rig| describe(&rig))
        }
    }
}

fn gone() -> PaneReply {
    PaneReply::say(gone_notice())
}

fn gone_notice() -> Notice {
    Notice::note("that tuning is not in the lesson any more")
}

/// Returns which passage is shown.
pub fn passage_shown(pane: &PassagePane) -> Option<PassageId> {
    pane.shown.id()
}

/// Returns what the passage that is shown is played on; `None` where none is, or where its strings are not known.
pub fn rig_shown(pane: &PassagePane, lesson: &Lesson) -> Option<Rig> {
    pane.shown.passage(lesson).and_then(|passage| lesson.passage_rig(passage))
}
