//! What undo and redo say of a change: what it was about, as exactly as its edits tell. The reason alone often covers more.

use std::collections::BTreeSet;

use crate::lesson::document::{Header, Piece, Segment, Setup};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Change, Reason};
use crate::lesson::music::{Bar, Event, Note, Technique};

/// Edits that made a change, and those that take it back.
struct BothWays {
    made: Vec<Edit>,
    back: Vec<Edit>,
}

/// Finds the words for a change; `None` where the edits tell no more than the reason.
type Told = fn(&BothWays) -> Option<String>;

/// How the words for a change are found, for reasons that cover several things.
const TOLD: [(Reason, Told); 9] = [
    (Reason::ChangeTechnique, techniques),
    (Reason::JoinNotes, joins),
    (Reason::LinkSegment, links),
    (Reason::EditSegmentNotes, notes),
    (Reason::StampSegment, times),
    (Reason::SplitOrJoinSegments, split_or_joined),
    (Reason::EditHeader, header),
    (Reason::EditPiece, piece),
    (Reason::EditSetup, tuning),
];

/// Returns what to say of a change after "undone" or "redone".
pub(super) fn words(change: &Change) -> String {
    let label = change.reason().label();
    let Some((_, told)) = TOLD.iter().find(|(reason, _)| *reason == change.reason()) else { return label.to_owned() };
    let both = BothWays { made: change.making_again().edits, back: change.taking_back().edits };
    told(&both).unwrap_or_else(|| label.to_owned())
}

/// Returns the bars that the edits put in.
fn bars(edits: &[Edit]) -> Vec<&Bar> {
    edits
        .iter()
        .filter_map(|edit| if let Edit::Bars { insert, .. } = edit { Some(insert) } else { None })
        .flatten()
        .collect()
}

fn events<'a>(bars: &[&'a Bar]) -> Vec<&'a Event> {
    bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0).collect()
}

/// Returns the notes of both sides that stand in the same place on the same string.
fn note_pairs<'a>(after: &[&'a Event], before: &[&'a Event]) -> Vec<(&'a Note, Option<&'a Note>)> {
    let on = |event: &'a Event, note: &Note| event.notes.iter().find(|other| other.string == note.string);
    after
        .iter()
        .zip(before)
        .flat_map(|(after, before)| after.notes.iter().map(|note| (note, on(before, note))))
        .collect()
}

/// Returns the techniques that came or went: `palm mute`, `dead strum`.
fn techniques(both: &BothWays) -> Option<String> {
    let (after, before) = (bars(&both.made), bars(&both.back));
    let (after, before) = (events(&after), events(&before));
    let dead = |event: &&&Event| {
        event.notes.len() > 1 && event.notes.iter().all(|note| note.techniques.contains(&Technique::Dead))
    };
    let is_new = |event: &&&Event, others: &[&Event]| !others.contains(*event);
    let strummed = after.iter().any(|event| dead(&event) && is_new(&event, &before));
    if strummed || before.iter().any(|event| dead(&event) && is_new(&event, &after)) {
        return Some("dead strum".to_owned());
    }
    let mut names: BTreeSet<&str> = BTreeSet::new();
    for (note, other) in note_pairs(&after, &before) {
        let other = other.map_or(&[][..], |other| &other.techniques);
        let changed = note.techniques.iter().filter(|known| !other.contains(known));
        let gone = other.iter().filter(|known| !note.techniques.contains(known));
        names.extend(changed.chain(gone).map(|technique| technique.name()));
    }
    one_or_two(&names)
}

/// Returns what leads from one note to the next and came or went: `hammer-on`, `tie`.
fn joins(both: &BothWays) -> Option<String> {
    let (after, before) = (bars(&both.made), bars(&both.back));
    let (after, before) = (events(&after), events(&before));
    let changed = note_pairs(&after, &before).into_iter().filter_map(|(note, other)| {
        let other = other.and_then(|other| other.join);
        (note.join != other).then(|| note.join.or(other)).flatten()
    });
    one_or_two(&changed.map(|join| join.name()).collect())
}

fn one_or_two(names: &BTreeSet<&str>) -> Option<String> {
    let names: Vec<&str> = names.iter().copied().collect();
    (1..=2).contains(&names.len()).then(|| names.join(", "))
}

/// Returns the version of a thing on both sides, where the edits put one in the place of the other.
fn versions<'a, T>(both: &'a BothWays, of: fn(&'a Edit) -> Option<&'a T>) -> Option<(&'a T, &'a T)> {
    Some((both.made.iter().find_map(of)?, both.back.iter().find_map(of)?))
}

fn segment(edit: &Edit) -> Option<&Segment> {
    if let Edit::Segments(ListEdit::Replace(segment)) = edit { Some(segment) } else { None }
}

/// Returns the first of the parts that differ.
fn first_of<const N: usize>(parts: [(bool, &str); N]) -> Option<String> {
    parts.into_iter().find(|(differs, _)| *differs).map(|(_, words)| words.to_owned())
}

fn links(both: &BothWays) -> Option<String> {
    let (after, before) = versions(both, segment)?;
    first_of([
        (after.passages != before.passages, "passages of the segment"),
        (after.voicings != before.voicings, "chord shapes of the segment"),
        (after.pieces != before.pieces, "piece of the segment"),
    ])
}

fn notes(both: &BothWays) -> Option<String> {
    let (after, before) = versions(both, segment)?;
    first_of([(after.shot != before.shot, "shot notes"), (after.tone != before.tone, "tone notes")])
}

fn times(both: &BothWays) -> Option<String> {
    let (after, before) = versions(both, segment)?;
    first_of([(after.recorded == before.recorded && after.cuts != before.cuts, "what is cut out of the recording")])
}

fn split_or_joined(both: &BothWays) -> Option<String> {
    let puts_in = |edits: &[Edit]| edits.iter().any(|edit| matches!(edit, Edit::Segments(ListEdit::Insert { .. })));
    first_of([(puts_in(&both.made), "segment split"), (puts_in(&both.back), "segments joined")])
}

fn header(both: &BothWays) -> Option<String> {
    let (after, before) =
        versions::<Header>(both, |edit| if let Edit::Header(header) = edit { Some(header) } else { None })?;
    first_of([(after.title != before.title, "title of the lesson"), (after.target != before.target, "goal")])
}

fn piece(both: &BothWays) -> Option<String> {
    let (after, before) =
        versions::<Piece>(
            both,
            |edit| if let Edit::Pieces(ListEdit::Replace(piece)) = edit { Some(piece) } else { None },
        )?;
    first_of([
        (after.title != before.title, "title of the piece"),
        (after.key != before.key, "key of the piece"),
        (after.credit != before.credit, "who wrote the piece"),
        (after.recording != before.recording, "which recording it was learned from"),
        (after.permission != before.permission, "permission for the piece"),
    ])
}

fn tuning(both: &BothWays) -> Option<String> {
    let (after, before) =
        versions::<Setup>(
            both,
            |edit| if let Edit::Setups(ListEdit::Replace(setup)) = edit { Some(setup) } else { None },
        )?;
    let same = after.tuning == before.tuning && after.capo == before.capo;
    first_of([(same && after.name != before.name, "name of the tuning")])
}
