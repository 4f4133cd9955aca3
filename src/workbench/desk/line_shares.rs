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
/// The least lines of fretboard, readings and library.
const LEAST_LOWER: usize = 10;
/// The least lines over these: a timeline, and a heading with a few lines of tab.
const LEAST_UPPER: usize = 13;
/// The lines that the readings of most shapes take.
const READINGS: usize = 16;
/// The lines of the passage beside its strings where it has little room: the heading, the count, and what is under the cursor.
const AROUND_STRINGS: usize = 3;
/// The lines by which the music gets more or less room, so that a technique more, which takes a line, seldom moves a pane.
const STEP: usize = 4;

/// Returns the heights of the timeline, the passage, and the panes under them, which fill `height` lines.
///
/// They rest on what there is to show, never on what is selected of it: while the timeline has the keys, the music has the room of
/// the tallest tab of any segment; elsewhere the segment stays, and the music has that of its own tab.
pub(super) fn heights(height: usize, focus: Focus, wants: &Wants) -> [usize; 3] {
    let lower = wanted_height(wants.most_strings).max(LEAST_LOWER).min(height.saturating_sub(LEAST_UPPER));
    let upper = height - lower;
    let list = wants.timeline.max(LEAST_TIMELINE);
    let in_steps = |lines: usize| lines.next_multiple_of(STEP);
    let on_timeline = focus == Focus::Timeline;
    let music = in_steps(if on_timeline { wants.passage.tallest } else { wants.passage.shown });
    if let Some(rest) = upper.checked_sub(list.saturating_add(music)) {
        // Both are whole. The lists below take what they can use of the rest.
        let lower = lower + rest.min(wants.library.max(READINGS).saturating_sub(lower));
        return [list, height - list - lower, lower];
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns what a lesson of six strings wants with a timeline and a passage of so many lines.
    fn wants(strings: usize, timeline: usize, passage: usize) -> Wants {
        let passage = TabHeights { system: 11.min(passage), tallest: passage, shown: passage };
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
    }
}
