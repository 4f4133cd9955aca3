//! What keys take away, found by pressing every one of them over something that is whole.

use std::collections::BTreeSet;

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::music::{Bar, Event, Note, Voice};
use fingerpost::workbench::keys::action::{Action, Pane};

use super::bench::{Bench, small_lesson};
use super::changes::{PLACES, asked_here, go};

/// Keys that lead to every place in a full bar, and to a selection of it.
const IN_A_FULL_BAR: [&str; 6] =
    ["Down P", "Down P Right Down", "Down P End", "Down P Right Right Right Right", "Down P S Right", "Down P S S"];

/// An action that loses something, and whether it says then that undo brings it back.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Losing {
    pub(super) action: String,
    pub(super) says_undo: bool,
}

/// A lesson whose passage has two bars of whole chords.
fn full_lesson() -> Lesson {
    let mut lesson = small_lesson();
    let note = |string| Note::plain(string, Fret::new(3).unwrap());
    let strings = (1..=6).filter_map(StringNumber::new);
    let chord = Event::notes("1/4".parse().unwrap(), strings.map(note).collect());
    lesson.passages[0].bars = vec![Bar { voices: vec![Voice(vec![chord; 4])], ..Bar::default() }; 2];
    lesson
}

/// How much there is of what somebody has made: segments, recorded ones, passages, pieces, tunings, voicings and where they are shown,
/// talking points, bars, notes; the library.
fn made(bench: &Bench) -> [usize; 11] {
    let lesson = bench.lesson();
    let events = || {
        lesson.passages.iter().flat_map(|passage| &passage.bars).flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0)
    };
    let segments = &lesson.segments;
    [
        segments.len(),
        segments.iter().filter(|segment| segment.recorded.is_some()).count(),
        lesson.passages.len(),
        lesson.pieces.len(),
        lesson.setups.len(),
        lesson.voicings.len(),
        segments.iter().map(|segment| segment.voicings.len() + segment.passages.len()).sum(),
        segments.iter().map(|segment| segment.talking_points.len()).sum(),
        lesson.passages.iter().map(|passage| passage.bars.len()).sum(),
        events().map(|event| event.notes.len()).sum(),
        bench.library.voicings.len(),
    ]
}

/// Returns the actions of the panes after which there is less of something; what a box asks before it acts is not among them.
pub(super) fn losing_by_what_they_do() -> BTreeSet<Losing> {
    let mut losing = BTreeSet::new();
    let full = || Bench::on(full_lesson(), (120, 36));
    let in_full = IN_A_FULL_BAR.into_iter().map(|script| (full(), script));
    for (mut bench, script) in PLACES.into_iter().map(|script| (Bench::small((120, 36)), script)).chain(in_full) {
        go(&mut bench, script);
        let typed =
            [Pane::Entry, Pane::Points, Pane::Choice, Pane::Marks, Pane::List, Pane::Search, Pane::Help, Pane::Find];
        if typed.contains(&bench.state.pane()) {
            continue;
        }
        for (action, key) in asked_here(&bench) {
            // Undo and redo go back and forth over what was made and taken away.
            if matches!(action, Action::Desk(_) | Action::Program(_)) {
                continue;
            }
            let mut pressed = bench.clone();
            let before = made(&pressed);
            pressed.strike(&key.to_string());
            if made(&pressed).iter().zip(before).any(|(now, before)| *now < before) {
                let says_undo = pressed.notice().contains("u undoes");
                losing.insert(Losing { action: format!("{action:?}"), says_undo });
            }
        }
    }
    losing
}
