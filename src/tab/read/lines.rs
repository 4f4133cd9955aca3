//! Finds the strings in a text.

use std::ops::Range;

use crate::tab::marks::Mark;
use crate::tab::signs::{FULL_BEND, StretchSign};
use crate::text::fit::fit;
use crate::text::safe::printable;
use crate::text::width;

use super::outcome::ReadError;

/// The longest line that is read.
const LONGEST: usize = 20_000;
/// How much of a line an error shows.
const EXCERPT: usize = 48;

/// A line of the text.
#[derive(Debug)]
pub(super) struct SourceLine {
    /// The number of the line, counted from 1.
    pub(super) number: usize,
    /// The text, tabs expanded, without spaces at its end.
    pub(super) text: String,
    /// What it is as a string, if it looks like one.
    pub(super) string: Option<StringLine>,
}

/// A line that looks like a string.
#[derive(Debug)]
pub(super) struct StringLine {
    /// The number of the line, counted from 1.
    pub(super) number: usize,
    /// The label; empty when there is none.
    pub(super) label: String,
    /// Every column from the left edge, one sign each; the label is blanked.
    pub(super) cells: Vec<char>,
    /// The first column after the label.
    pub(super) from: usize,
    /// What stands behind the string.
    pub(super) trailing: String,
}

impl SourceLine {
    /// Returns whether nothing is on the line.
    pub(super) fn is_blank(&self) -> bool {
        self.text.is_empty()
    }

    /// Returns the start of the line for a message.
    pub(super) fn excerpt(&self) -> String {
        excerpt(&self.text)
    }
}

/// Returns the start of `text`, safe to show.
pub(super) fn excerpt(text: &str) -> String {
    let start: String = text.trim_start().chars().take(EXCERPT * 4).collect();
    fit(&printable(&start), EXCERPT).into_owned()
}

/// Splits `text` into lines and looks at each.
pub(super) fn lines(text: &str) -> Result<Vec<SourceLine>, ReadError> {
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    let mut lines = Vec::new();
    for (index, raw) in text.lines().enumerate() {
        let number = index + 1;
        // A carriage return, a form feed or the old end-of-file sign at the end of a line is no harm.
        let raw = raw.trim_end_matches(['\r', '\u{0C}', '\u{1A}', ' ', '\t']).trim_start_matches('\u{0C}');
        if raw.len() > LONGEST {
            let found = excerpt(raw);
            return Err(ReadError::LineTooLong { line: number, most: LONGEST, length: raw.len(), found });
        }
        if let Some(sign) = raw.chars().find(|sign| sign.is_control() && *sign != '\t') {
            return Err(ReadError::NotText { line: number, character: u32::from(sign), found: excerpt(raw) });
        }
        let text = expand_tabs(raw);
        let string = string_line(&text, number);
        lines.push(SourceLine { number, text, string });
    }
    Ok(lines)
}

/// Replaces tabs by spaces up to the next multiple of eight columns.
fn expand_tabs(raw: &str) -> String {
    if !raw.contains('\t') {
        return raw.to_owned();
    }
    let mut text = String::new();
    let mut column = 0;
    for (sign, width) in width::signs(raw) {
        if sign == "\t" {
            let stop = column / 8 * 8 + 8;
            text.extend(std::iter::repeat_n(' ', stop - column));
            column = stop;
        } else {
            text.push_str(sign);
            column += width;
        }
    }
    text
}

/// Writes the many dashes and bars of many keyboards alike.
fn plain_sign(sign: char) -> char {
    match sign {
        '─' | '━' | '–' | '—' | '−' | '‐' | '‑' | '\u{AD}' => '-',
        '│' | '┃' | '¦' | '├' | '┤' => '|',
        '’' => '\'',
        other => other,
    }
}

/// Returns whether a sign is a bar line.
pub(super) const fn is_bar(sign: char) -> bool {
    matches!(sign, '|' | '║')
}

/// Returns whether a sign says that a bar goes on in the next system.
pub(super) const fn is_goes_on(sign: char) -> bool {
    matches!(sign, '»' | '>')
}

/// Reads a line as a string if it looks like one.
fn string_line(text: &str, number: usize) -> Option<StringLine> {
    let mut cells: Vec<char> = text.chars().map(plain_sign).collect();
    let (label, from) = label(&cells);
    // `LR|` over two narrow columns looks like a string called LR.
    let is_stretch = StretchSign::ALL.iter().any(|stretch| stretch.words().contains(&label.as_str()));
    if is_stretch || label.is_empty() && is_row_over_strings(text) {
        return None;
    }
    let body = cells.get(from..)?;
    let dashes = body.iter().filter(|sign| **sign == '-').count();
    let bar_first = body.first().is_some_and(|sign| is_bar(*sign) || is_goes_on(*sign));
    let mut end = cells.len();
    if let Some(last) = cells.iter().rposition(|sign| *sign == '-' || is_bar(*sign))
        && last >= from
    {
        let behind = cells.get(last + 1..).unwrap_or_default();
        let gap = behind.iter().position(|sign| *sign == ' ');
        let after_bar = cells.get(last).is_some_and(|sign| is_bar(*sign));
        let words = !fit_on_string(behind) || is_times(&behind.iter().collect::<String>());
        if after_bar && words && (dashes > 0 || last > from) {
            end = last + 1;
        } else if let Some(gap) = gap
            && (dashes > 0 || words)
        {
            end = last + 1 + gap;
        }
    }
    let trailing: String = cells.get(end..)?.iter().collect();
    cells.truncate(end);
    let body = cells.get(from..)?;
    if !fit_on_string(body) {
        return None;
    }
    let framed = body.len() >= 4 && bar_first && body.last().is_some_and(|sign| is_bar(*sign));
    let dashed = dashes >= 3 && dashes * 4 >= body.len();
    // `Em | G` begins like a string with a label too.
    let named = bar_first && !label.is_empty() && (trailing.trim().is_empty() || is_times(&trailing));
    if !(dashed || framed || named) {
        return None;
    }
    for cell in cells.iter_mut().take(from) {
        *cell = ' ';
    }
    Some(StringLine { number, label, cells, from, trailing: trailing.trim().to_owned() })
}

/// Returns whether a line without a label begins like a row over the strings: `PM---|`, `1.---|`.
fn is_row_over_strings(text: &str) -> bool {
    let first = text.split_whitespace().next().unwrap_or_default();
    first.starts_with("P.M") || first.starts_with("PM") || !matches!(Mark::read(first), Mark::Chord(_))
}

/// Returns whether `signs` is a mark such as `x2`.
fn is_times(text: &str) -> bool {
    times(text.trim()).is_some()
}

/// Reads `x2`, `(x2)`, `2x`, `x 2`, `play 3 times`, `repeat twice`.
pub(super) fn times(text: &str) -> Option<u8> {
    let trimmed = text.trim_matches(['(', ')', '[', ']', ' ', '.', '!']);
    if trimmed.len() > 24 {
        return None;
    }
    let lower = trimmed.to_lowercase();
    let rest = ["play", "played", "repeat"].iter().find_map(|word| lower.strip_prefix(&format!("{word} ")));
    let inner = rest.unwrap_or(&lower).trim();
    if inner == "twice" || lower == "repeat" {
        return Some(2);
    }
    let number = inner
        .strip_prefix(['x', '×'])
        .or_else(|| inner.strip_suffix(['x', '×']))
        .or_else(|| inner.strip_suffix("times"))?
        .trim();
    let plain = !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit());
    plain.then(|| number.parse().ok()).flatten().filter(|times| *times >= 1)
}

/// Returns the label that a line holds and nothing else.
pub(super) fn bare_label(text: &str) -> Option<String> {
    if text.len() > 16 {
        return None;
    }
    let cells: Vec<char> = text.chars().collect();
    let (label, end) = label(&cells);
    (!label.is_empty() && end >= cells.len()).then_some(label)
}

/// Returns the spaces at the left end of a line.
pub(super) fn margin(text: &str) -> usize {
    text.bytes().take_while(|byte| *byte == b' ').count()
}

/// Returns whether all of `signs` can stand on a string, where letters do that only as the word for a whole bend.
fn fit_on_string(signs: &[char]) -> bool {
    let mut rest = signs;
    let mut before = ' ';
    while let Some((first, after)) = rest.split_first() {
        let word = FULL_BEND.chars().zip(rest).take_while(|(known, sign)| known.eq_ignore_ascii_case(sign)).count();
        rest = match rest.get(FULL_BEND.len()..) {
            Some(behind) if word == FULL_BEND.len() => behind,
            Some(_) | None if fits_on_string(*first) || *first == 'm' && ends_a_note(before) => after,
            Some(_) | None => return false,
        };
        before = *first;
    }
    true
}

/// Returns whether a palm mute can stand behind `sign`: `|Bm|` is a chord name.
fn ends_a_note(sign: char) -> bool {
    sign.is_ascii_digit() || "xX)>]}~!:_+f".contains(sign)
}

/// Returns whether a sign can stand on a string.
fn fits_on_string(sign: char) -> bool {
    sign.is_ascii_digit()
        || is_bar(sign)
        || is_goes_on(sign)
        || "- hpbrstxvdoHPBRSTXVMn/\\~()<[]{}^*:!&+=_.,'".contains(sign)
}

/// Returns the label at the left end and where the string begins.
fn label(cells: &[char]) -> (String, usize) {
    let at = |index: usize| cells.get(index).copied().unwrap_or(' ');
    let skip_spaces = |from: usize| (from..cells.len()).find(|index| at(*index) != ' ').unwrap_or(cells.len());
    let start = skip_spaces(0);
    let named = |sign: char| sign.is_ascii_alphanumeric() || matches!(sign, '#' | '♭' | '♯' | '?');
    let run = (start..cells.len().min(start + 4)).take_while(|index| named(at(*index))).count();
    let text = |end: usize| cells.get(start..end).unwrap_or_default().iter().collect::<String>();
    let bar = skip_spaces(start + run);
    if run > 0 && bar < cells.len() && (is_bar(at(bar)) || is_goes_on(at(bar))) {
        return (text(start + run), bar);
    }
    if !matches!(at(start), 'A'..='G' | 'a'..='g') {
        return (String::new(), start);
    }
    let sharp = matches!(at(start + 1), '#' | '♯' | '♭');
    let flat = at(start + 1) == 'b' && matches!(at(start + 2), '-' | ' ' | ':' | '|');
    let end = start + 1 + usize::from(sharp || flat);
    let text = text(end);
    let end = if at(end) == ':' { end + 1 } else { end };
    let string = skip_spaces(end);
    // A single space belongs to the label; more of them may be the string itself.
    let begins = matches!(at(string), '-' | '=') || is_bar(at(string)) || string == end + 1;
    (text, if begins { string } else { end })
}

/// Finds the systems: runs of string lines one under the other.
pub(super) fn runs(lines: &[SourceLine]) -> Vec<Range<usize>> {
    let mut runs: Vec<Range<usize>> = Vec::new();
    let mut start = None;
    for (index, line) in lines.iter().enumerate() {
        match (start, line.string.is_some()) {
            (None, true) => start = Some(index),
            (Some(from), false) => {
                runs.push(from..index);
                start = None;
            }
            _ => {}
        }
    }
    if let Some(from) = start {
        runs.push(from..lines.len());
    }
    runs
}
