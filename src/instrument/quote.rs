//! What the user wrote, made safe to repeat inside a message.

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

/// Returns one character, a control character as its escape.
pub(crate) fn quoted_char(character: char) -> String {
    if character.is_control() { character.escape_default().to_string() } else { character.to_string() }
}
