//! A passage cut at the chord names that stand over it.

use std::ops::Range;

use super::heard::Heard;
use super::sounding::{SoundingMoment, walk};
use super::strum::FirstChord;
use crate::instrument::rig::Rig;
use crate::lesson::music::Passage;
use crate::lesson::phrase::Slot;
use crate::lesson::time::Ticks;

/// What stands and sounds from a chord name to the next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NameStretch<'a> {
    /// The name, as it is written, and where it stands; `None` before the first name and where an ending begins.
    pub name: Option<(Slot, &'a str)>,
    /// What sounds under it.
    pub heard: Heard,
    /// What stands right under it.
    pub first_chord: FirstChord,
    /// The same in parts: its first bar, then each bar by itself.
    pub bars: Vec<StretchBar>,
    /// How long it has gone on.
    elapsed: Ticks,
    first_bar: FirstBar,
}

/// A bar of a stretch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StretchBar {
    /// The index of the bar; of two that count as the first bar, that of the earlier one.
    pub bar: usize,
    /// Half of what fills it.
    pub half: Ticks,
    /// Where something is struck first in it.
    pub struck: Option<Slot>,
    /// What sounds in it.
    pub heard: Heard,
}

/// Whether the first bar of a stretch goes on. One that begins in the second half of a bar goes to the end of the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum FirstBar {
    GoesOn(usize),
    IsOver,
}

/// Returns what stands and sounds in `bars` of `passage`, from name to name, in their order. Where an ending begins, a name does
/// not go on: which bar is played before it depends on the turn.
pub fn stretches<'a>(passage: &'a Passage, rig: &Rig, bars: Range<usize>) -> Vec<NameStretch<'a>> {
    let mut list: Vec<NameStretch<'a>> = Vec::new();
    let mut bar = None;
    walk(passage, rig, bars, &mut |moment| {
        let enters = bar != Some(moment.bar);
        bar = Some(moment.bar);
        let named = moment.begins.iter().find_map(|(slot, _)| Some((*slot, slot.read(passage)?.chord.as_deref()?)));
        let cut = list.is_empty() || named.is_some() || enters && begins_ending(passage, moment.bar);
        if cut {
            if let Some(before) = list.last_mut() {
                before.finish();
            }
            list.push(NameStretch {
                name: named,
                heard: Heard::default(),
                first_chord: FirstChord::default(),
                bars: Vec::new(),
                elapsed: Ticks::ZERO,
                first_bar: FirstBar::GoesOn(moment.bar),
            });
        }
        if let Some(stretch) = list.last_mut() {
            stretch.hear(moment);
        }
    });
    if let Some(last) = list.last_mut() {
        last.finish();
    }
    list
}

impl NameStretch<'_> {
    fn hear(&mut self, moment: &SoundingMoment<'_>) {
        if let FirstBar::GoesOn(bar) = self.first_bar
            && bar != moment.bar
        {
            let half = Ticks(moment.meter.ticks().0 / 2);
            self.first_bar = if self.elapsed < half { FirstBar::GoesOn(moment.bar) } else { FirstBar::IsOver };
        }
        let is_first = self.first_bar != FirstBar::IsOver;
        self.heard.hear(moment, is_first);
        if is_first {
            self.first_chord.hear(moment);
        }
        if self.bars.last().is_none_or(|last| !is_first && last.bar != moment.bar) {
            let half = Ticks(moment.meter.ticks().0 / 2);
            self.bars.push(StretchBar { bar: moment.bar, half, struck: None, heard: Heard::default() });
        }
        if let Some(bar) = self.bars.last_mut() {
            let struck = || moment.begins.iter().find(|(_, event)| !event.is_rest()).map(|(slot, _)| *slot);
            bar.struck = bar.struck.or_else(struck);
            bar.heard.hear(moment, true);
        }
        self.elapsed += moment.length;
    }

    fn finish(&mut self) {
        self.heard.finish();
        for bar in &mut self.bars {
            bar.heard.finish();
        }
    }
}

fn begins_ending(passage: &Passage, bar: usize) -> bool {
    let endings = |bar: usize| passage.bars.get(bar).map_or(&[][..], |bar| &bar.endings);
    !endings(bar).is_empty() && bar.checked_sub(1).is_none_or(|before| endings(before) != endings(bar))
}
