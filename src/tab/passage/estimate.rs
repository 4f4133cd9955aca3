//! About how many lines a passage takes, by its notes alone: nothing is laid out, so a whole lesson is gone through in no time.

use std::ops::Range;

use crate::lesson::music::{Bar, Event, Note, Passage, Technique};

use super::closeness::Closeness;
use super::piece::LEAD;
use super::render::BAR_LINES;
use crate::tab::marks;
use crate::tab::signs::StretchSign;

/// The columns on the left of a line: the labels or the number of the bar.
const MARGIN: usize = 2;
/// The lines of every system beside its strings: the lengths, the count, and an empty one behind it.
const AROUND: usize = 3;
/// The width of a bar in which nothing is written yet.
const EMPTY_BAR: usize = 8;

/// Returns about how many lines some bars of a passage take on `strings` strings in lines of `width` columns, counted up to `most`.
///
/// It is an estimate: by a line or two, or by a system where bars just fit into a line, it may be wrong.
pub fn estimated_lines(passage: &Passage, bars: Range<usize>, strings: usize, width: usize, most: usize) -> usize {
    let room = width.saturating_sub(MARGIN + 1).max(1);
    // The line that gives time signature, tempo and key stands over the first system.
    let mut lines = 1;
    let mut meter = passage.meter;
    let mut system: Option<SystemEstimate> = None;
    for bar in passage.bars.get(bars).unwrap_or_default() {
        meter = bar.meter.unwrap_or(meter);
        let wide = columns(bar, Closeness::of(meter.ticks(), room.saturating_sub(BAR_LINES + LEAD)));
        let fits = |system: &SystemEstimate| system.used + wide <= room;
        if let Some(full) = system.take_if(|system| !fits(system)) {
            lines += full.lines(strings);
        }
        // A bar that is wider than a line goes on in further systems.
        lines += (wide.saturating_sub(1) / room) * (strings + AROUND);
        let system = system.get_or_insert_default();
        system.used += wide;
        system.add(bar);
        if lines >= most {
            return most;
        }
    }
    let last = system.unwrap_or_default();
    // Behind the last system there is nothing to keep apart.
    (lines + last.lines(strings) - 1).min(most)
}

/// A system as far as bars are put into it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct SystemEstimate {
    used: usize,
    chords: bool,
    words: bool,
    strokes: bool,
    marks: bool,
    endings: bool,
    two_voices: bool,
    stretches: [bool; StretchSign::ALL.len()],
}

impl SystemEstimate {
    fn add(&mut self, bar: &Bar) {
        self.marks |= bar.meter.is_some()
            || bar.tempo.is_some()
            || bar.key.is_some()
            || bar.pickup
            || bar.repeat_end.is_some_and(|times| times != 2);
        self.endings |= !bar.endings.is_empty();
        self.two_voices |= bar.voices.len() > 1;
        for event in bar.voices.iter().flat_map(|voice| &voice.0) {
            self.chords |= event.chord.as_deref().is_some_and(marks::fits_as_chord);
            self.words |=
                event.text.is_some() || event.chord.as_deref().is_some_and(|name| !marks::fits_as_chord(name));
            self.strokes |= event.stroke.is_some();
            for (seen, stretch) in self.stretches.iter_mut().zip(StretchSign::ALL) {
                *seen |= event.notes.iter().any(|note| note.techniques.contains(&stretch.technique()));
            }
        }
    }

    fn lines(&self, strings: usize) -> usize {
        let rows = [self.chords, self.words, self.strokes, self.marks, self.endings, self.two_voices];
        strings + AROUND + rows.iter().chain(&self.stretches).filter(|row| **row).count()
    }
}

/// Returns about how many columns a bar takes, with the bar line on its left.
fn columns(bar: &Bar, closeness: Closeness) -> usize {
    let wide = bar.voices.iter().filter(|voice| !voice.0.is_empty()).map(|voice| {
        let each = voice.0.iter().map(|event| closeness.columns(event.length.ticks().0).max(signs(event)));
        each.fold(0, usize::saturating_add)
    });
    wide.max().unwrap_or(EMPTY_BAR).saturating_add(LEAD + 1)
}

/// Returns about how many columns the widest note of an event takes, with a free one behind it and grace notes before it.
fn signs(event: &Event) -> usize {
    let wide = |note: &Note| {
        let drawn_over = |technique: &&Technique| StretchSign::ALL.iter().all(|sign| sign.technique() != **technique);
        let signs = note.techniques.iter().filter(drawn_over).count();
        note.fret.to_string().len() + signs + usize::from(note.join.is_some()) + 1
    };
    let grace: usize = event.grace.iter().map(wide).sum();
    grace + event.notes.iter().map(wide).max().unwrap_or(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_more_is_counted_than_asked_for() {
        let passage = Passage::plain(crate::lesson::id::PassageId(1), "long", vec![Bar::default(); 5000]);
        assert_eq!(estimated_lines(&passage, 0..5000, 6, 80, 50), 50);
        assert_eq!(estimated_lines(&passage, 0..0, 6, 80, 50), 1 + 6 + AROUND - 1);
    }
}
