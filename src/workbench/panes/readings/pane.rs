//! The readings: what the fingers can be called, best first, with reasons.

use crate::instrument::neck::StringNumber;
use crate::instrument::voicing::open_shapes::{OpenShape, OpenShapes};
use crate::text::fit::fit_with;
use crate::text::safe::printable;
use crate::text::width::width;
use crate::text::wrap::wrap;
use crate::theory::degree_name;
use crate::theory::key::Key;
use crate::theory::reading::{Context, Doubt, Reading};
use crate::theory::symbol::ChordSymbol;
use crate::workbench::drawing::region::{Focused, Region};
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::drawing::unseen::{Counted, Unseen};
use crate::workbench::keys::action::ReadingsAction;
use crate::workbench::panes::fretboard::pane::FretboardPane;
use crate::workbench::panes::readings::naming::{NameBasis, NamedReading, Seen, decisions, name_all};

/// The chords on either side of what is on the fretboard, as they sound, where they are known.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ChordsBeside {
    /// The chord before.
    pub before: Option<ChordSymbol>,
    /// The chord after.
    pub after: Option<ChordSymbol>,
}

/// The readings' own state.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ReadingsPane {
    list: Vec<NamedReading>,
    selected: usize,
    scroll: Scroll,
    /// What each unsure string decides.
    decisions: Vec<String>,
    /// The width and the selected name that the reason was measured for, and its lines.
    measured: Option<((usize, usize), usize)>,
    /// The width that the lines of all were counted for, and how many they are.
    counted: Option<(usize, usize)>,
    /// What was read last, to know when to read again.
    read: Option<Seen>,
}

impl ReadingsPane {
    /// Returns the names, best first.
    pub fn list(&self) -> &[NamedReading] {
        &self.list
    }

    /// Returns the selected name.
    pub fn selected(&self) -> Option<&NamedReading> {
        self.list.get(self.selected)
    }

    /// Selects the name at a line of the pane.
    pub fn select_line(&mut self, y: usize) {
        if let Some(line) = y.checked_sub(1).filter(|line| self.scroll.first() + line < self.list.len()) {
            self.selected = self.scroll.first() + line;
        }
    }

    /// Reads the fretboard again where it has changed. `key` is the key as it sounds.
    pub fn follow(&mut self, fretboard: &FretboardPane, key: Option<Key>, beside: ChordsBeside) {
        let seen = Seen {
            sounding: fretboard.heard(),
            doubts: fretboard.grip().doubts.clone(),
            kept: fretboard.names().to_vec(),
            open_shape: OpenShapes::on(fretboard.rig()).of(&fretboard.grip().shape),
            shift: fretboard.rig().played_as().semitones(),
            context: Context {
                key,
                lowest: fretboard.rig().lowest_is(),
                stated_bass: fretboard.grip().bass_on(fretboard.rig()),
                previous: beside.before,
                next: beside.after,
            },
        };
        if self.read.as_ref() == Some(&seen) {
            return;
        }
        // Keeping a name changes the marks; the selection stays on its name.
        let same_sound =
            self.read.as_ref().is_some_and(|read| Seen { kept: seen.kept.clone(), ..read.clone() } == seen);
        let selected = self.selected().filter(|_| same_sound).map(|named| named.reading.symbol.clone());
        self.list = name_all(&seen);
        self.decisions = decisions(&seen);
        self.measured = None;
        self.counted = None;
        self.read = Some(seen);
        match selected {
            Some(symbol) => self.select_symbol(&symbol),
            None => {
                let elsewhere = fretboard.grip().from_elsewhere(fretboard.rig()).and_then(|(_, names)| names.first());
                let called = |named: &NamedReading| elsewhere == Some(&named.reading.symbol);
                let found = |named: &NamedReading| named.basis != NameBasis::KeptOnly;
                // A name that the shape had elsewhere and could have here as well is the likeliest.
                let place = self.list.iter().position(called).or_else(|| self.list.iter().position(found));
                self.selected = place.unwrap_or(0);
                self.scroll = Scroll::default();
            }
        }
    }

    /// Selects the first name that is kept, if one is listed.
    pub fn select_kept(&mut self, kept: &[String]) {
        let place =
            kept.first().and_then(|name| self.list.iter().position(|named| named.kept_as.as_ref() == Some(name)));
        self.selected = place.unwrap_or(self.selected);
    }

    fn select_symbol(&mut self, symbol: &str) {
        let place = self.list.iter().position(|named| named.reading.symbol == symbol);
        self.selected = place.unwrap_or(self.selected).min(self.list.len().saturating_sub(1));
    }

    /// Selects another name; keeping one is the fretboard's part.
    pub fn act(&mut self, action: ReadingsAction) {
        let last = self.list.len().saturating_sub(1);
        match action {
            ReadingsAction::Previous => self.selected = self.selected.saturating_sub(1),
            ReadingsAction::Next => self.selected = (self.selected + 1).min(last),
            ReadingsAction::First => self.selected = 0,
            ReadingsAction::Last => self.selected = last,
            ReadingsAction::Keep | ReadingsAction::StateBass | ReadingsAction::NameInPassage => {}
        }
    }

    /// Brings the selected name into view in a pane of this size.
    pub fn settle(&mut self, width: usize, height: usize) {
        let asked = (width, self.selected);
        let lines = match self.measured {
            Some((measured, lines)) if measured == asked => lines,
            _ => self.reason(width).len(),
        };
        self.measured = Some((asked, lines));
        let room = list_height(height, lines, self.list.len());
        self.scroll.show(self.selected, self.list.len(), room);
    }

    /// Returns what the names rest on beside the strings: the chords before and after, a stated bass.
    fn context_note(&self) -> String {
        let Some(Seen { shift, context, .. }) = &self.read else { return String::new() };
        let played = |word: &str, chord: &ChordSymbol| format!("{word} {}", chord.moved(-shift, None));
        let before = context.previous.as_ref().map(|chord| played("after", chord));
        let after = context.next.as_ref().map(|chord| played("before", chord));
        let bass = context.stated_bass.map(|bass| format!("bass {bass}"));
        before.into_iter().chain(after).chain(bass).collect::<Vec<_>>().join(", ")
    }

    /// Counts the lines that a pane of so many columns fills whichever name is selected.
    pub fn count_lines(&mut self, width: usize) {
        if self.counted.is_none_or(|(counted_for, _)| counted_for != width) {
            let longest = self.list.iter().map(|named| self.reason_of(Some(named), width).len()).max().unwrap_or(0);
            self.counted = Some((width, 1 + self.list.len().max(1) + longest));
        }
    }

    /// Returns how many lines the pane fills: the heading, the names, and the longest of their reasons.
    pub fn lines(&self) -> usize {
        self.counted.map_or(0, |(_, lines)| lines)
    }

    /// Returns the likeliest of the names that were found.
    pub fn likeliest(&self) -> Option<&Reading> {
        let found = self.list.iter().find(|named| named.basis != NameBasis::KeptOnly);
        found.or(self.list.first()).map(|named| &named.reading)
    }

    /// Returns the selected name's reason, and what each doubt decides, in lines for a pane of `width`.
    fn reason(&self, width: usize) -> Vec<String> {
        self.reason_of(self.selected(), width)
    }

    fn reason_of(&self, named: Option<&NamedReading>, width: usize) -> Vec<String> {
        let open = self.read.as_ref().and_then(|seen| seen.open_shape.as_ref());
        let reason = named.map_or(String::new(), |NamedReading { reading, .. }| {
            let open = open.filter(|open| open.makes(reading, 0)).and_then(OpenShape::where_it_helps);
            std::iter::once(reading.reason.clone()).chain(open).collect::<Vec<_>>().join("; ")
        });
        let all = std::iter::once(reason.as_str()).chain(self.decisions.iter().map(String::as_str));
        all.flat_map(|text| wrap(&printable(text), width.saturating_sub(2).max(1))).collect()
    }
}

/// Returns how many lines of a pane of this height the list of so many names has: what the reason's lines leave, at least half, or all
/// that it fills.
fn list_height(height: usize, reason: usize, names: usize) -> usize {
    let room = height.saturating_sub(1);
    room - reason.min((room / 2).max(room.saturating_sub(names)))
}

/// Draws the whole pane.
pub fn draw(pane: &ReadingsPane, fretboard: &FretboardPane, region: &mut Region<'_>, focused: Focused) {
    let shift = fretboard.rig().played_as().semitones();
    let context = pane.context_note();
    let with = |names: &str| match (shift, context.as_str()) {
        (0, _) => context.clone(),
        (_, "") => names.to_owned(),
        _ => format!("{context}; {names}"),
    };
    let notes = [with("shape name (sounding name)"), with("(sounding)"), context.clone()];
    let listed = list_height(region.height(), pane.reason(region.width()).len(), pane.list.len());
    let unseen = Unseen::of(Counted::Readings, pane.scroll.first(), listed, pane.list.len());
    let unseen = region.heading_over("Readings", &notes.each_ref().map(String::as_str), unseen, focused);
    if pane.list.is_empty() {
        region.text(1, 1, "Nothing sounds yet.", Role::Plain);
        return;
    }
    let glyphs = region.appearance().glyphs();
    let doubts = fretboard.grip().doubts.iter().filter(|doubt| **doubt == Doubt::Unsure).count();
    let best = pane.list.iter().position(|named| named.basis != NameBasis::KeptOnly);
    let widest = pane
        .list
        .iter()
        .filter(|named| named.basis != NameBasis::KeptOnly)
        .map(|named| named.reading.symbol.chars().count())
        .max()
        .unwrap_or(0);
    let room = widest.clamp(4, (region.width() / 3).max(6));
    let rows = pane.list.iter().enumerate().skip(pane.scroll.first()).take(listed);
    for (line, (place, named)) in rows.enumerate() {
        let selected = place == pane.selected;
        let region = &mut region.list_line(1 + line, listed, unseen);
        region.text(0, 0, if selected { glyphs.pointer } else { " " }, Role::Strong);
        region.text(1, 0, if named.kept_as.is_some() { glyphs.kept } else { " " }, Role::Good);
        let role = if selected || best == Some(place) { Role::Strong } else { Role::Plain };
        if named.basis == NameBasis::KeptOnly {
            region.text(2, 0, &format!("kept: {}", named.reading.symbol), role);
        } else {
            region.cut(2, 0, room, &named.reading.symbol, role);
            let mut x = 3 + room;
            if let Some(sounds) = &named.sounds_as {
                x = region.text(x, 0, &format!("({sounds}) "), Role::Plain);
            }
            let comment = in_room(comment(named, doubts), region.width().saturating_sub(x), glyphs.more);
            region.text(x, 0, &comment, Role::Plain);
        }
        if selected {
            region.paint(1, region.width(), 0, focused.selection());
        }
    }
    draw_reason(pane, region);
}

/// Draws the best name on one line.
pub fn draw_line(pane: &ReadingsPane, region: &mut Region<'_>) {
    let name = |named: &NamedReading| {
        let sounds = named.sounds_as.as_ref().map_or(String::new(), |sounds| format!(" ({sounds})"));
        format!("{}{sounds}", named.reading.symbol)
    };
    let names: Vec<String> = pane.list.iter().take(4).map(name).collect();
    region.heading("Readings", &names.join("  "), Focused::No);
}

fn draw_reason(pane: &ReadingsPane, region: &mut Region<'_>) {
    let lines = pane.reason(region.width());
    let top = 1 + list_height(region.height(), pane.reason(region.width()).len(), pane.list.len());
    let room = region.height().saturating_sub(top);
    for (line, text) in lines.iter().take(room).enumerate() {
        let cut = lines.len() > room && line + 1 == room;
        let more = region.appearance().glyphs().more;
        let text = if cut { format!("{text} {more}") } else { text.clone() };
        let text = fit_with(&text, region.width().saturating_sub(2), more);
        region.text(1, top + line, &text, Role::Plain);
    }
}

/// Returns what stands beside a name: what it takes to hold, and what is missing.
fn comment(named: &NamedReading, doubts: usize) -> String {
    let mut facts = Vec::new();
    if named.kept_as.as_ref().is_some_and(|kept| *kept != named.reading.symbol) {
        facts.extend(named.kept_as.as_ref().map(|kept| format!("kept as {kept}")));
    }
    match &named.basis {
        NameBasis::Sounding(either_way) if either_way.is_empty() => {}
        NameBasis::Sounding(_) if doubts == 1 => facts.push("either way".to_owned()),
        NameBasis::Sounding(either_way) => facts.push(format!("with or without {}", strings(either_way))),
        NameBasis::Without(silent) => facts.push(format!("if {} is silent", strings(silent))),
        NameBasis::KeptOnly => {}
    }
    let missing: Vec<&str> = named.reading.missing.iter().map(|degree| degree_name(*degree)).collect();
    if !missing.is_empty() {
        facts.push(format!("no {}", missing.join(" or ")));
    }
    if facts.is_empty() {
        facts.push(named.reading.reason.clone());
    }
    facts.join(", ")
}

/// The columns in which the beginning of another part of a reason still says something.
const TELLING: usize = 10;

/// Returns a reason in so many columns where it is better cut between its parts, with the sign that there is more. Where not even the
/// first part has room, it need not say how many notes all of them are.
fn in_room(reason: String, room: usize, more: &str) -> String {
    let fits = |text: &str| width(text) + width(more) <= room;
    if width(&reason) <= room {
        return reason;
    }
    let ends = reason.match_indices("; ").map(|(end, _)| end);
    let part = ends.filter_map(|end| reason.get(..end)).filter(|part| fits(part)).last();
    if part.is_some_and(|part| width(part) + TELLING <= room) {
        return reason;
    }
    let first = reason.split("; ").next().unwrap_or_default();
    let short = first.strip_prefix("all ").and_then(|rest| rest.split_once(' ')).map(|(_, what)| format!("all {what}"));
    match part.map(str::to_owned).or(short.filter(|short| fits(short))) {
        Some(part) => format!("{part}{more}"),
        None => reason,
    }
}

fn strings(list: &[StringNumber]) -> String {
    let numbers: Vec<String> = list.iter().map(ToString::to_string).collect();
    format!("string {}", numbers.join(" or "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reason_is_cut_between_its_parts() {
        let said = |reason: &str, room| in_room(reason.to_owned(), room, "~");
        let whole = "all four notes; sixth in the bass";
        for (room, text) in
            [(33, whole), (24, whole), (23, "all four notes~"), (15, "all four notes~"), (14, "all notes~"), (9, whole)]
        {
            assert_eq!(said(whole, room), text, "{room}");
        }
        assert_eq!(said("C triad over A: the bass", 10), "C triad over A: the bass");
    }
}
