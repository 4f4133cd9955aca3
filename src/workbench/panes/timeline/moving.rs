//! Moving a segment within the list. What is recorded of it keeps its times, and every segment its tuning.

use crate::lesson::id::SegmentId;
use crate::lesson::recording::first_out_of_order;
use crate::text::quote::quoted;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::segment_changes::move_to;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;

/// Moves a segment to the place whose number was typed. Errors: in words, that there is no such place.
pub(super) fn move_to_number(open: &mut EditedLesson, id: SegmentId, text: &str) -> Result<PaneReply, String> {
    let Some(now) = open.lesson().segment_index(id) else { return Ok(PaneReply::nothing()) };
    let count = open.lesson().segments.len();
    let typed = text.trim();
    let number = typed.parse::<usize>().ok().filter(|number| (1..=count).contains(number));
    let to = number.ok_or_else(|| format!("`{}` is not a place: type a number from 1 to {count}", quoted(typed)))? - 1;
    Ok(if to == now { PaneReply::say(Notice::note("no change")) } else { move_segment(open, id, to) })
}

/// Moves a segment to the place `to` of the list, counted from 0, and says so where the video then has another order.
pub(super) fn move_segment(open: &mut EditedLesson, id: SegmentId, to: usize) -> PaneReply {
    let kept = match move_to(open, id, to) {
        Ok(kept) => kept.words(),
        Err(error) => return PaneReply::say(Notice::trouble(error.to_string())),
    };
    let recorded = open.segment(id).is_some_and(|segment| segment.recorded.is_some());
    let differs = recorded && first_out_of_order(&open.lesson().segments).is_some();
    let and = if differs { "; recorded times stay" } else { "" };
    PaneReply::say(Notice::done(format!("moved to place {}{and}{kept}", to + 1)))
}
