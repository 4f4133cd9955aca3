//! How the neck is seen: from which side, by which hand it is played, and which guides are marked on it.

use crate::instrument::hand::{Hand, HandSize};
use crate::instrument::harmonics::Node;
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::rig::Rig;
use crate::instrument::voicing::level::PlayerLevel;
use crate::store::settings::{NeckSettings, StringOne};
use crate::theory::key::Key;
use crate::theory::pitch::Pitch;
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::pane_reply::PaneReply;

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
enum Nodes {
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
pub struct NeckView {
    /// What outlives the lesson: the side, the order of the strings, the size of the hand, the level.
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
    /// Returns what of it outlives the lesson.
    pub const fn settings(&self) -> NeckSettings {
        self.settings
    }

    /// Shows the neck as the settings have it.
    pub(super) const fn take_settings(&mut self, settings: NeckSettings) {
        self.settings = settings;
    }

    /// Returns the size of the hand that plays.
    pub const fn hand(&self) -> HandSize {
        self.settings.hand
    }

    /// Returns the level that suggestions keep to.
    pub const fn level(&self) -> PlayerLevel {
        self.settings.level
    }

    /// Returns whether the nut is on the right.
    pub const fn is_left_handed(&self) -> bool {
        self.settings.left_handed
    }

    /// Returns what the fingers are labelled with.
    pub const fn labels(&self) -> Labels {
        self.labels
    }

    /// Returns the key whose notes are shown.
    pub fn guide_key(&self) -> Option<Key> {
        self.key.filter(|_| self.marks_key == KeyNotes::Marked)
    }

    /// Returns the string of `rig` that is drawn `line` lines below the first one.
    pub fn string_on_line(&self, rig: &Rig, line: usize) -> Option<StringNumber> {
        let number = match self.settings.string_one {
            StringOne::Top => line + 1,
            StringOne::Bottom => rig.strings().count().checked_sub(line)?,
        };
        let string = u8::try_from(number).ok().and_then(StringNumber::new)?;
        rig.strings().any(|known| known == string).then_some(string)
    }

    /// Returns how many lines below the first one a string of `rig` is drawn.
    pub fn line_of(&self, rig: &Rig, string: StringNumber) -> usize {
        let number = usize::from(string.number());
        match self.settings.string_one {
            StringOne::Top => number.saturating_sub(1),
            StringOne::Bottom => rig.strings().count().saturating_sub(number),
        }
    }

    /// Returns the lowest partial with a node at a fret or nearest to it, where nodes of the string are shown while the
    /// cursor is on `cursor`.
    pub fn node_at(&self, rig: &Rig, cursor: StringNumber, (string, fret): (StringNumber, Fret)) -> Option<u8> {
        let shown = match self.nodes {
            Nodes::Off => false,
            Nodes::Here => cursor == string,
            Nodes::Everywhere => true,
        };
        if !shown {
            return None;
        }
        let short = rig.instrument().short.filter(|short| short.string == string);
        let begins = short.map_or(0, |short| short.starts_at.number());
        let from_there = f64::from(fret.number()) - f64::from(begins);
        let near = |partial: &u8| Node::of_partial(*partial).any(|node| (node.fret().0 - from_there).abs() <= 0.5);
        (2..=LAST_PARTIAL).find(near)
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

    /// Turns the neck round, so that the nut lies on the other side. Returns what to say, and has the side kept.
    pub(super) fn turn_left_handed(&mut self) -> PaneReply {
        self.settings.left_handed = !self.settings.left_handed;
        self.say_side()
    }

    /// Turns the order of the strings round. Returns what to say, and has the order kept.
    pub(super) fn turn_strings(&mut self) -> PaneReply {
        self.settings.string_one = match self.settings.string_one {
            StringOne::Top => StringOne::Bottom,
            StringOne::Bottom => StringOne::Top,
        };
        self.say_side()
    }

    /// Says from which side the neck is seen, and has it kept.
    fn say_side(&self) -> PaneReply {
        let left = "left-handed: the nut is on the right";
        let side = if self.is_left_handed() { left } else { "the nut is on the left" };
        let order = match self.settings.string_one {
            StringOne::Top => "string 1 on top",
            StringOne::Bottom => "string 1 at the bottom",
        };
        self.kept(format!("{side}, {order}"))
    }

    /// Takes the next larger hand, the smallest after the largest. Returns what to say, and has the size kept.
    pub(super) fn change_hand(&mut self) -> PaneReply {
        self.settings.hand = match self.settings.hand {
            HandSize::Small => HandSize::Medium,
            HandSize::Medium => HandSize::Large,
            HandSize::Large => HandSize::Small,
        };
        let (name, reach) = (self.hand().name(), Hand::new(self.hand()).reach().0);
        self.kept(format!("{name} hand: reaches {reach:.0} mm from index to little finger"))
    }

    /// Takes the next higher level, the lowest after the highest. Returns what to say, and has the level kept.
    pub(super) fn change_level(&mut self) -> PaneReply {
        let (level, shown) = match self.level() {
            PlayerLevel::Beginner => (PlayerLevel::Intermediate, "suggestions with barre chords, and no hard stretch"),
            PlayerLevel::Intermediate => (PlayerLevel::Advanced, "suggestions of every shape that the hand can hold"),
            PlayerLevel::Advanced => {
                (PlayerLevel::Beginner, "suggestions for the first year, without full barre chords")
            }
        };
        self.settings.level = level;
        self.kept(format!("{level}: {shown}"))
    }

    /// Returns a reply that says `text` and has the settings kept.
    fn kept(&self, text: String) -> PaneReply {
        PaneReply { effect: Some(FileEffect::KeepNeckSettings(self.settings).into()), ..PaneReply::note(text) }
    }

    /// Marks the notes of the key, or no longer; says so, or that no key is known.
    pub(super) fn toggle_key_notes(&mut self) -> PaneReply {
        let Some(key) = self.key else {
            return PaneReply::note(
                "no key is known here: {Timeline(NamePiece)} in the timeline names the piece and its key",
            );
        };
        let (marks, text) = match self.marks_key {
            KeyNotes::Unmarked => (KeyNotes::Marked, format!("the notes of {key} are marked")),
            KeyNotes::Marked => (KeyNotes::Unmarked, "notes of the key: off".to_owned()),
        };
        self.marks_key = marks;
        PaneReply::note(text)
    }

    /// Shows the harmonic nodes of `string`, then those of every string of `rig`, then none; says which.
    pub(super) fn cycle_nodes(&mut self, rig: &Rig, string: StringNumber) -> PaneReply {
        self.nodes = match self.nodes {
            Nodes::Off => Nodes::Here,
            Nodes::Here => Nodes::Everywhere,
            Nodes::Everywhere => Nodes::Off,
        };
        PaneReply::note(match self.nodes {
            Nodes::Off => "harmonic nodes: off".to_owned(),
            Nodes::Here => {
                let harmonics = rig.natural_harmonics(string).into_iter();
                let shown = harmonics.filter(|harmonic| harmonic.node.partial() <= LAST_PARTIAL);
                let list: Vec<String> =
                    shown.map(|one| format!("{} {}", one.touch, Pitch::usual(one.sounding))).collect();
                format!("harmonics of string {string}, touched over the wire: {}", list.join(", "))
            }
            Nodes::Everywhere => "harmonic nodes of every string, with the partial that sounds".to_owned(),
        })
    }
}
