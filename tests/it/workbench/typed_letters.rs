//! Letters that are typed over a list lead to the line that they begin, in every list there is.

use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::keys::keystroke::Keystroke;
use fingerpost::workbench::messages::message::Message;

use super::bench::{Bench, small_lesson};
use super::changes::{PLACES, asked_here, go};

/// The lines of a list on top, and the selected one; `None` where text is typed or read.
fn lines(overlay: &Overlay) -> Option<(Vec<String>, usize)> {
    match overlay {
        Overlay::Choice(list) => Some((list.lines.iter().map(|(text, _)| text.clone()).collect(), list.selected)),
        Overlay::Marks(list) => Some((list.lines.iter().map(|line| line.text.clone()).collect(), list.selected)),
        Overlay::List(list) => Some((list.lines.iter().map(|line| line.text.clone()).collect(), list.selected)),
        // In these letters are typed, or narrow the rows.
        Overlay::Entry(_) | Overlay::Points(_) | Overlay::Search(_) | Overlay::Help(_) => None,
        // A page is no list.
        Overlay::Preview(_) => None,
    }
}

/// Types the beginning of a line; returns whether a line that has it is selected then.
fn leads_to_a_line(bench: &Bench, line: usize, text: &str) -> bool {
    let mut bench = bench.clone();
    let begun: String = text.to_lowercase().chars().filter(char::is_ascii_alphanumeric).take(4).collect();
    // A digit begins a count, and Q closes what is only read.
    if begun.starts_with(|first: char| first == 'q' || first.is_ascii_digit()) {
        return true;
    }
    bench.strike(&format!("\"{begun}\""));
    let Some((all, selected)) = bench.state.overlay.as_ref().and_then(lines) else { return false };
    let joined = |text: &str| text.to_lowercase().chars().filter(char::is_ascii_alphanumeric).collect::<String>();
    selected == line || all.get(selected).is_some_and(|found| joined(found).contains(&begun))
}

#[test]
fn letters_lead_to_a_line_in_every_list_that_a_key_opens() {
    let mut titles = Vec::new();
    for script in PLACES {
        let mut bench = Bench::small((120, 36));
        go(&mut bench, script);
        for (_, key) in asked_here(&bench) {
            let mut opened = bench.clone();
            opened.strike(&key.to_string());
            let Some((all, _)) = opened.state.overlay.as_ref().and_then(lines) else { continue };
            for (place, text) in all.iter().enumerate().filter(|(_, text)| text.is_ascii() && text.len() > 4) {
                assert!(leads_to_a_line(&opened, place, text), "{script} {key}: {text}\n{}", opened.screen());
            }
            titles.push(opened.screen());
        }
    }
    for known in ["Problems", "Template", "Chord shapes"] {
        let seen = known == "Template" || titles.iter().any(|screen| screen.contains(known));
        assert!(seen, "no list was seen that is called {known}");
    }
}

#[test]
fn letters_typed_over_the_problems_select_one_and_move_the_view() {
    let mut lesson = small_lesson();
    for _ in 0..40 {
        lesson.segments.push(lesson.segments[3].clone());
    }
    for (place, segment) in lesson.segments.iter_mut().enumerate().skip(4) {
        segment.id = fingerpost::lesson::id::SegmentId(100 + u32::try_from(place).unwrap());
        segment.title = if place == 40 { "Zebra".to_owned() } else { "Yes".to_owned() };
        segment.planned = fingerpost::lesson::time::VideoLength::ZERO;
    }
    let mut bench = Bench::on(lesson, (80, 24));
    bench.strike("w \"zeb\"");
    assert!(bench.screen().contains("Zebra"), "{}", bench.screen());
    assert_eq!(bench.notice(), "");
    bench.strike("x");
    assert_eq!(bench.notice(), "`x`: no line here begins with that");
}

#[test]
fn letters_lead_to_a_line_of_the_start_screen() {
    let mut bench = Bench::start_screen((80, 24));
    bench.strike("D");
    assert_eq!(bench.notice(), "");
    let pointed =
        |bench: &Bench| bench.screen().lines().find(|line| line.starts_with(" ▸")).unwrap_or_default().to_owned();
    assert!(pointed(&bench).contains("Demo: "), "{}", bench.screen());
    bench.strike("Up \"lib\"");
    assert!(pointed(&bench).contains("Library"), "{}", bench.screen());
    bench.strike("Up \"new l\"");
    assert!(pointed(&bench).contains("New lesson"), "{}", bench.screen());
    // While a word is typed, its letters are no keys of the program.
    let mut bench = Bench::start_screen((80, 24));
    bench.strike("\"reelq\"");
    assert!(bench.wanted.is_empty(), "{:?}", bench.wanted);
}

#[test]
fn the_problem_of_an_unused_tuning_leads_to_the_box_of_that_tuning() {
    let mut lesson = small_lesson();
    let mut unused = lesson.setups[0].clone();
    unused.id = fingerpost::lesson::id::SetupId(77);
    unused.name = "kept aside".to_owned();
    lesson.setups.push(unused);
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("P w \"tuning\" Enter");
    assert!(bench.screen().contains("kept aside") && bench.screen().contains("delete..."), "{}", bench.screen());
    assert_eq!(bench.desk().focus, Focus::Timeline);
    bench.send(Message::Key(Keystroke::plain(fingerpost::workbench::keys::keystroke::Cap::End)));
    bench.strike("Enter");
    assert!(bench.lesson().setups.iter().all(|setup| setup.name != "kept aside"), "{}", bench.screen());
}
