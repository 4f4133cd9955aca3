//! Names by what is around them: the chords before and after, the key, an instrument without a bass.
//!
//! Common practice, no published source.

use super::*;

fn between(previous: &str, next: &str, key: &str) -> Context {
    let chord = |text: &str| (!text.is_empty()).then(|| text.parse().unwrap());
    let key = (!key.is_empty()).then(|| key.parse().unwrap());
    Context { key, previous: chord(previous), next: chord(next), ..Context::default() }
}

/// Four strings as a ukulele has them, G4 C4 E4 A4.
fn ukulele(frets: &str) -> Vec<Option<MidiNote>> {
    let fret = |fret: char| u8::try_from(fret.to_digit(10).unwrap()).unwrap();
    frets.chars().zip([67, 60, 64, 69]).map(|(sign, open)| Some(note(open + fret(sign)))).collect()
}

/// The same where the lowest note is no bass.
#[track_caller]
fn check_ukulele(frets: &str, (previous, next, key): (&str, &str, &str), symbol: &str, says: &str) {
    let context = Context { lowest: Lowest::AnyTone, ..between(previous, next, key) };
    let first = best(&ukulele(frets), &context);
    assert_eq!(first.symbol, symbol, "{previous} {next} {key}: {}", first.reason);
    assert!(first.reason.contains(says), "{symbol}: {}", first.reason);
}

#[track_caller]
fn check(sounding: &[Option<MidiNote>], (previous, next, key): (&str, &str, &str), symbol: &str, says: &str) {
    let first = best(sounding, &between(previous, next, key));
    assert_eq!(first.symbol, symbol, "{previous} {next} {key}: {}", first.reason);
    assert!(first.reason.contains(says), "{symbol}: {}", first.reason);
}

#[test]
fn a_diminished_seventh_is_written_by_where_it_goes() {
    let falling = notes([51, 54, 57, 60]);
    check(&falling, ("", "Em", ""), "D#dim7", "; leads up a half step to Em");
    check(&falling, ("Em7", "Dm7", "C"), "Ebdim7", "; passes from Em7 to Dm7");
    check(&shape("x 4 5 3 5 x"), ("C", "Dm", "C"), "C#dim7", "; passes from C to Dm");
    check(&shape("x 8 9 7 9 x"), ("", "F#m", "F#m"), "E#dim7", "; leads up a half step to F#m");
    // Over another of its notes it is still the chord that leads there; without a next one the bass names it.
    check(&shape("x x 3 4 3 4"), ("", "Cm", "Cm"), "Bdim7/F", "; leads up a half step to Cm");
    check(&shape("x x 3 4 3 4"), ("", "", ""), "Fdim7", "");
}

#[test]
fn a_dominant_is_named_by_what_follows_it() {
    check(
        &shape("x 4 3 4 x x"),
        ("Dm7", "Cmaj7", "C"),
        "Db7",
        "; the tritone substitute of G7, a half step above Cmaj7",
    );
    check(&shape("x 5 4 5 x x"), ("", "Db", "Db"), "D7", "; the tritone substitute of Ab7, a half step above Db");
    check(&shape("3 2 0 0 0 1"), ("", "C", "C"), "G7", "; the dominant of C, which follows");
    check_ukulele("1003", ("C", "F", "C"), "Caug", "; the dominant of F, which follows");
    check_ukulele("1003", ("", "Am", "Am"), "Eaug", "; the dominant of Am, which follows");
}

#[test]
fn after_the_dominant_comes_the_tonic_and_before_it_the_second_degree() {
    check_ukulele("0000", ("G7", "", "C"), "C6", "");
    check_ukulele("0000", ("", "D7", "G"), "Am7", "");
    check_ukulele("0233", ("C", "C", "C"), "Csus2", "");
    check_ukulele("0233", ("G", "G", "G"), "Gsus4", "");
    // A bass that stays under a chord of its own root is a pedal point.
    check(&shape("x x 0 2 2 0"), ("D", "D", "D"), "A/D", "");
}

#[test]
fn a_raised_fourth_of_the_key_is_no_flat_fifth() {
    for (frets, key, symbol) in
        [("x x 3 2 0 0", "C", "Fmaj7#11"), ("x 5 6 6 7 x", "D lydian", "Dmaj7#11"), ("3 x 4 4 2 x", "D", "Gmaj7#11")]
    {
        check(&shape(frets), ("", "", key), symbol, "; in the key of");
    }
    assert!(!symbols(&shape("x x 3 2 0 0"), &in_key("C"))[0].contains("b5"));
}

#[test]
fn a_chord_is_in_the_key_only_with_all_its_notes() {
    let reason = |frets: &str, key: &str| best(&shape(frets), &in_key(key)).reason;
    assert!(reason("x 3 2 0 1 0", "C").ends_with("; in the key of C"));
    assert!(reason("3 2 0 0 0 1", "C").ends_with("; the dominant in the key of C"));
    assert!(reason("x 5 4 2 3 2", "D mixolydian").ends_with("; in the key of D mixolydian"));
    // B, D and A are Bm7 without its F#: in the key of G, while C has only the notes that sound.
    assert!(reason("x 2 0 2 x x", "G").ends_with("; in the key of G"));
    assert!(reason("x 2 0 2 x x", "C").ends_with("; its sounding notes are in the key of C"));
}

#[test]
fn reasons_tell_what_a_foreign_chord_does_in_the_key() {
    for (frets, key, symbol, says) in [
        ("x 0 2 0 2 0", "C", "A7", "; secondary dominant: the dominant of Dm"),
        ("x 3 2 3 1 0", "C", "C7", "; secondary dominant: the dominant of F"),
        ("0 2 0 1 0 0", "C", "E7", "; secondary dominant: the dominant of Am"),
        ("1 3 3 1 1 1", "C", "Fm", "; borrowed from C minor"),
        ("x 1 3 3 3 1", "C", "Bb", "; borrowed from C minor"),
        ("x 0 2 2 2 0", "Am", "A", "; borrowed from A major"),
    ] {
        check(&shape(frets), ("", "", key), symbol, says);
    }
    // Where something else follows, it was no dominant of that.
    assert!(!best(&shape("x 0 2 0 2 0"), &between("", "F", "C")).reason.contains("dominant"));
}

#[test]
fn the_raised_sixth_is_not_of_the_natural_minor() {
    let reason = |frets: &str| best(&shape(frets), &in_key("Am")).reason;
    for frets in ["x x 0 2 3 2", "x 2 4 4 3 2", "2 x 2 2 1 x", "x 5 4 5 3 x"] {
        let reason = reason(frets);
        assert!(reason.ends_with("; of A melodic minor, or borrowed from A dorian"), "{frets}: {reason}");
    }
    // With its own seventh beside it only dorian has it, with the raised one only melodic minor.
    assert!(reason("3 x 4 4 3 x").ends_with("; borrowed from A dorian"), "{}", reason("3 x 4 4 3 x"));
    assert!(reason("4 x 4 4 3 x").ends_with("; of A melodic minor"), "{}", reason("4 x 4 4 3 x"));
    // The raised seventh alone is of the key, as all have it that say minor.
    assert!(reason("4 x 3 4 3 x").ends_with("; in the key of Am"), "{}", reason("4 x 3 4 3 x"));
    assert!(reason("0 2 0 1 0 0").ends_with("; the dominant in the key of Am"));
    for (frets, key) in [("x x 0 2 3 2", "A dorian"), ("x 0 2 2 1 0", "Am"), ("3 2 0 0 0 3", "Am")] {
        let reason = best(&shape(frets), &in_key(key)).reason;
        assert!(reason.ends_with(&format!("; in the key of {key}")), "{frets}: {reason}");
    }
}

#[test]
fn the_goal_of_a_secondary_dominant_is_as_the_mode_has_it() {
    for (frets, key, symbol, goal) in [
        ("0 2 0 1 0 0", "D dorian", "E7", "Am"),
        ("x 5 7 5 7 5", "D dorian", "D7", "G"),
        ("x x 0 2 1 2", "C mixolydian", "D7", "Gm"),
        ("x 2 1 2 0 2", "A aeolian", "B7", "Em"),
        ("x 2 1 2 0 2", "Am", "B7", "E"),
        ("x 2 1 2 0 2", "C", "B7", "Em"),
        ("0 2 0 1 0 0", "E phrygian", "E7", "Am"),
    ] {
        let first = best(&shape(frets), &in_key(key));
        assert_eq!(first.symbol, symbol, "{key}");
        let says = format!("; secondary dominant: the dominant of {goal}");
        assert!(first.reason.ends_with(&says), "{symbol} in {key}: {}", first.reason);
    }
}

#[test]
fn a_major_chord_on_the_flat_second_has_a_function() {
    for (frets, key, symbol, says) in [
        ("x 1 3 3 3 1", "Am", "Bb", "; the Neapolitan, on the flat second of Am"),
        ("x x 0 3 3 1", "Am", "Bb/D", "; the Neapolitan, on the flat second of Am"),
        ("x 4 6 6 6 4", "C", "Db", "; the Neapolitan, on the flat second of C"),
        ("x 4 6 5 6 4", "Cm", "Dbmaj7", "; the Neapolitan, on the flat second of Cm"),
        ("x 4 6 4 6 4", "C", "Db7", "; the tritone substitute of G7, the dominant in the key of C"),
        ("x 1 3 1 3 1", "Am", "Bb7", "; the tritone substitute of E7, the dominant in the key of Am"),
        ("x 4 6 6 6 4", "C phrygian", "Db", "; in the key of C phrygian"),
    ] {
        check(&shape(frets), ("", "", key), symbol, says);
    }
    // Where something else follows, it stood for no dominant of the key.
    assert!(!best(&shape("x 4 6 4 6 4"), &between("", "F", "C")).reason.contains("tritone"));
}

#[test]
fn a_seventh_that_is_suspended_leads_where_no_bass_decides() {
    check_ukulele("0200", ("", "", ""), "A7sus4", "");
    check_ukulele("0233", ("", "", ""), "Gsus4", "");
    let strings = notes([50, 57, 64, 67]);
    assert_eq!(best(&strings, &Context::default()).symbol, "Dsus2sus4");
}

#[test]
fn a_complete_chord_leads_where_no_bass_decides() {
    let context = Context { lowest: Lowest::AnyTone, ..Context::default() };
    assert_eq!(best(&ukulele("0203"), &context).symbol, "Cadd9");
    assert_eq!(best(&ukulele("2343"), &context).symbol, "Adim(maj7)");
    // Every shape to the fifth fret: names that lack a note lead only before the rarest of whole ones.
    let mut rare = 0;
    for shape in (0..6u32.pow(4)).map(|number| [216, 36, 6, 1].map(|place| number / place % 6)) {
        let frets: String = shape.iter().map(ToString::to_string).collect();
        let all = readings(&ukulele(&frets), &context);
        let whole = all.iter().find(|one| one.root.is_some() && one.missing.is_empty());
        if let Some(whole) = whole.filter(|_| !all[0].missing.is_empty()) {
            rare += 1;
            assert!(whole.cost >= 400, "{frets}: {} before {}", all[0].symbol, whole.symbol);
        }
    }
    assert!(rare < 60, "{rare}");
}

#[test]
fn a_triad_with_its_ninth_keeps_its_name_over_its_fourth() {
    for (frets, symbol) in [("x 0 2 1 0 2", "Eadd9/A"), ("1 3 2 0 3 0", "Cadd9/F"), ("x 1 3 2 1 3", "Fadd9/Bb")] {
        assert_eq!(best(&shape(frets), &Context::default()).symbol, symbol);
    }
}

#[test]
fn a_raised_fourth_in_place_of_the_third_has_a_name() {
    for (sounding, symbol) in [(shape("x 3 4 0 x x"), "Csus#4"), (notes([45, 51, 52, 57]), "Asus#4")] {
        let first = best(&sounding, &Context::default());
        assert_eq!(first.symbol, symbol, "{}", first.reason);
        assert_eq!(symbol.parse::<ChordSymbol>().unwrap().to_string(), symbol);
    }
}

#[test]
fn many_strings_that_sound_a_third_are_a_chord() {
    // Without its G the open C chord has five strings, and nothing but C and E on them.
    let strings: Vec<_> = shape("0 3 2 0 1 0")
        .into_iter()
        .zip(STANDARD)
        .map(|(note, open)| note.map(|note| (note, if open == 55 { Doubt::Unsure } else { Doubt::Sure })))
        .collect();
    let found = readings_with_doubts(&strings, &Context::default());
    assert_eq!(found.decisions[0].without[0].symbol, "C/E");
    assert_eq!(best(&shape("x 3 2 x 1 0"), &Context::default()).symbol, "C");
    assert_eq!(best(&shape("x 3 2 x x x"), &Context::default()).symbol, "C-E");
}
