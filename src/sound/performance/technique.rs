//! The effect of each way of playing on a note. Which techniques can be played where is not decided here; see
//! `lesson::check`.

use super::manners::Manners;
use super::sketch::{Curve, Sketch};
use crate::instrument::harmonics::NeckPoint;
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::rig::Rig;
use crate::lesson::music::{BendAmount, Technique};
use crate::lesson::seconds::Seconds;
use crate::lesson::technique::StruckBy;
use crate::sound::score::{Attack, Muting, Vibrato};
use crate::theory::pitch::{FinePitch, Hertz, Semitones};

/// The pitch at the fret, neither bent up nor let down.
const LEVEL: Semitones = Semitones(0.0);

/// The written note to which a technique belongs, and its place on the neck.
pub(super) struct NotePlace<'a> {
    pub(super) rig: &'a Rig,
    pub(super) string: StringNumber,
    pub(super) fret: Fret,
    /// The start of the written note, counted from the start of the sketch, and its length. A tie makes the sketch
    /// longer.
    pub(super) from: Seconds,
    pub(super) length: Seconds,
}

/// The way in which a note is struck repeatedly, if it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Repetition {
    /// It is struck once.
    No,
    /// It is picked repeatedly, at this rate.
    Picked(Hertz),
    /// It alternates with another pitch, at this rate.
    Trilled(Hertz, FinePitch),
}

/// Applies `technique` to `sketch`. A technique that cannot be played there (see `check`) changes nothing.
pub(super) fn apply(technique: Technique, sketch: &mut Sketch, place: &NotePlace<'_>, manners: &Manners) -> Repetition {
    let curve = |points: &[(Seconds, Semitones)]| Curve(points.to_vec()).later(place.from);
    let length = place.length;
    // A movement takes its time, but leaves at least half of a short note unmoved.
    let within = |time: Seconds| time.min(length / 2.0);
    let semitones = |amount: BendAmount| Semitones(f64::from(amount.count()) / 2.0);
    // A string that is held over from the note before may already be bent. An amount counts from the fret.
    let held = place.from > Seconds::ZERO;
    let bent = if held { sketch.pitch_at(place.from) - sketch.stopped } else { LEVEL };
    match technique.row().struck_by {
        StruckBy::Usual => {}
        StruckBy::PickingHandTap => sketch.attack = Attack::Tap,
        StruckBy::FrettingHandTap => sketch.attack = Attack::Hammer,
        StruckBy::Pinch => sketch.attack = Attack::Pinch,
    }
    match technique {
        // A note that already sounds starts at its own pitch.
        Technique::SlideUpInto | Technique::SlideDownInto if held => {}
        Technique::SlideUpInto | Technique::SlideDownInto => {
            let below = technique == Technique::SlideUpInto;
            let from = if below { -manners.slide_in_from } else { manners.slide_in_from };
            let from = within_neck(sketch.stopped + from, place) - sketch.stopped;
            sketch.curves.push(curve(&[(Seconds::ZERO, from), (within(manners.slide_in), LEVEL)]));
        }
        Technique::SlideAwayDown | Technique::SlideAwayUp => {
            let down = technique == Technique::SlideAwayDown;
            let to = if down { -manners.slide_out_to } else { manners.slide_out_to };
            let to = within_neck(sketch.stopped + to, place) - sketch.stopped;
            sketch.curves.push(curve(&[(length - within(manners.slide_out), LEVEL), (length, to)]));
        }
        Technique::Bend(amount) => bend(sketch, place, semitones(amount) - bent, manners),
        // Such a note cannot be bent before it sounds, either.
        Technique::PreBend(amount) if held => bend(sketch, place, semitones(amount) - bent, manners),
        Technique::BendRelease(amount) => {
            bend_and_release(sketch, place, (semitones(amount) - bent, -bent), manners);
        }
        Technique::PreBendRelease(amount) if held => {
            bend_and_release(sketch, place, (semitones(amount) - bent, -bent), manners);
        }
        Technique::PreBend(amount) => sketch.curves.push(curve(&[(Seconds::ZERO, semitones(amount))])),
        Technique::PreBendRelease(amount) => {
            let (up, time) = (semitones(amount), within(manners.bend));
            let down = (length - time) / 2.0;
            sketch.curves.push(curve(&[(Seconds::ZERO, up), (down, up), (down + time, LEVEL)]));
        }
        Technique::Vibrato => {
            let from = place.from + within(manners.vibrato_from);
            // A vibrato that continues over a tie does not begin again.
            if sketch.vibratos.last().is_none_or(|last| last.until.is_finite()) {
                let (depth, rate) = (manners.vibrato_depth, manners.vibrato_rate);
                sketch.vibratos.push(Vibrato { from, until: Seconds::NEVER, depth, rate });
            }
        }
        Technique::PalmMute => sketch.muting = Muting::Palm,
        Technique::Dead => sketch.muting = Muting::Dead,
        Technique::Ghost => sketch.strength = manners.ghost,
        Technique::LetRing => sketch.end = Seconds::NEVER,
        Technique::Trill(fret) => {
            if let Ok(other) = place.rig.sounding(place.string, fret) {
                return Repetition::Trilled(manners.trill, FinePitch::from(other));
            }
        }
        Technique::TremoloPicking => return Repetition::Picked(manners.tremolo),
        // These techniques only change how the string is struck.
        Technique::Tap | Technique::FrettingHandTap => {}
        Technique::NaturalHarmonic => touch(sketch, place, Fret::OPEN, place.fret),
        Technique::ArtificialHarmonic(over) | Technique::TappedHarmonic(over) => touch(sketch, place, place.fret, over),
        Technique::PinchHarmonic => sketch.partial = manners.pinch,
        Technique::TremoloBarDip(amount) => {
            let time = within(manners.bend * 2.0);
            sketch.curves.push(curve(&[(Seconds::ZERO, LEVEL), (time / 2.0, -semitones(amount)), (time, LEVEL)]));
        }
        Technique::TremoloBarDive(amount) => {
            sketch.curves.push(curve(&[(length / 4.0, LEVEL), (length, -semitones(amount))]));
        }
    }
    Repetition::No
}

/// Bends the string by the given semitones from its present pitch.
fn bend(sketch: &mut Sketch, place: &NotePlace<'_>, by: Semitones, manners: &Manners) {
    let time = manners.bend.min(place.length / 2.0);
    sketch.curves.push(Curve(vec![(Seconds::ZERO, LEVEL), (time, by)]).later(place.from));
}

/// Bends the string by the first amount from its present pitch, and then to the second amount from there.
fn bend_and_release(sketch: &mut Sketch, place: &NotePlace<'_>, (up, back): (Semitones, Semitones), manners: &Manners) {
    let (last, time) = (place.length * 0.75, manners.bend.min(place.length / 4.0));
    let points = vec![(Seconds::ZERO, LEVEL), (time, up), (last - time, up), (last, back)];
    sketch.curves.push(Curve(points).later(place.from));
}

/// Leaves only those partials of the string stopped at `stopped` that have a node under a touch at `over`.
fn touch(sketch: &mut Sketch, place: &NotePlace<'_>, stopped: Fret, over: Fret) {
    let over = NeckPoint(f64::from(over.number()));
    if let Ok(harmonic) = place.rig.touched_harmonic(place.string, stopped, over) {
        let base = FinePitch::from(harmonic.base);
        sketch.pitch += base - sketch.stopped;
        sketch.stopped = base;
        sketch.partial = harmonic.node.partial();
    }
}

/// Returns `pitch`, or the nearest pitch on the string to which a finger can slide.
fn within_neck(pitch: FinePitch, place: &NotePlace<'_>) -> FinePitch {
    let sounding = |fret: Option<Fret>| {
        let note = fret.and_then(|fret| place.rig.sounding(place.string, fret).ok());
        note.map_or(pitch, FinePitch::from)
    };
    let first = place.rig.frets(place.string).find(|fret| *fret != Fret::OPEN);
    let (low, high) = (sounding(first), sounding(place.rig.last_fret(place.string)));
    if low <= high { FinePitch(pitch.0.clamp(low.0, high.0)) } else { pitch }
}
