//! How many lines the tab needs on the screen: what is shown now, and the tallest of what the segments play.
//!
//! Going from segment to segment must not make the panes jump where nobody needs the lines. So what is left while the timeline has
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
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::keys::action::Focus;
use crate::workbench::panes::passage::sheet::{CountedSheets, Sheets, TabForm};
use crate::workbench::panes::passage::shown::{bars_of, rig_of, strings_of};

/// The columns beside the tab: one before it, for the cursor's mark, and one behind it.
pub const TAB_EDGES: usize = 2;
/// The lines of the pane beside the tab: the heading, and what is under the cursor.
pub(super) const BESIDE: usize = 2;
/// The lines over what is said where there is no tab: the heading and a gap.
const OVER_WORDS: usize = 2;
/// The lines of one system beside its strings: the line on top, the lengths and the count.
const AROUND_STRINGS: usize = 3;
/// The lines that are kept free for what is still written over the notes, such as where a palm mute lasts.
const RESERVE: usize = 1;

/// How many lines of the screen the pane needs, its own and those of the tab.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct TabHeights {
    /// For the tallest of what the segments play.
    pub tallest: usize,
    /// For what is shown now, without the signs that are explained under it.
    pub shown: usize,
    /// For what is shown now and those signs.
    pub with_signs: usize,
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
    /// Returns the lines of the pane where there is no tab, but words.
    fn without_tab(self, words: &str) -> usize {
        let appearance = Appearance { charset: self.charset, ..Appearance::default() };
        OVER_WORDS + appearance.wrapped(words, words_room(self.width + TAB_EDGES)).len()
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
        if self.estimated == Some((revision, screen)) {
            return;
        }
        self.estimated = Some((revision, screen));
        self.heights.tallest = 0;
        for (passage, bars) in parts(lesson) {
            let strings = usize::from(strings_of(&rig_of(lesson, passage)));
            let all = estimated_lines(passage, bars, strings, screen.width, screen.height);
            self.heights.tallest = self.heights.tallest.max(all.max(strings + AROUND_STRINGS) + BESIDE);
        }
    }

    /// Takes on that there is no tab, but these words.
    pub(super) fn show_words(&mut self, words: &str, screen: TabScreen) {
        let lines = screen.without_tab(words);
        self.heights = TabHeights { shown: lines, with_signs: lines, ..self.heights };
        self.kept = None;
    }

    /// Counts the lines of what is shown, of which `sheets` are kept.
    pub(super) fn show(
        &mut self,
        sheets: &mut Sheets,
        lesson: &Lesson,
        (passage, bars): (&Passage, &Range<usize>),
        (focus, screen): (Focus, TabScreen),
    ) {
        let labels = string_labels(rig_of(lesson, passage).tuning());
        let CountedSheets { lines, systems, signs } = sheets.count(screen.form(passage, bars, &labels));
        let kept = Some(KeptRoom { passage: passage.id, first: bars.start, systems, focus, screen });
        if self.kept == kept && focus == Focus::Passage {
            return;
        }
        self.kept = kept;
        let beside = if focus == Focus::Passage { BESIDE + RESERVE } else { BESIDE - 1 };
        self.heights = TabHeights { shown: lines + beside, with_signs: lines + signs + beside, ..self.heights };
    }
}

/// Returns how many columns words have that stand in place of tab, in a pane of this width.
pub(super) const fn words_room(width: usize) -> usize {
    width.saturating_sub(3)
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
