//! What each action does to the lesson: the one list by which a lesson is protected.
//!
//! A lesson that is open for reading only refuses actions by this list before anything is typed. By it the lesson is
//! opened to changes or closed, and the desk looks afterwards whether there is something for the history and the journal:
//! what is declared to change nothing finds the lesson closed. Fingers on the fretboard, the library and files are not part
//! of the lesson.
//!
//! Why a key of the passage changes the music stands in the same list ([`PassageAction::reason`]); the other panes name
//! the reason where they make the change.

use super::{
    Action, ChoiceAction, DeskAction, EntryAction, FindAction, FretboardAction, HelpAction, LibraryAction, ListAction,
    MarksAction, NeckAction, PassageAction, PointsAction, PreviewAction, ProgramAction, ReadingsAction,
    RecordingAction, SearchAction, SoundAction, StartAction, TimelineAction,
};
use crate::lesson::history::Reason;

/// What an action does to the lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Changes {
    /// It never changes it, nor anything else that undo takes back.
    Never,
    /// It never changes it, but what undo takes back beside it: fingers on the fretboard, which also have to make way where
    /// it goes to a segment with other strings, or the library.
    FingersOrLibrary,
    /// It opens a box that asks for a change and serves no other purpose.
    Asks,
    /// It changes the lesson at once, wherever there is something to change.
    Makes,
    /// It does several things, and the situation decides whether one of them is a change. It goes ahead in a lesson
    /// open for reading only, which refuses the part that would be a change.
    Depends,
}

impl Changes {
    /// Returns whether the lesson may be another afterwards.
    pub const fn may_change_lesson(self) -> bool {
        match self {
            Self::Makes | Self::Depends => true,
            Self::Never | Self::FingersOrLibrary | Self::Asks => false,
        }
    }

    /// Returns whether there may be something to undo afterwards.
    pub const fn may_leave_step(self) -> bool {
        match self {
            Self::FingersOrLibrary | Self::Makes | Self::Depends => true,
            Self::Never | Self::Asks => false,
        }
    }
}

impl Action {
    /// Returns what the action does to the lesson.
    pub const fn changes(self) -> Changes {
        match self {
            Self::Program(action) => of_program(action),
            Self::Desk(action) => of_desk(action),
            Self::Timeline(action) => of_timeline(action),
            Self::Passage(action) => of_passage(action),
            Self::Fretboard(action) => of_fretboard(action),
            Self::Neck(action) => of_neck(action),
            Self::Readings(action) => of_readings(action),
            Self::Library(action) => of_library(action),
            Self::Find(action) => of_find(action),
            Self::Sound(action) => of_sound(action),
            Self::Recording(action) => of_recording(action),
            Self::Start(action) => of_start(action),
            Self::Entry(action) => of_entry(action),
            Self::Points(action) => of_points(action),
            Self::Choice(action) => of_choice(action),
            Self::Marks(action) => of_marks(action),
            Self::Preview(action) => of_preview(action),
            Self::Search(action) => of_search(action),
            Self::Help(action) => of_help(action),
            Self::List(action) => of_list(action),
        }
    }
}

const fn of_program(action: ProgramAction) -> Changes {
    use ProgramAction as A;
    match action {
        // Quitting first takes what is being written into the lesson.
        A::Quit => Changes::Depends,
        A::Suspend
        | A::Redraw
        | A::ShowMessages
        | A::SearchActions
        | A::ChooseColours
        | A::DecideVersions
        | A::OpenForWriting => Changes::Never,
    }
}

const fn of_desk(action: DeskAction) -> Changes {
    use DeskAction as A;
    match action {
        A::RetitleLesson => Changes::Asks,
        // The last step may have concerned fingers only. Leaving takes what is being written into the lesson.
        A::Undo | A::Redo | A::GoToStart => Changes::Depends,
        A::NextPane
        | A::PreviousPane
        | A::GoToTimeline
        | A::GoToPassage
        | A::GoToFretboard
        | A::GoToReadings
        | A::GoToLibrary
        | A::Save
        | A::ExportHandout
        | A::PreviewHandout
        | A::ShowProblems
        | A::ShowHelp
        | A::GoToRecording => Changes::Never,
    }
}

const fn of_timeline(action: TimelineAction) -> Changes {
    use TimelineAction as A;
    match action {
        A::AddAfter
        | A::AddBefore
        | A::Retitle
        | A::Retime
        | A::Stamp
        | A::EditCuts
        | A::NamePiece
        | A::ListPieces
        | A::ChooseKind
        | A::ChooseProgress
        | A::ChooseSetup
        | A::AddSetup
        | A::ChoosePassages
        | A::ChooseVoicings
        | A::Split
        | A::MoveToPlace
        | A::SetTarget => Changes::Asks,
        A::MoveEarlier | A::MoveLater | A::Delete | A::JoinNext | A::Duplicate | A::Mend => Changes::Makes,
        // The boxes also serve for reading where nothing can be changed.
        A::EditPoints | A::EditShot | A::EditTone => Changes::Depends,
        A::Previous | A::Next | A::First | A::Last | A::PageUp | A::PageDown => Changes::FingersOrLibrary,
        A::ToggleRipple | A::ZoomIn | A::ZoomOut | A::ToggleColumns | A::CopyChapters => Changes::Never,
    }
}

const fn of_passage(action: PassageAction) -> Changes {
    match to_music(action) {
        ToMusic::Never if matches!(action, PassageAction::ToFretboard) => Changes::FingersOrLibrary,
        ToMusic::Never => Changes::Never,
        ToMusic::Asks => Changes::Asks,
        ToMusic::Makes(_) => Changes::Makes,
    }
}

/// What a key of the passage does to the music.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ToMusic {
    /// It never changes it.
    Never,
    /// It asks for a change, whose reason is that of the answer.
    Asks,
    /// It changes it at once, for this reason.
    Makes(Reason),
}

impl PassageAction {
    /// Returns why the action changes the music, which is what undo and redo say of it; nothing for what changes
    /// nothing, or asks first.
    pub const fn reason(self) -> Option<Reason> {
        match to_music(self) {
            ToMusic::Makes(reason) => Some(reason),
            ToMusic::Never | ToMusic::Asks => None,
        }
    }
}

const fn to_music(action: PassageAction) -> ToMusic {
    use PassageAction as A;
    match action {
        A::TypeLength
        | A::Techniques
        | A::Trill
        | A::Bend
        | A::NameChord
        | A::NameAll
        | A::WriteWords
        | A::ChooseBar
        | A::Transpose
        | A::PlaceAnew
        | A::NewPassage
        | A::ReadTab => ToMusic::Asks,
        A::TypeFret => ToMusic::Makes(Reason::PutFret),
        A::Lift => ToMusic::Makes(Reason::LiftNote),
        A::Rest => ToMusic::Makes(Reason::Rest),
        A::InsertEvent => ToMusic::Makes(Reason::InsertBeat),
        A::RemoveEvent => ToMusic::Makes(Reason::RemoveBeat),
        A::FillBar => ToMusic::Makes(Reason::FillBar),
        A::Mend => ToMusic::Makes(Reason::Remedy),
        A::Longer | A::Shorter | A::Dot | A::Triplet => ToMusic::Makes(Reason::ChangeLength),
        A::Slur | A::Slide | A::Tie => ToMusic::Makes(Reason::JoinNotes),
        A::Vibrato | A::PalmMute | A::DeadNote | A::DeadStrum | A::LetRing | A::Tap | A::Harmonic => {
            ToMusic::Makes(Reason::ChangeTechnique)
        }
        A::Stroke => ToMusic::Makes(Reason::ChangeStroke),
        A::InsertBar | A::InsertBarBefore => ToMusic::Makes(Reason::InsertBar),
        A::SplitBar => ToMusic::Makes(Reason::SplitBar),
        A::MergeBar => ToMusic::Makes(Reason::JoinBars),
        A::RemoveBar => ToMusic::Makes(Reason::RemoveBar),
        A::Cut => ToMusic::Makes(Reason::Cut),
        A::Paste => ToMusic::Makes(Reason::Paste),
        A::ToStringAbove | A::ToStringBelow => ToMusic::Makes(Reason::MoveToString),
        A::PreviousEvent
        | A::NextEvent
        | A::StringUp
        | A::StringDown
        | A::PreviousBar
        | A::NextBar
        | A::RowUp
        | A::RowDown
        | A::ToStart
        | A::ToEnd
        | A::ScrollUp
        | A::ScrollDown
        | A::SwitchVoice
        | A::ExtendBack
        | A::ExtendForth
        | A::ExtendBarBack
        | A::ExtendBarForth
        | A::Mark
        | A::DropMark
        | A::Copy
        | A::CopyOut
        | A::ToFretboard
        | A::NextPassage
        | A::PreviousPassage => ToMusic::Never,
    }
}

const fn of_fretboard(action: FretboardAction) -> Changes {
    use FretboardAction as A;
    match action {
        A::SaveVoicing | A::TakeVoicingOut => Changes::Makes,
        A::PutFinger
        | A::TypeFret
        | A::Mute
        | A::Lift
        | A::Open
        | A::CycleDoubt
        | A::Clear
        | A::NextVoicing
        | A::PreviousVoicing => Changes::FingersOrLibrary,
        A::StringUp
        | A::StringDown
        | A::GoLeft
        | A::GoRight
        | A::ToNut
        | A::ToLastFret
        | A::TypeShape
        | A::CopyOut
        | A::CycleLabels => Changes::Never,
    }
}

const fn of_neck(action: NeckAction) -> Changes {
    use NeckAction as A;
    match action {
        A::TakeGhost | A::SuggestFingers | A::Swap => Changes::FingersOrLibrary,
        A::Elsewhere
        | A::SameTop
        | A::InversionUp
        | A::InversionDown
        | A::MoveTowardNut
        | A::MoveTowardBody
        | A::TowardFirstString
        | A::AwayFromFirstString
        | A::Smaller
        | A::NameChord
        | A::NextGhost
        | A::PreviousGhost
        | A::DropGhost
        | A::ChangeHand
        | A::ChangeLevel
        | A::PutInA
        | A::PutInB
        | A::Compare
        | A::ShowKeyNotes
        | A::ShowNodes
        | A::TurnLeftHanded
        | A::TurnStrings
        | A::NextTarget
        | A::PreviousTarget => Changes::Never,
    }
}

const fn of_readings(action: ReadingsAction) -> Changes {
    use ReadingsAction as A;
    match action {
        A::Keep => Changes::FingersOrLibrary,
        A::NameInPassage => Changes::Makes,
        A::Previous | A::Next | A::First | A::Last | A::StateBass => Changes::Never,
    }
}

const fn of_library(action: LibraryAction) -> Changes {
    use LibraryAction as A;
    match action {
        A::Insert | A::InsertAsChord => Changes::Makes,
        // If the lesson has the voicing too, the voicing there gets the tags as well.
        A::EditTags => Changes::Depends,
        // What the library has goes from there; what only the lesson has, from the lesson.
        A::TakeOut => Changes::Depends,
        A::Take | A::CarryOver | A::JoinDuplicates => Changes::FingersOrLibrary,
        A::Previous
        | A::Next
        | A::PageUp
        | A::PageDown
        | A::First
        | A::Last
        | A::Find
        | A::ShowAll
        | A::Left
        | A::Right
        | A::ToggleGrids
        | A::SortByShape
        | A::ShowAbout => Changes::Never,
    }
}

const fn of_find(action: FindAction) -> Changes {
    use FindAction as A;
    match action {
        A::Previous | A::Next | A::Erase | A::Accept | A::Cancel => Changes::Never,
    }
}

const fn of_sound(action: SoundAction) -> Changes {
    use SoundAction as A;
    match action {
        A::Hear
        | A::HearUpward
        | A::HearSlowly
        | A::HearBass
        | A::HearString
        | A::HearBoth
        | A::Stop
        | A::Softer
        | A::Louder
        | A::Slower
        | A::Faster
        | A::TypeTempo
        | A::ToggleRound
        | A::ToggleDrone
        | A::ToggleUnsure
        | A::Choose => Changes::Never,
    }
}

const fn of_recording(action: RecordingAction) -> Changes {
    use RecordingAction as A;
    match action {
        A::Advance | A::StepBack | A::Retake => Changes::Makes,
        A::RunOrHold | A::SetClock | A::ScrollUp | A::ScrollDown | A::Close => Changes::Never,
    }
}

const fn of_start(action: StartAction) -> Changes {
    use StartAction as A;
    match action {
        A::Previous | A::Next | A::First | A::Last | A::Accept | A::ShowHelp => Changes::Never,
    }
}

const fn of_entry(action: EntryAction) -> Changes {
    use EntryAction as A;
    match action {
        // Such a line also takes a shape, a tempo or the clock of the recording view.
        A::Accept => Changes::Depends,
        A::Cancel
        | A::Left
        | A::Right
        | A::Start
        | A::End
        | A::EraseBefore
        | A::EraseAfter
        | A::EraseAll
        | A::Complete
        | A::OfferBefore
        | A::NextOffer => Changes::Never,
    }
}

const fn of_points(action: PointsAction) -> Changes {
    use PointsAction as A;
    match action {
        A::Accept => Changes::Makes,
        A::Cancel
        | A::NewLine
        | A::Left
        | A::Right
        | A::Up
        | A::Down
        | A::Start
        | A::End
        | A::EraseBefore
        | A::EraseAfter => Changes::Never,
    }
}

const fn of_choice(action: ChoiceAction) -> Changes {
    use ChoiceAction as A;
    match action {
        // Such a list also offers colours, sounds and whether to leave.
        A::Accept => Changes::Depends,
        A::Previous | A::Next | A::First | A::Last | A::PageUp | A::PageDown | A::Cancel => Changes::Never,
    }
}

const fn of_marks(action: MarksAction) -> Changes {
    use MarksAction as A;
    match action {
        A::Accept => Changes::Makes,
        A::Previous | A::Next | A::First | A::Last | A::PageUp | A::PageDown | A::Toggle | A::Cancel => Changes::Never,
    }
}

const fn of_preview(action: PreviewAction) -> Changes {
    use PreviewAction as A;
    match action {
        A::Up
        | A::Down
        | A::PageUp
        | A::PageDown
        | A::PreviousPage
        | A::NextPage
        | A::FirstPage
        | A::LastPage
        | A::ShiftLeft
        | A::ShiftRight
        | A::SwitchPaper
        | A::SwitchCharacters
        | A::SwitchPoints
        | A::ChooseSegments
        | A::SwitchUnused
        | A::SwitchVideo
        | A::ChooseWidth
        | A::Write
        | A::Close => Changes::Never,
    }
}

const fn of_help(action: HelpAction) -> Changes {
    use HelpAction as A;
    match action {
        // It does the selected action, which answers for itself.
        A::Open => Changes::Depends,
        A::Previous | A::Next | A::First | A::Last | A::PageUp | A::PageDown | A::Erase | A::EraseAll | A::Close => {
            Changes::Never
        }
    }
}

const fn of_search(action: SearchAction) -> Changes {
    use SearchAction as A;
    match action {
        // It does the action that was found, which answers for itself.
        A::Accept => Changes::Depends,
        A::Previous | A::Next | A::First | A::Last | A::PageUp | A::PageDown | A::Erase | A::EraseAll | A::Cancel => {
            Changes::Never
        }
    }
}

const fn of_list(action: ListAction) -> Changes {
    use ListAction as A;
    match action {
        A::Mend => Changes::Makes,
        // It may go to another segment, or put a voicing on the fretboard.
        A::GoThere => Changes::FingersOrLibrary,
        A::Up | A::Down | A::PageUp | A::PageDown | A::First | A::Last | A::Close => Changes::Never,
    }
}
