//! Killed in the middle of it, hundreds of times: what was acknowledged comes back.
//!
//! The workbench without a terminal is the measure. It is struck with the same keys, so after each of them the
//! lesson and the screen are known. A kill may only lose what had not reached the screen; whatever comes back has to
//! be a lesson that was there after some key, and no earlier one than the screen has shown. With it come the words in
//! boxes that were open, and the fingers that no voicing holds; both survive a second kill at once.

use std::collections::HashMap;
use std::path::Path;

use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::edit::Edit;
use fingerpost::lesson::fresh::Seed;
use fingerpost::lesson::history::Change;
use fingerpost::lesson::id::ItemId;
use fingerpost::lesson::links::Fate;
use fingerpost::store::draft::{self, Draft};
use fingerpost::store::folders::Folders;
use fingerpost::store::library::Library;
use fingerpost::store::open_lesson::{Access, OpenLesson, OpeningNotice, SavedState};
use fingerpost::store::settings::Settings;
use fingerpost::store::undo_file::UndoFolder;
use fingerpost::workbench::keys::keystroke::Keystroke;
use fingerpost::workbench::library::item::LibraryItem;
use fingerpost::workbench::messages::effect::{Effect, FileEffect};
use fingerpost::workbench::messages::message::{Message, OpenedLesson};
use tempfile::TempDir;

use super::screen::{self, LESSON, Session, tidy};
use crate::workbench::bench::{Bench, small_lesson};
use crate::workbench::random::Dice;

const SIZE: (u16, u16) = (100, 30);
/// How often each kind of work is killed; with six kinds more than two hundred times.
const KILLS: usize = 36;

/// Returns what a terminal sends for a key, by xterm's control sequences.
fn sent(key: &str) -> String {
    let named = match key {
        "Up" => "\x1b[A",
        "Down" => "\x1b[B",
        "Right" => "\x1b[C",
        "Left" => "\x1b[D",
        "End" => "\x1b[F",
        "Home" => "\x1b[H",
        "Shift+Up" => "\x1b[1;2A",
        "Shift+Down" => "\x1b[1;2B",
        "Delete" => "\x1b[3~",
        "Shift+Delete" => "\x1b[3;2~",
        "Ctrl+End" => "\x1b[1;5F",
        "PageUp" => "\x1b[5~",
        "PageDown" => "\x1b[6~",
        "Enter" => "\r",
        "Backspace" => "\x7f",
        "Space" => " ",
        "Ctrl+S" => "\x13",
        "Ctrl+X" => "\x18",
        "Ctrl+V" => "\x16",
        letter => letter,
    };
    named.to_owned()
}

/// One thing after another, at random: keys apart by spaces, and of each `*` any letter or digit.
struct Work {
    /// What puts the pane in question in focus, each time the program has started.
    first: &'static [&'static str],
    scripts: &'static [&'static str],
}

impl Work {
    fn keys(&self, dice: &mut Dice, at_least: usize) -> Vec<String> {
        const LETTERS: [&str; 12] = ["e", "n", "o", "s", "日", "é", "W", "7", "-", "Space", "a", "r"];
        let mut keys = Vec::new();
        while keys.len() < at_least {
            for key in dice.pick(self.scripts).split(' ') {
                keys.push(if key == "*" { dice.pick(&LETTERS).to_owned() } else { key.to_owned() });
            }
        }
        keys
    }
}

/// What is there after a key.
struct After {
    lesson: Lesson,
    screen: String,
    beside: Beside,
}

/// What is not in the lesson: the fingers that no voicing holds, and what is asked and written in boxes.
type Beside = (String, Vec<(String, String)>);

fn beside(draft: &Draft) -> Beside {
    (draft.fingers.clone(), draft.boxes.iter().map(|kept| (kept.about.clone(), kept.words.clone())).collect())
}

fn strike(bench: &mut Bench, keys: &[String]) -> Vec<After> {
    let strike = |key: &String| {
        bench.send(Message::Key(key.parse::<Keystroke>().unwrap()));
        let (lesson, screen) = (without_chance(bench.lesson().clone()), tidy(&bench.screen()));
        After { lesson, screen, beside: beside(&bench.draft) }
    };
    keys.iter().map(strike).collect()
}

/// Returns the lesson with its things counted instead of numbered by chance: the program and the workbench in
/// memory draw other numbers.
fn without_chance(mut lesson: Lesson) -> Lesson {
    let identities: Vec<ItemId> = lesson.identities().collect();
    let counted = |item: &ItemId| lesson.position(*item).and_then(|at| u32::try_from(at).ok());
    let places: HashMap<ItemId, u32> = identities.iter().filter_map(|item| Some((*item, counted(item)?))).collect();
    lesson.relink(|link| places.get(&link.to).map_or(Fate::Stays, |place| Fate::To(*place)));
    for (item, place) in &places {
        let at = usize::try_from(*place).unwrap();
        lesson.apply(Edit::renumber(at, item.with_number(*place))).unwrap();
    }
    lesson
}

/// What the file and its journal give back.
struct GivenBack {
    lesson: Lesson,
    state: SavedState,
    /// What undo goes on with behind the last save.
    undoable_behind: Vec<Change>,
    /// What undo goes on with.
    undoable: Vec<Change>,
}

fn recovered(home: &Path) -> GivenBack {
    let opened = OpenLesson::open(&home.join(LESSON)).unwrap();
    let undoable = opened.file.notices().iter().find_map(|notice| {
        if let OpeningNotice::Recovered(recovered) = notice { Some(recovered.undoable.clone()) } else { None }
    });
    let folders = Folders::under(home);
    let left = |identity| UndoFolder::of(&folders).left(identity, opened.file.fingerprint());
    let undoable_behind = opened.file.identity().map(left).unwrap_or_default();
    let undoable = undoable.unwrap_or_default();
    GivenBack { lesson: opened.lesson, state: opened.state, undoable_behind, undoable }
}

/// A workbench in memory that stands as the program will when it opens the lesson.
fn measure(home: &Path, given: &GivenBack) -> Bench {
    let folders = Folders::under(home);
    let mut bench = Bench::start_screen(SIZE);
    bench.library = Library::load(&folders).unwrap();
    bench.state.chosen.neck = Settings::load(&folders).0.neck;
    bench.replayed = given.lesson.clone();
    let library = bench.library.voicings.iter().cloned().map(LibraryItem::from).collect::<Vec<LibraryItem>>().into();
    let (lesson, path) = (given.lesson.clone(), home.join(LESSON));
    bench.send(Message::Opened(Ok(Box::new(OpenedLesson {
        lesson,
        path,
        access: Access::Full,
        state: given.state,
        seed: Seed(1),
        library,
        apart: Vec::new(),
        undoable_behind: given.undoable_behind.clone(),
        undoable: given.undoable.clone(),
        left_at: None,
        notice: None,
    }))));
    if let Some(draft) = draft::left(&home.join(LESSON)) {
        bench.send(Message::Drafted(Box::new(draft)));
    }
    bench
}

/// Starts the program on the lesson and waits until it is there.
fn start(home: TempDir) -> Session {
    let session = Session::start_in(home, &["open", LESSON], SIZE, &[]);
    session.wait_for("the lesson, and what came back", |screen| {
        let said = ["all keys", "brought back ", "is back in its box", "are back on the fretboard"];
        said.iter().any(|said| screen.contains(said))
    });
    session
}

/// What lies beside the lesson in the folder.
fn left(home: &Path) -> Beside {
    beside(&draft::left(&home.join(LESSON)).unwrap_or_default())
}

fn one_life(home: TempDir, work: &Work, dice: &mut Dice, lesson: &mut Lesson) -> TempDir {
    let found = recovered(home.path());
    assert_eq!(found.lesson, *lesson, "opening it twice gives the same");
    let mut bench = measure(home.path(), &found);
    let mut session = start(home);
    let first: Vec<String> = work.first.iter().map(|key| (*key).to_owned()).collect();
    let count = 1 + dice.roll(8);
    let calm = [first, work.keys(dice, count)].concat();
    let shown = strike(&mut bench, &calm);
    session.type_keys(&calm.iter().map(|key| sent(key)).collect::<String>());
    let wanted = &shown.last().unwrap().screen;
    session.wait_for(&format!("the screen after {calm:?}:\n{wanted}\n"), |screen| tidy(screen) == *wanted);
    // Nobody waits for these.
    let hasty = work.keys(dice, 12);
    let mut shown = shown.into_iter().rev();
    let (last_shown, before) = (shown.next(), shown.next());
    let after: Vec<After> = last_shown.into_iter().chain(strike(&mut bench, &hasty)).collect();
    let cut = dice.roll(hasty.len() + 1);
    session.type_keys(&hasty[..cut].iter().map(|key| sent(key)).collect::<String>());
    session.type_keys(&hasty[cut..].iter().map(|key| sent(key)).collect::<String>());
    let (mut home, last) = session.kill();
    // The latest key that the screen shows for certain: where several look the same, the first of these.
    let acknowledged = after.iter().position(|after| after.screen == last).unwrap_or(0);
    *lesson = recovered(home.path()).lesson;
    let came_back = (without_chance(lesson.clone()), left(home.path()));
    // What lies beside the lesson is kept after the change of the lesson that the same key makes.
    let first = before.as_ref().or_else(|| after.first()).map(|before| before.beside.clone());
    let earlier: Vec<Beside> = first.into_iter().chain(after.iter().map(|after| after.beside.clone())).collect();
    let fits = |(after, earlier): (&After, &Beside)| {
        after.lesson == came_back.0 && (after.beside == came_back.1 || *earlier == came_back.1)
    };
    // A file that is asked for is read by the program, and not by the workbench in memory: from there on the two differ.
    let reads_file = bench.wanted.iter().any(|wanted| matches!(wanted, Effect::Files(FileEffect::ReadTab(_))));
    assert!(
        reads_file || after.iter().zip(&earlier).skip(acknowledged).any(fits),
        "{calm:?} {hasty:?}: the screen had shown {acknowledged} of the hasty keys, {:?} came back\n{last}",
        came_back.1
    );
    if dice.roll(3) == 0 {
        (home, _) = start(home).kill();
        let again = (without_chance(recovered(home.path()).lesson), left(home.path()));
        assert_eq!(again, came_back, "killed twice: {calm:?} {hasty:?}");
    }
    home
}

fn killed_at(seed: u64, work: &Work) {
    let mut dice = Dice(seed);
    let mut home = screen::home_with_lesson();
    let mut lesson = small_lesson();
    for _ in 0..KILLS {
        home = one_life(home, work, &mut dice, &mut lesson);
    }
}

#[test]
fn while_typing_in_boxes() {
    let scripts = &[
        "a * * * Enter",
        "Enter * * Backspace * Enter",
        "l 1 : 3 0 Enter",
        "l + 1 5 Enter",
        "p * * Enter * * Ctrl+S",
        "' * * * Ctrl+S",
        "n * * Enter A Enter",
        "Down",
        "u",
        "U",
    ];
    killed_at(11, &Work { first: &["T"], scripts });
}

#[test]
fn while_changing_the_timeline() {
    let scripts =
        &["Down", "Up", "c", "Delete", "j", "Shift+Down", "Shift+Up", "u", "U", "k Down Enter", "X 0 : 1 0 Enter"];
    killed_at(12, &Work { first: &["T"], scripts });
}

#[test]
fn while_fingers_are_put_on_the_fretboard() {
    let scripts = &[
        "Up",
        "Down",
        "Left",
        "Right",
        "5",
        "x",
        "o",
        "Space",
        "v",
        "d",
        "N",
        "D",
        "Ctrl+End",
        "u",
        "s x 3 2 0 1 0 Enter v",
    ];
    killed_at(13, &Work { first: &["T", "Home", "Down", "F"], scripts });
}

#[test]
fn while_tab_is_written_in_the_passage() {
    let scripts = &[
        "Up",
        "Down",
        "Left",
        "Right",
        "End",
        "Home",
        "0",
        "3",
        "1 2",
        "Space",
        "/",
        "l 1 / 4 Enter",
        ".",
        "h",
        "m",
        "Delete",
        "Shift+Delete",
        "I",
        "D",
        "u",
        "U",
        "c Ctrl+V",
        "Ctrl+X",
        "n G Enter",
    ];
    killed_at(14, &Work { first: &["T", "Home", "Down", "P"], scripts });
}

#[test]
fn while_the_library_is_used() {
    let scripts = &[
        "F v Ctrl+End",
        "L Down",
        "L Up",
        "L i",
        "L e Space * Enter",
        "L Delete",
        "F Ctrl+End",
        "T Down",
        "T Up",
        "u",
        "U",
    ];
    killed_at(15, &Work { first: &["T", "Home", "Down"], scripts });
}

#[test]
fn while_the_lesson_is_saved() {
    let scripts = &["Ctrl+S", "a * Enter Ctrl+S", "Delete Ctrl+S", "u Ctrl+S", "U", "c", "Shift+Down Ctrl+S Ctrl+S"];
    killed_at(16, &Work { first: &["T"], scripts });
}

#[test]
fn while_questions_of_the_passage_and_the_fretboard_are_open() {
    let scripts = &[
        "P n G Left m Enter",
        "P ' * * * Left * Enter",
        "P Right n * *",
        "P l Home 1 Enter",
        "P # Backspace 2 Enter",
        "T Enter * * Left Left * Enter",
        "T p * * Enter * Up Left * Ctrl+S",
        "F s x 3 2 0 1 0 Enter",
        "F 5 Down 3",
        "u",
    ];
    killed_at(17, &Work { first: &["T", "Home", "Down"], scripts });
}
