//! What of a list lies outside of what is in view, and the sign for it.
//!
//! The whole program says it in one form, with the word for what is counted where it is no entry of a list: `↑ 2 more` in the heading or the upper edge, `↓ 3 more` in the lower edge. A pane has no
//! lower edge: there it stands at the right end of the last line in view of a list, and in the heading over what fills all of its
//! lines, as music and paper do.

use crate::workbench::drawing::appearance::Glyphs;

/// What is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Counted {
    /// Entries of a list, or lines of a text, which need no word.
    #[default]
    Entries,
    /// Lines of a system of tab.
    Lines,
    /// Bars of music.
    Bars,
    /// Signs that are explained under the music.
    Signs,
}

/// So much of something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Amount {
    count: usize,
    counted: Counted,
}

impl Amount {
    /// Returns so many entries of a list, or lines of a text.
    pub const fn entries(count: usize) -> Self {
        Self { count, counted: Counted::Entries }
    }

    /// Returns so much of something.
    pub const fn of(count: usize, counted: Counted) -> Self {
        Self { count, counted }
    }

    fn words(self, arrow: &str) -> String {
        let one = match self.counted {
            Counted::Entries => "",
            Counted::Lines => " line",
            Counted::Bars => " bar",
            Counted::Signs => " sign",
        };
        match self.count {
            0 => String::new(),
            count if count == 1 || one.is_empty() => format!("{arrow} {count} more{one}"),
            count => format!("{arrow} {count} more{one}s"),
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
    pub const NOTHING: Self = Self { above: Amount::entries(0), below: Amount::entries(0) };

    /// Returns what is not seen of a list of `count` lines, of which `room` are in view from line `first` on.
    pub const fn of(first: usize, room: usize, count: usize) -> Self {
        let above = if first < count { first } else { count };
        Self { above: Amount::entries(above), below: Amount::entries(count.saturating_sub(first.saturating_add(room))) }
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
        let bars = Unseen::beside(Amount::of(1, Counted::Bars), Amount::of(4, Counted::Bars));
        assert_eq!((bars.above(plain), bars.below(glyphs)), ("^ 1 more bar".to_owned(), "↓ 4 more bars".to_owned()));
        let rest = Unseen::beside(Amount::of(1, Counted::Lines), Amount::of(10, Counted::Signs));
        assert_eq!((rest.above(plain), rest.below(glyphs)), ("^ 1 more line".to_owned(), "↓ 10 more signs".to_owned()));
        assert_eq!((Unseen::NOTHING.above(glyphs), Unseen::NOTHING.below(glyphs)), (String::new(), String::new()));
    }
}
