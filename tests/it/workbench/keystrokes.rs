//! How many keys what is written most takes. The limits stand in one table, and so do the figures of DEVELOPERS.md.

use std::fs;
use std::path::Path;

use fingerpost::instrument::neck::Fret;
use fingerpost::lesson::document::{Lesson, SegmentKind};
use fingerpost::lesson::music::{Event, Join, Technique};

use super::bench::{Bench, small_lesson};

/// One thing that is written often.
struct Task {
    /// What it is, as DEVELOPERS.md says it.
    what: &'static str,
    /// The keys that lead to where it is done; they do not count.
    before: &'static str,
    /// The keys, as the key table writes them; what is in quotes is typed letter by letter.
    keys: &'static str,
    /// What of the keys is text of the teacher's own, which does not count.
    text: &'static [&'static str],
    /// The most keys it may take.
    limit: usize,
    /// Whether it is done.
    done: fn(&Lesson) -> bool,
}

const TASKS: [Task; 10] = [
    Task {
        what: "a bar of eighths with four palm mutes and a slide",
        before: "Down P a \"Riff\" Enter Enter Enter Down Down Down Down",
        keys: "0 3 5 0 3 6 5 3 Left s Ctrl+Left Shift+Right Shift+Right Shift+Right m",
        text: &[],
        limit: 16,
        done: |lesson| {
            let events = last_bar(lesson);
            let muted = |event: &&Event| has(event, Technique::PalmMute);
            events.len() == 8
                && events.iter().filter(muted).count() == 4
                && events.iter().filter(|event| event.notes[0].join == Some(Join::Slide)).count() == 1
        },
    },
    Task {
        what: "a shape, saved under the first of its names",
        before: "Down F",
        keys: "s \"x02010\" Enter v",
        text: &[],
        limit: 9,
        done: |lesson| lesson.voicings.last().is_some_and(|voicing| voicing.readings == ["Am7"]),
    },
    Task {
        what: "a shape, another of its names chosen, saved",
        before: "Down F",
        keys: "s \"x02010\" Enter R Down Enter v",
        text: &[],
        limit: 12,
        done: |lesson| lesson.voicings.last().is_some_and(|voicing| voicing.readings == ["C/A"]),
    },
    Task {
        what: "a segment with its kind, its length and three points",
        before: "",
        keys: "a \"Two grips\" Enter k e Enter l \"1:30\" Enter p \"one\" Enter \"two\" Enter \"three\" Ctrl+S",
        text: &["Two grips", "1:30", "one", "two", "three"],
        limit: 14,
        done: |lesson| {
            let segment = &lesson.segments[1];
            let points = ["one", "two", "three"];
            (segment.kind, segment.talking_points == points) == (SegmentKind::Exercise, true)
                && segment.planned.to_string() == "1:30"
        },
    },
    Task {
        what: "a trill",
        before: "Down P Down Down Down Down",
        keys: "& 5 Enter",
        text: &[],
        limit: 4,
        done: |lesson| has(first(lesson), Technique::Trill(Fret::new(5).unwrap())),
    },
    Task {
        what: "a tapped harmonic, from the list of techniques",
        before: "Down P Down Down Down Down",
        keys: "Enter \"th\" Enter Enter",
        text: &[],
        limit: 5,
        done: |lesson| {
            first(lesson).notes[0].techniques.iter().any(|known| matches!(known, Technique::TappedHarmonic(_)))
        },
    },
    Task {
        what: "a dead strum over all strings of a chord",
        before: "Down P 3 Down 5 Down 5",
        keys: "!",
        text: &[],
        limit: 1,
        done: |lesson| {
            let notes = &first(lesson).notes;
            notes.len() == 4 && notes.iter().all(|note| note.techniques == [Technique::Dead])
        },
    },
    Task {
        what: "a hammer-on and the pull-off back",
        before: "Down P a \"Riff\" Enter Enter Enter Down",
        keys: "5 h 7 h 5",
        text: &[],
        limit: 5,
        done: |lesson| {
            let joins: Vec<Option<Join>> = last_bar(lesson).iter().map(|event| event.notes[0].join).collect();
            joins == [Some(Join::HammerOn), Some(Join::PullOff), None]
        },
    },
    Task {
        what: "a piece with three segments",
        before: "End",
        keys: "a \"Gasworks Lantern: performance, walkthrough, play-along\" Enter",
        text: &["Gasworks Lantern: performance, walkthrough, play-along"],
        limit: 2,
        done: |lesson| {
            let piece = lesson.pieces.last().map(|piece| (piece.title.as_str(), piece.id));
            let added = &lesson.segments[4..];
            piece.is_some_and(|(title, id)| {
                title == "Gasworks Lantern" && added.len() == 3 && added.iter().all(|segment| segment.pieces == [id])
            })
        },
    },
    Task {
        what: "a bar copied behind itself",
        before: "Down P",
        keys: "S S c Ctrl+Right Ctrl+V",
        text: &[],
        limit: 5,
        done: |lesson| lesson.passages[0].bars.len() == small_lesson().passages[0].bars.len() + 1,
    },
];

fn has(event: &Event, technique: Technique) -> bool {
    event.notes.iter().any(|note| note.techniques.contains(&technique))
}

/// The first column of the first passage.
fn first(lesson: &Lesson) -> &Event {
    &lesson.passages[0].bars[0].voices[0].0[0]
}

/// What stands in the first bar of the passage that was begun last.
fn last_bar(lesson: &Lesson) -> &[Event] {
    lesson.passages.last().unwrap().bars[0].voices.first().map_or(&[], |voice| &voice.0)
}

/// Returns how many keys a script has: each word is one, and each letter in quotes.
fn count(script: &str) -> usize {
    let parts = script.split('"').enumerate();
    parts.map(|(part, text)| if part % 2 == 1 { text.chars().count() } else { text.split_whitespace().count() }).sum()
}

impl Task {
    fn count(&self) -> usize {
        count(self.keys) - self.text.iter().map(|text| text.chars().count()).sum::<usize>()
    }

    /// A line of the table in DEVELOPERS.md.
    fn line(&self) -> String {
        let beside = if self.text.is_empty() { "" } else { " beside the text" };
        format!("| {} | {}{beside} | {} |", self.what, self.count(), self.limit)
    }
}

#[test]
fn what_is_written_most_takes_no_more_keys_than_it_may() {
    for task in TASKS {
        let mut bench = Bench::small((120, 36));
        bench.strike(task.before);
        let before = bench.lesson().clone();
        assert!(!(task.done)(&before), "{}: done before a key is struck", task.what);
        bench.strike(task.keys);
        assert!(bench.state.overlay.is_none(), "{}: a box is open", task.what);
        assert!((task.done)(bench.lesson()), "{}: not done; {}\n{}", task.what, bench.notice(), bench.screen());
        assert!(task.count() <= task.limit, "{}: {} keys", task.what, task.count());
    }
}

/// `UPDATE_README=1` writes the lines, as it does the pictures of the README.
#[test]
fn the_figures_for_developers_are_those_of_the_table() {
    const FROM: &str = "| what is written | keys | at most |\n|---|---|---|\n";
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md");
    let text = fs::read_to_string(&path).unwrap();
    let (before, rest) = text.split_once(FROM).expect("the table is there");
    let (shown, after) = rest.split_once("\n\n").expect("it ends with an empty line");
    let lines = TASKS.map(|task| task.line()).join("\n");
    if std::env::var_os("UPDATE_README").is_some() {
        fs::write(path, format!("{before}{FROM}{lines}\n\n{after}")).unwrap();
    } else {
        assert_eq!(shown, lines, "run `UPDATE_README=1 cargo test keystrokes` and read the difference");
    }
}
