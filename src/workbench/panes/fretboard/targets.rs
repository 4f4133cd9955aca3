//! Chords to aim at: the tones of the chord that sounds now, and where they lead.

use crate::instrument::rig::Rig;
use crate::lesson::id::SegmentId;
use crate::theory::pitch::PitchClass;
use crate::theory::pitch_set::PitchSet;
use crate::theory::symbol::ChordSymbol;
use crate::workbench::editing::edited_lesson::EditedLesson;

/// The tones to aim at over a row of chords.
#[derive(Debug, Clone, PartialEq)]
pub struct Targets {
    /// The names as the passage has them, and the chords as they sound.
    pub chords: Vec<(String, ChordSymbol)>,
    /// The place of the chord that sounds now.
    pub at: usize,
    /// The revision of the lesson and the segment that the chords were read from.
    pub read_from: (u64, Option<SegmentId>),
}

impl Targets {
    /// Returns the chord that sounds now, by its name.
    pub fn now(&self) -> Option<&(String, ChordSymbol)> {
        self.chords.get(self.at)
    }

    /// Returns the chord that comes next; after the last one the first.
    pub fn next(&self) -> Option<&(String, ChordSymbol)> {
        self.chords.get((self.at + 1) % self.chords.len().max(1)).filter(|_| self.chords.len() > 1)
    }

    /// Returns the tones of the chord now, and those of the next one that lie nearest to one of them.
    pub fn tones(&self) -> (PitchSet, PitchSet) {
        let of =
            |chord: Option<&(String, ChordSymbol)>| chord.map_or(PitchSet::EMPTY, |(_, chord)| chord.pitch_classes());
        let (now, next) = (of(self.now()), of(self.next()));
        let mut nearest = PitchSet::EMPTY;
        for from in now.classes() {
            let at = |semitones: i32| PitchClass::of(i32::from(from) + semitones);
            let sounds = |semitones: &i32| next.has(at(*semitones).number()) || next.has(at(-*semitones).number());
            if let Some(step) = (0..=6).find(sounds) {
                for class in [at(step), at(-step)].into_iter().filter(|class| next.has(class.number())) {
                    nearest = nearest.with(class);
                }
            }
        }
        (now, nearest)
    }
}

/// Returns the chords of a segment's music in order, with their names as written, and as they sound
/// on `rig`. A name that stands again stands for the same chord; one that is no chord is left out.
pub(super) fn chords(open: &EditedLesson, segment: Option<SegmentId>, rig: &Rig) -> Vec<(String, ChordSymbol)> {
    let lesson = open.lesson();
    let segment = segment.and_then(|id| open.segment(id));
    let used = segment.into_iter().flat_map(|segment| &segment.passages);
    let passages = used.filter_map(|used| lesson.passage(used.passage));
    let events = passages.flat_map(|passage| &passage.bars).flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0);
    let shift = lesson.header.chord_names.below_the_sound(rig);
    let mut chords: Vec<(String, ChordSymbol)> = Vec::new();
    for name in events.filter_map(|event| event.chord.as_ref()) {
        let Ok(symbol) = name.parse::<ChordSymbol>() else { continue };
        if chords.last().is_none_or(|(last, _)| last != name) {
            chords.push((name.clone(), symbol.moved(shift, None)));
        }
    }
    chords
}
