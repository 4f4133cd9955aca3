//! What lies on the strings: which shape, how sure the ear is of each string, and what was said of it.
//!
//! Whatever is said of a shape, a name or a bass that somebody else plays, is said of what it sounded on certain strings. The
//! two are kept together, and nobody gets the one without the other: on strings where the shape sounds something else, nothing
//! was said of it.

use std::sync::Arc;

use crate::instrument::hand::{Barre, Finger};
use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::lesson::harmony::named_rightly::{name_of_shape, names_of_shape};
use crate::theory::pitch::NoteName;
use crate::theory::reading::Doubt;

/// What lies on the strings.
#[derive(Debug, Clone, PartialEq)]
pub struct Grip {
    /// The frets, highest string number first.
    pub shape: Shape,
    /// How sure the ear is, one for each string of the shape.
    pub doubts: Vec<Doubt>,
    /// The finger on each string, as in the shape; shorter or empty means not decided.
    pub fingers: Vec<Option<Finger>>,
    /// The barre, if one finger holds several strings.
    pub barre: Option<Barre>,
    /// What was said of the shape.
    said: SaidThere,
}

/// What was said of a shape, together with the strings it was said on.
#[derive(Debug, Clone, PartialEq)]
struct SaidThere {
    /// The strings on which the shape was put down or named last.
    on: Arc<Rig>,
    /// The readings kept, as played and as players of these strings write them; the first is the name.
    names: Vec<String>,
    /// The bass that somebody else plays, as it sounds.
    bass: Option<NoteName>,
}

/// What keeping a reading came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeepOutcome {
    /// It is the name now.
    Added,
    /// It is no longer one of the names.
    Dropped,
}

/// Whether the chord on the strings is still being looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ChordSearch {
    /// It is.
    GoesOn,
    /// It was found: a voicing holds it.
    IsOver,
}

impl Grip {
    /// Returns no finger on these strings.
    pub(super) fn muted(on: Arc<Rig>) -> Self {
        Self::new(Shape::muted(on.strings().count()), Vec::new(), Vec::new(), on)
    }

    /// Returns a grip with as many doubts as strings, which these names were given on the strings `on`.
    pub fn new(shape: Shape, mut doubts: Vec<Doubt>, names: Vec<String>, on: Arc<Rig>) -> Self {
        doubts.resize(shape.strings().len(), Doubt::Sure);
        let names = names_of_shape(&names, &shape, &on);
        Self { shape, doubts, fingers: Vec::new(), barre: None, said: SaidThere { on, names, bass: None } }
    }

    /// Returns the grip held with these fingers, one of which may lie over several strings.
    pub fn held_with(self, fingers: Vec<Option<Finger>>, barre: Option<Barre>) -> Self {
        Self { fingers, barre, ..self }
    }

    /// Returns the grip over a bass that somebody else plays.
    pub fn over(self, bass: Option<NoteName>) -> Self {
        Self { said: SaidThere { bass, ..self.said }, ..self }
    }

    /// Returns whether no string sounds.
    pub fn is_silent(&self) -> bool {
        self.shape.strings().iter().all(Option::is_none)
    }

    /// Returns the doubts as a voicing keeps them: none where the ear is sure of all.
    pub fn doubts_to_keep(&self) -> Vec<Doubt> {
        if self.doubts.iter().all(|doubt| *doubt == Doubt::Sure) { Vec::new() } else { self.doubts.clone() }
    }

    /// Returns whether the shape sounds on `rig` what it sounded where it was put down or named.
    pub fn belongs_to(&self, rig: &Rig) -> bool {
        let on = self.said.on.as_ref();
        std::ptr::eq(on, rig) || sounds_alike(&self.shape, on, rig)
    }

    /// Returns the names that were kept for what sounds on `rig`; the first is the name.
    pub fn names_on(&self, rig: &Rig) -> &[String] {
        if self.belongs_to(rig) { &self.said.names } else { &[] }
    }

    /// Returns the bass that somebody else was said to play under what sounds on `rig`, as it sounds.
    pub fn bass_on(&self, rig: &Rig) -> Option<NoteName> {
        self.said.bass.filter(|_| self.belongs_to(rig))
    }

    /// Returns the strings that the shape and its names belong to, with those names, where they do not belong to `rig`.
    pub fn from_elsewhere(&self, rig: &Rig) -> Option<(&Rig, &[String])> {
        (!self.is_silent() && !self.belongs_to(rig)).then_some((&*self.said.on, self.said.names.as_slice()))
    }

    /// Returns what was said of the shape between this and `later`, in words for undo.
    pub fn said_until(&self, later: &Self) -> &'static str {
        if self.said.bass != later.said.bass {
            "bass note"
        } else if self.said.names.len() > later.said.names.len() {
            "name no longer kept"
        } else {
            "name kept"
        }
    }

    /// Takes the shape for one on these strings: what was said of it elsewhere goes.
    fn arrive(&mut self, rig: &Arc<Rig>) {
        if !self.belongs_to(rig) {
            self.said = SaidThere { on: Arc::clone(rig), names: Vec::new(), bass: None };
        }
        self.said.on = Arc::clone(rig);
    }

    /// Keeps a reading of what sounds on `rig` as the name, or drops it.
    pub(super) fn keep(&mut self, symbol: &str, rig: &Arc<Rig>) -> KeepOutcome {
        self.arrive(rig);
        let symbol = name_of_shape(symbol, &self.shape, rig).unwrap_or_else(|| symbol.to_owned());
        let names = &mut self.said.names;
        let before = names.len();
        names.retain(|kept| *kept != symbol);
        if names.len() < before {
            return KeepOutcome::Dropped;
        }
        names.insert(0, symbol);
        KeepOutcome::Added
    }

    /// Returns the same grip with this name, and no other, for what sounds on `rig`.
    pub fn called(mut self, symbol: &str, rig: &Arc<Rig>) -> Self {
        self.arrive(rig);
        self.said.names = names_of_shape(&[symbol.to_owned()], &self.shape, rig);
        self
    }

    /// Takes down which bass somebody else plays under what sounds on `rig`; `None`: nobody does.
    pub(super) fn state_bass(&mut self, bass: Option<NoteName>, rig: &Arc<Rig>) {
        self.arrive(rig);
        self.said.bass = bass;
    }

    /// Puts a finger on a string of `rig`, or lifts it. Another note is another chord: it has no name and no fingering yet, and
    /// nobody has doubted the note. A bass stays as long as a chord is being looked for over it: until it is found,
    /// or nothing is left of it.
    pub(super) fn set(&mut self, string: StringNumber, fret: Option<Fret>, rig: &Arc<Rig>, search: ChordSearch) {
        self.arrive(rig);
        let found = search == ChordSearch::IsOver || !self.said.names.is_empty();
        self.shape.set(string, fret);
        self.said.names.clear();
        self.fingers.clear();
        self.barre = None;
        if found || self.is_silent() {
            self.said.bass = None;
        }
    }
}

/// Returns whether a shape sounds the same on both, and is named in the same way; where nothing sounds, whether the strings do.
fn sounds_alike(shape: &Shape, one: &Rig, other: &Rig) -> bool {
    if one.played_as().semitones() != other.played_as().semitones() {
        return false;
    }
    if shape.strings().iter().all(Option::is_none) {
        return one.tuning() == other.tuning() && one.capo() == other.capo();
    }
    one.heard(shape) == other.heard(shape)
}
