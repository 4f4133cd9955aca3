//! What must differ from machine to machine and from day to day, from the operating system.

use std::hash::{BuildHasher, RandomState};

use crate::lesson::fresh::Seed;
use crate::lesson::id::LessonId;

/// Returns a seed that nobody else has.
pub fn seed() -> Seed {
    Seed(u64::from_le_bytes(bytes()))
}

/// Returns the identity of a lesson that is being made.
pub fn lesson_id() -> LessonId {
    LessonId::new(bytes())
}

/// Returns random bytes.
fn bytes<const N: usize>() -> [u8; N] {
    let mut bytes = [0; N];
    if getrandom::fill(&mut bytes).is_err() {
        // A system without such a source seeds its hash tables as well as it can; that will do for identities.
        for piece in bytes.chunks_mut(8) {
            let state = RandomState::new();
            piece.copy_from_slice(state.hash_one(piece.len()).to_le_bytes().get(..piece.len()).unwrap_or_default());
        }
    }
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_lessons_are_alike() {
        let lessons: std::collections::BTreeSet<LessonId> = (0..1000).map(|_| lesson_id()).collect();
        assert_eq!(lessons.len(), 1000);
    }

    #[test]
    fn no_two_seeds_are_alike() {
        let mut seeds: Vec<u64> = (0..1000).map(|_| seed().0).collect();
        seeds.sort_unstable();
        seeds.dedup();
        assert_eq!(seeds.len(), 1000);
    }
}
