//! Text that is being typed: one line with a cursor, and several lines for talking points. Which keys move the cursor
//! is not decided here.

use crate::text::width::{end_of_sign, signs};

/// One line that is being typed. Invariants: the cursor stands between two characters as a reader sees them; where the whole is
/// selected there is something to select.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TypedLine {
    text: String,
    cursor: usize,
    selection: SelectedPart,
}

/// What of a line is selected, to be replaced by what is typed next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum SelectedPart {
    /// Nothing is.
    #[default]
    Nothing,
    /// The whole line is: it was there before anything was typed.
    Whole,
}

/// There is no room for what was typed or pasted; nothing of it was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoRoom {
    /// A line takes no more characters than [`TypedLine::LONGEST`].
    #[error("this line holds up to 2,000 characters, so that was not pasted")]
    Line,
    /// Lines take no more bytes together than [`TypedLines::LARGEST`].
    #[error("there is room for 4 million letters here, so that was not pasted")]
    Lines,
}

impl TypedLine {
    /// The most characters that a line takes which is an answer, so that a file pasted by accident cannot swell a lesson.
    pub const LONGEST: usize = 2_000;

    /// Returns a line with the cursor after its end.
    pub fn new(text: impl Into<String>) -> Self {
        let text = text.into();
        Self { cursor: text.len(), text, selection: SelectedPart::Nothing }
    }

    /// Returns a line that was there before anything is typed: what is typed first takes its place, a movement keeps it.
    pub fn prefilled(text: impl Into<String>) -> Self {
        let line = Self::new(text);
        let selection = if line.text.is_empty() { SelectedPart::Nothing } else { SelectedPart::Whole };
        Self { selection, ..line }
    }

    /// Returns a line with the cursor this many bytes behind its beginning, or where a character ends after that.
    pub fn with_cursor(text: impl Into<String>, cursor: usize) -> Self {
        let mut line = Self { text: text.into(), cursor, selection: SelectedPart::Nothing };
        line.settle();
        line
    }

    /// Returns the text of the line.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Returns how many bytes of the text stand before the cursor.
    pub const fn cursor(&self) -> usize {
        self.cursor
    }

    /// Returns the text before the cursor and the text after it.
    pub fn halves(&self) -> (&str, &str) {
        self.text.split_at_checked(self.cursor).unwrap_or((&self.text, ""))
    }

    /// Returns whether the whole line is selected.
    pub fn is_selected(&self) -> bool {
        self.selection == SelectedPart::Whole
    }

    /// Keeps what is selected: what is typed next goes where the cursor is.
    pub const fn keep(&mut self) {
        self.selection = SelectedPart::Nothing;
    }

    /// Moves the cursor this many bytes behind the beginning, or where a character ends after that.
    pub fn go_to(&mut self, cursor: usize) {
        self.keep();
        self.cursor = cursor;
        self.settle();
    }

    /// Types one character. Errors: the line is full.
    pub fn insert(&mut self, letter: char) -> Result<(), NoRoom> {
        self.insert_all(letter.encode_utf8(&mut [0; 4]))
    }

    /// Types a text in one go, in the place of what is selected. Errors: there is no room for all of it, and nothing of it was
    /// taken.
    pub fn insert_all(&mut self, text: &str) -> Result<(), NoRoom> {
        let stays = if self.is_selected() { 0 } else { self.text.chars().count() };
        if stays + text.chars().count() > Self::LONGEST {
            return Err(NoRoom::Line);
        }
        self.erase_selected();
        self.put(text);
        Ok(())
    }

    /// Puts a text before the cursor, however long the line becomes.
    fn put(&mut self, text: &str) {
        let (before, _) = self.halves();
        let at = before.len();
        self.text.insert_str(at, text);
        self.cursor = at + text.len();
        self.settle();
    }

    /// Moves the cursor one character left. Returns whether there was one.
    pub fn left(&mut self) -> bool {
        self.keep();
        let step = signs(self.halves().0).next_back().map_or(0, |(sign, _)| sign.len());
        self.cursor -= step;
        step > 0
    }

    /// Moves the cursor one character right. Returns whether there was one.
    pub fn right(&mut self) -> bool {
        self.keep();
        let step = signs(self.halves().1).next().map_or(0, |(sign, _)| sign.len());
        self.cursor += step;
        step > 0
    }

    /// Moves the cursor to the beginning.
    pub const fn to_start(&mut self) {
        self.keep();
        self.cursor = 0;
    }

    /// Moves the cursor to the end.
    pub const fn to_end(&mut self) {
        self.keep();
        self.cursor = self.text.len();
    }

    /// Erases what is selected, else the character before the cursor. Returns whether there was anything.
    pub fn erase_before(&mut self) -> bool {
        if self.erase_selected() {
            return true;
        }
        let end = self.cursor;
        let erased = self.left();
        self.text.replace_range(self.cursor..end, "");
        self.settle();
        erased
    }

    /// Erases what is selected, else the character after the cursor. Returns whether there was anything.
    pub fn erase_after(&mut self) -> bool {
        if self.erase_selected() {
            return true;
        }
        let step = signs(self.halves().1).next().map_or(0, |(sign, _)| sign.len());
        self.text.replace_range(self.cursor..self.cursor + step, "");
        self.settle();
        step > 0
    }

    /// Erases everything.
    pub fn erase_all(&mut self) {
        *self = Self::default();
    }

    /// Erases what is selected. Returns whether anything was.
    fn erase_selected(&mut self) -> bool {
        let selected = self.is_selected();
        if selected {
            self.erase_all();
        }
        selected
    }

    /// Removes the text after the cursor and returns it.
    fn split(&mut self) -> String {
        self.text.split_off(self.cursor.min(self.text.len()))
    }

    /// Moves the cursor out of the middle where two characters have combined into one.
    fn settle(&mut self) {
        self.cursor = end_of_sign(&self.text, self.cursor);
    }
}

/// Several lines that are being typed. Invariants: there is at least one line, and the row is one of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypedLines {
    lines: Vec<TypedLine>,
    row: usize,
    /// How many bytes the lines hold together, each with its end.
    size: usize,
    /// How often something was typed, erased or moved.
    revision: u64,
}

impl TypedLines {
    /// The most bytes that the lines take together, each with its end: seven scripts of 100,000 words.
    pub const LARGEST: usize = 4_000_000;

    /// Returns the lines with the cursor after the last one.
    pub fn new(lines: &[String]) -> Self {
        let mut lines: Vec<TypedLine> = lines.iter().map(TypedLine::new).collect();
        if lines.is_empty() {
            lines.push(TypedLine::default());
        }
        let size = lines.iter().map(|line| line.text.len() + 1).sum();
        Self { row: lines.len() - 1, lines, size, revision: 0 }
    }

    /// Returns the lines of a text with the cursor in this row, this many bytes behind the row's beginning.
    pub fn with_cursor(text: &str, row: usize, cursor: usize) -> Self {
        let lines: Vec<String> = text.split('\n').map(str::to_owned).collect();
        let mut typed = Self::new(&lines);
        typed.row = row.min(typed.lines.len() - 1);
        let line = typed.line_mut();
        *line = TypedLine::with_cursor(std::mem::take(&mut line.text), cursor);
        typed
    }

    /// Returns the lines.
    pub fn lines(&self) -> &[TypedLine] {
        &self.lines
    }

    /// Returns the index of the line with the cursor.
    pub const fn row(&self) -> usize {
        self.row
    }

    /// Returns how many bytes of its line stand before the cursor.
    pub fn cursor(&self) -> usize {
        self.lines.get(self.row).map_or(0, TypedLine::cursor)
    }

    /// Returns how many bytes the lines hold together, each with its end.
    pub const fn size(&self) -> usize {
        self.size
    }

    /// Returns a number that is another one after every change of text or cursor.
    pub const fn revision(&self) -> u64 {
        self.revision
    }

    /// Returns the whole text, a line end between two lines.
    pub fn text(&self) -> String {
        let mut text = String::with_capacity(self.size);
        for (row, line) in self.lines.iter().enumerate() {
            if row > 0 {
                text.push('\n');
            }
            text.push_str(line.text());
        }
        text
    }

    /// Returns the lines that hold more than spaces, trimmed.
    pub fn written(&self) -> Vec<String> {
        self.lines.iter().map(|line| line.text().trim().to_owned()).filter(|line| !line.is_empty()).collect()
    }

    /// Returns the line with the cursor, about to be changed.
    fn line_mut(&mut self) -> &mut TypedLine {
        self.row = self.row.min(self.lines.len().saturating_sub(1));
        self.revision += 1;
        // The invariant keeps at least one line, so the row just settled is one of them.
        &mut self.lines[self.row]
    }

    /// Types one character. Errors: there is no more room.
    pub fn insert(&mut self, letter: char) -> Result<(), NoRoom> {
        self.paste(letter.encode_utf8(&mut [0; 4]))
    }

    /// Types a text in one go, of which each `\n` begins a new line. Errors: there is no room for all of it, and nothing of it
    /// was taken.
    pub fn paste(&mut self, text: &str) -> Result<(), NoRoom> {
        if self.size + text.len() > Self::LARGEST {
            return Err(NoRoom::Lines);
        }
        self.size += text.len();
        let mut pasted = text.split('\n');
        let first = pasted.next().unwrap_or_default();
        let mut more: Vec<TypedLine> = pasted.map(TypedLine::new).collect();
        if more.is_empty() {
            self.line_mut().put(first);
            return Ok(());
        }
        let line = self.line_mut();
        let rest = line.split();
        line.put(first);
        if let Some(last) = more.last_mut() {
            last.text.push_str(&rest);
            last.settle();
        }
        let (begin, count) = (self.row + 1, more.len());
        self.lines.splice(begin..begin, more);
        self.row += count;
        Ok(())
    }

    /// Breaks the line at the cursor. Errors: there is no more room.
    pub fn new_line(&mut self) -> Result<(), NoRoom> {
        self.paste("\n")
    }

    /// Moves the cursor to the beginning of its line.
    pub fn to_start(&mut self) {
        self.line_mut().to_start();
    }

    /// Moves the cursor to the end of its line.
    pub fn to_end(&mut self) {
        self.line_mut().to_end();
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

    /// Moves the cursor into a row, this many bytes behind its beginning.
    pub fn go_to(&mut self, row: usize, cursor: usize) {
        self.row = row.min(self.lines.len().saturating_sub(1));
        self.line_mut().go_to(cursor);
    }

    /// Moves the cursor up a line.
    pub const fn up(&mut self) {
        self.revision += 1;
        self.row = self.row.saturating_sub(1);
    }

    /// Moves the cursor down a line.
    pub fn down(&mut self) {
        self.revision += 1;
        self.row = (self.row + 1).min(self.lines.len() - 1);
    }

    /// Erases the character before the cursor, or joins the line to the one before.
    pub fn erase_before(&mut self) {
        let before = self.line_mut().text.len();
        if self.line_mut().erase_before() {
            self.size -= before - self.line_mut().text.len();
        } else if self.row > 0 {
            let rest = self.lines.remove(self.row);
            self.row -= 1;
            self.join(&rest);
        }
    }

    /// Erases the character after the cursor, or joins the next line to this one.
    pub fn erase_after(&mut self) {
        let before = self.line_mut().text.len();
        if self.line_mut().erase_after() {
            self.size -= before - self.line_mut().text.len();
        } else if self.row + 1 < self.lines.len() {
            let rest = self.lines.remove(self.row + 1);
            self.join(&rest);
        }
    }

    fn join(&mut self, rest: &TypedLine) {
        self.size -= 1;
        let line = self.line_mut();
        line.to_end();
        line.text.push_str(rest.text());
        line.settle();
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

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
        line.insert('\u{301}').unwrap();
        assert_eq!(line.halves(), ("e\u{301}", ""));
    }

    #[test]
    fn breaking_and_joining_a_line_gives_it_back() {
        let mut lines = TypedLines::new(&["say it slowly".to_owned()]);
        lines.left();
        lines.new_line().unwrap();
        assert_eq!(lines.written(), ["say it slowl", "y"]);
        lines.erase_before();
        assert_eq!(lines.written(), ["say it slowly"]);
        assert_eq!(lines.line_mut().halves().1, "y", "the cursor stays where the lines were joined");
    }

    #[test]
    fn a_text_that_does_not_fit_is_refused_whole() {
        let mut line = TypedLine::new("日".repeat(TypedLine::LONGEST - 1));
        assert_eq!(line.insert_all("ab"), Err(NoRoom::Line));
        assert_eq!(line.insert('a'), Ok(()));
        assert_eq!(line.insert('b'), Err(NoRoom::Line));
        assert!(line.text().ends_with("日a"));
        let mut lines = TypedLines::new(&["x".repeat(TypedLines::LARGEST - 3)]);
        assert_eq!(lines.paste("a\nb"), Err(NoRoom::Lines));
        assert_eq!(lines.paste("a\n"), Ok(()));
        assert_eq!(lines.new_line(), Err(NoRoom::Lines));
        assert_eq!((lines.lines().len(), lines.size()), (2, TypedLines::LARGEST));
    }

    proptest! {
        #[test]
        fn a_pasted_text_is_what_typing_it_letter_by_letter_gives(
            first in "[a日 \n]{0,12}",
            keys in prop::collection::vec(0..6u8, 0..8),
            text in "[a\u{301}日 \n]{0,12}",
        ) {
            let mut pasted = TypedLines::with_cursor(&first, 1, 1);
            for key in keys {
                match key {
                    0 => pasted.left(),
                    1 => pasted.right(),
                    2 => pasted.up(),
                    3 => pasted.down(),
                    4 => pasted.erase_before(),
                    _ => pasted.erase_after(),
                }
            }
            let mut typed = pasted.clone();
            pasted.paste(&text).unwrap();
            text.chars().for_each(|letter| typed.insert(letter).unwrap());
            prop_assert_eq!(pasted.text(), typed.text());
            prop_assert_eq!(pasted.size(), pasted.text().len() + 1);
            prop_assert_eq!((pasted.size(), pasted.row()), (typed.size(), typed.row()));
            prop_assert_eq!(pasted.cursor(), typed.cursor());
            let back = TypedLines::with_cursor(&pasted.text(), pasted.row(), pasted.cursor());
            prop_assert_eq!((back.text(), back.row(), back.cursor()), (pasted.text(), pasted.row(), pasted.cursor()));
        }
    }
}
