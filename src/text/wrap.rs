//! Text broken into lines.

use super::width::{signs, split_at_width, width};

/// Returns `text` broken into lines of at most `columns`, at spaces where that is possible; a word
/// that is too long is broken. Runs of spaces count as one. Empty text gives no line.
///
/// A character wider than `columns` becomes `?`, so that no line can be too long.
pub fn wrap(text: &str, columns: usize) -> Vec<String> {
    let columns = columns.max(1);
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0;
    for word in text.split_whitespace() {
        let needed = width(word);
        if !line.is_empty() && used + 1 + needed <= columns {
            line.push(' ');
            line.push_str(word);
            used += 1 + needed;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        let mut rest = word;
        while width(rest) > columns {
            let (head, tail) = split_at_width(rest, columns);
            if head.is_empty() {
                lines.push("?".to_owned());
                rest = signs(rest).next().and_then(|(wide, _)| rest.get(wide.len()..)).unwrap_or_default();
            } else {
                lines.push(head.to_owned());
                rest = tail;
            }
        }
        line.push_str(rest);
        used = width(rest);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Returns `text` wrapped behind `label`, at most `columns` wide, with further lines indented to where
/// the text began. Empty text gives no line.
pub fn hanging(label: &str, text: &str, columns: usize) -> Vec<String> {
    let indent = width(label);
    let place = |(number, line): (usize, String)| {
        if number == 0 { format!("{label}{line}") } else { format!("{:indent$}{line}", "") }
    };
    wrap(text, columns.saturating_sub(indent)).into_iter().enumerate().map(place).collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn wrapping_breaks_at_spaces_and_long_words_anywhere() {
        assert_eq!(wrap("the thumb leaves, nobody misses it", 12), ["the thumb", "leaves,", "nobody", "misses it"]);
        assert_eq!(wrap("abcdefgh", 3), ["abc", "def", "gh"]);
        assert_eq!(wrap("日", 1), ["?"]);
        assert!(wrap("  ", 5).is_empty());
    }

    #[test]
    fn what_hangs_behind_a_label_begins_under_its_own_first_word() {
        assert_eq!(hanging("日1 ", "the thumb leaves", 13), ["日1 the thumb", "    leaves"]);
        assert!(hanging("1 ", " ", 13).is_empty());
    }

    proptest! {
        #[test]
        fn no_line_is_wider_than_asked(text in "(\\PC|[ 日e\u{301}👩\u{200d}🎤\u{fe0f}#]){0,40}", columns in 1usize..30) {
            for line in wrap(&text, columns) {
                prop_assert!(width(&line) <= columns, "{:?}", line);
                prop_assert!(!line.ends_with(' ') && !line.is_empty());
            }
        }
    }
}
