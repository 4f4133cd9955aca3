//! What another shape keeps of the sound of a first one, and what changes.

use std::fmt;

use crate::theory::pitch::{MidiNote, Pitch, PitchClass};
use crate::theory::pitch_set::PitchSet;

/// How much of a sound another shape keeps. The value is the greater the less is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Keeps {
    /// Every pitch, as often as it sounded.
    Everything,
    /// Every pitch; one that sounded twice sounds once, or the other way round.
    Pitches,
    /// The lowest and the highest pitch.
    OuterNotes,
    /// The lowest and the highest tone, in other octaves.
    OuterTones,
    /// The tone in the bass.
    Bass,
    /// The tone on top.
    Top,
    /// The tones of the chord.
    Tones,
}

/// One thing that has changed.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum SoundChange {
    /// Some pitch is played on another string.
    OtherStrings,
    /// The lowest note is another.
    Bass {
        /// The note that it was.
        from: MidiNote,
        /// The note that it is now.
        to: MidiNote,
    },
    /// The highest note is another.
    Top {
        /// The note that it was.
        from: MidiNote,
        /// The note that it is now.
        to: MidiNote,
    },
    /// Pitches that do not sound any more, lowest first; the lowest and highest note among them.
    Gone(Vec<MidiNote>),
    /// Pitches that did not sound before, lowest first.
    New(Vec<MidiNote>),
    /// As many pitches sound, but some on more or fewer strings than before.
    Doubled,
    /// Tones that no string sounds any more, in whatever octave.
    Silent(Vec<PitchClass>),
}

/// Prints what has changed in plain words, notes with octaves: `the top note is D4 instead of E4`.
impl fmt::Display for SoundChange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let note = |note: &MidiNote| Pitch::usual(*note);
        let list = |notes: &[MidiNote]| notes.iter().map(|one| note(one).to_string()).collect::<Vec<_>>().join(" ");
        match self {
            Self::OtherStrings => f.write_str("some notes are on other strings"),
            Self::Bass { from, to } => write!(f, "the lowest note is {} instead of {}", note(to), note(from)),
            Self::Top { from, to } => write!(f, "the top note is {} instead of {}", note(to), note(from)),
            Self::Gone(notes) => write!(f, "no longer there: {}", list(notes)),
            Self::New(notes) => write!(f, "new: {}", list(notes)),
            Self::Doubled => f.write_str("another note is doubled"),
            Self::Silent(tones) => {
                let names = tones.iter().map(|tone| crate::theory::pitch::NoteName::usual(*tone).to_string());
                write!(f, "left out: {}", names.collect::<Vec<_>>().join(" "))
            }
        }
    }
}

/// What the strings of a shape sound.
#[derive(Debug, Clone, Copy)]
pub(super) struct SoundingStrings<'a> {
    /// The note of each string; `None` where it is silent.
    pub(super) strings: &'a [Option<MidiNote>],
    /// Whether nobody hears a bass.
    pub(super) bassless: bool,
}

impl SoundingStrings<'_> {
    /// Returns the notes from the lowest up, each as often as it sounds.
    fn sorted(&self) -> Vec<MidiNote> {
        let mut notes: Vec<MidiNote> = self.strings.iter().flatten().copied().collect();
        notes.sort_unstable();
        notes
    }

    /// Returns the lowest note.
    pub(super) fn bass(&self) -> Option<MidiNote> {
        self.strings.iter().flatten().min().copied()
    }

    /// Returns the highest note.
    pub(super) fn top(&self) -> Option<MidiNote> {
        self.strings.iter().flatten().max().copied()
    }

    /// Returns the tones that sound, in whatever octave.
    pub(super) fn tones(&self) -> PitchSet {
        self.strings.iter().flatten().map(|note| note.pitch_class()).collect()
    }
}

/// Returns how much of `before` is kept in `after`.
pub(super) fn keeps(before: &SoundingStrings, after: &SoundingStrings) -> Keeps {
    let (mut old, mut new) = (before.sorted(), after.sorted());
    if old == new {
        return Keeps::Everything;
    }
    old.dedup();
    new.dedup();
    let same = |one: Option<MidiNote>, other: Option<MidiNote>| (one == other, class(one) == class(other));
    let (bass_note, bass_tone) = same(before.bass(), after.bass());
    let (top_note, top_tone) = same(before.top(), after.top());
    let bassless = after.bassless;
    match (bass_note || bassless, top_note, bass_tone || bassless, top_tone) {
        _ if old == new => Keeps::Pitches,
        (true, true, ..) => Keeps::OuterNotes,
        (_, _, true, true) => Keeps::OuterTones,
        (_, _, true, false) => Keeps::Bass,
        (_, _, false, true) => Keeps::Top,
        _ => Keeps::Tones,
    }
}

/// Returns what is different in `after`. On one and the same instrument it is nothing where every string sounds what it
/// sounded.
pub(super) fn changes(before: &SoundingStrings, after: &SoundingStrings) -> Vec<SoundChange> {
    let (mut old, mut new) = (before.sorted(), after.sorted());
    let mut changes = Vec::new();
    if let (Some(from), Some(to)) = (before.bass(), after.bass())
        && from != to
    {
        changes.push(SoundChange::Bass { from, to });
    }
    if let (Some(from), Some(to)) = (before.top(), after.top())
        && from != to
    {
        changes.push(SoundChange::Top { from, to });
    }
    let same_count = old == new;
    old.dedup();
    new.dedup();
    let missing = |some: &[MidiNote], others: &[MidiNote]| -> Vec<MidiNote> {
        some.iter().filter(|note| !others.contains(note)).copied().collect()
    };
    let (gone, fresh) = (missing(&old, &new), missing(&new, &old));
    if gone.is_empty() && fresh.is_empty() {
        if !same_count {
            changes.push(SoundChange::Doubled);
        }
        if before.strings != after.strings {
            changes.push(SoundChange::OtherStrings);
        }
    }
    let silent: Vec<PitchClass> =
        before.tones().minus(after.tones()).classes().map(|class| PitchClass::of(i32::from(class))).collect();
    changes.extend((!gone.is_empty()).then_some(SoundChange::Gone(gone)));
    changes.extend((!fresh.is_empty()).then_some(SoundChange::New(fresh)));
    changes.extend((!silent.is_empty()).then_some(SoundChange::Silent(silent)));
    changes
}

/// Returns the tone of a note.
fn class(note: Option<MidiNote>) -> Option<PitchClass> {
    note.map(MidiNote::pitch_class)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_nobody_hears_a_bass_another_lowest_note_changes_no_outer_note() {
        let notes = |numbers: [u8; 3]| numbers.map(MidiNote::new);
        // C E G, then G C G: the note on top stays, the lowest one is another tone.
        let (before, after) = (notes([60, 64, 67]), notes([55, 60, 67]));
        let kept = |bassless: bool| {
            let sound = |strings| SoundingStrings { strings, bassless };
            keeps(&sound(&before), &sound(&after))
        };
        assert_eq!(kept(false), Keeps::Top);
        assert_eq!(kept(true), Keeps::OuterNotes);
    }
}
