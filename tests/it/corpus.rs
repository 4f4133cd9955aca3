//! Files of every format there has been. **They must open for ever**, with the meaning they had when they were written:
//! where a test here fails, the reading has to change, never the file (`tests/corpus/README.md`).

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use fingerpost::instrument::hand::{Barre, Finger, HandSize};
use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::instrument::voicing::level::PlayerLevel;
use fingerpost::lesson::check::{FindingKind, check};
use fingerpost::lesson::document::{ChordNames, Lesson, Piece, Progress, SegmentKind};
use fingerpost::lesson::edit::{Edit, ListEdit};
use fingerpost::lesson::history::{Reason, Transaction};
use fingerpost::lesson::id::PieceId;
use fingerpost::lesson::music::{Bar, BendAmount, Event, Feel, Join, Note, Passage, Stroke, Technique};
use fingerpost::lesson::place::{LessonPlace, Spot};
use fingerpost::lesson::time::VideoTime;
use fingerpost::store::draft::{self, BoxDraft, Draft};
use fingerpost::store::folders::Folders;
use fingerpost::store::formats::{LESSON_FORMAT, RENAMED_WORDS};
use fingerpost::store::journal::lines::{Entry, Lines, Linking};
use fingerpost::store::journal::{FileSince, Journal};
use fingerpost::store::lesson_file::{self, Replace};
use fingerpost::store::library::{Library, LibraryVoicing, TaughtIn};
use fingerpost::store::open_lesson::{FormatRenewal, OpenLesson, Opened, OpeningNotice, SavedState};
use fingerpost::store::settings::{
    Characters, HandoutChoice, HandoutSettings, ListeningSettings, NeckSettings, Settings, StringOne,
};
use fingerpost::text::paper::Paper;
use fingerpost::theory::reading::Doubt;
use fingerpost::workbench::desk::standpoint::Standpoint;
use fingerpost::workbench::drawing::role::Role;
use fingerpost::workbench::drawing::theme::Theme;
use fingerpost::workbench::jobs::queue::Jobs;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::keys::table::{KeyFileError, KeyTable};
use fingerpost::workbench::panes::passage::standpoint::PassageStandpoint;
use fingerpost::workbench::questions::desk::DeskQuestion;
use fingerpost::workbench::questions::fretboard::FretboardQuestion;
use fingerpost::workbench::questions::library::LibraryQuestion;
use fingerpost::workbench::questions::passage::PassageQuestion;
use fingerpost::workbench::questions::program::{AfterSave, ProgramQuestion};
use fingerpost::workbench::questions::question::Question;
use fingerpost::workbench::questions::readings::ReadingsQuestion;
use fingerpost::workbench::questions::recording::RecordingQuestion;
use fingerpost::workbench::questions::sound::SoundQuestion;
use fingerpost::workbench::questions::start::StartQuestion;
use fingerpost::workbench::questions::timeline::{PieceCredit, SegmentText, TimelineQuestion};
use fingerpost::workbench::runtime::starting::{OpenFirst, RunOptions, Started, start};
use fingerpost::workbench::update::draft::Form;
use tempfile::TempDir;

mod drafts;
mod journals;
mod lessons;
mod names;
mod user_files;

fn corpus() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/corpus")
}

/// Returns everything in a folder, in order.
fn in_folder(folder: &Path) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    found.sort();
    found
}

/// Returns the folder of the format that is written today.
fn of_today() -> PathBuf {
    corpus().join(format!("format-{LESSON_FORMAT}"))
}

/// Returns the folders whose files have all that today's may have: formats 3 and 4 gave some of it another name and nothing else.
fn of_todays_shape() -> [PathBuf; 3] {
    ["format-2", "format-3", "format-4"].map(|format| corpus().join(format))
}

/// Returns the folders of all formats.
fn formats() -> Vec<PathBuf> {
    in_folder(&corpus()).into_iter().filter(|path| path.is_dir()).collect()
}

fn fret(number: u8) -> Fret {
    Fret::new(number).unwrap()
}

fn string(number: u8) -> StringNumber {
    StringNumber::new(number).unwrap()
}

/// Returns what the journal in a folder holds, where there is one.
fn journal_in(folder: &Path) -> Option<Lines> {
    let journal = Journal::path_for(&folder.join("porch.lesson.ron"));
    fs::read(journal).ok().map(|bytes| Lines::of(&bytes))
}

/// Returns what each journal of a format holds.
fn journals(format: &Path) -> Vec<Lines> {
    in_folder(&format.join("journals")).iter().filter_map(|folder| journal_in(folder)).collect()
}

/// Returns the changes in all journals of a format.
fn changes(format: &Path) -> Vec<Transaction> {
    journals(format).iter().flat_map(Lines::changes).cloned().collect()
}

/// Returns the drafts of a format that hold whole boxes, each with the path of its lesson.
fn drafts(format: &Path) -> Vec<(PathBuf, Draft)> {
    let folder = format.join("drafts");
    let folders = if folder.exists() { in_folder(&folder) } else { Vec::new() }.into_iter();
    folders
        .map(|folder| folder.join("porch.lesson.ron"))
        .map(|path| (path.clone(), draft::left(&path).unwrap()))
        .collect()
}

/// Returns what a document and its changes may be made of.
fn known_in_lessons() -> BTreeSet<String> {
    use fingerpost::instrument::body::{Instrument, ShortString};
    use fingerpost::instrument::tuning::Capo;
    use fingerpost::lesson::document::{
        BarRange, Header, OwnedInstrument, PassageUse, Piece, Recorded, Segment, Setup, VideoCut, Voicing,
    };
    use names::known_of;
    let mut known = BTreeSet::new();
    for more in [
        known_of::<Lesson>("Lesson"),
        known_of::<Header>("Header"),
        known_of::<ChordNames>("ChordNames"),
        known_of::<OwnedInstrument>("OwnedInstrument"),
        known_of::<Instrument>("Instrument"),
        known_of::<ShortString>("ShortString"),
        known_of::<Setup>("Setup"),
        known_of::<Capo>("Capo"),
        known_of::<Piece>("Piece"),
        known_of::<Passage>("Passage"),
        known_of::<Feel>("Feel"),
        known_of::<Bar>("Bar"),
        known_of::<Event>("Event"),
        known_of::<Stroke>("Stroke"),
        known_of::<Note>("Note"),
        known_of::<Join>("Join"),
        known_of::<Technique>("Technique"),
        known_of::<Voicing>("Voicing"),
        known_of::<Doubt>("Doubt"),
        known_of::<Finger>("Finger"),
        known_of::<Barre>("Barre"),
        known_of::<Segment>("Segment"),
        known_of::<SegmentKind>("SegmentKind"),
        known_of::<Progress>("Progress"),
        known_of::<Recorded>("Recorded"),
        known_of::<VideoCut>("VideoCut"),
        known_of::<PassageUse>("PassageUse"),
        known_of::<BarRange>("BarRange"),
        known_of::<Transaction>("Transaction"),
        known_of::<LessonPlace>("Place"),
        known_of::<Spot>("Spot"),
        known_of::<Edit>("Edit"),
    ] {
        known.extend(more);
    }
    known
}

/// Returns what a draft may be made of.
fn known_in_drafts() -> BTreeSet<String> {
    use names::known_of;
    [
        known_of::<BoxDraft>("BoxDraft"),
        known_of::<Form>("Form"),
        known_of::<Standpoint>("Standpoint"),
        known_of::<PassageStandpoint>("PassageStandpoint"),
        known_of::<Focus>("Focus"),
        known_of::<SegmentText>("SegmentText"),
        known_of::<Question>("Question"),
        known_of::<DeskQuestion>("DeskQuestion"),
        known_of::<FretboardQuestion>("FretboardQuestion"),
        known_of::<LibraryQuestion>("LibraryQuestion"),
        known_of::<PassageQuestion>("PassageQuestion"),
        known_of::<ProgramQuestion>("ProgramQuestion"),
        known_of::<AfterSave>("AfterSave"),
        known_of::<ReadingsQuestion>("ReadingsQuestion"),
        known_of::<RecordingQuestion>("RecordingQuestion"),
        known_of::<SoundQuestion>("SoundQuestion"),
        known_of::<StartQuestion>("StartQuestion"),
        known_of::<TimelineQuestion>("TimelineQuestion"),
        known_of::<PieceCredit>("PieceCredit"),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Returns what the user's own files may be made of.
fn known_in_user_files() -> BTreeSet<String> {
    use names::known_of;
    [
        known_of::<Library>("Library"),
        known_of::<LibraryVoicing>("LibraryVoicing"),
        known_of::<TaughtIn>("TaughtIn"),
        known_of::<Settings>("Settings"),
        known_of::<Paper>("PaperSize"),
        known_of::<Characters>("Characters"),
        known_of::<HandoutSettings>("HandoutSettings"),
        known_of::<NeckSettings>("NeckSettings"),
        known_of::<HandSize>("HandSize"),
        known_of::<StringOne>("StringOne"),
        known_of::<ListeningSettings>("ListeningSettings"),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// What can be written stands in some file that is made as today's are: a new field or variant needs one that holds it.
#[test]
fn every_field_and_every_variant_stands_in_some_file() {
    let mut written = BTreeSet::new();
    for format in of_todays_shape() {
        for path in in_folder(&format.join("lessons")) {
            names::written_in(&lesson_file::load(&path).unwrap().lesson, &mut written);
        }
        for change in changes(&format) {
            names::written_in(&change, &mut written);
        }
        for folder in in_folder(&format).iter().filter(|folder| folder.join("settings.ron").exists()) {
            let folders = Folders::under(folder);
            names::written_in(&Settings::load(&folders).0, &mut written);
            names::written_in(&Library::load(&folders).unwrap(), &mut written);
        }
        for (_, draft) in drafts(&format) {
            names::written_in(&draft, &mut written);
            names::written_in(&ron::from_str::<Standpoint>(&draft.standpoint).unwrap(), &mut written);
            for kept in &draft.boxes {
                names::written_in(&ron::from_str::<Form>(&kept.form).unwrap(), &mut written);
            }
        }
    }
    let mut known = &(&known_in_lessons() | &known_in_user_files()) | &known_in_drafts();
    // The usual one of these is left out of a file.
    assert!(known.remove("Feel::Straight") && known.remove("Progress::Unsaid"));
    // What is read and written no longer: `every_file_of_format_1_means_what_it_meant_and_is_saved_in_todays` has it.
    known.retain(|name| {
        !RENAMED_WORDS.iter().any(|(old, _)| name.ends_with(&format!(":{old}")) || name.ends_with(&format!(".{old}")))
    });
    assert!(known.remove("Setup.tuning"));
    let missing: Vec<&String> = known.difference(&written).collect();
    assert!(known.len() > 300, "only {} names are asked for", known.len());
    assert!(missing.is_empty(), "no file holds {missing:?}");
}

/// Journals name why a change was made. `reasons.txt` lists every name that any version has written, one a line: names
/// are added to it and never taken out.
#[test]
fn every_reason_that_was_ever_written_is_read_and_every_one_of_today_is_listed() {
    let text = fs::read_to_string(corpus().join("reasons.txt")).unwrap();
    let written: BTreeSet<&str> = text.lines().collect();
    for name in &written {
        assert!(ron::from_str::<Reason>(name).is_ok(), "{name} is read no longer");
    }
    let made: BTreeSet<Reason> =
        of_todays_shape().iter().flat_map(|format| changes(format)).map(|change| change.reason).collect();
    for reason in Reason::ALL {
        let name = ron::to_string(reason).unwrap();
        assert!(written.contains(name.as_str()), "{name} is not listed");
        assert!(made.contains(reason), "no journal of today's format has {name}");
    }
}

/// Every list of a lesson is changed in every way by some journal.
#[test]
fn every_list_is_changed_in_every_way() {
    let mut made: BTreeSet<String> = BTreeSet::new();
    for edit in of_todays_shape().iter().flat_map(|format| changes(format)).flat_map(|change| change.edits) {
        let text = ron::to_string(&edit).unwrap();
        made.insert(text.split('(').take(2).collect::<Vec<&str>>().join("("));
    }
    let word = |name: &String| name.rsplit("::").next().unwrap().to_owned();
    let lists: Vec<String> = names::known_of::<Edit>("Edit").iter().map(word).collect();
    let ways: Vec<String> = names::known_of::<ListEdit<Piece, PieceId>>("ListEdit").iter().map(word).collect();
    for list in lists.iter().filter(|list| !["Header", "Bars"].contains(&list.as_str())) {
        for way in &ways {
            assert!(made.contains(&format!("{list}({way}")), "no journal has {list}({way}(…))");
        }
    }
}

/// Returns the word that begins such a line.
const fn word_of(entry: &Entry) -> &'static str {
    match entry {
        Entry::Base(_) => "base",
        Entry::File(_) => "file",
        Entry::Change { .. } => "change",
        Entry::Apart(_) => "apart",
        Entry::Format => "format",
        Entry::Torn => "torn",
    }
}

/// Every line that a journal may have stands in one that is written as today's are, whose lines are a chain.
#[test]
fn every_line_stands_in_some_chain() {
    let mut found = BTreeSet::new();
    let journals: Vec<Lines> = of_todays_shape().iter().flat_map(|format| journals(format)).collect();
    for journal in journals.iter().filter(|journal| journal.linking == Linking::Chained) {
        found.extend(journal.lines.iter().map(|line| word_of(&line.entry)));
    }
    assert_eq!(found, BTreeSet::from(["base", "file", "change", "apart", "format", "torn"]));
}
