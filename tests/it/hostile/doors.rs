//! The doors: each with valid examples and what is done with what comes in by it.

use std::ffi::OsString;
use std::fmt::Display;
use std::fs;
use std::path::Path;
use std::str::FromStr;
use std::sync::LazyLock;

use fingerpost::cli::complaint::told;
use fingerpost::cli::dispatch::dispatch;
use fingerpost::cli::outcome::Streams;
use fingerpost::cli::parse::{NoCommand, parse};
use fingerpost::exchange::midi_in::{self, TrackChoice};
use fingerpost::instrument::catalogue::{guitar, instrument_named, setup_from_text, tuning_from_text};
use fingerpost::instrument::hand::HandSize;
use fingerpost::instrument::harmonics::NeckPoint;
use fingerpost::instrument::neck::Shape;
use fingerpost::instrument::shape_text::WrittenShape;
use fingerpost::instrument::tuning::{Capo, Tuning};
use fingerpost::instrument::tuning_text::read_near;
use fingerpost::instrument::voicing::request::Sought;
use fingerpost::lesson::check::check;
use fingerpost::lesson::document::{Header, Lesson, Recorded};
use fingerpost::lesson::edit::Edit;
use fingerpost::lesson::history::{Change, Reason, Transaction};
use fingerpost::lesson::id::{LessonId, PassageId};
use fingerpost::lesson::music::BendAmount;
use fingerpost::lesson::placing::typed;
use fingerpost::lesson::time::{Length, Meter, Tempo, VideoLength, VideoTime};
use fingerpost::store::fingerprint::Fingerprint;
use fingerpost::store::folders::Folders;
use fingerpost::store::journal::WhyKept;
use fingerpost::store::journal::lines::{Lines, Trouble};
use fingerpost::store::last_places::LastPlaces;
use fingerpost::store::library::Library;
use fingerpost::store::printed::PrintedHandouts;
use fingerpost::store::settings::Settings;
use fingerpost::store::undo_file::{self, UndoFolder};
use fingerpost::store::{draft, lesson_file, user_file};
use fingerpost::tab::handout::options::SegmentPick;
use fingerpost::tab::read::{ReadHints, read};
use fingerpost::theory::degree::Degree;
use fingerpost::theory::formula::Formula;
use fingerpost::theory::pitch::{NoteName, Pitch};
use fingerpost::theory::symbol::ChordSymbol;
use fingerpost::workbench::drawing::theme::{Rgb, Theme};
use fingerpost::workbench::keys::table::KeyTable;
use fingerpost::workbench::typing::lines::TypedLines;
use fingerpost::workbench::typing::pasted::PastedText;
use fingerpost::workbench::typing::time::{read_cut, read_cuts, read_instant, read_length, read_recorded};
use tempfile::TempDir;

/// What became of an input.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Heard {
    /// It was taken for something.
    Taken,
    /// It was refused with these words.
    Refused(String),
}

/// What a refusal has to say of the place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// The line.
    Line,
    /// What was read, or a number in it; a short text needs no more.
    Quoted,
    /// Nothing: it is about the whole.
    Whole,
}

/// A way in.
pub struct Door {
    pub name: &'static str,
    /// How many of all inputs it gets, beside the others; what takes long gets few.
    pub share: usize,
    pub place: Place,
    pub examples: Vec<Vec<u8>>,
    /// How many of the examples, the first ones, are taken as they are.
    pub valid: usize,
    pub feed: fn(&[u8]) -> Heard,
}

/// Returns every door.
pub fn doors() -> Vec<Door> {
    let mut doors = vec![
        files("lesson file", 12, Place::Line, &["lessons", "corpus"], "lesson.ron", 4_000, lesson),
        files("long lesson file", 1, Place::Line, &["corpus"], "lesson.ron", 30_000, lesson),
        files("journal", 5, Place::Line, &["corpus"], "journal", 8_000, journal),
        files("draft", 2, Place::Whole, &["corpus"], "draft", 10_000, draft_beside),
        Door { examples: vec![undo_behind_a_save()], ..texts("undo", 2, Place::Whole, &[], undo_file) },
        files("library", 3, Place::Line, &["corpus"], "library.ron", 10_000, user_file::<Library>),
        files("settings", 3, Place::Line, &["corpus"], "settings.ron", 10_000, user_file::<Settings>),
        texts("handouts", 1, Place::Line, &[PRINTED], user_file::<PrintedHandouts>),
        texts("last places", 1, Place::Line, &[LEFT], user_file::<LastPlaces>),
        files("themes", 3, Place::Line, &["corpus"], "themes.ron", 10_000, |input| text(input, Theme::with_own)),
        texts("own keys", 3, Place::Line, KEYS, own_keys),
        texts("text tab", 8, Place::Line, TABS, |input| {
            text(input, |text| read(text, &ReadHints::new(PassageId(1), "found")))
        }),
        Door { examples: midi_examples(), valid: 1, ..texts("MIDI file", 40, Place::Whole, &[], midi) },
        texts(
            "typed notes",
            12,
            Place::Quoted,
            &["E4 G4:1/8 B4:1/8 E4 G4 | r:1/4 C#5+E5", "e2:1/2 Bb3:3/8"],
            |input| text(input, |text| typed::read(text, Length::QUARTER, Meter::COMMON, Tempo::USUAL)),
        ),
        texts("pasted text", 2, Place::Whole, &["one\ntwo\r\nthree\tfour", "The third finger stays"], pasted),
    ];
    doors.extend(words());
    doors.extend(command_lines());
    doors
}

const KEYS: &[&str] = &[
    "[(action: Timeline(AddAfter), keys: [\"Alt+n\"]), (action: Desk(Undo), keys: [\"Alt+z\", \"u\"], help: \"take back\")]",
    "[\n  // mine\n  (action: Passage(Lift), keys: [\"Delete\"]),\n]",
];

const PRINTED: &str = "(
  format: 1,
  printed: [
    (lesson: \"7k3m-q2xf-9dwb-r8tz\", content: \"ba7816bf\"),
  ],
)";

const LEFT: &str = "(
  format: 1,
  places: [
    (lesson: \"7k3m-q2xf-9dwb-r8tz\", segment: Some(3)),
  ],
)";

const TABS: &[&str] = &[
    "e|--3--5--|\nB|--3--5--|\nG|--0--x--|\n",
    "4/4  q=92  key:C\n    C        G7\n   q  q  h\ne|-0--1--3--|\nB|-1--h3-----|\nG|-0--(0)-<12>|\n   1  2  3  4\n",
    "Riff:\nE|---------|--7/9~--|\nB|-5h7p5---|---------|\nG|-------7-|-------x2|\n",
];

/// Returns the doors of short texts: what is typed in a box or on a command line, and what stands in a field of a file.
fn words() -> Vec<Door> {
    vec![
        word::<ChordSymbol>("chord symbol", 16, &["Am7", "F#m7b5", "C/E", "Gsus4(add9)", "B♭maj7#11", "E7alt"]),
        word::<Formula>("chord formula", 2, &["1 3 5 b7", "1 b3 b5 bb7"]),
        word::<Degree>("degree", 1, &["b7", "#11", "bb7"]),
        word::<fingerpost::theory::key::Key>("key of music", 1, &["Bb", "F#m", "C major", "D dorian"]),
        word::<NoteName>("note name", 1, &["F#", "Bbb"]),
        word::<Pitch>("pitch", 2, &["E2", "Bb3", "C#-1"]),
        word::<Shape>("shape", 8, &["x32010", "x 3 2 0 1 0", "x-10-12-12-x-x"]),
        word::<WrittenShape>("shape with doubts", 3, &["x32?010", "x 3 2? 0 1 -"]),
        word::<Tuning>("tuning", 8, &["E2 A2 D3 G3 B3 E4", "D2 A2 D3 G3 A3 D4", "G4 C4 E4 A4"]),
        word::<Capo>("capo", 2, &["3", "2 on 5 4 3", "2:5,4,3"]),
        word::<Sought>("top or bass note", 1, &["E4", "F#", "Bb3"]),
        word::<NeckPoint>("place of a touch", 1, &["12", "3.2"]),
        word::<HandSize>("size of a hand", 1, &["small", "large"]),
        word::<LessonId>("identity of a lesson", 1, &["7k3m-q2xf-9dwb-r8tz"]),
        word::<Fingerprint>("fingerprint", 1, &["fbf8faf7f46183920635fde6193e2c78cf38bb8cf247c301c04f22da8df38a98"]),
        word::<BendAmount>("bend", 1, &["1/2", "full", "1 1/2"]),
        word::<Length>("length of a note", 2, &["1/8", "1/16", "1/4.", "1/8 3:2"]),
        word::<Meter>("meter", 1, &["4/4", "12/8"]),
        word::<Tempo>("tempo", 1, &["1/4=92", "1/4.=60"]),
        word::<VideoTime>("time in the video", 1, &["1:30", "0:00.5", "1:02:03"]),
        word::<VideoLength>("length of a segment", 1, &["1:30", "90:00"]),
        word::<SegmentPick>("choice of segments", 1, &["1,3", "slowly", "2-4"]),
        word::<Rgb>("colour", 1, &["#1a2b3c"]),
        word::<fingerpost::workbench::keys::keystroke::Keystroke>("key to strike", 1, &["Ctrl+S", "F12", "Alt+x"]),
        texts("tuning by name", 2, Place::Quoted, &["standard", "drop D", "DADGAD"], |input| {
            text(input, |text| tuning_from_text(text, &guitar().instrument))
        }),
        texts("open notes", 1, Place::Quoted, &["DADGBE", "EADGBE"], |input| {
            text(input, |text| read_near(text, &"E2 A2 D3 G3 B3 E4".parse().unwrap()))
        }),
        texts("instrument by name", 1, Place::Quoted, &["guitar", "ukulele"], |input| text(input, instrument_named)),
        texts("instrument and tuning", 1, Place::Quoted, &["ukulele", "banjo"], |input| {
            text(input, |text| setup_from_text(Some(text), None))
        }),
        texts("planned length, typed", 1, Place::Quoted, &["1:30", "+15", "90s", "2m"], |input| {
            text(input, |text| read_length(text, VideoLength::from_seconds(60)))
        }),
        texts("what is cut out, typed", 1, Place::Quoted, &["0:10-0:25", "0:10-0:25, 1:00.5-65s"], |input| {
            text(input, |text| read_cuts(text, &[]))
        }),
        texts("recorded times, typed", 1, Place::Quoted, &["1:23.4", "1:23-2:40", "+15"], |input| {
            let now = Some(Recorded { start: VideoTime::START, end: None });
            text(input, |text| read_recorded(text, now))
        }),
        texts("clock, typed", 1, Place::Quoted, &["1:23.4", "+5"], |input| {
            text(input, |text| read_instant(text, VideoTime::START))
        }),
        texts("where a segment is cut, typed", 1, Place::Quoted, &["0:20", "10s"], |input| {
            text(input, |text| read_cut(text, VideoLength::from_seconds(60)))
        }),
    ]
}

/// Returns the doors of the commands that read no lesson and write no file.
fn command_lines() -> Vec<Door> {
    let lines = &[
        "name x32010",
        "name --json --key Bb --bass F# --unsure 3 x32010",
        "name --tuning DADGAD --capo 2 x x 0 2 3 2",
        "fingering x32010 --json",
        "tunings",
        "check --help",
    ];
    vec![
        Door { valid: 5, ..texts("command line", 3, Place::Whole, lines, command_line) },
        texts("batch of shapes", 4, Place::Whole, &["x32010\n3 x 0 0 0 3\r\nx 0 2? 2 1 0\n", "320003"], |input| {
            command(&["name", "--batch", "-", "--json"], input)
        }),
        texts("shape to hold", 1, Place::Whole, &["x32010", "133211", "x 0 2 2 1 0"], |input| {
            command(&["fingering", "--json", &String::from_utf8_lossy(input)], b"")
        }),
    ]
}

fn texts(name: &'static str, share: usize, place: Place, examples: &[&str], feed: fn(&[u8]) -> Heard) -> Door {
    let examples: Vec<Vec<u8>> = examples.iter().map(|example| example.as_bytes().to_vec()).collect();
    Door { name, share, place, valid: examples.len(), examples, feed }
}

fn word<T>(name: &'static str, share: usize, examples: &[&str]) -> Door
where
    T: FromStr,
    T::Err: Display,
{
    texts(name, share, Place::Quoted, examples, |input| text(input, str::parse::<T>))
}

/// Returns a door whose examples are the files below these folders of `tests/`, as far as they are not longer than that.
fn files(
    name: &'static str,
    share: usize,
    place: Place,
    folders: &[&str],
    ending: &str,
    longest: usize,
    feed: fn(&[u8]) -> Heard,
) -> Door {
    let mut examples = Vec::new();
    for folder in folders {
        collect(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(folder), ending, &mut examples);
    }
    examples.retain(|example: &Vec<u8>| !example.is_empty() && example.len() <= longest);
    examples.sort();
    examples.dedup();
    assert!(!examples.is_empty(), "{name} has no examples");
    Door { name, share, place, examples, valid: 0, feed }
}

fn collect(folder: &Path, ending: &str, found: &mut Vec<Vec<u8>>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            collect(&path, ending, found);
        } else if path.to_str().unwrap().ends_with(ending) {
            found.push(fs::read(&path).unwrap());
        }
    }
}

/// Feeds what reads text; bytes that are no text come in with signs in their place, as whoever reads them would have it.
fn text<T, E: Display>(input: &[u8], read: impl FnOnce(&str) -> Result<T, E>) -> Heard {
    match read(&String::from_utf8_lossy(input)) {
        Ok(_) => Heard::Taken,
        Err(error) => Heard::Refused(error.to_string()),
    }
}

fn own_keys(input: &[u8]) -> Heard {
    static BUILT_IN: LazyLock<KeyTable> = LazyLock::new(KeyTable::built_in);
    text(input, |text| BUILT_IN.clone().with_own(text))
}

fn lesson(input: &[u8]) -> Heard {
    match lesson_file::parse(Path::new("found.lesson.ron"), input) {
        Ok(loaded) => {
            // Whatever is taken can be checked, told and written again.
            let findings = check(&loaded.lesson);
            findings.iter().for_each(|finding| _ = finding.text(&loaded.lesson));
            let written = lesson_file::to_text(&loaded.lesson).expect("what was read can be written");
            let again = lesson_file::parse(Path::new("again.lesson.ron"), written.as_bytes()).expect("and read again");
            assert_eq!(again.lesson, loaded.lesson);
            Heard::Taken
        }
        Err(error) => Heard::Refused(error.report()),
    }
}

/// Reads a journal as it is, and once more with its lines signed anew, so that damage within them is read as well.
fn journal(input: &[u8]) -> Heard {
    let signed: String = String::from_utf8_lossy(input)
        .replace(" chained", "")
        .lines()
        .filter_map(|line| line.get(17..))
        .map(|content| format!("{} {content}\n", &Fingerprint::of(content.as_bytes()).to_string()[..16]))
        .collect();
    let mut heard = Heard::Taken;
    for bytes in [input, signed.as_bytes()] {
        let lines = Lines::of(bytes);
        let mut replayed = fingerpost::lesson::document::Lesson::default();
        for change in lines.changes() {
            let _ = replayed.apply_all(change.edits.clone());
        }
        match lines.trouble {
            Some(Trouble::Damaged { line }) => heard = Heard::Refused(format!("line {line} is damaged")),
            Some(Trouble::NotUnderstood { line, writer }) => {
                heard = Heard::Refused(format!("line {line}: {}", WhyKept::OtherVersion(writer.clone()).sentence()));
            }
            None => {}
        }
    }
    heard
}

fn draft_beside(input: &[u8]) -> Heard {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join(".porch.lesson.ron.draft"), input).unwrap();
    // What cannot be read of a draft is passed over.
    let _ = draft::left(&folder.path().join("porch.lesson.ron"));
    Heard::Taken
}

const UNDO_OF: LessonId = LessonId::new([7; LessonId::BYTES]);

/// What undo takes back behind a save, as the program keeps it.
fn undo_behind_a_save() -> Vec<u8> {
    let home = TempDir::new().unwrap();
    let folders = Folders::under(home.path());
    let header = Header { title: "Porch".into(), ..Header::default() };
    let change = Transaction::one(Reason::EditHeader, Edit::Header(header));
    let change = Change::make(&mut Lesson::default(), change).unwrap();
    UndoFolder::of(&folders).keep(UNDO_OF, Fingerprint::of(b""), &[change]);
    fs::read(folders.undo().join(format!("{UNDO_OF}.undo.ron"))).unwrap()
}

fn undo_file(input: &[u8]) -> Heard {
    // What cannot be read of it is passed over.
    let _ = undo_file::read(input, UNDO_OF, Fingerprint::of(b""));
    Heard::Taken
}

fn user_file<T: user_file::UserFile>(input: &[u8]) -> Heard {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("found.ron");
    fs::write(&path, input).unwrap();
    match user_file::load::<T>(&path) {
        Ok(_) => Heard::Taken,
        Err(error) => Heard::Refused(error.report()),
    }
}

fn pasted(input: &[u8]) -> Heard {
    let pasted = PastedText::new(&String::from_utf8_lossy(input));
    let mut lines = TypedLines::new(&[]);
    match lines.paste(&pasted.text) {
        Ok(()) => Heard::Taken,
        Err(no_room) => Heard::Refused(no_room.to_string()),
    }
}

fn midi_examples() -> Vec<Vec<u8>> {
    let table = include_str!("../../reference/smf_examples.tsv");
    let hex = table.lines().filter(|line| line.starts_with("format")).filter_map(|line| line.split('\t').nth(2));
    hex.map(|hex| hex.split(' ').map(|byte| u8::from_str_radix(byte, 16).unwrap()).collect()).collect()
}

fn midi(input: &[u8]) -> Heard {
    match midi_in::read(input, TrackChoice::default()) {
        Ok(_) => Heard::Taken,
        Err(error) => Heard::Refused(error.to_string()),
    }
}

fn command_line(input: &[u8]) -> Heard {
    let line = String::from_utf8_lossy(input).into_owned();
    let words: Vec<&str> = line.split(' ').collect();
    command(&words, b"x32010\n")
}

/// Runs a command, unless it is one that would write a file or open the workbench.
fn command(words: &[&str], input: &[u8]) -> Heard {
    let is_harmless = words.first().is_some_and(|first| ["name", "fingering", "tunings", "check"].contains(first));
    let writes = |word: &&str| word.starts_with("-o") || word.starts_with("--o") || word.starts_with("--i");
    let arguments = std::iter::once("fingerpost").chain(words.iter().copied()).map(OsString::from);
    let line = match parse(arguments) {
        Ok(line) => line,
        Err(NoCommand::Asked(text) | NoCommand::Mistake(text)) => return Heard::Refused(text),
    };
    if !is_harmless || words.iter().any(writes) {
        return Heard::Taken;
    }
    let (mut out, mut notes) = (Vec::new(), Vec::new());
    let streams = &mut Streams { input: &mut &*input, out: &mut out, notes: &mut notes };
    let outcome = dispatch(line, streams);
    let said = String::from_utf8_lossy(&out).into_owned() + &String::from_utf8_lossy(&notes);
    assert!(super::is_plain(&said), "obeyed by a terminal: {said:?}");
    match outcome {
        Ok(_) => Heard::Taken,
        Err(error) => Heard::Refused(said + &told(&error)),
    }
}
