//! The demo lessons, compiled in. Everything in them is invented.

/// One demo lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Demo {
    /// What it is called on the command line; its file name without the ending.
    pub name: &'static str,
    /// The title of its lesson.
    pub title: &'static str,
    /// What it is about, in a few words.
    pub about: &'static str,
    /// The text of its file.
    pub text: &'static str,
}

/// The demo lessons; the first is opened when none is named.
pub const DEMOS: &[Demo] = &[
    Demo {
        name: "funk-rhythm",
        title: "Three strings are plenty",
        about: "soul and funk rhythm guitar: ninths, muted sixteenths, triads over a pedal bass; three tunings",
        text: include_str!("../../demo-lessons/funk-rhythm.lesson.ron"),
    },
    Demo {
        name: "dadgad-fingerstyle",
        title: "Let the thumb walk: first steps in DADGAD",
        about: "fingerstyle in DADGAD with a capo: two voices, harmonics, a change of time signature",
        text: include_str!("../../demo-lessons/dadgad-fingerstyle.lesson.ron"),
    },
    Demo {
        name: "ukulele-strum",
        title: "Down, up and a little roll",
        about: "ukulele, high G: strumming, a triplet, a fingerpicked passage",
        text: include_str!("../../demo-lessons/ukulele-strum.lesson.ron"),
    },
];
