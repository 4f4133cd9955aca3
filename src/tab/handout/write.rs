//! From a lesson to pages: the parts in their order.

use crate::lesson::document::Lesson;

use super::closing::{cautions, credits, legend};
use super::content::{Content, Section};
use super::front::{outline, running_heads, title_block};
use super::look::Look;
use super::options::HandoutOptions;
use super::pages::{Handout, paginate};
use super::section::{SignsUsed, section_blocks};

/// Writes the handout of `lesson`. Every lesson has one, however empty or faulty: links that lead
/// nowhere are left out (`check` reports them).
pub fn handout(lesson: &Lesson, options: &HandoutOptions) -> Handout {
    let look = Look { width: options.width(), charset: options.charset };
    let content = Content::of(lesson, options);
    let mut signs = SignsUsed::default();
    let mut blocks = vec![title_block(&lesson.header, look)];
    blocks.extend(outline(lesson, &content, options, look));
    for section in &content.sections {
        blocks.extend(section_blocks(lesson, section, &title(section, look, Alone::InVideo), look, &mut signs));
    }
    for section in &content.unused {
        let title = format!("Also in this lesson: {}", title(section, look, Alone::Unused));
        blocks.extend(section_blocks(lesson, section, &title, look, &mut signs));
    }
    blocks.extend(legend(&signs, look));
    blocks.extend(credits(&lesson.header, look));
    blocks.push(cautions(look));
    paginate(blocks, &running_heads(&lesson.header, look), look, options.paper.lines())
}

/// Where music that belongs to no piece stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Alone {
    InVideo,
    Unused,
}

fn title(section: &Section<'_>, look: Look, alone: Alone) -> String {
    let Some(piece) = section.piece else {
        let title = match (section.passages.is_empty(), alone) {
            (false, Alone::InVideo) => "Exercises",
            (true, Alone::InVideo) => "More chords",
            (false, Alone::Unused) => "exercises",
            (true, Alone::Unused) => "chords",
        };
        return title.to_owned();
    };
    let title = look.text(&piece.title);
    if title.is_empty() { "Untitled piece".to_owned() } else { title }
}
