//! Pages: blocks of lines put on paper without splitting one.

use std::ops::Range;

use crate::tab::handout::page_look::PageLook;

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
pub(super) struct PageBlock {
    /// Empty lines before it, left out at the top of a page.
    pub(super) gap: usize,
    /// How many of them stay where lines are short.
    pub(super) least: usize,
    pub(super) lines: Vec<String>,
    pub(super) keep: Keep,
    pub(super) begins: Begins,
}

/// How well a page begins with a block.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Begins {
    /// A new piece begins there.
    Well,
    /// The page begins neither well nor badly.
    Fairly,
    /// It is the second of several that a reader wants together: the first would stand alone on the page before.
    AfterOne,
    /// It is the last of several that a reader wants together, and would stand alone.
    Badly,
    /// It would stand apart from the beginning of what has to be seen at a glance.
    PartedFromBeginning,
    /// It would stand apart from chords that it needs or that the same tab needs.
    PartedFromChords,
    /// It would stand apart from the tuning it is played in.
    PartedFromBox,
}

impl Begins {
    /// Returns what it costs: 15 are as bad as leaving three tenths of a page empty.
    const fn cost(self) -> usize {
        match self {
            Self::Well => 15,
            Self::Fairly => 20,
            Self::PartedFromChords => 30,
            Self::AfterOne => 35,
            Self::PartedFromBox => 40,
            Self::Badly | Self::PartedFromBeginning => 50,
        }
    }

    /// Returns how many more pages a handout may take so that none begins like this. One is all it can take to keep
    /// together what fits on a page, so with more it is kept together wherever it can be; where not everything fits, the
    /// box stays with the chords.
    const fn pages(self) -> usize {
        match self {
            Self::Well | Self::Fairly | Self::AfterOne | Self::Badly => 0,
            Self::PartedFromChords | Self::PartedFromBeginning => 2,
            Self::PartedFromBox => 3,
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

impl PageBlock {
    pub(super) fn whole(gap: usize, lines: Vec<String>) -> Self {
        Self { gap, least: gap.min(1), lines, keep: Keep::Whole, begins: Begins::Fairly }
    }

    pub(super) fn with_next(gap: usize, lines: Vec<String>) -> Self {
        Self { gap, least: gap.min(1), lines, keep: Keep::WithNext, begins: Begins::Fairly }
    }

    /// Lets it stand right under its heading where lines are short.
    pub(super) fn may_close_up(self) -> Self {
        Self { least: 0, ..self }
    }
}

/// Marks the first and the last of `blocks` as such that should not stand alone, at the end of one page or on the next, if there
/// are more than one.
pub(super) fn keep_the_ends_in_company(blocks: &mut [PageBlock]) {
    if let [_, second, _, ..] = blocks {
        second.begins = Begins::AfterOne;
    }
    if let [_, .., last] = blocks {
        last.begins = Begins::Badly;
    }
}

/// Keeps `blocks` on one page where they have room on one.
pub(super) fn keep_on_one_page(blocks: &mut [PageBlock]) {
    for block in blocks.iter_mut().skip(1) {
        block.begins = Begins::PartedFromBeginning;
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
pub(super) fn paginate(blocks: Vec<PageBlock>, heads: &RunningHeads, look: PageLook, lines: usize) -> Handout {
    let room = lines.saturating_sub(HEAD_LINES).max(1);
    let mut bodies = filled(blocks, room);
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
struct UnpartedLines {
    gap: usize,
    lines: Vec<String>,
    begins: Begins,
}

/// Returns the lines of each page. Where fewer empty lines save a page, there are fewer: nobody
/// wants a sheet for the last few lines. Pages with room have them all the same.
fn filled(blocks: Vec<PageBlock>, room: usize) -> Vec<Vec<String>> {
    let gaps: [fn(&PageBlock) -> usize; 3] = [|block| block.gap, |block| block.gap.min(1), |block| block.least];
    let fillings = gaps.map(|gap| {
        let blocks = blocks.iter().map(|block| PageBlock { gap: gap(block), ..block.clone() }).collect();
        let groups = groups(blocks, room);
        let filling = breaks(&groups, room);
        (groups, filling)
    });
    // Of several the first, which has the most air.
    let Some((best, filling)) = fillings.iter().min_by_key(|(_, filling)| filling.price) else { return Vec::new() };
    // What is taller than a page may come apart otherwise with other gaps; then one filling holds for all.
    let full = |group: &UnpartedLines| group.lines.iter().filter(|line| !line.is_empty()).count();
    let alike = |groups: &&Vec<UnpartedLines>| groups.iter().map(full).eq(best.iter().map(full));
    let alike: Vec<&Vec<UnpartedLines>> = fillings.iter().map(|(groups, _)| groups).filter(alike).collect();
    let page = |range: &Range<usize>| {
        let mut bodies = alike.iter().filter_map(|groups| groups.get(range.clone())).map(body);
        bodies.find(|lines| lines.len() <= room).unwrap_or_default()
    };
    filling.breaks.iter().map(page).collect()
}

/// Joins headings with what follows them.
fn groups(blocks: Vec<PageBlock>, room: usize) -> Vec<UnpartedLines> {
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

/// Joins a chain into one group. What is too tall for a page is parted before the last of its
/// blocks that may be, such as a system after a tall box; where a mere heading would be left
/// behind, the chain runs on from page to page line by line.
fn grouped(mut chain: Vec<PageBlock>, room: usize) -> Vec<UnpartedLines> {
    let (Some(gap), Some(begins)) = (chain.first().map(|block| block.gap), chain.first().map(|block| block.begins))
    else {
        return Vec::new();
    };
    let height = |chain: &[PageBlock]| chain.iter().map(|block| block.gap + block.lines.len()).sum::<usize>();
    if height(&chain).saturating_sub(gap) > room {
        // The more goes with the last block, the better.
        let fits = |from: &usize| chain.get(*from..).is_some_and(|tail| height(tail) <= room);
        let stands = |from: &usize| chain.get(from - 1).is_some_and(|before| before.lines.len() * 2 > room);
        if let Some(from) = (1..chain.len()).filter(fits).find(stands) {
            let tail = chain.split_off(from);
            let mut groups = grouped(chain, room);
            groups.extend(grouped(tail, room));
            return groups;
        }
    }
    let mut groups: Vec<UnpartedLines> = Vec::new();
    for lines in flowed(&chain, room) {
        groups.push(UnpartedLines { gap: if groups.is_empty() { gap } else { 0 }, lines, begins });
    }
    groups
}

/// Writes a chain from page to page line by line. No heading stands without a line of what follows it.
fn flowed(chain: &[PageBlock], room: usize) -> Vec<Vec<String>> {
    let mut pages = Vec::new();
    let mut page: Vec<String> = Vec::new();
    for (place, block) in chain.iter().enumerate() {
        let from = chain.get(place..).unwrap_or_default();
        let headings = from.iter().take_while(|block| block.keep == Keep::WithNext && block.lines.len() * 2 <= room);
        let (mut least, mut count) = (0, 0);
        for heading in headings {
            least += heading.gap + heading.lines.len();
            count += 1;
        }
        least += from.get(count).map_or(0, |next| next.gap + next.lines.len().min(1));
        if page.len() + least > room && least <= room && !page.is_empty() {
            pages.push(std::mem::take(&mut page));
        }
        let gap = if page.is_empty() { 0 } else { block.gap };
        for line in std::iter::repeat_n("", gap).chain(block.lines.iter().map(String::as_str)) {
            if page.len() == room {
                pages.push(std::mem::take(&mut page));
            }
            // No page begins with an empty line.
            if !page.is_empty() || !line.trim().is_empty() {
                page.push(line.to_owned());
            }
        }
    }
    pages.push(page);
    pages
}

/// A way to fill pages.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Filling {
    /// The groups of each page.
    breaks: Vec<Range<usize>>,
    /// What it costs: one for each page, and as many more as pages would be worth spending to begin each page better.
    price: usize,
}

/// Returns the best filling. It takes as few pages as can be, and of all ways to fill so many pages it has the
/// best beginnings and the smallest holes.
fn breaks(groups: &[UnpartedLines], room: usize) -> Filling {
    // For the first n groups: price, cost, and where the last page begins.
    let mut best = vec![(usize::MAX, usize::MAX, 0); groups.len() + 1];
    if let Some(start) = best.first_mut() {
        *start = (0, 0, 0);
    }
    for from in 0..groups.len() {
        let Some(&(price, cost, _)) = best.get(from) else { break };
        let begins = groups.get(from).filter(|_| from > 0).map(|group| group.begins);
        let price = price.saturating_add(1 + begins.map_or(0, Begins::pages));
        let cost = cost.saturating_add(begins.map_or(0, Begins::cost));
        let mut height = 0;
        for (to, group) in groups.iter().enumerate().skip(from) {
            height += if to == from { 0 } else { group.gap } + group.lines.len();
            if height > room {
                break;
            }
            let last = to + 1 == groups.len();
            let empty = if last { 0 } else { (room - height) * 100 / room };
            let new = (price, cost.saturating_add(empty * empty / HOLE), from);
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
    Filling { breaks, price: best.last().map_or(0, |(price, ..)| *price) }
}

/// Returns the lines of a page. The gap before its first group is left out, and so are the empty lines that this
/// group begins with, as grids without a name do.
fn body(groups: &[UnpartedLines]) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for (place, group) in groups.iter().enumerate() {
        lines.extend(std::iter::repeat_n(String::new(), if place == 0 { 0 } else { group.gap }));
        let bare = lines.is_empty();
        lines.extend(group.lines.iter().skip_while(|line| bare && line.trim().is_empty()).cloned());
    }
    lines
}

#[cfg(test)]
mod tests {
    use proptest::collection::vec;
    use proptest::prelude::*;

    use super::*;
    use crate::text::charset::Charset;

    /// Writes each page as the lines of its body, without spaces between.
    #[track_caller]
    fn check(blocks: &[(usize, &str, Keep)], lines: usize, pages: &[&str]) {
        let blocks: Vec<PageBlock> = blocks
            .iter()
            .map(|(gap, text, keep)| PageBlock {
                gap: *gap,
                least: *gap.min(&1),
                lines: text.chars().map(String::from).collect(),
                keep: *keep,
                begins: Begins::Fairly,
            })
            .collect();
        let heads = RunningHeads { first: "first".into(), others: "others".into() };
        let handout = paginate(blocks, &heads, PageLook { width: 40, charset: Charset::Utf8 }, lines + HEAD_LINES);
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
        let block = |lines: &[&str]| PageBlock::whole(1, lines.iter().map(|line| (*line).to_owned()).collect());
        let heads = RunningHeads { first: String::new(), others: String::new() };
        let look = PageLook { width: 40, charset: Charset::Utf8 };
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
        use Keep::Whole;
        check(&[(1, "abcdefg", Whole), (0, "h", Whole)], 3, &["abc", "def", "gh"]);
    }

    #[test]
    fn a_heading_over_something_taller_than_a_page_has_its_beginning_under_it() {
        use Keep::{Whole, WithNext};
        check(&[(0, "H", WithNext), (1, "abc", Whole)], 3, &["H.a", "bc"]);
        check(&[(0, "x", Whole), (0, "H", WithNext), (1, "abcdefg", Whole)], 4, &["x", "H.ab", "cdef", "g"]);
        check(&[(0, "hh", WithNext), (1, "h", WithNext), (0, "abc", Whole)], 4, &["hh", "habc"]);
        check(&[(0, "H", WithNext), (0, "", WithNext), (0, "abc", Whole)], 3, &["Hab", "c"]);
        // A box is no heading: what follows may stand on the next page whole.
        check(&[(0, "H", WithNext), (0, "box", WithNext), (1, "abcd", Whole)], 5, &["Hbox", "abcd"]);
    }

    #[test]
    fn parts_stand_closer_where_that_saves_a_page() {
        use Keep::Whole;
        let parts = |gap| [(0, "abcde", Whole), (gap, "fghij", Whole), (gap, "k", Whole)];
        check(&parts(2), 13, &["abcde.fghij.k"]);
        check(&parts(2), 12, &["abcde..fghij", "k"]);
        check(&parts(2), 15, &["abcde..fghij..k"]);
        check(&[(0, "abc", Whole), (2, "def", Whole), (2, "ghi", Whole)], 10, &["abc..def", "ghi"]);
        // The page that has the room keeps its air.
        let parts = [(0, "abc", Whole), (2, "de", Whole), (2, "fghi", Whole), (2, "jkl", Whole), (2, "m", Whole)];
        check(&parts, 10, &["abc..de", "fghi.jkl.m"]);
    }

    #[test]
    fn the_last_of_several_is_not_left_alone_on_a_page() {
        let block = |text: &str| PageBlock::whole(1, vec![text.to_owned(); 3]);
        let pages = |count: usize, after: usize, room| {
            let mut rows = vec![block("row"); count];
            keep_the_ends_in_company(&mut rows);
            rows.extend(vec![block("after"); after]);
            breaks(&groups(rows, room), room).breaks
        };
        assert_eq!(pages(7, 0, 28), [0..7; 1]);
        assert_eq!(pages(8, 0, 28), [0..6, 6..8]);
        // Not at the price of half a page, or of another one.
        assert_eq!(pages(3, 0, 8), [0..2, 2..3]);
        assert_eq!(pages(8, 6, 28), [0..7, 7..14]);
    }

    #[test]
    fn the_first_of_several_is_not_left_alone_at_the_end_of_a_page() {
        let block = |height: usize| PageBlock::whole(1, vec!["x".to_owned(); height]);
        let pages = |before: usize| {
            let mut rows = vec![block(5); 4];
            keep_the_ends_in_company(&mut rows);
            breaks(&groups([block(before)].into_iter().chain(rows).collect(), 24), 24).breaks
        };
        // Beside one that has room for the first alone, all of them go to the next page.
        assert_eq!(pages(18), [0..1, 1..5]);
        assert_eq!(pages(12), [0..3, 3..5]);
    }

    #[test]
    fn the_last_of_several_goes_over_with_the_one_before_it() {
        let block = |height: usize| PageBlock::whole(1, vec!["x".to_owned(); height]);
        let mut rows = vec![block(18); 4];
        keep_the_ends_in_company(&mut rows);
        // More than a third of the page stays empty for it.
        assert_eq!(breaks(&groups(rows, 59), 59).breaks, [0..2, 2..4]);
    }

    #[test]
    fn what_is_seen_at_a_glance_is_parted_only_where_no_page_holds_it() {
        let block = |height: usize| PageBlock::whole(1, vec!["x".to_owned(); height]);
        let pages = |before: usize, heights: &[usize]| {
            let mut key: Vec<PageBlock> = heights.iter().map(|height| block(*height)).collect();
            keep_on_one_page(&mut key);
            breaks(&groups([block(before)].into_iter().chain(key).collect(), 30), 30).breaks
        };
        assert_eq!(pages(10, &[9, 9]), [0..3; 1]);
        // At the price of a great hole, and of a page.
        assert_eq!(pages(15, &[9, 9]), [0..1, 1..3]);
        assert_eq!(pages(15, &[5, 9, 13]), [0..1, 1..4]);
        assert_eq!(pages(2, &[19, 19]), [0..2, 2..3]);
    }

    #[test]
    fn a_setup_goes_with_the_chords_played_in_it() {
        let block = |height: usize| PageBlock::whole(1, vec!["x".to_owned(); height]);
        let pages = |before: usize, after: usize| {
            let chords = PageBlock { begins: Begins::PartedFromBox, ..block(5) };
            let blocks = vec![block(before), block(3), chords, block(after)];
            breaks(&groups(blocks, 20), 20).breaks
        };
        assert_eq!(pages(9, 5), [0..3, 3..4]);
        assert_eq!(pages(12, 5), [0..1, 1..4]);
        // At the price of a page and a great hole, too.
        assert_eq!(pages(15, 13), [0..1, 1..3, 3..4]);
    }

    #[test]
    fn every_page_has_its_number() {
        let block = |text: &str| PageBlock::whole(0, vec![text.to_owned(); 3]);
        let heads = RunningHeads { first: "A very long head that has to be cut to fit".into(), others: "Next".into() };
        let handout =
            paginate(vec![block("a"), block("b")], &heads, PageLook { width: 40, charset: Charset::Ascii }, 7);
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
            blocks in vec((0usize..3, 1usize..16, any::<bool>()), 0..30),
            room in 12usize..40,
        ) {
            // Each line says its block, so that a page tells where it came from.
            let blocks: Vec<PageBlock> = blocks
                .into_iter()
                .enumerate()
                .map(|(number, (gap, lines, heading))| PageBlock {
                    gap,
                    least: gap / 2,
                    lines: vec![number.to_string(); lines],
                    keep: if heading && lines < 3 { Keep::WithNext } else { Keep::Whole },
                    begins: if gap == 2 { Begins::Badly } else { Begins::Fairly },
                })
                .collect();
            let heads = RunningHeads { first: String::new(), others: String::new() };
            let handout = paginate(blocks.clone(), &heads, PageLook { width: 40, charset: Charset::Utf8 }, room + HEAD_LINES);
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
            let mut first = 0;
            for (number, block) in blocks.iter().enumerate() {
                if block.keep == Keep::WithNext && number + 1 < blocks.len() {
                    continue;
                }
                let chain: usize = blocks[first..=number].iter().map(|block| block.gap + block.lines.len()).sum();
                if chain - blocks[first].gap <= room {
                    prop_assert_eq!(page_of(first).0, page_of(number).1, "{} to {} are parted", first, number);
                }
                for heading in first..number {
                    prop_assert_eq!(page_of(heading).1, page_of(heading + 1).0, "heading {} is left behind", heading);
                }
                first = number + 1;
            }
        }
    }
}
