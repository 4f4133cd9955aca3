//! Comparing two shapes: what lies in the slots A and B, and the way from one to the other.

use crate::instrument::fingering::fingering;
use crate::instrument::hand::Hand;
use crate::instrument::rig::Rig;
use crate::instrument::voicing::elsewhere::HANDS;
use crate::instrument::voicing::movement::movement;
use crate::theory::pitch::Pitch;
use crate::theory::reading::{Context, readings_limited};
use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::drawing::unseen::Counted;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::fretboard::fingers::GripOrigin;
use crate::workbench::panes::fretboard::ghosts::{fingers_in_short, hold_in_words};
use crate::workbench::panes::fretboard::grip::Grip;
use crate::workbench::panes::fretboard::pane::FretboardPane;
use crate::workbench::panes::fretboard::slots::{ShapeSlot, ShapeSlots};

/// Puts what lies on the strings into a slot.
pub(super) fn put_in(slots: &mut ShapeSlots, slot: ShapeSlot, rig: &Rig, grip: &Grip) -> PaneReply {
    if grip.is_silent() {
        return PaneReply::note("nothing sounds yet: put a finger on the fretboard");
    }
    let text = format!("{} is {}", slot.name(), named(rig, grip));
    slots.put(slot, grip.clone());
    let rest = if slots.both().iter().all(Option::is_some) {
        "; {Neck(Compare)} compares A and B, {Neck(Swap)} swaps to the other"
    } else {
        ""
    };
    PaneReply::say(Notice::done(format!("{text}{rest}")))
}

/// Puts the other slot's shape on the fretboard: B where A lies there, else A.
pub(super) fn swap(pane: &mut FretboardPane) -> PaneReply {
    let Some((grip, slot)) = pane.slots.other_than(&pane.grip().shape) else {
        return PaneReply::note("both slots are empty: {Neck(PutInA)} or {Neck(PutInB)} puts the shape into one");
    };
    let text = format!("{}: {}", slot.name(), named(pane.rig(), &grip));
    if pane.put(grip, GripOrigin::Hand) {
        PaneReply::note(text)
    } else {
        PaneReply::note(format!("{text} is for another number of strings"))
    }
}

/// Says a shape and its name: the one that is kept, else the best there is.
fn named(rig: &Rig, grip: &Grip) -> String {
    let context = Context { key: None, lowest: rig.lowest_is(), ..Context::default() };
    let best = || {
        let notes = rig.notes_as_played(&grip.shape).ok()?;
        Some(readings_limited(&notes, &context, 1).into_iter().next()?.symbol)
    };
    let name = grip.names_on(rig).first().cloned().or_else(best);
    format!("{}{}", grip.shape, name.map_or(String::new(), |name| format!(", {name}")))
}

/// Shows both slots, and the way from one to the other.
pub(super) fn compare(pane: &FretboardPane) -> PaneReply {
    let [Some(a), Some(b)] = pane.slots() else {
        return PaneReply::note(
            "two shapes are needed: {Neck(PutInA)} puts the shape into slot A, {Neck(PutInB)} into slot B",
        );
    };
    let (rig, hand) = (pane.rig(), Hand::new(pane.neck().hand()));
    let held = |grip: &Grip| fingering(rig, &grip.shape, &hand);
    let about = |grip: &Grip| match held(grip) {
        Ok(held) => format!("{}, fingers {}", hold_in_words(&held), fingers_in_short(&held, &grip.shape)),
        Err(error) => format!("{error}. {HANDS}"),
    };
    let line =
        |head: &str, text: String, below: String| ListLine { head: head.into(), text, below, ..ListLine::default() };
    let mut lines = vec![line("A", named(rig, a), about(a)), line("B", named(rig, b), about(b))];
    if let (Ok(from), Ok(to)) = (held(a), held(b))
        && let Ok(way) = movement(rig, (&a.shape, &from), (&b.shape, &to))
    {
        lines.push(line("fingers", way.in_words(), String::new()));
        let pitch = |note| Pitch::usual(note).to_string();
        let voices = way.voices.iter().map(|voice| match (voice.from, voice.to) {
            (Some(from), Some(to)) if from == to => format!("common {}", pitch(from)),
            (Some(from), Some(to)) => format!("{} to {}", pitch(from), pitch(to)),
            (Some(from), None) => format!("{} drops out", pitch(from)),
            (None, Some(to)) => format!("new {}", pitch(to)),
            (None, None) => String::new(),
        });
        lines.push(line("voices", voices.collect::<Vec<_>>().join(", "), String::new()));
    }
    PaneReply::ask(Overlay::List(ListBox::new("Compare A and B", Counted::Details, lines)))
}
