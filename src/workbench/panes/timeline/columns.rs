//! The timeline as a list with columns: every time of every segment side by side.

use crate::lesson::cut_video::CutVideo;
use crate::lesson::document::{Lesson, Progress, Segment};
use crate::lesson::time::{VideoLength, VideoTime};
use crate::plan::schedule::{recorded_lengths, uncut_lengths};
use crate::workbench::drawing::region::{Focused, Region};
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::short_time::{TENTH, rounded, tenths};
use crate::workbench::drawing::unseen::Unseen;
use crate::workbench::panes::timeline::pane::TimelinePane;
use crate::workbench::panes::timeline::row::{RowSelection, begin_row, end_row};

/// One column: its heading, its width, and from which width of the pane on it is there.
struct TimelineColumn {
    heading: &'static str,
    width: usize,
    from: usize,
    text: fn(&TimelineRow<'_>) -> String,
}

/// What the cells of a row are made from.
struct TimelineRow<'a> {
    lesson: &'a Lesson,
    segment: &'a Segment,
    number: usize,
    start: VideoTime,
    /// How long it is in the cut video.
    took: Option<VideoLength>,
    /// How long it is in the recording.
    uncut: Option<VideoLength>,
}

impl TimelineColumn {
    /// Returns its heading. Times of the recording say that they are those of the uncut video where something is cut out.
    fn heading(&self, is_cut: bool) -> &'static str {
        match self.heading {
            "from" if is_cut => "uncut at",
            "to" if is_cut => "uncut to",
            heading => heading,
        }
    }
}

/// The columns before the title, those with times set to the right.
const COLUMNS: [TimelineColumn; 7] = [
    TimelineColumn { heading: "#", width: 3, from: 0, text: |row| row.number.to_string() },
    TimelineColumn { heading: "start", width: 8, from: 0, text: |row| row.start.to_string() },
    TimelineColumn { heading: "planned", width: 8, from: 0, text: |row| row.segment.planned.to_string() },
    TimelineColumn { heading: "from", width: 9, from: 96, text: |row| row.recorded_from() },
    TimelineColumn { heading: "to", width: 9, from: 96, text: |row| row.recorded_to() },
    TimelineColumn {
        heading: "took",
        width: 9,
        from: 96,
        text: |row| row.took.map_or(String::new(), |took| tenths(took.0)),
    },
    TimelineColumn { heading: "+/-", width: 9, from: 0, text: |row| row.difference() },
];

const KIND: usize = 12;
const STATE: usize = 10;
const SETUP: usize = 18;

impl TimelineRow<'_> {
    fn recorded_from(&self) -> String {
        self.segment.recorded.map_or(String::new(), |known| tenths(known.start.0))
    }

    fn recorded_to(&self) -> String {
        let end = self.segment.recorded.and_then(|known| known.end.or(self.uncut.map(|length| known.start + length)));
        end.map_or(String::new(), |end| tenths(end.0))
    }

    /// Returns how much longer than planned it took: `+0:11` or `-0:05`.
    fn difference(&self) -> String {
        let Some(took) = self.took else { return String::new() };
        let (took, planned) = (rounded(took.0, TENTH), rounded(self.segment.planned.0, TENTH));
        let (sign, by) = match took.checked_sub(planned) {
            Some(over) => ("+", over),
            None => ("-", planned - took),
        };
        format!("{sign}{}", tenths(by))
    }

    /// Returns how far it is: what the teacher says, unless it is recorded since.
    fn state(&self) -> &'static str {
        match self.segment.recorded {
            Some(_) if matches!(self.segment.progress, Progress::ReRecord | Progress::Final) => {
                self.segment.progress.word()
            }
            Some(_) if !self.segment.cuts.is_empty() => "retaken",
            // An older version of the program said it in the shot note only.
            Some(_) if self.segment.shot.lines().any(|line| line.starts_with("retake:")) => "retaken",
            Some(_) => "recorded",
            None if !self.segment.progress.is_unsaid() => self.segment.progress.word(),
            None if self.segment.talking_points.is_empty() && self.segment.passages.is_empty() => "empty",
            None => "prepared",
        }
    }
}

/// Draws the columns under the heading of the pane.
pub fn draw(pane: &TimelinePane, lesson: &Lesson, unseen: Unseen, region: &mut Region<'_>, focused: Focused) {
    let width = region.width();
    let shown = || COLUMNS.iter().filter(move |column| width >= column.from);
    let is_cut = CutVideo::of(&lesson.segments).is_cut();
    let mut x = 2;
    for column in shown() {
        x += column.width;
        let heading = column.heading(is_cut);
        region.text(x.saturating_sub(heading.len()), 1, heading, Role::Faint);
    }
    let kind = x + 2;
    let with_setup = width >= 120;
    let title = kind + KIND + STATE + if with_setup { SETUP } else { 0 };
    region.text(kind, 1, "kind", Role::Faint);
    region.text(kind + KIND, 1, "state", Role::Faint);
    if with_setup {
        region.text(kind + KIND + STATE, 1, "tuning", Role::Faint);
    }
    region.text(title, 1, "title", Role::Faint);

    let top = pane.show().list_top(lesson);
    let (height, last) = (pane.show().list_height(lesson, region.height()), region.height().saturating_sub(1));
    let selected = pane.place(lesson);
    let lengths = recorded_lengths(&lesson.segments).into_iter().zip(uncut_lengths(&lesson.segments));
    let rows = lesson.segments.iter().zip(lesson.planned_starts()).zip(lengths).enumerate();
    for (line, (place, ((segment, start), (took, uncut)))) in rows.skip(pane.scroll().first()).take(height).enumerate()
    {
        let region = &mut region.list_line(top + line, last, unseen);
        let row = TimelineRow { lesson, segment, number: place + 1, start, took, uncut };
        let here = RowSelection::of(place, selected);
        let mark = pane.flaws().mark(segment.id);
        let role = begin_row(mark, here, region);
        let mut x = 2;
        for column in shown() {
            x += column.width;
            let text = (column.text)(&row);
            region.text(x.saturating_sub(text.len()), 0, &text, role);
        }
        region.text(kind, 0, segment.kind.word(), role);
        region.text(kind + KIND, 0, row.state(), role);
        if with_setup && let Some(setup) = row.lesson.segment_setup(segment.id) {
            region.cut(kind + KIND + STATE, 0, SETUP - 2, &setup.name, role);
        }
        let end = region.text(title, 0, &segment.title, role);
        if let Some(flaw) = pane.flaws().words(segment.id).filter(|_| here == RowSelection::Here) {
            region.text(end + 2, 0, &flaw, role);
        }
        end_row(mark, here, region, focused);
    }
}
