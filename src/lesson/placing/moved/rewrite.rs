//! What the search found, put back into the passage.

use std::collections::HashMap;

use super::note_plan::Plan;
use super::notes::{Listed, root};
use super::plan::PlannedLine;
use super::remark::Remark;
use crate::instrument::hand::Finger;
use crate::instrument::harmonics::NeckPoint;
use crate::instrument::neck::{Fret, Place};
use crate::instrument::placement::{Placed, Placement};
use crate::instrument::rig::Rig;
use crate::lesson::document::{ChordNames, Lesson};
use crate::lesson::joining::JoinFamily;
use crate::lesson::music::{Join, Note, Passage, Technique};
use crate::lesson::place::Spot;
use crate::lesson::time::Ticks;
use crate::theory::key::Key;
use crate::theory::pitch::Pitch;
use crate::theory::symbol::ChordSymbol;

/// What is known when the passage is written anew.
pub(super) struct Work<'w> {
    pub(super) notes: &'w [Listed<'w>],
    pub(super) planned: &'w [Plan],
    pub(super) line: &'w PlannedLine,
    pub(super) placement: &'w Placement,
    pub(super) lesson: &'w Lesson,
    /// By what the chords are named from now on.
    pub(super) names: ChordNames,
    pub(super) old: &'w Rig,
    pub(super) new: &'w Rig,
}

/// Where the notes of the list are played.
struct PlacesFound {
    /// Where each of them is played that is struck.
    placed: HashMap<usize, Placed>,
    /// When those are let go of that cannot ring as long as they are written.
    ended: HashMap<usize, Ticks>,
}

/// Returns the passage with every note where it is now played.
pub(super) fn rewritten(passage: &Passage, work: &Work<'_>, remarks: &mut Vec<Remark>) -> Passage {
    let places = work.places();
    let mut passage = passage.clone();
    let mut next = 0;
    for bar in &mut passage.bars {
        for voice in &mut bar.voices {
            for event in &mut voice.0 {
                for list in [&mut event.grace, &mut event.notes] {
                    let end = next + list.len();
                    *list = (next..end).filter_map(|listed| work.note(listed, &places, remarks)).collect();
                    next = end;
                }
            }
        }
    }
    work.rename(&mut passage, remarks);
    work.tell_let_go(remarks);
    passage
}

impl Work<'_> {
    /// Returns where each note of the list is played.
    fn places(&self) -> PlacesFound {
        let members = self.line.members.iter().zip(&self.placement.slices);
        let placed = members.flat_map(|(members, slice)| members.iter().copied().zip(slice.notes.iter().copied()));
        let mut ended: HashMap<usize, Ticks> = HashMap::new();
        for let_go in &self.placement.let_go {
            let member = self.line.members.get(let_go.spot.slice).and_then(|slice| slice.get(let_go.spot.note));
            let at = self.line.members.get(let_go.at).and_then(|slice| self.notes.get(*slice.first()?));
            if let Some((member, at)) = member.zip(at) {
                let earliest = ended.entry(*member).or_insert(at.start);
                *earliest = at.start.min(*earliest);
            }
        }
        let mut placed: HashMap<usize, Placed> = placed.collect();
        // A chord is held as its grid shows it.
        for (member, shape) in &self.line.shaped {
            let finger = placed.get(member).and_then(|placed| placed.finger);
            placed.insert(*member, Placed { place: shape.place, finger });
        }
        PlacesFound { placed, ended }
    }

    /// Returns where a note is played; for a tied one, where the note it is tied to still sounds.
    fn held(&self, listed: usize, places: &PlacesFound) -> Option<Placed> {
        let first = root(listed, self.notes);
        let placed = places.placed.get(&first).copied();
        if first == listed {
            return placed;
        }
        let start = self.notes.get(listed)?.start;
        placed.filter(|_| places.ended.get(&first).is_none_or(|ended| *ended > start))
    }

    /// Returns a note as it is now played; `None` for one that is left out.
    fn note(&self, listed: usize, places: &PlacesFound, remarks: &mut Vec<Remark>) -> Option<Note> {
        let (known, plan) = (self.notes.get(listed)?, self.planned.get(listed)?);
        if *plan == Plan::Nothing {
            return None;
        }
        let placed = self.held(listed, places)?;
        let Place { string, fret } = placed.place;
        let mut tell = |text: String, several: String| remarks.push(Remark::of_a_note(known.spot, text, several));
        let touched = matches!(plan, Plan::Harmonic(_));
        let of_shape = self.line.shaped.get(&root(listed, self.notes)).and_then(|shape| shape.finger);
        let techniques = known.note.techniques.iter();
        let techniques = techniques.filter_map(|technique| self.technique(*technique, known, plan, placed, &mut tell));
        let mut note = Note {
            string,
            fret,
            join: known.note.join,
            techniques: techniques.collect(),
            finger: of_shape.or_else(|| placed.finger.and_then(Finger::numbered)).filter(|_| !touched),
        };
        if let (Some(join), Some(to)) = (note.join, known.to) {
            note.join = self.join(join, placed.place, self.held(to, places), &mut tell);
        }
        Some(note)
    }

    /// Returns a technique as it is now written; `None` for one that cannot be kept.
    fn technique(
        &self,
        technique: Technique,
        known: &Listed<'_>,
        plan: &Plan,
        placed: Placed,
        tell: &mut dyn FnMut(String, String),
    ) -> Option<Technique> {
        let Place { string, fret } = placed.place;
        let raised = match plan {
            Plan::Pitch { raised, .. } => *raised,
            Plan::At(_) | Plan::Harmonic(_) | Plan::TiedTo(_) | Plan::Nothing => 0,
        };
        // The touch keeps its distance from the finger.
        let along = |touch: Fret| {
            let moved = i16::from(touch.number()) - i16::from(known.note.fret.number()) + i16::from(fret.number());
            let touch = u8::try_from(moved).ok().and_then(Fret::new)?;
            self.new.touched_harmonic(string, fret, NeckPoint(f64::from(touch.number()))).ok().map(|_| touch)
        };
        let kept = match technique {
            Technique::Trill(with) => self
                .old
                .sounding(known.note.string, with)
                .ok()
                .and_then(|note| self.new.fret_for(string, note.up(raised)?))
                .map(Technique::Trill),
            Technique::ArtificialHarmonic(touch) => along(touch).map(Technique::ArtificialHarmonic),
            Technique::TappedHarmonic(touch) => along(touch).map(Technique::TappedHarmonic),
            // Why is told where it was planned.
            Technique::NaturalHarmonic => return matches!(plan, Plan::Harmonic(_)).then_some(technique),
            other if other.family().needs_finger() && fret == Fret::OPEN => return None,
            // There is no lower fret.
            Technique::SlideUpInto | Technique::SlideAwayDown if fret.number() < 2 => None,
            other => return Some(other),
        };
        if kept.is_none() {
            let name = technique.name();
            tell(
                format!("the {name} cannot be played at {}: it is deleted", placed.place),
                format!("notes lose their {name}, which cannot be played where they are now"),
            );
        }
        kept
    }

    /// Returns a join as it is now played; `None` where the two notes are apart.
    fn join(&self, join: Join, from: Place, to: Option<Placed>, tell: &mut dyn FnMut(String, String)) -> Option<Join> {
        let name = join.name();
        let Some(to) = to.map(|to| to.place) else {
            tell(
                format!("the {name} leads to a note that is left out: it is deleted"),
                format!("notes lose their {name}, which leads to a note that is left out"),
            );
            return None;
        };
        if join == Join::Tie {
            return Some(join);
        }
        if from.string != to.string {
            tell(
                format!(
                    "the {name} has its two notes on strings {} and {} now: both are picked",
                    from.string, to.string
                ),
                format!("notes lose their {name}: the next note is on another string now, and is picked"),
            );
            return None;
        }
        let slides = join.row().family == JoinFamily::Slide;
        if slides && (from.fret == Fret::OPEN || to.fret == Fret::OPEN) {
            tell(
                format!("the {name} would start or end on an open string: both notes are picked"),
                format!("notes lose their {name}, which would start or end on an open string: both notes are picked"),
            );
            return None;
        }
        match (join, to.fret.cmp(&from.fret)) {
            (_, std::cmp::Ordering::Equal) => {
                tell(
                    format!("the {name} has both notes at one fret now: both are picked"),
                    format!("notes lose their {name}: both notes are at one fret now, and are picked"),
                );
                None
            }
            (Join::HammerOn, std::cmp::Ordering::Less) => Some(Join::PullOff),
            (Join::PullOff, std::cmp::Ordering::Greater) => Some(Join::HammerOn),
            (join, _) => Some(join),
        }
    }

    /// Names the chords as they are now played, where a capo or a lowered tuning parts that from the sound.
    fn rename(&self, passage: &mut Passage, remarks: &mut Vec<Remark>) {
        let below = self.names.below_the_sound(self.new);
        let up = self.lesson.header.chord_names.below_the_sound(self.old) - below;
        if up == 0 {
            return;
        }
        // Keys are those that sound, names those that the lesson goes by.
        let as_played = |key: Key| key.moved(-below);
        let of_piece = passage.piece.and_then(|piece| self.lesson.piece(piece)).and_then(|piece| piece.key);
        let mut key = passage.key.or(of_piece).map(as_played);
        let mut chords: Vec<(Option<Key>, ChordSymbol, &mut String)> = Vec::new();
        for (index, bar) in passage.bars.iter_mut().enumerate() {
            key = bar.key.map(as_played).or(key);
            for (number, voice) in bar.voices.iter_mut().enumerate() {
                for (place, event) in voice.0.iter_mut().enumerate() {
                    let Some(chord) = &mut event.chord else { continue };
                    if let Ok(symbol) = chord.parse::<ChordSymbol>() {
                        chords.push((key, symbol, chord));
                    } else {
                        let spot = Spot::bar(index).voice(number).event(place);
                        let text = "the words over it are no chord name that could be moved with the capo: check them";
                        let several = "notes have words over them that are no chord names and could not move with the capo: check them";
                        remarks.push(Remark::of_a_note(spot, text, several));
                    }
                }
            }
        }
        for together in chords.chunk_by_mut(|(one, ..), (next, ..)| one == next) {
            let key = together.first().and_then(|(key, ..)| *key);
            let symbols: Vec<ChordSymbol> = together.iter().map(|(_, symbol, _)| symbol.clone()).collect();
            for ((.., chord), moved) in together.iter_mut().zip(ChordSymbol::moved_together(&symbols, up, key)) {
                **chord = moved.to_string();
            }
        }
    }

    /// Says what cannot ring as long as it is written.
    fn tell_let_go(&self, remarks: &mut Vec<Remark>) {
        for let_go in &self.placement.let_go {
            let listed = self.line.members.get(let_go.spot.slice).and_then(|members| members.get(let_go.spot.note));
            let Some(known) = listed.and_then(|listed| self.notes.get(*listed)) else { continue };
            let name = self
                .old
                .sounding(known.note.string, known.note.fret)
                .map_or(String::new(), |note| format!("{} ", Pitch::usual(note)));
            let text = format!("{name}cannot ring to its end: its string or finger is needed before");
            let several = "notes cannot ring to their end: their string or finger is needed before";
            remarks.push(Remark::of_a_note(known.spot, text, several));
        }
    }
}
