//! What the workbench is measured on: a lesson and a library as large as anybody's, made by rule, in a folder of its own.

use std::path::{Path, PathBuf};

use fingerpost::instrument::tuning::Tuning;
use fingerpost::lesson::document::{Lesson, Recorded, Setup};
use fingerpost::lesson::id::SetupId;
use fingerpost::lesson::time::{Tempo, VideoTime};
use fingerpost::store::folders::Folders;
use fingerpost::store::lesson_file::{Replace, save};
use fingerpost::store::library::{Library, LibraryVoicing};

use crate::shared::large_lesson;

/// Returns a lesson of 500 recorded segments and 2,000 bars with things to find in it: a segment in ten has no
/// title, a passage in fifty a bar that is too long, and the tuning changes ten times without time for it.
pub fn full_lesson() -> Lesson {
    let mut lesson = large_lesson(500, 4);
    let tuning: Tuning = "D2 A2 D3 G3 B3 E4".parse().expect("a tuning");
    let standard = lesson.setups.first().expect("there is one").clone();
    lesson.setups.push(Setup { id: SetupId(2), name: "dropped".to_owned(), tuning, ..standard });
    for (place, segment) in lesson.segments.iter_mut().enumerate() {
        let start = VideoTime(u32::try_from(place).expect("few") * 60_000);
        segment.recorded = Some(Recorded { start, end: None });
        if place % 10 == 3 {
            segment.title.clear();
        }
        segment.setup = (place % 50 == 0).then(|| SetupId(u32::try_from(place / 50 % 2 + 1).expect("small")));
    }
    for (place, passage) in lesson.passages.iter_mut().enumerate() {
        passage.tempo = Tempo::USUAL;
        if place % 50 == 7
            && let Some(bar) = passage.bars.get_mut(2)
            && let Some(voice) = bar.voices.first_mut()
        {
            voice.0.extend_from_within(6..);
        }
    }
    for (place, voicing) in lesson.voicings.iter_mut().enumerate() {
        let fret = |step: usize| (place / step) % 9 + 1;
        voicing.shape = format!("x {} {} {} x x", fret(1), fret(9), fret(81)).parse().expect("a shape");
        voicing.readings = vec![format!("{}7", ["C", "D", "E", "F", "G", "A", "B"][place % 7])];
    }
    lesson
}

/// Returns 10,000 voicings, all different.
pub fn full_library(lesson: &Lesson) -> Vec<LibraryVoicing> {
    let first = lesson.voicings.first().expect("there is one");
    let known = LibraryVoicing::of_lesson(lesson, first, Path::new("bench.lesson.ron")).expect("it has a setup");
    let voicing = |number: usize| {
        let frets = [number % 22, number / 22 % 22, number / 484 % 22].map(|fret| fret.to_string()).join(" ");
        LibraryVoicing {
            name: format!("voicing {number}"),
            shape: format!("x x {frets} x").parse().expect("a shape"),
            readings: vec![["Cmaj7", "Am7", "D7/F#", "G6", "Em9"][number % 5].to_owned()],
            tags: vec![["low", "open", "for thumb"][number % 3].to_owned()],
            ..known.clone()
        }
    };
    (0..10_000).map(voicing).collect()
}

/// Writes lesson and library into `folder`; returns the lesson's file.
pub fn furnish(folder: &Path) -> PathBuf {
    let lesson = full_lesson();
    let path = folder.join("full.lesson.ron");
    save(&path, &lesson, Replace::Anything).expect("saved");
    let voicings = full_library(&lesson);
    // Adding them one by one looks each up among all the others.
    Library::update(&Folders::under(folder), |library| library.voicings.clone_from(&voicings)).expect("saved");
    path
}
