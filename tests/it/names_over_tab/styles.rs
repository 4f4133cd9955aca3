//! Ways to accompany, each of which fits the names over it.

use std::collections::HashMap;

use fingerpost::instrument::catalogue;
use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::tuning::Capo;
use fingerpost::instrument::voicing::request::Request;
use fingerpost::instrument::voicing::search::voicings;
use fingerpost::lesson::id::PassageId;
use fingerpost::lesson::music::{Bar, Event, Join, Note, Passage, Technique, Voice};
use fingerpost::lesson::phrase::Slot;
use fingerpost::lesson::time::{Length, NoteValue};
use fingerpost::theory::pitch::{MidiNote, PitchClass};
use fingerpost::theory::pitch_set::PitchSet;
use fingerpost::theory::symbol::ChordSymbol;

use crate::workbench::random::Dice;

/// A way to accompany.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// All strings of the voicing, in a rhythm.
    Strums,
    /// Some strings of it.
    PartialChords,
    /// One string after the other, ringing on or not.
    Broken,
    /// The same with one passing note, hammered on, pulled off or picked.
    Ornamented,
    /// A bass note, then the upper strings.
    BassAndChord,
    /// Two voices: the bass, and a melody of the scale.
    MelodyOverBass,
    /// Two voices: one bass note through all chords, and a melody.
    MelodyOverPedal,
    /// One bass note through all chords, and the upper strings of each.
    ChordsOverPedal,
    /// A single line of the scale.
    Line,
    /// A single line on one string.
    OneString,
    /// A figure of three notes that is repeated under all names.
    Ostinato,
    /// One strum, then rests; the name stands over a rest now and then.
    Rests,
    /// Root and fifth, with power chords of the scale between them.
    PowerChords,
    /// A suspension that resolves.
    Suspended,
    /// The chord, its neighbour, and the chord again.
    Neighbour,
    /// A larger chord under the plain name.
    Colours,
    /// The next chord comes an eighth early.
    Pushed,
    /// The second half of the bar goes on without a name.
    Unnamed,
    /// The triad on the third of the name, or on its fifth, on three strings: somebody else plays the bass.
    UpperPart,
    /// Thirds or sixths of the scale.
    TwoNotes,
    /// The voicing, with a melody on its highest string.
    ChordMelody,
    /// Third and seventh of a seventh chord.
    Shells,
    /// One strum, then a melody of the scale.
    StrumThenMelody,
}

/// The styles in which names are right, without passing notes.
pub const RIGHT: [Style; 22] = [
    Style::Strums,
    Style::PartialChords,
    Style::Broken,
    Style::BassAndChord,
    Style::MelodyOverBass,
    Style::MelodyOverPedal,
    Style::ChordsOverPedal,
    Style::Line,
    Style::OneString,
    Style::Ostinato,
    Style::Rests,
    Style::PowerChords,
    Style::Suspended,
    Style::Neighbour,
    Style::Colours,
    Style::Pushed,
    Style::Unnamed,
    Style::UpperPart,
    Style::TwoNotes,
    Style::ChordMelody,
    Style::Shells,
    Style::StrumThenMelody,
];

/// The styles in which one name is made wrong.
pub const WRONG: [Style; 5] =
    [Style::Strums, Style::BassAndChord, Style::PartialChords, Style::Broken, Style::Ornamented];

/// A passage, and the names that stand over it with what they stand for.
pub struct Played {
    pub passage: Passage,
    /// Where each name stands, and the chord as it sounds.
    pub names: Vec<(Slot, ChordSymbol)>,
}

const TUNINGS: [(&str, &str); 10] = [
    ("guitar", "standard"),
    ("guitar", "standard"),
    ("guitar", "drop D"),
    ("guitar", "DADGAD"),
    ("guitar", "open G"),
    ("guitar", "half step down"),
    ("7-string guitar", "7-string standard"),
    ("ukulele", "ukulele re-entrant"),
    ("baritone ukulele", "baritone ukulele"),
    ("banjo", "banjo open G"),
];

/// Makes one note off the beat a passing one.
fn pass(dice: &mut Dice, order: &mut [Note]) {
    let place = 2 * dice.roll(order.len() / 2) + 1;
    pass_at(dice, order, place);
}

/// Makes a note a step from the one before it, on its string; returns whether there is a fret for it.
fn pass_at(dice: &mut Dice, order: &mut [Note], place: usize) -> bool {
    let Some([before, passing]) = order.get_mut(place - 1..=place).and_then(|pair| pair.first_chunk_mut()) else {
        return false;
    };
    let step = dice.pick(&[1, 2]);
    let up = before.fret.number() < step || dice.roll(2) == 0;
    let fret = if up { before.fret.number() + step } else { before.fret.number() - step };
    let Some(fret) = Fret::new(fret) else { return false };
    *passing = Note::plain(before.string, fret);
    before.join = match (dice.roll(3), up) {
        (0, _) => None,
        (_, true) => Some(Join::HammerOn),
        (_, false) => Some(Join::PullOff),
    };
    true
}

/// Strews passing notes over a passage: here and there the second half of a single note goes to a step beside it, hammered on, pulled off
/// or picked.
pub fn strew(dice: &mut Dice, passage: &mut Passage) {
    for voice in passage.bars.iter_mut().flat_map(|bar| &mut bar.voices) {
        // One in four notes at most: where there are more of them, they are a line.
        for _ in 0..dice.roll(voice.0.len() / 4 + 1) {
            let place = dice.roll(voice.0.len());
            let Some((first, second)) = voice.0.get(place).and_then(|event| halves(dice, event)) else { continue };
            voice.0.splice(place..=place, [first, second]);
        }
    }
}

/// Returns an event of one plain note as the note and a passing one behind it.
fn halves(dice: &mut Dice, whole: &Event) -> Option<(Event, Event)> {
    let half = NoteValue::ALL.iter().position(|value| Length::plain(*value) == whole.length)? + 1;
    let length = Length::plain(*NoteValue::ALL.get(half).filter(|half| **half <= NoteValue::Sixteenth)?);
    let [main] = whole.notes.as_slice() else { return None };
    let mut pair = [main.clone(), main.clone()];
    if main.join.is_some() || !pass_at(dice, &mut pair, 1) {
        return None;
    }
    let [main, passing] = pair;
    let (main, passing) = (vec![main], vec![passing]);
    Some((Event { length, notes: main, ..whole.clone() }, Event::notes(length, passing)))
}

/// The instruments on which one name is measured over all that follows.
pub const UNDER_ONE_NAME: [(&str, &str); 5] = [
    ("guitar", "standard"),
    ("guitar", "drop D"),
    ("guitar", "DADGAD"),
    ("ukulele", "ukulele re-entrant"),
    ("bass", "bass standard"),
];

/// Returns an instrument in some tuning, perhaps with a capo.
pub fn rig(dice: &mut Dice) -> Rig {
    let chosen = dice.pick(&TUNINGS);
    rig_of(dice, chosen)
}

/// Returns an instrument in a tuning, a guitar perhaps with a capo.
pub fn rig_of(dice: &mut Dice, (instrument, tuning): (&str, &str)) -> Rig {
    let known = &catalogue::instrument_named(instrument).unwrap().instrument;
    let tuning = catalogue::tuning_from_text(tuning, known).unwrap();
    let fret = if instrument == "guitar" && dice.roll(3) == 0 { dice.pick(&[2_u8, 3, 5]) } else { 0 };
    let capo = (fret > 0).then(|| Capo { fret: Fret::new(fret).unwrap(), strings: Vec::new() });
    Rig::new(known.clone(), tuning, capo).unwrap()
}

/// What follows behind the first chord under one name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GoesOn {
    /// A melody of the scale, from the second beat on.
    Melody,
    /// Strums of the same chord.
    Same,
    /// Strums of another chord from the second bar on.
    Another,
}

const ROOTS: [&str; 12] = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];

pub fn any_symbol(dice: &mut Dice) -> ChordSymbol {
    let suffix = dice.pick(&["", "", "m", "m", "7", "m7", "maj7"]);
    format!("{}{suffix}", dice.pick(&ROOTS)).parse().unwrap()
}

/// Voicings that were looked for, by the open strings and the chord.
type KnownVoicings = HashMap<(Vec<MidiNote>, String), Vec<Vec<Note>>>;

/// Plays, and remembers the voicings that it has looked for.
#[derive(Default)]
pub struct Band {
    known: KnownVoicings,
}

/// What a chord is played with.
struct Part<'a> {
    rig: &'a Rig,
    style: Style,
    /// The notes of the key.
    scale: PitchSet,
    /// The voicing.
    notes: Vec<Note>,
    /// Another chord of the key.
    other: Vec<Note>,
    /// The chord that is played next.
    next: Vec<Note>,
    chord: ChordSymbol,
    pedal: Note,
    figure: Vec<Note>,
}

impl Band {
    /// Plays a progression; `None` where the instrument has no voicing for one of its chords.
    pub fn play(&mut self, dice: &mut Dice, rig: &Rig, style: Style) -> Option<Played> {
        let tonic = dice.roll(12);
        let minor = dice.roll(2) == 1;
        let steps: [usize; 7] = if minor { [0, 2, 3, 5, 7, 8, 10] } else { [0, 2, 4, 5, 7, 9, 11] };
        let scale: PitchSet = steps.iter().map(|step| PitchClass::of(i32::try_from(tonic + step).unwrap())).collect();
        let seventh = style == Style::Shells || dice.roll(3) == 0 && !matches!(style, Style::PowerChords);
        let progression: Vec<String> =
            (0..4 + dice.roll(5)).map(|_| chord_of_key(dice, tonic, minor, seventh)).collect();
        let symbols: Vec<ChordSymbol> = progression.iter().map(|name| name.parse().unwrap()).collect();
        let voicings: Option<Vec<Vec<Note>>> =
            symbols.iter().map(|symbol| self.voicing(dice, rig, &symbol.to_string(), style)).collect();
        let voicings = voicings?;
        let lowest = rig.strings().next()?;
        let pedal = note_of(rig, lowest, PitchClass::of(i32::try_from(tonic).unwrap()))?;
        let figure = line(dice, rig, scale, 3, None);
        let mut bars: Vec<Bar> = Vec::new();
        let mut names = Vec::new();
        let as_played = dice.roll(2) == 0;
        let mut half_open = false;
        for (place, symbol) in symbols.iter().enumerate() {
            let next = voicings.get(place + 1).unwrap_or(&voicings[0]).clone();
            let other = voicings[(place + 1 + dice.roll(voicings.len())) % voicings.len()].clone();
            let mut notes = voicings[place].clone();
            if style == Style::Colours {
                let root = symbol.root().pitch_class();
                let rooted = |notes: &Vec<Note>| {
                    notes.iter().any(|note| pitch(rig, note).is_some_and(|note| note.pitch_class() == root))
                };
                notes = self.coloured(dice, rig, symbol, scale).filter(rooted).unwrap_or(notes);
            }
            let other = if matches!(style, Style::Suspended) {
                self.suspended(dice, rig, symbol).unwrap_or(notes.clone())
            } else {
                other
            };
            let part = Part {
                rig,
                style,
                scale,
                notes,
                other,
                next,
                chord: symbol.clone(),
                pedal: pedal.clone(),
                figure: figure.clone(),
            };
            let half = dice.roll(4) == 0 || half_open;
            let whole_bars = if half { 1 } else { 1 + usize::from(dice.roll(4) == 0) };
            for bar in 0..whole_bars {
                let (mut upper, lower) = part.play(dice, if half { 4 } else { 8 });
                if bar == 0 {
                    let written =
                        if as_played { symbol.moved(-rig.played_as().semitones(), None) } else { symbol.clone() };
                    upper[0].chord = Some(written.to_string());
                    let at = if half_open { bars.len() - 1 } else { bars.len() };
                    let event = if half_open { bars[at].voices[0].0.len() } else { 0 };
                    names.push((Slot { bar: at, event, voice: 0 }, symbol.clone()));
                }
                if half_open {
                    let open = bars.last_mut()?;
                    open.voices[0].0.extend(upper);
                    if let Some(voice) = open.voices.get_mut(1) {
                        voice.0.extend(lower);
                    }
                } else {
                    let voices = if lower.is_empty() { vec![Voice(upper)] } else { vec![Voice(upper), Voice(lower)] };
                    bars.push(Bar { voices, ..Bar::default() });
                }
            }
            half_open = half && !half_open;
        }
        Some(Played { passage: Passage::plain(PassageId(1), "random", bars), names })
    }

    /// Plays one name over four bars, the first of which is a strum or all strums of its chord: what follows is a melody, the same chord
    /// or, from the second bar on, another one. Returns it with the other chord.
    pub fn play_under_one_name(
        &mut self,
        dice: &mut Dice,
        rig: &Rig,
        goes_on: GoesOn,
    ) -> Option<(Played, ChordSymbol)> {
        let tonic = dice.roll(12);
        let scale: PitchSet =
            [0, 2, 4, 5, 7, 9, 11].iter().map(|step| PitchClass::of(i32::try_from(tonic + step).unwrap())).collect();
        let symbol: ChordSymbol = chord_of_key(dice, tonic, false, false).parse().unwrap();
        let other: ChordSymbol = chord_of_key(dice, tonic, false, false).parse().unwrap();
        let notes = self.voicing(dice, rig, &symbol.to_string(), Style::Strums)?;
        let others = self.voicing(dice, rig, &other.to_string(), Style::Strums)?;
        let melody = |dice: &mut Dice, count: usize| -> Vec<Event> {
            line(dice, rig, scale, count, None).into_iter().map(|note| event(1, vec![note])).collect()
        };
        let strums = |dice: &mut Dice, notes: &[Note]| -> Vec<Event> {
            rhythm(dice, 8).into_iter().map(|count| event(count, notes.to_vec())).collect()
        };
        let mut bars = Vec::new();
        for place in 0..4 {
            let mut events = match (goes_on, place) {
                (GoesOn::Melody, 0) => std::iter::once(event(2, notes.clone())).chain(melody(dice, 6)).collect(),
                (GoesOn::Melody, _) => melody(dice, 8),
                (GoesOn::Same, _) | (GoesOn::Another, 0) => strums(dice, &notes),
                (GoesOn::Another, _) => strums(dice, &others),
            };
            if place == 0 {
                events[0].chord = Some(symbol.to_string());
            }
            bars.push(Bar { voices: vec![Voice(events)], ..Bar::default() });
        }
        let names = vec![(Slot { bar: 0, event: 0, voice: 0 }, symbol)];
        Some((Played { passage: Passage::plain(PassageId(1), "random", bars), names }, other))
    }

    /// Returns one of the first voicings of a chord: a full one where the style strums.
    fn voicing(&mut self, dice: &mut Dice, rig: &Rig, symbol: &str, style: Style) -> Option<Vec<Note>> {
        let open = rig.strings().filter_map(|string| Some(rig.open(string)?.midi())).collect();
        let all = self.known.entry((open, symbol.to_owned())).or_insert_with(|| {
            let symbol: ChordSymbol = symbol.parse().unwrap();
            let found = voicings(rig, &symbol, &Request::default(), 40).unwrap_or_default();
            let strings = rig.strings().count();
            let notes = |shape: &fingerpost::instrument::neck::Shape| {
                let each = shape.strings().iter().enumerate();
                each.filter_map(|(index, fret)| Some(Note::plain(StringNumber::at(index, strings)?, (*fret)?)))
                    .collect()
            };
            found.iter().map(|voicing| notes(&voicing.shape)).collect()
        });
        let full = rig.strings().count().min(4);
        let strums = !matches!(style, Style::PartialChords | Style::Shells | Style::UpperPart);
        // A shape with many strings may still leave a tone of the triad to others, as on a bass.
        let is_full = |notes: &[Note]| {
            let heard: PitchSet =
                notes.iter().filter_map(|note| pitch(rig, note)).map(|note| note.pitch_class()).collect();
            let tones = symbol.parse::<ChordSymbol>().unwrap().tones();
            let triad: PitchSet = tones.iter().take(3).map(|tone| tone.pitch_class()).collect();
            notes.len() >= full && triad.minus(heard).is_empty()
        };
        let fitting: Vec<&Vec<Note>> = all.iter().filter(|notes| !strums || is_full(notes)).take(8).collect();
        let chosen = (!fitting.is_empty()).then(|| dice.pick(&fitting))?;
        let mut notes = chosen.clone();
        notes.sort_by_key(|note| std::cmp::Reverse(note.string));
        Some(notes)
    }

    /// Returns a larger chord that charts write as its plain triad.
    fn coloured(&mut self, dice: &mut Dice, rig: &Rig, symbol: &ChordSymbol, scale: PitchSet) -> Option<Vec<Note>> {
        let root = symbol.root();
        let larger: Vec<String> = match symbol.suffix() {
            "" => ["add9", "6", "maj7", "7", "6/9", "sus4", "sus2", "9"].map(|suffix| format!("{root}{suffix}")).into(),
            "m" => ["m7", "m(add9)", "m6", "m9", "m7"].map(|suffix| format!("{root}{suffix}")).into(),
            "7" => ["9", "13", "7sus4", "7"].map(|suffix| format!("{root}{suffix}")).into(),
            "m7" => ["m9", "m11", "m7"].map(|suffix| format!("{root}{suffix}")).into(),
            "maj7" => ["maj9", "maj7#11", "maj7"].map(|suffix| format!("{root}{suffix}")).into(),
            _ => return None,
        };
        let larger: Vec<&String> = larger
            .iter()
            .filter(|name| name.parse::<ChordSymbol>().unwrap().pitch_classes().minus(scale).is_empty())
            .collect();
        let name = (!larger.is_empty()).then(|| dice.pick(&larger))?;
        self.voicing(dice, rig, name, Style::Strums)
    }

    /// Returns the chord with its third or more suspended.
    fn suspended(&mut self, dice: &mut Dice, rig: &Rig, symbol: &ChordSymbol) -> Option<Vec<Note>> {
        let fourth = symbol.root().pitch_class();
        let fourth = ROOTS[usize::from(PitchClass::of(i32::from(fourth.number()) + 5).number())];
        let root = symbol.root();
        let minor = symbol.suffix().starts_with('m') && !symbol.suffix().starts_with("maj");
        // The fourth and sixth over the root that resolve to third and fifth.
        let six_four = format!("{fourth}{}/{root}", if minor { "m" } else { "" });
        let names = [format!("{root}sus4"), format!("{root}sus2"), format!("{root}7sus4"), six_four];
        let name = names[dice.roll(4)].clone();
        self.voicing(dice, rig, &name, Style::Strums)
    }
}

fn chord_of_key(dice: &mut Dice, tonic: usize, minor: bool, seventh: bool) -> String {
    let triads: &[(usize, &str, &str)] = if minor {
        &[
            (0, "m", "m7"),
            (0, "m", "m7"),
            (3, "", "maj7"),
            (5, "m", "m7"),
            (7, "m", "m7"),
            (7, "", "7"),
            (8, "", "maj7"),
            (10, "", "7"),
            (2, "dim", "m7b5"),
            (5, "", "7"),
        ]
    } else {
        &[
            (0, "", "maj7"),
            (0, "", "maj7"),
            (2, "m", "m7"),
            (4, "m", "m7"),
            (5, "", "maj7"),
            (7, "", "7"),
            (9, "m", "m7"),
            (11, "dim", "m7b5"),
            (2, "", "7"),
            (5, "m", "m7"),
            (10, "", "7"),
            (4, "", "7"),
        ]
    };
    let (step, triad, larger) = dice.pick(triads);
    format!("{}{}", ROOTS[(tonic + step) % 12], if seventh && dice.roll(3) > 0 { larger } else { triad })
}

fn eighths(count: usize) -> Length {
    let (value, dots) = match count {
        1 => (NoteValue::Eighth, 0),
        2 => (NoteValue::Quarter, 0),
        3 => (NoteValue::Quarter, 1),
        4 => (NoteValue::Half, 0),
        6 => (NoteValue::Half, 1),
        _ => (NoteValue::Whole, 0),
    };
    Length::new(value, dots, None).unwrap()
}

fn event(count: usize, notes: Vec<Note>) -> Event {
    let mut notes = notes;
    notes.sort_by_key(|note| note.string);
    Event::notes(eighths(count), notes)
}

/// Returns a rhythm that fills so many eighths.
fn rhythm(dice: &mut Dice, all: usize) -> Vec<usize> {
    if all == 8 {
        return dice
            .pick::<&[usize]>(&[
                &[8],
                &[4, 4],
                &[2, 2, 2, 2],
                &[1, 1, 1, 1, 1, 1, 1, 1],
                &[3, 3, 2],
                &[2, 1, 1, 2, 1, 1],
                &[2, 2, 4],
            ])
            .to_vec();
    }
    dice.pick::<&[usize]>(&[&[4], &[2, 2], &[1, 1, 1, 1], &[3, 1], &[2, 1, 1]]).to_vec()
}

/// Returns the lowest place on a string that sounds a tone.
fn note_of(rig: &Rig, string: StringNumber, tone: PitchClass) -> Option<Note> {
    let fret =
        rig.frets(string).find(|fret| rig.sounding(string, *fret).is_ok_and(|note| note.pitch_class() == tone))?;
    Some(Note::plain(string, fret))
}

fn pitch(rig: &Rig, note: &Note) -> Option<MidiNote> {
    rig.sounding(note.string, note.fret).ok()
}

/// Returns a line of the scale: steps and leaps on the three highest strings, or on one.
fn line(dice: &mut Dice, rig: &Rig, scale: PitchSet, count: usize, only: Option<StringNumber>) -> Vec<Note> {
    let strings: Vec<StringNumber> = rig.strings().collect();
    let upper: Vec<StringNumber> = strings.iter().rev().take(3).copied().collect();
    let base = dice.roll(6);
    let mut notes = Vec::new();
    while notes.len() < count {
        let string = only.unwrap_or_else(|| dice.pick(&upper));
        let places: Vec<Fret> = rig
            .frets(string)
            .skip(base)
            .take(5)
            .filter(|fret| rig.sounding(string, *fret).is_ok_and(|note| scale.has(note.pitch_class().number())))
            .collect();
        if !places.is_empty() {
            notes.push(Note::plain(string, dice.pick(&places)));
        }
    }
    notes
}

impl Part<'_> {
    /// Returns the events of the upper voice and of the lower one, for so many eighths.
    fn play(&self, dice: &mut Dice, all: usize) -> (Vec<Event>, Vec<Event>) {
        let Self { rig, style, scale, notes, other, next, .. } = self;
        let strum = |dice: &mut Dice, notes: &[Note]| -> Vec<Event> {
            let each = rhythm(dice, all).into_iter();
            each.enumerate()
                .map(|(place, count)| {
                    let dead = place > 0 && dice.roll(8) == 0;
                    let notes = notes.iter().map(|note| if dead { dead_note(note) } else { note.clone() }).collect();
                    event(count, notes)
                })
                .collect()
        };
        let single = |count: usize, note: &Note| event(count, vec![note.clone()]);
        let upper = match style {
            Style::Strums | Style::Colours => strum(dice, notes),
            Style::PartialChords => {
                let count = 2 + dice.roll(notes.len().saturating_sub(1).max(1));
                let from = dice.roll(notes.len().saturating_sub(count) + 1);
                strum(dice, &notes[from..(from + count).min(notes.len())])
            }
            Style::Broken | Style::Ornamented => {
                let rings = *style == Style::Broken && dice.roll(2) == 0;
                let mut order: Vec<Note> = (0..all)
                    .map(|place| if place == 0 { notes[0].clone() } else { notes[dice.roll(notes.len())].clone() })
                    .collect();
                if *style == Style::Ornamented {
                    pass(dice, &mut order);
                }
                let ringing =
                    |note: Note| if rings { Note { techniques: vec![Technique::LetRing], ..note } } else { note };
                order.into_iter().map(|note| event(1, vec![ringing(note)])).collect()
            }
            Style::BassAndChord => {
                let bass = |dice: &mut Dice| notes[dice.roll(2.min(notes.len()))].clone();
                let chord = notes[notes.len().saturating_sub(3)..].to_vec();
                (0..all / 4).flat_map(|_| [single(2, &bass(dice)), event(2, chord.clone())]).collect()
            }
            Style::MelodyOverBass | Style::MelodyOverPedal | Style::Line => {
                let rhythm = rhythm(dice, all);
                let melody = line(dice, rig, *scale, rhythm.len(), None);
                rhythm.iter().zip(&melody).map(|(count, note)| single(*count, note)).collect()
            }
            Style::OneString => {
                let string = dice.pick(&rig.strings().collect::<Vec<_>>());
                let melody = line(dice, rig, *scale, all, Some(string));
                melody.iter().map(|note| single(1, note)).collect()
            }
            Style::Ostinato => (0..all).map(|place| single(1, &self.figure[place % self.figure.len()])).collect(),
            Style::ChordsOverPedal => {
                let mut chord: Vec<Note> =
                    notes.iter().filter(|note| note.string != self.pedal.string).cloned().collect();
                chord.drain(..chord.len().saturating_sub(2 + dice.roll(3)));
                chord.push(self.pedal.clone());
                strum(dice, &chord)
            }
            Style::Rests => {
                let rest = Event::rest(eighths(all / 2));
                let struck = event(all / 2, notes.clone());
                if dice.roll(3) == 0 { vec![rest, struck] } else { vec![struck, rest] }
            }
            Style::PowerChords => self.power_chords(dice, all),
            Style::Suspended => vec![event(all / 2, other.clone()), event(all / 2, notes.clone())],
            Style::Neighbour => {
                vec![event(all / 4, notes.clone()), event(all / 2, other.clone()), event(all / 4, notes.clone())]
            }
            Style::Pushed => {
                let mut events: Vec<Event> = (0..all).map(|_| event(1, notes.clone())).collect();
                events[all - 1] = event(1, next.clone());
                events
            }
            Style::Unnamed => vec![event(all / 2, notes.clone()), event(all / 2, other.clone())],
            Style::UpperPart => {
                let triad = self.upper_part(dice);
                strum(dice, &triad)
            }
            Style::TwoNotes => {
                let rhythm = rhythm(dice, all);
                let melody = line(dice, rig, *scale, rhythm.len() * 2, None);
                let pairs = melody.chunks(2).map(|pair| {
                    let mut pair = pair.to_vec();
                    pair.dedup_by_key(|note| note.string);
                    pair
                });
                rhythm.iter().zip(pairs).map(|(count, pair)| event(*count, pair)).collect()
            }
            Style::ChordMelody => {
                let rhythm = rhythm(dice, all);
                let top = notes.last().map(|note| note.string).unwrap();
                let melody = line(dice, rig, *scale, rhythm.len(), Some(top));
                let mut held: Vec<Note> = notes.clone();
                held.pop();
                if held.iter().all(|note| {
                    pitch(rig, note).is_some_and(|pitch| pitch.pitch_class() != self.chord.tones()[1].pitch_class())
                }) {
                    return (strum(dice, notes), Vec::new());
                }
                let with = |(place, (count, note)): (usize, (&usize, &Note))| {
                    let mut all = if place == 0 || held.len() < 3 { held.clone() } else { Vec::new() };
                    all.push(note.clone());
                    event(*count, all)
                };
                rhythm.iter().zip(&melody).enumerate().map(with).collect()
            }
            Style::Shells => strum(dice, &self.shell()),
            Style::StrumThenMelody => {
                let struck = dice.pick(&[1, 2, 3]).min(all / 2);
                let melody = line(dice, rig, *scale, all - struck, None);
                let melody = melody.iter().map(|note| single(1, note));
                std::iter::once(event(struck, notes.clone())).chain(melody).collect()
            }
        };
        let lower = match style {
            Style::MelodyOverBass => vec![single(all, &self.bass())],
            Style::MelodyOverPedal => vec![single(all, &self.pedal)],
            Style::ChordMelody
            | Style::Strums
            | Style::PartialChords
            | Style::Broken
            | Style::Ornamented
            | Style::BassAndChord
            | Style::ChordsOverPedal
            | Style::Line
            | Style::OneString
            | Style::Ostinato
            | Style::Rests
            | Style::PowerChords
            | Style::Suspended
            | Style::Neighbour
            | Style::Colours
            | Style::Pushed
            | Style::Unnamed
            | Style::UpperPart
            | Style::TwoNotes
            | Style::Shells
            | Style::StrumThenMelody => Vec::new(),
        };
        (upper, lower)
    }

    fn bass(&self) -> Note {
        let string = self.rig.strings().next().unwrap();
        note_of(self.rig, string, self.chord.root().pitch_class()).unwrap()
    }

    fn power_chords(&self, dice: &mut Dice, all: usize) -> Vec<Event> {
        let strings: Vec<StringNumber> = self.rig.strings().collect();
        let low = dice.roll(strings.len() - 1);
        let power = |root: PitchClass| -> Option<Vec<Note>> {
            let fifth = PitchClass::of(i32::from(root.number()) + 7);
            Some(vec![note_of(self.rig, strings[low], root)?, note_of(self.rig, strings[low + 1], fifth)?])
        };
        let home = power(self.chord.root().pitch_class()).unwrap();
        let scale: Vec<u8> = self.scale.classes().collect();
        let events = (0..all / 2).map(|place| {
            let away = place > 0 && dice.roll(3) == 0;
            let root = PitchClass::of(i32::from(dice.pick(&scale)));
            event(2, if away { power(root).unwrap_or_else(|| home.clone()) } else { home.clone() })
        });
        events.collect()
    }

    /// Returns the triad on the third of the chord, or on its fifth, on three neighbouring strings.
    fn upper_part(&self, dice: &mut Dice) -> Vec<Note> {
        let root = self.chord.root().pitch_class();
        let above: Vec<u8> = self.chord.tones().iter().map(|tone| root.up_to(tone.pitch_class())).collect();
        let seventh_of_key = if self.scale.has(root.number() + 11) { 11 } else { 10 };
        let &[_, third, fifth @ 7, ..] = above.as_slice() else { return self.notes.clone() };
        let seventh = above.get(3).copied().unwrap_or(seventh_of_key);
        // Over the fifth stands the ninth, which is a whole step above the root.
        let upper = if dice.roll(2) == 0 { [third, fifth, seventh] } else { [fifth, seventh, 2] };
        let tones = upper.map(|up| PitchClass::of(i32::from(root.number() + up)));
        let strings: Vec<StringNumber> = self.rig.strings().collect();
        let upper = &strings[strings.len() - 3..];
        let turn = dice.roll(3);
        (0..3).filter_map(|place| note_of(self.rig, upper[place], tones[(place + turn) % 3])).collect()
    }

    fn shell(&self) -> Vec<Note> {
        let tones: Vec<PitchClass> = self.chord.tones().iter().map(|tone| tone.pitch_class()).collect();
        let wanted = [tones.get(1), tones.get(3)];
        let kept = self
            .notes
            .iter()
            .filter(|note| pitch(self.rig, note).is_some_and(|pitch| wanted.contains(&Some(&pitch.pitch_class()))));
        let kept: Vec<Note> = kept.cloned().collect();
        if kept.is_empty() { self.notes.clone() } else { kept }
    }
}

fn dead_note(note: &Note) -> Note {
    Note { techniques: vec![Technique::Dead], ..note.clone() }
}

impl Played {
    /// Writes another name at a place.
    pub fn rename(&mut self, slot: Slot, name: &str) {
        self.passage.bars[slot.bar].voices[slot.voice].0[slot.event].chord = Some(name.to_owned());
    }

    /// Returns whether root, third and perfect fifth of a chord sound where its name stands, in that half of the bar.
    pub fn sounds_in_full(&self, rig: &Rig, slot: Slot, chord: &ChordSymbol) -> bool {
        let mut heard = PitchSet::EMPTY;
        for (place, event) in self.passage.bars[slot.bar].voices[0].0.iter().enumerate().skip(slot.event) {
            if place > slot.event && event.chord.is_some() {
                break;
            }
            let sounding = event.notes.iter().filter(|note| note.techniques.iter().all(|one| *one != Technique::Dead));
            heard = sounding
                .filter_map(|note| pitch(rig, note))
                .fold(heard, |heard, pitch| heard.with(pitch.pitch_class()));
        }
        let root = chord.root().pitch_class();
        let triad: PitchSet = chord.tones().iter().take(3).map(|tone| tone.pitch_class()).collect();
        triad.minus(heard).is_empty() && triad.has(root.number() + 7)
    }

    /// Returns it in words, for a test that fails.
    pub fn described(&self, rig: &Rig) -> String {
        let mut text = String::new();
        for (number, bar) in self.passage.bars.iter().enumerate() {
            for voice in &bar.voices {
                text += &format!("  bar {}:", number + 1);
                for event in &voice.0 {
                    let notes: Vec<String> = event
                        .notes
                        .iter()
                        .rev()
                        .map(|note| {
                            let name = pitch(rig, note).map_or_else(
                                || "?".to_owned(),
                                |pitch| fingerpost::theory::pitch::NoteName::usual(pitch.pitch_class()).to_string(),
                            );
                            if note.techniques.contains(&Technique::Dead) { "x".to_owned() } else { name }
                        })
                        .collect();
                    let chord = event.chord.as_ref().map_or(String::new(), |chord| format!(" [{chord}]"));
                    text += &format!("{chord} {}({})", event.length, notes.join(" "));
                }
                text += "\n";
            }
        }
        text
    }
}
