//! Enter never comes to nothing without a word.

use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Action;
use fingerpost::workbench::messages::message::Message;

use super::bench::Bench;
use super::changes::{PLACES, asked_here, go};

/// What a person sees of an answer.
fn standing(bench: &Bench) -> (Option<(u64, String)>, Option<Overlay>, String, usize) {
    let desk = bench.state.desk();
    let lesson = desk.map(|desk| (desk.lesson.revision(), format!("{:?} {:?}", desk.focus, desk.fretboard.grip())));
    (lesson, bench.state.overlay.clone(), bench.notice().to_owned(), bench.wanted.len())
}

/// How many lines the box on top has.
fn lines(overlay: &Overlay) -> usize {
    match overlay {
        Overlay::Choice(choice) => choice.lines.len(),
        Overlay::Marks(marks) => marks.lines.len(),
        Overlay::List(list) => list.lines.len(),
        Overlay::Search(search) => search.found().len(),
        Overlay::Help(help) => help.shown().len(),
        Overlay::Entry(_) | Overlay::Points(_) | Overlay::Preview(_) => 1,
    }
}

/// Presses Enter on each line of the box on top; returns where nothing comes of it, and what opens then.
fn presses(bench: &Bench, place: &str, silent: &mut Vec<String>) -> Vec<Bench> {
    let Some(overlay) = &bench.state.overlay else { return Vec::new() };
    // Enter begins a new line of what is written, and what is accepted is accepted by another key.
    let key = if matches!(overlay, Overlay::Points(_)) { "Ctrl+S" } else { "Enter" };
    let mut opened = Vec::new();
    for line in 0..lines(overlay).min(80) {
        let mut bench = bench.clone();
        if matches!(overlay, Overlay::Choice(_) | Overlay::Marks(_)) {
            bench.strike("Home");
        }
        (0..line).for_each(|_| _ = bench.strike("Down"));
        bench.state.said.notice = None;
        bench.wanted.clear();
        let before = standing(&bench);
        bench.strike(key);
        let after = standing(&bench);
        let closed = after.1.is_none() && before.1.is_some();
        let refused = matches!(&after.1, Some(Overlay::Entry(entry)) if entry.error.is_some());
        let heard = after.0 != before.0 || !after.2.is_empty() || after.3 > 0 || refused;
        let other = after.1 != before.1 && !closed;
        if !heard && !other {
            silent.push(format!(
                "{place}, line {line} of {}",
                bench.screen().lines().find(|line| line.contains('┌')).unwrap_or("")
            ));
        }
        if other && !refused {
            opened.push(bench);
        }
    }
    opened
}

#[test]
fn enter_on_any_line_of_any_box_does_something_or_says_why_not() {
    let mut silent = Vec::new();
    let mut seen: Vec<Overlay> = Vec::new();
    let mut waiting: Vec<(String, Bench)> = Vec::new();
    for place in PLACES {
        let mut there = Bench::small((100, 30));
        go(&mut there, place);
        waiting.push((place.to_owned(), there.clone()));
        for (action, key) in asked_here(&there) {
            let mut bench = there.clone();
            bench.send(Message::Key(key));
            if !matches!(action, Action::Program(_)) || bench.state.overlay != there.state.overlay {
                waiting.push((format!("{place}: {action:?}"), bench));
            }
        }
    }
    while let Some((place, bench)) = waiting.pop() {
        let Some(overlay) = bench.state.overlay.clone().filter(|overlay| !seen.contains(overlay)) else { continue };
        // Each search and each help has the same lines, in another order.
        if matches!(overlay, Overlay::Search(_) | Overlay::Help(_))
            && seen.iter().any(|known| known.pane() == overlay.pane())
        {
            continue;
        }
        seen.push(overlay);
        if seen.len() < 200 {
            let opened = presses(&bench, &place, &mut silent);
            waiting.extend(opened.into_iter().map(|bench| (format!("{place}, Enter"), bench)));
        }
    }
    assert!(seen.len() > 40, "{} boxes", seen.len());
    silent.sort();
    silent.dedup();
    assert!(silent.is_empty(), "Enter comes to nothing:\n{}", silent.join("\n"));
}

#[test]
fn saving_is_saving_over_every_box() {
    for (script, saves) in
        [("Enter", true), ("k", true), ("t", true), ("w", true), ("Ctrl+F", true), ("?", true), ("L f", true)]
    {
        let mut bench = Bench::small((80, 24));
        bench.strike("l \"2:00\" Enter");
        bench.strike(script);
        let open = bench.state.overlay.clone();
        bench.strike("Ctrl+S");
        assert_eq!(bench.saved.is_some(), saves, "{script}");
        assert_eq!(bench.saved.as_ref(), Some(bench.lesson()), "{script}");
        assert_eq!(bench.state.overlay, open, "{script}: the box stays");
        assert!(bench.notice().starts_with("saved in"), "{script}: {}", bench.notice());
    }
    let mut start = Bench::start_screen((80, 24));
    start.strike("Ctrl+F Ctrl+S");
    assert_eq!(start.notice(), "no lesson is open");
}
