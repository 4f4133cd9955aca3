//! Two slots for shapes to compare: A and B, and the way from one to the other.

use crate::instrument::fingering::fingering;
use crate::instrument::hand::Hand;
use crate::instrument::neck::Shape;
use crate::instrument::voicing::elsewhere::HANDS;
use crate::instrument::voicing::movement::movement;
use crate::theory::pitch::Pitch;
use crate::theory::reading::{Context, Lowest, readings_limited};
use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::fretboard::alternatives::note;
use crate::workbench::panes::fretboard::ghosts::{fingers_in_short, hold_in_words};
use crate::workbench::panes::fretboard::pane::{FretboardPane, Grip, GripOrigin};

/// One of the two slots.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Slot {
    A,
    B,
}

impl Slot {
    const fn place(self) -> (usize, &'static str) {
        match self {
            Self::A => (0, "A"),
            Self::B => (1, "B"),
        }
    }
}

/// What lies in the slots A and B.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Slots([Option<Grip>; 2]);

impl Slots {
    /// Puts a grip into a slot.
    fn put(&mut self, slot: Slot, grip: Grip) {
        if let Some(slot) = self.0.get_mut(slot.place().0) {
            *slot = Some(grip);
        }
    }

    /// Returns what lies in the other slot, with its name: in B where `shape` is that of A, else in A, else in B.
    fn other_than(&self, shape: &Shape) -> Option<(Grip, &'static str)> {
        let [a, b] = &self.0;
        let here = |slot: &Option<Grip>| slot.as_ref().is_some_and(|grip| grip.shape == *shape);
        match (a, b) {
            (_, Some(b)) if here(a) => Some((b.clone(), "B")),
            (Some(a), _) => Some((a.clone(), "A")),
            (None, Some(b)) => Some((b.clone(), "B")),
            (None, None) => None,
        }
    }
}

impl FretboardPane {
    /// Returns what lies in the slots A and B.
    pub const fn slots(&self) -> &[Option<Grip>; 2] {
        &self.slots.0
    }

    /// Puts what lies on the strings into a slot.
    pub(super) fn put_in(&mut self, slot: Slot) -> Reply {
        if self.grip().is_silent() {
            return note("nothing sounds yet: put a finger on the fretboard");
        }
        let (_, name) = slot.place();
        let text = format!("{name} is {}", self.named(self.grip()));
        self.slots.put(slot, self.grip().clone());
        let rest =
            if self.slots().iter().all(Option::is_some) { "; b compares A and B, = goes between them" } else { "" };
        Reply::say(Notice::done(format!("{text}{rest}")))
    }

    /// Puts the other slot's shape on the fretboard: B where A lies there, else A.
    pub(super) fn swap(&mut self) -> Reply {
        let Some((grip, name)) = self.slots.other_than(&self.grip().shape) else {
            return note("both slots are empty: A and B put the shape into one");
        };
        let text = format!("{name}: {}", self.named(&grip));
        if self.put(grip, GripOrigin::Hand) {
            note(text)
        } else {
            note(format!("{text} is for another number of strings"))
        }
    }

    /// Says a shape and its name: the one that is kept, else the best there is.
    fn named(&self, grip: &Grip) -> String {
        let lowest = if self.rig().is_reentrant() { Lowest::AnyTone } else { Lowest::Bass };
        let context = Context { key: None, lowest, ..Context::default() };
        let best = || {
            let notes = self.rig().notes_as_played(&grip.shape).ok()?;
            Some(readings_limited(&notes, &context, 1).into_iter().next()?.symbol)
        };
        let name = grip.kept.first().cloned().or_else(best);
        format!("{}{}", grip.shape, name.map_or(String::new(), |name| format!(", {name}")))
    }

    /// Shows both slots, and the way from one to the other.
    pub(super) fn compare(&self) -> Reply {
        let [Some(a), Some(b)] = self.slots() else {
            return note("two shapes are needed: A puts the shape into slot A, B into slot B");
        };
        let hand = Hand::new(self.neck.hand());
        let held = |grip: &Grip| fingering(self.rig(), &grip.shape, &hand);
        let about = |grip: &Grip| match held(grip) {
            Ok(held) => format!("{}, fingers {}", hold_in_words(&held), fingers_in_short(&held, &grip.shape)),
            Err(error) => format!("{error}. {HANDS}"),
        };
        let line = |head: &str, text: String, below: String| ListLine {
            head: head.into(),
            text,
            below,
            place: None,
            mendable: None,
        };
        let mut lines = vec![line("A", self.named(a), about(a)), line("B", self.named(b), about(b))];
        if let (Ok(from), Ok(to)) = (held(a), held(b))
            && let Ok(way) = movement(self.rig(), (&a.shape, &from), (&b.shape, &to))
        {
            lines.push(line("hand", way.in_words(), String::new()));
            let pitch = |note| Pitch::usual(note).to_string();
            let voices = way.voices.iter().map(|voice| match (voice.from, voice.to) {
                (Some(from), Some(to)) if from == to => format!("{} stays", pitch(from)),
                (Some(from), Some(to)) => format!("{} to {}", pitch(from), pitch(to)),
                (Some(from), None) => format!("{} ends", pitch(from)),
                (None, Some(to)) => format!("{} begins", pitch(to)),
                (None, None) => String::new(),
            });
            lines.push(line("voices", voices.collect::<Vec<_>>().join(", "), String::new()));
        }
        Reply::ask(Overlay::List(ListBox::new("A and B, and the way from A to B", lines)))
    }
}
