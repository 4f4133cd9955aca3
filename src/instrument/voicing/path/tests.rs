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

/// Returns all voicings of a chord.
fn all(board: &ChordBoard, text: &str) -> Vec<Hit> {
    let request = Request::default();
    board.search(&text.parse().unwrap(), &request).unwrap().list
}

/// Returns the least cost by the plain definition: for every voicing of every chord the best of all before it.
fn plainly(yardstick: &Yardstick, chords: &[Vec<Hit>]) -> u32 {
    let mut before: Vec<(u32, Stance)> = Vec::new();
    for chord in chords {
        let best = |stance: &Stance| {
            before.iter().map(|(total, other)| total + other.distance(stance, prices())).min().unwrap_or(0)
        };
        let here = chord.iter().map(|hit| (hit.cost, yardstick.of_hit(hit)));
        before = here.map(|(cost, stance)| (cost + best(&stance), stance)).collect();
    }
    before.into_iter().map(|(total, _)| total).min().unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn leaving_voicings_out_never_loses_the_best_path(
        texts in vec(select(&CHORDS[..]), 2..6),
        (instrument, frets) in select(&[("guitar", 7), ("ukulele", 15), ("banjo", 9)][..]),
        // Where all cost much the same, or there are few, the way there decides: that is where most could be lost.
        spread in select(&[10, 40, 80, 1000][..]),
        few in select(&[8, 30, 1000][..]),
        seed in any::<u32>(),
    ) {
        let board = ChordBoard::of(&rig(instrument, frets));
        let yardstick = Yardstick::of(&board);
        let mut chords: Vec<Vec<Hit>> = texts.iter().map(|text| all(&board, text)).collect();
        prop_assume!(chords.iter().all(|chord| !chord.is_empty()));
        for (number, hit) in (0u32..).zip(chords.iter_mut().flatten()) {
            if spread < 1000 {
                hit.cost = (seed ^ number).wrapping_mul(0x9E37_79B1) / 64 % spread;
            }
        }
        for chord in &mut chords {
            let every = chord.len() / few + 1;
            let mut number = seed as usize % every;
            chord.retain(|_| {
                number += 1;
                number.is_multiple_of(every)
            });
        }
        prop_assume!(chords.iter().all(|chord| !chord.is_empty()));
        let candidates: Vec<Candidates> =
            chords.iter().map(|hits| Candidates::of(&yardstick, hits.clone())).collect();
        let found = chain(None, &candidates.iter().collect::<Vec<_>>());
        let stances: Vec<Stance> = found.iter().map(|hit| yardstick.of_hit(hit)).collect();
        let ways: u32 = stances.windows(2).map(|pair| pair[0].distance(&pair[1], prices())).sum();
        let cost = ways + found.iter().map(|hit| hit.cost).sum::<u32>();
        prop_assert_eq!((found.len(), cost), (chords.len(), plainly(&yardstick, &chords)));
    }

    #[test]
    fn what_the_sieve_drops_another_voicing_can_replace(
        text in select(&CHORDS[..]),
        (instrument, frets) in select(&[("guitar", 8), ("guitar", 15), ("ukulele", 15), ("banjo", 12)][..]),
    ) {
        let board = ChordBoard::of(&rig(instrument, frets));
        let yardstick = Yardstick::of(&board);
        let request = Request::default();
        let symbol: ChordSymbol = text.parse().unwrap();
        let Ok(tones) = board.tones_of(&symbol) else { return Ok(()) };
        let kept = board.sifted(tones, &request, Some(Sieve::of(&board))).list;
        let stances: Vec<(u32, Stance)> = kept.iter().map(|hit| (hit.cost, yardstick.of_hit(hit))).collect();
        let held: std::collections::BTreeSet<_> = kept.iter().map(|hit| hit.held).collect();
        for hit in all(&board, text).iter().filter(|hit| !held.contains(&hit.held)) {
            let stance = yardstick.of_hit(hit);
            let replaces = |(cost, other): &(u32, Stance)| {
                *cost < hit.cost && cost + 2 * other.distance(&stance, prices()) <= hit.cost
            };
            prop_assert!(stances.iter().any(replaces), "{:?}", hit);
        }
    }

    #[test]
    fn no_detour_is_cheaper_than_the_straight_way(
        texts in vec(select(&CHORDS[..]), 3),
        places in vec(vec(any::<prop::sample::Index>(), 3), 200),
    ) {
        let board = ChordBoard::of(&rig("guitar", 15));
        let yardstick = Yardstick::of(&board);
        let chords: Vec<Vec<Hit>> = texts.iter().map(|text| all(&board, text)).collect();
        for place in places {
            let stances = chords.iter().zip(&place).map(|(chord, place)| yardstick.of_hit(place.get(chord)));
            let [a, b, c] = <[Stance; 3]>::try_from(stances.collect::<Vec<_>>()).unwrap();
            let far = |one: &Stance, other: &Stance| one.distance(other, prices());
            // A detour over another kind of chord leaves out what power chords charge each other.
            let is_power = |text: &str| text == "A5";
            if is_power(texts[1]) || !(is_power(texts[0]) && is_power(texts[2])) {
                prop_assert!(far(&a, &c) <= far(&a, &b) + far(&b, &c));
            }
            prop_assert_eq!(far(&a, &b), far(&b, &a));
            prop_assert!(a.outline(&b, prices()) <= far(&a, &b));
            prop_assert_eq!(far(&a, &a), 0);
        }
    }
}
