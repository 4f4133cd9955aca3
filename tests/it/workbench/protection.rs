//! What the screen says while changes are in no journal, and where else a lesson can be saved.

use fingerpost::store::open_lesson::FormatRenewal;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::messages::effect::{Effect, FileEffect, TerminalEffect};
use fingerpost::workbench::messages::message::{Message, SavedFile};
use fingerpost::workbench::messages::notice::Notice;

use super::bench::Bench;

const WHY: &str = "no journal, so that a crash would lose what is not saved; save the lesson (the disk is full)";

/// A bench with a change that is in no journal.
fn unprotected(size: (u16, u16)) -> Bench {
    let mut bench = Bench::small(size);
    bench.strike("Delete");
    bench.send(Message::JournalFailed(WHY.to_owned()));
    bench
}

fn lines(bench: &Bench) -> Vec<String> {
    bench.screen().lines().map(str::to_owned).collect()
}

#[test]
fn a_journal_that_has_stopped_stays_on_the_screen_until_it_works_again() {
    for size in [(80, 24), (120, 36), (200, 50)] {
        let mut bench = unprotected(size);
        let foot = usize::from(size.1) - 2;
        let says = |bench: &Bench| {
            let lines = lines(bench);
            lines[0].trim_end().ends_with("NOT SAVED, NO JOURNAL")
                && lines[foot].contains("no journal, so that a crash")
        };
        assert!(says(&bench), "{}", bench.screen());
        // No other message and no key covers it, and it is said once.
        bench.send(Message::Told(Notice::done("something else")));
        bench.send(Message::JournalFailed(WHY.to_owned()));
        assert_eq!(bench.notice(), "something else");
        // One too long for its line covers the hints otherwise.
        bench.send(Message::Told(Notice::trouble("so much to tell ".repeat(20))));
        assert!(says(&bench), "{}", bench.screen());
        bench.strike("P Down F");
        assert!(says(&bench), "{}", bench.screen());
        bench.strike("V");
        assert!(lines(&bench)[foot].contains("no journal"), "{}", bench.screen());
        bench.strike("Esc");
        // Undone is as saved, but what was undone would come back after a crash.
        bench.strike("u");
        assert!(lines(&bench)[0].trim_end().ends_with("saved, NO JOURNAL"), "{}", bench.screen());
        bench.strike("U");
        assert!(says(&bench), "{}", bench.screen());
        bench.send(Message::JournalMended);
        assert!(!bench.screen().contains("no journal, so that"), "{}", bench.screen());
        assert!(lines(&bench)[0].trim_end().ends_with("not saved yet"), "{}", bench.screen());
    }
}

#[test]
fn nothing_is_said_to_be_in_a_journal_that_has_stopped() {
    let mut bench = unprotected((100, 30));
    bench.strike("q");
    let screen = bench.screen();
    assert!(
        screen.contains("what is not in the journal is LOST") && !screen.contains("come back next time"),
        "{screen}"
    );
    bench.strike("Esc");
    bench.send(Message::SaveConflict("the file was changed by another program".to_owned()));
    assert!(!bench.screen().contains("stay in the journal"), "{}", bench.screen());
    bench.strike("Esc");
    bench.send(Message::Saved(Err("the disk is full".to_owned())));
    assert!(!bench.screen().contains("the changes are in the journal"), "{}", bench.screen());
}

#[test]
fn whoever_quits_with_a_full_disk_can_save_in_another_place() {
    let mut bench = unprotected((100, 30));
    bench.strike("q Down Enter");
    let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("{}", bench.screen()) };
    assert_eq!(entry.line.text(), "~/workbench.lesson.ron");
    bench.strike("Ctrl+U \"/stick\" Enter");
    let Some(Effect::Files(FileEffect::SaveAt(work, path))) = bench.wanted.pop() else { panic!("{:?}", bench.wanted) };
    assert_eq!((&work.lesson, path.to_str()), (bench.lesson(), Some("/stick")));
    let path = "/stick/workbench.lesson.ron".into();
    bench.send(Message::Saved(Ok(SavedFile { path, renewed: FormatRenewal::No })));
    assert_eq!(bench.wanted.pop(), Some(Effect::Terminal(TerminalEffect::Quit)));
}

#[test]
fn a_save_that_fails_on_the_way_out_offers_another_place() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Delete q");
    bench.state.after_save = fingerpost::workbench::questions::program::AfterSave::Quit;
    bench.send(Message::Saved(Err("the disk is full".to_owned())));
    assert!(bench.screen().contains("save in another place..."), "{}", bench.screen());
    bench.strike("Enter \"x\" Esc");
    assert!(bench.state.desk().is_some(), "nothing was left");
}
