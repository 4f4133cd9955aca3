//! How the neck is seen: from which side, by which hand it is played, and which guides are marked on it.

use crate::instrument::hand::{Hand, HandSize};
use crate::instrument::harmonics::Node;
use crate::instrument::neck::{Fret, StringNumber};
use crate::store::settings::{NeckSettings, StringOne};
use crate::theory::key::Key;
use crate::theory::pitch::Pitch;
use crate::workbench::keys::action::NeckAction;
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::fretboard::alternatives::note;
use crate::workbench::panes::fretboard::pane::FretboardPane;
use crate::workbench::panes::fretboard::slots::Slot;

/// The highest partial whose nodes are shown: those that ring easily. Common practice, no published source.
const LAST_PARTIAL: u8 = 5;

/// What the fingers are labelled with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Labels {
    /// The names of the notes, spelled as the selected reading spells them.
    #[default]
    Notes,
    /// The degrees of the selected reading.
    Degrees,
    /// The fingers that hold the voicing, where it says so.
    Fingers,
    /// A finger is a dot without a label.
    Dots,
}

impl Labels {
    /// Returns what comes after this one, the first after the last.
    pub const fn next(self) -> Self {
        match self {
            Self::Notes => Self::Degrees,
            Self::Degrees => Self::Fingers,
            Self::Fingers => Self::Dots,
            Self::Dots => Self::Notes,
        }
    }

    /// Returns the word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Notes => "note names",
            Self::Degrees => "degrees",
            Self::Fingers => "fingers, T for the thumb",
            Self::Dots => "dots",
        }
    }
}

/// Which strings show their harmonic nodes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Nodes {
    /// No string shows its nodes.
    #[default]
    Off,
    /// The string under the cursor shows its nodes.
    Here,
    /// Every string shows its nodes.
    Everywhere,
}

/// How the neck is seen.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct NeckView {
    /// What outlives the lesson: the side, the order of the strings, the size of the hand.
    settings: NeckSettings,
    labels: Labels,
    /// The key of the music, as it sounds.
    key: Option<Key>,
    marks_key: KeyNotes,
    nodes: Nodes,
}

/// Whether the notes of the key are marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum KeyNotes {
    #[default]
    Unmarked,
    Marked,
}

impl NeckView {
    /// Returns the size of the hand that plays.
    pub(super) const fn hand(&self) -> HandSize {
        self.settings.hand
    }

    /// Returns whether the nut is on the right.
    pub(super) const fn is_left_handed(&self) -> bool {
        self.settings.left_handed
    }

    /// Returns what the fingers are labelled with.
    pub(super) const fn labels(&self) -> Labels {
        self.labels
    }

    /// Labels the fingers with what comes next, and returns that.
    pub(super) const fn next_labels(&mut self) -> Labels {
        self.labels = self.labels.next();
        self.labels
    }

    /// Takes on the key of the music, as it sounds.
    pub(super) const fn follow_key(&mut self, key: Option<Key>) {
        self.key = key;
    }

    /// Turns the order of the strings round.
    const fn turn_strings(&mut self) {
        self.settings.string_one = match self.settings.string_one {
            StringOne::Top => StringOne::Bottom,
            StringOne::Bottom => StringOne::Top,
        };
    }

    /// Takes the next larger hand, the smallest after the largest.
    const fn change_hand(&mut self) {
        self.settings.hand = match self.settings.hand {
            HandSize::Small => HandSize::Medium,
            HandSize::Medium => HandSize::Large,
            HandSize::Large => HandSize::Small,
        };
    }

    /// Marks the notes of the key, or no longer; says so, or that no key is known.
    fn toggle_key_notes(&mut self) -> Reply {
        let Some(key) = self.key else {
            return note("no key is known here: i in the timeline names the piece and its key");
        };
        let (marks, text) = match self.marks_key {
            KeyNotes::Unmarked => (KeyNotes::Marked, format!("the notes of {key} are marked")),
            KeyNotes::Marked => (KeyNotes::Unmarked, "notes of the key: off".to_owned()),
        };
        self.marks_key = marks;
        note(text)
    }

    /// Says from which side the neck is seen, and has it kept.
    fn say_side(&self) -> Reply {
        let left = "left-handed: the nut is on the right";
        let side = if self.is_left_handed() { left } else { "the nut is on the left" };
        let order = match self.settings.string_one {
            StringOne::Top => "string 1 on top",
            StringOne::Bottom => "string 1 at the bottom",
        };
        Reply { effect: Some(FileEffect::KeepNeckSettings(self.settings).into()), ..note(format!("{side}, {order}")) }
    }
}

impl FretboardPane {
    /// Returns how the neck is seen.
    pub const fn sight(&self) -> NeckSettings {
        self.neck.settings
    }

    /// Sees the neck another way.
    pub const fn see(&mut self, sight: NeckSettings) {
        self.neck.settings = sight;
    }

    /// Returns the key whose notes are shown.
    pub fn guide_key(&self) -> Option<Key> {
        self.neck.key.filter(|_| self.neck.marks_key == KeyNotes::Marked)
    }

    /// Returns which strings show their nodes.
    pub const fn nodes(&self) -> Nodes {
        self.neck.nodes
    }

    /// Returns the lowest partial with a node at a fret or nearest to it, where nodes of the string are shown.
    pub fn node_at(&self, string: StringNumber, fret: Fret) -> Option<u8> {
        let shown = match self.neck.nodes {
            Nodes::Off => false,
            Nodes::Here => self.cursor().0 == string,
            Nodes::Everywhere => true,
        };
        if !shown {
            return None;
        }
        let short = self.rig().instrument().short.filter(|short| short.string == string);
        let begins = short.map_or(0, |short| short.starts_at.number());
        let from_there = f64::from(fret.number()) - f64::from(begins);
        let near = |partial: &u8| Node::of_partial(*partial).any(|node| (node.fret().0 - from_there).abs() <= 0.5);
        (2..=LAST_PARTIAL).find(near)
    }

    /// Returns the string drawn `line` lines below the first one.
    pub fn string_on_line(&self, line: usize) -> Option<StringNumber> {
        let number = match self.neck.settings.string_one {
            StringOne::Top => line + 1,
            StringOne::Bottom => self.strings().checked_sub(line)?,
        };
        let string = u8::try_from(number).ok().and_then(StringNumber::new)?;
        self.rig().strings().any(|known| known == string).then_some(string)
    }

    /// Returns how many lines below the first one a string is drawn.
    pub(in crate::workbench) fn line_of(&self, string: StringNumber) -> usize {
        let number = usize::from(string.number());
        match self.neck.settings.string_one {
            StringOne::Top => number.saturating_sub(1),
            StringOne::Bottom => self.strings().saturating_sub(number),
        }
    }

    /// Does what was asked of how the neck is seen, and of the slots.
    pub(in crate::workbench) fn look(&mut self, action: NeckAction) -> Reply {
        match action {
            NeckAction::SuggestFingers => return self.suggest_fingers(),
            NeckAction::ChangeHand => return self.change_hand(),
            NeckAction::TurnLeftHanded => self.neck.settings.left_handed = !self.neck.settings.left_handed,
            NeckAction::TurnStrings => self.neck.turn_strings(),
            NeckAction::ShowKeyNotes => return self.neck.toggle_key_notes(),
            NeckAction::ShowNodes => return self.cycle_nodes(),
            NeckAction::PutInA => return self.put_in(Slot::A),
            NeckAction::PutInB => return self.put_in(Slot::B),
            NeckAction::Swap => return self.swap(),
            NeckAction::Compare => return self.compare(),
            NeckAction::Elsewhere
            | NeckAction::SameTop
            | NeckAction::InversionUp
            | NeckAction::InversionDown
            | NeckAction::MoveTowardNut
            | NeckAction::MoveTowardBody
            | NeckAction::TowardFirstString
            | NeckAction::AwayFromFirstString
            | NeckAction::Smaller
            | NeckAction::NameChord
            | NeckAction::NextGhost
            | NeckAction::PreviousGhost
            | NeckAction::TakeGhost
            | NeckAction::DropGhost
            | NeckAction::NextTarget
            | NeckAction::PreviousTarget => return Reply::nothing(),
        }
        self.neck.say_side()
    }

    fn change_hand(&mut self) -> Reply {
        self.neck.change_hand();
        // What was found was found for the hand before.
        self.ghosts = None;
        let hand = self.neck.hand();
        let (name, reach) = (hand.name(), Hand::new(hand).reach().0);
        let text = format!("a {name} hand, index to little finger {reach:.0} mm at the most");
        Reply { effect: Some(FileEffect::KeepNeckSettings(self.sight()).into()), ..note(text) }
    }

    fn cycle_nodes(&mut self) -> Reply {
        self.neck.nodes = match self.neck.nodes {
            Nodes::Off => Nodes::Here,
            Nodes::Here => Nodes::Everywhere,
            Nodes::Everywhere => Nodes::Off,
        };
        note(match self.neck.nodes {
            Nodes::Off => "harmonic nodes: off".to_owned(),
            Nodes::Here => {
                let string = self.cursor().0;
                let harmonics = self.rig().natural_harmonics(string).into_iter();
                let shown = harmonics.filter(|harmonic| harmonic.node.partial() <= LAST_PARTIAL);
                let list: Vec<String> =
                    shown.map(|one| format!("{} {}", one.touch, Pitch::usual(one.sounding))).collect();
                format!("harmonics of string {string}, touched over the wire: {}", list.join(", "))
            }
            Nodes::Everywhere => "harmonic nodes of every string, with the partial that sounds".to_owned(),
        })
    }
}
