//! Sentences that name keys: they are written with the names of actions in braces, as in `{Desk(Undo)} undoes`, and the
//! person's own keys are put in their place before the sentence is shown.

use crate::workbench::keys::keystroke::Keystroke;
use crate::workbench::keys::table::KeyTable;

impl KeyTable {
    /// Returns `text` with the key of the person in place of each action that stands in braces, written as in a key file.
    /// Braces around anything else stay as they are.
    pub fn name_keys(&self, text: &str) -> String {
        let mut named = String::with_capacity(text.len());
        let mut rest = text;
        while let Some((before, from)) = rest.split_once('{') {
            named.push_str(before);
            let action = from.split_once('}');
            match action.and_then(|(name, after)| Some((self.key_of(name)?, after))) {
                Some((key, after)) => {
                    // A sign alone would be taken for one of the sentence's own.
                    let sign = key.typed().is_some_and(|letter| letter.is_ascii_punctuation());
                    named.push_str(&if sign { format!("`{key}`") } else { key.to_string() });
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

    /// Returns the key that is shown for the action of this name, first in the place that it belongs to.
    fn key_of(&self, name: &str) -> Option<Keystroke> {
        let mut rows = self.rows().filter(|row| format!("{:?}", row.action) == name);
        let first = rows.next()?;
        let at_home = |place| place == first.action.home();
        let row = if at_home(first.place()) { first } else { rows.find(|row| at_home(row.place())).unwrap_or(first) };
        row.keys.first().copied()
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
        let own = table.with_own(r#"[(action: Desk(Undo), keys: ["Ctrl+Y", "u"])]"#).unwrap();
        assert_eq!(own.name_keys("{Desk(Undo)}{Desk(Undo)"), "Ctrl+Y{Desk(Undo)");
    }
}
