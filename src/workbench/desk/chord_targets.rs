//! Aiming at chords: the tones of the chord that sounds now, and where they lead.

use crate::lesson::id::SegmentId;
use crate::theory::symbol::ChordSymbol;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::desk::voicings::Step;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::fretboard::neck_view::Targets;
use crate::workbench::panes::fretboard::pane::Origin;

impl Desk {
    /// Aims at the next chord of the segment's music, or at the one before.
    pub(in crate::workbench) fn aim(&mut self, step: Step) -> Reply {
        let chords = self.chords();
        let count = chords.len();
        if count == 0 {
            let text = "no chord names here: aiming needs a segment whose music has chord names over its tab";
            return Reply::say(Notice::note(text));
        }
        let known = self.fretboard.targets().filter(|targets| targets.chords == chords).map(|targets| targets.at);
        let at = match (known, step) {
            (None, _) => 0,
            (Some(at), Step::Next) => (at + 1) % count,
            (Some(at), Step::Previous) => (at + count - 1) % count,
        };
        let targets = Targets { chords, at, read_from: self.read_from() };
        let tones = |(name, chord): &(String, ChordSymbol)| {
            let shift = self.fretboard.rig().played_as().semitones();
            let tones: Vec<String> = chord.moved(-shift, None).tones().iter().map(ToString::to_string).collect();
            format!("{name}: {}", tones.join(" "))
        };
        let mut text = format!("chord {} of {count}, ", at + 1);
        text += &targets.now().map(tones).unwrap_or_default();
        if let Some(next) = targets.next() {
            text += &format!("; then {}", tones(next));
        }
        self.fretboard.aim_at(Some(targets));
        Reply::say(Notice::note(text))
    }

    fn read_from(&self) -> (u64, Option<SegmentId>) {
        (self.lesson.revision(), self.timeline.selected())
    }

    /// Stops aiming where the music is another; looks only where lesson or segment have changed.
    pub(in crate::workbench) fn settle_targets(&mut self) {
        let read_from = self.read_from();
        let Some(targets) = self.fretboard.targets().filter(|targets| targets.read_from != read_from) else { return };
        let same = targets.chords == self.chords();
        let targets = same.then(|| Targets { read_from, ..targets.clone() });
        self.fretboard.aim_at(targets);
    }

    /// Returns the chords of the segment's music in order, with their names as written, which follow the shapes,
    /// as they sound. A name that stands again stands for the same chord; one that is no chord is left out.
    fn chords(&self) -> Vec<(String, ChordSymbol)> {
        let lesson = self.lesson.lesson();
        let segment = self.timeline.selected().and_then(|id| self.lesson.segment(id));
        let used = segment.into_iter().flat_map(|segment| &segment.passages);
        let passages = used.filter_map(|used| lesson.passage(used.passage));
        let events = passages.flat_map(|passage| &passage.bars).flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0);
        let shift = self.fretboard.rig().played_as().semitones();
        let mut chords: Vec<(String, ChordSymbol)> = Vec::new();
        for name in events.filter_map(|event| event.chord.as_ref()) {
            let Ok(symbol) = name.parse::<ChordSymbol>() else { continue };
            if chords.last().is_none_or(|(last, _)| last != name) {
                chords.push((name.clone(), symbol.moved(shift, None)));
            }
        }
        chords
    }

    /// Returns the chord that comes before what is on the fretboard, as it sounds: the one before the chord aimed
    /// at, else the segment's voicing before this one.
    pub(in crate::workbench) fn chord_before(&self) -> Option<ChordSymbol> {
        if let Some(targets) = self.fretboard.targets() {
            let before = targets.at.checked_sub(1)?;
            return targets.chords.get(before).map(|(_, chord)| chord.clone());
        }
        let segment = self.timeline.selected().and_then(|id| self.lesson.segment(id))?;
        let Origin::Voicing(here) = self.fretboard.origin() else { return None };
        let place = segment.voicings.iter().position(|id| *id == here)?.checked_sub(1)?;
        let before = segment.voicings.get(place).and_then(|id| self.voicing(*id))?;
        let symbol: ChordSymbol = before.readings.first()?.parse().ok()?;
        Some(symbol.moved(self.fretboard.rig().played_as().semitones(), None))
    }
}
