//! Passing notes in a shape that is picked hide neither its name nor that another one is wrong.

use fingerpost::instrument::catalogue;
use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::instrument::rig::Rig;
use fingerpost::lesson::document::ChordNames;
use fingerpost::lesson::harmony::judgement::contradicted_names;
use fingerpost::lesson::harmony::suggestion::suggested_names;
use fingerpost::lesson::id::PassageId;
use fingerpost::lesson::music::{Bar, Event, Join, Note, Passage, Voice};
use fingerpost::lesson::time::{Length, NoteValue};

/// Notes of a bar of eighths: string, fret, and what leads to the next on the string.
type Picked = [(u8, u8, Option<Join>)];

const A_MINOR: [(&str, &Picked); 4] = [
    (
        "hammered on",
        &[(5, 0, None), (4, 2, None), (3, 2, None), (2, 1, Some(Join::HammerOn)), (2, 3, None), (3, 2, None)],
    ),
    (
        "pulled off",
        &[
            (5, 0, None),
            (4, 2, None),
            (3, 2, None),
            (2, 1, Some(Join::PullOff)),
            (2, 0, None),
            (2, 1, None),
            (3, 2, None),
            (4, 2, None),
        ],
    ),
    (
        "hammered on to",
        &[
            (5, 0, None),
            (4, 2, None),
            (2, 0, Some(Join::HammerOn)),
            (2, 1, None),
            (3, 2, None),
            (2, 1, None),
            (4, 2, None),
            (3, 2, None),
        ],
    ),
    (
        "picked",
        &[
            (5, 0, None),
            (4, 2, None),
            (3, 2, None),
            (2, 1, None),
            (1, 0, None),
            (2, 3, None),
            (2, 1, None),
            (3, 2, None),
        ],
    ),
];

fn guitar() -> Rig {
    let guitar = &catalogue::instrument_named("guitar").unwrap().instrument;
    Rig::new(guitar.clone(), catalogue::tuning_from_text("standard", guitar).unwrap(), None).unwrap()
}

fn passage(picked: &Picked, up: u8, name: Option<&str>) -> Passage {
    let eighth = Length::plain(NoteValue::Eighth);
    let note = |&(string, fret, join): &(u8, u8, Option<Join>)| Note {
        join,
        ..Note::plain(StringNumber::new(string).unwrap(), Fret::new(fret + up).unwrap())
    };
    let mut events: Vec<Event> = picked.iter().map(|one| Event::notes(eighth, vec![note(one)])).collect();
    events[0].chord = name.map(str::to_owned);
    let bar = Bar { voices: vec![Voice(events)], ..Bar::default() };
    Passage::plain(PassageId(1), "picked", vec![bar])
}

#[test]
fn a_passing_note_in_a_picked_shape_hides_no_name() {
    let rig = guitar();
    let names = ["A", "Bb", "B", "C", "C#", "D", "Eb", "E"];
    for (what, picked) in A_MINOR {
        for (up, root) in (0..).zip(names) {
            let found = suggested_names(&passage(picked, up, None), &rig, ChordNames::SoundsAs, 0..1);
            let first = found.first().and_then(|found| found.names.first()).cloned().unwrap_or_default();
            let flat_or_sharp =
                [format!("{root}m"), format!("{}m", ["", "A#", "", "", "Db", "", "D#", ""][usize::from(up)])];
            assert!(found.len() == 1 && flat_or_sharp.contains(&first), "{what} at {up}: {found:?}");
            let right = contradicted_names(&passage(picked, up, Some(&first)), &rig, ChordNames::SoundsAs);
            assert_eq!(right, [], "{what} at {up}");
            let wrong = ["G", "Ab", "A", "Bb", "B", "C", "C#", "D"][usize::from(up)];
            let found = contradicted_names(&passage(picked, up, Some(wrong)), &rig, ChordNames::SoundsAs);
            assert!(found.len() == 1 && found[0].better.contains(&first), "{what} at {up}, {wrong}: {found:?}");
        }
    }
}

/// A scale that is hammered on is a line, and gets no name.
#[test]
fn a_run_of_hammered_notes_is_no_chord() {
    let rig = guitar();
    let run = [(6, 5), (6, 8), (5, 5), (5, 7), (4, 5), (4, 7), (3, 5), (3, 7)];
    let run: Vec<_> = run.iter().map(|&(string, fret)| (string, fret, (fret == 5).then_some(Join::HammerOn))).collect();
    assert_eq!(suggested_names(&passage(&run, 0, None), &rig, ChordNames::SoundsAs, 0..1), []);
    assert_eq!(contradicted_names(&passage(&run, 0, Some("F#")), &rig, ChordNames::SoundsAs), []);
}

/// Chords that are struck are named by what sounds, or not at all: no passing note behind them makes another chord of them.
#[test]
fn what_is_struck_together_gets_no_name_that_its_notes_do_not_have() {
    let eighth = Length::plain(NoteValue::Eighth);
    let notes = |notes: &[(u8, u8)]| {
        let note =
            |&(string, fret): &(u8, u8)| Note::plain(StringNumber::new(string).unwrap(), Fret::new(fret).unwrap());
        Event::notes(eighth, notes.iter().map(note).collect())
    };
    let bars: [&[&[(u8, u8)]]; 2] = [
        &[
            &[(1, 3), (2, 0), (6, 3)],
            &[(1, 3), (2, 0), (6, 3)],
            &[(1, 5), (2, 2), (3, 2)],
            &[(6, 2)],
            &[(6, 0)],
            &[(6, 0)],
        ],
        &[
            &[(1, 3), (2, 0), (6, 3)],
            &[(1, 3), (2, 0), (3, 0)],
            &[(1, 3), (2, 0), (3, 0)],
            &[(1, 5), (2, 2), (3, 2)],
            &[(6, 2)],
            &[(6, 0)],
            &[(6, 0)],
            &[(6, 0)],
        ],
    ];
    for bar in bars {
        let events: Vec<Event> = bar.iter().map(|struck| notes(struck)).collect();
        let bar = Bar { voices: vec![Voice(events)], ..Bar::default() };
        let passage = Passage::plain(PassageId(1), "struck", vec![bar]);
        for found in suggested_names(&passage, &guitar(), ChordNames::SoundsAs, 0..1) {
            let at = &found.slot.read(&passage).unwrap().notes;
            let first = &found.names[0];
            assert!(at.len() < 3 || first.starts_with('G') || first.starts_with('A'), "{found:?}");
        }
    }
}
