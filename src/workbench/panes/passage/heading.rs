//! The words over and under the tab: what is shown and written, and what lies under the cursor.

use crate::lesson::bar_numbers::BarName;
use crate::lesson::document::BarRange;
use crate::text::fit::fit_with;
use crate::text::width::width;
use crate::workbench::drawing::region::Focused;
use crate::workbench::panes::passage::at_cursor::AtCursor;
use crate::workbench::panes::passage::flaws::PassageFlaws;

/// The least columns of the title of a passage.
const LEAST_TITLE: usize = 12;
/// The fewest columns in which the beginning of a title still says something.
const TELLING: usize = 5;
/// What stands before the length of what is written next.
const NEXT_NOTE: &str = "next note ";
/// What stands between two facts.
const GAP: &str = "   ";

/// Returns what is shown, in words, in about `room` columns: `used` is which of the bars the segment plays, `place` which of `count`
/// passages it is, counted from 0.
pub(super) fn title(
    here: &AtCursor<'_>,
    used: Option<BarRange>,
    (place, count): (usize, usize),
    (room, focused): (usize, Focused),
) -> String {
    let passage = here.passage;
    // Each with how soon it is left out: what is numbered 0 stays, and up to LAST_BUT_TITLE it goes after the title.
    let mut facts: Vec<(u8, String)> = Vec::new();
    if count > 1 {
        facts.push((3, format!("{} of {count}", place + 1)));
    }
    facts.extend(here.cursor.words_of_selection(passage).map(|words| (1, words)));
    let numbers = here.numbers();
    let all = numbers.last();
    let bar = match (here.bar_name(), all) {
        (BarName::Pickup, 0) => "pickup".to_owned(),
        (BarName::Pickup, _) => "pickup to bar 1".to_owned(),
        (number @ BarName::Number(_), _) => number.to_string(),
    };
    let bars = match (focused, used) {
        (Focused::Yes, Some(bars)) => format!("{bar} ({} shown)", numbers.range(bars)),
        (Focused::Yes, None) if all == 0 => bar,
        (Focused::Yes, None) => format!("{bar} of {all}"),
        (Focused::No, Some(bars)) => format!("{} of {all}", numbers.range(bars)),
        (Focused::No, None) => numbers.count(),
    };
    facts.push((2, bars));
    if focused == Focused::Yes {
        facts.push((0, format!("{NEXT_NOTE}{}", here.length)));
    }
    let has_two_voices = passage.bars.iter().any(|bar| bar.voices.len() > 1);
    match (here.slot().voice, focused) {
        (0, Focused::Yes) if has_two_voices => facts.push((1, "upper voice".to_owned())),
        (0, Focused::Yes | Focused::No) => {}
        (_, Focused::Yes | Focused::No) => facts.push((1, "lower voice".to_owned())),
    }
    let piece = passage.piece.and_then(|id| here.lesson.piece(id));
    if let Some(key) = passage.key.or_else(|| piece.and_then(|piece| piece.key)) {
        facts.push((4, format!("sounds in {key}")));
    }
    with_title(&passage.title, facts, room)
}

/// The facts up to this number matter more than the title.
const LAST_BUT_TITLE: u8 = 2;

/// Returns a title and facts in a line of so many columns. Where one stands matters more than the end of a long title: that is cut
/// first; then whole facts are left out, those with the highest number first, then the title, and last the other facts: what is written
/// next is never cut.
fn with_title(title: &str, mut facts: Vec<(u8, String)>, room: usize) -> String {
    let least = width(title).min(LEAST_TITLE) + GAP.len();
    let joined =
        |facts: &[(u8, String)]| facts.iter().map(|(_, words)| words.as_str()).collect::<Vec<&str>>().join(GAP);
    while let Some(last) = facts.iter().map(|(order, _)| *order).max().filter(|order| *order > 0) {
        let title = if last > LAST_BUT_TITLE { least } else { 0 };
        if width(&joined(&facts)) + title <= room {
            break;
        }
        // In which voice it is written matters more than the words around that and the length.
        if last == 1 && say_shorter(&mut facts) {
            continue;
        }
        facts.retain(|(order, _)| *order != last);
    }
    let facts = joined(&facts);
    match room.saturating_sub(width(&facts) + GAP.len()) {
        left if left < width(title).min(TELLING) => facts,
        left => format!("{}{GAP}{facts}", fit_with(title, left, "…")),
    }
}

/// Says the length of the next note without the words before it, or else the voice without that word; returns whether either was there.
fn say_shorter(facts: &mut [(u8, String)]) -> bool {
    let length = facts.iter_mut().find_map(|(_, words)| Some((words.strip_prefix(NEXT_NOTE)?.to_owned(), words)));
    if let Some((short, words)) = length {
        *words = short;
        return true;
    }
    let voice = facts.iter_mut().find_map(|(_, words)| Some((words.strip_suffix(" voice")?.to_owned(), words)));
    voice.is_some_and(|(short, words)| {
        *words = short;
        true
    })
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
    match flaws.words(&here.cursor, here.bar_name(), room) {
        Some(wrong) if width(&wrong) + 3 + width(&text) <= room => format!("{wrong}   {text}"),
        Some(wrong) => wrong,
        None => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_is_cut_first_then_whole_facts_go_and_the_next_length_stays() {
        let facts = || {
            let order =
                [(3, "1 of 2"), (2, "bar 6 of 13"), (0, "next note 1/8"), (1, "lower voice"), (4, "sounds in D")];
            order.map(|(order, words)| (order, words.to_owned())).into()
        };
        let said = |room| with_title("Millpond Reel: A part", facts(), room);
        assert_eq!(
            said(91),
            "Millpond Reel: A part   1 of 2   bar 6 of 13   next note 1/8   lower voice   sounds in D"
        );
        assert_eq!(said(85), "Millpond Reel: A …   1 of 2   bar 6 of 13   next note 1/8   lower voice   sounds in D");
        assert_eq!(said(75), "Millpond Reel: A part   1 of 2   bar 6 of 13   next note 1/8   lower voice");
        assert_eq!(said(54), "Millpond …   bar 6 of 13   next note 1/8   lower voice");
        assert_eq!(said(43), "bar 6 of 13   next note 1/8   lower voice");
        assert_eq!(said(35), "Mill…   next note 1/8   lower voice");
        assert_eq!(said(26), "Millp…   1/8   lower voice");
        for room in 13..100 {
            let said = said(room);
            assert!(width(&said) <= room && said.contains("1/8"), "{room}: {said}");
            assert_eq!(said.contains("lower voice"), room >= width("1/8   lower voice"), "{room}: {said}");
            assert!(said.contains("lower"), "{room}: {said}");
        }
    }
}
