//! What stands in the panes, as scores to be heard: fingers, names and voicings as chords, passages and segments as
//! music.

use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::lesson::document::{Lesson, PassageUse};
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
use crate::workbench::library::item::LibraryItem;
use crate::workbench::panes::fretboard::grip::Grip;
use crate::workbench::panes::fretboard::pane::FretboardPane;
use crate::workbench::panes::readings::pane::ReadingsPane;
use crate::workbench::playback::playing::{Playback, Playing, SoundSubject, Unsure};

/// The silence between two chords that are compared.
const BETWEEN: Seconds = Seconds(0.2);

/// Why nothing is heard of a segment without a passage.
const NO_PASSAGE: &str = "this segment plays no passage: {Timeline(ChoosePassages)} in the timeline chooses one";

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

/// Shows in tab and on the fretboard what is heard.
pub(in crate::workbench) fn show_heard(desk: &mut Desk, playing: Option<&Playing>) {
    let mark = playing.and_then(Playing::mark).and_then(|mark| Some((mark.passage?, mark.bar?, mark.tick)));
    desk.passage.show_heard(&desk.lesson, mark);
    let lit = playing.map(|playing| heard_on(desk.fretboard.rig(), playing)).unwrap_or_default();
    desk.fretboard.light(lit);
}

/// Returns where the fingers are of what is heard; nothing where that is played on other strings.
fn heard_on(rig: &Rig, playing: &Playing) -> Vec<(StringNumber, Fret)> {
    let open = |string: StringNumber| rig.sounding(string, Fret::OPEN).ok().map(FinePitch::from);
    let strings = &playing.score.strings;
    let same = strings.len() == rig.strings().count()
        && rig.strings().zip(strings).all(|(string, sounding)| open(string) == Some(sounding.pitch));
    if !same {
        return Vec::new();
    }
    let places = playing.sounding().into_iter().filter_map(|note| {
        let string = StringNumber::at(note.string, strings.len())?;
        let by_pitch = || {
            let pitch = note.steady_pitch_after(playing.heard - note.start).0.round();
            rig.fret_for(string, MidiNote::new(pitch as u8)?)
        };
        // Bends move the pitch and not the finger, and a harmonic sounds elsewhere than it is touched.
        Some((string, playing.score.finger_of(note, playing.heard).or_else(by_pitch)?))
    });
    places.collect()
}

/// Returns whether a pane plays music rather than a chord.
pub(in crate::workbench) const fn plays_music(focus: Focus) -> bool {
    match focus {
        Focus::Timeline | Focus::Passage => true,
        Focus::Fretboard | Focus::Readings | Focus::Library => false,
    }
}

/// Returns what `action` plays of the pane in focus.
///
/// Errors: in words, why there is nothing to play.
pub(in crate::workbench) fn to_be_heard(
    desk: &Desk,
    action: SoundAction,
    playback: &Playback,
) -> Result<ToHear, String> {
    let (open, segment) = (&desk.lesson, desk.timeline.selected());
    match desk.focus {
        Focus::Timeline => {
            let segment = segment.ok_or("no segment is selected")?;
            return segment_music(open.lesson(), segment, desk.fretboard.rig(), playback);
        }
        Focus::Passage => {
            let from_here = action == SoundAction::Hear;
            let part = if from_here { desk.passage.part_to_hear(open) } else { desk.passage.whole_to_hear() };
            let (id, part) = part.ok_or(NO_PASSAGE)?;
            return passage_part(open.lesson(), id, part, playback);
        }
        Focus::Fretboard | Focus::Readings | Focus::Library => {}
    }
    let reference = open.setup_at(segment).and_then(|setup| setup.reference).unwrap_or(Hertz::STANDARD_PITCH);
    let chords = HeardChords { fretboard: &desk.fretboard, readings: &desk.readings, playback };
    let manner = manner_of(action, &desk.fretboard);
    let heard = if desk.focus == Focus::Readings && action != SoundAction::HearString {
        chords.reading(action, manner)
    } else if action == SoundAction::HearBoth {
        chords.both_slots()
    } else if desk.focus == Focus::Library {
        chords.voicing(desk.library.selected().ok_or("no voicing is selected")?, manner)
    } else {
        chords.fingers(manner)
    };
    Ok(ToHear { reference, ..heard? })
}

/// Returns how the chord is played that `action` has heard.
fn manner_of(action: SoundAction, fretboard: &FretboardPane) -> Manner {
    match action {
        SoundAction::HearUpward => Manner::StrumUp,
        SoundAction::HearSlowly => Manner::Slowly,
        SoundAction::HearBass => Manner::Bass,
        SoundAction::HearString => Manner::String(fretboard.cursor().0),
        SoundAction::Hear
        | SoundAction::HearBoth
        | SoundAction::Stop
        | SoundAction::Softer
        | SoundAction::Louder
        | SoundAction::Slower
        | SoundAction::Faster
        | SoundAction::TypeTempo
        | SoundAction::ToggleRound
        | SoundAction::ToggleDrone
        | SoundAction::ToggleUnsure
        | SoundAction::Choose => Manner::StrumDown,
    }
}

/// What chords are made of that are heard: the fingers, their names, and how they are listened to.
struct HeardChords<'a> {
    fretboard: &'a FretboardPane,
    readings: &'a ReadingsPane,
    playback: &'a Playback,
}

impl HeardChords<'_> {
    /// Returns the selected reading in root position, for both with the shape after it. Errors: in words, why there is
    /// none.
    fn reading(&self, action: SoundAction, manner: Manner) -> Result<ToHear, String> {
        let rig = self.fretboard.rig();
        let (name, plain) = self.plain_form(manner)?;
        let (words, score) = if action == SoundAction::HearBoth {
            let shape = self.fingers(Manner::StrumDown)?.score;
            ("in root position, then the shape", plain.then(&shape, BETWEEN))
        } else {
            ("in root position", plain)
        };
        Ok(ToHear::chord(format!("{name} {words}"), self.with_drone(score, Some(&name), rig), rig))
    }

    /// Returns a voicing of the library. Errors: in words, why nothing of it sounds.
    fn voicing(&self, item: &LibraryItem, manner: Manner) -> Result<ToHear, String> {
        let rig = item.rig().ok_or("its instrument, tuning and capo do not fit together")?;
        let doubts = &item.voicing.doubts;
        let doubt = |index: usize| doubts.get(index).copied().unwrap_or_default();
        let score = played(&rig, &item.voicing.shape, doubt, manner, self.playback);
        if score.notes.is_empty() {
            return Err(
                "its strings are muted, or unsure and not played: {Sound(ToggleUnsure)} plays them too".to_owned()
            );
        }
        let named = item.voicing.readings.first();
        Ok(ToHear::chord(item.name(), self.with_drone(score, named, &rig), &rig))
    }

    /// Returns what is on the fretboard. Errors: in words, why nothing of it sounds.
    fn fingers(&self, manner: Manner) -> Result<ToHear, String> {
        let (grip, rig) = (self.fretboard.grip(), self.fretboard.rig());
        if let Some(ghosts) = self.fretboard.ghosts() {
            let ghost = &ghosts.shown().shape;
            let score = played(rig, ghost, |_| Doubt::Sure, manner, self.playback);
            let named = self.readings.selected().map(|named| &named.reading.symbol);
            let name = format!("the suggestion {}", ghost.compact());
            return Ok(ToHear::chord(name, self.with_drone(score, named, rig), rig));
        }
        let strings = grip.shape.strings().len();
        let doubt =
            |index: usize| StringNumber::at(index, strings).map_or(Doubt::Sure, |string| self.fretboard.doubt(string));
        let score = played(rig, &grip.shape, doubt, manner, self.playback);
        if score.notes.is_empty() {
            return Err("nothing sounds: put fingers on the fretboard, or have unsure strings played with {Sound(ToggleUnsure)}".to_owned());
        }
        let reading = self.readings.selected().map(|named| named.reading.symbol.clone());
        let name =
            grip.names_on(rig).first().cloned().or_else(|| reading.clone()).unwrap_or_else(|| grip.shape.compact());
        Ok(ToHear::chord(name, self.with_drone(score, reading.as_ref(), rig), rig))
    }

    /// Returns slot A, then slot B. Errors: in words, which is empty.
    fn both_slots(&self) -> Result<ToHear, String> {
        let rig = self.fretboard.rig();
        let empty = "to compare two shapes by ear, put them into slots A and B first";
        let [a, b] = self.fretboard.slots().each_ref().map(|slot| slot.as_ref().ok_or(empty));
        let (a, b) = (a?, b?);
        let one = |grip: &Grip| {
            let doubt = |index: usize| grip.doubts.get(index).copied().unwrap_or_default();
            played(rig, &grip.shape, doubt, Manner::StrumDown, self.playback)
        };
        let name = format!("A: {}, then B: {}", a.shape.compact(), b.shape.compact());
        // Each may have a name of its own: only a bass that was stated is held under both.
        let score = self.with_drone(one(a).then(&one(b), BETWEEN), None, rig);
        Ok(ToHear::chord(name, score, rig))
    }

    /// Returns the name and the close position of the selected reading. Errors: in words, why there is none.
    fn plain_form(&self, manner: Manner) -> Result<(String, Score), String> {
        let named = self.readings.selected().ok_or("nothing sounds yet: put a finger on the fretboard")?;
        let symbol = &named.reading.symbol;
        let chord: ChordSymbol = symbol.parse().map_err(|_| format!("{symbol} has no root position"))?;
        let sounding = chord.moved(self.fretboard.rig().played_as().semitones(), None);
        Ok((symbol.clone(), plain_form(&sounding, manner)))
    }

    /// Holds a bass under `score` where that is wanted: the one that was stated, or that of the name, by which a shape
    /// on `rig` is called.
    fn with_drone(&self, score: Score, symbol: Option<&String>, rig: &Rig) -> Score {
        if !self.playback.drone {
            return score;
        }
        let shift = rig.played_as().semitones();
        let named = symbol.and_then(|symbol| symbol.parse::<ChordSymbol>().ok()).map(|chord| {
            let chord = chord.moved(shift, None);
            chord.bass().unwrap_or(chord.root()).pitch_class()
        });
        let stated: Option<PitchClass> = self.fretboard.grip().bass_on(rig).map(|bass| bass.pitch_class());
        match stated.or(named) {
            Some(bass) => over_a_drone(score, bass),
            None => score,
        }
    }
}

/// Returns part of a passage. Errors: in words, why it cannot be played.
pub(in crate::workbench) fn passage_part(
    lesson: &Lesson,
    id: PassageId,
    part: PassagePart,
    playback: &Playback,
) -> Result<ToHear, String> {
    let written = lesson.passage(id).ok_or("the passage is no longer in the lesson")?;
    let found = passage(lesson, written, part, playback.options()).map_err(|error| error.to_string())?;
    let sound = lesson
        .passage_rig(written)
        .map_or_else(|| sounds().first().map_or("", |sound| &sound.name), |rig| &sound_of(rig.instrument()).name);
    let name = format!("\"{}\"", written.title);
    Ok(ToHear { subject: SoundSubject::Passage(id, part), name, score: found.score, sound, reference: found.reference })
}

/// Returns the music of a segment; several passages sound as the instrument of `rig` does. Errors: in words, why there
/// is none.
pub(in crate::workbench) fn segment_music(
    lesson: &Lesson,
    id: SegmentId,
    rig: &Rig,
    playback: &Playback,
) -> Result<ToHear, String> {
    let played = lesson.segment(id).ok_or("the segment is no longer in the lesson")?;
    if played.passages.is_empty() {
        return Err(NO_PASSAGE.to_owned());
    }
    if let [used @ PassageUse { times: 1, slow_times: 0, .. }] = &played.passages[..] {
        let part = PassagePart { bars: used.bars, ..PassagePart::default() };
        return passage_part(lesson, used.passage, part, playback);
    }
    let found = segment(lesson, played, playback.options()).map_err(|error| error.to_string())?;
    let sound = &sound_of(rig.instrument()).name;
    let name = format!("the tab of \"{}\"", played.title);
    Ok(ToHear { subject: SoundSubject::Segment(id), name, score: found.score, sound, reference: found.reference })
}

/// Returns what the fingers play; strings in doubt only where they are let in.
fn played(rig: &Rig, held: &Shape, doubt: impl Fn(usize) -> Doubt, manner: Manner, playback: &Playback) -> Score {
    shape(rig, held, |index| playback.unsure == Unsure::In || doubt(index) == Doubt::Sure, manner)
}
