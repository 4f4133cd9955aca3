//! The user's settings. A missing file means the defaults; a broken one is reported and kept.

use std::path::{Path, PathBuf};
use std::time::Duration;

use serde::{Deserialize, Deserializer, Serialize};

use super::folders::Folders;
use super::formats::SETTINGS_FORMAT;
use super::ron_file::LoadError;
use super::user_file::{self, UpdateError, UserFile};
use crate::instrument::hand::HandSize;
use crate::instrument::voicing::level::PlayerLevel;
use crate::text::paper::Paper;

/// What the user has chosen, and what the program remembers for the user.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Settings {
    format: u32,
    /// The paper that handouts are laid out for.
    pub paper: Paper,
    /// The characters that text is drawn with.
    pub characters: Characters,
    /// The name of the theme; without one, the terminal's own 16 colours.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub theme: String,
    /// How fast the teacher speaks, in words a minute, 60 to 300.
    #[serde(deserialize_with = "speaking_rate")]
    pub speaking_rate: u16,
    /// How long the rest of a key is waited for after Esc, in milliseconds, 0 to 1000; 75 where nothing is said. A cursor key
    /// sends Esc and more, and over a slow line the rest may come later; no longer than this it may, or it is taken for
    /// letters. 0 waits for nothing.
    #[serde(deserialize_with = "escape_wait", skip_serializing_if = "is_usual_escape_wait")]
    escape_wait: u16,
    /// What handouts are made of, beside their paper.
    #[serde(skip_serializing_if = "HandoutSettings::is_usual")]
    pub handout: HandoutSettings,
    /// How the neck is seen, and the hand that plays it.
    pub neck: NeckSettings,
    /// How things are heard.
    pub listening: ListeningSettings,
    /// The lessons opened last, the latest first, at most [`Settings::RECENT`].
    pub recent: Vec<PathBuf>,
}

/// The characters that text is drawn with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum Characters {
    /// Whatever the terminal says it can show.
    #[default]
    Automatic,
    /// Box drawing and other signs.
    Utf8,
    /// Only printable ASCII.
    Ascii,
}

/// What handouts are made of, beside their paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct HandoutSettings {
    /// The characters that they are drawn with. `Automatic`: in the workbench those of the screen, else all signs.
    pub characters: Characters,
    /// Whether the talking points are printed.
    pub talking_points: bool,
}

/// What the user has chosen for all handouts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct HandoutChoice {
    /// The paper.
    pub paper: Paper,
    /// The rest.
    pub rest: HandoutSettings,
}

/// How the neck is seen, and the hand that plays it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct NeckSettings {
    /// The size of the fretting hand.
    pub hand: HandSize,
    /// Who is to play the shapes that are suggested; where nothing is said, all of them are.
    #[serde(skip_serializing_if = "is_any_level")]
    pub level: PlayerLevel,
    /// Whether the nut is drawn on the right.
    pub left_handed: bool,
    /// Where string 1 is drawn.
    pub string_one: StringOne,
}

/// How things are heard.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct ListeningSettings {
    /// The loudness, in per cent.
    pub volume: u8,
    /// The name of the sound of everything; without one, each instrument's own.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub sound: String,
    /// The name of the sound device; without one, the one that the system uses.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub device: String,
    /// Whether the word about ears was said.
    pub warned: bool,
}

impl HandoutSettings {
    /// Returns whether nothing was chosen.
    fn is_usual(&self) -> bool {
        *self == Self::default()
    }
}

impl NeckSettings {
    /// Changes what differs between `before` and `after`; all else stays as another window may have chosen it.
    pub fn change(&mut self, before: Self, after: Self) {
        let Self { hand, level, left_handed, string_one } = after;
        if hand != before.hand {
            self.hand = hand;
        }
        if level != before.level {
            self.level = level;
        }
        if left_handed != before.left_handed {
            self.left_handed = left_handed;
        }
        if string_one != before.string_one {
            self.string_one = string_one;
        }
    }
}

impl ListeningSettings {
    /// Changes what differs between `before` and `after`; all else stays as another window may have chosen it.
    pub fn change(&mut self, before: &Self, after: &Self) {
        let Self { volume, sound, device, warned } = after;
        if *volume != before.volume {
            self.volume = *volume;
        }
        if *sound != before.sound {
            self.sound.clone_from(sound);
        }
        if *device != before.device {
            self.device.clone_from(device);
        }
        // Once said, it was said.
        self.warned |= warned;
    }
}

impl Default for ListeningSettings {
    fn default() -> Self {
        Self { volume: 30, sound: String::new(), device: String::new(), warned: false }
    }
}

/// Where string 1 is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum StringOne {
    /// On top, as in tab.
    #[default]
    Top,
    /// At the bottom, as one sees the neck from above it.
    Bottom,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            format: Self::FORMAT,
            paper: Paper::default(),
            characters: Characters::default(),
            theme: String::new(),
            speaking_rate: 130,
            escape_wait: ESCAPE_WAIT,
            handout: HandoutSettings::default(),
            neck: NeckSettings::default(),
            listening: ListeningSettings::default(),
            recent: Vec::new(),
        }
    }
}

impl UserFile for Settings {
    const TOP_LINE: &'static str = "The settings of fingerpost. They may be edited by hand.";
    const FORMAT: u32 = SETTINGS_FORMAT;

    fn format(&self) -> u32 {
        self.format
    }

    fn renew_format(&mut self) {
        self.format = Self::FORMAT;
    }
}

impl Settings {
    /// How many lessons are remembered.
    pub const RECENT: usize = 20;

    /// Reads the user's settings. A file that cannot be read is left as it is, and the defaults come
    /// with the reason.
    pub fn load(folders: &Folders) -> (Self, Option<LoadError>) {
        match user_file::load(&folders.settings()) {
            Ok(settings) => (settings, None),
            Err(error) => (Self::default(), Some(error)),
        }
    }

    /// Changes the user's settings, saves them and returns them. `change` may be called again, on what
    /// another window has written.
    ///
    /// Errors: the file cannot be read, or cannot be written; what was there is still there.
    pub fn update(folders: &Folders, change: impl FnMut(&mut Self)) -> Result<Self, UpdateError> {
        user_file::update(folders.disk(), &folders.settings(), folders.patience(), change)
    }

    /// Returns how long the rest of a key is waited for after Esc.
    pub const fn escape_wait(&self) -> Duration {
        Duration::from_millis(self.escape_wait as u64)
    }

    /// Returns what was chosen for all handouts.
    pub const fn handout_choice(&self) -> HandoutChoice {
        HandoutChoice { paper: self.paper, rest: self.handout }
    }

    /// Changes what differs between `before` and `after`; all else stays as another window may have chosen it.
    pub fn change_handout(&mut self, before: HandoutChoice, after: HandoutChoice) {
        let HandoutChoice { paper, rest: HandoutSettings { characters, talking_points } } = after;
        if paper != before.paper {
            self.paper = paper;
        }
        if characters != before.rest.characters {
            self.handout.characters = characters;
        }
        if talking_points != before.rest.talking_points {
            self.handout.talking_points = talking_points;
        }
    }

    /// Returns the lesson opened last.
    pub fn last_lesson(&self) -> Option<&Path> {
        self.recent.first().map(PathBuf::as_path)
    }

    /// Remembers that a lesson was opened. A path that cannot be written as text is not remembered.
    pub fn remember(&mut self, lesson: &Path) {
        if lesson.to_str().is_some() {
            self.recent.retain(|known| known != lesson);
            self.recent.insert(0, lesson.to_owned());
            self.recent.truncate(Self::RECENT);
        }
    }

    /// Forgets a lesson, because it is gone.
    pub fn forget(&mut self, lesson: &Path) {
        self.recent.retain(|known| known != lesson);
    }
}

/// How long the rest of a key is waited for after Esc where nothing is said, in milliseconds: longer than a line of
/// radio or a busy machine holds a byte back, and too short for a person to notice.
const ESCAPE_WAIT: u16 = 75;

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
fn is_any_level(level: &PlayerLevel) -> bool {
    *level == PlayerLevel::default()
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
const fn is_usual_escape_wait(wait: &u16) -> bool {
    *wait == ESCAPE_WAIT
}

/// Reads how long the rest of a key is waited for.
fn escape_wait<'de, D: Deserializer<'de>>(deserializer: D) -> Result<u16, D::Error> {
    let wait = i64::deserialize(deserializer)?;
    u16::try_from(wait)
        .ok()
        .filter(|wait| *wait <= 1000)
        .ok_or_else(|| serde::de::Error::custom(format!("expected 0 to 1000 milliseconds, got {wait}")))
}

/// Reads words a minute.
fn speaking_rate<'de, D: Deserializer<'de>>(deserializer: D) -> Result<u16, D::Error> {
    let rate = i64::deserialize(deserializer)?;
    u16::try_from(rate)
        .ok()
        .filter(|rate| (60..=300).contains(rate))
        .ok_or_else(|| serde::de::Error::custom(format!("expected 60 to 300 words a minute, got {rate}")))
}
