//! How the neck is seen: from which side, with which guides, and two slots to compare shapes in.

use crate::instrument::fingering::fingering;
use crate::instrument::hand::{Hand, HandSize};
use crate::instrument::harmonics::Node;
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::voicing::elsewhere::HANDS;
use crate::instrument::voicing::movement::movement;
use crate::lesson::id::SegmentId;
use crate::store::settings::{NeckSettings, StringOne};
use crate::theory::pitch::{Pitch, PitchClass};
use crate::theory::pitch_set::PitchSet;
use crate::theory::reading::{Context, Lowest, readings_limited};
use crate::theory::symbol::ChordSymbol;
use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::keys::action::NeckAction;
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::fretboard::alternatives::note;
use crate::workbench::panes::fretboard::ghosts::{fingers_in_short, hold_in_words};
use crate::workbench::panes::fretboard::pane::{FretboardPane, Grip, Origin};

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
    /// Nothing.
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
    /// None.
    #[default]
    Off,
    /// The string under the cursor.
    Here,
    /// All.
    Everywhere,
}

/// The tones to aim at over a row of chords.
#[derive(Debug, Clone, PartialEq)]
pub struct Targets {
    /// The names as the passage has them, and the chords as they sound.
    pub chords: Vec<(String, ChordSymbol)>,
    /// The place of the chord that sounds now.
    pub at: usize,
    /// The revision of the lesson and the segment that the chords were read from.
    pub read_from: (u64, Option<SegmentId>),
}

impl Targets {
    /// Returns the chord that sounds now, by its name.
    pub fn now(&self) -> Option<&(String, ChordSymbol)> {
        self.chords.get(self.at)
    }

    /// Returns the chord that comes next; after the last one the first.
    pub fn next(&self) -> Option<&(String, ChordSymbol)> {
        self.chords.get((self.at + 1) % self.chords.len().max(1)).filter(|_| self.chords.len() > 1)
    }

    /// Returns the tones of the chord now, and those of the next one that lie nearest to one of them.
    pub fn tones(&self) -> (PitchSet, PitchSet) {
        let of =
            |chord: Option<&(String, ChordSymbol)>| chord.map_or(PitchSet::EMPTY, |(_, chord)| chord.pitch_classes());
        let (now, next) = (of(self.now()), of(self.next()));
        let mut nearest = PitchSet::EMPTY;
        for from in now.classes() {
            let at = |semitones: i32| PitchClass::of(i32::from(from) + semitones);
            let sounds = |semitones: &i32| next.has(at(*semitones).number()) || next.has(at(-*semitones).number());
            if let Some(step) = (0..=6).find(sounds) {
                for class in [at(step), at(-step)].into_iter().filter(|class| next.has(class.number())) {
                    nearest = nearest.with(class);
                }
            }
        }
        (now, nearest)
    }
}

/// One of the two slots.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Slot {
    A,
    B,
}

impl FretboardPane {
    /// Returns how the neck is seen.
    pub const fn sight(&self) -> NeckSettings {
        self.sight
    }

    /// Sees the neck another way.
    pub const fn see(&mut self, sight: NeckSettings) {
        self.sight = sight;
    }

    /// Returns what is aimed at, if anything is.
    pub const fn targets(&self) -> Option<&Targets> {
        self.targets.as_ref()
    }

    /// Aims at the tones of a row of chords, or at nothing.
    pub fn aim_at(&mut self, targets: Option<Targets>) {
        self.targets = targets;
    }

    /// Returns what lies in the slots A and B.
    pub const fn slots(&self) -> &[Option<Grip>; 2] {
        &self.slots
    }

    /// Returns the key whose notes are shown.
    pub fn guide_key(&self) -> Option<crate::theory::key::Key> {
        self.key.filter(|_| self.key_notes)
    }

    /// Returns which strings show their nodes.
    pub const fn nodes(&self) -> Nodes {
        self.nodes
    }

    /// Returns the lowest partial with a node at a fret or nearest to it, where nodes of the string are shown.
    pub fn node_at(&self, string: StringNumber, fret: Fret) -> Option<u8> {
        let shown = match self.nodes {
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
        let number = match self.sight.string_one {
            StringOne::Top => line + 1,
            StringOne::Bottom => self.strings().checked_sub(line)?,
        };
        let string = u8::try_from(number).ok().and_then(StringNumber::new)?;
        self.rig().strings().any(|known| known == string).then_some(string)
    }

    /// Returns how many lines below the first one a string is drawn.
    pub(in crate::workbench) fn line_of(&self, string: StringNumber) -> usize {
        let number = usize::from(string.number());
        match self.sight.string_one {
            StringOne::Top => number.saturating_sub(1),
            StringOne::Bottom => self.strings().saturating_sub(number),
        }
    }

    /// Does what was asked of the sight and the slots.
    pub(in crate::workbench) fn look(&mut self, action: NeckAction) -> Reply {
        match action {
            NeckAction::SuggestFingers => return self.suggest_fingers(),
            NeckAction::ChangeHand => return self.change_hand(),
            NeckAction::TurnLeftHanded => self.sight.left_handed = !self.sight.left_handed,
            NeckAction::TurnStrings => {
                self.sight.string_one = match self.sight.string_one {
                    StringOne::Top => StringOne::Bottom,
                    StringOne::Bottom => StringOne::Top,
                };
            }
            NeckAction::ShowKeyNotes => return self.toggle_key_notes(),
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
        let side =
            if self.sight.left_handed { "left-handed: the nut is on the right" } else { "the nut is on the left" };
        let order = match self.sight.string_one {
            StringOne::Top => "string 1 on top",
            StringOne::Bottom => "string 1 at the bottom",
        };
        Reply { effect: Some(FileEffect::KeepNeckSettings(self.sight).into()), ..note(format!("{side}, {order}")) }
    }

    fn change_hand(&mut self) -> Reply {
        self.sight.hand = match self.sight.hand {
            HandSize::Small => HandSize::Medium,
            HandSize::Medium => HandSize::Large,
            HandSize::Large => HandSize::Small,
        };
        // What was found was found for the hand before.
        self.ghosts = None;
        let (name, reach) = (self.sight.hand.name(), Hand::new(self.sight.hand).reach().0);
        let text = format!("a {name} hand, index to little finger {reach:.0} mm at the most");
        Reply { effect: Some(FileEffect::KeepNeckSettings(self.sight).into()), ..note(text) }
    }

    fn toggle_key_notes(&mut self) -> Reply {
        let Some(key) = self.key else {
            return note("no key is known here: i in the timeline names the piece and its key");
        };
        self.key_notes = !self.key_notes;
        note(if self.key_notes { format!("the notes of {key} are marked") } else { "notes of the key: off".to_owned() })
    }

    fn cycle_nodes(&mut self) -> Reply {
        self.nodes = match self.nodes {
            Nodes::Off => Nodes::Here,
            Nodes::Here => Nodes::Everywhere,
            Nodes::Everywhere => Nodes::Off,
        };
        note(match self.nodes {
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

    fn put_in(&mut self, slot: Slot) -> Reply {
        if self.grip().is_silent() {
            return note("nothing sounds yet: put a finger on the fretboard");
        }
        let (place, name) = slot.place();
        let text = format!("{name} is {}", self.named(self.grip()));
        let grip = self.grip().clone();
        if let Some(slot) = self.slots.get_mut(place) {
            *slot = Some(grip);
        }
        let rest =
            if self.slots.iter().all(Option::is_some) { "; b compares A and B, = goes between them" } else { "" };
        Reply::say(Notice::done(format!("{text}{rest}")))
    }

    /// Puts the other slot's shape on the fretboard: B where A lies there, else A.
    fn swap(&mut self) -> Reply {
        let [a, b] = &self.slots;
        let shape = &self.grip().shape;
        let here = |slot: &Option<Grip>| slot.as_ref().is_some_and(|grip| grip.shape == *shape);
        let (grip, name) = match (a, b) {
            (_, Some(b)) if here(a) => (b.clone(), "B"),
            (Some(a), _) => (a.clone(), "A"),
            (None, Some(b)) => (b.clone(), "B"),
            (None, None) => return note("both slots are empty: A and B put the shape into one"),
        };
        let text = format!("{name}: {}", self.named(&grip));
        if self.put(grip, Origin::Hand) { note(text) } else { note(format!("{text} is for another number of strings")) }
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
    fn compare(&self) -> Reply {
        let [Some(a), Some(b)] = &self.slots else {
            return note("two shapes are needed: A puts the shape into slot A, B into slot B");
        };
        let hand = Hand::new(self.sight.hand);
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

impl Slot {
    const fn place(self) -> (usize, &'static str) {
        match self {
            Self::A => (0, "A"),
            Self::B => (1, "B"),
        }
    }
}
