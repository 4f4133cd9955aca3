//! Notes off the neck, above the capo's reach or on a string that is not there; harmonics where no
//! string rings.

use super::finding::{Finding, FindingKind};
use super::nodes;
use super::walk::{notes, steps};
use super::words::listed;
use crate::instrument::neck::{Fret, Place, StringNumber};
use crate::instrument::rig::{PlaceError, Rig};
use crate::lesson::music::{Note, Passage, Technique};
use crate::lesson::place::LessonPlace;
use crate::lesson::technique::FretUse;

/// Checks every note against the neck the passage is written for. Without a setup, or with one
/// that does not fit together (which is found elsewhere), there is no neck to check against.
pub(super) fn check(rig: Option<&Rig>, passage: &Passage, findings: &mut Vec<Finding>) {
    for step in steps(passage) {
        for note in notes(step.played) {
            let place = step.place(passage, note.string);
            findings.extend(rig.and_then(|rig| off_the_neck(rig, note, place)));
            for technique in &note.techniques {
                findings.extend(silent(rig, note, *technique, place));
            }
        }
    }
}

fn off_the_neck(rig: &Rig, note: &Note, place: LessonPlace) -> Option<Finding> {
    let open = note.techniques.iter().any(|technique| technique.frets() == FretUse::TouchedOpen);
    // The finger over a harmonic may lie past the last fret; the string has to be there all the same.
    let fret = if open { Fret::OPEN } else { note.fret };
    let stopped = |technique: &Technique| match technique.frets() {
        FretUse::StoppedInTurn => technique.second_fret(),
        FretUse::Stopped | FretUse::TouchedOpen | FretUse::TouchedAbove | FretUse::Damped => None,
    };
    let second = note.techniques.iter().find_map(stopped);
    let frets = std::iter::once(fret).chain(second);
    let error = frets.map(|fret| rig.wire(Place { string: note.string, fret })).find_map(Result::err)?;
    Some(of_place(error, place))
}

/// Returns the finding for a place that cannot be played.
pub(super) fn of_place(error: PlaceError, place: LessonPlace) -> Finding {
    let (kind, remedy) = match error {
        PlaceError::NoString { strings, .. } => (
            FindingKind::NoSuchString,
            format!("move the note to one of the strings 1 to {strings}, or choose another tuning"),
        ),
        PlaceError::OffTheNeck { .. } => {
            (FindingKind::OffTheNeck, "play it on a higher string, or give the instrument its frets".to_owned())
        }
        PlaceError::AboveTheCapo { .. } => {
            (FindingKind::OffTheNeck, "play it on a higher string, or move the capo".to_owned())
        }
        PlaceError::BelowThePeg { starts_at, .. } => (
            FindingKind::OffTheNeck,
            format!("write 0 for the open string, or count frets from the main nut, past {starts_at}"),
        ),
        PlaceError::TooHigh { .. } => (FindingKind::OffTheNeck, "write it lower, or tune the string down".to_owned()),
    };
    Finding::problem(kind, place, error.to_string(), remedy)
}

/// Warns of a harmonic where no strong node lies.
fn silent(rig: Option<&Rig>, note: &Note, technique: Technique, place: LessonPlace) -> Option<Finding> {
    let (from, touch) = match technique.frets() {
        FretUse::TouchedOpen => (begins_at(rig, note.string), note.fret.number()),
        FretUse::TouchedAbove => (note.fret.number(), technique.second_fret()?.number()),
        FretUse::Stopped | FretUse::StoppedInTurn | FretUse::Damped => return None,
    };
    // Touches that do not lie above the note are a fault of their own.
    let above = touch.checked_sub(from).filter(|above| *above > 0)?;
    if nodes::rings(above) {
        return None;
    }
    let near: Vec<String> = nodes::neighbours(above).into_iter().map(|fret| (from + fret).to_string()).collect();
    let name = technique.name();
    Some(Finding::warning(
        FindingKind::Harmonic,
        place,
        format!("a {name} over fret {touch}: no strong harmonic lies there"),
        format!("the next ones lie near frets {}", listed(&near)),
    ))
}

/// Returns the fret a string's frets are counted past: a short string's peg, else 0.
fn begins_at(rig: Option<&Rig>, string: StringNumber) -> u8 {
    let short = rig.and_then(|rig| rig.instrument().short).filter(|short| short.string == string);
    short.map_or(0, |short| short.starts_at.number())
}
