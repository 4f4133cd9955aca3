//! The music under one heading: setup boxes, chord grids, passages in tab.

use std::collections::{HashMap, HashSet};

use crate::instrument::neck::Shape;
use crate::instrument::rig::Rig;
use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::document::{ChordNames, Lesson, Piece, Setup};
use crate::lesson::harmony::judgement::names_that_stand;
use crate::lesson::harmony::named_rightly::names_of_shape;
use crate::lesson::id::{InstrumentId, SetupId, VoicingId};
use crate::lesson::music::Passage;
use crate::tab::grid::{ChordGrid, grid_legend, grid_rows};
use crate::tab::grid_names::tell_apart;
use crate::tab::passage::{UsedSigns, header_in_words, lay_out, string_labels};
use crate::tab::style::LegendEntry;
use crate::text::width::width;

use crate::theory::key::Key;
use crate::theory::pitch::{MidiNote, NoteName, PitchClass};
use crate::theory::reading::Lowest;
use crate::theory::symbol::ChordSymbol;

use super::content::{Section, SetupMusic};
use super::names::Names;
use super::page_look::{HeadingWeight, PageLook};
use super::pages::{Begins, PageBlock, keep_the_ends_in_company};
use super::setup::{BoxSubject, box_title, setup_box};

/// What has been printed so far, for what comes after.
#[derive(Debug, Default)]
pub(super) struct Printed {
    tab_signs: UsedSigns,
    grids: Vec<ChordGrid>,
    /// The voicings whose notes have been printed.
    noted: HashSet<VoicingId>,
    /// The setup of the box printed last, while one about no piece still holds.
    in_hand: Option<Option<SetupId>>,
    /// The setup that each instrument is in at the end of what has been printed.
    left_in: HashMap<InstrumentId, SetupId>,
}

impl Printed {
    /// Returns the setup that the instrument of `setup` is left in, and notes that it is in `setup` now.
    fn setup_before<'a>(&mut self, lesson: &'a Lesson, setup: Option<&Setup>) -> Option<&'a Setup> {
        let setup = setup?;
        lesson.setup(self.left_in.insert(setup.instrument, setup.id)?)
    }

    /// Returns the signs that were used and have to be explained.
    pub(super) fn signs(&self, look: PageLook) -> Vec<LegendEntry> {
        let mut entries = self.tab_signs.legend_on_paper(look.charset);
        entries.extend(grid_legend(&self.grids, look.charset));
        entries
    }
}

/// Returns the blocks of a section under `title`.
pub(super) fn section_blocks(
    lesson: &Lesson,
    section: &Section<'_>,
    title: &str,
    look: PageLook,
    printed: &mut Printed,
) -> Vec<PageBlock> {
    let first = section.groups.first();
    let setup = first.and_then(|group| group.setup);
    // From segment to segment the box is not told again while the setup stays.
    let stays = section.piece().is_none() && printed.in_hand == Some(setup.map(|setup| setup.id));
    let aside = if stays && setup.is_some() { box_title(lesson, setup, look) } else { String::new() };
    let mut head = look.heading(HeadingWeight::Heavy, title, &aside);
    if let Some(piece) = section.piece() {
        for text in credits(piece) {
            head.extend(look.hanging("   ", &look.text(&text)));
        }
    }
    let mut blocks = vec![PageBlock { begins: Begins::Well, ..PageBlock::with_next(2, head) }];
    for (place, group) in section.groups.iter().enumerate() {
        let about = match (place, section.piece()) {
            (0, Some(piece)) => BoxSubject::Piece(piece),
            (0, None) => BoxSubject::Setup,
            (_, piece) => BoxSubject::Change(piece),
        };
        let before = printed.setup_before(lesson, group.setup);
        let lines = if place == 0 && stays { Vec::new() } else { setup_box(lesson, group.setup, before, about, look) };
        let boxed = !lines.is_empty();
        if boxed {
            blocks.push(PageBlock::whole(if place == 0 { 1 } else { 2 }, lines));
        }
        let start = blocks.len();
        blocks.extend(chord_blocks(lesson, section, group, look, printed));
        let chords = blocks.len();
        for passage in &group.passages {
            blocks.extend(passage_blocks(lesson, section, group, passage, look, printed));
        }
        // Nobody wants to turn the page between the tab and the tuning or the chords that it is played with.
        if let (Some(block), true) = (blocks.get_mut(chords), chords > start) {
            block.begins = Begins::PartedFromChords;
        }
        if let Some(block) = blocks.get_mut(start) {
            block.begins = if boxed { Begins::PartedFromBox } else { Begins::Fairly };
            block.gap = 1;
        }
        if !group.passages.is_empty() {
            for row in blocks.iter_mut().take(chords).skip(start + 2) {
                row.begins = Begins::PartedFromChords;
            }
        }
    }
    // What nothing follows is not kept with what comes next.
    if let [only] = blocks.as_mut_slice() {
        *only = PageBlock { begins: only.begins, ..PageBlock::whole(only.gap, std::mem::take(&mut only.lines)) };
    }
    let last = section.groups.last().map(|group| group.setup.map(|setup| setup.id));
    printed.in_hand = last.filter(|_| section.piece().is_none());
    blocks
}

/// Returns who wrote a piece, where it was learned and who allows it, each as a student understands it without a label
/// beside it.
fn credits(piece: &Piece) -> impl Iterator<Item = String> {
    let said = [
        ("by ", piece.credit.trim(), BY_ITSELF),
        ("Learned from ", piece.recording.trim(), &["learned", "from", "after"]),
        ("Permission: ", piece.permission.trim(), &["with", "permission", "printed", "used"]),
    ];
    said.into_iter().filter(|(_, text, _)| !text.is_empty()).map(|(lead, text, clear)| {
        let first = text.split(|sign: char| !sign.is_alphanumeric()).next().unwrap_or_default().to_lowercase();
        if clear.contains(&first.as_str()) { text.to_owned() } else { format!("{lead}{text}") }
    })
}

/// The words with which a credit says by itself what it is; another begins with a name.
const BY_ITSELF: &[&str] = &[
    "by",
    "written",
    "composed",
    "arranged",
    "words",
    "music",
    "lyrics",
    "tune",
    "melody",
    "song",
    "composer",
    "author",
    "trad",
    "traditional",
    "anonymous",
    "anon",
    "unknown",
    "adapted",
    "after",
    "from",
];

fn chord_blocks(
    lesson: &Lesson,
    section: &Section<'_>,
    group: &SetupMusic<'_>,
    look: PageLook,
    printed: &mut Printed,
) -> Vec<PageBlock> {
    if group.voicings.is_empty() {
        return Vec::new();
    }
    let key = section.piece().and_then(|piece| piece.key);
    let mut names = names(lesson, section, group, key, look);
    let rig = group.setup.and_then(|setup| lesson.rig(setup).ok());
    let mut grids = Vec::new();
    for voicing in &group.voicings {
        let kept = rig
            .as_ref()
            .map_or_else(|| voicing.readings.clone(), |rig| names_of_shape(&voicing.readings, &voicing.shape, rig));
        let name = kept.first().map_or_else(String::new, |name| names.printed(name));
        let octaves = rig.as_ref().is_some_and(|rig| is_octaves(rig, &voicing.shape));
        let mut grid = ChordGrid::of(voicing, if octaves { octave_name(name) } else { name });
        let lowest = rig.as_ref().map_or(Lowest::Bass, Rig::lowest_is);
        let printable = |name: &&String| lowest != Lowest::AnyTone || !has_bass(name);
        grid.also = kept.iter().skip(1).filter(printable).map(|name| names.printed(name)).collect();
        // Said once is enough, where several pieces use it.
        if !printed.noted.insert(voicing.id) {
            grid.note.clear();
        }
        grids.push(grid);
    }
    tell_apart(&mut grids);
    let mut blocks = vec![PageBlock::with_next(1, look.heading(HeadingWeight::Light, "Chords", ""))];
    let mut rows: Vec<PageBlock> =
        grid_rows(&grids, look.tab_style()).into_iter().map(|row| PageBlock::whole(1, row)).collect();
    keep_the_ends_in_company(&mut rows);
    blocks.extend(close_up_first(rows));
    printed.grids.extend(grids);
    blocks
}

/// Returns the names of what is played in one tuning, in one key, as they are printed; those of the grids and of the tab are
/// spelled alike.
fn names(lesson: &Lesson, section: &Section<'_>, group: &SetupMusic<'_>, key: Option<Key>, look: PageLook) -> Names {
    let of_piece = section.piece().and_then(|piece| piece.key);
    let grids = group.voicings.iter().filter(|_| key == of_piece).flat_map(|voicing| &voicing.readings);
    let passages = group.passages.iter().filter(|passage| passage.key.or(of_piece) == key);
    let (of_shape, of_sound): (Vec<&Passage>, Vec<&Passage>) =
        passages.copied().partition(|passage| names_over(lesson, group.setup, passage) == ChordNames::PlayedAs);
    let over = |passages: Vec<&'_ Passage>| -> Vec<String> {
        let voices = passages.into_iter().flat_map(|passage| &passage.bars).flat_map(|bar| &bar.voices);
        voices.flat_map(|voice| &voice.0).filter_map(|event| event.chord.clone()).collect()
    };
    let (of_shape, of_sound) = (over(of_shape), over(of_sound));
    Names::new(lesson, group.setup, key, look.charset)
        .beside(of_sound.iter().map(String::as_str))
        .standing_with(grids.chain(&of_shape).map(String::as_str))
}

/// Returns by which names those over a passage go. Names of a lesson that goes by the sound are those of the shapes where its notes say so.
fn names_over(lesson: &Lesson, setup: Option<&Setup>, passage: &Passage) -> ChordNames {
    match (lesson.header.chord_names, setup.and_then(|setup| lesson.rig(setup).ok())) {
        (ChordNames::SoundsAs, Some(rig)) => names_that_stand(passage, &rig, ChordNames::SoundsAs),
        (names, _) => names,
    }
}

/// Returns whether a name says which note is lowest.
fn has_bass(name: &str) -> bool {
    name.trim().parse::<ChordSymbol>().is_ok_and(|symbol| symbol.bass().is_some())
}

/// Returns whether `shape` sounds one note in two or more octaves.
fn is_octaves(rig: &Rig, shape: &Shape) -> bool {
    let mut notes: Vec<MidiNote> = rig.heard(shape).into_iter().flatten().collect();
    notes.sort_unstable();
    notes.dedup();
    let mut classes: Vec<PitchClass> = notes.iter().map(|note| note.pitch_class()).collect();
    classes.dedup();
    notes.len() > 1 && classes.len() == 1
}

/// Returns the name of a note alone with what it is: a bare `C` would be read as the chord.
fn octave_name(name: String) -> String {
    let bare = name.replace('♭', "b").replace('♯', "#").parse::<NoteName>().is_ok();
    if bare { format!("{name} octave") } else { name }
}

/// Returns the heading of a passage and its systems.
fn passage_blocks(
    lesson: &Lesson,
    section: &Section<'_>,
    group: &SetupMusic<'_>,
    passage: &Passage,
    look: PageLook,
    printed: &mut Printed,
) -> Vec<PageBlock> {
    let title = look.text(&passage.title);
    let title = if title.is_empty() { "Passage".to_owned() } else { title };
    let heading = look.heading(HeadingWeight::Light, &title, &BarNumbers::of(passage).count());
    let mut blocks = vec![PageBlock::with_next(2, heading)];
    let key = passage.key.or(section.piece().and_then(|piece| piece.key));
    let mut names = names(lesson, section, group, key, look);
    let labels = group.setup.map_or_else(|| numbered_strings(passage), |setup| string_labels(&setup.tuning));
    let mut tab =
        lay_out(&names.in_passage(passage, names_over(lesson, group.setup, passage)), &labels, &look.tab_style());
    printed.tab_signs.add(tab.signs);
    if let Some(first) = tab.text.systems.first_mut() {
        let header = header_in_words(passage, look.charset);
        first.lines.splice(..1, if width(&header) > look.width { look.hanging("", &header) } else { vec![header] });
    }
    let systems = tab.text.systems.into_iter();
    let mut systems: Vec<PageBlock> = systems.map(|system| PageBlock::whole(1, system.lines)).collect();
    keep_the_ends_in_company(&mut systems);
    blocks.extend(close_up_first(systems));
    blocks
}

/// Lets the first of `blocks`, which is under a heading, stand close to it where lines are short.
fn close_up_first(blocks: Vec<PageBlock>) -> impl Iterator<Item = PageBlock> {
    let close = |(place, block): (usize, PageBlock)| if place == 0 { block.may_close_up() } else { block };
    blocks.into_iter().enumerate().map(close)
}

/// Returns string numbers as labels for a passage whose tuning nobody has said; six strings, or
/// as many as it uses.
fn numbered_strings(passage: &Passage) -> Vec<String> {
    let voices = passage.bars.iter().flat_map(|bar| &bar.voices);
    let notes = voices.flat_map(|voice| &voice.0).flat_map(|event| event.notes.iter().chain(&event.grace));
    let used = notes.map(|note| note.string.number()).max().unwrap_or(0);
    (1..=used.max(6)).rev().map(|number| number.to_string()).collect()
}
