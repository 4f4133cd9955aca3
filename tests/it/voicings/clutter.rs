//! What keeps out of the first ten: shapes that players pass over while there are others. Common practice, no published
//! source.

use std::collections::BTreeSet;

use fingerpost::instrument::fingering::Fingering;
use fingerpost::instrument::hand::{Finger, Hand, HandSize};
use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::voicing::board::ChordBoard;
use fingerpost::instrument::voicing::request::Request;
use fingerpost::instrument::voicing::search::{FoundVoicing, voicings};
use fingerpost::theory::reading::{Context, Lowest, readings_limited};
use fingerpost::theory::symbol::ChordSymbol;

use super::{all, rig, symbol};

/// With the roots below, 120 symbols.
const QUALITIES: [&str; 30] = [
    "", "m", "7", "maj7", "m7", "sus4", "sus2", "7sus4", "6", "m6", "9", "maj9", "m9", "add9", "6/9", "13", "7b9",
    "7#9", "7#5", "m7b5", "dim", "dim7", "aug", "5", "11", "m11", "m(maj7)", "7b5", "maj13", "9sus4",
];
const ROOTS: [&str; 4] = ["C", "E", "F#", "Bb"];

/// Returns whether a string is damped in the middle, other than directly above the bass.
fn is_damped_in_the_middle(rig: &Rig, voicing: &FoundVoicing) -> bool {
    let strings = voicing.shape.strings();
    let notes = rig.notes(&voicing.shape).unwrap();
    let sounding: Vec<usize> = (0..strings.len()).filter(|place| strings[*place].is_some()).collect();
    let bass = sounding.iter().copied().min_by_key(|place| notes[*place]).unwrap();
    let next = sounding.iter().copied().find(|place| *place > bass).unwrap_or(bass);
    (sounding[0]..*sounding.last().unwrap()).any(|place| strings[place].is_none() && !(bass..next).contains(&place))
}

/// Returns whether a dominant has its root on top and nowhere else.
fn has_its_root_on_top_alone(rig: &Rig, chord: &ChordSymbol, voicing: &FoundVoicing) -> bool {
    let root = chord.root().pitch_class();
    let has = |semitones: u8| chord.pitch_classes().has((root.number() + semitones) % 12);
    let notes = rig.notes(&voicing.shape).unwrap();
    let roots = notes.iter().flatten().filter(|note| note.pitch_class() == root).count();
    let top = notes.iter().flatten().max().map(|note| note.pitch_class());
    // Four strings sound all that a seventh chord has, whichever is on top.
    let has_choice = rig.lowest_is() != Lowest::AnyTone && rig.tuning().strings().len() > 4;
    has_choice && has(4) && has(10) && roots == 1 && top == Some(root)
}

/// Returns how many strings each finger holds, the thumb first.
fn held(fingering: &Fingering) -> [usize; 5] {
    let fingers = [Finger::Thumb, Finger::Index, Finger::Middle, Finger::Ring, Finger::Little];
    fingers.map(|finger| fingering.fingers.iter().filter(|other| **other == Some(finger)).count())
}

/// Says what is wrong with showing a voicing among the first; `None` where nothing is.
fn clutter(rig: &Rig, chord: &ChordSymbol, voicing: &FoundVoicing) -> Option<&'static str> {
    let [thumb, fingers @ ..] = held(&voicing.fingering);
    let mut stopped = voicing.shape.strings().iter().flatten().filter(|fret| fret.number() > 0).peekable();
    let [.., ring, little] = fingers;
    if is_damped_in_the_middle(rig, voicing) {
        Some("damped in the middle")
    } else if stopped.peek().is_some() && stopped.all(|fret| fret.number() > 12) {
        Some("above fret 12")
    } else if has_its_root_on_top_alone(rig, chord, voicing) {
        Some("the root of a dominant on top alone")
    } else if thumb > 0 && fingers.iter().all(|strings| *strings > 0) {
        Some("the thumb beside four fingers")
    } else if little > 1 && ring == 0 {
        Some("the little finger across, and the ring finger free")
    } else {
        None
    }
}

/// Sees that nothing cluttered stands among the first ten while a clean one stands behind it.
#[track_caller]
fn check(instrument: &str, tuning: &str) {
    let rig = rig(instrument, tuning, None);
    let board = ChordBoard::of(&rig);
    let request = Request::default();
    let (mut wrong, mut chords, mut behind) = (Vec::new(), 0, 0);
    for chord in QUALITIES.iter().flat_map(|quality| ROOTS.map(|root| symbol(&format!("{root}{quality}")))) {
        let Ok(search) = board.search(&chord, &request) else { continue };
        let found = search.found(400);
        let clean = |voicing: &&FoundVoicing| clutter(&rig, &chord, voicing).is_none();
        let wanted = found.iter().filter(clean).count().min(10);
        let first: Vec<&FoundVoicing> = found.iter().take(wanted).filter(|voicing| !clean(voicing)).collect();
        wrong.extend(first.iter().map(|one| format!("{chord} {}: {:?}", one.shape, clutter(&rig, &chord, one))));
        behind += found.iter().filter(|voicing| !clean(voicing)).count();
        chords += 1;
    }
    assert!(wrong.is_empty(), "{instrument} {tuning}: {wrong:#?}");
    assert!(chords >= 110 && behind > chords, "{instrument} {tuning}: {chords} chords, {behind} behind");
}

#[test]
fn clutter_leaves_the_first_ten_on_guitars() {
    for (instrument, tuning) in [("guitar", "standard"), ("guitar", "drop D"), ("guitar", "DADGAD")] {
        check(instrument, tuning);
    }
}

#[test]
fn clutter_leaves_the_first_ten_on_other_instruments() {
    for instrument in ["7-string guitar", "ukulele", "baritone ukulele", "mandolin"] {
        check(instrument, "standard");
    }
}

#[test]
fn thumb_forms_stand_behind_what_fingers_alone_hold() {
    let guitar = rig("guitar", "standard", None);
    for chord in ["F", "F#m", "G7", "Bm7", "Dm9", "Fadd9", "F#dim", "Gdim", "F9"] {
        let found = voicings(&guitar, &symbol(chord), &Request::default(), 10).unwrap();
        let with_thumb = found.iter().position(|voicing| held(&voicing.fingering)[0] > 0);
        assert!(with_thumb.is_none_or(|place| place >= 5), "{chord}: {with_thumb:?}");
    }
}

#[test]
fn a_small_hand_never_has_the_thumb_beside_four_fingers() {
    let guitar = rig("guitar", "standard", None);
    let mut others = 0;
    for size in HandSize::ALL {
        let request = Request { hand: Hand::new(size), ..Request::default() };
        for chord in ["F9", "F13", "G7b9", "Fsus2", "Cm9", "F6"] {
            let found = voicings(&guitar, &symbol(chord), &request, usize::MAX).unwrap();
            let all_five = found.iter().filter(|voicing| held(&voicing.fingering).iter().all(|strings| *strings > 0));
            match size {
                HandSize::Small => assert_eq!(all_five.count(), 0, "{chord}"),
                HandSize::Medium | HandSize::Large => others += all_five.count(),
            }
        }
    }
    assert!(others > 0);
}

#[test]
fn the_first_ten_on_guitar_are_named_back_and_are_no_other_chords_taught_shapes() {
    let guitar = rig("guitar", "standard", None);
    let board = ChordBoard::of(&guitar);
    let request = Request::default();
    for chord in QUALITIES.iter().flat_map(|quality| ROOTS.map(|root| symbol(&format!("{root}{quality}")))) {
        let wanted: BTreeSet<u8> = chord.formula().iter().map(|degree| degree.folded()).collect();
        for voicing in board.search(&chord, &request).unwrap().found(10) {
            let readings = readings_limited(&guitar.notes(&voicing.shape).unwrap(), &Context::default(), 3);
            let is_chord = |reading: &fingerpost::theory::reading::Reading| {
                let tones: BTreeSet<u8> = reading.formula.iter().map(|degree| degree.folded()).collect();
                let root = reading.root.map(|root| root.pitch_class());
                root == Some(chord.root().pitch_class()) && tones == wanted
            };
            let names: Vec<&str> = readings.iter().map(|reading| reading.symbol.as_str()).collect();
            assert!(readings.iter().any(is_chord), "{chord} {}: {names:?}", voicing.shape);
        }
    }
    // The same where strings are tuned otherwise.
    for tuning in ["drop D", "DADGAD", "open G"] {
        let guitar = rig("guitar", tuning, None);
        let board = ChordBoard::of(&guitar);
        for chord in QUALITIES.iter().flat_map(|quality| ["E", "Bb"].map(|root| symbol(&format!("{root}{quality}")))) {
            let wanted: BTreeSet<u8> = chord.formula().iter().map(|degree| degree.folded()).collect();
            for voicing in board.search(&chord, &request).unwrap().found(10) {
                let readings = readings_limited(&guitar.notes(&voicing.shape).unwrap(), &Context::default(), 3);
                let is_named = readings.iter().any(|reading| {
                    let tones: BTreeSet<u8> = reading.formula.iter().map(|degree| degree.folded()).collect();
                    reading.root.map(|root| root.pitch_class()) == Some(chord.root().pitch_class()) && tones == wanted
                });
                assert!(is_named, "{tuning} {chord} {}", voicing.shape);
            }
        }
    }
    // Over its fifth a suspended triad is the other kind of suspended triad, and is looked up as that.
    for tuning in ["standard", "drop D", "DADGAD", "open G"] {
        assert_eq!(suspended_over_their_fifth(tuning), 0, "{tuning}");
    }
    for (chord, taught_as_another) in [("Asus2", "022200"), ("C6", "3x2210"), ("Dsus2", "x02230"), ("Am6", "2x221x")] {
        let shape = taught_as_another.parse().unwrap();
        let place = all(&guitar, chord).iter().position(|voicing| voicing.shape == shape);
        assert!(place.is_none_or(|place| place >= 10), "{chord} {taught_as_another}: {place:?}");
    }
}

/// Counts the suspended triads on all roots among whose first ten another suspended triad stands, over that one's own root.
fn suspended_over_their_fifth(tuning: &str) -> usize {
    let guitar = rig("guitar", tuning, None);
    let board = ChordBoard::of(&guitar);
    let request = Request::default();
    let roots = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];
    let chords = roots.iter().flat_map(|root| ["sus2", "sus4"].map(|kind| symbol(&format!("{root}{kind}"))));
    let is_other = |chord: &ChordSymbol, voicing: &FoundVoicing| {
        let first = readings_limited(&guitar.notes(&voicing.shape).unwrap(), &Context::default(), 1);
        first.first().and_then(|first| first.root).is_some_and(|root| root.pitch_class() != chord.root().pitch_class())
    };
    let shown = |chord: &ChordSymbol| board.search(chord, &request).unwrap().found(10);
    chords.map(|chord| shown(&chord).iter().filter(|voicing| is_other(&chord, voicing)).count()).sum()
}

#[test]
fn the_common_forms_of_altered_and_extended_dominants_are_there() {
    let guitar = rig("guitar", "standard", None);
    for (chord, shape) in [
        ("E7#9", "x7678x"),
        ("C13", "x32335"),
        ("C13", "8-x-8-9-10-x"),
        ("G13", "3x345x"),
        ("G13", "3x3455"),
        ("F13", "1x123x"),
    ] {
        let shape = shape.parse().unwrap();
        let place = all(&guitar, chord).iter().position(|voicing| voicing.shape == shape);
        assert!(place.is_some_and(|place| place < 10), "{chord} {shape}: {place:?}");
    }
}

#[test]
fn on_a_bass_the_root_is_the_lowest_note() {
    let bass = rig("bass", "standard", None);
    for chord in ["F5", "Bb5", "C", "Am", "G7", "Dm7"] {
        for voicing in all(&bass, chord).iter().take(5) {
            let lowest = bass.notes(&voicing.shape).unwrap().into_iter().flatten().min().unwrap();
            assert_eq!(lowest.pitch_class(), symbol(chord).root().pitch_class(), "{chord} {}", voicing.shape);
        }
    }
}
