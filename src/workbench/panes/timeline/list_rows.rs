//! What the rows of the list say, in which columns, and in how many lines all of it is said of the selected one.

use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::cut_video::CutVideo;
use crate::lesson::document::{Lesson, Segment};
use crate::lesson::time::{VideoLength, VideoTime};
use crate::plan::schedule::uncut_lengths;
use crate::text::width::width as columns;
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::drawing::role::Role;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::panes::timeline::list_heading::{CountedRow, TimelineView, has_recorded};
use crate::workbench::panes::timeline::pane::TimelinePane;
use crate::workbench::panes::timeline::row_tuning::{RowTuning, row_tunings};
use crate::workbench::panes::timeline::row_widths::{GAP, KIND, RowWidths, RowWords, TimeWidths};
use crate::workbench::typing::time::write_cuts;

/// The rows of the list in a pane of some width.
#[derive(Debug, Clone)]
pub(super) struct ListRows<'a> {
    tunings: Vec<RowTuning<'a>>,
    /// When each segment starts by the plan.
    pub(super) starts: Vec<VideoTime>,
    /// When each was recorded.
    pub(super) recorded: Vec<String>,
    pub(super) times: TimeWidths,
    /// The column in which titles begin.
    pub(super) title: usize,
    pub(super) widths: RowWidths,
}

impl<'a> ListRows<'a> {
    /// Returns the rows of a lesson in a pane of so many columns.
    pub(super) fn of(lesson: &'a Lesson, width: usize) -> Self {
        let tunings = row_tunings(lesson);
        let starts = lesson.planned_starts().collect::<Vec<VideoTime>>();
        let recorded = recorded_texts(lesson);
        let recorded_room = recorded.iter().map(|text| columns(text)).max().unwrap_or(0);
        let times = TimeWidths::of(lesson, &starts, width);
        let title = times.all() + KIND + if has_recorded(lesson) { recorded_room + GAP } else { 0 };
        let widths = RowWidths::of(lesson, &tunings, width, width.saturating_sub(title));
        Self { tunings, starts, recorded, times, title, widths }
    }

    /// Returns what the row of a segment says, from the title on.
    pub(super) fn words(
        &self,
        pane: &TimelinePane,
        lesson: &Lesson,
        (place, segment): (usize, &'a Segment),
    ) -> RowWords<'a> {
        let flaw = if place == pane.place(lesson) { pane.flaws().words(segment.id) } else { None };
        let tuning = self.tunings.get(place).copied().unwrap_or(RowTuning::Unsaid);
        RowWords { title: &segment.title, tuning, flaw, about: about(lesson, segment) }
    }
}

/// Returns what a row says in lines under the list, the title only where it is cut; none where the row has room for all of it.
pub(super) fn whole_lines(
    rows: &ListRows<'_>,
    words: &RowWords<'_>,
    (width, appearance): (usize, Appearance),
) -> Vec<(String, Role)> {
    if !rows.widths.cuts(words) {
        return Vec::new();
    }
    let width = width.saturating_sub(4);
    // Wrapped lines leave no room for the gaps between facts.
    let about = words.about.replace("   ", ", ");
    let tuning = words.tuning.words();
    let beside: Vec<&str> = [tuning.as_str(), &about].into_iter().filter(|text| !text.is_empty()).collect();
    let beside = beside.join(", ");
    // The sign that something is left out stays on the line of what it is left out of.
    let flaw = words.flaw.as_deref().unwrap_or("").replace(" …", "…");
    // What the row has whole need not be said again.
    let title = if columns(words.title) > rows.widths.title_room(words) { words.title } else { "" };
    let texts = [(title, Role::Strong), (beside.as_str(), Role::Plain), (flaw.as_str(), Role::Caution)];
    let lines = texts
        .into_iter()
        .flat_map(|(text, role)| appearance.wrapped(text, width).into_iter().map(move |line| (line, role)));
    lines.filter(|(text, _)| !text.is_empty()).collect()
}

impl TimelinePane {
    /// Counts the lines that all takes that the selected row says in a pane of this width.
    pub fn count_row(&mut self, open: &EditedLesson, width: usize, appearance: Appearance) {
        let (lesson, selected) = (open.lesson(), self.selected());
        let flaw = selected.and_then(|id| self.flaws().words(id));
        let counted_for = Some((open.revision(), selected, flaw, (width, appearance.charset)));
        if self.counted_row.counted_for == counted_for {
            return;
        }
        let place = self.place(lesson);
        let lines = lesson.segments.get(place).map_or(0, |segment| {
            let rows = ListRows::of(lesson, width);
            let words = rows.words(self, lesson, (place, segment));
            whole_lines(&rows, &words, (width, appearance)).len()
        });
        self.counted_row = CountedRow { counted_for, lines };
    }

    /// Returns how many lines all takes that the selected row says, beside the row; none where the row has room for it.
    pub const fn row_lines(&self) -> usize {
        match self.show() {
            TimelineView::Lanes => self.counted_row.lines,
            TimelineView::Columns => 0,
        }
    }
}

/// Returns when each segment was recorded, in whole seconds: `rec 1:23-2:40`. Without an end of its
/// own it ends where the next one starts. Where something is cut out, the times are those of the uncut video and say so:
/// `uncut 1:23-2:40`.
fn recorded_texts(lesson: &Lesson) -> Vec<String> {
    let whole = |VideoTime(milliseconds)| VideoTime(milliseconds - milliseconds % 1000);
    let label = if CutVideo::of(&lesson.segments).is_cut() { "uncut" } else { "rec" };
    let text = |(segment, length): (&Segment, Option<VideoLength>)| match (segment.recorded, length) {
        (Some(recorded), Some(length)) => {
            format!("{label} {}-{}", whole(recorded.start), whole(recorded.start + length))
        }
        (Some(recorded), None) => format!("{label} {}", whole(recorded.start)),
        (None, _) => String::new(),
    };
    lesson.segments.iter().zip(uncut_lengths(&lesson.segments)).map(text).collect()
}

/// Returns what else there is to know about a segment beside its tuning: music, first talking point.
fn about(lesson: &Lesson, segment: &Segment) -> String {
    let mut facts = Vec::new();
    if !segment.progress.is_unsaid() {
        facts.push(segment.progress.word().to_owned());
    }
    if !segment.cuts.is_empty() {
        facts.push(format!("cut out {}", write_cuts(&segment.cuts)));
    }
    for used in &segment.passages {
        if let Some(passage) = lesson.passage(used.passage) {
            let bars = used.bars.map_or(String::new(), |bars| format!(", {}", BarNumbers::of(passage).range(bars)));
            facts.push(format!("{}{bars}", passage.title));
        }
    }
    match segment.voicings.len() {
        0 => {}
        1 => facts.push("1 voicing".into()),
        count => facts.push(format!("{count} voicings")),
    }
    for piece in segment.pieces.iter().filter_map(|id| lesson.piece(*id)) {
        facts.push(format!("of {}", piece.title));
    }
    if let Some(point) = segment.talking_points.first() {
        facts.push(format!("point: {point}"));
    }
    facts.join("   ")
}
