//! Pitches, keys and intervals against tables from outside.

use fingerpost::theory::degree::Degree;
use fingerpost::theory::interval::{Interval, IntervalQuality};
use fingerpost::theory::key::{Key, KeyMode};
use fingerpost::theory::pitch::{Hertz, Letter, MidiNote, NoteName, Pitch, PitchClass, equal_tempered};
use fingerpost::theory::symbol::ChordSymbol;
use proptest::prelude::*;

use crate::reference::rows;

fn names(text: &str) -> Vec<NoteName> {
    text.split_whitespace().map(|name| name.parse().unwrap()).collect()
}

#[test]
fn midi_numbers_have_the_published_names() {
    // Source: pretty_midi, librosa and music21, tests/reference/midi_names.tsv.
    let table = include_str!("../reference/midi_names.tsv");
    for [midi, sharp, flat, class, octave] in rows(table, ["midi", "sharp_name", "flat_name", "pitch_class", "octave"])
    {
        let note = MidiNote::new(midi.parse().unwrap()).unwrap();
        assert_eq!(note.pitch_class().number().to_string(), class);
        for name in [sharp, flat] {
            let pitch: Pitch = name.parse().unwrap();
            assert_eq!(pitch.midi(), note, "{name}");
            assert_eq!(pitch.octave().to_string(), octave, "{name}");
            assert_eq!(pitch.to_string(), name);
        }
    }
    assert_eq!(MidiNote::new(128), None);
}

#[test]
fn notes_sound_at_the_published_frequencies() {
    // Source: librosa, pretty_midi and music21; A4 = 440 Hz is ISO 16:1975. tests/reference/et_frequencies.tsv.
    let table = include_str!("../reference/et_frequencies.tsv");
    for [midi, at_440, at_415, at_432, at_442] in rows(table, ["midi", "hz_a440", "hz_a415", "hz_a432", "hz_a442"]) {
        let note = MidiNote::new(midi.parse().unwrap()).unwrap();
        for (reference, published) in [(440.0, at_440), (415.0, at_415), (432.0, at_432), (442.0, at_442)] {
            let published: f64 = published.parse().unwrap();
            let ours = equal_tempered(note, Hertz(reference)).0;
            assert!((ours - published).abs() <= 1e-6 * published.max(1.0), "MIDI {midi} at {reference}: {ours}");
        }
    }
}

#[test]
fn keys_have_the_published_signatures_and_scales() {
    // Source: music21, tests/reference/key_signatures.tsv.
    let table = include_str!("../reference/key_signatures.tsv");
    let columns = ["fifths", "tonic", "mode", "altered_in_order", "scale", "relative"];
    for [fifths, tonic, mode, altered, scale, relative] in rows(table, columns) {
        let mode = if mode == "major" { KeyMode::Major } else { KeyMode::Minor };
        let key = Key::new(tonic.parse().unwrap(), mode).unwrap();
        assert_eq!(key.fifths().to_string(), fifths, "{key}");
        assert_eq!(key.scale().to_vec(), names(scale), "{key}");
        for letter in Letter::ALL {
            let sign = names(altered).into_iter().find(|name| name.letter() == letter).map_or(0, NoteName::accidental);
            assert_eq!(key.signature(letter), sign, "{letter:?} in {key}");
        }
        let (relative, relative_mode) = relative.split_once(' ').unwrap();
        let relative: Key = format!("{relative} {relative_mode}").parse().unwrap();
        assert_eq!(relative.fifths(), key.fifths());
        assert_ne!(relative.mode(), key.mode());
    }
}

#[test]
fn keys_read_back_what_they_print_and_refuse_the_rest() {
    for fifths in -7..=7i8 {
        for mode in KeyMode::ALL {
            let key = all_keys().find(|key| key.fifths() == fifths && key.mode() == mode).unwrap();
            assert_eq!(key.to_string().parse(), Ok(key));
        }
    }
    assert_eq!(all_keys().count(), 15 * KeyMode::ALL.len());
    let error = "G#".parse::<Key>().unwrap_err().to_string();
    assert_eq!(
        error,
        "`G#` is not a key: expected a tonic, with `m` for minor or with a mode (ionian, dorian, phrygian, lydian, \
         mixolydian, aeolian, locrian), as in `Bb`, `F#m` or `D dorian`, and at most seven accidentals"
    );
}

fn all_keys() -> impl Iterator<Item = Key> {
    let tonics =
        Letter::ALL.into_iter().flat_map(|letter| (-1..=1).filter_map(move |sign| NoteName::new(letter, sign)));
    tonics.flat_map(|tonic| KeyMode::ALL.into_iter().filter_map(move |mode| Key::new(tonic, mode)))
}

#[test]
fn a_mode_has_the_notes_of_the_major_key_it_belongs_to() {
    // Common practice, no published source: each mode begins on another note of one major scale.
    for (mode, of) in [
        ("C ionian", "C"),
        ("D dorian", "C"),
        ("E phrygian", "C"),
        ("F lydian", "C"),
        ("G mixolydian", "C"),
        ("A aeolian", "C"),
        ("B locrian", "C"),
        ("Db mixolydian", "Gb"),
        ("C# dorian", "B"),
        ("G# phrygian", "E"),
    ] {
        let (key, of): (Key, Key) = (mode.parse().unwrap(), of.parse().unwrap());
        assert_eq!((key.to_string().as_str(), key.fifths(), key.tones()), (mode, of.fifths(), of.tones()));
        assert_eq!(key.scale()[0], key.tonic(), "{mode}");
        assert!(of.scale().into_iter().all(|name| key.holds(name) && key.scale().contains(&name)), "{mode}");
    }
    let leading: NoteName = "G#".parse().unwrap();
    let [minor, aeolian] = ["Am", "A aeolian"].map(|key| key.parse::<Key>().unwrap());
    assert!(minor.holds(leading) && !aeolian.holds(leading), "only minor raises its seventh");
    for (text, key) in
        [("d Dor", "D dorian"), ("Bb MIXOLYDIAN", "Bb mixolydian"), ("F#min", "F#m"), ("E\tphryg", "E phrygian")]
    {
        assert_eq!(text.parse::<Key>().map(|key| key.to_string()).as_deref(), Ok(key), "{text}");
    }
    for text in ["D do", "D doric", "Dorian", "D dorian minor", "D# locrian #", "G# lydian", "Cb locrian"] {
        assert!(text.parse::<Key>().is_err(), "{text}");
    }
}

#[test]
fn what_is_no_note_or_degree_is_refused_with_what_was_expected() {
    for (text, message) in [
        ("H2", "`H2` is not a note: it should start with a letter from A to G"),
        ("E", "`E` needs an octave, as in `E2` (middle C is C4)"),
        ("E+2", "`E+2` needs an octave, as in `E2` (middle C is C4)"),
        ("A9", "`A9` lies outside what can be written: C-1 to G9"),
        ("C#####4", "`C#####4` is not a note: expected a letter and up to 4 sharps or flats"),
    ] {
        assert_eq!(text.parse::<Pitch>().unwrap_err().to_string(), message);
    }
    for text in ["", "0", "14", "b", "+9", "bbb7", "9b", "#٣"] {
        let message = text.parse::<Degree>().unwrap_err().to_string();
        assert!(message.starts_with(&format!("`{text}` is not a degree")), "{message}");
    }
}

#[test]
fn a_key_that_moves_has_the_fewest_accidentals_and_of_two_as_many_flats() {
    // Six flats or six sharps: common practice is Gb major and Eb minor.
    for (key, semitones, moved) in [
        ("C", 6, "Gb"),
        ("C", -6, "Gb"),
        ("Am", 6, "Ebm"),
        ("G", 1, "Ab"),
        ("Em", -4, "Cm"),
        ("D", 12, "D"),
        ("C", 1, "Db"),
    ] {
        let key: Key = key.parse().unwrap();
        assert_eq!(key.moved(semitones).to_string(), moved, "{key} {semitones}");
    }
}

#[test]
fn diatonic_chords_are_read_with_the_notes_of_their_key() {
    // Source: music21, tests/reference/diatonic_chords.tsv; sevenths agree with tonal.
    let table = include_str!("../reference/diatonic_chords.tsv");
    for [triad, triad_notes, seventh, seventh_notes] in
        rows(table, ["triad", "triad_notes", "seventh", "seventh_notes"])
    {
        for (symbol, notes) in [(triad, triad_notes), (seventh, seventh_notes)] {
            let read: ChordSymbol = symbol.parse().unwrap_or_else(|error| panic!("{error}"));
            assert_eq!(read.tones(), names(notes), "{symbol}");
        }
    }
}

#[test]
fn a_key_spells_chromatic_tones_as_its_players_do() {
    // Common practice, no published source: b2 b3 #4 b6 b7 in major; raised sixth and seventh in minor.
    let spelled = |key: &str| {
        let key: Key = key.parse().unwrap();
        let all: Vec<String> = (0..12).map(|class| key.spell(PitchClass::of(class)).to_string()).collect();
        all.join(" ")
    };
    assert_eq!(spelled("C"), "C Db D Eb E F F# G Ab A Bb B");
    assert_eq!(spelled("Am"), "C C# D D# E F F# G G# A Bb B");
    assert_eq!(spelled("E"), "C C# D D# E F F# G G# A A# B");
    assert_eq!(spelled("D dorian"), "C C# D Eb E F F# G G# A Bb B");
    assert_eq!(spelled("F lydian"), "C Db D Eb E F Gb G Ab A Bb B");
    assert_eq!(spelled("B locrian"), "C C# D D# E F F# G G# A A# B");
    assert_eq!(spelled("Ab"), "C Db D Eb Fb F Gb G Ab A Bb Cb");
}

#[test]
fn intervals_are_named_as_players_name_them() {
    // Common practice; the semitones of each are those of the definition.
    for (low, high, name, semitones) in [
        ("C4", "E4", "major third", 4),
        ("C4", "G4", "perfect fifth", 7),
        ("E2", "F3", "minor ninth", 13),
        ("C4", "C5", "octave", 12),
        ("C4", "C4", "unison", 0),
        ("F3", "B3", "augmented fourth", 6),
        ("B3", "F4", "diminished fifth", 6),
        ("C4", "B#4", "augmented seventh", 12),
        ("C4", "Ebb4", "diminished third", 2),
        ("B3", "Cb4", "diminished second", 0),
        ("C3", "A4", "major thirteenth", 21),
        ("Cb4", "F#4", "doubly augmented fourth", 7),
    ] {
        let (low, high): (Pitch, Pitch) = (low.parse().unwrap(), high.parse().unwrap());
        let interval = Interval::between_pitches(low, high);
        assert_eq!(interval.to_string(), name, "{low} to {high}");
        assert_eq!(interval.semitones(), semitones, "{low} to {high}");
        assert_eq!(interval.above(low.name()), Some(high.name()), "{low} to {high}");
    }
    let third = Interval::new(3, 3).unwrap();
    assert_eq!(third.quality(), IntervalQuality::Minor);
    assert_eq!(Interval::new(3, 20), None);
    assert_eq!(Interval::new(0, 0), None);
}

fn any_name() -> impl Strategy<Value = NoteName> {
    (0..7usize, -2..=2i8).prop_map(|(letter, sign)| NoteName::new(Letter::ALL[letter], sign).unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn an_interval_above_its_low_note_is_its_high_note(low in any_name(), high in any_name()) {
        prop_assert_eq!(Interval::between(low, high).above(low), Some(high));
    }

    #[test]
    fn a_degree_and_its_interval_spell_alike(root in any_name(), place in 0..20usize) {
        let degree = fingerpost::theory::formula::Formula::POSSIBLE[place];
        prop_assert_eq!(Interval::of_degree(degree).above(root), degree.above(root));
        prop_assert_eq!(degree.to_string().parse::<Degree>(), Ok(degree));
    }

    #[test]
    fn notes_read_back_what_they_print(name in any_name(), octave in -1..=9i8) {
        prop_assert_eq!(name.to_string().parse::<NoteName>(), Ok(name));
        if let Some(pitch) = Pitch::new(name, octave) {
            prop_assert_eq!(pitch.to_string().parse::<Pitch>(), Ok(pitch));
            prop_assert_eq!(pitch.octave(), octave);
        }
    }

    #[test]
    fn no_text_makes_a_note_a_degree_or_a_key_panic(text in ".{0,10}", near in "[A-Ga-g#b♭♯𝄪𝄫0-9m-]{0,14}") {
        for text in [text, near] {
            let _ = (text.parse::<Pitch>(), text.parse::<NoteName>(), text.parse::<Degree>(), text.parse::<Key>());
        }
    }

    #[test]
    fn a_key_spells_every_class_as_that_class(class in 0..12i32, tonic in any_name(), mode in prop::sample::select(&KeyMode::ALL[..])) {
        if let Some(key) = Key::new(tonic, mode) {
            prop_assert_eq!(key.spell(PitchClass::of(class)).pitch_class(), PitchClass::of(class));
        }
    }
}
