//! Keys that spare keys, and keys that do no harm: what one press does, and what it leaves alone.

use fingerpost::lesson::document::{Lesson, PassageUse, SegmentKind};
use fingerpost::lesson::music::{Event, Join, Technique};
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::keys::table::KeyTable;

use super::bench::{Bench, small_lesson};

/// The small lesson with the keys struck.
#[track_caller]
fn after(script: &str) -> Bench {
    let mut bench = Bench::small((120, 36));
    bench.strike(script);
    assert_eq!(bench.replayed, *bench.lesson(), "the journal replays to the lesson");
    bench
}

/// The columns of a bar of the passage begun last: `string/fret`, with what joins the note to the next.
fn columns(bench: &Bench, bar: usize) -> Vec<String> {
    let told = |event: &Event| {
        let note = |note: &fingerpost::lesson::music::Note| {
            let join = match note.join {
                Some(Join::HammerOn) => "h",
                Some(Join::PullOff) => "p",
                Some(_) => "~",
                None => "",
            };
            format!("{}/{}{join}", note.string, note.fret)
        };
        event.notes.iter().map(note).collect::<Vec<_>>().join(" ")
    };
    bench.lesson().passages.last().unwrap().bars[bar].voices[0].0.iter().map(told).collect()
}

const NEW: &str = "Down P a \"Riff\" Enter Enter Enter ";

#[test]
fn a_run_at_the_end_is_typed_without_a_key_between() {
    assert_eq!(columns(&after(&format!("{NEW}5 7 0 3 1 2 5")), 0), ["1/5", "1/7", "1/0", "1/3", "1/12", "1/5"]);
    // Where music follows, a digit changes what is there.
    assert_eq!(columns(&after(&format!("{NEW}5 7 Home 3 4")), 0), ["1/4", "1/7"]);
    let mut bench = after(&format!("{NEW}5 7"));
    bench.strike("u");
    assert_eq!(columns(&bench, 0), ["1/5"], "each note is a step of its own");
}

#[test]
fn one_key_hammers_on_or_pulls_off_as_the_frets_say_also_when_they_are_written_later() {
    assert_eq!(columns(&after(&format!("{NEW}7 h 5")), 0), ["1/7p", "1/5"]);
    assert_eq!(columns(&after(&format!("{NEW}5 h 7")), 0), ["1/5h", "1/7"]);
    // A fret that is changed takes the join along, on either side of it.
    assert_eq!(columns(&after(&format!("{NEW}5 h 7 h 5 Left 3")), 0), ["1/5p", "1/3h", "1/5"]);
    let bench = after(&format!("{NEW}7 h 5"));
    assert!(!bench.desk().findings().iter().any(|found| found.reason.contains("hammer")), "no problem is left");
}

#[test]
fn a_dead_strum_is_one_key_on_a_chord_on_a_rest_and_behind_the_last_column() {
    let mut bench = after(&format!("{NEW}3 Down 5 Down 5 Right ! Space !"));
    let dead = |bench: &Bench, at: usize| {
        let events = &bench.lesson().passages.last().unwrap().bars[0].voices[0].0;
        events[at].notes.iter().filter(|note| note.techniques == [Technique::Dead]).count()
    };
    assert_eq!((dead(&bench, 0), dead(&bench, 1)), (0, 3), "over the strings that sounded before");
    assert!(bench.pane(Focus::Passage).matches('x').count() >= 3, "{}", bench.pane(Focus::Passage));
    bench.strike("Home !");
    assert_eq!(dead(&bench, 0), 3);
    bench.strike("!");
    assert_eq!(dead(&bench, 0), 0, "again: not muted any more");
    let bench = after(&format!("{NEW}!"));
    assert_eq!(dead(&bench, 0), 6, "where nothing sounded before, over all strings");
}

#[test]
fn delete_takes_the_note_then_the_rest_it_leaves_and_never_a_chord() {
    let mut bench = after("Down P Down Down Down Down Delete");
    assert_eq!(columns(&bench, 0)[0], "", "a rest is left");
    bench.strike("Delete");
    assert_eq!(columns(&bench, 0).len(), 3, "the rest goes too");
    let mut bench = after("Down P Delete");
    assert_eq!(columns(&bench, 0).len(), 4);
    assert!(bench.notice().contains("no note on string 1"), "{}", bench.notice());
    bench.strike("Shift+Delete");
    assert_eq!(columns(&bench, 0).len(), 3, "all strings at once");
}

#[test]
fn letters_typed_where_no_note_is_change_nothing() {
    for place in ["Down P Enter", "Down P End Enter"] {
        let mut bench = after(place);
        assert!(matches!(bench.state.overlay, Some(Overlay::Choice(_))), "{place}: {}", bench.notice());
        bench.strike("t r x d");
        assert_eq!(bench.lesson(), &small_lesson(), "{place}");
        bench.strike("Esc");
        assert!(bench.state.overlay.is_none(), "{place}");
    }
    // The stroke of a pick belongs to all strings.
    let bench = after("Down P Enter Enter");
    assert!(bench.lesson().passages[0].bars[0].voices[0].0[0].stroke.is_some(), "{}", bench.notice());
}

#[test]
fn what_is_saved_is_selected_in_the_library() {
    let mut bench = after("Down F s \"x02210\" Enter v");
    assert_eq!(bench.desk().library.selected().map(|item| item.name()), Some("Am".to_owned()));
    bench.strike("s \"320003\" Enter v");
    assert_eq!(bench.desk().library.selected().map(|item| item.name()), Some("G".to_owned()));
    bench.strike("L Home F s \"x02010\" Enter");
    let before = bench.desk().library.selected().map(|item| item.name());
    bench.strike("F 3");
    assert_eq!(bench.desk().library.selected().map(|item| item.name()), before, "whoever moves on stays there");
}

#[test]
fn a_new_passage_begins_as_the_piece_is_played() {
    let mut lesson = small_lesson();
    lesson.pieces[0].tempo = Some("1/4=66".parse().unwrap());
    lesson.passages[0].meter = "3/4".parse().unwrap();
    let new = lesson.segments.len() - 1;
    lesson.segments[new].pieces = vec![lesson.pieces[0].id];
    let mut bench = Bench::on(lesson, (120, 36));
    bench.strike("End P a \"Bridge\" Enter Enter Enter");
    let passage = bench.lesson().passages.last().unwrap();
    // The segment before it is played with a capo, the piece without.
    let standard = bench.lesson().setups[0].id;
    assert_eq!((passage.meter.to_string(), passage.tempo.to_string()), ("3/4".to_owned(), "1/4=66".to_owned()));
    assert_eq!(passage.setup, Some(standard));
    assert_eq!(bench.lesson().segments[new].passages, [PassageUse::whole(passage.id)]);
    assert_eq!(bench.lesson().segment_setup(bench.lesson().segments[new].id).map(|setup| setup.id), Some(standard));
    bench.strike("u");
    assert_eq!(bench.lesson().passages.len(), 1, "one step of undo");
}

#[test]
fn a_piece_and_its_segments_come_from_one_line_and_go_with_one_undo() {
    let mut bench = after("a \"Gasworks Lantern: full speed, walk-through, play along\" Enter");
    let titles: Vec<&str> = bench.lesson().segments.iter().map(|segment| segment.title.as_str()).collect();
    assert_eq!(titles.len(), 7, "{titles:?}");
    assert!(titles[1..4].iter().all(|title| title.starts_with("Gasworks Lantern: ")), "{titles:?}");
    assert!(bench.notice().starts_with("added \"Gasworks Lantern\": performance, "), "{}", bench.notice());
    assert!(bench.notice().ends_with("; u undoes"), "{}", bench.notice());
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("a \"Reel: performance, nonsense\" Enter");
    assert!(bench.screen().contains("`nonsense` is not a kind of segment"), "{}", bench.screen());
    bench.strike("Ctrl+U \"Two ways: thumb and pick\" Enter");
    assert!(bench.segments().contains("Two ways: thumb and pick"), "a title may have a colon");
}

#[test]
fn a_line_that_says_retuning_adds_a_retuning_and_no_piece() {
    let mut bench = after("a \"Down to drop D: retuning\" Enter");
    let lesson = bench.lesson();
    let added = &lesson.segments[1];
    assert_eq!((added.kind, added.pieces.len()), (SegmentKind::Retuning, 0), "{added:?}");
    assert_eq!(lesson.pieces, small_lesson().pieces);
    assert!(bench.notice().starts_with("added \"Down to drop D\": retuning"), "{}", bench.notice());
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
    // With other kinds it is the way to the piece, and still about none itself.
    bench.strike("a \"Reel: retuning, performance\" Enter");
    let lesson = bench.lesson();
    assert_eq!(lesson.pieces.len(), small_lesson().pieces.len() + 1);
    assert_eq!([lesson.segments[1].pieces.len(), lesson.segments[2].pieces.len()], [0, 1]);
}

#[test]
fn pages_of_a_long_timeline_are_turned() {
    let mut lesson = small_lesson();
    let segment = lesson.segments[0].clone();
    for number in 10..60 {
        lesson.segments.push(fingerpost::lesson::document::Segment {
            id: fingerpost::lesson::id::SegmentId(number),
            ..segment.clone()
        });
    }
    let place = |bench: &Bench| bench.desk().timeline.place(bench.lesson());
    let mut bench = Bench::on(lesson, (120, 36));
    bench.strike("PageDown");
    let page = place(&bench);
    assert!(page > 1, "{page}");
    bench.strike("PageDown PageUp PageUp PageUp");
    assert_eq!(place(&bench), 0);
}

/// Whoever has put another action on the only key of this one finds it by what it does.
#[test]
fn an_action_whose_key_was_given_to_another_is_found_by_the_search() {
    let mut bench = Bench::small((120, 36));
    bench.state.keys = KeyTable::built_in().with_own(r#"[(action: Timeline(Split), keys: ["e"])]"#).unwrap();
    let lost: Vec<String> = bench.state.keys.lost().iter().map(|lost| lost.action.name()).collect();
    assert_eq!(lost, ["Timeline(EditCuts)"]);
    for typed in ["cut", "cuts", "trim"] {
        bench.strike(&format!("T Ctrl+F \"{typed}\" Enter"));
        assert!(bench.screen().contains("What is cut out of"), "{typed}\n{}", bench.screen());
        bench.strike("Esc");
    }
}

#[test]
fn messages_boxes_and_empty_panes_tell_the_keys_of_the_person() {
    let own = r#"[
        (action: Desk(Undo), keys: ["Ctrl+Y", "u"]),
        (action: Passage(NewPassage), keys: ["B"]),
        (action: Fretboard(SaveVoicing), keys: ["G"]),
        (action: Entry(Complete), keys: ["Ctrl+T"]),
    ]"#;
    let mut bench = Bench::small((120, 36));
    bench.state.keys = KeyTable::built_in().with_own(own).unwrap();
    bench.strike("p \"one\" Ctrl+S");
    assert_eq!(bench.notice(), "talking points changed; Ctrl+Y undoes");
    assert!(bench.pane(Focus::Passage).contains("B begins a new one"), "{}", bench.pane(Focus::Passage));
    bench.strike("P A");
    assert!(bench.screen().contains("The Ctrl+T key completes a name"), "{}", bench.screen());
    let mut empty = Bench::on(Lesson::default(), (120, 36));
    empty.state.keys = KeyTable::built_in().with_own(own).unwrap();
    empty.strike("T a Enter");
    let said = empty.pane(Focus::Library).split_whitespace().collect::<Vec<&str>>().join(" ");
    assert!(said.contains("F, then G saves the"), "{}", empty.pane(Focus::Library));
}
