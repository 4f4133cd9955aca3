//! Plays a passage: every note when it is due, in the way it is written.
//!
//! A tied or slid-to note continues the stroke before it: from the bend that the string is in (an amount counts from
//! the fret), or from the last stroke of a tremolo or trill. A tied note keeps its vibrato; a finger that slides does
//! not swing. A segment is played as it is planned, tempo by tempo.
//!
//! A cursor within a repeat stands in its first turn: playing from there continues as if everything before had just
//! been played. Chosen bars (a selection, or part of a passage in a segment) take a repeat only when all of it lies
//! within them.

use std::collections::BTreeMap;

use super::manners::{Manners, manners};
use super::sketch::{Curve, Sketch};
use super::technique::{NotePlace, Repetition, apply};
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::rig::Rig;
use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::document::{BarRange, Lesson, Segment};
use crate::lesson::id::PassageId;
use crate::lesson::joining::JoinFamily;
use crate::lesson::music::{Bar, Event, Feel, Join, Note, Passage, Stroke, Technique};
use crate::lesson::seconds::Seconds;
use crate::lesson::time::{Meter, NoteValue, Tempo, Ticks};
use crate::plan::length::{BarInTime, LengthError, bars_in_time, checked_places, counted_in, seconds};
use crate::plan::order::played_range;
use crate::sound::score::{Accent, Attack, Click, Muting, OpenString, Score, ScoreFinger, ScoreMark, SoundedNote};
use crate::theory::pitch::{FinePitch, Hertz, Semitones};

/// The slowest tempo at which music is played, in per cent of its own.
pub const SLOWEST: u8 = 25;
/// The fastest tempo, in per cent.
pub const FASTEST: u8 = 150;

/// The most bars that one score plays, repeats included. At the usual tempo that is more than two days.
const MOST_BARS: usize = 100_000;

/// The silence between two passages of a segment, and between two tempos of one.
const BETWEEN: Seconds = Seconds(0.5);

/// The way a passage is to be played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// The tempo in per cent of the written one, [`SLOWEST`] to [`FASTEST`].
    pub percent: u8,
    /// Whether a click is heard with it.
    pub click: bool,
    /// Whether a bar is counted in before it.
    pub count_in: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self { percent: 100, click: false, count_in: false }
    }
}

/// The part of a passage that is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PassagePart {
    /// The bars; `None` stands for all. A repeat is taken where it lies within them.
    pub bars: Option<BarRange>,
    /// The index of the bar that is heard first, as if everything before it had just been played: the repeat in which
    /// it lies is still to come. `None` begins with the first bar that is played.
    pub begin: Option<usize>,
    /// The moment within that bar at which the playing begins.
    pub from: Ticks,
    /// The moment within the last bar at which the playing ends; `None` ends with the bar.
    pub to: Option<Ticks>,
}

/// The reason why a passage or segment cannot be played.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PerformanceError {
    /// The tempo is out of bounds.
    #[error("{0} per cent of the tempo is not played; expected {SLOWEST} to {FASTEST}")]
    Tempo(u8),
    /// Its bars or its length are not valid.
    #[error(transparent)]
    Length(#[from] LengthError),
    /// Nothing is written there.
    #[error("\"{0}\" has no bars to play")]
    Empty(String),
    /// No setup says on which strings it is played.
    #[error("\"{0}\" has no tuning that says which strings it is played on")]
    NoSetup(String),
    /// Its repeats make it too long.
    #[error("with its repeats this has more than {MOST_BARS} bars; fewer can be played")]
    TooLong,
}

/// A score, with the frequency of A4 in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Performance {
    /// The score.
    pub score: Score,
    /// The frequency of A4.
    pub reference: Hertz,
}

/// Returns the score of `part` of `passage`, played on the setup that `lesson` gives it.
///
/// The first string of a stroke is on the beat. Grace notes and rakes lie before it, so that a score may begin a moment
/// before its first beat. Errors: a tempo out of bounds, bars that do not exist, no setup, or too many bars.
pub fn passage(
    lesson: &Lesson,
    passage: &Passage,
    part: PassagePart,
    options: Options,
) -> Result<Performance, PerformanceError> {
    many_times(lesson, passage, part, options, 1)
}

/// Returns the score of `part` played several times without a break, counted in once. Errors: as [`passage`].
fn many_times(
    lesson: &Lesson,
    passage: &Passage,
    part: PassagePart,
    options: Options,
    times: u8,
) -> Result<Performance, PerformanceError> {
    if !(SLOWEST..=FASTEST).contains(&options.percent) {
        return Err(PerformanceError::Tempo(options.percent));
    }
    checked_places(passage, part.bars)?;
    let rig = lesson.passage_rig(passage).ok_or_else(|| PerformanceError::NoSetup(passage.title.clone()))?;
    let reference = lesson.passage_setup(passage).and_then(|setup| setup.reference).unwrap_or(Hertz::STANDARD_PITCH);
    let mut player = PassagePlayer::new(&rig, passage, options);
    let written = bars_in_time(passage);
    let once = |_| places(passage, part);
    let places: Vec<usize> = (0..times).flat_map(once).take(MOST_BARS + 1).collect();
    if places.len() > MOST_BARS {
        return Err(PerformanceError::TooLong);
    }
    let (Some(first), Some(last)) = (places.first(), places.len().checked_sub(1)) else {
        return Err(PerformanceError::Empty(passage.title.clone()));
    };
    if options.count_in
        && let Some(bar) = written.get(*first)
    {
        player.count_in(*bar, part.from);
    }
    for (at, place) in places.iter().enumerate() {
        let (Some(bar), Some(time)) = (passage.bars.get(*place), written.get(*place)) else { continue };
        let from = if at == 0 { part.from } else { Ticks::ZERO };
        let to = part.to.filter(|_| at == last).unwrap_or(time.length).min(time.length);
        player.play_bar(*place, bar, *time, (from.min(to), to));
    }
    Ok(Performance { score: player.finish(), reference })
}

/// Returns the indices of the bars of `part` in the order in which they are played.
fn places(passage: &Passage, PassagePart { bars, begin, .. }: PassagePart) -> Vec<usize> {
    let order: Vec<usize> = played_range(&passage.bars, bars).take(MOST_BARS + 1).collect();
    let Some(begin) = begin else { return order };
    match order.iter().position(|place| *place == begin) {
        Some(first) => order.into_iter().skip(first).collect(),
        // The bar belongs to an ending whose turn never comes.
        None => {
            let number = |place: usize| u32::try_from(place.saturating_add(1)).unwrap_or(u32::MAX);
            let rest = BarRange { first: number(begin), last: bars.map_or(u32::MAX, |bars| bars.last) };
            played_range(&passage.bars, Some(rest)).take(MOST_BARS + 1).collect()
        }
    }
}

/// Returns the score of `segment` as it is planned: each of its passages several times at `options.percent` of its
/// tempo and then several times slowly. It is counted in again where the tempo changes, with half a second between.
///
/// Errors: as [`passage`]; a segment without music is empty. A tempo below [`SLOWEST`] is played at [`SLOWEST`].
pub fn segment(lesson: &Lesson, segment: &Segment, options: Options) -> Result<Performance, PerformanceError> {
    if !(SLOWEST..=FASTEST).contains(&options.percent) {
        return Err(PerformanceError::Tempo(options.percent));
    }
    let mut whole: Option<Performance> = None;
    let mut bars = 0;
    for used in &segment.passages {
        let Some(written) = lesson.passage(used.passage) else { continue };
        let slow = u16::from(options.percent) * u16::from(used.slow_percent) / 100;
        let slow = u8::try_from(slow).unwrap_or(FASTEST).clamp(SLOWEST, FASTEST);
        for (percent, times) in [(options.percent, used.times), (slow, used.slow_times)] {
            if times == 0 {
                continue;
            }
            let part = PassagePart { bars: used.bars, ..PassagePart::default() };
            let next = many_times(lesson, written, part, Options { percent, ..options }, times)?;
            bars += played_range(&written.bars, used.bars).count() * usize::from(times);
            if bars > MOST_BARS {
                return Err(PerformanceError::TooLong);
            }
            whole = Some(match whole {
                None => next,
                Some(before) => {
                    // One score has one reference, so music tuned to another is moved up or down by the difference.
                    let off = 12.0 * (next.reference.0 / before.reference.0).log2();
                    let off = Semitones(if off.is_finite() { off } else { 0.0 });
                    Performance { score: before.score.then(&next.score.moved(off), BETWEEN), ..before }
                }
            });
        }
    }
    whole.ok_or_else(|| PerformanceError::Empty(segment.title.clone()))
}

/// The state that a note leaves behind for the next one on its string in its voice.
#[derive(Debug, Clone, Copy)]
struct Pending {
    join: Join,
    fret: Fret,
    /// The index of its sketch; of the last one where it was struck repeatedly.
    sketch: usize,
    /// Whether it was struck repeatedly.
    repeated: bool,
    /// The time when it started, which may be long after the start of its sketch.
    start: Seconds,
}

/// The player of a passage, with everything that sounds so far.
struct PassagePlayer<'a> {
    rig: &'a Rig,
    manners: &'static Manners,
    passage: PassageId,
    numbers: BarNumbers,
    feel: Feel,
    options: Options,
    /// The time when the next bar begins.
    now: Seconds,
    sketches: Vec<Sketch>,
    clicks: Vec<Click>,
    marks: Vec<ScoreMark>,
    fingers: Vec<ScoreFinger>,
    pending: BTreeMap<(usize, StringNumber), Pending>,
    /// The time when each voice was struck last.
    sounded: BTreeMap<usize, Seconds>,
}

/// The times between which something is played.
#[derive(Debug, Clone, Copy)]
struct PlayedSpan {
    start: Seconds,
    end: Seconds,
}

impl<'a> PassagePlayer<'a> {
    fn new(rig: &'a Rig, passage: &Passage, options: Options) -> Self {
        Self {
            rig,
            manners: manners(),
            passage: passage.id,
            numbers: BarNumbers::of(passage),
            feel: passage.feel,
            options,
            now: Seconds::ZERO,
            sketches: Vec::new(),
            clicks: Vec::new(),
            marks: Vec::new(),
            fingers: Vec::new(),
            pending: BTreeMap::new(),
            sounded: BTreeMap::new(),
        }
    }

    fn seconds(&self, ticks: Ticks, tempo: Tempo) -> Seconds {
        seconds(ticks, tempo, self.options.percent)
    }

    /// Adds the clicks of a count-in that ends at the moment `from` of a bar.
    fn count_in(&mut self, bar: BarInTime, from: Ticks) {
        let whole = bar.meter.ticks();
        let until = Ticks(counted_in(bar).0 + from.min(bar.length).0);
        self.marks.push(ScoreMark {
            at: self.now,
            passage: Some(self.passage),
            bar: None,
            called: None,
            tick: Ticks::ZERO,
        });
        for turn in [Ticks::ZERO, whole] {
            for (tick, accent) in beats(bar.meter) {
                let tick = Ticks(turn.0 + tick.0);
                if tick < until {
                    self.clicks.push(Click { at: self.now + self.seconds(tick, bar.tempo), accent });
                }
            }
        }
        self.now += self.seconds(until, bar.tempo);
    }

    /// Plays the part of a bar that lies between two moments.
    fn play_bar(&mut self, place: usize, bar: &Bar, time: BarInTime, (from, to): (Ticks, Ticks)) {
        let (begin, tempo, swing) = (self.now, time.tempo, Swing::of(self.feel, time));
        let at = |player: &Self, tick: Ticks| begin + player.seconds(tick, tempo) - player.seconds(from, tempo);
        let mut mark_ticks = Vec::new();
        for (voice, events) in bar.voices.iter().enumerate() {
            for (tick, event) in events.timed() {
                if tick < from || tick >= to {
                    // A join does not lead across notes that are left out.
                    self.pending.retain(|(of, _), _| *of != voice);
                    continue;
                }
                let end = Ticks(tick.0 + event.length.ticks().0).min(to);
                let straight = event.length.tuplet().is_some();
                let swung = |player: &Self, tick: Ticks| {
                    let moved = if straight { tick.0 as f64 } else { swing.moved(tick, player.manners.swing) };
                    at(player, Ticks::ZERO) + player.seconds(Ticks(1_000_000), tempo) * moved / 1e6
                };
                let when = PlayedSpan { start: swung(self, tick), end: swung(self, end) };
                self.play_event(voice, event, when);
                mark_ticks.push((when.start, tick));
            }
        }
        mark_ticks.push((begin, from));
        mark_ticks.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
        mark_ticks.dedup_by_key(|(_, tick)| *tick);
        let (passage, bar, called) = (Some(self.passage), Some(place), Some(self.numbers.name(place)));
        self.marks.extend(mark_ticks.into_iter().map(|(at, tick)| ScoreMark { at, passage, bar, called, tick }));
        if self.options.click {
            // A pickup is counted from the end of its bar.
            let missing = time.meter.ticks().0.saturating_sub(time.length.0);
            for (tick, accent) in beats(time.meter) {
                let Some(tick) = tick.0.checked_sub(missing).map(Ticks) else { continue };
                if tick >= from && tick < to {
                    self.clicks.push(Click { at: at(self, tick), accent });
                }
            }
        }
        self.now = at(self, to);
    }

    fn play_event(&mut self, voice: usize, event: &Event, when: PlayedSpan) {
        let count = event.grace.len();
        // Grace notes take their time from the note before, at most half of it, so that their own note is on the beat.
        let room = self.sounded.get(&voice).map_or(Seconds::NEVER, |before| (when.start - *before) / 2.0);
        let grace = self.manners.grace.min(room / count.max(1) as f64);
        for (number, note) in event.grace.iter().enumerate() {
            let start = when.start - grace * (count - number) as f64;
            self.play_note(voice, note, PlayedSpan { start, end: start + grace });
        }
        if !event.notes.is_empty() {
            self.sounded.insert(voice, when.start);
        }
        let mut notes: Vec<&Note> = event.notes.iter().collect();
        let way = HandWay::of(event.stroke);
        notes.sort_by_key(|note| match way {
            HandWay::Up => i16::from(note.string.number()),
            HandWay::Down => -i16::from(note.string.number()),
        });
        if let (Some(Stroke::RakeDown | Stroke::RakeUp), Some(first)) = (event.stroke, notes.first()) {
            self.rake(first.string, way, when.start);
        }
        let step = match event.stroke {
            None => Seconds::ZERO,
            Some(Stroke::Down | Stroke::Up | Stroke::RakeDown | Stroke::RakeUp) => self.manners.strum,
            Some(Stroke::ArpeggioDown | Stroke::ArpeggioUp) => self.manners.arpeggio,
        };
        let most = (when.end - when.start) * self.manners.share / notes.len().max(1) as f64;
        for (number, note) in notes.into_iter().enumerate() {
            let start = when.start + step.min(most) * number as f64;
            self.play_note(voice, note, PlayedSpan { start, end: when.end });
        }
    }

    /// Drags the pick across muted strings until it reaches `into`.
    fn rake(&mut self, into: StringNumber, way: HandWay, beat: Seconds) {
        let strings = self.rig.tuning().strings().len();
        let Some(last) = into.index(strings) else { return };
        for number in 1..=self.manners.raked {
            let index = match way {
                HandWay::Up => last.checked_add(number),
                HandWay::Down => last.checked_sub(number),
            };
            let Some(index) = index.filter(|index| *index < strings) else { break };
            let open = StringNumber::at(index, strings).and_then(|string| self.rig.sounding(string, Fret::OPEN).ok());
            let Some(open) = open else { continue };
            let start = beat - self.manners.rake * number as f64;
            let times = (start, start + self.manners.rake);
            let mut raked = Sketch::plain(index, times, open.into(), self.manners.ghost);
            raked.muting = Muting::Dead;
            self.sketches.push(raked);
        }
    }

    fn play_note(&mut self, voice: usize, note: &Note, when: PlayedSpan) {
        let strings = self.rig.tuning().strings().len();
        let pending = self.pending.remove(&(voice, note.string));
        let Some(index) = note.string.index(strings) else { return };
        let Ok(sounding) = self.rig.sounding(note.string, note.fret) else { return };
        let pitch = FinePitch::from(sounding);
        let place = self.lead_into(pending, note.fret, pitch, when).unwrap_or_else(|| {
            let mut sketch = Sketch::plain(index, (when.start, when.end), pitch, self.manners.plain);
            sketch.attack = match pending.map(|pending| pending.join) {
                Some(Join::HammerOn) => Attack::Hammer,
                Some(Join::PullOff) => Attack::Pull,
                Some(Join::Tie | Join::Slide | Join::SlideAndPick) | None => Attack::Pluck,
            };
            self.sketches.push(sketch);
            self.sketches.len() - 1
        });
        let Some(sketch) = self.sketches.get_mut(place) else { return };
        let from = when.start - sketch.start;
        let on = NotePlace { rig: self.rig, string: note.string, fret: note.fret, from, length: when.end - when.start };
        let mut again = Repetition::No;
        for technique in &note.techniques {
            match apply(*technique, sketch, &on, self.manners) {
                Repetition::No => {}
                other => again = other,
            }
        }
        let seams = Seams {
            goes_on: pending
                .is_some_and(|pending| pending.join == Join::Tie && pending.fret == note.fret && pending.repeated),
            leads_on: note.join.is_some(),
        };
        let strokes = repeated(sketch, again, when, seams);
        let repeated = !strokes.is_empty();
        let stopped = sketch.stopped;
        self.fingers.push(ScoreFinger { at: when.start, string: index, fret: note.fret });
        self.fingers.extend(strokes.iter().map(|stroke| {
            let fret = if stroke.stopped == stopped { note.fret } else { trilled(note).unwrap_or(note.fret) };
            ScoreFinger { at: stroke.start, string: index, fret }
        }));
        self.sketches.extend(strokes);
        if let Some(join) = note.join {
            let sketch = if repeated { self.sketches.len() - 1 } else { place };
            let stroke = self.sketches.get(sketch).map_or(when.start, |stroke| stroke.start);
            let start = if repeated { stroke } else { when.start };
            self.pending.insert((voice, note.string), Pending { join, fret: note.fret, sketch, repeated, start });
        }
    }

    /// Continues the note before where the join says so, and returns the index of its sketch. Slides that note to
    /// `pitch` where the join is a slide.
    fn lead_into(&mut self, pending: Option<Pending>, fret: Fret, pitch: FinePitch, when: PlayedSpan) -> Option<usize> {
        let Pending { join, fret: from, sketch: place, start, .. } = pending?;
        let slide = self.manners.slide;
        let before = self.sketches.get_mut(place)?;
        let slides = join.row().family == JoinFamily::Slide;
        if slides {
            let there = when.start - before.start;
            // A string that is still bent arrives at the fret all the same.
            let by = pitch - before.pitch_at(there);
            let takes = slide.min((when.start - start) / 2.0);
            before.curves.push(Curve(vec![(there - takes, Semitones(0.0)), (there, by)]));
            // A finger that slides does not swing.
            if let Some(vibrato) = before.vibratos.last_mut() {
                vibrato.end_by(there - takes);
            }
            before.stopped = pitch;
        }
        match join {
            // A repeat may lead to another note than the one that is written next.
            Join::Tie if fret != from => None,
            Join::Tie | Join::Slide => {
                before.end = before.end.max(when.end);
                Some(place)
            }
            Join::HammerOn | Join::PullOff | Join::SlideAndPick => None,
        }
    }

    fn finish(mut self) -> Score {
        self.fingers.sort_by(|one, other| one.at.total_cmp(&other.at));
        let mut notes: Vec<SoundedNote> = self.sketches.iter().map(Sketch::note).collect();
        // The score begins with what lies before the first beat.
        let early = notes.iter().map(|note| note.start).fold(Seconds::ZERO, Seconds::min);
        for note in &mut notes {
            note.start -= early;
            note.end -= early;
        }
        notes.sort_by(|one, other| one.start.total_cmp(&other.start).then(one.string.cmp(&other.string)));
        let open = |string| self.rig.sounding(string, Fret::OPEN).map_or(FinePitch(0.0), FinePitch::from);
        Score {
            strings: self.rig.strings().map(|string| OpenString { pitch: open(string) }).collect(),
            notes,
            clicks: self.clicks.into_iter().map(|click| Click { at: click.at - early, ..click }).collect(),
            drone: None,
            marks: self.marks.into_iter().map(|mark| ScoreMark { at: mark.at - early, ..mark }).collect(),
            fingers: self.fingers.into_iter().map(|finger| ScoreFinger { at: finger.at - early, ..finger }).collect(),
            end: self.now - early,
        }
    }
}

/// The way that the picking hand goes over the strings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum HandWay {
    /// Away from the floor: the lowest string number comes first.
    Up,
    /// Toward the floor: the highest string number comes first.
    Down,
}

impl HandWay {
    /// Returns the way of a stroke; strings that are struck at one time are taken as in one toward the floor.
    const fn of(stroke: Option<Stroke>) -> Self {
        match stroke {
            Some(Stroke::Up | Stroke::RakeUp | Stroke::ArpeggioUp) => Self::Up,
            Some(Stroke::Down | Stroke::RakeDown | Stroke::ArpeggioDown) | None => Self::Down,
        }
    }
}

/// Returns the other fret of a trill.
fn trilled(note: &Note) -> Option<Fret> {
    note.techniques.iter().find_map(|technique| if let Technique::Trill(fret) = technique { Some(*fret) } else { None })
}

/// The ties before and after a note that is struck repeatedly.
#[derive(Debug, Clone, Copy)]
struct Seams {
    /// Whether the note continues the repeated note before it.
    goes_on: bool,
    /// Whether another note continues it.
    leads_on: bool,
}

/// Returns the strokes after the first one of a note that is picked repeatedly or trilled, within its written time.
/// Where the note continues one before it, returns all its strokes.
fn repeated(sketch: &Sketch, again: Repetition, when: PlayedSpan, seams: Seams) -> Vec<Sketch> {
    let (rate, other) = match again {
        Repetition::No => return Vec::new(),
        Repetition::Picked(rate) => (rate, None),
        Repetition::Trilled(rate, other) => (rate, Some(other)),
    };
    let length = when.end - when.start;
    let mut count = ((length.0 * rate.0).round() as usize).clamp(2, 4096);
    // The other note and this one alternate. A note that continues another begins with the other note; a note that
    // leads on ends with itself.
    let is_other = |number: usize| number.is_multiple_of(2) == seams.goes_on;
    if seams.leads_on && other.is_some() && is_other(count - 1) {
        count += 1;
    }
    let step = length / count as f64;
    let follow = |number: usize| {
        let start = when.start + step * number as f64;
        let end = if number + 1 == count { sketch.end } else { sketch.end.min(start + step) };
        let mut stroke = sketch.again(start - sketch.start, end);
        if let Some(other) = other {
            let by = other - sketch.stopped;
            stroke.attack = if is_other(number) == (by > Semitones(0.0)) { Attack::Hammer } else { Attack::Pull };
            if is_other(number) {
                stroke.pitch += by;
                stroke.stopped += by;
            }
        }
        stroke
    };
    (usize::from(!seams.goes_on)..count).map(follow).collect()
}

/// Returns the beats of a bar, with accents in groups of three in 6/8 and similar meters.
fn beats(meter: Meter) -> impl Iterator<Item = (Ticks, Accent)> {
    let compound = meter.unit() >= NoteValue::Eighth && meter.beats() > 3 && meter.beats().is_multiple_of(3);
    (0..meter.beats()).map(move |beat| {
        let accent = match beat {
            0 => Accent::Bar,
            beat if compound && beat.is_multiple_of(3) => Accent::Group,
            _ => Accent::Beat,
        };
        (Ticks(meter.unit().ticks().0 * u64::from(beat)), accent)
    })
}

/// The pairs of notes that are swung.
#[derive(Debug, Clone, Copy)]
struct Swing {
    pair: Option<Ticks>,
    /// The length of the bar. An incomplete pair at its end is not swung.
    bar: Ticks,
}

impl Swing {
    /// Returns which notes of a bar are swung. In compound meters none are, because their beats divide into threes
    /// already.
    fn of(feel: Feel, bar: BarInTime) -> Self {
        let compound = bar.meter.unit() >= NoteValue::Eighth && bar.meter.beats().is_multiple_of(3);
        let pair = match feel {
            Feel::Straight => None,
            Feel::SwungEighths if compound => None,
            Feel::SwungEighths => Some(NoteValue::Quarter.ticks()),
            Feel::SwungSixteenths => Some(NoteValue::Eighth.ticks()),
        };
        Self { pair, bar: bar.length }
    }

    /// Returns the moment, in ticks, at which a moment of a bar is played. The first note of a pair takes `share` of
    /// it.
    fn moved(self, tick: Ticks, share: f64) -> f64 {
        let whole = |Ticks(pair): &Ticks| tick.0 / pair * pair + pair <= self.bar.0;
        let Some(Ticks(pair)) = self.pair.filter(whole) else { return tick.0 as f64 };
        let (before, within) = (tick.0 / pair * pair, (tick.0 % pair) as f64 / pair as f64);
        let moved = if within <= 0.5 { within * 2.0 * share } else { 1.0 - (1.0 - within) * 2.0 * (1.0 - share) };
        before as f64 + moved * pair as f64
    }
}
