//! The lesson's file as a journal sees it.

use std::sync::Arc;

use crate::lesson::id::LessonId;
use crate::store::fingerprint::Fingerprint;

/// The largest journal that is read, in bytes: weeks of work without a save.
pub(super) const LARGEST: u64 = 512 * 1024 * 1024;

/// The lesson's file as it stands on the disk.
#[derive(Debug, Clone)]
pub struct OnFile {
    /// The fingerprint of what it holds.
    pub fingerprint: Fingerprint,
    /// What it holds.
    pub text: Arc<str>,
    /// Which lesson it is, where the file says so itself.
    pub lesson: Option<LessonId>,
}

impl OnFile {
    /// Returns a file that holds `text`.
    pub fn of(text: &str, lesson: Option<LessonId>) -> Self {
        Self { fingerprint: Fingerprint::of(text.as_bytes()), text: text.into(), lesson }
    }
}
