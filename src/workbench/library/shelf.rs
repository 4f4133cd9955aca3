//! The voicings that the library keeps on the disk, as the workbench has them open.
//!
//! A library of 10,000 voicings is not made anew for one that has changed: what is handed over shares every voicing that
//! is as it was before. Who reads and writes the file is the runtime's.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

use crate::store::library::{Library, LibraryVoicing};
use crate::workbench::library::item::LibraryItem;

/// The voicings kept on the disk. Cheap to clone.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shelf {
    items: Arc<Vec<Arc<LibraryItem>>>,
    /// What stands for the fingers of each, in order, with the place of the voicing.
    fingers: Arc<Vec<(u64, usize)>>,
}

impl Shelf {
    /// Returns the voicings, in their order.
    pub fn items(&self) -> &[Arc<LibraryItem>] {
        &self.items
    }

    /// Returns whether the same fingers on strings that sound the same are kept.
    pub fn keeps(&self, voicing: &LibraryVoicing) -> bool {
        self.alike(voicing).next().is_some()
    }

    /// Returns the voicings that are the same fingers on strings that sound the same.
    fn alike<'a>(&'a self, voicing: &'a LibraryVoicing) -> impl Iterator<Item = &'a Arc<LibraryItem>> {
        let number = number_of(voicing);
        let first = self.fingers.partition_point(|(known, _)| *known < number);
        let numbered = self.fingers.iter().skip(first).take_while(move |(known, _)| *known == number);
        numbered.filter_map(|(_, place)| self.items.get(*place)).filter(|item| item.voicing.is_same_place(voicing))
    }

    fn of(items: Vec<Arc<LibraryItem>>) -> Self {
        let numbers = items.iter().enumerate().map(|(place, item)| (number_of(&item.voicing), place));
        let mut fingers: Vec<(u64, usize)> = numbers.collect();
        fingers.sort_unstable();
        Self { items: Arc::new(items), fingers: Arc::new(fingers) }
    }

    /// Returns what `library` holds; what is as it was before is not made anew.
    pub(in crate::workbench) fn after(&self, library: Library) -> Self {
        let item = |voicing: LibraryVoicing| {
            let known = self.alike(&voicing).find(|item| item.voicing == voicing).cloned();
            known.unwrap_or_else(|| Arc::new(LibraryItem::from(voicing)))
        };
        Self::of(library.voicings.into_iter().map(item).collect())
    }
}

impl From<Vec<LibraryItem>> for Shelf {
    fn from(items: Vec<LibraryItem>) -> Self {
        Self::of(items.into_iter().map(Arc::new).collect())
    }
}

/// Returns a number that is the same for the same fingers on strings that sound the same.
fn number_of(voicing: &LibraryVoicing) -> u64 {
    let mut hasher = DefaultHasher::new();
    (&voicing.shape, &voicing.capo).hash(&mut hasher);
    for pitch in voicing.tuning.strings() {
        pitch.midi().hash(&mut hasher);
    }
    hasher.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workbench::editing::rigs::standard_guitar;

    fn voicing(name: &str, shape: &str) -> LibraryVoicing {
        LibraryVoicing::plain(name, shape.parse().unwrap(), &standard_guitar())
    }

    #[test]
    fn the_same_fingers_are_the_same_under_another_name_and_not_under_a_capo() {
        let shelf = Shelf::from(vec![LibraryItem::from(voicing("C", "x32010"))]);
        assert!(shelf.keeps(&voicing("Am7/C", "x 3 2 0 1 0")));
        assert!(!shelf.keeps(&voicing("C", "x32013")));
        assert!(!shelf.keeps(&LibraryVoicing { capo: Some("3".parse().unwrap()), ..voicing("C", "x32010") }));
    }
}
