//! The command line as clap reads it; help, completions and the man page come from here.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::instrument::neck::{Fret, StringNumber};
use crate::tab::handout::options::Columns;

/// Prepare video lessons for fretted instruments: outline, tab, chord names, handout.
///
/// Without a command, the workbench opens on the last lesson.
#[derive(Debug, Parser)]
#[command(
    name = "fingerpost",
    version,
    max_term_width = 100,
    after_help = "Examples:\n  fingerpost demo\n  fingerpost name x32010\n  fingerpost handout my.lesson.ron -o handout.txt\n\n\
                  Exit status: 0 all is well, 1 problems were found, 2 bad use or unreadable input."
)]
pub struct CommandLine {
    /// What to do.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// Every command.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Open a lesson in the workbench
    #[command(after_help = "Example:\n  fingerpost open kitchen-table.lesson.ron")]
    Open(OpenArgs),
    /// Start a new lesson file
    #[command(after_help = "Example:\n  fingerpost new slow-reel.lesson.ron --title \"Slow reel\" --tuning DADGAD")]
    New(NewArgs),
    /// Look for problems in lessons; exit status 1 if there are any (warnings and notes do not count)
    #[command(after_help = "Example:\n  fingerpost check *.lesson.ron")]
    Check(CheckArgs),
    /// Print a lesson as a handout of tab and chord grids
    #[command(after_help = "Examples:\n  fingerpost handout my.lesson.ron -o my.txt --paper letter\n  \
                            fingerpost handout my.lesson.ron --segments 2-4,performance --ascii")]
    Handout(HandoutArgs),
    /// Print the chapter list of a recorded or planned lesson
    #[command(after_help = "Example:\n  fingerpost chapters my.lesson.ron --planned")]
    Chapters(ChaptersArgs),
    /// Name chord shapes
    #[command(after_help = "Examples:\n  fingerpost name x32010\n  fingerpost name x-10-12-12-x-x --key Bb\n  \
                            fingerpost name 0003 --tuning ukulele\n  \
                            fingerpost name xx6777 --bass E\n  fingerpost name 022x00 --unsure 3\n  \
                            printf 'x 3 2 0 1 0\\n' | fingerpost name --batch - --json --limit 3")]
    Name(NameArgs),
    /// Show every way to play a chord, best first
    #[command(after_help = "Examples:\n  fingerpost voicings Cmaj7\n  fingerpost voicings D9 --frets 5-9 --top E\n  \
                            fingerpost voicings C/E Am7 --tuning DADGAD --hand small\n  \
                            printf 'Cmaj7\\nG/B\\n' | fingerpost voicings --batch - --json --limit 1000")]
    Voicings(VoicingsArgs),
    /// Say which fingers hold a shape, and how far they reach
    #[command(after_help = "Examples:\n  fingerpost fingering x32010\n  fingerpost fingering x-1-3-3-3-1 --hand small")]
    Fingering(FingeringArgs),
    /// Read text tab into a passage
    #[command(after_help = "Examples:\n  fingerpost read-tab old-riff.txt\n  \
                            fingerpost read-tab - --into my.lesson.ron < old-riff.txt")]
    ReadTab(ReadTabArgs),
    /// Try the workbench on a copy of a demo lesson that may be played with freely
    #[command(after_help = "Examples:\n  fingerpost demo\n  fingerpost demo --list")]
    Demo(DemoArgs),
    /// List the instruments and tunings known by name
    #[command(after_help = "Example:\n  fingerpost tunings --instrument ukulele")]
    Tunings(TuningsArgs),
    /// Print completions for a shell
    #[command(
        after_help = "Example:\n  fingerpost completions bash > ~/.local/share/bash-completion/completions/fingerpost"
    )]
    Completions(CompletionsArgs),
    /// Print the manual page
    #[command(after_help = "Example:\n  fingerpost man | man -l -")]
    Man,
}

/// `open`
#[derive(Debug, Args)]
pub struct OpenArgs {
    /// The lesson file
    pub file: PathBuf,
}

/// `new`
#[derive(Debug, Args)]
pub struct NewArgs {
    /// The file to make; `.lesson.ron` is added if it is missing
    pub file: PathBuf,
    /// The lesson's title [default: from the file name]
    #[arg(long)]
    pub title: Option<String>,
    /// The instrument, as `fingerpost tunings` lists them
    #[arg(long, default_value = "guitar")]
    pub instrument: String,
    /// The tuning: a name, or notes from the highest string number down, as in "D2 A2 D3 G3 A3 D4"
    /// [default: the instrument's standard]
    #[arg(long)]
    pub tuning: Option<String>,
    /// The capo's fret
    #[arg(long, value_name = "FRET", value_parser = fret, allow_negative_numbers = true)]
    pub capo: Option<Fret>,
}

/// `check`
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// The lesson files
    #[arg(required = true)]
    pub files: Vec<PathBuf>,
}

/// `handout`
#[derive(Debug, Args)]
pub struct HandoutArgs {
    /// The lesson file
    pub file: PathBuf,
    /// Where to write it [default: standard output, as with `-`]
    #[arg(short, long, value_name = "OUT")]
    pub output: Option<PathBuf>,
    /// The paper it will be printed on
    #[arg(long, value_enum, default_value_t = PaperName::A4)]
    pub paper: PaperName,
    /// Characters a line, where the paper's own number does not suit
    #[arg(long, value_name = "N", value_parser = columns, allow_negative_numbers = true)]
    pub columns: Option<Columns>,
    /// Use plain ASCII only
    #[arg(long)]
    pub ascii: bool,
    /// Only these segments: numbers, ranges and kinds, as in `1,3-5,performance`
    #[arg(long, value_name = "WHICH")]
    pub segments: Option<String>,
}

/// Paper sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PaperName {
    /// 210 × 297 mm
    A4,
    /// 8.5 × 11 in
    Letter,
}

/// `chapters`
#[derive(Debug, Args)]
pub struct ChaptersArgs {
    /// The lesson file
    pub file: PathBuf,
    /// Use the planned lengths instead of the recorded times
    #[arg(long)]
    pub planned: bool,
}

/// `name`
#[derive(Debug, Args)]
pub struct NameArgs {
    /// Shapes, frets from the highest string number down (for standard tuning: low to high), `x` muted,
    /// `?` after a string that is not surely heard
    #[arg(required_unless_present = "batch", conflicts_with = "batch")]
    pub shapes: Vec<String>,
    /// The tuning: a name, or notes as in "D2 A2 D3 G3 A3 D4" [default: the instrument's standard]
    #[arg(long)]
    pub tuning: Option<String>,
    /// The instrument [default: the one the tuning is for, else the guitar]
    #[arg(long)]
    pub instrument: Option<String>,
    /// The capo's fret: shapes count from it
    #[arg(long, value_name = "FRET", default_value = "0", value_parser = fret, allow_negative_numbers = true)]
    pub capo: Fret,
    /// The key, as it sounds: it decides between sharps and flats
    #[arg(long)]
    pub key: Option<String>,
    /// A bass that somebody else plays below the shape, as it sounds
    #[arg(long, value_name = "NOTE")]
    pub bass: Option<String>,
    /// The chord before, as it sounds: its root may still be in the ear
    #[arg(long, value_name = "SYMBOL")]
    pub previous: Option<String>,
    /// A string that is not surely heard, counted as in tab; may be repeated, or several as in `2,3`.
    /// One that is muted in the shape may have been ringing open
    #[arg(long, value_name = "STRING", value_delimiter = ',', value_parser = string, allow_negative_numbers = true)]
    pub unsure: Vec<StringNumber>,
    /// Write JSON, one object a shape
    #[arg(long)]
    pub json: bool,
    /// Read one shape a line from a file, or from standard input with `-`
    #[arg(long, value_name = "FILE|-")]
    pub batch: Option<PathBuf>,
    /// The most readings for each shape
    #[arg(long, value_name = "N", default_value = "10", value_parser = count, allow_negative_numbers = true)]
    pub limit: usize,
}

/// The instrument as it is set up, for the commands that play on it.
#[derive(Debug, Args)]
pub struct RigArgs {
    /// The tuning: a name, or notes as in "D2 A2 D3 G3 A3 D4" [default: the instrument's standard]
    #[arg(long)]
    pub tuning: Option<String>,
    /// The instrument [default: the one the tuning is for, else the guitar]
    #[arg(long)]
    pub instrument: Option<String>,
    /// The capo's fret: frets count from it, and chords are named as they sound
    #[arg(long, value_name = "FRET", default_value = "0", value_parser = fret, allow_negative_numbers = true)]
    pub capo: Fret,
}

/// `voicings`
#[derive(Debug, Args)]
pub struct VoicingsArgs {
    /// Chord symbols, as they sound
    #[arg(required_unless_present_any = ["batch", "path"], conflicts_with = "batch", value_name = "SYMBOL")]
    pub symbols: Vec<String>,
    /// The instrument
    #[command(flatten)]
    pub rig: RigArgs,
    /// Only these frets, as in `5-9`; 0 stands for open strings
    #[arg(long, value_name = "A-B")]
    pub frets: Option<String>,
    /// The highest note: a tone, as in `E`, or one of an octave, as in `E4`
    #[arg(long, value_name = "NOTE")]
    pub top: Option<String>,
    /// The lowest note; one that is no tone of the chord is played under it, as in `C/D`
    #[arg(long, value_name = "NOTE")]
    pub bass: Option<String>,
    /// The most millimetres between the outermost fingers [default: as far as the hand goes]
    #[arg(long, value_name = "MM", allow_negative_numbers = true)]
    pub max_reach: Option<f64>,
    /// The hand: small, medium or large
    #[arg(long, value_name = "SIZE", default_value = "medium")]
    pub hand: String,
    /// Leave out shapes that need the thumb over the neck
    #[arg(long)]
    pub no_thumb: bool,
    /// Put those first that follow smoothly from this shape
    #[arg(long, value_name = "SHAPE", allow_hyphen_values = true)]
    pub after: Option<String>,
    /// The smoothest way through a progression, as in `--path "Em7 D Csus2 G/A"`
    #[arg(long, value_name = "SYMBOLS", conflicts_with_all = ["batch", "after", "symbols"])]
    pub path: Option<String>,
    /// Write JSON, one object a symbol
    #[arg(long)]
    pub json: bool,
    /// Read one symbol a line from a file, or from standard input with `-`
    #[arg(long, value_name = "FILE|-")]
    pub batch: Option<PathBuf>,
    /// The most voicings for each symbol
    #[arg(long, value_name = "N", default_value = "12", value_parser = count, allow_negative_numbers = true)]
    pub limit: usize,
    /// Draw with plain ASCII only
    #[arg(long)]
    pub ascii: bool,
}

/// `fingering`
#[derive(Debug, Args)]
pub struct FingeringArgs {
    /// Shapes, frets from the highest string number down, `x` muted
    #[arg(required = true)]
    pub shapes: Vec<String>,
    /// The instrument
    #[command(flatten)]
    pub rig: RigArgs,
    /// The hand: small, medium or large
    #[arg(long, value_name = "SIZE", default_value = "medium")]
    pub hand: String,
    /// Write JSON, one object a shape
    #[arg(long)]
    pub json: bool,
    /// Draw with plain ASCII only
    #[arg(long)]
    pub ascii: bool,
}

/// `read-tab`
#[derive(Debug, Args)]
pub struct ReadTabArgs {
    /// The text file, or `-` for standard input
    pub file: PathBuf,
    /// Add the passage to this lesson instead of printing it
    #[arg(long, value_name = "LESSON")]
    pub into: Option<PathBuf>,
    /// The passage's title [default: from the file name]
    #[arg(long)]
    pub title: Option<String>,
}

/// `demo`
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// Which lesson, as `--list` names them [default: the first]
    pub name: Option<String>,
    /// List the demo lessons
    #[arg(long)]
    pub list: bool,
}

/// `tunings`
#[derive(Debug, Args)]
pub struct TuningsArgs {
    /// Only this instrument
    #[arg(long)]
    pub instrument: Option<String>,
}

/// `completions`
#[derive(Debug, Args)]
pub struct CompletionsArgs {
    /// The shell
    pub shell: clap_complete::Shell,
}

/// Reads the fret of a capo; 0 is none.
fn fret(text: &str) -> Result<Fret, String> {
    let fret = text.parse().ok().and_then(Fret::new);
    fret.ok_or_else(|| format!("a capo lies at fret 1 to {}, and 0 is no capo", Fret::LAST))
}

/// Reads the number of a string.
fn string(text: &str) -> Result<StringNumber, String> {
    let string = text.trim().parse().ok().and_then(StringNumber::new);
    string.ok_or_else(|| {
        format!("strings are counted as in tab, from 1 for the top line to {} at most", StringNumber::LAST)
    })
}

/// Reads a width in characters.
fn columns(text: &str) -> Result<Columns, String> {
    let columns = text.parse().ok().and_then(Columns::new);
    columns.ok_or_else(|| format!("a line has {} to {} characters", Columns::RANGE.start(), Columns::RANGE.end()))
}

/// Reads how many; no number is too large.
fn count(text: &str) -> Result<usize, String> {
    let digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    if digits { Ok(text.parse().unwrap_or(usize::MAX)) } else { Err("expected a whole number, 0 or more".to_owned()) }
}
