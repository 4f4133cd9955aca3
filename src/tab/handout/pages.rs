//! Pages: blocks of lines put on paper without splitting one.

use std::ops::Range;

use crate::tab::handout::look::Look;

/// A handout, page by page.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Handout {
    /// At least one page.
    pub pages: Vec<Page>,
}

/// One page.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Page {
    /// Its lines, none wider than asked and none with a space at its end.
    pub lines: Vec<String>,
}

impl Handout {
    /// Returns the handout as text: one line end after each line, and a form feed (the character
    /// that makes a printer take the next sheet) between two pages.
    pub fn to_text(&self) -> String {
        let mut text = String::new();
        for (number, page) in self.pages.iter().enumerate() {
            if number > 0 {
                text.push('\u{0C}');
            }
            for line in &page.lines {
                text.push_str(line);
                text.push('\n');
            }
        }
        text
    }
}

/// Lines that stay together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Block {
    /// Empty lines before it, left out at the top of a page.
    pub(super) gap: usize,
    pub(super) lines: Vec<String>,
    pub(super) keep: Keep,
    pub(super) begins: Begins,
}

/// How well a page begins with a block.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Begins {
    /// With a new piece.
    Well,
    /// Neither well nor badly.
    Fairly,
    /// It is the last of several that a reader wants together, and would stand alone.
    Badly,
}

impl Begins {
    /// Returns what it costs: 15 are as bad as leaving three tenths of a page empty.
    const fn cost(self) -> usize {
        match self {
            Self::Well => 15,
            Self::Fairly => 20,
            Self::Badly => 30,
        }
    }
}

/// What a block must not be parted from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Keep {
    /// Only its own lines stay together.
    Whole,
    /// It must not be the last on its page, as a heading.
    WithNext,
}

impl Block {
    pub(super) fn whole(gap: usize, lines: Vec<String>) -> Self {
        Self { gap, lines, keep: Keep::Whole, begins: Begins::Fairly }
    }

    pub(super) fn with_next(gap: usize, lines: Vec<String>) -> Self {
        Self { gap, lines, keep: Keep::WithNext, begins: Begins::Fairly }
    }
}

/// Marks the last of `blocks` as one that should not stand alone on the next page, if there are
/// more than one.
pub(super) fn keep_the_last_in_company(blocks: &mut [Block]) {
    if let [_, .., last] = blocks {
        last.begins = Begins::Badly;
    }
}

/// What stands at the left of the line over every page.
pub(super) struct RunningHeads {
    pub(super) first: String,
    pub(super) others: String,
}

/// The square of the empty hundredths of a page that costs one.
const HOLE: usize = 60;

/// Lines over each page: the running head, a rule, an empty line.
const HEAD_LINES: usize = 3;

/// Puts `blocks` on pages of `lines` lines under running heads with page numbers.
pub(super) fn paginate(blocks: Vec<Block>, heads: &RunningHeads, look: Look, lines: usize) -> Handout {
    let room = lines.saturating_sub(HEAD_LINES).max(1);
    let groups = groups(blocks, room);
    let breaks = breaks(&groups, room);
    let mut groups = groups.into_iter();
    let mut bodies: Vec<Vec<String>> =
        breaks.into_iter().map(|range| body(groups.by_ref().take(range.len()))).collect();
    if bodies.is_empty() {
        bodies.push(Vec::new());
    }
    let count = bodies.len();
    let pages = bodies.into_iter().enumerate().map(|(place, body)| {
        let head = if place == 0 { &heads.first } else { &heads.others };
        let number = format!("page {} of {count}", place + 1);
        let mut lines = vec![look.ends(head, &number), look.rule(), String::new()];
        lines.extend(body);
        for line in &mut lines {
            line.truncate(line.trim_end().len());
        }
        Page { lines }
    });
    Handout { pages: pages.collect() }
}

/// Lines that must not be parted, never more than a page holds.
#[derive(Debug, Clone)]
struct Group {
    gap: usize,
    lines: Vec<String>,
    begins: Begins,
}

/// Joins headings with what follows them.
fn groups(blocks: Vec<Block>, room: usize) -> Vec<Group> {
    let mut groups = Vec::new();
    let mut chain = Vec::new();
    for block in blocks {
        let ends = block.keep == Keep::Whole;
        chain.push(block);
        if ends {
            groups.extend(grouped(std::mem::take(&mut chain), room));
        }
    }
    groups.extend(grouped(chain, room));
    groups
}

/// Joins a chain. What is too tall for a page comes apart: first into blocks, then into pages.
fn grouped(chain: Vec<Block>, room: usize) -> Vec<Group> {
    let height: usize = chain.iter().map(|block| block.gap + block.lines.len()).sum();
    let too_tall = height - chain.first().map_or(0, |block| block.gap) > room;
    let mut groups: Vec<Group> = Vec::new();
    for Block { gap, lines, begins, .. } in chain {
        match groups.last_mut() {
            Some(group) if !too_tall => {
                group.lines.extend(std::iter::repeat_n(String::new(), gap));
                group.lines.extend(lines);
            }
            _ if lines.len() <= room => groups.push(Group { gap, lines, begins }),
            _ => groups.extend(lines.chunks(room).enumerate().map(|(place, lines)| Group {
                gap: if place == 0 { gap } else { 0 },
                lines: lines.to_vec(),
                begins,
            })),
        }
    }
    groups
}

/// Returns the groups of each page: as few pages as can be, and of all ways to fill so many the one
/// with the best beginnings and the least holes.
fn breaks(groups: &[Group], room: usize) -> Vec<Range<usize>> {
    // For the first n groups: pages, cost, and where the last page begins.
    let mut best = vec![(usize::MAX, usize::MAX, 0); groups.len() + 1];
    if let Some(start) = best.first_mut() {
        *start = (0, 0, 0);
    }
    for from in 0..groups.len() {
        let Some(&(pages, cost, _)) = best.get(from) else { break };
        let begins = groups.get(from).filter(|_| from > 0).map_or(0, |group| group.begins.cost());
        let mut height = 0;
        for (to, group) in groups.iter().enumerate().skip(from) {
            height += if to == from { 0 } else { group.gap } + group.lines.len();
            if height > room {
                break;
            }
            let last = to + 1 == groups.len();
            let empty = if last { 0 } else { (room - height) * 100 / room };
            let new = (pages.saturating_add(1), cost.saturating_add(begins + empty * empty / HOLE), from);
            if let Some(slot) = best.get_mut(to + 1)
                && (new.0, new.1) < (slot.0, slot.1)
            {
                *slot = new;
            }
        }
    }
    let mut breaks = Vec::new();
    let mut end = groups.len();
    while end > 0 {
        let from = best.get(end).map_or(0, |(.., from)| *from).min(end - 1);
        breaks.push(from..end);
        end = from;
    }
    breaks.reverse();
    breaks
}

/// Returns the lines of a page, the gap before its first group left out, and so are empty lines that
/// group begins with: grids without a name do.
fn body(groups: impl Iterator<Item = Group>) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for (place, group) in groups.enumerate() {
        lines.extend(std::iter::repeat_n(String::new(), if place == 0 { 0 } else { group.gap }));
        let bare = lines.is_empty();
        lines.extend(group.lines.into_iter().skip_while(|line| bare && line.trim().is_empty()));
    }
    lines
}

#[cfg(test)]
mod tests {
    use proptest::collection::vec;
    use proptest::prelude::*;

    use super::*;
    use crate::tab::style::Charset;

    /// Writes each page as the lines of its body, without spaces between.
    #[track_caller]
    fn check(blocks: &[(usize, &str, Keep)], lines: usize, pages: &[&str]) {
        let blocks: Vec<Block> = blocks
            .iter()
            .map(|(gap, text, keep)| Block {
                gap: *gap,
                lines: text.chars().map(String::from).collect(),
                keep: *keep,
                begins: Begins::Fairly,
            })
            .collect();
        let heads = RunningHeads { first: "first".into(), others: "others".into() };
        let handout = paginate(blocks, &heads, Look { width: 40, charset: Charset::Utf8 }, lines + HEAD_LINES);
        let bodies: Vec<String> = handout
            .pages
            .iter()
            .map(|page| page.lines[HEAD_LINES..].iter().map(|line| if line.is_empty() { "." } else { line }).collect())
            .collect();
        assert_eq!(bodies, pages);
    }

    #[test]
    fn blocks_move_to_the_next_page_whole() {
        use Keep::Whole;
        check(&[(1, "ab", Whole), (1, "cd", Whole), (1, "ef", Whole)], 5, &["ab.cd", "ef"]);
        check(&[(1, "abc", Whole), (2, "def", Whole)], 8, &["abc..def"]);
        check(&[], 5, &[""]);
    }

    #[test]
    fn no_page_begins_with_an_empty_line() {
        let block = |lines: &[&str]| Block::whole(1, lines.iter().map(|line| (*line).to_owned()).collect());
        let heads = RunningHeads { first: String::new(), others: String::new() };
        let look = Look { width: 40, charset: Charset::Utf8 };
        let blocks = vec![block(&["", "a", "", "b"]), block(&["  ", "c", "d"])];
        let handout = paginate(blocks, &heads, look, 4 + HEAD_LINES);
        let bodies: Vec<&[String]> = handout.pages.iter().map(|page| &page.lines[HEAD_LINES..]).collect();
        assert_eq!(bodies, [&["a", "", "b"][..], &["c", "d"]]);
    }

    #[test]
    fn a_heading_goes_where_its_text_goes() {
        use Keep::{Whole, WithNext};
        check(&[(1, "ab", Whole), (1, "H", WithNext), (0, "cd", Whole)], 5, &["ab", "Hcd"]);
        check(&[(1, "ab", Whole), (1, "H", WithNext), (0, "h", WithNext), (0, "c", Whole)], 5, &["ab", "Hhc"]);
    }

    #[test]
    fn what_is_taller_than_a_page_is_split() {
        use Keep::{Whole, WithNext};
        check(&[(1, "abcdefg", Whole), (0, "h", Whole)], 3, &["abc", "def", "gh"]);
        check(&[(0, "H", WithNext), (1, "abc", Whole)], 3, &["H", "abc"]);
    }

    #[test]
    fn the_last_of_several_is_not_left_alone_on_a_page() {
        let block = |text: &str| Block::whole(1, vec![text.to_owned(); 3]);
        let pages = |count: usize, after: usize, room| {
            let mut rows = vec![block("row"); count];
            keep_the_last_in_company(&mut rows);
            rows.extend(vec![block("after"); after]);
            breaks(&groups(rows, room), room)
        };
        assert_eq!(pages(7, 0, 28), [0..7; 1]);
        assert_eq!(pages(8, 0, 28), [0..6, 6..8]);
        // Not at the price of half a page, or of another one.
        assert_eq!(pages(3, 0, 8), [0..2, 2..3]);
        assert_eq!(pages(8, 6, 28), [0..7, 7..14]);
    }

    #[test]
    fn every_page_has_its_number() {
        let block = |text: &str| Block::whole(0, vec![text.to_owned(); 3]);
        let heads = RunningHeads { first: "A very long head that has to be cut to fit".into(), others: "Next".into() };
        let handout = paginate(vec![block("a"), block("b")], &heads, Look { width: 40, charset: Charset::Ascii }, 7);
        insta::assert_snapshot!(handout.to_text().replace('\u{0C}', "<form feed>\n"), @r"
        A very long head that has~   page 1 of 2
        ----------------------------------------

        a
        a
        a
        <form feed>
        Next                         page 2 of 2
        ----------------------------------------

        b
        b
        b
        ");
    }

    proptest! {
        #[test]
        fn no_block_is_split_lost_or_left_behind(
            blocks in vec((0usize..3, 1usize..12, any::<bool>()), 0..30),
            room in 12usize..40,
        ) {
            // Each line says its block, so that a page tells where it came from.
            let blocks: Vec<Block> = blocks
                .into_iter()
                .enumerate()
                .map(|(number, (gap, lines, heading))| Block {
                    gap,
                    lines: vec![number.to_string(); lines],
                    keep: if heading && lines < 3 { Keep::WithNext } else { Keep::Whole },
                    begins: if gap == 2 { Begins::Badly } else { Begins::Fairly },
                })
                .collect();
            let heads = RunningHeads { first: String::new(), others: String::new() };
            let handout = paginate(blocks.clone(), &heads, Look { width: 40, charset: Charset::Utf8 }, room + HEAD_LINES);
            let mut placed: Vec<(usize, usize)> = Vec::new();
            for (page, body) in handout.pages.iter().map(|page| &page.lines[HEAD_LINES..]).enumerate() {
                prop_assert!(body.len() <= room);
                prop_assert!(body.first().is_none_or(|line| !line.is_empty()), "a page begins with an empty line");
                placed.extend(body.iter().filter_map(|line| Some((page, line.parse::<usize>().ok()?))));
            }
            let expected: Vec<usize> = blocks.iter().enumerate().flat_map(|(number, block)| vec![number; block.lines.len()]).collect();
            prop_assert_eq!(placed.iter().map(|(_, number)| *number).collect::<Vec<_>>(), expected);
            let page_of = |number: usize| {
                let pages: Vec<usize> = placed.iter().filter(|(_, block)| *block == number).map(|(page, _)| *page).collect();
                (pages[0], pages[pages.len() - 1])
            };
            let mut chain = 0;
            for (number, block) in blocks.iter().enumerate() {
                prop_assert_eq!(page_of(number).0, page_of(number).1, "block {} is split", number);
                chain += block.gap + block.lines.len();
                if block.keep == Keep::WithNext && number + 1 < blocks.len() {
                    continue;
                }
                let first = placed.iter().position(|(_, other)| *other == number).unwrap();
                let before = first.checked_sub(1).map(|place| placed[place].1).filter(|other| blocks[*other].keep == Keep::WithNext);
                if let Some(heading) = before.filter(|_| chain <= room) {
                    prop_assert_eq!(page_of(heading).0, page_of(number).0, "heading {} is left behind", heading);
                }
                chain = 0;
            }
        }
    }
}
