//! Boxes that lie over the panes and take every key until they are put away: a line to type, talking
//! points to write, a list to choose from or to mark lines of, a list to read.

use crate::lesson::check::Finding;
use crate::lesson::document::{Progress, SegmentKind};
use crate::lesson::id::{PassageId, SegmentId, SetupId, VoicingId};
use crate::lesson::place::Place;
use crate::workbench::boxes::preview::PreviewBox;
use crate::workbench::boxes::search::SearchBox;
use crate::workbench::drawing::appearance::Look;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::keys::action::{ChoiceAction, EntryAction, ListAction, MarksAction, Pane, PointsAction};
use crate::workbench::messages::effect::{Existing, NewLesson, SaveAs, Sought};
use crate::workbench::panes::passage::{PassagePick, Question};
use crate::workbench::state::AfterSave;
use crate::workbench::typing::lines::{TypedLine, TypedLines};
use crate::workbench::update::sound_keys::Choice;

/// What a typed line is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Subject {
    /// The title of a new segment, which goes to a place in the list.
    NewSegment(usize),
    /// The title of a segment.
    SegmentTitle(SegmentId),
    /// The planned length of a segment.
    SegmentLength(SegmentId),
    /// When a segment was recorded.
    Recorded(SegmentId),
    /// Where a segment is split.
    SplitAt(SegmentId),
    /// The length that the video should have.
    Target,
    /// The title of the piece a segment is about.
    PieceTitle(SegmentId),
    /// The key of that piece.
    PieceKey {
        /// The segment.
        segment: SegmentId,
        /// The title of the piece, as it was typed.
        title: String,
    },
    /// The file that text tab is read from.
    TabFile,
    /// The title of the passage that pasted tab becomes.
    PastedTab(String),
    /// A new setup for a segment.
    NewSetup(SegmentId),
    /// The clock of the recording view.
    VideoClock,
    /// The title of the lesson.
    LessonTitle,
    /// A whole shape for the fretboard.
    Shape,
    /// Something about the passage.
    Passage(Question),
    /// A chord whose voicings are wanted.
    ChordName,
    /// How fast music is played.
    ListeningTempo,
    /// A bass that somebody else plays.
    StatedBass,
    /// The tags of the voicing that is selected in the library.
    Tags,
    /// The path of a lesson to open.
    OpenPath,
    /// The title of a new lesson.
    NewLesson,
}

/// A line to type.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EntryBox {
    /// What it is for.
    pub subject: Subject,
    /// What is asked.
    pub title: String,
    /// What may be typed, with an example.
    pub advice: &'static str,
    /// What is typed.
    pub line: TypedLine,
    /// Why the last try was not taken.
    pub error: Option<String>,
}

/// What is written in a segment, line by line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Written {
    /// Talking points.
    Points,
    /// Camera and light.
    Shot,
    /// The sound of the instrument.
    Tone,
}

impl Written {
    /// Returns what it is called.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Points => "talking points",
            Self::Shot => "shot notes",
            Self::Tone => "tone notes",
        }
    }
}

/// Talking points or notes to write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PointsBox {
    /// Whose they are.
    pub segment: SegmentId,
    /// What of it.
    pub what: Written,
    /// What is asked.
    pub title: String,
    /// One point a line.
    pub lines: TypedLines,
}

/// What taking a line of a list means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Pick {
    /// A segment is of this kind.
    Kind(SegmentId, SegmentKind),
    /// A segment is this far.
    Progress(SegmentId, Progress),
    /// A segment is played in this setup; `None` keeps the one before it.
    Setup(SegmentId, Option<SetupId>),
    /// A new setup is wanted for a segment.
    AddSetup(SegmentId),
    /// The handout goes where a file stands already.
    Handout(Existing),
    /// The new lesson starts from this template.
    Template(NewLesson),
    /// The new lesson is for this instrument.
    Instrument(NewLesson),
    /// The new lesson is all chosen.
    NewLesson(NewLesson),
    /// Save, then leave.
    SaveAnd(AfterSave),
    /// Save in spite of what is on the disk.
    Save(SaveAs),
    /// Quit; the changes stay in the journal.
    QuitUnsaved,
    /// Close the lesson; the changes stay in the journal.
    CloseUnsaved,
    /// Ask once more whether the changes are to be thrown away.
    AskToDiscard(AfterSave),
    /// Throw the changes away, then leave.
    Discard(AfterSave),
    /// Something about the passage.
    Passage(PassagePick),
    /// How things are heard.
    Listening(Choice),
    /// Everything is heard on this sound device, by its name; without one, on that of the system.
    Device(String),
    /// The colours of a theme, by its place; without one, the terminal's own.
    Colours(Option<usize>),
    /// Nothing.
    Nothing,
}

/// A list to choose from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChoiceBox {
    /// What is asked.
    pub title: String,
    /// What there is to know first, possibly nothing.
    pub advice: String,
    /// The lines.
    pub lines: Vec<(String, Pick)>,
    /// The selected line.
    pub selected: usize,
}

/// Something that a segment shows or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marked {
    /// A passage.
    Passage(PassageId),
    /// A voicing.
    Voicing(VoicingId),
}

/// A line that can be marked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MarkLine {
    /// What it says.
    pub text: String,
    /// What it stands for.
    pub thing: Marked,
    /// Whether it is marked.
    pub marked: bool,
}

/// A list to mark lines of: the passages that a segment plays, or the voicings that it shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MarksBox {
    /// The segment.
    pub segment: SegmentId,
    /// What is asked.
    pub title: String,
    /// The lines.
    pub lines: Vec<MarkLine>,
    /// The selected line.
    pub selected: usize,
}

/// A line of a list to read.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ListLine {
    /// The first column: a key, or how serious it is.
    pub head: String,
    /// The text.
    pub text: String,
    /// What comes under it, possibly nothing.
    pub below: String,
    /// The place it is about.
    pub place: Option<Place>,
    /// What was found, where that can be mended without asking.
    pub mendable: Option<Finding>,
}

/// A list to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListBox {
    /// What it is.
    pub title: String,
    /// The lines.
    pub lines: Vec<ListLine>,
    /// The selected line.
    pub selected: usize,
    /// How far it is scrolled, in lines of the screen.
    pub scroll: Scroll,
    /// How it lies on a screen of the size and the look that it was drawn on last: wrapping a thousand entries takes
    /// long. Whoever changes the lines takes this out.
    pub(in crate::workbench) measured: Option<((usize, usize), Look, Measure)>,
}

/// How a list lies on the screen: an entry can take several lines.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Measure {
    /// How many lines each entry takes.
    pub tall: Vec<usize>,
    /// How many lines are in view.
    pub room: usize,
    /// How many columns it has inside, how many its first column, how many its text.
    pub columns: (usize, usize, usize),
}

/// Any box.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Overlay {
    /// A line to type.
    Entry(EntryBox),
    /// Talking points to write.
    Points(PointsBox),
    /// A list to choose from.
    Choice(ChoiceBox),
    /// A list to mark lines of.
    Marks(MarksBox),
    /// A list to read.
    List(ListBox),
    /// The handout as it will print.
    Preview(PreviewBox),
    /// The search for an action.
    Search(SearchBox),
}

impl Overlay {
    /// Returns the place whose keys work in it.
    pub const fn pane(&self) -> Pane {
        match self {
            Self::Entry(_) => Pane::Entry,
            Self::Points(_) => Pane::Points,
            Self::Choice(_) => Pane::Choice,
            Self::Marks(_) => Pane::Marks,
            Self::List(_) => Pane::List,
            Self::Preview(_) => Pane::Preview,
            Self::Search(_) => Pane::Search,
        }
    }

    /// Types a character, where characters are typed; returns whether they are.
    pub fn type_letter(&mut self, letter: char) -> bool {
        match self {
            Self::Entry(entry) => {
                entry.line.insert(letter);
                entry.error = None;
            }
            Self::Points(points) => points.lines.line_mut().insert(letter),
            Self::Search(search) => search.type_letter(letter),
            Self::Choice(_) | Self::Marks(_) | Self::List(_) | Self::Preview(_) => return false,
        }
        true
    }

    /// Types a pasted text; its line ends begin new lines where there are lines, else become spaces.
    pub fn paste(&mut self, text: &str) {
        for letter in text.replace("\r\n", "\n").chars() {
            match (&mut *self, letter) {
                (Self::Points(points), '\n' | '\r') => points.lines.new_line(),
                (_, '\n' | '\r' | '\t') => _ = self.type_letter(' '),
                (_, letter) if letter.is_control() => {}
                (_, letter) => _ = self.type_letter(letter),
            }
        }
    }
}

/// What a box's action comes to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// The box stays.
    Stay,
    /// The box is put away and nothing happens.
    Cancel,
    /// What is in it is taken.
    Accept,
}

impl EntryBox {
    /// Returns an empty line to type.
    pub fn new(subject: Subject, title: impl Into<String>, advice: &'static str, text: impl Into<String>) -> Self {
        Self { subject, title: title.into(), advice, line: TypedLine::new(text), error: None }
    }

    /// Returns what kind of file is typed here, if the name of one is.
    pub const fn sought(&self) -> Option<Sought> {
        match self.subject {
            Subject::OpenPath => Some(Sought::Lesson),
            Subject::TabFile => Some(Sought::AnyFile),
            _ => None,
        }
    }

    /// Does what was asked.
    pub fn act(&mut self, action: EntryAction) -> Verdict {
        match action {
            EntryAction::Accept => return Verdict::Accept,
            EntryAction::Cancel => return Verdict::Cancel,
            EntryAction::Left => _ = self.line.left(),
            EntryAction::Right => _ = self.line.right(),
            EntryAction::Start => self.line.to_start(),
            EntryAction::End => self.line.to_end(),
            EntryAction::EraseBefore => _ = self.line.erase_before(),
            EntryAction::EraseAfter => _ = self.line.erase_after(),
            EntryAction::EraseAll => self.line.erase_all(),
            // Names of files are asked for outside; see `update`.
            EntryAction::Complete => {}
        }
        self.error = None;
        Verdict::Stay
    }
}

impl PointsBox {
    /// Does what was asked.
    pub fn act(&mut self, action: PointsAction) -> Verdict {
        match action {
            PointsAction::Accept => return Verdict::Accept,
            PointsAction::NewLine => self.lines.new_line(),
            PointsAction::Left => self.lines.left(),
            PointsAction::Right => self.lines.right(),
            PointsAction::Up => self.lines.up(),
            PointsAction::Down => self.lines.down(),
            PointsAction::Start => self.lines.line_mut().to_start(),
            PointsAction::End => self.lines.line_mut().to_end(),
            PointsAction::EraseBefore => self.lines.erase_before(),
            PointsAction::EraseAfter => self.lines.erase_after(),
        }
        Verdict::Stay
    }
}

/// So many lines further in a box of lines to choose from: about as many as the smallest screen shows of them.
const SOME: usize = 8;

impl ChoiceBox {
    /// Does what was asked.
    pub fn act(&mut self, action: ChoiceAction) -> Verdict {
        let last = self.lines.len().saturating_sub(1);
        match action {
            ChoiceAction::Previous => self.selected = self.selected.saturating_sub(1),
            ChoiceAction::Next => self.selected = (self.selected + 1).min(last),
            ChoiceAction::First => self.selected = 0,
            ChoiceAction::Last => self.selected = last,
            ChoiceAction::PageUp => self.selected = self.selected.saturating_sub(SOME),
            ChoiceAction::PageDown => self.selected = (self.selected + SOME).min(last),
            ChoiceAction::Accept => return Verdict::Accept,
            ChoiceAction::Cancel => return Verdict::Cancel,
        }
        Verdict::Stay
    }

    /// Returns what taking the selected line means.
    pub fn pick(&self) -> Pick {
        self.lines.get(self.selected).map_or(Pick::Nothing, |(_, pick)| pick.clone())
    }
}

impl MarksBox {
    /// Does what was asked.
    pub fn act(&mut self, action: MarksAction) -> Verdict {
        let last = self.lines.len().saturating_sub(1);
        match action {
            MarksAction::Previous => self.selected = self.selected.saturating_sub(1),
            MarksAction::Next => self.selected = (self.selected + 1).min(last),
            MarksAction::First => self.selected = 0,
            MarksAction::Last => self.selected = last,
            MarksAction::PageUp => self.selected = self.selected.saturating_sub(SOME),
            MarksAction::PageDown => self.selected = (self.selected + SOME).min(last),
            MarksAction::Toggle => {
                if let Some(line) = self.lines.get_mut(self.selected) {
                    line.marked = !line.marked;
                }
            }
            MarksAction::Accept => return Verdict::Accept,
            MarksAction::Cancel => return Verdict::Cancel,
        }
        Verdict::Stay
    }

    /// Returns what the lines stand for.
    pub fn offered(&self) -> Vec<Marked> {
        self.lines.iter().map(|line| line.thing).collect()
    }

    /// Returns what is marked.
    pub fn marked(&self) -> Vec<Marked> {
        self.lines.iter().filter(|line| line.marked).map(|line| line.thing).collect()
    }
}

impl ListBox {
    /// Returns a list at its beginning.
    pub fn new(title: impl Into<String>, lines: Vec<ListLine>) -> Self {
        Self { title: title.into(), lines, selected: 0, scroll: Scroll::default(), measured: None }
    }

    /// Does what was asked of a list that lies on the screen like this.
    pub fn act(&mut self, action: ListAction, measure: &Measure) -> Verdict {
        let last = self.lines.len().saturating_sub(1);
        let all: usize = measure.tall.iter().sum();
        let page = measure.room.max(1);
        match action {
            ListAction::Up => self.selected = self.selected.saturating_sub(1),
            ListAction::Down => self.selected = (self.selected + 1).min(last),
            // At the end there is no further screenful, so the selection goes to the last line.
            ListAction::PageDown if self.scroll.first() + page >= all => self.selected = last,
            ListAction::PageDown => {
                self.scroll.to(self.scroll.first() + page, all, page);
                self.selected = measure.entry_at(self.scroll.first()).min(last);
            }
            ListAction::PageUp if self.scroll.first() == 0 => self.selected = 0,
            ListAction::PageUp => {
                self.scroll.to(self.scroll.first().saturating_sub(page), all, page);
                self.selected = measure.entry_at(self.scroll.first()).min(last);
            }
            ListAction::GoThere => return Verdict::Accept,
            // The desk mends; see `update`.
            ListAction::Mend => {}
            ListAction::Close => return Verdict::Cancel,
        }
        self.scroll = measure.showing(self.selected, self.scroll);
        Verdict::Stay
    }
}

impl Measure {
    /// Returns the first entry that begins at `line` or below.
    fn entry_at(&self, line: usize) -> usize {
        let mut top = 0;
        for (place, tall) in self.tall.iter().enumerate() {
            if top >= line {
                return place;
            }
            top += tall;
        }
        self.tall.len().saturating_sub(1)
    }

    /// Returns how far to scroll so that the whole of an entry is in view, or its beginning.
    pub fn showing(&self, entry: usize, mut scroll: Scroll) -> Scroll {
        let top: usize = self.tall.iter().take(entry).sum();
        let tall = self.tall.get(entry).copied().unwrap_or(1).max(1);
        let all = self.tall.iter().sum();
        scroll.show(top + tall - 1, all, self.room);
        scroll.show(top, all, self.room);
        scroll
    }
}
