//! Somebody at the keys of a workbench without a terminal.

use std::cell::Cell;
use std::fs;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::{Arc, Mutex};
use std::time::Duration;

use anyhow::Result;
use fingerpost::lesson::document::Lesson;
use fingerpost::store::folders::Folders;
use fingerpost::store::lesson_file::{self, Replace};
use fingerpost::store::open_lesson::OpenLesson;
use fingerpost::store::settings::ListeningSettings;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::jobs::queue::Jobs;
use fingerpost::workbench::messages::message::Message;
use fingerpost::workbench::playback::playing::SoundOrder;
use fingerpost::workbench::runtime::outside::Outside;
use fingerpost::workbench::runtime::starting::{OpenFirst, RunOptions, Started, start};
use fingerpost::workbench::runtime::workplace::{AfterMessage, Ending, Workplace};
use fingerpost::workbench::screen::frame;
use fingerpost::workbench::state::State;
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect, Size};
use tempfile::TempDir;

use super::power::PowerCut;
use super::weather::Weather;
use crate::workbench::bench::{small_lesson, text_of};

const SIZE: Size = Size { width: 110, height: 34 };

/// What may be typed, wherever the person stands. Some leave a box open.
pub const SCRIPTS: &[&str] = &[
    "T Down",
    "T a \"New part\" Enter",
    "T Home Enter Home \"Re \" Enter",
    "T Home l \"+15\" Enter",
    "T End Delete",
    "T Down c",
    "T Enter \"x\"",
    "T a \"half a wo\" Left",
    "T p \"A point\" Enter \"more\" Up",
    "T ' \"lamp from the left\"",
    "T n \"Swing\"",
    "\" and on\"",
    "Backspace Left",
    "Esc",
    "Enter",
    "u",
    "u u",
    "U",
    "P Right 3 Right 2",
    "P n \"G\"",
    "F Shift+Delete s \"x02210\" Enter",
    "F Shift+Delete s \"320003\" Enter",
    "F s \"x0\"",
    "F Up Space",
    "F v",
    "F Shift+Delete s \"577655\" Enter v",
    "F Q",
    "C Down Enter",
    "F3",
    "L Delete",
    "L e \", low\" Enter",
    "L e \"lo\"",
    "Ctrl+E",
    "Ctrl+S",
    "Ctrl+O Enter",
    "Ctrl+T \"!\" Enter",
    "Ctrl+F \"zoom\" Esc",
];

/// What happens in one step, and whether the work behind the keys is done at its end.
#[derive(Debug, Clone, Copy)]
pub struct Step {
    pub doing: Doing,
    pub jobs_done: bool,
}

#[derive(Debug, Clone, Copy)]
pub enum Doing {
    Keys(&'static str),
    /// So many thousandths of a second go by.
    Wait(u64),
    /// A long script is pasted.
    PasteScript,
    /// Another program changes the lesson's file.
    ChangedByAnother,
    /// Another program gives the lesson's file another name.
    RenamedByAnother,
    /// The other window lets go of the lesson, and this one takes it over.
    OtherWindowGoes,
    Quit(Answer),
    /// The power fails; the lesson is opened again.
    PowerFails(PowerCut),
    /// The program is killed; the lesson is opened on a disk that works before it is opened again.
    Kill {
        looked_at: bool,
    },
}

/// How the question is answered that comes where something is not saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    Save,
    SaveElsewhere,
    Leave,
    Discard,
    Stay,
}

impl Answer {
    pub const ALL: &[Self] = &[Self::Save, Self::SaveElsewhere, Self::Leave, Self::Discard, Self::Stay];
}

/// The folders of one session.
pub struct House {
    _home: TempDir,
    pub root: PathBuf,
    /// Where the lesson lies that is opened next.
    pub path: PathBuf,
    pub weather: Arc<Weather>,
    pub other_window: Option<OpenLesson>,
    /// The time, which goes on when the program is started again.
    now: Rc<Cell<Duration>>,
}

impl House {
    pub fn new(name: &str) -> Self {
        let home = TempDir::new().unwrap();
        let root = fs::canonicalize(home.path()).unwrap();
        for folder in ["lessons", "elsewhere", "own"] {
            fs::create_dir(root.join(folder)).unwrap();
        }
        let path = root.join("lessons").join(format!("{name}.lesson.ron"));
        lesson_file::save(&path, &small_lesson(), Replace::Nothing).unwrap();
        Self { _home: home, root, path, weather: Arc::default(), other_window: None, now: Rc::default() }
    }

    /// The user's own folders, on a disk that works.
    pub fn real_folders(&self) -> Folders {
        Folders::under(&self.root.join("own"))
    }

    /// Has another program change what nobody here changes in the lesson's file; returns whether it could.
    pub fn change_from_outside(&self, words: &str) -> bool {
        let Ok(mut loaded) = lesson_file::load(&self.path) else { return false };
        words.clone_into(outside(&mut loaded.lesson));
        fs::write(&self.path, lesson_file::to_text(&loaded.lesson).unwrap()).unwrap();
        self.weather.changed_outside(&self.path);
        true
    }

    /// Has another program give the lesson's file another name; returns the old one if it could.
    pub fn rename_from_outside(&mut self) -> Option<PathBuf> {
        let name = |number: u32| self.path.with_file_name(format!("renamed {number}.lesson.ron"));
        let free = (1..).map(name).find(|path| fs::symlink_metadata(path).is_err())?;
        fs::rename(&self.path, &free).ok()?;
        self.weather.changed_outside(&self.path);
        self.weather.changed_outside(&free);
        Some(std::mem::replace(&mut self.path, free))
    }

    /// The lesson is where the program has it now, unless another one has renamed it.
    pub fn follow(&mut self, seat: &AtTheKeys) {
        self.path = seat.path().filter(|path| path.is_file()).unwrap_or_else(|| self.path.clone());
    }
}

/// What another program changes, and nobody at the keys: the name of the last setup.
pub fn outside(lesson: &mut Lesson) -> &mut String {
    &mut lesson.setups.last_mut().unwrap().name
}

/// Neither a terminal nor sound.
pub struct Nowhere;

impl Outside for Nowhere {
    fn draw(&mut self, _: &State) -> Result<()> {
        Ok(())
    }

    fn forget(&mut self) -> Result<()> {
        Ok(())
    }

    fn copy_out(&mut self, _: &str) -> Result<()> {
        Ok(())
    }

    fn suspend(&mut self) -> Result<Size> {
        Ok(SIZE)
    }

    fn play(&mut self, _: SoundOrder, _: &ListeningSettings) {}

    fn stop(&mut self) {}

    fn set(&mut self, _: &ListeningSettings) {}

    fn listen(&mut self) -> Vec<Message> {
        Vec::new()
    }
}

/// Whether the program goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Went {
    On,
    Out,
}

/// Somebody at the keys.
pub struct AtTheKeys {
    workplace: Workplace<Nowhere>,
    weather: Arc<Weather>,
    heard: Arc<Mutex<Vec<Message>>>,
    now: Rc<Cell<Duration>>,
}

impl AtTheKeys {
    /// Starts the program with the lesson; `None` where it cannot be opened.
    pub fn start(house: &House) -> Option<Self> {
        let folders = house.real_folders().on(house.weather.disk());
        let heard = Arc::<Mutex<Vec<Message>>>::default();
        let told = Arc::clone(&heard);
        let mut jobs = Jobs::by_hand(move |message| told.lock().unwrap().push(message));
        let open = OpenFirst::Lesson(house.path.clone());
        let Started { mut state, session, .. } = start(RunOptions { open, folders: Some(folders) }, &mut jobs).ok()?;
        state.size = SIZE;
        state.settle();
        let workplace = Workplace::new(state, Nowhere, session, jobs);
        let mut seat = Self { workplace, weather: Arc::clone(&house.weather), heard, now: Rc::clone(&house.now) };
        seat.do_jobs();
        Some(seat)
    }

    pub const fn state(&self) -> &State {
        &self.workplace.state
    }

    /// The path of the lesson that is open.
    pub fn path(&self) -> Option<PathBuf> {
        self.state().desk().map(|desk| desk.lesson.path().to_owned())
    }

    pub fn lesson(&self) -> Option<&Lesson> {
        self.state().desk().map(|desk| desk.lesson.lesson())
    }

    pub fn screen(&self) -> String {
        let area = Rect::from((Position::ORIGIN, SIZE));
        let mut buffer = Buffer::empty(area);
        frame::draw(self.state(), area, &mut buffer);
        text_of(&buffer, area)
    }

    /// Has the work behind the keys done, and hears of it.
    pub fn do_jobs(&mut self) {
        self.workplace.jobs.begin();
        let heard = std::mem::take(&mut *self.heard.lock().unwrap());
        heard.into_iter().for_each(|message| _ = self.workplace.advance(message).unwrap());
    }

    pub fn wait(&mut self, millis: u64) {
        for millis in [1, millis] {
            self.pass(millis);
        }
        self.do_jobs();
    }

    fn pass(&mut self, millis: u64) {
        self.now.set(self.now() + Duration::from_millis(millis));
        self.workplace.mind_time(self.now()).unwrap();
    }

    /// The time.
    pub fn now(&self) -> Duration {
        self.now.get()
    }

    /// Strikes keys as the key table writes them; what is in quotes is typed letter by letter. Stops where the program ends.
    pub fn strike(&mut self, script: &str) -> Went {
        for (part, text) in script.split('"').enumerate() {
            let keys: Vec<String> = if part % 2 == 1 {
                text.chars().map(|letter| letter.to_string().replace(' ', "Space")).collect()
            } else {
                text.split_whitespace().map(str::to_owned).collect()
            };
            for key in keys {
                let message = Message::Key(key.parse().unwrap());
                if self.workplace.advance(message).unwrap() == AfterMessage::Ends {
                    return Went::Out;
                }
                // Every key is a moment later than the one before.
                self.pass(1);
            }
        }
        Went::On
    }

    pub fn paste(&mut self, text: String) {
        self.workplace.advance(Message::Pasted(text)).unwrap();
    }

    /// Does what a step says.
    pub fn take(&mut self, step: &Step, house: &House) -> Went {
        self.workplace.state.said.messages.clear();
        let went = match step.doing {
            Doing::Keys(script) => self.strike(script),
            Doing::Wait(millis) => {
                self.wait(millis);
                Went::On
            }
            Doing::PasteScript => {
                let script = "Half a sentence, and on it goes. ".repeat(600);
                self.strike("T p");
                self.paste(script);
                Went::On
            }
            Doing::Quit(answer) => self.quit(answer, &house.root.join("elsewhere")),
            Doing::ChangedByAnother
            | Doing::RenamedByAnother
            | Doing::OtherWindowGoes
            | Doing::PowerFails(_)
            | Doing::Kill { .. } => Went::On,
        };
        if step.jobs_done && went == Went::On {
            self.do_jobs();
        }
        went
    }

    /// Quits, and answers what is asked.
    fn quit(&mut self, answer: Answer, elsewhere: &Path) -> Went {
        if self.strike("Ctrl+C") == Went::Out {
            return Went::Out;
        }
        let words: &[&str] = match answer {
            Answer::Save => &["save, then quit"],
            Answer::SaveElsewhere => &["save in another place"],
            Answer::Leave => &["quit; "],
            Answer::Discard => &["throw the changes away", "yes, throw"],
            Answer::Stay => &["stay here"],
        };
        for words in words {
            if self.choose(words) == Went::Out {
                return Went::Out;
            }
        }
        if answer == Answer::SaveElsewhere && matches!(&self.state().overlay, Some(Overlay::Entry(_))) {
            let path = elsewhere.join("saved-elsewhere.lesson.ron");
            return self.strike(&format!("Ctrl+U \"{}\" Enter", path.display()));
        }
        Went::On
    }

    /// Takes the line of a box that begins with these words, if there is one.
    fn choose(&mut self, words: &str) -> Went {
        let Some(Overlay::Choice(choice)) = &self.state().overlay else { return Went::On };
        let Some(line) = choice.lines.iter().position(|(line, _)| line.starts_with(words)) else { return Went::On };
        self.strike(&format!("Home {}Enter", "Down ".repeat(line)))
    }

    /// The program is killed: nothing that it would still do reaches the disk.
    pub fn kill(self) {
        let weather = Arc::clone(&self.weather);
        weather.kill(true);
        drop(self);
        weather.kill(false);
    }

    /// The program ends in peace. Returns what it would print, and what came from the work behind the keys.
    pub fn close(self) -> (Ending, Vec<Message>) {
        let Self { workplace, heard, .. } = self;
        let ending = workplace.close();
        let heard = std::mem::take(&mut *heard.lock().unwrap());
        (ending, heard)
    }

    /// Whether the settings that are chosen have been handed to the disk.
    pub const fn session(&self) -> &fingerpost::workbench::runtime::session::Session {
        &self.workplace.session
    }
}
