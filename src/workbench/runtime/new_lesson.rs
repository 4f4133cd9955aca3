//! A new lesson before it has a file: its content, and the name of its file.

use crate::instrument::catalogue;
use crate::instrument::rig::Rig;
use crate::lesson::document::Lesson;
use crate::lesson::template::template_named;
use crate::store::random;
use crate::workbench::questions::start::NewLesson;

/// Returns the lesson to start from. Errors: the instrument or the tuning is not known.
pub(super) fn new_lesson(wanted: &NewLesson) -> Result<Lesson, String> {
    let tuning = Some(wanted.tuning.as_str()).filter(|tuning| !tuning.is_empty());
    let setup = catalogue::setup_from_text(Some(&wanted.instrument), tuning);
    let (body, tuning) = setup.map_err(|error| error.to_string())?;
    let rig = Rig::new(body, tuning, None).map_err(|error| error.to_string())?;
    Ok(match template_named(&wanted.template) {
        Some(template) => template.lesson(random::lesson_id(), &wanted.title, &rig),
        None => Lesson::blank(random::lesson_id(), &wanted.title, &rig),
    })
}

/// Returns a file name made from a title: letters and digits stay, everything else becomes hyphens.
pub(super) fn file_stem(title: &str) -> String {
    let mut stem = String::new();
    for letter in title.chars().take(60) {
        if letter.is_alphanumeric() {
            stem.extend(letter.to_lowercase());
        } else if !stem.is_empty() && !stem.ends_with('-') {
            stem.push('-');
        }
    }
    let stem = stem.trim_matches('-');
    if stem.is_empty() { "lesson".to_owned() } else { stem.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_becomes_a_plain_file_name() {
        assert_eq!(file_stem("Kitchen-table rhythm 4: the ninth!"), "kitchen-table-rhythm-4-the-ninth");
        assert_eq!(file_stem("../../etc"), "etc");
        assert_eq!(file_stem("¿?"), "lesson");
    }
}
