//! What each action is declared to do to the lesson, held against what it does: every action of the table in every pane
//! and box where it has a key, over a lesson that may be changed and over one that may not.

use std::collections::BTreeSet;
use std::path::Path;
use std::time::Duration;

use fingerpost::store::lesson_file;
use fingerpost::store::library::LibraryVoicing;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::changes::Changes;
use fingerpost::workbench::keys::action::{
    Action, ChoiceAction, EntryAction, MarksAction, PassageAction, PointsAction,
};
use fingerpost::workbench::keys::keystroke::{Cap, Keystroke};
use fingerpost::workbench::library::item::LibraryItem;
use fingerpost::workbench::messages::message::{Message, Mouse};
use fingerpost::workbench::messages::notice::Weight;
use fingerpost::workbench::panes::fretboard::grip::Grip;
use ratatui::layout::Position;

use super::bench::{Bench, small_lesson};

/// Keys that lead to the panes, the boxes and the places in them where something can be done; `5s` lets the program be
/// five seconds old, and `twice` puts a voicing into the library that is there already.
pub(super) const PLACES: [&str; 39] = [
    "Home",
    "Down",
    "Down Down",
    "Down Down Down",
    "F s \"x02010\" Enter v T Down",
    "End F s \"x02010\" Enter v T Home Down",
    "End c Enter Ctrl+U Enter",
    "Down P",
    "Down P Right",
    "Down P Right Right Down Down c",
    "Down P Right Ctrl+G",
    "Down P Right Ctrl+G R",
    "Down P I Down 1 Down 2 Down 2 Down 0",
    "Down P Right Right Right Down Down",
    "Down P Right Right Right Right",
    "Down P Down Down Down Down",
    "Down P End Down 5 Right 7 Left",
    "Down P End Down 5 Right 5 Left",
    "Down P Shift+Right Shift+Right c",
    "Down F Ctrl+Home",
    "F s \"x32010\" Enter",
    "F s \"022100\" Enter n \"A\" Enter",
    "Down F s \"x32010\" Enter R",
    "Down P F L Home",
    "Down L End",
    "twice L",
    "F s \"x32010\" Enter A s \"022100\" Enter B",
    "L f \"a\"",
    "0s V 5s Space 9s",
    "0s V 5s PageDown 9s PageDown 14s",
    "Enter",
    "k",
    "Down p \"more\"",
    "Down t Space",
    "w",
    "w Down",
    "H",
    "Ctrl+F \"delete\"",
    "? Down",
];

/// Texts of which every box that asks for a line takes one.
const TEXTS: [&str; 10] = ["1", "0:10", "0:10-0:20", "1:00", "x32010", "A", "1/8", "drop D", "full", "A title"];

/// A voicing that the library keeps and the small lesson does not have.
fn kept_elsewhere() -> LibraryVoicing {
    let lesson = small_lesson();
    let known =
        LibraryVoicing::of_lesson(&lesson, &lesson.voicings[0], Path::new("/lessons/other.lesson.ron")).unwrap();
    LibraryVoicing { name: "D".into(), shape: "xx0232".parse().unwrap(), readings: vec!["D".into()], ..known }
}

fn fill_library(bench: &mut Bench) {
    bench.library.add(kept_elsewhere());
    show_library(bench);
}

fn show_library(bench: &mut Bench) {
    let items: Vec<LibraryItem> = bench.library.voicings.iter().cloned().map(LibraryItem::from).collect();
    bench.send(Message::LibraryChanged(Ok(items.into())));
}

pub(super) fn go(bench: &mut Bench, script: &str) {
    fill_library(bench);
    for (part, text) in script.split('"').enumerate() {
        if part % 2 == 1 {
            bench.strike(&format!("\"{text}\""));
            continue;
        }
        for word in text.split_whitespace() {
            if word == "twice" {
                bench.library.voicings.push(LibraryVoicing { name: "D again".into(), ..kept_elsewhere() });
                show_library(bench);
                continue;
            }
            match word.strip_suffix('s').and_then(|second| second.parse::<u64>().ok()) {
                Some(second) => bench.send(Message::Clock(Duration::from_secs(second))),
                None => _ = bench.strike(word),
            }
        }
    }
    bench.state.said.notice = None;
    bench.wanted.clear();
}

/// Every action that has a key where the workbench stands, with that key.
pub(super) fn asked_here(bench: &Bench) -> Vec<(Action, Keystroke)> {
    let rows = bench.state.keys.rows_at(bench.state.pane());
    let struck =
        |key: Keystroke| if key == Keystroke::plain(Cap::AnyDigit) { Keystroke::plain(Cap::Char('5')) } else { key };
    rows.filter_map(|row| Some((row.action, struck(*row.keys.first()?)))).collect()
}

fn bytes(bench: &Bench) -> Option<String> {
    bench.state.desk().map(|desk| lesson_file::to_text(desk.lesson.lesson()).unwrap())
}

fn revision(bench: &Bench) -> Option<u64> {
    bench.state.desk().map(|desk| desk.lesson.revision())
}

/// Whether some answer to the box on top changes the lesson.
fn is_for_a_change(bench: &Bench) -> bool {
    let before = revision(bench);
    let changes = |bench: &Bench| bench.state.desk().is_some() && revision(bench) != before;
    let accepted = |mut bench: Bench, action: Action| {
        bench.send(Message::Act(action));
        // One question leads to the next.
        while !changes(&bench) {
            let before = bench.state.overlay.clone();
            let next = match &before {
                Some(Overlay::Entry(_)) => Action::Entry(EntryAction::Accept),
                Some(Overlay::Choice(_)) => Action::Choice(ChoiceAction::Accept),
                _ => break,
            };
            bench.send(Message::Act(next));
            if bench.state.overlay == before {
                break;
            }
        }
        changes(&bench)
    };
    match &bench.state.overlay {
        Some(Overlay::Entry(_)) => TEXTS.iter().any(|text| {
            let mut bench = bench.clone();
            bench.send(Message::Act(Action::Entry(EntryAction::EraseAll)));
            bench.send(Message::Pasted((*text).to_owned()));
            accepted(bench, Action::Entry(EntryAction::Accept))
        }),
        Some(Overlay::Points(_)) => {
            let mut bench = bench.clone();
            bench.strike("\"more\"");
            accepted(bench, Action::Points(PointsAction::Accept))
        }
        Some(Overlay::Marks(_)) => {
            let mut bench = bench.clone();
            bench.send(Message::Act(Action::Marks(MarksAction::Toggle)));
            accepted(bench, Action::Marks(MarksAction::Accept))
        }
        Some(Overlay::Choice(choice)) => (0..choice.lines.len()).any(|line| {
            let mut bench = bench.clone();
            bench.send(Message::Act(Action::Choice(ChoiceAction::First)));
            (0..line).for_each(|_| bench.send(Message::Act(Action::Choice(ChoiceAction::Next))));
            accepted(bench, Action::Choice(ChoiceAction::Accept))
        }),
        Some(Overlay::List(_) | Overlay::Preview(_) | Overlay::Search(_) | Overlay::Help(_)) | None => false,
    }
}

/// How many steps undo can take back, and what lies on the strings.
fn standing(bench: &Bench) -> (usize, Grip) {
    let desk = bench.desk();
    (desk.undoable(), desk.fretboard.grip().clone())
}

#[test]
fn what_changes_the_lesson_is_declared_so_and_what_is_declared_so_changes_it() {
    let (mut asks, mut makes, mut beside) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
    for place in PLACES {
        let mut there = Bench::small((100, 30));
        go(&mut there, place);
        for (action, key) in asked_here(&there) {
            let mut bench = there.clone();
            bench.send(Message::Key(key));
            if bench.state.desk().is_none() {
                continue;
            }
            let opened = bench.state.overlay.is_some() && there.state.overlay.is_none();
            if revision(&bench) != revision(&there) {
                assert!(
                    matches!(action.changes(), Changes::Makes | Changes::Depends),
                    "{place}: {action:?} changes it"
                );
                makes.insert(action);
            } else if standing(&bench) != standing(&there) {
                assert!(action.changes().may_leave_step(), "{place}: {action:?} moves fingers, or leaves a step");
                beside.insert(action);
            }
            // Whether to leave is asked where something is unsaved, and saving is no change.
            if opened && action.changes() != Changes::Depends && is_for_a_change(&bench) {
                assert_eq!(action.changes(), Changes::Asks, "{place}: {action:?} opens a box for a change");
                asks.insert(action);
            }
        }
    }
    let idle = |declared: Changes, seen: &BTreeSet<Action>| -> Vec<Action> {
        Action::all().filter(|action| action.changes() == declared && !seen.contains(action)).collect()
    };
    assert_eq!(idle(Changes::Makes, &makes), [], "declared to change the lesson, and never seen to do so");
    assert_eq!(
        idle(Changes::FingersOrLibrary, &beside),
        [],
        "declared to change fingers or library, and never seen to do so"
    );
    // The path of a file is answered by the runtime, which is not here.
    let by_file = Action::Passage(PassageAction::ReadTab);
    assert_eq!(idle(Changes::Asks, &asks), [by_file], "declared to ask for a change, and never seen to do so");
}

#[test]
fn over_a_lesson_for_reading_only_no_action_changes_it_and_no_box_for_a_change_opens() {
    let before = lesson_file::to_text(&small_lesson()).unwrap();
    let mut refused = BTreeSet::new();
    for place in PLACES {
        let mut there = Bench::read_only((100, 30));
        go(&mut there, place);
        assert_eq!(bytes(&there).as_ref(), Some(&before), "{place}");
        for (action, key) in asked_here(&there) {
            let mut bench = there.clone();
            bench.send(Message::Key(key));
            if let Some(now) = bytes(&bench) {
                assert_eq!(now, before, "{place}: {action:?}");
            }
            assert_eq!(bench.replayed, small_lesson(), "{place}: {action:?} goes into the journal");
            match action.changes() {
                Changes::Asks | Changes::Makes => {
                    assert_eq!(bench.state.overlay, there.state.overlay, "{place}: {action:?} opens a box");
                    says_why_not(&bench, &format!("{place}: {action:?}"));
                    refused.insert(action);
                }
                Changes::Never | Changes::FingersOrLibrary | Changes::Depends => {
                    opens_no_box_for_a_change(bench, &before, place, action)
                }
            }
        }
    }
    let passed: Vec<Action> = Action::all()
        .filter(|action| matches!(action.changes(), Changes::Asks | Changes::Makes) && !refused.contains(action))
        .collect();
    // Points and marks cannot be come by where nothing may be changed.
    let unreachable = [Action::Points(PointsAction::Accept), Action::Marks(MarksAction::Accept)];
    assert_eq!(passed, unreachable, "never asked for");
}

/// One line says why the lesson does not change.
#[track_caller]
fn says_why_not(bench: &Bench, what: &str) {
    let notice = bench.state.said.notice.as_ref();
    assert!(notice.is_some_and(|notice| notice.weight == Weight::Trouble), "{what} says nothing");
    assert!(bench.notice().contains("for reading only"), "{what}: {}", bench.notice());
    assert_eq!(bench.notice().lines().count(), 1, "{what}: {}", bench.notice());
}

/// Whatever box has opened, nobody is asked in vain: what is typed into it is taken, or is not for the lesson.
fn opens_no_box_for_a_change(bench: Bench, before: &str, place: &str, action: Action) {
    let asks_in_vain = |mut bench: Bench, take: Action| {
        bench.send(Message::Act(take));
        if let Some(now) = bytes(&bench) {
            assert_eq!(now, before, "{place}: {action:?}");
        }
        // A box that takes no answer stays open and says why.
        let error = match &bench.state.overlay {
            Some(Overlay::Entry(entry)) => entry.error.clone().unwrap_or_default(),
            _ => String::new(),
        };
        error.contains("for reading only") || bench.notice().contains("for reading only")
    };
    let vain = match &bench.state.overlay {
        Some(Overlay::Points(_) | Overlay::Marks(_)) => true,
        Some(Overlay::Entry(_)) => TEXTS.iter().any(|text| {
            let mut bench = bench.clone();
            bench.state.said.notice = None;
            bench.send(Message::Act(Action::Entry(EntryAction::EraseAll)));
            bench.send(Message::Pasted((*text).to_owned()));
            asks_in_vain(bench, Action::Entry(EntryAction::Accept))
        }),
        Some(Overlay::Choice(choice)) => (0..choice.lines.len()).any(|line| {
            let mut bench = bench.clone();
            bench.state.said.notice = None;
            bench.send(Message::Act(Action::Choice(ChoiceAction::First)));
            (0..line).for_each(|_| bench.send(Message::Act(Action::Choice(ChoiceAction::Next))));
            asks_in_vain(bench, Action::Choice(ChoiceAction::Accept))
        }),
        Some(Overlay::List(_) | Overlay::Preview(_) | Overlay::Search(_) | Overlay::Help(_)) | None => false,
    };
    assert!(!vain, "{place}: {action:?} opens a box for a change that cannot be made");
}

#[test]
fn tags_are_not_asked_for_where_the_lesson_has_the_voicing_and_may_not_change() {
    let mut bench = Bench::read_only((100, 30));
    fill_library(&mut bench);
    bench.strike("L Home");
    let mut asked = Vec::new();
    for _ in 0..4 {
        bench.state.said.notice = None;
        bench.strike("e");
        let name = bench.desk().library.selected().unwrap().name();
        asked.push((name, bench.state.overlay.is_some()));
        if bench.state.overlay.is_some() {
            bench.strike("\"low\" Enter");
            assert_eq!(bench.library.voicings[0].tags, ["low"], "the library is no lesson");
        } else {
            says_why_not(&bench, "tags");
        }
        bench.strike("Down");
    }
    asked.sort();
    let expected = [("Am", false), ("C", false), ("D", true), ("G", false)];
    assert_eq!(asked, expected.map(|(name, asked)| (name.to_owned(), asked)));
}

#[test]
fn the_mouse_stamps_nothing_where_the_lesson_may_not_change() {
    let mut bench = Bench::read_only((80, 24));
    bench.strike("V");
    let next = bench.screen().lines().position(|line| line.contains("NEXT")).unwrap();
    bench.send(Message::Mouse(Mouse::Click(Position { x: 10, y: u16::try_from(next).unwrap() })));
    says_why_not(&bench, "a click");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn pasted_tab_is_refused_before_its_title_is_asked_for() {
    let mut bench = Bench::read_only((80, 24));
    bench.strike("P");
    bench.send(Message::Pasted("e|-3-|\nB|-1-|\nG|-0-|\nD|-2-|\nA|-3-|\nE|---|\n".to_owned()));
    assert!(bench.state.overlay.is_none());
    says_why_not(&bench, "pasted tab");
    assert_eq!(bench.lesson(), &small_lesson());
}
