//! What is typed to find voicings: a chord name, and behind commas which of its voicings are wanted.

use crate::instrument::voicing::level::PlayerLevel;
use crate::instrument::voicing::open_shapes::OpenShapes;
use crate::text::quote::quoted;
use crate::theory::symbol::ChordSymbol;

/// A chord whose voicings are wanted.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct VoicingQuery {
    /// The chord as it was typed.
    pub(super) chord: ChordSymbol,
    /// The chord of the open shape that they come from; `None` where any will do.
    pub(super) from_shape: Option<ChordSymbol>,
    /// Who plays them; `None` where that is not said.
    pub(super) level: Option<PlayerLevel>,
    /// In which order they come.
    pub(super) order: SuggestionOrder,
}

/// In which order suggestions come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum SuggestionOrder {
    /// The best first.
    #[default]
    BestFirst,
    /// Those of one open shape together, in the order in which the open ones are taught.
    ByOpenShape,
}

/// What is typed for [`SuggestionOrder::ByOpenShape`].
const BY_SHAPE: &str = "by shape";

impl VoicingQuery {
    /// Reads `F`, `F, E shape`, `F, by shape` or `F, beginner`. Errors: in words, what is wrong with it.
    pub(super) fn read(text: &str, open_shapes: &OpenShapes) -> Result<Self, String> {
        let whole = text.trim().parse::<ChordSymbol>();
        let (name, wishes) = match (&whole, text.rfind(')')) {
            // Commas stand within the brackets of a name too.
            (Ok(_), _) => (text, ""),
            (Err(_), Some(bracket)) => split(text, bracket),
            (Err(_), None) => split(text, 0),
        };
        let chord = name.trim().parse().map_err(|error| format!("{error}"))?;
        let mut query = Self { chord, from_shape: None, level: None, order: SuggestionOrder::default() };
        for wish in wishes.split(',').map(str::trim).filter(|wish| !wish.is_empty()) {
            if let Ok(level) = wish.parse() {
                query.level = Some(level);
                continue;
            }
            if wish.eq_ignore_ascii_case(BY_SHAPE) {
                query.order = SuggestionOrder::ByOpenShape;
                continue;
            }
            let shape = wish.strip_suffix("shape").unwrap_or(wish);
            let fault = |error| format!("{error}; or, as a level, `{}`", PlayerLevel::Beginner);
            let found = open_shapes.called(shape).map_err(|error| fault(error.to_string()))?;
            if query.from_shape.replace(found).is_some() {
                return Err(format!("`{}` asks for two open shapes: leave one of them out", quoted(text.trim())));
            }
        }
        Ok(query)
    }
}

/// Returns what stands before the first comma from `from` on, and what stands behind it.
fn split(text: &str, from: usize) -> (&str, &str) {
    let comma = text.get(from..).and_then(|rest| rest.find(','));
    comma.and_then(|comma| Some((text.get(..from + comma)?, text.get(from + comma + 1..)?))).unwrap_or((text, ""))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::catalogue::setup_from_text;
    use crate::instrument::rig::Rig;

    #[track_caller]
    fn read(text: &str) -> Result<(String, Option<String>, Option<PlayerLevel>), String> {
        let (instrument, tuning) = setup_from_text(Some("guitar"), None).unwrap();
        let open_shapes = OpenShapes::on(&Rig::new(instrument, tuning, None).unwrap());
        let query = VoicingQuery::read(text, &open_shapes)?;
        Ok((query.chord.to_string(), query.from_shape.map(|name| name.to_string()), query.level))
    }

    #[test]
    fn a_chord_is_read_with_what_is_wanted_of_it() {
        let shape = |name: &str| Some(name.to_owned());
        for (text, chord, from_shape, level) in [
            ("F", "F", None, None),
            ("F, E shape", "F", shape("E"), None),
            ("Fm7,Em7", "Fm7", shape("Em7"), None),
            ("F , beginner, E shape ", "F", shape("E"), Some(PlayerLevel::Beginner)),
            ("C7(b9,#9), Intermediate", "C7(b9,#9)", None, Some(PlayerLevel::Intermediate)),
        ] {
            let (found, wanted, who) = read(text).unwrap();
            let plain: ChordSymbol = chord.parse().unwrap();
            assert_eq!((found, wanted, who), (plain.to_string(), from_shape, level), "{text}");
        }
    }

    #[test]
    fn what_is_neither_shape_nor_level_is_told() {
        let told = read("F, H shape").unwrap_err();
        assert!(told.contains("`H` is not an open shape"), "{told}");
        assert!(told.contains("`beginner`"), "{told}");
        assert!(read("F, E shape, A shape").unwrap_err().contains("two open shapes"));
        assert!(read("Hello").is_err() && read("").is_err() && read(",").is_err() && read("),(").is_err());
    }
}
