//! What strings are played on: in words, and the guitar that stands in where a lesson does not say.

use crate::instrument::catalogue;
use crate::instrument::rig::Rig;

/// Returns a guitar in standard tuning.
pub fn standard_guitar() -> Rig {
    let guitar = &catalogue::guitar().instrument;
    let tuning = catalogue::standard_tuning(guitar).map(|known| known.notes.clone());
    let tuning = tuning.expect("a test finds the standard tuning of the guitar");
    Rig::new(guitar.clone(), tuning, None).expect("a test sets the guitar up")
}

/// Returns tuning and capo in words: `drop D, capo 2`.
pub fn describe(rig: &Rig) -> String {
    catalogue::setup_label(rig.tuning(), rig.capo(), rig.instrument())
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_guitar_that_stands_in_has_six_strings() {
        assert_eq!(super::standard_guitar().strings().count(), 6);
    }
}
