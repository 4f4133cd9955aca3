//! What the screen says is kept is kept: a random session at the keys, on a disk that fails at one of its calls, is killed or left,
//! and the lesson is opened again. Where the power fails, what was shown five seconds before has to be there.
//!
//! The session runs the loop of the program itself without a terminal. After each step the screen is read, and what it says is noted
//! (`said`): the lesson is saved, or its changes are in the journal, or they are in no journal. Words in open boxes, fingers, library
//! and settings count as kept unless it was told that they are not. Afterwards all that was noted must be there.

mod again;
mod at_the_keys;
mod lives;
mod power;
mod said;
mod weather;

use std::fs;
use std::path::Path;

use fingerpost::store::lesson_file;
use fingerpost::store::library::{Library, LibraryVoicing};
use fingerpost::store::open_lesson::OpenLesson;
use fingerpost::store::settings::NeckSettings;
use fingerpost::workbench::editing::rigs::standard_guitar;
use proptest::prelude::*;

use at_the_keys::{Answer, AtTheKeys, Doing, House, Step};
use power::{PowerCut, Unsynced};
use said::Said;
use weather::{Begins, Fault};

/// How a session begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Beginning {
    /// With a lesson as it was saved.
    Saved,
    /// With changes that wait in a journal, and words in a draft.
    Waiting,
    /// With a journal that waits for a file which another program has changed since.
    ChangedMeanwhile,
    /// With a lesson that another window has open.
    OpenElsewhere,
    /// In a folder in which nothing may be written.
    Protected,
    /// With a file name so long that nothing can lie beside it.
    LongName,
}

/// A session, and what fails in it.
#[derive(Debug, Clone)]
struct Session {
    beginning: Beginning,
    steps: Vec<Step>,
    faults: Vec<(u16, Fault)>,
}

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let keys = prop::sample::select(at_the_keys::SCRIPTS).prop_map(Doing::Keys);
    let doing = prop_oneof![
        12 => keys,
        2 => Just(Doing::Keys("Ctrl+S")),
        1 => prop::sample::select(&["Esc", "Enter", "u", "r"][..]).prop_map(Doing::Keys),
        2 => prop::sample::select(&[10_u64, 500, 3_100][..]).prop_map(Doing::Wait),
        1 => Just(Doing::PasteScript),
        1 => Just(Doing::ChangedByAnother),
        1 => Just(Doing::RenamedByAnother),
        1 => (prop::sample::select(Unsynced::ALL), prop::sample::select(Unsynced::ALL))
            .prop_map(|(names, contents)| Doing::PowerFails(PowerCut { names, contents })),
        1 => Just(Doing::OtherWindowGoes),
        3 => prop::sample::select(Answer::ALL).prop_map(Doing::Quit),
        1 => any::<bool>().prop_map(|looked_at| Doing::Kill { looked_at }),
    ];
    let step = (doing, any::<bool>()).prop_map(|(doing, jobs_done)| Step { doing, jobs_done });
    prop::collection::vec(step, 3..12)
}

fn fault() -> impl Strategy<Value = Fault> {
    let begins = prop::sample::select(&[Begins::Whole, Begins::Half, Begins::OneByte][..]);
    let calls = prop::sample::select(&[1, 1, 1, 3, 12, 60, usize::MAX][..]);
    let kind = prop::sample::select(&[std::io::ErrorKind::StorageFull, std::io::ErrorKind::Other][..]);
    (begins, calls, kind).prop_map(|(begins, calls, kind)| Fault { at: 0, calls, begins, kind })
}

fn sessions() -> impl Strategy<Value = Session> {
    let beginning = prop::sample::select(
        &[
            Beginning::Saved,
            Beginning::Saved,
            Beginning::Saved,
            Beginning::Waiting,
            Beginning::ChangedMeanwhile,
            Beginning::OpenElsewhere,
            Beginning::Protected,
            Beginning::LongName,
        ][..],
    );
    (beginning, steps(), prop::collection::vec((any::<u16>(), fault()), 5))
        .prop_map(|(beginning, steps, faults)| Session { beginning, steps, faults })
}

/// Prepares the disk for a session.
fn house(beginning: Beginning) -> House {
    let name = if beginning == Beginning::LongName { "n".repeat(255 - 11) } else { "porch".to_owned() };
    let mut house = House::new(&name);
    let kept = LibraryVoicing::plain("C", "x32010".parse().unwrap(), &standard_guitar());
    Library::keep(&house.real_folders(), &[kept]).unwrap();
    match beginning {
        Beginning::Saved | Beginning::LongName => {}
        Beginning::Waiting | Beginning::ChangedMeanwhile => {
            let mut before = AtTheKeys::start(&house).unwrap();
            before.strike("T Down Enter Home \"From before \" Enter a \"half a wo\"");
            before.kill();
            if beginning == Beginning::ChangedMeanwhile {
                house.change_from_outside("meanwhile");
            }
        }
        Beginning::OpenElsewhere => house.other_window = Some(OpenLesson::open(&house.path).unwrap().file),
        Beginning::Protected => house.weather.protect(house.path.parent().unwrap()),
    }
    house
}

/// Runs a session with a fault, or with none; returns how many calls of the disk it made.
fn run(session: &Session, fault: Option<Fault>) -> usize {
    let mut house = house(session.beginning);
    let mut said = Said::before(&house);
    house.weather.begin(fault);
    let mut seat = AtTheKeys::start(&house);
    if let Some(seat) = &mut seat {
        said.hear(seat, &house, None);
        said.opened(seat, session.beginning == Beginning::ChangedMeanwhile);
    }
    for step in &session.steps {
        let Some(mut here) = seat.take() else { break };
        seat = match step.doing {
            Doing::Kill { looked_at } => {
                here.kill();
                if looked_at {
                    house.weather.pause();
                    look(&house, &mut said);
                    house.weather.go_on();
                }
                start_again(&house, &mut said)
            }
            Doing::PowerFails(cut) => {
                said.power_fails(here.now());
                here.kill();
                house.weather.cut_power(cut);
                start_again(&house, &mut said)
            }
            Doing::RenamedByAnother => {
                // Whoever has it open elsewhere has it under the old name.
                if house.other_window.is_none()
                    && let Some(old) = house.rename_from_outside()
                {
                    said.renamed_by_another(&old, &house.path);
                }
                Some(here)
            }
            Doing::ChangedByAnother => {
                if fs::metadata(&house.path).is_ok() && house.change_from_outside("another") {
                    said.changed_by_another("another");
                }
                Some(here)
            }
            Doing::OtherWindowGoes => {
                house.other_window = None;
                here.wait(3_100);
                here.strike("Shift+F8");
                said.hear(&here, &house, Some(step));
                Some(here)
            }
            Doing::Keys(_) | Doing::Wait(_) | Doing::PasteScript | Doing::Quit(_) => match here.take(step, &house) {
                at_the_keys::Went::On => {
                    let is_fine = house.weather.is_fine();
                    said.hear(&here, &house, Some(step));
                    if is_fine && matches!(step.doing, Doing::Wait(millis) if millis > 3_000) {
                        here.wait(3_100);
                        said.hear(&here, &house, Some(step));
                        said.is_mended(&here);
                    }
                    house.follow(&here);
                    Some(here)
                }
                at_the_keys::Went::Out => {
                    said.hear(&here, &house, Some(step));
                    house.follow(&here);
                    said.left(here);
                    start_again(&house, &mut said)
                }
            },
        };
    }
    seat.into_iter().for_each(AtTheKeys::kill);
    house.other_window = None;
    let calls = house.weather.pause();
    // Once as it is, and once more after a second kill at once.
    look(&house, &mut said);
    look(&house, &mut said);
    said.files_hold_what_they_held();
    calls
}

/// Opens the lesson again on the disk as it is, and compares.
fn start_again(house: &House, said: &mut Said) -> Option<AtTheKeys> {
    let seat = AtTheKeys::start(house)?;
    said.compare(&seat, house);
    said.hear(&seat, house, None);
    Some(seat)
}

/// Opens the lesson on a disk that works, compares all of it, and is killed.
fn look(house: &House, said: &mut Said) {
    let seat = AtTheKeys::start(house).unwrap_or_else(|| panic!("{} cannot be opened", house.path.display()));
    said.compare(&seat, house);
    said.compare_own_files(house);
    said.hear(&seat, house, None);
    seat.kill();
}

fn check(session: &Session) {
    let calls = run(session, None);
    let at = |place: u16| usize::from(place) * calls / (usize::from(u16::MAX) + 1);
    if std::env::var_os("EVERY_CALL").is_some() {
        let ways = session.faults.iter().map(|(_, fault)| *fault);
        ways.for_each(|fault| (0..calls).for_each(|at| _ = run(session, Some(Fault { at, ..fault }))));
    } else {
        session.faults.iter().for_each(|(place, fault)| _ = run(session, Some(Fault { at: at(*place), ..*fault })));
    }
}

/// How many sessions are tried, five faults in each: as many as are asked for, or a few.
fn config() -> ProptestConfig {
    let asked = std::env::var_os("PROPTEST_CASES").is_some();
    let usual = ProptestConfig { max_shrink_iters: 200, failure_persistence: None, ..ProptestConfig::default() };
    if asked { usual } else { ProptestConfig { cases: 6, ..usual } }
}

proptest! {
    #![proptest_config(config())]
    #[test]
    fn what_the_screen_says_is_kept_is_there_afterwards_whatever_fails(session in sessions()) {
        check(&session);
    }
}

/// Short sessions in which each thing that is said to be kept is said, and every fifth of its calls fails once, or with `EVERY_CALL`
/// every one.
#[test]
fn what_is_said_of_each_thing_is_so_whichever_call_fails() {
    use Doing::{Keys, Kill, Quit, Wait};
    let sessions: [&[Doing]; 5] = [
        &[Keys("T Home Delete"), Keys("Ctrl+S")],
        &[Keys("F Q"), Quit(Answer::Leave)],
        &[Keys("F Shift+Delete s \"577655\" Enter v"), Wait(10), Quit(Answer::Leave)],
        &[Keys("T Delete Enter \"x\" Ctrl+C"), Kill { looked_at: true }],
        &[Keys("F Shift+Delete s \"x02210\" Enter T Delete"), Quit(Answer::Discard)],
    ];
    for doings in sessions {
        let steps = doings.iter().map(|doing| Step { doing: *doing, jobs_done: false }).collect();
        let session = Session { beginning: Beginning::Saved, steps, faults: Vec::new() };
        let calls = run(&session, None);
        let once = |at| Fault { at, calls: 1, begins: Begins::Whole, kind: std::io::ErrorKind::StorageFull };
        let step = if std::env::var_os("EVERY_CALL").is_some() { 1 } else { 5 };
        (0..calls).step_by(step).for_each(|at| _ = run(&session, Some(once(at))));
    }
}

/// Words that were answered may stay on the disk; whoever throws everything away is told so then as well.
#[test]
fn words_that_stay_although_everything_is_thrown_away_are_told_of_again() {
    let doings = [Doing::Keys("Esc"), Doing::Quit(Answer::Discard)];
    let steps = doings.into_iter().map(|doing| Step { doing, jobs_done: false }).collect();
    let session = Session { beginning: Beginning::Waiting, steps, faults: Vec::new() };
    let count = run(&session, None);
    for calls in [3, 12] {
        let from = |at| Fault { at, calls, begins: Begins::Whole, kind: std::io::ErrorKind::StorageFull };
        (0..count).step_by(2).for_each(|at| _ = run(&session, Some(from(at))));
    }
}

/// What is large is handed over when the keys pause, or when somebody leaves.
#[test]
fn words_that_could_not_be_kept_when_somebody_left_are_printed() {
    let house = house(Beginning::Saved);
    let mut seat = AtTheKeys::start(&house).unwrap();
    seat.strike("T Down P");
    seat.paste("e|--3--5--|\nB|--1--1--|\nG|--0--0--|\n\n".repeat(600));
    seat.strike("\"Long\"");
    let full = Fault { at: 0, calls: usize::MAX, begins: Begins::Whole, kind: std::io::ErrorKind::StorageFull };
    house.weather.begin(Some(full));
    assert_eq!(seat.strike("Ctrl+C"), at_the_keys::Went::Out);
    let (ending, _) = seat.close();
    let lost = ending.lost_draft.unwrap_or_default();
    assert!(lost.starts_with("what is not in the lesson could not be kept: ") && lost.ends_with("Long"), "{lost}");
}

fn is_lesson(path: &Path) -> bool {
    lesson_file::load(path).is_ok()
}

/// The session test sees what it should: a lesson that was changed behind its back is found out.
#[test]
#[should_panic(expected = "promised")]
fn a_lesson_that_lost_what_was_promised_is_found_out() {
    let house = house(Beginning::Saved);
    let mut said = Said::before(&house);
    let mut seat = AtTheKeys::start(&house).unwrap();
    seat.strike("T Delete");
    said.hear(&seat, &house, None);
    seat.kill();
    let journal = fingerpost::store::journal::Journal::path_for(&house.path);
    assert!(is_lesson(&house.path) && NeckSettings::default() == said.neck());
    fs::remove_file(journal).unwrap();
    look(&house, &mut said);
}
