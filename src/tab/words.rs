//! Words from a lesson, made fit to stand in one line of tab.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

use super::clean::clean;
use super::style::Charset;

/// Returns `text` cleaned, in one line, runs of spaces as one. `None` when nothing is left.
pub(in crate::tab) fn line(text: &str, charset: Charset) -> Option<String> {
    let clean = clean(text, charset);
    let mut line = String::with_capacity(clean.len());
    for word in clean.split_whitespace() {
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    (!line.is_empty()).then_some(line)
}

/// Splits `text` into what a reader sees as single signs, each with its width in columns.
pub(in crate::tab) fn signs(text: &str) -> impl Iterator<Item = (&str, usize)> {
    text.graphemes(true).map(|sign| (sign, sign.width()))
}

/// Returns the width of `text` in columns.
pub(in crate::tab) fn width(text: &str) -> usize {
    width_of_plain(text).unwrap_or_else(|| signs(text).map(|(_, width)| width).sum())
}

/// Returns as much of `text` as fits in `width` columns, and the rest.
pub(in crate::tab) fn split_at_width(text: &str, width: usize) -> (&str, &str) {
    if width_of_plain(text).is_some_and(|whole| whole <= width) {
        return (text, "");
    }
    let mut used = 0;
    for (at, sign) in text.grapheme_indices(true) {
        used += sign.width();
        if used > width {
            return text.split_at(at);
        }
    }
    (text, "")
}

/// Returns the width of text that is all ASCII and drawn lines, one column each and joined to
/// nothing; `None` for any other. Nearly all of a tab is, and finding single signs takes longer.
fn width_of_plain(text: &str) -> Option<usize> {
    let plain = |sign: char| matches!(sign, ' '..='~' | '\u{2500}'..='\u{257F}');
    text.chars().try_fold(0, |width, sign| plain(sign).then_some(width + 1))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn the_short_way_to_a_width_is_the_width_of_the_single_signs(text in "([ -~]|[─-╿]|[♭e\u{301}日\u{fe0f}]){0,8}") {
            prop_assert_eq!(width(&text), signs(&text).map(|(_, width)| width).sum::<usize>());
            for columns in 0..10 {
                let (head, tail) = split_at_width(&text, columns);
                prop_assert_eq!(format!("{head}{tail}"), text.clone());
                prop_assert!(width(head) <= columns);
            }
        }

        #[test]
        fn drawn_lines_and_ascii_are_one_column_each(text in "([ -~]|[─-╿]){0,8}") {
            prop_assert_eq!(signs(&text).map(|(_, width)| width).sum::<usize>(), text.chars().count());
        }
    }
}
