//! Drawing the search for an action.

use crate::text::fit::fit_with;
use crate::text::width::width as columns;
use crate::workbench::boxes::frame::{Inside, framed};
use crate::workbench::boxes::search::{Offer, OfferWay, SearchBox};
use crate::workbench::boxes::typed_view::{Typing, draw_typed};
use crate::workbench::drawing::region::Region;
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::drawing::unseen::{Counted, Unseen};

/// The least columns for the keys.
const KEYS: usize = 12;
/// The columns of a box from which on the keys have all the room that they need.
const WIDE: usize = 90;
/// Lines for the whole of what the selected action does.
const WHOLE: usize = 2;
/// Lines for what is typed, for a gap, for what is selected and for its name in key files.
const AROUND: usize = 4 + WHOLE;

/// Draws the box.
pub(in crate::workbench) fn draw(search: &SearchBox, region: &mut Region<'_>) {
    let width = region.width().saturating_sub(8).clamp(40, 96);
    let height = region.height().saturating_sub(8).clamp(AROUND + 1, AROUND + 18);
    let inside = Inside::of((region.width(), region.height()), width, height);
    // What is pointed to stands above what was found.
    let pointed = region.appearance().wrapped(search.pointed().unwrap_or_default(), inside.width.saturating_sub(4));
    let above = 2 + pointed.len();
    let room = inside.height.saturating_sub(AROUND + pointed.len());
    let mut scroll = Scroll::default();
    scroll.show(search.selected(), search.found().len(), room);
    let unseen = Unseen::of(Counted::Actions, scroll.first(), room, search.found().len());
    let mut inside = framed(region, "Search for an action", (width, height), unseen);
    let (width, height) = (inside.width(), inside.height());
    let count = search.found().len().to_string();
    let left = inside.right(0, &count, Role::Faint);
    draw_typed(search.line(), 0, Typing::Here, &mut inside.part(0, 0, left.saturating_sub(1), 1));
    let Some(selected) = search.offer() else {
        let lines = inside.appearance().wrapped(&search.nothing_found(), width.saturating_sub(4));
        for (line, text) in lines.iter().enumerate() {
            inside.text(2, 2 + line, text, Role::Plain);
        }
        return;
    };
    for (line, text) in pointed.iter().enumerate() {
        inside.text(2, 1 + line, text, Role::Plain);
    }
    let key_room = key_room(search.found(), width);
    for (line, (number, offer)) in search.found().enumerate().skip(scroll.first()).take(room).enumerate() {
        draw_offer(offer, above + line, key_room, &mut inside);
        if number == search.selected() {
            let pointer = inside.appearance().glyphs().pointer;
            inside.text(0, above + line, pointer, Role::Strong);
            inside.paint(1, width, above + line, Role::Selected);
        }
    }
    draw_whole(&all_of(selected, key_room), height.saturating_sub(1 + WHOLE), WHOLE, &mut inside);
    // What the key file calls it.
    inside.text(2, height.saturating_sub(1), &format!("name in a key file: {}", selected.action.name()), Role::Faint);
}

/// Returns how many columns the keys of offers have in a box of this width: where it is wide, as many as the longest need; in any box
/// as many as the first key of each.
pub(super) fn key_room<'a>(offers: impl Iterator<Item = &'a Offer>, width: usize) -> usize {
    let most = if width < WIDE { KEYS } else { width / 4 };
    let room = |offer: &Offer| {
        let first = offer.keys.split(SEPARATOR).next().map_or(0, columns);
        let goes_on = if first < columns(&offer.keys) { first + MORE } else { first };
        columns(&offer.keys).min(most).max(goes_on)
    };
    offers.map(room).max().unwrap_or(0).max(KEYS)
}

/// What stands between two keys.
const SEPARATOR: &str = ", ";
/// The columns of the sign that there are more keys, with the gap before it.
const MORE: usize = 2;

/// Returns as many of some keys as have room, each of them whole; a sign says where there are more.
fn whole_keys(keys: &str, room: usize, more: &str) -> String {
    if columns(keys) <= room {
        return keys.to_owned();
    }
    let mut shown = String::new();
    for key in keys.split(SEPARATOR) {
        let longer = if shown.is_empty() { key.to_owned() } else { format!("{shown}{SEPARATOR}{key}") };
        if columns(&longer) + MORE > room {
            break;
        }
        shown = longer;
    }
    format!("{shown} {more}")
}

/// Returns all that there is to say of an offer: what it does, behind its keys where the list has no room for all of them.
pub(super) fn all_of(offer: &Offer, key_room: usize) -> String {
    if columns(&offer.keys) <= key_room { offer.help.clone() } else { format!("{}: {}", offer.keys, offer.help) }
}

/// Draws what is offered: its keys, what it does, and where.
pub(super) fn draw_offer(offer: &Offer, y: usize, key_room: usize, region: &mut Region<'_>) {
    let width = region.width();
    let place = match offer.way {
        OfferWay::Here => String::new(),
        OfferWay::By(_) => offer.place.to_owned(),
        OfferWay::NotNow => format!("not now: {}", offer.place),
    };
    let place = fit_with(&place, width * 2 / 5, region.appearance().glyphs().more);
    let left = width.saturating_sub(columns(&place));
    let (key, text) = match offer.way {
        OfferWay::Here | OfferWay::By(_) => (Role::Key, Role::Plain),
        OfferWay::NotNow => (Role::Faint, Role::Faint),
    };
    let keys = if offer.keys.is_empty() { "no key" } else { &offer.keys };
    region.cut(2, y, key_room, &whole_keys(keys, key_room, region.appearance().glyphs().more), key);
    region.cut(3 + key_room, y, left.saturating_sub(key_room + 4), &offer.help, text);
    region.text(left, y, &place, Role::Faint);
}

/// Draws all of a text, which a list shows cut, under it, on so many lines; where it has more, a sign says so.
pub(super) fn draw_whole(text: &str, y: usize, lines: usize, region: &mut Region<'_>) {
    let width = region.width().saturating_sub(4);
    let wrapped = region.appearance().wrapped(text, width);
    for (line, text) in wrapped.iter().take(lines).enumerate() {
        let end = region.text(2, y + line, text, Role::Plain);
        if line + 1 == lines && wrapped.len() > lines {
            let more = region.appearance().glyphs().more;
            region.text(end, y + line, more, Role::Plain);
        }
    }
}
