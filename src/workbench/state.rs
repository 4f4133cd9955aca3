//! The whole state of the workbench.

use std::time::Duration;

use ratatui::layout::Size;

use crate::lesson::id::SegmentId;
use crate::store::draft::{BoxDraft, Draft};
use crate::store::settings::{Characters, HandoutChoice, HandoutSettings, NeckSettings};
use crate::tab::handout::options::{HandoutOptions, TalkingPoints};
use crate::text::charset::Charset;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::boxes::view::note_measure;
use crate::workbench::desk::layout::{Layout, readings_width};
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::desk::room::{tab_screen, wants};
use crate::workbench::desk::scores::show_heard;
use crate::workbench::desk::standpoint::Standpoint;
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::drawing::theme::Theme;
use crate::workbench::keys::action::{Action, Focus, Pane};
use crate::workbench::keys::keystroke::Keystroke;
use crate::workbench::keys::table::KeyTable;
use crate::workbench::messages::effect::{Effect, FileEffect};
use crate::workbench::messages::said::Said;
use crate::workbench::panes::fretboard::grip::Grip;
use crate::workbench::panes::library::pane::{Arrangement, SearchTyping};
use crate::workbench::panes::recording::pane::Showing;
use crate::workbench::panes::recording::view::Parts;
use crate::workbench::panes::start::pane::StartPane;
use crate::workbench::playback::playing::{LOOKS, Playback};
use crate::workbench::questions::program::AfterSave;
use crate::workbench::questions::timeline::SegmentText;

/// What lies under any box.
#[derive(Debug, Clone)]
pub enum View {
    /// The start screen.
    Start,
    /// An open lesson.
    Desk(std::boxed::Box<Desk>),
}

/// Everything the screen is drawn from.
#[derive(Debug, Clone)]
pub struct State {
    /// The size of the terminal.
    pub size: Size,
    /// Characters and colours.
    pub appearance: Appearance,
    /// Actions and keys.
    pub keys: KeyTable,
    /// The start screen, also while a lesson is open.
    pub start: StartPane,
    /// What lies under any box.
    pub view: View,
    /// The box on top, if there is one.
    pub overlay: Option<Overlay>,
    /// The boxes that another one has come over, the last one on top; they are there again when it is put away.
    pub laid_aside: Vec<Overlay>,
    /// What was said to the person.
    pub said: Said,
    /// What the person has chosen for all lessons.
    pub chosen: Chosen,
    /// The number that is typed before a movement.
    pub count: Option<u16>,
    /// What happens after the lesson is saved.
    pub after_save: AfterSave,
    /// What is heard, and how.
    pub playback: Playback,
    /// What was handed over of what is not in the lesson yet.
    pub draft: HandedOver,
}

/// What the person has chosen for all lessons, and what there is to choose from.
#[derive(Debug, Clone)]
pub struct Chosen {
    /// How the handout is laid out.
    pub handout: HandoutOptions,
    /// How the neck of a lesson is seen that is opened.
    pub neck: NeckSettings,
    /// The themes there are, the user's own first; none where no colours are shown.
    pub themes: Vec<Theme>,
}

impl Chosen {
    /// Takes on what was chosen for all handouts, on a screen that shows these characters.
    pub const fn take_handout_choice(&mut self, choice: HandoutChoice, screen: Charset) {
        let HandoutChoice { paper, rest: HandoutSettings { characters, talking_points } } = choice;
        self.handout.paper = paper;
        self.handout.charset = match characters {
            Characters::Automatic => screen,
            Characters::Utf8 => Charset::Utf8,
            Characters::Ascii => Charset::Ascii,
        };
        self.handout.talking_points = if talking_points { TalkingPoints::Print } else { TalkingPoints::LeaveOut };
    }

    /// Returns what is chosen for all handouts, on a screen that shows these characters.
    pub fn handout_choice(&self, screen: Charset) -> HandoutChoice {
        let characters = match self.handout.charset {
            charset if charset == screen => Characters::Automatic,
            Charset::Utf8 => Characters::Utf8,
            Charset::Ascii => Characters::Ascii,
        };
        let talking_points = self.handout.talking_points == TalkingPoints::Print;
        HandoutChoice { paper: self.handout.paper, rest: HandoutSettings { characters, talking_points } }
    }
}

/// What was handed over to be kept of what is not in the lesson yet, or waits to be.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct HandedOver {
    /// What it was, as far as that shows whether it has changed.
    pub mark: DraftMark,
    /// How often it has changed.
    pub changes: u64,
    /// Whether the last change waits, because there is so much of it.
    pub is_late: bool,
    /// Words that were found in a draft and whose box could not be opened again; they are kept until the lesson is left.
    pub homeless: Vec<BoxDraft>,
    /// What is to be kept before anything else is done.
    pub outgoing: Option<Box<Draft>>,
    /// Whether the last one could not be kept, as was told.
    pub is_refused: bool,
}

impl HandedOver {
    /// Returns the number of changes so far if the last one waits to be handed over.
    pub fn late(&self) -> Option<u64> {
        self.is_late.then_some(self.changes)
    }

    /// Takes out what is to be kept before anything else is done.
    pub fn take_handed_over(&mut self) -> Option<Effect> {
        self.outgoing.take().map(|draft| FileEffect::KeepDraft(draft).into())
    }
}

/// What shows whether a draft has changed, without going through all its words.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DraftMark {
    /// The fingers that no voicing holds.
    pub fingers: Option<Grip>,
    /// The boxes in which something is written, the one on top last.
    pub boxes: Vec<BoxMark>,
    /// Where the person is who writes.
    pub standpoint: Option<Standpoint>,
}

/// What shows whether a box has changed in which something is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BoxMark {
    /// A line, which is short.
    Entry(EntryBox),
    /// Points or notes: whose they are, what of it, and how often they were changed.
    Points(SegmentId, SegmentText, u64),
}

impl State {
    /// Puts a box over everything else. One in which something is written or marked is not lost under it.
    pub fn lay_over(&mut self, overlay: Overlay) {
        let covered = self.overlay.replace(overlay);
        let has_words =
            |covered: &Overlay| matches!(covered, Overlay::Entry(_) | Overlay::Points(_) | Overlay::Marks(_));
        self.laid_aside.extend(covered.filter(has_words));
    }

    /// Returns the start screen.
    pub fn new(size: Size, appearance: Appearance, keys: KeyTable, start: StartPane) -> Self {
        Self {
            size,
            appearance,
            keys,
            start,
            view: View::Start,
            overlay: None,
            laid_aside: Vec::new(),
            said: Said::default(),
            chosen: Chosen {
                handout: HandoutOptions { charset: appearance.charset, ..HandoutOptions::default() },
                neck: NeckSettings::default(),
                themes: Theme::built_in(),
            },
            count: None,
            after_save: AfterSave::Stay,
            playback: Playback::default(),
            draft: HandedOver::default(),
        }
    }

    /// Returns the open lesson, if one is open.
    pub fn desk(&self) -> Option<&Desk> {
        match &self.view {
            View::Start => None,
            View::Desk(desk) => Some(desk),
        }
    }

    /// Returns the open lesson, if one is open.
    pub fn desk_mut(&mut self) -> Option<&mut Desk> {
        match &mut self.view {
            View::Start => None,
            View::Desk(desk) => Some(desk),
        }
    }

    /// Returns the place whose keys work now.
    pub fn pane(&self) -> Pane {
        self.overlay.as_ref().map_or_else(|| self.pane_below(), Overlay::pane)
    }

    /// Returns where a key is struck once no box is open.
    pub fn pane_below(&self) -> Pane {
        match &self.view {
            View::Start => Pane::Start,
            View::Desk(desk) if desk.is_covered() => Pane::Recording,
            View::Desk(desk) if desk.library.finding() == SearchTyping::Yes => Pane::Find,
            View::Desk(desk) => desk.focus.pane(),
        }
    }

    /// Returns whether letters are being typed that lead to a line of the list on top.
    pub fn is_searching(&self) -> bool {
        match (&self.overlay, &self.view) {
            (Some(overlay), _) => overlay.is_searching(),
            (None, View::Start) => self.start.is_searching(),
            (None, View::Desk(_)) => false,
        }
    }

    /// Returns what striking `key` asks for now; `None` where it types a character or means nothing.
    pub fn action_for(&self, key: Keystroke) -> Option<Action> {
        // In the words that are typed over a list, a space and a small letter are no keys of the list.
        if key.typed().is_some_and(|typed| typed == ' ' || typed.is_lowercase()) && self.is_searching() {
            return None;
        }
        self.keys.action(self.pane(), key)
    }

    /// Returns where things stand, if a lesson is open and there is room.
    pub fn layout(&self) -> Option<Layout> {
        let desk = self.desk()?;
        // Chord grids need the room of all panes.
        if desk.focus == Focus::Library && desk.library.arrangement() == Arrangement::Grids {
            return Layout::of_one(self.size, desk.focus, &wants(desk));
        }
        Layout::of(self.size, desk.focus, &wants(desk))
    }

    /// Returns whether every message should be told the time first: a key may stamp it, a clock runs.
    pub fn wants_time(&self) -> bool {
        let recording = self.desk().map(|desk| &desk.recording);
        recording.is_some_and(|pane| pane.showing() == Showing::Shown || pane.clock().is_running())
    }

    /// Returns how long until the screen changes by itself; `None` where it does not.
    pub fn wake_in(&self) -> Option<Duration> {
        let clock = self.desk().and_then(|desk| desk.recording.wake_in());
        let sound = self.playback.playing.as_ref().map(|_| LOOKS);
        clock.into_iter().chain(sound).min()
    }

    /// Brings every pane up to date.
    pub fn settle(&mut self) {
        let charset = self.appearance.charset;
        if let View::Desk(desk) = &mut self.view {
            desk.name_keys(&self.keys);
        }
        let layout = self.counted_layout();
        if let Some(overlay) = &mut self.overlay {
            note_measure(overlay, (usize::from(self.size.width), usize::from(self.size.height)), self.appearance);
        }
        match &mut self.view {
            View::Start => self.start.settle(usize::from(self.size.height.saturating_sub(2))),
            View::Desk(desk) => {
                show_heard(desk, self.playback.playing.as_ref());
                desk.settle(layout.as_ref(), charset);
                desk.name_keys(&self.keys);
                let segment = desk.timeline.selected().and_then(|id| desk.lesson.segment(id));
                let room = Parts::of(self.size).cue_room();
                desk.recording.follow(desk.lesson.lesson(), segment, desk.lesson.revision(), room, self.appearance);
                self.chosen.neck = desk.fretboard.neck().settings();
            }
        }
        // What is shown now may fill more or fewer lines than what was.
        let settled = self.counted_layout();
        if let View::Desk(desk) = &mut self.view
            && settled != layout
        {
            desk.settle(settled.as_ref(), charset);
        }
    }

    /// Counts what the panes have to show and returns where they stand for it.
    fn counted_layout(&mut self) -> Option<Layout> {
        let (size, appearance) = (self.size, self.appearance);
        if let View::Desk(desk) = &mut self.view {
            let Desk { timeline, passage, readings, lesson, focus, .. } = &mut **desk;
            timeline.keep_selection(lesson.lesson());
            timeline.count_row(lesson, usize::from(size.width), appearance);
            passage.count_lines(lesson, timeline.selected(), (*focus, tab_screen(size, appearance.charset)));
            readings.count_lines(readings_width(size));
        }
        self.layout()
    }
}
