//! Chord qualities: the table in `assets/qualities.ron`, read once.

use std::collections::HashMap;
use std::sync::OnceLock;

use serde::Deserialize;

use super::formula::Formula;
use super::pitch_set::PitchSet;
use super::symbol_words::{Word, words};

/// One kind of chord, whatever its root.
#[derive(Debug, Clone)]
pub struct Quality {
    /// What is printed after the root.
    pub suffix: String,
    /// The whole formula.
    pub formula: Formula,
    /// The formula folded into an octave, counted from the root.
    pub folded: PitchSet,
    /// Other spellings people write after the root.
    pub also: Vec<String>,
    /// What naming a chord so costs: 0 is the plain major triad, the rarer the dearer.
    pub rarity: u16,
    /// Degrees that may be left out, with what that costs.
    pub may_miss: Vec<(Formula, u16)>,
    /// How many degrees beside the root may be left out at once.
    pub at_most: usize,
    /// What leaving out the root costs; `None` where nobody would hear the chord without it.
    pub rootless: Option<u16>,
    /// Whether the name is given only over its root.
    pub root_lowest: bool,
}

/// A row of the file, before its formula is read.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct QualityRow {
    suffix: String,
    formula: String,
    #[serde(default)]
    also: Vec<String>,
    rarity: u16,
    #[serde(default)]
    may_miss: Vec<(String, u16)>,
    #[serde(default)]
    at_most: Option<usize>,
    #[serde(default)]
    rootless: Option<u16>,
    #[serde(default)]
    root_lowest: bool,
}

/// The qualities and the two ways to find one.
pub(super) struct QualityTable {
    pub(super) rows: Vec<Quality>,
    by_formula: HashMap<Formula, usize>,
    by_words: HashMap<Vec<Word>, usize>,
    /// How many words the longest spelling has.
    pub(super) most_words: usize,
}

impl QualityTable {
    pub(super) fn with_formula(&self, formula: Formula) -> Option<&Quality> {
        self.rows.get(*self.by_formula.get(&formula)?)
    }

    /// Returns the quality that `words` spell exactly.
    pub(super) fn spelled(&self, words: &[Word]) -> Option<&Quality> {
        self.rows.get(*self.by_words.get(words)?)
    }
}

/// Returns every chord quality, in the order of the file.
pub fn qualities() -> &'static [Quality] {
    &table().rows
}

pub(super) fn table() -> &'static QualityTable {
    static TABLE: OnceLock<QualityTable> = OnceLock::new();
    // The file is compiled in and a test reads it, so a fault in it never reaches a player.
    TABLE.get_or_init(|| read(include_str!("../../assets/qualities.ron")).expect("assets/qualities.ron is sound"))
}

fn read(text: &str) -> Result<QualityTable, String> {
    let rows: Vec<QualityRow> = ron::from_str(text).map_err(|error| error.to_string())?;
    let rows = rows.into_iter().map(quality).collect::<Result<Vec<_>, _>>()?;
    let mut by_formula = HashMap::new();
    let mut by_words = HashMap::new();
    for (place, row) in rows.iter().enumerate() {
        if by_formula.insert(row.formula, place).is_some() {
            return Err(format!("`{}` has the formula of an earlier row", row.suffix));
        }
        for spelling in std::iter::once(&row.suffix).chain(&row.also) {
            let read = words(spelling).ok_or_else(|| format!("`{spelling}` is made of unknown words"))?;
            let earlier = by_words.insert(read, place);
            if earlier.is_some_and(|earlier| earlier != place) {
                return Err(format!("`{spelling}` is a spelling of two rows"));
            }
        }
    }
    let most_words = by_words.keys().map(Vec::len).max().unwrap_or(0);
    Ok(QualityTable { rows, by_formula, by_words, most_words })
}

fn quality(row: QualityRow) -> Result<Quality, String> {
    let read = |text: &str| text.parse::<Formula>().map_err(|error| format!("`{}`: {error}", row.suffix));
    let formula = read(&row.formula)?;
    let may_miss =
        row.may_miss.iter().map(|(degree, cost)| Ok((read(degree)?, *cost))).collect::<Result<Vec<_>, String>>()?;
    if may_miss.iter().any(|(degree, _)| !formula.touches(*degree)) {
        return Err(format!("`{}` may miss a degree that it does not have", row.suffix));
    }
    Ok(Quality {
        folded: formula.folded(),
        formula,
        at_most: row.at_most.unwrap_or(may_miss.len()),
        may_miss,
        suffix: row.suffix,
        also: row.also,
        rarity: row.rarity,
        rootless: row.rootless,
        root_lowest: row.root_lowest,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::theory::symbol::ChordSymbol;

    #[track_caller]
    fn check_fault(rows: &str, message: &str) {
        assert_eq!(read(rows).err().as_deref(), Some(message));
    }

    #[test]
    fn every_spelling_of_the_table_is_read_as_its_row_and_printed_one_way() {
        for quality in qualities() {
            for spelling in std::iter::once(&quality.suffix).chain(&quality.also) {
                let symbol: ChordSymbol = format!("C{spelling}").parse().unwrap();
                assert_eq!(symbol.formula(), quality.formula.degrees().collect::<Vec<_>>(), "C{spelling}");
                assert_eq!(symbol.suffix(), quality.suffix, "C{spelling}");
            }
        }
    }

    #[test]
    fn no_tone_of_a_quality_sounds_twice() {
        for quality in qualities() {
            let tones = usize::try_from(quality.folded.len()).unwrap();
            assert_eq!(tones, quality.formula.len(), "{}", quality.suffix);
            assert!(quality.folded.has(0), "{} has no root", quality.suffix);
        }
    }

    #[test]
    fn faults_in_the_table_are_named() {
        check_fault(r#"[(suffix: "a", formula: "1 3 5", rarity: 0)]"#, "`a` is made of unknown words");
        check_fault(
            r#"[(suffix: "7", formula: "1 3", rarity: 0), (suffix: "9", formula: "1 3", rarity: 0)]"#,
            "`9` has the formula of an earlier row",
        );
        check_fault(
            r#"[(suffix: "7", formula: "1 3", rarity: 0), (suffix: "9", formula: "1 5", rarity: 0, also: ["7"])]"#,
            "`7` is a spelling of two rows",
        );
        check_fault(
            r#"[(suffix: "7", formula: "1 3", rarity: 0, may_miss: [("5", 1)])]"#,
            "`7` may miss a degree that it does not have",
        );
    }
}
