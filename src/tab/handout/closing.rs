//! The last things: what the signs mean, credit and rights, and two cautions.

use crate::lesson::document::Header;
use crate::tab::style::{LegendEntry, SignPlace};
use crate::text::fit::{fit, pad};
use crate::text::width::width;

use super::page_look::{HeadingWeight, PageLook};
use super::pages::{Begins, PageBlock, keep_on_one_page};

/// The narrowest column that is worth having two of.
const NARROWEST: usize = 30;
/// Columns between two columns of the legend.
const BETWEEN: usize = 3;

/// The groups of the legend, each under its words: a letter means one thing as a length and may mean
/// another on a string.
const GROUPS: [(&str, &[(SignPlace, &str)]); 2] = [
    (
        "Key to the tab",
        &[
            (SignPlace::Lengths, "Rhythm row"),
            (SignPlace::Strings, "On the strings (7, 5 and 9 stand for any fret)"),
            (SignPlace::Around, "Above and below the tab"),
        ],
    ),
    ("Key to the chord grids", &[(SignPlace::Grid, "")]),
];

/// Returns the legend of the signs used; nothing where none are.
pub(super) fn legend(signs: &[LegendEntry], look: PageLook) -> Vec<PageBlock> {
    let mut blocks = Vec::new();
    for (title, groups) in GROUPS {
        let start = blocks.len();
        let mut heading = Some(PageBlock::with_next(2, look.heading(HeadingWeight::Light, title, "")));
        for (place, words) in groups {
            let entries: Vec<&LegendEntry> = signs.iter().filter(|entry| entry.place == *place).collect();
            if entries.is_empty() {
                continue;
            }
            let mut lines = Vec::new();
            if !words.is_empty() {
                lines.extend(look.hanging("", words));
            }
            lines.extend(in_two_columns(&entries, look));
            let block = PageBlock::whole(1, lines);
            match heading.take() {
                Some(heading) => blocks.extend([heading, block.may_close_up()]),
                None => blocks.push(block),
            }
        }
        // The heading is one with what stands under it.
        keep_on_one_page(blocks.get_mut(start + 1..).unwrap_or_default());
    }
    blocks
}

/// Sets entries in two columns of about the same height, in one where the page is narrow.
fn in_two_columns(entries: &[&LegendEntry], look: PageLook) -> Vec<String> {
    let half = PageLook { width: look.width.saturating_sub(BETWEEN) / 2, ..look };
    if half.width < NARROWEST {
        return column(entries, look).concat();
    }
    let cells = column(entries, half);
    let total: usize = cells.iter().map(Vec::len).sum();
    let mut height = 0;
    let mut split = 0;
    while height * 2 < total && split < cells.len() {
        height += cells.get(split).map_or(0, Vec::len);
        split += 1;
    }
    let (left, right) = cells.split_at(split);
    let (left, right) = (left.concat(), right.concat());
    let line = |place: usize| {
        let text = left.get(place).map_or("", String::as_str);
        format!("{}{}", pad(text, half.width + BETWEEN), right.get(place).map_or("", String::as_str))
    };
    (0..left.len().max(right.len())).map(line).collect()
}

/// Returns the lines of each entry, the meanings one under the other.
fn column(entries: &[&LegendEntry], look: PageLook) -> Vec<Vec<String>> {
    // No sign may leave its meaning less than half the column.
    let widest = entries.iter().map(|entry| width(&entry.sign)).max().unwrap_or(1).min(look.width / 2);
    let entry = |entry: &&LegendEntry| {
        let sign = pad(&fit(&entry.sign, widest), widest);
        look.hanging(&format!("{sign}  "), &entry.meaning)
    };
    entries.iter().map(entry).collect()
}

/// Returns credit and rights as the teacher wrote them; nothing where there are none.
pub(super) fn credits(header: &Header, look: PageLook) -> Vec<PageBlock> {
    let rows = [("Credit  ", &header.credit), ("Rights  ", &header.rights)];
    let rows = rows.into_iter().map(|(label, text)| (label, look.text(text))).filter(|(_, text)| !text.is_empty());
    let lines: Vec<String> = rows.flat_map(|(label, text)| look.hanging(label, &text)).collect();
    if lines.is_empty() {
        return Vec::new();
    }
    let heading = PageBlock::with_next(2, look.heading(HeadingWeight::Light, "Credit and rights", ""));
    vec![heading, PageBlock::whole(1, lines).may_close_up()]
}

/// Returns the cautions that every handout carries.
pub(super) fn cautions(look: PageLook) -> [PageBlock; 2] {
    let heading = PageBlock::with_next(2, look.heading(HeadingWeight::Light, "Take care", ""));
    let lines = [("Hands      ", HANDS), ("Copyright  ", COPYRIGHT)].map(|(label, text)| look.hanging(label, text));
    // A sheet with nothing else on it is a sheet wasted.
    [PageBlock { begins: Begins::Badly, ..heading }, PageBlock::whole(1, lines.concat()).may_close_up()]
}

const HANDS: &str = "Warm up, take breaks, and stop when something hurts; if it does not go away, ask a doctor. \
                     Nothing here is medical advice.";
const COPYRIGHT: &str = "A recording, a song and a transcription of it may each belong to somebody. Before you publish \
                         one, check the law and the licences where you live.";
