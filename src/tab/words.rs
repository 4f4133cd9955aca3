//! Words from a lesson, made fit to stand in one line of tab.

use crate::text::charset::Charset;
use crate::text::safe::clean;
pub(in crate::tab) use crate::text::width::{signs, split_at_width, width};

/// Returns `text` cleaned, in one line, runs of spaces as one. `None` when nothing is left.
pub(in crate::tab) fn line(text: &str, charset: Charset) -> Option<String> {
    let clean = clean(text, charset);
    let mut line = String::with_capacity(clean.len());
    for word in clean.split_whitespace() {
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    (!line.is_empty()).then_some(line)
}
