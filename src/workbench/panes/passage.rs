//! The passage: the segment's music as tab.

use super::Scroll;
use crate::lesson::document::{BarRange, Lesson, PassageUse};
use crate::lesson::id::{PassageId, SegmentId};
use crate::lesson::music::Passage;
use crate::plan::order::places;
use crate::tab::passage::{render, render_bars, string_labels};
use crate::tab::style::{Charset, TabStyle};
use crate::workbench::action::PassageAction;
use crate::workbench::boxes::{EntryBox, Overlay, Subject};
use crate::workbench::edited_lesson::EditedLesson;
use crate::workbench::look::Role;
use crate::workbench::message::Notice;
use crate::workbench::pen::{Focused, Pen};
use crate::workbench::reply::Reply;

/// One line of the pane.
#[derive(Debug, Clone, PartialEq, Eq)]
enum TabLine {
    /// A line of tab.
    Music(String),
    /// A line of the legend, or empty.
    Note(String),
}

/// What the tab was made from, to know when to make it again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Source {
    passage: PassageId,
    segment: Option<SegmentId>,
    revision: u64,
    width: usize,
    charset: Charset,
}

/// The passage pane's own state.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PassagePane {
    /// Which of the segment's passages is shown, counted from 0.
    place: usize,
    segment: Option<SegmentId>,
    source: Option<Source>,
    title: String,
    lines: Vec<TabLine>,
    scroll: Scroll,
    height: usize,
}

impl PassagePane {
    /// Makes the tab again where something has changed, for a pane of this size.
    pub fn follow(
        &mut self,
        open: &EditedLesson,
        segment: Option<SegmentId>,
        (width, height): (usize, usize),
        charset: Charset,
    ) {
        if segment != self.segment {
            self.segment = segment;
            self.place = 0;
            self.scroll = Scroll::default();
        }
        self.height = height.saturating_sub(1);
        let lesson = open.lesson();
        let uses = uses(lesson, segment);
        self.place = self.place.min(uses.len().saturating_sub(1));
        let used = uses.get(self.place).copied();
        let shown = used.and_then(|used| lesson.passage(used.passage).map(|passage| (used, passage)));
        let Some((used, passage)) = shown else {
            *self = Self { segment, height: self.height, ..Self::default() };
            return;
        };
        let source = Source { passage: passage.id, segment, revision: open.revision(), width, charset };
        if self.source != Some(source) {
            self.title = title_of(lesson, passage, used.bars, (self.place, uses.len()));
            self.lines = lines_of(lesson, passage, used.bars, source);
            self.source = Some(source);
        }
        self.scroll.to(self.scroll.first(), self.lines.len(), self.height);
    }

    /// Returns the tab as text, for tests and for copying.
    pub fn text(&self) -> String {
        let lines = self.lines.iter().map(|line| match line {
            TabLine::Music(text) | TabLine::Note(text) => text.as_str(),
        });
        lines.collect::<Vec<&str>>().join("\n")
    }

    /// Does what was asked.
    pub fn act(&mut self, open: &EditedLesson, action: PassageAction) -> Reply {
        let (first, count, height) = (self.scroll.first(), self.lines.len(), self.height);
        let page = height.saturating_sub(1).max(1);
        match action {
            PassageAction::ScrollUp => self.scroll.to(first.saturating_sub(1), count, height),
            PassageAction::ScrollDown => self.scroll.to(first + 1, count, height),
            PassageAction::PageUp => self.scroll.to(first.saturating_sub(page), count, height),
            PassageAction::PageDown => self.scroll.to(first + page, count, height),
            PassageAction::ToStart => self.scroll.to(0, count, height),
            PassageAction::ToEnd => self.scroll.to(count, count, height),
            PassageAction::NextPassage => return self.go_to(open, self.place.checked_add(1)),
            PassageAction::PreviousPassage => return self.go_to(open, self.place.checked_sub(1)),
            PassageAction::ReadTab => return Reply::ask(Overlay::Entry(ask_file(""))),
        }
        Reply::nothing()
    }

    /// Shows the last passage of the segment, the one that was added last.
    pub const fn show_last(&mut self) {
        self.place = usize::MAX;
    }

    fn go_to(&mut self, open: &EditedLesson, place: Option<usize>) -> Reply {
        let count = uses(open.lesson(), self.segment).len();
        match place.filter(|place| *place < count) {
            Some(place) => {
                self.place = place;
                self.scroll = Scroll::default();
                Reply::nothing()
            }
            None => Reply::say(Notice::note("this segment plays no further passage; m in the timeline chooses them")),
        }
    }
}

/// Asks for a file of text tab.
pub fn ask_file(path: &str) -> EntryBox {
    EntryBox::new(
        Subject::TabFile,
        "Read text tab from a file",
        "The path of a plain text file; it becomes a passage that this segment plays. Tab can be pasted into the passage pane too. The Tab key completes a name.",
        path,
    )
}

fn uses(lesson: &Lesson, segment: Option<SegmentId>) -> &[PassageUse] {
    segment.and_then(|id| lesson.segment(id)).map_or(&[], |segment| &segment.passages)
}

fn title_of(lesson: &Lesson, passage: &Passage, bars: Option<BarRange>, (place, count): (usize, usize)) -> String {
    let mut facts = vec![passage.title.clone()];
    if count > 1 {
        facts.push(format!("{} of {count}", place + 1));
    }
    match bars {
        Some(bars) => facts.push(format!("bars {} to {} of {}", bars.first, bars.last, passage.bars.len())),
        None if passage.bars.len() == 1 => facts.push("1 bar".into()),
        None => facts.push(format!("{} bars", passage.bars.len())),
    }
    let piece = passage.piece.and_then(|id| lesson.piece(id));
    if let Some(key) = passage.key.or_else(|| piece.and_then(|piece| piece.key)) {
        facts.push(format!("sounds in {key}"));
    }
    facts.join("   ")
}

fn lines_of(lesson: &Lesson, passage: &Passage, bars: Option<BarRange>, source: Source) -> Vec<TabLine> {
    let labels = lesson.passage_setup(passage).map_or(Vec::new(), |setup| string_labels(&setup.tuning));
    let style = TabStyle { width: source.width, charset: source.charset };
    let text = match bars {
        Some(range) => render_bars(passage, places(passage.bars.len(), Some(range)), &labels, &style),
        None => render(passage, &labels, &style),
    };
    let mut lines = Vec::new();
    for system in text.systems {
        lines.extend(system.lines.into_iter().map(TabLine::Music));
        lines.push(TabLine::Note(String::new()));
    }
    for entry in text.legend {
        lines.push(TabLine::Note(format!("{:6} {}", entry.sign, entry.meaning)));
    }
    while matches!(lines.last(), Some(TabLine::Note(text)) if text.is_empty()) {
        lines.pop();
    }
    lines
}

/// Draws the whole pane.
pub fn draw(pane: &PassagePane, open: &EditedLesson, pen: &mut Pen<'_>, focused: Focused) {
    if pane.source.is_none() {
        pen.heading("Passage", "", focused);
        let (first, second) = if open.lesson().passages.is_empty() {
            ("This lesson has no passages yet.", "a reads text tab from a file; or paste the tab here.")
        } else {
            ("This segment plays no passage.", "a reads text tab from a file; m in the timeline chooses its music.")
        };
        pen.text(2, 2, first, Role::Plain);
        pen.text(2, 3, second, Role::Plain);
        return;
    }
    let (first, last) = (pane.scroll.first() + 1, (pane.scroll.first() + pane.height).min(pane.lines.len()));
    let all = pane.lines.len();
    let part = if all > pane.height { format!("   lines {first} to {last} of {all}") } else { String::new() };
    pen.heading("Passage", &format!("{}{part}", pane.title), focused);
    for (line, text) in pane.lines.iter().skip(pane.scroll.first()).take(pane.height).enumerate() {
        let (text, role) = match text {
            TabLine::Music(text) => (text, Role::Plain),
            TabLine::Note(text) => (text, Role::Faint),
        };
        pen.text(1, 1 + line, text, role);
    }
}

/// Draws the title of the passage on one line.
pub fn draw_line(pane: &PassagePane, pen: &mut Pen<'_>) {
    let text = if pane.source.is_none() { "no music in this segment" } else { &pane.title };
    pen.heading("Passage", text, Focused::No);
}
