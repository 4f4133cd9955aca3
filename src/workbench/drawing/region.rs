//! Writing text into a part of the screen, cut at its edges and counted in columns.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use crate::text::fit::fit_with;
use crate::text::width::width as columns;
use crate::workbench::drawing::appearance::{Appearance, Glyphs};
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::unseen::Unseen;

/// The columns of a heading beside words and signs: the pointer, the gaps around the rule, and a little of it.
const BESIDE_WORDS: usize = 5;

/// The width in columns below which the last line of a list has no room for the sign that the list goes on.
const NARROW: usize = 160;

/// Returns how many columns a heading with signs at both ends has for its note.
pub fn heading_room(width: usize, title: &str, unseen: Unseen, glyphs: Glyphs) -> usize {
    room_beside(width, title, &unseen.above(glyphs), &unseen.below(glyphs))
}

fn room_beside(width: usize, title: &str, above: &str, below: &str) -> usize {
    // Each sign stands apart from what is beside it.
    let sign = |words: &str, gap: usize| if words.is_empty() { 0 } else { columns(words) + gap };
    let signs = sign(above, 1) + sign(below, 3);
    width.saturating_sub(columns(title) + signs + BESIDE_WORDS)
}

/// A part of the screen to write into. Places count from its own top left corner; what lies
/// outside is not written.
pub struct Region<'a> {
    buffer: &'a mut Buffer,
    area: Rect,
    appearance: Appearance,
}

impl<'a> Region<'a> {
    /// Returns the region of `area`, as far as it lies on the buffer.
    pub fn new(buffer: &'a mut Buffer, area: Rect, appearance: Appearance) -> Self {
        let area = area.intersection(buffer.area);
        Self { buffer, area, appearance }
    }

    /// Returns the appearance.
    pub const fn appearance(&self) -> Appearance {
        self.appearance
    }

    /// Returns the width in columns.
    pub fn width(&self) -> usize {
        usize::from(self.area.width)
    }

    /// Returns the height in lines.
    pub fn height(&self) -> usize {
        usize::from(self.area.height)
    }

    /// Writes `text` at column `x` of line `y`, cut at the edge; returns the column after it.
    pub fn text(&mut self, x: usize, y: usize, text: &str, role: Role) -> usize {
        self.cut(x, y, self.width().saturating_sub(x), text, role)
    }

    /// Writes `text` in at most `width` columns, marking where it is cut; returns the column after it.
    pub fn cut(&mut self, x: usize, y: usize, width: usize, text: &str, role: Role) -> usize {
        let room = width.min(self.width().saturating_sub(x));
        if y >= self.height() || room == 0 {
            self.mark_what_lies_behind(x, y, text);
            return x;
        }
        let shown = self.appearance.shown(text);
        let shown = fit_with(&shown, room, self.appearance.glyphs().more);
        let (Ok(left), Ok(top)) = (u16::try_from(x), u16::try_from(y)) else { return x };
        let style = self.appearance.style(role);
        let (end, _) = self.buffer.set_stringn(self.area.x + left, self.area.y + top, &shown, room, style);
        usize::from(end.saturating_sub(self.area.x))
    }

    /// Marks at the right edge that a text which begins behind it is not seen. A single sign is no text.
    fn mark_what_lies_behind(&mut self, x: usize, y: usize, text: &str) {
        let Some(last) = self.width().checked_sub(1) else { return };
        if x > last && y < self.height() && columns(text.trim()) > 1 {
            self.text(last, y, self.appearance.glyphs().more, Role::Plain);
        }
    }

    /// Writes `text` so that it ends at the right edge, and returns the column where it begins.
    pub fn right(&mut self, y: usize, text: &str, role: Role) -> usize {
        let x = self.width().saturating_sub(columns(&self.appearance.shown(text)));
        self.text(x, y, text, role);
        x
    }

    /// Repeats `glyph` from column `x` up to column `end`.
    pub fn line(&mut self, x: usize, end: usize, y: usize, glyph: &str, role: Role) {
        let count = end.min(self.width()).saturating_sub(x);
        self.text(x, y, &glyph.repeat(count), role);
    }

    /// Gives line `y` the style of `role` from column `x` up to column `end`, keeping the text.
    pub fn paint(&mut self, x: usize, end: usize, y: usize, role: Role) {
        let style = self.appearance.style(role);
        for column in x..end.min(self.width()) {
            let (Ok(left), Ok(top)) = (u16::try_from(column), u16::try_from(y)) else { return };
            if y >= self.height() {
                return;
            }
            let place = Position { x: self.area.x + left, y: self.area.y + top };
            if let Some(cell) = self.buffer.cell_mut(place) {
                cell.set_style(style);
            }
        }
    }

    /// Empties the whole area.
    pub fn clear(&mut self) {
        for place in self.area.positions() {
            if let Some(cell) = self.buffer.cell_mut(place) {
                cell.reset();
            }
        }
    }

    /// Returns the region of a part of this area, `x` and `y` counted from its corner.
    pub fn part(&mut self, x: usize, y: usize, width: usize, height: usize) -> Region<'_> {
        let short = |number: usize| u16::try_from(number).unwrap_or(u16::MAX);
        let part = Rect {
            x: self.area.x.saturating_add(short(x)),
            y: self.area.y.saturating_add(short(y)),
            width: short(width),
            height: short(height),
        };
        Region { area: part.intersection(self.area), buffer: self.buffer, appearance: self.appearance }
    }

    /// Returns line `y` of a list to write in, whose last line in view is `last`: there the sign that the list goes on takes the right
    /// end.
    pub fn list_line(&mut self, y: usize, last: usize, unseen: Unseen) -> Region<'_> {
        let mut width = self.width();
        if y == last && unseen.goes_on() {
            let words = unseen.below(self.appearance.glyphs());
            width = self.right(y, &words, Role::Title).saturating_sub(1);
        }
        self.part(0, y, width, 1)
    }

    /// Draws the line over a pane: its title, then a rule, then `note` at the right end.
    pub fn heading(&mut self, title: &str, note: &str, focused: Focused) {
        self.heading_with(title, "", note, focused);
    }

    /// Draws the line over a list: its title, the sign that the list goes on above, a rule, then the first of `notes` that has room at
    /// the right end; the last one is cut where none has. Over a narrow list both signs stand behind the note, where a note has room
    /// beside them. Returns what the last line in view has to say.
    pub fn heading_over(&mut self, title: &str, notes: &[&str], unseen: Unseen, focused: Focused) -> Unseen {
        let glyphs = self.appearance.glyphs();
        if self.width() < NARROW && unseen.goes_on() {
            let both = unseen.both(glyphs);
            let room = room_beside(self.width(), title, "", "");
            let beside = |note: &&str| if note.is_empty() { both.clone() } else { format!("{note}   {both}") };
            let fits = |note: &String| columns(&self.appearance.shown(note)) <= room;
            if let Some(note) = notes.iter().map(beside).find(fits) {
                self.heading_with(title, "", &note, focused);
                self.right(0, &both, Role::Title);
                return Unseen::NOTHING;
            }
            // Behind a title that is the word for what is counted, the signs need none of their own.
            let short =
                unseen.under_title(title, glyphs).filter(|short| room_beside(self.width(), title, short, "") > 0);
            let room = short.as_ref().map_or(0, |short| room_beside(self.width(), title, short, ""));
            let note = notes.iter().find(|note| columns(&self.appearance.shown(note)) <= room);
            if let Some((short, note)) = short.zip(note) {
                self.heading_with(title, &short, note, focused);
                return Unseen::NOTHING;
            }
        }
        let above = unseen.above(glyphs);
        let room = room_beside(self.width(), title, &above, "");
        let fits = |note: &&&str| columns(&self.appearance.shown(note)) <= room;
        let note = notes.iter().find(fits).or(notes.last()).copied().unwrap_or_default();
        self.heading_with(title, &above, note, focused);
        unseen
    }

    /// Draws the line over what fills all of its lines, as music or a page of paper does: both signs that it goes on stand there, that
    /// for below at the right end.
    pub fn heading_around(&mut self, title: &str, note: &str, unseen: Unseen, focused: Focused) {
        let glyphs = self.appearance.glyphs();
        let (above, below) = (unseen.above(glyphs), unseen.below(glyphs));
        if below.is_empty() {
            return self.heading_with(title, &above, note, focused);
        }
        let note = self.appearance.shown(note).into_owned();
        let room = room_beside(self.width(), title, &above, &below);
        let note = fit_with(&note, room, glyphs.more);
        self.heading_with(title, &above, &format!("{note}   {below}"), focused);
        self.right(0, &below, Role::Title);
    }

    /// Draws the line over a pane: its title, a sign behind it, a rule, then `note` at the right end.
    fn heading_with(&mut self, title: &str, sign: &str, note: &str, focused: Focused) {
        let glyphs = self.appearance.glyphs();
        let width = self.width();
        let (mark, role) = match focused {
            Focused::Yes => (glyphs.pointer, Role::FocusedTitle),
            Focused::No => (" ", Role::Title),
        };
        let x = self.text(0, 0, mark, role);
        let mut x = self.cut(x, 0, width.saturating_sub(x), title, role);
        if !sign.is_empty() {
            x = self.text(x + 1, 0, sign, Role::Title);
        }
        let room = width.saturating_sub(x + 4);
        let note = self.appearance.shown(note);
        let note = fit_with(&note, room, glyphs.more);
        let end = if note.is_empty() { width } else { width.saturating_sub(columns(&note) + 1) };
        self.line(x + 1, end, 0, glyphs.level, Role::Faint);
        if !note.is_empty() {
            self.text(end + 1, 0, &note, Role::Plain);
        }
    }
}

/// Whether a pane is the one that keys go to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Focused {
    /// Keys go here.
    Yes,
    /// Keys go elsewhere.
    No,
}

impl Focused {
    /// Returns `Yes` where the two are the same.
    pub fn of<T: PartialEq>(one: T, other: T) -> Self {
        if one == other { Self::Yes } else { Self::No }
    }

    /// Returns the role of a selected line.
    pub const fn selection(self) -> Role {
        match self {
            Self::Yes => Role::Selected,
            Self::No => Role::SelectedElsewhere,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_written_outside_the_area() {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 10, 3));
        let mut region = Region::new(&mut buffer, Rect::new(2, 1, 4, 1), Appearance::default());
        region.text(0, 0, "0123456789", Role::Plain);
        region.text(0, 1, "below", Role::Plain);
        region.text(9, 0, "right", Role::Plain);
        let lines: Vec<String> = (0..3).map(|y| (0..10).map(|x| buffer[(x, y)].symbol()).collect()).collect();
        assert_eq!(lines, ["          ", "  012…    ", "          "]);
    }
}
