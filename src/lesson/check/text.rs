//! Titles that are missing, and text with characters that act instead of showing.

use std::fmt;

use super::finding::{Finding, FindingKind};
use super::walk::steps;
use crate::lesson::document::{Lesson, Voicing};
use crate::lesson::edit::Item;
use crate::lesson::music::Passage;
use crate::lesson::place::{LessonPlace, Spot};
use crate::text::acting::{Acting, acting};

/// Whether a text may run over several lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum LineBreaks {
    One,
    Many,
}

/// Checks the texts of everything but passages and voicings, which are checked one by one.
pub(super) fn check(lesson: &Lesson, findings: &mut Vec<Finding>) {
    let header = &lesson.header;
    titled(&header.title, "the lesson", LessonPlace::Header, findings);
    for (text, what, lines) in [
        (&header.title, "the title", LineBreaks::One),
        (&header.series, "the series", LineBreaks::One),
        (&header.author, "the author", LineBreaks::One),
        (&header.date, "the date", LineBreaks::One),
        (&header.credit, "the credit", LineBreaks::Many),
        (&header.rights, "the rights note", LineBreaks::Many),
    ] {
        clean(text, what, lines, LessonPlace::Header, findings);
    }
    for instrument in &lesson.instruments {
        let place = LessonPlace::Instrument(instrument.id());
        titled(&instrument.body.name, "this instrument", place, findings);
        clean(&instrument.body.name, "the name", LineBreaks::One, place, findings);
    }
    for setup in &lesson.setups {
        let place = LessonPlace::Setup(setup.id);
        titled(&setup.name, "this setup", place, findings);
        clean(&setup.name, "the name", LineBreaks::One, place, findings);
        clean(&setup.tone, "the tone note", LineBreaks::Many, place, findings);
    }
    for piece in &lesson.pieces {
        let place = LessonPlace::Piece(piece.id);
        titled(&piece.title, "this piece", place, findings);
        clean(&piece.title, "the title", LineBreaks::One, place, findings);
        clean(&piece.credit, "the credit", LineBreaks::Many, place, findings);
        clean(&piece.notes, "the note", LineBreaks::Many, place, findings);
    }
    check_segments(lesson, findings);
}

pub(super) fn check_passage(passage: &Passage, findings: &mut Vec<Finding>) {
    let place = LessonPlace::Passage(passage.id, Spot::WHOLE);
    titled(&passage.title, "this passage", place, findings);
    clean(&passage.title, "the title", LineBreaks::One, place, findings);
    for step in steps(passage) {
        let place = LessonPlace::Passage(passage.id, step.spot());
        let chord = step.played.chord.as_ref().map(|chord| (chord, "the chord name"));
        let text = step.played.text.as_ref().map(|text| (text, "the text over this beat"));
        for (text, what) in chord.into_iter().chain(text) {
            clean(text, what, LineBreaks::One, place, findings);
        }
    }
}

pub(super) fn check_voicing(voicing: &Voicing, findings: &mut Vec<Finding>) {
    let place = LessonPlace::Voicing(voicing.id, None);
    for reading in &voicing.readings {
        clean(reading, "a reading", LineBreaks::One, place, findings);
    }
    for tag in &voicing.tags {
        clean(tag, "a tag", LineBreaks::One, place, findings);
    }
    clean(&voicing.notes, "the note", LineBreaks::Many, place, findings);
}

fn check_segments(lesson: &Lesson, findings: &mut Vec<Finding>) {
    for segment in &lesson.segments {
        let place = LessonPlace::Segment(segment.id);
        titled(&segment.title, "this segment", place, findings);
        clean(&segment.title, "the title", LineBreaks::One, place, findings);
        for (at, point) in segment.talking_points.iter().enumerate() {
            clean(point, Point(at + 1), LineBreaks::Many, place, findings);
        }
        clean(&segment.shot, "the shot note", LineBreaks::Many, place, findings);
        clean(&segment.tone, "the tone note", LineBreaks::Many, place, findings);
    }
}

/// A talking point of this number, in words.
struct Point(usize);

impl fmt::Display for Point {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "talking point {}", self.0)
    }
}

fn titled(title: &str, what: &str, place: LessonPlace, findings: &mut Vec<Finding>) {
    if title.trim().is_empty() {
        let reason = format!("{what} has no title");
        findings.push(Finding::warning(FindingKind::NoTitle, place, reason, "give it one"));
    }
}

fn clean(text: &str, what: impl fmt::Display, lines: LineBreaks, place: LessonPlace, findings: &mut Vec<Finding>) {
    let acts = |character: &char| match acting(*character) {
        Some(Acting::Break) => lines == LineBreaks::One || !matches!(character, '\n' | '\r' | '\t'),
        Some(Acting::Control | Acting::Delete | Acting::HighControl | Acting::Turn) => true,
        // What only shows nothing may have come along with words copied from elsewhere, and harms no one.
        Some(Acting::Separator | Acting::TurnMark | Acting::Joiner | Acting::Tag | Acting::Unseen) | None => false,
    };
    let mut acting = text.chars().filter(acts);
    if let Some(first) = acting.next() {
        let more = acting.count();
        let others = if more > 0 { format!(" and {more} more like it") } else { String::new() };
        findings.push(Finding::warning(
            FindingKind::ControlCharacter,
            place,
            format!("{what} holds {}{others}, which would act instead of showing", named(first)),
            "type that text again",
        ));
    }
}

fn named(character: char) -> String {
    match character {
        '\n' | '\r' => "a line end".to_owned(),
        '\t' => "a tab stop".to_owned(),
        other => format!("the control character U+{:04X}", u32::from(other)),
    }
}
