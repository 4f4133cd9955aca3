//! Progressions: one voicing for each chord of a row, so that the whole is as easy and as smooth as it can be.
//!
//! [`path`] is exact: among *all* chains of voicings that [`super::search`] finds for the chords, it returns one
//! whose costs of voicings and movements add up to the least. It goes from chord to chord and keeps for each voicing
//! the best way there. What makes it fast never drops the optimum: a voicing is left out only where going to it by
//! way of another voicing of the same chord would be no dearer, and since no detour is cheaper than the straight
//! way (`stance`), whatever follows is then no dearer from that other one either. Only where a chord has tens of
//! thousands of voicings that could matter, as thirteenths have on ten strings, are the cheapest of them taken for all.

use super::board::ChordBoard;
use super::found_voicing::{FoundVoicing, Hit};
use super::limits::WIRES;
use super::movement::{Movement, Posture, between};
use super::request::Request;
use super::search::Search;
use super::sieve::Sieve;
use super::stance::{Stance, Yardstick, prices};
use super::tones::TooFewStrings;
use crate::instrument::fingering::Fingering;
use crate::instrument::neck::Shape;
use crate::instrument::rig::{Rig, ShapeError};
use crate::theory::symbol::ChordSymbol;

/// A row of chords as it is best played.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// One for each chord.
    pub steps: Vec<PathStep>,
    /// The costs of all voicings and movements together, in points.
    pub cost: u32,
}

/// One chord of a path.
#[derive(Debug, Clone, PartialEq)]
pub struct PathStep {
    /// How it is played.
    pub voicing: FoundVoicing,
    /// How to get there from the one before, or from where the hand starts; `None` at the beginning.
    pub movement: Option<Movement>,
}

/// The reasons why a row of chords has no path.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PathError {
    /// There is no chord.
    #[error("there is no chord: expected at least one, as in `C Am F G`")]
    Empty,
    /// A chord has more tones than the instrument can sound.
    #[error("chord {number}, {symbol}: {source}")]
    TooFewStrings {
        /// Which chord, counted from 1.
        number: usize,
        /// The chord.
        symbol: ChordSymbol,
        /// How many tones and strings there are.
        source: TooFewStrings,
    },
    /// A chord has no voicing that keeps to what is asked.
    #[error(
        "chord {number}, {symbol}, has no voicing that keeps to the frets, the top and bass note and the hand that are asked for: give it more room"
    )]
    NoVoicing {
        /// Which chord, counted from 1.
        number: usize,
        /// The chord.
        symbol: ChordSymbol,
    },
    /// What the hand starts from cannot be played.
    #[error(transparent)]
    Start(#[from] ShapeError),
}

/// Returns the best way through `symbols`: the chain of voicings that keep to `request` with the lowest sum of
/// [`FoundVoicing::cost`] and [`Movement::cost`], counting the movement from `start` where that is given. Among chains
/// that cost the same it always returns the same one.
///
/// Errors: no chord; a chord without a voicing, named by its place; a start that this rig cannot play.
pub fn path(
    rig: &Rig,
    start: Option<(&Shape, &Fingering)>,
    symbols: &[ChordSymbol],
    request: &Request,
) -> Result<Path, PathError> {
    let board = ChordBoard::of(rig);
    let start = start.map(|(shape, fingering)| Posture::of(&board, rig, shape, fingering)).transpose()?;
    let (chords, row) = candidates(&board, symbols, request)?;
    let chords: Vec<&Candidates> = row.iter().filter_map(|chord| chords.get(*chord)).collect();
    let hits = chain(start.as_ref().map(|start| &start.stance), &chords);
    Ok(described(&board, start.as_ref(), &hits))
}

/// Returns the cheapest chain: a voicing of each of `chords`.
fn chain<'a>(start: Option<&Stance>, chords: &[&'a Candidates]) -> Vec<&'a Hit> {
    let mut layers: Vec<Vec<ReachedVoicing>> = Vec::with_capacity(chords.len());
    for chord in chords {
        let layer = match (layers.last(), start) {
            (Some(before), _) => reach(before, chord),
            (None, Some(start)) => {
                reach(&[ReachedVoicing { candidate: 0, total: 0, before: 0, stance: *start }], chord)
            }
            (None, None) => first(chord),
        };
        layers.push(layer);
    }
    let places = back(&layers).into_iter().zip(chords);
    places.filter_map(|(candidate, chord)| chord.hits.get(candidate)).collect()
}

/// The voicings of one symbol that a path may need, cheapest first, and their stances.
struct Candidates {
    hits: Vec<Hit>,
    stances: Vec<Stance>,
}

impl Candidates {
    /// Keeps the voicings that a best path may need. It leaves out each that is dearer than another one by as much as
    /// the way to that one and back costs, because the other one could stand in its place anywhere.
    fn of(yardstick: &Yardstick, hits: Vec<Hit>) -> Self {
        let mut cheapest = CheapestOfChord::default();
        let stances: Vec<Stance> = hits.iter().map(|hit| yardstick.of_hit(hit)).collect();
        for (hit, stance) in hits.iter().zip(&stances) {
            cheapest.note(hit.cost, stance);
        }
        let both = hits.into_iter().zip(stances);
        let mut needed: Vec<(Hit, Stance)> =
            both.filter(|(hit, stance)| !cheapest.replaces(hit.cost, stance, 2)).collect();
        needed.sort_unstable_by_key(|(hit, _)| (hit.cost, hit.held));
        let (hits, stances) = needed.into_iter().unzip();
        Self { hits, stances }
    }
}

/// The cheapest of all, and the cheapest of each position of the hand.
struct CheapestOfChord {
    all: Option<(u32, Stance)>,
    positions: [Option<(u32, Stance)>; WIRES],
}

impl Default for CheapestOfChord {
    fn default() -> Self {
        Self { all: None, positions: [None; WIRES] }
    }
}

impl CheapestOfChord {
    /// Remembers a voicing.
    fn note(&mut self, cost: u32, stance: &Stance) {
        let position = self.positions.get_mut(usize::from(stance.position));
        for place in position.into_iter().chain([&mut self.all]) {
            if place.is_none_or(|(other, _)| cost < other) {
                *place = Some((cost, *stance));
            }
        }
    }

    /// Returns whether one of these is so much cheaper than `cost` that `ways` times the way from it to `stance` is no
    /// more.
    fn replaces(&self, cost: u32, stance: &Stance, ways: u32) -> bool {
        let prices = prices();
        let is_cheaper = |place: Option<&Option<(u32, Stance)>>| {
            place.and_then(Option::as_ref).is_some_and(|(other, place)| {
                *other < cost
                    && other + ways * place.outline(stance, prices) <= cost
                    && other + ways * place.distance(stance, prices) <= cost
            })
        };
        let position = usize::from(stance.position);
        let at = |position: usize| self.positions.get(position);
        is_cheaper(at(position))
            || is_cheaper(Some(&self.all))
            || is_cheaper(at(position + 1))
            || is_cheaper(at(position.wrapping_sub(1)))
    }
}

/// Searches the voicings of each symbol, of equal ones only once. Returns the voicings of each different symbol, and for each
/// of `symbols` the place of its own among them.
///
/// Errors: no chord; a chord without a voicing, named by its place.
fn candidates(
    board: &ChordBoard,
    symbols: &[ChordSymbol],
    request: &Request,
) -> Result<(Vec<Candidates>, Vec<usize>), PathError> {
    if symbols.is_empty() {
        return Err(PathError::Empty);
    }
    let (mut found, mut row): (Vec<Candidates>, Vec<usize>) = (Vec::new(), Vec::with_capacity(symbols.len()));
    let yardstick = Yardstick::of(board);
    for (place, symbol) in symbols.iter().enumerate() {
        if let Some(same) = symbols[..place].iter().position(|other| other == symbol) {
            row.push(row[same]);
            continue;
        }
        let number = place + 1;
        let tones = board.tones_of(symbol);
        let tones = tones.map_err(|source| PathError::TooFewStrings { number, symbol: symbol.clone(), source })?;
        let search = board.sifted(tones, request, Some(Sieve::of(board)));
        if search.count() == 0 {
            return Err(PathError::NoVoicing { number, symbol: symbol.clone() });
        }
        row.push(found.len());
        found.push(Candidates::of(&yardstick, search.list));
    }
    Ok((found, row))
}

/// A voicing and the best way to it.
#[derive(Clone, Copy)]
struct ReachedVoicing {
    candidate: usize,
    /// All costs up to here.
    total: u32,
    /// The place of the one before in its layer.
    before: usize,
    stance: Stance,
}

/// Returns the voicings of the first chord of a row that may be part of the best path, cheapest first.
fn first(chord: &Candidates) -> Vec<ReachedVoicing> {
    let mut cheapest = CheapestOfChord::default();
    let mut reached = Vec::with_capacity(chord.hits.len());
    for (candidate, (hit, stance)) in chord.hits.iter().zip(&chord.stances).enumerate() {
        cheapest.note(hit.cost, stance);
        reached.push(ReachedVoicing { candidate, total: hit.cost, before: 0, stance: *stance });
    }
    undominated(reached, &cheapest)
}

/// Returns the best way to each voicing of `chord` that may be part of the best path, cheapest first. `before` is in
/// that order too, and is not empty.
fn reach(before: &[ReachedVoicing], chord: &Candidates) -> Vec<ReachedVoicing> {
    let prices = prices();
    let least = before.first().map_or(0, |cheapest| cheapest.total);
    let mut cheapest = CheapestOfChord::default();
    let mut reached = Vec::with_capacity(128);
    for (candidate, (hit, stance)) in chord.hits.iter().zip(&chord.stances).enumerate() {
        let floor = least + hit.cost;
        if cheapest.replaces(floor, stance, 1) {
            continue;
        }
        let (mut total, mut from) = (u32::MAX, 0);
        for (place, earlier) in before.iter().enumerate() {
            let straight = earlier.total + hit.cost;
            if straight >= total {
                break;
            }
            if straight + earlier.stance.outline(stance, prices) < total {
                let whole = straight + earlier.stance.distance(stance, prices);
                if whole < total {
                    (total, from) = (whole, place);
                }
            }
        }
        cheapest.note(total, stance);
        reached.push(ReachedVoicing { candidate, total, before: from, stance: *stance });
    }
    undominated(reached, &cheapest)
}

/// Sorts the voicings, and drops each that is no dearer to reach by way of one of the cheapest.
fn undominated(mut reached: Vec<ReachedVoicing>, cheapest: &CheapestOfChord) -> Vec<ReachedVoicing> {
    reached.retain(|here| !cheapest.replaces(here.total, &here.stance, 1));
    reached.sort_unstable_by_key(|here| (here.total, here.candidate));
    reached
}

/// Follows the best way back from the last layer. Returns a candidate for each layer.
fn back(layers: &[Vec<ReachedVoicing>]) -> Vec<usize> {
    let mut place = 0;
    let mut candidates: Vec<usize> = layers
        .iter()
        .rev()
        .filter_map(|layer| {
            let here = layer.get(place)?;
            place = here.before;
            Some(here.candidate)
        })
        .collect();
    candidates.reverse();
    candidates
}

/// Returns the path through `hits` as it is shown.
fn described(board: &ChordBoard, start: Option<&Posture>, hits: &[&Hit]) -> Path {
    let voicings: Vec<FoundVoicing> = hits.iter().map(|hit| board.voicing(hit)).collect();
    let yardstick = Yardstick::of(board);
    let postures = hits.iter().zip(&voicings).map(|(hit, voicing)| posture(&yardstick, hit, &voicing.shape));
    let mut before = start.copied();
    let mut movements = Vec::with_capacity(hits.len());
    for posture in postures {
        movements.push(before.map(|before| between(board, &before, &posture)));
        before = Some(posture);
    }
    let moved: u32 = movements.iter().flatten().map(|movement| movement.cost).sum();
    let cost = voicings.iter().map(|voicing| voicing.cost).sum::<u32>() + moved;
    let steps = voicings.into_iter().zip(movements).map(|(voicing, movement)| PathStep { voicing, movement });
    Path { steps: steps.collect(), cost }
}

/// Returns `hit`, whose shape is `shape`, as movement sees it.
fn posture<'a>(yardstick: &Yardstick, hit: &Hit, shape: &'a Shape) -> Posture<'a> {
    Posture { shape, held: hit.held, stance: yardstick.of_hit(hit) }
}

impl Search<'_> {
    /// Returns at most `limit` of the voicings that were found, each with the movement from `previous`. What costs
    /// least together with its movement comes first, and among equals what the search puts first. `rig` must be the one
    /// that is searched.
    ///
    /// Errors: a previous shape that `rig` cannot play.
    pub fn after(
        mut self,
        rig: &Rig,
        previous: (&Shape, &Fingering),
        limit: usize,
    ) -> Result<Vec<PathStep>, ShapeError> {
        let board = self.board;
        let before = Posture::of(board, rig, previous.0, previous.1)?;
        self.sort(usize::MAX);
        let yardstick = Yardstick::of(board);
        let together = |hit: &Hit| hit.cost + before.stance.distance(&yardstick.of_hit(hit), prices());
        self.list.sort_by_cached_key(together);
        let step = |hit: &Hit| {
            let voicing = board.voicing(hit);
            let movement = Some(between(board, &before, &posture(&yardstick, hit, &voicing.shape)));
            PathStep { voicing, movement }
        };
        Ok(self.list.iter().take(limit).map(step).collect())
    }
}

/// Returns at most `limit` of the voicings of `symbol` that keep to `request`. Those come first that are easy and easy
/// to reach from `previous`.
///
/// Errors: as for [`path`], the chord being number 1.
pub fn after(
    rig: &Rig,
    previous: (&Shape, &Fingering),
    symbol: &ChordSymbol,
    request: &Request,
    limit: usize,
) -> Result<Vec<PathStep>, PathError> {
    let board = ChordBoard::of(rig);
    let search = board.search(symbol, request);
    let search = search.map_err(|source| PathError::TooFewStrings { number: 1, symbol: symbol.clone(), source })?;
    if search.count() == 0 {
        return Err(PathError::NoVoicing { number: 1, symbol: symbol.clone() });
    }
    Ok(search.after(rig, previous, limit)?)
}

#[cfg(test)]
mod tests;
