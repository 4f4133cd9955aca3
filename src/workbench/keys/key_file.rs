//! A teacher's own key file: which rows it holds, and what is wrong with it. Reading it from the disk is not done here, and what its
//! rows come to beside those of the built-in table is decided there.

use crate::text::quote::{quoted, written_out};
use crate::workbench::keys::keystroke::Keystroke;
use crate::workbench::keys::near::is_near;
use crate::workbench::keys::row::{Row, read};

/// A key file that cannot be used, and why.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum KeyFileError {
    /// The text is not a list of rows.
    #[error("{at}: {problem}; expected rows such as `(action: Timeline(AddAfter), keys: [\"n\"])`")]
    Syntax {
        /// The place where the reader stopped.
        at: RowPlace,
        /// What the reader found.
        problem: String,
    },
    /// No action has this name.
    #[error(
        "{at}: there is no action `{}`{nearest}; the search for an action says what each is called in a key file",
        quoted(.name)
    )]
    UnknownAction {
        /// The place where the name ends.
        at: RowPlace,
        /// The name that was read.
        name: String,
        /// The names that may have been meant, as words to print; possibly empty.
        nearest: String,
    },
    /// A row names a place where the action cannot be asked for.
    #[error("{at}: {action} cannot be asked for in `{place}`; leave `pane` out, or copy it from the built-in table")]
    Place {
        /// The place where the row begins.
        at: RowPlace,
        /// The action as key files write it.
        action: String,
        /// The place.
        place: &'static str,
    },
    /// A row has no key.
    #[error("{at}: {action} needs at least one key; leave the row out to keep the usual ones")]
    NoKey {
        /// The place where the row begins.
        at: RowPlace,
        /// The action as key files write it.
        action: String,
    },
    /// Two rows name the same action in the same place.
    #[error("{at}: {action} stands here a second time for the same place; put all its keys into one row")]
    Twice {
        /// The place where the second row begins.
        at: RowPlace,
        /// The action as key files write it.
        action: String,
    },
    /// A row takes a key that types a letter in a place where letters are typed.
    #[error("{at}: `{key}` is needed for typing ({place}); choose a key with Ctrl+ or Alt+, or one that types nothing")]
    Typed {
        /// The place where the row begins.
        at: RowPlace,
        /// The key.
        key: Keystroke,
        /// The place where letters are typed.
        place: &'static str,
    },
    /// One key asks for two actions.
    #[error(
        "{at}: the key `{key}` would mean two things ({place}): {}, and {}; give one of them another key",
        written_out(.first),
        written_out(.second)
    )]
    Clash {
        /// The place where the row of the key file begins that brings the key in.
        at: RowPlace,
        /// The key.
        key: Keystroke,
        /// The place where the key is struck.
        place: &'static str,
        /// What the first row does.
        first: String,
        /// What the second row does.
        second: String,
    },
}

/// A line and a column of a key file, both counted from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RowPlace {
    /// The line.
    pub line: usize,
    /// The column.
    pub column: usize,
}

impl RowPlace {
    /// Returns how many bytes of `text` stand before it.
    fn offset_in(self, text: &str) -> Option<usize> {
        let before: usize = text.split_inclusive('\n').take(self.line.saturating_sub(1)).map(str::len).sum();
        let line = text.get(before..)?;
        let (within, _) = line.char_indices().nth(self.column.saturating_sub(1))?;
        Some(before + within)
    }
}

impl KeyFileError {
    /// Returns the same of a row that stands at `start` and was read alone, behind one bracket.
    fn moved_to(mut self, start: RowPlace) -> Self {
        let (Self::Syntax { at, .. }
        | Self::UnknownAction { at, .. }
        | Self::Place { at, .. }
        | Self::NoKey { at, .. }
        | Self::Twice { at, .. }
        | Self::Typed { at, .. }
        | Self::Clash { at, .. }) = &mut self;
        if at.line == 1 {
            at.column = (start.column + at.column).saturating_sub(2);
        }
        at.line = (start.line + at.line).saturating_sub(1);
        self
    }
}

impl std::fmt::Display for RowPlace {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}, column {}", self.line, self.column)
    }
}

/// A row of a key file, and where it stands there.
#[derive(Debug, Clone)]
pub(super) struct OwnRow {
    /// The row.
    pub(super) row: Row,
    /// The place where it begins.
    pub(super) at: RowPlace,
}

impl OwnRow {
    /// Returns whether it is about the same action in the same place.
    pub(super) fn is_for(&self, row: &Row) -> bool {
        (self.row.action, self.row.place()) == (row.action, row.place())
    }
}

/// Reads the rows of a key file. Where the list as a whole cannot be read, each row is read by itself; returns also why some cannot.
pub(super) fn rows_of_file(text: &str) -> (Vec<OwnRow>, Vec<KeyFileError>) {
    let places = row_places(text);
    let error = match read(text) {
        Ok(rows) => {
            let places = places.into_iter().chain(std::iter::repeat(RowPlace { line: 1, column: 1 }));
            return (rows.into_iter().zip(places).map(|(row, at)| OwnRow { row, at }).collect(), Vec::new());
        }
        Err(error) => unreadable(&error),
    };
    let starts: Vec<usize> = places.iter().filter_map(|place| place.offset_in(text)).collect();
    let ends = starts.iter().skip(1).copied().map(Some).chain([None]);
    let (mut rows, mut refused) = (Vec::new(), Vec::new());
    for ((at, start), end) in places.into_iter().zip(&starts).zip(ends) {
        // The last one brings the end of the list along.
        let alone = match end {
            Some(end) => format!("[{}]", text.get(*start..end).unwrap_or_default()),
            None => format!("[{}", text.get(*start..).unwrap_or_default()),
        };
        match read(&alone) {
            Ok(read) => rows.extend(read.into_iter().map(|row| OwnRow { row, at })),
            Err(error) => refused.push(unreadable(&error).moved_to(at)),
        }
    }
    // The reader of the whole has stopped at the first of them.
    match refused.first_mut() {
        Some(first) => *first = error,
        None => refused.push(error),
    }
    (rows, refused)
}

/// Returns why a text is not a list of rows, with the names that are close to a misspelt one.
fn unreadable(error: &ron::error::SpannedError) -> KeyFileError {
    let at = RowPlace { line: error.span.end.line, column: error.span.end.col };
    if let ron::Error::NoSuchEnumVariant { expected, found, outer } = &error.code
        && outer.as_deref().is_none_or(|outer| outer.ends_with("Action"))
    {
        let group = outer.as_deref().and_then(|outer| outer.strip_suffix("Action")).filter(|group| !group.is_empty());
        let full = |name: &str| group.map_or_else(|| name.to_owned(), |group| format!("{group}({name})"));
        let near: Vec<String> = expected.iter().filter(|name| is_near(name, found)).map(|name| full(name)).collect();
        let nearest = if near.is_empty() { String::new() } else { format!(" (perhaps {})", near.join(" or ")) };
        return KeyFileError::UnknownAction { at, name: full(found), nearest };
    }
    KeyFileError::Syntax { at, problem: written_out(&error.code.to_string()) }
}

/// Returns where each row begins in a text that has been read as a list of rows: at each round bracket that stands in
/// the list itself, outside comments and quotes.
fn row_places(text: &str) -> Vec<RowPlace> {
    let mut places = Vec::new();
    let (mut depth, mut quoted, mut comment) = (0usize, false, false);
    for (line, row) in text.lines().enumerate() {
        let mut letters = row.chars().enumerate().peekable();
        // A line that sets options of the format contains no rows.
        if row.trim_start().starts_with("#!") {
            continue;
        }
        while let Some((column, letter)) = letters.next() {
            let next = letters.peek().map(|(_, next)| *next);
            match (letter, next) {
                ('*', Some('/')) if comment => {
                    comment = false;
                    letters.next();
                }
                _ if comment => {}
                ('\\', Some(_)) if quoted => _ = letters.next(),
                ('"', _) => quoted = !quoted,
                _ if quoted => {}
                ('/', Some('/')) => break,
                ('/', Some('*')) => comment = true,
                ('(', _) if depth == 1 => {
                    places.push(RowPlace { line: line + 1, column: column + 1 });
                    depth += 1;
                }
                ('(' | '[', _) => depth += 1,
                (')' | ']', _) => depth = depth.saturating_sub(1),
                _ => {}
            }
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_counted_outside_comments_and_quotes() {
        let text = "#![enable(implicit_some)]\n[ // (\n (keys: [\"(\", \"\\\"(\"]), /* ( \n ( */ (a(b)),\n]";
        let places: Vec<(usize, usize)> = row_places(text).iter().map(|place| (place.line, place.column)).collect();
        assert_eq!(places, [(3, 2), (4, 7)]);
    }
}
