//! Reads text tab: the way in.

use std::ops::Range;

use crate::instrument::tuning::Tuning;
use crate::lesson::music::{Feel, Passage};
use crate::lesson::time::{Meter, Tempo};
use crate::tab::marks;
use crate::theory::key::Key;

use super::comparable::drop_ghosts_of_tied_notes;
use super::exact::{self, Building, SystemLines};
use super::labels::Order;
use super::lines::{self, SourceLine};
use super::outcome::{ReadError, ReadHints, ReadTab, TuningSource};
use super::written::Written;
use super::{guess_list, labels, partial, ragged, rows_beside, title};

/// The fewest and the most strings of an instrument.
const STRINGS: std::ops::RangeInclusive<usize> = 3..=12;

/// Reads text tab into a passage.
///
/// At least one line that is no string parts two systems. A blank line is surest, because a wrapped line under
/// one system can look like the marks over the next.
///
/// # Errors
///
/// Text that cannot be tab is refused with the line, what was expected and what is there.
pub fn read(text: &str, hints: &ReadHints) -> Result<ReadTab, ReadError> {
    let mut lines = lines::lines(text)?;
    let Some(first) = lines.iter().find(|line| !line.is_blank()) else { return Err(ReadError::Empty) };
    let nothing = ReadError::NoStrings { line: first.number, found: first.excerpt() };
    let head = lines.iter().enumerate().find_map(|(index, line)| Some((index, Head::read(&line.text)?)));
    close_up(&mut lines);
    let mut building = Building::default();
    let head_at = head.as_ref().map(|(index, _)| *index);
    if head.is_none() {
        partial::name_bare(&mut lines);
    }
    let mut runs: Vec<Range<usize>> = lines::runs(&lines)
        .into_iter()
        .map(|range| without_rules(&lines, range))
        .flat_map(|range| stacked(&lines, range, head_at))
        .collect();
    let mut written = Written::default();
    if head.is_none() {
        let first = runs.iter().find(|range| range.len() >= *STRINGS.start()).map_or(0, |range| range.start);
        written = Written::read(lines.get(..first).unwrap_or_default(), &mut building);
        partial::complete(&mut lines, &mut runs, written.tuning().as_ref(), &mut building);
    }
    let ranges = alike_systems(&lines, runs, nothing, &mut building)?;
    let mut systems = system_lines(&lines, &ranges, head_at);
    if head.is_none() {
        turn_over(&mut systems, written.tuning().as_ref(), &mut building);
    }

    let mut passage = Passage {
        piece: hints.piece,
        setup: hints.setup,
        meter: hints.meter,
        tempo: hints.tempo,
        ..Passage::plain(hints.id, hints.title.clone(), Vec::new())
    };
    // A change of meter and tempo reads alike, but stands over its bar, never at the edge.
    let is_head = |line: &&SourceLine| !line.text.starts_with(' ') && Head::read(&line.text).is_some();
    for line in lines.iter().filter(is_head).skip(1) {
        building.guess(line.number, "another passage begins here; its bars were added to the first");
    }
    let exact = head.is_some() || systems.iter().any(SystemLines::has_lengths);
    if let Some((_, head)) = head {
        passage.meter = head.meter;
        passage.tempo = head.tempo;
        passage.key = head.key;
        passage.feel = head.feel;
    } else if let Some(system) = systems.first() {
        passage.meter = written.meter.unwrap_or(hints.meter);
        passage.tempo = written.tempo.unwrap_or(hints.tempo);
        let message = match (written.meter, written.tempo) {
            (None, None) => {
                format!("no time signature or tempo is written; {} at {} was assumed", hints.meter, hints.tempo)
            }
            (None, Some(_)) => format!("no time signature is written; {} was assumed", hints.meter),
            (Some(_), None) => format!("no tempo is written; {} was assumed", hints.tempo),
            (Some(_), Some(_)) => String::new(),
        };
        if !message.is_empty() {
            building.guess(system.line, message);
        }
    }
    let names = string_labels(&systems);
    if exact {
        for system in &systems {
            system.read(&mut building);
        }
    } else {
        let raw = systems.iter().flat_map(|system| ragged::raw_bars(system, &mut building)).collect();
        ragged::finish(raw, passage.meter, &mut building);
        remarks_below(&lines, &ranges, &mut building);
    }
    let (tuning_source, tuning, guess) = match written.tuning_for(&names, &mut building) {
        Some(tuning) => (TuningSource::Words, Some(tuning), None),
        None => {
            let named = names.iter().all(|label| labels::class(label).is_some());
            let source = if named { TuningSource::Labels } else { TuningSource::Nothing };
            let (tuning, guess) = labels::tuning(&names, hints.tuning.as_ref());
            (source, tuning, guess)
        }
    };
    if let (Some(message), Some(system)) = (guess, systems.first()) {
        building.guess(system.line, message);
    }
    if passage.title.trim().is_empty()
        && let Some((number, title)) =
            title::title(&lines, head_at, systems.first().map_or(1, |system| system.line), &building)
    {
        building.notes.retain(|guess| guess.line != number);
        building.guess(number, format!("\"{title}\" was read as the title"));
        passage.title = title;
    }
    passage.bars = building.bars;
    drop_ghosts_of_tied_notes(&mut passage);
    let notes = guess_list::shorten(building.notes);
    Ok(ReadTab { passage, labels: names, tuning, tuning_source, capo: written.capo, notes })
}

/// The line on top of tab with lengths.
struct Head {
    meter: Meter,
    tempo: Tempo,
    key: Option<Key>,
    feel: Feel,
}

impl Head {
    /// Reads `4/4  q=92  key:Em  swung eighths`, and the same in the words of a handout.
    fn read(text: &str) -> Option<Self> {
        let mut parts = text.split("  ").map(str::trim).filter(|part| !part.is_empty());
        let meter = parts.next()?.parse().ok()?;
        let tempo = marks::read_tempo(parts.next()?)?;
        let mut head = Self { meter, tempo, key: None, feel: Feel::Straight };
        for part in parts {
            match part {
                "swung eighths" => head.feel = Feel::SwungEighths,
                "swung sixteenths" => head.feel = Feel::SwungSixteenths,
                _ => {
                    let key = part.strip_prefix("key:").or_else(|| part.strip_prefix("key of "));
                    head.key = Some(key.and_then(marks::read_key)?);
                }
            }
        }
        Some(head)
    }
}

/// Takes blank lines away where every string line stands alone between two of them.
fn close_up(lines: &mut Vec<SourceLine>) {
    let alone = lines::runs(lines).iter().all(|run| run.len() == 1);
    if !alone {
        return;
    }
    let is_string = |index: usize| lines.get(index).is_some_and(|line: &SourceLine| line.string.is_some());
    let between = |index: usize| index > 0 && is_string(index - 1) && is_string(index + 1);
    let keep: Vec<bool> = lines.iter().enumerate().map(|(index, line)| !(line.is_blank() && between(index))).collect();
    let mut keep = keep.into_iter();
    lines.retain(|_| keep.next().unwrap_or(true));
}

/// Finds the systems that have as many strings as an instrument can have, all alike.
fn alike_systems(
    lines: &[SourceLine],
    runs: Vec<Range<usize>>,
    nothing: ReadError,
    building: &mut Building,
) -> Result<Vec<Range<usize>>, ReadError> {
    let mut ranges = Vec::new();
    let mut few: Option<Range<usize>> = None;
    for range in runs {
        let Some(line) = lines.get(range.start) else { continue };
        if range.len() > *STRINGS.end() {
            return Err(ReadError::TooManyStrings { line: line.number, count: range.len(), found: line.excerpt() });
        }
        if range.len() < *STRINGS.start() {
            building.guess(line.number, "fewer than three string lines together were left out");
            few = few.filter(|few| few.len() >= range.len()).or(Some(range));
        } else {
            ranges.push(range);
        }
    }
    let Some(count) = commonest(&ranges) else {
        return Err(match few.and_then(|few| Some((lines.get(few.start)?, few.len()))) {
            Some((line, count)) => ReadError::TooFewStrings { line: line.number, count, found: line.excerpt() },
            None => nothing,
        });
    };
    ranges.retain(|range| {
        let same = range.len() == count;
        if let (false, Some(line)) = (same, lines.get(range.start)) {
            let message = format!("a system of {} strings among systems of {count} was left out", range.len());
            building.guess(line.number, message);
        }
        same
    });
    Ok(ranges)
}

/// Returns how many strings most systems have, and the greater of two such numbers.
fn commonest(ranges: &[Range<usize>]) -> Option<usize> {
    let systems = |count: &usize| ranges.iter().filter(|range| range.len() == *count).count();
    let some = STRINGS.filter(|count| systems(count) > 0);
    some.max_by_key(|count| (systems(count), *count))
}

/// Turns over the systems that have their lowest string on top.
fn turn_over(systems: &mut [SystemLines], written: Option<&Tuning>, building: &mut Building) {
    let of =
        |system: &SystemLines| -> Vec<String> { system.strings.iter().map(|string| string.label.clone()).collect() };
    let Some(first) = systems.first().map(of) else { return };
    let usual = labels::order(&first, written);
    if usual == Order::FirstOnTop && first == ["E", "A", "D", "G"] && written.is_none() {
        let message = "E A D G down the page is a mandolin; for a bass with its lowest string on top, write `Tuning: E A D G` above the tab";
        building.guess(systems.first().map_or(1, |system| system.line), message);
    }
    for system in systems {
        let own = of(system);
        let order = if own == first { usual } else { labels::order(&own, written) };
        let blank = own.iter().any(String::is_empty);
        if order == Order::LastOnTop || (blank && usual == Order::LastOnTop) {
            system.strings.reverse();
            building
                .guess(system.line, "the lowest string is on the top line; the lines were turned over, string 1 first");
        }
    }
}

/// Leaves out lines without label or note at the edges of a run whose other lines have labels: rules
/// drawn over or under it.
fn without_rules(lines: &[SourceLine], range: Range<usize>) -> Range<usize> {
    let string = |index: usize| lines.get(index).and_then(|line| line.string.as_ref());
    let named = |index: &usize| string(*index).is_some_and(|string| !string.label.is_empty());
    let played = |index: &usize| string(*index).is_some_and(|string| string.cells.iter().any(char::is_ascii_digit));
    let kept = |index: &usize| named(index) || played(index);
    match (range.clone().find(kept), range.clone().rfind(kept)) {
        (Some(first), Some(last)) if range.clone().any(|index| named(&index)) => first..last + 1,
        _ => range,
    }
}

/// Splits a run of string lines into systems that stand on each other without a gap, where the
/// labels say so.
fn stacked(lines: &[SourceLine], range: Range<usize>, head: Option<usize>) -> Vec<Range<usize>> {
    let label = |index: usize| {
        lines.get(index).and_then(|line| line.string.as_ref()).map_or("", |string| string.label.as_str())
    };
    let named = range.clone().all(|index| !label(index).is_empty());
    if head.is_none() && named && range.len() > 7 {
        for count in 4..=8 {
            let again = range.clone().skip(count).all(|index| label(index) == label(index - count));
            if range.len().is_multiple_of(count) && range.len() > count && again {
                return range.clone().step_by(count).map(|start| start..start + count).collect();
            }
        }
    }
    vec![range]
}

/// Gathers each system with the rows around it.
fn system_lines<'a>(lines: &'a [SourceLine], ranges: &[Range<usize>], head: Option<usize>) -> Vec<SystemLines<'a>> {
    let mut systems = Vec::new();
    let mut before = 0;
    for (index, range) in ranges.iter().enumerate() {
        let after = ranges.get(index + 1).map_or(lines.len(), |next| next.start);
        let strings: Vec<_> =
            lines.get(range.clone()).unwrap_or_default().iter().filter_map(|line| line.string.as_ref()).collect();
        let start = head.filter(|head| (before..range.start).contains(head)).map_or(before, |head| head + 1);
        let gap = lines.get(start..range.start).unwrap_or_default();
        let blank = gap.iter().rposition(SourceLine::is_blank).map_or(0, |blank| blank + 1);
        let below = lines.get(range.end..after).unwrap_or_default();
        let until = exact::rows_below(below, strings.first().map_or(0, |string| string.from));
        systems.push(SystemLines {
            gap,
            above: gap.get(blank..).unwrap_or_default(),
            strings,
            line: lines.get(range.start).map_or(0, |line| line.number),
            below: below.get(..until).unwrap_or_default(),
            after: below.get(until..).unwrap_or_default(),
            last: index + 1 == ranges.len(),
        });
        before = range.end + until;
    }
    systems
}

/// Returns the labels of the first system, highest string number first.
fn string_labels(systems: &[SystemLines]) -> Vec<String> {
    let Some(system) = systems.first() else { return Vec::new() };
    system.strings.iter().rev().map(|string| string.label.clone()).collect()
}

/// Notes the lines that belong to no system.
fn remarks_below(lines: &[SourceLine], ranges: &[Range<usize>], building: &mut Building) {
    let last = ranges.last().map_or(0, |range| range.end);
    for line in lines.iter().skip(last).filter(|line| !line.is_blank() && line.string.is_none()) {
        if !building.used.contains(&line.number) {
            building.guess(line.number, rows_beside::left_out(line));
        }
    }
}
