//! Chord names that are none, voicings that do not fit their setup or their name, doubts left open.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use super::finding::{Finding, FindingKind};
use super::neck;
use super::rigs::Rigs;
use super::walk::steps;
use super::words;
use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::{Rig, ShapeError};
use crate::instrument::tuning::Capo;
use crate::lesson::document::{Lesson, Voicing};
use crate::lesson::harmony::named_rightly::{NO_BASS_HEARD, is_name_of, name_moved, name_of_shape};
use crate::lesson::music::Passage;
use crate::lesson::place::LessonPlace;
use crate::text::quote::{quoted, written_out};
use crate::theory::pitch::{MidiNote, PitchClass};
use crate::theory::reading::{Doubt, Lowest};
use crate::theory::symbol::ChordSymbol;

/// What players write where no chord sounds. Common practice.
const NO_CHORD: [&str; 5] = ["N.C.", "NC", "N.C", "n.c.", "no chord"];

/// Checks what stands over the beats of a passage.
pub(super) fn check_chord_names(lesson: &Lesson, rig: Option<&Rig>, passage: &Passage, findings: &mut Vec<Finding>) {
    let lowest = rig.map_or(Lowest::Bass, Rig::lowest_is);
    for step in steps(passage) {
        let Some(chord) = &step.played.chord else { continue };
        let place = LessonPlace::Passage(passage.id, step.spot());
        let trimmed = chord.trim();
        let symbol: Result<ChordSymbol, _> = trimmed.parse();
        match &symbol {
            Err(_) if NO_CHORD.contains(&trimmed) => {}
            Err(error) => findings.push(Finding::warning(
                FindingKind::ChordName,
                place,
                written_out(&error.to_string()),
                "write it as in `Am7`, `D/F#` or `N.C.`, or write it as words over the note or rest",
            )),
            Ok(_) if let Some(better) = lowest.better_name(trimmed) => {
                let remedy = format!("call it {better}, or write it as words over the note or rest");
                findings.push(unheard_bass(place, trimmed, remedy));
            }
            Ok(_) => {
                let voicing = step.played.voicing.and_then(|id| lesson.voicing(id));
                let above = rig.map_or(0, |rig| lesson.header.chord_names.above_the_shape(rig));
                findings.extend(voicing.and_then(|voicing| other_name(above, trimmed, voicing, place)));
            }
        }
    }
}

/// Says that a name has a bass that nobody hears.
fn unheard_bass(place: LessonPlace, written: &str, remedy: String) -> Finding {
    let reason = format!("{} names a bass: {NO_BASS_HEARD}", quoted(written));
    Finding::warning(FindingKind::UnheardBass, place, reason, remedy)
}

/// Says that a voicing has another name than stands over the tab; names there lie so many semitones `above` those of the shapes.
fn other_name(above: i32, written: &str, voicing: &Voicing, place: LessonPlace) -> Option<Finding> {
    let kept = name_moved(voicing.name()?, above);
    (!voicing.readings.iter().any(|reading| is_name_of(reading, written, above))).then(|| {
        Finding::warning(
            FindingKind::NamesDiffer,
            place,
            format!("{} is written here, and its voicing has the name {}", quoted(written), quoted(&kept)),
            "use one name in both places, or keep both names",
        )
    })
}

/// Checks a voicing by itself; `rig` is what it is played on, if that is known.
pub(super) fn check(voicing: &Voicing, rig: Option<&Rig>, findings: &mut Vec<Finding>) {
    if let Some(rig) = rig {
        findings.extend(off_the_rig(rig, voicing));
        findings.extend(foreign_notes(rig, voicing));
        let named = |name: &'_ String| Some((name.clone(), name_of_shape(name, &voicing.shape, rig)?));
        let better = voicing.readings.iter().find_map(named);
        let place = LessonPlace::Voicing(voicing.id, None);
        findings.extend(better.map(|(name, better)| unheard_bass(place, &name, format!("call it {better}"))));
    }
    fingering(voicing, findings);
    findings.extend(open_doubts(voicing));
}

/// Finds shapes that have different names in the same setup.
pub(super) fn check_names(lesson: &Lesson, rigs: &Rigs, findings: &mut Vec<Finding>) {
    let mut names: HashMap<(&Shape, Option<Strung>), &Voicing> = HashMap::with_capacity(lesson.voicings.len());
    for voicing in &lesson.voicings {
        let Some(name) = voicing.name() else { continue };
        match names.entry((&voicing.shape, rigs.of_voicing(lesson, voicing).map(strung))) {
            Entry::Vacant(free) => {
                free.insert(voicing);
            }
            Entry::Occupied(first) => {
                let first = *first.get();
                let kept = first.name().unwrap_or_default();
                // A second reading kept for one of the two is agreement, not contradiction.
                if !shares_a_reading(first, voicing) {
                    findings.push(Finding::warning(
                        FindingKind::NamesDiffer,
                        LessonPlace::Voicing(voicing.id, None),
                        format!("{} here, and {} for the same shape in the same tuning", quoted(name), quoted(kept)),
                        "use one name in both places, or keep both names",
                    ));
                }
            }
        }
    }
}

/// What two voicings must share for the same shape to be the same chord.
type Strung = (Vec<MidiNote>, Option<Capo>);

fn strung(rig: &Rig) -> Strung {
    (rig.tuning().strings().iter().map(|pitch| pitch.midi()).collect(), rig.capo().cloned())
}

fn shares_a_reading(one: &Voicing, other: &Voicing) -> bool {
    let same = |a: &str, b: &str| {
        a.trim() == b.trim()
            || a.trim().parse::<ChordSymbol>().is_ok_and(|a| b.trim().parse::<ChordSymbol>().is_ok_and(|b| a == b))
    };
    one.readings.iter().any(|a| other.readings.iter().any(|b| same(a, b)))
}

fn off_the_rig(rig: &Rig, voicing: &Voicing) -> Option<Finding> {
    match rig.check(&voicing.shape).err()? {
        ShapeError::Place(error) => {
            let string = match error {
                crate::instrument::rig::PlaceError::NoString { string, .. }
                | crate::instrument::rig::PlaceError::OffTheNeck { string, .. }
                | crate::instrument::rig::PlaceError::AboveTheCapo { string, .. }
                | crate::instrument::rig::PlaceError::BelowThePeg { string, .. }
                | crate::instrument::rig::PlaceError::TooHigh { string, .. } => string,
            };
            Some(neck::of_place(error, LessonPlace::Voicing(voicing.id, Some(string))))
        }
        error @ ShapeError::Strings { .. } => Some(Finding::problem(
            FindingKind::VoicingShape,
            LessonPlace::Voicing(voicing.id, None),
            error.to_string(),
            "choose the tuning it is played in, or give the shape one fret for each string",
        )),
    }
}

/// Finds notes that sound and are no part of the chord the voicing is named after. A name may follow
/// the shape or the sound; either will do.
fn foreign_notes(rig: &Rig, voicing: &Voicing) -> Option<Finding> {
    let name = voicing.name()?;
    let symbol: ChordSymbol = name.trim().parse().ok()?;
    let chord: Vec<PitchClass> =
        symbol.tones().into_iter().chain(symbol.bass()).map(|tone| tone.pitch_class()).collect();
    let foreign = |notes: Vec<Option<MidiNote>>| -> Vec<(StringNumber, MidiNote)> {
        let strings = rig.strings().zip(notes).enumerate();
        let sure = strings.filter(|(index, _)| voicing.doubt(*index) == Doubt::Sure);
        sure.filter_map(|(_, (string, note))| Some((string, note?)))
            .filter(|(_, note)| !chord.contains(&note.pitch_class()))
            .collect()
    };
    let played = foreign(rig.notes_as_played(&voicing.shape).ok()?);
    let (string, note) = *played.first()?;
    if foreign(rig.notes(&voicing.shape).ok()?).is_empty() {
        return None;
    }
    let tone = crate::theory::pitch::NoteName::usual(note.pitch_class());
    Some(Finding::warning(
        FindingKind::VoicingName,
        LessonPlace::Voicing(voicing.id, Some(string)),
        format!("string {string} sounds the {tone}, which is not in {}", quoted(name)),
        "keep another name, mute that string, or mark it as unsure",
    ))
}

fn fingering(voicing: &Voicing, findings: &mut Vec<Finding>) {
    let count = voicing.shape.strings().len();
    let whole = LessonPlace::Voicing(voicing.id, None);
    let mut found = |place: LessonPlace, reason: String, remedy: &str| {
        findings.push(Finding::warning(FindingKind::Fingering, place, reason, remedy));
    };
    for (length, what) in [(voicing.fingers.len(), "finger"), (voicing.doubts.len(), "unsure mark")] {
        if length > count {
            let reason = format!("{} for {}", words::counted(length, what), words::counted(count, "string"));
            found(whole, reason, "delete those past the last string");
        }
    }
    for (index, finger) in voicing.fingers.iter().enumerate() {
        let string = StringNumber::at(index, count);
        let fret = voicing.shape.strings().get(index).copied().flatten();
        if let (Some(finger), Some(string), None | Some(Fret::OPEN)) = (finger, string, fret) {
            let state = if fret.is_none() { "muted" } else { "open" };
            let reason = format!("finger {} on string {string}, which is {state}", finger.to_char());
            found(LessonPlace::Voicing(voicing.id, Some(string)), reason, "lift the finger, or fret the string");
        }
    }
    let Some(barre) = voicing.barre else { return };
    if barre.from < barre.to || usize::from(barre.from.number()) > count {
        let reason = format!("a barre from string {} to string {} of {count}", barre.from, barre.to);
        found(whole, reason, "name two strings it has, the higher number first");
        return;
    }
    let under = (barre.to.number()..=barre.from.number()).rev().filter_map(StringNumber::new);
    let below =
        under.filter_map(|string| Some((string, voicing.shape.on(string)?))).find(|(_, fret)| *fret < barre.fret);
    if let Some((string, fret)) = below {
        let reason = format!("string {string} sounds fret {fret} under a barre at fret {}", barre.fret);
        found(
            LessonPlace::Voicing(voicing.id, Some(string)),
            reason,
            "shorten the barre, or fret the string at it or above",
        );
    }
}

fn open_doubts(voicing: &Voicing) -> Option<Finding> {
    let count = voicing.shape.strings().len();
    let unsure: Vec<StringNumber> = (0..count)
        .filter(|index| voicing.doubt(*index) == Doubt::Unsure)
        .filter_map(|index| StringNumber::at(index, count))
        .collect();
    let first = *unsure.first()?;
    let place = LessonPlace::Voicing(voicing.id, (unsure.len() == 1).then_some(first));
    Some(Finding::warning(
        FindingKind::OpenDoubt,
        place,
        format!("unsure whether {} sound{}", words::strings(&unsure), if unsure.len() == 1 { "s" } else { "" }),
        "listen again, then mark each string as sure or not heard",
    ))
}
