//! Lists to read: every key of the place one is in, then all the others; what was said last.

use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::keys::action::Pane;
use crate::workbench::keys::table::{KeyTable, Row};
use crate::workbench::messages::notice::{Notice, Weight};

/// Returns the help screen as seen from `here`.
pub fn help(keys: &KeyTable, here: Pane) -> ListBox {
    let others = Pane::ALL.iter().copied().filter(|place| *place != here && !here.also().contains(place));
    let places = std::iter::once(here).chain(here.also().iter().copied()).chain(others);
    let mut lines = Vec::new();
    for place in places {
        if !lines.is_empty() {
            lines.push(ListLine::default());
        }
        lines.push(ListLine { head: String::new(), text: place.word().to_owned(), ..ListLine::default() });
        lines.extend(keys.rows_of(place).map(line));
    }
    ListBox::new("All keys", lines)
}

fn line(row: &Row) -> ListLine {
    let keys: Vec<String> = row.keys.iter().map(ToString::to_string).collect();
    ListLine { head: keys.join(", "), text: row.help.clone(), ..ListLine::default() }
}

/// Returns the messages, the latest first, each in full.
pub fn messages(messages: &[Notice]) -> ListBox {
    let line = |notice: &Notice| {
        let head = match notice.weight {
            Weight::Done => "done",
            Weight::Note => "note",
            Weight::Trouble => "problem",
        };
        ListLine { head: head.to_owned(), text: notice.text.clone(), ..ListLine::default() }
    };
    ListBox::new("Messages, newest first", messages.iter().rev().map(line).collect())
}
