//! Text for the clipboard of the terminal, by the control sequence OSC 52.

/// The longest text that is handed over, in bytes. Terminals differ in how much they take; about
/// 74,000 signs in base64 are taken by most. From memory, no published source.
pub const LARGEST: usize = 54_000;

/// Returns the sequence that puts `text` on the clipboard of a terminal that allows it.
///
/// Source: xterm control sequences, "Operating System Commands", `Ps = 5 2`, selection `c`.
pub fn osc52(text: &str) -> String {
    format!("\u{1b}]52;c;{}\u{7}", base64(text.as_bytes()))
}

/// The alphabet of RFC 4648, section 4.
const SIGNS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

fn base64(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for group in bytes.chunks(3) {
        let bits = group.iter().fold(0u32, |bits, byte| bits << 8 | u32::from(*byte)) << (8 * (3 - group.len()));
        for sign in 0..4 {
            let index = (bits >> (18 - 6 * sign) & 63) as usize;
            let letter = SIGNS.get(index).copied().unwrap_or(b'=');
            text.push(if sign <= group.len() { char::from(letter) } else { '=' });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base64_gives_the_published_examples() {
        // RFC 4648, section 10.
        for (text, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(text.as_bytes()), coded);
        }
    }

    #[test]
    fn the_sequence_names_the_clipboard_and_ends() {
        assert_eq!(osc52("foobar"), "\u{1b}]52;c;Zm9vYmFy\u{7}");
    }
}
