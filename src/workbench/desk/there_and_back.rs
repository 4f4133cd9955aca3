//! A chord of the tab on its way to the fretboard, and its name on the way back.

use std::sync::Arc;

use crate::lesson::harmony::named_rightly::name_moved;
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::PassageId;
use crate::lesson::place::Spot;
use crate::text::quote::quoted;
use crate::workbench::desk::from_tab::{FromTab, NameBrought};
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::keys::action::Focus;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::fretboard::fingers::GripOrigin;
use crate::workbench::panes::fretboard::grip::Grip;
use crate::workbench::panes::passage::column_at;
use crate::workbench::panes::readings::naming::NamedReading;

/// Puts what is fretted at the cursor of the passage on the fretboard, on the strings of the passage, and goes there.
pub(super) fn take_to_fretboard(desk: &mut Desk) -> PaneReply {
    let Some(column) = column_at(&desk.passage, desk.lesson.lesson()) else {
        return PaneReply::note("this segment plays no passage yet: there is nothing to send to the fretboard");
    };
    let shape = column.shape();
    if shape.strings().iter().all(Option::is_none) {
        return PaneReply::note("nothing is fretted here and nothing rings on: go to a note first");
    }
    let replaced = !desk.fretboard.grip().is_silent() && desk.fretboard.grip().shape != shape;
    let replaced = if replaced { "; {Desk(Undo)} undoes" } else { "" };
    let bar = column.bar(desk.lesson.lesson());
    let rig = Arc::new(column.rig().clone());
    desk.fretboard.tune(column.rig().clone(), None);
    // Who looks at a chord and comes back without choosing anything leaves its name as it was.
    let stood = column.name_there(desk.lesson.lesson()).map(|written| {
        let played = name_moved(&written, -desk.lesson.lesson().header.chord_names.above_the_shape(&rig));
        let played = rig.lowest_is().rightly(&played);
        NameBrought { written, played }
    });
    let names = stood.iter().map(|name| name.played.clone()).collect();
    let grip = Grip::new(shape.clone(), Vec::new(), names, Arc::clone(&rig));
    desk.fretboard.put(grip, GripOrigin::Hand);
    desk.from_tab = Some(FromTab { column, segment: desk.timeline.selected(), rig, stood });
    desk.focus = Focus::Fretboard;
    desk.select_kept_reading();
    PaneReply::say(Notice::done(format!(
        "{} from {bar} is here; {{Readings(NameInPassage)}} names it there{replaced}",
        shape.compact()
    )))
}

/// A name on its way back to the notes that it was found for.
pub(super) struct NameForNotes {
    /// The change that writes it; `None` where it stands there already.
    pub(super) change: Option<Transaction>,
    /// The name: as it is written, and as the fretboard has it.
    pub(super) name: NameBrought,
    /// What is said then.
    pub(super) done: String,
    /// The passage, and where in it the notes are.
    pub(super) at: (PassageId, Spot),
}

/// Returns what writes a name over the notes that were taken to the fretboard: in the readings the selected one, on the fretboard the one
/// that is kept, or else the selected one. Errors: in words, why there is none.
pub(super) fn name_for_notes(desk: &Desk) -> Result<NameForNotes, &'static str> {
    let (shape, segment) = (&desk.fretboard.grip().shape, desk.timeline.selected());
    let from = desk.from_tab.as_ref().filter(|from| from.is(shape, segment)).ok_or(
        "these fingers did not come from the passage: {Passage(ToFretboard)} there sends what is fretted at its cursor",
    )?;
    let stood = from.stood.as_ref();
    // The line that bears the name which came along stands for that name, also where the shape has another bass.
    let brought = |named: &NamedReading| stood.filter(|stood| named.kept_as.as_ref() == Some(&stood.played));
    let selected = desk
        .readings
        .selected()
        .map(|named| brought(named).map_or_else(|| named.reading.symbol.clone(), |stood| stood.played.clone()));
    let kept = desk.fretboard.names().first().cloned();
    let name = if desk.focus == Focus::Readings { selected } else { kept.or(selected) };
    let played = name.ok_or("nothing sounds that has a name")?;
    let lesson = desk.lesson.lesson();
    if !from.column.is_there_still(lesson) {
        return Err("the notes there have changed: send them to the fretboard again");
    }
    let name = match stood.filter(|stood| stood.played == played) {
        Some(stood) => stood.written.clone(),
        None => {
            from.rig.lowest_is().rightly(&name_moved(&played, lesson.header.chord_names.above_the_shape(&from.rig)))
        }
    };
    let at = from.column.spot();
    if from.column.name_there(lesson).as_ref() == Some(&name) {
        let done = format!("{} is over these notes in {} already", quoted(&name), from.column.bar(lesson));
        return Ok(NameForNotes { change: None, name: NameBrought { written: name, played }, done, at });
    }
    let edit = from.column.named(lesson, &name).ok_or("the notes there are gone: send others to the fretboard")?;
    let done = format!("{} is written over these notes in {}", quoted(&name), from.column.bar(lesson));
    let change = Transaction::one(Reason::NameChord, edit).at(from.column.place());
    Ok(NameForNotes { change: Some(change), name: NameBrought { written: name, played }, done, at })
}
