//! The readings: what the fingers can be called, best first, with reasons.

use super::Scroll;
use super::fretboard::FretboardPane;
use crate::instrument::neck::StringNumber;
use crate::tab::clean::{printable, wrap};
use crate::theory::key::Key;
use crate::theory::pitch::{MidiNote, NoteName, PitchClass};
use crate::theory::reading::{Context, Doubt, Lowest, Reading, readings};
use crate::workbench::action::ReadingsAction;
use crate::workbench::look::Role;
use crate::workbench::pen::{Focused, Pen, fit};

/// How many names are listed.
const MOST: usize = 24;

/// One name, and what has to be so for it to hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedReading {
    /// The name of the shape, as played.
    pub reading: Reading,
    /// The name of what sounds, where a capo or another tuning parts the two.
    pub sounds_as: Option<String>,
    /// The doubtful string that is silent in this reading.
    pub without: Option<StringNumber>,
}

/// The readings' own state.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ReadingsPane {
    list: Vec<NamedReading>,
    selected: usize,
    scroll: Scroll,
    /// What was read last, to know when to read again.
    read: Option<Seen>,
}

/// What the names depend on.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Seen {
    /// One entry for each string, silent where nothing is heard.
    sounding: Vec<Option<MidiNote>>,
    /// How sure the ear is of each.
    doubts: Vec<Doubt>,
    /// Semitones from what is played to what sounds.
    shift: i32,
    /// The key, as it sounds, and what the lowest pitch is to the ear.
    context: Context,
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
    pub fn follow(&mut self, fretboard: &FretboardPane, key: Option<Key>) {
        let seen = Seen {
            sounding: fretboard.heard(),
            doubts: fretboard.grip().doubts.clone(),
            shift: fretboard.rig().played_as().semitones(),
            context: Context {
                key,
                lowest: if fretboard.rig().is_reentrant() { Lowest::AnyTone } else { Lowest::Bass },
                ..Context::default()
            },
        };
        if self.read.as_ref() == Some(&seen) {
            return;
        }
        self.list = name_all(&seen);
        self.selected = 0;
        self.scroll = Scroll::default();
        self.read = Some(seen);
    }

    /// Selects the first name that is kept, if one is listed.
    pub fn select_kept(&mut self, kept: &[String]) {
        let place = kept.first().and_then(|name| self.list.iter().position(|named| named.reading.symbol == *name));
        self.selected = place.unwrap_or(self.selected);
    }

    /// Selects another name; keeping one is the fretboard's part.
    pub fn act(&mut self, action: ReadingsAction) {
        let last = self.list.len().saturating_sub(1);
        match action {
            ReadingsAction::Previous => self.selected = self.selected.saturating_sub(1),
            ReadingsAction::Next => self.selected = (self.selected + 1).min(last),
            ReadingsAction::Keep => {}
        }
    }

    /// Brings the selected name into view in a pane of this size.
    pub fn settle(&mut self, width: usize, height: usize) {
        let room = self.list_height(width, height);
        self.scroll.show(self.selected, self.list.len(), room);
    }

    /// Returns the selected name's reason in lines for a pane of `width`.
    fn reason(&self, width: usize) -> Vec<String> {
        let reason = self.selected().map_or("", |named| &named.reading.reason);
        wrap(&printable(reason), width.saturating_sub(2).max(1))
    }

    /// Returns how many lines of a pane of this size the list has: what the reason leaves, at least half.
    fn list_height(&self, width: usize, height: usize) -> usize {
        let room = height.saturating_sub(1);
        let foot = self.reason(width).len().min(room / 2);
        room - foot
    }
}

/// Names what sounds, then what would sound without each string the ear is unsure of.
fn name_all(seen: &Seen) -> Vec<NamedReading> {
    let Seen { sounding, doubts, shift, context } = seen;
    let shift = *shift;
    let mut list: Vec<NamedReading> = name(sounding, shift, context, None);
    list.truncate(MOST);
    let strings = sounding.len();
    for (index, doubt) in doubts.iter().enumerate() {
        let sounds = sounding.get(index).copied().flatten().is_some();
        let Some(string) = StringNumber::at(index, strings).filter(|_| *doubt == Doubt::Unsure && sounds) else {
            continue;
        };
        let mut without = sounding.clone();
        if let Some(note) = without.get_mut(index) {
            *note = None;
        }
        // The best name without the string stands right after the best one with it.
        if let Some(best) = name(&without, shift, context, Some(string)).into_iter().next() {
            let place = list.iter().take_while(|named| named.without.is_some()).count().max(1);
            let after = list.iter().skip(place).take_while(|named| named.without.is_some()).count();
            list.insert((place + after).min(list.len()), best);
        }
    }
    list
}

fn name(
    sounding: &[Option<MidiNote>],
    shift: i32,
    context: &Context,
    without: Option<StringNumber>,
) -> Vec<NamedReading> {
    let as_sounding = readings(sounding, context);
    if shift == 0 {
        let named = |reading| NamedReading { reading, sounds_as: None, without };
        return as_sounding.into_iter().map(named).collect();
    }
    let played: Vec<Option<MidiNote>> = sounding.iter().map(|note| note.and_then(|note| note.up(-shift))).collect();
    let played_key = context.key.and_then(|key| transposed(key, -shift));
    let up = |name: NoteName| PitchClass::of(i32::from(name.pitch_class().number()) + shift);
    readings(&played, &Context { key: played_key, ..context.clone() })
        .into_iter()
        .map(|reading| {
            let same = |other: &&Reading| {
                other.kind == reading.kind
                    && other.formula == reading.formula
                    && other.bass.pitch_class() == up(reading.bass)
                    && other.root.map(NoteName::pitch_class) == reading.root.map(up)
            };
            let sounds_as = as_sounding.iter().find(same).map(|other| other.symbol.clone());
            NamedReading { reading, sounds_as, without }
        })
        .collect()
}

fn transposed(key: Key, semitones: i32) -> Option<Key> {
    let class = PitchClass::of(i32::from(key.tonic().pitch_class().number()) + semitones);
    Key::new(NoteName::usual(class), key.mode())
}

/// Draws the whole pane.
pub fn draw(pane: &ReadingsPane, fretboard: &FretboardPane, pen: &mut Pen<'_>, focused: Focused) {
    let shift = fretboard.rig().played_as().semitones();
    let note = if shift == 0 { "" } else { "played (sounds)" };
    pen.heading("Readings", note, focused);
    if pane.list.is_empty() {
        pen.text(1, 1, "Nothing sounds yet.", Role::Plain);
        return;
    }
    let glyphs = pen.look().glyphs();
    let widest = pane.list.iter().map(|named| named.reading.symbol.chars().count()).max().unwrap_or(0);
    let room = widest.clamp(4, (pen.width() / 3).max(6));
    let rows = pane.list.iter().enumerate().skip(pane.scroll.first()).take(pane.list_height(pen.width(), pen.height()));
    for (line, (place, named)) in rows.enumerate() {
        let y = 1 + line;
        let selected = place == pane.selected;
        pen.text(0, y, if selected { glyphs.pointer } else { " " }, Role::Strong);
        let kept = fretboard.grip().kept.contains(&named.reading.symbol);
        pen.text(1, y, if kept { glyphs.kept } else { " " }, Role::Good);
        let role = if selected || place == 0 { Role::Strong } else { Role::Plain };
        pen.cut(2, y, room, &named.reading.symbol, role);
        let mut x = 3 + room;
        if let Some(sounds) = &named.sounds_as {
            x = pen.text(x, y, &format!("({sounds}) "), Role::Plain);
        }
        pen.text(x, y, &comment(named), Role::Plain);
        if selected {
            pen.paint(1, pen.width(), y, focused.selection());
        }
    }
    draw_reason(pane, pen);
}

/// Draws the best name on one line.
pub fn draw_line(pane: &ReadingsPane, pen: &mut Pen<'_>) {
    let names: Vec<&str> = pane.list.iter().take(4).map(|named| named.reading.symbol.as_str()).collect();
    pen.heading("Readings", &names.join("  "), Focused::No);
}

fn draw_reason(pane: &ReadingsPane, pen: &mut Pen<'_>) {
    let lines = pane.reason(pen.width());
    let top = 1 + pane.list_height(pen.width(), pen.height());
    let room = pen.height().saturating_sub(top);
    for (line, text) in lines.iter().take(room).enumerate() {
        let cut = lines.len() > room && line + 1 == room;
        let more = pen.look().glyphs().more;
        let text = if cut { fit(&format!("{text} {more}"), pen.width().saturating_sub(2), more) } else { text.clone() };
        pen.text(1, top + line, &text, Role::Plain);
    }
}

/// Returns what stands beside a name: what it takes to hold, and what is missing.
fn comment(named: &NamedReading) -> String {
    let missing: Vec<String> = named.reading.missing.iter().map(ToString::to_string).collect();
    let mut facts = Vec::new();
    if let Some(string) = named.without {
        facts.push(format!("if string {string} is silent"));
    }
    if !missing.is_empty() {
        facts.push(format!("no {}", missing.join(" ")));
    }
    if facts.is_empty() {
        facts.push(named.reading.reason.clone());
    }
    facts.join(", ")
}
