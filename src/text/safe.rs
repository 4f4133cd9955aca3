//! Text from a lesson made safe to show: control characters seen, never sent; ASCII where asked;
//! cut and wrapped by the columns it takes on a screen or a page.

use std::borrow::Cow;
use std::iter::Peekable;
use std::str::Chars;

use super::charset::Charset;
use super::width::{signs, split_at_width, width};

/// Stands for a character that must not reach a terminal or a page and has no picture of its own.
const STAND_IN: char = '\u{FFFD}';

/// Returns `text` as one line without anything that acts instead of showing.
///
/// - Line ends and tabs become one space each.
/// - The other control characters become their pictures from the Unicode block Control Pictures
///   (ESC is `␛`, BEL is `␇`); C1 controls, which some terminals obey like escape sequences,
///   directional overrides, invisible spaces and tags become `�`.
/// - Joiners inside a non-Latin word or an emoji stay, because the writing needs them.
pub fn printable(text: &str) -> Cow<'_, str> {
    if text.chars().all(shows_as_itself) {
        return Cow::Borrowed(text);
    }
    let mut cleaned = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(next) = chars.next() {
        let shown = match next {
            '\r' if chars.peek() == Some(&'\n') => continue,
            '\u{200C}' | '\u{200D}' if joins(&cleaned, &mut chars) => next,
            _ => visible(next),
        };
        cleaned.push(shown);
    }
    Cow::Owned(cleaned)
}

/// Returns `text` line by line as [`printable`] shows it, with its line feeds.
pub fn printable_lines(text: &str) -> String {
    text.split('\n').map(printable).collect::<Vec<_>>().join("\n")
}

/// Returns `text` in printable ASCII, as one line: accents folded, other scripts written in Latin
/// letters, music's accidentals as `b` and `#`, what has no equal as `?`.
pub fn to_ascii(text: &str) -> String {
    let mut ascii = String::with_capacity(text.len());
    for next in printable(text).chars() {
        match next {
            ' '..='~' => ascii.push(next),
            '♭' => ascii.push('b'),
            '♯' => ascii.push('#'),
            '♮' => ascii.push_str("nat"),
            '𝄫' => ascii.push_str("bb"),
            '𝄪' => ascii.push_str("##"),
            '△' | 'Δ' | '∆' => ascii.push_str("maj"),
            '–' | '‒' | '−' => ascii.push('-'),
            '—' => ascii.push_str("--"),
            '…' => ascii.push_str("..."),
            '\u{2400}'..='\u{241F}' => {
                // A control character is written as keyboards name it: ESC is ^[.
                ascii.push('^');
                ascii.push(u8::try_from(u32::from(next) - 0x2400).map_or('?', |code| char::from(code + 0x40)));
            }
            '\u{2421}' => ascii.push_str("^?"),
            STAND_IN => ascii.push('?'),
            _ => push_folded(&mut ascii, next),
        }
    }
    ascii
}

/// Returns `text` as one safe line in `charset`.
pub fn clean(text: &str, charset: Charset) -> Cow<'_, str> {
    match charset {
        Charset::Utf8 => printable(text),
        Charset::Ascii => Cow::Owned(to_ascii(text)),
    }
}

/// Returns `text` cut to at most `columns`, with a mark where something is left out: `…`, or `~`
/// for text that is all ASCII. Never cuts inside what a reader sees as one character.
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

/// Whether a character is shown as it is by [`printable`] wherever it stands.
pub fn shows_as_itself(character: char) -> bool {
    !matches!(character, '\u{200C}' | '\u{200D}') && visible(character) == character
}

/// Returns what is shown for one character; itself where it is harmless.
fn visible(character: char) -> char {
    match character {
        '\t' | '\n' | '\r' | '\u{0B}' | '\u{0C}' | '\u{85}' | '\u{2028}' | '\u{2029}' => ' ',
        '\0'..='\u{1F}' => char::from_u32(0x2400 + u32::from(character)).unwrap_or(STAND_IN),
        '\u{7F}' => '\u{2421}',
        '\u{80}'..='\u{9F}' => STAND_IN,
        // Directional marks and overrides can make a line read as something else.
        '\u{061C}' | '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{206F}' => STAND_IN,
        // Nothing to see, but not nothing: soft hyphen, invisible spaces and operators, fillers.
        '\u{AD}' | '\u{034F}' | '\u{115F}' | '\u{1160}' | '\u{180E}' | '\u{200B}'..='\u{200D}' => STAND_IN,
        '\u{2060}'..='\u{2065}' | '\u{3164}' | '\u{FEFF}' | '\u{FFA0}' | '\u{FFF0}'..='\u{FFFB}' => STAND_IN,
        '\u{E0000}'..='\u{E0FFF}' => STAND_IN,
        _ => character,
    }
}

/// Returns whether a joiner stands between two characters of a writing that needs joiners.
fn joins(before: &str, after: &mut Peekable<Chars<'_>>) -> bool {
    let needs_joiners = |character: char| !character.is_ascii() && visible(character) == character;
    before.chars().next_back().is_some_and(needs_joiners) && after.peek().is_some_and(|next| needs_joiners(*next))
}

fn push_folded(ascii: &mut String, character: char) {
    match deunicode::deunicode_char(character) {
        // Marks that stand on another character have an empty equal: the letter alone is right.
        Some(equal) if equal.chars().all(|letter| matches!(letter, ' '..='~')) => ascii.push_str(equal),
        _ => ascii.push('?'),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn escapes_and_controls_are_shown_not_sent() {
        assert_eq!(printable("a\u{1b}[31mred\u{7}\u{9b}2J\u{7f}"), "a␛[31mred␇\u{FFFD}2J␡");
        assert_eq!(printable("one\r\ntwo\tthree\rfour"), "one two three four");
        assert_eq!(printable("\u{202e}drawkcab\u{200b}"), "\u{FFFD}drawkcab\u{FFFD}");
        assert_eq!(to_ascii("\u{1b}[31m\u{0}\u{7f}"), "^[[31m^@^?");
    }

    #[test]
    fn harmless_text_is_left_alone() {
        for text in ["Kiln Street – bars 1–4", "B♭maj7/F", "café", "👩\u{200d}🎤", "می\u{200c}خواهم"]
        {
            assert_eq!(printable(text), text);
        }
    }

    #[test]
    fn ascii_keeps_the_music_and_folds_accents() {
        assert_eq!(to_ascii("B♭ F♯ “don’t” – café — naïve…"), "Bb F# \"don't\" - cafe -- naive...");
        assert_eq!(to_ascii("e\u{301}tude"), "etude");
        assert_eq!(to_ascii("\u{10FFFE}"), "?");
    }

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
    fn wrapping_breaks_at_spaces_and_long_words_anywhere() {
        assert_eq!(wrap("the thumb leaves, nobody misses it", 12), ["the thumb", "leaves,", "nobody", "misses it"]);
        assert_eq!(wrap("abcdefgh", 3), ["abc", "def", "gh"]);
        assert_eq!(wrap("日", 1), ["?"]);
        assert!(wrap("  ", 5).is_empty());
    }

    #[test]
    fn what_a_message_writes_out_and_what_is_replaced_here_are_the_same_characters() {
        for character in '\0'..=char::MAX {
            let written_out = crate::text::quote::quoted_char(character) != character.to_string();
            assert_eq!(written_out, !shows_as_itself(character), "{}", character.escape_unicode());
        }
    }

    proptest! {
        #[test]
        fn nothing_that_acts_gets_through(text in any::<String>()) {
            prop_assert!(!printable(&text).chars().any(char::is_control));
            prop_assert!(to_ascii(&text).bytes().all(|byte| (b' '..=b'~').contains(&byte)));
            prop_assert_eq!(printable(&printable(&text)).into_owned(), printable(&text).into_owned());
        }

        #[test]
        fn no_line_is_wider_than_asked(text in "(\\PC|[ 日e\u{301}👩\u{200d}🎤\u{fe0f}#]){0,40}", columns in 1usize..30) {
            prop_assert!(width(&fit(&text, columns)) <= columns);
            for line in wrap(&text, columns) {
                prop_assert!(width(&line) <= columns, "{:?}", line);
                prop_assert!(!line.ends_with(' ') && !line.is_empty());
            }
        }
    }
}
