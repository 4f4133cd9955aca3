//! A chord of the tab on its way to the fretboard, and its name on the way back.

use std::sync::Arc;

use crate::lesson::document::ChordNames;
use crate::lesson::history::{Reason, Transaction};
use crate::text::quote::quoted;
use crate::theory::symbol::ChordSymbol;
use crate::workbench::desk::from_tab::FromTab;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::keys::action::Focus;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::fretboard::fingers::GripOrigin;
use crate::workbench::panes::fretboard::grip::Grip;
use crate::workbench::panes::passage::column_at;

/// Puts what is fretted at the cursor of the passage on the fretboard, on the strings of the passage, and goes there.
pub(super) fn take_to_fretboard(desk: &mut Desk) -> PaneReply {
    let Some(column) = column_at(&desk.passage, desk.lesson.lesson()) else {
        return PaneReply::note("this segment plays no passage yet: nothing can be taken to the fretboard");
    };
    let shape = column.shape();
    if shape.strings().iter().all(Option::is_none) {
        return PaneReply::note("nothing is fretted here and nothing rings on: go to a note first");
    }
    let replaced = !desk.fretboard.grip().is_silent() && desk.fretboard.grip().shape != shape;
    let replaced = if replaced { "; u brings back what lay there" } else { "" };
    let bar = column.bar();
    let rig = Arc::new(column.rig().clone());
    desk.fretboard.tune(column.rig().clone(), None);
    let grip = Grip::new(shape.clone(), Vec::new(), Vec::new(), Arc::clone(&rig));
    desk.fretboard.put(grip, GripOrigin::Hand);
    desk.from_tab = Some(FromTab { column, segment: desk.timeline.selected(), rig });
    desk.focus = Focus::Fretboard;
    desk.select_kept_reading();
    PaneReply::say(Notice::done(format!("{} from bar {bar} is here; Ctrl+G names it there{replaced}", shape.compact())))
}

/// Writes the name over the notes that were taken to the fretboard, and goes back there: in the readings the selected one, on the
/// fretboard the one that is kept, or else the selected one.
pub(super) fn name_in_passage(desk: &mut Desk) -> PaneReply {
    let (shape, segment) = (&desk.fretboard.grip().shape, desk.timeline.selected());
    let Some(from) = desk.from_tab.clone().filter(|from| from.is(shape, segment)) else {
        let text = "these fingers did not come from the passage: Ctrl+G there takes what is fretted at its cursor";
        return PaneReply::note(text);
    };
    let selected = desk.readings.selected().map(|named| named.reading.symbol.clone());
    let kept = desk.fretboard.names().first().cloned();
    let name = if desk.focus == Focus::Readings { selected } else { kept.or(selected) };
    let Some(played) = name else { return PaneReply::note("nothing sounds that has a name") };
    let lesson = desk.lesson.lesson();
    if !from.column.is_there_still(lesson) {
        return PaneReply::note("the notes there are others now: take them again");
    }
    let up = from.rig.played_as().semitones();
    let name = match (lesson.header.chord_names, played.parse::<ChordSymbol>()) {
        (ChordNames::SoundsAs, Ok(symbol)) if up != 0 => symbol.moved(up, None).to_string(),
        (ChordNames::SoundsAs | ChordNames::PlayedAs, _) => played,
    };
    let place = from.column.place();
    let Some(edit) = from.column.named(lesson, &name) else {
        return PaneReply::note("the notes there are gone: take others");
    };
    let done = format!("{} stands over these notes in bar {} now", quoted(&name), from.column.bar());
    let (passage, spot) = from.column.spot();
    let change = Transaction::one(Reason::NameChord, edit).at(place);
    let reply = PaneReply::of_change(&mut desk.lesson, done, |open| open.change(change));
    desk.focus = Focus::Passage;
    desk.passage.go_to_spot(desk.lesson.lesson(), segment, passage, spot);
    reply
}
