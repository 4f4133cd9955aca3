//! The arguments of the commands that make sound files. The docs of arguments are the texts that a user reads as help.

use std::path::PathBuf;

use clap::{ArgGroup, Args, ValueEnum};

use super::rig_args::RigArgs;
use super::unsaved_args::UnsavedArgs;
use crate::lesson::seconds::Seconds;
use crate::sound::file::Depth;
use crate::sound::performance::passage::{FASTEST, SLOWEST};
use crate::sound::rate::SampleRate;
use crate::theory::pitch::Hertz;

/// One sentence about safe listening, for the help of every command that makes sound.
///
/// Source: ITU-T H.870 and the summary of it by the World Health Organization: 80 dB(A) for 40 hours a week, a fixed
/// dose, so that every 3 dB more halves the time.
macro_rules! ears {
    () => {
        "Ears: keep it quiet and take breaks, since 80 dB(A) at the ear for 40 hours a week is as much as the WHO and \
         ITU-T H.870 allow, every 3 dB more halves the time, and the program cannot know how loud it is at your ear."
    };
}
pub(super) use ears;

/// The sound file, for every command that makes one.
#[derive(Debug, Args)]
pub struct SoundFileArgs {
    /// Where to write it; the name ends in .wav or .flac, and a file that is there is replaced
    /// [default: a new file in this folder, named after what is played]
    #[arg(short, long, value_name = "OUT")]
    pub output: Option<PathBuf>,
    /// The sound: nylon, steel, clean, overdriven, bass or ukulele [default: the instrument's]
    #[arg(long, value_name = "NAME")]
    pub sound: Option<String>,
    /// Samples per second
    #[arg(long, value_enum, value_name = "HZ", default_value_t = Rate::Disc)]
    pub rate: Rate,
    /// Bits a sample: whole numbers, or floating point with 32
    #[arg(long, value_enum, value_name = "N", default_value_t = Bits::Sixteen)]
    pub bits: Bits,
}

/// Sample rates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Rate {
    /// As on a compact disc
    #[value(name = "44100")]
    Disc,
    /// As in video
    #[value(name = "48000")]
    Video,
}

impl Rate {
    /// Returns the rate as sound files store it.
    pub const fn samples(self) -> SampleRate {
        match self {
            Self::Disc => SampleRate::DISC,
            Self::Video => SampleRate::VIDEO,
        }
    }
}

/// How exact samples are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Bits {
    /// Whole numbers, with dither
    #[value(name = "16")]
    Sixteen,
    /// Whole numbers
    #[value(name = "24")]
    TwentyFour,
    /// Floating point
    #[value(name = "32")]
    Float,
}

impl Bits {
    /// Returns the depth as sound files store it.
    pub const fn depth(self) -> Depth {
        match self {
            Self::Sixteen => Depth::Sixteen,
            Self::TwentyFour => Depth::TwentyFour,
            Self::Float => Depth::Float,
        }
    }
}

/// `render`
#[derive(Debug, Args)]
#[command(group = ArgGroup::new("what").required(true).args(["passage", "voicing", "segment"]))]
pub struct RenderArgs {
    /// The lesson file
    pub lesson: PathBuf,
    /// A passage: its title, its piece and title, the beginning of that, or its number
    #[arg(long, value_name = "P")]
    pub passage: Option<String>,
    /// A voicing: its name in the lesson, the beginning of that, or its number; it is strummed
    #[arg(long, value_name = "V", conflicts_with_all = ["tempo", "click", "count_in"])]
    pub voicing: Option<String>,
    /// A segment: its number as it stands in the video, or its title; its passages are played one after another, as
    /// often and as slowly as it plans
    #[arg(long, value_name = "S")]
    pub segment: Option<String>,
    /// The tempo, in per cent of the written one: 25 to 150
    #[arg(long, value_name = "PCT", default_value = "100", value_parser = percent, allow_negative_numbers = true)]
    pub tempo: u8,
    /// Play a metronome click with it
    #[arg(long)]
    pub click: bool,
    /// Begin with a count-in of one bar
    #[arg(long)]
    pub count_in: bool,
    /// The file
    #[command(flatten)]
    pub file: SoundFileArgs,
    /// Changes that are not saved
    #[command(flatten)]
    pub unsaved: UnsavedArgs,
}

/// `sound`
#[derive(Debug, Args)]
pub struct SoundArgs {
    /// Shapes, frets from the highest string number down, `x` muted; several are played one after another
    #[arg(required = true)]
    pub shapes: Vec<String>,
    /// The instrument
    #[command(flatten)]
    pub rig: RigArgs,
    /// How the strings are struck
    #[arg(long, value_enum, value_name = "HOW", default_value_t = Struck::Down)]
    pub stroke: Struck,
    /// Seconds until the next shape, and until the last is damped
    #[arg(long, value_name = "S", default_value = "2.5", value_parser = seconds, allow_negative_numbers = true)]
    pub seconds: Seconds,
    /// What A4 sounds at, in Hz
    #[arg(long, value_name = "HZ", default_value_t = Hertz::STANDARD_PITCH, value_parser = reference, allow_negative_numbers = true)]
    pub reference: Hertz,
    /// The file
    #[command(flatten)]
    pub file: SoundFileArgs,
}

/// How the strings of a shape are struck.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Struck {
    /// Strummed from the highest string number to the first
    Down,
    /// Strummed the other way
    Up,
    /// One after another, from the lowest pitch to the highest
    Arpeggio,
    /// All at once
    Together,
}

/// Reads a tempo in per cent. Errors: the text is not a tempo that can be played.
fn percent(text: &str) -> Result<u8, String> {
    let percent = text.trim_end_matches('%').parse().ok().filter(|percent| (SLOWEST..=FASTEST).contains(percent));
    percent.ok_or_else(|| format!("expected {SLOWEST} to {FASTEST} per cent"))
}

/// Reads a duration in seconds. Errors: the text is not such a duration.
fn seconds(text: &str) -> Result<Seconds, String> {
    let seconds = text.parse().ok().filter(|seconds| (0.1..=60.0).contains(seconds)).map(Seconds);
    seconds.ok_or_else(|| "expected seconds from 0.1 to 60".to_owned())
}

/// Reads the frequency of A4 in Hz. Errors: the text is not a frequency that can be used.
fn reference(text: &str) -> Result<Hertz, String> {
    let hertz = text.parse().ok().filter(|hertz| (380.0..=500.0).contains(hertz)).map(Hertz);
    hertz.ok_or_else(|| "expected what A4 sounds at, 380 to 500 Hz".to_owned())
}
