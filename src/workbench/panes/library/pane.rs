//! The library: the voicings of all lessons, found as one types.

use std::sync::Arc;

use crate::store::library::{LibraryVoicing, TaughtIn};
use crate::text::charset::Charset;
use crate::text::width::width as columns;
use crate::workbench::boxes::typed_view::{Typing, draw_typed};
use crate::workbench::drawing::region::{Focused, Region};
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::drawing::unseen::{Counted, Unseen};
use crate::workbench::keys::action::{FindAction, LibraryAction, Pane};
use crate::workbench::keys::table::KeyTable;
use crate::workbench::library::item::{LibraryItem, Query};
use crate::workbench::library::shelf::Shelf;
use crate::workbench::library::shelved::Shelved;
use crate::workbench::panes::library::grids::Grids;
use crate::workbench::typing::lines::{NoRoom, TypedLine};

/// Whether keys are typed into the search.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SearchTyping {
    /// Keys ask for actions.
    #[default]
    No,
    /// Keys are typed.
    Yes,
}

/// How the voicings are laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Arrangement {
    /// One a line.
    #[default]
    List,
    /// They are shown as chord grids.
    Grids,
}

/// In which order the voicings stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LibraryOrdering {
    /// As they were saved.
    #[default]
    AsSaved,
    /// Those of one open shape together.
    ByOpenShape,
}

/// How the voicings are laid out, and in which order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct LibraryView {
    arrangement: Arrangement,
    ordering: LibraryOrdering,
}

/// The library's own state.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LibraryPane {
    /// First those kept on the disk, then those that only the open lesson has.
    items: Vec<Arc<LibraryItem>>,
    /// What was saved last, which is to be selected as soon as it is in the list.
    sought: Option<LibraryVoicing>,
    /// Those kept on the disk.
    shelf: Shelf,
    /// All of the open lesson's, those kept on the disk too.
    lesson: Vec<Arc<LibraryItem>>,
    query: TypedLine,
    finding: SearchTyping,
    /// The places of the items that answer to the query.
    found: Vec<usize>,
    selected: usize,
    scroll: Scroll,
    height: usize,
    view: LibraryView,
    /// How the grids lie in the pane.
    grids: Grids,
    /// What the key that is struck now does to the library.
    shelved: Option<Shelved>,
    /// What is said where there is no voicing.
    empty: String,
}

impl LibraryPane {
    /// Takes on what is said where there is no voicing, with the key of the person that saves one, as it is struck at `here`.
    pub fn name_keys(&mut self, keys: &KeyTable, here: Pane) {
        self.empty.clear();
        if self.items.is_empty() {
            self.empty =
                keys.name_keys_at(here, "No voicings yet: {Fretboard(SaveVoicing)} saves the shape on the fretboard.");
        }
    }

    /// Takes on the voicings that are kept on the disk.
    pub fn fill(&mut self, shelf: Shelf) {
        // Whoever has not gone anywhere yet stays at the head of the list.
        let gone = self.selected > 0 || self.kept_count() > 0;
        let selected = self.selected_item().filter(|_| gone).cloned();
        self.items = shelf.items().to_vec();
        self.shelf = shelf;
        self.add_own(selected.as_deref());
    }

    /// Takes on the voicings of the open lesson; those that are kept on the disk are there already.
    pub fn follow(&mut self, lesson: Vec<Arc<LibraryItem>>) {
        self.lesson = lesson;
        let selected = self.selected_item().cloned();
        self.items.truncate(self.kept_count());
        self.add_own(selected.as_deref());
    }

    /// Adds what only the open lesson has, and goes back to the voicing that was selected.
    fn add_own(&mut self, selected: Option<&LibraryItem>) {
        let own = self.lesson.iter().filter(|item| !self.shelf.keeps(&item.voicing));
        self.items.extend(own.cloned());
        self.find_what_answers();
        let same = |place: &&usize| self.items.get(**place).map(Arc::as_ref) == selected;
        let place = self.found.iter().find(same).and_then(|item| self.found.iter().position(|found| found == item));
        let is_sought =
            |item: &LibraryItem| self.sought.as_ref().is_some_and(|sought| item.voicing.is_same_place(sought));
        let sought = self.found.iter().position(|place| self.items.get(*place).is_some_and(|item| is_sought(item)));
        self.selected = sought.or(place).unwrap_or(self.selected).min(self.found.len().saturating_sub(1));
    }

    /// Selects a voicing that was just saved, as soon as it is in the list.
    pub fn seek(&mut self, saved: LibraryVoicing) {
        self.sought = Some(saved);
    }

    /// Returns how many voicings are kept on the disk.
    fn kept_count(&self) -> usize {
        self.shelf.items().len()
    }

    /// Returns whether keys are typed into the search.
    pub const fn finding(&self) -> SearchTyping {
        self.finding
    }

    /// Returns the selected voicing.
    pub fn selected(&self) -> Option<&LibraryItem> {
        self.selected_item().map(Arc::as_ref)
    }

    fn selected_item(&self) -> Option<&Arc<LibraryItem>> {
        self.found.get(self.selected).and_then(|place| self.items.get(*place))
    }

    /// Returns all voicings, first those kept on the disk.
    pub fn items(&self) -> impl Iterator<Item = &LibraryItem> {
        self.items.iter().map(Arc::as_ref)
    }

    /// Returns whether these fingers are kept on the disk.
    pub fn keeps(&self, voicing: &LibraryVoicing) -> bool {
        self.shelf.keeps(voicing)
    }

    /// Returns how many voicings are found.
    pub fn found_count(&self) -> usize {
        self.found.len()
    }

    /// Returns how the voicings are laid out.
    pub const fn arrangement(&self) -> Arrangement {
        self.view.arrangement
    }

    /// Returns the voicings kept on the disk, in their order.
    pub fn kept(&self) -> impl Iterator<Item = &LibraryVoicing> {
        self.items.iter().take(self.kept_count()).map(|item| &item.voicing)
    }

    /// Returns the place of the selected voicing among those kept on the disk, if it is one.
    pub fn selected_kept(&self) -> Option<usize> {
        self.found.get(self.selected).copied().filter(|place| *place < self.kept_count())
    }

    /// Returns whether the open lesson has these fingers.
    pub fn is_in_lesson(&self, voicing: &LibraryVoicing) -> bool {
        self.lesson.iter().any(|own| own.voicing.is_same_place(voicing))
    }

    /// Notes what the key that is struck now does to the library.
    pub fn shelve(&mut self, shelved: Shelved) {
        self.shelved = Some(shelved);
    }

    /// Takes out what the last key did to the library.
    pub const fn take_shelved(&mut self) -> Option<Shelved> {
        self.shelved.take()
    }

    /// Selects the voicing at a column and a line of the pane.
    pub fn select_at(&mut self, (x, y): (usize, usize)) {
        self.sought = None;
        let Some(line) = y.checked_sub(self.list_top()) else { return };
        let place = match self.view.arrangement {
            Arrangement::List => Some(self.scroll.first() + line),
            Arrangement::Grids => self.grids.at((x, line), |place| self.item_at(place)),
        };
        if let Some(place) = place.filter(|place| *place < self.found.len()) {
            self.selected = place;
        }
    }

    /// Returns the voicing at a place among those found.
    fn item_at(&self, place: usize) -> Option<&LibraryItem> {
        self.found.get(place).and_then(|number| self.items.get(*number)).map(Arc::as_ref)
    }

    /// Does what was asked; taking and inserting are for the desk.
    pub fn act(&mut self, action: LibraryAction) {
        self.sought = None;
        let last = self.found.len().saturating_sub(1);
        let (line, page) = match self.view.arrangement {
            Arrangement::List => (1, self.height.max(1)),
            Arrangement::Grids => (self.grids.across(), self.grids.across() * self.grids.rows_in(self.height)),
        };
        match action {
            LibraryAction::Previous => self.selected = self.selected.checked_sub(line).unwrap_or(self.selected),
            LibraryAction::Next if self.selected + line <= last => self.selected += line,
            // The row below may be shorter than this one.
            LibraryAction::Next if self.selected / line < last / line => self.selected = last,
            LibraryAction::Next => {}
            LibraryAction::Left => self.selected = self.selected.saturating_sub(1),
            LibraryAction::Right => self.selected = (self.selected + 1).min(last),
            LibraryAction::ToggleGrids => {
                self.view.arrangement = match self.view.arrangement {
                    Arrangement::List => Arrangement::Grids,
                    Arrangement::Grids => Arrangement::List,
                };
            }
            LibraryAction::PageUp => self.selected = self.selected.saturating_sub(page),
            LibraryAction::PageDown => self.selected = (self.selected + page).min(last),
            LibraryAction::First => self.selected = 0,
            LibraryAction::Last => self.selected = last,
            LibraryAction::Find => self.finding = SearchTyping::Yes,
            LibraryAction::ShowAll => self.show_all(),
            LibraryAction::Take
            | LibraryAction::CarryOver
            | LibraryAction::Insert
            | LibraryAction::InsertAsChord
            | LibraryAction::TakeOut
            | LibraryAction::EditTags
            | LibraryAction::JoinDuplicates
            | LibraryAction::SortByShape
            | LibraryAction::ShowAbout => {}
        }
    }

    /// Sorts by open shape, or stands the voicings as they were saved again; the selected one stays. Returns what to say.
    pub fn sort_by_shape(&mut self) -> &'static str {
        let selected = self.found.get(self.selected).copied();
        let said = match self.view.ordering {
            LibraryOrdering::AsSaved => {
                self.view.ordering = LibraryOrdering::ByOpenShape;
                "sorted by the open shape that each comes from; those that come from none are last"
            }
            LibraryOrdering::ByOpenShape => {
                self.view.ordering = LibraryOrdering::AsSaved;
                "in the order in which they were saved"
            }
        };
        self.find_what_answers();
        let place = self.found.iter().position(|place| Some(*place) == selected);
        self.selected = place.unwrap_or(self.selected);
        said
    }

    /// Does what was asked while typing.
    pub fn find(&mut self, action: FindAction) {
        match action {
            FindAction::Previous => self.act(LibraryAction::Previous),
            FindAction::Next => self.act(LibraryAction::Next),
            FindAction::Erase => {
                self.query.erase_before();
                self.find_what_answers();
            }
            FindAction::Accept => self.finding = SearchTyping::No,
            FindAction::Cancel => self.show_all(),
        }
    }

    /// Types a text into the search in one go. Errors: there is no room for all of it, and nothing of it was taken.
    pub fn type_all(&mut self, text: &str) -> Result<(), NoRoom> {
        self.query.insert_all(text)?;
        self.selected = 0;
        self.find_what_answers();
        Ok(())
    }

    fn show_all(&mut self) {
        self.finding = SearchTyping::No;
        self.query.erase_all();
        self.find_what_answers();
    }

    fn find_what_answers(&mut self) {
        let query = Query::of(self.query.text());
        let answers = |item: &LibraryItem| item.answers_to(&query);
        self.found = self.items.iter().enumerate().filter(|(_, item)| answers(item)).map(|(place, _)| place).collect();
        match self.view.ordering {
            LibraryOrdering::AsSaved => {}
            LibraryOrdering::ByOpenShape => {
                let items = &self.items;
                self.found.sort_by_cached_key(|place| items.get(*place).map(|item| item.by_open_shape()));
            }
        }
        self.selected = self.selected.min(self.found.len().saturating_sub(1));
    }

    /// Returns the line of the pane where the list begins.
    pub fn list_top(&self) -> usize {
        if self.is_searched() { 2 } else { 1 }
    }

    fn is_searched(&self) -> bool {
        self.finding == SearchTyping::Yes || !self.query.text().is_empty()
    }

    /// Brings the selected voicing into view in a pane of so many columns and lines.
    pub fn settle(&mut self, (width, height): (usize, usize), charset: Charset) {
        self.height = height.saturating_sub(self.list_top());
        if self.view.arrangement == Arrangement::Grids {
            let mut grids = self.grids;
            grids.fit(width, charset, self.items.iter().map(|item| item.voicing.shape.strings().len()));
            grids.show(self.selected, self.height, |place| self.item_at(place));
            self.grids = grids;
        }
        self.scroll.show(self.selected, self.found.len(), self.height);
    }
}

impl LibraryPane {
    /// Returns what of the voicings found is not in view.
    fn unseen(&self) -> Unseen {
        match self.view.arrangement {
            Arrangement::List => Unseen::of(Counted::Voicings, self.scroll.first(), self.height, self.found.len()),
            Arrangement::Grids => self.grids.unseen(self.height, self.found.len(), |place| self.item_at(place)),
        }
    }
}

/// Draws the whole pane.
pub fn draw(pane: &LibraryPane, region: &mut Region<'_>, focused: Focused) {
    let note = match (pane.items.len(), pane.kept_count()) {
        (all, _) if pane.is_searched() => format!("{} of {all}", pane.found.len()),
        (all, 0) => all.to_string(),
        (all, kept) if all == kept => format!("{all} in the library"),
        (all, kept) => format!("{all}, {kept} in the library"),
    };
    let unseen = pane.unseen();
    let unseen = region.heading_over("Voicings", &[&note, &pane.items.len().to_string(), ""], unseen, focused);
    if pane.is_searched() {
        draw_query(pane, region);
    }
    if pane.items.is_empty() {
        let lines = region.appearance().wrapped(&pane.empty, region.width().saturating_sub(2));
        for (line, text) in lines.iter().enumerate() {
            region.text(1, 1 + line, text, Role::Plain);
        }
        return;
    }
    if pane.found.is_empty() {
        region.text(1, pane.list_top(), "Nothing found.", Role::Plain);
        return;
    }
    match pane.view.arrangement {
        Arrangement::List => draw_list(pane, unseen, region, focused),
        Arrangement::Grids => draw_grids(pane, unseen, region, focused),
    }
}

fn draw_grids(pane: &LibraryPane, unseen: Unseen, region: &mut Region<'_>, focused: Focused) {
    let glyphs = region.appearance().glyphs();
    let last = region.height().saturating_sub(1);
    for drawn in pane.grids.in_view(pane.height, |place| pane.item_at(place)) {
        let (x, y) = (drawn.x, pane.list_top() + drawn.y);
        let kept = pane.found.get(drawn.place).is_some_and(|number| *number < pane.kept_count());
        let selected = drawn.place == pane.selected;
        for (line, text) in drawn.lines.iter().enumerate() {
            let role = if line == 0 { Role::Strong } else { Role::Plain };
            region.list_line(y + line, last, unseen).cut(x + 2, 0, pane.grids.cell(), text, role);
        }
        region.text(x, y, if selected { glyphs.pointer } else { " " }, Role::Strong);
        region.text(x + 1, y, if kept { glyphs.kept } else { " " }, Role::Good);
        if selected {
            region.paint(x + 1, x + 2 + pane.grids.cell(), y, focused.selection());
        }
    }
}

fn draw_list(pane: &LibraryPane, unseen: Unseen, region: &mut Region<'_>, focused: Focused) {
    let glyphs = region.appearance().glyphs();
    let (width, last) = (region.width(), region.height().saturating_sub(1));
    let visible = || pane.found.iter().enumerate().skip(pane.scroll.first()).take(pane.height);
    // What short names leave free belongs to what is said behind the shape.
    let names = visible().filter_map(|(_, place)| pane.items.get(*place)).map(|item| columns(&item.name()));
    let name_room = names.max().unwrap_or(0).clamp(2, (width / 3).clamp(6, 14));
    let shapes = visible().filter_map(|(_, place)| pane.items.get(*place));
    let mut whole = String::new();
    let shape_room = shapes.map(|item| item.voicing.shape.to_string().len()).max().unwrap_or(0);
    for (line, (place, number)) in visible().enumerate() {
        let Some(item) = pane.items.get(*number) else { continue };
        let selected = place == pane.selected;
        let region = &mut region.list_line(pane.list_top() + line, last, unseen);
        region.text(0, 0, if selected { glyphs.pointer } else { " " }, Role::Strong);
        let role = if selected { Role::Strong } else { Role::Plain };
        // The rest are in this lesson only.
        region.text(1, 0, if *number < pane.kept_count() { glyphs.kept } else { " " }, Role::Good);
        region.cut(2, 0, name_room, &item.name(), role);
        let x = 3 + name_room;
        region.text(x, 0, &item.voicing.shape.to_string(), role);
        // Of what is in this lesson only, this lesson need not be told.
        let lessons = if *number < pane.kept_count() { item.voicing.taught_in.as_slice() } else { &[] };
        let (x, about) = (x + shape_room + 2, about(item, lessons));
        region.text(x, 0, &about, Role::Plain);
        if selected {
            region.paint(1, width, 0, focused.selection());
        }
        let is_cut =
            columns(&item.name()) > name_room || x + columns(&region.appearance().shown(&about)) > region.width();
        if selected && is_cut {
            whole = format!("{}, {about}", item.name());
        }
    }
    draw_whole(&whole, pane.list_top() + pane.found.len().saturating_sub(pane.scroll.first()) + 1, region);
}

/// Draws all that the selected row says from line `y` on, as far as the list leaves lines free.
fn draw_whole(text: &str, y: usize, region: &mut Region<'_>) {
    let lines = region.appearance().wrapped(text, region.width().saturating_sub(4));
    let room = region.height().saturating_sub(y);
    for (line, text) in lines.iter().filter(|text| !text.is_empty()).take(room).enumerate() {
        let goes_on = line + 1 == room && lines.len() > room;
        let more = if goes_on { region.appearance().glyphs().more } else { "" };
        region.text(2, y + line, &format!("{text}{more}"), Role::Plain);
    }
}

/// Draws the number of voicings and the selected one on one line.
pub fn draw_line(pane: &LibraryPane, region: &mut Region<'_>) {
    let selected = pane.selected().map_or(String::new(), |item| format!("   {}  {}", item.name(), item.voicing.shape));
    let count = pane.items.len();
    region.heading("Voicings", &format!("{count}{selected}"), Focused::No);
}

fn draw_query(pane: &LibraryPane, region: &mut Region<'_>) {
    let x = region.text(1, 1, "find ", Role::Faint);
    let typing = match pane.finding {
        SearchTyping::Yes => Typing::Here,
        SearchTyping::No => Typing::Elsewhere,
    };
    let width = region.width().saturating_sub(x);
    draw_typed(&pane.query, 0, typing, &mut region.part(x, 1, width, 1));
}

/// Returns where a voicing belongs: its setup, the open shape that it comes from, its tags, and the lessons that teach it.
fn about(item: &LibraryItem, lessons: &[TaughtIn]) -> String {
    let lessons = lessons.iter().map(|taught| taught.lesson.clone());
    let (setup, tags) = (std::iter::once(item.setup.clone()), item.voicing.tags.iter().cloned());
    let facts: Vec<String> = setup.chain(item.open_shape_in_words()).chain(tags).chain(lessons).collect();
    facts.join("  ")
}
