//! The search: every shape that sounds a chord and that a hand can hold.
//!
//! For each fret at which the lowest finger may stand, the strings are gone through from the highest number down;
//! each is muted, open, or stopped within reach where it sounds a tone of the chord. What cannot become a whole
//! chord any more, or needs more fingers than there are, is given up at once, so that the list is complete and
//! still found while a key is struck.
//!
//! What is no whole voicing and yet called by the name of the chord first is a list of its own (`incomplete`), behind the others.
//!
//! A full thirteenth on twelve strings has tens of millions of voicings. Past a million, the 10,000 best are found
//! instead (a progression has a lower bound, since it looks at few anyway): what cannot become one of them is given
//! up while strings are still left, so that the wait is seconds and the memory some 40 MB. The answer says what is
//! missing.

use self::build::ChordOnStrings;
use self::position::Position;
use self::state::StringsSoFar;
use super::board::ChordBoard;
use super::found_voicing::Hit;
use super::level::{LevelLimits, TaughtHow};
use super::limits::{SPAN, WIRES};
use super::ranking::{BassTone, FAR, RankingPrices, StringTraits, TaughtAs, ToneTraits, Traits, prices};
use super::request::Request;
use super::sieve::Sieve;
use super::tones::{ChordTones, TooFewStrings};
use crate::instrument::fingering::{self, Gripper, Held, MUTED, OPEN, STRINGS, UNBOUNDED};
use crate::instrument::hand::ThumbUse;
use crate::instrument::neck::Shape;
use crate::instrument::rig::Rig;
use crate::theory::pitch::{MidiNote, PitchClass};
use crate::theory::pitch_set::PitchSet;
use crate::theory::symbol::ChordSymbol;

pub use super::found_voicing::FoundVoicing;

/// The most voicings of one chord that are all listed. Up to eight strings no chord has so many; with twelve some have
/// tens of millions, and then the [`BEST`] are found instead.
pub const MOST: usize = 1_000_000;

/// The most voicings of one chord that are all listed for a progression, which leaves out most of them anyway.
pub(super) const MOST_ON_A_PATH: usize = 50_000;

/// The number of best voicings that are found where there are more than [`MOST`].
pub const BEST: usize = 10_000;

/// Returns at most `limit` of the voicings of `symbol` on `rig` that keep to `request`, best first. All are looked at;
/// where there are more than [`MOST`], only the [`BEST`] of them are found.
///
/// Each shape sounds tones of the chord only, and those it must ([`ChordTones`]); has at most
/// [`INNER_MUTES`](super::limits::INNER_MUTES) damped strings between sounding ones; and is held by four fingers of the
/// hand, with the thumb where that is needed and allowed. No shape comes twice, and none that holds to this is missing.
///
/// Errors: fewer strings than tones that must sound.
pub fn voicings(
    rig: &Rig,
    symbol: &ChordSymbol,
    request: &Request,
    limit: usize,
) -> Result<Vec<FoundVoicing>, TooFewStrings> {
    let board = ChordBoard::of(rig);
    Ok(board.search(symbol, request)?.found(limit))
}

impl ChordBoard {
    /// Finds every voicing of `symbol`; see [`voicings`].
    ///
    /// Errors: fewer strings than tones that must sound.
    pub fn search<'a>(&'a self, symbol: &ChordSymbol, request: &'a Request) -> Result<Search<'a>, TooFewStrings> {
        Ok(self.search_tones(self.tones_of(symbol)?, request))
    }

    /// Sorts the tones of `symbol` for this instrument.
    ///
    /// Errors: fewer strings than tones that must sound.
    pub(super) fn tones_of(&self, symbol: &ChordSymbol) -> Result<ChordTones, TooFewStrings> {
        let tones = ChordTones::of(symbol, self.strings)?;
        Ok(if self.is_bass { tones.on_a_bass(symbol) } else { tones })
    }

    /// Finds every voicing of `tones`.
    pub(super) fn search_tones<'a>(&'a self, tones: ChordTones, request: &'a Request) -> Search<'a> {
        self.sifted(tones, request, None)
    }

    /// Finds the voicings of `tones` that `sieve` lets through.
    pub(super) fn sifted<'a>(
        &'a self,
        tones: ChordTones,
        request: &'a Request,
        sieve: Option<Sieve<'a>>,
    ) -> Search<'a> {
        let mut search = self.prepared(tones, request, sieve);
        if search.sieve.is_some() {
            search.bounds = (MOST_ON_A_PATH, BEST);
        }
        search.run();
        search
    }

    /// Returns a search that has not begun.
    fn prepared<'a>(&'a self, tones: ChordTones, request: &'a Request, sieve: Option<Sieve<'a>>) -> Search<'a> {
        let mut search = Search {
            board: self,
            request,
            tones,
            prices: prices(),
            level: request.level.limits(),
            gripper: Gripper::new(&self.neck, &request.hand, fingering::costs(), request.thumb),
            stops: [0; STRINGS],
            open: [false; STRINGS],
            sieve,
            list: Vec::with_capacity(512),
            bounds: (MOST, BEST),
            worst: None,
            ceiling: u32::MAX,
        };
        search.mark_tones();
        search
    }
}

/// A search and what it found.
pub struct Search<'a> {
    pub(super) board: &'a ChordBoard,
    request: &'a Request,
    tones: ChordTones,
    prices: &'a RankingPrices,
    /// What the level of the player allows; `None` where it allows all.
    level: Option<&'static LevelLimits>,
    gripper: Gripper<'a>,
    /// For each string the wires that sound a tone of the chord, bit 1 for the first.
    stops: [u64; STRINGS],
    /// For each string whether it sounds a tone of the chord when it is open.
    open: [bool; STRINGS],
    /// The sieve that knows what a progression can do without; `None` where every voicing is wanted.
    sieve: Option<Sieve<'a>>,
    pub(super) list: Vec<Hit>,
    /// The most voicings that are all listed, and how many of the best are kept where there are more.
    bounds: (usize, usize),
    /// What the dearest of those kept costs, once some have been dropped.
    worst: Option<u32>,
    /// The price above which no voicing is wanted at the place where the hand is.
    ceiling: u32,
}

/// The fret above which a whole shape stands behind the others.
const HIGH: i8 = 12;

impl Search<'_> {
    /// Returns the chord that is looked for, on its strings.
    fn chord(&self) -> ChordOnStrings<'_> {
        ChordOnStrings { board: self.board, tones: &self.tones, asks_bass: self.request.bass.is_some() }
    }

    /// Returns at most `limit` of the voicings that were found, best first.
    pub fn found(mut self, limit: usize) -> Vec<FoundVoicing> {
        self.sort(limit);
        self.list.truncate(limit);
        self.list.iter().map(|hit| self.board.voicing(hit)).collect()
    }

    /// Leaves only the voicings whose shape is one of the `wanted`.
    pub fn retain(&mut self, wanted: impl Fn(&Shape) -> bool) {
        let board = self.board;
        self.list.retain(|hit| wanted(&board.shape(&hit.held)));
    }

    /// Returns how many voicings were found; there are more where this is not [`Search::is_complete`].
    pub fn count(&self) -> usize {
        self.list.len()
    }

    /// Returns whether every voicing was found. If not, there are more than [`MOST`], and the [`BEST`] of them were
    /// found.
    pub fn is_complete(&self) -> bool {
        self.worst.is_none()
    }

    /// Sorts the best `limit` to the front. Those that cost the same are sorted by how their strings are held, from the
    /// highest string number on: a muted string comes before an open one, and that before a stopped one, the lower fret
    /// first.
    pub(super) fn sort(&mut self, limit: usize) {
        let key = |hit: &Hit| (hit.cost, hit.held);
        if limit < self.list.len() {
            self.list.select_nth_unstable_by_key(limit, key);
            self.list.truncate(limit);
        }
        self.list.sort_unstable_by_key(key);
    }

    /// Marks where each string sounds a tone of the chord within the frets that are asked for.
    fn mark_tones(&mut self) {
        let frets = self.request.frets.start().number()..=self.request.frets.end().number();
        for index in 0..self.board.strings {
            let sounds = |note: u8| note != 0 && self.tones.allowed.has(note % 12);
            self.open[index] = frets.contains(&0) && sounds(self.board.open[index]);
            for wire in 1..WIRES {
                let written = self.board.written[index][wire];
                if written != 0 && frets.contains(&written) && sounds(self.board.notes[index][wire]) {
                    self.stops[index] |= 1 << wire;
                }
            }
        }
    }

    /// Searches every place of the hand.
    fn run(&mut self) {
        let mut held = [MUTED; STRINGS];
        // No finger at all, then each place for the lowest one.
        let open = self.position(OPEN, 0);
        self.try_taught(StringsSoFar::ALL_OPEN, &open);
        self.descend(0, StringsSoFar::ALL_OPEN, &open, &mut held);
        let reach = self.request.hand.reach().0 as f32 + 0.001;
        for lowest in (1..).take(WIRES - 1) {
            if self.stops.iter().all(|stops| stops & (1 << lowest) == 0) {
                continue;
            }
            let last = WIRES as i8 - 1;
            let within = |wire: &i8| self.board.neck.at(*wire) - self.board.neck.at(lowest) <= reach;
            let window =
                (lowest..=last.min(lowest + SPAN)).take_while(within).fold(0, |window, wire| window | 1 << wire);
            let position = self.position(lowest, window);
            if self.tones.required.minus(position.ahead[0]).is_empty() {
                if let Some(sieve) = &mut self.sieve {
                    sieve.enter(lowest);
                }
                self.ceiling = self.ceiling_at(lowest);
                self.try_taught(StringsSoFar::START, &position);
                self.descend(0, StringsSoFar::START, &position, &mut held);
            }
        }
        if self.worst.is_some() {
            self.drop_dearest();
        }
        // A progression looks at all that the level allows.
        if let Some(forms) = self.level.and_then(LevelLimits::forms).filter(|_| self.sieve.is_none()) {
            self.keep_few(forms);
        }
    }

    /// Keeps at most so many voicings, the best: those over the root that are taught, then others over the root and others still as
    /// long as there are fewer than the first number. Of a chord that has no taught shape beside the nut only what is taught is kept,
    /// the small forms among it, unless more was asked for than the chord, or no small forms are known on these strings.
    fn keep_few(&mut self, (fewest, most): (usize, usize)) {
        self.sort(usize::MAX);
        let board = self.board;
        let lowest = |held: &Held| held.iter().copied().filter(|wire| *wire > OPEN).min().unwrap_or(OPEN);
        let known = |hit: &Hit| board.taught.get(lowest(&hit.held), &hit.held);
        let is_open = |hit: &Hit| matches!(known(hit), Some(TaughtAs::Open | TaughtAs::AlsoOpen));
        let (over_root, others): (Vec<Hit>, Vec<Hit>) = self.list.iter().partition(|hit| self.is_over_root(&hit.held));
        let is_any = !board.taught.has_small() || self.request.asks_for_more() || over_root.iter().any(is_open);
        let mut few: Vec<Hit> = if is_any {
            let (mut few, further): (Vec<Hit>, Vec<Hit>) = over_root.iter().partition(|hit| known(hit).is_some());
            few.truncate(most);
            let others = further.into_iter().chain(others).take(fewest.saturating_sub(few.len()));
            few.extend(others);
            few
        } else {
            let is_over_root = |hit: &&Hit| known(hit).is_some() && self.is_over_root(&hit.held);
            let is_shown = |hit: &&Hit| is_over_root(hit) || board.taught.is_small(&hit.held);
            self.list.iter().filter(is_shown).copied().collect()
        };
        few.truncate(most);
        self.list = few;
    }

    /// Returns whether the lowest note of `held` is the root, or the bass that was asked for.
    fn is_over_root(&self, held: &Held) -> bool {
        let notes = held.iter().enumerate().filter_map(|(index, wire)| self.board.note(index, *wire));
        notes.min().is_some_and(|bass| self.chord().bass_tone(bass) == BassTone::Proper)
    }

    /// Returns the price above which a voicing is not wanted where the lowest finger is at `lowest`.
    fn ceiling_at(&self, lowest: i8) -> u32 {
        let sieve = self.sieve.as_ref().map_or(u32::MAX, |sieve| sieve.ceiling(lowest));
        sieve.min(self.worst.unwrap_or(u32::MAX))
    }

    /// Keeps the best of the list, as many as are kept at all.
    fn drop_dearest(&mut self) {
        let (_, best) = self.bounds;
        if best < self.list.len() {
            self.list.select_nth_unstable_by_key(best, |hit| (hit.cost, hit.held));
            self.list.truncate(best);
        }
        // As long as fewer are kept than may be, none is too dear.
        let full = best <= self.list.len();
        self.worst = if full { self.list.iter().map(|hit| hit.cost).max() } else { Some(u32::MAX) };
    }

    /// Returns the fewest points that a voicing costs which begins as `state` does on the strings before `index`. Every
    /// part of it is one of [`RankingPrices::of`] that more strings can only make greater.
    fn least(&self, index: usize, state: &StringsSoFar, at: &Position) -> u32 {
        let (prices, tones) = (self.prices, &self.tones);
        let fret = u32::try_from(at.lowest - self.board.neck.nut).unwrap_or(0);
        let within = PitchSet::from_bits(state.covered.bits() | at.ahead[index].bits());
        // Root and fifth alone may leave strings silent for nothing, and so may a bass, also between others.
        let plucked = self.board.is_bass;
        let silent = (index as u32).saturating_sub(state.sounding);
        let muted = if plucked || tones.allowed.len() == 2 { 0 } else { silent };
        let inner = if plucked { 0 } else { u32::from(state.mutes.inner) };
        // No string that follows can go below the lowest note any more.
        let bass_is_known = state.lowest_note < at.deepest[index];
        let bass = if bass_is_known { prices.of_bass(self.chord().bass_tone(state.lowest_note)) } else { 0 };
        let least = state.spent
            + bass
            + self.gripper.least(state.fingers.needed) * prices.strain / 10
            + tones.optional.minus(tones.unmissed).minus(within).len() * prices.silent
            + u32::from(!within.has(tones.root.number())) * prices.rootless
            + u32::from(tones.clashing.minus(state.covered) != tones.clashing) * prices.clash
            + inner * prices.inner_mute.min(prices.compact_mute)
            + muted * prices.silent_string
            + prices.of_place(fret, state.fingers.span, self.board.any_bass);
        // With a sieve the taught shapes have been tried.
        least + if self.sieve.is_none() { 0 } else { prices.most_off() }
    }

    /// Returns the place of a hand whose lowest finger is at `lowest` and which reaches the wires of `window`.
    fn position(&self, lowest: i8, window: u64) -> Position {
        let mut ahead = [PitchSet::EMPTY; STRINGS + 1];
        let mut deepest = [u8::MAX; STRINGS + 1];
        for index in (0..self.board.strings).rev() {
            let (mut tones, mut lowest_note) = (ahead[index + 1], deepest[index + 1]);
            let mut add = |note: u8| {
                tones = tones.with_class(note % 12);
                lowest_note = lowest_note.min(note);
            };
            if self.open[index] {
                add(self.board.open[index]);
            }
            let mut stops = self.stops[index] & window;
            while stops != 0 {
                add(self.board.notes[index][stops.trailing_zeros() as usize]);
                stops &= stops - 1;
            }
            (ahead[index], deepest[index]) = (tones, lowest_note);
        }
        Position { lowest, window, ahead, deepest }
    }

    /// Tries the shapes that are taught at this place, where there is a sieve. A price may be taken off for them, so
    /// that left among the others they would keep much else from being given up.
    fn try_taught(&mut self, start: StringsSoFar, at: &Position) {
        if self.sieve.is_none() {
            return;
        }
        let board = self.board;
        for (held, known) in board.taught.from(at.lowest) {
            let mut state = Some(start);
            let last = (0..board.strings).rev().find(|index| held[*index] != MUTED).unwrap_or(0);
            for (index, wire) in held.iter().copied().enumerate().take(last + 1) {
                let within = match wire {
                    MUTED => true,
                    OPEN => self.open[index],
                    wire => self.stops[index] & at.window & (1 << wire) != 0,
                };
                state = state.filter(|_| within).and_then(|state| match board.note(index, wire) {
                    None => state.muted(),
                    Some(note) => self.sounding(state, note, wire, at.lowest, index),
                });
            }
            if let Some(state) =
                state.filter(|state| state.fingers.at_lowest && self.tones.are_voiced_by(state.covered))
            {
                self.keep(last, state, (at.lowest, Some(*known)), held);
            }
        }
    }

    /// Goes on with the string at `index`: muted, open, and stopped at each wire within reach.
    fn descend(&mut self, index: usize, state: StringsSoFar, at: &Position, held: &mut Held) {
        if index == self.board.strings {
            return;
        }
        let rest = at.ahead[index];
        if !self.tones.required.minus(state.covered).minus(rest).is_empty()
            || self.tones.optional.minus(state.covered).minus(rest).len() > self.tones.at_most
        {
            return;
        }
        if self.ceiling != u32::MAX && self.least(index, &state, at) > self.ceiling {
            return;
        }
        if let Some(muted) = state.muted() {
            held[index] = MUTED;
            self.descend(index + 1, muted, at, held);
        }
        if self.open[index] {
            self.sound(index, state, OPEN, at, held);
        }
        let mut stops = self.stops[index] & at.window;
        while stops != 0 {
            let wire = stops.trailing_zeros() as i8;
            stops &= stops - 1;
            self.sound(index, state, wire, at, held);
        }
        held[index] = MUTED;
    }

    /// Lets one more string sound, keeps the voicing that ends there, and goes on.
    fn sound(&mut self, index: usize, state: StringsSoFar, wire: i8, at: &Position, held: &mut Held) {
        let note = if wire == OPEN { self.board.open[index] } else { self.board.notes[index][wire as usize] };
        let Some(mut next) = self.sounding(state, note, wire, at.lowest, index) else { return };
        held[index] = wire;
        if self.ceiling != u32::MAX {
            next.spent += self.spent(index, note, at.lowest, held);
        }
        if next.fingers.at_lowest && self.tones.are_voiced_by(next.covered) {
            for rest in &mut held[index + 1..] {
                *rest = MUTED;
            }
            // With a sieve the taught ones have been tried.
            let known = self.board.taught.get(at.lowest, held);
            if self.sieve.is_none() || known.is_none() {
                self.keep(index, next, (at.lowest, known), held);
            }
        }
        self.descend(index + 1, next, at, held);
    }

    /// Returns what it costs, in points, that the string at `index` sounds an open note far from the fingers, or a note
    /// that sounds already.
    fn spent(&self, index: usize, note: u8, lowest: i8, held: &Held) -> u32 {
        let again = !self.board.narrow && (0..index).any(|other| self.board.note(other, held[other]) == Some(note));
        let apart = held[index] == OPEN && lowest >= self.board.neck.nut + FAR as i8;
        u32::from(again) * self.prices.unison + u32::from(apart) * self.prices.high_open
    }

    /// Returns the state after one more string sounds; `None` where no hand holds that, or a foreign bass comes too often.
    fn sounding(&self, state: StringsSoFar, note: u8, wire: i8, lowest: i8, index: usize) -> Option<StringsSoFar> {
        if state.wants_a_finger() && wire == OPEN {
            return None;
        }
        let thumb = if self.board.strings >= fingering::THUMB_STRINGS { self.request.thumb } else { ThumbUse::Never };
        let fingers = state.fingers.with(index, wire, lowest, state.before, thumb)?;
        let mut next = state.sounded(note, wire, fingers);
        if self.tones.foreign_bass && self.tones.bass.is_some_and(|bass| bass.number() == note % 12) {
            next.foreign += 1;
            let (_, most) = self.tones.bass_strings;
            if next.foreign > most {
                return None;
            }
        }
        Some(next)
    }

    /// Keeps what is held up to the string at `last` if a hand can hold it and its outermost notes are right.
    fn keep(&mut self, last: usize, state: StringsSoFar, (lowest, known): (i8, Option<TaughtAs>), held: &Held) {
        let (fewest, _) = self.tones.bass_strings;
        if state.foreign < fewest {
            return;
        }
        // What each string sounds; 0 where it is silent, as the lowest MIDI note sounds nowhere.
        let mut notes = [0; STRINGS];
        for index in 0..=last {
            notes[index] = self.board.note(index, held[index]).unwrap_or(0);
        }
        let sounding = || notes.iter().copied().filter(|note| *note != 0);
        let (Some(bass), Some(top)) = (sounding().min(), sounding().max()) else { return };
        if !self.suits(bass, top) {
            return;
        }
        let mut traits = self.traits((last, lowest, bass), &state, held, &notes);
        // What leaves out a note where each string is needed, and has a name of its own, is taught as that.
        let root = self.tones.root.number();
        let is_another = self.board.any_bass
            && known.is_some()
            && traits.tones.silent > 0
            && self.chord().is_renamed(state.covered, root);
        traits.taught = known.filter(|_| traits.bass == BassTone::Proper && !traits.tones.rootless && !is_another);
        let is_elsewhere = traits.bass != BassTone::Proper && self.chord().is_renamed(state.covered, bass);
        traits.renamed = is_elsewhere && known.is_some();
        traits.suspended = is_elsewhere && known.is_none() && self.chord().is_suspended();
        traits.clutter = u32::from(lowest > self.board.neck.nut + HIGH);
        if traits.taught.is_none() {
            traits.clutter += self.chord().clutter(last, &state, held, &notes);
        }
        let strings = u32::try_from(self.board.strings).unwrap_or(0);
        traits.strain = self.gripper.least(state.fingers.needed);
        let least = self.prices.of(&traits, strings);
        if least > self.ceiling || self.sieve.as_ref().is_some_and(|sieve| sieve.drops(least, lowest, held)) {
            return;
        }
        // The strain that would make it too dear; what is taken off a price makes that hard to tell.
        let bounded = self.ceiling != u32::MAX && traits.taught.is_none();
        let more = (self.ceiling - least).saturating_add(1).saturating_mul(10).checked_div(self.prices.strain);
        let most = more.filter(|_| bounded).map_or(UNBOUNDED, |more| traits.strain + more);
        let Some(grip) = self.gripper.best_within(held, most) else { return };
        let is_full = traits.strings.sounding >= traits.strings.enough.min(strings);
        let how = TaughtHow { known, is_full, is_small: self.board.taught.is_small(held) };
        if self.level.is_some_and(|level| !level.allow(held, &grip, how, (&self.board.neck, &self.request.hand))) {
            return;
        }
        traits.strain = grip.strain;
        if traits.taught.is_none() {
            traits.clutter += u32::from(grip.has_thumb() && grip.count() > 4) + u32::from(grip.lays_little_alone());
        }
        let thumb = if grip.has_thumb() { self.prices.thumb } else { 0 };
        let hit = Hit { cost: self.prices.of(&traits, strings) + thumb, held: *held, grip };
        self.list.push(hit);
        let (most, best) = self.bounds;
        if self.list.len() > if self.worst.is_none() { most } else { 2 * best } {
            self.drop_dearest();
        }
        if let Some(sieve) = &mut self.sieve {
            sieve.note(&hit, lowest);
        }
        if self.sieve.is_some() || self.worst.is_some() {
            self.ceiling = self.ceiling_at(lowest);
        }
    }

    /// Returns whether the outermost notes are what the symbol and the request want.
    fn suits(&self, bass: u8, top: u8) -> bool {
        let is = |sought: Option<super::request::Sought>, note: u8| {
            sought.is_none_or(|sought| MidiNote::new(note).is_some_and(|note| sought.is(note)))
        };
        self.tones.bass.is_none_or(|wanted| wanted.number() == bass % 12)
            && is(self.request.bass, bass)
            && is(self.request.top, top)
    }

    /// Returns the traits of a shape by which it is ranked. Its strain and whether teachers show it are not known here; both are
    /// filled in later.
    fn traits(
        &self,
        (last, lowest, bass): (usize, i8, u8),
        state: &StringsSoFar,
        held: &Held,
        notes: &[u8; STRINGS],
    ) -> Traits {
        let strings = self.board.strings;
        let over_root = bass % 12 == self.tones.root.number();
        let bass = self.chord().bass_tone(bass);
        let enough = self.board.enough(self.tones.allowed.len());
        let fret = if lowest == OPEN { OPEN } else { lowest - self.board.neck.nut };
        let mut spare = 0;
        for index in last + 1..strings {
            let under_index = lowest > 0 && self.stops[index] & (1 << lowest) != 0;
            spare += u32::from(self.open[index] && fret < 5 || under_index);
        }
        let (mut thirds, mut unisons, mut open) = (0, 0, 0);
        let third = self.tones.third.map(PitchClass::number);
        for index in (0..=last).filter(|index| held[*index] != MUTED) {
            open += u32::from(held[index] == OPEN);
            thirds += u32::from(third == Some(notes[index] % 12));
            unisons += u32::from(!self.board.narrow && notes[..index].contains(&notes[index]));
        }
        Traits {
            strain: 0,
            tones: ToneTraits {
                silent: self.tones.optional.minus(state.covered).minus(self.tones.unmissed).len(),
                rootless: !state.covered.has(self.tones.root.number()),
                clash: self.tones.clashing.minus(state.covered) != self.tones.clashing,
                doubled_thirds: u32::saturating_sub(thirds, 1),
                unisons,
            },
            strings: StringTraits {
                sounding: state.sounding,
                enough,
                thick: if self.board.is_bass { state.sounding.saturating_sub(enough) } else { 0 },
                open,
                inner_mutes: u32::from(state.mutes.inner),
                treble_mutes: u32::try_from(strings - last - 1).unwrap_or(0),
                spare,
            },
            lowest: u32::try_from(fret).unwrap_or(0),
            span: u32::try_from(held.iter().copied().max().unwrap_or(0) - lowest).unwrap_or(0),
            bass,
            renamed: false,
            suspended: false,
            clutter: 0,
            extended: self.tones.allowed.len() >= 5,
            small: self.board.any_bass,
            build: self.chord().build(state, over_root, open, ChordOnStrings::damps_in_the_middle(last, held, notes)),
            taught: None,
        }
    }
}

mod build;
mod incomplete;
mod position;
mod state;

#[cfg(test)]
mod tests;
