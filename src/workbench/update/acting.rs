//! What an action comes to: it goes to the pane, the box or the part of the program that it belongs to.

use crate::store::open_lesson::Access;
use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::help::HelpBox;
use crate::workbench::boxes::list_view::measure;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::preview_view;
use crate::workbench::boxes::search::{Offer, OfferWay, SearchBox};
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::boxes::verdict::BoxVerdict;
use crate::workbench::editing::edited_lesson::ChangeError;
use crate::workbench::keys::action::changes::Changes;
use crate::workbench::keys::action::{
    Action, DeskAction, EntryAction, Focus, FretboardAction, ListAction, ProgramAction, StartAction,
};
use crate::workbench::keys::keystroke::Keystroke;
use crate::workbench::messages::effect::{FileEffect, TerminalEffect};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::question_words;
use crate::workbench::panes::start::new_lesson;
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::program::{AfterSave, Existing};
use crate::workbench::questions::question::Question;
use crate::workbench::state::{State, View};
use crate::workbench::update::box_answers;
use crate::workbench::update::colours;
use crate::workbench::update::draft;
use crate::workbench::update::handout;
use crate::workbench::update::help;
use crate::workbench::update::leaving;
use crate::workbench::update::sound_keys;
use crate::workbench::update::taking_over;
use crate::workbench::update::versions;

/// Does what was asked; `key` is what it was asked with, for digits. What would change a lesson that is open for
/// reading only is refused before a box opens, and what is declared to change nothing finds the lesson closed.
pub fn act(state: &mut State, action: Action, key: Option<Keystroke>) -> PaneReply {
    if let Some(refused) = refused(state, action) {
        return refused;
    }
    if let Some(desk) = state.desk_mut() {
        desk.expect(action.changes());
    }
    perform(state, action, key)
}

/// Returns what to say instead of doing what may not be done to the open lesson.
fn refused(state: &State, action: Action) -> Option<PaneReply> {
    match (action.changes(), state.desk()?.lesson.access()) {
        (Changes::Asks | Changes::Makes, Access::ReadOnly(why)) => {
            Some(PaneReply::say(Notice::trouble(ChangeError::ReadOnly(why.clone()).to_string())))
        }
        (Changes::Asks | Changes::Makes, Access::Full)
        | (Changes::Never | Changes::FingersOrLibrary | Changes::Depends, _) => None,
    }
}

fn perform(state: &mut State, action: Action, key: Option<Keystroke>) -> PaneReply {
    match action {
        Action::Program(action) => return act_on_program(state, action),
        Action::Start(StartAction::ShowHelp) | Action::Desk(DeskAction::ShowHelp) => {
            return PaneReply::ask(Overlay::Help(HelpBox::new(&state.keys, state.pane(), open_panes(state))));
        }
        Action::Sound(action) => return sound_keys::act(state, action),
        Action::Desk(DeskAction::ExportHandout) => return handout::write(state, Existing::Ask),
        Action::Desk(DeskAction::PreviewHandout) => return handout::preview(state),
        Action::Desk(DeskAction::GoToStart) => return leaving::leave(state, AfterSave::Close),
        Action::Start(action) => {
            return match state.view {
                View::Start => state.start.act(action),
                View::Desk(_) => PaneReply::nothing(),
            };
        }
        Action::Entry(_)
        | Action::Points(_)
        | Action::Choice(_)
        | Action::Marks(_)
        | Action::List(_)
        | Action::Preview(_)
        | Action::Search(_)
        | Action::Help(_) => return act_on_box(state, action),
        Action::Desk(_)
        | Action::Timeline(_)
        | Action::Passage(_)
        | Action::Fretboard(_)
        | Action::Neck(_)
        | Action::Readings(_)
        | Action::Library(_)
        | Action::Recording(_)
        | Action::Find(_) => {}
    }
    let Some(desk) = state.desk_mut() else { return PaneReply::note("no lesson is open") };
    match action {
        Action::Desk(action) => desk.act(action),
        Action::Timeline(action) => desk.timeline.act(&mut desk.lesson, action),
        Action::Passage(action) => desk.act_on_passage(action, key.and_then(Keystroke::digit)),
        Action::Fretboard(FretboardAction::TypeFret) => {
            if let Some(digit) = key.and_then(Keystroke::digit) {
                return desk.fretboard.type_digit(digit);
            }
            PaneReply::nothing()
        }
        Action::Fretboard(action) => desk.act_on_fretboard(action),
        Action::Neck(action) => desk.act_on_neck(action),
        Action::Readings(action) => desk.act_on_readings(action),
        Action::Library(action) => desk.act_on_library(action),
        Action::Recording(action) => desk.act_on_recording(action),
        Action::Find(action) => {
            desk.library.find(action);
            PaneReply::nothing()
        }
        Action::Program(_)
        | Action::Sound(_)
        | Action::Start(_)
        | Action::Entry(_)
        | Action::Points(_)
        | Action::Choice(_)
        | Action::Marks(_)
        | Action::List(_)
        | Action::Preview(_)
        | Action::Search(_)
        | Action::Help(_) => PaneReply::nothing(),
    }
}

/// Returns the panes that one could go to.
fn open_panes(state: &State) -> &'static [Focus] {
    if state.desk().is_some() { &Focus::ALL } else { &[] }
}

fn act_on_program(state: &mut State, action: ProgramAction) -> PaneReply {
    match action {
        ProgramAction::Quit => leaving::leave(state, AfterSave::Quit),
        ProgramAction::Suspend => {
            // A process that stops gives its device nothing more.
            state.playback.playing = None;
            // It may never be continued.
            draft::hand_over(state);
            // In many other programs this key undoes. Where there is no shell to go to, this is all that comes of it.
            let undoes = if state.desk().is_some() { "; {Desk(Undo)} undoes" } else { "" };
            let notice =
                Notice::note(format!("{{Program(Suspend)}} goes to the shell, and `fg` there comes back{undoes}"));
            PaneReply { notice: Some(notice), ..PaneReply::want(TerminalEffect::Suspend) }
        }
        ProgramAction::DecideVersions => versions::ask(state),
        ProgramAction::OpenForWriting => taking_over::ask(state),
        ProgramAction::Redraw => PaneReply::want(TerminalEffect::Redraw),
        // It is asked for where no box is; over one there is nothing to search for.
        ProgramAction::SearchActions if state.overlay.is_some() => PaneReply::nothing(),
        ProgramAction::SearchActions => {
            PaneReply::ask(Overlay::Search(SearchBox::new(&state.keys, state.pane(), open_panes(state))))
        }
        ProgramAction::ChooseColours => colours::offer(state),
        ProgramAction::ShowMessages if state.said.messages.is_empty() => {
            PaneReply::say(Notice::note("no messages yet"))
        }
        ProgramAction::ShowMessages => {
            // Read in full, it need not stay at the foot.
            state.said.notice = None;
            PaneReply::ask(Overlay::List(help::messages(&state.said.messages)))
        }
    }
}

fn act_on_box(state: &mut State, action: Action) -> PaneReply {
    if let (Some(Overlay::List(list)), Action::List(ListAction::Mend)) = (&state.overlay, action) {
        let list = list.clone();
        let Some(desk) = state.desk_mut() else { return PaneReply::nothing() };
        let reply = desk.mend_in(list);
        if desk.findings().is_empty() {
            state.overlay = None;
        }
        return reply;
    }
    if let (Some(Overlay::Entry(entry)), Action::Entry(EntryAction::Complete)) = (&state.overlay, action) {
        return match entry.question.sought() {
            Some(sought) => PaneReply::want(FileEffect::CompletePath(entry.line.text().to_owned(), sought)),
            None => PaneReply::say(Notice::note("nothing to complete: no file name is asked for here")),
        };
    }
    if let (Some(Overlay::Preview(_)), Action::Preview(action)) = (&state.overlay, action)
        && let Some(asked) = handout::ask_for_choice(state, action)
    {
        return asked;
    }
    let size = (usize::from(state.size.width), usize::from(state.size.height));
    let appearance = state.appearance;
    let verdict = match (&mut state.overlay, action) {
        (Some(Overlay::Entry(entry)), Action::Entry(action)) => entry.act(action),
        (Some(Overlay::Points(points)), Action::Points(action)) => points.act(action),
        (Some(Overlay::Choice(choice)), Action::Choice(action)) => choice.act(action),
        (Some(Overlay::Marks(marks)), Action::Marks(action)) => marks.act(action),
        (Some(Overlay::Preview(preview)), Action::Preview(action)) => {
            let verdict = preview.act(action, preview_view::room(size));
            if let View::Desk(desk) = &state.view
                && *preview.options() != state.chosen.handout
            {
                state.chosen.handout = preview.options().clone();
                return PaneReply { effect: handout::lay_out(preview, desk.lesson.shared()), ..PaneReply::nothing() };
            }
            verdict
        }
        (Some(Overlay::Search(search)), Action::Search(action)) => search.act(action),
        (Some(Overlay::Help(help)), Action::Help(action)) => help.act(action),
        (Some(Overlay::List(list)), Action::List(action)) => list.act(action, &measure(list, size, appearance)),
        // The keys of a box are struck in that box.
        (
            Some(
                Overlay::Entry(_)
                | Overlay::Points(_)
                | Overlay::Choice(_)
                | Overlay::Marks(_)
                | Overlay::Preview(_)
                | Overlay::Search(_)
                | Overlay::Help(_)
                | Overlay::List(_),
            )
            | None,
            _,
        ) => BoxVerdict::Stay,
    };
    match verdict {
        BoxVerdict::Stay => PaneReply::nothing(),
        BoxVerdict::Refuse(why) => PaneReply::say(Notice::trouble(why.to_string())),
        BoxVerdict::Cancel if state.overlay.as_ref().is_some_and(Overlay::holds_work) => {
            PaneReply::ask(Overlay::Choice(ask_to_give_up()))
        }
        BoxVerdict::Cancel => {
            state.overlay = match &state.overlay {
                Some(Overlay::Choice(choice)) => new_lesson::step_before(choice),
                Some(Overlay::Entry(EntryBox { question: Question::Passage(question), .. })) => {
                    question_words::step_before(question).map(Overlay::Entry)
                }
                Some(
                    Overlay::Entry(_)
                    | Overlay::Points(_)
                    | Overlay::Marks(_)
                    | Overlay::List(_)
                    | Overlay::Preview(_)
                    | Overlay::Search(_)
                    | Overlay::Help(_),
                )
                | None => None,
            };
            PaneReply::nothing()
        }
        BoxVerdict::Accept => match &state.overlay {
            Some(Overlay::Search(search)) => {
                let pointed = search.pointed().map(str::to_owned);
                do_what_is_offered(state, search.offer().cloned(), pointed)
            }
            Some(Overlay::Help(help)) => do_what_is_offered(state, help.offer().cloned(), None),
            Some(
                Overlay::Entry(_)
                | Overlay::Points(_)
                | Overlay::Choice(_)
                | Overlay::Marks(_)
                | Overlay::Preview(_)
                | Overlay::List(_),
            )
            | None => box_answers::accept(state),
        },
    }
}

/// Returns the question whether what was written in the box below is to be given up.
fn ask_to_give_up() -> ChoiceBox {
    let lines = [
        ("go on writing", Pick::Nothing),
        ("keep it and close", Pick::TakeWritten),
        ("delete it and close", Pick::GiveUpWritten),
    ];
    let lines = lines.into_iter().map(|(text, pick)| (text.to_owned(), pick)).collect();
    let advice = "{Choice(Cancel)} goes on writing. To close without it, choose \"delete it\": {Choice(Last)}, {Choice(Accept)}.";
    ChoiceBox::new("Delete what you have written?", advice, lines)
}

/// Does what the selected line of a search offers, in the pane it belongs to; where it cannot, the search stays open. Where no line is
/// left, what is `pointed` to is said.
fn do_what_is_offered(state: &mut State, offer: Option<Offer>, pointed: Option<String>) -> PaneReply {
    let Some(offer) = offer else {
        let other = || "nothing found: try another word, or erase some letters".to_owned();
        return PaneReply::note(pointed.unwrap_or_else(other));
    };
    match offer.way {
        OfferWay::Here => {}
        OfferWay::By(focus) => {
            if let Some(desk) = state.desk_mut() {
                desk.focus = focus;
            }
        }
        OfferWay::NotNow => {
            return PaneReply::note(format!("not from here: {}: {}", offer.place, offer.help));
        }
    }
    state.overlay = None;
    act(state, offer.action, None)
}
