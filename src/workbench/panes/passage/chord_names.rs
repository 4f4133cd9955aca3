//! Names for the bars that have none, one place after the other: nothing is written before it is taken.

use crate::lesson::document::Lesson;
use crate::lesson::edit::Edit;
use crate::lesson::harmony::suggestion::{SuggestedName, suggested_names};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::PassageId;
use crate::lesson::music::{Bar, Passage};
use crate::lesson::phrase::Slot;
use crate::lesson::place::{LessonPlace, Spot};
use crate::text::quote::quoted;
use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::at_cursor::{AtCursor, nothing_shown};
use crate::workbench::panes::passage::cursor::Cursor;
use crate::workbench::questions::passage::{NameTaken, PassagePick};
use crate::workbench::questions::pick::Pick;

/// Asks for the first of the places that have no name yet: in the bars that are selected, else in all that are shown.
pub(super) fn go_through(cursor: &mut Cursor, here: &AtCursor<'_>) -> PaneReply {
    let bars = here.cursor.selected().map_or_else(|| here.bars.clone(), |stretch| stretch.bars());
    let left = suggested_names(here.passage, &here.rig(), here.lesson.header.chord_names, bars);
    if left.is_empty() {
        let text = "every bar with chords has a name; single notes and riffs are left alone";
        return PaneReply::say(Notice::note(text));
    }
    cursor.selection = None;
    ask(cursor, here.lesson, here.passage, left)
}

/// Does what was chosen for the first place of `left`, and asks for the next.
pub(super) fn take(
    open: &mut EditedLesson,
    (passage, cursor): (Option<PassageId>, &mut Cursor),
    taken: NameTaken,
    mut left: Vec<SuggestedName>,
) -> PaneReply {
    if left.is_empty() {
        return PaneReply::nothing();
    }
    let rest = left.split_off(1);
    let (first, rest): (Vec<SuggestedName>, Vec<SuggestedName>) = match taken {
        NameTaken::This(name) => {
            (left.into_iter().map(|place| SuggestedName { names: vec![name.clone()], ..place }).collect(), rest)
        }
        NameTaken::Skipped => (Vec::new(), rest),
        NameTaken::AllTheRest => (left.into_iter().chain(rest).collect(), Vec::new()),
    };
    let Some(shown) = passage.and_then(|id| open.lesson().passage(id)) else { return nothing_shown() };
    if let Some(at) = first.first().map(|place| place.slot) {
        let change = Transaction::new(Reason::NameChord, named(shown, &first)).at(place_of(shown, at));
        if let Err(error) = open.change(change) {
            return PaneReply::say(Notice::trouble(error.to_string()));
        }
    }
    let Some(shown) = passage.and_then(|id| open.lesson().passage(id)) else { return nothing_shown() };
    if !rest.is_empty() {
        return ask(cursor, open.lesson(), shown, rest);
    }
    match first.as_slice() {
        [] => PaneReply::say(Notice::done("no more names to go through")),
        [one] => {
            let name = one.names.first().map_or_else(String::new, |name| quoted(name));
            PaneReply::say(Notice::done(format!("{name} written; no more names to go through")))
        }
        many => PaneReply::say(Notice::done(format!("{} names written; {{Desk(Undo)}} undoes them all", many.len()))),
    }
}

/// Goes to the first place of `left` and asks for its name.
fn ask(cursor: &mut Cursor, lesson: &Lesson, passage: &Passage, left: Vec<SuggestedName>) -> PaneReply {
    let Some(first) = left.first() else { return PaneReply::nothing() };
    cursor.slot = first.slot;
    let tones: Vec<String> = first.tones.iter().map(ToString::to_string).collect();
    let place = place_of(passage, first.slot).text(lesson);
    let advice = format!("{place}: {} sound.", tones.join(" "));
    let pick = |taken| Pick::Passage(PassagePick::Names(taken, left.clone()));
    let mut lines: Vec<(String, Pick)> = first
        .names
        .iter()
        .chain(&first.rootless)
        .map(|name| (name.clone(), pick(NameTaken::This(name.clone()))))
        .collect();
    lines.push(("skip: no name here".to_owned(), pick(NameTaken::Skipped)));
    if left.len() > 1 {
        let others = match left.len() - 1 {
            1 => "the next place".to_owned(),
            others => format!("the {others} places after it"),
        };
        let text = format!("use the best name here and at {others}");
        lines.push((text, pick(NameTaken::AllTheRest)));
    }
    let title = format!("Chord names, {} to go", left.len());
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(title, advice, lines)))
}

fn place_of(passage: &Passage, slot: Slot) -> LessonPlace {
    LessonPlace::Passage(passage.id, Spot::bar(slot.bar).voice(slot.voice).event(slot.event))
}

/// Returns the edits that write the best name of each place over it.
fn named(passage: &Passage, places: &[SuggestedName]) -> Vec<Edit> {
    let mut bars: Vec<(usize, Bar)> = Vec::new();
    for SuggestedName { slot, names, .. } in places {
        if bars.last().is_none_or(|(at, _)| *at != slot.bar) {
            let Some(bar) = passage.bars.get(slot.bar) else { continue };
            bars.push((slot.bar, bar.clone()));
        }
        let voice = bars.last_mut().and_then(|(_, bar)| bar.voices.get_mut(slot.voice));
        if let Some(event) = voice.and_then(|voice| voice.0.get_mut(slot.event)) {
            event.chord = names.first().cloned();
        }
    }
    let edit = |(at, bar)| Edit::Bars { passage: passage.id, at, remove: 1, insert: vec![bar] };
    bars.into_iter().map(edit).collect()
}
