//! What the desk does beyond its panes: problems, messages, reading tab in, pieces.

use fingerpost::store::open_lesson::FormatRenewal;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::messages::effect::{Effect, FileEffect};
use fingerpost::workbench::messages::message::{Message, SavedFile};
use fingerpost::workbench::messages::notice::Notice;

use super::bench::{Bench, small_lesson};

/// Text tab as people keep it; invented.
const TAB: &str = "e|-----0---|--------|\nB|---1---1-|-1------|\nG|-0-------|---0----|\nD|---------|-----2--|\nA|-3-------|-3------|\nE|---------|--------|\n";

#[test]
fn a_lesson_for_reading_only_refuses_before_anything_is_typed() {
    for key in ["Enter", "a", "A", "l", "k", "y", "E", "Ctrl+N", "t", "v", ":", "n", "X", "G", "Ctrl+T", "P A"] {
        let mut bench = Bench::read_only((80, 24));
        bench.strike(key);
        assert!(bench.state.overlay.is_none(), "{key} opens a box");
        assert!(bench.notice().contains("for reading only"), "{key}: {}", bench.notice());
    }
}

#[test]
fn talking_points_can_be_read_where_they_cannot_be_changed() {
    let mut bench = Bench::read_only((80, 24));
    bench.strike("Down p");
    assert!(matches!(bench.state.overlay, Some(Overlay::List(_))));
    assert!(bench.screen().contains("Leave string 6 alone"), "{}", bench.screen());
}

#[test]
fn a_key_that_means_nothing_says_where_all_keys_are() {
    let mut bench = Bench::small((80, 24));
    bench.strike("f");
    assert_eq!(bench.notice(), "f: no action here; ? shows every key");
    bench.strike("Enter f");
    assert_eq!(bench.notice(), "", "a letter that is typed is no unknown key");
    assert!(bench.state.said.messages.is_empty(), "slips are not kept among the messages");
    bench.send(Message::Saved(Err("the disk is full".to_owned())));
    bench.strike("Esc y");
    assert!(bench.notice().starts_with("not saved"), "trouble stays");
}

#[test]
fn a_message_too_long_for_its_line_is_read_in_full_with_a_key() {
    let mut bench = Bench::small((80, 24));
    let long = "the disk said no, and it went on for a while about why it did, which helps nobody; free some room";
    // Two lines are there for it, one of them in place of the hints.
    bench.send(Message::Saved(Err(long.to_owned())));
    let screen = bench.screen();
    let [before, last] = [23, 24].map(|line| screen.lines().nth(line - 1).unwrap().trim());
    assert!(before.starts_with("! not saved: the disk said no"), "{screen}");
    assert!(last.ends_with("the changes are in the journal") && !screen.contains("all of it"), "{screen}");
    let text = format!("{before} {last}");
    assert_eq!(text, format!("! not saved: {long}; the changes are in the journal"));
    // What stays stays in one.
    bench.strike("Down");
    assert!(hints_are_there(&bench) && bench.screen().ends_with("M: all of it"), "{}", bench.screen());
    let long = format!("{long}, and so on, for one more line of words that nobody wants to read before it is all said");
    bench.send(Message::Saved(Err(long.clone())));
    let foot = bench.screen().lines().last().unwrap().to_owned();
    assert!(foot.ends_with("M: all of it"), "{foot}");
    bench.strike("M");
    let words: String = bench.screen().split_whitespace().collect::<Vec<_>>().join(" ").replace(" │ │ ", " ");
    assert!(words.contains("free some room"), "{words}");
}

#[test]
fn the_first_save_of_a_file_from_an_older_version_says_what_that_means_in_two_lines() {
    let mut bench = Bench::small((80, 24));
    let saved = |renewed| Message::Saved(Ok(SavedFile { path: "/lessons/kitchen-table.lesson.ron".into(), renewed }));
    bench.send(saved(FormatRenewal::FromOlder));
    let screen = bench.screen();
    let foot: Vec<&str> = screen.lines().skip(22).map(str::trim).collect();
    let words = "saved in kitchen-table.lesson.ron; until now it was as an older version of fingerpost wrote it; \
                 older versions cannot open it any more";
    assert_eq!(foot.join(" "), words);
    bench.send(saved(FormatRenewal::No));
    assert_eq!(bench.notice(), "saved in kitchen-table.lesson.ron");
}

#[test]
fn a_message_that_fits_without_the_count_of_problems_has_the_line_to_itself() {
    let mut bench = Bench::small((80, 24));
    bench.send(Message::Saved(Err("the disk is full, free some room".to_owned())));
    let foot = bench.screen().lines().last().unwrap().to_owned();
    assert!(foot.contains("free some room; the changes are in the journal"), "{foot}");
}

#[test]
fn files_in_the_lessons_folder_are_told_by_their_name() {
    let mut bench = Bench::small((80, 24));
    bench.strike("Delete Ctrl+S");
    assert_eq!(bench.notice(), "saved in workbench.lesson.ron");
    bench.send(Message::HandoutWritten(Ok("/lessons/workbench.handout.txt".into())));
    assert_eq!(bench.notice(), "the handout is in workbench.handout.txt, beside the lesson");
    bench.send(Message::HandoutExists("/lessons/workbench.handout.txt".into()));
    assert!(bench.screen().contains("workbench.handout.txt"), "{}", bench.screen());
    assert!(!bench.screen().contains("/lessons/"), "{}", bench.screen());
}

#[test]
fn a_problem_of_a_voicing_leads_to_the_voicing() {
    let mut lesson = small_lesson();
    // A hand that reaches twelve frets.
    lesson.voicings[2].shape = "x 3 2 0 1 15".parse().unwrap();
    let id = lesson.voicings[2].id;
    for segment in &mut lesson.segments {
        segment.voicings.retain(|known| *known != id);
    }
    let mut bench = Bench::on(lesson, (80, 24));
    bench.strike("w");
    let Some(Overlay::List(list)) = &bench.state.overlay else { panic!("no list") };
    let place = list.lines.iter().position(|line| line.text.starts_with("voicing")).expect("a finding on a voicing");
    for _ in 0..place {
        bench.strike("Down");
    }
    bench.strike("Enter");
    assert_eq!(bench.desk().focus, Focus::Fretboard);
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "x-3-2-0-1-15");
    assert!(bench.notice().contains("no segment shows it"), "{}", bench.notice());
}

#[test]
fn a_problem_of_a_segments_second_voicing_leads_to_that_and_not_to_the_first() {
    let mut lesson = small_lesson();
    // One string of the third voicing is unsure; so is it here.
    lesson.voicings[1].doubts = lesson.voicings[2].doubts.clone();
    let mut bench = Bench::on(lesson, (80, 24));
    bench.strike("w");
    let Some(Overlay::List(list)) = &bench.state.overlay else { panic!("no list") };
    let place = list.lines.iter().position(|line| line.text.starts_with("voicing \"G\"")).expect("a finding on it");
    for _ in 0..place {
        bench.strike("Down");
    }
    bench.strike("Enter");
    assert_eq!(bench.notice(), "G, shown in \"Two shapes\"");
    assert_eq!(bench.desk().fretboard.grip().shape.compact(), "3x0003");
    assert_eq!(bench.desk().timeline.selected(), Some(bench.lesson().segments[1].id));
}

#[test]
fn text_tab_is_read_from_a_file_into_a_passage_of_the_segment() {
    let mut bench = Bench::small((80, 24));
    bench.strike("P A \"ideas/slow-reel.txt\" Enter");
    assert_eq!(bench.wanted.pop(), Some(Effect::Files(FileEffect::ReadTab("ideas/slow-reel.txt".into()))));
    bench.send(Message::TabRead("ideas/slow-reel.txt".into(), Ok(TAB.to_owned())));
    let passage = bench.lesson().passages.last().unwrap().clone();
    assert_eq!((passage.title.as_str(), passage.bars.len()), ("Slow reel", 2));
    assert_eq!(bench.lesson().segments[0].passages.last().unwrap().passage, passage.id);
    assert_eq!(bench.lesson().passage_setup(&passage).map(|setup| setup.id), Some(bench.lesson().setups[0].id));
    assert!(bench.screen().contains("What was assumed"), "{}", bench.screen());
    bench.strike("Esc");
    assert!(bench.desk().passage.text().contains('3'), "the passage is shown at once");
    assert_eq!(bench.replayed, *bench.lesson());
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn a_file_that_holds_no_tab_is_refused_and_another_can_be_named() {
    let mut bench = Bench::small((80, 24));
    bench.strike("P A \"letter.txt\" Enter");
    bench.send(Message::TabRead("letter.txt".into(), Ok("Dear all,\n".to_owned())));
    let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("the box is still open") };
    assert!(entry.error.as_ref().unwrap().contains("line 1: expected string lines"), "{entry:?}");
    assert_eq!(entry.line.text(), "letter.txt");
    bench.strike("Enter");
    bench.send(Message::TabRead("letter.txt".into(), Err("no such file".to_owned())));
    assert!(matches!(bench.state.overlay, Some(Overlay::Entry(_))));
    assert_eq!(bench.lesson(), &small_lesson());
}

#[test]
fn tab_pasted_into_the_passage_pane_becomes_a_passage() {
    let mut bench = Bench::small((80, 24));
    bench.strike("P");
    bench.send(Message::Pasted(TAB.replace('\n', "\r")));
    bench.strike("\"Porch idea\" Enter");
    let passage = bench.lesson().passages.last().unwrap();
    assert_eq!((passage.title.as_str(), passage.bars.len()), ("Porch idea", 2));
    bench.strike("Esc u");
    assert_eq!(bench.lesson(), &small_lesson());
    bench.send(Message::Pasted("Dear all,".to_owned()));
    assert!(bench.notice().contains("expected string lines"), "{}", bench.notice());
}

#[test]
fn a_piece_and_its_key_are_named_and_the_readings_follow_the_key() {
    let mut bench = Bench::small((100, 30));
    bench.strike("n Ctrl+U \"Porch waltz\" Enter Ctrl+U \"Bb minor\" Enter");
    let id = *bench.lesson().segments[0].pieces.last().unwrap();
    let piece = bench.lesson().piece(id).unwrap();
    assert_eq!((piece.title.as_str(), piece.key), ("Porch waltz", Some("Bb minor".parse().unwrap())));
    assert!(piece.setup.is_some());
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson(), "one step of undo");
    bench.strike("n Ctrl+U \"Porch waltz\" Enter Ctrl+U \"H flat\" Enter");
    let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("the box is still open") };
    assert!(entry.error.is_some());
}

#[test]
fn even_one_line_has_room_to_say_what_is_needed() {
    for (size, parts) in [((80, 1), ["60 x 16", "Ctrl+C quits"]), ((60, 3), ["60 x 16", "Ctrl+C quits"])] {
        let screen = Bench::small(size).screen();
        for part in parts {
            assert!(screen.contains(part), "{size:?}: {screen}");
        }
    }
}

#[test]
fn the_colours_are_chosen_while_it_runs_and_kept() {
    use fingerpost::workbench::drawing::appearance::Colours;
    let mut bench = Bench::small((100, 30));
    bench.strike("C Down Enter");
    let first = bench.state.chosen.themes[0].clone();
    assert_eq!(bench.state.appearance.colours, Colours::Theme(first.palette()));
    assert_eq!(bench.wanted.last(), Some(&Effect::Files(FileEffect::KeepTheme(first.name))));
    bench.strike("C Up Enter");
    assert_eq!(bench.state.appearance.colours, Colours::Sixteen);
    assert_eq!(bench.wanted.last(), Some(&Effect::Files(FileEffect::KeepTheme(String::new()))));
    let mut plain = Bench::small((100, 30)).plain();
    plain.strike("C");
    assert!(plain.notice().contains("NO_COLOR"), "{}", plain.notice());
}

fn hints_are_there(bench: &Bench) -> bool {
    bench.screen().lines().rev().nth(1).unwrap().ends_with("? all keys")
}

#[test]
fn a_message_in_two_lines_says_every_word_once() {
    let mut bench = Bench::small((80, 24));
    let words: Vec<String> = (1..=12).map(|number| format!("name{number}  日本語")).collect();
    let text = words.join("  ");
    bench.state.said.say(Notice::note(text.clone()));
    let screen = bench.screen();
    let foot: Vec<&str> = screen.lines().skip(22).flat_map(str::split_whitespace).collect();
    assert!(foot.starts_with(&text.split_whitespace().take(10).collect::<Vec<_>>()), "{screen}");
    for number in 1..=9 {
        let name = format!("name{number}");
        assert_eq!(foot.iter().filter(|word| **word == name).count(), 1, "{name}\n{screen}");
    }
}

#[test]
fn the_last_fifty_messages_are_kept() {
    let mut bench = Bench::small((100, 30));
    for number in 1..=60 {
        bench.send(Message::LibraryChanged(Err(format!("message {number}"))));
    }
    let kept: Vec<&str> = bench.state.said.messages.iter().map(|message| message.text.as_str()).collect();
    assert_eq!((kept.len(), kept[0], kept[49]), (50, "message 11", "message 60"));
}

#[test]
fn fingers_that_no_voicing_holds_are_kept_for_after_a_crash() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down F s \"x02210\" Enter");
    assert_eq!(bench.draft.fingers, "x 0 2 2 1 0");
    bench.strike("v");
    assert_eq!(bench.draft.fingers, "", "a voicing holds them now");
}

#[test]
fn trouble_is_not_covered_by_a_slip_of_the_finger() {
    let mut bench = Bench::small((100, 30));
    bench.send(Message::Saved(Err("the disk is full".to_owned())));
    bench.strike("z");
    assert!(bench.notice().starts_with("not saved"), "{}", bench.notice());
}
