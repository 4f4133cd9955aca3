//! A list that a typed line narrows: what is typed, what is left of the list, and which line of it is selected.

use crate::workbench::typing::lines::{NoRoom, TypedLine};

/// A list that a typed line narrows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct NarrowedList<T> {
    line: TypedLine,
    rows: Vec<T>,
    selected: usize,
    /// How many lines a screenful is.
    page: usize,
}

/// What a key does to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ListStep {
    /// Selects the line before.
    Previous,
    /// Selects the next line.
    Next,
    /// Selects the first line.
    First,
    /// Selects the last line.
    Last,
    /// Goes up a screenful.
    PageUp,
    /// Goes down a screenful.
    PageDown,
    /// Erases the last character.
    Erase,
    /// Erases all that is typed.
    EraseAll,
}

/// What is left of a list, and which line of it is selected.
pub(super) type Narrowed<T> = (Vec<T>, usize);

impl<T> NarrowedList<T> {
    /// Returns a list with nothing typed, of which `find` says what is shown.
    pub(super) fn new(page: usize, find: impl FnOnce(&str) -> Narrowed<T>) -> Self {
        let mut list = Self { line: TypedLine::default(), rows: Vec::new(), selected: 0, page };
        list.show(find);
        list
    }

    /// Returns what is typed.
    pub(super) const fn line(&self) -> &TypedLine {
        &self.line
    }

    /// Returns what is left of the list.
    pub(super) fn rows(&self) -> &[T] {
        &self.rows
    }

    /// Returns the number of the selected line, from 0.
    pub(super) const fn selected(&self) -> usize {
        self.selected
    }

    /// Returns the selected line; `None` where nothing is left.
    pub(super) fn selected_row(&self) -> Option<&T> {
        self.rows.get(self.selected)
    }

    /// Types a text in one go. Errors: there is no room for all of it, and nothing of it was taken.
    pub(super) fn type_all(&mut self, text: &str, find: impl FnOnce(&str) -> Narrowed<T>) -> Result<(), NoRoom> {
        self.line.insert_all(text)?;
        self.show(find);
        Ok(())
    }

    /// Does what a key asks; where that changes what is typed, `find` says what is left.
    pub(super) fn step(&mut self, step: ListStep, find: impl FnOnce(&str) -> Narrowed<T>) {
        let last = self.rows.len().saturating_sub(1);
        match step {
            ListStep::Previous => self.selected = self.selected.saturating_sub(1),
            ListStep::Next => self.selected = (self.selected + 1).min(last),
            ListStep::First => self.selected = 0,
            ListStep::Last => self.selected = last,
            ListStep::PageUp => self.selected = self.selected.saturating_sub(self.page),
            ListStep::PageDown => self.selected = (self.selected + self.page).min(last),
            ListStep::Erase => {
                self.line.erase_before();
                self.show(find);
            }
            ListStep::EraseAll => {
                self.line.erase_all();
                self.show(find);
            }
        }
    }

    fn show(&mut self, find: impl FnOnce(&str) -> Narrowed<T>) {
        (self.rows, self.selected) = find(self.line.text());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns the numbers below 30 whose figures hold what is typed.
    fn numbers(typed: &str) -> Narrowed<usize> {
        ((0..30).filter(|number| number.to_string().contains(typed)).collect(), 0)
    }

    #[test]
    fn what_is_typed_narrows_the_list_and_erasing_brings_it_back() {
        let mut list = NarrowedList::new(10, numbers);
        list.type_all("9", numbers).unwrap();
        assert_eq!(list.rows(), [9, 19, 29]);
        list.step(ListStep::PageDown, numbers);
        assert_eq!(list.selected_row(), Some(&29), "no further than the last");
        list.step(ListStep::Previous, numbers);
        assert_eq!(list.selected(), 1);
        list.step(ListStep::Erase, numbers);
        assert_eq!((list.rows().len(), list.selected()), (30, 0));
        list.type_all("x", numbers).unwrap();
        list.step(ListStep::Next, numbers);
        assert_eq!((list.selected(), list.selected_row()), (0, None));
        list.step(ListStep::EraseAll, numbers);
        list.step(ListStep::PageDown, numbers);
        list.step(ListStep::Next, numbers);
        list.step(ListStep::PageUp, numbers);
        assert_eq!(list.selected_row(), Some(&1));
    }
}
