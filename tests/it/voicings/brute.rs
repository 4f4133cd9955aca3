//! The search against every assignment of muted, open and stopped to the strings, sifted by the rules in words.

use std::collections::BTreeSet;

use fingerpost::instrument::body::{Instrument, Millimetres, ShortString};
use fingerpost::instrument::hand::{Finger, Hand, ThumbUse};
use fingerpost::instrument::neck::{Fret, Place, Shape, StringNumber};
use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::tuning::{Capo, Tuning};
use fingerpost::instrument::voicing::limits::{INNER_MUTES, SPAN};
use fingerpost::instrument::voicing::request::Request;
use fingerpost::instrument::voicing::search::voicings;
use fingerpost::instrument::voicing::tones::ChordTones;
use fingerpost::theory::pitch::{MidiNote, Pitch};
use fingerpost::theory::pitch_set::PitchSet;
use fingerpost::theory::symbol::ChordSymbol;
use proptest::prelude::*;

use super::{any_symbol, symbol};

/// Where a finger stands: the string's place, and the wire.
type Stop = (usize, u8);

/// Whether some assignment of fingers holds the stops, tried string by string.
fn can_be_held(rig: &Rig, shape: &Shape, request: &Request) -> bool {
    let stops: Vec<Stop> = stops(rig, shape);
    let try_with = |thumb: bool| {
        let mut assigned = Vec::new();
        if thumb {
            assigned.push((stops[0], Finger::Thumb));
        }
        hold(rig, shape, request, &stops[usize::from(thumb)..], &mut assigned)
    };
    let thumb = request.thumb == ThumbUse::IfNeeded && shape.strings().len() >= 5;
    try_with(false) || (thumb && stops.first().is_some_and(|(place, _)| *place == 0) && try_with(true))
}

fn stops(rig: &Rig, shape: &Shape) -> Vec<Stop> {
    let strings = rig.strings().zip(shape.strings()).enumerate();
    let stopped = strings.filter_map(|(place, (string, fret))| {
        let fret = fret.filter(|fret| *fret != Fret::OPEN)?;
        Some((place, rig.wire(Place { string, fret }).unwrap().number()))
    });
    stopped.collect()
}

fn hold(rig: &Rig, shape: &Shape, request: &Request, rest: &[Stop], assigned: &mut Vec<(Stop, Finger)>) -> bool {
    let Some((stop, rest)) = rest.split_first() else {
        return barres_hold(rig, shape, assigned) && thumb_reaches(rig, &request.hand, assigned);
    };
    [Finger::Index, Finger::Middle, Finger::Ring, Finger::Little].into_iter().any(|finger| {
        let fits = assigned.iter().all(|(other, other_finger)| match other_finger {
            Finger::Thumb => true,
            other_finger if *other_finger == finger => other.1 == stop.1,
            // The stop before is on a string with a higher number: on one fret it takes the lower finger.
            other_finger => {
                (if *other_finger < finger { other.1 <= stop.1 } else { other.1 > stop.1 })
                    && apart(rig, other.1, stop.1) <= request.hand.between(finger, *other_finger).0
            }
        });
        assigned.push((*stop, finger));
        let held = fits && hold(rig, shape, request, rest, assigned);
        assigned.pop();
        held
    })
}

fn apart(rig: &Rig, one: u8, other: u8) -> f64 {
    let from_nut = |wire: u8| rig.instrument().scale.0 * (1.0 - (-f64::from(wire) / 12.0).exp2());
    (from_nut(one) - from_nut(other)).abs()
}

/// The thumb is measured against the lowest finger.
fn thumb_reaches(rig: &Rig, hand: &Hand, assigned: &[(Stop, Finger)]) -> bool {
    let lowest = assigned.iter().filter(|(_, finger)| *finger != Finger::Thumb).map(|((_, wire), _)| *wire).min();
    let thumb = assigned.iter().find(|(_, finger)| *finger == Finger::Thumb).map(|((_, wire), _)| *wire);
    let fingers: BTreeSet<Finger> = assigned.iter().map(|(_, finger)| *finger).collect();
    if fingers.len() > 4 && !hand.has_thumb_beside_four() {
        return false;
    }
    thumb.zip(lowest).is_none_or(|(thumb, low)| apart(rig, thumb, low) <= hand.between(Finger::Thumb, Finger::Index).0)
}

/// Under a barre nothing sounds open or lower; the index spares one string and lets others work above it, the others
/// hold neighbours only, three or four of them.
fn barres_hold(rig: &Rig, shape: &Shape, assigned: &[(Stop, Finger)]) -> bool {
    let stops = stops(rig, shape);
    [(Finger::Index, 12), (Finger::Middle, 4), (Finger::Ring, 4), (Finger::Little, 3)].into_iter().all(
        |(finger, longest)| {
            let held: Vec<Stop> =
                assigned.iter().filter(|(_, other)| *other == finger).map(|(stop, _)| *stop).collect();
            let (Some((from, wire)), Some((to, _))) = (held.first(), held.last()) else { return true };
            let under = &shape.strings()[*from..=*to];
            let muted = under.iter().filter(|fret| fret.is_none()).count();
            let inside: Vec<u8> =
                stops.iter().filter(|(place, _)| (from..=to).contains(&place)).map(|stop| stop.1).collect();
            let no_open = inside.len() + muted == under.len();
            let flat = muted == 0 && inside.iter().all(|other| other == wire);
            held.len() < 2
                || no_open
                    && inside.iter().all(|other| other >= wire)
                    && muted <= 1
                    && (finger == Finger::Index || flat)
                    && under.len() <= longest
        },
    )
}

/// Whether a shape is a voicing of the symbol that the request allows.
fn belongs(rig: &Rig, chord: &ChordSymbol, tones: &ChordTones, request: &Request, shape: &Shape) -> bool {
    let notes = rig.notes(shape).unwrap();
    let sounding: Vec<MidiNote> = notes.iter().flatten().copied().collect();
    let (Some(lowest), Some(highest)) = (sounding.iter().min(), sounding.iter().max()) else { return false };
    let set: PitchSet = sounding.iter().map(|note| note.pitch_class()).collect();
    let bass_is_right = chord.bass().is_none_or(|bass| {
        let own: PitchSet = chord
            .formula()
            .iter()
            .fold(PitchSet::EMPTY, |set, degree| set.with_class(chord.root().pitch_class().number() + degree.folded()));
        let times = sounding.iter().filter(|note| note.pitch_class() == bass.pitch_class()).count();
        lowest.pitch_class() == bass.pitch_class() && (own.has(bass.pitch_class().number()) || times == 1)
    });
    let sought = request.top.is_none_or(|top| top.is(*highest)) && request.bass.is_none_or(|bass| bass.is(*lowest));
    tones.are_voiced_by(set) && bass_is_right && sought && mutes_are_damped(shape) && lies_in_reach(rig, shape, request)
}

fn mutes_are_damped(shape: &Shape) -> bool {
    let strings = shape.strings();
    let sounds = |fret: &Option<Fret>| fret.is_some();
    let (Some(first), Some(last)) = (strings.iter().position(sounds), strings.iter().rposition(sounds)) else {
        return false;
    };
    let inner: Vec<usize> = (first..last).filter(|place| strings[*place].is_none()).collect();
    let stopped = |place: usize| strings[place].is_some_and(|fret| fret != Fret::OPEN);
    inner.len() <= INNER_MUTES as usize && inner.iter().all(|place| stopped(place - 1) || stopped(place + 1))
}

fn lies_in_reach(rig: &Rig, shape: &Shape, request: &Request) -> bool {
    let wires: Vec<u8> = stops(rig, shape).into_iter().map(|stop| stop.1).collect();
    let (Some(low), Some(high)) = (wires.iter().min(), wires.iter().max()) else { return true };
    high - low <= SPAN as u8 && apart(rig, *low, *high) <= request.hand.reach().0
}

/// Every voicing by plain enumeration, in the order of shapes.
fn enumerated(rig: &Rig, chord: &ChordSymbol, request: &Request) -> Vec<Shape> {
    let Ok(tones) = ChordTones::of(chord, rig.tuning().strings().len()) else { return Vec::new() };
    // On a bass, whose strings all are below F3, the root and the tenth above it make a triad.
    let is_bass = rig.tuning().strings().iter().all(|string| string.midi().number() < 53);
    let tones = if is_bass { tones.on_a_bass(chord) } else { tones };
    let mut shapes = vec![Vec::new()];
    for string in rig.strings() {
        let sounds = |fret: &Fret| {
            let note = rig.sounding(string, *fret).map(MidiNote::number);
            request.frets.contains(fret) && note.is_ok_and(|note| chord.pitch_classes().has(note % 12))
        };
        let choices: Vec<Option<Fret>> =
            std::iter::once(None).chain(rig.frets(string).filter(sounds).map(Some)).collect();
        let extended = |shape: &Vec<Option<Fret>>| {
            choices.iter().map(|choice| shape.iter().copied().chain([*choice]).collect()).collect::<Vec<_>>()
        };
        shapes = shapes.iter().flat_map(extended).collect();
    }
    let mut found: Vec<Shape> = shapes.into_iter().filter_map(Shape::new).collect();
    found.retain(|shape| belongs(rig, chord, &tones, request, shape) && can_be_held(rig, shape, request));
    found.sort();
    found
}

#[track_caller]
fn check(rig: &Rig, chord: &ChordSymbol, request: &Request) -> usize {
    let mut found: Vec<Shape> =
        voicings(rig, chord, request, usize::MAX).into_iter().flatten().map(|voicing| voicing.shape).collect();
    found.sort();
    let expected = enumerated(rig, chord, request);
    let missing: Vec<String> =
        expected.iter().filter(|shape| !found.contains(shape)).map(ToString::to_string).collect();
    let extra: Vec<String> = found.iter().filter(|shape| !expected.contains(shape)).map(ToString::to_string).collect();
    assert!(
        missing.is_empty() && extra.is_empty(),
        "{chord} on {}: missing {missing:?}, extra {extra:?}",
        rig.tuning()
    );
    found.len()
}

fn neck(tuning: &str, frets: u8, scale: f64, short: Option<ShortString>, capo: Option<Capo>) -> Rig {
    let tuning: Tuning = tuning.parse().unwrap();
    let strings = u8::try_from(tuning.strings().len()).unwrap();
    let (name, frets, scale) = ("neck".to_owned(), Fret::new(frets).unwrap(), Millimetres(scale));
    Rig::new(Instrument { name, strings, frets, scale, short }, tuning, capo).unwrap()
}

fn capo(fret: u8, strings: &[u8]) -> Option<Capo> {
    let strings = strings.iter().filter_map(|string| StringNumber::new(*string)).collect();
    Some(Capo { fret: Fret::new(fret).unwrap(), strings })
}

fn fret(number: u8) -> Fret {
    Fret::new(number).unwrap()
}

#[test]
fn the_search_finds_what_enumeration_finds_on_many_necks() {
    let short = Some(ShortString { string: StringNumber::new(5).unwrap(), starts_at: fret(2) });
    let necks = [
        (neck("E2 A2 D3 G3 B3 E4", 5, 648.0, None, None), vec!["C", "Em7", "G7", "A9", "D/F#", "G/A"]),
        (neck("D2 A2 D3 G3 A3 D4", 5, 648.0, None, None), vec!["Dsus4", "G6", "A7sus4"]),
        (neck("E2 A2 D3 G3 B3 E4", 6, 648.0, None, capo(2, &[])), vec!["D", "Bm7"]),
        (neck("E2 A2 D3 G3 B3 E4", 5, 648.0, None, capo(2, &[5, 4, 3])), vec!["Esus4", "E", "Aadd9"]),
        (neck("G4 C4 E4 A4", 9, 350.0, None, None), vec!["C", "F7", "Bbmaj9", "D13", "C/E"]),
        (neck("G4 D3 G3 B3 D4", 7, 667.0, short, None), vec!["G", "C6", "Em7", "Gdim"]),
        (neck("B0 E1 A1 D2 G2", 6, 864.0, None, None), vec!["E5", "G", "A7"]),
        (neck("G3 D4 A4 E5", 9, 350.0, None, None), vec!["G", "Dm6", "A7"]),
        (neck("D3 A3 D4", 12, 700.0, None, None), vec!["D5", "G", "Bm", "A7"]),
    ];
    let mut found = 0;
    for (rig, symbols) in &necks {
        for text in symbols {
            found += check(rig, &symbol(text), &Request::default());
        }
    }
    assert!(found > 2000, "{found} voicings compared");
}

#[test]
fn what_is_asked_for_sifts_the_list_and_nothing_else() {
    let guitar = neck("E2 A2 D3 G3 B3 E4", 6, 648.0, None, None);
    let hand = |reach| Hand::default().reaching(Millimetres(reach)).unwrap();
    let plain = Request::default;
    let requests = [
        Request { top: Some("E".parse().unwrap()), ..plain() },
        Request { top: Some("G4".parse().unwrap()), ..plain() },
        Request { bass: Some("E".parse().unwrap()), ..plain() },
        Request { bass: Some("C3".parse().unwrap()), ..plain() },
        Request { frets: fret(2)..=fret(5), ..plain() },
        Request { frets: fret(0)..=fret(3), ..plain() },
        Request { hand: hand(70.0), ..plain() },
        Request { hand: hand(130.0), ..plain() },
        Request { thumb: ThumbUse::Never, hand: hand(113.0), ..plain() },
    ];
    let everything = check(&guitar, &symbol("C"), &plain());
    for request in requests {
        let found = check(&guitar, &symbol("C"), &request);
        let sifted = found < everything || request.hand.reach().0 > 112.0;
        assert!(found > 0 && sifted, "{request:?}: {found} of {everything}");
    }
}

fn any_rig() -> impl Strategy<Value = Rig> {
    let capo = prop_oneof![
        3 => Just(None),
        1 => (1..=2u8).prop_map(|fret| capo(fret, &[])),
        1 => (1..=2u8).prop_map(|fret| capo(fret, &[3, 2])),
    ];
    (proptest::collection::vec(36..=72u8, 3..=6), 330.0..860.0f64, capo).prop_map(|(open, scale, capo)| {
        let frets = [10, 7, 6, 5][open.len() - 3];
        let open: Vec<String> =
            open.iter().filter_map(|note| MidiNote::new(*note)).map(|note| Pitch::usual(note).to_string()).collect();
        neck(&open.join(" "), frets, scale, None, capo)
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 120, ..ProptestConfig::default() })]

    #[test]
    fn the_search_finds_what_enumeration_finds_on_any_small_neck(rig in any_rig(), chord in any_symbol(), reach in 40.0..140.0f64) {
        let hand = Hand::default().reaching(Millimetres(reach)).unwrap();
        check(&rig, &chord, &Request { hand, ..Request::default() });
    }
}
