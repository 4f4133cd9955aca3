//! What a voicing of the library is known by: its tags, its names, where it was taught; and voicings
//! that are the same joined into one.

use crate::lesson::document::Voicing;
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::place::LessonPlace;
use crate::store::library::{LibraryChange, LibraryVoicing};
use crate::workbench::boxes::entry::EntryBox;
use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::desk::undo::Shelved;
use crate::workbench::library::item::LibraryItem;
use crate::workbench::messages::effect::Effect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::questions::library::LibraryQuestion;

impl Desk {
    pub(in crate::workbench) fn ask_tags(&mut self, item: LibraryItem) -> Reply {
        let advice = "Words to find it by, with commas between: open, low, for thumb. Nothing takes all tags away.";
        let title = format!("Tags of {}", item.name());
        Reply::ask(Overlay::Entry(EntryBox::new(LibraryQuestion::Tags, title, advice, item.voicing.tags.join(", "))))
    }

    /// Takes what was typed as the answer to a question of the library.
    pub(in crate::workbench) fn answer_library(&mut self, question: LibraryQuestion, text: &str) -> Reply {
        match question {
            LibraryQuestion::Tags => self.set_tags(text),
        }
    }

    /// Gives the selected voicing these tags, in the library and in the open lesson: one step.
    fn set_tags(&mut self, text: &str) -> Reply {
        let Some(item) = self.library.selected().cloned() else {
            return Reply::say(Notice::note("no voicing is selected"));
        };
        let mut tags: Vec<String> = Vec::new();
        for tag in text.split(',').map(str::trim).filter(|tag| !tag.is_empty()) {
            if !tags.iter().any(|known| known == tag) {
                tags.push(tag.to_owned());
            }
        }
        let own = self.own_voicings(&item).filter(|voicing| voicing.tags != tags);
        let edits: Vec<Edit> =
            own.map(|own| Edit::Voicings(ListEdit::Replace(Voicing { tags: tags.clone(), ..own.clone() }))).collect();
        if item.voicing.tags == tags && edits.is_empty() {
            return Reply::nothing();
        }
        if !edits.is_empty()
            && let Err(error) = self.lesson.change(Transaction::new(Reason::TagVoicing, edits))
        {
            return Reply::say(Notice::trouble(error.to_string()));
        }
        let effect = self.library.selected_kept().filter(|_| item.voicing.tags != tags).map(|place| {
            let tagged = LibraryVoicing { tags: tags.clone(), ..item.voicing.clone() };
            let change = LibraryChange { out: vec![(place, item.voicing.clone())], put: vec![(place, tagged)] };
            self.steps.shelve(Shelved::Tagged(change.clone()));
            Effect::change_library(change)
        });
        let name = item.name();
        let text =
            if tags.is_empty() { format!("{name} has no tags now") } else { format!("{name}: {}", tags.join(", ")) };
        Reply { notice: Some(Notice::done(text)), overlay: None, effect }
    }

    /// Joins the voicings of the library that are the same into one each: one step.
    pub(in crate::workbench) fn join_duplicates(&mut self) -> Reply {
        let kept: Vec<LibraryVoicing> = self.library.kept().cloned().collect();
        let Some(change) = LibraryChange::joining_duplicates(&kept) else {
            return Reply::say(Notice::note("no two voicings of the library have the same shape, capo and tuning"));
        };
        let text = format!("{} voicings became {}; undo parts them again", change.out.len(), change.put.len());
        self.steps.shelve(Shelved::Joined(change.clone()));
        let effect = Some(Effect::change_library(change));
        Reply { notice: Some(Notice::done(text)), overlay: None, effect }
    }

    /// Shows all that is known of a voicing; a line about the open lesson leads there.
    pub(in crate::workbench) fn show_about(&mut self, item: LibraryItem) -> Reply {
        let voicing = &item.voicing;
        let line = |head: &str, text: String| ListLine { head: head.to_owned(), text, ..ListLine::default() };
        let mut lines = vec![line("shape", voicing.shape.to_string()), line("played in", item.setup.clone())];
        if !voicing.readings.is_empty() {
            lines.push(line("readings", voicing.readings.join(", ")));
        }
        if !voicing.tags.is_empty() {
            lines.push(line("tags", voicing.tags.join(", ")));
        }
        if !voicing.notes.trim().is_empty() {
            lines.push(line("notes", voicing.notes.clone()));
        }
        let own: Vec<_> = self.own_voicings(&item).map(|own| own.id).collect();
        let lesson = self.lesson.lesson();
        for segment in lesson.segments.iter().filter(|segment| segment.voicings.iter().any(|id| own.contains(id))) {
            let place = LessonPlace::Segment(segment.id);
            lines.push(ListLine { place: Some(place), ..line("shown here in", place.text(lesson)) });
        }
        for taught in &voicing.taught_in {
            lines.push(ListLine { below: taught.path.clone(), ..line("taught in", taught.lesson.clone()) });
        }
        Reply::ask(Overlay::List(ListBox::new(item.name(), lines)))
    }

    /// Returns the voicings of the open lesson that are the same fingers as `item`.
    fn own_voicings<'a>(&'a self, item: &LibraryItem) -> impl Iterator<Item = &'a Voicing> + use<'a> {
        let (lesson, path) = (self.lesson.lesson(), self.lesson.path());
        let voicing = item.voicing.clone();
        lesson.voicings.iter().filter(move |own| {
            LibraryVoicing::of_lesson(lesson, own, path).is_some_and(|own| own.is_same_place(&voicing))
        })
    }
}
