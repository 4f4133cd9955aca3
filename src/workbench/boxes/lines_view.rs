//! Drawing lists of which one line is selected: lines to choose from, and lines to mark.

use crate::text::fit::fit_with;
use crate::text::width::width as columns;
use crate::workbench::boxes::choice::{Advice, ChoiceBox};
use crate::workbench::boxes::frame::{Inside, framed, title_lines};
use crate::workbench::boxes::marks::{MarkLine, MarksBox};
use crate::workbench::boxes::side_by_side_view;
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::drawing::region::Region;
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::drawing::unseen::{Counted, Unseen};

/// Draws a list to choose from.
pub(super) fn draw_choice(choice: &ChoiceBox, region: &mut Region<'_>) {
    let lines: Vec<&str> = choice.lines.iter().map(|(text, _)| text.as_str()).collect();
    match &choice.advice {
        Advice::Words(advice) => {
            draw_lines(&choice.jump.beside(&choice.title), advice, &lines, choice.selected, region)
        }
        Advice::SideBySide(side) => {
            let mut below = side_by_side_view::draw(side, &choice.jump.beside(&choice.title), lines.len(), region);
            draw_choices(&lines, 0, choice.selected, 0, &mut below);
        }
    }
}

/// Draws a list to mark lines of.
pub(super) fn draw_marks(marks: &MarksBox, region: &mut Region<'_>) {
    let lines = mark_texts(marks);
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    draw_lines(&marks.jump.beside(&marks.title), "", &lines, marks.selected, region);
}

/// Returns the line to choose that is drawn at a cell of a screen of this size.
pub(super) fn choice_line_at(
    choice: &ChoiceBox,
    screen: (usize, usize),
    appearance: Appearance,
    cell: (usize, usize),
) -> Option<usize> {
    let lines: Vec<&str> = choice.lines.iter().map(|(text, _)| text.as_str()).collect();
    match &choice.advice {
        Advice::Words(advice) => {
            LinesInBox::of(&choice.jump.beside(&choice.title), advice, &lines, choice.selected, screen, appearance)
                .line_at(screen, cell)
        }
        Advice::SideBySide(side) => side_by_side_view::choice_at(side, lines.len(), screen, appearance, cell),
    }
}

/// Returns the line to mark that is drawn at a cell of a screen of this size.
pub(super) fn mark_line_at(
    marks: &MarksBox,
    screen: (usize, usize),
    appearance: Appearance,
    cell: (usize, usize),
) -> Option<usize> {
    let lines = mark_texts(marks);
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    LinesInBox::of(&marks.jump.beside(&marks.title), "", &lines, marks.selected, screen, appearance)
        .line_at(screen, cell)
}

fn mark_texts(marks: &MarksBox) -> Vec<String> {
    let written = |line: &MarkLine| format!("{} {}", if line.marked { "[x]" } else { "[ ]" }, line.text);
    marks.lines.iter().map(written).collect()
}

/// How many lines to choose from are in view at least, however long the advice over them is.
const LEAST_LINES: usize = 4;

/// How lines to choose from lie in their box, under advice.
struct LinesInBox {
    /// The title in the frame, and the lines of it that have no room there and stand first.
    title: (String, Vec<String>),
    /// The lines of the advice that have room; those to choose from have it first.
    advice: Vec<String>,
    width: usize,
    count: usize,
    /// The first line in view.
    first: usize,
}

impl LinesInBox {
    fn of(
        title: &str,
        advice: &str,
        lines: &[&str],
        selected: usize,
        screen: (usize, usize),
        appearance: Appearance,
    ) -> Self {
        let longest = advice.lines().map(|line| columns(&appearance.shown(line))).max().unwrap_or(0);
        let widest = lines.iter().map(|text| columns(&appearance.shown(text)) + 2).max().unwrap_or(0);
        let most = screen.0.saturating_sub(8).max(24);
        let comfortable = (screen.0 * 3 / 4).clamp(40, 90);
        let width = widest.max(columns(title) + 2).max(longest.min(comfortable)).clamp(24, most);
        let title = title_lines(title, width, appearance);
        let above = title.1.len();
        let mut advice = appearance.wrapped(advice, width);
        let height = Inside::of(screen, width, above + lines.len() + advice.len()).height;
        let room = height.saturating_sub(above + lines.len().min(LEAST_LINES));
        if advice.len() > room {
            advice.truncate(room);
            if let Some(last) = advice.last_mut() {
                let more = appearance.glyphs().more;
                *last = fit_with(&format!("{last} {more}"), width, more).into_owned();
            }
        }
        let mut scroll = Scroll::default();
        scroll.show(selected, lines.len(), height.saturating_sub(above + advice.len()));
        Self { title, width, count: lines.len(), first: scroll.first(), advice }
    }

    /// Returns what of the lines is not in view.
    fn unseen(&self, screen: (usize, usize)) -> Unseen {
        let height = Inside::of(screen, self.width, self.count + self.above()).height;
        Unseen::of(Counted::Choices, self.first, height.saturating_sub(self.above()), self.count)
    }

    /// Returns how many lines stand over those to choose from.
    fn above(&self) -> usize {
        self.title.1.len() + self.advice.len()
    }

    fn line_at(&self, screen: (usize, usize), cell: (usize, usize)) -> Option<usize> {
        let inside = Inside::of(screen, self.width, self.count + self.above());
        let line = inside.line(cell)?.checked_sub(self.above())? + self.first;
        (line < self.count).then_some(line)
    }
}

/// Draws lines of which one is selected, under advice.
fn draw_lines(title: &str, advice: &str, lines: &[&str], selected: usize, region: &mut Region<'_>) {
    let appearance = region.appearance();
    let screen = (region.width(), region.height());
    let lying = LinesInBox::of(title, advice, lines, selected, screen, appearance);
    let unseen = lying.unseen(screen);
    let above = lying.above();
    let LinesInBox { title: (title, rest), advice, width, first, .. } = lying;
    let mut inside = framed(region, &title, (width, lines.len() + above), unseen);
    let rest = rest.iter().map(|text| (text, Role::FocusedTitle));
    let over = rest.chain(advice.iter().map(|text| (text, Role::Faint)));
    for (line, (text, role)) in over.enumerate() {
        inside.text(0, line, text, role);
    }
    draw_choices(lines, first, selected, above, &mut inside);
}

/// Draws the lines to choose from that are in view, from the line `top` of the box on.
fn draw_choices(lines: &[&str], first: usize, selected: usize, top: usize, inside: &mut Region<'_>) {
    let pointer = inside.appearance().glyphs().pointer;
    let room = inside.height().saturating_sub(top);
    for (line, (place, text)) in lines.iter().enumerate().skip(first).take(room).enumerate() {
        let y = top + line;
        if place == selected {
            inside.text(0, y, pointer, Role::Strong);
            inside.text(2, y, text, Role::Strong);
            let width = inside.width();
            inside.paint(1, width, y, Role::Selected);
        } else {
            inside.text(2, y, text, Role::Plain);
        }
    }
}
