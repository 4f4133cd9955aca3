//! From the words of a suffix to a formula, and from a formula back to one consistent suffix.

use super::degree::Degree;
use super::formula::Formula;
use super::quality::{Quality, table};
use super::symbol_words::{PlacedWord, Word};

/// Where reading a suffix stopped: how many words were understood, and why not more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stop {
    /// The next word has no meaning here.
    Meaningless { understood: usize },
    /// There is no such degree to leave out.
    NothingToOmit { understood: usize, number: u8 },
}

/// Reads the words after a root: the longest beginning that the table of qualities knows, then
/// changes to it one by one.
///
/// Errors: the word at which no chord is known any more ([`Stop`]).
pub(super) fn formula(words: &[PlacedWord]) -> Result<Formula, Stop> {
    let plain: Vec<Word> = words.iter().map(|placed| placed.word).collect();
    // `C(9)` and `C/9` add a ninth to the triad; `C9` is a ninth chord.
    let joins = words.first().is_some_and(|first| first.apart && matches!(first.word, Word::Number(2 | 6 | 9..)));
    // No more words than the table knows together: looking up every beginning of a long text takes minutes.
    let most = if joins { 0 } else { plain.len().min(table().most_words) };
    let (known, mut formula) = (0..=most)
        .rev()
        .find_map(|length| Some((length, table().spelled(plain.get(..length)?)?.formula)))
        .unwrap_or((0, Formula::default()));
    let mut at = known;
    while let Some(placed) = words.get(at) {
        let next = plain.get(at + 1).copied();
        let stop = Stop::Meaningless { understood: at };
        let taken = match (placed.word, next) {
            (Word::Add, Some(Word::Number(number))) => add(&mut formula, 0, number).then_some(2),
            (Word::Add, Some(Word::Sign(alteration, number))) => add(&mut formula, alteration, number).then_some(2),
            (Word::No, Some(Word::Number(number))) if number > 1 => {
                if !omit(&mut formula, number) {
                    return Err(Stop::NothingToOmit { understood: at, number });
                }
                Some(2)
            }
            (Word::Suspended, Some(Word::Number(number @ (2 | 4)))) => {
                suspend(&mut formula, number);
                Some(2)
            }
            (Word::Major, Some(Word::Number(number))) => major_seventh(&mut formula, number).then_some(2),
            (Word::Sign(alteration, number), _) => alter(&mut formula, alteration, number).then_some(1),
            (Word::Augmented, _) => alter(&mut formula, 1, 5).then_some(1),
            (Word::Number(number), _) if placed.apart => add(&mut formula, 0, number).then_some(1),
            _ => None,
        };
        at += taken.ok_or(stop)?;
    }
    Ok(tidied(formula))
}

fn one(number: u8, alteration: i8) -> Formula {
    Degree::new(number, alteration).map_or(Formula::default(), Formula::of)
}

fn seventh(formula: Formula) -> Formula {
    formula.common(Formula::numbered(7))
}

/// Returns the degree that a written tension means: 2 is the ninth, 4 the eleventh.
fn tension(alteration: i8, number: u8) -> Formula {
    match number {
        2 | 9 => one(9, alteration),
        4 | 11 => one(11, alteration),
        6 => one(6, alteration),
        13 => one(13, alteration),
        _ => Formula::default(),
    }
}

fn add(formula: &mut Formula, alteration: i8, number: u8) -> bool {
    let tone = tension(alteration, number);
    *formula = formula.with(tone);
    !tone.is_empty()
}

fn omit(formula: &mut Formula, number: u8) -> bool {
    let gone = formula.common(Formula::numbered(number));
    *formula = formula.without(gone);
    !gone.is_empty()
}

fn suspend(formula: &mut Formula, number: u8) {
    *formula = formula.without(Formula::numbered(3)).with(one(number, 0));
}

fn major_seventh(formula: &mut Formula, number: u8) -> bool {
    let above: &[u8] = match number {
        7 => &[],
        9 => &[9],
        11 => &[9, 11],
        13 => &[9, 11, 13],
        _ => return false,
    };
    *formula = formula.without(Formula::numbered(7)).with(one(7, 0));
    *formula = above.iter().fold(*formula, |formula, number| formula.with(one(*number, 0)));
    true
}

/// Alters a degree: the natural one gives way where it is there, otherwise the altered one joins.
fn alter(formula: &mut Formula, alteration: i8, number: u8) -> bool {
    let (natural, altered) = match (number, alteration) {
        (5, _) => (one(5, 0), one(5, alteration)),
        (7, -1) => (Formula::default(), one(7, -1)),
        (7, _) => (Formula::default(), one(7, 0)),
        _ => (tension(0, number), tension(alteration, number)),
    };
    if altered.is_empty() {
        return false;
    }
    *formula = formula.without(natural).with(altered);
    true
}

/// Says every tone once and one way: a sixth over a seventh is a thirteenth and the other way about;
/// a second and a fourth together are both suspended, or `9sus4` where a sixth or seventh stands.
fn tidied(formula: Formula) -> Formula {
    let swap = |formula: Formula, from: Formula, to: Formula| {
        if formula.touches(from) { formula.without(from).with(to) } else { formula }
    };
    let sevenths = !seventh(formula).is_empty();
    let (sixth, thirteenth) = (one(6, 0), one(13, 0));
    let (flat_sixth, flat_thirteenth) = (one(6, -1), one(13, -1));
    let formula = if sevenths {
        swap(swap(formula, sixth, thirteenth), flat_sixth, flat_thirteenth)
    } else {
        swap(swap(formula, thirteenth, sixth), flat_thirteenth, flat_sixth)
    };
    let (second, ninth, fourth, eleventh) = (one(2, 0), one(9, 0), one(4, 0), one(11, 0));
    let suspended = second.with(fourth);
    if !formula.touches(suspended) {
        return formula;
    }
    let high = ninth.with(eleventh);
    let (two, four) = (formula.touches(second.with(ninth)), formula.touches(fourth.with(eleventh)));
    let rest = formula.without(suspended).without(high);
    match (two, four) {
        (true, true) if sevenths || formula.touches(sixth) => rest.with(fourth).with(ninth),
        (true, true) => rest.with(second).with(fourth),
        (true, false) => rest.with(second),
        _ => rest.with(fourth),
    }
}

/// Returns the one spelling of `formula`: its quality's suffix, or that of the nearest quality with
/// what is altered, added and left out. Returns `None` when no quality is near.
pub(super) fn suffix(formula: Formula) -> Option<String> {
    if let Some(quality) = table().with_formula(formula) {
        return Some(quality.suffix.clone());
    }
    table()
        .rows
        .iter()
        .filter_map(|quality| changed(quality, formula))
        .min_by_key(|(changes, _)| *changes)
        .map(|(_, text)| text)
}

/// Spells `formula` as a change of `quality`; `None` when the two are too far apart. Also returns
/// how many changes it takes.
fn changed(quality: &Quality, formula: Formula) -> Option<(usize, String)> {
    let base = quality.formula;
    let same = |number: u8| base.common(Formula::numbered(number)) == formula.common(Formula::numbered(number));
    if !same(2) || !same(4) || !same(7) {
        return None;
    }
    let mut gone = base.without(formula);
    let new = formula.without(base);
    if new.touches(Formula::numbered(3)) {
        return None;
    }
    let upper = !seventh(base).is_empty() || base.touches(Formula::numbered(6));
    let (mut signs, mut added) = (Vec::new(), Vec::new());
    for degree in new.degrees() {
        let natural = one(degree.number(), 0);
        let alters = degree.alteration() != 0 && !formula.touches(natural);
        if alters && (degree.number() == 5 || upper || gone.touches(natural)) {
            gone = gone.without(natural);
            signs.push(degree.to_string());
        } else if degree.number() == 5 {
            return None;
        } else {
            added.push(format!("add{degree}"));
        }
    }
    let left_out: Vec<String> = gone.degrees().map(|degree| format!("no{}", degree.number())).collect();
    // `no` takes every degree of its number away, so none of that number may be wanted.
    if gone.degrees().any(|degree| formula.touches(Formula::numbered(degree.number()))) {
        return None;
    }
    let bare = quality.suffix.ends_with(|last: char| last.is_ascii_digit());
    let signs = if signs.is_empty() || bare { signs.concat() } else { format!("({})", signs.join(",")) };
    // `augadd11` runs together; after a digit, a sign or another bracket a tone that is added stands clear.
    if signs.is_empty()
        && quality.suffix.ends_with(|last: char| last.is_ascii_alphabetic())
        && let Some(first) = added.first_mut()
    {
        *first = format!("({first})");
    }
    let changes = new.len() + left_out.len();
    Some((changes, format!("{}{signs}{}{}", quality.suffix, added.concat(), left_out.concat())))
}
