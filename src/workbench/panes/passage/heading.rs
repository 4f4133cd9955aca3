//! The words over and under the tab: what is shown and written, and what lies under the cursor.

use crate::lesson::document::BarRange;
use crate::text::fit::fit_with;
use crate::text::width::width;
use crate::workbench::drawing::region::Focused;
use crate::workbench::panes::passage::at_cursor::AtCursor;
use crate::workbench::panes::passage::flaws::PassageFlaws;

/// The least columns of the title of a passage.
const LEAST_TITLE: usize = 12;

/// Returns what is shown, in words, in about `room` columns: `used` is which of the bars the segment plays, `place` which of `count`
/// passages it is, counted from 0.
pub(super) fn title(
    here: &AtCursor<'_>,
    used: Option<BarRange>,
    (place, count): (usize, usize),
    (room, focused): (usize, Focused),
) -> String {
    let passage = here.passage;
    let mut facts = Vec::new();
    if count > 1 {
        facts.push(format!("{} of {count}", place + 1));
    }
    facts.extend(here.cursor.words_of_selection(passage));
    let (bar, all) = (here.slot().bar + 1, passage.bars.len());
    facts.push(match (focused, used) {
        (Focused::Yes, Some(bars)) => format!("bar {bar} (bars {} to {} shown)", bars.first, bars.last),
        (Focused::Yes, None) => format!("bar {bar} of {all}"),
        (Focused::No, Some(bars)) => format!("bars {} to {} of {all}", bars.first, bars.last),
        (Focused::No, None) => format!("{all} bar{}", if all == 1 { "" } else { "s" }),
    });
    if focused == Focused::Yes {
        facts.push(format!("next note {}", here.length));
    }
    if here.slot().voice > 0 {
        facts.push("lower voice".to_owned());
    }
    let piece = passage.piece.and_then(|id| here.lesson.piece(id));
    if let Some(key) = passage.key.or_else(|| piece.and_then(|piece| piece.key)) {
        facts.push(format!("sounds in {key}"));
    }
    // Where one stands matters more than the end of a long title.
    let facts = facts.join("   ");
    let room = room.saturating_sub(width(&facts) + 3).max(LEAST_TITLE);
    let title = fit_with(&passage.title, room, "…");
    format!("{title}   {facts}")
}

/// Returns what is under the cursor, in words, in about `room` columns; where something is wrong there, that comes first.
pub(super) fn foot(here: &AtCursor<'_>, flaws: &PassageFlaws, room: usize) -> String {
    let string = here.string();
    let mut facts = vec![format!("string {string}")];
    match here.event() {
        None => facts.push("nothing written yet".to_owned()),
        Some(event) => {
            match event.notes.iter().find(|note| note.string == string) {
                Some(note) => {
                    facts.push(format!("fret {}", note.fret));
                    facts.extend(note.join.map(|join| join.name().to_owned()));
                    facts.extend(note.techniques.iter().map(|technique| technique.name().to_owned()));
                }
                None if event.is_rest() => facts.push("a rest".to_owned()),
                None => {}
            }
            facts.push(event.length.to_string());
        }
    }
    let text = facts.join(", ");
    match flaws.words(&here.cursor, room) {
        Some(wrong) if width(&wrong) + 3 + width(&text) <= room => format!("{wrong}   {text}"),
        Some(wrong) => wrong,
        None => text,
    }
}
