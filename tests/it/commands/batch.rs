//! Names by the batch: one answer a line, whatever the line holds.

use super::*;

#[test]
fn a_batch_answers_every_line_in_order_and_echoes_it_unchanged() {
    let input =
        "x 3 2 0 1 0\n\nnonsense\n0 2 2 1 0 0\r\n  x 0 2 2 1 0 \n99 0 0 0 0 0\n1 2 3\nx x x x x x\n\u{1b}[31m\n320003";
    let answers = json_lines(&["name", "--batch", "-", "--json"], input);
    let shapes: Vec<&str> = answers.iter().map(|answer| answer["shape"].as_str().expect("echoed")).collect();
    assert_eq!(
        shapes,
        [
            "x 3 2 0 1 0",
            "",
            "nonsense",
            "0 2 2 1 0 0",
            "  x 0 2 2 1 0 ",
            "99 0 0 0 0 0",
            "1 2 3",
            "x x x x x x",
            "\u{1b}[31m",
            "320003"
        ]
    );
    let refused: Vec<bool> = answers.iter().map(|answer| answer.get("error").is_some()).collect();
    assert_eq!(refused, [false, true, true, false, false, true, true, false, true, false]);
    assert_eq!(answers[7]["candidates"], serde_json::json!([]), "nothing sounds");
    fingerpost(&["name", "--batch", "-", "--json"]).write_stdin(input).assert().code(1);
}

#[test]
fn a_batch_with_bytes_that_are_no_text_goes_on() {
    let result = fingerpost(&["name", "--batch", "-", "--json"])
        .write_stdin(&b"\xff\xfe\x00\nx 3 2 0 1 0\n"[..])
        .output()
        .expect("it runs");
    let text = String::from_utf8(result.stdout).expect("UTF-8");
    assert_eq!(text.lines().count(), 2);
    assert!(text.lines().nth(1).expect("two lines").contains("\"symbol\":\"C\""));
}

#[test]
fn a_line_that_is_far_too_long_is_one_error_of_the_batch() {
    let long = "3".repeat(2_000_000);
    let answers = json_lines(&["name", "--batch", "-", "--json"], &format!("{long}\nx 3 2 0 1 0\n"));
    assert_eq!(answers.len(), 2);
    assert!(answers[0]["shape"] == *long, "the line is echoed unchanged");
    assert!(answers[0]["error"].as_str().expect("an error").contains("too long for a shape"));
    assert_eq!(answers[1]["candidates"][0]["symbol"], "C");
}

#[test]
fn a_batch_echoes_what_a_terminal_would_obey_as_json_escapes() {
    let lines = ["\u{9b}31m", "\u{7f}", "\u{202e}", "x 3 2 0 1 0 \u{2028}", "\u{e0041}", "♭ 字 😀"];
    let text = output(&["name", "--batch", "-", "--json"], &lines.join("\n"));
    assert!(
        !text.contains(|sign: char| (sign.is_control() && sign != '\n') || ('\u{2028}'..='\u{202e}').contains(&sign))
    );
    assert!(text.contains("♭ 字 😀") && text.contains("\\u009b31m"), "{text}");
    for (line, answer) in lines.iter().zip(text.lines()) {
        let answer: Value = serde_json::from_str(answer).expect("a line of JSON");
        assert_eq!(answer["shape"], *line);
    }
}

#[test]
fn a_batch_may_open_with_a_byte_order_mark() {
    let answers = json_lines(&["name", "--batch", "-", "--json"], "\u{feff}x 3 2 0 1 0\r\nx 0 2 2 1 0\r\n");
    assert_eq!(answers[0]["shape"], "\u{feff}x 3 2 0 1 0");
    assert_eq!(answers[0]["candidates"][0]["symbol"], "C");
    assert_eq!(answers[1]["candidates"][0]["symbol"], "Am");
}

#[test]
fn every_line_of_a_batch_keeps_the_contract_in_any_tuning() {
    // The arithmetic of names, octaves and degrees is written out here once more, apart from the program's own.
    let natural =
        |letter: u8| [9, 11, 0, 2, 4, 5, 7].get(usize::from(letter - b'A')).copied().expect("a letter A to G");
    let signs = |text: &str| {
        text.chars()
            .map(|sign| match sign {
                '#' => 1,
                'b' => -1,
                _ => 0,
            })
            .sum::<i32>()
    };
    let class = |name: &str| (natural(name.as_bytes()[0]) + signs(&name[1..])).rem_euclid(12);
    let midi = |name: &str| {
        let digits = name.find(|sign: char| sign.is_ascii_digit() || sign == '-').expect("an octave");
        let octave: i32 = name[digits..].parse().expect("an octave");
        natural(name.as_bytes()[0]) + signs(&name[1..digits]) + 12 * (octave + 1)
    };
    let degree = |text: &str| {
        let number: usize = text.trim_start_matches(['b', '#']).parse().expect("a degree");
        let semitones = [0, 2, 4, 5, 7, 9, 11][(number - 1) % 7];
        semitones + signs(text)
    };
    let frets = ["x", "0", "2", "3", "7"];
    for (tuning, strings) in [("standard", 6_u32), ("ukulele", 4), ("8-string standard", 8), ("E1 A1 D2 G2", 4)] {
        let lines: Vec<String> = (0..60_u32)
            .map(|line| {
                let fret =
                    |string: u32| frets[((line * 7919 + 13) / 5_u32.pow(string % 5) + string * line) as usize % 5];
                (0..strings).map(fret).collect::<Vec<_>>().join(" ")
            })
            .collect();
        let answers = json_lines(&["name", "--batch", "-", "--json", "--tuning", tuning], &(lines.join("\n") + "\n"));
        assert_eq!(answers.len(), lines.len());
        for (line, answer) in lines.iter().zip(&answers) {
            let texts = |value: &Value| -> Vec<Option<String>> {
                value.as_array().expect("a list").iter().map(|text| text.as_str().map(str::to_owned)).collect()
            };
            assert_eq!(answer["shape"], line.as_str());
            let notes = texts(&answer["notes"]);
            assert_eq!(
                notes.iter().map(Option::is_none).collect::<Vec<_>>(),
                line.split(' ').map(|fret| fret == "x").collect::<Vec<_>>()
            );
            let sounding: Vec<i32> = notes.iter().flatten().map(|note| midi(note)).collect();
            let candidates = answer["candidates"].as_array().expect("candidates");
            assert!(candidates.len() <= 10 && candidates.is_empty() == sounding.is_empty(), "{line}");
            for candidate in candidates {
                let context = format!("{tuning}: {line}: {candidate}");
                let bass = class(candidate["bass"].as_str().expect("a bass"));
                assert_eq!(Some(bass), sounding.iter().min().map(|lowest| lowest.rem_euclid(12)), "{context}");
                for (name, note) in texts(&candidate["notes"]).iter().zip(&notes) {
                    assert_eq!(
                        name.as_deref().map(class),
                        note.as_deref().map(|note| midi(note).rem_euclid(12)),
                        "{context}"
                    );
                }
                let Some(root) = candidate["root"].as_str().map(class) else { continue };
                let tones = |list: &Value| -> Vec<i32> {
                    texts(list).iter().flatten().map(|text| (root + degree(text)).rem_euclid(12)).collect()
                };
                let (formula, missing) = (tones(&candidate["formula"]), tones(&candidate["missing"]));
                let sounds = |tone: &i32| sounding.iter().any(|note| note.rem_euclid(12) == *tone);
                // The whole formula is listed, what is missing does not sound, and all else does.
                assert!(formula.iter().all(|tone| missing.contains(tone) != sounds(tone)), "{context}");
                assert!(missing.iter().all(|tone| formula.contains(tone)), "{context}");
                // Only the bass may be foreign to it.
                assert!(
                    sounding.iter().map(|note| note.rem_euclid(12)).all(|note| note == bass || formula.contains(&note)),
                    "{context}"
                );
                assert_eq!(formula.first(), Some(&root), "{context}");
            }
        }
    }
}

#[test]
#[cfg(unix)]
fn a_line_without_an_end_is_refused_before_it_fills_the_memory() {
    let endless = std::fs::File::open("/dev/zero").expect("zeros without end");
    let result = std::process::Command::new(assert_cmd::cargo::cargo_bin("fingerpost"))
        .args(["name", "--batch", "-", "--json"])
        .stdin(endless)
        .output()
        .expect("it runs");
    assert_eq!(result.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&result.stderr).contains("one shape a line"));
}

/// A program that writes a line and waits for its answer before it writes the next.
#[test]
fn each_line_is_answered_while_the_pipe_stays_open() {
    use std::io::{BufRead, BufReader, Write};
    use std::process::{Command, Stdio};
    for command in [&["name", "--batch", "-", "--json"][..], &["voicings", "--batch", "-", "--json", "--limit", "1"]] {
        let mut program = Command::new(assert_cmd::cargo::cargo_bin("fingerpost"))
            .args(command)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut input = program.stdin.take().unwrap();
        let mut answers = BufReader::new(program.stdout.take().unwrap()).lines();
        for line in if command[0] == "name" { ["x 3 2 0 1 0", "320033"] } else { ["C", "Am7"] } {
            writeln!(input, "{line}").unwrap();
            // It would wait here for ever.
            let answer = answers.next().unwrap().unwrap();
            assert!(answer.contains(line), "{answer}");
        }
        drop(input);
        assert!(program.wait().unwrap().success());
    }
}
