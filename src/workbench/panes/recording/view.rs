//! Draws the recording view: the clock, the segment that is being recorded, its cues and the segment that comes next.
//! The hint and status lines are not drawn here.

use ratatui::layout::Size;

use crate::lesson::cut_video::CutVideo;
use crate::lesson::document::{Lesson, Segment};
use crate::lesson::time::{VideoLength, VideoTime};
use crate::lesson::tunings::TuningStep;
use crate::plan::schedule::Totals;
use crate::text::width::width as columns;
use crate::workbench::drawing::region::Region;
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::short_time::{SECOND, rounded, seconds};
use crate::workbench::drawing::unseen::{Amount, Counted, Unseen};
use crate::workbench::keys::action::RecordingAction;
use crate::workbench::messages::message::Mouse;
use crate::workbench::messages::missing_starts::Missing;
use crate::workbench::panes::recording::clock_face;
use crate::workbench::panes::recording::cues::CueLine;
use crate::workbench::panes::recording::pane::{Guard, RecordingPane, TakeStage, whole};
use crate::workbench::panes::recording::words::{Replaced, StartsToo};

/// The column in which every line begins.
const LEFT: usize = 2;
/// A time as long as those of most videos, by which the scale of the clock is chosen.
const USUAL: &str = "00:00";
/// The smallest height, in lines, with room for large digits and the cues.
const TALL: usize = 36;
/// The smallest height, in lines, at which empty lines set the parts apart.
const ROOMY: usize = 28;
/// The word before what comes next.
const NEXT: &str = "NEXT";
/// The columns kept free beside the clock for the length of the segment.
const BESIDE: usize = 26;

/// The layout of the view, in lines of the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Parts {
    width: usize,
    scale: usize,
    /// The first line of the clock, under the lesson's title.
    clock: usize,
    /// The line that names the segment.
    now: usize,
    /// The first line of the cues and the number of their lines.
    cues: (usize, usize),
    /// The line that says what comes next.
    next: usize,
}

impl Parts {
    /// Returns the layout for a screen of this size, whose last two lines are not part of the view.
    pub fn of(size: Size) -> Self {
        let (width, height) = (usize::from(size.width), usize::from(size.height));
        let large = height >= TALL && width >= LEFT + clock_face::width(USUAL, 2) + BESIDE;
        let scale = if large { 2 } else { 1 };
        // On a low screen the cues get the lines that are otherwise left empty.
        let gap = usize::from(height >= ROOMY);
        let clock = 1 + gap;
        let now = clock + clock_face::LINES * scale + gap;
        let next = height.saturating_sub(3 + gap);
        let top = now + 2 + gap;
        Self { width, scale, clock, now, cues: (top, next.saturating_sub(top + 1)), next }
    }

    /// Returns the scale of this time's digits: a time with hours is too wide for some screens at the larger scale.
    fn scale_of(self, time: &str) -> usize {
        let fits = |scale: &usize| self.width >= LEFT + clock_face::width(time, *scale) + BESIDE;
        (1..=self.scale).rev().find(fits).unwrap_or(1)
    }

    /// Returns the number of columns and lines for the cues.
    pub const fn cue_room(self) -> (usize, usize) {
        (self.width.saturating_sub(2 * LEFT), self.cues.1)
    }
}

/// Returns the action that the mouse asks for: a click on the clock holds it or runs it, a click on the next segment
/// starts that segment, and the wheel scrolls the cues.
pub fn pointed_at(pane: &RecordingPane, size: Size, mouse: Mouse) -> Option<RecordingAction> {
    let parts = Parts::of(size);
    match mouse {
        Mouse::Drag(_) | Mouse::Release(_) => None,
        Mouse::WheelUp(_) => Some(RecordingAction::ScrollUp),
        Mouse::WheelDown(_) => Some(RecordingAction::ScrollDown),
        Mouse::Click(place) => {
            let (x, y) = (usize::from(place.x), usize::from(place.y));
            let time = whole(pane.clock().time()).to_string();
            let scale = parts.scale_of(&time);
            let clock = LEFT..LEFT + clock_face::width(&time, scale);
            let on_clock = clock.contains(&x) && (parts.clock..parts.clock + clock_face::LINES * scale).contains(&y);
            match (on_clock, y == parts.next) {
                (true, _) => Some(RecordingAction::RunOrHold),
                (false, true) => Some(RecordingAction::Advance),
                (false, false) => None,
            }
        }
    }
}

/// The lesson and the stage of its recording, which are drawn beside the pane's own state.
#[derive(Clone, Copy)]
struct Take<'a> {
    lesson: &'a Lesson,
    segment: &'a Segment,
    /// The index of that segment in the list.
    place: usize,
    stage: TakeStage,
}

/// Draws the view for the segment at index `place`, without the hint and status lines.
pub fn draw(pane: &RecordingPane, lesson: &Lesson, place: usize, region: &mut Region<'_>) {
    let short = |number: usize| u16::try_from(number).unwrap_or(u16::MAX);
    let parts = Parts::of(Size { width: short(region.width()), height: short(region.height()) });
    draw_top(lesson, place, region);
    let Some(segment) = lesson.segments.get(place) else {
        region.text(LEFT, parts.clock, "There is no segment left to record.", Role::Strong);
        return;
    };
    let take = Take { lesson, segment, place, stage: pane.stage(lesson, segment) };
    draw_clock(pane, take, parts, region);
    let parts = draw_now(pane, take, parts, region);
    draw_cues(pane, parts, region);
    let (cues, above, below) = pane.cues();
    draw_next(take, (parts.next, parts.cues.1.saturating_sub(cues.len() + above + below)), region);
}

fn draw_top(lesson: &Lesson, place: usize, region: &mut Region<'_>) {
    let totals = Totals::of(lesson);
    let count = lesson.segments.len();
    let facts = format!(
        "{} recorded   {} of {} planned ",
        totals.recorded_segments,
        seconds(totals.recorded.0),
        seconds(totals.planned.0)
    );
    let left = region.right(0, &facts, Role::Plain);
    // The number of the segment matters more than the end of a long title.
    let number = format!("   segment {} of {count}", place + 1);
    let title = if lesson.header.title.trim().is_empty() { "untitled lesson" } else { &lesson.header.title };
    let room = left.saturating_sub(LEFT + 2 + columns(&number));
    let x = region.cut(LEFT, 0, room, title, Role::Strong);
    region.text(x, 0, &number, Role::Strong);
}

fn draw_clock(pane: &RecordingPane, take: Take<'_>, parts: Parts, region: &mut Region<'_>) {
    let Take { lesson, segment, place, stage } = take;
    let segments = &lesson.segments;
    let time = pane.clock().time();
    let shown = whole(time).to_string();
    let scale = parts.scale_of(&shown);
    let width = clock_face::width(&shown, scale);
    let running = pane.clock().is_running();
    let role = if running { Role::Strong } else { Role::Plain };
    clock_face::draw(&shown, scale, &mut region.part(LEFT, parts.clock, width, clock_face::LINES * scale), role);
    let x = LEFT + width + 4;
    let (word, role) = match (stage, running) {
        (TakeStage::Over, _) if Missing::of(segments).is_some() => ("SOME SEGMENTS HAVE NO START TIME", Role::Caution),
        (TakeStage::Over, _) => ("ALL RECORDED", Role::Good),
        (TakeStage::Ready, false) => ("READY", Role::Caution),
        (TakeStage::Ready | TakeStage::Going, true) => ("RUNNING", Role::Good),
        (TakeStage::Going, false) => ("PAUSED", Role::Caution),
    };
    region.text(x, parts.clock, word, role);
    let mut lines = beside(stage, segment, time);
    let earlier = segments.get(..place).filter(|_| stage == TakeStage::Ready);
    if let Some((who, how)) = earlier.and_then(Missing::of).map(|missing| missing.in_two_lines()) {
        lines.extend([(who, Role::Caution), (how.to_owned(), Role::Caution)]);
    }
    let other = StartsToo::of(segments, segment.id, time).filter(|_| stage == TakeStage::Ready);
    lines.extend(other.map(|other| (other.words(), Role::Caution)));
    // The line under the clock may be that of the segment's title.
    let top = if lines.len() > clock_face::LINES - 2 { 1 } else { 2 };
    let cut = CutVideo::of(segments);
    // After a retake there are two times, that of the camera and that of the video.
    if top > 1 && cut.is_cut() {
        let there = format!("cut video {}", whole(cut.time(time)));
        let both = format!("recording clock; {there}");
        let fits = columns(&both) + x <= region.width();
        region.text(x, parts.clock + 1, if fits { &both } else { &there }, Role::Faint);
    }
    for (line, (text, role)) in lines.into_iter().enumerate() {
        region.text(x, parts.clock + top + line, &text, role);
    }
}

/// Returns the lines beside the clock: how long the segment has taken and what is left of its plan.
fn beside(stage: TakeStage, segment: &Segment, time: VideoTime) -> Vec<(String, Role)> {
    let planned = VideoLength(rounded(segment.planned.0, SECOND));
    let start = segment.first_shown().filter(|_| stage != TakeStage::Ready);
    let Some(start) = start else { return vec![(format!("{planned} planned"), Role::Plain)] };
    let end = segment.recorded.and_then(|known| known.end).filter(|_| stage == TakeStage::Over).unwrap_or(time);
    // Both sides are in whole seconds, so that passed and remaining time add up on the screen. A running clock shows
    // only completed seconds.
    let took = end.since(start).unwrap_or_default().0;
    let passed = VideoLength(if stage == TakeStage::Over { rounded(took, SECOND) } else { took - took % SECOND });
    let line = (format!("{passed} of {planned}"), Role::Strong);
    let left = match planned.0.checked_sub(passed.0) {
        Some(left) => (format!("{} left", VideoLength(left)), Role::Plain),
        None => (format!("{} OVER", VideoLength(passed.0 - planned.0)), Role::Caution),
    };
    vec![line, left]
}

/// Draws the segment's title and what there is to know of it. Returns the layout for the cues, which begin further down where they leave
/// lines that the facts need.
fn draw_now(pane: &RecordingPane, take: Take<'_>, parts: Parts, region: &mut Region<'_>) -> Parts {
    let Take { lesson, segment, place, stage } = take;
    let word = match stage {
        TakeStage::Ready => "FIRST",
        TakeStage::Going => "NOW",
        TakeStage::Over => "LAST",
    };
    let x = region.text(LEFT, parts.now, word, Role::Key);
    let title = format!("{}  {}", place + 1, segment.title);
    let setup = lesson.segment_setup(segment.id);
    let mut facts = vec![segment.kind.word().to_owned()];
    facts.extend(setup.map(|setup| setup.name.clone()));
    facts.extend(setup.map(|setup| setup.tone.trim().to_owned()).filter(|tone| !tone.is_empty()));
    facts.extend(segment.pieces.iter().filter_map(|id| lesson.piece(*id)).map(|piece| format!("of {}", piece.title)));
    let mut x = x + 2;
    let room = region.width().saturating_sub(x + LEFT);
    let (cues, above, below) = pane.cues();
    let mut free = parts.cues.1.saturating_sub(cues.len() + above + below);
    let mut y = parts.now;
    let titles = region.appearance().wrapped(&title, room);
    if titles.len() > 1 && titles.len() <= free + 1 {
        for (line, text) in titles.iter().enumerate() {
            region.text(x, y + line, text, Role::FocusedTitle);
        }
        (y, free) = (y + titles.len() - 1, free + 1 - titles.len());
    } else {
        region.cut(x, y, room, &title, Role::FocusedTitle);
    }
    y += 1;
    let (one_line, caution) = (facts.join("   "), what_is_replaced(pane, take));
    let needed = columns(&region.appearance().shown(&one_line));
    if let Some(text) = caution {
        let end = region.text(x, y, &text, Role::Caution) + 3;
        if free > 0 && end + needed + LEFT > region.width() {
            (y, free) = (y + 1, free - 1);
        } else {
            x = end;
        }
    }
    let width = region.width().saturating_sub(x + LEFT);
    // Wrapped lines leave no room for the gaps between facts.
    let wrapped = if needed > width { region.appearance().wrapped(&facts.join(", "), room) } else { Vec::new() };
    if wrapped.len() > 1 && wrapped.len() <= free + 1 && width == room {
        for (line, text) in wrapped.iter().enumerate() {
            region.text(x, y + line, text, Role::Plain);
        }
        y += wrapped.len() - 1;
    } else {
        region.cut(x, y, width, &one_line, Role::Plain);
    }
    let down = y - (parts.now + 1);
    Parts { cues: (parts.cues.0 + down, parts.cues.1 - down), ..parts }
}

/// Returns which time a stroke replaces and how many strokes that takes, in words; `None` where it replaces none, or
/// where the take goes on over times of another day.
fn what_is_replaced(pane: &RecordingPane, Take { lesson, place, stage, .. }: Take<'_>) -> Option<String> {
    let replaced = Replaced::of(lesson, place, stage)?;
    let Replaced { number, word, time } = replaced;
    let guard = pane.guard();
    if stage == TakeStage::Ready && pane.clock().time() == time {
        let asks = guard == Guard::Asks && !pane.begins_again(lesson, place, replaced);
        let strokes = if asks { "two presses record" } else { "the next press records" };
        return Some(format!("recorded {}: {strokes} it again from there", seconds(time.0)));
    }
    let time = seconds(time.0);
    let known = match stage {
        TakeStage::Ready => format!("recorded {time}"),
        TakeStage::Going | TakeStage::Over if guard == Guard::Free => return None,
        TakeStage::Going | TakeStage::Over => format!("{number} has its {word} at {time}"),
    };
    let strokes = if guard == Guard::Asks { "two presses replace it" } else { "the next press replaces it" };
    Some(format!("{known}: {strokes}"))
}

fn draw_cues(pane: &RecordingPane, parts: Parts, region: &mut Region<'_>) {
    let (lines, above, below) = pane.cues();
    let width = parts.cue_room().0;
    for (line, cue) in lines.iter().enumerate() {
        let (text, role) = match cue {
            CueLine::Point(text) => (text, Role::Strong),
            CueLine::Music(text) | CueLine::Beside(text) => (text, Role::Plain),
            CueLine::Note(text) => (text, Role::Faint),
        };
        region.cut(LEFT, parts.cues.0 + line, width, text, role);
    }
    let unseen = Unseen::beside(Amount::of(above, Counted::Lines), Amount::of(below, Counted::Lines));
    let glyphs = region.appearance().glyphs();
    region.right(parts.cues.0.saturating_sub(1), &format!("{} ", unseen.above(glyphs)), Role::Caution);
    region.right(parts.next.saturating_sub(1), &format!("{} ", unseen.below(glyphs)), Role::Caution);
}

/// Draws what comes next on line `y`; where that is too short for it and lines over it are `free`, on two.
fn draw_next(Take { lesson, place, stage, .. }: Take<'_>, (y, free): (usize, usize), region: &mut Region<'_>) {
    let x = LEFT + columns(NEXT) + 2;
    let next = lesson.segments.get(place + 1).filter(|_| stage != TakeStage::Over);
    let Some(next) = next else {
        let text = match Missing::of(&lesson.segments) {
            _ if stage != TakeStage::Over => "the end".to_owned(),
            Some(missing) => missing.words(),
            None => "nothing: the lesson is recorded".to_owned(),
        };
        region.text(LEFT, y, NEXT, Role::Key);
        region.text(x, y, &text, Role::Plain);
        return;
    };
    let mut facts = vec![next.kind.word().to_owned(), seconds(next.planned.0)];
    // The player must know of a change of setup before the camera runs.
    let here = lesson.segments.get(place).and_then(|segment| lesson.segment_setup(segment.id));
    let there = lesson.segment_setup(next.id);
    if let Some(there) = there.filter(|there| here.is_none_or(|here| here.id != there.id)) {
        facts.push(match here.map_or(TuningStep::Retune, |here| TuningStep::between(here, there)) {
            TuningStep::Nothing => there.name.clone(),
            TuningStep::Capo(step) => step.short().to_uppercase(),
            TuningStep::Retune => format!("RETUNE: {}", there.name),
            TuningStep::Instrument => format!("CHANGE TO {}", there.name),
        });
    }
    let facts = facts.join("   ");
    let title = format!("{}  {}", place + 2, next.title);
    let room = region.width().saturating_sub(x + columns(&region.appearance().shown(&facts)) + 5);
    if free > 0 && columns(&region.appearance().shown(&title)) > room {
        region.text(LEFT, y.saturating_sub(1), NEXT, Role::Key);
        region.cut(x, y.saturating_sub(1), region.width().saturating_sub(x + LEFT), &title, Role::Strong);
        region.text(x, y, &facts, Role::Plain);
        return;
    }
    region.text(LEFT, y, NEXT, Role::Key);
    let x = region.cut(x, y, room.max(12), &title, Role::Strong);
    region.text(x + 3, y, &facts, Role::Plain);
}
