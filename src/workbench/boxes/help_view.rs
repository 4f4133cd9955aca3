//! Drawing the list of all keys.

use crate::workbench::boxes::frame::{Inside, framed};
use crate::workbench::boxes::help::{HelpBox, KeysOfJob, ShownLine};
use crate::workbench::boxes::search_view::{all_of, draw_offer, draw_whole, key_room};
use crate::workbench::boxes::typed_view::{Typing, draw_typed};
use crate::workbench::drawing::region::Region;
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::drawing::unseen::{Counted, Unseen};

/// Columns for a heading.
const HEADING: usize = 26;
/// Lines for the whole of what is selected.
const WHOLE: usize = 2;

/// Draws the box.
pub(in crate::workbench) fn draw(help: &HelpBox, region: &mut Region<'_>) {
    let width = region.width().saturating_sub(6).clamp(40, 110);
    let height = (help.shown().len() + 1 + WHOLE).max(19).min(region.height().saturating_sub(5));
    let room = Inside::of((region.width(), region.height()), width, height).height.saturating_sub(1 + WHOLE);
    let mut scroll = Scroll::default();
    scroll.show(help.selected(), help.shown().len(), room);
    let unseen = Unseen::of(Counted::Lines, scroll.first(), room, help.shown().len());
    let mut inside = framed(region, "All keys: type to narrow the list", (width, height), unseen);
    draw_typed(help.line(), 0, Typing::Here, &mut inside);
    let (width, height) = (inside.width(), inside.height());
    let Some(selected) = help.selected_line() else {
        let lines = inside.appearance().wrapped(&help.nothing_found(), width.saturating_sub(4));
        for (line, text) in lines.iter().enumerate() {
            inside.text(2, 2 + line, text, Role::Plain);
        }
        return;
    };
    let offers = help.shown().filter_map(|line| match line {
        Some(ShownLine::Offer(offer)) => Some(offer),
        Some(ShownLine::Heading(_)) | None => None,
    });
    let key_room = key_room(offers, width);
    for (line, (number, shown)) in help.shown().enumerate().skip(scroll.first()).take(room).enumerate() {
        match shown {
            Some(ShownLine::Heading(job)) => draw_heading(job, 1 + line, &mut inside),
            Some(ShownLine::Offer(offer)) => draw_offer(offer, 1 + line, key_room, &mut inside),
            None => {}
        }
        if number == help.selected() {
            let pointer = inside.appearance().glyphs().pointer;
            inside.text(0, 1 + line, pointer, Role::Strong);
            inside.paint(1, width, 1 + line, Role::Selected);
        }
    }
    let whole = match selected {
        ShownLine::Heading(job) => in_short(job),
        ShownLine::Offer(offer) => all_of(offer, key_room),
    };
    draw_whole(&whole, height.saturating_sub(WHOLE), WHOLE, &mut inside);
}

/// Draws a heading, and beside it what is under it in short.
fn draw_heading(job: &KeysOfJob, y: usize, region: &mut Region<'_>) {
    let width = region.width();
    region.cut(2, y, HEADING, &job.heading, Role::FocusedTitle);
    region.cut(3 + HEADING, y, width.saturating_sub(HEADING + 3), &in_short(job), Role::Faint);
}

/// Returns what is under a heading: first what the hint line has words for, then what is soon said.
fn in_short(job: &KeysOfJob) -> String {
    let hints = job.offers.iter().map(|offer| offer.hint.as_str());
    let helps = job.offers.iter().filter(|offer| offer.hint.is_empty());
    let helps = helps.filter_map(|offer| offer.help.split([';', ':', ',']).next()).filter(|help| help.len() <= SHORT);
    let mut words: Vec<&str> = Vec::new();
    for word in hints.chain(helps).filter(|word| !word.is_empty()) {
        if !words.contains(&word) {
            words.push(word);
        }
    }
    words.join(", ")
}

/// The longest beginning of a help text, in bytes, that stands beside a heading.
const SHORT: usize = 24;
