//! A voicing as the library pane shows it, with what it can be found by.

use crate::instrument::catalogue;
use crate::instrument::rig::Rig;
use crate::store::library::LibraryVoicing;

/// One voicing of the library.
#[derive(Debug, Clone, PartialEq)]
pub struct LibraryItem {
    /// The voicing.
    pub voicing: LibraryVoicing,
    /// Its tuning and capo in words.
    pub setup: String,
    /// Everything it can be found by, in the form that [`plain`] gives.
    searched: String,
}

/// What voicings are looked for by: words, upper and lower case alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Query {
    words: Vec<String>,
}

impl Query {
    /// Returns the words of `text`.
    pub fn of(text: &str) -> Self {
        Self { words: text.split_whitespace().map(plain).collect() }
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
        Self { voicing, setup, searched }
    }
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
        let known = catalogue::instrument_named(&self.voicing.instrument).unwrap_or_else(|_| catalogue::guitar());
        Rig::new(known.instrument.clone(), self.voicing.tuning.clone(), self.voicing.capo.clone()).ok()
    }

    /// Returns whether every word of `query` is found in it.
    pub fn answers_to(&self, query: &Query) -> bool {
        query.words.iter().all(|word| self.searched.contains(word))
    }
}

/// Returns `text` as it is compared: lower case, accidentals in ASCII.
fn plain(text: &str) -> String {
    let ascii = text.replace('♭', "b").replace('♯', "#");
    ascii.to_lowercase()
}
