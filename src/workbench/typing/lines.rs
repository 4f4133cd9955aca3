//! Text that is being typed: one line with a cursor, and several lines for talking points. Which keys move the cursor
//! is not decided here.

use crate::text::width::signs;

/// The most characters that a line takes, so that pasting a file cannot swell a lesson by accident.
const LONGEST: usize = 2_000;

/// One line that is being typed. Invariant: the cursor stands between two characters as a reader sees them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TypedLine {
    text: String,
    cursor: usize,
}

impl TypedLine {
    /// Returns a line with the cursor after its end.
    pub fn new(text: impl Into<String>) -> Self {
        let text = text.into();
        Self { cursor: text.len(), text }
    }

    /// Returns the text of the line.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Returns the text before the cursor and the text after it.
    pub fn halves(&self) -> (&str, &str) {
        self.text.split_at_checked(self.cursor).unwrap_or((&self.text, ""))
    }

    /// Types one character.
    pub fn insert(&mut self, letter: char) {
        if self.text.len() < LONGEST {
            self.text.insert(self.cursor.min(self.text.len()), letter);
            self.cursor += letter.len_utf8();
            self.settle();
        }
    }

    /// Moves the cursor one character left. Returns whether there was one.
    pub fn left(&mut self) -> bool {
        let step = signs(self.halves().0).next_back().map_or(0, |(sign, _)| sign.len());
        self.cursor -= step;
        step > 0
    }

    /// Moves the cursor one character right. Returns whether there was one.
    pub fn right(&mut self) -> bool {
        let step = signs(self.halves().1).next().map_or(0, |(sign, _)| sign.len());
        self.cursor += step;
        step > 0
    }

    /// Moves the cursor to the beginning.
    pub const fn to_start(&mut self) {
        self.cursor = 0;
    }

    /// Moves the cursor to the end.
    pub const fn to_end(&mut self) {
        self.cursor = self.text.len();
    }

    /// Erases the character before the cursor. Returns whether there was one.
    pub fn erase_before(&mut self) -> bool {
        let end = self.cursor;
        let erased = self.left();
        self.text.replace_range(self.cursor..end, "");
        self.settle();
        erased
    }

    /// Erases the character after the cursor. Returns whether there was one.
    pub fn erase_after(&mut self) -> bool {
        let step = signs(self.halves().1).next().map_or(0, |(sign, _)| sign.len());
        self.text.replace_range(self.cursor..self.cursor + step, "");
        self.settle();
        step > 0
    }

    /// Erases everything.
    pub fn erase_all(&mut self) {
        *self = Self::default();
    }

    /// Removes the text after the cursor and returns it.
    fn split(&mut self) -> String {
        self.text.split_off(self.cursor.min(self.text.len()))
    }

    /// Moves the cursor out of the middle where two characters have combined into one.
    fn settle(&mut self) {
        let place = self.cursor.min(self.text.len());
        let ends = signs(&self.text).scan(0, |end, (sign, _)| {
            *end += sign.len();
            Some(*end)
        });
        self.cursor = std::iter::once(0).chain(ends).find(|end| *end >= place).unwrap_or(self.text.len());
    }
}

/// Several lines that are being typed. Invariants: there is at least one line, and the row is one of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypedLines {
    lines: Vec<TypedLine>,
    row: usize,
}

impl TypedLines {
    /// The most lines that can be typed.
    const MOST: usize = 500;

    /// Returns the lines with the cursor after the last one.
    pub fn new(lines: &[String]) -> Self {
        let mut lines: Vec<TypedLine> = lines.iter().map(TypedLine::new).collect();
        if lines.is_empty() {
            lines.push(TypedLine::default());
        }
        Self { row: lines.len() - 1, lines }
    }

    /// Returns the lines.
    pub fn lines(&self) -> &[TypedLine] {
        &self.lines
    }

    /// Returns the index of the line with the cursor.
    pub const fn row(&self) -> usize {
        self.row
    }

    /// Returns the lines that hold more than spaces, trimmed.
    pub fn written(&self) -> Vec<String> {
        self.lines.iter().map(|line| line.text().trim().to_owned()).filter(|line| !line.is_empty()).collect()
    }

    /// Returns the line with the cursor.
    pub fn line_mut(&mut self) -> &mut TypedLine {
        self.row = self.row.min(self.lines.len().saturating_sub(1));
        // The invariant keeps at least one line, so the row just settled is one of them.
        &mut self.lines[self.row]
    }

    /// Breaks the line at the cursor.
    pub fn new_line(&mut self) {
        if self.lines.len() < Self::MOST {
            let rest = self.line_mut().split();
            let mut line = TypedLine::new(rest);
            line.to_start();
            self.row += 1;
            self.lines.insert(self.row, line);
        }
    }

    /// Moves the cursor one character left, from the start of a line to the end of the line before.
    pub fn left(&mut self) {
        if !self.line_mut().left() && self.row > 0 {
            self.row -= 1;
            self.line_mut().to_end();
        }
    }

    /// Moves the cursor one character right, from the end of a line to the beginning of the next.
    pub fn right(&mut self) {
        if !self.line_mut().right() && self.row + 1 < self.lines.len() {
            self.row += 1;
            self.line_mut().to_start();
        }
    }

    /// Moves the cursor up a line.
    pub const fn up(&mut self) {
        self.row = self.row.saturating_sub(1);
    }

    /// Moves the cursor down a line.
    pub fn down(&mut self) {
        self.row = (self.row + 1).min(self.lines.len() - 1);
    }

    /// Erases the character before the cursor, or joins the line to the one before.
    pub fn erase_before(&mut self) {
        if !self.line_mut().erase_before() && self.row > 0 {
            let rest = self.lines.remove(self.row);
            self.row -= 1;
            self.join(&rest);
        }
    }

    /// Erases the character after the cursor, or joins the next line to this one.
    pub fn erase_after(&mut self) {
        if !self.line_mut().erase_after() && self.row + 1 < self.lines.len() {
            let rest = self.lines.remove(self.row + 1);
            self.join(&rest);
        }
    }

    fn join(&mut self, rest: &TypedLine) {
        let line = self.line_mut();
        line.to_end();
        line.text.push_str(rest.text());
        line.settle();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn erasing_takes_a_whole_character_as_a_reader_sees_it() {
        let mut line = TypedLine::new("e\u{301}日");
        line.left();
        line.erase_before();
        assert_eq!(line.text(), "日");
        assert_eq!(line.halves(), ("", "日"));
    }

    #[test]
    fn a_mark_that_joins_the_letter_before_leaves_the_cursor_behind_it() {
        let mut line = TypedLine::new("e");
        line.insert('\u{301}');
        assert_eq!(line.halves(), ("e\u{301}", ""));
    }

    #[test]
    fn breaking_and_joining_a_line_gives_it_back() {
        let mut lines = TypedLines::new(&["say it slowly".to_owned()]);
        lines.left();
        lines.new_line();
        assert_eq!(lines.written(), ["say it slowl", "y"]);
        lines.erase_before();
        assert_eq!(lines.written(), ["say it slowly"]);
        assert_eq!(lines.line_mut().halves().1, "y", "the cursor stays where the lines were joined");
    }
}
