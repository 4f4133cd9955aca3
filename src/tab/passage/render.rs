//! Turns a passage into text: the way in.

use std::ops::Range;

use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::music::{Bar, Feel, Passage};
use crate::lesson::time::Ticks;
use crate::tab::style::{System, TabSpacing, TabStyle, TabText};
use crate::text::charset::Charset;
use crate::text::width;

use super::columns::{ColumnMaker, string_row};
use super::draw::{self, PassageFrame};
use super::fit::{self, SystemLayout};
use super::labels;
use super::legend::UsedSigns;
use super::piece::BarPiece;
use crate::tab::signs;

/// The narrowest page that is drawn; a narrower one is treated as this wide.
const NARROWEST: usize = 24;
/// The bar lines at both ends of a system, at their widest.
pub(super) const BAR_LINES: usize = 6;

/// A passage as text, with the place of everything in it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LaidOut {
    /// The text.
    pub text: TabText,
    /// For each system, where its bars and events stand.
    pub maps: Vec<SystemMap>,
    /// The signs used, for a legend of several passages.
    pub signs: UsedSigns,
}

/// Where the bars and events of a system stand. Columns are counted from 0 at the left edge.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SystemMap {
    /// The lines that are the strings, string 1 first.
    pub strings: Range<usize>,
    /// The line of the chord names, if there are any.
    pub names: Option<usize>,
    /// Each bar with its columns, without its bar lines.
    pub bars: Vec<(usize, Range<usize>)>,
    /// The events, from left to right.
    pub events: Vec<EventPlace>,
}

/// Where an event stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EventPlace {
    /// The bar, counted from 0.
    pub bar: usize,
    /// The voice, counted from 0.
    pub voice: usize,
    /// Its place in the voice, counted from 0.
    pub event: usize,
    /// When it starts, counted from the start of the bar.
    pub start: Ticks,
    /// Its column.
    pub column: usize,
}

/// Returns `passage` as text.
///
/// `labels` name the strings, highest string number first (see [`super::string_labels`]); strings
/// that the passage uses beyond them are drawn as well, with a question mark. No line is wider than
/// `style.width`, which is taken as at least 24. The first system opens with a line that gives meter, tempo, key and feel.
pub fn render(passage: &Passage, labels: &[String], style: &TabStyle) -> TabText {
    lay_out(passage, labels, style).text
}

/// Returns the bars `range` of `passage` as text, with the meter, tempo and key that hold there.
pub fn render_bars(passage: &Passage, range: Range<usize>, labels: &[String], style: &TabStyle) -> TabText {
    lay_out_bars(passage, range, labels, style).text
}

/// Returns `passage` as text with the place of everything in it.
pub fn lay_out(passage: &Passage, labels: &[String], style: &TabStyle) -> LaidOut {
    lay_out_from(passage, (0, BarNumbers::of(passage)), &[], labels, style)
}

/// Returns the bars `range` of `passage` as text with the place of everything in it.
pub fn lay_out_bars(passage: &Passage, range: Range<usize>, labels: &[String], style: &TabStyle) -> LaidOut {
    let end = range.end.min(passage.bars.len());
    let start = range.start.min(end);
    let mut excerpt = Passage { bars: passage.bars.get(start..end).unwrap_or_default().to_vec(), ..passage.clone() };
    for bar in passage.bars.get(..start).unwrap_or_default() {
        excerpt.meter = bar.meter.unwrap_or(excerpt.meter);
        excerpt.tempo = bar.tempo.unwrap_or(excerpt.tempo);
        excerpt.key = bar.key.or(excerpt.key);
    }
    // A slide over the last bar line goes up or down by the note that follows there.
    let after = passage.bars.get(end..(end + 1).min(passage.bars.len())).unwrap_or_default();
    lay_out_from(&excerpt, (start, BarNumbers::of(passage)), after, labels, style)
}

/// Lays out `passage`, whose first bar stands at `offset` in the whole, of which these are the numbers, and which the bars `after` follow.
fn lay_out_from(
    passage: &Passage,
    (offset, numbers): (usize, BarNumbers),
    after: &[Bar],
    labels: &[String],
    style: &TabStyle,
) -> LaidOut {
    let width = style.width.max(NARROWEST);
    let labels = labels::drawn(labels, strings(passage, labels.len()), style.charset);
    let digits = (offset + passage.bars.len()).max(1).to_string().len();
    // The tenth bar must not move the nine before it.
    let digits = if style.spacing == TabSpacing::Steady { digits.max(2) } else { digits };
    let margin = labels.first().map_or(1, |label| width::width(label)).max(digits);
    let lines = signs::lines(style.charset);
    let mut columns = ColumnMaker::new(passage, after, style.charset);
    let measures = (0..passage.bars.len()).map(|bar| columns.measure(bar)).collect();
    let mut used = columns.used;
    let room = width.saturating_sub(margin + BAR_LINES);
    let pieces = fit::pieces(passage, measures, room, style, &mut used);
    let frame = PassageFrame { labels: &labels, margin, width, charset: style.charset, first_bar: offset, numbers };

    let mut result = LaidOut::default();
    let mut rows = fit::rows(&pieces, margin, width, lines, style.spacing);
    if rows.is_empty() {
        rows.push(SystemLayout { close: lines.bar.to_owned(), close_at: margin, ..SystemLayout::default() });
    }
    for (index, row) in rows.iter().enumerate() {
        let drawn = draw::system(&frame, &pieces, row, &mut used);
        let mut map = SystemMap { names: drawn.names, ..map(&pieces, row, drawn.strings, offset) };
        let mut lines = drawn.lines;
        if index == 0 {
            lines.insert(0, header(passage, style));
            map.strings = map.strings.start + 1..map.strings.end + 1;
            map.names = map.names.map(|line| line + 1);
        }
        let bars = map.bars.first().map_or(offset, |(bar, _)| *bar)..map.bars.last().map_or(offset, |(bar, _)| bar + 1);
        result.text.systems.push(System { bars, lines });
        result.maps.push(map);
    }
    result.signs = UsedSigns::new(used);
    result.text.legend = result.signs.legend(style.charset);
    result
}

/// Returns how many strings to draw: those that are named and those that are played, at least three.
fn strings(passage: &Passage, named: usize) -> usize {
    let events = passage.bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0);
    let played = events.flat_map(|event| event.notes.iter().chain(&event.grace)).map(|note| string_row(note) + 1).max();
    named.min(12).max(played.unwrap_or(0)).max(3)
}

/// Returns the line on top: meter, tempo, key, feel.
fn header(passage: &Passage, style: &TabStyle) -> String {
    let key = passage.key.map(|key| format!("key:{}", signs::key(key, style.charset)));
    let start = [Some(passage.meter.to_string()), Some(signs::tempo(passage.tempo)), key, feel(passage)];
    start.into_iter().flatten().collect::<Vec<_>>().join("  ")
}

/// Returns the line on top as a player reads it, without a sign that would need to be explained:
/// `4/4  dotted quarter note = 60  key of E minor`.
pub(in crate::tab) fn header_in_words(passage: &Passage, charset: Charset) -> String {
    let tempo = Some(signs::tempo_in_words(passage.tempo));
    let key = passage.key.map(|key| format!("key of {}", signs::key_in_words(key, charset)));
    let start = [Some(passage.meter.to_string()), tempo, key, feel(passage)];
    start.into_iter().flatten().collect::<Vec<_>>().join("  ")
}

/// Returns how short notes are played, where it is not as they are written.
fn feel(passage: &Passage) -> Option<String> {
    match passage.feel {
        Feel::Straight => None,
        Feel::SwungEighths => Some("swung eighths".to_owned()),
        Feel::SwungSixteenths => Some("swung sixteenths".to_owned()),
    }
}

/// Returns the place of everything in a row.
fn map(pieces: &[BarPiece], row: &SystemLayout, strings: Range<usize>, offset: usize) -> SystemMap {
    let mut map = SystemMap { strings, ..SystemMap::default() };
    for (piece, place) in pieces.get(row.pieces.clone()).unwrap_or_default().iter().zip(&row.places) {
        map.bars.push((piece.bar + offset, place.lead..place.end));
        for (column, at) in piece.columns.iter().zip(&place.at) {
            map.events.extend(column.events.iter().map(|(voice, event)| EventPlace {
                bar: piece.bar + offset,
                voice: *voice,
                event: *event,
                start: column.tick,
                column: *at,
            }));
        }
    }
    map
}
