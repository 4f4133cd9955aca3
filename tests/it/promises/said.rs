//! What the screen has said, and whether it is so.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use fingerpost::lesson::document::Lesson;
use fingerpost::store::lesson_file;
use fingerpost::store::library::{Library, LibraryVoicing};
use fingerpost::store::open_lesson::Access;
use fingerpost::store::settings::{NeckSettings, Settings};
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::desk::open_desk::Desk;
use fingerpost::workbench::messages::message::Message;
use fingerpost::workbench::panes::fretboard::fingers::GripOrigin;
use fingerpost::workbench::state::State;

use super::at_the_keys::{Answer, AtTheKeys, Doing, House, Step, outside};

/// A box in which something is written: its title, the words, and where the cursor stands.
type Written = (String, String, (usize, usize));

/// Words and fingers that are not in the lesson.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Unkept {
    boxes: Vec<Written>,
    fingers: String,
}

/// What was said.
pub struct Said {
    /// The lessons that may be there when it is opened next: the one that was promised last, and those that came after it while
    /// the screen said that they are in no journal.
    lessons: Vec<Lesson>,
    /// The same, and before them what stood on the screen since it was saved last, each with the time from which on it counts as kept
    /// for good when five seconds have gone by; `None` where the screen said that it is in no journal.
    shown: Vec<(Option<Duration>, Lesson)>,
    path: PathBuf,
    /// The names that another program has changed, each with the new one.
    renamed: BTreeMap<PathBuf, PathBuf>,
    /// The words and fingers that were promised; `None` where it was told that they may be lost, or come again.
    unkept: Option<Unkept>,
    /// Whether it was told that what is not in the lesson may be lost, or come again.
    is_draft_told: bool,
    /// What each file held when that was said last, and what it may hold since.
    files: BTreeMap<PathBuf, Vec<Lesson>>,
    /// What another program has written into the file since.
    theirs: Option<String>,
    /// What was said to be in the library, and to be out of it.
    library: Vec<LibraryVoicing>,
    /// The neck and the theme that were chosen; `None` where it was told that they are not written.
    settings: Option<NeckSettings>,
    neck: NeckSettings,
    /// All that was said lately, for whoever reads a failure.
    log: Vec<String>,
}

impl Said {
    pub fn before(house: &House) -> Self {
        let lesson = lesson_file::load(&house.path).unwrap().lesson;
        Self {
            lessons: vec![lesson.clone()],
            shown: Vec::new(),
            path: house.path.clone(),
            renamed: BTreeMap::new(),
            unkept: None,
            is_draft_told: false,
            files: BTreeMap::from([(house.path.clone(), vec![lesson])]),
            theirs: None,
            library: Library::load(&house.real_folders()).unwrap().voicings,
            settings: None,
            neck: NeckSettings::default(),
            log: Vec::new(),
        }
    }

    pub const fn neck(&self) -> NeckSettings {
        self.neck
    }

    /// The lesson was opened for the first time: what comes back of the time before stands on the screen.
    pub fn opened(&mut self, seat: &AtTheKeys, is_changed: bool) {
        if is_changed {
            self.theirs = None;
            let theirs = seat.lesson().cloned().map(|mut lesson| outside(&mut lesson).clone());
            assert_eq!(theirs.as_deref(), Some("meanwhile"), "what another program wrote is there");
        }
    }

    pub fn changed_by_another(&mut self, theirs: &str) {
        self.theirs = Some(theirs.to_owned());
        let with = |lesson: &mut Lesson| theirs.clone_into(outside(lesson));
        self.files.get_mut(&self.path).into_iter().flatten().for_each(with);
        self.log.push("another program changed the file".to_owned());
    }

    pub fn renamed_by_another(&mut self, old: &Path, new: &Path) {
        self.renamed.insert(old.to_owned(), new.to_owned());
        if let Some(held) = self.files.remove(old) {
            self.files.insert(new.to_owned(), held);
        }
        if self.path == *old {
            new.clone_into(&mut self.path);
        }
        self.log.push(format!("another program renamed it: {}", new.display()));
    }

    /// The power fails: what was shown five seconds ago is promised, and what came after it may be there. Words and fingers may be gone.
    pub fn power_fails(&mut self, now: Duration) {
        let is_promised = |since: Option<Duration>| since.is_some_and(|since| since + Duration::from_secs(5) <= now);
        let first = self.shown.iter().rposition(|(since, _)| is_promised(*since)).unwrap_or(0);
        let shown = self.shown.drain(..).skip(first).map(|(_, lesson)| lesson);
        self.lessons = shown.chain(std::mem::take(&mut self.lessons)).collect();
        self.unkept = None;
        self.log.push("the power failed".to_owned());
    }

    /// Returns where the file lies that had this name, if another program has renamed it.
    fn whereabouts(&self, path: &Path) -> PathBuf {
        let mut path = path.to_owned();
        while let Some(new) = self.renamed.get(&path).filter(|_| !path.is_file()) {
            path.clone_from(new);
        }
        path
    }

    /// Reads the screen after a step.
    pub fn hear(&mut self, seat: &AtTheKeys, house: &House, step: Option<&Step>) {
        let state = seat.state();
        let told: Vec<&str> = state.said.messages.iter().map(|notice| &notice.text[..]).collect();
        self.log.push(format!("{step:?}: {told:?}"));
        self.hear_of_words(&told);
        self.hear_of_own_files(seat, house, &told, step);
        if let Some(desk) = state.desk() {
            self.hear_of_lesson(desk, &seat.screen(), seat.now());
        }
        if told.iter().any(|text| text.contains("the disk did not confirm")) {
            self.shown.iter_mut().skip(1).for_each(|(since, _)| *since = None);
        }
        if matches!(state.desk().map(|desk| desk.lesson.access()), Some(Access::Full)) {
            let late = state.draft.late().is_some();
            self.unkept = (!self.is_draft_told && !late).then(|| unkept(state));
        }
        if state.desk().is_some() {
            self.hear_of_discarding(step, &told);
        }
    }

    /// The disk works again, and time has gone by: everything is kept, and the screen says so.
    pub fn is_mended(&self, seat: &AtTheKeys) {
        let stopped = seat.screen().lines().next().is_some_and(|head| head.trim_end().ends_with("NO JOURNAL"));
        assert!(!stopped && !seat.session().waits_for_retry(), "it was not tried again: {:#?}", self.log);
    }

    fn hear_of_words(&mut self, told: &[&str]) {
        for text in told {
            if text.contains("would not survive a crash") || text.contains("may come up again") {
                self.is_draft_told = true;
            }
            if text.contains("are safe from a crash again") {
                self.is_draft_told = false;
            }
        }
    }

    fn hear_of_lesson(&mut self, desk: &Desk, screen: &str, now: Duration) {
        let lines: Vec<&str> = screen.lines().collect();
        let (head, foot) = (lines[0].trim_end(), lines[lines.len() - 2]);
        let lesson = desk.lesson.lesson().clone();
        let path = self.whereabouts(desk.lesson.path());
        let is_moved = path != self.path;
        if is_moved {
            // Another program knows nothing of the new one.
            self.theirs = None;
        }
        let says = |words: &str| head.ends_with(words);
        if says("read only") {
            return;
        }
        let held = self.files.entry(path.clone()).or_default();
        if held.last() != Some(&lesson) {
            held.push(lesson.clone());
        }
        if says("NO JOURNAL") {
            assert!(foot.contains("no journal, so that a crash"), "the foot does not say so:\n{screen}");
            self.show(None, &lesson);
            if self.lessons.last() != Some(&lesson) {
                self.lessons.push(lesson);
            }
            self.path = path;
            return;
        }
        if says("saved") && !says("NOT SAVED") {
            let there = lesson_file::load(&path).map(|loaded| loaded.lesson);
            let mut expected = lesson.clone();
            if let Some(theirs) = &self.theirs {
                // Saved before another program has changed it, or over what that wrote.
                if there.as_ref().is_ok_and(|there| *outside(&mut there.clone()) == *theirs) {
                    theirs.clone_into(outside(&mut expected));
                } else {
                    self.theirs = None;
                }
            }
            assert!(there.is_ok_and(|there| there == expected), "it is said to be saved and is not: {:#?}", self.log);
            self.files.insert(path.clone(), vec![expected]);
            self.shown = vec![(Some(Duration::ZERO), lesson.clone())];
        } else {
            let known = says("not saved yet") || says("NOT SAVED") || says("saving");
            assert!(known, "the screen does not say how the lesson stands: {head}");
            self.show(Some(now), &lesson);
        }
        self.lessons = vec![lesson];
        self.path = path;
    }

    /// Takes note of what stands on the screen; what stood there before keeps its time.
    fn show(&mut self, since: Option<Duration>, lesson: &Lesson) {
        let is_new =
            self.shown.last().is_none_or(|(before, last)| last != lesson || (before.is_none() && since.is_some()));
        if is_new {
            self.shown.push((since, lesson.clone()));
        }
    }

    /// Whoever throws the changes away wants the lesson as it was saved last.
    fn hear_of_discarding(&mut self, step: Option<&Step>, told: &[&str]) {
        let asked = matches!(step, Some(Step { doing: Doing::Quit(Answer::Discard), .. }));
        if !asked || !told.iter().any(|text| text.contains("changes were deleted") || text.contains("not deleted")) {
            return;
        }
        let held = self.files.get(&self.path).cloned().unwrap_or_default();
        if told.iter().any(|text| text.contains("were not deleted")) {
            self.lessons = held;
        } else {
            self.lessons = held.into_iter().take(1).collect();
        }
        let comes_again =
            told.iter().any(|text| text.contains("may come up again") || text.contains("were not deleted"));
        self.unkept = (!comes_again).then(Unkept::default);
    }

    fn hear_of_own_files(&mut self, seat: &AtTheKeys, house: &House, told: &[&str], step: Option<&Step>) {
        let shape = seat.state().desk().map(|desk| desk.fretboard.grip().shape.clone());
        let library = || Library::load(&house.real_folders()).unwrap().voicings;
        for text in told {
            if text.ends_with("and in the library") {
                let there = library();
                let kept = there.iter().find(|voicing| Some(&voicing.shape) == shape.as_ref());
                assert!(kept.is_some(), "{text}, and it is not: {:#?}", self.log);
                self.library = there;
            } else if text.contains("is out of the library") || text.contains("tags") || text.contains("joined") {
                self.library = library();
            }
        }
        if told.iter().any(|text| text.contains("settings.ron")) {
            self.settings = None;
        }
        self.neck = seat.state().chosen.neck;
        // They are written behind the keys; only afterwards they count, and after trouble only once it was tried again.
        let done = step.is_none_or(|step| step.jobs_done || matches!(step.doing, Doing::Wait(_)));
        if seat.session().waits_for_retry() || (!done && self.settings != Some(self.neck)) {
            self.settings = None;
        } else if done {
            self.settings = Some(self.neck);
        }
    }

    /// The program ended in peace: the work behind the keys was waited for.
    pub fn left(&mut self, seat: AtTheKeys) {
        let (neck, was_refused) = (seat.state().chosen.neck, seat.session().waits_for_retry());
        let (ending, heard) = seat.close();
        if ending.unconfirmed.is_some() {
            self.shown.iter_mut().skip(1).for_each(|(since, _)| *since = None);
        }
        self.log.push(format!("left: {ending:?}"));
        let is_settings = |text: &str| text.contains("settings.ron");
        let trouble = heard.iter().any(|message| matches!(message, Message::Told(notice) if is_settings(&notice.text)));
        self.settings = (!trouble && !was_refused).then_some(neck);
        if let Some(notice) = &ending.notice
            && (notice.text.contains("may come up again") || notice.text.contains("would not survive"))
        {
            self.unkept = None;
        }
        if ending.lost_draft.is_some() {
            self.unkept = None;
        }
        self.is_draft_told = false;
    }

    /// Compares the lesson as it was opened again with what was said.
    pub fn compare(&mut self, seat: &AtTheKeys, house: &House) {
        self.is_draft_told = false;
        let state = seat.state();
        if let Some(neck) = self.settings {
            assert_eq!(state.chosen.neck, neck, "settings that were promised: {:#?}", self.log);
        }
        let Some(desk) = state.desk() else { panic!("no lesson is open") };
        assert!(desk.lesson.undecided().waiting().is_empty(), "nothing was changed on both sides: {:#?}", self.log);
        let read_only = matches!(desk.lesson.access(), Access::ReadOnly(_));
        if read_only {
            return;
        }
        let lesson = desk.lesson.lesson();
        let fits = |promised: &Lesson| {
            let mut promised = promised.clone();
            if let Some(theirs) = &self.theirs {
                theirs.clone_into(outside(&mut promised));
            }
            promised == *lesson
        };
        let is_there = self.lessons.iter().any(fits);
        let titles = |lesson: &Lesson| {
            let titles: Vec<&str> = lesson.segments.iter().map(|segment| &segment.title[..]).collect();
            let setups: Vec<&str> = lesson.setups.iter().map(|setup| &setup.name[..]).collect();
            format!("{:?}, {setups:?}, {titles:?}, {} voicings", lesson.header.title, lesson.voicings.len())
        };
        assert!(
            is_there,
            "not what was promised in {}: {}\npromised: {:#?}\n{:#?}\nfiles: {:?}",
            house.path.display(),
            titles(lesson),
            self.lessons.iter().map(titles).collect::<Vec<_>>(),
            self.log,
            fs::read_dir(self.path.parent().unwrap())
                .unwrap()
                .flatten()
                .map(|entry| entry.file_name())
                .collect::<Vec<_>>()
        );
        self.theirs = None;
        let now = unkept(state);
        if let Some(promised) = &self.unkept {
            assert_eq!(now, *promised, "not the words and fingers that were promised: {:#?}", self.log);
        }
    }

    /// Compares library and settings with what was said.
    pub fn compare_own_files(&self, house: &House) {
        let there = Library::load(&house.real_folders()).unwrap().voicings;
        for promised in &self.library {
            let kept = there.iter().any(|voicing| voicing.shape == promised.shape);
            assert!(kept, "{promised:?} was promised to be in the library: {:#?}", self.log);
        }
        if let Some(neck) = self.settings {
            let (settings, trouble) = Settings::load(&house.real_folders());
            assert!(trouble.is_none() && settings.neck == neck, "settings that were promised: {:#?}", self.log);
        }
    }

    /// No file holds less than was on the disk before.
    pub fn files_hold_what_they_held(&self) {
        for (path, held) in &self.files {
            let there = lesson_file::load(path).ok().map(|loaded| loaded.lesson);
            let kept = there.is_some_and(|there| held.iter().any(|held| same(&there, held)));
            assert!(kept || held.is_empty() || !was_there(path), "{} was promised: {:#?}", path.display(), self.log);
        }
    }
}

fn was_there(path: &Path) -> bool {
    path.parent().is_some_and(|folder| folder.is_dir())
}

/// Whether two lessons are the same but for what another program writes.
fn same(one: &Lesson, other: &Lesson) -> bool {
    let mut other = other.clone();
    outside(&mut other).clone_from(outside(&mut one.clone()));
    *one == other
}

/// Returns the words in open boxes and the fingers that no voicing holds.
fn unkept(state: &State) -> Unkept {
    let written = |overlay: &Overlay| match overlay {
        Overlay::Entry(entry) if !entry.line.text().is_empty() => {
            Some((entry.title.clone(), entry.line.text().to_owned(), (0, entry.line.cursor())))
        }
        Overlay::Points(points) if points.lines.size() > points.lines.lines().len() => {
            Some((points.title.clone(), points.lines.text(), (points.lines.row(), points.lines.cursor())))
        }
        _ => None,
    };
    let boxes = state.laid_aside.iter().chain(&state.overlay).filter_map(written).collect();
    let by_hand = state.desk().map(|desk| &desk.fretboard).filter(|neck| neck.origin() == GripOrigin::Hand);
    let fingers = by_hand.filter(|neck| !neck.grip().is_silent()).map(|neck| neck.grip().shape.to_string());
    Unkept { boxes, fingers: fingers.unwrap_or_default() }
}
