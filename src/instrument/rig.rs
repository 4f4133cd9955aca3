//! A rig: an instrument, how it is tuned and where its capo lies; from these follows what sounds.
//!
//! Frets are counted as players write them (see [`Fret`] and [`Capo`]); [`Rig::wire`] gives the
//! fret of the neck itself. What sounds may be named by the shape or by the sound:
//! [`Rig::played_as`] says how far apart the two are.
//!
//! With a capo, frets count from it on the strings it covers, and from the nut on the others: a partial capo acts
//! like a retuning. The banjo's fifth string counts from the main nut, so that one number is one place on the neck.

use super::body::{Instrument, Millimetres, ShortString};
use super::catalogue;
use super::geometry;
use super::neck::{Fret, Place, Shape, StringNumber};
use super::tuning::{Capo, Tuning};
use crate::text::quote::quoted;
use crate::theory::pitch::{MidiNote, Pitch};
use crate::theory::reading::Lowest;

/// An instrument as it is set up to be played.
///
/// Invariant: the tuning has as many strings as the instrument, the capo lies on the neck and on
/// strings that exist, the short string exists, and every open string sounds a MIDI note.
#[derive(Debug, Clone, PartialEq)]
pub struct Rig {
    instrument: Instrument,
    tuning: Tuning,
    capo: Option<Capo>,
    played_as: PlayedAs,
}

/// Instrument, tuning and capo do not fit together.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RigError {
    /// The tuning has another number of strings.
    #[error("the tuning has {tuning} strings ({notes}), the {instrument} has {strings}")]
    Strings {
        /// How many strings the tuning has.
        tuning: usize,
        /// Its notes.
        notes: Tuning,
        /// The instrument's name.
        instrument: String,
        /// How many strings it has.
        strings: u8,
    },
    /// The scale length is no length.
    #[error("the scale length of the {instrument} is no length: expected millimetres above 0")]
    Scale {
        /// The instrument's name.
        instrument: String,
    },
    /// The capo lies past the last fret.
    #[error("a capo at fret {fret} is past the last fret, which is {last}")]
    CapoFret {
        /// Where it should lie.
        fret: Fret,
        /// The last fret.
        last: Fret,
    },
    /// The capo covers a string that is not there.
    #[error("the capo covers string {string}, there are {strings}")]
    CapoString {
        /// The string.
        string: StringNumber,
        /// How many there are.
        strings: u8,
    },
    /// The capo would raise the short string past the last fret.
    #[error(
        "a capo at fret {fret} would start string {string} past the last fret, which is {last}: leave that string out"
    )]
    CapoShort {
        /// Where the capo lies.
        fret: Fret,
        /// The short string.
        string: StringNumber,
        /// The last fret.
        last: Fret,
    },
    /// The short string is not there, or starts past the last fret.
    #[error("the short string {} cannot start at fret {}: there are {strings} strings and {last} frets", .short.string, .short.starts_at)]
    Short {
        /// The short string.
        short: ShortString,
        /// How many strings there are.
        strings: u8,
        /// The last fret.
        last: Fret,
    },
    /// An open string would sound above the highest note.
    #[error("string {string} would sound above the highest MIDI note with the capo at fret {fret}")]
    TooHigh {
        /// The string.
        string: StringNumber,
        /// Where the capo lies.
        fret: Fret,
    },
}

/// A place that cannot be played, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PlaceError {
    /// There is no such string.
    #[error("there is no string {string}, the highest number is {strings}")]
    NoString {
        /// The string.
        string: StringNumber,
        /// How many there are.
        strings: u8,
    },
    /// The fret lies past the last one.
    #[error("string {string}, fret {fret} is past the last fret, which is {last}")]
    OffTheNeck {
        /// The string.
        string: StringNumber,
        /// The fret.
        fret: Fret,
        /// The last fret that can be written for this string.
        last: Fret,
    },
    /// The capo takes up too much of the neck.
    #[error(
        "string {string}, fret {fret} is past the end of the neck: above the capo at fret {capo} the last is {last}"
    )]
    AboveTheCapo {
        /// The string.
        string: StringNumber,
        /// The fret.
        fret: Fret,
        /// Where the capo lies.
        capo: Fret,
        /// The last fret that can be written for this string.
        last: Fret,
    },
    /// A short string has no such fret: it starts further up the neck.
    #[error("string {string} starts at fret {starts_at}: after the open string its first fret is {}", starts_at.number() + 1)]
    BelowThePeg {
        /// The string.
        string: StringNumber,
        /// The fret.
        fret: Fret,
        /// The fret beside its peg.
        starts_at: Fret,
    },
    /// The note would lie above the highest MIDI note.
    #[error("string {string}, fret {fret} sounds above the highest MIDI note")]
    TooHigh {
        /// The string.
        string: StringNumber,
        /// The fret.
        fret: Fret,
    },
}

/// A shape that this rig cannot play, and why.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ShapeError {
    /// Not one fret for each string.
    #[error("`{shape}` has {got} {}, the tuning has {wanted} ({tuning}){}", if *.got == 1 { "string" } else { "strings" }, joined_digits(.shape, *.got, *.wanted))]
    Strings {
        /// The shape.
        shape: Shape,
        /// How many strings it has.
        got: usize,
        /// How many strings there are.
        wanted: usize,
        /// Their notes.
        tuning: Tuning,
    },
    /// A place that cannot be played.
    #[error(transparent)]
    Place(#[from] PlaceError),
}

fn joined_digits(shape: &Shape, got: usize, wanted: usize) -> &'static str {
    let digits = shape.strings().iter().flatten().all(|fret| fret.number() < 10);
    if got > wanted && digits { "; put spaces between frets above 9" } else { "" }
}

/// No place on a string gives a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoteError {
    /// Not one note for each string.
    #[error("there are {got} notes for {wanted} strings")]
    Strings {
        /// How many notes there are.
        got: usize,
        /// How many strings there are.
        wanted: usize,
    },
    /// The string does not have this note.
    #[error("string {string} has no fret for {}", Pitch::usual(*.note))]
    NotThere {
        /// The string.
        string: StringNumber,
        /// The note.
        note: MidiNote,
    },
}

impl Rig {
    /// Joins the three; the error says what does not fit.
    pub fn new(instrument: Instrument, tuning: Tuning, capo: Option<Capo>) -> Result<Self, RigError> {
        let strings = instrument.strings;
        let name = || quoted(&instrument.name);
        if tuning.strings().len() != usize::from(strings) {
            let count = tuning.strings().len();
            return Err(RigError::Strings { tuning: count, notes: tuning, instrument: name(), strings });
        }
        if !(instrument.scale.0.is_finite() && instrument.scale.0 > 0.0) {
            return Err(RigError::Scale { instrument: name() });
        }
        let last = instrument.frets;
        if let Some(short) = instrument.short
            && (short.string.number() > strings || short.starts_at >= last)
        {
            return Err(RigError::Short { short, strings, last });
        }
        if let Some(capo) = &capo {
            if capo.fret > last {
                return Err(RigError::CapoFret { fret: capo.fret, last });
            }
            if let Some(&string) = capo.strings.iter().find(|string| string.number() > strings) {
                return Err(RigError::CapoString { string, strings });
            }
            if let Some(ShortString { string, starts_at }) = instrument.short
                && capo.covers(string)
                && starts_at.number() + capo.fret.number() > last.number()
            {
                return Err(RigError::CapoShort { fret: capo.fret, string, last });
            }
        }
        let played_as = PlayedAs::of(&instrument, &tuning, capo.as_ref());
        let rig = Self { instrument, tuning, capo, played_as };
        match rig.strings().find(|&string| rig.open(string).is_none()) {
            Some(string) => Err(RigError::TooHigh { string, fret: rig.capo_at(string) }),
            None => Ok(rig),
        }
    }

    /// Returns the instrument.
    pub const fn instrument(&self) -> &Instrument {
        &self.instrument
    }

    /// Returns the tuning without the capo.
    pub const fn tuning(&self) -> &Tuning {
        &self.tuning
    }

    /// Returns the capo.
    pub const fn capo(&self) -> Option<&Capo> {
        self.capo.as_ref()
    }

    /// Returns the strings in the order shapes are written: from the highest number down to 1.
    pub fn strings(&self) -> impl Iterator<Item = StringNumber> + use<> {
        (1..=self.instrument.strings).rev().filter_map(StringNumber::new)
    }

    /// Returns what `string` sounds open, capo included; `None` when it is not there.
    ///
    /// Where the capo raises it, the spelling is the usual one.
    pub fn open(&self, string: StringNumber) -> Option<Pitch> {
        let open = self.tuning.open(string)?;
        match self.capo_at(string).number() {
            0 => Some(open),
            raised => open.midi().up(i32::from(raised)).map(Pitch::usual),
        }
    }

    /// Returns the highest fret that can be written for `string`; `None` when it is not there.
    pub fn last_fret(&self, string: StringNumber) -> Option<Fret> {
        string.index(usize::from(self.instrument.strings))?;
        Fret::new(self.instrument.frets.number().saturating_sub(self.capo_at(string).number()))
    }

    /// Returns the frets that can be written for `string`: open, then up to the last; none if the
    /// string is not there.
    pub fn frets(&self, string: StringNumber) -> impl Iterator<Item = Fret> + use<> {
        let first = self.starts_at(string).number() + 1;
        let last = self.last_fret(string);
        let stopped = last.into_iter().flat_map(move |last| first..=last.number()).filter_map(Fret::new);
        last.map(|_| Fret::OPEN).into_iter().chain(stopped)
    }

    /// Returns the highest fret that can be written for any string.
    pub fn highest_fret(&self) -> Fret {
        self.strings().filter_map(|string| self.last_fret(string)).max().unwrap_or(Fret::OPEN)
    }

    /// Returns the fret of the neck, counted from the nut, behind which the string is stopped.
    ///
    /// For an open string it is the fret where the string begins: 0 at the nut, the capo's fret, or
    /// the fret beside a short string's peg (and as much further as the capo raises it).
    ///
    /// Errors: a string that is not there, or a fret below its peg or past its end.
    pub fn wire(&self, place: Place) -> Result<Fret, PlaceError> {
        let Place { string, fret } = place;
        let strings = self.instrument.strings;
        let last = self.last_fret(string).ok_or(PlaceError::NoString { string, strings })?;
        let capo = self.capo_at(string);
        let starts_at = self.starts_at(string);
        if fret != Fret::OPEN && fret <= starts_at {
            return Err(PlaceError::BelowThePeg { string, fret, starts_at });
        }
        let counted = if fret == Fret::OPEN { starts_at } else { fret };
        if counted > last {
            return Err(match capo {
                Fret::OPEN => PlaceError::OffTheNeck { string, fret, last },
                capo => PlaceError::AboveTheCapo { string, fret, capo, last },
            });
        }
        let off = PlaceError::OffTheNeck { string, fret, last };
        counted.number().checked_add(capo.number()).and_then(Fret::new).ok_or(off)
    }

    /// Returns the note that sounds at `fret` of `string`, or why none does.
    ///
    /// Errors: a string that is not there, or a fret below its peg or past its end, or too high a note.
    pub fn sounding(&self, string: StringNumber, fret: Fret) -> Result<MidiNote, PlaceError> {
        let wire = self.wire(Place { string, fret })?;
        let start = i32::from(self.starts_at(string).number());
        let raised = i32::from(wire.number()) - start;
        let open = self.tuning.open(string).map(Pitch::midi);
        open.and_then(|open| open.up(raised)).ok_or(PlaceError::TooHigh { string, fret })
    }

    /// Returns what each string of `shape` sounds, in the shape's order; muted strings are `None`.
    ///
    /// Errors: not one fret for each string, or a place that cannot be played.
    pub fn notes(&self, shape: &Shape) -> Result<Vec<Option<MidiNote>>, ShapeError> {
        self.check_count(shape)?;
        let strings = self.strings().zip(shape.strings());
        strings.map(|(string, fret)| Ok(fret.map(|fret| self.sounding(string, fret)).transpose()?)).collect()
    }

    /// Returns what `shape` sounds as far as it can be played: a string that is missing or a place
    /// off the neck is silent. One entry for each string of this rig.
    pub fn heard(&self, shape: &Shape) -> Vec<Option<MidiNote>> {
        self.strings().map(|string| shape.on(string).and_then(|fret| self.sounding(string, fret).ok())).collect()
    }

    /// Checks that `shape` has one fret for each string and that all can be played.
    ///
    /// Errors: not one fret for each string, or a place that cannot be played.
    pub fn check(&self, shape: &Shape) -> Result<(), ShapeError> {
        self.notes(shape).map(|_| ())
    }

    fn check_count(&self, shape: &Shape) -> Result<(), ShapeError> {
        let (got, wanted) = (shape.strings().len(), self.tuning.strings().len());
        if got == wanted {
            return Ok(());
        }
        Err(ShapeError::Strings { shape: shape.clone(), got, wanted, tuning: self.tuning.clone() })
    }

    /// Returns the fret of `string` that sounds `note`; `None` when it has none.
    pub fn fret_for(&self, string: StringNumber, note: MidiNote) -> Option<Fret> {
        let open = self.open(string)?.midi().number();
        let above = note.number().checked_sub(open)?;
        let fret = if above == 0 { 0 } else { above.checked_add(self.starts_at(string).number())? };
        let fret = Fret::new(fret)?;
        self.wire(Place { string, fret }).is_ok().then_some(fret)
    }

    /// Returns every place that sounds `note`, highest string number first.
    pub fn places(&self, note: MidiNote) -> Vec<Place> {
        let on = |string| Some(Place { string, fret: self.fret_for(string, note)? });
        self.strings().filter_map(on).collect()
    }

    /// Returns the shape that sounds `notes`, one entry for each string, highest number first.
    ///
    /// Errors: not one entry for each string, or a note that its string does not have.
    pub fn shape_of(&self, notes: &[Option<MidiNote>]) -> Result<Shape, NoteError> {
        let wanted = self.tuning.strings().len();
        let mut shape = Shape::muted(wanted);
        if notes.len() != wanted {
            return Err(NoteError::Strings { got: notes.len(), wanted });
        }
        for (string, note) in self.strings().zip(notes) {
            if let Some(note) = *note {
                let fret = self.fret_for(string, note).ok_or(NoteError::NotThere { string, note })?;
                shape.set(string, Some(fret));
            }
        }
        Ok(shape)
    }

    /// Returns what the lowest pitch of a chord is to the ear, which the tuning decides: see [`Tuning::lowest_is`]. A capo over
    /// some of the strings makes no tuning re-entrant: the lowest string stays the lowest.
    pub fn lowest_is(&self) -> Lowest {
        self.tuning.lowest_is()
    }

    /// Returns how the same shapes are named when one looks at the hand: without a capo that lies
    /// over all strings, and in the tuning this one is a lowered or raised copy of.
    ///
    /// A partial capo stays: it acts like a retuning, and its shapes have no other name.
    pub const fn played_as(&self) -> PlayedAs {
        self.played_as
    }

    /// Returns what each string of `shape` would sound without the capo and the lowering of the
    /// tuning, for naming the shape; see [`Rig::played_as`].
    ///
    /// Errors: those of [`Rig::notes`].
    pub fn notes_as_played(&self, shape: &Shape) -> Result<Vec<Option<MidiNote>>, ShapeError> {
        let down = -self.played_as().semitones();
        // What the hand plays in a known tuning without a capo always has a MIDI note.
        let written = |note: Option<MidiNote>| note.and_then(|note| note.up(down));
        Ok(self.notes(shape)?.into_iter().map(written).collect())
    }

    /// Returns the vibrating length of the string at `place`.
    ///
    /// Errors: a string that is not there, or a fret below its peg or past its end.
    pub fn sounding_length(&self, place: Place) -> Result<Millimetres, PlaceError> {
        Ok(geometry::fret_to_bridge(self.instrument.scale, self.wire(place)?))
    }

    /// Returns how far `shape` stretches the hand along the neck; 0 when at most one fret is held.
    ///
    /// It is the largest distance between two stopped fingers. Each presses just behind its wire,
    /// so the distance is that of the wires; open and muted strings need no finger.
    ///
    /// Errors: not one fret for each string, or a fret below a peg or past the end of the neck.
    pub fn reach(&self, shape: &Shape) -> Result<Millimetres, ShapeError> {
        self.check_count(shape)?;
        let mut wires = Vec::new();
        for (string, fret) in self.strings().zip(shape.strings()) {
            if let Some(fret) = *fret {
                let wire = self.wire(Place { string, fret })?;
                wires.extend((fret != Fret::OPEN).then_some(wire));
            }
        }
        Ok(geometry::reach(self.instrument.scale, &wires))
    }

    /// Returns the distance along the neck between the wires of two places.
    ///
    /// Errors: a string that is not there, or a fret below its peg or past its end.
    pub fn distance(&self, one: Place, other: Place) -> Result<Millimetres, PlaceError> {
        Ok(geometry::between(self.instrument.scale, self.wire(one)?, self.wire(other)?))
    }

    /// Returns the fret the capo lies at if it covers `string`, else 0.
    pub(super) fn capo_at(&self, string: StringNumber) -> Fret {
        self.capo.as_ref().filter(|capo| capo.covers(string)).map_or(Fret::OPEN, |capo| capo.fret)
    }

    /// Returns the fret where `string` begins without a capo.
    fn starts_at(&self, string: StringNumber) -> Fret {
        self.instrument.short.filter(|short| short.string == string).map_or(Fret::OPEN, |short| short.starts_at)
    }
}

/// How far what sounds lies above what the hand plays.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct PlayedAs {
    /// Semitones a capo over all strings raises it.
    pub capo: i32,
    /// Semitones the tuning lies above the one it is a copy of; negative for a lowered one.
    pub tuning: i32,
    /// The name of the tuning it is a copy of; `None` for one that stands for itself.
    pub like: Option<&'static str>,
}

impl PlayedAs {
    fn of(instrument: &Instrument, tuning: &Tuning, capo: Option<&Capo>) -> Self {
        let everywhere = |capo: &&Capo| (1..=instrument.strings).filter_map(StringNumber::new).all(|s| capo.covers(s));
        let shift = catalogue::shifted_from(tuning, instrument);
        Self {
            capo: capo.filter(everywhere).map_or(0, |capo| i32::from(capo.fret.number())),
            tuning: shift.map_or(0, |(_, semitones)| semitones),
            like: shift.map(|(known, _)| known.name.as_str()),
        }
    }

    /// Returns the semitones from what is played to what sounds.
    pub const fn semitones(self) -> i32 {
        self.capo + self.tuning
    }
}

#[cfg(test)]
mod tests;
