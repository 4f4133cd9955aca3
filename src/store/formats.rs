//! The formats of the files that are written today. Older ones are read; see `migration` and [`super::user_file`].

/// The format of lessons and their journals.
pub const LESSON_FORMAT: u32 = 3;

/// The format of the voicing library.
pub const LIBRARY_FORMAT: u32 = 1;

/// The format of the settings.
pub const SETTINGS_FORMAT: u32 = 1;
