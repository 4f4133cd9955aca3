//! The one visitor of links sees every link of a lesson, and so do those who go through it.

use std::collections::BTreeSet;

use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::edit::{Edit, Item, ListEdit};
use fingerpost::lesson::fresh::{IdSource, Seed};
use fingerpost::lesson::history::{Change, Reason, Transaction};
use fingerpost::lesson::id::{InstrumentId, ItemId, PassageId, PieceId, SegmentId, SetupId, VoicingId};
use fingerpost::lesson::links::{Fate, Link};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;

use super::arbitrary::{Choices, any_lesson, edit_from, numbered};

/// Returns who links to what, by the visitor.
fn visited(lesson: &Lesson) -> Vec<(ItemId, ItemId)> {
    let mut links = Vec::new();
    lesson.each_link(|_| true, |Link { from, to }| links.push((from.item().unwrap(), to)));
    links
}

/// Returns who links to what, by the text of the file, which knows nothing of the visitor: in the lessons of the
/// generator every number of ten digits is an identity; after `id:` it is somebody's own, elsewhere a link.
fn written(lesson: &Lesson) -> Vec<(ItemId, ItemId)> {
    let text = ron::to_string(lesson).unwrap();
    let mut owner = None;
    let mut links = Vec::new();
    let mut before = "";
    for piece in text.split_inclusive(|sign: char| !sign.is_ascii_digit()) {
        let digits = piece.trim_end_matches(|sign: char| !sign.is_ascii_digit());
        if let Ok(number) = digits.parse::<u32>()
            && digits.len() == 10
        {
            if before.ends_with("id:") {
                owner = Some(identity(number));
            } else {
                links.push((owner.expect("an item begins with its identity"), identity(number)));
            }
        }
        let end = piece.as_ptr() as usize + piece.len() - text.as_ptr() as usize;
        before = &text[..end];
    }
    links
}

/// Returns the identity that the generator gives such a number.
fn identity(number: u32) -> ItemId {
    let all: [ItemId; 6] = [
        InstrumentId(number).into(),
        SetupId(number).into(),
        PieceId(number).into(),
        PassageId(number).into(),
        VoicingId(number).into(),
        SegmentId(number).into(),
    ];
    let place = usize::try_from(number / 100_000_000 - 30).unwrap();
    all[place]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn every_link_in_the_file_is_walked(lesson in any_lesson()) {
        prop_assert_eq!(visited(&lesson), written(&lesson));
    }

    #[test]
    fn what_is_redirected_is_what_is_walked(lesson in any_lesson()) {
        let mut changed = lesson.clone();
        changed.relink(|link| Fate::To(link.to.number() + 1));
        let expected: Vec<_> =
            visited(&lesson).into_iter().map(|(from, to)| (from, to.with_number(to.number() + 1))).collect();
        prop_assert_eq!(written(&changed), expected);
        changed.relink(|link| Fate::To(link.to.number() - 1));
        prop_assert_eq!(&changed, &lesson);
        changed.relink(|_| Fate::Stays);
        prop_assert_eq!(changed, lesson);
    }

    #[test]
    fn links_that_may_be_missing_are_cut_and_only_those(lesson in any_lesson(), odd in any::<bool>()) {
        let mut changed = lesson.clone();
        let cut = |to: ItemId| to.number() % 2 == u32::from(odd);
        changed.relink(|link| if cut(link.to) { Fate::Cut } else { Fate::Stays });
        let mut expected = written(&lesson);
        expected.retain(|(_, to)| !cut(*to) || matches!(to, ItemId::Instrument(_)));
        prop_assert_eq!(written(&changed), expected);
    }

    #[test]
    fn who_links_to_a_thing_is_found_from_the_thing(lesson in any_lesson()) {
        for item in lesson.identities() {
            let expected: Vec<ItemId> =
                written(&lesson).into_iter().filter(|(_, to)| *to == item).map(|(from, _)| from).collect();
            let found: Vec<ItemId> = lesson.who_links_to(item).into_iter().filter_map(|place| place.item()).collect();
            prop_assert_eq!(found, expected);
        }
    }
}

/// Grows a copy of a lesson: new things of every list, other edits and undos in between. Returns the identities that
/// are new.
fn grown(lesson: &Lesson, seed: Seed, choices: &mut Choices) -> BTreeSet<ItemId> {
    let (mut lesson, mut made) = (lesson.clone(), Vec::new());
    let before: BTreeSet<ItemId> = lesson.identities().collect();
    let mut ids = IdSource::new(seed, &lesson);
    let mut new = BTreeSet::new();
    for _ in 0..40 {
        if choices.happens(3) {
            if let Some(last) = made.pop() {
                lesson.apply_all(Change::taking_back(&last).edits).unwrap();
            }
            continue;
        }
        let edit = match edit_from(&lesson, choices) {
            // Whoever inserts something draws its identity; so does whoever tells twins apart.
            Edit::Instruments(ListEdit::Insert { at, item }) => with_new_id(at, item, ids.draw(&lesson)),
            Edit::Setups(ListEdit::Insert { at, item }) => with_new_id(at, item, ids.draw(&lesson)),
            Edit::Pieces(ListEdit::Insert { at, item }) => with_new_id(at, item, ids.draw(&lesson)),
            Edit::Passages(ListEdit::Insert { at, item }) => with_new_id(at, item, ids.draw(&lesson)),
            Edit::Voicings(ListEdit::Insert { at, item }) => with_new_id(at, item, ids.draw(&lesson)),
            Edit::Segments(ListEdit::Insert { at, item }) => with_new_id(at, item, ids.draw(&lesson)),
            edit if edit.brings().is_some() => continue,
            other => other,
        };
        let brought = edit.brings();
        if let Ok(change) = Change::make(&mut lesson, Transaction::one(Reason::PutFret, edit)) {
            made.push(change);
            new.extend(brought);
        }
    }
    assert!(new.is_disjoint(&before), "new is what the lesson has never held");
    new
}

fn with_new_id<T: Item>(at: usize, mut item: T, id: T::Id) -> Edit {
    item.renumber(id);
    T::edit(ListEdit::Insert { at, item })
}

/// The runner is the same each time: by chance, one run in many thousands would find two identities alike.
#[test]
fn two_copies_that_both_grow_share_no_new_identity() {
    let mut runner = TestRunner::deterministic();
    let strategy = (any_lesson(), vec(any::<u16>(), 4000), vec(any::<u16>(), 4000), any::<u64>());
    let mut drawn = 0;
    for _ in 0..60 {
        let (lesson, mine, yours, seed) = strategy.new_tree(&mut runner).unwrap().current();
        let mine = grown(&lesson, Seed(seed), &mut Choices::new(&mine));
        let yours = grown(&lesson, Seed(seed.wrapping_add(1)), &mut Choices::new(&yours));
        assert!(mine.is_disjoint(&yours), "{mine:?} {yours:?}");
        drawn += mine.len() + yours.len();
    }
    assert!(drawn > 300, "only {drawn} things were new");
}

/// A generator that never makes a sort of link tests nothing about it.
#[test]
fn the_generator_makes_every_sort_of_link() {
    let mut runner = TestRunner::deterministic();
    let strategy = any_lesson();
    let mut seen: BTreeSet<(&str, &str)> = BTreeSet::new();
    for _ in 0..60 {
        let lesson = strategy.new_tree(&mut runner).unwrap().current();
        seen.extend(visited(&lesson).into_iter().map(|(from, to)| (from.word(), to.word())));
    }
    let expected = [
        ("passage", "piece"),
        ("passage", "tuning"),
        ("passage", "voicing"),
        ("piece", "tuning"),
        ("segment", "passage"),
        ("segment", "piece"),
        ("segment", "tuning"),
        ("segment", "voicing"),
        ("tuning", "instrument"),
        ("voicing", "tuning"),
    ];
    assert_eq!(seen.into_iter().collect::<Vec<_>>(), expected);
    assert_eq!(ItemId::from(numbered::<PieceId>(3)), identity(3_200_000_003));
}
