//! What a voicing of the library is known by: its tags, its names, and where it was taught.

use crate::lesson::document::Voicing;
use crate::lesson::place::LessonPlace;
use crate::store::library::LibraryVoicing;
use crate::store::open_lesson::Access;
use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::drawing::unseen::Counted;
use crate::workbench::editing::edited_lesson::{ChangeError, EditedLesson};
use crate::workbench::library::item::LibraryItem;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::questions::library::LibraryQuestion;

/// Asks for the tags of a voicing, unless the open lesson has it too and may not be changed.
pub fn ask_tags(open: &EditedLesson, item: &LibraryItem) -> PaneReply {
    if let Access::ReadOnly(why) = open.access()
        && own_voicings(open, item).next().is_some()
    {
        return PaneReply::say(Notice::trouble(ChangeError::ReadOnly(why.clone()).to_string()));
    }
    let advice = "Words to find it by, with commas between: open, low, for thumb. Leave empty: no tags.";
    let title = format!("Tags of {}", item.name());
    let question = LibraryQuestion::Tags(item.place());
    PaneReply::ask(Overlay::Entry(EntryBox::new(question, title, advice, item.voicing.tags.join(", "))))
}

/// Shows all that is known of a voicing; a line about the open lesson leads there.
pub fn show_about(open: &EditedLesson, item: &LibraryItem) -> PaneReply {
    let voicing = &item.voicing;
    let line = |head: &str, text: String| ListLine { head: head.to_owned(), text, ..ListLine::default() };
    let mut lines = vec![line("shape", voicing.shape.to_string()), line("played in", item.setup.clone())];
    if let Some(open) = &item.open_shape {
        lines.push(line("open shape", open.in_words()));
    }
    if !voicing.readings.is_empty() {
        lines.push(line("readings", voicing.readings.join(", ")));
    }
    if !voicing.tags.is_empty() {
        lines.push(line("tags", voicing.tags.join(", ")));
    }
    if !voicing.notes.trim().is_empty() {
        lines.push(line("notes", voicing.notes.clone()));
    }
    let own: Vec<_> = own_voicings(open, item).map(|own| own.id).collect();
    let lesson = open.lesson();
    for segment in lesson.segments.iter().filter(|segment| segment.voicings.iter().any(|id| own.contains(id))) {
        let place = LessonPlace::Segment(segment.id);
        lines.push(ListLine { place: Some(place), ..line("shown here in", place.text(lesson)) });
    }
    for taught in &voicing.taught_in {
        lines.push(ListLine { below: taught.path.clone(), ..line("taught in", taught.lesson.clone()) });
    }
    PaneReply::ask(Overlay::List(ListBox::new(item.name(), Counted::Details, lines)))
}

/// Returns the voicings of the open lesson that are the same fingers as `item`.
pub fn own_voicings<'a>(open: &'a EditedLesson, item: &LibraryItem) -> impl Iterator<Item = &'a Voicing> + use<'a> {
    let (lesson, path) = (open.lesson(), open.path());
    let voicing = item.voicing.clone();
    lesson
        .voicings
        .iter()
        .filter(move |own| LibraryVoicing::of_lesson(lesson, own, path).is_some_and(|own| own.is_same_place(&voicing)))
}
