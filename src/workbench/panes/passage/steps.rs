//! What undo and redo say about a key of the tab editor.

use crate::lesson::history::Reason;
use crate::workbench::keys::action::PassageAction;
use crate::workbench::questions::passage::{PassagePick, PassageQuestion};

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

/// Returns what taking the answer to a question does to the music.
pub const fn step_of_answer(question: &PassageQuestion) -> &'static str {
    use PassageQuestion as Q;
    match question {
        Q::NewTitle | Q::NewMeter { .. } | Q::NewTempo { .. } => "new passage",
        Q::Title => "title of the passage",
        Q::Length => "length",
        Q::Bend => "bend",
        Q::Trill | Q::TouchedHarmonic | Q::TappedHarmonic | Q::Dip | Q::Dive => "way of playing",
        Q::Grace => "grace notes",
        Q::Finger => "fretting finger",
        Q::Chord => "chord name",
        Q::Words => "words",
        Q::Meter => "meter",
        Q::Tempo => "tempo",
        Q::Key => "key",
        Q::Times => "repeat",
        Q::Endings => "endings",
        Q::Semitones => "transposition",
        Q::TabFile | Q::PastedTab(_) => Reason::ReadTab.label(),
    }
}

/// Returns what choosing a line of a list does to the music.
pub const fn step_of_pick(pick: &PassagePick) -> &'static str {
    use PassagePick as P;
    match pick {
        P::Join(_) => "join",
        P::Technique(_) => "way of playing",
        P::Stroke(_) => "stroke",
        P::Ask(question) => step_of_answer(question),
        P::RepeatStart => "repeat",
        P::Pickup => "pickup",
        P::Feel(_) => "how even it is played",
        P::Setup(_) => "passage placed anew",
    }
}
