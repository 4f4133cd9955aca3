//! Where the pages of the demo lessons' handouts break: what belongs together is parted only where it is longer than a page.

use std::path::Path;

use fingerpost::store::demos::DEMOS;
use fingerpost::store::lesson_file;
use fingerpost::tab::handout::handout_on_pages_of;
use fingerpost::tab::handout::options::{Columns, HandoutOptions};

/// The running head, a rule and an empty line.
const HEAD: usize = 3;

/// A printed line, with the number of its page.
type Printed = (usize, String);

fn is_heading(line: &str) -> bool {
    line.starts_with("══ ") || line.starts_with("── ")
}

/// What stands at the foot of a page and belongs to what comes after it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Foot {
    Heading,
    Box,
    Grids,
}

/// Returns what of that kind the line at `at` ends; `None` for tab, the outline and all else.
fn foot(lines: &[Printed], at: usize) -> Option<Foot> {
    let line = &lines[at].1;
    let over = lines[..=at].iter().rev().map(|(_, line)| line).find(|line| is_heading(line));
    match () {
        () if is_heading(line) => Some(Foot::Heading),
        () if line.starts_with('└') => Some(Foot::Box),
        () if over.is_some_and(|heading| heading.starts_with("── Chords ")) => Some(Foot::Grids),
        () => None,
    }
}

/// Returns the lines from `from` on, up to the end of the first line of tab behind them; `None` where a piece ends without tab.
fn with_its_tab(lines: &[Printed], from: usize, at: usize) -> Option<&[Printed]> {
    let heading =
        (at + 1..lines.len()).find(|next| is_heading(&lines[*next].1) && !lines[*next].1.starts_with("── Chords "));
    let heading = heading.filter(|next| lines[*next].1.starts_with("── "))?;
    let strings = (heading..lines.len()).find(|next| lines[*next].1.contains('│'))?;
    let end = (strings..lines.len()).find(|next| lines[*next].1.is_empty()).unwrap_or(lines.len());
    Some(&lines[from..end])
}

/// Returns the lines that some printed lines take at least: a gap is one line, and none behind a heading.
fn least(lines: &[Printed]) -> usize {
    let gaps = lines.windows(2).filter(|pair| !pair[0].1.is_empty() && pair[1].1.is_empty() && !is_heading(&pair[0].1));
    lines.iter().filter(|(_, line)| !line.is_empty()).count() + gaps.count()
}

/// Returns where the thing begins that ends at `at`: a box with the heading it stands under, or the chords with the box over them.
fn begin(lines: &[Printed], at: usize) -> usize {
    let heading = lines[..=at].iter().rposition(|(_, line)| is_heading(line)).unwrap_or(at);
    let bottom = if lines[heading].1.starts_with("── Chords ") {
        lines[..heading].iter().rposition(|(_, line)| !line.is_empty()).filter(|at| lines[*at].1.starts_with('└'))
    } else {
        Some(at).filter(|at| lines[*at].1.starts_with('└'))
    };
    let Some(bottom) = bottom else { return heading };
    let top = lines[..bottom].iter().rposition(|(_, line)| line.starts_with('┌')).unwrap_or(heading);
    // A heading, and who wrote the piece, stand in one block right over the box.
    let over = lines[..top].iter().rposition(|(_, line)| !line.is_empty());
    let block =
        over.map_or(top, |over| lines[..over].iter().rposition(|(_, line)| line.is_empty()).map_or(0, |gap| gap + 1));
    if lines[block].1.starts_with("══ ") { block } else { top }
}

#[test]
fn pages_of_the_demos_part_what_belongs_together_only_where_it_is_longer_than_a_page() {
    let (mut parted, mut pages) = (0, 0);
    for demo in DEMOS {
        let lesson = lesson_file::parse(Path::new("demo.lesson.ron"), demo.text.as_bytes()).unwrap().lesson;
        for columns in [60, 72, 90] {
            let options = HandoutOptions { columns: Columns::new(columns), ..HandoutOptions::default() };
            for length in [34, 40, 46, 52, 58, 62, 66, 72, 80] {
                let handout = handout_on_pages_of(length, &lesson, &options);
                let body = |(page, printed): (usize, &fingerpost::tab::handout::Page)| -> Vec<Printed> {
                    printed
                        .lines
                        .iter()
                        .skip(HEAD)
                        .map(|line| (page, line.clone()))
                        .chain([(page, String::new())])
                        .collect()
                };
                let lines: Vec<Printed> = handout.pages.iter().enumerate().flat_map(body).collect();
                pages += handout.pages.len();
                for page in 0..handout.pages.len() - 1 {
                    let last = lines.iter().rposition(|(of, line)| *of == page && !line.is_empty()).unwrap();
                    let Some(foot) = foot(&lines, last) else { continue };
                    let Some(whole) = with_its_tab(&lines, begin(&lines, last), last) else {
                        assert_ne!(foot, Foot::Heading, "{}: {}", lesson.header.title, lines[last].1);
                        continue;
                    };
                    parted += 1;
                    let text = || whole.iter().map(|(page, line)| format!("{page} {line}\n")).collect::<String>();
                    assert!(
                        least(whole) > length - HEAD,
                        "{}, {columns} columns, {length} lines: {foot:?} at the foot of page {}, though {} lines fit:\n{}",
                        lesson.header.title,
                        page + 1,
                        least(whole),
                        text()
                    );
                }
            }
        }
    }
    // Short pages part something, so the test has looked at what it is about.
    assert!(parted > 0 && pages > 500, "{parted} parted on {pages} pages");
}
