//! The search against trying everything, and fingers against trying every finger.

use proptest::prelude::*;

use super::board::{Board, FINGERS, Spot};
use super::candidates::{State, add_states};
use super::grip::{MOST, Stopped, barre, grip};
use super::layers::{Item, Kind, layers};
use super::line::{Follows, Joined, Limits, Milliseconds, Slice, Wanted};
use super::moves::{Hurry, Moves};
use super::place;
use super::weights::weights;
use crate::instrument::body::{Instrument, Millimetres, ShortString};
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::rig::Rig;
use crate::theory::pitch::MidiNote;

/// Small necks: standard, re-entrant, in fifths, in unisons, with a short string, with capos.
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

/// Every way to play `items`, found without any pruning.
fn every_state(board: &Board<'_>, items: &[Item]) -> Vec<State> {
    let mut spreads = vec![[Spot::default(); MOST]];
    for (place, item) in items.iter().enumerate() {
        let mut options = board.spots(item.wanted.target, item.wanted.pin, item.wanted.touch);
        if item.kind == Kind::Held {
            options.push(Spot::default());
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
        add_states(board, items, spread, &mut states);
    }
    states
}

/// The cheapest of all paths; `None` where some layer cannot be played.
fn by_trying_everything(rig: &Rig, line: &[Slice]) -> Option<u64> {
    let board = Board::new(rig, Limits::NONE, weights());
    let layers = layers(line, rig.tuning().strings().len());
    let moves = Moves::new(&board);
    // Sums of every path, not only of the best one to each state.
    let mut paths: Vec<(State, u64)> = vec![];
    for (index, layer) in layers.iter().enumerate() {
        let states = every_state(&board, &layer.items);
        let mut extended = Vec::new();
        for state in states {
            if index == 0 {
                extended.push((state, u64::from(state.cost)));
            }
            for (from, sum) in &paths {
                let hurry = Hurry::after(&layers[index - 1], &board);
                if let Some(step) = moves.step(from, &state, hurry, &layer.items) {
                    extended.push((state, sum + step + u64::from(state.cost)));
                }
            }
        }
        paths = extended;
        if paths.len() > 400_000 {
            // Too many to try; the case proves nothing either way.
            return place(rig, line, Limits::NONE).ok().map(|placement| placement.cost);
        }
    }
    paths.iter().map(|(_, sum)| *sum).min()
}

/// The cheapest fingers among all that obey the rules, found by trying every finger on every note.
fn fingers_by_trying_everything(board: &Board<'_>, position: u8, stopped: &[Stopped], open: u32) -> Option<u32> {
    let mut best = None;
    for code in 0..FINGERS.pow(u32::try_from(stopped.len()).unwrap()) {
        let finger = |place: usize| code / FINGERS.pow(u32::try_from(place).unwrap()) % FINGERS;
        let fingers: Vec<usize> = (0..stopped.len()).map(finger).collect();
        // No finger crosses another: they follow each other up the neck, and at one fret across the strings.
        if !fingers.is_sorted() {
            continue;
        }
        let mut sum = Some(0);
        for finger in 0..FINGERS {
            let under: Vec<&Stopped> =
                stopped.iter().zip(&fingers).filter(|(_, used)| **used == finger).map(|(note, _)| note).collect();
            let Some(first) = under.first() else { continue };
            let (low, high) =
                under.iter().fold((13, 0), |(low, high), note| (note.string.min(low), note.string.max(high)));
            let one_fret = under.iter().all(|note| note.wire == first.wire);
            let lies_over = |string: u8| string > low && string < high;
            let silences = (1..13).any(|string| lies_over(string) && open & (1 << string) != 0)
                || stopped.iter().any(|note| lies_over(note.string) && note.wire < first.wire);
            let own = board.finger(position, first.wire, finger);
            let flat = if under.len() > 1 { barre(board, finger, high - low + 1) } else { Some(0) };
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

    #[test]
    fn no_fingers_are_cheaper_than_those_found(
        which in 0..8usize,
        position in 1..7u8,
        notes in proptest::collection::btree_map(1..7u8, 1..9u8, 1..6),
        open in 0..128u32,
    ) {
        let rig = &small_rigs()[which];
        let board = Board::new(rig, Limits::NONE, weights());
        let mut stopped: Vec<Stopped> = notes.iter().map(|(string, wire)| Stopped { wire: *wire, string: *string }).collect();
        stopped.sort_by_key(|note| (note.wire, u8::MAX - note.string));
        let open = notes.keys().fold(open & !1, |open, string| open & !(1 << string));
        let found = grip(&board, position, &stopped, open).map(|(cost, _)| cost);
        prop_assert_eq!(found, fingers_by_trying_everything(&board, position, &stopped, open));
    }
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
