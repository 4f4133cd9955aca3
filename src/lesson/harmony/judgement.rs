//! Which chord names over a passage the notes contradict.
//!
//! A name is accused only where all of this holds for what sounds from it to the next name:
//!
//! 1. In its first bar, chords that contradict it ([`super::chord_under_name`]) take two fifths of the time in which anything sounds
//!    at least, so that a passing chord, a push ahead of the beat or a stab at the end does not count. Where the chord right under the name
//!    contradicts it ([`super::strum`]), an eighth is enough: a melody or a fill behind it says nothing of the harmony.
//! 2. They last four times as long as what bears it out at least, in the first bar and in all of the stretch: a suspension that resolves, a
//!    neighbour chord and a turn over a pedal come home. A chord right under the name that stands on its own root or on most of the
//!    strings is no suspension, and need only last so in the first bar.
//! 3. One other name fits three quarters of the chords of that bar and is contradicted by none. Where the harmony moves on
//!    without names, there is no such name, but for that of a chord on its own root right under the name.
//! 4. Where a capo parts the two, it holds for the name as it is played and as it sounds. A name that is right by the sound alone in a
//!    lesson whose names are those of the shapes is told too, as one of those, and the other way round ([`NameStands::ByTheOther`]).
//!
//! Bars behind the first are harmony that nobody has named. The first of them that is another chord throughout is told as the place where
//! a name is missing: such chords take half of it and three fifths of what sounds in it at least, nothing bears the name out, one other name fits as above,
//! and they do not lie over a bass note that the first bar has, or over the root of the name.
//!
//! Single notes and two notes at a time never accuse, and so neither do lines under the name of their harmony and riffs; a power chord
//! that fills a bar and has no note of the named chord does ([`super::foreign`]).
//! The shares are our own settings, found by measuring names that are right and names that are wrong over random progressions;
//! the figures stand in DEVELOPERS.md.

use super::chord_under_name::{LowestNote, NameVerdict, NamedChord, stands_alone};
use super::foreign::{is_foreign, names_of_foreign};
use super::heard::{HeardChord, Lasting};
use super::ornaments::{Ornament, flattened};
use super::stretch::{NameStretch, StretchBar, stretches};
use crate::instrument::rig::Rig;
use crate::lesson::document::ChordNames;
use crate::lesson::music::Passage;
use crate::lesson::phrase::Slot;
use crate::theory::key::Key;
use crate::theory::pitch::{MidiNote, NoteName, PitchClass};
use crate::theory::reading::{Context, Lowest, Reading, ReadingKind, readings};
use crate::theory::symbol::ChordSymbol;

/// A chord name that the notes under it contradict.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ContradictedName {
    /// Where the other chord begins: where the name stands, or in a later bar over which none stands.
    pub slot: Slot,
    /// The name, as it is written.
    pub written: String,
    /// Where it stands.
    pub stands: NameStands,
    /// The tones of the chord that sounds instead, from the lowest up.
    pub tones: Vec<NoteName>,
    /// The names that fit, best first; one at least.
    pub better: Vec<String>,
}

/// Where a name stands that the notes contradict.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NameStands {
    /// Over the notes.
    Here,
    /// Over the notes, and it is right over a capo by these names; but the lesson goes by the other ones.
    ByTheOther(ChordNames),
    /// Over a bar before them, with this index: another name is missing.
    Before(usize),
}

/// How many better names are offered at most.
const MOST_BETTER: usize = 4;

/// The names that a chord is given: as the hand plays it or as it sounds, in a key, with the sense of a bass or without.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ChordNaming {
    /// Semitones from what is named to what sounds: those of the capo where names follow the hand, else 0.
    pub named_below: i32,
    /// The key, as it is named.
    pub key: Option<Key>,
    /// What the lowest note is to the ear.
    pub lowest: Lowest,
}

impl ChordNaming {
    /// Returns how chords of `rig` are named in a lesson, in a key that is given as it sounds.
    pub fn of(rig: &Rig, names: ChordNames, key: Option<Key>) -> Self {
        let named_below = names.below_the_sound(rig);
        let key = key.map(|key| if named_below == 0 { key } else { key.moved(-named_below) });
        Self { named_below, key, lowest: rig.lowest_is() }
    }

    /// Returns the readings of notes, given as they sound, best first.
    pub fn readings(&self, notes: &[Option<MidiNote>]) -> Vec<Reading> {
        let named: Vec<_> = notes.iter().map(|note| note.and_then(|note| note.up(-self.named_below))).collect();
        readings(&named, &Context { key: self.key, lowest: self.lowest, ..Context::default() })
    }
}

/// Returns the chord names of `passage` that the notes under them contradict, in their order. `names` says by which names the
/// lesson goes.
///
/// Where ornaments hide a chord ([`super::ornaments`]), a name that the chord without them contradicts is one, too, if nothing bears it out
/// with them or without.
pub fn contradicted_names(passage: &Passage, rig: &Rig, names: ChordNames) -> Vec<ContradictedName> {
    let has_names =
        passage.bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0).any(|event| event.chord.is_some());
    if !has_names {
        return Vec::new();
    }
    let mut found = as_written(passage, rig, names);
    let flat: Vec<Passage> = Ornament::ALL.iter().filter_map(|which| flattened(passage, *which)).collect();
    let hidden: Vec<ContradictedName> = flat.iter().flat_map(|flat| as_written(flat, rig, names)).collect();
    if found.is_empty() && hidden.is_empty() || flat.is_empty() {
        return found;
    }
    let without: Vec<Slot> = flat.iter().flat_map(|flat| borne_out(flat, rig)).collect();
    // What is strummed at the name says more than what is picked behind it, with ornaments or without.
    let is_strummed = |slot: Slot| slot.read(passage).is_some_and(|event| event.notes.len() > 2);
    found.retain(|name| name.stands != NameStands::Here || is_strummed(name.slot) || !without.contains(&name.slot));
    let with = borne_out(passage, rig);
    for name in hidden {
        let is_known = found.iter().any(|known| known.slot == name.slot);
        let is_borne_out = without.contains(&name.slot) || with.contains(&name.slot);
        if name.stands == NameStands::Here && !is_known && !is_borne_out {
            found.push(name);
        }
    }
    found.sort_by_key(|name| name.slot);
    found
}

/// Returns where the names stand that a chord in their first bar bears out, by its sound or by its shape, and those of which every note
/// sounds there: which of two neighbours is the ornament then is for the ear to say.
fn borne_out(passage: &Passage, rig: &Rig) -> Vec<Slot> {
    let list = stretches(passage, rig, 0..passage.bars.len());
    let shifts = [0, rig.played_as().semitones()];
    let of_stretch = |stretch: &NameStretch<'_>| {
        let (slot, name) = stretch.name?;
        let symbol = name.trim().parse::<ChordSymbol>().ok()?;
        let chords = UnderName { stretch, beside: [None, None], rig }.chords();
        let sounding = stretch.bars.first()?.heard.notes.tones();
        let speaks = |named: NamedChord| {
            witness(&named, &chords).speaking_for.first.0 > 0 || named.tones().minus(sounding).is_empty()
        };
        shifts.iter().any(|up| speaks(NamedChord::new(&symbol, *up))).then_some(slot)
    };
    list.iter().filter_map(of_stretch).collect()
}

/// The same, of the notes as they are written.
fn as_written(passage: &Passage, rig: &Rig, names: ChordNames) -> Vec<ContradictedName> {
    let list = stretches(passage, rig, 0..passage.bars.len());
    let mut keys = KeyInBar::of(passage);
    let mut found = Vec::new();
    for (place, stretch) in list.iter().enumerate() {
        let Some((slot, written)) = stretch.name else { continue };
        let Ok(symbol) = written.trim().parse::<ChordSymbol>() else { continue };
        let beside = [place.checked_sub(1), place.checked_add(1)].map(|place| place.and_then(|place| list.get(place)));
        let stretch = UnderName { stretch, beside, rig };
        let shifts = [0, rig.played_as().semitones()];
        let written = written.trim().to_owned();
        let naming = ChordNaming::of(rig, names, keys.at(slot.bar));
        let named = NamedChord::new(&symbol, naming.named_below);
        let [by_sound, by_shape] = shifts.map(|up| stretch.contradicts(&NamedChord::new(&symbol, up)));
        let right_by = match (by_sound, by_shape) {
            (false, true) => Some(ChordNames::SoundsAs),
            (true, false) => Some(ChordNames::PlayedAs),
            (true, true) | (false, false) => None,
        };
        let right_by = right_by.filter(|right_by| *right_by != names);
        let stands = right_by.map_or(NameStands::Here, NameStands::ByTheOther);
        let by_chords = right_by.is_some() || by_sound && by_shape;
        let by_chords = by_chords.then(|| stretch.better_names(&named, naming)).flatten();
        let is_foreign = || shifts.iter().all(|up| is_foreign(&stretch.stretch.heard, &NamedChord::new(&symbol, *up)));
        let by_notes = || {
            is_foreign()
                .then(|| names_of_foreign(&stretch.stretch.heard.notes, |notes| naming.readings(notes)))
                .flatten()
        };
        if let Some((tones, better)) = by_chords.or_else(by_notes) {
            found.push(ContradictedName { slot, written, stands, tones, better });
            continue;
        }
        let later = stretch.stretch.bars.iter().skip(1);
        let unnamed = later.filter_map(|bar| Some((bar, bar.struck?))).find_map(|(bar, slot)| {
            let chords = stretch.later_chords(bar, &shifts.map(|up| NamedChord::new(&symbol, up)))?;
            let naming = ChordNaming::of(rig, names, keys.at(slot.bar));
            let named = NamedChord::new(&symbol, naming.named_below);
            Some((slot, better_names(&chords, &named, naming)?))
        });
        if let Some((at, (tones, better))) = unnamed {
            let stands = NameStands::Before(slot.bar);
            found.push(ContradictedName { slot: at, written, stands, tones, better });
        }
    }
    found
}

/// Returns by which names those over `passage` really go, in a lesson that goes by `names`: the other ones where the notes under some
/// say so, and under no others the contrary.
pub fn names_that_stand(passage: &Passage, rig: &Rig, names: ChordNames) -> ChordNames {
    let up = rig.played_as().semitones();
    if up % 12 == 0 {
        return names;
    }
    let list = stretches(passage, rig, 0..passage.bars.len());
    let (mut of_shape, mut of_sound) = (0_usize, 0_usize);
    for (place, stretch) in list.iter().enumerate() {
        let symbol = stretch.name.and_then(|(_, written)| written.trim().parse::<ChordSymbol>().ok());
        let Some(symbol) = symbol else { continue };
        let beside = [place.checked_sub(1), place.checked_add(1)].map(|place| place.and_then(|place| list.get(place)));
        let stretch = UnderName { stretch, beside, rig };
        match [0, up].map(|up| stretch.contradicts(&NamedChord::new(&symbol, up))) {
            [true, false] => of_shape += 1,
            [false, true] => of_sound += 1,
            [true, true] | [false, false] => {}
        }
    }
    match (of_shape, of_sound) {
        (1.., 0) => ChordNames::PlayedAs,
        (0, 1..) => ChordNames::SoundsAs,
        (0, 0) | (1.., 1..) => names,
    }
}

/// The key of a bar, for bars that are asked for in their order.
pub(super) struct KeyInBar<'a> {
    passage: &'a Passage,
    key: Option<Key>,
    next: usize,
}

impl<'a> KeyInBar<'a> {
    pub(super) const fn of(passage: &'a Passage) -> Self {
        Self { passage, key: passage.key, next: 0 }
    }

    pub(super) fn at(&mut self, bar: usize) -> Option<Key> {
        while self.next <= bar {
            self.key = self.passage.bars.get(self.next).and_then(|bar| bar.key).or(self.key);
            self.next += 1;
        }
        self.key
    }
}

/// A chord, and what its lowest note is to the ear.
type WithBass = (HeardChord, LowestNote);

/// A stretch with what it is judged by.
struct UnderName<'a> {
    stretch: &'a NameStretch<'a>,
    /// The stretches before and behind it.
    beside: [Option<&'a NameStretch<'a>>; 2],
    rig: &'a Rig,
}

impl UnderName<'_> {
    /// Returns what the lowest note of a chord is: one that also lies under the bars beside this stretch, under a name with another root,
    /// is a pedal.
    fn lowest(&self, chord: &HeardChord) -> LowestNote {
        let shift = self.rig.played_as().semitones();
        let roots = |other: &NameStretch<'_>| {
            let root = other.name.and_then(|(_, name)| name.trim().parse::<ChordSymbol>().ok())?.root().pitch_class();
            Some([0, shift].map(|up| PitchClass::of(i32::from(root.number()) + up)))
        };
        let [before, behind] = self.beside;
        // A pedal lies under the chords on both sides of a name, so what comes later in the stretch behind is no matter.
        let bars = [before.and_then(|other| other.bars.last()), behind.and_then(|other| other.bars.first())];
        let holds = |bar: &StretchBar| bar.heard.chords().iter().any(|known| known.lowest == chord.lowest);
        let other_root =
            |other: &NameStretch<'_>| roots(other).is_some_and(|roots| !roots.contains(&chord.lowest.pitch_class()));
        let stays = || bars.into_iter().flatten().all(holds) && self.beside.into_iter().flatten().any(other_root);
        match (self.rig.lowest_is(), chord.is_full() && stays()) {
            (Lowest::AnyTone, _) => LowestNote::AnyNote,
            (Lowest::Bass | Lowest::HighTone, true) => LowestNote::Pedal,
            (Lowest::Bass | Lowest::HighTone, false) => LowestNote::Bass,
        }
    }

    /// Returns the chords of the stretch; those of its first bar alone where all of them are more than can be told apart.
    fn chords(&self) -> Vec<WithBass> {
        let first = self.stretch.bars.first().filter(|_| self.stretch.heard.is_too_varied());
        let heard = first.map_or(&self.stretch.heard, |bar| &bar.heard);
        heard.chords().iter().map(|chord| (*chord, self.lowest(chord))).collect()
    }

    /// Returns the chord right under the name, where it contradicts the name: by what is struck and by all that sounds.
    fn first_chord(&self, named: &NamedChord) -> Option<WithBass> {
        let chords: Vec<WithBass> =
            self.stretch.first_chord.chords().iter().map(|chord| (*chord, self.lowest(chord))).collect();
        let against = |(chord, lowest): &WithBass| contradicts(named, chord, *lowest);
        chords.first().copied().filter(|_| chords.iter().all(against))
    }

    fn contradicts(&self, named: &NamedChord) -> bool {
        let chords = self.chords();
        let anything = self.stretch.heard.anything;
        let NameWitness { speaking_for, against, .. } = witness(named, &chords);
        let first = self.first_chord(named);
        let least = if first.is_some() { (8, 1) } else { (5, 2) };
        let needs_no_way_home = first.is_some_and(|(chord, lowest)| stands_alone(chord.sounding(lowest)));
        against.first.0 > 0
            && against.first.0 * least.0 >= anything.first.0 * least.1
            && against.first.0 >= speaking_for.first.0 * 4
            && (needs_no_way_home || against.all.0 >= speaking_for.all.0 * 4)
    }

    /// Returns the tones of the chord that contradicts the name, and the names that fit better; `None` where none does.
    fn better_names(&self, named: &NamedChord, naming: ChordNaming) -> Option<BetterNames> {
        let of_all = better_names(&self.chords(), named, naming);
        let alone = |(chord, lowest): &WithBass| stands_alone(chord.sounding(*lowest));
        of_all.or_else(|| better_names(&[self.first_chord(named).filter(alone)?], named, naming))
    }

    /// Returns the chords of a later bar, where it is another chord throughout than each of the names; else `None`.
    fn later_chords(&self, bar: &StretchBar, names: &[NamedChord]) -> Option<Vec<WithBass>> {
        let first = self.stretch.bars.first().map_or(&[][..], |bar| bar.heard.chords());
        // Whether a bass note is a pedal is told by the first bar of the stretch.
        let lowest = match self.rig.lowest_is() {
            Lowest::AnyTone => LowestNote::AnyNote,
            Lowest::Bass | Lowest::HighTone => LowestNote::Bass,
        };
        let chords: Vec<WithBass> = bar.heard.chords().iter().map(|chord| (*chord, lowest)).collect();
        let anything = bar.heard.anything.first;
        let is_another = |named: &NamedChord| {
            let NameWitness { speaking_for, against, .. } = witness(named, &chords);
            let lies_over = |(chord, lowest): &WithBass| {
                let stays = first.iter().any(|before| before.lowest == chord.lowest);
                let pedal = stays || named.has_root(chord.lowest.pitch_class());
                *lowest != LowestNote::AnyNote && pedal && contradicts(named, chord, *lowest)
            };
            against.first >= bar.half
                && against.first.0 * 5 >= anything.0 * 3
                && speaking_for.first.0 == 0
                && !chords.iter().any(lies_over)
        };
        names.iter().all(is_another).then_some(chords)
    }
}

fn contradicts(named: &NamedChord, chord: &HeardChord, lowest: LowestNote) -> bool {
    named.held_against(chord.sounding(lowest)) == NameVerdict::Contradicts
}

/// The tones of a chord, and the names that fit it.
type BetterNames = (Vec<NoteName>, Vec<String>);

/// How long chords speak for a name and against it.
#[derive(Debug, Clone, Copy, Default)]
struct NameWitness {
    speaking_for: Lasting,
    against: Lasting,
    /// Chords of three tones or more, whatever they say.
    full: Lasting,
}

fn witness(named: &NamedChord, chords: &[WithBass]) -> NameWitness {
    let mut all = NameWitness::default();
    for (chord, lowest) in chords {
        if chord.is_full() {
            all.full.add(chord.lasting);
        }
        match named.held_against(chord.sounding(*lowest)) {
            NameVerdict::BearsOut => all.speaking_for.add(chord.lasting),
            NameVerdict::Contradicts => all.against.add(chord.lasting),
            NameVerdict::SaysNothing => {}
        }
    }
    all
}

/// Returns the tones of the chord that contradicts a name longest, and the names that fit better.
fn better_names(chords: &[WithBass], named: &NamedChord, naming: ChordNaming) -> Option<BetterNames> {
    let against = |chord: &&WithBass| contradicts(named, &chord.0, chord.1);
    let (loudest, lowest) = chords.iter().filter(against).max_by_key(|(chord, _)| chord.lasting.first)?;
    let lowest = match lowest {
        LowestNote::Bass => naming.lowest,
        LowestNote::Pedal | LowestNote::AnyNote => Lowest::AnyTone,
    };
    let all = ChordNaming { lowest, ..naming }.readings(&loudest.notes());
    let fits = |reading: &&Reading| {
        let symbol = reading.symbol.parse::<ChordSymbol>().ok().filter(|_| is_offered(reading.kind));
        symbol.is_some_and(|symbol| explains(&NamedChord::new(&symbol, naming.named_below), chords))
    };
    let better: Vec<&Reading> = all.iter().filter(fits).take(MOST_BETTER).collect();
    let tones = better.first()?.notes.iter().flatten().map(|tone| tone.name).collect();
    Some((tones, better.into_iter().map(|reading| reading.symbol.clone()).collect()))
}

/// Returns whether a name of this sort is offered in the place of another: one that the notes bear out whole, over any of them. A bass that
/// is no part of the chord is named as often as not (G/A), so the order among them is that of all readings.
const fn is_offered(kind: ReadingKind) -> bool {
    match kind {
        ReadingKind::Chord | ReadingKind::Inversion | ReadingKind::ForeignBass => true,
        ReadingKind::Note
        | ReadingKind::Interval
        | ReadingKind::PowerChord
        | ReadingKind::Rootless
        | ReadingKind::Cluster => false,
    }
}

/// Returns whether a name fits three quarters of the chords of the first bar and is contradicted by none.
fn explains(named: &NamedChord, chords: &[WithBass]) -> bool {
    let NameWitness { speaking_for, against, full } =
        witness(named, &chords.iter().copied().filter(|(chord, _)| chord.is_full()).collect::<Vec<_>>());
    against.first.0 == 0 && speaking_for.first.0 > 0 && speaking_for.first.0 * 4 >= full.first.0 * 3
}
