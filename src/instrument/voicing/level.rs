//! Levels of playing: which voicings may be shown to whom. The limits are data (`assets/levels.ron`).

use std::fmt;
use std::str::FromStr;
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use super::board::ChordBoard;
use super::limits::inner_mutes;
use super::ranking::TaughtAs;
use crate::instrument::fingering::{self, Gripper, Held, Neck, OPEN, PackedFingering};
use crate::instrument::hand::{Hand, ThumbUse};
use crate::instrument::neck::Shape;
use crate::instrument::rig::Rig;
use crate::text::quote::quoted;
use crate::theory::pitch_set::PitchSet;

/// How far a player has come. What a lower level is shown, a higher one is shown too.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
pub enum PlayerLevel {
    /// In the first year.
    Beginner,
    /// With barre chords.
    Intermediate,
    /// With all that a hand can hold.
    #[default]
    Advanced,
}

impl PlayerLevel {
    /// Every level, lowest first.
    pub const ALL: [Self; 3] = [Self::Beginner, Self::Intermediate, Self::Advanced];

    /// Returns the word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Beginner => "beginner",
            Self::Intermediate => "intermediate",
            Self::Advanced => "advanced",
        }
    }

    /// Returns whether `shape` on `rig`, held by `hand`, keeps to it. Nothing does that the hand cannot hold, but for the
    /// highest level, which has no limits of its own.
    pub fn allows(self, rig: &Rig, shape: &Shape, hand: &Hand) -> bool {
        let Some(limits) = self.limits() else { return true };
        let Ok(held) = fingering::held(rig, shape) else { return false };
        let board = ChordBoard::of(rig);
        let lowest = held.iter().copied().filter(|wire| *wire > OPEN).min().unwrap_or(OPEN);
        let known = board.taught.get(lowest, &held);
        let grip = Gripper::new(&board.neck, hand, fingering::costs(), ThumbUse::IfNeeded).best(&held);
        let notes = || held.iter().enumerate().filter_map(|(index, wire)| board.note(index, *wire));
        let tones = notes().fold(PitchSet::EMPTY, |tones, note| tones.with_class(note % 12)).len();
        let is_full = notes().count() >= board.enough(tones) as usize;
        let how = TaughtHow { known, is_full, is_small: board.taught.is_small(&held) };
        grip.is_some_and(|grip| limits.allow(&held, &grip, how, (&board.neck, hand)))
    }

    /// Returns its limits; `None` where there are none but those of the hand.
    pub(super) fn limits(self) -> Option<&'static LevelLimits> {
        static LEVELS: OnceLock<Levels> = OnceLock::new();
        let levels = LEVELS.get_or_init(|| {
            ron::from_str(include_str!("../../../assets/levels.ron"))
                .expect("a test reads the table that is compiled in")
        });
        match self {
            Self::Beginner => Some(&levels.beginner),
            Self::Intermediate => Some(&levels.intermediate),
            Self::Advanced => None,
        }
    }
}

impl fmt::Display for PlayerLevel {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// The text is no level.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{}` is not a level: expected beginner, intermediate or advanced", quoted(.text))]
pub struct PlayerLevelError {
    /// What was typed.
    pub text: String,
}

impl FromStr for PlayerLevel {
    type Err = PlayerLevelError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wanted = text.trim();
        let found = Self::ALL.into_iter().find(|level| level.name().eq_ignore_ascii_case(wanted));
        found.ok_or_else(|| PlayerLevelError { text: text.to_owned() })
    }
}

/// The limits of all levels that have some.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Levels {
    beginner: LevelLimits,
    intermediate: LevelLimits,
}

/// The limits of a level, explained in `assets/levels.ron`.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LevelLimits {
    fingers: u32,
    barre: usize,
    span: i8,
    highest: i8,
    stretch: u32,
    inner_mutes: u32,
    thumb: bool,
    ease: u32,
    full: bool,
    /// The highest fret, the barre and the least ease of the small forms that stand in for a barre chord.
    small: (i8, usize, u32),
    forms: Option<(usize, usize)>,
}

impl LevelLimits {
    /// Returns up to how many voicings of one chord are shown whatever their bass, and how many at the most; `None` where
    /// all are.
    pub(super) const fn forms(&self) -> Option<(usize, usize)> {
        self.forms
    }

    /// Returns whether a voicing that is `held` by `grip` and taught as `how` says keeps to them. A shape that is taught beside the nut
    /// may lie wider, and with strings damped, as that tuning asks for it; a small form stands in for a barre chord, and may be as hard
    /// as `small` says.
    pub(super) fn allow(
        &self,
        held: &Held,
        grip: &PackedFingering,
        how: TaughtHow,
        (neck, hand): (&Neck, &Hand),
    ) -> bool {
        let stopped = || held.iter().copied().filter(|wire| *wire > OPEN);
        let lowest = stopped().min().unwrap_or(neck.nut);
        let highest = stopped().max().unwrap_or(neck.nut);
        let is_open = matches!(how.known, Some(TaughtAs::Open | TaughtAs::AlsoOpen));
        let (top, barre, ease) = if how.is_small { self.small } else { (self.highest, self.barre, self.ease) };
        let is_near = highest - lowest <= self.span && highest - neck.nut <= top;
        (is_open || is_near && inner_mutes(held) <= self.inner_mutes)
            && f64::from(neck.reach(held)) * 100.0 <= hand.reach().0 * f64::from(self.stretch)
            && grip.count() <= self.fingers
            && grip.widest_barre() <= barre
            && (self.thumb || !grip.has_thumb())
            && grip.comfort() >= ease
            && (how.is_full || how.known.is_some() || !self.full)
    }
}

/// How a voicing is taught, and whether it is whole.
#[derive(Debug, Clone, Copy)]
pub(super) struct TaughtHow {
    pub(super) known: Option<TaughtAs>,
    /// Whether as many strings sound as make a full chord.
    pub(super) is_full: bool,
    /// Whether it is a small form that stands in for a barre chord.
    pub(super) is_small: bool,
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::instrument::catalogue::setup_from_text;
    use crate::instrument::hand::{Finger, HandSize};
    use crate::instrument::rig::Rig;
    use crate::instrument::voicing::request::Request;
    use crate::instrument::voicing::search::{FoundVoicing, voicings};

    fn found(instrument: &str, chord: &str, size: HandSize, level: PlayerLevel) -> Vec<FoundVoicing> {
        let (instrument, tuning) = setup_from_text(Some(instrument), None).unwrap();
        let rig = Rig::new(instrument, tuning, None).unwrap();
        let request = Request { hand: Hand::new(size), level, ..Request::default() };
        voicings(&rig, &chord.parse().unwrap(), &request, usize::MAX).unwrap()
    }

    #[test]
    fn what_a_lower_level_is_shown_a_higher_one_is_shown_too() {
        for instrument in ["guitar", "ukulele", "mandolin", "7-string guitar"] {
            for chord in ["C", "F#m7", "Bb9", "E7#9", "A5", "G/B"] {
                let shown = |level| -> BTreeSet<String> {
                    found(instrument, chord, HandSize::Medium, level).iter().map(|one| one.shape.to_string()).collect()
                };
                let [beginner, intermediate, advanced] = PlayerLevel::ALL.map(shown);
                assert!(beginner.is_subset(&intermediate), "{instrument} {chord}");
                assert!(intermediate.is_subset(&advanced), "{instrument} {chord}");
                assert!(intermediate.len() < advanced.len(), "{instrument} {chord}");
            }
        }
    }

    #[test]
    fn beginners_have_the_open_chords_for_every_hand_and_no_full_barre() {
        // Common practice, no published source: the first chords of every method.
        for size in HandSize::ALL {
            for (chord, shape) in [
                ("C", "x 3 2 0 1 0"),
                ("G", "3 2 0 0 0 3"),
                ("D", "x x 0 2 3 2"),
                ("A", "x 0 2 2 2 0"),
                ("E", "0 2 2 1 0 0"),
                ("Am", "x 0 2 2 1 0"),
                ("Em", "0 2 2 0 0 0"),
                ("Dm", "x x 0 2 3 1"),
            ] {
                let shown = found("guitar", chord, size, PlayerLevel::Beginner);
                assert_eq!(shown.first().map(|one| one.shape.to_string()).as_deref(), Some(shape), "{chord} {size:?}");
                assert!((3..=6).contains(&shown.len()), "{chord} {size:?}: {}", shown.len());
                for voicing in &shown {
                    let Some(barre) = voicing.fingering.barre else { continue };
                    assert_eq!(barre.from.number() - barre.to.number(), 1, "{chord} {}", voicing.shape);
                }
            }
        }
    }

    #[test]
    fn beginners_are_shown_small_barres_whole_and_no_fragments() {
        // Common practice, no published source: the small forms that stand in for a full barre.
        let shown = |chord: &str| found("guitar", chord, HandSize::Medium, PlayerLevel::Beginner);
        for (chord, shape) in [
            ("F", "x x 3 2 1 1"),
            ("Fm", "x x 3 1 1 1"),
            ("F#m", "x x 4 2 2 2"),
            ("Bb", "x x 3 3 3 1"),
            ("B", "x x 4 4 4 2"),
            ("Bm", "x x 4 4 3 2"),
            ("Gm", "x x 5 3 3 3"),
            ("Cm", "x x 5 5 4 3"),
        ] {
            let first = shown(chord).first().map(|one| one.shape.to_string());
            assert_eq!(first.as_deref(), Some(shape), "{chord}");
        }
        // Further up nothing is a beginner's; nor is what nobody teaches.
        assert!(["C#m", "G#m", "Eb", "Ab"].iter().all(|chord| shown(chord).is_empty()));
        for chord in ["C", "F", "Bm", "B", "F#m", "Bb", "Cm", "G#m", "Eb", "C#m", "Gm", "Fm", "Ab", "D5", "B7", "Cadd9"]
        {
            for one in shown(chord) {
                let sounding = one.shape.strings().iter().flatten().count();
                assert!(sounding >= 4 || chord == "D5" && sounding >= 2, "{chord} {}", one.shape);
            }
        }
    }

    #[test]
    fn each_limit_is_what_keeps_some_voicing_out() {
        for (chord, shape, level) in [
            // A barre over six strings, the seventh fret, a string damped between, the fifteenth fret.
            ("F", "1 3 3 2 1 1", PlayerLevel::Intermediate),
            ("D", "x x x 7 7 5", PlayerLevel::Intermediate),
            ("F7", "1 x 1 2 1 x", PlayerLevel::Intermediate),
            ("C", "x 15 14 12 13 12", PlayerLevel::Advanced),
        ] {
            for other in PlayerLevel::ALL {
                let shown = found("guitar", chord, HandSize::Medium, other);
                let has = shown.iter().any(|one| one.shape.to_string() == shape);
                assert_eq!(has, other >= level, "{chord} {shape} {other}");
            }
        }
        let with_thumb = |level| {
            let shown = found("guitar", "D7/F#", HandSize::Medium, level);
            shown.iter().filter(|one| one.fingering.fingers.contains(&Some(Finger::Thumb))).count()
        };
        assert_eq!([with_thumb(PlayerLevel::Beginner), with_thumb(PlayerLevel::Intermediate)], [0, 0]);
        assert!(with_thumb(PlayerLevel::Advanced) > 0);
    }
}
