//! Readings: every sensible name of the tones that sound, best first, with its reason.

use super::around::{Around, NameHere};
use super::degree::Degree;
use super::formula::Formula;
use super::interval::Interval;
use super::key::Key;
use super::pitch::{MidiNote, NoteName, PitchClass};
use super::pitch_set::PitchSet;
use super::quality::Quality;
use super::ranking::{Candidate, candidates, degree_at};
use super::{reason, spelling};

pub use super::context::{Context, Doubt, Lowest};
pub use super::reading_kind::ReadingKind;

/// One sounding tone as a reading spells it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Tone {
    /// The spelling.
    pub name: NoteName,
    /// Its degree above the reading's root; `None` for a foreign bass or where there is no root.
    pub degree: Option<Degree>,
}

/// One interpretation of what sounds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    /// The sort of name.
    pub kind: ReadingKind,
    /// The name, ASCII: `Cmaj7/E`, `E5`, `C`, `C-E-F`.
    pub symbol: String,
    /// The root; `None` for notes, intervals without a root and clusters.
    pub root: Option<NoteName>,
    /// The lowest sounding pitch (or the stated bass) as this reading spells it.
    pub bass: NoteName,
    /// The whole formula of the named chord, missing degrees included; a foreign bass stays out.
    pub formula: Vec<Degree>,
    /// The degrees of the formula that do not sound.
    pub missing: Vec<Degree>,
    /// One entry for each input note, in order; `None` where the input was silent.
    pub notes: Vec<Option<Tone>>,
    /// Why this name, in a player's words.
    pub reason: String,
    /// What the reading costs; lower is better, ties never occur within one ranking.
    pub cost: u32,
}

impl Reading {
    /// Returns the symbol the same reading has `semitones` higher (lower if negative), spelled as `key`
    /// or, without one, players would: what a shape is played as, from what it sounds as.
    pub fn symbol_moved(&self, semitones: i32, key: Option<Key>) -> String {
        let class = |name: NoteName| PitchClass::of(i32::from(name.pitch_class().number()) + semitones % 12);
        let mut symbol = String::with_capacity(16);
        // A name keeps its distance in letters from the one that is moved first.
        let along = |from: NoteName, to: NoteName, name: NoteName, widest: i8| {
            let moved = Interval::between(from, name).above(to).filter(|moved| moved.accidental().abs() <= widest);
            moved.unwrap_or_else(|| spelling::loose(class(name), key)).as_str()
        };
        let Some(root) = self.root else {
            // Single notes, intervals and clusters are called by their notes.
            let names: Vec<NoteName> = self.symbol.split('-').filter_map(|name| name.parse().ok()).collect();
            let Some(&lowest) = names.first() else { return symbol };
            let moved = spelling::loose(class(lowest), key);
            for (place, name) in names.iter().enumerate() {
                symbol.push_str(if place == 0 { "" } else { "-" });
                symbol.push_str(along(lowest, moved, *name, 1));
            }
            return symbol;
        };
        let formula = self.formula.iter().fold(Formula::default(), |all, degree| all.with(Formula::of(*degree)));
        let moved = spelling::chord_root(class(root), formula, key);
        let suffix = self.symbol.strip_prefix(root.as_str()).unwrap_or("");
        let suffix_alone = suffix.strip_suffix(self.bass.as_str()).and_then(|start| start.strip_suffix('/'));
        symbol.push_str(moved.as_str());
        symbol.push_str(suffix_alone.unwrap_or(suffix));
        if suffix_alone.is_some() {
            symbol.push('/');
            symbol.push_str(along(root, moved, self.bass, 2));
        }
        symbol
    }
}

/// Returns every sensible reading of `notes`, best first; empty when nothing sounds.
///
/// `notes` holds one entry for each string, in any order; `None` is silent. The bass is the lowest
/// pitch, not the first entry.
pub fn readings(notes: &[Option<MidiNote>], context: &Context) -> Vec<Reading> {
    readings_limited(notes, context, usize::MAX)
}

/// Returns the best `limit` readings of `notes`; see [`readings`].
pub fn readings_limited(notes: &[Option<MidiNote>], context: &Context, limit: usize) -> Vec<Reading> {
    let Some(lowest) = notes.iter().flatten().min() else { return Vec::new() };
    let bass = context.stated_bass.map_or(lowest.pitch_class(), NoteName::pitch_class);
    let set: PitchSet = notes.iter().flatten().map(|note| note.pitch_class()).chain([bass]).collect();
    let heard = Naming { notes, context, lowest: context.lowest_here(), bass, set, around: Around::new(context) };
    let mut found = Vec::with_capacity(limit.min(16));
    match set.len() {
        1 => found.push(heard.single_note()),
        2 => found.push(heard.interval()),
        _ => {}
    }
    if heard.chords(&mut found, limit) == Best::FarFetched && set.len() > 2 {
        found.push(heard.cluster());
    }
    found.sort_by_key(|reading| reading.cost);
    found.truncate(limit);
    // No two readings of one ranking cost the same, so that whoever sorts them again keeps the order.
    let mut least = 0;
    for reading in &mut found {
        reading.cost = reading.cost.max(least);
        least = reading.cost + 1;
    }
    found
}

/// What decides the readings of some notes, but for which string has which of them: in one context, what is alike has the
/// same readings apart from [`Reading::notes`], where each pitch class has the same [`Tone`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Likeness(u32);

impl Likeness {
    /// Returns it; `None` where fewer than three pitch classes sound, whose names tell of octaves and of strings too.
    pub fn of(notes: &[Option<MidiNote>], context: &Context) -> Option<Self> {
        let lowest = notes.iter().flatten().min()?;
        let bass = context.stated_bass.map_or(lowest.pitch_class(), NoteName::pitch_class);
        let set: PitchSet = notes.iter().flatten().map(|note| note.pitch_class()).chain([bass]).collect();
        if set.len() < 3 {
            return None;
        }
        // Only of four tones one may be the relative of another.
        let relatives = if set.len() == RELATIVE_TONES {
            let below = |root: &u8| relative_is_below(notes, PitchClass::of(i32::from(*root)));
            (0..12).filter(below).fold(0, |all, root| all | 1 << root)
        } else {
            0
        };
        // A bass that is stated may sound too, and then has a name as a string's note.
        let sounds = notes.iter().flatten().any(|note| note.pitch_class() == bass);
        Some(Self(u32::from(set.bits()) | u32::from(bass.number()) << 12 | relatives << 16 | u32::from(sounds) << 28))
    }
}

/// How many tones a chord has that has a relative.
const RELATIVE_TONES: u32 = 4;

/// Returns whether the root of the relative major of a minor chord on `root` is first heard below that.
fn relative_is_below(notes: &[Option<MidiNote>], root: PitchClass) -> bool {
    let lowest = |class: PitchClass| notes.iter().flatten().filter(|note| note.pitch_class() == class).min();
    let relative = lowest(PitchClass::of(i32::from(root.number()) + 3));
    relative.is_some_and(|relative| lowest(root).is_none_or(|root| relative < root))
}

/// A chord name for a set of pitch classes over a bass, as the table holds it: without spelling,
/// without context, without the names of single notes, intervals and clusters.
#[derive(Debug, Clone, Copy)]
pub struct BareName {
    /// The sort of name.
    pub kind: ReadingKind,
    /// The root.
    pub root: PitchClass,
    /// The quality.
    pub quality: &'static Quality,
    /// The degrees of the quality that do not sound.
    pub missing: Formula,
}

/// Returns the chord names of `set` over `bass`, best first, without making a reading of each. The bass
/// counts as sounding.
pub fn bare_names(set: PitchSet, bass: PitchClass) -> impl Iterator<Item = BareName> {
    let name = move |candidate: &Candidate| {
        let root = PitchClass::of(i32::from(bass.number()) + i32::from(candidate.root));
        let quality = candidate.quality()?;
        Some(BareName { kind: candidate.kind, root, quality, missing: candidate.missing })
    };
    candidates(set.with(bass).counted_from(bass.number())).iter().filter_map(name)
}

/// What one string's presence decides.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Decision {
    /// The place of the doubtful note in the input.
    pub string: usize,
    /// The best readings if it sounds, at most [`Decision::READINGS`], best first.
    pub with: Vec<Reading>,
    /// The best readings if it does not; empty when nothing sounds then.
    pub without: Vec<Reading>,
    /// What the best of each side are called, in a sentence.
    pub sentence: String,
}

impl Decision {
    /// How many readings are kept for each side.
    pub const READINGS: usize = 3;

    /// Names what sounds with a string and without it. `with` holds the notes of all strings, that one included; `string` is its
    /// place there.
    fn new(string: usize, with: &[Option<MidiNote>], context: &Context) -> Self {
        let without: Vec<Option<MidiNote>> =
            with.iter().enumerate().map(|(place, note)| note.filter(|_| place != string)).collect();
        let with = readings_limited(with, context, Self::READINGS);
        let without = readings_limited(&without, context, Self::READINGS);
        let sentence = match (with.first(), without.first()) {
            (Some(with), Some(without)) if with.symbol == without.symbol => format!("{} either way", with.symbol),
            (Some(with), Some(without)) => {
                format!("{} if it sounds, {} if it does not", with.symbol, without.symbol)
            }
            (Some(with), None) => format!("{} if it sounds, silence if it does not", with.symbol),
            (None, _) => String::new(),
        };
        Self { string, with, without, sentence }
    }
}

/// Readings of what is sure and unsure together, and what every doubtful string decides.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct DoubtfulReadings {
    /// Readings with every string that is not marked as unheard, best first.
    pub readings: Vec<Reading>,
    /// The best readings of the sure strings alone, at most [`Decision::READINGS`]; empty where
    /// nothing is in doubt or nothing is sure.
    pub sure_alone: Vec<Reading>,
    /// One entry for each unsure string, in order.
    pub decisions: Vec<Decision>,
}

/// Returns readings of strings that are heard more or less surely. Unheard strings stay out; for
/// each unsure one it is said what its presence decides, the other unsure ones taken as sounding.
pub fn readings_with_doubts(strings: &[Option<(MidiNote, Doubt)>], context: &Context) -> DoubtfulReadings {
    let heard_as = |wanted: &[Doubt]| -> Vec<Option<MidiNote>> {
        strings.iter().map(|string| string.filter(|(_, doubt)| wanted.contains(doubt)).map(|(note, _)| note)).collect()
    };
    let notes = heard_as(&[Doubt::Sure, Doubt::Unsure]);
    let unsure = strings.iter().enumerate().filter(|(_, entry)| matches!(entry, Some((_, Doubt::Unsure))));
    let decisions: Vec<Decision> = unsure.map(|(string, _)| Decision::new(string, &notes, context)).collect();
    let sure_alone = match decisions.as_slice() {
        [] => Vec::new(),
        [only] => only.without.clone(),
        _ => readings_limited(&heard_as(&[Doubt::Sure]), context, Decision::READINGS),
    };
    DoubtfulReadings { readings: readings(&notes, context), sure_alone, decisions }
}

/// What sounds, ready to be named.
struct Naming<'a> {
    notes: &'a [Option<MidiNote>],
    context: &'a Context,
    /// What the lowest pitch is to the ear.
    lowest: Lowest,
    bass: PitchClass,
    set: PitchSet,
    /// What is known beside the notes; `None` where that is nothing.
    around: Option<Around<'a>>,
}

/// Whether the best chord name is worth more than the notes themselves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Best {
    Honest,
    FarFetched,
}

/// From here on a chord name is less honest than the notes themselves, unless all of the chord sounds.
const FAR_FETCHED: i32 = 500;
/// What a minor chord over another bass loses when the root of its relative major lies below its own
/// root: D G B E is G6/D, D E G B is Em/D.
const RELATIVE_BELOW: i32 = 110;
/// What a reading gains in a key that holds all its tones.
const IN_KEY: i32 = 30;
/// What a name loses that lacks a note, and what one loses beside that lacks its root, where no bass decides: a complete
/// chord stands before it.
const NOT_WHOLE: i32 = 80;
const NO_ROOT: i32 = 60;
/// What a name with second and fourth in place of the third loses there: only its root as the bass tells it from a seventh that
/// is suspended.
const BOTH_SUSPENDED: i32 = 60;
/// The share of the price of an inversion, and of what a relative below costs, that stays where the lowest pitch is not heard as a bass:
/// one part in so many, to tell names apart that are otherwise alike.
const UNHEARD_INVERSION: i32 = 2;
/// What an interval costs that is first of all a power chord.
const POWER_CHORD_FIRST: u32 = 400;
/// From how many strings on a third is first of all a chord without its fifth, and what the interval costs there.
const MANY: usize = 4;
const THIRD_ON_MANY: u32 = 490;
/// One step of a candidate's cost, so that [`IN_KEY`] can be finer.
const STEP: i32 = 10;

/// Sees that no chord over a foreign bass is cheaper than the cheapest one of which every note sounds.
fn put_whole_chords_before_foreign_basses(priced: &mut [(i32, &Candidate)]) {
    let Some(whole) = priced.iter().filter(|(_, one)| one.is_whole()).map(|(cost, _)| *cost).min() else { return };
    for (cost, _) in priced.iter_mut().filter(|(_, one)| one.kind == ReadingKind::ForeignBass) {
        *cost = (*cost).max(whole + 1);
    }
}

impl Naming<'_> {
    /// Adds the chord names, best first, and says whether there is an honest one.
    fn chords(&self, found: &mut Vec<Reading>, limit: usize) -> Best {
        let from_bass = self.set.counted_from(self.bass.number());
        // A bass that nobody hears is no part of a name.
        let has_a_name =
            |candidate: &&Candidate| self.lowest != Lowest::AnyTone || candidate.kind != ReadingKind::ForeignBass;
        let possible = candidates(from_bass).iter().filter(has_a_name);
        let mut priced: Vec<(i32, &Candidate)> = possible.map(|candidate| (self.price(candidate), candidate)).collect();
        if self.lowest == Lowest::HighTone {
            put_whole_chords_before_foreign_basses(&mut priced);
        }
        priced.sort_by_key(|(cost, _)| *cost);
        let far_fetched = self.far_fetched();
        let is_honest = |(cost, candidate): &(i32, &Candidate)| *cost < far_fetched || candidate.is_whole();
        let best = if priced.iter().any(is_honest) { Best::Honest } else { Best::FarFetched };
        found.extend(priced.into_iter().take(limit).filter_map(|(cost, one)| self.reading(one, cost)));
        best
    }

    fn root_class(&self, candidate: &Candidate) -> PitchClass {
        PitchClass::of(i32::from(self.bass.number()) + i32::from(candidate.root))
    }

    /// Returns from where on a chord name is less honest than the notes themselves.
    fn far_fetched(&self) -> i32 {
        FAR_FETCHED + if self.is_no_bass() { NOT_WHOLE } else { 0 }
    }

    /// Returns a candidate as far as what is around it matters.
    fn named(&self, candidate: &Candidate) -> Option<NameHere<'static>> {
        let quality = candidate.quality()?;
        let sounding = quality.formula.without(candidate.missing).with(Formula::of(Degree::ROOT)).folded();
        Some(NameHere { kind: candidate.kind, root: self.root_class(candidate), bass: self.bass, quality, sounding })
    }

    /// Returns whether the root of the relative major is first heard below the root of a minor candidate.
    fn relative_is_below(&self, candidate: &Candidate) -> bool {
        if !candidate.has_relative || self.lowest == Lowest::AnyTone {
            return false;
        }
        relative_is_below(self.notes, self.root_class(candidate))
    }

    /// Returns whether the lowest pitch is just another tone; a bass that somebody states is one all the same.
    fn is_no_bass(&self) -> bool {
        match self.lowest {
            Lowest::Bass => false,
            Lowest::AnyTone | Lowest::HighTone => true,
        }
    }

    fn price(&self, candidate: &Candidate) -> i32 {
        let share = if self.is_no_bass() { UNHEARD_INVERSION } else { 1 };
        let relative = if self.relative_is_below(candidate) { RELATIVE_BELOW / share } else { 0 };
        let mut price = STEP * i32::from(candidate.cost) + relative;
        if self.is_no_bass() {
            let turned = STEP * i32::from(candidate.turned);
            price -= turned - turned / UNHEARD_INVERSION;
            price += match (candidate.kind, candidate.missing.is_empty()) {
                (ReadingKind::Rootless, _) => NOT_WHOLE + NO_ROOT,
                (_, false) => NOT_WHOLE,
                (_, true) => 0,
            };
            let is_suspended_twice =
                |formula: Formula| formula.has_number(2) && formula.has_number(4) && !formula.has_number(3);
            if candidate.quality().is_some_and(|quality| is_suspended_twice(quality.formula)) {
                price += BOTH_SUSPENDED;
            }
        }
        let Some(around) = &self.around else { return price };
        let Some(named) = self.named(candidate) else { return price };
        price - around.gain(&named) - if around.holds_sound(&named) { IN_KEY } else { 0 }
    }

    fn reading(&self, candidate: &Candidate, cost: i32) -> Option<Reading> {
        let quality = candidate.quality()?;
        let around = self.around.as_ref().and_then(|around| Some((around, self.named(candidate)?)));
        let root = around.and_then(|(around, named)| around.root(&named));
        let root =
            root.unwrap_or_else(|| spelling::root(self.root_class(candidate), candidate.quality, self.context.key));
        let above = |class: PitchClass| {
            let degree = degree_at(quality.formula, root.pitch_class().up_to(class));
            let name = degree.and_then(|degree| degree.above(root));
            match name {
                Some(name) => Tone { name, degree },
                None => Tone { name: spelling::foreign_bass(root, class, self.context.key), degree: None },
            }
        };
        let bass = match self.context.stated_bass {
            Some(stated) if candidate.kind == ReadingKind::ForeignBass => stated,
            _ => above(self.bass).name,
        };
        let mut symbol = String::with_capacity(16);
        symbol.push_str(root.as_str());
        symbol.push_str(&quality.suffix);
        let is_told = !self.is_no_bass() || candidate.kind == ReadingKind::ForeignBass;
        if candidate.root != 0 && candidate.kind != ReadingKind::Rootless && is_told {
            symbol.push('/');
            symbol.push_str(bass.as_str());
        }
        let mut reason = reason::reason(candidate, quality, root, bass, self.lowest);
        if let Some((around, named)) = &around {
            let mut names: Vec<NoteName> = quality.formula.degrees().filter_map(|degree| degree.above(root)).collect();
            names.extend((candidate.kind == ReadingKind::ForeignBass).then_some(bass));
            around.write(&mut reason, named, root, &names);
        }
        Some(Reading {
            kind: candidate.kind,
            symbol,
            root: Some(root),
            bass,
            formula: quality.formula.to_vec(),
            missing: candidate.missing.to_vec(),
            notes: self.notes.iter().map(|note| note.map(|note| above(note.pitch_class()))).collect(),
            reason,
            cost: u32::try_from(cost).unwrap_or(0),
        })
    }

    /// Returns the reading of one pitch class, perhaps in octaves.
    fn single_note(&self) -> Reading {
        let mut places: Vec<MidiNote> = self.notes.iter().flatten().copied().collect();
        places.sort_unstable();
        places.dedup();
        let reason = match places.len() {
            1 => "one note".to_owned(),
            octaves => format!("one note in {} octaves", reason::count(octaves)),
        };
        let name = self.context.stated_bass.unwrap_or_else(|| spelling::loose(self.bass, self.context.key));
        self.unrooted(ReadingKind::Note, name.to_string(), name, &|_| name, reason)
    }

    /// Returns the reading of two pitch classes: their distance, counted up from the bass.
    fn interval(&self) -> Reading {
        let key = self.context.key;
        let low = self.context.stated_bass.unwrap_or_else(|| spelling::loose(self.bass, key));
        let other = self.set.classes().find(|class| *class != self.bass.number()).unwrap_or(self.bass.number());
        let other = PitchClass::of(i32::from(other));
        let high = spelling::loose_above(low, other, key);
        let interval = Interval::between(low, high).to_string();
        let article = if interval.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
        let reason = format!("two notes, {article} {interval}");
        let named = |class: PitchClass| if class == self.bass { low } else { high };
        let mut reading = self.unrooted(ReadingKind::Interval, format!("{low}-{high}"), low, &named, reason);
        // A fifth or a fourth is first of all a power chord.
        reading.cost = match self.bass.up_to(other) {
            5 | 7 => POWER_CHORD_FIRST,
            // On many strings a third is a chord without its fifth.
            3 | 4 | 8 | 9 if self.notes.iter().flatten().count() >= MANY => THIRD_ON_MANY,
            _ => 0,
        };
        reading
    }

    /// Returns the reading of notes for which there is no chord name.
    fn cluster(&self) -> Reading {
        let key = self.context.key;
        let named = |class: PitchClass| spelling::loose(class, key);
        let from_bass = self.set.counted_from(self.bass.number());
        let classes = from_bass.classes().map(|up| PitchClass::of(i32::from(self.bass.number() + up)));
        let symbol = classes.map(|class| named(class).to_string()).collect::<Vec<_>>().join("-");
        let size = usize::try_from(self.set.len()).unwrap_or(0);
        let reason = format!("{} notes together that no chord name fits", reason::count(size));
        let mut reading = self.unrooted(ReadingKind::Cluster, symbol, named(self.bass), &named, reason);
        // Only asked for where every chord name is dearer.
        reading.cost = u32::try_from(self.far_fetched() - 1).unwrap_or(0);
        reading
    }

    fn unrooted(
        &self,
        kind: ReadingKind,
        symbol: String,
        bass: NoteName,
        name: &dyn Fn(PitchClass) -> NoteName,
        reason: String,
    ) -> Reading {
        let tone = |note: MidiNote| Tone { name: name(note.pitch_class()), degree: None };
        let notes = self.notes.iter().map(|note| note.map(tone)).collect();
        Reading { kind, symbol, root: None, bass, formula: Vec::new(), missing: Vec::new(), notes, reason, cost: 0 }
    }
}
