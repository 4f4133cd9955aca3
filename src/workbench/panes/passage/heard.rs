//! The passage and the ear: what of it is to be heard, and what is heard now.

use crate::lesson::document::PassageUse;
use crate::lesson::id::PassageId;
use crate::lesson::phrase::Slot;
use crate::lesson::phrase::clip::Grain;
use crate::lesson::time::Ticks;
use crate::plan::order::places;
use crate::sound::performance::passage::PassagePart;
use crate::workbench::drawing::region::Focused;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::panes::passage::pane::{PassagePane, Shown, uses};
use crate::workbench::playback::playing::part;

impl PassagePane {
    /// Shows what is heard: a moment of a bar of a passage.
    pub fn show_heard(&mut self, open: &EditedLesson, moment: Option<(PassageId, usize, Ticks)>) {
        self.heard.clear();
        let Some((id, bar, tick)) = moment else { return };
        if self.page.focused() == Focused::No {
            self.go_to_heard(open, id, bar);
        }
        if self.shown.as_ref().is_none_or(|shown| shown.passage != id || !shown.bars.contains(&bar)) {
            return;
        }
        let voices =
            open.lesson().passage(id).and_then(|passage| passage.bars.get(bar)).map_or(&[][..], |bar| &bar.voices);
        for (voice, events) in voices.iter().enumerate() {
            let begun = events.timed().take_while(|(start, _)| *start <= tick).count();
            self.heard.extend(begun.checked_sub(1).map(|event| Slot { bar, voice, event }));
        }
    }

    /// Shows another passage of the segment where that is the one that is heard. Who writes in one is not disturbed.
    fn go_to_heard(&mut self, open: &EditedLesson, id: PassageId, bar: usize) {
        let Some(shown) = &self.shown else { return };
        if shown.passage == id && shown.bars.contains(&bar) {
            return;
        }
        let Some(passage) = open.lesson().passage(id) else { return };
        let bars = |used: &PassageUse| places(passage.bars.len(), used.bars);
        let uses = uses(open.lesson(), self.segment);
        let found = uses.iter().position(|used| used.passage == id && bars(used).contains(&bar));
        if let Some((place, used)) = found.and_then(|place| Some((place, uses.get(place)?))) {
            self.shown = Some(Shown { passage: id, bars: bars(used), strings: shown.strings });
            self.place = place;
            self.begin();
        }
    }

    /// Returns what is to be heard: what is selected, or what is shown from the cursor on.
    pub fn part_to_hear(&self, open: &EditedLesson) -> Option<(PassageId, PassagePart)> {
        let shown = self.shown.as_ref()?;
        let passage = open.lesson().passage(shown.passage)?;
        let start = |slot: Slot| {
            let voice = passage.bars.get(slot.bar)?.voices.get(slot.voice)?;
            voice.timed().nth(slot.event).map(|(start, event)| (start, event.length.ticks()))
        };
        let last = shown.bars.end.checked_sub(1)?;
        let part = match self.stretch() {
            Some(stretch) if stretch.grain == Grain::Bars => {
                part((stretch.first().bar, stretch.bars().end - 1), Ticks::ZERO, None)
            }
            Some(stretch) => {
                let (first, end) = (stretch.first(), stretch.last());
                let to = start(end).map(|(start, length)| Ticks(start.0 + length.0));
                part((first.bar, end.bar), start(first).map_or(Ticks::ZERO, |(start, _)| start), to)
            }
            None => {
                let slot = self.cursor.slot;
                let from = start(slot).map_or(Ticks::ZERO, |(start, _)| start);
                PassagePart { begin: Some(slot.bar), ..part((shown.bars.start, last), from, None) }
            }
        };
        Some((shown.passage, part))
    }

    /// Returns all that is shown, to be heard.
    pub fn whole_to_hear(&self) -> Option<(PassageId, PassagePart)> {
        let shown = self.shown.as_ref()?;
        Some((shown.passage, part((shown.bars.start, shown.bars.end.checked_sub(1)?), Ticks::ZERO, None)))
    }
}
