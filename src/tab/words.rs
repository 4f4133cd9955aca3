//! Words from a lesson, made fit to stand in one line of tab.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::style::Charset;

/// Returns `text` in one line: control characters become spaces, runs of spaces one, signs
/// without width go, and in ASCII everything else is written with the nearest ASCII signs. `None` when
/// nothing is left.
pub(in crate::tab) fn line(text: &str, charset: Charset) -> Option<String> {
    let mut clean = String::new();
    for sign in text.chars() {
        if sign.width() == Some(0) {
            continue;
        }
        if sign.is_control() || sign.is_whitespace() {
            if !clean.is_empty() && !clean.ends_with(' ') {
                clean.push(' ');
            }
            continue;
        }
        match charset {
            Charset::Utf8 => clean.push(sign),
            Charset::Ascii => push_ascii(sign, &mut clean),
        }
    }
    while clean.ends_with(' ') {
        clean.pop();
    }
    (!clean.is_empty()).then_some(clean)
}

/// Appends the nearest ASCII signs.
fn push_ascii(sign: char, clean: &mut String) {
    match sign {
        ' '..='~' => clean.push(sign),
        '♭' => clean.push('b'),
        '♯' => clean.push('#'),
        '△' | 'Δ' => clean.push_str("maj"),
        'ø' => clean.push_str("m7b5"),
        '°' => clean.push_str("dim"),
        '‘' | '’' => clean.push('\''),
        '“' | '”' => clean.push('"'),
        '–' | '—' | '−' => clean.push('-'),
        '…' => clean.push_str("..."),
        _ => clean.push('?'),
    }
}

/// Splits `text` into what a reader sees as single signs, each with its width in columns.
pub(in crate::tab) fn signs(text: &str) -> impl Iterator<Item = (&str, usize)> {
    text.graphemes(true).map(|sign| (sign, sign.width()))
}

/// Returns the width of `text` in columns.
pub(in crate::tab) fn width(text: &str) -> usize {
    signs(text).map(|(_, width)| width).sum::<usize>().max(text.width())
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
