//! Voicings on their way between fretboard, segment and library.

use crate::lesson::document::Voicing;
use crate::lesson::harmony::named_rightly::name_moved;
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{SegmentId, VoicingId};
use crate::workbench::desk::open_desk::{Desk, rig_of};
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::voicing_changes::{LinkedVoicing, VoicingLink, instead_of, linking, new_voicing};
use crate::workbench::keys::action::Focus;
use crate::workbench::library::item::LibraryItem;
use crate::workbench::library::shelved::Shelved;
use crate::workbench::messages::effect::LibraryOrder;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::fretboard::fingers::GripOrigin;
use crate::workbench::panes::fretboard::neighbour::Neighbour;
use crate::workbench::panes::fretboard::pane::FretboardPane;
use crate::workbench::panes::fretboard::voicings::{self, Fitted, lying};
use crate::workbench::panes::library::facts::own_voicings;
use crate::workbench::panes::passage::{Chord, PassagePane, column_at, rig_shown};

impl Desk {
    /// Does something with the voicing that is selected in the library, or says that none is.
    pub(super) fn with_item(&mut self, act: impl FnOnce(&mut Self, &LibraryItem) -> PaneReply) -> PaneReply {
        match self.library.selected().cloned() {
            Some(item) => act(self, &item),
            None => PaneReply::say(Notice::note("no voicing is selected")),
        }
    }

    /// Puts on the fretboard what `fitted` makes of the selected voicing of the library, goes there and says so; or says why
    /// it makes nothing of it.
    pub(super) fn put_item(&mut self, fitted: fn(&FretboardPane, &LibraryItem) -> Fitted) -> PaneReply {
        self.with_item(|desk, item| match fitted(&desk.fretboard, item) {
            Ok((grip, said)) => {
                desk.fretboard.put(grip, GripOrigin::Hand);
                if let Some(own) = own_lying_there(&desk.lesson, &desk.fretboard, desk.timeline.selected(), item) {
                    desk.fretboard.is_now(own);
                }
                desk.focus = Focus::Fretboard;
                desk.select_kept_reading();
                PaneReply::say(said)
            }
            Err(refused) => PaneReply::say(refused),
        })
    }

    /// Saves what is on the fretboard as a voicing of the selected segment, and in the library.
    pub(super) fn save_voicing(&mut self) -> PaneReply {
        let grip = self.fretboard.grip().clone();
        if grip.is_silent() {
            return PaneReply::say(Notice::note("nothing sounds yet: put a finger on the fretboard"));
        }
        if self.fretboard.names().is_empty()
            && let Some(named) = self.readings.selected()
        {
            // What is pointed at is what it is called, unless somebody has said otherwise.
            self.fretboard.keep(&named.reading.symbol);
        }
        let kept = self.fretboard.names().to_vec();
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
        let linked = match link_voicing(&mut self.lesson, self.timeline.selected(), voicing, Reason::SaveVoicing) {
            Ok(linked) => linked,
            Err(notice) => return PaneReply::say(notice),
        };
        self.fretboard.is_now(linked.voicing);
        let rig = self.fretboard.rig();
        let voicing = voicings::voicing_for_library(rig, &self.lesson, linked.voicing, (&grip, &kept));
        let item = LibraryItem::from(voicing.clone());
        let shelved = if self.library.keeps(&voicing) { Shelved::Renewed } else { Shelved::PutIn };
        self.library.shelve(shelved(voicing.clone()));
        self.library.seek(voicing.clone());
        let (name, instead) = (item.name(), instead_of(&linked.named_before, &kept));
        let notice = Notice::done(format!("saved {name} in \"{}\" and in the library{instead}", linked.title));
        PaneReply::once_kept(LibraryOrder::Keep(voicing), notice)
    }

    /// Puts the next voicing of the selected segment on the fretboard, or the one before.
    pub(super) fn step_voicing(&mut self, which: Neighbour) -> PaneReply {
        let origin = self.fretboard.origin();
        match voicings::neighbour_of(origin, &self.lesson, self.timeline.selected(), which) {
            Ok((voicing, said)) if self.put_voicing(voicing.id) => {
                self.select_kept_reading();
                PaneReply::say(said)
            }
            Ok(_) => PaneReply::say(Notice::trouble("that voicing is for another number of strings")),
            Err(refused) => PaneReply::say(refused),
        }
    }
}

/// Returns the voicing of the lesson that lies on the fretboard where `item` was put there: the segment's, or else the first. `None`
/// where the lesson has none that is the same in all.
fn own_lying_there(
    open: &EditedLesson,
    fretboard: &FretboardPane,
    segment: Option<SegmentId>,
    item: &LibraryItem,
) -> Option<VoicingId> {
    let segment = segment.and_then(|id| open.segment(id));
    let lies_there = |own: &&Voicing| {
        let strings = rig_of(open.lesson(), own, fretboard.rig());
        lying(own, strings) == *fretboard.grip()
    };
    let own = own_voicings(open, item).filter(lies_there).map(|own| own.id);
    own.min_by_key(|id| !segment.is_some_and(|segment| segment.voicings.contains(id)))
}

/// Puts a voicing of the library into a segment.
pub(super) fn insert_item(
    open: &mut EditedLesson,
    fretboard: &FretboardPane,
    segment: Option<SegmentId>,
    item: &LibraryItem,
) -> PaneReply {
    let voicing = voicings::voicing_from(fretboard.rig(), open, segment, item);
    match voicing.and_then(|voicing| link_voicing(open, segment, voicing, Reason::LinkVoicing)) {
        Ok(LinkedVoicing { title, named_before, .. }) => {
            let instead = instead_of(&named_before, &voicings::names_here(fretboard.rig(), item));
            let done = format!("{} is now in \"{title}\"{instead}", item.name());
            PaneReply::say(voicings::notice_of_tuning(fretboard.rig(), item, done))
        }
        Err(notice) => PaneReply::say(notice),
    }
}

/// Puts a voicing of the library into a segment, and as a chord under the cursor of the passage: one step.
pub(super) fn insert_as_chord(
    open: &mut EditedLesson,
    (fretboard, passage): (&FretboardPane, &mut PassagePane),
    segment: Option<SegmentId>,
    item: &LibraryItem,
) -> PaneReply {
    if passage.whole_to_hear().is_none() {
        let text = "this segment plays no passage: {Timeline(ChoosePassages)} in the timeline chooses one, {Passage(NewPassage)} in the passage begins one";
        return PaneReply::say(Notice::note(text));
    }
    // One change: where the tab refuses the chord, the segment does not get the voicing.
    let voicing = voicings::voicing_from(fretboard.rig(), open, segment, item);
    let VoicingLink { linked, edits, .. } =
        match voicing.and_then(|voicing| linking(open, segment, voicing).ok_or_else(no_segment)) {
            Ok(linking) => linking,
            Err(notice) => return PaneReply::say(notice),
        };
    let instead = instead_of(&linked.named_before, &voicings::names_here(fretboard.rig(), item));
    let replaced = if passage.holds_notes(open) { "; {Desk(Undo)} undoes" } else { "" };
    let strings = rig_shown(passage, open.lesson());
    let strings = strings.as_ref().unwrap_or_else(|| fretboard.rig());
    // A voicing is named by its shape; over the tab stand the names that the lesson goes by.
    let above = open.lesson().header.chord_names.above_the_shape(strings);
    let name = voicings::names_here(strings, item).into_iter().next();
    let chord = Chord {
        shape: &item.voicing.shape,
        name: name.map(|name| strings.lowest_is().rightly(&name_moved(&name, above))),
        voicing: linked.voicing,
    };
    let reply = passage.put_chord(open, chord, edits);
    let bar = column_at(passage, open.lesson()).map_or_else(String::new, |here| here.bar(open.lesson()).to_string());
    if reply.notice.is_some() {
        return reply;
    }
    PaneReply::say(voicings::notice_of_tuning(
        fretboard.rig(),
        item,
        format!("{} is now in {bar}{instead}{replaced}", item.name()),
    ))
}

/// Puts a voicing into the lesson, or brings the one with the same shape and setup up to date, and links it to a
/// segment: one step. Errors: there is no segment, or the lesson cannot be changed.
fn link_voicing(
    open: &mut EditedLesson,
    segment: Option<SegmentId>,
    new: Voicing,
    reason: Reason,
) -> Result<LinkedVoicing, Notice> {
    let VoicingLink { linked, at, edits } = linking(open, segment, new).ok_or_else(no_segment)?;
    let change = Transaction::new(reason, edits).at(at);
    open.change(change).map_err(|error| Notice::trouble(error.to_string()))?;
    Ok(linked)
}

/// Says that there is no segment for a voicing.
fn no_segment() -> Notice {
    Notice::note("there is no segment to put it in: add one in the timeline")
}
