//! The bytes of a terminal, put together to keys, mouse reports and pasted text, however they arrive: a byte at a time or
//! many at once. Nothing here reads a terminal or a clock.
//!
//! Source of the sequences: xterm control sequences (invisible-island.net/xterm/ctlseqs), "PC-Style Function Keys", "Mouse
//! Tracking" and "Bracketed Paste Mode"; ECMA-48, 5th edition, 5.4, for what a sequence is.
//!
//! Only a lone Esc is ambiguous: it is a key, or the first byte of another. Whoever reads waits a moment and then says that
//! nothing followed ([`KeyBytes::nothing_followed`]). A sequence that has begun beyond its Esc is waited for without end, and one
//! that means nothing here is swallowed whole: no byte of it is ever taken for a key.

use crossterm::event::{Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers, MouseButton, MouseEvent, MouseEventKind};

const ESC: u8 = 0x1b;
/// What ends a pasted text.
const PASTE_END: &[u8] = b"\x1b[201~";
/// The most bytes of a sequence that are kept; no sequence that means something is as long.
const LONGEST: usize = 64;

/// What was read of something that is not complete yet.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
enum Begun {
    /// No bytes are waited for.
    #[default]
    Nothing,
    /// Esc, or the first byte of another key.
    Esc,
    /// `ESC O`, which one byte completes.
    Single,
    /// `ESC [`, and the parameters so far.
    Sequence(Vec<u8>),
    /// `ESC [ [`, which one byte completes: a function key of the Linux console.
    Console,
    /// `ESC [ M`, and of the three bytes of the mouse report those so far.
    Mouse(Vec<u8>),
    /// The first bytes of a character, and whether Alt is held.
    Character(Vec<u8>, KeyModifiers),
    /// The beginning of a pasted text.
    Paste(Vec<u8>),
}

/// The bytes of a terminal, on their way to be keys.
#[derive(Debug, Default)]
pub(super) struct KeyBytes {
    begun: Begun,
}

impl KeyBytes {
    /// Takes bytes in and returns what is complete by now, in order.
    pub(super) fn take(&mut self, bytes: &[u8]) -> Vec<Event> {
        let mut events = Vec::new();
        for byte in bytes {
            self.take_byte(*byte, &mut events);
        }
        events
    }

    /// Returns whether an Esc waits for what may follow it.
    pub(super) fn holds_esc(&self) -> bool {
        self.begun == Begun::Esc
    }

    /// Returns the Esc that has waited, now that nothing has followed it.
    pub(super) fn nothing_followed(&mut self) -> Option<Event> {
        if self.holds_esc() {
            self.begun = Begun::Nothing;
            return Some(key(KeyCode::Esc, KeyModifiers::NONE));
        }
        None
    }

    fn take_byte(&mut self, byte: u8, events: &mut Vec<Event>) {
        self.begun = match std::mem::take(&mut self.begun) {
            Begun::Nothing => begin(byte, KeyModifiers::NONE, events),
            Begun::Esc => match byte {
                b'[' => Begun::Sequence(Vec::new()),
                b'O' => Begun::Single,
                ESC => {
                    events.push(key(KeyCode::Esc, KeyModifiers::NONE));
                    Begun::Esc
                }
                _ => begin(byte, KeyModifiers::ALT, events),
            },
            // What is cut off by a control character, above all by another Esc, means nothing.
            Begun::Single | Begun::Sequence(_) | Begun::Console if byte < b' ' => {
                begin(byte, KeyModifiers::NONE, events)
            }
            Begun::Single => {
                events.extend(letter_key(byte).map(|code| key(code, KeyModifiers::NONE)));
                Begun::Nothing
            }
            Begun::Console => {
                events.extend(matches!(byte, b'A'..=b'E').then(|| key(KeyCode::F(byte - b'@'), KeyModifiers::NONE)));
                Begun::Nothing
            }
            Begun::Sequence(parameters) => go_on_in_sequence(parameters, byte, events),
            Begun::Mouse(mut report) => {
                report.push(byte);
                if let [buttons, column, line] = report[..] {
                    let (buttons, place) = (buttons.checked_sub(32), |side: u8| u16::from(side.saturating_sub(32)));
                    events.extend(buttons.and_then(|buttons| mouse(buttons, place(column), place(line))));
                    Begun::Nothing
                } else {
                    Begun::Mouse(report)
                }
            }
            Begun::Character(bytes, held) => go_on_in_character(bytes, held, byte, events),
            Begun::Paste(mut text) => {
                text.push(byte);
                match text.strip_suffix(PASTE_END) {
                    Some(whole) => {
                        events.push(Event::Paste(String::from_utf8_lossy(whole).into_owned()));
                        Begun::Nothing
                    }
                    None => Begun::Paste(text),
                }
            }
        };
    }
}

/// Takes the first byte of something.
fn begin(byte: u8, held: KeyModifiers, events: &mut Vec<Event>) -> Begun {
    let control = |letter: u8| (KeyCode::Char(char::from(letter)), held | KeyModifiers::CONTROL);
    let (code, held) = match byte {
        ESC => return Begun::Esc,
        b'\r' => (KeyCode::Enter, held),
        b'\t' => (KeyCode::Tab, held),
        0x7f => (KeyCode::Backspace, held),
        0 => control(b' '),
        0x01..=0x1a => control(byte - 0x01 + b'a'),
        0x1c..=0x1f => control(byte - 0x1c + b'4'),
        b' '..=b'~' => (KeyCode::Char(char::from(byte)), shifted(char::from(byte), held)),
        0xc2..=0xf4 => return Begun::Character(vec![byte], held),
        // No character begins so.
        0x80..=0xc1 | 0xf5..=0xff => return Begun::Nothing,
    };
    events.push(key(code, held));
    Begun::Nothing
}

fn go_on_in_character(mut bytes: Vec<u8>, held: KeyModifiers, byte: u8, events: &mut Vec<Event>) -> Begun {
    if !(0x80..=0xbf).contains(&byte) {
        // It is cut off, and this byte begins something else.
        return begin(byte, KeyModifiers::NONE, events);
    }
    bytes.push(byte);
    match std::str::from_utf8(&bytes) {
        Ok(text) => {
            events.extend(text.chars().map(|letter| key(KeyCode::Char(letter), shifted(letter, held))));
            Begun::Nothing
        }
        // No error length means that only more bytes are missing.
        Err(error) if error.error_len().is_none() => Begun::Character(bytes, held),
        Err(_) => Begun::Nothing,
    }
}

fn go_on_in_sequence(mut parameters: Vec<u8>, byte: u8, events: &mut Vec<Event>) -> Begun {
    match byte {
        b'[' if parameters.is_empty() => return Begun::Console,
        b'M' if parameters.is_empty() => return Begun::Mouse(Vec::new()),
        b'~' if parameters == b"200" => return Begun::Paste(Vec::new()),
        b' '..=b'?' => {
            if parameters.len() < LONGEST {
                parameters.push(byte);
            }
            return Begun::Sequence(parameters);
        }
        b'@'..=b'~' => events.extend(std::str::from_utf8(&parameters).ok().and_then(|text| whole(text, byte))),
        // No sequence holds such a byte.
        _ => {}
    }
    Begun::Nothing
}

/// Returns what a sequence means that begins with `ESC [`; `None` where it means nothing here.
fn whole(parameters: &str, last: u8) -> Option<Event> {
    if let Some(report) = parameters.strip_prefix('<') {
        return sgr_mouse(report, last);
    }
    let mut numbers = parameters.split(';');
    let first = numbers.next().unwrap_or_default();
    let second = numbers.next();
    let code = match last {
        b'M' => return console_mouse(parameters),
        b'I' if parameters.is_empty() => return Some(Event::FocusGained),
        b'O' if parameters.is_empty() => return Some(Event::FocusLost),
        b'Z' => return Some(key(KeyCode::BackTab, KeyModifiers::SHIFT)),
        b'~' => numbered_key(first.parse().ok()?)?,
        b'u' => {
            let letter = char::from_u32(first.split(':').next()?.parse().ok()?)?;
            match letter {
                '\u{1b}' => KeyCode::Esc,
                '\r' => KeyCode::Enter,
                '\t' => KeyCode::Tab,
                '\u{7f}' => KeyCode::Backspace,
                letter => KeyCode::Char(letter),
            }
        }
        // A report of where the cursor stands ends like F3, with a line in place of the 1.
        b'R' if first != "1" => return None,
        letter => letter_key(letter)?,
    };
    let held = match (last, second) {
        (_, Some(held)) => held,
        // A single number before a letter says what is held.
        (b'~' | b'u', None) => "",
        (_, None) => first,
    };
    let mut held = held.split(':');
    let mask: u8 = held.next().filter(|mask| !mask.is_empty()).map_or(Some(1), |mask| mask.parse().ok())?;
    let kind = match held.next() {
        Some("2") => KeyEventKind::Repeat,
        Some("3") => KeyEventKind::Release,
        Some(_) | None => KeyEventKind::Press,
    };
    let code =
        if code == KeyCode::Tab && modifiers(mask).contains(KeyModifiers::SHIFT) { KeyCode::BackTab } else { code };
    Some(Event::Key(KeyEvent::new_with_kind(code, modifiers(mask), kind)))
}

/// Returns what is held by the number that a sequence gives: 1 and a bit each for Shift, Alt and Ctrl. Others name no key
/// here.
fn modifiers(mask: u8) -> KeyModifiers {
    let bits = mask.saturating_sub(1);
    let bit = |bit: u8, held| if bits & bit == 0 { KeyModifiers::NONE } else { held };
    bit(1, KeyModifiers::SHIFT)
        | bit(2, KeyModifiers::ALT)
        | bit(4, KeyModifiers::CONTROL)
        | bit(8, KeyModifiers::SUPER)
}

/// Returns the key whose sequence ends with this letter.
fn letter_key(letter: u8) -> Option<KeyCode> {
    Some(match letter {
        b'A' => KeyCode::Up,
        b'B' => KeyCode::Down,
        b'C' => KeyCode::Right,
        b'D' => KeyCode::Left,
        b'F' => KeyCode::End,
        b'H' => KeyCode::Home,
        b'P'..=b'S' => KeyCode::F(letter - b'P' + 1),
        _ => return None,
    })
}

/// Returns the key whose sequence ends with `~` after this number.
fn numbered_key(number: u8) -> Option<KeyCode> {
    Some(match number {
        1 | 7 => KeyCode::Home,
        2 => KeyCode::Insert,
        3 => KeyCode::Delete,
        4 | 8 => KeyCode::End,
        5 => KeyCode::PageUp,
        6 => KeyCode::PageDown,
        11..=15 => KeyCode::F(number - 10),
        17..=21 => KeyCode::F(number - 11),
        23..=26 => KeyCode::F(number - 12),
        28..=29 => KeyCode::F(number - 15),
        31..=34 => KeyCode::F(number - 17),
        _ => return None,
    })
}

/// Returns the mouse report `ESC [ < buttons ; column ; line M`, or `m` where a button is let go.
fn sgr_mouse(report: &str, last: u8) -> Option<Event> {
    let [buttons, column, line] = three(report)?;
    let event = mouse(u8::try_from(buttons).ok()?, column, line)?;
    match (last, event) {
        (b'M', event) => Some(event),
        (b'm', Event::Mouse(MouseEvent { kind: MouseEventKind::Down(button), column, row, modifiers })) => {
            Some(Event::Mouse(MouseEvent { kind: MouseEventKind::Up(button), column, row, modifiers }))
        }
        (b'm', event) => Some(event),
        (_, _) => None,
    }
}

/// Returns the mouse report `ESC [ buttons ; column ; line M`, whose buttons count from 32.
fn console_mouse(report: &str) -> Option<Event> {
    let [buttons, column, line] = three(report)?;
    mouse(u8::try_from(buttons).ok()?.checked_sub(32)?, column, line)
}

fn three(report: &str) -> Option<[u16; 3]> {
    let numbers: Option<Vec<u16>> = report.split(';').map(|number| number.parse().ok()).collect();
    numbers?.try_into().ok()
}

/// Returns a mouse report; columns and lines count from 1. A place left of or above the screen is none.
fn mouse(buttons: u8, column: u16, line: u16) -> Option<Event> {
    let moves = buttons & 0b10_0000 != 0;
    let button = match (buttons & 0b11) | ((buttons & 0b1100_0000) >> 4) {
        0 => Some(MouseButton::Left),
        1 => Some(MouseButton::Middle),
        2 => Some(MouseButton::Right),
        3 if moves => return None,
        3 => return at(MouseEventKind::Up(MouseButton::Left), buttons, column, line),
        4 if !moves => return at(MouseEventKind::ScrollUp, buttons, column, line),
        5 if !moves => return at(MouseEventKind::ScrollDown, buttons, column, line),
        _ => None,
    }?;
    let kind = if moves { MouseEventKind::Drag(button) } else { MouseEventKind::Down(button) };
    at(kind, buttons, column, line)
}

fn at(kind: MouseEventKind, buttons: u8, column: u16, line: u16) -> Option<Event> {
    let modifiers = modifiers(1 + ((buttons & 0b1_1100) >> 2));
    Some(Event::Mouse(MouseEvent { kind, column: column.checked_sub(1)?, row: line.checked_sub(1)?, modifiers }))
}

fn key(code: KeyCode, held: KeyModifiers) -> Event {
    Event::Key(KeyEvent::new(code, held))
}

fn shifted(letter: char, held: KeyModifiers) -> KeyModifiers {
    if letter.is_uppercase() { held | KeyModifiers::SHIFT } else { held }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::workbench::keys::keystroke::Keystroke;

    /// What was read, in the words of the key table.
    fn words(events: &[Event]) -> Vec<String> {
        let word = |event: &Event| match event {
            Event::Key(key) => Keystroke::from_event(*key).map_or_else(|| "no key".to_owned(), |key| key.to_string()),
            Event::Mouse(MouseEvent { kind, column, row, .. }) => format!("{kind:?} {column} {row}"),
            Event::Paste(text) => format!("paste {text}"),
            other => format!("{other:?}"),
        };
        events.iter().map(word).collect()
    }

    /// Every sequence that the program understands, by xterm's control sequences and, where marked, by those of other
    /// terminals, with what it says.
    const SEQUENCES: [(&str, &str); 61] = [
        ("\x1b[A", "Up"),
        ("\x1b[B", "Down"),
        ("\x1b[C", "Right"),
        ("\x1b[D", "Left"),
        ("\x1b[H", "Home"),
        ("\x1b[F", "End"),
        ("\x1bOA", "Up"),
        ("\x1bOB", "Down"),
        ("\x1bOC", "Right"),
        ("\x1bOD", "Left"),
        ("\x1bOH", "Home"),
        ("\x1bOF", "End"),
        ("\x1bOP", "F1"),
        ("\x1bOQ", "F2"),
        ("\x1bOR", "F3"),
        ("\x1bOS", "F4"),
        ("\x1b[P", "F1"),
        ("\x1b[1;2P", "Shift+F1"),
        ("\x1b[1;5R", "Ctrl+F3"),
        ("\x1b[11~", "F1"),
        ("\x1b[14~", "F4"),
        ("\x1b[15~", "F5"),
        ("\x1b[17~", "F6"),
        ("\x1b[18~", "F7"),
        ("\x1b[19~", "F8"),
        ("\x1b[20~", "F9"),
        ("\x1b[21~", "F10"),
        ("\x1b[23~", "F11"),
        ("\x1b[24~", "F12"),
        ("\x1b[24;5~", "Ctrl+F12"),
        // The Linux console: console_codes(4).
        ("\x1b[[A", "F1"),
        ("\x1b[[E", "F5"),
        ("\x1b[1~", "Home"),
        ("\x1b[2~", "Insert"),
        ("\x1b[3~", "Delete"),
        ("\x1b[4~", "End"),
        ("\x1b[5~", "PageUp"),
        ("\x1b[6~", "PageDown"),
        ("\x1b[3;5~", "Ctrl+Delete"),
        ("\x1b[1;2A", "Shift+Up"),
        ("\x1b[1;3B", "Alt+Down"),
        ("\x1b[1;5D", "Ctrl+Left"),
        ("\x1b[1;6C", "Ctrl+Shift+Right"),
        ("\x1b[1;2H", "Shift+Home"),
        ("\x1b[Z", "Shift+Tab"),
        ("\x1b[97;5u", "Ctrl+A"),
        ("\x1b[27u", "Esc"),
        ("\x1bx", "Alt+x"),
        ("\x1b\x7f", "Alt+Backspace"),
        ("\x1bé", "Alt+é"),
        ("\x1b[<0;7;3M", "Down(Left) 6 2"),
        ("\x1b[<0;7;3m", "Up(Left) 6 2"),
        ("\x1b[<32;7;3M", "Drag(Left) 6 2"),
        ("\x1b[<64;120;40M", "ScrollUp 119 39"),
        ("\x1b[<65;1;1M", "ScrollDown 0 0"),
        ("\x1b[32;7;3M", "Down(Left) 6 2"),
        ("\x1b[M #\"", "Down(Left) 2 1"),
        ("\x1b[200~e|--3--|\r[D \x1b[A 日\x1b[201~", "paste e|--3--|\r[D \x1b[A 日"),
        ("\x1b[200~\x1b[201~", "paste "),
        ("é", "é"),
        ("日", "日"),
    ];

    #[test]
    fn every_sequence_says_the_same_wherever_its_bytes_are_split() {
        for (sequence, said) in SEQUENCES {
            let bytes = sequence.as_bytes();
            for cut in 0..=bytes.len() {
                let mut keys = KeyBytes::default();
                let events = [keys.take(&bytes[..cut]), keys.take(&bytes[cut..])].concat();
                assert_eq!(words(&events), [said], "{sequence:?} split after {cut} bytes");
                assert_eq!(keys.begun, Begun::Nothing, "{sequence:?}");
            }
        }
    }

    #[test]
    fn a_lone_esc_is_a_key_once_nothing_has_followed_it() {
        let mut keys = KeyBytes::default();
        assert_eq!(keys.take(b"\x1b"), []);
        assert!(keys.holds_esc());
        assert_eq!(words(&Vec::from_iter(keys.nothing_followed())), ["Esc"]);
        assert!(!keys.holds_esc());
        assert_eq!(keys.nothing_followed(), None);
        assert_eq!(words(&keys.take(b"D")), ["D"]);
        // Of two, the first is known to be one; so is one before an arrow.
        assert_eq!(words(&keys.take(b"\x1b\x1b")), ["Esc"]);
        assert_eq!(words(&keys.take(b"[D")), ["Left"]);
    }

    #[test]
    fn a_sequence_that_means_nothing_is_swallowed_whole() {
        let nothing = [
            "\x1b[?62;4c",
            "\x1b[99~",
            "\x1b[256~",
            "\x1b[12;40R",
            "\x1b[;;;X",
            "\x1bOz",
            "\x1b[[z",
            "\x1b[<0;0;0M",
            "\x1b[<0;1M",
            "\x1b[<35;7;3M",
            "\x1b[>1u",
            "\x1b[201~",
            "\x1b[ q",
            "\x1b[<999;1;1M",
        ];
        for sequence in nothing {
            let mut keys = KeyBytes::default();
            let read: Vec<Event> = sequence.bytes().flat_map(|byte| keys.take(&[byte])).collect();
            assert_eq!(words(&read), [""; 0], "{sequence:?}");
            assert_eq!(words(&keys.take(b"q")), ["q"], "{sequence:?}");
        }
        // One without end is no key either, and what cuts it off is read.
        let mut keys = KeyBytes::default();
        assert_eq!(words(&keys.take(format!("\x1b[{}", "1;".repeat(10_000)).as_bytes())), [""; 0]);
        assert_eq!(words(&keys.take(b"\x1b[D")), ["Left"]);
        // A character cut off, and bytes that are none.
        assert_eq!(words(&keys.take(b"\xe6\x97a\xff\xc0b")), ["a", "b"]);
    }

    #[test]
    fn the_control_characters_are_the_keys_that_send_them() {
        let read = words(&KeyBytes::default().take(b"\r\t\x7f\x00\x01\x13\x1a\x1c\n A~"));
        let keys = [
            "Enter",
            "Tab",
            "Backspace",
            "Ctrl+Space",
            "Ctrl+A",
            "Ctrl+S",
            "Ctrl+Z",
            "Ctrl+4",
            "Ctrl+J",
            "Space",
            "A",
            "~",
        ];
        assert_eq!(read, keys);
    }

    proptest! {
        #[test]
        fn bytes_mean_the_same_however_they_arrive(
            parts in prop::collection::vec(prop_oneof![
                prop::sample::select(&SEQUENCES[..]).prop_map(|(sequence, _)| sequence.as_bytes().to_vec()),
                prop::collection::vec(any::<u8>(), 0..6),
            ], 0..8),
            cuts in prop::collection::vec(any::<prop::sample::Index>(), 0..5),
        ) {
            let bytes = parts.concat();
            let mut cuts: Vec<usize> = cuts.iter().map(|cut| cut.index(bytes.len() + 1)).collect();
            cuts.extend([0, bytes.len()]);
            cuts.sort_unstable();
            let mut keys = KeyBytes::default();
            let read: Vec<Event> = cuts.windows(2).flat_map(|pair| keys.take(&bytes[pair[0]..pair[1]])).collect();
            prop_assert_eq!(read, KeyBytes::default().take(&bytes));
        }
    }
}
