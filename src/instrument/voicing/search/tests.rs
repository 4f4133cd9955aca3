use proptest::prelude::*;
use proptest::sample::select;

use super::*;
use crate::instrument::catalogue::setup_from_text;
use crate::instrument::neck::Fret;

fn board(instrument: &str, tuning: Option<&str>, frets: u8) -> Board {
    let (mut instrument, tuning) = setup_from_text(Some(instrument), tuning).unwrap();
    instrument.frets = Fret::new(frets).unwrap();
    Board::of(&Rig::new(instrument, tuning, None).unwrap())
}

fn bounded<'a>(board: &'a Board, symbol: &str, request: &'a Request, bounds: (usize, usize)) -> Search<'a> {
    let symbol: ChordSymbol = symbol.parse().unwrap();
    let tones = ChordTones::of(&symbol, board.strings).unwrap();
    let mut search = board.prepared(tones, request, None);
    search.bounds = bounds;
    search.run();
    search
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn what_is_kept_of_too_many_is_the_head_of_the_whole_list(
        text in select(&["C", "Am7", "C13", "Fmaj13", "E5", "G/B", "C/D", "Bm7b5", "A13sus4", "D6/9", "Em11"][..]),
        (instrument, tuning, frets) in select(&[
            ("guitar", None, 9),
            ("guitar", Some("DADGAD"), 7),
            ("7-string guitar", None, 6),
            ("ukulele", None, 15),
            ("banjo", None, 10),
        ][..]),
        most in 1usize..300,
        best in 1usize..100,
    ) {
        let board = board(instrument, tuning, frets);
        let request = Request::default();
        let symbol: ChordSymbol = text.parse().unwrap();
        prop_assume!(ChordTones::of(&symbol, board.strings).is_ok());
        let all = bounded(&board, text, &request, (usize::MAX, 1));
        prop_assert!(all.is_complete());
        let some = bounded(&board, text, &request, (most, best));
        prop_assert_eq!(some.is_complete(), all.count() <= most);
        let expected = if some.is_complete() { all.count() } else { best.min(all.count()) };
        prop_assert_eq!(some.count(), expected);
        prop_assert_eq!(some.found(usize::MAX), all.found(expected));
    }
}

#[test]
fn a_thirteenth_on_ten_strings_is_bounded_and_on_six_is_not() {
    let request = Request::default();
    let tuning = "A0 E1 B1 E2 A2 D3 G3 B3 E4 A4";
    let (instrument, tuning) = setup_from_text(None, Some(tuning)).unwrap();
    let ten = Board::of(&Rig::new(instrument, tuning, None).unwrap());
    let search = bounded(&ten, "Cmaj13", &request, (20_000, 500));
    assert_eq!((search.is_complete(), search.count()), (false, 500));
    let six = board("guitar", None, 24);
    assert!(bounded(&six, "Cmaj13", &request, (MOST, BEST)).is_complete());
}
