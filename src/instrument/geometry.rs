//! Where the frets lie, in millimetres.
//!
//! These are the places that equal temperament asks for. The saddle of a real instrument stands a
//! few millimetres further back to make up for the stretch of a stopped string; that is left out.

use super::body::Millimetres;
use super::neck::Fret;

/// Returns the distance from the nut to `fret`.
///
/// - Units: `scale` and the result in millimetres, `0 <= result < scale`.
/// - Source: equal temperament, `L * (1 - 2^(-n/12))`; Fletcher & Rossing, *The Physics of Musical
///   Instruments*, 2nd ed., ch. 9 (cited from memory).
pub fn nut_to_fret(scale: Millimetres, fret: Fret) -> Millimetres {
    Millimetres(scale.0 - fret_to_bridge(scale, fret).0)
}

/// Returns the distance from `fret` to the bridge: the vibrating length of a string stopped there.
///
/// - Units: `scale` and the result in millimetres, `0 < result <= scale`.
/// - Source: as for [`nut_to_fret`].
pub fn fret_to_bridge(scale: Millimetres, fret: Fret) -> Millimetres {
    Millimetres(scale.0 * (-f64::from(fret.number()) / 12.0).exp2())
}

/// Returns the distance along the neck between two frets, never negative.
pub fn between(scale: Millimetres, one: Fret, other: Fret) -> Millimetres {
    Millimetres((nut_to_fret(scale, one).0 - nut_to_fret(scale, other).0).abs())
}
