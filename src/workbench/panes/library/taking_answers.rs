//! What becomes of what was typed for the library, and of what is taken out of it or joined: voicings get tags, which
//! the open lesson gets too, go, or become one where they are the same.

use crate::lesson::deleting::deleted;
use crate::lesson::document::{Lesson, Voicing};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::VoicingId;
use crate::lesson::place::LessonPlace;
use crate::store::library::{LibraryChange, LibraryVoicing};
use crate::store::open_lesson::Access;
use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::library::item::LibraryItem;
use crate::workbench::library::shelved::Shelved;
use crate::workbench::messages::effect::LibraryOrder;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::library::facts::own_voicings;
use crate::workbench::panes::library::pane::LibraryPane;
use crate::workbench::questions::library::{LibraryPick, LibraryQuestion};
use crate::workbench::questions::pick::Pick;

impl LibraryPane {
    /// Takes what was typed as the answer to a question.
    ///
    /// Errors: in words, that the voicing is not here that was asked about.
    pub fn answer(
        &mut self,
        open: &mut EditedLesson,
        question: &LibraryQuestion,
        text: &str,
    ) -> Result<PaneReply, String> {
        let LibraryQuestion::Tags(place) = question;
        let item = self.items().find(|item| item.place() == *place).cloned();
        match item {
            Some(item) => Ok(self.set_tags(open, &item, text)),
            None => Err("this voicing is not in the library, or the library is still being read".to_owned()),
        }
    }

    /// Gives a voicing these tags, in the library and in the open lesson: one step.
    fn set_tags(&mut self, open: &mut EditedLesson, item: &LibraryItem, text: &str) -> PaneReply {
        let mut tags: Vec<String> = Vec::new();
        for tag in text.split(',').map(str::trim).filter(|tag| !tag.is_empty()) {
            if !tags.iter().any(|known| known == tag) {
                tags.push(tag.to_owned());
            }
        }
        let own = own_voicings(open, item).filter(|voicing| voicing.tags != tags);
        let edits: Vec<Edit> =
            own.map(|own| Edit::Voicings(ListEdit::Replace(Voicing { tags: tags.clone(), ..own.clone() }))).collect();
        if item.voicing.tags == tags && edits.is_empty() {
            return PaneReply::nothing();
        }
        if !edits.is_empty()
            && let Err(error) = open.change(Transaction::new(Reason::TagVoicing, edits))
        {
            return PaneReply::say(Notice::trouble(error.to_string()));
        }
        let kept = self.kept().position(|kept| *kept == item.voicing);
        let order = kept.filter(|_| item.voicing.tags != tags).map(|place| {
            let tagged = LibraryVoicing { tags: tags.clone(), ..item.voicing.clone() };
            let change = LibraryChange { out: vec![(place, item.voicing.clone())], put: vec![(place, tagged)] };
            self.shelve(Shelved::Tagged(change.clone()));
            LibraryOrder::Change(change)
        });
        let name = item.name();
        let text =
            if tags.is_empty() { format!("{name} has no tags now") } else { format!("{name}: {}", tags.join(", ")) };
        let said = Notice::done(text);
        match order {
            Some(order) => PaneReply::once_kept(order, said),
            None => PaneReply::say(said),
        }
    }

    /// Joins the voicings of the library that are the same into one each: one step.
    pub fn join_duplicates(&mut self) -> PaneReply {
        let kept: Vec<LibraryVoicing> = self.kept().cloned().collect();
        let Some(change) = LibraryChange::joining_duplicates(&kept) else {
            return PaneReply::say(Notice::note("no two voicings in the library have the same shape, capo and tuning"));
        };
        let text = format!("{} voicings became {}; {{Desk(Undo)}} undoes", change.out.len(), change.put.len());
        self.shelve(Shelved::Joined(change.clone()));
        PaneReply::once_kept(LibraryOrder::Change(change), Notice::done(text))
    }

    /// Takes the selected voicing out of the library on the disk; a lesson that uses it has its own. One that only the open lesson
    /// has is deleted from that.
    pub fn take_out(&mut self, open: &mut EditedLesson) -> PaneReply {
        let Some(item) = self.selected().cloned() else {
            return PaneReply::say(Notice::note("no voicing is selected"));
        };
        let name = item.name();
        if !self.keeps(&item.voicing) {
            return delete_or_ask(open, &item);
        }
        let rest = if self.is_in_lesson(&item.voicing) { "; this lesson still has it" } else { "" };
        self.shelve(Shelved::TakenOut(item.voicing.clone()));
        let said = Notice::done(format!("{name} deleted from the library{rest}; {{Desk(Undo)}} undoes"));
        PaneReply::once_kept(LibraryOrder::TakeOut(item.voicing), said)
    }
}

/// Deletes a voicing that only the lesson has. Where segments or passages show it they are counted, and whether they shall lose it is
/// asked first.
fn delete_or_ask(open: &mut EditedLesson, item: &LibraryItem) -> PaneReply {
    let ids: Vec<VoicingId> = own_voicings(open, item).map(|own| own.id).collect();
    let shown = shown_by(open.lesson(), &ids);
    // Where nothing may be changed that is said at once.
    if shown.is_empty() || *open.access() != Access::Full {
        return delete_from_lesson(open, &ids);
    }
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(
        format!("Delete {} from this lesson?", item.name()),
        format!("It is shown in {}.", shown.join(", ")),
        vec![
            ("keep it".to_owned(), Pick::Nothing),
            ("delete it, and from there too".to_owned(), Pick::Library(LibraryPick::DeleteFromLesson(ids))),
        ],
    )))
}

/// Returns the segments and passages that show one of these voicings, in words.
fn shown_by(lesson: &Lesson, ids: &[VoicingId]) -> Vec<String> {
    let mut places: Vec<LessonPlace> = Vec::new();
    for item in ids.iter().flat_map(|id| lesson.who_links_to((*id).into())).filter_map(|place| place.item()) {
        let place = LessonPlace::of(item);
        if !places.contains(&place) {
            places.push(place);
        }
    }
    places.into_iter().map(|place| place.text(lesson)).collect()
}

/// Deletes voicings from the lesson, also from whatever shows them: one step.
pub fn delete_from_lesson(open: &mut EditedLesson, ids: &[VoicingId]) -> PaneReply {
    let mut names: Vec<String> = Vec::new();
    for id in ids {
        let lesson = open.lesson();
        let Some(voicing) = lesson.voicing(*id) else { continue };
        let name = voicing.name().map_or_else(|| voicing.shape.compact(), str::to_owned);
        let change = Transaction::new(Reason::DeleteVoicing, deleted(lesson, (*id).into()));
        if let Err(error) = open.change(change) {
            return PaneReply::say(Notice::trouble(error.to_string()));
        }
        if !names.contains(&name) {
            names.push(name);
        }
    }
    if names.is_empty() {
        return PaneReply::say(Notice::note("this voicing is no longer in the lesson"));
    }
    PaneReply::say(Notice::done(format!("{} deleted from this lesson; {{Desk(Undo)}} undoes", names.join(", "))))
}
