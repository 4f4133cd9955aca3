//! Everything that was done, in one order, whatever its sort: what was done last is taken back first.
//!
//! A step is what one key did: a change of the lesson, if it made one, and what happened beside it, which the history
//! carries without knowing it.

use crate::lesson::history::Change;
use crate::workbench::editing::edited_lesson::{MadeChange, PlaceInHistory};

/// What one key did.
#[derive(Debug, Clone, PartialEq)]
pub struct Step<B> {
    /// How it changed the lesson, if it did.
    pub made: Option<MadeChange>,
    /// What it did beside that.
    pub beside: B,
}

/// What was done, and what of it was undone.
#[derive(Debug, Clone, PartialEq)]
pub struct History<B> {
    done: Vec<Step<B>>,
    undone: Vec<Step<B>>,
}

impl<B> Default for History<B> {
    fn default() -> Self {
        Self { done: Vec::new(), undone: Vec::new() }
    }
}

impl<B> History<B> {
    /// Adds a step; what was undone before is forgotten. One whose change stands in the place of the last takes that
    /// step's place, and `join` says what both did beside it; where nothing of them is left, neither stays.
    pub fn push(&mut self, step: Step<B>, join: impl FnOnce(B, B) -> B) {
        self.undone.clear();
        let instead = step.made.as_ref().filter(|made| made.stands == PlaceInHistory::InPlaceOfTheLast);
        let Some(made) = instead else {
            self.done.push(step);
            return;
        };
        let nothing_left = made.change.is_empty();
        let earlier = self.done.pop();
        if !nothing_left {
            let beside = match earlier {
                Some(earlier) => join(earlier.beside, step.beside),
                None => step.beside,
            };
            self.done.push(Step { beside, ..step });
        }
    }

    /// Takes back the step that was done last, by `back`; where that fails, nothing is moved. Returns `None` when there
    /// is nothing to take back.
    pub fn undo<R, E>(&mut self, back: impl FnOnce(&Step<B>) -> Result<R, E>) -> Option<Result<R, E>> {
        Self::shift(&mut self.done, &mut self.undone, back)
    }

    /// Does the step again that was undone last, by `forth`; where that fails, nothing is moved. Returns `None` when
    /// there is nothing to do again.
    pub fn redo<R, E>(&mut self, forth: impl FnOnce(&Step<B>) -> Result<R, E>) -> Option<Result<R, E>> {
        Self::shift(&mut self.undone, &mut self.done, forth)
    }

    fn shift<R, E>(
        from: &mut Vec<Step<B>>,
        to: &mut Vec<Step<B>>,
        go: impl FnOnce(&Step<B>) -> Result<R, E>,
    ) -> Option<Result<R, E>> {
        let step = from.pop()?;
        let gone = go(&step);
        if gone.is_ok() {
            to.push(step)
        } else {
            from.push(step)
        }
        Some(gone)
    }

    /// Returns the changes of the lesson among the last steps that can be taken back, `most` of them, in order.
    pub fn changes(&self, most: usize) -> Vec<Change> {
        let made = self.done.iter().filter_map(|step| Some(step.made.as_ref()?.change.clone()));
        let mut last: Vec<Change> = made.rev().take(most).collect();
        last.reverse();
        last
    }

    /// Returns how many steps can be taken back.
    pub const fn len(&self) -> usize {
        self.done.len()
    }

    /// Returns whether there is nothing to take back.
    pub const fn is_empty(&self) -> bool {
        self.done.is_empty()
    }
}
