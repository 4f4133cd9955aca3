//! The rules by which keys are chosen, held against the table of keys.

use std::collections::{BTreeMap, BTreeSet};

use fingerpost::workbench::keys::action::changes::Changes;
use fingerpost::workbench::keys::action::{Action, Focus, Pane};
use fingerpost::workbench::keys::keystroke::{Cap, Keystroke};
use fingerpost::workbench::keys::table::{KeyTable, Row};

use super::what_keys_remove::{Losing, losing_by_what_they_do};
use crate::architecture::text;

/// What takes something away that somebody has made, also of a line that is being typed, or cuts it out of the video.
const REMOVING: [&str; 20] = [
    "Timeline(Delete)",
    "Passage(Lift)",
    "Passage(RemoveEvent)",
    "Passage(RemoveBar)",
    "Passage(Cut)",
    "Fretboard(Lift)",
    "Fretboard(Clear)",
    "Fretboard(TakeVoicingOut)",
    "Library(TakeOut)",
    "Recording(Retake)",
    "Entry(EraseBefore)",
    "Entry(EraseAfter)",
    "Entry(EraseAll)",
    "Points(EraseBefore)",
    "Points(EraseAfter)",
    "Search(Erase)",
    "Search(EraseAll)",
    "Help(Erase)",
    "Help(EraseAll)",
    "Find(Erase)",
];

/// The words by which the help tells that something is taken away.
const REMOVING_WORDS: [&str; 9] =
    ["delete ", "take the ", "take this ", "take every ", "lift ", "clear ", "remove ", "erase ", "retake"];

/// What loses something on a key that is harmless in another pane, and why. Each says what it did and which key undoes it.
const LOSING_ALOUD: [(&str, &str); 4] = [
    ("Passage(MergeBar)", "of two bars one is left, which has all notes of both"),
    ("Library(JoinDuplicates)", "of voicings that are the same one is left, under all their names"),
    ("Timeline(JoinNext)", "of two segments one is left, which has all of both"),
    ("Passage(Rest)", "writes a rest, which is written often; over notes it says that they are one now"),
];

/// Letters that stand for two words, and why.
const TWO_WORDS: [(&str, &str); 11] = [
    ("A", "add; on the fretboard the slot that is called A, which is put beside B"),
    ("B", "before, for a bar before this one; on the fretboard the slot that is called B"),
    ("b", "bend in the passage, as players write it; bass in the readings, which no bend reaches"),
    ("e", "edit; elsewhere on the fretboard, where nothing has words to edit"),
    ("I", "insert; the lower inversion on the fretboard, as `i` is the higher one"),
    ("i", "insert; inversion on the fretboard, into which nothing is inserted"),
    ("k", "kind of segment; pick stroke in the passage: each is a choice that is made again by the same key"),
    ("l", "length in timeline, passage and preview; level on the fretboard, where nothing has a length"),
    ("s", "slide in the passage, as players write it; shape on the fretboard"),
    ("t", "tie in the passage; the tab of a segment in the timeline, which opens a list"),
    ("v", "vibrato in the passage, as players write it; voicing everywhere else"),
];

/// Actions whose help says their own plain word, though their letter stands for another everywhere else, and why.
const PLAIN_WORDS: [(&str, &str); 3] = [
    ("Neck(Swap)", "S selects elsewhere; players swap one shape for the other"),
    ("Neck(Compare)", "f finds elsewhere; two shapes are compared, and c copies"),
    ("Passage(ReadTab)", "A adds elsewhere; text tab is read, and R leads to the readings"),
];

/// Signs, and letters with Ctrl, that do two things, and why.
const TWO_ACTIONS: [(&str, &str); 15] = [
    ("'", "opens a box to write in: shot notes in the timeline, words over a note in the passage"),
    ("(", "to the string above: the note in the passage, the whole shape as a suggestion on the fretboard"),
    (")", "to the string below, likewise"),
    (":", "a time: the start of a segment in the timeline, the clock in the recording view; both open a box"),
    ("<", "harmonics: of the note in the passage, the nodes on the fretboard"),
    ("[", "the one before: the bar in the passage, the voicing of the segment on the fretboard"),
    ("]", "the next one, likewise"),
    ("Ctrl+A", "the beginning of a line that is typed, in prompts and in talking points"),
    ("Ctrl+D", "Shift+Delete for keyboards without it, in the passage and on the fretboard"),
    (
        "Ctrl+E",
        "the end of a line, as in every shell; where nothing is typed it saves the handout, which takes nothing away",
    ),
    ("Ctrl+F", "opens the search for actions, and closes it"),
    ("Ctrl+G", "from the tab to the fretboard, and back from there with the name"),
    ("Ctrl+K", "to the system clipboard: the chapters in the timeline, the tab in the passage"),
    ("Ctrl+S", "saves: the lesson, the points that are written, the handout that is looked at"),
    ("Ctrl+U", "erases the line that is typed, wherever one is typed"),
];

/// Characters for which a keyboard of Germany, France, Spain or a Scandinavian country has only AltGr, a dead key or none.
/// Source: the layouts de, fr, es, se, no and dk of xkeyboard-config, symbols of levels 1 to 3.
const BEHIND_ALT_GR: &str = "@{}%#_|~[]\\`^$";

fn rows(table: &KeyTable) -> impl Iterator<Item = &Row> {
    Pane::ALL.iter().flat_map(|place| table.rows_of(*place))
}

fn name(row: &Row) -> String {
    format!("{:?}", row.action)
}

fn removes(row: &Row) -> bool {
    REMOVING.contains(&name(row).as_str())
}

/// The places of an open lesson and the two views over it, in which no character is typed.
fn is_pane(place: Pane) -> bool {
    Focus::ALL.map(Focus::pane).contains(&place)
        || [Pane::Neck, Pane::Desk, Pane::Sound, Pane::Recording, Pane::Preview].contains(&place)
}

/// Faults of a table, in words. Each rule is a function, so that each can be shown to find something.
fn destructive_keys_that_mean_something_else(table: &KeyTable) -> Vec<String> {
    let removing: BTreeSet<Keystroke> =
        rows(table).filter(|row| removes(row)).flat_map(|row| row.keys.clone()).collect();
    let harmless = rows(table).filter(|row| !removes(row));
    let shared = harmless.flat_map(|row| row.keys.iter().map(move |key| (row, *key)));
    shared.filter(|(_, key)| removing.contains(key)).map(|(row, key)| format!("{key}: {}", name(row))).collect()
}

fn removing_on_other_keys(table: &KeyTable) -> Vec<String> {
    let allowed = |row: &Row| match name(row).as_str() {
        "Recording(Retake)" => vec!["r"],
        // Ctrl+U is the key that shells have for it.
        _ if row.place().types() => vec!["Backspace", "Delete", "Ctrl+U"],
        _ => vec!["Delete", "Shift+Delete", "D", "Ctrl+D"],
    };
    // What is cut can be pasted, and nobody looks for it elsewhere.
    let rows = rows(table).filter(|row| removes(row) && name(row) != "Passage(Cut)");
    let keys = rows.flat_map(|row| row.keys.iter().map(move |key| (row, key.to_string())));
    keys.filter(|(row, key)| !allowed(row).contains(&key.as_str()))
        .map(|(row, key)| format!("{key}: {}", name(row)))
        .collect()
}

fn esc_that_accepts(table: &KeyTable) -> Vec<String> {
    let esc = Keystroke::plain(Cap::Esc);
    rows(table).filter(|row| row.keys.contains(&esc) && row.action.changes() != Changes::Never).map(name).collect()
}

/// Whether every terminal sends the key, and every keyboard has it without AltGr.
fn is_plain(key: Keystroke) -> bool {
    match key.cap {
        _ if key.alt => false,
        // Ctrl with one of these is Backspace, Tab, a line feed or Enter to a terminal.
        Cap::Char(letter) if key.ctrl => letter.is_ascii_lowercase() && !"hijm".contains(letter),
        Cap::Char(letter) => !BEHIND_ALT_GR.contains(letter) && letter.is_ascii(),
        Cap::Enter | Cap::Esc | Cap::Backspace => !key.ctrl && !key.shift,
        Cap::Tab => !key.ctrl,
        Cap::Function(number) => !key.ctrl && number <= 12,
        Cap::AnyDigit | Cap::Up | Cap::Down | Cap::Left | Cap::Right => true,
        Cap::Home | Cap::End | Cap::PageUp | Cap::PageDown | Cap::Delete | Cap::Insert => true,
    }
}

fn without_a_plain_key(table: &KeyTable) -> Vec<String> {
    rows(table).filter(|row| !row.keys.iter().any(|key| is_plain(*key))).map(name).collect()
}

fn letters(row: &Row) -> impl Iterator<Item = Keystroke> + '_ {
    row.keys.iter().copied().filter(|key| key.typed().is_some_and(char::is_alphabetic))
}

fn letters_without_their_word(table: &KeyTable) -> Vec<String> {
    let panes = rows(table).filter(|row| is_pane(row.place()));
    let closes = |row: &Row| name(row) == "Preview(Close)";
    panes
        .filter(|row| letters(row).next().is_some() && !closes(row))
        .filter(|row| {
            let hint_is_another = OTHER_HINTS.iter().any(|(_, hints)| hints.contains(&row.hint.as_str()));
            let hint = row.hint.is_empty() || hint_is_another || says(&row.hint, &row.word);
            row.word.is_empty() || !says(&row.help, &row.word) || !hint
        })
        .map(name)
        .collect()
}

/// Returns whether a word stands in what a person reads.
fn says(shown: &str, word: &str) -> bool {
    shown
        .to_lowercase()
        .split(|letter: char| !letter.is_alphabetic())
        .any(|shown| shown.strip_suffix('s').unwrap_or(shown) == word || shown == word)
}

/// Hints that leave out the word of their letter, and why; the help has it.
const OTHER_HINTS: [(&str, &[&str]); 4] = [
    (
        "the thing is said, and the verb is the same for many things",
        &[
            "piece",
            "new passage",
            "read tab",
            "new bar",
            "bar",
            "chord",
            "fingers",
            "into the segment",
            "into the tab",
            "tags",
            "details",
        ],
    ),
    ("the usual word for what the key does, where the letter was taken", &["transpose", "preview"]),
    ("a form of the word, or of its part", &["record", "recording times"]),
    (
        "what is chosen in the preview, where room is scarce",
        &["back", "back to the panes", "segments", "unused", "width"],
    ),
];

/// Returns the letters that stand for more than one word, but for actions that are known to have one of their own.
fn letters_of_two_words(table: &KeyTable) -> BTreeMap<String, BTreeSet<String>> {
    let mut words: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let is_plain = |row: &Row| PLAIN_WORDS.iter().any(|(action, _)| *action == name(row));
    for row in rows(table).filter(|row| !row.word.is_empty() && !is_plain(row)) {
        for key in letters(row) {
            words.entry(key.to_string()).or_default().insert(row.word.clone());
        }
    }
    words.into_iter().filter(|(_, words)| words.len() > 1).collect()
}

/// Returns the signs, and the letters with Ctrl, that do more than one thing in the panes, each with what they do.
fn signs_of_two_actions(table: &KeyTable) -> BTreeMap<String, BTreeSet<String>> {
    let mut actions: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for row in rows(table) {
        for key in &row.keys {
            let is_sign = key.typed().is_some_and(|sign| sign.is_ascii_punctuation()) && is_pane(row.place());
            let is_control = key.ctrl && matches!(key.cap, Cap::Char(_));
            if is_sign || is_control {
                actions.entry(key.to_string()).or_default().insert(name(row));
            }
        }
    }
    actions.into_iter().filter(|(_, actions)| actions.len() > 1).collect()
}

/// Keys beside those of a pedal that change a time in front of the camera.
fn stray_stamps(table: &KeyTable) -> Vec<String> {
    let stamping = ["Recording(Advance)", "Recording(StepBack)", "Recording(RunOrHold)"];
    let rows = table.rows_of(Pane::Recording).filter(|row| stamping.contains(&name(row).as_str()));
    let keys = rows.flat_map(|row| row.keys.iter().map(ToString::to_string));
    keys.filter(|key| !["PageDown", "PageUp", "Space"].contains(&key.as_str())).collect()
}

#[test]
fn nothing_that_removes_is_on_a_key_that_is_harmless_in_another_pane() {
    let table = KeyTable::built_in();
    assert_eq!(destructive_keys_that_mean_something_else(&table), [""; 0]);
    assert_eq!(removing_on_other_keys(&table), [""; 0]);
    for name in REMOVING {
        assert!(Action::all().any(|action| format!("{action:?}") == name), "{name}");
    }
    let losing = losing_by_what_they_do();
    let found: BTreeSet<&str> = losing.iter().map(|losing| losing.action.as_str()).collect();
    for known in ["Passage(Lift)", "Passage(RemoveEvent)", "Passage(RemoveBar)", "Passage(Cut)", "Timeline(Delete)"] {
        assert!(found.contains(known), "{known} loses nothing: {found:?}");
    }
    for (aloud, _) in LOSING_ALOUD {
        assert!(found.contains(aloud), "{aloud} loses nothing: {found:?}");
    }
    let silent = losing.iter().filter(|losing| {
        let aloud = losing.says_undo && LOSING_ALOUD.iter().any(|(known, _)| *known == losing.action);
        let steps_back = losing.action == "Recording(StepBack)";
        !(aloud || steps_back || REMOVING.contains(&losing.action.as_str()))
    });
    assert_eq!(silent.collect::<Vec<_>>(), Vec::<&Losing>::new(), "these lose something without a word");
    let told = rows(&table).filter(|row| REMOVING_WORDS.iter().any(|word| row.help.starts_with(word)) && !removes(row));
    assert_eq!(told.map(name).collect::<Vec<_>>(), [""; 0], "these remove, by their help");
}

#[test]
fn esc_accepts_nothing() {
    assert_eq!(esc_that_accepts(&KeyTable::built_in()), [""; 0]);
}

#[test]
fn every_action_has_a_key_that_every_keyboard_has_and_every_terminal_sends() {
    assert_eq!(without_a_plain_key(&KeyTable::built_in()), [""; 0]);
}

#[test]
fn a_letter_stands_for_one_word_in_all_panes() {
    let table = KeyTable::built_in();
    assert_eq!(letters_without_their_word(&table), [""; 0], "say in `word` what the letter stands for");
    let two = letters_of_two_words(&table);
    let known: BTreeSet<&str> = TWO_WORDS.map(|(letter, _)| letter).into();
    assert_eq!(two.keys().map(String::as_str).collect::<BTreeSet<_>>(), known, "{two:#?}");
    assert!(two.values().all(|words| words.len() == 2), "{two:#?}");
    for (action, _) in PLAIN_WORDS {
        let row = rows(&table).find(|row| name(row) == action).expect(action);
        let same = |other: &&Row| other.word == row.word && letters(other).any(|key| row.keys.contains(&key));
        assert_eq!(rows(&table).filter(same).count(), 1, "{action} needs no exception");
    }
}

#[test]
fn a_sign_means_one_thing_in_all_panes() {
    let two = signs_of_two_actions(&KeyTable::built_in());
    let known: BTreeSet<&str> = TWO_ACTIONS.map(|(sign, _)| sign).into();
    assert_eq!(two.keys().map(String::as_str).collect::<BTreeSet<_>>(), known, "{two:#?}");
}

#[test]
fn in_front_of_the_camera_only_the_keys_of_a_pedal_change_times() {
    assert_eq!(stray_stamps(&KeyTable::built_in()), [""; 0]);
}

/// Each rule finds the fault that it is there for.
#[test]
fn a_table_with_a_fault_is_found_out() {
    let with = |row: &str| KeyTable::built_in().with_own(&format!("[{row}]")).unwrap();
    let table = with(r#"(action: Library(TakeOut), keys: ["x"])"#);
    assert_eq!(destructive_keys_that_mean_something_else(&table), ["x: Passage(DeadNote)", "x: Fretboard(Mute)"]);
    assert_eq!(removing_on_other_keys(&table), ["x: Library(TakeOut)"]);
    let table = with(r#"(action: Points(Cancel), keys: ["Ctrl+G"]), (action: Points(Accept), keys: ["Esc"])"#);
    assert_eq!(esc_that_accepts(&table), ["Points(Accept)"]);
    for key in ["@", "Alt+Up", "Ctrl+H", "Ctrl+Enter", "é"] {
        let table = with(&format!(r#"(action: Sound(ToggleRound), keys: ["{key}"])"#));
        assert_eq!(without_a_plain_key(&table), ["Sound(ToggleRound)"], "{key}");
    }
    let table = with(r#"(action: Fretboard(Open), keys: ["c"])"#);
    assert!(letters_of_two_words(&table).contains_key("c"));
    assert_eq!(
        letters_without_their_word(&with(
            r#"(action: Sound(Stop), keys: ["o"]), (action: Fretboard(Open), keys: [":"])"#
        )),
        ["Sound(Stop)"]
    );
    let table = with(r#"(action: Sound(ToggleUnsure), keys: ["Ctrl+U"]), (action: Timeline(Stamp), keys: ["r"])"#);
    let found = destructive_keys_that_mean_something_else(&table);
    for fault in ["r: Timeline(Stamp)", "Ctrl+U: Sound(ToggleUnsure)"] {
        assert!(found.iter().any(|known| known == fault), "{found:?}");
    }
    let found = signs_of_two_actions(&with(r#"(action: Neck(Swap), keys: ["*"])"#));
    assert!(found.contains_key("*"), "{found:#?}");
    assert_eq!(stray_stamps(&with(r#"(action: Recording(Advance), keys: ["PageDown", "Enter"])"#)), ["Enter"]);
}

/// What names a key in the source and is not said to a person as one to press.
const NAMED_BY_HAND: [(&str, &str); 0] = [];

/// Returns whether a text names a key by hand. Words that begin a sentence are words of that sentence.
fn names_a_key(said: &str) -> bool {
    let held = ["Ctrl+", "Shift+", "Alt+"].iter().any(|held| {
        said.match_indices(held).any(|(at, _)| said[at + held.len()..].starts_with(|next: char| next.is_alphanumeric()))
    });
    let begins = |at: usize| at == 0 || said[..at].ends_with(". ") || said[..at].ends_with('\n');
    let word = |word: &str| {
        said.match_indices(word).any(|(at, _)| {
            let inside = |sign: Option<char>| sign.is_some_and(|sign| sign.is_alphanumeric() || "_({:".contains(sign));
            let (before, after) = (said[..at].chars().next_back(), said[at + word.len()..].chars().next());
            !inside(before) && !inside(after) && !begins(at)
        })
    };
    let capped = [
        "Enter",
        "Esc",
        "Tab",
        "Space",
        "Backspace",
        "PageUp",
        "PageDown",
        "Page Up",
        "Page Down",
        "Home",
        "Up",
        "Down",
        "Left",
        "Right",
        "u",
    ];
    let function = (1..=12).any(|number| word(&format!("F{number}")));
    let keycap =
        said.split('`').skip(1).step_by(2).any(|part| part.trim().chars().count() == 1 && !"x?0#".contains(part));
    held || function || keycap || capped.iter().any(|cap| word(cap))
}

/// What is found in a lesson is told on the command line, too, where there are no keys.
#[test]
fn nothing_below_the_workbench_names_a_key_of_it() {
    let single = |said: &str| {
        said.match_indices('(').any(|(at, _)| {
            let inside: Vec<char> = said[at + 1..].chars().take(2).collect();
            matches!(inside[..], [key, ')'] if key.is_ascii_alphabetic())
        })
    };
    assert!(single("have a segment play it (m)") && !single("bar (2) of 3") && !single("f(x, y)"));
    let mut found = Vec::new();
    for file in text::files().iter().filter(|file| !file.is_for_tests()) {
        let shown = file.shown();
        if !["src/lesson/", "src/plan/", "src/tab/"].iter().any(|floor| shown.starts_with(floor)) {
            continue;
        }
        for (line, said) in text::quoted(file.without_tests()) {
            if single(&said) {
                found.push(format!("{shown}:{line}: {said}"));
            }
        }
    }
    assert!(found.is_empty(), "say what to do, and name no key:\n{}", found.join("\n"));
}

/// Returns whether a text that asks to press a key again says what that does.
fn says_what_again_does(said: &str) -> bool {
    said.match_indices("press").all(|(at, _)| {
        let sentence = said[at..].split([';', '.', ':']).next().unwrap_or_default();
        // In between stands the key.
        let asked = sentence.split_once(" again").filter(|(before, _)| before.split(' ').count() < 3);
        asked.is_none_or(|(_, after)| after.starts_with(" to "))
    })
}

#[test]
fn whoever_is_asked_to_press_a_key_again_is_told_what_that_does() {
    for bad in ["a tie from 7 to 2; press again", "press {Passage(Tie)} again", "press it again. It is written"] {
        assert!(!says_what_again_does(bad), "{bad}");
    }
    assert!(says_what_again_does("lift all; press again to put them back"));
    let table = KeyTable::built_in();
    let helps = rows(&table).map(|row| ("assets/keys.ron".to_owned(), row.help.clone()));
    let mut found: Vec<(String, String)> = helps.collect();
    for file in text::files().iter().filter(|file| !file.is_for_tests()) {
        let said = text::quoted(file.without_tests()).into_iter();
        found.extend(said.map(|(line, said)| (format!("{}:{line}", file.shown()), said)));
    }
    found.retain(|(_, said)| !says_what_again_does(said));
    assert!(found.is_empty(), "say what pressing it again does: {found:#?}");
}

#[test]
fn a_message_names_no_key_by_hand() {
    for by_hand in
        ["Ctrl+G names it there", "press Enter", "`q` leaves", "again: F5", "here; u undoes", "choose with Up and Down"]
    {
        assert!(names_a_key(by_hand), "{by_hand}");
    }
    for fine in ["{Desk(Undo)} undoes", "Tab can be pasted", "{Entry(Complete)} completes", "C F G"] {
        assert!(!names_a_key(fine), "{fine}");
    }
    let mut found = Vec::new();
    for file in text::files().iter().filter(|file| !file.is_for_tests()) {
        let shown = file.shown();
        // What keys are called, and what a terminal sends for them, is told there.
        let names_them = shown.starts_with("src/workbench/keys/") || shown.ends_with("runtime/key_bytes.rs");
        if !shown.starts_with("src/workbench/") || names_them {
            continue;
        }
        for (line, said) in text::quoted(file.without_tests()) {
            let known = NAMED_BY_HAND.iter().any(|(path, known)| *path == shown && said.contains(known));
            if names_a_key(&said) && !known {
                found.push(format!("{shown}:{line}: {said}"));
            }
        }
    }
    assert!(found.is_empty(), "name the action in braces, as in `{{Desk(Undo)}}`:\n{}", found.join("\n"));
}
