//! What is said of changes of whole bars, which the eye can miss.

use crate::workbench::keys::action::PassageAction;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::at_cursor::AtCursor;

/// Returns what is to be said of an action once it is done, by how things stand before it; `None` for one that the eye sees.
pub(super) fn words_of_action(action: PassageAction, here: &AtCursor<'_>) -> Option<String> {
    let bar = here.slot().bar + 1;
    let deleted = || {
        let gone = here.cursor.selected().map_or(bar - 1..bar, |stretch| stretch.bars());
        match gone.len() {
            0 | 1 => format!("bar {} deleted", gone.start + 1),
            _ => format!("bars {} to {} deleted", gone.start + 1, gone.end),
        }
    };
    let told: [(PassageAction, &dyn Fn() -> String); 6] = [
        (PassageAction::FillBar, &|| format!("bar {bar} filled with rests")),
        (PassageAction::InsertBar, &|| format!("empty bar inserted as bar {}", bar + 1)),
        (PassageAction::InsertBarBefore, &|| format!("empty bar inserted as bar {bar}")),
        (PassageAction::SplitBar, &|| format!("bar {bar} split in two")),
        (PassageAction::MergeBar, &|| format!("bars {bar} and {} joined", bar + 1)),
        (PassageAction::RemoveBar, &deleted),
    ];
    told.iter().find(|(known, _)| *known == action).map(|(_, words)| words())
}

/// Returns what is to be said of a bar in which a repeat starts now, or no longer, by how the bar is before it.
pub(super) fn words_of_repeat_start(here: &AtCursor<'_>) -> Option<String> {
    let bar = here.passage.bars.get(here.slot().bar)?;
    Some(format!(
        "{} in bar {}",
        if bar.repeat_start { "no repeat starts" } else { "a repeat starts" },
        here.slot().bar + 1
    ))
}

/// Returns what is to be said of a bar that is a pickup now, or no longer, by how the bar is before it.
pub(super) fn words_of_pickup(here: &AtCursor<'_>) -> Option<String> {
    let bar = here.passage.bars.get(here.slot().bar)?;
    Some(format!("bar {} is {}", here.slot().bar + 1, if bar.pickup { "no pickup" } else { "a pickup" }))
}

/// Returns what is to be said of bars that were pasted: `at` is the first of them, counted from 0.
pub(super) fn words_of_paste(pasted: &str, at: usize) -> String {
    match at {
        0 => format!("{pasted} pasted at the beginning"),
        _ => format!("{pasted} pasted after bar {at}"),
    }
}

/// Says words in a reply that says nothing yet.
pub(super) fn say(words: Option<String>, reply: PaneReply) -> PaneReply {
    match words.filter(|_| reply.notice.is_none()) {
        Some(words) => PaneReply { notice: Some(Notice::done(format!("{words}; {{Desk(Undo)}} undoes"))), ..reply },
        None => reply,
    }
}
