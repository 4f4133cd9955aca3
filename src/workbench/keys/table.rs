//! The one table of actions and keys. Dispatch, hint line and help screen read it, and a teacher's own key file is
//! merged over it. Reading that file from the disk is not done here.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use crate::workbench::keys::action::{Action, Focus, Pane, ProgramAction};
use crate::workbench::keys::key_file::{OwnRow, rows_of_file};
use crate::workbench::keys::keystroke::{Cap, Keystroke};
use crate::workbench::keys::row::read;

pub use crate::workbench::keys::key_file::{KeyFileError, RowPlace};
pub use crate::workbench::keys::row::{HintWording, Row};

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

impl Clash<'_> {
    /// Returns what is told of it, and which of the rows of the file brings the key in: the later, where both are there. `None` where
    /// neither is.
    fn told(&self, own: &[OwnRow]) -> Option<(KeyFileError, usize)> {
        let [first, second] = self.rows;
        let place_of = |row: &Row| own.iter().position(|own| own.is_for(row));
        let row = place_of(first).max(place_of(second))?;
        let at = own.get(row)?.at;
        let (first, second) = (first.help.clone(), second.help.clone());
        Some((KeyFileError::Clash { at, key: self.key, place: self.place.word(), first, second }, row))
    }
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
    pub fn with_own(self, text: &str) -> Result<Self, KeyFileError> {
        let (table, refused) = self.with_usable(text);
        refused.into_iter().next().map_or(Ok(table), Err)
    }

    /// Returns the table with those rows of a key file in place of its own that can be used, and why the others cannot: for
    /// them the table's own stay. Of two rows that want one key, the table's own stays, or the one that stands first in the file.
    pub fn with_usable(self, text: &str) -> (Self, Vec<KeyFileError>) {
        let (mut own, mut refused) = rows_of_file(text);
        let mut known: Vec<(Action, Pane)> = Vec::new();
        own.retain(|OwnRow { row, at }| match self.why_not(row, *at, &known) {
            Some(error) => {
                refused.push(error);
                false
            }
            None => {
                known.push((row.action, row.place()));
                true
            }
        });
        loop {
            let mut table = self.clone();
            table.laid_over += 1;
            table.lay_over(&own);
            // One of the two rows comes from the file, since the built-in table has no clash; each turn has one row fewer.
            let Some((error, refused_row)) = table.clash().and_then(|clash| clash.told(&own)) else {
                return (table, refused);
            };
            refused.push(error);
            own.remove(refused_row);
        }
    }

    /// Returns why a row of a key file cannot be used, whatever else stands there; `known` are the rows before it.
    fn why_not(&self, row: &Row, at: RowPlace, known: &[(Action, Pane)]) -> Option<KeyFileError> {
        let (place, action) = (row.place(), row.action.name());
        if row.keys.is_empty() {
            return Some(KeyFileError::NoKey { at, action });
        }
        if known.contains(&(row.action, place)) {
            return Some(KeyFileError::Twice { at, action });
        }
        if let Some(key) = row.keys.iter().copied().find(|key| place.types() && key.typed().is_some()) {
            return Some(KeyFileError::Typed { at, key, place: place.word() });
        }
        let is_known = self.rows_of(place).any(|known| known.action == row.action);
        (!is_known).then(|| KeyFileError::Place { at, action, place: place.word() })
    }

    /// Puts rows of a key file in the place of those for the same actions.
    fn lay_over(&mut self, own: &[OwnRow]) {
        for OwnRow { row, .. } in own {
            let rows = self.rows.get_mut(&row.place());
            let Some(known) = rows.and_then(|rows| rows.iter_mut().find(|known| known.action == row.action)) else {
                continue;
            };
            known.keys.clone_from(&row.keys);
            if !row.help.is_empty() {
                known.help.clone_from(&row.help);
            }
            if !row.hint.is_empty() {
                // The short words were those of the other hint.
                (known.hint, known.short) = (row.hint.clone(), row.short.clone());
            }
            if !row.find.is_empty() {
                known.find.clone_from(&row.find);
            }
        }
        self.give_way(own);
    }

    /// Takes keys that a file wants for its own rows off rows that it does not name, where those have another key left.
    fn give_way(&mut self, own: &[OwnRow]) {
        let named = |row: &Row| own.iter().any(|own| own.is_for(row));
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
    fn the_rows_that_can_be_used_are_used_and_the_others_told_each_with_its_place() {
        let key = |key: &str| key.parse::<Keystroke>().unwrap();
        let add = Action::Timeline(crate::workbench::keys::action::TimelineAction::AddAfter);
        let passages = Action::Timeline(crate::workbench::keys::action::TimelineAction::ChoosePassages);
        for (rest, told) in [
            (
                "(action: Timeline(ChoosePassages), keys: [\"z\"])",
                &["line 3, column 2: the key `z` would mean two things"][..],
            ),
            (
                "(action: Timeline(AddAftr), keys: [\"y\"])",
                &["line 3, column 27: there is no action `Timeline(AddAftr)`"],
            ),
            ("(action: Timeline(ChoosePassages), keys: [])", &["line 3, column 2: Timeline(ChoosePassages) needs"]),
            (
                "(action: Timeline(AddAfter), keys: [\"y\"])",
                &["line 3, column 2: Timeline(AddAfter) stands here a second"],
            ),
            ("(action: Sideways, keys: 3),\n (acton: 5)", &["line 3, column", "line 4, column"]),
        ] {
            let text = format!("[\n (action: Timeline(AddAfter), keys: [\"z\"]), // ♭ mine\n {rest},\n]");
            let (table, refused) = KeyTable::built_in().with_usable(&text);
            assert_eq!(table.action(Pane::Timeline, key("z")), Some(add), "{rest}");
            assert_eq!(table.action(Pane::Timeline, key("t")), Some(passages), "{rest}");
            assert_eq!(table.clash(), None);
            let refused: Vec<String> = refused.iter().map(ToString::to_string).collect();
            assert_eq!(refused.len(), told.len(), "{refused:?}");
            assert!(refused.iter().zip(told).all(|(refused, told)| refused.starts_with(told)), "{refused:?}");
        }
        let (table, refused) = KeyTable::built_in().with_usable("keys: none");
        assert_eq!((table.rows().eq(KeyTable::built_in().rows()), refused.len()), (true, 1));
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
}
