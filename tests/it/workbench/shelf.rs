//! The library as grids, its tags, its duplicates, and where a voicing was taught.

use fingerpost::instrument::catalogue::setup_from_text;
use fingerpost::instrument::rig::Rig;
use fingerpost::lesson::document::Lesson;
use fingerpost::store::library::{Library, LibraryChange, LibraryVoicing, TaughtIn};
use fingerpost::theory::pitch::NoteName;
use fingerpost::theory::pitch_set::PitchSet;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::library::item::LibraryItem;
use fingerpost::workbench::messages::message::{Message, Mouse};
use ratatui::layout::Position;

use super::bench::{Bench, small_lesson};

fn voicing(name: &str, shape: &str) -> LibraryVoicing {
    let lesson = small_lesson();
    let path = std::path::Path::new("/lessons/other.lesson.ron");
    let known = LibraryVoicing::of_lesson(&lesson, &lesson.voicings[0], path).unwrap();
    let taught_in = vec![TaughtIn { lesson: format!("Lesson of {name}"), path: format!("/lessons/{name}.lesson.ron") }];
    LibraryVoicing { name: name.into(), shape: shape.parse().unwrap(), readings: vec![name.into()], taught_in, ..known }
}

/// A workbench whose library holds these, with the library in focus.
fn shelf(voicings: Vec<LibraryVoicing>, size: (u16, u16)) -> Bench {
    shelf_beside(small_lesson(), voicings, size)
}

fn shelf_beside(lesson: Lesson, voicings: Vec<LibraryVoicing>, size: (u16, u16)) -> Bench {
    let mut bench = Bench::on(lesson, size);
    let mut library = Library::default();
    library.voicings = voicings;
    let items = library.voicings.iter().cloned().map(LibraryItem::from).collect::<Vec<LibraryItem>>();
    bench.library = library;
    bench.send(Message::LibraryChanged(Ok(items.into())));
    bench.strike("L Home");
    bench
}

#[test]
fn the_selected_voicing_is_said_in_full_where_the_list_leaves_lines_free() {
    let title = "Three towns, three tunings and one long way home along the river";
    for size in [(100, 30), (120, 36), (200, 50)] {
        let mut known = voicing("D", "xx0232");
        known.taught_in[0].lesson = title.to_owned();
        let bench = shelf(vec![known, voicing("G", "320003")], size);
        let pane = bench.pane(Focus::Library);
        let flat = pane.split_whitespace().collect::<Vec<&str>>().join(" ");
        assert!(flat.contains(title), "{size:?}\n{pane}");
    }
}

#[test]
fn what_only_the_open_lesson_has_is_not_said_to_be_taught_in_it() {
    let bench = shelf(Vec::new(), (200, 50));
    let title = small_lesson().header.title;
    assert!(!bench.pane(Focus::Library).contains(&title), "{}", bench.pane(Focus::Library));
}

#[test]
fn duplicates_become_one_under_all_their_names_and_undo_parts_them_again() {
    let before =
        vec![voicing("C6", "x32210"), voicing("G", "320003"), voicing("Am7", "x32210"), voicing("D", "xx0232")];
    let mut bench = shelf(before.clone(), (100, 30));
    bench.strike("j");
    assert_eq!(bench.notice(), "2 voicings became 1; u undoes");
    let names: Vec<&str> = bench.library.voicings.iter().map(|voicing| voicing.name.as_str()).collect();
    assert_eq!(names, ["C6, Am7", "G", "D"]);
    assert_eq!(bench.library.voicings[0].taught_in.len(), 2);
    bench.strike("u");
    assert_eq!(bench.library.voicings, before);
    assert_eq!(bench.notice(), "undone: voicings joined");
    bench.strike("U");
    assert_eq!(bench.library.voicings.len(), 3);
    bench.strike("j");
    assert!(bench.notice().starts_with("no two voicings"));
}

#[test]
fn joining_and_its_inverse_cancel_whatever_is_doubled() {
    let shapes = ["x32010", "x02210", "320003"];
    for pattern in 0..81 {
        let shape = |digit: usize| shapes[(pattern / 3usize.pow(u32::try_from(digit).unwrap())) % 3];
        let mut library = Library::default();
        library.voicings = (0..4).map(|digit| voicing(&format!("v{digit}"), shape(digit))).collect();
        let before = library.clone();
        let Some(change) = LibraryChange::joining_duplicates(&library.voicings) else { continue };
        library.change(&change);
        for (place, voicing) in library.voicings.iter().enumerate() {
            assert!(library.voicings.iter().skip(place + 1).all(|other| !other.is_same_place(voicing)));
        }
        library.change(&change.inverse());
        assert_eq!(library, before, "pattern {pattern}");
    }
}

#[test]
fn tags_are_edited_in_the_library_and_in_the_lesson_as_one_step() {
    let lesson = small_lesson();
    let path = std::path::Path::new("/lessons/workbench.lesson.ron");
    let first = LibraryVoicing::of_lesson(&lesson, &lesson.voicings[0], path).unwrap();
    let mut bench = shelf(vec![first.clone()], (100, 30));
    bench.strike("e Ctrl+U \"open, kitchen , open\" Enter");
    assert_eq!(bench.library.voicings[0].tags, ["open", "kitchen"]);
    assert_eq!(bench.lesson().voicings[0].tags, ["open", "kitchen"]);
    bench.strike("f \"kitchen\"");
    assert_eq!(bench.desk().library.found_count(), 1);
    bench.strike("Esc u");
    assert_eq!(bench.library.voicings, [first]);
    assert_eq!(*bench.lesson(), lesson);
    assert_eq!(bench.notice(), "undone: tags");
    bench.strike("e Enter");
    assert_eq!(*bench.lesson(), lesson, "the same tags are no change");
}

#[test]
fn where_a_voicing_was_taught_is_shown_and_leads_to_the_segment_that_shows_it() {
    let mut bench = Bench::small((100, 30));
    let lesson = bench.lesson().clone();
    let shown = lesson.segments.iter().find(|segment| !segment.voicings.is_empty()).unwrap();
    let own = lesson.voicing(shown.voicings[0]).unwrap();
    bench.strike("L");
    while bench.desk().library.selected().unwrap().voicing.shape != own.shape {
        bench.strike("Down");
    }
    bench.strike("v");
    let Some(Overlay::List(list)) = &bench.state.overlay else { panic!("no list") };
    let heads: Vec<&str> = list.lines.iter().map(|line| line.head.as_str()).collect();
    assert!(heads.contains(&"taught in") && heads.contains(&"shown here in"), "{heads:?}");
    let steps = heads.iter().position(|head| *head == "shown here in").unwrap();
    (0..steps).for_each(|_| _ = bench.strike("Down"));
    bench.strike("Enter");
    assert_eq!(bench.desk().timeline.selected(), Some(shown.id));
}

#[test]
fn grids_take_all_the_room_and_arrows_move_through_them() {
    let many: Vec<LibraryVoicing> =
        (1..=30u32).map(|fret| voicing(&format!("v{fret}"), &format!("x x {fret} {fret} {fret} x"))).collect();
    let mut bench = shelf(many, (80, 24));
    bench.strike("z");
    let left = |line: &str| line.chars().take(36).collect::<String>().trim_end().to_owned();
    let corner: Vec<String> = bench.pane(Focus::Library).lines().take(8).map(left).collect();
    insta::assert_snapshot!(corner.join("\n"), @r"
    ▸Voicings ──────────────────────────
    ▸✓       v1       ✓       v2       ✓
         x x       x      x x       x
         ╒═╤═╤═╤═╤═╕      ╒═╤═╤═╤═╤═╕
         │ │ ● ● ● │      │ │ │ │ │ │
         ├─┼─┼─┼─┼─┤      ├─┼─┼─┼─┼─┤
         │ │ │ │ │ │      │ │ ● ● ● │
         ├─┼─┼─┼─┼─┤      ├─┼─┼─┼─┼─┤
    ");
    let name = |bench: &Bench| bench.desk().library.selected().unwrap().name();
    bench.strike("Right Down");
    assert_eq!(name(&bench), "v6");
    bench.strike("Up Left");
    assert_eq!(name(&bench), "v1");
    bench.strike("End");
    assert!(bench.pane(Focus::Library).contains(&name(&bench)), "{}", bench.screen());
    bench.strike("Home PageDown");
    assert_eq!(name(&bench), "v5");
    let area = bench.state.layout().unwrap().pane(Focus::Library).area;
    bench.send(Message::Mouse(Mouse::Click(Position { x: area.x + 20, y: area.y + 4 })));
    assert!(["v2", "v6"].contains(&name(&bench).as_str()), "{}", name(&bench));
    bench.strike("z");
    assert!(bench.pane(Focus::Library).contains("x x 1 1 1 x"));
    // With the keys in another pane all panes are on the screen again.
    bench.resize(100, 30);
    bench.strike("z T");
    assert!(bench.screen().contains("Readings"));
}

#[test]
fn every_grid_in_view_is_whole_where_there_is_room_for_one() {
    let spans = [1, 5, 3, 8, 2, 7, 4, 6];
    let many: Vec<LibraryVoicing> =
        spans.iter().map(|last| voicing(&format!("to {last}"), &format!("x x 1 {last} x x"))).collect();
    let mut bench = shelf(many, (60, 30));
    bench.strike("z Home");
    for _ in spans {
        let name = bench.desk().library.selected().unwrap().name();
        let screen = bench.pane(Focus::Library);
        let top = screen.lines().position(|line| line.contains(&name)).unwrap();
        assert!(screen.lines().skip(top).any(|line| line.contains('└') || line.contains('┴')), "{name}\n{screen}");
        bench.strike("Right");
    }
}

#[test]
fn a_voicing_goes_into_the_tab_as_a_chord_under_the_cursor() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down L f \"Am\" Enter I");
    assert!(bench.notice().contains("is now in bar 1"), "{}", bench.notice());
    let event = bench.lesson().passages[0].bars[0].voices[0].0[0].clone();
    let frets: Vec<(u8, u8)> = event.notes.iter().map(|note| (note.string.number(), note.fret.number())).collect();
    assert_eq!(frets, [(1, 0), (2, 1), (3, 2), (4, 2), (5, 0)]);
    assert_eq!(event.chord.as_deref(), Some("Am"));
    let voicing = event.voicing.unwrap();
    let segment = bench.lesson().segments[1].clone();
    assert!(segment.voicings.contains(&voicing));
    // Both are one step.
    bench.strike("u");
    assert_eq!(bench.lesson(), &super::bench::small_lesson());
    // Behind the last event it becomes a new one; where no music is shown there is nowhere to put it.
    bench.strike("U P End L I");
    assert!(bench.notice().contains(" now"), "{}", bench.notice());
    bench.strike("T Home L I");
    assert!(bench.notice().contains("plays no passage"), "{}", bench.notice());
}

/// The tones of what lies on the fretboard.
fn tones(bench: &Bench) -> PitchSet {
    let fretboard = &bench.desk().fretboard;
    let notes = fretboard.rig().notes(&fretboard.grip().shape).unwrap();
    notes.iter().flatten().fold(PitchSet::EMPTY, |set, note| set.with(note.pitch_class()))
}

#[test]
fn a_voicing_of_another_tuning_is_found_anew_where_every_string_sounds_as_it_did() {
    let mut lesson = small_lesson();
    lesson.setups[1].capo = None;
    lesson.setups[1].tuning = "D2 A2 D3 G3 B3 E4".parse().unwrap();
    let mut bench = shelf_beside(lesson, vec![voicing("G", "3x0003")], (100, 30));
    bench.strike("T Down Down L Enter");
    assert!(bench.notice().contains("sounds different in"), "{}", bench.notice());
    bench.strike("L E");
    // A string a whole step lower is stopped two frets higher.
    assert_eq!(bench.desk().fretboard.grip().shape.to_string(), "5 x 0 0 0 3");
    assert_eq!(bench.desk().fretboard.names(), ["G"]);
    assert!(bench.notice().ends_with("every string sounds as it did"), "{}", bench.notice());
    assert_eq!(bench.desk().focus, Focus::Fretboard);
    bench.strike("u");
    assert_eq!(bench.desk().fretboard.grip().shape.to_string(), "3 x 0 0 0 3");
}

#[test]
fn a_voicing_carried_over_to_a_capo_is_named_as_it_is_played_there() {
    let mut bench = shelf(vec![voicing("D", "xx0232")], (100, 30));
    let d_major = "D F# A".split(' ').map(|name| name.parse::<NoteName>().unwrap().pitch_class());
    let d_major = d_major.fold(PitchSet::EMPTY, PitchSet::with);
    bench.strike("T Down Down L E");
    // A C shape behind a capo at the second fret sounds D.
    assert_eq!(bench.desk().fretboard.names(), ["C"]);
    assert_eq!(tones(&bench), d_major);
    assert!(bench.notice().starts_with("D of standard is "), "{}", bench.notice());

    // An instrument with other strings, too.
    let (instrument, tuning) = setup_from_text(Some("ukulele"), None).unwrap();
    let lesson = Lesson::blank(
        fingerpost::store::random::lesson_id(),
        "Small strings",
        &Rig::new(instrument, tuning, None).unwrap(),
    );
    let mut bench = shelf_beside(lesson, vec![voicing("D", "xx0232")], (100, 30));
    bench.strike("E");
    assert_eq!(tones(&bench), d_major);
    assert_eq!(bench.desk().fretboard.names(), ["D"]);
}

#[test]
fn where_the_tab_refuses_a_chord_the_segment_does_not_get_its_voicing_either() {
    // As a file edited by hand may have it: nobody can say which of the two passages the bar is of.
    let mut lesson = small_lesson();
    lesson.passages.push(lesson.passages[0].clone());
    let mut bench = Bench::on(lesson.clone(), (100, 30));
    bench.strike("Down L f \"Am\" Enter I");
    let twins = "cannot be told apart: fix that first, in the list of problems";
    assert!(bench.notice().ends_with(twins), "{}", bench.notice());
    assert_eq!(bench.lesson(), &lesson);
    assert_eq!(bench.replayed, lesson);
    bench.strike("u");
    assert_eq!(bench.notice(), "nothing to undo");
}

#[test]
fn a_chord_in_a_new_bar_behind_what_the_segment_plays_belongs_to_it() {
    use fingerpost::lesson::document::BarRange;
    let mut lesson = small_lesson();
    lesson.segments[1].passages[0].bars = Some(BarRange { first: 2, last: 2 });
    let mut bench = Bench::on(lesson.clone(), (100, 30));
    bench.strike("Down P End L f \"Am\" Enter I");
    let segment = &bench.lesson().segments[1];
    assert_eq!(bench.lesson().passages[0].bars.len(), 3);
    assert_eq!(segment.passages[0].bars, Some(BarRange { first: 2, last: 3 }));
    assert_eq!(segment.voicings.len(), 3);
    assert_eq!(bench.replayed, *bench.lesson());
    bench.strike("u");
    assert_eq!(bench.lesson(), &lesson);
}

#[test]
fn what_a_chord_replaces_in_the_tab_is_said() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down L f \"Am\" Enter I");
    assert!(bench.notice().ends_with("is now in bar 1; u undoes"), "{}", bench.notice());
    bench.strike("P End L I");
    assert!(bench.notice().ends_with("is now in bar 3"), "{}", bench.notice());
}

#[test]
fn voicings_of_the_open_lesson_follow_its_title() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Ctrl+T Ctrl+U \"Other porch\" Enter L Home");
    let selected = bench.desk().library.selected().unwrap();
    assert_eq!(selected.voicing.taught_in[0].lesson, "Other porch");
}

/// The names in the list, from the top.
fn names(bench: &mut Bench) -> Vec<String> {
    let mut names = Vec::new();
    bench.strike("Home");
    for _ in 0..bench.desk().library.found_count() {
        names.push(bench.desk().library.selected().unwrap().name());
        bench.strike("Down");
    }
    names
}

#[test]
fn each_voicing_is_told_with_the_open_shape_that_it_comes_from() {
    let bench = shelf(vec![voicing("C#", "x46664"), voicing("Bb7", "6x676x"), voicing("G", "320003")], (200, 50));
    let pane = bench.pane(Focus::Library);
    let line = |shape: &str| pane.lines().find(|line| line.contains(shape)).unwrap().to_owned();
    assert!(line("x 4 6 6 6 4").contains("A shape at fret 4"), "{pane}");
    assert!(!line("6 x 6 7 6 x").contains("shape") && !line("3 2 0 0 0 3").contains("shape"), "{pane}");
    let mut bench = bench;
    bench.strike("v");
    let shown = bench.screen();
    assert!(shown.contains("open shape") && shown.contains("A shape at fret 4"), "{shown}");
}

#[test]
fn voicings_are_found_by_their_open_shape_and_by_no_other() {
    let known = vec![voicing("C#", "x46664"), voicing("F", "133211"), voicing("Gm", "355333"), voicing("Bb", "x13331")];
    for (typed, expected) in [
        ("e shape", &["F", "Gm"][..]),
        ("E shape", &["F", "Gm"]),
        ("Em shape", &["Gm"]),
        ("A shape", &["C#", "Bb"]),
        ("A shape fret 4", &["C#"]),
        ("d shape", &[]),
        ("shape", &["C#", "F", "Gm", "Bb"]),
    ] {
        let mut bench = shelf_beside(without_voicings(), known.clone(), (120, 40));
        bench.strike(&format!("f \"{typed}\" Enter"));
        assert_eq!(names(&mut bench), expected, "{typed}");
    }
}

#[test]
fn voicings_are_sorted_by_open_shape_and_back_with_the_same_one_selected() {
    let known = vec![
        voicing("F", "133211"),
        voicing("shell", "3x34xx"),
        voicing("C#", "x46664"),
        voicing("E", "022100"),
        voicing("Bb", "x13331"),
    ];
    let mut bench = shelf_beside(without_voicings(), known, (120, 40));
    let saved = names(&mut bench);
    bench.strike("Home Down Down o");
    assert_eq!(bench.desk().library.selected().unwrap().name(), "C#", "the selected one stays");
    assert!(bench.notice().contains("open shape"), "{}", bench.notice());
    assert_eq!(names(&mut bench), ["Bb", "C#", "E", "F", "shell"]);
    bench.strike("End o");
    assert_eq!(bench.desk().library.selected().unwrap().name(), "shell");
    assert_eq!(names(&mut bench), saved);
}

fn without_voicings() -> Lesson {
    let mut lesson = small_lesson();
    lesson.voicings.clear();
    for segment in &mut lesson.segments {
        segment.voicings.clear();
    }
    lesson
}
