//! How far a list is scrolled.

/// The first line in view.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Scroll(usize);

impl Scroll {
    /// Returns the first line in view, counted from 0.
    pub const fn first(self) -> usize {
        self.0
    }

    /// Scrolls as little as needed to bring `line` into view in `height` lines, leaving no empty
    /// lines at the end of a list of `count`.
    pub fn show(&mut self, line: usize, count: usize, height: usize) {
        if height > 0 {
            self.0 = self.0.min(count.saturating_sub(height)).min(line).max((line + 1).saturating_sub(height));
        }
    }

    /// Scrolls to `line`, but not past the last screenful of `count` lines.
    pub fn to(&mut self, line: usize, count: usize, height: usize) {
        self.0 = line.min(count.saturating_sub(height));
    }
}
