//! Chord names for bars that have none: one for each change of harmony, where the notes leave no doubt that a chord is played.
//!
//! A bar gets one name where one fits all of its chords; otherwise one for each chord that the name before it does not fit. A bar of power
//! chords, struck on three strings or more, gets their names. Bars in which only single notes, two notes at a time or clusters sound get
//! none, and so do bars that go on with the harmony that was named last.

use std::ops::Range;

use super::chord_under_name::{LowestNote, NameVerdict, NamedChord};
use super::heard::{Heard, HeardChord};
use super::judgement::{ChordNaming, KeyInBar};
use super::ornaments::{Ornament, flattened};
use super::sounding::{SoundingMoment, walk};
use crate::instrument::rig::Rig;
use crate::lesson::document::ChordNames;
use crate::lesson::music::Passage;
use crate::lesson::phrase::Slot;
use crate::theory::pitch::NoteName;
use crate::theory::reading::{Reading, ReadingKind};
use crate::theory::symbol::ChordSymbol;

/// Names for a place where none stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SuggestedName {
    /// The event over which the name would stand.
    pub slot: Slot,
    /// The names, best first; one at least.
    pub names: Vec<String>,
    /// Names of larger chords whose root somebody else would play, best first.
    pub rootless: Vec<String>,
    /// The tones of the chord, from the lowest up, spelled as in the first name.
    pub tones: Vec<NoteName>,
}

/// How many names are suggested for one place at most.
const MOST_NAMES: usize = 6;

/// Returns names for those of `bars` over which none stands, in their order. `names` says by which names the lesson goes.
pub fn suggested_names(passage: &Passage, rig: &Rig, names: ChordNames, bars: Range<usize>) -> Vec<SuggestedName> {
    let mut keys = KeyInBar::of(passage);
    let mut running: Option<String> = None;
    let mut found: Vec<SuggestedName> = Vec::new();
    let flat: Vec<Passage> = Ornament::ALL.iter().filter_map(|which| flattened(passage, *which)).collect();
    for (index, bar) in passage.bars.iter().enumerate().take(bars.end) {
        let mut written = bar.voices.iter().flat_map(|voice| &voice.0).filter_map(|event| event.chord.as_deref());
        if let Some(last) = written.next_back() {
            running = Some(last.trim().to_owned());
            continue;
        }
        if index < bars.start {
            continue;
        }
        let naming = ChordNaming::of(rig, names, keys.at(index));
        let plain = in_bar(passage, rig, naming, index);
        // Ornaments hide a chord that is picked note by note; where strings are struck together, what sounds is there to be read.
        let flat = || flat.iter().map(|flat| in_bar(flat, rig, naming, index)).find(|found| !found.is_empty());
        let is_picked = || bar.voices.iter().flat_map(|voice| &voice.0).all(|event| event.notes.len() < 2);
        let of_bar = if plain.is_empty() && is_picked() { flat().unwrap_or_default() } else { plain };
        for suggested in of_bar {
            let goes_on = running.as_ref().is_some_and(|running| suggested.goes_on(running));
            if !goes_on {
                running = suggested.names.first().cloned();
                found.push(suggested);
            }
        }
    }
    found
}

/// What sounds from one place on, for as long as one name may hold.
struct NamedPart {
    slot: Slot,
    heard: Heard,
    /// Where three strings or more are first struck together.
    strummed: Option<Slot>,
}

/// Which chords are named.
#[derive(Clone, Copy)]
enum NamedChords {
    /// Those of three tones or more.
    Full,
    /// Power chords, where no others sound.
    Power,
}

/// How many strings are struck together at least for a power chord: two are a riff often enough.
const FEWEST_OF_POWER: usize = 3;

impl SuggestedName {
    /// Returns whether it goes on with the harmony that was named last.
    fn goes_on(&self, running: &str) -> bool {
        let root = |name: &str| name.parse::<ChordSymbol>().ok().map(|symbol| symbol.root().pitch_class());
        let is_power = |name: &String| name.parse::<ChordSymbol>().is_ok_and(|symbol| symbol.formula().len() == 2);
        let names = &self.names;
        // A power chord says no more than the root, so it goes on with any chord over that.
        names.iter().any(|name| name == running || is_power(name) && root(name) == root(running))
    }
}

fn in_bar(passage: &Passage, rig: &Rig, naming: ChordNaming, bar: usize) -> Vec<SuggestedName> {
    let mut whole: Option<NamedPart> = None;
    walk(passage, rig, bar..bar + 1, &mut |moment| extend(&mut whole, moment));
    let Some(whole) = whole else { return Vec::new() };
    let which = if whole.has_full_chords() { NamedChords::Full } else { NamedChords::Power };
    if let Some(one) = whole.suggested(naming, which) {
        return vec![one];
    }
    let mut found: Vec<SuggestedName> = Vec::new();
    let mut part: Option<NamedPart> = None;
    walk(passage, rig, bar..bar + 1, &mut |moment| {
        let mut alone = None;
        extend(&mut alone, moment);
        let another = alone.as_ref().and_then(|alone| alone.suggested(naming, which));
        let fits = match (&another, &part) {
            (Some(another), Some(part)) => match part.suggested(naming, which) {
                Some(before) => another.names.iter().any(|name| before.names.contains(name)),
                None => another.names.iter().any(|name| part.strums_fit(name, naming)),
            },
            (Some(_), None) | (None, _) => true,
        };
        if !fits {
            found.extend(part.take().and_then(|before| before.suggested(naming, which)));
        }
        extend(&mut part, moment);
    });
    found.extend(part.and_then(|part| part.suggested(naming, which)));
    found
}

/// Adds a moment to a part, which begins with the first chord or note that is struck.
fn extend(part: &mut Option<NamedPart>, moment: &SoundingMoment<'_>) {
    let begins = moment.begins.iter().find(|(_, event)| !event.is_rest()).map(|(slot, _)| *slot);
    if let (None, Some(slot)) = (&part, begins) {
        *part = Some(NamedPart { slot, heard: Heard::default(), strummed: None });
    }
    if let Some(part) = part {
        part.heard.hear(moment, true);
        let is_strummed = moment.struck().count() >= FEWEST_OF_POWER;
        part.strummed = part.strummed.or(begins.filter(|_| is_strummed));
    }
}

impl NamedPart {
    /// Returns whether chords of three tones or more sound in it.
    fn has_full_chords(&self) -> bool {
        let mut heard = self.heard.clone();
        heard.finish();
        heard.chords().iter().any(HeardChord::is_full)
    }

    /// Returns whether what is struck on three strings or more and sounds two tones only is part of the chord of this name: a chord that is
    /// played without its third or fifth is one to the ear.
    fn strums_fit(&self, name: &str, naming: ChordNaming) -> bool {
        let Ok(symbol) = name.parse::<ChordSymbol>() else { return false };
        let tones = NamedChord::new(&symbol, naming.named_below).tones();
        let is_strum = |chord: &&HeardChord| !chord.is_full() && chord.strings >= FEWEST_OF_POWER;
        self.heard.chords().iter().filter(is_strum).all(|chord| chord.tones.minus(tones).is_empty())
    }

    /// Returns the names that fit everything in it; `None` where nothing or no one chord is heard.
    fn suggested(&self, naming: ChordNaming, which: NamedChords) -> Option<SuggestedName> {
        let mut heard = self.heard.clone();
        heard.finish();
        let (slot, own) = match which {
            NamedChords::Full => {
                (self.slot, &[ReadingKind::Chord, ReadingKind::Inversion, ReadingKind::ForeignBass][..])
            }
            NamedChords::Power => (self.strummed?, &[ReadingKind::PowerChord][..]),
        };
        let is_named = |chord: &&HeardChord| match which {
            NamedChords::Full => chord.is_full(),
            NamedChords::Power => chord.strings >= FEWEST_OF_POWER,
        };
        let full: Vec<&HeardChord> = heard.chords().iter().filter(is_named).collect();
        let longest = full.iter().rev().max_by_key(|chord| chord.lasting.all)?;
        let fits = |reading: &&Reading| {
            let bears_out = |symbol: ChordSymbol| {
                let named = NamedChord::new(&symbol, naming.named_below);
                full.iter().all(|chord| named.held_against(chord.sounding(LowestNote::Bass)) == NameVerdict::BearsOut)
            };
            reading.symbol.parse().is_ok_and(bears_out) && self.strums_fit(&reading.symbol, naming)
        };
        let all = naming.readings(&longest.notes());
        // Where the notes themselves are the most honest name, no chord is.
        all.first().filter(|best| best.kind != ReadingKind::Cluster)?;
        let of_kinds = |kinds: &[ReadingKind]| -> Vec<&Reading> {
            all.iter().filter(|reading| kinds.contains(&reading.kind)).filter(fits).take(MOST_NAMES).collect()
        };
        let own = of_kinds(own);
        let tones = own.first()?.notes.iter().flatten().map(|tone| tone.name).collect();
        let symbols = |readings: Vec<&Reading>| readings.into_iter().map(|reading| reading.symbol.clone()).collect();
        let (names, rootless) = (symbols(own), symbols(of_kinds(&[ReadingKind::Rootless])));
        Some(SuggestedName { slot, names, rootless, tones })
    }
}

/// Returns the readings of what sounds at `slot`, best first, as names to choose from: of all that sounds there at once or, where
/// that is less than a chord, of the chord that is heard from there to the end of the bar. Empty where there is none.
pub fn names_at(passage: &Passage, rig: &Rig, names: ChordNames, slot: Slot) -> Vec<String> {
    let mut found = all_names_at(passage, rig, names, slot);
    found.truncate(MOST_NAMES);
    found
}

/// Returns what [`names_at`] does, and the names that stand too far behind to be offered.
pub(super) fn all_names_at(passage: &Passage, rig: &Rig, names: ChordNames, slot: Slot) -> Vec<String> {
    let start = slot.start(passage);
    let mut at_once = Vec::new();
    let mut part: Option<NamedPart> = None;
    walk(passage, rig, slot.bar..slot.bar.saturating_add(1), &mut |moment| {
        if moment.start == start {
            at_once = moment.notes.iter().map(|note| Some(note.pitch)).collect();
        }
        if moment.start >= start {
            extend(&mut part, moment);
        }
    });
    let naming = ChordNaming::of(rig, names, KeyInBar::of(passage).at(slot.bar));
    let readings = naming.readings(&at_once);
    let found: Vec<String> =
        readings.into_iter().filter(|reading| reading.kind.is_chord_name()).map(|reading| reading.symbol).collect();
    if !found.is_empty() {
        return found;
    }
    part.and_then(|part| part.suggested(naming, NamedChords::Full)).map_or_else(Vec::new, |suggested| suggested.names)
}
