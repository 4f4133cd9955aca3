//! What the user wrote, made short and safe to repeat inside a message.

/// The most characters of the user's text that a message repeats.
const LONGEST: usize = 40;

/// Returns `text` shortened, with control characters shown as escapes instead of sent.
pub(crate) fn quoted(text: &str) -> String {
    let mut shown = String::new();
    for (count, character) in text.chars().enumerate() {
        if count == LONGEST {
            shown.push('…');
            break;
        }
        shown.push_str(&quoted_char(character));
    }
    shown
}

/// Returns one character; one that acts instead of showing, or shows nothing at all, as its escape.
pub(crate) fn quoted_char(character: char) -> String {
    if character.is_control() || is_invisible(character) {
        character.escape_default().to_string()
    } else {
        character.to_string()
    }
}

/// Whether a character shows nothing: it joins, parts or turns the direction of those beside it.
fn is_invisible(character: char) -> bool {
    matches!(
        character,
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{180e}' | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{feff}' | '\u{ffa0}'
            | '\u{fff0}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}'
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_shows_nothing_is_written_out() {
        assert_eq!(quoted("a\u{202e}\u{feff}\u{1b}♭"), "a\\u{202e}\\u{feff}\\u{1b}♭");
        assert_eq!(quoted(&"é".repeat(50)).chars().count(), LONGEST + 1);
    }
}
