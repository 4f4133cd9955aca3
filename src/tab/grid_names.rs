//! What tells chord grids of one name apart.

use crate::instrument::neck::Shape;

use super::grid::ChordGrid;

/// Says of grids that share a name what tells them apart: the position of each, or else which have fewer strings.
pub fn tell_apart(grids: &mut [ChordGrid]) {
    let facts: Vec<(String, u8, usize)> =
        grids.iter().map(|grid| (grid.name.clone(), position(&grid.shape), played(&grid.shape))).collect();
    for (place, grid) in grids.iter_mut().enumerate() {
        let Some((name, fret, strings)) = facts.get(place) else { continue };
        let same = || {
            facts.iter().enumerate().filter(|(other, fact)| *other != place && fact.0 == *name).map(|(_, fact)| fact)
        };
        if name.trim().is_empty() || same().next().is_none() {
            continue;
        }
        let elsewhere = same().any(|(_, other, _)| other != fret);
        let alone = elsewhere && same().all(|(_, other, fewer)| other != fret || fewer < strings);
        let shorter = same().any(|(_, other, more)| other == fret && more > strings);
        grid.form = match (alone, shorter) {
            (_, true) => "short form".to_owned(),
            (true, false) if *fret == 0 => "open".to_owned(),
            (true, false) => format!("fret {fret}"),
            (false, false) => String::new(),
        };
    }
}

/// Returns the lowest stopped fret of a shape, 0 where strings ring open.
fn position(shape: &Shape) -> u8 {
    let frets = || shape.strings().iter().flatten().map(|fret| fret.number());
    frets().min().unwrap_or(0)
}

/// Returns how many strings a shape plays.
fn played(shape: &Shape) -> usize {
    shape.strings().iter().flatten().count()
}
