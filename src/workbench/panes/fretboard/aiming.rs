//! Aiming at the chords of a segment's music, one after the other.

use crate::lesson::id::SegmentId;
use crate::theory::symbol::ChordSymbol;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::fretboard::fingers::GripOrigin;
use crate::workbench::panes::fretboard::neighbour::Neighbour;
use crate::workbench::panes::fretboard::pane::FretboardPane;
use crate::workbench::panes::fretboard::targets::{Targets, chords};

/// Aims at the next chord of the music of a segment, or at the one before.
pub fn aim(pane: &mut FretboardPane, open: &EditedLesson, segment: Option<SegmentId>, which: Neighbour) -> PaneReply {
    let chords = chords(open, segment, pane.rig());
    let count = chords.len();
    if count == 0 {
        let text = "no chord names here: the next chord is read from the names over the tab of this segment";
        return PaneReply::note(text);
    }
    let known = pane.targets().filter(|targets| targets.chords == chords).map(|targets| targets.at);
    let at = known.map_or(0, |at| which.place(at, count));
    let targets = Targets { chords, at, read_from: (open.revision(), segment) };
    let tones = |(name, chord): &(String, ChordSymbol)| {
        let shift = pane.rig().played_as().semitones();
        let tones: Vec<String> = chord.moved(-shift, None).tones().iter().map(ToString::to_string).collect();
        format!("{name}: {}", tones.join(" "))
    };
    let mut text = format!("chord {} of {count}, ", at + 1);
    text += &targets.now().map(tones).unwrap_or_default();
    if let Some(next) = targets.next() {
        text += &format!("; then {}", tones(next));
    }
    pane.targets = Some(targets);
    PaneReply::note(text)
}

/// Stops aiming where the music is another; looks only where lesson or segment have changed.
pub fn settle_targets(pane: &mut FretboardPane, open: &EditedLesson, segment: Option<SegmentId>) {
    let read_from = (open.revision(), segment);
    let Some(targets) = pane.targets.take_if(|targets| targets.read_from != read_from) else { return };
    if targets.chords == chords(open, segment, pane.rig()) {
        pane.targets = Some(Targets { read_from, ..targets });
    }
}

/// Returns the chord that comes before or after what is on the fretboard, as it sounds: the one beside the chord aimed
/// at, else the segment's voicing beside this one. Nothing comes after the last.
pub fn chord_beside(
    pane: &FretboardPane,
    open: &EditedLesson,
    segment: Option<SegmentId>,
    which: Neighbour,
) -> Option<ChordSymbol> {
    let beside = |at: usize| match which {
        Neighbour::Previous => at.checked_sub(1),
        Neighbour::Next => at.checked_add(1),
    };
    if let Some(targets) = pane.targets() {
        return targets.chords.get(beside(targets.at)?).map(|(_, chord)| chord.clone());
    }
    let segment = segment.and_then(|id| open.segment(id))?;
    let GripOrigin::Voicing(here) = pane.origin() else { return None };
    let place = beside(segment.voicings.iter().position(|id| *id == here)?)?;
    let voicing = segment.voicings.get(place).and_then(|id| open.lesson().voicing(*id))?;
    let symbol: ChordSymbol = voicing.readings.first()?.parse().ok()?;
    Some(symbol.moved(pane.rig().played_as().semitones(), None))
}
