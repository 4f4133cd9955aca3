//! Text from a lesson made safe to show: control characters seen, never sent; ASCII where asked.

use std::borrow::Cow;
use std::iter::Peekable;
use std::str::Chars;

use super::acting_characters::{Acting, acting};
use super::charset::Charset;
use super::width::signs;

/// Stands for a character that must not reach a terminal or a page and has no picture of its own.
const STAND_IN: char = '\u{FFFD}';
/// Carries a mark that stands on no letter.
const BASE: char = '\u{25CC}';

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

/// Returns `text` in printable ASCII, as one line. Accents are folded, other scripts are written in Latin
/// letters, the accidentals of music become `b` and `#`, and what has no equal becomes `?`.
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
            STAND_IN | BASE => ascii.push('?'),
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

/// Returns whether a character is shown as it is by [`printable`] wherever it stands.
pub const fn shows_as_itself(character: char) -> bool {
    acting(character).is_none()
}

/// Returns `text` as [`clean`] shows it, in one line with single spaces between the words; `None` when
/// nothing is left. A mark that stands on no letter is shown on a dotted circle, as the Unicode Standard shows marks
/// by themselves (chapter 2.11), and as `?` in ASCII.
pub fn one_line(text: &str, charset: Charset) -> Option<String> {
    let based = on_bases(printable(text));
    let clean = clean(&based, charset);
    let mut line = String::with_capacity(clean.len());
    for word in clean.split_whitespace() {
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    (!line.is_empty()).then_some(line)
}

/// Returns `text` with a dotted circle under each mark that stands on no letter, at the beginning of a word. Alone it would
/// show on whatever stands before it, or not at all.
fn on_bases(text: Cow<'_, str>) -> Cow<'_, str> {
    let begins_with_mark = |word: &str| signs(word).next().is_some_and(|(_, width)| width == 0);
    if !text.split_whitespace().any(begins_with_mark) {
        return text;
    }
    let words = text.split(char::is_whitespace);
    let based = words.map(|word| if begins_with_mark(word) { format!("{BASE}{word}") } else { word.to_owned() });
    Cow::Owned(based.collect::<Vec<_>>().join(" "))
}

/// Returns what is shown for one character, which is the character itself where it is harmless.
fn visible(character: char) -> char {
    match acting(character) {
        None => character,
        Some(Acting::Break | Acting::Separator) => ' ',
        Some(Acting::Control) => char::from_u32(0x2400 + u32::from(character)).unwrap_or(STAND_IN),
        Some(Acting::Delete) => '\u{2421}',
        Some(Acting::HighControl | Acting::Turn | Acting::TurnMark | Acting::Joiner | Acting::Tag | Acting::Unseen) => {
            STAND_IN
        }
    }
}

/// Returns whether a joiner stands between two characters of a writing that needs joiners.
fn joins(before: &str, after: &mut Peekable<Chars<'_>>) -> bool {
    let needs_joiners = |character: char| !character.is_ascii() && shows_as_itself(character);
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
    fn a_mark_that_stands_on_no_letter_is_not_lost() {
        for (text, shown, ascii) in [
            ("\u{301}", "◌\u{301}", "?"),
            ("\u{301}\u{302}", "◌\u{301}\u{302}", "?"),
            ("A \u{301}b", "A ◌\u{301}b", "A ?b"),
            ("◌\u{301}", "◌\u{301}", "?"),
            ("e\u{301}", "e\u{301}", "e"),
        ] {
            assert_eq!(one_line(text, Charset::Utf8).as_deref(), Some(shown));
            assert_eq!(one_line(text, Charset::Ascii).as_deref(), Some(ascii));
        }
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

    proptest! {
        #[test]
        fn nothing_that_acts_gets_through(text in any::<String>()) {
            prop_assert!(!printable(&text).chars().any(char::is_control));
            prop_assert!(to_ascii(&text).bytes().all(|byte| (b' '..=b'~').contains(&byte)));
            prop_assert_eq!(printable(&printable(&text)).into_owned(), printable(&text).into_owned());
        }
    }
}
