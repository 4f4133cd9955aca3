//! One row for each way of playing a note; those of leading to the next are in [`super::joining`].
//!
//! A row says what players call it, how it is written in tab, what the legend says of it, what it cannot be combined with
//! how it sets the string sounding and what it does at its fret. The tab, its legend and its reader, the check, the lists of the workbench and
//! the sound read it here. The compiler asks for the row of a new variant.
//!
//! The signs are those that players use nearly everywhere; where authors differ, the legend tells (H. Wright, "The
//! Guide to TAB Notation", 1995). What cannot be played together is common practice, no published source.

use super::music::{BendAmount, Technique};
use crate::instrument::neck::Fret;

/// What is to be known of one technique.
#[derive(Debug, Clone, Copy)]
pub struct TechniqueRow {
    /// What it takes beside its name.
    pub takes: Takes,
    /// What players call it, without its amount or fret.
    pub name: &'static str,
    /// How it is written in tab.
    pub sign: TabSign,
    /// How the legend shows the sign: on a note at fret 7 wherever that says it.
    pub example: &'static str,
    /// What the sign means, in a player's words.
    pub meaning: &'static str,
    /// What it is one of; no two of a family can be played on one note.
    pub family: TechniqueFamily,
    /// Which other families it cannot be played with on one note, and why.
    pub excludes: &'static [(&'static [TechniqueFamily], &'static str)],
    /// How the string is set sounding.
    pub struck_by: StruckBy,
    /// What becomes of the string at the note's fret.
    pub frets: FretUse,
}

/// What a technique takes beside its name.
#[derive(Debug, Clone, Copy)]
pub enum Takes {
    /// Nothing more.
    Nothing(Technique),
    /// How far it goes.
    Amount(fn(BendAmount) -> Technique),
    /// A second fret on the same string.
    Fret(fn(Fret) -> Technique),
}

/// What a technique has been given beside its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TechniqueValue {
    /// Nothing more.
    Nothing,
    /// How far it goes.
    Amount(BendAmount),
    /// A second fret on the same string.
    Fret(Fret),
}

/// How a technique is written in tab.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TabSign {
    /// Before the fret.
    Before(&'static str),
    /// In place of the fret.
    Instead(&'static str),
    /// On both sides of the fret.
    Around(&'static str, &'static str),
    /// Behind the fret.
    Behind {
        /// Where it stands among several behind one fret: the lowest comes first.
        rank: u8,
        /// The signs it begins with.
        sign: &'static str,
        /// What follows them.
        then: AfterSign,
    },
}

/// What follows the sign of a technique behind a fret.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AfterSign {
    /// Nothing follows.
    Nothing,
    /// The second fret, and this after it.
    Fret(&'static str),
    /// How far the bend goes in whole steps; in a full bar the fret whose pitch it reaches, with `+` for a quarter tone more.
    Reach,
    /// The same, then `r` and the fret that the note is let down to.
    ReachAndBack,
    /// How far the tremolo bar goes in whole steps, in brackets.
    Steps,
}

/// What several techniques share, and so what they cannot share with others.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TechniqueFamily {
    /// Slides in from nowhere.
    SlideIn,
    /// Slides out to nowhere.
    SlideOut,
    /// Bends by a finger.
    Bend,
    /// Vibrato.
    Vibrato,
    /// Damping by the picking hand.
    PalmMute,
    /// Notes without pitch.
    Dead,
    /// Notes that are barely heard.
    Ghost,
    /// Notes that ring on.
    LetRing,
    /// Trills.
    Trill,
    /// Picking again and again.
    Tremolo,
    /// Notes sounded by a finger that comes down on the fretboard.
    Tap,
    /// Harmonics of every kind.
    Harmonic,
    /// Moves of the whammy bar.
    Whammy,
}

/// How the string of a note is set sounding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StruckBy {
    /// As the event says: picked, unless a join sounds it.
    Usual,
    /// By a finger of the picking hand that comes down on the fretboard.
    PickingHandTap,
    /// By a finger of the fretting hand that comes down from nowhere.
    FrettingHandTap,
    /// By the pick and the thumb that touches the string with it.
    Pinch,
}

/// What becomes of the string at a note's fret, and at the second fret where there is one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FretUse {
    /// It is stopped there.
    Stopped,
    /// It is stopped there and at the second fret in turn.
    StoppedInTurn,
    /// It is open, and only touched over that fret.
    TouchedOpen,
    /// It is stopped there, and touched over the second fret.
    TouchedAbove,
    /// It is damped, and sounds no pitch of that fret.
    Damped,
}

impl FretUse {
    /// Returns whether what sounds is the pitch of the note's fret, or follows it.
    pub const fn has_pitch_of_fret(self) -> bool {
        match self {
            Self::Stopped | Self::StoppedInTurn | Self::TouchedAbove => true,
            Self::TouchedOpen | Self::Damped => false,
        }
    }
}

impl TechniqueFamily {
    /// Returns whether a finger has to stop the string for it.
    pub const fn needs_finger(self) -> bool {
        match self {
            Self::SlideIn | Self::SlideOut | Self::Bend | Self::Vibrato | Self::Tap => true,
            Self::PalmMute
            | Self::Dead
            | Self::Ghost
            | Self::LetRing
            | Self::Trill
            | Self::Tremolo
            | Self::Harmonic
            | Self::Whammy => false,
        }
    }
}

impl Technique {
    /// Returns what players call it, without its amount or fret.
    pub const fn name(self) -> &'static str {
        self.row().name
    }

    /// Returns the family that it belongs to.
    pub const fn family(self) -> TechniqueFamily {
        self.row().family
    }

    /// Returns what becomes of the string at the note's fret.
    pub const fn frets(self) -> FretUse {
        self.row().frets
    }

    /// Returns the second fret, where it takes one.
    pub const fn second_fret(self) -> Option<Fret> {
        match self.given() {
            TechniqueValue::Fret(fret) => Some(fret),
            TechniqueValue::Nothing | TechniqueValue::Amount(_) => None,
        }
    }
}

impl TechniqueRow {
    /// Returns the technique with its amount or fret, where it takes one, set to a fixed one.
    pub fn sample(&self) -> Technique {
        match self.takes {
            Takes::Nothing(technique) => technique,
            Takes::Amount(technique) => technique(BendAmount::FULL),
            Takes::Fret(technique) => technique(Fret::OPEN),
        }
    }

    /// Returns why `other` cannot be played on the same note, as far as this row says so.
    pub fn excludes(&self, other: TechniqueFamily) -> Option<&'static str> {
        self.excludes.iter().find(|(families, _)| families.contains(&other)).map(|(_, why)| *why)
    }
}

/// Reads what a technique of a known kind holds.
macro_rules! given {
    ($self:ident, Nothing, $technique:ident) => {
        TechniqueValue::Nothing
    };
    ($self:ident, $takes:ident, $technique:ident) => {
        if let Technique::$technique(held) = $self { TechniqueValue::$takes(held) } else { TechniqueValue::Nothing }
    };
}

/// Makes the table, and the way from a technique to its row, which has no `_` arm.
macro_rules! techniques {
    ($($technique:ident takes $takes:ident as $name:literal { $($field:ident: $value:expr,)+ })+) => {
        /// Every technique, in the order in which a player is offered them.
        pub const TECHNIQUES: &[TechniqueRow] = &[$(TechniqueRow {
            takes: Takes::$takes(Technique::$technique),
            name: $name,
            $($field: $value,)+
        }),+];

        impl Technique {
            /// Returns the row of this technique.
            pub const fn row(self) -> &'static TechniqueRow {
                match self {
                    $(Self::$technique { .. } => {
                        const ROW: TechniqueRow = TechniqueRow {
                            takes: Takes::$takes(Technique::$technique),
                            name: $name,
                            $($field: $value,)+
                        };
                        &ROW
                    })+
                }
            }

            /// Returns what this technique was given beside its name.
            pub const fn given(self) -> TechniqueValue {
                match self {
                    $(Self::$technique { .. } => given!(self, $takes, $technique),)+
                }
            }
        }
    };
}

/// Returns a sign behind the fret that says all.
const fn behind(rank: u8, sign: &'static str) -> TabSign {
    TabSign::Behind { rank, sign, then: AfterSign::Nothing }
}

/// Returns a sign behind the fret with something after it.
const fn behind_with(rank: u8, sign: &'static str, then: AfterSign) -> TabSign {
    TabSign::Behind { rank, sign, then }
}

const NOTHING: &[(&[TechniqueFamily], &str)] = &[];
const BOTH_HANDS: &str = "the picking hand cannot do both";
const NOT_PICKED: &str = "a tapped note is not picked";
const BENT_BEFORE: &[(&[TechniqueFamily], &str)] =
    &[(&[TechniqueFamily::SlideIn], "the string is bent before it sounds")];

techniques! {
    Vibrato takes Nothing as "vibrato" {
        sign: behind(7, "~"),
        example: "7~",
        meaning: "vibrato",
        family: TechniqueFamily::Vibrato,
        excludes: NOTHING,
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    PalmMute takes Nothing as "palm mute" {
        sign: behind(13, "m"),
        example: "7m",
        meaning: "palm mute on this string",
        family: TechniqueFamily::PalmMute,
        excludes: &[(&[TechniqueFamily::LetRing], "a muted note does not ring on")],
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    Dead takes Nothing as "dead note" {
        sign: TabSign::Instead("x"),
        example: "x",
        meaning: "dead note: muted, no pitch",
        family: TechniqueFamily::Dead,
        excludes: &[(
            &[
                TechniqueFamily::SlideIn,
                TechniqueFamily::SlideOut,
                TechniqueFamily::Bend,
                TechniqueFamily::Vibrato,
                TechniqueFamily::LetRing,
                TechniqueFamily::Trill,
                TechniqueFamily::Tap,
                TechniqueFamily::Harmonic,
                TechniqueFamily::Whammy,
            ],
            "a dead note has no pitch and does not ring",
        )],
        struck_by: StruckBy::Usual,
        frets: FretUse::Damped,
    }
    Ghost takes Nothing as "ghost note" {
        sign: TabSign::Around("(", ")"),
        example: "(7)",
        meaning: "ghost note: very soft",
        family: TechniqueFamily::Ghost,
        excludes: NOTHING,
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    LetRing takes Nothing as "let ring" {
        sign: behind(12, "_"),
        example: "7_",
        meaning: "let ring on this string",
        family: TechniqueFamily::LetRing,
        excludes: NOTHING,
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    Tap takes Nothing as "tap" {
        sign: TabSign::Before("t"),
        example: "t7",
        meaning: "tap with the picking hand",
        family: TechniqueFamily::Tap,
        excludes: NOTHING,
        struck_by: StruckBy::PickingHandTap,
        frets: FretUse::Stopped,
    }
    FrettingHandTap takes Nothing as "hammer-on from nowhere" {
        sign: TabSign::Before("h"),
        example: "h7",
        meaning: "hammer-on from nowhere: tap with the fretting hand",
        family: TechniqueFamily::Tap,
        excludes: NOTHING,
        struck_by: StruckBy::FrettingHandTap,
        frets: FretUse::Stopped,
    }
    SlideUpInto takes Nothing as "slide in from below" {
        sign: TabSign::Before("//"),
        example: "//7",
        meaning: "slide in from below",
        family: TechniqueFamily::SlideIn,
        excludes: NOTHING,
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    SlideDownInto takes Nothing as "slide in from above" {
        sign: TabSign::Before("\\\\"),
        example: "\\\\7",
        meaning: "slide in from above",
        family: TechniqueFamily::SlideIn,
        excludes: NOTHING,
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    SlideAwayDown takes Nothing as "slide out down the neck" {
        sign: behind(14, "\\\\"),
        example: "7\\\\",
        meaning: "slide out, down the neck",
        family: TechniqueFamily::SlideOut,
        excludes: NOTHING,
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    SlideAwayUp takes Nothing as "slide out up the neck" {
        sign: behind(15, "//"),
        example: "7//",
        meaning: "slide out, up the neck",
        family: TechniqueFamily::SlideOut,
        excludes: NOTHING,
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    TremoloPicking takes Nothing as "tremolo picking" {
        sign: behind(11, ":"),
        example: "7:",
        meaning: "tremolo picking on this string",
        family: TechniqueFamily::Tremolo,
        excludes: &[(&[TechniqueFamily::Tap], NOT_PICKED)],
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    NaturalHarmonic takes Nothing as "natural harmonic" {
        sign: TabSign::Around("<", ">"),
        example: "<12>",
        meaning: "natural harmonic",
        family: TechniqueFamily::Harmonic,
        excludes: &[(
            &[TechniqueFamily::Bend, TechniqueFamily::SlideIn, TechniqueFamily::SlideOut, TechniqueFamily::Tap, TechniqueFamily::Trill],
            "the string is open and only touched",
        )],
        struck_by: StruckBy::Usual,
        frets: FretUse::TouchedOpen,
    }
    PinchHarmonic takes Nothing as "pinch harmonic" {
        sign: behind(8, "!"),
        example: "7!",
        meaning: "pinch harmonic",
        family: TechniqueFamily::Harmonic,
        excludes: &[(&[TechniqueFamily::Tap], NOT_PICKED)],
        struck_by: StruckBy::Pinch,
        frets: FretUse::Stopped,
    }
    Bend takes Amount as "bend" {
        sign: behind_with(3, "b", AfterSign::Reach),
        example: "7bfull",
        meaning: "bend up a whole step",
        family: TechniqueFamily::Bend,
        excludes: NOTHING,
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    BendRelease takes Amount as "bend and release" {
        sign: behind_with(4, "b", AfterSign::ReachAndBack),
        example: "7bfullr7",
        meaning: "bend up a whole step and release",
        family: TechniqueFamily::Bend,
        excludes: NOTHING,
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    PreBend takes Amount as "pre-bend" {
        sign: behind_with(5, "pb", AfterSign::Reach),
        example: "7pbfull",
        meaning: "bend up a whole step first, then pick",
        family: TechniqueFamily::Bend,
        excludes: BENT_BEFORE,
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    PreBendRelease takes Amount as "pre-bend and release" {
        sign: behind_with(6, "pb", AfterSign::ReachAndBack),
        example: "7pbfullr7",
        meaning: "bend up a whole step first, pick, release",
        family: TechniqueFamily::Bend,
        excludes: BENT_BEFORE,
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    Trill takes Fret as "trill" {
        sign: behind_with(2, "tr", AfterSign::Fret("")),
        example: "7tr9",
        meaning: "trill with fret 9",
        family: TechniqueFamily::Trill,
        excludes: &[(&[TechniqueFamily::Bend], "the fretting hand cannot do both")],
        struck_by: StruckBy::Usual,
        frets: FretUse::StoppedInTurn,
    }
    ArtificialHarmonic takes Fret as "harp (artificial) harmonic" {
        sign: behind_with(0, "[", AfterSign::Fret("]")),
        example: "5[17]",
        meaning: "artificial harmonic: fret 5, touch at 17",
        family: TechniqueFamily::Harmonic,
        excludes: &[(&[TechniqueFamily::Tap], BOTH_HANDS)],
        struck_by: StruckBy::Usual,
        frets: FretUse::TouchedAbove,
    }
    TappedHarmonic takes Fret as "tapped harmonic" {
        sign: behind_with(1, "(", AfterSign::Fret(")")),
        example: "5(17)",
        meaning: "tapped harmonic: fret 5, tap at 17",
        family: TechniqueFamily::Harmonic,
        excludes: &[(&[TechniqueFamily::Tap], BOTH_HANDS), (&[TechniqueFamily::Tremolo], NOT_PICKED)],
        struck_by: StruckBy::PickingHandTap,
        frets: FretUse::TouchedAbove,
    }
    TremoloBarDip takes Amount as "tremolo-bar dip" {
        sign: behind_with(9, "v", AfterSign::Steps),
        example: "7v(1)",
        meaning: "tremolo bar: dip a whole step and back (1/2: a half step)",
        family: TechniqueFamily::Whammy,
        excludes: NOTHING,
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
    TremoloBarDive takes Amount as "tremolo-bar dive" {
        sign: behind_with(10, "d", AfterSign::Steps),
        example: "7d(1)",
        meaning: "tremolo bar: dive a whole step (1/2: a half step)",
        family: TechniqueFamily::Whammy,
        excludes: NOTHING,
        struck_by: StruckBy::Usual,
        frets: FretUse::Stopped,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_stands_for_itself_and_has_a_sign_of_its_own() {
        for (place, row) in TECHNIQUES.iter().enumerate() {
            assert_eq!(row.sample().row().name, row.name);
            let held = match (row.sample().given(), row.sign) {
                (TechniqueValue::Nothing, sign) => {
                    !matches!(sign, TabSign::Behind { then, .. } if then != AfterSign::Nothing)
                }
                (TechniqueValue::Fret(_), sign) => matches!(sign, TabSign::Behind { then: AfterSign::Fret(_), .. }),
                (TechniqueValue::Amount(_), TabSign::Behind { then, .. }) => {
                    !matches!(then, AfterSign::Nothing | AfterSign::Fret(_))
                }
                (TechniqueValue::Amount(_), TabSign::Before(_) | TabSign::Instead(_) | TabSign::Around(..)) => false,
            };
            assert!(held, "{} is written without what it takes, or with more", row.name);
            for other in TECHNIQUES.iter().skip(place + 1) {
                assert!(row.name != other.name && row.example != other.example && row.meaning != other.meaning);
                assert!(row.sign != other.sign, "{} and {}", row.name, other.name);
            }
        }
    }

    #[test]
    fn a_second_fret_is_used_where_there_is_one() {
        for row in TECHNIQUES {
            let uses_two = matches!(row.frets, FretUse::StoppedInTurn | FretUse::TouchedAbove);
            assert_eq!(row.sample().second_fret().is_some(), uses_two, "{}", row.name);
        }
    }

    #[test]
    fn no_two_signs_behind_a_fret_claim_the_same_place() {
        let mut ranks: Vec<u8> = TECHNIQUES
            .iter()
            .filter_map(|row| match row.sign {
                TabSign::Behind { rank, .. } => Some(rank),
                TabSign::Before(_) | TabSign::Instead(_) | TabSign::Around(..) => None,
            })
            .collect();
        ranks.sort_unstable();
        assert!(ranks.iter().copied().eq(0..ranks.len() as u8), "{ranks:?}");
    }

    #[test]
    fn what_the_legend_shows_is_the_sign() {
        for row in TECHNIQUES {
            let shown = match row.sign {
                TabSign::Before(sign) => row.example.starts_with(sign),
                TabSign::Instead(sign) => row.example == sign,
                TabSign::Around(open, close) => row.example.starts_with(open) && row.example.ends_with(close),
                TabSign::Behind { sign, .. } => row.example.contains(sign),
            };
            assert!(shown, "{}", row.name);
        }
    }
}
