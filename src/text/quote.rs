//! What the user wrote, made short and safe to repeat inside a message.

use super::safe::shows_as_itself;

/// The most characters of the user's text that a message repeats.
const LONGEST: usize = 40;

/// Returns `text` shortened, with control characters shown as escapes instead of sent.
pub fn quoted(text: &str) -> String {
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

/// Returns all of `text`, with every character that acts instead of showing, or that shows nothing, written
/// as an escape: whoever mends a file has to find it there.
pub fn written_out(text: &str) -> String {
    text.chars().map(quoted_char).collect()
}

/// Returns one character as it is, or as its escape where it acts instead of showing or shows nothing at all.
pub fn quoted_char(character: char) -> String {
    if shows_as_itself(character) { character.to_string() } else { character.escape_default().to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_shows_nothing_is_written_out() {
        assert_eq!(quoted("a\u{202e}\u{feff}\u{1b}♭"), "a\\u{202e}\\u{feff}\\u{1b}♭");
        assert_eq!(written_out("a\u{202e}\u{61c}\u{e0041}\u{7}♭"), "a\\u{202e}\\u{61c}\\u{e0041}\\u{7}♭");
        assert_eq!(quoted(&"é".repeat(50)).chars().count(), LONGEST + 1);
    }
}
