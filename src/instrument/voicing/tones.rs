//! What a voicing of a chord must sound, and what it may leave out.
//!
//! A voicing keeps its third. Elevenths lose it in readings, because what sounds is then called so; a search that
//! left it out would offer `9sus4` under another name. The root goes where the instrument has fewer strings than
//! the chord has tones.

use crate::theory::degree::Degree;
use crate::theory::formula::Formula;
use crate::theory::pitch::PitchClass;
use crate::theory::pitch_set::PitchSet;
use crate::theory::quality::qualities;
use crate::theory::symbol::ChordSymbol;

/// The tones of a chord, sorted by how much a voicing needs them. Sets count from C.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ChordTones {
    /// Every tone that may sound, a foreign bass among them.
    pub(super) allowed: PitchSet,
    /// Those that must.
    pub(super) required: PitchSet,
    /// Those that may be silent, `at_most` of them at once.
    pub(super) optional: PitchSet,
    pub(super) at_most: u32,
    /// Those of the optional ones that nobody misses: the eleventh of a thirteenth, a semitone above the third.
    pub(super) unmissed: PitchSet,
    pub(super) root: PitchClass,
    /// The tone the symbol puts lowest.
    pub(super) bass: Option<PitchClass>,
    /// Whether the bass is no tone of the chord: it then sounds as the lowest note only.
    pub(super) foreign_bass: bool,
    /// The tone that says major, minor or suspended.
    pub(super) third: Option<PitchClass>,
    pub(super) fifth: Option<PitchClass>,
}

/// There are not enough strings for what a chord must sound.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("this chord cannot do with fewer than {needed} tones, and there are {strings} strings")]
pub struct TooFewStrings {
    /// How many tones must sound.
    pub needed: usize,
    /// How many strings there are.
    pub strings: usize,
}

impl ChordTones {
    /// Sorts the tones of `symbol` for an instrument of `strings` strings.
    ///
    /// The third (or what stands in for it), the seventh, the sixth and whatever gives the chord its name must
    /// sound. The perfect fifth may be silent where four or more tones are in the chord, the ninth of an eleventh or
    /// thirteenth, the eleventh of a thirteenth, and what `assets/qualities.ron` lets a reading miss, except the third.
    /// The root of a chord of five tones or more may be silent where players leave it to the bass (`rootless` in
    /// `qualities.ron`), and where there are more tones than strings. A bass that the symbol names must sound.
    ///
    /// Common practice, no published source; how often printed voicings leave a tone out is counted in
    /// tests/it/published.rs.
    ///
    /// Errors: fewer strings than tones that must sound.
    pub fn of(symbol: &ChordSymbol, strings: usize) -> Result<Self, TooFewStrings> {
        let formula = whole(symbol);
        let quality = qualities().iter().find(|quality| quality.formula == formula);
        let mut may_miss = Formula::default();
        if formula.len() >= 4 && formula.has_number(3) {
            may_miss = may_miss.with(degree(5, 0));
        }
        for (missing, _) in quality.into_iter().flat_map(|quality| &quality.may_miss) {
            may_miss = may_miss.with(*missing);
        }
        if formula.len() >= 6 && (formula.has_number(11) || formula.has_number(13)) {
            may_miss = may_miss.with(degree(9, 0));
        }
        if formula.has_number(13) {
            may_miss = may_miss.with(degree(11, 0));
        }
        if formula.len() < 4 {
            may_miss = Formula::default();
        }
        may_miss = may_miss.without(Formula::numbered(3)).common(formula);
        // Only the altered dominant lets fewer go at once than may go one by one.
        let at_most =
            quality.filter(|quality| quality.at_most < quality.may_miss.len()).map_or(may_miss.len(), |q| q.at_most);
        let root = symbol.root().pitch_class();
        let sounding = |formula: Formula| above(root, formula);
        let (allowed, optional) = (sounding(formula), sounding(may_miss));
        let bass = symbol.bass().map(|name| name.pitch_class());
        let foreign_bass = bass.is_some_and(|bass| !allowed.has(bass.number()));
        let mut tones = Self {
            allowed: bass.map_or(allowed, |bass| allowed.with(bass)),
            required: bass.map_or(allowed.minus(optional), |bass| allowed.minus(optional).with(bass)),
            optional,
            unmissed: if formula.has_number(13) { sounding(degree(11, 0).common(formula)) } else { PitchSet::EMPTY },
            at_most: u32::try_from(at_most).unwrap_or(0),
            root,
            bass,
            foreign_bass,
            third: one_of(formula, &[3, 4, 2], root),
            fifth: one_of(formula, &[5], root),
        };
        let spoken_for = quality.is_some_and(|quality| quality.rootless.is_some());
        let crowded = formula.len() > strings || tones.required.len() as usize > strings;
        if bass != Some(root) && formula.len() >= 5 && (spoken_for || crowded) {
            tones.required = tones.required.minus(PitchSet::EMPTY.with(root));
        }
        let needed = tones.required.len() as usize;
        if needed > strings { Err(TooFewStrings { needed, strings }) } else { Ok(tones) }
    }

    /// Returns whether `sounding`, the pitch classes that sound, are a voicing of the chord.
    pub fn are_voiced_by(&self, sounding: PitchSet) -> bool {
        sounding.minus(self.allowed).is_empty()
            && self.required.minus(sounding).is_empty()
            && self.optional.minus(sounding).len() <= self.at_most
            && sounding.len() >= self.fewest()
    }

    /// Returns the fewest different tones that make a chord of this name: three, or two where it has no more.
    pub(super) fn fewest(&self) -> u32 {
        self.allowed.len().min(3)
    }
}

fn whole(symbol: &ChordSymbol) -> Formula {
    symbol.formula().iter().fold(Formula::default(), |formula, degree| formula.with(Formula::of(*degree)))
}

fn degree(number: u8, alteration: i8) -> Formula {
    Degree::new(number, alteration).map_or(Formula::default(), Formula::of)
}

fn above(root: PitchClass, formula: Formula) -> PitchSet {
    formula.degrees().map(|degree| PitchClass::of(i32::from(root.number()) + i32::from(degree.semitones()))).collect()
}

/// Returns the first degree of `formula` with one of `numbers`.
fn one_of(formula: Formula, numbers: &[u8], root: PitchClass) -> Option<PitchClass> {
    let found = numbers.iter().find_map(|number| formula.common(Formula::numbered(*number)).degrees().next())?;
    Some(PitchClass::of(i32::from(root.number()) + i32::from(found.semitones())))
}
