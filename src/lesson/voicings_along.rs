//! The voicings that come along when segments and passages go to another tuning: with their frets, or with their sound.
//!
//! Whoever shows or plays a voicing holds it. One whose holders all go is changed; one that another holder needs as it is stays, and
//! those that go hold a copy. A voicing that no hand can hold there stays in its tuning, and so it states that one.

use std::collections::HashMap;

use super::document::{Lesson, Setup, Voicing};
use super::edit::{Edit, ListEdit};
use super::id::{ItemId, SetupId, VoicingId};
use super::linked_shapes::is_played_with;
use super::links::{Fate, Linked as _};
use super::moved_voicing::{MovedVoicing, called, with_frets, with_sound};
use super::place::Spot;
use super::tunings::{FretsOrSound, Retuned, plays_alike};
use crate::instrument::neck::Shape;

/// What becomes of the voicings of segments that go to another tuning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VoicingsThere {
    /// They come along, and keep this.
    Come(FretsOrSound),
    /// They stay in the tuning that they are in.
    Stay,
}

/// What became of the voicings, for a message.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct VoicingsAlong {
    /// How many came along.
    pub moved: usize,
    /// How many of those were copied, because something else still needs them as they are.
    pub copied: usize,
    /// Those that stay in the tuning that they are in, by what players call them.
    pub staying: Vec<String>,
}

/// Who shows or plays a voicing: a segment or a passage, and the tuning that it is in before and afterwards.
struct VoicingHolder<'a> {
    item: ItemId,
    voicings: Vec<VoicingId>,
    was: Option<&'a Setup>,
    now: Option<&'a Setup>,
}

/// A voicing that goes to another tuning.
pub struct Journey<'a> {
    /// The voicing as it is.
    pub voicing: &'a Voicing,
    /// The tuning that it is in.
    pub from: &'a Setup,
    /// The tuning that it goes to.
    pub to: &'a Setup,
    /// The segments and passages with which it goes.
    pub coming: Vec<ItemId>,
    /// Whether something else needs it as it is.
    pub is_needed: bool,
}

/// Adds to `retuned`, which takes segments and passages of the lesson `before` to another tuning, what becomes of the voicings that
/// they show. New identities come from `draw`.
pub fn take_along(
    before: &Lesson,
    retuned: &mut Retuned,
    there: VoicingsThere,
    draw: &mut dyn FnMut() -> VoicingId,
) -> VoicingsAlong {
    let mut after = before.clone();
    // What does not fit is refused, in words, where the edits are made.
    if after.apply_all(retuned.edits.clone()).is_err() {
        return VoicingsAlong::default();
    }
    let holders = holders(before, &after);
    let journeys: Vec<Journey<'_>> =
        before.voicings.iter().filter_map(|voicing| journey(before, voicing, &holders)).collect();
    let along = make(&after, &journeys, there, retuned, draw);
    retuned.delete_unfitting_links(before);
    along
}

/// Returns every segment and passage with the voicings that it holds afterwards.
fn holders<'a>(before: &'a Lesson, after: &'a Lesson) -> Vec<VoicingHolder<'a>> {
    let in_force = |lesson: &Lesson| -> HashMap<_, _> { lesson.tunings_in_force().into_iter().collect() };
    let (were, are) = (in_force(before), in_force(after));
    let of = |lesson: &'a Lesson, id: Option<Option<SetupId>>| lesson.setup(id.flatten()?);
    let segments = after.segments.iter().map(|segment| VoicingHolder {
        item: segment.id.into(),
        voicings: segment.voicings.clone(),
        was: of(before, were.get(&segment.id).copied()),
        now: of(after, are.get(&segment.id).copied()),
    });
    let passages = after.passages.iter().filter_map(|passage| {
        let mut voicings = Vec::new();
        passage.links(&mut |_, to| {
            if let ItemId::Voicing(id) = to {
                voicings.push(id);
            }
        });
        let was = || before.passage_setup(before.passage(passage.id)?);
        (!voicings.is_empty()).then(|| VoicingHolder {
            item: passage.id.into(),
            voicings,
            was: was(),
            now: after.passage_setup(passage),
        })
    });
    segments.chain(passages).collect()
}

/// Returns where a voicing goes with those of its holders that leave its tuning; `None` where none does.
fn journey<'a>(lesson: &'a Lesson, voicing: &'a Voicing, holders: &[VoicingHolder<'a>]) -> Option<Journey<'a>> {
    let from = lesson.voicing_setup(voicing)?;
    let held: Vec<&VoicingHolder<'a>> = holders.iter().filter(|holder| holder.voicings.contains(&voicing.id)).collect();
    let leaves_for = |holder: &VoicingHolder<'a>| {
        holder.was.filter(|was| plays_alike(was, from))?;
        holder.now.filter(|now| !plays_alike(now, from))
    };
    let to = held.iter().find_map(|holder| leaves_for(holder))?;
    let comes = |holder: &VoicingHolder<'a>| leaves_for(holder).is_some_and(|now| now.id == to.id);
    let coming = held.iter().filter(|holder| comes(holder)).map(|holder| holder.item).collect();
    let needs = |holder: &&&VoicingHolder<'a>| !comes(holder) && holder.now.is_none_or(|now| !plays_alike(now, to));
    let is_needed = held.iter().any(|holder| needs(&holder));
    Some(Journey { voicing, from, to, coming, is_needed })
}

/// Adds to `retuned` what takes voicings of `lesson` to other tunings, which is to be done after what is in there.
pub fn make(
    lesson: &Lesson,
    journeys: &[Journey<'_>],
    there: VoicingsThere,
    retuned: &mut Retuned,
    draw: &mut dyn FnMut() -> VoicingId,
) -> VoicingsAlong {
    let mut along = VoicingsAlong::default();
    let mut led: HashMap<ItemId, HashMap<u32, u32>> = HashMap::new();
    let mut added: Vec<Voicing> = Vec::new();
    for journey in journeys {
        let voicing = journey.voicing;
        let arrived = arrived(lesson, journey, there);
        if arrived.is_none() {
            along.staying.push(called(voicing));
        }
        let coming = |moved: &MovedVoicing| -> Vec<ItemId> {
            journey
                .coming
                .iter()
                .copied()
                .filter(|item| still_holds(lesson, *item, voicing, &moved.voicing.shape))
                .collect()
        };
        let with = arrived.map(|moved| (coming(&moved), moved)).filter(|(coming, _)| !coming.is_empty());
        let Some((coming, moved)) = with else {
            // One that states no tuning would go with what shows it.
            let assumed = lesson.voicing_setup(voicing).map(|setup| setup.id);
            if voicing.setup.is_none() && assumed != Some(journey.from.id) {
                let setup = Some(journey.from.id);
                retuned.edits.push(Edit::Voicings(ListEdit::Replace(Voicing { setup, ..voicing.clone() })));
            }
            continue;
        };
        let moved = retuned.note(moved);
        along.moved += 1;
        if !journey.is_needed {
            let setup = voicing.setup.map(|_| journey.to.id);
            retuned.edits.push(Edit::Voicings(ListEdit::Replace(Voicing { setup, ..moved })));
            continue;
        }
        along.copied += 1;
        let is_same = |other: &&Voicing| other.shape == moved.shape && other.setup == Some(journey.to.id);
        let known = lesson.voicings.iter().chain(&added).find(is_same).map(|other| other.id);
        let id = known.unwrap_or_else(&mut *draw);
        if known.is_none() {
            let item = Voicing { id, setup: Some(journey.to.id), ..moved };
            let at = lesson.voicings.len() + added.len();
            retuned.edits.push(Edit::Voicings(ListEdit::Insert { at, item: item.clone() }));
            added.push(item);
        }
        for holder in coming {
            led.entry(holder).or_default().insert(voicing.id.0, id.0);
        }
    }
    relink(lesson, &led, retuned);
    along
}

/// Leads the links of holders to the copies.
fn relink(lesson: &Lesson, led: &HashMap<ItemId, HashMap<u32, u32>>, retuned: &mut Retuned) {
    for item in lesson.identities() {
        let Some(led) = led.get(&item) else { continue };
        let is_segment = matches!(item, ItemId::Segment(_));
        let mut shown: Vec<u32> = match item {
            ItemId::Segment(id) => {
                lesson.segment(id).into_iter().flat_map(|segment| &segment.voicings).map(|id| id.0).collect()
            }
            ItemId::Instrument(_) | ItemId::Setup(_) | ItemId::Piece(_) | ItemId::Passage(_) | ItemId::Voicing(_) => {
                Vec::new()
            }
        };
        let fate = &mut |_: Spot, to: ItemId| match to {
            ItemId::Voicing(id) => match led.get(&id.0) {
                None => Fate::Stays,
                // A segment shows a voicing once.
                Some(copy) if is_segment && shown.contains(copy) => Fate::Cut,
                Some(copy) => {
                    shown.push(*copy);
                    Fate::To(*copy)
                }
            },
            ItemId::Instrument(_) | ItemId::Setup(_) | ItemId::Piece(_) | ItemId::Passage(_) | ItemId::Segment(_) => {
                Fate::Stays
            }
        };
        retuned.edits.extend(lesson.relinked(item, fate));
    }
}

/// Returns whether what holds a voicing does so, too, where that has other frets: tab of other frets does not.
fn still_holds(lesson: &Lesson, holder: ItemId, voicing: &Voicing, shape: &Shape) -> bool {
    match holder {
        ItemId::Passage(id) if *shape != voicing.shape => {
            lesson.passage(id).is_some_and(|passage| is_played_with(passage, voicing, shape))
        }
        ItemId::Passage(_)
        | ItemId::Segment(_)
        | ItemId::Instrument(_)
        | ItemId::Setup(_)
        | ItemId::Piece(_)
        | ItemId::Voicing(_) => true,
    }
}

/// Returns a voicing as it is in the tuning that it goes to; `None` where it cannot be held there, or is to stay.
fn arrived(lesson: &Lesson, journey: &Journey<'_>, there: VoicingsThere) -> Option<MovedVoicing> {
    let VoicingsThere::Come(keeping) = there else { return None };
    let (old, new) = (lesson.rig(journey.from).ok()?, lesson.rig(journey.to).ok()?);
    let voicing = journey.voicing;
    match keeping {
        FretsOrSound::Frets => {
            new.check(&voicing.shape).ok()?;
            Some(with_frets(voicing, Some(&old), &new))
        }
        FretsOrSound::Sound => with_sound(voicing, &old, &new),
    }
}
