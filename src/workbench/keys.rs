//! The one table of actions and keys: dispatch, hint line and help screen read it, and a key file
//! of the teacher's own is merged over it.

use serde::Deserialize;

use super::action::{Action, Pane};
use super::key::Key;

/// One row: in this place, these keys ask for this action.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// What is asked for.
    pub action: Action,
    /// Where the keys work; without one, where the action is at home.
    #[serde(default)]
    pub pane: Option<Pane>,
    /// The keys; the first is the one shown.
    pub keys: Vec<Key>,
    /// What it does, for the help screen.
    #[serde(default)]
    pub help: String,
    /// One or two words for the hint line; empty for what needs no hint.
    #[serde(default)]
    pub hint: String,
}

impl Row {
    /// Returns where the keys work.
    pub fn place(&self) -> Pane {
        self.pane.unwrap_or_else(|| self.action.home())
    }
}

/// A key file that cannot be used, and why.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum KeyFileError {
    /// The text is no list of rows.
    #[error(
        "line {line}, column {column}: {problem}; expected rows such as `(action: Timeline(AddAfter), keys: [\"n\"])`"
    )]
    Syntax {
        /// Counted from 1.
        line: usize,
        /// Counted from 1.
        column: usize,
        /// What the reader found.
        problem: String,
    },
    /// A row for a place where the action cannot be asked for.
    #[error("{action} cannot be asked for in `{place}`; leave `pane` out, or take it from the built-in table")]
    Place {
        /// The action as files write it.
        action: String,
        /// The place.
        place: &'static str,
    },
    /// A row without a key.
    #[error("{action} needs at least one key")]
    NoKey {
        /// The action as files write it.
        action: String,
    },
    /// One key for two actions.
    #[error("the key `{key}` would mean two things ({place}): {first}, and {second}; give one of them another key")]
    Clash {
        /// The key.
        key: Key,
        /// Where.
        place: &'static str,
        /// What the first row does.
        first: String,
        /// What the second row does.
        second: String,
    },
}

/// All rows, in the order in which hints and help show them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyTable {
    rows: Vec<Row>,
}

impl KeyTable {
    /// Returns the table that is compiled in.
    pub fn built_in() -> Self {
        let rows = read(include_str!("../../assets/keys.ron")).expect("a test reads the table that is compiled in");
        Self { rows }
    }

    /// Returns the table with the rows of a key file in place of its own.
    ///
    /// Errors: text that is no list of rows, an unknown action, a key that would mean two things.
    pub fn with_own(mut self, text: &str) -> Result<Self, KeyFileError> {
        let own: Vec<Row> = read(text).map_err(|error| KeyFileError::Syntax {
            line: error.span.start.line,
            column: error.span.start.col,
            problem: error.code.to_string(),
        })?;
        for row in own {
            let place = row.place();
            let action = format!("{:?}", row.action);
            if row.keys.is_empty() {
                return Err(KeyFileError::NoKey { action });
            }
            let known = self.rows.iter_mut().find(|known| known.action == row.action && known.place() == place);
            let known = known.ok_or(KeyFileError::Place { action, place: place.word() })?;
            known.keys = row.keys;
            if !row.help.is_empty() {
                known.help = row.help;
            }
            if !row.hint.is_empty() {
                known.hint = row.hint;
            }
        }
        self.check()?;
        Ok(self)
    }

    /// Checks that no key means two things in any place.
    pub fn check(&self) -> Result<(), KeyFileError> {
        for place in Pane::ALL {
            let strokes: Vec<(Key, &Row)> =
                self.rows_at(*place).flat_map(|row| row.keys.iter().map(move |key| (*key, row))).collect();
            for (index, (key, first)) in strokes.iter().enumerate() {
                let rest = strokes.iter().skip(index + 1);
                if let Some((_, second)) = rest.into_iter().find(|(other, _)| key.clashes_with(*other)) {
                    return Err(KeyFileError::Clash {
                        key: *key,
                        place: place.word(),
                        first: first.help.clone(),
                        second: second.help.clone(),
                    });
                }
            }
        }
        Ok(())
    }

    /// Returns the rows whose keys work at `place`: its own first, then those that work in more places.
    pub fn rows_at(&self, place: Pane) -> impl Iterator<Item = &Row> {
        let places = std::iter::once(place).chain(place.also().iter().copied());
        places.flat_map(|place| self.rows.iter().filter(move |row| row.place() == place))
    }

    /// Returns the rows that belong to `place` alone.
    pub fn rows_of(&self, place: Pane) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(move |row| row.place() == place)
    }

    /// Returns what striking `key` at `place` asks for.
    pub fn action(&self, place: Pane, key: Key) -> Option<Action> {
        self.rows_at(place).find(|row| row.keys.iter().any(|known| known.answers_to(key))).map(|row| row.action)
    }

    /// Returns the key shown for `action` at `place`.
    pub fn key_for(&self, place: Pane, action: Action) -> Option<Key> {
        self.rows_at(place).find(|row| row.action == action).and_then(|row| row.keys.first().copied())
    }

    /// Returns the hints for `place`: action, key and words.
    pub fn hints(&self, place: Pane) -> impl Iterator<Item = (Action, Key, &str)> {
        self.rows_at(place)
            .filter(|row| !row.hint.is_empty())
            .filter_map(|row| row.keys.first().map(|key| (row.action, *key, row.hint.as_str())))
    }
}

/// Reads rows; a place is written without `Some`.
fn read(text: &str) -> Result<Vec<Row>, ron::error::SpannedError> {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME).from_str(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_that_is_compiled_in_has_no_clash() {
        KeyTable::built_in().check().unwrap();
    }

    #[test]
    fn every_action_has_a_row_where_it_is_at_home_or_elsewhere() {
        let table = KeyTable::built_in();
        for action in Action::all() {
            assert!(table.rows.iter().any(|row| row.action == action), "{action:?} has no row");
        }
    }

    #[test]
    fn every_row_is_documented_and_has_a_key() {
        for row in KeyTable::built_in().rows {
            assert!(row.help.len() > 3, "{:?} has no help", row.action);
            assert!(!row.keys.is_empty(), "{:?} has no key", row.action);
        }
    }

    #[test]
    fn no_place_has_two_rows_for_one_action() {
        let table = KeyTable::built_in();
        for place in Pane::ALL {
            let mut actions: Vec<Action> = table.rows_of(*place).map(|row| row.action).collect();
            actions.sort_unstable();
            let count = actions.len();
            actions.dedup();
            assert_eq!(actions.len(), count, "{place:?}");
        }
    }

    #[test]
    fn an_own_key_file_replaces_the_keys_and_keeps_the_help() {
        let table = KeyTable::built_in().with_own(r#"[(action: Timeline(AddAfter), keys: ["z"])]"#).unwrap();
        let action = Action::Timeline(super::super::action::TimelineAction::AddAfter);
        assert_eq!(table.action(Pane::Timeline, "z".parse().unwrap()), Some(action));
        assert_eq!(table.action(Pane::Timeline, "a".parse().unwrap()), None);
        assert!(table.rows.iter().any(|row| row.action == action && !row.help.is_empty()));
    }

    #[test]
    fn a_faulty_key_file_says_what_is_wrong_and_where() {
        let message = |text| KeyTable::built_in().with_own(text).unwrap_err().to_string();
        for (text, expected) in [
            ("[(action: Timeline(Ad), keys: [\"z\"])]", "line 1, column 20: Unexpected variant named `Ad` in enum"),
            ("[\n(action: Timeline(AddAfter), keys: [\"Ctrl+\"])]", "line 2, column 38: `Ctrl+` is not a key"),
            ("[(action: Timeline(AddAfter), keys: [])]", "Timeline(AddAfter) needs at least one key"),
            (
                "[(action: Timeline(AddAfter), keys: [\"t\"])]",
                "the key `t` would mean two things (timeline): add a segment after this one, and change the title",
            ),
            (
                "[(action: Timeline(AddAfter), pane: Start, keys: [\"z\"])]",
                "Timeline(AddAfter) cannot be asked for in `start screen`",
            ),
        ] {
            let said = message(text);
            assert!(said.starts_with(expected), "{text}\n{said}");
        }
    }
}
