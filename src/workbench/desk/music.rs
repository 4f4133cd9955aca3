//! Music on its way into the lesson: text tab that becomes a passage, the piece a segment is about.

use std::path::Path;

use crate::instrument::tuning::Tuning;
use crate::lesson::document::{PassageUse, Piece, Segment};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PassageId, PieceId, SegmentId, SetupId};
use crate::lesson::place::Place;
use crate::store::names::title_from;
use crate::tab::read::{Guess, ReadHints, read};
use crate::theory::key::Key;
use crate::workbench::boxes::overlay::{EntryBox, ListBox, ListLine, Overlay, Subject};
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::editing::edited_lesson::{Access, ChangeError};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::passage::ask_file;
use crate::workbench::panes::timeline::pane as timeline;

impl Desk {
    /// Takes the text that was read from a file; where there is no tab in it, asks for another.
    pub fn take_tab_file(&mut self, path: &Path, text: Result<String, String>) -> Reply {
        let read = text.and_then(|text| self.add_tab(&text, &title_from(path, "Passage")));
        read.unwrap_or_else(|error| {
            let asked = ask_file(&path.to_string_lossy());
            Reply::ask(Overlay::Entry(EntryBox { error: Some(error), ..asked }))
        })
    }

    /// Takes pasted text: asks what the passage is to be called, unless there is no tab in it.
    pub fn take_pasted_tab(&self, text: &str) -> Reply {
        if let Access::ReadOnly(why) = self.lesson.access() {
            return Reply::say(Notice::trouble(ChangeError::ReadOnly(why.clone()).to_string()));
        }
        // Some terminals send the line ends of a paste as carriage returns.
        let text = text.replace("\r\n", "\n").replace('\r', "\n");
        match read(&text, &ReadHints::new(PassageId(1), "")) {
            Ok(_) => Reply::ask(Overlay::Entry(EntryBox::new(
                Subject::PastedTab(text),
                "Title of the pasted passage",
                "It becomes a passage that this segment plays.",
                "",
            ))),
            Err(error) => Reply::say(Notice::trouble(format!("what was pasted is no tab: {error}"))),
        }
    }

    /// Reads text tab into a new passage that the selected segment plays: one step of undo. What was
    /// guessed is listed.
    ///
    /// Errors: in words, why it is no tab, or why the lesson cannot be changed.
    pub fn add_tab(&mut self, text: &str, title: &str) -> Result<Reply, String> {
        let id = self.lesson.new_id();
        let title = if title.trim().is_empty() { "untitled" } else { title.trim() };
        let mut tab = read(text, &ReadHints::new(id, title)).map_err(|error| error.to_string())?;
        let segment = self.timeline.selected().and_then(|id| self.lesson.segment(id)).cloned();
        tab.passage.setup = self.setup_for(segment.as_ref(), tab.tuning.as_ref());
        let without = tab.passage.setup.is_none();
        let mut guesses: Vec<ListLine> = tab.notes.iter().map(guess_line).collect();
        if without {
            let text = "no setup of the lesson has these strings; the passage stands in the first one".to_owned();
            guesses.push(ListLine { head: "setup".to_owned(), text, ..ListLine::default() });
        }
        let at = self.lesson.lesson().passages.len();
        let mut edits = vec![Edit::Passages(ListEdit::Insert { at, item: tab.passage })];
        let place = segment.as_ref().map(|segment| Place::Segment(segment.id));
        if let Some(mut segment) = segment {
            segment.passages.push(PassageUse::whole(id));
            edits.push(Edit::Segments(ListEdit::Replace(segment)));
        }
        let change = Transaction { place, ..Transaction::new(Reason::ReadTab, edits) };
        self.lesson.change(change).map_err(|error| error.to_string())?;
        self.passage.show_last();
        let done = Notice::done(format!("read \"{title}\"; u takes it back"));
        let list = ListBox::new("What was guessed", guesses);
        Ok(Reply { overlay: (!list.lines.is_empty()).then_some(Overlay::List(list)), ..Reply::say(done) })
    }

    /// Returns the setup that tab for such strings belongs to: the segment's, if it has these, else
    /// the first that has.
    fn setup_for(&self, segment: Option<&Segment>, tuning: Option<&Tuning>) -> Option<SetupId> {
        let sounds =
            |tuning: &Tuning| -> Vec<u8> { tuning.strings().iter().map(|open| open.midi().number()).collect() };
        let wanted = sounds(tuning?);
        let here = self.lesson.setup_at(segment.map(|segment| segment.id));
        let all = here.into_iter().chain(&self.lesson.lesson().setups);
        all.into_iter().find(|setup| sounds(&setup.tuning) == wanted).map(|setup| setup.id)
    }

    /// Takes the title of the piece a segment is about, and asks for its key. Without a title the
    /// segment is about no piece.
    pub fn take_piece_title(&mut self, segment: SegmentId, title: &str) -> Reply {
        let Some(mut changed) = self.lesson.segment(segment).cloned() else { return Reply::nothing() };
        let title = title.trim();
        if title.is_empty() && changed.pieces.is_empty() {
            return Reply::nothing();
        }
        if title.is_empty() {
            changed.pieces.remove(0);
            let done = "the segment is no longer about that piece";
            return Reply::to_change(timeline::replace(&mut self.lesson, Reason::LinkSegment, changed), done);
        }
        let key = self.piece_called(&changed, title).and_then(|piece| piece.key);
        Reply::ask(Overlay::Entry(EntryBox::new(
            Subject::PieceKey { segment, title: title.to_owned() },
            format!("Key of \"{title}\", as it sounds"),
            "As in A, F# minor or Bbm. Nothing at all: no key.",
            key.map(|key| key.to_string()).unwrap_or_default(),
        )))
    }

    /// Has a segment be about a piece of this title in this key: one step of undo.
    ///
    /// Errors: in words, what is no key, or why the lesson cannot be changed.
    pub fn name_piece(&mut self, segment: SegmentId, title: &str, key: &str) -> Result<String, String> {
        let key: Option<Key> = match key.trim() {
            "" => None,
            text => Some(text.parse().map_err(|error| format!("{error}"))?),
        };
        let Some(mut about) = self.lesson.segment(segment).cloned() else { return Ok(String::new()) };
        let known = self.piece_called(&about, title).cloned();
        let mut edits = Vec::new();
        let (id, reason) = match known {
            Some(known) => {
                let id = known.id;
                let piece = Piece { title: title.to_owned(), key, ..known.clone() };
                if piece != known {
                    edits.push(Edit::Pieces(ListEdit::Replace(piece)));
                }
                (id, Reason::EditPiece)
            }
            None => {
                let id = self.lesson.new_id();
                let setup = self.lesson.setup_at(Some(segment)).map(|setup| setup.id);
                let (credit, notes) = (String::new(), String::new());
                let item = Piece { id, title: title.to_owned(), credit, setup, key, tempo: None, notes };
                edits.push(Edit::Pieces(ListEdit::Insert { at: self.lesson.lesson().pieces.len(), item }));
                (id, Reason::AddPiece)
            }
        };
        if about.pieces.first() != Some(&id) {
            about.pieces.retain(|piece| *piece != id);
            about.pieces.insert(0, id);
            edits.push(Edit::Segments(ListEdit::Replace(about)));
        }
        let change = Transaction::new(reason, edits).at(Place::Segment(segment));
        self.lesson.change(change).map_err(|error| error.to_string())?;
        Ok(match key {
            Some(key) => format!("the piece is \"{title}\", it sounds in {key}"),
            None => format!("the piece is \"{title}\""),
        })
    }

    /// Returns the piece that such a title stands for: one of that title, or else the one that the
    /// segment is about, unless something else links to it too.
    fn piece_called(&self, segment: &Segment, title: &str) -> Option<&Piece> {
        let lesson = self.lesson.lesson();
        let named = lesson.pieces.iter().find(|piece| piece.title.trim() == title);
        let here = Place::of(segment.id);
        let only_here = |id: &PieceId| lesson.who_links_to((*id).into()).iter().all(|place| *place == here);
        let own = segment.pieces.first().copied().filter(only_here);
        named.or_else(|| own.and_then(|id| lesson.piece(id)))
    }
}

fn guess_line(guess: &Guess) -> ListLine {
    ListLine { head: format!("line {}", guess.line), text: guess.message.clone(), ..ListLine::default() }
}
