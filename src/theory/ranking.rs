//! Ranking: which chord names a set of pitch classes over a bass can carry, and what each costs.
//!
//! Everything is counted from the bass, so a set is one of 2048 and its candidates are worked out
//! once, when they are first asked for. The costs are common practice without a published source:
//! they say what players write first. `assets/qualities.ron` holds those of the qualities and of
//! silent degrees; the bass is priced here.

use std::sync::OnceLock;

use super::degree::Degree;
use super::formula::Formula;
use super::pitch_set::PitchSet;
use super::quality::{Quality, qualities};
use super::reading_kind::ReadingKind;

/// One name for a set, counted from the bass.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate {
    pub(super) kind: ReadingKind,
    /// Semitones from the bass up to the root.
    pub(super) root: u8,
    /// Place in [`qualities`].
    pub(super) quality: usize,
    /// Degrees of the formula that do not sound.
    pub(super) missing: Formula,
    pub(super) cost: u16,
    /// The part of the cost that is owed to another tone of the chord than its root being lowest.
    pub(super) turned: u16,
    /// Whether the tones are those of a minor seventh with another bass than the root: then they are
    /// those of the relative major's sixth as well.
    pub(super) has_relative: bool,
}

impl Candidate {
    pub(super) fn quality(&self) -> Option<&'static Quality> {
        qualities().get(self.quality)
    }

    /// Returns whether every tone of the chord sounds and no other.
    pub(super) fn is_whole(&self) -> bool {
        self.missing.is_empty() && self.kind != ReadingKind::ForeignBass
    }
}

/// Names dearer than this help nobody.
const DEAREST: u16 = 96;
/// The rarity up to which a seventh chord is heard from its third and seventh alone.
const COMMONEST_SEVENTHS: u16 = 6;
/// The rarity up to which a triad over a foreign bass is heard without its fifth, and what such a bass costs at most.
const COMMONEST_TRIADS: u16 = 2;
const EVERYDAY_BASSES: u16 = 22;
/// What it costs that a chord over a foreign bass is not whole.
const SILENT_OVER_FOREIGN: u16 = 8;

/// A major triad with its ninth, counted from the root, and what it costs over a bass by which it keeps its name.
const MAJOR_WITH_NINTH: PitchSet = PitchSet::from_bits(0b1001_0101);
const NINTH_OVER_FOREIGN: u16 = 31;

/// Returns the candidates for `set`, counted from its bass (class 0), cheapest first.
pub(super) fn candidates(set: PitchSet) -> &'static [Candidate] {
    static TABLE: [OnceLock<Box<[Candidate]>>; 2048] = [const { OnceLock::new() }; 2048];
    // The bass always sounds, so bit 0 says nothing.
    match TABLE.get(usize::from(set.bits() >> 1)) {
        Some(place) => place.get_or_init(|| rank(set.with_class(0)).into_boxed_slice()),
        None => &[],
    }
}

fn rank(set: PitchSet) -> Vec<Candidate> {
    let mut found = Vec::new();
    for root in 0..12 {
        for (place, quality) in qualities().iter().enumerate().filter(|(_, one)| root == 0 || !one.root_lowest) {
            let named = if set.has(root) { with_root(set, root, quality) } else { without_root(set, root, quality) };
            let over = if set.has(root) { over_foreign_bass(set, root, quality) } else { None };
            for PricedName { kind, missing, cost, turned } in named.into_iter().chain(over) {
                if cost <= DEAREST {
                    let has_relative =
                        root != 0 && kind != ReadingKind::Rootless && is_minor_seventh(set, root, quality);
                    found.push(Candidate { kind, root, quality: place, missing, cost, turned, has_relative });
                }
            }
        }
    }
    // Ties: the root in the bass or near above it, then the order of the table.
    found.sort_by_key(|candidate| (candidate.cost, candidate.kind, candidate.root, candidate.quality));
    found
}

/// A name as one of the three ways to find one makes it.
struct PricedName {
    kind: ReadingKind,
    missing: Formula,
    cost: u16,
    turned: u16,
}

/// Returns the chord with its root sounding and nothing foreign in it.
fn with_root(set: PitchSet, root: u8, quality: &Quality) -> Option<PricedName> {
    let tones = set.counted_from(root);
    if !tones.minus(quality.folded).is_empty() {
        return None;
    }
    let (missing, silent) = silent(tones, quality, Formula::default())?;
    let cost = quality.rarity + silent;
    if root == 0 {
        let kind = if is_power(quality) { ReadingKind::PowerChord } else { ReadingKind::Chord };
        return Some(PricedName { kind, missing, cost, turned: 0 });
    }
    let bass = degree_at(quality.formula, 12 - root)?;
    let kind = if is_power(quality) { ReadingKind::PowerChord } else { ReadingKind::Inversion };
    let turned = inversion(bass);
    Some(PricedName { kind, missing, cost: cost + turned, turned })
}

/// Returns the chord whose root somebody else plays. Without a root, a third must tell the chord or, where it is
/// suspended, four tones.
fn without_root(set: PitchSet, root: u8, quality: &Quality) -> Option<PricedName> {
    let rootless = quality.rootless?;
    let tones = set.counted_from(root);
    // Two tones call up a seventh chord of every day and nothing rarer.
    let fewest = if quality.rarity <= COMMONEST_SEVENTHS { 2 } else { 3 };
    if !tones.minus(quality.folded).is_empty() || tones.len() < fewest {
        return None;
    }
    let (missing, silent) = silent(tones, quality, Formula::of(Degree::ROOT))?;
    if missing.has_number(3) || tones.len() < 4 && !quality.formula.has_number(3) {
        return None;
    }
    let cost = quality.rarity + rootless + 2 * silent;
    Some(PricedName { kind: ReadingKind::Rootless, missing, cost, turned: 0 })
}

/// Returns the name of a chord over a bass that is none of its tones. The same tones may be missing as elsewhere;
/// a triad that lacks one gets the name only where it is one of the commonest, over a bass that is met every day.
fn over_foreign_bass(set: PitchSet, root: u8, quality: &Quality) -> Option<PricedName> {
    let bass = (12 - root) % 12;
    let chord = set.counted_from(root).minus(PitchSet::EMPTY.with_class(bass));
    if root == 0 || quality.folded.has(bass) || !chord.minus(quality.folded).is_empty() {
        return None;
    }
    let (missing, silent) = silent(chord, quality, Formula::default())?;
    let everyday = quality.rarity <= COMMONEST_TRIADS && foreign(bass) <= EVERYDAY_BASSES;
    if !missing.is_empty() && quality.formula.len() < 4 && !everyday {
        return None;
    }
    // Root and fifth over a third are an inverted triad, not a power chord over something foreign.
    if is_power(quality) && matches!(bass, 3 | 4) {
        return None;
    }
    let built = match quality.formula.len() {
        2 => 16,
        3 if quality.rarity >= 8 => 10,
        3 => 0,
        4 => 8,
        _ => 14,
    };
    let silent = if missing.is_empty() { 0 } else { silent + SILENT_OVER_FOREIGN };
    // A major triad with its ninth over its fourth is heard as just that: no other name tells as plainly what the hand holds.
    let with_ninth = missing.is_empty() && quality.folded == MAJOR_WITH_NINTH && bass == 5;
    let cost = if with_ninth { NINTH_OVER_FOREIGN } else { quality.rarity + built + silent + foreign(bass) };
    Some(PricedName { kind: ReadingKind::ForeignBass, missing, cost, turned: 0 })
}

/// Returns what does not sound, and what that costs; `None` when a silent degree is one that must be heard.
fn silent(tones: PitchSet, quality: &Quality, allowed: Formula) -> Option<(Formula, u16)> {
    if quality.folded.minus(tones).is_empty() {
        return Some((Formula::default(), 0));
    }
    let mut missing = Formula::default();
    let (mut cost, mut count) = (0, 0);
    for degree in quality.formula.degrees().filter(|degree| !tones.has(degree.folded())) {
        let degree = Formula::of(degree);
        missing = missing.with(degree);
        if !allowed.touches(degree) {
            cost += quality.may_miss.iter().find(|(may_miss, _)| *may_miss == degree)?.1;
            count += 1;
        }
    }
    (count <= quality.at_most).then_some((missing, cost))
}

pub(super) fn is_power(quality: &Quality) -> bool {
    quality.formula.len() == 2
}

/// Returns whether `set` is a minor seventh on `root` and `quality` names it so, or as its triad over the seventh.
fn is_minor_seventh(set: PitchSet, root: u8, quality: &Quality) -> bool {
    const MINOR_TRIAD: PitchSet = PitchSet::from_bits(0b1000_1001);
    const MINOR_SEVENTH: PitchSet = PitchSet::from_bits(0b100_1000_1001);
    set.counted_from(root) == MINOR_SEVENTH && matches!(quality.folded, MINOR_TRIAD | MINOR_SEVENTH)
}

/// Returns the degree of `formula` that stands `semitones` above the root within an octave.
pub(super) fn degree_at(formula: Formula, semitones: u8) -> Option<Degree> {
    formula.degrees().find(|degree| degree.folded() == semitones % 12)
}

/// Returns what it costs to turn a chord over so that `bass` is its lowest tone.
fn inversion(bass: Degree) -> u16 {
    match (bass.number(), bass.alteration()) {
        (3, _) => 16,
        (5, 0) => 13,
        (5, _) => 18,
        (7, _) => 19,
        (6, _) => 18,
        (2 | 4 | 9 | 11, 0) => 26,
        (13, 0) => 28,
        _ => 30,
    }
}

/// Returns what it costs to put a bass `semitones` above the root under a chord it does not belong to: the
/// seventh is met every day, then the ninth and the fourth;
/// a sixth below is nearly always the root of a seventh chord instead.
fn foreign(semitones: u8) -> u16 {
    match semitones {
        10 => 14,
        11 => 16,
        2 => 20,
        5 => 22,
        1 | 3 | 6 => 30,
        9 => 28,
        _ => 33,
    }
}
