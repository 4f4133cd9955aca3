//! Text fitted to a width: cut, padded, or seen from a later column on.

use std::borrow::Cow;

use super::width::{signs, split_at_width, width};

/// Returns `text` cut to at most `columns`, with a mark where something is left out: `…`, or `~`
/// for text that is all ASCII. No space stands before the mark, and what a reader sees as one
/// character is never cut.
pub fn fit(text: &str, columns: usize) -> Cow<'_, str> {
    if width(text) <= columns {
        return Cow::Borrowed(text);
    }
    let mark = if text.is_ascii() { '~' } else { '…' };
    let Some(room) = columns.checked_sub(1) else { return Cow::Borrowed("") };
    let (head, _) = split_at_width(text, room);
    let mut cut = head.trim_end().to_owned();
    cut.push(mark);
    Cow::Owned(cut)
}

/// Returns `text` cut to at most `columns`; where something is cut off, `mark` takes the last of them.
/// A mark that has no room is left out as well.
pub fn fit_with<'a>(text: &'a str, columns: usize, mark: &str) -> Cow<'a, str> {
    if width(text) <= columns {
        return Cow::Borrowed(text);
    }
    let (head, _) = split_at_width(text, columns.saturating_sub(width(mark)));
    if width(mark) <= columns { Cow::Owned(format!("{head}{mark}")) } else { Cow::Borrowed(head) }
}

/// Returns the end of `text` in at most `columns`; where something is cut off before it, `mark` takes the first of them.
/// A mark that has no room is left out as well.
pub fn fit_end<'a>(text: &'a str, columns: usize, mark: &str) -> Cow<'a, str> {
    let whole = width(text);
    if whole <= columns {
        return Cow::Borrowed(text);
    }
    let Some(room) = columns.checked_sub(width(mark)) else { return Cow::Borrowed("") };
    Cow::Owned(format!("{mark}{}", skip(text, whole - room)))
}

/// Returns `text` with spaces behind it up to `columns`; longer text is returned as it is.
pub fn pad(text: &str, columns: usize) -> String {
    let gap = columns.saturating_sub(width(text));
    format!("{text}{:gap$}", "")
}

/// Returns `text` without its first `columns`; half of a wide character becomes a space.
pub fn skip(text: &str, columns: usize) -> String {
    let mut rest = text;
    let mut gone = 0;
    for (sign, width) in signs(text) {
        if gone >= columns {
            break;
        }
        gone += width;
        rest = rest.get(sign.len()..).unwrap_or_default();
    }
    format!("{:1$}{rest}", "", gone.saturating_sub(columns))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn cutting_keeps_wide_and_joined_characters_whole() {
        assert_eq!(fit("Kiln Street", 11), "Kiln Street");
        assert_eq!(fit("Kiln Street", 6), "Kiln~");
        assert_eq!(fit("Kiln–Street", 6), "Kiln–…");
        assert_eq!(fit("日本語", 4), "日…");
        assert_eq!(fit("e\u{301}e\u{301}e\u{301}", 2), "e\u{301}…");
        assert_eq!(fit("abc", 0), "");
    }

    #[test]
    fn a_mark_of_the_callers_own_takes_the_last_columns() {
        assert_eq!(fit_with("日本語", 5, "…"), "日本…");
        assert_eq!(fit_with("日本語", 4, "…"), "日…");
        assert_eq!(fit_with("abc", 0, "…"), "");
        assert_eq!(fit_with("Kiln Street", 7, "..."), "Kiln...");
        assert_eq!(fit_with("Kiln Street", 2, "..."), "");
        assert_eq!(fit_with("e\u{301}tude", 3, "…"), "e\u{301}t…");
    }

    #[test]
    fn text_is_padded_and_skipped_by_columns() {
        assert_eq!(pad("日本", 6), "日本  ");
        assert_eq!(pad("Kiln Street", 4), "Kiln Street");
        assert_eq!(skip("Kiln Street", 5), "Street");
        assert_eq!(skip("日本語", 3), " 語");
        assert_eq!(skip("abc", 9), "");
        assert_eq!(fit_end("a/b/kiln.ron", 9, "…"), "…kiln.ron");
        assert_eq!(fit_end("日本語", 4, "…"), "… 語");
        assert_eq!((fit_end("abc", 3, "…"), fit_end("abc", 0, "…")), ("abc".into(), "".into()));
    }

    proptest! {
        #[test]
        fn nothing_is_wider_than_asked(text in "(\\PC|[ 日e\u{301}👩\u{200d}🎤\u{fe0f}#]){0,40}", columns in 0usize..30) {
            prop_assert!(width(&fit(&text, columns)) <= columns);
            for mark in ["…", "~", ">>>"] {
                prop_assert!(width(&fit_with(&text, columns, mark)) <= columns);
                prop_assert!(width(&fit_end(&text, columns, mark)) <= columns);
            }
        }
    }
}
