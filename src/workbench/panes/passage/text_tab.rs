//! Text tab on its way into the lesson: what is read from a file or pasted becomes a passage that the segment plays.

use std::path::Path;

use crate::lesson::document::PassageUse;
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PassageId, SegmentId};
use crate::lesson::place::LessonPlace;
use crate::store::open_lesson::Access;
use crate::store::title_of_file::title_from;
use crate::tab::read::own_tuning::own_tuning;
use crate::tab::read::{Guess, ReadHints, read};
use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::drawing::unseen::Counted;
use crate::workbench::editing::edited_lesson::{ChangeError, EditedLesson};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::pane::PassagePane;
use crate::workbench::panes::passage::question_words::entry;
use crate::workbench::questions::passage::PassageQuestion;

impl PassagePane {
    /// Takes the text that was read from a file; where there is no tab in it, asks for another file.
    pub fn take_tab_file(&mut self, open: &mut EditedLesson, path: &Path, text: Result<String, String>) -> PaneReply {
        let read = text.and_then(|text| self.add_tab(open, &text, &title_from(path, "Passage")));
        read.unwrap_or_else(|error| {
            let asked = entry(PassageQuestion::TabFile, path.to_string_lossy());
            PaneReply::ask(Overlay::Entry(EntryBox { error: Some(error), ..asked }))
        })
    }

    /// Reads text tab into a new passage that the segment plays, and shows it. Errors: as [`add_tab`].
    pub(super) fn add_tab(&mut self, open: &mut EditedLesson, text: &str, title: &str) -> Result<PaneReply, String> {
        let reply = add_tab(open, self.shown.segment, text, title)?;
        // The one that was added last.
        self.show(self.shown.segment, usize::MAX);
        Ok(reply)
    }
}

/// Reads text tab into a new passage that a segment plays: one step of undo. What was guessed is listed.
///
/// Errors: in words, why it is no tab, or why the lesson cannot be changed.
fn add_tab(open: &mut EditedLesson, segment: Option<SegmentId>, text: &str, title: &str) -> Result<PaneReply, String> {
    let id = open.new_id();
    let title = if title.trim().is_empty() { "untitled" } else { title.trim() };
    let new = (open.new_id(), open.new_id());
    let here = open.setup_at(segment);
    let tuning = here.map(|here| here.tuning.clone());
    let mut tab = read(text, &ReadHints { tuning, ..ReadHints::new(id, title) }).map_err(|error| error.to_string())?;
    let own = own_tuning(open.lesson(), here, &mut tab, new);
    let segment = segment.and_then(|id| open.segment(id)).cloned();
    tab.passage.setup = own.setup;
    let guesses: Vec<ListLine> = tab.notes.iter().map(guess_line).collect();
    let at = open.lesson().passages.len();
    let mut edits = own.edits;
    edits.push(Edit::Passages(ListEdit::Insert { at, item: tab.passage }));
    let place = segment.as_ref().map(|segment| LessonPlace::Segment(segment.id));
    if let Some(mut segment) = segment {
        segment.passages.push(PassageUse::whole(id));
        edits.push(Edit::Segments(ListEdit::Replace(segment)));
    }
    let change = Transaction { place, ..Transaction::new(Reason::ReadTab, edits) };
    open.change(change).map_err(|error| error.to_string())?;
    let done = Notice::done(format!("read \"{title}\" {}; {{Desk(Undo)}} undoes", own.words));
    let list = ListBox::new("What was assumed", Counted::Guesses, guesses);
    Ok(PaneReply { overlay: (!list.lines.is_empty()).then_some(Overlay::List(list)), ..PaneReply::say(done) })
}

/// Takes pasted text: asks what the passage is to be called, unless there is no tab in it.
pub fn take_pasted_tab(open: &EditedLesson, text: &str) -> PaneReply {
    if let Access::ReadOnly(why) = open.access() {
        return PaneReply::say(Notice::trouble(ChangeError::ReadOnly(why.clone()).to_string()));
    }
    // Some terminals send the line ends of a paste as carriage returns.
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    match read(&text, &ReadHints::new(PassageId(1), "")) {
        Ok(_) => PaneReply::ask(Overlay::Entry(entry(PassageQuestion::PastedTab(text), ""))),
        Err(error) => PaneReply::say(Notice::trouble(format!("what was pasted is no tab: {error}"))),
    }
}

fn guess_line(guess: &Guess) -> ListLine {
    ListLine { head: format!("line {}", guess.line), text: guess.message.clone(), ..ListLine::default() }
}
