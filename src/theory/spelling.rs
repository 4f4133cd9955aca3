//! Spelling: which of two enharmonic names the root of a chord, a bass or a loose note gets.

use std::sync::OnceLock;

use super::degree::Degree;
use super::formula::Formula;
use super::key::Key;
use super::pitch::{Letter, NoteName, PitchClass};
use super::quality::qualities;

/// Returns the root a reading writes for `class` under the quality at `place` of the table.
///
/// A tone of the key keeps the key's spelling. Otherwise the name wins whose chord needs fewer
/// accidentals outside the key; without a key, C# E G# rather than Db Fb Ab.
pub(super) fn root(class: PitchClass, place: usize, key: Option<Key>) -> NoteName {
    match (key, qualities().get(place)) {
        (Some(_), Some(quality)) => chord_root(class, quality.formula, key),
        (Some(_), None) => loose(class, key),
        (None, _) => {
            keyless().get(place).map_or_else(|| NoteName::usual(class), |roots| roots[usize::from(class.number())])
        }
    }
}

/// Returns the root that is written for `class` under a chord of `formula`; see [`root`].
pub(super) fn chord_root(class: PitchClass, formula: Formula, key: Option<Key>) -> NoteName {
    let usual = loose(class, key);
    match key {
        None => best_root(class, formula, usual, |name| if name.accidental() == 0 { 0 } else { 2 }),
        Some(key) if key.holds(usual) => usual,
        Some(key) => best_root(class, formula, usual, |name| if key.holds(name) { 0 } else { 2 }),
    }
}

/// Returns the root for every quality and class where there is no key.
fn keyless() -> &'static [[NoteName; 12]] {
    static ROOTS: OnceLock<Vec<[NoteName; 12]>> = OnceLock::new();
    ROOTS.get_or_init(|| {
        let roots = |formula: Formula| {
            std::array::from_fn(|class| chord_root(PitchClass::of(i32::try_from(class).unwrap_or(0)), formula, None))
        };
        qualities().iter().map(|quality| roots(quality.formula)).collect()
    })
}

/// Returns the name with at most one accidental whose chord is plainest; `usual` where two are alike.
fn best_root(class: PitchClass, formula: Formula, usual: NoteName, price: impl Fn(NoteName) -> u32) -> NoteName {
    let cost = |root: NoteName| -> u32 {
        let tones = formula.degrees().filter_map(|degree| degree.above(root));
        let tones: u32 = tones.map(|name| price(name) + awkwardness(name)).sum();
        tones + if root == usual { 0 } else { 1 } + 12 * awkwardness(root)
    };
    Letter::ALL
        .into_iter()
        .filter_map(|letter| NoteName::spelled(letter, class))
        .filter(|name| name.accidental().abs() <= 1)
        .min_by_key(|name| cost(*name))
        .unwrap_or(usual)
}

/// Returns how unwelcome a name is that has a plainer one: a double sign, or E# for F.
fn awkwardness(name: NoteName) -> u32 {
    match (name.letter(), name.accidental()) {
        (_, ..=-2 | 2..) => 5,
        (Letter::B | Letter::E, 1) | (Letter::C | Letter::F, -1) => 1,
        _ => 0,
    }
}

/// Returns how hard these names are to read: their accidentals, and more for those that have a plainer name.
pub(super) fn cost(names: &[NoteName]) -> u32 {
    names.iter().map(|name| u32::from(name.accidental().unsigned_abs()) + awkwardness(*name)).sum()
}

/// Returns how a bass is written that is no tone of the chord on `root`.
pub(super) fn foreign_bass(root: NoteName, bass: PitchClass, key: Option<Key>) -> NoteName {
    let usual = || NoteName::usual(bass);
    if let Some(key) = key {
        let own = key.spell(bass);
        if key.holds(own) {
            return own;
        }
    }
    let degree = loose_degree(root.pitch_class().up_to(bass));
    degree.above(root).filter(|name| awkwardness(*name) == 0).unwrap_or_else(usual)
}

/// Returns the degree by which a tone `semitones` above another is usually spelled.
pub(super) fn loose_degree(semitones: u8) -> Degree {
    const DEGREES: [(u8, i8); 12] =
        [(1, 0), (2, -1), (2, 0), (3, -1), (3, 0), (4, 0), (4, 1), (5, 0), (6, -1), (6, 0), (7, -1), (7, 0)];
    let (number, alteration) = DEGREES[usize::from(semitones % 12)];
    Degree::new(number, alteration).unwrap_or(Degree::ROOT)
}

/// Returns how `class` is written over `low` where there is no chord: as the usual interval, but
/// natural rather than with an accidental.
pub(super) fn loose_above(low: NoteName, class: PitchClass, key: Option<Key>) -> NoteName {
    let plain = loose(class, key);
    let is_tritone = low.pitch_class().up_to(class) == 6;
    let both_natural = low.accidental() == 0 && plain.accidental() == 0;
    // A tritone is a fourth or a fifth as its notes are usually written: E-Bb, C-F#, F#-C.
    if is_tritone || both_natural || key.is_some_and(|key| key.holds(plain)) {
        return plain;
    }
    let degree = loose_degree(low.pitch_class().up_to(class));
    degree.above(low).filter(|name| name.accidental().abs() <= 1).unwrap_or(plain)
}

/// Returns how a note with no chord around it is written.
pub(super) fn loose(class: PitchClass, key: Option<Key>) -> NoteName {
    key.map_or_else(|| NoteName::usual(class), |key| key.spell(class))
}
