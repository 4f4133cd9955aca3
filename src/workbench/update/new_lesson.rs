//! What the start screen asks for, step by step: template, instrument and tuning of a new lesson, the
//! name of a file; and the library to be looked through.

use crate::instrument::catalogue;
use crate::lesson::template::{Template, templates};
use crate::workbench::boxes::overlay::{ChoiceBox, EntryBox, ListBox, ListLine, Overlay, Pick, Subject};
use crate::workbench::library::item::LibraryItem;
use crate::workbench::messages::effect::NewLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::state::State;
use crate::workbench::typing::lines::TypedLine;

/// Asks for the title.
pub fn title_entry(title: &str) -> EntryBox {
    EntryBox::new(
        Subject::NewLesson,
        "Title of the new lesson",
        "Its file gets a name made from the title, in the folder you are in.",
        title,
    )
}

/// Returns what was asked before `choice`, with what was answered; `None` where it is none of these questions.
pub fn step_before(choice: &ChoiceBox) -> Option<Overlay> {
    let again = |mut before: ChoiceBox, answered: &dyn Fn(&Pick) -> bool| {
        before.selected = before.lines.iter().position(|(_, pick)| answered(pick)).unwrap_or(0);
        Some(Overlay::Choice(before))
    };
    match choice.pick() {
        Pick::Template(wanted) => Some(Overlay::Entry(title_entry(&wanted.title))),
        Pick::Instrument(wanted) => again(
            template_choice(&wanted.title),
            &|pick| matches!(pick, Pick::Template(known) if known.template == wanted.template),
        ),
        Pick::NewLesson(wanted) => again(
            instrument_choice(&wanted),
            &|pick| matches!(pick, Pick::Instrument(known) if known.instrument == wanted.instrument),
        ),
        _ => None,
    }
}

/// Asks for the template of a lesson with this title.
pub fn template_choice(title: &str) -> ChoiceBox {
    let line = |template: &Template| {
        let wanted = NewLesson { title: title.to_owned(), template: template.name.clone(), ..NewLesson::default() };
        (format!("{}: {}", template.name, template.about), Pick::Template(wanted))
    };
    ChoiceBox {
        title: "What the lesson starts from".into(),
        advice: "Everything in it can be changed. Esc goes back a step.".into(),
        lines: templates().iter().map(line).collect(),
        selected: 0,
    }
}

/// Asks for the instrument.
pub fn instrument_choice(wanted: &NewLesson) -> ChoiceBox {
    let line = |known: &catalogue::KnownInstrument| {
        let instrument = known.instrument.name.clone();
        (instrument.clone(), Pick::Instrument(NewLesson { instrument, ..wanted.clone() }))
    };
    ChoiceBox {
        title: "The instrument it is played on".into(),
        advice: "Esc goes back a step.".into(),
        lines: catalogue::instruments().iter().map(line).collect(),
        selected: 0,
    }
}

/// Asks for the tuning, the instrument's usual one first.
pub fn tuning_choice(wanted: &NewLesson) -> ChoiceBox {
    let known = catalogue::instrument_named(&wanted.instrument).unwrap_or_else(|_| catalogue::guitar());
    let standard = catalogue::standard_tuning(&known.instrument);
    let others = catalogue::tunings_for(&known.instrument);
    let others = others.into_iter().filter(|tuning| standard.is_none_or(|standard| standard.id != tuning.id));
    let line = |tuning: &catalogue::KnownTuning| {
        let notes = tuning.notes.to_string();
        (format!("{}   {notes}", tuning.name), Pick::NewLesson(NewLesson { tuning: notes, ..wanted.clone() }))
    };
    ChoiceBox {
        title: "How it is tuned".into(),
        advice: "Capos and other tunings can be added as setups. Esc goes back a step.".into(),
        lines: standard.into_iter().chain(others).map(line).collect(),
        selected: 0,
    }
}

/// Takes a completed name of a file into the line where it is typed, unless that was changed since.
pub fn take_path(state: &mut State, typed: &str, completed: String, names: &[String]) -> Reply {
    const SHOWN: usize = 8;
    let Some(Overlay::Entry(entry)) = &mut state.overlay else { return Reply::nothing() };
    if entry.sought().is_none() || entry.line.text() != typed {
        return Reply::nothing();
    }
    entry.line = TypedLine::new(completed);
    entry.error = None;
    match names {
        [] => Reply::say(Notice::note("no file has a name that begins like this")),
        [_] => Reply::nothing(),
        several => {
            let shown = several.iter().take(SHOWN).cloned().collect::<Vec<String>>().join("  ");
            let more = several.len().saturating_sub(SHOWN);
            let more = if more > 0 { format!("  and {more} more") } else { String::new() };
            Reply::say(Notice::note(format!("{shown}{more}")))
        }
    }
}

/// Returns the library to be looked through.
pub fn library_list(items: &[LibraryItem]) -> ListBox {
    let line = |item: &LibraryItem| {
        let lessons: Vec<&str> = item.voicing.taught_in.iter().map(|taught| taught.lesson.as_str()).collect();
        let below = if lessons.is_empty() { String::new() } else { format!("taught in {}", lessons.join(", ")) };
        let tags =
            if item.voicing.tags.is_empty() { String::new() } else { format!("   {}", item.voicing.tags.join(", ")) };
        let text = format!("{}   {}{tags}", item.voicing.shape.compact(), item.setup);
        ListLine { head: item.name(), text, below, ..ListLine::default() }
    };
    let mut lines: Vec<ListLine> = items.iter().map(line).collect();
    if lines.is_empty() {
        let text = "No voicing is kept yet: in a lesson, v on the fretboard keeps one.".to_owned();
        lines.push(ListLine { text, ..ListLine::default() });
    }
    ListBox::new("The voicings of all lessons", lines)
}
