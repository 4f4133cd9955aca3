//! The one table of actions and keys. Dispatch, hint line and help screen read it, and a teacher's own key file is
//! merged over it. Reading that file from the disk is not done here.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::text::quote::{quoted, written_out};
use crate::workbench::keys::action::{Action, Focus, Pane, ProgramAction};
use crate::workbench::keys::keystroke::{Cap, Keystroke};
use crate::workbench::keys::near::is_near;

/// One row: in this place, these keys ask for this action.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// The action.
    pub action: Action,
    /// The place where the keys work; without it, the home of the action.
    #[serde(default)]
    pub pane: Option<Pane>,
    /// The keys; the first one is shown.
    pub keys: Vec<Keystroke>,
    /// The word that a letter among the keys stands for, in this place as in every other; empty where no letter is among
    /// them.
    #[serde(default)]
    pub word: String,
    /// What the action does, for the help screen.
    #[serde(default)]
    pub help: String,
    /// One or two words for the hint line; empty for an action that needs no hint.
    #[serde(default)]
    pub hint: String,
    /// The same in fewer letters, for a hint line that is too narrow for everything that is of use; empty where the hint is short.
    #[serde(default)]
    pub short: String,
    /// Words that a player may look for it by and that are not in the help, with spaces between; often empty.
    #[serde(default)]
    pub find: String,
}

impl Row {
    /// Returns the place where the keys work.
    pub fn place(&self) -> Pane {
        self.pane.unwrap_or_else(|| self.action.home())
    }

    fn hint_in(&self, wording: HintWording) -> &str {
        match wording {
            HintWording::Short if !self.short.is_empty() => &self.short,
            HintWording::Short | HintWording::Full => &self.hint,
        }
    }
}

/// In how many letters the hint line says what keys do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HintWording {
    /// In its full words.
    Full,
    /// In the short words, where a key has some.
    Short,
}

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

impl std::fmt::Display for RowPlace {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}, column {}", self.line, self.column)
    }
}

/// One key that asks for two actions in a place, and the two rows that say so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clash<'a> {
    /// The key.
    pub key: Keystroke,
    /// The place where the key is struck.
    pub place: Pane,
    /// The two rows, in the order in which they are looked up.
    pub rows: [&'a Row; 2],
}

/// An action that has no key left, because a key file gives its last one to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LostKey {
    /// The action.
    pub action: Action,
    /// The place where it had its key.
    pub place: Pane,
    /// What it does.
    pub help: String,
    /// The key that it had.
    pub key: Keystroke,
}

/// All rows, each place with its own, in the order in which hints and help show them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyTable {
    // By place, since a key is looked up, and hints and titles ask for theirs, at every message.
    rows: BTreeMap<Pane, Vec<Row>>,
    lost: Vec<LostKey>,
    /// How many key files were laid over it.
    laid_over: u32,
}

impl KeyTable {
    /// Returns the table that is compiled in.
    pub fn built_in() -> Self {
        static TABLE: LazyLock<KeyTable> = LazyLock::new(|| {
            let rows = read(include_str!("../../../assets/keys.ron"));
            KeyTable::of(rows.expect("a test reads the table that is compiled in"))
        });
        TABLE.clone()
    }

    fn of(all: Vec<Row>) -> Self {
        let mut rows: BTreeMap<Pane, Vec<Row>> = BTreeMap::new();
        for row in all {
            rows.entry(row.place()).or_default().push(row);
        }
        Self { rows, lost: Vec::new(), laid_over: 0 }
    }

    /// Returns how many key files were laid over the table.
    pub(super) const fn laid_over(&self) -> u32 {
        self.laid_over
    }

    /// Returns the actions that have no key left in some place.
    pub fn lost(&self) -> &[LostKey] {
        &self.lost
    }

    /// Returns the table with the rows of a key file in place of its own. A row that the file does not name gives up a key
    /// that the file wants, where another key is left to it, or where the search for actions still leads to it.
    ///
    /// Errors: a text that is not a list of rows, an unknown action, or a key that would ask for two actions; each
    /// names the line and the column of the row.
    pub fn with_own(mut self, text: &str) -> Result<Self, KeyFileError> {
        let own: Vec<Row> = read(text).map_err(|error| unreadable(&error))?;
        self.laid_over += 1;
        let mut starts = row_places(text).into_iter();
        let mut changed: Vec<((Action, Pane), RowPlace)> = Vec::new();
        for row in own {
            let at = starts.next().unwrap_or(RowPlace { line: 1, column: 1 });
            let place = row.place();
            let action = row.action.name();
            if row.keys.is_empty() {
                return Err(KeyFileError::NoKey { at, action });
            }
            if changed.iter().any(|(known, _)| *known == (row.action, place)) {
                return Err(KeyFileError::Twice { at, action });
            }
            if let Some(key) = row.keys.iter().copied().find(|key| place.types() && key.typed().is_some()) {
                return Err(KeyFileError::Typed { at, key, place: place.word() });
            }
            let known =
                self.rows.get_mut(&place).and_then(|rows| rows.iter_mut().find(|known| known.action == row.action));
            let known = known.ok_or(KeyFileError::Place { at, action, place: place.word() })?;
            changed.push(((row.action, place), at));
            known.keys = row.keys;
            if !row.help.is_empty() {
                known.help = row.help;
            }
            if !row.hint.is_empty() {
                // The short words were those of the other hint.
                (known.hint, known.short) = (row.hint, row.short);
            }
            if !row.find.is_empty() {
                known.find = row.find;
            }
        }
        self.give_way(&changed);
        if let Some(Clash { key, place, rows: [first, second] }) = self.clash() {
            // One of the two rows comes from the file, since the built-in table has no clash.
            let at =
                |row: &Row| changed.iter().find(|(known, _)| *known == (row.action, row.place())).map(|(_, at)| *at);
            let at = at(first).max(at(second)).unwrap_or(RowPlace { line: 1, column: 1 });
            let (first, second) = (first.help.clone(), second.help.clone());
            return Err(KeyFileError::Clash { at, key, place: place.word(), first, second });
        }
        Ok(self)
    }

    /// Takes keys that a file wants for its own rows off rows that it does not name, where those have another key left.
    fn give_way(&mut self, changed: &[((Action, Pane), RowPlace)]) {
        let named = |row: &Row| changed.iter().any(|(known, _)| *known == (row.action, row.place()));
        let own: Vec<(Pane, Vec<Keystroke>)> =
            self.rows().filter(|row| named(row)).map(|row| (row.place(), row.keys.clone())).collect();
        for row in self.rows.values_mut().flatten().filter(|row| !named(row)) {
            let place = row.place();
            let meets = |other: Pane| {
                let both = |here: &Pane| {
                    (*here == place || here.also().contains(&place)) && (*here == other || here.also().contains(&other))
                };
                Pane::ALL.iter().any(both)
            };
            let wanted: Vec<Keystroke> =
                own.iter().filter(|(other, _)| meets(*other)).flat_map(|(_, keys)| keys).copied().collect();
            let left: Vec<Keystroke> =
                row.keys.iter().filter(|key| !wanted.iter().any(|own| own.clashes_with(**key))).copied().collect();
            if !left.is_empty() {
                row.keys = left;
            } else if let Some(key) = row.keys.first().copied().filter(|_| is_found_without_key(row)) {
                self.lost.push(LostKey { action: row.action, place, help: row.help.clone(), key });
                row.keys = left;
            }
        }
    }

    /// Returns the first key that asks for two actions in some place.
    pub fn clash(&self) -> Option<Clash<'_>> {
        for place in Pane::ALL {
            let strokes: Vec<(Keystroke, &Row)> =
                self.rows_at(*place).flat_map(|row| row.keys.iter().map(move |key| (*key, row))).collect();
            for (index, (key, first)) in strokes.iter().enumerate() {
                let mut rest = strokes.iter().skip(index + 1);
                if let Some((_, second)) = rest.find(|(other, _)| key.clashes_with(*other)) {
                    return Some(Clash { key: *key, place: *place, rows: [first, second] });
                }
            }
        }
        None
    }

    /// Returns the rows whose keys work at `place`: its own first, then those that work in more places.
    pub fn rows_at(&self, place: Pane) -> impl Iterator<Item = &Row> {
        let places = std::iter::once(place).chain(place.also().iter().copied());
        places.flat_map(|place| self.rows_of(place))
    }

    /// Returns every row.
    pub fn rows(&self) -> impl Iterator<Item = &Row> {
        self.rows.values().flatten()
    }

    /// Returns the rows that belong to `place` alone.
    pub fn rows_of(&self, place: Pane) -> impl Iterator<Item = &Row> {
        self.rows.get(&place).into_iter().flatten()
    }

    /// Returns what striking `key` at `place` asks for.
    pub fn action(&self, place: Pane, key: Keystroke) -> Option<Action> {
        self.rows_at(place).find(|row| row.keys.iter().any(|known| known.answers_to(key))).map(|row| row.action)
    }

    /// Returns the key that is shown for `action` at `place`.
    pub fn key_for(&self, place: Pane, action: Action) -> Option<Keystroke> {
        self.rows_at(place).find(|row| row.action == action).and_then(|row| row.keys.first().copied())
    }

    /// Returns the hints for `place`: action, key and words.
    pub fn hints(&self, place: Pane, wording: HintWording) -> impl Iterator<Item = (Action, Keystroke, &str)> {
        self.rows_at(place)
            .filter(|row| !row.hint.is_empty())
            .filter_map(move |row| row.keys.first().map(|key| (row.action, *key, row.hint_in(wording))))
    }
}

/// Returns whether an action can be done from the search even where it has no key: whatever belongs to a lesson, but for a typed digit,
/// which only its key can tell, and the search itself.
fn is_found_without_key(row: &Row) -> bool {
    let typed = row.keys.contains(&Keystroke::plain(Cap::AnyDigit));
    let search = row.action == Action::Program(ProgramAction::SearchActions);
    let searched = Focus::ALL.iter().map(|focus| focus.pane());
    !typed && !search && searched.into_iter().any(|pane| pane == row.place() || pane.also().contains(&row.place()))
}

/// Reads the rows of a text, in which a place is written without `Some`.
fn read(text: &str) -> Result<Vec<Row>, ron::error::SpannedError> {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME).from_str(text)
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
    use crate::workbench::keys::action::{DeskAction, LibraryAction};

    #[test]
    fn the_table_that_is_compiled_in_has_no_clash_and_takes_no_key_from_typing() {
        let table = KeyTable::built_in();
        assert_eq!(table.clash(), None);
        for place in Pane::ALL.iter().filter(|place| place.types()) {
            for row in table.rows_of(*place) {
                assert!(row.keys.iter().all(|key| key.typed().is_none()), "{row:?}");
            }
        }
    }

    #[test]
    fn an_action_is_read_by_its_name_in_key_files_and_by_the_one_that_it_had() {
        for action in Action::all() {
            assert_eq!(ron::from_str::<Action>(&action.name()), Ok(action));
        }
        let read = |name: &str| ron::from_str::<Action>(name).unwrap();
        assert_eq!(read("Timeline(ShiftLater)"), read("Timeline(ToggleRipple)"));
        assert_eq!(read("Timeline(ShiftLater)").name(), "Timeline(ShiftLater)");
    }

    #[test]
    fn every_action_has_a_row_where_it_is_at_home_or_elsewhere() {
        let table = KeyTable::built_in();
        for action in Action::all() {
            assert!(table.rows.values().flatten().any(|row| row.action == action), "{action:?} has no row");
        }
    }

    #[test]
    fn every_row_is_documented_and_has_a_key() {
        for row in KeyTable::built_in().rows.values().flatten() {
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
        let action = Action::Timeline(crate::workbench::keys::action::TimelineAction::AddAfter);
        assert_eq!(table.action(Pane::Timeline, "z".parse().unwrap()), Some(action));
        assert_eq!(table.action(Pane::Timeline, "a".parse().unwrap()), None);
        assert!(table.rows.values().flatten().any(|row| row.action == action && !row.help.is_empty()));
    }

    #[test]
    fn a_key_that_a_file_wants_is_given_up_by_a_row_that_has_another() {
        let table = KeyTable::built_in().with_own(r#"[(action: Timeline(AddAfter), keys: ["z", "]"])]"#).unwrap();
        let columns = Action::Timeline(crate::workbench::keys::action::TimelineAction::ToggleColumns);
        assert_eq!(table.key_for(Pane::Timeline, columns), "|".parse().ok(), "`z` is the file's now");
        let view = Action::Fretboard(crate::workbench::keys::action::FretboardAction::CycleLabels);
        assert_eq!(table.key_for(Pane::Fretboard, view), "z".parse().ok(), "in another pane nobody wants it");
    }

    #[test]
    fn an_action_whose_only_key_a_file_takes_goes_on_without_one_and_is_told() {
        let table = KeyTable::built_in().with_own(r#"[(action: Library(Take), keys: ["u"])]"#).unwrap();
        let undo = Action::Desk(DeskAction::Undo);
        let lost: Vec<(Action, Pane, String)> =
            table.lost().iter().map(|lost| (lost.action, lost.place, lost.key.to_string())).collect();
        assert_eq!(lost, [(undo, Pane::Desk, "u".to_owned())], "in the recording view the key is free");
        assert_eq!(table.action(Pane::Library, "u".parse().unwrap()), Some(Action::Library(LibraryAction::Take)));
        assert_eq!(table.key_for(Pane::Timeline, undo), None);
        assert!(table.rows_of(Pane::Desk).any(|row| row.action == undo), "its row is still there to be found");
        assert_eq!(KeyTable::built_in().lost(), []);
    }

    #[test]
    fn a_faulty_key_file_says_what_is_wrong_and_where() {
        let message = |text| KeyTable::built_in().with_own(text).unwrap_err().to_string();
        for (text, expected) in [
            (
                "[(action: Timeline(AddAftr), keys: [\"z\"])]",
                "line 1, column 27: there is no action `Timeline(AddAftr)` (perhaps Timeline(AddAfter)); the search",
            ),
            (
                "[(action: Fretbord(Mute), keys: [\"z\"])]",
                "line 1, column 19: there is no action `Fretbord` (perhaps Fretboard);",
            ),
            (
                "[(action: Timeline(Juggle), keys: [\"z\"])]",
                "line 1, column 26: there is no action `Timeline(Juggle)`; the",
            ),
            ("[\n(action: Timeline(AddAfter), keys: [\"Ctrl+\"])]", "line 2, column 44: `Ctrl+` is not a key"),
            ("[(action: Timeline(AddAfter), key: \"z\")]", "line 1, column 34: Unexpected field named `key`"),
            (
                "[\n  (action: Timeline(AddAfter), keys: [])]",
                "line 2, column 3: Timeline(AddAfter) needs at least one key",
            ),
            (
                "// mine\n[(action: Timeline(AddAfter), keys: [\"t\"]), (action: Timeline(ChoosePassages), keys: [\"t\"])]",
                "line 2, column 45: the key `t` would mean two things (timeline): add a segment after this one, and choose the tab: which passages the segment plays",
            ),
            (
                "[(action: Choice(Next), keys: [\"Enter\"]), (action: Choice(Accept), keys: [\"Enter\"])]",
                "line 1, column 43: the key `Enter` would mean two things (choosing)",
            ),
            (
                "[(action: Entry(Left), keys: [\"Enter\"])]",
                "line 1, column 2: the key `Enter` would mean two things (typing a line)",
            ),
            (
                "[(action: Fretboard(Open), keys: [\"7\"])]",
                "line 1, column 2: the key `0-9` would mean two things (fretboard)",
            ),
            (
                "[(action: Timeline(AddAfter), pane: Start, keys: [\"z\"])]",
                "line 1, column 2: Timeline(AddAfter) cannot be asked for in `start screen`",
            ),
            (
                "[(action: Library(Next), keys: [\"z\"]),\n (action: Library(Next), keys: [\"y\"])]",
                "line 2, column 2: Library(Next) stands here a second time",
            ),
            (
                "[(action: Entry(Accept), keys: [\"Enter\", \"y\"])]",
                "line 1, column 2: `y` is needed for typing (typing a line); choose",
            ),
        ] {
            let said = message(text);
            assert!(said.starts_with(expected), "{text}\n{said}");
        }
    }

    #[test]
    fn a_key_that_works_in_more_places_clashes_in_each_of_them() {
        // `u` undoes in every pane; the row that takes it is the second of the file.
        let text = "[(action: Desk(Undo), keys: [\"u\"]), /* ( */ (action: Library(Take), keys: [\"u\"])]";
        let error = KeyTable::built_in().with_own(text).unwrap_err();
        let KeyFileError::Clash { at, .. } = error else { panic!("{error}") };
        assert_eq!(at, RowPlace { line: 1, column: 1 + text.find("(action: Library(Take)").unwrap() });
        // The key is free once the other row has given it up.
        let rest = "[(action: Library(Take), keys: [\"u\"])";
        let table =
            KeyTable::built_in().with_own(&format!("{rest}, (action: Desk(Undo), keys: [\"Ctrl+Y\"])]")).unwrap();
        assert_eq!(table.action(Pane::Library, "u".parse().unwrap()), Some(Action::Library(LibraryAction::Take)));
        assert_eq!(table.action(Pane::Library, "Ctrl+Y".parse().unwrap()), Some(Action::Desk(DeskAction::Undo)));
    }

    #[test]
    fn rows_are_counted_outside_comments_and_quotes() {
        let text = "#![enable(implicit_some)]\n[ // (\n (keys: [\"(\", \"\\\"(\"]), /* ( \n ( */ (a(b)),\n]";
        let places: Vec<(usize, usize)> = row_places(text).iter().map(|place| (place.line, place.column)).collect();
        assert_eq!(places, [(3, 2), (4, 7)]);
    }
}
