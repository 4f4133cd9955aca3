//! Changes of whole bars, which the eye can miss: each says what was done.

use crate::lesson::music::Bar;
use crate::lesson::phrase::PhraseEdits;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::at_cursor::{AtCursor, nothing_shown};
use crate::workbench::panes::passage::pane::PassagePane;
use crate::workbench::panes::passage::writing;

/// Makes a change that the eye can miss, and says what was done where nothing else is said. What it says goes by the bar under the
/// cursor afterwards, counted from 0, and the number of bars.
pub(super) fn telling(
    pane: &mut PassagePane,
    open: &mut EditedLesson,
    change: impl FnOnce(&mut PassagePane, &mut EditedLesson) -> PaneReply,
    done: impl FnOnce(usize, usize) -> String,
) -> PaneReply {
    let before = open.revision();
    let reply = change(pane, open);
    let Some(here) = pane.here(open.lesson()).filter(|_| open.revision() > before && reply.notice.is_none()) else {
        return reply;
    };
    let done = done(here.slot().bar, here.passage.bars.len());
    PaneReply { notice: Some(Notice::done(format!("{done}; {{Desk(Undo)}} undoes"))), ..reply }
}

/// Inserts an empty bar where `place` puts one.
pub(super) fn insert(
    pane: &mut PassagePane,
    open: &mut EditedLesson,
    place: fn(&AtCursor<'_>) -> Result<PhraseEdits, Notice>,
) -> PaneReply {
    telling(pane, open, |pane, open| pane.write(open, place), |at, _| format!("empty bar inserted as bar {}", at + 1))
}

/// Fills the bar under the cursor with rests.
pub(super) fn fill(pane: &mut PassagePane, open: &mut EditedLesson) -> PaneReply {
    let fill = |pane: &mut PassagePane, open: &mut EditedLesson| pane.write(open, writing::fill_bar);
    telling(pane, open, fill, |at, _| format!("bar {} filled with rests", at + 1))
}

/// Splits the bar under the cursor.
pub(super) fn split(pane: &mut PassagePane, open: &mut EditedLesson) -> PaneReply {
    let split = |pane: &mut PassagePane, open: &mut EditedLesson| pane.write(open, writing::split_bar);
    telling(pane, open, split, |at, _| format!("bar {at} split in two"))
}

/// Joins the bar under the cursor with the next one.
pub(super) fn join(pane: &mut PassagePane, open: &mut EditedLesson) -> PaneReply {
    let join = |pane: &mut PassagePane, open: &mut EditedLesson| pane.write(open, writing::merge_bar);
    telling(pane, open, join, |at, _| format!("bars {} and {} joined", at + 1, at + 2))
}

/// Deletes the bar under the cursor, or those that are selected.
pub(super) fn delete(pane: &mut PassagePane, open: &mut EditedLesson) -> PaneReply {
    let Some(here) = pane.here(open.lesson()) else { return nothing_shown() };
    let at = here.slot().bar;
    let gone = here.cursor.selected().map_or(at..at + 1, |stretch| stretch.bars());
    let which = match gone.len() {
        0 | 1 => format!("bar {} deleted", gone.start + 1),
        _ => format!("bars {} to {} deleted", gone.start + 1, gone.end),
    };
    telling(pane, open, |pane, open| pane.write_over(open, writing::remove_bar), |_, _| which)
}

/// Has a repeat start in the bar under the cursor, or no longer.
pub(super) fn switch_repeat_start(pane: &mut PassagePane, open: &mut EditedLesson) -> PaneReply {
    switch(
        pane,
        open,
        |bar| &mut bar.repeat_start,
        |bar, on| format!("{} in bar {bar}", if on { "a repeat starts" } else { "no repeat starts" }),
    )
}

/// Makes the bar under the cursor a pickup, or no longer.
pub(super) fn switch_pickup(pane: &mut PassagePane, open: &mut EditedLesson) -> PaneReply {
    switch(
        pane,
        open,
        |bar| &mut bar.pickup,
        |bar, on| format!("bar {bar} is {}", if on { "a pickup" } else { "no pickup" }),
    )
}

/// Switches something of the bar under the cursor; `said` says of the bar, counted from 1, whether it is on now.
fn switch(
    pane: &mut PassagePane,
    open: &mut EditedLesson,
    part: fn(&mut Bar) -> &mut bool,
    said: fn(usize, bool) -> String,
) -> PaneReply {
    let on = std::cell::Cell::new(false);
    let flip = |bar: &mut Bar| {
        let part = part(bar);
        *part = !*part;
        on.set(*part);
    };
    telling(
        pane,
        open,
        |pane, open| pane.write(open, |here| writing::change_bar(here, flip)),
        |at, _| said(at + 1, on.get()),
    )
}
