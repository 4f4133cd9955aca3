//! What `name` is told beside the shape: a bass, the chord before, strings in doubt, capo and tuning.

use super::*;

fn candidates(arguments: &[&str]) -> Vec<String> {
    let answers = json_lines(&[&["name", "--json"], arguments].concat(), "");
    let list = answers[0]["candidates"].as_array().expect("candidates");
    list.iter().map(|one| one["symbol"].as_str().expect("a symbol").to_owned()).collect()
}

#[test]
fn a_bass_of_somebody_else_lies_below_the_shape() {
    assert_eq!(candidates(&["xx6777"])[0], "G#m7b5");
    assert_eq!(candidates(&["xx6777", "--bass", "E"])[0], "E9");
    assert_eq!(candidates(&["xxx010", "--bass", "Bb"])[0], "C/Bb");
    let text = output(&["name", "xx6777", "--bass", "E", "--limit", "1"], "");
    assert!(text.starts_with("x x 6 7 7 7   x x G#3 D4 F#4 B4   over E\n  E9  "), "{text}");
    let answers = json_lines(&["name", "--json", "xx6777", "--bass", "E"], "");
    assert_eq!(answers[0]["candidates"][0]["bass"], "E");
    assert_eq!(answers[0]["notes"], serde_json::json!([null, null, "G#3", "D4", "F#4", "B4"]));
}

#[test]
fn the_chord_before_lends_its_root() {
    assert_eq!(candidates(&["xx6767", "--previous", "E7"])[1], "E7b9");
    assert_eq!(candidates(&["xx6767", "--previous", "G7"])[1], "G7b9");
    assert_eq!(candidates(&["032213", "--previous", "C"])[0], "C6/E");
}

#[test]
fn the_chord_after_and_a_mode_decide() {
    assert_eq!(candidates(&["x434xx", "--next", "Cmaj7"])[0], "Db7");
    assert_eq!(candidates(&["x4535x", "--next", "Dm"])[0], "C#dim7");
    assert_eq!(candidates(&["x5667x", "--key", "D lydian"])[0], "Dmaj7#11");
    assert_eq!(candidates(&["x46664", "--key", "G# dorian"])[0], "C#");
}

#[test]
fn strings_in_doubt_decide_in_a_field_of_their_own() {
    let doubtful = json_lines(&["name", "--json", "022000", "--unsure", "3"], "");
    let plain = json_lines(&["name", "--json", "022000"], "");
    let decisions = doubtful[0]["decisions"].as_array().expect("decisions");
    assert_eq!(decisions.len(), 1);
    assert_eq!((&decisions[0]["string"], &decisions[0]["with"][0]), (&Value::from(3), &Value::from("Em")));
    assert_eq!(decisions[0]["without"][0], "E5");
    assert_eq!(decisions[0]["sentence"], "Em if it sounds, E5 if it does not");
    // The other fields are as they would be without the doubt, which alone brings the field.
    assert_eq!(doubtful[0]["candidates"], plain[0]["candidates"]);
    assert_eq!(doubtful[0]["notes"], plain[0]["notes"]);
    assert!(plain[0].get("decisions").is_none());
    assert_eq!(json_lines(&["name", "--json", "0 2 2 0? 0 0"], "")[0]["decisions"], doubtful[0]["decisions"]);
}

#[test]
fn a_muted_string_in_doubt_may_have_been_ringing_open() {
    let text = output(&["name", "022x00", "--unsure", "3"], "");
    let lines: Vec<&str> = text.lines().collect();
    assert!(lines[1].starts_with("  E5 "), "{text}");
    assert!(
        text.contains("string 3 decides: Em if it sounds, E5 if it does not\n    with the open string:\n      Em ")
    );
    let sounding = output(&["name", "022000", "--unsure", "3"], "");
    assert!(sounding.lines().nth(1).expect("a reading").starts_with("  Em "), "{sounding}");
    assert!(sounding.contains("\n    without it:\n      E5 "), "{sounding}");
    // With a capo the open string is the one that sounds.
    let answers = json_lines(&["name", "--json", "022x00", "--unsure", "3", "--capo", "2"], "");
    assert_eq!(answers[0]["decisions"][0]["sentence"], "F#m if it sounds, F#5 if it does not");
}

#[test]
fn several_strings_may_be_in_doubt() {
    for list in [&["--unsure", "3,2"][..], &["--unsure", "3", "--unsure", "2"]] {
        let answers = json_lines(&[&["name", "--json", "x32010"], list].concat(), "");
        let strings: Vec<_> = answers[0]["decisions"].as_array().expect("decisions").iter().collect();
        assert_eq!(strings.iter().map(|one| &one["string"]).collect::<Vec<_>>(), [3, 2]);
        let text = output(&[&["name", "x32010"], list].concat(), "");
        assert!(text.ends_with("string 2 makes no difference: C either way\n  without all of them: C-E\n"), "{text}");
    }
    // A batch weighs the same string of every shape.
    let answers = json_lines(&["name", "--batch", "-", "--json", "--unsure", "1"], "x 0 2 2 1 0\nnonsense\n320003\n");
    assert_eq!(answers[0]["decisions"][0]["sentence"], "Am either way");
    assert!(answers[1].get("error").is_some());
    assert_eq!(answers[2]["decisions"][0]["string"], 1);
}

#[test]
fn what_is_told_beside_the_shape_is_checked() {
    for (option, text, message) in [
        ("--bass", "H", "the bass `H` is not a note: expected a letter from A to G"),
        ("--bass", "E2", "the bass `E2` is not a note: expected a letter from A to G, sharps or flats, and no octave"),
        ("--bass", "", "the bass `` is not a note"),
        ("--previous", "Cm7xyz", "`Cm7xyz` is not a chord symbol: Cm7 is read"),
        ("--previous", "", "nothing is written where a chord symbol was expected"),
        ("--next", "Cm7xyz", "`Cm7xyz` is not a chord symbol: Cm7 is read"),
        (
            "--key",
            "D doric",
            "`D doric` is not a key: expected a tonic, with `m` for minor or with a mode (ionian, dorian,",
        ),
        ("--unsure", "7", "there is no string 7 to be unsure of: the tuning has strings 1 to 6 (E2 A2 D3 G3 B3 E4)"),
        ("--unsure", "0", "strings are counted as in tab, from 1"),
        ("--unsure", "-1", "strings are counted as in tab, from 1"),
        ("--unsure", "G", "strings are counted as in tab, from 1"),
        ("--unsure", "1,,2", "strings are counted as in tab, from 1"),
        ("--unsure", "13", "strings are counted as in tab, from 1"),
    ] {
        let result = fingerpost(&["name", "x32010", option, text]).assert().code(2).stdout("");
        result.stderr(contains(message));
    }
    fingerpost(&["name", "0003", "--tuning", "ukulele", "--unsure", "5"])
        .assert()
        .code(2)
        .stderr(contains("strings 1 to 4 (G4 C4 E4 A4)"));
}

#[test]
fn shapes_that_are_none_say_what_was_read() {
    for (shape, message) in [
        ("", "a shape needs one fret for each string"),
        ("x320100000000", "that is 13 strings, at most 12 can be written"),
        ("x 3 2 0 1 0 0 0 0 0 0 0 0", "that is 13 strings, at most 12 can be written"),
        ("40 0 0 0 0 0", "fret 40 at character 1 is past the end of any neck: the last is 36"),
        ("30 0 0 0 0 0", "string 6, fret 30 is past the last fret, which is 22"),
        ("x3201", "`x 3 2 0 1` has 5 strings, the tuning has 6 (E2 A2 D3 G3 B3 E4)"),
        ("x3z010", "`z` at character 3 is not part of a shape"),
    ] {
        fingerpost(&["name", shape]).assert().code(2).stderr(contains(message));
        let answers = json_lines(&["name", "--batch", "-", "--json"], &format!("{shape}\n"));
        assert!(answers[0]["error"].as_str().expect("an error").contains(message), "{shape}");
    }
}

#[test]
fn names_as_played_follow_capo_tuning_and_key() {
    // The shape's own name a capo or a lowered tuning further down. Common practice; no published source.
    let both = |arguments: &[&str]| {
        let answers = json_lines(&[&["name", "--json", "--limit", "1"], arguments].concat(), "");
        let candidate = answers[0]["candidates"][0].clone();
        let text = |field: &str| candidate[field].as_str().map(str::to_owned);
        (text("symbol").expect("a symbol"), text("played_as"))
    };
    for (arguments, sounds, played) in [
        (&["x32010", "--capo", "3"][..], "Eb", "C"),
        (&["022000", "--capo", "3", "--key", "Bb"], "Gm", "Em"),
        (&["200232", "--capo", "4"], "F#/A#", "D/F#"),
        (&["xx0232", "--capo", "1", "--key", "Eb"], "Eb", "D"),
        (&["x32010", "--tuning", "half step down"], "B", "C"),
        (&["x02210", "--tuning", "half step down"], "G#m", "Am"),
        (&["466444", "--capo", "1"], "Am", "G#m"),
        (&["466444", "--capo", "2", "--key", "Bb"], "Bbm", "Abm"),
        (&["x02210", "--tuning", "half step down", "--capo", "3"], "Bm", "Am"),
        (&["000xxx", "--tuning", "drop C"], "C5", "D5"),
        (&["xx24xx", "--capo", "3"], "G5", "E5"),
    ] {
        let (symbol, as_played) = both(arguments);
        assert_eq!((symbol.as_str(), as_played.as_deref()), (sounds, Some(played)), "{arguments:?}");
    }
    assert_eq!(both(&["x32010"]), ("C".to_owned(), None));
    // Two notes are named by the hand as well.
    assert_eq!(both(&["xx22xx", "--capo", "3"]).1.as_deref(), Some("A5/E"));
    assert_eq!(both(&["xx21xx", "--capo", "3"]), ("G-B".to_owned(), Some("E-G#".to_owned())));
}

#[test]
fn what_is_wrong_is_said_once_and_on_standard_error() {
    let shape = "fingerpost: `5 5 5` has 3 strings, the tuning has 6 (E2 A2 D3 G3 B3 E4)\n";
    fingerpost(&["name", "555"]).assert().code(2).stdout("").stderr(shape);
    let sign = "fingerpost: `qq`: `q` at character 1 is not part of a shape: write a fret number, `x` for a muted string or \
                `0` for an open one\n";
    fingerpost(&["name", "qq"]).assert().code(2).stdout("").stderr(sign);
    let symbol = "`Cfoo` is not a chord symbol: C is read, but `foo` is not\n";
    fingerpost(&["voicings", "Cfoo"]).assert().code(2).stdout("").stderr(format!("fingerpost: {symbol}"));
    // Every fault is told, and the answers come all the same.
    let several = fingerpost(&["name", "555", "x32010", "qq"]).assert().code(2);
    several
        .stdout(contains("x 3 2 0 1 0").and(contains("555").not()))
        .stderr(contains("`5 5 5`").and(contains("`qq`")));
    let several = fingerpost(&["voicings", "Cfoo", "C", "Dbar", "--limit", "1"]).assert().code(2);
    several.stdout(contains("C   C E G").and(contains("Cfoo").not())).stderr(contains(symbol).and(contains("`Dbar`")));
    // A line of JSON has its fault in it.
    fingerpost(&["name", "555", "--json"]).assert().code(2).stdout(contains("\"error\":\"`5 5 5`")).stderr(shape);
}
