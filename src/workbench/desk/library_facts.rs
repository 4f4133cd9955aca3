//! Changes of what the library knows of its voicings: tags, which the open lesson gets too, and voicings that are the same
//! joined into one.

use crate::lesson::document::Voicing;
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::store::library::{LibraryChange, LibraryVoicing};
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::desk::undo::Shelved;
use crate::workbench::messages::effect::Effect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::library::facts::own_voicings;
use crate::workbench::questions::library::LibraryQuestion;

impl Desk {
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
        let own = own_voicings(&self.lesson, &item).filter(|voicing| voicing.tags != tags);
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
}
