//! The keys of music that goes to another tuning with its frets. A key is stated as it sounds, so it moves along where all
//! strings sound so much higher or lower than before, and stays where only some of them sound different.

use super::music::Passage;
use crate::instrument::rig::Rig;
use crate::theory::key::Key;

/// What became of a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeyChange {
    /// It moved as far as the sound did.
    Moved {
        /// The key before.
        from: Key,
        /// The key now.
        to: Key,
    },
    /// It stays, although some strings sound different.
    Stays(Key),
}

/// How far the same frets sound from where they sounded before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SoundMove {
    /// They sound the same.
    Nowhere,
    /// All of them sound this many semitones higher.
    By(i32),
    /// Some strings sound different and others do not, or not as much.
    Apart,
}

impl SoundMove {
    /// Returns how far the frets of `old` move when they are played on `new`.
    pub(super) fn between(old: &Rig, new: &Rig) -> Self {
        if !old.strings().eq(new.strings()) {
            return Self::Apart;
        }
        let midi = |rig: &Rig, string| rig.open(string).map(|open| i32::from(open.midi().number()));
        let steps: Option<Vec<i32>> =
            old.strings().map(|string| Some(midi(new, string)? - midi(old, string)?)).collect();
        match steps.as_deref() {
            Some([first, others @ ..]) if others.iter().all(|step| step == first) => {
                if *first == 0 {
                    Self::Nowhere
                } else {
                    Self::By(*first)
                }
            }
            Some([]) => Self::Nowhere,
            Some(_) | None => Self::Apart,
        }
    }

    /// Returns the key that music in `key` has afterwards, and notes what became of it.
    pub(super) fn taking_along(self, key: Key, noted: &mut Vec<KeyChange>) -> Key {
        let (now, change) = match self {
            Self::Nowhere => return key,
            Self::By(steps) => {
                let to = key.moved(steps);
                (to, KeyChange::Moved { from: key, to })
            }
            Self::Apart => (key, KeyChange::Stays(key)),
        };
        if !noted.contains(&change) {
            noted.push(change);
        }
        now
    }

    /// Returns a passage with the keys that it has afterwards. `inherited` is the key of its piece, where that stays as it is:
    /// the passage then states its own.
    pub(super) fn with_keys(self, passage: &Passage, inherited: Option<Key>, noted: &mut Vec<KeyChange>) -> Passage {
        let mut passage = passage.clone();
        let stated = passage.key;
        let key = stated.or(inherited).map(|key| self.taking_along(key, noted));
        passage.key = match self {
            Self::By(_) => key,
            Self::Nowhere | Self::Apart => stated,
        };
        for bar in &mut passage.bars {
            bar.key = bar.key.map(|key| self.taking_along(key, noted));
        }
        passage
    }
}
