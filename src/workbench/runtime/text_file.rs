//! Reads the text of a file that anybody may have written. What the text means is not decided here.

use std::fs;
use std::io::Read;
use std::path::Path;

use crate::store::fault::shown;
use crate::store::lesson_file::LARGEST;

/// Returns the text of a file. A path that matches nothing from the current folder is tried from `folder`.
///
/// Errors: the file cannot be read; the words name the path and the reason.
pub(super) fn read_text(path: &Path, folder: Option<&Path>) -> Result<String, String> {
    let beside = folder.map(|folder| folder.join(path));
    let path = beside.filter(|beside| !path.exists() && beside.exists()).unwrap_or_else(|| path.to_owned());
    let cannot = |error: std::io::Error| format!("{} cannot be read: {error}", shown(&path));
    // A pipe or a device could make the program wait for ever.
    if !fs::metadata(&path).map_err(cannot)?.is_file() {
        return Err(format!("{} is not a file; name a plain text file", shown(&path)));
    }
    let mut bytes = Vec::new();
    let file = fs::File::open(&path).map_err(cannot)?;
    file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(cannot)?;
    if u64::try_from(bytes.len()).is_ok_and(|length| length > LARGEST) {
        return Err(format!("too long for text tab: at most {} MB are read", LARGEST / (1024 * 1024)));
    }
    // Old files use old encodings; the reader refuses what is not text and names the line.
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
