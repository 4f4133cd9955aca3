//! What is left of the voicings where a level shows only a few of them.

use super::Search;
use crate::instrument::fingering::Held;
use crate::instrument::voicing::found_voicing::Hit;
use crate::instrument::voicing::ranking::BassTone;

impl Search<'_> {
    /// Keeps at most so many voicings, the best: those over the root, and others as long as there are fewer than the
    /// first number.
    pub(super) fn keep_few(&mut self, (fewest, most): (usize, usize)) {
        self.sort(usize::MAX);
        let (mut few, others): (Vec<Hit>, Vec<Hit>) = self.list.iter().partition(|hit| self.is_over_root(&hit.held));
        few.truncate(most);
        few.extend(others.into_iter().take(fewest.saturating_sub(few.len())));
        self.list = few;
    }

    /// Returns whether the lowest note of `held` is the root, or the bass that was asked for.
    fn is_over_root(&self, held: &Held) -> bool {
        let notes = held.iter().enumerate().filter_map(|(index, wire)| self.board.note(index, *wire));
        notes.min().is_some_and(|bass| self.bass_tone(bass) == BassTone::Proper)
    }
}
