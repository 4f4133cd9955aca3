//! What becomes of what was typed or picked in a box for the passage.

use crate::instrument::neck::Fret;
use crate::lesson::music::{Bar, Passage, Technique};
use crate::lesson::phrase::bars::{self, frame_at};
use crate::lesson::time::{Length, Meter};
use crate::theory::key::Key;
use crate::theory::reading::Lowest;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::asking::ask;
use crate::workbench::panes::passage::at_cursor::nothing_shown;
use crate::workbench::panes::passage::chord_names;
use crate::workbench::panes::passage::pane::PassagePane;
use crate::workbench::panes::passage::playing;
use crate::workbench::panes::passage::question_words::entry;
use crate::workbench::panes::passage::reasons::{reason_of_answer, reason_of_pick};
use crate::workbench::panes::passage::retuning;
use crate::workbench::panes::passage::typed_answers::{self as typed, OnOrOff, read, some};
use crate::workbench::panes::passage::typed_lengths;
use crate::workbench::panes::passage::typed_name::TypedName;
use crate::workbench::panes::passage::writing::{self, one};
use crate::workbench::panes::passage::written_next::{AskedBy, WrittenNext};
use crate::workbench::panes::passage::{whole_bars, whole_passage};
use crate::workbench::questions::passage::{PassagePick, PassageQuestion};
use crate::workbench::questions::question::Insistence;

impl PassagePane {
    /// Takes what was typed as the answer to a question. Errors: in words, what is wrong with it; what is no chord symbol is
    /// refused once.
    pub fn answer(
        &mut self,
        open: &mut EditedLesson,
        question: PassageQuestion,
        (text, insistence): (&str, Insistence),
    ) -> Result<PaneReply, String> {
        use PassageQuestion as Q;
        let text = text.trim();
        (self.next.reason, self.next.asked) = (reason_of_answer(&question), AskedBy::Answer);
        match question {
            Q::NewTitle | Q::Title if text.is_empty() => Err("a passage needs a title".to_owned()),
            Q::NewTitle => {
                let next = Q::NewMeter { title: text.to_owned() };
                let meter =
                    whole_passage::usual(open.lesson(), self.shown.segment).map_or(Meter::COMMON, |(meter, _)| meter);
                Ok(PaneReply::ask(Overlay::Entry(entry(next, meter.to_string()))))
            }
            Q::NewMeter { title } => {
                let meter = read(text)?;
                let usual =
                    whole_passage::usual(open.lesson(), self.shown.segment).filter(|(known, _)| *known == meter);
                let tempo = usual.map_or_else(|| typed::usual_tempo(meter), |(_, tempo)| tempo).to_string();
                Ok(PaneReply::ask(Overlay::Entry(entry(Q::NewTempo { title, meter }, tempo))))
            }
            Q::NewTempo { title, meter } => {
                let done = format!(
                    "\"{title}\" has one empty bar: digits put frets, {{Passage(TypeLength)}} changes the length"
                );
                let tempo = typed::tempo(text, typed::usual_beat(meter))?;
                whole_passage::begin(open, self.shown.segment, title, meter, tempo)?;
                self.next.length = WrittenNext::default().length;
                self.show(self.shown.segment, usize::MAX); // The one that was added last.
                Ok(PaneReply::say(Notice::done(done)))
            }
            Q::Title => {
                let retitle = |passage: &mut Passage| passage.title = text.to_owned();
                Ok(whole_passage::change(open, self.shown.id(), self.next.reason, retitle))
            }
            Q::Length => {
                let length = typed_lengths::length(text)?;
                Ok(self.change_length(open, |_| Ok(length)))
            }
            Q::Bend => Ok(self.put_on_or_off(open, typed::bend(text)?)),
            Q::Trill => Ok(self.put_on_or_off(open, typed::with_fret(text, Technique::Trill)?)),
            Q::TouchedHarmonic => Ok(self.put_on_or_off(open, typed::with_fret(text, Technique::ArtificialHarmonic)?)),
            Q::TappedHarmonic => Ok(self.put_on_or_off(open, typed::with_fret(text, Technique::TappedHarmonic)?)),
            Q::Dip => Ok(self.put_on_or_off(open, typed::with_amount(text, Technique::TremoloBarDip)?)),
            Q::Dive => Ok(self.put_on_or_off(open, typed::with_amount(text, Technique::TremoloBarDive)?)),
            Q::Grace => {
                let Some(here) = self.here(open.lesson()) else { return Ok(nothing_shown()) };
                let frets = typed::graces(text, here.rig().last_fret(here.string()).unwrap_or(Fret::OPEN))?;
                Ok(self.attempt(open, |here| playing::put_graces(here, &frets)))
            }
            Q::Finger => {
                let finger = typed::finger(text)?;
                Ok(self.write(open, |here| writing::change_note(here, |note| note.finger = finger)))
            }
            Q::Chord => {
                let here = self.here(open.lesson());
                let lowest = here.as_ref().map_or(Lowest::Bass, |here| here.rig().lowest_is());
                let over_rest = here.is_some_and(|here| here.event().is_none());
                let name = TypedName::read(text, lowest, insistence)?;
                let reply = self.write(open, |here| writing::over_place(here, |event| name.write(event)));
                let said = name.said(over_rest).filter(|_| reply.notice.is_none());
                Ok(said.map_or(reply, PaneReply::say))
            }
            Q::Words => Ok(self.write(open, |here| writing::over_place(here, |event| event.text = some(text)))),
            Q::Meter => {
                let meter: Meter = read(text)?;
                Ok(self
                    .write(open, |here| Ok(here.staying(one(bars::set_meter(here.passage, here.slot().bar, meter)?)))))
            }
            Q::Tempo => {
                let beat = self.here(open.lesson()).map(|here| frame_at(here.passage, here.slot().bar).tempo.beat());
                let tempo = typed::tempo(text, beat.unwrap_or(Length::QUARTER))?;
                Ok(self
                    .write(open, |here| Ok(here.staying(one(bars::set_tempo(here.passage, here.slot().bar, tempo)?)))))
            }
            Q::Key => {
                let key: Key = read(text)?;
                Ok(self.write(open, |here| Ok(here.staying(one(bars::set_key(here.passage, here.slot().bar, key)?)))))
            }
            Q::Times => {
                let times = typed::times(text)?;
                Ok(self.write(open, |here| writing::change_bar(here, |bar| bar.repeat_end = times)))
            }
            Q::Endings => {
                let endings = typed::endings(text)?;
                Ok(self.write(open, |here| writing::change_bar(here, |bar| bar.endings = endings)))
            }
            Q::Semitones => self.transpose(open, typed::semitones(text)?),
            Q::TabFile if text.is_empty() => Err("type the path of a file".to_owned()),
            Q::TabFile => Ok(PaneReply::want(FileEffect::ReadTab(text.into()))),
            Q::Tuning => retuning::take_typed(open, self.shown.id(), text),
            Q::PastedTab(tab) => self.add_tab(open, &tab, text, "untitled"),
        }
    }

    /// Does what was chosen from a list.
    pub fn take(&mut self, open: &mut EditedLesson, pick: PassagePick) -> PaneReply {
        (self.next.reason, self.next.asked) = (reason_of_pick(&pick), AskedBy::List);
        match pick {
            PassagePick::Join(join) => self.attempt(open, |here| playing::toggle_join(here, join)),
            PassagePick::Technique(technique) => self.attempt(open, |here| playing::toggle(here, technique)),
            PassagePick::Stroke(stroke) => self.attempt(open, |here| playing::stroke(here, stroke)),
            PassagePick::Ask(question) => {
                self.here(open.lesson()).map_or_else(nothing_shown, |here| ask(&here, question))
            }
            PassagePick::RepeatStart => {
                let said = self.here(open.lesson()).and_then(|here| whole_bars::words_of_repeat_start(&here));
                let switched = |bar: &mut Bar| bar.repeat_start = !bar.repeat_start;
                whole_bars::say(said, self.write(open, |here| writing::change_bar(here, switched)))
            }
            PassagePick::Pickup => {
                let said = self.here(open.lesson()).and_then(|here| whole_bars::words_of_pickup(&here));
                whole_bars::say(
                    said,
                    self.write(open, |here| writing::change_bar(here, |bar| bar.pickup = !bar.pickup)),
                )
            }
            PassagePick::Feel(feel) => {
                whole_passage::change(open, self.shown.id(), self.next.reason, |passage| passage.feel = feel)
            }
            PassagePick::Names(taken, left) => {
                chord_names::take(open, (self.shown.id(), &mut self.cursor), taken, left)
            }
            PassagePick::Delete => whole_passage::delete_or_ask(open, self.shown.id()),
            PassagePick::DeleteEverywhere(passage) => whole_passage::delete(open, Some(passage)),
            PassagePick::Tuning(tuning) => retuning::ask_what_stays(open, self.shown.id(), tuning),
            PassagePick::Retune(tuning, keeping, which, segments) => {
                let wanted = retuning::WantedRetuning { to: &tuning, keeping, which, segments };
                retuning::retune(open, self.shown.id(), wanted, self.next.reason)
            }
        }
    }

    /// Puts a technique on the note, or takes the very same off; or takes off all of some sorts.
    fn put_on_or_off(&mut self, open: &mut EditedLesson, technique: OnOrOff) -> PaneReply {
        match technique {
            OnOrOff::On(technique) => self.attempt(open, |here| playing::toggle(here, technique)),
            OnOrOff::Off(sorts) => self.write(open, |here| playing::take_off(here, &sorts)),
        }
    }

    /// Moves what is selected, or all that is shown, by semitones.
    fn transpose(&mut self, open: &mut EditedLesson, semitones: i32) -> Result<PaneReply, String> {
        let Some(here) = self.here(open.lesson()) else { return Ok(nothing_shown()) };
        let shifted = writing::transpose(&here, semitones).map_err(|error| error.to_string())?;
        let written = here.staying(shifted.edits);
        let reply = self.make(open, written);
        if reply.notice.is_some() {
            return Ok(reply);
        }
        let stay = match shifted.stay {
            0 => String::new(),
            count => format!("; {count} dead notes and natural harmonics stay"),
        };
        Ok(PaneReply::say(Notice::done(format!("transposed by {semitones:+} half steps{stay}"))))
    }
}
