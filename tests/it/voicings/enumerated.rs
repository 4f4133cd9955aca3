//! Names and voicings, shape by shape: what `name` calls a shape first, `voicings` of that name finds.
//!
//! Every shape to fret 12 is gone through that a hand can hold and damp. In each run one way in so many to hold the strings is looked
//! up (see [`LOOKED_UP`]); with `FINGERPOST_EVERY_SHAPE=1` all of them are, as in `.ci/soak`.

use std::collections::{BTreeMap, BTreeSet};

use fingerpost::instrument::fingering::fingering;
use fingerpost::instrument::hand::Hand;
use fingerpost::instrument::neck::Shape;
use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::voicing::board::ChordBoard;
use fingerpost::instrument::voicing::limits::{INNER_MUTES, SPAN};
use fingerpost::instrument::voicing::request::Request;
use fingerpost::theory::reading::{Context, readings_limited};

use super::{rig, symbol};

/// Instruments, and of how many ways to hold their strings one is looked at in each run.
const LOOKED_UP: [(&str, usize); 5] =
    [("guitar", 1499), ("ukulele", 11), ("bass", 11), ("mandolin", 11), ("baritone ukulele", 11)];

/// The last fret, and how many ways there are to hold a string: muted, open, or at one of these.
const LAST: usize = 12;
const WAYS: usize = LAST + 2;

/// Returns the shape that `code` stands for; `None` where it is silent, too wide, or damped too often.
fn shape_of(mut code: usize, strings: usize) -> Option<Shape> {
    let mut frets = vec![None; strings];
    for fret in frets.iter_mut().rev() {
        *fret = (code % WAYS).checked_sub(1);
        code /= WAYS;
    }
    let stopped = || frets.iter().flatten().filter(|fret| **fret > 0);
    let is_wide = stopped().max().zip(stopped().min()).is_some_and(|(high, low)| high - low > SPAN as usize);
    let first = frets.iter().position(Option::is_some)?;
    let last = frets.iter().rposition(Option::is_some)?;
    let inner = || (first..=last).filter(|string| frets[*string].is_none());
    // The finger on a string beside it damps a string.
    let is_stopped = |string: usize| frets[string].is_some_and(|fret| fret > 0);
    let damped = inner().all(|string| is_stopped(string - 1) || is_stopped(string + 1));
    let text = frets.iter().map(|fret| fret.map_or_else(|| "x".to_owned(), |fret| fret.to_string()));
    (!is_wide && damped && inner().count() <= INNER_MUTES as usize)
        .then(|| text.collect::<Vec<String>>().join(" ").parse().unwrap())
}

/// Returns the names that one in so many shapes are called by first, each with its shapes. Notes, intervals and clusters are no
/// chords.
fn named(rig: &Rig, one_in: usize) -> BTreeMap<String, BTreeSet<String>> {
    let strings = rig.strings().count();
    let context = Context { lowest: rig.lowest_is(), ..Context::default() };
    let ways = WAYS.pow(u32::try_from(strings).unwrap());
    let mut named: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for shape in (0..ways).step_by(one_in).filter_map(|code| shape_of(code, strings)) {
        let readings = readings_limited(&rig.notes(&shape).unwrap(), &context, 1);
        if let Some(first) = readings.first().filter(|first| first.root.is_some()) {
            named.entry(first.symbol.clone()).or_default().insert(shape.to_string());
        }
    }
    named
}

#[test]
fn what_a_shape_is_called_first_finds_that_shape() {
    let all = std::env::var_os("FINGERPOST_EVERY_SHAPE").is_some();
    let request = Request::default();
    for (instrument, one_in) in LOOKED_UP {
        let rig = rig(instrument, "standard", None);
        let board = ChordBoard::of(&rig);
        let named = named(&rig, if all { 1 } else { one_in });
        let is_held = |shape: &&String| fingering(&rig, &shape.parse().unwrap(), &Hand::default()).is_ok();
        let (mut looked_up, mut missing) = (0, Vec::new());
        for (name, shapes) in &named {
            let mut search = board.search(&rig.lowest_is().named(&symbol(name)), &request).unwrap().with_incomplete();
            search.retain(|shape| shapes.contains(&shape.to_string()));
            let found: BTreeSet<String> =
                search.found(usize::MAX).iter().map(|voicing| voicing.shape.to_string()).collect();
            looked_up += found.len();
            let lost = shapes.difference(&found).filter(is_held);
            missing.extend(lost.map(|shape| format!("{shape} is {name}")));
        }
        println!("{instrument}: {looked_up} shapes found under {} names", named.len());
        let lost = missing.len();
        missing.truncate(20);
        assert!(missing.is_empty(), "{instrument}: {lost} are not found, as {missing:#?}");
        assert!(looked_up > 150, "{instrument}: {looked_up}");
    }
}

#[test]
fn what_lacks_a_note_stands_behind_all_that_is_whole() {
    let request = Request::default();
    let mut further = 0;
    for (instrument, tuning) in
        [("guitar", "standard"), ("guitar", "DADGAD"), ("ukulele", "standard"), ("bass", "standard")]
    {
        let rig = rig(instrument, tuning, None);
        let board = ChordBoard::of(&rig);
        for text in ["C", "Em", "B", "F#m", "Dsus4", "A/C#", "A5/G", "C/D", "Am7", "G13", "Ebmaj7/F", "E5", "C7alt"] {
            let symbol = rig.lowest_is().named(&symbol(text));
            let Ok(search) = board.search(&symbol, &request) else { continue };
            let whole = search.found(usize::MAX);
            let both = board.search(&symbol, &request).unwrap().with_incomplete().found(usize::MAX);
            let (front, behind) = both.split_at(whole.len());
            assert_eq!(front, whole.as_slice(), "{instrument} {tuning} {text}");
            let shapes: BTreeSet<String> = both.iter().map(|voicing| voicing.shape.to_string()).collect();
            assert_eq!(shapes.len(), both.len(), "{instrument} {tuning} {text}: a shape comes twice");
            further += behind.len();
        }
    }
    assert!(further > 500, "{further}");
}
