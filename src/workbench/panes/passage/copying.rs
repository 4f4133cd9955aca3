//! What is copied: kept to be pasted, or handed to the terminal's clipboard as text tab.

use crate::lesson::phrase::clip::{self, Clip, Grain};
use crate::tab::passage::{render_bars, string_labels};
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;
use crate::workbench::messages::clipboard;
use crate::workbench::messages::effect::TerminalEffect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::at_cursor::AtCursor;
use crate::workbench::panes::passage::cursor::counted;

/// How wide text tab is that is copied out: what most mail and web pages show without breaking it.
const COPIED_WIDTH: usize = 78;

/// Returns what is selected, or the event under the cursor, to be pasted.
pub(super) fn copy(here: &AtCursor<'_>) -> Result<Clip, Notice> {
    Ok(clip::copy(here.passage, &here.cursor.selected_or_event())?)
}

/// Says how much was copied.
pub(super) fn words_of(clip: &Clip) -> String {
    match clip {
        Clip::Events(parts) => counted(parts.iter().map(Vec::len).sum(), Grain::Events),
        Clip::Bars { bars, .. } => counted(bars.len(), Grain::Bars),
    }
}

/// Hands the selected bars, or all that is shown, to the terminal's clipboard as text tab.
pub(super) fn copy_out(here: &AtCursor<'_>) -> PaneReply {
    let range = here.cursor.selected().map_or(here.bars.clone(), |stretch| stretch.bars());
    let labels = string_labels(here.rig().tuning());
    let style = TabStyle::filled(COPIED_WIDTH, Charset::Ascii);
    let text = render_bars(here.passage, range.clone(), &labels, &style);
    let systems: Vec<String> = text.systems.iter().map(|system| system.lines.join("\n")).collect();
    let text = systems.join("\n\n") + "\n";
    if text.len() > clipboard::LARGEST {
        return PaneReply::say(Notice::trouble("too long for the system clipboard: select fewer bars"));
    }
    let count = range.len();
    let done = format!(
        "{count} bar{} copied as text tab to the system clipboard, where the terminal allows it",
        if count == 1 { "" } else { "s" }
    );
    PaneReply { notice: Some(Notice::done(done)), effect: Some(TerminalEffect::CopyOut(text).into()), overlay: None }
}
