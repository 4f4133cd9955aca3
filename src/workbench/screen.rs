//! Drawing the whole screen. The same state always gives the same cells.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::action::Focus;
use super::boxes_view;
use super::desk::Desk;
use super::edited_lesson::{Access, Saving};
use super::layout::{Extent, Layout, Placed, SMALLEST};
use super::look::Role;
use super::message::{Notice, Weight};
use super::panes::fretboard_view::describe;
use super::panes::{fretboard_view, library, passage, readings, start, timeline_view};
use super::pen::{Focused, Pen};
use super::state::{State, View};
use crate::plan::schedule::Totals;
use crate::tab::clean::width as columns;

/// Draws everything.
pub fn draw(state: &State, area: Rect, buffer: &mut Buffer) {
    let mut pen = Pen::new(buffer, area, state.look);
    if area.width < SMALLEST.width || area.height < SMALLEST.height {
        draw_cramped(state, &mut pen);
        return;
    }
    match &state.view {
        View::Start => {
            let height = pen.height().saturating_sub(2);
            let width = pen.width();
            start::draw(&state.start, &mut pen.part(0, 0, width, height));
        }
        View::Desk(desk) => {
            if let Some(layout) = state.layout() {
                draw_desk(state, desk, &layout, &mut pen);
            }
        }
    }
    draw_hints(state, &mut pen);
    draw_status(state, &mut pen);
    if let Some(overlay) = &state.overlay {
        boxes_view::draw(overlay, &mut pen);
    }
}

/// Says that there is no room, and that nothing is lost.
fn draw_cramped(state: &State, pen: &mut Pen<'_>) {
    let (width, height) = (pen.width(), pen.height());
    pen.text(0, 0, "fingerpost needs more room:", Role::Strong);
    let now = format!("{} x {} or more; it has {width} x {height}.", SMALLEST.width, SMALLEST.height);
    pen.text(0, 1, &now, Role::Plain);
    if state.desk().is_some() {
        pen.text(0, 3, "Your lesson is safe meanwhile.", Role::Plain);
    }
    if let Some(key) = state.keys.key_for(super::action::Pane::Program, QUIT) {
        pen.text(0, 4, &format!("{key} quits."), Role::Plain);
    }
}

const QUIT: super::action::Action = super::action::Action::Program(super::action::ProgramAction::Quit);

fn draw_desk(state: &State, desk: &Desk, layout: &Layout, pen: &mut Pen<'_>) {
    draw_header(state, desk, pen);
    for placed in layout.panes {
        let Placed { focus, area, extent } = placed;
        let of = |number: u16| usize::from(number);
        let mut part = pen.part(of(area.x), of(area.y), of(area.width), of(area.height));
        let focused = Focused::of(desk.focus, focus);
        match extent {
            Extent::Whole => draw_pane(desk, focus, &mut part, focused),
            Extent::Line => draw_pane_line(desk, focus, &mut part),
        }
    }
}

/// Draws a pane.
pub fn draw_pane(desk: &Desk, focus: Focus, pen: &mut Pen<'_>, focused: Focused) {
    match focus {
        Focus::Timeline => timeline_view::draw(&desk.timeline, &desk.lesson, pen, focused),
        Focus::Passage => passage::draw(&desk.passage, &desk.lesson, pen, focused),
        Focus::Fretboard => {
            let reading = desk.readings.selected().map(|named| &named.reading);
            fretboard_view::draw(&desk.fretboard, reading, pen, focused);
        }
        Focus::Readings => readings::draw(&desk.readings, &desk.fretboard, pen, focused),
        Focus::Library => library::draw(&desk.library, pen, focused),
    }
}

fn draw_pane_line(desk: &Desk, focus: Focus, pen: &mut Pen<'_>) {
    match focus {
        Focus::Timeline => timeline_view::draw_line(&desk.timeline, &desk.lesson, pen),
        Focus::Passage => passage::draw_line(&desk.passage, pen),
        Focus::Fretboard => fretboard_view::draw_line(&desk.fretboard, pen),
        Focus::Readings => readings::draw_line(&desk.readings, pen),
        Focus::Library => library::draw_line(&desk.library, pen),
    }
}

/// Draws the top line: the lesson's title, what it is played on, how long it is, whether it is saved.
fn draw_header(state: &State, desk: &Desk, pen: &mut Pen<'_>) {
    let lesson = desk.lesson.lesson();
    let totals = Totals::of(lesson);
    let mut facts = vec![describe(desk.fretboard.rig()), format!("planned {}", totals.planned)];
    if totals.recorded_segments > 0 {
        facts.push(format!("recorded {}", totals.recorded));
    }
    let (word, role) = saved_word(desk);
    facts.push(word.to_owned());
    let facts = state.look.shown(&facts.join("   ")).into_owned();
    let x = pen.width().saturating_sub(columns(&facts) + 1);
    let title = if lesson.header.title.trim().is_empty() { "untitled lesson" } else { &lesson.header.title };
    pen.cut(1, 0, x.saturating_sub(3), title, Role::Strong);
    let end = pen.text(x, 0, &facts, Role::Plain);
    pen.paint(end.saturating_sub(word.len()), end, 0, role);
}

fn saved_word(desk: &Desk) -> (&'static str, Role) {
    match (desk.lesson.access(), desk.lesson.saving(), desk.lesson.is_saved()) {
        (Access::ReadOnly(_), _, _) => ("read only", Role::Caution),
        (Access::Free, Saving::Running, _) => ("saving", Role::Plain),
        (Access::Free, Saving::Failed, _) => ("NOT SAVED", Role::Bad),
        (Access::Free, Saving::Idle, true) => ("saved", Role::Good),
        (Access::Free, Saving::Idle, false) => ("not saved yet", Role::Caution),
    }
}

/// Draws the keys that work here, as many as there is room for.
fn draw_hints(state: &State, pen: &mut Pen<'_>) {
    let y = pen.height().saturating_sub(2);
    let width = pen.width();
    let mut x = 1;
    for (key, words) in state.keys.hints(state.pane()) {
        let key = key.to_string();
        let needed = columns(&key) + 1 + columns(words);
        if x + needed >= width {
            break;
        }
        x = pen.text(x, y, &key, Role::Key);
        x = pen.text(x + 1, y, words, Role::Plain) + 2;
    }
}

/// Draws the line at the foot: what there is to say, and how many problems there are.
fn draw_status(state: &State, pen: &mut Pen<'_>) {
    let y = pen.height().saturating_sub(1);
    let count = state.desk().map_or(0, |desk| desk.problems.len());
    let problems = match count {
        0 => String::new(),
        1 => "1 thing to look at".to_owned(),
        count => format!("{count} things to look at"),
    };
    let key = state.keys.key_for(super::action::Pane::Desk, PROBLEMS).filter(|_| count > 0);
    let problems = key.map_or(problems.clone(), |key| format!("{key}: {problems}"));
    let left = if problems.is_empty() { pen.width() } else { pen.right(y, &format!("{problems} "), Role::Caution) };
    if let Some(Notice { weight, text }) = &state.notice {
        let role = match weight {
            Weight::Done => Role::Good,
            Weight::Note => Role::Caution,
            Weight::Trouble => Role::Bad,
        };
        let mark = if *weight == Weight::Trouble { "! " } else { "" };
        pen.cut(1, y, left.saturating_sub(3), &format!("{mark}{text}"), role);
    }
}

const PROBLEMS: super::action::Action = super::action::Action::Desk(super::action::DeskAction::ShowProblems);
