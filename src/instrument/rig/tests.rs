use proptest::prelude::*;

use super::*;
use crate::instrument::catalogue::{instrument_named, instruments, setup_from_text, standard_tuning};

fn string(number: u8) -> StringNumber {
    StringNumber::new(number).unwrap()
}

fn fret(number: u8) -> Fret {
    Fret::new(number).unwrap()
}

fn full(at: u8) -> Option<Capo> {
    Some(Capo { fret: fret(at), strings: Vec::new() })
}

fn partial(at: u8, strings: &[u8]) -> Option<Capo> {
    Some(Capo { fret: fret(at), strings: strings.iter().copied().map(string).collect() })
}

fn rig(instrument: &str, tuning: &str, capo: Option<Capo>) -> Rig {
    let (instrument, tuning) = setup_from_text(Some(instrument), Some(tuning)).unwrap();
    Rig::new(instrument, tuning, capo).unwrap()
}

/// Writes what each string sounds, `-` for a silent one.
fn written(notes: &[Option<MidiNote>]) -> String {
    let names = notes.iter().map(|note| note.map_or("-".to_owned(), |note| Pitch::usual(note).to_string()));
    names.collect::<Vec<_>>().join(" ")
}

#[track_caller]
fn check_sounds(rig: &Rig, shape: &str, expected: &str) {
    assert_eq!(written(&rig.notes(&shape.parse().unwrap()).unwrap()), expected, "{shape}");
}

#[track_caller]
fn check_refuses(rig: &Rig, shape: &str, message: &str) {
    assert_eq!(rig.notes(&shape.parse().unwrap()).unwrap_err().to_string(), message, "{shape}");
}

#[test]
fn a_full_capo_raises_every_string_and_takes_frets_away() {
    let rig = rig("guitar", "standard", full(3));
    check_sounds(&rig, "x 3 2 0 1 0", "- Eb3 G3 Bb3 Eb4 G4");
    assert_eq!(rig.open(string(6)).unwrap().to_string(), "G2");
    assert_eq!(rig.highest_fret(), fret(19));
    check_refuses(
        &rig,
        "x x x x x 20",
        "string 1, fret 20 is past the end of the neck: above the capo at fret 3 the last is 19",
    );
}

#[test]
fn a_partial_capo_counts_frets_from_itself_only_on_the_strings_it_covers() {
    // Common practice: strings 3, 4 and 5 held at the second fret give an open Esus4 with low and high E.
    let rig = rig("guitar", "standard", partial(2, &[3, 4, 5]));
    check_sounds(&rig, "0 0 0 0 0 0", "E2 B2 E3 A3 B3 E4");
    check_sounds(&rig, "2 2 x x x 5", "F#2 C#3 - - - A4");
    assert_eq!(rig.last_fret(string(6)), Some(fret(22)));
    assert_eq!(rig.last_fret(string(5)), Some(fret(20)));
    assert_eq!(rig.played_as().semitones(), 0);
}

#[test]
fn a_shape_that_does_not_fit_says_what_is_wrong() {
    let guitar = rig("guitar", "standard", None);
    check_refuses(&guitar, "x 3 2 0 1", "`x 3 2 0 1` has 5 strings, the tuning has 6 (E2 A2 D3 G3 B3 E4)");
    check_refuses(
        &guitar,
        "x1012120",
        "`x 1 0 1 2 1 2 0` has 8 strings, the tuning has 6 (E2 A2 D3 G3 B3 E4); put spaces between frets above 9",
    );
    check_refuses(&guitar, "x 3 2 0 23 0", "string 2, fret 23 is past the last fret, which is 22");
    let banjo = rig("banjo", "open G", None);
    check_refuses(&banjo, "50000", "string 5 starts at fret 5: after the open string its first fret is 6");
    assert_eq!(
        guitar.sounding(string(7), Fret::OPEN).unwrap_err().to_string(),
        "there is no string 7, the highest number is 6"
    );
    // What can be heard of such a shape is heard all the same.
    assert_eq!(written(&guitar.heard(&"x 3 2 0 23 0".parse().unwrap())), "- C3 E3 G3 - E4");
}

#[test]
fn a_capo_on_a_banjo_takes_the_fifth_string_along_unless_it_is_left_out() {
    check_sounds(&rig("banjo", "open G", full(2)), "00000", "A4 E3 A3 C#4 E4");
    check_sounds(&rig("banjo", "open G", full(2)), "7 0 0 0 0", "B4 E3 A3 C#4 E4");
    check_sounds(&rig("banjo", "open G", partial(2, &[1, 2, 3, 4])), "00000", "G4 E3 A3 C#4 E4");
    check_sounds(&rig("banjo", "open G", partial(2, &[1, 2, 3, 4])), "7 0 0 0 0", "A4 E3 A3 C#4 E4");
}

#[test]
fn a_shape_has_a_name_as_played_and_one_as_it_sounds() {
    let shape: Shape = "x 3 2 0 1 0".parse().unwrap();
    for (tuning, capo, semitones) in [
        ("standard", None, 0),
        ("standard", full(3), 3),
        ("standard", partial(3, &[1, 2, 3, 4, 5, 6]), 3),
        ("whole step down", None, -2),
        ("whole step down", full(2), 0),
        ("half step down", full(3), 2),
    ] {
        let rig = rig("guitar", tuning, capo);
        assert_eq!(rig.played_as().semitones(), semitones, "{tuning}");
        assert_eq!(written(&rig.notes_as_played(&shape).unwrap()), "- C3 E3 G3 C4 E4", "{tuning}");
    }
    // A tuning of its own has no other name for its shapes; only the capo counts.
    let rig = rig("guitar", "DADGAD", full(2));
    assert_eq!(rig.played_as(), PlayedAs { capo: 2, tuning: 0, like: None });
    assert_eq!(written(&rig.notes_as_played(&"000000".parse().unwrap()).unwrap()), "D2 A2 D3 G3 A3 D4");
}

#[test]
fn what_does_not_fit_together_is_refused() {
    let check = |change: &dyn Fn(&mut Instrument), tuning: &str, capo: Option<Capo>, message: &str| {
        let mut instrument = instrument_named("banjo").unwrap().instrument.clone();
        change(&mut instrument);
        let error = Rig::new(instrument, tuning.parse().unwrap(), capo).unwrap_err();
        assert_eq!(error.to_string(), message);
    };
    let open_g = "G4 D3 G3 B3 D4";
    let as_it_is = |_: &mut Instrument| ();
    let four = "the tuning has 4 strings (D3 G3 B3 D4), the banjo has 5";
    check(&as_it_is, "D3 G3 B3 D4", None, four);
    check(&as_it_is, open_g, full(23), "a capo at fret 23 is past the last fret, which is 22");
    check(&as_it_is, open_g, partial(2, &[6]), "the capo covers string 6, there are 5");
    let short = "a capo at fret 20 would start string 5 past the last fret, which is 22: leave that string out";
    check(&as_it_is, open_g, full(20), short);
    let no_length = "the scale length of the banjo is no length: expected millimetres above 0";
    check(&|banjo| banjo.scale = Millimetres(f64::NAN), open_g, None, no_length);
    check(&|banjo| banjo.scale = Millimetres(-667.0), open_g, None, no_length);
    let beyond = "the short string 5 cannot start at fret 5: there are 5 strings and 4 frets";
    check(&|banjo| banjo.frets = fret(4), open_g, None, beyond);
    let high = "string 5 would sound above the highest MIDI note with the capo at fret 2";
    check(&as_it_is, "F#9 D3 G3 B3 D4", full(2), high);
    let forty = "the tuning has 5 strings (G4 D3 G3 B3 D4), the banjo has 40";
    check(&|banjo| banjo.strings = 40, open_g, None, forty);
}

#[test]
fn reach_is_measured_between_stopped_fingers_only() {
    let reach = |instrument, capo, shape: &str| {
        let mm = rig(instrument, "standard", capo).reach(&shape.parse().unwrap()).unwrap().0;
        format!("{mm:.2}")
    };
    // 648 mm: fret 1 lies at 36.37 mm, 3 at 103.10, 5 at 162.55 (tests/reference/fret_positions_648.tsv).
    assert_eq!(reach("guitar", None, "x 3 2 0 1 0"), "66.73");
    assert_eq!(reach("guitar", None, "1 3 3 2 1 1"), "66.73");
    assert_eq!(reach("guitar", None, "0 0 0 0 0 0"), "0.00");
    assert_eq!(reach("guitar", None, "x 5 x x x x"), "0.00");
    // The same shape above a capo at 2 lies between frets 3 and 5.
    assert_eq!(reach("guitar", full(2), "x 3 2 0 1 0"), "59.45");
    assert_eq!(reach("banjo", None, "0 0 0 0 0"), "0.00");
}

/// Any known instrument, each string up to a fifth away from standard, with any capo that fits.
fn any_rig() -> impl Strategy<Value = Rig> {
    let capo = proptest::option::of((0..=24u8, proptest::collection::vec(1..=12u8, 0..6)));
    let shifts = proptest::collection::vec(-7..=7i32, 12);
    (0..instruments().len(), shifts, capo).prop_filter_map("the capo fits", |(index, shifts, capo)| {
        let instrument = instruments()[index].instrument.clone();
        let standard = &standard_tuning(&instrument).unwrap().notes;
        let pitches = standard.strings().iter().zip(shifts);
        let moved = pitches.map(|(pitch, shift)| Pitch::usual(pitch.midi().up(shift).unwrap()));
        let tuning = Tuning::new(moved.collect()).unwrap();
        let capo = capo.map(|(at, strings)| {
            let covers = strings.into_iter().filter(|number| *number <= instrument.strings).map(string);
            Capo { fret: fret(at), strings: covers.collect() }
        });
        Rig::new(instrument, tuning, capo).ok()
    })
}

/// Returns every place that can be played.
fn places_of(rig: &Rig) -> Vec<Place> {
    rig.strings().flat_map(|string| rig.frets(string).map(move |fret| Place { string, fret })).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn every_place_is_among_the_places_of_its_note(rig in any_rig()) {
        for place in places_of(&rig) {
            let note = rig.sounding(place.string, place.fret).unwrap();
            let places = rig.places(note);
            prop_assert!(places.contains(&place), "{place}");
            for other in places {
                prop_assert_eq!(rig.sounding(other.string, other.fret), Ok(note));
            }
        }
    }

    #[test]
    fn exactly_the_frets_of_a_string_sound(rig in any_rig()) {
        for string in (1..=12).map(string) {
            let sounding = (0..=Fret::LAST).map(fret).filter(|fret| rig.sounding(string, *fret).is_ok());
            prop_assert_eq!(sounding.collect::<Vec<_>>(), rig.frets(string).collect::<Vec<_>>());
        }
    }

    #[test]
    fn pitch_and_length_say_the_same(rig in any_rig()) {
        // Frequency times vibrating length is constant along a string (Mersenne); pitch comes from
        // counting semitones, length from the geometry of the neck.
        let a4 = crate::theory::pitch::Hertz(440.0);
        for string in rig.strings() {
            let product = |fret| {
                let hertz = crate::theory::pitch::equal_tempered(rig.sounding(string, fret).unwrap(), a4).0;
                hertz * rig.sounding_length(Place { string, fret }).unwrap().0
            };
            let open = product(Fret::OPEN);
            for place in places_of(&rig).iter().filter(|place| place.string == string) {
                prop_assert!((product(place.fret) / open - 1.0).abs() < 1e-9, "{place}");
            }
        }
    }

    #[test]
    fn a_shape_comes_back_from_its_notes(rig in any_rig(), picks in proptest::collection::vec(any::<u16>(), 12)) {
        let mut shape = Shape::muted(rig.strings().count());
        for (string, pick) in rig.strings().zip(picks) {
            let frets: Vec<Fret> = rig.frets(string).collect();
            shape.set(string, frets.get(usize::from(pick) % (frets.len() + 1)).copied());
        }
        let notes = rig.notes(&shape).unwrap();
        prop_assert_eq!(rig.heard(&shape), notes.clone());
        prop_assert_eq!(rig.shape_of(&notes), Ok(shape));
    }

    #[test]
    fn a_capo_at_the_nut_changes_nothing(rig in any_rig()) {
        let bare = Rig::new(rig.instrument().clone(), rig.tuning().clone(), None).unwrap();
        let at_nut = Rig::new(rig.instrument().clone(), rig.tuning().clone(), full(0)).unwrap();
        prop_assert_eq!(places_of(&bare), places_of(&at_nut));
        for place in places_of(&bare) {
            prop_assert_eq!(bare.sounding(place.string, place.fret), at_nut.sounding(place.string, place.fret));
        }
        prop_assert_eq!(bare.played_as(), at_nut.played_as());
    }

    #[test]
    fn a_capo_over_all_strings_raises_every_place_alike(rig in any_rig(), at in 1..12u8) {
        let bare = Rig::new(rig.instrument().clone(), rig.tuning().clone(), None).unwrap();
        if let Ok(capoed) = Rig::new(rig.instrument().clone(), rig.tuning().clone(), full(at)) {
            for place in places_of(&capoed) {
                let raised = bare.sounding(place.string, place.fret).unwrap().up(i32::from(at));
                prop_assert_eq!(capoed.sounding(place.string, place.fret).ok(), raised, "{}", place);
            }
        }
    }

    #[test]
    fn no_numbers_make_it_panic(
        strings: u8, frets in 0..=36u8, scale in proptest::num::f64::ANY, short in 1..=12u8, starts_at in 0..=36u8,
        capo in 0..=36u8, covers in proptest::collection::vec(1..=12u8, 0..4),
        open in proptest::collection::vec(0..=127u8, 3..=12), frets_held in proptest::collection::vec(0..=36u8, 0..=12),
    ) {
        let short = Some(ShortString { string: string(short), starts_at: fret(starts_at) });
        let scale = Millimetres(scale);
        let open = Tuning::new(open.into_iter().map(|n| Pitch::usual(MidiNote::new(n).unwrap())).collect()).unwrap();
        for strings in [strings, u8::try_from(open.strings().len()).unwrap()] {
            let instrument = Instrument { name: "\u{1b}[2J".to_owned(), strings, frets: fret(frets), scale, short };
            let shape = Shape::new(frets_held.iter().map(|number| Some(fret(*number))).collect()).unwrap();
            match Rig::new(instrument, open.clone(), partial(capo, &covers)) {
                Err(error) => prop_assert!(!error.to_string().contains(char::is_control)),
                Ok(rig) => {
                    let _ = (rig.notes(&shape), rig.notes_as_played(&shape), rig.reach(&shape), rig.heard(&shape));
                    for string in rig.strings() {
                        let open = rig.sounding(string, Fret::OPEN).unwrap();
                        prop_assert_eq!(Some(open), rig.open(string).map(Pitch::midi));
                    }
                }
            }
        }
    }
}
