//! How the lines of a screen with all panes are shared among them, by what each has to show.
//!
//! Lines are given out in turns. First every pane has what it needs to be of use, or all that it fills where that is less; then, in an
//! order that rests on which pane has the keys, each has what it fills now. What none can fill keeps the panes where they are: it goes
//! to those that will fill it for another segment or another shape.

use crate::workbench::keys::action::Focus;
use crate::workbench::panes::fretboard::view::wanted_height;
use crate::workbench::panes::passage::TabHeights;

/// What panes have to show, in lines of the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Wants {
    /// The strings on the fretboard.
    pub strings: usize,
    /// The most strings of any tuning of the lesson.
    pub most_strings: usize,
    /// What the labels on the strings leave out, under the fretboard.
    pub labels: usize,
    /// The readings: the heading, the names, and the longest of their reasons.
    pub readings: usize,
    /// The heading and the lanes of the timeline.
    pub lanes: usize,
    /// The heading, the lanes and the list of the timeline.
    pub timeline: usize,
    /// All that the selected row of the timeline says, under the list.
    pub selected_row: usize,
    /// The tab.
    pub passage: TabHeights,
    /// The heading and the list of the voicings.
    pub library: usize,
}

/// The segments of the least timeline that is of use.
const LEAST_SEGMENTS: usize = 3;
/// The lines of a timeline without segments: the heading, a gap, and which key adds one.
pub(super) const EMPTY_TIMELINE: usize = 4;
/// The lines under the list of the timeline for all that most rows say, with a gap.
const MOST_ROWS: usize = 5;
/// The least lines of fretboard, readings and library, as far as they fill them.
const LEAST_LOWER: usize = 10;
/// The least lines over these: a timeline, and a heading with a few lines of tab.
const LEAST_UPPER: usize = 13;
/// The lines that the readings of most shapes take.
const READINGS: usize = 16;
/// The least lines of a library that stands alone: the heading and two voicings.
const LEAST_LIBRARY: usize = 3;
/// The lines of a library without voicings: the heading, and which keys save one, on two lines where there is little width.
pub(super) const EMPTY_LIBRARY: usize = 3;
/// The lines of the passage beside its strings where it has little room: the heading, the count, and what is under the cursor.
const AROUND_STRINGS: usize = 3;

impl Wants {
    /// Returns the least lines in which a timeline is of use.
    fn least_timeline(&self) -> usize {
        (self.lanes + LEAST_SEGMENTS).min(self.timeline)
    }

    /// Returns the lines that the fretboard fills.
    const fn neck(&self) -> usize {
        wanted_height(self.strings) + self.labels
    }

    /// Returns the lines that the music fills with the signs that are explained under it.
    fn music_and_signs(&self) -> usize {
        self.passage.with_signs.max(self.passage.shown)
    }
}

/// Adds to a share what is missing of `wanted`, if that is not more than the rest.
fn give_all(rest: &mut usize, share: &mut usize, wanted: usize) {
    if share.saturating_add(*rest) >= wanted {
        give(rest, share, wanted);
    }
}

/// Adds to a share what is missing of `wanted`, as far as there is a rest.
fn give(rest: &mut usize, share: &mut usize, wanted: usize) {
    let more = wanted.saturating_sub(*share).min(*rest);
    (*share, *rest) = (*share + more, *rest - more);
}

/// Returns the heights of the timeline, the passage, and the panes under them, which fill `height` lines.
pub(super) fn heights(height: usize, focus: Focus, wants: &Wants) -> [usize; 3] {
    let on_timeline = focus == Focus::Timeline;
    let (list, music) = (wants.timeline.max(1), wants.passage.shown.max(1));
    let row = list + wants.selected_row;
    let lower_fills = wants.neck().max(wants.readings).max(wants.library);
    let least = wanted_height(wants.strings).max(LEAST_LOWER.min(lower_fills));
    let mut lower = least.min(height.saturating_sub(LEAST_UPPER));
    let upper = height - lower;
    // The music comes first where keys do not go to the timeline, and the list keeps a third.
    let third = if on_timeline { 0 } else { upper / 3 };
    let mut timeline = list.min(third.max(wants.least_timeline()).max(1)).min(upper);
    // The strings of a system stay in view under the list.
    let strings = if on_timeline { wants.strings + AROUND_STRINGS } else { upper };
    let mut passage = music.min(strings).min(upper - timeline);
    let mut rest = upper - timeline - passage;
    let signs = wants.music_and_signs();
    match focus {
        Focus::Timeline => {
            give(&mut rest, &mut timeline, list);
            // A part of what the row says is of no use.
            give_all(&mut rest, &mut timeline, row);
            give(&mut rest, &mut passage, signs);
            give(&mut rest, &mut lower, lower_fills);
        }
        Focus::Passage => {
            give(&mut rest, &mut passage, music);
            give(&mut rest, &mut timeline, list);
            give(&mut rest, &mut passage, signs);
            give(&mut rest, &mut lower, lower_fills);
            give_all(&mut rest, &mut timeline, row);
        }
        Focus::Fretboard | Focus::Readings | Focus::Library => {
            give(&mut rest, &mut passage, music);
            give(&mut rest, &mut timeline, list);
            give(&mut rest, &mut lower, lower_fills);
            give(&mut rest, &mut passage, signs);
            give_all(&mut rest, &mut timeline, row);
        }
    }
    // Everything is whole. The next shape may have more names, and the next segment more music and more to say.
    give(&mut rest, &mut lower, READINGS.max(wanted_height(wants.most_strings)));
    if on_timeline {
        give(&mut rest, &mut passage, wants.passage.tallest);
        give(&mut rest, &mut timeline, list + MOST_ROWS);
    }
    [timeline, passage + rest, lower]
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

    /// Returns the rows in the order in which they have lines. The strings stay where they are while fingers are put down and more names
    /// come up: what stands under them gives way first.
    const fn in_turn(self) -> [Self; 4] {
        match self {
            Self::Timeline => Self::ALL,
            Self::Passage => [Self::Passage, Self::Timeline, Self::Neck, Self::Library],
            Self::Neck => [Self::Neck, Self::Library, Self::Timeline, Self::Passage],
            Self::Library => [Self::Library, Self::Timeline, Self::Passage, Self::Neck],
        }
    }

    /// Returns the least lines in which it is of use.
    fn least(self, wants: &Wants) -> usize {
        match self {
            Self::Timeline => wants.least_timeline(),
            Self::Passage => wants.passage.shown.min(wants.strings + 1),
            Self::Neck => wanted_height(wants.strings),
            Self::Library => LEAST_LIBRARY.min(wants.library),
        }
    }

    /// Returns the lines that it fills.
    fn fills(self, readings: ReadingsPlace, wants: &Wants) -> usize {
        match (self, readings) {
            (Self::Timeline, _) => wants.timeline,
            (Self::Passage, _) => wants.music_and_signs(),
            (Self::Neck, ReadingsPlace::Below) => wants.neck() + wants.readings,
            (Self::Neck, ReadingsPlace::Beside) => wants.neck().max(wants.readings),
            (Self::Library, _) => wants.library,
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
    let mut heights = PaneRow::ALL.map(|row| (row, 1));
    let mut share = |row: PaneRow, rest: &mut usize, wanted: usize, least: usize| {
        let found = heights.iter_mut().find(|(other, _)| *other == row);
        if let Some((_, share)) = found.filter(|(_, share)| *share + *rest >= least) {
            give(rest, share, wanted);
        }
    };
    let row = wants.timeline + wants.selected_row;
    for turn in here.in_turn() {
        // All that the selected row says belongs to the timeline as long as keys go there.
        let is_on_timeline = turn == PaneRow::Timeline && here == turn;
        let wanted = if is_on_timeline { row } else { turn.fills(readings, wants) };
        share(turn, &mut rest, wanted, if turn == here { 0 } else { turn.least(wants) });
    }
    // Elsewhere it has what the others leave, under a whole list.
    share(PaneRow::Timeline, &mut rest, row, wants.timeline);
    share(here, &mut rest, height, 0);
    heights
}

/// Returns how many of `lines` the fretboard has over the readings: those that it needs, and where the readings are whole, those for
/// what the labels leave out.
pub(super) fn neck_share(lines: usize, wants: &Wants) -> usize {
    let neck = wanted_height(wants.strings);
    // A gap alone says nothing.
    match lines.saturating_sub(neck + wants.readings).min(wants.labels) {
        0 | 1 => neck,
        more => neck + more,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns what a lesson of six strings wants with a timeline and a passage of so many lines.
    fn wants(strings: usize, timeline: usize, passage: usize) -> Wants {
        let passage = TabHeights { tallest: passage, shown: passage, with_signs: passage };
        let names = Wants { labels: 4, readings: 16, ..Wants::default() };
        Wants { strings, most_strings: strings, lanes: 2, timeline, passage, library: 8, ..names }
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
        assert_eq!(heights_of(30, Focus::Timeline, &wants(6, 15, 4)), [13, 4, 10]);
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
        // What one row says comes before the lists below, and what is left keeps the panes where they are.
        let long_row = Wants { selected_row: 3, library: 45, ..wants(6, 8, 12) };
        assert_eq!(heights_of(50, Focus::Timeline, &long_row), [11, 12, 24]);
        assert_eq!(heights_of(60, Focus::Timeline, &wants(6, 8, 12)), [13, 28, 16]);
        assert_eq!(heights_of(60, Focus::Timeline, &Wants { selected_row: 3, ..wants(6, 8, 12) }), [13, 28, 16]);
        // A few segments and a passage without tab leave everything to the lists below.
        assert_eq!(heights_of(30, Focus::Timeline, &Wants { library: 45, ..wants(6, 4, 4) }), [4, 4, 19]);
    }

    /// Returns the heights of timeline, passage, neck and library, one above the other.
    fn stacked_of(height: usize, focus: Focus, wants: &Wants) -> [usize; 4] {
        stacked(height - 3, focus, ReadingsPlace::Below, wants).map(|(_, height)| height)
    }

    #[test]
    fn one_above_the_other_the_pane_in_focus_comes_first_and_the_rest_is_not_left_empty() {
        // Thirteen segments, a segment without tab, many voicings.
        let many = Wants { library: 44, ..wants(6, 16, 5) };
        assert_eq!(stacked_of(24, Focus::Timeline, &many), [16, 1, 1, 3]);
        assert_eq!(stacked_of(24, Focus::Timeline, &Wants { selected_row: 2, ..many }), [18, 1, 1, 1]);
        assert_eq!(stacked_of(24, Focus::Passage, &many), [14, 5, 1, 1]);
        assert_eq!(stacked_of(24, Focus::Fretboard, &many), [1, 1, 18, 1]);
        assert_eq!(stacked_of(24, Focus::Library, &many), [1, 1, 1, 18]);
        assert_eq!(stacked_of(24, Focus::Passage, &wants(6, 16, 60)), [1, 18, 1, 1]);
        // A few segments and voicings, and some tab.
        let few = Wants { library: 3, ..wants(6, 6, 12) };
        assert_eq!(stacked_of(24, Focus::Timeline, &few), [7, 12, 1, 1]);
        assert_eq!(stacked_of(24, Focus::Library, &few), [6, 11, 1, 3]);
        assert_eq!(stacked_of(60, Focus::Library, &few), [6, 12, 30, 9]);
        // Few names leave lines to what stands under them, so that the strings stay where they are.
        let silent = Wants { labels: 0, readings: 2, ..many };
        assert_eq!(stacked_of(24, Focus::Fretboard, &silent), [1, 1, 12, 7]);
        // Three segments are of use on the lines that five lines of words leave.
        assert_eq!(stacked_of(24, Focus::Passage, &Wants { library: 3, ..wants(6, 5, 13) }), [5, 14, 1, 1]);
        // What is whole is so on every screen.
        for height in 16..80 {
            for focus in Focus::ALL {
                assert_eq!(stacked_of(height, focus, &many).iter().sum::<usize>(), height - 3, "{focus:?}");
            }
        }
    }
}
