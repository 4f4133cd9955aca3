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

/// Returns the largest distance along the neck between any two of the frets; 0 for fewer than two.
pub fn reach(scale: Millimetres, frets: &[Fret]) -> Millimetres {
    match (frets.iter().min(), frets.iter().max()) {
        (Some(&lowest), Some(&highest)) => between(scale, lowest, highest),
        _ => Millimetres(0.0),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn fret(number: u8) -> Fret {
        Fret::new(number).unwrap()
    }

    #[test]
    fn the_handbook_divisor_finds_the_same_places() {
        // studylib "Fret Spacing Calculation Activity": the constant divisor is 17.817, here
        // unrounded, 1 / (1 - 2^(-1/12)); each fret lies at that part of what is left.
        let scale = Millimetres(648.0);
        let divisor = 1.0 / (1.0 - (-1.0f64 / 12.0).exp2());
        assert!((divisor - 17.817).abs() < 0.0005);
        let mut left = scale.0;
        for number in 1..=Fret::LAST {
            left -= left / divisor;
            assert!((fret_to_bridge(scale, fret(number)).0 - left).abs() < 1e-9, "fret {number}");
        }
    }

    proptest! {
        #[test]
        fn frets_lie_closer_together_toward_the_bridge(scale in 100.0..2000.0f64, number in 1..Fret::LAST) {
            let scale = Millimetres(scale);
            let space = |number: u8| between(scale, fret(number - 1), fret(number)).0;
            prop_assert!(space(number) > space(number + 1));
            prop_assert!(nut_to_fret(scale, fret(number)).0 < scale.0);
        }

        #[test]
        fn distances_add_up_along_the_neck(a in 0..=Fret::LAST, b in 0..=Fret::LAST, c in 0..=Fret::LAST) {
            let mut frets = [fret(a), fret(b), fret(c)];
            frets.sort();
            let [low, middle, high] = frets;
            let scale = Millimetres(648.0);
            let parts = between(scale, low, middle).0 + between(scale, middle, high).0;
            prop_assert!((between(scale, high, low).0 - parts).abs() < 1e-9);
            prop_assert_eq!(reach(scale, &[fret(a), fret(b), fret(c)]), between(scale, low, high));
        }
    }
}
