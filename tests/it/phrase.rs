//! Editing music: what each key of the tab editor does to a passage.

use std::cell::Cell;

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::instrument::rig::Rig;
use fingerpost::lesson::check::{FindingKind, unplayable};
use fingerpost::lesson::document::{BarRange, Lesson, PassageUse, Segment, SegmentKind};
use fingerpost::lesson::edit::Edit;
use fingerpost::lesson::id::{PassageId, SegmentId};
use fingerpost::lesson::music::{Bar, Event, Join, Note, Passage, Technique, Voice};
use fingerpost::lesson::phrase::clip::{self, Clip, Grain, Stretch};
use fingerpost::lesson::phrase::rests;
use fingerpost::lesson::phrase::rhythm::{self, LengthChange};
use fingerpost::lesson::phrase::slot::{meter_at, missing};
use fingerpost::lesson::phrase::{Slot, bars, notes, shift};
use fingerpost::lesson::time::{Length, Meter, Ticks, Tuplet, VideoLength};
use fingerpost::workbench::editing::rigs::standard_guitar;
use proptest::prelude::*;

use crate::arbitrary::{Music, any_passage};

fn string(number: u8) -> StringNumber {
    StringNumber::new(number).unwrap()
}

fn fret(number: u8) -> Fret {
    Fret::new(number).unwrap()
}

fn length(text: &str) -> Length {
    text.parse().unwrap()
}

/// A passage of these bars, each written as `length:string/fret ...`, without `string/fret` a rest.
fn passage(bars: &[&str]) -> Passage {
    let event = |text: &str| {
        let (written, note) = text.split_once(':').unwrap_or((text, ""));
        let note =
            note.split_once('/').map(|(on, at)| Note::plain(string(on.parse().unwrap()), fret(at.parse().unwrap())));
        Event::notes(length(&format!("1/{written}")), note.into_iter().collect())
    };
    let bar = |text: &&str| {
        let events: Vec<Event> = text.split_whitespace().map(event).collect();
        let voices = if events.is_empty() { Vec::new() } else { vec![Voice(events)] };
        Bar { voices, ..Bar::default() }
    };
    Passage::plain(PassageId(1), "Sketch", bars.iter().map(bar).collect())
}

fn lesson(passage: &Passage) -> Lesson {
    Lesson { passages: vec![passage.clone()], ..Lesson::default() }
}

/// The passage after `edits`.
#[track_caller]
fn after(passage: &Passage, edits: Vec<Edit>) -> Passage {
    let mut lesson = lesson(passage);
    lesson.apply_all(edits).unwrap();
    lesson.passages.remove(0)
}

fn at(bar: usize, event: usize) -> Slot {
    Slot { bar, event, voice: 0 }
}

/// The bars as [`passage`] reads them.
fn shown(passage: &Passage) -> Vec<String> {
    let event = |event: &Event| {
        let written = event.length.to_string().replace("1/", "");
        let notes = event.notes.iter().map(|note| format!("{}/{}", note.string, note.fret));
        let notes: Vec<String> = notes.collect();
        if notes.is_empty() { written } else { format!("{written}:{}", notes.join("+")) }
    };
    let bar = |bar: &Bar| {
        let voices = bar.voices.iter().map(|voice| voice.0.iter().map(event).collect::<Vec<_>>().join(" "));
        voices.collect::<Vec<_>>().join(" | ")
    };
    passage.bars.iter().map(bar).collect()
}

#[test]
fn a_fret_goes_into_the_event_or_behind_the_last() {
    let start = passage(&["4:6/3 4"]);
    let put = notes::put(&start, at(0, 0), string(5), fret(2), length("1/8"));
    assert_eq!((shown(&after(&start, put.edits)), put.slot), (vec!["4:5/2+6/3 4".to_owned()], at(0, 0)));
    let put = notes::put(&start, at(0, 1), string(1), fret(12), length("1/8"));
    assert_eq!(shown(&after(&start, put.edits)), ["4:6/3 4:1/12"]);
    let put = notes::put(&start, at(0, 2), string(1), fret(0), length("1/8"));
    assert_eq!((shown(&after(&start, put.edits)), put.slot), (vec!["4:6/3 4 8:1/0".to_owned()], at(0, 2)));
}

#[test]
fn behind_a_full_bar_a_new_one_begins() {
    let start = passage(&["1:6/3"]);
    let put = notes::put(&start, at(0, 1), string(4), fret(2), length("1/2"));
    assert_eq!((shown(&after(&start, put.edits)), put.slot), (vec!["1:6/3".to_owned(), "2:4/2".to_owned()], at(1, 0)));
}

#[test]
fn a_second_voice_begins_over_a_first_that_rests() {
    let start = passage(&[""]);
    let put = notes::put(&start, Slot { voice: 1, ..at(0, 0) }, string(6), fret(0), length("1/4"));
    assert_eq!(shown(&after(&start, put.edits)), ["1 | 4:6/0"]);
}

#[test]
fn lifting_the_last_note_leaves_a_rest_and_says_where_there_is_none() {
    let start = passage(&["4:6/3 4"]);
    let edit = notes::lift(&start, at(0, 0), string(6)).unwrap();
    assert_eq!(shown(&after(&start, vec![edit])), ["4 4"]);
    let error = notes::lift(&start, at(0, 0), string(1)).unwrap_err();
    assert_eq!(error.to_string(), "there is no note on string 1 here");
    assert!(notes::lift(&start, at(0, 2), string(1)).unwrap_err().to_string().starts_with("nothing is written here"));
}

#[test]
fn a_technique_is_put_on_changed_and_taken_off() {
    let start = passage(&["4:6/3"]);
    let put = |passage: &Passage, technique| {
        after(passage, vec![notes::technique(passage, at(0, 0), string(6), technique).unwrap()])
    };
    let bend = |text: &str| Technique::Bend(text.parse().unwrap());
    let on = |passage: &Passage| passage.bars[0].voices[0].0[0].notes[0].techniques.clone();
    let bent = put(&put(&start, Technique::Vibrato), bend("1/2"));
    assert_eq!(on(&bent), [bend("1/2"), Technique::Vibrato]);
    let more = put(&bent, bend("1"));
    assert_eq!(on(&more), [bend("1"), Technique::Vibrato]);
    assert_eq!(on(&put(&more, bend("1"))), [Technique::Vibrato]);
}

#[test]
fn lengths_step_dot_and_join_tuplets() {
    let step = |text: &str, way| rhythm::stepped(length(text), way).map(|length| length.to_string());
    assert_eq!(step("1/4.", LengthChange::Shorter).as_deref(), Ok("1/8."));
    assert_eq!(step("1/8 3:2", LengthChange::Longer).as_deref(), Ok("1/4 3:2"));
    assert!(step("1/1", LengthChange::Longer).is_err() && step("1/64", LengthChange::Shorter).is_err());
    let dots = |text: &str| rhythm::dotted(length(text)).to_string();
    assert_eq!([dots("1/4"), dots("1/4."), dots("1/4..")], ["1/4.", "1/4..", "1/4"]);
    let triplet = Tuplet { actual: 3, normal: 2 };
    let inside = rhythm::in_tuplet(length("1/8"), triplet).unwrap();
    assert_eq!(inside.to_string(), "1/8 3:2");
    assert_eq!(rhythm::in_tuplet(inside, triplet), Ok(length("1/8")));
}

#[test]
fn a_bar_taken_out_leaves_the_meter_of_the_next_as_it_was() {
    let mut start = passage(&["1", "2.", "2."]);
    start.bars[1].meter = Some("3/4".parse().unwrap());
    let less = after(&start, bars::remove(&start, 1..2).unwrap());
    assert_eq!(shown(&less), ["1", "2."]);
    assert_eq!(meter_at(&less, 1).to_string(), "3/4");
    let none = after(&start, bars::remove(&start, 0..3).unwrap());
    assert_eq!(none.bars, [Bar::default()]);
}

#[test]
fn a_meter_holds_up_to_the_next_bar_that_says_otherwise() {
    let start = passage(&["1", "1", "1"]);
    let waltz: Meter = "3/4".parse().unwrap();
    let changed = after(&start, vec![bars::set_meter(&start, 1, waltz).unwrap()]);
    assert_eq!([0, 1, 2].map(|bar| meter_at(&changed, bar).to_string()), ["4/4", "3/4", "3/4"]);
    let back = after(&changed, vec![bars::set_meter(&changed, 1, Meter::COMMON).unwrap()]);
    assert_eq!(back, start);
    let first = after(&start, vec![bars::set_meter(&start, 0, waltz).unwrap()]);
    assert_eq!((first.meter, first.bars[0].meter), (waltz, None));
}

#[test]
fn bars_pasted_bring_their_meter_and_leave_that_of_the_rest() {
    let mut start = passage(&["2.", "1", "1"]);
    start.meter = "3/4".parse().unwrap();
    start.bars[1].meter = Some(Meter::COMMON);
    let waltz = clip::copy(&start, &Stretch::new(at(0, 0), at(0, 0), Grain::Bars)).unwrap();
    let pasted = after(&start, clip::paste(&start, at(2, 0), &waltz).edits);
    assert_eq!((0..4).map(|bar| meter_at(&pasted, bar).to_string()).collect::<Vec<_>>(), ["3/4", "4/4", "3/4", "4/4"]);
    assert!((0..4).all(|bar| bars::adds_up(&pasted, bar)));
}

#[test]
fn events_over_a_bar_line_are_pasted_with_their_bar_line() {
    let start = passage(&["4:6/1 4:6/2 4:6/3 4:6/4", "4:5/1 4:5/2 2"]);
    let stretch = Stretch::new(at(1, 0), at(0, 3), Grain::Events);
    let copied = clip::copy(&start, &stretch).unwrap();
    let cut = after(&start, clip::remove(&start, &stretch).unwrap());
    assert_eq!(shown(&cut), ["4:6/1 4:6/2 4:6/3", "4:5/2 2"]);
    let back = after(&cut, clip::paste(&cut, at(0, 3), &copied).edits);
    assert_eq!(back, start);
    assert_eq!(stretch.events(&start), 2);
    assert!(matches!(copied, Clip::Events(parts) if parts.len() == 2));
}

#[test]
fn joined_notes_go_to_another_string_together() {
    let mut start = passage(&["4:2/5 4:2/7 4:1/3"]);
    start.bars[0].voices[0].0[0].notes[0].join = Some(Join::HammerOn);
    let rig = standard_guitar();
    let moved = after(&start, shift::to_string(&start, at(0, 1), string(2), string(3), &rig).unwrap());
    // Common practice: fret 4 of the G string is the open B string, so five and seven become nine and eleven.
    assert_eq!(shown(&moved), ["4:3/9 4:3/11 4:1/3"]);
    let error = shift::to_string(&start, at(0, 2), string(1), string(2), &rig).map(|_| ());
    assert!(error.is_ok());
    let low = passage(&["4:6/3"]);
    let error = shift::to_string(&low, at(0, 0), string(6), string(5), &rig).unwrap_err();
    assert_eq!(error.to_string(), "string 5 does not have the pitch of fret 3 on string 6");
}

#[test]
fn selected_notes_go_to_the_next_strings_together_or_not_at_all() {
    let mut start = passage(&["4:2/5 4:1/3"]);
    start.bars[0].voices[0].0[0].notes.push(Note::plain(string(3), fret(4)));
    let whole = Stretch::new(at(0, 0), at(0, 1), Grain::Events);
    let rig = standard_guitar();
    // Common practice: four frets from B to G, five between the others.
    let down = after(&start, shift::over_strings(&start, &whole, 1, &rig).unwrap());
    assert_eq!(shown(&down), ["4:3/9+4/9 4:2/8"]);
    assert_eq!(shown(&after(&down, shift::over_strings(&down, &whole, -1, &rig).unwrap())), ["4:2/5+3/4 4:1/3"]);
    assert!(shift::over_strings(&start, &whole, -1, &rig).is_err(), "there is no string above the first");
}

#[test]
fn a_note_transposed_off_its_string_goes_to_the_next_one_that_has_it() {
    let start = passage(&["4:5/1 4:5/0"]);
    let whole = Stretch::new(at(0, 0), at(0, 1), Grain::Events);
    let rig = standard_guitar();
    let lower = shift::transpose(&start, &whole, -1, &rig).unwrap();
    assert_eq!(shown(&after(&start, lower.edits)), ["4:5/0 4:6/4"]);
    let error = shift::transpose(&start, &whole, -24, &rig).unwrap_err().to_string();
    assert!(error.starts_with("bar 1: fret 1 on string 5 has no place -24 half steps away"), "{error}");
}

#[test]
fn chord_names_are_transposed_and_what_is_none_stays() {
    let mut start = passage(&["4:5/3 4:5/3"]);
    start.bars[0].voices[0].0[0].chord = Some("C/E".to_owned());
    start.bars[0].voices[0].0[1].chord = Some("N.C.".to_owned());
    let whole = Stretch::new(at(0, 0), at(0, 1), Grain::Events);
    let up = after(&start, shift::transpose(&start, &whole, 2, &standard_guitar()).unwrap().edits);
    let names: Vec<Option<String>> = up.bars[0].voices[0].0.iter().map(|event| event.chord.clone()).collect();
    assert_eq!(names, [Some("D/F#".to_owned()), Some("N.C.".to_owned())]);
}

#[test]
fn segments_that_play_some_bars_go_on_playing_the_same_ones() {
    let start = passage(&["1", "1", "1", "1"]);
    let mut lesson = lesson(&start);
    for (id, first, last) in [(1, 1, 2), (2, 3, 4), (3, 2, 3)] {
        let mut segment = Segment::new(SegmentId(id), SegmentKind::Walkthrough, "x", VideoLength::ZERO);
        segment.passages = vec![PassageUse { bars: Some(BarRange { first, last }), ..PassageUse::whole(PassageId(1)) }];
        lesson.segments.push(segment);
    }
    let ranges = |lesson: &Lesson, edit: Edit| {
        let mut lesson = lesson.clone();
        lesson.apply_all(bars::following(&lesson.segments, &edit)).unwrap();
        let range = |segment: &Segment| segment.passages[0].bars.map(|bars| (bars.first, bars.last)).unwrap();
        lesson.segments.iter().map(range).collect::<Vec<_>>()
    };
    // A bar behind the second: the first range grows, the second is pushed on, the third has it inside.
    assert_eq!(ranges(&lesson, bars::insert(&start, 2)), [(1, 3), (4, 5), (2, 4)]);
    let gone = bars::remove(&start, 1..2).unwrap().remove(0);
    assert_eq!(ranges(&lesson, gone), [(1, 1), (2, 3), (2, 2)]);
}

#[test]
fn what_check_calls_unplayable_is_found_in_one_passage_alone() {
    let mut start = passage(&["4:6/0"]);
    start.bars[0].voices[0].0[0].notes[0].techniques = vec![Technique::Bend("1".parse().unwrap())];
    let kinds: Vec<FindingKind> = unplayable(&start).into_iter().map(|finding| finding.kind).collect();
    assert_eq!(kinds, [FindingKind::Technique]);
}

/// A slot in a passage, chosen by a number; sometimes behind the last event of a bar.
fn slot_in(passage: &Passage, number: usize) -> Slot {
    let bar = number % passage.bars.len().max(1);
    let slot = Slot::start_of(bar, (number / 7) % passage.bars.get(bar).map_or(1, |bar| bar.voices.len().max(1)));
    Slot { event: (number / 31) % (slot.events(passage).len() + 1), ..slot }
}

/// The six-string standard guitar that the passages of `Music::everything` fit.
fn rig() -> Rig {
    standard_guitar()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Every edit, whatever it does, is taken back by its inverse.
    #[test]
    fn an_edit_followed_by_its_inverse_gives_the_passage_back(
        start in any_passage(Music::everything()), number in 0usize..10_000, other in 0usize..10_000, key in 0u8..9,
    ) {
        let (slot, end) = (slot_in(&start, number), slot_in(&start, other));
        let on = string(1 + (number % 6) as u8);
        let stretch = Stretch::new(slot, end, if number % 2 == 0 { Grain::Events } else { Grain::Bars });
        let edits = match key {
            0 => notes::put(&start, slot, on, fret(7), length("1/8")).edits,
            1 => notes::lift(&start, slot, on).into_iter().collect(),
            2 => rhythm::remove(&start, slot).into_iter().collect(),
            3 => clip::remove(&start, &stretch).unwrap_or_default(),
            4 => clip::copy(&start, &stretch).map(|clip| clip::paste(&start, end, &clip).edits).unwrap_or_default(),
            5 => rhythm::fill(&start, slot).into_iter().collect(),
            6 => bars::set_meter(&start, slot.bar, "7/8".parse().unwrap()).into_iter().collect(),
            7 => shift::transpose(&start, &stretch, 2, &rig()).map(|shifted| shifted.edits).unwrap_or_default(),
            _ => rhythm::rest(&start, slot).into_iter().collect(),
        };
        let mut lesson = lesson(&start);
        let undo = lesson.apply_all(edits).unwrap();
        lesson.apply_all(undo).unwrap();
        prop_assert_eq!(&lesson.passages[0], &start);
    }

    /// Whole bars bring their meter along: none that added up stops doing so, wherever they are pasted.
    #[test]
    fn bars_that_add_up_still_do_after_bars_are_pasted(
        start in any_passage(Music::everything()), number in 0usize..10_000, other in 0usize..10_000,
    ) {
        let (slot, end) = (slot_in(&start, number), slot_in(&start, other));
        let stretch = Stretch::new(slot, end, Grain::Bars);
        let clip = clip::copy(&start, &stretch).unwrap();
        let pasted = after(&start, clip::paste(&start, end, &clip).edits);
        let uneven = |passage: &Passage, bar: &usize| !bars::adds_up(passage, *bar);
        let copied = stretch.bars().filter(|bar| uneven(&start, bar)).count();
        let before = (0..start.bars.len()).filter(|bar| uneven(&start, bar)).count();
        let count = (0..pasted.bars.len()).filter(|bar| uneven(&pasted, bar)).count();
        prop_assert_eq!(count, before + copied);
    }

    /// What `fill` writes is exactly what was missing.
    #[test]
    fn rests_fill_what_is_missing(sixty_fourths in 1u64..200) {
        let wanted = Ticks(Ticks::WHOLE.0 / 64 * sixty_fourths);
        let sum: Ticks = rests::rests(wanted).into_iter().map(Length::ticks).sum();
        prop_assert_eq!(sum, wanted);
    }

    /// Walking forward from the start meets every event once, in order, and walking back the same ones.
    #[test]
    fn the_way_forward_is_the_way_back(start in any_passage(Music::everything())) {
        let all = 0..start.bars.len();
        let mut way = vec![Slot::default()];
        while let Some(next) = way.last().unwrap().next(&start, &all) {
            prop_assert!(*way.last().unwrap() < next);
            way.push(next);
        }
        let events: usize = start.bars.iter().filter_map(|bar| bar.voices.first()).map(|voice| voice.0.len()).sum();
        prop_assert_eq!(way.iter().filter(|slot| slot.read(&start).is_some()).count(), events);
        let mut back = vec![*way.last().unwrap()];
        while let Some(previous) = back.last().unwrap().previous(&start, &all) {
            back.push(previous);
        }
        back.reverse();
        prop_assert_eq!(back, way);
        let end = Slot { event: usize::MAX, ..Slot::default() };
        prop_assert!(missing(&start, end).is_none_or(|missing| missing > Ticks::ZERO));
    }
}

/// Up and down again: a note that stays on its string comes back, and every note keeps its distance.
#[test]
fn transposing_up_and_down_is_where_it_began() {
    let music = Music { chords: Vec::new(), fingers: false, ..Music::everything() };
    let (moved, back) = (Cell::new(0), Cell::new(0));
    proptest!(ProptestConfig::with_cases(96), |(start in any_passage(music), by in 1i32..7)| {
        let rig = rig();
        let last = start.bars.len() - 1;
        let whole = Stretch::new(Slot::start_of(0, 0), Slot::start_of(last, 0), Grain::Bars);
        let Ok(up) = shift::transpose(&start, &whole, by, &rig) else { return Ok(()) };
        moved.set(moved.get() + 1);
        let up = after(&start, up.edits);
        let all = |passage: &Passage| -> Vec<Vec<Note>> {
            let events = passage.bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0);
            events.map(|event| event.grace.iter().chain(&event.notes).cloned().collect()).collect()
        };
        let pitches = |notes: &[Note], by: i32| -> Vec<i32> {
            let still = |note: &Note| note.techniques.iter().any(|technique| matches!(technique, Technique::Dead | Technique::NaturalHarmonic));
            let mut pitches: Vec<i32> = notes.iter().filter(|note| !still(note)).map(|note| i32::from(rig.sounding(note.string, note.fret).unwrap().number()) + by).collect();
            pitches.sort_unstable();
            pitches
        };
        let (before, there) = (all(&start), all(&up));
        for (old, new) in before.iter().zip(&there) {
            prop_assert_eq!(pitches(old, by), pitches(new, 0));
        }
        let strings = |notes: &[Vec<Note>]| -> Vec<StringNumber> { notes.iter().flatten().map(|note| note.string).collect() };
        let neck = |notes: &[Vec<Note>]| notes.iter().flatten().flat_map(|note| &note.techniques).all(|technique| !matches!(technique, Technique::Trill(_) | Technique::ArtificialHarmonic(_) | Technique::TappedHarmonic(_)));
        if strings(&before) == strings(&there) && neck(&before) {
            back.set(back.get() + 1);
            let down = after(&up, shift::transpose(&up, &whole, -by, &rig).unwrap().edits);
            prop_assert_eq!(all(&down), before);
        }
    });
    assert!(moved.get() > 0 && back.get() > 0, "{moved:?} {back:?}");
}
