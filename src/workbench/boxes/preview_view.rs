//! Drawing the preview of the handout.

use crate::lesson::cut_video::VideoVersion;
use crate::tab::handout::options::{SegmentPick, TalkingPoints, UnusedMusic};
use crate::text::charset::Charset;
use crate::text::fit::skip;
use crate::text::paper::Paper;
use crate::text::width::width as columns;
use crate::workbench::boxes::preview::PreviewBox;
use crate::workbench::drawing::region::{Focused, Region};
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::unseen::{Counted, Unseen};

/// Lines that the preview leaves: its own heading, the hints and the line at the foot.
const AROUND: usize = 3;
/// Columns for the two edges of the paper.
const EDGES: usize = 2;

/// Returns how many columns and lines of a page a screen of this size has room for.
pub(in crate::workbench) fn room((width, height): (usize, usize)) -> (usize, usize) {
    (width.saturating_sub(EDGES).max(1), height.saturating_sub(AROUND).max(1))
}

/// Draws the part of the page that is in view, with the edges of the paper.
pub(in crate::workbench) fn draw(preview: &PreviewBox, region: &mut Region<'_>) {
    let (width, height) = (region.width(), region.height());
    let (across, down) = room((width, height));
    let mut screen = region.part(0, 0, width, height.saturating_sub(2));
    screen.clear();
    let (top, left) = (preview.top(down), preview.left(across));
    // The lower edge of the sheet is no line of the page.
    let count = if preview.is_awaited() { 0 } else { preview.sheet().saturating_sub(1) };
    let unseen = Unseen::of(Counted::Lines, top, down, count);
    screen.heading_around("Handout", &facts(preview), unseen, Focused::Yes);
    let options = preview.options();
    let paper = options.width().min(across);
    let x = width.saturating_sub(paper + EDGES) / 2;
    let glyphs = screen.appearance().glyphs();
    for y in 0..down {
        let line = top + y;
        if line + 1 == preview.sheet() {
            screen.line(x, x + paper + EDGES, 1 + y, glyphs.level, Role::Faint);
        }
        if line + 1 >= preview.sheet() {
            return;
        }
        screen.text(x, 1 + y, glyphs.upright, Role::Faint);
        screen.text(x + 1 + paper, 1 + y, glyphs.upright, Role::Faint);
        let text = preview.lines().get(line).map_or("", String::as_str);
        let shown = screen.appearance().shown(text).into_owned();
        let mut part = screen.part(x + 1, 1 + y, paper, 1);
        part.cut(0, 0, paper, &skip(&shown, left), Role::Plain);
        // What is cut off on the left is marked as what is cut off on the right.
        if left > 0 && columns(shown.trim_end()) > 0 && columns(shown.trim_start()) + left > columns(&shown) {
            part.text(0, 0, glyphs.more, Role::Plain);
        }
    }
}

fn facts(preview: &PreviewBox) -> String {
    let (page, pages) = preview.place();
    let options = preview.options();
    let paper = match options.paper {
        Paper::A4 => "A4",
        Paper::Letter => "Letter",
    };
    let characters = match options.charset {
        Charset::Utf8 => "",
        Charset::Ascii => ", plain ASCII",
    };
    let points = match options.talking_points {
        TalkingPoints::LeaveOut => "",
        TalkingPoints::Print => ", with talking points",
    };
    let segments = match &options.segments {
        SegmentPick::All => String::new(),
        some @ SegmentPick::Only { .. } => format!(", segments {some}"),
    };
    let unused = match (options.unused, &options.segments) {
        (UnusedMusic::Print, SegmentPick::All) => ", with unused tab",
        (UnusedMusic::Print, SegmentPick::Only { .. }) | (UnusedMusic::LeaveOut, _) => "",
    };
    let video = match options.video {
        VideoVersion::Cut => "",
        VideoVersion::Uncut => ", uncut times",
    };
    let width = options.columns.map_or_else(String::new, |columns| format!(", width {}", columns.get()));
    let about = format!("{paper}{width}{characters}{points}{segments}{unused}{video}");
    if preview.is_awaited() {
        return format!("{about}   being laid out");
    }
    format!("{about}   page {} of {pages}", page + 1)
}
