//! Everything a person can ask of the workbench, one enum for each place that can be in focus.
//!
//! Rows of the key table name these; the table is the only way from a key to an action.

use serde::Deserialize;

/// Declares the actions of one place, with a list of all of them.
macro_rules! actions {
    ($(#[$doc:meta])* $name:ident { $($(#[$action_doc:meta])* $action:ident),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
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
    ChoiceAction, EntryAction, FindAction, ListAction, MarksAction, PointsAction, PreviewAction, SearchAction,
};
pub use panes::{
    DeskAction, FretboardAction, LibraryAction, NeckAction, PassageAction, ProgramAction, ReadingsAction,
    RecordingAction, SoundAction, StartAction, TimelineAction,
};

/// Declares [`Action`] and [`Pane`] side by side, so that no group of actions lacks its place.
macro_rules! groups {
    ($($(#[$doc:meta])* $group:ident($actions:ty), $word:literal);+ $(;)?) => {
        /// Everything a person can ask for.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
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

            /// Returns the place the action belongs to.
            pub const fn home(self) -> Pane {
                match self { $(Self::$group(_) => Pane::$group),+ }
            }
        }

        impl Pane {
            /// Every place.
            pub const ALL: &'static [Self] = &[$(Self::$group),+];

            /// Returns what it is called on the screen.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$group => $word),+ }
            }
        }
    };
}

groups! {
    /// Anywhere.
    Program(ProgramAction), "everywhere";
    /// Any pane of an open lesson.
    Desk(DeskAction), "in every pane";
    /// The segments of the video.
    Timeline(TimelineAction), "timeline";
    /// The tab of the segment.
    Passage(PassageAction), "passage";
    /// Strings, frets and fingers.
    Fretboard(FretboardAction), "fretboard";
    /// Other shapes, and how the neck is seen.
    Neck(NeckAction), "fretboard: alternatives, comparing, guides";
    /// What the fingers can be called.
    Readings(ReadingsAction), "readings";
    /// The voicings of all lessons.
    Library(LibraryAction), "library";
    /// Typing what to look for in the library.
    Find(FindAction), "finding a voicing";
    /// What is heard.
    Sound(SoundAction), "hearing it";
    /// The view for the camera.
    Recording(RecordingAction), "recording view";
    /// The screen without a lesson.
    Start(StartAction), "start screen";
    /// One line to type.
    Entry(EntryAction), "typing a line";
    /// Talking points to write.
    Points(PointsAction), "writing points and notes";
    /// A list to choose from.
    Choice(ChoiceAction), "choosing";
    /// A list to mark lines of.
    Marks(MarksAction), "marking";
    /// The handout as it will print.
    Preview(PreviewAction), "looking at the handout";
    /// The search for an action.
    Search(SearchAction), "searching for an action";
    /// A list to read.
    List(ListAction), "reading a list";
}

impl Action {
    /// Returns whether a number typed before it says how often it is done: movements.
    pub const fn repeats(self) -> bool {
        matches!(
            self,
            Self::Timeline(TimelineAction::Previous | TimelineAction::Next)
                | Self::Readings(ReadingsAction::Previous | ReadingsAction::Next)
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
    /// Returns whether what is struck there is typed, unless it asks for something.
    pub const fn types(self) -> bool {
        matches!(self, Self::Find | Self::Entry | Self::Points | Self::Search)
    }

    /// Returns the places whose keys work here too.
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
            | Self::Search => &[Self::Program],
            // What a list compares can be heard over it.
            Self::List => &[Self::Sound, Self::Program],
            Self::Fretboard => &[Self::Neck, Self::Sound, Self::Desk, Self::Program],
            Self::Timeline | Self::Passage | Self::Readings | Self::Library => {
                &[Self::Sound, Self::Desk, Self::Program]
            }
        }
    }
}

/// One of the five panes of an open lesson, in the order Tab visits them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
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

    /// Returns the pane after this one, the first after the last.
    pub const fn next(self) -> Self {
        match self {
            Self::Timeline => Self::Passage,
            Self::Passage => Self::Fretboard,
            Self::Fretboard => Self::Readings,
            Self::Readings => Self::Library,
            Self::Library => Self::Timeline,
        }
    }

    /// Returns the pane before this one, the last before the first.
    pub const fn previous(self) -> Self {
        match self {
            Self::Timeline => Self::Library,
            Self::Passage => Self::Timeline,
            Self::Fretboard => Self::Passage,
            Self::Readings => Self::Fretboard,
            Self::Library => Self::Readings,
        }
    }

    /// Returns the place whose keys work in it.
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
            Self::Library => "Library",
        }
    }
}
