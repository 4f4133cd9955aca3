use proptest::prelude::*;
use proptest::sample::select;

use super::*;
use crate::instrument::body::Millimetres;
use crate::instrument::catalogue::setup_from_text;
use crate::instrument::hand::Hand;
use crate::instrument::neck::Fret;

fn board(instrument: &str, tuning: Option<&str>, frets: u8) -> ChordBoard {
    let (mut instrument, tuning) = setup_from_text(Some(instrument), tuning).unwrap();
    instrument.frets = Fret::new(frets).unwrap();
    ChordBoard::of(&Rig::new(instrument, tuning, None).unwrap())
}

fn bounded<'a>(board: &'a ChordBoard, symbol: &str, request: &'a Request, bounds: (usize, usize)) -> Search<'a> {
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
    let ten = ChordBoard::of(&Rig::new(instrument, tuning, None).unwrap());
    let search = bounded(&ten, "Cmaj13", &request, (20_000, 500));
    assert_eq!((search.is_complete(), search.count()), (false, 500));
    let six = board("guitar", None, 24);
    assert!(bounded(&six, "Cmaj13", &request, (MOST, BEST)).is_complete());
}

#[test]
fn a_thumb_reaches_no_further_than_was_asked_for() {
    // String 6 at the second fret, all else that is stopped at the third: two fingers, or thumb and fingers, lie as far
    // apart as these wires do. Half a thousandth of a millimetre decides, which is less than the window allows for
    // rounding, so that it is the thumb that is refused.
    let board = board("guitar", None, 5);
    let symbol: ChordSymbol = "G7sus4/F#".parse().unwrap();
    let apart = f64::from(board.neck.at(3) - board.neck.at(2));
    let is_found = |reach: f64| {
        let hand = Hand::default().reaching(Millimetres(reach)).unwrap();
        let request = Request { hand, ..Request::default() };
        let found = board.search(&symbol, &request).unwrap().found(usize::MAX);
        found.iter().any(|voicing| voicing.shape.to_string() == "2 3 3 0 3 3")
    };
    assert!(is_found(apart + 0.0005));
    assert!(!is_found(apart - 0.0005));
}
