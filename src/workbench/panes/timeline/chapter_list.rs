//! The chapter list, handed to the terminal's clipboard. How chapters are made is not here; see `plan`.

use crate::lesson::cut_video::VideoVersion;
use crate::lesson::document::Lesson;
use crate::plan::chapters::{Basis, chapters, faults, published_text};
use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::messages::effect::TerminalEffect;
use crate::workbench::messages::missing_starts::Missing;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::timeline::TimelinePick;

/// Copies one line for each chapter, in the times of the cut video; in the planned times while nothing is recorded. Where
/// only a part is recorded, asks whether the planned times will do.
pub(super) fn copy(lesson: &Lesson) -> PaneReply {
    let is_recorded = lesson.segments.iter().any(|segment| segment.recorded.is_some());
    match Missing::of(&lesson.segments) {
        Some(missing) if is_recorded => PaneReply::ask(Overlay::Choice(ChoiceBox::new(
            missing.title(),
            "{Timeline(Stamp)} in the timeline sets a start time, {Desk(GoToRecording)} records it.",
            vec![
                ("copy the planned times".to_owned(), Pick::Timeline(TimelinePick::CopyPlannedChapters)),
                ("cancel".to_owned(), Pick::Nothing),
            ],
        ))),
        Some(_) => copy_in(lesson, Basis::Planned, "planned times: nothing is recorded yet"),
        None => copy_in(lesson, Basis::Recorded(VideoVersion::Cut), "times of the cut video"),
    }
}

/// Copies one line for each chapter, in the planned times.
pub(super) fn copy_planned(lesson: &Lesson) -> PaneReply {
    copy_in(lesson, Basis::Planned, "planned times")
}

fn copy_in(lesson: &Lesson, basis: Basis, times: &str) -> PaneReply {
    let list = match chapters(lesson, basis) {
        Ok(list) => list,
        Err(error) => return PaneReply::say(Notice::trouble(error.to_string())),
    };
    let ends = if list.len() == 1 { "" } else { "s" };
    let copied = format!("{} chapter{ends} copied", list.len());
    let faults = faults(lesson, basis, &list);
    let notice = match faults.as_slice() {
        [] => Notice::done(format!("{copied} to the system clipboard, where the terminal allows it; {times}")),
        [fault, more @ ..] => {
            let at = fault.only_chapter().map_or_else(String::new, |place| format!("chapter {}: ", place + 1));
            let more = match more.len() {
                0 => String::new(),
                1 => ", and 1 more problem".to_owned(),
                count => format!(", and {count} more problems"),
            };
            let fixes = "{Desk(ShowProblems)} lists the fixes";
            Notice::trouble(format!("{copied} ({times}), but {at}{}{more}; {fixes}", fault.reason_in_list()))
        }
    };
    PaneReply { notice: Some(notice), ..PaneReply::want(TerminalEffect::CopyOut(published_text(lesson, basis, &list))) }
}
