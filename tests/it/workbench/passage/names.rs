//! Chord names and tab: from the notes to the fretboard and back, readings to choose from, names for bars that have none.
//!
//! That 3 2 0 0 0 3 is G and so on is common practice.

use fingerpost::instrument::neck::{Fret, Shape, StringNumber};
use fingerpost::lesson::document::ChordNames;
use fingerpost::lesson::id::SetupId;
use fingerpost::lesson::music::{Bar, Note, Technique, Voice};

use super::*;

/// Returns an event that strums a shape.
fn strum(length: &str, frets: &str) -> Event {
    let shape: Shape = frets.parse().unwrap();
    let count = shape.strings().len();
    let strings = shape.strings().iter().enumerate();
    let note = |(index, fret): (usize, &Option<Fret>)| Some(Note::plain(StringNumber::at(index, count)?, (*fret)?));
    let mut notes: Vec<Note> = strings.filter_map(note).collect();
    notes.sort_by_key(|note| note.string);
    Event::notes(length.parse().unwrap(), notes)
}

fn bar(events: Vec<Event>) -> Bar {
    Bar { voices: vec![Voice(events)], ..Bar::default() }
}

/// The small lesson with these bars in its passage, which is in focus.
fn on_bars(bars: Vec<Bar>) -> Bench {
    let mut lesson = small_lesson();
    lesson.passages[0].bars = bars;
    let mut bench = Bench::on(lesson, (120, 36));
    bench.strike("Down P");
    bench
}

fn chords(bench: &Bench) -> Vec<Option<&str>> {
    let bars = passage(bench).bars.iter();
    bars.flat_map(|bar| &bar.voices[0].0).map(|event| event.chord.as_deref()).collect()
}

fn shape_on_fretboard(bench: &Bench) -> String {
    bench.desk().fretboard.grip().shape.compact()
}

#[test]
fn a_chord_of_the_tab_goes_to_the_fretboard_and_its_name_comes_back() {
    let mut bench = on_bars(vec![bar(vec![strum("1/2", "x32010"), strum("1/2", "320003")])]);
    bench.strike("Right Ctrl+G");
    assert_eq!((bench.desk().focus, shape_on_fretboard(&bench)), (Focus::Fretboard, "320003".to_owned()));
    assert!(bench.notice().starts_with("320003 from bar 1 is here"), "{}", bench.notice());
    bench.strike("R Ctrl+G");
    assert_eq!((bench.desk().focus, chords(&bench)), (Focus::Passage, vec![None, Some("G")]));
    assert_eq!(bench.desk().passage.cursor().1, 2, "the cursor is back at the note");
    assert_eq!(bench.replayed, *bench.lesson());
    bench.strike("u");
    assert_eq!(chords(&bench), [None, None]);
}

#[test]
fn a_reading_that_is_kept_goes_back_and_not_the_selected_one() {
    let mut bench = on_bars(vec![bar(vec![strum("1/1", "x02010")])]);
    bench.strike("Ctrl+G R");
    let names: Vec<String> =
        bench.desk().readings.list().iter().map(|named| named.reading.symbol.clone()).take(2).collect();
    bench.strike("Down N F Ctrl+G");
    assert_eq!(chords(&bench), [Some(names[1].as_str())], "{names:?}");
}

#[test]
fn a_name_that_went_back_to_the_tab_takes_the_place_of_the_one_that_was_kept() {
    let mut bench = on_bars(vec![bar(vec![strum("1/1", "x02010")])]);
    bench.strike("Ctrl+G R");
    let names: Vec<String> =
        bench.desk().readings.list().iter().map(|named| named.reading.symbol.clone()).take(2).collect();
    bench.strike("N");
    assert_eq!(bench.desk().fretboard.names(), [names[0].as_str()]);
    bench.strike("Down Ctrl+G");
    assert_eq!(chords(&bench), [Some(names[1].as_str())]);
    assert_eq!(bench.desk().fretboard.names(), [names[1].as_str()], "the tab says otherwise now");
    bench.strike("F Ctrl+G");
    assert!(bench.notice().ends_with("already"), "{}", bench.notice());
    bench.strike("u");
    assert_eq!((chords(&bench), bench.desk().fretboard.names()), (vec![None], &[names[0].clone()][..]));
}

#[test]
fn what_lay_on_the_fretboard_comes_back_by_undo() {
    let mut bench = on_bars(vec![bar(vec![strum("1/1", "320003")])]);
    bench.strike("F s \"x02220\" Enter P Ctrl+G");
    assert!(bench.notice().ends_with("u undoes"), "{}", bench.notice());
    bench.strike("u");
    assert_eq!(shape_on_fretboard(&bench), "x02220");
    bench.strike("U");
    assert_eq!(shape_on_fretboard(&bench), "320003");
}

#[test]
fn where_nothing_is_struck_what_rings_on_is_taken() {
    let mut ringing = strum("1/2", "x32010");
    ringing.notes.iter_mut().for_each(|note| note.techniques = vec![Technique::LetRing]);
    let rest = Event::rest("1/2".parse().unwrap());
    let mut bench = on_bars(vec![bar(vec![ringing, rest.clone()]), bar(vec![rest])]);
    bench.strike("Right Ctrl+G");
    assert_eq!(shape_on_fretboard(&bench), "x32010");
    bench.strike("P ] Ctrl+G");
    assert!(bench.notice().starts_with("nothing is fretted here"), "{}", bench.notice());
}

/// Returns a note on a string, as the shape has it.
fn picked(length: &str, frets: &str, string: u8, techniques: &[Technique]) -> Event {
    let mut event = strum(length, frets);
    event.notes.retain(|note| note.string.number() == string);
    event.notes.iter_mut().for_each(|note| note.techniques = techniques.to_vec());
    event
}

#[test]
fn a_broken_chord_that_rings_is_taken_whole() {
    let arpeggio = |frets| {
        let strings = [5, 4, 3, 2, 1, 2, 3, 4];
        bar(strings.map(|string| picked("1/8", frets, string, &[Technique::LetRing])).into())
    };
    let mut bench = on_bars(vec![arpeggio("x32010"), arpeggio("x02210")]);
    for (keys, shape) in [
        ("Ctrl+G", "x3xxxx"),
        ("P Right Right Ctrl+G", "x320xx"),
        ("P Right Right Ctrl+G", "x32010"),
        ("P Right Right Right Ctrl+G", "x32010"),
        // Nothing rings into the next bar.
        ("P ] Ctrl+G", "x0xxxx"),
    ] {
        bench.strike(keys);
        assert_eq!(shape_on_fretboard(&bench), shape, "{keys}");
    }
    bench.strike("P [ Right Right Right Right n");
    assert!(bench.screen().contains(" C "), "{}", bench.screen());
}

#[test]
fn without_let_ring_a_broken_chord_is_one_note_at_a_time() {
    let events = [5, 4, 3, 2].map(|string| picked("1/4", "x32010", string, &[]));
    let mut bench = on_bars(vec![bar(events.into())]);
    bench.strike("Right Right Ctrl+G");
    assert_eq!(shape_on_fretboard(&bench), "xxx0xx");
}

#[test]
fn a_chord_that_the_other_voice_holds_is_taken_with_the_melody_over_it() {
    let mut melody: Vec<Event> = [0, 3, 0].map(|fret| picked("1/4", &format!("xxxxx{fret}"), 1, &[])).into();
    melody.push(picked("1/4", "xxx5xx", 3, &[Technique::Dead]));
    let chord = |length, frets| strum(length, frets);
    let voices = vec![Voice(melody), Voice(vec![chord("1/2", "x3201x"), chord("1/2", "x0221x")])];
    let mut bench = on_bars(vec![Bar { voices, ..Bar::default() }]);
    // The dead note stops its string.
    for (keys, shape) in [("Right Ctrl+G", "x32013"), ("P Right Ctrl+G", "x02210"), ("P Right Ctrl+G", "x02x1x")] {
        bench.strike(keys);
        assert_eq!(shape_on_fretboard(&bench), shape, "{keys}");
    }
    bench.strike("P Left O Ctrl+G");
    assert_eq!(shape_on_fretboard(&bench), "x02210", "from the chord itself");
}

#[test]
fn the_strings_of_the_passage_come_along_and_stay_as_long_as_its_chord_lies_there() {
    let mut bench = on_bars(vec![bar(vec![strum("1/1", "320003")])]);
    let mut lesson = bench.lesson().clone();
    lesson.passages[0].setup = Some(SetupId(2));
    lesson.segments[1].setup = Some(SetupId(1));
    bench.open(lesson);
    bench.strike("Home Down P Ctrl+G");
    let capo = |bench: &Bench| bench.desk().fretboard.rig().capo().map(|capo| capo.fret.number());
    assert_eq!(capo(&bench), Some(2));
    // Named as the hand plays it, which is how this lesson names its chords.
    bench.strike("Ctrl+G");
    assert_eq!(chords(&bench), [Some("G")]);
    bench.strike("F s \"x32010\" Enter");
    assert_eq!(capo(&bench), None, "other fingers lie on the strings of the segment");
    bench.strike("Ctrl+G");
    assert!(bench.notice().starts_with("these fingers did not come from the passage"), "{}", bench.notice());
}

#[test]
fn a_name_does_not_go_back_over_other_notes() {
    let mut bench = on_bars(vec![bar(vec![strum("1/1", "320003")])]);
    bench.strike("Ctrl+G P 5 F Ctrl+G");
    assert!(bench.notice().starts_with("the notes there have changed"), "{}", bench.notice());
    assert_eq!(chords(&bench), [None]);
}

#[test]
fn readings_are_offered_where_a_name_is_typed() {
    let mut bench = on_bars(vec![bar(vec![strum("1/1", "x02010")])]);
    bench.strike("n");
    let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("no box") };
    // The tones are A C E G.
    assert_eq!(entry.offers.first().map(String::as_str), Some("Am7"));
    assert!(entry.offers.iter().any(|offer| offer == "C6/A"), "{:?}", entry.offers);
    assert!(bench.screen().contains("▸ Am7"), "the first is chosen from the start: {}", bench.screen());
    let second = entry.offers.get(1).cloned();
    let mut other = bench.clone();
    other.strike("Down Enter");
    assert_eq!(chords(&other), [second.as_deref()]);
    bench.strike("Enter");
    assert_eq!(chords(&bench), [Some("Am7")]);
    // A letter replaces what was chosen.
    bench.strike("n Down \"Am\" Enter");
    assert_eq!(chords(&bench), [Some("Am")]);
    // Above the first stands what the line began with.
    bench.strike("n Down Up Enter");
    assert_eq!(chords(&bench), [Some("Am")]);
}

#[test]
fn nothing_is_offered_over_a_single_note() {
    let mut bench = on_bars(vec![bar(vec![strum("1/2", "xxx5xx"), strum("1/2", "xxx7xx")])]);
    bench.strike("n Down \"D\" Enter");
    assert_eq!(chords(&bench), [Some("D"), None]);
}

#[test]
fn a_name_over_an_empty_bar_stands_over_a_rest_until_notes_come() {
    let mut bench = on_bars(vec![Bar::default()]);
    bench.strike("n \"Am\" Enter");
    assert_eq!(chords(&bench), [Some("Am")]);
    assert!(bench.notice().starts_with("Am is over a rest"), "{}", bench.notice());
    bench.strike("5");
    assert_eq!((frets(passage(&bench), 0).as_str(), chords(&bench)), ("1/5", vec![Some("Am")]));
}

/// Four bars: two chords in the first, one with a name, a line, and a chord that goes on from the bar before it.
fn without_names() -> Vec<Bar> {
    let mut named = strum("1/1", "x02210");
    named.chord = Some("Am".to_owned());
    let line = (0..4).map(|step| strum("1/4", ["x0xxxx", "x2xxxx", "x3xxxx", "xx0xxx"][step])).collect();
    vec![
        bar(vec![strum("1/2", "x32010"), strum("1/4", "320003"), strum("1/4", "320003")]),
        bar(vec![named]),
        bar(line),
        bar(vec![strum("1/1", "x02210")]),
        bar(vec![strum("1/1", "133211")]),
        bar(vec![strum("1/1", "133211")]),
    ]
}

#[test]
fn bars_without_names_are_gone_through_with_a_key_each() {
    let mut bench = on_bars(without_names());
    let before = bench.lesson().clone();
    bench.strike("N");
    assert!(bench.screen().contains("Chord names, 3 to go"), "{}", bench.screen());
    assert_eq!(*bench.lesson(), before, "nothing is written before it is taken");
    // The first is taken, the second skipped, the third taken.
    bench.strike("Enter");
    bench.strike("\"s\" Enter Enter");
    let names = [Some("C"), None, None, Some("Am"), None, None, None, None, None, Some("F"), None];
    assert_eq!(chords(&bench), names);
    // One undo each.
    bench.strike("u");
    assert_eq!(chords(&bench)[9], None);
    assert_eq!(chords(&bench)[0], Some("C"));
    assert_eq!(bench.replayed, *bench.lesson());
}

#[test]
fn the_rest_is_taken_in_one_step_and_undone_in_one() {
    let mut bench = on_bars(without_names());
    let before = bench.lesson().clone();
    bench.strike("N \"t\" Enter");
    assert_eq!(bench.notice(), "3 names written; u undoes them all");
    let names = [Some("C"), Some("G"), None, Some("Am"), None, None, None, None, None, Some("F"), None];
    assert_eq!(chords(&bench), names);
    bench.strike("u");
    assert_eq!(*bench.lesson(), before);
    // What has names is not asked about again.
    bench.strike("U N");
    assert!(bench.notice().starts_with("every bar with chords has a name"), "{}", bench.notice());
}

#[test]
fn a_name_that_the_notes_contradict_is_fixed_from_the_list_of_problems() {
    let mut wrong = strum("1/1", "320003");
    wrong.chord = Some("A".to_owned());
    let mut bench = on_bars(vec![bar(vec![wrong])]);
    bench.strike("w");
    assert!(bench.screen().contains("the name A stands here, but G, B and D sound under it"), "{}", bench.screen());
    bench.strike("W");
    assert_eq!(chords(&bench), [Some("G")]);
}

#[test]
fn whoever_goes_to_the_fretboard_and_back_changes_nothing() {
    let mut named = strum("1/1", "xx5555");
    named.chord = Some("Am7".to_owned());
    let mut bench = on_bars(vec![bar(vec![named])]);
    let (before, undoable) = (bench.lesson().clone(), bench.desk().undoable());
    for there_and_back in ["Ctrl+G Ctrl+G", "Ctrl+G R Ctrl+G"] {
        bench.strike(there_and_back);
        assert_eq!((chords(&bench), bench.desk().focus), (vec![Some("Am7")], Focus::Passage), "{there_and_back}");
        assert_eq!(bench.notice(), "Am7 is over these notes in bar 1 already");
    }
    assert_eq!(*bench.lesson(), before);
    bench.strike("Ctrl+G");
    assert_eq!(bench.desk().fretboard.names(), ["Am7"]);
    // The fingers are on the fretboard, which undo knows; the lesson is as it was.
    assert!(bench.desk().undoable() <= undoable + 1, "{}", bench.desk().undoable());
}

#[test]
fn a_name_as_it_sounds_comes_back_as_it_was_written() {
    let mut named = strum("1/1", "x02210");
    named.chord = Some("Bm".to_owned());
    let mut bench = on_bars(vec![bar(vec![named])]);
    let mut lesson = bench.lesson().clone();
    lesson.header.chord_names = ChordNames::SoundsAs;
    lesson.passages[0].setup = Some(SetupId(2));
    bench.open(lesson);
    bench.strike("Home Down P Ctrl+G");
    assert_eq!(bench.desk().fretboard.names(), ["Am"], "a capo lies at fret 2");
    bench.strike("Ctrl+G");
    assert_eq!(chords(&bench), [Some("Bm")]);
}

#[test]
fn strummed_power_chords_are_named_and_riffs_are_not() {
    let mut bench = on_bars(vec![
        bar(vec![strum("1/2", "x577xx"), strum("1/2", "x799xx")]),
        bar(vec![strum("1/2", "x57xxx"), strum("1/2", "x79xxx")]),
    ]);
    bench.strike("N");
    assert!(bench.screen().contains("Chord names, 2 to go"), "{}", bench.screen());
    assert!(bench.screen().contains("use the best name here and at the next place"), "{}", bench.screen());
    bench.strike("\"take\" Enter");
    assert_eq!(chords(&bench), [Some("D5"), Some("E5"), None, None]);
    bench.strike("N");
    assert_eq!(bench.notice(), "every bar with chords has a name; single notes and riffs are left alone");
    // A power chord goes on with the chord over the same root.
    let mut named = strum("1/1", "xx0231");
    named.chord = Some("Dm".to_owned());
    let mut bench = on_bars(vec![bar(vec![named]), bar(vec![strum("1/1", "x577xx")])]);
    bench.strike("N");
    assert!(bench.state.overlay.is_none());
}

#[test]
fn behind_the_last_note_nothing_can_be_named() {
    let mut bench = on_bars(vec![bar(vec![strum("1/1", "x32010")])]);
    let before = bench.lesson().clone();
    for key in ["n", "'"] {
        bench.strike(&format!("End Right {key}"));
        assert!(bench.state.overlay.is_none());
        assert!(bench.notice().starts_with("no note or rest here to write it over"), "{}", bench.notice());
    }
    assert_eq!(*bench.lesson(), before);
}
