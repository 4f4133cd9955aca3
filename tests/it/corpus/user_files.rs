//! Settings, library, keys and themes.

use super::*;

#[test]
fn settings_are_what_they_were() {
    formats().iter().for_each(|format| check_settings(format));
}

#[track_caller]
fn check_settings(format: &Path) {
    let read = |folder: &str| {
        let (settings, trouble) = Settings::load(&Folders::under(&format.join(folder)));
        assert!(trouble.is_none(), "{trouble:?}");
        settings
    };
    let settings = read("user");
    assert_eq!((settings.paper, settings.characters), (Paper::Letter, Characters::Ascii));
    assert_eq!((settings.theme.as_str(), settings.speaking_rate), ("lamp", 150));
    let (hand, level) = (HandSize::Small, PlayerLevel::Advanced);
    let neck = NeckSettings { hand, level, left_handed: true, string_one: StringOne::Bottom };
    assert_eq!(settings.neck, neck);
    let listening = ListeningSettings { volume: 45, sound: "nylon".into(), device: "the desk".into(), warned: true };
    assert_eq!(settings.listening, listening);
    let recent = ["/home/odo/porch.lesson.ron", "/home/odo/long evenings/setups.lesson.ron"].map(PathBuf::from);
    assert_eq!(settings.recent, recent);
    let plain = read("user-plain");
    assert_eq!((plain.paper, plain.characters, plain.neck.hand), (Paper::A4, Characters::Utf8, HandSize::Large));
    let by_hand = read("user-by-hand");
    assert_eq!((by_hand.paper, by_hand.speaking_rate), (Paper::Letter, 130), "what is left out is as usual");
}

#[test]
fn the_wait_for_the_rest_of_a_key_is_what_it_was() {
    let (settings, trouble) = Settings::load(&Folders::under(&of_today().join("user-slow-line")));
    assert!(trouble.is_none(), "{trouble:?}");
    assert_eq!(settings.escape_wait().as_millis(), 120);
}

#[test]
fn the_level_that_suggestions_keep_to_is_what_it_was() {
    let (settings, trouble) = Settings::load(&Folders::under(&of_today().join("user-level")));
    assert!(trouble.is_none(), "{trouble:?}");
    assert_eq!(settings.neck, NeckSettings { level: PlayerLevel::Beginner, ..NeckSettings::default() });
}

#[test]
fn what_was_chosen_for_handouts_is_what_it_was() {
    let (settings, trouble) = Settings::load(&Folders::under(&of_today().join("user-handout")));
    assert!(trouble.is_none(), "{trouble:?}");
    let rest = HandoutSettings { characters: Characters::Ascii, talking_points: true };
    assert_eq!(settings.handout_choice(), HandoutChoice { paper: Paper::Letter, rest });
}

#[test]
fn the_library_is_what_it_was() {
    formats().iter().for_each(|format| check_library(format));
}

#[track_caller]
fn check_library(format: &Path) {
    let library = Library::load(&Folders::under(&format.join("user"))).unwrap();
    let [em9, a, nameless, f] = &library.voicings[..] else { panic!("{} voicings", library.voicings.len()) };
    assert_eq!((em9.name.as_str(), em9.shape.to_string().as_str()), ("Em9", "x 7 5 7 7 x"));
    assert_eq!((em9.readings.join(" "), em9.tags.join(" ")), ("Em9 Gmaj7".to_owned(), "soul rootless".to_owned()));
    assert_eq!(em9.doubts, [Doubt::Sure, Doubt::Unsure, Doubt::Sure, Doubt::Sure, Doubt::NotHeard]);
    assert_eq!(em9.notes, "leave the \"bass\" off\nor not");
    let taught = |lesson: &str, path: &str| TaughtIn { lesson: lesson.to_owned(), path: path.to_owned() };
    let lessons = [taught("Long evenings 1", "/home/odo/one.lesson.ron"), taught("Long evenings 2", "two.lesson.ron")];
    assert_eq!(em9.taught_in, lessons);
    assert_eq!(a.barre, Some(Barre { fret: fret(5), from: string(6), to: string(1) }));
    assert_eq!(a.capo.as_ref().map(ToString::to_string).as_deref(), Some("2"));
    assert_eq!((nameless.tuning.to_string().as_str(), nameless.instrument.as_str()), ("G4 C4 E4 A4", "tenor ukulele"));
    assert_eq!(f.capo.as_ref().map(ToString::to_string).as_deref(), Some("2 on 5 4 3"));
    assert_eq!(f.fingers.first(), Some(&Some(Finger::Thumb)));
    let empty = Library::load(&Folders::under(&format.join("user-plain"))).unwrap();
    assert_eq!(empty.voicings, Library::default().voicings);
}

/// A file of keys names every action there was. A name that is no longer known would take the row from whoever wrote it.
#[test]
fn files_of_keys_and_themes_are_still_understood() {
    formats().iter().for_each(|format| check_keys_and_themes(&format.join("user-by-hand")));
}

#[track_caller]
fn check_keys_and_themes(folder: &Path) {
    let (keys, refused) = KeyTable::built_in().with_usable(&fs::read_to_string(folder.join("keys.ron")).unwrap());
    // A key may have come to mean something new beside it; then that row gives way, and is told.
    assert!(refused.iter().all(|refused| matches!(refused, KeyFileError::Clash { .. })), "{refused:?}");
    assert_eq!(keys.clash(), None);
    let rows = keys.rows().filter(|row| row.keys.is_empty()).count();
    assert_eq!(rows, keys.lost().len(), "whoever has no key is told of");
    let themes = Theme::with_own(&fs::read_to_string(folder.join("themes.ron")).unwrap()).unwrap();
    let colours = |theme: &Theme| Role::ALL.map(|role| theme.palette().colour(role).is_some());
    assert_eq!((themes[0].name.as_str(), colours(&themes[0])), ("lamp", Role::ALL.map(|_| true)));
    assert_eq!(themes[1].palette().colour(Role::Finger).unwrap().to_string(), "#ffb454");
}

/// Whatever stands in a key file, the lesson opens, and what is not used is told.
#[test]
fn no_file_of_keys_keeps_anybody_from_a_lesson() {
    let of_corpus = formats().into_iter().map(|format| fs::read(format.join("user-by-hand/keys.ron")).unwrap());
    let broken = [&b"[(action: Timeline(AddAftr), keys: [\"z\"])]"[..], b"[(", b"\xff\xfe", b""].map(<[u8]>::to_vec);
    for keys in of_corpus.chain(broken) {
        let home = TempDir::new().unwrap();
        let folders = Folders::under(home.path());
        fs::create_dir_all(folders.keys().parent().unwrap()).unwrap();
        fs::write(folders.keys(), &keys).unwrap();
        let path = home.path().join("porch.lesson.ron");
        lesson_file::save(&path, &Lesson::default(), Replace::Nothing).unwrap();
        let options = RunOptions { open: OpenFirst::Lesson(path), folders: Some(folders.clone()) };
        let Started { state, .. } = start(options, &mut Jobs::at_once()).unwrap();
        let told = state.said.notice.as_ref().map(|notice| notice.text.clone()).unwrap_or_default();
        let is_all_used = KeyTable::built_in().with_own(&String::from_utf8_lossy(&keys)).is_ok();
        assert!(state.desk().is_some() && (told.contains("usual keys hold") || is_all_used), "{told}");
        assert_eq!(fs::read(folders.keys()).unwrap(), keys, "the file is left alone");
    }
}

#[test]
fn what_the_program_wrote_of_the_users_files_it_writes_again_byte_for_byte() {
    for folder in ["user", "user-plain"] {
        let of_today = of_today().join(folder);
        let home = TempDir::new().unwrap();
        let (from, to) = (Folders::under(&of_today), Folders::under(home.path()));
        let (settings, library) = (Settings::load(&from).0, Library::load(&from).unwrap());
        Settings::update(&to, |known| known.clone_from(&settings)).unwrap();
        Library::update(&to, |known| known.clone_from(&library)).unwrap();
        for (before, after) in [(from.settings(), to.settings()), (from.library(), to.library())] {
            assert_eq!(fs::read_to_string(after).unwrap(), fs::read_to_string(before).unwrap());
        }
    }
}
