//! How wide the parts of a row of the list are: the same in every row, so that they stand in columns.

use crate::lesson::document::Lesson;
use crate::lesson::time::VideoTime;
use crate::text::fit::pad;
use crate::text::width::width as columns;
use crate::workbench::panes::timeline::row_tuning::RowTuning;

/// The columns of the number of a segment.
const NUMBER: usize = 3;
/// The columns of a time where there is room.
const TIME: usize = 7;
/// The columns of a pane from which on times have room.
const WIDE: usize = 100;
/// The columns of the kind.
pub(super) const KIND: usize = 12;
/// The least room in which it helps to read what there is to know about a segment besides its title.
const LEAST_ABOUT: usize = 14;
/// The columns between two parts.
pub(super) const GAP: usize = 2;
/// The columns between the tuning and what stands behind it.
const BEHIND_TUNING: usize = 3;
/// The columns of the sign that something is left out, with a gap before it.
const MARK: usize = 2;

/// How wide the planned times of a row are, which stand before all else.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct TimeWidths {
    start: usize,
    planned: usize,
}

impl TimeWidths {
    /// Returns the widths in a pane of so many columns: where there is little room, those of the longest times.
    pub(super) fn of(lesson: &Lesson, starts: &[VideoTime], pane: usize) -> Self {
        if pane >= WIDE {
            return Self { start: TIME, planned: TIME };
        }
        let widest = |texts: &mut dyn Iterator<Item = String>| texts.map(|text| columns(&text)).max().unwrap_or(0);
        Self {
            start: widest(&mut starts.iter().map(ToString::to_string)),
            planned: widest(&mut lesson.segments.iter().map(|segment| segment.planned.to_string())),
        }
    }

    /// Returns the columns before what comes next, with the pointer and the mark of what is wrong.
    pub(super) const fn all(self) -> usize {
        2 + NUMBER + 1 + self.start + 1 + self.planned + GAP
    }

    /// Returns the number of a segment, when it starts and how long it is planned.
    pub(super) fn text(self, number: usize, start: VideoTime, planned: &str) -> String {
        format!("{number:>NUMBER$} {:>1$} {planned:>2$}", start.to_string(), self.start, self.planned)
    }
}

/// What a row says of its segment, from the title on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct RowWords<'a> {
    pub(super) title: &'a str,
    pub(super) tuning: RowTuning<'a>,
    /// What is wrong with the selected segment.
    pub(super) flaw: Option<String>,
    /// What else there is to know.
    pub(super) about: String,
}

/// What becomes of a title that is longer than its column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum LongTitle {
    /// It is cut.
    Cut,
    /// It has the room of what stands beside it, of which a sign is left where it does not fit, unless the strings are retuned: that matters more.
    GoesOn,
}

/// How wide title and tuning are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct RowWidths {
    /// The columns from the title to the end of the row.
    all: usize,
    title: usize,
    tuning: usize,
    long: LongTitle,
}

impl RowWidths {
    /// Returns the widths in a pane of so many columns, of which `all` are for what comes from the title on.
    pub(super) fn of(lesson: &Lesson, tunings: &[RowTuning<'_>], pane: usize, all: usize) -> Self {
        let widest = lesson.segments.iter().map(|segment| columns(&segment.title)).max().unwrap_or(0).max(8);
        let usual = widest.min((pane / 3).max(8));
        let words = |tuning: &RowTuning<'_>| columns(&tuning.words());
        let tuning = tunings.iter().map(words).max().unwrap_or(0);
        let changes = tunings.iter().filter(|tuning| tuning.changes()).map(words).max().unwrap_or(tuning);
        let beside = if tuning > 0 { tuning + BEHIND_TUNING } else { 0 };
        let room = all.saturating_sub(GAP + beside);
        if room >= usual + LEAST_ABOUT {
            return Self { all, title: usual, tuning, long: LongTitle::Cut };
        }
        if tuning > 0 && room > usual {
            // What is behind the tuning would say little; so titles have what they need, and a sign stands there.
            return Self { all, title: widest.min(room - 1), tuning, long: LongTitle::Cut };
        }
        let tuning = if changes == 0 { 0 } else { (changes + MARK).min(all * 3 / 5) };
        let beside = if tuning == 0 { MARK } else { GAP + tuning };
        Self { all, title: all.saturating_sub(beside), tuning, long: LongTitle::GoesOn }
    }

    /// Returns the columns of the title: the same in every row, but where a long one goes on, and where what is wrong would have no room.
    pub(super) fn title_room(&self, words: &RowWords<'_>) -> usize {
        if words.flaw.is_some() && self.tuning == 0 && self.long == LongTitle::GoesOn {
            return self.all / 3;
        }
        if !self.goes_on(words) {
            return self.title;
        }
        match self.at_the_end(words, "-") {
            end if end.is_empty() => self.all,
            end => self.all.saturating_sub(columns(&end) + if end == "-" { MARK - 1 } else { GAP }),
        }
    }

    /// Returns what stands at the end of a row whose title has the room of what is beside it: the tuning where there is room for it
    /// all the same, and `more` where anything is left out.
    fn at_the_end(&self, words: &RowWords<'_>, more: &str) -> String {
        let end = match (words.tuning.words(), words.about.is_empty()) {
            (tuning, true) => tuning,
            (tuning, false) if tuning.is_empty() => more.to_owned(),
            (tuning, false) => format!("{tuning} {more}"),
        };
        let fits = end.is_empty() || columns(words.title) + GAP + columns(&end) <= self.all;
        if fits { end } else { more.to_owned() }
    }

    /// Returns whether the title has the room of what stands beside it.
    fn goes_on(&self, words: &RowWords<'_>) -> bool {
        let gives_way = words.flaw.is_none() && !words.tuning.changes();
        gives_way && self.long == LongTitle::GoesOn && (columns(words.title) > self.title || self.tuning == 0)
    }

    /// Returns what stands beside the title, and in which column from that of the title on: the tuning, then what is wrong, then what there
    /// is to know. Where there is no room for both, what is wrong stands before the tuning. `more` is the sign that all of it is left out.
    pub(super) fn beside(&self, words: &RowWords<'_>, more: &str) -> (usize, String) {
        let title = self.title_room(words);
        let tuning = words.tuning.words();
        if self.goes_on(words) {
            let end = self.at_the_end(words, more);
            return (self.all.saturating_sub(columns(&end)), end);
        }
        let rest = self.all.saturating_sub(title + GAP);
        let flaw = words.flaw.as_deref().unwrap_or("");
        let has_room = self.tuning > 0 && self.tuning + BEHIND_TUNING + columns(flaw) <= rest;
        let parts = if has_room || flaw.is_empty() {
            [pad(&tuning, self.tuning), flaw.to_owned(), words.about.clone()]
        } else {
            [flaw.to_owned(), tuning, words.about.clone()]
        };
        let [first, second, about] = parts;
        let said = [&first, &second].into_iter().filter(|part| !part.is_empty());
        let room = rest.saturating_sub(said.map(|part| columns(part) + BEHIND_TUNING).sum());
        // A stub of a word says less than the sign that there is more.
        let about = if room < LEAST_ABOUT && columns(&about) > room { more.to_owned() } else { about };
        let parts = [first, second, about];
        let parts: Vec<&str> = parts.iter().map(String::as_str).filter(|part| !part.is_empty()).collect();
        (title + GAP, parts.join("   ").trim_end().to_owned())
    }

    /// Returns whether a row has no room for all of its words.
    pub(super) fn cuts(&self, words: &RowWords<'_>) -> bool {
        let title = self.title_room(words);
        let (at, beside) = self.beside(words, "-");
        let left_out = self.goes_on(words) && !beside.is_empty() && beside != words.tuning.words();
        let hides_about = !beside.ends_with(&words.about);
        columns(words.title) > title || left_out || hides_about || at + columns(&beside) > self.all
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(title: &str, tuning: RowTuning<'static>, about: &str) -> RowWords<'static> {
        RowWords { title: title.to_owned().leak(), tuning, flaw: None, about: about.to_owned() }
    }

    #[test]
    fn a_long_title_goes_on_over_what_stands_beside_it_and_a_sign_says_so() {
        let widths = RowWidths { all: 30, title: 10, tuning: 18, long: LongTitle::GoesOn };
        for long in 1..40 {
            let words = words(&"m".repeat(long), RowTuning::In("standard tuning"), "");
            let (at, beside) = widths.beside(&words, "~");
            // Behind a title that leaves the room, the tuning is said all the same.
            let expected = match long {
                0..=10 => (12, "standard tuning"),
                11..=13 => (15, "standard tuning"),
                _ => (29, "~"),
            };
            assert_eq!((at, beside.as_str()), expected, "{long}");
            assert!(widths.title_room(&words) >= long.min(28) && widths.title_room(&words) < at, "{long}");
            assert_eq!(widths.cuts(&words), long > 13, "{long}");
        }
        // Where the strings are retuned, that is what is read.
        let words = words(&"m".repeat(20), RowTuning::To("standard"), "");
        assert_eq!((widths.title_room(&words), widths.beside(&words, "~")), (10, (12, "to standard".to_owned())));
    }

    #[test]
    fn no_stub_of_a_word_stands_behind_the_tuning() {
        let about = "point: hello";
        for all in 30..60 {
            let widths = RowWidths { all, title: 10, tuning: 8, long: LongTitle::Cut };
            let words = words("m", RowTuning::In("standard"), about);
            let (at, beside) = widths.beside(&words, "~");
            let room = all - at - 8 - BEHIND_TUNING;
            let is_whole = room >= about.len();
            assert_eq!(beside.ends_with(about), is_whole || room >= LEAST_ABOUT, "{all}: {beside}");
            assert_eq!((beside.ends_with('~'), widths.cuts(&words)), (!is_whole, !is_whole), "{all}: {beside}");
        }
    }

    #[test]
    fn where_nothing_stands_beside_it_a_title_has_all_the_room() {
        let widths = RowWidths { all: 30, title: 28, tuning: 0, long: LongTitle::GoesOn };
        let alone = words(&"m".repeat(30), RowTuning::Unsaid, "");
        assert_eq!((widths.title_room(&alone), widths.cuts(&alone)), (30, false));
        let tuned = words("m", RowTuning::In("drop D"), "");
        assert_eq!((widths.beside(&tuned, "~"), widths.cuts(&tuned)), ((24, "drop D".to_owned()), false));
        let both = words("m", RowTuning::In("drop D"), "point: hello");
        assert_eq!((widths.beside(&both, "~"), widths.cuts(&both)), ((22, "drop D ~".to_owned()), true));
        let more = words("m", RowTuning::Unsaid, "point: hello");
        assert_eq!((widths.beside(&more, "~"), widths.cuts(&more)), ((29, "~".to_owned()), true));
    }
}
