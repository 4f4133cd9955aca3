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
    signs(text).map(|(_, width)| width).sum()
}

/// Returns as much of `text` as fits in `width` columns, and the rest.
pub(in crate::tab) fn split_at_width(text: &str, width: usize) -> (&str, &str) {
    let mut used = 0;
    for (at, sign) in text.grapheme_indices(true) {
        used += sign.width();
        if used > width {
            return text.split_at(at);
        }
    }
    (text, "")
}
