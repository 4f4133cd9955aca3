//! Reads whole files as input, up to a limit, because a device that never ends would fill the memory. What the bytes
//! mean is not decided here.

use std::fs::File;
use std::io::Read as _;
use std::path::Path;

use anyhow::{Context as _, Result, bail};

use super::lesson_file::shown;
use super::outcome::Streams;
use crate::store::lesson_file::LARGEST;

/// Returns the bytes of the file at `path`, or of standard input where that is `-`. `thing` names the expected content
/// in messages.
///
/// Errors: input that cannot be read, or is far too long.
pub fn read(path: &Path, thing: &str, streams: &mut Streams<'_>) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    if path == Path::new("-") {
        streams.input.take(LARGEST + 1).read_to_end(&mut bytes).context("cannot read standard input")?;
    } else {
        let cannot = || format!("cannot read {}", shown(path));
        File::open(path).with_context(cannot)?.take(LARGEST + 1).read_to_end(&mut bytes).with_context(cannot)?;
    }
    if u64::try_from(bytes.len()).is_ok_and(|length| length > LARGEST) {
        bail!("{}: too long for {thing}: at most {} MB are read", shown(path), LARGEST / (1024 * 1024));
    }
    Ok(bytes)
}
