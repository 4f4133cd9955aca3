//! What killed processes have left in a folder is cleared at the next run there, and nothing else is.

use std::fs::{self, File};
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};

use fingerpost::store::atomic;
use fingerpost::store::disk::Disk;
use fingerpost::store::leftovers;
use fingerpost::store::lock::{Asked, Lock};
use tempfile::TempDir;

use super::names_in;
use super::session::{folder_with_lesson, open};

/// Larger than the number of any process: Linux counts to 4,194,304 (proc(5), `/proc/sys/kernel/pid_max`).
const NOBODY: u32 = 4_194_305;

#[test]
fn only_what_we_name_so_is_cleared_and_only_where_its_maker_is_gone() {
    let folder = TempDir::new().unwrap();
    let path = |name: &str| folder.path().join(name);
    let own = std::process::id();
    let left = [
        (format!(".fingerpost-{NOBODY}-0.part"), String::from("half")),
        (".gone.lesson.ron.lock".into(), format!("{NOBODY} 1000 kestrel\n")),
        (".killed-early.lesson.ron.lock".into(), String::new()),
        (".library.ron.lock".into(), format!("{NOBODY} 1000\n")),
        (".gone.lesson.ron.journal.part".into(), String::from("half")),
    ];
    let stays = [
        (format!(".fingerpost-{own}-0.part"), String::from("half")),
        (format!(".fingerpost-{NOBODY}-1.part"), String::from("locked")),
        (format!(".fingerpost-{NOBODY}-.part"), String::from("another name")),
        (format!(".fingerpost-{NOBODY}-0.part.txt"), String::from("another name")),
        (format!("fingerpost-{NOBODY}-0.part"), String::from("another name")),
        (".other.lock".into(), format!("{NOBODY} 1000 kestrel\n")),
        (".written.lesson.ron.lock".into(), String::from("by hand")),
        (".runs.lesson.ron.lock".into(), format!("{own} 1000 kestrel\n")),
        (".open.lesson.ron.journal.part".into(), String::from("half")),
        (".gone.lesson.ron.journal".into(), String::from("a journal")),
        (".gone.lesson.ron.draft".into(), String::from("a draft")),
        ("gone.lesson.ron".into(), String::from("a lesson")),
    ];
    for (name, text) in left.iter().chain(&stays) {
        fs::write(path(name), text).unwrap();
    }
    let locked = File::open(path(&format!(".fingerpost-{NOBODY}-1.part"))).unwrap();
    locked.lock().unwrap();
    let Asked::Held(_open) = Lock::ask(&path("open.lesson.ron")) else { panic!("it is free") };
    let mut expected: Vec<String> = stays.iter().map(|(name, _)| name.clone()).collect();
    expected.push(".open.lesson.ron.lock".into());
    #[cfg(unix)]
    {
        let link = format!(".fingerpost-{NOBODY}-2.part");
        std::os::unix::fs::symlink("gone.lesson.ron", path(&link)).unwrap();
        expected.push(link);
    }
    expected.sort();
    leftovers::clear(&Disk::real(), folder.path());
    assert_eq!(names_in(folder.path()), expected);
    for (name, text) in &stays {
        assert_eq!(fs::read_to_string(path(name)).unwrap(), *text, "{name}");
    }
}

/// The other half of the next test: writes until it is killed.
#[test]
fn a_writer_that_will_be_killed() {
    let Some(path) = std::env::var_os("FINGERPOST_TEST_WRITER") else { return };
    let _ = atomic::replace_with(Path::new(&path), |file| {
        file.put(b"half")?;
        println!("ready");
        std::io::stdin().read_line(&mut String::new())?;
        panic!("nobody killed this writer");
    });
}

#[test]
fn what_a_killed_writer_has_left_is_cleared_by_the_next_opening_and_the_next_writing() {
    for next in ["opening", "writing"] {
        let (folder, path) = folder_with_lesson();
        let mut writer = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "store::leftovers::a_writer_that_will_be_killed", "--nocapture"])
            .env("FINGERPOST_TEST_WRITER", folder.path().join("handout.txt"))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let lines = BufReader::new(writer.stdout.take().unwrap()).lines();
        assert!(lines.map_while(Result::ok).any(|line| line.ends_with("ready")));
        let parts = || names_in(folder.path()).iter().filter(|name| name.ends_with(".part")).count();
        drop(open(&path));
        assert_eq!(parts(), 1, "while it is written, it stays");
        writer.kill().unwrap();
        writer.wait().unwrap();
        match next {
            "opening" => drop(open(&path)),
            _ => atomic::replace(&folder.path().join("other.txt"), b"whole").unwrap(),
        }
        assert_eq!(parts(), 0, "{next}");
    }
}
