//! Voicings on their way between fretboard, segment and library.

use std::path::PathBuf;
use std::sync::Arc;

use crate::lesson::document::Voicing;
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::VoicingId;
use crate::lesson::touched::{Items, Touched, still_standing};
use crate::store::library::LibraryVoicing;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::desk::undo::Shelved;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::voicing_changes::{LinkedVoicing, VoicingLink, linking, new_voicing};
use crate::workbench::keys::action::Focus;
use crate::workbench::library::item::LibraryItem;
use crate::workbench::messages::effect::Effect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::fretboard::fingers::Grip;
use crate::workbench::panes::fretboard::neighbour::Neighbour;
use crate::workbench::panes::fretboard::voicings;
use crate::workbench::panes::passage::Chord;

impl Desk {
    /// Does something with the voicing that is selected in the library, or says that none is.
    pub(in crate::workbench) fn with_item(&mut self, act: fn(&mut Self, LibraryItem) -> Reply) -> Reply {
        match self.library.selected().cloned() {
            Some(item) => act(self, item),
            None => Reply::say(Notice::note("no voicing is selected")),
        }
    }

    /// Puts a voicing of the library on the fretboard.
    pub(in crate::workbench) fn take_item(&mut self, item: LibraryItem) -> Reply {
        let taken = voicings::take(&mut self.fretboard, &item);
        self.go_to_fretboard_with(taken)
    }

    /// Puts on the fretboard what sounds there as the voicing does on the strings that it was kept for.
    pub(in crate::workbench) fn carry_item_over(&mut self, item: LibraryItem) -> Reply {
        let carried = voicings::carry_over(&mut self.fretboard, &item);
        self.go_to_fretboard_with(carried)
    }

    /// Goes to the fretboard where a voicing was put there, and says so or why not.
    fn go_to_fretboard_with(&mut self, put: Result<Notice, Notice>) -> Reply {
        if put.is_ok() {
            self.focus = Focus::Fretboard;
            self.select_kept_reading();
        }
        Reply::say(put.unwrap_or_else(|refused| refused))
    }

    /// Puts a voicing of the library into the selected segment.
    pub(in crate::workbench) fn insert_item(&mut self, item: LibraryItem) -> Reply {
        match self.voicing_of(&item).and_then(|voicing| self.link_voicing(voicing, Reason::LinkVoicing)) {
            Ok(LinkedVoicing { title, .. }) => Reply::say(voicings::notice_of_tuning(
                self.fretboard.rig(),
                &item,
                format!("{} is in \"{title}\" now", item.name()),
            )),
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
        Reply::say(voicings::notice_of_tuning(
            self.fretboard.rig(),
            &item,
            format!("{} is in bar {bar} now{replaced}", item.name()),
        ))
    }

    /// Returns a voicing of the library as the selected segment would have it.
    fn voicing_of(&mut self, item: &LibraryItem) -> Result<Voicing, Notice> {
        voicings::voicing_from(self.fretboard.strings(), &mut self.lesson, self.timeline.selected(), item)
    }

    /// Returns what links a voicing to the selected segment.
    fn linking(&self, new: Voicing) -> Result<VoicingLink, Notice> {
        linking(&self.lesson, self.timeline.selected(), new).ok_or_else(no_segment)
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

    /// Saves what is on the fretboard as a voicing of the selected segment, and in the library.
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
            ..new_voicing(
                &mut self.lesson,
                self.timeline.selected(),
                grip.shape.clone(),
                grip.doubts_to_keep(),
                kept.clone(),
            )
        };
        let linked = match self.link_voicing(voicing, Reason::SaveVoicing) {
            Ok(linked) => linked,
            Err(notice) => return Reply::say(notice),
        };
        self.fretboard.is_now(linked.voicing);
        let (rig, grip) = (self.fretboard.rig(), Grip { kept, ..grip });
        let voicing = voicings::voicing_for_library(rig, &self.lesson, linked.voicing, &grip);
        let item = LibraryItem::from(voicing.clone());
        let shelved = if self.library.keeps(&voicing) { Shelved::Renewed } else { Shelved::PutIn };
        self.steps.shelve(shelved(voicing.clone()));
        let name = item.name();
        let notice = Notice::done(format!("saved {name} in \"{}\" and in the library", linked.title));
        Reply { notice: Some(notice), effect: Some(Effect::keep_in_library(voicing)), overlay: None }
    }

    /// Puts a voicing into the lesson, or brings the one with the same shape and setup up to date,
    /// and links it to the selected segment: one step.
    fn link_voicing(&mut self, new: Voicing, reason: Reason) -> Result<LinkedVoicing, Notice> {
        let VoicingLink { linked, at, edits } = self.linking(new)?;
        let change = Transaction::new(reason, edits).at(at);
        self.lesson.change(change).map_err(|error| Notice::trouble(error.to_string()))?;
        Ok(linked)
    }

    /// Puts the next voicing of the selected segment on the fretboard, or the one before.
    pub(in crate::workbench) fn step_voicing(&mut self, which: Neighbour) -> Reply {
        let stepped = voicings::step(&mut self.fretboard, &self.lesson, self.timeline.selected(), which);
        if stepped.is_ok() {
            self.select_kept_reading();
        }
        Reply::say(stepped.unwrap_or_else(|refused| refused))
    }
}

/// Says that there is no segment for a voicing.
fn no_segment() -> Notice {
    Notice::note("there is no segment to put it in: add one in the timeline")
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
