//! Why what was typed or picked in a box changes the music: what undo and redo say of it. Why a key does is said by the
//! list of actions ([`crate::workbench::keys::action::changes`]).

use crate::lesson::history::Reason;
use crate::lesson::tunings::FretsOrSound;
use crate::workbench::questions::passage::{PassagePick, PassageQuestion};

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
        Q::Tuning => Reason::ChooseSetup,
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
        P::Names(..) => Reason::NameChord,
        P::Delete | P::DeleteEverywhere(_) => Reason::RemovePassage,
        P::Feel(_) => Reason::ChangeFeel,
        P::Tuning(_) | P::Retune(_, FretsOrSound::Frets, _, _) => Reason::ChooseSetup,
        P::Retune(_, FretsOrSound::Sound, _, _) => Reason::PlaceAnew,
    }
}
