//! Placement on the neck: against the published board, by properties, and where every teacher knows the answer.

use fingerpost::instrument::body::{Instrument, Millimetres};
use fingerpost::instrument::catalogue::setup_from_text;
use fingerpost::instrument::fingering::fingering;
use fingerpost::instrument::hand::Hand;
use fingerpost::instrument::neck::{Fret, Place, Shape, StringNumber};
use fingerpost::instrument::placement::line::{Limits, Milliseconds, NoteTarget, Pin, Slice, Wanted};
use fingerpost::instrument::placement::{Placement, place};
use fingerpost::instrument::rig::Rig;
use fingerpost::theory::pitch::{MidiNote, Pitch};
use proptest::prelude::*;

mod forms;
mod moved;

pub fn rig(instrument: &str, tuning: Option<&str>, capo: Option<&str>) -> Rig {
    let (body, tuning) = setup_from_text(Some(instrument), tuning).unwrap();
    Rig::new(body, tuning, capo.map(|capo| capo.parse().unwrap())).unwrap()
}

fn midi(number: u8) -> MidiNote {
    MidiNote::new(number).unwrap()
}

/// Reads `C3 D3 C3+E3`, each `ms` long.
fn line(notes: &str, ms: u64) -> Vec<Slice> {
    let wanted = |note: &str| Wanted::pitch(note.parse::<Pitch>().unwrap().midi(), Milliseconds(ms));
    let slice = |(slice, at): (&str, u64)| Slice {
        start: Milliseconds(at * ms),
        notes: slice.split('+').map(wanted).collect(),
    };
    notes.split_whitespace().zip(0..).map(slice).collect()
}

/// Shows a placement as `string/fret`, chords joined with `+`.
fn shown(placement: &Placement) -> String {
    let slices = placement.slices.iter().map(|slice| {
        let notes = slice.notes.iter().map(|note| format!("{}/{}", note.place.string, note.place.fret));
        notes.collect::<Vec<_>>().join("+")
    });
    slices.collect::<Vec<_>>().join(" ")
}

fn frets(placement: &Placement) -> Vec<u8> {
    placement.slices.iter().flat_map(|slice| slice.notes.iter().map(|note| note.place.fret.number())).collect()
}

#[track_caller]
fn check(rig: &Rig, notes: &str, ms: u64, expected: &str) {
    let placement = place(rig, &line(notes, ms), Limits::NONE).unwrap();
    assert_eq!(shown(&placement), expected, "{notes}");
}

#[test]
fn the_board_is_that_of_the_published_figure() {
    // Lombardo & Radicioni, "Guitar fingering for music performance", Figure 1: MIDI on the board, frets 0 to 12.
    let guitar = rig("guitar", None, None);
    for (string, low, high) in [(1, 64, 76), (2, 59, 71), (3, 55, 67), (4, 50, 62), (5, 45, 57), (6, 40, 52)] {
        let string = StringNumber::new(string).unwrap();
        assert_eq!(guitar.sounding(string, Fret::OPEN), Ok(midi(low)));
        assert_eq!(guitar.sounding(string, Fret::new(12).unwrap()), Ok(midi(high)));
    }
    // E4 as <string, fret>: the same figure up to fret 12 and <4,14>; <5,19> and <6,24> by arithmetic.
    let mut body = guitar.instrument().clone();
    body.frets = Fret::new(24).unwrap();
    let long = Rig::new(body, guitar.tuning().clone(), None).unwrap();
    let places: Vec<(u8, u8)> =
        long.places(midi(64)).iter().map(|place| (place.string.number(), place.fret.number())).collect();
    assert_eq!(places, [(6, 24), (5, 19), (4, 14), (3, 9), (2, 5), (1, 0)]);
    // Each of them is what a pin gives.
    for place_of in long.places(midi(64)) {
        let mut asked = line("E4", 250);
        asked[0].notes[0].pin = Pin { string: Some(place_of.string), fret: Some(place_of.fret), position: None };
        assert_eq!(place(&long, &asked, Limits::NONE).unwrap().slices[0].notes[0].place, place_of);
    }
}

#[test]
fn scales_lie_where_teachers_teach_them() {
    // Common practice, no published source.
    let guitar = rig("guitar", None, None);
    check(&guitar, "C3 D3 E3 F3 G3 A3 B3 C4", 250, "5/3 4/0 4/2 4/3 3/0 3/2 2/0 2/1");
    check(
        &guitar,
        "G2 A2 B2 C3 D3 E3 F#3 G3 A3 B3 C4 D4 E4 F#4 G4",
        250,
        "6/3 5/0 5/2 5/3 4/0 4/2 4/4 3/0 3/2 2/0 2/1 2/3 1/0 1/2 1/3",
    );
    check(&guitar, "E2 G2 A2 A#2 B2 D3 E3", 250, "6/0 6/3 5/0 5/1 5/2 4/0 4/2");
    check(&guitar, "A2 C3 D3 E3 G3 A3 C4 D4 E4 G4 A4 C5", 125, "6/5 6/8 5/5 5/7 4/5 4/7 3/5 3/7 2/5 2/8 1/5 1/8");
    let bass = rig("bass", None, None);
    check(&bass, "E1 G1 A1 B1 D2 E2", 250, "4/0 4/3 3/0 3/2 2/0 2/2");
    check(&bass, "A#1 C2 D2 D#2 F2 G2 A2 A#2", 250, "3/1 3/3 2/0 2/1 2/3 1/0 1/2 1/3");
    let ukulele = rig("ukulele", None, None);
    check(&ukulele, "C4 D4 E4 F4 G4 A4 B4 C5", 250, "3/0 3/2 2/0 2/1 2/3 1/0 1/2 1/3");
    let banjo = rig("banjo", None, None);
    check(&banjo, "G3 B3 D4 G4 D4 B3 G3", 125, "3/0 2/0 1/0 5/0 1/0 2/0 3/0");
    let mandolin = rig("mandolin", None, None);
    check(
        &mandolin,
        "G3 A3 B3 C4 D4 E4 F#4 G4 A4 B4 C5 D5 E5 F#5 G5 A5 B5",
        125,
        "4/0 4/2 4/4 4/5 3/0 3/2 3/4 3/5 2/0 2/2 2/3 2/5 1/0 1/2 1/3 1/5 1/7",
    );
}

#[test]
fn chords_lie_where_teachers_teach_them() {
    // Common practice, no published source.
    let guitar = rig("guitar", None, None);
    check(&guitar, "C3+E3+G3+C4+E4", 1000, "5/3+4/2+3/0+2/1+1/0");
    check(&guitar, "E2+B2+E3+G#3+B3+E4", 1000, "6/0+5/2+4/2+3/1+2/0+1/0");
    check(&guitar, "F2+C3+F3+A3+C4+F4", 1000, "6/1+5/3+4/3+3/2+2/1+1/1");
    check(&guitar, "D3+A3+D4+F#4", 1000, "4/0+3/2+2/3+1/2");
    check(&guitar, "B2+D#3+A3+B3+F#4", 1000, "5/2+4/1+3/2+2/0+1/2");
    // Two fingers side by side, or one flat: the most ordinary grips.
    check(&guitar, "C4+E4+G4", 500, "3/5+2/5+1/3");
    check(&guitar, "E4+A4", 500, "2/5+1/5");
    check(
        &rig("guitar", Some("drop D"), None),
        "D2+A2+D3 F2+C3+F3 G2+D3+G3",
        250,
        "6/0+5/0+4/0 6/3+5/3+4/3 6/5+5/5+4/5",
    );
    check(&rig("ukulele", None, None), "G4+C4+E4+C5", 1000, "4/0+3/0+2/0+1/3");
    check(&rig("banjo", None, None), "D3+G3+B3+D4", 1000, "4/0+3/0+2/0+1/0");
}

#[test]
fn fingers_are_those_written_on_grids() {
    // Common practice, no published source.
    let guitar = rig("guitar", None, None);
    for (notes, fingers) in [
        ("C3+E3+G3+C4+E4", [Some(3), Some(2), None, Some(1), None].as_slice()),
        ("A2+E3+A3+C4+E4", &[None, Some(2), Some(3), Some(1), None]),
        ("E2+B2+E3+G#3+B3+E4", &[None, Some(2), Some(3), Some(1), None, None]),
        ("F2+C3+F3+A3+C4+F4", &[Some(1), Some(3), Some(4), Some(2), Some(1), Some(1)]),
        ("B2+D#3+A3+B3+F#4", &[Some(2), Some(1), Some(3), None, Some(4)]),
    ] {
        let placement = place(&guitar, &line(notes, 1000), Limits::NONE).unwrap();
        let found: Vec<Option<u8>> = placement.slices[0].notes.iter().map(|note| note.finger).collect();
        assert_eq!(found, fingers, "{notes}");
    }
}

#[test]
fn a_fast_scale_from_the_fifth_fret_stays_in_one_position() {
    let guitar = rig("guitar", None, None);
    let mut asked = line("A2 B2 C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4 G4 A4", 100);
    asked[0].notes[0].pin = Pin { string: StringNumber::new(6), fret: None, position: Fret::new(5) };
    let placement = place(&guitar, &asked, Limits::NONE).unwrap();
    let positions: Vec<Option<Fret>> = placement.slices.iter().map(|slice| slice.position).collect();
    assert!(positions.windows(2).all(|pair| pair[0] == pair[1]), "{}", shown(&placement));
    assert!(frets(&placement).iter().all(|fret| (4..=9).contains(fret)), "{}", shown(&placement));
}

#[test]
fn a_move_waits_for_an_open_string_or_a_rest() {
    // The same notes: after a rest of a second the hand may go up for what it would else stretch to.
    let guitar = rig("guitar", None, None);
    let cost = |rest: u64| {
        let mut asked = line("F2 G#2 C#3 C6 A#5", 125);
        for slice in asked.iter_mut().skip(3) {
            slice.start.0 += rest;
        }
        place(&guitar, &asked, Limits::NONE).unwrap().cost
    };
    assert!(cost(1000) < cost(250) && cost(250) < cost(0));
}

#[test]
fn errors_say_which_note_and_what_there_is() {
    let guitar = rig("guitar", None, None);
    let message = |notes: &str, limits: Limits| place(&guitar, &line(notes, 250), limits).unwrap_err().to_string();
    assert_eq!(
        message("E4 C2 A4 D2", Limits::NONE),
        "note 2, C2, is not on the guitar, which sounds E2 to D6; nor is one more note of the line"
    );
    let range = Limits { lowest: Fret::new(5).unwrap(), highest: Fret::new(9).unwrap() };
    assert_eq!(message("A2 E2", range), "note 2, E2, cannot be played within frets 5-9: it lies at string 6 open");
    assert_eq!(
        message("A2 E2+F2", Limits::NONE),
        "the chord at note 2, E2+F2, cannot be played at once: two of its notes need one string"
    );
    assert_eq!(
        message("F2+C#6", Limits::NONE),
        "the chord at note 1, F2+C#6, cannot be played at once: no hand reaches all of its notes"
    );
    assert_eq!(
        message("E3+F3+G3+A3+B3+C4+D4", Limits::NONE),
        "the chord at note 1 has 7 notes at once, and there are 6 strings"
    );
    let mut asked = line("E4", 250);
    asked[0].notes[0].pin.string = StringNumber::new(6);
    assert_eq!(
        place(&guitar, &asked, Limits::NONE).unwrap_err().to_string(),
        "note 1, E4, cannot be played on string 6: it lies at string 5, fret 19; string 4, fret 14; string 3, fret 9; \
         string 2, fret 5; string 1 open"
    );
}

/// Any instrument of 3 to 12 strings: re-entrant, in unisons, with a short string or a capo.
fn any_rig() -> impl Strategy<Value = Rig> {
    (
        proptest::collection::vec(28u8..70, 3..=12),
        12u8..25,
        prop::sample::select(vec![340.0, 648.0, 864.0]),
        prop::option::of((1u8..12, 1u8..6)),
        prop::option::of((1u8..5, any::<bool>())),
    )
        .prop_filter_map("no such rig", |(open, frets, scale, short, capo)| {
            let strings = u8::try_from(open.len()).ok()?;
            let tuning = open.iter().map(|note| Pitch::usual(midi(*note))).collect();
            let short = short.and_then(|(string, starts_at)| {
                Some(fingerpost::instrument::body::ShortString {
                    string: StringNumber::new(string)?,
                    starts_at: Fret::new(starts_at)?,
                })
            });
            let capo = capo.map(|(fret, partial)| fingerpost::instrument::tuning::Capo {
                fret: Fret::new(fret).unwrap(),
                strings: if partial { (1..3).filter_map(StringNumber::new).collect() } else { Vec::new() },
            });
            let body =
                Instrument { name: "any".into(), strings, frets: Fret::new(frets)?, scale: Millimetres(scale), short };
            Rig::new(body, fingerpost::instrument::tuning::Tuning::new(tuning)?, capo).ok()
        })
}

/// A line of notes that a rig has: `picks` choose them, the second number of each says how long and how soon.
fn line_on(rig: &Rig, picks: &[Vec<(u16, u8)>]) -> Vec<Slice> {
    let has: Vec<MidiNote> = (0..=127).map(midi).filter(|note| !rig.places(*note).is_empty()).collect();
    let mut start = 0;
    let mut slices = Vec::new();
    for slice in picks {
        let note = |(pick, time): &(u16, u8)| {
            Wanted::pitch(has[usize::from(*pick) % has.len()], Milliseconds(u64::from(*time) * 10))
        };
        slices.push(Slice { start: Milliseconds(start), notes: slice.iter().map(note).collect() });
        start += u64::from(slice.first().map_or(1, |(_, time)| *time)) * 8;
    }
    slices
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn what_sounds_is_what_was_asked(
        rig in any_rig(),
        picks in proptest::collection::vec(proptest::collection::vec((any::<u16>(), any::<u8>()), 0..4), 0..12),
    ) {
        let asked = line_on(&rig, &picks);
        match place(&rig, &asked, Limits::NONE) {
            Ok(placement) => {
                prop_assert_eq!(placement.slices.len(), asked.len());
                for (slice, wanted) in placement.slices.iter().zip(&asked) {
                    prop_assert_eq!(slice.notes.len(), wanted.notes.len());
                    for (placed, wanted) in slice.notes.iter().zip(&wanted.notes) {
                        let Place { string, fret } = placed.place;
                        prop_assert_eq!(rig.sounding(string, fret).map(NoteTarget::Pitch), Ok(wanted.target));
                        prop_assert_eq!(placed.finger.is_none(), fret == Fret::OPEN);
                    }
                    let mut strings: Vec<_> = slice.notes.iter().map(|placed| placed.place.string).collect();
                    strings.sort_unstable();
                    strings.dedup();
                    prop_assert_eq!(strings.len(), slice.notes.len(), "two notes on one string");
                }
            }
            // Only chords may fail, and the chord that fails is one.
            Err(error) => prop_assert!(asked[error.slice()].notes.len() > 1, "{}", error),
        }
    }

    #[test]
    fn pins_and_limits_are_obeyed(
        rig in any_rig(),
        picks in proptest::collection::vec((any::<u16>(), any::<u8>()), 1..10),
        pins in proptest::collection::vec(prop::option::of((any::<u8>(), any::<bool>())), 10),
        highest in 5u8..12,
    ) {
        let picks: Vec<Vec<(u16, u8)>> = picks.into_iter().map(|pick| vec![pick]).collect();
        let mut asked = line_on(&rig, &picks);
        for (slice, pin) in asked.iter_mut().zip(&pins) {
            let wanted = &mut slice.notes[0];
            let NoteTarget::Pitch(note) = wanted.target else { unreachable!() };
            let places = rig.places(note);
            if let Some((which, with_fret)) = pin {
                let pinned = places[usize::from(*which) % places.len()];
                wanted.pin.string = Some(pinned.string);
                wanted.pin.fret = with_fret.then_some(pinned.fret);
            }
        }
        let placement = place(&rig, &asked, Limits::NONE).unwrap();
        for (slice, wanted) in placement.slices.iter().zip(&asked) {
            let pin = wanted.notes[0].pin;
            let placed = slice.notes[0].place;
            prop_assert!(pin.string.is_none_or(|string| string == placed.string));
            prop_assert!(pin.fret.is_none_or(|fret| fret == placed.fret));
        }
        let limits = Limits { lowest: Fret::new(2).unwrap(), highest: Fret::new(highest).unwrap() };
        match place(&rig, &asked, limits) {
            Ok(placement) => prop_assert!(frets(&placement).iter().all(|fret| (2..=highest).contains(fret))),
            Err(error) => {
                let wanted = asked[error.slice()].notes[0];
                let NoteTarget::Pitch(note) = wanted.target else { unreachable!() };
                let fits = |place: &Place| {
                    (limits.lowest..=limits.highest).contains(&place.fret)
                        && wanted.pin.string.is_none_or(|string| string == place.string)
                        && wanted.pin.fret.is_none_or(|fret| fret == place.fret)
                };
                prop_assert!(!rig.places(note).iter().any(fits), "{}", error);
            }
        }
    }

    /// A capo over all strings is a nut further up: the same shapes, sounding higher.
    #[test]
    fn a_capo_keeps_the_placement(
        which in 0..4usize,
        fret in 1u8..5,
        picks in proptest::collection::vec((0u16..20, 10u8..60), 1..12),
    ) {
        let instrument = ["guitar", "bass", "ukulele", "banjo"][which];
        let open = rig(instrument, None, None);
        let raised = rig(instrument, None, Some(&fret.to_string()));
        // Short enough a neck that the capo takes nothing away.
        let limits = Limits { lowest: Fret::OPEN, highest: Fret::new(9).unwrap() };
        let picks: Vec<Vec<(u16, u8)>> = picks.into_iter().map(|pick| vec![pick]).collect();
        let has: Vec<MidiNote> = (0..=127)
            .map(midi)
            .filter(|note| open.places(*note).iter().any(|place| place.fret.number() <= 9))
            .collect();
        let mut asked = line_on(&open, &picks);
        for (slice, pick) in asked.iter_mut().zip(&picks) {
            slice.notes[0].target = NoteTarget::Pitch(has[usize::from(pick[0].0) % has.len()]);
        }
        let mut higher = asked.clone();
        for slice in &mut higher {
            let NoteTarget::Pitch(note) = slice.notes[0].target else { unreachable!() };
            slice.notes[0].target = NoteTarget::Pitch(note.up(i32::from(fret)).unwrap());
        }
        let (below, above) = (place(&open, &asked, limits), place(&raised, &higher, limits));
        prop_assert_eq!(below.map(|placement| shown(&placement)), above.map(|placement| shown(&placement)));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// A chord is spread no further over the neck than `fingering` lets a hand be.
    #[test]
    fn no_chord_is_wider_than_a_hand(
        which in 0..5usize,
        picks in proptest::collection::vec(any::<u16>(), 2..6),
    ) {
        let (instrument, tuning) = [
            ("guitar", None),
            ("guitar", Some("drop D")),
            ("guitar", Some("DADGAD")),
            ("bass", None),
            ("mandolin", None),
        ][which];
        let rig = rig(instrument, tuning, None);
        let picks: Vec<(u16, u8)> = picks.into_iter().map(|pick| (pick, 50)).collect();
        if let Ok(placement) = place(&rig, &line_on(&rig, &[picks]), Limits::NONE) {
            let mut frets = vec![None; rig.tuning().strings().len()];
            for note in &placement.slices[0].notes {
                let at = frets.len() - usize::from(note.place.string.number());
                frets[at] = Some(note.place.fret);
            }
            let shape = Shape::new(frets).unwrap();
            let held = fingering(&rig, &shape, &Hand::default());
            prop_assert!(held.is_ok(), "{shape}: {held:?}");
        }
    }
}

#[test]
fn a_chord_that_no_hand_reaches_is_refused_as_fingering_refuses_it() {
    // An A over a lowered sixth string: 7 4 2 2 2 5 is 145 mm wide, and a medium hand reaches 112 mm.
    let lowered = rig("guitar", Some("drop D"), None);
    let error = place(&lowered, &line("A2+C#3+E3+A3+C#4+A4", 1000), Limits::NONE).unwrap_err().to_string();
    assert!(error.ends_with("cannot be played at once: no hand reaches all of its notes"), "{error}");
}
