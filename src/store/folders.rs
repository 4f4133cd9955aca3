//! The user's folders: where settings and the voicing library lie.

use std::path::{Path, PathBuf};

use directories::ProjectDirs;

use super::disk::Disk;
use super::user_file::Patience;

/// The environment variable that puts all of the program's files in one folder, for tests and for a
/// teacher who carries them on a stick.
pub const HOME_VARIABLE: &str = "FINGERPOST_HOME";

/// Where the program keeps what belongs to the user and to no lesson.
#[derive(Debug, Clone)]
pub struct Folders {
    settings: PathBuf,
    library: PathBuf,
    disk: Disk,
    patience: Patience,
}

/// Folders are equal that lie at the same places.
impl PartialEq for Folders {
    fn eq(&self, other: &Self) -> bool {
        (&self.settings, &self.library) == (&other.settings, &other.library)
    }
}

impl Eq for Folders {}

impl Folders {
    /// Returns folders that all lie under `home`, on the real disk.
    pub fn under(home: &Path) -> Self {
        Self { settings: home.to_owned(), library: home.to_owned(), disk: Disk::real(), patience: Patience::USUAL }
    }

    /// Returns the same folders on this disk.
    pub fn on(self, disk: Disk) -> Self {
        Self { disk, ..self }
    }

    /// Returns the same folders for somebody who waits this long for another window that is writing there.
    pub fn waiting(self, patience: Patience) -> Self {
        Self { patience, ..self }
    }

    /// Returns how long a window waits for another that is writing there.
    pub const fn patience(&self) -> Patience {
        self.patience
    }

    /// Returns the disk they lie on.
    pub const fn disk(&self) -> &Disk {
        &self.disk
    }

    /// Returns the folder named by `FINGERPOST_HOME`, else the places usual on this system; `None`
    /// where the system knows no home folder.
    pub fn of_user() -> Option<Self> {
        if let Some(home) = std::env::var_os(HOME_VARIABLE).filter(|home| !home.is_empty()) {
            let home = PathBuf::from(home);
            return Some(Self::under(&std::path::absolute(&home).unwrap_or(home)));
        }
        let dirs = ProjectDirs::from("", "", "fingerpost")?;
        let (settings, library) = (dirs.config_dir().to_owned(), dirs.data_dir().to_owned());
        Some(Self { settings, library, disk: Disk::real(), patience: Patience::USUAL })
    }

    /// Returns the settings file.
    pub fn settings(&self) -> PathBuf {
        self.settings.join("settings.ron")
    }

    /// Returns the voicing library's file.
    pub fn library(&self) -> PathBuf {
        self.library.join("library.ron")
    }

    /// Returns the list of the handouts that were written.
    pub fn printed_handouts(&self) -> PathBuf {
        self.library.join("handouts.ron")
    }

    /// Returns the list of the segments at which lessons were left.
    pub fn last_places(&self) -> PathBuf {
        self.library.join("places.ron")
    }

    /// Returns the user's own key bindings.
    pub fn keys(&self) -> PathBuf {
        self.settings.join("keys.ron")
    }

    /// Returns the user's own themes.
    pub fn themes(&self) -> PathBuf {
        self.settings.join("themes.ron")
    }

    /// Returns the folder for journals that cannot lie beside their lesson.
    pub fn journals(&self) -> PathBuf {
        self.library.join("journals")
    }

    /// Returns the folder for the changes that undo takes back behind a save.
    pub fn undo(&self) -> PathBuf {
        self.library.join("undo")
    }

    /// Returns the folder for copies of the demo lessons.
    pub fn demos(&self) -> PathBuf {
        self.library.join("demo-lessons")
    }
}
