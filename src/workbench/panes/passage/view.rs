//! Drawing the passage: the tab in view, the cursor in it, and what does not add up.

use crate::lesson::phrase::Slot;
use crate::tab::passage::{EventPlace, SystemMap};
use crate::workbench::drawing::region::{Focused, Region};
use crate::workbench::drawing::role::Role;
use crate::workbench::panes::passage::flaws::Flaw;
use crate::workbench::panes::passage::heights::words_room;
use crate::workbench::panes::passage::page::TITLE;
use crate::workbench::panes::passage::pane::PassagePane;
use crate::workbench::panes::passage::sheet::{Stand, TabLine};

/// The column of the pane in which the tab begins; the one before it is for the cursor's mark.
const LEFT: usize = 1;

/// Draws the whole pane.
pub fn draw(pane: &PassagePane, region: &mut Region<'_>, focused: Focused) {
    if pane.shown.part.is_none() {
        region.heading(TITLE, "", focused);
        for (line, text) in region.appearance().wrapped(&pane.empty, words_room(region.width())).iter().enumerate() {
            region.text(2, 2 + line, text, Role::Plain);
        }
        return;
    }
    region.heading_around(TITLE, &pane.page.title, pane.page.unseen, focused);
    for (place, line) in pane.page.lines.iter().enumerate() {
        let y = 1 + place;
        match line {
            TabLine::Note(text) => _ = region.text(LEFT, y, text, Role::Faint),
            TabLine::Music { text, sheet, system, line } => {
                region.text(LEFT, y, text, Role::Plain);
                let Some(map) = pane.page.sheets.map(*sheet, *system) else { continue };
                draw_marks(pane, map, text, *line, y, region);
                if pane.page.stand.is_some_and(|stand| (stand.sheet, stand.system) == (*sheet, *system)) {
                    draw_cursor(pane, map, text, *line, y, region, focused);
                }
            }
        }
    }
    let foot = region.height().saturating_sub(1);
    if foot > 0 && !pane.page.foot.is_empty() {
        let role = if pane.flaws.under_cursor().is_some() { Role::Caution } else { Role::Faint };
        region.text(LEFT, foot, &pane.page.foot, role);
    }
}

/// Draws a sign at everything that is wrong, and behind the lengths of its bar; and shows what is heard and what is selected.
fn draw_marks(pane: &PassagePane, map: &SystemMap, text: &str, line: usize, y: usize, region: &mut Region<'_>) {
    draw_flaws(pane, map, text, line, y, region);
    if line + 1 == map.strings.start {
        for (bar, columns) in &map.bars {
            if let Some(flaw) = pane.flaws.gravest(*bar) {
                region.text(LEFT + columns.end, y, flaw.sign(), flaw.role());
            }
        }
    }
    if map.strings.contains(&line) {
        for event in &map.events {
            let slot = Slot { bar: event.bar, voice: event.voice, event: event.event };
            if pane.heard.contains(&slot) {
                region.paint(LEFT + event.column, LEFT + event.column + 1, y, Role::Heard);
            }
        }
    }
    let Some(stretch) = pane.cursor.selected().filter(|_| map.strings.contains(&line)) else { return };
    for event in &map.events {
        let slot = Slot { bar: event.bar, voice: event.voice, event: event.event };
        if stretch.holds(slot) {
            region.paint(LEFT + event.column, LEFT + event.column + 1, y, Role::Selected);
        }
    }
}

/// Draws what is wrong with notes and names on one line: the sign beside the place, where there is room, and the place in its style.
fn draw_flaws(pane: &PassagePane, map: &SystemMap, text: &str, line: usize, y: usize, region: &mut Region<'_>) {
    let signs: Vec<char> = text.chars().collect();
    for (bar, _) in &map.bars {
        for flaw in pane.flaws.in_bar(*bar) {
            let is_it =
                |event: &&EventPlace| flaw.is_at(Slot { bar: event.bar, voice: event.voice, event: event.event });
            let Some(event) = map.events.iter().find(is_it) else { continue };
            let lengths = map.strings.start.checked_sub(1);
            let at = match flaw.spot.string {
                Some(string) => Some(map.strings.start + usize::from(string.number()) - 1),
                None if flaw.is_of_name() => map.names.or(lengths),
                None => lengths,
            };
            if at == Some(line) {
                draw_flaw(flaw, &signs, event.column, y, region);
            }
        }
    }
}

/// Draws the sign of what is wrong behind what stands at `column`, else before it.
fn draw_flaw(flaw: &Flaw, signs: &[char], column: usize, y: usize, region: &mut Region<'_>) {
    let is_blank = |sign: &char| *sign == ' ' || is_string(*sign);
    let blank = |at: usize| signs.get(at).is_none_or(is_blank);
    let rest = signs.get(column..).unwrap_or_default();
    let wide = if flaw.spot.string.is_some() && !blank(column) {
        width_at(signs, column)
    } else {
        rest.iter().take_while(|sign| !is_blank(sign)).count()
    };
    region.paint(LEFT + column, LEFT + column + wide, y, flaw.role());
    let places = [Some(column + wide), column.checked_sub(1)];
    if let Some(free) = places.into_iter().flatten().find(|at| blank(*at)) {
        region.text(LEFT + free, y, flaw.sign(), flaw.role());
    }
}

/// Draws the cursor: reversed, between brackets where there is room, and a pointer before its string.
fn draw_cursor(
    pane: &PassagePane,
    map: &SystemMap,
    text: &str,
    line: usize,
    y: usize,
    region: &mut Region<'_>,
    focused: Focused,
) {
    let row = map.strings.start + usize::from(pane.cursor.string.number()) - 1;
    let Some(Stand { column, .. }) = pane.page.stand.filter(|_| line == row) else { return };
    let signs: Vec<char> = text.chars().collect();
    let wide = width_at(&signs, column);
    if focused == Focused::No {
        region.paint(LEFT + column, LEFT + column + wide, y, Role::SelectedElsewhere);
        return;
    }
    let glyphs = region.appearance().glyphs();
    region.text(LEFT - 1, y, glyphs.pointer, Role::Strong);
    let (open, close) = glyphs.cursor;
    let free = |at: usize| signs.get(at).is_some_and(|sign| is_string(*sign));
    if column > 0 && free(column - 1) {
        region.text(LEFT + column - 1, y, open, Role::Strong);
    }
    if free(column + wide) {
        region.text(LEFT + column + wide, y, close, Role::Strong);
    }
    region.paint(LEFT + column, LEFT + column + wide, y, Role::Cursor);
}

/// Returns how many columns what stands at `column` takes: a fret with what belongs to it, or one.
fn width_at(signs: &[char], column: usize) -> usize {
    let rest = signs.get(column..).unwrap_or_default();
    let Some(first) = rest.first() else { return 1 };
    let inside = |sign: &&char| if first.is_ascii_digit() { sign.is_ascii_digit() } else { !is_end(**sign) };
    rest.iter().take_while(inside).count().clamp(1, 6)
}

const fn is_string(sign: char) -> bool {
    matches!(sign, '-' | '─')
}

const fn is_end(sign: char) -> bool {
    is_string(sign) || matches!(sign, '|' | '│' | ' ')
}

/// Draws the title of the passage on one line.
pub fn draw_line(pane: &PassagePane, region: &mut Region<'_>) {
    let text = if pane.shown.part.is_none() { "no tab in this segment" } else { &pane.page.title };
    region.heading(TITLE, text, Focused::No);
}

/// Returns how many times some bars were laid out for a pane so far: what its keys and frames cost.
pub const fn laid_out(pane: &PassagePane) -> usize {
    pane.page.sheets.made()
}
