//! What random music may be made of.

use std::ops::RangeInclusive;

use fingerpost::lesson::id::VoicingId;
use fingerpost::lesson::music::{Join, Stroke, Technique};
use fingerpost::lesson::time::{Meter, NoteValue, Tuplet};

/// Which music [`super::any_passage`] may make. Take [`Music::everything`] or [`Music::plain`] and change
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
            joins: vec![Join::Tie, Join::HammerOn, Join::PullOff, Join::Slide, Join::SlideAndPick],
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
