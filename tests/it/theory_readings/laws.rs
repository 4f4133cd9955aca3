//! What holds for every reading of any strings.

use super::*;
use fingerpost::theory::reading::Lowest;

/// Three to seven strings, some silent, anywhere on a neck.
fn any_strings() -> impl Strategy<Value = Vec<Option<MidiNote>>> {
    prop::collection::vec(prop::option::weighted(0.85, 28..=76u8), 1..8)
        .prop_map(|strings| strings.into_iter().map(|number| number.map(note)).collect())
}

fn any_key() -> impl Strategy<Value = Option<Key>> {
    let keys = ["C", "Am", "Eb", "F#m", "B", "Gb", "Dm", "A", "D dorian", "Ab lydian", "C# phrygian"]
        .map(|key| key.parse().unwrap());
    prop::option::of(prop::sample::select(keys.to_vec()))
}

/// A reading without its spelling: what must not change when everything moves together.
fn bare(reading: &Reading, from: u8) -> (ReadingKind, Option<u8>, u8, Vec<Degree>, Vec<Degree>, u32) {
    let class = |name: NoteName| (name.pitch_class().number() + 120 - from) % 12;
    let formula = (reading.formula.clone(), reading.missing.clone());
    (reading.kind, reading.root.map(class), class(reading.bass), formula.0, formula.1, reading.cost)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn moving_everything_moves_every_reading(strings in any_strings(), by in 1..12u8) {
        let moved: Vec<_> = strings.iter().map(|note| note.and_then(|note| note.up(i32::from(by)))).collect();
        let before: Vec<_> = readings(&strings, &Context::default()).iter().map(|one| bare(one, 0)).collect();
        let after: Vec<_> = readings(&moved, &Context::default()).iter().map(|one| bare(one, by)).collect();
        prop_assert_eq!(before, after);
    }

    #[test]
    fn what_lies_beside_the_shape_moves_with_it(
        strings in any_strings(),
        by in 1..12u8,
        bass in 0..12u8,
        before in prop::sample::select(vec!["C", "Am7", "E7b9", "F#m7b5", "Bb/D"]),
        after in prop::option::of(prop::sample::select(vec!["C", "Dm7", "G7", "Bbm", "F#/A#"])),
        lowest in prop::sample::select(vec![Lowest::Bass, Lowest::AnyTone, Lowest::HighTone]),
    ) {
        let before: ChordSymbol = before.parse().unwrap();
        let after: Option<ChordSymbol> = after.map(|after| after.parse().unwrap());
        let moved: Vec<_> = strings.iter().map(|note| note.and_then(|note| note.up(i32::from(by)))).collect();
        let context = |by: u8| Context {
            key: None,
            stated_bass: Some(NoteName::usual(PitchClass::of(i32::from(bass + by)))),
            previous: Some(before.moved(i32::from(by), None)),
            next: after.as_ref().map(|after| after.moved(i32::from(by), None)),
            lowest,
        };
        let here: Vec<_> = readings(&strings, &context(0)).iter().map(|one| bare(one, 0)).collect();
        let there: Vec<_> = readings(&moved, &context(by)).iter().map(|one| bare(one, by)).collect();
        prop_assert_eq!(here, there);
    }

    #[test]
    fn a_name_moved_is_that_chord_moved(strings in any_strings(), by in -11..12i32, key in any_key()) {
        // Checked against the chord symbol itself, which is moved by another way.
        for reading in readings(&strings, &Context { key, ..Context::default() }) {
            let moved = reading.symbol_moved(by, key);
            if reading.root.is_some() {
                let symbol: ChordSymbol = reading.symbol.parse().unwrap();
                prop_assert_eq!(&moved, &symbol.moved(by, key).to_string());
            }
            let classes = |symbol: &str| -> Vec<u8> {
                symbol.split('-').filter_map(|name| name.parse::<NoteName>().ok()).map(|name| name.pitch_class().number()).collect()
            };
            let up: Vec<u8> = classes(&reading.symbol).iter().map(|class| (i32::from(*class) + by).rem_euclid(12) as u8).collect();
            prop_assert_eq!(up, classes(&moved));
        }
    }

    #[test]
    fn the_order_of_the_strings_says_nothing(strings in any_strings(), turn in 0..8usize, key in any_key()) {
        let context = Context { key, ..Context::default() };
        let ranks = |strings: &[Option<MidiNote>]| -> Vec<(String, u32, String)> {
            let all = readings(strings, &context);
            all.into_iter().map(|reading| (reading.symbol, reading.cost, reading.reason)).collect()
        };
        let mut turned = strings.clone();
        turned.rotate_left(turn % strings.len());
        prop_assert_eq!(ranks(&strings), ranks(&turned));
        turned.reverse();
        turned.push(None);
        prop_assert_eq!(ranks(&strings), ranks(&turned));
    }

    #[test]
    fn decisions_hold_both_sides(strings in any_strings(), unsure in 1..255u8) {
        let doubtful: Vec<_> = strings.iter().enumerate().map(|(place, note)| {
            let doubt = if unsure >> place & 1 == 1 { Doubt::Unsure } else { Doubt::Sure };
            note.map(|note| (note, doubt))
        }).collect();
        let context = Context::default();
        let answer = readings_with_doubts(&doubtful, &context);
        prop_assert_eq!(&answer.readings, &readings(&strings, &context));
        let places: Vec<usize> = answer.decisions.iter().map(|decision| decision.string).collect();
        let wanted: Vec<usize> = (0..strings.len()).filter(|place| strings[*place].is_some() && unsure >> place & 1 == 1).collect();
        prop_assert_eq!(places, wanted);
        for decision in &answer.decisions {
            let mut without = strings.clone();
            without[decision.string] = None;
            prop_assert_eq!(&decision.with, &readings_limited(&strings, &context, Decision::READINGS));
            prop_assert_eq!(&decision.without, &readings_limited(&without, &context, Decision::READINGS));
            for side in [&decision.with, &decision.without] {
                prop_assert!(side.first().is_none_or(|best| decision.sentence.contains(&best.symbol)));
            }
        }
    }

    #[test]
    fn doubling_a_tone_an_octave_higher_never_changes_the_name(strings in any_strings(), which in 0..8usize) {
        let sounding: Vec<MidiNote> = strings.iter().flatten().copied().collect();
        prop_assume!(!sounding.is_empty());
        let mut doubled = strings.clone();
        doubled.push(sounding[which % sounding.len()].up(12));
        let context = Context::default();
        // A third alone is an interval on few strings, and on many a chord without its fifth.
        let classes: std::collections::BTreeSet<u8> = sounding.iter().map(|note| note.pitch_class().number()).collect();
        prop_assume!(classes.len() != 2);
        let name = |strings: &[Option<MidiNote>]| {
            let best = best(strings, &context);
            (best.symbol, best.root, best.bass)
        };
        prop_assert_eq!(name(&strings), name(&doubled));
    }

    #[test]
    fn every_reading_accounts_for_every_tone(strings in any_strings(), key in any_key()) {
        let all = readings(&strings, &Context { key, ..Context::default() });
        prop_assert_eq!(all.is_empty(), strings.iter().flatten().next().is_none());
        let lowest = strings.iter().flatten().min().copied();
        for reading in &all {
            prop_assert_eq!(Some(reading.bass.pitch_class()), lowest.map(MidiNote::pitch_class));
            prop_assert_eq!(reading.notes.len(), strings.len());
            let mut heard = BTreeSet::new();
            for (tone, sounding) in reading.notes.iter().zip(&strings) {
                prop_assert_eq!(tone.map(|tone| tone.name.pitch_class()), sounding.map(MidiNote::pitch_class));
                heard.extend(tone.and_then(|tone| tone.degree));
            }
            let formula: BTreeSet<Degree> = reading.formula.iter().copied().collect();
            let missing: BTreeSet<Degree> = reading.missing.iter().copied().collect();
            prop_assert_eq!(&formula - &missing, heard, "{}", reading.symbol);
            prop_assert!(missing.is_subset(&formula));
            prop_assert!(!reading.reason.is_empty() && reading.symbol.is_ascii() && reading.reason.is_ascii());
        }
    }

    #[test]
    fn symbols_of_readings_read_back(strings in any_strings(), key in any_key()) {
        for reading in readings(&strings, &Context { key, ..Context::default() }) {
            let Some(root) = reading.root else { continue };
            let symbol: ChordSymbol = reading.symbol.parse().unwrap();
            prop_assert_eq!(symbol.to_string(), reading.symbol.clone());
            prop_assert_eq!(symbol.root(), root);
            prop_assert_eq!(symbol.formula(), &reading.formula[..]);
            if reading.kind != ReadingKind::Rootless {
                prop_assert_eq!(symbol.bass().unwrap_or(root), reading.bass);
            }
        }
    }

    #[test]
    fn costs_rise_names_differ_and_a_limit_only_cuts(strings in any_strings(), key in any_key(), limit in 0..12usize) {
        let context = Context { key, ..Context::default() };
        let all = readings(&strings, &context);
        prop_assert!(all.windows(2).all(|pair| pair[0].cost < pair[1].cost));
        let different: BTreeSet<&str> = all.iter().map(|reading| reading.symbol.as_str()).collect();
        prop_assert_eq!(different.len(), all.len());
        prop_assert_eq!(&readings_limited(&strings, &context, limit)[..], &all[..limit.min(all.len())]);
    }
}
