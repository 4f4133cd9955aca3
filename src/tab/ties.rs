//! Ties on their way to the note they lead to, for what writes brackets around it and what reads them.

use crate::lesson::music::{Join, Note};

/// For each voice and string, whether its last note is tied to the next. A voice is followed in the order in which it
/// sounds, over bar lines.
#[derive(Debug, Default)]
pub(in crate::tab) struct OpenTies(Vec<Vec<bool>>);

impl OpenTies {
    /// Passes the next note of `voice` and returns whether the one before it on its string is tied to it.
    pub(in crate::tab) fn pass(&mut self, voice: usize, note: &Note) -> bool {
        if self.0.len() <= voice {
            self.0.resize_with(voice + 1, Vec::new);
        }
        let Some(strings) = self.0.get_mut(voice) else { return false };
        let string = usize::from(note.string.number());
        if strings.len() <= string {
            strings.resize(string + 1, false);
        }
        strings.get_mut(string).is_some_and(|tied| std::mem::replace(tied, note.join == Some(Join::Tie)))
    }
}
