//! A workbench on a small invented lesson, with a runtime that keeps everything in memory.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::fresh::Seed;
use fingerpost::store::draft::Draft;
use fingerpost::store::lesson_file;
use fingerpost::store::library::Library;
use fingerpost::store::lock::Holder;
use fingerpost::store::open_lesson::{Access, FormatRenewal, ReadOnly, SavedState};
use fingerpost::text::charset::Charset;
use fingerpost::workbench::desk::open_desk::Desk;
use fingerpost::workbench::drawing::appearance::{Appearance, Colours};
use fingerpost::workbench::keys::action::{Action, Focus};
use fingerpost::workbench::keys::keystroke::Keystroke;
use fingerpost::workbench::keys::table::KeyTable;
use fingerpost::workbench::library::item::LibraryItem;
use fingerpost::workbench::library::shelf::Shelf;
use fingerpost::workbench::messages::effect::{Effect, FileEffect, LibraryOrder};
use fingerpost::workbench::messages::message::{Message, OpenedLesson, SavedFile};
use fingerpost::workbench::panes::start::pane::StartPane;
use fingerpost::workbench::screen::frame;
use fingerpost::workbench::state::State;
use fingerpost::workbench::update::routing::update;
use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::{Rect, Size};
use ratatui::style::Color;

/// The lesson that most tests start from; see the file for what is in it.
pub fn small_lesson() -> Lesson {
    static LESSON: LazyLock<Lesson> = LazyLock::new(|| {
        let text = include_bytes!("../../lessons/workbench.lesson.ron");
        lesson_file::parse(Path::new("workbench.lesson.ron"), text).unwrap().lesson
    });
    LESSON.clone()
}

/// A workbench and what became of its effects.
#[derive(Clone)]
pub struct Bench {
    pub state: State,
    /// Effects other than those answered in memory, latest last.
    pub wanted: Vec<Effect>,
    /// Every action that a key has asked for.
    pub asked: BTreeSet<Action>,
    /// The lesson as it would be after replaying the journal.
    pub replayed: Lesson,
    /// The lesson as it was last saved.
    pub saved: Option<Lesson>,
    pub library: Library,
    /// What was kept of what is not in the lesson yet.
    pub draft: Draft,
}

impl Bench {
    pub fn start_screen(size: (u16, u16)) -> Self {
        let recent = vec![("Reel in G".to_owned(), PathBuf::from("/lessons/reel.lesson.ron"))];
        let demos = vec![["small", "an invented lesson", "two chords and a capo"].map(str::to_owned)];
        let size = Size { width: size.0, height: size.1 };
        let mut state = State::new(size, Appearance::default(), KeyTable::built_in(), StartPane::new(recent, demos));
        state.settle();
        Self {
            state,
            wanted: Vec::new(),
            asked: BTreeSet::new(),
            replayed: Lesson::default(),
            saved: None,
            library: Library::default(),
            draft: Draft::default(),
        }
    }

    pub fn on(lesson: Lesson, size: (u16, u16)) -> Self {
        let mut bench = Self::start_screen(size);
        bench.open(lesson);
        bench
    }

    pub fn small(size: (u16, u16)) -> Self {
        Self::on(small_lesson(), size)
    }

    /// The small lesson, which another window holds.
    pub fn read_only(size: (u16, u16)) -> Self {
        let mut bench = Self::start_screen(size);
        bench.open_with(small_lesson(), Access::ReadOnly(ReadOnly::OpenElsewhere(Holder::default())));
        bench
    }

    pub fn open(&mut self, lesson: Lesson) {
        self.open_with(lesson, Access::Full);
    }

    fn open_with(&mut self, lesson: Lesson, access: Access) {
        self.replayed = lesson.clone();
        let path = PathBuf::from("/lessons/workbench.lesson.ron");
        let library = self.items();
        let seed = Seed(1);
        let opened = OpenedLesson {
            lesson,
            path,
            access,
            state: SavedState::Saved,
            seed,
            library,
            apart: Vec::new(),
            undoable_behind: Vec::new(),
            undoable: Vec::new(),
            left_at: None,
            notice: None,
        };
        self.send(Message::Opened(Ok(Box::new(opened))));
    }

    /// The open lesson, as it would be opened again.
    pub fn opened(&self) -> OpenedLesson {
        OpenedLesson {
            lesson: self.lesson().clone(),
            path: self.desk().lesson.path().to_owned(),
            access: Access::Full,
            state: SavedState::Saved,
            seed: Seed(1),
            library: self.items(),
            apart: Vec::new(),
            undoable_behind: Vec::new(),
            undoable: Vec::new(),
            left_at: None,
            notice: None,
        }
    }

    fn items(&self) -> Shelf {
        self.library.voicings.iter().cloned().map(LibraryItem::from).collect::<Vec<LibraryItem>>().into()
    }

    /// Sends a message and everything that follows from it.
    pub fn send(&mut self, message: Message) {
        for effect in update(&mut self.state, message) {
            let follows = match effect {
                Effect::Files(FileEffect::Journal(changes)) => {
                    for change in changes {
                        self.replayed.apply_all(change.edits).unwrap();
                    }
                    None
                }
                Effect::Files(FileEffect::Save(work, _)) => {
                    self.saved = Some(work.lesson);
                    let path = self.desk().lesson.path().to_owned();
                    Some(Message::Saved(Ok(SavedFile { path, renewed: FormatRenewal::No })))
                }
                Effect::Files(FileEffect::ChangeLibrary(order, said)) => {
                    match *order {
                        LibraryOrder::Keep(voicing) => self.library.add(voicing),
                        LibraryOrder::Change(change) => self.library.change(&change),
                        LibraryOrder::TakeOut(voicing) => self.library.take_out(&voicing),
                    }
                    Some(Message::LibraryKept(self.items(), said))
                }
                Effect::Files(FileEffect::KeepDraft(draft)) => {
                    self.draft = *draft;
                    None
                }
                other => {
                    self.wanted.push(other);
                    None
                }
            };
            if let Some(message) = follows {
                self.send(message);
            }
        }
    }

    /// Strikes keys as the key table writes them; what is in quotes is typed letter by letter.
    #[track_caller]
    pub fn strike(&mut self, script: &str) -> &mut Self {
        for (part, text) in script.split('"').enumerate() {
            if part % 2 == 1 {
                text.chars().for_each(|letter| self.strike_key(&letter.to_string().replace(' ', "Space")));
            } else {
                text.split_whitespace().for_each(|key| self.strike_key(key));
            }
        }
        self
    }

    #[track_caller]
    fn strike_key(&mut self, key: &str) {
        let key: Keystroke = key.parse().unwrap();
        self.asked.extend(self.state.action_for(key));
        self.send(Message::Key(key));
    }

    #[track_caller]
    pub fn desk(&self) -> &Desk {
        self.state.desk().unwrap()
    }

    pub fn lesson(&self) -> &Lesson {
        self.desk().lesson.lesson()
    }

    pub fn notice(&self) -> &str {
        self.state.said.notice.as_ref().map_or("", |notice| &notice.text)
    }

    /// The segments, one a line, the selected one marked.
    pub fn segments(&self) -> String {
        let selected = self.desk().timeline.selected();
        let line = |segment: &fingerpost::lesson::document::Segment| {
            let mark = if Some(segment.id) == selected { ">" } else { " " };
            format!("{mark} {} {} {}", segment.title, segment.planned, segment.kind.word())
        };
        self.lesson().segments.iter().map(line).collect::<Vec<_>>().join("\n")
    }

    pub fn resize(&mut self, width: u16, height: u16) {
        self.send(Message::Resized(Size { width, height }));
    }

    pub fn plain(mut self) -> Self {
        self.state.appearance = Appearance { charset: Charset::Ascii, colours: Colours::None };
        self.state.settle();
        self
    }

    pub fn buffer(&self) -> Buffer {
        let area = Rect { x: 0, y: 0, width: self.state.size.width, height: self.state.size.height };
        let mut buffer = Buffer::empty(area);
        frame::draw(&self.state, area, &mut buffer);
        buffer
    }

    /// The whole screen as text.
    pub fn screen(&self) -> String {
        text_of(&self.buffer(), self.buffer().area)
    }

    /// The whole screen as text, and under it how it is styled.
    pub fn styled_screen(&self) -> String {
        let buffer = self.buffer();
        format!("{}\n\nstyled:\n{}", text_of(&buffer, buffer.area), styles_of(&buffer, buffer.area))
    }

    /// One pane as text, and under it how it is styled.
    #[track_caller]
    pub fn styled_pane(&self, focus: Focus) -> String {
        let (buffer, area) = (self.buffer(), self.state.layout().unwrap().pane(focus).area);
        format!("{}\n\nstyled:\n{}", text_of(&buffer, area), styles_of(&buffer, area))
    }

    /// One pane as text.
    #[track_caller]
    pub fn pane(&self, focus: Focus) -> String {
        text_of(&self.buffer(), self.state.layout().unwrap().pane(focus).area)
    }
}

/// The styles of an area, one line for each of its lines that has some: from which column to which, and what.
pub fn styles_of(buffer: &Buffer, area: Rect) -> String {
    let mut lines = Vec::new();
    for y in area.top()..area.bottom() {
        let mut runs: Vec<(u16, u16, String)> = Vec::new();
        for x in area.left()..area.right() {
            let style = words_of(&buffer[(x, y)]);
            let at = x - area.left();
            match runs.last_mut() {
                Some((_, end, known)) if *known == style && *end + 1 == at => *end = at,
                _ => runs.push((at, at, style)),
            }
        }
        let shown = runs.iter().filter(|(.., style)| !style.is_empty());
        let shown: Vec<String> = shown.map(|(from, to, style)| format!("{from}-{to} {style}")).collect();
        if !shown.is_empty() {
            lines.push(format!("{:>3}: {}", y - area.top(), shown.join(", ")));
        }
    }
    lines.join("\n")
}

/// What a cell is beside plain, in words.
fn words_of(cell: &Cell) -> String {
    let modifiers = cell.modifier.iter_names().map(|(name, _)| name.to_lowercase());
    let colour = |colour: Color| (colour != Color::Reset).then(|| format!("{colour:?}").to_lowercase());
    let behind = colour(cell.bg).map(|colour| format!("on {colour}"));
    modifiers.chain(colour(cell.fg)).chain(behind).collect::<Vec<String>>().join(" ")
}

/// The cells of an area as lines without trailing spaces.
pub fn text_of(buffer: &Buffer, area: Rect) -> String {
    let mut lines = Vec::new();
    for y in area.top()..area.bottom() {
        let mut line = String::new();
        let mut hidden = 0;
        for x in area.left()..area.right() {
            let symbol = buffer[(x, y)].symbol();
            // The column after a wide character is covered by it.
            if hidden > 0 {
                hidden -= 1;
                continue;
            }
            hidden = fingerpost::text::width::width(symbol).saturating_sub(1);
            line.push_str(symbol);
        }
        lines.push(line.trim_end().to_owned());
    }
    lines.join("\n")
}
