//! Titles made from file names.

use std::path::Path;

/// Makes a title of a file name, without its ending: `slow-reel.lesson.ron` gives `Slow reel`.
///
/// A name that gives none gives `otherwise`.
pub fn title_from(path: &Path, otherwise: &str) -> String {
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let stem = name.split('.').next().unwrap_or_default().replace(['-', '_'], " ");
    let mut letters = stem.trim().chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => otherwise.to_owned(),
    }
}
