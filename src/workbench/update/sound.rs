//! Having heard what stands on the screen.

use std::sync::Arc;

use crate::instrument::catalogue;
use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::lesson::document::PassageUse;
use crate::lesson::seconds::Seconds;
use crate::sound::performance::passage::{Part, passage, segment};
use crate::sound::performance::shape::{Manner, over_a_drone, plain_form, shape};
use crate::sound::score::Score;
use crate::sound::sounds::{sound_of, sounds};
use crate::store::library::LibraryVoicing;
use crate::theory::pitch::{FinePitch, Hertz, MidiNote, PitchClass};
use crate::theory::reading::Doubt;
use crate::theory::symbol::ChordSymbol;
use crate::workbench::boxes::overlay::{ChoiceBox, EntryBox, Overlay, Pick, Subject};
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::keys::action::{Focus, SoundAction};
use crate::workbench::messages::effect::{Effect, SoundEffect};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::playback::playing::{Asked, Listening, Playing, SoundOrder, UNHEARD, Unsure};
use crate::workbench::state::State;

/// The silence between two chords that are compared.
const BETWEEN: Seconds = Seconds(0.2);

/// What is said before anything is heard for the first time. The limit is that of ITU-T H.870.
const CAUTION: &str = "ears: begin softly, F3 is softer and F4 louder; 80 dB for 40 hours a week is the most that ITU-T \
                       H.870 allows, and no program can measure it for you";

const NO_PASSAGE: &str = "this segment plays no passage: m in the timeline chooses one";

/// Something to be heard.
struct Heard {
    asked: Asked,
    name: String,
    score: Score,
    sound: &'static str,
    reference: Hertz,
}

impl Heard {
    fn chord(name: String, score: Score, rig: &Rig) -> Self {
        Self {
            asked: Asked::Chord,
            name,
            score,
            sound: &sound_of(rig.instrument()).name,
            reference: Hertz::STANDARD_PITCH,
        }
    }
}

/// Does what was asked of the ear.
pub fn act(state: &mut State, action: SoundAction) -> Reply {
    let State { view, listening, .. } = state;
    let crate::workbench::state::View::Desk(desk) = view else { return Reply::nothing() };
    match action {
        SoundAction::Hear if listening.plays_music() && desk.focus_plays_music() => stop(listening),
        SoundAction::Stop => stop(listening),
        SoundAction::Hear
        | SoundAction::HearUpward
        | SoundAction::HearSlowly
        | SoundAction::HearBass
        | SoundAction::HearString
        | SoundAction::HearBoth => match desk.to_be_heard(action, listening) {
            Ok(heard) => start(listening, heard),
            Err(why) => Reply::say(Notice::note(why)),
        },
        SoundAction::Softer | SoundAction::Louder => {
            listening.change_volume(action == SoundAction::Louder);
            let text = format!("volume {} %", listening.settings.volume);
            Reply {
                notice: Some(Notice::note(text)),
                ..Reply::want(SoundEffect::KeepSettings(listening.settings.clone()))
            }
        }
        SoundAction::Slower | SoundAction::Faster => {
            listening.change_tempo(action == SoundAction::Faster);
            again(desk, listening, format!("{} % of the written tempo", listening.percent))
        }
        SoundAction::TypeTempo => Reply::ask(Overlay::Entry(EntryBox::new(
            Subject::ListeningTempo,
            "How fast music is played",
            "In per cent of the written tempo, 25 to 150.",
            listening.percent.to_string(),
        ))),
        SoundAction::ToggleRound => {
            listening.round = !listening.round;
            let text = if listening.round { "music goes round and round" } else { "music is played once" };
            again(desk, listening, text.to_owned())
        }
        SoundAction::ToggleDrone => {
            listening.drone = !listening.drone;
            let text = if listening.drone { "a bass note is held under chords" } else { "no bass note under chords" };
            Reply::say(Notice::note(text))
        }
        SoundAction::ToggleUnsure => {
            listening.unsure = if listening.unsure == Unsure::In { Unsure::Out } else { Unsure::In };
            Reply::say(Notice::note(match listening.unsure {
                Unsure::In => "doubtful strings are heard",
                Unsure::Out => "doubtful strings are left out",
            }))
        }
        SoundAction::Choose => Reply::ask(Overlay::Choice(choices(listening))),
    }
}

fn stop(listening: &mut Listening) -> Reply {
    listening.playing = None;
    Reply::want(SoundEffect::Stop)
}

/// Plays what is to be heard. The first time ever, a word about ears is said.
fn start(listening: &mut Listening, heard: Heard) -> Reply {
    let order = listening.order(Arc::new(heard.score), heard.sound, heard.reference);
    let score = Arc::clone(&order.score);
    // Chords are compared, not repeated.
    let order = SoundOrder { span: order.span.filter(|_| heard.asked != Asked::Chord), ..order };
    let is_chord = heard.asked == Asked::Chord;
    let notice = if listening.settings.warned {
        // Music says it at the foot as long as it plays.
        let unheard = if listening.silent { UNHEARD } else { "" };
        is_chord.then(|| Notice::note(format!("{}{unheard}", heard.name)))
    } else {
        listening.settings.warned = true;
        Some(Notice::note(CAUTION))
    };
    listening.playing = Some(Playing { asked: heard.asked, name: heard.name, score, heard: Seconds::ZERO });
    Reply { notice, ..Reply::want(SoundEffect::Play(Box::new(order), listening.settings.clone())) }
}

/// Plays the music that plays already in another way from where it is; says what has changed.
pub fn again(desk: &Desk, listening: &mut Listening, text: String) -> Reply {
    let Some(playing) = listening.playing.clone() else { return Reply::say(Notice::note(text)) };
    let heard = match playing.asked {
        Asked::Chord => return Reply::say(Notice::note(text)),
        Asked::Passage(id, part) => desk.passage_part(id, part, listening),
        Asked::Segment(id) => desk.segment_music(id, listening),
    };
    let Ok(heard) = heard else { return Reply::say(Notice::note(text)) };
    let at = playing.score.marks.partition_point(|mark| mark.at <= playing.heard).saturating_sub(1);
    // The count-in may have come or gone: marks are matched from the end.
    let from_end = playing.score.marks.len().saturating_sub(at);
    let marks = &heard.score.marks;
    let from = marks.len().checked_sub(from_end).and_then(|at| marks.get(at)).map_or(Seconds::ZERO, |mark| mark.at);
    let mut reply = start(listening, heard);
    if let Some(Effect::Sound(SoundEffect::Play(order, _))) = &mut reply.effect {
        order.from = from;
    }
    if let Some(playing) = &mut listening.playing {
        playing.heard = from;
    }
    Reply { notice: Some(Notice::note(text)), ..reply }
}

/// What can be chosen for all that is played.
fn choices(listening: &Listening) -> ChoiceBox {
    let mark = |is: bool, text: &str| format!("{} {text}", if is { "[x]" } else { "[ ]" });
    let chosen = listening.settings.sound.trim();
    let mut lines = vec![
        (mark(listening.click, "a click with the music"), Pick::Listening(Choice::Click)),
        (mark(listening.count_in, "a bar counted in"), Pick::Listening(Choice::CountIn)),
        (mark(chosen.is_empty(), "the sound of the instrument itself"), Pick::Listening(Choice::Sound(None))),
    ];
    lines.extend(sounds().iter().enumerate().map(|(place, sound)| {
        let text = mark(chosen == sound.name, &format!("everything as {}", sound.name));
        (text, Pick::Listening(Choice::Sound(Some(place))))
    }));
    lines.push(("another sound device...".to_owned(), Pick::Listening(Choice::Device)));
    let round = if listening.round { "round and round" } else { "once" };
    let advice = format!("At {} % of the tempo, {round}; volume {} %.", listening.percent, listening.settings.volume);
    ChoiceBox { title: "How it is heard".into(), advice, lines, selected: 0 }
}

/// Plays music that plays in the tempo that was typed.
pub fn change_tempo(state: &mut State) -> Reply {
    let State { view, listening, .. } = state;
    let crate::workbench::state::View::Desk(desk) = view else { return Reply::nothing() };
    let text = format!("{} % of the written tempo", listening.percent);
    again(desk, listening, text)
}

/// Something chosen for all that is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choice {
    /// A click, or no longer.
    Click,
    /// A bar counted in, or no longer.
    CountIn,
    /// A sound, by its place in the table; `None` for that of the instrument.
    Sound(Option<usize>),
    /// Which sound device.
    Device,
}

/// Offers the sound devices that were found.
pub fn offer_devices(state: &State, found: Result<Vec<(String, String)>, String>) -> Reply {
    let found = match found {
        Ok(found) => found,
        Err(why) => return Reply::say(Notice::trouble(why)),
    };
    // Something else may have been asked meanwhile.
    if state.overlay.is_some() {
        return Reply::nothing();
    }
    let now = &state.listening.settings.device;
    let selected = found.iter().position(|(name, _)| name == now).map_or(0, |place| place + 1);
    let usual = ("the one that the system uses".to_owned(), Pick::Device(String::new()));
    let lines = std::iter::once(usual).chain(found.into_iter().map(|(name, label)| (label, Pick::Device(name))));
    let (title, lines) = ("The sound device".to_owned(), lines.collect());
    Reply::ask(Overlay::Choice(ChoiceBox { title, advice: String::new(), lines, selected }))
}

/// Has everything heard on another device from now on.
pub fn choose_device(state: &mut State, name: String) -> Reply {
    state.listening.settings.device = name;
    state.listening.playing = None;
    Reply {
        notice: Some(Notice::note("what is played next goes to that device")),
        ..Reply::want(SoundEffect::KeepSettings(state.listening.settings.clone()))
    }
}

/// Takes what was chosen.
pub fn choose(state: &mut State, choice: Choice) -> Reply {
    let State { view, listening, .. } = state;
    let crate::workbench::state::View::Desk(desk) = view else { return Reply::nothing() };
    let text = match choice {
        Choice::Click => {
            listening.click = !listening.click;
            if listening.click { "a click with the music".to_owned() } else { "no click".to_owned() }
        }
        Choice::CountIn => {
            listening.count_in = !listening.count_in;
            if listening.count_in { "a bar is counted in".to_owned() } else { "no bar is counted in".to_owned() }
        }
        Choice::Device => {
            let notice = Some(Notice::note("asking for the sound devices..."));
            return Reply { notice, ..Reply::want(SoundEffect::SeekDevices) };
        }
        Choice::Sound(place) => {
            let name = place.and_then(|place| sounds().get(place)).map(|sound| sound.name.clone());
            listening.settings.sound = name.clone().unwrap_or_default();
            let text = name.map_or_else(|| "each instrument sounds as itself".to_owned(), |name| format!("as {name}"));
            let keep = SoundEffect::KeepSettings(listening.settings.clone());
            return Reply { notice: Some(Notice::note(text)), ..Reply::want(keep) };
        }
    };
    again(desk, listening, text)
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

    /// Whether the pane in focus plays music rather than a chord.
    fn focus_plays_music(&self) -> bool {
        matches!(self.focus, Focus::Timeline | Focus::Passage)
    }

    /// Returns what `action` has heard. Errors: in words, why there is nothing.
    fn to_be_heard(&self, action: SoundAction, listening: &Listening) -> Result<Heard, String> {
        if self.focus_plays_music() {
            return self.music(action, listening);
        }
        let setup = self.lesson.setup_at(self.timeline.selected());
        let reference = setup.and_then(|setup| setup.reference).unwrap_or(Hertz::STANDARD_PITCH);
        Ok(Heard { reference, ..self.chord(action, listening)? })
    }

    fn chord(&self, action: SoundAction, listening: &Listening) -> Result<Heard, String> {
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
                    let shape = self.fingers(Manner::StrumDown, listening)?.score;
                    ("in root position, then the shape", plain.then(&shape, BETWEEN))
                } else {
                    ("in root position", plain)
                };
                Ok(Heard::chord(format!("{name} {words}"), self.with_drone(score, listening, Some(&name), rig), rig))
            }
            _ if action == SoundAction::HearBoth => self.both_slots(listening),
            Focus::Library => {
                let item = self.library.selected().ok_or("no voicing is selected")?;
                let rig = rig_of(&item.voicing).ok_or("its instrument, tuning and capo do not fit together")?;
                let doubts = &item.voicing.doubts;
                let doubt = |index: usize| doubts.get(index).copied().unwrap_or_default();
                let score = played(&rig, &item.voicing.shape, doubt, manner, listening);
                if score.notes.is_empty() {
                    return Err("nothing of it sounds on the strings that are let in".to_owned());
                }
                let named = item.voicing.readings.first();
                Ok(Heard::chord(item.name(), self.with_drone(score, listening, named, &rig), &rig))
            }
            _ => self.fingers(manner, listening),
        }
    }

    /// What is on the fretboard.
    fn fingers(&self, manner: Manner, listening: &Listening) -> Result<Heard, String> {
        let (grip, rig) = (self.fretboard.grip(), self.fretboard.rig());
        if let Some(ghosts) = self.fretboard.ghosts() {
            let ghost = &ghosts.shown().shape;
            let score = played(rig, ghost, |_| Doubt::Sure, manner, listening);
            let named = self.readings.selected().map(|named| &named.reading.symbol);
            let name = format!("the ghost {}", ghost.compact());
            return Ok(Heard::chord(name, self.with_drone(score, listening, named, rig), rig));
        }
        let strings = grip.shape.strings().len();
        let doubt =
            |index: usize| StringNumber::at(index, strings).map_or(Doubt::Sure, |string| self.fretboard.doubt(string));
        let score = played(rig, &grip.shape, doubt, manner, listening);
        if score.notes.is_empty() {
            return Err("nothing sounds: put fingers on the fretboard, or let doubtful strings in".to_owned());
        }
        let reading = self.readings.selected().map(|named| named.reading.symbol.clone());
        let name = grip.kept.first().cloned().or_else(|| reading.clone()).unwrap_or_else(|| grip.shape.compact());
        Ok(Heard::chord(name, self.with_drone(score, listening, reading.as_ref(), rig), rig))
    }

    /// Slot A, then slot B.
    fn both_slots(&self, listening: &Listening) -> Result<Heard, String> {
        let rig = self.fretboard.rig();
        let empty = "to hear one shape against another, put them into slots A and B first";
        let [a, b] = self.fretboard.slots().each_ref().map(|slot| slot.as_ref().ok_or(empty));
        let (a, b) = (a?, b?);
        let one = |grip: &crate::workbench::panes::fretboard::pane::Grip| {
            let doubt = |index: usize| grip.doubts.get(index).copied().unwrap_or_default();
            played(rig, &grip.shape, doubt, Manner::StrumDown, listening)
        };
        let name = format!("A: {}, then B: {}", a.shape.compact(), b.shape.compact());
        // Each may have a name of its own: only a bass that was stated is held under both.
        let score = self.with_drone(one(a).then(&one(b), BETWEEN), listening, None, rig);
        Ok(Heard::chord(name, score, rig))
    }

    /// The selected reading in close position.
    fn plain_form(&self, manner: Manner) -> Result<(String, Score), String> {
        let named = self.readings.selected().ok_or("nothing sounds yet: put a finger on the fretboard")?;
        let symbol = &named.reading.symbol;
        let chord: ChordSymbol = symbol.parse().map_err(|_| format!("{symbol} is no chord with a root position"))?;
        let sounding = chord.moved(self.fretboard.rig().played_as().semitones(), None);
        Ok((symbol.clone(), plain_form(&sounding, manner)))
    }

    /// Holds a bass under `score` where that is wanted: the one that was stated, or that of the name, by which a shape
    /// on `rig` is called.
    fn with_drone(&self, score: Score, listening: &Listening, symbol: Option<&String>, rig: &Rig) -> Score {
        if !listening.drone {
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

    fn music(&self, action: SoundAction, listening: &Listening) -> Result<Heard, String> {
        if self.focus == Focus::Timeline {
            let segment = self.timeline.selected().ok_or("no segment is selected")?;
            return self.segment_music(segment, listening);
        }
        let (id, part) = match action {
            SoundAction::Hear => self.passage.part_to_hear(&self.lesson),
            _ => self.passage.whole_to_hear(),
        }
        .ok_or(NO_PASSAGE)?;
        self.passage_part(id, part, listening)
    }

    fn passage_part(
        &self,
        id: crate::lesson::id::PassageId,
        part: Part,
        listening: &Listening,
    ) -> Result<Heard, String> {
        let lesson = self.lesson.lesson();
        let written = lesson.passage(id).ok_or("the passage is gone")?;
        let found = passage(lesson, written, part, listening.options()).map_err(|error| error.to_string())?;
        let sound = lesson
            .passage_rig(written)
            .map_or_else(|| sounds().first().map_or("", |sound| &sound.name), |rig| &sound_of(rig.instrument()).name);
        let name = format!("\"{}\"", written.title);
        Ok(Heard { asked: Asked::Passage(id, part), name, score: found.score, sound, reference: found.reference })
    }

    fn segment_music(&self, id: crate::lesson::id::SegmentId, listening: &Listening) -> Result<Heard, String> {
        let lesson = self.lesson.lesson();
        let played = lesson.segment(id).ok_or("the segment is gone")?;
        if played.passages.is_empty() {
            return Err(NO_PASSAGE.to_owned());
        }
        if let [used @ PassageUse { times: 1, slow_times: 0, .. }] = &played.passages[..] {
            return self.passage_part(used.passage, Part { bars: used.bars, ..Part::default() }, listening);
        }
        let found = segment(lesson, played, listening.options()).map_err(|error| error.to_string())?;
        let sound = &sound_of(self.fretboard.rig().instrument()).name;
        let name = format!("the music of \"{}\"", played.title);
        Ok(Heard { asked: Asked::Segment(id), name, score: found.score, sound, reference: found.reference })
    }
}

fn played(rig: &Rig, held: &Shape, doubt: impl Fn(usize) -> Doubt, manner: Manner, listening: &Listening) -> Score {
    shape(rig, held, |index| listening.unsure == Unsure::In || doubt(index) == Doubt::Sure, manner)
}

/// What a voicing of the library is played on.
pub(in crate::workbench) fn rig_of(voicing: &LibraryVoicing) -> Option<Rig> {
    let known = catalogue::instrument_named(&voicing.instrument).unwrap_or_else(|_| catalogue::guitar());
    Rig::new(known.instrument.clone(), voicing.tuning.clone(), voicing.capo.clone()).ok()
}
