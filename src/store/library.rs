//! The voicing library: voicings kept across lessons, with where each was taught.

use std::collections::HashMap;
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::folders::Folders;
use super::formats::LIBRARY_FORMAT;
use super::open_lesson::FormatRenewal;
use super::ron_file::LoadError;
use super::user_file::{self, UpdateError, UserFile};
use crate::instrument::hand::{Barre, Finger};
use crate::instrument::neck::Shape;
use crate::instrument::rig::Rig;
use crate::instrument::tuning::{Capo, Tuning};
use crate::lesson::document::{Lesson, Setup, Voicing};
use crate::theory::pitch::MidiNote;
use crate::theory::reading::Doubt;

/// Every voicing kept, in the order in which they came.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Library {
    format: u32,
    /// The voicings.
    #[serde(default)]
    pub voicings: Vec<LibraryVoicing>,
}

/// A voicing as the library keeps it: with its tuning, because it belongs to no lesson.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LibraryVoicing {
    /// What the teacher calls it; the first of the readings, unless it was given another name.
    pub name: String,
    /// Where the fingers are.
    pub shape: Shape,
    /// The open strings.
    pub tuning: Tuning,
    /// The capo, if there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub capo: Option<Capo>,
    /// What the instrument is called.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub instrument: String,
    /// The readings kept, as played; the first is the name.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<String>,
    /// How sure the ear is, string by string as in the shape; shorter or empty means sure.
    #[serde(default, skip_serializing_if = "Vec::is_empty", rename = "heard", alias = "doubts")]
    pub doubts: Vec<Doubt>,
    /// The finger on each string, as in the shape; empty means not decided.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fingers: Vec<Option<Finger>>,
    /// The barre, if one finger holds several strings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub barre: Option<Barre>,
    /// Words to find it by.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tags: Vec<String>,
    /// What to say about it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// The lessons that taught it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub taught_in: Vec<TaughtIn>,
}

/// Fingers on strings that sound something: shape, capo and open strings.
pub type ShapePlace = (Shape, Option<Capo>, Vec<MidiNote>);

/// A lesson that taught a voicing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TaughtIn {
    /// The lesson's title.
    pub lesson: String,
    /// Its file, as far as it can be written as text.
    pub path: String,
}

/// Voicings that make way in the library, and those that come in their place. Numbers are places in
/// the list, from 0: of what goes as it was before, of what comes as it is afterwards, both ascending.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LibraryChange {
    /// What goes.
    pub out: Vec<(usize, LibraryVoicing)>,
    /// What comes.
    pub put: Vec<(usize, LibraryVoicing)>,
}

impl LibraryChange {
    /// Returns the change that makes one of all voicings that are the same fingers on strings that
    /// sound the same; `None` where there are no two such. Names, readings, tags, notes and lessons
    /// add up.
    pub fn joining_duplicates(voicings: &[LibraryVoicing]) -> Option<Self> {
        let mut change = Self::default();
        let mut places: HashMap<_, Vec<usize>> = HashMap::new();
        for (at, voicing) in voicings.iter().enumerate() {
            places.entry(voicing.place()).or_default().push(at);
        }
        let mut after = 0;
        for (at, voicing) in voicings.iter().enumerate() {
            let same = places.get(&voicing.place()).map_or(&[][..], Vec::as_slice);
            let is_first = same.first() == Some(&at);
            if same.len() > 1 {
                change.out.push((at, voicing.clone()));
                if is_first {
                    let others = same.iter().skip(1).filter_map(|other| voicings.get(*other));
                    change.put.push((after, joined(voicing, others)));
                }
            }
            after += usize::from(is_first);
        }
        (!change.put.is_empty()).then_some(change)
    }

    /// Returns the change that takes this one back.
    pub fn inverse(self) -> Self {
        Self { out: self.put, put: self.out }
    }
}

/// Returns one voicing in place of several, under all their names.
fn joined<'a>(first: &LibraryVoicing, others: impl Iterator<Item = &'a LibraryVoicing>) -> LibraryVoicing {
    let mut names = vec![first.name.clone()];
    let mut all = first.clone();
    for other in others {
        names = union(names, vec![other.name.clone()]);
        all.join(other.clone());
    }
    names.retain(|name| !name.is_empty());
    all.name = names.join(", ");
    all
}

impl Default for Library {
    fn default() -> Self {
        Self { format: Self::FORMAT, voicings: Vec::new() }
    }
}

impl UserFile for Library {
    const TOP_LINE: &'static str = "The voicing library of fingerpost. It may be edited by hand.";
    const FORMAT: u32 = LIBRARY_FORMAT;

    fn format(&self) -> u32 {
        self.format
    }

    fn renew_format(&mut self) {
        self.format = Self::FORMAT;
    }
}

impl Library {
    /// Reads the user's library; an empty one where there is none.
    ///
    /// Errors: the file is there and cannot be read or understood.
    pub fn load(folders: &Folders) -> Result<Self, LoadError> {
        user_file::load(&folders.library())
    }

    /// Adds voicings to the user's library (see [`Library::add`]), saves it and returns it. What other
    /// windows have added meanwhile stays.
    ///
    /// Errors: those of [`Library::update`].
    pub fn keep(folders: &Folders, voicings: &[LibraryVoicing]) -> Result<Self, UpdateError> {
        Self::update(folders, |library| {
            for voicing in voicings {
                library.add(voicing.clone());
            }
        })
    }

    /// Changes the user's library, saves it and returns it. `change` may be called again, on what
    /// another window has written.
    ///
    /// Errors: the file cannot be read, or cannot be written; what was there is still there.
    pub fn update(folders: &Folders, change: impl FnMut(&mut Self)) -> Result<Self, UpdateError> {
        user_file::update(folders.disk(), &folders.library(), folders.patience(), change)
    }

    /// Returns whether the file that it was read from has an older format, so that older versions cannot read what is written next.
    pub const fn renewal(&self) -> FormatRenewal {
        if self.format < Self::FORMAT { FormatRenewal::FromOlder } else { FormatRenewal::No }
    }

    /// Adds a voicing. One of the same shape on the same strings becomes one with it: what the new
    /// one says about name, fingering and doubts holds; tags, readings, notes and lessons add up.
    pub fn add(&mut self, voicing: LibraryVoicing) {
        match self.voicings.iter_mut().find(|known| known.is_same_place(&voicing)) {
            Some(known) => known.join(voicing),
            None => self.voicings.push(voicing),
        }
    }

    /// Takes a voicing out: the one with the same shape on the same strings, if there is one.
    pub fn take_out(&mut self, voicing: &LibraryVoicing) {
        self.voicings.retain(|known| !known.is_same_place(voicing));
    }

    /// Takes voicings out and puts others in. What another window has changed meanwhile is found by its
    /// fingers, and its changes go over into what comes in its place; where it is gone, there is nothing to take out.
    pub fn change(&mut self, change: &LibraryChange) {
        let mut changed_meanwhile = Vec::new();
        for (_, voicing) in &change.out {
            let exact = self.voicings.iter().position(|known| known == voicing);
            let place = exact.or_else(|| self.voicings.iter().position(|known| known.is_same_place(voicing)));
            if let Some(place) = place {
                changed_meanwhile.push((voicing, self.voicings.remove(place)));
            }
        }
        changed_meanwhile.retain(|(known, theirs)| *known != theirs);
        for (place, voicing) in &change.put {
            let place = (*place).min(self.voicings.len());
            let mut voicing = voicing.clone();
            for (known, theirs) in &changed_meanwhile {
                if known.is_same_place(&voicing) {
                    voicing.take_over(known, theirs);
                }
            }
            self.voicings.insert(place, voicing);
        }
    }

    /// Adds every voicing of another library.
    pub fn merge(&mut self, other: Self) {
        for voicing in other.voicings {
            self.add(voicing);
        }
    }
}

impl LibraryVoicing {
    /// Returns a voicing of this name on this instrument, with nothing else known of it.
    pub fn plain(name: impl Into<String>, shape: Shape, rig: &Rig) -> Self {
        let name = name.into();
        Self {
            readings: vec![name.clone()],
            name,
            shape,
            tuning: rig.tuning().clone(),
            capo: rig.capo().cloned(),
            instrument: rig.instrument().name.clone(),
            doubts: Vec::new(),
            fingers: Vec::new(),
            barre: None,
            tags: Vec::new(),
            notes: String::new(),
            taught_in: Vec::new(),
        }
    }

    /// Returns a voicing of a lesson as the library keeps it; `None` if no setup says what its strings sound.
    ///
    /// A voicing without a setup of its own is taken to be in the lesson's first.
    pub fn of_lesson(lesson: &Lesson, voicing: &Voicing, path: &Path) -> Option<Self> {
        let named = |setup: &&Setup| voicing.setup.is_none_or(|id| setup.id == id);
        let setup = lesson.setups.iter().find(named)?;
        let instrument = lesson.instruments.iter().find(|owned| owned.id == setup.instrument);
        Some(Self {
            name: voicing.name().unwrap_or_default().to_owned(),
            shape: voicing.shape.clone(),
            tuning: setup.tuning.clone(),
            capo: setup.capo.clone(),
            instrument: instrument.map(|owned| owned.body.name.clone()).unwrap_or_default(),
            readings: voicing.readings.clone(),
            doubts: voicing.doubts.clone(),
            fingers: voicing.fingers.clone(),
            barre: voicing.barre,
            tags: voicing.tags.clone(),
            notes: voicing.notes.clone(),
            taught_in: vec![TaughtIn {
                lesson: lesson.header.title.clone(),
                path: path.to_string_lossy().into_owned(),
            }],
        })
    }

    /// Returns whether both are the same fingers on strings that sound the same.
    pub fn is_same_place(&self, other: &Self) -> bool {
        let sounds = |voicing: &Self| voicing.tuning.strings().iter().map(|pitch| pitch.midi()).collect::<Vec<_>>();
        self.shape == other.shape
            && self.capo == other.capo
            && (self.tuning == other.tuning || sounds(self) == sounds(other))
    }

    /// Returns what makes two voicings the same: the fingers, and what the strings sound.
    pub fn place(&self) -> ShapePlace {
        let sounds = self.tuning.strings().iter().map(|pitch| pitch.midi()).collect();
        (self.shape.clone(), self.capo.clone(), sounds)
    }

    /// Takes over what `theirs` has that `known`, which both came from, has not. Where both have changed the same words,
    /// both versions stay.
    fn take_over(&mut self, known: &Self, theirs: &Self) {
        self.name = merged_words(&self.name, &known.name, &theirs.name, ", ");
        self.notes = merged_words(&self.notes, &known.notes, &theirs.notes, "\n");
        merge_lists(&mut self.readings, &known.readings, &theirs.readings);
        merge_lists(&mut self.tags, &known.tags, &theirs.tags);
        merge_lists(&mut self.taught_in, &known.taught_in, &theirs.taught_in);
        if self.instrument == known.instrument {
            self.instrument.clone_from(&theirs.instrument);
        }
        if self.doubts == known.doubts {
            self.doubts.clone_from(&theirs.doubts);
        }
        if (&self.fingers, self.barre) == (&known.fingers, known.barre) {
            self.fingers.clone_from(&theirs.fingers);
            self.barre = theirs.barre;
        }
    }

    fn join(&mut self, newer: Self) {
        if !newer.name.is_empty() {
            self.name = newer.name;
        }
        if !newer.instrument.is_empty() {
            self.instrument = newer.instrument;
        }
        // Doubts that were settled are empty too, so they are taken as they are.
        self.doubts = newer.doubts;
        if !newer.fingers.is_empty() {
            self.fingers = newer.fingers;
            self.barre = newer.barre;
        }
        self.readings = union(newer.readings, std::mem::take(&mut self.readings));
        self.tags = union(std::mem::take(&mut self.tags), newer.tags);
        if !self.notes.contains(&newer.notes) {
            if !self.notes.is_empty() {
                self.notes.push('\n');
            }
            self.notes.push_str(&newer.notes);
        }
        for taught in newer.taught_in {
            match self.taught_in.iter_mut().find(|known| known.path == taught.path) {
                Some(known) => *known = taught,
                None => self.taught_in.push(taught),
            }
        }
    }
}

/// Returns the words that two windows have made of `known`; both versions where both have changed them.
fn merged_words(ours: &str, known: &str, theirs: &str, between: &str) -> String {
    match (ours == known, theirs == known) {
        (true, _) => theirs.to_owned(),
        (false, true) => ours.to_owned(),
        (false, false) if ours.contains(theirs) => ours.to_owned(),
        (false, false) if theirs.contains(ours) => theirs.to_owned(),
        (false, false) => format!("{ours}{between}{theirs}"),
    }
}

/// Adds to `ours` what another window has added to `known`, and removes what it has removed.
fn merge_lists<T: Clone + PartialEq>(ours: &mut Vec<T>, known: &[T], theirs: &[T]) {
    ours.retain(|item| theirs.contains(item) || !known.contains(item));
    let added = theirs.iter().filter(|item| !known.contains(item));
    for item in added {
        if !ours.contains(item) {
            ours.push(item.clone());
        }
    }
}

/// Returns all of `first`, then what `second` adds.
fn union(mut first: Vec<String>, second: Vec<String>) -> Vec<String> {
    for word in second {
        if !first.contains(&word) {
            first.push(word);
        }
    }
    first
}
