//! The formats of the files that are written today. Older ones are read; see `migration` and [`super::user_file`].

/// The format of lessons and their journals.
pub const LESSON_FORMAT: u32 = 4;

/// The format of the voicing library.
pub const LIBRARY_FORMAT: u32 = 2;

/// The format of the settings.
pub const SETTINGS_FORMAT: u32 = 1;

/// The format of the list of handouts that were written.
pub const PRINTED_FORMAT: u32 = 1;

/// The format of the list of segments at which lessons were left.
pub const LAST_PLACES_FORMAT: u32 = 1;

/// Words of lesson files and of the voicing library that are read and written no longer, each with the word of today. Messages of what is expected leave
/// the older ones out.
pub const RENAMED_WORDS: &[(&str, &str)] = &[
    ("setups", "tunings"),
    ("setup", "tuning"),
    ("target", "goal"),
    ("Slowly", "Walkthrough"),
    ("Again", "ReRecord"),
    ("Settled", "Final"),
    ("LegatoSlide", "Slide"),
    ("ShiftSlide", "SlideAndPick"),
    ("SlideInFromBelow", "SlideUpInto"),
    ("SlideInFromAbove", "SlideDownInto"),
    ("SlideOutDown", "SlideAwayDown"),
    ("SlideOutUp", "SlideAwayUp"),
    ("TouchedHarmonic", "ArtificialHarmonic"),
    ("WhammyDip", "TremoloBarDip"),
    ("WhammyDive", "TremoloBarDive"),
    ("meter", "time_signature"),
    ("FrettingHandTap", "HammerOnFromNowhere"),
    ("doubts", "heard"),
];

/// Returns whether a word of lesson files is read, but written no longer.
pub fn is_older_word(word: &str) -> bool {
    RENAMED_WORDS.iter().any(|(older, _)| *older == word)
}

/// Returns the word of today for one that may be an older one.
pub fn word_of_today(word: &str) -> &str {
    RENAMED_WORDS.iter().find(|(older, _)| *older == word).map_or(word, |(_, today)| *today)
}
