//! The neck as the search sees it: places of notes, and what each finger costs at each fret.

use super::line::{Limits, NoteTarget, Pin, Touch};
use super::weights::{Cost, HandFrame, Weights, thousandths};
use crate::instrument::body::Millimetres;
use crate::instrument::fingering::{self, Gripper, MUTED, Neck, OPEN, PackedFingering, STRINGS};
use crate::instrument::geometry;
use crate::instrument::hand::{Hand, ThumbUse};
use crate::instrument::neck::{Fret, Place, StringNumber};
use crate::instrument::rig::Rig;
use crate::theory::pitch::MidiNote;

/// The number of fingers that stop strings.
pub(super) const FINGERS: usize = 4;
/// The furthest fret above the index finger's that is tried, whatever the millimetres say.
const WIDEST: u8 = 7;
/// How much further apart two frets may be than the hand reaches, in millimetres, for what rounding makes of them.
const SLACK: f64 = 0.001;
/// The offsets of a finger from the hand position: one back, none, up to [`WIDEST`].
const OFFSETS: usize = WIDEST as usize + 2;

/// A place of a note, ready to compute with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct StringSpot {
    /// The string's number; 0 where the note is silent.
    pub(super) string: u8,
    /// The fret as written.
    pub(super) fret: u8,
    /// What sounds; 0 where that does not matter.
    pub(super) note: u8,
    /// The fret of the neck, counted from a capo over all strings; 0 for an open string.
    pub(super) wire: u8,
    /// The finger, 1 to 4; 0 for an open string.
    pub(super) finger: u8,
}

impl StringSpot {
    /// Returns whether nothing sounds.
    pub(super) const fn is_silent(self) -> bool {
        self.string == 0
    }
}

/// A rig with what the search needs of it, computed once.
pub(super) struct LineBoard<'a> {
    pub(super) rig: &'a Rig,
    pub(super) limits: Limits,
    pub(super) weights: &'a Weights,
    /// The hand that holds several notes at once.
    hand: Hand,
    /// Where its wires lie.
    neck: Neck,
    /// The highest hand position; the lowest is 1.
    pub(super) last: u8,
    /// The fret of a capo over all strings; 0 without one.
    base: u8,
    /// The factor by which the hand reaches further than usual, on a scale that is longer than usual; 1 or more.
    pivot: f64,
    /// The same for what is comfortable, as the whole hand turns then.
    ease: f64,
    /// The distance of each fret from the nut, or from a capo over all strings, in millimetres.
    at: Vec<f64>,
    /// The MIDI note of each open string, by the string's number.
    open: [u8; StringNumber::LAST as usize + 1],
    /// The cost of each finger by position, offset and finger; `None` where it is out of reach.
    fingers: Vec<Option<Cost>>,
    /// The same for a finger among others.
    fingers_in_chord: Vec<Option<Cost>>,
}

impl<'a> LineBoard<'a> {
    /// Measures `rig` once for a whole line.
    pub(super) fn new(rig: &'a Rig, limits: Limits, weights: &'a Weights) -> Self {
        let whole = rig.capo().filter(|capo| rig.strings().all(|string| capo.covers(string)));
        let base = whole.map_or(0, |capo| capo.fret.number());
        let last = rig.instrument().frets.number().saturating_sub(base).max(1);
        let scale = rig.instrument().scale;
        let at = (0..=Fret::LAST).filter_map(Fret::new).map(|fret| geometry::nut_to_fret(scale, fret).0).collect();
        let pivot = (scale.0 / weights.pivot_from).sqrt().max(1.0);
        let ease = (scale.0 / weights.pivot_from).max(1.0);
        let mut open = [0; StringNumber::LAST as usize + 1];
        for string in rig.strings() {
            if let (Some(entry), Some(pitch)) = (open.get_mut(usize::from(string.number())), rig.open(string)) {
                *entry = pitch.midi().number();
            }
        }
        let mut board = Self {
            rig,
            limits,
            weights,
            hand: Hand::default(),
            neck: Neck::of(rig),
            last,
            base,
            pivot,
            ease,
            at,
            open,
            fingers: Vec::new(),
            fingers_in_chord: Vec::new(),
        };
        let frame = frame(rig, weights);
        for position in 0..=last {
            for offset in 0..OFFSETS {
                // The offset counts from one fret back.
                let wire = (usize::from(position) + offset).checked_sub(1);
                let wire = wire.and_then(|wire| u8::try_from(wire).ok()).filter(|wire| (1..=last).contains(wire));
                for finger in 0..FINGERS {
                    let cost = |misfit| wire.and_then(|wire| board.computed(position, wire, finger, frame, misfit));
                    let (alone, among) = (cost(weights.misfit), cost(weights.crowded));
                    board.fingers.push(alone);
                    board.fingers_in_chord.push(among);
                }
            }
        }
        board
    }

    /// Works out what it costs `finger`, counted from 0, to stop fret `wire` with the hand at `position`, where each fret
    /// away from its own costs `misfit`; `None` where it is out of reach.
    fn computed(&self, position: u8, wire: u8, finger: usize, frame: HandFrame, misfit: f64) -> Option<Cost> {
        let weights = self.weights;
        let offset = f64::from(wire) - f64::from(position);
        let own = frame.frets.get(finger)?;
        let misfit = ((offset - own).abs() - frame.slack).max(0.0) * misfit;
        let reach = self.distance(position, wire);
        if wire < position {
            return (finger == 0).then(|| thousandths(misfit + reach * weights.reach_back));
        }
        // The index stays where the position says, or the position would mean nothing.
        if (finger == 0 && wire != position) || reach > weights.furthest.get(finger)? * self.pivot {
            return None;
        }
        let over = (reach / self.ease - weights.comfortable.get(finger)?).max(0.0);
        Some(thousandths(misfit + over * weights.stretch * (1.0 + over / weights.stretch_grows)))
    }

    /// Returns what it costs `finger`, counted from 0, to stop fret `wire` with the hand at `position`, in thousandths;
    /// `None` where it is out of reach.
    pub(super) fn finger(&self, position: u8, wire: u8, finger: usize) -> Option<Cost> {
        self.fingers.get(Self::finger_entry(position, wire, finger)?).copied().flatten()
    }

    /// Returns the same for a finger that is one of several: fingers side by side at one fret are no burden.
    pub(super) fn finger_in_chord(&self, position: u8, wire: u8, finger: usize) -> Option<Cost> {
        self.fingers_in_chord.get(Self::finger_entry(position, wire, finger)?).copied().flatten()
    }

    /// Returns the place of a finger's costs in the tables.
    fn finger_entry(position: u8, wire: u8, finger: usize) -> Option<usize> {
        let offset = (usize::from(wire) + 1).checked_sub(usize::from(position)).filter(|offset| *offset < OFFSETS)?;
        Some((usize::from(position) * OFFSETS + offset) * FINGERS + finger)
    }

    /// Returns whether the hand lies as on a short neck that is tuned in fifths.
    pub(super) fn has_fifths_frame(&self) -> bool {
        frame(self.rig, self.weights) == self.weights.fifths_frame
    }

    /// Returns the distance between two frets in millimetres.
    pub(super) fn distance(&self, one: u8, other: u8) -> f64 {
        let at = |fret: u8| self.at.get(usize::from(fret)).copied().unwrap_or_default();
        (at(one) - at(other)).abs()
    }

    /// Returns whether a hand holds both frets at once, of which `low` is not the higher one: no further apart than
    /// `fingerpost fingering` lets them be. From one note to the next it reaches further.
    pub(super) fn in_reach(&self, low: u8, high: u8) -> bool {
        self.distance(low, high) <= self.hand.reach().0 + SLACK && high - low <= WIDEST + 1
    }

    /// Returns how a hand holds all of these at once, as `fingerpost fingering` has it; `None` where none does.
    pub(super) fn held<'s>(&self, sounding: impl Iterator<Item = &'s StringSpot>) -> Option<PackedFingering> {
        let strings = self.rig.tuning().strings().len();
        let mut held = [MUTED; STRINGS];
        for spot in sounding {
            let wire = if spot.wire == 0 { OPEN } else { i8::try_from(spot.wire + self.base).unwrap_or(MUTED) };
            let place = strings.checked_sub(usize::from(spot.string)).and_then(|place| held.get_mut(place));
            if let Some(place) = place {
                *place = wire;
            }
        }
        Gripper::new(&self.neck, &self.hand, fingering::costs(), ThumbUse::IfNeeded).best(&held)
    }

    /// Returns the finger, 1 to 4, that `grip` has on a string; `None` for the thumb, and where it has none.
    pub(super) fn finger_on(&self, grip: &PackedFingering, string: u8) -> Option<u8> {
        let place = self.rig.tuning().strings().len().checked_sub(usize::from(string))?;
        grip.fingers.get(place).copied().filter(|finger| (1..=4).contains(finger))
    }

    /// Returns whether two fingers, counted from 0, hold these frets at once.
    pub(super) fn between(&self, (finger, low): (usize, u8), (other, high): (usize, u8)) -> bool {
        finger >= other || self.distance(low, high) <= f64::from(self.hand.pair(finger, other)) + SLACK
    }

    /// Returns the hand positions from which a hand might hold frets `low` to `high`.
    pub(super) fn positions(&self, low: u8, high: u8) -> std::ops::RangeInclusive<u8> {
        high.saturating_sub(WIDEST).max(1)..=(low + 1).min(self.last)
    }

    /// Returns what it costs, in thousandths, to have the hand at `position`, for a single note or for several.
    pub(super) fn height(&self, position: u8, several: bool) -> Cost {
        let weights = self.weights;
        let of_each = if several { weights.height_of_chord } else { weights.height };
        let above = f64::from(position.saturating_sub(1)) * of_each;
        thousandths(above + f64::from(position.saturating_sub(12)) * weights.past_twelfth)
    }

    /// Returns whether two notes that sound at once lie the other way round than their open strings: whether the string
    /// that is the lower one when open sounds the higher note.
    pub(super) fn is_crossed(&self, one: StringSpot, other: StringSpot) -> bool {
        let open = |spot: StringSpot| self.open.get(usize::from(spot.string)).copied().unwrap_or_default();
        let known = one.note > 0 && other.note > 0;
        known && open(one).cmp(&open(other)).reverse() == one.note.cmp(&other.note) && one.note != other.note
    }

    /// Returns whether the string above `string` is tuned a fifth higher, so that root and fifth lie at one fret.
    pub(super) fn has_flat_fifth(&self, string: u8) -> bool {
        let open = |string: u8| self.open.get(usize::from(string)).copied().filter(|note| *note > 0);
        let pair = string.checked_sub(1).and_then(open).zip(open(string));
        pair.is_some_and(|(above, own)| above == own + 7)
    }

    /// Returns whether `string` starts part-way along the neck.
    pub(super) fn is_short(&self, string: u8) -> bool {
        self.rig.instrument().short.is_some_and(|short| short.string.number() == string)
    }

    /// Returns what an open string costs while the hand is at `position`, in thousandths.
    pub(super) fn open(&self, string: u8, position: u8) -> Cost {
        // A short string is there to be played open.
        if self.is_short(string) {
            return 0;
        }
        let weights = self.weights;
        let away = f64::from(position.saturating_sub(weights.open_away_from));
        thousandths((away * weights.open_away).min(weights.open_away_most))
    }

    /// Returns every place of a note within the limits and the pin, highest string number first.
    pub(super) fn spots(&self, target: NoteTarget, pin: Pin, touch: Touch) -> Vec<StringSpot> {
        let places = self.places(target).into_iter();
        let allowed = places.filter(|place| self.limits.allow(place.fret) && pinned(*place, pin));
        let stopped = allowed.filter(|place| touch == Touch::Any || place.fret != Fret::OPEN);
        let note = match target {
            NoteTarget::Pitch(note) => note.number(),
            NoteTarget::At(_) => 0,
        };
        stopped.filter_map(|place| Some(StringSpot { note, ..self.spot(place)? })).collect()
    }

    /// Returns where a note is stopped on a string, within the limits.
    pub(super) fn stopped(&self, note: u8, string: u8) -> Option<StringSpot> {
        let target = NoteTarget::Pitch(MidiNote::new(note)?);
        let spots = self.spots(target, Pin::default(), Touch::Any).into_iter();
        spots.into_iter().find(|spot| spot.string == string && spot.wire > 0)
    }

    /// Returns how far the outermost open strings lie apart, in half steps; `None` where each string is not above the
    /// one before.
    pub(super) fn strings_apart(&self) -> Option<u8> {
        let open: Vec<u8> = self.rig.tuning().strings().iter().map(|pitch| pitch.midi().number()).collect();
        let rises = open.windows(2).all(|pair| pair.first() < pair.last());
        let (low, high) = open.first().zip(open.last())?;
        rises.then(|| high - low)
    }

    /// Returns every place of a note on this rig.
    pub(super) fn places(&self, target: NoteTarget) -> Vec<Place> {
        match target {
            NoteTarget::Pitch(note) => self.rig.places(note),
            NoteTarget::At(place) => vec![place],
        }
    }

    /// Returns `place` ready to compute with; `None` where the rig does not have it.
    fn spot(&self, place: Place) -> Option<StringSpot> {
        let Place { string, fret } = place;
        let wire = self.rig.wire(place).ok()?.number().saturating_sub(self.base);
        let wire = if fret == Fret::OPEN { 0 } else { wire };
        Some(StringSpot { string: string.number(), fret: fret.number(), wire, ..StringSpot::default() })
    }

    /// Returns a hand position as players count it: from a capo over all strings.
    pub(super) fn shown(position: u8) -> Fret {
        Fret::new(position).unwrap_or(Fret::END)
    }
}

/// Returns whether `pin` lets a note lie at `place`.
fn pinned(place: Place, pin: Pin) -> bool {
    pin.string.is_none_or(|string| string == place.string) && pin.fret.is_none_or(|fret| fret == place.fret)
}

/// Returns the frame that suits the instrument: a short neck tuned in fifths has its own.
fn frame(rig: &Rig, weights: &Weights) -> HandFrame {
    let open: Vec<u8> = rig.tuning().strings().iter().map(|pitch| pitch.midi().number()).collect();
    let mut gaps: Vec<u8> = open
        .windows(2)
        .map(|pair| pair.iter().max().zip(pair.iter().min()))
        .map(|ends| ends.map_or(0, |(high, low)| high - low))
        .collect();
    gaps.sort_unstable();
    let usual_gap = gaps.get(gaps.len() / 2).copied().unwrap_or_default();
    let Millimetres(scale) = rig.instrument().scale;
    if scale < weights.fifths_scale_below && usual_gap >= weights.fifths_from {
        weights.fifths_frame
    } else {
        weights.usual_frame
    }
}

/// Returns the string of a spot; `None` for a silent one.
pub(super) fn string_of(spot: StringSpot) -> Option<StringNumber> {
    StringNumber::new(spot.string)
}
