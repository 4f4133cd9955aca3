//! Drawing the fretboard: string 1 on top, as in tab, the nut on the left, unless the settings turn it round.

use crate::instrument::neck::{Fret, StringNumber};
use crate::tab::passage::{drawn_label, string_labels};
use crate::text::fit::pad;
use crate::theory::pitch::Pitch;
use crate::theory::reading::{Doubt, Reading};
use crate::workbench::drawing::appearance::Glyphs;
use crate::workbench::drawing::region::{Focused, Region};
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::unseen::{Counted, Unseen};
use crate::workbench::editing::rigs::describe;
use crate::workbench::panes::fretboard::drawn_neck::{capo_shift, columns};
use crate::workbench::panes::fretboard::neck_view::Labels;
use crate::workbench::panes::fretboard::pane::FretboardPane;
use crate::workbench::panes::fretboard::signs::{draw_hold, draw_note, sign};

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

/// The columns of a fret where all of them have room.
const WIDE_FRET: usize = 6;

/// The columns of a fret elsewhere.
const NARROW_FRET: usize = 5;

/// Returns how many columns a pane takes that shows so many frets in the width that they usually have.
pub const fn wanted_width(frets: usize) -> usize {
    HEAD + 1 + frets * WIDE_FRET
}

/// Returns how many columns a fret takes in a pane of `width` for a neck of so many frets: as many as leave the whole neck in view, if
/// any do.
const fn fret_columns(width: usize, frets: usize) -> usize {
    if width >= wanted_width(frets) { WIDE_FRET } else { NARROW_FRET }
}

/// Returns how many frets and strings of the neck a pane of this size can show.
pub fn capacity(pane: &FretboardPane, width: usize, height: usize) -> (usize, usize) {
    let room = width.saturating_sub(HEAD + 1) / fret_columns(width, columns(pane.rig()));
    (room.max(1), height.saturating_sub(OTHER_LINES))
}

/// Returns the height that shows every string.
pub const fn wanted_height(strings: usize) -> usize {
    strings + OTHER_LINES
}

/// Where the frets and what stands before them lie on the pane.
#[derive(Clone, Copy)]
struct Board {
    /// Columns of a fret, its wire included.
    cell: usize,
    /// Frets in view.
    frets: usize,
    /// Whether the nut is on the right.
    mirrored: bool,
}

impl Board {
    fn of(pane: &FretboardPane, width: usize) -> Self {
        let cell = fret_columns(width, columns(pane.rig()));
        Self { cell, frets: capacity(pane, width, 0).0, mirrored: pane.neck().is_left_handed() }
    }

    /// Returns where the room between two wires begins, for the fret `column` frets after the first in view.
    const fn inside(self, column: usize) -> usize {
        if self.mirrored { self.frets.saturating_sub(column + 1) * self.cell + 1 } else { HEAD + column * self.cell }
    }

    /// Returns where the wire of that fret stands.
    const fn wire(self, column: usize) -> usize {
        if self.mirrored { self.inside(column) - 1 } else { self.inside(column) + self.cell - 1 }
    }

    /// Returns where something `wide` begins that stands at `x` before the frets.
    const fn head(self, x: usize, wide: usize) -> usize {
        if self.mirrored { self.frets * self.cell + HEAD.saturating_sub(x + wide) } else { x }
    }

    /// Returns the fret at `x`, counted from the first in view; `None` before the frets.
    fn column(self, x: usize) -> Option<usize> {
        if self.mirrored {
            self.frets.checked_sub(1 + x / self.cell)
        } else {
            x.checked_sub(HEAD).map(|x| x / self.cell)
        }
    }
}

/// Returns the string and fret drawn at `(x, y)` of a pane of this width.
pub fn place_at(pane: &FretboardPane, (x, y): (usize, usize), width: usize) -> Option<(StringNumber, Fret)> {
    let (first_fret, first_string) = pane.view();
    let string = pane.neck().string_on_line(pane.rig(), y.checked_sub(1)? + first_string)?;
    let fret = match Board::of(pane, width).column(x) {
        None => Fret::OPEN,
        Some(column) => {
            let drawn = u8::try_from(first_fret + 1 + column).ok()?;
            Fret::new(drawn.saturating_sub(capo_shift(pane.rig(), string)))?
        }
    };
    (fret <= pane.rig().last_fret(string)?).then_some((string, fret))
}

/// Draws the whole pane; `reading` is the selected one, which spells and counts the notes.
pub fn draw(pane: &FretboardPane, reading: Option<&Reading>, region: &mut Region<'_>, focused: Focused) {
    let (first_fret, first_string) = pane.view();
    let (frets, strings) = capacity(pane, region.width(), region.height());
    let unseen = Unseen::of(Counted::Strings, first_string, strings, pane.strings());
    let rig = describe(pane.rig());
    // The row of frets has no room for the sign.
    let notes = if unseen.goes_on() { vec![rig.as_str(), ""] } else { vec![rig.as_str()] };
    let unseen = region.heading_over("Fretboard", &notes, unseen, focused);
    let strings = strings.min(pane.strings().saturating_sub(first_string));
    for line in 0..strings {
        if let Some(string) = pane.neck().string_on_line(pane.rig(), first_string + line) {
            draw_string(pane, reading, string, (first_fret, frets), (1 + line, focused), region);
        }
    }
    let (below, board) = (1 + strings, Board::of(pane, region.width()));
    draw_numbers(pane, (first_fret, frets), board, &mut region.list_line(below, below, unseen));
    draw_shape(pane, below + 1, region);
    if !draw_note(pane, below + 2, region) {
        draw_cursor_note(pane, reading, below + 2, region);
    }
    draw_other_labels(pane, reading, below + 4, region);
}

/// Draws what the labels on the strings leave out of the shape, where lines are free.
fn draw_other_labels(pane: &FretboardPane, reading: Option<&Reading>, y: usize, region: &mut Region<'_>) {
    for (line, text) in (y..region.height()).zip(other_labels(pane, reading)) {
        region.text(1, line, text.trim_end(), Role::Plain);
    }
}

/// Returns what the labels on the strings leave out of the shape: its notes, their degrees, the fingers, as far as there are any.
fn other_labels(pane: &FretboardPane, reading: Option<&Reading>) -> Vec<String> {
    let strings =
        || (1..=pane.strings()).rev().filter_map(|string| u8::try_from(string).ok().and_then(StringNumber::new));
    let row = |(labels, word): (Labels, &str)| {
        let texts: Vec<String> = strings().map(|string| label_as(pane, reading, string, labels)).collect();
        let is_said = labels != pane.neck().labels() && texts.iter().any(|text| !text.is_empty());
        let texts = texts.iter().map(|text| pad(if text.is_empty() { "-" } else { text }, 3));
        is_said.then(|| format!("{} {}", pad(word, 8), texts.collect::<Vec<String>>().join(" ")))
    };
    let rows = [(Labels::Notes, "notes"), (Labels::Degrees, "degrees"), (Labels::Fingers, "fingers")];
    rows.into_iter().filter_map(row).collect()
}

/// Returns how many lines what the labels leave out takes under the others, with a gap over it.
pub fn label_lines(pane: &FretboardPane, reading: Option<&Reading>) -> usize {
    match other_labels(pane, reading).len() {
        0 => 0,
        rows => 1 + rows,
    }
}

/// Draws the shape on one line.
pub fn draw_line(pane: &FretboardPane, region: &mut Region<'_>) {
    let name = match pane.grip().from_elsewhere(pane.rig()) {
        Some(_) => elsewhere_in_words(pane),
        None => pane.names().first().cloned().unwrap_or_default(),
    };
    let gap = if name.is_empty() { "" } else { "   " };
    let text = format!("{}{gap}{name}", pane.grip().shape.compact());
    region.heading("Fretboard", &text, Focused::No);
}

fn draw_string(
    pane: &FretboardPane,
    reading: Option<&Reading>,
    string: StringNumber,
    (first_fret, frets): (usize, usize),
    (y, focused): (usize, Focused),
    region: &mut Region<'_>,
) {
    let board = Board::of(pane, region.width());
    draw_head(pane, reading, string, (first_fret, y), region);
    draw_open_cursor(pane, reading, string, (y, focused), region);
    let glyphs = region.appearance().glyphs();
    let last = pane.rig().last_fret(string).unwrap_or_default().number();
    let shift = capo_shift(pane.rig(), string);
    for column in 0..frets {
        let Ok(drawn) = u8::try_from(first_fret + column + 1) else { break };
        let wire = board.wire(column);
        if drawn <= shift {
            // Under the capo there is nothing to stop.
            let (sign, role) = if drawn == shift { (glyphs.nut, Role::Plain) } else { (glyphs.upright, Role::Faint) };
            region.text(wire, y, sign, role);
            continue;
        }
        let Some(fret) = Fret::new(drawn - shift) else { break };
        if fret.number() > last {
            break;
        }
        if pane.rig().sounding(string, fret).is_err() {
            // A short string is not there yet.
            region.text(wire, y, glyphs.upright, Role::Faint);
            continue;
        }
        let x = board.inside(column);
        region.line(x, x + board.cell - 1, y, glyphs.string, Role::Faint);
        region.text(wire, y, glyphs.wire, Role::Faint);
        draw_place(pane, reading, (string, fret), (x, y, board.cell - 1), focused, region);
    }
}

/// Draws what is at one fret of a string, in `inside` columns from `x` on: finger, ghost or guide, and the cursor.
fn draw_place(
    pane: &FretboardPane,
    reading: Option<&Reading>,
    (string, fret): (StringNumber, Fret),
    (x, y, inside): (usize, usize, usize),
    focused: Focused,
    region: &mut Region<'_>,
) {
    let glyphs = region.appearance().glyphs();
    let ghost = pane.ghosts().is_some_and(|ghosts| ghosts.is_at(string, fret));
    let lit = pane.is_lit(string, fret);
    let mark = if pane.grip().shape.on(string) == Some(fret) {
        let label = label(pane, reading, string);
        let label = if label.is_empty() { glyphs.finger.to_owned() } else { label };
        Some((if ghost { format!("({label})") } else { label }, Role::Finger))
    } else {
        sign(pane, reading, (string, fret), glyphs)
    };
    let mark = match mark {
        Some((text, _)) if lit => Some((text, Role::Heard)),
        None if lit => Some((glyphs.finger.to_owned(), Role::Heard)),
        other => other,
    };
    // What fills the place leaves no column for a bracket of the cursor.
    let (mut before, mut after) = (true, true);
    if let Some((text, role)) = mark {
        let wide = text.chars().count();
        let indent = if wide + 2 <= inside {
            (1 + usize::from(inside > 4)).min(inside - wide - 1)
        } else {
            usize::from(wide < inside && !ghost)
        };
        (before, after) = (indent > 0, indent + wide < inside);
        region.cut(x + indent, y, inside - indent, &text, role);
    }
    if pane.cursor() == (string, fret) {
        if before {
            region.text(x, y, glyphs.cursor.0, Role::Strong);
        }
        if after {
            region.text(x + inside - 1, y, glyphs.cursor.1, Role::Strong);
        }
        if focused == Focused::Yes {
            region.paint(x, x + inside, y, Role::Cursor);
        }
    }
}

/// Draws the cursor where it is on the open string.
fn draw_open_cursor(
    pane: &FretboardPane,
    reading: Option<&Reading>,
    string: StringNumber,
    (y, focused): (usize, Focused),
    region: &mut Region<'_>,
) {
    if pane.cursor() != (string, Fret::OPEN) {
        return;
    }
    let (board, glyphs) = (Board::of(pane, region.width()), region.appearance().glyphs());
    // What stands before the nut stays readable; the longest of it leaves no column for the left bracket.
    let mark = open_mark(pane, reading, string, glyphs).0;
    let sign = open_sign(pane, reading, string, &mark, glyphs).map_or(0, |(text, _)| text.chars().count());
    let left = NUT.saturating_sub(mark.chars().count().max(sign) + 1);
    let is_free = left > DOUBT || left == DOUBT && pane.doubt(string) == Doubt::Sure;
    let (before, after) = if board.mirrored { (glyphs.cursor.1, glyphs.cursor.0) } else { glyphs.cursor };
    if is_free {
        region.text(board.head(left, 1), y, before, Role::Strong);
    }
    region.text(board.head(NUT, 1), y, after, Role::Strong);
    if focused == Focused::Yes {
        let left = if is_free { left } else { left.max(DOUBT + 1) };
        let x = board.head(left, HEAD - left);
        region.paint(x, x + HEAD - left, y, Role::Cursor);
    }
}

/// Draws what stands before the frets: the string's name, its doubt mark, mute or open, the nut.
fn draw_head(
    pane: &FretboardPane,
    reading: Option<&Reading>,
    string: StringNumber,
    (first_fret, y): (usize, usize),
    region: &mut Region<'_>,
) {
    let glyphs = region.appearance().glyphs();
    // The names that the tab gives the strings: a capo changes what they sound, not what they are.
    let names = string_labels(pane.rig().tuning());
    let name = string.index(names.len()).and_then(|index| names.get(index)).map_or("", String::as_str);
    let name = drawn_label(name, region.appearance().charset);
    let board = Board::of(pane, region.width());
    region.cut(board.head(1, 3), y, 3, &name, Role::Faint);
    region.text(board.head(DOUBT, 1), y, doubt_mark(pane.doubt(string)), Role::Caution);
    let (mark, role) = open_mark(pane, reading, string, glyphs);
    let wide = mark.chars().count();
    region.text(board.head(NUT.saturating_sub(wide), wide), y, &mark, role);
    if let Some((text, role)) = open_sign(pane, reading, string, &mark, glyphs) {
        let wide = text.chars().count();
        region.text(board.head(NUT.saturating_sub(wide), wide), y, &text, role);
    }
    region.text(board.head(NUT, 1), y, if first_fret == 0 { glyphs.nut } else { glyphs.more }, Role::Plain);
}

/// Returns what stands before the nut: mute, open, or what the open string is labelled with.
fn open_mark(pane: &FretboardPane, reading: Option<&Reading>, string: StringNumber, glyphs: Glyphs) -> (String, Role) {
    let label = open_label(pane, reading, string);
    let (mark, role) = match pane.grip().shape.on(string) {
        None => (glyphs.mute, Role::Plain),
        Some(Fret::OPEN) if label.is_empty() => (glyphs.open, Role::Finger),
        Some(Fret::OPEN) => (label.as_str(), Role::Finger),
        Some(_) => (" ", Role::Plain),
    };
    match (mark, pane.is_lit(string, Fret::OPEN)) {
        (" ", true) => (glyphs.open.to_owned(), Role::Heard),
        (mark, true) => (mark.to_owned(), Role::Heard),
        (mark, false) => (mark.to_owned(), role),
    }
}

/// Returns the sign of an open or muted string beside `mark`: a ghost that changes it, or a tone to aim at where
/// nothing else stands.
fn open_sign(
    pane: &FretboardPane,
    reading: Option<&Reading>,
    string: StringNumber,
    mark: &str,
    glyphs: Glyphs,
) -> Option<(String, Role)> {
    let now = pane.grip().shape.on(string);
    if let Some(ghosts) = pane.ghosts() {
        let ghost = ghosts.shown().shape.on(string);
        return match ghost {
            _ if ghost == now => None,
            None => Some((format!("({})", glyphs.mute), Role::Strong)),
            Some(Fret::OPEN) => Some((format!("({})", glyphs.open), Role::Strong)),
            Some(_) => None,
        };
    }
    if now == Some(Fret::OPEN) {
        return None;
    }
    let (text, role) = sign(pane, reading, (string, Fret::OPEN), glyphs)?;
    // The mute stays beside it; three columns are free.
    let mark = if text.chars().count() > 2 { "" } else { mark.trim() };
    Some((format!("{text}{mark}"), role))
}

/// Returns what stands for an open string in place of its mark: its degree, where degrees are shown.
/// Its note is its name already, and no finger holds it.
fn open_label(pane: &FretboardPane, reading: Option<&Reading>, string: StringNumber) -> String {
    let open = pane.grip().shape.on(string) == Some(Fret::OPEN) && pane.neck().labels() == Labels::Degrees;
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
    label_as(pane, reading, string, pane.neck().labels())
}

/// Returns what stands on a string of the shape for labels of a sort.
fn label_as(pane: &FretboardPane, reading: Option<&Reading>, string: StringNumber, labels: Labels) -> String {
    let tone = string
        .index(pane.strings())
        .and_then(|index| reading.and_then(|reading| reading.notes.get(index)).copied().flatten());
    let sounding = pane.grip().shape.on(string).and_then(|fret| pane.rig().sounding(string, fret).ok());
    let played = sounding.and_then(|note| note.up(-pane.rig().played_as().semitones()));
    let plain = played.map_or(String::new(), |note| Pitch::usual(note).name().to_string());
    match labels {
        Labels::Notes => tone.map_or(plain, |tone| tone.name.to_string()),
        Labels::Degrees => tone.and_then(|tone| tone.degree).map_or(String::new(), |degree| degree.to_string()),
        Labels::Fingers => {
            let finger = string.index(pane.strings()).and_then(|index| pane.grip().fingers.get(index));
            finger.copied().flatten().map_or(String::new(), |finger| finger.to_char().to_string())
        }
        Labels::Dots => String::new(),
    }
}

fn draw_numbers(pane: &FretboardPane, (first_fret, frets): (usize, usize), board: Board, region: &mut Region<'_>) {
    for column in 0..frets.min(columns(pane.rig()).saturating_sub(first_fret)) {
        let number = first_fret + column + 1;
        let marked = u8::try_from(number).is_ok_and(|number| INLAYS.contains(&number));
        let text = if marked { format!("{}{number}", region.appearance().glyphs().inlay) } else { number.to_string() };
        let role = if marked { Role::Plain } else { Role::Faint };
        region.text(board.inside(column) + 1 + usize::from(!marked), 0, &text, role);
    }
    // The neck goes on behind the last fret in view.
    if columns(pane.rig()) > first_fret + frets {
        let (last, more) = (frets.saturating_sub(1), region.appearance().glyphs().more);
        let behind = if board.mirrored { board.wire(last) } else { board.wire(last) + 1 };
        region.text(behind, 0, more, Role::Plain);
    }
}

fn draw_shape(pane: &FretboardPane, y: usize, region: &mut Region<'_>) {
    let grip = pane.grip();
    let x = region.text(1, y, &grip.shape.to_string(), Role::Strong);
    let kept = pane.names().join(", ");
    let text = if kept.is_empty() { elsewhere_in_words(pane) } else { format!("kept as {kept}") };
    let x = region.text(x + 2, y, &text, if kept.is_empty() { Role::Caution } else { Role::Good });
    if let Some(trouble) = pane.trouble() {
        region.text(x + 1, y, &format!("! {trouble}; shown on a guitar in standard tuning"), Role::Caution);
        return;
    }
    draw_hold(pane, (if text.is_empty() { x } else { x + 2 }, y), region);
}

/// Says to which other strings the shape and its names belong; nothing where they belong here.
fn elsewhere_in_words(pane: &FretboardPane) -> String {
    match pane.grip().from_elsewhere(pane.rig()) {
        None => String::new(),
        Some((theirs, [])) => format!("! from {}: sounds different here", describe(theirs)),
        Some((theirs, names)) => {
            format!("! from {}, {} there: sounds different here", describe(theirs), names.join(", "))
        }
    }
}

/// Says what is under the cursor, and what the doubt marks mean where there are any.
fn draw_cursor_note(pane: &FretboardPane, reading: Option<&Reading>, y: usize, region: &mut Region<'_>) {
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
    let x = region.text(1, y, &text, Role::Plain);
    let elsewhere = pane.doubt(string) == Doubt::Sure;
    if elsewhere && pane.grip().doubts.iter().any(|doubt| *doubt != Doubt::Sure) {
        region.text(x + 2, y, "? unsure  - not heard", Role::Faint);
    }
}
