//! The command line as clap reads it. Help, completions and the man page are made from it, so the docs of arguments are
//! the texts that a user reads. Nothing runs here.

use std::path::PathBuf;

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use clap::{Args, Parser, Subcommand};

use super::rig_args::{RigArgs, fret};
use super::sound_args::{RenderArgs, SoundArgs, ears};
use super::unsaved_args::UnsavedArgs;
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::placement::line::{Limits, Pin};
use crate::instrument::tuning::Capo;
use crate::lesson::cut_video::VideoVersion;
use crate::lesson::placing::lengths::length_from_text;
use crate::lesson::time::{Length, Meter, Tempo};
use crate::tab::handout::options::Columns;
use crate::text::paper::Paper;
use crate::theory::symbol::{ChordSymbol, SymbolError};

/// Prepare video lessons for fretted instruments: outline, tab, chord names, handout.
///
/// Without a command, the workbench opens on the lesson file that is named, or on the last lesson.
#[derive(Debug, Parser)]
#[command(
    name = "fingerpost",
    version,
    max_term_width = 100,
    override_usage = "fingerpost [FILE]\n       fingerpost <COMMAND>",
    after_help = "Examples:\n  fingerpost demo\n  fingerpost my.lesson.ron\n  fingerpost name x32010\n  fingerpost handout my.lesson.ron -o handout.txt\n\n\
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
                            fingerpost voicings F --shape E\n  fingerpost voicings G C D --level beginner\n  \
                            fingerpost voicings C/E Am7 --tuning DADGAD --hand small\n  \
                            printf 'Cmaj7\\nG/B\\n' | fingerpost voicings --batch - --json --limit 1000")]
    Voicings(VoicingsArgs),
    /// Show the fingering of a shape, and how far it reaches
    #[command(after_help = "Examples:\n  fingerpost fingering x32010\n  fingerpost fingering x-1-3-3-3-1 --hand small")]
    Fingering(FingeringArgs),
    /// Read text tab into a passage
    #[command(after_help = "Examples:\n  fingerpost read-tab old-riff.txt\n  \
                            fingerpost read-tab - --into my.lesson.ron < old-riff.txt")]
    ReadTab(ReadTabArgs),
    /// Find where on the neck a line is played, and with which fingers
    #[command(after_help = "Examples:\n  fingerpost place C3 D3 E3 F3 G3 A3 B3 C4\n  \
                            fingerpost place 'C3+E4:1/2 D3+F4:1/2 | E3+G4:1/1' --frets 0-9 --pin 2=2\n  \
                            fingerpost place riff.mid --track 2 --tuning DADGAD --into my.lesson.ron\n  \
                            fingerpost place --lesson my.lesson.ron --passage Verse --tuning 'open G'\n\n\
                            Notes are letters with octaves (middle C is C4), joined with + in a chord, with a length after a colon: \
                            a part of a whole note, as in 1/4, 1/8., 3/8, or 1/12 for a triplet eighth. r is a rest; | may stand \
                            where a bar ends. How costs are weighed, and that no published weights could be read, stands in \
                            assets/placement.ron.\n\n\
                            JSON: one object; `notes` has for each note its number, pitch, midi, string, fret, finger (1 to 4, null \
                            for an open string), position (fret of the index finger; null while the hand holds nothing), start and \
                            length (parts of a whole note, as text); `remarks` says what could not be written or played quite as \
                            asked.\n\n\
                            Stop when a stretch hurts: what can be reached differs from hand to hand.")]
    Place(PlaceArgs),
    /// Export a passage, voicing or segment of a lesson as audio
    #[command(after_help = concat!(
        "Examples:\n  fingerpost render my.lesson.ron --passage Verse --tempo 60 --click --count-in -o verse-slowly.wav\n  \
         fingerpost render my.lesson.ron --segment 4 --sound overdriven --rate 48000 -o backing.flac\n  \
         fingerpost render my.lesson.ron --voicing Am7\n\n",
        ears!()
    ))]
    Render(RenderArgs),
    /// Export chord shapes as audio
    #[command(after_help = concat!(
        "Examples:\n  fingerpost sound x32010\n  fingerpost sound x32010 x02210 --stroke arpeggio -o two-chords.wav\n  \
         fingerpost sound 0003 --tuning ukulele --sound nylon --rate 48000 --bits 24 -o c.flac\n\n",
        ears!()
    ))]
    Sound(SoundArgs),
    /// Try the workbench on a copy of a demo lesson
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
    /// Changes that are not saved
    #[command(flatten)]
    pub unsaved: UnsavedArgs,
}

/// `handout`
#[derive(Debug, Args)]
pub struct HandoutArgs {
    /// The lesson file
    pub file: PathBuf,
    /// Where to write it [default: standard output, as with `-`]
    #[arg(short, long, value_name = "OUT")]
    pub output: Option<PathBuf>,
    /// The paper it will be printed on [default: as chosen in the workbench, at first a4]
    #[arg(long, value_parser = papers())]
    pub paper: Option<Paper>,
    /// Characters per line [default: as many as fit on the paper]
    #[arg(long = "width", alias = "columns", value_name = "N", value_parser = columns, allow_negative_numbers = true)]
    pub columns: Option<Columns>,
    /// Use plain ASCII only [default: as chosen in the workbench, at first all signs]
    #[arg(long)]
    pub ascii: bool,
    /// Use all signs, whatever is chosen in the workbench
    #[arg(long, conflicts_with = "ascii")]
    pub utf8: bool,
    /// Print the talking points under the segments [default: as chosen in the workbench, at first not]
    #[arg(long)]
    pub talking_points: bool,
    /// Leave the talking points out, whatever is chosen in the workbench
    #[arg(long, conflicts_with = "talking_points")]
    pub no_talking_points: bool,
    /// Only these segments: numbers as the handout prints them (in the order of the video once all is recorded, until
    /// then in that of the list), ranges and kinds, as in `1,3-5,performance`
    #[arg(long, value_name = "WHICH")]
    pub segments: Option<String>,
    /// Print passages and chord shapes that no segment uses, too
    #[arg(long, conflicts_with = "segments")]
    pub unused: bool,
    /// Which video the times are of
    #[command(flatten)]
    pub video: VideoArgs,
    /// Changes that are not saved
    #[command(flatten)]
    pub unsaved: UnsavedArgs,
}

/// Which of the two videos printed times are of.
#[derive(Debug, Args)]
pub struct VideoArgs {
    /// Give the times of the uncut video, with everything that a retake cuts out
    #[arg(long)]
    pub uncut: bool,
}

impl VideoArgs {
    /// Returns the video that was asked for.
    pub const fn version(&self) -> VideoVersion {
        if self.uncut { VideoVersion::Uncut } else { VideoVersion::Cut }
    }
}

/// Returns what reads the name of a paper, and lists those there are.
fn papers() -> impl TypedValueParser<Value = Paper> {
    let known = Paper::ALL.map(|paper| PossibleValue::new(paper.name()).help(paper.size()));
    PossibleValuesParser::new(known).try_map(|name| name.parse())
}

/// `chapters`
#[derive(Debug, Args)]
pub struct ChaptersArgs {
    /// The lesson file
    pub file: PathBuf,
    /// Use the planned lengths instead of the recorded times
    #[arg(long, conflicts_with = "uncut")]
    pub planned: bool,
    /// Which video the times are of
    #[command(flatten)]
    pub video: VideoArgs,
    /// Changes that are not saved
    #[command(flatten)]
    pub unsaved: UnsavedArgs,
}

/// `name`
#[derive(Debug, Args)]
pub struct NameArgs {
    /// Shapes, frets from the highest string number down (for standard tuning: low to high), `x` muted,
    /// `?` after a string you are not sure you hear
    #[arg(required_unless_present = "batch", conflicts_with = "batch")]
    pub shapes: Vec<String>,
    /// The instrument
    #[command(flatten)]
    pub rig: RigArgs,
    /// The key, as it sounds, as in `Bb`, `F#m` or `D dorian`: it decides between sharps and flats
    #[arg(long)]
    pub key: Option<String>,
    /// Bass note played by another instrument, as it sounds
    #[arg(long, value_name = "NOTE")]
    pub bass: Option<String>,
    /// The chord before, as it sounds: its root may be implied
    #[arg(long, value_name = "SYMBOL")]
    pub previous: Option<String>,
    /// The chord after, as it sounds: a diminished seventh or a dominant is named by where it goes
    #[arg(long, value_name = "SYMBOL")]
    pub next: Option<String>,
    /// A string you are not sure you hear, counted as in tab; may be repeated, or several as in `2,3`.
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
    /// The highest note: in any octave, as in `E`, or in one, as in `E4`
    #[arg(long, value_name = "NOTE")]
    pub top: Option<String>,
    /// The lowest note; one that does not belong to the chord is played under it, as in `C/D`
    #[arg(long, value_name = "NOTE")]
    pub bass: Option<String>,
    /// The most millimetres between the outermost fingers [default: as far as the hand goes]
    #[arg(long, value_name = "MM", allow_negative_numbers = true)]
    pub max_reach: Option<f64>,
    /// The hand: small, medium or large
    #[arg(long, value_name = "SIZE", default_value = "medium")]
    pub hand: String,
    /// Which of them, and in which order
    #[command(flatten)]
    pub wanted: WantedVoicingsArgs,
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
    /// The most voicings for each symbol. Where there are more than a million, as on ten strings or more, only the
    /// best 10,000 can be listed
    #[arg(long, value_name = "N", default_value = "12", value_parser = count, allow_negative_numbers = true)]
    pub limit: usize,
    /// Draw with plain ASCII only
    #[arg(long)]
    pub ascii: bool,
}

/// Which voicings `voicings` lists
#[derive(Debug, Args)]
pub struct WantedVoicingsArgs {
    /// Leave out shapes that need the thumb over the neck
    #[arg(long)]
    pub no_thumb: bool,
    /// Who plays them: beginner (chords beside the nut), intermediate (barre chords too) or advanced (all that a hand
    /// can hold)
    #[arg(long, value_name = "LEVEL", default_value = "advanced")]
    pub level: String,
    /// Only those that come from this open shape, as `E` or `Am7`; a note alone stands for all chords on it
    #[arg(long, value_name = "CHORD", conflicts_with = "path")]
    pub shape: Option<String>,
    /// In the order of the open shapes they come from, best first in each; the others follow
    #[arg(long, conflicts_with_all = ["path", "after"])]
    pub by_shape: bool,
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

/// `place`
#[derive(Debug, Args)]
pub struct PlaceArgs {
    /// Notes as in `E4 G4:1/4 C3+E3+G3 r`; or a Standard MIDI File, its name ending in .mid; or `-` for either on
    /// standard input
    #[arg(required_unless_present = "lesson", conflicts_with = "lesson", value_name = "NOTES|FILE.mid")]
    pub notes: Vec<String>,
    /// The tuning: a name, or notes as in "D2 A2 D3 G3 A3 D4" [default: the instrument's standard]
    #[arg(long)]
    pub tuning: Option<String>,
    /// The instrument [default: the one the tuning is for, else the guitar]
    #[arg(long)]
    pub instrument: Option<String>,
    /// The capo's fret, and the strings if it covers only some, as in `2 on 5 4 3`; 0 is none
    #[arg(long, value_name = "FRET", value_parser = capo, allow_negative_numbers = true)]
    pub capo: Option<Capo>,
    /// Only these frets, as in `5-9`; open strings only if it starts at 0
    #[arg(long, value_name = "A-B", value_parser = fret_range, allow_negative_numbers = true)]
    pub frets: Option<Limits>,
    /// Fix a note: its number in the line, the string, and the fret if that is fixed too, as in `3=2` or `3=2:5`
    #[arg(long = "pin", value_name = "WHICH=STRING[:FRET]", value_parser = pin)]
    pub pins: Vec<(usize, Pin)>,
    /// A chord as it sounds, and the number of the note from which on it holds, as in `1=C`; its shape is held where
    /// the notes are of it
    #[arg(long = "chord", value_name = "WHICH=CHORD", value_parser = chord_from)]
    pub chords: Vec<(usize, ChordSymbol)>,
    /// The length of notes typed without one [default: 1/8]
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    pub length: Option<Length>,
    /// The time signature of typed notes [default: 4/4]
    #[arg(long = "time-signature", alias = "meter", value_name = "SIGNATURE")]
    pub meter: Option<Meter>,
    /// The tempo of typed notes: how fast the hand has to move [default: 1/4=120]
    #[arg(long)]
    pub tempo: Option<Tempo>,
    /// The track of the MIDI file, counted from 1 [default: the only one that has notes]
    #[arg(long, value_name = "N")]
    pub track: Option<usize>,
    /// The channel of the MIDI file [default: all but the drums']
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=16))]
    pub channel: Option<u8>,
    /// The passage's title [default: the track's or the file's name]
    #[arg(long)]
    pub title: Option<String>,
    /// Write one JSON object instead of tab
    #[arg(long, conflicts_with = "into")]
    pub json: bool,
    /// Add the passage to this lesson instead of printing it
    #[arg(long, value_name = "LESSON")]
    pub into: Option<PathBuf>,
    /// Use plain ASCII only
    #[arg(long)]
    pub ascii: bool,
    /// Refinger a passage of this lesson for the tuning, instrument or capo given; its pitches stay
    #[arg(long, value_name = "LESSON", requires = "passage", conflicts_with_all = ["length", "meter", "tempo", "track", "channel", "pins", "chords", "json"])]
    pub lesson: Option<PathBuf>,
    /// The passage of the lesson: its title, its piece and title, the beginning of that, or its number
    #[arg(long, value_name = "P", requires = "lesson")]
    pub passage: Option<String>,
    /// Changes that are not saved
    #[command(flatten)]
    pub unsaved: UnsavedArgs,
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
    /// Only the tunings of this instrument
    #[arg(long)]
    pub instrument: Option<String>,
}

/// `completions`
#[derive(Debug, Args)]
pub struct CompletionsArgs {
    /// The shell
    pub shell: clap_complete::Shell,
}

/// Reads the number of a string. Errors: the text is not such a number; the words say what is expected.
fn string(text: &str) -> Result<StringNumber, String> {
    let string = text.trim().parse().ok().and_then(StringNumber::new);
    string.ok_or_else(|| {
        format!("strings are counted as in tab, from 1 for the top line to {} at most", StringNumber::LAST)
    })
}

/// Reads a width in characters. Errors: the text is not a width that can be used.
fn columns(text: &str) -> Result<Columns, String> {
    let columns = text.parse().ok().and_then(Columns::new);
    columns.ok_or_else(|| format!("a line has {} to {} characters", Columns::RANGE.start(), Columns::RANGE.end()))
}

/// Reads a count. A number that is too large counts as the largest. Errors: the text is not a number.
fn count(text: &str) -> Result<usize, String> {
    let digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    if digits { Ok(text.parse().unwrap_or(usize::MAX)) } else { Err("expected a whole number, 0 or more".to_owned()) }
}

/// Reads a capo. Errors: the text is not a capo.
fn capo(text: &str) -> Result<Capo, String> {
    text.parse().map_err(|error: crate::instrument::tuning::CapoError| error.to_string())
}

/// Reads a range of frets, or a single fret. Errors: the text is neither.
fn fret_range(text: &str) -> Result<Limits, String> {
    let (lowest, highest) = text.split_once('-').unwrap_or((text, text));
    let fret = |number: &str| number.trim().parse().ok().and_then(Fret::new);
    let range = fret(lowest).zip(fret(highest)).filter(|(lowest, highest)| lowest <= highest);
    let (lowest, highest) =
        range.ok_or_else(|| format!("expected frets from 0 to {}, the lower one first, as in `5-9`", Fret::LAST))?;
    Ok(Limits { lowest, highest })
}

/// Reads the number of a note and the place to which it is pinned. Errors: the text is not such a pin.
fn pin(text: &str) -> Result<(usize, Pin), String> {
    let wrong = || "expected the note's number, a string and perhaps a fret, as in `3=2` or `3=2:5`".to_owned();
    let (which, place) = text.split_once('=').ok_or_else(wrong)?;
    let (string, fret) = place.split_once(':').map_or((place, None), |(string, fret)| (string, Some(fret)));
    let which: usize = which.trim().parse().ok().filter(|which| *which > 0).ok_or_else(wrong)?;
    let string = string.trim().parse().ok().and_then(StringNumber::new).ok_or_else(wrong)?;
    let fret = fret.map(|fret| fret.trim().parse().ok().and_then(Fret::new).ok_or_else(wrong)).transpose()?;
    Ok((which, Pin { string: Some(string), fret, position: None }))
}

/// Reads the number of a note and the chord that holds from there on. Errors: the text is not such a pair.
fn chord_from(text: &str) -> Result<(usize, ChordSymbol), String> {
    let wrong = || "expected the note's number and a chord, as in `1=C` or `9=F#m7`".to_owned();
    let (which, chord) = text.split_once('=').ok_or_else(wrong)?;
    let which: usize = which.trim().parse().ok().filter(|which| *which > 0).ok_or_else(wrong)?;
    let symbol = chord.trim().parse().map_err(|error: SymbolError| error.to_string())?;
    Ok((which, symbol))
}

/// Reads a length in the form in which it is typed after a note. Errors: the text is not a length.
fn length(text: &str) -> Result<Length, String> {
    length_from_text(text).map_err(|error| error.to_string())
}
