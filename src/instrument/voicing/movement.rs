//! Movement: what the hand does between two voicings, finger by finger, and what the ear hears of it.
//!
//! What the way between two voicings costs is a sum of distances (`assets/movement.ron`), so no detour is cheaper
//! than the straight way: for the voicings of two chords it is a metric. A progression can then leave out every voicing that another of the same
//! chord replaces, look at a tenth of them, and still find the best of all chains. A price that depended on
//! direction, or rewarded something, would lose that.

use std::fmt;

use super::board::ChordBoard;
use super::stance::{FINGERS, FingerHold, Stance, Yardstick, prices};
use crate::instrument::body::Millimetres;
use crate::instrument::fingering::{self, Fingering, Held, OPEN};
use crate::instrument::hand::Finger;
use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::{Rig, ShapeError};
use crate::theory::pitch::{MidiNote, NoteName};
use crate::theory::symbol::ChordSymbol;

/// How to get from one voicing to the next.
#[derive(Debug, Clone, PartialEq)]
pub struct Movement {
    /// What each finger does that is down before or after; the thumb first, then 1 to 4.
    pub fingers: Vec<FingerMove>,
    /// How far the hand moves along the neck: from where the index finger is, or would be, to where it then is;
    /// above 0 toward the bridge. A hand with no finger down waits at the first fret.
    pub hand: Millimetres,
    /// The pitches that sound before and after, each string's once: those that stay on their string first, then
    /// those that change it, each from the highest string number down.
    pub common: Vec<CommonTone>,
    /// The voices from the lowest up: which note goes where. The pairing keeps the voices in order and moves them
    /// as few semitones as possible altogether; where one chord has more notes, the rest begin or end.
    pub voices: Vec<VoiceMove>,
    /// What it costs, in points of the ranking (`assets/movement.ron`); the same both ways.
    pub cost: u32,
}

/// What one finger does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FingerMove {
    /// The finger.
    pub finger: Finger,
    /// What it does.
    pub act: FingerAct,
}

/// What a finger does between two voicings. Lengths along the neck are above 0 toward the bridge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FingerAct {
    /// It stays where it is.
    Stays(FingerPosition),
    /// It stays on its fret and rolls over more or fewer strings.
    Rolls(FingerPosition),
    /// It keeps its strings and slides along them.
    Slides {
        /// Where it goes.
        to: FingerPosition,
        /// How far.
        along: Millimetres,
    },
    /// It goes to other strings.
    Moves {
        /// Where it goes.
        to: FingerPosition,
        /// How far along the neck.
        along: Millimetres,
        /// How many strings across, measured at the string with the highest number; above 0 toward string 1.
        across: i8,
    },
    /// It goes down; before it was free.
    Lands(FingerPosition),
    /// It comes up and is then free.
    Lifts(FingerPosition),
}

/// Where a finger is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct FingerPosition {
    /// The fret as it is written for string `from`.
    pub fret: Fret,
    /// The string with the highest number it holds.
    pub from: StringNumber,
    /// The string with the lowest number; the same for a fingertip.
    pub to: StringNumber,
}

/// A pitch that sounds before and after.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CommonTone {
    /// The pitch.
    pub note: MidiNote,
    /// The string that sounds it before.
    pub before: StringNumber,
    /// The string that sounds it after.
    pub after: StringNumber,
    /// How it is held.
    pub kept: HeldBy,
}

/// How a common tone is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeldBy {
    /// The string rings open before and after.
    Open,
    /// This finger holds the string before and after, at the same fret.
    By(Finger),
    /// It is struck anew: on another string, or under another finger.
    Anew,
}

/// The way of one voice. At least one of its two notes is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct VoiceMove {
    /// Its note before; `None` where it begins.
    pub from: Option<MidiNote>,
    /// Its note after; `None` where it ends.
    pub to: Option<MidiNote>,
}

impl VoiceMove {
    /// Returns how many semitones it goes up (down if negative); `None` where it begins or ends.
    pub fn semitones(self) -> Option<i32> {
        Some(i32::from(self.to?.number()) - i32::from(self.from?.number()))
    }
}

/// A voicing as movement sees it.
#[derive(Clone, Copy)]
pub(super) struct Posture<'a> {
    pub(super) shape: &'a Shape,
    pub(super) held: Held,
    pub(super) stance: Stance,
}

impl<'a> Posture<'a> {
    /// Takes in a shape and how it is held.
    ///
    /// Errors: a shape that `rig` cannot play.
    pub(super) fn of(
        board: &ChordBoard,
        rig: &Rig,
        shape: &'a Shape,
        fingering: &Fingering,
    ) -> Result<Self, ShapeError> {
        rig.check(shape)?;
        let held = fingering::held(rig, shape)?;
        Ok(Self { shape, held, stance: Yardstick::of(board).of_fingering(&held, fingering) })
    }
}

/// Returns how the hand gets from one shape, held by a fingering, to another.
///
/// Errors: a shape that this rig cannot play.
pub fn movement(rig: &Rig, before: (&Shape, &Fingering), after: (&Shape, &Fingering)) -> Result<Movement, ShapeError> {
    let board = ChordBoard::of(rig);
    let before = Posture::of(&board, rig, before.0, before.1)?;
    let after = Posture::of(&board, rig, after.0, after.1)?;
    Ok(between(&board, &before, &after))
}

/// Returns the movement between two postures of one board.
pub(super) fn between(board: &ChordBoard, before: &Posture, after: &Posture) -> Movement {
    let along = |from: u8, to: u8| Millimetres(f64::from(at(board, to)) - f64::from(at(board, from)));
    let holds = before.stance.holds.iter().zip(&after.stance.holds);
    let fingers = FINGERS.into_iter().zip(holds).filter_map(|(finger, (from, to))| {
        let act = match (place(before.shape, *from), place(after.shape, *to)) {
            (None, None) => return None,
            (None, Some(to)) => FingerAct::Lands(to),
            (Some(from), None) => FingerAct::Lifts(from),
            (Some(_), Some(there)) if from == to => FingerAct::Stays(there),
            (Some(_), Some(there)) => {
                let same_strings = from.from == to.from && from.to == to.to;
                let overlap = from.from <= to.to && to.from <= from.to;
                let along = along(from.wire, to.wire);
                match (same_strings, from.wire == to.wire && overlap) {
                    (true, _) => FingerAct::Slides { to: there, along },
                    (false, true) => FingerAct::Rolls(there),
                    (false, false) => {
                        let across = to.from.cast_signed() - from.from.cast_signed();
                        FingerAct::Moves { to: there, along, across }
                    }
                }
            }
        };
        Some(FingerMove { finger, act })
    });
    Movement {
        fingers: fingers.collect(),
        hand: along(before.stance.position, after.stance.position),
        common: common_tones(board, before, after),
        voices: voices(&sorted_notes(board, &before.held), &sorted_notes(board, &after.held)),
        cost: before.stance.distance(&after.stance, prices()),
    }
}

/// Returns where a wire lies, in millimetres from the nut.
fn at(board: &ChordBoard, wire: u8) -> f32 {
    board.neck.at(i8::try_from(wire).unwrap_or(OPEN))
}

/// Returns the written place of a hold; `None` where the finger is up.
fn place(shape: &Shape, hold: FingerHold) -> Option<FingerPosition> {
    if hold.is_up() {
        return None;
    }
    let strings = shape.strings().len();
    let fret = (*shape.strings().get(usize::from(hold.from))?)?;
    let string = |place: u8| StringNumber::at(usize::from(place), strings);
    Some(FingerPosition { fret, from: string(hold.from)?, to: string(hold.to)? })
}

/// Returns the strings that sound, by their places in a shape, with their MIDI notes.
fn sounding(board: &ChordBoard, held: &Held) -> Vec<(usize, u8)> {
    let notes = held.iter().enumerate().take(board.strings);
    notes.filter_map(|(string, wire)| Some((string, board.note(string, *wire)?))).collect()
}

/// Returns the MIDI notes that sound, from the lowest up.
fn sorted_notes(board: &ChordBoard, held: &Held) -> Vec<u8> {
    let mut notes: Vec<u8> = sounding(board, held).into_iter().map(|(_, note)| note).collect();
    notes.sort_unstable();
    notes
}

/// Returns the pitches that sound before and after; see [`Movement::common`].
fn common_tones(board: &ChordBoard, before: &Posture, after: &Posture) -> Vec<CommonTone> {
    let mut left = sounding(board, &before.held);
    let mut right = sounding(board, &after.held);
    let mut common = Vec::new();
    let mut keep = |from: usize, to: usize, note: u8, kept: HeldBy| {
        let string = |place| StringNumber::at(place, board.strings);
        if let (Some(before), Some(after), Some(note)) = (string(from), string(to), MidiNote::new(note)) {
            common.push(CommonTone { note, before, after, kept });
        }
    };
    left.retain(|pair| {
        let Some(same) = right.iter().position(|other| other == pair) else { return true };
        right.remove(same);
        let (string, note) = *pair;
        let finger = |posture: &Posture| {
            let holds = |hold: &FingerHold| {
                !hold.is_up()
                    && i8::try_from(hold.wire) == Ok(posture.held[string])
                    && (usize::from(hold.from)..=usize::from(hold.to)).contains(&string)
            };
            posture.stance.holds.iter().position(holds)
        };
        let open = before.held[string] == OPEN && after.held[string] == OPEN;
        let kept = match (finger(before), finger(after)) {
            _ if open => HeldBy::Open,
            (Some(one), Some(other)) if one == other => FINGERS.get(one).map_or(HeldBy::Anew, |one| HeldBy::By(*one)),
            _ => HeldBy::Anew,
        };
        keep(string, string, note, kept);
        false
    });
    for (from, note) in left {
        let nearest = (0..right.len()).filter(|at| right[*at].1 == note).min_by_key(|at| right[*at].0.abs_diff(from));
        if let Some(at) = nearest {
            let (to, _) = right.remove(at);
            keep(from, to, note, HeldBy::Anew);
        }
    }
    common
}

/// Pairs the MIDI notes of two chords, each from the lowest up; see [`Movement::voices`].
fn voices(before: &[u8], after: &[u8]) -> Vec<VoiceMove> {
    let note = |number: &u8| MidiNote::new(*number);
    if before.len() > after.len() {
        let turned = voices(after, before).into_iter().map(|voice| VoiceMove { from: voice.to, to: voice.from });
        return turned.collect();
    }
    // least[i][j]: the fewest semitones for the first i of the smaller chord among the first j of the larger.
    const NEVER: u32 = u32::MAX / 2;
    let mut least = vec![vec![0; after.len() + 1]; before.len() + 1];
    for i in 1..=before.len() {
        for j in 0..=after.len() {
            least[i][j] = if j < i {
                NEVER
            } else {
                let paired = least[i - 1][j - 1] + u32::from(before[i - 1].abs_diff(after[j - 1]));
                paired.min(least[i][j - 1])
            };
        }
    }
    let (mut i, mut moves) = (before.len(), Vec::new());
    for j in (1..=after.len()).rev() {
        let from = if i > 0 && least[i][j] != least[i][j - 1] {
            i -= 1;
            note(&before[i])
        } else {
            None
        };
        moves.push(VoiceMove { from, to: note(&after[j - 1]) });
    }
    moves.reverse();
    moves
}

impl Movement {
    /// Returns how many semitones the voices move altogether; those that begin or end do not count.
    pub fn semitones(&self) -> u32 {
        self.voices.iter().filter_map(|voice| voice.semitones()).map(i32::unsigned_abs).sum()
    }

    /// Returns the names of the common tones, each of them once and the lowest first, spelled as tones of `symbol`.
    pub fn common_names(&self, symbol: &ChordSymbol) -> Vec<NoteName> {
        let mut notes: Vec<MidiNote> = self.common.iter().map(|tone| tone.note).collect();
        notes.sort_unstable();
        let mut names = Vec::new();
        for note in notes {
            let class = note.pitch_class();
            let mut tones = symbol.tones().into_iter().chain(symbol.bass());
            let name = tones.find(|name| name.pitch_class() == class).unwrap_or_else(|| NoteName::usual(class));
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }

    /// Returns what the fingers do, in words: `1 and 2 stay, 3 moves to string 3 fret 2, 4 lifts`.
    pub fn in_words(&self) -> String {
        let mut parts = Vec::new();
        let plain = |stays: fn(FingerAct) -> bool, one: &str, more: &str| {
            let fingers = self.fingers.iter().filter(|finger| stays(finger.act));
            let names: Vec<String> = fingers.map(|finger| finger.finger.to_char().to_string()).collect();
            match names.as_slice() {
                [] => None,
                [name] => Some(format!("{name} {one}")),
                [first @ .., last] => Some(format!("{} and {last} {more}", first.join(", "))),
            }
        };
        parts.extend(plain(|act| matches!(act, FingerAct::Stays(_)), "stays", "stay"));
        for FingerMove { finger, act } in &self.fingers {
            let name = finger.to_char();
            match act {
                FingerAct::Stays(_) | FingerAct::Lifts(_) => {}
                FingerAct::Rolls(to) => {
                    parts.push(format!("{name} stays at fret {} and holds {}", to.fret, to.strings()))
                }
                FingerAct::Slides { to, .. } => parts.push(format!("{name} slides to fret {}", to.fret)),
                FingerAct::Moves { to, .. } => parts.push(format!("{name} moves to {to}")),
                FingerAct::Lands(to) => parts.push(format!("{name} lands on {to}")),
            }
        }
        parts.extend(plain(|act| matches!(act, FingerAct::Lifts(_)), "lifts", "lift"));
        if parts.is_empty() { "no finger is needed".to_owned() } else { parts.join(", ") }
    }
}

impl FingerPosition {
    /// Returns the strings in words.
    fn strings(self) -> String {
        if self.from == self.to {
            format!("string {}", self.from)
        } else {
            format!("strings {} to {}", self.from, self.to)
        }
    }
}

/// Prints `string 4 fret 2`, or `strings 6 to 1 fret 3`.
impl fmt::Display for FingerPosition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} fret {}", self.strings(), self.fret)
    }
}

#[cfg(test)]
mod tests {
    use proptest::collection::vec;
    use proptest::prelude::*;

    use super::*;

    /// Returns the fewest semitones over every way to pair each note of the smaller chord with one of the larger.
    fn fewest(small: &[u8], large: &[u8]) -> u32 {
        let Some((first, rest)) = small.split_first() else { return 0 };
        let pairs = (0..large.len()).map(|at| {
            let others: Vec<u8> = large[..at].iter().chain(&large[at + 1..]).copied().collect();
            u32::from(first.abs_diff(large[at])) + fewest(rest, &others)
        });
        pairs.min().unwrap()
    }

    proptest! {
        #[test]
        fn the_voices_move_as_little_as_any_pairing_lets_them(
            mut before in vec(36u8..80, 0..6),
            mut after in vec(36u8..80, 0..6),
        ) {
            before.sort_unstable();
            after.sort_unstable();
            let moves = voices(&before, &after);
            let total: u32 = moves.iter().filter_map(|voice| voice.semitones()).map(i32::unsigned_abs).sum();
            let (small, large) = if before.len() < after.len() { (&before, &after) } else { (&after, &before) };
            prop_assert_eq!(total, fewest(small, large));
            prop_assert_eq!(moves.len(), large.len());
            let notes = |note: fn(&VoiceMove) -> Option<MidiNote>| {
                moves.iter().filter_map(note).map(MidiNote::number).collect::<Vec<_>>()
            };
            prop_assert_eq!(notes(|voice| voice.from), before);
            prop_assert_eq!(notes(|voice| voice.to), after);
        }
    }
}
