//! Themes: colours beyond the terminal's own 16, as data.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;
use std::sync::LazyLock;

use ratatui::style::Color;
use serde::{Deserialize, Deserializer};

use crate::text::quote::{quoted, written_out};
use crate::workbench::drawing::role::Role;

/// A colour as red, green and blue, 0 to 255 each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Rgb(pub [u8; 3]);

/// A colour for each part that text plays, where it has one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Palette {
    colours: [Option<Rgb>; Role::ALL.len()],
}

/// A palette with a name.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Theme {
    /// The name that settings choose it by.
    pub name: String,
    /// What it is good for.
    #[serde(default)]
    pub about: String,
    colours: BTreeMap<Role, Rgb>,
}

/// A file of themes that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "line {line}, column {column}: {problem}; expected themes such as `(name: \"own\", colours: {{Finger: \"#f6bb6e\"}})`"
)]
pub struct ThemeFileError {
    /// Counted from 1.
    pub line: usize,
    /// Counted from 1.
    pub column: usize,
    /// What the reader found.
    pub problem: String,
}

/// The text is no colour.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{}` is not a colour: expected # and six digits of 0-9 and a-f, two each for red, green and blue, as in `#f6bb6e`",
    quoted(.text)
)]
pub struct RgbError {
    /// What was read.
    pub text: String,
}

impl Palette {
    /// Returns the colour of text that plays `role`.
    pub fn colour(&self, role: Role) -> Option<Rgb> {
        Role::ALL.iter().position(|known| *known == role).and_then(|place| self.colours.get(place).copied().flatten())
    }
}

impl Theme {
    /// Returns the themes that are compiled in.
    pub fn built_in() -> Vec<Self> {
        static THEMES: LazyLock<Vec<Theme>> = LazyLock::new(|| {
            read(include_str!("../../../assets/themes.ron")).expect("a test reads the themes that are compiled in")
        });
        THEMES.clone()
    }

    /// Returns the themes that are compiled in with those of a file of the user's own before them.
    ///
    /// Errors: text that is no list of themes.
    pub fn with_own(text: &str) -> Result<Vec<Self>, ThemeFileError> {
        let own = read(text).map_err(|error| ThemeFileError {
            line: error.span.start.line,
            column: error.span.start.col,
            problem: written_out(&error.code.to_string()),
        })?;
        Ok(own.into_iter().chain(Self::built_in()).collect())
    }

    /// Returns its colours.
    pub fn palette(&self) -> Palette {
        let mut palette = Palette::default();
        for (role, slot) in Role::ALL.iter().zip(&mut palette.colours) {
            *slot = self.colours.get(role).copied();
        }
        palette
    }
}

fn read(text: &str) -> Result<Vec<Theme>, ron::error::SpannedError> {
    ron::from_str(text)
}

impl From<Rgb> for Color {
    fn from(Rgb([red, green, blue]): Rgb) -> Self {
        Self::Rgb(red, green, blue)
    }
}

impl fmt::Display for Rgb {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self([red, green, blue]) = self;
        write!(f, "#{red:02x}{green:02x}{blue:02x}")
    }
}

impl FromStr for Rgb {
    type Err = RgbError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wrong = || RgbError { text: text.to_owned() };
        let digits = text.strip_prefix('#').ok_or_else(wrong)?;
        if digits.len() != 6 || !digits.chars().all(|digit| digit.is_ascii_hexdigit()) {
            return Err(wrong());
        }
        let [_, red, green, blue] = u32::from_str_radix(digits, 16).map_err(|_| wrong())?.to_be_bytes();
        Ok(Self([red, green, blue]))
    }
}

impl<'de> Deserialize<'de> for Rgb {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns the relative luminance of a colour, 0 for black and 1 for white. Source: WCAG 2.1, "relative luminance" and "contrast ratio".
    fn luminance(Rgb(colour): Rgb) -> f64 {
        let linear = colour.map(|part| {
            let part = f64::from(part) / 255.0;
            if part <= 0.03928 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
        });
        0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    }

    fn contrast(one: Rgb, other: Rgb) -> f64 {
        let (one, other) = (luminance(one), luminance(other));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    #[test]
    fn every_colour_can_be_read_on_the_background_it_is_for() {
        // WCAG 2.1, success criterion 1.4.3: at least 4.5 to 1. Terminals' dark backgrounds go up to
        // about #202020 and their light ones down to about #f5f5f5: common practice, no published source.
        for theme in Theme::built_in() {
            let dark = theme.about.contains("dark");
            let background = if dark { Rgb([0x20; 3]) } else { Rgb([0xf5; 3]) };
            for (role, colour) in &theme.colours {
                let ratio = contrast(*colour, background);
                assert!(ratio >= 4.5, "{} {role:?} {colour}: {ratio:.2}", theme.name);
            }
        }
    }

    #[test]
    fn themes_of_ones_own_come_first_and_faults_say_where_they_are() {
        let themes = Theme::with_own("[(name: \"evening\", colours: {Bad: \"#010203\"})]").unwrap();
        assert_eq!(themes[0].palette().colour(Role::Bad), Some(Rgb([1, 2, 3])));
        assert_eq!(themes[0].palette().colour(Role::Good), None);
        assert_eq!(themes.len(), Theme::built_in().len() + 1);
        for (text, expected) in [
            ("[(name: \"x\", colours: {Bad: \"red\"})]", "line 1, column 30: `red` is not a colour"),
            ("[\n(name: \"x\", colours: {Worse: \"#000000\"})]", "line 2, column 23: Unexpected variant named `Worse`"),
            ("[(name: \"x\")]", "line 1, column 12: Unexpected missing field"),
        ] {
            let said = Theme::with_own(text).unwrap_err().to_string();
            assert!(said.starts_with(expected), "{text}\n{said}");
        }
    }

    #[test]
    fn a_colour_prints_as_it_was_written() {
        for text in ["#000000", "#f6bb6e", "#0a0b0c"] {
            assert_eq!(text.parse::<Rgb>().unwrap().to_string(), text);
        }
        for text in ["", "#", "f6bb6e", "#f6bb6", "#f6bb6e5", "#+6bb6e", "#f6bb6é"] {
            assert!(text.parse::<Rgb>().is_err(), "{text}");
        }
    }
}
