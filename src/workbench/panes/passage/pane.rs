//! What the passage pane knows, how it follows the lesson, and who does what is asked of it.

use std::ops::Range;

use crate::instrument::neck::StringNumber;
use crate::instrument::rig::Rig;
use crate::lesson::document::{BarRange, Lesson, PassageUse};
use crate::lesson::history::Reason;
use crate::lesson::id::{PassageId, SegmentId};
use crate::lesson::music::{Join, Passage, Technique};
use crate::lesson::phrase::Slot;
use crate::lesson::phrase::clip::{Clip, Grain};
use crate::lesson::phrase::rhythm::{self, LengthChange};
use crate::lesson::place::Spot;
use crate::lesson::time::Tuplet;
use crate::plan::order::places;
use crate::tab::passage::string_labels;
use crate::text::charset::Charset;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::drawing::region::Focused;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::rigs::standard_guitar;
use crate::workbench::keys::action::PassageAction;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::passage::cursor::{self, Cursor, Selection};
use crate::workbench::panes::passage::entry::entry;
use crate::workbench::panes::passage::page::ShownPage;
use crate::workbench::panes::passage::reasons::reason_of;
use crate::workbench::panes::passage::sheet::{Follow, Sheets, TabForm, TabLine};
use crate::workbench::panes::passage::uneven::{Uneven, UnevenBars};
use crate::workbench::panes::passage::written_next::WrittenNext;
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

/// What is shown: a passage, and which of its bars.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Shown {
    pub(super) passage: PassageId,
    pub(super) bars: Range<usize>,
    pub(super) strings: u8,
}

/// The passage pane's own state.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PassagePane {
    /// Which of the segment's passages is shown, counted from 0.
    pub(super) place: usize,
    pub(super) segment: Option<SegmentId>,
    pub(super) shown: Option<Shown>,
    pub(super) cursor: Cursor,
    pub(super) selection: Option<Selection>,
    /// What is written next.
    pub(super) next: WrittenNext,
    /// What was copied.
    pub(super) clip: Option<Clip>,
    /// What is on the screen.
    pub(super) page: ShownPage,
    pub(super) uneven: UnevenBars,
    /// What is heard now: one event of each voice.
    pub(super) heard: Vec<Slot>,
}

impl PassagePane {
    /// Brings everything up to date, for a pane of this size.
    pub fn follow(
        &mut self,
        open: &EditedLesson,
        segment: Option<SegmentId>,
        size: (usize, usize),
        charset: Charset,
        focused: Focused,
    ) {
        if segment != self.segment {
            self.segment = segment;
            self.place = 0;
            self.begin();
        }
        self.page.fit(size, charset, focused);
        let lesson = open.lesson();
        let uses = uses(lesson, segment);
        self.place = self.place.min(uses.len().saturating_sub(1));
        let used = uses.get(self.place).copied();
        let Some((used, passage)) = used.and_then(|used| Some((used, lesson.passage(used.passage)?))) else {
            (self.shown, self.selection) = (None, None);
            self.page.clear();
            return;
        };
        let rig = rig_of(lesson, passage);
        if self.shown.as_ref().is_some_and(|shown| shown.passage != passage.id) {
            self.begin();
        }
        let strings = u8::try_from(rig.strings().count()).unwrap_or(StringNumber::LAST);
        let shown = Shown { passage: passage.id, bars: places(passage.bars.len(), used.bars), strings };
        self.keep_in(passage, &shown);
        let labels = string_labels(rig.tuning());
        let paper = self.page.paper(passage, &shown.bars, &labels);
        self.page.lay_out(paper, self.cursor.slot, self.heard.first().copied());
        self.uneven.follow(passage, open.revision());
        self.shown = Some(shown);
        self.page.title = self.title_of(lesson, passage, used.bars, uses.len());
        self.page.foot = if focused == Focused::Yes { self.foot_of(passage) } else { String::new() };
    }

    /// Begins at the beginning of what is shown.
    pub(super) fn begin(&mut self) {
        self.cursor.slot = Slot::default();
        self.selection = None;
        self.next.forget();
        self.page.rewind();
    }

    /// Returns the tab in view as text.
    pub fn text(&self) -> String {
        self.page.text()
    }

    /// Returns which bar the cursor is in, which of its events and on which string; each counted as
    /// players do.
    pub fn cursor(&self) -> (usize, usize, u8) {
        let Cursor { slot, string } = self.cursor;
        (slot.bar + 1, slot.event + 1, string.number())
    }

    /// Returns the passage that is shown.
    pub(super) fn passage<'a>(&self, open: &'a EditedLesson) -> Option<&'a Passage> {
        open.lesson().passage(self.shown.as_ref()?.passage)
    }

    /// Does what was asked.
    pub fn act(&mut self, open: &mut EditedLesson, action: PassageAction, strike: Strike<'_>) -> Reply {
        use PassageAction as A;
        self.next.reason = reason_of(action).unwrap_or(Reason::EditBars);
        if action != A::TypeFret {
            self.next.typed = None;
        }
        if !matches!(action, A::ScrollUp | A::ScrollDown) {
            self.page.follow = Follow::Cursor;
        }
        match action {
            A::ReadTab => Reply::ask(Overlay::Entry(entry(PassageQuestion::TabFile, ""))),
            A::NewPassage => Reply::ask(Overlay::Entry(entry(PassageQuestion::NewTitle, ""))),
            A::NextPassage => self.go_to(open, self.place.checked_add(1)),
            A::PreviousPassage => self.go_to(open, self.place.checked_sub(1)),
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
            A::StringUp => self.go_to_string(self.cursor.string.number().checked_sub(1)),
            A::StringDown => self.go_to_string(self.cursor.string.number().checked_add(1)),
            A::SwitchVoice => self.switch_voice(open),
            A::ExtendBack => self.extend(open, Grain::Events, Slot::previous),
            A::ExtendForth => self.extend(open, Grain::Events, Slot::next),
            A::ExtendBarBack => self.extend(open, Grain::Bars, cursor::to_bar_before),
            A::ExtendBarForth => self.extend(open, Grain::Bars, Slot::next_bar),
            A::Mark => self.mark(),
            A::DropMark => self.drop_mark(),
            A::TypeFret => strike.digit.map_or_else(Reply::nothing, |digit| self.type_digit(open, digit)),
            A::Lift => self.lift(open),
            A::Rest => self.rest(open),
            A::RemoveEvent => self.remove_event(open),
            A::InsertEvent => self.insert_event(open),
            A::FillBar => self.fill_bar(open),
            A::Longer => self.change_length(open, |length| rhythm::stepped(length, LengthChange::Longer)),
            A::Shorter => self.change_length(open, |length| rhythm::stepped(length, LengthChange::Shorter)),
            A::Dot => self.change_length(open, |length| Ok(rhythm::dotted(length))),
            A::Triplet => self.change_length(open, |length| rhythm::in_tuplet(length, TRIPLET)),
            A::TypeLength => self.ask(open, PassageQuestion::Length),
            A::Techniques => self.choose_technique(open),
            A::Slur => self.slur(open),
            A::Slide => self.slide(open),
            A::Tie => self.toggle_join(open, Join::Tie),
            A::Bend => self.ask(open, PassageQuestion::Bend),
            A::Vibrato => self.toggle(open, Technique::Vibrato),
            A::PalmMute => self.toggle(open, Technique::PalmMute),
            A::DeadNote => self.dead_note(open),
            A::LetRing => self.toggle(open, Technique::LetRing),
            A::Tap => self.toggle(open, Technique::Tap),
            A::Harmonic => self.toggle(open, Technique::NaturalHarmonic),
            A::Stroke => self.next_stroke(open),
            A::NameChord => self.ask_chord(open, strike.kept),
            A::WriteWords => self.ask(open, PassageQuestion::Words),
            A::ChooseBar => self.choose_bar(open),
            A::InsertBar => self.insert_bar(open),
            A::SplitBar => self.split_bar(open),
            A::MergeBar => self.merge_bar(open),
            A::RemoveBar => self.remove_bar(open),
            A::Copy => self.copy(open),
            A::Cut => self.cut(open),
            A::Paste => self.paste(open),
            A::CopyOut => self.copy_out(open),
            A::Transpose => self.ask(open, PassageQuestion::Semitones),
            A::ToStringAbove => self.change_string(open, -1),
            A::ToStringBelow => self.change_string(open, 1),
            A::PlaceAnew => self.choose_setup(open),
        }
    }

    fn scroll(&mut self, open: &EditedLesson, by: isize) -> Reply {
        self.page.follow = Follow::View;
        self.with_sheets(open, |sheets, paper, _| sheets.scroll(paper, by));
        Reply::nothing()
    }

    fn go_to_row(&mut self, open: &EditedLesson, by: isize) -> Reply {
        let bar = self.with_sheets(open, |sheets, paper, cursor| sheets.neighbour(paper, cursor.slot, by)).flatten();
        if let Some(bar) = bar {
            self.cursor.slot = Slot::start_of(bar, self.cursor.slot.voice);
        }
        Reply::nothing()
    }

    /// Does something with the sheets, which need to know the passage.
    fn with_sheets<T>(
        &mut self,
        open: &EditedLesson,
        work: impl FnOnce(&mut Sheets, TabForm<'_>, Cursor) -> T,
    ) -> Option<T> {
        let passage = self.passage(open)?;
        let bars = self.shown.as_ref()?.bars.clone();
        let labels = string_labels(rig_of(open.lesson(), passage).tuning());
        let mut sheets = std::mem::take(&mut self.page.sheets);
        let done = work(&mut sheets, self.page.paper(passage, &bars, &labels), self.cursor);
        self.page.sheets = sheets;
        Some(done)
    }

    /// Puts the cursor where a click was: a column and a line of the pane.
    pub fn point_at(&mut self, (x, y): (usize, usize)) {
        let (Some(column), Some(line)) = (x.checked_sub(1), y.checked_sub(1)) else { return };
        let Some(TabLine::Music { sheet, system, line, .. }) = self.page.lines.get(line) else { return };
        let (Some(map), Some(shown)) = (self.page.sheets.map(*sheet, *system), self.shown.as_ref()) else { return };
        let row = line.saturating_sub(map.strings.start).min(usize::from(shown.strings).saturating_sub(1));
        let voice = self.cursor.slot.voice;
        // The event that is nearest, of the voice that is written; where that has none, the bar.
        let nearest = map.events.iter().filter(|event| event.voice == voice);
        let nearest = nearest.min_by_key(|event| event.column.abs_diff(column));
        let bar = map.bars.iter().find(|(_, columns)| column < columns.end + 1).or(map.bars.last());
        let slot = match (nearest, bar) {
            (Some(event), Some((bar, _))) if event.bar == *bar => Slot { bar: event.bar, voice, event: event.event },
            (_, Some((bar, _))) => Slot::start_of(*bar, voice),
            (_, None) => return,
        };
        self.cursor.slot = slot;
        if let Some(string) = u8::try_from(row + 1).ok().and_then(StringNumber::new) {
            self.cursor.string = string;
        }
        self.next.typed = None;
        self.page.follow = Follow::Cursor;
    }

    /// Goes to a spot of a passage that `segment` plays.
    pub fn go_to_spot(&mut self, lesson: &Lesson, segment: Option<SegmentId>, passage: PassageId, spot: Spot) {
        let Some(place) = uses(lesson, segment).iter().position(|used| used.passage == passage) else { return };
        let from_zero = |number: Option<u32>| number.map_or(0, |number| (number as usize).saturating_sub(1));
        if (self.segment, self.place) != (segment, place) {
            (self.segment, self.place) = (segment, place);
            self.begin();
        }
        let (bar, event, voice) = (from_zero(spot.bar), from_zero(spot.event), from_zero(spot.voice));
        self.cursor.slot = Slot { bar, event, voice };
        self.cursor.string = spot.string.unwrap_or(self.cursor.string);
        self.page.follow = Follow::Cursor;
    }

    /// Shows the last passage of the segment, the one that was added last.
    pub fn show_last(&mut self) {
        self.place = usize::MAX;
        self.begin();
    }

    fn go_to(&mut self, open: &EditedLesson, place: Option<usize>) -> Reply {
        let count = uses(open.lesson(), self.segment).len();
        match place.filter(|place| *place < count) {
            Some(place) => {
                self.place = place;
                self.begin();
                Reply::nothing()
            }
            None => Reply::say(Notice::note("this segment plays no further passage; m in the timeline chooses them")),
        }
    }

    fn title_of(&self, lesson: &Lesson, passage: &Passage, bars: Option<BarRange>, count: usize) -> String {
        let mut facts = vec![passage.title.clone()];
        if count > 1 {
            facts.push(format!("{} of {count}", self.place + 1));
        }
        if let Some(selection) = &self.selection {
            facts.push(selection.words(passage, self.cursor.slot));
        }
        let all = passage.bars.len();
        match (self.page.focused(), bars) {
            (Focused::Yes, Some(bars)) => {
                facts.push(format!("bar {} of {} to {}", self.cursor.slot.bar + 1, bars.first, bars.last));
            }
            (Focused::Yes, None) => facts.push(format!("bar {} of {all}", self.cursor.slot.bar + 1)),
            (Focused::No, Some(bars)) => facts.push(format!("bars {} to {} of {all}", bars.first, bars.last)),
            (Focused::No, None) => facts.push(format!("{all} bar{}", if all == 1 { "" } else { "s" })),
        }
        if self.page.focused() == Focused::Yes {
            facts.push(format!("writing {}", self.next.length));
        }
        if self.cursor.slot.voice > 0 {
            facts.push("lower voice".to_owned());
        }
        let piece = passage.piece.and_then(|id| lesson.piece(id));
        if let Some(key) = passage.key.or_else(|| piece.and_then(|piece| piece.key)) {
            facts.push(format!("sounds in {key}"));
        }
        facts.join("   ")
    }

    /// Returns what is under the cursor, in words, and what is wrong with its bar.
    fn foot_of(&self, passage: &Passage) -> String {
        let Cursor { slot, string } = self.cursor;
        let mut facts = vec![format!("string {string}")];
        match slot.read(passage) {
            None => facts.push("nothing written yet".to_owned()),
            Some(event) => {
                match event.notes.iter().find(|note| note.string == string) {
                    Some(note) => {
                        facts.push(format!("fret {}", note.fret));
                        facts.extend(note.join.map(|join| join.name().to_owned()));
                        facts.extend(note.techniques.iter().map(|technique| technique.name().to_owned()));
                    }
                    None if event.is_rest() => facts.push("a rest".to_owned()),
                    None => {}
                }
                facts.push(event.length.to_string());
            }
        }
        let here = facts.join(", ");
        match self.uneven.at(slot.bar) {
            Some(Uneven { reason, .. }) => format!("{here}   ! bar {}: {reason}", slot.bar + 1),
            None => here,
        }
    }
}

/// Returns what a passage is played on; a standard guitar where the lesson does not say.
pub(super) fn rig_of(lesson: &Lesson, passage: &Passage) -> Rig {
    lesson.passage_rig(passage).unwrap_or_else(standard_guitar)
}

/// Returns the passages that a segment plays, in order.
pub(super) fn uses(lesson: &Lesson, segment: Option<SegmentId>) -> &[PassageUse] {
    segment.and_then(|id| lesson.segment(id)).map_or(&[], |segment| &segment.passages)
}
