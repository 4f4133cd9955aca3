//! Elsewhere: the same chord in other places, on another tuning or with another capo, or in a smaller hand.
//!
//! Start from a shape. Its tones are kept as they sound ([`Keeping::Tones`]), or a chord symbol stands for them
//! ([`Keeping::Chord`]), which may leave out what its voicings may. [`elsewhere`] and [`same_top`] list places,
//! nearest first ([`best_of_each_place`] thins them out); [`on_rig`] and [`smaller`] give the one shape that keeps
//! most. Where the tuning is re-entrant nobody hears a bass, and none is kept.
//!
//! [`super::shifting`] moves a shape as it is.

use super::board::ChordBoard;
use super::found_voicing::{FoundVoicing, Hit};
use super::kept::{Keeps, SoundChange, SoundingStrings, changes, keeps};
use super::request::{Request, Sought};
use super::tones::{ChordTones, TooFewStrings};
use crate::instrument::body::Millimetres;
use crate::instrument::fingering::{self, Fingering, FingeringError, Held, OPEN, fingering};
use crate::instrument::hand::{Finger, Hand, ThumbUse};
use crate::instrument::neck::Shape;
use crate::instrument::rig::{NoteError, Rig, ShapeError};
use crate::theory::pitch::{MidiNote, Pitch, PitchClass};
use crate::theory::pitch_set::PitchSet;
use crate::theory::symbol::ChordSymbol;

/// What the other shapes have to keep of the first one.
#[derive(Debug, Clone, Copy)]
pub enum Keeping<'a> {
    /// Exactly the tones that sound, in whatever octave and as often as they like.
    Tones,
    /// The chord it is called: every voicing of that name.
    Chord(&'a ChordSymbol),
}

/// The reasons why there is no such shape.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ElsewhereError {
    /// The shape cannot be played on its rig.
    #[error(transparent)]
    Shape(#[from] ShapeError),
    /// No string sounds.
    #[error("no string sounds in this shape: put a finger down, or let an open string ring")]
    Silent,
    /// There are more tones than strings.
    #[error(transparent)]
    TooFewStrings(#[from] TooFewStrings),
    /// Nothing was found.
    #[error(
        "no other shape with these notes can be held within the frets and by the hand that are asked for: leave a note out, or allow more frets"
    )]
    Nothing,
    /// A string does not have the note.
    #[error(transparent)]
    Note(#[from] NoteError),
    /// A note would have to lie on a string that is not there.
    #[error("there is no string beyond the last one that sounds")]
    NoString,
    /// A note would lie beyond what MIDI can write.
    #[error("the notes would lie outside what can be written: C-1 to G9")]
    Range,
    /// No hand holds it.
    #[error(transparent)]
    NotHeld(#[from] FingeringError),
}

/// The chord in another place.
#[derive(Debug, Clone, PartialEq)]
pub struct OtherPlace {
    /// How it is played there.
    pub voicing: FoundVoicing,
    /// How far the lowest finger is from that of the first shape; above 0 toward the bridge. Where no finger is down
    /// the first fret counts.
    pub along: Millimetres,
}

/// A shape that stands in for another.
#[derive(Debug, Clone, PartialEq)]
pub struct StandIn {
    /// Where the fingers are.
    pub shape: Shape,
    /// Which fingers they are.
    pub fingering: Fingering,
    /// How much of the sound it keeps.
    pub keeps: Keeps,
    /// All that has changed; nothing where every string sounds what it sounded.
    pub changes: Vec<SoundChange>,
}

/// Returns all other voicings of what `shape` sounds, with the same tone in the bass, nearest first along the neck,
/// then best first. They keep to `request`; its `bass` narrows them further.
///
/// Errors: a shape that the rig cannot play, or that is silent; a chord with more tones than strings.
pub fn elsewhere(
    rig: &Rig,
    shape: &Shape,
    keeping: Keeping,
    request: &Request,
) -> Result<Vec<OtherPlace>, ElsewhereError> {
    let origin = FirstShape::of(rig, shape)?;
    let mut tones = origin.tones(keeping, origin.board.strings)?;
    if let Some(bass) = origin.sound().bass().filter(|_| !origin.board.reentrant) {
        tones.foreign_bass &= tones.bass == Some(bass.pitch_class());
        tones.bass = Some(bass.pitch_class());
    }
    Ok(origin.places(tones, request))
}

/// Returns the best of each place along the neck, in the order of `places`, which is that of [`elsewhere`] or
/// [`same_top`].
pub fn best_of_each_place(places: &[OtherPlace]) -> Vec<OtherPlace> {
    let mut best: Vec<OtherPlace> = Vec::new();
    for place in places {
        if best.iter().all(|other| other.along != place.along) {
            best.push(place.clone());
        }
    }
    best
}

/// Returns all other voicings of what `shape` sounds whose highest note is that of `shape`, in the same octave,
/// nearest first along the neck, then best first. The bass may be any tone of the chord, unless the symbol names it.
/// They keep to `request`, whose `top` is replaced.
///
/// Errors: a shape that the rig cannot play, or that is silent; a chord with more tones than strings.
pub fn same_top(
    rig: &Rig,
    shape: &Shape,
    keeping: Keeping,
    request: &Request,
) -> Result<Vec<OtherPlace>, ElsewhereError> {
    let origin = FirstShape::of(rig, shape)?;
    let top = origin.sound().top().map(|note| Sought::Note(Pitch::usual(note)));
    let tones = origin.tones(keeping, origin.board.strings)?;
    Ok(origin.places(tones, &Request { top, ..request.clone() }))
}

/// Returns the shape on `other` (another tuning, another capo, another instrument) that sounds as `shape` does on
/// `rig`.
///
/// Where every string of `other` has the note and the hand holds it, each string sounds what it sounded and nothing
/// has changed. Otherwise it is the voicing that keeps most ([`Keeps`]) and then changes the fewest pitches, lies
/// nearest and is the best; [`StandIn::changes`] says what is different.
///
/// Errors: a shape that `rig` cannot play, or that is silent; more tones than `other` has strings; no voicing within
/// `request`.
pub fn on_rig(
    rig: &Rig,
    shape: &Shape,
    other: &Rig,
    keeping: Keeping,
    request: &Request,
) -> Result<StandIn, ElsewhereError> {
    let origin = FirstShape::of(rig, shape)?;
    if let Ok(shape) = other.shape_of(&origin.notes)
        && shape.strings().iter().flatten().all(|fret| request.frets.contains(fret))
        && let Ok(fingering) = hold(other, &shape, request)
    {
        return Ok(StandIn { shape, fingering, keeps: Keeps::Everything, changes: Vec::new() });
    }
    origin.nearest(&ChordBoard::of(other), keeping, request)
}

/// A shape, or what to play instead of it.
#[derive(Debug, Clone, PartialEq)]
pub enum SmallerShape {
    /// The hand holds the shape as it is.
    Fits(Fingering),
    /// It does not.
    Instead {
        /// The reason why the hand cannot hold the shape itself.
        why: FingeringError,
        /// What it can hold.
        shape: Box<StandIn>,
    },
}

/// The caution that is given wherever a shape is beyond a hand.
pub const HANDS: &str = "Stop when it hurts: no stretch is worth an injury.";

/// Returns how `hand` holds `shape` or, where it does not, the shape that sounds most like it: the same tones, with the
/// same pitches if that can be, else with the same lowest and highest note ([`Keeps`]), as near as it can be.
///
/// Errors: a shape that the rig cannot play, or that is silent; no voicing of these tones for this hand.
pub fn smaller(rig: &Rig, shape: &Shape, keeping: Keeping, hand: &Hand) -> Result<SmallerShape, ElsewhereError> {
    let origin = FirstShape::of(rig, shape)?;
    match fingering(rig, shape, hand) {
        Ok(fingering) => Ok(SmallerShape::Fits(fingering)),
        Err(why) => {
            let request = Request { hand: hand.clone(), ..Request::default() };
            let shape = origin.nearest(&origin.board, keeping, &request)?;
            Ok(SmallerShape::Instead { why, shape: Box::new(shape) })
        }
    }
}

impl SmallerShape {
    /// Returns the outcome in plain words, with a caution where the hand is too small.
    pub fn in_words(&self) -> String {
        match self {
            Self::Fits(fingering) => format!("this hand holds it, over {:.0} mm", fingering.reach.0),
            Self::Instead { why, shape } => {
                let StandIn { shape, fingering, changes, .. } = &**shape;
                let changes: Vec<String> = changes.iter().map(SoundChange::to_string).collect();
                let changed = if changes.is_empty() { "nothing changes".to_owned() } else { changes.join("; ") };
                format!("{why}. Instead: {shape}, over {:.0} mm; {changed}. {HANDS}", fingering.reach.0)
            }
        }
    }
}

/// Returns the fingers that hold a shape as `request` allows.
///
/// Errors: no hand of that size holds it, or only with a thumb that is not allowed.
pub(super) fn hold(rig: &Rig, shape: &Shape, request: &Request) -> Result<Fingering, FingeringError> {
    let fingering = fingering(rig, shape, &request.hand)?;
    if request.thumb == ThumbUse::Never && fingering.fingers.contains(&Some(Finger::Thumb)) {
        return Err(FingeringError::Fingers);
    }
    Ok(fingering)
}

/// The shape that others are looked for.
struct FirstShape {
    board: ChordBoard,
    held: Held,
    notes: Vec<Option<MidiNote>>,
}

impl FirstShape {
    /// Takes in a shape.
    ///
    /// Errors: a shape that the rig cannot play, or that is silent.
    fn of(rig: &Rig, shape: &Shape) -> Result<Self, ElsewhereError> {
        let notes = rig.notes(shape)?;
        if notes.iter().flatten().next().is_none() {
            return Err(ElsewhereError::Silent);
        }
        Ok(Self { board: ChordBoard::of(rig), held: fingering::held(rig, shape)?, notes })
    }

    /// Returns what the shape sounds.
    fn sound(&self) -> SoundingStrings<'_> {
        SoundingStrings { strings: &self.notes, bassless: self.board.reentrant }
    }

    /// Returns the tones to look for on an instrument of `strings` strings.
    ///
    /// Errors: more tones than strings.
    fn tones(&self, keeping: Keeping, strings: usize) -> Result<ChordTones, TooFewStrings> {
        let sounding = self.sound().tones();
        match keeping {
            Keeping::Chord(symbol) => ChordTones::of(symbol, strings),
            Keeping::Tones if sounding.len() as usize > strings => {
                Err(TooFewStrings { needed: sounding.len() as usize, strings })
            }
            Keeping::Tones => Ok(ChordTones {
                allowed: sounding,
                required: sounding,
                optional: PitchSet::EMPTY,
                unmissed: PitchSet::EMPTY,
                clashing: PitchSet::EMPTY,
                at_most: 0,
                root: self.sound().bass().map_or(PitchClass::of(0), MidiNote::pitch_class),
                bass: None,
                foreign_bass: false,
                bass_strings: (0, 1),
                named: None,
                is_dominant: false,
                third: None,
                fifth: None,
            }),
        }
    }

    /// Returns how far a hit on `board` lies from this shape, in millimetres; above 0 toward the bridge.
    fn along(&self, board: &ChordBoard, hit: &Hit) -> f32 {
        board.neck.at(lowest_wire(&hit.held)) - self.board.neck.at(lowest_wire(&self.held))
    }

    /// Returns every voicing of `tones` other than this shape, nearest first.
    fn places(&self, tones: ChordTones, request: &Request) -> Vec<OtherPlace> {
        let mut hits = self.board.search_tones(tones, request).list;
        hits.retain(|hit| hit.held != self.held);
        hits.sort_by_cached_key(|hit| (hundredths(self.along(&self.board, hit)), hit.cost, hit.held));
        let place = |hit: &Hit| OtherPlace {
            voicing: self.board.voicing(hit),
            along: Millimetres(f64::from(self.along(&self.board, hit))),
        };
        hits.iter().map(place).collect()
    }

    /// Returns the voicing on `board` that keeps most of this shape's sound.
    ///
    /// Errors: more tones than strings; no voicing within `request`.
    fn nearest(&self, board: &ChordBoard, keeping: Keeping, request: &Request) -> Result<StandIn, ElsewhereError> {
        let hits = board.search_tones(self.tones(keeping, board.strings)?, request).list;
        let before = self.sound();
        let old = pitches(&self.notes);
        let best = hits.iter().min_by_key(|hit| {
            let notes = notes(board, &hit.held);
            let after = SoundingStrings { strings: &notes, bassless: board.reentrant };
            let changed = (old ^ pitches(&notes)).count_ones();
            (keeps(&before, &after), changed, hundredths(self.along(board, hit)), hit.cost, hit.held)
        });
        let best = best.ok_or(ElsewhereError::Nothing)?;
        let notes = notes(board, &best.held);
        let after = SoundingStrings { strings: &notes, bassless: board.reentrant };
        let FoundVoicing { shape, fingering, .. } = board.voicing(best);
        Ok(StandIn { shape, fingering, keeps: keeps(&before, &after), changes: changes(&before, &after) })
    }
}

/// Returns the wire of the lowest finger; the first wire where no finger is down.
fn lowest_wire(held: &Held) -> i8 {
    held.iter().copied().filter(|wire| *wire > OPEN).min().unwrap_or(1)
}

/// Returns a length without its sign, in hundredths of a millimetre, for sorting.
fn hundredths(millimetres: f32) -> u32 {
    (millimetres.abs() * 100.0).round() as u32
}

/// Returns the note of each string of `held`.
fn notes(board: &ChordBoard, held: &Held) -> Vec<Option<MidiNote>> {
    let strings = held.iter().enumerate().take(board.strings);
    strings.map(|(string, wire)| board.note(string, *wire).and_then(MidiNote::new)).collect()
}

/// Returns the pitches that sound as a set: a bit for each MIDI note.
fn pitches(notes: &[Option<MidiNote>]) -> u128 {
    notes.iter().flatten().fold(0, |set, note| set | 1 << note.number())
}
