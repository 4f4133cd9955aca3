//! Chord names over a passage as players of its strings write them.

use crate::lesson::music::Passage;
use crate::theory::reading::Lowest;

/// Gives the chord names of `passage` the form that they have where the lowest pitch is `lowest` to the ear. Returns what changed, as
/// written before and after, each once.
pub fn name_rightly(passage: &mut Passage, lowest: Lowest) -> Vec<(String, String)> {
    let mut changed = Vec::new();
    let voices = passage.bars.iter_mut().flat_map(|bar| &mut bar.voices);
    for chord in voices.flat_map(|voice| &mut voice.0).filter_map(|event| event.chord.as_mut()) {
        if let Some(better) = lowest.better_name(chord) {
            let change = (std::mem::replace(chord, better.clone()), better);
            if !changed.contains(&change) {
                changed.push(change);
            }
        }
    }
    changed
}

/// Says what [`name_rightly`] changed: `C/E became C: on these strings nobody hears a bass`; `None` where that is nothing.
pub fn said_of_names(changed: &[(String, String)]) -> Option<String> {
    let each: Vec<String> = changed.iter().map(|(before, now)| format!("{before} became {now}")).collect();
    (!each.is_empty()).then(|| format!("{}: {NO_BASS_HEARD}", each.join(", ")))
}

/// Why a chord has no bass in its name on re-entrant strings.
pub const NO_BASS_HEARD: &str = "on these strings the lowest note is not heard as a bass";
