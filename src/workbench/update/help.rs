//! What was said last, to be read in full.

use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::drawing::unseen::Counted;
use crate::workbench::messages::notice::{Notice, Weight};

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
    ListBox::new("Messages, newest first", Counted::Messages, messages.iter().rev().map(line).collect())
}
