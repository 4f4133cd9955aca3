//! What a thing of a lesson holds, detail by detail, in the words that a teacher finds on the screen: to compare two versions of it.
//!
//! The music of a passage is not told here: it is read as tab.

use super::document::{
    BarRange, ChordNames, Header, Lesson, OwnedInstrument, PassageUse, Piece, Recorded, Segment, Setup, Voicing,
};
use super::edit::{Edit, ListEdit};
use super::id::ItemId;
use super::lists::each_list;
use super::music::{Feel, Passage};
use super::place::LessonPlace;
use crate::instrument::hand::{Barre, Finger};
use crate::instrument::neck::StringNumber;
use crate::theory::reading::Doubt;

/// One detail about a thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Detail {
    /// What it is about: `title`; of several in order, one of them: `talking point`.
    pub about: &'static str,
    /// What is so.
    pub value: DetailValue,
}

/// What is so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DetailValue {
    /// These words; none where nothing is said.
    Words(String),
    /// These in their order, each with words of its own.
    Several(Vec<String>),
}

/// A thing that can be told detail by detail.
pub trait Detailed {
    /// Returns its details, always the same ones in the same order; `lesson` has the names of what it links to.
    fn details(&self, lesson: &Lesson) -> Vec<Detail>;
}

/// Declares what is told of the version of a thing in each list.
macro_rules! details_of_versions {
    ($({ $field:ident $id:ident $place:ident $word:literal $edit:ident $($rest:tt)* })+) => {
        impl Edit {
            /// Returns the details of the thing that the edit puts in place; `None` where it puts no whole thing there.
            pub fn details(&self, lesson: &Lesson) -> Option<Vec<Detail>> {
                match self {
                    Self::Header(header) => Some(header.details(lesson)),
                    $(Self::$edit(edit) => edit.item().map(|item| item.details(lesson)),)+
                    Self::Bars { .. } => None,
                }
            }
        }
    };
}

each_list!(details_of_versions);

impl<T, Id> ListEdit<T, Id> {
    /// Returns the thing that the edit puts in place.
    pub const fn item(&self) -> Option<&T> {
        match self {
            Self::Insert { item, .. } | Self::Replace(item) => Some(item),
            Self::Remove(_) | Self::Move { .. } | Self::Renumber { .. } => None,
        }
    }
}

fn words(about: &'static str, text: impl Into<String>) -> Detail {
    Detail { about, value: DetailValue::Words(text.into()) }
}

fn maybe(about: &'static str, value: Option<impl ToString>) -> Detail {
    words(about, value.map(|value| value.to_string()).unwrap_or_default())
}

fn several(about: &'static str, values: impl IntoIterator<Item = String>) -> Detail {
    Detail { about, value: DetailValue::Several(values.into_iter().collect()) }
}

/// Returns what the teacher calls a thing that is linked to.
fn called(lesson: &Lesson, item: impl Into<ItemId>) -> String {
    let item = item.into();
    lesson.title(item).map_or_else(|| LessonPlace::of(item).text(lesson), str::to_owned)
}

impl Detailed for Header {
    fn details(&self, _: &Lesson) -> Vec<Detail> {
        let Self { title, series, number, author, date, credit, rights, chord_names, target } = self;
        let names = match chord_names {
            ChordNames::PlayedAs => "as played, by the shape",
            ChordNames::SoundsAs => "as they sound",
        };
        vec![
            words("title", title),
            words("series", series),
            maybe("number in the series", *number),
            words("teacher", author),
            words("date", date),
            words("credit", credit),
            words("rights", rights),
            words("chord names", names),
            maybe("length of the video", *target),
        ]
    }
}

impl Detailed for OwnedInstrument {
    fn details(&self, _: &Lesson) -> Vec<Detail> {
        let Self { id: _, body } = self;
        let short = body.short.map(|short| format!("string {}, from fret {} on", short.string, short.starts_at));
        vec![
            words("name", &body.name),
            words("strings", body.strings.to_string()),
            words("frets", body.frets.to_string()),
            words("scale length", format!("{} mm", body.scale.0)),
            maybe("short string", short),
        ]
    }
}

impl Detailed for Setup {
    fn details(&self, lesson: &Lesson) -> Vec<Detail> {
        let Self { id: _, name, instrument, tuning, capo, reference, tone } = self;
        vec![
            words("name", name),
            words("instrument", called(lesson, *instrument)),
            words("tuning", tuning.to_string()),
            maybe("capo", capo.as_ref()),
            maybe("pitch of A", reference.map(|reference| format!("{reference} Hz"))),
            words("tone", tone),
        ]
    }
}

impl Detailed for Piece {
    fn details(&self, lesson: &Lesson) -> Vec<Detail> {
        let Self { id: _, title, credit, setup, key, tempo, notes } = self;
        vec![
            words("title", title),
            words("credit", credit),
            maybe("setup", setup.map(|setup| called(lesson, setup))),
            maybe("key", *key),
            maybe("tempo", *tempo),
            words("notes", notes),
        ]
    }
}

impl Detailed for Passage {
    fn details(&self, lesson: &Lesson) -> Vec<Detail> {
        let Self { id: _, title, piece, setup, key, meter, tempo, feel, bars: _ } = self;
        let feel = match feel {
            Feel::Straight => "straight",
            Feel::SwungEighths => "swung eighths",
            Feel::SwungSixteenths => "swung sixteenths",
        };
        vec![
            words("title", title),
            maybe("piece", piece.map(|piece| called(lesson, piece))),
            maybe("setup", setup.map(|setup| called(lesson, setup))),
            maybe("key", *key),
            words("meter", meter.to_string()),
            words("tempo", tempo.to_string()),
            words("feel", feel),
        ]
    }
}

impl Detailed for Voicing {
    fn details(&self, lesson: &Lesson) -> Vec<Detail> {
        let Self { id: _, shape, doubts, setup, readings, fingers, barre, tags, notes } = self;
        let barre = barre.map(|Barre { fret, from, to }| format!("fret {fret}, strings {from} to {to}"));
        vec![
            words("shape", shape.to_string()),
            words("what was heard", heard(shape.strings().len(), doubts)),
            maybe("setup", setup.map(|setup| called(lesson, setup))),
            several("name", readings.clone()),
            words("fingers", fingering(fingers)),
            maybe("barre", barre),
            words("tags", tags.join(", ")),
            words("notes", notes),
        ]
    }
}

impl Detailed for Segment {
    fn details(&self, lesson: &Lesson) -> Vec<Detail> {
        let Self { id: _, kind, title, planned, progress, recorded, .. } = self;
        let Self { setup, pieces, passages, voicings, talking_points, shot, tone, .. } = self;
        vec![
            words("title", title),
            words("kind", kind.word()),
            words("planned length", planned.to_string()),
            words("how far it is", if progress.is_unsaid() { "" } else { progress.word() }),
            maybe("recorded", recorded.map(recorded_words)),
            maybe("setup", setup.map(|setup| called(lesson, setup))),
            several("piece", pieces.iter().map(|piece| called(lesson, *piece))),
            several("passage played", passages.iter().map(|played| played_words(lesson, *played))),
            several("voicing shown", voicings.iter().map(|voicing| called(lesson, *voicing))),
            several("talking point", talking_points.clone()),
            words("shot", shot),
            words("tone", tone),
        ]
    }
}

fn recorded_words(recorded: Recorded) -> String {
    let Recorded { start, end } = recorded;
    end.map_or_else(|| format!("from {start}"), |end| format!("from {start} to {end}"))
}

fn played_words(lesson: &Lesson, played: PassageUse) -> String {
    let PassageUse { passage, bars, times, slow_times, slow_percent } = played;
    let mut text = called(lesson, passage);
    if let Some(BarRange { first, last }) = bars {
        text += &format!(", bars {first} to {last}");
    }
    let often = |times: u8| if times == 1 { "once".to_owned() } else { format!("{times} times") };
    text += &format!(", {} at tempo", often(times));
    if slow_times > 0 {
        text += &format!(", {} slowly at {slow_percent} %", often(slow_times));
    }
    text
}

/// Says which strings of a shape the ear is not sure of; nothing where it is sure of all.
fn heard(strings: usize, doubts: &[Doubt]) -> String {
    let said = doubts.iter().enumerate().filter_map(|(index, doubt)| {
        let number = strings.checked_sub(index).and_then(|number| u8::try_from(number).ok());
        let string = number.and_then(StringNumber::new)?;
        match doubt {
            Doubt::Sure => None,
            Doubt::Unsure => Some(format!("string {string} unsure")),
            Doubt::NotHeard => Some(format!("string {string} not heard")),
        }
    });
    said.collect::<Vec<_>>().join(", ")
}

/// Writes the finger of each string as under a chord grid: `- 3 2 - 1 -`.
fn fingering(fingers: &[Option<Finger>]) -> String {
    let sign = |finger: &Option<Finger>| finger.map_or_else(|| "-".to_owned(), |finger| finger.to_char().to_string());
    fingers.iter().map(sign).collect::<Vec<_>>().join(" ")
}
