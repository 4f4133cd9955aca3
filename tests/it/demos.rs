//! The demo lessons: they load, they are playable, and their names are the names of what sounds.
//!
//! That the music is right is common practice of the trade, no published source: a bar is as long
//! as its meter, a chord's notes belong to its name, a hammer-on goes up.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use fingerpost::instrument::body::Millimetres;
use fingerpost::instrument::geometry::between;
use fingerpost::instrument::harmonics::NeckPoint;
use fingerpost::instrument::neck::{Fret, Place, Shape};
use fingerpost::instrument::rig::Rig;
use fingerpost::lesson::check::{FindingKind, Severity, check};
use fingerpost::lesson::document::{Lesson, SegmentKind, Setup};
use fingerpost::lesson::id::SetupId;
use fingerpost::lesson::music::{Event, Join, Passage, Stroke, Technique};
use fingerpost::lesson::time::NoteValue;
use fingerpost::store::demos::DEMOS;
use fingerpost::store::lesson_file;
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::HandoutOptions;
use fingerpost::text::charset::Charset;
use fingerpost::text::paper::Paper;
use fingerpost::theory::pitch_set::PitchSet;
use fingerpost::theory::reading::{Context, readings};
use fingerpost::theory::symbol::ChordSymbol;

const FUNK: &str = "funk-rhythm";
const DADGAD: &str = "dadgad-fingerstyle";
const UKULELE: &str = "ukulele-strum";
const ALL: [&str; 3] = [FUNK, DADGAD, UKULELE];

fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-lessons").join(format!("{name}.lesson.ron"))
}

fn load(name: &str) -> Lesson {
    lesson_file::load(&path(name)).unwrap_or_else(|error| panic!("{}", error.report())).lesson
}

fn setup(lesson: &Lesson, id: SetupId) -> &Setup {
    lesson.setups.iter().find(|setup| setup.id == id).unwrap_or_else(|| panic!("setup {id} is not there"))
}

fn rig(lesson: &Lesson, id: SetupId) -> Rig {
    let setup = setup(lesson, id);
    let instrument = lesson.instruments.iter().find(|instrument| instrument.id == setup.instrument).unwrap();
    Rig::new(instrument.body.clone(), setup.tuning.clone(), setup.capo.clone()).unwrap()
}

fn setup_of(lesson: &Lesson, passage: &Passage) -> SetupId {
    let piece = lesson.pieces.iter().find(|piece| Some(piece.id) == passage.piece);
    passage.setup.or_else(|| piece?.setup).unwrap_or_else(|| panic!("{}: no setup", passage.title))
}

fn events(passage: &Passage) -> impl Iterator<Item = &Event> {
    passage.bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0)
}

/// The pitch classes of `shape` as the hand would name them, capo and lowered tuning left out.
fn classes(rig: &Rig, shape: &Shape) -> PitchSet {
    let notes = rig.notes_as_played(shape).unwrap_or_else(|error| panic!("{shape:?}: {error}"));
    notes.into_iter().flatten().fold(PitchSet::EMPTY, |set, note| set.with(note.pitch_class()))
}

/// The shape of the notes of `event` that sound at the fret they are written at.
fn struck(event: &Event, rig: &Rig) -> Shape {
    let silent = |technique: &Technique| matches!(technique, Technique::Dead | Technique::NaturalHarmonic);
    let mut shape = Shape::muted(rig.tuning().strings().len());
    for note in event.notes.iter().filter(|note| !note.techniques.iter().any(silent)) {
        shape.set(note.string, Some(note.fret));
    }
    shape
}

#[track_caller]
fn check_named(name: &str, sounding: PitchSet, place: &str) {
    let symbol: ChordSymbol = name.parse().unwrap_or_else(|error| panic!("{place}: {error}"));
    let foreign = sounding.minus(symbol.pitch_classes());
    let foreign: Vec<u8> = foreign.classes().collect();
    assert!(foreign.is_empty(), "{place}: {name} does not hold the pitch classes {foreign:?}");
}

#[test]
fn saving_a_demo_changes_nothing() {
    for name in ALL {
        let text = std::fs::read_to_string(path(name)).unwrap();
        assert!(lesson_file::to_text(&load(name)).unwrap() == text, "{name} is not laid out as it would be saved");
    }
}

#[test]
fn the_only_thing_left_open_is_one_string_that_the_ear_is_not_sure_of() {
    let found: Vec<(&str, FindingKind, Severity)> = ALL
        .into_iter()
        .flat_map(|name| check(&load(name)).into_iter().map(move |finding| (name, finding.kind, finding.severity)))
        .collect();
    assert_eq!(found, [(FUNK, FindingKind::OpenDoubt, Severity::Warning)]);
}

#[test]
fn each_is_offered_under_the_title_of_its_lesson() {
    assert_eq!(DEMOS.iter().map(|demo| demo.name).collect::<Vec<_>>(), ALL);
    for demo in DEMOS {
        assert_eq!(demo.title, load(demo.name).header.title);
    }
}

#[test]
fn there_is_enough_to_play() {
    let bars: usize = ALL.into_iter().flat_map(|name| load(name).passages).map(|passage| passage.bars.len()).sum();
    assert!(bars >= 56, "{bars} bars");
}

#[test]
fn every_bar_is_as_long_as_its_meter() {
    for name in ALL {
        for passage in load(name).passages {
            let mut meter = passage.meter;
            for (number, bar) in (1..).zip(&passage.bars) {
                meter = bar.meter.unwrap_or(meter);
                assert!(!bar.voices.is_empty(), "{name}, {}, bar {number} is empty", passage.title);
                for voice in &bar.voices {
                    let (got, full) = (voice.ticks(), meter.ticks());
                    let right = if bar.pickup { got < full } else { got == full };
                    assert!(right, "{name}, {}, bar {number}: {} of {}", passage.title, got.0, full.0);
                }
            }
        }
    }
}

#[test]
fn no_bar_is_filler() {
    for name in ALL {
        for passage in load(name).passages {
            for (number, pair) in (1..).zip(passage.bars.windows(2)) {
                assert_ne!(pair[0].voices, pair[1].voices, "{name}, {}, bars {number} and the next", passage.title);
            }
        }
    }
}

#[test]
fn every_kept_reading_names_what_its_shape_sounds() {
    for name in ALL {
        let lesson = load(name);
        for voicing in &lesson.voicings {
            let place = format!("{name}, voicing {}", voicing.id);
            let rig = rig(&lesson, voicing.setup.unwrap());
            assert!(!voicing.readings.is_empty(), "{place} has no name");
            for reading in &voicing.readings {
                check_named(reading, classes(&rig, &voicing.shape), &place);
            }
        }
    }
}

#[test]
fn one_kept_reading_of_every_voicing_is_among_those_found() {
    for name in ALL {
        let lesson = load(name);
        for voicing in &lesson.voicings {
            let rig = rig(&lesson, voicing.setup.unwrap());
            let notes = rig.notes_as_played(&voicing.shape).unwrap();
            let lowest = rig.lowest_is();
            let found: Vec<String> = readings(&notes, &Context { lowest, ..Context::default() })
                .into_iter()
                .map(|reading| reading.symbol)
                .collect();
            let kept = &voicing.readings;
            assert!(
                kept.iter().any(|name| found.contains(name)),
                "{name}, voicing {}: {kept:?}, {found:?}",
                voicing.id
            );
        }
    }
}

#[test]
fn every_struck_chord_belongs_to_the_name_over_it() {
    for name in ALL {
        let lesson = load(name);
        for passage in &lesson.passages {
            let rig = rig(&lesson, setup_of(&lesson, passage));
            for (number, bar) in (1..).zip(&passage.bars) {
                for event in bar.voices.iter().flat_map(|voice| &voice.0) {
                    let Some(chord) = &event.chord else { continue };
                    let place = format!("{name}, {}, bar {number}", passage.title);
                    check_named(chord, classes(&rig, &struck(event, &rig)), &place);
                }
            }
        }
    }
}

#[test]
fn every_harmonic_belongs_to_the_chord_it_rings_in() {
    let mut count = 0;
    for name in ALL {
        let lesson = load(name);
        for passage in &lesson.passages {
            let rig = rig(&lesson, setup_of(&lesson, passage));
            let mut chord = "";
            for event in passage.bars.iter().flat_map(|bar| &bar.voices[0].0) {
                chord = event.chord.as_deref().unwrap_or(chord);
                for (note, technique) in
                    event.notes.iter().flat_map(|note| note.techniques.iter().map(move |t| (note, t)))
                {
                    let point = |fret: Fret| NeckPoint(f64::from(fret.number()));
                    let harmonic = match technique {
                        Technique::NaturalHarmonic => rig.natural_harmonic(note.string, point(note.fret)),
                        Technique::TappedHarmonic(over) => rig.touched_harmonic(note.string, note.fret, point(*over)),
                        _ => continue,
                    };
                    let sounding = harmonic.unwrap().sounding.up(-rig.played_as().semitones()).unwrap();
                    let sounding = PitchSet::EMPTY.with(sounding.pitch_class());
                    check_named(chord, sounding, &format!("{name}, {}, {note:?}", passage.title));
                    count += 1;
                }
            }
        }
    }
    assert!(count >= 40, "{count} harmonics");
}

#[test]
fn a_chord_struck_with_a_voicing_is_that_voicing() {
    for name in ALL {
        let lesson = load(name);
        for passage in &lesson.passages {
            let rig = rig(&lesson, setup_of(&lesson, passage));
            for event in events(passage) {
                let Some(id) = event.voicing else { continue };
                let voicing = lesson.voicings.iter().find(|voicing| voicing.id == id).unwrap();
                let played = struck(event, &rig);
                let place = format!("{name}, {}, voicing {id}: {played:?}", passage.title);
                // Over a voicing's first note a melody may move as it likes; a chord may not.
                if event.notes.len() >= 3 {
                    let mut strings = played.strings().iter().zip(voicing.shape.strings());
                    assert!(strings.all(|(played, held)| played.is_none() || played == held), "{place}");
                }
                assert!(event.chord.as_ref().is_none_or(|chord| voicing.readings.contains(chord)), "{place}");
            }
        }
    }
}

#[test]
fn fingers_lie_on_the_strings_that_are_fretted() {
    for name in ALL {
        for voicing in load(name).voicings {
            if voicing.fingers.is_empty() {
                continue;
            }
            let fretted =
                |fret: &Option<_>| fret.is_some_and(|fret: fingerpost::instrument::neck::Fret| fret.number() > 0);
            let held: Vec<bool> = voicing.shape.strings().iter().map(fretted).collect();
            let fingered: Vec<bool> = voicing.fingers.iter().map(Option::is_some).collect();
            assert_eq!(held, fingered, "{name}, voicing {}", voicing.id);
        }
    }
}

#[test]
fn no_voicing_stretches_a_hand_over_more_than_a_hundred_millimetres() {
    // Four frets from the second one up on a 648 mm scale are 92 mm: an ordinary stretch.
    for name in ALL {
        let lesson = load(name);
        for voicing in &lesson.voicings {
            let rig = rig(&lesson, voicing.setup.unwrap());
            let held = rig.strings().zip(voicing.shape.strings()).filter_map(|(string, fret)| Some((string, (*fret)?)));
            let held = held.filter(|(_, fret)| *fret != Fret::OPEN);
            let wires: Vec<Fret> = held.map(|(string, fret)| rig.wire(Place { string, fret }).unwrap()).collect();
            let (Some(lowest), Some(highest)) = (wires.iter().min(), wires.iter().max()) else { continue };
            let stretch = between(rig.instrument().scale, *lowest, *highest);
            assert!(stretch <= Millimetres(100.0), "{name}, voicing {}: {stretch:?}", voicing.id);
        }
    }
}

#[test]
fn one_bass_note_stays_under_changing_triads() {
    let lesson = load(FUNK);
    let verse = lesson.passages.iter().find(|passage| passage.title.contains("over one bass note")).unwrap();
    let rig = rig(&lesson, setup_of(&lesson, verse));
    let (mut bass, mut chords) = (BTreeSet::new(), BTreeSet::new());
    for bar in &verse.bars[..5] {
        chords.extend(bar.voices[0].0.iter().filter_map(|event| event.chord.as_deref()));
        let notes = bar.voices[1].0.iter().flat_map(|event| &event.notes);
        bass.extend(notes.map(|note| rig.sounding(note.string, note.fret).unwrap().pitch_class().number()));
    }
    assert_eq!(bass, BTreeSet::from([2]), "D, two semitones above C");
    assert!(chords.len() >= 5, "{chords:?}");
}

#[test]
fn the_funk_lesson_shows_what_it_promises() {
    let lesson = load(FUNK);
    assert!(lesson.segments.len() >= 6);
    let setups: BTreeSet<SetupId> = lesson.pieces.iter().filter_map(|piece| piece.setup).collect();
    assert_eq!(setups.len(), 3, "a capo, double drop D, a whole step down");
    assert!(lesson.segments.iter().filter(|segment| segment.kind == SegmentKind::Retuning).count() >= 2);

    let all: Vec<&Event> = lesson.passages.iter().flat_map(events).collect();
    let notes = || all.iter().flat_map(|event| &event.notes);
    let has = |wanted: fn(&Technique) -> bool| notes().any(|note| note.techniques.iter().any(wanted));
    assert!(has(|technique| matches!(technique, Technique::NaturalHarmonic)));
    assert!(has(|technique| matches!(technique, Technique::TappedHarmonic(_))));
    assert!(has(|technique| matches!(technique, Technique::PalmMute)));
    assert!(has(|technique| matches!(technique, Technique::LetRing)));
    for join in [Join::HammerOn, Join::PullOff, Join::Slide, Join::SlideAndPick, Join::Tie] {
        assert!(notes().any(|note| note.join == Some(join)), "{join:?}");
    }
    let muted = |event: &&Event, stroke| {
        let dead = event.notes.iter().all(|note| note.techniques.contains(&Technique::Dead));
        !event.notes.is_empty() && dead && event.length.value() == NoteValue::Sixteenth && event.stroke == Some(stroke)
    };
    assert!(all.iter().any(|event| muted(event, Stroke::Down)) && all.iter().any(|event| muted(event, Stroke::Up)));
    let names: BTreeSet<&str> = lesson.voicings.iter().filter_map(|voicing| voicing.name()).collect();
    for wanted in ["D9", "E9", "A13", "C/D", "G/D", "E7sus4"] {
        assert!(names.contains(wanted), "{wanted}");
    }
}

#[test]
fn handouts_keep_to_the_paper_and_to_ascii_where_asked() {
    for (name, paper) in ALL.into_iter().flat_map(|name| [(name, Paper::A4), (name, Paper::Letter)]) {
        let options = HandoutOptions { paper, charset: Charset::Ascii, ..HandoutOptions::default() };
        for page in handout(&load(name), &options).pages {
            assert!(page.lines.len() <= paper.lines(), "{name}, {paper:?}: {} lines", page.lines.len());
            for line in &page.lines {
                assert!(line.is_ascii() && line.len() <= paper.columns(), "{name}, {paper:?}: {line}");
            }
        }
    }
}

/// The handout of a demo as text, a line of its own between two pages.
fn printed(name: &str) -> String {
    let pages = handout(&load(name), &HandoutOptions::default()).pages;
    let pages: Vec<String> = pages.into_iter().map(|page| page.lines.join("\n")).collect();
    pages.join("\n---------- next page ----------\n")
}

#[test]
fn the_funk_handout() {
    insta::assert_snapshot!(printed(FUNK));
}

#[test]
fn the_dadgad_handout() {
    insta::assert_snapshot!(printed(DADGAD));
}

#[test]
fn the_ukulele_handout() {
    insta::assert_snapshot!(printed(UKULELE));
}
