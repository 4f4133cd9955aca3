//! What the passage pane knows, how it follows the lesson, and how what is written reaches the lesson.

use crate::instrument::neck::StringNumber;
use crate::lesson::check::{Finding, FindingKind};
use crate::lesson::document::Lesson;
use crate::lesson::edit::Edit;
use crate::lesson::history::Reason;
use crate::lesson::id::{PassageId, SegmentId};
use crate::lesson::phrase::clip::Clip;
use crate::lesson::phrase::{PhraseEdits, PhraseError, Slot};
use crate::lesson::place::Spot;
use crate::lesson::time::Length;
use crate::tab::passage::string_labels;
use crate::text::charset::Charset;
use crate::workbench::drawing::region::Focused;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::keys::action::Focus;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::at_cursor::{AtCursor, no_passage, nothing_shown};
use crate::workbench::panes::passage::cursor::Cursor;
use crate::workbench::panes::passage::flaws::PassageFlaws;
use crate::workbench::panes::passage::heading;
use crate::workbench::panes::passage::heights::{CountedTab, TabScreen};
use crate::workbench::panes::passage::page::ShownPage;
use crate::workbench::panes::passage::playing::{newly_unplayable, refusal};
use crate::workbench::panes::passage::sheet::Follow;
use crate::workbench::panes::passage::shown::{ShownBars, ShownPassage, bars_of, place_playing, rig_of, strings_of};
use crate::workbench::panes::passage::writing::{self, Chord, Deletion, SelectionAfter, transaction};
use crate::workbench::panes::passage::written_next::{Typed, WrittenNext};

/// The passage pane's own state.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PassagePane {
    /// Which passage is shown.
    pub(super) shown: ShownPassage,
    /// Where the next key acts.
    pub(super) cursor: Cursor,
    /// What is written next.
    pub(super) next: WrittenNext,
    /// What was copied.
    pub(super) clip: Option<Clip>,
    /// What is on the screen.
    pub(super) page: ShownPage,
    /// How many lines it needs.
    pub(in crate::workbench) counted: CountedTab,
    /// What is wrong with it.
    pub(in crate::workbench) flaws: PassageFlaws,
    /// What is heard now: one event of each voice.
    pub(super) heard: Vec<Slot>,
    /// What is said where no passage is shown.
    pub(in crate::workbench) empty: String,
}

impl PassagePane {
    /// Brings everything up to date, for a pane of this size; `found` is what was found in the lesson as it stands.
    pub fn follow(
        &mut self,
        open: &EditedLesson,
        found: &[Finding],
        segment: Option<SegmentId>,
        size: (usize, usize),
        charset: Charset,
        focused: Focused,
    ) {
        if segment != self.shown.segment {
            self.show(segment, 0);
        }
        self.page.fit(size, charset, focused);
        let lesson = open.lesson();
        let Some((used, passage)) = self.shown.find(lesson) else {
            self.shown.part = None;
            self.cursor.selection = None;
            self.page.clear();
            return;
        };
        let rig = rig_of(lesson, passage);
        if self.shown.part.as_ref().is_some_and(|part| part.passage != passage.id) {
            self.begin();
        }
        let part = ShownBars { passage: passage.id, bars: bars_of(passage, &used), strings: strings_of(&rig) };
        self.cursor.keep_in(passage, &part.bars, part.strings);
        let labels = string_labels(rig.tuning());
        let paper = self.page.paper(passage, &part.bars, &labels);
        self.page.lay_out(paper, self.cursor.slot, self.heard.first().copied());
        self.flaws.follow(passage.id, open.revision(), found);
        self.flaws.look_for_fix(lesson, open.revision(), self.cursor);
        self.shown.part = Some(part);
        let Some(here) = self.here(lesson) else { return };
        let place = (self.shown.place, self.shown.count(lesson));
        self.page.title = heading::title(&here, used.bars, place, (self.page.heading_room(), focused));
        self.page.foot =
            if focused == Focused::Yes { heading::foot(&here, &self.flaws, self.page.width()) } else { String::new() };
    }

    /// Counts the lines that decide how much room the pane has: those of the tab of the segment and, while the timeline has the keys,
    /// of the tallest tab of all.
    pub fn count_lines(
        &mut self,
        open: &EditedLesson,
        segment: Option<SegmentId>,
        (focus, screen): (Focus, TabScreen),
    ) {
        if segment != self.shown.segment {
            self.show(segment, 0);
        }
        let lesson = open.lesson();
        if focus == Focus::Timeline {
            self.counted.follow(lesson, open.revision(), screen);
        }
        match self.shown.find(lesson) {
            None => self.counted.show_words(&self.empty, screen),
            Some((used, passage)) => {
                let bars = bars_of(passage, &used);
                self.counted.show(&mut self.page.sheets, lesson, (passage, &bars), (focus, screen));
            }
        }
    }

    /// Shows the passage at a place of those that a segment plays, from its beginning.
    pub(super) fn show(&mut self, segment: Option<SegmentId>, place: usize) {
        (self.shown.segment, self.shown.place) = (segment, place);
        self.begin();
    }

    /// Begins at the beginning of what is shown.
    fn begin(&mut self) {
        self.cursor = Cursor { string: self.cursor.string, ..Cursor::default() };
        self.next.forget();
        self.page.rewind();
    }

    /// Returns the tab in view as text.
    pub fn text(&self) -> String {
        self.page.text()
    }

    /// Returns which bar the cursor is in, which of its events and on which string; each counted as
    /// players do.
    pub fn cursor(&self) -> (usize, usize, u8) {
        let Cursor { slot, string, .. } = self.cursor;
        (slot.bar + 1, slot.event + 1, string.number())
    }

    /// Returns what a key goes by that writes or asks; `None` where no passage is shown.
    pub(super) fn here<'a>(&self, lesson: &'a Lesson) -> Option<AtCursor<'a>> {
        let bars = self.shown.part.as_ref()?.bars.clone();
        let passage = self.shown.passage(lesson)?;
        Some(AtCursor { lesson, passage, bars, cursor: self.cursor, length: self.next.length })
    }

    /// Makes what is written one step, and goes where its cursor goes.
    pub(super) fn make(&mut self, open: &mut EditedLesson, written: PhraseEdits) -> PaneReply {
        self.make_after(open, Vec::new(), written)
    }

    /// Makes what is written after `first`, which changes no bars, in one step with it.
    fn make_after(&mut self, open: &mut EditedLesson, first: Vec<Edit>, written: PhraseEdits) -> PaneReply {
        let Some(passage) = self.shown.passage(open.lesson()) else { return nothing_shown() };
        let (slot, at) = (written.slot, (passage.id, self.cursor.string));
        let change = transaction(open.lesson(), at, self.next.reason, first, written);
        match open.change(change) {
            Ok(()) => {
                self.cursor.slot = slot;
                PaneReply::nothing()
            }
            Err(error) => PaneReply::say(Notice::trouble(error.to_string())),
        }
    }

    /// Makes what a function of the passage and the cursor comes to; what is selected stays so.
    pub(super) fn write(
        &mut self,
        open: &mut EditedLesson,
        what: impl FnOnce(&AtCursor<'_>) -> Result<PhraseEdits, Notice>,
    ) -> PaneReply {
        written(self, open, what).map_or_else(PaneReply::say, |written| self.make(open, written))
    }

    /// Makes what a function of the passage and the cursor comes to that may delete notes, and tells what led to them and
    /// went too.
    pub(super) fn write_over(
        &mut self,
        open: &mut EditedLesson,
        what: impl FnOnce(&AtCursor<'_>) -> Result<Deletion, Notice>,
    ) -> PaneReply {
        let deletion = match written(self, open, what) {
            Ok(deletion) => deletion,
            Err(refused) => return PaneReply::say(refused),
        };
        if deletion.selection == SelectionAfter::Gone {
            self.cursor.selection = None;
        }
        let (before, told) = (open.revision(), deletion.notice());
        let reply = self.make(open, deletion.written);
        match told {
            Some(told) if open.revision() > before => PaneReply { notice: Some(told), ..reply },
            Some(_) | None => reply,
        }
    }

    /// Makes edits of how notes are played, and stays where it is. What cannot be played is refused with the reason,
    /// but only once: the same again is written, because the note that makes it right may come later.
    pub(super) fn attempt(
        &mut self,
        open: &mut EditedLesson,
        what: impl FnOnce(&AtCursor<'_>) -> Result<Vec<Edit>, Notice>,
    ) -> PaneReply {
        let Some(here) = self.here(open.lesson()) else { return nothing_shown() };
        let edits = match what(&here) {
            Ok(edits) => edits,
            Err(refused) => return PaneReply::say(refused),
        };
        let again = self.next.was_refused(&edits);
        let slot = here.slot();
        let last = slot.next(here.passage, &here.bars).is_none_or(|next| next.read(here.passage).is_none());
        // At the end of the music the note that a join leads to is written next.
        let awaited = |finding: &Finding| last && finding.kind == FindingKind::JoinLeadsNowhere;
        let wrong = newly_unplayable(here.passage, &edits).filter(|finding| !again && !awaited(finding));
        if let Some(Finding { reason, .. }) = wrong {
            self.next.refuse(edits);
            return PaneReply::say(Notice::trouble(refusal(&reason, self.next.asked)));
        }
        let written = here.staying(edits);
        // Who has just typed the note goes on with the next one, whatever was done to this one meanwhile.
        let typing = self.next.typed.is_some_and(|typed| typed.cursor == self.cursor);
        let reply = self.make(open, written);
        let joined = |here: AtCursor<'_>| here.note().is_ok_and(|note| note.join.is_some());
        if last && (typing || self.here(open.lesson()).is_some_and(joined)) {
            self.next.typed = Some(Typed { digit: None, revision: None, cursor: self.cursor, from: None });
        }
        reply
    }

    /// Changes the length of what is under the cursor or selected, and of what is written next.
    pub(super) fn change_length(
        &mut self,
        open: &mut EditedLesson,
        change: impl Fn(Length) -> Result<Length, PhraseError>,
    ) -> PaneReply {
        let Some(here) = self.here(open.lesson()) else { return nothing_shown() };
        let (edits, length) = match writing::change_length(&here, change) {
            Ok(changed) => changed,
            Err(error) => return PaneReply::say(error.into()),
        };
        let written = edits.map(|edits| here.staying(edits));
        self.next.length = length;
        match written {
            Some(written) => self.make(open, written),
            None => PaneReply::say(Notice::done(format!("next note: {length}"))),
        }
    }

    /// Puts a chord where the cursor is, after `first`, which says what the chord needs: all of it or nothing.
    pub fn put_chord(&mut self, open: &mut EditedLesson, chord: Chord<'_>, first: Vec<Edit>) -> PaneReply {
        self.next.reason = Reason::PutChord;
        let Some(here) = self.here(open.lesson()) else { return nothing_shown() };
        match writing::chord(&here, chord) {
            Ok(written) => self.make_after(open, first, written),
            Err(refused) => PaneReply::say(refused),
        }
    }

    /// Returns whether something sounds under the cursor.
    pub fn holds_notes(&self, open: &EditedLesson) -> bool {
        let event = self.here(open.lesson()).and_then(|here| here.event());
        event.is_some_and(|event| !event.notes.is_empty())
    }

    /// Returns the length that notes are written in.
    pub const fn writing(&self) -> Length {
        self.next.length
    }

    /// Writes in this length from now on.
    pub const fn write_in(&mut self, length: Length) {
        self.next.length = length;
    }

    /// Puts the cursor where a click was: a column and a line of the pane.
    pub fn point_at(&mut self, at: (usize, usize)) {
        let Some((slot, row)) = self.page.place_at(at, self.cursor.slot.voice) else { return };
        self.cursor.slot = slot;
        let row = row.min(usize::from(self.shown.strings()).saturating_sub(1));
        if let Some(string) = u8::try_from(row + 1).ok().and_then(StringNumber::new) {
            self.cursor.string = string;
        }
        self.next.typed = None;
        self.page.follow = Follow::Cursor;
    }

    /// Goes to a spot of a passage that `segment` plays, where it plays that bar. Where all of the passage is meant and it is
    /// shown already, the cursor stays where it stands.
    pub fn go_to_spot(&mut self, lesson: &Lesson, segment: Option<SegmentId>, passage: PassageId, spot: Spot) {
        let is_shown = (self.shown.segment, self.shown.id()) == (segment, Some(passage));
        if spot.bar.is_none() && is_shown {
            self.page.follow = Follow::Cursor;
            return;
        }
        let Some(place) = place_playing(lesson, segment, passage, spot) else { return };
        let from_zero = |number: Option<u32>| number.map_or(0, |number| (number as usize).saturating_sub(1));
        if (self.shown.segment, self.shown.place) != (segment, place) {
            self.show(segment, place);
            // What was shown before does not count as another passage, at whose beginning one would begin.
            self.shown.part = None;
        }
        let (bar, event, voice) = (from_zero(spot.bar), from_zero(spot.event), from_zero(spot.voice));
        self.cursor.selection = None;
        self.cursor.slot = Slot { bar, event, voice };
        self.cursor.string = spot.string.unwrap_or(self.cursor.string);
        self.page.follow = Follow::Cursor;
    }
}

/// Returns what a function of the passage and the cursor comes to, or what to say instead.
fn written<T>(
    pane: &PassagePane,
    open: &EditedLesson,
    what: impl FnOnce(&AtCursor<'_>) -> Result<T, Notice>,
) -> Result<T, Notice> {
    what(&pane.here(open.lesson()).ok_or_else(no_passage)?)
}
