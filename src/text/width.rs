//! Measures how many columns text takes on a screen or a page, and cuts it by them: one measure for all.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// Splits `text` into what a reader sees as single signs, the extended grapheme clusters of UAX #29, each with
/// its width in columns.
pub fn signs(text: &str) -> impl DoubleEndedIterator<Item = (&str, usize)> {
    text.graphemes(true).map(|sign| (sign, sign.width()))
}

/// Returns how many columns `text` takes: the sum of those of its single signs, as a terminal sets them. The
/// width of a sign is that of UAX #11, by the crate `unicode-width`.
pub fn width(text: &str) -> usize {
    width_of_plain(text).unwrap_or_else(|| signs(text).map(|(_, width)| width).sum())
}

/// Returns as many whole signs of `text` as fit in `columns`, and the rest.
pub fn split_at_width(text: &str, columns: usize) -> (&str, &str) {
    if width_of_plain(text).is_some_and(|whole| whole <= columns) {
        return (text, "");
    }
    let mut used = 0;
    for (at, sign) in text.grapheme_indices(true) {
        used += sign.width();
        if used > columns {
            return text.split_at(at);
        }
    }
    (text, "")
}

/// Returns the width of text that holds only ASCII and drawn lines, which take one column each and join with
/// nothing; `None` for any other text. Nearly all of a tab is such text, and finding single signs takes longer.
fn width_of_plain(text: &str) -> Option<usize> {
    let plain = |sign: char| matches!(sign, ' '..='~' | '\u{2500}'..='\u{257F}');
    text.chars().try_fold(0, |width, sign| plain(sign).then_some(width + 1))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Text with what is wide, joined, stacked or drawn in it.
    const SOME_TEXT: &str = "([ -~]|[─-╿]|[♭e\u{301}日\u{fe0f}👩\u{200d}🎤لاक्ष]|\\PC|\\r\\n){0,12}";

    proptest! {
        #[test]
        fn the_short_way_to_a_width_is_the_width_of_the_single_signs(text in SOME_TEXT) {
            prop_assert_eq!(width(&text), signs(&text).map(|(_, width)| width).sum::<usize>());
        }

        #[test]
        fn a_cut_loses_nothing_and_leaves_out_only_what_does_not_fit(text in SOME_TEXT, columns in 0usize..12) {
            let (head, tail) = split_at_width(&text, columns);
            prop_assert_eq!(format!("{head}{tail}"), text.clone());
            prop_assert!(width(head) <= columns);
            prop_assert_eq!(width(head) + width(tail), width(&text));
            if let Some((_, next)) = signs(tail).next() {
                prop_assert!(width(head) + next > columns);
            }
        }

        #[test]
        fn drawn_lines_and_ascii_are_one_column_each(text in "([ -~]|[─-╿]){0,8}") {
            prop_assert_eq!(signs(&text).map(|(_, width)| width).sum::<usize>(), text.chars().count());
        }
    }
}
