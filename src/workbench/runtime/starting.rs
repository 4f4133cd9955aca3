//! How the workbench starts: its options, the settings, the key file, and the lesson that is opened first. The loop
//! that follows is not here.

use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};
use std::time::Duration;

use anyhow::{Result, bail};
use ratatui::layout::Size;

use crate::store::demos::DEMOS;
use crate::store::fault::{shown, with_hint};
use crate::store::folders::Folders;
use crate::store::settings::Settings;
use crate::store::title_of_file::title_stated_in;
use crate::text::quote::written_out;
use crate::workbench::drawing::theme::Theme;
use crate::workbench::jobs::queue::Jobs;
use crate::workbench::keys::table::{KeyFileError, KeyTable};
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::message::Message;
use crate::workbench::messages::notice::Notice;
use crate::workbench::panes::start::pane::StartPane;
use crate::workbench::runtime::appearance_settings::{appearance, themes};
use crate::workbench::runtime::failing_disk;
use crate::workbench::runtime::session::Session;
use crate::workbench::state::State;
use crate::workbench::update::routing::update;

/// The options with which the workbench starts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunOptions {
    /// What is opened first.
    pub open: OpenFirst,
    /// The folders of the library and the settings; `None` where the system knows no home folder.
    pub folders: Option<Folders>,
}

/// What is opened first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OpenFirst {
    /// The start screen.
    Start,
    /// The lesson that was opened last, or the start screen if there is none.
    LastLesson,
    /// This lesson; the start fails if it cannot be opened.
    Lesson(PathBuf),
    /// A copy of a demo lesson.
    Demo(PathBuf),
}

/// What the workbench begins with.
pub struct Started {
    /// The state.
    pub state: State,
    /// The files, the first lesson opened.
    pub session: Session,
    /// How long the rest of a key is waited for after Esc.
    pub escape_wait: Duration,
}

/// Returns the state and the session to begin with, the first lesson opened.
///
/// Errors: the lesson asked for cannot be opened.
pub fn start(options: RunOptions, jobs: &mut Jobs<Message>) -> Result<Started> {
    let RunOptions { open, folders } = options;
    let folders = folders.map(failing_disk::on);
    let (settings, trouble) = folders.as_ref().map(Settings::load).unwrap_or_default();
    let (chosen, faded) = appearance(&settings, folders.as_ref());
    let (keys, unused_rows) = key_table(folders.as_ref());
    let mut state = State::new(Size::default(), chosen, keys, start_pane(&settings));
    state.chosen.neck = settings.neck;
    state.playback.settings = settings.listening.clone();
    state.chosen.themes = themes(folders.as_ref()).unwrap_or_else(|_| Theme::built_in());
    state.chosen.take_handout_choice(settings.handout_choice(), state.appearance.charset);
    let trouble = trouble.map(|error| {
        let text = format!("the settings cannot be read, so the usual ones hold: {}", with_hint(&error, error.hint()));
        Notice::trouble(text)
    });
    state.said.messages.extend(trouble.clone());
    state.said.messages.extend(faded.clone());
    let keyless = told_lost_keys(&state.keys, folders.as_ref());
    state.said.messages.extend(keyless.clone());
    state.said.messages.extend(unused_rows.clone());
    let trouble = trouble.or(unused_rows).or(keyless).or(faded);
    let mut session = Session::new(folders);
    open_first(&mut state, &mut session, jobs, &open, &settings)?;
    // Only recovered changes are more urgent; the key for messages shows both.
    if state.desk().is_none_or(|desk| desk.lesson.is_saved()) {
        state.said.notice = trouble.or_else(|| state.said.notice.take());
    }
    Ok(Started { state, session, escape_wait: settings.escape_wait() })
}

fn open_first(
    state: &mut State,
    session: &mut Session,
    jobs: &mut Jobs<Message>,
    first: &OpenFirst,
    settings: &Settings,
) -> Result<()> {
    let (path, must) = match first {
        OpenFirst::Start => return Ok(()),
        OpenFirst::LastLesson => (settings.last_lesson().map(PathBuf::from), false),
        OpenFirst::Lesson(path) | OpenFirst::Demo(path) => (Some(path.clone()), true),
    };
    let Some(path) = path else { return Ok(()) };
    for message in session.perform(FileEffect::Open(path), jobs) {
        match message {
            Message::Opened(Err(error)) if must => bail!(error),
            other => _ = update(state, other),
        }
    }
    if matches!(first, OpenFirst::Demo(_)) && state.said.notice.is_none() {
        state.said.say(Notice::done("demo copy: your own files are not touched"));
    }
    Ok(())
}

fn start_pane(settings: &Settings) -> StartPane {
    let name = |path: &PathBuf| path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let title = |path: &PathBuf| title_stated_in(path).unwrap_or_else(|| name(path));
    let recent = settings.recent.iter().map(|path| (title(path), path.clone())).collect();
    let demos = DEMOS.iter().map(|demo| [demo.name, demo.title, demo.about].map(str::to_owned)).collect();
    StartPane::new(recent, demos)
}

/// Returns the table with what can be used of the person's key file, and what there is to say of the rest. A key file keeps nobody
/// from their lessons.
fn key_table(folders: Option<&Folders>) -> (KeyTable, Option<Notice>) {
    let table = KeyTable::built_in();
    let Some(path) = folders.map(Folders::keys) else { return (table, None) };
    let text = match std::fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return (table, None),
        Err(error) => {
            let text = format!("the key file cannot be read, so the usual keys hold: {}: {error}", shown(&path));
            return (table, Some(Notice::trouble(text)));
        }
    };
    let (table, refused) = table.with_usable(&text);
    let told = told_refused_rows(&refused, &path);
    (table, told)
}

/// Says which rows of a key file are not used, and why; `None` where all are.
fn told_refused_rows(refused: &[KeyFileError], path: &Path) -> Option<Notice> {
    let why: Vec<String> = refused.iter().map(ToString::to_string).collect();
    let count = match why.len() {
        0 => return None,
        1 => "a row of the key file is not used, and the usual keys hold there".to_owned(),
        several => format!("{several} rows of the key file are not used, and the usual keys hold there"),
    };
    Some(Notice::trouble(format!("{count}: {}; the file is {}", why.join("; "), shown(path))))
}

/// Says which actions have lost their only key to the key file, where that is, and how they are reached meanwhile; `None` where none has.
fn told_lost_keys(keys: &KeyTable, folders: Option<&Folders>) -> Option<Notice> {
    let path = folders.map(Folders::keys)?;
    let lost: Vec<String> = keys
        .lost()
        .iter()
        .map(|lost| format!("{} ({}), which was `{}`", written_out(&lost.help), lost.action.name(), lost.key))
        .collect();
    let count = match lost.len() {
        0 => return None,
        1 => "an action has".to_owned(),
        several => format!("{several} actions have"),
    };
    let text = format!(
        "{count} no key left, because the key file gives it to another: {}; give each a key in {}; {{Program(SearchActions)}} finds it \
         meanwhile",
        lost.join("; "),
        path.display()
    );
    Some(Notice::trouble(keys.name_keys(&text)))
}

/// Checks that there is a terminal to draw on. Errors: there is none; the words say what to do instead.
pub(super) fn demand_terminal() -> Result<()> {
    if !io::stdin().is_terminal() || !io::stdout().is_terminal() {
        bail!(
            "the workbench needs a terminal to draw on; without one use `fingerpost check FILE`, \
             `fingerpost handout FILE` or `fingerpost chapters FILE`"
        );
    }
    if std::env::var_os("TERM").is_some_and(|term| term == "dumb") {
        bail!(
            "this terminal (TERM=dumb) cannot place text on the screen; use `fingerpost check FILE`, \
             `fingerpost handout FILE` or `fingerpost chapters FILE`"
        );
    }
    Ok(())
}
