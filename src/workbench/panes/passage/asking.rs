//! What is typed or chosen in a box for the passage, and what becomes of it.

use crate::instrument::hand::Finger;
use crate::instrument::neck::Fret;
use crate::lesson::document::{PassageUse, Segment, SegmentKind};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::SetupId;
use crate::lesson::music::{Bar, BendAmount, Event, Feel, Join, Note, Passage, Stroke, Technique};
use crate::lesson::phrase::bars::{self, frame_at};
use crate::lesson::phrase::notes;
use crate::lesson::place::{Place, Spot};
use crate::lesson::placing::moved::moved;
use crate::lesson::time::{Length, Meter, Tempo, VideoLength};
use crate::text::quote::quoted;
use crate::theory::key::Key;
use crate::theory::symbol::ChordSymbol;
use crate::workbench::boxes::overlay::{ChoiceBox, EntryBox, ListBox, ListLine, Overlay, Pick, Subject};
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::passage::cursor::nothing_shown;
use crate::workbench::panes::passage::pane::{PassagePane, rig_of};
use crate::workbench::panes::passage::writing::{one, refuse};

/// How long a segment is planned that was made for a passage.
const NEW_SEGMENT: VideoLength = VideoLength::from_seconds(60);

/// What a typed line is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Question {
    /// The title of a new passage.
    NewTitle,
    /// Its meter.
    NewMeter {
        /// The title.
        title: String,
    },
    /// Its tempo.
    NewTempo {
        /// The title.
        title: String,
        /// The meter.
        meter: Meter,
    },
    /// Another title.
    Title,
    /// A length.
    Length,
    /// How far a bend goes, and which way.
    Bend,
    /// The other fret of a trill.
    Trill,
    /// The fret a harmonic is touched over.
    TouchedHarmonic,
    /// The fret a harmonic is tapped over.
    TappedHarmonic,
    /// How far the bar dips.
    Dip,
    /// How far the bar dives.
    Dive,
    /// Grace notes before the note.
    Grace,
    /// The finger that frets the note.
    Finger,
    /// The chord name over the beat.
    Chord,
    /// Words over the beat.
    Words,
    /// The meter from this bar on.
    Meter,
    /// The tempo from this bar on.
    Tempo,
    /// The key from this bar on.
    Key,
    /// How often a repeat that ends here is played.
    Times,
    /// The endings this bar belongs to.
    Endings,
    /// How far to transpose.
    Semitones,
}

/// The farthest that music is transposed at once, in semitones: three octaves. Our own setting.
const FARTHEST: u32 = 36;

/// What taking a line of a list means for the passage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PassagePick {
    /// A join on the note, or off.
    Join(Join),
    /// A technique on the note, or off.
    Technique(Technique),
    /// A stroke on the beat, or none.
    Stroke(Option<Stroke>),
    /// Something has to be typed first.
    Ask(Question),
    /// A repeat begins at this bar, or no longer.
    RepeatStart,
    /// The bar is a pickup, or no longer.
    Pickup,
    /// How even the passage is played.
    Feel(Feel),
    /// Place the passage anew in this setup.
    Setup(SetupId),
}

impl Question {
    /// Returns a box that asks it, with what is there already.
    pub fn entry(self, text: String) -> EntryBox {
        let (title, advice) = match &self {
            Self::NewTitle => ("Title of the new passage", "It gets one empty bar, and this segment plays it."),
            Self::NewMeter { .. } => ("Meter", "Beats over their length, as in 4/4 or 6/8."),
            Self::NewTempo { .. } => ("Tempo", "What is counted and how often a minute, as in 1/4=92 or 1/4.=60."),
            Self::Title => ("Title of the passage", "It stands over the tab."),
            Self::Length => ("Length", "As in 1/4, 1/8. with a dot, 1/8 3:2 in a triplet, 1/16 5:4 in five for four."),
            Self::Bend => (
                "Bend",
                "Whole steps, as in 1/2, 1 or 1 1/2, or half and full; `1 r` lets it down again, `pre 1` is bent first. Nothing: no bend.",
            ),
            Self::Trill => ("Trill with which fret?", "The other fret of the trill. Nothing: no trill."),
            Self::TouchedHarmonic | Self::TappedHarmonic => {
                ("Over which fret?", "Twelve above the note gives the octave. Nothing: no harmonic.")
            }
            Self::Dip | Self::Dive => ("How far?", "Whole steps, as in 1/2, 1 or 2. Nothing: not at all."),
            Self::Grace => {
                ("Grace notes before this one", "Their frets on this string, as in 5, or 5 7 for two. Nothing: none.")
            }
            Self::Finger => {
                ("Which finger frets it?", "1 to 4 from the index finger, T for the thumb. Nothing: not said.")
            }
            Self::Chord => ("Chord name over this beat", "As in Am7 or C/E. Nothing: no name."),
            Self::Words => ("Words over this beat", "As in let it breathe. Nothing: none."),
            Self::Meter => ("Meter from this bar on", "Up to the next bar that has another, as in 3/4."),
            Self::Tempo => ("Tempo from this bar on", "Up to the next bar that has another, as in 1/4=92."),
            Self::Key => ("Key from this bar on", "As it sounds: A, F# minor, Bbm."),
            Self::Times => ("How often is it played?", "2 is the usual repeat. 0 or nothing: no repeat ends here."),
            Self::Endings => ("Endings this bar belongs to", "As in 1, or 1 2 for both. Nothing: none."),
            Self::Semitones => (
                "Transpose by how many semitones?",
                "What is selected, or all that is shown: 2 up, -3 down, 12 an octave. Chord names go along.",
            ),
        };
        EntryBox::new(Subject::Passage(self), title, advice, text)
    }
}

impl PassagePane {
    /// Asks a question about what is under the cursor.
    pub(super) fn ask(&self, open: &EditedLesson, question: Question) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let text = self.now(passage, &question);
        Reply::ask(Overlay::Entry(question.entry(text)))
    }

    /// Asks for the chord name; without one, what is kept on the fretboard is offered.
    pub(super) fn ask_chord(&self, open: &EditedLesson, kept: Option<&str>) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let now = self.now(passage, &Question::Chord);
        let text = if now.is_empty() { kept.unwrap_or_default().to_owned() } else { now };
        Reply::ask(Overlay::Entry(Question::Chord.entry(text)))
    }

    /// Returns what holds now, to begin with.
    fn now(&self, passage: &Passage, question: &Question) -> String {
        let slot = self.cursor.slot;
        let event = slot.read(passage);
        let bar = passage.bars.get(slot.bar);
        let frame = frame_at(passage, slot.bar);
        let octave = || {
            let note = event.and_then(|event| event.notes.iter().find(|note| note.string == self.cursor.string));
            note.map(|note| (note.fret.number() + 12).to_string()).unwrap_or_default()
        };
        match question {
            Question::NewTitle | Question::Trill | Question::Semitones => String::new(),
            Question::NewMeter { .. } => Meter::COMMON.to_string(),
            Question::NewTempo { .. } => Tempo::USUAL.to_string(),
            Question::Title => passage.title.clone(),
            Question::Length => event.map_or(self.length, |event| event.length).to_string(),
            Question::Bend | Question::Dip | Question::Dive => "1".to_owned(),
            Question::TouchedHarmonic | Question::TappedHarmonic => octave(),
            Question::Grace => {
                let grace = event.map_or(&[][..], |event| &event.grace).iter();
                let here = grace.filter(|note| note.string == self.cursor.string);
                here.map(|note| note.fret.to_string()).collect::<Vec<_>>().join(" ")
            }
            Question::Finger => String::new(),
            Question::Chord => event.and_then(|event| event.chord.clone()).unwrap_or_default(),
            Question::Words => event.and_then(|event| event.text.clone()).unwrap_or_default(),
            Question::Meter => frame.meter.to_string(),
            Question::Tempo => frame.tempo.to_string(),
            Question::Key => frame.key.map(|key| key.to_string()).unwrap_or_default(),
            Question::Times => bar.and_then(|bar| bar.repeat_end).unwrap_or(2).to_string(),
            Question::Endings => {
                let endings = bar.map(|bar| bar.endings.iter().map(ToString::to_string).collect::<Vec<_>>());
                endings.unwrap_or_default().join(" ")
            }
        }
    }

    /// Takes what was typed. Errors: in words, what is wrong with it.
    pub fn answer(&mut self, open: &mut EditedLesson, question: Question, text: &str) -> Result<Reply, String> {
        let text = text.trim();
        self.reason = question.reason();
        match question {
            Question::NewTitle if text.is_empty() => Err("a passage needs a title".to_owned()),
            Question::NewTitle => {
                let next = Question::NewMeter { title: text.to_owned() };
                Ok(Reply::ask(Overlay::Entry(next.entry(Meter::COMMON.to_string()))))
            }
            Question::NewMeter { title } => {
                let next = Question::NewTempo { title, meter: read(text)? };
                Ok(Reply::ask(Overlay::Entry(next.entry(Tempo::USUAL.to_string()))))
            }
            Question::NewTempo { title, meter } => self.begin_passage(open, title, meter, read(text)?),
            Question::Title if text.is_empty() => Err("a passage needs a title".to_owned()),
            Question::Title => Ok(self.change_passage(open, |passage| passage.title = text.to_owned())),
            Question::Length => {
                let length: Length = read(text)?;
                Ok(self.change_length(open, |_| Ok(length)))
            }
            Question::Bend => self.bend(open, text),
            Question::Trill => self.with_fret(open, text, Technique::Trill),
            Question::TouchedHarmonic => self.with_fret(open, text, Technique::TouchedHarmonic),
            Question::TappedHarmonic => self.with_fret(open, text, Technique::TappedHarmonic),
            Question::Dip => self.with_amount(open, text, Technique::WhammyDip),
            Question::Dive => self.with_amount(open, text, Technique::WhammyDive),
            Question::Grace => self.grace(open, text),
            Question::Finger => {
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
            Question::Chord => {
                let reply = self.over_beat(open, |event| event.chord = some(text));
                // A name of one's own may stand there; a slip of the finger had better be seen.
                let own = !text.is_empty() && text != "N.C." && text.parse::<ChordSymbol>().is_err();
                let text = format!("`{}` stands there as it is written: no chord is known by that name", quoted(text));
                Ok(if own && reply.notice.is_none() { Reply::say(Notice::note(text)) } else { reply })
            }
            Question::Words => Ok(self.over_beat(open, |event| event.text = some(text))),
            Question::Meter => {
                let meter: Meter = read(text)?;
                Ok(self.try_make(open, |passage, slot| bars::set_meter(passage, slot.bar, meter).map(one)))
            }
            Question::Tempo => {
                let tempo: Tempo = read(text)?;
                Ok(self.try_make(open, |passage, slot| bars::set_tempo(passage, slot.bar, tempo).map(one)))
            }
            Question::Key => {
                let key: Key = read(text)?;
                Ok(self.try_make(open, |passage, slot| bars::set_key(passage, slot.bar, key).map(one)))
            }
            Question::Times => {
                let times = if text.is_empty() { 0 } else { read_number(text)? };
                if times == 1 {
                    return Err("once is no repeat: 2 or more, or 0 for none".to_owned());
                }
                Ok(self.change_bar(open, |bar| bar.repeat_end = (times > 1).then_some(times)))
            }
            Question::Endings => {
                let numbers = text.split([' ', ',', '.']).filter(|part| !part.is_empty());
                let mut endings = numbers.map(read_number).collect::<Result<Vec<u8>, String>>()?;
                endings.sort_unstable();
                endings.dedup();
                if endings.contains(&0) {
                    return Err("endings are counted from 1".to_owned());
                }
                Ok(self.change_bar(open, |bar| bar.endings = endings))
            }
            Question::Semitones => {
                let far = text.strip_prefix('+').unwrap_or(text).parse::<i32>().ok();
                let far = far.filter(|far| far.unsigned_abs() <= FARTHEST);
                let expected = format!("semitones from -{FARTHEST} to {FARTHEST}, such as 2 or -3");
                let far = far.ok_or_else(|| format!("`{}` is not a number of {expected}", quoted(text)))?;
                self.transpose(open, far)
            }
        }
    }

    /// Does what was chosen from a list.
    pub fn take(&mut self, open: &mut EditedLesson, pick: PassagePick) -> Reply {
        self.reason = pick.reason();
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

    /// Lists what a bar can begin and end with, and what belongs to the passage.
    pub(super) fn choose_bar(&self, open: &EditedLesson) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let at = self.cursor.slot.bar;
        let Some(bar) = passage.bars.get(at) else { return refuse(&crate::lesson::phrase::PhraseError::NoBar) };
        let frame = frame_at(passage, at);
        let now = |on: bool| if on { ", now on: takes it off" } else { "" };
        let key = frame.key.map_or_else(|| "none".to_owned(), |key| key.to_string());
        let ends = bar.repeat_end.map(|times| format!(", now {times} times")).unwrap_or_default();
        let lines = [
            (format!("meter from here on, now {}...", frame.meter), PassagePick::Ask(Question::Meter)),
            (format!("tempo from here on, now {}...", frame.tempo), PassagePick::Ask(Question::Tempo)),
            (format!("key from here on, now {key}..."), PassagePick::Ask(Question::Key)),
            (format!("a repeat begins here{}", now(bar.repeat_start)), PassagePick::RepeatStart),
            (format!("a repeat ends here{ends}..."), PassagePick::Ask(Question::Times)),
            ("endings...".to_owned(), PassagePick::Ask(Question::Endings)),
            (format!("a pickup, shorter on purpose{}", now(bar.pickup)), PassagePick::Pickup),
            ("the whole passage: played as written".to_owned(), PassagePick::Feel(Feel::Straight)),
            ("the whole passage: swung eighths".to_owned(), PassagePick::Feel(Feel::SwungEighths)),
            ("the whole passage: swung sixteenths".to_owned(), PassagePick::Feel(Feel::SwungSixteenths)),
            ("the whole passage: another title...".to_owned(), PassagePick::Ask(Question::Title)),
        ];
        Reply::ask(Overlay::Choice(ChoiceBox {
            title: format!("Bar {}", at + 1),
            advice: String::new(),
            lines: lines.into_iter().map(|(text, pick)| (text, Pick::Passage(pick))).collect(),
            selected: 0,
        }))
    }

    /// Lists the setups the passage could be placed in.
    pub(super) fn choose_setup(&self, open: &EditedLesson) -> Reply {
        let Some(passage) = self.passage(open) else { return nothing_shown() };
        let lesson = open.lesson();
        let now = lesson.passage_setup(passage).map(|setup| setup.id);
        let others = lesson.setups.iter().filter(|setup| Some(setup.id) != now);
        let lines: Vec<(String, Pick)> =
            others.map(|setup| (setup.name.clone(), Pick::Passage(PassagePick::Setup(setup.id)))).collect();
        if lines.is_empty() {
            return Reply::say(Notice::note("the lesson has no other setup: n in the timeline describes one"));
        }
        Reply::ask(Overlay::Choice(ChoiceBox {
            title: "Place the passage anew for".into(),
            advice: "Every note keeps its pitch where that can be played; what cannot is listed.".into(),
            lines,
            selected: 0,
        }))
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
        let line = |remark: &crate::lesson::placing::moved::Remark| {
            let bar = remark.spot.bar.map(|bar| format!("bar {bar}")).unwrap_or_default();
            ListLine { head: bar, text: remark.text.clone(), ..ListLine::default() }
        };
        let remarks: Vec<ListLine> = result.remarks.iter().map(line).collect();
        let place = Place::Passage(passage.id, Spot::WHOLE);
        let changed = open.change(Transaction::one(Reason::ChooseSetup, result.edit()).at(place));
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
        let place = Place::Passage(id, Spot::WHOLE);
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
        let place = Place::Passage(changed.id, Spot::WHOLE);
        let edit = Edit::Passages(ListEdit::Replace(changed));
        Reply::to_change(open.change(Transaction::one(self.reason, edit).at(place)), "passage changed")
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
