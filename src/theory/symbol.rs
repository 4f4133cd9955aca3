//! Chord symbols: what people write, read into a root, a formula and a bass, printed one way.

use super::degree::Degree;
use super::pitch::NoteName;

/// A chord symbol: root, formula and an optional bass that is not the root.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct ChordSymbol {
    root: NoteName,
    formula: Vec<Degree>,
    suffix: String,
    bass: Option<NoteName>,
}
