//! What of a list lies outside of what is in view, and the sign for it.
//!
//! The whole program says it in one form: `↑ 2 more` in the heading or the upper edge, `↓ 3 more` in the lower edge. A pane has no
//! lower edge: there it stands at the right end of the last line in view of a list, and in the heading over what fills all of its
//! lines, as music and paper do.

use crate::workbench::drawing::appearance::Glyphs;

/// What is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Counted {
    /// Lines or entries, which need no word.
    #[default]
    Lines,
    /// Bars of music.
    Bars,
}

/// So much of something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Amount {
    count: usize,
    counted: Counted,
}

impl Amount {
    /// Returns so many lines or entries.
    pub const fn lines(count: usize) -> Self {
        Self { count, counted: Counted::Lines }
    }

    /// Returns so many bars of music.
    pub const fn bars(count: usize) -> Self {
        Self { count, counted: Counted::Bars }
    }

    fn words(self, arrow: &str) -> String {
        match (self.count, self.counted) {
            (0, _) => String::new(),
            (count, Counted::Lines) => format!("{arrow} {count} more"),
            (1, Counted::Bars) => format!("{arrow} 1 more bar"),
            (count, Counted::Bars) => format!("{arrow} {count} more bars"),
        }
    }
}

/// How much lies above and below what is in view.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Unseen {
    above: Amount,
    below: Amount,
}

impl Unseen {
    /// Everything is in view.
    pub const NOTHING: Self = Self { above: Amount::lines(0), below: Amount::lines(0) };

    /// Returns what is not seen of a list of `count` lines, of which `room` are in view from line `first` on.
    pub const fn of(first: usize, room: usize, count: usize) -> Self {
        let above = if first < count { first } else { count };
        Self { above: Amount::lines(above), below: Amount::lines(count.saturating_sub(first.saturating_add(room))) }
    }

    /// Returns so much above and below.
    pub const fn beside(above: Amount, below: Amount) -> Self {
        Self { above, below }
    }

    /// Returns whether anything lies below.
    pub const fn goes_on(self) -> bool {
        self.below.count > 0
    }

    /// Returns the sign at the upper end, `↑ 2 more`; an empty text where nothing lies above.
    pub fn above(self, glyphs: Glyphs) -> String {
        self.above.words(glyphs.up)
    }

    /// Returns the sign at the lower end, `↓ 3 more`; an empty text where nothing lies below.
    pub fn below(self, glyphs: Glyphs) -> String {
        self.below.words(glyphs.down)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::charset::Charset;
    use crate::workbench::drawing::appearance::{Appearance, Colours};

    #[test]
    fn what_is_in_view_and_what_is_not_make_the_whole_list() {
        for count in 0..8 {
            for room in 0..8 {
                for first in 0..count + 2 {
                    let Unseen { above, below } = Unseen::of(first, room, count);
                    let seen = (first..first + room).filter(|line| *line < count).count();
                    assert_eq!(above.count + seen + below.count, count, "{first} {room} {count}");
                }
            }
        }
    }

    #[test]
    fn the_sign_says_which_way_and_how_many() {
        let plain = Appearance { charset: Charset::Ascii, colours: Colours::None }.glyphs();
        let glyphs = Appearance::default().glyphs();
        assert_eq!(Unseen::of(2, 5, 10).above(glyphs), "↑ 2 more");
        assert_eq!(Unseen::of(2, 5, 10).below(plain), "v 3 more");
        let bars = Unseen::beside(Amount::bars(1), Amount::bars(4));
        assert_eq!((bars.above(plain), bars.below(glyphs)), ("^ 1 more bar".to_owned(), "↓ 4 more bars".to_owned()));
        assert_eq!((Unseen::NOTHING.above(glyphs), Unseen::NOTHING.below(glyphs)), (String::new(), String::new()));
    }
}
