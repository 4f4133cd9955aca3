//! Numbers no instrument or lesson has, and setups that do not fit together.

use super::finding::{Finding, FindingKind};
use super::words::counted;
use crate::instrument::body::Instrument;
use crate::instrument::neck::StringNumber;
use crate::instrument::rig::RigError;
use crate::instrument::tuning::Tuning;
use crate::lesson::document::Lesson;
use crate::lesson::lookup::SetupError;
use crate::lesson::place::LessonPlace;
use crate::theory::pitch::Hertz;

/// The lowest and highest A4 a player tunes to, in hertz, with plenty of room around the 392 to 466
/// that are in use (common practice).
const REFERENCE: (f64, f64) = (300.0, 600.0);

/// The shortest and longest scale of a fretted instrument, in millimetres, with plenty of room
/// (common practice: soprano ukulele about 345, bass about 890).
const SCALE: (f64, f64) = (150.0, 1500.0);

pub(super) fn check(lesson: &Lesson, findings: &mut Vec<Finding>) {
    for instrument in &lesson.instruments {
        check_instrument(&instrument.body, LessonPlace::Instrument(instrument.id), findings);
    }
    for setup in &lesson.setups {
        let place = LessonPlace::Setup(setup.id);
        if let Some(Hertz(reference)) = setup.reference
            && !(REFERENCE.0..=REFERENCE.1).contains(&reference)
        {
            findings.push(Finding::problem(
                FindingKind::AbsurdNumber,
                place,
                format!("a reference pitch of {reference} Hz for A4"),
                format!("expected {} to {} Hz; {} Hz is usual", REFERENCE.0, REFERENCE.1, Hertz::STANDARD_PITCH),
            ));
        }
        if let Err(SetupError::Rig(error)) = lesson.rig(setup) {
            // What is wrong with the instrument alone is found at the instrument.
            let remedy = match error {
                RigError::Scale { .. } | RigError::Short { .. } => continue,
                RigError::Strings { .. } => "give the tuning one note for each string, or choose another instrument",
                RigError::CapoFret { .. } | RigError::CapoShort { .. } | RigError::TooHigh { .. } => {
                    "put the capo lower, or take it off"
                }
                RigError::CapoString { .. } => "name strings that the instrument has",
            };
            findings.push(Finding::problem(FindingKind::SetupDoesNotFit, place, error.to_string(), remedy));
        }
    }
}

fn check_instrument(body: &Instrument, place: LessonPlace, findings: &mut Vec<Finding>) {
    let mut found = |reason: String, remedy: String| {
        findings.push(Finding::problem(FindingKind::AbsurdNumber, place, reason, remedy));
    };
    let strings = usize::from(body.strings);
    if !(Tuning::FEWEST..=usize::from(StringNumber::LAST)).contains(&strings) {
        found(
            counted(strings, "string"),
            format!("expected {} to {} strings; a course of two counts as one", Tuning::FEWEST, StringNumber::LAST),
        );
    }
    if body.frets.number() == 0 {
        found("an instrument without frets".to_owned(), "say how many frets it has".to_owned());
    }
    let scale = body.scale.0;
    // Written so that a scale that is no number is found as well.
    if !(SCALE.0..=SCALE.1).contains(&scale) {
        found(
            format!("a scale length of {scale} mm"),
            format!("expected {} to {} mm; 648 mm is usual for a guitar", SCALE.0, SCALE.1),
        );
    }
    if let Some(short) = body.short {
        if short.string.number() > body.strings {
            found(
                format!("string {} is short, and there are {}", short.string, counted(strings, "string")),
                "name a string that the instrument has".to_owned(),
            );
        } else if short.starts_at >= body.frets {
            found(
                format!("the short string starts at fret {} of {}", short.starts_at, body.frets),
                "start it before the last fret".to_owned(),
            );
        }
    }
}
