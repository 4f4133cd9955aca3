//! On re-entrant strings nobody hears a bass: a chord over one of its own notes is neither stored nor printed as such.

use std::path::Path;

use fingerpost::lesson::check::{FindingKind, check, choices, remedy};
use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::fresh::{IdSource, Seed};
use fingerpost::store::demos::DEMOS;
use fingerpost::store::lesson_file::parse;
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::HandoutOptions;

use super::bench::Bench;

/// The demo for the ukulele.
fn ukulele() -> Lesson {
    let demo = DEMOS.iter().find(|demo| demo.text.contains("concert ukulele")).unwrap();
    parse(Path::new("demo.lesson.ron"), demo.text.as_bytes()).unwrap().lesson
}

/// The same with an inversion as the name of its first voicing and over its tab, as an older lesson may have it.
fn with_inversions() -> Lesson {
    let mut lesson = ukulele();
    lesson.voicings[0].readings = vec!["C/E".to_owned(), "C/G".to_owned()];
    lesson.passages[0].bars[0].voices[0].0[0].chord = Some("C/E".to_owned());
    lesson
}

fn names_with_slash(lesson: &Lesson) -> Vec<String> {
    let events = lesson.passages.iter().flat_map(|passage| &passage.bars).flat_map(|bar| &bar.voices);
    let over_tab = events.flat_map(|voice| &voice.0).filter_map(|event| event.chord.clone());
    let kept = lesson.voicings.iter().flat_map(|voicing| voicing.readings.clone());
    over_tab.chain(kept).filter(|name| name.contains('/')).collect()
}

#[test]
fn an_inversion_that_is_looked_for_by_name_is_saved_as_the_chord() {
    let mut bench = Bench::on(ukulele(), (120, 36));
    bench.strike("Down F n \"C/E\" Enter");
    assert!(bench.screen().contains("not heard as a bass"), "{}", bench.screen());
    bench.strike("Enter v");
    assert!(bench.notice().starts_with("saved C in"), "{}", bench.notice());
    assert_eq!(names_with_slash(bench.lesson()), [""; 0]);
}

/// A bass that another instrument plays is heard, and named while it is looked at; it is no part of what the ukulele plays.
#[test]
fn a_stated_bass_is_named_in_the_readings_and_not_stored() {
    let mut bench = Bench::on(ukulele(), (120, 36));
    bench.strike("Down F s \"0003\" Enter R b \"E\" Enter");
    assert!(bench.desk().readings.list()[0].reading.symbol.contains("/E"), "{}", bench.screen());
    bench.strike("N");
    assert_eq!(bench.desk().fretboard.names(), ["C"]);
}

#[test]
fn an_inversion_typed_over_the_tab_becomes_the_chord_and_stays_as_words_where_somebody_insists() {
    let mut bench = Bench::on(ukulele(), (120, 36));
    bench.strike("Down P Home n \"C/E\" Enter");
    assert!(bench.screen().contains("the name is C"), "{}", bench.screen());
    assert_eq!(names_with_slash(bench.lesson()), [""; 0]);
    bench.strike("Enter");
    let event = &bench.lesson().passages[0].bars[0].voices[0].0[0];
    assert_eq!(event.chord.as_deref(), Some("C"));
    assert!(event.text.as_deref().unwrap().ends_with(", C/E"), "{:?}", event.text);
}

#[test]
fn a_bass_that_is_no_note_of_the_chord_is_neither_offered_nor_kept_nor_printed() {
    let mut bench = Bench::on(ukulele(), (120, 36));
    bench.strike("Down F s \"2213\" Enter");
    let offered: Vec<String> = bench.desk().readings.list().iter().map(|one| one.reading.symbol.clone()).collect();
    assert!(offered.contains(&"Dm7".to_owned()) && offered.iter().all(|name| !name.contains('/')), "{offered:?}");
    bench.strike("P Home n \"F/D\" Enter");
    assert!(bench.screen().contains("the name is F"), "{}", bench.screen());
    bench.strike("Enter");
    let event = &bench.lesson().passages[0].bars[0].voices[0].0[0];
    assert_eq!(event.chord.as_deref(), Some("F"));
    assert!(event.text.as_deref().unwrap().ends_with(", F/D"), "{:?}", event.text);
    // One that is stored is told of, with the name that has all its notes.
    let mut lesson = ukulele();
    lesson.voicings[0].shape = "2213".parse().unwrap();
    lesson.voicings[0].readings = vec!["F/D".to_owned()];
    let found = check(&lesson).into_iter().find(|one| one.kind == FindingKind::UnheardBass).unwrap();
    assert!(found.text(&lesson).contains("call it Dm7"), "{}", found.text(&lesson));
    let mended = remedy(&lesson, &found, &mut IdSource::new(Seed(1), &lesson)).unwrap();
    let text = handout(&lesson, &HandoutOptions::default()).to_text();
    assert!(!text.contains("F/D"), "{text}");
    lesson.apply_all(mended.edits).unwrap();
    assert_eq!(lesson.voicings[0].readings, ["Dm7"]);
}

#[test]
fn a_name_that_replaces_those_of_a_voicing_says_so() {
    let mut bench = Bench::on(ukulele(), (120, 36));
    bench.strike("Down F s \"0000\" Enter R N F v s \"0003\" Enter s \"0000\" Enter R Down N F v");
    assert!(bench.notice().contains("no longer kept: "), "{}", bench.notice());
}

#[test]
fn an_old_lesson_is_told_of_its_inversions_with_the_better_name() {
    let lesson = with_inversions();
    let found: Vec<_> = check(&lesson).into_iter().filter(|one| one.kind == FindingKind::UnheardBass).collect();
    let texts: Vec<String> = found.iter().map(|one| one.text(&lesson)).collect();
    assert_eq!(texts.len(), 2, "{texts:?}");
    assert!(texts.iter().all(|text| text.contains("call it C")), "{texts:?}");
    let mut mended = lesson.clone();
    for one in &found {
        let ways = choices(&lesson, one);
        let way = ways.last().cloned().or_else(|| remedy(&lesson, one, &mut IdSource::new(Seed(1), &lesson))).unwrap();
        mended.apply_all(way.edits).unwrap();
    }
    assert_eq!(names_with_slash(&mended), [""; 0]);
    assert_eq!(mended.voicings[0].readings, ["C"]);
    let event = &mended.passages[0].bars[0].voices[0].0[0];
    assert!(event.text.as_deref().unwrap().ends_with(", C/E"), "{:?}", event.text);
    assert_eq!(check(&mended), check(&ukulele()));
}

#[test]
fn a_handout_prints_the_chord_in_grids_and_over_the_tab() {
    let text = handout(&with_inversions(), &HandoutOptions::default()).to_text();
    assert!(!text.contains("C/E") && !text.contains("C/G"), "{text}");
    assert_eq!(text, handout(&ukulele(), &HandoutOptions::default()).to_text());
}
