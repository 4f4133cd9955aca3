//! The help screen: every key of the place one is in, then all the others.

use super::action::Pane;
use super::boxes::{ListBox, ListLine};
use super::keys::{KeyTable, Row};

/// Returns the help screen as seen from `here`.
pub fn help(keys: &KeyTable, here: Pane) -> ListBox {
    let others = Pane::ALL.iter().copied().filter(|place| *place != here && !here.also().contains(place));
    let places = std::iter::once(here).chain(here.also().iter().copied()).chain(others);
    let mut lines = Vec::new();
    for place in places {
        if !lines.is_empty() {
            lines.push(ListLine::default());
        }
        lines.push(ListLine {
            head: String::new(),
            text: place.word().to_owned(),
            below: String::new(),
            segment: None,
        });
        lines.extend(keys.rows_of(place).map(line));
    }
    ListBox { title: "All keys".into(), lines, selected: 0 }
}

fn line(row: &Row) -> ListLine {
    let keys: Vec<String> = row.keys.iter().map(ToString::to_string).collect();
    ListLine { head: keys.join(", "), text: row.help.clone(), below: String::new(), segment: None }
}
