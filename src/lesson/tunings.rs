//! What is played in a tuning and capo, and how it goes to another one: with its frets, or with its sound.
//!
//! A tuning and capo is a [`Setup`]. Something that states none is played in that of the segment that plays it
//! ([`Lesson::passage_setup`]); it counts here like something that states that one.

use std::collections::{HashMap, HashSet};

use super::bar_numbers::BarNumbers;
use super::document::{Lesson, OwnedInstrument, Piece, Segment, Setup, Voicing};
use super::edit::{Edit, ListEdit};
use super::harmony::named_rightly::{name_rightly, said_of_names};
use super::harmony::names_after::{NameChange, rename_after};
use super::id::{InstrumentId, PassageId, PieceId, SetupId};
use super::keys_along::{KeyChange, SoundMove};
use super::linked_shapes::{delete_unfitting, events};
use super::lookup::SetupError;
use super::moved_voicing::{MovedVoicing, called, with_frets, with_sound};
use super::music::Passage;
use super::place::Spot;
use super::placing::moved::{Remark, moved};
use crate::instrument::catalogue;
use crate::instrument::placement::PlacementError;
use crate::instrument::retuning::CapoStep;
use crate::instrument::rig::Rig;
use crate::instrument::tuning::{Capo, Tuning};
use crate::theory::key::Key;

/// What stays as it is about a passage that goes to another tuning or capo.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FretsOrSound {
    /// The frets: the passage was meant for that tuning, and sounds different.
    Frets,
    /// The sound: the notes are placed anew on the neck.
    Sound,
}

/// What hands have to do to get from one tuning of a lesson into another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TuningStep {
    /// Nothing: strings and capo stay as they are.
    Nothing,
    /// The capo goes on, off or elsewhere, and the strings stay as they are.
    Capo(CapoStep),
    /// Strings are turned.
    Retune,
    /// Another instrument is taken up.
    Instrument,
}

impl TuningStep {
    /// Returns what has to be done between two tunings.
    pub fn between(from: &Setup, to: &Setup) -> Self {
        if from.instrument != to.instrument {
            return Self::Instrument;
        }
        if from.tuning != to.tuning || from.reference != to.reference {
            return Self::Retune;
        }
        CapoStep::between(from.capo.as_ref(), to.capo.as_ref()).map_or(Self::Nothing, Self::Capo)
    }
}

/// Returns whether the same frets sound the same notes in both setups; tone and reference pitch may differ.
pub fn plays_alike(one: &Setup, other: &Setup) -> bool {
    one.id == other.id || (one.instrument == other.instrument && one.tuning == other.tuning && one.capo == other.capo)
}

/// What could not be kept of a passage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PassageRemark {
    /// The title of the passage, or the word for chord shapes.
    pub title: String,
    /// How its bars are numbered.
    pub numbers: BarNumbers,
    /// What, and where in the passage as it was.
    pub remark: Remark,
}

/// Edits that take passages to another tuning.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Retuned {
    /// The edits, possibly none.
    pub edits: Vec<Edit>,
    /// What could not be kept, passage by passage, and of voicings.
    pub remarks: Vec<PassageRemark>,
    /// The names that voicings have lost, because they were said of what those sounded before.
    pub unnamed: Vec<String>,
    /// What became of the keys, each change once: where frets stay, the sound moves.
    pub keys: Vec<KeyChange>,
    /// What became of chord names over tab that keeps its frets.
    pub renamed: Vec<NameChange>,
}

impl Retuned {
    /// Returns a voicing that went to another tuning, and notes what could not be kept of it.
    pub(super) fn note(&mut self, moved: MovedVoicing) -> Voicing {
        self.unnamed.extend(moved.unnamed);
        self.remarks.extend(moved.heard.map(|text| PassageRemark {
            title: "chord shapes".to_owned(),
            numbers: BarNumbers::default(),
            remark: Remark::plain(Spot::WHOLE, text),
        }));
        moved.voicing
    }

    /// Adds what deletes the links to shapes that no longer fit the tab, and says which those are; the other edits are of the lesson
    /// `before`.
    pub(super) fn delete_unfitting_links(&mut self, before: &Lesson) {
        let mut after = before.clone();
        // What does not fit is refused, in words, where the edits are made.
        if after.apply_all(self.edits.clone()).is_err() {
            return;
        }
        for passage in after.passages.iter().filter(|passage| events(passage).any(|event| event.voicing.is_some())) {
            let Some(was) = before.passage(passage.id) else { continue };
            let mut cut = passage.clone();
            let rig = after.passage_rig(passage);
            let remarks = delete_unfitting(was, &mut cut, rig.as_ref(), (before, &after));
            if remarks.is_empty() {
                continue;
            }
            let told = |remark| PassageRemark { title: cut.title.clone(), numbers: BarNumbers::of(&cut), remark };
            self.remarks.extend(remarks.into_iter().map(told));
            self.edits.push(Edit::Passages(ListEdit::Replace(cut)));
        }
    }
}

/// A passage that cannot go to another tuning, or a tuning that is none.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RetuneError {
    /// The tuning is not in the lesson.
    #[error("that tuning is no longer in the lesson")]
    Gone,
    /// Instrument, tuning and capo do not fit together.
    #[error("\"{name}\" cannot be played: {error}")]
    Unplayable {
        /// What it is called.
        name: String,
        /// Why not.
        error: SetupError,
    },
    /// Nobody knows what the passage sounds like.
    #[error("what \"{title}\" sounds like is not known, because its own tuning is gone; keep its frets")]
    NoSound {
        /// The title of the passage.
        title: String,
    },
    /// The notes have no place on the neck.
    #[error("\"{title}\": {error}")]
    NoPlace {
        /// The title of the passage.
        title: String,
        /// Why not.
        error: PlacementError,
    },
}

/// What is played in a tuning.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PlayedIn {
    /// How many segments are played in it, those among them that take it from the one before.
    pub segments: usize,
    /// How many pieces state it.
    pub pieces: usize,
    /// The passages, in the order of the lesson.
    pub passages: Vec<PassageId>,
    /// How many voicings are played in it.
    pub voicings: usize,
}

impl PlayedIn {
    /// Returns whether nothing is played in it.
    pub const fn is_nothing(&self) -> bool {
        self.segments == 0 && self.pieces == 0 && self.passages.is_empty() && self.voicings == 0
    }
}

impl Lesson {
    /// Returns what is played in a tuning.
    pub fn played_in(&self, id: SetupId) -> PlayedIn {
        PlayedIn {
            segments: self.tunings_in_force().into_iter().filter(|(_, now)| *now == Some(id)).count(),
            pieces: self.pieces.iter().filter(|piece| piece.setup == Some(id)).count(),
            passages: self.passages.iter().filter(|one| passage_in(self, one, id)).map(|one| one.id).collect(),
            voicings: self.voicings.iter().filter(|one| voicing_in(self, one, id)).count(),
        }
    }

    /// Returns the piece of every passage that belongs to one: the piece that it states, or else the one that it is played
    /// for alone, in segments about no other.
    pub fn pieces_of_passages(&self) -> HashMap<PassageId, PieceId> {
        let mut played_for: HashMap<PassageId, Option<PieceId>> = HashMap::new();
        for segment in &self.segments {
            let about = match segment.pieces.as_slice() {
                [only] => Some(*only).filter(|piece| self.piece(*piece).is_some()),
                [] | [_, _, ..] => None,
            };
            for used in &segment.passages {
                let known = played_for.entry(used.passage).or_insert(about);
                *known = known.filter(|known| Some(*known) == about);
            }
        }
        let piece = |passage: &Passage| passage.piece.or_else(|| played_for.get(&passage.id).copied().flatten());
        self.passages.iter().filter_map(|passage| Some((passage.id, piece(passage)?))).collect()
    }

    /// Returns the passages of a piece in the order of the lesson, as [`Lesson::pieces_of_passages`] has it.
    pub fn passages_of(&self, piece: PieceId) -> Vec<PassageId> {
        let pieces = self.pieces_of_passages();
        let ids = self.passages.iter().map(|passage| passage.id);
        ids.filter(|passage| pieces.get(passage) == Some(&piece)).collect()
    }
}

fn is_first(lesson: &Lesson, id: SetupId) -> bool {
    lesson.setups.first().is_some_and(|setup| setup.id == id)
}

fn begins_in(lesson: &Lesson, at: usize, segment: &Segment, id: SetupId) -> bool {
    segment.setup == Some(id) || at == 0 && segment.setup.is_none() && is_first(lesson, id)
}

fn passage_in(lesson: &Lesson, passage: &Passage, id: SetupId) -> bool {
    lesson.passage_setup(passage).is_some_and(|setup| setup.id == id)
}

fn voicing_in(lesson: &Lesson, voicing: &Voicing, id: SetupId) -> bool {
    lesson.voicing_setup(voicing).is_some_and(|setup| setup.id == id)
}

/// What a source of music states of its tuning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StatedTuning<'a> {
    /// The open strings.
    pub strings: &'a Tuning,
    /// The capo: `None` where nothing is said of one, `Some(None)` where there is none.
    pub capo: Option<Option<&'a Capo>>,
}

impl StatedTuning<'_> {
    /// Returns whether a tuning of the lesson has these strings and does not say otherwise of the capo.
    pub fn is_of(&self, setup: &Setup) -> bool {
        let sounds =
            |tuning: &Tuning| -> Vec<u8> { tuning.strings().iter().map(|open| open.midi().number()).collect() };
        let capo = self.capo.is_none_or(|capo| capo == setup.capo.as_ref());
        capo && sounds(&setup.tuning) == sounds(self.strings)
    }
}

/// Returns the tuning of the lesson that music belongs to which states one: the one that is in force `here` if it fits, else the first
/// that does. Nobody who names strings alone means a capo, so one without goes before one with a capo, wherever they stand.
pub fn tuning_for<'a>(lesson: &'a Lesson, here: Option<&'a Setup>, stated: StatedTuning<'_>) -> Option<&'a Setup> {
    let fitting = || lesson.setups.iter().filter(|setup| stated.is_of(setup));
    let of_here = here.filter(|here| stated.is_of(here));
    of_here.or_else(|| fitting().find(|setup| setup.capo.is_none())).or_else(|| fitting().next())
}

/// Returns a tuning for a rig, under new identities, with the edits that bring it into the lesson; the instrument comes
/// along where the lesson does not have it.
pub fn brought_in(lesson: &Lesson, rig: &Rig, id: SetupId, new_instrument: InstrumentId) -> (Setup, Vec<Edit>) {
    let known = lesson.instruments.iter().find(|owned| owned.body == *rig.instrument());
    let instrument = known.map_or(new_instrument, |owned| owned.id);
    let mut edits = Vec::new();
    if known.is_none() {
        let item = OwnedInstrument { id: instrument, body: rig.instrument().clone() };
        edits.push(Edit::Instruments(ListEdit::Insert { at: lesson.instruments.len(), item }));
    }
    let (tuning, capo) = (rig.tuning().clone(), rig.capo().cloned());
    let name = catalogue::setup_label(&tuning, capo.as_ref(), rig.instrument());
    let setup = Setup { id, name, instrument, tuning, capo, reference: None, tone: String::new() };
    edits.push(Edit::Setups(ListEdit::Insert { at: lesson.setups.len(), item: setup.clone() }));
    (setup, edits)
}

/// Takes passages to the tuning `to`, which need not be in the lesson yet. A piece all of whose passages go there goes along: the
/// tuning that it states, and where frets stay its key. A key that the sound leaves behind moves with it.
///
/// Errors: `to` cannot be played; for [`FretsOrSound::Sound`] also a passage of which nobody knows what it sounds like, or
/// one that has no place on the neck.
pub fn passages_to(
    lesson: &Lesson,
    passages: &[PassageId],
    to: &Setup,
    keeping: FretsOrSound,
) -> Result<Retuned, RetuneError> {
    let mut done = Retuned::default();
    let pieces = gone_to(lesson, passages, to, keeping, &mut done)?;
    let replaced = pieces.into_iter().map(|piece| Edit::Pieces(ListEdit::Replace(piece)));
    done.edits.extend(replaced);
    Ok(done)
}

/// Takes passages to the tuning `to`, and returns the pieces that go along, as they are afterwards: those that are not as before.
fn gone_to(
    lesson: &Lesson,
    passages: &[PassageId],
    to: &Setup,
    keeping: FretsOrSound,
    done: &mut Retuned,
) -> Result<Vec<Piece>, RetuneError> {
    let going = Going::of(lesson, passages.iter().copied());
    for passage in passages.iter().filter_map(|id| lesson.passage(*id)) {
        let mut changed = in_tuning(lesson, passage, to, keeping, &going, done)?;
        changed.setup = Some(to.id);
        if changed != *passage {
            done.edits.push(Edit::Passages(ListEdit::Replace(changed)));
        }
    }
    let mut pieces = Vec::new();
    for piece in lesson.pieces.iter().filter(|piece| going.pieces.contains_key(&piece.id)) {
        let mut changed = going.with_key(lesson, piece, to, keeping, done)?;
        changed.setup = piece.setup.map(|_| to.id);
        if changed != *piece {
            pieces.push(changed);
        }
    }
    Ok(pieces)
}

/// The pieces that go to another tuning, because all their passages do, each with those passages.
struct Going {
    pieces: HashMap<PieceId, Vec<PassageId>>,
}

impl Going {
    fn of(lesson: &Lesson, passages: impl Iterator<Item = PassageId>) -> Self {
        let passages: HashSet<PassageId> = passages.collect();
        let mut pieces: HashMap<PieceId, Vec<PassageId>> = HashMap::new();
        for (passage, piece) in lesson.pieces_of_passages() {
            pieces.entry(piece).or_default().push(passage);
        }
        pieces.retain(|_, own| own.iter().all(|passage| passages.contains(passage)));
        Self { pieces }
    }

    /// Returns the key of the piece of a passage, where the piece stays as it is.
    fn inherited(&self, lesson: &Lesson, passage: &Passage) -> Option<Key> {
        let piece = passage.piece.filter(|piece| !self.pieces.contains_key(piece))?;
        lesson.piece(piece)?.key
    }

    /// Returns a piece with the key that it has on `to`.
    fn with_key(
        &self,
        lesson: &Lesson,
        piece: &Piece,
        to: &Setup,
        keeping: FretsOrSound,
        done: &mut Retuned,
    ) -> Result<Piece, RetuneError> {
        let (FretsOrSound::Frets, Some(key)) = (keeping, piece.key) else { return Ok(piece.clone()) };
        let new = rig_of(lesson, to)?;
        let own = self.pieces.get(&piece.id).into_iter().flatten().filter_map(|id| lesson.passage(*id));
        let mut moves = own.filter_map(|passage| Some(SoundMove::between(&lesson.passage_rig(passage)?, &new)));
        let Some(first) = moves.next() else { return Ok(piece.clone()) };
        let moved = if moves.all(|other| other == first) { first } else { SoundMove::Apart };
        Ok(Piece { key: Some(moved.taking_along(key, &mut done.keys)), ..piece.clone() })
    }
}

/// Puts another version of a tuning in its place, and keeps the frets or the sound of every passage and every voicing that is played in
/// it. A voicing that the hand then plays as something else loses its names.
///
/// Errors: as [`passages_to`], or the tuning is gone.
pub fn tuning_changed(lesson: &Lesson, new: Setup, keeping: FretsOrSound) -> Result<Retuned, RetuneError> {
    let old = lesson.setup(new.id).ok_or(RetuneError::Gone)?;
    let rig = rig_of(lesson, &new)?;
    let mut done = Retuned::default();
    if *old != new {
        done.edits.push(Edit::Setups(ListEdit::Replace(new.clone())));
    }
    let played: Vec<&Passage> = lesson.passages.iter().filter(|passage| passage_in(lesson, passage, new.id)).collect();
    let going = Going::of(lesson, played.iter().map(|passage| passage.id));
    for passage in played {
        let changed = in_tuning(lesson, passage, &new, keeping, &going, &mut done)?;
        if changed != *passage {
            done.edits.push(Edit::Passages(ListEdit::Replace(changed)));
        }
    }
    for piece in lesson.pieces.iter().filter(|piece| going.pieces.contains_key(&piece.id)) {
        let changed = going.with_key(lesson, piece, &new, keeping, &mut done)?;
        if changed != *piece {
            done.edits.push(Edit::Pieces(ListEdit::Replace(changed)));
        }
    }
    for voicing in lesson.voicings.iter().filter(|voicing| voicing_in(lesson, voicing, new.id)) {
        let changed = voicing_on(lesson, voicing, &rig, keeping, &mut done);
        if changed != *voicing {
            done.edits.push(Edit::Voicings(ListEdit::Replace(changed)));
        }
    }
    done.delete_unfitting_links(lesson);
    Ok(done)
}

/// Returns a voicing as it is on `new`, with its frets or with its sound; with its frets, too, where no hand holds its sound there.
fn voicing_on(lesson: &Lesson, voicing: &Voicing, new: &Rig, keeping: FretsOrSound, done: &mut Retuned) -> Voicing {
    let old = lesson.voicing_rig(voicing);
    let with_frets = || with_frets(voicing, old.as_ref(), new);
    let moved = match (keeping, old.as_ref().filter(|old| *old != new)) {
        (FretsOrSound::Sound, Some(old)) => with_sound(voicing, old, new).unwrap_or_else(|| {
            let heard =
                format!("{}: it cannot be fretted with the same sound there, so it keeps its frets", called(voicing));
            MovedVoicing { heard: Some(heard), ..with_frets() }
        }),
        (FretsOrSound::Frets, _) | (FretsOrSound::Sound, None) => with_frets(),
    };
    done.note(moved)
}

/// Deletes a tuning. What was played in it is played in `instead` afterwards, passages and voicings with their frets or
/// their sound; `None` where nothing is.
///
/// Errors: as [`passages_to`], or one of the two is gone.
pub fn tuning_deleted(
    lesson: &Lesson,
    id: SetupId,
    instead: Option<SetupId>,
    keeping: FretsOrSound,
) -> Result<Retuned, RetuneError> {
    lesson.setup(id).ok_or(RetuneError::Gone)?;
    let mut done = Retuned::default();
    if let Some(instead) = instead {
        let to = lesson.setup(instead).filter(|to| to.id != id).ok_or(RetuneError::Gone)?;
        let mut along = gone_to(lesson, &lesson.played_in(id).passages, to, keeping, &mut done)?;
        for piece in &lesson.pieces {
            let changed = along.iter().position(|other| other.id == piece.id).map(|place| along.swap_remove(place));
            let is_along = changed.is_some();
            let mut piece = changed.unwrap_or_else(|| piece.clone());
            if piece.setup == Some(id) {
                piece.setup = Some(instead);
            } else if !is_along {
                continue;
            }
            done.edits.push(Edit::Pieces(ListEdit::Replace(piece)));
        }
        let rig = rig_of(lesson, to)?;
        for voicing in lesson.voicings.iter().filter(|voicing| voicing_in(lesson, voicing, id)) {
            let named = voicing_on(lesson, voicing, &rig, keeping, &mut done);
            done.edits.push(Edit::Voicings(ListEdit::Replace(Voicing { setup: Some(instead), ..named })));
        }
        let segments = lesson.segments.iter().enumerate();
        for (_, segment) in segments.filter(|(at, segment)| begins_in(lesson, *at, segment, id)) {
            done.edits.push(Edit::Segments(ListEdit::Replace(Segment { setup: Some(instead), ..segment.clone() })));
        }
    }
    done.edits.push(Edit::Setups(ListEdit::Remove(id)));
    done.delete_unfitting_links(lesson);
    Ok(done)
}

/// Returns a passage with what it has to have in another tuning, and notes what could not be kept.
fn in_tuning(
    lesson: &Lesson,
    passage: &Passage,
    to: &Setup,
    keeping: FretsOrSound,
    going: &Going,
    done: &mut Retuned,
) -> Result<Passage, RetuneError> {
    let new = rig_of(lesson, to)?;
    let title = || passage.title.clone();
    let told = |remark| PassageRemark { title: title(), numbers: BarNumbers::of(passage), remark };
    let mut changed = match keeping {
        FretsOrSound::Frets => {
            let Some(old) = lesson.passage_rig(passage) else { return Ok(passage.clone()) };
            let inherited = going.inherited(lesson, passage);
            let mut kept = SoundMove::between(&old, &new).with_keys(passage, inherited, &mut done.keys);
            for change in rename_after(&mut kept, &old, &new, lesson.header.chord_names) {
                if !done.renamed.contains(&change) {
                    done.renamed.push(change);
                }
            }
            kept
        }
        FretsOrSound::Sound => {
            let old = lesson.passage_rig(passage).ok_or_else(|| RetuneError::NoSound { title: title() })?;
            if old == new {
                return Ok(passage.clone());
            }
            let moved =
                moved(lesson, passage, &old, &new).map_err(|error| RetuneError::NoPlace { title: title(), error })?;
            done.remarks.extend(moved.remarks.into_iter().map(told));
            moved.passage
        }
    };
    let said = said_of_names(&name_rightly(&mut changed, new.lowest_is()));
    done.remarks.extend(said.map(|text| told(Remark::plain(Spot::WHOLE, text))));
    Ok(changed)
}

fn rig_of(lesson: &Lesson, setup: &Setup) -> Result<Rig, RetuneError> {
    lesson.rig(setup).map_err(|error| RetuneError::Unplayable { name: setup.name.clone(), error })
}
