//! Everything that a person can ask of the workbench, with one enum for each place that can have the focus.
//!
//! The rows of the key table name these actions, and only that table leads from a key to an action. Each variant is
//! worded as the request it makes. What an action does is not here: the pane, box or view that it belongs to performs
//! it.

use serde::{Deserialize, Serialize};

/// Declares the actions of one place together with the list of all of them.
macro_rules! actions {
    ($(#[$doc:meta])* $name:ident { $($(#[$action_doc:meta])* $action:ident),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        pub enum $name { $($(#[$action_doc])* $action),+ }

        impl $name {
            /// Every action of this place.
            pub const ALL: &'static [Self] = &[$(Self::$action),+];
        }
    };
}

mod boxes;
pub mod changes;
mod panes;

pub use boxes::{
    ChoiceAction, EntryAction, FindAction, HelpAction, ListAction, MarksAction, PointsAction, PreviewAction,
    SearchAction,
};
pub use panes::{
    DeskAction, FretboardAction, LibraryAction, NeckAction, PassageAction, ProgramAction, ReadingsAction,
    RecordingAction, SoundAction, StartAction, TimelineAction,
};

/// Declares [`Action`] and [`Pane`] side by side, so that every group of actions has its place.
macro_rules! groups {
    ($($(#[$doc:meta])* $group:ident($actions:ty), $word:literal);+ $(;)?) => {
        /// Everything that a person can ask for.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        pub enum Action { $($(#[$doc])* $group($actions)),+ }

        /// A place that can be in focus and has keys of its own.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
        pub enum Pane { $($(#[$doc])* $group),+ }

        impl Action {
            /// Returns every action there is.
            pub fn all() -> impl Iterator<Item = Self> {
                let nothing = std::iter::empty();
                $(let nothing = nothing.chain(<$actions>::ALL.iter().copied().map(Self::$group));)+
                nothing
            }

            /// Returns what the action is called in a key file: `Timeline(AddAfter)`. Names that older versions had are
            /// still read.
            pub fn name(self) -> String {
                ron::to_string(&self).unwrap_or_default()
            }

            /// Returns the place that the action belongs to.
            pub const fn home(self) -> Pane {
                match self { $(Self::$group(_) => Pane::$group),+ }
            }
        }

        impl Pane {
            /// Every place.
            pub const ALL: &'static [Self] = &[$(Self::$group),+];

            /// Returns the name of the place on the screen.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$group => $word),+ }
            }
        }
    };
}

groups! {
    /// The whole program.
    Program(ProgramAction), "everywhere";
    /// Every pane of an open lesson.
    Desk(DeskAction), "in every pane";
    /// The timeline with the segments of the video.
    Timeline(TimelineAction), "timeline";
    /// The passage: the tab of the segment.
    Passage(PassageAction), "passage";
    /// The fretboard with strings, frets and fingers.
    Fretboard(FretboardAction), "fretboard";
    /// The fretboard's other shapes and the display of its neck.
    Neck(NeckAction), "fretboard";
    /// The readings: the names that the fingers can have.
    Readings(ReadingsAction), "readings";
    /// The library with the voicings of all lessons.
    Library(LibraryAction), "voicings";
    /// The search line of the library.
    Find(FindAction), "finding a voicing";
    /// Listening.
    Sound(SoundAction), "playback";
    /// The recording view.
    Recording(RecordingAction), "recording view";
    /// The start screen, which has no lesson.
    Start(StartAction), "start screen";
    /// A box in which one line is typed.
    Entry(EntryAction), "typing a line";
    /// A box in which talking points are written.
    Points(PointsAction), "writing points and notes";
    /// A list from which one line is chosen.
    Choice(ChoiceAction), "choosing";
    /// A list in which lines are marked.
    Marks(MarksAction), "marking";
    /// The preview of the handout.
    Preview(PreviewAction), "looking at the handout";
    /// The search for an action.
    Search(SearchAction), "searching for an action";
    /// The list of all keys.
    Help(HelpAction), "list of all keys";
    /// A list that is only read.
    List(ListAction), "reading a list";
}

impl Action {
    /// Returns whether a number typed before the action says how often to do it. That is so for movements.
    pub const fn repeats(self) -> bool {
        matches!(
            self,
            Self::Timeline(
                TimelineAction::Previous | TimelineAction::Next | TimelineAction::PageUp | TimelineAction::PageDown
            ) | Self::Readings(ReadingsAction::Previous | ReadingsAction::Next)
                | Self::Library(
                    LibraryAction::Previous
                        | LibraryAction::Next
                        | LibraryAction::Left
                        | LibraryAction::Right
                        | LibraryAction::PageUp
                        | LibraryAction::PageDown
                )
                | Self::Start(StartAction::Previous | StartAction::Next)
                | Self::Choice(ChoiceAction::Previous | ChoiceAction::Next)
                | Self::Marks(MarksAction::Previous | MarksAction::Next)
                | Self::List(ListAction::Up | ListAction::Down | ListAction::PageUp | ListAction::PageDown)
                | Self::Preview(
                    PreviewAction::Up
                        | PreviewAction::Down
                        | PreviewAction::PageUp
                        | PreviewAction::PageDown
                        | PreviewAction::PreviousPage
                        | PreviewAction::NextPage
                        | PreviewAction::ShiftLeft
                        | PreviewAction::ShiftRight
                )
        )
    }
}

impl Pane {
    /// Returns whether a key struck in this place types its character, unless the key asks for an action.
    pub const fn types(self) -> bool {
        matches!(self, Self::Find | Self::Entry | Self::Points | Self::Search | Self::Help)
    }

    /// Returns the other places whose keys work here too.
    pub const fn also(self) -> &'static [Self] {
        match self {
            Self::Program => &[],
            Self::Desk
            | Self::Sound
            | Self::Neck
            | Self::Start
            | Self::Recording
            | Self::Find
            | Self::Entry
            | Self::Points
            | Self::Choice
            | Self::Marks
            | Self::Preview
            | Self::Search
            | Self::Help => &[Self::Program],
            // A list may compare shapes, which can be heard while it is open.
            Self::List => &[Self::Sound, Self::Program],
            Self::Fretboard => &[Self::Neck, Self::Sound, Self::Desk, Self::Program],
            Self::Timeline | Self::Passage | Self::Readings | Self::Library => {
                &[Self::Sound, Self::Desk, Self::Program]
            }
        }
    }
}

/// One of the five panes of an open lesson, in the order in which Tab visits them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum Focus {
    /// The timeline.
    #[default]
    Timeline,
    /// The passage.
    Passage,
    /// The fretboard.
    Fretboard,
    /// The readings.
    Readings,
    /// The library.
    Library,
}

impl Focus {
    /// The panes in order.
    pub const ALL: [Self; 5] = [Self::Timeline, Self::Passage, Self::Fretboard, Self::Readings, Self::Library];

    /// Returns the pane after this one; the first pane follows the last.
    pub const fn next(self) -> Self {
        match self {
            Self::Timeline => Self::Passage,
            Self::Passage => Self::Fretboard,
            Self::Fretboard => Self::Readings,
            Self::Readings => Self::Library,
            Self::Library => Self::Timeline,
        }
    }

    /// Returns the pane before this one; the last pane precedes the first.
    pub const fn previous(self) -> Self {
        match self {
            Self::Timeline => Self::Library,
            Self::Passage => Self::Timeline,
            Self::Fretboard => Self::Passage,
            Self::Readings => Self::Fretboard,
            Self::Library => Self::Readings,
        }
    }

    /// Returns the place whose keys work in the pane.
    pub const fn pane(self) -> Pane {
        match self {
            Self::Timeline => Pane::Timeline,
            Self::Passage => Pane::Passage,
            Self::Fretboard => Pane::Fretboard,
            Self::Readings => Pane::Readings,
            Self::Library => Pane::Library,
        }
    }

    /// Returns the title of the pane.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Timeline => "Timeline",
            Self::Passage => "Passage",
            Self::Fretboard => "Fretboard",
            Self::Readings => "Readings",
            Self::Library => "Voicings",
        }
    }
}
