//! Chord names over tab that keeps its frets in another tuning: each name that the notes made and make no longer gives way to what
//! they make now.

use super::judgement::{ContradictedName, NameStands, contradicted_names};
use super::suggestion::all_names_at;
use crate::instrument::rig::Rig;
use crate::lesson::document::ChordNames;
use crate::lesson::music::Passage;
use crate::lesson::phrase::Slot;
use crate::theory::symbol::ChordSymbol;

/// What became of a chord name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NameChange {
    /// The name that stood there.
    pub was: String,
    /// The one that stands there now; `None` where the notes make no chord.
    pub now: Option<String>,
}

/// Gives the notes of `passage`, which were played on `old` and are played with the same frets on `new`, the chord names that they have
/// there. A name that they bear out stays as it is; so does one that they never made, as over a line, unless they contradict it now.
/// Returns what changed, each once. `names` says by which names the lesson goes.
pub fn rename_after(passage: &mut Passage, old: &Rig, new: &Rig, names: ChordNames) -> Vec<NameChange> {
    let named = named_slots(passage);
    if named.is_empty() || old == new {
        return Vec::new();
    }
    // What is right by the sound, or by the shape, is not wrong enough to be changed unasked.
    let before: Vec<ContradictedName> = wrong_both_ways(passage, old, names);
    let is_new = |found: &ContradictedName| {
        found.stands == NameStands::Here && before.iter().all(|known| known.slot != found.slot)
    };
    let after: Vec<ContradictedName> = wrong_both_ways(passage, new, names).into_iter().filter(is_new).collect();
    let mut renamed = Vec::new();
    for (slot, written, symbol) in named {
        let (had, has) = (all_names_at(passage, old, names, slot), all_names_at(passage, new, names, slot));
        let is_among = |names: &[String]| names.iter().any(|name| name.parse() == Ok(symbol.clone()));
        if had == has || is_among(&has) {
            continue;
        }
        let contradicted = after.iter().find(|found| found.slot == slot);
        let now = match contradicted {
            _ if is_among(&had) => has.into_iter().next(),
            Some(found) => found.better.first().cloned(),
            None => continue,
        };
        renamed.push((slot, NameChange { was: written, now }));
    }
    let mut changes = Vec::new();
    for (slot, change) in renamed {
        let line = passage.bars.get_mut(slot.bar).and_then(|bar| bar.voices.get_mut(slot.voice));
        let Some(event) = line.and_then(|line| line.0.get_mut(slot.event)) else { continue };
        event.chord.clone_from(&change.now);
        if !changes.contains(&change) {
            changes.push(change);
        }
    }
    changes
}

/// Returns the names that the notes contradict as they are played and as they sound.
fn wrong_both_ways(passage: &Passage, rig: &Rig, names: ChordNames) -> Vec<ContradictedName> {
    let mut found = contradicted_names(passage, rig, names);
    found.retain(|name| !matches!(name.stands, NameStands::ByTheOther(_)));
    found
}

/// Returns where the chord names stand, each as it is written and as it is read. Words that name no chord are left out.
fn named_slots(passage: &Passage) -> Vec<(Slot, String, ChordSymbol)> {
    let mut named = Vec::new();
    for (bar, written) in passage.bars.iter().enumerate() {
        for (voice, line) in written.voices.iter().enumerate() {
            for (event, played) in line.0.iter().enumerate() {
                let Some(name) = played.chord.as_deref().map(str::trim) else { continue };
                if let Ok(symbol) = name.parse() {
                    named.push((Slot { bar, voice, event }, name.to_owned(), symbol));
                }
            }
        }
    }
    named
}

/// Says what became of names, behind what was done: `; names over the tab: G became G7/F`; nothing where all stay.
pub fn said_of_changes(changes: &[NameChange]) -> String {
    let each = changes.iter().map(|NameChange { was, now }| match now {
        Some(now) => format!("{was} became {now}"),
        None => format!("{was} was deleted"),
    });
    let each: Vec<String> = each.collect();
    if each.is_empty() { String::new() } else { format!("; names over the tab: {}", each.join(", ")) }
}
