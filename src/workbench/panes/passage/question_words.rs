//! The words with which each question of the passage is asked.

use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::questions::passage::PassageQuestion;

/// Returns the box before that of `question` with what was typed there, where several lead to one answer.
pub fn step_before(question: &PassageQuestion) -> Option<EntryBox> {
    use PassageQuestion as Q;
    match question {
        Q::NewTempo { title, meter } => Some(entry(Q::NewMeter { title: title.clone() }, meter.to_string())),
        Q::NewMeter { title } => {
            let mut before = entry(Q::NewTitle, "");
            before.retype(title.clone());
            Some(before)
        }
        Q::NewTitle
        | Q::Title
        | Q::Length
        | Q::Bend
        | Q::Trill
        | Q::TouchedHarmonic
        | Q::TappedHarmonic
        | Q::Dip
        | Q::Dive
        | Q::Grace
        | Q::Finger
        | Q::Chord
        | Q::Words
        | Q::Meter
        | Q::Tempo
        | Q::Key
        | Q::Times
        | Q::Endings
        | Q::Semitones
        | Q::TabFile
        | Q::PastedTab(_)
        | Q::Tuning => None,
    }
}

/// Returns a box that asks `question`, with what is there already.
pub(super) fn entry(question: PassageQuestion, text: impl Into<String>) -> EntryBox {
    use PassageQuestion as Q;
    let (title, advice) = match &question {
        Q::NewTitle => ("Title of the new passage", "It starts with one empty bar, and this segment plays it."),
        Q::NewMeter { .. } => ("Time signature", "As in 4/4 or 6/8. {Entry(Cancel)} goes back a step."),
        Q::NewTempo { .. } => (
            "Tempo",
            "Beats per minute, as in 92; or with the note that is counted, as in 1/4=92 or 1/4.=60. {Entry(Cancel)} goes back a step.",
        ),
        Q::Title => ("Title of the passage", "It is printed over the tab."),
        Q::Length => (
            "Length",
            "As in half, dotted eighth or triplet eighths; or in short: 1/4, q., 1/8. with a dot, 1/8 3:2 in a triplet, 1/16 5:4 in five for four.",
        ),
        Q::Bend => (
            "Bend",
            "Whole steps, as in 1/4, 1/2, 1 or 1 1/2, or half and full; `1 r` with release, `pre 1` a pre-bend. Leave empty: no bend.",
        ),
        Q::Trill => ("Trill with which fret?", "The other fret of the trill. Leave empty: no trill."),
        Q::TouchedHarmonic | Q::TappedHarmonic => {
            ("Over which fret?", "Twelve above the note gives the octave. Leave empty: no harmonic.")
        }
        Q::Dip | Q::Dive => ("How far?", "Whole steps, as in 1/2, 1 or 1 1/2. Leave empty: none."),
        Q::Grace => {
            ("Grace notes before this one", "Their frets on this string, as in 5, or 5 7 for two. Leave empty: none.")
        }
        Q::Finger => ("Which finger frets it?", "1 to 4 from the index finger, T for the thumb. Leave empty: none."),
        Q::Chord => (
            "Chord name over this note or rest",
            "A chord symbol, as in Am7 or C/E; N.C. for no chord. Leave empty: no name.",
        ),
        Q::Words => ("Words over this note or rest", "As in \"let it breathe\". Leave empty: none."),
        Q::Meter => ("Time signature from this bar on", "As in 3/4; it holds up to the next bar that has another."),
        Q::Tempo => (
            "Tempo from this bar on",
            "Beats per minute, as in 92, or with the note that is counted, as in 1/4.=60; it holds up to the next bar that has another.",
        ),
        Q::Key => ("Key from this bar on", "As it sounds: A, F# minor, Bbm."),
        Q::Times => ("How many times is it played?", "2 is the usual repeat. 0 or empty: no repeat ends here."),
        Q::Endings => ("Endings this bar belongs to", "As in 1, or 1 2 for both. Leave empty: none."),
        Q::Semitones => (
            "Transpose by how many half steps?",
            "What is selected, or all that is shown: 2 up, -3 down, 12 an octave. Chord names move too.",
        ),
        Q::TabFile => (
            "Read text tab from a file",
            "The path of a plain text file. It fills the passage that is shown if nothing is written there, else a new one that this segment plays. Tab can be pasted into the passage pane too. The {Entry(Complete)} key completes a name.",
        ),
        Q::Tuning => (
            "Tuning and capo of the passage",
            "A tuning by name or notes, then a capo if there is one: drop D, capo 3, or D2 A2 D3 G3 A3 D4, no capo.",
        ),
        Q::PastedTab(_) => ("Title of the pasted passage", "It becomes a passage that this segment plays."),
    };
    EntryBox::new(question, title, advice, text)
}
