//! The desk: an open lesson with its five panes. What one pane does shows in the others here.

use std::sync::Arc;

use crate::instrument::rig::Rig;
use crate::lesson::check::{Checked, Finding};
use crate::lesson::document::{Lesson, Voicing};
use crate::lesson::id::{SegmentId, VoicingId};
use crate::text::charset::Charset;
use crate::theory::key::Key;
use crate::workbench::boxes::list::ListLine;
use crate::workbench::desk::from_tab::{FromTab, strings_under};
use crate::workbench::desk::layout::Layout;
use crate::workbench::desk::own_voicings::OwnVoicings;
use crate::workbench::desk::problems::problem;
use crate::workbench::desk::steps::{Moment, Steps};
use crate::workbench::desk::undeclared::Undeclared;
use crate::workbench::drawing::region::Focused;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::keys::action::Focus;
use crate::workbench::keys::action::changes::Changes;
use crate::workbench::keys::table::KeyTable;
use crate::workbench::messages::message::OpenedLesson;
use crate::workbench::panes::fretboard::aiming;
use crate::workbench::panes::fretboard::fingers::GripOrigin;
use crate::workbench::panes::fretboard::neighbour::Neighbour;
use crate::workbench::panes::fretboard::pane::FretboardPane;
use crate::workbench::panes::fretboard::view::capacity;
use crate::workbench::panes::fretboard::voicings::lying;
use crate::workbench::panes::library::pane::LibraryPane;
use crate::workbench::panes::passage::{PassagePane, TAB_EDGES, passage_shown};
use crate::workbench::panes::readings::pane::{ChordsBeside, ReadingsPane};
use crate::workbench::panes::recording::pane::{RecordingPane, Showing};
use crate::workbench::panes::timeline::pane::TimelinePane;

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
    own: OwnVoicings,
    /// The segment whose voicing the fretboard follows.
    pub(super) followed: Option<SegmentId>,
    /// The chord of the tab that was taken to the fretboard last.
    pub(super) from_tab: Option<FromTab>,
    /// What was done, to be undone in the same order.
    pub(super) steps: Steps,
}

impl Desk {
    /// Lays an opened lesson out.
    pub fn new(opened: OpenedLesson) -> Self {
        let mut library = LibraryPane::default();
        library.fill(opened.library);
        let (saved, since) = (opened.undoable_behind, opened.undoable);
        let mut desk = Self {
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
            from_tab: None,
            steps: Steps::default(),
        };
        let now = Moment::of(&desk.fretboard, &desk.timeline, &desk.passage);
        desk.steps.go_on_behind(desk.lesson.go_on_behind(saved, since), &now);
        desk
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
        let (rig, trouble) = strings_under(self.from_tab.as_ref(), &self.lesson, &self.fretboard.grip().shape, segment);
        self.fretboard.tune(rig, trouble);
        self.follow_segment(segment);
        self.renew_voicing();
        let (width, height) = size(Focus::Fretboard);
        let (frets, strings) = capacity(&self.fretboard, width, height);
        self.fretboard.follow_key(key_of(&self.lesson, segment));
        self.fretboard.settle(frets, strings);
        aiming::settle_targets(&mut self.fretboard, &self.lesson, segment);
        self.read();
        let (width, height) = size(Focus::Readings);
        self.readings.settle(width, height);
        let (width, height) = size(Focus::Passage);
        let focused = Focused::of(self.focus, Focus::Passage);
        let room = (width.saturating_sub(TAB_EDGES), height);
        self.recheck();
        self.passage.follow(&self.lesson, self.found.findings(), segment, room, charset, focused);
        // A passage that was begun just now is no problem as long as somebody stands in it.
        let standing_in = passage_shown(&self.passage).filter(|_| self.focus == Focus::Passage);
        if self.found.about_to_write(standing_in) {
            self.timeline.note_findings(self.lesson.lesson(), self.found.findings());
        }
        self.timeline.look_for_remedy(&self.lesson);
        self.library.settle(size(Focus::Library), charset);
        self.note_step();
    }

    /// Tells panes that have nothing to show which keys of the person put something there.
    pub fn name_keys(&mut self, keys: &KeyTable) {
        let here = self.focus.pane();
        let first = if self.lesson.lesson().passages.is_empty() {
            "This lesson has no passages yet."
        } else {
            "This segment plays no passage."
        };
        let rest = "{Passage(NewPassage)} begins a new one; {Passage(ReadTab)} reads text tab from a file; \
                    {Timeline(ChoosePassages)} chooses an existing one.";
        self.passage.empty = format!("{first}\n{}", keys.name_keys_at(here, rest));
        self.passage.flaws.name_keys(keys, here);
        self.timeline.name_keys(keys, here);
        self.library.name_keys(keys, here);
    }

    /// Prepares for what is declared to do no more than this: opens the lesson to changes or closes it, and remembers how
    /// things stand where there may be a step.
    pub fn expect(&mut self, declared: Changes) {
        self.lesson.expect(declared);
        if declared.may_leave_step() {
            let Self { steps, fretboard, timeline, passage, .. } = self;
            steps.begin(|| Moment::of(fretboard, timeline, passage));
        }
    }

    /// Returns whether something was done since the last look that may have left a step, for history or journal.
    pub(in crate::workbench) const fn may_have_changed(&self) -> bool {
        self.steps.look_is_due()
    }

    /// Returns what was done since the last look that was declared not to be, if anything.
    pub fn take_undeclared(&mut self) -> Option<Undeclared> {
        if self.lesson.take_undeclared() {
            return Some(Undeclared::Lesson);
        }
        if self.may_have_changed() {
            return None;
        }
        let library = self.library.take_shelved().map(|_| Undeclared::Library);
        let fingers = self.fretboard.grip_revision() != self.steps.grip_revision;
        library.or_else(|| fingers.then_some(Undeclared::Fingers))
    }

    /// Looks whether what was done can be undone, where it was declared that it may be. What comes next has to say for
    /// itself what it changes.
    pub(super) fn note_step(&mut self) {
        self.steps.grip_revision = self.fretboard.grip_revision();
        self.lesson.expect(Changes::Never);
        if self.may_have_changed() {
            let now = Moment::of(&self.fretboard, &self.timeline, &self.passage);
            self.steps.note(&mut self.lesson, now, self.library.take_shelved());
        }
    }

    /// Looks for what is wrong with the lesson, unless it is as it was when this was done last.
    pub(super) fn recheck(&mut self) {
        if self.checked == Some(self.lesson.revision()) {
            return;
        }
        let touched = self.lesson.take_touched();
        let lesson = self.lesson.lesson();
        self.found.follow(lesson, &touched);
        self.timeline.note_findings(lesson, self.found.findings());
        if let Some(own) = self.own.follow(&self.lesson, &touched) {
            self.library.follow(own);
        }
        self.checked = Some(self.lesson.revision());
    }

    /// Returns everything found in the lesson.
    pub fn findings(&self) -> &[Finding] {
        self.found.findings()
    }

    /// Returns what was found as lines, the gravest first; each points at the place of what was found, and says what would be done
    /// where it can be mended without asking.
    pub fn problems(&self) -> Vec<ListLine> {
        let lesson = self.lesson.lesson();
        let mut found: Vec<&Finding> = self.findings().iter().collect();
        found.sort_by_key(|finding| finding.severity);
        found.into_iter().map(|finding| problem(lesson, finding)).collect()
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
        if first.is_some_and(|id| self.put_voicing(id)) {
            self.select_kept_reading();
        }
    }

    /// Puts a voicing of the lesson on the fretboard. Returns whether it is there and fits.
    pub(super) fn put_voicing(&mut self, id: VoicingId) -> bool {
        let lesson = self.lesson.lesson();
        let Some(voicing) = lesson.voicing(id) else { return false };
        self.fretboard.put(lying(voicing, rig_of(lesson, voicing, self.fretboard.rig())), GripOrigin::Voicing(id))
    }

    /// Brings the voicing on the fretboard up to date with a lesson that has changed.
    fn renew_voicing(&mut self) {
        let GripOrigin::Voicing(id) = self.fretboard.origin() else { return };
        if self.checked != Some(self.lesson.revision()) {
            let lesson = self.lesson.lesson();
            let now = self.fretboard.grip();
            match lesson.voicing(id).map(|voicing| lying(voicing, rig_of(lesson, voicing, self.fretboard.rig()))) {
                // It is gone, so that nothing but the fingers is left.
                None => _ = self.fretboard.put_back(now.clone(), GripOrigin::Hand),
                // A bass may have been stated under it since.
                Some(grip) if grip == now.clone().over(None) => {}
                Some(grip) => _ = self.fretboard.put_back(grip, GripOrigin::Voicing(id)),
            }
        }
    }

    /// Names what is on the fretboard.
    fn read(&mut self) {
        let segment = self.timeline.selected();
        let chord = |which| aiming::chord_beside(&self.fretboard, &self.lesson, segment, which);
        let beside = ChordsBeside { before: chord(Neighbour::Previous), after: chord(Neighbour::Next) };
        self.readings.follow(&self.fretboard, key_of(&self.lesson, segment), beside);
    }

    /// Selects the reading that is kept as the name of what is on the fretboard.
    pub(super) fn select_kept_reading(&mut self) {
        self.read();
        self.readings.select_kept(self.fretboard.names());
    }
}

/// Returns the strings that a voicing of the lesson belongs to; those that are `here` where the lesson does not say.
pub(super) fn rig_of(lesson: &Lesson, voicing: &Voicing, here: &Arc<Rig>) -> Arc<Rig> {
    let stated = lesson.voicing_setup(voicing).and_then(|setup| lesson.rig(setup).ok());
    stated.filter(|rig| *rig != **here).map_or_else(|| Arc::clone(here), Arc::new)
}

/// Returns the key of a segment's music, as it sounds.
fn key_of(open: &EditedLesson, segment: Option<SegmentId>) -> Option<Key> {
    let lesson = open.lesson();
    let segment = segment.and_then(|id| lesson.segment(id))?;
    let passage = segment.passages.first().and_then(|used| lesson.passage(used.passage));
    let piece = passage.and_then(|passage| passage.piece).or_else(|| segment.pieces.first().copied());
    let piece = piece.and_then(|id| lesson.piece(id));
    passage.and_then(|passage| passage.key).or_else(|| piece.and_then(|piece| piece.key))
}
