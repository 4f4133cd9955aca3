//! The names at the left end of the strings.

use crate::instrument::neck::StringNumber;
use crate::instrument::tuning::Tuning;
use crate::text::charset::Charset;
use crate::text::fit::pad;
use crate::text::width::width;

/// The widest label that is drawn.
const WIDEST: usize = 4;

/// Returns the label of each string, highest string number first, in ASCII: `E A D G B e`.
///
/// String 1 is written small wherever two strings have the same name, in drop D as in standard (common practice, no
/// published source).
pub fn string_labels(tuning: &Tuning) -> Vec<String> {
    let mut labels: Vec<String> = tuning.strings().iter().map(|pitch| pitch.name().to_string()).collect();
    let is_twice = |(place, label): (usize, &String)| labels.iter().skip(place + 1).any(|other| other == label);
    if labels.iter().enumerate().any(is_twice)
        && let Some(top) = labels.last_mut()
    {
        top.replace_range(..1, &top.chars().take(1).collect::<String>().to_ascii_lowercase());
    }
    labels
}

/// Returns the labels as drawn, string 1 first, for `strings` strings; all have the same width.
pub(super) fn drawn(labels: &[String], strings: usize, charset: Charset) -> Vec<String> {
    let names: Vec<String> = (1..=strings)
        .map(|number| {
            let label = u8::try_from(number)
                .ok()
                .and_then(StringNumber::new)
                .and_then(|string| labels.get(string.index(labels.len())?));
            label.map_or_else(|| "?".to_owned(), |label| drawn_label(label, charset))
        })
        .collect();
    let widest = names.iter().map(|name| width(name)).max().unwrap_or(1);
    names.into_iter().map(|name| pad(&name, widest)).collect()
}

/// Returns a label as it is drawn wherever strings are shown: letters and digits, with the accidentals of `charset`.
pub fn drawn_label(label: &str, charset: Charset) -> String {
    let mut name = String::new();
    let mut used = 0;
    for (place, sign) in label.chars().enumerate() {
        let sign = match (sign, charset) {
            ('b', Charset::Utf8) if place > 0 => '♭',
            ('#', Charset::Utf8) if place > 0 => '♯',
            ('♭', Charset::Ascii) => 'b',
            ('♯', Charset::Ascii) => '#',
            (sign, _) => sign,
        };
        let kept = sign.is_ascii_alphanumeric() || (place > 0 && matches!(sign, '#' | '♭' | '♯' | '\''));
        used += width(sign.encode_utf8(&mut [0; 4]));
        if kept && used <= WIDEST {
            name.push(sign);
        }
    }
    if name.chars().next().is_some_and(|first| first.is_ascii_alphanumeric()) { name } else { "?".to_owned() }
}
