//! The title that stands over tab.

use super::exact::Building;
use super::guess_list::REMARK;
use super::lines::SourceLine;
use crate::text::safe::one_line;

/// The longest title, in characters; what is longer is a sentence.
const LONGEST: usize = 80;

/// Returns the title over tab, with the number of its line: a heading drawn right over the tab, else the first line over it that says
/// nothing else. `head` is the place of the line that gives time signature and tempo, `first` the number of the first string line.
pub(super) fn title(
    lines: &[SourceLine],
    head: Option<usize>,
    first: usize,
    building: &Building,
) -> Option<(usize, String)> {
    let left_out = |line: &SourceLine| {
        building.notes.iter().any(|guess| guess.line == line.number && guess.message.starts_with(REMARK))
    };
    // What stands over the line of the time signature is never looked at, so nothing is noted of it.
    let before = |(place, line): &(usize, &SourceLine)| match head {
        Some(head) => *place < head,
        None => line.number < first && left_out(line),
    };
    let over: Vec<&SourceLine> = lines.iter().enumerate().filter(before).map(|(_, line)| line).collect();
    let text = |line: &&SourceLine| {
        let title = named(&line.text)?;
        (line.string.is_none() && title.chars().count() <= LONGEST).then_some((line.number, title))
    };
    let drawn = over.iter().rev().find(|line| line.text.trim_start().starts_with(RULES)).and_then(text);
    drawn.or_else(|| over.iter().copied().find_map(|line| text(&line)))
}

/// What headings are drawn with.
const RULES: [char; 6] = ['─', '═', '-', '=', '#', '*'];

/// Returns what a line says, without what is drawn around it or stands behind a rule; `None` where it says nothing.
fn named(text: &str) -> Option<String> {
    let text = text.trim().trim_start_matches(RULES).trim_start();
    let rule = |rule: &char| format!(" {rule}{rule}");
    let end = RULES.iter().filter_map(|sign| text.find(&rule(sign))).min().unwrap_or(text.len());
    let text = text.get(..end)?.trim_end_matches(RULES).trim();
    let said = ["Title:", "title:", "TITLE:"].iter().find_map(|word| text.strip_prefix(word)).unwrap_or(text);
    let title = one_line(said, crate::text::charset::Charset::Utf8)?;
    title.chars().any(char::is_alphabetic).then_some(title)
}

#[cfg(test)]
mod tests {
    use crate::lesson::id::PassageId;
    use crate::tab::read::{ReadHints, read};

    const BAR: &str = "e|-3-5-|\nB|-----|\nG|-----|\nD|-----|\nA|-----|\nE|-----|\n";

    #[track_caller]
    fn titled(above: &str, hint: &str) -> String {
        read(&format!("{above}{BAR}"), &ReadHints::new(PassageId(1), hint)).unwrap().passage.title
    }

    #[test]
    fn the_first_line_that_says_nothing_else_is_the_title() {
        for (above, title) in [
            ("Porch idea\n\n", "Porch idea"),
            ("Porch idea\nby somebody\ncapo 2\n\n", "Porch idea"),
            ("Tuning: drop D\nTempo 92\nTitle: Porch idea\n\n", "Porch idea"),
            ("=== Porch idea ===\n\n", "Porch idea"),
            ("A small lesson\n\n── Porch idea ────── 2 bars ──\n\n", "Porch idea"),
            ("Porch idea\n\n4/4  q=120\n   q q\n", "Porch idea"),
            ("Tuning: drop D\n\n", ""),
            ("  Am  G\n", ""),
            ("---------\n\n", ""),
            ("", ""),
        ] {
            assert_eq!(titled(above, ""), title, "{above:?}");
        }
        assert_eq!(titled("Porch idea\n\n", "verse"), "verse");
    }

    #[test]
    fn what_became_the_title_is_no_remark() {
        let tab = read(&format!("Porch idea\n\n{BAR}"), &ReadHints::new(PassageId(1), "")).unwrap();
        let said: Vec<&str> =
            tab.notes.iter().filter(|guess| guess.line == 1).map(|guess| guess.message.as_str()).collect();
        assert_eq!(said, ["\"Porch idea\" was read as the title"]);
    }
}
