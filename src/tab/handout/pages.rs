//! Pages: blocks of lines put on paper without splitting one.

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
        Self { gap, lines, keep: Keep::Whole }
    }

    pub(super) fn with_next(gap: usize, lines: Vec<String>) -> Self {
        Self { gap, lines, keep: Keep::WithNext }
    }
}

/// What stands at the left of the line over every page.
pub(super) struct RunningHeads {
    pub(super) first: String,
    pub(super) others: String,
}

/// Lines over each page: the running head, a rule, an empty line.
const HEAD_LINES: usize = 3;

/// Puts `blocks` on pages of `lines` lines under running heads with page numbers.
pub(super) fn paginate(blocks: Vec<Block>, heads: &RunningHeads, look: Look, lines: usize) -> Handout {
    let mut paper = Paper { bodies: vec![Vec::new()], room: lines.saturating_sub(HEAD_LINES).max(1) };
    let mut chain = Vec::new();
    for block in blocks {
        let keep = block.keep;
        chain.push(block);
        if keep == Keep::Whole {
            paper.place(std::mem::take(&mut chain));
        }
    }
    paper.place(chain);
    let count = paper.bodies.len();
    let pages = paper.bodies.into_iter().enumerate().map(|(place, body)| {
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

/// The pages so far, without their heads; the last one is still being filled.
struct Paper {
    bodies: Vec<Vec<String>>,
    room: usize,
}

impl Paper {
    /// Places blocks that belong together: on this page, else on the next, else as they come.
    fn place(&mut self, chain: Vec<Block>) {
        let height: usize = chain.iter().map(|block| block.gap + block.lines.len()).sum();
        let first_gap = chain.first().map_or(0, |block| block.gap);
        if self.used() > 0 && self.used() + height > self.room {
            self.bodies.push(Vec::new());
        }
        if height - first_gap <= self.room {
            chain.into_iter().for_each(|block| self.put(block));
            return;
        }
        // Too tall for any page: each block for itself, and a block that is too tall is split.
        for block in chain {
            if self.used() > 0 && self.used() + block.gap + block.lines.len() > self.room {
                self.bodies.push(Vec::new());
            }
            self.put(block);
        }
    }

    fn put(&mut self, block: Block) {
        if self.used() > 0 {
            for _ in 0..block.gap {
                self.line(String::new());
            }
        }
        for line in block.lines {
            self.line(line);
        }
    }

    fn line(&mut self, line: String) {
        if self.used() >= self.room {
            self.bodies.push(Vec::new());
        }
        if let Some(body) = self.bodies.last_mut() {
            body.push(line);
        }
    }

    fn used(&self) -> usize {
        self.bodies.last().map_or(0, Vec::len)
    }
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
            .map(|(gap, text, keep)| Block { gap: *gap, lines: text.chars().map(String::from).collect(), keep: *keep })
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
