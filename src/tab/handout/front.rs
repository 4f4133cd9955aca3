//! The first things on page one: title, series, author, date, and the outline of the video.

use std::collections::HashMap;

use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::cut_video::{CutVideo, VideoVersion};
use crate::lesson::document::{BarRange, Header, Lesson, Segment, Setup};
use crate::lesson::id::{PassageId, PieceId, SegmentId};
use crate::lesson::music::Passage;
use crate::lesson::segment::SegmentKind;
use crate::lesson::time::{VideoLength, VideoTime};
use crate::text::width::width;

use super::content::Content;
use super::options::{HandoutOptions, TalkingPoints};
use super::page_look::{HeadingWeight, PageLook};
use super::pages::{PageBlock, RunningHeads};

/// Returns the title as printed.
pub(super) fn title(header: &Header, look: PageLook) -> String {
    let title = look.text(&header.title);
    if title.is_empty() { "Untitled lesson".to_owned() } else { title }
}

/// Returns the series and the number in it: `Kitchen-table rhythm, lesson 4`.
fn series(header: &Header, look: PageLook) -> String {
    let series = look.text(&header.series);
    match (series.is_empty(), header.number) {
        (true, None) => series,
        (true, Some(number)) => format!("Lesson {number}"),
        (false, None) => series,
        (false, Some(number)) => format!("{series}, lesson {number}"),
    }
}

/// Returns what stands over the pages: the series on the first, the title on the others.
pub(super) fn running_heads(header: &Header, look: PageLook) -> RunningHeads {
    RunningHeads { first: series(header, look), others: title(header, look) }
}

/// Returns title, author and date.
pub(super) fn title_block(header: &Header, look: PageLook) -> PageBlock {
    let mut lines = look.centred(&title(header, look));
    let signature: Vec<String> = [&header.author, &header.date]
        .into_iter()
        .map(|text| look.text(text))
        .filter(|text| !text.is_empty())
        .collect();
    if !signature.is_empty() {
        lines.push(String::new());
        lines.extend(look.centred(&signature.join(look.sign(" · ", " - "))));
    }
    PageBlock::whole(0, lines)
}

/// Which times the outline shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Times {
    Planned,
    Recorded,
}

/// Returns the outline of the segments picked; nothing where there are none.
pub(super) fn outline(
    lesson: &Lesson,
    content: &Content<'_>,
    options: &HandoutOptions,
    look: PageLook,
) -> Vec<PageBlock> {
    if content.segments.is_empty() {
        return Vec::new();
    }
    let recorded = lesson.segments.iter().all(|segment| segment.recorded.is_some());
    let times = if recorded { Times::Recorded } else { Times::Planned };
    let planned: Vec<VideoTime> = lesson.planned_starts().collect();
    let video = CutVideo::of(&lesson.segments);
    let start = |place: usize, segment: &Segment| {
        let start = match times {
            Times::Planned => planned.get(place).copied(),
            Times::Recorded => segment.recorded.map(|recorded| video.time_in(options.video, recorded.start)),
        };
        let VideoTime(milliseconds) = start.unwrap_or_default();
        VideoTime(milliseconds - milliseconds % 1000).to_string()
    };
    let shown = content.segments.iter();
    let rows: Vec<(usize, String, &Segment)> =
        shown.map(|&(place, segment)| (place + 1, start(place, segment), segment)).collect();
    let number_width = rows.iter().map(|(number, ..)| number.to_string().len()).max().unwrap_or(1);
    let time_width = rows.iter().map(|(_, time, _)| time.len()).max().unwrap_or(4);
    let kind_width = rows.iter().map(|(.., segment)| segment.kind.word().len()).max().unwrap_or(4);
    let aside = match times {
        Times::Planned => planned_length(lesson, content),
        Times::Recorded if !video.is_cut() => "times in the video".to_owned(),
        Times::Recorded => match options.video {
            VideoVersion::Cut => "times in the cut video".to_owned(),
            VideoVersion::Uncut => "times in the uncut video".to_owned(),
        },
    };
    let mut heading = look.heading(HeadingWeight::Heavy, "The video", &aside);
    heading.push(String::new());
    let mut blocks = vec![PageBlock::with_next(1, heading)];
    let pieces = lesson.pieces_of_passages();
    let retuned = retuned(lesson);
    for (number, time, segment) in rows {
        let label = format!("{number:>number_width$}  {time:>time_width$}  {:kind_width$}  ", segment.kind.word());
        let mut lines = look.hanging(&label, &titled(segment, retuned.get(&segment.id).copied(), look));
        let indent = " ".repeat(width(&label));
        let passages = passages(lesson, &pieces, segment, look);
        if !passages.is_empty() {
            lines.extend(look.hanging(&indent, &passages));
        }
        if options.talking_points == TalkingPoints::Print {
            let bullet = format!("{indent}{} ", look.sign("•", "*"));
            let points = segment.talking_points.iter().map(|point| look.text(point)).filter(|point| !point.is_empty());
            lines.extend(points.flat_map(|point| look.hanging(&bullet, &point)));
        }
        blocks.push(PageBlock::whole(0, lines));
    }
    blocks
}

/// Returns the tuning that each retuning segment leads to.
fn retuned(lesson: &Lesson) -> HashMap<SegmentId, &Setup> {
    let stated = lesson.segments.iter().filter(|segment| segment.kind == SegmentKind::Retuning);
    let stated = stated.map(|segment| (segment.id, segment.setup));
    let led = lesson.led_to().into_iter().chain(stated);
    led.filter_map(|(id, setup)| Some((id, lesson.setup(setup?)?))).collect()
}

/// Returns the title of a segment; behind that of a retuning the tuning, where the title does not name it.
fn titled(segment: &Segment, to: Option<&Setup>, look: PageLook) -> String {
    let title = look.text(&segment.title);
    let to = to.map(|setup| look.text(&setup.name));
    let unsaid = to.filter(|to| !to.is_empty() && !title.to_lowercase().contains(&to.to_lowercase()));
    unsaid.map_or(title.clone(), |to| format!("{title} (to {to})").trim_start().to_owned())
}

/// Returns how long the segments picked shall take, and how long all of them shall take where there are more.
fn planned_length(lesson: &Lesson, content: &Content<'_>) -> String {
    let all = lesson.planned_length();
    if content.segments.len() == lesson.segments.len() {
        return format!("planned, {all} in all");
    }
    let picked: VideoLength = content.segments.iter().map(|(_, segment)| segment.planned).sum();
    format!("planned, {picked} of {all}")
}

/// Returns the passages a segment plays, by piece: `Kiln Street – verse, bars 1–4; chorus`. The
/// piece is always named, even where the title of the segment names it: the list reads alike all through.
fn passages(lesson: &Lesson, pieces: &HashMap<PassageId, PieceId>, segment: &Segment, look: PageLook) -> String {
    let mut by_piece: Vec<(String, Vec<String>)> = Vec::new();
    for used in &segment.passages {
        // What is not printed would be looked for in vain.
        let printed = lesson.passage(used.passage).filter(|passage| !passage.is_blank());
        let Some(passage) = printed else { continue };
        let piece = pieces.get(&passage.id).and_then(|piece| lesson.piece(*piece));
        let piece = piece.map_or_else(String::new, |piece| look.text(&piece.title));
        let bars = used.bars.map_or_else(String::new, |bars| bars_text(passage, bars, look));
        let title = look.text(&passage.title);
        let text = [title, bars].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ");
        let place = by_piece.iter().position(|(known, _)| *known == piece).unwrap_or_else(|| {
            by_piece.push((piece, Vec::new()));
            by_piece.len() - 1
        });
        if let Some((_, said)) = by_piece.get_mut(place)
            && !text.is_empty()
            && !said.contains(&text)
        {
            said.push(text);
        }
    }
    let dash = look.sign("–", "-");
    let say = |(piece, said): (String, Vec<String>)| {
        let said = said.join("; ");
        if piece.is_empty() || said.is_empty() { said } else { format!("{piece} {dash} {said}") }
    };
    by_piece.into_iter().map(say).filter(|text| !text.is_empty()).collect::<Vec<_>>().join("; ")
}

fn bars_text(passage: &Passage, bars: BarRange, look: PageLook) -> String {
    let text = BarNumbers::of(passage).range(bars);
    match text.strip_prefix("bars ") {
        Some(numbers) => format!("bars {}", numbers.replace(" to ", look.sign("–", "-"))),
        None => text,
    }
}
