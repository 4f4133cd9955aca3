//! Random music and random lessons for property tests.
//!
//! Start with [`any_passage`] (valid music, restricted by a [`Music`]), [`any_lesson`] and
//! [`any_edit`]. Everything is built from a list of numbers that proptest draws and shrinks; the
//! number 0 always stands for the plainest choice, so what a failure shrinks to is plain too.
//!
//! Passages come in one written order: notes of an event by string number upward, techniques in
//! their own order, no change of meter, tempo or key to what already holds.

// Each test file uses what it needs of this.
#![allow(dead_code)]

use std::ops::RangeInclusive;

use fingerpost::instrument::body::{Instrument, Millimetres, ShortString};
use fingerpost::instrument::neck::{Fret, Shape, StringNumber};
use fingerpost::instrument::tuning::{Capo, Tuning};
use fingerpost::lesson::document::{
    BarRange, Barre, ChordNames, Header, Lesson, OwnedInstrument, PassageUse, Piece, Recorded, Segment, SegmentKind,
    Setup, Voicing,
};
use fingerpost::lesson::edit::{Edit, Item, ListEdit};
use fingerpost::lesson::id::{InstrumentId, PassageId, PieceId, SegmentId, SetupId, VoicingId};
use fingerpost::lesson::music::{Bar, BendAmount, Event, Feel, Finger, Join, Note, Passage, Stroke, Technique, Voice};
use fingerpost::lesson::time::{Length, Meter, NoteValue, Tempo, Ticks, Tuplet, VideoLength, VideoTime};
use fingerpost::theory::key::Key;
use fingerpost::theory::pitch::{Hertz, MidiNote, Pitch};
use fingerpost::theory::reading::Doubt;
use proptest::collection::vec;
use proptest::prelude::*;

/// Which music [`any_passage`] may make. Take [`Music::everything`] or [`Music::plain`] and change
/// fields: `Music { strings: 4, grace: false, ..Music::everything() }`.
#[derive(Debug, Clone)]
pub struct Music {
    /// The number of strings, 3 to 12.
    pub strings: u8,
    /// The highest fret, 1 to 36.
    pub frets: u8,
    /// How many bars.
    pub bars: RangeInclusive<usize>,
    /// The meters to choose from.
    pub meters: Vec<Meter>,
    /// Whether meter, tempo and key may change on the way.
    pub changes: bool,
    /// Whether a key may be given at the start.
    pub keys: bool,
    /// Whether the first bar may be a pickup.
    pub pickups: bool,
    /// Whether stretches may be repeated.
    pub repeats: bool,
    /// Whether repeated stretches may have endings.
    pub endings: bool,
    /// Whether a bar may hold a second voice (on the lower strings; the first keeps to the others).
    pub second_voice: bool,
    /// Whether a bar may hold no voice at all.
    pub empty_bars: bool,
    /// Whether events may be rests.
    pub rests: bool,
    /// The shortest plain note value.
    pub shortest: NoteValue,
    /// Whether lengths may be dotted.
    pub dots: bool,
    /// The tuplets to choose from, always in complete groups.
    pub tuplets: Vec<Tuplet>,
    /// The most notes in one event.
    pub chord_size: usize,
    /// The joins to choose from.
    pub joins: Vec<Join>,
    /// Whether joins may cross a bar line.
    pub joins_over_bars: bool,
    /// Which techniques may be used.
    pub technique: fn(Technique) -> bool,
    /// The most techniques on one note.
    pub techniques_on_a_note: usize,
    /// Whether there may be grace notes.
    pub grace: bool,
    /// The strokes to choose from.
    pub strokes: Vec<Stroke>,
    /// The chord names to choose from.
    pub chords: Vec<&'static str>,
    /// The words from which text over a beat is made.
    pub words: Vec<&'static str>,
    /// Whether fretting fingers may be given.
    pub fingers: bool,
    /// Whether the feel may be swung.
    pub swing: bool,
    /// The voicings that events may link to.
    pub voicings: Vec<VoicingId>,
}

/// Chord symbols in common spellings.
pub const CHORDS: [&str; 24] = [
    "C", "Am", "G7", "Fmaj7", "Dm7", "Bm7b5", "E7#9", "A5", "Dsus4", "Cadd9", "C/E", "F#m7", "Bb", "Ebmaj9", "G13",
    "Adim7", "Caug", "D6", "Em6/9", "A7sus4", "Am(maj7)", "Dsus2", "Db7b9", "G/B",
];

/// Words and scraps of text: plain, accented, wide, combining, punctuation that tab uses itself.
pub const WORDS: [&str; 20] = [
    "thumb",
    "let it ring",
    "slow",
    "da capo",
    "é",
    "Grüße",
    "日本語",
    "Ω",
    "e\u{301}tude",
    "👍",
    "|",
    "-",
    "h",
    "x2",
    "(quiet)",
    "½",
    "♭",
    "\"so\"",
    "a\\b",
    "1 & 2",
];

impl Music {
    /// Returns every kind of music there is, for six strings and 22 frets.
    pub fn everything() -> Self {
        let meter = |beats, unit| Meter::new(beats, unit).unwrap();
        Self {
            strings: 6,
            frets: 22,
            bars: 1..=6,
            meters: vec![
                Meter::COMMON,
                meter(3, NoteValue::Quarter),
                meter(6, NoteValue::Eighth),
                meter(2, NoteValue::Quarter),
                meter(5, NoteValue::Quarter),
                meter(7, NoteValue::Eighth),
                meter(9, NoteValue::Eighth),
                meter(12, NoteValue::Eighth),
                meter(2, NoteValue::Half),
                meter(5, NoteValue::Sixteenth),
            ],
            changes: true,
            keys: true,
            pickups: true,
            repeats: true,
            endings: true,
            second_voice: true,
            empty_bars: true,
            rests: true,
            shortest: NoteValue::SixtyFourth,
            dots: true,
            tuplets: vec![
                Tuplet { actual: 3, normal: 2 },
                Tuplet { actual: 5, normal: 4 },
                Tuplet { actual: 7, normal: 4 },
                Tuplet { actual: 6, normal: 4 },
                Tuplet { actual: 9, normal: 8 },
                Tuplet { actual: 2, normal: 3 },
            ],
            chord_size: 6,
            joins: vec![Join::Tie, Join::HammerOn, Join::PullOff, Join::LegatoSlide, Join::ShiftSlide],
            joins_over_bars: true,
            technique: |_| true,
            techniques_on_a_note: 3,
            grace: true,
            strokes: vec![
                Stroke::Down,
                Stroke::Up,
                Stroke::RakeDown,
                Stroke::RakeUp,
                Stroke::ArpeggioDown,
                Stroke::ArpeggioUp,
            ],
            chords: CHORDS.to_vec(),
            words: WORDS.to_vec(),
            fingers: true,
            swing: true,
            voicings: Vec::new(),
        }
    }

    /// Returns notes and rests in one voice, down to sixteenths, without anything else.
    pub fn plain() -> Self {
        Self {
            changes: false,
            keys: false,
            pickups: false,
            repeats: false,
            endings: false,
            second_voice: false,
            empty_bars: false,
            shortest: NoteValue::Sixteenth,
            dots: false,
            tuplets: Vec::new(),
            joins: Vec::new(),
            technique: |_| false,
            grace: false,
            strokes: Vec::new(),
            chords: Vec::new(),
            words: Vec::new(),
            fingers: false,
            swing: false,
            ..Self::everything()
        }
    }
}

/// Returns valid passages within `music`.
pub fn any_passage(music: Music) -> BoxedStrategy<Passage> {
    (vec(any::<u16>(), 0..40), vec(vec(any::<u16>(), 0..200), music.bars.clone()))
        .prop_map(move |(head, bars)| PassageMaker { music: &music }.passage(PassageId(1), &head, &bars))
        .boxed()
}

/// Returns valid passages of every kind on 3 to 12 strings and 5 to 30 frets, with what they are
/// restricted to.
pub fn any_passage_on_any_neck() -> BoxedStrategy<(Music, Passage)> {
    (3u8..=12, 5u8..=30)
        .prop_flat_map(|(strings, frets)| {
            let music = Music { strings, frets, ..Music::everything() };
            (Just(music.clone()), any_passage(music))
        })
        .boxed()
}

/// Returns lessons whose identities are unique and whose links mostly hold, some of them dangling.
pub fn any_lesson() -> BoxedStrategy<Lesson> {
    vec(vec(any::<u16>(), 0..160), 1..12).prop_map(|numbers| lesson_from(&numbers)).boxed()
}

/// Returns edits of `lesson`, some of which do not fit it.
pub fn any_edit(lesson: &Lesson) -> BoxedStrategy<Edit> {
    let lesson = lesson.clone();
    vec(any::<u16>(), 0..160).prop_map(move |numbers| edit_from(&lesson, &mut Choices::new(&numbers))).boxed()
}

/// Returns a lesson and the numbers for a chain of edits; see [`edit_from`], which is to be given
/// the lesson as it stands after the edits before.
pub fn any_lesson_and_chain() -> BoxedStrategy<(Lesson, Vec<Vec<u16>>)> {
    (any_lesson(), vec(vec(any::<u16>(), 0..200), 0..24)).boxed()
}

/// Numbers drawn by proptest, used up one choice at a time; after the last come zeros.
#[derive(Debug, Clone)]
pub struct Choices<'a> {
    numbers: std::slice::Iter<'a, u16>,
}

impl<'a> Choices<'a> {
    /// Takes choices from the front of `numbers`.
    pub fn new(numbers: &'a [u16]) -> Self {
        Self { numbers: numbers.iter() }
    }

    /// Returns a number below `count`, 0 where nothing is left.
    pub fn below(&mut self, count: usize) -> usize {
        usize::from(self.numbers.next().copied().unwrap_or(0)) % count.max(1)
    }

    /// Returns whether something happens that happens `times` in 16.
    pub fn happens(&mut self, times: usize) -> bool {
        self.below(16) >= 16 - times
    }

    /// Returns one of `items`; `None` when there are none.
    pub fn one_of<T: Clone>(&mut self, items: &[T]) -> Option<T> {
        items.get(self.below(items.len())).cloned()
    }

    fn number(&mut self, range: RangeInclusive<u8>) -> u8 {
        let count = usize::from(range.end().saturating_sub(*range.start())) + 1;
        range.start() + u8::try_from(self.below(count)).unwrap()
    }
}

fn fret(number: u8) -> Fret {
    Fret::new(number).unwrap()
}

fn string(number: u8) -> StringNumber {
    StringNumber::new(number).unwrap()
}

/// Builds one passage: first the frame (meters, repeats), then rhythm and notes, then what joins
/// and colours them, so that every technique knows the notes around it.
struct PassageMaker<'a> {
    music: &'a Music,
}

impl PassageMaker<'_> {
    fn passage(&self, id: PassageId, head: &[u16], numbers: &[Vec<u16>]) -> Passage {
        let music = self.music;
        let head = &mut Choices::new(head);
        let meter = head.one_of(&music.meters).unwrap_or(Meter::COMMON);
        let mut passage = Passage {
            id,
            title: words(head, &WORDS, 2),
            piece: None,
            setup: None,
            key: if music.keys && head.happens(8) { Some(any_key(head)) } else { None },
            meter,
            tempo: any_tempo(head),
            feel: if music.swing {
                head.one_of(&[Feel::Straight, Feel::SwungEighths, Feel::SwungSixteenths]).unwrap()
            } else {
                Feel::Straight
            },
            bars: vec![Bar::default(); numbers.len()],
        };
        let pickup = music.pickups && numbers.len() > 1 && head.happens(5);
        let completes = head.happens(8);
        self.repeats(&mut passage.bars, pickup, head);

        let mut choices: Vec<Choices> = numbers.iter().map(|numbers| Choices::new(numbers)).collect();
        self.fill_bars(&mut passage, pickup, completes, &mut choices);
        self.join_notes(&mut passage.bars, &mut choices);
        for (bar, choices) in passage.bars.iter_mut().zip(&mut choices) {
            for event in bar.voices.iter_mut().flat_map(|voice| &mut voice.0) {
                self.colour(event, choices);
            }
        }
        self.grace(&mut passage.bars, &mut choices);
        passage
    }

    /// Marks repeated stretches, with or without endings, one after the other.
    fn repeats(&self, bars: &mut [Bar], pickup: bool, head: &mut Choices) {
        if !self.music.repeats {
            return;
        }
        let mut at = usize::from(pickup);
        while at < bars.len() {
            if !head.happens(6) {
                at += 1;
                continue;
            }
            let last = at + head.below((bars.len() - at).min(4));
            let times = head.number(2..=4);
            bars[at].repeat_start = true;
            bars[last].repeat_end = Some(times);
            // Endings need a bar before the first one and a bar for the second.
            if self.music.endings && last > at && last + 1 < bars.len() && head.happens(8) {
                bars[last].endings = (1..times).collect();
                bars[last + 1].endings = vec![times];
            }
            at = last + 2;
        }
    }

    fn fill_bars(&self, passage: &mut Passage, pickup: bool, completes: bool, choices: &mut [Choices]) {
        let music = self.music;
        let (mut meter, mut tempo, mut key) = (passage.meter, passage.tempo, passage.key);
        let mut short = Ticks::ZERO;
        let count = passage.bars.len();
        for (place, (bar, choices)) in passage.bars.iter_mut().zip(choices).enumerate() {
            if music.changes && place > 0 {
                let next = if choices.happens(3) { choices.one_of(&music.meters) } else { None };
                bar.meter = next.filter(|next| *next != meter);
                meter = bar.meter.unwrap_or(meter);
                let next = if choices.happens(2) { Some(any_tempo(choices)) } else { None };
                bar.tempo = next.filter(|next| *next != tempo);
                tempo = bar.tempo.unwrap_or(tempo);
                let next = if music.keys && choices.happens(2) { Some(any_key(choices)) } else { None };
                bar.key = next.filter(|next| Some(*next) != key);
                key = bar.key.or(key);
            }
            let mut length = meter.ticks();
            if place == 0 && pickup && meter.beats() > 1 {
                bar.pickup = true;
                let beats = 1 + choices.below(usize::from(meter.beats()) - 1);
                length = Ticks(meter.unit().ticks().0 * u64::try_from(beats).unwrap());
                short = length;
            }
            // The last bar may give back what the pickup took.
            if place + 1 == count && place > 0 && completes && short > Ticks::ZERO && short < length {
                length = Ticks(length.0 - short.0);
            }
            self.fill_bar(bar, length, choices);
        }
    }

    fn fill_bar(&self, bar: &mut Bar, length: Ticks, choices: &mut Choices) {
        let music = self.music;
        if music.empty_bars && !bar.pickup && choices.happens(1) {
            return;
        }
        let strings: Vec<u8> = (1..=music.strings).collect();
        if music.second_voice && choices.happens(4) {
            let (upper, lower) = strings.split_at(1 + choices.below(strings.len() - 1));
            bar.voices = vec![self.voice(length, upper, choices), self.voice(length, lower, choices)];
        } else {
            bar.voices = vec![self.voice(length, &strings, choices)];
        }
    }

    /// Fills `length` exactly with events on `strings`.
    fn voice(&self, length: Ticks, strings: &[u8], choices: &mut Choices) -> Voice {
        let cells = self.cells();
        let mut left = length;
        let mut events: Vec<Event> = Vec::new();
        while left > Ticks::ZERO {
            let fitting: Vec<&Vec<Length>> = cells
                .iter()
                .filter(|cell| {
                    let total: Ticks = cell.iter().map(|length| length.ticks()).sum();
                    // What is left must still be fillable with the shortest plain value.
                    total <= left && (left.0 - total.0).is_multiple_of(self.grid(left).0)
                })
                .collect();
            let cell = choices.one_of(&fitting).expect("the shortest value always fits");
            for length in cell {
                left = Ticks(left.0 - length.ticks().0);
                events.push(self.event(*length, strings, events.last(), choices));
            }
        }
        Voice(events)
    }

    /// The step in which a bar may be filled: the shortest allowed value, or shorter where the bar
    /// itself is no multiple of it.
    fn grid(&self, left: Ticks) -> Ticks {
        NoteValue::ALL
            .into_iter()
            .filter(|value| *value >= self.music.shortest)
            .map(NoteValue::ticks)
            .find(|ticks| left.0.is_multiple_of(ticks.0))
            .expect("every bar is a multiple of a 64th")
    }

    /// Every group of lengths that belongs together: one event, or a complete tuplet.
    fn cells(&self) -> Vec<Vec<Length>> {
        let values = NoteValue::ALL.into_iter().filter(|value| *value <= self.music.shortest);
        let mut plain = NoteValue::ALL;
        plain.rotate_left(2);
        let mut cells: Vec<Vec<Length>> = plain.iter().map(|value| vec![Length::plain(*value)]).collect();
        for value in values.clone().filter(|_| self.music.dots) {
            cells.extend([1, 2].map(|dots| vec![Length::new(value, dots, None).unwrap()]));
        }
        for tuplet in &self.music.tuplets {
            let written = |value, dots| Length::new(value, dots, Some(*tuplet));
            for value in values.clone() {
                let Some(plain) = written(value, 0) else { continue };
                cells.push(vec![plain; usize::from(tuplet.actual)]);
                // The same group with its first two notes run together, and with one made longer by a dot.
                let double = NoteValue::from_denominator(value.denominator() / 2).and_then(|value| written(value, 0));
                if let Some(double) = double.filter(|_| tuplet.actual > 2) {
                    let mut cell = vec![plain; usize::from(tuplet.actual) - 1];
                    cell[0] = double;
                    cells.push(cell);
                }
                let half = NoteValue::from_denominator(value.denominator().saturating_mul(2));
                if let (true, Some(dotted), Some(half)) = (
                    self.music.dots,
                    written(value, 1),
                    half.filter(|half| *half <= self.music.shortest).and_then(|value| written(value, 0)),
                ) {
                    let mut cell = vec![plain; usize::from(tuplet.actual)];
                    cell[0] = dotted;
                    cell[1] = half;
                    cells.push(cell);
                }
            }
        }
        cells
    }

    fn event(&self, length: Length, strings: &[u8], before: Option<&Event>, choices: &mut Choices) -> Event {
        if self.music.rests && choices.happens(3) {
            return Event::rest(length);
        }
        // The same strings again, often on the same frets, so that there is something to tie and join.
        if let Some(before) = before.filter(|before| !before.is_rest() && choices.happens(8)) {
            let again = |note: &Note| {
                let number =
                    if choices.happens(10) { note.fret.number() } else { choices.number(0..=self.music.frets) };
                Note::plain(note.string, fret(number))
            };
            return Event::notes(length, before.notes.iter().map(again).collect());
        }
        let wanted = 1 + if choices.happens(6) { choices.below(self.music.chord_size.min(strings.len())) } else { 0 };
        let mut chosen: Vec<u8> = (0..wanted).filter_map(|_| choices.one_of(strings)).collect();
        chosen.sort_unstable();
        chosen.dedup();
        let note = |number| Note::plain(string(number), fret(choices.number(0..=self.music.frets)));
        Event::notes(length, chosen.into_iter().map(note).collect())
    }

    /// Joins notes to the next event's note on the same string where a hand can do it.
    fn join_notes(&self, bars: &mut [Bar], choices: &mut [Choices]) {
        for place in 0..bars.len() {
            for voice in 0..bars[place].voices.len() {
                let events = bars[place].voices[voice].0.len();
                for event in 0..events {
                    let next = if event + 1 < events {
                        Some((place, event + 1))
                    } else {
                        self.may_cross(bars, place, voice).then_some((place + 1, 0))
                    };
                    let Some((next_bar, next_event)) = next else { continue };
                    let targets = bars[next_bar].voices[voice].0[next_event].notes.clone();
                    for note in &mut bars[place].voices[voice].0[event].notes {
                        let target = targets.iter().find(|target| target.string == note.string);
                        if let Some(target) = target.filter(|_| choices[place].happens(6)) {
                            let possible = self.possible_joins(note.fret, target.fret);
                            note.join = choices[place].one_of(&possible);
                        }
                    }
                }
            }
        }
    }

    /// Whether a join may lead from the end of this bar into the next one.
    fn may_cross(&self, bars: &[Bar], place: usize, voice: usize) -> bool {
        let (here, Some(next)) = (&bars[place], bars.get(place + 1)) else { return false };
        self.music.joins_over_bars
            && here.repeat_end.is_none()
            && !next.repeat_start
            && here.endings == next.endings
            && next.voices.get(voice).is_some_and(|voice| !voice.0.is_empty())
    }

    fn possible_joins(&self, from: Fret, to: Fret) -> Vec<Join> {
        let playable = |join: &Join| match join {
            Join::Tie => from == to,
            Join::HammerOn => from < to,
            Join::PullOff => from > to,
            Join::LegatoSlide | Join::ShiftSlide => from != to && from != Fret::OPEN && to != Fret::OPEN,
        };
        self.music.joins.iter().copied().filter(playable).collect()
    }

    /// Adds techniques, stroke, names and words to one event. The joins are already there.
    fn colour(&self, event: &mut Event, choices: &mut Choices) {
        let music = self.music;
        for note in &mut event.notes {
            // A join asks something of the notes at both its ends; `grace` sees to the far end.
            if note.join.is_none() && choices.happens(6) {
                note.techniques = self.techniques(note.fret.number(), choices);
            } else if let Some(join) = note.join.filter(|_| choices.happens(3)) {
                let fitting: &[Technique] = match join {
                    Join::PullOff => &[
                        Technique::Vibrato,
                        Technique::Tap,
                        Technique::BendRelease(BendAmount::FULL),
                        Technique::Ghost,
                    ],
                    Join::Tie => &[Technique::Vibrato, Technique::LetRing],
                    Join::HammerOn | Join::LegatoSlide | Join::ShiftSlide => &[Technique::PalmMute, Technique::Ghost],
                };
                let fitting: Vec<Technique> =
                    fitting.iter().copied().filter(|technique| (music.technique)(*technique)).collect();
                let plays = |technique: &Technique| *technique != Technique::Vibrato || note.fret != Fret::OPEN;
                note.techniques = choices.one_of(&fitting).filter(plays).into_iter().collect();
            }
            if music.fingers && note.fret != Fret::OPEN && choices.happens(3) {
                let fingers = [Finger::Index, Finger::Middle, Finger::Ring, Finger::Little, Finger::Thumb];
                note.finger = choices.one_of(&fingers);
            }
        }
        if !event.is_rest() && choices.happens(4) {
            let chord = event.notes.len() > 1;
            let fits = |stroke: &Stroke| chord || !matches!(stroke, Stroke::ArpeggioDown | Stroke::ArpeggioUp);
            let fitting: Vec<Stroke> = music.strokes.iter().copied().filter(fits).collect();
            event.stroke = choices.one_of(&fitting);
        }
        if choices.happens(3) {
            event.chord = choices.one_of(&music.chords).map(str::to_owned);
        }
        if choices.happens(2) {
            event.voicing = choices.one_of(&music.voicings);
        }
        if !music.words.is_empty() && choices.happens(3) {
            event.text = Some(words(choices, &music.words, 3));
        }
    }

    /// Returns techniques that one hand can bring together on a note at `number`.
    fn techniques(&self, number: u8, choices: &mut Choices) -> Vec<Technique> {
        let mut open = self.techniques_at(number, choices);
        let mut taken: Vec<Technique> = Vec::new();
        let wanted = 1 + choices.below(self.music.techniques_on_a_note);
        while taken.len() < wanted {
            open.retain(|technique| taken.iter().all(|other| together(*technique, *other)));
            let Some(technique) = choices.one_of(&open) else { break };
            taken.push(technique);
        }
        taken.sort_unstable();
        taken
    }

    /// Returns every technique that can be played on a note at `number`, whatever stands beside it.
    fn techniques_at(&self, number: u8, choices: &mut Choices) -> Vec<Technique> {
        use Technique as T;
        let last = self.music.frets;
        let amount = BendAmount::quarter_tones(choices.number(1..=12)).unwrap();
        let mut all = vec![
            T::PalmMute,
            T::Dead,
            T::Ghost,
            T::LetRing,
            T::TremoloPicking,
            T::PinchHarmonic,
            T::WhammyDip(amount),
            T::WhammyDive(amount),
        ];
        if number > 0 {
            all.extend([T::Bend(amount), T::BendRelease(amount), T::PreBend(amount), T::PreBendRelease(amount)]);
            all.extend([T::Vibrato, T::Tap, T::FrettingHandTap]);
        } else {
            all.retain(|technique| *technique != T::PinchHarmonic);
        }
        if number > 1 {
            all.extend([T::SlideInFromBelow, T::SlideOutDown]);
        }
        if number > 0 && number < last {
            all.extend([T::SlideInFromAbove, T::SlideOutUp]);
        }
        let other = choices.number(0..=last);
        if other != number {
            all.push(T::Trill(fret(other)));
        }
        // Places where every string has a strong node, common practice.
        if [5, 7, 12, 19, 24].contains(&number) {
            all.push(T::NaturalHarmonic);
        }
        for above in [12, 7, 5, 19].map(|above| number + above).into_iter().filter(|touch| *touch <= Fret::LAST) {
            all.extend([T::TouchedHarmonic(fret(above)), T::TappedHarmonic(fret(above))]);
        }
        all.retain(|technique| (self.music.technique)(*technique));
        all
    }

    /// Puts grace notes before plain notes that no join leads to, and takes techniques that a join
    /// does not allow off the notes that one leads to.
    fn grace(&self, bars: &mut [Bar], choices: &mut [Choices]) {
        let voices = bars.iter().map(|bar| bar.voices.len()).max().unwrap_or(0);
        for voice in 0..voices {
            let mut arriving: Vec<StringNumber> = Vec::new();
            for (bar, choices) in bars.iter_mut().zip(choices.iter_mut()) {
                let Some(voice) = bar.voices.get_mut(voice) else {
                    arriving.clear();
                    continue;
                };
                for event in &mut voice.0 {
                    for note in event.notes.iter_mut().filter(|note| arriving.contains(&note.string)) {
                        note.techniques.retain(|technique| {
                            matches!(technique, Technique::Vibrato | Technique::LetRing | Technique::PalmMute)
                        });
                    }
                    if self.music.grace && choices.happens(2) {
                        self.grace_before(event, &arriving, choices);
                    }
                    arriving = event.notes.iter().filter(|note| note.join.is_some()).map(|note| note.string).collect();
                }
            }
        }
    }

    fn grace_before(&self, event: &mut Event, arriving: &[StringNumber], choices: &mut Choices) {
        let Some(main) = event.notes.iter().find(|note| !arriving.contains(&note.string) && note.techniques.is_empty())
        else {
            return;
        };
        let mut to = main.fret;
        let mut grace = Vec::new();
        for _ in 0..=choices.below(2) {
            let from = fret(choices.number(0..=self.music.frets));
            let mut possible = self.possible_joins(from, to);
            possible.retain(|join| *join != Join::Tie);
            let join = if choices.happens(10) { choices.one_of(&possible) } else { None };
            grace.insert(0, Note { join, ..Note::plain(main.string, from) });
            to = from;
        }
        event.grace = grace;
    }
}

/// Whether two techniques can stand on one note.
fn together(one: Technique, other: Technique) -> bool {
    use Technique as T;
    let clash = |a: T, b: T| match a {
        T::Dead => !matches!(b, T::PalmMute),
        T::Bend(_) | T::BendRelease(_) | T::PreBend(_) | T::PreBendRelease(_) => matches!(
            b,
            T::Bend(_)
                | T::BendRelease(_)
                | T::PreBend(_)
                | T::PreBendRelease(_)
                | T::Trill(_)
                | T::NaturalHarmonic
                | T::WhammyDip(_)
                | T::WhammyDive(_)
                | T::SlideInFromAbove
                | T::SlideInFromBelow
                | T::SlideOutDown
                | T::SlideOutUp
        ),
        T::NaturalHarmonic => !matches!(b, T::LetRing | T::Vibrato | T::WhammyDip(_) | T::WhammyDive(_) | T::Ghost),
        T::TouchedHarmonic(_) | T::TappedHarmonic(_) | T::PinchHarmonic => {
            !matches!(b, T::LetRing | T::Vibrato | T::WhammyDip(_) | T::WhammyDive(_) | T::Bend(_))
        }
        T::Tap | T::FrettingHandTap => !matches!(b, T::LetRing | T::Vibrato | T::Bend(_) | T::Ghost),
        T::SlideInFromBelow => matches!(b, T::SlideInFromAbove | T::PreBend(_) | T::PreBendRelease(_)),
        T::SlideOutDown => matches!(b, T::SlideOutUp | T::LetRing),
        T::SlideOutUp => matches!(b, T::LetRing),
        T::PalmMute => matches!(b, T::LetRing),
        T::WhammyDip(_) => matches!(b, T::WhammyDive(_) | T::Vibrato),
        T::WhammyDive(_) => matches!(b, T::Vibrato),
        T::Trill(_) => matches!(b, T::TremoloPicking | T::Vibrato),
        T::SlideInFromAbove | T::Vibrato | T::Ghost | T::LetRing | T::TremoloPicking => false,
    };
    std::mem::discriminant(&one) != std::mem::discriminant(&other) && !clash(one, other) && !clash(other, one)
}

fn any_key(choices: &mut Choices) -> Key {
    let keys = ["C", "Am", "G", "Em", "F", "Dm", "Bb", "F#m", "Ebm", "C#", "Cb", "E"];
    choices.one_of(&keys).unwrap().parse().unwrap()
}

fn any_tempo(choices: &mut Choices) -> Tempo {
    let beats = ["1/4", "1/4.", "1/2", "1/8"];
    let beat = choices.one_of(&beats).unwrap().parse().unwrap();
    Tempo::new(beat, [120, 60, 92, 144, 10, 600, 76][choices.below(7)]).unwrap()
}

/// Returns one to `most` words with spaces between.
fn words(choices: &mut Choices, from: &[&'static str], most: usize) -> String {
    let count = 1 + choices.below(most);
    let words: Vec<&str> = (0..count).filter_map(|_| choices.one_of(from)).collect();
    words.join(" ")
}

/// Returns some text, or none at all.
fn perhaps_words(choices: &mut Choices) -> String {
    if choices.happens(6) { words(choices, &WORDS, 4) } else { String::new() }
}

/// Builds a lesson from numbers: the first list shapes everything but the music, the others are bars.
pub fn lesson_from(numbers: &[Vec<u16>]) -> Lesson {
    let (first, bars) = numbers.split_first().map_or((&[][..], &[][..]), |(first, bars)| (first.as_slice(), bars));
    let mut maker = LessonMaker { choices: Choices::new(first), lesson: Lesson::default() };
    maker.lesson.header = maker.header();
    for place in 0..maker.choices.below(3) {
        let item = maker.instrument(InstrumentId(number_of(place)));
        maker.lesson.instruments.push(item);
    }
    for place in 0..maker.choices.below(4) {
        let item = maker.setup(SetupId(number_of(place)));
        maker.lesson.setups.push(item);
    }
    for place in 0..maker.choices.below(4) {
        let item = maker.piece(PieceId(number_of(place)));
        maker.lesson.pieces.push(item);
    }
    for place in 0..maker.choices.below(5) {
        let item = maker.voicing(VoicingId(number_of(place)));
        maker.lesson.voicings.push(item);
    }
    for (place, bars) in bars.chunks(3).enumerate() {
        let item = maker.passage(PassageId(number_of(place)), bars);
        maker.lesson.passages.push(item);
    }
    for place in 0..maker.choices.below(7) {
        let item = maker.segment(SegmentId(number_of(place)));
        maker.lesson.segments.push(item);
    }
    maker.lesson
}

/// Identities with holes, out of order, and never twice.
fn number_of(place: usize) -> u32 {
    u32::try_from((place * 7 + 3) % 20).unwrap()
}

/// Builds an edit of `lesson` from numbers, which it uses up; some do not fit.
pub fn edit_from(lesson: &Lesson, choices: &mut Choices) -> Edit {
    let mut maker = LessonMaker { choices: choices.clone(), lesson: lesson.clone() };
    let edit = maker.edit(lesson);
    *choices = maker.choices;
    edit
}

struct LessonMaker<'a> {
    choices: Choices<'a>,
    lesson: Lesson,
}

impl LessonMaker<'_> {
    fn edit(&mut self, lesson: &Lesson) -> Edit {
        let maker = self;
        match maker.choices.below(9) {
            0 => Edit::Header(maker.header()),
            1 => Edit::Instruments(maker.list_edit(&lesson.instruments, InstrumentId, LessonMaker::instrument)),
            2 => Edit::Setups(maker.list_edit(&lesson.setups, SetupId, LessonMaker::setup)),
            3 => Edit::Pieces(maker.list_edit(&lesson.pieces, PieceId, LessonMaker::piece)),
            4 => Edit::Passages(maker.list_edit(&lesson.passages, PassageId, LessonMaker::short_passage)),
            5 => Edit::Voicings(maker.list_edit(&lesson.voicings, VoicingId, LessonMaker::voicing)),
            6 | 7 => Edit::Segments(maker.list_edit(&lesson.segments, SegmentId, LessonMaker::segment)),
            _ => {
                let passage = maker.link(&lesson.passages, PassageId);
                let bars = lesson.passages.iter().find(|known| known.id == passage).map_or(0, |known| known.bars.len());
                let at = maker.choices.below(bars + 2);
                let remove = maker.choices.below((bars + 2).saturating_sub(at));
                let insert = maker.short_passage(passage).bars;
                Edit::Bars { passage, at, remove, insert }
            }
        }
    }

    fn list_edit<T: Item<Id = Id> + Clone, Id: Copy>(
        &mut self,
        list: &[T],
        id: fn(u32) -> Id,
        make: fn(&mut Self, Id) -> T,
    ) -> ListEdit<T, Id> {
        match self.choices.below(5) {
            0 => {
                let new = id(u32::try_from(self.choices.below(60)).unwrap());
                ListEdit::Insert { at: self.choices.below(list.len() + 2), item: make(self, new) }
            }
            1 => ListEdit::Remove(self.link(list, id)),
            2 => {
                let known = self.link(list, id);
                ListEdit::Replace(make(self, known))
            }
            3 => ListEdit::Move { id: self.link(list, id), to: self.choices.below(list.len() + 1) },
            _ => {
                // Now and then two things end up with one identity, as a file edited by hand may have it.
                let at = self.choices.below(list.len() + 1);
                let other =
                    if self.choices.happens(3) { self.link(list, id) } else { id(60 + u32::try_from(at).unwrap()) };
                ListEdit::Renumber { at, id: other }
            }
        }
    }

    /// Returns the identity of something in `list`, or now and then of nothing.
    fn link<T: Item<Id = Id>, Id: Copy>(&mut self, list: &[T], id: fn(u32) -> Id) -> Id {
        let ids: Vec<Id> = list.iter().map(Item::id).collect();
        if self.choices.happens(2) { id(99) } else { self.choices.one_of(&ids).unwrap_or(id(99)) }
    }

    fn perhaps_setup(&mut self) -> Option<SetupId> {
        let setups = self.lesson.setups.clone();
        self.choices.happens(8).then(|| self.link(&setups, SetupId))
    }

    fn header(&mut self) -> Header {
        let choices = &mut self.choices;
        Header {
            title: words(choices, &WORDS, 4),
            series: perhaps_words(choices),
            number: if choices.happens(4) { Some(7) } else { None },
            author: perhaps_words(choices),
            date: perhaps_words(choices),
            credit: perhaps_words(choices),
            rights: perhaps_words(choices),
            chord_names: choices.one_of(&[ChordNames::PlayedAs, ChordNames::SoundsAs]).unwrap(),
            target: if choices.happens(4) { Some(VideoLength::from_seconds(860)) } else { None },
        }
    }

    fn instrument(&mut self, id: InstrumentId) -> OwnedInstrument {
        let choices = &mut self.choices;
        let strings = [6, 3, 4, 5, 7, 8, 12][choices.below(7)];
        let short = (strings == 5 && choices.happens(8)).then(|| ShortString { string: string(5), starts_at: fret(5) });
        let body = Instrument {
            name: words(choices, &WORDS, 2),
            strings,
            frets: fret(choices.number(5..=30)),
            scale: Millimetres([648.0, 330.5, 864.0][choices.below(3)]),
            short,
        };
        OwnedInstrument { id, body }
    }

    fn setup(&mut self, id: SetupId) -> Setup {
        let instruments = self.lesson.instruments.clone();
        let instrument = self.link(&instruments, InstrumentId);
        let strings = instruments.iter().find(|known| known.id == instrument).map_or(6, |known| known.body.strings);
        let choices = &mut self.choices;
        let open = (0..strings).map(|_| Pitch::usual(MidiNote::new(choices.number(28..=70)).unwrap())).collect();
        let capo = choices.happens(5).then(|| Capo {
            fret: fret(choices.number(1..=7)),
            strings: if choices.happens(5) { vec![string(2), string(3)] } else { Vec::new() },
        });
        Setup {
            id,
            name: words(choices, &WORDS, 2),
            instrument,
            tuning: Tuning::new(open).unwrap(),
            capo,
            reference: if choices.happens(3) { Some(Hertz(432.5)) } else { None },
            tone: perhaps_words(choices),
        }
    }

    fn piece(&mut self, id: PieceId) -> Piece {
        let setup = self.perhaps_setup();
        let choices = &mut self.choices;
        Piece {
            id,
            title: words(choices, &WORDS, 3),
            credit: perhaps_words(choices),
            setup,
            key: if choices.happens(8) { Some(any_key(choices)) } else { None },
            tempo: if choices.happens(8) { Some(any_tempo(choices)) } else { None },
            notes: perhaps_words(choices),
        }
    }

    fn voicing(&mut self, id: VoicingId) -> Voicing {
        let setup = self.perhaps_setup();
        let choices = &mut self.choices;
        let strings = choices.number(3..=12);
        let places: Vec<Option<Fret>> =
            (0..strings).map(|_| if choices.happens(4) { None } else { Some(fret(choices.number(0..=15))) }).collect();
        let doubts = [Doubt::Sure, Doubt::Unsure, Doubt::NotHeard];
        let fingers = [None, Some(Finger::Index), Some(Finger::Little), Some(Finger::Thumb)];
        Voicing {
            id,
            shape: Shape::new(places).unwrap(),
            doubts: if choices.happens(5) {
                (0..strings).filter_map(|_| choices.one_of(&doubts)).collect()
            } else {
                Vec::new()
            },
            setup,
            readings: (0..choices.below(3)).filter_map(|_| choices.one_of(&CHORDS)).map(str::to_owned).collect(),
            fingers: if choices.happens(5) {
                (0..strings).filter_map(|_| choices.one_of(&fingers)).collect()
            } else {
                Vec::new()
            },
            barre: choices.happens(3).then(|| Barre { fret: fret(5), from: string(strings), to: string(1) }),
            tags: (0..choices.below(3)).map(|_| words(choices, &WORDS, 1)).collect(),
            notes: perhaps_words(choices),
        }
    }

    fn short_passage(&mut self, id: PassageId) -> Passage {
        let mut numbers: Vec<u16> = Vec::new();
        for _ in 0..24 {
            numbers.push(u16::try_from(self.choices.below(1 << 16)).unwrap());
        }
        self.passage(id, &[numbers.clone(), numbers])
    }

    fn passage(&mut self, id: PassageId, bars: &[Vec<u16>]) -> Passage {
        let setup = self.perhaps_setup();
        let pieces = self.lesson.pieces.clone();
        let voicings = self.lesson.voicings.iter().map(|voicing| voicing.id).collect();
        let music = Music { voicings, strings: self.choices.number(3..=12), ..Music::everything() };
        let head: Vec<u16> = (0..20).map(|_| u16::try_from(self.choices.below(1 << 16)).unwrap()).collect();
        let piece = self.choices.happens(10).then(|| self.link(&pieces, PieceId));
        Passage { piece, setup, ..PassageMaker { music: &music }.passage(id, &head, bars) }
    }

    fn segment(&mut self, id: SegmentId) -> Segment {
        let setup = self.perhaps_setup();
        let lesson = self.lesson.clone();
        let pieces = (0..self.choices.below(2)).map(|_| self.link(&lesson.pieces, PieceId)).collect();
        let voicings = (0..self.choices.below(3)).map(|_| self.link(&lesson.voicings, VoicingId)).collect();
        let passages = (0..self.choices.below(3))
            .map(|_| {
                let passage = self.link(&lesson.passages, PassageId);
                let first = 1 + u32::try_from(self.choices.below(4)).unwrap();
                PassageUse {
                    bars: self.choices.happens(6).then_some(BarRange { first, last: first + 1 }),
                    slow_times: self.choices.number(0..=3),
                    ..PassageUse::whole(passage)
                }
            })
            .collect();
        let choices = &mut self.choices;
        let milliseconds = |choices: &mut Choices| u32::try_from(choices.below(1 << 16)).unwrap() * 20;
        let start = milliseconds(choices);
        let recorded = choices.happens(6).then(|| Recorded {
            start: VideoTime(start),
            end: choices.happens(8).then(|| VideoTime(start + 1 + milliseconds(choices))),
        });
        Segment {
            id,
            kind: choices.one_of(&SegmentKind::ALL).unwrap(),
            title: words(choices, &WORDS, 3),
            planned: VideoLength(milliseconds(choices)),
            recorded,
            setup,
            pieces,
            passages,
            voicings,
            talking_points: (0..choices.below(3)).map(|_| words(choices, &WORDS, 6)).collect(),
            shot: perhaps_words(choices),
            tone: perhaps_words(choices),
        }
    }
}
