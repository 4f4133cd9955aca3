//! The desk: an open lesson with its five panes. What one pane does shows in the others here.

use crate::lesson::check::{Checked, Finding, mended_by};
use crate::lesson::document::{Lesson, Voicing};
use crate::lesson::id::{ItemId, SegmentId, VoicingId};
use crate::lesson::links::Linked;
use crate::lesson::place::LessonPlace;
use crate::text::charset::Charset;
use crate::theory::key::Key;
use crate::workbench::boxes::entry::EntryBox;
use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::desk::layout::Layout;
use crate::workbench::desk::undo::Steps;
use crate::workbench::desk::voicings::OwnVoicings;
use crate::workbench::drawing::region::Focused;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::header_changes::retitle_lesson;
use crate::workbench::keys::action::{
    DeskAction, Focus, FretboardAction, LibraryAction, NeckAction, PassageAction, ReadingsAction, RecordingAction,
    TimelineAction,
};
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::message::LessonForDesk;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::fretboard::fingers::{GripOrigin, KeepOutcome};
use crate::workbench::panes::fretboard::neighbour::Neighbour;
use crate::workbench::panes::fretboard::pane::FretboardPane;
use crate::workbench::panes::fretboard::view::capacity;
use crate::workbench::panes::fretboard::{aiming, neck_keys, voicings};
use crate::workbench::panes::library::facts;
use crate::workbench::panes::library::pane::LibraryPane;
use crate::workbench::panes::passage::{PassagePane, Strike};
use crate::workbench::panes::readings::pane::ReadingsPane;
use crate::workbench::panes::recording::pane::{RecordingPane, Showing};
use crate::workbench::panes::timeline::mending::flaws;
use crate::workbench::panes::timeline::pane::TimelinePane;
use crate::workbench::questions::desk::DeskQuestion;
use crate::workbench::questions::program::SaveAs;
use crate::workbench::questions::readings::ReadingsQuestion;

/// An open lesson with its panes.
#[derive(Debug, Clone)]
pub struct Desk {
    /// The lesson.
    pub lesson: EditedLesson,
    /// The pane in focus.
    pub focus: Focus,
    /// The timeline.
    pub timeline: TimelinePane,
    /// The passage.
    pub passage: PassagePane,
    /// The fretboard.
    pub fretboard: FretboardPane,
    /// The readings.
    pub readings: ReadingsPane,
    /// The library.
    pub library: LibraryPane,
    /// The recording view.
    pub recording: RecordingPane,
    /// What is wrong with the lesson.
    found: Checked,
    /// The revision it was found in.
    checked: Option<u64>,
    /// The voicings of the lesson, as the library shows them.
    pub(in crate::workbench) own: OwnVoicings,
    /// The segment whose voicing the fretboard follows.
    pub(in crate::workbench) followed: Option<SegmentId>,
    /// What was done, to be undone in the same order.
    pub(in crate::workbench) steps: Steps,
}

impl Desk {
    /// Lays an opened lesson out.
    pub fn new(opened: LessonForDesk) -> Self {
        let mut library = LibraryPane::default();
        library.fill(opened.library);
        Self {
            lesson: EditedLesson::new(opened.lesson, opened.path, opened.access, opened.state, opened.seed),
            focus: Focus::default(),
            timeline: TimelinePane::default(),
            passage: PassagePane::default(),
            fretboard: FretboardPane::default(),
            readings: ReadingsPane::default(),
            library,
            recording: RecordingPane::default(),
            found: Checked::default(),
            checked: None,
            own: OwnVoicings::default(),
            followed: None,
            steps: Steps::default(),
        }
    }

    /// Returns whether the recording view lies over the panes.
    pub fn is_covered(&self) -> bool {
        self.recording.showing() == Showing::Shown
    }

    /// Brings every pane up to date with the lesson, the selection and the screen.
    pub fn settle(&mut self, layout: Option<&Layout>, charset: Charset) {
        let size = |focus| layout.map_or((0, 0), |layout| layout.size_of(focus));
        self.timeline.settle(self.lesson.lesson(), size(Focus::Timeline).1);
        let segment = self.timeline.selected();
        let (rig, trouble) = self.lesson.rig_at(segment);
        self.fretboard.tune(rig, trouble);
        self.follow_segment(segment);
        let (width, height) = size(Focus::Fretboard);
        let (frets, strings) = capacity(width, height);
        self.fretboard.follow_key(self.key());
        self.fretboard.settle(frets, strings);
        aiming::settle_targets(&mut self.fretboard, &self.lesson, segment);
        self.read();
        let (width, height) = size(Focus::Readings);
        self.readings.settle(width, height);
        let (width, height) = size(Focus::Passage);
        let focused = Focused::of(self.focus, Focus::Passage);
        self.passage.follow(&self.lesson, segment, (width.saturating_sub(2), height), charset, focused);
        self.recheck();
        self.timeline.look_for_remedy(&self.lesson);
        self.library.settle(size(Focus::Library), charset);
        self.note_step();
    }

    /// Looks for what is wrong with the lesson, unless it is as it was when this was done last.
    pub(in crate::workbench) fn recheck(&mut self) {
        if self.checked == Some(self.lesson.revision()) {
            return;
        }
        let touched = self.lesson.take_touched();
        let lesson = self.lesson.lesson();
        self.found.follow(lesson, &touched);
        self.timeline.note_flaws(flaws(lesson, self.found.findings()));
        if let Some(own) = self.own.follow(&self.lesson, &touched) {
            self.library.follow(own);
        }
        self.checked = Some(self.lesson.revision());
    }

    /// Returns everything found in the lesson.
    pub fn findings(&self) -> &[Finding] {
        self.found.findings()
    }

    /// Returns what was found as lines; each points at the place of what was found, and says what would be done
    /// where it can be mended without asking.
    pub fn problems(&self) -> Vec<ListLine> {
        let lesson = self.lesson.lesson();
        self.findings().iter().map(|finding| problem(lesson, finding)).collect()
    }

    /// Puts the segment's first voicing on the fretboard when another segment is selected, unless
    /// somebody has put fingers down that no voicing holds yet.
    fn follow_segment(&mut self, segment: Option<SegmentId>) {
        if segment == self.followed {
            return;
        }
        self.followed = segment;
        if self.fretboard.origin() == GripOrigin::Hand && !self.fretboard.grip().is_silent() {
            return;
        }
        let first =
            segment.and_then(|id| self.lesson.segment(id)).and_then(|segment| segment.voicings.first().copied());
        if let Some(voicing) = first.and_then(|id| self.voicing(id)).cloned() {
            self.fretboard.put_voicing(&voicing, GripOrigin::Voicing(voicing.id));
            self.select_kept_reading();
        }
    }

    /// Names what is on the fretboard.
    fn read(&mut self) {
        let before = aiming::chord_before(&self.fretboard, &self.lesson, self.timeline.selected());
        self.readings.follow(&self.fretboard, self.key(), before);
    }

    /// Selects the reading that is kept as the name of what is on the fretboard.
    pub(in crate::workbench) fn select_kept_reading(&mut self) {
        self.read();
        self.readings.select_kept(&self.fretboard.grip().kept);
    }

    /// Returns a voicing of the lesson.
    pub(in crate::workbench) fn voicing(&self, id: VoicingId) -> Option<&Voicing> {
        self.lesson.lesson().voicing(id)
    }

    /// Returns the key of the segment's music, as it sounds.
    fn key(&self) -> Option<Key> {
        let lesson = self.lesson.lesson();
        let segment = self.timeline.selected().and_then(|id| self.lesson.segment(id))?;
        let passage = segment.passages.first().and_then(|used| lesson.passage(used.passage));
        let piece = passage.and_then(|passage| passage.piece).or_else(|| segment.pieces.first().copied());
        let piece = piece.and_then(|id| lesson.piece(id));
        passage.and_then(|passage| passage.key).or_else(|| piece.and_then(|piece| piece.key))
    }

    /// Does what was asked of the desk itself; leaving, help and the handout are the program's.
    pub fn act(&mut self, action: DeskAction) -> Reply {
        match action {
            DeskAction::NextPane => self.focus = self.focus.next(),
            DeskAction::PreviousPane => self.focus = self.focus.previous(),
            DeskAction::GoToTimeline => self.focus = Focus::Timeline,
            DeskAction::GoToPassage => self.focus = Focus::Passage,
            DeskAction::GoToFretboard => self.focus = Focus::Fretboard,
            DeskAction::GoToReadings => self.focus = Focus::Readings,
            DeskAction::GoToLibrary => self.focus = Focus::Library,
            DeskAction::Undo => return self.undo(),
            DeskAction::Redo => return self.redo(),
            DeskAction::Save => return self.save(SaveAs::Itself),
            DeskAction::ShowProblems if self.findings().is_empty() => {
                return Reply::say(Notice::done("nothing wrong was found"));
            }
            DeskAction::ShowProblems => {
                let title = "What is wrong, and the remedy".to_owned();
                return Reply::ask(Overlay::List(ListBox::new(title, self.problems())));
            }
            DeskAction::RetitleLesson => {
                let title = self.lesson.lesson().header.title.clone();
                let advice = "It stands at the top of the handout.";
                return Reply::ask(Overlay::Entry(EntryBox::new(
                    DeskQuestion::LessonTitle,
                    "Title of the lesson",
                    advice,
                    title,
                )));
            }
            DeskAction::GoToRecording => {
                return self.recording.open(self.lesson.lesson(), self.timeline.selected());
            }
            DeskAction::ExportHandout | DeskAction::PreviewHandout | DeskAction::ShowHelp | DeskAction::GoToStart => {}
        }
        Reply::nothing()
    }

    /// Has the lesson saved.
    pub fn save(&mut self, to: SaveAs) -> Reply {
        self.lesson.begin_saving();
        Reply::want(FileEffect::Save(Box::new(self.lesson.lesson().clone()), to))
    }

    /// Does what was asked of the timeline.
    pub fn act_on_timeline(&mut self, action: TimelineAction) -> Reply {
        self.timeline.act(&mut self.lesson, action)
    }

    /// Does what was asked of the passage; `digit` is what it was asked with.
    pub fn act_on_passage(&mut self, action: PassageAction, digit: Option<u8>) -> Reply {
        let kept = self.fretboard.grip().kept.first().cloned();
        self.passage.act(&mut self.lesson, action, Strike { digit, kept: kept.as_deref() })
    }

    /// Does what was asked of the fretboard.
    pub fn act_on_fretboard(&mut self, action: FretboardAction) -> Reply {
        match action {
            FretboardAction::SaveVoicing => self.save_voicing(),
            FretboardAction::TakeVoicingOut => {
                voicings::take_out(self.fretboard.origin(), &mut self.lesson, self.timeline.selected())
            }
            FretboardAction::NextVoicing => self.step_voicing(Neighbour::Next),
            FretboardAction::PreviousVoicing => self.step_voicing(Neighbour::Previous),
            FretboardAction::StringUp
            | FretboardAction::StringDown
            | FretboardAction::GoLeft
            | FretboardAction::GoRight
            | FretboardAction::ToNut
            | FretboardAction::ToLastFret
            | FretboardAction::PutFinger
            | FretboardAction::TypeFret
            | FretboardAction::Mute
            | FretboardAction::Open
            | FretboardAction::TypeShape
            | FretboardAction::CycleDoubt
            | FretboardAction::CycleLabels
            | FretboardAction::Clear => self.fretboard.act(action),
        }
    }

    /// Does what was asked of alternatives, of comparing and of how the neck is seen.
    pub fn act_on_neck(&mut self, action: NeckAction) -> Reply {
        match action {
            NeckAction::NextTarget => self.aim(Neighbour::Next),
            NeckAction::PreviousTarget => self.aim(Neighbour::Previous),
            other => neck_keys::act(&mut self.fretboard, other),
        }
    }

    /// Aims at a chord of the music of the selected segment.
    fn aim(&mut self, which: Neighbour) -> Reply {
        aiming::aim(&mut self.fretboard, &self.lesson, self.timeline.selected(), which)
    }

    /// Does what was asked of the readings.
    pub fn act_on_readings(&mut self, action: ReadingsAction) -> Reply {
        if action == ReadingsAction::StateBass {
            let now = self.readings.stated_bass().map_or(String::new(), |bass| bass.to_string());
            let advice = "Its note as it sounds, as in F#; nothing: the lowest string is the bass again.";
            return Reply::ask(Overlay::Entry(EntryBox::new(
                ReadingsQuestion::StatedBass,
                "The bass that somebody else plays",
                advice,
                now,
            )));
        }
        if action != ReadingsAction::Keep {
            self.readings.act(action);
            return Reply::nothing();
        }
        let Some(named) = self.readings.selected() else {
            return Reply::say(Notice::note("nothing sounds yet: put a finger on the fretboard"));
        };
        // What is ticked is dropped under the name that was kept.
        let symbol = named.kept_as.clone().unwrap_or_else(|| named.reading.symbol.clone());
        Reply::say(match self.fretboard.keep(&symbol) {
            KeepOutcome::Added => Notice::done(format!("kept {symbol}; v on the fretboard saves the voicing")),
            KeepOutcome::Dropped => Notice::done(format!("{symbol} is no longer kept")),
        })
    }

    /// Does what was asked of the recording view; the segment that is recorded now is the selected one.
    pub fn act_on_recording(&mut self, action: RecordingAction) -> Reply {
        let mut selected = self.timeline.selected();
        let reply = self.recording.act(&mut self.lesson, &mut selected, action);
        if let Some(segment) = selected {
            self.timeline.select(segment);
        }
        reply
    }

    /// Does what was asked of the library.
    pub fn act_on_library(&mut self, action: LibraryAction) -> Reply {
        match action {
            LibraryAction::Take => self.with_item(Self::take_item),
            LibraryAction::Insert => self.with_item(Self::insert_item),
            LibraryAction::CarryOver => self.with_item(Self::carry_item_over),
            LibraryAction::InsertAsChord => self.with_item(Self::insert_as_chord),
            LibraryAction::TakeOut => self.with_item(Self::take_item_out),
            LibraryAction::EditTags => self.with_item(|desk, item| facts::ask_tags(&desk.lesson, &item)),
            LibraryAction::ShowAbout => self.with_item(|desk, item| facts::show_about(&desk.lesson, &item)),
            LibraryAction::JoinDuplicates => self.join_duplicates(),
            LibraryAction::Previous
            | LibraryAction::Next
            | LibraryAction::PageUp
            | LibraryAction::PageDown
            | LibraryAction::Left
            | LibraryAction::Right
            | LibraryAction::ToggleGrids
            | LibraryAction::First
            | LibraryAction::Last
            | LibraryAction::Find
            | LibraryAction::ShowAll => {
                self.library.act(action);
                Reply::nothing()
            }
        }
    }

    /// Takes what was typed as the answer to a question of the desk.
    pub fn answer(&mut self, question: DeskQuestion, text: &str) -> Reply {
        match question {
            DeskQuestion::LessonTitle => {
                Reply::of_change(&mut self.lesson, "title of the lesson changed", |open| retitle_lesson(open, text))
            }
        }
    }

    /// Goes to the place that a problem is about; what has no place on the screen is told in words.
    pub fn go_to(&mut self, place: LessonPlace) -> Reply {
        let lesson = self.lesson.lesson();
        let segment = segment_of(lesson, place);
        if let LessonPlace::Voicing(id, _) = place {
            return self.go_to_voicing(id, segment);
        }
        if let Some(segment) = segment {
            self.timeline.select(segment);
            self.focus = Focus::Timeline;
            if let LessonPlace::Passage(id, spot) = place {
                self.focus = Focus::Passage;
                self.passage.go_to_spot(self.lesson.lesson(), Some(segment), id, spot);
            }
            return Reply::nothing();
        }
        Reply::say(Notice::note(shown_nowhere(place)))
    }

    /// Puts a voicing on the fretboard, in the segment that shows it.
    fn go_to_voicing(&mut self, id: VoicingId, segment: Option<SegmentId>) -> Reply {
        let Some(voicing) = self.voicing(id).cloned() else {
            return Reply::say(Notice::note("it is gone from the lesson"));
        };
        if let Some(segment) = segment {
            self.timeline.select(segment);
            let (rig, trouble) = self.lesson.rig_at(Some(segment));
            self.fretboard.tune(rig, trouble);
            // The segment's first voicing must not come in its place.
            self.followed = Some(segment);
        }
        let name = voicing.name().map_or_else(|| voicing.shape.compact(), str::to_owned);
        if !self.fretboard.put_voicing(&voicing, GripOrigin::Voicing(id)) {
            let strings = voicing.shape.strings().len();
            return Reply::say(Notice::note(format!("{name} has {strings} strings; no segment shows it")));
        }
        self.focus = Focus::Fretboard;
        self.select_kept_reading();
        let title = segment.and_then(|id| self.lesson.segment(id)).map(|segment| segment.title.clone());
        Reply::say(Notice::note(match title {
            Some(title) => format!("{name}, shown in \"{title}\""),
            None => format!("{name} is on the fretboard; no segment shows it: v saves it in this one"),
        }))
    }
}

/// Returns a finding as a line.
fn problem(lesson: &Lesson, finding: &Finding) -> ListLine {
    let mended = mended_by(lesson, finding);
    ListLine {
        head: finding.severity.to_string(),
        text: format!("{}: {}", finding.place.text(lesson), finding.reason),
        below: match &mended {
            None => finding.remedy.clone(),
            // One thing is not said twice.
            Some(mended) if finding.remedy == *mended => format!("{mended}; it can be mended here"),
            Some(mended) if finding.remedy.starts_with(mended) => {
                format!("{}; the first can be done here", finding.remedy)
            }
            Some(mended) => format!("{}; it can be mended here: {mended}", finding.remedy),
        },
        place: Some(finding.place),
        mendable: mended.map(|_| finding.clone()),
    }
}

/// Returns the first segment that a place has to do with: the thing itself, or one that links to it.
fn segment_of(lesson: &Lesson, place: LessonPlace) -> Option<SegmentId> {
    let segment = match place.item() {
        Some(item) => lesson.segments.iter().find(|shown| ItemId::from(shown.id) == item || shown.links_to(item)),
        None if place == LessonPlace::Chapters => lesson.segments.first(),
        None => None,
    };
    segment.map(|segment| segment.id)
}

/// Says why no segment shows a place.
const fn shown_nowhere(place: LessonPlace) -> &'static str {
    if matches!(place, LessonPlace::Passage(..)) {
        "no segment plays this passage: m in the timeline chooses the music of a segment"
    } else if matches!(place, LessonPlace::Piece(_)) {
        "no segment is about this piece"
    } else if matches!(place, LessonPlace::Setup(_)) {
        "no segment is played in this setup: s in the timeline chooses it"
    } else if matches!(place, LessonPlace::Segment(_) | LessonPlace::Voicing(..) | LessonPlace::Chapters) {
        "it is gone from the lesson"
    } else {
        "this is about the lesson as a whole"
    }
}
