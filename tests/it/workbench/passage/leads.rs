//! What led to a note that is deleted goes with it and is told, whichever way the note is deleted.

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::lesson::check::{FindingKind, check};
use fingerpost::lesson::document::{Lesson, PassageUse};
use fingerpost::lesson::id::PassageId;
use fingerpost::lesson::music::{Bar, Event, Join, Note, Passage, Technique, Voice};

use super::{Bench, bare_lesson};

/// Where the note lies to which something leads.
#[derive(Debug, Clone, Copy)]
enum Target {
    SameBar,
    NextBar,
}

/// A passage on string 1: a note at fret 5 from which `join` leads to the next, and two more after that.
fn lesson(join: Join, target: Target) -> Lesson {
    let to = match join {
        Join::Tie => 5,
        Join::PullOff => 3,
        Join::HammerOn | Join::Slide | Join::SlideAndPick => 7,
    };
    let note = |fret| Note::plain(StringNumber::new(1).unwrap(), Fret::new(fret).unwrap());
    let event = |note| Event::notes("1/4".parse().unwrap(), vec![note]);
    let mut events = vec![event(Note { join: Some(join), ..note(5) }), event(note(to)), event(note(9))];
    let bars = match target {
        Target::SameBar => vec![events],
        Target::NextBar => {
            events[0].length = "1/1".parse().unwrap();
            let rest = events.split_off(1);
            vec![events, rest]
        }
    };
    let bars = bars.into_iter().map(|events| Bar { voices: vec![Voice(events)], ..Bar::default() }).collect();
    let mut lesson = bare_lesson();
    lesson.passages = vec![Passage::plain(PassageId(1), "Leads", bars)];
    lesson.segments[0].passages = vec![PassageUse::whole(PassageId(1))];
    lesson
}

fn joins(lesson: &Lesson) -> Vec<Join> {
    let bars = lesson.passages[0].bars.iter().flat_map(|bar| &bar.voices);
    bars.flat_map(|voice| &voice.0).flat_map(|event| &event.notes).filter_map(|note| note.join).collect()
}

/// Returns the problems of joins.
fn wrong(lesson: &Lesson) -> usize {
    let kinds = [FindingKind::JoinLeadsNowhere, FindingKind::Join, FindingKind::TechniqueClash];
    check(lesson).iter().filter(|finding| kinds.contains(&finding.kind)).count()
}

#[test]
fn what_led_to_a_deleted_note_goes_too_and_is_told_and_comes_back_by_undo() {
    for join in Join::ALL {
        for target in [Target::SameBar, Target::NextBar] {
            let bars = matches!(target, Target::NextBar).then_some("D");
            let ways = ["Delete", "Shift+Delete", "Space", "Ctrl+X", "S Right Delete", "S Right Ctrl+X"];
            for way in ways.into_iter().chain(bars) {
                let before = lesson(join, target);
                let mut bench = Bench::on(before.clone(), (100, 30));
                bench.strike("P Home Right").strike(way);
                assert_eq!(joins(bench.lesson()), [], "{join:?} {target:?} {way}");
                assert_eq!(wrong(bench.lesson()), 0, "{join:?} {target:?} {way}");
                let told = format!("the {} that led there is deleted too", join.name());
                assert!(bench.notice().contains(&told), "{way}: {}", bench.notice());
                assert_eq!(
                    bench.notice().starts_with("the note is a rest now, "),
                    way == "Space",
                    "{}",
                    bench.notice()
                );
                bench.strike("u");
                assert_eq!(*bench.lesson(), before, "{join:?} {target:?} {way}");
            }
        }
    }
}

#[test]
fn what_leads_on_from_a_deleted_note_goes_without_a_word() {
    let mut bench = Bench::on(lesson(Join::HammerOn, Target::SameBar), (100, 30));
    bench.strike("P Home Delete");
    assert_eq!(joins(bench.lesson()), []);
    assert!(!bench.notice().contains("deleted too"), "{}", bench.notice());
}

#[test]
fn a_grace_note_goes_with_the_note_that_it_leads_to() {
    let mut before = lesson(Join::Slide, Target::SameBar);
    let event = &mut before.passages[0].bars[0].voices[0].0[1];
    event.grace = vec![Note::plain(StringNumber::new(1).unwrap(), Fret::new(6).unwrap())];
    let mut bench = Bench::on(before, (100, 30));
    bench.strike("P Home Right Delete");
    assert!(bench.lesson().passages[0].bars[0].voices[0].0[1].grace.is_empty());
}

#[test]
fn only_a_slide_still_leads_to_a_strum_that_is_made_dead() {
    for join in Join::ALL {
        let mut bench = Bench::on(lesson(join, Target::SameBar), (100, 30));
        bench.strike("P Home Right !");
        let slides = matches!(join, Join::Slide | Join::SlideAndPick);
        assert_eq!(joins(bench.lesson()), Vec::from_iter(slides.then_some(join)));
        assert_eq!(bench.notice().contains("deleted too"), !slides, "{}", bench.notice());
        assert_eq!(wrong(bench.lesson()), 0);
        let dead = &bench.lesson().passages[0].bars[0].voices[0].0[1].notes[0];
        assert_eq!(dead.techniques, [Technique::Dead]);
    }
}
