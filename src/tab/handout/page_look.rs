//! How the lines of a handout are drawn: width, rules, boxes, hanging paragraphs.

use std::borrow::Cow;

use crate::tab::style::TabStyle;
use crate::text::charset::Charset;
use crate::text::fit::{fit, pad};
use crate::text::safe::clean;
use crate::text::width::width;
use crate::text::wrap::{hanging, wrap};

/// The width of a page and the characters it may use.
#[derive(Debug, Clone, Copy)]
pub(super) struct PageLook {
    pub(super) width: usize,
    pub(super) charset: Charset,
}

/// How much a heading weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum HeadingWeight {
    /// A piece, the outline, the closing parts.
    Heavy,
    /// A passage, the chords of a piece.
    Light,
}

impl PageLook {
    pub(super) const fn tab_style(self) -> TabStyle {
        TabStyle::filled(self.width, self.charset)
    }

    /// Returns what comes from the lesson as one safe line in the charset, without outer spaces.
    pub(super) fn text(self, text: &str) -> String {
        clean(text, self.charset).trim().to_owned()
    }

    /// Returns `utf8`, or `ascii` where only that may be used.
    pub(super) const fn sign(self, utf8: &'static str, ascii: &'static str) -> &'static str {
        match self.charset {
            Charset::Utf8 => utf8,
            Charset::Ascii => ascii,
        }
    }

    /// Returns a rule over the whole width.
    pub(super) fn rule(self) -> String {
        self.sign("─", "-").repeat(self.width)
    }

    /// Returns a heading set into a rule, with `aside` at its right end where there is room. A title
    /// that is too long for that stands whole under a bare rule.
    pub(super) fn heading(self, weight: HeadingWeight, title: &str, aside: &str) -> Vec<String> {
        let line = match weight {
            HeadingWeight::Heavy => self.sign("═", "="),
            HeadingWeight::Light => self.sign("─", "-"),
        };
        let lead = line.repeat(2);
        // Two signs and a space at either end of the title, two and a space after it at least.
        let used = 4 + width(title);
        if used + 2 > self.width {
            let mut lines = vec![line.repeat(self.width)];
            lines.extend(self.hanging("   ", title));
            return lines;
        }
        let tail = 4 + width(aside);
        if aside.is_empty() || used + 2 + tail > self.width {
            return vec![format!("{lead} {title} {}", line.repeat(self.width - used))];
        }
        let middle = line.repeat(self.width - used - tail);
        vec![format!("{lead} {title} {middle} {aside} {lead}")]
    }

    /// Returns `left` and `right` at the two ends of a line; `left` is cut where it is too long.
    pub(super) fn ends(self, left: &str, right: &str) -> String {
        let room = self.width.saturating_sub(width(right) + 2);
        let left = fit(left, room);
        let gap = self.width.saturating_sub(width(&left) + width(right));
        format!("{left}{:gap$}{right}", "")
    }

    /// Returns `text` in the middle of the line, on several lines where it is long.
    pub(super) fn centred(self, text: &str) -> Vec<String> {
        let centre = |line: String| format!("{:1$}{line}", "", (self.width.saturating_sub(width(&line))) / 2);
        wrap(text, self.width).into_iter().map(centre).collect()
    }

    /// Returns `text` wrapped behind `label`; further lines are indented to where the text began.
    pub(super) fn hanging(self, label: &str, text: &str) -> Vec<String> {
        let lines = hanging(label, text, self.width);
        if lines.is_empty() { vec![label.trim_end().to_owned()] } else { lines }
    }

    /// Returns `items` behind `label` with two spaces between them. No item is broken, and further lines are
    /// indented to where the first item began.
    pub(super) fn hanging_items(self, label: &str, items: impl Iterator<Item = String>) -> Vec<String> {
        let indent = width(label);
        let mut lines = Vec::new();
        let mut line = label.to_owned();
        let mut used = 0;
        for item in items {
            let item = fit(&item, self.width.saturating_sub(indent)).into_owned();
            if used > 0 && indent + used + 2 + width(&item) > self.width {
                lines.push(std::mem::replace(&mut line, " ".repeat(indent)));
                used = 0;
            }
            if used > 0 {
                line.push_str("  ");
                used += 2;
            }
            used += width(&item);
            line.push_str(&item);
        }
        lines.push(line);
        lines
    }

    /// Returns `lines` in a box of the whole width with `title` in its upper edge. Lines may be as
    /// wide as [`PageLook::inside_box`].
    pub(super) fn boxed(self, title: &str, lines: &[String]) -> Vec<String> {
        let (line, side) = (self.sign("─", "-"), self.sign("│", "|"));
        let title = fit(title, self.width.saturating_sub(6));
        let title = if title.is_empty() { Cow::Borrowed("") } else { Cow::Owned(format!(" {title} ")) };
        let edge = line.repeat(self.width.saturating_sub(3 + width(&title)));
        let mut boxed = vec![format!("{}{line}{title}{edge}{}", self.sign("┌", "+"), self.sign("┐", "+"))];
        let inner = self.inside_box().width;
        for text in lines {
            boxed.push(format!("{side} {} {side}", pad(&fit(text, inner), inner)));
        }
        let edge = line.repeat(self.width.saturating_sub(2));
        boxed.push(format!("{}{edge}{}", self.sign("└", "+"), self.sign("┘", "+")));
        boxed
    }

    /// Returns the look of what stands inside a box.
    pub(super) const fn inside_box(self) -> Self {
        Self { width: self.width.saturating_sub(4), charset: self.charset }
    }
}
