//! Where a string rings when it is only touched.

use crate::instrument::harmonics::Node;
use crate::instrument::neck::Fret;

/// The highest partial that rings strongly enough to be taught. Common practice, no published
/// source; higher ones sound on some instruments.
const HIGHEST_PARTIAL: u8 = 8;

/// How far a node may lie from the wire, in frets. Common practice: players write the harmonic just
/// before fret 3 (2.67) and just after it (3.16) both as 3.
const NEAR: f64 = 0.35;

/// Returns whether a node lies near `fret`, counted from where the string begins.
pub(super) fn rings(fret: u8) -> bool {
    nodes().any(|node| (node - f64::from(fret)).abs() <= NEAR)
}

/// Returns the nearest frets below and above `fret` near which a node lies, as far as a neck goes.
pub(super) fn neighbours(fret: u8) -> Vec<u8> {
    let below = (1..fret).rev().find(|fret| rings(*fret));
    let above = (fret.saturating_add(1)..=Fret::LAST).find(|fret| rings(*fret));
    below.into_iter().chain(above).collect()
}

/// Returns every node of the partials up to [`HIGHEST_PARTIAL`], in frets.
fn nodes() -> impl Iterator<Item = f64> {
    (2..=HIGHEST_PARTIAL).flat_map(Node::of_partial).map(|node| node.fret().0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strings_ring_over_the_published_nodes() {
        // The nodes of partials 2 to 8: tests/reference/harmonics.tsv (string division, checked
        // there against music21 10.5.1).
        for fret in [2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 16, 17, 19, 22, 24, 28, 31, 34, 36] {
            assert!(rings(fret), "fret {fret}");
        }
        for fret in [0, 1, 11, 13, 14, 18, 20, 21, 23, 25, 26, 30] {
            assert!(!rings(fret), "fret {fret}");
        }
        assert_eq!(neighbours(11), [10, 12]);
    }
}
