//! The chapter list, handed to the terminal's clipboard. How chapters are made is not here; see `plan`.

use crate::lesson::cut_video::VideoVersion;
use crate::lesson::document::Lesson;
use crate::plan::chapters::{Basis, chapter_text, chapters};
use crate::workbench::messages::effect::TerminalEffect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;

/// Copies one line for each chapter, in the times of the cut video; in the planned times while nothing is recorded.
pub(super) fn copy(lesson: &Lesson) -> PaneReply {
    let is_recorded = lesson.segments.iter().any(|segment| segment.recorded.is_some());
    let (basis, times) = match is_recorded {
        true => (Basis::Recorded(VideoVersion::Cut), "times of the cut video"),
        false => (Basis::Planned, "planned times: nothing is recorded yet"),
    };
    let list = match chapters(lesson, basis) {
        Ok(list) => list,
        Err(error) => return PaneReply::say(Notice::trouble(error.to_string())),
    };
    let ends = if list.len() == 1 { "" } else { "s" };
    let done =
        format!("{} chapter{ends} copied to the system clipboard, where the terminal allows it; {times}", list.len());
    PaneReply { notice: Some(Notice::done(done)), ..PaneReply::want(TerminalEffect::CopyOut(chapter_text(&list))) }
}
