//! Whether a student finds every sign of the tab in its key, whatever a lesson uses.

use std::collections::BTreeSet;
use std::path::Path;

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::music::{Bar, Event, Join, Note, Stroke, Voice};
use fingerpost::lesson::technique::TECHNIQUES;
use fingerpost::lesson::time::Length;
use fingerpost::store::demos::DEMOS;
use fingerpost::store::lesson_file;
use fingerpost::tab::handout::options::HandoutOptions;
use fingerpost::theory::symbol::ChordSymbol;

use super::{check_order, lesson, passage, piece, text};

/// The key to the tab as it is printed: the signs of each group.
#[derive(Default)]
struct PrintedKey {
    rhythm: BTreeSet<String>,
    strings: BTreeSet<String>,
    around: BTreeSet<String>,
    /// All words of it.
    words: String,
}

impl PrintedKey {
    /// Reads the key at the end of a handout of the usual width.
    fn of(handout: &str) -> Self {
        // Where the second of two columns begins.
        const SECOND: usize = 37;
        let mut key = Self::default();
        let (mut group, mut words) = (0, [String::new(), String::new()]);
        let lines = handout.lines().skip_while(|line| !line.starts_with("── Key to the tab"));
        for line in lines.skip(1).take_while(|line| !line.starts_with("── ")) {
            group = match line.split(" (").next() {
                Some("Rhythm row") => 1,
                Some("On the strings") => 2,
                Some("Above and below the tab") => 3,
                _ => group,
            };
            let signs: Vec<char> = line.chars().collect();
            let (left, right) = signs.split_at(SECOND.min(signs.len()));
            for (number, half) in [left, right].map(|half| half.iter().collect::<String>()).into_iter().enumerate() {
                words[number].push_str(&format!(" {}", half.trim()));
                if let Some((sign, _)) = half.split_once("  ").filter(|(sign, _)| !sign.is_empty()) {
                    match group {
                        1 => key.rhythm.insert(sign.to_owned()),
                        2 => key.strings.insert(sign.to_owned()),
                        _ => key.around.insert(sign.to_owned()),
                    };
                }
            }
        }
        key.words = words.concat();
        key
    }

    /// Returns the words that stand over the strings, without the lines that they begin.
    fn over(&self) -> BTreeSet<&str> {
        self.around.iter().flat_map(|sign| sign.split_whitespace()).map(|word| word.trim_end_matches(LINES)).collect()
    }
}

const LINES: [char; 2] = ['─', '│'];

/// Returns the lines of each system of tab.
fn systems(handout: &str) -> Vec<Vec<&str>> {
    let lines: Vec<&str> = handout.lines().collect();
    let systems = lines.split(|line| line.trim().is_empty() || line.starts_with("──") || line.starts_with('\u{c}'));
    systems.filter(|system| system.iter().any(|line| is_string(line))).map(<[&str]>::to_vec).collect()
}

/// Returns whether a line is a string: its name, a bar line and a line to the end.
fn is_string(line: &str) -> bool {
    let label: String = line.chars().take_while(|sign| !"│║»".contains(*sign)).collect();
    let after = line.get(label.len()..).unwrap_or_default();
    (1..=4).contains(&label.chars().count()) && !label.contains("  ") && label.trim() != "" && after.contains('─')
}

/// Checks every sign of one system, and the line on top where it has one.
fn check_system(system: &[&str], key: &PrintedKey) -> Result<(), String> {
    let first = system.iter().position(|line| is_string(line)).unwrap();
    let last = system.iter().rposition(|line| is_string(line)).unwrap();
    let rhythm = |line: &str| line.split_whitespace().try_for_each(|word| check_rhythm(word, key));
    rhythm(system[first - 1])?;
    for line in &system[..first - 1] {
        if line.starts_with(|sign: char| sign.is_ascii_digit()) {
            check_header(line)?;
        } else {
            check_over(line, key)?;
        }
    }
    let known: BTreeSet<char> = key.strings.iter().chain(&key.around).flat_map(|sign| sign.chars()).collect();
    for line in &system[first..=last] {
        let label = line.find(['│', '║', '»']).unwrap();
        let unknown =
            line[label..].chars().find(|sign| !sign.is_ascii_digit() && !LINES.contains(sign) && !known.contains(sign));
        unknown.map_or(Ok(()), |sign| Err(format!("`{sign}` on a string: {line}")))?;
    }
    // Notes under the system go on to its end.
    for line in system[last + 1..].iter().take_while(|line| !line.starts_with('*')) {
        let counted = |word: &str| word.parse::<u8>().is_ok() || ["&", "e", "a"].contains(&word);
        let is_count = line.split_whitespace().all(|word| counted(word) || ["la", "li"].contains(&word));
        match is_count {
            true if line.contains("la") && !key.around.contains("1 la li") => Err(format!("no `la`: {line}"))?,
            true if !key.around.contains("1 & 2 &") => Err(format!("no count: {line}"))?,
            true => {}
            false => rhythm(line)?,
        }
    }
    Ok(())
}

/// Checks one length: each of its signs is in one of the rhythm row.
fn check_rhythm(word: &str, key: &PrintedKey) -> Result<(), String> {
    let known: BTreeSet<char> = key.rhythm.iter().flat_map(|sign| sign.chars()).collect();
    let unknown = word.chars().find(|sign| !sign.is_ascii_digit() && !known.contains(sign));
    unknown.map_or(Ok(()), |sign| Err(format!("`{sign}` of `{word}` in the rhythm row")))
}

/// Checks the line on top of a passage: only words and numbers.
fn check_header(line: &str) -> Result<(), String> {
    let mut parts = line.split("  ");
    let meter = parts.next().unwrap().split('/').all(|number| number.parse::<u8>().is_ok());
    let tempo = parts
        .next()
        .and_then(|tempo| tempo.split_once(" note = "))
        .is_some_and(|(_, number)| number.parse::<u16>().is_ok());
    let rest = parts.all(|part| part.starts_with("key of ") || part.starts_with("swung "));
    if meter && tempo && rest { Ok(()) } else { Err(format!("not in words: {line}")) }
}

/// Checks a line over the rhythm row: chord names, words in quotes, and signs of the key.
fn check_over(line: &str, key: &PrintedKey) -> Result<(), String> {
    let unquoted: String = line.split('"').step_by(2).collect::<Vec<_>>().join(" ");
    for word in unquoted.split_whitespace() {
        let bare = word.trim_end_matches(LINES);
        let digits = |text: &str| !text.is_empty() && text.chars().all(|sign| sign.is_ascii_digit());
        let symbol = word.replace('♭', "b").replace('♯', "#").parse::<ChordSymbol>().is_ok();
        let tempo = || bare.split_once('=').is_some_and(|(beat, _)| key.around.contains(&format!("{beat}=92")));
        let known = symbol
            || bare.is_empty()
            || key.over().contains(bare)
            || bare == "pickup"
            || bare.starts_with("key:")
            || bare.split_once('/').is_some_and(|(beats, value)| digits(beats) && digits(value))
            || bare.strip_prefix('*').is_some_and(digits) && key.around.contains("*1")
            || bare.strip_prefix('x').is_some_and(digits) && key.around.contains("x3")
            || bare.strip_suffix('.').is_some_and(|endings| endings.split(',').all(digits))
                && key.over().contains("1.")
            || key.words.contains(&format!("short: {bare})"))
            || tempo();
        if !known {
            return Err(format!("`{word}` over the tab: {line}"));
        }
    }
    Ok(())
}

#[track_caller]
fn check_signs(lesson: &Lesson) {
    let handout = text(lesson, &HandoutOptions::default());
    let key = PrintedKey::of(&handout);
    let systems = systems(&handout);
    assert!(!systems.is_empty() && !key.rhythm.is_empty(), "{handout}");
    for system in systems {
        if let Err(unexplained) = check_system(&system, &key) {
            panic!("{unexplained}\n{}\n{handout}", system.join("\n"));
        }
    }
}

fn note(fret: u8) -> Note {
    Note::plain(StringNumber::new(3).unwrap(), Fret::new(fret).unwrap())
}

/// One bar for each technique, each way to the next note, each stroke; and whatever else a bar can have.
fn everything() -> Lesson {
    let eighth: Length = "1/8".parse().unwrap();
    let event = |notes: Vec<Note>| Event { notes, ..Event::rest(eighth) };
    let bar = |events: Vec<Event>| Bar { voices: vec![Voice(events)], ..Bar::default() };
    let mut bars: Vec<Bar> = Vec::new();
    for row in TECHNIQUES {
        let played = Note { techniques: vec![row.sample()], ..note(7) };
        bars.push(bar(vec![event(vec![played.clone()]), event(vec![played]), event(vec![note(5)])]));
    }
    for join in Join::ALL {
        let to = if join == Join::Tie { 7 } else { 9 };
        bars.push(bar(vec![event(vec![Note { join: Some(join), ..note(7) }]), event(vec![note(to)])]));
    }
    for stroke in [Stroke::Down, Stroke::Up, Stroke::RakeDown, Stroke::RakeUp, Stroke::ArpeggioDown, Stroke::ArpeggioUp]
    {
        bars.push(bar(vec![Event { stroke: Some(stroke), ..event(vec![note(7)]) }]));
    }
    let lengths = ["1/1", "1/2.", "1/4", "1/16", "1/32", "1/64", "1/8 3:2"];
    bars.extend(lengths.map(|length| bar(vec![Event { length: length.parse().unwrap(), ..event(vec![note(2)]) }])));
    let named = |name: &str| Event { chord: Some(name.to_owned()), ..event(vec![note(2)]) };
    let said = Event { text: Some("slowly, and not louder than before".repeat(2)), ..event(vec![note(2)]) };
    let grace = Event { grace: vec![note(5)], ..event(vec![note(7)]) };
    bars.push(bar(vec![named("N.C."), said, grace, named("Am7")]));
    let below = Voice(vec![event(vec![Note::plain(StringNumber::new(6).unwrap(), Fret::OPEN)])]);
    bars.push(Bar { voices: vec![Voice(vec![event(vec![note(7)])]), below], ..Bar::default() });
    bars.push(Bar {
        tempo: "1/4.=60".parse().ok(),
        meter: "6/8".parse().ok(),
        key: "Em".parse().ok(),
        ..bar(vec![named("Em")])
    });
    bars.push(Bar { repeat_start: true, ..bar(vec![event(vec![note(7)])]) });
    bars.push(Bar { repeat_end: Some(3), endings: vec![1, 2], ..bar(vec![event(vec![note(7)])]) });
    let mut lesson = lesson();
    let mut everything = passage(1, "everything", Some(1), &[]);
    everything.bars = bars;
    everything.tempo = "1/4.=60".parse().unwrap();
    // A name of the teacher's own is no sign.
    lesson.passages[1].bars.truncate(3);
    lesson.passages[0] = everything;
    lesson
}

#[test]
fn every_sign_of_the_tab_is_explained_in_its_key() {
    for demo in DEMOS {
        check_signs(&lesson_file::parse(Path::new(demo.name), demo.text.as_bytes()).unwrap().lesson);
    }
    let workbench = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/lessons/workbench.lesson.ron");
    check_signs(&lesson_file::load(&workbench).unwrap().lesson);
    check_signs(&everything());
}

#[test]
fn the_line_on_top_is_in_words() {
    let mut lesson = lesson();
    lesson.passages[0].tempo = "1/4.=60".parse().unwrap();
    lesson.passages[0].key = "Bbm".parse().ok();
    check_order(
        &text(&lesson, &HandoutOptions::default()),
        &["4/4  quarter note = 120", "4/4  dotted quarter note = 60  key of B♭ minor"],
    );
}

#[test]
fn a_piece_says_who_wrote_it_and_where_it_was_learned() {
    let printed = |credit: &str| {
        let mut lesson = lesson();
        let credits = piece(1, "Wash Day", 1, "D");
        let (recording, permission) = ("a tape from the attic".to_owned(), "by letter, in May".to_owned());
        lesson.pieces[0] =
            fingerpost::lesson::document::Piece { credit: credit.into(), recording, permission, ..credits };
        let text = text(&lesson, &HandoutOptions::default());
        let lines: Vec<String> =
            text.lines().skip_while(|line| !line.starts_with("══ Wash Day")).map(str::to_owned).collect();
        lines[1..4].join("\n")
    };
    assert_eq!(
        printed("Odo Quill"),
        "   by Odo Quill\n   Learned from a tape from the attic\n   Permission: by letter, in May"
    );
    for clear in ["Written by Odo Quill", "by Odo Quill", "traditional", "words and music: Odo Quill"] {
        assert_eq!(printed(clear).lines().next(), Some(format!("   {clear}").as_str()));
    }
}

#[test]
fn a_strum_that_is_muted_or_dead_shows_all_its_strings() {
    let mut lesson = lesson();
    let strum = |technique| {
        let string = |number| Note {
            techniques: vec![technique],
            ..Note::plain(StringNumber::new(number).unwrap(), Fret::new(2).unwrap())
        };
        Event {
            notes: (1..=6).map(string).collect(),
            stroke: Some(Stroke::Down),
            ..Event::rest("1/4".parse().unwrap())
        }
    };
    use fingerpost::lesson::music::Technique::{Dead, PalmMute};
    lesson.passages[0].bars = vec![Bar { voices: vec![Voice(vec![strum(PalmMute), strum(Dead)])], ..Bar::default() }];
    let printed = text(&lesson, &HandoutOptions::default());
    let system = systems(&printed).into_iter().find(|system| system.iter().any(|line| line.contains('x'))).unwrap();
    assert!(system.iter().any(|line| line.trim() == "P.M."), "{printed}");
    let strings: Vec<&&str> = system.iter().filter(|line| is_string(line)).collect();
    assert_eq!(strings.len(), 6);
    for string in strings {
        let signs: String = string.chars().filter(|sign| !LINES.contains(sign)).skip(1).collect();
        assert_eq!(signs, "2x", "{printed}");
    }
}
