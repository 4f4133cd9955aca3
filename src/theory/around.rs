//! What the chords around a name, and the key, say about it: what it gains by them, how its root is written, and what it
//! does there in a player's words.
//!
//! The gains are common practice without a published source; `tests/practice/names.tsv` holds what players say. Nothing
//! here is asked where neither key nor neighbours are known.

use super::context::Context;
use super::degree::Degree;
use super::key::{Key, KeyMode};
use super::pitch::{NoteName, PitchClass};
use super::pitch_set::PitchSet;
use super::quality::Quality;
use super::reading_kind::ReadingKind;
use super::symbol::ChordSymbol;

/// What a rootless reading gains when the chord before it had the same root.
const CARRIED_ROOT: i32 = 140;
/// What any other reading gains when the chord before it had the same root: C E G A over E is C6/E
/// after C and Am7/E after Am.
const KEPT_ROOT: i32 = 60;
/// The same for the chord after it: what is suspended goes to the chord of its own root.
const ROOT_STAYS: i32 = 70;
/// What a dominant with its seventh gains before the chord a fifth below, or a half step below.
const RESOLVES: i32 = 100;
/// What an augmented triad gains there.
const AUGMENTED_RESOLVES: i32 = 120;
/// What a diminished seventh gains where its root leads up a half step to the next chord, and where it falls by one.
const LEADS_UP: i32 = 200;
const FALLS: i32 = 100;
/// What it gains on the leading note of the key where nobody says what follows.
const LEADING_NOTE: i32 = 100;
/// What a chord over a foreign bass gains where that bass is the root of both neighbours: a pedal point.
const PEDAL: i32 = KEPT_ROOT + ROOT_STAYS;
/// What a chord gains after its dominant: after V, I is expected.
const ARRIVES: i32 = 60;
/// The same on the tonic of the key, where it is a chord that a piece can end on: with its sixth, its major seventh or its ninth
/// too, and whatever comes next. C E G A is C6 after G7 in C, also before Am7.
const COMES_HOME: i32 = 240;
/// What a chord with a minor third gains before the dominant a fifth below: II before V.
const PREPARES: i32 = 80;
/// What a raised eleventh gains where it is a note of the key; it is no flat fifth there.
const RAISED_FOURTH: i32 = 20;
/// What a flat fifth under a major third loses where the key has that note and the perfect fifth too.
const NO_FLAT_FIFTH: i32 = 140;

/// A neighbour: what of it the names beside it depend on.
#[derive(Debug, Clone, Copy)]
struct ChordBeside<'a> {
    symbol: &'a ChordSymbol,
    root: PitchClass,
    /// Its own notes, counted from its root.
    tones: PitchSet,
}

impl<'a> ChordBeside<'a> {
    fn new(symbol: &'a ChordSymbol) -> Self {
        let tones = symbol.formula().iter().fold(PitchSet::EMPTY, |set, degree| set.with_class(degree.folded()));
        Self { symbol, root: symbol.root().pitch_class(), tones }
    }
}

/// The key and the chords before and after.
#[derive(Debug, Clone, Copy)]
pub(super) struct Around<'a> {
    previous: Option<ChordBeside<'a>>,
    next: Option<ChordBeside<'a>>,
    key: Option<Key>,
    /// The notes of the key.
    home: PitchSet,
}

/// A name as far as its surroundings matter.
#[derive(Debug, Clone, Copy)]
pub(super) struct NameHere<'a> {
    pub(super) kind: ReadingKind,
    pub(super) root: PitchClass,
    pub(super) bass: PitchClass,
    pub(super) quality: &'a Quality,
    /// The degrees that sound.
    pub(super) sounding: PitchSet,
}

impl NameHere<'_> {
    /// Returns whether the name has a major third and a minor seventh, or is a suspended one of those.
    fn is_dominant(&self) -> bool {
        is_dominant(self.quality.folded)
    }

    fn is_diminished(&self) -> bool {
        self.quality.folded == DIMINISHED_SEVENTH
    }
}

const DIMINISHED_SEVENTH: PitchSet = PitchSet::from_bits(0b0010_0100_1001);
const DIMINISHED_TRIAD: PitchSet = PitchSet::from_bits(0b0000_0100_1001);
const AUGMENTED_TRIAD: PitchSet = PitchSet::from_bits(0b0001_0001_0001);
const MAJOR_TRIAD: PitchSet = PitchSet::from_bits(0b0000_1001_0001);
const MAJOR_SEVENTH: PitchSet = PitchSet::from_bits(0b1000_1001_0001);
/// The raised sixth of a minor key and the sevenths beside it, in half steps above the tonic.
const RAISED_SIXTH: u8 = 9;
const SEVENTHS: [u8; 2] = [10, 11];

/// Returns whether a chord of these notes, counted from its root, wants to resolve: it has a minor seventh over a major third,
/// or over a fourth in its place.
const fn is_dominant(tones: PitchSet) -> bool {
    tones.has(10) && (tones.has(4) || tones.has(5) && !tones.has(3) && !tones.has(2))
}

/// Returns whether a piece can end on a chord of these notes, counted from its root: a major or minor triad, with its sixth, major
/// seventh or ninth or without them.
const fn is_at_rest(tones: PitchSet) -> bool {
    const HOME: PitchSet = PitchSet::from_bits(0b1010_1001_1101);
    (tones.has(3) != tones.has(4)) && tones.has(7) && tones.minus(HOME).is_empty()
}

/// Returns whether a chord of these notes can be the dominant of another: with its seventh, or a major or augmented triad.
fn may_be_dominant(tones: PitchSet) -> bool {
    is_dominant(tones) || matches!(tones, MAJOR_TRIAD | AUGMENTED_TRIAD)
}

impl<'a> Around<'a> {
    /// Returns what is known beside the notes; `None` where that is nothing.
    pub(super) fn new(context: &'a Context) -> Option<Self> {
        let Context { key, previous, next, .. } = context;
        let known = key.is_some() || previous.is_some() || next.is_some();
        known.then(|| Self {
            previous: previous.as_ref().map(ChordBeside::new),
            next: next.as_ref().map(ChordBeside::new),
            key: *key,
            home: key.map_or(PitchSet::EMPTY, Key::tones),
        })
    }

    /// Returns the chord before, where its root is that of the name as well.
    pub(super) fn same_root_before(&self, root: PitchClass) -> Option<&'a ChordSymbol> {
        self.previous.filter(|previous| previous.root == root).map(|previous| previous.symbol)
    }

    /// Returns whether all that sounds of a name is in the key.
    pub(super) fn holds_sound(&self, named: &NameHere) -> bool {
        self.key.is_some() && named.sounding.minus(self.home.counted_from(named.root.number())).is_empty()
    }

    /// Returns by how much cheaper a name is here than alone.
    pub(super) fn gain(&self, named: &NameHere) -> i32 {
        let before = self.previous.map_or(0, |previous| self.gain_after(named, previous));
        let after = self.next.map_or(0, |next| gain_before(named, next));
        let pedal = if named.kind == ReadingKind::ForeignBass && self.is_between(named.bass) { PEDAL } else { 0 };
        before + after + pedal + self.gain_in_key(named)
    }

    /// Returns whether both neighbours have `root` as theirs.
    fn is_between(&self, root: PitchClass) -> bool {
        [self.previous, self.next].iter().all(|beside| beside.is_some_and(|beside| beside.root == root))
    }

    fn gain_after(&self, named: &NameHere, previous: ChordBeside) -> i32 {
        let is_rootless = named.kind == ReadingKind::Rootless;
        match previous.root.up_to(named.root) {
            0 if is_rootless => CARRIED_ROOT,
            0 => KEPT_ROOT,
            // A fourth up is a fifth down.
            5 if is_rootless || named.is_dominant() => 0,
            5 if is_dominant(previous.tones) && self.comes_home(named) => COMES_HOME,
            5 if is_dominant(previous.tones) => ARRIVES,
            5 if previous.tones == MAJOR_TRIAD && self.is_tonic(named.root) => ARRIVES / 2,
            _ => 0,
        }
    }

    /// Returns whether a name is the tonic of the key as a chord at rest, over no bass but its own.
    fn comes_home(&self, named: &NameHere) -> bool {
        named.kind != ReadingKind::ForeignBass && self.is_tonic(named.root) && is_at_rest(named.quality.folded)
    }

    fn gain_in_key(&self, named: &NameHere) -> i32 {
        let Some(key) = self.key else { return 0 };
        let above = key.tonic().pitch_class().up_to(named.root);
        let has_raised = Degree::new(11, 1).is_some_and(|raised| named.quality.formula.has(raised));
        let raised = if has_raised && self.home.has(named.root.number() + 6) { RAISED_FOURTH } else { 0 };
        let is_flat = Degree::new(5, -1).is_some_and(|flat| named.quality.formula.has(flat));
        let has_both = [6, 7].iter().all(|up| self.home.has(named.root.number() + up));
        let flat = if is_flat && named.quality.folded.has(4) && has_both { NO_FLAT_FIFTH } else { 0 };
        raised - flat + if self.next.is_none() && above == 11 && named.is_diminished() { LEADING_NOTE } else { 0 }
    }

    fn is_tonic(&self, root: PitchClass) -> bool {
        self.key.is_some_and(|key| key.tonic().pitch_class() == root)
    }

    /// Returns how the root of a name is written because of what follows: a leading note with the letter below, a root that
    /// falls by a half step with the letter above. `None` where what follows does not say.
    pub(super) fn root(&self, named: &NameHere) -> Option<NoteName> {
        let next = self.next?;
        let tones = named.quality.folded;
        let is_diminished = matches!(tones, DIMINISHED_SEVENTH | DIMINISHED_TRIAD);
        let letters = match named.root.up_to(next.root) {
            1 if is_diminished => -1,
            11 if is_diminished || is_dominant(tones) => 1,
            5 if may_be_dominant(tones) => 4,
            _ => return None,
        };
        let letter = next.symbol.root().letter().step(letters);
        NoteName::spelled(letter, named.root).filter(|name| name.accidental().abs() <= 1)
    }

    /// Says what the chord does here, as far as that is certain. `names` are its notes as they are written, its bass among
    /// them; `root` is its root.
    pub(super) fn write(&self, text: &mut String, named: &NameHere, root: NoteName, names: &[NoteName]) {
        if let Some(previous) = self.same_root_before(named.root) {
            let carries = if named.kind == ReadingKind::Rootless { "carries over from" } else { "stays from" };
            push(text, &["; the root ", carries, " ", &previous.to_string()]);
        }
        let goes = self.next.is_some_and(|next| self.write_where_it_goes(text, named, next));
        let Some(key) = self.key else { return };
        let is_raised_sixth = |up: u8| key.mode() == KeyMode::Minor && up == RAISED_SIXTH;
        let above_tonic = |class: PitchClass| key.tonic().pitch_class().up_to(class);
        if names.iter().all(|name| key.holds(*name)) {
            if !goes && self.is_dominant_of_key(named, key) {
                push(text, &["; the dominant in the key of ", &key.to_string()]);
            } else if names.iter().any(|name| is_raised_sixth(above_tonic(name.pitch_class()))) {
                write_raised_sixth(text, names, key);
            } else {
                push(text, &["; in the key of ", &key.to_string()]);
            }
            return;
        }
        let mut sounding = named.sounding.classes().map(|up| (above_tonic(named.root) + up) % 12);
        if self.holds_sound(named) && !sounding.any(is_raised_sixth) {
            push(text, &["; its sounding notes are in the key of ", &key.to_string()]);
        } else if !goes {
            self.write_foreign(text, named, root, key);
        }
    }

    /// Says how a chord goes on to the next one; returns whether there was anything to say.
    fn write_where_it_goes(&self, text: &mut String, named: &NameHere, next: ChordBeside) -> bool {
        let tones = named.quality.folded;
        let is_diminished = matches!(tones, DIMINISHED_SEVENTH | DIMINISHED_TRIAD);
        let name = next.symbol.over_its_root().to_string();
        let passes = |from: u8| self.previous.filter(|previous| previous.root.up_to(named.root) == from);
        match named.root.up_to(next.root) {
            5 if is_dominant(tones)
                || tones == AUGMENTED_TRIAD
                || tones == MAJOR_TRIAD && self.is_dominant_here(named) =>
            {
                push(text, &["; the dominant of ", &name, ", which follows"]);
            }
            11 if tones.has(4) && tones.has(10) => {
                let fifth = Degree::new(5, 0).and_then(|fifth| fifth.above(next.symbol.root()));
                let dominant = fifth.map_or_else(String::new, |fifth| format!(" of {fifth}7"));
                push(text, &["; the tritone substitute", &dominant, ", a half step above ", &name]);
            }
            from @ (1 | 11) if is_diminished => match passes(from) {
                Some(previous) => {
                    push(text, &["; passes from ", &previous.symbol.over_its_root().to_string(), " to ", &name]);
                }
                None if from == 1 => push(text, &["; leads up a half step to ", &name]),
                None => push(text, &["; leads down a half step to ", &name]),
            },
            _ => return false,
        }
        true
    }

    /// Returns whether a major triad is a dominant here: that of the key, or one that the key does not have.
    fn is_dominant_here(&self, named: &NameHere) -> bool {
        self.key.is_some_and(|key| self.is_dominant_of_key(named, key) || !self.holds_sound(named))
    }

    fn is_dominant_of_key(&self, named: &NameHere, key: Key) -> bool {
        key.tonic().pitch_class().up_to(named.root) == 7 && named.quality.folded.has(4) && !named.quality.folded.has(11)
    }

    /// Says what a major chord on the flat second of a major or minor key does; returns whether there was anything to say.
    /// In the modes it is at home, or told by nothing.
    fn write_flat_second(&self, text: &mut String, named: &NameHere, key: Key) -> bool {
        let tones = named.quality.folded;
        let is_here = matches!(key.mode(), KeyMode::Major | KeyMode::Ionian | KeyMode::Minor | KeyMode::Aeolian)
            && key.tonic().pitch_class().up_to(named.root) == 1
            && named.kind != ReadingKind::ForeignBass;
        if is_here && matches!(tones, MAJOR_TRIAD | MAJOR_SEVENTH) {
            push(text, &["; the Neapolitan, on the flat second of ", &key.to_string()]);
            return true;
        }
        let fifth = Degree::new(5, 0).and_then(|fifth| fifth.above(key.tonic()));
        let fifth = fifth.filter(|_| is_here && self.next.is_none() && tones.has(4) && tones.has(10));
        if let Some(fifth) = fifth {
            push(text, &["; the tritone substitute of ", fifth.as_str(), "7, the dominant in the key of "]);
            push(text, &[&key.to_string()]);
        }
        fifth.is_some()
    }

    /// Says where a chord comes from that the key does not have.
    fn write_foreign(&self, text: &mut String, named: &NameHere, root: NoteName, key: Key) {
        let tones = named.quality.folded;
        let target = PitchClass::of(i32::from(named.root.number()) + 5);
        if self.write_flat_second(text, named, key) {
            return;
        }
        // A major triad on the tonic of a minor key is the end of a piece rather than a dominant.
        let at_rest = self.is_tonic(named.root) && tones == MAJOR_TRIAD;
        let is_open =
            !at_rest && self.next.is_none() && may_be_dominant(tones) && tones != AUGMENTED_TRIAD && !tones.has(5);
        if is_open && !self.is_tonic(target) {
            let scale = key.scale();
            let has = |up: i32| {
                scale.iter().any(|name| name.pitch_class() == PitchClass::of(i32::from(target.number()) + up))
            };
            let goal = scale.iter().find(|name| name.pitch_class() == target);
            // What has no perfect fifth in the key is nobody's goal; the dominant of a minor key is major, that of a mode as
            // the mode has it.
            if let Some(goal) = goal.filter(|_| has(7)) {
                let is_dominant = key.mode() == KeyMode::Minor && key.tonic().pitch_class().up_to(target) == 7;
                let minor = if has(4) || is_dominant { "" } else { "m" };
                push(text, &["; secondary dominant: the dominant of ", goal.as_str(), minor]);
                return;
            }
        }
        let (parallel, word) = match key.mode() {
            KeyMode::Major | KeyMode::Ionian => (MINOR_SCALE, "minor"),
            KeyMode::Minor | KeyMode::Aeolian => (MAJOR_SCALE, "major"),
            KeyMode::Dorian | KeyMode::Phrygian | KeyMode::Lydian | KeyMode::Mixolydian | KeyMode::Locrian => return,
        };
        let up = key.tonic().pitch_class().up_to(root.pitch_class());
        if tones.minus(parallel.counted_from(up)).is_empty() && named.kind != ReadingKind::ForeignBass {
            push(text, &["; borrowed from ", key.tonic().as_str(), " ", word]);
        }
    }
}

const MAJOR_SCALE: PitchSet = PitchSet::from_bits(0b1010_1011_0101);
const MINOR_SCALE: PitchSet = PitchSet::from_bits(0b0101_1010_1101);

/// Says which scales on the tonic of a minor key have a chord with the raised sixth: the natural minor has not. The seventh
/// tells them apart, where one of the `names` is it.
fn write_raised_sixth(text: &mut String, names: &[NoteName], key: Key) {
    let tonic = key.tonic();
    let has = |up: u8| names.iter().any(|name| tonic.pitch_class().up_to(name.pitch_class()) == up);
    let tonic = tonic.as_str();
    match SEVENTHS.map(has) {
        [false, false] => push(text, &["; of ", tonic, " melodic minor, or borrowed from ", tonic, " dorian"]),
        [false, true] => push(text, &["; of ", tonic, " melodic minor"]),
        [true, false] => push(text, &["; borrowed from ", tonic, " dorian"]),
        // No scale has both.
        [true, true] => {}
    }
}

fn gain_before(named: &NameHere, next: ChordBeside) -> i32 {
    if named.kind == ReadingKind::Rootless {
        return 0;
    }
    let tones = named.quality.folded;
    match named.root.up_to(next.root) {
        // A second and a fourth at once are rather a dominant, with its fourth, of what follows.
        0 if tones.has(2) && tones.has(5) && !tones.has(3) && !tones.has(4) => 0,
        0 => ROOT_STAYS,
        1 if named.is_diminished() => LEADS_UP,
        11 if named.is_diminished() => FALLS,
        11 if tones.has(4) && tones.has(10) => RESOLVES,
        5 if named.is_dominant() => RESOLVES,
        5 if tones == AUGMENTED_TRIAD => AUGMENTED_RESOLVES,
        5 if tones.has(3) && is_dominant(next.tones) => PREPARES,
        _ => 0,
    }
}

fn push(text: &mut String, parts: &[&str]) {
    parts.iter().for_each(|part| text.push_str(part));
}
