//! A list to read.

use crate::lesson::check::Finding;
use crate::lesson::id::SegmentId;
use crate::lesson::place::LessonPlace;
use crate::workbench::boxes::jump::{Jump, Jumped};
use crate::workbench::boxes::verdict::BoxVerdict;
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::drawing::unseen::{Amount, Counted, Unseen};
use crate::workbench::keys::action::ListAction;

/// A list to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListBox {
    /// What it is.
    pub title: String,
    /// What each line is.
    pub counted: Counted,
    /// The lines.
    pub lines: Vec<ListLine>,
    /// The selected line.
    pub selected: usize,
    /// How far it is scrolled, in lines of the screen.
    pub scroll: Scroll,
    /// The letters typed to come to a line.
    pub jump: Jump,
    /// How it lies on a screen of the size and the appearance that it was drawn with last: wrapping a thousand entries takes
    /// long. Whoever changes the lines takes this out.
    pub(in crate::workbench) measured: Option<((usize, usize), Appearance, ListMeasure)>,
}

/// A line of a list to read.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ListLine {
    /// The first column: a key, or how serious it is.
    pub head: String,
    /// The text.
    pub text: String,
    /// What comes under it, possibly nothing.
    pub below: String,
    /// The place it is about.
    pub place: Option<LessonPlace>,
    /// The segments that it is about as well.
    pub also: Vec<SegmentId>,
    /// What was found, where that can be mended from the list.
    pub mendable: Option<Finding>,
}

impl ListLine {
    /// Returns where it leads from a segment: from one that it is about to the next, else to the first place.
    pub fn leads_to(&self, here: Option<SegmentId>) -> Option<LessonPlace> {
        let first = if let Some(LessonPlace::Segment(id)) = self.place { Some(id) } else { None };
        let mut all = first.into_iter().chain(self.also.iter().copied());
        let here = here.filter(|_| !self.also.is_empty());
        here.and_then(|here| {
            all.find(|id| *id == here)?;
            all.next().map(LessonPlace::Segment)
        })
        .or(self.place)
    }
}

/// How a list lies on the screen: an entry can take several lines.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ListMeasure {
    /// How many lines each entry takes.
    pub tall: Vec<usize>,
    /// How many lines are in view.
    pub room: usize,
    /// How many columns it has inside, how many its first column, how many its text.
    pub columns: (usize, usize, usize),
}

impl ListBox {
    /// Returns a list at its beginning.
    pub fn new(title: impl Into<String>, counted: Counted, lines: Vec<ListLine>) -> Self {
        let (scroll, jump) = (Scroll::default(), Jump::default());
        Self { title: title.into(), counted, lines, selected: 0, scroll, jump, measured: None }
    }

    /// Goes to the line that the letters typed so far begin; returns whether the character belongs to them.
    pub fn type_letter(&mut self, letter: char) -> bool {
        let jumped = self.jump.add(letter, self.lines.iter().map(|line| line.text.as_str()));
        // The letters stand in the title, and may widen the box.
        let measured = self.measured.take();
        match jumped {
            Jumped::To(line) => self.selected = line,
            Jumped::Stayed => {}
            Jumped::Nowhere => return false,
        }
        if let Some((_, _, measure)) = measured {
            self.scroll = measure.showing(self.selected, self.scroll);
        }
        true
    }

    /// Does what was asked of a list that lies on the screen like this.
    pub fn act(&mut self, action: ListAction, measure: &ListMeasure) -> BoxVerdict {
        self.jump.forget();
        let last = self.lines.len().saturating_sub(1);
        let all: usize = measure.tall.iter().sum();
        let page = measure.room.max(1);
        match action {
            ListAction::Up => self.selected = self.selected.saturating_sub(1),
            ListAction::Down => self.selected = (self.selected + 1).min(last),
            // At the end there is no further screenful, so the selection goes to the last line.
            ListAction::PageDown if self.scroll.first() + page >= all => self.selected = last,
            ListAction::PageDown => {
                self.scroll.to(self.scroll.first() + page, all, page);
                self.selected = measure.entry_at(self.scroll.first()).min(last);
            }
            ListAction::PageUp if self.scroll.first() == 0 => self.selected = 0,
            ListAction::PageUp => {
                self.scroll.to(self.scroll.first().saturating_sub(page), all, page);
                self.selected = measure.entry_at(self.scroll.first()).min(last);
            }
            ListAction::First => self.selected = 0,
            ListAction::Last => self.selected = last,
            ListAction::GoThere => return BoxVerdict::Accept,
            // The desk mends; see `update`.
            ListAction::Mend => {}
            ListAction::Close => return BoxVerdict::Cancel,
        }
        self.scroll = measure.showing(self.selected, self.scroll);
        BoxVerdict::Stay
    }
}

impl ListMeasure {
    /// Returns the first entry that begins at `line` or below.
    fn entry_at(&self, line: usize) -> usize {
        let mut top = 0;
        for (place, tall) in self.tall.iter().enumerate() {
            if top >= line {
                return place;
            }
            top += tall;
        }
        self.tall.len().saturating_sub(1)
    }

    /// Returns how many entries are not in view, or not wholly, in a list of what is `counted`.
    pub(super) fn unseen(&self, scroll: Scroll, counted: Counted) -> Unseen {
        let (mut above, mut below, mut top) = (0, 0, 0);
        for tall in &self.tall {
            above += usize::from(top < scroll.first());
            below += usize::from(top >= scroll.first() && top + tall > scroll.first() + self.room);
            top += tall;
        }
        Unseen::beside(Amount::of(above, counted), Amount::of(below, counted))
    }

    /// Returns how far to scroll so that the whole of an entry is in view, or its beginning.
    pub fn showing(&self, entry: usize, mut scroll: Scroll) -> Scroll {
        let top: usize = self.tall.iter().take(entry).sum();
        let tall = self.tall.get(entry).copied().unwrap_or(1).max(1);
        let all = self.tall.iter().sum();
        scroll.show(top + tall - 1, all, self.room);
        scroll.show(top, all, self.room);
        scroll
    }
}
