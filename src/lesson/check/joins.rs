//! Joins that lead nowhere, or to a note they cannot reach.

use super::finding::{Finding, FindingKind};
use super::walk::{BetweenNotes, NextOnString, next_on_string, notes, steps};
use crate::instrument::neck::Fret;
use crate::lesson::joining::JoinFamily;
use crate::lesson::music::{Join, Note, Passage};
use crate::lesson::technique::{FretUse, StruckBy, TechniqueFamily};

pub(super) fn check(passage: &Passage, findings: &mut Vec<Finding>) {
    for step in steps(passage) {
        for (place, note) in notes(step.played).enumerate() {
            let Some(join) = note.join else { continue };
            let next = next_on_string(passage, step, place);
            if let Some((kind, reason, remedy)) = wrong(join, note, next) {
                findings.push(Finding::problem(kind, step.place(passage, note.string), reason, remedy));
            }
        }
    }
}

type Wrong = (FindingKind, String, String);

fn wrong(join: Join, from: &Note, next: NextOnString) -> Option<Wrong> {
    let name = join.name();
    let nowhere = |reason: String| {
        let remedy = format!("write the note it leads to, or delete the {name}");
        Some((FindingKind::JoinLeadsNowhere, reason, remedy))
    };
    if let Some(wrong) = wrong_start(join, from) {
        return Some(wrong);
    }
    match next {
        NextOnString::Elsewhere => None,
        NextOnString::Nothing => nowhere(format!("no note follows on this string for the {name} to lead to")),
        NextOnString::Rest => nowhere(format!("a rest comes before the note the {name} leads to")),
        NextOnString::Note { between: BetweenNotes::Events, .. } if join == Join::Tie => {
            nowhere("a tie leads to the very next notes, and this string is not among them".to_owned())
        }
        NextOnString::Note { note: to, .. } => {
            wrong_pitch(join, from.fret, to.fret).or_else(|| wrong_end(join, from, to))
        }
    }
}

/// Returns what a join asks of the note it starts from and does not find.
fn wrong_start(join: Join, from: &Note) -> Option<Wrong> {
    let name = join.name();
    let found = |kind, reason: String, remedy: &str| Some((kind, reason, remedy.to_owned()));
    if join == Join::PullOff && from.fret == Fret::OPEN {
        let remedy = "write the fretted note it starts from, or delete the pull-off";
        return found(
            FindingKind::Join,
            "a pull-off from an open string: no finger is there to leave".to_owned(),
            remedy,
        );
    }
    let slide = join.row().family == JoinFamily::Slide;
    if slide && from.fret == Fret::OPEN {
        let remedy = "write the fret the slide starts from, or slide in from nowhere";
        return found(FindingKind::Join, "a slide from an open string: no finger is there to slide".to_owned(), remedy);
    }
    let has = |frets: FretUse| from.techniques.iter().any(|technique| technique.frets() == frets);
    if has(FretUse::TouchedOpen) && join != Join::Tie {
        let reason = format!("a {name} from a natural harmonic: the finger only touches the string");
        return found(FindingKind::TechniqueClash, reason, "delete one of the two");
    }
    if has(FretUse::Damped) && !slide {
        let reason = format!("a {name} from a dead note: it does not ring");
        return found(FindingKind::TechniqueClash, reason, "delete one of the two");
    }
    if from.techniques.iter().any(|technique| technique.family() == TechniqueFamily::SlideOut) {
        let reason = format!("a {name} from a note that slides out: the finger has left the fret");
        return found(FindingKind::TechniqueClash, reason, "delete one of the two");
    }
    None
}

fn wrong_pitch(join: Join, from: Fret, to: Fret) -> Option<Wrong> {
    let (reason, remedy) = match join {
        Join::Tie if to != from => (
            format!("a tie from fret {from} to fret {to}: a tied note stays where it is"),
            "write the same fret twice, or make it a slide, hammer-on or pull-off",
        ),
        Join::HammerOn if to == from => {
            (format!("a hammer-on to the same fret, {to}"), "make it a tie if it rings on, or pick it again")
        }
        Join::HammerOn if to < from => (
            format!("a hammer-on from fret {from} to fret {to}: a hammer-on goes to a higher fret"),
            "make it a pull-off, or correct the frets",
        ),
        Join::PullOff if to == from => {
            (format!("a pull-off to the same fret, {to}"), "make it a tie if it rings on, or pick it again")
        }
        Join::PullOff if to > from => (
            format!("a pull-off from fret {from} to fret {to}: a pull-off goes to a lower fret"),
            "make it a hammer-on, or correct the frets",
        ),
        Join::Slide | Join::SlideAndPick if to == from => {
            (format!("a slide to the same fret, {to}"), "make it a tie if it rings on, or correct one of the frets")
        }
        Join::Slide | Join::SlideAndPick if to == Fret::OPEN => (
            "a slide to an open string: no fret is there to arrive at".to_owned(),
            "let the note slide out instead, or make it a pull-off",
        ),
        Join::Tie | Join::HammerOn | Join::PullOff | Join::Slide | Join::SlideAndPick => return None,
    };
    Some((FindingKind::Join, reason, remedy.to_owned()))
}

/// Returns what a join asks of the note it ends on and does not find.
fn wrong_end(join: Join, from: &Note, to: &Note) -> Option<Wrong> {
    let name = join.name();
    let has = |family: TechniqueFamily| to.techniques.iter().any(|technique| technique.family() == family);
    let clash = |reason: String| Some((FindingKind::TechniqueClash, reason, "delete one of the two".to_owned()));
    let picked = join == Join::SlideAndPick;
    if has(TechniqueFamily::Dead) && join.row().family != JoinFamily::Slide {
        return clash(format!("a {name} to a dead note: it does not ring"));
    }
    if has(TechniqueFamily::SlideIn) {
        return clash(format!("a {name} to a note that slides in from nowhere: it comes from one place only"));
    }
    if has(TechniqueFamily::Tap) && !picked {
        return clash(format!("a {name} to a tapped note: the tap sounds it"));
    }
    if has(TechniqueFamily::Tremolo) && !picked && join != Join::Tie {
        return clash(format!("a {name} to a note with tremolo picking: it is not picked"));
    }
    if to.techniques.iter().any(|technique| technique.row().struck_by == StruckBy::Pinch)
        && !picked
        && join != Join::Tie
    {
        return clash(format!("a {name} to a pinch harmonic: it is not picked"));
    }
    let natural = |note: &Note| note.techniques.iter().any(|technique| technique.frets() == FretUse::TouchedOpen);
    if natural(to) && !(join == Join::Tie && natural(from)) {
        return clash(format!("a {name} to a natural harmonic: the string has to be open and picked"));
    }
    None
}
