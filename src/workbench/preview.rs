//! The handout as it will print, page by page, over everything else.

use super::action::PreviewAction;
use super::boxes::Verdict;
use crate::lesson::document::Lesson;
use crate::tab::handout::options::{HandoutOptions, Paper, TalkingPoints};
use crate::tab::handout::{Handout, Page, handout};
use crate::tab::style::Charset;

/// How many columns one step to the side is.
const SIDESTEP: usize = 8;

/// The handout that is looked at. Invariants: at least one page; the page shown is one of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PreviewBox {
    options: HandoutOptions,
    pages: Vec<Page>,
    page: usize,
    top: usize,
    left: usize,
}

impl PreviewBox {
    /// Returns the first page of the handout of `lesson`.
    pub fn new(lesson: &Lesson, options: HandoutOptions) -> Self {
        let Handout { pages } = handout(lesson, &options);
        Self { options, pages, page: 0, top: 0, left: 0 }
    }

    /// Lays the handout of `lesson` out anew, as it was asked for last; the page stays if there is one.
    pub fn lay_out(&mut self, lesson: &Lesson) {
        self.pages = handout(lesson, &self.options).pages;
        self.page = self.page.min(self.last());
        self.left = 0;
    }

    /// Returns what was asked for.
    pub const fn options(&self) -> &HandoutOptions {
        &self.options
    }

    /// Returns the number of the page, from 0, and how many there are.
    pub const fn place(&self) -> (usize, usize) {
        (self.page, self.pages.len())
    }

    /// Returns the lines of the page.
    pub fn lines(&self) -> &[String] {
        self.pages.get(self.page).map_or(&[], |page| &page.lines)
    }

    /// Returns how many lines the sheet has, with its lower edge.
    pub const fn sheet(&self) -> usize {
        self.options.paper.lines() + 1
    }

    /// Returns the first line in view where `room` lines are, from 0.
    pub fn top(&self, room: usize) -> usize {
        self.top.min(self.sheet().saturating_sub(room))
    }

    /// Returns the first column in view where `room` columns are, from 0.
    pub fn left(&self, room: usize) -> usize {
        self.left.min(self.options.width().saturating_sub(room))
    }

    /// Does what was asked, with `room` columns and lines for the page. What changes the options
    /// needs [`Self::lay_out`] after it.
    pub fn act(&mut self, action: PreviewAction, room: (usize, usize)) -> Verdict {
        let (columns, lines) = room;
        match action {
            PreviewAction::Up => self.up(1, lines),
            PreviewAction::Down => self.down(1, lines),
            PreviewAction::PageUp => self.up(lines, lines),
            PreviewAction::PageDown => self.down(lines, lines),
            PreviewAction::PreviousPage => self.go_to(self.page.saturating_sub(1)),
            PreviewAction::NextPage => self.go_to(self.page + 1),
            PreviewAction::FirstPage => self.go_to(0),
            PreviewAction::LastPage => self.go_to(self.last()),
            PreviewAction::ShiftLeft => self.left = self.left(columns).saturating_sub(SIDESTEP),
            PreviewAction::ShiftRight => self.left += SIDESTEP,
            PreviewAction::SwitchPaper => {
                self.options.paper = match self.options.paper {
                    Paper::A4 => Paper::Letter,
                    Paper::Letter => Paper::A4,
                };
            }
            PreviewAction::SwitchCharacters => {
                self.options.charset = match self.options.charset {
                    Charset::Utf8 => Charset::Ascii,
                    Charset::Ascii => Charset::Utf8,
                };
            }
            PreviewAction::SwitchPoints => {
                self.options.talking_points = match self.options.talking_points {
                    TalkingPoints::LeaveOut => TalkingPoints::Print,
                    TalkingPoints::Print => TalkingPoints::LeaveOut,
                };
            }
            PreviewAction::Write => return Verdict::Accept,
            PreviewAction::Close => return Verdict::Cancel,
        }
        self.left = self.left(columns);
        Verdict::Stay
    }

    fn last(&self) -> usize {
        self.pages.len().saturating_sub(1)
    }

    fn go_to(&mut self, page: usize) {
        if page != self.page && page <= self.last() {
            self.page = page;
            self.top = 0;
        }
    }

    /// Goes down; from the foot of a page to the head of the next.
    fn down(&mut self, lines: usize, room: usize) {
        let foot = self.sheet().saturating_sub(room);
        if self.top(room) < foot {
            self.top = (self.top(room) + lines).min(foot);
        } else {
            self.go_to(self.page + 1);
        }
    }

    /// Goes up; from the head of a page to the foot of the one before.
    fn up(&mut self, lines: usize, room: usize) {
        let top = self.top(room);
        if top > 0 {
            self.top = top.saturating_sub(lines);
        } else if self.page > 0 {
            self.page -= 1;
            self.top = self.sheet().saturating_sub(room);
        }
    }
}
