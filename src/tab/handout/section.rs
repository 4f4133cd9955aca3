//! The music of one piece: heading, setup box, chord grids, passages in tab.

use crate::lesson::document::{Lesson, Setup};
use crate::lesson::id::SetupId;
use crate::lesson::music::Passage;
use crate::tab::grid::{ChordGrid, grid_legend, grid_rows};
use crate::tab::passage::{render, string_labels};
use crate::tab::style::LegendEntry;

use super::content::Section;
use super::look::{Look, Weight};
use super::names::Names;
use super::pages::{Begins, Block, keep_the_last_in_company};
use super::setup::setup_box;

/// Signs that were used and have to be explained.
#[derive(Debug, Default)]
pub(super) struct SignsUsed(pub(super) Vec<LegendEntry>);

impl SignsUsed {
    /// Adds what is new behind what stands before it in its own list, so that the order of the
    /// lists is kept: lengths stay with lengths.
    fn add(&mut self, entries: Vec<LegendEntry>) {
        let known = &mut self.0;
        let mut after = 0;
        for entry in entries {
            match known.iter().position(|other| *other == entry) {
                Some(place) => after = place + 1,
                None => {
                    known.insert(after.min(known.len()), entry);
                    after += 1;
                }
            }
        }
    }
}

/// Returns the blocks of a section under `title`.
pub(super) fn section_blocks(
    lesson: &Lesson,
    section: &Section<'_>,
    title: &str,
    look: Look,
    signs: &mut SignsUsed,
) -> Vec<Block> {
    let mut head = look.heading(Weight::Heavy, title, "");
    if let Some(credit) = section.piece.map(|piece| look.text(&piece.credit)).filter(|credit| !credit.is_empty()) {
        head.extend(look.hanging("   ", &credit));
    }
    let setup_lines = setup_box(lesson, section.setup, section.piece, look);
    let bare = setup_lines.is_empty() && section.voicings.is_empty() && section.passages.is_empty();
    let head = if bare { Block::whole(2, head) } else { Block::with_next(2, head) };
    let mut blocks = vec![Block { begins: Begins::Well, ..head }];
    if !setup_lines.is_empty() {
        blocks.push(Block::whole(1, setup_lines));
    }
    blocks.extend(chord_blocks(lesson, section, look, signs));
    let mut setup = section.setup;
    for passage in &section.passages {
        blocks.extend(passage_blocks(lesson, section, passage, &mut setup, look, signs));
    }
    blocks
}

fn chord_blocks(lesson: &Lesson, section: &Section<'_>, look: Look, signs: &mut SignsUsed) -> Vec<Block> {
    if section.voicings.is_empty() {
        return Vec::new();
    }
    let key = section.piece.and_then(|piece| piece.key);
    let mut names: Vec<(Option<SetupId>, Names)> = Vec::new();
    let mut grids = Vec::new();
    for voicing in &section.voicings {
        let setup = voicing.setup.and_then(|setup| lesson.setup(setup)).or(section.setup);
        let id = setup.map(|setup| setup.id);
        let place = names.iter().position(|(known, _)| *known == id).unwrap_or_else(|| {
            names.push((id, Names::new(lesson, setup, key, look.charset)));
            names.len() - 1
        });
        let Some((_, names)) = names.get_mut(place) else { continue };
        let mut readings = voicing.readings.iter().map(|reading| names.printed(reading));
        let grid = ChordGrid::of(voicing, readings.next().unwrap_or_default());
        grids.push(ChordGrid { also: readings.collect(), ..grid });
    }
    signs.add(grid_legend(&grids, look.charset));
    let mut blocks = vec![Block::with_next(1, look.heading(Weight::Light, "Chords", ""))];
    let mut rows: Vec<Block> =
        grid_rows(&grids, look.tab_style()).into_iter().map(|row| Block::whole(1, row)).collect();
    keep_the_last_in_company(&mut rows);
    blocks.extend(rows);
    blocks
}

/// Returns the heading of a passage, its setup box where it changes setup, and its systems.
fn passage_blocks<'a>(
    lesson: &'a Lesson,
    section: &Section<'_>,
    passage: &Passage,
    in_hand: &mut Option<&'a Setup>,
    look: Look,
    signs: &mut SignsUsed,
) -> Vec<Block> {
    let setup = lesson.passage_setup(passage);
    let title = look.text(&passage.title);
    let title = if title.is_empty() { "Passage".to_owned() } else { title };
    let heading = look.heading(Weight::Light, &title, &about(passage));
    let mut blocks = vec![Block::with_next(2, heading)];
    if setup.map(|setup| setup.id) != in_hand.map(|setup| setup.id) {
        *in_hand = setup;
        let lines = setup_box(lesson, setup, None, look);
        if !lines.is_empty() {
            blocks.push(Block::with_next(0, lines));
        }
    }
    if passage.bars.is_empty() {
        blocks.push(Block::whole(1, vec!["(no bars yet)".to_owned()]));
        return blocks;
    }
    let key = passage.key.or(section.piece.and_then(|piece| piece.key));
    let mut names = Names::new(lesson, setup, key, look.charset);
    let labels = setup.map_or_else(|| numbered_strings(passage), |setup| string_labels(&setup.tuning));
    let tab = render(&names.in_passage(passage), &labels, &look.tab_style());
    signs.add(tab.legend);
    let mut systems: Vec<Block> = tab.systems.into_iter().map(|system| Block::whole(1, system.lines)).collect();
    keep_the_last_in_company(&mut systems);
    blocks.extend(systems);
    blocks
}

/// Returns how long a passage is: the first line of its tab says the rest.
fn about(passage: &Passage) -> String {
    match passage.bars.len() {
        1 => "1 bar".to_owned(),
        bars => format!("{bars} bars"),
    }
}

/// Returns string numbers as labels for a passage whose tuning nobody has said; six strings, or
/// as many as it uses.
fn numbered_strings(passage: &Passage) -> Vec<String> {
    let voices = passage.bars.iter().flat_map(|bar| &bar.voices);
    let notes = voices.flat_map(|voice| &voice.0).flat_map(|event| event.notes.iter().chain(&event.grace));
    let used = notes.map(|note| note.string.number()).max().unwrap_or(0);
    (1..=used.max(6)).rev().map(|number| number.to_string()).collect()
}
