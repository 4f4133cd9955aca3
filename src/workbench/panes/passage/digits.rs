//! Digits that are typed: a fret on the cursor's string, or the second digit of one. What cannot be that, at the end of the
//! music, is the next note: a run is typed without a key between.

use crate::instrument::neck::{Fret, StringNumber};
use crate::lesson::phrase::{PhraseEdits, Slot, notes};
use crate::workbench::editing::edited_lesson::{EditedLesson, Replacement};
use crate::workbench::keys::action::PassageAction;
use crate::workbench::messages::beyond_neck::beyond_neck;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::at_cursor::nothing_shown;
use crate::workbench::panes::passage::pane::PassagePane;
use crate::workbench::panes::passage::writing::{holds, transaction};
use crate::workbench::panes::passage::written_next::Typed;

impl PassagePane {
    /// Types a digit: a fret on the cursor's string, the second digit of one, or the next note.
    pub(super) fn type_digit(&mut self, open: &mut EditedLesson, digit: u8) -> PaneReply {
        let Some(here) = self.here(open.lesson()) else { return nothing_shown() };
        let (rig, string) = (here.rig(), here.string());
        let last = rig.last_fret(string).unwrap_or(Fret::OPEN).number();
        let before = self.next.typed.take().filter(|typed| typed.cursor == self.cursor);
        let meant = before.and_then(|typed| Some((typed, typed.digit.filter(|first| *first > 0)? * 10 + digit)));
        let joined = meant.filter(|(_, number)| *number <= last);
        let number = joined.map_or(digit, |(_, number)| number);
        let Some(fret) = Fret::new(number).filter(|_| number <= last) else {
            return PaneReply::say(Notice::note(format!("string {string} ends at fret {last}")));
        };
        if let Err(error) = rig.sounding(string, fret) {
            return PaneReply::say(Notice::note(error.to_string()));
        }
        match joined {
            Some((first, _)) => {
                let reply = self.put_number(open, string, fret, first);
                self.next.typed = Some(Typed { digit: None, cursor: self.cursor, ..first });
                reply
            }
            None => {
                let behind = here.cursor.slot.next(here.passage, &here.bars);
                let behind = behind.filter(|slot| before.is_some() && slot.read(here.passage).is_none());
                let reply = self.put_fret(open, string, fret, behind.unwrap_or(self.cursor.slot));
                // At the end of the music both digits stand there as notes; elsewhere the second has replaced the first.
                let beyond = meant.and_then(|(_, number)| beyond_neck(string, number, (last, digit)));
                match beyond.filter(|_| behind.is_none()) {
                    Some(said) if reply.notice.is_none() => PaneReply { notice: Some(said), ..reply },
                    Some(_) | None => reply,
                }
            }
        }
    }

    /// Puts a fret at `slot`.
    fn put_fret(&mut self, open: &mut EditedLesson, string: StringNumber, fret: Fret, slot: Slot) -> PaneReply {
        let Some(passage) = self.shown.passage(open.lesson()) else { return nothing_shown() };
        let digit = Some(fret.number()).filter(|number| *number < 10);
        if holds(passage, slot, string, fret) {
            self.next.typed = Some(Typed { digit, revision: None, cursor: self.cursor, from: None });
            return PaneReply::nothing();
        }
        let written = notes::put(passage, slot, string, fret, self.next.length);
        let before = open.revision();
        let reply = self.make(open, written);
        let revision = (open.revision() > before).then_some(open.revision());
        self.next.typed = Some(Typed { digit, revision, cursor: self.cursor, from: Some(slot) });
        reply
    }

    /// Puts a fret of two digits where its first digit was typed, in the place of that: both are one change.
    fn put_number(&mut self, open: &mut EditedLesson, string: StringNumber, fret: Fret, first: Typed) -> PaneReply {
        let slot = first.from.unwrap_or(self.cursor.slot);
        let Some(part) = self.shown.part.as_ref().filter(|_| first.revision == Some(open.revision())) else {
            return self.put_fret(open, string, fret, slot);
        };
        let at = (part.passage, self.cursor.string);
        let mut to = slot;
        let changed = open.change_instead(|lesson| {
            let passage = lesson.passage(part.passage).filter(|passage| !holds(passage, slot, string, fret))?;
            let written: PhraseEdits = notes::put(passage, slot, string, fret, self.next.length);
            to = written.slot;
            Some(transaction(lesson, at, self.next.reason, Vec::new(), written))
        });
        match changed {
            Ok(Replacement::Done) => {
                self.cursor.slot = to;
                PaneReply::nothing()
            }
            Ok(Replacement::NothingLast) => self.put_fret(open, string, fret, slot),
            Err(error) => PaneReply::say(Notice::trouble(error.to_string())),
        }
    }
}

/// Returns whether a fret that is typed after this belongs to the next note still: what was done is done to the note that
/// was typed before.
pub(super) const fn goes_on_typing(action: PassageAction) -> bool {
    use PassageAction as A;
    matches!(
        action,
        A::Slur
            | A::Slide
            | A::Bend
            | A::Vibrato
            | A::PalmMute
            | A::DeadNote
            | A::DeadStrum
            | A::Trill
            | A::LetRing
            | A::Tap
            | A::Harmonic
            | A::Stroke
            | A::Tie
            | A::Techniques
            | A::Dot
            | A::Triplet
            | A::Longer
            | A::Shorter
            | A::TypeLength
            | A::NameChord
            | A::WriteWords
    )
}
