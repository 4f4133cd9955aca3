//! Random passages: valid music.

use fingerpost::instrument::hand::Finger;
use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::lesson::id::PassageId;
use fingerpost::lesson::music::{Bar, BendAmount, Event, Feel, Join, Note, Passage, Stroke, Technique, Voice};
use fingerpost::lesson::time::{Length, Meter, NoteValue, Ticks};

use super::choices::{Choices, any_key, any_tempo, fret, string, words};
use super::music::{Music, WORDS};

/// Builds one passage: first the frame (meters, repeats), then rhythm and notes, then what joins
/// and colours them, so that every technique knows the notes around it.
pub(super) struct PassageMaker<'a> {
    pub(super) music: &'a Music,
}

impl PassageMaker<'_> {
    pub(super) fn passage(&self, id: PassageId, head: &[u16], numbers: &[Vec<u16>]) -> Passage {
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
            Join::Slide | Join::SlideAndPick => from != to && from != Fret::OPEN && to != Fret::OPEN,
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
                    Join::HammerOn | Join::Slide | Join::SlideAndPick => &[Technique::PalmMute, Technique::Ghost],
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
            T::TremoloBarDip(amount),
            T::TremoloBarDive(amount),
        ];
        if number > 0 {
            all.extend([T::Bend(amount), T::BendRelease(amount), T::PreBend(amount), T::PreBendRelease(amount)]);
            all.extend([T::Vibrato, T::Tap, T::FrettingHandTap]);
        } else {
            all.retain(|technique| *technique != T::PinchHarmonic);
        }
        if number > 1 {
            all.extend([T::SlideUpInto, T::SlideAwayDown]);
        }
        if number > 0 && number < last {
            all.extend([T::SlideDownInto, T::SlideAwayUp]);
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
            all.extend([T::ArtificialHarmonic(fret(above)), T::TappedHarmonic(fret(above))]);
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
                | T::TremoloBarDip(_)
                | T::TremoloBarDive(_)
                | T::SlideDownInto
                | T::SlideUpInto
                | T::SlideAwayDown
                | T::SlideAwayUp
        ),
        T::NaturalHarmonic => {
            !matches!(b, T::LetRing | T::Vibrato | T::TremoloBarDip(_) | T::TremoloBarDive(_) | T::Ghost)
        }
        T::ArtificialHarmonic(_) | T::TappedHarmonic(_) | T::PinchHarmonic => {
            !matches!(b, T::LetRing | T::Vibrato | T::TremoloBarDip(_) | T::TremoloBarDive(_) | T::Bend(_))
        }
        T::Tap | T::FrettingHandTap => !matches!(b, T::LetRing | T::Vibrato | T::Bend(_) | T::Ghost),
        T::SlideUpInto => matches!(b, T::SlideDownInto | T::PreBend(_) | T::PreBendRelease(_)),
        T::SlideAwayDown => matches!(b, T::SlideAwayUp | T::LetRing),
        T::SlideAwayUp => matches!(b, T::LetRing),
        T::PalmMute => matches!(b, T::LetRing),
        T::TremoloBarDip(_) => matches!(b, T::TremoloBarDive(_) | T::Vibrato),
        T::TremoloBarDive(_) => matches!(b, T::Vibrato),
        T::Trill(_) => matches!(b, T::TremoloPicking | T::Vibrato),
        T::SlideDownInto | T::Vibrato | T::Ghost | T::LetRing | T::TremoloPicking => false,
    };
    std::mem::discriminant(&one) != std::mem::discriminant(&other) && !clash(one, other) && !clash(other, one)
}
