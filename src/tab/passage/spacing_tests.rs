//! Equal notes stand at equal distances, and what is written stays in its place.

use proptest::collection::vec;
use proptest::prelude::*;

use super::tests::{bar, ev, labels, n, passage, to, with};
use super::*;
use crate::lesson::music::{Bar, Event, Join, Note, Technique};
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

fn notes(length: &str, notes: &[Note]) -> Vec<Event> {
    notes.iter().map(|note| ev(length, std::slice::from_ref(note))).collect()
}

proptest! {
    /// Two bars of equal notes on a wide line, whatever the frets are.
    #[test]
    fn equal_notes_stand_at_equal_distances(
        kind in 0usize..4,
        frets in vec(any_note(), 32),
        width in 110usize..160,
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

/// Sixteenths keep their place as well as long as their frets have one figure; a wider sign moves all of the bar apart, once.
#[test]
fn sixteenths_stay_where_they_are_until_a_wide_sign_needs_room() {
    let columns = |frets: &[u8]| {
        let written: Vec<Note> = frets.iter().map(|fret| n(1, *fret)).collect();
        places(vec![bar(notes("1/16", &written))], TabStyle::steady(76, Charset::Ascii)).remove(0)
    };
    let narrow = columns(&[5, 7, 8, 5, 7]);
    assert_eq!(narrow[..4], columns(&[5, 7, 8, 5])[..]);
    assert_eq!(distances(&narrow), [2; 4]);
    assert_eq!(distances(&columns(&[5, 7, 12, 5, 7])), [3; 4]);
}

/// Where a line has no room for all to be alike, nothing runs into each other and no line is too wide.
#[test]
fn bars_without_the_room_are_squeezed() {
    let wide: Vec<Note> =
        (0..16).map(|place| if place % 5 == 0 { to(n(1, 12), Join::SlideAndPick) } else { n(1, 9) }).collect();
    for style in [TabStyle::filled(60, Charset::Ascii), TabStyle::steady(60, Charset::Ascii)] {
        let text = render(&passage(vec![bar(notes("1/16", &wide))]), &labels(), &style);
        let lines = text.systems.iter().flat_map(|system| &system.lines);
        assert!(lines.clone().all(|line| line.len() <= 60), "{text:?}");
        assert!(lines.clone().any(|line| line.contains("-12S9-")), "{text:?}");
    }
}
