//! How the lines of a screen with all panes are shared among them, by what each has to show.

use crate::workbench::keys::action::Focus;
use crate::workbench::panes::fretboard::view::wanted_height;
use crate::workbench::panes::passage::TabHeights;

/// What panes have to show, in lines of the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Wants {
    /// The strings on the fretboard.
    pub strings: usize,
    /// The most strings of any tuning of the lesson. The panes do not move when the fretboard goes from one to another.
    pub most_strings: usize,
    /// The heading, the lanes and the list of the timeline.
    pub timeline: usize,
    /// The tab.
    pub passage: TabHeights,
    /// The heading and the list of the voicings.
    pub library: usize,
}

/// The least lines of the timeline: the heading, two lanes, three segments.
const LEAST_TIMELINE: usize = 6;
/// The lines under the list of the timeline for all that the selected row says, as long as keys go there.
const SELECTED_ROW: usize = 4;
/// The least lines of fretboard, readings and library.
const LEAST_LOWER: usize = 10;
/// The least lines over these: a timeline, and a heading with a few lines of tab.
const LEAST_UPPER: usize = 13;
/// The lines that the readings of most shapes take.
const READINGS: usize = 16;
/// The lines of the fretboard under its own for what the labels on the strings leave out, with a gap over them.
const OTHER_LABELS: usize = 4;
/// The least lines of a library that stands alone: the heading and three voicings.
const LEAST_LIBRARY: usize = 4;
/// The lines of a library without voicings: the heading, and which keys save one.
const EMPTY_LIBRARY: usize = 4;
/// The lines of the passage beside its strings where it has little room: the heading, the count, and what is under the cursor.
const AROUND_STRINGS: usize = 3;

/// Returns the heights of the timeline, the passage, and the panes under them, which fill `height` lines.
///
/// They rest on what there is to show, never on what is selected of it: while the timeline has the keys, the music has the room of
/// the tallest tab of any segment; elsewhere the segment stays, and the music has that of its own tab.
pub(super) fn heights(height: usize, focus: Focus, wants: &Wants) -> [usize; 3] {
    let lower = wanted_height(wants.most_strings).max(LEAST_LOWER).min(height.saturating_sub(LEAST_UPPER));
    let upper = height - lower;
    let list = wants.timeline.max(LEAST_TIMELINE);
    let on_timeline = focus == Focus::Timeline;
    let music = if on_timeline { wants.passage.tallest } else { wants.passage.shown };
    if let Some(rest) = upper.checked_sub(list.saturating_add(music)) {
        // Both are whole. What is explained under the music comes next, then the lists below, then all that one row says.
        let signs = rest.min(if on_timeline { 0 } else { wants.passage.with_signs.saturating_sub(music) });
        let rest = rest - signs;
        let more = rest.min(wants.library.max(READINGS).saturating_sub(lower));
        let row = (rest - more).min(if on_timeline { SELECTED_ROW } else { 0 });
        return [list + row, height - list - row - lower - more, lower + more];
    }
    let timeline = if on_timeline {
        // The strings of a system stay in view under the list, as far as a few segments have room over them.
        let strings = wants.passage.system.min(wants.most_strings + AROUND_STRINGS);
        list.min(upper.saturating_sub(strings).max(LEAST_TIMELINE))
    } else {
        // Elsewhere the music comes first, and the list keeps a third.
        let least = list.min((upper / 3).max(LEAST_TIMELINE));
        upper.saturating_sub(music).clamp(least, list)
    };
    [timeline, upper - timeline, lower]
}

/// The row of a screen on which panes stand one above the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PaneRow {
    /// The timeline.
    Timeline,
    /// The passage.
    Passage,
    /// The fretboard, and the readings under it or beside it.
    Neck,
    /// The library.
    Library,
}

impl PaneRow {
    /// All of them, from the top.
    pub(super) const ALL: [Self; 4] = [Self::Timeline, Self::Passage, Self::Neck, Self::Library];

    /// Returns the row that a pane stands in.
    pub(super) const fn of(focus: Focus) -> Self {
        match focus {
            Focus::Timeline => Self::Timeline,
            Focus::Passage => Self::Passage,
            Focus::Fretboard | Focus::Readings => Self::Neck,
            Focus::Library => Self::Library,
        }
    }

    /// Returns the least lines in which it is of use, and those that it can fill.
    fn wants(self, focus: Focus, readings: ReadingsPlace, wants: &Wants) -> (usize, usize) {
        let neck = wanted_height(wants.most_strings);
        match self {
            Self::Timeline if focus == Focus::Timeline => (LEAST_TIMELINE, wants.timeline + SELECTED_ROW),
            Self::Timeline => (LEAST_TIMELINE, wants.timeline.max(LEAST_TIMELINE)),
            // While one goes through the segments the panes stay where they are.
            Self::Passage if focus == Focus::Timeline => {
                (wants.passage.tallest.min(wants.most_strings + 1), wants.passage.tallest)
            }
            Self::Passage => {
                (wants.passage.shown.min(wants.most_strings + 1), wants.passage.with_signs.max(wants.passage.shown))
            }
            Self::Neck => match readings {
                ReadingsPlace::Below => (neck, neck + OTHER_LABELS + READINGS),
                ReadingsPlace::Beside => (neck, (neck + OTHER_LABELS).max(READINGS)),
            },
            Self::Library => (LEAST_LIBRARY, wants.library.max(EMPTY_LIBRARY)),
        }
    }
}

/// Where the readings stand as soon as there is room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ReadingsPlace {
    /// Under the fretboard.
    Below,
    /// Beside the fretboard.
    Beside,
}

/// Returns the heights of the rows of panes that stand one above the other, which fill `height` lines; 1 is a pane in a line.
///
/// The pane in focus has all that it can fill, and those that then have room to be of use have the rest. What none can fill is at the
/// end of the pane in focus.
pub(super) fn stacked(height: usize, focus: Focus, readings: ReadingsPlace, wants: &Wants) -> [(PaneRow, usize); 4] {
    let here = PaneRow::of(focus);
    let mut rest = height.saturating_sub(PaneRow::ALL.len());
    let (_, wanted) = here.wants(focus, readings, wants);
    let own = wanted.saturating_sub(1).min(rest);
    rest -= own;
    let mut heights = PaneRow::ALL.map(|row| {
        let (least, wanted) = row.wants(focus, readings, wants);
        let more = if row == here { 0 } else { wanted.saturating_sub(1).min(rest) };
        if row == here || more + 1 < least {
            return (row, 1);
        }
        rest -= more;
        (row, 1 + more)
    });
    heights.iter_mut().filter(|(row, _)| *row == here).for_each(|(_, height)| *height += own + rest);
    heights
}

/// Returns how many of `lines` the fretboard has over the readings: those that it needs, and where the readings are whole, those for
/// what the labels leave out.
pub(super) fn neck_share(lines: usize, neck: usize) -> usize {
    neck + lines.saturating_sub(neck + READINGS).min(OTHER_LABELS)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns what a lesson of six strings wants with a timeline and a passage of so many lines.
    fn wants(strings: usize, timeline: usize, passage: usize) -> Wants {
        let passage = TabHeights { system: 11.min(passage), tallest: passage, shown: passage, with_signs: passage };
        Wants { strings, most_strings: strings, timeline, passage, library: 8 }
    }

    /// Returns the heights of timeline, passage and library.
    fn heights_of(height: usize, focus: Focus, wants: &Wants) -> [usize; 3] {
        // The line at the top and two at the foot are not shared.
        heights(height - 3, focus, wants)
    }

    #[test]
    fn room_goes_where_there_is_something_to_show() {
        // Thirteen segments and one system of tab.
        assert_eq!(heights_of(36, Focus::Timeline, &wants(6, 16, 12)), [14, 9, 10]);
        assert_eq!(heights_of(36, Focus::Passage, &wants(6, 16, 12)), [11, 12, 10]);
        assert_eq!(heights_of(50, Focus::Timeline, &Wants { library: 45, ..wants(6, 16, 12) }), [16, 12, 19]);
        // A few segments and much tab, and much of both.
        assert_eq!(heights_of(36, Focus::Passage, &wants(6, 6, 60)), [6, 17, 10]);
        assert_eq!(heights_of(36, Focus::Passage, &wants(6, 60, 60)), [7, 16, 10]);
        assert_eq!(heights_of(36, Focus::Timeline, &wants(6, 60, 60)), [14, 9, 10]);
        // No tab at all.
        assert_eq!(heights_of(36, Focus::Timeline, &wants(6, 60, 4)), [19, 4, 10]);
        // What is explained under the music comes before the lists below, and what one row says after them.
        let with_signs = |signs: usize, wants: Wants| Wants {
            passage: TabHeights { with_signs: wants.passage.shown + signs, ..wants.passage },
            ..wants
        };
        assert_eq!(heights_of(50, Focus::Passage, &with_signs(8, wants(6, 8, 12))), [8, 23, 16]);
        assert_eq!(heights_of(50, Focus::Passage, &with_signs(20, wants(6, 8, 12))), [8, 29, 10]);
        assert_eq!(heights_of(60, Focus::Timeline, &wants(6, 8, 12)), [12, 29, 16]);
    }

    /// Returns the heights of timeline, passage, neck and library, one above the other.
    fn stacked_of(height: usize, focus: Focus, wants: &Wants) -> [usize; 4] {
        stacked(height - 3, focus, ReadingsPlace::Below, wants).map(|(_, height)| height)
    }

    #[test]
    fn one_above_the_other_the_pane_in_focus_comes_first_and_the_rest_is_not_left_empty() {
        // Thirteen segments, a segment without tab, many voicings.
        let many = Wants { library: 44, ..wants(6, 16, 6) };
        assert_eq!(stacked_of(24, Focus::Timeline, &many), [18, 1, 1, 1]);
        assert_eq!(stacked_of(24, Focus::Passage, &many), [13, 6, 1, 1]);
        assert_eq!(stacked_of(24, Focus::Fretboard, &many), [1, 1, 18, 1]);
        assert_eq!(stacked_of(24, Focus::Library, &many), [1, 1, 1, 18]);
        assert_eq!(stacked_of(24, Focus::Passage, &wants(6, 16, 60)), [1, 18, 1, 1]);
        // A few segments and voicings, and some tab.
        let few = Wants { library: 3, ..wants(6, 6, 12) };
        assert_eq!(stacked_of(24, Focus::Timeline, &few), [10, 9, 1, 1]);
        assert_eq!(stacked_of(24, Focus::Library, &few), [6, 10, 1, 4]);
        assert_eq!(stacked_of(60, Focus::Library, &few), [6, 12, 30, 9]);
        // What is whole is so on every screen.
        for height in 16..80 {
            for focus in Focus::ALL {
                assert_eq!(stacked_of(height, focus, &many).iter().sum::<usize>(), height - 3, "{focus:?}");
            }
        }
    }
}
