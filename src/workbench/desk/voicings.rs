//! Voicings on their way between fretboard, segment and library.

use std::path::PathBuf;
use std::sync::Arc;

use crate::instrument::neck::Shape;
use crate::instrument::voicing::elsewhere::StandIn;
use crate::lesson::document::Voicing;
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::VoicingId;
use crate::lesson::place::LessonPlace;
use crate::lesson::touched::{Items, Touched, still_standing};
use crate::store::library::LibraryVoicing;
use crate::theory::reading::Doubt;
use crate::theory::symbol::ChordSymbol;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::desk::undo::Shelved;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::rigs::describe;
use crate::workbench::editing::segment_changes::replace;
use crate::workbench::keys::action::Focus;
use crate::workbench::library::item::LibraryItem;
use crate::workbench::messages::effect::Effect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::fretboard::pane::{Grip, Origin};
use crate::workbench::panes::passage::Chord;

impl Desk {
    pub(in crate::workbench) fn with_item(&mut self, act: fn(&mut Self, LibraryItem) -> Reply) -> Reply {
        match self.library.selected().cloned() {
            Some(item) => act(self, item),
            None => Reply::say(Notice::note("no voicing is selected")),
        }
    }

    pub(in crate::workbench) fn take_item(&mut self, item: LibraryItem) -> Reply {
        let grip = grip_of(&item);
        let strings = item.voicing.shape.strings().len();
        if !self.fretboard.put(grip, Origin::Hand) {
            let (name, here) = (item.name(), self.fretboard.strings());
            return Reply::say(Notice::trouble(format!(
                "{name} has {strings} strings, this segment's setup has {here}"
            )));
        }
        self.focus = Focus::Fretboard;
        self.select_kept_reading();
        Reply::say(self.notice_of_tuning(&item, format!("{} is on the fretboard", item.name())))
    }

    /// Puts on the fretboard what sounds there as the voicing does on the strings that it was kept for.
    pub(in crate::workbench) fn carry_item_over(&mut self, item: LibraryItem) -> Reply {
        let name = item.name();
        let Some(theirs) = item.rig() else {
            return Reply::say(Notice::trouble(format!("{name} was kept for strings that cannot be understood")));
        };
        let found = match self.fretboard.standing_in_for(&theirs, &item.voicing.shape) {
            Ok(found) => found,
            Err(error) => return Reply::say(Notice::trouble(format!("{name} cannot be carried over: {error}"))),
        };
        let lower = theirs.played_as().semitones() - self.fretboard.rig().played_as().semitones();
        let named = |text: &String| match text.parse::<ChordSymbol>() {
            Ok(symbol) => symbol.moved(lower, None).to_string(),
            // A name of their own stays as it is.
            Err(_) => text.clone(),
        };
        let StandIn { shape, fingering, changes, .. } = found;
        let said = match &changes[..] {
            [] => "every string sounds as it did".to_owned(),
            changes => changes.iter().map(ToString::to_string).collect::<Vec<String>>().join("; "),
        };
        // What is doubted on a string says nothing of the others.
        let doubts = if changes.is_empty() { item.voicing.doubts.clone() } else { Vec::new() };
        let readings = match lower {
            0 => item.voicing.readings.clone(),
            _ => item.voicing.readings.iter().map(named).collect(),
        };
        let said = format!("{name} of {} is {} here; {said}", item.setup, shape);
        self.fretboard
            .put(Grip::new(shape, doubts, readings).held_with(fingering.fingers, fingering.barre), Origin::Hand);
        self.focus = Focus::Fretboard;
        self.select_kept_reading();
        Reply::say(Notice::done(said))
    }

    /// Says that a voicing was made for another tuning, where it was.
    fn notice_of_tuning(&self, item: &LibraryItem, done: String) -> Notice {
        let rig = self.fretboard.rig();
        if *rig.tuning() == item.voicing.tuning {
            return Notice::done(done);
        }
        let (theirs, here) = (&item.setup, describe(rig));
        Notice::note(format!(
            "{done}; kept for {theirs}, it sounds different in {here}: n in the library finds the same notes"
        ))
    }

    pub(in crate::workbench) fn insert_item(&mut self, item: LibraryItem) -> Reply {
        match self.voicing_of(&item).and_then(|voicing| self.link_voicing(voicing, Reason::LinkVoicing)) {
            Ok(LinkedVoicing { title, .. }) => {
                Reply::say(self.notice_of_tuning(&item, format!("{} is in \"{title}\" now", item.name())))
            }
            Err(notice) => Reply::say(notice),
        }
    }

    /// Puts a voicing of the library into the segment, and as a chord under the cursor of the passage: one step.
    pub(in crate::workbench) fn insert_as_chord(&mut self, item: LibraryItem) -> Reply {
        if self.passage.whole_to_hear().is_none() {
            let text = "this segment plays no passage: m in the timeline chooses one, A in the passage begins one";
            return Reply::say(Notice::note(text));
        }
        // One change: where the tab refuses the chord, the segment does not get the voicing.
        let VoicingLink { linked, edits, .. } = match self.voicing_of(&item).and_then(|voicing| self.linking(voicing)) {
            Ok(linking) => linking,
            Err(notice) => return Reply::say(notice),
        };
        let replaced = if self.passage.holds_notes(&self.lesson) { "; u brings back what stood there" } else { "" };
        let chord =
            Chord { shape: &item.voicing.shape, name: item.voicing.readings.first().cloned(), voicing: linked.voicing };
        let reply = self.passage.put_chord(&mut self.lesson, chord, edits);
        let (bar, ..) = self.passage.cursor();
        if reply.notice.is_some() {
            return reply;
        }
        Reply::say(self.notice_of_tuning(&item, format!("{} is in bar {bar} now{replaced}", item.name())))
    }

    /// Returns a voicing of the library as the selected segment would have it.
    fn voicing_of(&mut self, item: &LibraryItem) -> Result<Voicing, Notice> {
        let strings = item.voicing.shape.strings().len();
        let here = self.fretboard.strings();
        if strings != here {
            let name = item.name();
            return Err(Notice::trouble(format!("{name} has {strings} strings, this segment's setup has {here}")));
        }
        let grip = grip_of(item);
        Ok(Voicing {
            fingers: item.voicing.fingers.clone(),
            barre: item.voicing.barre,
            tags: item.voicing.tags.clone(),
            notes: item.voicing.notes.clone(),
            ..self.new_voicing(grip.shape.clone(), grip.doubts_to_keep(), grip.kept)
        })
    }

    /// Takes a voicing out of the library on the disk. A lesson that uses it has its own.
    pub(in crate::workbench) fn take_item_out(&mut self, item: LibraryItem) -> Reply {
        let name = item.name();
        if !self.library.keeps(&item.voicing) {
            let text =
                format!("{name} is not in the library, only in this lesson; the fretboard takes it out of a segment");
            return Reply::say(Notice::note(text));
        }
        let here = self.own.has(&item.voicing);
        let rest = if here { "; this lesson still has it" } else { "" };
        self.steps.shelve(Shelved::TakenOut(item.voicing.clone()));
        Reply {
            notice: Some(Notice::done(format!("{name} is out of the library{rest}; undo puts it back"))),
            overlay: None,
            effect: Some(Effect::take_out_of_library(item.voicing)),
        }
    }

    fn new_voicing(&mut self, shape: Shape, doubts: Vec<Doubt>, readings: Vec<String>) -> Voicing {
        Voicing {
            id: self.lesson.new_id(),
            shape,
            doubts,
            setup: self.lesson.setup_at(self.timeline.selected()).map(|setup| setup.id),
            readings,
            fingers: Vec::new(),
            barre: None,
            tags: Vec::new(),
            notes: String::new(),
        }
    }

    pub(in crate::workbench) fn save_voicing(&mut self) -> Reply {
        let grip = self.fretboard.grip().clone();
        if grip.is_silent() {
            return Reply::say(Notice::note("nothing sounds yet: put a finger on the fretboard"));
        }
        let mut kept = grip.kept.clone();
        if kept.is_empty() {
            // What is pointed at is what it is called, unless somebody has said otherwise.
            kept.extend(self.readings.selected().map(|named| named.reading.symbol.clone()));
            if let Some(symbol) = kept.first() {
                self.fretboard.keep(symbol);
            }
        }
        let voicing = Voicing {
            fingers: grip.fingers.clone(),
            barre: grip.barre,
            ..self.new_voicing(grip.shape.clone(), grip.doubts_to_keep(), kept.clone())
        };
        let linked = match self.link_voicing(voicing, Reason::SaveVoicing) {
            Ok(linked) => linked,
            Err(notice) => return Reply::say(notice),
        };
        self.fretboard.is_now(linked.voicing);
        let voicing = self.library_voicing(linked.voicing, &Grip { kept, ..grip });
        let item = LibraryItem::from(voicing.clone());
        let shelved = if self.library.keeps(&voicing) { Shelved::Renewed } else { Shelved::PutIn };
        self.steps.shelve(shelved(voicing.clone()));
        let name = item.name();
        let notice = Notice::done(format!("saved {name} in \"{}\" and in the library", linked.title));
        Reply { notice: Some(notice), effect: Some(Effect::keep_in_library(voicing)), overlay: None }
    }

    /// Returns a voicing of the lesson as the library keeps it. Where the lesson says nothing of its
    /// strings, they are those of the fretboard.
    fn library_voicing(&self, id: VoicingId, grip: &Grip) -> LibraryVoicing {
        let lesson = self.lesson.lesson();
        let known = lesson.voicing(id);
        let kept = known.and_then(|voicing| LibraryVoicing::of_lesson(lesson, voicing, self.lesson.path()));
        kept.unwrap_or_else(|| LibraryVoicing {
            name: grip.kept.first().cloned().unwrap_or_default(),
            shape: grip.shape.clone(),
            tuning: self.fretboard.rig().tuning().clone(),
            capo: self.fretboard.rig().capo().cloned(),
            instrument: self.fretboard.rig().instrument().name.clone(),
            readings: grip.kept.clone(),
            doubts: grip.doubts_to_keep(),
            fingers: grip.fingers.clone(),
            barre: grip.barre,
            tags: Vec::new(),
            notes: String::new(),
            taught_in: Vec::new(),
        })
    }

    /// Puts a voicing into the lesson, or brings the one with the same shape and setup up to date,
    /// and links it to the selected segment: one step.
    fn link_voicing(&mut self, new: Voicing, reason: Reason) -> Result<LinkedVoicing, Notice> {
        let VoicingLink { linked, at, edits } = self.linking(new)?;
        let change = Transaction::new(reason, edits).at(at);
        self.lesson.change(change).map_err(|error| Notice::trouble(error.to_string()))?;
        Ok(linked)
    }

    /// Returns what would do that.
    fn linking(&self, new: Voicing) -> Result<VoicingLink, Notice> {
        let selected = self.timeline.selected().and_then(|id| self.lesson.segment(id)).cloned();
        let Some(mut segment) = selected else {
            return Err(Notice::note("there is no segment to put it in: add one in the timeline"));
        };
        let known =
            self.lesson.lesson().voicings.iter().find(|known| known.shape == new.shape && known.setup == new.setup);
        let mut edits = Vec::new();
        let id = match known {
            Some(known) => {
                let mut updated = Voicing { readings: new.readings, doubts: new.doubts, ..known.clone() };
                // Nobody unsays which fingers hold it by leaving them out.
                if new.fingers.iter().any(Option::is_some) {
                    (updated.fingers, updated.barre) = (new.fingers, new.barre);
                }
                if updated != *known {
                    edits.push(Edit::Voicings(ListEdit::Replace(updated)));
                }
                known.id
            }
            None => {
                let (id, at) = (new.id, self.lesson.lesson().voicings.len());
                edits.push(Edit::Voicings(ListEdit::Insert { at, item: new }));
                id
            }
        };
        let title = segment.title.clone();
        let at = LessonPlace::Segment(segment.id);
        if !segment.voicings.contains(&id) {
            segment.voicings.push(id);
            edits.push(Edit::Segments(ListEdit::Replace(segment)));
        }
        Ok(VoicingLink { linked: LinkedVoicing { voicing: id, title }, at, edits })
    }

    /// Takes the voicing on the fretboard out of the segment. The lesson and the library keep it.
    pub(in crate::workbench) fn take_voicing_out(&mut self) -> Reply {
        let segment = self.timeline.selected().and_then(|id| self.lesson.segment(id)).cloned();
        let (Some(mut segment), Origin::Voicing(id)) = (segment, self.fretboard.origin()) else {
            return Reply::say(Notice::note("what is on the fretboard is no voicing of this segment"));
        };
        let before = segment.voicings.len();
        segment.voicings.retain(|known| *known != id);
        if segment.voicings.len() == before {
            return Reply::say(Notice::note("what is on the fretboard is no voicing of this segment"));
        }
        let done = format!("taken out of \"{}\"", segment.title);
        Reply::to_change(replace(&mut self.lesson, Reason::UnlinkVoicing, segment), done)
    }

    pub(in crate::workbench) fn step_voicing(&mut self, step: Step) -> Reply {
        let segment = self.timeline.selected().and_then(|id| self.lesson.segment(id));
        let voicings: Vec<VoicingId> = segment.map_or(Vec::new(), |segment| segment.voicings.clone());
        let now = match self.fretboard.origin() {
            Origin::Voicing(id) => voicings.iter().position(|known| *known == id),
            Origin::Followed | Origin::Hand => None,
        };
        let count = voicings.len();
        let place = match (now, step) {
            _ if count == 0 => return Reply::say(Notice::note("this segment has no voicings yet: v saves one")),
            (None, _) => 0,
            (Some(place), Step::Next) => (place + 1) % count,
            (Some(place), Step::Previous) => (place + count - 1) % count,
        };
        let Some(voicing) = voicings.get(place).and_then(|id| self.voicing(*id)).cloned() else {
            return Reply::say(Notice::trouble("the segment names a voicing that is gone"));
        };
        if !self.fretboard.put_voicing(&voicing, Origin::Voicing(voicing.id)) {
            return Reply::say(Notice::trouble("that voicing is for another number of strings"));
        }
        self.select_kept_reading();
        let name = voicing.name().map_or_else(|| voicing.shape.compact(), str::to_owned);
        Reply::say(Notice::note(format!("voicing {} of {count}: {name}", place + 1)))
    }
}

fn grip_of(item: &LibraryItem) -> Grip {
    let LibraryVoicing { shape, doubts, readings, fingers, barre, .. } = item.voicing.clone();
    Grip::new(shape, doubts, readings).held_with(fingers, barre)
}

/// A voicing that is in the lesson and in a segment.
struct LinkedVoicing {
    voicing: VoicingId,
    /// The title of the segment.
    title: String,
}

/// What links a voicing to the segment, not done yet.
struct VoicingLink {
    linked: LinkedVoicing,
    at: LessonPlace,
    edits: Vec<Edit>,
}

/// Which way to step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::workbench) enum Step {
    Next,
    Previous,
}

/// The voicings of the lesson as the library shows them, each kept as long as it stays the same.
#[derive(Debug, Clone, Default)]
pub(in crate::workbench) struct OwnVoicings {
    voicings: Vec<(VoicingId, Option<Arc<LibraryItem>>)>,
    /// The title and the file of the lesson, which each of them names.
    lesson: (String, PathBuf),
}

impl OwnVoicings {
    /// Returns the voicings, unless all of them are as they were; at most `touched` has changed since the last time.
    pub(in crate::workbench) fn follow(
        &mut self,
        open: &EditedLesson,
        touched: &Touched,
    ) -> Option<Vec<Arc<LibraryItem>>> {
        let lesson = open.lesson();
        let renamed = self.lesson.0 != lesson.header.title || self.lesson.1 != open.path();
        let all =
            renamed || !touched.instruments.is_empty() || !touched.setups.is_empty() || touched.voicings == Items::All;
        if !all && touched.voicings.is_empty() {
            return None;
        }
        if renamed {
            self.lesson = (lesson.header.title.clone(), open.path().to_owned());
        }
        let stands = |(id, _): &(VoicingId, _)| !all && !touched.voicings.has(id);
        let mut kept = still_standing(std::mem::take(&mut self.voicings), |(id, _)| *id, stands);
        let shown = |voicing: &Voicing| match kept.remove(&voicing.id) {
            Some(kept) => kept,
            None => {
                (voicing.id, LibraryVoicing::of_lesson(lesson, voicing, open.path()).map(|own| Arc::new(own.into())))
            }
        };
        self.voicings = lesson.voicings.iter().map(shown).collect();
        Some(self.voicings.iter().filter_map(|(_, item)| item.clone()).collect())
    }

    /// Returns whether one of them is the same fingers.
    fn has(&self, voicing: &LibraryVoicing) -> bool {
        self.voicings.iter().filter_map(|(_, item)| item.as_ref()).any(|own| own.voicing.is_same_place(voicing))
    }
}
