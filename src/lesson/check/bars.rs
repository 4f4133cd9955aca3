//! Bars that do not add up.

use super::finding::{Finding, FindingKind};
use super::words::{NamedValue, beats, counted, listed, note_values, rests_said};
use crate::lesson::music::{Bar, Passage, Voice};
use crate::lesson::phrase::rests::rests_behind;
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::time::{Meter, NoteValue, Ticks};

/// The most voices tab has room for, common practice: one for the thumb, one for the fingers.
const VOICES: usize = 2;

/// What is wrong with the length of a voice.
struct WrongLength {
    kind: FindingKind,
    reason: String,
    remedy: String,
}

pub(super) fn check(passage: &Passage, findings: &mut Vec<Finding>) {
    if passage.is_unwritten() {
        findings.push(Finding::warning(
            FindingKind::NothingWritten,
            LessonPlace::Passage(passage.id, Spot::WHOLE),
            "nothing is written in this passage, so it is not on the handout",
            "write notes or rests in it or read tab into it, or delete it",
        ));
        return;
    }
    if passage.is_blank() {
        findings.push(Finding::warning(
            FindingKind::NothingWritten,
            LessonPlace::Passage(passage.id, Spot::WHOLE),
            "only rests are written in this passage, so it is not on the handout",
            "write notes, chord names or words in it, or delete it",
        ));
    }
    let mut meter = passage.meter;
    for (index, bar) in passage.bars.iter().enumerate() {
        meter = bar.meter.unwrap_or(meter);
        if bar.voices.len() > VOICES {
            findings.push(Finding::warning(
                FindingKind::VoiceCount,
                LessonPlace::Passage(passage.id, Spot::bar(index)),
                format!("{} in one bar", counted(bar.voices.len(), "voice")),
                "tab has room for two: put the notes of the others into them",
            ));
        }
        for (number, voice) in bar.voices.iter().enumerate() {
            let place = LessonPlace::Passage(passage.id, Spot::bar(index).voice(number));
            findings.extend(
                length(passage, index, bar, voice, meter)
                    .map(|WrongLength { kind, reason, remedy }| Finding::problem(kind, place, reason, remedy)),
            );
        }
    }
}

/// Returns what is wrong with the length of a voice and what to do about it.
fn length(passage: &Passage, index: usize, bar: &Bar, voice: &Voice, meter: Meter) -> Option<WrongLength> {
    let (music, full) = (voice.ticks(), meter.ticks());
    if music == full {
        return None;
    }
    let wrong = |reason, remedy| Some(WrongLength { kind: FindingKind::BarLength, reason, remedy });
    let of = format!("{} in {} {meter} bar", beats(music, meter), article(meter));
    if let Some(over) = music.0.checked_sub(full.0).map(Ticks) {
        let (over, aside) = said(over, meter);
        let longer = meter_of(music).map(|meter| format!(", or change the time signature to {meter}"));
        let remedy = format!("shorten the notes by {over}{}", longer.unwrap_or_default());
        return wrong(format!("{over} too long{aside}: {of}"), remedy);
    }
    // An empty voice is no pickup; it is a voice somebody began to write.
    if voice.0.is_empty() {
        let remedy = "fill it with a rest, or delete the voice".to_owned();
        return wrong(format!("this voice is empty in {} {meter} bar", article(meter)), remedy);
    }
    if bar.pickup || completes(passage, index, full, music) {
        return None;
    }
    let missing = Ticks(full.0 - music.0);
    let (words, aside) = said(missing, meter);
    let reason = format!("{words} short{aside}: {of}");
    // An incomplete tuplet before the last notes leaves a gap that no rests fill.
    let Some(rests) = rests_behind(meter, &voice.0, full) else {
        return wrong(reason, "complete the tuplet in it, or correct a length".to_owned());
    };
    let rests = rests_said(&rests).unwrap_or_else(|| format!("{words} of rest"));
    if index == 0 {
        let remedy = format!("add {rests}, or mark the bar as a pickup");
        return Some(WrongLength { kind: FindingKind::ShortOrPickup, reason, remedy });
    }
    Some(WrongLength { kind: FindingKind::ShortBar, reason, remedy: format!("add {rests}") })
}

/// Returns a length as a note value or several, with what has to be said beside it, or else in beats.
fn said(length: Ticks, meter: Meter) -> (String, String) {
    match note_values(length).as_slice() {
        [] => (beats(length, meter), String::new()),
        [value] => (value.note(), value.aside()),
        values => (listed(&values.iter().map(NamedValue::note).collect::<Vec<_>>()), String::new()),
    }
}

/// Returns whether a short bar makes a full one together with a pickup: the last bar with the first, or the
/// bar before a repeat sign with the pickup the repeat goes back to. Common practice.
fn completes(passage: &Passage, index: usize, full: Ticks, music: Ticks) -> bool {
    let ends = index + 1 == passage.bars.len() || passage.bars.get(index).is_some_and(|bar| bar.repeat_end.is_some());
    let pickups = passage.bars.iter().take(index).filter(|bar| bar.pickup);
    let complete = |pickup: &Bar| pickup.voices.iter().any(|voice| voice.ticks() + music == full);
    ends && pickups.into_iter().any(complete)
}

/// Returns the simplest meter of this length, if one can be written.
fn meter_of(length: Ticks) -> Option<Meter> {
    let units = [NoteValue::Quarter, NoteValue::Eighth, NoteValue::Sixteenth, NoteValue::ThirtySecond];
    units.into_iter().find_map(|unit| {
        let exact = length.0.is_multiple_of(unit.ticks().0);
        let beats = u8::try_from(length.0 / unit.ticks().0).ok()?;
        if exact { Meter::new(beats, unit) } else { None }
    })
}

fn article(meter: Meter) -> &'static str {
    if matches!(meter.beats(), 8 | 11 | 18) { "an" } else { "a" }
}
