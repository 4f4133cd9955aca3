//! Text read from a file that anybody may have written.

use std::fs;
use std::io::Read;
use std::path::Path;

use crate::store::fault::shown;
use crate::store::lesson_file::LARGEST;

/// Returns the text in a file. A path that leads nowhere from here is tried from `folder`.
///
/// Errors: in words, with the path, why it cannot be read.
pub(super) fn read_text(path: &Path, folder: Option<&Path>) -> Result<String, String> {
    let beside = folder.map(|folder| folder.join(path));
    let path = beside.filter(|beside| !path.exists() && beside.exists()).unwrap_or_else(|| path.to_owned());
    let cannot = |error: std::io::Error| format!("{} cannot be read: {error}", shown(&path));
    // A pipe or a device could keep us waiting for ever.
    if !fs::metadata(&path).map_err(cannot)?.is_file() {
        return Err(format!("{} is no file; name a plain text file", shown(&path)));
    }
    let mut bytes = Vec::new();
    let file = fs::File::open(&path).map_err(cannot)?;
    file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(cannot)?;
    if u64::try_from(bytes.len()).is_ok_and(|length| length > LARGEST) {
        return Err(format!("too long for text tab: at most {} MB are read", LARGEST / (1024 * 1024)));
    }
    // Old files come in old encodings; what is no text is refused by the reader, with its line.
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
