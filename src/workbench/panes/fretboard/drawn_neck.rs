//! Where the frets of a neck are drawn: in columns, of which the first lies after the nut.

use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::instrument::tuning::Capo;

/// Returns how many frets to the right of its written number a place on `string` is drawn: the
/// capo's fret, on the strings that a capo over some of the strings covers. A capo over all
/// strings is drawn as the nut.
pub(super) fn capo_shift(rig: &Rig, string: StringNumber) -> u8 {
    let partial = |capo: &&Capo| rig.strings().any(|string| !capo.covers(string));
    let capo = rig.capo().filter(partial).filter(|capo| capo.covers(string));
    capo.map_or(0, |capo| capo.fret.number())
}

/// Returns how many frets there are to draw.
pub(super) fn columns(rig: &Rig) -> usize {
    let last = |string| Some(rig.last_fret(string)?.number().saturating_add(capo_shift(rig, string)));
    usize::from(rig.strings().filter_map(last).max().unwrap_or(0))
}

/// Returns the column of a place, counted from 0. Open strings are drawn before the neck, beside the first.
pub(super) fn column(rig: &Rig, string: StringNumber, fret: Fret) -> usize {
    let drawn = usize::from(fret.number()) + usize::from(capo_shift(rig, string));
    if fret == Fret::OPEN { 0 } else { drawn.saturating_sub(1) }
}

/// Returns the last and the first column in which `shape` has a finger; `None` for both where it has none.
pub(super) fn ends(rig: &Rig, shape: &Shape) -> [Option<usize>; 2] {
    let stopped = rig.strings().filter_map(|string| Some((string, shape.on(string)?)));
    ends_of(rig, stopped)
}

/// Returns the last and the first column of the places that are no open strings; `None` for both where there are none.
pub(super) fn ends_of(rig: &Rig, places: impl IntoIterator<Item = (StringNumber, Fret)>) -> [Option<usize>; 2] {
    let stopped = places.into_iter().filter(|(_, fret)| *fret != Fret::OPEN);
    let columns: Vec<usize> = stopped.map(|(string, fret)| column(rig, string, fret)).collect();
    [columns.iter().max().copied(), columns.iter().min().copied()]
}
