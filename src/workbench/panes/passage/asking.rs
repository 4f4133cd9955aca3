//! What the passage asks: with what is there already in the line to type, or in lists to pick from.

use crate::lesson::harmony::suggestion::names_at;
use crate::lesson::music::{Feel, Note, Technique};
use crate::lesson::phrase::PhraseError;
use crate::lesson::phrase::bars::frame_at;
use crate::lesson::time::{Meter, Tempo};
use crate::theory::symbol::ChordSymbol;
use crate::workbench::boxes::choice::{Advice, ChoiceBox};
use crate::workbench::boxes::jump::{ON, ON_NOW};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::editing::rigs::describe;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::at_cursor::AtCursor;
use crate::workbench::panes::passage::playing;
use crate::workbench::panes::passage::question_words::entry;
use crate::workbench::panes::passage::written_next::WrittenNext;
use crate::workbench::questions::passage::{PassagePick, PassageQuestion};
use crate::workbench::questions::pick::Pick;

/// Asks a question about what is under the cursor.
pub(super) fn ask(here: &AtCursor<'_>, question: PassageQuestion) -> PaneReply {
    PaneReply::ask(Overlay::Entry(entry_now(here, question)))
}

/// Returns the box that asks a question about what is under the cursor, with what holds now.
pub(super) fn entry_now(here: &AtCursor<'_>, question: PassageQuestion) -> EntryBox {
    let text = now(here, &question);
    entry(question, text)
}

/// Asks for more about a technique, or says why not even the usual `sample` of it can be played here. Asked again, it is asked for all
/// the same, because the note that makes it right may come later.
pub(super) fn ask_technique(
    next: &mut WrittenNext,
    here: &AtCursor<'_>,
    question: PassageQuestion,
    sample: impl FnOnce(&Note) -> Technique,
) -> PaneReply {
    let note = match here.note() {
        Ok(note) => note,
        Err(error) => return PaneReply::say(error.into()),
    };
    let sample = sample(note);
    // What is there already of its family is changed, not added to.
    if note.techniques.iter().any(|known| known.row().family == sample.row().family) {
        return ask(here, question);
    }
    let edits = playing::toggle(here, sample).unwrap_or_default();
    let again = next.was_refused(&edits);
    let wrong = playing::newly_unplayable(here.passage, &edits);
    match wrong {
        Some(finding) if !again => {
            next.refuse(edits);
            PaneReply::say(Notice::trouble(playing::refusal(&finding.reason, next.asked)))
        }
        Some(_) => {
            next.insist();
            ask(here, question)
        }
        None => ask(here, question),
    }
}

/// Asks for words over the note or rest under the cursor.
pub(super) fn ask_words(here: &AtCursor<'_>) -> PaneReply {
    nothing_to_stand_over(here).unwrap_or_else(|| ask(here, PassageQuestion::Words))
}

/// Says that a name or words need a note or rest to stand over, where the cursor is behind the last one. In an empty bar they stand
/// over a rest that is written for them.
fn nothing_to_stand_over(here: &AtCursor<'_>) -> Option<PaneReply> {
    let slot = here.slot();
    let is_behind = here.event().is_none() && (slot.event > 0 || slot.bar >= here.passage.bars.len());
    is_behind.then(|| PaneReply::note("no note or rest here to write it over: write one first, or go back to the last"))
}

/// Asks for the chord name, with the readings of what sounds there to choose from; where none stands there, the line begins with what
/// is kept on the fretboard, if that is one of the readings, or else with the first of them.
pub(super) fn ask_chord(here: &AtCursor<'_>, kept: Option<&str>) -> PaneReply {
    if let Some(refused) = nothing_to_stand_over(here) {
        return refused;
    }
    let now = now(here, &PassageQuestion::Chord);
    let offers = names_at(here.passage, &here.rig(), here.lesson.header.chord_names, here.slot());
    // What is kept was said of what lies on the fretboard, which may be another chord.
    let kept = kept.filter(|kept| match offers.is_empty() {
        true => sounds_in(here, kept),
        false => offers.iter().any(|offer| offer == kept),
    });
    let usual = kept.or(offers.first().map(String::as_str)).unwrap_or_default().to_owned();
    let text = if now.is_empty() { usual } else { now };
    let mut asked = entry(PassageQuestion::Chord, text).offering(offers);
    if !asked.offers.is_empty() {
        let choose = "{Entry(OfferBefore)} and {Entry(NextOffer)} choose what sounds here:";
        asked.advice = format!("{} {choose}", asked.advice).into();
    }
    PaneReply::ask(Overlay::Entry(asked))
}

/// Returns whether all that is struck under the cursor is in the chord of that name; so it is where nothing is.
fn sounds_in(here: &AtCursor<'_>, name: &str) -> bool {
    let Ok(symbol) = name.parse::<ChordSymbol>() else { return false };
    let rig = here.rig();
    let tones = symbol.moved(here.lesson.header.chord_names.below_the_sound(&rig), None).pitch_classes();
    let notes = here.event().map_or(&[][..], |event| &event.notes).iter();
    let sounding = notes.filter_map(|note| rig.sounding(note.string, note.fret).ok());
    sounding.map(|note| note.pitch_class()).all(|class| tones.has(class.number()))
}

/// Returns what holds now, with which the answer begins.
fn now(here: &AtCursor<'_>, question: &PassageQuestion) -> String {
    let (passage, slot, event) = (here.passage, here.slot(), here.event());
    let bar = passage.bars.get(slot.bar);
    let frame = frame_at(passage, slot.bar);
    let note = here.note().ok();
    let above = |by: u8| note.map(|note| (note.fret.number() + by).to_string()).unwrap_or_default();
    let trilled = || {
        note.and_then(|note| {
            note.techniques.iter().find_map(|technique| match technique {
                Technique::Trill(fret) => Some(fret.to_string()),
                _ => None,
            })
        })
    };
    match question {
        PassageQuestion::NewTitle
        | PassageQuestion::Semitones
        | PassageQuestion::Finger
        | PassageQuestion::TabFile
        | PassageQuestion::PastedTab(_) => String::new(),
        PassageQuestion::Tuning => describe(&here.rig()),
        PassageQuestion::NewMeter { .. } => Meter::COMMON.to_string(),
        PassageQuestion::NewTempo { .. } => Tempo::USUAL.to_string(),
        PassageQuestion::Title => passage.title.clone(),
        PassageQuestion::Length => event.map_or(here.length, |event| event.length).to_string(),
        PassageQuestion::Bend | PassageQuestion::Dip | PassageQuestion::Dive => "1".to_owned(),
        PassageQuestion::TouchedHarmonic | PassageQuestion::TappedHarmonic => above(12),
        // A whole step is the usual trill.
        PassageQuestion::Trill => trilled().unwrap_or_else(|| above(2)),
        PassageQuestion::Grace => {
            let grace = event.map_or(&[][..], |event| &event.grace).iter();
            let here = grace.filter(|note| note.string == here.string());
            here.map(|note| note.fret.to_string()).collect::<Vec<_>>().join(" ")
        }
        PassageQuestion::Chord => event.and_then(|event| event.chord.clone()).unwrap_or_default(),
        PassageQuestion::Words => event.and_then(|event| event.text.clone()).unwrap_or_default(),
        PassageQuestion::Meter => frame.meter.to_string(),
        PassageQuestion::Tempo => frame.tempo.to_string(),
        PassageQuestion::Key => frame.key.map(|key| key.to_string()).unwrap_or_default(),
        PassageQuestion::Times => bar.and_then(|bar| bar.repeat_end).unwrap_or(2).to_string(),
        PassageQuestion::Endings => {
            let endings = bar.map(|bar| bar.endings.iter().map(ToString::to_string).collect::<Vec<_>>());
            endings.unwrap_or_default().join(" ")
        }
    }
}

/// Lists what a bar can begin and end with, and what belongs to the passage.
pub(super) fn choose_bar(here: &AtCursor<'_>) -> PaneReply {
    let (passage, at) = (here.passage, here.slot().bar);
    let Some(bar) = passage.bars.get(at) else { return PaneReply::say(PhraseError::NoBar.into()) };
    let frame = frame_at(passage, at);
    let now = |on: bool| if on { ON } else { "" };
    let feel = |name: &str, feel: Feel| {
        let on = if passage.feel == feel { ON_NOW } else { "" };
        format!("whole passage: {name}{on}")
    };
    let key = frame.key.map_or_else(|| "none".to_owned(), |key| key.to_string());
    let ends = bar.repeat_end.map(|times| format!(": {times} times")).unwrap_or_default();
    let lines = [
        (format!("time signature from here: {}...", frame.meter), PassagePick::Ask(PassageQuestion::Meter)),
        (format!("tempo from here: {}...", frame.tempo), PassagePick::Ask(PassageQuestion::Tempo)),
        (format!("key from here: {key}..."), PassagePick::Ask(PassageQuestion::Key)),
        (format!("repeat starts here{}", now(bar.repeat_start)), PassagePick::RepeatStart),
        (format!("repeat ends here{ends}..."), PassagePick::Ask(PassageQuestion::Times)),
        ("endings...".to_owned(), PassagePick::Ask(PassageQuestion::Endings)),
        (format!("pickup bar (short on purpose){}", now(bar.pickup)), PassagePick::Pickup),
        (feel("straight", Feel::Straight), PassagePick::Feel(Feel::Straight)),
        (feel("swung eighths", Feel::SwungEighths), PassagePick::Feel(Feel::SwungEighths)),
        (feel("swung sixteenths", Feel::SwungSixteenths), PassagePick::Feel(Feel::SwungSixteenths)),
        ("whole passage: change the title...".to_owned(), PassagePick::Ask(PassageQuestion::Title)),
        ("whole passage: delete".to_owned(), PassagePick::Delete),
    ];
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(
        format!("Bar {} and the whole passage", at + 1),
        Advice::NONE,
        lines.into_iter().map(|(text, pick)| (text, Pick::Passage(pick))).collect(),
    )))
}
