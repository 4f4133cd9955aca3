//! Passages as text tab, and back.

use fingerpost::lesson::music::Passage;
use fingerpost::tab::clean;
use fingerpost::tab::passage::{LaidOut, lay_out};
use fingerpost::tab::style::{Charset, TabStyle};
use proptest::prelude::*;

use super::arbitrary::any_passage_on_any_neck;

fn any_charset() -> impl Strategy<Value = Charset> {
    prop_oneof![Just(Charset::Utf8), Just(Charset::Ascii)]
}

fn labels(strings: u8) -> Vec<String> {
    ["C", "F#", "B", "Bb", "Ab", "Eb", "E", "A", "D", "G", "B", "e"][12 - usize::from(strings)..]
        .iter()
        .map(|label| (*label).to_owned())
        .collect()
}

fn laid_out(passage: &Passage, strings: u8, width: usize, charset: Charset) -> LaidOut {
    lay_out(passage, &labels(strings), &TabStyle { width, charset })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn every_line_keeps_to_the_page((music, passage) in any_passage_on_any_neck(), width in 40usize..=160, charset in any_charset()) {
        let LaidOut { text, maps } = laid_out(&passage, music.strings, width, charset);
        for (system, map) in text.systems.iter().zip(&maps) {
            for line in &system.lines {
                prop_assert!(clean::width(line) <= width, "{line:?}");
                prop_assert!(!line.chars().any(char::is_control), "{line:?}");
                prop_assert!(charset == Charset::Utf8 || line.is_ascii(), "{line:?}");
            }
            let strings = &system.lines[map.strings.clone()];
            prop_assert_eq!(strings.len(), usize::from(music.strings));
            for line in strings {
                prop_assert_eq!(clean::width(line), clean::width(&strings[0]));
            }
        }
    }
}
