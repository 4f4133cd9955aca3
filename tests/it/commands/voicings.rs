//! `voicings` and `fingering`: what they print, and what they say to what cannot be.

use fingerpost::theory::pitch::Pitch;
use serde_json::Value;

use super::*;

/// What `voicings SYMBOL --json` and more answers, as one object.
#[track_caller]
fn found(arguments: &[&str]) -> Value {
    let all: Vec<&str> = ["voicings", "--json"].iter().chain(arguments).copied().collect();
    let result = fingerpost(&all).output().expect("it runs");
    let text = String::from_utf8(result.stdout).expect("UTF-8");
    serde_json::from_str(text.lines().next().expect("a line")).expect("JSON")
}

fn frets(answer: &Value) -> Vec<String> {
    let voicings = answer["voicings"].as_array().expect("a list");
    voicings.iter().map(|voicing| voicing["frets"].as_str().expect("text").to_owned()).collect()
}

#[track_caller]
fn check_refused(arguments: &[&str], expected: &str) {
    let result = fingerpost(arguments).output().expect("it runs");
    let message = String::from_utf8_lossy(&result.stderr);
    assert_eq!(result.status.code(), Some(2), "{arguments:?}: {message}");
    assert!(message.contains(expected), "{arguments:?}: {message}");
}

#[test]
fn a_voicing_has_the_agreed_fields() {
    let answer = found(&["Cmaj7", "--limit", "1"]);
    assert_eq!(answer["symbol"], "Cmaj7");
    let voicing = &answer["voicings"][0];
    assert_eq!(voicing["frets"], "x 3 2 0 0 0");
    assert_eq!(voicing["fingers"], serde_json::json!([null, 3, 2, 0, 0, 0]));
    assert_eq!(voicing["barre"], Value::Null);
    // Frets 2 to 3 of a 648 mm scale: 103.10 - 70.70, tests/reference/fret_positions_648.tsv.
    assert_eq!(voicing["reach_mm"], 32.4);
    assert!(voicing["comfort"].as_u64().is_some_and(|comfort| (1..=100).contains(&comfort)));
    assert_eq!(voicing["why"], "open position; all four notes; root in the bass");
}

#[test]
fn a_barre_says_where_it_lies() {
    // The barre chord of F every teacher shows; common practice.
    let answer = found(&["F", "--limit", "40"]);
    let shape = answer["voicings"].as_array().expect("a list").iter().find(|one| one["frets"] == "1 3 3 2 1 1");
    let barre = &shape.expect("among the first")["barre"];
    assert_eq!(*barre, serde_json::json!({"fret": 1, "from": 6, "to": 1}));
}

#[test]
fn a_batch_of_symbols_answers_every_line_and_echoes_it() {
    let input = "Cmaj7\nH7\n\n Am7 \nC6/9\nC(b5)\nCm(maj7)b5\nC7#5\nC/E\r\nC/Bb\n";
    let answers = json_lines(&["voicings", "--batch", "-", "--json", "--limit", "2"], input);
    let echoed: Vec<&str> = answers.iter().map(|answer| answer["symbol"].as_str().expect("echoed")).collect();
    assert_eq!(echoed, ["Cmaj7", "H7", "", " Am7 ", "C6/9", "C(b5)", "Cm(maj7)b5", "C7#5", "C/E", "C/Bb"]);
    let refused: Vec<bool> = answers.iter().map(|answer| answer.get("error").is_some()).collect();
    assert_eq!(refused, [false, true, true, false, false, false, false, false, false, false]);
    assert!(answers.iter().all(|answer| answer.get("error").is_some() || frets(answer).len() == 2));
}

#[test]
fn constraints_are_kept() {
    let within = frets(&found(&["D9", "--frets", "5-9", "--limit", "1000"]));
    let numbers = |shape: &String| -> Vec<u8> { shape.split(' ').filter_map(|fret| fret.parse().ok()).collect() };
    assert!(!within.is_empty() && within.iter().flat_map(numbers).all(|fret| (5..=9).contains(&fret)));
    let answer = found(&["Am7", "--max-reach", "50", "--limit", "1000"]);
    let reaches = answer["voicings"].as_array().expect("a list").iter().map(|one| one["reach_mm"].as_f64());
    assert!(reaches.flatten().all(|reach| reach <= 50.0));
    for shape in frets(&found(&["C", "--top", "E4", "--bass", "G", "--limit", "1000"])) {
        let notes = json_lines(&["name", "--batch", "-", "--json", "--limit", "0"], &shape);
        let notes: Vec<Pitch> = serde_json::from_value(notes[0]["notes"].clone())
            .map(|notes: Vec<Option<Pitch>>| notes.into_iter().flatten().collect())
            .expect("pitches");
        assert_eq!(notes.iter().map(|note| note.midi()).max().map(|note| note.number()), Some(64), "{shape}");
        let lowest = notes.iter().min_by_key(|note| note.midi()).expect("it sounds");
        assert_eq!(lowest.name().to_string(), "G", "{shape}");
    }
}

#[test]
fn the_open_shape_that_a_voicing_comes_from_is_told_and_asked_for() {
    // Common practice, no published source: F is the E shape up a fret, and the C shape at fret 5.
    let all = found(&["F", "--limit", "100000"]);
    let list = all["voicings"].as_array().expect("a list");
    let barre = list.iter().find(|one| one["frets"] == "1 3 3 2 1 1").expect("it is there");
    assert_eq!(
        barre["open_shape"],
        serde_json::json!({"name": "E", "fret": 1, "silent": [], "words": "E shape at fret 1"})
    );
    assert_eq!(barre["why"], "barre at fret 1; E shape at fret 1; all three notes; root in the bass");
    let part = list.iter().find(|one| one["frets"] == "x 8 7 5 6 x").expect("it is there");
    assert_eq!(part["open_shape"]["words"], "C shape at fret 5 without its top string");
    assert_eq!(part["open_shape"]["silent"], serde_json::json!([1]));
    let named = |name: &str| -> Vec<String> {
        let of = |one: &&Value| one["open_shape"]["name"] == name;
        list.iter().filter(of).map(|one| one["frets"].as_str().expect("text").to_owned()).collect()
    };
    let asked = frets(&found(&["F", "--shape", "E", "--limit", "100000"]));
    assert!(!asked.is_empty());
    assert_eq!(asked, named("E"));
    let shapes = found(&["F", "--by-shape", "--limit", "100000"]);
    let order: Vec<String> = shapes["voicings"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|one| one["open_shape"]["name"].as_str().unwrap_or("none").to_owned())
        .collect();
    let mut groups = order.clone();
    groups.dedup();
    assert_eq!(groups, ["C", "A", "G", "E", "D", "none"]);
    assert_eq!(order.len(), list.len());
    let minor = found(&["Fm", "--shape", "E", "--limit", "1"]);
    assert_eq!(minor["voicings"][0]["open_shape"]["name"], "Em");
}

#[test]
fn a_reading_is_told_with_the_open_shape_that_makes_it() {
    let answer = &json_lines(&["name", "--batch", "-", "--json", "--limit", "5"], "577555")[0];
    let candidates = answer["candidates"].as_array().expect("a list");
    for candidate in candidates {
        let expected = if candidate["symbol"] == "Am" { Value::from("Em shape at fret 5") } else { Value::Null };
        assert_eq!(candidate["open_shape"]["words"], expected, "{candidate}");
    }
    let text = fingerpost(&["name", "577555"]).assert().success();
    let text = String::from_utf8_lossy(&text.get_output().stdout).into_owned();
    assert!(text.lines().any(|line| line.contains("Am") && line.ends_with("; Em shape at fret 5")), "{text}");
    // With a capo the shape keeps its name, and the reading is what sounds.
    let text = fingerpost(&["name", "133211", "--capo", "2"]).assert().success();
    let text = String::from_utf8_lossy(&text.get_output().stdout).into_owned();
    assert!(
        text.lines().any(|line| line.contains("G (played as F)") && line.ends_with("; E shape at fret 1")),
        "{text}"
    );
}

#[test]
fn a_level_leaves_out_what_is_too_hard() {
    let all = frets(&found(&["F", "--limit", "100000"]));
    assert_eq!(frets(&found(&["F", "--limit", "100000", "--level", "advanced"])), all);
    let beginner = frets(&found(&["F", "--limit", "100000", "--level", "beginner"]));
    assert_eq!(beginner.first().map(String::as_str), Some("x x 3 2 1 1"));
    assert!(beginner.len() < all.len() && beginner.iter().all(|shape| all.contains(shape)));
    for (arguments, says) in [
        (&["C#m"][..], "no voicing with the level beginner: the easiest is "),
        (&["F", "--frets", "9-12"], "no voicing with frets 9-12 and the level beginner: the easiest is "),
    ] {
        let text = fingerpost(&[&["voicings", "--level", "beginner"], arguments].concat()).assert().code(1);
        let text = String::from_utf8_lossy(&text.get_output().stdout).into_owned();
        assert!(text.contains(says), "{text}");
    }
}

#[test]
fn a_bass_that_is_no_tone_goes_under_the_chord() {
    assert_eq!(frets(&found(&["C", "--bass", "D"])), frets(&found(&["C/D"])));
}

#[test]
fn a_larger_hand_finds_more_and_never_less() {
    let [small, large] = ["small", "large"].map(|hand| frets(&found(&["E7#9", "--hand", hand, "--limit", "100000"])));
    assert!(small.len() < large.len());
    assert!(small.iter().all(|shape| large.contains(shape)));
}

#[test]
fn what_contradicts_itself_is_refused_with_what_was_understood() {
    for (arguments, expected) in [
        (&["voicings", "C", "--frets", "9-5"][..], "`--frets 9-5` runs backward"),
        (&["voicings", "C", "--frets", "40-44"], "past the end of the neck: the last fret is 22"),
        (&["voicings", "C", "--frets", "low"], "is not a range of frets"),
        (&["voicings", "C", "--top", "B"], "B is not in C, which has C E G"),
        (&["voicings", "C/E", "--bass", "G"], "C/E has E in the bass, and `--bass` asks for G"),
        (&["voicings", "C", "--top", "H4"], "`H4` is not a note"),
        (&["voicings", "C", "--max-reach", "-3"], "-3 mm is not a reach"),
        (&["voicings", "C", "--max-reach", "nan"], "is not a reach"),
        (&["voicings", "C", "--hand", "huge"], "`huge` is not a hand size: expected small, medium or large"),
        (
            &["voicings", "C", "--level", "expert"],
            "`expert` is not a level: expected beginner, intermediate or advanced",
        ),
        (
            &["voicings", "C", "--shape", "H"],
            "`H` is not an open shape that others are named by in this tuning: expected C, C7,",
        ),
        (&["voicings", "C", "--shape", "E", "--tuning", "C2 F2 B2"], "expected none, because none is taught here"),
        (&["voicings", "Cfoo"], "Cfoo"),
        (&["voicings", "C13b9", "--tuning", "C3 G3 C4"], "this chord needs at least 4 notes"),
        (&["voicings", "C", "--tuning", "E2 A2 D3 G3 B3 E4 A4 D5 G5 C6 F6 B6 E7"], "13"),
        (&["voicings"], "SYMBOL"),
        (&["fingering", "1 2 3"], "`1 2 3` has 3 strings"),
        (&["fingering", "x 3 2 0 99 0"], "99"),
    ] {
        check_refused(arguments, expected);
    }
}

#[test]
fn where_nothing_is_found_it_says_what_to_ask_less_of() {
    let text = fingerpost(&["voicings", "Cmaj13", "--frets", "1-1", "--top", "B5"]).assert().code(1);
    let text = String::from_utf8_lossy(&text.get_output().stdout).into_owned();
    assert!(text.contains("no voicing with frets 1-1 and B5 on top: ask for less"), "{text}");
}

#[test]
fn a_shape_beyond_a_hand_says_so_with_a_caution() {
    let text = fingerpost(&["fingering", "1 x x x x 6", "x32010", "--hand", "small"]).assert().code(1);
    let text = String::from_utf8_lossy(&text.get_output().stdout).into_owned();
    assert!(text.contains("this stretches the hand over 153 mm, and 99 mm is as far as this hand goes"), "{text}");
    assert!(text.contains("no stretch is worth an injury") && text.contains("Instead: "), "{text}");
    assert!(text.contains("3 2   1"), "{text}");
}

#[test]
fn with_a_capo_chords_are_named_as_they_sound_and_as_they_are_played() {
    let answer = found(&["C", "--capo", "3", "--limit", "1"]);
    assert_eq!(answer["played_as"], "A");
    // The open A shape; common practice.
    assert_eq!(frets(&answer), ["x 0 2 2 2 0"]);
    assert_eq!(found(&["C", "--limit", "1"]).get("played_as"), None);
}

#[test]
fn a_progression_says_what_stays_and_what_each_finger_does() {
    let answer: Value = {
        let result = fingerpost(&["voicings", "--path", "C | Am, C/G", "--json"]).output().expect("it runs");
        serde_json::from_slice(&result.stdout).expect("one object")
    };
    let steps = answer["steps"].as_array().expect("a list");
    let symbols: Vec<&str> = steps.iter().map(|step| step["symbol"].as_str().expect("text")).collect();
    assert_eq!(symbols, ["C", "Am", "C/G"]);
    assert!(steps[0].get("movement").is_none());
    // From an open C to an open Am fingers 1 and 2 stay: common practice.
    assert_eq!(steps[1]["movement"]["fingers"], "1 and 2 stay, 3 moves to string 3 fret 2");
    assert_eq!(steps[1]["movement"]["common"], serde_json::json!(["E", "C"]));
}

#[test]
fn what_follows_smoothly_stands_first_after_a_shape() {
    let after = found(&["G", "--after", "320033", "--limit", "1"]);
    assert_eq!(frets(&after), ["3 2 0 0 3 3"]);
    assert_eq!(after["voicings"][0]["movement"]["fingers"], "1, 2, 3 and 4 stay");
}

#[test]
fn a_progression_that_cannot_be_played_names_the_chord() {
    for (arguments, expected) in [
        (&["voicings", "--path", "C Hm"][..], "chord 2 of `C Hm`: `Hm` is not a chord symbol"),
        (&["voicings", "--path", " | "], "there is no chord in"),
        (&["voicings", "--path", "C Cmaj13", "--frets", "1-1"], "chord 1, C, has no voicing"),
        (&["voicings", "C", "--after", "1xxxx9"], "`--after 1xxxx9`: this stretches the hand"),
        (&["voicings", "C", "--path", "C"], "cannot be used with"),
    ] {
        check_refused(arguments, expected);
    }
}

#[test]
fn a_barre_above_the_lowest_finger_is_told_with_its_fret() {
    // The ninth chord every funk player shows, ring finger across three strings; common practice.
    let answer = found(&["D9", "--limit", "40"]);
    let shape = answer["voicings"].as_array().expect("a list").iter().find(|one| one["frets"] == "x 5 4 5 5 5");
    let why = shape.expect("among the first")["why"].as_str().expect("text");
    assert!(why.starts_with("fret 4, barre at fret 5; all five notes"), "{why}");
}

#[test]
fn a_power_chord_has_both_tones() {
    let answer = found(&["E5", "--limit", "1"]);
    assert_eq!(answer["voicings"][0]["why"], "barre at fret 2; both notes; root in the bass");
}

#[test]
fn a_limit_of_none_is_no_reason_to_say_there_are_none() {
    let answer = found(&["C", "--limit", "0"]);
    assert_eq!(answer, serde_json::json!({"symbol": "C", "voicings": []}));
    let status = fingerpost(&["voicings", "C", "--json", "--limit", "0"]).output().expect("it runs").status;
    assert_eq!(status.code(), Some(0));
}
