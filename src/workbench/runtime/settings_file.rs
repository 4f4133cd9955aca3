//! Writes the settings in the background, so that no key waits for another window that is writing them.
//!
//! What was chosen waits until it is in the file: after a failure it is tried again, with the next choice and every few seconds.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::store::fault::with_hint;
use crate::store::folders::Folders;
use crate::store::settings::{HandoutChoice, ListeningSettings, NeckSettings, Settings};
use crate::store::user_file::UpdateError;
use crate::workbench::jobs::kind::JobKind;
use crate::workbench::jobs::queue::Jobs;
use crate::workbench::jobs::running::Running;
use crate::workbench::messages::message::Message;
use crate::workbench::messages::notice::Notice;

/// A change of the settings.
#[derive(Debug, Clone)]
pub(super) enum SettingsChange {
    /// How the neck is seen. What the person has not changed stays as another window may have chosen it.
    Neck {
        /// How it was seen.
        before: NeckSettings,
        /// How it is seen now.
        after: NeckSettings,
    },
    /// How things are heard.
    Listening {
        /// How they were heard.
        before: ListeningSettings,
        /// How they are heard now.
        after: ListeningSettings,
    },
    /// What is chosen for all handouts.
    Handout {
        /// What was chosen.
        before: HandoutChoice,
        /// What is chosen now.
        after: HandoutChoice,
    },
    /// The theme.
    Theme(String),
    /// A lesson was opened.
    Remember(PathBuf),
    /// A lesson is gone.
    Forget(PathBuf),
}

/// What was chosen and is not in the file yet.
#[derive(Debug, Default)]
struct ChosenSettings {
    /// How the neck was seen, and how it is seen now.
    neck: Option<(NeckSettings, NeckSettings)>,
    /// How things were heard, and how they are heard now.
    listening: Option<(ListeningSettings, ListeningSettings)>,
    /// What was chosen for all handouts, and what is chosen now.
    handout: Option<(HandoutChoice, HandoutChoice)>,
    theme: Option<String>,
    /// Lessons that were opened or are gone, each once, in order.
    lessons: Vec<(PathBuf, LessonFate)>,
}

/// What became of a lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum LessonFate {
    Opened,
    Gone,
}

impl ChosenSettings {
    fn add(&mut self, change: SettingsChange) {
        match change {
            SettingsChange::Neck { before, after } => {
                let before = self.neck.take().map_or(before, |(before, _)| before);
                self.neck = Some((before, after));
            }
            SettingsChange::Listening { before, after } => {
                let before = self.listening.take().map_or(before, |(before, _)| before);
                self.listening = Some((before, after));
            }
            SettingsChange::Handout { before, after } => {
                let before = self.handout.take().map_or(before, |(before, _)| before);
                self.handout = Some((before, after));
            }
            SettingsChange::Theme(name) => self.theme = Some(name),
            SettingsChange::Remember(path) => self.note(path, LessonFate::Opened),
            SettingsChange::Forget(path) => self.note(path, LessonFate::Gone),
        }
    }

    fn note(&mut self, path: PathBuf, what: LessonFate) {
        self.lessons.retain(|(known, _)| *known != path);
        self.lessons.push((path, what));
    }

    /// Adds what was chosen later.
    fn then(&mut self, later: Self) {
        let Self { neck, listening, handout, theme, lessons } = later;
        if let Some((before, after)) = neck {
            self.add(SettingsChange::Neck { before, after });
        }
        if let Some((before, after)) = listening {
            self.add(SettingsChange::Listening { before, after });
        }
        if let Some((before, after)) = handout {
            self.add(SettingsChange::Handout { before, after });
        }
        self.theme = theme.or(self.theme.take());
        lessons.into_iter().for_each(|(path, what)| self.note(path, what));
    }

    fn make(&self, settings: &mut Settings) {
        if let Some((before, after)) = self.neck {
            settings.neck.change(before, after);
        }
        if let Some((before, after)) = &self.listening {
            settings.listening.change(before, after);
        }
        if let Some((before, after)) = self.handout {
            settings.change_handout(before, after);
        }
        if let Some(name) = &self.theme {
            settings.theme.clone_from(name);
        }
        for (path, what) in &self.lessons {
            match what {
                LessonFate::Opened => settings.remember(path),
                LessonFate::Gone => settings.forget(path),
            }
        }
    }

    const fn is_empty(&self) -> bool {
        self.is_about_lessons() && self.lessons.is_empty()
    }

    /// Returns whether it changes nothing but the list of lessons.
    const fn is_about_lessons(&self) -> bool {
        self.neck.is_none() && self.listening.is_none() && self.handout.is_none() && self.theme.is_none()
    }
}

/// Writes the settings. Cheap to clone.
#[derive(Debug, Clone, Default)]
pub(super) struct SettingsFile {
    folders: Option<Folders>,
    waiting: Arc<Mutex<SettingsToWrite>>,
}

/// What waits, and how it went last time.
#[derive(Debug, Default)]
struct SettingsToWrite {
    chosen: ChosenSettings,
    trouble: Option<SettingsTrouble>,
}

/// Why the settings were not written last time.
#[derive(Debug, Clone, PartialEq, Eq)]
struct SettingsTrouble {
    text: String,
    again: NextTryHelps,
}

/// Whether a next try may help by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum NextTryHelps {
    Perhaps,
    /// The person has to mend the file first, or it is in place.
    No,
}

impl SettingsFile {
    /// Returns the settings in `folders`.
    pub(super) fn new(folders: Option<Folders>) -> Self {
        Self { folders, waiting: Arc::default() }
    }

    /// Has a change written, and returns what there is to tell if that is known already.
    pub(super) fn change(&self, change: SettingsChange, jobs: &mut Jobs<Message>) -> Option<Message> {
        self.folders.as_ref()?;
        self.lock().chosen.add(change);
        self.write(jobs)
    }

    /// Has what could not be written tried again, and returns what there is to tell if that is known already.
    pub(super) fn retry(&self, jobs: &mut Jobs<Message>) -> Option<Message> {
        if self.is_refused() { self.write(jobs) } else { None }
    }

    /// Returns whether the settings could not be written, and a next try may help.
    pub(super) fn is_refused(&self) -> bool {
        self.lock().trouble.as_ref().is_some_and(|trouble| trouble.again == NextTryHelps::Perhaps)
    }

    fn write(&self, jobs: &mut Jobs<Message>) -> Option<Message> {
        let file = self.clone();
        jobs.start(JobKind::Settings, move |_: &Running<'_>| file.write_now())
    }

    /// Writes what waits, and returns what there is to tell. A failure is no reason to stop and is told once.
    fn write_now(&self) -> Option<Message> {
        let folders = self.folders.as_ref()?;
        let chosen = std::mem::take(&mut self.lock().chosen);
        if chosen.is_empty() {
            return None;
        }
        let refused = Settings::update(folders, |settings| chosen.make(settings)).err();
        self.lock().after(chosen, refused).map(|text| Message::Told(Notice::trouble(text)))
    }

    fn lock(&self) -> MutexGuard<'_, SettingsToWrite> {
        // Nothing is half done in it at any moment.
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl SettingsToWrite {
    /// Takes note of how writing `chosen` went; returns what there is to tell.
    fn after(&mut self, mut chosen: ChosenSettings, refused: Option<UpdateError>) -> Option<String> {
        // Settings that cannot be read were reported at the start, and a lesson that is not remembered is no trouble.
        let is_slight = matches!(refused, Some(UpdateError::Unreadable { .. })) && chosen.is_about_lessons();
        let again = match &refused {
            None | Some(UpdateError::Unconfirmed { .. }) => None,
            Some(UpdateError::Unreadable { .. } | UpdateError::Unwritable { .. }) => Some(NextTryHelps::No),
            Some(UpdateError::Write { .. } | UpdateError::Held { .. } | UpdateError::Busy { .. }) => {
                Some(NextTryHelps::Perhaps)
            }
        };
        if again.is_some() {
            // What was chosen meanwhile comes after it.
            chosen.then(std::mem::take(&mut self.chosen));
            self.chosen = chosen;
        }
        let refused = refused.filter(|_| !is_slight).map(|error| with_hint(&error, error.hint()));
        let trouble = refused.map(|text| SettingsTrouble { text, again: again.unwrap_or(NextTryHelps::No) });
        let said = std::mem::replace(&mut self.trouble, trouble);
        let news = self.trouble.as_ref().filter(|trouble| said.as_ref() != Some(trouble));
        news.map(|trouble| trouble.text.clone())
    }
}
