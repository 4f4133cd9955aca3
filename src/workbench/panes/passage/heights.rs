//! How many lines the tab needs on the screen: what is shown now, and the tallest of what the segments play.
//!
//! Going from segment to segment must not make the panes jump. So the room that the tab is given while the timeline has
//! the keys rests on all that the segments play, of which the lines are estimated: nothing of it is laid out. Nor must a key
//! that writes a sign: while the same lines of tab are shown and the same pane has the keys, the tab keeps the room that it was given.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::lesson::document::Lesson;
use crate::lesson::id::PassageId;
use crate::lesson::music::Passage;
use crate::tab::passage::{estimated_lines, string_labels};
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;
use crate::workbench::keys::action::Focus;
use crate::workbench::panes::passage::sheet::{CountedSheets, Sheets, TabForm};
use crate::workbench::panes::passage::shown::{bars_of, rig_of, strings_of};

/// The lines of the pane beside the tab: the heading, and what is under the cursor.
pub(super) const BESIDE: usize = 2;
/// The lines of the pane where there is no tab: the heading, a gap, and which keys put some there.
const WITHOUT_TAB: usize = 4;
/// The same on a narrow screen, on which those keys take more lines.
const WITHOUT_TAB_IN_LITTLE_WIDTH: usize = 6;
/// The columns from which on the keys that put tab there stand on two lines.
const WIDE: usize = 90;
/// The lines by which the music gets more or less room, so that a technique more, which takes a line, seldom moves a pane.
const STEP: usize = 4;
/// The lines of one system beside its strings: the line on top, the lengths and the count.
const AROUND_STRINGS: usize = 3;
/// The lines that are kept free for what is still written over the notes, such as where a palm mute lasts.
const RESERVE: usize = 1;

/// How many lines of the screen the pane needs, its own and those of the tab.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TabHeights {
    /// For one line of tab, all strings with what stands over and under them.
    pub system: usize,
    /// For the tallest of what the segments play.
    pub tallest: usize,
    /// For what is shown now, without the signs that are explained under it.
    pub shown: usize,
    /// For what is shown now and those signs.
    pub with_signs: usize,
}

impl Default for TabHeights {
    fn default() -> Self {
        Self { system: WITHOUT_TAB, tallest: WITHOUT_TAB, shown: WITHOUT_TAB, with_signs: WITHOUT_TAB }
    }
}

/// The screen that the lines are counted for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TabScreen {
    /// The columns of the tab.
    pub width: usize,
    /// The lines of the whole screen; more are not counted.
    pub height: usize,
    /// The characters of the tab.
    pub charset: Charset,
}

impl TabScreen {
    const fn without_tab(self) -> usize {
        if self.width < WIDE { WITHOUT_TAB_IN_LITTLE_WIDTH } else { WITHOUT_TAB }
    }

    fn form<'a>(self, passage: &'a Passage, bars: &'a Range<usize>, labels: &'a [String]) -> TabForm<'a> {
        TabForm { passage, bars, labels, style: TabStyle::steady(self.width, self.charset), height: self.height }
    }
}

/// What was counted last, and what it was counted of.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CountedTab {
    /// The lines that were counted.
    pub heights: TabHeights,
    /// The revision and the screen that the tallest was estimated for.
    estimated: Option<(u64, TabScreen)>,
    kept: Option<KeptRoom>,
}

/// What the room of the tab that is shown was given for; as long as it is the same, the room stays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct KeptRoom {
    passage: PassageId,
    /// The first bar that is shown.
    first: usize,
    /// The lines of tab.
    systems: usize,
    focus: Focus,
    screen: TabScreen,
}

impl CountedTab {
    /// Estimates the lines of what segments play, unless that was done for this revision of the lesson.
    pub(super) fn follow(&mut self, lesson: &Lesson, revision: u64, screen: TabScreen) {
        // The room of what is shown is given anew as soon as the keys go elsewhere.
        self.kept = None;
        if self.estimated == Some((revision, screen)) {
            return;
        }
        self.estimated = Some((revision, screen));
        let none = screen.without_tab();
        self.heights = TabHeights { system: none, tallest: none, ..self.heights };
        for (passage, bars) in parts(lesson) {
            let strings = usize::from(strings_of(&rig_of(lesson, passage)));
            let all = estimated_lines(passage, bars, strings, screen.width, screen.height);
            self.heights.system = self.heights.system.max(strings + AROUND_STRINGS + BESIDE);
            self.heights.tallest = self.heights.tallest.max((all + BESIDE).next_multiple_of(STEP));
        }
    }

    /// Counts the lines of what is shown, of which `sheets` are kept; `None` is nothing.
    pub(super) fn show(
        &mut self,
        sheets: &mut Sheets,
        lesson: &Lesson,
        shown: Option<(&Passage, &Range<usize>)>,
        (focus, screen): (Focus, TabScreen),
    ) {
        let Some((passage, bars)) = shown else {
            let none = screen.without_tab();
            self.heights = TabHeights { shown: none, with_signs: none, ..self.heights };
            self.kept = None;
            return;
        };
        let labels = string_labels(rig_of(lesson, passage).tuning());
        let CountedSheets { lines, systems, signs } = sheets.count(screen.form(passage, bars, &labels));
        let kept = Some(KeptRoom { passage: passage.id, first: bars.start, systems, focus, screen });
        if self.kept != kept {
            let all = lines + RESERVE + BESIDE;
            let [shown, with_signs] = [all, all + signs].map(|lines| lines.next_multiple_of(STEP));
            self.heights = TabHeights { shown, with_signs, ..self.heights };
            self.kept = kept;
        }
    }
}

/// Returns the parts of passages that segments play, each once.
fn parts(lesson: &Lesson) -> impl Iterator<Item = (&Passage, Range<usize>)> {
    let passages: BTreeMap<PassageId, &Passage> = lesson.passages.iter().map(|passage| (passage.id, passage)).collect();
    let uses = lesson.segments.iter().flat_map(|segment| &segment.passages);
    let parts = uses.filter_map(|used| {
        let passage = *passages.get(&used.passage)?;
        let bars = bars_of(passage, used);
        Some(((bars.start, bars.end, passage.id), passage))
    });
    let parts: BTreeMap<(usize, usize, PassageId), &Passage> = parts.collect();
    parts.into_iter().map(|((start, end, _), passage)| (passage, start..end))
}
