//! What the readings pane lists: what sounds, what would sound without a doubtful string, what is kept.
//!
//! No two lines bear the same name.

use crate::instrument::neck::StringNumber;
use crate::instrument::voicing::open_shapes::OpenShape;
use crate::theory::degree::Degree;
use crate::theory::key::Key;
use crate::theory::pitch::{MidiNote, NoteName, PitchClass};
use crate::theory::reading::{Context, Decision, Doubt, Reading, ReadingKind, Tone, readings, readings_with_doubts};
use crate::theory::symbol::ChordSymbol;

/// How many names are listed, at most.
const MOST: usize = 24;

/// One name, and what has to be so for it to hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedReading {
    /// The name of the shape, as played.
    pub reading: Reading,
    /// The name of what sounds, where a capo or another tuning parts the two.
    pub sounds_as: Option<String>,
    /// What it rests on.
    pub basis: NameBasis,
    /// The name kept that this is: the same, or the same without its bass.
    pub kept_as: Option<String>,
}

/// What a name rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NameBasis {
    /// On all that is heard; it is the best name without each of these doubtful strings too.
    Sounding(Vec<StringNumber>),
    /// It is the best name if one of these doubtful strings is silent.
    Without(Vec<StringNumber>),
    /// It rests only on somebody having kept it.
    KeptOnly,
}

/// What the names depend on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::workbench) struct Seen {
    /// One entry for each string, silent where nothing is heard.
    pub(in crate::workbench) sounding: Vec<Option<MidiNote>>,
    /// How sure the ear is of each.
    pub(in crate::workbench) doubts: Vec<Doubt>,
    /// The names kept.
    pub(in crate::workbench) kept: Vec<String>,
    /// Semitones from what is played to what sounds.
    pub(in crate::workbench) shift: i32,
    /// The open shape that the fingers come from.
    pub(in crate::workbench) open_shape: Option<OpenShape>,
    /// The key, as it sounds, and what the lowest pitch is to the ear.
    pub(in crate::workbench) context: Context,
}

/// Names what sounds and what would sound without each string the ear is unsure of, the names kept
/// that are none of these before them all.
pub(in crate::workbench) fn name_all(seen: &Seen) -> Vec<NamedReading> {
    let mut list = name(seen, &seen.sounding);
    list.truncate(MOST);
    add_doubtful(seen, &mut list);
    let unlisted: Vec<&String> = seen.kept.iter().filter(|kept| !tick(kept, &mut list)).collect();
    if list.is_empty() {
        return list;
    }
    let unlisted = unlisted.into_iter().map(|kept| NamedReading {
        reading: kept_reading(kept, &seen.played(&seen.sounding)),
        sounds_as: None,
        basis: NameBasis::KeptOnly,
        kept_as: Some(kept.clone()),
    });
    unlisted.chain(list).collect()
}

impl Seen {
    /// Returns the notes as they are played, where `sounding` is what sounds.
    fn played(&self, sounding: &[Option<MidiNote>]) -> Vec<Option<MidiNote>> {
        sounding.iter().map(|note| note.and_then(|note| note.up(-self.shift))).collect()
    }

    /// Returns what is known, named as it is played.
    fn played_context(&self) -> Context {
        let Context { key, stated_bass, previous, next, lowest } = self.context.clone();
        let down = |name: NoteName| {
            let class = PitchClass::of(i32::from(name.pitch_class().number()) - self.shift);
            if self.shift == 0 { name } else { NoteName::usual(class) }
        };
        // A chord that moves keeps the letters of its root in the key that moves with it.
        let moved_key = key.and_then(|key| transposed(key, -self.shift));
        let chord_down = |chord: ChordSymbol| if self.shift == 0 { chord } else { chord.moved(-self.shift, moved_key) };
        Context {
            key: key.and_then(|key| if self.shift == 0 { Some(key) } else { transposed(key, -self.shift) }),
            stated_bass: stated_bass.map(down),
            previous: previous.map(chord_down),
            next: next.map(chord_down),
            lowest,
        }
    }
}

/// Says what each doubtful string decides: the best names, as played, if it sounds and if it does not.
pub(in crate::workbench) fn decisions(seen: &Seen) -> Vec<String> {
    let notes = seen.played(&seen.sounding);
    let doubts = seen.doubts.iter().copied().chain(std::iter::repeat(Doubt::Sure));
    let strings: Vec<_> = notes.iter().zip(doubts).map(|(note, doubt)| note.map(|note| (note, doubt))).collect();
    let names = |readings: &[Reading]| {
        let names: Vec<&str> = readings.iter().map(|reading| reading.symbol.as_str()).collect();
        if names.is_empty() { "silence".to_owned() } else { names.join(", ") }
    };
    let sentence = |decision: &Decision| {
        let string = StringNumber::at(decision.string, notes.len())?;
        let (with, without) = (names(&decision.with), names(&decision.without));
        Some(if with == without {
            format!("string {string} makes no difference: {with} either way")
        } else {
            format!("with string {string}: {with}; without it: {without}")
        })
    };
    if !seen.doubts.contains(&Doubt::Unsure) {
        return Vec::new();
    }
    readings_with_doubts(&strings, &seen.played_context()).decisions.iter().filter_map(sentence).collect()
}

/// Puts the best name without each doubtful string right after the best one with it.
fn add_doubtful(seen: &Seen, list: &mut Vec<NamedReading>) {
    let strings = seen.sounding.len();
    let mut next = 1;
    for (index, doubt) in seen.doubts.iter().enumerate() {
        let sounds = seen.sounding.get(index).copied().flatten().is_some();
        let Some(string) = StringNumber::at(index, strings).filter(|_| *doubt == Doubt::Unsure && sounds) else {
            continue;
        };
        let mut without = seen.sounding.clone();
        if let Some(note) = without.get_mut(index) {
            *note = None;
        }
        let Some(best) = name(seen, &without).into_iter().next() else { continue };
        let known = list.iter().position(|named| named.reading.symbol == best.reading.symbol);
        let mut line =
            known.map_or(NamedReading { basis: NameBasis::Without(Vec::new()), ..best }, |at| list.remove(at));
        if let NameBasis::Sounding(strings) | NameBasis::Without(strings) = &mut line.basis {
            strings.push(string);
        }
        // What is best either way stays where it is; what stands further down comes up.
        let at = known.filter(|at| *at < next).unwrap_or(next).min(list.len());
        list.insert(at, line);
        next = next.max(at + 1);
    }
}

/// Marks the line that bears a kept name, and returns whether there is one: its very name, else the
/// same chord over whatever bass the shape gives it.
fn tick(kept: &str, list: &mut [NamedReading]) -> bool {
    let exact = list.iter().position(|named| named.reading.symbol == kept);
    let place = exact.or_else(|| {
        let chord: ChordSymbol = kept.parse().ok()?;
        list.iter().position(|named| named.kept_as.is_none() && is_over_some_bass(&chord, &named.reading))
    });
    let Some(named) = place.and_then(|place| list.get_mut(place)) else { return false };
    named.kept_as = Some(kept.to_owned());
    true
}

fn is_over_some_bass(chord: &ChordSymbol, reading: &Reading) -> bool {
    let same_bass = chord.bass().is_none_or(|bass| bass.pitch_class() == reading.bass.pitch_class());
    let same_root = reading.root.map(NoteName::pitch_class) == Some(chord.root().pitch_class());
    same_bass && same_root && chord.formula() == reading.formula
}

/// Returns a kept name as a reading, which spells the notes that belong to the chord.
fn kept_reading(symbol: &str, played: &[Option<MidiNote>]) -> Reading {
    let chord: Option<ChordSymbol> = symbol.parse().ok();
    let tone = |note: MidiNote| {
        let class = note.pitch_class();
        let degree = chord.as_ref().and_then(|chord| {
            let above = |degree: &&Degree| degree.above(chord.root()).map(NoteName::pitch_class) == Some(class);
            chord.formula().iter().find(above).copied()
        });
        let name = chord.as_ref().zip(degree).and_then(|(chord, degree)| degree.above(chord.root()));
        Tone { name: name.unwrap_or(NoteName::usual(class)), degree }
    };
    let lowest = played.iter().flatten().min().map_or(PitchClass::of(0), |note| note.pitch_class());
    Reading {
        kind: ReadingKind::Cluster,
        symbol: symbol.to_owned(),
        root: chord.as_ref().map(ChordSymbol::root),
        bass: NoteName::usual(lowest),
        formula: chord.as_ref().map_or(Vec::new(), |chord| chord.formula().to_vec()),
        missing: Vec::new(),
        notes: played.iter().map(|note| note.map(tone)).collect(),
        reason: "a name that was kept; none of the readings of these strings".to_owned(),
        cost: u32::MAX,
    }
}

/// Names what sounds, as it is played, best first.
fn name(seen: &Seen, sounding: &[Option<MidiNote>]) -> Vec<NamedReading> {
    let Seen { shift, context, .. } = seen;
    let shift = *shift;
    let as_sounding = readings(sounding, context);
    let line = |reading, sounds_as| {
        let basis = NameBasis::Sounding(Vec::new());
        NamedReading { reading, sounds_as, basis, kept_as: None }
    };
    if shift == 0 {
        return as_sounding.into_iter().map(|reading| line(reading, None)).collect();
    }
    let up = |name: NoteName| PitchClass::of(i32::from(name.pitch_class().number()) + shift);
    readings(&seen.played(sounding), &seen.played_context())
        .into_iter()
        .map(|reading| {
            let same = |other: &&Reading| {
                other.kind == reading.kind
                    && other.formula == reading.formula
                    && other.bass.pitch_class() == up(reading.bass)
                    && other.root.map(NoteName::pitch_class) == reading.root.map(up)
            };
            let sounds_as = as_sounding.iter().find(same).map(|other| other.symbol.clone());
            line(reading, sounds_as)
        })
        .collect()
}

fn transposed(key: Key, semitones: i32) -> Option<Key> {
    let class = PitchClass::of(i32::from(key.tonic().pitch_class().number()) + semitones);
    Some(Key::new(NoteName::usual(class), key.mode()).unwrap_or_else(|| key.moved(semitones)))
}
