//! The formats of the files that are written today. Older ones are read; see `migration` and [`super::user_file`].

/// The format of lessons and their journals.
pub const LESSON_FORMAT: u32 = 3;

/// The format of the voicing library.
pub const LIBRARY_FORMAT: u32 = 1;

/// The format of the settings.
pub const SETTINGS_FORMAT: u32 = 1;

/// Words of lesson files that are read and written no longer. Messages of what is expected leave it out.
pub const OLDER_WORDS: &[&str] = &[
    "setups",
    "setup",
    "target",
    "Slowly",
    "Again",
    "Settled",
    "LegatoSlide",
    "ShiftSlide",
    "SlideInFromBelow",
    "SlideInFromAbove",
    "SlideOutDown",
    "SlideOutUp",
    "TouchedHarmonic",
    "WhammyDip",
    "WhammyDive",
];
