//! What becomes of what was typed or picked at the start: a lesson to open, or the title, template, instrument and tuning
//! of a new one, asked for step by step.

use crate::instrument::catalogue;
use crate::lesson::template::{Template, templates};
use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::start::{NewLesson, StartPick, StartQuestion};

/// Takes what was typed as the answer to a question. Errors: in words, what is missing.
pub fn answer(question: StartQuestion, text: &str) -> Result<PaneReply, String> {
    let text = text.trim();
    match question {
        StartQuestion::OpenPath if text.is_empty() => Err("type the path of a lesson".to_owned()),
        StartQuestion::OpenPath => Ok(PaneReply::want(FileEffect::Open(text.into()))),
        StartQuestion::LessonTitle if text.is_empty() => Err("a lesson needs a title".to_owned()),
        StartQuestion::LessonTitle => Ok(PaneReply::ask(Overlay::Choice(template_choice(text)))),
    }
}

/// Does what was picked: asks for what is still to be known of a new lesson, or has it made.
pub fn take(pick: StartPick) -> PaneReply {
    match pick {
        StartPick::Template(wanted) => PaneReply::ask(Overlay::Choice(instrument_choice(&wanted))),
        StartPick::Instrument(wanted) => PaneReply::ask(Overlay::Choice(tuning_choice(&wanted))),
        StartPick::Tuning(wanted) => PaneReply::want(FileEffect::New(wanted)),
    }
}

/// Returns a box that asks for the title.
pub(super) fn title_entry(title: &str) -> EntryBox {
    EntryBox::new(
        StartQuestion::LessonTitle,
        "Title of the new lesson",
        "Saved as <title>.lesson.ron in this folder.",
        title,
    )
}

/// Returns what was asked before `choice`, with what was answered; `None` where it is none of these questions.
pub fn step_before(choice: &ChoiceBox) -> Option<Overlay> {
    let again = |mut before: ChoiceBox, answered: &dyn Fn(&StartPick) -> bool| {
        let answered = |(_, pick): &(String, Pick)| matches!(pick, Pick::Start(pick) if answered(pick));
        before.selected = before.lines.iter().position(answered).unwrap_or(0);
        Some(Overlay::Choice(before))
    };
    match choice.pick() {
        Pick::Start(StartPick::Template(wanted)) => Some(Overlay::Entry(title_entry(&wanted.title))),
        Pick::Start(StartPick::Instrument(wanted)) => again(
            template_choice(&wanted.title),
            &|pick| matches!(pick, StartPick::Template(known) if known.template == wanted.template),
        ),
        Pick::Start(StartPick::Tuning(wanted)) => again(
            instrument_choice(&wanted),
            &|pick| matches!(pick, StartPick::Instrument(known) if known.instrument == wanted.instrument),
        ),
        Pick::Timeline(_)
        | Pick::Passage(_)
        | Pick::Library(_)
        | Pick::Program(_)
        | Pick::Sound(_)
        | Pick::TakeWritten
        | Pick::GiveUpWritten
        | Pick::Nothing => None,
    }
}

/// Returns a list that asks for the template of a lesson with this title.
fn template_choice(title: &str) -> ChoiceBox {
    let line = |template: &Template| {
        let wanted = NewLesson { title: title.to_owned(), template: template.name.clone(), ..NewLesson::default() };
        (format!("{}: {}", template.name, template.about), Pick::Start(StartPick::Template(wanted)))
    };
    ChoiceBox::new(
        "Template",
        "Everything in it can be changed. {Choice(Cancel)} goes back a step.",
        templates().iter().map(line).collect(),
    )
}

/// Returns a list that asks for the instrument.
fn instrument_choice(wanted: &NewLesson) -> ChoiceBox {
    let line = |known: &catalogue::KnownInstrument| {
        let instrument = known.instrument.name.clone();
        (instrument.clone(), Pick::Start(StartPick::Instrument(NewLesson { instrument, ..wanted.clone() })))
    };
    ChoiceBox::new(
        "Instrument",
        "{Choice(Cancel)} goes back a step.",
        catalogue::instruments().iter().map(line).collect(),
    )
}

/// Returns a list that asks for the tuning, the instrument's usual one first.
fn tuning_choice(wanted: &NewLesson) -> ChoiceBox {
    let known = catalogue::instrument_named(&wanted.instrument).unwrap_or_else(|_| catalogue::guitar());
    let standard = catalogue::standard_tuning(&known.instrument);
    let others = catalogue::own_tunings(&known.instrument);
    let others = others.into_iter().filter(|tuning| standard.is_none_or(|standard| standard.id != tuning.id));
    let line = |tuning: &catalogue::KnownTuning| {
        let notes = tuning.notes.to_string();
        let text = format!("{}   {notes}", tuning.name);
        (text, Pick::Start(StartPick::Tuning(NewLesson { tuning: notes, ..wanted.clone() })))
    };
    ChoiceBox::new(
        "Tuning",
        "A capo and other tunings can be added later. {Choice(Cancel)} goes back a step.",
        standard.into_iter().chain(others).map(line).collect(),
    )
}
