//! The tunings and capos of the lesson: a new one for a segment, and changing, renaming and deleting those there are.

use crate::lesson::document::{Lesson, Segment, Setup};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{SegmentId, SetupId};
use crate::lesson::idle_retunings::{IdleAlong, delete_idle};
use crate::lesson::place::LessonPlace;
use crate::lesson::tunings::{FretsOrSound, PlayedIn, Retuned, tuning_changed, tuning_deleted};
use crate::lesson::voicings_along::{VoicingsThere, take_along};
use crate::workbench::boxes::choice::{Advice, ChoiceBox};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::rigs::describe;
use crate::workbench::editing::typed_tuning::{TypedTuning, read_tuning, read_typed_tuning, tuning_of};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::messages::retuning::{done_words, make, voicing_words, words};
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::timeline::{SegmentTuning, TimelinePick, TimelineQuestion, TuningChange};

/// Has a segment played in a tuning and capo as they were typed; one that the lesson has is taken from there, and the one that the
/// segment has is left alone. Errors: in words, what could not be read.
pub(super) fn add_setup(open: &mut EditedLesson, segment: SegmentId, text: &str) -> Result<PaneReply, String> {
    read_typed_tuning(open.rig_at(Some(segment)).0.instrument(), text)?;
    Ok(play_in(open, segment, &SegmentTuning::Typed(text.to_owned()), None))
}

/// Has a segment played in a tuning of the lesson, or in that of the segment before.
pub(super) fn choose(open: &mut EditedLesson, segment: SegmentId, wanted: &SegmentTuning) -> PaneReply {
    play_in(open, segment, wanted, None)
}

/// What a segment is to state, which is called so, with what brings it into the lesson.
struct Stated {
    setup: Option<SetupId>,
    name: String,
    edits: Vec<Edit>,
}

/// Returns what a segment has to state to be played in what is wanted. Errors: why it cannot be.
fn stated(open: &mut EditedLesson, segment: SegmentId, wanted: &SegmentTuning) -> Result<Stated, Notice> {
    match wanted {
        SegmentTuning::AsBefore => Ok(Stated { setup: None, name: String::new(), edits: Vec::new() }),
        SegmentTuning::Known(id) => match open.lesson().setup(*id) {
            Some(setup) => Ok(Stated { setup: Some(*id), name: setup.name.clone(), edits: Vec::new() }),
            None => Err(gone_notice()),
        },
        SegmentTuning::Typed(text) => {
            let (now, trouble) = open.rig_at(Some(segment));
            let rig = read_typed_tuning(now.instrument(), text).map_err(Notice::trouble)?;
            // Of several that sound alike, the one that is in force here stays.
            let here = open.setup_at(Some(segment)).filter(|_| rig == now && trouble.is_none()).cloned();
            let typed = match here {
                Some(setup) => TypedTuning { setup, edits: Vec::new() },
                None => tuning_of(open, &rig),
            };
            Ok(Stated { setup: Some(typed.setup.id), name: describe(&rig), edits: typed.edits })
        }
    }
}

/// Has a segment state a tuning, or take that of the segment before. Says which tuning it is, how many others are played in another
/// one now, and what became of the voicings that they show; where it is not said yet, that is asked.
pub(super) fn play_in(
    open: &mut EditedLesson,
    segment: SegmentId,
    wanted: &SegmentTuning,
    there: Option<VoicingsThere>,
) -> PaneReply {
    let Some(played) = open.segment(segment).cloned() else { return PaneReply::nothing() };
    let Stated { setup, name, edits } = match stated(open, segment, wanted) {
        Ok(stated) => stated,
        Err(notice) => return PaneReply::say(notice),
    };
    let is_new = !edits.is_empty();
    if played.setup == setup && !is_new {
        return PaneReply::note(match setup {
            Some(_) => format!("this segment is played in {name} already: no change"),
            None => "this segment has the tuning of the one before it already: no change".to_owned(),
        });
    }
    let before = open.lesson().clone();
    let mut retuned = Retuned { edits, ..Retuned::default() };
    retuned.edits.push(Edit::Segments(ListEdit::Replace(Segment { setup, ..played })));
    if there.is_none() {
        let leaving = take_along(&before, &mut retuned.clone(), VoicingsThere::Stay, &mut || open.new_id()).staying;
        if !leaving.is_empty() {
            return ask_about_voicings(segment, wanted, &leaving);
        }
    }
    let there = there.unwrap_or(VoicingsThere::Stay);
    let along = take_along(&before, &mut retuned, there, &mut || open.new_id());
    let mut after = before.clone();
    if let Err(error) = after.apply_all(retuned.edits.clone()) {
        return PaneReply::say(Notice::trouble(error.to_string()));
    }
    let others = others_too(&before, &after, segment);
    let done = match setup {
        Some(_) if is_new => format!("{name} added; this segment is played in it{others}"),
        Some(_) => format!("this segment is played in {name}{others}"),
        None => {
            let name = after.segment_setup(segment).map_or("", |setup| setup.name.as_str());
            format!("this segment is played in {name}, as the one before it{others}")
        }
    };
    // Those that were to stay need no reason.
    let voicings = if there == VoicingsThere::Stay { String::new() } else { voicing_words(&along) };
    let reason = if is_new { Reason::AddSetup } else { Reason::ChooseSetup };
    make(open, reason, Some(LessonPlace::Segment(segment)), Vec::new(), retuned, format!("{done}{voicings}"))
}

/// Says how many segments behind one are played in another tuning, too.
fn others_too(before: &Lesson, after: &Lesson, segment: SegmentId) -> String {
    let (were, are) = (before.tunings_in_force(), after.tunings_in_force());
    match were.iter().zip(&are).filter(|(was, is)| was != is && is.0 != segment).count() {
        0 => String::new(),
        1 => "; so is the one after it".to_owned(),
        count => format!("; so are the {count} after it"),
    }
}

/// Asks what becomes of the voicings of segments that go to another tuning.
fn ask_about_voicings(segment: SegmentId, wanted: &SegmentTuning, called: &[String]) -> PaneReply {
    let pick = |there| Pick::Timeline(TimelinePick::PlayIn(segment, wanted.clone(), there));
    let come = |keeping| (words(keeping).to_owned(), pick(VoicingsThere::Come(keeping)));
    let them = if called.len() == 1 { "it" } else { "them" };
    choice(
        &format!("{} in another tuning: what stays?", counted(called.len(), "chord shape")),
        format!("Shown in segments that change tuning: {}.", called.join(", ")).into(),
        vec![
            come(FretsOrSound::Frets),
            come(FretsOrSound::Sound),
            (format!("leave {them} in the old tuning"), pick(VoicingsThere::Stay)),
        ],
    )
}

/// Lists the tunings of the lesson with what is played in them.
pub(super) fn list(lesson: &Lesson) -> PaneReply {
    let line = |setup: &Setup| {
        let text = format!("{}   {}", setup.name, in_words(&lesson.played_in(setup.id)));
        (text, Pick::Timeline(TimelinePick::Tuning(setup.id)))
    };
    choice("Tunings of the lesson", Advice::NONE, lesson.setups.iter().map(line).collect())
}

/// Lists what can be done with a tuning.
pub(super) fn choose_change(lesson: &Lesson, id: SetupId) -> PaneReply {
    let Some(setup) = lesson.setup(id) else { return gone() };
    let line = |text: &str, pick| (text.to_owned(), Pick::Timeline(pick));
    choice(
        &setup.name,
        format!("Played in it: {}.", in_words(&lesson.played_in(id))).into(),
        vec![
            line("change tuning or capo...", TimelinePick::AskTuning(id, TuningChange::Notes)),
            line("rename...", TimelinePick::AskTuning(id, TuningChange::Name)),
            line("delete...", TimelinePick::DeleteTuning(id)),
        ],
    )
}

/// Asks for another name, or for other strings and another capo.
pub(super) fn ask(lesson: &Lesson, id: SetupId, what: TuningChange) -> PaneReply {
    let Some(setup) = lesson.setup(id) else { return gone() };
    PaneReply::ask(Overlay::Entry(match what {
        TuningChange::Name => EntryBox::new(
            TimelineQuestion::TuningName(id),
            "Name of the tuning",
            "It is printed on the handout.",
            &setup.name,
        ),
        TuningChange::Notes => EntryBox::new(
            TimelineQuestion::TuningNotes(id),
            format!("Tuning and capo of \"{}\"", setup.name),
            "A tuning by name or notes, then a capo if there is one: drop D, capo 3, or D2 A2 D3 G3 A3 D4, no capo.",
            lesson.rig(setup).map(|rig| describe(&rig)).unwrap_or_default(),
        ),
    }))
}

/// Takes another name for a tuning. Errors: there is none.
pub(super) fn rename(open: &mut EditedLesson, id: SetupId, name: &str) -> Result<PaneReply, String> {
    let Some(setup) = open.lesson().setup(id).cloned() else { return Ok(gone()) };
    let name = name.trim();
    if name.is_empty() {
        return Err("a tuning needs a name".to_owned());
    }
    let edit = Edit::Setups(ListEdit::Replace(Setup { name: name.to_owned(), ..setup }));
    Ok(PaneReply::of_change(open, format!("the tuning is called \"{name}\""), |open| {
        open.change(Transaction::one(Reason::EditSetup, edit).at(LessonPlace::Setup(id)))
    }))
}

/// Takes other strings and another capo for a tuning; where passages are played in it, asks what stays.
/// Errors: in words, what could not be read.
pub(super) fn take_notes(open: &mut EditedLesson, id: SetupId, text: &str) -> Result<PaneReply, String> {
    let lesson = open.lesson();
    let Some(setup) = lesson.setup(id) else { return Ok(gone()) };
    let Some(body) = lesson.instrument(setup.instrument).map(|owned| &owned.body) else {
        return Err("its instrument is gone; {Desk(ShowProblems)} lists the fixes".to_owned());
    };
    let new = read_typed_tuning(body, text)?;
    let played = lesson.played_in(id);
    let passages = played.passages.len();
    if passages + played.voicings == 0 || lesson.rig(setup).is_ok_and(|old| old == new) {
        return Ok(change(open, id, text, FretsOrSound::Frets));
    }
    let pick = |keeping| Pick::Timeline(TimelinePick::ChangeTuning(id, text.to_owned(), keeping));
    let lines = [FretsOrSound::Frets, FretsOrSound::Sound].map(|keeping| (words(keeping).to_owned(), pick(keeping)));
    let what = if passages > 0 { counted(passages, "passage") } else { counted(played.voicings, "chord shape") };
    let title = format!("{what} in {}: what stays?", describe(&new));
    Ok(choice(
        &title,
        "The same is done with its chord shapes; those that sound different lose their names.".into(),
        lines.into(),
    ))
}

/// Puts other strings and another capo in the place of those of a tuning. A name that said the old ones says the new.
pub(super) fn change(open: &mut EditedLesson, id: SetupId, text: &str, keeping: FretsOrSound) -> PaneReply {
    let lesson = open.lesson();
    let Some(setup) = lesson.setup(id) else { return gone() };
    let Some(body) = lesson.instrument(setup.instrument).map(|owned| &owned.body) else { return gone() };
    let new = match read_tuning(body, text) {
        Ok(new) => new,
        Err(error) => return PaneReply::say(Notice::trouble(error)),
    };
    let said_itself = lesson.rig(setup).is_ok_and(|old| describe(&old) == setup.name);
    let name = if said_itself { describe(&new) } else { setup.name.clone() };
    let done = format!("it is {} now: {}", describe(&new), done_words(keeping));
    let new = Setup { name, tuning: new.tuning().clone(), capo: new.capo().cloned(), ..setup.clone() };
    match tuning_changed(lesson, new, keeping) {
        Ok(retuned) => make(open, Reason::EditSetup, Some(LessonPlace::Setup(id)), Vec::new(), retuned, done),
        Err(error) => PaneReply::say(Notice::trouble(error.to_string())),
    }
}

/// Deletes a tuning, or asks what becomes of what is played in it.
pub(super) fn delete(open: &mut EditedLesson, id: SetupId) -> PaneReply {
    let lesson = open.lesson();
    let Some(setup) = lesson.setup(id) else { return gone() };
    let played = lesson.played_in(id);
    if played.is_nothing() {
        return delete_for(open, id, None, FretsOrSound::Frets);
    }
    let title = format!("Delete \"{}\": what is played in it goes to", setup.name);
    let mut lines = Vec::new();
    for other in lesson.setups.iter().filter(|other| other.id != id) {
        let pick = |keeping| Pick::Timeline(TimelinePick::DeleteTuningFor(id, other.id, keeping));
        if played.passages.is_empty() && played.voicings == 0 {
            lines.push((other.name.clone(), pick(FretsOrSound::Frets)));
            continue;
        }
        for keeping in [FretsOrSound::Frets, FretsOrSound::Sound] {
            lines.push((format!("{}, in {}", done_words(keeping), other.name), pick(keeping)));
        }
    }
    if lines.is_empty() {
        let words =
            format!("it is the only tuning, and this is played in it: {}; change it instead", in_words(&played));
        return PaneReply::say(Notice::note(words));
    }
    choice(&title, format!("Played in it: {}.", in_words(&played)).into(), lines)
}

/// Deletes a tuning; what is played in it is played in `instead` from then on.
pub(super) fn delete_for(
    open: &mut EditedLesson,
    id: SetupId,
    instead: Option<SetupId>,
    keeping: FretsOrSound,
) -> PaneReply {
    let lesson = open.lesson();
    let Some(setup) = lesson.setup(id) else { return gone() };
    let done = format!("\"{}\" deleted", setup.name);
    match tuning_deleted(lesson, id, instead, keeping) {
        Ok(mut retuned) => {
            let idle = idle_words(&delete_idle(lesson, &mut retuned));
            make(open, Reason::RemoveSetup, None, Vec::new(), retuned, format!("{done}{idle}; {{Desk(Undo)}} undoes"))
        }
        Err(error) => PaneReply::say(Notice::trouble(error.to_string())),
    }
}

/// Says what became of the retunings that lead nowhere now, behind what was done.
fn idle_words(idle: &IdleAlong) -> String {
    let deleted = match idle.deleted {
        0 => String::new(),
        1 => " with the retuning to it".to_owned(),
        count => format!(" with {count} retunings"),
    };
    let staying = match idle.staying {
        0 => String::new(),
        1 => "; a retuning changes nothing now, {Desk(ShowProblems)} leads to it".to_owned(),
        count => format!("; {count} retunings change nothing now, {{Desk(ShowProblems)}} leads to them"),
    };
    format!("{deleted}{staying}")
}

/// Says what is played in a tuning: `2 segments, 1 passage`.
fn in_words(played: &PlayedIn) -> String {
    let counts = [
        (played.segments, "segment"),
        (played.pieces, "piece"),
        (played.passages.len(), "passage"),
        (played.voicings, "chord shape"),
    ];
    let some: Vec<String> =
        counts.into_iter().filter(|(count, _)| *count > 0).map(|(count, word)| counted(count, word)).collect();
    if some.is_empty() { "nothing".to_owned() } else { some.join(", ") }
}

fn counted(count: usize, word: &str) -> String {
    if count == 1 { format!("1 {word}") } else { format!("{count} {word}s") }
}

fn choice(title: &str, advice: Advice, lines: Vec<(String, Pick)>) -> PaneReply {
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(title, advice, lines)))
}

fn gone() -> PaneReply {
    PaneReply::say(gone_notice())
}

fn gone_notice() -> Notice {
    Notice::note("that tuning is not in the lesson any more")
}
