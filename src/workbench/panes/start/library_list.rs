//! The library to be looked through where no lesson is open.

use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::drawing::unseen::Counted;
use crate::workbench::library::item::LibraryItem;

/// Returns the library to be looked through.
pub fn library_list(items: &[LibraryItem]) -> ListBox {
    let line = |item: &LibraryItem| {
        let lessons: Vec<&str> = item.voicing.taught_in.iter().map(|taught| taught.lesson.as_str()).collect();
        let below = if lessons.is_empty() { String::new() } else { format!("taught in {}", lessons.join(", ")) };
        let tags =
            if item.voicing.tags.is_empty() { String::new() } else { format!("   {}", item.voicing.tags.join(", ")) };
        let open = item.open_shape_in_words().map_or(String::new(), |open| format!("   {open}"));
        let text = format!("{}   {}{open}{tags}", item.voicing.shape.compact(), item.setup);
        ListLine { head: item.name(), text, below, ..ListLine::default() }
    };
    let mut lines: Vec<ListLine> = items.iter().map(line).collect();
    if lines.is_empty() {
        let text = "No voicings yet: in a lesson, {Fretboard(SaveVoicing)} on the fretboard saves one.".to_owned();
        lines.push(ListLine { text, ..ListLine::default() });
    }
    ListBox::new("The voicings of all lessons", Counted::Voicings, lines)
}
