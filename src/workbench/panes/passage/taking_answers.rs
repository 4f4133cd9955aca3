//! What becomes of what was typed or picked in a box for the passage.

use crate::instrument::hand::Finger;
use crate::instrument::neck::Fret;
use crate::lesson::document::{PassageUse, Segment, SegmentKind};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::SetupId;
use crate::lesson::music::{Bar, BendAmount, Event, Note, Passage, Technique};
use crate::lesson::phrase::bars;
use crate::lesson::phrase::notes;
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::placing::moved::{Remark, moved};
use crate::lesson::time::{Length, Meter, Tempo, VideoLength};
use crate::text::quote::quoted;
use crate::theory::key::Key;
use crate::theory::symbol::ChordSymbol;
use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::passage::cursor::nothing_shown;
use crate::workbench::panes::passage::entry::entry;
use crate::workbench::panes::passage::pane::{PassagePane, rig_of};
use crate::workbench::panes::passage::reasons::{reason_of_answer, reason_of_pick};
use crate::workbench::panes::passage::writing::one;
use crate::workbench::questions::passage::{PassagePick, PassageQuestion};

/// How long a segment is planned that was made for a passage.
const NEW_SEGMENT: VideoLength = VideoLength::from_seconds(60);

/// The farthest that music is transposed at once, in semitones: three octaves. Our own setting.
const FARTHEST: u32 = 36;

impl PassagePane {
    /// Takes what was typed as the answer to a question. Errors: in words, what is wrong with it.
    pub fn answer(&mut self, open: &mut EditedLesson, question: PassageQuestion, text: &str) -> Result<Reply, String> {
        use PassageQuestion as Q;
        let text = text.trim();
        self.next.reason = reason_of_answer(&question);
        match question {
            Q::NewTitle | Q::Title if text.is_empty() => Err("a passage needs a title".to_owned()),
            Q::NewTitle => {
                let next = Q::NewMeter { title: text.to_owned() };
                Ok(Reply::ask(Overlay::Entry(entry(next, Meter::COMMON.to_string()))))
            }
            Q::NewMeter { title } => {
                let next = Q::NewTempo { title, meter: read(text)? };
                Ok(Reply::ask(Overlay::Entry(entry(next, Tempo::USUAL.to_string()))))
            }
            Q::NewTempo { title, meter } => self.begin_passage(open, title, meter, read(text)?),
            Q::Title => Ok(self.change_passage(open, |passage| passage.title = text.to_owned())),
            Q::Length => {
                let length: Length = read(text)?;
                Ok(self.change_length(open, |_| Ok(length)))
            }
            Q::Bend => self.bend(open, text),
            Q::Trill => self.with_fret(open, text, Technique::Trill),
            Q::TouchedHarmonic => self.with_fret(open, text, Technique::TouchedHarmonic),
            Q::TappedHarmonic => self.with_fret(open, text, Technique::TappedHarmonic),
            Q::Dip => self.with_amount(open, text, Technique::WhammyDip),
            Q::Dive => self.with_amount(open, text, Technique::WhammyDive),
            Q::Grace => self.grace(open, text),
            Q::Finger => self.fretted_with(open, text),
            Q::Chord => Ok(self.name_chord(open, text)),
            Q::Words => Ok(self.over_beat(open, |event| event.text = some(text))),
            Q::Meter => {
                let meter: Meter = read(text)?;
                Ok(self.try_make(open, |passage, slot| bars::set_meter(passage, slot.bar, meter).map(one)))
            }
            Q::Tempo => {
                let tempo: Tempo = read(text)?;
                Ok(self.try_make(open, |passage, slot| bars::set_tempo(passage, slot.bar, tempo).map(one)))
            }
            Q::Key => {
                let key: Key = read(text)?;
                Ok(self.try_make(open, |passage, slot| bars::set_key(passage, slot.bar, key).map(one)))
            }
            Q::Times => self.repeat_times(open, text),
            Q::Endings => self.set_endings(open, text),
            Q::Semitones => self.transpose(open, read_semitones(text)?),
            Q::TabFile if text.is_empty() => Err("type the path of a file".to_owned()),
            Q::TabFile => Ok(Reply::want(FileEffect::ReadTab(text.into()))),
            Q::PastedTab(tab) => self.add_tab(open, &tab, text),
        }
    }

    /// Does what was chosen from a list.
    pub fn take(&mut self, open: &mut EditedLesson, pick: PassagePick) -> Reply {
        self.next.reason = reason_of_pick(&pick);
        match pick {
            PassagePick::Join(join) => self.toggle_join(open, join),
            PassagePick::Technique(technique) => self.toggle(open, technique),
            PassagePick::Stroke(stroke) => self.stroke(open, stroke),
            PassagePick::Ask(question) => self.ask(open, question),
            PassagePick::RepeatStart => self.change_bar(open, |bar| bar.repeat_start = !bar.repeat_start),
            PassagePick::Pickup => self.change_bar(open, |bar| bar.pickup = !bar.pickup),
            PassagePick::Feel(feel) => self.change_passage(open, |passage| passage.feel = feel),
            PassagePick::Setup(setup) => self.place_anew(open, setup),
        }
    }

    /// Has the finger that was typed fret the note, or none.
    fn fretted_with(&mut self, open: &mut EditedLesson, text: &str) -> Result<Reply, String> {
        let finger = match text {
            "" => None,
            "t" => Some(Finger::Thumb),
            text => {
                let finger = text.parse().ok().and_then(Finger::from_char);
                Some(finger.ok_or_else(|| format!("`{text}` is no finger"))?)
            }
        };
        let string = self.cursor.string;
        let set = |note: &mut Note| note.finger = finger;
        Ok(self.try_make(open, |passage, slot| notes::change_note(passage, slot, string, set).map(one)))
    }

    /// Writes a chord name over the beat; a name of one's own may stand there, but a slip of the finger had better be seen.
    fn name_chord(&mut self, open: &mut EditedLesson, text: &str) -> Reply {
        let reply = self.over_beat(open, |event| event.chord = some(text));
        let own = !text.is_empty() && text != "N.C." && text.parse::<ChordSymbol>().is_err();
        let text = format!("`{}` stands there as it is written: no chord is known by that name", quoted(text));
        if own && reply.notice.is_none() { Reply::say(Notice::note(text)) } else { reply }
    }

    fn repeat_times(&mut self, open: &mut EditedLesson, text: &str) -> Result<Reply, String> {
        let times = if text.is_empty() { 0 } else { read_number(text)? };
        if times == 1 {
            return Err("once is no repeat: 2 or more, or 0 for none".to_owned());
        }
        Ok(self.change_bar(open, |bar| bar.repeat_end = (times > 1).then_some(times)))
    }

    fn set_endings(&mut self, open: &mut EditedLesson, text: &str) -> Result<Reply, String> {
        let numbers = text.split([' ', ',', '.']).filter(|part| !part.is_empty());
        let mut endings = numbers.map(read_number).collect::<Result<Vec<u8>, String>>()?;
        endings.sort_unstable();
        endings.dedup();
        if endings.contains(&0) {
            return Err("endings are counted from 1".to_owned());
        }
        Ok(self.change_bar(open, |bar| bar.endings = endings))
    }

    fn place_anew(&mut self, open: &mut EditedLesson, setup: SetupId) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let lesson = open.lesson();
        let Some(to) = lesson.setup(setup) else { return Reply::say(Notice::note("that setup is gone")) };
        let new = match lesson.rig(to) {
            Ok(rig) => rig,
            Err(error) => return Reply::say(Notice::trouble(format!("{}: {error}", to.name))),
        };
        let done = format!("placed anew for {}", to.name);
        let mut result = match moved(passage, &rig_of(lesson, passage), &new) {
            Ok(result) => result,
            Err(error) => return Reply::say(Notice::trouble(error.to_string())),
        };
        result.passage.setup = Some(setup);
        let line = |remark: &Remark| {
            let bar = remark.spot.bar.map(|bar| format!("bar {bar}")).unwrap_or_default();
            ListLine { head: bar, text: remark.text.clone(), ..ListLine::default() }
        };
        let remarks: Vec<ListLine> = result.remarks.iter().map(line).collect();
        let place = LessonPlace::Passage(passage.id, Spot::WHOLE);
        let changed = open.change(Transaction::one(self.next.reason, result.edit()).at(place));
        let kept = changed.is_err() || remarks.is_empty();
        let list = (!kept).then(|| Overlay::List(ListBox::new("What could not be kept", remarks)));
        Reply { overlay: list, ..Reply::to_change(changed, done) }
    }

    /// Makes a passage of one empty bar that the segment plays; without a segment, in one of its own.
    fn begin_passage(
        &mut self,
        open: &mut EditedLesson,
        title: String,
        meter: Meter,
        tempo: Tempo,
    ) -> Result<Reply, String> {
        let (id, new) = (open.new_id(), open.new_id());
        let lesson = open.lesson();
        let setup = open.setup_at(self.segment).map(|setup| setup.id);
        let bars = vec![Bar::default()];
        let done = format!("\"{title}\" has one empty bar: digits put frets, l changes the length");
        let item = Passage { setup, meter, tempo, ..Passage::plain(id, title.clone(), bars) };
        let mut edits = vec![Edit::Passages(ListEdit::Insert { at: lesson.passages.len(), item })];
        let segment = self.segment.and_then(|id| lesson.segment(id)).cloned();
        edits.push(Edit::Segments(match segment {
            Some(mut segment) => {
                segment.passages.push(PassageUse::whole(id));
                ListEdit::Replace(segment)
            }
            None => {
                let mut segment = Segment::new(new, SegmentKind::Slowly, title, NEW_SEGMENT);
                segment.passages.push(PassageUse::whole(id));
                ListEdit::Insert { at: lesson.segments.len(), item: segment }
            }
        }));
        let place = LessonPlace::Passage(id, Spot::WHOLE);
        open.change(Transaction::new(Reason::AddPassage, edits).at(place)).map_err(|error| error.to_string())?;
        self.show_last();
        Ok(Reply::say(Notice::done(done)))
    }

    fn change_passage(&self, open: &mut EditedLesson, change: impl FnOnce(&mut Passage)) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let mut changed = passage.clone();
        change(&mut changed);
        if changed == *passage {
            return Reply::say(Notice::note("as it was"));
        }
        let place = LessonPlace::Passage(changed.id, Spot::WHOLE);
        let edit = Edit::Passages(ListEdit::Replace(changed));
        Reply::to_change(open.change(Transaction::one(self.next.reason, edit).at(place)), "passage changed")
    }

    fn change_bar(&mut self, open: &mut EditedLesson, change: impl FnOnce(&mut Bar)) -> Reply {
        self.try_make(open, |passage, slot| bars::change(passage, slot.bar, change).map(one))
    }

    fn over_beat(&mut self, open: &mut EditedLesson, change: impl FnOnce(&mut Event)) -> Reply {
        self.try_make(open, |passage, slot| {
            let changed = notes::change_event(passage, slot, |event| {
                change(event);
                Ok(())
            });
            changed.map(one)
        })
    }

    fn bend(&mut self, open: &mut EditedLesson, text: &str) -> Result<Reply, String> {
        let (before, rest) =
            text.strip_prefix("pre").map_or((false, text), |rest| (true, rest.trim_start_matches('-')));
        let released = ["release", "r"].iter().find_map(|word| rest.strip_suffix(word));
        let released = released.filter(|rest| rest.ends_with(|before: char| before == ' ' || before.is_ascii_digit()));
        let amount = released.unwrap_or(rest).trim();
        if amount.is_empty() {
            let any = BendAmount::FULL;
            let sorts = [
                Technique::Bend(any),
                Technique::BendRelease(any),
                Technique::PreBend(any),
                Technique::PreBendRelease(any),
            ];
            return Ok(self.take_off(open, &sorts));
        }
        let amount: BendAmount = read(amount)?;
        Ok(self.toggle(
            open,
            match (before, released.is_some()) {
                (false, false) => Technique::Bend(amount),
                (false, true) => Technique::BendRelease(amount),
                (true, false) => Technique::PreBend(amount),
                (true, true) => Technique::PreBendRelease(amount),
            },
        ))
    }

    fn grace(&mut self, open: &mut EditedLesson, text: &str) -> Result<Reply, String> {
        let Some(passage) = self.passage(open) else { return Ok(nothing_shown()) };
        let string = self.cursor.string;
        let last = rig_of(open.lesson(), passage).last_fret(string).unwrap_or(Fret::OPEN);
        let fret = |text: &str| {
            let fret = read_number(text).ok().and_then(Fret::new).filter(|fret| *fret <= last);
            fret.ok_or_else(|| format!("`{text}` is not a fret: 0 to {last}"))
        };
        let frets = text.split_whitespace().map(fret).collect::<Result<Vec<Fret>, String>>()?;
        let edit = notes::grace(passage, self.cursor.slot, string, &frets);
        Ok(self.attempt(open, edit.map(one)))
    }

    fn with_fret(
        &mut self,
        open: &mut EditedLesson,
        text: &str,
        technique: fn(Fret) -> Technique,
    ) -> Result<Reply, String> {
        if text.is_empty() {
            return Ok(self.take_off(open, &[technique(Fret::OPEN)]));
        }
        let fret = read_number(text).ok().and_then(Fret::new);
        let fret = fret.ok_or_else(|| format!("`{text}` is not a fret: 0 to {}", Fret::LAST))?;
        Ok(self.toggle(open, technique(fret)))
    }

    fn with_amount(
        &mut self,
        open: &mut EditedLesson,
        text: &str,
        technique: fn(BendAmount) -> Technique,
    ) -> Result<Reply, String> {
        if text.is_empty() {
            return Ok(self.take_off(open, &[technique(BendAmount::FULL)]));
        }
        let amount = read(text)?;
        Ok(self.toggle(open, technique(amount)))
    }

    fn take_off(&mut self, open: &mut EditedLesson, sorts: &[Technique]) -> Reply {
        let string = self.cursor.string;
        self.try_make(open, |passage, slot| notes::without(passage, slot, string, sorts).map(one))
    }
}

/// Reads how far to transpose. Errors: in words, what was expected.
fn read_semitones(text: &str) -> Result<i32, String> {
    let far = text.strip_prefix('+').unwrap_or(text).parse::<i32>().ok();
    let far = far.filter(|far| far.unsigned_abs() <= FARTHEST);
    let expected = format!("semitones from -{FARTHEST} to {FARTHEST}, such as 2 or -3");
    far.ok_or_else(|| format!("`{}` is not a number of {expected}", quoted(text)))
}

fn read<T: std::str::FromStr>(text: &str) -> Result<T, String>
where
    T::Err: std::fmt::Display,
{
    text.parse().map_err(|error: T::Err| error.to_string())
}

fn read_number(text: &str) -> Result<u8, String> {
    let number = text.bytes().all(|byte| byte.is_ascii_digit()).then(|| text.parse().ok()).flatten();
    number.ok_or_else(|| format!("`{text}` is not a number"))
}

fn some(text: &str) -> Option<String> {
    (!text.is_empty()).then(|| text.to_owned())
}
