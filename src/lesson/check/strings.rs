//! Two notes on one string at one time.

use super::finding::{Finding, FindingKind};
use super::words::listed;
use crate::instrument::neck::{Fret, StringNumber};
use crate::lesson::music::{Bar, Note, Passage};
use crate::lesson::place::{LessonPlace, Spot};
use crate::lesson::technique::FretUse;
use crate::lesson::time::Ticks;

pub(super) fn check(passage: &Passage, findings: &mut Vec<Finding>) {
    for (index, bar) in passage.bars.iter().enumerate() {
        within_events(passage, index, bar, findings);
        if bar.voices.len() > 1 {
            between_voices(passage, index, bar, findings);
        }
    }
}

fn within_events(passage: &Passage, index: usize, bar: &Bar, findings: &mut Vec<Finding>) {
    for (number, voice) in bar.voices.iter().enumerate() {
        for (place, event) in voice.0.iter().enumerate() {
            let on = |string: StringNumber| -> Vec<Fret> {
                event.notes.iter().filter(|note| note.string == string).map(|note| note.fret).collect()
            };
            for (at, note) in event.notes.iter().enumerate() {
                let earlier = event.notes.iter().take(at).any(|other| other.string == note.string);
                let frets = on(note.string);
                if earlier || frets.len() < 2 {
                    continue;
                }
                findings.push(Finding::problem(
                    FindingKind::StringClash,
                    LessonPlace::Passage(passage.id, Spot::bar(index).voice(number).event(place).string(note.string)),
                    format!("{} notes on one string at one time: frets {}", frets.len(), listed(&frets)),
                    "leave one of them, or move the others to another string",
                ));
            }
        }
    }
}

/// A note of one voice with when it starts and ends.
struct HeldNote<'a> {
    voice: usize,
    event: usize,
    note: &'a Note,
    start: Ticks,
    end: Ticks,
}

fn between_voices(passage: &Passage, index: usize, bar: &Bar, findings: &mut Vec<Finding>) {
    let mut held: Vec<HeldNote> = Vec::new();
    for (voice, line) in bar.voices.iter().enumerate() {
        for (event, (start, played)) in line.timed().enumerate() {
            let end = start + played.length.ticks();
            held.extend(played.notes.iter().map(|note| HeldNote { voice, event, note, start, end }));
        }
    }
    held.sort_by_key(|held| (held.note.string, held.start, held.voice, held.event));
    for pair in held.windows(2) {
        let [one, next] = pair else { continue };
        if one.note.string != next.note.string || one.voice == next.voice || next.start >= one.end {
            continue;
        }
        let place = LessonPlace::Passage(
            passage.id,
            Spot::bar(index).voice(next.voice).event(next.event).string(next.note.string),
        );
        let (voice, fret) = (one.voice + 1, one.note.fret);
        if one.start == next.start {
            // One note written in both voices is played once: common practice.
            if fret != next.note.fret {
                findings.push(Finding::problem(
                    FindingKind::StringClash,
                    place,
                    format!("voice {voice} plays fret {fret} on this string at the same time"),
                    "move one of the two to another string",
                ));
            }
        } else if one.note.techniques.iter().all(|technique| technique.frets() != FretUse::Damped) {
            findings.push(Finding::warning(
                FindingKind::StringClash,
                place,
                format!("this note cuts off fret {fret}, which voice {voice} still holds on this string"),
                "shorten the held note, or move one of the two to another string",
            ));
        }
    }
}
