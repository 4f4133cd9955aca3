//! What of a list lies outside of what is in view, and the sign for it.
//!
//! The whole program says it in one form, with the word for what is counted: `↑ 2 more bars` in the heading or the upper edge,
//! `↓ 3 more bars` in the lower edge. A pane has no lower edge: there it stands at the right end of the last line in view of a list, and
//! in the heading over what fills all of its lines, as music and paper do, and over a narrow list, whose last line has no room to give away.

use crate::workbench::drawing::appearance::Glyphs;

/// What is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counted {
    /// Lines of a text, of a page, of a system of tab, of the key to it, or of a list whose lines are of several kinds.
    Lines,
    /// Bars of music.
    Bars,
    /// Segments of the video.
    Segments,
    /// Voicings.
    Voicings,
    /// Readings of a shape.
    Readings,
    /// Strings of the neck.
    Strings,
    /// Actions that a search has found.
    Actions,
    /// What can be chosen from a list.
    Choices,
    /// Answers that are offered under a line to type.
    Answers,
    /// Problems of the lesson.
    Problems,
    /// What the program said.
    Messages,
    /// What was guessed of text tab.
    Guesses,
    /// What there is to say of one thing.
    Details,
}

impl Counted {
    /// Returns the word for one of them.
    const fn one(self) -> &'static str {
        match self {
            Self::Lines => "line",
            Self::Bars => "bar",
            Self::Segments => "segment",
            Self::Voicings => "voicing",
            Self::Readings => "reading",
            Self::Strings => "string",
            Self::Actions => "action",
            Self::Choices => "choice",
            Self::Answers => "answer",
            Self::Problems => "problem",
            Self::Messages => "message",
            Self::Guesses => "guess",
            Self::Details => "detail",
        }
    }

    /// Returns the word for several of them.
    const fn several(self) -> &'static str {
        match self {
            Self::Lines => "lines",
            Self::Bars => "bars",
            Self::Segments => "segments",
            Self::Voicings => "voicings",
            Self::Readings => "readings",
            Self::Strings => "strings",
            Self::Actions => "actions",
            Self::Choices => "choices",
            Self::Answers => "answers",
            Self::Problems => "problems",
            Self::Messages => "messages",
            Self::Guesses => "guesses",
            Self::Details => "details",
        }
    }
}

/// Whether the line of tab at an end of the view has all of its strings there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StringsInView {
    /// All of them, or none.
    Whole,
    /// Some of them.
    Cut,
}

/// So much of something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Amount {
    count: usize,
    counted: Counted,
    strings: StringsInView,
}

impl Amount {
    /// Returns so much of something.
    pub const fn of(count: usize, counted: Counted) -> Self {
        Self { count, counted, strings: StringsInView::Whole }
    }

    /// Returns so much tab, at whose end in view a line of tab has these of its strings.
    pub const fn of_tab(count: usize, counted: Counted, strings: StringsInView) -> Self {
        Self { count, counted, strings }
    }

    /// Returns it in words: `3 more bars`.
    pub fn more(self) -> String {
        match self.count {
            1 => format!("1 more {}", self.counted.one()),
            count => format!("{count} more {}", self.counted.several()),
        }
    }

    fn sign(self, arrow: &str) -> String {
        let strings = match self.strings {
            StringsInView::Whole => "",
            StringsInView::Cut => " and strings",
        };
        if self.count == 0 { String::new() } else { format!("{arrow} {}{strings}", self.more()) }
    }
}

/// How much lies above and below what is in view.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unseen {
    above: Amount,
    below: Amount,
}

impl Unseen {
    /// Everything is in view.
    pub const NOTHING: Self = Self { above: Amount::of(0, Counted::Lines), below: Amount::of(0, Counted::Lines) };

    /// Returns what is not seen of a list of `count` things, of which `room` are in view from number `first` on, from 0.
    pub const fn of(counted: Counted, first: usize, room: usize, count: usize) -> Self {
        let above = if first < count { first } else { count };
        let below = count.saturating_sub(first.saturating_add(room));
        Self { above: Amount::of(above, counted), below: Amount::of(below, counted) }
    }

    /// Returns so much above and below.
    pub const fn beside(above: Amount, below: Amount) -> Self {
        Self { above, below }
    }

    /// Returns whether anything lies below.
    pub const fn goes_on(self) -> bool {
        self.below.count > 0
    }

    /// Returns the sign at the upper end, `↑ 2 more bars`; an empty text where nothing lies above.
    pub fn above(self, glyphs: Glyphs) -> String {
        self.above.sign(glyphs.up)
    }

    /// Returns the sign at the lower end, `↓ 3 more bars`; an empty text where nothing lies below.
    pub fn below(self, glyphs: Glyphs) -> String {
        self.below.sign(glyphs.down)
    }

    /// Returns both signs without their word, `↑ 2  ↓ 3 more`, for behind a title that is this word; `None` where it is another.
    pub fn under_title(self, title: &str, glyphs: Glyphs) -> Option<String> {
        let word = self.below.counted.several();
        let above = if self.above.count > 0 { format!("{} {}  ", glyphs.up, self.above.count) } else { String::new() };
        title.eq_ignore_ascii_case(word).then(|| format!("{above}{} {} more", glyphs.down, self.below.count))
    }

    /// Returns both signs in short, `↑ 2  ↓ 3 more bars`, where both count the same.
    pub fn both(self, glyphs: Glyphs) -> String {
        let is_short = self.above.count > 0 && self.below.count > 0 && self.above.counted == self.below.counted;
        if is_short {
            return format!("{} {}  {}", glyphs.up, self.above.count, self.below(glyphs));
        }
        let signs = [self.above(glyphs), self.below(glyphs)];
        signs.into_iter().filter(|sign| !sign.is_empty()).collect::<Vec<String>>().join("  ")
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
                    let Unseen { above, below } = Unseen::of(Counted::Lines, first, room, count);
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
        let segments = |first, room, count| Unseen::of(Counted::Segments, first, room, count);
        assert_eq!(segments(2, 5, 10).above(glyphs), "↑ 2 more segments");
        assert_eq!(segments(2, 5, 8).below(plain), "v 1 more segment");
        assert_eq!(segments(2, 5, 10).both(glyphs), "↑ 2  ↓ 3 more segments");
        assert_eq!(segments(2, 5, 10).under_title("Segments", glyphs), Some("↑ 2  ↓ 3 more".to_owned()));
        assert_eq!(segments(2, 5, 10).under_title("Timeline", glyphs), None);
        assert_eq!(segments(0, 5, 10).both(glyphs), "↓ 5 more segments");
        assert_eq!(segments(5, 5, 10).both(plain), "^ 5 more segments");
        let bars = Unseen::beside(Amount::of(1, Counted::Bars), Amount::of(4, Counted::Bars));
        assert_eq!((bars.above(plain), bars.below(glyphs)), ("^ 1 more bar".to_owned(), "↓ 4 more bars".to_owned()));
        let cut = Amount::of_tab(4, Counted::Bars, StringsInView::Cut);
        assert_eq!(Unseen::beside(cut, cut).below(glyphs), "↓ 4 more bars and strings");
        let rest = Unseen::beside(Amount::of(1, Counted::Lines), Amount::of(10, Counted::Details));
        assert_eq!(
            (rest.above(plain), rest.below(glyphs)),
            ("^ 1 more line".to_owned(), "↓ 10 more details".to_owned())
        );
        assert_eq!((Unseen::NOTHING.above(glyphs), Unseen::NOTHING.below(glyphs)), (String::new(), String::new()));
    }
}
