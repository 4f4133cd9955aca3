//! Random music and random lessons for property tests.
//!
//! Start with [`any_passage`] (valid music, restricted by a [`Music`]), [`any_lesson`] and
//! [`any_edit`]. Everything is built from a list of numbers that proptest draws and shrinks; the
//! number 0 always stands for the plainest choice, so what a failure shrinks to is plain too.
//!
//! Passages come in one written order: notes of an event by string number upward, techniques in
//! their own order, no change of meter, tempo or key to what already holds.

// Each test file uses what it needs of this.
#![allow(dead_code)]

mod choices;
mod document;
mod music;
mod passage;

use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::edit::Edit;
use fingerpost::lesson::id::PassageId;
use fingerpost::lesson::music::Passage;
use proptest::collection::vec;
use proptest::prelude::*;

pub use self::choices::Choices;
pub use self::document::{edit_from, lesson_from, numbered};
pub use self::music::Music;
use self::passage::PassageMaker;

/// Returns valid passages within `music`.
pub fn any_passage(music: Music) -> BoxedStrategy<Passage> {
    (vec(any::<u16>(), 0..40), vec(vec(any::<u16>(), 0..200), music.bars.clone()))
        .prop_map(move |(head, bars)| PassageMaker { music: &music }.passage(PassageId(1), &head, &bars))
        .boxed()
}

/// Returns valid passages of every kind on 3 to 12 strings and 5 to 30 frets, with what they are
/// restricted to.
pub fn any_passage_on_any_neck() -> BoxedStrategy<(Music, Passage)> {
    (3u8..=12, 5u8..=30)
        .prop_flat_map(|(strings, frets)| {
            let music = Music { strings, frets, ..Music::everything() };
            (Just(music.clone()), any_passage(music))
        })
        .boxed()
}

/// Returns lessons whose identities are unique and whose links mostly hold, some of them dangling.
pub fn any_lesson() -> BoxedStrategy<Lesson> {
    vec(vec(any::<u16>(), 0..160), 1..12).prop_map(|numbers| lesson_from(&numbers)).boxed()
}

/// Returns edits of `lesson`, some of which do not fit it.
pub fn any_edit(lesson: &Lesson) -> BoxedStrategy<Edit> {
    let lesson = lesson.clone();
    vec(any::<u16>(), 0..160).prop_map(move |numbers| edit_from(&lesson, &mut Choices::new(&numbers))).boxed()
}

/// Returns a lesson and the numbers for a chain of edits; see [`edit_from`], which is to be given
/// the lesson as it stands after the edits before.
pub fn any_lesson_and_chain() -> BoxedStrategy<(Lesson, Vec<Vec<u16>>)> {
    (any_lesson(), vec(vec(any::<u16>(), 0..200), 0..24)).boxed()
}
