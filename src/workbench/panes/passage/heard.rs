//! The passage and the ear: what of it is to be heard, and what is heard now.

use crate::lesson::id::PassageId;
use crate::lesson::phrase::Slot;
use crate::lesson::phrase::clip::Grain;
use crate::lesson::time::Ticks;
use crate::sound::performance::passage::PassagePart;
use crate::workbench::drawing::region::Focused;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::panes::passage::pane::PassagePane;
use crate::workbench::panes::passage::shown::{ShownBars, bars_of};
use crate::workbench::playback::playing::part;

impl PassagePane {
    /// Shows what is heard: a moment of a bar of a passage.
    pub fn show_heard(&mut self, open: &EditedLesson, moment: Option<(PassageId, usize, Ticks)>) {
        self.heard.clear();
        let Some((id, bar, tick)) = moment else { return };
        if self.page.focused() == Focused::No {
            self.go_to_heard(open, id, bar);
        }
        if !self.shown.shows(id, bar) {
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
        if self.shown.part.is_none() || self.shown.shows(id, bar) {
            return;
        }
        let Some(passage) = open.lesson().passage(id) else { return };
        if let Some((place, used)) = self.shown.place_of(open.lesson(), passage, bar) {
            let strings = self.shown.strings();
            self.shown.part = Some(ShownBars { passage: id, bars: bars_of(passage, used), strings });
            self.show(self.shown.segment, place);
        }
    }

    /// Returns what is to be heard: what is selected, or what is shown from the cursor on.
    pub fn part_to_hear(&self, open: &EditedLesson) -> Option<(PassageId, PassagePart)> {
        let here = self.here(open.lesson())?;
        let passage = here.passage;
        let start = |slot: Slot| {
            let voice = passage.bars.get(slot.bar)?.voices.get(slot.voice)?;
            voice.timed().nth(slot.event).map(|(start, event)| (start, event.length.ticks()))
        };
        let last = here.bars.end.checked_sub(1)?;
        let part = match here.cursor.selected() {
            Some(stretch) if stretch.grain == Grain::Bars => {
                part((stretch.first().bar, stretch.bars().end - 1), Ticks::ZERO, None)
            }
            Some(stretch) => {
                let (first, end) = (stretch.first(), stretch.last());
                let to = start(end).map(|(start, length)| Ticks(start.0 + length.0));
                part((first.bar, end.bar), start(first).map_or(Ticks::ZERO, |(start, _)| start), to)
            }
            None => {
                let slot = here.slot();
                let from = start(slot).map_or(Ticks::ZERO, |(start, _)| start);
                PassagePart { begin: Some(slot.bar), ..part((here.bars.start, last), from, None) }
            }
        };
        Some((passage.id, part))
    }

    /// Returns all that is shown, to be heard.
    pub fn whole_to_hear(&self) -> Option<(PassageId, PassagePart)> {
        let shown = self.shown.part.as_ref()?;
        Some((shown.passage, part((shown.bars.start, shown.bars.end.checked_sub(1)?), Ticks::ZERO, None)))
    }
}
