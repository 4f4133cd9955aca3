//! What the keys of the neck do: show other shapes, take them, compare two, change how the neck is seen.

use std::sync::Arc;

use crate::instrument::fingering::{Fingering, FingeringError};
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::voicing::elsewhere::{ElsewhereError, HANDS};
use crate::instrument::voicing::shifting::VoiceDirection;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::keys::action::{FretboardAction, NeckAction};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::fretboard::alternatives::{SearchOutcome, SearchStart, ShapeMove};
use crate::workbench::panes::fretboard::comparing::{compare, put_in, swap};
use crate::workbench::panes::fretboard::fingers::{Fingers, GripOrigin};
use crate::workbench::panes::fretboard::ghosts::{GhostKind, Ghosts, fingers_in_short};
use crate::workbench::panes::fretboard::pane::FretboardPane;
use crate::workbench::panes::fretboard::slots::ShapeSlot;
use crate::workbench::panes::fretboard::targets::Targets;
use crate::workbench::questions::fretboard::FretboardQuestion;

/// Does what was asked of alternatives, slots and how the neck is seen; the chords to aim at are the lesson's to give.
pub fn act(pane: &mut FretboardPane, action: NeckAction) -> PaneReply {
    pane.fingers.end_number();
    match action {
        // What is shown already is gone through.
        NeckAction::Elsewhere if shows(pane, GhostKind::Elsewhere) => step_ghost(&mut pane.ghosts, Ghosts::next),
        NeckAction::SameTop if shows(pane, GhostKind::SameTop) => step_ghost(&mut pane.ghosts, Ghosts::next),
        NeckAction::Elsewhere => seek(start_of(pane).elsewhere(), &mut pane.ghosts),
        NeckAction::SameTop => seek(start_of(pane).same_top(), &mut pane.ghosts),
        NeckAction::InversionUp => seek(start_of(pane).inversion(VoiceDirection::Up), &mut pane.ghosts),
        NeckAction::InversionDown => seek(start_of(pane).inversion(VoiceDirection::Down), &mut pane.ghosts),
        NeckAction::MoveTowardNut => seek(start_of(pane).moved(ShapeMove::TowardNut), &mut pane.ghosts),
        NeckAction::MoveTowardBody => seek(start_of(pane).moved(ShapeMove::TowardBody), &mut pane.ghosts),
        NeckAction::TowardFirstString => seek(start_of(pane).moved(ShapeMove::TowardFirstString), &mut pane.ghosts),
        NeckAction::AwayFromFirstString => seek(start_of(pane).moved(ShapeMove::AwayFromFirstString), &mut pane.ghosts),
        NeckAction::Smaller => show_smaller(start_of(pane).smaller(), &mut pane.ghosts),
        NeckAction::NameChord => PaneReply::ask(Overlay::Entry(EntryBox::new(
            FretboardQuestion::ChordName,
            "Chord name: show its voicings",
            "As in Am7, or F#m7b5, or C/E; with a capo, by the name of the shape. After a comma: an open shape it comes from, \
             as in F, E shape; who plays it, as in F, beginner; F, by shape sorts by open shape.",
            "",
        ))),
        NeckAction::NextGhost => step_ghost(&mut pane.ghosts, Ghosts::next),
        NeckAction::PreviousGhost => step_ghost(&mut pane.ghosts, Ghosts::previous),
        NeckAction::TakeGhost => take_ghost(pane),
        NeckAction::DropGhost => drop_ghost(&mut pane.ghosts, &mut pane.targets),
        NeckAction::SuggestFingers => {
            pane.settle_shape();
            suggest_fingers(pane.holding().cloned(), &mut pane.fingers)
        }
        NeckAction::ChangeHand => {
            // What was found was found for the hand before.
            pane.ghosts = None;
            pane.neck.change_hand()
        }
        NeckAction::ChangeLevel => {
            pane.ghosts = None;
            pane.neck.change_level()
        }
        NeckAction::TurnLeftHanded => pane.neck.turn_left_handed(),
        NeckAction::TurnStrings => pane.neck.turn_strings(),
        NeckAction::ShowKeyNotes => pane.neck.toggle_key_notes(),
        NeckAction::ShowNodes => {
            let string = pane.cursor().0;
            pane.neck.cycle_nodes(&pane.rig, string)
        }
        NeckAction::PutInA => put_in(&mut pane.slots, ShapeSlot::A, &pane.rig, pane.fingers.grip()),
        NeckAction::PutInB => put_in(&mut pane.slots, ShapeSlot::B, &pane.rig, pane.fingers.grip()),
        NeckAction::Swap => swap(pane),
        NeckAction::Compare => compare(pane),
        NeckAction::NextTarget | NeckAction::PreviousTarget => PaneReply::nothing(),
    }
}

/// Takes what was typed as the answer to a question. Errors: in words, what is wrong with it.
pub fn answer(pane: &mut FretboardPane, question: FretboardQuestion, text: &str) -> Result<PaneReply, String> {
    match question {
        FretboardQuestion::Shape => pane.take_text(text).map(|()| PaneReply::nothing()),
        FretboardQuestion::ChordName => {
            let found = start_of(pane).named(text)?;
            Ok(show(found, &mut pane.ghosts))
        }
    }
}

/// Takes the ghost where a click meets it; returns `None` where it does not.
pub fn click_ghost(pane: &mut FretboardPane, string: StringNumber, fret: Fret) -> Option<PaneReply> {
    pane.ghosts().filter(|ghosts| ghosts.is_at(string, fret))?;
    Some(take_ghost(pane))
}

/// Returns what a search on the fretboard sets out from.
pub(super) fn start_of(pane: &FretboardPane) -> SearchStart<'_> {
    let (rig, neck) = (pane.rig(), pane.neck());
    SearchStart { rig, grip: pane.grip(), ghosts: pane.ghosts(), hand: neck.hand(), level: neck.level() }
}

/// Returns whether what a search of this kind has found is shown.
fn shows(pane: &FretboardPane, kind: GhostKind) -> bool {
    pane.ghosts().is_some_and(|ghosts| ghosts.kind == kind)
}

/// Shows what a search has found, or says why it could not be made.
fn seek(found: Result<SearchOutcome, ElsewhereError>, shown: &mut Option<Ghosts>) -> PaneReply {
    match found {
        Ok(found) => show(found, shown),
        Err(error) => PaneReply::note(error.to_string()),
    }
}

/// Shows a smaller shape where one was found, and says what is to be known of it.
fn show_smaller(found: Result<(Option<Ghosts>, String), ElsewhereError>, shown: &mut Option<Ghosts>) -> PaneReply {
    match found {
        Ok((found, words)) => {
            if found.is_some() {
                *shown = found;
            }
            PaneReply::note(words)
        }
        Err(error) => PaneReply::note(format!("{error} {HANDS}")),
    }
}

fn show(found: SearchOutcome, shown: &mut Option<Ghosts>) -> PaneReply {
    match found {
        SearchOutcome::Found(ghosts) => {
            let said = say_ghost(&ghosts);
            *shown = Some(ghosts);
            said
        }
        SearchOutcome::SameShape => {
            *shown = None;
            PaneReply::note("this is the shape on the fretboard again")
        }
        SearchOutcome::NoneAtLevel(share) => {
            *shown = None;
            PaneReply::note(format!("{share}; {{Neck(ChangeLevel)}} changes the level"))
        }
        SearchOutcome::Nothing => PaneReply::note("no other place for these notes that this hand can hold"),
    }
}

fn step_ghost(ghosts: &mut Option<Ghosts>, step: fn(&mut Ghosts)) -> PaneReply {
    let Some(ghosts) = ghosts else {
        return PaneReply::note("no suggestions to step through: {Neck(Elsewhere)} looks for the same chord elsewhere");
    };
    step(ghosts);
    say_ghost(ghosts)
}

/// Says everything of the ghost that is shown; where it is beyond the hand, with the caution.
fn say_ghost(ghosts: &Ghosts) -> PaneReply {
    let ghost = ghosts.shown();
    let mut text = match ghosts.count() {
        1 => String::new(),
        count => format!("{} of {count}: ", ghosts.place()),
    };
    text += &ghost.shape.to_string();
    let share = ghosts.share.map_or(String::new(), |share| share.to_string());
    for part in [ghost.about.clone(), ghost.hold_in_words(), share] {
        if !part.is_empty() {
            text += &format!("; {part}");
        }
    }
    PaneReply::note(text)
}

/// Takes the ghost that is shown; without one, puts a finger under the cursor or lifts it.
fn take_ghost(pane: &mut FretboardPane) -> PaneReply {
    let Some(ghosts) = pane.ghosts.take() else { return pane.act(FretboardAction::PutFinger) };
    let ghost = ghosts.shown().clone();
    let same_chord = match ghosts.kind {
        GhostKind::Elsewhere | GhostKind::SameTop | GhostKind::Inversion | GhostKind::Smaller => true,
        GhostKind::Moved | GhostKind::Named => false,
    };
    let beyond = ghost.fingering.is_err();
    let said = format!("{} is on the fretboard; {{Desk(Undo)}} undoes", ghost.shape);
    // The same notes over the same bass are the same chord.
    let bass = pane.grip().bass_on(pane.rig()).filter(|_| same_chord);
    pane.put(ghost.grip(Arc::clone(pane.rig())).over(bass), GripOrigin::Hand);
    let caution = if beyond { format!(". It is beyond this hand. {HANDS}") } else { String::new() };
    PaneReply::say(Notice::done(format!("{said}{caution}")))
}

/// Takes the ghosts away; without any, the chords to aim at.
fn drop_ghost(ghosts: &mut Option<Ghosts>, targets: &mut Option<Targets>) -> PaneReply {
    PaneReply::note(if ghosts.take().is_some() {
        "suggestion cancelled; the fingers stay where they were"
    } else if targets.take().is_some() {
        "next chord's notes: off"
    } else {
        "no suggestion to cancel: {Neck(Elsewhere)} looks for the same chord elsewhere"
    })
}

/// Writes down which fingers hold the shape most comfortably.
fn suggest_fingers(held: Option<Result<Fingering, FingeringError>>, fingers: &mut Fingers) -> PaneReply {
    match held {
        None => PaneReply::note("no finger is down"),
        Some(Err(error)) => {
            let text = format!("{error}. {HANDS} {{Neck(Smaller)}} shows a smaller shape");
            PaneReply::say(Notice::trouble(text))
        }
        Some(Ok(found)) => {
            let short = fingers_in_short(&found, &fingers.grip().shape);
            if !fingers.hold_with(found.fingers, found.barre) {
                return PaneReply::note(format!("the fingering is {short} already"));
            }
            PaneReply::say(Notice::done(format!(
                "fingers {short}; {{Fretboard(SaveVoicing)}} saves them with the voicing"
            )))
        }
    }
}
