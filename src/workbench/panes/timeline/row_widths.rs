//! How wide the parts of a row of the list are: the same in every row, so that they stand in columns.

use crate::lesson::document::Lesson;
use crate::text::fit::pad;
use crate::text::width::width as columns;
use crate::workbench::panes::timeline::row_tuning::RowTuning;

/// The columns before the kind of a segment or, where something is recorded, its recorded times: number, start and length.
pub(super) const BEFORE_KIND: usize = 2 + 19 + 2;
/// The columns of the kind.
pub(super) const KIND: usize = 12;
/// The least room in which it helps to read what there is to know about a segment besides its title.
const LEAST_ABOUT: usize = 14;
/// The least room in which a text that is cut still says something.
const TELLING: usize = 8;
/// The columns between two parts.
const GAP: usize = 2;

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

/// How wide title and tuning are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct RowWidths {
    /// The columns from the title to the end of the row.
    pub(super) all: usize,
    title: usize,
    tuning: usize,
}

impl RowWidths {
    /// Returns the widths in a pane of so many columns, of which `all` are for what comes from the title on.
    pub(super) fn of(lesson: &Lesson, tunings: &[RowTuning<'_>], pane: usize, all: usize) -> Self {
        let widest = lesson.segments.iter().map(|segment| columns(&segment.title)).max().unwrap_or(0);
        let usual = widest.clamp(8, (pane / 3).max(8));
        let words = |tuning: &RowTuning<'_>| columns(&tuning.words());
        let tuning = tunings.iter().map(words).max().unwrap_or(0);
        let changes = tunings.iter().filter(|tuning| tuning.changes()).map(words).max().unwrap_or(0);
        let title = match all.saturating_sub(usual + GAP) {
            // Which tuning comes now matters more than the end of a title.
            rest if rest < changes => usual.min(all.saturating_sub(GAP + changes.min(all * 3 / 5))),
            rest if rest >= LEAST_ABOUT => usual,
            // A few letters more would say nothing: the title has the room.
            _ => all,
        };
        Self { all, title, tuning: tuning.min(all.saturating_sub(title + GAP)) }
    }

    /// Returns the columns of the title: the same in every row, but where what is wrong would have no room at all, and where
    /// the title is longer and the strings stay as they are, which can be read beside the rows around it.
    pub(super) fn title_room(&self, words: &RowWords<'_>) -> usize {
        match &words.flaw {
            Some(_) if self.title == self.all => self.all / 3,
            None if !words.tuning.changes() => {
                let title = self.title.max(columns(words.title)).min(self.all);
                let beside = columns(&words.tuning.words()) + columns(&words.about);
                // Beside the title a sign of more alone would say nothing.
                if self.all.saturating_sub(title + GAP) < beside.min(TELLING) { self.all } else { title }
            }
            Some(_) | None => self.title,
        }
    }

    /// Returns what stands beside the title: the tuning, then what is wrong, or else what there is to know. Where there is no room for
    /// both, what is wrong stands in the place of the tuning.
    pub(super) fn beside(&self, words: &RowWords<'_>) -> String {
        let rest = self.all.saturating_sub(self.title_room(words) + GAP);
        let more = words.flaw.as_deref().unwrap_or(&words.about);
        let has_room = words.flaw.as_ref().is_none_or(|flaw| self.tuning + GAP + 1 + columns(flaw) <= rest);
        if self.tuning == 0 || !has_room {
            return more.to_owned();
        }
        format!("{}   {more}", pad(&words.tuning.words(), self.tuning)).trim_end().to_owned()
    }

    /// Returns whether a row has no room for all of its words.
    pub(super) fn cuts(&self, words: &RowWords<'_>) -> bool {
        let title = self.title_room(words);
        let beside = words.flaw.as_ref().map_or_else(|| columns(&words.about), |flaw| columns(flaw));
        let tuning = if self.tuning == 0 { 0 } else { self.tuning + GAP + 1 };
        columns(words.title) > title || (beside > 0 && title + GAP + tuning + beside > self.all)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beside_a_long_title_stands_something_that_says_something_or_nothing() {
        let widths = RowWidths { all: 26, title: 9, tuning: 15 };
        for long in 1..30 {
            let title = "m".repeat(long);
            let words =
                RowWords { title: &title, tuning: RowTuning::In("standard tuning"), flaw: None, about: String::new() };
            let room = widths.title_room(&words);
            assert!(room == widths.all || widths.all - room - GAP >= TELLING, "{long}: {room}");
            assert!(room >= long.min(widths.all), "{long}: {room}");
        }
    }
}
