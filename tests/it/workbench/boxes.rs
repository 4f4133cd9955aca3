//! Boxes: what takes, what leaves, and that nothing typed is lost.

use fingerpost::lesson::id::PassageId;
use fingerpost::lesson::music::Passage;
use fingerpost::workbench::boxes::choice::ChoiceBox;
use fingerpost::workbench::boxes::list::{ListBox, ListLine};
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::boxes::typed_line::EntryBox;
use fingerpost::workbench::drawing::unseen::Counted;
use fingerpost::workbench::messages::effect::{Effect, FileEffect, TerminalEffect};
use fingerpost::workbench::messages::message::{Message, Mouse};
use fingerpost::workbench::questions::pick::Pick;
use fingerpost::workbench::questions::program::{AfterSave, ProgramQuestion};
use ratatui::layout::Position;

use super::bench::{Bench, small_lesson};

/// The line of hints.
fn hints(bench: &Bench) -> String {
    let screen = bench.screen();
    screen.lines().rev().nth(1).unwrap_or_default().to_owned()
}

#[test]
fn space_marks_music_enter_keeps_the_marks_and_esc_leaves_it_as_it_was() {
    let mut bench = Bench::small((80, 24));
    bench.strike("t Space");
    assert!(bench.screen().contains("[x]"), "{}", bench.screen());
    assert_eq!(bench.lesson(), &small_lesson(), "nothing changes while the box is open");
    assert!(hints(&bench).contains("Enter OK"), "{}", hints(&bench));
    assert!(hints(&bench).contains("Esc cancel"), "{}", hints(&bench));
    bench.strike("Esc");
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("t Space Enter");
    assert!(bench.state.overlay.is_none(), "Enter closes the box");
    assert_eq!(bench.lesson().segments[0].passages.len(), 1);
    bench.strike("t Space Enter");
    assert_eq!(bench.lesson().segments[0].passages.len(), 0);
    bench.strike("u u");
    assert_eq!(bench.lesson(), &small_lesson(), "each box is one step of undo");
    bench.strike("t Enter");
    assert_eq!(bench.lesson().segments[0].passages.len(), 1, "where nothing is marked, the selected line is meant");
    let chosen = bench.lesson().clone();
    bench.strike("t Enter");
    assert_eq!(*bench.lesson(), chosen, "and Enter alone does not take it off again");
}

#[test]
fn boxes_to_choose_one_line_from_leave_all_as_it_was_with_esc_and_say_so() {
    let mut bench = Bench::small((80, 24));
    for key in ["k", "E"] {
        bench.strike(key);
        assert!(hints(&bench).contains("Enter OK"), "{}", hints(&bench));
        assert!(hints(&bench).contains("Esc cancel"), "{}", hints(&bench));
        bench.strike("Down Esc");
        assert_eq!(bench.lesson(), &small_lesson());
    }
}

#[test]
fn talking_points_are_never_lost_by_esc_without_a_question_or_by_leaving() {
    let mut bench = Bench::small((80, 24));
    for (after_esc, taken, open) in
        [("Esc", false, true), ("Enter", false, true), ("Down Down Enter", false, false), ("Down Enter", true, false)]
    {
        let mut bench = bench.clone();
        bench.strike("p \"Say hello twice\" Esc");
        assert_eq!(bench.lesson(), &small_lesson());
        assert!(bench.screen().contains("Delete what you have written?"), "{}", bench.screen());
        bench.strike(after_esc);
        assert_eq!(!bench.lesson().segments[0].talking_points.is_empty(), taken, "{after_esc}");
        assert_eq!(bench.screen().contains("Say hello twice_"), open, "{after_esc}: {}", bench.screen());
    }
    bench.strike("p \"Say hello twice\" Ctrl+S");
    assert_eq!(bench.lesson().segments[0].talking_points, ["Say hello twice"]);
    assert!(bench.notice().contains("u undoes"), "{}", bench.notice());
    bench.strike("u");
    assert_eq!(bench.lesson(), &small_lesson());
    bench.strike("p Esc");
    assert_eq!(bench.lesson(), &small_lesson());
    assert!(bench.desk().lesson.is_saved(), "nothing typed is no change");
    bench.strike("p \"Say hello twice\" Ctrl+C");
    assert_eq!(bench.lesson().segments[0].talking_points, ["Say hello twice"], "what was typed is in the lesson");
    assert!(bench.screen().contains("Not everything is saved"));
}

#[test]
fn a_line_half_typed_is_there_again_after_the_question_whether_to_leave() {
    for stay in ["Esc", "Down Down Down Enter"] {
        let mut bench = Bench::small((80, 24));
        bench.strike("Delete Enter Ctrl+U \"Half a ti\" Ctrl+C");
        assert!(bench.screen().contains("Not everything is saved"));
        bench.strike(stay);
        bench.strike("\"tle\" Enter");
        assert_eq!(bench.lesson().segments[0].title, "Half a title", "{stay}");
        bench.strike("k Esc");
        assert!(bench.state.overlay.is_none());
    }
}

#[test]
fn an_end_from_outside_keeps_the_talking_points_that_are_being_written() {
    let mut bench = Bench::small((80, 24));
    bench.strike("p \"Say hello twice\"");
    bench.send(Message::Ending);
    assert_eq!(bench.replayed.segments[0].talking_points, ["Say hello twice"]);
}

#[test]
fn changes_are_thrown_away_only_after_a_second_question() {
    let mut bench = Bench::small((80, 24));
    bench.strike("Delete q Down Down Enter");
    assert_eq!(bench.wanted.pop(), None, "the second question comes first");
    bench.strike("Enter");
    assert_eq!(bench.wanted.pop(), None, "its first line throws nothing away");
    assert_eq!(bench.lesson().segments.len(), 3);
    bench.strike("q Down Down Enter Down Enter");
    assert_eq!(bench.wanted.pop(), Some(Effect::Files(FileEffect::Discard)));
    bench.send(Message::Discarded(Ok(())));
    assert_eq!(bench.wanted.pop(), Some(Effect::Terminal(TerminalEffect::Quit)));

    let mut bench = Bench::small((80, 24));
    bench.strike("Delete Ctrl+O Down Down Enter Down Enter");
    assert_eq!(bench.wanted.pop(), Some(Effect::Files(FileEffect::Discard)));
    bench.send(Message::Discarded(Ok(())));
    assert!(bench.state.desk().is_none(), "the start screen comes back");

    let mut bench = Bench::small((80, 24));
    bench.strike("Delete Ctrl+O Down Down Enter Down Enter");
    let stays = "the changes were not deleted, and come back next time: the journal cannot be removed";
    bench.send(Message::Discarded(Err(stays.to_owned())));
    assert_eq!(bench.notice(), stays);
}

#[test]
fn the_keys_for_a_screenful_move_a_screenful() {
    let list = |bench: &Bench| match &bench.state.overlay {
        Some(Overlay::List(list)) => (list.scroll.first(), list.selected, list.lines.len()),
        _ => panic!("no list"),
    };
    for (size, room) in [((80, 24), 17), ((160, 48), 41)] {
        let mut bench = Bench::small(size);
        let line = |number: usize| ListLine { text: format!("line {number}"), ..ListLine::default() };
        bench.state.overlay = Some(Overlay::List(ListBox::new("Lines", Counted::Lines, (0..200).map(line).collect())));
        bench.state.settle();
        let inside = bench.screen().lines().skip_while(|line| !line.contains('┌')).position(|line| line.contains('└'));
        assert_eq!(inside, Some(room + 1), "a screenful has {room} lines");
        bench.strike("PageDown");
        assert_eq!(list(&bench).0, room);
        bench.strike("PageUp");
        assert_eq!(list(&bench).0, 0);
        for _ in 0..30 {
            bench.strike("PageDown");
        }
        let (_, selected, count) = list(&bench);
        assert_eq!(selected, count - 1);
        assert!(bench.screen().contains("close"), "{}", bench.screen());
        for _ in 0..30 {
            bench.strike("PageUp");
        }
        assert_eq!((list(&bench).0, list(&bench).1), (0, 0));
    }
}

#[test]
fn home_and_end_go_to_the_ends_of_the_list_of_problems() {
    let mut lesson = small_lesson();
    lesson.segments.iter_mut().for_each(|segment| segment.title = String::new());
    let mut bench = Bench::on(lesson, (80, 24));
    let selected = |bench: &Bench| match &bench.state.overlay {
        Some(Overlay::List(list)) => (list.selected, list.lines.len()),
        _ => panic!("{}", bench.screen()),
    };
    let (_, count) = selected(bench.strike("w"));
    assert!(count > 2, "{count} problems");
    assert_eq!(selected(bench.strike("End")).0, count - 1);
    assert_eq!(selected(bench.strike("Up Home")).0, 0);
}

/// Where lines are gone through with the arrows, Home and End lead where many presses of those do.
#[test]
fn home_and_end_go_to_the_ends_of_every_list() {
    let body = |bench: &Bench| {
        let screen = bench.screen();
        screen.lines().rev().skip(2).collect::<Vec<&str>>().join("\n")
    };
    let lists = ["T", "F s \"x32010\" Enter R", "L", "k", "v", "w", "M", "Ctrl+F \"note\"", "?", "Ctrl+O", ""];
    for keys in lists {
        let mut bench = if keys.is_empty() { Bench::start_screen((100, 30)) } else { Bench::small((100, 30)) };
        bench.strike("w Esc").strike(keys);
        for (end, arrow) in [("End", "Down "), ("Home", "Up ")] {
            let before = body(&bench);
            let with_one_key = body(bench.strike(end));
            assert_ne!(with_one_key, before, "{end} after {keys:?}");
            assert_eq!(body(bench.strike(&arrow.repeat(150))), with_one_key, "{end} after {keys:?}");
        }
    }
}

#[test]
fn a_hint_says_no_word_twice() {
    for script in ["T", "P", "F", "L"] {
        let bench = &mut Bench::on(small_lesson(), (200, 50));
        let hints = hints(bench.strike(script)).to_lowercase();
        let words: Vec<&str> = hints.split_whitespace().collect();
        // Two letters may be two keys.
        assert!(words.windows(2).all(|pair| pair[0] != pair[1] || pair[0].len() == 1), "{hints}");
    }
}

#[test]
fn a_list_offers_to_go_somewhere_only_where_a_line_leads_somewhere() {
    let mut bench = Bench::small((80, 24));
    bench.strike("Ctrl+S M");
    assert!(!hints(&bench).contains("go there"), "{}", hints(&bench));
    bench.strike("Esc w");
    assert!(hints(&bench).contains("Enter go there"), "{}", hints(&bench));
}

/// Presses the mouse on the first cell of `text` on the screen.
#[track_caller]
fn press(bench: &mut Bench, text: &str) {
    let screen = bench.screen();
    let (y, line) = screen.lines().enumerate().find(|(_, line)| line.contains(text)).expect("it is on the screen");
    let x = fingerpost::text::width::width(line.split_once(text).unwrap().0);
    let place = Position { x: u16::try_from(x).unwrap(), y: u16::try_from(y).unwrap() };
    bench.send(Message::Mouse(Mouse::Click(place)));
}

#[test]
fn lines_of_a_box_are_chosen_with_the_mouse() {
    for size in [(60, 16), (80, 24), (160, 48)] {
        let mut bench = Bench::small(size);
        bench.strike("k");
        press(&mut bench, "exercise");
        assert_eq!(bench.lesson(), &small_lesson(), "the first press only selects");
        press(&mut bench, "exercise");
        assert_eq!(bench.lesson().segments[0].kind.word(), "exercise");
        bench.strike("t");
        press(&mut bench, "[ ] Turnaround");
        assert!(bench.screen().contains("[x] Turnaround"), "{}", bench.screen());
        press(&mut bench, "Passages played in this segment");
        assert!(bench.screen().contains("[x] Turnaround"), "the frame of a box is no line");
        bench.strike("Enter w");
        press(&mut bench, "segment 3");
        press(&mut bench, "segment 3");
        assert_eq!(bench.desk().timeline.place(bench.lesson()), 2);
        assert!(bench.state.overlay.is_none());
    }
}

#[test]
fn an_error_is_read_to_its_last_word_wherever_its_lines_break() {
    let mut bench = Bench::small((80, 24));
    bench.strike("l Ctrl+U \"nonsense\" Enter");
    for width in 60..100 {
        bench.resize(width, 24);
        let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("{}", bench.notice()) };
        let error = entry.error.clone().unwrap();
        let words = bench.screen().replace(['│', '\n'], " ").split_whitespace().collect::<Vec<_>>().join(" ");
        // Panes stand left and right of the box: its words are looked for one by one, in their order.
        let mut rest = words.as_str();
        for word in error.split_whitespace() {
            let at = rest.find(word).unwrap_or_else(|| panic!("{width}: {word} of {error}\n{}", bench.screen()));
            rest = &rest[at + word.len()..];
        }
    }
}

#[test]
fn a_list_to_choose_from_is_left_through_its_ends() {
    let mut bench = Bench::small((80, 24));
    bench.strike("Down P Home Down Down Down Down Enter");
    let selected = |bench: &Bench| {
        let Some(Overlay::Choice(choice)) = &bench.state.overlay else { panic!("{}", bench.notice()) };
        (choice.selected, choice.lines.len())
    };
    let (_, count) = selected(&bench);
    assert!(count > 12, "a long list");
    for (key, there) in [("End", count - 1), ("PageUp", count - 9), ("Home", 0), ("PageDown", 8), ("PageUp", 0)] {
        bench.strike(key);
        assert_eq!(selected(&bench).0, there, "{key}");
    }
}

#[test]
fn esc_does_not_leave_the_program_from_the_start_screen() {
    let mut bench = Bench::start_screen((80, 24));
    bench.strike("Esc");
    assert!(bench.wanted.is_empty(), "{:?}", bench.wanted);
    bench.strike("q");
    assert_eq!(bench.wanted, [Effect::Terminal(TerminalEffect::Quit)]);
}

#[test]
fn esc_goes_back_a_step_through_the_questions_for_a_new_lesson() {
    let mut bench = Bench::start_screen((80, 24));
    bench.strike("Down Enter \"Porch\" Enter Down Enter Down Down Enter Esc");
    let chosen = |bench: &Bench| {
        let Some(Overlay::Choice(choice)) = &bench.state.overlay else { panic!("{}", bench.screen()) };
        (choice.title.clone(), choice.selected)
    };
    assert_eq!(chosen(&bench), ("Instrument".to_owned(), 2));
    bench.strike("Esc");
    assert_eq!(chosen(&bench), ("Template".to_owned(), 1));
    bench.strike("Esc");
    let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("{}", bench.screen()) };
    assert_eq!(entry.line.text(), "Porch");
    bench.strike("Esc");
    assert!(bench.state.overlay.is_none() && bench.wanted.is_empty());
}

#[test]
fn each_line_of_what_a_box_says_stands_by_itself() {
    let said = "First the left hand.\nThen the right.";
    let choice = ChoiceBox::new("Hands", said, vec![("one".into(), Pick::Nothing)]);
    let entry = EntryBox::new(ProgramQuestion::SaveWhere(AfterSave::Stay), "Hands", said, "");
    let line = ListLine { text: said.to_owned(), below: said.to_owned(), ..ListLine::default() };
    for overlay in [
        Overlay::Choice(choice),
        Overlay::Entry(entry),
        Overlay::List(ListBox::new(
            "Hands",
            Counted::Lines,
            vec![line, ListLine { text: "last".into(), ..ListLine::default() }],
        )),
    ] {
        let mut bench = Bench::small((80, 24));
        bench.state.overlay = Some(overlay);
        bench.state.settle();
        let screen = bench.screen();
        let lines: Vec<&str> = screen.lines().collect();
        let at = lines.iter().position(|line| line.contains("First the left hand.")).expect(&screen);
        assert!(!lines[at].contains("Then") && lines[at + 1].contains("Then the right."), "{screen}");
    }
}

#[test]
fn whoever_presses_enter_on_a_line_without_a_mark_beside_a_marked_one_is_told_how_to_mark_it() {
    let mut lesson = small_lesson();
    lesson.passages.push(Passage { id: PassageId(77), title: "Coda".to_owned(), ..lesson.passages[0].clone() });
    let mut bench = Bench::on(lesson, (80, 24));
    bench.strike("t Enter t Down Enter");
    assert!(matches!(bench.state.overlay, Some(Overlay::Marks(_))), "the list stays for the mark");
    assert!(bench.notice().contains("Space marks this one"), "{}", bench.notice());
    bench.strike("Space Enter");
    assert_eq!(bench.lesson().segments[0].passages.len(), 2);
    bench.strike("t Enter");
    assert!(bench.state.overlay.is_none(), "a line that has its mark is accepted");
    assert_eq!(bench.notice(), "no change");
}

/// In a list that takes the line with a space, the second word of what is looked for would be done as keys of the pane below.
#[test]
fn a_space_between_typed_words_belongs_to_them_in_every_list() {
    let mut bench = Bench::small((100, 30));
    let before = bench.lesson().clone();
    let selected = |bench: &Bench| match &bench.state.overlay {
        Some(Overlay::Choice(choice)) => choice.lines[choice.selected].0.clone(),
        Some(Overlay::Marks(marks)) => marks.lines[marks.selected].text.clone(),
        other => panic!("no list: {other:?}"),
    };
    bench.strike("Down P Right Down Down Down Enter p a l m Space m u t e");
    assert!(selected(&bench).contains("palm mute"), "{}", selected(&bench));
    assert!(bench.screen().contains(": palm mute"), "{}", bench.screen());
    bench.strike("Esc T k z Space z Space");
    assert!(matches!(&bench.state.overlay, Some(Overlay::Choice(_))), "also after letters that fit nothing");
    bench.strike("Esc k p l a y Space a l o n g");
    assert!(selected(&bench).starts_with("play"), "{}", selected(&bench));
    bench.strike("Esc t");
    let line = selected(&bench);
    let word = line.split_whitespace().next().unwrap().to_owned();
    assert!(bench.screen().contains("Space mark"), "{}", bench.screen());
    bench.strike(&word.chars().map(|letter| format!("{letter} ")).collect::<String>());
    bench.strike("Space");
    let marks = |bench: &Bench| match &bench.state.overlay {
        Some(Overlay::Marks(marks)) => marks.marked().len(),
        other => panic!("no list: {other:?}"),
    };
    let marked = marks(&bench);
    assert!(!bench.screen().contains("Space mark"), "the key does not work now: {}", bench.screen());
    assert_eq!(*bench.lesson(), before, "nothing was taken");
    // An arrow ends the search.
    bench.strike("Up Space");
    assert_ne!(marks(&bench), marked);
    bench.strike("Esc P Right Down Down Down Enter Home Space");
    assert!(bench.state.overlay.is_none(), "where nothing is typed a space takes the line");
}

#[test]
fn a_title_too_long_for_the_frame_goes_on_inside_the_box() {
    let long = "nothing can be done with what lies under the cursor, because there is nothing written here yet: put a \
                fret or a rest first";
    let at_sizes = [(80, 24), (120, 36)];
    for size in at_sizes {
        let choice = ChoiceBox::new(long, "advice", vec![("one".to_owned(), Pick::Nothing)]);
        let entry = EntryBox::new(ProgramQuestion::SaveWhere(AfterSave::Stay), long, "advice", "typed");
        for overlay in [Overlay::Choice(choice), Overlay::Entry(entry)] {
            let mut bench = Bench::small(size);
            bench.state.overlay = Some(overlay);
            let screen = bench.screen();
            let words = |text: &str| {
                let words = text.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty());
                words.map(str::to_owned).collect::<Vec<_>>().join(" ")
            };
            let from =
                screen.lines().skip_while(|line| !line.contains("nothing can be")).collect::<Vec<_>>().join("\n");
            let box_alone: Vec<String> = from
                .lines()
                .take(4)
                .map(|line| line.split_once(['│', '┌']).map_or(line, |(_, rest)| rest).to_owned())
                .collect();
            let seen = words(&box_alone.join(" "));
            for word in words(long).split(' ') {
                assert!(seen.contains(word), "{word}: {screen}");
            }
        }
    }
}
