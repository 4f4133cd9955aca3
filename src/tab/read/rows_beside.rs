//! Reads the rows beside the strings of old tab: chord names, headings, how often a system is played.

use crate::lesson::music::{Note, Technique};
use crate::tab::marks::{self, Mark, Reach};
use crate::theory::symbol::ChordSymbol;

use super::exact::{Building, SystemLines};
use super::guess_list::REMARK;
use super::lines::{SourceLine, excerpt, times};
use super::raw_bar::{RawBar, RawColumn};

/// The longest heading.
const LONGEST_HEADING: usize = 40;
/// Headings that need no brackets.
const HEADINGS: [&str; 14] = [
    "intro",
    "verse",
    "pre-chorus",
    "chorus",
    "refrain",
    "bridge",
    "riff",
    "solo",
    "break",
    "interlude",
    "fill",
    "turnaround",
    "outro",
    "coda",
];

/// Reads the rows between the strings of the last system and these.
pub(super) fn rows_above(system: &SystemLines, bars: &mut [RawBar], building: &mut Building) {
    for line in system.gap.iter().filter(|line| !line.is_blank()) {
        if building.used.contains(&line.number) {
            continue;
        }
        let marks = marks::split(&line.text);
        if bars.iter().all(|bar| bar.columns.is_empty()) {
            building.guess(line.number, left_out(line));
        } else if let Some(cells) = chords_in_bars(&line.text) {
            chords_by_bar(cells, marks, bars, line, building);
        } else if marks.iter().all(|(_, _, word)| is_chord(word)) {
            chords_by_place(marks, bars, line, building);
        } else if let Some(title) = heading(&line.text) {
            if let Some(column) = bars.iter_mut().flat_map(|bar| &mut bar.columns).next() {
                column.text = Some(match column.text.take() {
                    Some(before) => format!("{before}, {title}"),
                    None => title.to_owned(),
                });
                building.guess(line.number, format!("the heading \"{title}\" was put over the first note under it"));
            }
        } else if marks.iter().any(|(_, _, text)| matches!(Mark::read(text), Mark::Stretch(..))) {
            stretches(&marks, bars.iter_mut().flat_map(|bar| &mut bar.columns));
        } else if let (Some(count), true) =
            (times(&line.text), system.above.last().is_some_and(|last| last.number == line.number))
        {
            repeat(&line.text, count, line.number, bars, building);
        } else {
            building.guess(line.number, left_out(line));
        }
    }
}

/// Reads what stands under the strings, if it says how often the system is played.
pub(super) fn times_under(system: &SystemLines, bars: &mut [RawBar], building: &mut Building) {
    let Some((place, line)) = system.after.iter().enumerate().find(|(_, line)| !line.is_blank()) else { return };
    // A line set off from these strings that stands on the next ones belongs to them.
    let next = place > 0 && place + 1 == system.after.len() && !system.last;
    if let (Some(count), false) = (times(&line.text), next) {
        building.used.insert(line.number);
        repeat(&line.text, count, line.number, bars, building);
    }
}

/// Reads what stands behind the strings.
pub(super) fn trailing(system: &SystemLines, bars: &mut [RawBar], building: &mut Building) {
    for string in system.strings.iter().filter(|string| !string.trailing.is_empty()) {
        match times(&string.trailing) {
            Some(count) => repeat(&string.trailing, count, string.number, bars, building),
            None => building.guess(string.number, format!("{REMARK}`{}`", excerpt(&string.trailing))),
        }
    }
}

/// Repeats the bars of a system where its bar lines allow that.
fn repeat(words: &str, count: u8, line: usize, bars: &mut [RawBar], building: &mut Building) {
    let words = excerpt(words);
    let inner = bars.iter().rev().skip(1).any(|bar| bar.repeat_end.is_some());
    let starts = bars.iter().skip(1).any(|bar| bar.repeat_start);
    let Some(last) = bars.last_mut() else { return };
    let problem = if count < 2 {
        Some("it is no repeat")
    } else if !last.closed {
        Some("no bar line ends the stretch")
    } else if inner || (starts && last.repeat_end.is_none()) {
        Some("the line has repeat signs of its own")
    } else {
        None
    };
    if let Some(problem) = problem {
        building.guess(line, format!("`{words}` was left out: {problem}"));
        return;
    }
    let signs = last.repeat_end.is_some();
    last.repeat_end = Some(count);
    let Some(first) = bars.first_mut().filter(|_| !signs) else {
        building.guess(line, format!("`{words}` was read as how often the repeated bars are played"));
        return;
    };
    first.repeat_start = true;
    building.guess(line, format!("`{words}` was read as a repeat of the whole line"));
}

/// Says that a line was not read.
pub(super) fn left_out(line: &SourceLine) -> String {
    format!("{REMARK}`{}`", excerpt(&line.text))
}

/// Gives the notes under lines such as `PM---|` what the lines say.
fn stretches<'a>(marks: &[(usize, usize, String)], columns: impl Iterator<Item = &'a mut RawColumn>) {
    let read: Vec<_> = marks
        .iter()
        .filter_map(|(at, width, text)| {
            let Mark::Stretch(stretch, Reach::ToItsEnd | Reach::Here) = Mark::read(text) else { return None };
            Some((*at..*at + *width, stretch))
        })
        .collect();
    for column in columns {
        // The marks of a row stand one behind the other.
        let place = read.partition_point(|(range, _)| range.end <= column.at);
        let Some((_, stretch)) = read.get(place).filter(|(range, _)| range.contains(&column.at)) else { continue };
        let has = |note: &&mut Note, technique: Technique| note.techniques.contains(&technique);
        for note in column.notes.iter_mut().filter(|note| !has(note, stretch.technique())) {
            note.techniques.push(stretch.technique());
        }
    }
}

/// Returns whether a word is a chord name.
fn is_chord(word: &str) -> bool {
    let plain = word.trim_matches(['(', ')', '|']);
    marks::is_no_chord(plain) || plain.parse::<ChordSymbol>().is_ok()
}

/// Returns a chord name as it is kept.
fn chord_name(word: &str) -> String {
    let plain = word.trim_matches(['(', ')', '|']);
    if marks::is_no_chord(plain) { "N.C.".to_owned() } else { plain.to_owned() }
}

/// How far a note stands from the name over it at most, where it is not the next one.
const BESIDE: usize = 2;

/// Puts each chord name over the note that is nearest to its beginning, or, where none is near, over the next.
fn chords_by_place(
    marks: Vec<(usize, usize, String)>,
    bars: &mut [RawBar],
    line: &SourceLine,
    building: &mut Building,
) {
    let mut columns = bars.iter_mut().flat_map(|bar| &mut bar.columns).peekable();
    for (at, _, name) in marks.into_iter().filter(|(_, _, name)| is_chord(name)) {
        let mut over = columns.find(|column| column.at + BESIDE >= at);
        while let Some(nearer) = over.as_ref().and_then(|column| {
            let apart = column.at.abs_diff(at);
            columns.next_if(|next| next.at.abs_diff(at) < apart)
        }) {
            over = Some(nearer);
        }
        match over {
            Some(column) => column.chord = Some(chord_name(&name)),
            None => {
                let name = excerpt(&name);
                building.guess(line.number, format!("the chord name `{name}` is not over a note and was left out"));
            }
        }
    }
}

/// Reads `| Am | F  G | % |`: the chord names of each bar, none where nothing new is played.
fn chords_in_bars(text: &str) -> Option<Vec<Vec<String>>> {
    let text = text.trim();
    if !text.contains('|') {
        return None;
    }
    let inner = text.strip_prefix('|').unwrap_or(text);
    let inner = inner.strip_suffix('|').unwrap_or(inner);
    let again = |word: &&str| !matches!(*word, "%" | "/" | "." | "-" | "|" | ":");
    let cells: Vec<Vec<String>> = inner
        .replace("||", "|")
        .split('|')
        .map(|cell| cell.split_whitespace().filter(again).map(str::to_owned).collect())
        .collect();
    let chords = cells.iter().flatten().all(|word| is_chord(word)) && cells.iter().any(|cell| !cell.is_empty());
    chords.then_some(cells)
}

/// Spreads the chord names of each bar over its notes; by place where the bars do not agree.
fn chords_by_bar(
    cells: Vec<Vec<String>>,
    marks: Vec<(usize, usize, String)>,
    bars: &mut [RawBar],
    line: &SourceLine,
    building: &mut Building,
) {
    if cells.len() != bars.len() {
        let message = format!(
            "{} bars of chord names stand over {} bars; the names went to the notes under them",
            cells.len(),
            bars.len()
        );
        building.guess(line.number, message);
        chords_by_place(marks, bars, line, building);
        return;
    }
    building.guess(line.number, "the chord names were put into the bars under them");
    for (names, bar) in cells.into_iter().zip(bars) {
        let (count, notes) = (names.len(), bar.columns.len());
        for (index, name) in names.into_iter().enumerate() {
            let place = index * notes / count.max(1);
            match bar.columns.get_mut(place).filter(|column| column.chord.is_none()) {
                Some(column) => column.chord = Some(chord_name(&name)),
                None => {
                    let name = excerpt(&name);
                    building.guess(line.number, format!("the chord name `{name}` is not over a note and was left out"));
                }
            }
        }
    }
}

/// Returns the heading that a line is: `[Verse]`, `Intro:`, `Chorus 2`.
fn heading(text: &str) -> Option<&str> {
    let text = text.trim();
    let enclosed = text.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')).or_else(|| text.strip_suffix(':'));
    let usual = || {
        let lower = text.to_ascii_lowercase();
        let plain = lower.trim_end_matches(|sign: char| sign.is_ascii_digit() || sign == ' ');
        HEADINGS.contains(&plain).then_some(text)
    };
    enclosed.or_else(usual).map(str::trim).filter(|title| !title.is_empty() && title.len() <= LONGEST_HEADING)
}
