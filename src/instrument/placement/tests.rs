//! The search against trying everything, and fingers against trying every finger.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::board::{FINGERS, LineBoard, StringSpot};
use super::broken::BrokenChords;
use super::bundles::HeldSpots;
use super::candidates::{Frame, HandState, Onset, PressedFinger, add_states};
use super::grip::{Laid, MOST, StoppedNote, barre, grip};
use super::hints::Hints;
use super::layers::{Kind, Layer, LayerLink, LayerNote, layers};
use super::line::{Follows, Joined, Limits, Milliseconds, Slice, Wanted};
use super::moves::{Hurry, MoveCosts, Whence};
use super::place;
use super::repeats::Repeats;
use super::runs::{WideRuns, open_runs};
use super::shuffle::Shuffles;
use super::weights::weights;
use crate::instrument::body::{Instrument, Millimetres, ShortString};
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::rig::Rig;
use crate::theory::pitch::MidiNote;

/// Returns rigs with small necks: standard, re-entrant, in fifths, in unisons, with a short string, with capos.
fn small_rigs() -> Vec<Rig> {
    let rig = |notes: &str, frets: u8, scale: f64, capo: Option<&str>, short: Option<(u8, u8)>| {
        let tuning: crate::instrument::tuning::Tuning = notes.parse().unwrap();
        let short = short.map(|(string, starts_at)| ShortString {
            string: StringNumber::new(string).unwrap(),
            starts_at: Fret::new(starts_at).unwrap(),
        });
        let strings = u8::try_from(tuning.strings().len()).unwrap();
        let frets = Fret::new(frets).unwrap();
        let body = Instrument { name: "small".to_owned(), strings, frets, scale: Millimetres(scale), short };
        Rig::new(body, tuning, capo.map(|capo| capo.parse().unwrap())).unwrap()
    };
    vec![
        rig("D3 G3 B3 E4", 7, 648.0, None, None),
        rig("G4 C4 E4 A4", 6, 350.0, None, None),
        rig("G3 D4 A4", 8, 350.0, None, None),
        rig("E4 E4 E4", 6, 648.0, None, None),
        rig("G4 D3 G3 B3", 7, 667.0, None, Some((4, 3))),
        rig("D3 G3 B3 E4", 9, 648.0, Some("2"), None),
        rig("D3 G3 B3 E4", 7, 648.0, Some("2 on 4 3"), None),
        rig("E1 A1 D2", 7, 864.0, None, None),
    ]
}

/// Returns a line of notes that `rig` has; overlapping, some joined to a note of the slice before.
fn small_line(rig: &Rig, asked: &[Vec<(u8, u8)>], gaps: &[u8]) -> Vec<Slice> {
    let has: Vec<MidiNote> = (0..=127).filter_map(MidiNote::new).filter(|note| !rig.places(*note).is_empty()).collect();
    let mut start = 0;
    let mut line: Vec<Slice> = Vec::new();
    for (slice, gap) in asked.iter().zip(gaps) {
        let mut notes: Vec<Wanted> = Vec::new();
        for (pick, kind) in slice {
            let note = has[usize::from(*pick) % has.len()];
            let length = [100, 250, 600, 900][usize::from(*kind) % 4];
            let mut wanted = Wanted::pitch(note, Milliseconds(length));
            let before = line.last().is_some_and(|before| !before.notes.is_empty());
            if before && notes.is_empty() && *kind % 5 == 0 {
                let how = if *kind % 2 == 0 { Joined::Legato } else { Joined::Slide };
                wanted.follows = Some(Follows { slice: line.len() - 1, note: 0, how });
            }
            notes.push(wanted);
        }
        line.push(Slice { start: Milliseconds(start), notes });
        start += u64::from(*gap) * 50;
    }
    line
}

/// Returns every way to play `items`, found without any pruning.
fn every_state(board: &LineBoard<'_>, items: &[LayerNote]) -> Vec<HandState> {
    let mut spreads = vec![[StringSpot::default(); MOST]];
    for (place, item) in items.iter().enumerate() {
        let mut options = board.spots(item.wanted.target, item.wanted.pin, item.wanted.touch);
        if item.kind == Kind::Held {
            options.push(StringSpot::default());
        }
        let mut extended = Vec::new();
        for spread in &spreads {
            for option in &options {
                let taken = spread.iter().take(place).any(|spot| spot.string == option.string && !option.is_silent());
                if !taken {
                    let mut spread = *spread;
                    spread[place] = *option;
                    extended.push(spread);
                }
            }
        }
        spreads = extended;
    }
    let mut states = Vec::new();
    for spread in &spreads {
        add_states(board, items, spread, Onset::Together, &mut states);
    }
    states
}

/// Returns the cheapest of all paths; `None` where some layer cannot be played.
fn by_trying_everything(rig: &Rig, line: &[Slice]) -> Option<u64> {
    let board = LineBoard::new(rig, Limits::NONE, weights());
    let mut layers = layers(line, rig.tuning().strings().len());
    open_runs(&board, &mut layers);
    let moves = MoveCosts::new(&board);
    let broken = BrokenChords::of(&board, &layers, &Hints::default());
    let runs = WideRuns::of(&board, &layers);
    let shuffles = Shuffles::of(&layers);
    let repeats = Repeats::of(&board, &layers, &broken);
    // The last state of every path, not only of the best one to each state, how the notes that come back were played on
    // it, bit for bit by their slots, and its sum.
    let mut paths: Vec<((usize, usize), u64)> = vec![];
    let mut before: Vec<HandState> = vec![];
    for (index, layer) in layers.iter().enumerate() {
        let mut states = every_state(&board, &layer.items);
        if let Some(chord) = broken.at(index) {
            broken.add_states(&board, chord, &layer.items, &mut states);
        }
        runs.add_states(&board, index, &mut states);
        shuffles.weigh(&board, index, &layer.items, &mut states);
        if paths.len() * states.len() > 400_000 {
            paths = cheapest_to_each(&paths);
        }
        let mut extended = Vec::new();
        for (place, state) in states.iter().enumerate() {
            let begins = |past: usize| match repeats.begins(index) {
                Some(slot) => past & !(1 << slot) | usize::from(state.is_open) << slot,
                None => past,
            };
            if index == 0 {
                extended.push(((place, begins(0)), u64::from(state.cost)));
            }
            for ((from, past), sum) in &paths {
                let hurry = Hurry::after(&layers[index - 1], &board);
                let back = repeats.ends(index).map_or(0, |slot| repeats.moved_back(past >> slot & 1 == 1, state));
                let past = repeats.ends(index).map_or(*past, |slot| past & !(1 << slot));
                if let Some(step) = moves.step(&before[*from], state, hurry, &layer.items) {
                    extended.push(((place, begins(past)), sum + step + back + u64::from(state.cost)));
                }
            }
        }
        (paths, before) = (extended, states);
    }
    paths.iter().map(|(_, sum)| *sum).min()
}

/// Returns the cheapest path to each state with each past, where there are too many paths to try: what comes later sees
/// nothing else.
fn cheapest_to_each(paths: &[((usize, usize), u64)]) -> Vec<((usize, usize), u64)> {
    let mut best: BTreeMap<(usize, usize), u64> = BTreeMap::new();
    for (end, sum) in paths {
        best.entry(*end).and_modify(|known| *known = (*known).min(*sum)).or_insert(*sum);
    }
    best.into_iter().collect()
}

/// Returns the cheapest fingers among all that obey the rules, found by trying every finger on every note.
fn fingers_by_trying_everything(
    board: &LineBoard<'_>,
    position: u8,
    stopped: &[StoppedNote],
    open: u32,
) -> Option<u32> {
    let mut best = None;
    for code in 0..FINGERS.pow(u32::try_from(stopped.len()).unwrap()) {
        let finger = |place: usize| code / FINGERS.pow(u32::try_from(place).unwrap()) % FINGERS;
        let fingers: Vec<usize> = (0..stopped.len()).map(finger).collect();
        // No finger crosses another: they follow each other up the neck, and at one fret across the strings.
        if !fingers.is_sorted() {
            continue;
        }
        // Neighbours in this order are no further apart than two such fingers can be.
        let apart = |place: usize| {
            board.between((fingers[place], stopped[place].wire), (fingers[place + 1], stopped[place + 1].wire))
        };
        if !(0..stopped.len().saturating_sub(1)).all(apart) {
            continue;
        }
        let mut sum = Some(0);
        for finger in 0..FINGERS {
            let under: Vec<&StoppedNote> =
                stopped.iter().zip(&fingers).filter(|(_, used)| **used == finger).map(|(note, _)| note).collect();
            let Some(first) = under.first() else { continue };
            let (low, high) =
                under.iter().fold((13, 0), |(low, high), note| (note.string.min(low), note.string.max(high)));
            let one_fret = under.iter().all(|note| note.wire == first.wire);
            let lies_over = |string: u8| string > low && string < high;
            let silences = (1..13).any(|string| lies_over(string) && open & (1 << string) != 0)
                || stopped.iter().any(|note| lies_over(note.string) && note.wire < first.wire);
            let own = board.finger_in_chord(position, first.wire, finger);
            let is_silent =
                |string: &u8| open & (1 << *string) == 0 && stopped.iter().all(|note| note.string != *string);
            let damped = (low..high).filter(is_silent).count() as u8;
            let laid =
                Laid { notes: under.len(), strings: high - low + 1, damped, alone: under.len() == stopped.len() };
            let flat = if under.len() > 1 { barre(board, finger, laid) } else { Some(0) };
            let legal = one_fret && !silences;
            sum = sum.zip(own.filter(|_| legal)).zip(flat).map(|((sum, own), flat)| sum + own + flat);
        }
        best = match (best, sum) {
            (Some(best), Some(sum)) => Some(std::cmp::min::<u32>(best, sum)),
            (best, sum) => best.or(sum),
        };
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn the_search_finds_what_trying_everything_finds(
        which in 0..8usize,
        asked in proptest::collection::vec(proptest::collection::vec((any::<u8>(), any::<u8>()), 1..3), 1..4),
        gaps in proptest::collection::vec(1..20u8, 4),
    ) {
        let rig = &small_rigs()[which];
        let line = small_line(rig, &asked, &gaps);
        let found = place(rig, &line, Limits::NONE);
        let tried = by_trying_everything(rig, &line);
        prop_assert_eq!(found.as_ref().ok().map(|placement| placement.cost), tried, "{:?}", found);
    }

    // Broken chords have states of their own.
    #[test]
    fn the_search_finds_the_cheapest_way_through_broken_chords(
        which in 0..8usize,
        lowest in any::<u8>(),
        steps in proptest::collection::vec((0..5u8, any::<u8>()), 4..7),
        gaps in proptest::collection::vec(1..20u8, 7),
    ) {
        let rig = &small_rigs()[which];
        // Thirds above each other, over and over; a kind that joins nothing.
        let note = |(third, kind): &(u8, u8)| vec![(lowest.saturating_add(4 * third), kind % 4 + 1)];
        let asked: Vec<Vec<(u8, u8)>> = steps.iter().map(note).collect();
        let line = small_line(rig, &asked, &gaps);
        let found = place(rig, &line, Limits::NONE);
        let tried = by_trying_everything(rig, &line);
        prop_assert_eq!(found.as_ref().ok().map(|placement| placement.cost), tried, "{:?}", found);
    }

    // Notes at one pitch at once: which of them lies where matters as soon as something hangs on one of them.
    #[test]
    fn the_search_finds_the_cheapest_way_to_play_unisons(
        which in 0..8usize,
        lowest in any::<u8>(),
        asked in proptest::collection::vec(proptest::collection::vec((0..3u8, any::<u8>()), 1..4), 1..4),
        gaps in proptest::collection::vec(1..20u8, 4),
    ) {
        let rig = &small_rigs()[which];
        let above = |(pick, kind): &(u8, u8)| (lowest.saturating_add(*pick / 2), *kind);
        let asked: Vec<Vec<(u8, u8)>> = asked.iter().map(|slice| slice.iter().map(above).collect()).collect();
        let line = small_line(rig, &asked, &gaps);
        let found = place(rig, &line, Limits::NONE);
        let tried = by_trying_everything(rig, &line);
        prop_assert_eq!(found.as_ref().ok().map(|placement| placement.cost), tried, "{:?}", found);
    }

    #[test]
    fn no_fingers_are_cheaper_than_those_found(
        which in 0..8usize,
        position in 1..7u8,
        notes in proptest::collection::btree_map(1..7u8, 1..9u8, 1..6),
        open in 0..128u32,
    ) {
        let rig = &small_rigs()[which];
        let board = LineBoard::new(rig, Limits::NONE, weights());
        let mut stopped: Vec<StoppedNote> = notes.iter().map(|(string, wire)| StoppedNote { wire: *wire, string: *string }).collect();
        stopped.sort_by_key(|note| (note.wire, u8::MAX - note.string));
        let open = notes.keys().fold(open & !1, |open, string| open & !(1 << string));
        let found = grip(&board, position, &stopped, open).map(|(cost, _)| cost);
        prop_assert_eq!(found, fingers_by_trying_everything(&board, position, &stopped, open));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    // Wide runs have states of their own.
    #[test]
    fn the_search_finds_the_cheapest_way_through_wide_runs(
        steps in proptest::collection::vec(1..4u8, 9..12),
        falls in any::<bool>(),
    ) {
        let rig = &small_rigs()[0];
        let mut notes: Vec<u8> = steps.iter().scan(50, |note, step| { *note += step; Some(*note) }).collect();
        prop_assume!(notes.last().is_some_and(|last| *last <= 71));
        if falls {
            notes.reverse();
        }
        let line = even_line(&notes, 80);
        let found = place(rig, &line, Limits::NONE);
        let tried = by_trying_everything(rig, &line);
        prop_assert_eq!(found.as_ref().ok().map(|placement| placement.cost), tried, "{:?}", found);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    // What was played before a note comes back is remembered, of two of them at once.
    #[test]
    fn the_search_finds_the_cheapest_way_through_notes_that_come_back(
        which in 0..2usize,
        picks in proptest::collection::vec(0..5usize, 5..9),
        ms in 80..500u64,
    ) {
        let rig = &small_rigs()[which];
        let notes: Vec<u8> = picks.iter().map(|pick| [64, 65, 67, 69, 71][*pick]).collect();
        let line = even_line(&notes, ms);
        let found = place(rig, &line, Limits::NONE);
        let tried = by_trying_everything(rig, &line);
        prop_assert_eq!(found.as_ref().ok().map(|placement| placement.cost), tried, "{:?}", found);
    }
}

#[test]
fn a_note_comes_back_within_a_phrase_and_where_it_can_be_open() {
    let rig = &small_rigs()[0];
    let board = LineBoard::new(rig, Limits::NONE, weights());
    let found = |notes: &[u8], ms: u64| -> Vec<(usize, usize)> {
        let layers = layers(&even_line(notes, ms), 4);
        let broken = BrokenChords::of(&board, &layers, &Hints::default());
        let repeats = Repeats::of(&board, &layers, &broken);
        let end = |from: usize, slot| (from + 1..layers.len()).find(|layer| repeats.ends(*layer) == Some(slot));
        (0..layers.len()).filter_map(|from| Some((from, end(from, repeats.begins(from)?)?))).collect()
    };
    // E4 F4 G4 A4 E4: only E4 lies on an open string.
    assert_eq!(found(&[64, 65, 67, 69, 64], 250), [(0, 4)]);
    assert_eq!(found(&[65, 64, 67, 65], 250), []);
    assert_eq!(found(&[64, 62, 64, 59, 64, 59], 250), [(0, 2), (2, 4), (3, 5)]);
    // At once again it stays anyway; too late, and after a long note, it is another phrase.
    assert_eq!(found(&[64, 64], 250), []);
    assert_eq!(found(&[64, 65, 67, 69, 65, 64], 250), []);
    assert_eq!(found(&[64, 65, 64], 900), []);
}

#[test]
fn a_wide_fast_scale_is_a_run_and_nothing_else_is() {
    let rig = &small_rigs()[0];
    let board = LineBoard::new(rig, Limits::NONE, weights());
    let found = |notes: &[u8], ms: u64| -> Vec<bool> {
        let line = even_line(notes, ms);
        let layers = layers(&line, 4);
        let runs = WideRuns::of(&board, &layers);
        (0..layers.len()).map(|layer| runs.has(layer)).collect()
    };
    // D#3 to B4 and back, a note for every key that is white or black in turn: further than one position from D3 to E4.
    let wide = [51, 53, 55, 56, 58, 60, 61, 63, 65, 67, 68, 70];
    assert_eq!(found(&wide, 80), [true; 12]);
    assert_eq!(found(&wide.iter().rev().copied().collect::<Vec<_>>(), 80), [true; 12]);
    // Too slow, within a position, by leaps.
    assert_eq!(found(&wide, 300), [false; 12]);
    assert_eq!(found(&wide[..10], 80), [false; 10]);
    assert_eq!(found(&[51, 55, 58, 62, 65, 70], 80), [false; 6]);
}

#[test]
fn a_note_that_rings_on_keeps_its_string() {
    let rig = &small_rigs()[0];
    let note = |number, length| Wanted::pitch(MidiNote::new(number).unwrap(), Milliseconds(length));
    // D4 lies on two strings that E4 could be played on; it rings through.
    let line: Vec<Slice> = [vec![note(62, 900)], vec![note(64, 300)], vec![note(66, 300)]]
        .into_iter()
        .zip(0..)
        .map(|(notes, at)| Slice { start: Milliseconds(at * 300), notes })
        .collect();
    let placement = place(rig, &line, Limits::NONE).unwrap();
    assert_eq!(placement.let_go, []);
    let strings: Vec<u8> = placement.slices.iter().map(|slice| slice.notes[0].place.string.number()).collect();
    assert!(strings[1] != strings[0] && strings[2] != strings[0], "{strings:?}");
}

#[test]
fn where_strings_are_few_what_has_rung_longest_gives_way() {
    // Four notes ring on one after the other, and a chord of two comes on four strings.
    let note = |number| Wanted::pitch(MidiNote::new(number).unwrap(), Milliseconds(9000));
    let line: Vec<Slice> = [vec![note(50)], vec![note(55)], vec![note(59)], vec![note(64)], vec![note(52), note(67)]]
        .into_iter()
        .zip(0..)
        .map(|(notes, at)| Slice { start: Milliseconds(at * 300), notes })
        .collect();
    assert_eq!(sounding(&line).pop().unwrap(), [4, 4, 3, 2]);
}

#[test]
fn a_broken_chord_is_found_where_one_grip_holds_its_notes() {
    let rig = &small_rigs()[0];
    let board = LineBoard::new(rig, Limits::NONE, weights());
    let found = |notes: &[u8]| -> Vec<bool> {
        let line = joined_line(&notes.iter().map(|note| (*note, 300, None)).collect::<Vec<_>>());
        let layers = layers(&line, 4);
        let broken = BrokenChords::of(&board, &layers, &Hints::default());
        (0..layers.len()).map(|layer| broken.at(layer).is_some()).collect()
    };
    // D3 A3 D4 F#4 and back.
    assert_eq!(found(&[50, 57, 62, 66, 62, 57]), [true; 6]);
    // A scale, and three notes that may be part of a line.
    assert_eq!(found(&[50, 52, 54, 55, 57]), [false; 5]);
    assert_eq!(found(&[50, 57, 62, 64]), [false; 4]);
    // After the chord something else.
    assert_eq!(found(&[50, 57, 62, 57, 59, 60]), [true, true, true, true, false, false]);
}

#[test]
fn what_cannot_ring_on_is_told() {
    let rig = &small_rigs()[0];
    let note = |number, length| Wanted::pitch(MidiNote::new(number).unwrap(), Milliseconds(length));
    // D3 and D#3 lie on one string only.
    let line = [
        Slice { start: Milliseconds(0), notes: vec![note(50, 900)] },
        Slice { start: Milliseconds(300), notes: vec![note(51, 300)] },
    ];
    let placement = place(rig, &line, Limits::NONE).unwrap();
    assert_eq!(placement.let_go.iter().map(|let_go| (let_go.spot.slice, let_go.at)).collect::<Vec<_>>(), [(0, 1)]);
}

/// Returns a line of single notes, each `ms` long.
fn even_line(notes: &[u8], ms: u64) -> Vec<Slice> {
    let wanted = |note: u8| Wanted::pitch(MidiNote::new(note).unwrap(), Milliseconds(ms));
    let slice = |(at, note): (u64, &u8)| Slice { start: Milliseconds(at * ms), notes: vec![wanted(*note)] };
    (0..).zip(notes).map(slice).collect()
}

/// Returns a line of single notes, each with the slice of the one it is joined to, 300 ms apart.
fn joined_line(notes: &[(u8, u64, Option<usize>)]) -> Vec<Slice> {
    let slice = |(at, (number, length, joined)): (u64, &(u8, u64, Option<usize>))| {
        let mut wanted = Wanted::pitch(MidiNote::new(*number).unwrap(), Milliseconds(*length));
        wanted.follows = joined.map(|slice| Follows { slice, note: 0, how: Joined::Legato });
        Slice { start: Milliseconds(at * 300), notes: vec![wanted] }
    };
    (0..).zip(notes).map(slice).collect()
}

/// Returns the slices whose notes sound in each layer.
fn sounding(line: &[Slice]) -> Vec<Vec<usize>> {
    layers(line, 4).iter().map(|layer| layer.items.iter().map(|item| item.spot.slice).collect()).collect()
}

#[test]
fn a_note_ends_where_another_is_joined_to_it_however_long_it_was_to_ring() {
    let line = |length| joined_line(&[(57, length, None), (59, 300, Some(0)), (62, 300, None)]);
    assert_eq!(sounding(&line(900)), [[0], [1], [2]]);
    // If it rang on, it would keep its string from the very note that follows on it.
    let cost = |length| place(&small_rigs()[0], &line(length), Limits::NONE).unwrap().cost;
    assert_eq!(cost(900), cost(300));
}

#[test]
fn a_note_that_another_is_joined_to_later_keeps_its_string_until_then() {
    let line = joined_line(&[(57, 100, None), (64, 300, None), (59, 300, Some(0)), (62, 300, None)]);
    assert_eq!(sounding(&line), [vec![0], vec![1, 0], vec![2], vec![3]]);
    let placed = place(&small_rigs()[0], &line, Limits::NONE).unwrap().slices;
    let string = |slice: usize| placed[slice].notes[0].place.string;
    assert!(string(0) == string(2) && string(1) != string(0), "{placed:?}");
}

#[test]
fn of_two_notes_at_one_pitch_either_may_be_slid_from() {
    let rig = &small_rigs()[0];
    let note = |number, length| Wanted::pitch(MidiNote::new(number).unwrap(), Milliseconds(length));
    // G3 on the open string and at the fifth fret; only the stopped one can slide, whichever of the two it is.
    for note_slid in 0..2 {
        let mut slid = note(57, 300);
        slid.follows = Some(Follows { slice: 0, note: note_slid, how: Joined::Slide });
        let line = [
            Slice { start: Milliseconds(0), notes: vec![note(55, 300), note(55, 300)] },
            Slice { start: Milliseconds(300), notes: vec![slid] },
        ];
        let placement = place(rig, &line, Limits::NONE).unwrap();
        let (from, to) = (placement.slices[0].notes[note_slid].place, placement.slices[1].notes[0].place);
        assert_eq!((from.string, from.fret.number()), (to.string, 5), "slid from {note_slid}: {placement:?}");
    }
}

#[test]
fn a_single_note_can_be_played_however_much_rings() {
    let open = "C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4 G4".parse().unwrap();
    let frets = Fret::new(24).unwrap();
    let body = Instrument { name: "wide".to_owned(), strings: 12, frets, scale: Millimetres(648.0), short: None };
    let rig = Rig::new(body, open, None).unwrap();
    // Each lies on nearly all of the strings, so that there are far more ways than are looked at.
    let line: Vec<Slice> = (0..12)
        .map(|at: u8| Slice {
            start: Milliseconds(u64::from(at) * 250),
            notes: vec![Wanted::pitch(MidiNote::new(60 + at * 7 % 12).unwrap(), Milliseconds(3000))],
        })
        .collect();
    let placement = place(&rig, &line, Limits::NONE).unwrap();
    assert!(placement.slices.iter().all(|slice| slice.notes.len() == 1), "{placement:?}");
    assert!(placement.cost < u64::MAX, "no way leads to the end");
}

/// Returns a hand at fret 3 whose index finger holds the strings `from` to `to` there.
fn pressing(from: u8, to: u8) -> HandState {
    let mut holds = [PressedFinger::default(); FINGERS];
    holds[0] = PressedFinger { wire: 3, from, to };
    let spots = [StringSpot::default(); MOST];
    HandState {
        position: 3,
        cost: 0,
        middle: 0,
        free: false,
        is_chord: false,
        frame: Frame::default(),
        is_open: false,
        holds,
        spots,
    }
}

/// Returns the time to the next layer, all of it or `silence` of it without a sound.
fn pause(until_next: u64, silence: u64) -> Layer {
    Layer { slice: 0, items: Vec::new(), until_next, silence, runs_on: false }
}

#[test]
fn a_finger_rolls_only_where_it_leaves_its_strings() {
    let rigs = small_rigs();
    let board = LineBoard::new(&rigs[0], Limits::NONE, weights());
    let costs = MoveCosts::new(&board);
    let hurry = Hurry::after(&pause(400, 0), &board);
    let step = |from: &HandState, to: &HandState| costs.step(from, to, hurry, &[]).unwrap();
    assert_eq!(step(&pressing(3, 3), &pressing(3, 1)), 0, "it lies down over more strings");
    assert_eq!(step(&pressing(3, 1), &pressing(2, 2)), 0, "it stands up on one of them");
    assert!(step(&pressing(3, 3), &pressing(2, 2)) > 0, "it goes over to the next string");
    assert!(step(&pressing(2, 1), &pressing(4, 3)) > 0, "it goes over to others");
}

#[test]
fn a_hand_that_holds_something_moves_the_easier_the_longer_it_is_silent() {
    let rigs = small_rigs();
    let board = LineBoard::new(&rigs[0], Limits::NONE, weights());
    let costs = MoveCosts::new(&board);
    let step = |until_next: u64, silence: u64| {
        let hurry = Hurry::after(&pause(until_next, silence), &board);
        costs.step(&pressing(3, 3), &pressing(2, 2), hurry, &[]).unwrap()
    };
    assert!(step(300, 300) < step(300, 100));
    assert!(step(300, 100) < step(300, 0));
    assert!(step(300, 0) < step(150, 0));
}

#[test]
fn what_a_step_is_bounded_by_holds_for_every_pair_of_states() {
    for rig in small_rigs() {
        let board = LineBoard::new(&rig, Limits::NONE, weights());
        let moves = MoveCosts::new(&board);
        let asked = [vec![(3, 2), (9, 1)], vec![(6, 3)], vec![(2, 1), (8, 2)], vec![(8, 0)], vec![(5, 0)]];
        let mut layers = layers(&small_line(&rig, &asked, &[2, 4, 3, 5, 2]), rig.tuning().strings().len());
        open_runs(&board, &mut layers);
        let mut pairs = [0, 0];
        for pair in layers.windows(2) {
            let (items, hurry) = (&pair[1].items, Hurry::after(&pair[0], &board));
            let ringing = |(after, item): (usize, &LayerNote)| match item.link {
                Some((before, LayerLink::Held)) => Some((before, after)),
                Some((_, LayerLink::Joined(_) | LayerLink::Again)) | None => None,
            };
            let (before, after): (Vec<_>, Vec<_>) = items.iter().enumerate().filter_map(ringing).unzip();
            let states = every_state(&board, items);
            for from in every_state(&board, &pair[0].items) {
                for to in &states {
                    let step = moves.step(&from, to, hurry, items);
                    let let_go = HeldSpots::of(&from, &before).let_go(HeldSpots::of(to, &after));
                    let way = moves.way(&from, to, hurry, items);
                    assert_eq!(let_go.map(|notes| moves.letting_go(notes) + way), step, "{from:?} {to:?}");
                    assert!(moves.toward(to, hurry).least_way(&Whence::of(&from)) <= way, "{from:?} {to:?}");
                    pairs[usize::from(step.is_some())] += 1;
                }
            }
        }
        assert!(pairs[1] > 50, "{pairs:?}");
    }
}

#[test]
fn notes_are_crossed_where_the_lower_string_sounds_the_higher_one() {
    let rigs = small_rigs();
    let board = LineBoard::new(&rigs[0], Limits::NONE, weights());
    // D3 G3 B3 E4: string 4 at fret 7 sounds A3, above the open string 3.
    let spot = |string: u8, note: u8| StringSpot { string, note, ..StringSpot::default() };
    assert!(board.is_crossed(spot(4, 57), spot(3, 55)));
    assert!(board.is_crossed(spot(3, 55), spot(4, 57)));
    assert!(!board.is_crossed(spot(4, 52), spot(3, 55)));
    assert!(!board.is_crossed(spot(4, 55), spot(3, 55)), "one and the same note");
    assert!(!board.is_crossed(spot(4, 57), spot(3, 0)), "a note that does not matter");
}
