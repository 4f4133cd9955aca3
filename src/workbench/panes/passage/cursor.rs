//! The cursor over time and strings, and what is selected.

use std::ops::Range;

use crate::instrument::neck::StringNumber;
use crate::lesson::music::Passage;
use crate::lesson::phrase::Slot;
use crate::lesson::phrase::clip::{Grain, Stretch};
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::passage::pane::{PassagePane, Shown};

/// Where a key leads from a slot, in the bars that are shown.
pub(super) type Way = fn(Slot, &Passage, &Range<usize>) -> Option<Slot>;

/// Voices that tab has room for.
const VOICES: usize = 2;

/// Where the next key acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Cursor {
    pub(super) slot: Slot,
    pub(super) string: StringNumber,
}

impl Default for Cursor {
    fn default() -> Self {
        Self { slot: Slot::default(), string: StringNumber::new(1).expect("there is a string 1") }
    }
}

/// Where a selection was begun, and what it is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Selection {
    from: Slot,
    grain: Grain,
}

impl Selection {
    /// Returns what is selected when the cursor is at `to`.
    pub(super) fn stretch(self, to: Slot) -> Stretch {
        Stretch::new(self.from, to, self.grain)
    }

    /// Says how much is selected.
    pub(super) fn words(self, passage: &Passage, to: Slot) -> String {
        let stretch = self.stretch(to);
        let (count, word) = match self.grain {
            Grain::Bars => (stretch.bars().len(), "bar"),
            Grain::Events => (stretch.events(passage), "beat"),
        };
        format!("{count} {word}{} selected", if count == 1 { "" } else { "s" })
    }
}

impl PassagePane {
    /// Keeps cursor and selection in what is shown.
    pub(super) fn keep_in(&mut self, passage: &Passage, shown: &Shown) {
        self.cursor.slot = self.cursor.slot.clamped(passage, &shown.bars);
        if let Some(selection) = &mut self.selection {
            selection.from = selection.from.clamped(passage, &shown.bars);
        }
        let last = StringNumber::new(shown.strings).unwrap_or(self.cursor.string);
        self.cursor.string = self.cursor.string.min(last);
    }

    /// Returns what is selected, if anything is.
    pub(super) fn stretch(&self) -> Option<Stretch> {
        self.selection.map(|selection| selection.stretch(self.cursor.slot))
    }

    /// Returns what is selected, or else the event under the cursor.
    pub(super) fn stretch_or_event(&self) -> Stretch {
        let slot = self.cursor.slot;
        self.stretch().unwrap_or_else(|| Stretch::new(slot, slot, Grain::Events))
    }

    /// Moves the cursor to where `way` leads from it, if it leads anywhere.
    pub(super) fn go(&mut self, open: &EditedLesson, way: Way) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let bars = self.shown.as_ref().map_or(0..0, |shown| shown.bars.clone());
        if let Some(next) = way(self.cursor.slot, passage, &bars) {
            self.cursor.slot = next.clamped(passage, &bars);
        }
        Reply::nothing()
    }

    /// Selects from the cursor to where `way` leads, or makes the selection longer or shorter.
    pub(super) fn extend(&mut self, open: &EditedLesson, grain: Grain, way: Way) -> Reply {
        let from = self.selection.map_or(self.cursor.slot, |selection| selection.from);
        self.selection = self.shown.is_some().then_some(Selection { from, grain });
        self.go(open, way)
    }

    /// Goes to the other voice of the bar.
    pub(super) fn switch_voice(&mut self, open: &EditedLesson) -> Reply {
        let reply = self.go(open, |slot, _, _| Some(Slot { voice: (slot.voice + 1) % VOICES, ..slot }));
        self.selection = None;
        if self.shown.is_none() {
            return reply;
        }
        let word = if self.cursor.slot.voice == 0 { "upper" } else { "lower" };
        Reply::say(Notice::done(format!("writing the {word} voice")))
    }

    /// Ends the selection.
    pub(super) fn drop_mark(&mut self) -> Reply {
        match self.selection.take() {
            Some(_) => Reply::nothing(),
            None => Reply::say(Notice::note("nothing is selected")),
        }
    }

    /// Begins a selection; once more makes it one of whole bars, and once more ends it.
    pub(super) fn mark(&mut self) -> Reply {
        if self.shown.is_none() {
            return nothing_shown();
        }
        let (selection, words) = match self.selection {
            None => (Some(Grain::Events), "selecting from here: move to extend it; f again for whole bars"),
            Some(Selection { grain: Grain::Events, .. }) => (Some(Grain::Bars), "selecting whole bars"),
            Some(Selection { grain: Grain::Bars, .. }) => (None, "nothing is selected any more"),
        };
        let from = self.selection.map_or(self.cursor.slot, |selection| selection.from);
        self.selection = selection.map(|grain| Selection { from, grain });
        Reply::say(Notice::note(words))
    }

    /// Goes to a string, if there is one of this number.
    pub(super) fn go_to_string(&mut self, number: Option<u8>) -> Reply {
        let last = self.shown.as_ref().map_or(1, |shown| shown.strings);
        if let Some(string) = number.filter(|number| *number <= last).and_then(StringNumber::new) {
            self.cursor.string = string;
        }
        Reply::nothing()
    }
}

/// Says that there is nothing to write into.
pub(super) fn nothing_shown() -> Reply {
    Reply::say(Notice::note("this segment plays no passage yet: A begins a new one, a reads text tab"))
}

/// Leads to the beginning.
pub(super) fn to_start(slot: Slot, _: &Passage, bars: &Range<usize>) -> Option<Slot> {
    Some(Slot::start_of(bars.start, slot.voice))
}

/// Leads behind the last event.
pub(super) fn to_end(slot: Slot, passage: &Passage, bars: &Range<usize>) -> Option<Slot> {
    let last = Slot::start_of(bars.end.saturating_sub(1), slot.voice);
    Some(Slot { event: last.events(passage).len(), ..last })
}

/// Leads to the beginning of the bar, or of the one before.
pub(super) fn to_previous_bar(slot: Slot, _: &Passage, bars: &Range<usize>) -> Option<Slot> {
    slot.previous_bar(bars)
}

/// Leads to the bar before, from anywhere in this one.
pub(super) fn to_bar_before(slot: Slot, _: &Passage, _: &Range<usize>) -> Option<Slot> {
    slot.bar.checked_sub(1).map(|bar| Slot::start_of(bar, slot.voice))
}
