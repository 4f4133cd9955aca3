//! Text for the clipboard of the terminal, by the control sequence OSC 52. Writing the sequence to the terminal is not
//! done here; the runtime does it.

use crossterm::clipboard::CopyToClipboard;

/// The longest text that is copied, in bytes. Terminals differ in how much they accept; most accept about 74,000
/// characters in base64. From memory; there is no published source.
pub const LARGEST: usize = 54_000;

/// Returns the control sequence that puts `text` on the clipboard of a terminal that allows it.
///
/// Source: xterm control sequences, "Operating System Commands", `Ps = 5 2`, selection `c`.
pub fn copied(text: &str) -> CopyToClipboard<&str> {
    CopyToClipboard::to_clipboard_from(text)
}

#[cfg(test)]
mod tests {
    use crossterm::Command;

    use super::*;

    fn sent(text: &str) -> String {
        let mut sent = String::new();
        copied(text).write_ansi(&mut sent).unwrap();
        sent
    }

    #[test]
    fn the_published_examples_of_base64_go_to_the_clipboard() {
        // RFC 4648, section 10. The sequence ends with the string terminator of ECMA-48.
        for (text, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(sent(text), format!("\u{1b}]52;c;{coded}\u{1b}\\"));
        }
    }
}
