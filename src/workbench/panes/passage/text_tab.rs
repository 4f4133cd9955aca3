//! Text tab on its way into the lesson: what is read from a file or pasted fills the passage that is
//! shown if nothing is written in that, or becomes a new one that the segment plays.

use std::path::Path;

use crate::lesson::document::{PassageUse, Segment};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PassageId, SegmentId};
use crate::lesson::music::Passage;
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
use crate::workbench::panes::passage::whole_passage::only_piece;
use crate::workbench::questions::passage::PassageQuestion;

impl PassagePane {
    /// Takes the text that was read from a file; where there is no tab in it, asks for another file.
    pub fn take_tab_file(&mut self, open: &mut EditedLesson, path: &Path, text: Result<String, String>) -> PaneReply {
        let read = text.and_then(|text| self.add_tab(open, &text, "", &title_from(path, "Passage")));
        read.unwrap_or_else(|error| {
            let asked = entry(PassageQuestion::TabFile, path.to_string_lossy());
            PaneReply::ask(Overlay::Entry(EntryBox { error: Some(error), ..asked }))
        })
    }

    /// Reads text tab into the passage that is shown if nothing is written in that, else into a new one that the segment plays, and
    /// shows it. A passage without a title is called as was asked for, else as the text says, else as `otherwise`.
    ///
    /// Errors: in words, why it is no tab, or why the lesson cannot be changed.
    pub(super) fn add_tab(
        &mut self,
        open: &mut EditedLesson,
        text: &str,
        asked: &str,
        otherwise: &str,
    ) -> Result<PaneReply, String> {
        let into = self.shown.unwritten(open.lesson()).cloned();
        let is_new = into.is_none();
        let reply = add_tab(open, (self.shown.segment, into), text, (asked, otherwise))?;
        if is_new {
            // The one that was added last.
            self.show(self.shown.segment, usize::MAX);
        }
        Ok(reply)
    }
}

/// Reads text tab into a passage that a segment plays, `into` where there is one: one step of undo. What was guessed is listed.
///
/// Errors: in words, why it is no tab, or why the lesson cannot be changed.
fn add_tab(
    open: &mut EditedLesson,
    (segment, into): (Option<SegmentId>, Option<Passage>),
    text: &str,
    (asked, otherwise): (&str, &str),
) -> Result<PaneReply, String> {
    let id = into.as_ref().map_or_else(|| open.new_id(), |passage| passage.id);
    let new = (open.new_id(), open.new_id());
    let known = into.as_ref().map_or("", |passage| passage.title.trim());
    let title = if known.is_empty() { asked.trim() } else { known };
    let stated = into.as_ref().and_then(|passage| open.lesson().setup(open.lesson().stated_passage_setup(passage)?));
    let here = stated.or_else(|| open.setup_at(segment));
    let tuning = here.map(|here| here.tuning.clone());
    let mut hints = ReadHints { tuning, ..ReadHints::new(id, title) };
    if let Some(passage) = &into {
        (hints.meter, hints.tempo) = (passage.meter, passage.tempo);
    }
    let mut tab = read(text, &hints).map_err(|error| error.to_string())?;
    let own = own_tuning(open.lesson(), here, &mut tab, new);
    let segment = segment.and_then(|id| open.segment(id)).cloned();
    let mut passage = tab.passage;
    passage.setup = own.setup;
    passage.piece = into.as_ref().and_then(|passage| passage.piece).or(segment.as_ref().and_then(only_piece));
    if passage.title.is_empty() {
        otherwise.clone_into(&mut passage.title);
    }
    let guesses: Vec<ListLine> = tab.notes.iter().map(guess_line).collect();
    let done = Notice::done(format!("read \"{}\" {}; {{Desk(Undo)}} undoes", passage.title, own.words));
    let mut edits = own.edits;
    let place = segment.as_ref().map(|segment| LessonPlace::Segment(segment.id));
    match into {
        Some(unwritten) => {
            passage.key = passage.key.or(unwritten.key);
            if passage.feel.is_straight() {
                passage.feel = unwritten.feel;
            }
            edits.push(Edit::Passages(ListEdit::Replace(passage)));
            edits.extend(segment.and_then(|segment| playing_all_of(segment, id)));
        }
        None => {
            edits.push(Edit::Passages(ListEdit::Insert { at: open.lesson().passages.len(), item: passage }));
            if let Some(mut segment) = segment {
                segment.passages.push(PassageUse::whole(id));
                edits.push(Edit::Segments(ListEdit::Replace(segment)));
            }
        }
    }
    let change = Transaction { place, ..Transaction::new(Reason::ReadTab, edits) };
    open.change(change).map_err(|error| error.to_string())?;
    let list = ListBox::new("What was assumed", Counted::Guesses, guesses);
    Ok(PaneReply { overlay: (!list.lines.is_empty()).then_some(Overlay::List(list)), ..PaneReply::say(done) })
}

/// Has a segment play all bars of a passage, where it has played some of those that were there.
fn playing_all_of(mut segment: Segment, passage: PassageId) -> Option<Edit> {
    let some = segment.passages.iter_mut().filter(|used| used.passage == passage && used.bars.is_some());
    let count = some.map(|used| used.bars = None).count();
    (count > 0).then_some(Edit::Segments(ListEdit::Replace(segment)))
}

/// Takes pasted text, unless there is no tab in it: it fills the passage that is shown if that has a title and nothing is written in
/// it; else asks what the passage is to be called.
pub fn take_pasted_tab(pane: &PassagePane, open: &mut EditedLesson, text: &str) -> PaneReply {
    if let Access::ReadOnly(why) = open.access() {
        return PaneReply::say(Notice::trouble(ChangeError::ReadOnly(why.clone()).to_string()));
    }
    // Some terminals send the line ends of a paste as carriage returns.
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let told = |error: String| PaneReply::say(Notice::trouble(format!("what was pasted is no tab: {error}")));
    let unwritten = pane.shown.unwritten(open.lesson()).cloned();
    let titled = unwritten.filter(|passage| !passage.title.trim().is_empty());
    match read(&text, &ReadHints::new(PassageId(1), "")) {
        Ok(_) if titled.is_some() => add_tab(open, (pane.shown.segment, titled), &text, ("", "")).unwrap_or_else(told),
        Ok(tab) => PaneReply::ask(Overlay::Entry(entry(PassageQuestion::PastedTab(text), tab.passage.title))),
        Err(error) => told(error.to_string()),
    }
}

fn guess_line(guess: &Guess) -> ListLine {
    ListLine { head: format!("line {}", guess.line), text: guess.message.clone(), ..ListLine::default() }
}
