//! Text tab on its way into the lesson: what is read from a file or pasted becomes a passage that the segment plays.

use std::path::Path;

use crate::instrument::tuning::Tuning;
use crate::lesson::document::{PassageUse, Segment};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PassageId, SegmentId, SetupId};
use crate::lesson::place::LessonPlace;
use crate::store::open_lesson::Access;
use crate::store::title_of_file::title_from;
use crate::tab::read::{Guess, ReadHints, read};
use crate::workbench::boxes::entry::EntryBox;
use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::{ChangeError, EditedLesson};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::passage::entry::entry;
use crate::workbench::panes::passage::pane::PassagePane;
use crate::workbench::questions::passage::PassageQuestion;

impl PassagePane {
    /// Takes the text that was read from a file; where there is no tab in it, asks for another file.
    pub fn take_tab_file(&mut self, open: &mut EditedLesson, path: &Path, text: Result<String, String>) -> Reply {
        let read = text.and_then(|text| self.add_tab(open, &text, &title_from(path, "Passage")));
        read.unwrap_or_else(|error| {
            let asked = entry(PassageQuestion::TabFile, path.to_string_lossy());
            Reply::ask(Overlay::Entry(EntryBox { error: Some(error), ..asked }))
        })
    }

    /// Reads text tab into a new passage that the segment plays, and shows it. Errors: as [`add_tab`].
    pub(super) fn add_tab(&mut self, open: &mut EditedLesson, text: &str, title: &str) -> Result<Reply, String> {
        let reply = add_tab(open, self.shown.segment, text, title)?;
        self.show_last();
        Ok(reply)
    }
}

/// Reads text tab into a new passage that a segment plays: one step of undo. What was guessed is listed.
///
/// Errors: in words, why it is no tab, or why the lesson cannot be changed.
fn add_tab(open: &mut EditedLesson, segment: Option<SegmentId>, text: &str, title: &str) -> Result<Reply, String> {
    let id = open.new_id();
    let title = if title.trim().is_empty() { "untitled" } else { title.trim() };
    let mut tab = read(text, &ReadHints::new(id, title)).map_err(|error| error.to_string())?;
    let segment = segment.and_then(|id| open.segment(id)).cloned();
    tab.passage.setup = setup_for(open, segment.as_ref(), tab.tuning.as_ref());
    let without = tab.passage.setup.is_none();
    let mut guesses: Vec<ListLine> = tab.notes.iter().map(guess_line).collect();
    if without {
        let text = "no setup of the lesson has these strings; the passage stands in the first one".to_owned();
        guesses.push(ListLine { head: "setup".to_owned(), text, ..ListLine::default() });
    }
    let at = open.lesson().passages.len();
    let mut edits = vec![Edit::Passages(ListEdit::Insert { at, item: tab.passage })];
    let place = segment.as_ref().map(|segment| LessonPlace::Segment(segment.id));
    if let Some(mut segment) = segment {
        segment.passages.push(PassageUse::whole(id));
        edits.push(Edit::Segments(ListEdit::Replace(segment)));
    }
    let change = Transaction { place, ..Transaction::new(Reason::ReadTab, edits) };
    open.change(change).map_err(|error| error.to_string())?;
    let done = Notice::done(format!("read \"{title}\"; u takes it back"));
    let list = ListBox::new("What was guessed", guesses);
    Ok(Reply { overlay: (!list.lines.is_empty()).then_some(Overlay::List(list)), ..Reply::say(done) })
}

/// Takes pasted text: asks what the passage is to be called, unless there is no tab in it.
pub fn take_pasted_tab(open: &EditedLesson, text: &str) -> Reply {
    if let Access::ReadOnly(why) = open.access() {
        return Reply::say(Notice::trouble(ChangeError::ReadOnly(why.clone()).to_string()));
    }
    // Some terminals send the line ends of a paste as carriage returns.
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    match read(&text, &ReadHints::new(PassageId(1), "")) {
        Ok(_) => Reply::ask(Overlay::Entry(entry(PassageQuestion::PastedTab(text), ""))),
        Err(error) => Reply::say(Notice::trouble(format!("what was pasted is no tab: {error}"))),
    }
}

/// Returns the setup that tab for such strings belongs to: the segment's, if it has these, else the first that has.
fn setup_for(open: &EditedLesson, segment: Option<&Segment>, tuning: Option<&Tuning>) -> Option<SetupId> {
    let sounds = |tuning: &Tuning| -> Vec<u8> { tuning.strings().iter().map(|open| open.midi().number()).collect() };
    let wanted = sounds(tuning?);
    let here = open.setup_at(segment.map(|segment| segment.id));
    let all = here.into_iter().chain(&open.lesson().setups);
    all.into_iter().find(|setup| sounds(&setup.tuning) == wanted).map(|setup| setup.id)
}

fn guess_line(guess: &Guess) -> ListLine {
    ListLine { head: format!("line {}", guess.line), text: guess.message.clone(), ..ListLine::default() }
}
