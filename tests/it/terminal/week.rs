//! A lesson as a teacher plans one in a week: five pieces in four tunings and sixteen segments, by keys alone; printed, and
//! on another day reordered, retuned and printed again. The pieces are invented.

use super::screen::Session;
use super::whole::{finish, new_lesson};

const HOME: &str = "\x1b[H";
const END: &str = "\x1b[F";
const UP: &str = "\x1b[A";
const DOWN: &str = "\x1b[B";

/// What is typed of a piece.
struct Typed {
    piece: &'static str,
    kinds: &'static str,
    /// Nothing where it is tuned as what comes before.
    tuning: &'static str,
    /// How far down the string is.
    down: usize,
    /// The keys of its passage from the first note on: frets, each with what is done to the note behind it.
    passage: &'static str,
}

const PIECES: [Typed; 5] = [
    Typed {
        piece: "Gasworks Lantern",
        kinds: "performance, walkthrough, play-along",
        tuning: "",
        down: 4,
        passage: "35h7h5s350v03m0m3x5b\r75&7\r3003g4t45<7+5k0",
    },
    Typed {
        piece: "Tide Table",
        kinds: "performance, walkthrough, play-along",
        tuning: "drop D",
        down: 5,
        passage: "575797537m7m7m5m7m9m7m7",
    },
    Typed {
        piece: "Osier Bed",
        kinds: "walkthrough, exercise, play-along",
        tuning: "DADGAD capo 2",
        down: 4,
        passage: "04h70500577775h7h50",
    },
    Typed {
        piece: "Brick Kiln",
        kinds: "performance, walkthrough, exercise",
        tuning: "",
        down: 3,
        passage: "4t4457543",
    },
    Typed { piece: "Quay Waltz", kinds: "performance, walkthrough", tuning: "open G", down: 3, passage: "04540547" },
];

/// Adds the segments of a piece before the goodbye, its tuning and its passage, which its second segment plays as well.
fn type_piece(session: &mut Session, typed: &Typed) {
    let Typed { piece, kinds, tuning, down, passage } = typed;
    session.type_keys(&format!("{END}A{piece}: {kinds}\r"));
    session.wait_for("the segments", |screen| screen.contains(&format!("added \"{piece}\"")));
    if !tuning.is_empty() {
        session.type_keys(&format!("\x0e{tuning}\r"));
        session.wait_for("the tuning", |screen| screen.contains("this segment is played in it"));
    }
    session.type_keys(&format!("Pa{piece} riff\r\r\r"));
    session.wait_for("the passage", |screen| screen.contains("bar 1 of 1"));
    session.type_keys(&DOWN.repeat(*down));
    session.type_keys(passage);
    session.type_keys(&format!("T{DOWN}t"));
    session.wait_for("the passages", |screen| screen.contains(&format!("] {piece} riff")));
    session.type_keys(&format!("{END} \r"));
    session.wait_for("the second segment with its music", |screen| screen.contains("▸Timeline"));
}

/// Returns the lines of the handout's tab that are strings or the counts of bars, without what stands around them.
fn tab_of(handout: &str, heading: &str) -> String {
    let from = handout.find(&format!("── {heading} ─")).unwrap_or_else(|| panic!("no {heading} in\n{handout}"));
    let lines = handout[from..].lines().skip(1).take_while(|line| !line.starts_with(['─', '═', '\u{c}']));
    lines.filter(|line| line.contains('│')).collect::<Vec<_>>().join("\n")
}

#[test]
fn a_week_s_lesson_is_typed_printed_and_on_another_day_reordered_retuned_and_printed_again() {
    let mut session = new_lesson("Harbour evenings", (100, 30));
    for typed in &PIECES {
        type_piece(&mut session, typed);
    }
    session.type_keys(&format!("{HOME}{DOWN}Fsx02010\rv"));
    session.wait_for("the voicing saved", |screen| screen.contains("saved Am7 in"));
    let first = finish(&mut session, "harbour-evenings.handout.txt");
    insta::assert_snapshot!("week_handout", first.replace('\u{c}', "---------- next page ----------\n"));

    // Another day: the waltz comes first, and what is in drop D is played in standard tuning, to sound the same.
    let home = session.into_home();
    let mut session = Session::start_in(home, &["open", "harbour-evenings.lesson.ron"], (80, 24), &[]);
    session.wait_for("the lesson", |screen| screen.contains("Harbour evenings") && screen.contains("saved"));
    session.type_keys(&format!("T{END}{UP}{UP}J2\r"));
    session.wait_for("the waltz moved", |screen| {
        screen.lines().any(|line| line.starts_with('▸') && line.contains(" 2 ") && line.contains("Quay Waltz: perf"))
    });
    session.type_keys(&format!("{HOME}{}PE", DOWN.repeat(5)));
    session.wait_for("the tunings", |screen| screen.contains("Tuning and capo of the passage"));
    session.type_keys(&format!("\r{DOWN}\r"));
    session
        .wait_for("the passage refingered", |screen| screen.contains("\"Tide Table riff\" is in standard: same sound"));
    // What was printed the other day is the program's own, so nothing is asked.
    session.type_keys("\x05");
    session.wait_for("the handout", |screen| screen.contains("the handout is in"));
    session.type_keys("\x13");
    session.wait_for("the lesson saved", |screen| screen.contains("saved in"));
    session.quit();
    let second = session.file("harbour-evenings.handout.txt");

    // Each piece has one box and one heading, with its music under it.
    for typed in &PIECES {
        assert_eq!(first.matches(&format!("══ {}", typed.piece)).count(), 1, "{first}");
    }
    assert_eq!(first.matches("┌─ Tuning: ").count(), PIECES.len(), "{first}");
    let place = |handout: &str, title: &str| handout.find(&format!("══ {title} ═")).unwrap();
    assert!(place(&first, "Quay Waltz") > place(&first, "Brick Kiln"), "{first}");
    assert!(place(&second, "Quay Waltz") < place(&second, "Gasworks Lantern"), "{second}");
    for untouched in ["Gasworks Lantern riff", "Osier Bed riff", "Brick Kiln riff", "Quay Waltz riff"] {
        assert_eq!(tab_of(&first, untouched), tab_of(&second, untouched));
    }
    let (before, after) = (tab_of(&first, "Tide Table riff"), tab_of(&second, "Tide Table riff"));
    assert_ne!(before, after);
    // Open strings as MIDI numbers: standard tuning, and with the sixth a whole step lower.
    assert_eq!(sounds(&before, [64, 59, 55, 50, 45, 38]), sounds(&after, [64, 59, 55, 50, 45, 40]), "{after}");
}

/// Returns the notes of one line of tab from left to right, as MIDI numbers; all frets have one figure.
fn sounds(tab: &str, open: [u32; 6]) -> Vec<u32> {
    let strings = tab.lines().filter(|line| line.chars().nth(1) == Some('│')).zip(open);
    let notes = strings.flat_map(|(line, open)| {
        let frets = line.chars().enumerate();
        frets.filter_map(move |(at, sign)| sign.to_digit(10).map(|fret| (at, open + fret))).collect::<Vec<_>>()
    });
    let mut notes: Vec<(usize, u32)> = notes.collect();
    notes.sort_unstable();
    assert_eq!(notes.len(), 16, "{tab}");
    notes.into_iter().map(|(_, note)| note).collect()
}
