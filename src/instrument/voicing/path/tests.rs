use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

use super::*;
use crate::instrument::catalogue::setup_from_text;
use crate::instrument::neck::Fret;

const CHORDS: [&str; 12] = ["C", "Am7", "F#m", "Bb", "G7", "Dsus4", "E/G#", "Cmaj7", "A5", "Bm7b5", "Eb", "G13"];

fn rig(instrument: &str, frets: u8) -> Rig {
    let (mut instrument, tuning) = setup_from_text(Some(instrument), None).unwrap();
    instrument.frets = Fret::new(frets).unwrap();
    Rig::new(instrument, tuning, None).unwrap()
}

fn symbols(texts: &[&str]) -> Vec<ChordSymbol> {
    texts.iter().map(|text| text.parse().unwrap()).collect()
}

/// The stances of all voicings of a chord with their costs.
fn all(board: &Board, symbol: &ChordSymbol) -> Vec<(u32, Stance)> {
    let request = Request::default();
    let found = board.search(symbol, &request).unwrap().list;
    let yardstick = Yardstick::of(board);
    found.iter().map(|hit| (hit.cost, yardstick.of_hit(hit))).collect()
}

/// The least cost by the plain definition: for every voicing of every chord the best of all before it.
fn plainly(board: &Board, symbols: &[ChordSymbol]) -> u32 {
    let mut before: Vec<(u32, Stance)> = Vec::new();
    for symbol in symbols {
        let best = |stance: &Stance| {
            before.iter().map(|(total, other)| total + other.distance(stance, prices())).min().unwrap_or(0)
        };
        before = all(board, symbol).into_iter().map(|(cost, stance)| (cost + best(&stance), stance)).collect();
    }
    before.into_iter().map(|(total, _)| total).min().unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn leaving_voicings_out_never_loses_the_best_path(
        texts in vec(select(&CHORDS[..]), 1..5),
        (instrument, frets) in select(&[("guitar", 7), ("guitar", 9), ("ukulele", 15), ("banjo", 12)][..]),
    ) {
        let rig = rig(instrument, frets);
        let symbols = symbols(&texts);
        if let Ok(found) = path(&rig, None, &symbols, &Request::default()) {
            prop_assert_eq!(found.cost, plainly(&Board::of(&rig), &symbols));
        }
    }

    #[test]
    fn no_detour_is_cheaper_than_the_straight_way(
        texts in vec(select(&CHORDS[..]), 3),
        places in vec(vec(any::<prop::sample::Index>(), 3), 200),
    ) {
        let board = Board::of(&rig("guitar", 15));
        let chords: Vec<_> = symbols(&texts).iter().map(|symbol| all(&board, symbol)).collect();
        for place in places {
            let stances = chords.iter().zip(&place).map(|(chord, place)| place.get(chord).1);
            let [a, b, c] = <[Stance; 3]>::try_from(stances.collect::<Vec<_>>()).unwrap();
            let far = |one: &Stance, other: &Stance| one.distance(other, prices());
            prop_assert!(far(&a, &c) <= far(&a, &b) + far(&b, &c));
            prop_assert_eq!(far(&a, &b), far(&b, &a));
            prop_assert!(a.outline(&b, prices()) <= far(&a, &b));
            prop_assert_eq!(far(&a, &a), 0);
        }
    }
}
