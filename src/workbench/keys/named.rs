//! Sentences that name keys: they are written with the names of actions in braces, as in `{Desk(Undo)} undoes`, and the
//! person's own keys are put in their place before the sentence is shown.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use crate::workbench::keys::action::{Action, DeskAction, Focus, Pane, ProgramAction};
use crate::workbench::keys::table::{KeyTable, Row};

/// Every action by its name in the code: sentences are settled after each message, and writing some three hundred names
/// to compare them with one costs more than all the rest of that.
static ACTIONS: LazyLock<BTreeMap<String, Action>> =
    LazyLock::new(|| Action::all().map(|action| (format!("{action:?}"), action)).collect());

/// A sentence that stands in a pane, with the person's own keys in it.
///
/// What is on the screen is settled after every message, and such a sentence changes only where the keys are struck elsewhere.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct StandingSentence {
    text: String,
    /// Where the keys are struck that it names, and from which table they are.
    named: Option<(Pane, u32)>,
}

impl StandingSentence {
    /// Takes on the keys as they are struck at `here`; `written` is the sentence with the names of actions, always the same.
    pub fn name_keys(&mut self, written: &str, keys: &KeyTable, here: Pane) {
        let named = Some((here, keys.laid_over()));
        if self.named != named {
            (self.text, self.named) = (keys.name_keys_at(here, written), named);
        }
    }

    /// Returns the sentence.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl KeyTable {
    /// Returns `text` with the key of the person in place of each action that stands in braces, written as in a key file.
    /// Braces around anything else stay as they are.
    pub fn name_keys(&self, text: &str) -> String {
        self.named(text, |row| self.way_to(row))
    }

    /// Returns `text` as [`Self::name_keys`] does, for somebody at `here`: before a key of another pane stands the key that goes there.
    pub fn name_keys_at(&self, here: Pane, text: &str) -> String {
        self.named(text, |row| self.way_from(here, row))
    }

    /// Returns `text` without those of its clauses, which are apart by semicolons, that name actions which no key does at `here`. The
    /// first one stays: it says what happened.
    pub fn working_at(&self, here: Pane, text: &str) -> String {
        let works = |row: &Row| self.key_for(here, row.action).is_some();
        let fits = |clause: &&str| {
            let mut named = clause.split('{').skip(1).filter_map(|from| self.row_of(from.split_once('}')?.0));
            named.all(works)
        };
        let mut clauses = text.split("; ");
        let first = clauses.next().unwrap_or_default();
        std::iter::once(first).chain(clauses.filter(fits)).collect::<Vec<_>>().join("; ")
    }

    fn named(&self, text: &str, way: impl Fn(&Row) -> String) -> String {
        let mut named = String::with_capacity(text.len());
        let mut rest = text;
        while let Some((before, from)) = rest.split_once('{') {
            named.push_str(before);
            let action = from.split_once('}');
            match action.and_then(|(name, after)| Some((self.row_of(name)?, after))) {
                Some((row, after)) => {
                    named.push_str(&way(row));
                    rest = after;
                }
                None => {
                    named.push('{');
                    rest = from;
                }
            }
        }
        named.push_str(rest);
        named
    }

    /// Returns the key of a row for somebody at `here`: `W`, or `T, then W` where it is a key of another pane.
    fn way_from(&self, here: Pane, row: &Row) -> String {
        if let Some(row) = self.rows_at(here).find(|near| near.action == row.action) {
            return self.way_to(row);
        }
        let home = Focus::ALL.iter().find(|focus| {
            let pane = focus.pane();
            pane == row.place() || (pane.also().contains(&row.place()) && row.place() != Pane::Desk)
        });
        let there = home.map(|focus| match focus {
            Focus::Timeline => DeskAction::GoToTimeline,
            Focus::Passage => DeskAction::GoToPassage,
            Focus::Fretboard => DeskAction::GoToFretboard,
            Focus::Readings => DeskAction::GoToReadings,
            Focus::Library => DeskAction::GoToLibrary,
        });
        let there = there.and_then(|there| self.rows_at(here).find(|row| row.action == Action::Desk(there)));
        there.map_or_else(|| self.way_to(row), |there| format!("{}, then {}", self.way_to(there), self.way_to(row)))
    }

    /// Returns the key of a row as it stands in a sentence. Where it has none, the search leads to it by its words.
    fn way_to(&self, row: &Row) -> String {
        match row.keys.first() {
            // A sign alone would be taken for one of the sentence's own.
            Some(key) if key.typed().is_some_and(|letter| letter.is_ascii_punctuation()) => format!("`{key}`"),
            Some(key) => key.to_string(),
            None => {
                let search = self.key_for(Pane::Desk, Action::Program(ProgramAction::SearchActions));
                let words = if row.hint.is_empty() { &row.help } else { &row.hint };
                search.map_or_else(|| format!("\"{words}\""), |search| format!("{search} \"{words}\""))
            }
        }
    }

    /// Returns the row of the action of this name, first in the place that it belongs to.
    fn row_of(&self, name: &str) -> Option<&Row> {
        let action = ACTIONS.get(name)?;
        let at_home = self.rows_of(action.home()).find(|row| row.action == *action);
        at_home.or_else(|| self.rows().find(|row| row.action == *action))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_action_in_braces_is_told_by_the_key_of_the_person() {
        let table = KeyTable::built_in();
        assert_eq!(table.name_keys("{Desk(Undo)} undoes, {x} {"), "u undoes, {x} {");
        assert_eq!(table.name_keys("none: {Timeline(Stamp)} gives one"), "none: `:` gives one");
        let own = table.clone().with_own(r#"[(action: Desk(Undo), keys: ["Ctrl+Y", "u"])]"#).unwrap();
        assert_eq!(own.name_keys("{Desk(Undo)}{Desk(Undo)"), "Ctrl+Y{Desk(Undo)");
        let lost = table.with_own(r#"[(action: Library(Take), keys: ["u"])]"#).unwrap();
        assert_eq!(lost.name_keys("{Desk(Undo)} undoes"), "Ctrl+F \"undo\" undoes", "it has no key any more");
    }

    #[test]
    fn what_names_keys_that_do_nothing_here_is_left_out() {
        let table = KeyTable::built_in();
        let text =
            "2 changes are back; {Desk(Save)} saves, {Desk(Undo)} undoes; they are whole; {Entry(Cancel)} cancels";
        assert_eq!(
            table.working_at(Pane::Timeline, text),
            "2 changes are back; {Desk(Save)} saves, {Desk(Undo)} undoes; they are whole"
        );
        assert_eq!(table.working_at(Pane::Entry, text), "2 changes are back; they are whole; {Entry(Cancel)} cancels");
        assert_eq!(table.working_at(Pane::Entry, "{Desk(Undo)} undoes"), "{Desk(Undo)} undoes", "something is said");
    }

    #[test]
    fn a_standing_sentence_follows_the_place_and_the_keys() {
        let mut sentence = StandingSentence::default();
        let mut at = |keys: &KeyTable, here| {
            sentence.name_keys("{Timeline(Mend)} fixes it", keys, here);
            sentence.text().to_owned()
        };
        let built_in = KeyTable::built_in();
        assert_eq!(at(&built_in, Pane::Timeline), "W fixes it");
        assert_eq!(at(&built_in, Pane::Fretboard), "T, then W fixes it");
        let own = built_in.with_own(r#"[(action: Timeline(Mend), keys: ["Ctrl+W"])]"#).unwrap();
        assert_eq!(at(&own, Pane::Fretboard), "T, then Ctrl+W fixes it");
    }

    #[test]
    fn from_another_pane_the_key_that_goes_there_comes_first() {
        let table = KeyTable::built_in();
        let text = "{Timeline(Mend)} fixes it, {Desk(Undo)} undoes, {Neck(Smaller)} is smaller";
        assert_eq!(table.name_keys_at(Pane::Timeline, text), "W fixes it, u undoes, F, then `-` is smaller");
        assert_eq!(table.name_keys_at(Pane::Fretboard, text), "T, then W fixes it, u undoes, `-` is smaller");
    }
}
