//! What is said of changes of whole bars, which the eye can miss.

use crate::lesson::bar_numbers::{BarName, BarNumbers};
use crate::workbench::keys::action::PassageAction;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::at_cursor::AtCursor;

/// Returns what is to be said of an action once it is done, by how things stand before it; `None` for one that the eye sees.
pub(super) fn words_of_action(action: PassageAction, here: &AtCursor<'_>) -> Option<String> {
    let (bar, numbers) = (here.slot().bar, here.numbers());
    let name = |index| numbers.name(index);
    let before = || match name(bar) {
        BarName::Pickup => format!("empty bar inserted as {}: nothing stands before a pickup", name(bar + 1)),
        BarName::Number(_) => format!("empty bar inserted as {}", name(bar)),
    };
    let deleted = || {
        let gone = here.cursor.selected().map_or(bar..bar + 1, |stretch| stretch.bars());
        format!("{} deleted", numbers.stretch(gone))
    };
    let told: [(PassageAction, &dyn Fn() -> String); 6] = [
        (PassageAction::FillBar, &|| format!("{} filled with rests", name(bar))),
        (PassageAction::InsertBar, &|| format!("empty bar inserted as {}", name(bar + 1))),
        (PassageAction::InsertBarBefore, &before),
        (PassageAction::SplitBar, &|| format!("{} split in two", name(bar))),
        (PassageAction::MergeBar, &|| format!("{} joined", joined(name(bar), name(bar + 1)))),
        (PassageAction::RemoveBar, &deleted),
    ];
    told.iter().find(|(known, _)| *known == action).map(|(_, words)| words())
}

/// Returns what is to be said of a bar in which a repeat starts now, or no longer, by how the bar is before it.
pub(super) fn words_of_repeat_start(here: &AtCursor<'_>) -> Option<String> {
    let bar = here.passage.bars.get(here.slot().bar)?;
    Some(format!("{} in {}", if bar.repeat_start { "no repeat starts" } else { "a repeat starts" }, here.bar_name()))
}

/// Returns what is to be said of a bar that is a pickup now, or no longer, by how the bar is before it.
pub(super) fn words_of_pickup(here: &AtCursor<'_>) -> Option<String> {
    let bar = here.passage.bars.get(here.slot().bar)?;
    let first = here.slot().bar == 0;
    Some(match (bar.pickup, first) {
        (true, true) => "the pickup is bar 1 now".to_owned(),
        (false, true) => "this bar is a pickup now, and the next one bar 1".to_owned(),
        (true, false) => format!("{} is not a pickup", here.bar_name()),
        (false, false) => format!("{} is a pickup", here.bar_name()),
    })
}

/// Says which two bars are joined.
fn joined(one: BarName, other: BarName) -> String {
    match (one, other) {
        (BarName::Number(one), BarName::Number(other)) => format!("bars {one} and {other}"),
        (one, other) => format!("{one} and {other}"),
    }
}

/// Returns what is to be said of bars that were pasted: `at` is the first of them, counted from 0.
pub(super) fn words_of_paste(pasted: &str, numbers: BarNumbers, at: usize) -> String {
    match at.checked_sub(1) {
        None => format!("{pasted} pasted at the beginning"),
        Some(before) => format!("{pasted} pasted after {}", numbers.name(before)),
    }
}

/// Says words in a reply that says nothing yet.
pub(super) fn say(words: Option<String>, reply: PaneReply) -> PaneReply {
    match words.filter(|_| reply.notice.is_none()) {
        Some(words) => PaneReply { notice: Some(Notice::done(format!("{words}; {{Desk(Undo)}} undoes"))), ..reply },
        None => reply,
    }
}
