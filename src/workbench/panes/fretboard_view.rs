//! Drawing the fretboard: string 1 on top, as in tab, the nut on the left.

use super::fretboard::{FretboardPane, Labels};
use crate::instrument::catalogue;
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::rig::Rig;
use crate::tab::passage::string_labels;
use crate::theory::pitch::Pitch;
use crate::theory::reading::{Doubt, Reading};
use crate::workbench::look::Role;
use crate::workbench::pen::{Focused, Pen};

/// Columns before the first fret: the string's name, the doubt mark, mute or open or what the open
/// string is labelled with, the nut.
const HEAD: usize = 9;

/// The column of the doubt mark.
const DOUBT: usize = 4;

/// The column of the nut.
const NUT: usize = HEAD - 1;

/// Frets that necks mark with a dot. Common practice; no published source.
const INLAYS: [u8; 9] = [3, 5, 7, 9, 12, 15, 17, 19, 21];

/// Lines of the pane that are not strings: heading, fret numbers, shape, cursor.
const OTHER_LINES: usize = 4;

/// Returns how many columns a fret takes in a pane of `width`.
const fn fret_columns(width: usize) -> usize {
    if width >= 64 { 6 } else { 5 }
}

/// Returns how many frets and strings a pane of this size can show.
pub const fn capacity(width: usize, height: usize) -> (usize, usize) {
    let frets = width.saturating_sub(HEAD + 1) / fret_columns(width);
    (if frets == 0 { 1 } else { frets }, height.saturating_sub(OTHER_LINES))
}

/// Returns the height that shows every string.
pub const fn wanted_height(strings: usize) -> usize {
    strings + OTHER_LINES
}

/// Returns the string and fret drawn at `(x, y)` of a pane of this width.
pub fn place_at(pane: &FretboardPane, (x, y): (usize, usize), width: usize) -> Option<(StringNumber, Fret)> {
    let (first_fret, first_string) = pane.view();
    let number = u8::try_from(y.checked_sub(1)? + first_string + 1).ok()?;
    let string = StringNumber::new(number).filter(|string| pane.rig().strings().any(|known| known == *string))?;
    let fret = match x.checked_sub(HEAD) {
        None => Fret::OPEN,
        Some(x) => {
            let drawn = u8::try_from(first_fret + 1 + x / fret_columns(width)).ok()?;
            Fret::new(drawn.saturating_sub(pane.shift(string)))?
        }
    };
    (fret <= pane.rig().last_fret(string)?).then_some((string, fret))
}

/// Draws the whole pane; `reading` is the selected one, which spells and counts the notes.
pub fn draw(pane: &FretboardPane, reading: Option<&Reading>, pen: &mut Pen<'_>, focused: Focused) {
    pen.heading("Fretboard", &describe(pane.rig()), focused);
    let (first_fret, first_string) = pane.view();
    let (frets, strings) = capacity(pen.width(), pen.height());
    let strings = strings.min(pane.strings().saturating_sub(first_string));
    for line in 0..strings {
        let number = u8::try_from(first_string + line + 1).ok().and_then(StringNumber::new);
        if let Some(string) = number {
            draw_string(pane, reading, string, (first_fret, frets), (1 + line, focused), pen);
        }
    }
    let below = 1 + strings;
    draw_numbers(pane, (first_fret, frets), below, pen);
    draw_shape(pane, below + 1, pen);
    draw_cursor_note(pane, reading, below + 2, pen);
}

/// Draws the shape on one line.
pub fn draw_line(pane: &FretboardPane, pen: &mut Pen<'_>) {
    let name = pane.grip().kept.first().map_or(String::new(), |name| format!("   {name}"));
    let text = format!("{}{name}", pane.grip().shape.compact());
    pen.heading("Fretboard", &text, Focused::No);
}

/// Says what the neck is: tuning and capo.
pub fn describe(rig: &Rig) -> String {
    let tuning = catalogue::tuning_label(rig.tuning(), rig.instrument());
    match rig.capo() {
        Some(capo) => format!("{tuning}, capo {capo}"),
        None => tuning,
    }
}

fn draw_string(
    pane: &FretboardPane,
    reading: Option<&Reading>,
    string: StringNumber,
    (first_fret, frets): (usize, usize),
    (y, focused): (usize, Focused),
    pen: &mut Pen<'_>,
) {
    draw_head(pane, reading, string, (first_fret, y), pen);
    let glyphs = pen.look().glyphs();
    let cell = fret_columns(pen.width());
    let fingered = pane.grip().shape.on(string);
    let here = |fret: u8| pane.cursor() == (string, Fret::new(fret).unwrap_or_default());
    if here(0) {
        // The longest labels leave no column for the left bracket.
        let left = NUT.saturating_sub(open_label(pane, reading, string).chars().count().max(1) + 1);
        if left > DOUBT {
            pen.text(left, y, glyphs.cursor.0, Role::Strong);
        }
        pen.text(NUT, y, glyphs.cursor.1, Role::Strong);
        if focused == Focused::Yes {
            pen.paint(left.max(DOUBT + 1), HEAD, y, Role::Cursor);
        }
    }
    let last = pane.rig().last_fret(string).unwrap_or_default().number();
    let shift = pane.shift(string);
    for column in 0..frets {
        let Ok(drawn) = u8::try_from(first_fret + column + 1) else { break };
        let x = HEAD + column * cell;
        if drawn <= shift {
            // Under the capo there is nothing to stop.
            let (wire, role) = if drawn == shift { (glyphs.nut, Role::Plain) } else { (glyphs.upright, Role::Faint) };
            pen.text(x + cell - 1, y, wire, role);
            continue;
        }
        let Some(fret) = Fret::new(drawn - shift) else { break };
        if fret.number() > last {
            break;
        }
        if pane.rig().sounding(string, fret).is_err() {
            // A short string is not there yet.
            pen.text(x + cell - 1, y, glyphs.upright, Role::Faint);
            continue;
        }
        pen.line(x, x + cell - 1, y, glyphs.string, Role::Faint);
        pen.text(x + cell - 1, y, glyphs.wire, Role::Faint);
        if fingered == Some(fret) {
            let label = label(pane, reading, string);
            let label = if label.is_empty() { glyphs.finger.to_owned() } else { label };
            let inside = cell - 1;
            let indent = if label.chars().count() + 2 <= inside { 1 + usize::from(inside > 4) } else { 1 };
            pen.cut(x + indent, y, inside - indent, &label, Role::Finger);
        }
        if here(fret.number()) {
            pen.text(x, y, glyphs.cursor.0, Role::Strong);
            pen.text(x + cell - 2, y, glyphs.cursor.1, Role::Strong);
            if focused == Focused::Yes {
                pen.paint(x, x + cell - 1, y, Role::Cursor);
            }
        }
    }
}

/// Draws what stands before the frets: the string's name, its doubt mark, mute or open, the nut.
fn draw_head(
    pane: &FretboardPane,
    reading: Option<&Reading>,
    string: StringNumber,
    (first_fret, y): (usize, usize),
    pen: &mut Pen<'_>,
) {
    let glyphs = pen.look().glyphs();
    // The names that the tab gives the strings: a capo changes what they sound, not what they are.
    let names = string_labels(pane.rig().tuning());
    let name = string.index(names.len()).and_then(|index| names.get(index)).map_or("", String::as_str);
    pen.cut(1, y, 3, name, Role::Faint);
    pen.text(DOUBT, y, doubt_mark(pane.doubt(string)), Role::Caution);
    let label = open_label(pane, reading, string);
    let (mark, role) = match pane.grip().shape.on(string) {
        None => (glyphs.mute, Role::Plain),
        Some(Fret::OPEN) if label.is_empty() => (glyphs.open, Role::Finger),
        Some(Fret::OPEN) => (label.as_str(), Role::Finger),
        Some(_) => (" ", Role::Plain),
    };
    pen.text(NUT.saturating_sub(mark.chars().count()), y, mark, role);
    pen.text(NUT, y, if first_fret == 0 { glyphs.nut } else { glyphs.more }, Role::Plain);
}

/// Returns what stands for an open string in place of its mark: its degree, where degrees are shown.
/// Its note is its name already, and no finger holds it.
fn open_label(pane: &FretboardPane, reading: Option<&Reading>, string: StringNumber) -> String {
    let open = pane.grip().shape.on(string) == Some(Fret::OPEN) && pane.labels() == Labels::Degrees;
    if open { label(pane, reading, string) } else { String::new() }
}

/// Returns the mark of a doubt, which the line under the neck explains.
const fn doubt_mark(doubt: Doubt) -> &'static str {
    match doubt {
        Doubt::Sure => " ",
        Doubt::Unsure => "?",
        Doubt::NotHeard => "-",
    }
}

/// Returns what stands on a finger: a note, a degree, which finger it is, or nothing for a dot.
fn label(pane: &FretboardPane, reading: Option<&Reading>, string: StringNumber) -> String {
    let tone = string
        .index(pane.strings())
        .and_then(|index| reading.and_then(|reading| reading.notes.get(index)).copied().flatten());
    let sounding = pane.grip().shape.on(string).and_then(|fret| pane.rig().sounding(string, fret).ok());
    let played = sounding.and_then(|note| note.up(-pane.rig().played_as().semitones()));
    let plain = played.map_or(String::new(), |note| Pitch::usual(note).name().to_string());
    match pane.labels() {
        Labels::Notes => tone.map_or(plain, |tone| tone.name.to_string()),
        Labels::Degrees => tone.and_then(|tone| tone.degree).map_or(String::new(), |degree| degree.to_string()),
        Labels::Fingers => {
            let finger = string.index(pane.strings()).and_then(|index| pane.grip().fingers.get(index));
            finger.copied().flatten().map_or(String::new(), |finger| finger.to_char().to_string())
        }
        Labels::Dots => String::new(),
    }
}

fn draw_numbers(pane: &FretboardPane, (first_fret, frets): (usize, usize), y: usize, pen: &mut Pen<'_>) {
    let cell = fret_columns(pen.width());
    for column in 0..frets.min(pane.columns().saturating_sub(first_fret)) {
        let number = first_fret + column + 1;
        let marked = u8::try_from(number).is_ok_and(|number| INLAYS.contains(&number));
        let text = if marked { format!("{}{number}", pen.look().glyphs().inlay) } else { number.to_string() };
        let role = if marked { Role::Plain } else { Role::Faint };
        pen.text(HEAD + column * cell + 1 + usize::from(!marked), y, &text, role);
    }
}

fn draw_shape(pane: &FretboardPane, y: usize, pen: &mut Pen<'_>) {
    let grip = pane.grip();
    let x = pen.text(1, y, &grip.shape.to_string(), Role::Strong);
    let kept = grip.kept.join(", ");
    let text = if kept.is_empty() { String::new() } else { format!("kept as {kept}") };
    let x = pen.text(x + 2, y, &text, Role::Good);
    if let Some(trouble) = pane.trouble() {
        pen.text(x + 1, y, &format!("! {trouble}; a guitar in standard tuning stands in"), Role::Caution);
    }
}

/// Says what is under the cursor, and what the doubt marks mean where there are any.
fn draw_cursor_note(pane: &FretboardPane, reading: Option<&Reading>, y: usize, pen: &mut Pen<'_>) {
    let (string, fret) = pane.cursor();
    let mut text = format!("string {string}, ");
    text += &if fret == Fret::OPEN { "open".to_owned() } else { format!("fret {fret}") };
    match pane.rig().sounding(string, fret) {
        Ok(note) => {
            let shift = pane.rig().played_as().semitones();
            let played = note.up(-shift).unwrap_or(note);
            let tone = reading.and_then(|reading| {
                reading.notes.iter().flatten().find(|tone| tone.name.pitch_class() == played.pitch_class()).copied()
            });
            let name = tone.and_then(|tone| Pitch::spelled(played, tone.name)).unwrap_or(Pitch::usual(played));
            text += &format!(": {name}");
            if shift != 0 {
                text += &format!(", sounds {}", Pitch::usual(note));
            }
        }
        Err(_) => text += ": not there",
    }
    match pane.doubt(string) {
        Doubt::Sure => {}
        Doubt::Unsure => text += ", unsure",
        Doubt::NotHeard => text += ", not heard",
    }
    let x = pen.text(1, y, &text, Role::Plain);
    let elsewhere = pane.doubt(string) == Doubt::Sure;
    if elsewhere && pane.grip().doubts.iter().any(|doubt| *doubt != Doubt::Sure) {
        pen.text(x + 2, y, "? unsure  - not heard", Role::Faint);
    }
}
