//! Chords of the tab against the grids of their names.

use super::names::{bar, lesson_of, over, strum};
use super::sound::shape;
use crate::lesson::check::{Finding, FindingKind, Severity, check, remedy};
use crate::lesson::document::Lesson;
use crate::lesson::fresh::{IdSource, Seed};
use crate::lesson::id::VoicingId;
use crate::lesson::music::Join;

/// A bar under D, with the open shape of D in its grid.
fn over_a_grid(frets: &str) -> Lesson {
    let mut lesson = lesson_of(vec![bar(vec![over("1/2", strum(frets), "D"), over("1/2", strum(frets), "")])]);
    (lesson.voicings[0].shape, lesson.voicings[0].readings) = (shape("xx0232"), vec!["D".to_owned()]);
    let passage = lesson.passages[0].id;
    for segment in &mut lesson.segments {
        segment.voicings =
            if segment.passages.iter().any(|used| used.passage == passage) { vec![VoicingId(1)] } else { vec![] };
    }
    assert!(lesson.segments.iter().any(|segment| !segment.voicings.is_empty()));
    lesson
}

fn other_shapes(lesson: &Lesson) -> Vec<Finding> {
    check(lesson).into_iter().filter(|finding| finding.kind == FindingKind::OtherShape).collect()
}

#[test]
fn a_chord_that_lies_elsewhere_than_its_grid_is_noted_and_goes_there() {
    // D3 A3 D4 F#4, with open strings and at the fifth fret.
    let mut lesson = over_a_grid("x5777x");
    let found = other_shapes(&lesson);
    assert_eq!(found.iter().map(|finding| finding.severity).collect::<Vec<_>>(), [Severity::Note; 2]);
    let text = found[0].text(&lesson);
    assert!(text.contains("D is played") && text.contains("its grid shows xx0232"), "{text}");
    for finding in found {
        let mut ids = IdSource::new(Seed(1), &lesson);
        let way = remedy(&lesson, &finding, &mut ids).unwrap();
        assert_eq!(way.text, "play it as the grid shows, xx0232");
        lesson.apply_all(way.edits).unwrap();
    }
    assert_eq!(other_shapes(&lesson), []);
    let event = &lesson.passages[0].bars[0].voices[0].0[1];
    let mut frets: Vec<(u8, u8)> = event.notes.iter().map(|note| (note.string.number(), note.fret.number())).collect();
    frets.sort_unstable();
    assert_eq!(frets, [(1, 2), (2, 3), (3, 2), (4, 0)]);
}

#[test]
fn a_part_of_the_chord_another_voicing_and_a_linked_note_are_no_other_shape() {
    // The shape itself; a part of it elsewhere; another D; one string alone.
    for frets in ["xx0232", "x577xx", "x5423x", "x5xxxx"] {
        assert_eq!(other_shapes(&over_a_grid(frets)), [], "{frets}");
    }
    let mut other = over_a_grid("x5777x");
    other.passages[0].bars[0].voices[0].0[0].chord = Some("Am7".to_owned());
    assert_eq!(other_shapes(&other), [], "under another name");
    let mut joined = over_a_grid("x5777x");
    for event in &mut joined.passages[0].bars[0].voices[0].0 {
        event.notes[0].join = Some(Join::Tie);
    }
    assert_eq!(other_shapes(&joined), [], "what is tied stays on its string");
    // Where the name has both shapes, the one that is played is shown.
    let mut both = over_a_grid("x5777x");
    let mut second = both.voicings[0].clone();
    (second.id, second.shape) = (VoicingId(77), shape("x5777x"));
    both.voicings.push(second);
    for segment in both.segments.iter_mut().filter(|segment| !segment.voicings.is_empty()) {
        segment.voicings.push(VoicingId(77));
    }
    assert_eq!(other_shapes(&both), []);
}
