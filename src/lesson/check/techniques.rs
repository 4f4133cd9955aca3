//! Techniques that cannot be played on their note, or not together.

use super::finding::{Finding, FindingKind};
use super::walk::{notes, steps};
use crate::instrument::neck::Fret;
use crate::lesson::music::{Event, Passage, Stroke, Technique};
use crate::lesson::place::LessonPlace;

pub(super) fn check(passage: &Passage, findings: &mut Vec<Finding>) {
    for step in steps(passage) {
        findings.extend(struck(step.played, LessonPlace::Passage(passage.id, step.spot())));
        for note in notes(step.played) {
            let place = step.place(passage, note.string);
            for (at, technique) in note.techniques.iter().enumerate() {
                if let Some((reason, remedy)) = unplayable(*technique, note.fret) {
                    findings.push(Finding::problem(FindingKind::Technique, place, reason, remedy));
                }
                for other in note.techniques.iter().skip(at + 1) {
                    findings.extend(clash(*technique, *other).map(|why| {
                        let remedy = "delete one of the two";
                        Finding::problem(FindingKind::TechniqueClash, place, why, remedy)
                    }));
                }
            }
        }
    }
}

/// Returns what grace notes and strokes ask of their event and do not find.
fn struck(event: &Event, place: LessonPlace) -> Vec<Finding> {
    let found = |reason: &str, remedy: &str| Finding::warning(FindingKind::NothingStruck, place, reason, remedy);
    let mut findings = Vec::new();
    if event.is_rest() && !event.grace.is_empty() {
        findings
            .push(found("grace notes before a rest lead to nothing", "write the note they lead to, or delete them"));
    }
    let arpeggio = matches!(event.stroke, Some(Stroke::ArpeggioDown | Stroke::ArpeggioUp));
    if event.is_rest() && event.stroke.is_some() {
        findings.push(found(
            "a pick stroke on a rest: no string is struck",
            "delete the pick stroke, or write the notes it strikes",
        ));
    } else if arpeggio && event.notes.len() < 2 {
        findings
            .push(found("a rolled chord (arpeggio) over one note", "write the whole chord, or a plain pick stroke"));
    }
    findings
}

/// Returns why a technique cannot be played on a note at `fret`, and what to do.
fn unplayable(technique: Technique, fret: Fret) -> Option<(String, &'static str)> {
    use Technique as T;
    let name = technique.name();
    let open = fret == Fret::OPEN;
    Some(match technique {
        T::Bend(_) | T::BendRelease(_) | T::PreBend(_) | T::PreBendRelease(_) if open => (
            format!("a {name} on an open string: no finger is there to bend it"),
            "fret the note on another string, or delete the bend",
        ),
        T::SlideAwayDown | T::SlideAwayUp if open => (
            format!("a {name} on an open string: no finger is there to slide"),
            "delete the slide, or fret the note on another string",
        ),
        T::SlideUpInto if fret.number() < 2 => (
            format!("a {name} to fret {fret}: there is no lower fret to come from"),
            "slide in from above, or delete the slide",
        ),
        T::SlideDownInto if open => (
            format!("a {name} to an open string: no fret is there to arrive at"),
            "delete the slide, or fret the note on another string",
        ),
        T::SlideAwayDown if fret.number() < 2 => (
            format!("a {name} from fret {fret}: there is no lower fret to go to"),
            "slide out up the neck, or delete the slide",
        ),
        T::Trill(other) if other == fret => {
            (format!("a trill with its own fret, {fret}"), "name the other fret of the trill")
        }
        T::Tap | T::FrettingHandTap if open => (
            format!("a {name} on an open string: no fret is there to tap"),
            "write the fret that is tapped, or delete the tap",
        ),
        T::ArtificialHarmonic(touch) | T::TappedHarmonic(touch) if touch <= fret => (
            format!("a {name} over fret {touch}, which does not lie above the note at fret {fret}"),
            "name a fret above the note: 12 above gives the octave",
        ),
        T::NaturalHarmonic if open => (
            "a natural harmonic over fret 0: nothing is touched there".to_owned(),
            "write the fret the string is touched over: 12 gives the octave",
        ),
        T::SlideUpInto | T::SlideDownInto | T::SlideAwayDown | T::SlideAwayUp => return None,
        T::Bend(_) | T::BendRelease(_) | T::PreBend(_) | T::PreBendRelease(_) => return None,
        T::Tap | T::FrettingHandTap | T::Trill(_) | T::NaturalHarmonic => return None,
        T::ArtificialHarmonic(_) | T::TappedHarmonic(_) | T::PinchHarmonic => return None,
        T::Vibrato | T::PalmMute | T::Dead | T::Ghost | T::LetRing | T::TremoloPicking => return None,
        T::TremoloBarDip(_) | T::TremoloBarDive(_) => return None,
    })
}

/// Returns why two techniques cannot be played on one note.
fn clash(one: Technique, other: Technique) -> Option<String> {
    let (first, second) = (one.name(), other.name());
    if std::mem::discriminant(&one) == std::mem::discriminant(&other) {
        return Some(format!("{first} is written twice on one note"));
    }
    if one.family() == other.family() {
        return Some(format!("{first} or {second}, not both"));
    }
    let why = one.row().excludes(other.family()).or_else(|| other.row().excludes(one.family()))?;
    Some(format!("{first} and {second} together: {why}"))
}
