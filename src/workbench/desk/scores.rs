//! What stands in the panes, as scores to be heard: fingers, names and voicings as chords, passages and segments as music.

use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::lesson::document::PassageUse;
use crate::lesson::id::{PassageId, SegmentId};
use crate::lesson::seconds::Seconds;
use crate::sound::performance::passage::{PassagePart, passage, segment};
use crate::sound::performance::shape::{Manner, over_a_drone, plain_form, shape};
use crate::sound::score::Score;
use crate::sound::sounds::{sound_of, sounds};
use crate::theory::pitch::{FinePitch, Hertz, MidiNote, PitchClass};
use crate::theory::reading::Doubt;
use crate::theory::symbol::ChordSymbol;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::keys::action::{Focus, SoundAction};
use crate::workbench::panes::fretboard::fingers::Grip;
use crate::workbench::playback::playing::{Playback, Playing, SoundSubject, Unsure};

/// The silence between two chords that are compared.
const BETWEEN: Seconds = Seconds(0.2);

/// Why nothing is heard of a segment without a passage.
const NO_PASSAGE: &str = "this segment plays no passage: m in the timeline chooses one";

/// Something to be heard.
pub(in crate::workbench) struct ToHear {
    /// What was asked for.
    pub subject: SoundSubject,
    /// What it is called.
    pub name: String,
    /// The music.
    pub score: Score,
    /// The name of the sound it is played with.
    pub sound: &'static str,
    /// What A4 sounds at.
    pub reference: Hertz,
}

impl ToHear {
    fn chord(name: String, score: Score, rig: &Rig) -> Self {
        Self {
            subject: SoundSubject::Chord,
            name,
            score,
            sound: &sound_of(rig.instrument()).name,
            reference: Hertz::STANDARD_PITCH,
        }
    }
}

impl Desk {
    /// Shows in tab and on the fretboard what is heard.
    pub(in crate::workbench) fn show_heard(&mut self, playing: Option<&Playing>) {
        let mark = playing.and_then(Playing::mark).and_then(|mark| Some((mark.passage?, mark.bar?, mark.tick)));
        self.passage.show_heard(&self.lesson, mark);
        let rig = self.fretboard.rig();
        let open = |string: StringNumber| rig.sounding(string, Fret::OPEN).ok().map(FinePitch::from);
        let same = |playing: &&Playing| {
            let strings = &playing.score.strings;
            strings.len() == rig.strings().count()
                && rig.strings().zip(strings).all(|(string, sounding)| open(string) == Some(sounding.pitch))
        };
        let lit = |playing: &Playing| {
            let places = playing.sounding().into_iter().filter_map(|note| {
                let string = StringNumber::at(note.string, playing.score.strings.len())?;
                let by_pitch = || {
                    let pitch = note.steady_pitch_after(playing.heard - note.start).0.round();
                    rig.fret_for(string, MidiNote::new(pitch as u8)?)
                };
                // Bends move the pitch and not the finger, and a harmonic sounds elsewhere than it is touched.
                Some((string, playing.score.finger_of(note, playing.heard).or_else(by_pitch)?))
            });
            places.collect()
        };
        let lit = playing.filter(same).map(lit).unwrap_or_default();
        self.fretboard.light(lit);
    }

    /// Returns whether the pane in focus plays music rather than a chord.
    pub(in crate::workbench) fn focus_plays_music(&self) -> bool {
        matches!(self.focus, Focus::Timeline | Focus::Passage)
    }

    /// Returns what `action` has heard. Errors: in words, why there is nothing.
    pub(in crate::workbench) fn to_be_heard(&self, action: SoundAction, playback: &Playback) -> Result<ToHear, String> {
        if self.focus_plays_music() {
            return self.music(action, playback);
        }
        let setup = self.lesson.setup_at(self.timeline.selected());
        let reference = setup.and_then(|setup| setup.reference).unwrap_or(Hertz::STANDARD_PITCH);
        Ok(ToHear { reference, ..self.chord(action, playback)? })
    }

    fn chord(&self, action: SoundAction, playback: &Playback) -> Result<ToHear, String> {
        let rig = self.fretboard.rig();
        let manner = match action {
            SoundAction::HearUpward => Manner::StrumUp,
            SoundAction::HearSlowly => Manner::Slowly,
            SoundAction::HearBass => Manner::Bass,
            SoundAction::HearString => Manner::String(self.fretboard.cursor().0),
            _ => Manner::StrumDown,
        };
        match self.focus {
            Focus::Readings if !matches!(action, SoundAction::HearString) => {
                let (name, plain) = self.plain_form(manner)?;
                let (words, score) = if action == SoundAction::HearBoth {
                    let shape = self.fingers(Manner::StrumDown, playback)?.score;
                    ("in root position, then the shape", plain.then(&shape, BETWEEN))
                } else {
                    ("in root position", plain)
                };
                Ok(ToHear::chord(format!("{name} {words}"), self.with_drone(score, playback, Some(&name), rig), rig))
            }
            _ if action == SoundAction::HearBoth => self.both_slots(playback),
            Focus::Library => {
                let item = self.library.selected().ok_or("no voicing is selected")?;
                let rig = item.rig().ok_or("its instrument, tuning and capo do not fit together")?;
                let doubts = &item.voicing.doubts;
                let doubt = |index: usize| doubts.get(index).copied().unwrap_or_default();
                let score = played(&rig, &item.voicing.shape, doubt, manner, playback);
                if score.notes.is_empty() {
                    return Err("nothing of it sounds on the strings that are let in".to_owned());
                }
                let named = item.voicing.readings.first();
                Ok(ToHear::chord(item.name(), self.with_drone(score, playback, named, &rig), &rig))
            }
            _ => self.fingers(manner, playback),
        }
    }

    /// Returns what is on the fretboard. Errors: in words, why nothing of it sounds.
    fn fingers(&self, manner: Manner, playback: &Playback) -> Result<ToHear, String> {
        let (grip, rig) = (self.fretboard.grip(), self.fretboard.rig());
        if let Some(ghosts) = self.fretboard.ghosts() {
            let ghost = &ghosts.shown().shape;
            let score = played(rig, ghost, |_| Doubt::Sure, manner, playback);
            let named = self.readings.selected().map(|named| &named.reading.symbol);
            let name = format!("the ghost {}", ghost.compact());
            return Ok(ToHear::chord(name, self.with_drone(score, playback, named, rig), rig));
        }
        let strings = grip.shape.strings().len();
        let doubt =
            |index: usize| StringNumber::at(index, strings).map_or(Doubt::Sure, |string| self.fretboard.doubt(string));
        let score = played(rig, &grip.shape, doubt, manner, playback);
        if score.notes.is_empty() {
            return Err("nothing sounds: put fingers on the fretboard, or let doubtful strings in".to_owned());
        }
        let reading = self.readings.selected().map(|named| named.reading.symbol.clone());
        let name = grip.kept.first().cloned().or_else(|| reading.clone()).unwrap_or_else(|| grip.shape.compact());
        Ok(ToHear::chord(name, self.with_drone(score, playback, reading.as_ref(), rig), rig))
    }

    /// Returns slot A, then slot B. Errors: in words, which is empty.
    fn both_slots(&self, playback: &Playback) -> Result<ToHear, String> {
        let rig = self.fretboard.rig();
        let empty = "to hear one shape against another, put them into slots A and B first";
        let [a, b] = self.fretboard.slots().each_ref().map(|slot| slot.as_ref().ok_or(empty));
        let (a, b) = (a?, b?);
        let one = |grip: &Grip| {
            let doubt = |index: usize| grip.doubts.get(index).copied().unwrap_or_default();
            played(rig, &grip.shape, doubt, Manner::StrumDown, playback)
        };
        let name = format!("A: {}, then B: {}", a.shape.compact(), b.shape.compact());
        // Each may have a name of its own: only a bass that was stated is held under both.
        let score = self.with_drone(one(a).then(&one(b), BETWEEN), playback, None, rig);
        Ok(ToHear::chord(name, score, rig))
    }

    /// Returns the name and the close position of the selected reading. Errors: in words, why there is none.
    fn plain_form(&self, manner: Manner) -> Result<(String, Score), String> {
        let named = self.readings.selected().ok_or("nothing sounds yet: put a finger on the fretboard")?;
        let symbol = &named.reading.symbol;
        let chord: ChordSymbol = symbol.parse().map_err(|_| format!("{symbol} is no chord with a root position"))?;
        let sounding = chord.moved(self.fretboard.rig().played_as().semitones(), None);
        Ok((symbol.clone(), plain_form(&sounding, manner)))
    }

    /// Holds a bass under `score` where that is wanted: the one that was stated, or that of the name, by which a shape
    /// on `rig` is called.
    fn with_drone(&self, score: Score, playback: &Playback, symbol: Option<&String>, rig: &Rig) -> Score {
        if !playback.drone {
            return score;
        }
        let shift = rig.played_as().semitones();
        let named = symbol.and_then(|symbol| symbol.parse::<ChordSymbol>().ok()).map(|chord| {
            let chord = chord.moved(shift, None);
            chord.bass().unwrap_or(chord.root()).pitch_class()
        });
        let stated: Option<PitchClass> = self.readings.stated_bass().map(|bass| bass.pitch_class());
        match stated.or(named) {
            Some(bass) => over_a_drone(score, bass),
            None => score,
        }
    }

    fn music(&self, action: SoundAction, playback: &Playback) -> Result<ToHear, String> {
        if self.focus == Focus::Timeline {
            let segment = self.timeline.selected().ok_or("no segment is selected")?;
            return self.segment_music(segment, playback);
        }
        let (id, part) = match action {
            SoundAction::Hear => self.passage.part_to_hear(&self.lesson),
            _ => self.passage.whole_to_hear(),
        }
        .ok_or(NO_PASSAGE)?;
        self.passage_part(id, part, playback)
    }

    /// Returns part of a passage. Errors: in words, why it cannot be played.
    pub(in crate::workbench) fn passage_part(
        &self,
        id: PassageId,
        part: PassagePart,
        playback: &Playback,
    ) -> Result<ToHear, String> {
        let lesson = self.lesson.lesson();
        let written = lesson.passage(id).ok_or("the passage is gone")?;
        let found = passage(lesson, written, part, playback.options()).map_err(|error| error.to_string())?;
        let sound = lesson
            .passage_rig(written)
            .map_or_else(|| sounds().first().map_or("", |sound| &sound.name), |rig| &sound_of(rig.instrument()).name);
        let name = format!("\"{}\"", written.title);
        Ok(ToHear {
            subject: SoundSubject::Passage(id, part),
            name,
            score: found.score,
            sound,
            reference: found.reference,
        })
    }

    /// Returns the music of a segment. Errors: in words, why there is none.
    pub(in crate::workbench) fn segment_music(&self, id: SegmentId, playback: &Playback) -> Result<ToHear, String> {
        let lesson = self.lesson.lesson();
        let played = lesson.segment(id).ok_or("the segment is gone")?;
        if played.passages.is_empty() {
            return Err(NO_PASSAGE.to_owned());
        }
        if let [used @ PassageUse { times: 1, slow_times: 0, .. }] = &played.passages[..] {
            return self.passage_part(
                used.passage,
                PassagePart { bars: used.bars, ..PassagePart::default() },
                playback,
            );
        }
        let found = segment(lesson, played, playback.options()).map_err(|error| error.to_string())?;
        let sound = &sound_of(self.fretboard.rig().instrument()).name;
        let name = format!("the music of \"{}\"", played.title);
        Ok(ToHear { subject: SoundSubject::Segment(id), name, score: found.score, sound, reference: found.reference })
    }
}

fn played(rig: &Rig, held: &Shape, doubt: impl Fn(usize) -> Doubt, manner: Manner, playback: &Playback) -> Score {
    shape(rig, held, |index| playback.unsure == Unsure::In || doubt(index) == Doubt::Sure, manner)
}
