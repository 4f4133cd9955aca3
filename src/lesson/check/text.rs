//! Titles that are missing, and text with characters that act instead of showing.

use super::finding::{Finding, FindingKind};
use super::walk::steps;
use crate::lesson::detailed::{Detailed, TextKind, TypedText};
use crate::lesson::document::{Lesson, Voicing};
use crate::lesson::edit::Item;
use crate::lesson::id::ItemId;
use crate::lesson::lists::each_list;
use crate::lesson::music::Passage;
use crate::lesson::place::LessonPlace;
use crate::text::acting_characters::{Acting, acting};

/// Checks the texts of everything but passages and voicings, which are checked one by one.
pub(super) fn check(lesson: &Lesson, findings: &mut Vec<Finding>) {
    check_texts(&lesson.header, "the lesson", LessonPlace::Header, findings);
    check_lists(lesson, findings);
}

/// Goes through every list.
macro_rules! texts_of_lists {
    ($({ $field:ident $($rest:tt)* })+) => {
        fn check_lists(lesson: &Lesson, findings: &mut Vec<Finding>) {
            $(lesson.$field.iter().filter(|item| !is_checked_alone(item.id())).for_each(|item| check_item(item, findings));)+
        }
    };
}

each_list!(texts_of_lists);

/// Returns whether what is found in such a thing is kept until it is touched.
fn is_checked_alone(item: impl Into<ItemId>) -> bool {
    matches!(item.into(), ItemId::Passage(_) | ItemId::Voicing(_))
}

fn check_item<T: Item + Detailed>(item: &T, findings: &mut Vec<Finding>) {
    check_texts(item, &format!("this {}", T::WORD), LessonPlace::of(item.id()), findings);
}

fn check_texts(thing: &impl Detailed, called: &str, place: LessonPlace, findings: &mut Vec<Finding>) {
    for text in thing.texts() {
        if text.kind == TextKind::Title && text.text.trim().is_empty() {
            let reason = format!("{called} has no title");
            findings.push(Finding::warning(FindingKind::NoTitle, place, reason, "give it one"));
        }
        clean(&text, place, findings);
    }
}

pub(super) fn check_passage(passage: &Passage, findings: &mut Vec<Finding>) {
    check_item(passage, findings);
    for step in steps(passage) {
        let place = LessonPlace::Passage(passage.id, step.spot());
        let chord = step.played.chord.as_ref().map(|chord| (chord, "the chord name"));
        let text = step.played.text.as_ref().map(|text| (text, "the words over this note or rest"));
        for (text, what) in chord.into_iter().chain(text) {
            clean(&TypedText { what: what.into(), text, kind: TextKind::Line }, place, findings);
        }
    }
}

pub(super) fn check_voicing(voicing: &Voicing, findings: &mut Vec<Finding>) {
    check_item(voicing, findings);
}

fn clean(TypedText { what, text, kind }: &TypedText<'_>, place: LessonPlace, findings: &mut Vec<Finding>) {
    let acts = |character: &char| match acting(*character) {
        Some(Acting::Break) => *kind != TextKind::Lines || !matches!(character, '\n' | '\r' | '\t'),
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
