//! Measures how many columns text takes on a screen or a page, and cuts it by them: one measure for all.

use unicode_segmentation::{GraphemeCursor, UnicodeSegmentation};
use unicode_width::UnicodeWidthStr;

/// Splits `text` into what a reader sees as single signs, the extended grapheme clusters of UAX #29, each with
/// its width in columns.
pub fn signs(text: &str) -> impl DoubleEndedIterator<Item = (&str, usize)> {
    text.graphemes(true).map(|sign| (sign, sign.width()))
}

/// Returns where the single sign ends that has the place `at` in its middle; `at` itself where none has, and the end of the text
/// where it lies beyond. Only the signs around that place are looked at, so a long text costs no more than a short one.
pub fn end_of_sign(text: &str, at: usize) -> usize {
    let at = text.len().min(at);
    let Some(at) = (at..=text.len()).find(|place| text.is_char_boundary(*place)) else { return text.len() };
    let mut cursor = GraphemeCursor::new(at, text.len(), true);
    // The text is handed over whole, so nothing of it can be missing.
    match cursor.is_boundary(text, 0) {
        Ok(false) => cursor.next_boundary(text, 0).ok().flatten().unwrap_or(text.len()),
        Ok(true) | Err(_) => at,
    }
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
        fn a_sign_ends_where_going_through_all_signs_finds_its_end(text in SOME_TEXT, at in 0usize..40) {
            let ends = signs(&text).scan(0, |end, (sign, _)| {
                *end += sign.len();
                Some(*end)
            });
            let found = std::iter::once(0).chain(ends).find(|end| *end >= at).unwrap_or(text.len());
            prop_assert_eq!(end_of_sign(&text, at), found);
        }

        #[test]
        fn drawn_lines_and_ascii_are_one_column_each(text in "([ -~]|[─-╿]){0,8}") {
            prop_assert_eq!(signs(&text).map(|(_, width)| width).sum::<usize>(), text.chars().count());
        }
    }
}
