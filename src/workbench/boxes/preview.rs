//! The handout as it will print, page by page, over everything else.

use crate::lesson::document::Lesson;
use crate::tab::handout::options::HandoutOptions;
use crate::tab::handout::{Handout, Page, handout};
use crate::workbench::boxes::verdict::BoxVerdict;
use crate::workbench::keys::action::PreviewAction;

/// How many columns one step to the side is.
const SIDESTEP: usize = 8;

/// The most bars that are laid out within the key that asks for it: some milliseconds. A longer handout is laid out
/// behind the keys.
const AT_ONCE: usize = 200;

/// The handout that is looked at. Invariants: at least one page; the page shown is one of them, unless it waits for
/// the pages.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PreviewBox {
    options: HandoutOptions,
    pages: Vec<Page>,
    state: Pages,
    page: usize,
    top: usize,
    left: usize,
}

/// Whether the pages are those that were asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Pages {
    There,
    Awaited,
}

impl PreviewBox {
    /// Returns a preview that begins on the first page; it needs [`Self::lay_out`] next.
    pub fn new(options: HandoutOptions) -> Self {
        Self { options, pages: vec![Page::default()], state: Pages::Awaited, page: 0, top: 0, left: 0 }
    }

    /// Lays the handout of `lesson` out anew, as it was asked for last; a long one is left to be laid out behind the
    /// keys and waits for [`Self::take`].
    pub fn lay_out(&mut self, lesson: &Lesson) {
        let bars: usize = lesson.passages.iter().map(|passage| passage.bars.len()).sum();
        if bars > AT_ONCE {
            self.state = Pages::Awaited;
            return;
        }
        let Handout { pages } = handout(lesson, &self.options);
        self.show(pages);
    }

    /// Takes the pages of a handout that was laid out with `options`, if they are those awaited.
    pub fn take(&mut self, options: &HandoutOptions, pages: Vec<Page>) {
        if self.state == Pages::Awaited && *options == self.options {
            self.show(pages);
        }
    }

    /// Shows other pages; the page stays if there is one.
    fn show(&mut self, pages: Vec<Page>) {
        self.pages = pages;
        self.state = Pages::There;
        self.page = self.page.min(self.last());
        self.left = 0;
    }

    /// Returns whether the pages are still to be laid out.
    pub fn is_awaited(&self) -> bool {
        self.state == Pages::Awaited
    }

    /// Returns what was asked for.
    pub const fn options(&self) -> &HandoutOptions {
        &self.options
    }

    /// Asks for other pages; it needs [`Self::lay_out`] next.
    pub fn ask_for(&mut self, options: HandoutOptions) {
        self.options = options;
    }

    /// Returns the number of the page, from 0, and how many there are.
    pub const fn place(&self) -> (usize, usize) {
        (self.page, self.pages.len())
    }

    /// Returns the lines of the page.
    pub fn lines(&self) -> &[String] {
        // Pages made for other paper would stand askew on this one.
        let page = self.pages.get(self.page).filter(|_| self.state == Pages::There);
        page.map_or(&[], |page| &page.lines)
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
    pub fn act(&mut self, action: PreviewAction, room: (usize, usize)) -> BoxVerdict {
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
            PreviewAction::SwitchPaper => self.options.paper = self.options.paper.other(),
            PreviewAction::SwitchCharacters => self.options.charset = self.options.charset.other(),
            PreviewAction::SwitchPoints => self.options.talking_points = self.options.talking_points.other(),
            PreviewAction::SwitchUnused => self.options.unused = self.options.unused.other(),
            PreviewAction::SwitchVideo => self.options.video = self.options.video.other(),
            // A box comes over it; see `update::handout`.
            PreviewAction::ChooseSegments | PreviewAction::ChooseWidth => {}
            PreviewAction::Write => return BoxVerdict::Accept,
            PreviewAction::Close => return BoxVerdict::Cancel,
        }
        self.left = self.left(columns);
        BoxVerdict::Stay
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
