//! Equal notes stand at equal distances also where a second voice, chord names or words stand between them.

use std::collections::{BTreeMap, BTreeSet};

use proptest::collection::vec;
use proptest::prelude::*;

use super::tests::{ev, labels, n, named, passage, saying};
use super::time_scale::greatest_common_divisor;
use super::*;
use crate::lesson::music::{Bar, Event, Voice};
use crate::lesson::time::Ticks;
use crate::tab::style::{TabSpacing, TabStyle};
use crate::text::charset::Charset;

/// Names as long as a line has room for over one bar of eighths.
const NAMES: [&str; 4] = ["G", "Am7", "Cmaj7", "F#m7b5"];

/// Fills a bar of 4/4 with these lengths, as far as they fit, and the last one with quarters and eighths.
fn filling(lengths: &[&str]) -> Vec<String> {
    let mut left = Ticks::WHOLE.0;
    let mut taken = Vec::new();
    for length in lengths.iter().copied().chain(["1/4"; 4]).chain(["1/8"; 8]) {
        let ticks = ev(length, &[]).length.ticks().0;
        if ticks <= left {
            left -= ticks;
            taken.push(length.to_owned());
        }
    }
    taken
}

fn any_rhythm() -> impl Strategy<Value = Vec<String>> {
    let length = prop_oneof![4 => Just("1/4"), 3 => Just("1/8"), 2 => Just("1/2"), 1 => Just("1/4.")];
    vec(length, 0..8).prop_map(|lengths| filling(&lengths))
}

/// Returns a bar of an upper and a lower voice; names and words stand over notes of the upper one, the lower shares a column
/// with it or stands beside.
fn any_bar() -> impl Strategy<Value = Bar> {
    let over = vec((0u8..12, 0usize..NAMES.len(), any::<bool>()), 8);
    (any_rhythm(), any_rhythm(), over, any::<bool>()).prop_map(|(upper, lower, over, apart)| {
        let high = |(length, (fret, name, words)): (&String, &(u8, usize, bool))| {
            let event = ev(length, &[n(2, *fret)]);
            match fret {
                0..3 => named(event, NAMES[*name]),
                3 if *words => saying(event, "let it breathe"),
                _ => event,
            }
        };
        let upper: Vec<Event> = upper.iter().zip(&over).map(high).collect();
        let low = |length: &String| ev(length, &[n(if apart { 2 } else { 6 }, 3)]);
        Bar { voices: vec![Voice(upper), Voice(lower.iter().map(low).collect())], ..Bar::default() }
    })
}

/// A bar and a voice of it, and for each of its notes how long it lasts and how far the next one stands from it.
type VoiceDistances = ((usize, usize), Vec<(Ticks, usize)>);

/// Returns for each bar and voice how long each note lasts, and how far the next one stands from it, as long as it stands in the
/// same line. A note of the lower voice counts where it shares its column.
fn distances(bars: &[Bar], style: &TabStyle) -> Vec<VoiceDistances> {
    let laid_out = lay_out(&passage(bars.to_vec()), &labels(), style);
    let mut found = Vec::new();
    for (index, bar) in bars.iter().enumerate() {
        for (voice, line) in bar.voices.iter().enumerate() {
            let mut of_voice = Vec::new();
            for map in &laid_out.maps {
                let here = || map.events.iter().filter(|event| event.bar == index);
                // Notes that begin together stand at one place, that of the first.
                let at = |start| here().filter(|event| event.start == start).map(|event| event.column).min();
                let own: Vec<_> = here().filter(|event| event.voice == voice).collect();
                for pair in own.windows(2) {
                    let columns = at(pair[0].start).zip(at(pair[1].start));
                    let (from, to) = columns.expect("both stand in this line");
                    of_voice.push((line.0[pair[0].event].length.ticks(), to - from));
                }
            }
            found.push(((index, voice), of_voice));
        }
    }
    found
}

/// Returns whether notes that last equally long stand at equal distances.
fn are_even(notes: &[(Ticks, usize)]) -> bool {
    notes.iter().all(|(length, distance)| notes.iter().all(|(other, far)| other != length || far == distance))
}

/// Two rhythms of one bar: straight ones down to sixteenths, or triplets against quarters and eighths.
fn any_short_rhythms() -> impl Strategy<Value = (Vec<String>, Vec<String>)> {
    let rhythm = |lengths: Vec<&'static str>| {
        vec(proptest::sample::select(lengths), 0..16).prop_map(|lengths| filling(&lengths))
    };
    let straight = || rhythm(vec!["1/16", "1/8", "1/8.", "1/4", "1/4.", "1/2"]);
    let triplets = Just(["1/8 3:2"; 12].map(str::to_owned).to_vec());
    prop_oneof![(straight(), straight()), (triplets, rhythm(vec!["1/8", "1/4", "1/2"]))]
}

/// Returns the column of each moment of a bar at which a note starts.
fn starts(bars: &[Bar], bar: usize, style: &TabStyle) -> BTreeMap<u64, usize> {
    let mut found = BTreeMap::new();
    for event in lay_out(&passage(bars.to_vec()), &labels(), style).maps.iter().flat_map(|map| &map.events) {
        if event.bar == bar {
            found.entry(event.start.0).or_insert(event.column);
        }
    }
    found
}

/// Returns the unit that all times from one moment to the next of a bar share, and the shortest of them. Where a voice ends, its next
/// note will start.
fn gaps(voices: &[Voice]) -> (u64, u64) {
    let timed = voices.iter().flat_map(|voice| voice.timed().map(|(tick, _)| tick.0));
    let moments: BTreeSet<u64> = timed.chain(voices.iter().map(|voice| voice.ticks().0)).collect();
    let moments: Vec<u64> = moments.into_iter().collect();
    let apart = || moments.windows(2).map(|pair| pair[1] - pair[0]);
    (apart().fold(0, greatest_common_divisor), apart().min().unwrap_or(0))
}

proptest! {
    /// Lines with room for one bar at least, whatever the names over it are.
    #[test]
    fn equal_notes_of_each_voice_stand_at_equal_distances(bars in vec(any_bar(), 1..4), width in 80usize..180) {
        for style in [TabStyle::filled(width, Charset::Ascii), TabStyle::steady(width, Charset::Ascii)] {
            for (place, notes) in distances(&bars, &style) {
                // Where tab is written, a bar of one voice is spaced by signs and names as well.
                if style.spacing == TabSpacing::Filled || bars[place.0].voices.len() > 1 {
                    prop_assert!(are_even(&notes), "bar and voice {place:?}, {style:?}: {notes:?}");
                }
            }
        }
    }

    /// Short notes, triplets, and frets of two figures, as they stand where tab is written.
    #[test]
    fn short_notes_and_triplets_are_even_where_tab_is_written(
        rhythms in any_short_rhythms(),
        frets in vec(0u8..20, 32),
        width in 80usize..180,
    ) {
        let (upper, lower) = rhythms;
        let voice = |string: u8, lengths: &[String]| {
            let notes = lengths.iter().zip(&frets).map(|(length, fret)| ev(length, &[n(string, *fret)]));
            Voice(notes.collect())
        };
        let bar = Bar { voices: vec![voice(2, &upper), voice(5, &lower)], ..Bar::default() };
        for (place, notes) in distances(&[bar], &TabStyle::steady(width, Charset::Ascii)) {
            prop_assert!(are_even(&notes), "voice {place:?}, {width} columns: {notes:?}");
        }
    }

    /// Two voices written one note after the other, in any order. What stands in the bar stays unless what is written is shorter
    /// than anything from one moment to the next so far, or shares no unit with that; then all of it moves in proportion.
    #[test]
    fn in_a_bar_of_two_voices_what_is_before_moves_only_for_a_shorter_gap(
        written in vec((any::<bool>(), prop_oneof![3 => Just("1/4"), 3 => Just("1/8"), 1 => Just("1/2"), 1 => Just("1/16"), 1 => Just("1/8."), 1 => Just("1/4.")], 0u8..20), 2..20),
        width in 80usize..180,
    ) {
        let style = TabStyle::steady(width, Charset::Ascii);
        let before = Bar { voices: vec![Voice(["1/8", "1/8", "1/4", "1/2"].map(|length| ev(length, &[n(1, 3)])).to_vec())], ..Bar::default() };
        let mut voices = vec![Voice(vec![ev("1/4", &[n(2, 5)])]), Voice(vec![ev("1/4", &[n(5, 3)])])];
        let of = |voices: &[Voice]| {
            let bars = vec![before.clone(), Bar { voices: voices.to_vec(), ..Bar::default() }];
            (starts(&bars, 0, &style), starts(&bars, 1, &style))
        };
        let mut was = of(&voices);
        for (upper, length, fret) in written {
            let (voice, string) = if upper { (0, 2) } else { (1, 5) };
            let event = ev(length, &[n(string, fret)]);
            if voices[voice].ticks().0 + event.length.ticks().0 > Ticks::WHOLE.0 {
                continue;
            }
            let gaps_before = gaps(&voices);
            voices[voice].0.push(event);
            let gaps_now = gaps(&voices);
            let now = of(&voices);
            prop_assert_eq!(&now.0, &was.0, "the bar of one voice before it");
            let column = |start: &u64| now.1[start] - now.1[&0];
            let stays = was.1.iter().all(|(start, at)| column(start) == at - was.1[&0]);
            if !stays {
                prop_assert!(gaps_now < gaps_before, "{gaps_before:?} {gaps_now:?}: {:?} {:?}", was.1, now.1);
            }
            // Everything stands where its time comes.
            let (last, whole) = now.1.iter().next_back().map(|(start, _)| (*start, column(start))).unwrap();
            let timely = now.1.keys().all(|start| column(start) as u64 * last == whole as u64 * start);
            prop_assert!(timely, "{:?}", now.1);
            was = now;
        }
    }

    /// Each name stands over its note, with a space before the next; a bar line stands behind the last of a bar.
    #[test]
    fn names_never_run_into_each_other(bars in vec(any_bar(), 1..4), width in 40usize..180) {
        let laid_out = lay_out(&passage(bars.clone()), &labels(), &TabStyle::filled(width, Charset::Ascii));
        for (system, map) in laid_out.text.systems.iter().zip(&laid_out.maps) {
            let written = map.names.map_or("", |line| system.lines[line].as_str());
            let mut expected = String::new();
            for place in &map.events {
                let event = &bars[place.bar].voices[place.voice].0[place.event];
                let Some(name) = &event.chord else { continue };
                prop_assert!(expected.len() < place.column, "{}", system.lines.join("\n"));
                expected = format!("{expected:0$}{name}", place.column);
            }
            prop_assert_eq!(written, expected);
        }
    }
}

/// Returns the column of each note of the upper voice of one bar.
fn bar_on_paper(upper: Vec<Event>, lower: Vec<Event>, width: usize) -> Vec<usize> {
    let voices = if lower.is_empty() { vec![Voice(upper)] } else { vec![Voice(upper), Voice(lower)] };
    let bars = vec![Bar { voices, ..Bar::default() }];
    let map = lay_out(&passage(bars), &labels(), &TabStyle::filled(width, Charset::Ascii)).maps.remove(0);
    map.events.iter().filter(|event| event.voice == 0).map(|event| event.column).collect()
}

fn apart(columns: &[usize]) -> Vec<usize> {
    columns.windows(2).map(|pair| pair[1] - pair[0]).collect()
}

/// Quarters over halves on the same string, which stand beside them, as in a bass that is played twice.
#[test]
fn a_second_voice_beside_the_first_parts_no_quarters() {
    let quarters = || [0, 4, 7, 0].map(|fret| ev("1/4", &[n(6, fret)])).to_vec();
    let lower = || [0, 5].map(|fret| ev("1/2", &[n(6, fret)])).to_vec();
    let columns = bar_on_paper(quarters(), lower(), 40);
    assert!(apart(&columns).windows(2).all(|pair| pair[0] == pair[1]), "{columns:?}");
}

/// A name of seven letters over an eighth: the eighths behind it have no name, so the bar is no wider than its notes need.
#[test]
fn a_long_name_hangs_over_notes_without_one() {
    let eighths = |names: [Option<&str>; 8]| -> Vec<Event> {
        names.map(|name| name.map_or(ev("1/8", &[n(2, 5)]), |name| named(ev("1/8", &[n(2, 5)]), name))).to_vec()
    };
    let least = |names| {
        let even = |width: &usize| {
            let apart = apart(&bar_on_paper(eighths(names), Vec::new(), *width));
            apart.len() == 7 && apart.windows(2).all(|pair| pair[0] == pair[1])
        };
        (24..200).find(even)
    };
    let names = [Some("Cmaj7#5"), None, None, Some("G"), None, None, None, None];
    // The bar line with its column at both ends, and three columns for each eighth: the name and the space behind it take eight.
    assert_eq!(least(names), Some(4 + 8 * 3));
    // Where the next name begins under it, all eighths make room.
    assert!(least([Some("Cmaj7#5"), Some("G"), None, None, None, None, None, None]) > Some(4 + 8 * 7));
}

/// Quarters over the eighths of a bass: those that are cut in two are no wider than their neighbours where tab is written.
#[test]
fn a_quarter_that_the_other_voice_cuts_in_two_is_no_wider_than_its_neighbour() {
    let upper = Voice([3, 5, 7, 5].map(|fret| ev("1/4", &[n(1, fret)])).to_vec());
    let lower = Voice(["1/8", "1/8", "1/4", "1/2"].map(|length| ev(length, &[n(6, 3)])).to_vec());
    let bars = vec![Bar { voices: vec![upper, lower], ..Bar::default() }];
    for width in [80, 100, 120, 200] {
        let found = distances(&bars, &TabStyle::steady(width, Charset::Ascii));
        let quarters: Vec<usize> = found[0].1.iter().map(|(_, distance)| *distance).collect();
        assert_eq!(quarters, [12, 12, 12], "{width}");
    }
}
