//! The headings of the help screen: under which of them a row of the table of keys stands.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::workbench::keys::action::{Action, Pane};
use crate::workbench::keys::table::Row;

/// One heading, and what stands under it.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HelpHeading {
    /// The job that the keys under it do.
    pub heading: String,
    /// Actions that stand under it wherever they can be asked for.
    #[serde(default)]
    pub actions: Vec<Action>,
    /// Places whose other rows stand under it.
    #[serde(default)]
    pub places: Vec<Pane>,
}

impl HelpHeading {
    /// Returns the headings in the order of the table that is compiled in.
    pub fn all() -> Vec<Self> {
        static HEADINGS: LazyLock<Vec<HelpHeading>> = LazyLock::new(|| {
            ron::from_str(include_str!("../../../assets/help.ron")).expect("a test reads the table that is compiled in")
        });
        HEADINGS.clone()
    }

    /// Returns the number, from 0, of the heading under which a row stands.
    pub fn of(headings: &[Self], row: &Row) -> Option<usize> {
        let by_action = headings.iter().position(|heading| heading.actions.contains(&row.action));
        by_action.or_else(|| headings.iter().position(|heading| heading.places.contains(&row.place())))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workbench::keys::table::KeyTable;

    #[test]
    fn every_row_stands_under_one_heading_and_no_heading_is_empty() {
        let headings = HelpHeading::all();
        let mut filled = vec![false; headings.len()];
        for row in KeyTable::built_in().rows() {
            let place = HelpHeading::of(&headings, row);
            filled[place.unwrap_or_else(|| panic!("{:?} stands under no heading", row.action))] = true;
        }
        assert!(filled.iter().all(|filled| *filled), "{filled:?}");
        let mut actions: Vec<Action> = headings.iter().flat_map(|heading| heading.actions.clone()).collect();
        let mut places: Vec<Pane> = headings.iter().flat_map(|heading| heading.places.clone()).collect();
        let counts = (actions.len(), places.len());
        actions.sort_unstable();
        actions.dedup();
        places.sort_unstable();
        places.dedup();
        assert_eq!((actions.len(), places.len()), counts, "each is named once");
        assert_eq!(
            places,
            Pane::ALL.iter().copied().collect::<std::collections::BTreeSet<_>>().into_iter().collect::<Vec<_>>()
        );
    }
}
