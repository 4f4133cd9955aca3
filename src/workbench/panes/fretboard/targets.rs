//! Aiming at chords: the tones of the chord that sounds now, and where they lead.

use crate::instrument::rig::Rig;
use crate::lesson::id::SegmentId;
use crate::theory::pitch::PitchClass;
use crate::theory::pitch_set::PitchSet;
use crate::theory::symbol::ChordSymbol;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::fretboard::pane::{FretboardPane, GripOrigin};
use crate::workbench::panes::fretboard::voicings::Step;

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

impl FretboardPane {
    /// Returns what is aimed at, if anything is.
    pub const fn targets(&self) -> Option<&Targets> {
        self.targets.as_ref()
    }

    /// Aims at the next chord of the music of a segment, or at the one before.
    pub fn aim(&mut self, open: &EditedLesson, segment: Option<SegmentId>, step: Step) -> Reply {
        let chords = chords(open, segment, &self.rig);
        let count = chords.len();
        if count == 0 {
            let text = "no chord names here: aiming needs a segment whose music has chord names over its tab";
            return Reply::say(Notice::note(text));
        }
        let known = self.targets().filter(|targets| targets.chords == chords).map(|targets| targets.at);
        let at = match (known, step) {
            (None, _) => 0,
            (Some(at), Step::Next) => (at + 1) % count,
            (Some(at), Step::Previous) => (at + count - 1) % count,
        };
        let targets = Targets { chords, at, read_from: (open.revision(), segment) };
        let tones = |(name, chord): &(String, ChordSymbol)| {
            let shift = self.rig.played_as().semitones();
            let tones: Vec<String> = chord.moved(-shift, None).tones().iter().map(ToString::to_string).collect();
            format!("{name}: {}", tones.join(" "))
        };
        let mut text = format!("chord {} of {count}, ", at + 1);
        text += &targets.now().map(tones).unwrap_or_default();
        if let Some(next) = targets.next() {
            text += &format!("; then {}", tones(next));
        }
        self.targets = Some(targets);
        Reply::say(Notice::note(text))
    }

    /// Stops aiming where the music is another; looks only where lesson or segment have changed.
    pub fn settle_targets(&mut self, open: &EditedLesson, segment: Option<SegmentId>) {
        let read_from = (open.revision(), segment);
        let Some(targets) = self.targets.take_if(|targets| targets.read_from != read_from) else { return };
        if targets.chords == chords(open, segment, &self.rig) {
            self.targets = Some(Targets { read_from, ..targets });
        }
    }

    /// Returns the chord that comes before what is on the fretboard, as it sounds: the one before the chord aimed
    /// at, else the segment's voicing before this one.
    pub fn chord_before(&self, open: &EditedLesson, segment: Option<SegmentId>) -> Option<ChordSymbol> {
        if let Some(targets) = self.targets() {
            let before = targets.at.checked_sub(1)?;
            return targets.chords.get(before).map(|(_, chord)| chord.clone());
        }
        let segment = segment.and_then(|id| open.segment(id))?;
        let GripOrigin::Voicing(here) = self.origin() else { return None };
        let place = segment.voicings.iter().position(|id| *id == here)?.checked_sub(1)?;
        let before = segment.voicings.get(place).and_then(|id| open.lesson().voicing(*id))?;
        let symbol: ChordSymbol = before.readings.first()?.parse().ok()?;
        Some(symbol.moved(self.rig.played_as().semitones(), None))
    }
}

/// Returns the chords of a segment's music in order, with their names as written, which follow the shapes on `rig`, as
/// they sound. A name that stands again stands for the same chord; one that is no chord is left out.
fn chords(open: &EditedLesson, segment: Option<SegmentId>, rig: &Rig) -> Vec<(String, ChordSymbol)> {
    let lesson = open.lesson();
    let segment = segment.and_then(|id| open.segment(id));
    let used = segment.into_iter().flat_map(|segment| &segment.passages);
    let passages = used.filter_map(|used| lesson.passage(used.passage));
    let events = passages.flat_map(|passage| &passage.bars).flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0);
    let shift = rig.played_as().semitones();
    let mut chords: Vec<(String, ChordSymbol)> = Vec::new();
    for name in events.filter_map(|event| event.chord.as_ref()) {
        let Ok(symbol) = name.parse::<ChordSymbol>() else { continue };
        if chords.last().is_none_or(|(last, _)| last != name) {
            chords.push((name.clone(), symbol.moved(shift, None)));
        }
    }
    chords
}
