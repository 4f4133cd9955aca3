//! The fingers that stop the notes of one moment.

use super::board::{FINGERS, LineBoard};
use super::weights::{Cost, thousandths};
use crate::instrument::neck::StringNumber;

/// The most notes of one moment.
pub(super) const MOST: usize = StringNumber::LAST as usize;

/// A note that a finger has to stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct StoppedNote {
    pub(super) wire: u8,
    pub(super) string: u8,
}

/// Returns what the cheapest fingers for `stopped` cost with the hand at `position`, in thousandths, and which they
/// are, 1 to 4 in the order of `stopped`; `None` where no hand can stop them all.
///
/// `stopped` is ordered by fret, and at one fret from the highest string number down. Fingers follow in
/// that order: a finger nearer the nut has a lower number, and at one fret the lower number takes the
/// string with the higher one (common practice, no published source). One finger may lie flat over
/// several strings of a fret where that silences nothing that sounds. `open` has a bit for every open string.
pub(super) fn grip(
    board: &LineBoard<'_>,
    position: u8,
    stopped: &[StoppedNote],
    open: u32,
) -> Option<(Cost, [u8; MOST])> {
    // Row `i`, column `f`: the cheapest way to stop the first `i` notes with `f` as the last finger.
    let mut best: [[Option<(Cost, u8, u8)>; FINGERS + 1]; MOST + 1] = Default::default();
    *best.first_mut()?.first_mut()? = Some((0, 0, 0));
    for from in 0..stopped.len() {
        for last in 0..FINGERS {
            let Some((so_far, ..)) = best.get(from)?.get(last).copied().flatten() else { continue };
            for to in from + 1..=stopped.len() {
                let Some(flat) = flat(board, stopped, from, to, open) else { break };
                let before = from.checked_sub(1).and_then(|before| stopped.get(before));
                let first = stopped.get(from)?.wire;
                for finger in last..FINGERS {
                    // `last` counts from 1; 0 stands for none.
                    if before
                        .is_some_and(|before| !board.between((last.saturating_sub(1), before.wire), (finger, first)))
                    {
                        continue;
                    }
                    let damped = damped(stopped, from, to, open);
                    let laid = Laid { notes: to - from, strings: flat, damped, alone: to - from == stopped.len() };
                    let Some(group) = group(board, position, first, finger, laid) else {
                        continue;
                    };
                    let cost = so_far + group;
                    let entry = best.get_mut(to)?.get_mut(finger + 1)?;
                    if entry.is_none_or(|(known, ..)| cost < known) {
                        *entry = Some((cost, u8::try_from(from).ok()?, u8::try_from(last).ok()?));
                    }
                }
            }
        }
    }
    let ends = best.get(stopped.len())?.iter().enumerate();
    let (mut last, cost) =
        ends.filter_map(|(last, entry)| Some((last, (*entry)?.0))).min_by_key(|(last, cost)| (*cost, *last))?;
    let mut fingers = [0; MOST];
    let mut to = stopped.len();
    while to > 0 {
        let (_, from, before) = best.get(to)?.get(last).copied().flatten()?;
        let from = usize::from(from);
        fingers.get_mut(from..to)?.fill(u8::try_from(last).ok()?);
        (to, last) = (from, usize::from(before));
    }
    Some((cost, fingers))
}

/// Returns what the index costs, in thousandths, that lies flat over all of `stopped`, which are at one fret of
/// neighbouring strings.
pub(super) fn flat_index(board: &LineBoard<'_>, position: u8, stopped: &[StoppedNote]) -> Option<(Cost, [u8; MOST])> {
    let strings = u8::try_from(stopped.len()).unwrap_or(u8::MAX);
    let laid = Laid { notes: stopped.len(), strings, damped: 0, alone: true };
    group(board, position, stopped.first()?.wire, 0, laid).map(|cost| (cost, [1; MOST]))
}

/// How a finger lies.
#[derive(Debug, Clone, Copy)]
pub(super) struct Laid {
    /// How many notes it stops.
    pub(super) notes: usize,
    /// How many strings it lies over.
    pub(super) strings: u8,
    /// How many of them it keeps silent.
    pub(super) damped: u8,
    /// Whether it is the only one.
    pub(super) alone: bool,
}

/// Returns the cost, in thousandths, of one finger at fret `wire`; `None` where it cannot lie so.
fn group(board: &LineBoard<'_>, position: u8, wire: u8, finger: usize, laid: Laid) -> Option<Cost> {
    let own = board.finger_in_chord(position, wire, finger)?;
    if laid.notes > 1 { Some(own + barre(board, finger, laid)?) } else { Some(own) }
}

/// Returns what it costs to lay a finger, counted from 0, flat over several strings, in thousandths; `None` where it
/// cannot lie over so many.
pub(super) fn barre(board: &LineBoard<'_>, finger: usize, laid: Laid) -> Option<Cost> {
    let weights = board.weights;
    if finger > 0 && laid.strings > weights.barre_other_most {
        return None;
    }
    let (first, further) = match finger {
        0 if laid.alone => (weights.barre_alone, weights.barre_string),
        0 => (weights.barre_index, weights.barre_string),
        _ => (weights.barre_other, weights.barre_other_string),
    };
    let damped = f64::from(laid.damped) * weights.barre_damped;
    Some(thousandths(first + f64::from(laid.strings.saturating_sub(2)) * further + damped))
}

/// Returns how many strings are silent under a finger that stops the notes `from..to`.
pub(super) fn damped(stopped: &[StoppedNote], from: usize, to: usize, open: u32) -> u8 {
    let ends = stopped.get(from).zip(to.checked_sub(1).and_then(|last| stopped.get(last)));
    let Some((first, last)) = ends else { return 0 };
    let sounds = |string: &u8| open & (1 << string) != 0 || stopped.iter().any(|note| note.string == *string);
    (last.string..first.string).filter(|string| !sounds(string)).count() as u8
}

/// Returns how many strings a finger lies over that stops the notes `from..to`; `None` where one finger cannot stop
/// them all, or where it would silence a note nearer the nut or an open string.
fn flat(board: &LineBoard<'_>, stopped: &[StoppedNote], from: usize, to: usize, open: u32) -> Option<u8> {
    debug_assert!(board.last > 0, "a board has positions");
    let (first, end) = (stopped.get(from)?, stopped.get(to.checked_sub(1)?)?);
    if first.wire != end.wire {
        return None;
    }
    let under = |string: u8| string < first.string && string > end.string;
    let silenced = stopped.get(..from)?.iter().any(|note| note.wire < first.wire && under(note.string));
    let open_under = (1..=StringNumber::LAST).any(|string| under(string) && open & (1 << string) != 0);
    (!silenced && !open_under).then(|| first.string - end.string + 1)
}
