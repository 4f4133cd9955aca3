//! Why a key of the tab editor changes the music: what undo and redo say of it.

use crate::lesson::history::Reason;
use crate::workbench::keys::action::PassageAction;
use crate::workbench::panes::passage::asking::{PassagePick, Question};

/// Returns why a key changes the music; nothing for keys that do not, or that ask first.
pub(super) const fn reason_of(action: PassageAction) -> Option<Reason> {
    use PassageAction as A;
    Some(match action {
        A::TypeFret => Reason::PutFret,
        A::Lift => Reason::LiftNote,
        A::Rest => Reason::Rest,
        A::InsertEvent => Reason::InsertBeat,
        A::RemoveEvent => Reason::RemoveBeat,
        A::FillBar => Reason::FillBar,
        A::Longer | A::Shorter | A::Dot | A::Triplet => Reason::ChangeLength,
        A::Slur | A::Slide | A::Tie => Reason::JoinNotes,
        A::Vibrato | A::PalmMute | A::DeadNote | A::LetRing | A::Tap | A::Harmonic => Reason::ChangeTechnique,
        A::Stroke => Reason::ChangeStroke,
        A::InsertBar => Reason::InsertBar,
        A::SplitBar => Reason::SplitBar,
        A::MergeBar => Reason::JoinBars,
        A::RemoveBar => Reason::RemoveBar,
        A::Cut => Reason::Cut,
        A::Paste => Reason::Paste,
        A::ToStringAbove | A::ToStringBelow => Reason::MoveToString,
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
        | A::TypeLength
        | A::Techniques
        | A::Bend
        | A::NameChord
        | A::WriteWords
        | A::ChooseBar
        | A::ExtendBack
        | A::ExtendForth
        | A::ExtendBarBack
        | A::ExtendBarForth
        | A::Mark
        | A::DropMark
        | A::Copy
        | A::CopyOut
        | A::Transpose
        | A::PlaceAnew
        | A::NewPassage
        | A::NextPassage
        | A::PreviousPassage
        | A::ReadTab => return None,
    })
}

impl Question {
    /// Returns why taking the answer changes the music.
    pub(super) const fn reason(&self) -> Reason {
        match self {
            Self::NewTitle | Self::NewMeter { .. } | Self::NewTempo { .. } => Reason::AddPassage,
            Self::Title => Reason::RetitlePassage,
            Self::Length => Reason::ChangeLength,
            Self::Bend => Reason::Bend,
            Self::Trill | Self::TouchedHarmonic | Self::TappedHarmonic | Self::Dip | Self::Dive => {
                Reason::ChangeTechnique
            }
            Self::Grace => Reason::GraceNotes,
            Self::Finger => Reason::ChooseFinger,
            Self::Chord => Reason::NameChord,
            Self::Words => Reason::WriteWords,
            Self::Meter => Reason::ChangeMeter,
            Self::Tempo => Reason::ChangeTempo,
            Self::Key => Reason::ChangeKey,
            Self::Times => Reason::ChangeRepeat,
            Self::Endings => Reason::ChangeEndings,
            Self::Semitones => Reason::Transpose,
        }
    }
}

impl PassagePick {
    /// Returns why choosing it changes the music.
    pub(super) const fn reason(&self) -> Reason {
        match self {
            Self::Join(_) => Reason::JoinNotes,
            Self::Technique(_) => Reason::ChangeTechnique,
            Self::Stroke(_) => Reason::ChangeStroke,
            Self::Ask(question) => question.reason(),
            Self::RepeatStart => Reason::ChangeRepeat,
            Self::Pickup => Reason::ChangePickup,
            Self::Feel(_) => Reason::ChangeFeel,
            Self::Setup(_) => Reason::PlaceAnew,
        }
    }
}
