//! The library: the voicings of all lessons, found as one types.

use std::collections::HashSet;

use super::Scroll;
use crate::workbench::action::{FindAction, LibraryAction};
use crate::workbench::library_item::{FingerPlace, LibraryItem};
use crate::workbench::look::Role;
use crate::workbench::pen::{Focused, Pen};
use crate::workbench::typing::TypedLine;

/// Whether keys are typed into the search.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Finding {
    /// Keys ask for actions.
    #[default]
    No,
    /// Keys are typed.
    Yes,
}

/// The library's own state.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LibraryPane {
    /// First those kept on the disk, then those that only the open lesson has.
    items: Vec<LibraryItem>,
    kept: usize,
    /// All of the open lesson's, those kept on the disk too.
    lesson: Vec<LibraryItem>,
    /// Where the fingers are in those kept on the disk.
    places: HashSet<FingerPlace>,
    query: TypedLine,
    finding: Finding,
    /// The places of the items that answer to the query.
    found: Vec<usize>,
    selected: usize,
    scroll: Scroll,
    height: usize,
}

impl LibraryPane {
    /// Takes on the voicings that are kept on the disk.
    pub fn fill(&mut self, kept: Vec<LibraryItem>) {
        self.places = kept.iter().map(LibraryItem::place).collect();
        self.replace(kept);
    }

    /// Takes on the voicings of the open lesson; those that are kept on the disk are there already.
    pub fn follow(&mut self, lesson: Vec<LibraryItem>) {
        self.lesson = lesson;
        let kept = self.items.iter().take(self.kept).cloned().collect();
        self.replace(kept);
    }

    fn replace(&mut self, kept: Vec<LibraryItem>) {
        let selected = self.selected().cloned();
        self.kept = kept.len();
        let own = self.lesson.iter().filter(|item| !self.places.contains(&item.place()));
        self.items = kept.into_iter().chain(own.cloned()).collect();
        self.look();
        let same = |place: &&usize| self.items.get(**place) == selected.as_ref();
        let place = self.found.iter().find(same).and_then(|item| self.found.iter().position(|found| found == item));
        self.selected = place.unwrap_or(self.selected).min(self.found.len().saturating_sub(1));
    }

    /// Returns whether keys are typed into the search.
    pub const fn finding(&self) -> Finding {
        self.finding
    }

    /// Returns the selected voicing.
    pub fn selected(&self) -> Option<&LibraryItem> {
        self.found.get(self.selected).and_then(|place| self.items.get(*place))
    }

    /// Returns all voicings, first those kept on the disk.
    pub fn items(&self) -> &[LibraryItem] {
        &self.items
    }

    /// Returns whether these fingers are kept on the disk.
    pub fn keeps(&self, place: &FingerPlace) -> bool {
        self.places.contains(place)
    }

    /// Returns how many voicings are found.
    pub fn found_count(&self) -> usize {
        self.found.len()
    }

    /// Selects the voicing at a line of the pane.
    pub fn select_line(&mut self, y: usize) {
        let top = self.list_top();
        if let Some(line) = y.checked_sub(top).filter(|line| self.scroll.first() + line < self.found.len()) {
            self.selected = self.scroll.first() + line;
        }
    }

    /// Does what was asked; taking and inserting are for the desk.
    pub fn act(&mut self, action: LibraryAction) {
        let last = self.found.len().saturating_sub(1);
        let page = self.height.max(1);
        match action {
            LibraryAction::Previous => self.selected = self.selected.saturating_sub(1),
            LibraryAction::Next => self.selected = (self.selected + 1).min(last),
            LibraryAction::PageUp => self.selected = self.selected.saturating_sub(page),
            LibraryAction::PageDown => self.selected = (self.selected + page).min(last),
            LibraryAction::First => self.selected = 0,
            LibraryAction::Last => self.selected = last,
            LibraryAction::Find => self.finding = Finding::Yes,
            LibraryAction::ShowAll => self.show_all(),
            LibraryAction::Take | LibraryAction::Insert | LibraryAction::TakeOut => {}
        }
    }

    /// Does what was asked while typing.
    pub fn find(&mut self, action: FindAction) {
        match action {
            FindAction::Previous => self.act(LibraryAction::Previous),
            FindAction::Next => self.act(LibraryAction::Next),
            FindAction::Erase => {
                self.query.erase_before();
                self.look();
            }
            FindAction::Accept => self.finding = Finding::No,
            FindAction::Cancel => self.show_all(),
        }
    }

    /// Types a character into the search.
    pub fn type_letter(&mut self, letter: char) {
        self.query.insert(letter);
        self.selected = 0;
        self.look();
    }

    fn show_all(&mut self) {
        self.finding = Finding::No;
        self.query.erase_all();
        self.look();
    }

    fn look(&mut self) {
        let answers = |item: &LibraryItem| item.answers_to(self.query.text());
        self.found = self.items.iter().enumerate().filter(|(_, item)| answers(item)).map(|(place, _)| place).collect();
        self.selected = self.selected.min(self.found.len().saturating_sub(1));
    }

    fn list_top(&self) -> usize {
        if self.is_searched() { 2 } else { 1 }
    }

    fn is_searched(&self) -> bool {
        self.finding == Finding::Yes || !self.query.text().is_empty()
    }

    /// Brings the selected voicing into view in a pane of `height` lines.
    pub fn settle(&mut self, height: usize) {
        self.height = height.saturating_sub(self.list_top());
        self.scroll.show(self.selected, self.found.len(), self.height);
    }
}

/// Draws the whole pane.
pub fn draw(pane: &LibraryPane, pen: &mut Pen<'_>, focused: Focused) {
    let note = match (pane.items.len(), pane.kept) {
        (all, _) if pane.is_searched() => format!("{} of {all}", pane.found.len()),
        (all, 0) => all.to_string(),
        (all, kept) => format!("{all}, {kept} kept"),
    };
    pen.heading("Library", &note, focused);
    if pane.is_searched() {
        draw_query(pane, pen);
    }
    if pane.items.is_empty() {
        pen.text(1, 1, "No voicings yet: v on the", Role::Plain);
        pen.text(1, 2, "fretboard saves one here.", Role::Plain);
        return;
    }
    if pane.found.is_empty() {
        pen.text(1, pane.list_top(), "Nothing answers to that.", Role::Plain);
        return;
    }
    let glyphs = pen.look().glyphs();
    let width = pen.width();
    let name_room = (width / 3).clamp(6, 14);
    let visible = || pane.found.iter().enumerate().skip(pane.scroll.first()).take(pane.height);
    let shapes = visible().filter_map(|(_, place)| pane.items.get(*place));
    let shape_room = shapes.map(|item| item.voicing.shape.to_string().len()).max().unwrap_or(0);
    for (line, (place, number)) in visible().enumerate() {
        let Some(item) = pane.items.get(*number) else { continue };
        let y = pane.list_top() + line;
        let selected = place == pane.selected;
        pen.text(0, y, if selected { glyphs.pointer } else { " " }, Role::Strong);
        let role = if selected { Role::Strong } else { Role::Plain };
        // The rest are in this lesson only.
        pen.text(1, y, if *number < pane.kept { glyphs.kept } else { " " }, Role::Good);
        pen.cut(2, y, name_room, &item.name(), role);
        let x = 3 + name_room;
        pen.text(x, y, &item.voicing.shape.to_string(), role);
        pen.text(x + shape_room + 2, y, &about(item), Role::Plain);
        if selected {
            pen.paint(1, width, y, focused.selection());
        }
    }
}

/// Draws the number of voicings on one line.
pub fn draw_line(pane: &LibraryPane, pen: &mut Pen<'_>) {
    let selected = pane.selected().map_or(String::new(), |item| format!("   {}  {}", item.name(), item.voicing.shape));
    let count = match pane.items.len() {
        1 => "1 voicing".to_owned(),
        count => format!("{count} voicings"),
    };
    pen.heading("Library", &format!("{count}{selected}"), Focused::No);
}

fn draw_query(pane: &LibraryPane, pen: &mut Pen<'_>) {
    let x = pen.text(1, 1, "find ", Role::Faint);
    let (before, after) = pane.query.halves();
    let x = pen.text(x, 1, before, Role::Strong);
    let x = pen.text(x, 1, after, Role::Strong);
    if pane.finding == Finding::Yes {
        pen.text(x, 1, "_", Role::Cursor);
    }
}

/// Returns where a voicing belongs: its setup, its tags, its lessons.
fn about(item: &LibraryItem) -> String {
    let lessons = item.voicing.taught_in.iter().map(|taught| taught.lesson.clone());
    let facts: Vec<String> =
        std::iter::once(item.setup.clone()).chain(item.voicing.tags.iter().cloned()).chain(lessons).collect();
    facts.join("  ")
}
