//! Bars made of chords in time: rests between them, ties over bar lines, a second voice where they overlap.

use super::lengths::lengths;
use crate::lesson::music::{Bar, Event, Join, Note, Technique, Voice};
use crate::lesson::time::{Length, Meter, NoteValue, Tempo, Ticks};

/// Notes that start and end together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TimedChord {
    /// When they start, from the start of the first bar.
    pub start: Ticks,
    /// How long they last.
    pub length: Ticks,
    /// How that is written where no bar line cuts it; `None` leaves it to the bars.
    pub written: Option<Length>,
    /// The notes.
    pub notes: Vec<Note>,
}

impl TimedChord {
    fn end(&self) -> Ticks {
        self.start + self.length
    }
}

/// What came of writing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WrittenBars {
    /// The bars.
    pub bars: Vec<Bar>,
    /// How many chords are written shorter than they sound, and marked to ring on, because two voices
    /// cannot show more.
    pub shortened: usize,
    /// The bars, counted from 0, in which a length could not be written exactly.
    pub inexact: Vec<usize>,
}

/// Writes `chords`, in order of their start, into bars from the start up to `end` and on to the next bar line.
///
/// `meters` holds the meter at the start and each later one with its start, which should be a bar line;
/// `tempos` likewise. A change within a bar is written at the next bar line.
pub fn write(chords: Vec<TimedChord>, end: Ticks, meters: &[(Ticks, Meter)], tempos: &[(Ticks, Tempo)]) -> WrittenBars {
    let last = chords.iter().map(TimedChord::end).max().unwrap_or_default().max(end);
    let frames = frames(last, meters);
    let (voices, shortened) = voices(chords);
    let mut written = WrittenBars { shortened, ..WrittenBars::default() };
    for (place, (start, meter)) in frames.iter().enumerate() {
        let mut bar = Bar::default();
        let before = place.checked_sub(1).and_then(|before| frames.get(before));
        bar.meter = before.is_some_and(|(_, before)| before != meter).then_some(*meter);
        if let Some((before, _)) = before {
            let changed = tempos.iter().rev().find(|(at, _)| at > before && at <= start);
            bar.tempo = changed.map(|(_, tempo)| *tempo);
        }
        let bar_end = *start + meter.ticks();
        let mut exact = true;
        for voice in &voices {
            let (events, fits) = bar_of_voice(voice, *start, bar_end, *meter);
            exact &= fits;
            if events.0.iter().any(|event| !event.is_rest()) {
                bar.voices.push(events);
            }
        }
        if bar.voices.is_empty() {
            let (rests, fits) = bar_of_voice(&[], *start, bar_end, *meter);
            exact &= fits;
            bar.voices.push(rests);
        }
        if !exact {
            written.inexact.push(place);
        }
        written.bars.push(bar);
    }
    written
}

/// Returns the start and meter of each bar up to `last`; at least one.
pub(super) fn frames(last: Ticks, meters: &[(Ticks, Meter)]) -> Vec<(Ticks, Meter)> {
    let mut frames = Vec::new();
    let mut start = Ticks::ZERO;
    while frames.is_empty() || start < last {
        let meter = meters.iter().rev().find(|(at, _)| *at <= start).map_or(Meter::COMMON, |(_, meter)| *meter);
        frames.push((start, meter));
        start += meter.ticks();
    }
    frames
}

/// Spreads chords over two voices where they overlap, the higher ones in the first.
fn voices(chords: Vec<TimedChord>) -> (Vec<Vec<TimedChord>>, usize) {
    let top = |chord: &TimedChord| chord.notes.iter().map(|note| note.string).min();
    let mut voices: [Vec<TimedChord>; 2] = [Vec::new(), Vec::new()];
    let mut shortened = 0;
    for (place, chord) in chords.iter().enumerate() {
        let meets = |other: &TimedChord| other.start < chord.end() && chord.start < other.end();
        let after = chords.iter().skip(place + 1).take_while(|other| other.start < chord.end());
        let before = chords.iter().take(place).rev().take(LOOK_BACK).filter(|other| meets(other));
        // Lower string numbers stand higher in the tab.
        let is_lower = after.chain(before).any(|other| meets(other) && top(other) < top(chord));
        let wanted = usize::from(is_lower);
        let busy = |voice: &Vec<TimedChord>| voice.last().is_some_and(|last| last.end() > chord.start);
        let free = [wanted, 1 - wanted].into_iter().find(|voice| voices.get(*voice).is_some_and(|voice| !busy(voice)));
        let voice = free.unwrap_or(wanted);
        let Some(voice) = voices.get_mut(voice) else { continue };
        if let Some(last) = voice.last_mut().filter(|last| last.end() > chord.start) {
            if last.start == chord.start {
                // Both voices start here: one of them takes the notes in, and they ring on.
                last.notes.extend(chord.notes.iter().cloned().map(ringing));
                shortened += 1;
                continue;
            }
            last.length = Ticks(chord.start.0 - last.start.0);
            last.written = None;
            last.notes = std::mem::take(&mut last.notes).into_iter().map(ringing).collect();
            shortened += 1;
        }
        voice.push(chord.clone());
    }
    (voices.into_iter().filter(|voice| !voice.is_empty()).collect(), shortened)
}

/// How many chords back may still sound; a hand has no more strings.
const LOOK_BACK: usize = 12;

fn ringing(mut note: Note) -> Note {
    if !note.techniques.contains(&Technique::LetRing) {
        note.techniques.push(Technique::LetRing);
    }
    note
}

/// Returns what a voice plays from `start` to `end`, with rests around it, and whether all lengths came out exact.
fn bar_of_voice(chords: &[TimedChord], start: Ticks, end: Ticks, meter: Meter) -> (Voice, bool) {
    let mut events = Vec::new();
    let mut exact = true;
    let mut clock = start;
    let first = chords.partition_point(|chord| chord.end() <= start);
    for chord in chords.iter().skip(first).take_while(|chord| chord.start < end) {
        let from = chord.start.max(start);
        let to = chord.end().min(end);
        if from > clock {
            exact &= add(&mut events, &[], (clock, from), start, meter, None);
        }
        let whole = (from, to) == (chord.start, chord.end());
        let ties_on = chord.end() > end;
        exact &= add(&mut events, &chord.notes, (from, to), start, meter, chord.written.filter(|_| whole));
        if ties_on && let Some(last) = events.last_mut() {
            tie(last);
        }
        clock = to;
    }
    if clock < end {
        exact &= add(&mut events, &[], (clock, end), start, meter, None);
    }
    (Voice(events), exact)
}

/// Adds notes (none for a rest) from one moment to another, in tied pieces where one length cannot say it.
fn add(
    events: &mut Vec<Event>,
    notes: &[Note],
    (from, to): (Ticks, Ticks),
    bar: Ticks,
    meter: Meter,
    written: Option<Length>,
) -> bool {
    let length = Ticks(to.0 - from.0);
    let pieces = match written.filter(|written| written.ticks() == length) {
        Some(written) => Some(vec![written]),
        None => pieces(Ticks(from.0 - bar.0), length, meter),
    };
    let exact = pieces.is_some();
    let pieces = pieces.unwrap_or_else(|| vec![nearest(length)]);
    let count = pieces.len();
    for (place, length) in pieces.into_iter().enumerate() {
        let mut event = Event::notes(length, notes.to_vec());
        if place + 1 < count {
            tie(&mut event);
        }
        events.push(event);
    }
    exact
}

fn tie(event: &mut Event) {
    for note in &mut event.notes {
        note.join = Some(Join::Tie);
    }
}

/// Returns the lengths that together last `length` from `at` in a bar; `None` where no note values do.
fn pieces(at: Ticks, length: Ticks, meter: Meter) -> Option<Vec<Length>> {
    let fine = NoteValue::SixtyFourth.ticks().0;
    let straight = at.0.is_multiple_of(fine) && length.0.is_multiple_of(fine);
    if straight {
        return straight_pieces(length);
    }
    // Inside tuplets a beat is written at a time, so that each group stays whole.
    let beat = NoteValue::Quarter.ticks().0.min(meter.unit().ticks().0.max(NoteValue::Eighth.ticks().0));
    let mut pieces = Vec::new();
    let (mut at, end) = (at.0, at.0 + length.0);
    while at < end {
        let next = ((at / beat + 1) * beat).min(end);
        let part = next - at;
        pieces.extend(if part == beat { straight_pieces(Ticks(part))? } else { tuplet_pieces(part)? });
        at = next;
    }
    Some(pieces)
}

/// Returns one plain or dotted length, or two of which the first is the longest possible, or more.
fn straight_pieces(length: Ticks) -> Option<Vec<Length>> {
    let plain = || lengths(0).chain(lengths(1)).filter(|length| length.tuplet().is_none());
    if let Some(exact) = plain().find(|plain| plain.ticks() == length) {
        return Some(vec![exact]);
    }
    let mut longest: Vec<Length> = plain().filter(|plain| plain.ticks() < length).collect();
    longest.sort_by_key(|plain| std::cmp::Reverse(plain.ticks()));
    let two = longest.iter().find_map(|first| {
        let second = plain().find(|second| first.ticks() + second.ticks() == length)?;
        Some(vec![*first, second])
    });
    two.or_else(|| {
        let first = longest.first()?;
        let mut pieces = vec![*first];
        pieces.extend(straight_pieces(Ticks(length.0 - first.ticks().0))?);
        Some(pieces)
    })
}

/// Returns one length of a tuplet, or two of the same tuplet.
fn tuplet_pieces(part: u64) -> Option<Vec<Length>> {
    let all = || lengths(0).chain(lengths(1));
    if let Some(exact) = all().find(|length| length.ticks().0 == part) {
        return Some(vec![exact]);
    }
    all().find_map(|first| {
        let second = all().find(|second| {
            second.tuplet() == first.tuplet()
                && second.ticks() <= first.ticks()
                && first.ticks().0 + second.ticks().0 == part
        })?;
        Some(vec![first, second])
    })
}

/// Returns the length nearest to what cannot be written.
fn nearest(length: Ticks) -> Length {
    let all = lengths(0).chain(lengths(1));
    all.min_by_key(|known| known.ticks().0.abs_diff(length.0)).unwrap_or(Length::QUARTER)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::instrument::neck::{Fret, StringNumber};

    fn note(string: u8) -> Note {
        Note::plain(StringNumber::new(string).unwrap(), Fret::OPEN)
    }

    fn chord(start: u64, length: u64, string: u8) -> TimedChord {
        TimedChord { start: Ticks(start), length: Ticks(length), written: None, notes: vec![note(string)] }
    }

    fn told(bar: &Bar) -> Vec<String> {
        let event = |event: &Event| {
            let tied = event.notes.iter().any(|note| note.join == Some(Join::Tie));
            format!("{}{}{}", if event.is_rest() { "r" } else { "" }, event.length, if tied { "~" } else { "" })
        };
        bar.voices.iter().map(|voice| voice.0.iter().map(event).collect::<Vec<_>>().join(" ")).collect()
    }

    const WHOLE: u64 = Ticks::WHOLE.0;

    fn written(chords: Vec<TimedChord>) -> WrittenBars {
        write(chords, Ticks::ZERO, &[(Ticks::ZERO, Meter::COMMON)], &[])
    }

    #[test]
    fn a_bar_line_cuts_a_note_into_tied_ones() {
        let written = written(vec![chord(0, WHOLE * 5 / 8, 1), chord(WHOLE * 5 / 8, WHOLE / 2, 1)]);
        let bars: Vec<_> = written.bars.iter().map(told).collect();
        assert_eq!(bars, [["1/2~ 1/8 1/4.~"], ["1/8 r1/2. r1/8"]]);
        assert!(written.inexact.is_empty());
    }

    #[test]
    fn what_overlaps_takes_two_voices_the_lower_strings_the_second() {
        let written = written(vec![chord(0, WHOLE, 6), chord(WHOLE / 4, WHOLE / 4, 1)]);
        assert_eq!(told(&written.bars[0]), ["r1/4 1/4 r1/2", "1/1"]);
    }

    #[test]
    fn a_third_voice_is_written_shorter_and_rings_on() {
        // The notes of the first example of RP-001: three that start apart and end together.
        let written =
            written(vec![chord(0, WHOLE, 5), chord(WHOLE / 4, WHOLE * 3 / 4, 2), chord(WHOLE / 2, WHOLE / 2, 1)]);
        assert_eq!(written.shortened, 1);
        assert_eq!(told(&written.bars[0]), ["r1/4 1/4 1/2", "1/1"]);
        let second = &written.bars[0].voices[0].0[1].notes[0];
        assert_eq!(second.techniques, [Technique::LetRing]);
    }

    proptest! {
        #[test]
        fn every_voice_fills_its_bars(
            steps in proptest::collection::vec((0..5u64, 1..30u64, 1..7u8), 1..20),
            grid in prop::sample::select(vec![32u64, 24]),
            beats in 2..8u8,
        ) {
            let mut at = 0;
            let chords: Vec<TimedChord> = steps
                .into_iter()
                .map(|(gap, length, string)| {
                    at += gap * WHOLE / grid;
                    chord(at, length * WHOLE / grid, string)
                })
                .collect();
            let sounding: u64 = chords.iter().map(|chord| chord.end().0).max().unwrap();
            let meter = Meter::new(beats, NoteValue::Quarter).unwrap();
            let written = write(chords, Ticks::ZERO, &[(Ticks::ZERO, meter)], &[]);
            prop_assert!(written.inexact.is_empty());
            for bar in &written.bars {
                for voice in &bar.voices {
                    prop_assert_eq!(voice.ticks(), meter.ticks());
                }
            }
            prop_assert_eq!(written.bars.len() as u64, sounding.div_ceil(meter.ticks().0));
        }
    }
}
