//! Keys that write: frets, rests, lengths, bars; what is copied, cut and pasted; notes moved about.
//!
//! Each becomes one transaction; the music of it is done by [`crate::lesson::phrase`].

use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::lesson::document::{Lesson, Segment};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::{PassageId, VoicingId};
use crate::lesson::music::{Event, Note, Passage};
use crate::lesson::phrase::clip::Clip;
use crate::lesson::phrase::{PhraseEdits, PhraseError, Slot, bars, clip, notes, rhythm, shift};
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::time::Length;
use crate::tab::passage::{render_bars, string_labels};
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;
use crate::workbench::editing::edited_lesson::{EditedLesson, Instead};
use crate::workbench::messages::clipboard;
use crate::workbench::messages::effect::TerminalEffect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::passage::cursor::nothing_shown;
use crate::workbench::panes::passage::pane::{PassagePane, rig_of};
use crate::workbench::panes::passage::written_next::Typed;

/// How wide text tab is that is copied out: what most mail and web pages show without breaking it.
const COPIED_WIDTH: usize = 78;

/// A chord as it is put over a beat.
#[derive(Debug, Clone)]
pub struct Chord<'a> {
    /// What the fingers hold.
    pub shape: &'a Shape,
    /// What stands over the beat.
    pub name: Option<String>,
    /// The voicing of the lesson that it is.
    pub voicing: VoicingId,
}

impl PassagePane {
    /// Makes edits of the passage as one step, and goes to `slot`.
    pub(super) fn make(&mut self, open: &mut EditedLesson, edits: Vec<Edit>, slot: Slot) -> Reply {
        self.make_after(open, Vec::new(), edits, slot)
    }

    /// Makes edits after `first`, which changes no bars, in one step with it.
    fn make_after(&mut self, open: &mut EditedLesson, first: Vec<Edit>, edits: Vec<Edit>, slot: Slot) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let change = self.transaction(open.lesson(), passage.id, first, PhraseEdits { edits, slot });
        match open.change(change) {
            Ok(()) => {
                self.cursor.slot = slot;
                Reply::nothing()
            }
            Err(error) => Reply::say(Notice::trouble(error.to_string())),
        }
    }

    /// Returns `first` and what is written into a passage as one transaction, with what segments need to follow it.
    fn transaction(&self, lesson: &Lesson, passage: PassageId, first: Vec<Edit>, written: PhraseEdits) -> Transaction {
        let PhraseEdits { edits, slot } = written;
        let spot = Spot::bar(slot.bar).voice(slot.voice).event(slot.event).string(self.cursor.string);
        let segments: Vec<&Segment> = lesson.segments.iter().map(|segment| after(&first, segment)).collect();
        let follow = |edit: &Edit| bars::following(segments.iter().copied(), edit);
        let following: Vec<Edit> = edits.iter().flat_map(follow).collect();
        let all = first.into_iter().chain(following).chain(edits).collect();
        Transaction::new(self.next.reason, all).at(LessonPlace::Passage(passage, spot))
    }

    /// Makes what a function of the passage and the cursor's slot comes to, and stays where it is.
    pub(super) fn try_make(
        &mut self,
        open: &mut EditedLesson,
        edit: impl FnOnce(&Passage, Slot) -> Result<Vec<Edit>, PhraseError>,
    ) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let slot = self.cursor.slot;
        match edit(passage, slot) {
            Ok(edits) => self.make(open, edits, slot),
            Err(error) => refuse(&error),
        }
    }

    /// Types a digit: a fret on the cursor's string, or the second digit of one.
    pub(super) fn type_digit(&mut self, open: &mut EditedLesson, digit: u8) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let rig = rig_of(open.lesson(), passage);
        let string = self.cursor.string;
        let last = rig.last_fret(string).unwrap_or(Fret::OPEN).number();
        let before = self.next.typed.take().filter(|typed| typed.cursor == self.cursor);
        let joined = before.map(|typed| (typed, typed.digit * 10 + digit)).filter(|(_, number)| *number <= last);
        let number = joined.map_or(digit, |(_, number)| number);
        let Some(fret) = Fret::new(number).filter(|_| number <= last) else {
            return Reply::say(Notice::note(format!("string {string} ends at fret {last}")));
        };
        if let Err(error) = rig.sounding(string, fret) {
            return Reply::say(Notice::note(error.to_string()));
        }
        match joined {
            // A third digit begins anew.
            Some((first, _)) => {
                let reply = self.put_number(open, string, fret, first);
                self.next.typed = None;
                reply
            }
            None => self.put_fret(open, string, fret, self.cursor.slot),
        }
    }

    /// Puts a fret at `slot`.
    fn put_fret(&mut self, open: &mut EditedLesson, string: StringNumber, fret: Fret, slot: Slot) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let digit = fret.number() % 10;
        if holds(passage, slot, string, fret) {
            self.next.typed = Some(Typed { digit, revision: None, cursor: self.cursor, from: None });
            return Reply::nothing();
        }
        let PhraseEdits { edits, slot: to } = notes::put(passage, slot, string, fret, self.next.length);
        let before = open.revision();
        let reply = self.make(open, edits, to);
        let revision = (open.revision() > before).then_some(open.revision());
        self.next.typed = Some(Typed { digit, revision, cursor: self.cursor, from: Some(slot) });
        reply
    }

    /// Puts a fret of two digits where its first digit was typed, in the place of that: both are one change.
    fn put_number(&mut self, open: &mut EditedLesson, string: StringNumber, fret: Fret, first: Typed) -> Reply {
        let slot = first.from.unwrap_or(self.cursor.slot);
        let Some(shown) = self.shown.as_ref().filter(|_| first.revision == Some(open.revision())) else {
            return self.put_fret(open, string, fret, slot);
        };
        let id = shown.passage;
        let mut to = slot;
        let changed = open.change_instead(|lesson| {
            let passage = lesson.passage(id).filter(|passage| !holds(passage, slot, string, fret))?;
            let written = notes::put(passage, slot, string, fret, self.next.length);
            to = written.slot;
            Some(self.transaction(lesson, id, Vec::new(), written))
        });
        match changed {
            Ok(Instead::Done) => {
                self.cursor.slot = to;
                Reply::nothing()
            }
            Ok(Instead::NothingLast) => self.put_fret(open, string, fret, slot),
            Err(error) => Reply::say(Notice::trouble(error.to_string())),
        }
    }

    /// Returns the length that notes are written in.
    pub const fn writing(&self) -> Length {
        self.next.length
    }

    /// Writes in this length from now on.
    pub const fn write_in(&mut self, length: Length) {
        self.next.length = length;
    }

    /// Returns whether something sounds under the cursor.
    pub fn holds_notes(&self, open: &EditedLesson) -> bool {
        let event = self.passage(open).and_then(|passage| self.cursor.slot.read(passage));
        event.is_some_and(|event| !event.notes.is_empty())
    }

    /// Puts a chord where the cursor is, after `first`, which says what the chord needs: all of it or nothing.
    pub fn put_chord(&mut self, open: &mut EditedLesson, chord: Chord<'_>, first: Vec<Edit>) -> Reply {
        let Chord { shape, name, voicing } = chord;
        self.next.reason = Reason::PutChord;
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let strings = shape.strings().len();
        let note =
            |(index, fret): (usize, &Option<Fret>)| Some(Note::plain(StringNumber::at(index, strings)?, (*fret)?));
        let mut notes: Vec<Note> = shape.strings().iter().enumerate().filter_map(note).collect();
        notes.sort_by_key(|note| note.string);
        let chord = |event: &mut Event| {
            event.notes = notes;
            event.chord = name;
            event.voicing = Some(voicing);
        };
        let slot = self.cursor.slot;
        let written = if slot.read(passage).is_some() {
            notes::change_event(passage, slot, |event| {
                chord(event);
                Ok(())
            })
            .map(|edit| PhraseEdits { edits: vec![edit], slot })
        } else {
            let mut event = Event::rest(self.next.length);
            chord(&mut event);
            Ok(notes::append(passage, slot, event))
        };
        match written {
            Ok(PhraseEdits { edits, slot }) => self.make_after(open, first, edits, slot),
            Err(error) => refuse(&error),
        }
    }

    /// Takes the note off the string; where something is selected, takes that out.
    pub(super) fn lift(&mut self, open: &mut EditedLesson) -> Reply {
        if self.selection.is_some() {
            return self.remove_selected(open);
        }
        let string = self.cursor.string;
        self.try_make(open, |passage, slot| notes::lift(passage, slot, string).map(one))
    }

    /// Makes the event a rest, or writes one behind the last.
    pub(super) fn rest(&mut self, open: &mut EditedLesson) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        match self.cursor.slot.read(passage) {
            Some(event) if event.is_rest() => Reply::say(Notice::note("this is a rest already")),
            Some(_) => self.try_make(open, |passage, slot| rhythm::rest(passage, slot).map(one)),
            None => {
                let written = notes::append(passage, self.cursor.slot, Event::rest(self.next.length));
                self.make(open, written.edits, written.slot)
            }
        }
    }

    /// Takes out what is selected, or the event under the cursor; behind the last event, that one.
    pub(super) fn remove_event(&mut self, open: &mut EditedLesson) -> Reply {
        if self.selection.is_some() {
            return self.remove_selected(open);
        }
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let slot = self.cursor.slot;
        let behind = slot.read(passage).is_none();
        let slot = if behind { Slot { event: slot.event.saturating_sub(1), ..slot } } else { slot };
        match rhythm::remove(passage, slot) {
            Ok(edit) => self.make(open, one(edit), slot),
            Err(error) => refuse(&error),
        }
    }

    fn remove_selected(&mut self, open: &mut EditedLesson) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let stretch = self.stretch_or_event();
        match clip::remove(passage, &stretch) {
            Ok(edits) => {
                let first = stretch.first();
                let slot =
                    if stretch.grain == clip::Grain::Bars { Slot::start_of(first.bar, first.voice) } else { first };
                self.selection = None;
                self.make(open, edits, slot)
            }
            Err(error) => refuse(&error),
        }
    }

    /// Puts a rest in before the event under the cursor.
    pub(super) fn insert_event(&mut self, open: &mut EditedLesson) -> Reply {
        let length = self.next.length;
        self.try_make(open, |passage, slot| Ok(one(rhythm::insert(passage, slot, vec![Event::rest(length)]))))
    }

    /// Fills the bar with rests.
    pub(super) fn fill_bar(&mut self, open: &mut EditedLesson) -> Reply {
        self.try_make(open, |passage, slot| rhythm::fill(passage, slot).map(one))
    }

    /// Changes the length of what is under the cursor or selected, and of what is written next.
    pub(super) fn change_length(
        &mut self,
        open: &mut EditedLesson,
        change: impl Fn(Length) -> Result<Length, PhraseError>,
    ) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let slot = self.cursor.slot;
        let Some(event) = slot.read(passage) else {
            return match change(self.next.length) {
                Ok(length) => {
                    self.next.length = length;
                    Reply::say(Notice::done(format!("what is written next is {length} long")))
                }
                Err(error) => refuse(&error),
            };
        };
        let changed = change(event.length);
        let stretch = self.stretch_or_event();
        match rhythm::over(passage, &stretch, |event| event.length = change(event.length).unwrap_or(event.length)) {
            Ok(edits) => {
                let length = match changed {
                    Ok(length) => length,
                    Err(error) => return refuse(&error),
                };
                let reply = self.make(open, edits, slot);
                self.next.length = length;
                reply
            }
            Err(error) => refuse(&error),
        }
    }

    /// Puts an empty bar in after the one under the cursor and goes there.
    pub(super) fn insert_bar(&mut self, open: &mut EditedLesson) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let slot = self.cursor.slot;
        let at = if passage.bars.is_empty() { 0 } else { slot.bar + 1 };
        let edit = bars::insert(passage, at);
        self.make(open, one(edit), Slot::start_of(at, slot.voice))
    }

    /// Splits the bar before the beat under the cursor, which then begins the second one.
    pub(super) fn split_bar(&mut self, open: &mut EditedLesson) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let Slot { bar, voice, .. } = self.cursor.slot;
        match bars::split(passage, self.cursor.slot) {
            Ok(edits) => self.make(open, edits, Slot::start_of(bar + 1, voice)),
            Err(error) => refuse(&error),
        }
    }

    /// Joins the bar with the next one.
    pub(super) fn merge_bar(&mut self, open: &mut EditedLesson) -> Reply {
        self.try_make(open, |passage, slot| bars::merge(passage, slot.bar))
    }

    /// Takes out the bars that are selected, or the one under the cursor.
    pub(super) fn remove_bar(&mut self, open: &mut EditedLesson) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let range = self.stretch_or_event().bars();
        let slot = Slot::start_of(range.start, self.cursor.slot.voice);
        match bars::remove(passage, range) {
            Ok(edits) => {
                self.selection = None;
                self.make(open, edits, slot)
            }
            Err(error) => refuse(&error),
        }
    }

    /// Keeps what is selected, to be pasted.
    pub(super) fn copy(&mut self, open: &EditedLesson) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        match clip::copy(passage, &self.stretch_or_event()) {
            Ok(clip) => {
                let done = format!("copied {}", words_of(&clip));
                self.clip = Some(clip);
                self.selection = None;
                Reply::say(Notice::done(done))
            }
            Err(error) => refuse(&error),
        }
    }

    /// Keeps what is selected and takes it out.
    pub(super) fn cut(&mut self, open: &mut EditedLesson) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        match clip::copy(passage, &self.stretch_or_event()) {
            Ok(clip) => {
                let done = format!("cut {}", words_of(&clip));
                let reply = self.remove_selected(open);
                if reply.notice.is_some() {
                    return reply;
                }
                self.clip = Some(clip);
                Reply::say(Notice::done(done))
            }
            Err(error) => refuse(&error),
        }
    }

    /// Puts what was copied in at the cursor.
    pub(super) fn paste(&mut self, open: &mut EditedLesson) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let Some(clip) = &self.clip else { return refuse(&PhraseError::NothingCopied) };
        let written = clip::paste(passage, self.cursor.slot, clip);
        self.selection = None;
        self.make(open, written.edits, written.slot)
    }

    /// Hands the selected bars, or all that is shown, to the terminal's clipboard as text tab.
    pub(super) fn copy_out(&mut self, open: &EditedLesson) -> Reply {
        let Some((passage, shown)) = self.passage(open).zip(self.shown.as_ref()) else { return nothing_shown() };
        let range = self.stretch().map_or(shown.bars.clone(), |stretch| stretch.bars());
        let labels = string_labels(rig_of(open.lesson(), passage).tuning());
        let style = TabStyle { width: COPIED_WIDTH, charset: Charset::Ascii };
        let text = render_bars(passage, range.clone(), &labels, &style);
        let systems: Vec<String> = text.systems.iter().map(|system| system.lines.join("\n")).collect();
        let text = systems.join("\n\n") + "\n";
        if text.len() > clipboard::LARGEST {
            return Reply::say(Notice::trouble("too long for the terminal's clipboard: select fewer bars"));
        }
        let count = range.len();
        let done = format!(
            "{count} bar{} handed to the terminal's clipboard as text tab; some terminals do not take it",
            if count == 1 { "" } else { "s" }
        );
        Reply { notice: Some(Notice::done(done)), effect: Some(TerminalEffect::CopyOut(text).into()), overlay: None }
    }

    /// Moves the note with all it is joined to, or what is selected, by a string with the pitch it has.
    pub(super) fn change_string(&mut self, open: &mut EditedLesson, by: i8) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let rig = rig_of(open.lesson(), passage);
        let string = self.cursor.string;
        let to = string.number().checked_add_signed(by).and_then(StringNumber::new);
        let to = to.filter(|to| rig.strings().any(|string| string == *to));
        let stretch = self.stretch();
        let before = open.revision();
        let reply = self.try_make(open, |passage, slot| match (stretch, to) {
            (Some(stretch), _) => shift::over_strings(passage, &stretch, by, &rig),
            (None, Some(to)) => shift::to_string(passage, slot, string, to, &rig),
            (None, None) => Err(PhraseError::NoString),
        });
        if open.revision() > before {
            self.cursor.string = to.unwrap_or(string);
        }
        reply
    }

    /// Moves what is selected, or all that is shown, by semitones.
    pub(super) fn transpose(&mut self, open: &mut EditedLesson, semitones: i32) -> Result<Reply, String> {
        let Some((passage, shown)) = self.passage(open).zip(self.shown.as_ref()) else { return Ok(nothing_shown()) };
        let rig = rig_of(open.lesson(), passage);
        let (first, last) = (shown.bars.start, shown.bars.end.saturating_sub(1));
        let all = clip::Stretch::new(Slot::start_of(first, 0), Slot::start_of(last, 0), clip::Grain::Bars);
        let stretch = self.stretch().unwrap_or(all);
        let shifted = shift::transpose(passage, &stretch, semitones, &rig).map_err(|error| error.to_string())?;
        let slot = self.cursor.slot;
        let reply = self.make(open, shifted.edits, slot);
        if reply.notice.is_some() {
            return Ok(reply);
        }
        let stay = match shifted.stay {
            0 => String::new(),
            count => format!("; {count} dead notes and natural harmonics stay where they are"),
        };
        Ok(Reply::say(Notice::done(format!("transposed by {semitones:+} semitones{stay}"))))
    }
}

/// Says why something cannot be done.
pub(super) fn refuse(error: &PhraseError) -> Reply {
    Reply::say(Notice::trouble(error.to_string()))
}

/// Returns a single edit as a list.
pub(super) fn one(edit: Edit) -> Vec<Edit> {
    vec![edit]
}

fn words_of(clip: &Clip) -> String {
    let (count, word) = match clip {
        Clip::Events(parts) => (parts.iter().map(Vec::len).sum(), "beat"),
        Clip::Bars { bars, .. } => (bars.len(), "bar"),
    };
    format!("{count} {word}{}", if count == 1 { "" } else { "s" })
}

/// Returns a segment as `edits` leave it.
fn after<'a>(edits: &'a [Edit], segment: &'a Segment) -> &'a Segment {
    let replaced = edits.iter().rev().find_map(|edit| match edit {
        Edit::Segments(ListEdit::Replace(new)) if new.id == segment.id => Some(new),
        _ => None,
    });
    replaced.unwrap_or(segment)
}

/// Returns whether a note lies at `slot` already.
fn holds(passage: &Passage, slot: Slot, string: StringNumber, fret: Fret) -> bool {
    let event = slot.read(passage);
    event.is_some_and(|event| event.notes.iter().any(|note| (note.string, note.fret) == (string, fret)))
}
