//! The tuning and capo of a passage: which one it is to be, and whether frets or sound stay.

use crate::instrument::rig::Rig;
use crate::lesson::document::{Lesson, Piece};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::Reason;
use crate::lesson::id::PassageId;
use crate::lesson::music::Passage;
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::tunings::{FretsOrSound, passages_to};
use crate::workbench::boxes::choice::{Advice, ChoiceBox};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::rigs::describe;
use crate::workbench::editing::typed_tuning::{TypedTuning, read_tuning, read_typed_tuning, tuning_as_typed};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::messages::retuning::{done_words, make, words};
use crate::workbench::panes::passage::at_cursor::{AtCursor, nothing_shown};
use crate::workbench::panes::passage::pane::PassagePane;
use crate::workbench::panes::passage::shown::rig_of;
use crate::workbench::questions::passage::{PassagePick, PassageQuestion, Retuning, WantedTuning};
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
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(
        "Tuning and capo of the passage",
        format!("Now: {name}. Whether frets or sound stay is asked next."),
        lines,
    )))
}

/// Takes a tuning that was typed for the passage, and asks what stays. Errors: in words, what cannot be read.
pub(super) fn take_typed(open: &mut EditedLesson, passage: Option<PassageId>, text: &str) -> Result<PaneReply, String> {
    let Some(passage) = passage.and_then(|id| open.lesson().passage(id)) else { return Ok(nothing_shown()) };
    let now = rig_of(open.lesson(), passage);
    let wanted = read_typed_tuning(now.instrument(), text)?;
    if wanted == now && open.lesson().stated_passage_setup(passage).is_some() {
        return Ok(PaneReply::note(format!("the passage is in {} already: no change", describe(&wanted))));
    }
    Ok(ask_what_stays(open, Some(passage.id), WantedTuning::Typed(text.to_owned())))
}

/// Asks what stays when a passage goes to another tuning, and whether the other passages of its piece come along.
pub(super) fn ask_what_stays(open: &EditedLesson, passage: Option<PassageId>, to: WantedTuning) -> PaneReply {
    let lesson = open.lesson();
    let Some(passage) = passage.and_then(|id| lesson.passage(id)) else { return nothing_shown() };
    let Some(name) = name_of(lesson, passage, &to) else { return gone() };
    let pick = |keeping, which| Pick::Passage(PassagePick::Retune(to.clone(), keeping, which));
    let mut lines: Vec<(String, Pick)> = [FretsOrSound::Frets, FretsOrSound::Sound]
        .map(|keeping| (words(keeping).to_owned(), pick(keeping, Retuning::This)))
        .into();
    if let Some((piece, count)) = piece_with_others(lesson, passage) {
        for keeping in [FretsOrSound::Frets, FretsOrSound::Sound] {
            let line = format!("all {count} passages of \"{}\", {}", piece.title, done_words(keeping));
            lines.push((line, pick(keeping, Retuning::Piece(piece.id))));
        }
    }
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(
        format!("\"{}\" in {name}: what stays?", passage.title),
        Advice::NONE,
        lines,
    )))
}

/// Takes the passage, or all of its piece, to another tuning, and lists what could not be kept.
pub(super) fn retune(
    open: &mut EditedLesson,
    passage: Option<PassageId>,
    to: &WantedTuning,
    keeping: FretsOrSound,
    which: Retuning,
    reason: Reason,
) -> PaneReply {
    let Some(passage) = passage.and_then(|id| open.lesson().passage(id)).cloned() else { return nothing_shown() };
    let target = match to {
        WantedTuning::Known(id) => match open.lesson().setup(*id) {
            Some(setup) => TypedTuning { setup: setup.clone(), edits: Vec::new() },
            None => return gone(),
        },
        WantedTuning::Typed(text) => {
            let body = rig_of(open.lesson(), &passage).instrument().clone();
            match tuning_as_typed(open, &body, text) {
                Ok(typed) => typed,
                Err(error) => return PaneReply::say(Notice::trouble(error)),
            }
        }
    };
    // What is placed needs a lesson that has the tuning's instrument.
    let mut with_it = open.lesson().clone();
    if let Err(error) = with_it.apply_all(target.edits.clone()) {
        return PaneReply::say(Notice::trouble(error.to_string()));
    }
    let (passages, mut first) = (passages_meant(&with_it, &passage, which), target.edits);
    let mut retuned = match passages_to(&with_it, &passages, &target.setup, keeping) {
        Ok(retuned) => retuned,
        Err(error) => return PaneReply::say(Notice::trouble(error.to_string())),
    };
    if let Retuning::Piece(id) = which
        && let Some(piece) =
            open.lesson().piece(id).filter(|piece| piece.setup.is_some_and(|now| now != target.setup.id))
    {
        let piece = Piece { setup: Some(target.setup.id), ..piece.clone() };
        retuned.edits.push(Edit::Pieces(ListEdit::Replace(piece)));
    }
    if retuned.edits.is_empty() {
        first.clear();
    }
    let what = match which {
        Retuning::This => format!("\"{}\" is in {}", passage.title, target.setup.name),
        Retuning::Piece(_) => format!("{} passages are in {}", passages.len(), target.setup.name),
    };
    let place = LessonPlace::Passage(passage.id, Spot::WHOLE);
    make(open, reason, Some(place), first, retuned, format!("{what}: {}", done_words(keeping)))
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
    PaneReply::say(Notice::note("that tuning is not in the lesson any more"))
}

/// Returns what the passage that is shown is played on; `None` where none is, or where its strings are not known.
pub fn rig_shown(pane: &PassagePane, lesson: &Lesson) -> Option<Rig> {
    pane.shown.passage(lesson).and_then(|passage| lesson.passage_rig(passage))
}
