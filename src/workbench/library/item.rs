//! A voicing as the library pane shows it, with what it can be found by.

use std::cell::RefCell;
use std::rc::Rc;

use crate::instrument::catalogue;
use crate::instrument::rig::Rig;
use crate::instrument::voicing::open_shapes::{OpenShape, OpenShapes};
use crate::store::library::LibraryVoicing;
use crate::theory::symbol::ChordSymbol;

/// One voicing of the library.
#[derive(Debug, Clone, PartialEq)]
pub struct LibraryItem {
    /// The voicing.
    pub voicing: LibraryVoicing,
    /// Its tuning and capo in words.
    pub setup: String,
    /// The open shape that it comes from; `None` where players name none.
    pub open_shape: Option<OpenShape>,
    /// Everything it can be found by, in the form that [`plain`] gives.
    searched: String,
}

/// What voicings are looked for by: words, upper and lower case alike, and the open shape that they come from.
#[derive(Debug, Clone, PartialEq)]
pub struct Query {
    words: Vec<String>,
    /// Open shapes, each with the words that ask for it.
    shapes: Vec<(ChordSymbol, String)>,
}

impl Query {
    /// Returns the words of `text`; of `E shape` the open shape.
    pub fn of(text: &str) -> Self {
        let mut query = Self { words: Vec::new(), shapes: Vec::new() };
        let mut before: Option<&str> = None;
        for word in text.split_whitespace() {
            let chord = before.filter(|_| plain(word) == SHAPE).and_then(|name| Some((chord_named(name)?, name)));
            if let Some((chord, name)) = chord {
                query.words.pop();
                query.shapes.push((chord, format!("{} {SHAPE}", plain(name))));
                before = None;
            } else {
                query.words.push(plain(word));
                before = Some(word);
            }
        }
        query
    }
}

impl From<LibraryVoicing> for LibraryItem {
    fn from(voicing: LibraryVoicing) -> Self {
        let known = catalogue::instrument_named(&voicing.instrument).unwrap_or_else(|_| catalogue::guitar());
        let setup = catalogue::setup_label(&voicing.tuning, voicing.capo.as_ref(), &known.instrument);
        let lessons = voicing.taught_in.iter().map(|taught| &taught.lesson);
        let words = voicing.readings.iter().chain(&voicing.tags).chain(lessons);
        let more = [&voicing.name, &voicing.instrument, &voicing.notes, &setup];
        let mut searched = words.chain(more).map(|text| plain(text)).collect::<Vec<String>>().join("\n");
        searched.push('\n');
        searched.push_str(&voicing.shape.compact());
        let open_shape = rig_of(&voicing).and_then(|rig| with_open_shapes(rig, |open| open.of(&voicing.shape)));
        if let Some(open) = open_shape.as_ref().and_then(OpenShape::where_it_helps) {
            searched.push('\n');
            searched.push_str(&plain(&open));
        }
        Self { voicing, setup, open_shape, searched }
    }
}

/// The word behind the name of an open shape.
const SHAPE: &str = "shape";

/// Of how many instruments, tunings and capos the open shapes are remembered.
const REMEMBERED: usize = 8;

thread_local! {
    /// The open shapes of what was asked for last, the latest first: a library has many voicings of few tunings.
    static OPEN_SHAPES: RefCell<Vec<(Rig, Rc<OpenShapes>)>> = const { RefCell::new(Vec::new()) };
}

fn with_open_shapes<T>(rig: Rig, ask: impl FnOnce(&OpenShapes) -> T) -> T {
    let open = OPEN_SHAPES.with_borrow_mut(|known| {
        let (rig, open) = match known.iter().position(|(other, _)| *other == rig) {
            Some(place) => known.remove(place),
            None => {
                let open = Rc::new(OpenShapes::on(&rig));
                (rig, open)
            }
        };
        known.truncate(REMEMBERED - 1);
        known.insert(0, (rig, Rc::clone(&open)));
        open
    });
    ask(&open)
}

/// Returns the chord of this name, whose letter may be small.
fn chord_named(name: &str) -> Option<ChordSymbol> {
    let mut letters = name.chars();
    let first = letters.next()?.to_ascii_uppercase();
    format!("{first}{}", letters.as_str()).parse().ok()
}

fn rig_of(voicing: &LibraryVoicing) -> Option<Rig> {
    let known = catalogue::instrument_named(&voicing.instrument).unwrap_or_else(|_| catalogue::guitar());
    Rig::new(known.instrument.clone(), voicing.tuning.clone(), voicing.capo.clone()).ok()
}

impl LibraryItem {
    /// Returns the name, or the shape where none is kept.
    pub fn name(&self) -> String {
        let known = [self.voicing.name.as_str(), self.voicing.readings.first().map_or("", String::as_str)];
        let name = known.into_iter().find(|name| !name.trim().is_empty());
        name.map_or_else(|| self.voicing.shape.compact(), str::to_owned)
    }

    /// Returns its fingers and strings in words: no two voicings that are kept have the same.
    pub fn place(&self) -> String {
        format!("{}, {}", self.voicing.shape, self.setup)
    }

    /// Returns what it is played on; `None` where instrument, tuning and capo do not fit together.
    pub fn rig(&self) -> Option<Rig> {
        rig_of(&self.voicing)
    }

    /// Returns in words which open shape it comes from, where that says more than the name of a chord.
    pub fn open_shape_in_words(&self) -> Option<String> {
        self.open_shape.as_ref().and_then(OpenShape::where_it_helps)
    }

    /// Returns whether every word of `query` is found in it, and it comes from the open shape that is asked for.
    pub fn answers_to(&self, query: &Query) -> bool {
        let comes_from = |(chord, words): &(ChordSymbol, String)| {
            self.open_shape.as_ref().is_some_and(|open| open.is_called(chord)) || self.searched.contains(words)
        };
        query.words.iter().all(|word| self.searched.contains(word)) && query.shapes.iter().all(comes_from)
    }

    /// Returns what sorts by open shape: those of one open shape come together, nearest the nut first, and those that come
    /// from none last.
    pub fn by_open_shape(&self) -> (bool, String, u8, usize) {
        match &self.open_shape {
            Some(open) => (false, open.chord.to_string(), open.fret, open.silent.len()),
            None => (true, String::new(), 0, 0),
        }
    }
}

/// Returns `text` as it is compared: lower case, accidentals in ASCII.
fn plain(text: &str) -> String {
    let ascii = text.replace('♭', "b").replace('♯', "#");
    ascii.to_lowercase()
}
