//! The notated music of a lesson: passages, bars, voices, events, notes and how they are played.
//!
//! Events follow each other and nothing has a start: a voice is a sequence of events with written lengths, and a
//! start is the sum of what came before. A bar that does not add up can then be written, shown and reported, and no
//! edit can leave a gap.
//!
//! Chord names over tab are text. A teacher may write `N.C.` or a name of their own; what parses is transposed and
//! checked, what does not is kept as written and warned about.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::detailed::{Detail, Detailed, TypedText, maybe, title, words};
use super::id::{ItemId, PassageId, PieceId, SetupId, VoicingId};
use super::named::Named;
use super::time::{Length, Meter, Tempo, Ticks, TimeError};
use crate::instrument::hand::Finger;
use crate::instrument::neck::{Fret, StringNumber};
use crate::theory::key::Key;
use crate::theory::pitch::serde_as_text;

/// A notated excerpt of a piece.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Passage {
    /// Its identity.
    pub id: PassageId,
    /// What the teacher calls it: `verse riff`.
    pub title: String,
    /// The piece it comes from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<PieceId>,
    /// The setup, where it is not the piece's own.
    #[serde(default, skip_serializing_if = "Option::is_none", rename = "tuning", alias = "setup")]
    pub setup: Option<SetupId>,
    /// The key at the start.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub key: Option<Key>,
    /// The meter at the start.
    #[serde(rename = "time_signature", alias = "meter")]
    pub meter: Meter,
    /// The tempo at the start.
    pub tempo: Tempo,
    /// How written eighths or sixteenths are felt.
    #[serde(default, skip_serializing_if = "Feel::is_straight")]
    pub feel: Feel,
    /// The bars in order.
    pub bars: Vec<Bar>,
}

impl Passage {
    /// Returns whether nothing is written in it: no note or rest in any bar.
    pub fn is_unwritten(&self) -> bool {
        self.bars.iter().flat_map(|bar| &bar.voices).all(|voice| voice.0.is_empty())
    }

    /// Returns whether it has nothing to play and nothing to read: no note, chord name or word over its rests, if there are any.
    pub fn is_blank(&self) -> bool {
        let blank = |event: &Event| {
            event.is_rest()
                && event.grace.is_empty()
                && event.chord.is_none()
                && event.voicing.is_none()
                && event.text.is_none()
        };
        self.bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0).all(blank)
    }

    /// Returns a passage in common time, at the usual tempo, that belongs to nothing yet.
    pub fn plain(id: PassageId, title: impl Into<String>, bars: Vec<Bar>) -> Self {
        Self {
            id,
            title: title.into(),
            piece: None,
            setup: None,
            key: None,
            meter: Meter::COMMON,
            tempo: Tempo::USUAL,
            feel: Feel::Straight,
            bars,
        }
    }
}

impl Named for Passage {
    fn title(&self) -> Option<&str> {
        Some(&self.title)
    }
}

impl Detailed for Passage {
    fn details(&self, called: &dyn Fn(ItemId) -> String) -> Vec<Detail> {
        let Self { id: _, title, piece, setup, key, meter, tempo, feel, bars: _ } = self;
        let feel = match feel {
            Feel::Straight => "straight",
            Feel::SwungEighths => "swung eighths",
            Feel::SwungSixteenths => "swung sixteenths",
        };
        vec![
            words("title", title),
            maybe("piece", piece.map(|piece| called(piece.into()))),
            maybe("tuning", setup.map(|setup| called(setup.into()))),
            maybe("key", *key),
            words("time signature", meter.to_string()),
            words("tempo", tempo.to_string()),
            words("feel", feel),
        ]
    }

    fn texts(&self) -> Vec<TypedText<'_>> {
        vec![title("the title", &self.title)]
    }
}

/// How evenly the written subdivisions are played.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum Feel {
    /// As written.
    #[default]
    Straight,
    /// Eighths long-short.
    SwungEighths,
    /// Sixteenths long-short.
    SwungSixteenths,
}

impl Feel {
    /// Returns whether notes are played as written.
    pub fn is_straight(&self) -> bool {
        *self == Self::Straight
    }
}

/// One bar.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bar {
    /// The meter from here on, where it changes.
    #[serde(default, skip_serializing_if = "Option::is_none", rename = "time_signature", alias = "meter")]
    pub meter: Option<Meter>,
    /// The tempo from here on, where it changes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tempo: Option<Tempo>,
    /// The key from here on, where it changes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub key: Option<Key>,
    /// A pickup: shorter than the meter on purpose. Counted from the end of the bar.
    #[serde(default, skip_serializing_if = "is_false")]
    pub pickup: bool,
    /// A repeated stretch begins before this bar.
    #[serde(default, skip_serializing_if = "is_false")]
    pub repeat_start: bool,
    /// A repeated stretch ends after this bar and is played this many times in all (2 is the usual).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeat_end: Option<u8>,
    /// The endings this bar belongs to: `[1]`, `[1, 2]`; empty outside endings.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub endings: Vec<u8>,
    /// One or two voices, each of which should fill the bar; none is an empty bar.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub voices: Vec<Voice>,
}

/// One line of events that follow each other without gaps; silence is a rest.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Voice(pub Vec<Event>);

impl Voice {
    /// Returns each event with its exact start, counted from the start of the voice.
    pub fn timed(&self) -> impl Iterator<Item = (Ticks, &Event)> {
        self.0.iter().scan(Ticks::ZERO, |clock, event| {
            let start = *clock;
            *clock += event.length.ticks();
            Some((start, event))
        })
    }

    /// Returns the sum of the lengths.
    pub fn ticks(&self) -> Ticks {
        self.0.iter().map(|event| event.length.ticks()).sum()
    }
}

/// What happens at one moment of a voice: notes that start together, or a rest.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Event {
    /// The written length.
    pub length: Length,
    /// The notes; none is a rest.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<Note>,
    /// Grace notes played just before, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub grace: Vec<Note>,
    /// How the pick or hand crosses the strings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stroke: Option<Stroke>,
    /// The chord name that stands over this moment, as the teacher writes it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chord: Option<String>,
    /// The voicing it is played with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub voicing: Option<VoicingId>,
    /// Words over this moment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
}

impl Event {
    /// Returns a rest of `length`.
    pub fn rest(length: Length) -> Self {
        Self { length, notes: Vec::new(), grace: Vec::new(), stroke: None, chord: None, voicing: None, text: None }
    }

    /// Returns plain notes of `length`.
    pub fn notes(length: Length, notes: Vec<Note>) -> Self {
        Self { notes, ..Self::rest(length) }
    }

    /// Writes words over this moment, behind those that stand there.
    pub fn say(&mut self, words: &str) {
        self.text = Some(match self.text.as_deref() {
            None | Some("") => words.to_owned(),
            Some(known) => format!("{known}, {words}"),
        });
    }

    /// Returns whether nothing starts here.
    pub fn is_rest(&self) -> bool {
        self.notes.is_empty()
    }
}

/// One note on one string.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Note {
    /// The string.
    pub string: StringNumber,
    /// The fret; for a dead note, where the finger lies.
    pub fret: Fret,
    /// How it leads into the next note on the same string of the same voice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub join: Option<Join>,
    /// How it is played, each at most once.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub techniques: Vec<Technique>,
    /// The fretting finger.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finger: Option<Finger>,
}

impl Note {
    /// Returns a plain note.
    pub fn plain(string: StringNumber, fret: Fret) -> Self {
        Self { string, fret, join: None, techniques: Vec::new(), finger: None }
    }
}

/// How one note leads into the next on its string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Join {
    /// The next note is this one held on.
    Tie,
    /// The next, higher note is sounded by a finger that comes down.
    HammerOn,
    /// The next, lower note is sounded by a finger that leaves.
    PullOff,
    /// A slide to the next note, which is not picked.
    #[serde(alias = "LegatoSlide")]
    Slide,
    /// A slide to the next note, which is picked.
    #[serde(alias = "ShiftSlide")]
    SlideAndPick,
}

/// How a single note is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Technique {
    /// Slides in from a lower fret.
    #[serde(alias = "SlideInFromBelow")]
    SlideUpInto,
    /// Slides in from a higher fret.
    #[serde(alias = "SlideInFromAbove")]
    SlideDownInto,
    /// Slides out, down the neck.
    #[serde(alias = "SlideOutDown")]
    SlideAwayDown,
    /// Slides out, up the neck.
    #[serde(alias = "SlideOutUp")]
    SlideAwayUp,
    /// Bent up by an amount.
    Bend(BendAmount),
    /// Bent up and let down again.
    BendRelease(BendAmount),
    /// Bent before it is picked.
    PreBend(BendAmount),
    /// Bent before it is picked, then let down.
    PreBendRelease(BendAmount),
    /// Vibrato.
    Vibrato,
    /// Damped by the heel of the picking hand.
    PalmMute,
    /// A damped stroke without pitch.
    Dead,
    /// Played so softly that it is felt more than heard.
    Ghost,
    /// Rings on past its written length.
    LetRing,
    /// A rapid change with the note at another fret.
    Trill(Fret),
    /// Picked as fast as possible for its whole length.
    TremoloPicking,
    /// Sounded by a finger of the picking hand on the fretboard.
    Tap,
    /// Sounded by the fretting hand alone, from nowhere.
    #[serde(rename = "HammerOnFromNowhere", alias = "FrettingHandTap")]
    FrettingHandTap,
    /// Open string touched over this fret.
    NaturalHarmonic,
    /// Stopped at the note's fret and touched over the given one by the picking hand.
    #[serde(alias = "TouchedHarmonic")]
    ArtificialHarmonic(Fret),
    /// The thumb brushes the string as it is picked.
    PinchHarmonic,
    /// Stopped at the note's fret and tapped over the given one.
    TappedHarmonic(Fret),
    /// The tremolo bar dips by an amount and returns.
    #[serde(alias = "WhammyDip")]
    TremoloBarDip(BendAmount),
    /// The tremolo bar dives by an amount.
    #[serde(alias = "WhammyDive")]
    TremoloBarDive(BendAmount),
}

/// How far a bend goes, in quarter tones. Invariant: `1..=24` (six whole steps; dives go far).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BendAmount(u8);

impl BendAmount {
    /// A half step.
    pub const HALF: Self = Self(2);
    /// A whole step.
    pub const FULL: Self = Self(4);
    /// The widest amount.
    pub const WIDEST: u8 = 24;

    /// Returns `None` outside 1 to 24 quarter tones.
    pub const fn quarter_tones(count: u8) -> Option<Self> {
        if count >= 1 && count <= Self::WIDEST { Some(Self(count)) } else { None }
    }

    /// Returns the quarter tones; two are a semitone.
    pub const fn count(self) -> u8 {
        self.0
    }
}

/// Prints whole steps as players say them: `1/4`, `1/2`, `1`, `1 1/2`.
impl fmt::Display for BendAmount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (steps, quarters) = (self.0 / 4, self.0 % 4);
        let fraction = match quarters {
            1 => "1/4",
            2 => "1/2",
            3 => "3/4",
            _ => "",
        };
        match (steps, fraction) {
            (steps, "") => write!(f, "{steps}"),
            (0, fraction) => f.write_str(fraction),
            (steps, fraction) => write!(f, "{steps} {fraction}"),
        }
    }
}

/// Reads what it prints, and what players say for the usual bends: `quarter`, `half`, `full`.
impl FromStr for BendAmount {
    type Err = TimeError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wrong = || TimeError {
            text: text.to_owned(),
            expected: "a bend: whole steps and quarters up to 6, as in `1/2`, `1` or `1 1/2`, or `quarter`, `half` or `full`",
        };
        match text.trim().to_ascii_lowercase().as_str() {
            "quarter" => return Ok(Self(1)),
            "half" => return Ok(Self::HALF),
            "full" => return Ok(Self::FULL),
            _ => {}
        }
        let quarters = |part: &str| match part {
            "1/4" => Some(1),
            "1/2" => Some(2),
            "3/4" => Some(3),
            whole if whole.starts_with('+') => None,
            whole => whole.parse::<u8>().ok().and_then(|steps| steps.checked_mul(4)),
        };
        let mut parts = text.split_whitespace();
        let first = parts.next().and_then(quarters).ok_or_else(wrong)?;
        // A second part can only be a fraction after whole steps.
        let second = match parts.next() {
            Some(part) if first % 4 == 0 && part.contains('/') => quarters(part).ok_or_else(wrong)?,
            Some(_) => return Err(wrong()),
            None => 0,
        };
        let count = first.checked_add(second).filter(|_| parts.next().is_none()).ok_or_else(wrong)?;
        Self::quarter_tones(count).ok_or_else(wrong)
    }
}

/// How the pick or hand crosses the strings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Stroke {
    /// Toward the floor.
    Down,
    /// Toward the ceiling.
    Up,
    /// Dragged over muted strings into the note, toward the floor.
    RakeDown,
    /// Dragged over muted strings into the note, toward the ceiling.
    RakeUp,
    /// A slow strum, each string heard, toward the floor.
    ArpeggioDown,
    /// A slow strum, each string heard, toward the ceiling.
    ArpeggioUp,
}

serde_as_text!(BendAmount);

/// Returns whether serde leaves the flag out of the file: it does so with a `false`.
fn is_false(flag: &bool) -> bool {
    !*flag
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bends_read_back_as_printed() {
        for amount in (1..=BendAmount::WIDEST).filter_map(BendAmount::quarter_tones) {
            assert_eq!(amount.to_string().parse(), Ok(amount));
        }
        assert_eq!(BendAmount::quarter_tones(6).map(|amount| amount.to_string()), Some("1 1/2".to_owned()));
    }

    #[test]
    fn bends_are_read_in_the_words_of_players() {
        for (word, printed) in [("full", "1"), ("half", "1/2"), ("quarter", "1/4"), (" Full ", "1")] {
            assert_eq!(word.parse().map(|amount: BendAmount| amount.to_string()), Ok(printed.to_owned()), "{word}");
        }
    }

    #[test]
    fn what_is_no_bend_is_refused() {
        for text in [
            "",
            "0",
            "7",
            "1 1",
            "1/2 1",
            "1/2 1/2",
            "1/3",
            "1 1/2 1/4",
            "6 1/4",
            "64",
            "-1",
            "+1",
            "1 half",
            "full full",
            "fully",
        ] {
            assert!(text.parse::<BendAmount>().is_err(), "{text}");
        }
    }
}
