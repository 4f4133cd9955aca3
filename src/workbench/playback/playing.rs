//! What plays now, and what the person chose for all playback.

use std::sync::Arc;
use std::time::Duration;

use crate::lesson::document::BarRange;
use crate::lesson::id::{PassageId, SegmentId};
use crate::lesson::seconds::Seconds;
use crate::lesson::time::Ticks;
use crate::sound::performance::passage::{FASTEST, Options, PassagePart, SLOWEST};
use crate::sound::score::{Score, ScoreFinger, ScoreMark, SoundedNote};
use crate::store::settings::ListeningSettings;
use crate::theory::pitch::Hertz;

/// The interval at which the screen follows what is heard: 25 times a second.
pub const LOOKS: Duration = Duration::from_millis(40);

/// The step by which the tempo changes, in per cent.
const TEMPO_STEP: u8 = 5;
/// The step by which the volume changes, in per cent.
const VOLUME_STEP: u8 = 10;

/// The words added to the name of something that plays without a sound device.
pub const UNHEARD: &str = " in silence, without a sound device";

/// An order that the runtime plays.
#[derive(Debug, Clone, PartialEq)]
pub struct SoundOrder {
    /// The music.
    pub score: Arc<Score>,
    /// The name of the sound that plays it.
    pub sound: String,
    /// The frequency of A4.
    pub reference: Hertz,
    /// The second to begin at.
    pub from: Seconds,
    /// The two seconds between which the music is repeated; `None` plays it once.
    pub span: Option<(Seconds, Seconds)>,
}

/// What a person asks to hear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SoundSubject {
    /// Part of a passage.
    Passage(PassageId, PassagePart),
    /// The music of a segment.
    Segment(SegmentId),
    /// A chord: the shape under the fingers, or a chord name.
    Chord,
}

/// Whether strings that the ear is not sure of are played.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Unsure {
    /// They are played.
    #[default]
    In,
    /// They are left out.
    Out,
}

/// What plays now.
#[derive(Debug, Clone, PartialEq)]
pub struct Playing {
    /// What was asked for.
    pub subject: SoundSubject,
    /// The name of what plays.
    pub name: String,
    /// The music.
    pub score: Arc<Score>,
    /// The second that is heard now.
    pub heard: Seconds,
}

impl Playing {
    /// Returns the place in the music that is heard now.
    pub fn mark(&self) -> Option<ScoreMark> {
        self.score.mark_at(self.heard)
    }

    /// Returns the notes that sound now: the latest one of each string.
    pub fn sounding(&self) -> Vec<&SoundedNote> {
        let begun = self.score.notes.partition_point(|note| note.start <= self.heard);
        let mut sounding: Vec<Option<&SoundedNote>> = vec![None; self.score.strings.len()];
        for note in self.score.notes.iter().take(begun) {
            if let Some(place) = sounding.get_mut(note.string) {
                *place = Some(note).filter(|note| note.end > self.heard);
            }
        }
        sounding.into_iter().flatten().collect()
    }
}

/// What the person chose for all playback, and what plays now.
#[derive(Debug, Clone, PartialEq)]
pub struct Playback {
    /// The tempo, in per cent of the written one.
    pub percent: u8,
    /// Whether music is repeated until it is stopped.
    pub round: bool,
    /// Whether a click plays along.
    pub click: bool,
    /// Whether a bar is counted in.
    pub count_in: bool,
    /// Whether a bass note is held under chords.
    pub drone: bool,
    /// Whether doubtful strings are played.
    pub unsure: Unsure,
    /// The settings that are kept between sessions.
    pub settings: ListeningSettings,
    /// What plays now, if anything does.
    pub playing: Option<Playing>,
    /// Whether nothing can be heard, because the sound device cannot be used.
    pub silent: bool,
}

impl Default for Playback {
    fn default() -> Self {
        Self {
            percent: 100,
            round: false,
            click: false,
            count_in: false,
            drone: false,
            unsure: Unsure::default(),
            settings: ListeningSettings::default(),
            playing: None,
            silent: false,
        }
    }
}

/// A tempo beside the one that music has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OtherTempo {
    /// The next faster one.
    Faster,
    /// The next slower one.
    Slower,
}

/// A volume beside the one that music has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OtherVolume {
    /// The next louder one.
    Louder,
    /// The next softer one.
    Softer,
}

impl Playback {
    /// Returns the options with which a passage is played.
    pub const fn options(&self) -> Options {
        Options { percent: self.percent, click: self.click, count_in: self.count_in }
    }

    /// Changes the tempo by one step, between [`SLOWEST`] and [`FASTEST`].
    pub fn change_tempo(&mut self, to: OtherTempo) {
        let changed = match to {
            OtherTempo::Faster => self.percent.saturating_add(TEMPO_STEP),
            OtherTempo::Slower => self.percent.saturating_sub(TEMPO_STEP),
        };
        self.percent = changed.clamp(SLOWEST, FASTEST);
    }

    /// Changes the volume by one step, between 0 and 100 per cent.
    pub fn change_volume(&mut self, to: OtherVolume) {
        let now = self.settings.volume;
        self.settings.volume = match to {
            OtherVolume::Louder => now.saturating_add(VOLUME_STEP).min(100),
            OtherVolume::Softer => now.saturating_sub(VOLUME_STEP),
        };
    }

    /// Sets the tempo from a typed text such as `75` or `75 %`. Errors: the text is not a tempo between [`SLOWEST`] and
    /// [`FASTEST`] per cent; the words say what is expected.
    pub fn take_tempo(&mut self, text: &str) -> Result<(), String> {
        let number = text.trim().trim_end_matches('%').trim_end();
        match number.parse::<u8>() {
            Ok(percent) if (SLOWEST..=FASTEST).contains(&percent) => {
                self.percent = percent;
                Ok(())
            }
            _ => Err(format!("expected {SLOWEST} to {FASTEST} per cent of the written tempo, as in 75")),
        }
    }

    /// Notes which second of the music is heard now; `None` says that it is over.
    pub fn hear(&mut self, second: Option<Seconds>) {
        match (second, &mut self.playing) {
            (Some(second), Some(playing)) => playing.heard = second,
            (None, _) => self.playing = None,
            (Some(_), None) => {}
        }
    }

    /// Returns whether music longer than a chord plays.
    pub fn plays_music(&self) -> bool {
        self.playing.as_ref().is_some_and(|playing| playing.subject != SoundSubject::Chord)
    }

    /// Returns a line for the foot of the screen that says what plays.
    pub fn words(&self) -> Option<String> {
        let playing = self.playing.as_ref().filter(|playing| playing.subject != SoundSubject::Chord)?;
        let unheard = if self.silent { UNHEARD } else { "" };
        let mut words = format!("playing {}{unheard}", playing.name);
        match playing.mark() {
            Some(ScoreMark { called: Some(bar), .. }) => words += &format!(", {bar}"),
            Some(ScoreMark { called: None, .. }) => words += ", counting in",
            None => {}
        }
        if self.percent != 100 {
            words += &format!(", {} % of the tempo", self.percent);
        }
        if self.round {
            words += ", loop";
        }
        Some(words)
    }

    /// Returns the order to play `score`. Its repeat begins after the count-in, if there is one.
    pub fn order(&self, score: Arc<Score>, sound: &str, reference: Hertz) -> SoundOrder {
        let chosen = self.settings.sound.trim();
        let music = score.marks.iter().find(|mark| mark.bar.is_some()).map_or(Seconds::ZERO, |mark| mark.at);
        let span = (self.round && score.end > music).then_some((music, score.end));
        let score = if span.is_some() { leading_round(score, music) } else { score };
        SoundOrder {
            sound: if chosen.is_empty() { sound } else { chosen }.to_owned(),
            reference,
            from: Seconds::ZERO,
            span,
            score,
        }
    }
}

/// Returns `score` with the notes that lie before its music (grace notes, rakes) added once more at its end. A loop
/// does not go back that far, so they lead into each repeat instead.
fn leading_round(score: Arc<Score>, music: Seconds) -> Arc<Score> {
    // A note on the beat may deviate from it by a rounding error.
    let before = score.notes.iter().filter(|note| note.start < music - Seconds(1e-6));
    let by = score.end - music;
    let again: Vec<SoundedNote> =
        before.map(|note| SoundedNote { start: note.start + by, end: note.end + by, ..note.clone() }).collect();
    if again.is_empty() {
        return score;
    }
    let mut round = Arc::unwrap_or_clone(score);
    let before = round.fingers.iter().take_while(|finger| finger.at < music - Seconds(1e-6));
    let fingers: Vec<ScoreFinger> = before.map(|finger| ScoreFinger { at: finger.at + by, ..*finger }).collect();
    round.fingers.extend(fingers);
    round.fingers.sort_by(|one, other| one.at.total_cmp(&other.at));
    round.notes.extend(again);
    round.notes.sort_by(|one, other| one.start.total_cmp(&other.start).then(one.string.cmp(&other.string)));
    Arc::new(round)
}

/// Returns the part of a passage that begins at one moment and ends at another, or at the end of the bars.
pub fn part(bars: (usize, usize), from: Ticks, to: Option<Ticks>) -> PassagePart {
    let number = |bar: usize| u32::try_from(bar + 1).unwrap_or(u32::MAX);
    PassagePart { bars: Some(BarRange { first: number(bars.0), last: number(bars.1) }), begin: None, from, to }
}
