//! The lines of the start screen, and which is selected.

use std::path::PathBuf;

use crate::text::fit::fit_end;
use crate::text::width::width as columns;
use crate::workbench::boxes::jump::{Jump, Jumped};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::drawing::region::{Focused, Region};
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::drawing::unseen::{Counted, Unseen};
use crate::workbench::keys::action::StartAction;
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::start::new_lesson::title_entry;
use crate::workbench::questions::start::StartQuestion;

/// A line of the start screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StartLine {
    /// Open a lesson opened before.
    Recent {
        /// Its title.
        title: String,
        /// Where it is kept.
        path: PathBuf,
    },
    /// Make a new lesson.
    New,
    /// Open a lesson by its path.
    Open,
    /// Look through the library.
    Library,
    /// Open a copy of a demo lesson.
    Demo {
        /// The name the demo is known by.
        name: String,
        /// Its title.
        title: String,
        /// What it is about.
        about: String,
    },
}

/// The start screen's own state.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct StartPane {
    lines: Vec<StartLine>,
    selected: usize,
    scroll: Scroll,
    /// The letters typed to come to a line.
    jump: Jump,
}

/// Lines above the list.
const TOP: usize = 3;

impl StartPane {
    /// Returns a start screen with recent lessons first; a demo has its name, its title and what it is about.
    pub fn new(recent: Vec<(String, PathBuf)>, demos: Vec<[String; 3]>) -> Self {
        let recent = recent.into_iter().map(|(title, path)| StartLine::Recent { title, path });
        let demos = demos.into_iter().map(|[name, title, about]| StartLine::Demo { name, title, about });
        let lines = recent.chain([StartLine::New, StartLine::Open, StartLine::Library]).chain(demos).collect();
        Self { lines, ..Self::default() }
    }

    /// Puts a lesson at the head of the recent ones.
    pub fn remember(&mut self, title: &str, path: &std::path::Path) {
        self.lines.retain(|line| !matches!(line, StartLine::Recent { path: known, .. } if known == path));
        self.lines.insert(0, StartLine::Recent { title: title.to_owned(), path: path.to_owned() });
        self.selected = 0;
        self.jump.forget();
    }

    /// Returns whether letters are being typed that lead to a line.
    pub const fn is_searching(&self) -> bool {
        self.jump.is_typing()
    }

    /// Goes to the line that the letters typed so far begin; returns whether the character belongs to them.
    pub fn type_letter(&mut self, letter: char) -> bool {
        let lines: Vec<String> = self.lines.iter().map(|line| words(line).0).collect();
        match self.jump.add(letter, lines.iter().map(String::as_str)) {
            Jumped::To(line) => self.selected = line,
            Jumped::Stayed => {}
            Jumped::Nowhere => return false,
        }
        true
    }

    /// Selects the line at line `y` of the screen; returns whether there is one.
    pub fn select_line(&mut self, y: usize) -> bool {
        let place = y.checked_sub(TOP).map(|line| line + self.scroll.first());
        let found = place.filter(|place| *place < self.lines.len());
        self.selected = found.unwrap_or(self.selected);
        self.jump.forget();
        found.is_some()
    }

    /// Does what was asked; the help screen is not its own.
    pub fn act(&mut self, action: StartAction) -> PaneReply {
        self.jump.forget();
        match action {
            StartAction::Previous => self.selected = self.selected.saturating_sub(1),
            StartAction::Next => self.selected = (self.selected + 1).min(self.lines.len().saturating_sub(1)),
            StartAction::First => self.selected = 0,
            StartAction::Last => self.selected = self.lines.len().saturating_sub(1),
            StartAction::Accept => return self.accept(),
            StartAction::ShowHelp => {}
        }
        PaneReply::nothing()
    }

    fn accept(&self) -> PaneReply {
        match self.lines.get(self.selected) {
            Some(StartLine::Recent { path, .. }) => PaneReply::want(FileEffect::Open(path.clone())),
            Some(StartLine::Demo { name, .. }) => PaneReply::want(FileEffect::OpenDemo(name.clone())),
            Some(StartLine::New) => PaneReply::ask(Overlay::Entry(title_entry(""))),
            Some(StartLine::Open) => PaneReply::ask(Overlay::Entry(EntryBox::new(
                StartQuestion::OpenPath,
                "Open a lesson",
                "The path of a file that ends in .lesson.ron; {Entry(Complete)} completes a name.",
                "",
            ))),
            Some(StartLine::Library) => PaneReply::want(FileEffect::ReadLibrary),
            None => PaneReply::nothing(),
        }
    }

    /// Brings the selected line into view on a screen part of `height` lines.
    pub fn settle(&mut self, height: usize) {
        self.scroll.show(self.selected, self.lines.len(), height.saturating_sub(TOP));
    }
}

/// Draws the whole screen but for the hint and status lines.
pub fn draw(pane: &StartPane, region: &mut Region<'_>) {
    let height = region.height().saturating_sub(TOP);
    let unseen = Unseen::of(Counted::Lines, pane.scroll.first(), height, pane.lines.len());
    let about = "lessons on fretted instruments, from the first note to the handout";
    let unseen = region.heading_over(
        &pane.jump.beside("fingerpost"),
        &[about, "lessons on fretted instruments", ""],
        unseen,
        Focused::Yes,
    );
    let (glyphs, last) = (region.appearance().glyphs(), region.height().saturating_sub(1));
    let mut whole = None;
    for (line, (place, entry)) in pane.lines.iter().enumerate().skip(pane.scroll.first()).take(height).enumerate() {
        let selected = place == pane.selected;
        let region = &mut region.list_line(TOP + line, last, unseen);
        region.text(1, 0, if selected { glyphs.pointer } else { " " }, Role::Strong);
        let (title, more) = words(entry);
        let x = region.text(3, 0, &title, if selected { Role::Strong } else { Role::Plain });
        let (more, room) = (region.appearance().shown(&more).into_owned(), region.width().saturating_sub(x + 3));
        if selected && columns(&more) > room {
            whole = Some(more.clone());
        }
        let more = match entry {
            // The name of a file stands at the end of its path.
            StartLine::Recent { .. } => fit_end(&more, room, glyphs.more),
            StartLine::New | StartLine::Open | StartLine::Library | StartLine::Demo { .. } => more.as_str().into(),
        };
        region.text(x + 3, 0, &more, Role::Faint);
        if selected {
            region.paint(2, region.width(), 0, Role::Selected);
        }
    }
    // What the selected line had no room for stands under the list, where lines are free.
    let below = TOP + pane.lines.len() + 1;
    let lines = region.appearance().wrapped(&whole.unwrap_or_default(), region.width().saturating_sub(4));
    if below + lines.len() <= region.height() {
        for (line, text) in lines.iter().enumerate() {
            region.text(3, below + line, text, Role::Faint);
        }
    }
}

fn words(line: &StartLine) -> (String, String) {
    match line {
        StartLine::Recent { title, path } => {
            let title = if title.trim().is_empty() { "untitled lesson" } else { title };
            (title.to_owned(), path.display().to_string())
        }
        StartLine::New => ("New lesson".into(), "title, template, instrument and tuning".into()),
        StartLine::Open => ("Open a lesson".into(), "by its path".into()),
        StartLine::Library => ("Library".into(), "look through the voicings of all lessons".into()),
        StartLine::Demo { title, about, .. } => (format!("Demo: {title}"), about.clone()),
    }
}
