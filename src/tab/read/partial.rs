//! Strings that the text names but does not draw.
//!
//! Old files leave out strings that are not played: a label stands alone on its line, or only the
//! strings in use are written. The labels tell which they are.

use std::ops::Range;

use crate::instrument::tuning::Tuning;

use super::exact::Building;
use super::labels::{self, Order};
use super::lines::{self, SourceLine, StringLine};

/// The labels of a guitar as most files write them, from the top line down.
const GUITAR: [&str; 6] = ["e", "B", "G", "D", "A", "E"];

/// Makes empty strings of lines that hold a label and nothing else, among or beside string lines.
pub(super) fn name_bare(lines: &mut [SourceLine]) {
    let mut index = 0;
    while index < lines.len() {
        let from = index;
        while lines.get(index).is_some_and(|line| line.string.is_none() && lines::bare_label(&line.text).is_some()) {
            index += 1;
        }
        if index == from {
            index += 1;
            continue;
        }
        let margin = |index: usize| lines.get(index).map(|line| lines::margin(&line.text));
        let beside = |at: Option<usize>| at.filter(|at| !label(lines, *at).is_empty() && margin(*at) == margin(from));
        let aligned = (from..index).all(|at| margin(at) == margin(from));
        let (before, after) = (beside(from.checked_sub(1)), beside(Some(index)));
        let strings = aligned
            && match (before, after) {
                (Some(_), Some(_)) => true,
                (Some(_), None) | (None, Some(_)) => completes(lines, from..index),
                (None, None) => false,
            };
        for line in lines.get_mut(from..index).unwrap_or_default().iter_mut().filter(|_| strings) {
            line.string =
                lines::bare_label(&line.text).map(|label| silent(line.number, label, line.text.chars().count()));
        }
    }
}

/// Returns whether the labels in `bare` at the edge of a run of strings make its tuning a usual one.
fn completes(lines: &[SourceLine], bare: Range<usize>) -> bool {
    let drawn = |at: &usize| !label(lines, *at).is_empty();
    let named = |at: &usize| drawn(at) || lines.get(*at).is_some_and(|line| lines::bare_label(&line.text).is_some());
    let below =
        |kind: &dyn Fn(&usize) -> bool, from: usize| from + (from..lines.len()).take(12).take_while(kind).count();
    let above = |kind: &dyn Fn(&usize) -> bool, to: usize| to - (0..to).rev().take(12).take_while(kind).count();
    let order = |range: Range<usize>| {
        let name = |at: usize| match label(lines, at) {
            "" => lines.get(at).and_then(|line| lines::bare_label(&line.text)).unwrap_or_default(),
            drawn => drawn.to_owned(),
        };
        if range.len() > 12 { Order::Unknown } else { labels::order(&range.map(name).collect::<Vec<_>>(), None) }
    };
    let known = |range: Range<usize>| order(range) != Order::Unknown;
    // Labels may stand alone at the other edge of the run too.
    let near = above(&drawn, bare.start)..below(&drawn, bare.end);
    let far = above(&named, bare.start)..below(&named, bare.end);
    let without = [near.start..bare.start, bare.end..near.end];
    (known(near) || known(far)) && !without.into_iter().any(known)
}

/// Returns the label of a string line, nothing for other lines.
fn label(lines: &[SourceLine], at: usize) -> &str {
    lines.get(at).and_then(|line| line.string.as_ref()).map_or("", |string| string.label.as_str())
}

/// Returns a string on which nothing is played.
fn silent(number: usize, label: String, from: usize) -> StringLine {
    StringLine { number, label, cells: vec![' '; from], from, trailing: String::new() }
}

/// Returns the labels of a run of string lines, if each has one.
fn named(lines: &[SourceLine], range: &Range<usize>) -> Option<Vec<String>> {
    range.clone().map(|at| Some(label(lines, at)).filter(|label| !label.is_empty()).map(str::to_owned)).collect()
}

/// Adds the strings that runs with labels leave out; the ranges are those of the new lines.
pub(super) fn complete(
    lines: &mut Vec<SourceLine>,
    ranges: &mut [Range<usize>],
    tuning: Option<&Tuning>,
    building: &mut Building,
) {
    let names: Vec<Option<Vec<String>>> = ranges.iter().map(|range| named(lines, range)).collect();
    if !ranges.iter().any(|range| range.len() >= 3) {
        return;
    }
    let Some(all) = whole(&names, tuning) else { return };
    let mut old = std::mem::take(lines).into_iter();
    let mut taken = 0;
    for (range, names) in ranges.iter_mut().zip(&names) {
        lines.extend(old.by_ref().take(range.start - taken));
        taken = range.end;
        let start = lines.len();
        let own: Vec<SourceLine> = old.by_ref().take(range.len()).collect();
        let places = names.as_ref().filter(|names| names.len() < all.len()).and_then(|names| places(names, &all));
        match (places, own.first().map(|line| line.number)) {
            (Some(places), Some(number)) => {
                let from =
                    own.iter().filter_map(|line| line.string.as_ref()).map(|string| string.from).min().unwrap_or(0);
                let mut own = own.into_iter();
                for (place, label) in all.iter().enumerate() {
                    if places.contains(&place) {
                        lines.extend(own.next());
                    } else {
                        let string = Some(silent(number, label.clone(), from));
                        lines.push(SourceLine { number, text: String::new(), string });
                    }
                }
                let written = names.as_ref().map(|names| names.join(" ")).unwrap_or_default();
                building.guess(
                    number,
                    format!(
                        "only the strings {written} of {} are written; the others were read as silent",
                        all.join(" ")
                    ),
                );
            }
            _ => lines.extend(own),
        }
        *range = start..lines.len();
    }
    lines.extend(old);
}

/// Returns the labels of all strings, from the top line down, that the labels of the systems are part
/// of; `None` where they tell nothing.
fn whole(names: &[Option<Vec<String>>], tuning: Option<&Tuning>) -> Option<Vec<String>> {
    let labelled: Vec<&Vec<String>> = names.iter().flatten().collect();
    let longest = |known: bool| {
        let fits = |names: &&&Vec<String>| !known || labels::order(names, tuning) != Order::Unknown;
        labelled.iter().filter(fits).fold(None::<&Vec<String>>, |best, names| {
            if best.is_none_or(|best| names.len() > best.len()) { Some(names) } else { best }
        })
    };
    let usual = longest(true).cloned();
    let written = tuning.map(|tuning| tuning.strings().iter().rev().map(|pitch| pitch.name().to_string()).collect());
    let own = longest(false).filter(|names| names.len() >= 4).cloned();
    let small = !labelled.is_empty() && usual.as_ref().is_none_or(|usual| usual.len() < GUITAR.len());
    let guitar = small.then(|| GUITAR.map(str::to_owned).to_vec());
    let choices = [written, usual.clone(), own, guitar];
    let all_in =
        |all: &Vec<String>| labelled.iter().all(|names| names.len() <= all.len() && places(names, all).is_some());
    choices.into_iter().flatten().find(all_in).or(usual)
}

/// Returns which of `all` the labels `names` are, in order; `None` where they are not part of it or
/// could be more than one part.
fn places(names: &[String], all: &[String]) -> Option<Vec<usize>> {
    let exact = |one: &str, other: &str| one == other;
    let alike = |one: &str, other: &str| labels::class(one).is_some() && labels::class(one) == labels::class(other);
    only_way(names, all, exact).or_else(|| only_way(names, all, alike))
}

/// Returns the one way to find `names` among `all` in order.
fn only_way(names: &[String], all: &[String], same: impl Fn(&str, &str) -> bool) -> Option<Vec<usize>> {
    let mut first = Vec::new();
    let mut rest = all.iter().enumerate();
    for name in names {
        first.push(rest.find(|(_, other)| same(name, other))?.0);
    }
    let mut last = Vec::new();
    let mut rest = all.iter().enumerate().rev();
    for name in names.iter().rev() {
        last.push(rest.find(|(_, other)| same(name, other))?.0);
    }
    last.reverse();
    (first == last).then_some(first)
}
