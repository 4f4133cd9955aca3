//! What a voicing of a chord must sound, and what it may leave out.
//!
//! A voicing keeps its third. Elevenths lose it in readings, because what sounds is then called so; a search that
//! left it out would offer `9sus4` under another name. The root goes where the instrument has fewer strings than
//! the chord has tones.

use crate::theory::degree::Degree;
use crate::theory::formula::Formula;
use crate::theory::pitch::{MidiNote, PitchClass};
use crate::theory::pitch_set::PitchSet;
use crate::theory::quality::qualities;
use crate::theory::reading::{BareName, Context, Lowest, Reading, bare_names, readings_limited};
use crate::theory::symbol::ChordSymbol;

/// The tones of a chord, sorted by how much a voicing needs them. Sets count from C.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ChordTones {
    /// Every tone that may sound, a foreign bass among them.
    pub(super) allowed: PitchSet,
    /// The tones that must sound.
    pub(super) required: PitchSet,
    /// The tones that may be silent, `at_most` of them at once.
    pub(super) optional: PitchSet,
    pub(super) at_most: u32,
    /// The optional tones that nobody misses: of a thirteenth the fifth, the ninth and the eleventh.
    pub(super) unmissed: PitchSet,
    /// The one of them that nobody wants: the eleventh of a thirteenth, a semitone above the third.
    pub(super) clashing: PitchSet,
    pub(super) root: PitchClass,
    /// The tone that the symbol puts lowest.
    pub(super) bass: Option<PitchClass>,
    /// Whether the bass is no tone of the chord.
    pub(super) foreign_bass: bool,
    /// On how many strings such a bass sounds, at least and at most: in a voicing as the lowest note only.
    pub(super) bass_strings: (u32, u32),
    /// The whole chord, where it is one that readings name.
    pub(super) named: Option<Formula>,
    /// Whether it has a major third under a minor seventh.
    pub(super) is_dominant: bool,
    /// The tone that says major, minor or suspended.
    pub(super) third: Option<PitchClass>,
    pub(super) fifth: Option<PitchClass>,
}

/// The error that there are not enough strings for what a chord must sound.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("this chord needs at least {needed} notes, and there are {strings} strings")]
pub struct TooFewStrings {
    /// How many tones must sound.
    pub needed: usize,
    /// How many strings there are.
    pub strings: usize,
}

impl ChordTones {
    /// Sorts the tones of `symbol` for an instrument of `strings` strings.
    ///
    /// The third (or what stands in for it), the seventh, the sixth and whatever gives the chord its name must sound.
    /// In a chord of four tones or more there may be silent: the perfect fifth, where there is a third; the ninth of an
    /// eleventh or thirteenth; the eleventh of a thirteenth; and what `assets/qualities.ron` lets a reading miss,
    /// except the third. The root of a chord of five tones or more may be silent where players leave it to the bass
    /// (`rootless` in `qualities.ron`), and where there are more tones than strings. A bass that the symbol names must
    /// sound.
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
            unmissed: if formula.has_number(13) {
                let under = degree(5, 0).with(degree(9, 0)).with(degree(11, 0));
                sounding(under.common(may_miss))
            } else {
                PitchSet::EMPTY
            },
            clashing: if formula.has_number(13) { sounding(degree(11, 0).common(formula)) } else { PitchSet::EMPTY },
            at_most: u32::try_from(at_most).unwrap_or(0),
            root,
            bass,
            foreign_bass,
            bass_strings: (0, 1),
            named: quality.map(|quality| quality.formula),
            is_dominant: !formula.common(degree(3, 0)).is_empty() && !formula.common(degree(7, -1)).is_empty(),
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

    /// Returns the same for a bass, where the root and the tenth above it are all that is played of a triad: `symbol`, whose
    /// tones these are, may do without its fifth. Common practice, no published source.
    #[must_use]
    pub fn on_a_bass(mut self, symbol: &ChordSymbol) -> Self {
        let formula = whole(symbol);
        let fifth = above(self.root, degree(5, 0).common(formula));
        if self.bass.is_none() && formula.len() == 3 && formula.has_number(3) && !fifth.is_empty() {
            (self.required, self.optional, self.at_most) = (self.required.minus(fifth), fifth, 1);
        }
        self
    }

    /// Returns whether `sounding`, the pitch classes that sound, are a voicing of the chord.
    pub fn are_voiced_by(&self, sounding: PitchSet) -> bool {
        sounding.minus(self.allowed).is_empty()
            && self.required.minus(sounding).is_empty()
            && self.optional.minus(sounding).len() <= self.at_most
            && sounding.len() >= self.fewest()
    }

    /// Returns the sets of tones, which must then sound whole, that can be called by the name of the chord before any other although
    /// they are none of its voicings, or have its foreign bass on several strings. `lowest` says whether anybody hears a bass.
    pub(super) fn called_so(&self, lowest: Lowest) -> Vec<PitchSet> {
        if self.named.is_none() {
            return Vec::new();
        }
        let tones: Vec<u8> = self.allowed.classes().collect();
        let subsets = (1u32..1 << tones.len()).map(|chosen| {
            let sounding = tones.iter().enumerate().filter(|(place, _)| chosen >> place & 1 == 1);
            sounding.fold(PitchSet::EMPTY, |set, (_, tone)| set.with_class(*tone))
        });
        let is_passed_over = |set: &PitchSet| self.foreign_bass || !self.are_voiced_by(*set);
        let is_called_so = |set: &PitchSet| {
            let basses = set.classes().map(|tone| PitchClass::of(i32::from(tone)));
            let mut basses =
                basses.filter(|tone| lowest == Lowest::AnyTone || self.bass.is_none_or(|bass| bass == *tone));
            basses.any(|bass| self.can_be_called_so(*set, bass, lowest))
        };
        subsets.filter(|set| set.len() > 1 && is_passed_over(set) && is_called_so(set)).collect()
    }

    /// Returns whether the tones of `set` over `bass` can be called by the name of the chord before any other.
    fn can_be_called_so(&self, set: PitchSet, bass: PitchClass, lowest: Lowest) -> bool {
        let named = |name: BareName| name.root == self.root && Some(name.quality.formula) == self.named;
        if !bare_names(set, bass).any(named) {
            return false;
        }
        // Which of two relatives is named over another bass depends on the octaves; who holds the notes decides that.
        if self.foreign_bass {
            return true;
        }
        // The bass alone below, then all of them twice: a third is called a chord only on many strings.
        let above = [48, 60].into_iter().flat_map(|octave| set.classes().map(move |tone| octave + tone));
        let notes: Vec<_> = [36 + bass.number()].into_iter().chain(above).map(MidiNote::new).collect();
        let first = readings_limited(&notes, &Context { lowest, ..Context::default() }, 1);
        first.first().is_some_and(|first| self.is_name_of(first))
    }

    /// Returns whether `reading` names this chord, over whatever bass.
    pub(super) fn is_name_of(&self, reading: &Reading) -> bool {
        let formula = self.named.map(Formula::to_vec);
        reading.root.is_some_and(|root| root.pitch_class() == self.root) && formula.as_ref() == Some(&reading.formula)
    }

    /// Returns the same chord where exactly the tones of `set` are wanted, and a foreign bass on more strings than in a voicing.
    pub(super) fn exactly(&self, set: PitchSet) -> Self {
        let none = PitchSet::EMPTY;
        let (allowed, required, optional, unmissed, clashing) = (set, set, none, none, none);
        // What lacks a tone is no voicing either where the bass sounds once.
        let bass_strings = if self.are_voiced_by(set) { (2, u32::MAX) } else { (0, u32::MAX) };
        Self { allowed, required, optional, unmissed, clashing, at_most: 0, bass_strings, ..*self }
    }

    /// Returns the fewest different tones that make a chord of this name: three, or two where it has no more, or where a
    /// triad may do without its fifth.
    pub(super) fn fewest(&self) -> u32 {
        if self.allowed.len() == 3 { self.required.len().max(2) } else { self.allowed.len().min(3) }
    }
}

/// Returns every degree of the chord.
fn whole(symbol: &ChordSymbol) -> Formula {
    symbol.formula().iter().fold(Formula::default(), |formula, degree| formula.with(Formula::of(*degree)))
}

/// Returns one degree as a formula; nothing where there is no such degree.
fn degree(number: u8, alteration: i8) -> Formula {
    Degree::new(number, alteration).map_or(Formula::default(), Formula::of)
}

/// Returns the tones of `formula` over `root`.
fn above(root: PitchClass, formula: Formula) -> PitchSet {
    formula.degrees().map(|degree| PitchClass::of(i32::from(root.number()) + i32::from(degree.semitones()))).collect()
}

/// Returns the tone over `root` whose degree in `formula` has one of `numbers`; the first number that is there counts.
fn one_of(formula: Formula, numbers: &[u8], root: PitchClass) -> Option<PitchClass> {
    let found = numbers.iter().find_map(|number| formula.common(Formula::numbered(*number)).degrees().next())?;
    Some(PitchClass::of(i32::from(root.number()) + i32::from(found.semitones())))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns the tones of a chord over C, on `strings` strings.
    fn tones(text: &str, strings: usize) -> ChordTones {
        ChordTones::of(&text.parse().unwrap(), strings).unwrap()
    }

    fn set(semitones: &[u8]) -> PitchSet {
        semitones.iter().fold(PitchSet::EMPTY, |set, semitones| set.with_class(*semitones))
    }

    /// Sees which tones must sound, which may be silent, and how many of those at once. All of it is common practice;
    /// no published source.
    #[track_caller]
    fn check(text: &str, strings: usize, required: &[u8], optional: &[u8], at_most: u32) {
        let found = tones(text, strings);
        let expected = (set(required), set(optional), at_most);
        assert_eq!((found.required, found.optional, found.at_most), expected, "{text} on {strings} strings");
    }

    #[test]
    fn a_triad_sounds_whole_and_a_chord_of_four_tones_may_do_without_its_fifth() {
        // A reading of a shape may miss the fifth of a triad; whoever looks for one wants it.
        check("C", 6, &[0, 4, 7], &[], 0);
        check("Csus4", 6, &[0, 5, 7], &[], 0);
        check("C7no3", 6, &[0, 7, 10], &[], 0);
        check("C7", 6, &[0, 4, 10], &[7], 1);
        check("Cm7b5", 6, &[0, 3, 6, 10], &[], 0);
        check("C7sus4", 6, &[0, 5, 10], &[7], 1);
        // Its row names nothing that a reading may miss.
        check("Cadd11", 6, &[0, 4, 5], &[7], 1);
    }

    #[test]
    fn a_triad_on_a_bass_may_do_without_its_fifth_and_nothing_else_changes() {
        for (text, required, optional) in [("C", &[0, 4][..], &[7][..]), ("Cm", &[0, 3], &[7])] {
            let symbol = text.parse().unwrap();
            let found = tones(text, 4).on_a_bass(&symbol);
            assert_eq!((found.required, found.optional, found.at_most), (set(required), set(optional), 1), "{text}");
            assert!(found.are_voiced_by(set(required)) && !found.are_voiced_by(set(&[0, 7])), "{text}");
        }
        for text in ["C5", "Csus4", "Caug", "Cdim", "C/E", "C7", "C6", "Cadd9"] {
            assert_eq!(tones(text, 4).on_a_bass(&text.parse().unwrap()), tones(text, 4), "{text}");
        }
    }

    #[test]
    fn the_root_of_five_tones_is_left_to_the_bass_where_players_do_so_or_strings_are_few() {
        check("C9", 6, &[2, 4, 10], &[7], 1);
        check("C7b9#9", 6, &[0, 1, 3, 4, 10], &[7], 1);
        check("C7b9#9", 5, &[1, 3, 4, 10], &[7], 1);
        check("C7", 3, &[0, 4, 10], &[7], 1);
        // A foreign bass takes the string that the root would have had.
        check("Cmaj7#5#11", 5, &[0, 4, 6, 8, 11], &[], 0);
        check("Cmaj7#5#11/D", 5, &[2, 4, 6, 8, 11], &[], 0);
    }

    #[test]
    fn elevenths_and_thirteenths_keep_third_seventh_and_their_own_tone() {
        check("C11", 6, &[4, 5, 10], &[2, 7], 2);
        check("C13", 6, &[4, 9, 10], &[2, 5, 7], 3);
        assert_eq!((tones("C13", 6).unmissed, tones("C11", 6).unmissed), (set(&[2, 5, 7]), PitchSet::EMPTY));
        assert_eq!((tones("C13", 6).clashing, tones("C11", 6).clashing), (set(&[5]), PitchSet::EMPTY));
        // The first has a row that names no ninth, the second no row at all.
        check("C9b13", 6, &[4, 8, 10], &[2, 7], 2);
        check("C13b5b9", 6, &[1, 4, 6, 9, 10], &[5], 1);
        // Of the four tones that are altered two make the chord.
        check("C7alt", 7, &[0, 4, 10], &[1, 3, 6, 8], 2);
    }

    #[test]
    fn a_bass_that_the_symbol_names_sounds_whatever_else_may_be_silent() {
        check("C7/G", 6, &[0, 4, 7, 10], &[7], 1);
        assert!(!tones("C7/G", 6).foreign_bass);
        check("C/D", 6, &[0, 2, 4, 7], &[], 0);
        assert!(tones("C/D", 6).foreign_bass && tones("C/D", 6).allowed == set(&[0, 2, 4, 7]));
    }

    #[test]
    fn third_and_fifth_are_those_of_the_chord() {
        let of = |text: &str| {
            let found = tones(text, 6);
            (found.third.map(PitchClass::number), found.fifth.map(PitchClass::number))
        };
        assert_eq!(of("Cm7b5"), (Some(3), Some(6)));
        assert_eq!(of("C7sus4"), (Some(5), Some(7)));
        assert_eq!(of("Csus2"), (Some(2), Some(7)));
        assert_eq!(of("C5"), (None, Some(7)));
        // The ninth and the eleventh stand in for no third that is there.
        assert_eq!(of("C11"), (Some(4), Some(7)));
    }

    #[test]
    fn a_voicing_has_what_must_sound_nothing_foreign_and_three_tones_at_least() {
        let alt = tones("C7alt", 7);
        assert!(alt.are_voiced_by(set(&[0, 4, 10, 1, 8])));
        assert!(!alt.are_voiced_by(set(&[0, 4, 10, 1])), "one altered tone of four");
        assert!(!alt.are_voiced_by(set(&[0, 4, 10, 1, 8, 2])), "a tone of another chord");
        assert!(!alt.are_voiced_by(set(&[0, 10, 1, 3, 8])), "no third");
        assert!(tones("C5", 6).are_voiced_by(set(&[0, 7])));
    }

    #[test]
    fn a_triad_is_called_so_without_its_fifth_and_a_foreign_bass_on_several_strings() {
        let of = |text: &str| tones(text, 6).called_so(Lowest::Bass);
        assert_eq!((of("C"), of("Cm")), (vec![set(&[0, 4])], vec![set(&[0, 3])]));
        assert_eq!(of("C/E"), [set(&[0, 4])]);
        // Without a fifth these are other names, or a seventh chord that may lack it anyway.
        assert!(["Csus4", "Cdim", "C5", "C7", "Cm9"].into_iter().all(|text| of(text).is_empty()));
        let over_seventh = of("C/Bb");
        assert!(over_seventh.contains(&set(&[0, 4, 7, 10])) && over_seventh.contains(&set(&[0, 4, 10])));
        let doubled = |sounding| tones("C/Bb", 6).exactly(set(sounding)).bass_strings;
        assert_eq!((doubled(&[0, 4, 7, 10]), doubled(&[0, 4, 10])), ((2, u32::MAX), (0, u32::MAX)));
    }

    #[test]
    fn too_few_strings_are_counted_by_what_must_sound() {
        let error = |text: &str, strings| ChordTones::of(&text.parse().unwrap(), strings).unwrap_err();
        assert_eq!(error("C13", 2), TooFewStrings { needed: 3, strings: 2 });
        assert_eq!(error("C/D", 3), TooFewStrings { needed: 4, strings: 3 });
    }
}
