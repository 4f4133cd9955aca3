//! The cursor over time and strings, with what is selected from it, and where keys lead it.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use crate::instrument::neck::StringNumber;
use crate::lesson::music::Passage;
use crate::lesson::phrase::Slot;
use crate::lesson::phrase::clip::{Grain, Stretch};

/// Where a key leads from a slot, in the bars that are shown.
pub(super) type Way = fn(Slot, &Passage, &Range<usize>) -> Option<Slot>;

/// How many voices tab has room for.
const VOICES: usize = 2;

/// Where the next key acts, and what is selected from there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Cursor {
    pub(super) slot: Slot,
    pub(super) string: StringNumber,
    pub(super) selection: Option<Selection>,
    /// Where the other voice was left, and where that led to: as long as the cursor stands there, the same key leads back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) left: Option<LeftVoice>,
}

/// Where a voice was left for the other one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct LeftVoice {
    from: Slot,
    to: Slot,
}

impl Default for Cursor {
    fn default() -> Self {
        let string = StringNumber::new(1).expect("there is a string 1");
        Self { slot: Slot::default(), string, selection: None, left: None }
    }
}

/// Where a selection was begun, and what it is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Selection {
    from: Slot,
    grain: Grain,
}

impl Cursor {
    /// Keeps cursor and selection in the bars and on the strings that are shown.
    pub(super) fn keep_in(&mut self, passage: &Passage, bars: &Range<usize>, strings: u8) {
        self.slot = self.slot.clamped(passage, bars);
        if let Some(selection) = &mut self.selection {
            selection.from = selection.from.clamped(passage, bars);
        }
        let last = StringNumber::new(strings).unwrap_or(self.string);
        self.string = self.string.min(last);
    }

    /// Returns what is selected, if anything is.
    pub(super) fn selected(&self) -> Option<Stretch> {
        self.selection.map(|selection| Stretch::new(selection.from, self.slot, selection.grain))
    }

    /// Returns what is selected, or else the event under the cursor.
    pub(super) fn selected_or_event(&self) -> Stretch {
        self.selected().unwrap_or_else(|| Stretch::new(self.slot, self.slot, Grain::Events))
    }

    /// Says how much is selected, if anything is.
    pub(super) fn words_of_selection(&self, passage: &Passage) -> Option<String> {
        let stretch = self.selected()?;
        let count = match stretch.grain {
            Grain::Bars => stretch.bars().len(),
            Grain::Events => stretch.events(passage),
        };
        Some(format!("{} selected", counted(count, stretch.grain)))
    }

    /// Moves the cursor to where `way` leads from it, if it leads anywhere.
    pub(super) fn go(&mut self, passage: &Passage, bars: &Range<usize>, way: Way) {
        if let Some(next) = way(self.slot, passage, bars) {
            self.slot = next.clamped(passage, bars);
        }
    }

    /// Selects from the cursor to where `way` leads, or makes the selection longer or shorter.
    pub(super) fn extend(&mut self, passage: &Passage, bars: &Range<usize>, grain: Grain, way: Way) {
        self.select(Some(grain));
        self.go(passage, bars, way);
    }

    /// Goes to the other voice of the bar, to what sounds or begins there at the same time, which ends the selection; from where that
    /// led, back to what was left. Returns what to say of it.
    pub(super) fn switch_voice(&mut self, passage: &Passage, bars: &Range<usize>) -> &'static str {
        let from = self.slot;
        let back = self.left.filter(|left| left.to == from).map(|left| left.from);
        match back.filter(|back| back.clamped(passage, bars) == *back) {
            Some(back) => self.slot = back,
            None => {
                self.go(passage, bars, |slot, passage, _| Some(slot.in_voice(passage, (slot.voice + 1) % VOICES)));
            }
        }
        self.left = Some(LeftVoice { from, to: self.slot });
        self.selection = None;
        if self.slot.voice == 0 { "writing the upper voice" } else { "writing the lower voice" }
    }

    /// Begins a selection; once more makes it one of whole bars, and once more ends it. Returns what to say of it.
    pub(super) fn mark(&mut self) -> &'static str {
        let (grain, words) = match self.selection {
            None => {
                (Some(Grain::Events), "selecting from here: move to extend it; {Passage(Mark)} again for whole bars")
            }
            Some(Selection { grain: Grain::Events, .. }) => (Some(Grain::Bars), "selecting whole bars"),
            Some(Selection { grain: Grain::Bars, .. }) => (None, "nothing selected"),
        };
        self.select(grain);
        words
    }

    /// Selects stretches of this grain from where the selection was begun, or else from the cursor; `None` ends it.
    fn select(&mut self, grain: Option<Grain>) {
        let from = self.selection.map_or(self.slot, |selection| selection.from);
        self.selection = grain.map(|grain| Selection { from, grain });
    }

    /// Goes to the string so many further down, if it is one of so many.
    pub(super) fn go_to_string(&mut self, by: i8, strings: u8) {
        let number = self.string.number().checked_add_signed(by);
        if let Some(string) = number.filter(|number| *number <= strings).and_then(StringNumber::new) {
            self.string = string;
        }
    }
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

/// Says how many bars, or notes and rests.
pub(super) fn counted(count: usize, grain: Grain) -> String {
    match (grain, count) {
        (Grain::Bars, 1) => "1 bar".to_owned(),
        (Grain::Bars, _) => format!("{count} bars"),
        (Grain::Events, 1) => "1 note or rest".to_owned(),
        (Grain::Events, _) => format!("{count} notes or rests"),
    }
}
