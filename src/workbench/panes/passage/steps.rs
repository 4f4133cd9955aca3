//! What undo and redo say about a key of the tab editor.

use crate::workbench::keys::action::PassageAction;
use crate::workbench::panes::passage::asking::{PassagePick, Question};

/// Returns what a key does to the music, in a few words; nothing for keys that change nothing.
pub const fn step_of(action: PassageAction) -> Option<&'static str> {
    use PassageAction as A;
    Some(match action {
        A::TypeFret => "fret",
        A::Lift => "note taken off",
        A::Rest => "rest",
        A::InsertEvent => "beat put in",
        A::RemoveEvent => "beat taken out",
        A::FillBar => "bar filled with rests",
        A::Longer | A::Shorter | A::Dot | A::Triplet => "length",
        A::Slur | A::Slide | A::Tie => "join",
        A::Vibrato | A::PalmMute | A::DeadNote | A::LetRing | A::Tap | A::Harmonic => "way of playing",
        A::Stroke => "stroke",
        A::InsertBar => "bar put in",
        A::SplitBar => "bar split",
        A::MergeBar => "bars joined",
        A::RemoveBar => "bar taken out",
        A::Cut => "cut",
        A::Paste => "paste",
        A::ToStringAbove | A::ToStringBelow => "note put on another string",
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
    /// Returns what taking the answer does.
    pub const fn step(&self) -> &'static str {
        match self {
            Self::NewTitle | Self::NewMeter { .. } | Self::NewTempo { .. } => "new passage",
            Self::Title => "title of the passage",
            Self::Length => "length",
            Self::Bend => "bend",
            Self::Trill | Self::TouchedHarmonic | Self::TappedHarmonic | Self::Dip | Self::Dive => "way of playing",
            Self::Grace => "grace notes",
            Self::Finger => "fretting finger",
            Self::Chord => "chord name",
            Self::Words => "words",
            Self::Meter => "meter",
            Self::Tempo => "tempo",
            Self::Key => "key",
            Self::Times => "repeat",
            Self::Endings => "endings",
            Self::Semitones => "transposition",
        }
    }
}

impl PassagePick {
    /// Returns what choosing it does.
    pub const fn step(&self) -> &'static str {
        match self {
            Self::Join(_) => "join",
            Self::Technique(_) => "way of playing",
            Self::Stroke(_) => "stroke",
            Self::Ask(question) => question.step(),
            Self::RepeatStart => "repeat",
            Self::Pickup => "pickup",
            Self::Feel(_) => "how even it is played",
            Self::Setup(_) => "passage placed anew",
        }
    }
}
