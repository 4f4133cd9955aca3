//! Puts the parts of a handout on pages, in their order.

use crate::lesson::document::Lesson;

use super::closing::{cautions, credits, legend};
use super::content::{Content, Section, SectionSubject};
use super::front::{self, outline, running_heads, title_block};
use super::options::HandoutOptions;
use super::page_look::PageLook;
use super::pages::{Handout, PageBlock, paginate};
use super::section::{Printed, section_blocks};

/// Writes the handout of `lesson`. Every lesson has one, however empty or faulty: links that lead
/// nowhere are left out (`check` reports them).
pub fn handout(lesson: &Lesson, options: &HandoutOptions) -> Handout {
    handout_while(lesson, options, &mut |_, _| true).unwrap_or_default()
}

/// Writes the same, and asks before each section whether to go on: with how many sections are written, and how many there are.
/// `None` where the answer was no.
pub fn handout_while(
    lesson: &Lesson,
    options: &HandoutOptions,
    go_on: &mut dyn FnMut(usize, usize) -> bool,
) -> Option<Handout> {
    let blocks = blocks(lesson, options, go_on)?;
    Some(on_pages(lesson, options, blocks, options.paper.lines()))
}

/// Writes the handout of `lesson` on pages of so many lines, whatever the paper.
pub fn handout_on_pages_of(lines: usize, lesson: &Lesson, options: &HandoutOptions) -> Handout {
    let blocks = blocks(lesson, options, &mut |_, _| true).unwrap_or_default();
    on_pages(lesson, options, blocks, lines)
}

fn look(options: &HandoutOptions) -> PageLook {
    PageLook { width: options.width(), charset: options.charset }
}

fn on_pages(lesson: &Lesson, options: &HandoutOptions, blocks: Vec<PageBlock>, lines: usize) -> Handout {
    let look = look(options);
    paginate(blocks, &running_heads(&lesson.header, look), look, lines)
}

/// Returns all that is printed, in its order; `None` where the answer was not to go on.
fn blocks(
    lesson: &Lesson,
    options: &HandoutOptions,
    go_on: &mut dyn FnMut(usize, usize) -> bool,
) -> Option<Vec<PageBlock>> {
    let look = look(options);
    let content = Content::of(lesson, options);
    let mut printed = Printed::default();
    let mut blocks = vec![title_block(&lesson.header, look)];
    blocks.extend(outline(lesson, &content, options, look));
    let all = content.sections.len() + content.unused.len();
    for (done, section) in content.sections.iter().enumerate() {
        if !go_on(done, all) {
            return None;
        }
        let title = title(lesson, section, look);
        blocks.extend(section_blocks(lesson, section, &title, look, &mut printed));
    }
    let nothing_before = content.sections.is_empty();
    for (place, section) in content.unused.iter().enumerate() {
        if !go_on(content.sections.len() + place, all) {
            return None;
        }
        // Beside nothing else, nothing is there "also".
        let title = match (section.piece(), nothing_before) {
            (Some(_), true) => title(lesson, section, look),
            (Some(_), false) => format!("Also in this lesson: {}", title(lesson, section, look)),
            (None, true) if place == 0 => title(lesson, section, look),
            (None, _) => "Also in this lesson".to_owned(),
        };
        blocks.extend(section_blocks(lesson, section, &title, look, &mut printed));
    }
    blocks.extend(legend(&printed.signs(look), look));
    blocks.extend(credits(&lesson.header, look));
    blocks.extend(cautions(look));
    Some(blocks)
}

/// Returns the heading of a section: the piece, else the segment, else the lesson, whichever has a title.
fn title(lesson: &Lesson, section: &Section<'_>, look: PageLook) -> String {
    let title = match section.about {
        SectionSubject::Piece(piece) => look.text(&piece.title),
        SectionSubject::Segment(segment) => look.text(&segment.title),
        SectionSubject::Lesson => String::new(),
    };
    match (title.is_empty(), section.about) {
        (false, _) => title,
        (true, SectionSubject::Piece(_)) => "Untitled piece".to_owned(),
        (true, SectionSubject::Segment(_) | SectionSubject::Lesson) => front::title(&lesson.header, look),
    }
}
