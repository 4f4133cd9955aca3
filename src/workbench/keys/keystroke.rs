//! Keys as a person writes them: `a`, `T`, `Ctrl+S`, `Shift+Up`, `Space`, `0-9`. Which action a key asks for is not
//! here; see [`table`](super::table).

use std::fmt;
use std::str::FromStr;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use serde::{Deserialize, Deserializer};

use crate::text::quote::quoted;
use crate::text::safe::shows_as_itself;

/// The key that is struck, without the keys held down at the same time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Cap {
    /// A character; Shift makes it upper case.
    Char(char),
    /// Any digit. It occurs in tables only.
    AnyDigit,
    /// A function key.
    Function(u8),
    /// The cursor key up.
    Up,
    /// The cursor key down.
    Down,
    /// The cursor key left.
    Left,
    /// The cursor key right.
    Right,
    /// Home.
    Home,
    /// End.
    End,
    /// Page Up.
    PageUp,
    /// Page Down.
    PageDown,
    /// Enter.
    Enter,
    /// Escape.
    Esc,
    /// Tab.
    Tab,
    /// Backspace.
    Backspace,
    /// Delete.
    Delete,
    /// Insert.
    Insert,
}

/// A key together with the keys held down. For characters, Shift is part of the character.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Keystroke {
    /// The key that is struck.
    pub cap: Cap,
    /// Whether Ctrl is held.
    pub ctrl: bool,
    /// Whether Alt is held.
    pub alt: bool,
    /// Whether Shift is held. It is never set for characters.
    pub shift: bool,
}

/// The keys that have names, with those names.
const NAMED: [(Cap, &str); 15] = [
    (Cap::Char(' '), "Space"),
    (Cap::AnyDigit, "0-9"),
    (Cap::Up, "Up"),
    (Cap::Down, "Down"),
    (Cap::Left, "Left"),
    (Cap::Right, "Right"),
    (Cap::Home, "Home"),
    (Cap::End, "End"),
    (Cap::PageUp, "PageUp"),
    (Cap::PageDown, "PageDown"),
    (Cap::Enter, "Enter"),
    (Cap::Esc, "Esc"),
    (Cap::Tab, "Tab"),
    (Cap::Backspace, "Backspace"),
    (Cap::Delete, "Delete"),
];

impl Keystroke {
    /// Returns the key with nothing held down.
    pub const fn plain(cap: Cap) -> Self {
        Self { cap, ctrl: false, alt: false, shift: false }
    }

    /// Returns the key that the terminal reports; `None` for an event that no table can name (lock keys, media keys,
    /// releases).
    pub fn from_event(event: KeyEvent) -> Option<Self> {
        if event.kind == crossterm::event::KeyEventKind::Release {
            return None;
        }
        let mut shift = event.modifiers.contains(KeyModifiers::SHIFT);
        let ctrl = event.modifiers.contains(KeyModifiers::CONTROL);
        let cap = match event.code {
            KeyCode::Char(letter) => {
                let upper = shift && !ctrl && letter.is_ascii_lowercase();
                shift = false;
                let letter = if ctrl { letter.to_ascii_lowercase() } else { letter };
                Cap::Char(if upper { letter.to_ascii_uppercase() } else { letter })
            }
            KeyCode::F(number) => Cap::Function(number),
            KeyCode::Up => Cap::Up,
            KeyCode::Down => Cap::Down,
            KeyCode::Left => Cap::Left,
            KeyCode::Right => Cap::Right,
            KeyCode::Home => Cap::Home,
            KeyCode::End => Cap::End,
            KeyCode::PageUp => Cap::PageUp,
            KeyCode::PageDown => Cap::PageDown,
            KeyCode::Enter => Cap::Enter,
            KeyCode::Esc => Cap::Esc,
            KeyCode::Tab => Cap::Tab,
            KeyCode::BackTab => {
                shift = true;
                Cap::Tab
            }
            KeyCode::Backspace => Cap::Backspace,
            KeyCode::Delete => Cap::Delete,
            KeyCode::Insert => Cap::Insert,
            _ => return None,
        };
        Some(Self { cap, ctrl, alt: event.modifiers.contains(KeyModifiers::ALT), shift })
    }

    /// Returns the character that the key types, if it types one.
    pub fn typed(self) -> Option<char> {
        match self.cap {
            Cap::Char(letter) => Some(letter).filter(|letter| !self.ctrl && !self.alt && !letter.is_control()),
            Cap::AnyDigit
            | Cap::Function(_)
            | Cap::Up
            | Cap::Down
            | Cap::Left
            | Cap::Right
            | Cap::Home
            | Cap::End
            | Cap::PageUp
            | Cap::PageDown
            | Cap::Enter
            | Cap::Esc
            | Cap::Tab
            | Cap::Backspace
            | Cap::Delete
            | Cap::Insert => None,
        }
    }

    /// Returns the digit that the key types, if it types one.
    pub fn digit(self) -> Option<u8> {
        self.typed().and_then(|letter| letter.to_digit(10)).and_then(|digit| u8::try_from(digit).ok())
    }

    /// Returns whether striking `struck` counts as striking this key of a table.
    pub fn answers_to(self, struck: Self) -> bool {
        self == struck || (self == Self::plain(Cap::AnyDigit) && struck.digit().is_some())
    }

    /// Returns whether two keys of a table could mean the same keystroke.
    pub fn clashes_with(self, other: Self) -> bool {
        self.answers_to(other) || other.answers_to(self)
    }
}

impl fmt::Display for Keystroke {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (held, word) in [(self.ctrl, "Ctrl+"), (self.alt, "Alt+"), (self.shift, "Shift+")] {
            if held {
                f.write_str(word)?;
            }
        }
        if let Some((_, name)) = NAMED.iter().find(|(cap, _)| *cap == self.cap) {
            return f.write_str(name);
        }
        match self.cap {
            Cap::Char(letter) if self.ctrl => write!(f, "{}", letter.to_ascii_uppercase()),
            Cap::Char(letter) => write!(f, "{letter}"),
            Cap::Function(number) => write!(f, "F{number}"),
            Cap::Insert => f.write_str("Insert"),
            other => write!(f, "{other:?}"),
        }
    }
}

/// The text that was read names no key.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{}` is not a key: expected one character, or Up, Down, Left, Right, Home, End, PageUp, PageDown, Enter, \
     Esc, Tab, Space, Backspace, Delete, Insert, F1 to F12 or 0-9, with Ctrl+, Alt+ or Shift+ before it, as in `Ctrl+S`",
    quoted(.text)
)]
pub struct KeystrokeError {
    /// The text that was read.
    pub text: String,
}

impl FromStr for Keystroke {
    type Err = KeystrokeError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wrong = || KeystrokeError { text: text.to_owned() };
        let mut key = Self::plain(Cap::Esc);
        let mut rest = text;
        loop {
            let (held, prefix) = if rest.len() > 5 && rest.starts_with("Ctrl+") {
                (&mut key.ctrl, "Ctrl+")
            } else if rest.len() > 4 && rest.starts_with("Alt+") {
                (&mut key.alt, "Alt+")
            } else if rest.len() > 6 && rest.starts_with("Shift+") {
                (&mut key.shift, "Shift+")
            } else {
                break;
            };
            if std::mem::replace(held, true) {
                return Err(wrong());
            }
            rest = rest.strip_prefix(prefix).ok_or_else(wrong)?;
        }
        key.cap = read_cap(rest).ok_or_else(wrong)?;
        if let Cap::Char(letter) = key.cap {
            // A held Shift is part of the character, and Ctrl ignores it.
            if key.shift && !letter.is_ascii_alphabetic() {
                return Err(wrong());
            }
            let upper = key.shift && !key.ctrl;
            let lower = key.ctrl;
            key.shift = false;
            key.cap = Cap::Char(match (upper, lower) {
                (true, _) => letter.to_ascii_uppercase(),
                (_, true) => letter.to_ascii_lowercase(),
                (false, false) => letter,
            });
        }
        Ok(key)
    }
}

fn read_cap(text: &str) -> Option<Cap> {
    if let Some((cap, _)) = NAMED.iter().find(|(_, name)| *name == text) {
        return Some(*cap);
    }
    if text == "Insert" {
        return Some(Cap::Insert);
    }
    if let Some(number) = text.strip_prefix('F').and_then(|number| number.parse().ok()) {
        return (1..=12).contains(&number).then_some(Cap::Function(number));
    }
    let mut letters = text.chars();
    let letter = letters.next().filter(|letter| shows_as_itself(*letter) && !letter.is_whitespace())?;
    letters.next().is_none().then_some(Cap::Char(letter))
}

impl<'de> Deserialize<'de> for Keystroke {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_written_key_prints_as_it_was_written() {
        for text in ["a", "T", "Ctrl+S", "Shift+Up", "Alt+x", "Space", "0-9", "F1", "?", "+", "Ctrl++", "Enter"] {
            assert_eq!(text.parse::<Keystroke>().unwrap().to_string(), text);
        }
    }

    #[test]
    fn text_that_is_no_key_is_refused() {
        for text in ["", "ab", "Ctrl+", "F13", "Ctrl+Ctrl+a", "Hyper+a", "\u{1b}", "Shift+3"] {
            assert!(text.parse::<Keystroke>().is_err(), "{text:?}");
        }
    }

    #[test]
    fn shift_is_part_of_a_letter_and_kept_beside_an_arrow() {
        let event = |code, modifiers| Keystroke::from_event(KeyEvent::new(code, modifiers)).unwrap().to_string();
        assert_eq!(event(KeyCode::Char('T'), KeyModifiers::SHIFT), "T");
        assert_eq!(event(KeyCode::Char('t'), KeyModifiers::SHIFT), "T");
        assert_eq!(event(KeyCode::BackTab, KeyModifiers::SHIFT), "Shift+Tab");
        assert_eq!(event(KeyCode::Up, KeyModifiers::SHIFT), "Shift+Up");
        assert_eq!(event(KeyCode::Char('S'), KeyModifiers::CONTROL), "Ctrl+S");
    }

    #[test]
    fn any_digit_clashes_with_each_digit() {
        let any: Keystroke = "0-9".parse().unwrap();
        assert!(any.clashes_with("7".parse().unwrap()));
        assert!(!any.clashes_with("x".parse().unwrap()));
    }
}
