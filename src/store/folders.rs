//! The user's folders: where settings and the voicing library lie.

use std::path::{Path, PathBuf};

use directories::ProjectDirs;

/// The environment variable that puts all of the program's files in one folder, for tests and for a
/// teacher who carries them on a stick.
pub const HOME_VARIABLE: &str = "FINGERPOST_HOME";

/// Where the program keeps what belongs to the user and to no lesson.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Folders {
    settings: PathBuf,
    library: PathBuf,
}

impl Folders {
    /// Returns everything under one folder.
    pub fn under(home: &Path) -> Self {
        Self { settings: home.to_owned(), library: home.to_owned() }
    }

    /// Returns the folder named by `FINGERPOST_HOME`, else the places usual on this system; `None`
    /// where the system knows no home folder.
    pub fn of_user() -> Option<Self> {
        if let Some(home) = std::env::var_os(HOME_VARIABLE).filter(|home| !home.is_empty()) {
            let home = PathBuf::from(home);
            return Some(Self::under(&std::path::absolute(&home).unwrap_or(home)));
        }
        let dirs = ProjectDirs::from("", "", "fingerpost")?;
        Some(Self { settings: dirs.config_dir().to_owned(), library: dirs.data_dir().to_owned() })
    }

    /// Returns the settings file.
    pub fn settings(&self) -> PathBuf {
        self.settings.join("settings.ron")
    }

    /// Returns the voicing library's file.
    pub fn library(&self) -> PathBuf {
        self.library.join("library.ron")
    }

    /// Returns the user's own key bindings.
    pub fn keys(&self) -> PathBuf {
        self.settings.join("keys.ron")
    }

    /// Returns the user's own themes.
    pub fn themes(&self) -> PathBuf {
        self.settings.join("themes.ron")
    }

    /// Returns the folder for copies of the demo lessons.
    pub fn demos(&self) -> PathBuf {
        self.library.join("demo-lessons")
    }
}
