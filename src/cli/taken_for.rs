//! What a word of the command line was taken for, where it is none of what was expected there: a message that says what it is and which
//! command is meant for it.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use anyhow::{Error, anyhow};

use super::lesson_file::shown;
use crate::exchange::midi_in::looks_like_midi;
use crate::store::lesson_file::{EXTENSION, load};

/// Says that a word is neither a command nor a file that could be opened; `nearest` is the command that is spelled most like it.
pub(super) fn neither_command_nor_file(word: &OsStr, nearest: Option<&str>) -> String {
    let path = Path::new(word);
    let said = shown(path);
    if path.is_dir() {
        return format!(
            "`{said}` is a folder, and no command has that name: name a lesson in it, as in `fingerpost {}`",
            shown(&path.join(format!("my{EXTENSION}")))
        );
    }
    let tip = lesson_called(path).map(|lesson| shown(&lesson)).or_else(|| nearest.map(str::to_owned));
    match tip {
        Some(tip) => format!("no file and no command is called `{said}`; did you mean `fingerpost {tip}`?"),
        None => format!(
            "no file and no command is called `{said}`: the name of a lesson ends in `{EXTENSION}`, and `fingerpost --help` lists the \
             commands"
        ),
    }
}

/// Returns the lesson whose name is this one and its ending; `None` where there is none.
fn lesson_called(path: &Path) -> Option<PathBuf> {
    let with = |ending: &str| {
        let mut name = path.as_os_str().to_owned();
        name.push(ending);
        PathBuf::from(name)
    };
    let without = path.with_extension("");
    let beside = without.file_name().map(|name| {
        let mut name = name.to_owned();
        name.push(EXTENSION);
        path.with_file_name(name)
    });
    [with(EXTENSION), with(".ron")].into_iter().chain(beside).find(|lesson| lesson.is_file())
}

/// Returns what to say of words that were to be a line of notes: that one of them is a file, or would be one by its name; `None` where
/// they are words like others.
pub(super) fn no_line_of_notes(words: &[String]) -> Option<Error> {
    let files = || words.iter().map(Path::new);
    if words.len() > 1 && files().any(is_midi_by_name) {
        return Some(anyhow!(
            "a MIDI file stands alone, without notes or other files, as in `fingerpost place riff.mid`"
        ));
    }
    let path = files().find(|path| path.exists() || has_file_ending(path))?;
    let said = shown(path);
    Some(if path.is_dir() {
        anyhow!("{said}: this is a folder; name a MIDI file in it, or type notes, as in `E4 G4`")
    } else if !path.exists() {
        anyhow!(
            "{said}: there is no such file, and it is no line of notes; expected notes, as in `E4 G4`, or a MIDI file that ends in .mid"
        )
    } else if is_lesson(path) {
        anyhow!(
            "{said}: this is a lesson file; `fingerpost place --lesson {said} --passage NAME --tuning TUNING` refingers a passage of it"
        )
    } else {
        anyhow!(
            "{said}: this is neither notes nor a MIDI file that ends in .mid; if it holds text tab, `fingerpost read-tab {said}` reads it"
        )
    })
}

/// Returns what to say of a file that was to hold text tab, where it holds something else.
pub(super) fn no_text_tab(path: &Path, text: &str) -> Option<Error> {
    let said = shown(path);
    if text.trim().is_empty() {
        Some(anyhow!("{said}: nothing is in it; expected text tab"))
    } else if looks_like_midi(text.as_bytes()) {
        Some(anyhow!("{said}: this is a MIDI file, not text tab; `fingerpost place {said}` reads it"))
    } else if path != Path::new("-") && is_lesson(path) {
        Some(anyhow!("{said}: this is a lesson file, not text tab; `fingerpost {said}` opens it"))
    } else {
        None
    }
}

fn is_lesson(path: &Path) -> bool {
    path.to_string_lossy().ends_with(EXTENSION) || load(path).is_ok()
}

fn is_midi_by_name(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("mid") || ending.eq_ignore_ascii_case("midi"))
}

/// Returns whether a word ends as names of files do: a length with a dot, as in `E4:1/8.`, does not.
fn has_file_ending(path: &Path) -> bool {
    path.extension().is_some_and(|ending| {
        let ending = ending.to_string_lossy();
        ending.len() > 1 && ending.chars().all(|sign| sign.is_ascii_alphanumeric())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn of_notes(words: &[&str], said: Option<&str>) {
        let words: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
        let told = no_line_of_notes(&words).map(|error| error.to_string());
        match said {
            Some(said) => assert!(told.as_ref().is_some_and(|told| told.contains(said)), "{words:?}: {told:?}"),
            None => assert_eq!(told, None, "{words:?}"),
        }
    }

    #[test]
    fn a_file_in_the_place_of_notes_is_told_from_a_slip_in_them() {
        of_notes(&["src"], Some("this is a folder"));
        of_notes(&["not-there.mid", "riff.mid"], Some("a MIDI file stands alone"));
        of_notes(&["not-there.txt"], Some("there is no such file"));
        of_notes(&["tests/lessons/workbench.lesson.ron"], Some("--lesson tests/lessons/workbench.lesson.ron"));
        of_notes(&["Cargo.toml"], Some("read-tab Cargo.toml"));
        for words in [&["E4", "H4"][..], &["E4:1/8."], &["C4", "|", "X"], &[]] {
            of_notes(words, None);
        }
    }

    #[test]
    fn a_file_in_the_place_of_text_tab_is_told_by_its_kind() {
        let told = |path: &str, text: &str| no_text_tab(Path::new(path), text).map(|error| error.to_string());
        assert!(told("riff.txt", " \n").is_some_and(|told| told.contains("nothing is in it")));
        assert!(told("riff.mid", "MThd").is_some_and(|told| told.contains("fingerpost place riff.mid")));
        assert!(told("a.lesson.ron", "(").is_some_and(|told| told.contains("fingerpost a.lesson.ron")));
        assert_eq!(told("riff.txt", "e|--3--|"), None);
    }
}
