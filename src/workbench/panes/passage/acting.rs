//! What the keys of the passage do: each goes to what moves, writes, asks or copies.

use crate::lesson::music::{BendAmount, Join, Note, Technique};
use crate::lesson::phrase::Slot;
use crate::lesson::phrase::clip::{Clip, Grain};
use crate::lesson::phrase::rhythm::{self, LengthChange};
use crate::lesson::time::Tuplet;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::keys::action::PassageAction;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::asking::{ask, ask_chord, ask_technique, ask_words, choose_bar};
use crate::workbench::panes::passage::at_cursor::{AtCursor, nothing_shown};
use crate::workbench::panes::passage::chord_names;
use crate::workbench::panes::passage::copying::{self, copy_out, words_of};
use crate::workbench::panes::passage::cursor::{self, Way};
use crate::workbench::panes::passage::digits::goes_on_typing;
use crate::workbench::panes::passage::pane::PassagePane;
use crate::workbench::panes::passage::playing;
use crate::workbench::panes::passage::question_words::entry;
use crate::workbench::panes::passage::retuning::choose_tuning;
use crate::workbench::panes::passage::sheet::Follow;
use crate::workbench::panes::passage::whole_bars;
use crate::workbench::panes::passage::writing::{self, Deletion};
use crate::workbench::panes::passage::written_next::{AskedBy, Typed};
use crate::workbench::questions::passage::PassageQuestion;

/// Three in the time of two.
const TRIPLET: Tuplet = Tuplet { actual: 3, normal: 2 };

/// What comes with an action: the digit it was asked with, and the name kept on the fretboard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Strike<'a> {
    /// The digit that was struck.
    pub digit: Option<u8>,
    /// The first reading kept for what is on the fretboard.
    pub kept: Option<&'a str>,
}

impl PassagePane {
    /// Does what was asked.
    pub fn act(&mut self, open: &mut EditedLesson, action: PassageAction, strike: Strike<'_>) -> PaneReply {
        use PassageAction as A;
        self.next.asked = AskedBy::Key(action);
        if let Some(reason) = action.reason() {
            self.next.reason = reason;
        }
        if action != A::TypeFret {
            self.next.typed = self.next.typed.take().filter(|_| goes_on_typing(action)).map(Typed::finished);
        }
        if !matches!(action, A::ScrollUp | A::ScrollDown) {
            self.page.follow = Follow::Cursor;
        }
        let words = self.here(open.lesson()).and_then(|here| whole_bars::words_of_action(action, &here));
        let before = open.revision();
        let reply = match action {
            A::ReadTab => PaneReply::ask(Overlay::Entry(entry(PassageQuestion::TabFile, ""))),
            A::NewPassage => PaneReply::ask(Overlay::Entry(entry(PassageQuestion::NewTitle, ""))),
            A::NextPassage => self.go_to(open, self.shown.place.checked_add(1)),
            A::PreviousPassage => self.go_to(open, self.shown.place.checked_sub(1)),
            A::ScrollUp => self.scroll(open, -1),
            A::ScrollDown => self.scroll(open, 1),
            A::RowUp => self.go_to_row(open, -1),
            A::RowDown => self.go_to_row(open, 1),
            A::PreviousEvent => self.go(open, Slot::previous),
            A::NextEvent => self.go(open, Slot::next),
            A::PreviousBar => self.go(open, cursor::to_previous_bar),
            A::NextBar => self.go(open, Slot::next_bar),
            A::ToStart => self.go(open, cursor::to_start),
            A::ToEnd => self.go(open, cursor::to_end),
            A::StringUp | A::StringDown => {
                let by = if action == A::StringUp { -1 } else { 1 };
                self.cursor.go_to_string(by, self.shown.strings());
                PaneReply::nothing()
            }
            A::SwitchVoice => self.at_cursor(open, |pane, here| {
                PaneReply::say(Notice::done(pane.cursor.switch_voice(here.passage, &here.bars)))
            }),
            A::ExtendBack => self.extend(open, Grain::Events, Slot::previous),
            A::ExtendForth => self.extend(open, Grain::Events, Slot::next),
            A::ExtendBarBack => self.extend(open, Grain::Bars, cursor::to_bar_before),
            A::ExtendBarForth => self.extend(open, Grain::Bars, Slot::next_bar),
            A::Mark => self.at_cursor(open, |pane, _| PaneReply::say(Notice::note(pane.cursor.mark()))),
            A::DropMark => match self.cursor.selection.take() {
                Some(_) => PaneReply::nothing(),
                None => PaneReply::say(Notice::note("nothing is selected")),
            },
            A::TypeFret => strike.digit.map_or_else(PaneReply::nothing, |digit| self.type_digit(open, digit)),
            A::Lift => self.write_over(open, writing::lift),
            A::Rest => self.write_over(open, writing::rest),
            A::RemoveEvent => self.write_over(open, writing::remove_event),
            A::InsertEvent => self.write(open, writing::insert_event),
            A::FillBar => self.write(open, writing::fill_bar),
            A::Longer => self.change_length(open, |length| rhythm::stepped(length, LengthChange::Longer)),
            A::Shorter => self.change_length(open, |length| rhythm::stepped(length, LengthChange::Shorter)),
            A::Dot => self.change_length(open, |length| Ok(rhythm::dotted(length))),
            A::Triplet => self.change_length(open, |length| rhythm::in_tuplet(length, TRIPLET)),
            A::TypeLength => self.at_cursor(open, |_, here| ask(here, PassageQuestion::Length)),
            A::Techniques => self.at_cursor(open, |_, here| playing::choose_technique(here)),
            A::Slur => self.attempt(open, playing::slur),
            A::Slide => self.attempt(open, playing::slide),
            A::Tie => self.attempt(open, |here| playing::toggle_join(here, Join::Tie)),
            A::Bend => self.at_cursor(open, |pane, here| {
                let full = |_: &Note| Technique::Bend(BendAmount::FULL);
                ask_technique(&mut pane.next, here, PassageQuestion::Bend, full)
            }),
            A::Vibrato => self.attempt(open, |here| playing::toggle(here, Technique::Vibrato)),
            A::PalmMute => self.attempt(open, |here| playing::toggle_on_chord(here, Technique::PalmMute)),
            A::DeadNote => self.dead_note(open),
            A::DeadStrum => self.write_over(open, writing::dead_strum),
            A::Trill => self.at_cursor(open, |pane, here| {
                ask_technique(&mut pane.next, here, PassageQuestion::Trill, playing::usual_trill)
            }),
            A::LetRing => self.attempt(open, |here| playing::toggle(here, Technique::LetRing)),
            A::Tap => self.attempt(open, |here| playing::toggle(here, Technique::Tap)),
            A::Harmonic => self.attempt(open, |here| playing::toggle(here, Technique::NaturalHarmonic)),
            A::Stroke => self.attempt(open, playing::next_stroke),
            A::NameChord => self.at_cursor(open, |_, here| ask_chord(here, strike.kept)),
            A::NameAll => self.at_cursor(open, |pane, here| chord_names::go_through(&mut pane.cursor, here)),
            // The fretboard, and what was found in the lesson, are the desk's.
            A::ToFretboard | A::Mend => PaneReply::nothing(),
            A::WriteWords => self.at_cursor(open, |_, here| ask_words(here)),
            A::ChooseBar => self.at_cursor(open, |_, here| choose_bar(here)),
            A::InsertBar => self.write(open, writing::insert_bar),
            A::InsertBarBefore => self.write(open, writing::insert_bar_before),
            A::SplitBar => self.write(open, writing::split_bar),
            A::MergeBar => self.write(open, writing::merge_bar),
            A::RemoveBar => self.write_over(open, writing::remove_bar),
            A::Copy => self.copy(open),
            A::Cut => self.cut(open),
            A::Paste => self.paste(open),
            A::CopyOut => self.at_cursor(open, |_, here| copy_out(here)),
            A::Transpose => self.at_cursor(open, |_, here| ask(here, PassageQuestion::Semitones)),
            A::ToStringAbove => self.change_string(open, -1),
            A::ToStringBelow => self.change_string(open, 1),
            A::PlaceAnew => self.at_cursor(open, |_, here| choose_tuning(here)),
        };
        whole_bars::say(words.filter(|_| open.revision() > before), reply)
    }

    /// Does something that goes by the passage and the cursor and changes nothing in the lesson.
    fn at_cursor(&mut self, open: &EditedLesson, act: impl FnOnce(&mut Self, &AtCursor<'_>) -> PaneReply) -> PaneReply {
        match self.here(open.lesson()) {
            Some(here) => act(self, &here),
            None => nothing_shown(),
        }
    }

    /// Moves the cursor to where `way` leads from it, if it leads anywhere.
    fn go(&mut self, open: &EditedLesson, way: Way) -> PaneReply {
        self.at_cursor(open, |pane, here| {
            pane.cursor.go(here.passage, &here.bars, way);
            PaneReply::nothing()
        })
    }

    /// Selects from the cursor to where `way` leads, or makes the selection longer or shorter.
    fn extend(&mut self, open: &EditedLesson, grain: Grain, way: Way) -> PaneReply {
        self.at_cursor(open, |pane, here| {
            pane.cursor.extend(here.passage, &here.bars, grain, way);
            PaneReply::nothing()
        })
    }

    fn go_to(&mut self, open: &EditedLesson, place: Option<usize>) -> PaneReply {
        let count = self.shown.count(open.lesson());
        match place.filter(|place| *place < count) {
            Some(place) => {
                self.show(self.shown.segment, place);
                PaneReply::nothing()
            }
            None => PaneReply::say(Notice::note(
                "this segment plays no further passage; {Timeline(ChoosePassages)} in the timeline chooses them",
            )),
        }
    }

    fn scroll(&mut self, open: &EditedLesson, by: isize) -> PaneReply {
        self.page.follow = Follow::View;
        if let Some(here) = self.here(open.lesson()) {
            self.page.scroll(&here, by);
        }
        PaneReply::nothing()
    }

    fn go_to_row(&mut self, open: &EditedLesson, by: isize) -> PaneReply {
        if let Some(bar) = self.here(open.lesson()).and_then(|here| self.page.neighbour(&here, by)) {
            self.cursor.slot = Slot::start_of(bar, self.cursor.slot.voice);
        }
        PaneReply::nothing()
    }

    /// Has a dead note on the string: the one that is there, or a new one.
    fn dead_note(&mut self, open: &mut EditedLesson) -> PaneReply {
        match self.here(open.lesson()).and_then(|here| playing::new_dead_note(&here)) {
            Some(written) => self.make(open, written),
            None => self.attempt(open, |here| playing::toggle(here, Technique::Dead)),
        }
    }

    /// Keeps what is selected, to be pasted.
    fn copy(&mut self, open: &EditedLesson) -> PaneReply {
        self.at_cursor(open, |pane, here| match copying::copy(here) {
            Ok(clip) => {
                let done = format!("copied {}", words_of(&clip));
                (pane.clip, pane.cursor.selection) = (Some(clip), None);
                PaneReply::say(Notice::done(done))
            }
            Err(refused) => PaneReply::say(refused),
        })
    }

    /// Keeps what is selected and takes it out.
    fn cut(&mut self, open: &mut EditedLesson) -> PaneReply {
        let Some(here) = self.here(open.lesson()) else { return nothing_shown() };
        let clip = match copying::copy(&here) {
            Ok(clip) => clip,
            Err(refused) => return PaneReply::say(refused),
        };
        let before = open.revision();
        let reply = self.write_over(open, writing::remove_selected);
        if open.revision() == before {
            return reply;
        }
        let done = format!("cut {}; {{Desk(Undo)}} undoes", words_of(&clip));
        self.clip = Some(clip);
        match reply.notice {
            Some(_) => reply,
            None => PaneReply::say(Notice::done(done)),
        }
    }

    /// Puts what was copied in at the cursor.
    fn paste(&mut self, open: &mut EditedLesson) -> PaneReply {
        let clip = self.clip.take();
        let before = open.revision();
        let reply = self.write_over(open, |here| Ok(Deletion::of_selected(writing::paste(here, clip.as_ref())?)));
        let here = self.here(open.lesson()).filter(|_| open.revision() > before);
        let said = clip.as_ref().zip(here).map(|(clip, here)| match (clip, here.slot().bar) {
            (Clip::Bars { .. }, at) => whole_bars::words_of_paste(&words_of(clip), here.numbers(), at),
            (_, _) => format!("{} pasted in {}", words_of(clip), here.bar_name()),
        });
        self.clip = clip;
        whole_bars::say(said, reply)
    }

    /// Moves the note or what is selected onto the string so many below, and goes with it.
    fn change_string(&mut self, open: &mut EditedLesson, by: i8) -> PaneReply {
        let to = self.here(open.lesson()).and_then(|here| writing::string_beside(&here, by));
        let before = open.revision();
        let reply = self.write(open, |here| writing::change_string(here, by));
        if open.revision() > before {
            self.cursor.string = to.unwrap_or(self.cursor.string);
        }
        reply
    }
}
