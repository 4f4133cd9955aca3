//! The sounds that can be chosen, read from `assets/sounds.ron`. Samples are not made here; see [`super::synthesis`].

use std::sync::OnceLock;

use serde::Deserialize;

use crate::instrument::body::Instrument;
use crate::instrument::catalogue::{Family, kin};
use crate::lesson::seconds::Seconds;
use crate::text::quote::quoted;
use crate::theory::pitch::Hertz;

/// A sound that strings may have. The head of `assets/sounds.ron` explains each field.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(missing_docs, reason = "the file that holds the values explains each of them")]
pub struct Sound {
    pub name: String,
    pub also: Vec<String>,
    pub help: String,
    pub families: Vec<Family>,
    pub instruments: Vec<String>,
    pub ring: Seconds,
    pub ring_falls: f64,
    pub dull: Seconds,
    pub palm: Palm,
    pub position: PlaceOnString,
    pub pickup: PlaceOnString,
    pub soft: Hertz,
    pub hard: Hertz,
    pub grain: f32,
    pub noise: f32,
    pub tone: Vec<Filter>,
    pub amp: Option<AmpSound>,
    pub level: f32,
}

/// A place on a string: how far it is from the bridge, as a share of the string's length, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Deserialize)]
#[serde(transparent)]
pub struct PlaceOnString(pub f64);

/// The decay of a string under the heel of the hand.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(missing_docs, reason = "the file that holds the values explains each of them")]
pub struct Palm {
    pub ring: Seconds,
    pub dull: Seconds,
}

/// One filter of the tone.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(missing_docs, reason = "the file that holds the values explains each of them")]
pub enum Filter {
    LowCut { hz: Hertz, q: f64 },
    HighCut { hz: Hertz, q: f64 },
    HighShelf { hz: Hertz, db: Decibels },
    Peak { hz: Hertz, db: Decibels, q: f64 },
}

/// A ratio of amplitudes in decibels: 20 times its decimal logarithm.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Deserialize)]
#[serde(transparent)]
pub struct Decibels(pub f64);

/// An amplifier that clips.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(missing_docs, reason = "the file that holds the values explains each of them")]
pub struct AmpSound {
    pub drive: f32,
    pub bias: f32,
    pub tight: Hertz,
    pub bright: Hertz,
}

/// The error that no sound has this name.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("no sound is called `{text}`; there are {}", .known.join(", "))]
pub struct UnknownSound {
    /// The name that was asked for.
    pub text: String,
    /// The names of all sounds.
    pub known: Vec<&'static str>,
}

/// Returns every sound.
pub fn sounds() -> &'static [Sound] {
    static TABLE: OnceLock<Vec<Sound>> = OnceLock::new();
    TABLE.get_or_init(|| {
        ron::from_str(include_str!("../../assets/sounds.ron")).expect("a test reads the table that is compiled in")
    })
}

/// Returns the sound called `text`.
///
/// Errors: no sound has this name.
pub fn sound_named(text: &str) -> Result<&'static Sound, UnknownSound> {
    let wanted = plain(text);
    let called_so =
        |sound: &&Sound| plain(&sound.name) == wanted || sound.also.iter().any(|name| plain(name) == wanted);
    sounds().iter().find(called_so).ok_or_else(|| UnknownSound {
        text: quoted(text),
        known: sounds().iter().map(|sound| sound.name.as_str()).collect(),
    })
}

/// Returns the default sound of an instrument: that of the known instrument most like it.
pub fn sound_of(instrument: &Instrument) -> &'static Sound {
    let by_name = |name: &str| sounds().iter().find(|sound| sound.instruments.iter().any(|known| known == name));
    let by_family = |family| sounds().iter().find(|sound| sound.families.contains(&family));
    let known = kin(instrument);
    known
        .and_then(|known| by_name(&known.instrument.name).or_else(|| by_family(known.family)))
        .or_else(|| by_family(Family::Guitar))
        .expect("a test finds a sound for the family of guitars")
}

fn plain(text: &str) -> String {
    text.chars().filter(|sign| !sign.is_whitespace() && *sign != '-').flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::catalogue::instruments;

    #[test]
    fn the_table_is_sound() {
        for sound in sounds() {
            assert_eq!(sound_named(&sound.name), Ok(sound));
            for name in &sound.also {
                assert_eq!(sound_named(name), Ok(sound), "{name}");
            }
            for name in &sound.instruments {
                assert!(instruments().iter().any(|known| known.instrument.name == *name), "{name} is no instrument");
            }
            assert!((0.01..0.5).contains(&sound.position.0) && (0.0..0.5).contains(&sound.pickup.0), "{}", sound.name);
            assert!(
                sound.soft < sound.hard && sound.ring > Seconds::ZERO && sound.palm.ring < sound.ring,
                "{}",
                sound.name
            );
        }
    }

    #[test]
    fn every_instrument_has_the_sound_of_its_kind() {
        // Common practice, no published source.
        for (name, sound) in [
            ("guitar", "clean"),
            ("acoustic guitar", "steel"),
            ("classical guitar", "nylon"),
            ("12-string guitar", "steel"),
            ("baritone guitar", "clean"),
            ("5-string bass", "bass"),
            ("tenor ukulele", "ukulele"),
            ("mandolin", "steel"),
            ("banjo", "steel"),
        ] {
            let known = instruments().iter().find(|known| known.instrument.name == name).unwrap();
            assert_eq!(sound_of(&known.instrument).name, sound, "{name}");
        }
        let three = Instrument { name: "cigar box".into(), strings: 3, ..instruments()[0].instrument.clone() };
        assert_eq!(sound_of(&three).name, "clean");
    }

    #[test]
    fn an_unknown_sound_is_told_what_there_is() {
        let error = sound_named("kazoo").unwrap_err().to_string();
        assert_eq!(error, "no sound is called `kazoo`; there are nylon, steel, clean, overdriven, bass, ukulele");
    }
}
