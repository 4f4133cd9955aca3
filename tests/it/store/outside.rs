//! What becomes of unsaved changes when the file is changed, renamed or moved from outside.

use std::fmt::Debug;
use std::fs;
use std::path::{Path, PathBuf};

use fingerpost::lesson::document::{Header, Lesson, Segment, SegmentKind};
use fingerpost::lesson::edit::{Edit, Item, ListEdit};
use fingerpost::lesson::history::{Reason, Transaction};
use fingerpost::lesson::id::SegmentId;
use fingerpost::lesson::merge::Merged;
use fingerpost::lesson::music::Passage;
use fingerpost::lesson::time::VideoLength;
use fingerpost::store::disk::Disk;
use fingerpost::store::journal::{Journal, Refuge};
use fingerpost::store::lesson_file::{self, Replace};
use fingerpost::store::open_lesson::{OpenLesson, Opened, SavedState};
use proptest::prelude::*;
use tempfile::TempDir;

use super::session::{folder_with_lesson, notices, open, retitle};
use super::{names_in, titled};
use crate::arbitrary::{Choices, any_lesson_and_chain, edit_from};

fn segment(id: u32, title: &str) -> Segment {
    Segment::new(SegmentId(id), SegmentKind::Talk, title, VideoLength::from_seconds(60))
}

/// A lesson with three segments in a folder of its own.
fn folder_with_segments() -> (TempDir, PathBuf, Lesson) {
    let (folder, path) = folder_with_lesson();
    let mut lesson = lesson_file::load(&path).unwrap().lesson;
    lesson.segments = vec![segment(1, "intro"), segment(2, "riff"), segment(3, "outro")];
    lesson_file::save(&path, &lesson, Replace::Anything).unwrap();
    (folder, path, lesson)
}

fn change(lesson: &mut Lesson, edit: Edit) -> Transaction {
    let change = Transaction::one(Reason::RetitleSegment, edit);
    lesson.apply_all(change.edits.clone()).unwrap();
    change
}

fn replaced(id: u32, title: &str) -> Edit {
    Edit::Segments(ListEdit::Replace(segment(id, title)))
}

fn titles(lesson: &Lesson) -> Vec<&str> {
    lesson.segments.iter().map(|segment| segment.title.as_str()).collect()
}

/// Makes unsaved changes of the first segment and a new one at the end, then has another program change `edit`.
fn changed_on_both_sides(edit: Edit) -> (TempDir, PathBuf) {
    let (folder, path, start) = folder_with_segments();
    let Opened { mut lesson, mut file, .. } = open(&path);
    let first = change(&mut lesson, replaced(1, "my intro"));
    file.record(&first).unwrap();
    let added = Edit::Segments(ListEdit::Insert { at: 3, item: segment(9, "my encore") });
    let second = change(&mut lesson, added);
    file.record(&second).unwrap();
    drop(file);
    let mut theirs = start;
    theirs.apply(edit).unwrap();
    lesson_file::save(&path, &theirs, Replace::Anything).unwrap();
    (folder, path)
}

#[test]
fn changes_that_fit_a_file_changed_from_outside_are_made_in_it() {
    let (_folder, path) = changed_on_both_sides(replaced(2, "their riff"));
    let opened = open(&path);
    assert_eq!(titles(&opened.lesson), ["my intro", "their riff", "outro", "my encore"]);
    assert_eq!((opened.state, opened.file.apart()), (SavedState::Unsaved, &[][..]));
    let told = notices(&opened).join("; ");
    assert!(told.starts_with("another program has changed the file; brought back 2 unsaved changes"), "{told}");
    // A crash now changes nothing about that.
    drop(opened.file);
    assert_eq!(titles(&open(&path).lesson), ["my intro", "their riff", "outro", "my encore"]);
    assert_eq!(names_in(path.parent().unwrap()), [".a.lesson.ron.journal", "a.lesson.ron"]);
}

#[test]
fn what_was_undone_is_not_carried_over_to_a_file_changed_from_outside() {
    for undone in [1, 2] {
        let (_folder, path, start) = folder_with_segments();
        let Opened { mut lesson, mut file, .. } = open(&path);
        let [first, third] = [1, 3].map(|id| replaced(id, &start.segments[id as usize - 1].title));
        for (edit, back) in
            [(replaced(1, "my intro"), first), (replaced(3, "my outro"), third)].into_iter().take(undone)
        {
            for edit in [edit, back] {
                file.record(&change(&mut lesson, edit)).unwrap();
            }
        }
        if undone == 1 {
            file.record(&change(&mut lesson, replaced(3, "my outro"))).unwrap();
        }
        drop(file);
        let mut theirs = start.clone();
        theirs.apply(replaced(2, "their riff")).unwrap();
        lesson_file::save(&path, &theirs, Replace::Anything).unwrap();
        let opened = open(&path);
        let told = notices(&opened).join("; ");
        if undone == 1 {
            assert_eq!(titles(&opened.lesson), ["intro", "their riff", "my outro"]);
            assert!(
                told.starts_with("another program has changed the file; brought back 1 unsaved change ("),
                "{told}"
            );
        } else {
            assert_eq!(
                (titles(&opened.lesson), opened.state),
                (vec!["intro", "their riff", "outro"], SavedState::Saved)
            );
            assert_eq!(told, "");
            drop(opened);
            assert_eq!(names_in(path.parent().unwrap()), ["a.lesson.ron"]);
        }
    }
}

#[test]
fn what_both_sides_changed_waits_until_it_is_decided_about() {
    let (_folder, path) = changed_on_both_sides(replaced(1, "their intro"));
    let opened = open(&path);
    assert_eq!(titles(&opened.lesson), ["their intro", "riff", "outro", "my encore"]);
    assert_eq!(opened.file.apart(), [replaced(1, "my intro")]);
    // It waits after a crash, and after a save, which is no decision about it.
    drop(opened);
    let Opened { lesson, mut file, .. } = open(&path);
    assert_eq!(file.apart(), [replaced(1, "my intro")]);
    file.save(&lesson).unwrap();
    drop(file);
    let Opened { mut lesson, state, mut file, .. } = open(&path);
    assert_eq!((titles(&lesson), state), (vec!["their intro", "riff", "outro", "my encore"], SavedState::Saved));
    assert_eq!(file.apart(), [replaced(1, "my intro")]);
    // Taken over, it is a change like any other.
    let taken = lesson.taking_over(&file.apart()[0]).unwrap();
    let taken = change(&mut lesson, taken);
    file.record(&taken).unwrap();
    file.keep_apart(Vec::new()).unwrap();
    drop(file);
    let Opened { lesson, mut file, .. } = open(&path);
    assert_eq!((titles(&lesson)[0], file.apart()), ("my intro", &[][..]));
    file.save(&lesson).unwrap();
    drop(file);
    assert_eq!(names_in(path.parent().unwrap()), ["a.lesson.ron"]);
}

#[test]
fn what_is_left_as_it_is_in_the_file_does_not_come_back() {
    let (_folder, path) = changed_on_both_sides(replaced(1, "their intro"));
    let Opened { lesson, mut file, .. } = open(&path);
    file.keep_apart(Vec::new()).unwrap();
    file.save(&lesson).unwrap();
    drop(file);
    let opened = open(&path);
    assert_eq!((titles(&opened.lesson)[0], opened.file.apart()), ("their intro", &[][..]));
    drop(opened);
    assert_eq!(names_in(path.parent().unwrap()), ["a.lesson.ron"]);
}

#[test]
fn what_was_taken_out_on_one_side_and_changed_on_the_other_waits() {
    let (_folder, path) = changed_on_both_sides(Edit::Segments(ListEdit::Remove(SegmentId(1))));
    let mut opened = open(&path);
    assert_eq!(titles(&opened.lesson), ["riff", "outro", "my encore"]);
    let version = opened.file.apart()[0].clone();
    let back = opened.lesson.taking_over(&version).unwrap();
    opened.lesson.apply(back).unwrap();
    assert_eq!(titles(&opened.lesson), ["riff", "outro", "my encore", "my intro"]);
}

/// A file saved by another program with the very changes that were not saved here.
#[test]
fn changes_that_are_in_the_file_already_are_not_made_twice() {
    let (_folder, path, start) = folder_with_segments();
    let Opened { mut lesson, mut file, .. } = open(&path);
    let first = change(&mut lesson, replaced(1, "new"));
    file.record(&first).unwrap();
    drop(file);
    let mut theirs = start;
    theirs.apply(replaced(1, "new")).unwrap();
    theirs.apply(replaced(3, "their outro")).unwrap();
    lesson_file::save(&path, &theirs, Replace::Anything).unwrap();
    let opened = open(&path);
    assert_eq!((titles(&opened.lesson), opened.state), (vec!["new", "riff", "their outro"], SavedState::Saved));
    assert!(opened.file.apart().is_empty() && notices(&opened).is_empty(), "{:?}", notices(&opened));
}

#[test]
fn a_renamed_lesson_finds_its_journal_and_a_copy_does_not_take_it() {
    let (_folder, path) = folder_with_lesson();
    let Opened { mut lesson, mut file, .. } = open(&path);
    file.record(&retitle(&mut lesson, "mine")).unwrap();
    drop(file);
    let copy = path.with_file_name("copy.lesson.ron");
    fs::copy(&path, &copy).unwrap();
    assert_eq!(open(&copy).lesson, titled("start"), "the journal is that of the file beside it");
    fs::remove_file(&copy).unwrap();
    let renamed = path.with_file_name("renamed.lesson.ron");
    fs::rename(&path, &renamed).unwrap();
    let opened = open(&renamed);
    assert_eq!((&opened.lesson, opened.state), (&titled("mine"), SavedState::Unsaved));
    drop(opened);
    assert_eq!(names_in(path.parent().unwrap()), [".renamed.lesson.ron.journal", "renamed.lesson.ron"]);
}

#[test]
fn a_lesson_moved_to_another_folder_finds_its_journal_where_it_was_opened_before() {
    let (folder, path) = folder_with_lesson();
    let Opened { mut lesson, mut file, .. } = open(&path);
    file.record(&retitle(&mut lesson, "mine")).unwrap();
    drop(file);
    let other = TempDir::new().unwrap();
    let moved = fs::canonicalize(other.path()).unwrap().join("moved.lesson.ron");
    fs::rename(&path, &moved).unwrap();
    let refuge = Refuge { folder: None, earlier: vec![fs::canonicalize(folder.path()).unwrap()] };
    let opened = OpenLesson::open_with(&Disk::real(), &moved, &refuge).unwrap();
    assert_eq!(opened.lesson, titled("mine"));
    drop(opened);
    assert!(names_in(folder.path()).is_empty(), "{:?}", names_in(folder.path()));
    assert_eq!(open(&moved).lesson, titled("mine"));
}

/// The file that lies under the name now is another lesson.
#[test]
fn the_journal_of_another_lesson_is_left_for_that_lesson() {
    let (_folder, path) = folder_with_lesson();
    let Opened { mut lesson, mut file, .. } = open(&path);
    file.record(&retitle(&mut lesson, "mine")).unwrap();
    drop(file);
    let renamed = path.with_file_name("renamed.lesson.ron");
    fs::rename(&path, &renamed).unwrap();
    let other = Lesson {
        id: Some("7k3m-q2xf-9dwb-r8tz".parse().unwrap()),
        header: Header { title: "another".into(), ..Header::default() },
        ..Lesson::default()
    };
    lesson_file::save(&path, &other, Replace::Nothing).unwrap();
    let opened = open(&path);
    assert_eq!((&opened.lesson, opened.state), (&other, SavedState::Saved));
    drop(opened);
    assert_eq!(open(&renamed).lesson, titled("mine"));
}

/// Where the journal cannot lie beside the lesson it lies in the program's own folder.
#[test]
fn a_journal_that_finds_no_place_beside_the_lesson_lies_elsewhere() {
    let folder = TempDir::new().unwrap();
    let path = fs::canonicalize(folder.path()).unwrap().join("n".repeat(255 - ".lesson.ron".len()) + ".lesson.ron");
    lesson_file::save(&path, &titled("start"), Replace::Nothing).unwrap();
    let home = TempDir::new().unwrap();
    let refuge = Refuge { folder: Some(home.path().join("journals")), earlier: Vec::new() };
    let open = || OpenLesson::open_with(&Disk::real(), &path, &refuge).unwrap();
    let Opened { mut lesson, mut file, .. } = open();
    file.record(&retitle(&mut lesson, "one")).unwrap();
    assert!(!file.is_unprotected());
    drop(file);
    let Opened { mut lesson, mut file, .. } = open();
    assert_eq!(lesson, titled("one"));
    file.record(&retitle(&mut lesson, "two")).unwrap();
    drop(file);
    let Opened { lesson, mut file, .. } = open();
    assert_eq!(lesson, titled("two"));
    file.save(&lesson).unwrap();
    assert!(names_in(&home.path().join("journals")).is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Changes carried over to the lesson they were made on give what they gave; to the lesson that has them, nothing.
    #[test]
    fn merging_onto_the_same_lesson_is_making_the_changes((base, chain) in any_lesson_and_chain()) {
        let (mine, changes) = after(&base, &chain);
        let mut onto = base.clone();
        let merged = onto.merge(base.clone(), changes.clone());
        prop_assert_eq!(&onto, &mine);
        prop_assert!(merged.apart.is_empty() && merged.stuck.is_none());
    }

    /// Whatever both sides do: each thing is then as one of the two has it, and what is as the file has it although it was
    /// changed here waits.
    #[test]
    fn nothing_is_lost_between_two_sides(
        (base, chain) in any_lesson_and_chain(),
        other in prop::collection::vec(prop::collection::vec(any::<u16>(), 0..12), 0..6),
    ) {
        let (mine, changes) = after(&base, &chain);
        let (theirs, _) = after(&base, &other);
        let mut onto = theirs.clone();
        let merged = onto.merge(base.clone(), changes);
        let sides = Sides { base: &base, mine: &mine, theirs: &theirs, onto: &onto };
        // Taken apart, so that a list that comes to the lesson is looked at as well.
        let Lesson { id: _, header, instruments, setups, pieces, passages, voicings, segments } = &mine;
        sides.check_nothing_is_lost(instruments, &merged)?;
        sides.check_nothing_is_lost(setups, &merged)?;
        sides.check_nothing_is_lost(pieces, &merged)?;
        let whole: Vec<Passage> = passages.iter().filter(|mine| !sides.has_every_new_bar(mine)).cloned().collect();
        sides.check_nothing_is_lost(&whole, &merged)?;
        sides.check_nothing_is_lost(voicings, &merged)?;
        sides.check_nothing_is_lost(segments, &merged)?;
        if *header != base.header {
            prop_assert!(onto.header == *header || merged.apart.contains(&Edit::Header(header.clone())));
        }
        // What waits can be taken over, and then is as it was here.
        for version in &merged.apart {
            if let Some(edit) = onto.taking_over(version)
                && onto.apply(edit).is_ok()
            {
                prop_assert!(onto.has_taken_over(version));
            }
        }
    }
}

/// A lesson, what was made of it here and by another program, and what came of both.
struct Sides<'a> {
    base: &'a Lesson,
    mine: &'a Lesson,
    theirs: &'a Lesson,
    onto: &'a Lesson,
}

impl Sides<'_> {
    /// Returns whether a passage has all that was made of it here although it is as neither side has it: where each side
    /// changed bars of its own, it has the bars of both.
    fn has_every_new_bar(&self, mine: &Passage) -> bool {
        let of =
            |lesson: &Lesson| lesson.passages.iter().filter(|other| other.id == mine.id).cloned().collect::<Vec<_>>();
        let ([base], [onto]) = (&of(self.base)[..], &of(self.onto)[..]) else { return false };
        let new = mine.bars.iter().filter(|bar| !base.bars.contains(bar));
        Passage { bars: mine.bars.clone(), ..onto.clone() } == *mine && new.clone().all(|bar| onto.bars.contains(bar))
    }

    /// Checks that each of these things of the lesson here is there, or waits, or was not changed here.
    fn check_nothing_is_lost<T: Item + Clone + Debug + PartialEq>(
        &self,
        items: &[T],
        merged: &Merged,
    ) -> Result<(), TestCaseError> {
        let all = [self.base, self.mine, self.theirs, self.onto];
        for item in items {
            let id = item.id();
            let same = |other: &&T| other.id() == id;
            if all.into_iter().any(|lesson| T::list(lesson).iter().filter(same).count() > 1) {
                // Of two that share an identity nobody can say which is which.
                continue;
            }
            let is_there = T::list(self.onto).iter().find(same) == Some(item);
            // Another number alone leaves the rest to the other side.
            let untouched = T::list(self.base).iter().any(|before| {
                let mut before = before.clone();
                before.renumber(id);
                before == *item
            });
            let waits = merged.apart.contains(&T::edit(ListEdit::Replace(item.clone())));
            prop_assert!(is_there || waits || untouched || merged.stuck.is_some(), "{} {item:?}", T::WORD);
        }
        Ok(())
    }
}

/// Makes edits by chance, and returns what becomes of the lesson with those that fitted.
fn after(base: &Lesson, chain: &[Vec<u16>]) -> (Lesson, Vec<Transaction>) {
    let mut lesson = base.clone();
    let mut made = Vec::new();
    for numbers in chain {
        let change = Transaction::one(Reason::Remedy, edit_from(&lesson, &mut Choices::new(numbers)));
        if lesson.apply_all(change.edits.clone()).is_ok() {
            made.push(change);
        }
    }
    (lesson, made)
}

/// What a journal of the first versions holds, which says nothing of the file it was made on.
#[test]
fn changes_of_which_nobody_knows_on_what_they_were_made_all_wait() {
    let (_folder, path, _) = folder_with_segments();
    let text =
        "(reason:RetitleSegment,edits:[Segments(Replace((id:1,title:\"old words\",kind:Talk,planned:\"1:00\")))])";
    let line = |content: &str| {
        let sum = fingerpost::store::fingerprint::Fingerprint::of(content.as_bytes()).to_string();
        format!("{} {content}\n", &sum[..16])
    };
    let base = fingerpost::store::fingerprint::Fingerprint::of(b"a file that was");
    fs::write(Journal::path_for(&path), line(&format!("base {base}")) + &line(&format!("change {text}"))).unwrap();
    let opened = open(Path::new(&path));
    assert_eq!(titles(&opened.lesson)[0], "intro");
    assert_eq!(opened.file.apart().len(), 1);
}
