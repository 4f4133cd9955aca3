//! Why a key of the tab editor changes the music: what undo and redo say of it.

use crate::lesson::history::Reason;
use crate::workbench::keys::action::PassageAction;
use crate::workbench::questions::passage::{PassagePick, PassageQuestion};

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

/// Returns why taking the answer to a question changes the music.
pub(super) const fn reason_of_answer(question: &PassageQuestion) -> Reason {
    use PassageQuestion as Q;
    match question {
        Q::NewTitle | Q::NewMeter { .. } | Q::NewTempo { .. } => Reason::AddPassage,
        Q::Title => Reason::RetitlePassage,
        Q::Length => Reason::ChangeLength,
        Q::Bend => Reason::Bend,
        Q::Trill | Q::TouchedHarmonic | Q::TappedHarmonic | Q::Dip | Q::Dive => Reason::ChangeTechnique,
        Q::Grace => Reason::GraceNotes,
        Q::Finger => Reason::ChooseFinger,
        Q::Chord => Reason::NameChord,
        Q::Words => Reason::WriteWords,
        Q::Meter => Reason::ChangeMeter,
        Q::Tempo => Reason::ChangeTempo,
        Q::Key => Reason::ChangeKey,
        Q::Times => Reason::ChangeRepeat,
        Q::Endings => Reason::ChangeEndings,
        Q::Semitones => Reason::Transpose,
        Q::TabFile | Q::PastedTab(_) => Reason::ReadTab,
    }
}

/// Returns why picking a line of a list changes the music.
pub(super) const fn reason_of_pick(pick: &PassagePick) -> Reason {
    use PassagePick as P;
    match pick {
        P::Join(_) => Reason::JoinNotes,
        P::Technique(_) => Reason::ChangeTechnique,
        P::Stroke(_) => Reason::ChangeStroke,
        P::Ask(question) => reason_of_answer(question),
        P::RepeatStart => Reason::ChangeRepeat,
        P::Pickup => Reason::ChangePickup,
        P::Feel(_) => Reason::ChangeFeel,
        P::Setup(_) => Reason::PlaceAnew,
    }
}
