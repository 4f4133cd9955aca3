//! Equal notes stand at equal distances, and what is written stays in its place.

use proptest::collection::vec;
use proptest::prelude::*;

use super::tests::{bar, ev, labels, n, passage, to, with};
use super::*;
use crate::lesson::music::{Bar, BendAmount, Event, Join, Note, Technique};
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;

/// Returns the column of each event of each bar, with the system it is in.
fn places(bars: Vec<Bar>, style: TabStyle) -> Vec<Vec<(usize, usize)>> {
    let mut places = vec![Vec::new(); bars.len()];
    for (system, map) in lay_out(&passage(bars), &labels(), &style).maps.iter().enumerate() {
        for event in &map.events {
            places[event.bar].push((system, event.column));
        }
    }
    places
}

/// Returns the distances within a bar.
fn distances(bar: &[(usize, usize)]) -> Vec<usize> {
    bar.windows(2).map(|pair| pair[1].1 - pair[0].1).collect()
}

/// A note that a player writes most often: any fret, hammered or dead now and then.
fn any_note() -> impl Strategy<Value = Note> {
    (1u8..=6, 0u8..=15, 0u8..6).prop_map(|(string, fret, kind)| match kind {
        0 => to(n(string, fret), Join::HammerOn),
        1 => with(n(string, fret), &[Technique::Dead]),
        _ => n(string, fret),
    })
}

/// A note with a sign that may be wide: bent, slid, a harmonic, with vibrato.
fn any_wide_note() -> impl Strategy<Value = Note> {
    (1u8..=6, 0u8..=19, 0u8..8).prop_map(|(string, fret, kind)| match kind {
        0 => with(n(string, fret), &[Technique::Bend(BendAmount::HALF)]),
        1 => with(n(string, fret), &[Technique::Bend(BendAmount::FULL), Technique::Vibrato]),
        2 => with(n(string, fret), &[Technique::NaturalHarmonic]),
        3 => to(n(string, fret), Join::SlideAndPick),
        4 => with(n(string, fret), &[Technique::Ghost]),
        _ => n(string, fret),
    })
}

/// Returns the width that a note is written with, on a line that has room for everything.
fn widest_sign(note: &Note) -> usize {
    let passage = passage(vec![bar(vec![ev("1/1", std::slice::from_ref(note))])]);
    let text = render(&passage, &labels(), &TabStyle::filled(90, Charset::Ascii));
    let line = &text.systems[0]
        .lines
        .iter()
        .rev()
        .find(|line| line.contains(|sign: char| sign.is_ascii_digit()) && line.contains('|'));
    line.map_or(0, |line| line.chars().skip(3).filter(|sign| !"-| ".contains(*sign)).count())
}

fn notes(length: &str, notes: &[Note]) -> Vec<Event> {
    notes.iter().map(|note| ev(length, std::slice::from_ref(note))).collect()
}

proptest! {
    /// Two bars of equal notes on lines that have room for one of them at least, whatever the frets are.
    #[test]
    fn equal_notes_stand_at_equal_distances(
        kind in 0usize..4,
        frets in vec(any_note(), 32),
        width in 60usize..160,
    ) {
        let (length, count) = [("1/4", 4), ("1/8", 8), ("1/16", 16), ("1/8 3:2", 12)][kind];
        let bars = || vec![bar(notes(length, &frets[..count])), bar(notes(length, &frets[count..2 * count]))];
        for style in [TabStyle::filled(width, Charset::Ascii), TabStyle::steady(width, Charset::Ascii)] {
            for bar in places(bars(), style) {
                let distances = distances(&bar);
                prop_assert!(distances.windows(2).all(|pair| pair[0] == pair[1]), "{style:?}: {distances:?}");
            }
        }
    }

    /// Signs of any width on paper: where a bar is uneven, its widest distance as often as it has notes is too wide for a line.
    #[test]
    fn a_bar_on_paper_is_uneven_only_where_it_is_too_wide_for_a_line(
        kind in 0usize..3,
        written in vec(any_wide_note(), 48),
        width in 50usize..170,
    ) {
        let (length, count) = [("1/4", 4), ("1/8", 8), ("1/16", 16)][kind];
        let bars: Vec<Bar> = written.chunks(count).take(3).map(|notes_of| bar(notes(length, notes_of))).collect();
        let apart = |column: &[(usize, usize)]| column.windows(2).all(|pair| pair[0].0 == pair[1].0);
        for (place, bar) in places(bars.clone(), TabStyle::filled(width, Charset::Ascii)).iter().enumerate() {
            if !apart(bar) {
                // It goes on in another line.
                continue;
            }
            let found = distances(bar);
            if found.windows(2).any(|pair| pair[0] != pair[1]) {
                // The width that the widest sign of this bar needs, by a bar of this alone on an endless line.
                let widest = bars[place].voices[0].0.iter().map(|event| widest_sign(&event.notes[0])).max().unwrap();
                prop_assert!((widest + 1) * count + 4 > width - 8, "{found:?}: {widest} {count} times in {width}");
            }
        }
    }

    /// Whatever is typed: no note moves what stands before it, unless a line must break.
    #[test]
    fn nothing_moves_what_stands_before_it(
        written in vec((prop_oneof![Just("1/4"), Just("1/8"), Just("1/2"), Just("1/16"), Just("1/8 3:2"), Just("1/8.")], any_wide_note()), 1..40),
        width in 40usize..170,
    ) {
        let mut bars = vec![Vec::new()];
        let mut before: Vec<Vec<(usize, usize)>> = Vec::new();
        for (length, note) in written {
            let event = ev(length, &[note]);
            let last = bars.len() - 1;
            let filled: u64 = bars[last].iter().map(|event: &Event| event.length.ticks().0).sum();
            if filled + event.length.ticks().0 > crate::lesson::time::Ticks::WHOLE.0 {
                bars.push(Vec::new());
            }
            let last = bars.len() - 1;
            bars[last].push(event);
            let now = places(bars.iter().cloned().map(bar).collect(), TabStyle::steady(width, Charset::Ascii));
            for (place, was) in before.iter().enumerate() {
                let now = &now[place][..was.len()];
                // What has to go to another line goes there; what stays in its line stays in its place.
                let first = |places: &[(usize, usize)]| places.first().map(|first| first.0);
                let stays = was.iter().zip(now).all(|(was, now)| was.0 != now.0 || was == now);
                prop_assert!(stays || first(was) != first(now), "bar {}: {was:?} {now:?}", place + 1);
            }
            before = now;
        }
    }

    /// Eighths and quarters of any fret, one after the other as they are typed; a bar that is full stays where it is while
    /// others are written behind it.
    #[test]
    fn what_is_written_stays_in_its_place(
        written in vec((prop_oneof![Just("1/4"), Just("1/8"), Just("1/2")], any_note()), 1..40),
        width in 60usize..140,
    ) {
        let mut bars = vec![Vec::new()];
        let mut before: Vec<Vec<(usize, usize)>> = Vec::new();
        for (length, note) in written {
            let event = ev(length, &[note]);
            let last = bars.len() - 1;
            let filled: u64 = bars[last].iter().map(|event: &Event| event.length.ticks().0).sum();
            if filled + event.length.ticks().0 > crate::lesson::time::Ticks::WHOLE.0 {
                bars.push(Vec::new());
            }
            let last = bars.len() - 1;
            bars[last].push(event);
            let now = places(bars.iter().cloned().map(bar).collect(), TabStyle::steady(width, Charset::Ascii));
            for (place, was) in before.iter().enumerate() {
                // The bar that is being written goes to the next line as a whole where it no longer fits.
                let moved = place + 1 == before.len() && was.first().map(|first| first.0) != now[place].first().map(|first| first.0);
                if !moved {
                    prop_assert_eq!(was.as_slice(), &now[place][..was.len()], "bar {}", place + 1);
                }
            }
            before = now;
        }
    }
}

/// A fret with two figures among sixteenths, a triplet behind quarters, a bend behind eighths: what stands there stays, and equal
/// notes have equal distances all the same.
#[test]
fn what_is_typed_later_moves_nothing_and_is_spaced_alike() {
    let columns = |width: usize, events: &[Event]| {
        places(vec![bar(events.to_vec())], TabStyle::steady(width, Charset::Ascii)).remove(0)
    };
    let bent = with(n(1, 12), &[Technique::Bend(BendAmount::FULL)]);
    for (length, count, later, apart) in [
        ("1/16", 3, ev("1/16", &[n(1, 12)]), 4),
        ("1/8", 3, ev("1/8", &[bent]), 6),
        ("1/4", 2, ev("1/8 3:2", &[n(1, 12)]), 8),
    ] {
        let mut events = notes(length, &vec![n(1, 5); count]);
        let before = columns(76, &events);
        events.push(later.clone());
        events.push(later);
        events.extend(notes(length, &[n(1, 7), n(1, 7)]));
        let after = columns(76, &events);
        assert_eq!(after[..count], before[..], "{length}");
        let equal = &distances(&after)[..count];
        assert!(equal.iter().all(|distance| *distance == apart), "{length}: {equal:?}");
    }
}

/// A sign that is wider than its place is the only thing that parts equal notes where tab is written, and only behind it.
#[test]
fn a_sign_wider_than_its_place_moves_what_stands_behind_it_alone() {
    let wide = with(n(1, 12), &[Technique::NaturalHarmonic]);
    let events = notes("1/16", &[n(1, 5), n(1, 7), wide, n(1, 5), n(1, 7), n(1, 5)]);
    let columns = places(vec![bar(events)], TabStyle::steady(76, Charset::Ascii)).remove(0);
    assert_eq!(distances(&columns), [4, 4, 5, 4, 4]);
}

/// Where a line has no room for all to be alike, nothing runs into each other and no line is too wide: on paper notes stand closer
/// together, where tab is written the bar goes on in another line.
#[test]
fn bars_without_the_room_are_squeezed_or_go_on() {
    let wide: Vec<Note> =
        (0..16).map(|place| if place % 5 == 0 { to(n(1, 12), Join::SlideAndPick) } else { n(1, 9) }).collect();
    for style in [TabStyle::filled(60, Charset::Ascii), TabStyle::steady(60, Charset::Ascii)] {
        let text = render(&passage(vec![bar(notes("1/16", &wide))]), &labels(), &style);
        let lines = text.systems.iter().flat_map(|system| &system.lines);
        assert!(lines.clone().all(|line| line.len() <= 60), "{text:?}");
        assert!(lines.clone().any(|line| line.contains("-12S9-")), "{text:?}");
    }
}
