//! Lines and where they lie.

use fingerpost::instrument::placement::line::ChordOver;
use fingerpost::instrument::placement::line::{Limits, Milliseconds, Slice, Wanted};
use fingerpost::instrument::placement::place_under;
use fingerpost::theory::pitch::Pitch;

use super::{Part, Share, answers, rig};
use crate::reference::rows;

/// One line of the table.
struct Row {
    id: &'static str,
    line: Vec<Slice>,
    /// The answers, each with the string and fret of every note.
    places: Vec<Vec<(u8, u8)>>,
    /// The fingers of the first answer, one for each note; `None` where several are taught.
    fingers: Vec<Option<u8>>,
    chords: Vec<ChordOver>,
    rig: fingerpost::instrument::rig::Rig,
}

fn table(part: Part) -> Vec<Row> {
    let text = match part {
        Part::Seen => include_str!("../../practice/lines.tsv"),
        Part::Held => include_str!("../../practice/held/lines.tsv"),
    };
    let columns = ["id", "instrument", "tuning", "ms", "notes", "places", "fingers"];
    rows(text, columns)
        .into_iter()
        .map(|[id, instrument, tuning, ms, notes, places, fingers]| Row {
            id,
            line: line(notes, ms.parse().unwrap()),
            places: answers(places).into_iter().map(|answer| each_note(answer).map(place_of).collect()).collect(),
            fingers: answers(fingers)
                .first()
                .map_or_else(Vec::new, |fingers| each_note(fingers).map(|finger| finger.parse().ok()).collect()),
            chords: Vec::new(),
            rig: rig(instrument, tuning),
        })
        .collect()
}

/// The broken chords with the names over them.
fn named_table(part: Part) -> Vec<Row> {
    let text = match part {
        Part::Seen => include_str!("../../practice/line_hints.tsv"),
        Part::Held => include_str!("../../practice/held/line_hints.tsv"),
    };
    let chord = |text: &str| {
        let (name, from) = text.split_once('@').unwrap();
        ChordOver { slice: from.parse::<usize>().unwrap() - 1, symbol: name.parse().unwrap() }
    };
    rows(text, ["id", "instrument", "tuning", "ms", "chords", "notes", "places"])
        .into_iter()
        .map(|[id, instrument, tuning, ms, chords, notes, places]| Row {
            id,
            line: line(notes, ms.parse().unwrap()),
            places: answers(places).into_iter().map(|answer| each_note(answer).map(place_of).collect()).collect(),
            fingers: Vec::new(),
            chords: chords.split_whitespace().map(chord).collect(),
            rig: rig(instrument, tuning),
        })
        .collect()
}

/// What is written of each note, rests left out.
fn each_note(text: &str) -> impl Iterator<Item = &str> {
    text.split_whitespace().filter(|moment| *moment != "r").flat_map(|moment| moment.split('+'))
}

fn place_of(text: &str) -> (u8, u8) {
    let (string, fret) = text.split_once('/').unwrap();
    (string.parse().unwrap(), fret.parse().unwrap())
}

/// Reads the notes of a line, each `ms` long.
fn line(notes: &str, ms: u64) -> Vec<Slice> {
    let (mut start, mut slices, mut ringing) = (0, Vec::new(), Vec::new());
    for moment in notes.split_whitespace() {
        let (notes, times) =
            moment.split_once(':').map_or((moment, 1), |(notes, times)| (notes, times.parse().unwrap()));
        if notes != "r" {
            let wanted = |note: &str| {
                let pitch: Pitch = note.trim_end_matches('~').parse().unwrap();
                Wanted::pitch(pitch.midi(), Milliseconds(ms * times))
            };
            slices.push(Slice { start: Milliseconds(start), notes: notes.split('+').map(wanted).collect() });
            ringing.push(notes.contains('~'));
        }
        start += ms * times;
    }
    // What rings on does so until the end, or until it is struck again.
    for place in (0..slices.len()).filter(|place| ringing[*place]) {
        let (slice, later) = slices[place..].split_first_mut().unwrap();
        for wanted in &mut slice.notes {
            let again = later.iter().find(|later| later.notes.iter().any(|note| note.target == wanted.target));
            wanted.length = Milliseconds(again.map_or(start, |again| again.start.0) - slice.start.0);
        }
    }
    slices
}

/// How many notes and whole lines lie where teachers put them, and how many fingers of those lines are theirs.
fn counted(table: Vec<Row>) -> [Share; 3] {
    let [mut notes, mut lines, mut fingers] = [Share::default(); 3];
    for row in table {
        let placement = place_under(&row.rig, &row.line, &row.chords, Limits::NONE).unwrap();
        let placed: Vec<_> = placement.slices.iter().flat_map(|slice| &slice.notes).collect();
        let found: Vec<(u8, u8)> =
            placed.iter().map(|note| (note.place.string.number(), note.place.fret.number())).collect();
        assert!(row.places.iter().all(|answer| answer.len() == found.len()), "{}", row.id);
        let right = |answer: &Vec<(u8, u8)>| answer.iter().zip(&found).filter(|(one, other)| one == other).count();
        let best = row.places.iter().map(right).max().unwrap();
        notes.add(best, found.len());
        lines.add(usize::from(best == found.len()), 1);
        if row.places.first() == Some(&found) {
            let known = row.fingers.iter().zip(&placed).filter(|(finger, _)| finger.is_some());
            let same = known.clone().filter(|(finger, placed)| **finger == Some(placed.finger.unwrap_or(0))).count();
            fingers.add(same, known.count());
        }
    }
    [notes, lines, fingers]
}

#[test]
fn lines_lie_where_teachers_put_them() {
    for (part, least) in [(Part::Seen, [950, 855, 935]), (Part::Held, [930, 855, 915])] {
        for ((share, least), what) in
            counted(table(part)).into_iter().zip(least).zip(["notes", "whole lines", "fingers"])
        {
            share.at_least(least, what, part);
        }
    }
}

#[test]
fn broken_chords_lie_in_the_shapes_of_the_names_over_them() {
    for part in [Part::Seen, Part::Held] {
        let [_, lines, _] = counted(named_table(part));
        lines.at_least(950, "whole broken chords under names", part);
        let unnamed = named_table(part).into_iter().map(|row| Row { chords: Vec::new(), ..row }).collect();
        let [_, without, _] = counted(unnamed);
        println!("the same without names: {} of {}", without.right, without.all);
        assert!(without.right < lines.right, "names decide nothing");
    }
}
